//! A cup of mixed resin: the smallest exotherm, and the one that every data sheet states.
//!
//! Lumped: the mix has one temperature, the vessel another.
//!
//! ```text
//! C dT/dt   = m H da/dt - (T - T_v)/R_w/2 - top(T)        mix; C = m c
//! C_v dT_v/dt = (T - T_v)/R_w/2 - side(T_s)               vessel, where there is one
//! ```
//!
//! `top` and `side` are the heats given to the surroundings; `R_w` is the resistance of the vessel's wall. Lumping is
//! fair while heat leaves the cup more slowly than it crosses it: [`Lumping`] says how far that holds here.

use std::sync::Arc;

use super::cautions::{ABSURD, CHARS, NEXT_TO_NOTHING, ran_away, reached, unbalanced};
use super::chemistry::Law;
use super::cup_lanes::{Followed, Lumped, follow};
use super::edge::{Edge, EdgeLaw};
use super::face::{Course, Stance, Surroundings};
use super::grid::{Grid, Sheet};
use super::kernel::{Chain, Counts, MOST_STEPS, Next, Segment, Tolerance, Varying, Workspace};
use super::layer::{Cure, Thermal, holds_heat};
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, Record, Track};
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::cure::Vitrified;
use crate::error::{Error, Result};
use crate::noun::{self, Noun, Reader, Shape, Value, Walk, Written, questions};
use crate::quantity::{
    DegreeOfCure, HeatTransfer, Length, Mass, Quantity, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// The vessel of a cup.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Vessel {
    /// Mass of the part that the mix wets.
    #[noun(within("1 mg", "1000 kg", "give the mass of the wetted part of the vessel"))]
    pub mass: Mass,
    /// Specific heat capacity.
    #[noun(within("50 J/(kg*K)", "10000 J/(kg*K)", "for polyethylene about '2.1 J/(g*K)'"))]
    pub specific_heat: SpecificHeatCapacity,
    /// Wall thickness.
    #[noun(within("0.001 mm", "100 mm", "give the wall thickness"))]
    pub thickness: Length,
    /// Conductivity of the wall.
    #[noun(within("0.005 W/(m*K)", "500 W/(m*K)", "for polyethylene about '0.4 W/(m*K)'"))]
    pub conductivity: ThermalConductivity,
}

/// Where a cup stands.
#[derive(Clone, PartialEq, Noun)]
#[noun(tag = "kind")]
#[non_exhaustive]
pub enum Place {
    /// On a bench in still air: its bottom insulated, side and top cooling by natural convection and radiation.
    Bench {
        /// Of the air.
        air: Course,
        /// Emissivity of vessel and mix.
        #[noun(
            default = 0.9,
            within = crate::ranges::EMISSIVITY
        )]
        emissivity: f64,
    },
    /// Side and bottom in a stirred bath, the top covered.
    Bath {
        /// Of the bath.
        bath: Course,
        /// Between bath and vessel; the default is stirred water (common practice, no source).
        #[noun(
            default = "500 W/(m^2*K)",
            within("0.01 W/(m^2*K)", "1e6 W/(m^2*K)", "stirred water about '500 W/(m^2*K)'")
        )]
        coefficient: HeatTransfer,
    },
    /// Top, side and bottom with one heat transfer coefficient.
    Coefficient {
        /// Over the whole surface.
        #[noun(within = crate::ranges::HEAT_TRANSFER)]
        coefficient: HeatTransfer,
        /// Of the surroundings.
        surroundings: Course,
    },
    /// No heat leaves: the adiabatic rise.
    Insulated,
}

/// A cup of mixed resin.
#[derive(Clone, PartialEq, Noun)]
pub struct Cup {
    /// Mass of the mix.
    #[noun(within("1 mg", "1000 kg", "give the mass of the mix, for example '100 g'"))]
    pub mass: Mass,
    /// Heat capacity and conduction of the mix.
    pub thermal: Thermal,
    /// How it cures.
    pub cure: Cure,
    /// Temperature when mixed.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub starts_at: ThermodynamicTemperature,
    /// Inner diameter of the (cylindrical) cup; the depth of the mix follows from its volume.
    #[noun(within("1 mm", "5 m", "give the inner diameter of the cup, for example '70 mm'"))]
    pub diameter: Length,
    /// The vessel; massless and thin where not given.
    pub vessel: Option<Vessel>,
    /// Where it stands.
    pub place: Place,
    /// How long to follow it.
    #[noun(within("0.001 s", "1e8 s", "give for example '3 h'"))]
    pub duration: Time,
    /// Stop once it has gelled and cools.
    #[noun(default)]
    pub stop_when_cooling: bool,
    /// Number of evenly spaced times at which temperature and conversion are kept.
    #[noun(default, within = crate::ranges::KEPT_TIMES)]
    pub points: u32,
}

