//! Light through a cast edge of resin and glass.
//!
//! No published measurement of chopped-strand castings was found; what follows is put together from standard parts and
//! says which. It tells what makes an edge milky and by how much; for a number to rely on, measure a test piece and
//! carry it over to other thicknesses with [`scattering_of_test_piece`].
//!
//! * *Straight light* (can one read through it): every filament takes light out of the beam with the efficiency
//!   `Q = 2 int_0^1 [1 - cos(p sqrt(1 - u^2))] du`, `p = 2 pi d |n_g - n_r|/lambda`, of a thick, weakly refracting cylinder
//!   across the beam (H. C. van de Hulst, "Light Scattering by Small Particles", 1957, anomalous diffraction; the
//!   integral is `pi H_1(p)` with the Struve function). Filaments lie in the plane of the sheet.
//! * *All light* (does it glow): most of that light goes on almost straight. What counts is how far rays are turned:
//!   refraction and Fresnel reflection at each filament, `mu' = mu <1 - cos(turn)>` (geometrical optics), and then a
//!   Kubelka-Munk layer with `S = 3/4 mu'`, `K = 2 mu_a` (the usual match of two-flux and diffusion theory; from memory).
//! * *Surfaces*: Fresnel reflection at normal incidence for light still going straight, diffuse internal reflection for
//!   light that is not, weighted by `exp(-mu' X)` (interpolated here).

use std::f64::consts::{FRAC_PI_2, PI};

use crate::noun::Noun;

use super::hiding::{CoatOptics, Layer, km_source, reflect_and_pass};
use crate::error::{Error, Result};
use crate::flow::{check, numeric};
use crate::quantity::{Length, Quantity, ReciprocalLength, VolumeFraction, show};
use crate::source::{Source, Standing, Why};

/// Round particles in an edge: bubbles (index 1), mineral filler, glass beads.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Particles {
    /// Volume of them in the edge.
    pub content: VolumeFraction,
    /// Diameter.
    pub diameter: Length,
    /// Refractive index; 1 for air.
    pub index: f64,
}

/// A cast edge.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Edge {
    /// Thickness.
    pub thickness: Length,
    /// Refractive index of the cured resin; polyester about 1.54 to 1.57, epoxy 1.50 to 1.57 (from memory).
    pub resin_index: f64,
    /// Glass in it; none unless given.
    pub glass: Option<VolumeFraction>,
    /// Filament diameter; 13 um unless given.
    pub filament: Option<Length>,
    /// Refractive index of the glass; E-glass about 1.55 to 1.56 (from memory). 1.556 unless given.
    #[noun(default = 1.556)]
    pub glass_index: f64,
    /// Bubbles and fillers.
    #[noun(default)]
    pub particles: Vec<Particles>,
    /// Pigment in it, or a test piece's coefficients.
    pub pigment: Option<CoatOptics>,
    /// Absorption of the resin itself (tint, cobalt); none unless given.
    pub resin_absorption: Option<ReciprocalLength>,
    /// Wavelength in air; 550 nm (green, where the eye sees best) unless given.
    pub wavelength: Option<Length>,
}

/// What comes through an edge.
#[derive(Debug, Clone, Noun)]
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
    pub layer: Layer,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

impl Translucency {
    /// The chain behind it.
    pub fn why(&self) -> Why {
        self.why.clone()
    }
}

