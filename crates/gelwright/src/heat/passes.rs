//! Following a wall in plain SI: passes over time, each on finer cells, until the peak settles.

use std::sync::Arc;

use super::alike::Alike;
use super::alike_glance::{Glance, View};
use super::cautions::{ABSURD, CHARS};
use super::chemistry::Rates;
use super::edge::{EdgeLaw, FaceLaw};
use super::geometry::{Geometry, Grows};
use super::grid::{Grid, JUMP, Sheet};
use super::kernel::{Chain, Counts, MOST_STEPS, Next, Step, Tolerance, Workspace};
use super::layer::holds_heat;
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, Kept, Record, Track};
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::Noun;
use crate::quantity::{Quantity, RelativeAmount, TemperatureInterval};

/// Steps times cells between two looks at [`Cancel`]: a millisecond's work or less.
const ASK_EVERY: usize = 4096;
/// Most temperatures (and as many conversions) kept over time and depth: 64 MB.
const MOST_RECORDED: usize = 4_000_000;

/// How much farther off the steps of a coarser pass may be.
pub(super) const LOOSE: f64 = 3.0;
/// How far off those may be of a wall that is told apart from others in steps of their own.
pub(super) const TIGHT: f64 = 0.1;
/// Largest error of a conversion that was asked for.
const CURE_WITHIN: f64 = 0.01;

/// How fine the cells were, and what that did to the answer.
///
/// Each error is estimated from two runs on cells of two sizes: of temperatures for cells of second order, `change / (ratio² -
/// 1)`; of times for first order, `change / (ratio - 1)`, since gel begins at a face and the nearest centre lies beside it. It
/// is never less than the run before leaves, since two grids may agree by chance.
#[derive(Clone, PartialEq, Noun)]
pub struct Cells {
    /// Number of cells.
    pub count: usize,
    /// Number of cells of the coarser run it was compared with.
    pub compared_with: usize,
    /// Change of the hottest temperature between the two.
    pub peak_change: TemperatureInterval,
    /// Estimated error of the peak that is left.
    pub peak_error: TemperatureInterval,
    /// Estimated error of the faces and interfaces: at their hottest and at the end; of the temperatures asked for too.
    pub faces_error: TemperatureInterval,
    /// Estimated error of gel and demould times, of the time since the layer was laid; none where there is no such time.
    pub times_error: Option<RelativeAmount>,
    /// Whether all of these are within what was asked.
    pub converged: bool,
}

/// How far two passes are apart: the peak (K), faces and asked temperatures (K), times (relative), conversions.
#[derive(Clone, Copy, Default)]
struct Apart {
    peak: f64,
    faces: f64,
    times: Option<f64>,
    cure: f64,
}

impl Apart {
    /// Errors left of the finer of two passes with so many times as many cells, `before` those of the one before.
    fn error(self, ratio: f64, before: Apart) -> Apart {
        let second = ratio * ratio;
        let left = |change: f64, before: f64| (change / (second - 1.0).max(0.5)).max(before / second);
        let first = |change: f64, before: f64| (change / (ratio - 1.0).max(0.3)).max(before / ratio);
        Apart {
            peak: left(self.peak, before.peak),
            faces: left(self.faces, before.faces),
            times: self.times.map(|t| first(t, before.times.unwrap_or(0.0))),
            cure: left(self.cure, before.cure),
        }
    }
}

/// The last of a few passes, each on finer cells.
pub(crate) struct Refined {
    pub(crate) pass: Pass,
    pub(crate) cells: Cells,
    /// How fine the cells of the first were, and what it gave, where it was the one before the last.
    pub(crate) loose: Option<(f64, Pass)>,
}

/// How the run ended.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Ended {
    /// At the end of the time asked for.
    Duration,
    /// Earlier, all being gelled and cooling.
    Cooling,
    /// Stopped beyond any temperature at which the model means something.
    Runaway,
}

