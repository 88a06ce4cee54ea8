//! A wall of layers in plane, cylindrical or spherical coordinates: temperature and conversion over time and depth.
//!
//! In every layer `rho c dT/dt = (1/x^s) d/dx (x^s k dT/dx) + rho H da/dt` with `s` = 0, 1, 2 and the cure law for
//! `da/dt`; heat that a cell sets free warms it and flows to its neighbours, through contacts, and out of the faces.
//! Finite volumes in space, error-controlled linearly implicit steps in time (`kernel.rs`).
//!
//! **Space error.** A reaction front can be thinner than a cell, and the peak beside the face then comes out many
//! kelvin low. So every run is made twice, on cells of two sizes, and refined until the peak's estimated error is
//! below [`WallRun::cells`]'s tolerance; where it can not be reached, the answer says so.

use crate::noun::Noun;
use rayon::prelude::*;

use super::chemistry::{Law, Rates};
use super::edge::EdgeLaw;
use super::face::Face;
use super::grid::{Grid, Sheet};
use super::kernel::{Counts, Next, Tolerance, Workspace};
use super::layer::{Layer, holds_heat};
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, Record, Top, Track};
use crate::cancel::Cancel;
use crate::check::between;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    DegreeOfCure, Length, Quantity, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Standing, Why};

/// Hotter than this a cured resin chars, and no kinetics was fitted.
pub(crate) const CHARS: f64 = 573.15;
/// Hotter than this the run is stopped.
const ABSURD: f64 = 1500.0;
/// Steps times cells between two looks at [`Cancel`]: a millisecond's work or less.
const ASK_EVERY: usize = 4096;
/// Most temperatures (and as many conversions) kept over time and depth: 64 MB.
const MOST_RECORDED: usize = 4_000_000;
/// Most steps of one pass.
const MOST_STEPS: usize = 200_000;

/// The shape of a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Form {
    /// Flat; heats are per square metre.
    #[default]
    Plane,
    /// Around an axis; heats are per metre of length.
    Cylinder,
    /// Around a point; heats are of the whole ball.
    Sphere,
}

/// Which way layers are laid on a curved wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Grows {
    /// On a core, away from the axis.
    Outward,
    /// In a mould, towards the axis; a solid pour ends at the axis itself.
    #[default]
    Inward,
}

/// Layers between two faces, over a time.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Wall {
    /// Plane, cylinder or sphere.
    #[noun(default)]
    pub form: Form,
    /// Radius of the first face; needed unless plane.
    pub first_radius: Option<Length>,
    /// Whether layers are laid outward or inward of the first face; inward where not given.
    #[noun(default)]
    pub grows: Grows,
    /// From the first face to the last, in the order they are laid.
    pub layers: Vec<Layer>,
    /// The face before the first layer.
    pub first_face: Face,
    /// The face after the last layer that is laid so far.
    pub last_face: Face,
    /// How long to follow it, from time zero.
    pub duration: Time,
    /// Stop once all layers have gelled (and reached their demould criterion) and everything cools.
    #[noun(default)]
    pub stop_when_cooling: bool,
    /// Stop once all layers have gelled (and reached their demould criterion) and everything is cooler than this.
    pub stop_when_below: Option<ThermodynamicTemperature>,
    /// Count the time that each layer spends above this.
    pub time_above: Option<ThermodynamicTemperature>,
    /// Number of evenly spaced times at which temperature and conversion are kept over depth, 100 000 and, times the
    /// number of cells, four million at most; none where 0.
    #[noun(default)]
    pub profiles: u32,
    /// Largest error of the peak from the size of the cells and of the steps; 0.5 K where not given.
    pub peak_within: Option<TemperatureInterval>,
    /// Most cells to refine to; 800 where not given.
    pub most_cells: Option<u32>,
}

/// A peak: how hot, when, where.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Peak {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// When.
    pub time: Time,
    /// Depth below the first face.
    pub depth: Length,
    /// The layer it is in, or the face or interface it is at.
    pub place: String,
}

/// What became of one layer.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct LayerRun {
    /// The layer.
    pub name: String,
    /// Its hottest.
    pub peak: Peak,
    /// When its first part gelled.
    pub gel_begins: Option<Time>,
    /// When all of it had gelled.
    pub gel_ends: Option<Time>,
    /// When all of it had reached its demould criterion.
    pub demould: Option<Time>,
    /// Lowest conversion at the end.
    pub least_cure: Option<DegreeOfCure>,
    /// Mean conversion at the end.
    pub mean_cure: Option<DegreeOfCure>,
    /// Mean temperature at the end.
    pub mean_temperature: ThermodynamicTemperature,
    /// Longest time that any part of it spent above [`Wall::time_above`].
    pub time_above: Option<Time>,
}

