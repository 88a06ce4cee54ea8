//! A wall of layers in plane, cylindrical or spherical coordinates: temperature and conversion over time and depth.
//!
//! In every layer `rho c dT/dt = (1/x^s) d/dx (x^s k dT/dx) + rho H da/dt` with `s` = 0, 1, 2 and the cure law for
//! `da/dt`; heat that a cell sets free warms it and flows to its neighbours, through contacts, and out of the faces.
//! Finite volumes in space, error-controlled linearly implicit steps in time (`kernel.rs`).
//!
//! **Space error.** A reaction front can be thinner than a cell, and the peak beside the face then comes out many
//! kelvin low. So every run is made twice, on cells of two sizes, and refined until the estimated errors of the peak, of
//! the faces and of gel and demould times are as small as was asked; where that can not be reached, [`Cells`] says so.

use std::sync::Arc;

use uom::si::temperature_interval::kelvin;

use super::alike::in_bundles;
use super::boiling::{Boil, Boiling};
use super::cautions::{NEXT_TO_NOTHING, ran_away, reached, unbalanced};
use super::chemistry::Law;
use super::edge::EdgeLaw;
use super::face::Face;
use super::geometry::{Geometry, Grows};
use super::grid::{Grid, Sheet};
use super::kernel::{Workspace, with_workspace};
use super::layer::Layer;
use super::passes::{Cells, Ended, LOOSE, Pass, PlainWall, Refined, TIGHT, front};
use super::track::{Record, Top};
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::cure::Vitrified;
use crate::error::{Error, Result};
use crate::noun::{self, Noun, Reader, Shape, Value, Walk, Written, questions};
use crate::quantity::{
    DegreeOfCure, Length, Quantity, RelativeAmount, Shown, TemperatureInterval, ThermodynamicTemperature,
    Time, show,
};
use crate::source::{Source, Standing, Why};

/// Layers between two faces, over a time.
#[derive(Clone, PartialEq, Noun)]
pub struct Wall {
    /// Plane, cylinder or sphere.
    #[noun(default)]
    pub form: Geometry,
    /// Radius of the first face; needed unless plane.
    #[noun(within("0 m", "100 m", "give the radius of the first face"))]
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
    #[noun(within = crate::ranges::FOLLOWED_TIME)]
    pub duration: Time,
    /// Stop once all layers have gelled (and reached their demould criterion) and everything cools.
    #[noun(default)]
    pub stop_when_cooling: bool,
    /// Stop once all layers have gelled (and reached their demould criterion) and everything is cooler than this.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub stop_when_below: Option<ThermodynamicTemperature>,
    /// Count the time that each layer spends above this.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub time_above: Option<ThermodynamicTemperature>,
    /// Number of evenly spaced times at which temperature and conversion are kept over depth; times the number of cells,
    /// four million at most.
    #[noun(default, within = crate::ranges::KEPT_TIMES)]
    pub profiles: u32,
    /// Largest error, from the size of the cells and of the steps, of the peak and of the faces' temperatures.
    #[noun(default = "0.5 K", within("0.001 K", "20 K", "give for example '0.5 K'"))]
    pub peak_within: TemperatureInterval,
    /// Largest error of gel and demould times from the size of the cells, of the time since the layer was laid.
    #[noun(default = RelativeAmount::HUNDREDTH, within("0.01 %", "50 %", "give for example '1 %'"))]
    pub times_within: RelativeAmount,
    /// Fewest cells.
    #[noun(
        default,
        within(0, 20000, "some tens suffice; leave it out to have them chosen")
    )]
    pub least_cells: u32,
    /// Most cells to refine to.
    #[noun(
        default = 800,
        within(
            8,
            20000,
            "cells are laid where they are needed: some tens suffice, 800 is the default"
        )
    )]
    pub most_cells: u32,
}

/// A peak: how hot, when, where.
#[derive(Clone, PartialEq, Noun)]
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
#[derive(Clone, PartialEq, Noun)]
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
    /// How sure that lowest conversion is, where it has vitrified; the mean is no surer.
    pub vitrified: Option<Vitrified>,
    /// Mean conversion at the end.
    pub mean_cure: Option<DegreeOfCure>,
    /// Mean temperature at the end.
    pub mean_temperature: ThermodynamicTemperature,
    /// Longest time that any part of it spent above [`Wall::time_above`].
    pub time_above: Option<Time>,
}

/// Heat, per square metre of a plane, per metre of a cylinder, or of the whole ball.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct HeatBalance {
    /// Set free by cure, J.
    pub released_j: f64,
    /// Come in through the first face, J; negative: lost.
    pub through_first_face_j: f64,
    /// Come in through the last face, J.
    pub through_last_face_j: f64,
    /// Of what passed through the faces, taken by what evaporated from them, J.
    pub evaporated_j: f64,
    /// Stored in the layers over what they were laid with, J.
    pub stored_j: f64,
    /// What does not add up, over the heat turned over.
    pub residual: f64,
}

