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

use crate::noun::Noun;
use rayon::prelude::*;

use super::chemistry::Law;
use super::cup_lanes::{Followed, Lumped, follow};
use super::edge::{Edge, EdgeLaw};
use super::face::{Course, Face, Stance, Surroundings};
use super::grid::{Grid, Sheet};
use super::kernel::{Chain, Next, Segment, Tolerance, Workspace};
use super::layer::{Cure, Thermal, holds_heat, temperature};
use super::tableau::RODAS4;
use super::track::{ChainView, EXPLODES, Record, Track};
use super::wall::{CHARS, NEXT_TO_NOTHING, ran_away, unbalanced};
use crate::cancel::Cancel;
use crate::check::between;
use crate::error::{Error, Result};
use crate::quantity::{
    DegreeOfCure, HeatTransfer, Length, Mass, Quantity, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// The vessel of a cup.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Vessel {
    /// Mass of the part that the mix wets.
    pub mass: Mass,
    /// Specific heat capacity.
    pub specific_heat: SpecificHeatCapacity,
    /// Wall thickness.
    pub thickness: Length,
    /// Conductivity of the wall.
    pub conductivity: ThermalConductivity,
}

/// Where a cup stands.
#[derive(Debug, Clone, PartialEq, Noun)]
#[noun(tag = "kind")]
#[non_exhaustive]
pub enum Place {
    /// On a bench in still air: its bottom insulated, side and top cooling by natural convection and radiation.
    Bench {
        /// Of the air.
        air: Course,
        /// Emissivity of vessel and mix; 0.9 where not given.
        emissivity: Option<f64>,
    },
    /// Side and bottom in a stirred bath, the top covered.
    Bath {
        /// Of the bath.
        bath: Course,
        /// Between bath and vessel; 500 W/(m² K) where not given (stirred water, common practice, no source).
        coefficient: Option<HeatTransfer>,
    },
    /// Top, side and bottom with one heat transfer coefficient.
    Coefficient {
        /// Over the whole surface.
        coefficient: HeatTransfer,
        /// Of the surroundings.
        surroundings: Course,
    },
    /// No heat leaves: the adiabatic rise.
    Insulated,
}

/// A cup of mixed resin.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Cup {
    /// Mass of the mix, 1 mg to 1000 kg.
    pub mass: Mass,
    /// Heat capacity and conduction of the mix.
    pub thermal: Thermal,
    /// How it cures.
    pub cure: Cure,
    /// Temperature when mixed.
    pub starts_at: ThermodynamicTemperature,
    /// Inner diameter of the (cylindrical) cup; the depth of the mix follows from its volume.
    pub diameter: Length,
    /// The vessel; massless and thin where not given.
    pub vessel: Option<Vessel>,
    /// Where it stands.
    pub place: Place,
    /// How long to follow it.
    pub duration: Time,
    /// Stop once it has gelled and cools.
    #[noun(default)]
    pub stop_when_cooling: bool,
    /// Number of evenly spaced times at which temperature and conversion are kept.
    #[noun(default)]
    pub points: u32,
}

/// How fair it is to give the mix one temperature.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
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
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct CupCurve {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Temperature of the mix, K.
    pub temperature_k: Vec<f64>,
    /// Degree of cure, 0 to 1.
    pub cure: Vec<f64>,
}

/// What became of a cup.
#[derive(Debug, Clone, PartialEq, Noun)]
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

impl CupRun {
    /// The chain behind the answer.
    pub fn why(&self) -> &Why {
        &self.why
    }
}

/// A cup in plain SI.
struct CupPlan {
    sheets: Vec<Sheet>,
    duration: f64,
    depth: f64,
    surface: f64,
    volume: f64,
    chain: Chain,
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

