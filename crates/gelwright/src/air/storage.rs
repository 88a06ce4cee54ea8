//! What may stand how warm, and beside what.

use crate::error::Result;
use crate::material::{Catalogue, Class, Hazard, Material};
use crate::noun::{self, Noun, questions};
use crate::quantity::{Quantity, ThermodynamicTemperature, show};
use crate::source::{Source, Standing, Why};

/// An organic peroxide in its package.
///
/// From its self-accelerating decomposition temperature (SADT): up to 20 °C, control at 20 K below it and emergency at 10 K
/// below; above 20 to 35 °C, 15 and 10 K; above 35 °C, 10 and 5 K. Storage is never warmer than the control temperature, nor
/// than what the label says.
///
/// Source: United Nations, Recommendations on the Transport of Dangerous Goods, Model Regulations, 7.1.5.3 (derivation of
/// control and emergency temperatures; as two peroxide makers' storage pages print it, the section from memory).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PeroxideStorage {
    /// Its SADT, from its safety data sheet.
    #[noun(within(
        "-40 degC",
        "150 degC",
        "take the SADT from the safety data sheet, for example '60 degC'"
    ))]
    pub self_accelerating_decomposition: ThermodynamicTemperature,
    /// The warmest that its label allows.
    #[noun(within("-40 degC", "100 degC", "for example '25 degC'"))]
    pub label: Option<ThermodynamicTemperature>,
}

/// How warm a peroxide may stand.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct StorageTemperatures {
    /// Above which it may not be kept.
    pub control: ThermodynamicTemperature,
    /// At which emergency measures start: get people out, call the fire service.
    pub emergency: ThermodynamicTemperature,
    /// The warmest that it may stand in the shop: the control temperature or the label's, whichever is lower.
    pub keep_below: ThermodynamicTemperature,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl PeroxideStorage {
    /// Control and emergency temperatures of an organic peroxide by its SADT class.
    ///
    /// [`PeroxideStorage`] gives rule and source.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("air.peroxide_storage")]
    pub fn temperatures(&self) -> Result<StorageTemperatures> {
        noun::check(self)?;
        let sadt = self.self_accelerating_decomposition.si();
        let celsius = sadt - crate::constants::ZERO_CELSIUS;
        let (control, emergency) = match celsius {
            c if c <= 20.0 => (20.0, 10.0),
            c if c <= 35.0 => (15.0, 10.0),
            _ => (10.0, 5.0),
        };
        let at = |below: f64| ThermodynamicTemperature::from_si(sadt - below);
        let (control, emergency) = (at(control)?, at(emergency)?);
        let keep_below = self.label.filter(|l| l.si() < control.si()).unwrap_or(control);
        Ok(StorageTemperatures {
            control,
            emergency,
            keep_below,
            why: Why::computed(
                "warmest that it may stand",
                show(keep_below),
                "the lower of the label and the control temperature, by SADT class",
                vec![Why::given("SADT", show(self.self_accelerating_decomposition))],
            )
            .with_source(&Source {
                standing: Standing::FromMemory,
                ..Source::published(
                    "United Nations",
                    "Recommendations on the Transport of Dangerous Goods, Model Regulations",
                    2023,
                    "7.1.5.3, derivation of control and emergency temperatures",
                )
            })
            .with_note("the product's safety data sheet comes first"),
        })
    }
}

/// What stands on one shelf.
#[derive(Clone, PartialEq, Noun)]
pub struct SharedShelf {
    /// Materials of the generic catalogue, by id.
    pub materials: Vec<String>,
}

/// Two materials that may not meet, nor stand where one can leak into the other.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct IncompatiblePair {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// What happens.
    pub because: String,
    /// On whose word.
    pub source: Source,
}

/// What of a shelf may not meet.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ShelfChecked {
    /// The pairs.
    pub pairs: Vec<IncompatiblePair>,
}

/// What an organic peroxide may not meet.
fn with_peroxide(other: &Material) -> Option<&'static str> {
    match &other.class {
        Class::Promoter(p) if p.acts_by.contains("cobalt") => {
            Some("undiluted they react at once: fire or explosion; each into the resin, one after the other")
        }
        Class::Promoter(_) => Some("an amine decomposes peroxide at once: fire or explosion"),
        Class::Hardener(_) => Some("amines and isocyanates decompose peroxide: heat, fire"),
        Class::Solvent(_) if other.id == "acetone" => {
            Some("peroxide and acetone can form an explosive that goes off by shock, sooner with acid")
        }
        Class::Solvent(_) => Some("peroxide starts a monomer: it heats itself in the tin; solvents burn"),
        _ if other.hazards.contains(&Hazard::CombustibleMetalDust) => {
            Some("metal powder decomposes peroxide: heat, fire")
        }
        Class::Resin(r) if r.family.cures_by_peroxide() => {
            Some("a resin that peroxide leaks into cures in its tin: heat, fire")
        }
        _ => None,
    }
}

/// The incompatible pairs of some materials.
pub(crate) fn incompatible<'m>(materials: impl IntoIterator<Item = &'m Material>) -> Vec<IncompatiblePair> {
    let all: Vec<&Material> = materials.into_iter().collect();
    let source = Source::of(
        Standing::CommonPractice,
        "safety data sheets of methyl ethyl ketone peroxide, section 10: accelerators, amines, acids, bases, heavy metals, reducing agents",
    );
    let mut found = Vec::new();
    for peroxide in all.iter().filter(|m| m.initiator().is_ok()) {
        for other in all.iter().filter(|m| m.id != peroxide.id) {
            if let Some(because) = with_peroxide(other) {
                found.push(IncompatiblePair {
                    one: peroxide.id.clone(),
                    other: other.id.clone(),
                    because: because.to_owned(),
                    source: source.clone(),
                });
            }
        }
    }
    found
}

#[questions]
impl SharedShelf {
    /// The pairs of a shelf that may not meet.
    ///
    /// Of the generic catalogue, by kind: organic peroxide with promoter, amine or isocyanate hardener, acetone, monomer and
    /// solvent, metal powder, peroxide-cured resin. Acids, bases and rust are not in the catalogue: keep them away too.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a material that is not in the catalogue.
    #[question("air.incompatible")]
    pub fn incompatible(&self) -> Result<ShelfChecked> {
        let found = self.materials.iter().enumerate().map(|(i, id)| {
            let material = Catalogue::generic().get(id);
            material.map_err(|e| e.at(format!("materials[{i}]")))
        });
        Ok(ShelfChecked {
            pairs: incompatible(found.collect::<Result<Vec<_>>>()?),
        })
    }
}
