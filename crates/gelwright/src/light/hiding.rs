//! Hiding power of a pigmented gel coat.

use crate::noun::Noun;

use crate::error::{Error, Result};
use crate::flow::{check, numeric};
use crate::quantity::{Length, MassDensity, MassFraction, Quantity, ReciprocalLength, show};
use crate::source::{Source, Standing, Why};

/// A layer that scatters and absorbs diffuse light: the two coefficients of Kubelka and Munk.
///
/// For a thickness `X`, with `z = X sqrt(K(K+2S))`: over a black backing it reflects
/// `R0 = S X sinhc z/[(K+S) X sinhc z + cosh z]`, lets through `T = 1/[(K+S) X sinhc z + cosh z]` and over a backing of
/// reflectance `Rg` reflects `R = R0 + T^2 Rg/(1 - R0 Rg)`. (The usual form with `a = 1 + K/S`, `b = sqrt(a^2 - 1)` and
/// coth, written so that it holds without absorption or scattering too.) Infinitely thick it reflects
/// `R_inf = 1 + K/S - sqrt((K/S)^2 + 2 K/S)`.
///
/// The light is diffuse inside and the reflections at the outer surface are left out.
///
/// Source: P. Kubelka, F. Munk, "Ein Beitrag zur Optik der Farbanstriche", Z. tech. Phys. 12, 593 (1931); P. Kubelka,
/// "New contributions to the optics of intensely light-scattering materials. Part I", J. Opt. Soc. Am. 38, 448 (1948).
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Layer {
    /// Scattering coefficient `S`.
    pub scattering: ReciprocalLength,
    /// Absorption coefficient `K`.
    pub absorption: ReciprocalLength,
}

impl Layer {
    /// `S` and `K`, 1/m, checked.
    pub(super) fn si(&self) -> Result<(f64, f64)> {
        Ok((
            check::not_negative("scattering", self.scattering)?,
            check::not_negative("absorption", self.absorption)?,
        ))
    }

    /// Reflectance over black and transmittance of a thickness, each 0 to 1.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for negative coefficients or thickness.
    pub fn over_black(&self, thickness: Length) -> Result<(f64, f64)> {
        let (s, k) = self.si()?;
        Ok(reflect_and_pass(
            s,
            k,
            check::not_negative("thickness", thickness)?,
        ))
    }

    /// Reflectance over a backing that reflects `backing`, 0 to 1.
    ///
    /// # Errors
    /// As [`Layer::over_black`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a reflectance outside 0 to 1.
    pub fn over(&self, backing: f64, thickness: Length) -> Result<f64> {
        let rg = check::number("backing", backing, 0.0, 1.0, "a reflectance, 0.8 for white card")?;
        let (r0, t) = self.over_black(thickness)?;
        Ok(over_backing(r0, t, rg))
    }

    /// Reflectance of an infinitely thick layer.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a layer that does not scatter.
    pub fn infinite(&self) -> Result<f64> {
        let (_, k) = self.si()?;
        let s = check::positive("scattering", self.scattering)?;
        let q = k / s;
        Ok(1.0 + q - (q * q + 2.0 * q).sqrt())
    }

    /// From what an infinitely thick layer reflects and its scattering: `K = S (1 - R_inf)^2/(2 R_inf)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a reflectance outside 0.001 to 1 or a scattering that is
    /// not above zero.
    pub fn from_infinite(scattering: ReciprocalLength, infinite: f64) -> Result<Layer> {
        let s = check::positive("scattering", scattering)?;
        let r = check::number(
            "reflectance",
            infinite,
            0.001,
            1.0,
            "the reflectance of a thick block of it, 0.95 for white",
        )?;
        Ok(Layer {
            scattering,
            absorption: ReciprocalLength::from_si(s * (1.0 - r).powi(2) / (2.0 * r))?,
        })
    }