/// A checked wall in plain SI.
pub(crate) struct PlainWall {
    pub(crate) sheets: Vec<Sheet>,
    pub(crate) form: Geometry,
    pub(crate) radius: f64,
    pub(crate) grows: Grows,
    pub(crate) faces: [FaceLaw; 2],
    pub(crate) duration: f64,
    /// Stop once settled and cooler than this; never where -infinity.
    pub(crate) stop_below: f64,
    pub(crate) limit: f64,
    pub(crate) rows: usize,
    pub(crate) tolerance: f64,
    /// Largest relative error of gel and demould times.
    pub(crate) times_within: f64,
    pub(crate) least: usize,
    pub(crate) most: usize,
    /// Times, ascending, and depths that were asked for.
    pub(crate) asked_times: Vec<f64>,
    pub(crate) asked_depths: Vec<f64>,
    pub(crate) mirrored: bool,
}

/// What one pass on one grid gave.
pub(crate) struct Pass {
    pub(crate) grid: Arc<Grid>,
    pub(crate) track: Track,
    pub(crate) end: f64,
    pub(crate) ended: Ended,
    pub(crate) counts: Counts,
    /// When each step ended.
    pub(crate) steps: Vec<f64>,
    pub(crate) final_temperature: Vec<f64>,
    pub(crate) final_cure: Vec<f64>,
}

impl Pass {
    /// The layer that got hottest.
    pub(crate) fn hottest(&self) -> usize {
        let mut best = 0;
        for (k, l) in self.track.layers.iter().enumerate() {
            if l.hottest.1 > self.track.layers[best].hottest.1 {
                best = k;
            }
        }
        best
    }

    /// The hottest temperature anywhere, K.
    fn peak(&self) -> f64 {
        self.track.layers[self.hottest()].hottest.1
    }

    /// How far a coarser pass lies from this one.
    fn apart(&self, coarse: &Pass, wall: &PlainWall) -> Apart {
        let mut apart = Apart {
            peak: (self.peak() - coarse.peak()).abs(),
            ..Apart::default()
        };
        let whole = self.ended == Ended::Duration && coarse.ended == Ended::Duration;
        let mut face = |fine: f64, coarse: f64| {
            let d = (fine - coarse).abs();
            if d.is_finite() {
                apart.faces = apart.faces.max(d);
            }
        };
        for (fine, coarse) in self.track.watches.iter().zip(&coarse.track.watches) {
            face(fine.top.value, coarse.top.value);
            if whole {
                face(fine.now(), coarse.now());
            }
        }
        for (a, b) in self.track.kept.iter().zip(&coarse.track.kept) {
            for &depth in &wall.asked_depths {
                let (fine, coarse) = (a.at(&self.grid, depth), b.at(&coarse.grid, depth));
                if let (Some(fine), Some(coarse)) = (fine, coarse) {
                    face(fine.1, coarse.1);
                    apart.cure = apart.cure.max((fine.2 - coarse.2).abs());
                }
            }
        }
        let cells = |p: &Pass, k: usize| p.grid.starts[k + 1] - p.grid.starts[k];
        for (k, s) in wall.sheets.iter().enumerate().filter(|(_, s)| s.reacts()) {
            let (a, b) = (&self.track.layers[k], &coarse.track.layers[k]);
            let all = |reached: bool, t: f64| if reached { t } else { f64::NAN };
            for (fine, coarse) in [
                (a.gel_first, b.gel_first),
                (
                    all(a.all_gelled(cells(self, k)), a.gel_last),
                    all(b.all_gelled(cells(coarse, k)), b.gel_last),
                ),
                (
                    all(a.all_demoulded(cells(self, k)), a.demould),
                    all(b.all_demoulded(cells(coarse, k)), b.demould),
                ),
            ] {
                // A time that only one of them reaches is off by what is left of the run at least.
                let d = match (fine.is_nan(), coarse.is_nan()) {
                    (true, true) => continue,
                    (false, false) => (fine - coarse).abs(),
                    (false, true) => self.end - fine,
                    (true, false) => coarse_end(coarse, self.end),
                };
                let since = if fine.is_nan() { coarse } else { fine } - s.laid;
                // Gelled as it is laid: nothing to be off.
                let relative = if since > 0.0 { d / since } else { 0.0 };
                apart.times = Some(apart.times.unwrap_or(0.0).max(relative));
            }
        }
        apart
    }
}

/// What a time that only the coarser pass reached is off by at least.
fn coarse_end(coarse: f64, end: f64) -> f64 {
    (end - coarse).max(0.0)
}

/// Puts a refusal into the layer it is about.
pub(crate) fn in_layer(k: usize) -> impl Fn(Error) -> Error {
    move |e| e.within(format_args!("layers[{k}]"))
}

