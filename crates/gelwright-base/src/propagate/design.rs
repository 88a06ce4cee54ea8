//! The runs of a propagation, each a pure function of its number.

use super::first_order::FirstOrder;
use super::sampled::{self, Samples};
use super::{Propagated, Share, Straightness};
use crate::error::{Error, ErrorKind, Result};
use crate::noun::Noun;
use crate::quantity::spread::Input;
use crate::random::philox;
use crate::sample::sobol::Sobol;

/// Most runs of one propagation.
pub const MOST_RUNS: usize = 10_000_000;
/// Fewest points of a scrambling: with fewer a 95 % interval has no ends.
const FEWEST_POINTS: u32 = 64;

/// How a model is sampled.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub struct Sampling {
    /// Where the scramblings come from: the same seed, the same answer.
    #[noun(default = 0)]
    pub seed: u64,
    /// Independent scramblings, two at least: their scatter says how far off the answer may be.
    #[noun(default = 8)]
    pub scramblings: u32,
    /// Points of each, a power of two, 64 at least; 0 to leave sampling out: first order alone.
    #[noun(default = 1024)]
    pub points: u32,
    /// Whether the inputs' Sobol' indices are sampled, too: that takes as many runs again for each input with a spread, and
    /// once more.
    #[noun(default = false)]
    pub indices: bool,
    /// Significant digits of the standard uncertainty that matter, 1 or 2: they set the numerical tolerance (JCGM 101:2008,
    /// 7.9.2).
    #[noun(default = 1)]
    pub digits: u8,
}

impl Default for Sampling {
    /// Eight scramblings of 1024 points, no indices, one digit.
    fn default() -> Self {
        crate::noun::defaults()
    }
}

impl Sampling {
    /// First order alone.
    pub fn none() -> Self {
        Sampling {
            points: 0,
            ..Sampling::default()
        }
    }

    fn check(&self) -> Result<()> {
        let refuse = |field: &str, value: u32, allowed: &str| {
            Error::out_of_range(
                field,
                value,
                allowed,
                "take the default where nothing speaks against it",
            )
        };
        if self.points != 0 && !(self.points >= FEWEST_POINTS && self.points.is_power_of_two()) {
            return Err(refuse(
                "points",
                self.points,
                "a power of two, 64 or more; 0 for none",
            ));
        }
        if self.points != 0 && self.scramblings < 2 {
            return Err(refuse("scramblings", self.scramblings, "2 or more"));
        }
        if !(1..=2).contains(&self.digits) {
            return Err(refuse("digits", u32::from(self.digits), "1 or 2"));
        }
        Ok(())
    }
}

/// The runs of a propagation.
#[derive(Debug, Clone)]
pub struct Design<'a> {
    inputs: &'a [Input],
    sampling: Sampling,
    /// Which inputs have a spread.
    uncertain: Vec<usize>,
    scramblings: Vec<Sobol>,
    /// Runs before those of the points.
    first: usize,
    /// Runs of a point.
    each: usize,
}

/// What is run of a point.
enum Of {
    /// The point.
    A,
    /// A second one, independent of it.
    B,
    /// The point with one coordinate of the second.
    Mixed(usize),
}

