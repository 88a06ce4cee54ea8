//! Clamping: how thin a joint or an edge ends up, how much is squeezed out, and how hard one may clamp.
//!
//! Lubrication flow of a Bingham paste (plastic viscosity and yield stress) between parallel plates, without wall
//! slip. With the wall shear stress `tau` at the rim, `tau >= tau_y`, and `x(s) = (s-1)^2 (2s+1)/(2 s^2)` for
//! `s = tau/tau_y`, the closing speed and the force are, in closed form,
//!
//! * strip of width `2a`, length `L`: `V = h^2 tau_y x(s)/(6 eta a)`, `F = (tau_y L (2a)^2/2h) J(s)`,
//! * disc of radius `R`: `V = h^2 tau_y x(s)/(3 eta R)`, `F = (2 pi tau_y R^3/3h) J(s)`,
//!
//! with `J(s) = s - (1/x^n) int_1^s x^n ds'`, `n` = 2 (strip) or 3 (disc). Without a yield stress these are Stefan's
//! `F = eta L (2a)^3 V/h^3` and `F = 3 pi eta R^4 V/(2 h^3)`; at rest (`s` = 1, `J` = 1) they are the gaps at which
//! a paste carries the clamp, `h = tau_y (2a)^2 L/(2F)` and `h = 2 pi tau_y R^3/(3F)`.
//!
//! Sources: J. Stefan, "Versuche über die scheinbare Adhäsion", Sitzungsber. Akad. Wiss. Wien 69, 713 (1874);
//! G. H. Covey, B. R. Stanmore, "Use of the parallel-plate plastometer for the characterisation of viscous fluids
//! with a yield stress", J. Non-Newtonian Fluid Mech. 8, 249 (1981), from memory; integrals derived here and checked
//! by quadrature in the tests. (Strictly the plug can not stay rigid where it stretches: G. G. Lipscomb, M. M. Denn,
//! J. Non-Newtonian Fluid Mech. 14, 337 (1984). The force is right to the order of gap over width.)

use std::f64::consts::PI;

use crate::noun::{self, Noun, questions};

use super::viscosity::{Chop, ViscosityHistory};
use super::wet_edge::Through;
use crate::check;
use crate::error::{Error, Result};
use crate::numeric::{quadrature, roots};
use crate::quantity::{Area, Force, Length, Pressure, Quantity, Time, Volume, VolumeFraction, known, show};
use crate::source::{Source, Standing, Why};

/// The faces that are pressed together.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub enum Joint {
    /// A flange or an edge: paste leaves at both long sides. For clamps along a seam, the length is the spacing of
    /// the clamps and the force that of one clamp.
    Strip {
        /// Width of the flange.
        width: Length,
        /// Length that the force presses on.
        length: Length,
    },
    /// A round boss or washer.
    Disc {
        /// Radius.
        radius: Length,
    },
}

/// The shape in SI numbers.
#[derive(Clone, Copy)]
pub(super) enum Shape {
    Strip { width: f64, length: f64 },
    Disc { radius: f64 },
}

impl Joint {
    /// Here and not in the table of fields: a refusal names `joint.width`, whichever joint it is of.
    fn check(&self) -> Result<()> {
        self.shape().map(|_| ())
    }

    fn shape(&self) -> Result<Shape> {
        Ok(match self {
            Joint::Strip { width, length } => Shape::Strip {
                width: check::positive("width", *width)?,
                length: check::positive("length", *length)?,
            },
            Joint::Disc { radius } => Shape::Disc {
                radius: check::positive("radius", *radius)?,
            },
        })
    }

    /// Area of the faces.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a size that is not above zero.
    pub fn area(&self) -> Result<Area> {
        Area::from_si(self.shape()?.area())
    }
}

impl Shape {
    fn area(self) -> f64 {
        match self {
            Shape::Strip { width, length } => width * length,
            Shape::Disc { radius } => PI * radius * radius,
        }
    }

    /// The part of the faces that `volume` covers at a gap `h`.
    fn covered(self, volume: f64, h: f64) -> Shape {
        match self {
            Shape::Strip { width, length } => Shape::Strip {
                width: width.min(volume / (h * length)),
                length,
            },
            Shape::Disc { radius } => Shape::Disc {
                radius: radius.min((volume / (PI * h)).sqrt()),
            },
        }
    }

    /// Force at which a paste of yield stress `tau` rests at gap `h`.
    fn yield_force(self, tau: f64, h: f64) -> f64 {
        match self {
            Shape::Strip { width, length } => tau * length * width * width / (2.0 * h),
            Shape::Disc { radius } => 2.0 * PI * tau * radius.powi(3) / (3.0 * h),
        }
    }

    /// Closing speed times plastic viscosity, N/m, under a force on the liquid.
    fn speed_times_viscosity(self, force: f64, tau: f64, h: f64) -> f64 {
        if force <= 0.0 {
            return 0.0;
        }
        let at_rest = self.yield_force(tau, h);
        let newtonian = match self {
            Shape::Strip { width, length } => force * h.powi(3) / (length * width.powi(3)),
            Shape::Disc { radius } => 2.0 * force * h.powi(3) / (3.0 * PI * radius.powi(4)),
        };
        if at_rest <= 1e-9 * force {
            return newtonian;
        }
        if force <= at_rest {
            return 0.0;
        }
        let s = self.rim_stress(force / at_rest);
        let (x, lever) = match self {
            Shape::Strip { width, .. } => (creep(s), 3.0 * width),
            Shape::Disc { radius } => (creep(s), 3.0 * radius),
        };
        h * h * tau * x / lever
    }