/// Thickness of the reaction front of a layer that reacts adiabatically from `start` K.
#[allow(clippy::cast_precision_loss)]
pub(crate) fn front(s: &Sheet, start: f64) -> f64 {
    let hot = start + s.rise * (1.0 - s.seed);
    // All in one call: of a loop over calls the compiler makes a jump that depends on a ceiling which is not there.
    const CONVERSIONS: usize = 19;
    let mut rate = [0.0; CONVERSIONS];
    s.law.rates::<false>(&mut Rates {
        temperature: &[hot; CONVERSIONS],
        cure: &std::array::from_fn::<f64, CONVERSIONS, _>(|j| (j as f64 + 1.0) / 20.0),
        second: &[0.9; CONVERSIONS],
        rate: &mut rate,
        second_rate: &mut [0.0; CONVERSIONS],
    });
    let fastest = rate.iter().fold(1e-30_f64, |m, &r| m.max(r));
    (s.conductivity / s.capacity / fastest).sqrt()
}

impl PlainWall {
    fn closed(&self) -> [bool; 2] {
        self.faces
            .each_ref()
            .map(|f| matches!(f.law, EdgeLaw::Closed) && f.drain.spells.is_empty())
    }

    fn grid(&self, refine: f64) -> Grid {
        Grid::new(
            &self.sheets,
            self.form,
            self.radius,
            self.grows,
            self.closed(),
            refine,
        )
    }

    /// Cells `refine` times as fine as usual, or as fine as is allowed.
    fn finer(&self, refine: f64, than: usize) -> Result<Grid> {
        let mut grid = self.grid(refine);
        let cells = grid.size.len();
        if cells > self.most {
            #[allow(clippy::cast_precision_loss)]
            let shrink = self.most as f64 / cells as f64;
            grid = self.grid(refine * shrink);
            if grid.size.len() <= than {
                // Nothing finer is allowed: the coarse pass is all there is.
                return Err(Error::out_of_range(
                    "most_cells",
                    self.most,
                    format!("{cells} or more for these layers"),
                    "allow more cells or give fewer layers",
                ));
            }
        }
        let cells = grid.size.len();
        if self.rows * cells > MOST_RECORDED {
            return Err(Error::out_of_range(
                "profiles",
                format_args!("{} times over {cells} cells", self.rows),
                format!("{} times over as many cells", MOST_RECORDED / cells),
                "ask for fewer times: 200 draw a smooth curve",
            ));
        }
        Ok(grid)
    }

    /// Whether nothing in it is steep: no front of a reaction is thinner than half of its layer (four cells of half the usual
    /// fineness lie in it), layers that touch start equally warm, faces are closed or in still air.
    fn is_calm(&self) -> bool {
        let wide = |s: &Sheet| !s.reacts() || 2.0 * s.front >= s.thickness;
        let level = |pair: &[Sheet]| (pair[0].start - pair[1].start).abs() < JUMP;
        let still = |f: &FaceLaw| match &f.law {
            EdgeLaw::Closed => true,
            EdgeLaw::Film(film, _) => film.surroundings().is_some(),
            EdgeLaw::Flux(_) | EdgeLaw::Fixed(_) | EdgeLaw::Linear(..) => false,
        };
        self.sheets.iter().any(Sheet::reacts)
            && self.sheets.iter().all(wide)
            && self.sheets.windows(2).all(level)
            && self.faces.iter().all(still)
    }

    /// How much finer than usual the cells are at first: half as fine where nothing is steep, and as many as were asked at least.
    fn least(&self) -> f64 {
        let mut refine = if self.is_calm() { 0.5 } else { 1.0 };
        // Whole cells in each layer: not quite in proportion.
        for _ in 0..40 {
            let cells = self.grid(refine).size.len();
            if cells >= self.least {
                break;
            }
            #[allow(clippy::cast_precision_loss)]
            let short = self.least as f64 / cells as f64;
            refine *= short.max(1.02);
        }
        refine
    }