impl<'a> Design<'a> {
    /// Lays the runs out.
    ///
    /// # Errors
    /// As [`Input::check`], at `inputs[i]`; [`ErrorKind::OutOfRange`] for a sampling that can not be, and for more than
    /// [`MOST_RUNS`].
    pub fn new(inputs: &'a [Input], sampling: Sampling) -> Result<Self> {
        sampling.check()?;
        for (i, input) in inputs.iter().enumerate() {
            input.check().map_err(|e| e.at(format!("inputs[{i}]")))?;
        }
        let uncertain: Vec<usize> = (0..inputs.len()).filter(|i| !inputs[*i].is_exact()).collect();
        let scramblings = if sampling.points == 0 {
            0
        } else {
            sampling.scramblings
        };
        let design = Design {
            inputs,
            sampling,
            first: 1 + 2 * uncertain.len(),
            each: if sampling.indices { 2 + uncertain.len() } else { 1 },
            uncertain,
            scramblings: (0..scramblings)
                .map(|r| Sobol::new(philox([sampling.seed, 0], [u64::from(r), u64::MAX, 0, 0])[0]))
                .collect(),
        };
        let runs = (design.scramblings.len() as u128) * u128::from(sampling.points) * design.each as u128;
        if runs > MOST_RUNS as u128 {
            return Err(Error::out_of_range(
                "points",
                format_args!("{runs} runs"),
                format!("{MOST_RUNS} runs in all"),
                "take fewer points or scramblings, or leave the indices out",
            ));
        }
        Ok(design)
    }

    /// How many runs there are.
    pub fn runs(&self) -> usize {
        self.first + self.scramblings.len() * self.sampling.points as usize * self.each
    }

    /// The inputs of a run, one each, in SI.
    ///
    /// # Panics
    /// Where `x` has not as many places as there are inputs.
    pub fn run(&self, run: usize, x: &mut [f64]) {
        assert_eq!(x.len(), self.inputs.len(), "a place for each input");
        for (place, input) in x.iter_mut().zip(self.inputs) {
            *place = input.value;
        }
        let Some(sample) = run.checked_sub(self.first) else {
            if let Some(run) = run.checked_sub(1) {
                let i = self.uncertain[run / 2];
                x[i] = sides(&self.inputs[i])[run % 2];
            }
            return;
        };
        let (point, of) = (sample / self.each, self.of(sample % self.each));
        let points = self.sampling.points as usize;
        let sobol = self.scramblings[point / points];
        #[allow(clippy::cast_possible_truncation)]
        let index = (point % points) as u32;
        let many = self.uncertain.len();
        for (j, i) in self.uncertain.iter().enumerate() {
            let second = match of {
                Of::A => false,
                Of::B => true,
                Of::Mixed(which) => which == j,
            };
            let dimension = if second { many + j } else { j };
            x[*i] = self.inputs[*i].quantile(sobol.at(dimension, index));
        }
    }

    fn of(&self, nth: usize) -> Of {
        match nth {
            0 => Of::A,
            1 => Of::B,
            n => Of::Mixed(n - 2),
        }
    }

    /// What the model's answers to all runs, in their order, say.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for an answer that is not finite; [`ErrorKind::OutOfRange`] for another number of them.
    pub fn read(&self, results: &[f64]) -> Result<Propagated> {
        if results.len() != self.runs() {
            return Err(Error::out_of_range(
                "results",
                results.len(),
                format!("{}", self.runs()),
                "give one for each run",
            ));
        }
        if let Some(run) = results.iter().position(|y| !y.is_finite()) {
            let mut x = vec![0.0; self.inputs.len()];
            self.run(run, &mut x);
            let at: Vec<String> = self
                .inputs
                .iter()
                .zip(x)
                .map(|(i, x)| crate::quantity::show_si(x, i.of))
                .collect();
            return Err(Error::new(ErrorKind::NotFinite, "model")
                .with_value(format_args!("{} at {}", results[run], at.join(", ")))
                .with_way_out("a spread reaches values that the model can not take: give a narrower one"));
        }
        Ok(self.read_known(results))
    }

    /// Whether a run is one of the samples.
    pub(crate) fn is_sample(&self, run: usize) -> bool {
        run >= self.first
    }

