//! How thick the mix is: with temperature, with fillers and chop, and on its way to gel.

use crate::noun::Noun;

use super::check;
use super::numeric;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{
    DegreeOfCure, DynamicViscosity, Length, MolarEnergy, Quantity, ThermodynamicTemperature, Time,
    VolumeFraction, show,
};
use crate::source::{Source, Standing, Why};

/// The gas constant, J/(mol K) (exact since the 2019 SI).
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// A viscosity with its provenance.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct Viscosity {
    /// The viscosity.
    pub viscosity: DynamicViscosity,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

impl Viscosity {
    /// The chain behind it.
    pub fn why(&self) -> Why {
        self.why.clone()
    }
}

/// Viscosity of a resin against temperature: `eta = eta_r exp[(E/R)(1/T - 1/T_r)]`.
///
/// The form (an Andrade or Arrhenius equation) has two constants, so two readings of the resin fix it. Over the
/// few tens of kelvin of a workshop it holds well; near the glass transition it does not.
///
/// Source: E. N. da C. Andrade, "The viscosity of liquids", Nature 125, 309 (1930); form from memory.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ViscosityTemperature {
    /// Viscosity at the reference temperature.
    pub viscosity: DynamicViscosity,
    /// The reference temperature.
    pub at: ThermodynamicTemperature,
    /// Apparent activation energy of flow.
    pub energy: MolarEnergy,
    /// Lower end of the temperatures it was fitted to.
    pub fitted_from: ThermodynamicTemperature,
    /// Upper end of the temperatures it was fitted to.
    pub fitted_to: ThermodynamicTemperature,
}

impl ViscosityTemperature {
    /// From two readings, `(temperature, viscosity)` each: `E = R ln(eta1/eta2) / (1/T1 - 1/T2)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a viscosity that is not above zero; [`ErrorKind::Inconsistent`] if the two
    /// temperatures are closer than 2 K or the warmer resin is the thicker one.
    pub fn from_two_readings(
        one: (ThermodynamicTemperature, DynamicViscosity),
        other: (ThermodynamicTemperature, DynamicViscosity),
    ) -> Result<Self> {
        let (cold, warm) = if one.0.si() <= other.0.si() {
            (one, other)
        } else {
            (other, one)
        };
        let (t1, t2) = (kelvin("temperature", cold.0)?, kelvin("temperature", warm.0)?);
        let (e1, e2) = (
            check::positive("viscosity", cold.1)?,
            check::positive("viscosity", warm.1)?,
        );
        if t2 - t1 < 2.0 {
            return Err(Error::inconsistent(
                "temperature",
                format!("{} and {}", show(cold.0), show(warm.0)),
                "two readings at least 2 K apart",
                "read the viscosity again at another temperature",
            ));
        }
        if e1 <= e2 {
            return Err(Error::inconsistent(
                "viscosity",
                format!("{} cold and {} warm", show(cold.1), show(warm.1)),
                "a resin thins as it warms",
                "check which reading belongs to which temperature, and that the resin was not gelling",
            ));
        }
        Ok(ViscosityTemperature {
            viscosity: warm.1,
            at: warm.0,
            energy: MolarEnergy::from_si(GAS_CONSTANT * (e1 / e2).ln() / (1.0 / t1 - 1.0 / t2))?,
            fitted_from: cold.0,
            fitted_to: warm.0,
        })
    }

    /// The viscosity at `t`; more than 5 K outside the fitted range it is marked extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for temperatures outside 233 K to 473 K, where no resin is worked, or for
    /// constants that are not above zero.
    pub fn at(&self, t: ThermodynamicTemperature) -> Result<Viscosity> {
        let eta = self.si(kelvin("temperature", t)?)?;
        let (low, high) = (self.fitted_from.si() - 5.0, self.fitted_to.si() + 5.0);
        let extrapolated = (!(low..=high).contains(&t.si())).then(|| {
            format!(
                "{} is outside the readings, {} to {}",
                show(t),
                show(self.fitted_from),
                show(self.fitted_to)
            )
        });
        let viscosity = DynamicViscosity::from_si(eta)?;
        let mut why = Why::computed(
            "viscosity of the resin",
            show(viscosity),
            "eta = eta_r exp[(E/R)(1/T - 1/T_r)]",
            vec![
                Why::given(
                    "eta_r, reading",
                    format!("{} at {}", show(self.viscosity), show(self.at)),
                ),
                Why::given("E, activation energy of flow", show(self.energy)),
                Why::given("T, temperature", show(t)),
            ],
        )
        .with_source(&arrhenius_source());
        if let Some(note) = &extrapolated {
            why = why.with_note(format!("extrapolated: {note}"));
        }
        Ok(Viscosity {
            viscosity,
            extrapolated,
            why,
        })
    }

