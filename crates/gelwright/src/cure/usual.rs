//! Rate constants usual for a family of resins or of initiators, for where nothing measured is at hand: wide, and marked so.
//!
//! An epoxy with an amine and a polyurethane cure by laws of their own, never by a peroxide's. The *shape* of each law and its
//! activation energies are published for one mix; how quick a product is, its gel time tells.

use super::gel::GelCriterion;
use super::glass::Vitrification;
use super::kinetics::{FittedRange, KamalSourour, Kinetics, NthOrder, RateConstant, RateLaw};
use super::schedule::Schedule;
use crate::error::{Error, Result};
use crate::material::{Catalogue, Family, PeroxideCure, Resin};
use crate::noun::{Noun, questions};
use crate::quantity::{
    DegreeOfCure, Frequency, MolarEnergy, Quantity, ThermodynamicTemperature, Time, show,
    temperature::celsius,
};
use crate::source::{Property, Source, Standing, Why};

/// The resin of the catalogue that stands in for what another resin that a peroxide cures does not say of its cure.
pub(crate) const USUAL_RESIN: &str = "ortho_polyester";

/// What a resin says of its cure by a peroxide, or what is usual, and whether it is its own.
///
/// # Errors
/// `NoSolution` where the generic catalogue has none.
pub(crate) fn of_peroxide<Q: Quantity>(
    resin: &Resin,
    of: fn(&PeroxideCure) -> Option<&Property<Q>>,
) -> Result<(&Property<Q>, bool)> {
    if let Some(own) = resin.peroxide_cure.as_ref().and_then(of) {
        return Ok((own, true));
    }
    let usual = Catalogue::generic().get(USUAL_RESIN)?.resin()?;
    let found = usual.peroxide_cure.as_ref().and_then(of);
    found.map(|p| (p, false)).ok_or_else(|| {
        Error::no_solution(
            "peroxide_cure",
            format!("a constant of '{USUAL_RESIN}'"),
            "one in the catalogue",
            "give the resin's own",
        )
    })
}

impl RateConstant {
    /// First-order constant of an initiator whose half-life at a temperature is known: `k = ln 2/half_life`.
    ///
    /// # Errors
    /// `OutOfRange` unless the half-life is above zero.
    pub fn of_half_life(
        half_life: Time,
        temperature: ThermodynamicTemperature,
        activation_energy: MolarEnergy,
    ) -> Result<RateConstant> {
        if half_life.si() <= 0.0 {
            return Err(Error::out_of_range(
                "half_life",
                show(half_life),
                "above 0 s",
                "give the half-life at this temperature, for example '10 h'",
            ));
        }
        let k = Frequency::from_si(std::f64::consts::LN_2 / half_life.si())?;
        Ok(RateConstant::at(temperature, k, activation_energy))
    }

    /// Decomposition by heat alone of a ketone peroxide in a polyester, where nothing measured is at hand; for
    /// [`FreeRadical::thermal_decomposition`](super::FreeRadical::thermal_decomposition). Half of it is gone in 10 h at 105 °C,
    /// with 85 kJ/mol.
    ///
    /// Energy: 80 to 90 kJ/mol for polymerization started by the thermal decomposition of ethyl methyl ketone and
    /// cyclohexanone peroxides in unsaturated polyester, *Kinetics of the curing reaction of unsaturated polyester resins
    /// catalyzed with new initiators and a promoter*, J. Appl. Polym. Sci. 102:1870 (2006), abstract; of the peroxide alone in a
    /// solvent it is higher, some 115 kJ/mol `[from memory]`. Half-life: 90 °C (cyclohexanone peroxide in benzene) to 110 °C
    /// for 10 h `[from memory]`; no readable table of methyl ethyl ketone peroxide was found. Not modelled: which of its
    /// forms it holds, metals and acids that quicken it.
    ///
    /// # Errors
    /// None in practice: its numbers are fixed.
    pub fn of_ketone_peroxide_by_heat() -> Result<RateConstant> {
        RateConstant::ketone_peroxide_by_heat(MolarEnergy::from_si(85e3)?)
    }

    /// The same with another activation energy: half of it lasts 10 h at 105 °C.
    pub(crate) fn ketone_peroxide_by_heat(energy: MolarEnergy) -> Result<RateConstant> {
        RateConstant::of_half_life(Time::from_si(36_000.0)?, celsius(105.0), energy)
    }

    /// How long half of it takes as a first-order reaction, `ln 2/k(T)`.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite` for a constant of zero or below.
    pub fn half_life(&self, temperature: ThermodynamicTemperature) -> Result<Time> {
        let k = self.arrhenius("rate_constant", false)?.at(temperature.si());
        Time::from_si(std::f64::consts::LN_2 / k)
    }

