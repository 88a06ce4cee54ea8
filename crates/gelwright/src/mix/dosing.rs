//! How well this bench doses: weigh, draw up or count drops, and the smallest batch that comes out within a tolerance.

use super::batch::MeasuredBy;
use super::bench::{Bench, Dropper};
use super::measurement::{self, COVERAGE_FACTOR_95, Estimate};
use crate::cancel::Cancel;
use crate::check::positive;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::numeric::roots;
use crate::propagate::{FirstOrder, Propagated, Sampled, Sampling, propagate};
use crate::quantity::spread::{Distribution, Input};
use crate::quantity::{self, Index, Mass, MassDensity, Phr, Quantity, RelativeSpread, Volume, known};
use crate::source::{Standing, Why};

/// Relative standard uncertainty of the density of a peroxide or hardener taken from a data sheet: from memory, the
/// spread between lots and over a workshop's temperatures.
pub const DENSITY_UNCERTAINTY: f64 = 0.01;

/// A dose to be measured on a bench.
#[derive(Clone, PartialEq, Noun)]
pub struct Dosing {
    /// The dose, by mass on resin.
    #[noun(within = crate::ranges::SHEET_DOSE)]
    pub dose: Phr,
    /// Density of what is dosed.
    #[noun(within = crate::ranges::DOSED_DENSITY)]
    pub dose_density: MassDensity,
    /// Its relative standard uncertainty; it matters for a syringe, and for drops of an uncalibrated dropper. Left out, that
    /// of a data sheet's density ([`DENSITY_UNCERTAINTY`]).
    #[noun(default = known(DENSITY_UNCERTAINTY))]
    pub density_uncertainty: RelativeSpread,
    /// What it is measured with; the resin is weighed.
    pub bench: Bench,
}

/// How sure a dose is on a bench.
#[derive(Clone, PartialEq, Noun)]
pub struct DoseUncertainty {
    /// The bench's ways of measuring, the surest first.
    pub ways: Vec<Dosed>,
    /// What to do.
    pub advice: String,
    /// The chain behind the first.
    pub why: Why,
}

/// How a dose comes out by one way of measuring.
#[derive(Clone, PartialEq, Noun)]
pub struct Dosed {
    /// The way of measuring.
    pub by: MeasuredBy,
    /// What to measure: mass of the dosed part.
    pub mass: Mass,
    /// Whole drops to count, where drops are counted.
    pub drops: Option<u32>,
    /// The dose that comes out, by mass on resin: first order.
    pub dose: Estimate<Phr>,
    /// The same by sampling, where asked for.
    pub sampled: Option<Estimate<Phr>>,
    /// Half the 95 % interval over the dose.
    pub within: RelativeSpread,
    /// What each source of error contributes, as a relative standard uncertainty.
    pub contributions: Vec<Contribution>,
}

/// What one source of error contributes.
#[derive(Clone, PartialEq, Noun)]
pub struct Contribution {
    /// The source of error.
    pub from: String,
    /// Its relative standard uncertainty in the dose.
    pub relative: RelativeSpread,
}

/// The smallest batch that a bench doses within a tolerance.
#[derive(Clone, PartialEq, Noun)]
pub struct SmallestBatch {
    /// The least resin of all ways; none if the bench can not do it.
    pub resin: Option<Mass>,
    /// Each way of measuring, that with the least resin first.
    pub ways: Vec<LeastResin>,
    /// In words.
    pub advice: String,
    /// The chain behind it.
    pub why: Why,
}

/// The smallest batch by one way of measuring.
#[derive(Clone, PartialEq, Noun)]
pub struct LeastResin {
    /// The way of measuring.
    pub by: MeasuredBy,
    /// The least resin that this way doses within the tolerance; none if no batch does.
    pub resin: Option<Mass>,
    /// In words.
    pub says: String,
}

/// The model of a dose: what is measured, its inputs, and what they are called.
struct Model {
    from: Vec<&'static str>,
    inputs: Vec<Input>,
    phr: fn(&[f64]) -> f64,
    mass: f64,
    drops: Option<u32>,
}

