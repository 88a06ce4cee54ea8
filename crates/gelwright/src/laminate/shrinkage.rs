//! Shrinkage of the cured part: its size, the fibre pattern on its face, its grip on a core.
//!
//! The bow of an unsymmetric wall (gel coat on one side) follows from lamination theory: give the plies their
//! shrinkage and expansion and read the curvature of [`Stack::respond`](super::stack::Stack::respond).

use crate::noun::{self, Noun, questions};

use super::sources;
use super::usual::resin_poisson;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Angle, Force, Index, Length, Pressure, Quantity, Strain, VolumeFraction, show};
use crate::source::Why;

/// Fibre bundles behind the face, whose pattern prints through.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FibreBundles {
    /// Their height.
    #[noun(within("1 nm", "1 m", "give a height above zero: '0.5 mm'"))]
    pub height: Length,
    /// Linear shrinkage of the resin after the face has set; all of it where not given.
    #[noun(within = crate::ranges::LINEAR_SHRINKAGE)]
    pub after_set: Option<Strain>,
    /// Poisson's ratio of the resin; from memory where not given.
    #[noun(default = resin_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
}

/// Depth of the fibre pattern on the face of the part.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PrintThrough {
    /// Valley between the bundles against the ridge over them.
    pub depth: Length,
    /// How it was computed.
    pub why: Why,
}

impl FibreBundles {
    /// Depth of the fibre pattern printed through to the face of a resin that shrinks by `linear`.
    ///
    /// Between two bundles the resin is thicker by the bundle's height h than over them. What it shrinks after the
    /// face has set is taken up through the thickness alone, since the glass holds it in the plane:
    /// `d = h s (1 + ν)/(1 - ν)`; s linear shrinkage after setting (on cure and on cooling), ν of the resin. Derived here
    /// (linear elasticity of a film held in its plane); an upper estimate, as a gel coat stiffens the face.
    fn print_through(&self, linear: Strain) -> Result<PrintThrough> {
        let shrinkage = self.after_set.unwrap_or(linear);
        let nu = self.poisson.get();
        let depth = Length::from_si(self.height.si() * shrinkage.get() * (1.0 + nu) / (1.0 - nu))?;
        Ok(PrintThrough {
            depth,
            why: Why::computed(
                "depth of the fibre pattern on the face",
                show(depth),
                "d = h s (1 + nu)/(1 - nu)",
                vec![
                    Why::given("h, height of the bundles", show(self.height)),
                    Why::given("s, linear shrinkage after the face has set", show(shrinkage)),
                    Why::given("nu of the resin", show(self.poisson)),
                ],
            )
            .with_source(&sources::derived_here(
                "a resin film held in its plane by the glass",
            ))
            .with_note(
                "an upper estimate: a gel coat stiffens the face; that the contraction of resin against glass tells the measured \
                 pattern: J. Compos. Mater. 21 (1987), doi 10.1177/002199838702101204, abstract",
            ),
        })
    }
}

/// Shrinkage of a part: the resin's by volume or the part's linear one.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct PartShrinkage {
    /// Shrinkage by volume of a casting free on all sides.
    #[noun(within("0 vol%", < "100 vol%", "unsaturated polyester shrinks by 6 vol% to 9 vol% on cure"))]
    pub volumetric: Option<VolumeFraction>,
    /// Linear shrinkage.
    #[noun(within = crate::ranges::LINEAR_SHRINKAGE)]
    pub linear: Option<Strain>,
    /// Size of the pattern, for that of the part.
    #[noun(within("1 nm", "1000 km", "give a length above zero: '380 mm'"))]
    pub pattern: Option<Length>,
    /// Fibre bundles behind the face, for the fibre pattern on it.
    pub bundles: Option<FibreBundles>,
}

/// A part that has shrunk.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ShrunkPart {
    /// Linear shrinkage, positive for shrinking.
    pub linear: Strain,
    /// Shrinkage by volume.
    pub volumetric: VolumeFraction,
    /// Size of the part.
    pub finished: Option<Length>,
    /// The fibre pattern on the face.
    pub print_through: Option<PrintThrough>,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl PartShrinkage {
    /// Of a shrinkage by volume.
    pub fn of_volumetric(volumetric: VolumeFraction) -> Self {
        PartShrinkage {
            volumetric: Some(volumetric),
            linear: None,
            pattern: None,
            bundles: None,
        }
    }

    /// Of a linear shrinkage.
    pub fn of_linear(linear: Strain) -> Self {
        PartShrinkage {
            volumetric: None,
            linear: Some(linear),
            pattern: None,
            bundles: None,
        }
    }

    /// Refuses both or neither shrinkage.
    ///
    /// # Errors
    /// [`ErrorKind::Document`].
    pub fn check(&self) -> Result<()> {
        self.both().map(|_| ())
    }

    /// Linear and by volume: `s = 1 - (1 - S)^(1/3)`, `S = 1 - (1 - s)³`. Exact geometry.
    fn both(&self) -> Result<(Strain, VolumeFraction)> {
        match (self.volumetric, self.linear) {
            (Some(v), None) => Ok((Strain::new(-(((-v.get()).ln_1p() / 3.0).exp_m1()))?, v)),
            (None, Some(l)) => Ok((l, VolumeFraction::new(-((3.0 * (-l.get()).ln_1p()).exp_m1()))?)),
            _ => Err(Error::new(ErrorKind::Document, "")
                .with_value("both or neither shrinkage")
                .with_allowed("exactly one")
                .with_way_out("give volumetric ('7 vol%') or linear ('0.5 %')")),
        }
    }

    /// Linear and volumetric shrinkage, finished size, fibre pattern on the face.
    ///
    /// Linear shrinkage of a casting free on all sides from its shrinkage by volume: `s = 1 - (1 - S)^(1/3)`; 7 % by
    /// volume is 2.39 % linear. Size of the part from a pattern `l (1 - s)`. Exact geometry.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Document`] for both or neither shrinkage.
    #[question("laminate.shrinkage")]
    pub fn shrunk(&self) -> Result<ShrunkPart> {
        noun::check(self)?;
        let (linear, volumetric) = self.both()?;
        Ok(ShrunkPart {
            linear,
            volumetric,
            finished: self
                .pattern
                .map(|p| Length::from_si(p.si() * (1.0 - linear.get())))
                .transpose()?,
            print_through: self.bundles.map(|b| b.print_through(linear)).transpose()?,
            why: Why::computed(
                "linear shrinkage",
                show(linear),
                "1 - (1 - S)^(1/3), free on all sides",
                vec![Why::given("S, shrinkage by volume", show(volumetric))],
            )
            .with_source(&sources::derived_here("geometry of a body that shrinks alike in all directions"))
            .with_note("glass and mould hold a wall in its plane: it shrinks less there and more through its thickness"),
        })
    }
}