    fn si(&self, t: f64) -> Result<f64> {
        let eta = check::positive("viscosity", self.viscosity)?;
        let t_r = kelvin("at", self.at)?;
        let e = check::not_negative("energy", self.energy)?;
        finite(
            "viscosity",
            eta * (e / GAS_CONSTANT * (1.0 / t - 1.0 / t_r)).exp(),
        )
    }
}

fn arrhenius_source() -> Source {
    Source {
        standing: Standing::FromMemory,
        ..Source::published(
            "E. N. da C. Andrade",
            "The viscosity of liquids, Nature 125",
            1930,
            "p. 309",
        )
    }
}

/// A temperature at which a resin could be worked, in kelvin.
fn kelvin(field: &str, t: ThermodynamicTemperature) -> Result<f64> {
    check::between(
        field,
        t,
        233.15,
        473.15,
        "give the temperature of the resin, such as '18 degC'",
    )
}

/// How solids thicken a liquid: the relative viscosity `eta/eta_0` of a suspension at low shear.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub enum SuspensionModel {
    /// `1 + 2.5 phi`: far-apart spheres. Source: A. Einstein, Ann. Phys. 19, 289 (1906), corrected 34, 591
    /// (1911). Fitted range: to 2 vol%.
    Einstein,
    /// `(1 - phi/phi_m)^(-[eta] phi_m)`, with `[eta] = 2.5` for spheres. Source: I. M. Krieger, T. J. Dougherty,
    /// Trans. Soc. Rheol. 3, 137 (1959).
    KriegerDougherty {
        /// Intrinsic viscosity `[eta]`, 2.5 for spheres, more for anything else.
        intrinsic: f64,
    },
    /// `(1 - phi/phi_m)^-2`. Source: S. H. Maron, P. E. Pierce, J. Colloid Sci. 11, 80 (1956); used for fibres by
    /// T. Kitano, T. Kataoka, T. Shirota, Rheol. Acta 20, 207 (1981) with a packing that falls with aspect ratio.
    MaronPierce,
}

impl SuspensionModel {
    /// Krieger-Dougherty for spheres.
    pub const SPHERES: SuspensionModel = SuspensionModel::KriegerDougherty { intrinsic: 2.5 };

    /// The relative viscosity at a volume fraction `phi` of solids with the packing fraction `packing`; the
    /// second value says what is extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] at or above the packing fraction, where the mix no longer flows.
    pub fn relative(self, phi: VolumeFraction, packing: VolumeFraction) -> Result<(f64, Option<String>)> {
        let (f, m) = (phi.get(), check::positive("packing", packing)?);
        if f >= m {
            return Err(Error::out_of_range(
                "solids",
                show(phi),
                format!("0 vol% to below the packing fraction, {}", show(packing)),
                "use less filler or shorter chop: at the packing fraction the mix no longer flows",
            ));
        }
        let note = |limit: f64, name: &str| {
            (f > limit).then(|| {
                format!(
                    "{} is above {name}'s fitted range, to {:.0} vol%",
                    show(phi),
                    limit * 100.0
                )
            })
        };
        match self {
            SuspensionModel::Einstein => Ok((1.0 + 2.5 * f, note(0.02, "Einstein"))),
            SuspensionModel::KriegerDougherty { intrinsic } => {
                check::number(
                    "intrinsic",
                    intrinsic,
                    1.0,
                    100.0,
                    "2.5 for spheres, about 3 to 10 for other grains",
                )?;
                Ok((
                    (1.0 - f / m).powf(-intrinsic * m),
                    note(0.95 * m, "Krieger-Dougherty"),
                ))
            }
            SuspensionModel::MaronPierce => Ok(((1.0 - f / m).powi(-2), note(0.95 * m, "Maron-Pierce"))),
        }
    }