    fn plan(&self) -> Result<CupPlan> {
        let mass = between(
            "mass",
            self.mass,
            1e-6,
            1e3,
            "give the mass of the mix, for example '100 g'",
        )?;
        let diameter = between(
            "diameter",
            self.diameter,
            1e-3,
            5.0,
            "give the inner diameter of the cup, for example '70 mm'",
        )?;
        let duration = between("duration", self.duration, 1e-3, 1e8, "give for example '3 h'")?;
        self.thermal.check().map_err(|e| e.within("thermal"))?;
        let kernel = self.cure.check().map_err(|e| e.within("cure"))?;
        let start = temperature("starts_at", self.starts_at)?;
        let slope = self.thermal.specific_heat_slope.map_or(0.0, Quantity::si);
        let reference = self.thermal.reference.map_or(298.15, Quantity::si);
        holds_heat(slope, reference, start)?;
        if self.points > 100_000 {
            return Err(Error::out_of_range(
                "points",
                self.points,
                "0 to 100000",
                "200 draw a smooth curve",
            ));
        }
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
        let side = std::f64::consts::PI * diameter * depth;
        // A face's temperature is called otherwise in each place.
        let law = |f: Face, course: &str| {
            f.law(0.0, duration)
                .map_err(|e| match e.field().strip_prefix("temperature") {
                    Some(rest) => {
                        let field = format!("place.{course}{rest}");
                        e.at(field)
                    }
                    None => e.within("place"),
                })
        };
        let (top, rest, top_area, rest_area) = match &self.place {
            Place::Bench { air, emissivity } => {
                let e = emissivity.unwrap_or(0.9);
                let face = |stance, size: f64| -> Result<Face> {
                    Ok(Face::StillAir {
                        surroundings: Surroundings::new(stance, Length::from_si(size.max(1e-3))?, e),
                        temperature: air.clone(),
                    })
                };
                (
                    law(face(Stance::LevelUp, 0.25 * diameter)?, "air")?,
                    law(face(Stance::Vertical, depth)?, "air")?,
                    end,
                    side,
                )
            }
            Place::Bath { bath, coefficient } => {
                let h = match coefficient {
                    Some(h) => *h,
                    None => HeatTransfer::from_si(500.0)?,
                };
                let face = Face::Convection {
                    coefficient: h,
                    emissivity: None,
                    temperature: bath.clone(),
                };
                (EdgeLaw::Closed, law(face, "bath")?, end, side + end)
            }
            Place::Coefficient {
                coefficient,
                surroundings,
            } => {
                let face = || Face::Convection {
                    coefficient: *coefficient,
                    emissivity: None,
                    temperature: surroundings.clone(),
                };
                (
                    law(face(), "surroundings")?,
                    law(face(), "surroundings")?,
                    end,
                    side + end,
                )
            }
            Place::Insulated => (EdgeLaw::Closed, EdgeLaw::Closed, end, side),
        };
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
        // A well-mixed cup has no resistance inside: a conductance far above any film's.
        let inside = 1e7 * (top_area + rest_area);
        let mut sheets = vec![mix];
        let mut conductance = vec![inside, inside];
        let mut capacity = vec![volume * sheets[0].capacity];
        if let Some(v) = &self.vessel {
            let within_vessel = |e: Error| e.within("vessel");
            let m = between(
                "mass",
                v.mass,
                1e-6,
                1e3,
                "give the mass of the wetted part of the vessel",
            )
            .map_err(within_vessel)?;
            let c = between(
                "specific_heat",
                v.specific_heat,
                50.0,
                10_000.0,
                "for polyethylene about '2.1 J/(g*K)'",
            )
            .map_err(within_vessel)?;
            let t = between("thickness", v.thickness, 1e-6, 0.1, "give the wall thickness")
                .map_err(within_vessel)?;
            let k = between(
                "conductivity",
                v.conductivity,
                0.005,
                500.0,
                "for polyethylene about '0.4 W/(m*K)'",
            )
            .map_err(within_vessel)?;
            let half = 2.0 * k * rest_area / t;
            conductance = vec![inside, half, half];
            capacity.push(m * c);
            sheets.push(Sheet {
                capacity: m * c,
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
        let varying = (sheets[0].capacity_slope != 0.0).then(|| super::kernel::Varying {
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
                    law: s.law.clone(),
                })
                .collect(),
            first: Edge::new(top, top_area),
            last: Edge::new(rest, rest_area),
            varying,
        };
        Ok(CupPlan {
            sheets,
            duration,
            depth,
            surface: top_area + rest_area,
            volume,
            chain,
        })
    }

    /// Follows the cup.
    ///
    /// # Errors
    /// `OutOfRange` for an absurd input, `Inconsistent` for a course that does not cover the run, `NotConverged`
    /// where the steps collapse.
    pub fn run(&self) -> Result<CupRun> {
        self.run_with(Cancel::NEVER)
    }

    /// The same, cancellable.
    ///
    /// # Errors
    /// As [`run`](Self::run); `Cancelled`.
    pub fn run_with(&self, cancel: Cancel) -> Result<CupRun> {
        self.run_in(&mut Workspace::new(), cancel)
    }

    fn simulate(&self, work: &mut Workspace, cancel: Cancel) -> Result<Simulated> {
        cancel.check()?;
        let CupPlan {
            sheets,
            duration,
            depth,
            surface,
            volume,
            mut chain,
        } = self.plan()?;
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
        work.counts = super::kernel::Counts::default();
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
            let (now, next) = work.advance(&RODAS4, &mut chain, t, stop, tol, 200_000, &mut |s| {
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
                if track.hottest_now > 1500.0
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
            surface,
            volume,
            capacity: chain.capacity,
        })
    }

    pub(crate) fn run_in(&self, work: &mut Workspace, cancel: Cancel) -> Result<CupRun> {
        let Simulated {
            sheets,
            track,
            fastest,
            depth,
            surface,
            volume,
            capacity,
        } = self.simulate(work, cancel)?;
        let n = sheets.len();
        let mix = &track.layers[0];
        let sheet = &sheets[0];
        let time = |t: f64| {
            if t.is_nan() {
                Ok(None)
            } else {
                Time::from_si(t).map(Some)
            }
        };
        let cure = work.now.cure[0];
        let released = capacity[0] * sheet.rise * (cure - sheet.seed);
        let stored: f64 = sheets
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let h = |t: f64| (t - s.reference) + 0.5 * s.capacity_slope * (t - s.reference).powi(2);
                capacity[i] * (h(work.now.temperature[i]) - h(s.start))
            })
            .sum();
        let through = track.heat_in[0] + track.heat_in[1];
        let turned = released.abs() + stored.abs() + through.abs();
        let length = volume / surface;
        let peak = mix.top.value;
        let film = self.film(peak)?;
        let biot = film * length / sheet.conductivity;
        let inside = sheet.capacity * sheet.rise * fastest * length * length / (2.0 * sheet.conductivity);
        let mut cautions = vec![];
        let runaway = track.runaway;
        if let Some(t) = runaway {
            cautions.push(ran_away(t)?);
        }
        if peak > 373.15 {
            cautions.push(format!(
                "the cup reaches {}: {POUR_OUT}",
                show(ThermodynamicTemperature::from_si(peak)?)
            ));
        }
        let warming = NEXT_TO_NOTHING * capacity.iter().sum::<f64>();
        let residual = (released + through - stored) / turned.max(warming);
        cautions.extend(unbalanced(residual, runaway.is_some()));
        let peak_q = ThermodynamicTemperature::from_si(peak)?;
        let curve = track.record.as_ref().map(|r| CupCurve {
            time_s: r.times[..r.rows()].to_vec(),
            temperature_k: (0..r.rows()).map(|i| r.temperature[i * n]).collect(),
            cure: (0..r.rows()).map(|i| r.cure[i * n]).collect(),
        });
        let coldest = match &self.place {
            Place::Bench { air: c, .. }
            | Place::Bath { bath: c, .. }
            | Place::Coefficient { surroundings: c, .. } => c.extremes().0.min(sheet.start),
            Place::Insulated => sheet.start,
        };
        let kinetics = &self.cure.kinetics;
        let gel = time(mix.gel_last)?;
        Ok(CupRun {
            peak: peak_q,
            peak_time: Time::from_si(mix.top.time)?,
            gel_to_peak: match gel {
                Some(g) if mix.top.time > g.si() => Some(Time::from_si(mix.top.time - g.si())?),
                _ => None,
            },
            gel,
            demould: time(mix.demould)?,
            cure: DegreeOfCure::new(cure.clamp(0.0, 1.0))?,
            adiabatic_rise: TemperatureInterval::from_si(sheet.rise)?,
            fastest_rise_k_per_s: track.rise.value.max(0.0),
            runaway: time(runaway.unwrap_or(f64::NAN))?,
            residual,
            lumping: Lumping {
                biot,
                difference_inside: TemperatureInterval::from_si(inside)?,
                fair: biot < 0.1,
            },
            depth: Length::from_si(depth)?,
            curve,
            extrapolated: kinetics.outside_fitted(ThermodynamicTemperature::from_si(coldest)?, peak_q),
            cautions,
            why: Why::computed(
                "peak of the cup",
                show(peak_q),
                "C dT/dt = m H da/dt - heat given to the surroundings; one temperature for the mix, one for the vessel",
                vec![
                    Why::given("mass of the mix", show(self.mass)),
                    Why::given("starts at", show(self.starts_at)),
                    Why::given("heat of reaction", show(kinetics.heat_of_reaction))
                        .with_source(&kinetics.source),
                    Why::given("specific heat", show(self.thermal.specific_heat)),
                    Why::given("depth of the mix", show(Length::from_si(depth)?)),
                ],
            ),
        })
    }

