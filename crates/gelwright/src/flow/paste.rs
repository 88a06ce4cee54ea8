//! Resin thickened with fumed silica: its yield stress, what it is called, whether a bead of it stays.

use std::f64::consts::PI;

use crate::noun::{self, Noun, questions};

use crate::check;
use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::mix::measurement::coverage_factor_95;
use crate::numeric::roots;
use crate::quantity::{
    Angle, Area, Length, Mass, MassDensity, MassFraction, Phr, Pressure, Quantity, Volume, show,
};
use crate::source::{Source, Standing, Why};

/// True density of amorphous silica, 2.2 g/mL (handbook value, from memory).
pub fn silica_density() -> MassDensity {
    MassDensity::from_si(2200.0).unwrap_or_default()
}

/// Silica as a mass fraction of the paste, from parts per hundred of resin.
pub fn silica_fraction(loading: Phr) -> MassFraction {
    let r = loading.per_resin();
    MassFraction::new(r / (1.0 + r)).unwrap_or(MassFraction::ZERO)
}

/// What a paste of a yield stress is called at the bench.
///
/// The words are the trade's; their bands are common practice without a source, set by what foods of that name
/// measure (ketchup about 15 to 40 Pa, mayonnaise about 60 to 150 Pa, peanut butter some hundreds; from memory).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Noun)]
#[non_exhaustive]
pub enum Consistency {
    /// Runs off a stick: below 10 Pa.
    Syrup,
    /// Slumps slowly, holds no edge: 10 to 50 Pa.
    Ketchup,
    /// Holds a soft peak: 50 to 200 Pa.
    Mayonnaise,
    /// Holds a stiff peak, spreads with a knife: 200 to 1000 Pa.
    PeanutButter,
    /// Is worked by hand: above 1000 Pa.
    Putty,
}

impl Consistency {
    /// The word for a yield stress.
    pub fn of(yield_stress: Pressure) -> Consistency {
        let tau = yield_stress.si();
        if tau < 10.0 {
            Consistency::Syrup
        } else if tau < 50.0 {
            Consistency::Ketchup
        } else if tau < 200.0 {
            Consistency::Mayonnaise
        } else if tau < 1000.0 {
            Consistency::PeanutButter
        } else {
            Consistency::Putty
        }
    }

    /// The band of yield stresses the word stands for, Pa (the last has no upper end).
    pub const fn band_pa(self) -> (f64, f64) {
        match self {
            Consistency::Syrup => (0.0, 10.0),
            Consistency::Ketchup => (10.0, 50.0),
            Consistency::Mayonnaise => (50.0, 200.0),
            Consistency::PeanutButter => (200.0, 1000.0),
            Consistency::Putty => (1000.0, f64::INFINITY),
        }
    }
}

impl std::fmt::Display for Consistency {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Consistency::Syrup => "syrup",
            Consistency::Ketchup => "ketchup",
            Consistency::Mayonnaise => "mayonnaise",
            Consistency::PeanutButter => "peanut butter",
            Consistency::Putty => "putty",
        })
    }
}

/// Yield stress against silica: `tau_y = tau_r (w/w_r)^n`, with `w` the silica as a mass fraction of the paste.
///
/// Grades, resins and mixers differ by factors, so the answer carries a band, and the shop's own test
/// ([`YieldLaw::fit`]) is worth more than either of the two built-in laws:
///
/// * [`YieldLaw::common_practice`]: through the consistencies the trade names for a loading.
/// * [`YieldLaw::through`]: through one reading, with a published exponent.
#[derive(Clone, PartialEq, Noun)]
pub struct YieldLaw {
    /// Silica of the reference, as a mass fraction of the paste.
    #[noun(within(> "0 wt%", ..))]
    pub silica: MassFraction,
    /// Yield stress of the reference.
    #[noun(within(> "0 Pa", ..))]
    pub yield_stress: Pressure,
    /// Exponent `n`.
    #[noun(within(0.5, 8, "published exponents lie between 2 and 5"))]
    pub exponent: f64,
    /// Lower end of the fitted range of silica.
    pub fitted_from: MassFraction,
    /// Upper end of the fitted range of silica.
    pub fitted_to: MassFraction,
    /// The true value lies within this factor of the answer, either way, as far as is known.
    #[noun(within(1, 100, "1 means exact"))]
    pub within_factor: f64,
    /// Where it comes from.
    pub source: Source,
}