/// How fair it is to give the mix one temperature.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Lumping {
    /// Biot number, film coefficient times volume over surface over conductivity; below 0.1 lumping is usual.
    pub biot: f64,
    /// Self-heating across the mix at its fastest: `rho H da/dt L² / (2 k)` with `L` volume over surface, the
    /// steady difference between the middle and the face of a slab that thick, K. A mix that has set can not
    /// even it out.
    pub difference_inside: TemperatureInterval,
    /// Whether the Biot number is below 0.1 or the cup gives off next to no heat while it peaks.
    pub fair: bool,
}

/// Temperature and conversion over time, in SI.
#[derive(Clone, PartialEq, Noun)]
pub struct CupCurve {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Temperature of the mix, K.
    pub temperature_k: Vec<f64>,
    /// Degree of cure, 0 to 1.
    pub cure: Vec<f64>,
    /// Low end of the degree of cure, which has a width once it has vitrified; none where the kinetics do not vitrify.
    pub cure_low: Option<Vec<f64>>,
    /// High end of the degree of cure.
    pub cure_high: Option<Vec<f64>>,
}

/// What became of a cup.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupRun {
    /// Hottest.
    pub peak: ThermodynamicTemperature,
    /// When it was hottest.
    pub peak_time: Time,
    /// When it gelled; not within the time followed where missing.
    pub gel: Option<Time>,
    /// From gel to peak.
    pub gel_to_peak: Option<Time>,
    /// When it reached its demould criterion.
    pub demould: Option<Time>,
    /// Conversion at the end.
    pub cure: DegreeOfCure,
    /// How sure that is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Adiabatic rise of a full cure: `H/c`.
    pub adiabatic_rise: TemperatureInterval,
    /// Fastest rise, K/s.
    pub fastest_rise_k_per_s: f64,
    /// When it first passed 300 °C, where resin chars, or began to heat itself without bound: a runaway.
    pub runaway: Option<Time>,
    /// Heat set free less heat given off less heat stored, over the heat turned over.
    pub residual: f64,
    /// Whether one temperature is fair.
    pub lumping: Lumping,
    /// Depth of the mix in the cup.
    pub depth: Length,
    /// Over time, where asked for.
    pub curve: Option<CupCurve>,
    /// What lies outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Equations and sources.
    pub why: Why,
}

/// A cup in plain SI.
struct PlainCup {
    mix: Sheet,
    surface: Surface,
    duration: f64,
    depth: f64,
    volume: f64,
}

/// A cup that has been followed.
struct Simulated {
    sheets: Vec<Sheet>,
    track: Track,
    fastest: f64,
    depth: f64,
    surface: f64,
    volume: f64,
    /// J/K of mix and vessel.
    capacity: Vec<f64>,
}

const POUR_OUT: &str = "Spread leftover mix thinly or cool the cup in water outdoors; a full cup can smoke, melt its \
                        vessel and burn. Follow the product's data sheet.";

/// What surrounds the mix: the laws of its top and of the rest of its surface.
struct Surface {
    top: EdgeLaw,
    rest: EdgeLaw,
    top_area: f64,
    rest_area: f64,
}

impl Cup {
    /// A cup with neither vessel nor curve.
    #[allow(clippy::too_many_arguments)]
    pub fn new(
        mass: Mass,
        diameter: Length,
        thermal: Thermal,
        cure: Cure,
        starts_at: ThermodynamicTemperature,
        place: Place,
        duration: Time,
    ) -> Self {
        Cup {
            mass,
            thermal,
            cure,
            starts_at,
            diameter,
            vessel: None,
            place,
            duration,
            stop_when_cooling: false,
            points: 0,
        }
    }