impl Model {
    fn new(
        inputs: impl IntoIterator<Item = (&'static str, Input)>,
        phr: fn(&[f64]) -> f64,
        mass: f64,
        drops: Option<u32>,
    ) -> Self {
        let (from, inputs) = inputs.into_iter().unzip();
        Model {
            from,
            inputs,
            phr,
            mass,
            drops,
        }
    }

    fn propagated(&self, sampling: Sampling, cancel: Cancel<'_>) -> Result<Propagated> {
        propagate(&self.inputs, sampling, cancel, |x| Ok((self.phr)(x)))
    }
}

/// Normal about its value, or log-normal with a relative standard uncertainty.
fn input<Q: Quantity>(si: f64, distribution: Distribution) -> Result<Input> {
    Input::new(si, distribution, Q::MEASURE)
}

#[questions]
impl Dosing {
    /// How a dose comes out weighed, with the syringe or in drops, by first order and by sampling, and which to use.
    ///
    /// First order: `u^2 = sum (c_i u_i)^2` (JCGM 100:2008, 5.1.2); sampling as JCGM 101:2008.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range, no resin, or too few or too
    /// many points; [`ErrorKind::Cancelled`](crate::ErrorKind::Cancelled).
    #[question("mix.dose_uncertainty", long)]
    pub fn uncertainty(
        &self,
        /// Resin.
        #[noun(within = crate::ranges::RESIN_MASS)]
        resin: Mass,
        /// How it is sampled beside the first order.
        sampling: Option<Sampling>,
        cancel: Cancel<'_>,
    ) -> Result<DoseUncertainty> {
        crate::noun::check(self)?;
        cancel.check()?;
        let mut ways = self.compared(resin)?;
        if let Some(run) = sampling {
            for way in &mut ways {
                let s = self.sampled(resin, way.by, run, cancel)?;
                way.sampled = Some(Estimate::with_interval(
                    Phr::new(s.mean.value.max(0.0))?,
                    s.standard_uncertainty.value,
                    s.low.value.max(0.0),
                    s.high.value.max(0.0),
                )?);
            }
        }
        Ok(DoseUncertainty {
            advice: advice(&ways),
            why: self.why(resin, &ways[0]),
            ways,
        })
    }

    /// The smallest batch that this bench doses within a tolerance, by each way of measuring.
    ///
    /// Relative standard uncertainties: weighing `u_s sqrt(1/m_d^2 + 1/m_r^2)`; syringe `sqrt(2 g^2/12/V^2 + t^2/3 +
    /// u_rho^2 + (u_s/m_r)^2)`; drops `sqrt(u_mean^2 + s^2/n + 1/(12 n^2) + u_rho^2 + (u_s/m_r)^2)`, the fourth part for
    /// rounding to whole drops. The answer is where `1.96 u` meets the tolerance; where what does not shrink with the
    /// batch is more than that already, no batch will do.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range, or a tolerance outside 0 % to
    /// 100 %.
    #[question("mix.smallest_batch")]
    pub fn smallest_batch(
        &self,
        /// How far off the dose may be, at 95 %; above 0 %, 100 % at most.
        #[noun(within(> "0 %", "100 %", "give how far the dose may be off, for example '10 %'"))]
        tolerance: RelativeSpread,
    ) -> Result<SmallestBatch> {
        crate::noun::check(self)?;
        let x = tolerance.get();
        let least = |by| self.least_resin(by, x / COVERAGE_FACTOR_95);
        let mut ways = self.ways().into_iter().map(least).collect::<Result<Vec<_>>>()?;
        let order = |w: &LeastResin| w.resin.map_or(f64::INFINITY, |m| m.si());
        ways.sort_by(|a, b| order(a).total_cmp(&order(b)));
        let best = &ways[0];
        Ok(SmallestBatch {
            resin: best.resin,
            advice: match best.resin {
                Some(_) => best.says.clone(),
                None => {
                    "this bench doses no batch that well: calibrate the dropper or get a finer scale".into()
                }
            },
            why: Why::computed(
                "least resin",
                best.resin.map_or_else(|| "none".into(), quantity::show),
                "1.96 u(m) = tolerance",
                vec![
                    Why::given("dose on resin", quantity::show(self.dose)),
                    Why::given("tolerance at 95 %", quantity::show(tolerance)),
                    Why::given(
                        "scale, display step",
                        quantity::show(self.bench.scale.readability),
                    ),
                ],
            ),
            ways,
        })
    }

