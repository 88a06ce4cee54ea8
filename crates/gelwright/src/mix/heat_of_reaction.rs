//! Heat of reaction from the chemistry: how many groups react in a gram of the mix, and what each gives off.

use super::measurement::Estimate;
use super::polyurethane::{PolyurethaneConstants, isocyanate_equivalent_mass, polyol_equivalent_mass};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::material::{Catalogue, Family, Hardener, Material, Resin};
use crate::noun::{Noun, check, questions};
use crate::quantity::spread::{Distribution, Input, Spread};
use crate::quantity::{
    AvailableEnergy, HydroxylNumber, Mass, MassFraction, MolarEnergy, MolarMass, Quantity, show,
};
use crate::source::{Property, Source, Standing, Why};
use gelwright_base::propagate::{Sampling, propagate};

/// A reaction of cure.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum CureReaction {
    /// The double bond of styrene, or of a maleic or fumaric polyester, by free radicals; counted by C=C.
    DoubleBond,
    /// The double bond of a methacrylate (vinyl ester, methyl methacrylate), by free radicals; counted by C=C.
    Methacrylate,
    /// Epoxide with the hydrogen of an amine; counted by epoxide.
    EpoxyAmine,
    /// Isocyanate with an alcohol; counted on the side that runs out first, by NCO or by OH.
    Urethane,
}

impl CureReaction {
    /// Heat of a mole of such a group, fully reacted: lowest and highest in J/mol, its value their middle; and its source.
    fn heat(self) -> ((f64, f64), Source) {
        let published = |author: &str, title: &str, year: Option<u16>, locator: &str| Source {
            author: author.into(),
            title: title.into(),
            year,
            locator: locator.into(),
            standing: Standing::Published,
        };
        match self {
            CureReaction::DoubleBond => (
                (65e3, 73e3),
                published(
                    "J. C. Lucas, J. Borrajo, R. J. J. Williams",
                    "Cure of unsaturated polyester resins: 1. Heat of copolymerization and glass transition temperature, Polymer 34:3216",
                    Some(1993),
                    "abstract: 66 measured, 69 complete, diethyl fumarate with styrene 65 to 70, styrene 68.5 to 73 kJ/mol",
                ),
            ),
            CureReaction::Methacrylate => (
                (52e3, 60e3),
                published(
                    "",
                    "Study of the isothermal bulk polymerization of methyl methacrylate by differential scanning calorimetry, Makromol. Chem. 175, doi 10.1002/macp.1974.021750314",
                    Some(1974),
                    "abstract: 52.3 kJ/mol at 70 °C, the cure incomplete; the upper end recalled",
                ),
            ),
            CureReaction::EpoxyAmine => (
                (98e3, 108e3),
                published(
                    "",
                    "Characterization of diglycidyl ether of bisphenol A/aliphatic polyamines systems, Polímeros (São Carlos), scielo.br/j/po/a/56LhNB7ckYdFRPYLDcJK9ZM",
                    None,
                    "abstract: 106.6 kJ/eq with an aliphatic amine; the ends recalled",
                ),
            ),
            CureReaction::Urethane => (
                (55e3, 85e3),
                published(
                    "W. Sultan, J.-P. Busnel",
                    "Kinetic study of polyurethanes formation by using differential scanning calorimetry, J. Therm. Anal. Calorim. 83:355, doi 10.1007/s10973-005-7026-8",
                    Some(2006),
                    "abstract: 55 ± 2 kJ/mol aromatic, 72 ± 3 aliphatic, both with secondary alcohols; aliphatic with primary ones 75 to 80 (doi 10.1007/978-94-009-0767-6_11, abstract); the upper end recalled",
                ),
            ),
        }
    }
}

/// A part of a mix: what reacts, or what only takes up heat.
#[derive(Clone, PartialEq, Noun)]
pub struct HeatPart {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it is in the mix.
    pub mass: Spread<Mass>,
    /// Its reaction; none for filler, pigment and fibre, and for the partner whose groups are counted on the other side.
    pub reaction: Option<CureReaction>,
    /// Its mass per group that reacts, for example "104.15 g/mol" of styrene or "360 to 470 g/mol" of a polyester.
    pub equivalent_mass: Option<Spread<MolarMass>>,
    /// Heat of a mole of such groups; a usual range where left out.
    pub heat: Option<Spread<MolarEnergy>>,
}

