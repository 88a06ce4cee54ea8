//! Questions about materials: what there is, and everything known about one.

use crate::noun::Noun;

use super::{Catalogue, Caution, Class, ExposureLimit, ExposureLimits, Fact, Hazard, Material};
use crate::door::{Question, entry};
use crate::error::{Error, Result};
use crate::question::Entry;

fn catalogue(document: Option<&str>) -> Result<Catalogue> {
    let mut c = Catalogue::generic().clone();
    if let Some(text) = document {
        c.extend_toml(text).map_err(|e| e.within("document"))?;
    }
    Ok(c)
}

/// The materials there are.
#[derive(Debug, Clone, Default, Noun)]
pub struct ListMaterials {
    /// Only materials of this kind: `resin`, `initiator`, `promoter`, `hardener`, `filler`, `reinforcement`,
    /// `pigment`, `release`, `mould_wall` or `solvent`.
    pub kind: Option<String>,
    /// A catalogue document (TOML) of your own materials, added to the generic ones.
    pub document: Option<String>,
}

/// Materials in order of their ids.
#[derive(Debug, Clone, Noun)]
pub struct MaterialList {
    /// The materials.
    pub materials: Vec<Listed>,
}

/// A material in a list.
#[derive(Debug, Clone, Noun)]
pub struct Listed {
    /// What a recipe calls it.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// What kind of material it is.
    pub kind: String,
}

impl Question for ListMaterials {
    const NAME: &'static str = "material.list";
    const ABOUT: &'static str = "The materials of the generic catalogue and of your own document.";
    type Answer = MaterialList;
    fn answer(&self) -> Result<MaterialList> {
        if let Some(kind) = &self.kind
            && !Class::NAMES.contains(&kind.as_str())
        {
            return Err(Error::unknown_name("kind", kind, Class::NAMES));
        }
        Ok(MaterialList {
            materials: catalogue(self.document.as_deref())?
                .iter()
                .filter(|m| self.kind.as_deref().is_none_or(|k| k == m.class.name()))
                .map(|m| Listed {
                    id: m.id.clone(),
                    name: m.name.clone(),
                    kind: m.class.name().to_owned(),
                })
                .collect(),
        })
    }
}

/// Everything known about one material.
#[derive(Debug, Clone, Noun)]
pub struct ShowMaterial {
    /// Its id.
    pub material: String,
    /// A catalogue document (TOML) of your own materials, added to the generic ones.
    pub document: Option<String>,
}

/// A material with every value's range and source, and what can hurt someone.
#[derive(Debug, Clone, Noun)]
pub struct MaterialSheet {
    /// What kind of material it is.
    pub kind: String,
    /// Every value as a person reads it, with range and source.
    pub facts: Vec<Fact>,
    /// What can hurt someone.
    pub hazards: Vec<Hazard>,
    /// What to beware of.
    pub cautions: Vec<Caution>,
    /// What every caution defers to.
    pub defers: String,
    /// Exposure limits of what its hazards bring into the air, of every body: the one in force where you work
    /// counts.
    pub exposure_limits: Vec<ExposureLimit>,
    /// The material as a document holds it.
    pub material: Material,
}

impl Question for ShowMaterial {
    const NAME: &'static str = "material.show";
    const ABOUT: &'static str =
        "Everything known about one material: each value with its range, source and standing; cautions.";
    type Answer = MaterialSheet;
    fn answer(&self) -> Result<MaterialSheet> {
        let catalogue = catalogue(self.document.as_deref())?;
        let material = catalogue.get(&self.material)?.clone();
        Ok(MaterialSheet {
            kind: material.class.name().to_owned(),
            facts: material.facts(),
            hazards: material.hazards.clone(),
            cautions: Caution::of_all(&material.hazards).into_iter().cloned().collect(),
            defers: Caution::defers().to_owned(),
            exposure_limits: ExposureLimits::generic()
                .of_hazards(&material.hazards)
                .into_iter()
                .cloned()
                .collect(),
            material,
        })
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[entry::<ListMaterials>(), entry::<ShowMaterial>()];