impl YieldLaw {
    /// 20 Pa at 2.5 wt% and 100 Pa at 5 wt% (ketchup 2 to 3 wt%, mayonnaise 4 to 6 wt%), hence `n` = ln 5/ln 2 =
    /// 2.32, which puts 8.5 wt% at 343 Pa, within peanut butter. Range 1 to 10 wt%, within a factor of 3.
    /// Common practice, no source: hydrophilic silica of 200 m2/g stirred well into polyester.
    pub fn common_practice() -> YieldLaw {
        let w = |x: f64| MassFraction::new(x).unwrap_or(MassFraction::ZERO);
        YieldLaw {
            silica: w(0.05),
            yield_stress: Pressure::from_si(100.0).unwrap_or_default(),
            exponent: 5f64.ln() / 2f64.ln(),
            fitted_from: w(0.01),
            fitted_to: w(0.10),
            within_factor: 3.0,
            source: Source::of(
                Standing::CommonPractice,
                "consistency words for fumed silica in polyester: ketchup at 2 to 3 wt%, mayonnaise at 4 to 6 wt%",
            ),
        }
    }

    /// Through one reading, with the published exponent 4.02 of a fumed-silica gel.
    ///
    /// The exponent is much steeper than [`YieldLaw::common_practice`]'s 2.32; it was measured in a thin liquid that
    /// lets the silica build its network freely. Between half and twice the reading's loading.
    ///
    /// Source: Y. Wang et al., "Aggregate of nanoparticles: rheological and mechanical properties", Nanoscale Res.
    /// Lett. 6, 114 (2011), abstract: yield stress goes with silica (wt%) to the power 4.02.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a reading out of its range.
    pub fn through(reading: YieldReading) -> Result<YieldLaw> {
        noun::check(&reading)?;
        let w = reading.silica.get();
        Ok(YieldLaw {
            silica: reading.silica,
            yield_stress: reading.yield_stress,
            exponent: 4.02,
            fitted_from: MassFraction::new(w / 2.0)?,
            fitted_to: MassFraction::new(w * 2.0)?,
            within_factor: 2.0,
            source: Source::published(
                "Y. Wang, X. Wu, W. Yang, Y. Zhai, B. Xie, M. Yang",
                "Aggregate of nanoparticles: rheological and mechanical properties, Nanoscale Research Letters 6",
                2011,
                "114, abstract (exponent only)",
            ),
        })
    }

