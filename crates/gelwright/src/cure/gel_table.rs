//! Gel time from the table of a data sheet: rows of temperature, dose and time.
//!
//! The logarithm of the gel time is taken against reciprocal temperature and the logarithm of the dose,
//!
//! ```text
//! ln t = ln t0 + (E/R) (1/T - 1/T0) - n ln(d/d0)
//! ```
//!
//! with `E` the *apparent* activation energy of gelling and `n` its order in the dose. Both come from the rows
//! of the resin in hand: published tables imply anything from 50 to 200 kJ/mol, so there is no fixed rule for
//! all resins here. Where the rows are all the same temperature (or dose), or temperature and dose change
//! only together, what the table can not say is assumed, marked as assumed, and widens the band.
//!
//! Rows that form a complete grid (every temperature with every dose) are interpolated piecewise bilinearly in
//! `1/T` and `ln d`, so each row is returned exactly; other tables are fitted by least squares. Outside the
//! table the edge is continued with the fitted `E` and `n`, and the answer says that it extrapolates.

use crate::constants::{GAS_CONSTANT, ZERO_CELSIUS};
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::numeric::roots::bisect;
use crate::quantity::{
    MolarEnergy, Phr, Quantity, ThermodynamicTemperature, Time, show, temperature::to_celsius,
};
use crate::source::{Source, Standing, Why};

/// One row of a gel-time table.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct GelRow {
    /// Temperature of resin and surroundings.
    #[noun(within("-50 degC", "250 degC", "check the unit of the temperature"))]
    pub temperature: ThermodynamicTemperature,
    /// Catalyst (or hardener) on 100 parts of resin by mass.
    #[noun(within(> "0 phr", .., "a mix without catalyst does not gel: leave the row out"))]
    pub dose: Phr,
    /// Time from mixing to gel.
    #[noun(within(> "0 s", .., "give a gel time above 0 s, for example '18 min'"))]
    pub time: Time,
}

impl GelRow {
    /// A row.
    pub fn new(temperature: ThermodynamicTemperature, dose: Phr, time: Time) -> Self {
        GelRow {
            temperature,
            dose,
            time,
        }
    }
}

/// The gel-time table of a data sheet, checked and fitted (see the [module](self) for the model).
#[derive(Clone, PartialEq, Noun)]
#[noun(via = "Given")]
pub struct GelTable {
    given: Given,
    fit: Fit,
    grid: Option<Grid>,
}

/// The gel-time table of a data sheet.
#[derive(Clone, PartialEq, Noun)]
#[noun(name = "GelTable")]
struct Given {
    /// Two rows or more.
    rows: Vec<GelRow>,
    /// Where the table stands.
    source: Source,
    /// How the times were taken, in words ("100 g in a cup", "film").
    #[noun(default)]
    method: String,
    /// Order of the gel time in the dose, for a table that does not vary the dose.
    #[noun(within(
        0,
        5,
        "give n of gel time ~ dose^-n, about 1 for a peroxide used up against an inhibitor"
    ))]
    dose_order: Option<f64>,
}

impl TryFrom<Given> for GelTable {
    type Error = Error;
    fn try_from(given: Given) -> Result<Self> {
        check(&given)?;
        if given.rows.len() < 2 {
            return Err(Error::out_of_range(
                "rows",
                format_args!("{} row(s)", given.rows.len()),
                "2 rows or more",
                "give at least two rows of temperature, dose and time",
            ));
        }
        let fit = Fit::of(&given.rows, given.dose_order)?;
        let grid = Grid::of(&given.rows)?;
        Ok(GelTable { given, fit, grid })
    }
}

impl From<GelTable> for Given {
    fn from(t: GelTable) -> Self {
        t.given
    }
}

/// A gel time with its band.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GelTime {
    /// Most likely time from mixing to gel.
    pub time: Time,
    /// Lower end of the band (about 95 %): plan the working time with this one.
    pub low: Time,
    /// Upper end of the band.
    pub high: Time,
    /// What lies outside which range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The dose that gives a wanted gel time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseForGelTime {
    /// Catalyst on 100 parts of resin by mass.
    pub dose: Phr,
    /// The gel time at that dose, with its band.
    pub gel_time: GelTime,
    /// What lies outside which range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// A slope of the table: apparent activation energy in J/mol, or order in the dose.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Slope {
    value: f64,
    low: f64,
    high: f64,
    origin: Origin,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Origin {
    Rows,
    Caller,
    Assumed,
}

