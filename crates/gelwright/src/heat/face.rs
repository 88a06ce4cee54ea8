//! What a face of a wall, or a cup, gives its heat to.

use std::sync::Arc;

use super::edge::{Closing, Drain, Drive, EdgeLaw, FaceLaw, Film};
use super::layer::temperature;
use super::vector::{exp, ln};
use crate::constants::{ATMOSPHERE, GRAVITY, STEFAN_BOLTZMANN, ZERO_CELSIUS};
use crate::error::{Error, Result, finite};
use crate::noun::{self, Noun, questions};
use crate::quantity::{
    AvailableEnergy, HeatFluxDensity, HeatTransfer, Length, MassFlux, Quantity, ThermodynamicTemperature,
    Time, show,
};
use crate::source::{Source, Standing, Why};

/// A temperature over time.
#[derive(Clone, PartialEq, Noun)]
pub enum Course {
    /// The same throughout.
    Steady(ThermodynamicTemperature),
    /// Straight between points; it must cover the run.
    Points(Vec<CoursePoint>),
}

/// A point of a [`Course`].
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CoursePoint {
    /// When.
    pub at: Time,
    /// How warm.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
}

impl Course {
    /// From times and temperatures.
    pub fn points(points: impl IntoIterator<Item = (Time, ThermodynamicTemperature)>) -> Self {
        Course::Points(
            points
                .into_iter()
                .map(|(at, temperature)| CoursePoint { at, temperature })
                .collect(),
        )
    }

    /// The hottest and the coldest of the course, K.
    pub(crate) fn extremes(&self) -> (f64, f64) {
        match self {
            Course::Steady(t) => (t.si(), t.si()),
            Course::Points(p) => p.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| {
                (a.min(p.temperature.si()), b.max(p.temperature.si()))
            }),
        }
    }

    /// The course over a run of `duration` seconds.
    pub(crate) fn drive(&self, duration: f64) -> Result<Drive> {
        match self {
            Course::Steady(t) => Ok(Drive::constant(temperature("steady", *t)?)),
            Course::Points(points) => {
                let (Some(first), Some(last)) = (points.first(), points.last()) else {
                    return Err(Error::out_of_range(
                        "points",
                        "an empty list",
                        "one point or more",
                        "give the temperature over time",
                    ));
                };
                let mut times = Vec::with_capacity(points.len());
                let mut values = Vec::with_capacity(points.len());
                for (i, p) in points.iter().enumerate() {
                    let t = finite("at", p.at.si()).map_err(|e| e.within(format_args!("points[{i}]")))?;
                    if times.last().is_some_and(|&before| t <= before) {
                        return Err(Error::inconsistent(
                            format!("points[{i}].at"),
                            show(p.at),
                            format!("later than {}", show(points[i - 1].at)),
                            "give the points in the order of time, each time once",
                        ));
                    }
                    times.push(t);
                    values.push(p.temperature.si());
                }
                if first.at.si() > 1e-9 || last.at.si() < duration - 1e-9 {
                    return Err(Error::inconsistent(
                        "points",
                        format!("{} to {}", show(first.at), show(last.at)),
                        format!(
                            "a course from {} to {} (the run)",
                            show(Time::default()),
                            show(Time::from_si(duration)?)
                        ),
                        "lengthen the course or shorten the run: it is not extrapolated",
                    ));
                }
                Ok(Drive::series(times, values))
            }
        }
    }
}

