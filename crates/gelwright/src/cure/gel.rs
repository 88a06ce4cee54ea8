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

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::gel_table::bisect;
use super::kinetics::Kinetics;
use super::run::CureTime;
use super::schedule::Schedule;
use crate::error::{Error, Result, finite};
use crate::quantity::{DegreeOfCure, Tagged, show};
use crate::source::Why;

/// How the viscosity of one resin rises with conversion, relative to the fresh mix at the same temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ViscosityRise {
    /// Conversion at which the viscosity has no bound.
    #[serde(with = "crate::quantity::serde_tagged")]
    #[schemars(with = "Tagged")]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "by", rename_all = "snake_case", deny_unknown_fields)]
pub enum GelCriterion {
    /// At a conversion: some percent for a polyester, about 60 % for an epoxy with an amine
    /// (common practice, no source).
    Conversion {
        /// Conversion at gel.
        #[serde(with = "crate::quantity::serde_tagged")]
        #[schemars(with = "Tagged")]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "ends_at", rename_all = "snake_case", deny_unknown_fields)]
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

impl Kinetics {
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
