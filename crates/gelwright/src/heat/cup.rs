//! A cup of mixed resin: the smallest exotherm, and the one that every data sheet states.
//!
//! A cup whose heat leaves more slowly than it crosses the mix (Biot number below 0.1) has one temperature, its vessel
//! another:
//!
//! ```text
//! C dT/dt   = m H da/dt - (T - T_v)/R_w/2 - top(T)        mix; C = m c
//! C_v dT_v/dt = (T - T_v)/R_w/2 - side(T_s)               vessel, where there is one
//! ```
//!
//! `top` and `side` are the heats given to the surroundings; `R_w` is the resistance of the vessel's wall. Any other cup is
//! followed in depth, as a body of one dimension (`body.rs`): its middle is far hotter than its mean. [`Resolve`]
//! chooses, [`CupRun::in_depth`] says what was done.

use super::boiling::{Boil, Boiling};
use super::cautions::{ran_away, reached, unbalanced};
use super::cup_follow::{FAIR, PlainCup, STEPS, Simulated, Surface, Until};
use super::cup_lanes::{Followed, Lumped, follow};
use super::edge::EdgeLaw;
use super::face::{Course, EMISSIVITY};
use super::kernel::{Workspace, with_workspace};
use super::layer::{Cure, Thermal};
use super::probe::Probe;
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::cure::Vitrified;
use crate::error::{Error, Result};
use crate::noun::{Noun, Reader, Shape, Value, Walk, Written, questions};
use crate::quantity::{
    DegreeOfCure, HeatTransfer, Length, Mass, Quantity, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, show, temperature::celsius,
};
use crate::source::{Source, Standing, Why};

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
            default = EMISSIVITY,
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

/// Whether the mix of a cup has one temperature, or one that depends on the depth.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
#[non_exhaustive]
pub enum Resolve {
    /// In depth where the Biot number is 0.1 or more around the hottest that the mix can get, else lumped.
    #[default]
    Automatic,
    /// One temperature, whatever the Biot number.
    Lumped,
    /// In depth, whatever the Biot number.
    InDepth,
}

/// A cup of mixed resin.
///
/// In depth (see [`Resolve`]) it is a body of one dimension whose area grows as `r^n`, `n = A L/V - 1`, from its hottest
/// place to its cooled surface: heat capacity, cooled area `A` and the way `L` to the nearest cooled face are the cup's.
/// Against the cylinder in two dimensions, solved independently (15 cups of 30 g to 250 g, `n` 0.5 to 2, Biot number 0.4 to 29;
/// `tests/published/heat_cup_depth.rs`), the peak in the middle is off by -3.4 to +3.4 K in air, where one temperature is 0.4 to 24 K
/// too cool; in a stirred bath it is 5 to 7.5 K too cool, where one temperature knows of no peak at all. Gel in the middle is
/// right within 0.7 %, the time of the peak within 2.4 %. The mean's peak is up to 9 K too warm (12.5 K in a tube), since all faces share
/// one surface temperature. Cooling without a reaction the middle is up to 2.8 of 40 K ahead. The cells add 0.2 K.
/// Not modelled: flow in the liquid mix, shrinkage, what the bench takes from the bottom, evaporation.
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
    /// Factor on its film coefficients, 1 as the place gives them; correlations for still air are good to a quarter
    /// (common practice, no source).
    #[noun(default = 1.0, within(0.1, 10, "1 takes the films as the place gives them"))]
    pub film_factor: f64,
    /// Where its temperature is read.
    #[noun(default)]
    pub probe: Probe,
    /// One temperature or in depth.
    #[noun(default)]
    pub resolve: Resolve,
    /// Number of evenly spaced times at which temperature and conversion are kept.
    #[noun(default, within = crate::ranges::KEPT_TIMES)]
    pub points: u32,
}

