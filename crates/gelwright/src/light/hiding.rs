//! Hiding power of a pigmented gel coat.

use crate::noun::{self, Noun, questions};

use crate::check;
use crate::error::{Error, Result};
use crate::numeric::roots;
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
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct OpticalLayer {
    /// Scattering coefficient `S`.
    #[noun(within("0 1/mm", "1e6 1/mm", "a white coat scatters some ten per mm: '20 1/mm'"))]
    pub scattering: ReciprocalLength,
    /// Absorption coefficient `K`.
    #[noun(within(
        "0 1/mm",
        "1e6 1/mm",
        "a white coat absorbs a hundredth of what it scatters: '0.1 1/mm'"
    ))]
    pub absorption: ReciprocalLength,
}

impl OpticalLayer {
    /// `S` and `K`, 1/m.
    pub(super) fn si(&self) -> (f64, f64) {
        (self.scattering.si(), self.absorption.si())
    }

    /// Reflectance over black and transmittance of a thickness, each 0 to 1.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for coefficients out of range, a negative thickness or
    /// one above 1 m.
    pub fn over_black(&self, thickness: Length) -> Result<(f64, f64)> {
        noun::check(self)?;
        let x = check::between("thickness", thickness, 0.0, 1.0, "a gel coat has about '0.5 mm'")?;
        Ok(self.reflect_and_pass(x))
    }

    /// Reflectance over black and transmittance of `x` (m).
    fn reflect_and_pass(&self, x: f64) -> (f64, f64) {
        let (s, k) = self.si();
        reflect_and_pass(s, k, x)
    }

    /// Reflectance over a backing that reflects `backing`, 0 to 1.
    ///
    /// # Errors
    /// As [`OpticalLayer::over_black`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a reflectance outside 0 to 1.
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
        noun::check(self)?;
        let (_, k) = self.si();
        let s = check::positive("scattering", self.scattering)?;
        let q = k / s;
        Ok(1.0 + q - (q * q + 2.0 * q).sqrt())
    }

    /// From what an infinitely thick layer reflects and its scattering: `K = S (1 - R_inf)^2/(2 R_inf)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a reflectance outside 0.001 to 1 or a scattering that is
    /// not above zero.
    pub fn from_infinite(scattering: ReciprocalLength, infinite: f64) -> Result<OpticalLayer> {
        let s = check::positive("scattering", scattering)?;
        let r = check::number(
            "reflectance",
            infinite,
            0.001,
            1.0,
            "the reflectance of a thick block of it, 0.95 for white",
        )?;
        Ok(OpticalLayer {
            scattering,
            absorption: ReciprocalLength::from_si(s * (1.0 - r).powi(2) / (2.0 * r))?,
        })
    }
}

/// A draw-down over a black and a white card.
///
/// Its layer: `a = [R + (R0 - R + Rg)/(R0 Rg)]/2`, `S X = arcoth[(1 - a R0)/(b R0)]/b`, `K = (a - 1) S`.
///
/// Source: P. Kubelka (1948), as [`OpticalLayer`].
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DrawDown {
    /// Dry thickness of the draw-down.
    #[noun(within("1 nm", "1 m", "a draw-down is some tens of micrometres: '50 um'"))]
    pub thickness: Length,
    /// Reflectance over black, 0 to 1.
    #[noun(within = crate::ranges::CARD_REFLECTANCE)]
    pub over_black: f64,
    /// Reflectance over white, 0 to 1.
    #[noun(within = crate::ranges::CARD_REFLECTANCE)]
    pub over_white: f64,
    /// The white card's own reflectance, 0 to 1.
    #[noun(within(0.1, 1, "the white card's own reflectance, about 0.8"))]
    pub white: f64,
}

