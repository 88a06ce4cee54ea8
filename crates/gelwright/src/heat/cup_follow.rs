//! Following a cup: its mix as one cell, or as cells in depth, with its vessel and what surrounds it.

use std::sync::Arc;

use super::alike::{Alike, in_bundles};
use super::alike_glance::View;
use super::body::{Body, CooledFace, together};
use super::cautions::{ABSURD, CHARS, NEXT_TO_NOTHING, reached};
use super::chemistry::Law;
use super::cup::{Cup, Place, Resolve};
use super::edge::{Edge, EdgeLaw};
use super::face::{Course, Stance, Surroundings};
use super::grid::{Grid, Sheet};
use super::kernel::{
    Chain, Counts, MOST_STEPS, Next, Segment, Step, Tolerance, Varying, Workspace, with_workspace,
};
use super::layer::holds_heat;
use super::passes::{LOOSE, front};
use super::probe::{Probe, Shown, Spot};
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, LayerTrack, Track};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::noun;
use crate::quantity::{DegreeOfCure, Length, Quantity, ThermodynamicTemperature, Time, show};

/// Biot number from which on a mix is followed in depth.
pub(super) const FAIR: f64 = 0.1;

/// Local error of a step: three hundredths of a kelvin of a rise of 180 K.
pub(super) const STEPS: Tolerance = Tolerance {
    temperature: 0.04,
    cure: 1.3e-4,
};

/// Local error of a step of a reading, which a fit differentiates.
const FINE_STEPS: Tolerance = Tolerance {
    temperature: 0.004,
    cure: 1.3e-5,
};

/// A cup in plain SI.
pub(super) struct PlainCup {
    pub(super) mix: Sheet,
    pub(super) surface: Surface,
    pub(super) duration: f64,
    pub(super) depth: f64,
    pub(super) body: Body,
    /// Followed in depth.
    pub(super) deep: bool,
    /// From the hottest place to the probe, m; none for the mean.
    probe: Option<f64>,
}

/// When a cup is no longer followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Until {
    /// At its duration, or once it cools where it says so.
    Said,
    /// As said, in looser steps, in which others are followed too.
    Paced,
    /// Once the probe has shown gel and peak.
    Read,
    /// At its duration, in the steps of a reading.
    Logged,
    /// Once the probe has shown the last of the wanted temperatures.
    Warm,
}

/// A cup that has been followed.
pub(super) struct Simulated {
    pub(super) sheets: Vec<Sheet>,
    pub(super) track: Track,
    /// What the probe shows.
    pub(super) probe: Shown,
    /// The mean of the mix.
    pub(super) mean: Shown,
    /// The innermost place.
    inner: Shown,
    /// Greatest difference between the hottest cell and the cooled surface, K.
    pub(super) inside: f64,
    pub(super) depth: f64,
    pub(super) body: Body,
    /// Cells of the mix where it was followed in depth.
    pub(super) cells: Option<usize>,
    pub(super) curve: Curve,
    /// When each step ended.
    steps: Vec<f64>,
    /// Whether the probe has shown its peak.
    pub(super) past_peak: bool,
    /// J/K of every cell.
    capacity: Vec<f64>,
}

/// What is read of a cup that is followed with many like it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CupBrief {
    pub(crate) gel: Option<Time>,
    /// How fast it cures then, 1/s.
    pub(crate) gel_rate: f64,
    pub(crate) peak: ThermodynamicTemperature,
    pub(crate) peak_time: Time,
}

impl CupBrief {
    /// Of a cup of one temperature.
    fn of(mix: &LayerTrack) -> Result<Self> {
        Ok(CupBrief {
            gel: reached(mix.gel_first)?,
            gel_rate: mix.gel_rate,
            peak: ThermodynamicTemperature::from_si(mix.top.value)?,
            peak_time: Time::from_si(mix.top.time)?,
        })
    }
}

