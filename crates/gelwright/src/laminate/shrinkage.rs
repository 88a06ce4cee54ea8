//! Shrinkage of the cured part: its size, the fibre pattern on its face, its grip on a core.
//!
//! The bow of an unsymmetric wall (gel coat on one side) follows from lamination theory: give the plies their
//! shrinkage and expansion and read the curvature of [`Stack::respond`](super::stack::Stack::respond).

use crate::noun::Noun;

use super::{check, sources};
use crate::error::{Error, Result, finite};
use crate::quantity::{Angle, Force, Index, Length, Pressure, Quantity, Strain, VolumeFraction, show};
use crate::source::Why;

/// Linear shrinkage of a casting free on all sides from its shrinkage by volume: `s = 1 - (1 - S)^(1/3)`.
///
/// Positive for shrinking; 7 % by volume is 2.39 % linear. Exact geometry.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a shrinkage of 100 % or more.
pub fn linear_from_volumetric(shrinkage: VolumeFraction) -> Result<Strain> {
    let s = shrinkage.get();
    if s >= 1.0 {
        return Err(Error::out_of_range(
            "shrinkage",
            show(shrinkage),
            "0 vol% to less than 100 vol%",
            "unsaturated polyester shrinks by 6 vol% to 9 vol% on cure",
        ));
    }
    Strain::new(-(((-s).ln_1p() / 3.0).exp_m1()))
}

/// Shrinkage by volume from the linear shrinkage: `S = 1 - (1 - s)³`, the inverse of [`linear_from_volumetric`].
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless 0 ≤ s < 1.
pub fn volumetric_from_linear(shrinkage: Strain) -> Result<VolumeFraction> {
    let s = linear("shrinkage", shrinkage)?;
    VolumeFraction::new(-((3.0 * (-s).ln_1p()).exp_m1()))
}

fn linear(field: &str, shrinkage: Strain) -> Result<f64> {
    let s = shrinkage.get();
    if (0.0..1.0).contains(&s) {
        Ok(s)
    } else {
        Err(Error::out_of_range(
            field,
            show(shrinkage),
            "0 % to less than 100 %",
            "give a linear shrinkage, positive for shrinking: '0.5 %'",
        ))
    }
}

/// Size of the finished part made from a pattern of the given size: `l (1 - s)`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a size not above zero or s outside 0 to 1.
pub fn finished_size(pattern: Length, shrinkage: Strain) -> Result<Length> {
    let l = check::positive("pattern", pattern)?;
    Length::from_si(l * (1.0 - linear("shrinkage", shrinkage)?))
}

/// Depth of the fibre pattern on the face of the part.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PrintThrough {
    /// Valley between the bundles against the ridge over them.
    pub depth: Length,
    /// How it was computed.
    pub why: Why,
}

/// Depth of the fibre pattern printed through to the face.
///
/// Between two bundles the resin is thicker by the bundle's height h than over them. What it shrinks after the
/// face has set is taken up through the thickness alone, since the glass holds it in the plane:
/// `d = h s (1 + ν)/(1 - ν)`; s linear shrinkage after setting (on cure and on cooling), ν of the resin. Derived here
/// (linear elasticity of a film held in its plane); an upper estimate, as a gel coat stiffens the face.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a height not above zero, s outside 0 to 1, ν outside
/// -1 to 0.5.
pub fn print_through(
    bundle_height: Length,
    shrinkage_after_set: Strain,
    poisson: Index,
) -> Result<PrintThrough> {
    let h = check::positive("bundle_height", bundle_height)?;
    let s = linear("shrinkage_after_set", shrinkage_after_set)?;
    let nu = check::isotropic_poisson("poisson", poisson)?;
    let depth = Length::from_si(h * s * (1.0 + nu) / (1.0 - nu))?;
    Ok(PrintThrough {
        depth,
        why: Why::computed(
            "depth of the fibre pattern on the face",
            show(depth),
            "d = h s (1 + nu)/(1 - nu)",
            vec![
                Why::given("h, height of the bundles", show(bundle_height)),
                Why::given(
                    "s, linear shrinkage after the face has set",
                    show(shrinkage_after_set),
                ),
                Why::given("nu of the resin", show(poisson)),
            ],
        )
        .with_source(&sources::derived_here(
            "a resin film held in its plane by the glass",
        ))
        .with_note("an upper estimate: a gel coat stiffens the face"),
    })
}