/// A face of a wall.
#[derive(Clone, PartialEq, Noun)]
#[noun(tag = "kind")]
#[non_exhaustive]
pub enum Face {
    /// A plane of symmetry, or the centre of a cylinder or a sphere: no heat passes.
    Symmetric,
    /// Insulated: no heat passes.
    Insulated,
    /// A constant heat flux into the wall (a lamp); negative draws heat.
    Flux {
        /// Into the wall.
        #[noun(within("-100 kW/m^2", "100 kW/m^2", "an infrared lamp gives a few 'kW/m^2'"))]
        heat_flux: HeatFluxDensity,
    },
    /// Held at a temperature (a heated mould).
    Held {
        /// Of the face.
        temperature: Course,
    },
    /// Convection with a given coefficient, and radiation where an emissivity is given.
    Convection {
        /// Heat transfer coefficient.
        #[noun(within = crate::ranges::HEAT_TRANSFER)]
        coefficient: HeatTransfer,
        /// Emissivity of the face; no radiation where not given.
        #[noun(within = crate::ranges::EMISSIVITY)]
        emissivity: Option<f64>,
        /// Of the air (or the bath).
        temperature: Course,
        /// Monomer that evaporates from it, spell by spell; none where not given.
        #[noun(default)]
        evaporation: Vec<Evaporation>,
    },
    /// Still air: natural convection and radiation, both from the face's temperature.
    StillAir {
        /// How the face stands in the air.
        surroundings: Surroundings,
        /// Of the air and of the walls of the room.
        temperature: Course,
        /// Monomer that evaporates from it, spell by spell; none where not given.
        #[noun(default)]
        evaporation: Vec<Evaporation>,
    },
    /// A hollow body's inner face in a closed mould: it looks at the facing shell across a cavity full of air.
    ///
    /// Both shells being alike and equally warm, radiation and convection between them cancel: `h_r (T1 - T2) = 0`. What is
    /// left is the air, half of it for each: `q = -(rho_a c_a depth/2) dT/dt` out of the wall, with the air as warm as the
    /// face, `rho_a c_a` = 1.213 kJ/(m³ K) at 20 °C and one atmosphere. Not modelled: shells of different thickness, vapour
    /// of monomer, breathing through the vents.
    Cavity {
        /// From this face to the facing one.
        #[noun(within("0 mm", "10 m", "give the distance between the two inner faces"))]
        depth: Length,
        /// When the mould is closed; before, the face is open to the air.
        #[noun(
            default = "0 s",
            within("0 s", "1e8 s", "times count from the start of the run")
        )]
        closes_at: Time,
        /// The face until then; needed where it closes later than the run begins.
        open: Option<OpenFace>,
    },
}

/// A face in still air before a mould is closed over it.
#[derive(Clone, PartialEq, Noun)]
pub struct OpenFace {
    /// How the face stands in the air.
    pub surroundings: Surroundings,
    /// Of the air and of the walls of the room.
    pub temperature: Course,
    /// Monomer that evaporates from it, spell by spell; none where not given.
    #[noun(default)]
    pub evaporation: Vec<Evaporation>,
}

/// A spell in which monomer evaporates from an open film, as while it is rolled: it takes `mass flux x latent heat` from
/// the face, so that a thin film ends up `mass flux x latent heat / h` colder than it would be.
///
/// Published: 59 to 79 mg/(s m²) of styrene while a laminate is rolled, less between rolling and gel. Not modelled: the
/// mass that leaves (the layer keeps its thickness and its heat of reaction), a flux that falls as the film cools.
/// Source of the flux: A. Säämänen, R. Niemelä, T. Blomqvist, E. Nikander, Emission of styrene during the hand lay-up
/// molding of reinforced polyester, Appl. Occup. Environ. Hyg. 6 (9), 790-793 (1991), abstract.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Evaporation {
    /// What evaporates, per area and time.
    #[noun(within("0 mg/(m^2*s)", "10 g/(m^2*s)", "while it is rolled about '69 mg/(m^2*s)'"))]
    pub mass_flux: MassFlux,
    /// When it begins.
    #[noun(
        default = "0 s",
        within("0 s", "1e8 s", "times count from the start of the run")
    )]
    pub from: Time,
    /// When it ends: rolled, closed or gelled.
    #[noun(within("0 s", "1e8 s", "times count from the start of the run"))]
    pub until: Time,
    /// Latent heat of what evaporates; that of styrene at 25 °C, 43.9 kJ/mol (NIST Chemistry WebBook, SRD 69, from memory),
    /// where not given.
    #[noun(default = styrene_latent_heat(), within("50 J/g", "3000 J/g", "styrene has '421 J/g', acetone '534 J/g'"))]
    pub latent_heat: AvailableEnergy,
}

/// Of styrene at 25 °C. Source: [`Evaporation`].
fn styrene_latent_heat() -> AvailableEnergy {
    AvailableEnergy::new::<uom::si::available_energy::joule_per_gram>(421.0)
}

/// Styrene per area and time from a laminate while it is rolled: the middle of 59 to 79 mg/(s m²).
/// Source: [`Evaporation`].
pub(crate) const ROLLED: f64 = 69e-6;