/// Least squares of `ln t` on `x = (1/T - 1/T0)/R` and `y = -ln(d/d0)`.
#[derive(Debug, Clone, PartialEq)]
struct Fit {
    t0: f64,
    d0: f64,
    ln_time: f64,
    energy: Slope,
    order: Slope,
    /// Spread of ln t about the fit.
    spread: f64,
    /// Inverse of the centred normal matrix over what the rows identify: xx, xy, yy.
    inverse: [f64; 3],
    count: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct Grid {
    /// 1/T, ascending.
    reciprocal: Vec<f64>,
    /// ln d, ascending.
    ln_dose: Vec<f64>,
    /// ln t, row by row of `reciprocal`.
    ln_time: Vec<f64>,
}

/// One gel test against the next of the same mix, as ln t: 10 %. Common practice, no source.
pub(crate) const REPEATABILITY: f64 = 0.10;
/// Assumed where a table has one temperature only, J/mol. Published apparent energies of redox-initiated
/// polyester are 40 to 60 kJ/mol (J. Appl. Polym. Sci. 102:1870 (2006), abstract); tables of gel coats reach
/// twice that and more. Choice of these authors; common practice, no source.
const ASSUMED_ENERGY: [f64; 3] = [40e3, 60e3, 120e3];
/// Assumed where a table has one dose only: an inhibitor used up at a constant rate gives order 1. Tables run
/// from about 0.5 to above 2. Common practice, no source.
const ASSUMED_ORDER: [f64; 3] = [0.5, 1.0, 2.0];
/// Farthest from the table that is answered at all.
const FARTHEST_KELVIN: f64 = 40.0;
const FARTHEST_DOSE_RATIO: f64 = 5.0;

/// The window of doses to look in, phr; refused where it is empty.
pub(super) fn window_of(window: (Phr, Phr)) -> Result<(f64, f64)> {
    let (low, high) = (window.0.get(), window.1.get());
    if !(low > 0.0 && low < high) {
        return Err(Error::inconsistent(
            "window",
            format_args!("{} to {}", show(window.0), show(window.1)),
            "0 phr < least < most",
            "give the data sheet's catalyst window, for example '1 phr' to '2.5 phr'",
        ));
    }
    Ok((low, high))
}

#[questions(table)]
impl GelTable {
    /// Gel time at a temperature and dose from a data sheet's gel-time table, with its band.
    ///
    /// Inside the table interpolation, outside it continuation with the fitted slopes, marked as extrapolated.
    /// The band is about 95 %: the repeatability of a gel test (10 %: common practice, no source) or the scatter of the
    /// rows about the fit where that is wider, growing with the distance from the table, and the range of an assumed
    /// slope. Inside a complete grid it is that of a repeated test alone.
    ///
    /// # Errors
    /// `OutOfRange` for a dose of zero, more than 40 K outside the table's temperatures, or a dose more than
    /// five times outside the table's doses.
    #[question("cure.gel_time")]
    pub fn gel_time(
        &self,
        /// Temperature of resin, mould and air.
        temperature: ThermodynamicTemperature,
        /// Catalyst on 100 parts of resin by mass.
        #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
        dose: Phr,
    ) -> Result<GelTime> {
        let (t, d) = (finite("temperature", temperature.si())?, dose.get());
        let extrapolated = self.outside(temperature, dose)?;
        let ln_time = self.ln_time(t, d);
        let (below, above) = self.band(t, d);
        let time = seconds(ln_time.exp());
        let mut why = Why::computed(
            "gel time",
            show(time),
            if self.grid.is_some() {
                "ln t bilinear in 1/T and ln(dose) between the rows of the table"
            } else {
                "ln t = ln t0 + E/R (1/T - 1/T0) - n ln(d/d0), least squares over the rows of the table"
            },
            vec![
                Why::given("temperature", show(temperature)),
                Why::given("dose", show(dose)),
                Why::given("gel-time table", self.summary()).with_source(&self.given.source),
                self.energy_why(),
                self.order_why(),
            ],
        );
        if let Some(text) = &extrapolated {
            why = why.with_note(format!("extrapolated: {text}"));
        }
        Ok(GelTime {
            time,
            low: seconds((ln_time - below).exp()),
            high: seconds((ln_time + above).exp()),
            extrapolated,
            why,
        })
    }

    /// The catalyst dose inside a window that gives a wanted gel time, from a gel-time table; or why none does.
    ///
    /// The inverse of [`gel_time`](Self::gel_time), which never rises with the dose: bisection in ln(dose).
    ///
    /// # Errors
    /// `NoSolution` where the window does not hold the time; it names the nearest and the temperature that would
    /// do. `Inconsistent` for an empty window; as [`gel_time`](Self::gel_time) otherwise.
    #[question("cure.dose_for_gel_time")]
    pub fn dose_for(
        &self,
        /// Wanted gel time.
        #[noun(within = crate::ranges::WANTED_GEL_TIME)]
        time: Time,
        /// Temperature of resin, mould and air.
        temperature: ThermodynamicTemperature,
        /// Least dose allowed.
        least: Phr,
        /// Most dose allowed.
        most: Phr,
    ) -> Result<DoseForGelTime> {
        let window = (least, most);
        let (low, high) = window_of(window)?;
        for dose in [least, most] {
            self.outside(temperature, dose).map_err(|e| e.within("window"))?;
        }
        let t = temperature.si();
        let ln_wanted = time.si().ln();
        let (slowest, quickest) = (self.ln_time(t, low), self.ln_time(t, high));
        let slack = 1e-9;
        if ln_wanted < quickest - slack || ln_wanted > slowest + slack {
            return Err(self.no_dose(time, temperature, window, slowest, quickest));
        }
        let dose = if ln_wanted >= slowest {
            low
        } else if ln_wanted <= quickest {
            high
        } else {
            bisect(low.ln(), high.ln(), |x| self.ln_time(t, x.exp()) - ln_wanted).exp()
        };
        let dose = Phr::new(dose.clamp(low, high))?;
        let gel_time = self.gel_time(temperature, dose)?;
        let why = Why::computed(
            "catalyst for the gel time",
            show(dose),
            "the dose at which the gel time is the wanted one",
            vec![Why::given("wanted gel time", show(time)), gel_time.why.clone()],
        );
        Ok(DoseForGelTime {
            dose,
            extrapolated: gel_time.extrapolated.clone(),
            gel_time,
            why,
        })
    }