/// A ring of the part that has shrunk on a core or a rib of the mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoreGrip {
    /// Radius of the core.
    pub core_radius: Length,
    /// Thickness of the wall around it.
    pub wall: Length,
    /// Length of the core in the part.
    pub length: Length,
    /// Linear shrinkage of the wall (cure and cooling).
    pub shrinkage: Strain,
    /// Modulus of the wall at demoulding.
    pub modulus: Pressure,
    /// Poisson's ratio of the wall.
    pub poisson: Index,
    /// Friction between wall and core.
    pub friction: Index,
    /// Draft of the core, its taper from the axis.
    pub draft: Angle,
}

/// What a core is held with.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CoreGripAnswer {
    /// Pressure between wall and core.
    pub pressure: Pressure,
    /// Largest hoop stress in the wall, at the core.
    pub hoop_stress: Pressure,
    /// Pull that draws the core; 0 where its draft frees it.
    pub pull: Force,
    /// How it was computed.
    pub why: Why,
}

/// Pressure, hoop stress and pull of a wall that has shrunk on a rigid core.
///
/// Thick ring pressed on a rigid core: `p = E s/((R² + r²)/(R² - r²) + ν)`, hoop stress at the core
/// `p (R² + r²)/(R² - r²)`, R = r + wall (S. P. Timoshenko, *Strength of Materials*, part II). Pull
/// `2π r L p (μ cos α - sin α)`, not below 0, friction μ, draft α (balance of a cone under pressure and friction,
/// derived here). An upper estimate: a core gives, resin creeps.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a length or modulus not above zero, s outside 0 to 1, ν
/// outside -1 to 0.5, negative friction, a draft outside 0 to 45 degrees.
pub fn core_grip(g: &CoreGrip) -> Result<CoreGripAnswer> {
    let r = check::positive("core_radius", g.core_radius)?;
    let wall = check::positive("wall", g.wall)?;
    let l = check::positive("length", g.length)?;
    let s = linear("shrinkage", g.shrinkage)?;
    let e = check::positive("modulus", g.modulus)?;
    let nu = check::isotropic_poisson("poisson", g.poisson)?;
    let mu = check::not_negative("friction", g.friction)?;
    let alpha = finite("draft", g.draft.si())?;
    if !(0.0..=std::f64::consts::FRAC_PI_4).contains(&alpha) {
        return Err(Error::out_of_range(
            "draft",
            show(g.draft),
            "0 deg to 45 deg",
            "a core is drafted by 0.5 to 3 degrees: write '1 deg'",
        ));
    }
    let outer = r + wall;
    // (R² + r²)/(R² - r²), from the wall so that a thin ring loses no digits.
    let ring = (outer * outer + r * r) / (wall * (outer + r));
    let p = e * s / (ring + nu);
    let pull = 2.0 * std::f64::consts::PI * r * l * p * (mu * alpha.cos() - alpha.sin()).max(0.0);
    let pull = Force::from_si(pull)?;
    Ok(CoreGripAnswer {
        pressure: Pressure::from_si(p)?,
        hoop_stress: Pressure::from_si(p * ring)?,
        pull,
        why: Why::computed(
            "pull that draws the core",
            show(pull),
            "F = 2 pi r L p (mu cos a - sin a), p = E s/((R^2 + r^2)/(R^2 - r^2) + nu)",
            vec![
                Why::given("r, core", show(g.core_radius)),
                Why::given("R - r, wall", show(g.wall)),
                Why::given("L, length", show(g.length)),
                Why::given("s, linear shrinkage", show(g.shrinkage)),
                Why::given("E, modulus of the wall at demoulding", show(g.modulus)),
                Why::given("mu, friction", show(g.friction)),
                Why::given("a, draft", show(g.draft)),
            ],
        )
        .with_source(&sources::thick_ring())
        .with_note("an upper estimate: the core is taken as rigid and the resin does not creep"),
    })
}