    /// One pass, on cells `refine` times as fine as usual, its steps `loose` times as far off as a whole answer's: the errors of the
    /// cells are not told.
    pub(crate) fn once(
        &self,
        refine: f64,
        loose: f64,
        work: &mut Workspace,
        cancel: Cancel<'_>,
    ) -> Result<(Pass, Cells)> {
        cancel.check()?;
        let grid = self.finer(refine, 0)?;
        let record = (self.rows > 0).then(|| self.record(grid.size.len()));
        let pass = self.pass(grid, work, cancel, (record, loose))?;
        let cells = Cells {
            count: pass.grid.size.len(),
            compared_with: 0,
            peak_change: TemperatureInterval::default(),
            peak_error: TemperatureInterval::default(),
            faces_error: TemperatureInterval::default(),
            times_error: None,
            converged: false,
        };
        Ok((pass, cells))
    }

    /// Passes on finer and finer cells until the peak, the faces and the times settle.
    pub(crate) fn refined(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<Refined> {
        cancel.check()?;
        let mut refine = self.least();
        let mut first = Some(0.5 * refine);
        let coarse = self.grid(0.5 * refine);
        // Refused before any work.
        let mut grid = self.finer(refine, coarse.size.len())?;
        // It tells the error of the cells, which is larger than that of its steps.
        let mut coarse = self.pass(coarse, work, cancel, (None, LOOSE))?;
        let mut before = Apart::default();
        loop {
            // A grid a little finer than this one would tell nothing new.
            let at_most = grid.size.len() * 5 > self.most * 4;
            let record = (self.rows > 0).then(|| self.record(grid.size.len()));
            let fine = self.pass(grid, work, cancel, (record, 1.0))?;
            #[allow(clippy::cast_precision_loss)]
            let ratio = fine.grid.size.len() as f64 / coarse.grid.size.len() as f64;
            let error = fine.apart(&coarse, self).error(ratio, before);
            before = error;
            // How far above what was asked the worst of them is.
            let warmth = (error.peak.max(error.faces) / self.tolerance).max(error.cure / CURE_WITHIN);
            let times = error.times.unwrap_or(0.0) / self.times_within;
            let converged = warmth.max(times) <= 1.0;
            let cells = Cells {
                count: fine.grid.size.len(),
                compared_with: coarse.grid.size.len(),
                peak_change: TemperatureInterval::from_si(fine.peak() - coarse.peak())?,
                peak_error: TemperatureInterval::from_si(error.peak)?,
                faces_error: TemperatureInterval::from_si(error.faces)?,
                times_error: error.times.map(RelativeAmount::new).transpose()?,
                converged,
            };
            refine *= (2.0 * warmth).sqrt().max(2.0 * times).clamp(1.5, 3.0);
            let finer = || match self.finer(refine, fine.grid.size.len()) {
                // Whole cells in each of many layers can leave nothing between this grid and the most that is allowed.
                Err(e) if e.field() == "most_cells" => Ok(None),
                finer => finer.map(Some),
            };
            let next = if converged || at_most { None } else { finer()? };
            let Some(next) = next else {
                return Ok(Refined {
                    pass: fine,
                    cells,
                    loose: first.map(|fineness| (fineness, coarse)),
                });
            };
            (grid, coarse, first) = (next, fine, None);
        }
    }

    /// Where temperature and conversion are kept, of `cells` cells.
    fn record(&self, cells: usize) -> Record {
        let rows = self.rows;
        #[allow(clippy::cast_precision_loss)]
        let times = (0..rows).map(|i| {
            if rows == 1 {
                self.duration
            } else {
                self.duration * i as f64 / (rows - 1) as f64
            }
        });
        Record::new(times.collect(), cells)
    }

    /// Times at which a layer is laid or the surroundings turn a corner.
    fn corners(&self) -> Vec<f64> {
        let mut corners: Vec<f64> = self.sheets.iter().map(|s| s.laid).collect();
        for f in &self.faces {
            corners.extend(f.corners());
        }
        corners
    }

    /// Those within the run, the times asked for, and the end.
    fn stops(&self, corners: &[f64]) -> Vec<f64> {
        let mut stops = corners.to_vec();
        stops.extend(&self.asked_times);
        stops.push(self.duration);
        stops.retain(|&t| t > 0.0 && t <= self.duration);
        stops.sort_by(f64::total_cmp);
        stops.dedup();
        stops
    }

    /// One pass on one grid, with what it keeps, its steps `loose` times as far off as a whole answer's.
    fn pass(
        &self,
        grid: Grid,
        work: &mut Workspace,
        cancel: Cancel<'_>,
        (record, loose): (Option<Record>, f64),
    ) -> Result<Pass> {
        let (grid, tol) = (Arc::new(grid), self.steps(loose));
        work.pace.counts = Counts::default();
        let mut way = Way::new(self, &grid, record);
        let mut t = 0.0;
        let mut chain = None;
        let corners = self.corners();
        for stop in self.stops(&corners) {
            let from = t;
            let chain = if let Some(fresh) = way.lays(t) {
                let chain = chain.insert(way.chain(t));
                work.fit(chain);
                for (i, s) in way.cells(fresh) {
                    work.now.temperature[i] = s.start;
                    work.now.cure[i] = s.seed;
                    work.now.second[i] = 0.0;
                }
                way.starts(t, &work.now.temperature, &work.now.cure);
                work.begin(chain, t, tol);
                if t == 0.0 && self.asked_times.first() == Some(&0.0) {
                    way.keep(t, work);
                }
                chain
            } else if let Some(chain) = &mut chain {
                if corners.contains(&t) {
                    work.resume(chain, t, tol);
                }
                chain
            } else {
                break;
            };
            way.holds_heat()?;
            let (now, next) = work.advance(&RODAS4, chain, t, stop, tol, MOST_STEPS, &mut |s| {
                way.step(s, cancel)
            })?;
            t = now;
            way.track.evaporated += (chain.first.drained() + chain.last.drained()) * (t - from);
            if self.asked_times.binary_search_by(|a| a.total_cmp(&t)).is_ok() {
                way.keep(t, work);
            }
            if next == Next::Stop {
                break;
            }
        }
        let n = grid.starts[way.layers];
        let end = (work.now.temperature[..n].to_vec(), work.now.cure[..n].to_vec());
        way.passed(Arc::clone(&grid), t, end, work.pace.counts)
    }

    /// Tolerances of the steps.
    fn steps(&self, loose: f64) -> Tolerance {
        // A quarter of a tenth of the tolerated peak error in each step.
        // Below half a kelvin the error of the steps falls faster than that of the cells, which is told.
        let tight = (self.tolerance / 0.5).min(1.0).powf(1.25);
        Tolerance {
            temperature: loose * 0.04 * tight,
            cure: loose * 2.6e-4 * tight,
        }
    }

    /// Whether another wall is cut, laid and closed like this one, and nothing is kept of it.
    fn like(&self, other: &PlainWall) -> bool {
        let cut = |s: &Sheet| (s.thickness, s.laid);
        other.rows == 0
            && self.asked_times.is_empty()
            && other.asked_times.is_empty()
            && (self.form, self.radius, self.grows) == (other.form, other.radius, other.grows)
            && self.sheets.iter().map(cut).eq(other.sheets.iter().map(cut))
            && (self.duration, self.tolerance) == (other.duration, other.tolerance)
            && self.corners() == other.corners()
            && self.closed() == other.closed()
    }

    /// One pass of each of a few walls that are like this one, side by side, on the cells and in the steps of a loose pass of it; none
    /// where they are not alike, or are too many. Heat through the faces is not kept.
    pub(crate) fn side_by_side(
        &self,
        pass: &Pass,
        walls: &[PlainWall],
        cancel: Cancel<'_>,
    ) -> Result<Option<Vec<Pass>>> {
        cancel.check()?;
        if !walls.iter().all(|w| self.like(w)) {
            return Ok(None);
        }
        let grid = &pass.grid;
        let tol = self.steps(LOOSE);
        let mut ways: Vec<Way> = walls.iter().map(|w| Way::new(w, grid, None)).collect();
        // When and as what each ended that is followed no more.
        let mut ends: Vec<Option<End>> = walls.iter().map(|_| None).collect();
        let mut alike: Option<Alike> = None;
        let mut view = View::default();
        let corners = self.corners();
        let mut t = 0.0;
        for stop in self.stops(&corners) {
            let fresh: Vec<Option<usize>> = ways.iter_mut().map(|w| w.lays(t)).collect();
            if let Some(fresh) = fresh[0] {
                let chains: Vec<Chain> = ways.iter_mut().map(|w| w.chain(t)).collect();
                let laid = match alike.take() {
                    Some(before) => before.lay(&chains),
                    None => Alike::of(&chains),
                };
                let Some(laid) = laid else { return Ok(None) };
                let work = alike.insert(laid);
                for (b, way) in ways.iter_mut().enumerate() {
                    for (i, s) in way.cells(fresh) {
                        work.set(b, i, s.start, s.seed);
                    }
                    if work.goes(b) {
                        let (temperature, cure) = work.state(b);
                        way.starts(t, &temperature, &cure);
                    }
                }
                work.begin(t, tol);
            } else if let Some(work) = &mut alike
                && corners.contains(&t)
            {
                work.resume(t, tol);
            }
            let Some(work) = &mut alike else { break };
            t = work.advance(&RODAS4, (t, stop), &pass.steps, tol, &mut |g| {
                let next = ways[g.body].glance(g, &mut view, cancel)?;
                if next == Next::Stop {
                    let (temperature, cure) = g.state();
                    ends[g.body] = Some((g.sides.t1, temperature, cure));
                }
                Ok(next)
            })?;
            if !work.any_going() {
                break;
            }
        }
        let Some(work) = alike else { return Ok(None) };
        let counts = work.counts();
        let passes = ways.into_iter().zip(ends).enumerate().map(|(b, (way, end))| {
            let (end, temperature, cure) = end.unwrap_or_else(|| {
                let (temperature, cure) = work.state(b);
                (t, temperature, cure)
            });
            way.passed(Arc::clone(grid), end, (temperature, cure), counts)
        });
        passes.collect::<Result<_>>().map(Some)
    }
}

/// When a wall was followed no more, its temperatures and conversions then.
type End = (f64, Vec<f64>, Vec<f64>);

/// A wall on its way through one pass.
struct Way<'w> {
    wall: &'w PlainWall,
    grid: &'w Grid,
    track: Track,
    view: ChainView,
    /// Laid so far.
    layers: usize,
    /// Faces that look into a closed cavity.
    closed: [bool; 2],
    /// The air of a cavity from when it is closed: how warm its end cell was then.
    air: [Option<f64>; 2],
    ended: Ended,
    /// When each step ended.
    steps: Vec<f64>,
    unasked: usize,
}