    /// Fitted to the shop's own readings: least squares of the logarithms. The band is the scatter about the
    /// line times Student's `t` of 95 % for two readings fewer than there are (JCGM 100:2008, G.3), at least a factor of 1.3 and
    /// at most of 100.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for fewer than two different loadings or a yield
    /// stress that falls with silica; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for readings out of their
    /// range.
    pub fn fit(readings: &[YieldReading]) -> Result<YieldLaw> {
        for (i, reading) in readings.iter().enumerate() {
            noun::check(reading).map_err(|e| e.within(format_args!("readings[{i}]")))?;
        }
        let points: Vec<(f64, f64)> = readings
            .iter()
            .map(|r| (r.silica.get().ln(), r.yield_stress.si().ln()))
            .collect();
        #[allow(clippy::cast_precision_loss)]
        let n = points.len() as f64;
        let (mx, my) = (
            points.iter().map(|p| p.0).sum::<f64>() / n.max(1.0),
            points.iter().map(|p| p.1).sum::<f64>() / n.max(1.0),
        );
        let sxx: f64 = points.iter().map(|p| (p.0 - mx).powi(2)).sum();
        let sxy: f64 = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum();
        if points.len() < 2 || sxx < 1e-4 {
            return Err(Error::inconsistent(
                "readings",
                format!("{} readings", points.len()),
                "at least two different loadings",
                "test another loading, or use one reading with the published exponent",
            ));
        }
        let slope = sxy / sxx;
        if slope <= 0.0 {
            return Err(Error::inconsistent(
                "readings",
                "yield stress that falls with silica",
                "a yield stress that rises with silica",
                "check which reading belongs to which loading",
            ));
        }
        let scatter = (points
            .iter()
            .map(|p| (p.1 - my - slope * (p.0 - mx)).powi(2))
            .sum::<f64>()
            / (n - 2.0).max(1.0))
        .sqrt();
        // Two readings lie on any line and tell no scatter.
        let scatter = if points.len() > 2 {
            coverage_factor_95(n - 2.0) * scatter
        } else {
            0.0
        };
        let low = points.iter().map(|p| p.0).fold(f64::INFINITY, f64::min).exp();
        let high = points.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max).exp();
        Ok(YieldLaw {
            silica: MassFraction::new(mx.exp())?,
            yield_stress: Pressure::from_si(my.exp())?,
            exponent: slope,
            fitted_from: MassFraction::new(low)?,
            fitted_to: MassFraction::new(high)?,
            within_factor: scatter.exp().clamp(1.3, 100.0),
            source: Source::of(
                Standing::MeasuredHere,
                "yield stress of this shop's paste against silica",
            ),
        })
    }

    /// The paste at a loading: see [`Paste::of`].
    pub(crate) fn paste(&self, silica: MassFraction) -> Result<Paste> {
        noun::check(self)?;
        let (w_r, tau_r) = (self.silica.get(), self.yield_stress.si());
        // A recipe's silica comes here from no document's field.
        let w = check::between(
            "silica",
            silica,
            0.0,
            0.3,
            "above 30 wt% the powder no longer wets; give the silica as '4 wt%' of the paste",
        )?;
        let tau = tau_r * (w / w_r).powf(self.exponent);
        let extrapolated = self.extrapolated(silica);
        let yield_stress = Pressure::from_si(tau)?;
        let consistency = Consistency::of(yield_stress);
        let mut why = Why::computed(
            "yield stress of the paste",
            format!(
                "{} (within a factor of {:.1})",
                show(yield_stress),
                self.within_factor
            ),
            "tau_y = tau_r (w/w_r)^n",
            vec![
                Why::given("w, silica in the paste", show(silica)),
                Why::given(
                    "tau_r at w_r",
                    format!("{} at {}", show(self.yield_stress), show(self.silica)),
                ),
                Why::given("n", format!("{:.2}", self.exponent)),
            ],
        )
        .with_source(&self.source);
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(Paste {
            yield_stress,
            low: Pressure::from_si(tau / self.within_factor)?,
            high: Pressure::from_si(tau * self.within_factor)?,
            consistency,
            extrapolated,
            why,
        })
    }

    fn extrapolated(&self, silica: MassFraction) -> Option<String> {
        let w = silica.get();
        let outside =
            w > 0.0 && (w < self.fitted_from.get() * (1.0 - 1e-9) || w > self.fitted_to.get() * (1.0 + 1e-9));
        outside.then(|| {
            format!(
                "{} silica is outside the fitted range, {} to {}",
                show(silica),
                show(self.fitted_from),
                show(self.fitted_to)
            )
        })
    }

    /// The loading that gives a yield stress.
    ///
    /// # Errors
    /// [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) if it takes more than 30 wt%.
    pub fn silica_for(&self, yield_stress: Pressure) -> Result<(MassFraction, Option<String>)> {
        noun::check(self)?;
        let (w_r, tau_r) = (self.silica.get(), self.yield_stress.si());
        let tau = check::positive("yield_stress", yield_stress)?;
        let w = w_r * (tau / tau_r).powf(1.0 / self.exponent);
        if w > 0.3 {
            let most = Pressure::from_si(tau_r * (0.3 / w_r).powf(self.exponent))?;
            return Err(Error::no_solution(
                "yield_stress",
                show(yield_stress),
                format!("{} at 30 wt%", show(most)),
                "make the bead lower, support it until it gels, or lay it in two coats",
            ));
        }
        let silica = MassFraction::new(w)?;
        Ok((silica, self.extrapolated(silica)))
    }
}

/// A reading of a paste's yield stress.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct YieldReading {
    /// Silica as a mass fraction of the paste.
    #[noun(within("0.01 wt%", "30 wt%", "give the silica of the tested paste, such as '4 wt%'"))]
    pub silica: MassFraction,
    /// Its yield stress (see `flow.yield_test`).
    #[noun(within(> "0 Pa", ..))]
    pub yield_stress: Pressure,
}

