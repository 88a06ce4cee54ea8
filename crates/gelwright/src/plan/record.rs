//! The record of a day at the bench: what was done, when, and what was seen.

use super::clock::Clock;
use crate::document::{self, Versions};
use crate::error::Result;
use crate::noun::{Noun, questions};
use crate::quantity::{Mass, ThermodynamicTemperature};

/// The version of the record that this library reads and writes.
pub const RECORD_VERSION: u32 = 1;

const VERSIONS: Versions = Versions {
    reads: RECORD_VERSION,
    earlier: &[],
};

/// The record of a day at the bench, against the plan of a casting.
#[derive(Clone, PartialEq, Noun)]
#[noun(versions = "VERSIONS")]
pub struct BenchRecord {
    /// Version of this document: 1.
    pub version: u32,
    /// The name of the casting.
    pub casting: String,
    /// When it is read; the last hour in it, if not said.
    pub now: Option<Clock>,
    /// What was done and seen.
    #[noun(default)]
    pub entries: Vec<RecordEntry>,
}

/// An entry of the record.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum RecordEntry {
    /// A step was done.
    Did(StepDone),
    /// Something was weighed into a cup.
    Weighed(WeighedIn),
    /// A cup, or a layer made of it, has gelled. It does so once: of two such entries of a cup the earlier hour counts.
    Gelled(SeenToGel),
    /// How far what was made of a cup had cured.
    Showed(super::evidence_of_record::StateSeen),
    /// What a thermometer shows. Of several readings of one thing the one of the latest hour counts.
    Measured(MeasuredAt),
    /// Which lot a material came from. Kept for whoever looks into a part that failed; it changes nothing of what is planned.
    FromLot(LotUsed),
    /// Anything else worth keeping; it changes nothing of what is planned.
    Remark(String),
}

/// A step that was done.
#[derive(Clone, PartialEq, Noun)]
pub struct StepDone {
    /// Its number in the plan.
    #[noun(within(1, 100_000, "take the number from the plan"))]
    pub step: usize,
    /// When it was begun; as long before its end as the plan has it, if not said.
    pub from: Option<Clock>,
    /// When it was done.
    pub until: Clock,
}

/// What was weighed into a cup.
#[derive(Clone, PartialEq, Noun)]
pub struct WeighedIn {
    /// The cup, as the plan calls it ("cup 3").
    pub cup: String,
    /// The material, by id.
    pub material: String,
    /// What the scale showed.
    #[noun(within("0 g", "1000 kg", "give what the scale showed"))]
    pub mass: Mass,
    /// When, if it is known: not after the cup's step was done.
    pub at: Option<Clock>,
}

/// A cup, or a layer made of it, that has gelled.
#[derive(Clone, PartialEq, Noun)]
pub struct SeenToGel {
    /// The cup, as the plan calls it.
    pub cup: String,
    /// When.
    pub at: Clock,
}

/// What a thermometer shows.
#[derive(Clone, PartialEq, Noun)]
pub struct MeasuredAt {
    /// When.
    pub at: Clock,
    /// Of the air.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub air: Option<ThermodynamicTemperature>,
    /// Of the resin in its tin.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub resin: Option<ThermodynamicTemperature>,
    /// Of the mould's face.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub mould: Option<ThermodynamicTemperature>,
}

/// Which lot a material came from.
#[derive(Clone, PartialEq, Noun)]
pub struct LotUsed {
    /// The material, by id.
    pub material: String,
    /// The lot, as it is marked.
    pub lot: String,
}

impl BenchRecord {
    /// Refuses the record of another casting.
    pub(super) fn is_of(&self, casting: &super::Casting) -> Result<()> {
        if self.casting == casting.name {
            return Ok(());
        }
        Err(crate::Error::inconsistent(
            "record.casting",
            format_args!("'{}'", self.casting),
            format!("the record of '{}'", casting.name),
            "read the record with the casting that it was kept for",
        ))
    }
}

#[questions(RECORDING)]
impl BenchRecord {
    /// Reads a record (TOML), all its mistakes at once.
    ///
    /// # Errors
    /// As [`Casting::from_toml`](super::Casting::from_toml).
    #[question("plan.read_record")]
    pub fn read_record(
        /// The document.
        text: &str,
    ) -> Result<BenchRecord> {
        document::from_toml(text)
    }
}
