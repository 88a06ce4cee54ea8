//! How fine the cells of a wall must be that is followed once, with many like it: as its own whole answer shows.

use crate::cancel::Cancel;
use crate::error::Result;
use crate::heat::{Wall, WallRun};
use crate::quantity::{DegreeOfCure, Quantity, Time};

/// Finenesses that are tried, the coarsest first.
const FINENESSES: [f64; 4] = [0.25, 0.5, 1.0, 2.0];
/// What a wall on them may be off, where one stands for many: hottest of it and of its first face inwards, K; the time of gelling;
/// degree of cure.
const OFF: (f64, f64, f64) = (0.2, 0.01, 0.002);

/// What a zone's wall shows.
pub(super) struct Seen {
    pub(super) peak: f64,
    pub(super) peak_at: f64,
    mould_face: f64,
    pub(super) gelled: Option<f64>,
    /// Least degree of cure at the end.
    pub(super) cure: f64,
}

impl Seen {
    pub(super) fn of(run: &WallRun) -> Self {
        // The first layer is the mould's wall.
        let layers = &run.layers[1..];
        Seen {
            peak: run.peak.temperature.si(),
            peak_at: run.peak.time.si(),
            mould_face: run.surfaces.get(1).map_or(f64::NAN, |s| s.temperature.si()),
            gelled: layers
                .iter()
                .map(|l| l.gel_ends.map(Time::si))
                .try_fold(0.0, |last: f64, t| Some(last.max(t?))),
            cure: layers
                .iter()
                .filter_map(|l| l.least_cure)
                .map(DegreeOfCure::get)
                .fold(1.0, f64::min),
        }
    }

    fn is_near(&self, other: &Seen) -> bool {
        let (kelvin, times, cure) = OFF;
        let gels = match (self.gelled, other.gelled) {
            (Some(a), Some(b)) => (a - b).abs() <= times * b,
            (a, b) => a.is_none() && b.is_none(),
        };
        gels && (self.peak - other.peak).abs() <= kelvin
            && (self.mould_face - other.mould_face).abs() <= kelvin
            && (self.cure - other.cure).abs() <= cure
    }
}

/// The coarsest cells on which a wall, followed once, shows what it does on those that its errors ask for.
pub(super) fn fineness(wall: &Wall, whole: &Seen, cancel: Cancel<'_>) -> Result<f64> {
    for fineness in FINENESSES {
        if Seen::of(&wall.followed_once(fineness, cancel)?).is_near(whole) {
            return Ok(fineness);
        }
    }
    Ok(FINENESSES[FINENESSES.len() - 1])
}
