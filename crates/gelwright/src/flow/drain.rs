//! Resin on a steep face: what runs off before gel, and brush marks that level out.

use crate::noun::{self, Noun, questions};

use super::viscosity::ViscosityHistory;
use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::quantity::{Angle, Length, MassDensity, Pressure, Quantity, SurfaceTension, show};
use crate::source::{Source, Why};

/// A coat of resin on a slope, draining until it gels.
///
/// A film of the initial thickness `h0` thins from its upper edge down. With `G = rho g sin(slope)`, the yield
/// thickness `h_y = tau_y/G` and `Theta = integral dt/eta`, the thickness at a distance `x` below the upper edge is
/// `h = min(h0, [h_y + sqrt(h_y^2 + 4 x/(G Theta))]/2)`; a film no thicker than `h_y` stays. Without a yield stress
/// this is `h = sqrt(x eta/(rho g t))`.
///
/// It is the exact solution of the lubrication equation for a face that is not fed from above. Surface tension and
/// the thick lower rim are not in it.
///
/// Sources: H. Jeffreys, "The draining of a vertical plate", Proc. Cambridge Philos. Soc. 26, 204 (1930); the
/// yield stress by the same characteristics with a plug, derived here.
#[derive(Clone, PartialEq, Noun)]
pub struct Drain {
    /// Thickness the coat is put on with.
    #[noun(within(> "0 mm", ..))]
    pub thickness: Length,
    /// Slope from the horizontal.
    #[noun(within = crate::ranges::SLOPE)]
    pub slope: Angle,
    /// Length of the face along the slope.
    #[noun(within(> "0 m", ..))]
    pub face: Length,
    /// Density of the resin.
    #[noun(within(> "0 g/mL", ..))]
    pub density: MassDensity,
    /// Its viscosity until gel.
    pub viscosity: ViscosityHistory,
    /// Its yield stress.
    #[noun(default = "0 Pa", within("0 Pa", ..))]
    pub yield_stress: Pressure,
}

/// What stays on the face.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Drained {
    /// Mean thickness at gel.
    pub mean: Length,
    /// Thickness a tenth of the way down, near the thin upper edge.
    pub near_top: Length,
    /// Thickness at the bottom.
    pub at_bottom: Length,
    /// Thickest coat that does not run at all (zero without a yield stress; none on a level face).
    pub holds: Option<Length>,
    /// Part of the coat that has run off the bottom, 0 to 1.
    pub run_off: f64,
    /// Distances below the upper edge, m.
    pub distance_m: Vec<f64>,
    /// Thickness there at gel, m.
    pub thickness_m: Vec<f64>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Drain {
    /// What stays of a coat on a steep face when it gels, and how much runs off.
    ///
    /// [`Drain`] gives equation and sources.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes that are not above zero, a slope outside 0 to
    /// 90 deg, a coat thicker than a tenth of the face; else as [`ViscosityHistory::check`].
    #[question("flow.drain")]
    pub fn drained(&self) -> Result<Drained> {
        noun::check(self)?;
        self.viscosity.check().map_err(|e| e.within("viscosity"))?;
        let (h0, length) = (self.thickness.si(), self.face.si());
        let tau = self.yield_stress.si();
        if h0 > 0.1 * length {
            return Err(Error::out_of_range(
                "thickness",
                show(self.thickness),
                format!(
                    "at most a tenth of the face, {}",
                    show(Length::from_si(0.1 * length)?)
                ),
                "a bead is not a coat: use the sag of a bead",
            ));
        }
        let g = self.density.si() * GRAVITY * self.slope.si().sin();
        let theta = self.viscosity.fluidity(f64::INFINITY);
        let film = Film {
            h0,
            hy: if g > 0.0 { tau / g } else { f64::INFINITY },
            gt: g * theta,
        };
        let mean = film.volume(length) / length;
        let n = 40u32;
        let distance_m: Vec<f64> = (0..=n).map(|i| length * f64::from(i) / f64::from(n)).collect();
        let thickness_m = distance_m.iter().map(|x| film.at(*x)).collect();
        let mean_length = Length::from_si(mean)?;
        let why = Why::computed(
            "mean thickness left at gel",
            show(mean_length),
            "h(x) = min(h0, [h_y + sqrt(h_y^2 + 4 x/(G Theta))]/2), G = rho g sin(slope), h_y = tau_y/G, Theta = int dt/eta",
            vec![
                Why::given("h0, coat as put on", show(self.thickness)),
                Why::given("slope from the horizontal", show(self.slope)),
                Why::given("face", show(self.face)),
                Why::given("rho, density", show(self.density)),
                Why::given("tau_y, yield stress", format!("{tau} Pa")),
                Why::given("Theta", format!("{theta:.4e} 1/Pa over {}", show(self.viscosity.end()))),
            ],
        )
        .with_source(&Source::published(
            "H. Jeffreys",
            "The draining of a vertical plate, Proc. Cambridge Philos. Soc. 26",
            1930,
            "p. 204",
        ));
        Ok(Drained {
            mean: mean_length,
            near_top: Length::from_si(film.at(0.1 * length))?,
            at_bottom: Length::from_si(film.at(length))?,
            holds: if g > 0.0 {
                Some(Length::from_si(tau / g)?)
            } else {
                None
            },
            run_off: 1.0 - mean / h0,
            distance_m,
            thickness_m,
            why,
        })
    }
}