    /// The ways of measuring that this bench has, the scale first.
    pub fn ways(&self) -> Vec<MeasuredBy> {
        let mut ways = vec![MeasuredBy::Scale];
        if self.bench.syringe.is_some() {
            ways.push(MeasuredBy::Syringe);
        }
        if self.bench.dropper.is_some() {
            ways.push(MeasuredBy::Dropper);
        }
        ways
    }

    fn dropper(&self) -> Result<&Dropper> {
        self.bench
            .dropper
            .as_ref()
            .ok_or_else(|| missing("dropper", "count drops onto the scale and give the calibration"))
    }

    /// The density matters for a syringe, and for drops whose volume was assumed; a dropper calibrated by weighing this
    /// liquid gives grams without it.
    fn density_matters(&self, by: MeasuredBy) -> bool {
        match by {
            MeasuredBy::Scale => false,
            MeasuredBy::Syringe => true,
            MeasuredBy::Dropper => self
                .bench
                .dropper
                .as_ref()
                .is_none_or(|d| d.source.standing != Standing::MeasuredHere),
        }
    }

    fn model(
        &self,
        #[noun(within = crate::ranges::RESIN_MASS)] resin: Mass,
        by: MeasuredBy,
    ) -> Result<Model> {
        let (p, rho) = (self.dose.per_resin(), self.dose_density.si());
        let m = resin.si();
        let target = p * m;
        let scale = self.bench.scale.net_uncertainty().si();
        let resin_mass = (
            "weighing the resin",
            input::<Mass>(m, Distribution::Normal(scale))?,
        );
        let density = input::<MassDensity>(
            rho,
            match self.density_matters(by) {
                true => Distribution::Normal(self.density_uncertainty.get() * rho),
                false => Distribution::Exact,
            },
        )?;
        Ok(match by {
            MeasuredBy::Scale => Model::new(
                [
                    (
                        "weighing the dose",
                        input::<Mass>(target, Distribution::Normal(scale))?,
                    ),
                    resin_mass,
                ],
                |x| 100.0 * x[0] / x[1],
                target,
                None,
            ),
            MeasuredBy::Syringe => {
                let syringe = self
                    .bench
                    .syringe
                    .as_ref()
                    .ok_or_else(|| missing("syringe", "give its graduation, for example '0.1 mL'"))?;
                let volume = Volume::from_si(target / rho)?;
                Model::new(
                    [
                        ("reading the syringe", syringe.draw(volume)?.input()),
                        ("density of the dose", density),
                        resin_mass,
                    ],
                    |x| 100.0 * x[0] * x[1] / x[2],
                    target,
                    None,
                )
            }
            MeasuredBy::Dropper => {
                let dropper = self.dropper()?;
                let v = positive("drop_volume", dropper.drop_volume)?;
                let wanted = target / (rho * v);
                /// No one counts more.
                const MOST: f64 = 1e6;
                if wanted > MOST {
                    return Err(Error::out_of_range(
                        "resin",
                        quantity::show(resin),
                        "a batch of at most a million drops",
                        "weigh the dose of a batch this large",
                    ));
                }
                // At least one drop: nobody counts none.
                let n = wanted.round().max(1.0);
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let drops = n as u32;
                let mean = Distribution::LogNormal(dropper.mean_uncertainty.get());
                let counted = Distribution::Normal(dropper.drop_spread.get() * n.sqrt());
                Model::new(
                    [
                        ("mean drop of the dropper", input::<Volume>(v, mean)?),
                        ("spread from drop to drop", input::<Index>(n, counted)?),
                        ("density of the dose", density),
                        resin_mass,
                    ],
                    |x| 100.0 * x[0] * x[1] * x[2] / x[3],
                    n * v * rho,
                    Some(drops),
                )
            }
        })
    }

