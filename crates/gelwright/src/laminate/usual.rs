//! What stands in where nobody says.

use crate::quantity::{Index, MassDensity, known};

/// Density of E-glass (ISO 12215-5:2008, annex C).
pub(super) fn e_glass_density() -> MassDensity {
    known(2560.0)
}

/// Density of a cured polyester (ISO 12215-5:2008, annex C).
pub(super) fn cured_polyester_density() -> MassDensity {
    known(1200.0)
}

/// Poisson's ratio of a cast polyester or epoxy where its sheet does not say: from memory.
pub(crate) fn resin_poisson() -> Index {
    known(0.36)
}

/// Poisson's ratio of a glass-polyester laminate in its plane: from memory.
pub(crate) fn laminate_poisson() -> Index {
    known(0.3)
}
