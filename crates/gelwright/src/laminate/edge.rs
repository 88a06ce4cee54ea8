//! A thin edge as a cantilever: how far it bends, what it bears, what pull at demoulding it survives.

use crate::noun::{self, Noun, questions};
use crate::numeric::quadrature;

use super::{join, sources};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{Force, Index, Length, Pressure, Quantity, show};
use crate::source::Why;

/// A thickness at a distance from the root.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Section {
    /// Distance from the root (where the edge joins the body).
    #[noun(within("0 mm", "1 km", "list the sections from the root ('0 mm') to the tip"))]
    pub at: Length,
    /// Thickness there; between sections it runs straight.
    #[noun(within("1 nm", "1 km", "give a thickness above zero: '2 mm'"))]
    pub thickness: Length,
}

/// A thin edge held at its root.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct Edge {
    /// Thicknesses from the root (at 0) to the tip, at least two.
    pub sections: Vec<Section>,
    /// Width of the edge that carries the load.
    #[noun(within("1 nm", "1 km", "give a width above zero: '20 mm'"))]
    pub width: Length,
    /// Young's modulus.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; needed where the edge is at least as wide as it is long, else without effect.
    #[noun(within = crate::ranges::POISSON)]
    pub poisson: Option<Index>,
    /// Flexural strength.
    #[noun(within = crate::ranges::STRENGTH)]
    pub strength: Pressure,
    /// Factor kept between stress and strength.
    #[noun(default = "1", within(1, .., "1 or more: leave it out for none, or write for example '2'"))]
    pub safety_factor: Index,
}

/// What an edge does under a load at its tip.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EdgeBending {
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
    /// What was given and has no effect here, if anything has none.
    pub without_effect: Option<String>,
    /// How it was computed.
    pub why: Why,
    /// What the thinner edge costs, where one was given.
    pub thinner: Option<EdgeCost>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// What a thinner edge (from over-clamping) costs against the edge as designed.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct EdgeCost {
    /// Pull survived, thinner over as designed: t² where the whole edge is thinner by one factor.
    pub pull_ratio: f64,
    /// Tip deflection, thinner over as designed: 1/t³ where the whole edge is thinner by one factor.
    pub deflection_ratio: f64,
}

/// Sections in m.
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
            poisson: Some(poisson),
            strength,
            safety_factor: Index::ONE,
        }
    }

    /// Refuses sections out of order, and a plate without Poisson's ratio.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`]: fewer than two sections, sections not from root to tip; [`ErrorKind::Document`] for a
    /// plate without Poisson's ratio.
    pub fn check(&self) -> Result<()> {
        if self.sections.len() < 2 {
            return Err(Error::out_of_range(
                "sections",
                format!("{} section(s)", self.sections.len()),
                "two or more",
                "give the thickness at the root and at the tip",
            ));
        }
        let mut last = None;
        for (i, s) in self.sections.iter().enumerate() {
            let allowed = match last {
                None if s.at.si() != 0.0 => "0 for the first section",
                Some(last) if s.at.si() <= last => "further out than the section before",
                _ => {
                    last = Some(s.at.si());
                    continue;
                }
            };
            return Err(Error::out_of_range(
                format!("sections[{i}].at"),
                show(s.at),
                allowed,
                "list the sections from the root ('0 mm') to the tip",
            ));
        }
        if self.poisson.is_none() && self.is_plate() {
            return Err(Error::new(ErrorKind::Document, "poisson")
                .with_value("no Poisson's ratio")
                .with_allowed("above -1 and below 0.5")
                .with_way_out(
                    "the edge is at least as wide as it is long and bends as a plate: add it, for example '0.36'",
                ));
        }
        Ok(())
    }

    fn length(&self) -> f64 {
        self.sections.last().map_or(0.0, |s| s.at.si())
    }

    /// At least as wide as long: it can not curl across.
    fn is_plate(&self) -> bool {
        self.width.si() >= self.length()
    }

    /// The sections of an edge that was checked.
    fn shape(&self) -> Shape {
        Shape {
            x: self.sections.iter().map(|s| s.at.si()).collect(),
            t: self.sections.iter().map(|s| s.thickness.si()).collect(),
        }
    }

    /// Young's modulus, or of a plate E/(1 - ν²).
    fn stiff(&self) -> f64 {
        let e = self.modulus.si();
        match self.poisson {
            Some(nu) if self.is_plate() => e / (1.0 - nu.get() * nu.get()),
            _ => e,
        }
    }

    /// Tip deflection per load, m/N.
    fn compliance(&self) -> f64 {
        12.0 / (self.stiff() * self.width.si()) * self.shape().flexibility(self.length())
    }

    /// The load at the tip, N, that reaches the strength over the safety factor, given the largest (L - x)/t².
    fn survives(&self, worst: f64) -> f64 {
        self.strength.si() / self.safety_factor.get() * self.width.si() / (6.0 * worst)
    }
}