/// Which law of yield stress against silica is used.
#[derive(Clone, Default, PartialEq, Noun)]
pub enum YieldLawChoice {
    /// Through the consistencies the trade names: common practice, within a factor of 3.
    #[default]
    CommonPractice,
    /// Through one reading of this shop's, with a published exponent.
    Through(YieldReading),
    /// Fitted to two or more readings of this shop's.
    Fit(Vec<YieldReading>),
    /// A law given.
    Law(YieldLaw),
}

impl From<YieldLaw> for YieldLawChoice {
    fn from(law: YieldLaw) -> Self {
        YieldLawChoice::Law(law)
    }
}

impl YieldLawChoice {
    /// The law.
    ///
    /// # Errors
    /// As [`YieldLaw::through`] and [`YieldLaw::fit`].
    pub fn law(&self) -> Result<YieldLaw> {
        match self {
            YieldLawChoice::CommonPractice => Ok(YieldLaw::common_practice()),
            YieldLawChoice::Through(reading) => YieldLaw::through(*reading).map_err(|e| e.within("through")),
            YieldLawChoice::Fit(readings) => YieldLaw::fit(readings).map_err(|e| e.within("fit")),
            YieldLawChoice::Law(law) => Ok(law.clone()),
        }
        .map_err(|e| e.within("law"))
    }
}

/// A thickened resin.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Paste {
    /// Its yield stress: below it the paste does not flow.
    pub yield_stress: Pressure,
    /// Lower end of the band the yield stress is known in.
    pub low: Pressure,
    /// Upper end of the band.
    pub high: Pressure,
    /// The trade's word for it.
    pub consistency: Consistency,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Paste {
    /// Yield stress and consistency of resin thickened with fumed silica: `tau_y = tau_r (w/w_r)^n` ([`YieldLaw`]).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) above 30 wt%, where the powder no longer wets; as
    /// [`YieldLawChoice::law`].
    #[question("flow.paste")]
    pub fn of(
        /// Silica as a mass fraction of the paste.
        #[noun(within = crate::ranges::SILICA_IN_PASTE)]
        silica: MassFraction,
        /// Law of yield stress against silica; common practice unless given.
        #[noun(default)]
        law: &YieldLawChoice,
    ) -> Result<Paste> {
        law.law()?.paste(silica)
    }
}

/// A test of a paste's yield stress that a shop can do.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub enum YieldTest {
    /// A tube as high as wide is filled, struck off and lifted; the paste slumps.
    /// `s/H = 1 - 2 t [1 - ln(2 t)]`, `t = tau_y/(rho g H)`.
    ///
    /// Source: N. Pashias, D. V. Boger, J. Summers, D. J. Glenister, "A fifty cent rheometer for yield stress
    /// measurement", J. Rheol. 40, 1179 (1996); equation from memory.
    Slump {
        /// Height of the tube.
        #[noun(within(> "0 mm", ..))]
        height: Length,
        /// How far the top sinks.
        slump: Length,
    },
    /// A known volume spreads on a level plate into a thin cake: `tau_y = 225 rho g V^2/(128 pi^2 R^5)`.
    ///
    /// Source: N. Roussel, P. Coussot, "Fifty-cent rheometer for yield stress measurements: from slump to spreading
    /// flow", J. Rheol. 49, 705 (2005); equation from memory, re-derived in the tests.
    Spread {
        /// Volume tipped out.
        #[noun(within(> "0 mL", ..))]
        volume: Volume,
        /// Diameter of the cake at rest.
        #[noun(within(> "0 mm", ..))]
        diameter: Length,
    },
    /// The thickest coat that stays on a slope: `tau_y = rho g h sin(slope)`.
    Hold {
        /// Thickness that just stays.
        #[noun(within(> "0 mm", ..))]
        thickness: Length,
        /// Slope from the horizontal.
        #[noun(within = crate::ranges::SLOPE)]
        slope: Angle,
    },
}

/// What a test of a paste shows.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct TestedPaste {
    /// Yield stress of the paste.
    pub yield_stress: Pressure,
    /// The trade's word for it.
    pub consistency: Consistency,
    /// The chain behind it.
    pub why: Why,
}