/// How fair it is to give the mix one temperature.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Lumping {
    /// Biot number at the peak, film coefficient times volume over cooled area over conductivity; below 0.1 lumping is usual.
    pub biot: f64,
    /// Greatest difference between the hottest place and the cooled surface. In depth as it was followed. Of a lumped cup an
    /// estimate: heat that is set free evenly and leaves at the peak drives `(T - T_around) B/(2 + B)`, `B` film
    /// coefficient times depth `L` over conductivity; nothing in a cup that gives off no heat.
    pub difference_inside: TemperatureInterval,
    /// Whether the Biot number is below 0.1.
    pub fair: bool,
}

/// How a mix was followed in depth.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct InDepth {
    /// Greatest distance of any place of the mix from the nearest cooled face, `L`.
    pub half_depth: Length,
    /// `n`: the area grows as the `n`-th power of the distance from the hottest place; 0 a plane, 1 a cylinder, 2 a sphere.
    pub shape_exponent: f64,
    /// Number of cells; finer ones move the peak by less than 0.2 K.
    pub cells: usize,
}

/// Temperature and conversion over time, in SI.
#[derive(Clone, PartialEq, Noun)]
pub struct CupCurve {
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Temperature that the probe shows, K.
    pub temperature_k: Vec<f64>,
    /// Mean temperature of the mix, K.
    pub mean_k: Vec<f64>,
    /// Temperature of the hottest place, K.
    pub hottest_k: Vec<f64>,
    /// Degree of cure at the probe, 0 to 1.
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
    /// Hottest, at the hottest place of the mix.
    pub peak: ThermodynamicTemperature,
    /// When it was hottest.
    pub peak_time: Time,
    /// Highest temperature that the probe shows.
    pub probe_peak: ThermodynamicTemperature,
    /// When the probe shows that.
    pub probe_peak_time: Time,
    /// Highest mean temperature of the mix.
    pub mean_peak: ThermodynamicTemperature,
    /// When it gelled at the probe; not within the time followed where missing.
    pub gel: Option<Time>,
    /// From that gel to the probe's peak.
    pub gel_to_peak: Option<Time>,
    /// When all of it had reached its demould criterion.
    pub demould: Option<Time>,
    /// Mean conversion at the end.
    pub cure: DegreeOfCure,
    /// How sure that is at the mean temperature, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Adiabatic rise of a full cure: `H/c`.
    pub adiabatic_rise: TemperatureInterval,
    /// Fastest rise of any place of the mix, K/s.
    pub fastest_rise_k_per_s: f64,
    /// When it first passed 300 °C, where resin chars, or began to heat itself without bound: a runaway.
    pub runaway: Option<Time>,
    /// Heat set free less heat given off less heat stored, over the heat turned over.
    pub residual: f64,
    /// Where its monomer passes its boiling point, if it does and the cure says what monomer that is; depths below the top.
    pub boiling: Option<Boiling>,
    /// Whether one temperature is fair.
    pub lumping: Lumping,
    /// How it was followed in depth; absent where the mix was given one temperature.
    pub in_depth: Option<InDepth>,
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

/// What the probe of a cup shows: the three numbers of a data sheet's cup test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProbeReading {
    /// From mixing to gel at the probe.
    pub gel_time: Time,
    /// From that gel to the probe's peak; none where it was hottest before.
    pub gel_to_peak: Time,
    /// Highest temperature that the probe shows.
    pub peak_temperature: ThermodynamicTemperature,
}