impl DrawDown {
    /// The coefficients of the coat.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for reflectances that no layer has: over black above
    /// over white, or a coat that hides fully (draw it thinner).
    pub fn layer(&self) -> Result<OpticalLayer> {
        noun::check(self)?;
        let (x, r0, r, rg) = (self.thickness.si(), self.over_black, self.over_white, self.white);
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
        Ok(OpticalLayer {
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

/// A white pigment in a coat: `S = s phi [1 - (phi/phi_c)^(1/3)]` with the pigment's volume fraction `phi`. The bracket
/// is the loss by crowding: neighbours nearer than about their own size scatter less.
///
/// Source: form after F. B. Stieg, "The geometry of white hiding power", Off. Dig. 34, 1065 (1962), from memory;
/// constants set so that a paint of 18 vol% rutile hides at about 60 um (common practice). Good within a factor of
/// about 1.5: a draw-down of the coat in hand is better ([`DrawDown`]).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct HidingPigment {
    /// Scattering of single grains per volume fraction, `s`; of rutile titanium dioxide where not given.
    #[noun(default = "2200 1/mm", within(> "0 1/mm", "1e5 1/mm", "rutile has about '2200 1/mm'"))]
    pub scattering: ReciprocalLength,
    /// Volume fraction at which crowding would end all scattering, `phi_c`.
    #[noun(default = 0.74, within(0.3, 1, "about 0.74"))]
    pub crowding: f64,
    /// Density; of rutile where not given.
    #[noun(
        default = "4100 kg/m^3",
        within("1 kg/m^3", "1e5 kg/m^3", "rutile has '4.1 g/mL'")
    )]
    pub density: MassDensity,
}

/// Pigment above which the crowding law turns over, as a fraction of `phi_c`.
const MOST_USEFUL: f64 = 27.0 / 64.0;

impl HidingPigment {
    /// Rutile titanium dioxide, which a document's left-out fields are too.
    pub fn rutile() -> HidingPigment {
        noun::defaults()
    }

    /// Volume fraction at a content by mass of the coat.
    fn volume(&self, content: f64, resin_density: f64) -> f64 {
        let rho = self.density.si();
        content / rho / (content / rho + (1.0 - content) / resin_density)
    }

    /// Content by mass of the coat at a volume fraction.
    fn mass(&self, phi: f64, resin_density: f64) -> f64 {
        let rho = self.density.si();
        phi * rho / (phi * rho + (1.0 - phi) * resin_density)
    }

    /// `S`, 1/m, at a volume fraction.
    fn scattering_si(&self, phi: f64) -> f64 {
        self.scattering.si() * phi * (1.0 - (phi / self.crowding).cbrt())
    }

    fn source() -> Source {
        Source::of(
            Standing::CommonPractice,
            "rutile in paint: 18 vol% hides at about 60 um; crowding after F. B. Stieg (1962), from memory",
        )
    }
}

impl Default for HidingPigment {
    fn default() -> Self {
        HidingPigment::rutile()
    }
}

/// White pigment in resin.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PigmentedCoat {
    /// Pigment as a mass fraction of the coat.
    pub content: MassFraction,
    /// Density of the cured resin around it.
    #[noun(within = crate::ranges::CURED_RESIN_DENSITY)]
    pub resin_density: MassDensity,
    /// Reflectance of a thick block, 0 to 1: 0.95 for white, less for a tint.
    #[noun(
        default = 0.95,
        within(0.001, 1, "the reflectance of a thick block of it, 0.95 for white")
    )]
    pub reflectance: f64,
    /// The pigment; rutile where not given.
    #[noun(default)]
    pub pigment: HidingPigment,
}

impl PigmentedCoat {
    /// The coefficients (`K` from what a thick block reflects), what is extrapolated, and the chain behind them.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range, or for so much pigment that more
    /// would hide less.
    pub fn layer(&self) -> Result<(OpticalLayer, Option<String>, Why)> {
        noun::check(self)?;
        let (p, rho_r) = (&self.pigment, self.resin_density.si());
        let phi = p.volume(self.content.get(), rho_r);
        let most = MOST_USEFUL * p.crowding;
        if phi > most {
            return Err(Error::out_of_range(
                "pigment",
                show(self.content),
                format!("0 wt% to {}", show(MassFraction::new(p.mass(most, rho_r))?)),
                "more pigment than this hides less: the grains shade one another",
            ));
        }
        let note = (phi > 0.25).then(|| {
            format!(
                "{} pigment is above the law's range, to 25 vol%",
                show(self.content)
            )
        });
        let s = ReciprocalLength::from_si(p.scattering_si(phi))?;
        let layer = if s.si() > 0.0 {
            OpticalLayer::from_infinite(s, self.reflectance)?
        } else {
            OpticalLayer {
                scattering: s,
                absorption: ReciprocalLength::default(),
            }
        };
        let mut why = Why::computed(
            "S, K",
            describe(&layer),
            "S = s phi [1 - (phi/phi_c)^(1/3)], K = S (1 - R_inf)^2/(2 R_inf)",
            vec![
                Why::given("pigment", show(self.content)),
                Why::given("R_inf, thick block", self.reflectance.to_string()),
                Why::given("s, phi_c", format!("{}, {}", show(p.scattering), p.crowding)),
            ],
        );
        if *p == HidingPigment::rutile() {
            why = why.with_source(&HidingPigment::source());
        }
        if s.si() <= 0.0 {
            why = why.with_note("without pigment neither its constants nor the reflectance have an effect");
        }
        Ok((layer, note, why))
    }
}