impl Evaporation {
    /// From a laminate while it is rolled.
    pub fn rolled(from: Time, until: Time) -> Result<Self> {
        Ok(Evaporation {
            mass_flux: MassFlux::from_si(ROLLED)?,
            from,
            until,
            latent_heat: styrene_latent_heat(),
        })
    }

    fn drain(spells: &[Evaporation]) -> Result<Drain> {
        let mut drain: Vec<(f64, f64, f64)> = Vec::with_capacity(spells.len());
        let mut free = Time::default();
        for (i, e) in spells.iter().enumerate() {
            let field = |f: &str| format!("evaporation[{i}].{f}");
            if e.until <= e.from {
                return Err(Error::inconsistent(
                    field("until"),
                    show(e.until),
                    format!("later than {}, when it begins", show(e.from)),
                    "give when the film is closed or gelled",
                ));
            }
            if e.from < free {
                return Err(Error::inconsistent(
                    field("from"),
                    show(e.from),
                    format!("{} or later, when the spell before it ends", show(free)),
                    "give the spells in the order of time, without overlap",
                ));
            }
            free = e.until;
            drain.push((e.from.si(), e.until.si(), e.mass_flux.si() * e.latent_heat.si()));
        }
        Ok(Drain::new(drain))
    }
}

/// Density times specific heat of dry air at 20 °C and one atmosphere, J/(m³ K): 1.204 kg/m³ and 1007 J/(kg K).
/// Source: F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed. (2007), table A.4, between
/// 250 K and 300 K (from memory).
const AIR_CAPACITY: f64 = 1213.0;

impl Face {
    /// Convection with a constant coefficient to air at one temperature.
    pub fn convection(coefficient: HeatTransfer, air: ThermodynamicTemperature) -> Self {
        Face::Convection {
            coefficient,
            emissivity: None,
            temperature: Course::Steady(air),
            evaporation: vec![],
        }
    }
    /// Still air at one temperature.
    pub fn still_air(surroundings: Surroundings, air: ThermodynamicTemperature) -> Self {
        Face::StillAir {
            surroundings,
            temperature: Course::Steady(air),
            evaporation: vec![],
        }
    }
    /// Held at one temperature.
    pub fn held(temperature: ThermodynamicTemperature) -> Self {
        Face::Held {
            temperature: Course::Steady(temperature),
        }
    }

    /// Temperatures of the surroundings, where the face has any.
    pub(crate) fn course(&self) -> Option<&Course> {
        match self {
            Face::Symmetric | Face::Insulated | Face::Flux { .. } => None,
            Face::Cavity { open, .. } => open.as_ref().map(|o| &o.temperature),
            Face::Held { temperature }
            | Face::Convection { temperature, .. }
            | Face::StillAir { temperature, .. } => Some(temperature),
        }
    }

    /// What happens at it over a run of `duration` seconds.
    pub(crate) fn law(&self, duration: f64) -> Result<FaceLaw> {
        let drive = |c: &Course| c.drive(duration).map_err(|e| e.within("temperature"));
        Ok(match self {
            Face::Symmetric | Face::Insulated => EdgeLaw::Closed.into(),
            Face::Flux { heat_flux } => EdgeLaw::Flux(Drive::constant(heat_flux.si())).into(),
            Face::Held { temperature } => EdgeLaw::Fixed(drive(temperature)?).into(),
            Face::Convection {
                coefficient,
                emissivity,
                temperature,
                evaporation,
            } => {
                let h = coefficient.si();
                let law = match *emissivity {
                    None => EdgeLaw::Linear(h, drive(temperature)?),
                    Some(emissivity) => {
                        EdgeLaw::Film(Arc::new(Radiating { h, emissivity }), drive(temperature)?)
                    }
                };
                FaceLaw {
                    drain: Evaporation::drain(evaporation)?,
                    ..law.into()
                }
            }
            Face::StillAir {
                surroundings,
                temperature,
                evaporation,
            } => FaceLaw {
                drain: Evaporation::drain(evaporation)?,
                ..EdgeLaw::Film(Arc::new(*surroundings), drive(temperature)?).into()
            },
            Face::Cavity {
                depth,
                closes_at,
                open,
            } => FaceLaw {
                closing: Some(Closing {
                    at: closes_at.si(),
                    capacity: 0.5 * depth.si() * AIR_CAPACITY,
                }),
                ..open_until(*closes_at, open.as_ref(), duration)?
            },
        })
    }

