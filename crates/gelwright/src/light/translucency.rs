//! Light through a cast edge of resin and glass.
//!
//! No published measurement of chopped-strand castings was found; what follows is put together from standard parts and
//! says which. It tells what makes an edge milky and by how much; for a number to rely on, measure a test piece and
//! carry it over to other thicknesses with [`TestPiece::layer`].
//!
//! * *Straight light* (can one read through it): every filament takes light out of the beam with the efficiency
//!   `Q = 2 int_0^1 [1 - cos(p sqrt(1 - u^2))] du`, `p = 2 pi d |n_g - n_r|/lambda`, of a thick, weakly refracting cylinder
//!   across the beam (H. C. van de Hulst, "Light Scattering by Small Particles", 1957, anomalous diffraction; the
//!   integral is `pi H_1(p)` with the Struve function). Filaments lie in the plane of the sheet.
//! * *All light* (does it glow): most of that light goes on almost straight. What counts is how far rays are turned:
//!   refraction and Fresnel reflection at each filament, `mu' = mu <1 - cos(turn)>` (geometrical optics), and then a
//!   Kubelka-Munk layer with `S = 3/4 mu'`, `K = 2 mu_a` (the usual match of two-flux and diffusion theory; from memory).
//! * *Coats in front* (a gel coat): layers that scatter and absorb add as `T = T1 T2/(1 - R1 R2)`,
//!   `R = R1 + T1^2 R2/(1 - R1' R2)`, seen from either side (P. Kubelka, "New contributions to the optics of intensely
//!   light-scattering materials. Part II: Nonhomogeneous layers", J. Opt. Soc. Am. 44, 330 (1954), doi
//!   10.1364/JOSA.44.000330). Their resin is taken to have the index of the edge's.
//! * *Surfaces*: Fresnel reflection at normal incidence for light still going straight, diffuse internal reflection for
//!   light that is not, weighted by `exp(-mu' X)` (interpolated here).

use std::f64::consts::{FRAC_PI_2, PI};

use crate::noun::{self, Noun, questions};

use super::hiding::{CoatOptics, OpticalLayer, km_source, reflect_and_pass};
use crate::check;
use crate::error::{Error, Result};
use crate::numeric::{quadrature, roots};
use crate::quantity::{Length, Quantity, ReciprocalLength, VolumeFraction, known, show};
use crate::source::{Source, Standing, Why};

/// Glass filaments in an edge.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Filaments {
    /// Volume of them in the edge.
    #[noun(within("0 vol%", "70 vol%", "that much does not pack into an edge"))]
    pub content: VolumeFraction,
    /// Diameter.
    #[noun(
        default = "13 um",
        within("10 nm", "1 cm", "glass filaments have some '13 um'")
    )]
    pub diameter: Length,
    /// Refractive index; E-glass about 1.55 to 1.56 (from memory).
    #[noun(default = E_GLASS_INDEX, within(1.2, 3, "E-glass has about 1.556"))]
    pub index: f64,
}

/// Round particles in an edge: bubbles (index 1), mineral filler, glass beads.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Particles {
    /// Volume of them in the edge.
    pub content: VolumeFraction,
    /// Diameter.
    #[noun(within("10 nm", "10 cm", "give a diameter above zero: bubbles have some '0.2 mm'"))]
    pub diameter: Length,
    /// Refractive index; 1 for air.
    #[noun(within(1, 3, "1 for air, 1.57 for alumina hydrate"))]
    pub index: f64,
}

/// A coat in front of an edge: its gel coat.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CoatInFront {
    /// Its thickness.
    #[noun(within = crate::ranges::COAT_THICKNESS)]
    pub thickness: Length,
    /// What it does to light; one of scattering and absorption zero is clear.
    pub optics: CoatOptics,
}