    /// The same where some runs have no number (NaN): of the others, by first order from one side where the other lacks it.
    /// No indices are told of it.
    pub(crate) fn read_known(&self, results: &[f64]) -> Propagated {
        let complete = results.iter().all(|y| !y.is_nan());
        let (first, samples) = results.split_at(self.first);
        let value = first[0];
        let mut contributions = vec![0.0; self.inputs.len()];
        let mut bends = vec![0.0; self.inputs.len()];
        for (pair, i) in first[1..].chunks_exact(2).zip(&self.uncertain) {
            let input = &self.inputs[*i];
            let [below, above] = sides(input);
            // Half the change over two standard uncertainties; of what a bound cuts short the slope, times one.
            // A spread that is lost in the rounding of its value moves nothing.
            let slope = match (pair[0].is_nan(), pair[1].is_nan()) {
                (false, false) => (pair[1] - pair[0]) / (above - below),
                (true, false) => (pair[1] - value) / (above - input.value),
                (false, true) => (value - pair[0]) / (input.value - below),
                (true, true) => 0.0,
            };
            if above > below && slope.is_finite() {
                contributions[*i] = slope * input.standard_uncertainty();
            }
            let bend = pair[0] + pair[1] - 2.0 * value;
            bends[*i] = if bend.is_nan() { 0.0 } else { bend };
        }
        let first_order = FirstOrder::new(value, contributions);
        let samples = Samples {
            all: samples,
            of_scrambling: self.sampling.points as usize * self.each,
            each: self.each,
            complete,
        };
        let (sampled, indices) = match self.scramblings.len() {
            0 => None,
            _ => Sampled::of(&samples, self.sampling.digits),
        }
        .unzip();
        let mut shares: Vec<Share> = self
            .uncertain
            .iter()
            .enumerate()
            .map(|(j, i)| {
                let first_share = first_order.share(*i);
                let index = indices.as_ref().and_then(|all| all.get(j)).copied();
                let total = index.map(|[_, total]| total);
                Share {
                    input: *i,
                    first_order: first_share,
                    alone: index.map(|[alone, _]| alone),
                    total,
                    flat: first_order.contributions[*i].abs() <= FLAT * bends[*i].abs() && bends[*i] != 0.0
                        || total.is_some_and(|t| t.value > 0.01 && first_share < FLAT * t.value),
                }
            })
            .collect();
        shares.sort_by(|a, b| b.part().total_cmp(&a.part()));
        Propagated {
            value,
            straightness: straightness(&first_order, sampled.as_ref(), &bends),
            first_order,
            sampled,
            shares,
        }
    }
}

use sampled::Sampled;

/// A slope that is so small a part of the bend is rounding.
const FLAT: f64 = 1e-6;

/// An input one standard uncertainty below and above its value, within what it can be.
fn sides(input: &Input) -> [f64; 2] {
    let u = input.standard_uncertainty();
    let (least, most) = (input.quantile(0.0), input.quantile(1.0));
    [(input.value - u).max(least), (input.value + u).min(most)]
}

/// Whether the first order is enough: by clause 8.1 of JCGM 101:2008 where there are samples, else by the second order of
/// each input alone, `u² = Σ c² u² + Σ b²/2` with `b` the second difference over one standard uncertainty to each side
/// (JCGM 100:2008, 5.1.2 note, for normal inputs without the mixed terms).
fn straightness(first: &FirstOrder, sampled: Option<&Sampled>, bends: &[f64]) -> Straightness {
    let bent = (0.5 * bends.iter().map(|b| b * b).sum::<f64>()).sqrt();
    let Some(sampled) = sampled else {
        return match first.standard_uncertainty {
            u if u <= FLAT * bent && bent > 0.0 => Straightness::Flat,
            u if u.hypot(bent) > 1.05 * u => Straightness::Bent,
            _ => Straightness::SeemsStraight,
        };
    };
    let u = sampled.standard_uncertainty.value;
    let apart = (first.low - sampled.low.value)
        .abs()
        .max((first.high - sampled.high.value).abs());
    if u > 0.0 && first.standard_uncertainty <= FLAT * u {
        Straightness::Flat
    } else if apart <= sampled.tolerance {
        Straightness::Straight
    } else {
        Straightness::Bent
    }
}