    /// `s` with `J(s) = ratio`, `ratio > 1`.
    fn rim_stress(self, ratio: f64) -> f64 {
        let n = match self {
            Shape::Strip { .. } => 2,
            Shape::Disc { .. } => 3,
        };
        // J rises from rest by 2n/(2n+1) and far above by n/(n+1); the mean of both by this weight is within a third of a hundredth.
        const FAR: f64 = 0.8;
        let above = ratio - 1.0;
        let (near, far) = (
            f64::from(2 * n + 1) / f64::from(2 * n),
            f64::from(n + 1) / f64::from(n),
        );
        let start = 1.0 + above * (near + far * FAR * above) / (1.0 + FAR * above);
        let accuracy = 1e-10 * above + 4.0 * f64::EPSILON * ratio;
        roots::newton(1.0, 1.6 * ratio + 1.0, start, accuracy, |s| {
            let (j, slope) = force_factor(s, n);
            (j - ratio, slope)
        })
    }
}

/// `x(s) = (s-1)^2 (2s+1)/(2 s^2)`: flux of a Bingham paste through a slit.
fn creep(s: f64) -> f64 {
    (s - 1.0).powi(2) * (2.0 * s + 1.0) / (2.0 * s * s)
}

/// `J(s)` and its slope.
fn force_factor(s: f64, n: i32) -> (f64, f64) {
    if s <= 1.0 {
        return (1.0, f64::from(2 * n) / f64::from(2 * n + 1));
    }
    let x = creep(s);
    let to_the = |x: f64| if n == 2 { x * x } else { x * x * x };
    // Nearer to 1 the closed forms are differences of nearly equal numbers.
    let area = if s < 1.3 {
        quadrature::integral(1.0, s, |y| to_the(creep(y)))
    } else if n == 2 {
        (s.powi(3) - 1.0) / 3.0 - 1.5 * (s * s - 1.0) + 2.25 * (s - 1.0) + s.ln() + 1.5 * (1.0 / s - 1.0)
            - (s.powi(-3) - 1.0) / 12.0
    } else {
        (s.powi(4) - 1.0) / 4.0 - 1.5 * (s.powi(3) - 1.0) + 3.375 * (s * s - 1.0)
            - 1.875 * (s - 1.0)
            - 4.5 * s.ln()
            + 3.375 * (1.0 - 1.0 / s)
            + 0.375 * (1.0 - s.powi(-2))
            + 0.375 * (s.powi(-3) - 1.0)
            - 0.025 * (s.powi(-5) - 1.0)
    };
    let part = area / to_the(x);
    // x'(s) = 1 - s^-3
    let steepens = 1.0 - s.powi(-3);
    (s - part, f64::from(n) * part * steepens / x)
}

/// Pressures for which a mat's power law is taken, Pa (common practice: presses and clamps of a workshop).
const FITTED_PRESSURE: std::ops::RangeInclusive<f64> = 1e3..=1e6;

/// A mat of chop carrying load: glass content at a pressure, `phi = phi_r (p/p_r)^B`.
///
/// The power law is the usual fit to the compaction of dry and wetted reinforcements: F. Robitaille, R. Gauvin,
/// "Compaction of textile reinforcements for composites manufacturing. I: Review of experimental results", Polym.
/// Compos. 19, 198 (1998), form from memory. The default constants are common practice without a source.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FibreBed {
    /// Glass content at the reference pressure.
    #[noun(default = "17 vol%", within(> "0 vol%", ..))]
    pub glass: VolumeFraction,
    /// The reference pressure.
    #[noun(default = "10 kPa", within(> "0 kPa", ..))]
    pub pressure: Pressure,
    /// Exponent `B`.
    #[noun(default = 0.1, within(0.02, 0.5, "about 0.1 for mat"))]
    pub exponent: f64,
}

/// Random mat of strands: 17 vol% (30 wt%, a mat rolled out by hand) at 10 kPa, `B` = 0.1, which gives 21 vol% at 100
/// kPa. Common practice, no source: press a weighed handful of your own chop and measure.
impl Default for FibreBed {
    fn default() -> Self {
        noun::defaults()
    }
}

impl FibreBed {
    /// Glass content at which the fibres alone carry a pressure.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for constants out of range or a pressure that would pack
    /// the fibres beyond 70 vol%.
    pub fn packed_at(&self, pressure: Pressure) -> Result<VolumeFraction> {
        noun::check(self)?;
        let p = check::positive("pressure", pressure)?;
        let glass = self.glass.get() * (p / self.pressure.si()).powf(self.exponent);
        if glass > 0.7 {
            return Err(Error::out_of_range(
                "pressure",
                show(pressure),
                "a pressure that packs random fibres to at most 70 vol%",
                "the fibres would crush: press less",
            ));
        }
        VolumeFraction::new(glass)
    }
}

/// Chop in a bead that is squeezed.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct ChopInBead {
    /// Glass in the mix.
    #[noun(within(
        "0 vol%",
        "50 vol%",
        "random chop above 50 vol% can not be poured or pressed out"
    ))]
    pub glass: VolumeFraction,
    /// Length the strand is cut to.
    #[noun(within(> "0 mm", ..))]
    pub length: Length,
    /// How the fibres carry load; a random mat of strands unless given.
    #[noun(default)]
    pub bed: FibreBed,
}