    /// When a mould is closed over it.
    pub(crate) fn closes_at(&self) -> Option<Time> {
        match self {
            Face::Cavity { closes_at, .. } => Some(*closes_at),
            _ => None,
        }
    }
}

/// The face of a cavity before it is closed.
fn open_until(closes_at: Time, open: Option<&OpenFace>, duration: f64) -> Result<FaceLaw> {
    match open {
        None if closes_at > Time::default() => Err(Error::inconsistent(
            "open",
            "none",
            format!("the face as it is until {}, when it closes", show(closes_at)),
            "give how it stands in the air, or leave `closes_at` out",
        )),
        None => Ok(EdgeLaw::Closed.into()),
        Some(_) if closes_at == Time::default() => Err(Error::inconsistent(
            "open",
            "given",
            "none where the cavity is closed from the start",
            "leave it out, or give `closes_at`",
        )),
        Some(o) => {
            let drain = Evaporation::drain(&o.evaporation).map_err(|e| e.within("open"))?;
            if let Some(last) = o.evaporation.last()
                && last.until > closes_at
            {
                return Err(Error::inconsistent(
                    format!("open.evaporation[{}].until", o.evaporation.len() - 1),
                    show(last.until),
                    format!("{} or before, when it closes", show(closes_at)),
                    "what is closed does not evaporate into the room",
                ));
            }
            let air = o
                .temperature
                .drive(duration)
                .map_err(|e| e.within("open.temperature"))?;
            Ok(FaceLaw {
                drain,
                ..EdgeLaw::Film(Arc::new(o.surroundings), air).into()
            })
        }
    }
}

/// Emissivity of painted, resin and plaster faces where nobody says: from memory.
pub(crate) const EMISSIVITY: f64 = 0.9;

/// How a face stands in still air.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Stance {
    /// A vertical plate or the side of an upright cylinder; `size` is its height.
    Vertical,
    /// A level face looking up; `size` is its area over its perimeter.
    LevelUp,
    /// A level face looking down; `size` is its area over its perimeter.
    LevelDown,
    /// A lying cylinder; `size` is its diameter.
    LyingCylinder,
    /// A ball; `size` is its diameter.
    Ball,
}

/// Still air around a face: natural convection by correlations of the Nusselt with the Rayleigh number, and
/// radiation to walls at the air's temperature.
///
/// | stance | `Nu` |
/// |---|---|
/// | vertical | `(0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))²` (Churchill, Chu 1975) |
/// | level, warm side up | the larger of `0.54 Ra^(1/4)` and `0.15 Ra^(1/3)` (Lloyd, Moran 1974) |
/// | level, warm side down | `0.27 Ra^(1/4)` |
/// | lying cylinder | `(0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))²` (Churchill, Chu 1975) |
/// | ball | `2 + 0.589 Ra^(1/4) / (1 + (0.469/Pr)^(9/16))^(4/9)` (Churchill 1983) |
///
/// `Ra = g |dT| L³ / (T_f nu a)` with the air's properties at the film temperature `T_f`: Sutherland's law for
/// viscosity and conductivity, the ideal gas for density, `c_p = 1007 J/(kg K)`, at one atmosphere. A cold face
/// looking up counts as a warm one looking down. Radiation: `eps sigma (T_air⁴ - T_face⁴)`.
/// Range of the level correlations: `Ra` 1e4 to 1e11 (up), 1e5 to 1e10 (down); of the ball `Ra <= 1e11`.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Surroundings {
    /// How it stands.
    pub stance: Stance,
    /// The length that the stance asks for.
    #[noun(within(
        "1 mm",
        "10 m",
        "give the height, diameter or area over perimeter of the face"
    ))]
    pub size: Length,
    /// Emissivity of the face.
    #[noun(within = crate::ranges::EMISSIVITY)]
    pub emissivity: f64,
    /// Factor on convection and radiation together, 1 as computed; correlations for still air are good to a quarter (common
    /// practice, no source).
    #[noun(default = 1.0, within(0.1, 10, "1 takes the film as it is computed"))]
    pub film_factor: f64,
}

/// Heat transfer coefficient of a face.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FilmCoefficient {
    /// Of convection and radiation together.
    pub coefficient: HeatTransfer,
    /// Of convection alone.
    pub convection: HeatTransfer,
    /// Equation and sources.
    pub why: Why,
}

