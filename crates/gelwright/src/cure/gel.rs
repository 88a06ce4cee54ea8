//! Gel time and pot life from kinetics.
//!
//! Gel is where the network first spans the sample. A rate law knows conversion only, so gel is a conversion, or
//! a rise of viscosity, which at constant temperature is a conversion too:
//!
//! ```text
//! eta(a)/eta(0) = [ag/(ag - a)]^(A + B a)
//! ```
//!
//! J. M. Castro, C. W. Macosko, *Studies of mold filling and curing in the reaction injection molding process*,
//! AIChE J. 28:250 (1982), form `[from memory]`.

use crate::noun::Noun;

use super::gel_table::{bisect, wanted_within};
use super::kinetics::{Kinetics, RateLaw};
use super::run::CureTime;
use super::schedule::Schedule;
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{DegreeOfCure, Phr, Quantity, Time, show};
use crate::source::Why;

/// How the viscosity of one resin rises with conversion, relative to the fresh mix at the same temperature.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct ViscosityRise {
    /// Conversion at which the viscosity has no bound.
    pub gel_conversion: DegreeOfCure,
    /// `A`, above 0, at most 20.
    pub a: f64,
    /// `B`; `A + B ag` above 0.
    pub b: f64,
}

impl ViscosityRise {
    fn checked(&self) -> Result<f64> {
        let ag = self.gel_conversion.get();
        finite("a", self.a)?;
        finite("b", self.b)?;
        if ag <= 0.0 {
            return Err(Error::out_of_range(
                "gel_conversion",
                show(self.gel_conversion),
                "above 0 %",
                "give the conversion at gel, for example '60 %' for an epoxy",
            ));
        }
        if !(self.a > 0.0 && self.a <= 20.0 && self.b.abs() <= 20.0 && self.a + self.b * ag > 0.0) {
            return Err(Error::out_of_range(
                "a",
                format_args!("A = {}, B = {}", self.a, self.b),
                "0 < A <= 20 and A + B ag > 0",
                "fit A and B to viscosity readings of the catalysed resin",
            ));
        }
        Ok(ag)
    }

    /// Viscosity over that of the fresh mix at the same temperature; infinite from gel on.
    ///
    /// # Errors
    /// `OutOfRange` for constants without a rise.
    pub fn ratio(&self, conversion: DegreeOfCure) -> Result<f64> {
        let ag = self.checked()?;
        Ok(self.at(conversion.get(), ag))
    }

    fn at(&self, a: f64, ag: f64) -> f64 {
        if a >= ag {
            f64::INFINITY
        } else {
            (ag / (ag - a)).powf(self.a + self.b * a)
        }
    }

    /// The conversion at which the viscosity has risen `ratio` times.
    ///
    /// # Errors
    /// `OutOfRange` unless ratio > 1, or for constants without a rise.
    pub fn conversion_at(&self, ratio: f64) -> Result<DegreeOfCure> {
        let ag = self.checked()?;
        finite("ratio", ratio)?;
        if ratio <= 1.0 {
            return Err(Error::out_of_range("ratio", ratio, "above 1", "2 is a doubling"));
        }
        DegreeOfCure::new(bisect(0.0, ag, |a| (self.at(a, ag) / ratio).ln().min(1.0)))
    }
}

/// When the mix counts as gelled.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[noun(tag = "by")]
pub enum GelCriterion {
    /// At a conversion: some percent for a polyester, about 60 % for an epoxy with an amine
    /// (common practice, no source).
    Conversion {
        /// Conversion at gel.
        conversion: DegreeOfCure,
    },
    /// At a viscosity, over that of the fresh mix (a gel timer stops at a set viscosity, 50 Pa s for example).
    Viscosity {
        /// Viscosity at gel over viscosity when fresh.
        ratio: f64,
        /// How it rises.
        rise: ViscosityRise,
    },
}

impl GelCriterion {
    /// Gel as a conversion.
    ///
    /// # Errors
    /// `OutOfRange` unless between 0 and 1, or as [`ViscosityRise::conversion_at`].
    pub fn gel_conversion(&self) -> Result<DegreeOfCure> {
        match self {
            GelCriterion::Conversion { conversion } if conversion.get() <= 0.0 => Err(Error::out_of_range(
                "conversion",
                show(*conversion),
                "above 0 %",
                "give the conversion at gel, for example '5 %'",
            )),
            GelCriterion::Conversion { conversion } => Ok(*conversion),
            GelCriterion::Viscosity { ratio, rise } => rise.conversion_at(*ratio),
        }
    }
}

/// What ends the pot life. Data sheets mean one or the other: a viscosity that has doubled (or risen fourfold, for
/// a thin resin) comes well before gel.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[noun(tag = "ends_at")]
pub enum PotLifeEnd {
    /// The viscosity has risen so many times: 2 where the sheet says doubling.
    ViscosityRatio {
        /// Viscosity over that of the fresh mix.
        ratio: f64,
        /// How it rises.
        rise: ViscosityRise,
    },
    /// Gel.
    Gel {
        /// When it counts as gelled.
        criterion: GelCriterion,
    },
}

/// The dose that gives a wanted gel time, from kinetics.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseFromKinetics {
    /// Catalyst on 100 parts of resin by mass.
    pub dose: Phr,
    /// The gel time at that dose.
    pub gel_time: CureTime,
    /// The chain behind it.
    pub why: Why,
}