/// How a coat's optics are known.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub enum CoatOptics {
    /// The coefficients themselves.
    Layer(OpticalLayer),
    /// A draw-down over a black and a white card.
    DrawDown(DrawDown),
    /// White pigment in resin.
    Pigment(PigmentedCoat),
}

impl CoatOptics {
    /// Refuses a coat of which no layer can be made.
    ///
    /// # Errors
    /// As [`CoatOptics::layer`].
    pub fn check(&self) -> Result<()> {
        self.layer().map(|_| ())
    }

    /// The layer, what is extrapolated, and the chain behind it.
    ///
    /// # Errors
    /// As [`DrawDown::layer`], [`PigmentedCoat::layer`]; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for
    /// coefficients out of range.
    pub fn layer(&self) -> Result<(OpticalLayer, Option<String>, Why)> {
        noun::check(self)?;
        self.known()
    }

    /// The same of a coat that was checked, or made here.
    pub(super) fn known(&self) -> Result<(OpticalLayer, Option<String>, Why)> {
        match self {
            CoatOptics::Layer(layer) => Ok((*layer, None, Why::given("S, K", describe(layer)))),
            CoatOptics::DrawDown(d) => {
                let layer = d.layer()?;
                let why = Why::computed(
                    "S, K",
                    describe(&layer),
                    "a = [R + (R0 - R + Rg)/(R0 Rg)]/2, S X = arcoth[(1 - a R0)/(b R0)]/b, K = (a - 1) S",
                    vec![
                        Why::given(
                            "draw-down",
                            format!(
                                "{} over black, {} over {} at {}",
                                d.over_black,
                                d.over_white,
                                d.white,
                                show(d.thickness)
                            ),
                        )
                        .with_source(&Source::of(Standing::MeasuredHere, "draw-down")),
                    ],
                );
                Ok((layer, None, why))
            }
            CoatOptics::Pigment(coat) => coat.layer(),
        }
    }
}

fn describe(layer: &OpticalLayer) -> String {
    format!("{}, {}", show(layer.scattering), show(layer.absorption))
}

/// The card a coat is judged on, and what counts as hiding: 0.98 over a white of 0.80 (ASTM D2805, from memory).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct HidingCard {
    /// Contrast ratio that counts as hiding.
    #[noun(
        default = 0.98,
        within(0.5, 0.999, "0.98 is the usual measure of full hiding")
    )]
    pub target: f64,
    /// Reflectance of the white card.
    #[noun(default = 0.80, within(0.1, 1, "about 0.8 for white card"))]
    pub white: f64,
}

impl Default for HidingCard {
    fn default() -> Self {
        noun::defaults()
    }
}

impl HidingCard {
    /// Contrast ratio: reflectance over black by reflectance over the white of the card; 0 of what reflects nothing.
    fn contrast_ratio(&self, r0: f64, t: f64) -> f64 {
        let w = over_backing(r0, t, self.white);
        if w > 0.0 { r0 / w } else { 0.0 }
    }
}

/// A coat on a card of black and white.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct CoatOnCard {
    /// The coat.
    pub coat: CoatOptics,
    /// Its cured thickness.
    #[noun(within = crate::ranges::COAT_THICKNESS)]
    pub thickness: Length,
    /// The card, and what counts as hiding on it.
    #[noun(flat)]
    pub card: HidingCard,
}

/// Whether a coat hides.
#[derive(Clone, Noun)]
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
    pub layer: OpticalLayer,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// What hiding does not say.
    pub cautions: Vec<String>,
}

#[questions]
impl CoatOnCard {
    /// Contrast ratio of a pigmented coat, the thickness that hides, and the light it lets through (Kubelka-Munk).
    ///
    /// Source: [`OpticalLayer`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range; else as [`CoatOptics::layer`].
    #[question("light.hiding")]
    pub fn hiding(&self) -> Result<Hiding> {
        noun::check(self)?;
        let (layer, extrapolated, coat_why) = self.coat.known().map_err(|e| e.within("coat"))?;
        let (r0, t) = layer.reflect_and_pass(self.thickness.si());
        let card = &self.card;
        let ratio = card.contrast_ratio(r0, t);
        let hiding_thickness = thickness_for(&layer, |r0, t| card.contrast_ratio(r0, t) - card.target)?;
        let mut why = Why::computed(
            "contrast ratio",
            format!("{ratio:.4}"),
            "R(over black)/R(over white), Kubelka-Munk layer",
            vec![
                coat_why,
                Why::given("thickness", show(self.thickness)),
                Why::given("white card", card.white.to_string()),
            ],
        )
        .with_source(&km_source());
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(Hiding {
            contrast_ratio: ratio,
            hides: ratio >= card.target,
            hiding_thickness,
            transmittance: t,
            over_black: r0,
            over_white: over_backing(r0, t, card.white),
            layer,
            extrapolated,
            why,
            cautions: vec![format!(
                "Hiding is judged from outside. A lamp behind this coat alone still shows {:.1} % of its light: judge a lantern by the transmittance.",
                100.0 * t
            )],
        })
    }
}

