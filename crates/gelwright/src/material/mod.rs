//! What stands on the shelf: resins, initiators, promoters, hardeners, fillers, reinforcements, pigments, release
//! agents, mould walls and solvents, each value with its range, source and standing.
//!
//! [`Catalogue::generic`] holds generic materials without a brand. The product in hand differs: give its data
//! sheet's values in a file (`base = "..."` overrides single fields of a generic), and they win over every
//! published rule.

mod catalogue;
mod caution;
mod class;
mod exposure_limit;
mod fact;
mod sheet;

use std::sync::Arc;

use crate::noun::Noun;

pub use catalogue::Catalogue;
pub use caution::Caution;
pub use class::{
    AreaReinforcement, AreaReinforcementForm, Family, Filler, Hardener, Initiator, MouldWall, ParticleShape,
    PeroxideCure, Pigment, Promoter, Release, ReleaseKind, Resin, Solvent,
};
pub use exposure_limit::{Agent, ExposureLimit, ExposureLimits, Jurisdiction, LimitForm};
pub use fact::{Fact, GelTimes, HasSource, ListedPrice, SheetGelRow, SheetPotLife, Window, that_count};
pub use sheet::{ListedMaterial, MaterialList, MaterialSheet};

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{MassDensity, Phr, ThermodynamicTemperature, Time};
#[cfg(feature = "door")]
use crate::question::Entry;
use crate::source::{Property, Source};
use fact::{Facts, words};
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[Material::QUESTIONS];

words! {
    /// What can hurt someone: chooses the cautions and the exposure limits that go with a material.
    Hazard {
        /// Liquid that gives off a vapour that burns at room temperature.
        FlammableLiquid "flammable_liquid",
        /// Organic peroxide: burns without air, decomposes when hot or contaminated, destroys eyes.
        OrganicPeroxide "organic_peroxide",
        /// Styrene vapour.
        StyreneVapour "styrene_vapour",
        /// Vapour of another solvent.
        SolventVapour "solvent_vapour",
        /// Can make a person allergic for life, by skin or breath.
        Sensitizer "sensitizer",
        /// Isocyanate: asthma.
        Isocyanate "isocyanate",
        /// Burns skin and eyes.
        Corrosive "corrosive",
        /// Dust without a poison of its own.
        NuisanceDust "nuisance_dust",
        /// Dust of glass fibre.
        FibreDust "fibre_dust",
        /// Amorphous silica dust.
        SilicaDust "silica_dust",
        /// Dust that may hold crystalline silica.
        CrystallineSilicaDust "crystalline_silica_dust",
        /// Metal dust that burns or explodes in air.
        CombustibleMetalDust "combustible_metal_dust",
        /// Cobalt compound.
        Cobalt "cobalt",
        /// Gets hot enough on cure, in the mass, to burn, smoke or start a fire.
        Exotherm "exotherm",
    }
}

/// A material on the shelf.
#[derive(Clone, PartialEq, Noun)]
#[noun(via = "MaterialDocument")]
#[non_exhaustive]
pub struct Material {
    /// What a recipe calls it (`ortho_polyester`).
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// Density at 20 to 25 °C: of the liquid; of the particle or fibre, not of its heap or mat.
    pub density: Option<Property<MassDensity>>,
    /// Price. Generic materials have none: a price is the user's own.
    pub price: Option<ListedPrice>,
    /// Shelf life in the closed package, stored as told.
    pub shelf_life: Option<Property<Time>>,
    /// Highest storage temperature.
    pub storage: Option<Property<ThermodynamicTemperature>>,
    /// What can hurt someone.
    pub hazards: Vec<Hazard>,
    /// A remark.
    pub note: Option<String>,
    /// The data sheet of the product in hand; none for a generic material.
    pub data_sheet: Option<Arc<Source>>,
    /// What kind of material it is, and the properties of that kind.
    pub class: Class,
}

/// What kind of material it is, and the properties of that kind.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
#[allow(missing_docs)]
pub enum Class {
    Resin(Box<Resin>),
    Initiator(Initiator),
    Promoter(Promoter),
    Hardener(Hardener),
    Filler(Filler),
    Reinforcement(AreaReinforcement),
    Pigment(Pigment),
    Release(Release),
    MouldWall(MouldWall),
    Solvent(Solvent),
}

words! {
    /// What kind of material it is.
    MaterialKind {
        /// What is poured or laid up, before its initiator or hardener is added.
        Resin "resin",
        /// A peroxide solution.
        Initiator "initiator",
        /// An accelerator.
        Promoter "promoter",
        /// The second part of an epoxy or a polyurethane.
        Hardener "hardener",
        /// What is stirred into the resin.
        Filler "filler",
        /// What is sold by the area.
        Reinforcement "reinforcement",
        /// Pigment paste.
        Pigment "pigment",
        /// A release agent.
        Release "release",
        /// What a mould is made of.
        MouldWall "mould_wall",
        /// A solvent, a thinner or a reactive monomer.
        Solvent "solvent",
    }
}

