//! A dose for an amount of resin: told in mass, volume and drops, and on every basis.

use super::bench::Dropper;
use super::dose::Dose;
use super::measurement::Estimate;
use super::peroxide;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{self, Mass, MassDensity, PartsByVolume, Phr, Quantity, SpecificVolume, Volume};
use crate::source::Why;

/// A dose and the resin that it goes to.
#[derive(Clone, PartialEq, Noun)]
pub struct ResinDose {
    /// The dose with its basis.
    pub dose: Dose,
    /// Resin by mass; this or `resin_volume`.
    #[noun(within(> "0 g", .., "write how much resin there is, for example '250 g'"))]
    pub resin_mass: Option<Mass>,
    /// Resin by volume; this or `resin_mass`.
    #[noun(within(> "0 mL", .., "write how much resin there is, for example '8 fl oz'"))]
    pub resin_volume: Option<Volume>,
    /// Density of the resin.
    #[noun(within = crate::ranges::RESIN_SHEET_DENSITY)]
    pub resin_density: MassDensity,
    /// Density of what is dosed.
    #[noun(within = crate::ranges::DOSED_DENSITY)]
    pub dose_density: MassDensity,
    /// The dropper, for a dose in drops or to be told in drops.
    pub dropper: Option<Dropper>,
    /// Least dose that is right, to catch a slip of a factor of ten.
    pub lowest: Option<Phr>,
    /// Most dose that is right.
    pub highest: Option<Phr>,
}

/// A dose on every basis.
#[derive(Clone, PartialEq, Noun)]
pub struct MeasuredDose {
    /// Resin by mass.
    pub resin_mass: Mass,
    /// Mass of what is dosed; for a dose in drops with the dropper's uncertainty.
    pub mass: Estimate<Mass>,
    /// Its volume.
    pub volume: Volume,
    /// Drops, where a dropper is given; to be rounded.
    pub drops: Option<f64>,
    /// By mass on resin.
    pub by_mass: Phr,
    /// By volume on resin.
    pub by_volume: PartsByVolume,
    /// By volume on mass of resin.
    pub volume_per_mass: SpecificVolume,
    /// What stands out: outside the window, and what was probably meant.
    pub finding: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl ResinDose {
    /// A dose turned into mass, volume and drops for an amount of resin, and told on every basis.
    ///
    /// Mass of the dose as [`Dose::mass_for`]. Where the dose lies outside `lowest` to `highest` and ten times or a tenth of
    /// it lies inside, the finding says which dose was probably meant.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for none or both of the resin's mass and volume, for a
    /// dose in drops without a dropper, and for `lowest` above `highest`.
    #[question("mix.dose")]
    pub fn measure(&self) -> Result<MeasuredDose> {
        crate::noun::check(self)?;
        let resin_mass = self.resin()?;
        let (rho_r, rho_d) = (self.resin_density, self.dose_density);
        let dropper = self.dropper.as_ref();
        let mass = self.dose.mass_for(resin_mass, rho_r, rho_d, dropper)?;
        let volume = Volume::from_si(mass.si() / rho_d.si())?;
        let by_mass = self.dose.as_phr(rho_r, rho_d, dropper)?;
        let drops = dropper.map(|d| d.drops_for(volume)).transpose()?;
        Ok(MeasuredDose {
            resin_mass,
            mass: match (self.dose, dropper, drops) {
                (Dose::Drops(_), Some(d), Some(n)) if n > 0.0 => {
                    Estimate::log_normal(mass, d.relative_uncertainty(n))?
                }
                _ => Estimate::exact(mass)?,
            },
            volume,
            drops,
            by_mass,
            by_volume: self.dose.as_parts_by_volume(rho_r, rho_d, dropper)?,
            volume_per_mass: self.dose.as_volume_per_mass(rho_r, rho_d, dropper)?,
            finding: self.finding(by_mass)?,
            why: self.why(resin_mass, mass),
            cautions: peroxide::cautions(),
        })
    }
}

impl ResinDose {
    fn resin(&self) -> Result<Mass> {
        match (self.resin_mass, self.resin_volume) {
            (Some(m), None) => Ok(m),
            (None, Some(v)) => Mass::from_si(v.si() * self.resin_density.si()),
            _ => Err(Error::inconsistent(
                "resin_mass",
                "none or both of mass and volume",
                "one of 'resin_mass' and 'resin_volume'",
                "give how much resin there is, for example '250 g' or '8 fl oz'",
            )),
        }
    }

    /// What stands out of a dose, where it is outside its window.
    fn finding(&self, dose: Phr) -> Result<Option<String>> {
        let low = self.lowest.map_or(0.0, Phr::get);
        let high = self.highest.map_or(f64::INFINITY, Phr::get);
        let window = match (self.lowest, self.highest) {
            (None, None) => return Ok(None),
            (Some(low), Some(high)) => format!("{} to {}", quantity::show(low), quantity::show(high)),
            (Some(low), None) => format!("{} or more", quantity::show(low)),
            (None, Some(high)) => format!("{} or less", quantity::show(high)),
        };
        if low > high {
            return Err(Error::inconsistent(
                "lowest",
                window,
                "'lowest' up to 'highest'",
                "write the lower dose as 'lowest'",
            ));
        }
        let inside = |x: f64| (low..=high).contains(&x);
        if inside(dose.get()) {
            return Ok(None);
        }
        let shown = quantity::show(dose);
        let slips = [dose.get() * 10.0, dose.get() / 10.0];
        Ok(Some(match slips.into_iter().find(|x| inside(*x)) {
            Some(meant) => format!(
                "{shown} is outside {window}; a slip of a factor of ten? {} lies inside: check the dose and the amount \
                 of resin",
                quantity::show(Phr::new(meant)?)
            ),
            None => format!("{shown} is outside {window}"),
        }))
    }

    fn why(&self, resin_mass: Mass, mass: Mass) -> Why {
        let mut from = vec![
            Why::given("dose as given", self.dose.to_string()),
            Why::given("resin", quantity::show(resin_mass)),
            Why::given("density of the resin", quantity::show(self.resin_density)),
            Why::given("density of what is dosed", quantity::show(self.dose_density)),
        ];
        from.extend(self.dropper.as_ref().map(Dropper::why));
        Why::computed(
            "mass of the dose",
            quantity::show(mass),
            match self.dose {
                Dose::ByMass(_) => "m p/100",
                Dose::ByVolume(_) => "m q rho_d/rho_r",
                Dose::VolumePerMass(_) => "m s rho_d",
                Dose::Drops(_) => "(m/rho_r) n v rho_d",
            },
            from,
        )
    }
}