/// Extinction efficiency of a thick cylinder across the beam with phase lag `p` along its diameter (van de Hulst).
pub fn cylinder_extinction(p: f64) -> f64 {
    // u = sin t; pieces short against the oscillation
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pieces = (p.abs() / 4.0).ceil().clamp(2.0, 4000.0) as u32;
    2.0 * numeric::integral_in_pieces(0.0, FRAC_PI_2, pieces, |t| t.cos() * (1.0 - (p * t.cos()).cos()))
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
    numeric::integral_in_pieces(0.0, critical, 16, f)
        + if critical < FRAC_PI_2 {
            numeric::integral_in_pieces(critical, FRAC_PI_2, 8, f)
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
        numeric::integral_in_pieces(0.0, FRAC_PI_2, 8, |v| f(critical * v.sin()) * critical * v.cos());
    let above = critical.cos().powi(2); // total reflection: int sin 2t from the critical angle
    (straight, below + above)
}

impl Edge {
    /// What comes through.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a thickness, diameter or wavelength that is not above
    /// zero, indices outside 1 to 3, contents that fill more than the edge; else as [`CoatOptics::layer`].
    pub fn translucency(&self) -> Result<Translucency> {
        self.at(check::positive("thickness", self.thickness)?)
    }

    fn at(&self, x: f64) -> Result<Translucency> {
        let n_r = check::number(
            "resin_index",
            self.resin_index,
            1.2,
            2.0,
            "polyester has about 1.55",
        )?;
        let n_g = check::number(
            "glass_index",
            self.glass_index,
            1.2,
            3.0,
            "E-glass has about 1.556",
        )?;
        let wave = match self.wavelength {
            Some(l) => check::between("wavelength", l, 2e-7, 3e-6, "visible light is 400 to 700 nm")?,
            None => 5.5e-7,
        };
        let d = match self.filament {
            Some(f) => check::positive("filament", f)?,
            None => 1.3e-5,
        };
        let glass = self.glass.map_or(0.0, VolumeFraction::get);
        let total = glass + self.particles.iter().map(|p| p.content.get()).sum::<f64>();
        if glass > 0.7 || total > 0.9 {
            return Err(Error::out_of_range(
                "glass",
                format!(
                    "{:.0} vol% glass, {:.0} vol% with the particles",
                    100.0 * glass,
                    100.0 * total
                ),
                "glass to 70 vol%, all together to 90 vol%",
                "that much does not pack into an edge",
            ));
        }
        let mut notes: Vec<String> = Vec::new();
        if glass > 0.0 && d < 5.0 * wave {
            notes.push(format!(
                "filament {} is thin against the light: the law needs at least 5 wavelengths",
                show(Length::from_si(d)?)
            ));
        }
        // filaments per length of ray: projected area 4 phi/(pi d)
        let per_length = 4.0 * glass / (PI * d);
        let mut extinction = per_length * cylinder_extinction(2.0 * PI * d * (n_g - n_r) / wave);
        let mut transport = per_length * turn(n_g / n_r, false);
        for (i, p) in self.particles.iter().enumerate() {
            let size = check::positive(&format!("particles[{i}].diameter"), p.diameter)?;
            let n_p = check::number(
                &format!("particles[{i}].index"),
                p.index,
                1.0,
                3.0,
                "1 for air, 1.57 for alumina hydrate",
            )?;
            if size < 5.0 * wave {
                notes.push(format!(
                    "particles of {} are small against the light: the law needs at least 5 wavelengths",
                    show(p.diameter)
                ));
            }
            let seen = 1.5 * p.content.get() / size;
            extinction += seen * sphere_extinction(2.0 * PI * size * (n_p - n_r) / wave);
            transport += seen * turn(n_p / n_r, true);
        }
        let own = match self.resin_absorption {
            Some(a) => check::not_negative("resin_absorption", a)?,
            None => 0.0,
        };
        let (mut s, mut k) = (0.75 * transport, 2.0 * own * (1.0 - total));
        let mut from = vec![
            Why::given("thickness", show(Length::from_si(x)?)),
            Why::given("n_r, n_g", format!("{n_r}, {n_g}")),
            Why::given(
                "glass",
                format!(
                    "{:.1} vol% of {} filaments",
                    100.0 * glass,
                    show(Length::from_si(d)?)
                ),
            ),
        ];
        if let Some(coat) = &self.pigment {
            let (layer, note, why) = coat.layer().map_err(|e| e.within("pigment"))?;
            notes.extend(note);
            s += layer.scattering.si();
            k += layer.absorption.si();
            extinction += 4.0 / 3.0 * layer.scattering.si() + 0.5 * layer.absorption.si();
            transport += 4.0 / 3.0 * layer.scattering.si();
            from.push(why);
        }
        extinction += own * (1.0 - total);
        let (r, t) = reflect_and_pass(s, k, x);
        let (k1, diffuse) = surface_reflectances(n_r);
        let going_on = (-transport * x).exp();
        let k2 = k1 * going_on + diffuse * (1.0 - going_on);
        let through = (1.0 - k1) * (1.0 - k2) * t / ((1.0 - k2 * r).powi(2) - (k2 * t).powi(2));
        let beam = (-extinction * x).exp();
        let straight = ((1.0 - k1).powi(2) * beam / (1.0 - (k1 * beam).powi(2))).min(through);
        let extrapolated = (!notes.is_empty()).then(|| notes.join("; "));
        let mut why = Why::computed(
            "light through the edge",
            format!("{:.1} %, of which straight {:.1} %", 100.0 * through, 100.0 * straight),
            "S = 3/4 mu', mu' = 4 phi/(pi d) <1 - cos(turn)> + ...; Kubelka-Munk layer between two surfaces; straight: exp(-mu X), Q = pi H_1(2 pi d |n_g - n_r|/lambda)",
            from,
        )
        .with_source(&Source {
            standing: Standing::Derived,
            ..Source::published("H. C. van de Hulst", "Light Scattering by Small Particles", 1957, "anomalous diffraction; put together here")
        });
        why.from
            .push(Why::given("layer", "two-flux").with_source(&km_source()));
        why = why.with_note(match &extrapolated {
            Some(note) => format!(
                "extrapolated: {note}; not checked against chopped-strand castings: measure a test piece"
            ),
            None => "not checked against chopped-strand castings: measure a test piece".to_owned(),
        });
        Ok(Translucency {
            transmittance: through,
            straight,
            haze: if through > 0.0 {
                1.0 - straight / through
            } else {
                0.0
            },
            filaments_crossed: per_length * x,
            layer: Layer {
                scattering: ReciprocalLength::from_si(s)?,
                absorption: ReciprocalLength::from_si(k)?,
            },
            extrapolated,
            why,
        })
    }

    /// The thickest edge of this make that still lets through `at_least` of the light, `None` if none does.
    ///
    /// # Errors
    /// As [`Edge::translucency`].
    pub fn thickest_lit(&self, at_least: f64) -> Result<Option<Length>> {
        check::number(
            "at_least",
            at_least,
            1e-6,
            1.0,
            "a part of the light, such as 0.5",
        )?;
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
            numeric::root("thickness", low, high, f)?.exp(),
        )?))
    }
}