impl ChopInBead {
    /// From a [`Chop`] and its content.
    pub fn of(chop: &Chop, glass: VolumeFraction) -> ChopInBead {
        ChopInBead {
            glass,
            length: chop.length,
            bed: FibreBed::default(),
        }
    }
}

/// A bead pressed between two faces until it gels.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct SqueezeOut {
    /// The faces.
    pub joint: Joint,
    /// Force on them. Give this or `pressure`.
    #[noun(within(> "0 N", ..))]
    pub force: Option<Force>,
    /// Mean pressure on them. Give this or `force`.
    #[noun(within(> "0 kPa", ..))]
    pub pressure: Option<Pressure>,
    /// Height of the bead when the faces meet it.
    #[noun(within(> "0 mm", ..))]
    pub bead_height: Length,
    /// Volume of the bead under the faces; unless given it covers them from the start.
    #[noun(within(> "0 mL", ..))]
    pub bead_volume: Option<Volume>,
    /// Plastic viscosity of the paste or pour (with its fillers) from closing to gel.
    pub viscosity: ViscosityHistory,
    /// Yield stress.
    #[noun(default = "0 Pa", within("0 Pa", ..))]
    pub yield_stress: Pressure,
    /// Chop in it; none unless given.
    pub chop: Option<ChopInBead>,
    /// Gap at which the faces touch: the roughness of both together; of a sanded and gel-coated flange where not given
    /// (common practice, no source). Thinner films depart from the law besides (G. H. Meeten, Rheol. Acta 43 (2004) 6).
    #[noun(default = touching(), within("0 mm", "5 mm", "the roughness of both faces together, for example '20 um'"))]
    pub faces_touch_at: Length,
}

/// Roughness of a sanded and gel-coated flange and its counterpart.
pub(crate) fn touching() -> Length {
    known(20e-6)
}

/// What the clamps leave.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Squeezed {
    /// Thickness at gel.
    pub thickness: Length,
    /// Thickness if it never gelled: where yield stress and fibres carry the clamp, or the faces touch.
    pub rest_thickness: Length,
    /// Thickness at gel if the chop flowed out with the resin instead of staying (no chop: the same as `thickness`).
    pub thickness_if_chop_leaves: Length,
    /// What stops it: time (gel), the yield stress, the fibres, or nothing moved at all.
    pub stopped_by: StoppedBy,
    /// Mean pressure on the faces.
    pub pressure: Pressure,
    /// Volume of the bead.
    pub bead: Volume,
    /// Volume left between the faces.
    pub left: Volume,
    /// Volume squeezed out.
    pub squeezed_out: Volume,
    /// Part of the faces wetted, 0 to 1; below 1 the joint has a gap.
    pub wetted: f64,
    /// Glass content of what is left.
    pub glass: VolumeFraction,
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Thickness at those times, m.
    pub thickness_m: Vec<f64>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// What ends a squeeze.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
#[non_exhaustive]
pub enum StoppedBy {
    /// It gelled while still closing.
    Gel,
    /// The yield stress carries the clamp.
    YieldStress,
    /// The fibres carry the clamp, or share it with the yield stress.
    Fibres,
    /// The faces touch: on their roughness.
    Faces,
    /// The clamp is too weak to close the bead at all.
    Bead,
}

/// Longest stride of `y` where no path is asked for: eight points of Gauss tell the time over it to a part in 10^8; where fibres
/// let the resin through now as a slit, now as a bed, it is [`SHORT`].
const STRIDE: f64 = 2.0;
const SHORT: f64 = 0.5;
/// Over less than this stride of `y` nothing is looked for any more.
const LEAST_STRIDE: f64 = 1e-3;

/// The squeeze in SI numbers.
#[derive(Clone)]
pub(super) struct Press {
    shape: Shape,
    force: f64,
    h0: f64,
    volume: f64,
    tau: f64,
    /// Glass content, reference content, reference pressure, 1/B.
    chop: Option<(f64, f64, f64, f64)>,
    /// Gap at which the faces touch.
    floor: f64,
    /// How the fibres that stay let the resin through; freely, if nothing is said.
    through: Option<Through>,
}

impl Press {
    /// A bed of plies full of resin: force, height and the gap at which its faces touch; glass content and bed; permeability.
    pub(super) fn of_bed(
        shape: Shape,
        (force, h0, floor): (f64, f64, f64),
        (glass, bed): (f64, &FibreBed),
        through: Through,
    ) -> Press {
        let press = Press {
            shape,
            force,
            h0,
            volume: shape.area() * h0,
            tau: 0.0,
            chop: None,
            floor,
            through: Some(through),
        };
        press.with_chop(glass, bed)
    }

    /// How well the fibres let the resin through at a gap, m2; at most as a slit does.
    pub(super) fn permeability_at(&self, h: f64) -> f64 {
        let slit = h * h / 12.0;
        self.through
            .map_or(slit, |t| t.permeability(self.glass(h)).min(slit))
    }

    /// Gap from which the faces are wetted and chop that stays is packed.
    fn filled_at(&self) -> f64 {
        (self.volume / self.shape.area()).min(self.h0)
    }

    fn glass(&self, h: f64) -> f64 {
        self.chop
            .map_or(0.0, |(g, ..)| g * (self.filled_at() / h).max(1.0))
    }

    /// The same with that much glass in it.
    fn with_chop(&self, glass: f64, bed: &FibreBed) -> Press {
        Press {
            chop: (glass > 0.0).then(|| (glass, bed.glass.get(), bed.pressure.si(), 1.0 / bed.exponent)),
            ..self.clone()
        }
    }