/// Conductivity (W/(m K)), kinematic viscosity (m²/s) and Prandtl number of dry air at one atmosphere.
///
/// Sutherland's law with the constants of F. M. White, *Viscous Fluid Flow*, 2nd ed. (1991), tables 1-2 and 1-3
/// `[from memory]`; within 2 % of tables from 250 K to 700 K.
pub(crate) fn air(t: f64) -> (f64, f64, f64) {
    let r = t / ZERO_CELSIUS;
    let r15 = r * r.sqrt();
    let mu = VISCOSITY.at_zero * r15 * (ZERO_CELSIUS + VISCOSITY.beyond) / (t + VISCOSITY.beyond);
    let k = CONDUCTS.at_zero * r15 * (ZERO_CELSIUS + CONDUCTS.beyond) / (t + CONDUCTS.beyond);
    let rho = ATMOSPHERE / (GAS_OF_AIR * t);
    (k, mu / rho, mu * HEAT_OF_AIR / k)
}

/// What Sutherland's law takes: the value at 0 °C, and the kelvin that its constant adds.
struct Sutherland {
    at_zero: f64,
    beyond: f64,
}

/// Pa s.
const VISCOSITY: Sutherland = Sutherland {
    at_zero: 1.716e-5,
    beyond: 111.0,
};
/// W/(m K).
const CONDUCTS: Sutherland = Sutherland {
    at_zero: 0.0241,
    beyond: 194.0,
};
/// Gas constant of dry air and its specific heat, J/(kg K).
const GAS_OF_AIR: f64 = 287.05;
const HEAT_OF_AIR: f64 = 1007.0;

/// The same air with its slopes, without branches and powers: for faces side by side.
#[inline(always)]
pub(super) fn air_slopes(t: f64) -> AirSlopes {
    let (per_t, r) = (1.0 / t, t * (1.0 / ZERO_CELSIUS));
    let r15 = r * r.sqrt();
    let (per_mu, per_k) = (1.0 / (t + VISCOSITY.beyond), 1.0 / (t + CONDUCTS.beyond));
    let mu = VISCOSITY.at_zero * (ZERO_CELSIUS + VISCOSITY.beyond) * r15 * per_mu;
    let k = CONDUCTS.at_zero * (ZERO_CELSIUS + CONDUCTS.beyond) * r15 * per_k;
    let per_nu = ATMOSPHERE * per_t / (GAS_OF_AIR * mu);
    let prandtl = mu * HEAT_OF_AIR / k;
    let (mu_slope, k_slope) = (1.5 * per_t - per_mu, 1.5 * per_t - per_k);
    // nu goes with mu T.
    let rayleigh_slope = (mu_slope - k_slope) - per_t - 2.0 * (mu_slope + per_t);
    AirSlopes {
        conductivity: (k, k_slope),
        rayleigh: (prandtl * per_t * per_nu * per_nu, rayleigh_slope),
        prandtl: (prandtl, mu_slope - k_slope),
    }
}

/// Numbers of the air, each with the slope of its logarithm by the temperature, 1/K.
pub(super) struct AirSlopes {
    /// W/(m K).
    pub(super) conductivity: (f64, f64),
    /// `Pr/(T nu²)`.
    pub(super) rayleigh: (f64, f64),
    pub(super) prandtl: (f64, f64),
}

/// Constants of a correlation: `base + led Ra^r / (1 + (over/Pr)^(9/16))^power`, squared for an upright and a lying face.
pub(super) struct Correlation {
    pub(super) base: f64,
    pub(super) led: f64,
    pub(super) over: f64,
    pub(super) power: f64,
}

/// With the sixth root of the Rayleigh number.
pub(super) const UPRIGHT_PLATE: Correlation = Correlation {
    base: 0.825,
    led: 0.387,
    over: 0.492,
    power: 8.0 / 27.0,
};
pub(super) const LYING_CYLINDER: Correlation = Correlation {
    base: 0.60,
    led: 0.387,
    over: 0.559,
    power: 8.0 / 27.0,
};
/// With the fourth root.
pub(super) const LONE_BALL: Correlation = Correlation {
    base: 2.0,
    led: 0.589,
    over: 0.469,
    power: 4.0 / 9.0,
};
/// The power of the Prandtl number in all of them.
pub(super) const PRANDTL: f64 = 9.0 / 16.0;
/// Of a level face whose warm side is up, before the fourth and before the third root; whose warm side is down, before the fourth.
pub(super) const WARM_UP: (f64, f64) = (0.54, 0.15);
pub(super) const WARM_DOWN: f64 = 0.27;

