//! A thin edge as a cantilever: how far it bends, what it bears, what pull at demoulding it survives.

use crate::noun::Noun;

use super::{check, sources};
use crate::error::{Error, Result, finite};
use crate::quantity::{Force, Index, Length, Pressure, Quantity, show};
use crate::source::Why;

/// A thickness at a distance from the root.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Section {
    /// Distance from the root (where the edge joins the body).
    pub at: Length,
    /// Thickness there; between sections it runs straight.
    pub thickness: Length,
}

/// A thin edge held at its root.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Edge {
    /// Thicknesses from the root (at 0) to the tip, at least two.
    pub sections: Vec<Section>,
    /// Width of the edge that carries the load.
    pub width: Length,
    /// Young's modulus.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson: Index,
    /// Flexural strength.
    pub strength: Pressure,
    /// Factor kept between stress and strength; 1 where not given.
    pub safety_factor: Option<Index>,
}

/// What an edge does under a load at its tip.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EdgeAnswer {
    /// Deflection of the tip.
    pub deflection: Length,
    /// Largest bending stress.
    pub stress: Pressure,
    /// Where it is, from the root.
    pub weakest_at: Length,
    /// Pull at the tip that reaches the strength over the safety factor.
    pub pull_survived: Force,
    /// Strength over stress (the safety factor is not in it); `None` without a load.
    pub reserve: Option<f64>,
    /// Whether it was taken as a plate (wide) or a beam (narrow).
    pub plate: bool,
    /// Where the theory is left.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

struct Shape {
    x: Vec<f64>,
    t: Vec<f64>,
}

impl Edge {
    /// A straight taper from root to tip.
    pub fn taper(
        length: Length,
        root: Length,
        tip: Length,
        width: Length,
        modulus: Pressure,
        poisson: Index,
        strength: Pressure,
    ) -> Self {
        Edge {
            sections: vec![
                Section {
                    at: Length::default(),
                    thickness: root,
                },
                Section {
                    at: length,
                    thickness: tip,
                },
            ],
            width,
            modulus,
            poisson,
            strength,
            safety_factor: None,
        }
    }

    fn shape(&self) -> Result<Shape> {
        let mut x = Vec::with_capacity(self.sections.len());
        let mut t = Vec::with_capacity(self.sections.len());
        for (i, s) in self.sections.iter().enumerate() {
            let within = |e: Error| e.within(format_args!("sections[{i}]"));
            let at = check::not_negative("at", s.at).map_err(within)?;
            let first_off_root = i == 0 && at != 0.0;
            let not_further = x.last().is_some_and(|last| at <= *last);
            if first_off_root || not_further {
                return Err(within(Error::out_of_range(
                    "at",
                    show(s.at),
                    if first_off_root {
                        "0 for the first section"
                    } else {
                        "further out than the section before"
                    },
                    "list the sections from the root ('0 mm') to the tip",
                )));
            }
            x.push(at);
            t.push(check::positive("thickness", s.thickness).map_err(within)?);
        }
        if x.len() < 2 {
            return Err(Error::out_of_range(
                "sections",
                format!("{} section(s)", x.len()),
                "two or more",
                "give the thickness at the root and at the tip",
            ));
        }
        Ok(Shape { x, t })
    }
}

/// Deflection, stress and pull survived of a thin edge with a load at its tip.
///
/// Moment `M(x) = P (L - x)`; stress `6 M/(b t²)`; deflection `∫ M (L - x)/(E I) dx`, `I = b t³/12`, with
/// E/(1 - ν²) in place of E where the edge is at least as wide as it is long (it can not curl across; common
/// practice). `pull_survived` is the load at the tip that reaches `strength/safety_factor`. Bending theory of a
/// cantilever; shear deflection is left out (below 1 % for lengths over ten thicknesses). Marked where the
/// deflection passes a tenth of the length or the edge is shorter than five thicknesses.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange): fewer than two sections, sections not in order, zero
/// thickness, width, modulus or strength, ν outside -1 to 0.5, a safety factor below 1.
pub fn edge_bending(edge: &Edge, load: Force) -> Result<EdgeAnswer> {
    let shape = edge.shape()?;
    let b = check::positive("width", edge.width)?;
    let e = check::positive("modulus", edge.modulus)?;
    let nu = check::isotropic_poisson("poisson", edge.poisson)?;
    let strength = check::positive("strength", edge.strength)?;
    let p = finite("load", load.si())?.abs();
    let factor = match edge.safety_factor {
        None => 1.0,
        Some(f) if f.get() >= 1.0 => f.get(),
        Some(f) => {
            return Err(Error::out_of_range(
                "safety_factor",
                show(f),
                "1 or more",
                "leave it out for none, or write for example '2'",
            ));
        }
    };
    let l = shape.x[shape.x.len() - 1];
    let plate = b >= l;
    let stiff = if plate { e / (1.0 - nu * nu) } else { e };
    let deflection = p * 12.0 / (stiff * b) * shape.flexibility(l);
    let (worst, at) = shape.weakest(l);
    let stress = 6.0 * p / b * worst;
    let survived = strength / factor * b / (6.0 * worst);
    let thickest = shape.t.iter().fold(0.0f64, |m, t| m.max(*t));
    let mut remarks = vec![];
    if deflection > 0.1 * l {
        remarks.push(format!(
            "the tip moves {}, more than a tenth of the length {}: small-deflection theory overstates it",
            show(Length::from_si(deflection)?),
            show(Length::from_si(l)?)
        ));
    }
    if l < 5.0 * thickest {
        remarks.push(format!(
            "the edge is shorter than five thicknesses ({}): shear matters",
            show(Length::from_si(thickest)?)
        ));
    }
    let extrapolated = check::join(remarks);
    let survived = Force::from_si(survived)?;
    let mut why = Why::computed(
        "pull at the tip that the edge survives",
        show(survived),
        "P = s b / (6 n max((L - x)/t^2))",
        vec![
            Why::given("s, flexural strength", show(edge.strength)),
            Why::given("n, safety factor", factor.to_string()),
            Why::given("b, width", show(edge.width)),
            Why::given("L, length", show(Length::from_si(l)?)),
            Why::given(
                "weakest section, from the root",
                format!(
                    "{} ({})",
                    show(Length::from_si(at)?),
                    show(Length::from_si(shape.at(at))?)
                ),
            ),
        ],
    )
    .with_source(&sources::plates());
    if let Some(x) = &extrapolated {
        why = why.with_note(format!("extrapolated: {x}"));
    }
    Ok(EdgeAnswer {
        deflection: Length::from_si(deflection)?,
        stress: Pressure::from_si(stress)?,
        weakest_at: Length::from_si(at)?,
        pull_survived: survived,
        reserve: (p > 0.0).then(|| strength / stress),
        plate,
        extrapolated,
        why,
    })
}