impl Class {
    /// Which kind that is.
    pub const fn kind(&self) -> MaterialKind {
        match self {
            Class::Resin(_) => MaterialKind::Resin,
            Class::Initiator(_) => MaterialKind::Initiator,
            Class::Promoter(_) => MaterialKind::Promoter,
            Class::Hardener(_) => MaterialKind::Hardener,
            Class::Filler(_) => MaterialKind::Filler,
            Class::Reinforcement(_) => MaterialKind::Reinforcement,
            Class::Pigment(_) => MaterialKind::Pigment,
            Class::Release(_) => MaterialKind::Release,
            Class::MouldWall(_) => MaterialKind::MouldWall,
            Class::Solvent(_) => MaterialKind::Solvent,
        }
    }
    /// Its name as the table that holds it is called in a document.
    pub const fn name(&self) -> &'static str {
        self.kind().name()
    }
}

macro_rules! class_access {
    ($($(#[$doc:meta])* $fn:ident $variant:ident $ty:ty;)*) => {
        $($(#[$doc])*
        ///
        /// # Errors
        /// [`ErrorKind::Inconsistent`] for a material of another kind.
        pub fn $fn(&self) -> Result<&$ty> {
            match &self.class {
                Class::$variant(x) => Ok(x),
                _ => Err(self.wrong_class(stringify!($fn))),
            }
        })*
    };
}

impl Material {
    /// A material with nothing known but its kind; everything else is set on the public fields.
    pub fn new(id: impl Into<String>, name: impl Into<String>, class: Class) -> Self {
        Material {
            id: id.into(),
            name: name.into(),
            density: None,
            price: None,
            shelf_life: None,
            storage: None,
            hazards: Vec::new(),
            note: None,
            data_sheet: None,
            class,
        }
    }

    fn wrong_class(&self, wanted: &str) -> Error {
        Error::inconsistent(
            "material",
            format!("'{}' (a {})", self.id, self.class.name().replace('_', " ")),
            format!("a {}", wanted.replace('_', " ")),
            format!("name a material of the kind '{wanted}'"),
        )
    }

    class_access! {
        /// The resin it is.
        resin Resin Resin;
        /// The initiator it is.
        initiator Initiator Initiator;
        /// The promoter it is.
        promoter Promoter Promoter;
        /// The hardener it is.
        hardener Hardener Hardener;
        /// The filler it is.
        filler Filler Filler;
        /// The reinforcement it is.
        reinforcement Reinforcement AreaReinforcement;
        /// The pigment paste it is.
        pigment Pigment Pigment;
        /// The release agent it is.
        release Release Release;
        /// The mould wall it is.
        mould_wall MouldWall MouldWall;
        /// The solvent it is.
        solvent Solvent Solvent;
    }

    /// Whose dose windows hold where that cures this resin, and these: the resin's own for an initiator, a hardener's for itself.
    ///
    /// # Errors
    /// As [`Material::resin`].
    pub(crate) fn dose_windows_with<'m>(
        &'m self,
        cures_by: &'m Material,
    ) -> Result<(&'m str, &'m [Window<Phr>])> {
        Ok(match &cures_by.class {
            Class::Initiator(_) => (&self.id, &self.resin()?.dose_window),
            Class::Hardener(h) => (&cures_by.id, &h.mix_window),
            _ => (&self.id, &[]),
        })
    }

    /// Its density, or an error that says how to give it.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] if none is known.
    pub fn known_density(&self) -> Result<&Property<MassDensity>> {
        self.known("density", self.density.as_ref())
    }

    /// `property` of this material, or an error that says how to give it: `known("resin.viscosity", ...)`.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] if it is not known.
    pub fn known<'a, T>(&self, name: &str, property: Option<&'a T>) -> Result<&'a T> {
        property.ok_or_else(|| {
            Error::new(ErrorKind::Document, format!("material.{}.{name}", self.id))
                .with_value("no value")
                .with_way_out(format!(
                    "give it from the product's data sheet: a material with base = \"{}\" and a '{name}'",
                    self.id
                ))
        })
    }

    /// Every value it has, one [`Fact`] each.
    pub fn facts(&self) -> Vec<Fact> {
        let mut out = Vec::new();
        self.density.facts("density", &mut out);
        self.price.facts("price", &mut out);
        self.shelf_life.facts("shelf_life", &mut out);
        self.storage.facts("storage", &mut out);
        let field = self.class.name();
        match &self.class {
            Class::Resin(x) => x.facts(field, &mut out),
            Class::Initiator(x) => x.facts(field, &mut out),
            Class::Promoter(x) => x.facts(field, &mut out),
            Class::Hardener(x) => x.facts(field, &mut out),
            Class::Filler(x) => x.facts(field, &mut out),
            Class::Reinforcement(x) => x.facts(field, &mut out),
            Class::Pigment(x) => x.facts(field, &mut out),
            Class::Release(x) => x.facts(field, &mut out),
            Class::MouldWall(x) => x.facts(field, &mut out),
            Class::Solvent(x) => x.facts(field, &mut out),
        }
        out
    }

    /// Refuses what no material can be: an empty id, a negative or zero density, a negative property.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`], [`ErrorKind::Unreadable`].
    pub fn check(&self) -> Result<()> {
        let letters = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        if self.id.is_empty() || !self.id.chars().all(letters) {
            return Err(Error::new(ErrorKind::Unreadable, "id")
                .with_value(format_args!("'{}'", self.id))
                .with_allowed("small letters, digits and '_'")
                .with_way_out("write for example 'my_gel_coat'"));
        }
        if let Some(d) = &self.density
            && d.value.value <= 0.0
        {
            return Err(Error::out_of_range(
                "density",
                crate::quantity::show(d.value),
                "more than 0 kg/m^3",
                "write for example '1.10 g/mL'",
            ));
        }
        match self
            .facts()
            .into_iter()
            .find_map(|f| f.absurd.map(|v| (f.field, v)))
        {
            Some((field, value)) => Err(Error::out_of_range(
                field,
                value,
                "0 or more",
                "a property of a material is not negative: check the sign",
            )),
            None => Ok(()),
        }
    }
}