/// A cast edge that lets light through.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct TranslucentEdge {
    /// Thickness.
    #[noun(within("1 nm", "1 m", "give a thickness above zero: a thin edge has about '2 mm'"))]
    pub thickness: Length,
    /// Refractive index of the cured resin; polyester about 1.54 to 1.57, epoxy 1.50 to 1.57 (from memory).
    #[noun(within = crate::ranges::RESIN_INDEX)]
    pub resin_index: f64,
    /// Glass in it; none where not given.
    pub glass: Option<Filaments>,
    /// Bubbles and fillers.
    #[noun(default)]
    pub particles: Vec<Particles>,
    /// Pigment in it, or a test piece's coefficients.
    pub pigment: Option<CoatOptics>,
    /// Coats that the light passes besides, on either face.
    #[noun(default)]
    pub coats: Vec<CoatInFront>,
    /// Absorption of the resin itself (tint, cobalt).
    #[noun(
        default = "0 1/mm",
        within("0 1/mm", "1e6 1/mm", "a tint absorbs some '0.01 1/mm'")
    )]
    pub resin_absorption: ReciprocalLength,
    /// Wavelength in air; green, where the eye sees best, unless given.
    #[noun(
        default = "550 nm",
        within("200 nm", "3 um", "visible light is 400 to 700 nm")
    )]
    pub wavelength: Length,
}

/// What comes through an edge.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Translucency {
    /// Part of the light that comes through in any direction, 0 to 1.
    pub transmittance: f64,
    /// Part that comes through straight: how clearly one sees through, 0 to 1.
    pub straight: f64,
    /// Scattered part of what comes through, 0 to 1.
    pub haze: f64,
    /// Filaments that a ray crosses.
    pub filaments_crossed: f64,
    /// The layer it amounts to.
    pub layer: OpticalLayer,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// What was given and has no effect here, if anything has none.
    pub without_effect: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Extinction efficiency of a thick cylinder across the beam with phase lag `p` along its diameter (van de Hulst).
pub fn cylinder_extinction(p: f64) -> f64 {
    // u = sin t; pieces short against the oscillation
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pieces = (p.abs() / 4.0).ceil().clamp(2.0, 4000.0) as u32;
    2.0 * quadrature::integral_in_pieces(0.0, FRAC_PI_2, pieces, |t| t.cos() * (1.0 - (p * t.cos()).cos()))
}

/// Extinction efficiency of a large sphere with phase lag `p` along its diameter: `2 - 4 sin(p)/p + 4 (1 - cos p)/p^2`
/// (H. C. van de Hulst, "Light Scattering by Small Particles", 1957, section 11.22).
pub fn sphere_extinction(p: f64) -> f64 {
    let p = p.abs();
    if p < 1e-2 {
        return p * p / 2.0;
    }
    2.0 - 4.0 / p * p.sin() + 4.0 / (p * p) * (1.0 - p.cos())
}

/// Fresnel reflectance of unpolarised light from index 1 to `m` at an angle with cosine `c` (and sine `s`), with the
/// cosine inside; total reflection gives `(1, 0)`.
fn fresnel(m: f64, c: f64, s: f64) -> (f64, f64) {
    let inside = 1.0 - (s / m).powi(2);
    if inside <= 0.0 {
        return (1.0, 0.0);
    }
    let ct = inside.sqrt();
    let rs = ((c - m * ct) / (c + m * ct)).powi(2);
    let rp = ((m * c - ct) / (m * c + ct)).powi(2);
    (0.5 * (rs + rp), ct)
}

/// Mean of `1 - cos(turn)` over rays that hit a round body of relative index `m`: reflected at the first surface, or
/// refracted in and out (later internal reflections are left out). `sphere`: weights rays by `2u`, else (cylinder) by 1.
fn turn(m: f64, sphere: bool) -> f64 {
    let critical = if m < 1.0 { m.asin() } else { FRAC_PI_2 };
    let f = |t: f64| {
        let (s, c) = t.sin_cos();
        let (r, ct) = fresnel(m, c, s);
        let inside = (s / m).min(1.0).asin();
        let bent = 2.0 * (t - inside);
        let lost = r * 2.0 * c * c + (1.0 - r) * (1.0 - bent.cos()) * f64::from(u8::from(ct > 0.0));
        lost * c * if sphere { 2.0 * s } else { 1.0 }
    };
    quadrature::integral_in_pieces(0.0, critical, 16, f)
        + if critical < FRAC_PI_2 {
            quadrature::integral_in_pieces(critical, FRAC_PI_2, 8, f)
        } else {
            0.0
        }
}