    /// Apparent activation energy of gelling that a gel-time table implies, with its range and whether the rows tell it.
    ///
    /// `E = R d(ln t)/d(1/T)` at constant dose, least squares over all rows.
    #[question("cure.apparent_activation_energy")]
    pub fn apparent_activation_energy(&self) -> ApparentActivationEnergy {
        let s = self.fit.energy;
        let mut why = self.energy_why();
        if self.given.dose_order.is_some() {
            let (least, most) = self.doses();
            let order = self.order_why();
            why.from
                .push(if self.fit.order.origin == Origin::Caller && least == most {
                    order.with_note("does not enter: the rows have one dose")
                } else {
                    order
                });
        }
        ApparentActivationEnergy {
            value: molar_energy(s.value),
            low: molar_energy(s.low),
            high: molar_energy(s.high),
            why,
        }
    }
}

impl GelTable {
    /// A table from its rows (two or more) and its source.
    ///
    /// # Errors
    /// `OutOfRange` for fewer than two rows, a time or dose not above zero, a temperature no gel test is made at;
    /// `Inconsistent` where hotter or more catalyst gels later.
    pub fn new(rows: Vec<GelRow>, source: Source) -> Result<Self> {
        GelTable::try_from(Given {
            rows,
            source,
            method: String::new(),
            dose_order: None,
        })
    }

    /// With the order of the gel time in the dose (`t ~ dose^-order`), used where the rows do not tell it; where they do
    /// it is set aside, and the answers say so.
    ///
    /// # Errors
    /// `OutOfRange` unless 0 <= order <= 5.
    pub fn with_dose_order(self, order: f64) -> Result<Self> {
        GelTable::try_from(Given {
            dose_order: Some(order),
            ..self.given
        })
    }

    /// With how the times were taken ("100 g in a cup").
    #[must_use]
    pub fn with_method(mut self, method: impl Into<String>) -> Self {
        self.given.method = method.into();
        self
    }

    /// The rows as given.
    pub fn rows(&self) -> &[GelRow] {
        &self.given.rows
    }

    /// Where the table stands.
    pub fn source(&self) -> &Source {
        &self.given.source
    }

    /// The temperatures the table covers, coldest and hottest.
    pub fn temperatures(&self) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
        ends(self.given.rows.iter().map(|r| r.temperature))
    }

    /// The doses the table covers, least and most.
    pub fn doses(&self) -> (Phr, Phr) {
        ends(self.given.rows.iter().map(|r| r.dose))
    }

    /// Order of the gel time in the dose, `n = -d(ln t)/d(ln dose)` at constant temperature.
    pub fn dose_order(&self) -> f64 {
        self.fit.order.value
    }

    /// Apparent activation energy (J/mol) and order in the dose, each with its range, where the rows tell it.
    pub(crate) fn told_by_rows(&self) -> [Option<[f64; 3]>; 2] {
        [self.fit.energy, self.fit.order]
            .map(|s| (s.origin == Origin::Rows).then_some([s.low, s.value, s.high]))
    }

    fn no_dose(
        &self,
        time: Time,
        temperature: ThermodynamicTemperature,
        window: (Phr, Phr),
        slowest: f64,
        quickest: f64,
    ) -> Error {
        let ln_wanted = time.si().ln();
        let too_slow = ln_wanted < quickest;
        let (edge, reached) = if too_slow {
            (window.1, quickest)
        } else {
            (window.0, slowest)
        };
        let (coldest, hottest) = self.temperatures();
        let (from, to) = if too_slow {
            (temperature.si(), hottest.si() + FARTHEST_KELVIN)
        } else {
            (coldest.si() - FARTHEST_KELVIN, temperature.si())
        };
        let f = |t: f64| self.ln_time(t, edge.get()) - ln_wanted;
        let verb = if too_slow { "warm" } else { "cool" };
        let way_out = if from < to && f(from) * f(to) <= 0.0 {
            let t = bisect(from, to, f) - ZERO_CELSIUS;
            let mark = if t < to_celsius(coldest) || t > to_celsius(hottest) {
                " (outside the table: extrapolated)"
            } else {
                ""
            };
            format!(
                "no dose in the window works at {}: {verb} resin, mould and air to {t:.1} °C{mark}, or plan for {}",
                show(temperature),
                show(seconds(reached.exp()))
            )
        } else {
            format!(
                "no dose in the window works at {}, nor at any temperature near the table: take a {} system or plan for {}",
                show(temperature),
                if too_slow { "quicker" } else { "slower" },
                show(seconds(reached.exp()))
            )
        };
        Error::no_solution(
            "dose",
            format_args!("a gel time of {}", show(time)),
            format!("{} gels in {}", show(edge), show(seconds(reached.exp()))),
            way_out,
        )
    }

