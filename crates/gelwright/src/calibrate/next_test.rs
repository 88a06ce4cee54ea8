//! Which test to make next: the one after which what the plan needs is known best.

use super::calibration::Calibration;
use super::cup_forecast::bench_cup;
use super::evidence::{CUP_GEL, CUP_TO_PEAK};
use super::law::{CONSTANTS, ninety};
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::material::Catalogue;
use crate::noun::{Noun, questions};
use crate::numeric::design::{Offer, best_set, d_optimal, variance_of};
use crate::quantity::{Mass, MassDensity, Phr, Quantity, ThermodynamicTemperature, show};
use crate::source::Why;

/// A test that could be made.
#[derive(Clone, PartialEq, Noun)]
pub struct OfferedTest {
    /// What it is called.
    pub name: String,
    /// Catalyst.
    #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
    pub dose: Phr,
    /// Temperature of the mix and of what is around it.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Mass of mix in a cup on a bench; left out, a thin film of which the gel time alone is seen.
    #[noun(within("1 g", "100 kg", "give the mass of the mix, for example '100 g'"))]
    pub mass: Option<Mass>,
    /// What it costs against the others, in any one measure: hours, or money.
    #[noun(default = 1.0, within(0, .., "give hours, or money, the same for all tests"))]
    pub cost: f64,
}

/// What an offered test is worth.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct OfferedWorth {
    /// Its name.
    pub name: String,
    /// Nine in ten of the laws gel within this factor of the middle, after it alone; missing where it is not offered.
    pub factor_after: Option<f64>,
    /// Why it is not offered.
    pub refused: Option<String>,
}

/// The tests to make next.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct NextTests {
    /// Their names.
    pub tests: Vec<String>,
    /// Nine in ten of the laws gel within this factor of the middle now, at what the plan needs.
    pub factor_now: f64,
    /// The same after these tests.
    pub factor_after: f64,
    /// What they cost together.
    pub cost: f64,
    /// Each offered test alone.
    pub offered: Vec<OfferedWorth>,
    /// The chain behind it.
    pub why: Why,
}

/// A place in a gel-time table.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct TableTest {
    /// Temperature.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Catalyst.
    #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
    pub dose: Phr,
}

/// The rows of a gel-time table to time next.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct TableTests {
    /// Which of the offered, in their order.
    pub tests: Vec<TableTest>,
    /// Their places among the offered, from 0.
    pub places: Vec<u32>,
    /// `det(X'X)` of all rows, those done and these.
    pub determinant: f64,
    /// The chain behind it.
    pub why: Why,
}

/// Step of the derivatives, in standard deviations of the band.
const STEP: f64 = 0.3;
/// Standard uncertainties of what a test shows: gel of a film, gel, gel to peak and peak (K) of a cup, as evidence counts them.
const FILM: f64 = crate::cure::gel_table::REPEATABILITY;
const CUP: [f64; 3] = [CUP_GEL, CUP_TO_PEAK, 5.4];
/// A cup whose peak is foretold above that temperature (K) can smoke: it is not offered, and none above 150 g unless it is said.
/// Common practice, no source.
const HOTTEST: f64 = 473.15;
/// Sets whose factor is this near to the best one's are as good: the cheapest of them is taken.
const AS_GOOD: f64 = 1.02;
/// Sets between two looks at whether to stop: a millisecond.
const ASKED_EVERY: u32 = 256;

/// Nine in ten lie within this factor, of a variance of the logarithm.
fn factor(variance: f64) -> f64 {
    (ninety() * variance.sqrt()).exp()
}

