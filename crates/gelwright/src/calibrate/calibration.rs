//! One set of constants from all evidence: the most probable one, and how sure it is.

use super::curve::{self, CALLED, Figures, LAG, lagged};
use super::evidence::{Evidence, Known, TimedCup};
use super::law::{
    self, CONSTANTS, CalibratedConstant, DrawnLaw, FILM, Frame, HEAT, INHIBITOR, Prior, SPECIFIC_HEAT,
};
use crate::cancel::Cancel;
use crate::constants::ZERO_CELSIUS;
use crate::cores::on_all_cores;
use crate::cure::usual::USUAL_RESIN;
use crate::cure::{FittedRange, Kinetics, Vitrification};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{self, Cure, Place};
use crate::material::{Catalogue, Material};
use crate::noun::{Noun, questions};
use crate::numeric::least_squares::{Found, Rules, cholesky, covariance_factor, least_squares};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Phr, Quantity, SpecificHeatCapacity, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Standing, Why};

/// What was measured, beside what the calibrated law shows.
#[derive(Clone, PartialEq, Noun)]
pub struct RowResidual {
    /// Which row of the evidence.
    pub row: String,
    /// Which quantity of it.
    pub quantity: String,
    /// As measured.
    pub measured: String,
    /// As the law shows it.
    pub shown: String,
    /// Measured less shown, in standard deviations of the measurement as it counted.
    pub deviations: f64,
    /// Whether it lies within what the row itself allows, two and a half standard deviations.
    pub agrees: bool,
}

/// Constants of the peroxide's rate law that all evidence on a resin shows together.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Calibration {
    /// The most probable kinetics, at the dose that the inhibitor is told as a part of; of other doses by their own dose.
    pub kinetics: Kinetics,
    /// Conversion at gel that goes with them.
    pub gel_conversion: DegreeOfCure,
    /// Factor on the film of a cup on a bench in still air that goes with them: the shop's own cups in its own air are forecast
    /// with the film that they were fitted with.
    pub film_factor: f64,
    /// Specific heat capacity of the resin as supplied that goes with them.
    pub specific_heat: SpecificHeatCapacity,
    /// Its constants: before and after.
    #[noun(default)]
    pub constants: Vec<CalibratedConstant>,
    /// Every row of the evidence beside what the law shows.
    #[noun(default)]
    pub residuals: Vec<RowResidual>,
    /// What disagrees, or can not be believed, in words.
    #[noun(default)]
    pub disagreements: Vec<String>,
    /// What nothing here measured and was assumed.
    #[noun(default)]
    pub assumed: Vec<String>,
    /// How many of the constants' worth the rows tell; what is left of ten rests on the catalogue. No more than there are rows.
    #[noun(default)]
    pub told_by_rows: f64,
    /// What it rests on: "cup test and gel-time table", "gel-time table and the catalogue's band".
    #[noun(default)]
    pub basis: String,
    /// Least dose that something was measured at.
    pub least_dose: Phr,
    /// Most dose that something was measured at.
    pub most_dose: Phr,
    /// Where the search ended: logarithms or log odds of the inhibitor's part of the reference dose, the gel and growth times
    /// (s) at the temperature and dose in the midst of the evidence, the two activation energies (J/mol), the order of
    /// decomposition, the part of that gel time that is induction, the heat of reaction (J/kg), the factor on the film of a cup in
    /// still air, the specific heat capacity of the resin (J/(kg K)).
    pub middle: Vec<f64>,
    /// How these may be off together: factor `L` of their covariance `L L'`, a row each.
    pub spread: Vec<Vec<f64>>,
    /// The chain behind it.
    pub why: Why,
}