impl Kinetics {
    /// The same kinetics with another dose of catalyst.
    ///
    /// # Errors
    /// `Inconsistent` for a law that does not know its dose.
    pub fn with_dose(&self, dose: Phr) -> Result<Kinetics> {
        let mut k = self.clone();
        match &mut k.law {
            RateLaw::FreeRadical(f) => {
                f.dose = dose;
                Ok(k)
            }
            other => Err(Error::inconsistent(
                "kinetics.law",
                other.name(),
                "the free-radical law, which knows its dose",
                "this law was fitted at one dose: use a gel-time table for other doses, or fit the free-radical law",
            )),
        }
    }

    /// The dose inside `window` (least, most) that gives a wanted gel time along a schedule: bisection in ln(dose),
    /// along which the gel time never rises. `cancel` is asked before every gel time.
    ///
    /// # Errors
    /// `NoSolution` where the window does not hold the time, naming the nearest; `Inconsistent` for an empty window
    /// or a law that does not know its dose; `Cancelled`; as [`gel_time`](Self::gel_time).
    pub fn dose_for(
        &self,
        time: Time,
        criterion: &GelCriterion,
        schedule: &Schedule,
        window: (Phr, Phr),
        cancel: Cancel<'_>,
    ) -> Result<DoseFromKinetics> {
        let (wanted, low, high) = wanted_within(time, window)?;
        // A dose that never gels gels infinitely late.
        let gel = |dose: f64| -> Result<f64> {
            cancel.check()?;
            match self.with_dose(Phr::new(dose)?)?.gel_time(criterion, schedule) {
                Ok(t) => Ok(t.time.si()),
                Err(e) if e.kind() == ErrorKind::NoSolution => Ok(f64::INFINITY),
                Err(e) => Err(e),
            }
        };
        let (slowest, quickest) = (gel(low)?, gel(high)?);
        if wanted < quickest * (1.0 - 1e-9) || wanted > slowest * (1.0 + 1e-9) {
            let (edge, reached, way_out) = if wanted < quickest {
                (
                    window.1,
                    quickest,
                    "no dose in the window works: warm resin, mould and air, or take a quicker system",
                )
            } else {
                (
                    window.0,
                    slowest,
                    "no dose in the window works: cool resin, mould and air, or take a slower system",
                )
            };
            let reached = if reached.is_finite() {
                format!("gels in {}", show(Time::from_si(reached)?))
            } else {
                "never gels".to_owned()
            };
            return Err(Error::no_solution(
                "dose",
                format_args!("a gel time of {}", show(time)),
                format!("{} {reached}", show(edge)),
                way_out,
            ));
        }
        let (mut a, mut b) = (low.ln(), high.ln());
        for _ in 0..48 {
            let m = 0.5 * (a + b);
            if gel(m.exp())? > wanted { a = m } else { b = m }
        }
        let dose = Phr::new(b.exp().clamp(low, high))?;
        let gel_time = self.with_dose(dose)?.gel_time(criterion, schedule)?;
        Ok(DoseFromKinetics {
            dose,
            why: Why::computed(
                "catalyst for the gel time",
                show(dose),
                "the dose at which the gel time is the wanted one",
                vec![Why::given("wanted gel time", show(time)), gel_time.why.clone()],
            ),
            gel_time,
        })
    }

    /// Gel time along a schedule.
    ///
    /// # Errors
    /// `NoSolution` where it does not gel, saying why; as [`GelCriterion::gel_conversion`] and
    /// [`Kinetics::kernel`] otherwise.
    pub fn gel_time(&self, criterion: &GelCriterion, schedule: &Schedule) -> Result<CureTime> {
        let gel = criterion.gel_conversion().map_err(|e| e.within("criterion"))?;
        let mut t = self.reach("gel time", gel, schedule)?;
        if let GelCriterion::Viscosity { ratio, .. } = criterion {
            t.why
                .from
                .push(Why::given("viscosity at gel over fresh", format!("{ratio}")));
        }
        Ok(t)
    }

    /// Pot life along a schedule.
    ///
    /// # Errors
    /// As [`gel_time`](Self::gel_time).
    pub fn pot_life(&self, end: &PotLifeEnd, schedule: &Schedule) -> Result<CureTime> {
        let (conversion, note) = match end {
            PotLifeEnd::ViscosityRatio { ratio, rise } => (
                rise.conversion_at(*ratio).map_err(|e| e.within("end"))?,
                format!("pot life ends where the viscosity is {ratio} times the fresh one; gel comes later"),
            ),
            PotLifeEnd::Gel { criterion } => (
                criterion.gel_conversion().map_err(|e| e.within("end"))?,
                "pot life taken to gel; handling ends earlier".to_owned(),
            ),
        };
        let mut t = self.reach("pot life", conversion, schedule)?;
        t.why = t.why.with_note(note);
        Ok(t)
    }

    pub(crate) fn reach(
        &self,
        what: &str,
        conversion: DegreeOfCure,
        schedule: &Schedule,
    ) -> Result<CureTime> {
        let goal = conversion.get();
        self.first_time(
            schedule,
            |_, y| y[0] - goal,
            what,
            &format!("a conversion of {}", show(conversion)),
        )
    }
}