impl Calibration {
    /// How what `of` shows of a law goes with the numbers it is drawn by, and what it shows in the middle.
    fn slopes<const N: usize>(&self, of: impl Fn(&[f64]) -> Result<[f64; N]>) -> Result<[Vec<f64>; N]> {
        let mut rows: [Vec<f64>; N] = std::array::from_fn(|_| vec![0.0; CONSTANTS]);
        for j in 0..CONSTANTS {
            let mut z = [0.0; CONSTANTS];
            z[j] = STEP;
            let above = of(&z)?;
            z[j] = -STEP;
            let below = of(&z)?;
            for (row, (a, b)) in rows.iter_mut().zip(above.iter().zip(&below)) {
                row[j] = 0.5 * (a - b) / STEP;
            }
        }
        Ok(rows)
    }

    fn ln_gel(&self, z: &[f64], dose: Phr, temperature: ThermodynamicTemperature) -> Result<f64> {
        let time = self.law_at(z)?.gel_time(dose, temperature.si())?;
        time.map(f64::ln).ok_or_else(|| {
            Error::no_solution(
                "dose",
                format_args!("a gel time at {} and {}", show(dose), show(temperature)),
                "laws near the most probable one never gel",
                "raise the dose inside the data sheet's window: the inhibitor decides here",
            )
        })
    }

    /// The rows that a test adds, each over its standard deviation, or why it is not offered.
    fn rows_of(
        &self,
        test: &OfferedTest,
        density: MassDensity,
        cancel: Cancel<'_>,
    ) -> Result<std::result::Result<Vec<Vec<f64>>, String>> {
        let never = |e: &Error| e.kind() == ErrorKind::NoSolution;
        let Some(mass) = test.mass else {
            let slopes = self.slopes(|z| Ok([self.ln_gel(z, test.dose, test.temperature)? / FILM]));
            return match slopes {
                Ok([row]) => Ok(Ok(vec![row])),
                Err(e) if never(&e) => Ok(Err("it may never gel".to_owned())),
                Err(e) => Err(e),
            };
        };
        let read = |z: &[f64]| {
            let law = self.law_at(z)?;
            bench_cup(&law, test.dose, mass, test.temperature, density)?.reading(cancel)
        };
        match read(&[]) {
            Ok(r) if r.peak_temperature.si() > HOTTEST => {
                return Ok(Err(format!(
                    "its peak is foretold at {}",
                    show(r.peak_temperature)
                )));
            }
            Err(e) if never(&e) => return Ok(Err("it may never gel".to_owned())),
            Err(e) => return Err(e),
            Ok(_) => {}
        }
        let slopes = self.slopes(|z| {
            let r = read(z)?;
            Ok([
                r.gel_time.si().ln() / CUP[0],
                (r.gel_to_peak.si() + 1.0).ln() / CUP[1],
                r.peak_temperature.si() / CUP[2],
            ])
        });
        match slopes {
            Ok(rows) => Ok(Ok(rows.to_vec())),
            Err(e) if never(&e) => Ok(Err("it may never gel".to_owned())),
            Err(e) => Err(e),
        }
    }
}