    /// What of the bead a gap holds.
    fn left(&self, h: f64) -> f64 {
        self.volume.min(self.shape.area() * h)
    }

    /// Thickness after `theta`.
    pub(super) fn thickness(&self, theta: f64) -> Result<f64> {
        let stride = if self.through.is_some() { SHORT } else { STRIDE };
        Ok(self.after(self.rest()?, theta, stride, |_, _| ()))
    }

    fn fibre_force(&self, h: f64) -> f64 {
        match self.chop {
            Some((_, g_r, p_r, power)) if self.glass(h) > 0.0 => {
                p_r * (self.glass(h) / g_r).powf(power) * self.shape.covered(self.volume, h).area()
            }
            _ => 0.0,
        }
    }

    fn resistance(&self, h: f64) -> f64 {
        self.shape.covered(self.volume, h).yield_force(self.tau, h) + self.fibre_force(h)
    }

    /// Gap at which it rests: where yield stress and fibres carry the clamp, or the faces touch; `h0` if it never starts.
    pub(super) fn rest(&self) -> Result<f64> {
        Ok(self.carried_at()?.max(self.floor.min(self.h0)))
    }

    /// Gap at which yield stress and fibres carry the clamp, 0 if they never do.
    fn carried_at(&self) -> Result<f64> {
        if self.resistance(self.h0) >= self.force {
            return Ok(self.h0);
        }
        if self.tau <= 0.0 && self.glass(self.h0) <= 0.0 {
            return Ok(0.0);
        }
        // resistance rises without bound as the gap closes
        let mut low = self.h0;
        while self.resistance(low) < self.force {
            low *= 0.5;
            if low < 1e-15 {
                return Ok(0.0);
            }
        }
        roots::root("rest thickness", low.ln(), (2.0 * low).min(self.h0).ln(), |u| {
            (self.resistance(u.exp()) / self.force).ln()
        })
        .map(f64::exp)
    }

    /// What ended the squeeze at a gap `h`.
    pub(super) fn stopped_by(&self, rest: f64, h: f64) -> StoppedBy {
        if rest >= self.h0 * (1.0 - 1e-12) {
            StoppedBy::Bead
        } else if h > rest * 1.02 + 1e-9 {
            StoppedBy::Gel
        } else if rest <= self.floor {
            StoppedBy::Faces
        } else if self.fibre_force(rest) > 0.1 * self.force {
            StoppedBy::Fibres
        } else {
            StoppedBy::YieldStress
        }
    }

    /// What lies outside which range at a gap `h`.
    fn outside(&self, h: f64) -> Result<Option<String>> {
        let mut notes = Vec::new();
        let carried = self.fibre_force(h) / self.shape.area();
        if carried > 0.0 && !FITTED_PRESSURE.contains(&carried) {
            notes.push(format!(
                "the fibres carry {}, outside the compaction law's range, 1 kPa to 1 MPa",
                show(Pressure::from_si(carried)?)
            ));
        }
        Ok((!notes.is_empty()).then(|| notes.join("; ")))
    }

    /// `-dh/dTheta` at a gap.
    fn closing(&self, h: f64) -> f64 {
        let free = self.shape.covered(self.volume, h).speed_times_viscosity(
            self.force - self.fibre_force(h),
            self.tau,
            h,
        );
        // A slit is a bed of permeability h^2/12.
        match self.through {
            Some(_) => free * (12.0 * self.permeability_at(h) / (h * h)),
            None => free,
        }
    }

    /// Gap after `theta`, marching in `y`, `h = rest + (h0 - rest) e^-y`, with `Theta(y) = int (h - rest)/(-dh/dTheta) dy`;
    /// `seen` gets the path, a point each `stride` of `y`.
    fn after(&self, rest: f64, theta: f64, stride: f64, mut seen: impl FnMut(f64, f64)) -> f64 {
        seen(0.0, self.h0);
        let span = self.h0 - rest;
        if span <= 1e-12 * self.h0 {
            return self.h0;
        }
        let gap = |y: f64| rest + span * (-y).exp();
        let slowness = |y: f64| {
            let h = gap(y);
            let v = self.closing(h);
            if v > 0.0 { (h - rest) / v } else { f64::INFINITY }
        };
        // where the bead comes to cover the faces the speed has a kink: a step ends there
        let filled = self.filled_at();
        let kink = if filled < self.h0 && filled > rest {
            (span / (filled - rest)).ln()
        } else {
            f64::INFINITY
        };
        let (mut y, mut done) = (0.0, 0.0);
        // e^-20 of the way left is rest to a part in 10^9
        const RESTS: f64 = 20.0;
        while y < RESTS {
            let ends = if y < kink { kink.min(RESTS) } else { RESTS };
            let mut step = stride.min(ends - y).max(1e-12);
            let mut part = quadrature::integral(y, y + step, slowness);
            // Somewhere in it nothing gets through any more: as far as there.
            while !part.is_finite() && step > LEAST_STRIDE {
                step *= 0.5;
                part = quadrature::integral(y, y + step, slowness);
            }
            if !part.is_finite() {
                return gap(y);
            }
            if done + part >= theta {
                let start = y + step * (theta - done) / part;
                let end = roots::newton(y, y + step, start, 1e-12 * theta, |z| {
                    let there = done + quadrature::integral(y, z, slowness);
                    (there - theta, slowness(z))
                });
                seen(theta, gap(end));
                return gap(end);
            }
            done += part;
            y += step;
            seen(done, gap(y));
        }
        gap(y)
    }
}