/// Temperature and conversion over time and depth, in SI.
#[derive(Clone, PartialEq, Noun)]
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
    /// Low end of the degree of cure, which has a width where a layer has vitrified; none where no kinetics vitrifies.
    pub cure_low: Option<Vec<Vec<Option<f64>>>>,
    /// High end of the degree of cure.
    pub cure_high: Option<Vec<Vec<Option<f64>>>>,
}

/// What became of a wall.
#[derive(Clone, PartialEq, Noun)]
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
    /// Where monomer passes its boiling point before it has reacted, if it does and a layer's cure says what monomer that is.
    pub boiling: Option<Boiling>,
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

impl Wall {
    /// A plane wall.
    pub fn plane(layers: Vec<Layer>, first_face: Face, last_face: Face, duration: Time) -> Self {
        Wall {
            form: Geometry::Plane,
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
            peak_within: TemperatureInterval::new::<kelvin>(0.5),
            times_within: RelativeAmount::HUNDREDTH,
            least_cells: 0,
            most_cells: 800,
        }
    }

    /// Layers on the inside of a cylinder or a sphere; a last face at the axis must be [`Face::Symmetric`].
    pub fn inside(
        form: Geometry,
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
        form: Geometry,
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

    /// The wall in plain SI, checked.
    pub(crate) fn plain(&self) -> Result<PlainWall> {
        noun::check(self)?;
        self.as_plain()
    }

    /// The same of one whose every number is known to be within its range, or moved from one that is.
    fn as_plain(&self) -> Result<PlainWall> {
        self.agrees()?;
        let duration = self.duration.si();
        let mut sheets = self.sheets()?;
        let total: f64 = sheets.iter().map(|s| s.thickness).sum();
        let radius = self.radius(total)?;
        let faces = [
            self.first_face
                .law(duration)
                .map_err(|e| e.within("first_face"))?,
            self.last_face.law(duration).map_err(|e| e.within("last_face"))?,
        ];
        // The thinnest front: heat diffusing over the time of the fastest reaction.
        let hottest = self.outermost(f64::NEG_INFINITY, |of| of.1, f64::max);
        for s in &mut sheets {
            if s.reacts() {
                s.front = front(s, hottest);
            }
        }
        // One layer between equal faces: half of it is enough.
        let mirrored = self.form == Geometry::Plane
            && sheets.len() == 1
            && self.first_face == self.last_face
            && !matches!(self.first_face, Face::Symmetric | Face::Insulated);
        let mut plain = PlainWall {
            sheets,
            form: self.form,
            radius,
            grows: self.grows,
            faces,
            duration,
            stop_below: match self.stop_when_below {
                Some(t) => t.si(),
                None if self.stop_when_cooling => f64::INFINITY,
                None => f64::NEG_INFINITY,
            },
            limit: self.time_above.map_or(f64::INFINITY, Quantity::si),
            rows: self.profiles as usize,
            tolerance: self.peak_within.si(),
            times_within: self.times_within.get(),
            least: self.least_cells as usize,
            most: self.most_cells as usize,
            asked_times: vec![],
            asked_depths: vec![],
            mirrored,
        };
        if mirrored {
            plain.sheets[0].thickness *= 0.5;
            plain.faces[1] = EdgeLaw::Closed.into();
        }
        Ok(plain)
    }

    /// Refuses settings that contradict each other.
    fn agrees(&self) -> Result<()> {
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
        if let Some(h) = self.layers[0].contact {
            return Err(Error::inconsistent(
                "layers[0].contact",
                show(h),
                "none in the first layer, which has none before it",
                "leave it out, or give the first face a heat transfer coefficient",
            ));
        }
        if self.form == Geometry::Plane && self.grows == Grows::Outward {
            return Err(Error::inconsistent(
                "grows",
                "outward",
                "no direction on a plane wall",
                "leave it out, or set `form` to cylinder or sphere",
            ));
        }
        if let (true, Some(t)) = (self.stop_when_cooling, self.stop_when_below) {
            return Err(Error::inconsistent(
                "stop_when_below",
                show(t),
                "one of `stop_when_cooling` and `stop_when_below`",
                "leave one out: a wall that cools is stopped before it is that cool",
            ));
        }
        if self.least_cells > self.most_cells {
            return Err(Error::inconsistent(
                "least_cells",
                self.least_cells,
                format!("at most {}, the most cells", self.most_cells),
                "ask for fewer, or allow more",
            ));
        }
        if let Some(closes) = self.last_face.closes_at()
            && let Some((i, l)) = self.layers.iter().enumerate().find(|(_, l)| l.laid_at > closes)
        {
            return Err(Error::inconsistent(
                format!("layers[{i}].laid_at"),
                show(l.laid_at),
                format!("{} or before, when the mould is closed", show(closes)),
                "close the mould after the last layer",
            ));
        }
        Ok(())
    }

    /// The extreme of the temperatures that layers start at and faces see.
    fn outermost(&self, from: f64, of: fn((f64, f64)) -> f64, pick: fn(f64, f64) -> f64) -> f64 {
        let courses = [&self.first_face, &self.last_face]
            .into_iter()
            .filter_map(Face::course);
        self.layers
            .iter()
            .map(|l| l.starts_at.si())
            .chain(courses.map(|c| of(c.extremes())))
            .fold(from, pick)
    }

    /// The layers in plain SI; the thickness of their fronts is still missing.
    fn sheets(&self) -> Result<Vec<Sheet>> {
        let mut sheets = Vec::with_capacity(self.layers.len());
        let mut before: Option<&Layer> = None;
        for (i, l) in self.layers.iter().enumerate() {
            let at = |e: Error| e.within(format_args!("layers[{i}]"));
            let kernel = l.check().map_err(at)?;
            if let Some(b) = before
                && l.laid_at < b.laid_at
            {
                return Err(at(Error::inconsistent(
                    "laid_at",
                    show(l.laid_at),
                    format!("{} ('{}', the layer beneath) or later", show(b.laid_at), b.name),
                    "layers are given in the order they are laid",
                )));
            }
            if l.laid_at >= self.duration {
                return Err(at(Error::inconsistent(
                    "laid_at",
                    show(l.laid_at),
                    format!("before the run ends at {}", show(self.duration)),
                    "lengthen the duration",
                )));
            }
            before = Some(l);
            let (thermal, cure) = (&l.thermal, l.cure.as_ref());
            let monomer = cure.and_then(|c| c.monomer);
            sheets.push(Sheet {
                thickness: l.thickness.si(),
                capacity: thermal.density.si() * thermal.specific_heat.si(),
                conductivity: thermal.conductivity.si(),
                capacity_slope: thermal.specific_heat_slope.si(),
                conductivity_slope: thermal.conductivity_slope.si(),
                reference: thermal.reference.si(),
                start: l.starts_at.si(),
                laid: l.laid_at.si(),
                contact: l.contact.map_or(0.0, |h| 1.0 / h.si()),
                rise: cure.map_or(0.0, |c| c.heat_per_mass() / thermal.specific_heat.si()),
                law: kernel.as_ref().map_or(Law::Inert, Law::from),
                seed: kernel.map_or(0.0, |k| k.seed),
                gel: cure.map_or(f64::NAN, |c| c.gel_at.get()),
                demould: cure
                    .and_then(|c| c.demould_at)
                    .map_or(f64::NAN, DegreeOfCure::get),
                monomer: monomer.map_or(0.0, |m| m.content.get()),
                boils: monomer.map_or(f64::INFINITY, |m| m.boiling_point.si()),
                front: 0.0,
            });
        }
        if sheets[0].laid > 0.0 {
            return Err(Error::inconsistent(
                "layers[0].laid_at",
                show(self.layers[0].laid_at),
                "0 s: the clock starts with the first layer",
                "count the other layers' times from the first one",
            ));
        }
        Ok(sheets)
    }

    /// Radius of the first face, m, where the layers of `total` thickness fit it.
    fn radius(&self, total: f64) -> Result<f64> {
        let radius = match (self.form, self.first_radius) {
            (Geometry::Plane, None) => return Ok(0.0),
            (Geometry::Plane, Some(r)) => {
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
            (_, Some(r)) => r.si(),
        };
        let (fits, at_axis, field, face) = match self.grows {
            Grows::Inward => (
                total <= radius * (1.0 + 1e-9),
                (total - radius).abs() <= 1e-9 * radius,
                "last_face",
                &self.last_face,
            ),
            Grows::Outward => (true, radius == 0.0, "first_face", &self.first_face),
        };
        if !fits {
            return Err(Error::inconsistent(
                "layers",
                format!("{} thick together", show(Length::from_si(total)?)),
                format!("at most the radius, {}", show(Length::from_si(radius)?)),
                "the layers would pass the axis: make them thinner",
            ));
        }
        if at_axis && !matches!(face, Face::Symmetric | Face::Insulated) {
            return Err(Error::inconsistent(
                field,
                "a face at the axis",
                "symmetric",
                "a solid body has no face at its axis: make it symmetric",
            ));
        }
        Ok(radius)
    }

    /// Follows it, on cells as fine as its errors ask for.
    pub(crate) fn followed(&self, cancel: Cancel<'_>) -> Result<TracedWall> {
        let plain = self.plain()?;
        let refined = with_workspace(|work| plain.refined(work, cancel))?;
        let (run, ways) = self.read(&plain, &refined.pass).with_ways(refined.cells)?;
        let loose = |(fineness, pass): (f64, Pass)| LoosePass {
            fineness,
            pass: Arc::new(pass),
        };
        Ok(TracedWall {
            run,
            ways,
            loose: refined.loose.map(loose),
        })
    }

    /// Follows it in a workspace that is used again; without profiles.
    pub(super) fn run_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<WallRun> {
        let plain = self.plain()?;
        let refined = plain.refined(work, cancel)?;
        self.read(&plain, &refined.pass).answer(refined.cells)
    }

    /// Follows it once, on cells so many times as fine as usual, for who knows that they are fine enough.
    pub(crate) fn followed_once(
        &self,
        fineness: f64,
        cancel: Cancel<'_>,
    ) -> Result<(WallRun, Vec<LayerWay>)> {
        let plain = self.plain()?;
        let (pass, cells) = with_workspace(|work| plain.once(fineness, LOOSE, work, cancel))?;
        self.read(&plain, &pass).with_ways(cells)
    }

    /// Follows it once, on cells so many times as fine as usual, in steps that others are followed in.
    pub(crate) fn paced(&self, fineness: f64, cancel: Cancel<'_>) -> Result<PacedWall<'_>> {
        let plain = self.plain()?;
        let (pass, _) = with_workspace(|work| plain.once(fineness, LOOSE, work, cancel))?;
        Ok(PacedWall {
            wall: self,
            fineness,
            plain,
            pass: Arc::new(pass),
        })
    }

    /// The same of a wall that has been followed so already.
    pub(crate) fn paced_by(&self, loose: &LoosePass) -> Result<PacedWall<'_>> {
        Ok(PacedWall {
            wall: self,
            fineness: loose.fineness,
            plain: self.plain()?,
            pass: Arc::clone(&loose.pass),
        })
    }

    fn read<'a>(&'a self, plain: &'a PlainWall, pass: &'a Pass) -> FollowedWall<'a> {
        FollowedWall {
            wall: self,
            plain,
            pass,
        }
    }