    /// Refuses what is too far, and says what lies outside the table.
    fn outside(&self, temperature: ThermodynamicTemperature, dose: Phr) -> Result<Option<String>> {
        let (t, d) = (finite("temperature", temperature.si())?, dose.get());
        let (coldest, hottest) = self.temperatures();
        let (least, most) = self.doses();
        if t < coldest.si() - FARTHEST_KELVIN - 1e-9 || t > hottest.si() + FARTHEST_KELVIN + 1e-9 {
            return Err(Error::out_of_range(
                "temperature",
                show(temperature),
                format!(
                    "{:.1} °C to {:.1} °C (the table and 40 K around it)",
                    to_celsius(coldest) - FARTHEST_KELVIN,
                    to_celsius(hottest) + FARTHEST_KELVIN
                ),
                "too far from the table for any answer: time a cup of this resin at that temperature",
            ));
        }
        let (farthest_low, farthest_high) = (
            least.get() / FARTHEST_DOSE_RATIO,
            most.get() * FARTHEST_DOSE_RATIO,
        );
        if d < farthest_low * (1.0 - 1e-9) || d > farthest_high * (1.0 + 1e-9) {
            return Err(Error::out_of_range(
                "dose",
                show(dose),
                format!(
                    "{farthest_low:.3} phr to {farthest_high:.3} phr (the table and five times around it)"
                ),
                "check the decimal point; else time a cup of this resin at that dose",
            ));
        }
        let mut outside = Vec::new();
        let around = |a: String, b: String| if a == b { a } else { format!("{a} to {b}") };
        if t < coldest.si() - 1e-6 || t > hottest.si() + 1e-6 {
            let range = around(show(coldest).to_string(), show(hottest).to_string());
            outside.push(match self.fit.energy.origin {
                Origin::Assumed => format!(
                    "temperature {} where the table has {range} only; activation energy assumed",
                    show(temperature)
                ),
                _ => format!("temperature {} outside the table's {range}", show(temperature)),
            });
        }
        if d < least.get() * (1.0 - 1e-9) || d > most.get() * (1.0 + 1e-9) {
            let range = around(show(least).to_string(), show(most).to_string());
            outside.push(match self.fit.order.origin {
                Origin::Rows => format!("dose {} outside the table's {range}", show(dose)),
                Origin::Caller => format!(
                    "dose {} where the table has {range} only; order in the dose given by the caller",
                    show(dose)
                ),
                Origin::Assumed => format!(
                    "dose {} where the table does not tell the effect of the dose ({range}); order in the dose assumed",
                    show(dose)
                ),
            });
        } else if self.fit.order.origin != Origin::Rows && least < most {
            // Temperature and dose change only together: the split between them is assumed.
            outside.push(
                "the rows change temperature and dose only together; order in the dose assumed".to_owned(),
            );
        }
        Ok((!outside.is_empty()).then(|| outside.join("; ")))
    }

    fn ln_time(&self, t: f64, d: f64) -> f64 {
        let f = &self.fit;
        match &self.grid {
            None => f.ln_time + f.energy.value * f.x(t) + f.order.value * f.y(d),
            Some(g) => {
                let (r, l) = g.nearest(t, d);
                g.inside(r, l) + f.energy.value * (1.0 / t - r) / GAS_CONSTANT - f.order.value * (d.ln() - l)
            }
        }
    }

    /// Half-widths of the band of ln t, below and above.
    ///
    /// A grid is right at its rows whatever its curvature, so inside it the band is that of a repeated test, and the
    /// scatter about the straight fit counts from the edge outwards; a fit has it everywhere.
    fn band(&self, t: f64, d: f64) -> (f64, f64) {
        let f = &self.fit;
        let scatter = f.spread.max(REPEATABILITY);
        let (x, y, inside) = match &self.grid {
            None => (f.x(t), f.y(d), scatter * scatter * (1.0 + 1.0 / f.count)),
            Some(g) => {
                let (r, l) = g.nearest(t, d);
                (
                    f.x(t) - f.x(1.0 / r),
                    f.y(d) - f.y(l.exp()),
                    REPEATABILITY * REPEATABILITY,
                )
            }
        };
        let [xx, xy, yy] = f.inverse;
        let leverage = xx * x * x + 2.0 * xy * x * y + yy * y * y;
        let (mut below, mut above) = {
            let v = 4.0 * (inside + scatter * scatter * leverage);
            (v, v)
        };
        for (slope, z) in [(f.energy, x), (f.order, y)] {
            if slope.origin == Origin::Assumed {
                let a = (slope.low - slope.value) * z;
                let b = (slope.high - slope.value) * z;
                below += a.min(b).min(0.0).powi(2);
                above += a.max(b).max(0.0).powi(2);
            }
        }
        (below.sqrt(), above.sqrt())
    }