    /// From a draw-down over a black and a white card: the thickness, the reflectances over both, and the white card's
    /// own: `a = [R + (R0 - R + Rg)/(R0 Rg)]/2`, `S X = arcoth[(1 - a R0)/(b R0)]/b`, `K = (a - 1) S`.
    ///
    /// Source: Kubelka (1948) as above.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for reflectances that no layer has: over black above
    /// over white, or a coat that hides fully (draw it thinner).
    pub fn from_draw_down(thickness: Length, over_black: f64, over_white: f64, white: f64) -> Result<Layer> {
        let x = check::positive("thickness", thickness)?;
        let r0 = check::number("over_black", over_black, 1e-4, 0.999, "a reflectance, 0 to 1")?;
        let r = check::number("over_white", over_white, 1e-4, 0.999, "a reflectance, 0 to 1")?;
        let rg = check::number(
            "white",
            white,
            0.1,
            1.0,
            "the white card's own reflectance, about 0.8",
        )?;
        let refuse = |why: &str| {
            Error::inconsistent(
                "over_white",
                format!("{r} over white and {r0} over black"),
                "a coat that shows some of its backing and reflects no more than such a coat can",
                why,
            )
        };
        if r <= r0 * (1.0 + 1e-6) {
            return Err(refuse(
                "the coat hides, or the readings are swapped: draw it thinner",
            ));
        }
        let a = 0.5 * (r + (r0 - r + rg) / (r0 * rg));
        if a < 1.0 - 1e-9 {
            return Err(refuse("check the readings and the white card"));
        }
        let a = a.max(1.0);
        let b = (a * a - 1.0).sqrt();
        let sx = if b < 1e-6 {
            r0 / (1.0 - r0)
        } else {
            let c = (1.0 - a * r0) / (b * r0);
            if c <= 1.0 {
                return Err(refuse("check the readings and the white card"));
            }
            0.5 * ((c + 1.0) / (c - 1.0)).ln() / b
        };
        let s = sx / x;
        Ok(Layer {
            scattering: ReciprocalLength::from_si(s)?,
            absorption: ReciprocalLength::from_si((a - 1.0) * s)?,
        })
    }
}

/// Reflectance over black and transmittance of `S`, `K` (1/m) over `x` (m).
pub(super) fn reflect_and_pass(s: f64, k: f64, x: f64) -> (f64, f64) {
    let z = x * (k * (k + 2.0 * s)).sqrt();
    // sinh(z)/z and cosh(z), both over e^z
    let fall = (-2.0 * z).exp();
    let sinhc = if z < 1e-4 {
        (1.0 + z * z / 6.0) * (-z).exp()
    } else {
        0.5 * (1.0 - fall) / z
    };
    let cosh = 0.5 * (1.0 + fall);
    let below = (k + s) * x * sinhc + cosh;
    (s * x * sinhc / below, (-z).exp() / below)
}

fn over_backing(r0: f64, t: f64, rg: f64) -> f64 {
    r0 + t * t * rg / (1.0 - r0 * rg)
}

/// Contrast ratio: reflectance over black by reflectance over a white of reflectance `white`. 0.98 over a white of
/// 0.80 is the usual measure of full hiding (ASTM D2805, from memory).
///
/// # Errors
/// As [`Layer::over`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a layer that reflects nothing.
pub fn contrast_ratio(layer: &Layer, thickness: Length, white: f64) -> Result<f64> {
    let black = layer.over(0.0, thickness)?;
    let over_white = layer.over(
        check::number("white", white, 0.1, 1.0, "about 0.8 for white card")?,
        thickness,
    )?;
    if over_white <= 0.0 {
        return Err(Error::out_of_range(
            "thickness",
            show(thickness),
            "a layer that reflects light",
            "a coat that only absorbs has no contrast ratio",
        ));
    }
    Ok(black / over_white)
}

/// A white pigment in a coat: `S = s phi [1 - (phi/phi_c)^(1/3)]` with the pigment's volume fraction `phi`. The bracket
/// is the loss by crowding: neighbours nearer than about their own size scatter less.
///
/// Source: form after F. B. Stieg, "The geometry of white hiding power", Off. Dig. 34, 1065 (1962), from memory;
/// constants set so that a paint of 18 vol% rutile hides at about 60 um (common practice). Good within a factor of
/// about 1.5: a draw-down of the coat in hand is better ([`Layer::from_draw_down`]).
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Pigment {
    /// Scattering of single grains per volume fraction, `s`.
    pub scattering: ReciprocalLength,
    /// Volume fraction at which crowding would end all scattering, `phi_c`.
    pub crowding: f64,
    /// Density.
    pub density: MassDensity,
}