/// Standard deviations from which a row is named.
const NAMED: f64 = 2.5;
/// Step of the derivatives, on the scale of the search: far above what the steps in time leave of noise.
const STEP: f64 = 0.02;
/// A gel time that stands for none, s.
const NEVER: f64 = 1e8;
/// Standard uncertainty of a gel-time table's law against a cup, besides the cup's own. Common practice, no source.
const TABLE_AGAINST_CUP: f64 = 0.07;
/// Deviation from which a reading was set aside.
pub(super) const NOT_COUNTED: f64 = 4.0;

#[questions(evidence)]
impl Evidence {
    /// One set of constants of the peroxide's rate law from a resin's gel-time table, cup tests, logs, film tests, tack, hardness
    /// and stated heat.
    ///
    /// The most probable constants: damped least squares over all rows, each over its standard deviation, and over what is
    /// known of the constants before (their priors; the heat of reaction's is the catalogue's range). The cup is that of
    /// `heat.cup`. Where a table and a cup disagree the table counts for gel times, the cup for heat, and that is told. A
    /// table whose own activation energy or order no gel time has is told and counts for next to nothing. The covariance at
    /// the end, `(J'J)^-1`, is the band of the law. A reading that a slip explains (ten times too much, minutes for seconds,
    /// Fahrenheit for Celsius) counts for next to nothing and is told. A log counts as a few figures that the law may be off
    /// together, with the lag of its probe sought beside the constants.
    ///
    /// # Errors
    /// `UnknownName` for the resin; `Inconsistent` for a resin that no peroxide cures, for a peak above the adiabatic rise
    /// or not above the surroundings, for a table in which hotter gels later; `NoSolution` without any gel time;
    /// `OutOfRange`, `NotFinite` for a row; `Cancelled`.
    #[question("calibrate.kinetics", long)]
    pub fn calibrate(
        &self,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
        cancel: Cancel<'_>,
    ) -> Result<Calibration> {
        crate::noun::check(self)?;
        let material = catalogue.get(&self.resin).map_err(|e| e.at("resin"))?;
        Search::new(self, material)?.calibrate(cancel)
    }
}

/// A search for the constants.
pub(super) struct Search<'a> {
    evidence: &'a Evidence,
    material: &'a Material,
    pub(super) known: Known,
    prior: Prior,
    pub(super) frame: Frame,
    /// Least and most dose tested.
    doses: (Phr, Phr),
}

/// What a cup shows.
pub(super) struct Shown {
    pub(super) gel: f64,
    pub(super) to_peak: f64,
    pub(super) peak: f64,
    /// Where it was logged.
    pub(super) figures: Option<Figures>,
}

impl<'a> Search<'a> {
    fn new(evidence: &'a Evidence, material: &'a Material) -> Result<Self> {
        let resin = material.resin()?;
        let prior = Prior::of(resin)?;
        let vitrification = match Vitrification::of_resin(resin)? {
            Some(v) => Some(v),
            None => Vitrification::of_resin(Catalogue::generic().get(USUAL_RESIN)?.resin()?)?,
        };
        let mut frame = Frame {
            reference_dose: Phr::new(1.0)?,
            kelvin: 298.15,
            beside: law::beside(resin)?,
            vitrification,
            fitted: None,
            source: Source {
                locator: format!("kinetics of '{}' calibrated on its evidence", evidence.resin),
                ..Source::of(Standing::Derived, "joint calibration")
            },
        };
        // Stands in for what is tried.
        let law = frame.law(&frame.start(&prior, (1200.0, frame.kelvin, 1.0), 0.7))?;
        let first = Cure::new(law.kinetics, law.gel_conversion);
        let known = evidence.known(material, &first)?;
        let of_gels = known.gels.iter().map(|g| (g.dose, g.kelvin));
        let of_cups = known.cups.iter().map(|c| (c.dose, c.cup.starts_at.si()));
        let (logs, inverse): (Vec<f64>, Vec<f64>) = of_gels
            .chain(of_cups)
            .map(|(d, t)| (d.get().ln(), 1.0 / t))
            .unzip();
        frame.reference_dose = Phr::new(mean(&logs).exp())?;
        frame.kelvin = 1.0 / mean(&inverse);
        frame.fitted = Some(fitted(&known)?);
        let least = logs.iter().copied().fold(f64::INFINITY, f64::min);
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Ok(Search {
            evidence,
            material,
            known,
            prior,
            frame,
            doses: (Phr::new(least.exp())?, Phr::new(most.exp())?),
        })
    }