    fn summary(&self) -> String {
        let (coldest, hottest) = self.temperatures();
        let (least, most) = self.doses();
        let mut s = format!(
            "{} rows, {} to {}, {} to {}",
            self.given.rows.len(),
            show(coldest),
            show(hottest),
            show(least),
            show(most)
        );
        if !self.given.method.is_empty() {
            s.push_str(", ");
            s.push_str(&self.given.method);
        }
        s
    }

    fn energy_why(&self) -> Why {
        let s = self.fit.energy;
        let shown = format!(
            "{} ({} to {})",
            show(molar_energy(s.value)),
            show(molar_energy(s.low)),
            show(molar_energy(s.high))
        );
        if s.origin == Origin::Rows {
            Why::computed(
                "apparent activation energy",
                shown,
                "E = R d(ln t)/d(1/T)",
                vec![],
            )
            .with_source(&self.given.source)
        } else {
            Why::given("apparent activation energy", shown)
                .with_source(&Source::of(
                    Standing::CommonPractice,
                    "assumed: the table has one temperature only",
                ))
                .with_note("time a cup at a second temperature to learn it")
        }
    }

    fn order_why(&self) -> Why {
        let s = self.fit.order;
        let shown = format!("{:.2} ({:.2} to {:.2})", s.value, s.low, s.high);
        match s.origin {
            Origin::Rows => {
                let why = Why::computed("order in the dose", shown, "n = -d(ln t)/d(ln dose)", vec![])
                    .with_source(&self.given.source);
                match self.given.dose_order {
                    None => why,
                    Some(n) => why.with_note(format!(
                        "the order {n} given with the table is set aside: the rows tell it"
                    )),
                }
            }
            Origin::Caller => Why::given("order in the dose", shown).with_note("given with the table"),
            Origin::Assumed => Why::given("order in the dose", shown)
                .with_source(&Source::of(
                    Standing::CommonPractice,
                    "assumed: the table does not tell the effect of the dose",
                ))
                .with_note("time a cup with a second dose to learn it"),
        }
    }
}

/// Apparent activation energy of gelling.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ApparentActivationEnergy {
    /// Over the whole table.
    pub value: MolarEnergy,
    /// Lower end of its range.
    pub low: MolarEnergy,
    /// Upper end of its range.
    pub high: MolarEnergy,
    /// The chain behind it; says where it is assumed.
    pub why: Why,
}

impl Fit {
    fn of(rows: &[GelRow], given_order: Option<f64>) -> Result<Fit> {
        #[allow(clippy::cast_precision_loss)]
        let count = rows.len() as f64;
        let mean = |f: &dyn Fn(&GelRow) -> f64| rows.iter().map(f).sum::<f64>() / count;
        let t0 = 1.0 / mean(&|r| 1.0 / r.temperature.si());
        let d0 = mean(&|r| r.dose.get().ln()).exp();
        let mut fit = Fit {
            t0,
            d0,
            ln_time: mean(&|r| r.time.si().ln()),
            energy: Slope::assumed(ASSUMED_ENERGY),
            order: match given_order {
                Some(n) => Slope {
                    value: n,
                    low: n,
                    high: n,
                    origin: Origin::Caller,
                },
                None => Slope::assumed(ASSUMED_ORDER),
            },
            spread: 0.0,
            inverse: [0.0; 3],
            count,
        };
        let (mut sxx, mut sxy, mut syy, mut sxz, mut syz) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for r in rows {
            let (x, y) = (fit.x(r.temperature.si()), fit.y(r.dose.get()));
            let z = r.time.si().ln() - fit.ln_time;
            sxx += x * x;
            sxy += x * y;
            syy += y * y;
            sxz += x * z;
            syz += y * z;
        }
        // Half a kelvin and one percent of dose are no variation.
        let hot = sxx > count * (0.5 / (GAS_CONSTANT * t0 * t0)).powi(2);
        let dosed = syy > count * 0.01f64.powi(2);
        let apart = hot && dosed && sxx * syy - sxy * sxy > 1e-3 * sxx * syy;
        let identified = if apart {
            let det = sxx * syy - sxy * sxy;
            fit.inverse = [syy / det, -sxy / det, sxx / det];
            fit.energy = Slope::from_rows((syy * sxz - sxy * syz) / det);
            fit.order = Slope::from_rows((sxx * syz - sxy * sxz) / det);
            2.0
        } else if hot {
            // One dose, or dose and temperature change only together: the order is not in the rows.
            fit.inverse = [1.0 / sxx, 0.0, 0.0];
            fit.energy = Slope::from_rows((sxz - fit.order.value * sxy) / sxx);
            1.0
        } else if dosed {
            fit.inverse = [0.0, 0.0, 1.0 / syy];
            fit.order = Slope::from_rows((syz - fit.energy.value * sxy) / syy);
            1.0
        } else {
            return Err(Error::inconsistent(
                "rows",
                "all rows at the same temperature and dose",
                "rows that differ in temperature or in dose",
                "give a second row at another temperature or another dose",
            ));
        };
        let residual: f64 = rows
            .iter()
            .map(|r| {
                let z = fit.ln_time
                    + fit.energy.value * fit.x(r.temperature.si())
                    + fit.order.value * fit.y(r.dose.get());
                (r.time.si().ln() - z).powi(2)
            })
            .sum();
        let free = count - 1.0 - identified;
        fit.spread = if free > 0.5 { (residual / free).sqrt() } else { 0.0 };
        let s = fit.spread.max(REPEATABILITY);
        if fit.energy.origin == Origin::Rows {
            fit.energy.widen(2.0 * s * fit.inverse[0].sqrt());
        }
        if fit.order.origin == Origin::Rows {
            fit.order.widen(2.0 * s * fit.inverse[2].sqrt());
        }
        if fit.energy.value < 0.0 {
            return Err(Error::inconsistent(
                "rows",
                format_args!(
                    "an apparent activation energy of {:.1} kJ/mol",
                    fit.energy.value / 1e3
                ),
                "hotter gels sooner",
                "the rows say that hotter gels later: check temperatures and times",
            ));
        }
        if fit.order.value < 0.0 {
            return Err(Error::inconsistent(
                "rows",
                format_args!("an order of {:.2} in the dose", fit.order.value),
                "more catalyst gels sooner",
                "the rows say that more catalyst gels later: check doses and times, or cut the table at the dose where it turns",
            ));
        }
        Ok(fit)
    }

