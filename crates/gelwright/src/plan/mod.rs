//! The job: from a [`Casting`] to a [`Plan`]: what to weigh, in which batches, in which order, what it needs and
//! costs, what breaks a limit, what to take care of. And one cup of it: [`Recipe::mix`](crate::mix::Recipe::mix).
//!
//! Data flows one way here too: clock, words, shop tests, sizes, casting → vapour, layout → working time → job → windows, schedule,
//! steps, the cure of a day, needs, exotherm → zone cure → solid, edge, warp, hang → part → air, checks, cautions, what has no
//! effect → planned, leftovers, levers, cure of a finding → show, compare. The rest of a day (record, replan) and a plan drawn once more
//! (draw) go the same way again. How a plan is read stands in `card`.

mod air;
mod casting;
mod cautions;
mod checks;
mod clock;
mod compare;
mod consumables;
mod cure_of_finding;
mod day_cure;
mod dew_point;
mod draw;
mod edge;
mod evidence_of_record;
mod exotherm;
mod first;
mod hang;
mod hardener_heat;
mod job;
mod layout;
mod leftovers;
mod levers;
mod measured;
mod mould_face;
mod needs;
mod one_cup;
mod part;
mod planned;
mod record;
mod replan;
mod schedule;
mod series;
mod shop_tests;
mod show;
mod sized;
mod solid;
mod steps;
mod stockroom;
mod vapour;
mod warp;
mod wet_flange;
mod windows;
mod without_effect;
mod words;
mod working_time;
mod zone_cure;

pub(crate) use draw::{Drawing, DrawnPlan, LeftOpen, Openness};
pub(crate) use words::{sentence, words};

pub use air::{
    AirOfDay, CleaningSolvent, DustLimit, DustOfDay, ExposureOfDay, PeroxideOnShelf, VapourSource,
};
pub use casting::{
    AirOfHour, Application, CASTING_VERSION, Casting, Clamping, Closing, CurePlan, GelCoat, HangingBlock,
    Hold, Insert, Laminate, Mould, Pace, Pour, PullOnEdge, ReleaseCoats, Seam, Series, Shop, Waste, Zone,
    ZoneLayer,
};
pub use cautions::PlanCaution;
pub use checks::{ConflictingRules, Rule};
pub use clock::Clock;
pub use compare::{Comparison, ComparisonRow, compare};
pub use consumables::Consumable;
pub use cure_of_finding::CureOfFinding;
pub use dew_point::dew_point;
pub use edge::PulledEdge;
pub use evidence_of_record::{RecordEvidence, StateSeen};
pub use exotherm::{CupBand, CupExotherm, CureLaw, ZoneBand, ZoneExotherm};
pub use first::first_casting;
pub use hang::{Hang, MountSummary};
pub use leftovers::{LeftoverOfCup, Leftovers};
pub use needs::Need;
pub use one_cup::CupToday;
pub use part::{LightThrough, SeamSummary, Shell};
pub use planned::{DayOfWork, PLAN_VERSION, Plan, PlannedBatch, Verdict, ZoneSummary};
pub use record::{
    BenchRecord, LotUsed, MeasuredAt, RECORD_VERSION, RecordEntry, SeenToGel, StepDone, WeighedIn,
};
pub use replan::{CupLeft, RestOfDay, Setback, SetbackKind};
pub use series::{CastingInSeries, SeriesOfWork};
pub use shop_tests::{REPLACED, ShopTest, TestedProperty};
pub use sized::ZoneSize;
pub use solid::FilledPour;
pub use steps::{Work, WorkStep};
pub use stockroom::{Costing, Order, Stockroom};
pub use vapour::Vapour;
pub use warp::Warp;
pub use wet_flange::WetFlange;
pub use windows::{ChangeKind, ConflictingWindows, DayChange, DayCure, OrderOfWork, OrderProof, WindowKind};
pub use without_effect::WithoutEffect;
pub use zone_cure::ZoneCure;

#[cfg(feature = "door")]
use crate::mix::Recipe;
#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Casting::READING,
    Casting::PLANNING,
    Casting::CLEARING_AWAY,
    BenchRecord::RECORDING,
    Casting::REPLANNING,
    Casting::LEARNING,
    Casting::SERIES,
    &[compare::COMPARE],
    &[first::FIRST_CASTING],
    Recipe::MIXING,
];