#[questions(squeeze)]
impl SqueezeOut {
    /// Refuses what does not fit together; what is read from a document has passed it.
    fn check(&self) -> Result<()> {
        let shape = self.joint.shape().map_err(|e| e.within("joint"))?;
        if let (Some(f), Some(p)) = (self.force, self.pressure) {
            return Err(Error::inconsistent(
                "force",
                format!("{} and {}", show(f), show(p)),
                "a force or a pressure",
                "give one of the two",
            ));
        }
        let full = shape.area() * self.bead_height.si();
        if let Some(v) = self.bead_volume
            && v.si() > full * (1.0 + 1e-9)
        {
            return Err(Error::inconsistent(
                "bead_volume",
                show(v),
                format!(
                    "at most faces times bead height, {}",
                    show(Volume::from_si(full)?)
                ),
                "a bead that covers the faces is higher than this",
            ));
        }
        let narrow = match shape {
            Shape::Strip { width, .. } => width,
            Shape::Disc { radius } => 2.0 * radius,
        };
        if self.bead_height.si() > narrow {
            return Err(Error::out_of_range(
                "bead_height",
                show(self.bead_height),
                format!(
                    "at most the width of the faces, {}",
                    show(Length::from_si(narrow)?)
                ),
                "the flow is computed for gaps that are small against the faces",
            ));
        }
        Ok(())
    }

    /// In SI numbers with its chop, under a clamp of 1 N.
    fn unclamped(&self) -> Result<Press> {
        noun::check(self)?;
        self.check()?;
        self.viscosity.check().map_err(|e| e.within("viscosity"))?;
        let shape = self.joint.shape()?;
        let h0 = self.bead_height.si();
        let press = Press {
            shape,
            force: 1.0,
            h0,
            volume: self.bead_volume.map_or(shape.area() * h0, Quantity::si),
            tau: self.yield_stress.si(),
            floor: self.faces_touch_at.si(),
            chop: None,
            through: None,
        };
        Ok(match &self.chop {
            Some(c) => press.with_chop(c.glass.get(), &c.bed),
            None => press,
        })
    }

    /// The same under its clamp.
    fn clamped(&self) -> Result<Press> {
        let mut press = self.unclamped()?;
        press.force = match (self.force, self.pressure) {
            (Some(f), _) => f.si(),
            (None, Some(p)) => p.si() * press.shape.area(),
            (None, None) => {
                return Err(Error::inconsistent(
                    "force",
                    "neither force nor pressure",
                    "a force or a pressure",
                    "give 'force', such as '150 N' for each clamp with the clamp spacing as the joint's length",
                ));
            }
        };
        Ok(press)
    }

    /// The same with the chop only where it stays.
    fn pressed(&self) -> Result<Press> {
        self.clamped().map(|p| self.kept(p))
    }

    fn kept(&self, press: Press) -> Press {
        if self.chop_stays() {
            press
        } else {
            Press { chop: None, ..press }
        }
    }

    /// The chop stays behind when it is longer than the bead is high: it can only lie in the plane and bridge.
    fn chop_stays(&self) -> bool {
        self.chop.is_some_and(|c| c.length.si() > self.bead_height.si())
    }

    /// Final edge thickness under this clamp, without the rest of the answer: cheap enough for a sweep.
    ///
    /// # Errors
    /// As [`SqueezeOut::squeezed`].
    pub fn thickness(&self) -> Result<Length> {
        Length::from_si(
            self.pressed()?
                .thickness(self.viscosity.fluidity(f64::INFINITY))?,
        )
    }

    /// Part of the bead that this clamp squeezes out, without the rest of the answer.
    ///
    /// # Errors
    /// As [`SqueezeOut::squeezed`].
    pub(crate) fn share_squeezed_out(&self) -> Result<f64> {
        let press = self.pressed()?;
        let h = press.thickness(self.viscosity.fluidity(f64::INFINITY))?;
        Ok((press.volume - press.left(h)) / press.volume)
    }

    /// Thickness of a clamped joint or edge when it gels, and what is squeezed out.
    ///
    /// Lubrication squeeze flow of a Bingham paste: see [this module](self). Chop longer than the bead is high stays
    /// between the faces and packs; shorter chop leaves with the resin. (Common practice, no source:
    /// `thickness_if_chop_leaves` shows the other case.) The resin's own resistance on its way through the packed chop
    /// is left out, so an edge with chop ends up rather thicker than told.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes, forces and contents out of range or a bead
    /// higher than the faces are wide; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for both or neither
    /// of force and pressure and for a bead larger than the gap; else as [`ViscosityHistory::check`].
    #[question("flow.squeeze_out")]
    pub fn squeezed(&self) -> Result<Squeezed> {
        let press = self.pressed()?;
        let without = Press {
            chop: None,
            ..press.clone()
        };
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let rest = press.rest()?;
        let mut path = Vec::new();
        let h = press.after(rest, theta, 0.25, |t, h| path.push((t, h)));
        let leaves = without.thickness(theta)?;
        let area = press.shape.area();
        let left = press.left(h);
        let wetted = (press.volume / (area * h)).min(1.0);
        let thickness = Length::from_si(h)?;
        let pressure = Pressure::from_si(press.force / area)?;
        let (time_s, thickness_m) = self.course(&path, h);
        let extrapolated = press.outside(h)?;
        let mut why = Why::computed(
            "thickness at gel",
            show(thickness),
            "lubrication squeeze flow of a Bingham paste; no yield stress: 1/h^2 = 1/h0^2 + 2F int(dt/eta)/(L W^3) (strip), + 4F int(dt/eta)/(3 pi R^4) (disc)",
            self.parts(pressure, theta),
        )
        .with_source(&squeeze_source());
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(Squeezed {
            thickness,
            rest_thickness: Length::from_si(rest)?,
            thickness_if_chop_leaves: Length::from_si(leaves)?,
            stopped_by: press.stopped_by(rest, h),
            pressure,
            bead: Volume::from_si(press.volume)?,
            left: Volume::from_si(left)?,
            squeezed_out: Volume::from_si(press.volume - left)?,
            wetted,
            glass: VolumeFraction::new(press.glass(h).min(1.0))?,
            time_s,
            thickness_m,
            extrapolated,
            why,
        })
    }