/// Pot life of a cup as its temperature tells it: two definitions of the trade.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PotLifeByTemperature {
    /// From 20 °C to 50 °C at the probe, defined for 100 g of mix; counted from mixing where it is mixed warmer. Absent where it
    /// never gets so warm.
    pub warming: Option<Time>,
    /// From mixing to 40 °C at the probe, less the greater of 10 min and 20 %; absent where it never gets so warm.
    pub to_forty_less_margin: Option<Time>,
    /// The shortest of the two and of gel; absent where it does neither, and a doubling of the viscosity tells instead.
    pub pot_life: Option<Time>,
    /// Gel at the probe.
    pub gel: Option<Time>,
    /// What the definitions do not cover here.
    pub cautions: Vec<String>,
    /// Equation and sources.
    pub why: Why,
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
            film_factor: 1.0,
            probe: Probe::Middle,
            resolve: Resolve::Automatic,
            points: 0,
        }
    }

    pub(crate) fn run_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<CupRun> {
        let s = self.simulate(work, Until::Said, &[], cancel)?;
        let (mix, sheet) = (&s.track.layers[0], &s.sheets[0]);
        let (cure, end) = s.end(work);
        let (residual, runaway) = (s.residual(work), s.track.runaway);
        let (hottest, peak_time) = s.peak();
        let peak = ThermodynamicTemperature::from_si(hottest)?;
        let probe = s.probe.top;
        let gel = reached(s.probe.gel)?;
        let mut cautions = vec![];
        if let Some(t) = runaway {
            cautions.push(ran_away(t)?);
        }
        if hottest > 373.15 {
            cautions.push(format!("the cup reaches {}: {POUR_OUT}", show(peak)));
        }
        cautions.extend(unbalanced(residual, runaway.is_some()));
        let coldest = self
            .course()
            .map_or(sheet.start, |c| c.extremes().0.min(sheet.start));
        let depth = Length::from_si(s.depth)?;
        let in_depth = match s.cells {
            None => None,
            Some(cells) => Some(InDepth {
                half_depth: Length::from_si(s.body.half_depth)?,
                shape_exponent: s.body.exponent(),
                cells,
            }),
        };
        Ok(CupRun {
            peak,
            peak_time: Time::from_si(peak_time)?,
            probe_peak: ThermodynamicTemperature::from_si(probe.value)?,
            probe_peak_time: Time::from_si(probe.time)?,
            mean_peak: ThermodynamicTemperature::from_si(s.mean.top.value)?,
            gel_to_peak: match gel {
                Some(g) if probe.time > g.si() => Some(Time::from_si(probe.time - g.si())?),
                _ => None,
            },
            gel,
            demould: reached(mix.demould)?,
            cure: DegreeOfCure::new(cure.clamp(0.0, 1.0))?,
            vitrified: self.cure.kinetics.vitrified(cure, end)?,
            adiabatic_rise: TemperatureInterval::from_si(sheet.rise)?,
            fastest_rise_k_per_s: s.track.rise.value.max(0.0),
            runaway: reached(runaway.unwrap_or(f64::NAN))?,
            residual,
            boiling: Boil::answer(std::iter::once((&mix.boil, "mix")), &[0.5 * s.depth])?,
            lumping: self.lumping(&s)?,
            depth,
            curve: self.curve(&s)?,
            extrapolated: self
                .cure
                .kinetics
                .outside_fitted(ThermodynamicTemperature::from_si(coldest)?, peak),
            cautions,
            why: self.why(peak, depth, in_depth.as_ref()),
            in_depth,
        })
    }

    /// The temperature around it; none where it is insulated.
    fn course(&self) -> Option<&Course> {
        match &self.place {
            Place::Bench { air: c, .. }
            | Place::Bath { bath: c, .. }
            | Place::Coefficient { surroundings: c, .. } => Some(c),
            Place::Insulated => None,
        }
    }

    fn curve(&self, s: &Simulated) -> Result<Option<CupCurve>> {
        if self.points == 0 {
            return Ok(None);
        }
        let c = &s.curve;
        let (cure_low, cure_high) = self.cure.kinetics.ends(&c.cure, &c.temperature)?.unzip();
        Ok(Some(CupCurve {
            time_s: c.time.clone(),
            temperature_k: c.temperature.clone(),
            mean_k: c.mean.clone(),
            hottest_k: c.hottest.clone(),
            cure: c.cure.clone(),
            cure_low,
            cure_high,
        }))
    }

    fn lumping(&self, s: &Simulated) -> Result<Lumping> {
        let hottest = s.peak().0;
        let biot = self.biot(hottest, &s.body);
        let inside = if s.cells.is_some() {
            s.inside
        } else {
            let b = biot * s.body.half_depth * s.body.area / s.body.volume;
            let around = self.course().map_or(hottest, |c| c.extremes().0);
            (hottest - around) * b / (2.0 + b)
        };
        Ok(Lumping {
            biot,
            difference_inside: TemperatureInterval::from_si(inside)?,
            fair: biot < FAIR,
        })
    }

    /// The chain behind a peak.
    fn why(&self, peak: ThermodynamicTemperature, depth: Length, in_depth: Option<&InDepth>) -> Why {
        let kinetics = &self.cure.kinetics;
        let mut from = vec![
            Why::given("mass of the mix", show(self.mass)),
            Why::given("starts at", show(self.starts_at)),
            Why::given("heat of reaction", show(kinetics.heat_of_reaction)).with_source(&kinetics.source),
            Why::given("specific heat", show(self.thermal.specific_heat)),
            Why::given("depth of the mix", show(depth)),
        ];
        let equation = match in_depth {
            None => {
                "C dT/dt = m H da/dt - heat given to the surroundings; one temperature for the mix, one for the vessel"
            }
            Some(d) => {
                from.push(Why::computed(
                    "shape exponent",
                    format!("{:.2}", d.shape_exponent),
                    "n = A L/V - 1, so that volume V, cooled area A and depth L from the hottest place to the nearest cooled face are the cup's",
                    vec![Why::given("L", show(d.half_depth))],
                ));
                "rho c dT/dt = r^-n d/dr (k r^n dT/dr) + rho H da/dt, heat given to the surroundings at r = L"
            }
        };
        Why::computed("peak of the cup", show(peak), equation, from)
    }

    fn summary_in(&self, work: &mut Workspace, cancel: Cancel<'_>) -> Result<CupSummary> {
        let s = self.simulate(work, Until::Said, &[], cancel)?;
        let (peak, peak_time) = s.peak();
        let (cure, end) = s.end(work);
        Ok(CupSummary {
            peak: ThermodynamicTemperature::from_si(peak)?,
            peak_time: Time::from_si(peak_time)?,
            probe_peak: ThermodynamicTemperature::from_si(s.probe.top.value)?,
            gel: reached(s.probe.gel)?,
            cure: DegreeOfCure::new(cure.clamp(0.0, 1.0))?,
            vitrified: self.cure.kinetics.vitrified(cure, end)?,
            in_depth: s.cells.is_some(),
        })
    }

    /// What the probe shows: gel, and the peak after it. It is followed no longer than that takes, in steps ten times as exact as
    /// [`run`](Self::run)'s.
    ///
    /// Of two cups whose kinetics differ by less than 1 % the difference is that of the cups; closer, it may be that of the steps.
    ///
    /// # Errors
    /// `NoSolution` where the probe shows neither within the duration; as [`run`](Self::run).
    pub fn reading(&self, cancel: Cancel<'_>) -> Result<ProbeReading> {
        let s = self.simulate(&mut Workspace::new(), Until::Read, &[], cancel)?;
        let Some(gel) = reached(s.probe.gel)?.filter(|_| s.past_peak) else {
            return Err(Error::no_solution(
                "duration",
                format_args!("gel at {} and a peak at the probe", show(self.cure.gel_at)),
                format!("none within {}", show(self.duration)),
                "lengthen the duration, raise the dose inside its window, or warm the cup",
            ));
        };
        let top = s.probe.top;
        Ok(ProbeReading {
            gel_time: gel,
            gel_to_peak: Time::from_si((top.time - gel.si()).max(0.0))?,
            peak_temperature: ThermodynamicTemperature::from_si(top.value)?,
        })
    }
}