impl Correlation {
    /// What stands before the root in air of this Prandtl number.
    fn leads(&self, prandtl: f64) -> f64 {
        self.led / (1.0 + (self.over / prandtl).powf(PRANDTL)).powf(self.power)
    }
}

/// What convection takes of the air at one film temperature, the numbers of [`FilmAir`] by their places.
const CONDUCTIVITY: usize = 0;
/// Constants before a root of `|dT| L³` in the Nusselt number, with the root of the rest of the Rayleigh number: the sixth of an
/// upright face, the sixth of a lying cylinder, the fourth of a ball, the fourth and the third of a level face.
const UPRIGHT: usize = 1;
const LYING: usize = 2;
const BALL: usize = 3;
const FOURTH: usize = 4;
const THIRD: usize = 5;

#[derive(Clone, Copy)]
struct FilmAir([f64; 6]);

impl FilmAir {
    fn at(t: f64) -> Self {
        let (conductivity, nu, prandtl) = air(t);
        // Rayleigh number per kelvin and cubic metre.
        let rayleigh = GRAVITY * prandtl / (t * nu * nu);
        let root = |of: f64| rayleigh.powf(1.0 / of);
        FilmAir([
            conductivity,
            UPRIGHT_PLATE.leads(prandtl) * root(6.0),
            LYING_CYLINDER.leads(prandtl) * root(6.0),
            LONE_BALL.leads(prandtl) * root(4.0),
            root(4.0),
            root(3.0),
        ])
    }

    /// At both ends of the kelvin that `t` lies in, and its share of it. Straight between whole kelvins, which is within 2e-5 of the
    /// coefficient: powers cost more than the rest of a step. Beyond the table both ends are that which it is.
    fn around(t: f64) -> (Self, Self, f64) {
        const FROM: usize = 100;
        const UP_TO: usize = 1000;
        static TABLE: std::sync::OnceLock<Vec<FilmAir>> = std::sync::OnceLock::new();
        #[allow(clippy::cast_precision_loss)]
        let make = || (FROM..=UP_TO).map(|t| FilmAir::at(t as f64)).collect();
        let place = t - 100.0;
        // A trial step of a runaway may ask for any temperature.
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss
        )]
        let i = place.clamp(0.0, 2.0 * UP_TO as f64) as usize;
        let table = TABLE.get_or_init(make);
        match (table.get(i), table.get(i + 1)) {
            #[allow(clippy::cast_precision_loss)]
            (Some(a), Some(b)) if place >= 0.0 => (*a, *b, place - i as f64),
            _ => (FilmAir::at(t), FilmAir::at(t), 0.0),
        }
    }
}

/// Convection at one pair of temperatures, W/(m² K).
struct Convection {
    coefficient: f64,
    /// That times the power of the difference in temperature that it goes with here.
    by_difference: f64,
    /// Its slope by the film temperature at the same difference, W/(m² K²).
    by_film: f64,
}

#[questions]
impl Surroundings {
    /// Of a face.
    pub fn new(stance: Stance, size: Length, emissivity: f64) -> Self {
        Surroundings {
            stance,
            size,
            emissivity,
            film_factor: 1.0,
        }
    }

    /// Where the correlations come from.
    pub fn source(&self) -> Source {
        Source {
            author: "F. P. Incropera, D. P. DeWitt".into(),
            title: "Fundamentals of Heat and Mass Transfer".into(),
            year: Some(2007),
            locator: "chapter 9, equations 9.26, 9.30 to 9.32, 9.34, 9.35 (6th ed.)".into(),
            standing: Standing::FromMemory,
        }
    }