    /// The chain behind a peak.
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

#[questions]
impl Wall {
    /// Temperature and conversion over time and depth of a wall of layers: peak, faces, gel and demould of each layer.
    ///
    /// `rho c dT/dt = div(k grad T) + rho H da/dt` in every layer, `da/dt` by its kinetics.
    ///
    /// # Errors
    /// As the layers and faces refuse, naming the field; `Inconsistent` for layers out of order, a course that does not
    /// cover the run, layers that pass the axis, settings that rule each other out; `NotConverged` for a step size that
    /// collapses; `Cancelled`.
    #[question("heat.wall", long)]
    pub fn run(&self, cancel: Cancel<'_>) -> Result<WallRun> {
        let plain = self.plain()?;
        let refined = with_workspace(|work| plain.refined(work, cancel))?;
        let followed = self.read(&plain, &refined.pass);
        Ok(WallRun {
            profiles: followed.profiles()?,
            ..followed.answer(refined.cells)?
        })
    }

    /// Peaks, gel and demould times of many walls, on all cores, as columns.
    ///
    /// The same to the last bit on any number of threads.
    ///
    /// # Errors
    /// `Inconsistent` for a wall that asks for what a summary does not keep; `Cancelled`. What else refuses stands in
    /// the wall's own row.
    #[question("heat.sweep_walls", long)]
    pub fn sweep(
        /// The walls.
        walls: &[Wall],
        cancel: Cancel<'_>,
    ) -> Result<WallSweep> {
        for (i, wall) in walls.iter().enumerate() {
            if let Some((field, value)) = wall.beyond_summary() {
                return Err(Error::inconsistent(
                    format!("walls[{i}].{field}"),
                    value,
                    "none in a sweep, which keeps a summary of each wall",
                    "leave it out, or ask heat.wall for that wall",
                ));
            }
        }
        let rows: Result<_> = on_all_cores(walls.len(), Workspace::new, |work, i| {
            finished(walls[i].summary_in(work, cancel))
        });
        Ok(WallSweep { rows: rows? })
    }
}

/// A wall that has been followed, as its answer reads it.
pub(super) struct FollowedWall<'a> {
    pub(super) wall: &'a Wall,
    pub(super) plain: &'a PlainWall,
    pub(super) pass: &'a Pass,
}

