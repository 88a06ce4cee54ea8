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
use crate::material::{Catalogue, Resin};
use crate::noun::{Noun, check, questions};
use crate::quantity::{DegreeOfCure, Quantity, TemperatureInterval, ThermodynamicTemperature, show};
use crate::source::{Property, Why};
use uom::si::temperature_interval::kelvin as kelvin_interval;

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

/// Cure slows, and in practice stops, once the glass transition has climbed past the temperature of cure.
///
/// With `slows_over` (`w`) propagation is limited by diffusion: its constant is divided by
/// `1 + exp((Tg(a) - T - above)/w)`. This is the sum `1/k = 1/kc + 1/kd` of a chemical and a diffusion constant (E.
/// Rabinowitch, *Collision, co-ordination, diffusion and reaction velocity in condensed systems*, Trans. Faraday Soc.
/// 33:1225 (1937) `[from memory]`) whose `kd` falls with the glass transition, and near the end of cure the factor
/// `1/(1 + exp(C (a - a_c(T))))` of C.-S. Chern, G. W. Poehlein, *A kinetic model for curing reactions of epoxides with
/// amines*, Polym. Eng. Sci. 27:788 (1987) `[from memory]`, with `a_c` and `C = (dTg/da)/w` from DiBenedetto instead of
/// fitted anew at each temperature. Nothing ever ends: held at one temperature the glass transition creeps on by
/// `2.3 w` a decade of time, and a warmer part cures on.
///
/// Without `slows_over` reaction stops dead: `a_max(T)` solves `Tg(a_max) = T + above` and is the end of the rate law.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Vitrification {
    /// Glass transition against conversion.
    pub glass_transition: GlassTransition,
    /// How far the glass transition climbs above the temperature of cure before diffusion halves the rate, or, without
    /// `slows_over`, before reaction stops.
    #[noun(within(
        "0 K",
        "50 K",
        "give how far Tg ends above the cure temperature, for example '10 K'"
    ))]
    pub above: TemperatureInterval,
    /// How many kelvin of glass transition past that slow the reaction by a factor of e; without it reaction stops dead.
    #[noun(within("0.5 K", "30 K", "3 K is usual; leave it out for a dead stop"))]
    pub slows_over: Option<TemperatureInterval>,
    /// How sure it is; some usual spread where left out.
    pub spread: Option<GlassSpread>,
}

/// How sure a glass transition against conversion is: the low and the high value of each of its constants.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct GlassSpread {
    /// Low value of each constant.
    pub low: GlassTransition,
    /// High value of each constant.
    pub high: GlassTransition,
    /// How much less or more than computed the glass transition may have climbed above the temperature of cure.
    #[noun(within("0 K", "50 K", "give half the spread, for example '12 K'"))]
    pub climb: TemperatureInterval,
}

/// How far a cure has come that has vitrified, that is, whose glass transition has reached its temperature: from there
/// on it is no surer than the resin's glass transition.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct Vitrified {
    /// Low end of the degree of cure.
    pub low: DegreeOfCure,
    /// High end of the degree of cure.
    pub high: DegreeOfCure,
    /// Low end of the glass transition.
    pub glass_transition_low: ThermodynamicTemperature,
    /// High end of the glass transition.
    pub glass_transition_high: ThermodynamicTemperature,
}

/// Where diffusion halves the rate, over the temperature of cure. Vitrification is `Tg = T`.
const ABOVE: f64 = 0.0;
/// The universal constants of M. L. Williams, R. F. Landel, J. D. Ferry, J. Am. Chem. Soc. 77:3701 (1955) `[from memory]`
/// slow segments by e in `51.6/(2.303 17.44)` = 1.3 K at the glass transition; a monomer is freer, with some 0.4 of that
/// slope `[from memory]`. Then the glass transition ends some 23 K above the temperature of cure after a day.
const SLOWS_OVER: f64 = 3.0;
/// From 11 K, vinyl ester with peroxide and cobalt (J. Appl. Polym. Sci. 64:769 (1997), abstract), to some 35 K, vinyl
/// ester of about 60 °C after 24 h at room temperature (J. Appl. Polym. Sci. 97:2221 (2005), abstract): 23 K +- 12 K.
const CLIMB: f64 = 12.0;
/// Usual spread of the uncured and the cured glass transition in K and of lambda, where none is given `[from memory]`.
const USUAL_SPREAD: (f64, f64, f64) = (10.0, 15.0, 0.1);
/// Factor on the rate at which cure counts as ended: there it has come after some days.
const ENDED: f64 = 0.001;