#[questions(calibration, NEXT)]
impl Calibration {
    /// Which of the offered tests to make next: the set after which the gel time that the plan needs is known best.
    ///
    /// The band of the law is the prior, `I` in the numbers it is drawn by; each reading of a test adds its derivatives over its
    /// standard deviation, `A = I + J'J`; what is left of the variance of the logarithm of the gel time is `g' A^-1 g`
    /// (V-optimal, to first order). Of sets that leave the same within 2 % the cheapest is taken. A cup above `most_mass`, one
    /// foretold above 200 °C, and a dose outside the window of the resin are not offered.
    ///
    /// # Errors
    /// `NoSolution` where fewer tests than wanted may be made, each with its reason, and where what is needed may never gel;
    /// `UnknownName` for the resin; `OutOfRange`; `Cancelled`.
    #[question("calibrate.next_tests", long)]
    pub fn next_tests(
        &self,
        /// Tests that could be made.
        offered: &[OfferedTest],
        /// Catalyst that the plan casts with.
        #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
        dose: Phr,
        /// Temperature that the plan casts at.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: ThermodynamicTemperature,
        /// How many tests to make.
        #[noun(default = 2u32, within(1, 6, "two are usual"))]
        count: u32,
        /// Resin, a material id: its window of doses bounds what is offered.
        resin: Option<&str>,
        /// Heaviest cup that may be mixed.
        #[noun(default = "150 g", within("1 g", "100 kg", "a heavy cup smokes"))]
        most_mass: Mass,
        /// Density of the mix.
        #[noun(default = "1.1 g/mL", within = crate::ranges::MIX_DENSITY)]
        density: MassDensity,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
        cancel: Cancel<'_>,
    ) -> Result<NextTests> {
        let window = match resin {
            None => None,
            Some(id) => {
                let material = catalogue.get(id).map_err(|e| e.at("resin"))?;
                let windows = &material.resin()?.dose_window;
                let low = windows
                    .iter()
                    .filter_map(|w| w.low)
                    .map(Phr::get)
                    .reduce(f64::min);
                let high = windows
                    .iter()
                    .filter_map(|w| w.high)
                    .map(Phr::get)
                    .reduce(f64::max);
                Some((low.unwrap_or(0.0), high.unwrap_or(f64::INFINITY)))
            }
        };
        let [aim] = self.slopes(|z| Ok([self.ln_gel(z, dose, temperature)?]))?;
        let mut rows: Vec<std::result::Result<Vec<Vec<f64>>, String>> = vec![];
        for (i, test) in offered.iter().enumerate() {
            cancel.check()?;
            crate::noun::check(test).map_err(|e| e.within(format_args!("offered[{i}]")))?;
            let d = test.dose.get();
            let refused = match (window, test.mass) {
                (Some((low, high)), _) if d < low * (1.0 - 1e-9) || d > high * (1.0 + 1e-9) => Some(format!(
                    "{} lies outside the window of {low} to {high} phr",
                    show(test.dose)
                )),
                (_, Some(m)) if m.si() > most_mass.si() * (1.0 + 1e-9) => {
                    Some(format!("{} is more than {}", show(m), show(most_mass)))
                }
                _ => None,
            };
            rows.push(match refused {
                Some(why) => Err(why),
                None => self.rows_of(test, density, cancel)?,
            });
        }
        let prior: Vec<Vec<f64>> = (0..CONSTANTS)
            .map(|j| (0..CONSTANTS).map(|k| f64::from(u8::from(j == k))).collect())
            .collect();
        let told: Vec<Vec<Vec<f64>>> = rows.iter().map(|r| r.clone().unwrap_or_default()).collect();
        let offer = Offer::new(prior, &told);
        let left = |set: &[usize]| variance_of(&offer.with(set), &aim).unwrap_or(f64::NAN);
        let worth = offered
            .iter()
            .enumerate()
            .map(|(i, test)| OfferedWorth {
                name: test.name.clone(),
                factor_after: rows[i].is_ok().then(|| factor(left(&[i]))),
                refused: rows[i].as_ref().err().cloned(),
            })
            .collect();
        let may: Vec<usize> = (0..offered.len()).filter(|&i| rows[i].is_ok()).collect();
        let count = count as usize;
        if may.len() < count {
            let reasons: Vec<String> = offered
                .iter()
                .zip(&rows)
                .filter_map(|(t, r)| Some(format!("{}: {}", t.name, r.as_ref().err()?)))
                .collect();
            return Err(Error::no_solution(
                "offered",
                format_args!("{count} of {} tests", offered.len()),
                format!("{} that may be made ({})", may.len(), reasons.join("; ")),
                "offer more tests inside the window of the dose and below the heaviest cup",
            ));
        }
        let of = |set: &[usize]| -> Vec<usize> { set.iter().map(|&k| may[k]).collect() };
        let cost = |set: &[usize]| set.iter().map(|&i| offered[i].cost).sum::<f64>();
        let open = || Error::new(ErrorKind::NotConverged, "offered");
        let mut seen = 0u32;
        let mut stops = || {
            seen = seen.wrapping_add(1);
            if seen.is_multiple_of(ASKED_EVERY) {
                cancel.check()
            } else {
                Ok(())
            }
        };
        let best = best_set(may.len(), count, None, |set| {
            stops()?;
            Ok(1.0 / left(&of(set)))
        });
        let best = best?.ok_or_else(open)?;
        let enough = AS_GOOD * factor(1.0 / best.merit);
        let cheapest = best_set(may.len(), count, Some(&best.tests), |set| {
            stops()?;
            let good = factor(left(&of(set))) <= enough;
            Ok(if good { 1.0 / (1e-9 + cost(&of(set))) } else { 0.0 })
        });
        let cheapest = cheapest?.ok_or_else(open)?;
        let chosen = of(&cheapest.tests);
        let tests: Vec<String> = chosen.iter().map(|&i| offered[i].name.clone()).collect();
        let (now, after) = (factor(left(&[])), factor(left(&chosen)));
        let why = Why::computed(
            "tests to make next",
            tests.join(", "),
            "least g' (I + J'J)^-1 g: variance of the logarithm of the gel time that is left; the cheapest within 2 %",
            vec![
                Why::given(
                    "gel time wanted at",
                    format!("{}, {}", show(dose), show(temperature)),
                ),
                Why::given(
                    "tests offered",
                    format!("{}, of which {} may be made", offered.len(), may.len()),
                ),
                self.why.clone(),
            ],
        );
        Ok(NextTests {
            tests,
            factor_now: now,
            factor_after: after,
            cost: cost(&chosen),
            offered: worth,
            why,
        })
    }
}