/// Pigment above which the crowding law turns over, as a fraction of `phi_c`.
const MOST_USEFUL: f64 = 27.0 / 64.0;

impl Pigment {
    /// Rutile titanium dioxide: `s` = 2200/mm, `phi_c` = 0.74, 4.1 g/mL.
    pub fn rutile() -> Pigment {
        Pigment {
            scattering: ReciprocalLength::from_si(2.2e6).unwrap_or_default(),
            crowding: 0.74,
            density: MassDensity::from_si(4100.0).unwrap_or_default(),
        }
    }

    fn volume(&self, content: f64, resin_density: f64) -> Result<f64> {
        let rho = check::positive("pigment.density", self.density)?;
        Ok(content / rho / (content / rho + (1.0 - content) / resin_density))
    }

    /// `S` at a content by mass of the coat, and what is extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for constants out of range, or for so much pigment that more
    /// would hide less.
    pub fn scattering_at(
        &self,
        content: MassFraction,
        resin_density: MassDensity,
    ) -> Result<(ReciprocalLength, Option<String>)> {
        let s = check::positive("pigment.scattering", self.scattering)?;
        let crowd = check::number("pigment.crowding", self.crowding, 0.3, 1.0, "about 0.74")?;
        let rho_r = check::positive("resin_density", resin_density)?;
        let phi = self.volume(content.get(), rho_r)?;
        if phi > MOST_USEFUL * crowd {
            let most = MOST_USEFUL * crowd;
            let w = most * self.density.si() / (most * self.density.si() + (1.0 - most) * rho_r);
            return Err(Error::out_of_range(
                "pigment",
                show(content),
                format!("0 wt% to {}", show(MassFraction::new(w)?)),
                "more pigment than this hides less: the grains shade one another",
            ));
        }
        let note =
            (phi > 0.25).then(|| format!("{} pigment is above the law's range, to 25 vol%", show(content)));
        let value = s * phi * (1.0 - (phi / crowd).cbrt());
        Ok((ReciprocalLength::from_si(value)?, note))
    }

    fn source() -> Source {
        Source::of(
            Standing::CommonPractice,
            "rutile in paint: 18 vol% hides at about 60 um; crowding after F. B. Stieg (1962), from memory",
        )
    }
}

/// How a coat's optics are known.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub enum CoatOptics {
    /// The coefficients themselves.
    Layer(Layer),
    /// A draw-down over a black and a white card.
    DrawDown {
        /// Dry thickness of the draw-down.
        thickness: Length,
        /// Reflectance over black, 0 to 1.
        over_black: f64,
        /// Reflectance over white, 0 to 1.
        over_white: f64,
        /// The white card's own reflectance, 0 to 1.
        white: f64,
    },
    /// White pigment in resin.
    Pigment {
        /// Pigment as a mass fraction of the coat.
        content: MassFraction,
        /// Density of the cured resin around it.
        resin_density: MassDensity,
        /// Reflectance of a thick block, 0 to 1: 0.95 for white, less for a tint. 0.95 unless given.
        #[noun(default = 0.95)]
        reflectance: f64,
        /// The pigment; rutile unless given.
        pigment: Option<Pigment>,
    },
}

