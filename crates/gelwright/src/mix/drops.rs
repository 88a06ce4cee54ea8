//! How big a drop is: from the tip it falls from and the liquid's surface tension.

use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::numeric::roots;
use crate::quantity::{self, Length, Mass, MassDensity, Quantity, SurfaceTension, Volume};
use crate::source::{Source, Standing, Why};

/// The share `f` of Tate's ideal drop that falls, by tip radius over the cube root of the drop's volume `r/V^(1/3)`.
///
/// W. D. Harkins, F. E. Brown, The Determination of Surface Tension (Free Surface Energy), and the Weight of Falling
/// Drops, J. Am. Chem. Soc. 41 (1919) 499, as the table is reprinted in surface chemistry books; recalled, not looked
/// up (from memory).
const HARKINS_BROWN: [(f64, f64); 19] = [
    (0.30, 0.7256),
    (0.35, 0.7011),
    (0.40, 0.6828),
    (0.45, 0.6669),
    (0.50, 0.6515),
    (0.55, 0.6362),
    (0.60, 0.6250),
    (0.65, 0.6171),
    (0.70, 0.6093),
    (0.75, 0.6032),
    (0.80, 0.6000),
    (0.85, 0.5992),
    (0.90, 0.5998),
    (0.95, 0.6034),
    (1.00, 0.6098),
    (1.05, 0.6179),
    (1.10, 0.6280),
    (1.15, 0.6407),
    (1.20, 0.6535),
];

/// The source of the correction.
fn harkins_brown_source() -> Source {
    Source {
        author: "W. D. Harkins, F. E. Brown".into(),
        title: "The Determination of Surface Tension (Free Surface Energy), and the Weight of Falling Drops"
            .into(),
        year: Some(1919),
        locator: "J. Am. Chem. Soc. 41, 499, table of the correction".into(),
        standing: Standing::FromMemory,
    }
}

/// The correction `f` at `x = r/V^(1/3)`, linear between the entries of the table (within 0.001 of a smooth curve through
/// them) and, below 0.30, linear to its limit `f(0) = 1` (Tate's law itself); none above 1.20.
pub fn harkins_brown(x: f64) -> Option<f64> {
    if (0.0..FIRST.0).contains(&x) {
        return Some(1.0 - (1.0 - FIRST.1) * x / FIRST.0);
    }
    HARKINS_BROWN.windows(2).find_map(|pair| {
        let [(x0, f0), (x1, f1)] = *pair else { return None };
        (x0..=x1)
            .contains(&x)
            .then(|| f0 + (f1 - f0) * (x - x0) / (x1 - x0))
    })
}

/// Where the table begins and ends.
const FIRST: (f64, f64) = HARKINS_BROWN[0];
const LAST: (f64, f64) = HARKINS_BROWN[HARKINS_BROWN.len() - 1];
/// Below this the measured drops that were held against the straight line to the limit end (a tip of 0.67 mm).
const FINEST: f64 = 0.14;

/// A wetted tip and the liquid that drops from it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DropperTip {
    /// Outer radius of the tip where the liquid wets its face (a glass or polyethylene dropper with a peroxide or water),
    /// the inner radius where it does not.
    #[noun(within(> "0 mm", .., "write the radius of the tip, for example '1.5 mm'"))]
    pub tip_radius: Length,
    /// Surface tension of the liquid.
    #[noun(within(> "0 mN/m", .., "write the surface tension of the liquid, for example '30 mN/m'"))]
    pub surface_tension: SurfaceTension,
    /// Density of the liquid.
    #[noun(within(> "0 g/mL", .., "write the density of the liquid, for example '1.15 g/mL'"))]
    pub density: MassDensity,
}

