//! Exotherm: how hot a cup, a wall or a solid pour gets, when, where, and what that does.
//!
//! [`Cup`] is lumped where that is fair and else followed in depth, [`Wall`] always resolves depth; both cure by the [`Kinetics`](crate::cure::Kinetics) of their layers.
//! [`pour`] asks how thick at once, in how many pours, hollow or solid; [`critical`] from which size on a mass runs away.
//! [`Wall::sweep`] and [`Cup::sweep`] run many on all cores.
//!
//! ```
//! use gelwright::Cancel;
//! use gelwright::cure::{Kinetics, NthOrder, RateConstant, RateLaw};
//! use gelwright::heat::{Cure, Face, Layer, Thermal, Wall};
//! use gelwright::quantity::{DegreeOfCure, Quantity, parse, temperature::{celsius, to_celsius}};
//! # fn main() -> gelwright::Result<()> {
//! # fn q<Q: Quantity>(text: &str) -> gelwright::Result<Q> { parse("x", text) }
//! let kinetics = Kinetics {
//!     law: RateLaw::NthOrder(NthOrder {
//!         k: RateConstant::at(celsius(25.0), q("2e-4 1/s")?, q("60 kJ/mol")?),
//!         n: 1.0,
//!     }),
//!     heat_of_reaction: q("300 J/g")?,
//!     seed: DegreeOfCure::new(0.0)?,
//!     vitrification: None,
//!     fitted: None,
//!     source: gelwright::Source::of(gelwright::Standing::Invented, "for this example"),
//! };
//! let resin = Thermal::new(q("1.1 g/mL")?, q("1.9 J/(g*K)")?, q("0.18 W/(m*K)")?);
//! let pour = Layer::curing("pour", q("20 mm")?, resin, Cure::new(kinetics, DegreeOfCure::new(0.1)?), celsius(20.0));
//! let air = || Face::convection(q("10 W/(m^2*K)").unwrap(), celsius(20.0));
//! let run = Wall::plane(vec![pour], air(), air(), q("6 h")?).run(Cancel::NEVER)?;
//! // Beside the cooled face a reaction front passes even the adiabatic end of 20 degC + 300/1.9 K; the cells are fine
//! // enough for 0.5 K, and heat is conserved.
//! assert!(to_celsius(run.peak.temperature) > 150.0 && run.cells.converged && run.heat.residual.abs() < 1e-6);
//! # Ok(())
//! # }
//! ```
mod alike;
mod alike_film;
mod alike_glance;
mod alike_law;
mod body;
pub mod boiling;
mod cautions;
mod chemistry;
pub mod critical;
mod cubic;
pub mod cup;
mod cup_follow;
mod cup_lanes;
mod edge;
pub mod face;
pub mod gel_time;
pub mod geometry;
mod grid;
mod kernel;
pub mod layer;
mod mixture;
mod passes;
pub mod pour;
pub mod probe;
mod tableau;
mod track;
mod values;
mod vector;
pub mod wall;

pub use boiling::{Boiling, Monomer};
pub use critical::{CriticalSize, critical_delta};
pub use cup::{
    Cup, CupCurve, CupRun, CupSummary, CupSweep, InDepth, Lumping, Place, PotLifeByTemperature, ProbeReading,
    Resolve, Vessel,
};
pub(crate) use cup_follow::CupBrief;
pub(crate) use face::EMISSIVITY;
pub use face::{Course, CoursePoint, Evaporation, Face, FilmCoefficient, OpenFace, Stance, Surroundings};
pub use gel_time::{DoseForGel, PourTemperature};
pub use geometry::{Geometry, Grows};
pub use layer::{Cure, Layer, Thermal};
pub use passes::{Cells, Ended};
pub use pour::{
    Cracking, Extent, FilledCavity, HeatLimit, HollowOrSolid, MouldCavity, Pours, ThickestPour,
    ThicknessForPeak,
};
pub use probe::Probe;
pub use values::WallValues;
pub use wall::{HeatBalance, LayerRun, Peak, Profiles, Wall, WallRun, WallSummary, WallSweep};
pub(crate) use wall::{LayerWay, LoosePass, PacedWall, TracedWall, WallBrief};

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Cup::QUESTIONS,
    Wall::QUESTIONS,
    Wall::POURING,
    Wall::VALUES,
    MouldCavity::QUESTIONS,
    Cure::QUESTIONS,
    Cup::GEL_TIME,
    Surroundings::QUESTIONS,
];