/// What is kept over time.
#[derive(Debug, Default)]
pub(super) struct Curve {
    times: Vec<f64>,
    pub(super) time: Vec<f64>,
    /// At the probe.
    pub(super) temperature: Vec<f64>,
    pub(super) cure: Vec<f64>,
    pub(super) mean: Vec<f64>,
    pub(super) hottest: Vec<f64>,
}

impl Curve {
    fn new(points: u32, duration: f64) -> Self {
        let last = f64::from(points.max(2) - 1);
        Curve {
            times: (0..points).map(|i| duration * f64::from(i) / last).collect(),
            ..Curve::default()
        }
    }

    fn keep(&mut self, t: f64, (temperature, cure): (f64, f64), mean: f64, hottest: f64) {
        self.time.push(t);
        self.temperature.push(temperature);
        self.cure.push(cure);
        self.mean.push(mean);
        self.hottest.push(hottest);
    }

    /// Up to the end of a step; the mix is the first `n` cells.
    fn step(&mut self, s: &Step, n: usize, probe: &Shown, mean: &Shown) {
        while let Some(&t) = self.times.get(self.time.len()).filter(|&&t| t <= s.t1) {
            let x = (t - s.t0) / (s.t1 - s.t0);
            let hottest = (0..n).fold(f64::NEG_INFINITY, |m, i| m.max(s.temperature_of(i).at(x)));
            self.keep(t, probe.at(s, x), mean.at(s, x).0, hottest);
        }
    }
}

/// What surrounds the mix: the laws of its top and of the rest of its surface.
pub(super) struct Surface {
    pub(super) top: EdgeLaw,
    pub(super) rest: EdgeLaw,
    pub(super) top_area: f64,
    pub(super) rest_area: f64,
}

impl Surface {
    /// Area through which heat leaves; all of it where none does.
    fn cooled(&self) -> f64 {
        let of = |law: &EdgeLaw, area: f64| if matches!(law, EdgeLaw::Closed) { 0.0 } else { area };
        let cooled = of(&self.top, self.top_area) + of(&self.rest, self.rest_area);
        if cooled > 0.0 { cooled } else { self.rest_area }
    }
}

impl Cup {
    /// The cup in plain SI, checked.
    pub(super) fn plain(&self) -> Result<PlainCup> {
        noun::check(self)?;
        self.as_plain()
    }

    /// The same of one whose every number is known to be within its range, or moved from one that is.
    fn as_plain(&self) -> Result<PlainCup> {
        let (mass, diameter) = (self.mass.si(), self.diameter.si());
        self.thermal.check().map_err(|e| e.within("thermal"))?;
        let kernel = self.cure.check().map_err(|e| e.within("cure"))?;
        let start = self.starts_at.si();
        let slope = self.thermal.specific_heat_slope.si();
        let reference = self.thermal.reference.si();
        holds_heat(slope, reference, start)?;
        let density = self.thermal.density.si();
        let volume = mass / density;
        let end = std::f64::consts::FRAC_PI_4 * diameter * diameter;
        let depth = volume / end;
        if depth > 10.0 {
            return Err(Error::inconsistent(
                "diameter",
                show(self.diameter),
                "a mix that stands at most 10 m deep",
                format!(
                    "{} would stand {} deep: check mass and diameter",
                    show(self.mass),
                    show(Length::from_si(depth)?)
                ),
            ));
        }
        let surface = self.surface(depth, end)?;
        let ends = match self.place {
            Place::Insulated => 0,
            Place::Bench { .. } | Place::Bath { .. } => 1,
            Place::Coefficient { .. } => 2,
        };
        let body = Body::new(diameter, depth, surface.cooled(), ends);
        let probe = self.probe_at(&body)?;
        let mut mix = Sheet {
            thickness: 1.0,
            capacity: density * self.thermal.specific_heat.si(),
            conductivity: self.thermal.conductivity.si(),
            capacity_slope: slope,
            conductivity_slope: 0.0,
            reference,
            start,
            laid: 0.0,
            contact: 0.0,
            rise: self.cure.heat_per_mass() / self.thermal.specific_heat.si(),
            law: Law::from(&kernel),
            seed: kernel.seed,
            gel: self.cure.gel_at.get(),
            demould: self.cure.demould_at.map_or(f64::NAN, DegreeOfCure::get),
            monomer: self.cure.monomer.map_or(0.0, |m| m.content.get()),
            boils: self.cure.monomer.map_or(f64::INFINITY, |m| m.boiling_point.si()),
            front: 0.0,
        };
        let hottest = mix.start + mix.rise * (1.0 - mix.seed).max(0.0);
        let deep = match self.resolve {
            Resolve::Lumped => false,
            Resolve::InDepth => true,
            // The film is strongest around the hottest that the mix can get.
            Resolve::Automatic => self.biot(hottest, &body) >= FAIR,
        };
        if deep {
            mix.thickness = body.half_depth;
            mix.conductivity_slope = self.thermal.conductivity_slope.si();
            // A power of two of the depth, so that a small change of the kinetics leaves the cells as they are.
            let share = (front(&mix, start) / body.half_depth).min(FRONT);
            mix.front = body.half_depth * share.log2().floor().exp2();
        }
        Ok(PlainCup {
            mix,
            surface,
            duration: self.duration.si(),
            depth,
            body,
            deep,
            probe,
        })
    }