    /// The cup in plain SI, checked.
    fn plain(&self) -> Result<PlainCup> {
        noun::check(self)?;
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
        let mix = Sheet {
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
            front: 0.0,
        };
        Ok(PlainCup {
            mix,
            surface,
            duration: self.duration.si(),
            depth,
            volume,
        })
    }

    /// The faces of a mix `depth` m deep over a bottom of `end` m².
    fn surface(&self, depth: f64, end: f64) -> Result<Surface> {
        let diameter = self.diameter.si();
        let side = std::f64::consts::PI * diameter * depth;
        let drive = |c: &Course, called: &str| {
            c.drive(self.duration.si())
                .map_err(|e| e.within(format_args!("place.{called}")))
        };
        let (top, rest, rest_area) = match &self.place {
            Place::Bench { air, emissivity } => {
                let still = |stance, size: f64| -> Result<EdgeLaw> {
                    let size = Length::from_si(size.max(1e-3))?;
                    let film = Arc::new(Surroundings::new(stance, size, *emissivity));
                    Ok(EdgeLaw::Film(film, drive(air, "air")?))
                };
                (
                    still(Stance::LevelUp, 0.25 * diameter)?,
                    still(Stance::Vertical, depth)?,
                    side,
                )
            }
            Place::Bath { bath, coefficient } => (
                EdgeLaw::Closed,
                EdgeLaw::Linear(coefficient.si(), drive(bath, "bath")?),
                side + end,
            ),
            Place::Coefficient {
                coefficient,
                surroundings,
            } => {
                let law = EdgeLaw::Linear(coefficient.si(), drive(surroundings, "surroundings")?);
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
    fn chain(&self, mix: Sheet, volume: f64, surface: Surface) -> (Chain, Vec<Sheet>) {
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
                capacity: heat,
                law: Law::Inert,
                rise: 0.0,
                seed: 0.0,
                capacity_slope: 0.0,
                gel: f64::NAN,
                demould: f64::NAN,
                conductivity: k,
                ..sheets[0].clone()
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
        (chain, sheets)
    }

    fn simulate(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<Simulated> {
        cancel.check()?;
        let PlainCup {
            mix,
            surface,
            duration,
            depth,
            volume,
        } = self.plain()?;
        let area = surface.top_area + surface.rest_area;
        let (mut chain, sheets) = self.chain(mix, volume, surface);
        let n = sheets.len();
        let grid = Grid {
            size: vec![1.0; n],
            depth: vec![0.0; n],
            volume: vec![1.0; n],
            area: vec![1.0; n + 1],
            starts: (0..=n).collect(),
        };
        let record = (self.points > 0).then(|| {
            let last = f64::from(self.points.max(2) - 1);
            Record::new(
                (0..self.points).map(|i| duration * f64::from(i) / last).collect(),
                n,
            )
        });
        let mut track = Track::new(&sheets, &grid, f64::INFINITY, CHARS, record);
        let view = ChainView::new(&grid, &sheets, n, &chain);
        let tol = Tolerance {
            temperature: 0.04,
            cure: 1.3e-4,
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
        for (i, s) in sheets.iter().enumerate() {
            work.now.temperature[i] = s.start;
            work.now.cure[i] = s.seed;
            work.now.second[i] = 0.0;
        }
        work.counts = Counts::default();
        track.start(&sheets, &grid, n, 0.0, &work.now.temperature, &work.now.cure);
        let mut t = 0.0;
        let mut fastest = 0.0_f64;
        for (i, stop) in stops.into_iter().enumerate() {
            if i == 0 {
                work.begin(&mut chain, t, tol);
            } else {
                work.resume(&mut chain, t, tol);
            }
            let mut asked = 0_u32;
            let (now, next) = work.advance(&RODAS4, &mut chain, t, stop, tol, MOST_STEPS, &mut |s| {
                track.step(s, &sheets, &grid, n, &view);
                fastest = fastest.max(s.slope_after.cure[0]);
                holds_heat(
                    sheets[0].capacity_slope,
                    sheets[0].reference,
                    s.after.temperature[0],
                )?;
                asked += 1;
                if asked.is_multiple_of(64) {
                    cancel.check()?;
                }
                if track.hottest_now > ABSURD
                    || track.rising_now > EXPLODES
                    || (self.stop_when_cooling && track.settled(&sheets, &grid))
                {
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
            fastest,
            depth,
            surface: area,
            volume,
            capacity: chain.capacity,
        })
    }

    pub(crate) fn run_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<CupRun> {
        let s = self.simulate(work, cancel)?;
        let n = s.sheets.len();
        let (mix, sheet) = (&s.track.layers[0], &s.sheets[0]);
        let cure = work.now.cure[0];
        let (residual, runaway) = (s.residual(work), s.track.runaway);
        let peak = ThermodynamicTemperature::from_si(mix.top.value)?;
        let gel = reached(mix.gel_last)?;
        let curve = |r: &Record| -> Result<CupCurve> {
            let temperature_k: Vec<f64> = (0..r.rows()).map(|i| r.temperature[i * n]).collect();
            let cure: Vec<f64> = (0..r.rows()).map(|i| r.cure[i * n]).collect();
            let (cure_low, cure_high) = self.cure.kinetics.ends(&cure, &temperature_k)?.unzip();
            Ok(CupCurve {
                time_s: r.times[..r.rows()].to_vec(),
                temperature_k,
                cure,
                cure_low,
                cure_high,
            })
        };
        let curve = s.track.record.as_ref().map(curve).transpose()?;
        let mut cautions = vec![];
        if let Some(t) = runaway {
            cautions.push(ran_away(t)?);
        }
        if mix.top.value > 373.15 {
            cautions.push(format!("the cup reaches {}: {POUR_OUT}", show(peak)));
        }
        cautions.extend(unbalanced(residual, runaway.is_some()));
        let coldest = match &self.place {
            Place::Bench { air: c, .. }
            | Place::Bath { bath: c, .. }
            | Place::Coefficient { surroundings: c, .. } => c.extremes().0.min(sheet.start),
            Place::Insulated => sheet.start,
        };
        let depth = Length::from_si(s.depth)?;
        Ok(CupRun {
            peak,
            peak_time: Time::from_si(mix.top.time)?,
            gel_to_peak: match gel {
                Some(g) if mix.top.time > g.si() => Some(Time::from_si(mix.top.time - g.si())?),
                _ => None,
            },
            gel,
            demould: reached(mix.demould)?,
            cure: DegreeOfCure::new(cure.clamp(0.0, 1.0))?,
            vitrified: self.cure.kinetics.vitrified(cure, work.now.temperature[0])?,
            adiabatic_rise: TemperatureInterval::from_si(sheet.rise)?,
            fastest_rise_k_per_s: s.track.rise.value.max(0.0),
            runaway: reached(runaway.unwrap_or(f64::NAN))?,
            residual,
            lumping: self.lumping(&s)?,
            depth,
            curve,
            extrapolated: self
                .cure
                .kinetics
                .outside_fitted(ThermodynamicTemperature::from_si(coldest)?, peak),
            cautions,
            why: self.why(peak, depth),
        })
    }

    fn lumping(&self, s: &Simulated) -> Result<Lumping> {
        let sheet = &s.sheets[0];
        let length = s.volume / s.surface;
        let biot = self.film(s.track.layers[0].top.value) * length / sheet.conductivity;
        let inside = sheet.capacity * sheet.rise * s.fastest * length * length / (2.0 * sheet.conductivity);
        Ok(Lumping {
            biot,
            difference_inside: TemperatureInterval::from_si(inside)?,
            fair: biot < 0.1,
        })
    }

    /// Film coefficient that the Biot number is built with, at the peak, W/(m² K).
    fn film(&self, peak: f64) -> f64 {
        match &self.place {
            Place::Bench { air, emissivity } => {
                Surroundings::new(Stance::Vertical, self.diameter, *emissivity)
                    // A charred cup is not asked how fair one temperature is.
                    .both(peak.min(CHARS), air.extremes().0)
            }
            Place::Bath { coefficient, .. } | Place::Coefficient { coefficient, .. } => coefficient.si(),
            Place::Insulated => 0.0,
        }
    }

    /// The chain behind a peak.
    fn why(&self, peak: ThermodynamicTemperature, depth: Length) -> Why {
        let kinetics = &self.cure.kinetics;
        Why::computed(
            "peak of the cup",
            show(peak),
            "C dT/dt = m H da/dt - heat given to the surroundings; one temperature for the mix, one for the vessel",
            vec![
                Why::given("mass of the mix", show(self.mass)),
                Why::given("starts at", show(self.starts_at)),
                Why::given("heat of reaction", show(kinetics.heat_of_reaction)).with_source(&kinetics.source),
                Why::given("specific heat", show(self.thermal.specific_heat)),
                Why::given("depth of the mix", show(depth)),
            ],
        )
    }

    fn summary_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<CupSummary> {
        let s = self.simulate(work, cancel)?;
        let mix = &s.track.layers[0];
        Ok(CupSummary {
            peak: ThermodynamicTemperature::from_si(mix.top.value)?,
            peak_time: Time::from_si(mix.top.time)?,
            gel: reached(mix.gel_last)?,
            cure: DegreeOfCure::new(work.now.cure[0].clamp(0.0, 1.0))?,
            vitrified: self
                .cure
                .kinetics
                .vitrified(work.now.cure[0], work.now.temperature[0])?,
        })
    }
}

impl Simulated {
    /// What does not add up of the heat, over the heat turned over.
    fn residual(&self, work: &Workspace) -> f64 {
        let (capacity, sheet) = (&self.capacity, &self.sheets[0]);
        let released = capacity[0] * sheet.rise * (work.now.cure[0] - sheet.seed);
        let stored: f64 = self
            .sheets
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let h = |t: f64| (t - s.reference) + 0.5 * s.capacity_slope * (t - s.reference).powi(2);
                capacity[i] * (h(work.now.temperature[i]) - h(s.start))
            })
            .sum();
        let through = self.track.heat_in[0] + self.track.heat_in[1];
        let turned = released.abs() + stored.abs() + through.abs();
        let warming = NEXT_TO_NOTHING * capacity.iter().sum::<f64>();
        (released + through - stored) / turned.max(warming)
    }
}

#[questions]
impl Cup {
    /// Exotherm of a cup of mixed resin: gel, peak and its time, and whether one temperature is fair.
    ///
    /// `C dT/dt = m H da/dt - heat given to the surroundings`, one temperature for the mix and one for its vessel.
    ///
    /// # Errors
    /// `OutOfRange` for an absurd input, `Inconsistent` for a course that does not cover the run, `NotConverged`
    /// where the steps collapse; `Cancelled`.
    #[question("heat.cup", long)]
    pub fn run(&self, cancel: Cancel<'_>) -> Result<CupRun> {
        self.run_in(&mut Workspace::new(), cancel)
    }

    /// Gel times and peaks of many cups, on all cores, as columns.
    ///
    /// The same to the last bit on any number of threads.
    ///
    /// # Errors
    /// `Inconsistent` for a cup that asks for a curve, which a summary does not keep; `Cancelled`. What else refuses
    /// stands in the cup's own row.
    #[question("heat.sweep_cups", long)]
    pub fn sweep(
        /// The cups.
        cups: &[Cup],
        cancel: Cancel<'_>,
    ) -> Result<CupSweep> {
        if let Some(i) = cups.iter().position(|c| c.points > 0) {
            return Err(Error::inconsistent(
                format!("cups[{i}].points"),
                cups[i].points,
                "none in a sweep, which keeps a summary of each cup",
                "leave it out, or ask heat.cup for that cup",
            ));
        }
        let blocks: Result<Vec<Vec<_>>> =
            on_all_cores(cups.len().div_ceil(BLOCK), Workspace::new, |work, i| {
                let end = cups.len().min((i + 1) * BLOCK);
                block(&cups[i * BLOCK..end], work, cancel)
            });
        Ok(CupSweep {
            rows: blocks?.into_iter().flatten().collect(),
        })
    }
}

/// What a sweep keeps of a cup.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct CupSummary {
    /// Hottest.
    pub peak: ThermodynamicTemperature,
    /// When it was hottest.
    pub peak_time: Time,
    /// When it gelled.
    pub gel: Option<Time>,
    /// Conversion at the end.
    pub cure: DegreeOfCure,
    /// How sure that is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
}

/// Cups that share lanes.
const BLOCK: usize = 256;

impl PlainCup {
    /// The cup as a lane of [`follow`], where it has one temperature, one constant film and a power law.
    fn lumped(&self, cup: &Cup) -> Option<Lumped> {
        let s = &self.mix;
        if cup.vessel.is_some() || s.capacity_slope != 0.0 || cup.stop_when_cooling {
            return None;
        }
        let mut loss = 0.0;
        let mut around = None;
        let Surface {
            top,
            rest,
            top_area,
            rest_area,
        } = &self.surface;
        for (law, area) in [(top, top_area), (rest, rest_area)] {
            match law {
                EdgeLaw::Closed => {}
                EdgeLaw::Linear(h, d) if d.corners().len() == 1 => {
                    let t = d.value(0.0).0;
                    if around.is_some_and(|a| a != t) {
                        return None;
                    }
                    around = Some(t);
                    loss += h * area;
                }
                _ => return None,
            }
        }
        Lumped::new(
            &s.law,
            s.rise,
            loss / (self.volume * s.capacity),
            around.unwrap_or(s.start),
            s.start,
            s.seed,
            s.gel,
            self.duration,
        )
    }
}

fn summary(s: Followed) -> Result<CupSummary> {
    Ok(CupSummary {
        peak: ThermodynamicTemperature::from_si(s.peak)?,
        peak_time: Time::from_si(s.peak_time)?,
        gel: reached(s.gel)?,
        cure: DegreeOfCure::new(s.cure.clamp(0.0, 1.0))?,
        // Only cups that do not vitrify are followed side by side.
        vitrified: None,
    })
}

/// A block of cups: those that fit lanes together, the others one by one.
fn block(cups: &[Cup], work: &mut Workspace, cancel: Cancel<'_>) -> Result<Vec<Result<CupSummary>>> {
    cancel.check()?;
    let plans: Vec<Result<Option<Lumped>>> = cups.iter().map(|c| Ok(c.plain()?.lumped(c))).collect();
    let lanes: Vec<Lumped> = plans
        .iter()
        .filter_map(|p| p.as_ref().ok().copied().flatten())
        .collect();
    let mut followed = follow(
        &lanes,
        Tolerance {
            temperature: 0.04,
            cure: 1.3e-4,
        },
    )
    .into_iter();
    plans
        .into_iter()
        .zip(cups)
        .map(|(plan, cup)| match plan? {
            // A lane that fails (an explosion) is followed again alone, which says what became of it.
            Some(_) => match followed.next() {
                Some(Ok(s)) => summary(s),
                _ => cup.summary_in(work, cancel),
            },
            None => cup.summary_in(work, cancel),
        })
        .map(finished)
        .collect()
}

/// What became of many cups, in their order: a row a cup, which may have refused. A document holds it as columns.
#[derive(Debug, Clone, PartialEq)]
pub struct CupSweep {
    /// A row a cup.
    pub rows: Vec<Result<CupSummary>>,
}

/// A column a quantity, a row a cup, null where a cup refused or never got there.
#[derive(Default, Noun)]
#[noun(name = "CupSweep", written)]
struct CupColumns {
    /// Peak, K.
    peak_k: Vec<Option<f64>>,
    /// When, s.
    peak_time_s: Vec<Option<f64>>,
    /// Gel time, s.
    gel_s: Vec<Option<f64>>,
    /// Conversion at the end.
    cure: Vec<Option<f64>>,
    /// Why a cup refused.
    error: Vec<Option<String>>,
}

impl Written for CupSweep {
    fn walk(&self, w: &mut dyn Walk) {
        let mut c = CupColumns::default();
        for row in &self.rows {
            let s = row.as_ref().ok();
            c.peak_k.push(s.map(|s| s.peak.si()));
            c.peak_time_s.push(s.map(|s| s.peak_time.si()));
            c.gel_s.push(s.and_then(|s| s.gel).map(Quantity::si));
            c.cure.push(s.map(|s| s.cure.get()));
            c.error.push(row.as_ref().err().map(ToString::to_string));
        }
        c.walk(w);
    }
}

impl Noun for CupSweep {
    fn shape() -> &'static Shape {
        CupColumns::shape()
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        r.wrong(value, "nothing: this is an answer")
    }
}