#[questions(test)]
impl YieldTest {
    /// Refuses readings that the test can not be read from; what is read from a document has passed it.
    fn check(&self) -> Result<()> {
        noun::check(self)?;
        match self {
            YieldTest::Slump { height, slump } => {
                let h = height.si();
                check::between(
                    "slump",
                    *slump,
                    0.02 * h,
                    0.95 * h,
                    "stiffer or thinner pastes need another test: the thickest coat that stays, or the spread of a known volume",
                )?;
            }
            YieldTest::Spread { volume, diameter } => {
                let r = diameter.si() / 2.0;
                if volume.si() / (PI * r * r) > 0.2 * r {
                    return Err(Error::out_of_range(
                        "diameter",
                        show(*diameter),
                        "a cake whose mean thickness is at most a fifth of its radius",
                        "use the slump test for a paste this stiff",
                    ));
                }
            }
            YieldTest::Hold { .. } => {}
        }
        Ok(())
    }

    /// Yield stress of a paste from a slump, a spread or the thickest coat that stays.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for readings that are not above zero, a slump of all
    /// or none of the height, a cake that is not thin (mean thickness above a fifth of its radius).
    #[question("flow.yield_test")]
    pub fn yield_stress(
        &self,
        /// Density of the paste.
        #[noun(within(> "0 kg/m^3", .., "give the density of the paste, for example '1.1 g/mL'"))]
        density: MassDensity,
    ) -> Result<TestedPaste> {
        let weight = density.si() * GRAVITY;
        self.check()?;
        let tau = match self {
            YieldTest::Slump { height, slump } => {
                let h = height.si();
                let s = slump.si() / h;
                // t from 0 (slumps fully) to 1/2 (does not slump)
                let t = roots::root("slump", 1e-9, 0.5, |t| 1.0 - 2.0 * t * (1.0 - (2.0 * t).ln()) - s)?;
                weight * h * t
            }
            YieldTest::Spread { volume, diameter } => {
                let (v, r) = (volume.si(), diameter.si() / 2.0);
                225.0 * weight * v * v / (128.0 * PI.powi(2) * r.powi(5))
            }
            YieldTest::Hold { thickness, slope } => weight * thickness.si() * slope.si().sin(),
        };
        let yield_stress = Pressure::from_si(tau)?;
        let (equation, mut from, source) = self.read_by();
        from.push(Why::given("rho, density of the paste", show(density)));
        let mut why = Why::computed("yield stress of the paste", show(yield_stress), equation, from);
        if let Some(source) = source {
            why = why.with_source(&source);
        }
        Ok(TestedPaste {
            yield_stress,
            consistency: Consistency::of(yield_stress),
            why,
        })
    }

    /// Equation, readings and source of the test.
    fn read_by(&self) -> (&'static str, Vec<Why>, Option<Source>) {
        let from_memory =
            |author, title, year, page| Source::published(author, title, year, page).from_memory();
        match self {
            YieldTest::Slump { height, slump } => (
                "s/H = 1 - 2 t [1 - ln(2 t)], t = tau_y/(rho g H)",
                vec![
                    Why::given("H, height of the tube", show(*height)),
                    Why::given("s, slump", show(*slump)),
                ],
                Some(from_memory(
                    "N. Pashias, D. V. Boger, J. Summers, D. J. Glenister",
                    "A fifty cent rheometer for yield stress measurement, J. Rheol. 40",
                    1996,
                    "p. 1179",
                )),
            ),
            YieldTest::Spread { volume, diameter } => (
                "tau_y = 225 rho g V^2/(128 pi^2 R^5)",
                vec![
                    Why::given("V, volume", show(*volume)),
                    Why::given("2 R, diameter of the cake", show(*diameter)),
                ],
                Some(from_memory(
                    "N. Roussel, P. Coussot",
                    "Fifty-cent rheometer for yield stress measurements: from slump to spreading flow, J. Rheol. 49",
                    2005,
                    "p. 705",
                )),
            ),
            YieldTest::Hold { thickness, slope } => (
                "tau_y = rho g h sin(slope)",
                vec![
                    Why::given("h, thickest coat that stays", show(*thickness)),
                    Why::given("slope from the horizontal", show(*slope)),
                ],
                None,
            ),
        }
    }
}