    /// Times and gaps of some 40 points of the path, to the end of the history.
    fn course(&self, path: &[(f64, f64)], h: f64) -> (Vec<f64>, Vec<f64>) {
        let stride = path.len().div_ceil(40).max(1);
        let last = path.len() - 1;
        let (mut time_s, mut thickness_m) = (Vec::new(), Vec::new());
        for (i, (t, gap)) in path.iter().enumerate() {
            if i % stride == 0 || i == last {
                time_s.push(self.viscosity.time_at(*t));
                thickness_m.push(*gap);
            }
        }
        let end = self.viscosity.end().si();
        if time_s.last().is_some_and(|t| *t < end) {
            time_s.push(end);
            thickness_m.push(h);
        }
        (time_s, thickness_m)
    }

    /// What a thickness was computed from.
    fn parts(&self, pressure: Pressure, theta: f64) -> Vec<Why> {
        let mut from = vec![
            Why::given("mean pressure", show(pressure)),
            Why::given("bead height", show(self.bead_height)),
            Why::given("the faces touch at", show(self.faces_touch_at)),
            Why::given("yield stress", format!("{} Pa", self.yield_stress.si())),
            Why::given(
                "int dt/eta",
                format!("{theta:.4e} 1/Pa over {}", show(self.viscosity.end())),
            ),
        ];
        if let Some(c) = &self.chop {
            let mut why = Why::given(
                "chop",
                format!(
                    "{} of {} long, {}",
                    show(c.glass),
                    show(c.length),
                    if self.chop_stays() {
                        "stays: longer than the bead is high"
                    } else {
                        "leaves with the resin"
                    }
                ),
            );
            if c.bed == FibreBed::default() {
                why = why.with_source(&Source::of(
                    Standing::CommonPractice,
                    "random mat packs to 17 vol% at 10 kPa, power 0.1 (power law after Robitaille and Gauvin 1998)",
                ));
            }
            from.push(why);
        }
        from
    }

    /// The hardest clamp that leaves a joint or edge at least so thick when it gels: the thickness under `F` solved for
    /// `F`.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) if a force or pressure is given, which is what is
    /// looked for; [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) if the bead is lower than `at_least`, or if no
    /// force up to 1 MN/m2 of face closes it that far (then any clamp will do, said in the way out); else as
    /// [`SqueezeOut::squeezed`].
    #[question("flow.clamp_for_edge")]
    pub fn hardest_clamp(
        &self,
        /// Thickness the edge must keep.
        #[noun(within = crate::ranges::EDGE_THICKNESS)]
        at_least: Length,
    ) -> Result<ClampLimit> {
        let given = [
            ("force", self.force.map(show)),
            ("pressure", self.pressure.map(show)),
        ];
        for (field, value) in given {
            if let Some(value) = value {
                return Err(Error::inconsistent(
                    field,
                    value,
                    "neither force nor pressure: the clamp is what is looked for",
                    format!("leave '{field}' out, or ask how thick the edge gets under it"),
                ));
            }
        }
        let press = self.unclamped().map(|p| self.kept(p))?;
        let wanted = at_least.si();
        if wanted >= press.h0 {
            return Err(self.low_bead(at_least));
        }
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let area = press.shape.area();
        let thickness = |force: f64| {
            let p = Press {
                force,
                ..press.clone()
            };
            p.thickness(theta).unwrap_or(f64::NAN)
        };
        let hardest = 1e6 * area;
        if thickness(hardest) > wanted {
            return Err(Error::no_solution(
                "at_least",
                show(at_least),
                format!("{} at 1 MPa", show(Length::from_si(thickness(hardest))?)),
                "no clamp brings it that thin before gel: the clamp force does not matter",
            ));
        }
        // weakest: gravity of a gram per square metre; still closes an unthickened resin in time
        let mut low = hardest;
        while thickness(low) < wanted {
            low *= 0.1;
            if low < 1e-9 * area {
                return Err(Error::no_solution(
                    "at_least",
                    show(at_least),
                    "it runs thinner than that under its own weight",
                    "thicken it or close it later, nearer to gel",
                ));
            }
        }
        let force = roots::root("force", low.ln(), (10.0 * low).min(hardest).ln(), |u| {
            (thickness(u.exp()) / wanted).ln()
        })?
        .exp();
        let force_q = Force::from_si(force)?;
        let pressure = Pressure::from_si(force / area)?;
        let why = Why::computed(
            "hardest clamp",
            show(force_q),
            "thickness at gel under F = wanted thickness, solved for F",
            vec![
                Why::given("thickness wanted", show(at_least)),
                Why::given("bead height", show(self.bead_height)),
                Why::given("area of the faces", show(Area::from_si(area)?)),
            ],
        )
        .with_source(&squeeze_source());
        Ok(ClampLimit {
            force: force_q,
            pressure,
            why,
        })
    }