    /// So many times quicker.
    fn quickened(self, times: f64) -> Result<RateConstant> {
        Ok(RateConstant {
            factor: Frequency::from_si(self.factor.si() * times)?,
            ..self
        })
    }
}

/// Kinetics of a family of resins, where a material has none of its own.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct UsualKinetics {
    /// The kinetics.
    pub kinetics: Kinetics,
    /// Conversion at gel that goes with them.
    pub gel_conversion: DegreeOfCure,
    /// How many times quicker or slower the product may be (common practice, no source); none where a gel time was given.
    pub within_factor: Option<f64>,
    /// The chain behind it.
    pub why: Why,
}

/// `k1` and `k2` in 1/s at 60 °C and their energies in J/mol: least cubes of the residuals of `(k1 + k2 a^m) u^n` slowed by diffusion
/// on three published isothermal runs (`tests/published/cure_law.rs` holds them to the runs).
const EPOXY: [(f64, f64); 2] = [(3.3742e-04, 65.53866e3), (2.6496e-03, 48.20617e3)];
const EPOXY_ORDERS: (f64, f64) = (1.29921, 2.32537);
/// `1/sqrt((f - 1)(g - 1))`, of two epoxide groups and four amine hydrogens: P. J. Flory, *Principles of Polymer Chemistry*
/// (1953), chapter IX.
pub(super) const EPOXY_GEL: f64 = 0.577;
const EPOXY_FACTOR: f64 = 5.0;
/// Rate constant of castor oil and trimethylolpropane polyol with diphenylmethane diisocyanate in bulk at 25 °C, not
/// catalysed, NCO/OH 1, L/(eq s): A. Kaushik, P. Singh, Int. J. Polym. Mater. 55:549 (2006), abstract.
const URETHANE: f64 = 3.4e-4;
/// Isocyanate in the fresh mix, eq/L: the catalogue's casting polyol (hydroxyl number 350) with 135 g/eq of isocyanate at 1.12
/// g/mL, arithmetic.
const ISOCYANATE: f64 = 3.8;
/// Castor oil with diphenylmethane diisocyanate, catalysed, n-th order: A. C. Milanese and others, *Cure kinetic of castor
/// oil-based polyurethane*, J. Appl. Polym. Sci. 122:3168 (2011), abstract.
const URETHANE_ENERGY: f64 = 56e3;
/// Of a triol and a diisocyanate, as of the epoxy.
const URETHANE_GEL: f64 = 0.707;
/// A catalyst is some twenty times.
const URETHANE_FACTOR: f64 = 20.0;