    /// How the dose for `resin` comes out when it is measured `by` this way: first order, `u^2 = sum (c_i u_i)^2`.
    ///
    /// Drops are rounded to a whole number (one at least), which moves the dose itself, not its uncertainty.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a way that the bench does not have,
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a mass, dose or density that is not above zero.
    pub fn dosed(&self, resin: Mass, by: MeasuredBy) -> Result<Dosed> {
        crate::noun::check(self)?;
        let model = self.model(resin, by)?;
        let found = model.propagated(Sampling::none(), Cancel::NEVER)?;
        let (value, first) = (found.value, &found.first_order);
        let dose = estimate(value, first, by)?;
        let relative = |c: f64| RelativeSpread::new((c / value).abs());
        Ok(Dosed {
            by,
            mass: Mass::from_si(model.mass)?,
            drops: model.drops,
            within: RelativeSpread::new(COVERAGE_FACTOR_95 * first.standard_uncertainty / value.abs())?,
            contributions: model
                .from
                .iter()
                .zip(&first.contributions)
                .map(|(from, c)| {
                    Ok(Contribution {
                        from: (*from).to_owned(),
                        relative: relative(*c)?,
                    })
                })
                .collect::<Result<_>>()?,
            dose,
            sampled: None,
        })
    }

    /// The same by sampling.
    ///
    /// # Errors
    /// As [`Dosing::dosed`] and [`propagate`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for no points.
    pub fn sampled(&self, resin: Mass, by: MeasuredBy, run: Sampling, cancel: Cancel<'_>) -> Result<Sampled> {
        crate::noun::check(self)?;
        let model = self.model(resin, by)?;
        let found = model.propagated(run, cancel).map_err(|e| e.within("sampling"))?;
        found.sampled.ok_or_else(|| {
            Error::out_of_range(
                "sampling.points",
                run.points,
                "64 or more",
                "leave 'sampling' out for first order alone",
            )
        })
    }

    /// Every way that the bench has, the surest first.
    fn compared(&self, resin: Mass) -> Result<Vec<Dosed>> {
        let mut all = self
            .ways()
            .into_iter()
            .map(|by| self.dosed(resin, by))
            .collect::<Result<Vec<_>>>()?;
        all.sort_by(|a, b| self.off(a).total_cmp(&self.off(b)));
        Ok(all)
    }

    /// How far the dose may be off, whole drops included: half the 95 % interval and the shift of the value, over the dose.
    fn off(&self, d: &Dosed) -> f64 {
        let shift = (d.dose.value.get() / self.dose.get() - 1.0).abs();
        d.within.get() + shift
    }

    /// The least resin for which the way `by` has a relative standard uncertainty of `target`.
    fn least_resin(&self, by: MeasuredBy, target: f64) -> Result<LeastResin> {
        let limit = self.limit_of(by);
        let Some(m) = solve(&self.relative_at(by)?, limit, target) else {
            return Ok(LeastResin {
                by,
                resin: None,
                says: format!(
                    "{}: no batch, however large; what does not shrink with the batch alone is ±{} % ({})",
                    way(by),
                    quantity::figures(100.0 * COVERAGE_FACTOR_95 * limit),
                    match by {
                        MeasuredBy::Dropper => "calibrate the dropper: weigh 100 drops",
                        _ => "use the scale, or a better syringe and density",
                    }
                ),
            });
        };
        let resin = Mass::from_si(m)?;
        Ok(LeastResin {
            by,
            resin: Some(resin),
            says: format!("{}: {} of resin or more", way(by), quantity::show(resin)),
        })
    }

    /// The relative standard uncertainty that no batch size removes.
    fn limit_of(&self, by: MeasuredBy) -> f64 {
        let density = if self.density_matters(by) {
            self.density_uncertainty.get()
        } else {
            0.0
        };
        match by {
            MeasuredBy::Scale => 0.0,
            MeasuredBy::Syringe => {
                let t = self
                    .bench
                    .syringe
                    .as_ref()
                    .and_then(|s| s.tolerance)
                    .map_or(0.0, RelativeSpread::get);
                measurement::of_limits(t).hypot(density)
            }
            MeasuredBy::Dropper => self
                .bench
                .dropper
                .as_ref()
                .map_or(f64::INFINITY, |d| d.mean_uncertainty.get().hypot(density)),
        }
    }

