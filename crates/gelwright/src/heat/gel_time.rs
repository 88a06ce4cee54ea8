//! A cup that gels when it is wanted to: how warm to pour it, how much catalyst to give it.

use super::cup::{Cup, CupRun};
use super::kernel::Workspace;
use crate::cancel::Cancel;
use crate::cure::RateLaw;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::numeric::roots;
use crate::quantity::{Phr, Quantity, ThermodynamicTemperature, Time, show};
use crate::source::Why;

/// The temperature to pour at for a cup to gel at a wanted time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PourTemperature {
    /// Temperature of the mix.
    pub temperature: ThermodynamicTemperature,
    /// The cup poured at it.
    pub cup: CupRun,
    /// Equation and sources.
    pub why: Why,
}

/// The dose of catalyst for a cup to gel at a wanted time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseForGel {
    /// Catalyst.
    pub dose: Phr,
    /// The cup with that dose.
    pub cup: CupRun,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
}

#[questions(GEL_TIME)]
impl Cup {
    /// Temperature of the mix at which a cup gels at a wanted time.
    ///
    /// `gel(temperature) = wanted`, bracketed; `starts_at` of the cup is replaced.
    ///
    /// # Errors
    /// `NoSolution` where the bounds do not hold it; `Inconsistent` for a gel after the cup's duration; as
    /// [`run`](Self::run).
    #[question("heat.pour_temperature", long)]
    pub fn pour_temperature(
        &self,
        /// Wanted gel time.
        gel: Time,
        /// Coldest to try.
        coldest: ThermodynamicTemperature,
        /// Warmest to try.
        warmest: ThermodynamicTemperature,
        cancel: Cancel<'_>,
    ) -> Result<PourTemperature> {
        let mut tried = self.followed_to(gel)?;
        let mut work = Workspace::new();
        let temperature = roots::inverse("temperature", (coldest, warmest), gel, 1e-3, |t| {
            tried.starts_at = t;
            tried.gel_in(&mut work, cancel)
        })?;
        let found = Cup {
            starts_at: temperature,
            ..self.clone()
        };
        let cup = found.run_in(&mut work, cancel)?;
        let how = "root of gel(temperature) = wanted, bracketed";
        let from = vec![cup.why.clone()];
        Ok(PourTemperature {
            temperature,
            why: Why::computed("temperature of the mix", show(temperature), how, from),
            cup,
        })
    }

    /// Catalyst dose, within the data sheet's window, at which a cup gels at a wanted time.
    ///
    /// `gel(dose) = wanted`, bracketed; the dose of the cup's free-radical kinetics is replaced.
    ///
    /// # Errors
    /// `NoSolution` where the bounds do not hold it; `Inconsistent` for kinetics that know no dose and for a gel after
    /// the cup's duration; as [`run`](Self::run).
    #[question("heat.dose_for_gel", long)]
    pub fn dose_for_gel(
        &self,
        /// Wanted gel time.
        gel: Time,
        /// Least catalyst to try: the lower end of the data sheet's window.
        least: Phr,
        /// Most catalyst to try: the upper end of the data sheet's window.
        most: Phr,
        cancel: Cancel<'_>,
    ) -> Result<DoseForGel> {
        let mut tried = self.followed_to(gel)?;
        let mut work = Workspace::new();
        let dose = roots::inverse("dose", (least, most), gel, 1e-4, |d| {
            tried.set_dose(d)?;
            tried.gel_in(&mut work, cancel)
        })?;
        let mut found = self.clone();
        found.set_dose(dose)?;
        let cup = found.run_in(&mut work, cancel)?;
        let how = "root of gel(dose) = wanted, bracketed";
        Ok(DoseForGel {
            dose,
            cautions: vec![
                "organic peroxide: wear goggles and gloves, never mix it with promoter directly, and stay inside the \
                 data sheet's dose window."
                    .into(),
            ],
            why: Why::computed("catalyst", show(dose), how, vec![cup.why.clone()]),
            cup,
        })
    }

    /// The cup as it is tried: without what its gel does not need.
    fn followed_to(&self, gel: Time) -> Result<Cup> {
        if gel >= self.duration {
            return Err(Error::inconsistent(
                "gel",
                show(gel),
                format!("below the duration, {}", show(self.duration)),
                "lengthen the cup's duration",
            ));
        }
        Ok(Cup {
            points: 0,
            stop_when_cooling: false,
            ..self.clone()
        })
    }

    /// Gel time; a cup that does not gel is later than any time asked for.
    fn gel_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<Time> {
        match self.run_in(work, cancel)?.gel {
            Some(t) => Ok(t),
            None => Time::from_si(10.0 * self.duration.si()),
        }
    }

    fn set_dose(&mut self, dose: Phr) -> Result<()> {
        match &mut self.cure.kinetics.law {
            RateLaw::FreeRadical(f) => {
                f.dose = dose;
                Ok(())
            }
            _ => Err(Error::inconsistent(
                "cure.kinetics.law",
                "a law without a catalyst dose",
                "free_radical",
                "only free-radical kinetics know the dose",
            )),
        }
    }
}