/// Reflectance at normal incidence from outside, and the diffuse internal reflectance, of a surface of index `n`:
/// `int R(t) sin 2t dt` from inside.
pub fn surface_reflectances(n: f64) -> (f64, f64) {
    let straight = ((n - 1.0) / (n + 1.0)).powi(2);
    if n <= 1.0 {
        return (straight, straight);
    }
    let critical = (1.0 / n).asin();
    let f = |t: f64| {
        let (s, c) = t.sin_cos();
        fresnel(1.0 / n, c, s).0 * (2.0 * t).sin()
    };
    // t = critical sin v: the square root at the critical angle becomes smooth
    let below =
        quadrature::integral_in_pieces(0.0, FRAC_PI_2, 8, |v| f(critical * v.sin()) * critical * v.cos());
    let above = critical.cos().powi(2); // total reflection: int sin 2t from the critical angle
    (straight, below + above)
}

/// Layers one behind the other: what they reflect on each side, and let through.
#[derive(Clone, Copy)]
struct Body {
    front: f64,
    back: f64,
    through: f64,
}

impl Body {
    /// One layer of `S`, `K` (1/m) and thickness `x` (m).
    fn of(s: f64, k: f64, x: f64) -> Self {
        let (r, t) = reflect_and_pass(s, k, x);
        Body {
            front: r,
            back: r,
            through: t,
        }
    }

    /// This in front of others.
    fn before(&self, behind: &Body) -> Body {
        let gap = 1.0 - self.back * behind.front;
        // Two that reflect all, to rounding: nothing passes between them.
        let between = if gap > 0.0 { 1.0 / gap } else { 0.0 };
        Body {
            front: self.front + self.through * self.through * behind.front * between,
            back: behind.back + behind.through * behind.through * self.back * between,
            through: self.through * behind.through * between,
        }
    }
}

/// What an edge does to light, per length of ray.
struct PerLength {
    /// Filaments crossed, 1/m.
    filaments: f64,
    /// Light that does not go on straight, 1/m.
    extinction: f64,
    /// `mu'`, 1/m.
    transport: f64,
    /// `S` and `K` of the layer, 1/m.
    layer: (f64, f64),
    notes: Vec<String>,
    from: Vec<Why>,
}

#[questions]
impl TranslucentEdge {
    /// An edge of clear resin.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a thickness outside 1 nm to 1 m or an index outside
    /// 1.2 to 2.
    pub fn clear(thickness: Length, resin_index: f64) -> Result<TranslucentEdge> {
        let edge = TranslucentEdge {
            thickness,
            resin_index,
            glass: None,
            particles: Vec::new(),
            pigment: None,
            coats: Vec::new(),
            resin_absorption: ReciprocalLength::default(),
            wavelength: green(),
        };
        noun::check(&edge)?;
        Ok(edge)
    }

    /// Refuses contents that fill more than the edge.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) above 90 vol% of glass and particles.
    pub fn check(&self) -> Result<()> {
        let (glass, total) = self.filled();
        if total > 0.9 {
            return Err(Error::out_of_range(
                "particles",
                format!(
                    "{:.0} vol% glass, {:.0} vol% with the particles",
                    100.0 * glass,
                    100.0 * total
                ),
                "all together to 90 vol%",
                "that much does not pack into an edge",
            ));
        }
        Ok(())
    }

    /// Volume fractions of the glass, and of glass and particles.
    fn filled(&self) -> (f64, f64) {
        let glass = self.glass.map_or(0.0, |g| g.content.get());
        (
            glass,
            glass + self.particles.iter().map(|p| p.content.get()).sum::<f64>(),
        )
    }

    /// Light through a cast edge of resin and glass: all of it, and the part that goes straight.
    ///
    /// The laws and their sources stand at the top of [`translucency`](self).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range and contents that fill more than
    /// the edge; else as [`CoatOptics::layer`].
    #[question("light.translucency")]
    pub fn translucency(&self) -> Result<Translucency> {
        noun::check(self)?;
        self.check()?;
        self.at(self.thickness.si())
    }

    /// Filaments and particles: what they do per length of ray.
    fn particles_per_length(&self) -> PerLength {
        let (n_r, wave) = (self.resin_index, self.wavelength.si());
        let mut per = PerLength {
            filaments: 0.0,
            extinction: 0.0,
            transport: 0.0,
            layer: (0.0, 0.0),
            notes: Vec::new(),
            from: Vec::new(),
        };
        if let Some(g) = &self.glass {
            let d = g.diameter.si();
            if g.content.get() > 0.0 && d < 5.0 * wave {
                per.notes.push(format!(
                    "filament {} is thin against the light: the law needs at least 5 wavelengths",
                    show(g.diameter)
                ));
            }
            // projected area 4 phi/(pi d)
            per.filaments = 4.0 * g.content.get() / (PI * d);
            per.extinction = per.filaments * cylinder_extinction(2.0 * PI * d * (g.index - n_r) / wave);
            per.transport = per.filaments * turn(g.index / n_r, false);
        }
        for p in &self.particles {
            let size = p.diameter.si();
            if size < 5.0 * wave {
                per.notes.push(format!(
                    "particles of {} are small against the light: the law needs at least 5 wavelengths",
                    show(p.diameter)
                ));
            }
            let seen = 1.5 * p.content.get() / size;
            per.extinction += seen * sphere_extinction(2.0 * PI * size * (p.index - n_r) / wave);
            per.transport += seen * turn(p.index / n_r, true);
        }
        per
    }