#[questions]
impl Edge {
    /// A thin edge of varying thickness: tip deflection, stress, the pull at demoulding it survives, and what a
    /// thinner edge costs.
    ///
    /// Moment `M(x) = P (L - x)`; stress `6 M/(b t²)`; deflection `∫ M (L - x)/(E I) dx`, `I = b t³/12`, with
    /// E/(1 - ν²) in place of E where the edge is at least as wide as it is long (it can not curl across; common
    /// practice). `pull_survived` is the load at the tip that reaches `strength/safety_factor`. Bending theory of a
    /// cantilever; shear deflection is left out (below 1 % for lengths over ten thicknesses). Marked where the
    /// deflection passes a tenth of the length or the edge is shorter than five thicknesses.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range; else as [`Edge::check`].
    #[question("laminate.edge_bending")]
    pub fn bending(
        &self,
        /// Load at its tip: the pull at demoulding, a hand.
        load: Force,
        /// The same edge made thinner (over-clamped), for what that costs.
        thinner: Option<&Edge>,
    ) -> Result<EdgeBending> {
        let p = finite("load", load.si())?.abs();
        self.sound()?;
        let l = self.length();
        let shape = self.shape();
        let (worst, at) = shape.weakest(l);
        let deflection = Length::from_si(p * self.compliance())?;
        let stress = Pressure::from_si(6.0 * p / self.width.si() * worst)?;
        let survived = Force::from_si(self.survives(worst))?;
        let extrapolated = self.outside_theory(&shape, deflection)?;
        let plate = self.is_plate();
        Ok(EdgeBending {
            deflection,
            stress,
            weakest_at: Length::from_si(at)?,
            pull_survived: survived,
            reserve: Some(self.strength.si() / stress.si()).filter(|r| p > 0.0 && r.is_finite()),
            plate,
            without_effect: join(
                [("poisson", Some(self)), ("thinner.poisson", thinner)]
                    .into_iter()
                    .filter(|(_, e)| e.is_some_and(|e| e.poisson.is_some() && !e.is_plate()))
                    .map(|(field, _)| {
                        format!(
                            "{field}: the edge is narrower than long and bends as a beam, free to curl across"
                        )
                    })
                    .collect(),
            ),
            why: self.why(survived, &shape, at, extrapolated.as_deref())?,
            extrapolated,
            thinner: thinner.map(|t| self.cost_of(t)).transpose()?,
            cautions: vec![
                "a broken edge is sharp and throws splinters: wear eye protection and gloves when demoulding"
                    .to_owned(),
            ],
        })
    }

    fn sound(&self) -> Result<()> {
        noun::check(self)?;
        self.check()
    }

    fn outside_theory(&self, shape: &Shape, deflection: Length) -> Result<Option<String>> {
        let l = self.length();
        let thickest = shape.t.iter().fold(0.0f64, |m, t| m.max(*t));
        let mut remarks = vec![];
        if deflection.si() > 0.1 * l {
            remarks.push(format!(
                "the tip moves {}, more than a tenth of the length {}: small-deflection theory overstates it",
                show(deflection),
                show(Length::from_si(l)?)
            ));
        }
        if l < 5.0 * thickest {
            remarks.push(format!(
                "the edge is shorter than five thicknesses ({}): shear matters",
                show(Length::from_si(thickest)?)
            ));
        }
        Ok(join(remarks))
    }

    fn why(&self, survived: Force, shape: &Shape, at: f64, note: Option<&str>) -> Result<Why> {
        let why = Why::computed(
            "pull at the tip that the edge survives",
            show(survived),
            "P = s b / (6 n max((L - x)/t^2))",
            vec![
                Why::given("s, flexural strength", show(self.strength)),
                Why::given("n, safety factor", self.safety_factor.get().to_string()),
                Why::given("b, width", show(self.width)),
                Why::given("L, length", show(Length::from_si(self.length())?)),
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
        Ok(match note {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        })
    }

    fn cost_of(&self, thinner: &Edge) -> Result<EdgeCost> {
        thinner.sound().map_err(|e| e.within("thinner"))?;
        let pull = |e: &Edge| e.survives(e.shape().weakest(e.length()).0);
        Ok(EdgeCost {
            pull_ratio: finite("thinner", pull(thinner) / pull(self))?,
            deflection_ratio: finite("thinner", thinner.compliance() / self.compliance())?,
        })
    }
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
                sum += quadrature::integral(end(i), end(i + 1), |x| {
                    let t = ts[0] + (ts[1] - ts[0]) * (x - xs[0]) / (xs[1] - xs[0]);
                    (l - x).powi(2) / t.powi(3)
                });
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