/// What became of a wall, without profiles, and what of its passes is of use.
pub(crate) struct TracedWall {
    pub(crate) run: WallRun,
    /// What each layer went through.
    pub(crate) ways: Vec<LayerWay>,
    pub(crate) loose: Option<LoosePass>,
}

/// The first pass over a wall that took two.
pub(crate) struct LoosePass {
    pub(crate) fineness: f64,
    pass: Arc<Pass>,
}

/// A wall that has been followed once, for many like it.
pub(crate) struct PacedWall<'w> {
    wall: &'w Wall,
    pub(crate) fineness: f64,
    plain: PlainWall,
    pass: Arc<Pass>,
}

impl PacedWall<'_> {
    pub(crate) fn brief(&self) -> Result<WallBrief> {
        self.wall.read(&self.plain, &self.pass).brief()
    }

    /// Follows walls that are moved a little from this one, on its cells and in its steps: it, and each of them. On all cores.
    pub(crate) fn beside(&self, moved: &[Wall], cancel: Cancel<'_>) -> Result<(WallBrief, Vec<WallBrief>)> {
        let plain = moved.iter().map(Wall::as_plain).collect::<Result<Vec<_>>>()?;
        let passes = in_bundles(&plain, |some| self.plain.side_by_side(&self.pass, some, cancel))?;
        if let Some(passes) = passes {
            let each = moved.iter().zip(&plain).zip(&passes);
            let moved = each.map(|((wall, plain), pass)| wall.read(plain, pass).brief());
            return Ok((self.brief()?, moved.collect::<Result<_>>()?));
        }
        // Each in steps of its own, so fine that they may be told apart.
        with_workspace(|work| {
            let mut once = |wall: &Wall, plain: &PlainWall| {
                let (pass, _) = plain.once(self.fineness, TIGHT, work, cancel)?;
                wall.read(plain, &pass).brief()
            };
            let unmoved = once(self.wall, &self.plain)?;
            let moved = moved.iter().zip(&plain).map(|(wall, plain)| once(wall, plain));
            Ok((unmoved, moved.collect::<Result<_>>()?))
        })
    }
}

