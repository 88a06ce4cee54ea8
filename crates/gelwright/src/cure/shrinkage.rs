//! Cure shrinkage against conversion.
//!
//! The overall volume shrinkage follows from the densities of liquid and cured resin at the same temperature,
//! `S = 100 (rho_cured - rho_liquid)/rho_cured` percent, the quantity that ISO 3521:1997 measures (the formula
//! `[from memory]`). It is taken to grow in proportion to conversion (a model without a source, usual in cure
//! simulation). What happens before gel flows in; what happens after it strains the part.

use crate::error::{Error, Result};
use crate::noun::{Noun, check, questions};
use crate::quantity::{DegreeOfCure, MassDensity, Quantity, Strain, VolumeFraction, show};
use crate::source::Why;

/// The densities that tell how much a resin shrinks from liquid to fully cured, and what of the mix does not.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CureDensities {
    /// Density of the liquid mix.
    #[noun(within = crate::ranges::MIX_DENSITY)]
    pub liquid_density: MassDensity,
    /// Density fully cured, at the same temperature.
    #[noun(within = crate::ranges::MIX_DENSITY)]
    pub cured_density: MassDensity,
    /// Volume of fillers and glass, which do not shrink, in the liquid mix.
    pub filler_content: VolumeFraction,
}

/// Shrinkage at a conversion. Lengths and volumes that shrink have negative strain.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureShrinkage {
    /// Volume strain since mixing.
    pub volume: Strain,
    /// Linear strain since mixing, the same in all directions.
    pub linear: Strain,
    /// Linear strain since gel: what pulls on mould and glass.
    pub linear_after_gel: Strain,
    /// The chain behind it.
    pub why: Why,
}

#[questions(shrinkage)]
impl CureDensities {
    /// Cure shrinkage at a conversion: volume, linear, and linear after gel.
    ///
    /// Volume ratio `V/V0 = 1 - (1 - phi)(1 - rho_l/rho_c) a`; linear strain is its cube root less one; after gel
    /// the ratio to the volume at gel.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite` for a density; `Inconsistent` for a cured density below the liquid one by more than
    /// 2 % (an expanding system is not this model's) or above it by more than 20 %.
    #[question("cure.shrinkage")]
    pub fn at(
        &self,
        /// Conversion.
        conversion: DegreeOfCure,
        /// Conversion at gel.
        gel_conversion: DegreeOfCure,
    ) -> Result<CureShrinkage> {
        check(self)?;
        let (liquid, cured) = (self.liquid_density.si(), self.cured_density.si());
        let total = 1.0 - liquid / cured;
        if !(-0.02..=0.2).contains(&total) {
            return Err(Error::inconsistent(
                "cured_density",
                show(self.cured_density),
                format!("{:.0} kg/m^3 to {:.0} kg/m^3", liquid / 1.02, liquid / 0.8),
                "resins shrink by 1 % to 10 %: check which density is which, and that both are unfilled",
            ));
        }
        let resin = 1.0 - self.filler_content.get();
        let ratio = |a: f64| 1.0 - resin * total * a;
        let (now, at_gel) = (
            ratio(conversion.get()),
            ratio(gel_conversion.get().min(conversion.get())),
        );
        let linear = now.cbrt() - 1.0;
        let after = (now / at_gel).cbrt() - 1.0;
        let volume = Strain::new(now - 1.0)?;
        let mut gelled = Why::given("conversion at gel", show(gel_conversion));
        if conversion < gel_conversion {
            gelled = gelled.with_note("not reached: what has shrunk so far flows in, and nothing pulls yet");
        }
        Ok(CureShrinkage {
            volume,
            linear: Strain::new(linear)?,
            linear_after_gel: Strain::new(after)?,
            why: Why::computed(
                "cure shrinkage",
                show(volume),
                "V/V0 = 1 - (1 - phi)(1 - rho_liquid/rho_cured) a",
                vec![
                    Why::given("density of the liquid", show(self.liquid_density)),
                    Why::given("density cured", show(self.cured_density)),
                    Why::given("fillers and glass phi", show(self.filler_content)),
                    Why::given("conversion a", show(conversion)),
                    gelled,
                ],
            )
            .with_note(
                "in proportion to conversion: a model without a source; cooling from cure comes on top",
            ),
        })
    }
}