/// The row of `ln t = b0 + b1 1000/T - b2 ln dose`.
fn table_row(t: &TableTest) -> Vec<f64> {
    vec![1.0, 1000.0 / t.temperature.si(), -t.dose.get().ln()]
}

#[questions(table_tests)]
impl TableTests {
    /// Which rows of a gel-time table to time next, where nothing but its own slopes is to be known: the D-optimal ones.
    ///
    /// Greatest `det(X'X)` of `ln t = b0 + b1 1000 K/T - b2 ln(dose/phr)` over the rows done and these.
    ///
    /// # Errors
    /// `NoSolution` where no such set tells all three slopes: all at one temperature, at one dose, or on one line.
    #[question("calibrate.table_tests")]
    pub fn choose(
        /// Rows already timed.
        done: &[TableTest],
        /// Rows that could be timed.
        offered: &[TableTest],
        /// How many to time.
        #[noun(default = 2u32, within(1, 20, "two are usual"))]
        count: u32,
    ) -> Result<TableTests> {
        let rows = |tests: &[TableTest]| tests.iter().map(table_row).collect::<Vec<_>>();
        let chosen = d_optimal(&rows(done), &rows(offered), count as usize).ok_or_else(|| {
            Error::no_solution(
                "offered",
                format_args!("{count} of {} rows beside {} done", offered.len(), done.len()),
                "rows that tell a level, an activation energy and an order in the dose",
                "offer rows at another temperature and at another dose, three or more in all",
            )
        })?;
        let tests: Vec<TableTest> = chosen.tests.iter().map(|&i| offered[i]).collect();
        let shown: Vec<String> = tests
            .iter()
            .map(|t| format!("{} at {}", show(t.dose), show(t.temperature)))
            .collect();
        #[allow(clippy::cast_possible_truncation)]
        let places = chosen.tests.iter().map(|&i| i as u32).collect();
        Ok(TableTests {
            places,
            determinant: chosen.merit,
            why: Why::computed(
                "rows to time next",
                shown.join(", "),
                "greatest det(X'X) of ln t = b0 + b1 1000 K/T - b2 ln(dose/phr)",
                vec![
                    Why::given("rows done", done.len().to_string()),
                    Why::given("rows offered", offered.len().to_string()),
                ],
            ),
            tests,
        })
    }
}