/// How fine the cells were, and what that did to the peak.
#[derive(Debug, Clone, PartialEq, Noun)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Ended {
    /// At the end of the time asked for.
    Duration,
    /// Earlier, all being gelled and cooling.
    Cooling,
    /// Stopped beyond any temperature at which the model means something.
    Runaway,
}

/// Heat, per square metre of a plane, per metre of a cylinder, or of the whole ball.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct HeatBalance {
    /// Set free by cure, J.
    pub released_j: f64,
    /// Come in through the first face, J; negative: lost.
    pub through_first_face_j: f64,
    /// Come in through the last face, J.
    pub through_last_face_j: f64,
    /// Stored in the layers over what they were laid with, J.
    pub stored_j: f64,
    /// What does not add up, over the heat turned over.
    pub residual: f64,
}

/// Temperature and conversion over time and depth, in SI.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Profiles {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Depths of the cells' centres below the first face, m.
    pub depth_m: Vec<f64>,
    /// Layer of each depth, counted from 0.
    pub layer: Vec<usize>,
    /// Temperature in K: a row a time, a column a depth; null where not laid yet.
    pub temperature_k: Vec<Vec<Option<f64>>>,
    /// Degree of cure, 0 to 1.
    pub cure: Vec<Vec<Option<f64>>>,
}

/// What became of a wall.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WallRun {
    /// Hottest anywhere, at any time.
    pub peak: Peak,
    /// Each layer.
    pub layers: Vec<LayerRun>,
    /// The first face, each interface, the last face: hottest.
    pub surfaces: Vec<Peak>,
    /// Steepest temperature gradient within a layer, K/m.
    pub steepest_gradient_k_per_m: f64,
    /// Largest difference between the hottest and the coldest part of what reacts.
    pub largest_difference: TemperatureInterval,
    /// When that was.
    pub largest_difference_at: Time,
    /// Largest difference, between two parts of one layer, of the conversion that they have made since they gelled: what
    /// sets later shrinks onto what has set.
    pub largest_cure_difference: DegreeOfCure,
    /// Fastest rise anywhere, K/s, the mark of a runaway.
    pub fastest_rise_k_per_s: f64,
    /// When that was.
    pub fastest_rise_at: Time,
    /// When it first passed 300 °C, where resin chars, or began to heat itself without bound: a runaway.
    pub runaway: Option<Time>,
    /// How it ended.
    pub ended: Ended,
    /// When it ended.
    pub end: Time,
    /// Energy balance.
    pub heat: HeatBalance,
    /// Space error.
    pub cells: Cells,
    /// Steps of the final run: accepted.
    pub steps: usize,
    /// Steps of the final run: rejected and made again smaller.
    pub steps_rejected: usize,
    /// Over time and depth, where asked for.
    pub profiles: Option<Profiles>,
    /// What lies outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equations and sources.
    pub why: Why,
}

impl WallRun {
    /// The chain behind the answer.
    pub fn why(&self) -> &Why {
        &self.why
    }
}

/// A checked wall in plain SI.
pub(crate) struct Plan {
    sheets: Vec<Sheet>,
    form: Form,
    radius: f64,
    grows: Grows,
    faces: [EdgeLaw; 2],
    duration: f64,
    /// Stop once settled and cooler than this; never where -infinity.
    stop_below: f64,
    limit: f64,
    rows: usize,
    tolerance: f64,
    most: usize,
    mirrored: bool,
}

/// What one pass on one grid gave.
pub(crate) struct Pass {
    grid: Grid,
    track: Track,
    end: f64,
    ended: Ended,
    counts: Counts,
    final_temperature: Vec<f64>,
    final_cure: Vec<f64>,
}