/// Where cure at a temperature ends.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FinalConversion {
    /// Conversion at which cure stops.
    pub conversion: DegreeOfCure,
    /// How sure it is.
    pub vitrified: Option<Vitrified>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Vitrification {
    /// The conversion at which cure at a temperature stops by vitrification: where diffusion leaves a thousandth of
    /// the rate, or at the dead stop.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite`; as [`GlassTransition::at`].
    #[question("cure.final_conversion")]
    pub fn final_conversion(
        &self,
        /// Temperature of cure.
        temperature: ThermodynamicTemperature,
    ) -> Result<FinalConversion> {
        check(self).and_then(|()| self.rises())?;
        let conversion = DegreeOfCure::new(self.limit(finite("temperature", temperature.si())?).0)?;
        let mut from = vec![
            Why::given("temperature of cure", show(temperature)),
            Why::given("above", show(self.above)),
        ];
        let equation = match self.slows_over {
            None => "Tg(a_max) = T + above",
            Some(w) => {
                from.push(Why::given("slows over", show(w)));
                "1 + exp((Tg(a) - T - above)/w) = 1000"
            }
        };
        Ok(FinalConversion {
            conversion,
            vitrified: self.band(conversion.get(), temperature.si())?,
            why: Why::computed("final conversion", show(conversion), equation, from),
        })
    }

    /// Where a resin of the catalogue stops curing, as far as its glass transition is known.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest ids; `Inconsistent` for a material
    /// that is no resin; `NoSolution` for a resin without its glass transitions.
    #[question("cure.vitrification_of_material")]
    pub fn of_material(
        /// Its id.
        material: &str,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> Result<Vitrification> {
        Vitrification::of_resin(catalogue.get(material)?.resin()?)?.ok_or_else(|| {
            Error::no_solution(
                "material",
                "where its cure stops",
                format!("'{material}' does not say how its glass transition climbs with cure"),
                "give its resin.uncured_glass_transition, glass_transition and glass_transition_lambda in a catalogue document",
            )
        })
    }

    /// A glass transition alone, as unsure as usual.
    pub(super) fn unsure(glass_transition: GlassTransition) -> Vitrification {
        Vitrification {
            glass_transition,
            above: TemperatureInterval::new::<kelvin_interval>(ABOVE),
            slows_over: None,
            spread: None,
        }
    }

    /// Refuses one whose glass transition does not rise with cure.
    pub(super) fn rises(&self) -> Result<()> {
        self.glass_transition
            .rises()
            .map_err(|e| e.within("glass_transition"))
    }

    /// Conversion at which cure ends at `t` and its derivative on temperature, plain SI, parameters already checked.
    pub(crate) fn limit(&self, t: f64) -> (f64, f64) {
        let past = self.slows_over.map_or(0.0, |w| w.si() * (1.0 / ENDED - 1.0).ln());
        self.glass_transition.vitrified(t + self.above.si() + past)
    }

    /// How sure a conversion is at `t` kelvin, once its glass transition has reached `t`: it is then held by the glass
    /// transition, so the spread of each constant moves the conversion that goes with it, and their effects add in
    /// squares.
    pub(crate) fn band(&self, a: f64, t: f64) -> Result<Option<Vitrified>> {
        let ends = self.ends(a, t);
        if !ends.vitrified {
            return Ok(None);
        }
        let [low, _, high] = ends.conversion;
        let [glass_low, _, glass_high] = ends.glass;
        Ok(Some(Vitrified {
            low: DegreeOfCure::new(low)?,
            high: DegreeOfCure::new(high)?,
            glass_transition_low: ThermodynamicTemperature::from_si(glass_low)?,
            glass_transition_high: ThermodynamicTemperature::from_si(glass_high)?,
        }))
    }

    /// A conversion at `t` kelvin and its glass transition: low end, middle, high end. Before it has vitrified its
    /// conversion is as sure as its kinetics, and the spread of the constants is that of the glass transition alone. Plain
    /// SI, parameters already checked.
    pub(super) fn ends(&self, a: f64, t: f64) -> Ends {
        let g = self.glass_transition;
        let a = a.clamp(0.0, 1.0);
        let kelvin = g.kelvin(a);
        let (low, high, climb) = match self.spread {
            Some(s) => (s.low, s.high, s.climb.si()),
            None => {
                let (uncured, cured, lambda) = USUAL_SPREAD;
                let shifted = |sign: f64| GlassTransition {
                    uncured: g.uncured
                        + TemperatureInterval::new::<kelvin_interval>(
                            (sign * uncured).max(1.0 - g.uncured.si()),
                        ),
                    cured: g.cured + TemperatureInterval::new::<kelvin_interval>(sign * cured),
                    lambda: (g.lambda + sign * lambda).clamp(0.05, 1.0),
                };
                (shifted(-1.0), shifted(1.0), CLIMB)
            }
        };
        // Each constant alone, low and high.
        let each = [low, high].map(|s| {
            [
                GlassTransition {
                    uncured: s.uncured,
                    ..g
                },
                GlassTransition { cured: s.cured, ..g },
                GlassTransition {
                    lambda: s.lambda,
                    ..g
                },
            ]
        });
        let (colder, hotter) = spread_about(kelvin, each.iter().flatten().map(|s| s.kelvin(a)));
        let full = g.cured.si().max(high.cured.si());
        if kelvin < t {
            return Ends {
                vitrified: false,
                conversion: [a; 3],
                glass: [kelvin - colder, kelvin, (kelvin + hotter).min(full)],
            };
        }
        let beside = [-climb, climb].map(|c| g.vitrified(kelvin + c).0);
        let conversions = each.iter().flatten().map(|s| s.vitrified(kelvin).0).chain(beside);
        let (down, up) = spread_about(a, conversions);
        Ends {
            vitrified: true,
            conversion: [(a - down).max(0.0), a, (a + up).min(1.0)],
            glass: [
                kelvin - colder.max(climb),
                kelvin,
                (kelvin + hotter.max(climb)).min(full),
            ],
        }
    }

    /// That of a resin of the catalogue; nothing where it does not say how its glass transition climbs.
    ///
    /// # Errors
    /// `Inconsistent` where its glass transition does not rise.
    pub fn of_resin(resin: &Resin) -> Result<Option<Vitrification>> {
        let (Some(uncured), Some(cured), Some(lambda)) = (
            &resin.uncured_glass_transition,
            &resin.glass_transition,
            &resin.glass_transition_lambda,
        ) else {
            return Ok(None);
        };
        let ends = |p: fn((f64, f64)) -> f64, of: (f64, Option<(f64, f64)>)| of.1.map_or(of.0, p);
        let glass = |end: fn((f64, f64)) -> f64| -> Result<GlassTransition> {
            let kelvin = |p: &Property<ThermodynamicTemperature>| {
                let range = p.range.map(|(low, high)| (low.si(), high.si()));
                ThermodynamicTemperature::from_si(ends(end, (p.value.si(), range)))
            };
            let range = lambda.range.map(|(low, high)| (low.si(), high.si()));
            Ok(GlassTransition {
                uncured: kelvin(uncured)?,
                cured: kelvin(cured)?,
                lambda: ends(end, (lambda.value.si(), range)),
            })
        };
        let v = Vitrification {
            glass_transition: GlassTransition {
                uncured: uncured.value,
                cured: cured.value,
                lambda: lambda.value.si(),
            },
            above: TemperatureInterval::from_si(ABOVE)?,
            slows_over: Some(TemperatureInterval::from_si(SLOWS_OVER)?),
            spread: Some(GlassSpread {
                low: glass(|r| r.0)?,
                high: glass(|r| r.1)?,
                climb: TemperatureInterval::from_si(CLIMB)?,
            }),
        };
        v.rises().map_err(|e| e.within("resin"))?;
        Ok(Some(v))
    }
}

/// A conversion and its glass transition: low end, middle, high end.
#[derive(Clone, Copy)]
pub(super) struct Ends {
    /// Whether its glass transition has reached its temperature.
    pub(super) vitrified: bool,
    pub(super) conversion: [f64; 3],
    /// K.
    pub(super) glass: [f64; 3],
}

/// How far values lie below and above a middle, their distances added in squares.
fn spread_about(middle: f64, values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (down, up) = values.fold((0.0, 0.0), |(down, up), v| {
        let d = v - middle;
        if d < 0.0 {
            (down + d * d, up)
        } else {
            (down, up + d * d)
        }
    });
    (f64::sqrt(down), f64::sqrt(up))
}
