//! An edge peeled off its mould: how much it is strained by letting go, and the shop test that tells how firmly it sticks.
//!
//! A skin that is lifted off a rigid mould lets go along a front that runs under it. The front needs an energy per area,
//! the adhesion `G` (J/m² = N/m); a skin of bending stiffness `D = E t³/12/(1 - ν²)` per width brings it at the moment
//! `M = √(2 G D)`, whatever the pull and its lever: no pull has to be known. Its faces are then strained by
//!
//! ```text
//! strain = M t/(2 D) = √(6 G (1 - ν²)/(E t))        1/radius = M/D
//! ```
//!
//! (energy balance of an elastic strip that bends freely; J. W. Obreimoff, *The splitting strength of mica*, Proc. R. Soc.
//! Lond. A 127 (1930) 290, doi 10.1098/rspa.1930.0058, for the wedge). A thin edge is strained more than a thick one, a soft
//! one more than a stiff one. Not modelled: edges that lock behind an undercut, suction of a closed mould, speed (adhesion
//! grows with it), stress left by cure shrinkage, which helps to let go.

use super::ForcePerWidth;
use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{Force, Index, Length, Pressure, Quantity, Strain, known, show};
use crate::source::{Source, Standing, Why};

/// How firmly a waxed or film-released mould holds where nobody has tested it, N/m: low end, middle, high end. From memory:
/// no measured value of such a mould was found published. A glass plate that nothing sticks to has 0.5 (MRS Proceedings 710
/// (2001) DD10.6.1, abstract).
const UNTESTED: [f64; 3] = [1.0, 6.3, 40.0];

/// The adhesion of a released mould that nobody has tested: low end, middle, high end (40-fold apart, from memory).
pub fn untested_adhesion() -> [ForcePerWidth; 3] {
    UNTESTED.map(known)
}

/// A skin on its mould, as it is when it is peeled off.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PeeledSkin {
    /// Thickness.
    #[noun(within("10 um", "1 m", "give the skin's thickness, for example '2 mm'"))]
    pub thickness: Length,
    /// Young's modulus on the day it leaves the mould.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = super::resin_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// Strain at which its face cracks (elongation at break).
    #[noun(within = crate::ranges::STRAIN_TO_CRACK)]
    pub strain_to_crack: Option<Strain>,
}

/// What peeling does to a skin.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Peel {
    /// Strain of its faces where it lets go.
    pub strain: Strain,
    /// Radius that it is bent to there.
    pub radius: Length,
    /// Moment per width that keeps the front running, N.
    #[noun(name = "moment_N")]
    pub moment_n: f64,
    /// Pull per width that does so at a lever of one length from the front: moment over lever.
    pub pull: Option<ForcePerWidth>,
    /// Strain to crack over strain, where the strain to crack is given.
    pub reserve: Option<f64>,
    /// The adhesion at which it would crack.
    pub cracks_at: Option<ForcePerWidth>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// A strip lifted off its mould by a wedge: a test of how firmly it sticks.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct WedgeTest {
    /// Thickness of the strip.
    #[noun(within("10 um", "50 mm", "give the strip's thickness, for example '2 mm'"))]
    pub thickness: Length,
    /// Its Young's modulus on the day of the test.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = super::resin_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// Thickness of the wedge, how far it lifts the strip off the mould.
    #[noun(within(
        "10 um",
        "100 mm",
        "give the wedge's thickness where it touches, for example '1 mm'"
    ))]
    pub wedge: Length,
    /// From where the wedge touches to where the strip still sticks.
    #[noun(within("0.1 mm", "1 m", "measure from the wedge to the front, for example '30 mm'"))]
    pub open_length: Length,
    /// How well the front is seen.
    #[noun(default = "1 mm", within("0 mm", "100 mm", "for example '1 mm'"))]
    pub front_seen_to: Length,
}

/// A strip lifted off its mould at its tip, until the front begins to run: the other test of how firmly it sticks.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct LeverTest {
    /// Thickness of the strip.
    #[noun(within("10 um", "50 mm", "give the strip's thickness, for example '2 mm'"))]
    pub thickness: Length,
    /// Its Young's modulus on the day of the test.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = super::resin_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// Width of the strip.
    #[noun(within("1 mm", "1 m", "give the strip's width, for example '30 mm'"))]
    pub width: Length,
    /// From where it is lifted to where it still sticks.
    #[noun(within("1 mm", "1 m", "measure from the hook to the front, for example '50 mm'"))]
    pub lever: Length,
    /// The pull, square to the mould, at which the front begins to run.
    #[noun(within("0.001 N", "10000 N", "give what the spring balance shows, for example '4 N'"))]
    pub pull: Force,
    /// How well that pull is read.
    #[noun(default = "20 %", within("0 %", "99 %", "for example '10 %'"))]
    pub read_to: crate::quantity::RelativeAmount,
}

/// A test of a strip on a patch of the mould, waxed or filmed as the mould is, that tells how firmly the part will stick.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum ReleaseTest {
    /// A wedge under the strip.
    Wedge(WedgeTest),
    /// A pull at its tip.
    Lever(LeverTest),
}

