//! Glass transition of the curing resin against its conversion (DiBenedetto), and where cure vitrifies.
//!
//! ```text
//! Tg(a) = Tg0 + (Tg1 - Tg0) lambda a / (1 - (1 - lambda) a)
//! ```
//!
//! Form with `Tg0` (uncured), `Tg1` (fully cured) and `lambda` (ratio of the heat-capacity steps, 0 to 1):
//! J. P. Pascault, R. J. J. Williams, *Glass transition temperature versus conversion relationships for
//! thermosetting polymers*, J. Polym. Sci. B 28:85 (1990) `[from memory]`.

use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::quantity::{DegreeOfCure, Quantity, TemperatureInterval, ThermodynamicTemperature, show};
use crate::source::Why;

/// Glass transition temperature as a function of conversion (DiBenedetto).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct GlassTransition {
    /// Of the uncured mix.
    pub uncured: ThermodynamicTemperature,
    /// At full conversion.
    pub cured: ThermodynamicTemperature,
    /// Ratio of the heat-capacity steps at the glass transition, cured over uncured (1 is a straight line).
    #[noun(within(> 0, 1, "0.3 to 0.6 is usual; 1 is a straight line"))]
    pub lambda: f64,
}

/// A glass transition temperature.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GlassTransitionTemperature {
    /// Glass transition temperature.
    pub temperature: ThermodynamicTemperature,
    /// The chain behind it.
    pub why: Why,
}

pub(super) const DIBENEDETTO: &str = "Tg = Tg0 + (Tg1 - Tg0) lambda a/(1 - (1 - lambda) a)";

#[questions]
impl GlassTransition {
    /// Glass transition temperature at a conversion (DiBenedetto).
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite`; `Inconsistent` unless uncured < cured.
    #[question("cure.glass_transition")]
    pub fn at(
        &self,
        /// Conversion.
        conversion: DegreeOfCure,
    ) -> Result<GlassTransitionTemperature> {
        self.checked()?;
        let temperature = ThermodynamicTemperature::from_si(self.kelvin(conversion.get()))?;
        Ok(GlassTransitionTemperature {
            temperature,
            why: Why::computed(
                "glass transition",
                show(temperature),
                DIBENEDETTO,
                vec![
                    Why::given("conversion a", show(conversion)),
                    Why::given("Tg0", show(self.uncured)),
                    Why::given("Tg1", show(self.cured)),
                    Why::given("lambda", self.lambda.to_string()),
                ],
            ),
        })
    }

    /// Refuses what is no glass transition, as a field `glass_transition`.
    pub(super) fn checked(&self) -> Result<()> {
        check(self)
            .and_then(|()| self.rises())
            .map_err(|e| e.within("glass_transition"))
    }

    /// Refuses one that does not rise with cure.
    pub(super) fn rises(&self) -> Result<()> {
        if self.uncured.si() > 0.0 && self.uncured.si() < self.cured.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "cured",
            show(self.cured),
            format!("above the uncured {}", show(self.uncured)),
            "cure raises the glass transition: check which is which",
        ))
    }

    /// `Tg` in K at conversion `a`, parameters already checked.
    pub(crate) fn kelvin(&self, a: f64) -> f64 {
        let a = a.clamp(0.0, 1.0);
        let y = self.lambda * a / (1.0 - (1.0 - self.lambda) * a);
        self.uncured.si() + (self.cured.si() - self.uncured.si()) * y
    }

    /// The conversion whose glass transition lies at a temperature: the inverse of [`at`](Self::at), 0 below the
    /// uncured and 1 above the cured glass transition.
    ///
    /// # Errors
    /// As [`at`](Self::at); `NotFinite` for the temperature.
    pub fn conversion_at(&self, temperature: ThermodynamicTemperature) -> Result<DegreeOfCure> {
        self.checked()?;
        DegreeOfCure::new(self.vitrified(finite("temperature", temperature.si())?).0)
    }

    /// Conversion at which `Tg = t` and its derivative on `t`; plain SI, parameters already checked.
    fn vitrified(&self, t: f64) -> (f64, f64) {
        let range = self.cured.si() - self.uncured.si();
        let y = (t - self.uncured.si()) / range;
        if y <= 0.0 {
            (0.0, 0.0)
        } else if y >= 1.0 {
            (1.0, 0.0)
        } else {
            let below = self.lambda + (1.0 - self.lambda) * y;
            (y / below, self.lambda / (below * below) / range)
        }
    }
}

/// Cure stops where the glass transition has climbed `above` the temperature of cure.
///
/// The final conversion `a_max(T)` solves `Tg(a_max) = T + above`; a warmer part cures on.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Vitrification {
    /// Glass transition against conversion.
    pub glass_transition: GlassTransition,
    /// How far the glass transition climbs above the temperature of cure before reaction stops.
    #[noun(within(
        "0 K",
        "50 K",
        "give how far Tg ends above the cure temperature, for example '10 K'"
    ))]
    pub above: TemperatureInterval,
}

/// Where cure at a temperature ends.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FinalConversion {
    /// Conversion at which cure stops.
    pub conversion: DegreeOfCure,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Vitrification {
    /// The conversion at which cure at a temperature stops by vitrification.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite`; as [`GlassTransition::at`].
    #[question("cure.final_conversion")]
    pub fn final_conversion(
        &self,
        /// Temperature of cure.
        temperature: ThermodynamicTemperature,
    ) -> Result<FinalConversion> {
        check(self)
            .and_then(|()| self.rises())
            .map_err(|e| e.within("vitrification"))?;
        let conversion = DegreeOfCure::new(self.limit(finite("temperature", temperature.si())?).0)?;
        Ok(FinalConversion {
            conversion,
            why: Why::computed(
                "final conversion",
                show(conversion),
                "Tg(a_max) = T + above",
                vec![
                    Why::given("temperature of cure", show(temperature)),
                    Why::given("above", show(self.above)),
                ],
            ),
        })
    }

    /// Refuses one whose glass transition does not rise with cure.
    pub(super) fn rises(&self) -> Result<()> {
        self.glass_transition
            .rises()
            .map_err(|e| e.within("glass_transition"))
    }

    /// `a_max` and its derivative on temperature, plain SI, parameters already checked.
    pub(crate) fn limit(&self, t: f64) -> (f64, f64) {
        self.glass_transition.vitrified(t + self.above.si())
    }
}