    /// Biot number of a mix that is `hot` kelvin.
    pub(super) fn biot(&self, hot: f64, body: &Body) -> f64 {
        self.film(hot) * body.volume / body.area / self.thermal.conductivity.si()
    }

    /// Where the probe sits, from the hottest place on.
    fn probe_at(&self, body: &Body) -> Result<Option<f64>> {
        let from_middle = match self.probe {
            Probe::Mean => return Ok(None),
            Probe::Middle => 0.0,
            Probe::Surface => body.middle,
            Probe::FromMiddle { distance } => distance.si(),
        };
        if from_middle > body.middle * (1.0 + 1e-12) {
            let most = show(Length::from_si(body.middle)?);
            return Err(Error::inconsistent(
                "probe.distance",
                show(Length::from_si(from_middle)?),
                format!(
                    "{most} or less, the distance from the middle of this mix to its nearest cooled face"
                ),
                "the thermometer would be outside the mix: give a place inside it, or check mass and diameter",
            ));
        }
        Ok(Some(body.half_depth - body.middle + from_middle))
    }

    /// The faces of a mix `depth` m deep over a bottom of `end` m².
    fn surface(&self, depth: f64, end: f64) -> Result<Surface> {
        let diameter = self.diameter.si();
        let side = std::f64::consts::PI * diameter * depth;
        let factor = self.film_factor;
        let drive = |c: &Course, called: &str| {
            c.drive(self.duration.si())
                .map_err(|e| e.within(format_args!("place.{called}")))
        };
        let (top, rest, rest_area) = match &self.place {
            Place::Bench { air, emissivity } => {
                let still = |stance, size: f64| -> Result<EdgeLaw> {
                    let size = Length::from_si(size.max(1e-3))?;
                    let film = Surroundings {
                        film_factor: factor,
                        ..Surroundings::new(stance, size, *emissivity)
                    };
                    Ok(EdgeLaw::Film(Arc::new(film), drive(air, "air")?))
                };
                (
                    still(Stance::LevelUp, 0.25 * diameter)?,
                    still(Stance::Vertical, depth)?,
                    side,
                )
            }
            Place::Bath { bath, coefficient } => (
                EdgeLaw::Closed,
                EdgeLaw::Linear(factor * coefficient.si(), drive(bath, "bath")?),
                side + end,
            ),
            Place::Coefficient {
                coefficient,
                surroundings,
            } => {
                let law = EdgeLaw::Linear(factor * coefficient.si(), drive(surroundings, "surroundings")?);
                (law.clone(), law, side + end)
            }
            Place::Insulated => (EdgeLaw::Closed, EdgeLaw::Closed, side),
        };
        Ok(Surface {
            top,
            rest,
            top_area: end,
            rest_area,
        })
    }