impl CoatOptics {
    /// The layer, what is extrapolated, and the chain behind it.
    ///
    /// # Errors
    /// As [`Layer::from_draw_down`], [`Pigment::scattering_at`].
    pub fn layer(&self) -> Result<(Layer, Option<String>, Why)> {
        match self {
            CoatOptics::Layer(layer) => {
                layer.si()?;
                Ok((*layer, None, Why::given("S, K", describe(layer))))
            }
            CoatOptics::DrawDown {
                thickness,
                over_black,
                over_white,
                white,
            } => {
                let layer = Layer::from_draw_down(*thickness, *over_black, *over_white, *white)?;
                let why = Why::computed(
                    "S, K",
                    describe(&layer),
                    "a = [R + (R0 - R + Rg)/(R0 Rg)]/2, S X = arcoth[(1 - a R0)/(b R0)]/b, K = (a - 1) S",
                    vec![
                        Why::given(
                            "draw-down",
                            format!(
                                "{over_black} over black, {over_white} over {white} at {}",
                                show(*thickness)
                            ),
                        )
                        .with_source(&Source::of(Standing::MeasuredHere, "draw-down")),
                    ],
                );
                Ok((layer, None, why))
            }
            CoatOptics::Pigment {
                content,
                resin_density,
                reflectance,
                pigment,
            } => {
                let p = pigment.unwrap_or_else(Pigment::rutile);
                let (s, note) = p.scattering_at(*content, *resin_density)?;
                let layer = if s.si() > 0.0 {
                    Layer::from_infinite(s, *reflectance)?
                } else {
                    Layer {
                        scattering: s,
                        absorption: ReciprocalLength::from_si(0.0)?,
                    }
                };
                let mut why = Why::computed(
                    "S, K",
                    describe(&layer),
                    "S = s phi [1 - (phi/phi_c)^(1/3)], K = S (1 - R_inf)^2/(2 R_inf)",
                    vec![
                        Why::given("pigment", show(*content)),
                        Why::given("R_inf, thick block", reflectance.to_string()),
                        Why::given("s, phi_c", format!("{}, {}", show(p.scattering), p.crowding)),
                    ],
                );
                why = if pigment.is_none() {
                    why.with_source(&Pigment::source())
                } else {
                    why
                };
                Ok((layer, note, why))
            }
        }
    }
}

fn describe(layer: &Layer) -> String {
    format!("{}, {}", show(layer.scattering), show(layer.absorption))
}

/// Whether a coat hides.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct Hiding {
    /// Contrast ratio at this thickness.
    pub contrast_ratio: f64,
    /// It reaches the target.
    pub hides: bool,
    /// Thickness that reaches the target; none if no thickness does.
    pub hiding_thickness: Option<Length>,
    /// Light that still comes through this thickness, 0 to 1.
    pub transmittance: f64,
    /// Reflectance over black.
    pub over_black: f64,
    /// Reflectance over the white card.
    pub over_white: f64,
    /// The coefficients used.
    pub layer: Layer,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// What hiding does not say.
    pub cautions: Vec<String>,
}

impl Hiding {
    /// The chain behind it.
    pub fn why(&self) -> Why {
        self.why.clone()
    }
}

/// Does a coat hide at a thickness, and which thickness would?
///
/// `target` is a contrast ratio (0.98 usual) over a white of reflectance `white` (0.80 usual).
///
/// # Errors
/// As [`CoatOptics::layer`] and [`contrast_ratio`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a
/// thickness that is not above zero or a target outside 0.5 to 0.999.
pub fn hiding_coat(coat: &CoatOptics, thickness: Length, target: f64, white: f64) -> Result<Hiding> {
    check::positive("thickness", thickness)?;
    check::number(
        "target",
        target,
        0.5,
        0.999,
        "0.98 is the usual measure of full hiding",
    )?;
    check::number("white", white, 0.1, 1.0, "about 0.8 for white card")?;
    let (layer, extrapolated, coat_why) = coat.layer().map_err(|e| e.within("coat"))?;
    let (r0, t) = layer.over_black(thickness)?;
    let over_white = over_backing(r0, t, white);
    let ratio = if over_white > 0.0 { r0 / over_white } else { 0.0 };
    let hiding_thickness = thickness_for(&layer, |r0, t| {
        let w = over_backing(r0, t, white);
        if w > 0.0 { r0 / w - target } else { -target }
    })?;
    let mut why = Why::computed(
        "contrast ratio",
        format!("{ratio:.4}"),
        "R(over black)/R(over white), Kubelka-Munk layer",
        vec![
            coat_why,
            Why::given("thickness", show(thickness)),
            Why::given("white card", white.to_string()),
        ],
    )
    .with_source(&km_source());
    if let Some(note) = &extrapolated {
        why = why.with_note(format!("extrapolated: {note}"));
    }
    Ok(Hiding {
        contrast_ratio: ratio,
        hides: ratio >= target,
        hiding_thickness,
        transmittance: t,
        over_black: r0,
        over_white,
        layer,
        extrapolated,
        why,
        cautions: vec![format!(
            "Hiding is judged from outside. A lamp behind this coat alone still shows {:.1} % of its light: judge a lantern by the transmittance.",
            100.0 * t
        )],
    })
}