#[questions]
impl UsualKinetics {
    /// Kinetics usual for a family of resins that cure by a hardener: an epoxy with an amine by Kamal and Sourour's law, a
    /// polyurethane by a second-order law.
    ///
    /// Epoxy: `da/dt = (k1 + k2 a^m) u^n`, constants found from isothermal calorimetry of bisphenol A epoxy with
    /// 1,3-diaminopropane at 50 to 80 °C (public data, repository `tkmeldrum/epoxy_HPC`, 2026). Polyurethane: `da/dt = k u^2`,
    /// as many isocyanate as hydroxyl groups, `k = 3.4e-4 L/(eq s)` times 3.8 eq/L at 25 °C (A. Kaushik, P. Singh, Int. J. Polym.
    /// Mater. 55:549 (2006), abstract), 56 kJ/mol (J. Appl. Polym. Sci. 122:3168 (2011), abstract). Heat of reaction and
    /// glass transition are those of the generic catalogue's resin. With a gel time all constants are multiplied
    /// by one factor, so that the mix gels then.
    ///
    /// Not modelled: a mix off its ratio, which cures less and softens; water, which foams a polyurethane; carbon dioxide
    /// that an amine takes up; a hardener of several amines, whose law is broader than one.
    ///
    /// # Errors
    /// `Inconsistent` for a family that cures by a peroxide, and for one of gel time and temperature without the other;
    /// `NoSolution` for a gel time at a temperature at which it vitrifies before it gels.
    #[question("cure.usual_kinetics")]
    pub fn of_family(
        /// Family of the resin: `epoxy` or `polyol`.
        family: Family,
        /// Gel time of a thin layer of the product, which does not warm itself.
        gel_time: Option<Time>,
        /// Temperature of that gel time.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: Option<ThermodynamicTemperature>,
        /// Where its cure stops; as the catalogue's resin of this family where left out.
        vitrification: Option<Vitrification>,
    ) -> Result<UsualKinetics> {
        let (id, gel, factor, fitted, note) = match family {
            Family::Epoxy => (
                "laminating_epoxy",
                EPOXY_GEL,
                EPOXY_FACTOR,
                Some(FittedRange {
                    coldest: celsius(25.0),
                    hottest: celsius(80.0),
                }),
                "of one amine with pure epoxy by calorimetry at 50 to 80 °C, which foretell the run at 25 °C within 10 %",
            ),
            Family::Polyol => (
                "casting_polyol",
                URETHANE_GEL,
                URETHANE_FACTOR,
                None,
                "of one polyol and isocyanate without catalyst at 25 °C; the activation energy is another mix's",
            ),
            _ => {
                return Err(Error::inconsistent(
                    "family",
                    family.to_string(),
                    "epoxy or polyol",
                    "it cures by a peroxide, whose law has the dose in it: find its kinetics from a data sheet",
                ));
            }
        };
        let resin = Catalogue::generic().get(id)?.resin()?;
        let Some(heat) = &resin.heat_of_reaction else {
            return Err(Error::no_solution(
                "family",
                "its heat of reaction",
                format!("'{id}' of the catalogue has none"),
                "give kinetics of your own",
            ));
        };
        let vitrification = match vitrification {
            Some(v) => Some(v),
            None => Vitrification::of_resin(resin)?,
        };
        let mut kinetics = Kinetics {
            law: law(family, 1.0)?,
            heat_of_reaction: heat.value,
            seed: DegreeOfCure::new(0.0)?,
            vitrification,
            fitted,
            source: source(family),
        };
        let gel_conversion = DegreeOfCure::new(gel)?;
        let quickens = match (gel_time, temperature) {
            (None, None) => None,
            (Some(wanted), Some(at)) => {
                let criterion = GelCriterion::Conversion {
                    conversion: gel_conversion,
                };
                let own = kinetics.gel_time(&criterion, &Schedule::isothermal(at)?)?;
                if wanted.si() <= 0.0 {
                    return Err(Error::out_of_range(
                        "gel_time",
                        show(wanted),
                        "above 0 s",
                        "give the gel time of a thin layer, for example '40 min'",
                    ));
                }
                Some((own.time.si() / wanted.si(), wanted, at))
            }
            (Some(_), None) => return Err(without("temperature", "of the gel time")),
            (None, Some(_)) => return Err(without("gel_time", "at that temperature")),
        };
        let mut from = vec![
            Why::given("family", family.to_string()),
            Why::given("heat of reaction", show(heat.value)),
        ];
        if let Some((times, wanted, at)) = quickens {
            kinetics.law = law(family, times)?;
            from.push(Why::given(
                "gel time",
                format!("{} at {}", show(wanted), show(at)),
            ));
        }
        let why = Why::computed(
            "usual kinetics",
            kinetics.law.name(),
            kinetics.law.equation(),
            from,
        )
        .with_source(&kinetics.source)
        .with_note(match quickens {
            None => {
                format!("wide: {note}; a product may be {factor} times quicker or slower: give its gel time")
            }
            Some((times, ..)) => format!("{note}; all constants times {times:.3} for the gel time"),
        });
        Ok(UsualKinetics {
            kinetics,
            gel_conversion,
            within_factor: quickens.is_none().then_some(factor),
            why,
        })
    }
}

fn without(field: &str, what: &str) -> Error {
    Error::inconsistent(
        field,
        "left out",
        format!("the one {what}"),
        "give both gel_time and temperature, or neither",
    )
}

fn law(family: Family, times: f64) -> Result<RateLaw> {
    let at = |t: f64, k: f64, energy: f64| {
        RateConstant::at(celsius(t), Frequency::from_si(k)?, MolarEnergy::from_si(energy)?).quickened(times)
    };
    if family == Family::Epoxy {
        let [k1, k2] = EPOXY.map(|(k, energy)| at(60.0, k, energy));
        let (m, n) = EPOXY_ORDERS;
        return Ok(RateLaw::KamalSourour(KamalSourour {
            k1: k1?,
            k2: k2?,
            m,
            n,
        }));
    }
    Ok(RateLaw::NthOrder(NthOrder {
        k: at(25.0, URETHANE * ISOCYANATE, URETHANE_ENERGY)?,
        n: 2.0,
    }))
}

fn source(family: Family) -> Source {
    let title = if family == Family::Epoxy {
        "isothermal calorimetry of bisphenol A epoxy with 1,3-diaminopropane: public repository tkmeldrum/epoxy_HPC, combined_arrhenius_20260722.csv; constants fitted here"
    } else {
        "A. Kaushik, P. Singh, Kinetic study of polyurethane reaction between castor oil/TMP polyol and diphenyl methane diisocyanate in bulk, Int. J. Polym. Mater. 55:549 (2006), abstract; J. Appl. Polym. Sci. 122:3168 (2011), abstract"
    };
    Source::of(Standing::Derived, title)
}