    fn low_bead(&self, at_least: Length) -> Error {
        Error::no_solution(
            "at_least",
            show(at_least),
            format!("the bead is {} high", show(self.bead_height)),
            "lay a higher bead",
        )
    }

    /// The least chop that keeps a clamped edge at least so thick: the thickness with chop solved for the chop.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) if chop is given, which is what is looked for;
    /// [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) if the bead is lower than `at_least`, if the chop is too
    /// short to stay, or if even 50 vol% does not; else as [`SqueezeOut::squeezed`].
    #[question("flow.chop_for_edge")]
    pub fn least_chop(
        &self,
        /// Length the chop is cut to.
        #[noun(within(> "0 mm", .., "give the length of the chop, for example '6 mm'"))]
        chop_length: Length,
        /// How the fibres carry load; a random mat of strands unless given.
        #[noun(default)]
        bed: FibreBed,
        /// Thickness the edge must keep.
        #[noun(within = crate::ranges::EDGE_THICKNESS)]
        at_least: Length,
    ) -> Result<ChopLimit> {
        if let Some(c) = &self.chop {
            return Err(Error::inconsistent(
                "chop",
                format!("{} of {}", show(c.glass), show(c.length)),
                "no chop: it is what is looked for",
                "leave 'chop' out, or ask how thick the edge gets with it",
            ));
        }
        noun::check(&bed).map_err(|e| e.within("bed"))?;
        let press = self.clamped()?;
        let wanted = at_least.si();
        if wanted > press.h0 {
            return Err(self.low_bead(at_least));
        }
        if chop_length.si() <= press.h0 {
            return Err(Error::no_solution(
                "chop_length",
                show(chop_length),
                format!("chop longer than the bead is high, {}", show(self.bead_height)),
                "chop this short leaves with the resin: cut it longer, or lay a lower bead",
            ));
        }
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let thickness = |glass: f64| press.with_chop(glass, &bed).thickness(theta);
        let none = thickness(0.0)?;
        let glass = if none >= wanted {
            0.0
        } else {
            let most = thickness(0.5)?;
            if most < wanted {
                return Err(Error::no_solution(
                    "at_least",
                    show(at_least),
                    format!("{} at 50 vol%", show(Length::from_si(most)?)),
                    "clamp less hard",
                ));
            }
            roots::root("glass", 0.0, 0.5, |g| {
                thickness(g).map_or(f64::NAN, |h| h - wanted)
            })?
        };
        let glass = VolumeFraction::new(glass.clamp(0.0, 1.0))?;
        let why = Why::computed(
            "least chop",
            show(glass),
            "thickness at gel with chop = wanted thickness, solved for the chop",
            vec![
                Why::given("thickness wanted", show(at_least)),
                Why::given("thickness without chop", show(Length::from_si(none)?)),
                Why::given("chop length", show(chop_length)),
            ],
        )
        .with_source(&squeeze_source());
        Ok(ChopLimit {
            glass,
            thickness_without: Length::from_si(none)?,
            why,
        })
    }
}

/// The hardest clamp that still leaves an edge thick enough.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct ClampLimit {
    /// Force on the joint (for a clamped seam: of each clamp).
    pub force: Force,
    /// Mean pressure on the faces.
    pub pressure: Pressure,
    /// The chain behind it.
    pub why: Why,
}

/// The least chop that still keeps an edge thick enough.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct ChopLimit {
    /// Glass in the mix.
    pub glass: VolumeFraction,
    /// Thickness without any chop.
    pub thickness_without: Length,
    /// The chain behind it.
    pub why: Why,
}

fn squeeze_source() -> Source {
    Source {
        standing: Standing::Derived,
        ..Source::published(
            "J. Stefan; G. H. Covey, B. R. Stanmore",
            "Versuche über die scheinbare Adhäsion, Sitzungsber. Akad. Wiss. Wien 69 (1874), p. 713; J. Non-Newtonian Fluid Mech. 8",
            1981,
            "p. 249",
        )
    }
}

/// Clamps along a flange.
#[derive(Clone, PartialEq, Noun)]
pub struct Clamps {
    /// Force of each clamp.
    #[noun(within(> "0 N", ..))]
    pub force: Force,
    /// Distance from clamp to clamp.
    #[noun(within(> "0 mm", ..))]
    pub spacing: Length,
    /// Width of the flange.
    #[noun(within(> "0 mm", ..))]
    pub flange_width: Length,
    /// Thickness of the mould flange (with any batten) under the clamp pad.
    #[noun(within(> "0 mm", ..))]
    pub flange_thickness: Length,
    /// Length of the clamp pad along the seam.
    #[noun(within(> "0 mm", ..))]
    pub pad: Length,
}