/// The thickness at which `above(R0, T)` turns from negative to positive, `None` if none up to 1 m does.
pub(super) fn thickness_for(layer: &OpticalLayer, above: impl Fn(f64, f64) -> f64) -> Result<Option<Length>> {
    let (s, k) = layer.si();
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
        roots::root("thickness", low, high, f)?.exp(),
    )?))
}

/// A coat that must hide, of white pigment in resin.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct OpaqueCoat {
    /// Its cured thickness.
    #[noun(within = crate::ranges::COAT_THICKNESS)]
    pub thickness: Length,
    /// Density of the cured resin around the pigment.
    #[noun(within = crate::ranges::CURED_RESIN_DENSITY)]
    pub resin_density: MassDensity,
    /// Reflectance of a thick block; 0.95 is white.
    #[noun(
        default = 0.95,
        within(0.001, 0.999, "the reflectance of a thick block of it, 0.95 for white")
    )]
    pub reflectance: f64,
    /// The pigment; rutile where not given.
    #[noun(default)]
    pub pigment: HidingPigment,
    /// The card, and what counts as hiding on it.
    #[noun(flat)]
    pub card: HidingCard,
    /// Part of a lamp's light behind the coat that may show; not judged where not given.
    #[noun(within(0.000001, 1, "the part of a lamp's light that may show, such as 0.01"))]
    pub lamp: Option<f64>,
}

/// The pigment that makes a coat hide.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct LeastPigment {
    /// Pigment as a mass fraction of the coat.
    pub pigment: MassFraction,
    /// The coat with it.
    pub coat: Hiding,
}

#[questions]
impl OpaqueCoat {
    /// The least white pigment with which a coat of a thickness hides, or keeps a lamp in.
    ///
    /// The law of [`HidingPigment`] solved for the content.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range;
    /// [`ErrorKind::NoSolution`](crate::ErrorKind::NoSolution) if the most pigment that still helps does not.
    #[question("light.pigment_to_hide")]
    pub fn least_pigment(&self) -> Result<LeastPigment> {
        noun::check(self)?;
        let (x, pigment) = (self.thickness.si(), &self.pigment);
        let most = MOST_USEFUL * pigment.crowding * (1.0 - 1e-9);
        let q = (1.0 - self.reflectance).powi(2) / (2.0 * self.reflectance);
        let lamp_most = self.lamp.unwrap_or(1.0);
        let lack = |phi: f64| {
            let s = pigment.scattering_si(phi);
            let (r0, t) = reflect_and_pass(s, q * s, x);
            (self.card.contrast_ratio(r0, t) - self.card.target).min((lamp_most / t).ln())
        };
        if lack(most) < 0.0 {
            let best = self.with(most)?;
            return Err(Error::no_solution(
                "thickness",
                show(self.thickness),
                format!(
                    "contrast ratio {:.3} at {}",
                    best.coat.contrast_ratio,
                    show(best.pigment)
                ),
                "lay the coat thicker, or a second one",
            ));
        }
        // a hair above the root, so that it reaches the target
        self.with(roots::root("pigment", 1e-9, most, lack)? * (1.0 + 1e-12))
    }

    /// The coat with a volume fraction of pigment.
    fn with(&self, phi: f64) -> Result<LeastPigment> {
        let content = MassFraction::new(self.pigment.mass(phi, self.resin_density.si()))?;
        let coat = CoatOnCard {
            coat: CoatOptics::Pigment(PigmentedCoat {
                content,
                resin_density: self.resin_density,
                reflectance: self.reflectance,
                pigment: self.pigment,
            }),
            thickness: self.thickness,
            card: self.card,
        };
        Ok(LeastPigment {
            pigment: content,
            coat: coat.hiding()?,
        })
    }
}

pub(super) fn km_source() -> Source {
    Source::published(
        "P. Kubelka",
        "New contributions to the optics of intensely light-scattering materials. Part I, J. Opt. Soc. Am. 38",
        1948,
        "p. 448",
    )
}
