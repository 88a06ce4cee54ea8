//! How fine the cells of a wall must be that is followed once, with many like it: as its own whole answer shows.

use super::zone::Seen;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::heat::{LoosePass, PacedWall, Wall};
use crate::quantity::{Quantity, ThermodynamicTemperature};

/// Finenesses that are tried, the coarsest first.
const FINENESSES: [f64; 4] = [0.25, 0.5, 1.0, 2.0];
/// What a wall on them may be off, where one stands for many: hottest of it and of its first face inwards, K; the time of gelling;
/// degree of cure.
const OFF: (f64, f64, f64) = (0.2, 0.01, 0.002);

fn near(a: &Seen, b: &Seen) -> bool {
    let (kelvin, times, cure) = OFF;
    let warm = |a: ThermodynamicTemperature, b: ThermodynamicTemperature| (a.si() - b.si()).abs() <= kelvin;
    let gels = match (a.gelled, b.gelled) {
        (Some(a), Some(b)) => (a.si() - b.si()).abs() <= times * b.si(),
        (a, b) => a.is_none() && b.is_none(),
    };
    gels && warm(a.peak, b.peak) && warm(a.mould_face, b.mould_face) && (a.cure() - b.cure()).abs() <= cure
}

/// The wall, followed once on the coarsest cells on which it shows what it does on those that its errors ask for. `known`: a pass
/// over this wall that was made already.
pub(super) fn that_suffices<'w>(
    wall: &'w Wall,
    whole: &Seen,
    known: Option<&LoosePass>,
    cancel: Cancel<'_>,
) -> Result<PacedWall<'w>> {
    let last = FINENESSES.len() - 1;
    for fineness in &FINENESSES[..last] {
        #[allow(clippy::float_cmp)]
        let paced = match known {
            Some(known) if known.fineness == *fineness => wall.paced_by(known)?,
            _ => wall.paced(*fineness, cancel)?,
        };
        if near(&Seen::brief(&paced.brief()?)?, whole) {
            return Ok(paced);
        }
    }
    wall.paced(FINENESSES[last], cancel)
}