    /// Where it comes from.
    pub fn source(self) -> Source {
        match self {
            SuspensionModel::Einstein => Source::published(
                "A. Einstein",
                "Eine neue Bestimmung der Moleküldimensionen, Ann. Phys. 19, 34",
                1911,
                "p. 591",
            ),
            SuspensionModel::KriegerDougherty { .. } => Source::published(
                "I. M. Krieger, T. J. Dougherty",
                "A mechanism for non-Newtonian flow in suspensions of rigid spheres, Trans. Soc. Rheol. 3",
                1959,
                "p. 137",
            ),
            SuspensionModel::MaronPierce => Source::published(
                "S. H. Maron, P. E. Pierce",
                "Application of Ree-Eyring generalized flow theory to suspensions of spherical particles, J. Colloid Sci. 11",
                1956,
                "p. 80",
            ),
        }
    }

    fn equation(self) -> &'static str {
        match self {
            SuspensionModel::Einstein => "eta/eta_0 = 1 + 2.5 phi",
            SuspensionModel::KriegerDougherty { .. } => "eta/eta_0 = (1 - phi/phi_m)^(-[eta] phi_m)",
            SuspensionModel::MaronPierce => "eta/eta_0 = (1 - phi/phi_m)^-2",
        }
    }
}

/// Viscosity of a liquid with solids in it.
///
/// # Errors
/// As [`SuspensionModel::relative`]; [`ErrorKind::OutOfRange`] for a viscosity that is not above zero.
pub fn filled(
    liquid: DynamicViscosity,
    solids: VolumeFraction,
    packing: VolumeFraction,
    model: SuspensionModel,
) -> Result<Viscosity> {
    let (ratio, extrapolated) = model.relative(solids, packing)?;
    let viscosity = DynamicViscosity::from_si(check::positive("viscosity", liquid)? * ratio)?;
    let mut why = Why::computed(
        "viscosity of the filled mix",
        show(viscosity),
        model.equation(),
        vec![
            Why::given("eta_0, viscosity of the liquid", show(liquid)),
            Why::given("phi, solids", show(solids)),
            Why::given("phi_m, packing fraction", show(packing)),
        ],
    )
    .with_source(&model.source());
    if let Some(note) = &extrapolated {
        why = why.with_note(format!("extrapolated: {note}"));
    }
    Ok(Viscosity {
        viscosity,
        extrapolated,
        why,
    })
}

/// Random close packing of equal spheres, 64 vol%.
///
/// Source: G. D. Scott, D. M. Kilgour, J. Phys. D 2, 863 (1969): 0.6366; from memory.
pub fn sphere_packing() -> VolumeFraction {
    VolumeFraction::new(0.64).unwrap_or(VolumeFraction::ZERO)
}

/// Chop: strands cut to a length, as they lie in a pour.
///
/// A strand of chopped glass is a bundle of filaments; wetted in a pour it mostly stays one. What jams is the
/// strand, so its aspect ratio counts, and the glass is only a part of it.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Chop {
    /// Length the strand is cut to.
    pub length: Length,
    /// Diameter of the round bundle that the wetted strand makes (see [`Chop::strand_diameter`]); the filament's
    /// own where the strands open fully (milled or dispersible chop).
    pub strand_diameter: Length,
    /// Glass within the strand, about 60 vol%; 100 vol% where filaments are apart.
    pub glass_in_strand: VolumeFraction,
}