/// Pressure along a clamped seam.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct SeamPressure {
    /// Mean pressure, the force of a clamp on the flange over a spacing.
    pub mean: Pressure,
    /// Pressure under a clamp, its force on the length it spreads to.
    pub under_clamp: Pressure,
    /// Length a clamp presses on: the pad and 45 deg through the flange, at most the spacing.
    pub pressed_length: Length,
    /// The clamps press the seam without a gap between them.
    pub even: bool,
    /// Widest spacing that does.
    pub widest_even_spacing: Length,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Clamps {
    /// Mean pressure along a clamped seam, pressure under a clamp, and the widest even spacing: mean `F/(s W)`; under a
    /// clamp `F/(l W)` with `l = min(pad + 2 t, s)`, the load spreading at 45 deg through the flange (common practice,
    /// no source).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a size or force that is not above zero.
    #[question("flow.seam_pressure")]
    pub fn pressure(&self) -> Result<SeamPressure> {
        noun::check(self)?;
        let (f, s, w) = (self.force.si(), self.spacing.si(), self.flange_width.si());
        let (t, pad) = (self.flange_thickness.si(), self.pad.si());
        let reach = pad + 2.0 * t;
        let pressed = reach.min(s);
        let mean = Pressure::from_si(f / (s * w))?;
        let why = Why::computed(
            "mean pressure along the seam",
            show(mean),
            "p = F/(s W); under a clamp F/(l W), l = min(pad + 2 t, s)",
            vec![
                Why::given("F, each clamp", show(self.force)),
                Why::given("s, spacing", show(self.spacing)),
                Why::given("W, flange", show(self.flange_width)),
                Why::given("t, flange thickness", show(self.flange_thickness)).with_source(&Source::of(
                    Standing::CommonPractice,
                    "a clamp's load spreads at 45 degrees through the flange",
                )),
            ],
        );
        Ok(SeamPressure {
            mean,
            under_clamp: Pressure::from_si(f / (pressed * w))?,
            pressed_length: Length::from_si(pressed)?,
            even: reach >= s * (1.0 - 1e-12),
            widest_even_spacing: Length::from_si(reach)?,
            why,
        })
    }
}

/// Time a joint takes to close to a thickness under a constant viscosity, `None` if it rests thicker.
///
/// Without yield stress and chop: `t = (3 pi eta R^4/4F)(1/h^2 - 1/h0^2)` for a disc, `t = (eta L W^3/2F)(1/h^2 -
/// 1/h0^2)` for a strip (Stefan 1874). The end of the history given is ignored: only its first viscosity counts.
///
/// # Errors
/// As [`SqueezeOut::squeezed`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a target above the bead.
pub fn closing_time(squeeze: &SqueezeOut, target: Length) -> Result<Option<Time>> {
    let press = squeeze.pressed()?;
    let h = check::between("target", target, 0.0, press.h0, "the bead only gets thinner")?;
    let rest = press.rest()?;
    if h <= rest {
        return Ok(None);
    }
    let eta = squeeze
        .viscosity
        .at(Time::from_si(0.0)?)?
        .map_or(f64::NAN, Quantity::si);
    let y = ((press.h0 - rest) / (h - rest)).ln();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pieces = (y / 0.05).ceil().max(1.0) as u32;
    let theta = quadrature::integral_in_pieces(0.0, y, pieces, |z| {
        let gap = rest + (press.h0 - rest) * (-z).exp();
        (gap - rest) / press.closing(gap)
    });
    Ok(Some(Time::from_si(theta * eta)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against strides of a fortieth, of a paste, of a liquid and of chop, in a full strip and under a bead that has to spread first.
    #[test]
    fn long_strides_end_where_short_ones_do() {
        let chop = Some((0.1, 0.3, 1e5, 4.0));
        for shape in [
            Shape::Strip {
                width: 0.02,
                length: 0.1,
            },
            Shape::Disc { radius: 0.02 },
        ] {
            for (tau, chop, force, full) in [
                (0.0, None, 20.0, 1.0),
                (60.0, None, 20.0, 1.0),
                (60.0, None, 150.0, 0.4),
                (900.0, None, 150.0, 0.4),
                (0.0, chop, 150.0, 0.7),
                (60.0, chop, 150.0, 0.4),
            ] {
                let press = Press {
                    shape,
                    force,
                    h0: 4e-3,
                    volume: full * shape.area() * 4e-3,
                    tau,
                    chop,
                    floor: 5e-5,
                    through: None,
                };
                let rest = press.rest().unwrap();
                for theta in [0.1, 3.0, 100.0, 3e4] {
                    let short = press.after(rest, theta, 0.05, |_, _| ());
                    let long = press.thickness(theta).unwrap();
                    assert!(
                        (long / short - 1.0).abs() < 1e-7,
                        "{tau} {force} {full} {theta}: {long} for {short}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_closed_form_and_the_quadrature_of_the_force_factor_meet() {
        for n in [2, 3] {
            let s = 2.0;
            let by_quadrature =
                s - quadrature::integral_in_pieces(1.0, s, 4, |y| creep(y).powi(n)) / creep(s).powi(n);
            let j = |s: f64| force_factor(s, n).0;
            assert!((j(s) - by_quadrature).abs() < 1e-11, "n = {n}");
            assert!((j(2.0 - 1e-12) - j(2.0)).abs() < 1e-9);
            assert!((j(1.0 + 1e-9) - 1.0).abs() < 1e-8);
            for s in [1.0 + 1e-4, 1.3, 1.9, 2.5, 40.0] {
                let step = 1e-6 * s;
                let slope = (j(s + step) - j(s - step)) / (2.0 * step);
                assert!(
                    (force_factor(s, n).1 / slope - 1.0).abs() < 1e-4,
                    "n = {n}, s = {s}"
                );
            }
            assert!((force_factor(1.0, n).1 - force_factor(1.0 + 1e-6, n).1).abs() < 1e-3);
        }
        // far above the yield stress: 2s/3 (strip), 3s/4 (disc)
        assert!((force_factor(1e6, 2).0 / 1e6 - 2.0 / 3.0).abs() < 1e-5);
        assert!((force_factor(1e6, 3).0 / 1e6 - 0.75).abs() < 1e-5);
    }
}