    fn x(&self, t: f64) -> f64 {
        (1.0 / t - 1.0 / self.t0) / GAS_CONSTANT
    }
    fn y(&self, d: f64) -> f64 {
        -(d / self.d0).ln()
    }
}

impl Slope {
    fn assumed([low, value, high]: [f64; 3]) -> Self {
        Slope {
            value,
            low,
            high,
            origin: Origin::Assumed,
        }
    }
    fn from_rows(value: f64) -> Self {
        // A slope of zero up to rounding is zero.
        let value = if value.abs() < 1e-9 { 0.0 } else { value };
        Slope {
            value,
            low: value,
            high: value,
            origin: Origin::Rows,
        }
    }
    fn widen(&mut self, by: f64) {
        self.low = (self.value - by).max(0.0);
        self.high = self.value + by;
    }
}

impl Grid {
    /// The grid, where the rows are every temperature with every dose, once each.
    fn of(rows: &[GelRow]) -> Result<Option<Grid>> {
        let distinct = |mut v: Vec<f64>, near: f64| {
            v.sort_by(f64::total_cmp);
            v.dedup_by(|a, b| (*a - *b).abs() <= near);
            v
        };
        let reciprocal = distinct(rows.iter().map(|r| 1.0 / r.temperature.si()).collect(), 1e-11);
        let ln_dose = distinct(rows.iter().map(|r| r.dose.get().ln()).collect(), 1e-9);
        if rows.len() != reciprocal.len() * ln_dose.len() {
            return Ok(None);
        }
        let mut ln_time = vec![f64::NAN; rows.len()];
        for r in rows {
            let i = position(&reciprocal, 1.0 / r.temperature.si());
            let j = position(&ln_dose, r.dose.get().ln());
            ln_time[i * ln_dose.len() + j] = r.time.si().ln();
        }
        if ln_time.iter().any(|z| z.is_nan()) {
            return Ok(None);
        }
        let grid = Grid {
            reciprocal,
            ln_dose,
            ln_time,
        };
        grid.check_order()?;
        Ok(Some(grid))
    }

    fn check_order(&self) -> Result<()> {
        let width = self.ln_dose.len();
        let slack = 1e-9;
        let celsius = |i: usize| 1.0 / self.reciprocal[i] - ZERO_CELSIUS;
        for i in 0..self.reciprocal.len() {
            for j in 0..width {
                let z = self.ln_time[i * width + j];
                if i + 1 < self.reciprocal.len() && self.ln_time[(i + 1) * width + j] < z - slack {
                    return Err(Error::inconsistent(
                        "rows",
                        format_args!(
                            "at {:.3} phr {:.1} °C gels sooner than {:.1} °C",
                            self.ln_dose[j].exp(),
                            celsius(i + 1),
                            celsius(i)
                        ),
                        "hotter gels no later",
                        "check temperatures and times of these rows",
                    ));
                }
                if j + 1 < width && self.ln_time[i * width + j + 1] > z + slack {
                    return Err(Error::inconsistent(
                        "rows",
                        format_args!(
                            "at {:.1} °C {:.3} phr gels later than {:.3} phr",
                            celsius(i),
                            self.ln_dose[j + 1].exp(),
                            self.ln_dose[j].exp()
                        ),
                        "more catalyst gels no later",
                        "check doses and times of these rows, or cut the table at the dose where it turns",
                    ));
                }
            }
        }
        Ok(())
    }

    /// The nearest 1/T and ln(dose) inside.
    fn nearest(&self, t: f64, d: f64) -> (f64, f64) {
        (
            (1.0 / t).clamp(self.reciprocal[0], self.reciprocal[self.reciprocal.len() - 1]),
            d.ln()
                .clamp(self.ln_dose[0], self.ln_dose[self.ln_dose.len() - 1]),
        )
    }