impl ReleaseTest {
    /// How firmly it sticks.
    ///
    /// # Errors
    /// As [`WedgeTest::adhesion`] and [`LeverTest::adhesion`].
    pub fn adhesion(&self) -> Result<Adhesion> {
        match self {
            ReleaseTest::Wedge(test) => test.adhesion().map_err(|e| e.within("wedge")),
            ReleaseTest::Lever(test) => test.adhesion().map_err(|e| e.within("lever")),
        }
    }
}

/// The shrinkage at which a skin lets go of its mould by itself.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct SelfRelease {
    /// Free to shrink along one direction only: a narrow strip.
    pub one_way: Strain,
    /// Along both: a face.
    pub both_ways: Strain,
    /// The chain behind it.
    pub why: Why,
}

/// How firmly a skin sticks.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Adhesion {
    /// Energy that a square metre needs to let go, J/m² (N/m).
    pub energy: ForcePerWidth,
    /// Low end: the front further off by what it is seen to.
    pub low: ForcePerWidth,
    /// High end.
    pub high: ForcePerWidth,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

fn wedge_source() -> Source {
    Source {
        standing: Standing::Derived,
        ..Source::published(
            "J. W. Obreimoff",
            "The splitting strength of mica, Proc. R. Soc. Lond. A 127 (1930) 290, doi 10.1098/rspa.1930.0058",
            1930,
            "energy balance of a lifted strip; written here for a wide strip on a rigid mould",
        )
    }
}

/// Bending stiffness per width, N m.
fn stiffness(modulus: Pressure, thickness: Length, poisson: Index) -> f64 {
    super::plate_stiffness(modulus.si(), thickness.si(), poisson.get())
}

#[questions(skin)]
impl PeeledSkin {
    /// How much a skin is strained by peeling it off its mould.
    ///
    /// `strain = √(6 G (1 - ν²)/(E t))`, `M = √(2 G D)`; see [`peel`](self).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("laminate.peel")]
    pub fn peel(
        &self,
        /// Energy that a square metre of it needs to let go, as "10 J/m^2": by [`WedgeTest`] on a released patch of the
        /// mould. No measured value of a waxed mould was found published; a glass plate that nothing sticks to has 0.5 J/m²
        /// (MRS Proceedings 710 (2001) DD10.6.1, abstract).
        #[noun(within("0.01 N/m", "10000 N/m", "give for example '10 J/m^2'"))]
        adhesion: ForcePerWidth,
        /// Where it is pulled, from the front.
        #[noun(within("1 mm", "10 m", "give the lever of the pull, for example '50 mm'"))]
        lever: Option<Length>,
    ) -> Result<Peel> {
        noun::check(self)?;
        let d = stiffness(self.modulus, self.thickness, self.poisson);
        let (g, t) = (adhesion.si(), self.thickness.si());
        let moment = (2.0 * g * d).sqrt();
        let strain = moment * t / (2.0 * d);
        let cracks = self.strain_to_crack.map(|e| {
            let kappa = 2.0 * e.get() / t;
            (e.get() / strain, 0.5 * d * kappa * kappa)
        });
        let strain = Strain::new(strain)?;
        let mut cautions = vec![
            "wedge it off evenly, with plastic wedges and compressed air from the other side of your face; eye protection; \
             never a steel blade towards a hand"
                .to_owned(),
        ];
        if cracks.is_some_and(|(reserve, _)| reserve < 1.0) {
            cautions
                .push("it cracks by letting go: better release, a thicker edge, or a longer cure".to_owned());
        }
        Ok(Peel {
            strain,
            radius: Length::from_si(d / moment)?,
            moment_n: moment,
            pull: lever
                .map(|l| ForcePerWidth::from_si(moment / l.si()))
                .transpose()?,
            reserve: cracks.map(|c| c.0),
            cracks_at: cracks.map(|c| ForcePerWidth::from_si(c.1)).transpose()?,
            cautions,
            why: Why::computed(
                "strain of a peeled skin",
                show(strain),
                "sqrt(6 G (1 - nu^2)/(E t))",
                vec![
                    Why::given("G, adhesion", show(adhesion)),
                    Why::given("E, modulus", show(self.modulus)),
                    Why::given("t, thickness", show(self.thickness)),
                    Why::given("nu", show(self.poisson)),
                ],
            )
            .with_source(&wedge_source()),
        })
    }