/// The section of a bead of paste.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub enum BeadSection {
    /// As it leaves a round nozzle.
    Round {
        /// Diameter.
        diameter: Length,
    },
    /// Half round on a flat.
    HalfRound {
        /// Width at the foot.
        width: Length,
    },
    /// A triangular fillet in a right-angled corner.
    Fillet {
        /// Length of each leg.
        leg: Length,
    },
    /// Spread flat over a flange.
    Flat {
        /// Width.
        width: Length,
        /// Height.
        height: Length,
    },
}

impl BeadSection {
    /// Here and not in the table of fields: a refusal names `bead.width`, whichever section it is of.
    fn check(&self) -> Result<()> {
        self.area().map(|_| ())
    }

    /// Area of the section.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a size that is not above zero.
    pub fn area(&self) -> Result<Area> {
        Area::from_si(match self {
            BeadSection::Round { diameter } => PI / 4.0 * check::positive("diameter", *diameter)?.powi(2),
            BeadSection::HalfRound { width } => PI / 8.0 * check::positive("width", *width)?.powi(2),
            BeadSection::Fillet { leg } => 0.5 * check::positive("leg", *leg)?.powi(2),
            BeadSection::Flat { width, height } => {
                check::positive("width", *width)? * check::positive("height", *height)?
            }
        })
    }

    /// Height above the face it lies on (of a fillet: from the corner to the middle of its face).
    ///
    /// # Errors
    /// As [`BeadSection::area`].
    pub fn height(&self) -> Result<Length> {
        Length::from_si(match self {
            BeadSection::Round { diameter } => check::positive("diameter", *diameter)?,
            BeadSection::HalfRound { width } => 0.5 * check::positive("width", *width)?,
            BeadSection::Fillet { leg } => check::positive("leg", *leg)? / 2f64.sqrt(),
            BeadSection::Flat { height, .. } => check::positive("height", *height)?,
        })
    }
}

/// A bead of paste on a face.
#[derive(Clone, PartialEq, Noun)]
pub struct Bead {
    /// Height of the bead above the face.
    #[noun(within(> "0 mm", .., "give the height of the bead, such as '6 mm'"))]
    pub height: Length,
    /// Slope of the face from the horizontal.
    #[noun(within = crate::ranges::SLOPE)]
    pub slope: Angle,
    /// Density of the paste.
    #[noun(within(> "0 g/mL", ..))]
    pub density: MassDensity,
    /// Yield stress wanted over the stress at the foot of the bead.
    #[noun(
        default = 1.5,
        within(1, 20, "1 is just holding, 1.5 leaves room for a knock")
    )]
    pub margin: f64,
    /// Law of yield stress against silica; common practice unless given.
    #[noun(default)]
    pub law: YieldLawChoice,
}

/// Whether a bead stays.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Sag {
    /// It stays even at the lower end of the paste's band, with the margin asked for.
    pub stays: bool,
    /// Yield stress over the stress at the foot of the bead; below 1 it runs. None on a level face.
    pub margin: Option<f64>,
    /// The stress at its foot.
    pub stress: Pressure,
    /// The highest bead that just stays (at the paste's middle yield stress); none on a level face.
    pub highest: Option<Length>,
    /// The chain behind it.
    pub why: Why,
}