impl Chop {
    /// Diameter of a round strand of `filaments` filaments packed at `glass_in_strand`: `d sqrt(n/phi_s)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a diameter, count or packing that is not above zero.
    pub fn strand_diameter(
        filament: Length,
        filaments: u32,
        glass_in_strand: VolumeFraction,
    ) -> Result<Length> {
        let d = check::positive("filament", filament)?;
        let s = check::positive("glass_in_strand", glass_in_strand)?;
        if filaments == 0 {
            return Err(Error::out_of_range(
                "filaments",
                "0",
                "1 or more",
                "a strand of mat has about 50 to 200",
            ));
        }
        Length::from_si(d * (f64::from(filaments) / s).sqrt())
    }

    /// Length over strand diameter.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a length shorter than the diameter.
    pub fn aspect_ratio(&self) -> Result<f64> {
        let l = check::positive("length", self.length)?;
        let d = check::positive("strand_diameter", self.strand_diameter)?;
        if l < d {
            return Err(Error::out_of_range(
                "length",
                show(self.length),
                format!("at least the strand diameter, {}", show(self.strand_diameter)),
                "give the chop length, such as '6 mm'",
            ));
        }
        Ok(l / d)
    }

    /// Glass content at which randomly lying strands jam: `phi_m = glass_in_strand * 5.4/r` for an aspect ratio
    /// `r` above 15, held at most at the packing of spheres; the second value says what is extrapolated.
    ///
    /// Source: A. P. Philipse, "The random contact equation and its implications for (colloidal) rods in
    /// packings, suspensions, and anisotropic powders", Langmuir 12, 1127 (1996): product of volume fraction and
    /// aspect ratio 5.4 +- 0.2 for thin rods; from memory. Below `r` = 15 the law overstates (marked).
    ///
    /// # Errors
    /// As [`Chop::aspect_ratio`].
    pub fn packing(&self) -> Result<(VolumeFraction, Option<String>)> {
        let r = self.aspect_ratio()?;
        let glass = check::positive("glass_in_strand", self.glass_in_strand)?;
        let packing = (5.4 / r).min(0.64) * glass;
        let note =
            (r < 15.0).then(|| format!("aspect ratio {r:.1} is below the rod law's range, 15 and more"));
        Ok((VolumeFraction::new(packing)?, note))
    }

    /// Where the packing law comes from.
    pub fn source() -> Source {
        Source {
            standing: Standing::FromMemory,
            ..Source::published(
                "A. P. Philipse",
                "The random contact equation and its implications for (colloidal) rods, Langmuir 12",
                1996,
                "p. 1127",
            )
        }
    }
}

/// Viscosity of a reacting resin up to its gel point: `eta = eta_0(T) [a_g/(a_g - a)]^(A + B a)`.
///
/// Source: J. M. Castro, C. W. Macosko, "Studies of mold filling and curing in the reaction injection molding
/// process", AIChE J. 28, 250 (1982); form from memory. The constants belong to one resin: fit them to
/// viscosity readings of the catalysed resin. The conversion comes from the cure model.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ChemoViscosity {
    /// Viscosity of the unreacted mix against temperature.
    pub unreacted: ViscosityTemperature,
    /// Conversion at the gel point.
    pub gel_conversion: DegreeOfCure,
    /// `A`.
    pub a: f64,
    /// `B`.
    pub b: f64,
}

impl ChemoViscosity {
    /// The viscosity at a temperature and conversion, `None` at and past gel.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a gel conversion that is not above zero, an `A` or `B` outside 0 to 20, and as
    /// [`ViscosityTemperature::at`].
    pub fn at(
        &self,
        t: ThermodynamicTemperature,
        conversion: DegreeOfCure,
    ) -> Result<Option<DynamicViscosity>> {
        let gel = check::positive("gel_conversion", self.gel_conversion)?;
        check::number(
            "a",
            self.a,
            0.0,
            20.0,
            "fit it to viscosity readings of the catalysed resin",
        )?;
        check::number(
            "b",
            self.b,
            -20.0,
            20.0,
            "fit it to viscosity readings of the catalysed resin",
        )?;
        let c = conversion.get();
        let eta0 = self.unreacted.si(kelvin("temperature", t)?)?;
        if c >= gel {
            return Ok(None);
        }
        let eta = eta0 * (gel / (gel - c)).powf(self.a + self.b * c);
        Ok(if eta.is_finite() {
            Some(DynamicViscosity::from_si(eta)?)
        } else {
            None
        })
    }