    /// Nusselt number from the Rayleigh and the Prandtl number; `warm` when the face is warmer than the air.
    pub fn nusselt(&self, rayleigh: f64, prandtl: f64, warm: bool) -> f64 {
        let sixth = || rayleigh.cbrt().sqrt();
        let quarter = || rayleigh.sqrt().sqrt();
        let up = || (WARM_UP.0 * quarter()).max(WARM_UP.1 * rayleigh.cbrt());
        let down = || WARM_DOWN * quarter();
        let with = |c: Correlation, root: f64| c.base + c.leads(prandtl) * root;
        match self.stance {
            Stance::Vertical => with(UPRIGHT_PLATE, sixth()).powi(2),
            Stance::LyingCylinder => with(LYING_CYLINDER, sixth()).powi(2),
            Stance::Ball => with(LONE_BALL, quarter()),
            Stance::LevelUp if warm => up(),
            Stance::LevelDown if !warm => up(),
            Stance::LevelUp | Stance::LevelDown => down(),
        }
    }

    /// Convection alone, W/(m² K), plain SI.
    pub(crate) fn convection(&self, surface: f64, air_temperature: f64) -> f64 {
        let film = 0.5 * (surface + air_temperature);
        let (k, nu, prandtl) = air(film.max(100.0));
        let size = self.size.si();
        let difference = (surface - air_temperature).abs();
        let rayleigh = GRAVITY * difference * size.powi(3) * prandtl / (film * nu * nu);
        self.nusselt(rayleigh, prandtl, surface > air_temperature) * k / size
    }

    /// The same from tabled air, with its slopes, as the steps of a run take it.
    fn tabled_convection(&self, surface: f64, air_temperature: f64) -> Convection {
        let (FilmAir(a), FilmAir(b), x) = FilmAir::around((0.5 * (surface + air_temperature)).max(100.0));
        let size = self.size.si();
        let grows = (surface - air_temperature).abs() * (size * size * size);
        // Within 1e-10, in a part of the standard library's time.
        let root = |of: f64| exp::<false>(ln::<false>(grows.max(1e-300)) * (1.0 / of));
        let fourth = || grows.sqrt().sqrt();
        let of = |k: usize| a[k] + x * (b[k] - a[k]);
        // The root with its constant, and the slope of that by the film temperature.
        let led = |k: usize, root: f64| (of(k) * root, (b[k] - a[k]) * root);
        // Nusselt number, that times its power of the difference, its slope by the film temperature.
        let squared = |base: f64, k: usize| {
            let (led, slope) = led(k, root(6.0));
            let all = base + led;
            (all * all, all * led * (1.0 / 3.0), 2.0 * all * slope)
        };
        let plain = |base: f64, power: f64, (led, slope): (f64, f64)| (base + led, power * led, slope);
        let level = |c: f64, power: f64, (led, slope): (f64, f64)| plain(0.0, power, (c * led, c * slope));
        let (nusselt, by_difference, by_film) = match (self.stance, surface > air_temperature) {
            (Stance::Vertical, _) => squared(UPRIGHT_PLATE.base, UPRIGHT),
            (Stance::LyingCylinder, _) => squared(LYING_CYLINDER.base, LYING),
            (Stance::Ball, _) => plain(LONE_BALL.base, 0.25, led(BALL, fourth())),
            (Stance::LevelUp, true) | (Stance::LevelDown, false) => {
                let laminar = level(WARM_UP.0, 0.25, led(FOURTH, fourth()));
                let turbulent = level(WARM_UP.1, 1.0 / 3.0, led(THIRD, root(3.0)));
                if turbulent.0 > laminar.0 {
                    turbulent
                } else {
                    laminar
                }
            }
            (Stance::LevelUp | Stance::LevelDown, _) => level(WARM_DOWN, 0.25, led(FOURTH, fourth())),
        };
        let (per_size, k) = (1.0 / size, of(CONDUCTIVITY));
        Convection {
            coefficient: nusselt * k * per_size,
            by_difference: by_difference * k * per_size,
            by_film: (by_film * k + nusselt * (b[CONDUCTIVITY] - a[CONDUCTIVITY])) * per_size,
        }
    }

    /// Convection and radiation together, W/(m² K), plain SI.
    pub(crate) fn both(&self, surface: f64, air: f64) -> f64 {
        let radiation =
            self.emissivity * STEFAN_BOLTZMANN * (surface * surface + air * air) * (surface + air);
        self.film_factor * (self.convection(surface, air) + radiation)
    }

