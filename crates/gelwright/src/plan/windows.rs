//! The windows of a day, what is shown of its order of work, and what breaks where it cannot be kept.

use super::clock::Clock;
use crate::noun::Noun;
use crate::quantity::Time;

/// What must follow what before it is too late.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum WindowKind {
    /// A gel coat is backed up while it still bonds.
    BackUp,
    /// A laminate is trimmed while it still cuts with a knife.
    GreenTrim,
    /// A joint is clamped while its paste is still liquid; closed wet, while all that was laid is.
    OpenTime,
}

/// What is shown of an order of work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum OrderProof {
    /// No order keeps every window and is better by what it is chosen by.
    Best,
    /// No order keeps every window and is done earlier; by the rest, a better one may exist.
    Earliest,
    /// No order keeps every window: the fewest are broken, each by the least.
    WindowsBroken,
    /// Not all orders were looked at: a better one, or one that keeps more windows, may exist.
    NotProved,
}

/// Windows that cannot all be kept by the people there are in the hours there are; any one of them left out, the others
/// can.
#[derive(Clone, PartialEq, Noun)]
pub struct ConflictingWindows {
    /// In words.
    pub windows: Vec<String>,
}

/// What can be changed so that a day keeps its windows, the least harmful first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum ChangeKind {
    /// More cups, each placed sooner.
    SmallerCups,
    /// One more person.
    AnotherPerson,
    /// Work goes on for longer.
    LongerDay,
    /// Cooler resin stays liquid for longer.
    CoolerResin,
    /// Less catalyst, inside the window of its resin.
    LessCatalyst,
}

/// A change that is offered.
#[derive(Clone, PartialEq, Noun)]
pub struct DayChange {
    /// Of what kind.
    pub kind: ChangeKind,
    /// In words.
    pub text: String,
}

/// A change, or two together, with which every window can be kept: planned again to show it. What else it breaks is for the
/// plan of the changed casting to say.
#[derive(Clone, PartialEq, Noun)]
pub struct DayCure {
    /// What to change.
    pub changes: Vec<DayChange>,
    /// When the last step then ends.
    pub finish: Clock,
}

/// What is shown of the order of work. It is chosen to be done as early as can be; then to leave the most before the
/// tightest window, up to an hour; then to have the mould closed, and the part out of it, as early as can be.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct OrderOfWork {
    /// What is shown.
    pub proof: OrderProof,
    /// No order that keeps every window, or breaks no more than this one, is done before.
    pub bound: Clock,
    /// What is left of the tightest window, where all are kept.
    pub slack: Option<Time>,
    /// The tightest window, in words.
    pub tightest: Option<String>,
    /// Windows that contradict each other, one set after the other, those of the sets before left out.
    #[noun(default)]
    pub conflicts: Vec<ConflictingWindows>,
    /// The least harmful single change that cures it, or the least harmful pair, where no single one does.
    pub cure: Option<DayCure>,
    /// How many changes, and pairs of them, were planned again: where there is no cure, none of them was found to be one.
    pub tried: Option<usize>,
}