/// The silica that keeps a bead where it is put.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct SilicaForBead {
    /// Silica as a mass fraction of the paste, by the middle of the law.
    pub silica: MassFraction,
    /// The same per hundred of resin.
    pub silica_on_resin: Phr,
    /// Silica that holds even if the paste is as weak as the law's band allows; test before mixing it.
    pub silica_at_worst: Option<MassFraction>,
    /// The yield stress it must have.
    pub yield_stress: Pressure,
    /// The trade's word for it.
    pub consistency: Consistency,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl Bead {
    /// The stress at its foot, and so the yield stress that just holds it: `rho g h sin(slope)`.
    ///
    /// Exact for a coat that is wide against its height; a narrow bead needs less, so the answer is on the safe side.
    /// Source: the stress at the foot of a layer under its own weight; analytic.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a height or density that is not above zero, a slope
    /// outside 0 to 90 deg, a margin below 1.
    pub fn stress(&self) -> Result<Pressure> {
        noun::check(self)?;
        Pressure::from_si(self.density.si() * GRAVITY * self.height.si() * self.slope.si().sin())
    }

    /// Fumed silica that keeps a bead from sagging at a height and slope: `tau_y >= margin rho g h sin(slope)` solved
    /// through a yield law.
    ///
    /// On a level face any paste stays and the answer is zero silica.
    ///
    /// # Errors
    /// As [`Bead::stress`] and [`YieldLawChoice::law`]; [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) above
    /// 30 wt%.
    #[question("flow.silica_for_bead")]
    pub fn silica(&self) -> Result<SilicaForBead> {
        let law = self.law.law()?;
        let needed = self.margin * self.stress()?.si();
        let yield_stress = Pressure::from_si(needed)?;
        let (silica, extrapolated) = if needed > 1e-9 {
            law.silica_for(yield_stress).map_err(|e| {
                Error::no_solution(
                    "height",
                    show(self.height),
                    e.allowed().unwrap_or_default(),
                    e.way_out().unwrap_or_default(),
                )
            })?
        } else {
            (MassFraction::ZERO, None)
        };
        let silica_at_worst = if needed > 1e-9 {
            law.silica_for(Pressure::from_si(needed * law.within_factor)?)
                .ok()
                .map(|s| s.0)
        } else {
            Some(MassFraction::ZERO)
        };
        let w = silica.get();
        let mut why = Why::computed(
            "silica in the paste",
            show(silica),
            "tau_r (w/w_r)^n = margin rho g h sin(slope)",
            vec![
                Why::given("margin", self.margin.to_string()),
                Why::given("rho, density of the paste", show(self.density)),
                Why::given("h, height of the bead", show(self.height)),
                Why::given("slope from the horizontal", show(self.slope)),
                Why::given(
                    "yield law",
                    format!(
                        "{} at {}, n = {:.2}, within a factor of {:.1}",
                        show(law.yield_stress),
                        show(law.silica),
                        law.exponent,
                        law.within_factor
                    ),
                )
                .with_source(&law.source),
            ],
        );
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(SilicaForBead {
            silica,
            silica_on_resin: Phr::new(100.0 * w / (1.0 - w))?,
            silica_at_worst,
            yield_stress,
            consistency: Consistency::of(yield_stress),
            extrapolated,
            why,
            cautions: silica_cautions(),
        })
    }

    /// Whether a bead of thickened resin stays on a slope, and how high one would: it stays if
    /// `tau_y >= margin rho g h sin(slope)` at the lower end of the paste's band.
    ///
    /// # Errors
    /// As [`Bead::stress`] and [`Paste::of`].
    #[question("flow.sag")]
    pub fn sag(
        &self,
        /// Silica as a mass fraction of the paste.
        #[noun(within = crate::ranges::SILICA_IN_PASTE)]
        silica: MassFraction,
    ) -> Result<Sag> {
        let paste = Paste::of(silica, &self.law)?;
        let stress = self.stress()?;
        let level = stress.si() <= 0.0;
        let highest = if level {
            None
        } else {
            Some(Length::from_si(
                self.height.si() * paste.yield_stress.si() / stress.si(),
            )?)
        };
        let ratio = (!level).then(|| paste.yield_stress.si() / stress.si());
        let why = Why::computed(
            "margin against sag",
            ratio.map_or_else(|| "level face: stays".to_owned(), |r| format!("{r:.2}")),
            "tau_y/(rho g h sin(slope))",
            vec![
                paste.why,
                Why::given("rho, density", show(self.density)),
                Why::given("h, height", show(self.height)),
                Why::given("slope from the horizontal", show(self.slope)),
            ],
        );
        Ok(Sag {
            stays: paste.low.si() >= self.margin * stress.si(),
            margin: ratio,
            stress,
            highest,
            why,
        })
    }
}

