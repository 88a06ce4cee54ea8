//! The refusals that every part of the module shares.

use crate::error::{Error, Result, finite};
use crate::quantity::{Index, MassFraction, VolumeFraction, show};

pub(super) use crate::check::{not_negative, positive};

/// A glass content by mass, refused unless strictly between none and all.
pub(super) fn glass_content(field: &str, w: MassFraction) -> Result<f64> {
    let x = w.get();
    if x > 0.0 && x < 1.0 {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(w),
            "more than 0 wt% and less than 100 wt%",
            "a laminate holds both glass and resin: hand-laid mat is written '30 wt%', woven roving '45 wt%'",
        ))
    }
}

/// A void content, refused at or above one half (beyond that it is a foam, not a laminate).
pub(super) fn voids(field: &str, v: VolumeFraction) -> Result<f64> {
    let x = v.get();
    if x < 0.5 {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(v),
            "0 vol% to less than 50 vol%",
            "hand lay-up holds a few percent of voids: write for example '3 vol%'",
        ))
    }
}

/// A Poisson's ratio of an isotropic material: -1 < nu < 0.5, so that its bulk and shear moduli are positive.
pub(super) fn isotropic_poisson(field: &str, nu: Index) -> Result<f64> {
    let x = finite(field, nu.get())?;
    if x > -1.0 && x < 0.5 {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(nu),
            "above -1 and below 0.5 (positive bulk and shear modulus)",
            "a cured resin has 0.33 to 0.40, glass 0.20 to 0.25",
        ))
    }
}

/// `Some(text)` joined from several remarks, `None` where there are none.
pub(super) fn join(remarks: Vec<String>) -> Option<String> {
    if remarks.is_empty() {
        None
    } else {
        Some(remarks.join("; "))
    }
}
