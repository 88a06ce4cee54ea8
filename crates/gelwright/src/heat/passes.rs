//! Following a wall in plain SI: passes over time, each on finer cells, until the peak settles.

use super::cautions::{ABSURD, CHARS};
use super::chemistry::Rates;
use super::edge::EdgeLaw;
use super::geometry::{Geometry, Grows};
use super::grid::{Grid, Sheet};
use super::kernel::{Chain, Counts, MOST_STEPS, Next, Tolerance, Workspace};
use super::layer::holds_heat;
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, Record, Track};
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::Noun;
use crate::quantity::{Quantity, TemperatureInterval};

/// Steps times cells between two looks at [`Cancel`]: a millisecond's work or less.
const ASK_EVERY: usize = 4096;
/// Most temperatures (and as many conversions) kept over time and depth: 64 MB.
const MOST_RECORDED: usize = 4_000_000;

/// How fine the cells were, and what that did to the peak.
#[derive(Clone, PartialEq, Noun)]
pub struct Cells {
    /// Number of cells.
    pub count: usize,
    /// Number of cells of the coarser run it was compared with.
    pub compared_with: usize,
    /// Change of the hottest temperature between the two.
    pub peak_change: TemperatureInterval,
    /// Estimated error of the peak that is left, for cells of second order.
    pub peak_error: TemperatureInterval,
    /// Whether that is within what was asked.
    pub converged: bool,
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
    pub(crate) faces: [EdgeLaw; 2],
    pub(crate) duration: f64,
    /// Stop once settled and cooler than this; never where -infinity.
    pub(crate) stop_below: f64,
    pub(crate) limit: f64,
    pub(crate) rows: usize,
    pub(crate) tolerance: f64,
    pub(crate) most: usize,
    pub(crate) mirrored: bool,
}

/// What one pass on one grid gave.
pub(crate) struct Pass {
    pub(crate) grid: Grid,
    pub(crate) track: Track,
    pub(crate) end: f64,
    pub(crate) ended: Ended,
    pub(crate) counts: Counts,
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
        self.faces.each_ref().map(|f| matches!(f, EdgeLaw::Closed))
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