/// What the cell of a layer that ends least cured went through.
pub(crate) struct LayerWay {
    /// What it ends at; nothing, where the layer was never laid.
    pub(crate) least_cure: Option<f64>,
    /// Times, s, and temperatures, K.
    pub(crate) kelvin: Vec<(f64, f64)>,
}

/// What is read of a wall that is followed with many like it.
#[derive(Clone)]
pub(crate) struct WallBrief {
    pub(crate) peak: ThermodynamicTemperature,
    pub(crate) peak_at: Time,
    pub(crate) layers: Vec<LayerBrief>,
    /// The hottest that the first face was, each interface, the last face.
    pub(crate) surfaces: Vec<ThermodynamicTemperature>,
}

/// Of one layer.
#[derive(Clone)]
pub(crate) struct LayerBrief {
    pub(crate) gel_ends: Option<Time>,
    /// How fast what gels last cures then, 1/s.
    pub(crate) gel_rate: f64,
    pub(crate) least_cure: Option<DegreeOfCure>,
}

/// Heat of all layers, J, and what warms them by one kelvin, J/K.
#[derive(Default)]
struct Heats {
    released: f64,
    stored: f64,
    capacity: f64,
}

fn peak_at(time: f64, place: &str, (depth, value): (f64, f64)) -> Result<Peak> {
    Ok(Peak {
        temperature: ThermodynamicTemperature::from_si(value)?,
        time: Time::from_si(time)?,
        depth: Length::from_si(depth)?,
        place: place.to_owned(),
    })
}