    /// Bilinear; `r` and `l` lie inside.
    fn inside(&self, r: f64, l: f64) -> f64 {
        let (i, u) = cell(&self.reciprocal, r);
        let (j, v) = cell(&self.ln_dose, l);
        let width = self.ln_dose.len();
        let at =
            |i: usize, j: usize| self.ln_time[i.min(self.reciprocal.len() - 1) * width + j.min(width - 1)];
        (1.0 - u) * ((1.0 - v) * at(i, j) + v * at(i, j + 1))
            + u * ((1.0 - v) * at(i + 1, j) + v * at(i + 1, j + 1))
    }
}

/// Cell and place in it, for ascending `xs` and `x` inside them.
fn cell(xs: &[f64], x: f64) -> (usize, f64) {
    let upper = xs.partition_point(|a| *a <= x);
    if xs.len() < 2 {
        return (0, 0.0);
    }
    let i = upper.clamp(1, xs.len() - 1) - 1;
    (i, ((x - xs[i]) / (xs[i + 1] - xs[i])).clamp(0.0, 1.0))
}

fn position(xs: &[f64], x: f64) -> usize {
    let (i, u) = cell(xs, x);
    if u > 0.5 { i + 1 } else { i }
}

fn ends<Q: Quantity>(qs: impl Iterator<Item = Q>) -> (Q, Q) {
    let mut it = qs;
    // Never empty: a table has two rows or more.
    #[allow(clippy::expect_used)]
    let first = it.next().expect("a table has rows");
    it.fold((first, first), |(a, b), q| {
        (
            if q.si() < a.si() { q } else { a },
            if q.si() > b.si() { q } else { b },
        )
    })
}

pub(crate) fn seconds(s: f64) -> Time {
    Time::new::<uom::si::time::second>(s)
}

