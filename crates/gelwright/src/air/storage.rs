//! What may stand how warm, and beside what.

use crate::error::Result;
use crate::material::{Catalogue, Class, Hazard, Material};
use crate::noun::{self, Noun, questions};
use crate::quantity::{Quantity, ThermodynamicTemperature, show};
use crate::source::{Source, Why};

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
            .with_source(
                &Source::published(
                    "United Nations",
                    "Recommendations on the Transport of Dangerous Goods, Model Regulations",
                    2023,
                    "7.1.5.3, derivation of control and emergency temperatures",
                )
                .from_memory(),
            )
            .with_note("the product's safety data sheet comes first"),
        })
    }
}

/// What stands on one shelf.
#[derive(Clone, PartialEq, Noun)]
pub struct SharedShelf {
    /// Materials of the generic catalogue, by id.
    pub materials: Vec<String>,
    /// What stands there besides and is no material of a casting.
    #[noun(default)]
    pub also: Vec<StoredSubstance>,
}

/// Kinds of substance that no casting is made of and that stand in workshops.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum StoredSubstance {
    /// An acid: descaler, battery acid, vinegar concentrate.
    Acid,
    /// A base: caustic soda, ammonia, drain cleaner.
    Base,
    /// An amine.
    Amine,
    /// A salt or soap of a heavy metal: driers, accelerators, pigments; rust.
    MetalSalt,
    /// A reducing agent: sulphites, metal powder.
    ReducingAgent,
    /// Sawdust, rags, paper.
    CombustibleWaste,
}

impl StoredSubstance {
    fn words(self) -> &'static str {
        match self {
            StoredSubstance::Acid => "acid",
            StoredSubstance::Base => "base",
            StoredSubstance::Amine => "amine",
            StoredSubstance::MetalSalt => "salt of a heavy metal",
            StoredSubstance::ReducingAgent => "reducing agent",
            StoredSubstance::CombustibleWaste => "combustible waste",
        }
    }
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

fn safety_card() -> Source {
    Source::published(
        "International Programme on Chemical Safety",
        "International Chemical Safety Card 1028: methyl ethyl ketone peroxide (technical product)",
        2005,
        "inchem.org/documents/icsc/icsc/eics1028.htm: no contact with acids, bases, reducing agents; not into saw-dust",
    )
}

fn peroxides_and_coatings(paragraph: &str) -> Source {
    Source::published(
        "State of California",
        "California Code of Regulations, title 8, section 5461, Organic Peroxides and Dual Component Coatings",
        2024,
        &format!("dir.ca.gov/Title8/5461.html, {paragraph}; the year is that of reading"),
    )
}

fn pocket_guide(page: &str) -> Source {
    Source::published(
        "US National Institute for Occupational Safety and Health",
        "NIOSH Pocket Guide to Chemical Hazards, publication 2005-149, incompatibilities",
        2005,
        &format!("cdc.gov/niosh/npg/{page}"),
    )
    .from_memory()
}

fn isocyanate(m: &Material) -> bool {
    m.hazards.contains(&Hazard::Isocyanate)
}

/// What an organic peroxide may not meet, and on whose word.
fn with_peroxide(other: &Material) -> Option<(&'static str, Source)> {
    Some(match &other.class {
        Class::Promoter(p) if p.acts_by.contains("cobalt") => (
            "undiluted they react at once: fire or explosion; each into the resin, one after the other",
            peroxides_and_coatings("(g): never mixed directly with an accelerator or promoter"),
        ),
        Class::Promoter(_) => (
            "an amine decomposes peroxide at once: fire or explosion; each into the resin, one after the other",
            peroxides_and_coatings("(g): never mixed directly with an accelerator or promoter"),
        ),
        Class::Hardener(_) if isocyanate(other) => (
            "peroxide is to meet nothing foreign: heat, fire",
            peroxides_and_coatings("(a): no contamination with any foreign substance"),
        ),
        Class::Hardener(_) => (
            "amines are bases, and decompose peroxide: heat, fire",
            safety_card(),
        ),
        Class::Solvent(_) if other.id == "acetone" => (
            "peroxide and acetone can form an explosive that goes off by shock, sooner with acid",
            Source::published(
                "US Defense Logistics Agency",
                "DLAI 4145.11, TM 38-410, Storage and Handling of Hazardous Materials",
                1999,
                "4.16 B: acetone is incompatible with organic peroxides",
            ),
        ),
        Class::Solvent(_) => (
            "peroxide starts a monomer: it heats itself in the tin; solvents burn",
            pocket_guide("npgd0571.html: styrene and peroxides"),
        ),
        _ if other.hazards.contains(&Hazard::CombustibleMetalDust) => (
            "metal powder reduces and decomposes peroxide: heat, fire",
            safety_card(),
        ),
        Class::Resin(r) if r.family.cures_by_peroxide() => (
            "a resin that peroxide leaks into cures in its tin: heat, fire",
            pocket_guide("npgd0571.html: styrene and peroxides"),
        ),
        _ => return None,
    })
}