impl<'w> Way<'w> {
    fn new(wall: &'w PlainWall, grid: &'w Grid, record: Option<Record>) -> Self {
        Way {
            track: Track::new(&wall.sheets, grid, wall.limit, CHARS, record),
            wall,
            grid,
            view: ChainView::default(),
            layers: 0,
            closed: [false; 2],
            air: [None; 2],
            ended: Ended::Duration,
            steps: Vec::new(),
            unasked: 0,
        }
    }

    /// Lays what is laid at `t` and closes what is closed then; the layers before where that changes the chain.
    fn lays(&mut self, t: f64) -> Option<usize> {
        let laid = self.wall.sheets.iter().filter(|s| s.laid <= t).count();
        let closed = self.wall.faces.each_ref().map(|f| f.closed(t).is_some());
        if laid == self.layers && closed == self.closed {
            return None;
        }
        let before = self.layers;
        (self.layers, self.closed) = (laid, closed);
        Some(before)
    }

    /// The chain at `t` of the layers laid by then.
    fn chain(&mut self, t: f64) -> Chain {
        let (grid, sheets) = (self.grid, &self.wall.sheets);
        let chain = grid.chain(sheets, self.layers, &self.wall.faces, t);
        self.view = ChainView::new(grid, sheets, self.layers, &chain);
        chain
    }

