//! How stiff a curing resin is: Young's modulus against conversion and temperature.

use super::usual;
use crate::error::{Error, Result};
use crate::material::{Catalogue, Resin};
use crate::noun::{Noun, questions};
use crate::quantity::{DegreeOfCure, Pressure, Quantity, TemperatureInterval, show};
use crate::source::{Source, Standing};

/// Young's modulus of a curing resin: glass below its glass transition, rubber above it, nothing before it gels.
///
/// ```text
/// E  = Er + (Eg - Er) exp(-exp((T - Tg(a))/w))
/// Er = Er1 ((a^2 - g^2)/(1 - g^2))^(8/3) above gel, 0 before
/// ```
///
/// The step from glass to rubber is that of C. A. Mahieux, K. L. Reifsnider, *Property modeling across transition
/// temperatures in polymers*, Polymer 42:3281 (2001) `[from memory]`, `exp(-(T/Tg)^m)` with `w = Tg/m`; the rubber's modulus
/// above gel that of D. Adolf, J. E. Martin, *Calculation of stresses in crosslinking polymers*, J. Compos. Mater. 30:13
/// (1996) `[from memory]`. At the glass transition `exp(-1)` = 37 % of the glass is left. Of seconds of load; not modelled: that
/// the glass itself softens as it warms, creep, water.
#[derive(Clone, PartialEq, Noun)]
pub struct CuringModulus {
    /// Of the glass, well below its glass transition.
    #[noun(within = crate::ranges::MODULUS)]
    pub glassy: Pressure,
    /// Of the fully cured rubber, well above it.
    #[noun(within = crate::ranges::MODULUS)]
    pub rubbery: Pressure,
    /// Conversion at gel, from where on there is a network.
    #[noun(within("0 %", < "100 %", "a free-radical resin gels at a few percent, an epoxy at about 58 %"))]
    pub gel_conversion: DegreeOfCure,
    /// How many kelvin the step from glass to rubber is wide.
    #[noun(default = "8 K", within("1 K", "40 K", "8 K is usual, from memory"))]
    pub step: TemperatureInterval,
    /// On whose word.
    pub source: Source,
}

/// Of a fully cured rubber: from memory, 10 to 40 MPa for the networks of this trade.
const RUBBERY: f64 = 20e6;

#[questions]
impl CuringModulus {
    /// That of a resin of the catalogue: its cured modulus as the glass, the rubber and the conversion at gel from memory.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest ids; `Inconsistent` for a material
    /// that is no resin; `NoSolution` for a resin without a modulus.
    #[question("cure.modulus_of_material")]
    pub fn of_material(
        /// Its id.
        material: &str,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> Result<CuringModulus> {
        CuringModulus::of_resin(catalogue.get(material)?.resin()?)?.ok_or_else(|| {
            Error::no_solution(
                "material",
                "how stiff it is while it cures",
                format!("'{material}' does not say its modulus"),
                "give its resin.modulus in a catalogue document",
            )
        })
    }

    /// That of a resin of the catalogue; nothing where it has no modulus.
    ///
    /// # Errors
    /// Never for a resin that was read.
    pub fn of_resin(resin: &Resin) -> Result<Option<CuringModulus>> {
        let Some(modulus) = &resin.modulus else {
            return Ok(None);
        };
        let gels_at = if resin.family.cures_by_peroxide() {
            usual::of_peroxide(resin, |c| c.gel_conversion.as_ref())?
                .0
                .value
                .get()
        } else {
            usual::EPOXY_GEL
        };
        Ok(Some(CuringModulus {
            glassy: modulus.value,
            rubbery: Pressure::from_si(RUBBERY.min(modulus.value.si()))?,
            gel_conversion: DegreeOfCure::new(gels_at)?,
            step: TemperatureInterval::from_si(8.0)?,
            source: Source::of(
                Standing::FromMemory,
                &format!(
                    "glass: the cured modulus ({}); rubber 20 MPa, conversion at gel and width of the step recalled",
                    modulus.source.title
                ),
            ),
        }))
    }
}

impl CuringModulus {
    /// Refuses a rubber stiffer than its glass.
    pub(super) fn agrees(&self) -> Result<()> {
        if self.rubbery.si() <= self.glassy.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "rubbery",
            show(self.rubbery),
            format!("at most the glassy {}", show(self.glassy)),
            "a resin is stiffer below its glass transition than above it: check which is which",
        ))
    }

    /// In Pa at a conversion, its glass transition and a temperature, K; never falling with the first two, never rising with
    /// the last.
    pub(super) fn pascal(&self, a: f64, glass: f64, t: f64) -> f64 {
        let g = self.gel_conversion.get();
        let network = ((a * a - g * g) / (1.0 - g * g)).clamp(0.0, 1.0).powf(8.0 / 3.0);
        let rubber = self.rubbery.si() * network;
        let glassy = (-((t - glass) / self.step.si()).min(50.0).exp()).exp();
        rubber + (self.glassy.si() - rubber) * glassy
    }
}