    /// Where the form comes from.
    pub fn source() -> Source {
        Source {
            standing: Standing::FromMemory,
            ..Source::published(
                "J. M. Castro, C. W. Macosko",
                "Studies of mold filling and curing in the reaction injection molding process, AIChE J. 28",
                1982,
                "p. 250",
            )
        }
    }

    /// The viscosity over time for a conversion and temperature over time, ending at gel.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for series of different lengths or a time that does not rise; else as
    /// [`ChemoViscosity::at`].
    pub fn over_time(
        &self,
        time_s: &[f64],
        conversion: &[f64],
        temperature_k: &[f64],
    ) -> Result<ViscosityHistory> {
        if time_s.len() != conversion.len() || time_s.len() != temperature_k.len() || time_s.len() < 2 {
            return Err(Error::inconsistent(
                "time_s",
                format!(
                    "{} times, {} conversions, {} temperatures",
                    time_s.len(),
                    conversion.len(),
                    temperature_k.len()
                ),
                "the same number of each, at least 2",
                "give one conversion and one temperature for each time",
            ));
        }
        let (mut time, mut viscosity) = (Vec::new(), Vec::new());
        for ((t, c), k) in time_s.iter().zip(conversion).zip(temperature_k) {
            let eta = self.at(ThermodynamicTemperature::from_si(*k)?, DegreeOfCure::new(*c)?)?;
            match eta {
                Some(e) => {
                    time.push(*t);
                    viscosity.push(e.si());
                }
                None => break,
            }
        }
        if time.len() < 2 {
            return Err(Error::no_solution(
                "conversion",
                "viscosity over time",
                "the resin is gelled at the second time given",
                "give times before gel",
            ));
        }
        let history = ViscosityHistory::Series {
            time_s: time,
            viscosity_pa_s: viscosity,
        };
        history.checked()?;
        Ok(history)
    }
}

/// The viscosity of a batch from the moment it is used until it stops flowing.
///
/// What a slow flow has done by a time depends only on `Theta = integral dt/eta`, the time weighted with the
/// fluidity ([`ViscosityHistory::fluidity`]); every flow of this module is computed in it.
#[derive(Debug, Clone, PartialEq, Noun)]
pub enum ViscosityHistory {
    /// A viscosity that stays, for a time.
    Constant {
        /// The viscosity.
        viscosity: DynamicViscosity,
        /// How long it flows: to gel, or until the clamps come off.
        time: Time,
    },
    /// `eta = eta_0 (1 - t/t_gel)^-n`: Castro-Macosko with a conversion that rises in proportion to time. For a
    /// shop that knows its gel time and no more; no source for the exponent, 2 is a usual size.
    ToGel {
        /// Viscosity when fresh.
        viscosity: DynamicViscosity,
        /// Gel time, counted from when the batch is used.
        gel_time: Time,
        /// `n`, 0.5 to 6.
        #[noun(default = 2.0)]
        exponent: f64,
    },
    /// Viscosities at times, log-linear between them, gelled after the last.
    Series {
        /// Times, s, rising, the first at or after 0 (before it the first viscosity holds).
        time_s: Vec<f64>,
        /// Viscosities, Pa s.
        #[noun(name = "viscosity_Pa_s")]
        viscosity_pa_s: Vec<f64>,
    },
}