/// A draining film: initial thickness, yield thickness, and `G Theta` (1/m).
struct Film {
    h0: f64,
    hy: f64,
    gt: f64,
}

impl Film {
    fn at(&self, x: f64) -> f64 {
        if self.h0 <= self.hy || self.gt <= 0.0 {
            return self.h0;
        }
        (0.5 * (self.hy + (self.hy * self.hy + 4.0 * x / self.gt).sqrt())).min(self.h0)
    }

    /// Integral of the thickness from the upper edge to `length`.
    fn volume(&self, length: f64) -> f64 {
        if self.h0 <= self.hy || self.gt <= 0.0 {
            return self.h0 * length;
        }
        // the drained part reaches down to where the characteristic of h0 has come
        let front = (self.gt * self.h0 * (self.h0 - self.hy)).min(length);
        let root = self.hy * self.hy + 4.0 * front / self.gt;
        let drained = 0.5 * self.hy * front + self.gt / 12.0 * (root.powf(1.5) - self.hy.powi(3));
        drained + self.h0 * (length - front)
    }
}

/// Brush marks in a coat, levelling until it gels.
///
/// Amplitude left over amplitude made is `exp[-(16 pi^4 gamma h^3)/(3 lambda^4) Theta]` with the surface tension
/// `gamma`, the mean film thickness `h` and the spacing `lambda` of the marks.
///
/// For marks shallow against the film and no yield stress (a thixotropic gel coat levels less).
/// Source: S. E. Orchard, "On surface levelling in viscous liquids and gels", Appl. Sci. Res. A 11, 451 (1962);
/// equation from memory.
#[derive(Clone, PartialEq, Noun)]
pub struct Levelling {
    /// Mean thickness of the coat.
    #[noun(within(> "0 mm", ..))]
    pub thickness: Length,
    /// Distance from brush mark to brush mark.
    #[noun(within(> "0 mm", ..))]
    pub spacing: Length,
    /// Surface tension of the resin.
    #[noun(within(> "0 mN/m", .., "resins have about 30 mN/m"))]
    pub surface_tension: SurfaceTension,
    /// Its viscosity until gel.
    pub viscosity: ViscosityHistory,
}

#[questions]
impl Levelling {
    /// How far brush marks in a coat flow out before it gels.
    ///
    /// [`Levelling`] gives equation and source.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for sizes that are not above zero; else as
    /// [`ViscosityHistory::check`].
    #[question("flow.levelling")]
    pub fn levelled(&self) -> Result<Levelled> {
        noun::check(self)?;
        self.viscosity.check().map_err(|e| e.within("viscosity"))?;
        let (h, l, gamma) = (self.thickness.si(), self.spacing.si(), self.surface_tension.si());
        let rate = 16.0 * std::f64::consts::PI.powi(4) * gamma * h.powi(3) / (3.0 * l.powi(4));
        let left = (-rate * self.viscosity.fluidity(f64::INFINITY)).exp();
        // lubrication: marks long against the film
        let extrapolated = (l < 5.0 * h).then(|| {
            format!(
                "marks {} apart are close against the film, {}: the law is for long marks",
                show(self.spacing),
                show(self.thickness)
            )
        });
        let mut why = Why::computed(
            "depth of brush marks left at gel",
            format!("{:.1} % of the depth made", 100.0 * left),
            "a/a0 = exp[-(16 pi^4 gamma h^3)/(3 lambda^4) int dt/eta]",
            vec![
                Why::given("h, film", show(self.thickness)),
                Why::given("lambda, spacing of the marks", show(self.spacing)),
                Why::given("gamma, surface tension", show(self.surface_tension)),
            ],
        )
        .with_source(
            &Source::published(
                "S. E. Orchard",
                "On surface levelling in viscous liquids and gels, Appl. Sci. Res. A 11",
                1962,
                "p. 451",
            )
            .from_memory(),
        );
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(Levelled {
            left,
            extrapolated,
            why,
        })
    }
}

/// Brush marks at gel.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Levelled {
    /// Depth left over depth made, 0 to 1.
    pub left: f64,
    /// What is outside the law's range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}