    /// All that is in the edge, with pigment and the resin's own absorption.
    fn per_length(&self) -> Result<PerLength> {
        let mut per = self.particles_per_length();
        let (_, total) = self.filled();
        let own = self.resin_absorption.si() * (1.0 - total);
        let (mut s, mut k) = (0.75 * per.transport, 2.0 * own);
        if let Some(coat) = &self.pigment {
            let (layer, note, why) = coat.known().map_err(|e| e.within("pigment"))?;
            per.notes.extend(note);
            let (s_p, k_p) = layer.si();
            s += s_p;
            k += k_p;
            per.extinction += 4.0 / 3.0 * s_p + 0.5 * k_p;
            per.transport += 4.0 / 3.0 * s_p;
            per.from.push(why);
        }
        per.extinction += own;
        per.layer = (s, k);
        Ok(per)
    }

    /// What comes through a thickness `x`, m, of an edge that was checked.
    fn at(&self, x: f64) -> Result<Translucency> {
        let mut per = self.per_length()?;
        let (s, k) = per.layer;
        let mut body = Body::of(s, k, x);
        let (mut extinguished, mut turned) = (per.extinction * x, per.transport * x);
        for (i, coat) in self.coats.iter().enumerate() {
            let (layer, note, why) = coat
                .optics
                .known()
                .map_err(|e| e.within(format_args!("coats[{i}].optics")))?;
            per.notes.extend(note);
            per.from.push(why);
            let ((s, k), x) = (layer.si(), coat.thickness.si());
            body = Body::of(s, k, x).before(&body);
            extinguished += (4.0 / 3.0 * s + 0.5 * k) * x;
            turned += 4.0 / 3.0 * s * x;
        }
        let (k1, diffuse) = surface_reflectances(self.resin_index);
        let going_on = (-turned).exp();
        let k2 = k1 * going_on + diffuse * (1.0 - going_on);
        let Body { front, back, through } = body;
        let through = (1.0 - k1) * (1.0 - k2) * through
            / ((1.0 - k2 * front) * (1.0 - k2 * back) - (k2 * through).powi(2));
        let beam = (-extinguished).exp();
        let straight = ((1.0 - k1).powi(2) * beam / (1.0 - (k1 * beam).powi(2))).min(through);
        let extrapolated = (!per.notes.is_empty()).then(|| per.notes.join("; "));
        Ok(Translucency {
            transmittance: through,
            straight,
            haze: if through > 0.0 {
                1.0 - straight / through
            } else {
                0.0
            },
            filaments_crossed: per.filaments * x,
            layer: OpticalLayer {
                scattering: ReciprocalLength::from_si(s)?,
                absorption: ReciprocalLength::from_si(k)?,
            },
            without_effect: self.without_effect(),
            why: self.why(
                Length::from_si(x)?,
                (through, straight),
                per.from,
                extrapolated.as_deref(),
            ),
            extrapolated,
        })
    }

    /// A wavelength of the caller's own, where nothing in the edge bends light.
    fn without_effect(&self) -> Option<String> {
        let (_, total) = self.filled();
        (total <= 0.0 && self.wavelength != green()).then(|| {
            format!(
                "wavelength {}: there are neither filaments nor particles that bend light by it",
                show(self.wavelength)
            )
        })
    }