    /// The residuals of all rows, then of the priors.
    fn residuals(&self, p: &[f64], cancel: Cancel<'_>) -> Result<Vec<f64>> {
        let law = self.frame.law(p)?;
        let mut out = Vec::with_capacity(self.known.gels.len() + 3 * self.known.cups.len() + 1 + CONSTANTS);
        residuals(&self.known, &law, 1.0, &p[CONSTANTS..], &mut out, cancel)?;
        if let Some(r) = self.known.heat {
            out.push((r.value.ln() - p[HEAT]) / r.deviation);
        }
        let told = self.frame.told(p);
        for k in 0..CONSTANTS {
            out.push(law::moved(&self.prior, &told, k));
        }
        out.extend(p[CONSTANTS..].iter().map(|l| (l - LAG.0.ln()) / LAG.1));
        Ok(out)
    }

    /// What is known before anything is measured: a residual each.
    fn priors(&self) -> usize {
        CONSTANTS + self.known.cups.iter().filter(|c| c.curve.is_some()).count()
    }

    fn search(&self, mut start: Vec<f64>, cancel: Cancel<'_>) -> Result<Found> {
        start.resize(self.priors(), LAG.0.ln());
        least_squares(start, &Rules::followed(STEP), law::bounded, |p| {
            cancel.check()?;
            self.residuals(p, cancel)
        })
    }

    pub(super) fn solve(&self, cancel: Cancel<'_>) -> Result<Found> {
        let gelled = self.known.gels.iter().find(|g| g.conversion.is_none());
        let first = match (gelled, self.known.cups.first()) {
            (Some(g), _) => (g.time.value, g.kelvin, g.dose.get()),
            (None, Some(c)) => {
                let gel = c.gel.map(|g| g.value);
                let time = gel.or(c.curve.as_ref().map(|k| 0.7 * k.measured.times[1]));
                (time.unwrap_or(1200.0), c.cup.starts_at.si(), c.dose.get())
            }
            // A state late in the cure alone: gelled in a twentieth of its time.
            (None, None) => match self.known.gels.first() {
                Some(g) => (0.05 * g.time.value, g.kelvin, g.dose.get()),
                None => return Err(Error::new(ErrorKind::NotConverged, "evidence")),
            },
        };
        let mut best: Option<Found> = None;
        // Several starts: induction may be most of the gel time or little of it.
        for part in [0.7, 0.3, 0.92] {
            let start = self.frame.start(&self.prior, first, part);
            let found = self.search(start, cancel)?;
            if best.as_ref().is_none_or(|b| found.squares() < b.squares()) {
                best = Some(found);
            }
            if best.as_ref().is_some_and(|b| self.is_good(b)) {
                break;
            }
        }
        best.ok_or_else(|| Error::new(ErrorKind::NotConverged, "evidence"))
    }

    /// As good as rows of their spread ever are: another start would find the same.
    #[allow(clippy::cast_precision_loss)]
    pub(super) fn is_good(&self, found: &Found) -> bool {
        let rows = found.residuals.len() - self.priors();
        found.squares() < 2.0 * rows as f64 + 2.0
    }