/// A seam bead and the paste it takes.
#[derive(Clone, PartialEq, Noun)]
pub struct SeamPaste {
    /// Length of the seam.
    #[noun(within(> "0 m", ..))]
    pub seam: Length,
    /// Section of the bead.
    pub bead: BeadSection,
    /// Silica as a mass fraction of the paste.
    #[noun(within("0 wt%", "30 wt%", "give the silica as '4 wt%' of the paste"))]
    pub silica: MassFraction,
    /// Density of the liquid resin.
    #[noun(within(> "0 g/mL", ..))]
    pub resin_density: MassDensity,
    /// Bulk density of the silica as it comes out of the bag (common practice; grades run from about 35 to 60 g/L, and
    /// a settled or compacted bag more).
    #[noun(
        default = "50 kg/m^3",
        within("10 kg/m^3", "2200 kg/m^3", "fumed silica weighs 35 to 60 g per litre")
    )]
    pub silica_bulk_density: MassDensity,
    /// Added for what stays in the cup and the nozzle, as a fraction of the bead.
    #[noun(default = 0.0, within(0, 2, "0.1 is a tenth more"))]
    pub spare: f64,
}

/// What a seam bead takes.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct SeamPasteBatch {
    /// Volume of paste.
    pub volume: Volume,
    /// Mass of paste.
    pub mass: Mass,
    /// Resin in it.
    pub resin: Mass,
    /// Silica in it.
    pub silica: Mass,
    /// Volume of that silica as it is scooped, at its bulk density.
    pub silica_scooped: Volume,
    /// Volume the silica adds to the paste once wetted (at its true density): the air stays out.
    pub volume_gained: Volume,
    /// Resin the same bead would have taken without silica, less what it takes with.
    pub resin_saved: Mass,
    /// Density of the paste, free of air.
    pub density: MassDensity,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl SeamPaste {
    /// Paste, resin and silica for a bead along a seam, the silica by mass and as scooped: `V = A L (1 + spare)`,
    /// `1/rho = w/rho_s + (1-w)/rho_r` (volumes add).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes and densities that are not above zero,
    /// silica above 30 wt%, a spare outside 0 to 2.
    #[question("flow.seam_paste")]
    pub fn batch(&self) -> Result<SeamPasteBatch> {
        noun::check(self)?;
        let area = self.bead.area().map_err(|e| e.within("bead"))?.si();
        let (length, w, spare) = (self.seam.si(), self.silica.get(), self.spare);
        let (rho_r, rho_b) = (self.resin_density.si(), self.silica_bulk_density.si());
        let rho_s = silica_density().si();
        let density = 1.0 / (w / rho_s + (1.0 - w) / rho_r);
        let volume = area * length * (1.0 + spare);
        let mass = volume * density;
        let (silica, resin) = (mass * w, mass * (1.0 - w));
        let why = Why::computed(
            "paste for the seam",
            show(Mass::from_si(mass)?),
            "m = A L (1 + spare) rho, 1/rho = w/rho_silica + (1 - w)/rho_resin",
            vec![
                Why::given("A, section of the bead", show(Area::from_si(area)?)),
                Why::given("L, seam", show(self.seam)),
                Why::given("spare", format!("{spare}")),
                Why::given("w, silica", show(self.silica)),
                Why::given("rho_resin", show(self.resin_density)),
                Why::given("rho_silica, true", show(silica_density())).with_source(&Source::of(
                    Standing::FromMemory,
                    "density of amorphous silica, handbook value",
                )),
                Why::given("bulk density of the silica", show(self.silica_bulk_density)).with_source(
                    &Source::of(
                        Standing::CommonPractice,
                        "fumed silica as it is scooped, about 50 g/L where it was not weighed",
                    ),
                ),
            ],
        );
        Ok(SeamPasteBatch {
            volume: Volume::from_si(volume)?,
            mass: Mass::from_si(mass)?,
            resin: Mass::from_si(resin)?,
            silica: Mass::from_si(silica)?,
            silica_scooped: Volume::from_si(silica / rho_b)?,
            volume_gained: Volume::from_si(silica / rho_s)?,
            resin_saved: Mass::from_si(volume * rho_r - resin)?,
            density: MassDensity::from_si(density)?,
            why,
            cautions: silica_cautions(),
        })
    }
}

/// The usual caution with fumed silica.
pub(super) fn silica_cautions() -> Vec<String> {
    vec![
        "Fumed silica is a very light dust: fold it in under the surface, wear a particle mask, keep it off a draught. \
         The product's safety data sheet and the local exposure limit decide."
            .to_owned(),
    ]
}
