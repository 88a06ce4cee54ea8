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
//! | `z/d0` | the resin's `peroxide_cure.inhibitor_share` in the catalogue, or the orthophthalic polyester's | the catalogue's |
//! | `kd` at 25 °C | 3e-4 1/s, a factor of 5 | common practice, no source |
//! | `kp` at 25 °C and 1 phr | 3e-3 1/s, a factor of 3 | common practice, no source: cups peak 9 to 21 min after gel |
//! | `E` of `kd` | `peroxide_cure.decomposition_energy`, likewise | the catalogue's |
//! | `E` of `kp` | `peroxide_cure.propagation_energy`, likewise | the catalogue's |
//! | `r` | 0 ± 0.2 | common practice, no source |
//! | `ag` | `peroxide_cure.gel_conversion`, likewise | the catalogue's |
//! | heat | `heat_of_reaction` | the catalogue's, from the chemistry |
//! | factor on the film of a cup in still air | 1 ± 0.144 | common practice, no source: correlations are good to a quarter |
//! | specific heat | `specific_heat`; 1.9 J/(g K) ± 12 % | the catalogue's; from memory |
//!
//! A range of the catalogue counts as two standard deviations to both sides. A cup tells the heat over the specific heat, and
//! the film over the specific heat: how well each of the three is known alone is what was known before, and their band moves
//! together. The film that is fitted is that of the shop's bench: its own cups are forecast with it, and with that specific heat.
//!
//! Not modelled: self-heating of the cup that a gel-time table was taken in; the end points of different sheets (a needle
//! that stands, a string that breaks); epoxies and polyurethanes, which are refused.
mod band;
mod calibration;
mod cup_forecast;
mod curve;
mod evidence;
mod forecast;
mod kept;
mod law;
mod log;
mod lots;
mod next_test;
mod slips;
mod spoiled;
mod tells;

pub use calibration::{Calibration, RowResidual};
pub use cup_forecast::{CupForecast, DoseForecast};
pub use evidence::{CupTest, CureSign, Evidence, GelTest, StateTest};
pub(crate) use evidence::{or_usual, thermal_of};
pub use forecast::{BandDriver, GelForecast};
pub(crate) use law::STILL_AIR;
pub use law::{CalibratedConstant, DrawnLaw};
pub use log::{
    CupLog, DecimalMark, LogFormat, LogSeparator, LogTemperatureUnit, LogTimeUnit, TemperatureLog,
};
pub use lots::{AgedPart, LotComparison, LotDifference, LotStrength, TestedLot};
pub use next_test::{NextTests, OfferedTest, OfferedWorth, TableTest, TableTests};
pub use spoiled::{Complaint, Diagnosis, LikelyCause, SpoiledPart, SpoilingCause};
pub(crate) use tells::{Read, Reads, Tells};

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Evidence::QUESTIONS,
    Calibration::QUESTIONS,
    Calibration::FORECASTS,
    Calibration::NEXT,
    TableTests::QUESTIONS,
    Calibration::LOTS,
    Calibration::SPOILED,
    CupLog::QUESTIONS,
];