/// The layer of a test piece from the light it lets through: `S` of a Kubelka-Munk layer without absorption between two
/// surfaces of index `resin_index`, to carry over to other thicknesses of the same make.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a transmittance above what the bare surfaces let through or
/// below 0.001, or a thickness that is not above zero.
pub fn scattering_of_test_piece(thickness: Length, transmittance: f64, resin_index: f64) -> Result<Layer> {
    let x = check::positive("thickness", thickness)?;
    let edge = |s: f64| -> Result<f64> {
        let piece = Edge {
            thickness,
            resin_index,
            glass: None,
            filament: None,
            glass_index: 1.556,
            particles: vec![],
            pigment: Some(CoatOptics::Layer(Layer {
                scattering: ReciprocalLength::from_si(s)?,
                absorption: ReciprocalLength::from_si(0.0)?,
            })),
            resin_absorption: None,
            wavelength: None,
        };
        Ok(piece.at(x)?.transmittance)
    };
    let clear = edge(0.0)?;
    check::number(
        "transmittance",
        transmittance,
        0.001,
        clear,
        "a part of the light; the two surfaces alone take about 8 %",
    )?;
    let s = if transmittance >= clear * (1.0 - 1e-12) {
        0.0
    } else {
        numeric::root("scattering", 0.0, 1e4 / x, |s| {
            edge(s).map_or(f64::NAN, |t| t - transmittance)
        })?
    };
    Ok(Layer {
        scattering: ReciprocalLength::from_si(s)?,
        absorption: ReciprocalLength::from_si(0.0)?,
    })
}