    /// Film coefficient that the Biot number is built with, at the peak.
    fn film(&self, peak: f64) -> Result<f64> {
        Ok(match &self.place {
            Place::Bench { air, emissivity } => {
                Surroundings::new(Stance::Vertical, self.diameter, emissivity.unwrap_or(0.9))
                    // A charred cup is not asked how fair one temperature is.
                    .coefficient(
                        ThermodynamicTemperature::from_si(peak.min(CHARS))?,
                        ThermodynamicTemperature::from_si(air.extremes().0)?,
                    )?
                    .si()
            }
            Place::Bath { coefficient, .. } => coefficient.map_or(500.0, Quantity::si),
            Place::Coefficient { coefficient, .. } => coefficient.si(),
            Place::Insulated => 0.0,
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
}

/// Cups that share lanes.
const BLOCK: usize = 256;

impl CupPlan {
    /// The cup as a lane of [`follow`], where it has one temperature, one constant film and a power law.
    fn lumped(&self) -> Option<Lumped> {
        if self.sheets.len() != 1 || self.chain.varying.is_some() {
            return None;
        }
        let mut loss = 0.0;
        let mut around = None;
        for e in [&self.chain.first, &self.chain.last] {
            match &e.law {
                EdgeLaw::Closed => {}
                EdgeLaw::Linear(h, d) if d.corners().len() == 1 => {
                    let t = d.value(0.0).0;
                    if around.is_some_and(|a| a != t) {
                        return None;
                    }
                    around = Some(t);
                    loss += h * e.area;
                }
                _ => return None,
            }
        }
        let s = &self.sheets[0];
        Lumped::new(
            &s.law,
            s.rise,
            loss / self.chain.capacity[0],
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
        gel: if s.gel.is_nan() {
            None
        } else {
            Some(Time::from_si(s.gel)?)
        },
        cure: DegreeOfCure::new(s.cure.clamp(0.0, 1.0))?,
    })
}

/// A block of cups: those that fit lanes together, the others one by one.
fn block(cups: &[Cup], work: &mut Workspace, cancel: Cancel) -> Vec<Result<CupSummary>> {
    if let Err(e) = cancel.check() {
        return cups.iter().map(|_| Err(e.clone())).collect();
    }
    let plans: Vec<Result<Option<Lumped>>> = cups
        .iter()
        .map(|c| {
            let plan = c.plan()?;
            Ok(if c.stop_when_cooling { None } else { plan.lumped() })
        })
        .collect();
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
        .collect()
}

impl Cup {
    fn summary_in(&self, work: &mut Workspace, cancel: Cancel) -> Result<CupSummary> {
        let s = self.simulate(work, cancel)?;
        let mix = &s.track.layers[0];
        Ok(CupSummary {
            peak: ThermodynamicTemperature::from_si(mix.top.value)?,
            peak_time: Time::from_si(mix.top.time)?,
            gel: if mix.gel_last.is_nan() {
                None
            } else {
                Some(Time::from_si(mix.gel_last)?)
            },
            cure: DegreeOfCure::new(work.now.cure[0].clamp(0.0, 1.0))?,
        })
    }
}

/// Runs many cups on all cores and keeps a summary of each, the same to the last bit on any number of threads.
pub fn sweep_cups(cups: &[Cup], cancel: Cancel) -> Vec<Result<CupSummary>> {
    cups.par_chunks(BLOCK)
        .map_init(Workspace::new, |work, cups| block(cups, work, cancel))
        .flatten_iter()
        .collect()
}