    /// The mix, and the vessel where there is one, as cells of a chain.
    fn chain(&self, mix: Sheet, volume: f64, surface: Surface) -> (Chain, Vec<Sheet>, Grid) {
        // A well-mixed cup has no resistance inside: a conductance far above any film's.
        let inside = 1e7 * (surface.top_area + surface.rest_area);
        let mut sheets = vec![mix];
        let mut conductance = vec![inside, inside];
        let mut capacity = vec![volume * sheets[0].capacity];
        if let Some(v) = &self.vessel {
            let k = v.conductivity.si();
            let half = 2.0 * k * surface.rest_area / v.thickness.si();
            let heat = v.mass.si() * v.specific_heat.si();
            conductance = vec![inside, half, half];
            capacity.push(heat);
            sheets.push(Sheet {
                conductivity: k,
                ..inert(&sheets[0], heat)
            });
        }
        let n = sheets.len();
        let varying = (sheets[0].capacity_slope != 0.0).then(|| Varying {
            near: vec![1.0 / inside, 0.5 / conductance[n - 1].max(1.0)][..n].to_vec(),
            far: (0..n)
                .map(|i| {
                    if i + 1 < n {
                        1.0 / conductance[1]
                    } else {
                        1.0 / conductance[n]
                    }
                })
                .collect(),
            contact: vec![0.0; n + 1],
            conductivity_slope: vec![0.0; n],
            capacity_slope: sheets.iter().map(|s| s.capacity_slope).collect(),
            reference: sheets.iter().map(|s| s.reference).collect(),
        });
        let chain = Chain {
            capacity,
            conductance,
            rise: sheets.iter().map(|s| s.rise).collect(),
            segments: sheets
                .iter()
                .enumerate()
                .map(|(i, s)| Segment {
                    start: i,
                    end: i + 1,
                    law: s.law,
                })
                .collect(),
            first: Edge::new(surface.top, surface.top_area),
            last: Edge::new(surface.rest, surface.rest_area),
            varying,
        };
        let grid = Grid {
            size: vec![1.0; n],
            depth: vec![0.0; n],
            volume: vec![1.0; n],
            area: vec![1.0; n + 1],
            starts: (0..=n).collect(),
        };
        (chain, sheets, grid)
    }

    /// The mix in depth, its vessel as one more cell at its surface.
    fn deep_chain(&self, mix: Sheet, body: &Body, surface: Surface) -> (Chain, Vec<Sheet>, Grid) {
        let mut grid = Grid::growing(&mix, body.area, body.exponent(), CELLS);
        let resistance = self
            .vessel
            .map_or(0.0, |v| v.thickness.si() / v.conductivity.si());
        let edge = together(vec![
            CooledFace {
                law: surface.top,
                area: surface.top_area,
                resistance: 0.0,
            },
            CooledFace {
                law: surface.rest,
                area: surface.rest_area,
                resistance,
            },
        ]);
        let mut sheets = vec![mix];
        let mut chain = grid.chain(&sheets, 1, &[EdgeLaw::Closed.into(), edge.into()], 0.0);
        if let Some(v) = &self.vessel {
            let n = grid.size.len();
            let heat = v.mass.si() * v.specific_heat.si();
            let inside = 1e7 * body.area;
            let skin = Sheet {
                thickness: v.thickness.si(),
                conductivity: v.conductivity.si(),
                conductivity_slope: 0.0,
                ..inert(&sheets[0], heat)
            };
            chain.capacity.push(heat);
            chain.conductance.push(inside);
            chain.rise.push(0.0);
            chain.segments.push(Segment {
                start: n,
                end: n + 1,
                law: Law::Inert,
            });
            if let Some(v) = &mut chain.varying {
                v.near.push(1.0 / inside);
                v.far.push(1.0 / inside);
                v.contact.push(0.0);
                v.conductivity_slope.push(0.0);
                v.capacity_slope.push(0.0);
                v.reference.push(skin.reference);
            }
            grid.size.push(skin.thickness);
            grid.depth.push(body.half_depth + 0.5 * skin.thickness);
            grid.volume.push(body.area * skin.thickness);
            grid.area.push(body.area);
            grid.starts.push(n + 1);
            sheets.push(skin);
        }
        (chain, sheets, grid)
    }