/// What a logger would have written of a cup, in SI.
pub(crate) struct Logged {
    pub(crate) time: Vec<f64>,
    /// At the probe.
    pub(crate) temperature: Vec<f64>,
    /// None within the duration where missing.
    pub(crate) gel: Option<f64>,
    /// Highest at the probe.
    pub(crate) peak: f64,
    pub(crate) peak_time: f64,
}

impl Cup {
    /// The diameter of a cup as wide as its mix is deep, by the volume in m³.
    pub(crate) fn as_wide_as_deep(volume: f64) -> Result<Length> {
        Length::from_si((4.0 * volume / std::f64::consts::PI).cbrt())
    }

    /// The temperature at the probe over the whole duration, at as many even times as it has `points`, in the steps of
    /// [`reading`](Self::reading).
    pub(crate) fn logged(&self, cancel: Cancel<'_>) -> Result<Logged> {
        let s = self.simulate(&mut Workspace::new(), Until::Logged, &[], cancel)?;
        Ok(Logged {
            gel: reached(s.probe.gel)?.map(Quantity::si),
            peak: s.probe.top.value,
            peak_time: s.probe.top.time,
            time: s.curve.time,
            temperature: s.curve.temperature,
        })
    }
}

#[questions]
impl Cup {
    /// Exotherm of a cup of mixed resin: gel, peak and its time, at the probe, at the hottest place and on the mean.
    ///
    /// `C dT/dt = m H da/dt - heat given to the surroundings`, with one temperature for the mix and one for its vessel where
    /// the Biot number is below 0.1, else in depth: `rho c dT/dt = r^-n d/dr (k r^n dT/dr) + rho H da/dt`, `n = A L/V - 1`.
    ///
    /// # Errors
    /// `OutOfRange` for an absurd input, `Inconsistent` for a course that does not cover the run and for a probe outside the
    /// mix, `NotConverged` where the steps collapse; `Cancelled`.
    #[question("heat.cup", long)]
    pub fn run(&self, cancel: Cancel<'_>) -> Result<CupRun> {
        with_workspace(|work| self.run_in(work, cancel))
    }