impl FollowedWall<'_> {
    fn peak(&self) -> Result<Peak> {
        let hot = self.pass.hottest();
        let top = self.pass.track.layers[hot];
        peak_at(top.top.time, &self.wall.layers[hot].name, top.hottest)
    }

    fn brief(&self) -> Result<WallBrief> {
        let layers = 0..self.wall.layers.len();
        let top = self.pass.track.layers[self.pass.hottest()];
        let surface = |k: usize| ThermodynamicTemperature::from_si(self.surface(k).1);
        let layer = |k: usize| {
            Ok(LayerBrief {
                gel_ends: self.gel_ends(k)?,
                gel_rate: self.pass.track.layers[k].gel_rate,
                least_cure: self.cure(k, self.least(k).0)?,
            })
        };
        Ok(WallBrief {
            peak: ThermodynamicTemperature::from_si(top.hottest.1)?,
            peak_at: Time::from_si(top.top.time)?,
            layers: layers.clone().map(layer).collect::<Result<_>>()?,
            surfaces: (0..=layers.end).map(surface).collect::<Result<_>>()?,
        })
    }

    pub(super) fn answer(&self, cells: Cells) -> Result<WallRun> {
        let (wall, pass, track) = (self.wall, self.pass, &self.pass.track);
        let mut heats = Heats::default();
        let layers = (0..wall.layers.len())
            .map(|k| self.layer(k, &mut heats))
            .collect::<Result<_>>()?;
        let heat = self.balance(&heats);
        let peak = self.peak()?;
        Ok(WallRun {
            layers,
            surfaces: self.surfaces()?,
            steepest_gradient_k_per_m: track.gradient.value.max(0.0),
            largest_difference: TemperatureInterval::from_si(track.spread.value.max(0.0))?,
            largest_difference_at: Time::from_si(track.spread.time)?,
            largest_cure_difference: DegreeOfCure::new(track.uneven.clamp(0.0, 1.0))?,
            fastest_rise_k_per_s: track.rise.value.max(0.0),
            fastest_rise_at: Time::from_si(track.rise.time)?,
            runaway: reached(track.runaway.unwrap_or(f64::NAN))?,
            boiling: Boil::answer(
                track
                    .layers
                    .iter()
                    .map(|l| &l.boil)
                    .zip(wall.layers.iter().map(|l| l.name.as_str())),
                &pass.grid.depth,
            )?,
            ended: pass.ended,
            end: Time::from_si(pass.end)?,
            steps: pass.counts.accepted,
            steps_rejected: pass.counts.rejected,
            profiles: None,
            extrapolated: self.outside_fitted()?,
            cautions: self.cautions(&heat, &cells)?,
            why: wall.why(&peak, &cells),
            heat,
            cells,
            peak,
        })
    }

    fn with_ways(&self, cells: Cells) -> Result<(WallRun, Vec<LayerWay>)> {
        Ok((self.answer(cells)?, self.ways()))
    }

    /// What was kept over time and depth, with the ends of its conversions.
    fn profiles(&self) -> Result<Option<Profiles>> {
        let Some(record) = &self.pass.track.record else {
            return Ok(None);
        };
        let layers = &self.wall.layers;
        let total: f64 = layers.iter().map(|l| l.thickness.si()).sum();
        let mut p = profiles(record, &self.pass.grid, self.plain.mirrored, total);
        (p.cure_low, p.cure_high) = ends(layers, &p.layer, &p.temperature_k, &p.cure)?.unzip();
        Ok(Some(p))
    }

    /// What the cell of each layer that ends least cured went through; of no layer, where nothing was kept.
    fn ways(&self) -> Vec<LayerWay> {
        let Some((record, last)) = self
            .pass
            .track
            .record
            .as_ref()
            .and_then(|r| Some((r, r.last_cure()?)))
        else {
            return vec![];
        };
        let starts = &self.pass.grid.starts;
        let of_layer = |k: usize| {
            let least = (starts[k]..starts[k + 1])
                .filter(|i| !last[*i].is_nan())
                .min_by(|a, b| last[*a].total_cmp(&last[*b]));
            LayerWay {
                least_cure: least.map(|i| last[i]),
                kelvin: least.map_or_else(Vec::new, |i| record.of_cell(i)),
            }
        };
        (0..self.wall.layers.len()).map(of_layer).collect()
    }

    /// When and how hot; a layer that a runaway forestalled is answered as it would have been laid.
    fn seen(&self, top: Top, layer: usize) -> (f64, f64) {
        if top.value.is_finite() {
            (top.time, top.value)
        } else {
            let s = &self.plain.sheets[layer];
            (s.laid, s.start)
        }
    }

    /// Depth and temperature of the hottest place of a layer.
    fn hottest(&self, k: usize) -> (f64, f64) {
        let hottest = self.pass.track.layers[k].hottest;
        if hottest.1.is_finite() {
            hottest
        } else {
            let grid = &self.pass.grid;
            (grid.depth[grid.starts[k]], self.plain.sheets[k].start)
        }
    }

    /// When all of a layer has gelled.
    fn gel_ends(&self, k: usize) -> Result<Option<Time>> {
        let (t, starts) = (&self.pass.track.layers[k], &self.pass.grid.starts);
        reached(if t.all_gelled(starts[k + 1] - starts[k]) {
            t.gel_last
        } else {
            f64::NAN
        })
    }

    /// Least conversion of a layer at the end, and how warm that place is then.
    fn least(&self, k: usize) -> (f64, f64) {
        let starts = &self.pass.grid.starts;
        (starts[k]..starts[k + 1])
            .map(|i| (self.pass.final_cure[i], self.pass.final_temperature[i]))
            .fold((f64::INFINITY, self.plain.sheets[k].start), |a, b| {
                if b.0 < a.0 { b } else { a }
            })
    }

    /// A conversion of a layer that cures.
    fn cure(&self, k: usize, a: f64) -> Result<Option<DegreeOfCure>> {
        let cures = self.plain.sheets[k].reacts();
        cures.then(|| DegreeOfCure::new(a.clamp(0.0, 1.0))).transpose()
    }

    /// When a face or an interface was hottest, and how hot.
    fn surface(&self, k: usize) -> (f64, f64) {
        let watch = if self.plain.mirrored { 0 } else { k };
        self.seen(self.pass.track.watches[watch].top, k.saturating_sub(1))
    }

    /// What became of a layer; its heat is added to `heats`.
    fn layer(&self, k: usize, heats: &mut Heats) -> Result<LayerRun> {
        let (l, s, pass) = (&self.wall.layers[k], &self.plain.sheets[k], self.pass);
        let (grid, t) = (&pass.grid, &pass.track.layers[k]);
        let range = grid.starts[k]..grid.starts[k + 1];
        let twice = if self.plain.mirrored { 2.0 } else { 1.0 };
        let volume: f64 = grid.volume[range.clone()].iter().sum();
        let mean = |y: &[f64]| range.clone().map(|i| y[i] * grid.volume[i]).sum::<f64>() / volume;
        let (mean_t, mean_a) = (mean(&pass.final_temperature), mean(&pass.final_cure));
        heats.released += twice * volume * s.capacity * s.rise * (mean_a - s.seed);
        heats.capacity += twice * volume * s.capacity;
        for i in range.clone() {
            heats.stored += twice
                * grid.volume[i]
                * s.capacity
                * (s.enthalpy(pass.final_temperature[i]) - s.enthalpy(s.start));
        }
        let (least, least_at) = self.least(k);
        let vitrified = match &l.cure {
            Some(c) => c.kinetics.vitrified(least, least_at)?,
            None => None,
        };
        let above = range.clone().map(|i| pass.track.above[i]).fold(0.0, f64::max);
        let never = f64::NAN;
        Ok(LayerRun {
            name: l.name.clone(),
            peak: peak_at(self.seen(t.top, k).0, &l.name, self.hottest(k))?,
            gel_begins: reached(t.gel_first)?,
            gel_ends: self.gel_ends(k)?,
            demould: reached(if t.all_demoulded(range.len()) {
                t.demould
            } else {
                never
            })?,
            least_cure: self.cure(k, least)?,
            vitrified,
            mean_cure: self.cure(k, mean_a)?,
            mean_temperature: ThermodynamicTemperature::from_si(mean_t)?,
            time_above: self.wall.time_above.map(|_| Time::from_si(above)).transpose()?,
        })
    }

    /// The first face, each interface, the last face.
    fn surfaces(&self) -> Result<Vec<Peak>> {
        let layers = &self.wall.layers;
        let mut surfaces = Vec::with_capacity(layers.len() + 1);
        let mut depth = 0.0;
        for k in 0..=layers.len() {
            let place = match k {
                0 => format!("first face ({})", layers[0].name),
                k if k == layers.len() => format!("last face ({})", layers[k - 1].name),
                k => format!("{} / {}", layers[k - 1].name, layers[k].name),
            };
            let (when, value) = self.surface(k);
            surfaces.push(peak_at(when, &place, (depth, value))?);
            if let Some(l) = layers.get(k) {
                depth += l.thickness.si();
            }
        }
        Ok(surfaces)
    }

    fn balance(&self, h: &Heats) -> HeatBalance {
        let heat_in = self.pass.track.heat_in;
        let (first, last) = if self.plain.mirrored {
            (heat_in[0], heat_in[0])
        } else {
            (heat_in[0], heat_in[1])
        };
        let turned = h.released.abs() + first.abs() + last.abs() + h.stored.abs();
        HeatBalance {
            released_j: h.released,
            through_first_face_j: first,
            through_last_face_j: last,
            evaporated_j: self.pass.track.evaporated * if self.plain.mirrored { 2.0 } else { 1.0 },
            stored_j: h.stored,
            residual: (h.released + first + last - h.stored) / turned.max(NEXT_TO_NOTHING * h.capacity),
        }
    }

    /// What of the first layer that leaves it lies outside the fitted range of its kinetics.
    fn outside_fitted(&self) -> Result<Option<String>> {
        let coldest = self.wall.outermost(f64::INFINITY, |of| of.0, f64::min);
        for (k, l) in self.wall.layers.iter().enumerate() {
            let Some(c) = &l.cure else { continue };
            let from = ThermodynamicTemperature::from_si(coldest)?;
            let to = ThermodynamicTemperature::from_si(self.hottest(k).1)?;
            if let Some(text) = c.kinetics.outside_fitted(from, to) {
                return Ok(Some(format!("{}: {text}", l.name)));
            }
        }
        Ok(None)
    }

    fn cautions(&self, heat: &HeatBalance, cells: &Cells) -> Result<Vec<String>> {
        let pass = self.pass;
        let mut cautions = Vec::new();
        if let Some(t) = pass.track.runaway {
            cautions.push(format!(
                "{} Do not cast this; make the pour thinner or the catalyst less, within the product's data sheet.",
                ran_away(t)?
            ));
        }
        let forestalled = |l: &&Layer| pass.ended == Ended::Runaway && l.laid_at.si() > pass.end;
        if let Some(l) = self.wall.layers.iter().find(forestalled) {
            cautions.push(format!(
                "'{}' and what comes after it was not laid by then: it stands with its own temperature.",
                l.name
            ));
        }
        cautions.extend(unbalanced(heat.residual, pass.ended == Ended::Runaway));
        if !cells.converged {
            let times = cells
                .times_error
                .map_or_else(String::new, |t| format!(", gel and demould times by {}", show(t)));
            cautions.push(format!(
                "not settled on {} cells: the peak may be off by {}, faces and interfaces by {}{times}, or more",
                cells.count,
                show(cells.peak_error),
                show(cells.faces_error)
            ));
        }
        Ok(cautions)
    }
}