    /// Follows the cup; `wanted` are temperatures whose first showing the probe is asked for, rising.
    pub(super) fn simulate(
        &self,
        work: &mut Workspace,
        until: Until,
        wanted: &[f64],
        cancel: Cancel<'_>,
    ) -> Result<Simulated> {
        cancel.check()?;
        let PlainCup {
            mix,
            surface,
            duration,
            depth,
            body,
            deep,
            probe,
        } = self.plain()?;
        let (mut chain, sheets, grid) = if deep {
            self.deep_chain(mix, &body, surface)
        } else {
            self.chain(mix, body.volume, surface)
        };
        // Cells of the mix, and of all.
        let (cells, n) = (grid.starts[1], grid.size.len());
        let (spot, mean, inner) = if deep {
            let mean = Spot::mean(&grid, cells);
            let spot = probe.map_or_else(|| mean.clone(), |x| Spot::at(&grid, cells, x));
            (spot, mean, Spot::at(&grid, cells, 0.0))
        } else {
            (Spot::only(), Spot::only(), Spot::only())
        };
        let mut track = Track::new(&sheets, &grid, f64::INFINITY, CHARS, None);
        let view = ChainView::new(&grid, &sheets, sheets.len(), &chain);
        let tol = match until {
            Until::Said => STEPS,
            Until::Paced => STEPS.times(LOOSE),
            Until::Read | Until::Logged | Until::Warm => FINE_STEPS,
        };
        let mut stops: Vec<f64> = Vec::new();
        for e in [&chain.first, &chain.last] {
            if let Some(d) = e.drive() {
                stops.extend(d.corners());
            }
        }
        stops.push(duration);
        stops.retain(|&t| t > 0.0 && t <= duration);
        stops.sort_by(f64::total_cmp);
        stops.dedup();
        work.fit(&chain);
        for (k, s) in sheets.iter().enumerate() {
            for i in grid.starts[k]..grid.starts[k + 1] {
                work.now.temperature[i] = s.start;
                work.now.cure[i] = s.seed;
                work.now.second[i] = 0.0;
            }
        }
        work.pace.counts = Counts::default();
        let state = &work.now;
        track.start(&sheets, &grid, sheets.len(), 0.0, &state.temperature, &state.cure);
        let goal = self.cure.gel_at.get();
        let mut probe = Shown::new(spot, goal, wanted, &state.temperature, &state.cure);
        let mut mean = Shown::new(mean, goal, &[], &state.temperature, &state.cure);
        let mut inner = Shown::new(inner, goal, &[], &state.temperature, &state.cure);
        let mut curve = Curve::new(self.points, duration);
        if self.points > 0 {
            let start = sheets[0].start;
            curve.keep(0.0, (start, sheets[0].seed), start, start);
        }
        let mut t = 0.0;
        let (mut fastest, mut inside) = (0.0_f64, 0.0_f64);
        let mut past_peak = false;
        let mut steps = Vec::new();
        for (i, stop) in stops.into_iter().enumerate() {
            if i == 0 {
                work.begin(&mut chain, t, tol);
            } else {
                work.resume(&mut chain, t, tol);
            }
            let mut asked = 0;
            let (now, next) = work.advance(&RODAS4, &mut chain, t, stop, tol, MOST_STEPS, &mut |s| {
                steps.push(s.t1);
                track.step(s, &sheets, &grid, sheets.len(), &view);
                probe.step(s);
                mean.step(s);
                if deep {
                    inner.step(s);
                }
                curve.step(s, cells, &probe, &mean);
                for t in &s.after.temperature[..cells] {
                    holds_heat(sheets[0].capacity_slope, sheets[0].reference, *t)?;
                }
                let rate = s.slope_after.cure[..cells]
                    .iter()
                    .fold(0.0, |m: f64, &r| m.max(r));
                fastest = fastest.max(rate);
                if deep {
                    inside = inside.max((track.hottest_now - s.slope_after.edges[1].surface).abs());
                }
                // What still reacts can not warm it again.
                let spent = rate < 0.25 * fastest;
                past_peak = spent && probe.now < probe.top.value;
                asked += n;
                if asked >= ASK_EVERY {
                    asked = 0;
                    cancel.check()?;
                }
                let done = match until {
                    Until::Said | Until::Paced => self.stop_when_cooling && track.settled(&sheets, &grid),
                    Until::Logged => false,
                    Until::Read => spent && probe.now < probe.top.value - 1.0 && !probe.gel.is_nan(),
                    Until::Warm => probe.reached.last().is_none_or(|r| !r.1.is_nan()) && !probe.gel.is_nan(),
                };
                if done || track.hottest_now > ABSURD || track.rising_now > EXPLODES {
                    return Ok(Next::Stop);
                }
                Ok(Next::Go)
            })?;
            t = now;
            if next == Next::Stop {
                break;
            }
        }
        Ok(Simulated {
            sheets,
            track,
            probe,
            mean,
            inner,
            inside,
            depth,
            body,
            cells: deep.then_some(cells),
            curve,
            steps,
            past_peak,
            capacity: chain.capacity,
        })
    }