    /// Pot life of a cup as a temperature: how long its probe takes from 20 to 50 °C, and to 40 °C less a margin.
    ///
    /// The shortest of `t(50 degC) - t(20 degC)`, defined for 100 g of mix, of `t(40 degC) - max(10 min, 0.2 t(40 degC))` and of
    /// gel. The product's data sheet says what its maker means by pot life.
    ///
    /// # Errors
    /// As [`run`](Self::run).
    #[question("heat.pot_life", long)]
    pub fn pot_life(&self, cancel: Cancel<'_>) -> Result<PotLifeByTemperature> {
        let wanted = [20.0, 40.0, 50.0].map(|t| celsius(t).si());
        let s = self.simulate(&mut Workspace::new(), Until::Warm, &wanted, cancel)?;
        let at = |k: usize| s.probe.reached[k].1;
        let warming = reached(at(2) - at(0))?;
        let forty =
            reached((at(1) - (0.2 * at(1)).max(600.0)).max(0.0).min(at(1)))?.filter(|_| !at(1).is_nan());
        let gel = reached(s.probe.gel)?;
        let pot_life = [warming, forty, gel]
            .into_iter()
            .flatten()
            .reduce(|a, b| if b.si() < a.si() { b } else { a });
        let mut cautions = vec![];
        if (self.mass.si() / 0.1 - 1.0).abs() > 0.01 {
            cautions.push(format!(
                "warming from 20 to 50 degC is defined for 100 g of mix, this is {}: a larger cup has a shorter pot life",
                show(self.mass)
            ));
        }
        if self.starts_at.si() > wanted[0] + 0.01 {
            cautions.push(format!(
                "mixed at {}, above 20 degC: the warming is counted from mixing",
                show(self.starts_at)
            ));
        }
        if warming.is_none() && forty.is_none() {
            cautions.push(
                "it gets no warmer than 40 degC: for so slow a mix pot life is the time in which its viscosity doubles, which \
                 may be well before gel"
                    .to_owned(),
            );
        }
        let shown = |t: Option<Time>| t.map_or_else(|| "never".into(), show);
        let why = Why::computed(
            "pot life",
            shown(pot_life),
            "the shortest of t(50 degC) - t(20 degC), t(40 degC) - max(10 min, 0.2 t(40 degC)) and gel, at the probe",
            vec![
                Why::given("from 20 to 50 degC", shown(warming)).with_source(&warming_as_pot_life()),
                Why::given("to 40 degC, less the margin", shown(forty)).with_source(&forty_as_pot_life()),
                Why::given("gel", shown(gel)),
            ],
        );
        Ok(PotLifeByTemperature {
            warming,
            to_forty_less_margin: forty,
            pot_life,
            gel,
            cautions,
            why,
        })
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
    /// Hottest, at the hottest place.
    pub peak: ThermodynamicTemperature,
    /// When it was hottest.
    pub peak_time: Time,
    /// Highest temperature that the probe shows.
    pub probe_peak: ThermodynamicTemperature,
    /// When it gelled at the probe.
    pub gel: Option<Time>,
    /// Mean conversion at the end.
    pub cure: DegreeOfCure,
    /// How sure that is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Whether it was followed in depth.
    pub in_depth: bool,
}

/// Where warming from 20 to 50 °C as pot life comes from.
fn warming_as_pot_life() -> Source {
    Source {
        author: "Nils Malmgren AB".into(),
        title: "Glossary, entry Potlife".into(),
        year: None,
        locator: "http://www.nilsmalmgren.com/technical/glossary/".into(),
        standing: Standing::Published,
    }
}

/// Where the time to 40 °C less a margin comes from.
fn forty_as_pot_life() -> Source {
    Source {
        author: "betonkonkret.de".into(),
        title: "Verarbeitungszeit (Topfzeit)".into(),
        year: None,
        locator: "https://betonkonkret.de/bauherren/artikel-details/news/verarbeitungszeit-topfzeit/".into(),
        standing: Standing::Published,
    }
}

/// Cups that share lanes.
const BLOCK: usize = 256;

impl PlainCup {
    /// The cup as a lane of [`follow`], where it has one temperature, one constant film and a power law.
    fn lumped(&self, cup: &Cup) -> Option<Lumped> {
        let s = &self.mix;
        if self.deep || cup.vessel.is_some() || s.capacity_slope != 0.0 || cup.stop_when_cooling {
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
            loss / (self.body.volume * s.capacity),
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
        probe_peak: ThermodynamicTemperature::from_si(s.peak)?,
        gel: reached(s.gel)?,
        cure: DegreeOfCure::new(s.cure.clamp(0.0, 1.0))?,
        in_depth: false,
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
    let mut followed = follow(&lanes, STEPS).into_iter();
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
    /// Peak at the hottest place, K.
    peak_k: Vec<Option<f64>>,
    /// Peak that the probe shows, K.
    probe_peak_k: Vec<Option<f64>>,
    /// When, s.
    peak_time_s: Vec<Option<f64>>,
    /// Gel time at the probe, s.
    gel_s: Vec<Option<f64>>,
    /// Conversion at the end.
    cure: Vec<Option<f64>>,
    /// Whether it was followed in depth.
    in_depth: Vec<Option<bool>>,
    /// Why a cup refused.
    error: Vec<Option<String>>,
}

impl Written for CupSweep {
    fn walk(&self, w: &mut dyn Walk) {
        let mut c = CupColumns::default();
        for row in &self.rows {
            let s = row.as_ref().ok();
            c.peak_k.push(s.map(|s| s.peak.si()));
            c.probe_peak_k.push(s.map(|s| s.probe_peak.si()));
            c.in_depth.push(s.map(|s| s.in_depth));
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