/// What was kept of a run, without the ends of its conversions.
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
    let temperature_k: Vec<Vec<Option<f64>>> = (0..r.rows()).map(|t| row(&r.temperature, t)).collect();
    let cure: Vec<Vec<Option<f64>>> = (0..r.rows()).map(|t| row(&r.cure, t)).collect();
    Profiles {
        time_s: r.times[..r.rows()].to_vec(),
        depth_m,
        layer,
        temperature_k,
        cure,
        cure_low: None,
        cure_high: None,
    }
}

/// A row a time, a column a depth; nothing where not laid.
pub(super) type Field = Vec<Vec<Option<f64>>>;

/// Low and high end of conversions, `layer` that of each column; none where no layer vitrifies.
pub(super) fn ends(
    layers: &[Layer],
    layer: &[usize],
    temperature: &[Vec<Option<f64>>],
    cure: &[Vec<Option<f64>>],
) -> Result<Option<(Field, Field)>> {
    let vitrifies = |l: &Layer| {
        l.cure
            .as_ref()
            .is_some_and(|c| c.kinetics.vitrification.is_some())
    };
    if !layers.iter().any(vitrifies) {
        return Ok(None);
    }
    let (mut low, mut high) = (cure.to_vec(), cure.to_vec());
    for (j, &k) in layer.iter().enumerate() {
        let Some(c) = &layers[k].cure else { continue };
        for (i, row) in temperature.iter().enumerate() {
            if let (Some(t), Some(a)) = (row[j], cure[i][j])
                && let Some(band) = c.kinetics.vitrified(a, t)?
            {
                (low[i][j], high[i][j]) = (Some(band.low.get()), Some(band.high.get()));
            }
        }
    }
    Ok(Some((low, high)))
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

/// What became of many walls, in their order: a row a wall, which may have refused. A document holds it as columns.
#[derive(Debug, Clone, PartialEq)]
pub struct WallSweep {
    /// A row a wall.
    pub rows: Vec<Result<WallSummary>>,
}

/// A column a quantity, a row a wall, null where a wall refused or never got there.
#[derive(Default, Noun)]
#[noun(name = "WallSweep", written)]
struct WallColumns {
    /// Hottest anywhere, K.
    peak_k: Vec<Option<f64>>,
    /// When, s.
    peak_time_s: Vec<Option<f64>>,
    /// Depth of the hottest place below the first face, m.
    peak_depth_m: Vec<Option<f64>>,
    /// Estimated error of the peak, K.
    peak_error_k: Vec<Option<f64>>,
    /// When all that cures had gelled, s.
    gelled_s: Vec<Option<f64>>,
    /// When all had reached its demould criterion, s.
    demould_s: Vec<Option<f64>>,
    /// When it first passed 300 °C, s.
    runaway_s: Vec<Option<f64>>,
    /// Why a wall refused.
    error: Vec<Option<String>>,
}

impl Written for WallSweep {
    fn walk(&self, w: &mut dyn Walk) {
        let mut c = WallColumns::default();
        for row in &self.rows {
            let s = row.as_ref().ok();
            c.peak_k.push(s.map(|s| s.peak.si()));
            c.peak_time_s.push(s.map(|s| s.peak_time.si()));
            c.peak_depth_m.push(s.map(|s| s.peak_depth.si()));
            c.peak_error_k.push(s.map(|s| s.peak_error.si()));
            c.gelled_s.push(s.and_then(|s| s.gelled).map(Quantity::si));
            c.demould_s.push(s.and_then(|s| s.demould).map(Quantity::si));
            c.runaway_s.push(s.and_then(|s| s.runaway).map(Quantity::si));
            c.error.push(row.as_ref().err().map(ToString::to_string));
        }
        c.walk(w);
    }
}

impl Noun for WallSweep {
    fn shape() -> &'static Shape {
        WallColumns::shape()
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        r.wrong(value, "nothing: this is an answer")
    }
}