/// What an isocyanate may not meet.
fn with_isocyanate(other: &Material) -> Option<(&'static str, Source)> {
    match &other.class {
        Class::Hardener(_) if !isocyanate(other) => Some((
            "amine and isocyanate react at once: heat, pressure in the tin",
            pocket_guide("npgd0413.html: methylene bisphenyl isocyanate and strong alkalis"),
        )),
        _ => None,
    }
}

/// What of the kinds that no casting is made of a material may not meet.
fn with_substance(one: &Material, other: StoredSubstance) -> Option<(&'static str, Source)> {
    use StoredSubstance as S;
    if one.initiator().is_ok() {
        return Some(match other {
            S::Acid | S::Base | S::Amine | S::ReducingAgent => {
                ("it decomposes peroxide: fire, explosion", safety_card())
            }
            S::MetalSalt => (
                "salts of heavy metals, cobalt above all, and rust decompose peroxide: fire, explosion",
                peroxides_and_coatings(
                    "(a), (b), (g): no foreign substance, vessels that do not react, no accelerator",
                ),
            ),
            S::CombustibleWaste => (
                "what has soaked up peroxide can catch fire by itself",
                safety_card(),
            ),
        });
    }
    match other {
        S::Acid | S::Base | S::Amine if isocyanate(one) => Some((
            "it reacts with isocyanate: heat, pressure in the tin",
            pocket_guide("npgd0413.html: methylene bisphenyl isocyanate, strong alkalis, acids, alcohol"),
        )),
        S::Acid if matches!(&one.class, Class::Resin(r) if r.family.cures_by_peroxide()) => Some((
            "a strong acid starts the cure of styrene in the tin: heat",
            pocket_guide("npgd0571.html: styrene and strong acids"),
        )),
        _ => None,
    }
}

fn pair(one: &Material, other: &str, (because, source): (&str, Source)) -> IncompatiblePair {
    IncompatiblePair {
        one: one.id.clone(),
        other: other.to_owned(),
        because: because.to_owned(),
        source,
    }
}

/// The incompatible pairs of some materials.
pub(crate) fn incompatible<'m>(materials: impl IntoIterator<Item = &'m Material>) -> Vec<IncompatiblePair> {
    let all: Vec<&Material> = materials.into_iter().collect();
    let mut found = Vec::new();
    for one in &all {
        let may_not_meet: fn(&Material) -> Option<(&'static str, Source)> = match &one.class {
            Class::Initiator(_) => with_peroxide,
            Class::Hardener(_) if isocyanate(one) => with_isocyanate,
            _ => continue,
        };
        let others = all.iter().filter(|m| m.id != one.id);
        found.extend(others.filter_map(|other| Some(pair(one, &other.id, may_not_meet(other)?))));
    }
    found
}

#[questions]
impl SharedShelf {
    /// The pairs of a shelf that may not meet.
    ///
    /// Of the generic catalogue, by kind: organic peroxide with promoter, amine or isocyanate hardener, acetone, monomer and
    /// solvent, metal powder, peroxide-cured resin; isocyanate with amine. Of what stands there besides (acids, bases, amines,
    /// salts of heavy metals, reducing agents, combustible waste): with peroxide, with isocyanate, acids with styrene. Each
    /// pair carries its source.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a material that is not in the catalogue.
    #[question("air.incompatible")]
    pub fn incompatible(&self) -> Result<ShelfChecked> {
        let found = self.materials.iter().enumerate().map(|(i, id)| {
            let material = Catalogue::generic().get(id);
            material.map_err(|e| e.at(format!("materials[{i}]")))
        });
        let materials = found.collect::<Result<Vec<_>>>()?;
        let mut pairs = incompatible(materials.iter().copied());
        for one in &materials {
            let besides = self
                .also
                .iter()
                .filter_map(|s| Some((s.words(), with_substance(one, *s)?)));
            pairs.extend(besides.map(|(name, told)| pair(one, name, told)));
        }
        Ok(ShelfChecked { pairs })
    }
}