pub(crate) fn molar_energy(e: f64) -> MolarEnergy {
    MolarEnergy::new::<uom::si::molar_energy::joule_per_mole>(e)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document;
    use crate::error::ErrorKind;
    use crate::quantity::temperature::celsius;

    fn table(rows: &[(f64, f64, f64)]) -> Result<GelTable> {
        let rows = rows
            .iter()
            .map(|(t, d, m)| GelRow::new(celsius(*t), Phr::new(*d).unwrap(), seconds(m * 60.0)))
            .collect();
        GelTable::new(rows, Source::of(Standing::Invented, "made for this test"))
    }
    fn minutes(t: Time) -> f64 {
        t.si() / 60.0
    }
    fn phr(x: f64) -> Phr {
        Phr::new(x).unwrap()
    }

    #[test]
    fn a_grid_returns_its_rows_exactly() {
        let rows = [
            (15.0, 1.0, 70.0),
            (15.0, 2.0, 45.0),
            (20.0, 1.0, 45.0),
            (20.0, 2.0, 25.0),
            (25.0, 1.0, 28.0),
            (25.0, 2.0, 14.0),
        ];
        let t = table(&rows).unwrap();
        for (c, d, m) in rows {
            let g = t.gel_time(celsius(c), phr(d)).unwrap();
            assert!((minutes(g.time) / m - 1.0).abs() < 1e-12);
            assert!(g.low < g.time && g.time < g.high && g.extrapolated.is_none());
        }
        let outside = t.gel_time(celsius(10.0), phr(1.0)).unwrap();
        assert!(
            outside
                .extrapolated
                .unwrap()
                .contains("outside the table's 15 °C to 25 °C")
        );
    }

    #[test]
    fn made_from_an_arrhenius_law_it_gives_the_law_back() {
        let (e, n) = (63e3, 0.8);
        let law = |c: f64, d: f64| {
            30.0 * (e / GAS_CONSTANT * (1.0 / (c + 273.15) - 1.0 / 293.15)).exp() * d.powf(-n)
        };
        let rows: Vec<_> = [(15.0, 1.0), (22.0, 1.3), (25.0, 2.5), (30.0, 1.0)]
            .map(|(c, d)| (c, d, law(c, d)))
            .to_vec();
        let t = table(&rows).unwrap();
        assert!((t.apparent_activation_energy().value.si() / e - 1.0).abs() < 1e-9);
        assert!((t.dose_order() - n).abs() < 1e-9);
        let g = t.gel_time(celsius(18.0), phr(1.7)).unwrap();
        assert!((minutes(g.time) / law(18.0, 1.7) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn one_dose_only_assumes_and_says_so() {
        let t = table(&[(20.0, 2.0, 30.0), (25.0, 2.0, 20.0)]).unwrap();
        let own = t.gel_time(celsius(22.0), phr(2.0)).unwrap();
        assert!(own.extrapolated.is_none());
        let other = t.gel_time(celsius(20.0), phr(1.0)).unwrap();
        assert!((minutes(other.time) - 60.0).abs() < 1e-9, "order 1 is assumed");
        assert!(
            other
                .extrapolated
                .as_ref()
                .unwrap()
                .contains("order in the dose assumed")
        );
        assert!(
            other.low.si() < 45.0 * 60.0 && other.high.si() > 110.0 * 60.0,
            "wide band"
        );
        assert!(
            other
                .why
                .sources()
                .iter()
                .any(|s| s.standing == Standing::CommonPractice)
        );
        let given = t
            .with_dose_order(0.5)
            .unwrap()
            .gel_time(celsius(20.0), phr(1.0))
            .unwrap();
        assert!((minutes(given.time) - 30.0 * 2f64.sqrt()).abs() < 1e-9);
        assert!(given.extrapolated.unwrap().contains("given by the caller"));
        // With one dose the order does not move the energy: that is told.
        let told = |t: &GelTable| {
            t.apparent_activation_energy()
                .why
                .from
                .first()
                .and_then(|w| w.note.clone())
        };
        let with = table(&[(20.0, 2.0, 30.0), (25.0, 2.0, 20.0)])
            .unwrap()
            .with_dose_order(0.5)
            .unwrap();
        assert!(told(&with).unwrap().contains("does not enter"));
        let apart = table(&[(20.0, 1.0, 40.0), (25.0, 2.0, 12.0)])
            .unwrap()
            .with_dose_order(0.5)
            .unwrap();
        assert!(!told(&apart).unwrap().contains("does not enter"));
    }

    #[test]
    fn rows_that_change_both_at_once_do_not_tell_them_apart() {
        let t = table(&[(20.0, 1.0, 40.0), (25.0, 2.0, 12.0)]).unwrap();
        let g = t.gel_time(celsius(20.0), phr(1.0)).unwrap();
        assert!((minutes(g.time) - 40.0).abs() < 1e-9);
        assert!(g.extrapolated.unwrap().contains("only together"));
    }

    #[test]
    fn no_dose_names_the_temperature_that_would_do() {
        let t = table(&[
            (15.0, 1.0, 80.0),
            (15.0, 2.0, 50.0),
            (25.0, 1.0, 30.0),
            (25.0, 2.0, 15.0),
        ])
        .unwrap();
        let window = (phr(1.0), phr(2.5));
        let e = t
            .dose_for(seconds(1200.0), celsius(15.0), window.0, window.1)
            .unwrap_err();
        assert_eq!(e.kind(), ErrorKind::NoSolution);
        assert!(e.to_string().contains("2.5 phr gels in"), "{e}");
        let way_out = e.way_out().unwrap();
        assert!(way_out.contains("warm resin, mould and air to"), "{way_out}");
        let warm: f64 = way_out
            .split(" to ")
            .nth(1)
            .unwrap()
            .split(' ')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        let there = t.gel_time(celsius(warm), phr(2.5)).unwrap();
        assert!((minutes(there.time) - 20.0).abs() < 0.2);
        let e = t
            .dose_for(seconds(7200.0), celsius(25.0), window.0, window.1)
            .unwrap_err();
        assert!(e.way_out().unwrap().contains("cool"), "{e}");
        let d = t
            .dose_for(seconds(1320.0), celsius(25.0), window.0, window.1)
            .unwrap();
        assert!((t.gel_time(celsius(25.0), d.dose).unwrap().time.si() - 1320.0).abs() < 1e-6);
    }

    #[test]
    fn contradictions_are_refused() {
        for (rows, says) in [
            (vec![(20.0, 1.0, 30.0), (25.0, 1.0, 40.0)], "hotter"),
            (vec![(20.0, 1.0, 30.0), (20.0, 2.0, 40.0)], "more catalyst"),
            (
                vec![(20.0, 1.0, 30.0), (20.0, 1.0, 40.0)],
                "same temperature and dose",
            ),
            (vec![(20.0, 1.0, 30.0)], "2 rows"),
            (vec![(20.0, 1.0, 30.0), (25.0, 0.0, 40.0)], "rows[1].dose"),
        ] {
            let e = table(&rows).unwrap_err();
            assert!(e.to_string().contains(says), "{e} should say {says}");
        }
        let t = table(&[(20.0, 2.0, 30.0), (25.0, 2.0, 20.0)]).unwrap();
        for (c, d) in [(20.0, 0.0), (20.0, 20.0), (90.0, 2.0), (f64::NAN, 2.0)] {
            assert!(t.gel_time(celsius(c), phr(d)).is_err());
        }
    }

    #[test]
    fn a_document_reads_and_writes() {
        let text = r#"
            rows = [
                { temperature = "20 degC", dose = "2 phr", time = "30 min" },
                { temperature = "77 degF", dose = "2 phr", time = "20 min" },
            ]
            method = "100 g in a cup"
            source = { title = "made for this test", standing = "invented" }
        "#;
        let t: GelTable = document::from_toml(text).unwrap();
        let back: GelTable =
            document::from_json(&document::to_json(&t).unwrap(), crate::Cancel::NEVER).unwrap();
        assert_eq!(t, back);
        let bad = text.replace("\"2 phr\"", "2");
        let e = document::from_toml::<GelTable>(&bad).unwrap_err().to_string();
        assert!(e.contains("phr"), "{e}");
    }
}
