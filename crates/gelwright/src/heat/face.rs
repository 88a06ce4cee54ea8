//! What a face of a wall, or a cup, gives its heat to.

use std::sync::Arc;

use super::edge::{Closing, Drain, Drive, EdgeLaw, FaceLaw, Film};
use super::layer::temperature;
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
    let mu = 1.716e-5 * r15 * (ZERO_CELSIUS + 111.0) / (t + 111.0);
    let k = 0.0241 * r15 * (ZERO_CELSIUS + 194.0) / (t + 194.0);
    let rho = ATMOSPHERE / (287.05 * t);
    (k, mu / rho, mu * 1007.0 / k)
}

/// What convection takes of the air at one film temperature.
#[derive(Clone, Copy)]
struct FilmAir {
    /// W/(m K).
    conductivity: f64,
    /// Rayleigh number per kelvin and cubic metre.
    rayleigh: f64,
    /// What the Prandtl number leaves of the leading constants: upright, lying cylinder, ball.
    prandtl: [f64; 3],
}

impl FilmAir {
    fn at(t: f64) -> Self {
        let (conductivity, nu, prandtl) = air(t);
        let of = |c: f64, power: f64| (1.0 + (c / prandtl).powf(9.0 / 16.0)).powf(power);
        FilmAir {
            conductivity,
            rayleigh: GRAVITY * prandtl / (t * nu * nu),
            prandtl: [
                0.387 / of(0.492, 8.0 / 27.0),
                0.387 / of(0.559, 8.0 / 27.0),
                0.589 / of(0.469, 4.0 / 9.0),
            ],
        }
    }

    /// Straight between whole kelvins, which is within 2e-5 of the coefficient: powers cost more than the rest of a step.
    fn between(t: f64) -> Self {
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
        let (Some(a), Some(b)) = (table.get(i), table.get(i + 1)) else {
            return FilmAir::at(t);
        };
        if place < 0.0 {
            return FilmAir::at(t);
        }
        #[allow(clippy::cast_precision_loss)]
        let x = place - i as f64;
        let mix = |a: f64, b: f64| a + x * (b - a);
        FilmAir {
            conductivity: mix(a.conductivity, b.conductivity),
            rayleigh: mix(a.rayleigh, b.rayleigh),
            prandtl: std::array::from_fn(|k| mix(a.prandtl[k], b.prandtl[k])),
        }
    }
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
        let up = || (0.54 * quarter()).max(0.15 * rayleigh.cbrt());
        let down = || 0.27 * quarter();
        match self.stance {
            Stance::Vertical => {
                let f = (1.0 + (0.492 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
                (0.825 + 0.387 * sixth() / f).powi(2)
            }
            Stance::LyingCylinder => {
                let f = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
                (0.60 + 0.387 * sixth() / f).powi(2)
            }
            Stance::Ball => {
                2.0 + 0.589 * quarter() / (1.0 + (0.469 / prandtl).powf(9.0 / 16.0)).powf(4.0 / 9.0)
            }
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

    /// The same from tabled air, as the steps of a run take it.
    fn tabled_convection(&self, surface: f64, air_temperature: f64) -> f64 {
        let film = FilmAir::between((0.5 * (surface + air_temperature)).max(100.0));
        let size = self.size.si();
        let rayleigh = film.rayleigh * (surface - air_temperature).abs() * (size * size * size);
        let warm = surface > air_temperature;
        let sixth = || rayleigh.cbrt().sqrt();
        let quarter = || rayleigh.sqrt().sqrt();
        let nusselt = match self.stance {
            Stance::Vertical => {
                let root = 0.825 + film.prandtl[0] * sixth();
                root * root
            }
            Stance::LyingCylinder => {
                let root = 0.60 + film.prandtl[1] * sixth();
                root * root
            }
            Stance::Ball => 2.0 + film.prandtl[2] * quarter(),
            Stance::LevelUp | Stance::LevelDown => self.nusselt(rayleigh, 1.0, warm),
        };
        nusselt * film.conductivity / size
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
    fn flux(&self, s: f64, a: f64) -> (f64, f64, f64) {
        // h varies as a small power of the difference: a one-sided difference gives its slope.
        const STEP: f64 = 0.01;
        let d = a - s;
        let h = self.tabled_convection(s, a);
        let away = if s >= a { STEP } else { -STEP };
        let slope = (self.tabled_convection(s + away, a) - h) / away;
        let e = self.emissivity * STEFAN_BOLTZMANN;
        let q = h * d + e * (a.powi(4) - s.powi(4));
        let by_surface = slope * d - h - 4.0 * e * s.powi(3);
        let by_air = h - slope * d + 4.0 * e * a.powi(3);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tabled_air_is_the_air() {
        for stance in [
            Stance::Vertical,
            Stance::LevelUp,
            Stance::LevelDown,
            Stance::LyingCylinder,
            Stance::Ball,
        ] {
            let s = Surroundings::new(stance, Length::from_si(0.15).unwrap(), 0.9);
            for surface in [120.0, 270.3, 290.15, 293.7, 310.2, 353.9, 420.6, 700.1, 1400.0] {
                let (a, b) = (
                    s.tabled_convection(surface, 293.15),
                    s.convection(surface, 293.15),
                );
                assert!((a / b - 1.0).abs() < 1e-4, "{surface} K: {a} and {b}");
            }
        }
    }
}
