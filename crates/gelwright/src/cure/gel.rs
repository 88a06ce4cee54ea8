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

use super::run::CureTime;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check};
use crate::numeric::roots::bisect;
use crate::quantity::{DegreeOfCure, Phr};
use crate::source::Why;

/// How the viscosity of one resin rises with conversion, relative to the fresh mix at the same temperature.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct ViscosityRise {
    /// Conversion at which the viscosity has no bound.
    #[noun(within(> "0 %", "100 %", "give the conversion at gel, for example '60 %' for an epoxy"))]
    pub gel_conversion: DegreeOfCure,
    /// `A`.
    #[noun(within(> 0, 20, "fit A and B to viscosity readings of the catalysed resin"))]
    pub a: f64,
    /// `B`; `A + B ag` above 0.
    #[noun(within(-20, 20, "fit A and B to viscosity readings of the catalysed resin"))]
    pub b: f64,
}

impl ViscosityRise {
    /// The conversion at gel, once all is checked.
    fn checked(&self) -> Result<f64> {
        check(self)?;
        let ag = self.gel_conversion.get();
        if self.a + self.b * ag > 0.0 {
            return Ok(ag);
        }
        Err(Error::out_of_range(
            "a",
            format_args!("A = {}, B = {}", self.a, self.b),
            "A + B ag > 0",
            "fit A and B to viscosity readings of the catalysed resin",
        ))
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
        let ag = self.checked().map_err(|e| e.within("rise"))?;
        finite("ratio", ratio)?;
        if ratio <= 1.0 {
            return Err(Error::out_of_range("ratio", ratio, "above 1", "2 is a doubling"));
        }
        DegreeOfCure::new(bisect(0.0, ag, |a| (self.at(a, ag) / ratio).ln().min(1.0)))
    }
}

/// When the mix counts as gelled.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(tag = "by")]
pub enum GelCriterion {
    /// At a conversion: some percent for a polyester, about 60 % for an epoxy with an amine
    /// (common practice, no source).
    Conversion {
        /// Conversion at gel.
        #[noun(within(> "0 %", "100 %", "give the conversion at gel, above 0 %, for example '5 %'"))]
        conversion: DegreeOfCure,
    },
    /// At a viscosity, over that of the fresh mix (a gel timer stops at a set viscosity, 50 Pa s for example).
    Viscosity {
        /// Viscosity at gel over viscosity when fresh.
        #[noun(within = crate::ranges::GEL_RISE)]
        ratio: f64,
        /// How it rises.
        rise: ViscosityRise,
    },
}

impl GelCriterion {
    /// Gel as a conversion.
    ///
    /// # Errors
    /// `OutOfRange` unless above 0, or as [`ViscosityRise::conversion_at`].
    pub fn gel_conversion(&self) -> Result<DegreeOfCure> {
        check(self)?;
        match self {
            GelCriterion::Conversion { conversion } => Ok(*conversion),
            GelCriterion::Viscosity { ratio, rise } => rise.conversion_at(*ratio),
        }
    }
}

/// What ends the pot life. Data sheets mean one or the other: a viscosity that has doubled (or risen fourfold, for
/// a thin resin) comes well before gel.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(tag = "ends_at")]
pub enum PotLifeEnd {
    /// The viscosity has risen so many times: 2 where the sheet says doubling.
    ViscosityRatio {
        /// Viscosity over that of the fresh mix.
        #[noun(within = crate::ranges::GEL_RISE)]
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
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseFromKinetics {
    /// Catalyst on 100 parts of resin by mass.
    pub dose: Phr,
    /// The gel time at that dose.
    pub gel_time: CureTime,
    /// The chain behind it.
    pub why: Why,
}