    /// The shrinkage, held back by the mould, at which a skin lets go by itself: the energy that it holds pays for the face.
    ///
    /// `one_way = √(2 G/(E t))`, `both_ways = √(G (1 - ν)/(E t))`: elastic energy per area of a film held in its plane,
    /// `E t e²/2` along one direction and `E t e²/(1 - ν)` along both. Above it a flat skin comes off without a pull, and what
    /// still holds is undercuts and edges. An upper estimate of the shrinkage: the skin does not creep.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("laminate.self_release")]
    pub fn self_release(
        &self,
        /// Energy that a square metre of it needs to let go, as "10 J/m^2".
        #[noun(within("0.01 N/m", "10000 N/m", "give for example '10 J/m^2'"))]
        adhesion: ForcePerWidth,
    ) -> Result<SelfRelease> {
        noun::check(self)?;
        let per = adhesion.si() / (self.modulus.si() * self.thickness.si());
        let both_ways = Strain::new((per * (1.0 - self.poisson.get())).sqrt())?;
        Ok(SelfRelease {
            one_way: Strain::new((2.0 * per).sqrt())?,
            both_ways,
            why: Why::computed(
                "shrinkage at which a face lets go by itself",
                show(both_ways),
                "sqrt(G (1 - nu)/(E t))",
                vec![
                    Why::given("G, adhesion", show(adhesion)),
                    Why::given("E, modulus", show(self.modulus)),
                    Why::given("t, thickness", show(self.thickness)),
                    Why::given("nu", show(self.poisson)),
                ],
            )
            .with_source(&super::sources::derived_here(
                "elastic energy of a film held in its plane against the energy of its face",
            )),
        })
    }
}

#[questions(test)]
impl LeverTest {
    /// How firmly a strip sticks, from the pull that peels it at a lever.
    ///
    /// `G = M²/(2 D)`, `M = pull × lever/width`, `D = E t³/12/(1 - ν²)`: of a strip wide against its thickness on a rigid
    /// mould. Its band is that of the pull.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("laminate.lever_test")]
    pub fn adhesion(&self) -> Result<Adhesion> {
        noun::check(self)?;
        let d = stiffness(self.modulus, self.thickness, self.poisson);
        let moment = self.pull.si() * self.lever.si() / self.width.si();
        let at = |share: f64| ForcePerWidth::from_si((moment * share).powi(2) / (2.0 * d));
        let energy = at(1.0)?;
        let (mut notes, read) = (Vec::new(), self.read_to.get());
        if moment * self.lever.si() > 0.6 * d {
            notes.push("the strip is bent steeply: small slopes are assumed, use a thicker strip".to_owned());
        }
        if self.lever.si() < 10.0 * self.thickness.si() {
            notes.push("a lever of less than ten thicknesses: shear counts, pull further out".to_owned());
        }
        Ok(Adhesion {
            energy,
            low: at(1.0 - read)?,
            high: at(1.0 + read)?,
            extrapolated: super::join(notes),
            why: Why::computed(
                "adhesion",
                show(energy),
                "(P a/b)^2/(2 D), D = E t^3/12/(1 - nu^2)",
                vec![
                    Why::given("P, pull", show(self.pull)),
                    Why::given("a, lever", show(self.lever)),
                    Why::given("b, width", show(self.width)),
                    Why::given("E, modulus", show(self.modulus)),
                    Why::given("t, thickness", show(self.thickness)),
                ],
            )
            .with_source(&wedge_source()),
        })
    }
}

#[questions(test)]
impl WedgeTest {
    /// Refuses a strip that is lifted further than it is open.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent).
    pub fn check(&self) -> Result<()> {
        if self.front_seen_to.si() >= self.open_length.si() {
            return Err(Error::inconsistent(
                "front_seen_to",
                show(self.front_seen_to),
                format!("below the open length of {}", show(self.open_length)),
                "look closer, or use a thicker wedge: the front moves off as its square root",
            ));
        }
        if self.wedge.si() <= self.open_length.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "wedge",
            show(self.wedge),
            format!("at most the open length of {}", show(self.open_length)),
            "measure the open length along the strip, from the wedge to where it still sticks",
        ))
    }

    /// How firmly a strip sticks, from how far a wedge opens it.
    ///
    /// `G = 3 E t³ h²/(8 (1 - ν²) a⁴)`: h the wedge, a the open length, of a strip wide against its thickness on a rigid
    /// mould. Its band is that of the front, `a ± front_seen_to`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range; as [`WedgeTest::check`].
    #[question("laminate.wedge_test")]
    pub fn adhesion(&self) -> Result<Adhesion> {
        noun::check(self)?;
        self.check()?;
        let d = stiffness(self.modulus, self.thickness, self.poisson);
        let h = self.wedge.si();
        let at = |a: f64| ForcePerWidth::from_si(4.5 * d * h * h / a.powi(4));
        let (a, seen) = (self.open_length.si(), self.front_seen_to.si());
        let energy = at(a)?;
        let mut notes = Vec::new();
        if h > 0.2 * a {
            notes.push("the strip is bent steeply: small slopes are assumed, use a thinner wedge".to_owned());
        }
        if a < 10.0 * self.thickness.si() {
            notes.push("open for less than ten thicknesses: shear counts, use a thicker wedge".to_owned());
        }
        Ok(Adhesion {
            energy,
            low: at(a + seen)?,
            high: at(a - seen)?,
            extrapolated: super::join(notes),
            why: Why::computed(
                "adhesion",
                show(energy),
                "3 E t^3 h^2/(8 (1 - nu^2) a^4)",
                vec![
                    Why::given("E, modulus", show(self.modulus)),
                    Why::given("t, thickness", show(self.thickness)),
                    Why::given("h, wedge", show(self.wedge)),
                    Why::given("a, open length", show(self.open_length)),
                ],
            )
            .with_source(&wedge_source()),
        })
    }
}