impl Wall {
    /// A setting that only a whole run answers, and what it is set to.
    pub(crate) fn beyond_summary(&self) -> Option<(&'static str, Shown)> {
        if self.profiles > 0 {
            return Some(("profiles", self.profiles.to_string().into()));
        }
        self.time_above.map(|t| ("time_above", show(t)))
    }

    fn summary_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<WallSummary> {
        let plain = self.plain()?;
        let Refined { pass, cells, .. } = plain.refined(work, cancel)?;
        let hot = pass.track.layers[pass.hottest()];
        let (mut gelled, mut demould) = (f64::NAN, f64::NAN);
        let (mut all_gelled, mut all_demoulded) = (true, true);
        for (k, (t, s)) in pass.track.layers.iter().zip(&plain.sheets).enumerate() {
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
        let never = f64::NAN;
        Ok(WallSummary {
            peak: ThermodynamicTemperature::from_si(hot.hottest.1)?,
            peak_time: Time::from_si(hot.top.time)?,
            peak_depth: Length::from_si(hot.hottest.0)?,
            peak_error: cells.peak_error,
            converged: cells.converged,
            gelled: reached(if all_gelled { gelled } else { never })?,
            demould: reached(if all_demoulded { demould } else { never })?,
            runaway: reached(pass.track.runaway.unwrap_or(f64::NAN))?,
        })
    }
}
