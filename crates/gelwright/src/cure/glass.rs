//! Glass transition of the curing resin against its conversion (DiBenedetto), and where cure vitrifies.
//!
//! ```text
//! Tg(a) = Tg0 + (Tg1 - Tg0) lambda a / (1 - (1 - lambda) a)
//! ```
//!
//! Form with `Tg0` (uncured), `Tg1` (fully cured) and `lambda` (ratio of the heat-capacity steps, 0 to 1):
//! J. P. Pascault, R. J. J. Williams, *Glass transition temperature versus conversion relationships for
//! thermosetting polymers*, J. Polym. Sci. B 28:85 (1990) `[from memory]`.

use crate::noun::Noun;

use crate::error::{Error, Result, finite};
use crate::quantity::{DegreeOfCure, Quantity, TemperatureInterval, ThermodynamicTemperature, show};

/// Glass transition temperature as a function of conversion (DiBenedetto).
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct GlassTransition {
    /// Of the uncured mix.
    pub uncured: ThermodynamicTemperature,
    /// At full conversion.
    pub cured: ThermodynamicTemperature,
    /// Ratio of the heat-capacity steps at the glass transition, cured over uncured; above 0, at most 1
    /// (1 is a straight line).
    pub lambda: f64,
}

impl GlassTransition {
    /// Checked.
    ///
    /// # Errors
    /// `OutOfRange` unless 0 < lambda <= 1; `Inconsistent` unless uncured < cured.
    pub fn checked(self) -> Result<Self> {
        let (a, b) = (
            finite("uncured", self.uncured.si())?,
            finite("cured", self.cured.si())?,
        );
        finite("lambda", self.lambda)?;
        if !(a > 0.0 && a < b) {
            return Err(Error::inconsistent(
                "cured",
                show(self.cured),
                format!("above the uncured {}", show(self.uncured)),
                "cure raises the glass transition: check which is which",
            ));
        }
        if !(self.lambda > 0.0 && self.lambda <= 1.0) {
            return Err(Error::out_of_range(
                "lambda",
                self.lambda,
                "above 0, at most 1",
                "0.3 to 0.6 is usual; 1 is a straight line",
            ));
        }
        Ok(self)
    }

    /// Glass transition temperature at a conversion.
    ///
    /// # Errors
    /// As [`checked`](Self::checked).
    pub fn at(&self, conversion: DegreeOfCure) -> Result<ThermodynamicTemperature> {
        ThermodynamicTemperature::from_si(self.checked()?.kelvin(conversion.get()))
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
    /// As [`checked`](Self::checked).
    pub fn conversion_at(&self, temperature: ThermodynamicTemperature) -> Result<DegreeOfCure> {
        let g = self.checked()?;
        DegreeOfCure::new(g.vitrified(finite("temperature", temperature.si())?).0)
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
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Vitrification {
    /// Glass transition against conversion.
    pub glass_transition: GlassTransition,
    /// How far the glass transition climbs above the temperature of cure before reaction stops, 0 K to 50 K.
    pub above: TemperatureInterval,
}

impl Vitrification {
    /// Checked.
    ///
    /// # Errors
    /// As [`GlassTransition::checked`]; `OutOfRange` unless 0 K <= above <= 50 K.
    pub fn checked(self) -> Result<Self> {
        self.glass_transition
            .checked()
            .map_err(|e| e.within("glass_transition"))?;
        let above = finite("above", self.above.si())?;
        if !(0.0..=50.0).contains(&above) {
            return Err(Error::out_of_range(
                "above",
                show(self.above),
                "0 K to 50 K",
                "give how far Tg ends above the cure temperature, for example '10 K'",
            ));
        }
        Ok(self)
    }

    /// The conversion at which cure stops at a temperature.
    ///
    /// # Errors
    /// As [`checked`](Self::checked).
    pub fn final_conversion(&self, temperature: ThermodynamicTemperature) -> Result<DegreeOfCure> {
        let v = self.checked()?;
        DegreeOfCure::new(v.limit(finite("temperature", temperature.si())?).0)
    }

    /// `a_max` and its derivative on temperature, plain SI, parameters already checked.
    pub(crate) fn limit(&self, t: f64) -> (f64, f64) {
        self.glass_transition.vitrified(t + self.above.si())
    }
}
