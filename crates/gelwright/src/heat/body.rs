//! A cup's mix as a body of one dimension.
//!
//! A cup is a cylinder that cools through its side and through one end or both. Followed in one dimension, the distance
//! `r` from its hottest place to the nearest cooled face, it is a body whose area grows as `r^n`:
//!
//! ```text
//! A(r) = A (r/L)^n,   V = A L/(n + 1),   so   n = A L/V - 1
//! rho c dT/dt = r^-n d/dr (k r^n dT/dr) + rho H da/dt,   dT/dr = 0 at 0,   -k A dT/dr = sum of A_j U_j (T - T_around) at L
//! ```
//!
//! With `L` the greatest distance of any place of the mix from the nearest cooled face, `V` its volume and `A` its cooled
//! area, heat capacity, heat given off and the way that heat goes are the cup's own at once. A wide pan tends to `n = 0`, the plane;
//! a tall tube to `n = 1`, the cylinder; a cup as deep as wide that cools all round is `n = 2`, the sphere; the same
//! on an insulated bottom `n = 1.5`. Of a cylinder of radius `R` and depth `d`, `L` is the smaller of `R` and `d` where one end cools, of `R`
//! and `d/2` where both do, and `n` lies between 0 and 2. All cooled faces share one surface temperature. What that costs against the
//! cylinder in two dimensions stands at [`Cup`](super::Cup).
//!
//! The vessel's heat capacity sits at the mix's surface, its wall's resistance outside it, in front of the film of the
//! faces that it covers.

use std::sync::Arc;

use super::edge::{Drive, EdgeLaw, Film};

/// A cooled face: what it meets, its area, and the resistance before that, m² K/W.
pub(crate) struct CooledFace {
    pub(crate) law: EdgeLaw,
    pub(crate) area: f64,
    pub(crate) resistance: f64,
}

/// Sizes of a cup's mix, m, m², m³.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Body {
    pub(crate) volume: f64,
    /// Through which heat leaves.
    pub(crate) area: f64,
    /// `L`.
    pub(crate) half_depth: f64,
    /// From the middle of the mix to the nearest cooled face.
    pub(crate) middle: f64,
}

impl Body {
    /// Of a mix `depth` m deep; `ends`: how many of top and bottom cool. Where nothing does, as if all did.
    pub(crate) fn new(diameter: f64, depth: f64, area: f64, ends: u8) -> Self {
        let radius = 0.5 * diameter;
        let end = std::f64::consts::PI * radius * radius;
        Body {
            volume: end * depth,
            area,
            half_depth: match ends {
                0 => radius,
                1 => radius.min(depth),
                _ => radius.min(0.5 * depth),
            },
            middle: if ends == 0 {
                radius
            } else {
                radius.min(0.5 * depth)
            },
        }
    }

    /// `n`.
    pub(crate) fn exponent(&self) -> f64 {
        (self.area * self.half_depth / self.volume - 1.0).max(0.0)
    }
}

/// All faces as one whose flux is their mean by area, all having one surface temperature and the same surroundings.
pub(crate) fn together(faces: Vec<CooledFace>) -> EdgeLaw {
    let area: f64 = faces.iter().map(|f| f.area).sum();
    let mut around: Option<Drive> = None;
    let mut constant = 0.0;
    let mut films: Vec<Behind> = vec![];
    for f in faces {
        let share = f.area / area;
        match f.law {
            EdgeLaw::Linear(h, d) => {
                constant += share / (1.0 / h + f.resistance);
                around = Some(d);
            }
            EdgeLaw::Film(film, d) => {
                films.push(Behind {
                    film,
                    share,
                    resistance: f.resistance,
                });
                around = Some(d);
            }
            // A cup has no other face.
            EdgeLaw::Closed | EdgeLaw::Flux(_) | EdgeLaw::Fixed(_) => {}
        }
    }
    match around {
        None => EdgeLaw::Closed,
        Some(d) if films.is_empty() => EdgeLaw::Linear(constant, d),
        Some(d) => EdgeLaw::Film(Arc::new(Around { films, constant }), d),
    }
}

/// A film behind a wall that holds no heat.
struct Behind {
    film: Arc<dyn Film>,
    share: f64,
    resistance: f64,
}

impl Behind {
    /// `q = film(surface + R q)`, with the derivatives that follow from it.
    fn flux(&self, surface: f64, surroundings: f64) -> (f64, f64, f64) {
        let r = self.resistance;
        let (mut q, mut by, mut by_around) = self.film.flux(surface, surroundings);
        if r > 0.0 {
            q /= 1.0 - r * by;
            for _ in 0..20 {
                let (f, s, a) = self.film.flux(surface + r * q, surroundings);
                (by, by_around) = (s, a);
                let step = (q - f) / (1.0 - r * s);
                q -= step;
                if r * step.abs() < 1e-6 {
                    break;
                }
            }
            let slower = 1.0 / (1.0 - r * by);
            (by, by_around) = (by * slower, by_around * slower);
        }
        (q, by, by_around)
    }
}

/// Films side by side, by their shares of the area, and a constant coefficient.
struct Around {
    films: Vec<Behind>,
    constant: f64,
}

impl Film for Around {
    fn flux(&self, surface: f64, surroundings: f64) -> (f64, f64, f64) {
        let c = self.constant;
        let mut sum = (c * (surroundings - surface), -c, c);
        for f in &self.films {
            let (q, s, a) = f.flux(surface, surroundings);
            sum.0 += f.share * q;
            sum.1 += f.share * s;
            sum.2 += f.share * a;
        }
        sum
    }
}