    /// Passes on finer and finer cells until the peak settles.
    pub(crate) fn refined(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<(Pass, Cells)> {
        cancel.check()?;
        let mut refine = 1.0;
        let coarse = self.grid(0.5);
        // Refused before any work.
        let mut grid = self.finer(refine, coarse.size.len())?;
        let mut coarse = self.pass(coarse, work, cancel, true)?;
        let mut before = 0.0;
        loop {
            // A grid a little finer than this one would tell nothing new.
            let at_most = grid.size.len() * 5 > self.most * 4;
            let fine = self.pass(grid, work, cancel, false)?;
            #[allow(clippy::cast_precision_loss)]
            let ratio = fine.grid.size.len() as f64 / coarse.grid.size.len() as f64;
            let mut change = (fine.peak() - coarse.peak()).abs();
            for (a, b) in [(0, 0), (self.sheets.len(), self.sheets.len())] {
                let d = fine.track.watches[a].now() - coarse.track.watches[b].now();
                if d.is_finite() && fine.ended == Ended::Duration && coarse.ended == Ended::Duration {
                    change = change.max(d.abs());
                }
            }
            // Cells of second order; and two grids may agree by chance, so no faster than that from the error before.
            let error = (change / (ratio * ratio - 1.0).max(0.5)).max(before / (ratio * ratio));
            before = error;
            let converged = error <= self.tolerance;
            let cells = Cells {
                count: fine.grid.size.len(),
                compared_with: coarse.grid.size.len(),
                peak_change: TemperatureInterval::from_si(fine.peak() - coarse.peak())?,
                peak_error: TemperatureInterval::from_si(error)?,
                converged,
            };
            if converged || at_most {
                return Ok((fine, cells));
            }
            refine *= (error / (0.5 * self.tolerance)).sqrt().clamp(1.5, 3.0);
            grid = match self.finer(refine, fine.grid.size.len()) {
                // Whole cells in each of many layers can leave nothing between this grid and the most that is allowed.
                Err(e) if e.field() == "most_cells" => return Ok((fine, cells)),
                finer => finer?,
            };
            coarse = fine;
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

    /// Times at which a layer is laid or the surroundings turn a corner, and the end.
    fn stops(&self) -> Vec<f64> {
        let mut stops: Vec<f64> = self.sheets.iter().map(|s| s.laid).collect();
        for f in &self.faces {
            if let EdgeLaw::Flux(d) | EdgeLaw::Fixed(d) | EdgeLaw::Linear(_, d) | EdgeLaw::Film(_, d) = f {
                stops.extend(d.corners());
            }
        }
        stops.push(self.duration);
        stops.retain(|&t| t > 0.0 && t <= self.duration);
        stops.sort_by(f64::total_cmp);
        stops.dedup();
        stops
    }

    /// The chain of the layers laid by now, those after the first `before` fresh.
    fn lay(&self, grid: &Grid, work: &mut Workspace, before: usize, laid: usize) -> (Chain, ChainView) {
        let chain = grid.chain(&self.sheets, laid, self.faces[0].clone(), self.faces[1].clone());
        let view = ChainView::new(grid, &self.sheets, laid, &chain);
        work.fit(&chain);
        for (k, s) in self.sheets.iter().enumerate().take(laid).skip(before) {
            for i in grid.starts[k]..grid.starts[k + 1] {
                work.now.temperature[i] = s.start;
                work.now.cure[i] = s.seed;
                work.now.second[i] = 0.0;
            }
        }
        (chain, view)
    }

    /// One pass on one grid. The first, `only_compared`, tells the error of the cells, which is larger than that of its steps.
    fn pass(
        &self,
        grid: Grid,
        work: &mut Workspace,
        cancel: Cancel<'_>,
        only_compared: bool,
    ) -> Result<Pass> {
        let n = grid.size.len();
        let record = (!only_compared && self.rows > 0).then(|| self.record(n));
        let mut track = Track::new(&self.sheets, &grid, self.limit, CHARS, record);
        // A quarter of a tenth of the tolerated peak error in each step.
        let loose = if only_compared { 3.0 } else { 1.0 };
        // Below half a kelvin the error of the steps falls faster than that of the cells, which is told.
        let tight = (self.tolerance / 0.5).min(1.0).powf(1.25);
        let tol = Tolerance {
            temperature: loose * 0.04 * tight,
            cure: loose * 2.6e-4 * tight,
        };
        work.counts = Counts::default();
        let mut layers = 0;
        let mut t = 0.0;
        let mut ended = Ended::Duration;
        let mut chain = None;
        let mut unasked = 0;
        for stop in self.stops() {
            let laid = self.sheets.iter().filter(|s| s.laid <= t).count();
            let (chain, view) = if laid > layers || chain.is_none() {
                let (c, view) = chain.insert(self.lay(&grid, work, layers, laid));
                layers = laid;
                track.start(
                    &self.sheets,
                    &grid,
                    layers,
                    t,
                    &work.now.temperature,
                    &work.now.cure,
                );
                work.begin(c, t, tol);
                (c, view)
            } else if let Some((c, view)) = &mut chain {
                work.resume(c, t, tol);
                (c, view)
            } else {
                break;
            };
            for (k, s) in self.sheets.iter().enumerate().take(layers) {
                holds_heat(s.capacity_slope, s.reference, s.start).map_err(in_layer(k))?;
            }
            let all = layers == self.sheets.len();
            let below = self.stop_below;
            let (now, next) = work.advance(&RODAS4, chain, t, stop, tol, MOST_STEPS, &mut |s| {
                track.step(s, &self.sheets, &grid, layers, view);
                for (k, sheet) in self.sheets.iter().enumerate().take(layers) {
                    if sheet.capacity_slope != 0.0 {
                        for t in &s.after.temperature[grid.starts[k]..grid.starts[k + 1]] {
                            holds_heat(sheet.capacity_slope, sheet.reference, *t).map_err(in_layer(k))?;
                        }
                    }
                }
                unasked += n;
                if unasked >= ASK_EVERY {
                    unasked = 0;
                    cancel.check()?;
                }
                if track.hottest_now > ABSURD || track.rising_now > EXPLODES {
                    ended = Ended::Runaway;
                    return Ok(Next::Stop);
                }
                if track.hottest_now < below && all && track.settled(&self.sheets, &grid) {
                    ended = Ended::Cooling;
                    return Ok(Next::Stop);
                }
                Ok(Next::Go)
            })?;
            t = now;
            if next == Next::Stop {
                break;
            }
        }
        if layers < self.sheets.len() && ended != Ended::Runaway {
            return Err(Error::new(ErrorKind::NotConverged, "layers").with_way_out("lengthen the duration"));
        }
        Ok(self.passed(grid, track, work, layers, t, ended))
    }

    /// What a pass gave that ended at `end` with `layers` laid.
    fn passed(
        &self,
        grid: Grid,
        track: Track,
        work: &Workspace,
        layers: usize,
        end: f64,
        ended: Ended,
    ) -> Pass {
        let mut final_temperature = work.now.temperature[..grid.starts[layers]].to_vec();
        let mut final_cure = work.now.cure[..grid.starts[layers]].to_vec();
        // Layers that a runaway forestalled keep what they would have been laid with.
        for (k, s) in self.sheets.iter().enumerate().skip(layers) {
            let cells = grid.starts[k + 1] - grid.starts[k];
            final_temperature.extend(std::iter::repeat_n(s.start, cells));
            final_cure.extend(std::iter::repeat_n(s.seed, cells));
        }
        Pass {
            grid,
            track,
            end,
            ended,
            counts: work.counts,
            final_temperature,
            final_cure,
        }
    }
}