/// A drop that falls slowly from a wetted tip.
#[derive(Clone, PartialEq, Noun)]
pub struct Drop {
    /// Its mass.
    pub mass: Mass,
    /// Its volume.
    pub volume: Volume,
    /// Drops to a gram.
    pub drops_per_gram: f64,
    /// Share of Tate's ideal drop that falls.
    pub harkins_brown_factor: f64,
    /// Tip radius over the cube root of the drop's volume.
    pub radius_over_cube_root: f64,
    /// Where the drop lies outside the correction's table.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl DropperTip {
    /// Mass of a drop from the tip it falls from and the liquid's surface tension (Tate's law with the Harkins-Brown
    /// correction).
    ///
    /// `m = 2 pi r sigma f(r/V^(1/3))/g`, `V = m/rho`, solved for the drop that satisfies its own correction. Slow
    /// dropping, tip upright. Range: `r/V^(1/3)` from 0.30 to 1.20; down to 0.14 (fine tips) the answer is extrapolated,
    /// and says so. Accuracy: measured water drops from 0.7 to 8.3 mm tips lie up to 10 % above it, from an 11 mm tip 14 %
    /// (F. Eschbaum, 1895, see the published checks).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an input that is not above zero, and for a tip so fine
    /// or so wide that the correction's table does not hold its drop.
    #[question("mix.drop_mass")]
    pub fn drop_mass(&self) -> Result<Drop> {
        crate::noun::check(self)?;
        let (r, sigma, rho) = (self.tip_radius.si(), self.surface_tension.si(), self.density.si());
        // With V = r^3/x^3, Tate's law says x^3 f(x) = r^2 rho g/(2 pi sigma); the left side grows with x.
        let bond = r * r * rho * GRAVITY / (2.0 * std::f64::consts::PI * sigma);
        let side = |x: f64, f: f64| x.powi(3) * f - bond;
        let first = (FINEST, harkins_brown(FINEST).unwrap_or(FIRST.1));
        if side(first.0, first.1) > 0.0 || side(LAST.0, LAST.1) < 0.0 {
            return Err(self.outside(first)?);
        }
        // 60 halvings of an interval below 1 end at the resolution of a double.
        let (low, high) = roots::halved(first.0, LAST.0, 60, |x| {
            side(x, harkins_brown(x).unwrap_or(LAST.1)) < 0.0
        });
        let x = 0.5 * (low + high);
        let f = harkins_brown(x).unwrap_or(LAST.1);
        let mass = 2.0 * std::f64::consts::PI * r * sigma * f / GRAVITY;
        let drop = Mass::from_si(mass)?;
        let why = Why::computed(
            "mass of a drop",
            quantity::show(drop),
            "m = 2 pi r sigma f/g",
            vec![
                Why::given("tip radius, r", quantity::show(self.tip_radius)),
                Why::given("surface tension, sigma", quantity::show(self.surface_tension)),
                Why::given(
                    format!("correction f at r/V^(1/3) = {}", quantity::figures(x)),
                    quantity::figures(f),
                )
                .with_source(&harkins_brown_source()),
            ],
        )
        .with_note(
            "slow drops from an upright, wetted tip; up to 10 % light against measured water drops: calibrate",
        );
        Ok(Drop {
            mass: drop,
            volume: Volume::from_si(mass / rho)?,
            drops_per_gram: 1e-3 / mass,
            harkins_brown_factor: f,
            radius_over_cube_root: x,
            extrapolated: (x < FIRST.0).then(|| {
                format!(
                    "r/V^(1/3) = {} lies below the correction's table (0.30 to 1.20): drawn on to Tate's law",
                    quantity::figures(x)
                )
            }),
            why,
        })
    }
}

impl DropperTip {
    /// The refusal of a tip whose drop the correction does not hold; it begins at `first`.
    fn outside(&self, first: (f64, f64)) -> Result<Error> {
        let (sigma, rho) = (self.surface_tension.si(), self.density.si());
        let radius_at = |(x, f): (f64, f64)| {
            Length::from_si((x.powi(3) * f * 2.0 * std::f64::consts::PI * sigma / (rho * GRAVITY)).sqrt())
        };
        Ok(Error::out_of_range(
            "tip_radius",
            quantity::show(self.tip_radius),
            format!(
                "{} to {} for this liquid",
                quantity::show(radius_at(first)?),
                quantity::show(radius_at(LAST)?)
            ),
            "the correction is known in this range only: weigh N drops of a finer or wider tip instead",
        ))
    }
}