/// What a thinner edge costs.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct EdgeCost {
    /// Pull survived, thinner over as designed: t² where the whole edge is thinner by one factor.
    pub pull_ratio: f64,
    /// Tip deflection, thinner over as designed: 1/t³ where the whole edge is thinner by one factor.
    pub deflection_ratio: f64,
}

/// What a thinner edge (from over-clamping) costs against the edge as designed.
///
/// # Errors
/// As [`edge_bending`], for either edge.
pub fn edge_cost(designed: &Edge, thinner: &Edge) -> Result<EdgeCost> {
    let one = Force::from_si(1.0)?;
    let a = edge_bending(designed, one).map_err(|e| e.within("designed"))?;
    let b = edge_bending(thinner, one).map_err(|e| e.within("thinner"))?;
    Ok(EdgeCost {
        pull_ratio: b.pull_survived.si() / a.pull_survived.si(),
        deflection_ratio: b.deflection.si() / a.deflection.si(),
    })
}

impl Shape {
    fn at(&self, x: f64) -> f64 {
        for (xs, ts) in self.x.windows(2).zip(self.t.windows(2)) {
            if x <= xs[1] {
                return ts[0] + (ts[1] - ts[0]) * (x - xs[0]) / (xs[1] - xs[0]);
            }
        }
        self.t[self.t.len() - 1]
    }

    /// ∫ (L - x)²/t³ dx, by Gauss-Legendre on pieces over which the thickness changes by a fifth at most.
    fn flexibility(&self, l: f64) -> f64 {
        // Five points and weights on [-1, 1]; exact for polynomials of degree nine.
        const POINTS: [(f64, f64); 5] = [
            (0.0, 0.568_888_888_888_888_9),
            (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (0.906_179_845_938_664, 0.236_926_885_056_189_1),
            (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        ];
        let mut sum = 0.0;
        for (xs, ts) in self.x.windows(2).zip(self.t.windows(2)) {
            let ratio: f64 = (ts[1] / ts[0]).ln().abs();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let pieces = (ratio / 0.2).ceil().clamp(1.0, 1000.0) as usize;
            // Ends of pieces at equal ratios of thickness, so that a steep taper is cut fine where it is thin.
            #[allow(clippy::cast_precision_loss)]
            let end = |i: usize| {
                let f = i as f64 / pieces as f64;
                if ratio < 1e-9 {
                    xs[0] + f * (xs[1] - xs[0])
                } else {
                    let t = ts[0] * (ts[1] / ts[0]).powf(f);
                    xs[0] + (t - ts[0]) / (ts[1] - ts[0]) * (xs[1] - xs[0])
                }
            };
            for i in 0..pieces {
                let (lo, hi) = (end(i), end(i + 1));
                let (mid, half) = (0.5 * (lo + hi), 0.5 * (hi - lo));
                for (p, w) in POINTS {
                    let x = mid + half * p;
                    let t = ts[0] + (ts[1] - ts[0]) * (x - xs[0]) / (xs[1] - xs[0]);
                    sum += w * half * (l - x).powi(2) / t.powi(3);
                }
            }
        }
        sum
    }

    /// The largest (L - x)/t² and its place: at a section, or where a taper is twice as thick as its (extended) tip.
    fn weakest(&self, l: f64) -> (f64, f64) {
        let mut best = (0.0, 0.0);
        let mut consider = |x: f64, t: f64| {
            let v = (l - x) / (t * t);
            if v > best.0 {
                best = (v, x);
            }
        };
        for (xs, ts) in self.x.windows(2).zip(self.t.windows(2)) {
            consider(xs[0], ts[0]);
            consider(xs[1], ts[1]);
            // t = ts0 + k (x - xs0); d/dx ((L - x)/t²) = 0 at t = -2 k (L - x)
            let k = (ts[1] - ts[0]) / (xs[1] - xs[0]);
            if k != 0.0 {
                let x = (2.0 * k * l + ts[0] - k * xs[0]) / k;
                if x > xs[0] && x < xs[1] {
                    consider(x, ts[0] + k * (x - xs[0]));
                }
            }
        }
        best
    }
}