impl ViscosityHistory {
    /// Refuses what can not be a history.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] and [`ErrorKind::Inconsistent`] for values that are not above zero, series of
    /// different lengths or a time that does not rise.
    pub fn checked(&self) -> Result<()> {
        match self {
            ViscosityHistory::Constant { viscosity, time } => {
                check::positive("viscosity", *viscosity)?;
                check::positive("time", *time)?;
            }
            ViscosityHistory::ToGel {
                viscosity,
                gel_time,
                exponent,
            } => {
                check::positive("viscosity", *viscosity)?;
                check::positive("gel_time", *gel_time)?;
                check::number("exponent", *exponent, 0.5, 6.0, "2 is a usual size")?;
            }
            ViscosityHistory::Series {
                time_s,
                viscosity_pa_s,
            } => {
                if time_s.len() != viscosity_pa_s.len() || time_s.len() < 2 {
                    return Err(Error::inconsistent(
                        "time_s",
                        format!("{} times and {} viscosities", time_s.len(), viscosity_pa_s.len()),
                        "the same number of each, at least 2",
                        "give one viscosity for each time",
                    ));
                }
                for (i, v) in viscosity_pa_s.iter().enumerate() {
                    let field = format!("viscosity_Pa_s[{i}]");
                    check::positive(&field, DynamicViscosity::from_si(finite(&field, *v)?)?)?;
                }
                for (i, t) in time_s.iter().enumerate() {
                    let before = if i == 0 { f64::NEG_INFINITY } else { time_s[i - 1] };
                    if !(t.is_finite() && *t >= 0.0 && *t > before) {
                        return Err(Error::out_of_range(
                            format!("time_s[{i}]"),
                            t,
                            "rising, the first at or after 0",
                            "sort the series by time",
                        ));
                    }
                }
            }
        }
        Ok(())
    }

    /// When it stops flowing.
    pub fn end(&self) -> Time {
        match self {
            ViscosityHistory::Constant { time, .. } => *time,
            ViscosityHistory::ToGel { gel_time, .. } => *gel_time,
            ViscosityHistory::Series { time_s, .. } => {
                Time::from_si(time_s.last().copied().unwrap_or(0.0)).unwrap_or_default()
            }
        }
    }

    /// The viscosity at a time, `None` once it has stopped flowing.
    ///
    /// # Errors
    /// As [`ViscosityHistory::checked`].
    pub fn at(&self, t: Time) -> Result<Option<DynamicViscosity>> {
        self.checked()?;
        match self.si(check::not_negative("time", t)?) {
            Some(eta) if eta.is_finite() => Ok(Some(DynamicViscosity::from_si(eta)?)),
            _ => Ok(None),
        }
    }

    fn si(&self, t: f64) -> Option<f64> {
        match self {
            ViscosityHistory::Constant { viscosity, time } => (t <= time.si()).then(|| viscosity.si()),
            ViscosityHistory::ToGel {
                viscosity,
                gel_time,
                exponent,
            } => (t < gel_time.si()).then(|| viscosity.si() * (1.0 - t / gel_time.si()).powf(-exponent)),
            ViscosityHistory::Series {
                time_s,
                viscosity_pa_s,
            } => {
                let i = time_s.partition_point(|x| *x < t);
                match i {
                    0 => viscosity_pa_s.first().copied(),
                    _ if i == time_s.len() => None,
                    _ => {
                        let f = (t - time_s[i - 1]) / (time_s[i] - time_s[i - 1]);
                        Some((viscosity_pa_s[i - 1].ln() * (1.0 - f) + viscosity_pa_s[i].ln() * f).exp())
                    }
                }
            }
        }
    }

    /// `Theta(t) = integral from 0 to t of dt/eta`, 1/Pa; at `t` = infinity: to the end.
    pub(crate) fn fluidity(&self, t: f64) -> f64 {
        match self {
            ViscosityHistory::Constant { viscosity, time } => t.min(time.si()) / viscosity.si(),
            ViscosityHistory::ToGel {
                viscosity,
                gel_time,
                exponent,
            } => {
                let (eta, g, n) = (viscosity.si(), gel_time.si(), exponent + 1.0);
                g / (eta * n) * (1.0 - (1.0 - (t / g).min(1.0)).powf(n))
            }
            ViscosityHistory::Series {
                time_s,
                viscosity_pa_s,
            } => {
                let mut sum = time_s[0].min(t) / viscosity_pa_s[0];
                for i in 1..time_s.len() {
                    let (t0, t1) = (time_s[i - 1], time_s[i]);
                    if t <= t0 {
                        break;
                    }
                    let part = (t.min(t1) - t0) / (t1 - t0);
                    let (f0, slope) = (
                        1.0 / viscosity_pa_s[i - 1],
                        (viscosity_pa_s[i - 1] / viscosity_pa_s[i]).ln(),
                    );
                    // 1/eta = f0 exp(slope s), s = 0..part
                    let mean = if (slope * part).abs() < 1e-9 {
                        part
                    } else {
                        (slope * part).exp_m1() / slope
                    };
                    sum += f0 * (t1 - t0) * mean;
                }
                sum
            }
        }
    }

