//! What materials there are, and everything known about one.

use super::{Catalogue, Caution, ExposureLimit, ExposureLimits, Fact, Hazard, Material, MaterialKind};
use crate::error::Result;
use crate::noun::{Noun, questions};

/// Materials in order of their ids.
#[derive(Clone, PartialEq, Noun)]
pub struct MaterialList {
    /// The materials.
    pub materials: Vec<ListedMaterial>,
}

/// A material in a list.
#[derive(Clone, PartialEq, Noun)]
pub struct ListedMaterial {
    /// What a recipe calls it.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// What kind of material it is.
    pub kind: MaterialKind,
}

/// A material with every value's range and source, and what can hurt someone.
#[derive(Clone, PartialEq, Noun)]
pub struct MaterialSheet {
    /// What kind of material it is.
    pub kind: MaterialKind,
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

#[questions]
impl Material {
    /// The materials of the generic catalogue and of your own document.
    #[question("material.list")]
    pub fn list(
        /// Only materials of this kind.
        kind: Option<MaterialKind>,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> MaterialList {
        let wanted = |m: &&Material| kind.is_none_or(|k| k == m.class.kind());
        let listed = |m: &Material| ListedMaterial {
            id: m.id.clone(),
            name: m.name.clone(),
            kind: m.class.kind(),
        };
        MaterialList {
            materials: catalogue.iter().filter(wanted).map(listed).collect(),
        }
    }

    /// Everything known about one material: each value with its range, source and standing; cautions.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest ids.
    #[question("material.show")]
    pub fn show(
        /// Its id.
        material: &str,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> Result<MaterialSheet> {
        let material = catalogue.get(material)?.clone();
        Ok(MaterialSheet {
            kind: material.class.kind(),
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
