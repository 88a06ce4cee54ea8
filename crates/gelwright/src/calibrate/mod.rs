//! Constants from data: one law for all that is known of a resin.
//!
//! A resin's gel-time table, the cups and films that were timed and the heat that its sheet states all come from one reaction.
//! [`Evidence`] holds them, each with its own spread; [`Evidence::calibrate`] finds the one set of constants of the
//! [`FreeRadical`](crate::cure::FreeRadical) law that shows them all best, with what was known of such resins before, and
//! how far the law may be off; [`Calibration`] says row by row what agrees and names what does not. Laws drawn from its band
//! ([`Calibration::law_at`]) carry it to whatever is forecast.
//!
//! The law, at dose `d` and reference dose `d0`, with `z` the inhibitor:
//!
//! ```text
//! di/dt = kd(T) (d/d0)^r (1 - i),   da/dt = kp(T) R(d i - z) (1 - a),   gel at a = ag
//! ```
//!
//! | constant | before anything is measured | source |
//! |---|---|---|
//! | `z/d0` | the resin's `peroxide_cure.inhibitor_share` in the catalogue; 0.30, odds within a factor of e | the catalogue's; common practice, no source |
//! | `kd` at 25 °C | 3e-4 1/s, a factor of 5 | common practice, no source |
//! | `kp` at 25 °C and 1 phr | 3e-3 1/s, a factor of 3 | common practice, no source: cups peak 9 to 21 min after gel |
//! | `E` of `kd` | `peroxide_cure.decomposition_energy`; 50 ± 7 kJ/mol | the catalogue's; J. Appl. Polym. Sci. 102:1870 (2006), abstract: 40 to 60 |
//! | `E` of `kp` | `peroxide_cure.propagation_energy`; 28 ± 3.5 kJ/mol | the catalogue's; Thermochim. Acta 289:209 (1996), abstract: 23.6; styrene 31, Macromol. Chem. Phys. 196 (1995), abstract |
//! | `r` | 0 ± 0.2 | common practice, no source |
//! | `ag` | `peroxide_cure.gel_conversion`; 4.5 %, 2 to 10 % nine times in ten | the catalogue's; from memory |
//! | heat | `heat_of_reaction` | the catalogue's, from the chemistry |
//! | factor on the film of a cup in still air | 1 ± 0.145 | common practice, no source: correlations are good to a quarter |
//! | specific heat | `specific_heat`; 1.9 J/(g K) ± 12 % | the catalogue's; from memory |
//!
//! A range of the catalogue counts as two standard deviations to both sides. A cup tells the heat over the specific heat, and
//! the film over the specific heat: how well each of the three is known alone is what was known before, and their band moves
//! together. The film that is fitted is that of the shop's bench: its own cups are forecast with it, and with that specific heat.
//!
//! Not modelled: self-heating of the cup that a gel-time table was taken in; the end points of different sheets (a needle
//! that stands, a string that breaks); epoxies and polyurethanes, which are refused.
mod calibration;
mod evidence;
mod forecast;
mod law;
mod least_squares;

pub use calibration::{Calibration, RowResidual};
pub use evidence::{CupTest, Evidence, GelTest};
pub(crate) use evidence::{or_usual, thermal_of};
pub use forecast::{BandDriver, GelForecast};
pub(crate) use law::STILL_AIR;
pub use law::{CalibratedConstant, DrawnLaw};

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[Evidence::QUESTIONS, Calibration::QUESTIONS];