    /// The time at which `Theta` reaches a value, or the end if it never does.
    pub(crate) fn time_at(&self, theta: f64) -> f64 {
        let end = self.end().si();
        if theta >= self.fluidity(end) {
            return end;
        }
        if theta <= 0.0 {
            return 0.0;
        }
        numeric::root("time", 0.0, end, |t| self.fluidity(t) - theta).unwrap_or(end)
    }

    /// The first time the viscosity reaches `limit`, `None` if it is above it from the start, the end if never.
    ///
    /// # Errors
    /// As [`ViscosityHistory::checked`]; [`ErrorKind::OutOfRange`] for a limit that is not above zero.
    pub fn reaches(&self, limit: DynamicViscosity) -> Result<Option<Time>> {
        self.checked()?;
        let l = check::positive("limit", limit)?;
        if self.si(0.0).is_none_or(|e| e > l) {
            return Ok(None);
        }
        let t = match self {
            ViscosityHistory::Constant { time, .. } => time.si(),
            ViscosityHistory::ToGel {
                viscosity,
                gel_time,
                exponent,
            } => gel_time.si() * (1.0 - (viscosity.si() / l).powf(1.0 / exponent)),
            ViscosityHistory::Series {
                time_s,
                viscosity_pa_s,
            } => match viscosity_pa_s.iter().position(|e| *e > l) {
                None => time_s.last().copied().unwrap_or(0.0),
                Some(0) => time_s[0],
                Some(i) => {
                    let (a, b) = (viscosity_pa_s[i - 1].ln(), viscosity_pa_s[i].ln());
                    time_s[i - 1] + (time_s[i] - time_s[i - 1]) * (l.ln() - a) / (b - a)
                }
            },
        };
        Ok(Some(Time::from_si(t)?))
    }
}

/// When a batch stops being workable.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct WetOut {
    /// Until when the batch wets out mat: the viscosity reaches `limit`. `None`: it is too thick from the start.
    pub wets_out_until: Option<Time>,
    /// When the viscosity has doubled, one usual definition of pot life.
    pub doubled_at: Option<Time>,
    /// When it gels, or the series ends.
    pub flows_until: Time,
    /// The chain behind it.
    pub why: Why,
}

/// Default viscosity above which a laminating resin no longer wets out mat by brush and roller: 1 Pa s
/// (common practice, no source).
pub fn wet_out_limit() -> DynamicViscosity {
    DynamicViscosity::from_si(1.0).unwrap_or_default()
}

/// When a batch stops wetting out mat: the first time its viscosity reaches `limit` ([`wet_out_limit`]).
///
/// # Errors
/// As [`ViscosityHistory::reaches`].
pub fn wet_out(history: &ViscosityHistory, limit: DynamicViscosity) -> Result<WetOut> {
    let wets_out_until = history.reaches(limit)?;
    let start = history
        .at(Time::from_si(0.0)?)?
        .ok_or_else(|| Error::new(ErrorKind::NoSolution, "history"))?;
    let doubled_at = history.reaches(DynamicViscosity::from_si(2.0 * start.si())?)?;
    let why = Why::computed(
        "time the batch wets out mat",
        wets_out_until.map_or_else(|| "none: too thick from the start".to_owned(), show),
        "eta(t) = limit",
        vec![
            Why::given("viscosity when fresh", show(start)),
            Why::given("limit", show(limit)).with_source(&Source::of(
                Standing::CommonPractice,
                "a laminating resin above about 1 Pa s no longer wets out mat by brush and roller",
            )),
        ],
    );
    Ok(WetOut {
        wets_out_until,
        doubled_at,
        flows_until: history.end(),
        why,
    })
}