    fn calibrate(mut self, cancel: Cancel<'_>) -> Result<Calibration> {
        let found = self.solve(cancel)?;
        let found = self.without_slips(found, cancel)?;
        let (factor, told_by_rows) = self.spread(&found)?;
        let middle = found.at[..CONSTANTS].to_vec();
        let law = self.frame.law(&middle)?;
        let told = self.frame.told(&middle);
        let constants = law::table(&self.prior, &told, &self.deviations(&middle, &factor));
        let (residuals, rows) = self.compare(&law, &found.at[CONSTANTS..], cancel)?;
        let DrawnLaw {
            kinetics,
            gel_conversion: gel,
            film_factor,
            specific_heat,
        } = law;
        let mut disagreements = self.known.findings.clone();
        disagreements.extend(rows);
        disagreements.extend(self.odd(&told, &constants));
        let mut assumed = self.known.assumed.clone();
        assumed.push(format!(
            "{} rows tell {told_by_rows:.1} of the law's {CONSTANTS} constants' worth: what is left rests on what such resins are",
            found.residuals.len() - self.priors()
        ));
        for c in constants.iter().filter(|c| c.left_open > 0.7) {
            assumed.push(format!(
                "{} {:.*} {} ({:.*} to {:.*}): {}",
                c.constant,
                figures(c.value),
                c.value,
                c.unit,
                figures(c.value),
                c.low,
                figures(c.value),
                c.high,
                c.rested_on
            ));
        }
        assumed.push(format!(
            "decomposition in proportion to promoter^{} (common practice, no source); promoter counted from that of the tests as 1 phr",
            self.frame.beside.1
        ));
        let basis = self.basis();
        let mut why = Why::computed(
            "kinetics from all that is known of the resin",
            format!(
                "heat of reaction {}, gel at {}",
                show(kinetics.heat_of_reaction),
                show(gel)
            ),
            "most probable constants of di/dt = kd (1 - i), da/dt = kp R(d i - z) u: least squares over every row and the priors",
            self.links(),
        )
        .with_note(format!("assumed: {}", assumed.join("; ")));
        why.from.extend(
            self.material
                .resin()?
                .heat_of_reaction
                .iter()
                .map(|h| h.why("heat of reaction of the catalogue")),
        );
        Ok(Calibration {
            kinetics,
            gel_conversion: gel,
            film_factor,
            specific_heat,
            constants,
            residuals,
            disagreements,
            assumed,
            told_by_rows,
            basis,
            least_dose: self.doses.0,
            most_dose: self.doses.1,
            middle,
            spread: factor,
            why,
        })
    }

    /// A factor of the covariance of the constants, whatever the lags of the probes, and how many of them the rows tell: the sum
    /// of the rows' leverages.
    fn spread(&self, found: &Found) -> Result<(Vec<Vec<f64>>, f64)> {
        let whole = covariance_factor(&found.jacobian).ok_or_else(open)?;
        let rows = found.residuals.len() - self.priors();
        let told = leverages_by(&whole, &found.jacobian[..rows]).iter().sum();
        if whole.len() == CONSTANTS {
            return Ok((whole, told));
        }
        let along = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let covariance: Vec<Vec<f64>> = whole[..CONSTANTS]
            .iter()
            .map(|a| whole[..CONSTANTS].iter().map(|b| along(a, b)).collect())
            .collect();
        Ok((cholesky(&covariance).ok_or_else(open)?, told))
    }

    /// Standard deviations of the constants as they are told, to first order.
    fn deviations(&self, at: &[f64], factor: &[Vec<f64>]) -> [f64; CONSTANTS] {
        const SMALL: f64 = 1e-4;
        let mut squares = [0.0; CONSTANTS];
        for j in 0..CONSTANTS {
            let side = |by: f64| {
                let moved: Vec<f64> = at.iter().zip(factor).map(|(x, row)| x + by * row[j]).collect();
                self.frame.told(&moved)
            };
            let (below, above) = (side(-SMALL), side(SMALL));
            for k in 0..CONSTANTS {
                squares[k] += (0.5 * (above[k] - below[k]) / SMALL).powi(2);
            }
        }
        squares.map(f64::sqrt)
    }