    /// Relative standard uncertainty as a falling function of the resin's mass.
    fn relative_at(&self, by: MeasuredBy) -> Result<impl Fn(f64) -> f64 + use<>> {
        let (p, rho) = (self.dose.per_resin(), self.dose_density.si());
        let scale = self.bench.scale.net_uncertainty().si();
        let limit = self.limit_of(by);
        let (graduation, drop, spread) = match by {
            MeasuredBy::Scale => (0.0, 1.0, 0.0),
            MeasuredBy::Syringe => {
                let g = self.bench.syringe.as_ref().map_or(0.0, |s| s.graduation.si());
                (2f64.sqrt() * measurement::of_step(g), 1.0, 0.0)
            }
            MeasuredBy::Dropper => {
                let d = self.dropper()?;
                (0.0, positive("drop_volume", d.drop_volume)?, d.drop_spread.get())
            }
        };
        Ok(move |m: f64| {
            let volume = p * m / rho;
            let own = match by {
                MeasuredBy::Scale => scale / (p * m),
                MeasuredBy::Syringe => graduation / volume,
                MeasuredBy::Dropper => {
                    let n = volume / drop;
                    (spread * spread / n + 1.0 / (12.0 * n * n)).sqrt()
                }
            };
            (own * own + limit * limit + (scale / m).powi(2)).sqrt()
        })
    }

    /// The chain behind a dose on a bench.
    fn why(&self, resin: Mass, best: &Dosed) -> Why {
        let mut from = vec![
            Why::given("dose on resin", quantity::show(self.dose)),
            Why::given("resin", quantity::show(resin)),
            Why::given(
                "scale, display step",
                quantity::show(self.bench.scale.readability),
            ),
        ];
        if let (MeasuredBy::Dropper, Some(d)) = (best.by, &self.bench.dropper) {
            from.push(d.why());
        }
        Why::computed(
            "dose that comes out",
            best.dose.to_string(),
            "u^2 = sum (c_i u_i)^2",
            from,
        )
        .with_source(&crate::source::Source::published(
            "Joint Committee for Guides in Metrology",
            "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
            2008,
            "5.1.2, equation (10)",
        ))
    }
}

fn way(by: MeasuredBy) -> &'static str {
    match by {
        MeasuredBy::Scale => "weighed",
        MeasuredBy::Syringe => "with the syringe",
        MeasuredBy::Dropper => "in drops",
    }
}

fn missing(what: &str, way_out: &str) -> Error {
    Error::inconsistent(
        format!("bench.{what}"),
        format!("no {what}"),
        format!("a bench with a {what}"),
        way_out,
    )
}

/// The mass at which a falling `relative` meets `target`; none if its `limit` is not below it.
fn solve(relative: &impl Fn(f64) -> f64, limit: f64, target: f64) -> Option<f64> {
    // From a milligram to a tonne.
    let (low, high) = (1e-6_f64.ln(), 1e3_f64.ln());
    if limit >= target || relative(high.exp()) > target {
        return None;
    }
    if relative(low.exp()) <= target {
        return Some(low.exp());
    }
    // 60 halvings of 21 natural logarithms end at the resolution of a double.
    let (_, high) = roots::halved(low, high, 60, |x| relative(x.exp()) > target);
    Some(high.exp())
}

/// An uncertain dropper can not be off by less than nothing: its interval is that of a log-normal.
fn estimate(value: f64, first: &FirstOrder, by: MeasuredBy) -> Result<Estimate<Phr>> {
    let value = Phr::new(value)?;
    match by {
        MeasuredBy::Dropper => Estimate::log_normal(value, first.standard_uncertainty / value.get()),
        _ => Estimate::normal(value, first.standard_uncertainty),
    }
}

/// What to do: count drops, use a syringe or weigh, in words.
fn advice(compared: &[Dosed]) -> String {
    match compared {
        [] => "nothing to compare".into(),
        [best, rest @ ..] => {
            let mut text = match (best.by, best.drops) {
                (MeasuredBy::Scale, _) => format!("weigh {}", quantity::show(best.mass)),
                (MeasuredBy::Syringe, _) => format!("draw up {} in the syringe", quantity::show(best.mass)),
                (MeasuredBy::Dropper, n) => format!("count {} drops", n.unwrap_or(0)),
            };
            text += &format!(" (±{} %)", quantity::figures(100.0 * best.within.get()));
            for other in rest {
                text += &format!(
                    "; {} ±{} %",
                    way(other.by),
                    quantity::figures(100.0 * other.within.get())
                );
            }
            text
        }
    }
}