    /// Gel and peak of a cup of one temperature ([`Resolve::Lumped`]), and of each of those that are moved a little from it, in the
    /// same steps. On all cores.
    pub(crate) fn followed_beside(
        &self,
        moved: &[Cup],
        cancel: Cancel<'_>,
    ) -> Result<(CupBrief, Vec<CupBrief>)> {
        let paced = with_workspace(|work| self.simulate(work, Until::Paced, &[], cancel))?;
        let briefs = in_bundles(moved, |some| Cup::side_by_side(some, &paced.steps, cancel))?;
        match briefs {
            Some(briefs) if paced.cells.is_none() => Ok((CupBrief::of(&paced.track.layers[0])?, briefs)),
            _ => {
                let briefs = moved.iter().map(|c| c.brief(cancel));
                Ok((self.brief(cancel)?, briefs.collect::<Result<_>>()?))
            }
        }
    }

    /// In steps of its own, so fine that it may be told apart from others.
    pub(super) fn brief(&self, cancel: Cancel<'_>) -> Result<CupBrief> {
        let s = with_workspace(|work| self.simulate(work, Until::Logged, &[], cancel))?;
        CupBrief::of(&s.track.layers[0])
    }

    /// None where they are not alike.
    fn side_by_side(cups: &[Cup], steps: &[f64], cancel: Cancel<'_>) -> Result<Option<Vec<CupBrief>>> {
        cancel.check()?;
        let plain = cups.iter().map(Cup::as_plain).collect::<Result<Vec<_>>>()?;
        let duration = plain.first().map_or(0.0, |p| p.duration);
        let steady = |law: &EdgeLaw| law.drive().is_none_or(|d| d.corners().len() == 1);
        let simple = |p: &PlainCup| {
            !p.deep && p.duration == duration && steady(&p.surface.top) && steady(&p.surface.rest)
        };
        if !plain.iter().all(simple) {
            return Ok(None);
        }
        let (mut chains, mut all) = (vec![], vec![]);
        for (cup, p) in cups.iter().zip(plain) {
            let (chain, sheets, grid) = cup.chain(p.mix, p.body.volume, p.surface);
            let view = ChainView::new(&grid, &sheets, sheets.len(), &chain);
            let mut track = Track::new(&sheets, &grid, f64::INFINITY, CHARS, None);
            let of = |f: fn(&Sheet) -> f64| sheets.iter().map(f).collect::<Vec<f64>>();
            let (temperature, cure) = (of(|s| s.start), of(|s| s.seed));
            track.start(&sheets, &grid, sheets.len(), 0.0, &temperature, &cure);
            chains.push(chain);
            all.push((sheets, grid, view, track));
        }
        let Some(mut work) = Alike::of(&chains) else {
            return Ok(None);
        };
        for (b, (sheets, ..)) in all.iter().enumerate() {
            for (i, s) in sheets.iter().enumerate() {
                work.set(b, i, s.start, s.seed);
            }
        }
        let mut asked = 0;
        let tol = STEPS.times(LOOSE);
        work.begin(0.0, tol);
        let mut room = View::default();
        work.advance(&RODAS4, (0.0, duration), steps, tol, &mut |g| {
            let (sheets, grid, view, track) = &mut all[g.body];
            track.glance(g, &mut room, (sheets, grid), sheets.len(), view, duration);
            asked += grid.size.len();
            if asked >= ASK_EVERY {
                asked = 0;
                cancel.check()?;
            }
            let done = cups[g.body].stop_when_cooling && track.settled(sheets, grid);
            if done || track.hottest_now > ABSURD || track.rising_now > EXPLODES {
                return Ok(Next::Stop);
            }
            Ok(Next::Go)
        })?;
        all.iter()
            .map(|(.., track)| CupBrief::of(&track.layers[0]))
            .collect::<Result<_>>()
            .map(Some)
    }