    /// Where the cups take another heat, film or specific heat than was known of such resins and benches.
    fn odd(&self, told: &[f64; CONSTANTS], constants: &[CalibratedConstant]) -> Vec<String> {
        [HEAT, FILM, SPECIFIC_HEAT]
            .into_iter()
            .filter(|&k| law::moved(&self.prior, told, k).abs() > NAMED)
            .map(|k| {
                let c = &constants[k];
                let n = figures(c.value);
                format!(
                    "the cups take a {} of {:.n$} {}, outside the {:.n$} to {:.n$} {} known before{}: check mass, diameter and \
                     surroundings of the cup, where the probe was, and what vessel and bench took",
                    c.constant, c.value, c.unit, c.prior_low, c.prior_high, c.unit,
                    if k == FILM { "" } else { ", and no film explains it" },
                )
            })
            .collect()
    }

    /// What it rests on, in words.
    fn basis(&self) -> String {
        let e = self.evidence;
        let mut on = Vec::new();
        if !e.cup_tests.is_empty() {
            on.push("cup test");
        }
        if self.known.gels.iter().any(|g| g.of_table) {
            on.push("gel-time table");
        }
        if !e.film_tests.is_empty() {
            on.push("film test");
        }
        if !e.state_tests.is_empty() {
            on.push("state of cure");
        }
        if self.known.heat.is_some() {
            on.push("stated heat");
        }
        let warmed = self
            .known
            .cups
            .iter()
            .any(|c| c.peak.is_some() || c.curve.is_some());
        if !warmed {
            on.push("the catalogue's band");
        }
        match on.as_slice() {
            [one] => (*one).to_owned(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
            [] => String::new(),
        }
    }

    fn links(&self) -> Vec<Why> {
        let mut links: Vec<Why> = Vec::new();
        let rows = self.known.gels.iter().filter(|g| g.of_table).count();
        if rows > 0 {
            let link = Why::given("gel-time table", format!("{rows} rows"));
            links.push(match &self.known.table_source {
                Some(s) => link.with_source(s),
                None => link,
            });
        }
        for g in self.known.gels.iter().filter(|g| !g.of_table) {
            links.push(Why::given(g.called.clone(), minutes(g.time.value)));
        }
        for c in &self.known.cups {
            let mut says = show(c.cup.mass).to_string();
            if let Some(g) = c.gel {
                says.push_str(&format!(": gel {}", minutes(g.value)));
            }
            if let Some(t) = c.to_peak {
                says.push_str(&format!(", then {}", minutes(t.value)));
            }
            if let Some(t) = c.peak {
                says.push_str(&format!(" to a peak of {:.0} °C", t.value - ZERO_CELSIUS));
            }
            if let Some(k) = &c.curve {
                says.push_str(&format!(
                    "; logged: {:.0} °C after {}",
                    k.measured.peak - ZERO_CELSIUS,
                    minutes(k.measured.times[3])
                ));
            }
            links.push(Why::given(c.called.clone(), says).with_source(&c.source));
        }
        if let Some(h) = self.known.heat {
            links.push(Why::given(
                "stated heat of reaction",
                format!("{:.0} J/g", h.value / 1e3),
            ));
        }
        links
    }

    /// Every row beside what the law shows, and what of it disagrees.
    fn compare(
        &self,
        law: &DrawnLaw,
        lags: &[f64],
        cancel: Cancel<'_>,
    ) -> Result<(Vec<RowResidual>, Vec<String>)> {
        let mut rows = Vec::new();
        let mut told = Vec::new();
        let mut put = |row: &str, quantity: &str, measured: String, shown: String, by: f64, tell: bool| {
            let agrees = by.abs() <= NAMED;
            if !agrees && tell {
                told.push(format!(
                    "{row}: {quantity} measured {measured}, the law that fits the rest shows {shown}, {:.1} standard deviations off",
                    by.abs()
                ));
            }
            rows.push(RowResidual {
                row: row.to_owned(),
                quantity: quantity.to_owned(),
                measured,
                shown,
                deviations: by,
                agrees,
            });
        };
        for g in &self.known.gels {
            let t = g.shown(law, g.dose)?.unwrap_or(NEVER);
            let by = (g.time.value / t).ln() / g.printed;
            // Rows that are not believed are told as such already.
            let believed = g.time.deviation <= g.printed;
            put(&g.called, g.what, minutes(g.time.value), minutes(t), by, believed);
        }
        let table = self
            .known
            .gels
            .iter()
            .any(|g| g.of_table && g.time.deviation <= g.printed);
        let mut contradicted = Vec::new();
        let celsius = |k: f64| format!("{:.1} °C", k - ZERO_CELSIUS);
        let mut lags = lags.iter();
        for c in &self.known.cups {
            let lag = if c.curve.is_some() { lags.next() } else { None };
            let s = shown(c, law, lag.map_or(LAG.0, |l| l.exp()), cancel)?;
            if let Some(gel) = c.gel {
                let apart = (gel.value / s.gel).ln();
                put(
                    &c.called,
                    "gel time",
                    minutes(gel.value),
                    minutes(s.gel),
                    apart / c.gel_alone,
                    !table && gel.deviation < NOT_COUNTED,
                );
                if table
                    && apart.abs() > NAMED * c.gel_alone.hypot(TABLE_AGAINST_CUP)
                    && gel.deviation < NOT_COUNTED
                {
                    contradicted.push(format!(
                        "your gel-time table and your cup differ by {:.0} % at {}, {:.1} °C: the cup gelled after {}, the law of the \
                         table gels there after {}; gel times follow the table, heat follows the cup: time both again",
                        100.0 * (apart.exp() - 1.0).abs(),
                        show(c.dose),
                        c.cup.starts_at.si() - ZERO_CELSIUS,
                        minutes(gel.value),
                        minutes(s.gel),
                    ));
                }
            }
            if let (Some(k), Some(f)) = (&c.curve, &s.figures) {
                for ((what, m), at) in CALLED.iter().zip(k.measured.times).zip(f.times) {
                    put(
                        &c.called,
                        what,
                        minutes(m),
                        minutes(at),
                        (m / at).ln() / k.deviation,
                        true,
                    );
                }
                let top = k.peak();
                put(
                    &c.called,
                    "logged peak",
                    celsius(top.value),
                    celsius(f.peak),
                    top.off(f.peak),
                    true,
                );
                if let (Some(m), Some(at)) = (k.cooling(), f.cooling) {
                    put(
                        &c.called,
                        "cooling by three tenths of its rise",
                        minutes(m.value),
                        minutes(at),
                        m.ratio_off(at),
                        true,
                    );
                }
            }
            if let Some(r) = c.to_peak {
                let by = r.later_off(s.to_peak);
                put(
                    &c.called,
                    "gel to peak",
                    minutes(r.value),
                    minutes(s.to_peak),
                    by,
                    true,
                );
            }
            if let Some(r) = c.peak {
                let by = r.off(s.peak);
                put(
                    &c.called,
                    "peak temperature",
                    celsius(r.value),
                    celsius(s.peak),
                    by,
                    true,
                );
            }
        }
        if let Some(r) = self.known.heat {
            let found = law.kinetics.heat_of_reaction;
            let by = (r.value / found.si()).ln() / r.deviation;
            let stated = show(AvailableEnergy::from_si(r.value)?).to_string();
            put(
                "heat of reaction as stated",
                "heat",
                stated,
                show(found).to_string(),
                by,
                true,
            );
        }
        told.extend(contradicted);
        Ok((rows, told))
    }
}

/// The covariance is open.
fn open() -> Error {
    Error::new(ErrorKind::NotConverged, "evidence").with_value("the covariance")
}

/// What part each residual has in what is shown for itself: the diagonal of `J (J'J)^-1 J'`.
pub(super) fn leverages(found: &Found) -> Result<Vec<f64>> {
    let factor = covariance_factor(&found.jacobian).ok_or_else(open)?;
    Ok(leverages_by(&factor, &found.jacobian))
}

fn leverages_by(factor: &[Vec<f64>], rows: &[Vec<f64>]) -> Vec<f64> {
    let along = |row: &[f64], j: usize| row.iter().zip(factor).map(|(x, l)| x * l[j]).sum::<f64>();
    let leverage = |row: &Vec<f64>| (0..factor.len()).map(|j| along(row, j).powi(2)).sum();
    rows.iter().map(leverage).collect()
}

#[allow(clippy::cast_precision_loss)]
fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// The temperatures that something was measured at, 7 K to the cold (common practice, no source).
fn fitted(known: &Known) -> Result<FittedRange> {
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    let mut see = |t: f64| ends = (ends.0.min(t), ends.1.max(t));
    known.gels.iter().for_each(|g| see(g.kelvin));
    for c in &known.cups {
        see(c.cup.starts_at.si());
        c.peak.iter().for_each(|p| see(p.value));
        c.curve.iter().for_each(|k| see(k.measured.peak));
    }
    Ok(FittedRange {
        coldest: ThermodynamicTemperature::from_si(ends.0 - 7.0)?,
        hottest: ThermodynamicTemperature::from_si(ends.1 + 7.0)?,
    })
}

/// The cup of a test by a law, at a dose.
fn cup_of(timed: &TimedCup, law: &DrawnLaw, dose: Phr) -> Result<heat::Cup> {
    let mut cup: heat::Cup = timed.cup.clone();
    cup.cure = Cure::new(law.kinetics.with_dose(dose)?, law.gel_conversion);
    if matches!(cup.place, Place::Bench { .. }) {
        cup.film_factor = law.film_factor;
    }
    if !timed.own_specific_heat {
        cup.thermal.specific_heat = law.specific_heat;
    }
    Ok(cup)
}

/// The residuals of tests by a law: their doses count `strength` times, their probes lag by `e^lags` s, as usual where missing.
pub(super) fn residuals(
    known: &Known,
    law: &DrawnLaw,
    strength: f64,
    lags: &[f64],
    out: &mut Vec<f64>,
    cancel: Cancel<'_>,
) -> Result<()> {
    for g in &known.gels {
        let t = g.shown(law, Phr::new(g.dose.get() * strength)?)?;
        out.push(g.time.ratio_off(t.unwrap_or(NEVER)));
    }
    let mut lags = lags.iter();
    let lag = |c: &TimedCup| if c.curve.is_some() { lags.next() } else { None };
    let lags: Vec<Option<&f64>> = known.cups.iter().map(lag).collect();
    // The cups are nearly all of the work. Each in its place, so that of two errors always the first is told.
    let all: Vec<Result<Shown>> = on_all_cores(
        known.cups.len(),
        || (),
        |(), i| {
            let c = &known.cups[i];
            let dose = Phr::new(c.dose.get() * strength)?;
            shown_at(c, law, dose, lags[i].map_or(LAG.0, |l| l.exp()), cancel)
        },
    );
    for (c, s) in known.cups.iter().zip(all) {
        let s = s?;
        out.extend(c.gel.map(|r| r.ratio_off(s.gel)));
        out.extend(c.to_peak.map(|r| r.later_off(s.to_peak)));
        out.extend(c.peak.map(|r| r.off(s.peak)));
        if let (Some(curve), Some(f)) = (&c.curve, &s.figures) {
            curve.residuals(f, out);
        }
    }
    Ok(())
}

pub(super) fn shown(timed: &TimedCup, law: &DrawnLaw, lag: f64, cancel: Cancel<'_>) -> Result<Shown> {
    shown_at(timed, law, timed.dose, lag, cancel)
}

/// What a cup shows by a law, its probe late by `lag` s.
fn shown_at(timed: &TimedCup, law: &DrawnLaw, dose: Phr, lag: f64, cancel: Cancel<'_>) -> Result<Shown> {
    let cup = cup_of(timed, law, dose)?;
    if timed.curve.is_some() {
        let s = cup.logged(cancel)?;
        let by_probe = lagged(&s.time, &s.temperature, lag);
        let gel = s.gel.unwrap_or(cup.duration.si());
        return Ok(Shown {
            gel,
            to_peak: (s.peak_time - gel).max(0.0),
            peak: s.peak,
            figures: Some(curve::figures(&s.time, &by_probe, cup.starts_at.si())),
        });
    }
    match cup.reading(cancel) {
        Ok(r) => Ok(Shown {
            gel: r.gel_time.si(),
            to_peak: r.gel_to_peak.si(),
            peak: r.peak_temperature.si(),
            figures: None,
        }),
        // It neither gels nor peaks: as cold as it was, and so far off that no search stays there.
        Err(e) if e.kind() == ErrorKind::NoSolution => Ok(Shown {
            gel: cup.duration.si(),
            to_peak: 0.0,
            peak: cup.starts_at.si(),
            figures: None,
        }),
        Err(e) => Err(e),
    }
}

/// Digits after the point that show three figures of a number, none below nought.
fn figures(x: f64) -> usize {
    match x.abs() {
        a if a >= 100.0 => 0,
        a if a >= 10.0 => 1,
        a if a >= 1.0 => 2,
        a if a >= 0.01 || a == 0.0 => 3,
        _ => 6,
    }
}

/// "35.9 min", "2.4 h".
pub(super) fn minutes(seconds: f64) -> String {
    if seconds >= NEVER {
        return "never".to_owned();
    }
    Time::from_si(seconds).map_or_else(|_| String::new(), |t| show(t).into())
}

impl Calibration {
    /// Kinetics from the band: the most probable ones where all numbers are 0, else as independent standard normal
    /// numbers, one each, move the constants together. What is missing counts as 0.
    ///
    /// # Errors
    /// `Inconsistent` for kinetics that no calibration made, or a spread of another size; `NotFinite`.
    pub fn law_at(&self, standard_normal: &[f64]) -> Result<DrawnLaw> {
        self.frame()?.law(&self.point(standard_normal)?)
    }