    fn why(
        &self,
        thickness: Length,
        (through, straight): (f64, f64),
        pigment: Vec<Why>,
        note: Option<&str>,
    ) -> Why {
        let mut from = vec![
            Why::given("thickness", show(thickness)),
            Why::given("n_r", self.resin_index.to_string()),
        ];
        if let Some(g) = &self.glass {
            from.push(Why::given("n_g", g.index.to_string()));
            from.push(Why::given(
                "glass",
                format!(
                    "{:.1} vol% of {} filaments",
                    100.0 * g.content.get(),
                    show(g.diameter)
                ),
            ));
        }
        from.extend(pigment);
        let mut why = Why::computed(
            "light through the edge",
            format!("{:.1} %, of which straight {:.1} %", 100.0 * through, 100.0 * straight),
            "S = 3/4 mu', mu' = 4 phi/(pi d) <1 - cos(turn)> + ...; Kubelka-Munk layers between two surfaces; straight: exp(-mu X), Q = pi H_1(2 pi d |n_g - n_r|/lambda)",
            from,
        )
        .with_source(&Source {
            standing: Standing::Derived,
            ..Source::published("H. C. van de Hulst", "Light Scattering by Small Particles", 1957, "anomalous diffraction; put together here")
        });
        why.from
            .push(Why::given("layer", "two-flux").with_source(&km_source()));
        why.with_note(match note {
            Some(note) => format!(
                "extrapolated: {note}; not checked against chopped-strand castings: measure a test piece"
            ),
            None => "not checked against chopped-strand castings: measure a test piece".to_owned(),
        })
    }

    /// The thickest edge of this make that still lets through `at_least` of the light, `None` if none does.
    ///
    /// # Errors
    /// As [`TranslucentEdge::translucency`].
    pub fn thickest_lit(&self, at_least: f64) -> Result<Option<Length>> {
        check::number(
            "at_least",
            at_least,
            1e-6,
            1.0,
            "a part of the light, such as 0.5",
        )?;
        noun::check(self)?;
        self.check()?;
        self.at(1e-3)?;
        let f = |u: f64| self.at(u.exp()).map_or(f64::NAN, |t| t.transmittance - at_least);
        let (low, high) = (1e-7f64.ln(), 0.0);
        if f(low) < 0.0 {
            return Ok(None);
        }
        if f(high) >= 0.0 {
            return Ok(Some(Length::from_si(1.0)?));
        }
        Ok(Some(Length::from_si(
            roots::root("thickness", low, high, f)?.exp(),
        )?))
    }
}

/// Refractive index of E-glass where the material does not say: from memory.
pub const E_GLASS_INDEX: f64 = 1.556;

/// The wavelength where the eye sees best; [`TranslucentEdge::wavelength`]'s default.
fn green() -> Length {
    known(550e-9)
}

/// A test piece of an edge's make, and the light it lets through.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct TestPiece {
    /// Its thickness.
    #[noun(within("1 nm", "1 m", "give a thickness above zero: '2 mm'"))]
    pub thickness: Length,
    /// Part of the light it lets through in any direction, 0 to 1.
    #[noun(within(0.001, 1, "a part of the light; the two surfaces alone take about 8 %"))]
    pub transmittance: f64,
    /// Refractive index of the cured resin.
    #[noun(within = crate::ranges::RESIN_INDEX)]
    pub resin_index: f64,
}

#[questions]
impl TestPiece {
    /// Scattering of a measured test piece, to carry over to other thicknesses: given as an edge's `pigment`
    /// (`{"layer": ...}`).
    ///
    /// `S` of a Kubelka-Munk layer without absorption between two surfaces of the resin's index.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range, or more light than the bare
    /// surfaces let through.
    #[question("light.test_piece")]
    pub fn layer(&self) -> Result<OpticalLayer> {
        noun::check(self)?;
        let x = self.thickness.si();
        let through = |s: f64| -> Result<f64> {
            let mut piece = TranslucentEdge::clear(self.thickness, self.resin_index)?;
            piece.pigment = Some(CoatOptics::Layer(OpticalLayer {
                scattering: ReciprocalLength::from_si(s)?,
                absorption: ReciprocalLength::default(),
            }));
            Ok(piece.at(x)?.transmittance)
        };
        let clear = through(0.0)?;
        check::number(
            "transmittance",
            self.transmittance,
            0.001,
            clear,
            "a part of the light; the two surfaces alone take about 8 %",
        )?;
        let s = if self.transmittance >= clear * (1.0 - 1e-12) {
            0.0
        } else {
            roots::root("scattering", 0.0, 1e4 / x, |s| {
                through(s).map_or(f64::NAN, |t| t - self.transmittance)
            })?
        };
        Ok(OpticalLayer {
            scattering: ReciprocalLength::from_si(s)?,
            absorption: ReciprocalLength::default(),
        })
    }
}