/// A material as a document holds it: the common fields, and one table named after its kind.
#[derive(Clone, Noun)]
#[noun(name = "Material")]
pub(in crate::material) struct MaterialDocument {
    id: String,
    name: String,
    density: Option<Property<MassDensity>>,
    price: Option<ListedPrice>,
    shelf_life: Option<Property<Time>>,
    storage: Option<Property<ThermodynamicTemperature>>,
    #[noun(default)]
    hazards: Vec<Hazard>,
    note: Option<String>,
    data_sheet: Option<Arc<Source>>,
    resin: Option<Box<Resin>>,
    initiator: Option<Initiator>,
    promoter: Option<Promoter>,
    hardener: Option<Hardener>,
    filler: Option<Filler>,
    reinforcement: Option<AreaReinforcement>,
    pigment: Option<Pigment>,
    release: Option<Release>,
    mould_wall: Option<MouldWall>,
    solvent: Option<Solvent>,
}

impl TryFrom<MaterialDocument> for Material {
    type Error = Error;
    fn try_from(d: MaterialDocument) -> Result<Material> {
        let mut classes: Vec<Class> = [
            d.resin.map(Class::Resin),
            d.initiator.map(Class::Initiator),
            d.promoter.map(Class::Promoter),
            d.hardener.map(Class::Hardener),
            d.filler.map(Class::Filler),
            d.reinforcement.map(Class::Reinforcement),
            d.pigment.map(Class::Pigment),
            d.release.map(Class::Release),
            d.mould_wall.map(Class::MouldWall),
            d.solvent.map(Class::Solvent),
        ]
        .into_iter()
        .flatten()
        .collect();
        let class = match (classes.pop(), classes.is_empty()) {
            (Some(c), true) => c,
            (last, _) => {
                let given: Vec<&str> = classes.iter().chain(&last).map(Class::name).collect();
                return Err(Error::new(ErrorKind::Document, d.id)
                    .with_value(match given.as_slice() {
                        [] => "a material of no kind".to_owned(),
                        many => format!("a material of several kinds ({})", many.join(", ")),
                    })
                    .with_allowed(format!(
                        "exactly one table of: {}",
                        MaterialKind::ALL
                            .iter()
                            .map(|k| k.name())
                            .collect::<Vec<_>>()
                            .join(", ")
                    ))
                    .with_way_out("say what it is, for example with a table [material.my_resin.resin]"));
            }
        };
        let material = Material {
            id: d.id,
            name: d.name,
            density: d.density,
            price: d.price,
            shelf_life: d.shelf_life,
            storage: d.storage,
            hazards: d.hazards,
            note: d.note,
            data_sheet: d.data_sheet,
            class,
        };
        material.check()?;
        Ok(material)
    }
}

impl From<Material> for MaterialDocument {
    fn from(m: Material) -> MaterialDocument {
        let mut d = MaterialDocument {
            id: m.id,
            name: m.name,
            density: m.density,
            price: m.price,
            shelf_life: m.shelf_life,
            storage: m.storage,
            hazards: m.hazards,
            note: m.note,
            data_sheet: m.data_sheet,
            resin: None,
            initiator: None,
            promoter: None,
            hardener: None,
            filler: None,
            reinforcement: None,
            pigment: None,
            release: None,
            mould_wall: None,
            solvent: None,
        };
        match m.class {
            Class::Resin(x) => d.resin = Some(x),
            Class::Initiator(x) => d.initiator = Some(x),
            Class::Promoter(x) => d.promoter = Some(x),
            Class::Hardener(x) => d.hardener = Some(x),
            Class::Filler(x) => d.filler = Some(x),
            Class::Reinforcement(x) => d.reinforcement = Some(x),
            Class::Pigment(x) => d.pigment = Some(x),
            Class::Release(x) => d.release = Some(x),
            Class::MouldWall(x) => d.mould_wall = Some(x),
            Class::Solvent(x) => d.solvent = Some(x),
        }
        d
    }
}