impl Pass {
    /// The layer that got hottest.
    fn hottest(&self) -> usize {
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

impl Wall {
    /// A plane wall.
    pub fn plane(layers: Vec<Layer>, first_face: Face, last_face: Face, duration: Time) -> Self {
        Wall {
            form: Form::Plane,
            first_radius: None,
            grows: Grows::Inward,
            layers,
            first_face,
            last_face,
            duration,
            stop_when_cooling: false,
            stop_when_below: None,
            time_above: None,
            profiles: 0,
            peak_within: None,
            most_cells: None,
        }
    }

    /// Layers on the inside of a cylinder or a sphere; a last face at the axis must be [`Face::Symmetric`].
    pub fn inside(
        form: Form,
        first_radius: Length,
        layers: Vec<Layer>,
        first_face: Face,
        last_face: Face,
        duration: Time,
    ) -> Self {
        Wall {
            form,
            first_radius: Some(first_radius),
            ..Wall::plane(layers, first_face, last_face, duration)
        }
    }

    /// Layers on the outside of a cylinder or a sphere.
    pub fn outside(
        form: Form,
        first_radius: Length,
        layers: Vec<Layer>,
        first_face: Face,
        last_face: Face,
        duration: Time,
    ) -> Self {
        Wall {
            grows: Grows::Outward,
            ..Wall::inside(form, first_radius, layers, first_face, last_face, duration)
        }
    }

    pub(crate) fn plan(&self) -> Result<Plan> {
        if self.layers.is_empty() {
            return Err(Error::out_of_range(
                "layers",
                "none",
                "one layer or more",
                "give the layers from the first face to the last",
            ));
        }
        if self.layers.len() > 100 {
            return Err(Error::out_of_range(
                "layers",
                self.layers.len(),
                "at most 100",
                "take plies of one lay-up as one layer",
            ));
        }
        let duration = between("duration", self.duration, 1e-3, 1e8, "give for example '6 h'")?;
        let tolerance = match self.peak_within {
            Some(t) => between("peak_within", t, 1e-3, 20.0, "give for example '0.5 K'")?,
            None => 0.5,
        };
        let most = self.most_cells.unwrap_or(800);
        if !(8..=20_000).contains(&most) {
            return Err(Error::out_of_range(
                "most_cells",
                most,
                "8 to 20000",
                "cells are laid where they are needed: some tens suffice, 800 is the default",
            ));
        }
        if self.profiles > 100_000 {
            return Err(Error::out_of_range(
                "profiles",
                self.profiles,
                "0 to 100000",
                "200 draw a smooth curve",
            ));
        }
        let mut sheets = Vec::with_capacity(self.layers.len());
        let mut before: Option<&Layer> = None;
        let mut hottest_start = f64::NEG_INFINITY;
        for (i, l) in self.layers.iter().enumerate() {
            let at = |e: Error| e.within(format_args!("layers[{i}]"));
            let kernel = l.check().map_err(at)?;
            if let Some(b) = before
                && l.laid() < b.laid()
            {
                return Err(at(Error::inconsistent(
                    "laid_at",
                    show(Time::from_si(l.laid())?),
                    format!(
                        "{} ('{}', the layer beneath) or later",
                        show(Time::from_si(b.laid())?),
                        b.name
                    ),
                    "layers are given in the order they are laid",
                )));
            }
            if l.laid() >= duration {
                return Err(at(Error::inconsistent(
                    "laid_at",
                    show(Time::from_si(l.laid())?),
                    format!("before the run ends at {}", show(self.duration)),
                    "lengthen the duration",
                )));
            }
            before = Some(l);
            let capacity = l.thermal.density.si() * l.thermal.specific_heat.si();
            hottest_start = hottest_start.max(l.starts_at.si());
            sheets.push(Sheet {
                thickness: l.thickness.si(),
                capacity,
                conductivity: l.thermal.conductivity.si(),
                capacity_slope: l.thermal.specific_heat_slope.map_or(0.0, Quantity::si),
                conductivity_slope: l.thermal.conductivity_slope.map_or(0.0, Quantity::si),
                reference: l.thermal.reference.map_or(298.15, Quantity::si),
                start: l.starts_at.si(),
                laid: l.laid(),
                contact: l.contact.map_or(0.0, |h| 1.0 / h.si()),
                rise: l
                    .cure
                    .as_ref()
                    .map_or(0.0, |c| c.heat_per_mass() / l.thermal.specific_heat.si()),
                law: kernel.as_ref().map_or(Law::Inert, Law::from),
                seed: kernel.map_or(0.0, |k| k.seed),
                gel: l.cure.as_ref().map_or(f64::NAN, |c| c.gel_at.get()),
                demould: l
                    .cure
                    .as_ref()
                    .and_then(|c| c.demould_at)
                    .map_or(f64::NAN, DegreeOfCure::get),
                front: 0.0,
            });
        }
        if sheets[0].laid > 0.0 {
            return Err(Error::inconsistent(
                "layers[0].laid_at",
                show(Time::from_si(sheets[0].laid)?),
                "0 s: the clock starts with the first layer",
                "count the other layers' times from the first one",
            ));
        }
        let total: f64 = sheets.iter().map(|s| s.thickness).sum();
        let radius = match (self.form, self.first_radius) {
            (Form::Plane, None) => 0.0,
            (Form::Plane, Some(r)) => {
                return Err(Error::inconsistent(
                    "first_radius",
                    show(r),
                    "no radius on a plane wall",
                    "leave it out, or set `form` to cylinder or sphere",
                ));
            }
            (_, None) => {
                return Err(Error::out_of_range(
                    "first_radius",
                    "none",
                    "the radius of the first face",
                    "give it, or set `form` to plane",
                ));
            }
            (_, Some(r)) => between("first_radius", r, 0.0, 100.0, "give the radius of the first face")?,
        };
        if self.form != Form::Plane {
            let fits = match self.grows {
                Grows::Inward => total <= radius * (1.0 + 1e-9),
                Grows::Outward => true,
            };
            if !fits {
                return Err(Error::inconsistent(
                    "layers",
                    format!("{} thick together", show(Length::from_si(total)?)),
                    format!("at most the radius, {}", show(Length::from_si(radius)?)),
                    "the layers would pass the axis: make them thinner",
                ));
            }
            let at_axis = match self.grows {
                Grows::Inward => (total - radius).abs() <= 1e-9 * radius,
                Grows::Outward => radius == 0.0,
            };
            let axis_face = if self.grows == Grows::Inward {
                &self.last_face
            } else {
                &self.first_face
            };
            if at_axis && !matches!(axis_face, Face::Symmetric | Face::Insulated) {
                return Err(Error::inconsistent(
                    if self.grows == Grows::Inward {
                        "last_face"
                    } else {
                        "first_face"
                    },
                    "a face at the axis",
                    "symmetric",
                    "a solid body has no face at its axis: make it symmetric",
                ));
            }
        }
        let faces = [
            self.first_face
                .law(0.0, duration)
                .map_err(|e| e.within("first_face"))?,
            self.last_face
                .law(0.0, duration)
                .map_err(|e| e.within("last_face"))?,
        ];
        let limit = match self.time_above {
            Some(t) => super::layer::temperature("time_above", t)?,
            None => f64::INFINITY,
        };
        // The thinnest front: heat diffusing over the time of the fastest reaction.
        for f in [&self.first_face, &self.last_face] {
            if let Some(c) = f.course() {
                hottest_start = hottest_start.max(c.extremes().1);
            }
        }
        for s in &mut sheets {
            if s.reacts() {
                s.front = front(s, hottest_start);
            }
        }
        // One layer between equal faces: half of it is enough.
        let mirrored = self.form == Form::Plane
            && sheets.len() == 1
            && self.first_face == self.last_face
            && !matches!(self.first_face, Face::Symmetric | Face::Insulated);
        let mut plan = Plan {
            sheets,
            form: self.form,
            radius,
            grows: self.grows,
            faces,
            duration,
            stop_below: match self.stop_when_below {
                Some(t) => super::layer::temperature("stop_when_below", t)?,
                None if self.stop_when_cooling => f64::INFINITY,
                None => f64::NEG_INFINITY,
            },
            limit,
            rows: self.profiles as usize,
            tolerance,
            most: most as usize,
            mirrored,
        };
        if mirrored {
            plan.sheets[0].thickness *= 0.5;
            plan.faces[1] = EdgeLaw::Closed;
        }
        Ok(plan)
    }

    /// Follows the wall.
    ///
    /// # Errors
    /// As the layers and faces refuse, naming the field; `Inconsistent` for layers out of order, a course that does not
    /// cover the run, layers that pass the axis; `NotConverged` for a step size that collapses.
    pub fn run(&self) -> Result<WallRun> {
        self.run_with(Cancel::NEVER)
    }

    /// The same, cancellable.
    ///
    /// # Errors
    /// As [`run`](Self::run); `Cancelled`.
    pub fn run_with(&self, cancel: Cancel) -> Result<WallRun> {
        self.run_in(&mut Workspace::new(), cancel)
    }

    pub(crate) fn run_in(&self, work: &mut Workspace, cancel: Cancel) -> Result<WallRun> {
        let plan = self.plan()?;
        let (pass, cells) = plan.refined(work, cancel)?;
        self.answer(&plan, pass, cells)
    }

    fn answer(&self, plan: &Plan, pass: Pass, cells: Cells) -> Result<WallRun> {
        let grid = &pass.grid;
        let track = &pass.track;
        let total: f64 = self.layers.iter().map(|l| l.thickness.si()).sum();
        let peak = |time: f64, place: &str, (depth, value): (f64, f64)| -> Result<Peak> {
            Ok(Peak {
                temperature: ThermodynamicTemperature::from_si(value)?,
                time: Time::from_si(time)?,
                depth: Length::from_si(depth)?,
                place: place.to_owned(),
            })
        };
        let time = |t: f64| {
            if t.is_nan() {
                Ok(None)
            } else {
                Time::from_si(t).map(Some)
            }
        };
        // A layer that a runaway forestalled is answered as it would have been laid.
        let seen = |top: Top, layer: usize| {
            if top.value.is_finite() {
                (top.time, top.value)
            } else {
                (plan.sheets[layer].laid, plan.sheets[layer].start)
            }
        };
        let mut layers = Vec::with_capacity(self.layers.len());
        let twice = if plan.mirrored { 2.0 } else { 1.0 };
        let (mut released, mut stored, mut capacity) = (0.0, 0.0, 0.0);
        let mut outside: Option<String> = None;
        let coldest = self
            .layers
            .iter()
            .map(|l| l.starts_at.si())
            .chain(
                [&self.first_face, &self.last_face]
                    .into_iter()
                    .filter_map(Face::course)
                    .map(|c| c.extremes().0),
            )
            .fold(f64::INFINITY, f64::min);
        for (k, (l, s)) in self.layers.iter().zip(&plan.sheets).enumerate() {
            let t = &track.layers[k];
            let range = grid.starts[k]..grid.starts[k + 1];
            let (time_of_peak, _) = seen(t.top, k);
            let hottest = if t.hottest.1.is_finite() {
                t.hottest
            } else {
                (grid.depth[grid.starts[k]], s.start)
            };
            let volume: f64 = grid.volume[range.clone()].iter().sum();
            let mean = |y: &[f64]| range.clone().map(|i| y[i] * grid.volume[i]).sum::<f64>() / volume;
            let (mean_t, mean_a) = (mean(&pass.final_temperature), mean(&pass.final_cure));
            released += twice * volume * s.capacity * s.rise * (mean_a - s.seed);
            capacity += twice * volume * s.capacity;
            for i in range.clone() {
                let enthalpy =
                    |t: f64| (t - s.reference) + 0.5 * s.capacity_slope * (t - s.reference).powi(2);
                stored += twice
                    * grid.volume[i]
                    * s.capacity
                    * (enthalpy(pass.final_temperature[i]) - enthalpy(s.start));
            }
            let least = range
                .clone()
                .map(|i| pass.final_cure[i])
                .fold(f64::INFINITY, f64::min);
            let above = range.clone().map(|i| track.above[i]).fold(0.0, f64::max);
            layers.push(LayerRun {
                name: l.name.clone(),
                peak: peak(time_of_peak, &l.name, hottest)?,
                gel_begins: time(t.gel_first)?,
                gel_ends: if t.all_gelled(range.len()) {
                    time(t.gel_last)?
                } else {
                    None
                },
                demould: if t.all_demoulded(range.len()) {
                    time(t.demould)?
                } else {
                    None
                },
                least_cure: if s.reacts() {
                    Some(DegreeOfCure::new(least.clamp(0.0, 1.0))?)
                } else {
                    None
                },
                mean_cure: if s.reacts() {
                    Some(DegreeOfCure::new(mean_a.clamp(0.0, 1.0))?)
                } else {
                    None
                },
                mean_temperature: ThermodynamicTemperature::from_si(mean_t)?,
                time_above: if self.time_above.is_some() {
                    Some(Time::from_si(above)?)
                } else {
                    None
                },
            });
            if let Some(c) = &l.cure
                && outside.is_none()
            {
                outside = c
                    .kinetics
                    .outside_fitted(
                        ThermodynamicTemperature::from_si(coldest.min(l.starts_at.si()))?,
                        ThermodynamicTemperature::from_si(hottest.1)?,
                    )
                    .map(|text| format!("{}: {text}", l.name));
            }
        }
        let hot = pass.hottest();
        let mut surfaces = Vec::with_capacity(self.layers.len() + 1);
        let mut depth = 0.0;
        for k in 0..=self.layers.len() {
            let place = match k {
                0 => format!("first face ({})", self.layers[0].name),
                k if k == self.layers.len() => format!("last face ({})", self.layers[k - 1].name),
                k => format!("{} / {}", self.layers[k - 1].name, self.layers[k].name),
            };
            let watch = if plan.mirrored { 0 } else { k };
            let (when, value) = seen(track.watches[watch].top, k.saturating_sub(1));
            surfaces.push(peak(when, &place, (depth, value))?);
            if let Some(l) = self.layers.get(k) {
                depth += l.thickness.si();
            }
        }
        let (first, last) = if plan.mirrored {
            (track.heat_in[0], track.heat_in[0])
        } else {
            (track.heat_in[0], track.heat_in[1])
        };
        let turned = released.abs() + first.abs() + last.abs() + stored.abs();
        let residual = (released + first + last - stored) / turned.max(NEXT_TO_NOTHING * capacity);
        let profiles = track
            .record
            .as_ref()
            .map(|r| profiles(r, grid, plan.mirrored, total));
        let mut cautions = Vec::new();
        if let Some(t) = track.runaway {
            cautions.push(format!(
                "{} Do not cast this; make the pour thinner or the catalyst less, within the product's data sheet.",
                ran_away(t)?
            ));
        }
        if let Some(forestalled) = self
            .layers
            .iter()
            .find(|l| pass.ended == Ended::Runaway && l.laid() > pass.end)
        {
            cautions.push(format!(
                "'{}' and what comes after it was not laid by then: it stands with its own temperature.",
                forestalled.name
            ));
        }
        cautions.extend(unbalanced(residual, pass.ended == Ended::Runaway));
        if !cells.converged {
            cautions.push(format!(
                "the peak is not settled on {} cells: it may be off by {} or more",
                cells.count,
                show(cells.peak_error)
            ));
        }
        let top = track.layers[hot];
        let peak = peak(top.top.time, &self.layers[hot].name, top.hottest)?;
        let why = self.why(&peak, &cells);
        Ok(WallRun {
            peak,
            layers,
            surfaces,
            steepest_gradient_k_per_m: track.gradient.value.max(0.0),
            largest_difference: TemperatureInterval::from_si(track.spread.value.max(0.0))?,
            largest_difference_at: Time::from_si(track.spread.time)?,
            largest_cure_difference: DegreeOfCure::new(track.uneven.clamp(0.0, 1.0))?,
            fastest_rise_k_per_s: track.rise.value.max(0.0),
            fastest_rise_at: Time::from_si(track.rise.time)?,
            runaway: time(track.runaway.unwrap_or(f64::NAN))?,
            ended: pass.ended,
            end: Time::from_si(pass.end)?,
            heat: HeatBalance {
                released_j: released,
                through_first_face_j: first,
                through_last_face_j: last,
                stored_j: stored,
                residual,
            },
            cells,
            steps: pass.counts.accepted,
            steps_rejected: pass.counts.rejected,
            profiles,
            extrapolated: outside,
            cautions,
            why,
        })
    }

    fn why(&self, peak: &Peak, cells: &Cells) -> Why {
        let mut from = Vec::new();
        for l in &self.layers {
            let mut parts = vec![
                Why::given("thickness", show(l.thickness)),
                Why::given("density", show(l.thermal.density)),
                Why::given("specific heat", show(l.thermal.specific_heat)),
                Why::given("conductivity", show(l.thermal.conductivity)),
                Why::given("starts at", show(l.starts_at)),
            ];
            if let Some(c) = &l.cure {
                parts.push(
                    Why::given("heat of reaction", show(c.kinetics.heat_of_reaction))
                        .with_source(&c.kinetics.source),
                );
                parts.push(Why::given("seed conversion", show(c.kinetics.seed)));
            }
            from.push(Why::computed(
                format!("layer '{}'", l.name),
                show(l.thickness),
                "given",
                parts,
            ));
        }
        Why::computed(
            "hottest temperature",
            show(peak.temperature),
            "rho c dT/dt = div(k grad T) + rho H da/dt; da/dt by each layer's kinetics",
            from,
        )
        .with_source(&Source {
            author: "E. Hairer, G. Wanner".into(),
            title: "Solving Ordinary Differential Equations II".into(),
            year: Some(1996),
            locator:
                "section IV.7 (linearly implicit method of order 4); finite volumes of second order in space"
                    .into(),
            standing: Standing::Published,
        })
        .with_note(format!(
            "{} cells; peak changed by {} from {} cells",
            cells.count,
            show(cells.peak_change),
            cells.compared_with
        ))
    }
}

/// What to say of a runaway.
pub(crate) fn ran_away(at: f64) -> Result<String> {
    Ok(format!(
        "runaway: beyond 300 degC, or self-heating without bound, from {} on; the mix can smoke, char and catch fire, \
         and no kinetics is fitted there.",
        show(Time::from_si(at)?)
    ))
}

/// Heat that warms everything by a thousandth of a kelvin: less is not told from rounding.
pub(crate) const NEXT_TO_NOTHING: f64 = 1e-3;

/// What to say where heat gets lost or is made. An explosion is not followed to its end.
pub(crate) fn unbalanced(residual: f64, exploded: bool) -> Option<String> {
    (residual.abs() > 0.01 && !exploded).then(|| {
        format!(
            "the heat balance is off by {:.0} % of the heat turned over: do not rely on this run",
            100.0 * residual.abs()
        )
    })
}

fn in_layer(k: usize) -> impl Fn(Error) -> Error {
    move |e| e.within(format_args!("layers[{k}]"))
}

/// Thickness of the reaction front of a layer that reacts adiabatically from `start` K.
#[allow(clippy::cast_precision_loss)]
fn front(s: &Sheet, start: f64) -> f64 {
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

fn profiles(r: &Record, grid: &Grid, mirrored: bool, total: f64) -> Profiles {
    let n = r.cells;
    let some = |x: f64| if x.is_nan() { None } else { Some(x) };
    let row = |values: &[f64], at: usize| {
        let mut v: Vec<Option<f64>> = values[at * n..(at + 1) * n].iter().map(|&x| some(x)).collect();
        if mirrored {
            v.extend(values[at * n..(at + 1) * n].iter().rev().map(|&x| some(x)));
        }
        v
    };
    let mut depth_m = grid.depth.clone();
    let mut layer: Vec<usize> = (0..n)
        .map(|i| grid.starts.partition_point(|&s| s <= i) - 1)
        .collect();
    if mirrored {
        depth_m.extend(grid.depth.iter().rev().map(|d| total - d));
        layer.extend(layer.clone());
    }
    Profiles {
        time_s: r.times[..r.rows()].to_vec(),
        depth_m,
        layer,
        temperature_k: (0..r.rows()).map(|t| row(&r.temperature, t)).collect(),
        cure: (0..r.rows()).map(|t| row(&r.cure, t)).collect(),
    }
}

impl Plan {
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
    pub(crate) fn refined(&self, work: &mut Workspace, cancel: Cancel) -> Result<(Pass, Cells)> {
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

    /// One pass on one grid. The first, `only_compared`, tells the error of the cells, which is larger than that of its steps.
    fn pass(&self, grid: Grid, work: &mut Workspace, cancel: Cancel, only_compared: bool) -> Result<Pass> {
        let n = grid.size.len();
        let record = (!only_compared && self.rows > 0).then(|| {
            let rows = self.rows;
            #[allow(clippy::cast_precision_loss)]
            let times = (0..rows).map(|i| {
                if rows == 1 {
                    self.duration
                } else {
                    self.duration * i as f64 / (rows - 1) as f64
                }
            });
            Record::new(times.collect(), n)
        });
        let mut track = Track::new(&self.sheets, &grid, self.limit, CHARS, record);
        // A quarter of a tenth of the tolerated peak error in each step.
        let loose = if only_compared { 3.0 } else { 1.0 };
        let tol = Tolerance {
            temperature: loose * (0.08 * self.tolerance).min(0.04),
            cure: loose * (5.2e-4 * self.tolerance).min(2.6e-4),
        };
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
        work.counts = Counts::default();
        let mut layers = 0;
        let mut t = 0.0;
        let mut ended = Ended::Duration;
        let mut chain = None;
        let mut view = ChainView::default();
        let mut unasked = 0;
        for stop in stops {
            let laid = self.sheets.iter().filter(|s| s.laid <= t).count();
            let chain = if laid > layers || chain.is_none() {
                let mut c = grid.chain(&self.sheets, laid, self.faces[0].clone(), self.faces[1].clone());
                view = ChainView::new(&grid, &self.sheets, laid, &c);
                work.fit(&c);
                for (k, s) in self.sheets.iter().enumerate().take(laid).skip(layers) {
                    for i in grid.starts[k]..grid.starts[k + 1] {
                        work.now.temperature[i] = s.start;
                        work.now.cure[i] = s.seed;
                        work.now.second[i] = 0.0;
                    }
                }
                layers = laid;
                track.start(
                    &self.sheets,
                    &grid,
                    layers,
                    t,
                    &work.now.temperature,
                    &work.now.cure,
                );
                work.begin(&mut c, t, tol);
                chain.insert(c)
            } else if let Some(c) = &mut chain {
                work.resume(c, t, tol);
                c
            } else {
                break;
            };
            for (k, s) in self.sheets.iter().enumerate().take(layers) {
                holds_heat(s.capacity_slope, s.reference, s.start).map_err(in_layer(k))?;
            }
            let all = layers == self.sheets.len();
            let below = self.stop_below;
            let (now, next) = work.advance(&RODAS4, chain, t, stop, tol, MOST_STEPS, &mut |s| {
                track.step(s, &self.sheets, &grid, layers, &view);
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
        let mut final_temperature = work.now.temperature[..grid.starts[layers]].to_vec();
        let mut final_cure = work.now.cure[..grid.starts[layers]].to_vec();
        // Layers that a runaway forestalled keep what they would have been laid with.
        for (k, s) in self.sheets.iter().enumerate().skip(layers) {
            let cells = grid.starts[k + 1] - grid.starts[k];
            final_temperature.extend(std::iter::repeat_n(s.start, cells));
            final_cure.extend(std::iter::repeat_n(s.seed, cells));
        }
        let counts = work.counts;
        Ok(Pass {
            grid,
            track,
            end: t,
            ended,
            counts,
            final_temperature,
            final_cure,
        })
    }
}

/// What a sweep keeps of a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WallSummary {
    /// Hottest anywhere.
    pub peak: ThermodynamicTemperature,
    /// When.
    pub peak_time: Time,
    /// How deep below the first face.
    pub peak_depth: Length,
    /// Estimated error of the peak from the size of the cells.
    pub peak_error: TemperatureInterval,
    /// Whether that is within what was asked.
    pub converged: bool,
    /// When all that cures had gelled.
    pub gelled: Option<Time>,
    /// When all that has a demould criterion had reached it.
    pub demould: Option<Time>,
    /// When it ran away, as in [`WallRun::runaway`].
    pub runaway: Option<Time>,
}

impl Wall {
    fn summary_in(&self, work: &mut Workspace, cancel: Cancel) -> Result<WallSummary> {
        // A summary keeps no profiles.
        let plan = Plan {
            rows: 0,
            ..self.plan()?
        };
        let (pass, cells) = plan.refined(work, cancel)?;
        let hot = pass.track.layers[pass.hottest()];
        let time = |t: f64| {
            if t.is_nan() {
                Ok(None)
            } else {
                Time::from_si(t).map(Some)
            }
        };
        let (mut gelled, mut demould) = (f64::NAN, f64::NAN);
        let (mut all_gelled, mut all_demoulded) = (true, true);
        for (k, (t, s)) in pass.track.layers.iter().zip(&plan.sheets).enumerate() {
            let n = pass.grid.starts[k + 1] - pass.grid.starts[k];
            if s.reacts() {
                all_gelled &= t.all_gelled(n);
                gelled = gelled.max(t.gel_last);
                if !s.demould.is_nan() {
                    all_demoulded &= t.all_demoulded(n);
                    demould = demould.max(t.demould);
                }
            }
        }
        Ok(WallSummary {
            peak: ThermodynamicTemperature::from_si(hot.hottest.1)?,
            peak_time: Time::from_si(hot.top.time)?,
            peak_depth: Length::from_si(hot.hottest.0)?,
            peak_error: cells.peak_error,
            converged: cells.converged,
            gelled: if all_gelled { time(gelled)? } else { None },
            demould: if all_demoulded { time(demould)? } else { None },
            runaway: time(pass.track.runaway.unwrap_or(f64::NAN))?,
        })
    }
}

/// Runs many walls on all cores and keeps a summary of each, the same to the last bit on any number of threads.
pub fn sweep(walls: &[Wall], cancel: Cancel) -> Vec<Result<WallSummary>> {
    walls
        .par_iter()
        .map_init(Workspace::new, |work, wall| wall.summary_in(work, cancel))
        .collect()
}