impl HeatPart {
    /// A part that reacts.
    pub fn reactive(
        name: &str,
        mass: impl Into<Spread<Mass>>,
        reaction: CureReaction,
        equivalent_mass: impl Into<Spread<MolarMass>>,
    ) -> Self {
        HeatPart {
            name: name.to_owned(),
            mass: mass.into(),
            reaction: Some(reaction),
            equivalent_mass: Some(equivalent_mass.into()),
            heat: None,
        }
    }

    /// A part that gives off no heat of its own.
    pub fn inert(name: &str, mass: impl Into<Spread<Mass>>) -> Self {
        HeatPart {
            name: name.to_owned(),
            mass: mass.into(),
            reaction: None,
            equivalent_mass: None,
            heat: None,
        }
    }
}

/// What a mix gives off by full cure: its parts, those that do not react among them.
#[derive(Clone, PartialEq, Noun)]
pub struct HeatOfReaction {
    /// All that is in the mix.
    pub parts: Vec<HeatPart>,
}

/// Heat that follows from the chemistry.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ChemicalHeat {
    /// Heat given off by full cure, per mass of the mix, all its parts counted.
    pub heat: Estimate<AvailableEnergy>,
    /// The same per mass of the parts whose groups are counted: without filler, of an epoxy without its hardener too.
    pub of_what_cures: AvailableEnergy,
    /// Which inputs make nine tenths of its band, the largest first.
    pub made_by: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Part of the band that is told who makes it.
const TOLD: f64 = 0.9;

#[questions]
impl HeatOfReaction {
    /// Heat that a mix gives off by full cure, from its chemistry.
    ///
    /// `H = sum(m_i h_i/E_i)/sum(m_i)`: `m` mass, `E` mass per reacting group, `h` heat of a mole of groups. The interval
    /// holds 95 %, by sampling. Every group is taken to find its partner: a mix far off its ratio gives off less. Not in
    /// it: the peroxide's own decomposition (some 5 to 10 J/g at 1 to 2 phr, from memory), and that a cure at room
    /// temperature stops before its end.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a mix in which nothing reacts, for a part with a
    /// reaction and no equivalent mass or the other way round; `OutOfRange` for an equivalent mass that is not above zero.
    #[question("mix.heat_of_reaction")]
    pub fn given_off(&self) -> Result<ChemicalHeat> {
        check(self)?;
        let mut inputs = Vec::new();
        let mut names = Vec::new();
        let mut reacting = Vec::new();
        let mut from = Vec::new();
        for (i, part) in self.parts.iter().enumerate() {
            let name = if part.name.is_empty() {
                format!("part {}", i + 1)
            } else {
                part.name.clone()
            };
            inputs.push(part.mass.input());
            names.push(format!("mass of {name}"));
            let mass = format!("{:?}", part.mass);
            let Some((reaction, equivalent)) = part.reacts().map_err(|e| e.within(format!("parts[{i}]")))?
            else {
                reacting.push(false);
                from.push(Why::given(name, format!("{mass}, no reaction of its own")));
                continue;
            };
            reacting.push(true);
            let (usual, source) = reaction.heat();
            let (heat, source) = match part.heat {
                Some(h) => (h.input(), None),
                None => (
                    Input::new(
                        0.5 * (usual.0 + usual.1),
                        Distribution::Between(usual.0, usual.1),
                        MolarEnergy::MEASURE,
                    )?,
                    Some(source),
                ),
            };
            let per_group = Why::given(format!("heat of a group of {name}"), heat.shown());
            from.push(Why::given(
                name.clone(),
                format!("{mass} at {:?} a group", equivalent),
            ));
            from.push(match source {
                Some(s) => per_group.with_source(&s),
                None => per_group,
            });
            inputs.extend([equivalent.input(), heat]);
            names.push(format!("equivalent mass of {name}"));
            names.push(format!("heat of a group of {name}"));
        }
        let given_off = |x: &[f64]| heat_and_mass(&reacting, x);
        let values: Vec<f64> = inputs.iter().map(|i| i.value).collect();
        let (all, total, cures) = given_off(&values);
        if all <= 0.0 || total <= 0.0 {
            return Err(Error::inconsistent(
                "parts",
                "nothing that reacts",
                "at least one part with a mass above zero, a 'reaction' and an 'equivalent_mass'",
                "give what cures its reaction and its mass per reacting group, for example 'double_bond' and \
                 '104.15 g/mol' of styrene",
            ));
        }
        let model = |x: &[f64]| {
            let (heat, mass, _) = given_off(x);
            Ok(heat / mass)
        };
        let spread = propagate(&inputs, Sampling::default(), Cancel::NEVER, model)?;
        let heat = AvailableEnergy::from_si(all / total)?;
        let estimate = match &spread.sampled {
            Some(s) if s.standard_uncertainty.value > 0.0 => {
                Estimate::with_interval(heat, s.standard_uncertainty.value, s.low.value, s.high.value)?
            }
            _ => Estimate::exact(heat)?,
        };
        Ok(ChemicalHeat {
            heat: estimate,
            of_what_cures: AvailableEnergy::from_si(all / cures)?,
            made_by: spread
                .made_by(TOLD)
                .into_iter()
                .map(|i| names[i].clone())
                .collect(),
            why: Why::computed(
                "heat of reaction",
                show(heat),
                "H = sum(m_i h_i/E_i)/sum(m_i)",
                from,
            ),
        })
    }