/// The thickness at which `above(R0, T)` turns from negative to positive, `None` if none up to 1 m does.
pub(super) fn thickness_for(layer: &Layer, above: impl Fn(f64, f64) -> f64) -> Result<Option<Length>> {
    let (s, k) = layer.si()?;
    let f = |u: f64| {
        let (r0, t) = reflect_and_pass(s, k, u.exp());
        above(r0, t)
    };
    let (low, high) = (1e-9f64.ln(), 0.0);
    if f(high) < 0.0 || s + k <= 0.0 {
        return Ok(None);
    }
    if f(low) >= 0.0 {
        return Ok(Some(Length::from_si(low.exp())?));
    }
    Ok(Some(Length::from_si(
        numeric::root("thickness", low, high, f)?.exp(),
    )?))
}

/// The least pigment with which a coat of a thickness reaches a contrast ratio `target` over a white of reflectance
/// `white`, or (with `lamp` given) also lets through no more of a lamp's light than that.
///
/// # Errors
/// [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) if the most pigment that still helps does not; else as
/// [`hiding_coat`].
pub fn pigment_to_hide(
    pigment: Pigment,
    resin_density: MassDensity,
    reflectance: f64,
    thickness: Length,
    target: f64,
    white: f64,
    lamp: Option<f64>,
) -> Result<(MassFraction, Hiding)> {
    let x = check::positive("thickness", thickness)?;
    check::number(
        "target",
        target,
        0.5,
        0.999,
        "0.98 is the usual measure of full hiding",
    )?;
    check::number(
        "reflectance",
        reflectance,
        0.001,
        0.999,
        "the reflectance of a thick block of it, 0.95 for white",
    )?;
    let lamp_most = match lamp {
        Some(l) => check::number(
            "lamp",
            l,
            1e-6,
            1.0,
            "the part of a lamp's light that may show, such as 0.01",
        )?,
        None => 1.0,
    };
    let rho_r = check::positive("resin_density", resin_density)?;
    let rho_p = check::positive("pigment.density", pigment.density)?;
    let crowd = check::number("pigment.crowding", pigment.crowding, 0.3, 1.0, "about 0.74")?;
    let most = MOST_USEFUL * crowd * (1.0 - 1e-9);
    let mass = |phi: f64| phi * rho_p / (phi * rho_p + (1.0 - phi) * rho_r);
    let q = (1.0 - reflectance).powi(2) / (2.0 * reflectance);
    let lack = |phi: f64| {
        let s = pigment.scattering.si() * phi * (1.0 - (phi / crowd).cbrt());
        let (r0, t) = reflect_and_pass(s, q * s, x);
        let w = over_backing(r0, t, white);
        let ratio = if w > 0.0 { r0 / w } else { 0.0 };
        (ratio - target).min((lamp_most / t).ln())
    };
    let coat = |phi: f64| -> Result<(MassFraction, Hiding)> {
        let content = MassFraction::new(mass(phi))?;
        let optics = CoatOptics::Pigment {
            content,
            resin_density,
            reflectance,
            pigment: Some(pigment),
        };
        Ok((content, hiding_coat(&optics, thickness, target, white)?))
    };
    if lack(most) < 0.0 {
        return Err(Error::no_solution(
            "thickness",
            show(thickness),
            format!(
                "contrast ratio {:.3} at {}",
                coat(most)?.1.contrast_ratio,
                show(MassFraction::new(mass(most))?)
            ),
            "lay the coat thicker, or a second one",
        ));
    }
    // a hair above the root, so that it reaches the target
    coat(numeric::root("pigment", 1e-9, most, lack)? * (1.0 + 1e-12))
}

pub(super) fn km_source() -> Source {
    Source::published(
        "P. Kubelka",
        "New contributions to the optics of intensely light-scattering materials. Part I, J. Opt. Soc. Am. 38",
        1948,
        "p. 448",
    )
}
