//! What an observer sees of one of the bodies that go side by side: little after every step, all of it where it asks.

use super::alike::Slopes;
use super::alike_law::{BODIES, Each};
use super::cubic::no_higher;
use super::edge::Flow;
use super::kernel::{Slope, State, Step};

/// Of a run of cells of each body in a step.
#[derive(Clone, Copy, Default)]
pub(super) struct Extremes {
    hottest: Each,
    rising: Each,
    least_rising: Each,
    most_cured: Each,
    may_reach: Each,
}

/// The same of one body.
pub(super) struct Seen {
    pub(super) hottest: f64,
    /// Fastest rise at the step's end, K/s.
    pub(super) rising: f64,
    /// Slowest rise there, or fastest fall, K/s.
    pub(super) least_rising: f64,
    pub(super) most_cured: f64,
    /// No cell's cubic goes higher than this.
    pub(super) may_reach: f64,
}

/// A step of all bodies.
#[derive(Clone, Copy)]
pub(super) struct Sides<'a> {
    pub(super) t0: f64,
    pub(super) t1: f64,
    pub(super) before: (&'a State, &'a Slopes),
    pub(super) after: (&'a State, &'a Slopes),
    pub(super) bend: &'a [f64],
    pub(super) twist: &'a [f64],
    /// As [`Step::agree`].
    pub(super) agree: f64,
}

impl Sides<'_> {
    /// Of a run of cells.
    #[inline(always)]
    pub(super) fn extremes(&self, cells: &std::ops::Range<usize>) -> Extremes {
        let [before, after, cure, slope, bend, twist] = [
            &self.before.0.temperature[..],
            &self.after.0.temperature,
            &self.after.0.cure,
            &self.after.1.temperature,
            self.bend,
            self.twist,
        ]
        .map(|y| y[cells.clone()].as_chunks::<BODIES>().0);
        let least = [f64::NEG_INFINITY; BODIES];
        let (mut hottest, mut rising, mut most_cured, mut may_reach) = (least, least, least, least);
        let mut least_rising = [f64::INFINITY; BODIES];
        let more = |x: f64, most: f64| if x > most { x } else { most };
        for c in 0..after.len() {
            for b in 0..BODIES {
                let high = no_higher(before[c][b], after[c][b], bend[c][b], twist[c][b]);
                may_reach[b] = more(high, may_reach[b]);
                hottest[b] = more(after[c][b], hottest[b]);
                rising[b] = more(slope[c][b], rising[b]);
                let falls = slope[c][b] < least_rising[b];
                least_rising[b] = if falls { slope[c][b] } else { least_rising[b] };
                most_cured[b] = more(cure[c][b], most_cured[b]);
            }
        }
        may_reach.iter_mut().for_each(|x| *x += self.agree);
        Extremes {
            hottest,
            rising,
            least_rising,
            most_cured,
            may_reach,
        }
    }
}

/// A step of one body.
pub(super) struct Glance<'a> {
    pub(super) sides: Sides<'a>,
    pub(super) body: usize,
    /// Layer by layer.
    pub(super) extremes: &'a [Extremes],
}

impl Glance<'_> {
    pub(super) fn layer(&self, k: usize) -> Seen {
        let (of, b) = (&self.extremes[k], self.body);
        Seen {
            hottest: of.hottest[b],
            rising: of.rising[b],
            least_rising: of.least_rising[b],
            most_cured: of.most_cured[b],
            may_reach: of.may_reach[b],
        }
    }

    /// Temperature of a cell at the step's end.
    pub(super) fn temperature(&self, cell: usize) -> f64 {
        self.sides.after.0.temperature[cell * BODIES + self.body]
    }

    /// At the first and the last face at the step's end.
    pub(super) fn edges(&self) -> [Flow; 2] {
        let of = self.sides.after.1;
        [of.first.of(self.body), of.last.of(self.body)]
    }

    /// Temperatures and conversions at the step's end.
    pub(super) fn state(&self) -> (Vec<f64>, Vec<f64>) {
        let after = self.sides.after.0;
        [&after.temperature, &after.cure]
            .map(|y| picked(y, self.body))
            .into()
    }

    /// All of the step, in room that is used again.
    pub(super) fn step<'v>(&self, view: &'v mut View) -> Step<'v> {
        let (s, b) = (&self.sides, self.body);
        see(&mut view.before, &mut view.slope_before, b, s.before);
        see(&mut view.after, &mut view.slope_after, b, s.after);
        pick(&mut view.bend, s.bend, b);
        pick(&mut view.twist, s.twist, b);
        Step {
            t0: s.t0,
            t1: s.t1,
            n: view.bend.len(),
            before: &view.before,
            after: &view.after,
            bend: &view.bend,
            twist: &view.twist,
            agree: s.agree,
            slope_before: &view.slope_before,
            slope_after: &view.slope_after,
            heat_in: [0.0; 2],
        }
    }
}

/// One body's numbers, cell after cell.
#[derive(Default)]
pub(super) struct View {
    before: State,
    after: State,
    slope_before: Slope,
    slope_after: Slope,
    bend: Vec<f64>,
    twist: Vec<f64>,
}

/// A body's cells out of those of all.
fn pick(to: &mut Vec<f64>, from: &[f64], body: usize) {
    to.clear();
    to.extend(from.as_chunks::<BODIES>().0.iter().map(|cell| cell[body]));
}

pub(super) fn picked(from: &[f64], body: usize) -> Vec<f64> {
    let mut to = Vec::with_capacity(from.len() / BODIES);
    pick(&mut to, from, body);
    to
}

fn see(state: &mut State, slope: &mut Slope, body: usize, (from, slopes): (&State, &Slopes)) {
    pick(&mut state.temperature, &from.temperature, body);
    pick(&mut state.cure, &from.cure, body);
    pick(&mut slope.temperature, &slopes.temperature, body);
    pick(&mut slope.cure, &slopes.cure, body);
    slope.edges = [slopes.first.of(body), slopes.last.of(body)];
}