    /// What is known of a material of the catalogue, as a mix of 100 g: a polyester, vinyl ester or gel coat by itself, an
    /// epoxy or a polyol with its hardener by the hardener's own ratio by mass.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest ids; `Inconsistent` for a material that
    /// is no resin, and for a hardener of another resin; `Document` where the material lacks what is needed, naming it.
    #[question("mix.heat_of_reaction_of_material")]
    pub fn of_material(
        /// Its id.
        material: &str,
        /// The id of its hardener, for an epoxy or a polyol.
        hardener: Option<&str>,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> Result<HeatOfReaction> {
        let of = catalogue.get(material)?;
        let resin = of.resin()?;
        let parts = if resin.family.cures_by_peroxide() {
            by_peroxide(of, resin)?
        } else {
            let id = hardener.ok_or_else(|| {
                Error::inconsistent(
                    "hardener",
                    "none",
                    format!("the id of the hardener of '{material}'"),
                    "an epoxy and a polyol give off no heat alone: name the hardener",
                )
            })?;
            with_hardener(of, resin, catalogue.get(id)?)?
        };
        Ok(HeatOfReaction { parts })
    }
}

/// Heat, mass, and mass of what cures, of inputs laid out part by part: a mass; of what reacts also its equivalent mass and
/// its heat.
fn heat_and_mass(reacting: &[bool], x: &[f64]) -> (f64, f64, f64) {
    let (mut heat, mut mass, mut cures) = (0.0, 0.0, 0.0);
    let mut at = 0;
    for reacts in reacting {
        let m = x[at];
        mass += m;
        if *reacts {
            heat += m * x[at + 2] / x[at + 1];
            cures += m;
            at += 3;
        } else {
            at += 1;
        }
    }
    (heat, mass, cures)
}

impl HeatPart {
    /// Its reaction and the mass per group; nothing for what does not react.
    fn reacts(&self) -> Result<Option<(CureReaction, Spread<MolarMass>)>> {
        match (self.reaction, self.equivalent_mass) {
            (Some(r), Some(e)) => {
                let (low, _) = e.input().ends();
                if low > 0.0 {
                    return Ok(Some((r, e)));
                }
                Err(Error::out_of_range(
                    "equivalent_mass",
                    format!("{e:?}"),
                    "above 0 g/mol, its spread too",
                    "give the mass per group that reacts, for example '400 g/mol' of a polyester",
                ))
            }
            (None, None) => Ok(None),
            (Some(_), None) => Err(Error::inconsistent(
                "equivalent_mass",
                "none",
                "the mass per group that reacts",
                "give it from the data sheet or the formula, for example '104.15 g/mol' of styrene",
            )),
            (None, Some(e)) => Err(Error::inconsistent(
                "reaction",
                "none",
                format!("the reaction whose groups weigh {e:?}"),
                "write 'double_bond', 'methacrylate', 'epoxy_amine' or 'urethane', or leave the equivalent mass out",
            )),
        }
    }
}

/// Mass of a mole of styrene C8H8 in kg.
const STYRENE: f64 = 0.104_15;
/// A mix of the catalogue, in kg.
const ALL: f64 = 0.1;

/// A property as a quantity with its spread: anywhere within its range.
fn spread<Q: Quantity>(p: &Property<Q>) -> Result<Spread<Q>> {
    between(p.value.si(), p.range.map(|(l, h)| (l.si(), h.si())))
}

fn between<Q: Quantity>(value: f64, range: Option<(f64, f64)>) -> Result<Spread<Q>> {
    let distribution = range.map_or(Distribution::Exact, |(low, high)| {
        Distribution::Between(low, high)
    });
    Spread::new(Q::from_si(value)?, distribution)
}

/// The mass of a part known by its share of the whole, the rest staying what it is.
fn by_share(share: &Property<MassFraction>) -> Result<Spread<Mass>> {
    let others = ALL * (1.0 - share.value.get());
    let mass = |f: MassFraction| others * f.get() / (1.0 - f.get());
    between(mass(share.value), share.range.map(|(l, h)| (mass(l), mass(h))))
}

fn by_peroxide(of: &Material, resin: &Resin) -> Result<Vec<HeatPart>> {
    let styrene = of.known("resin.styrene", resin.styrene.as_ref())?;
    let per_bond = of.known("resin.mass_per_double_bond", resin.mass_per_double_bond.as_ref())?;
    let solids = resin.solids.as_ref();
    let rest = 1.0 - styrene.value.get() - solids.map_or(0.0, |s| s.value.get());
    let (name, reaction) = match resin.family {
        Family::VinylEster => ("vinyl ester", CureReaction::Methacrylate),
        _ => ("polyester", CureReaction::DoubleBond),
    };
    let mut parts = vec![
        HeatPart::reactive(
            "styrene",
            by_share(styrene)?,
            CureReaction::DoubleBond,
            MolarMass::from_si(STYRENE)?,
        ),
        HeatPart::reactive(name, Mass::from_si(ALL * rest)?, reaction, spread(per_bond)?),
    ];
    if let Some(s) = solids {
        parts.push(HeatPart::inert("pigment and filler", by_share(s)?));
    }
    Ok(parts)
}

fn with_hardener(of: &Material, resin: &Resin, hardener: &Material) -> Result<Vec<HeatPart>> {
    let second = hardener.hardener()?;
    if second.resin != of.id {
        return Err(Error::inconsistent(
            "hardener",
            format!("'{}', of '{}'", hardener.id, second.resin),
            format!("a hardener of '{}'", of.id),
            "name the hardener that belongs to this resin",
        ));
    }
    let ratio = hardener.known("hardener.mix_by_mass", second.mix_by_mass.first())?;
    let per_resin = ratio.value.get() / 100.0;
    let first = ALL / (1.0 + per_resin);
    let resin_mass = Mass::from_si(first)?;
    let second_mass = Mass::from_si(first * per_resin)?;
    if resin.family == Family::Epoxy {
        let epoxide = of.known("resin.epoxide_equivalent", resin.epoxide_equivalent.as_ref())?;
        let reaction = CureReaction::EpoxyAmine;
        return Ok(vec![
            HeatPart::reactive("epoxy resin", resin_mass, reaction, spread(epoxide)?),
            HeatPart::inert("hardener", second_mass),
        ]);
    }
    let hydroxyl = per_hydroxyl(of, resin)?;
    let isocyanate = per_isocyanate(hardener, second)?;
    // Counted on the side that runs out first.
    let reaction = CureReaction::Urethane;
    Ok(
        if first / hydroxyl.value().si() <= first * per_resin / isocyanate.value().si() {
            vec![
                HeatPart::reactive("polyol", resin_mass, reaction, hydroxyl),
                HeatPart::inert("isocyanate", second_mass),
            ]
        } else {
            vec![
                HeatPart::inert("polyol", resin_mass),
                HeatPart::reactive("isocyanate", second_mass, reaction, isocyanate),
            ]
        },
    )
}

/// Mass of a polyol per hydroxyl group.
fn per_hydroxyl(of: &Material, resin: &Resin) -> Result<Spread<MolarMass>> {
    let number = of.known("resin.hydroxyl_number", resin.hydroxyl_number.as_ref())?;
    let constants = PolyurethaneConstants::default();
    let mass = |oh: f64| Ok(polyol_equivalent_mass(HydroxylNumber::new(oh)?, &constants)?.si());
    let range = match number.range {
        Some((low, high)) => Some((mass(high.get())?, mass(low.get())?)),
        None => None,
    };
    between(mass(number.value.get())?, range)
}

/// Mass of an isocyanate per NCO group.
fn per_isocyanate(of: &Material, hardener: &Hardener) -> Result<Spread<MolarMass>> {
    let content = of.known(
        "hardener.isocyanate_content",
        hardener.isocyanate_content.as_ref(),
    )?;
    let constants = PolyurethaneConstants::default();
    let mass = |w: MassFraction| Ok(isocyanate_equivalent_mass(w, &constants)?.si());
    let range = match content.range {
        Some((low, high)) => Some((mass(high)?, mass(low)?)),
        None => None,
    };
    between(mass(content.value)?, range)
}