/// A ring of the part that has shrunk on a core or a rib of the mould.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CoreGrip {
    /// Radius of the core.
    #[noun(within("1 nm", "1 km", "give a radius above zero: '20 mm'"))]
    pub core_radius: Length,
    /// Thickness of the wall around it.
    #[noun(within = crate::ranges::WALL_THICKNESS)]
    pub wall: Length,
    /// Length of the core in the part.
    #[noun(within("1 nm", "1 km", "give a length above zero: '50 mm'"))]
    pub length: Length,
    /// Linear shrinkage of the wall (cure and cooling).
    #[noun(within = crate::ranges::LINEAR_SHRINKAGE)]
    pub shrinkage: Strain,
    /// Modulus of the wall at demoulding.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio of the wall.
    #[noun(within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// Friction between wall and core.
    #[noun(within(0, 1000, "give a friction of zero or more, for example '0.4'"))]
    pub friction: Index,
    /// Draft of the core, its taper from the axis.
    #[noun(
        default = "0 deg",
        within("0 deg", "45 deg", "a core is drafted by 0.5 to 3 degrees: write '1 deg'")
    )]
    pub draft: Angle,
}

/// What a core is held with.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CorePull {
    /// Pressure between wall and core.
    pub pressure: Pressure,
    /// Largest hoop stress in the wall, at the core.
    pub hoop_stress: Pressure,
    /// Pull that draws the core; 0 where its draft frees it.
    pub pull: Force,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl CoreGrip {
    /// Pressure, hoop stress and pull of a wall that has shrunk on a core or rib.
    ///
    /// Thick ring pressed on a rigid core: `p = E s/((R² + r²)/(R² - r²) + ν)`, hoop stress at the core
    /// `p (R² + r²)/(R² - r²)`, R = r + wall (S. P. Timoshenko, *Strength of Materials*, part II). Pull
    /// `2π r L p (μ cos α - sin α)`, not below 0, friction μ, draft α (balance of a cone under pressure and friction,
    /// derived here). An upper estimate: a core gives, resin creeps.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    #[question("laminate.core_grip")]
    pub fn pull(&self) -> Result<CorePull> {
        noun::check(self)?;
        let (r, wall, l) = (self.core_radius.si(), self.wall.si(), self.length.si());
        let (mu, alpha) = (self.friction.get(), self.draft.si());
        let outer = r + wall;
        // (R² + r²)/(R² - r²), from the wall so that a thin ring loses no digits.
        let ring = (outer * outer + r * r) / (wall * (outer + r));
        let p = self.modulus.si() * self.shrinkage.get() / (ring + self.poisson.get());
        let pull = 2.0 * std::f64::consts::PI * r * l * p * (mu * alpha.cos() - alpha.sin()).max(0.0);
        let pull = Force::from_si(pull)?;
        Ok(CorePull {
            pressure: Pressure::from_si(p)?,
            hoop_stress: Pressure::from_si(p * ring)?,
            pull,
            why: Why::computed(
                "pull that draws the core",
                show(pull),
                "F = 2 pi r L p (mu cos a - sin a), p = E s/((R^2 + r^2)/(R^2 - r^2) + nu)",
                vec![
                    Why::given("r, core", show(self.core_radius)),
                    Why::given("R - r, wall", show(self.wall)),
                    Why::given("L, length", show(self.length)),
                    Why::given("s, linear shrinkage", show(self.shrinkage)),
                    Why::given("E, modulus of the wall at demoulding", show(self.modulus)),
                    Why::given("mu, friction", show(self.friction)),
                    Why::given("a, draft", show(self.draft)),
                ],
            )
            .with_source(&sources::thick_ring())
            .with_note("an upper estimate: the core is taken as rigid and the resin does not creep"),
        })
    }
}