    /// Film coefficient that the Biot number is built with, around a mix that is `hot` kelvin, W/(m² K).
    fn film(&self, hot: f64) -> f64 {
        match &self.place {
            Place::Bench { air, emissivity } => {
                Surroundings::new(Stance::Vertical, self.diameter, *emissivity)
                    // A charred cup is not asked how fair one temperature is.
                    .both(hot.min(CHARS), air.extremes().0)
            }
            Place::Bath { coefficient, .. } | Place::Coefficient { coefficient, .. } => coefficient.si(),
            Place::Insulated => 0.0,
        }
    }
}

/// How fine the cells of a cup are, of what a wall's first pass has: the peak then stands within 0.2 K of finer ones'.
const CELLS: f64 = 0.7;

/// The cells are as fine as for a front of this share of the depth, or finer.
const FRONT: f64 = 0.125;

/// Steps times cells between two looks at [`Cancel`].
const ASK_EVERY: usize = 512;

/// A vessel's cell of `heat` J/K beside a mix.
fn inert(mix: &Sheet, heat: f64) -> Sheet {
    Sheet {
        capacity: heat,
        law: Law::Inert,
        rise: 0.0,
        seed: 0.0,
        capacity_slope: 0.0,
        gel: f64::NAN,
        demould: f64::NAN,
        ..mix.clone()
    }
}

impl Simulated {
    /// Cells of the mix.
    fn mix(&self) -> usize {
        self.cells.unwrap_or(1)
    }

    /// Hottest place of the mix and when.
    pub(super) fn peak(&self) -> (f64, f64) {
        let mix = &self.track.layers[0];
        if self.cells.is_none() {
            return (mix.top.value, mix.top.time);
        }
        // Between cells, or within the first.
        let between = (mix.hottest.1.max(mix.top.value), mix.top.time);
        let inner = (self.inner.top.value, self.inner.top.time);
        if inner.0 > between.0 { inner } else { between }
    }

    /// Mean conversion and temperature of the mix at the end.
    pub(super) fn end(&self, work: &Workspace) -> (f64, f64) {
        (
            self.mean.cure_of(&work.now.cure),
            self.mean.temperature_of(&work.now.temperature),
        )
    }

    /// What does not add up of the heat, over the heat turned over.
    pub(super) fn residual(&self, work: &Workspace) -> f64 {
        let (capacity, mix) = (&self.capacity, self.mix());
        let (mut released, mut stored) = (0.0, 0.0);
        for (i, c) in capacity.iter().enumerate() {
            let s = &self.sheets[usize::from(i >= mix)];
            released += c * s.rise * (work.now.cure[i] - s.seed);
            let h = |t: f64| (t - s.reference) + 0.5 * s.capacity_slope * (t - s.reference).powi(2);
            stored += c * (h(work.now.temperature[i]) - h(s.start));
        }
        let through = self.track.heat_in[0] + self.track.heat_in[1];
        let turned = released.abs() + stored.abs() + through.abs();
        let warming = NEXT_TO_NOTHING * capacity.iter().sum::<f64>();
        (released + through - stored) / turned.max(warming)
    }
}