    /// Cells of the layers after the first `before`, with what they are of.
    fn cells(&self, before: usize) -> impl Iterator<Item = (usize, &'w Sheet)> + use<'w> {
        let (grid, layers) = (self.grid, self.layers);
        let sheets = self.wall.sheets.iter().enumerate().take(layers).skip(before);
        sheets.flat_map(|(k, s)| (grid.starts[k]..grid.starts[k + 1]).map(move |i| (i, s)))
    }

    /// What is laid begins as warm and as cured as this.
    fn starts(&mut self, t: f64, temperature: &[f64], cure: &[f64]) {
        let (wall, grid, layers) = (self.wall, self.grid, self.layers);
        for (e, i) in [(0, 0), (1, grid.starts[layers] - 1)] {
            if self.closed[e] && self.air[e].is_none() {
                self.air[e] = Some(temperature[i]);
            }
        }
        self.track.start(&wall.sheets, grid, layers, t, temperature, cure);
        let held = wall.faces.each_ref().map(|f| matches!(f.law, EdgeLaw::Fixed(_)));
        self.track.faces_start(&wall.sheets, layers, t, held);
    }

    fn keep(&mut self, t: f64, work: &Workspace) {
        self.track
            .kept
            .push(Kept::new(t, self.layers, self.grid, work, &self.view));
    }

    fn holds_heat(&self) -> Result<()> {
        for (k, s) in self.wall.sheets.iter().enumerate().take(self.layers) {
            holds_heat(s.capacity_slope, s.reference, s.start).map_err(in_layer(k))?;
        }
        Ok(())
    }

    /// After a step.
    fn step(&mut self, s: &Step, cancel: Cancel<'_>) -> Result<Next> {
        let (wall, grid, layers) = (self.wall, self.grid, self.layers);
        self.steps.push(s.t1);
        self.track.step(s, &wall.sheets, grid, layers, &self.view);
        for (k, sheet) in wall.sheets.iter().enumerate().take(layers) {
            if sheet.capacity_slope != 0.0 {
                for t in &s.after.temperature[grid.starts[k]..grid.starts[k + 1]] {
                    holds_heat(sheet.capacity_slope, sheet.reference, *t).map_err(in_layer(k))?;
                }
            }
        }
        self.goes_on(cancel)
    }

    /// After a step of many like it.
    fn glance(&mut self, g: &Glance, view: &mut View, cancel: Cancel<'_>) -> Result<Next> {
        let of = (&self.wall.sheets[..], self.grid);
        self.track
            .glance(g, view, of, self.layers, &self.view, self.wall.duration);
        self.goes_on(cancel)
    }

    fn goes_on(&mut self, cancel: Cancel<'_>) -> Result<Next> {
        let (wall, grid, layers) = (self.wall, self.grid, self.layers);
        self.unasked += grid.size.len();
        if self.unasked >= ASK_EVERY {
            self.unasked = 0;
            cancel.check()?;
        }
        if self.track.hottest_now > ABSURD || self.track.rising_now > EXPLODES {
            self.ended = Ended::Runaway;
            return Ok(Next::Stop);
        }
        let all = layers == wall.sheets.len();
        if self.track.hottest_now < wall.stop_below && all && self.track.settled(&wall.sheets, grid) {
            self.ended = Ended::Cooling;
            return Ok(Next::Stop);
        }
        Ok(Next::Go)
    }

    /// What it gave, having ended at `end` as warm and as cured as this.
    fn passed(
        mut self,
        grid: Arc<Grid>,
        end: f64,
        (mut temperature, mut cure): (Vec<f64>, Vec<f64>),
        counts: Counts,
    ) -> Result<Pass> {
        let (wall, layers) = (self.wall, self.layers);
        // One that ended before a layer was laid has no cells of it.
        let layers = (1..=layers)
            .rev()
            .find(|k| grid.starts[*k] <= temperature.len())
            .unwrap_or(layers);
        // What went into a cavity's air has left the wall.
        for (e, k, i) in [(0, 0, 0), (1, layers - 1, grid.starts[layers] - 1)] {
            if let (Some(from), Some(c)) = (self.air[e], wall.faces[e].closing) {
                let s = &wall.sheets[k];
                let area = grid.area[if e == 0 { 0 } else { i + 1 }];
                let heat = s.enthalpy(temperature[i]) - s.enthalpy(from);
                self.track.heat_in[e] -= c.capacity * area * heat;
            }
        }
        if layers < wall.sheets.len() && self.ended != Ended::Runaway {
            return Err(Error::new(ErrorKind::NotConverged, "layers").with_way_out("lengthen the duration"));
        }
        // Layers that a runaway forestalled keep what they would have been laid with.
        for (k, s) in wall.sheets.iter().enumerate().skip(layers) {
            let cells = grid.starts[k + 1] - grid.starts[k];
            temperature.extend(std::iter::repeat_n(s.start, cells));
            cure.extend(std::iter::repeat_n(s.seed, cells));
        }
        Ok(Pass {
            grid,
            track: self.track,
            end,
            ended: self.ended,
            counts,
            steps: self.steps,
            final_temperature: temperature,
            final_cure: cure,
        })
    }
}