    /// Heat transfer coefficient of a face in still air: natural convection and radiation.
    ///
    /// `f (Nu(Ra, Pr) k / L + eps sigma (Tf² + Ta²)(Tf + Ta))` with the Nusselt number of its stance.
    ///
    /// # Errors
    /// `OutOfRange` for a size, an emissivity or a temperature outside its range.
    #[question("heat.still_air")]
    pub fn coefficient(
        &self,
        /// Temperature of the face.
        #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
        face: ThermodynamicTemperature,
        /// Temperature of air and walls.
        #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
        air: ThermodynamicTemperature,
    ) -> Result<FilmCoefficient> {
        noun::check(self)?;
        let (s, a) = (face.si(), air.si());
        let coefficient = HeatTransfer::from_si(self.both(s, a))?;
        Ok(FilmCoefficient {
            coefficient,
            convection: HeatTransfer::from_si(self.film_factor * self.convection(s, a))?,
            why: Why::computed(
                "heat transfer coefficient",
                show(coefficient),
                "f (Nu(Ra, Pr) k / L + eps sigma (Tf^2 + Ta^2)(Tf + Ta))",
                vec![
                    Why::given("film factor f", self.film_factor.to_string()),
                    Why::given("face", show(face)),
                    Why::given("air", show(air)),
                    Why::given("size", show(self.size)),
                ],
            )
            .with_source(&self.source()),
        })
    }
}

impl Film for Surroundings {
    fn surroundings(&self) -> Option<Surroundings> {
        Some(*self)
    }

    fn flux(&self, s: f64, a: f64) -> (f64, f64, f64) {
        let d = a - s;
        let c = self.tabled_convection(s, a);
        let h = c.coefficient;
        let e = self.emissivity * STEFAN_BOLTZMANN;
        let q = h * d + e * (a.powi(4) - s.powi(4));
        // Of `h d` by either temperature, the film being half of each.
        let (by_difference, by_film) = (h + c.by_difference, 0.5 * c.by_film * d);
        let by_surface = by_film - by_difference - 4.0 * e * s.powi(3);
        let by_air = by_film + by_difference + 4.0 * e * a.powi(3);
        let f = self.film_factor;
        (f * q, f * by_surface, f * by_air)
    }
}

/// Constant coefficient and radiation.
struct Radiating {
    h: f64,
    emissivity: f64,
}

impl Film for Radiating {
    fn flux(&self, s: f64, a: f64) -> (f64, f64, f64) {
        let e = self.emissivity * STEFAN_BOLTZMANN;
        (
            self.h * (a - s) + e * (a.powi(4) - s.powi(4)),
            -self.h - 4.0 * e * s.powi(3),
            self.h + 4.0 * e * a.powi(3),
        )
    }
}

/// Every way to stand.
#[cfg(test)]
pub(super) const STANCES: [Stance; 5] = [
    Stance::Vertical,
    Stance::LevelUp,
    Stance::LevelDown,
    Stance::LyingCylinder,
    Stance::Ball,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tabled_air_is_the_air() {
        for stance in STANCES {
            let s = Surroundings::new(stance, Length::from_si(0.15).unwrap(), 0.9);
            for surface in [120.0, 270.3, 290.15, 293.7, 310.2, 353.9, 420.6, 700.1, 1400.0] {
                let (a, b) = (
                    s.tabled_convection(surface, 293.15).coefficient,
                    s.convection(surface, 293.15),
                );
                assert!((a / b - 1.0).abs() < 1e-4, "{surface} K: {a} and {b}");
                // Slopes against differences of the flux itself, with untabled air.
                let flux = |surface: f64, air: f64| {
                    s.convection(surface, air) * (air - surface)
                        + 0.9 * STEFAN_BOLTZMANN * (air.powi(4) - surface.powi(4))
                };
                let (_, by_surface, by_air) = s.flux(surface, 293.15);
                let step = 1e-3 * (surface - 293.15).abs();
                let differences = [
                    (flux(surface + step, 293.15) - flux(surface - step, 293.15)) / (2.0 * step),
                    (flux(surface, 293.15 + step) - flux(surface, 293.15 - step)) / (2.0 * step),
                ];
                for (got, expected) in [by_surface, by_air].into_iter().zip(differences) {
                    assert!(
                        (got / expected - 1.0).abs() < 2e-3,
                        "{:?} {surface} K: {got} and {expected}",
                        stance
                    );
                }
            }
        }
    }
}