    /// What laws are made in, once it is known that the spread fits.
    pub(super) fn frame(&self) -> Result<Frame> {
        let square = self.spread.len() == CONSTANTS && self.spread.iter().all(|row| row.len() == CONSTANTS);
        if self.middle.len() != CONSTANTS || !square {
            return Err(Error::inconsistent(
                "spread",
                format_args!("{} rows", self.spread.len()),
                format!("{CONSTANTS} rows of {CONSTANTS} numbers, and as many in the middle"),
                "hand in the calibration as it was answered",
            ));
        }
        Frame::of(&self.kinetics)
    }

    /// The constants of a draw.
    pub(super) fn point(&self, z: &[f64]) -> Result<Vec<f64>> {
        let mut p = self.middle.clone();
        for (x, row) in p.iter_mut().zip(&self.spread) {
            let by: f64 = row.iter().zip(z).map(|(l, z)| l * z).sum();
            *x += crate::error::finite("standard_normal", by)?;
        }
        law::bounded(&mut p);
        Ok(p)
    }

    /// The law of its middle.
    pub(crate) fn most_probable(&self) -> DrawnLaw {
        DrawnLaw {
            kinetics: self.kinetics.clone(),
            gel_conversion: self.gel_conversion,
            film_factor: self.film_factor,
            specific_heat: self.specific_heat,
        }
    }

    /// How many independent numbers a draw takes.
    pub const DRAWN_BY: usize = CONSTANTS;

    /// Whether the evidence tells the inhibitor.
    pub(super) fn knows_inhibitor(&self) -> bool {
        self.constants.get(INHIBITOR).is_some_and(|c| c.left_open < 0.6)
    }
}
