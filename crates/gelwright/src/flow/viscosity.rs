//! How thick the mix is: with temperature, with fillers and chop, and on its way to gel.

use crate::noun::{self, Noun, questions};

use crate::check;
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::numeric::roots;
use crate::quantity::{
    DegreeOfCure, DynamicViscosity, Length, MolarEnergy, Quantity, ThermodynamicTemperature, Time,
    VolumeFraction, show,
};
use crate::source::{Source, Standing, Why};

/// A viscosity with its provenance.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct Viscosity {
    /// The viscosity.
    pub viscosity: DynamicViscosity,
    /// Low end of what it may be: the law through two readings is straight, the liquid's is bent.
    pub low: DynamicViscosity,
    /// High end of what it may be.
    pub high: DynamicViscosity,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How far the logarithm of a liquid's viscosity may leave the line through two readings, in K², times `|(1/T - 1/T1)(1/T - 1/T2)|`:
/// half the curvature of `ln eta = A + B/(T - T0)` with `B` = 1200 K and `T0` = 200 K near 25 °C (usual for a resin; from memory).
/// Octanol has 1.3e6 K², pentanol less (20 °C, 30 °C and 60 °C, 50 °C: public data repository three_component_model, table
/// solvent_infos, 2022).
const BENT: f64 = 7e6;

/// A viscosity read at a temperature.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct ViscosityReading {
    /// The temperature of the resin.
    #[noun(within = crate::ranges::RESIN_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// The viscosity.
    #[noun(within(> "0 Pa*s", ..))]
    pub viscosity: DynamicViscosity,
}

/// Viscosity of a resin against temperature: `eta = eta_r exp[(E/R)(1/T - 1/T_r)]`.
///
/// The form (an Andrade or Arrhenius equation) has two constants, so two readings of the resin fix it. Over the
/// few tens of kelvin of a workshop it holds well; near the glass transition it does not.
///
/// Source: E. N. da C. Andrade, "The viscosity of liquids", Nature 125, 309 (1930); form from memory.
#[derive(Clone, PartialEq, Noun)]
pub struct ViscosityTemperature {
    /// Viscosity at the reference temperature.
    #[noun(within(> "0 Pa*s", ..))]
    pub viscosity: DynamicViscosity,
    /// The reference temperature.
    #[noun(within = crate::ranges::RESIN_TEMPERATURE)]
    pub at: ThermodynamicTemperature,
    /// Apparent activation energy of flow.
    #[noun(within("0 kJ/mol", ..))]
    pub energy: MolarEnergy,
    /// Lower end of the temperatures it was fitted to.
    pub fitted_from: ThermodynamicTemperature,
    /// Upper end of the temperatures it was fitted to.
    pub fitted_to: ThermodynamicTemperature,
}

impl ViscosityTemperature {
    /// From two readings: `E = R ln(eta1/eta2) / (1/T1 - 1/T2)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] as the readings' own ranges; [`ErrorKind::Inconsistent`] if the two temperatures are
    /// closer than 2 K or the warmer resin is the thicker one.
    pub fn from_two_readings(readings: [ViscosityReading; 2]) -> Result<Self> {
        noun::check(&readings)?;
        let [one, other] = readings;
        let (cold, warm) = if one.temperature.si() <= other.temperature.si() {
            (one, other)
        } else {
            (other, one)
        };
        let (t1, t2) = (cold.temperature.si(), warm.temperature.si());
        let (e1, e2) = (cold.viscosity.si(), warm.viscosity.si());
        if t2 - t1 < 2.0 {
            return Err(Error::inconsistent(
                "temperature",
                format!("{} and {}", show(cold.temperature), show(warm.temperature)),
                "two readings at least 2 K apart",
                "read the viscosity again at another temperature",
            ));
        }
        if e1 <= e2 {
            return Err(Error::inconsistent(
                "viscosity",
                format!("{} cold and {} warm", show(cold.viscosity), show(warm.viscosity)),
                "a resin thins as it warms",
                "check which reading belongs to which temperature, and that the resin was not gelling",
            ));
        }
        Ok(ViscosityTemperature {
            viscosity: warm.viscosity,
            at: warm.temperature,
            energy: MolarEnergy::from_si(GAS_CONSTANT * (e1 / e2).ln() / (1.0 / t1 - 1.0 / t2))?,
            fitted_from: cold.temperature,
            fitted_to: warm.temperature,
        })
    }

    /// The viscosity at `t`, with its band: `exp(7e6 K^2 |(1/T - 1/T1)(1/T - 1/T2)|)` either way; more than 5 K outside the fitted range it is marked extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for temperatures outside -40 degC to 200 degC, where no resin is worked, or for
    /// constants out of range.
    pub fn at(&self, t: ThermodynamicTemperature) -> Result<Viscosity> {
        noun::check(self)?;
        let eta = self.si(worked_at("temperature", t)?)?;
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
        let from = |end: ThermodynamicTemperature| 1.0 / t.si() - 1.0 / end.si();
        let within = (BENT * (from(self.fitted_from) * from(self.fitted_to)).abs()).exp();
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
            low: DynamicViscosity::from_si(eta / within)?,
            high: DynamicViscosity::from_si(finite("viscosity", eta * within)?)?,
            extrapolated,
            why,
        })
    }

    /// The same in SI numbers, of constants that are checked.
    fn si(&self, t: f64) -> Result<f64> {
        finite(
            "viscosity",
            self.viscosity.si() * (self.energy.si() / GAS_CONSTANT * (1.0 / t - 1.0 / self.at.si())).exp(),
        )
    }
}

fn arrhenius_source() -> Source {
    Source::published(
        "E. N. da C. Andrade",
        "The viscosity of liquids, Nature 125",
        1930,
        "p. 309",
    )
    .from_memory()
}

/// A temperature at which a resin could be worked, in kelvin.
fn worked_at(field: &str, t: ThermodynamicTemperature) -> Result<f64> {
    check::between(
        field,
        t,
        233.15,
        473.15,
        "give the temperature of the resin, such as '18 degC'",
    )
}

/// How solids thicken a liquid: the relative viscosity `eta/eta_0` of a suspension at low shear.
#[derive(Clone, Copy, PartialEq, Noun)]
pub enum SuspensionModel {
    /// `1 + 2.5 phi`: far-apart spheres. Source: A. Einstein, Ann. Phys. 19, 289 (1906), corrected 34, 591
    /// (1911). Fitted range: to 2 vol%.
    Einstein,
    /// `(1 - phi/phi_m)^(-[eta] phi_m)`, with `[eta] = 2.5` for spheres. Source: I. M. Krieger, T. J. Dougherty,
    /// Trans. Soc. Rheol. 3, 137 (1959).
    KriegerDougherty {
        /// Intrinsic viscosity `[eta]`, 2.5 for spheres, more for anything else.
        #[noun(within(1, 100, "2.5 for spheres, about 3 to 10 for other grains"))]
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
    /// [`ErrorKind::OutOfRange`] at or above the packing fraction, where the mix no longer flows, and for an intrinsic
    /// viscosity out of range.
    pub fn relative(self, phi: VolumeFraction, packing: VolumeFraction) -> Result<(f64, Option<String>)> {
        noun::check(&self)?;
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
            SuspensionModel::KriegerDougherty { intrinsic } => Ok((
                (1.0 - f / m).powf(-intrinsic * m),
                note(0.95 * m, "Krieger-Dougherty"),
            )),
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
        low: viscosity,
        high: viscosity,
        extrapolated,
        why,
    })
}

/// A liquid resin and the solids in it: filler, or chop.
#[derive(Clone, PartialEq, Noun)]
pub struct Suspension {
    /// Two readings of the liquid resin.
    pub readings: [ViscosityReading; 2],
    /// Temperature asked for.
    #[noun(within = crate::ranges::RESIN_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
    /// Solids in the mix; none unless given.
    pub solids: Option<VolumeFraction>,
    /// Their packing fraction; spheres (64 vol%) or what the chop packs to, unless given.
    #[noun(within(> "0 vol%", ..))]
    pub packing: Option<VolumeFraction>,
    /// The chop, if the solids are chop.
    pub chop: Option<Chop>,
    /// How the solids thicken; Krieger-Dougherty for spheres, Maron-Pierce for chop, unless given.
    pub model: Option<SuspensionModel>,
}

/// The viscosity of a suspension.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct SuspensionViscosity {
    /// Viscosity of the mix.
    pub viscosity: DynamicViscosity,
    /// Low end of what it may be, as far as the liquid's two readings leave it open.
    pub low: DynamicViscosity,
    /// High end of what it may be.
    pub high: DynamicViscosity,
    /// Viscosity of the liquid at that temperature.
    pub liquid: DynamicViscosity,
    /// How many times thicker the solids make it.
    pub relative: f64,
    /// Packing fraction used.
    pub packing: Option<VolumeFraction>,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Suspension {
    /// Viscosity of a resin at a temperature from two readings, and of the mix with fillers or chop in it.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for a packing, chop or model that changes nothing; else as
    /// [`ViscosityTemperature::from_two_readings`], [`Chop::packing`] and [`SuspensionModel::relative`].
    #[question("flow.viscosity")]
    pub fn viscosity(&self) -> Result<SuspensionViscosity> {
        noun::check(self)?;
        self.all_used()?;
        let law = ViscosityTemperature::from_two_readings(self.readings).map_err(|e| e.within("readings"))?;
        let liquid = law.at(self.temperature)?;
        let Some(solids) = self.solids else {
            return Ok(SuspensionViscosity {
                viscosity: liquid.viscosity,
                low: liquid.low,
                high: liquid.high,
                liquid: liquid.viscosity,
                relative: 1.0,
                packing: None,
                extrapolated: liquid.extrapolated,
                why: liquid.why,
            });
        };
        let (packing, note, source) = match (self.packing, &self.chop) {
            (Some(p), _) => (p, None, None),
            (None, Some(chop)) => {
                let packed = chop.packing().map_err(|e| e.within("chop"))?;
                (packed.packing, packed.extrapolated, Some(Chop::source()))
            }
            (None, None) => (sphere_packing(), None, None),
        };
        let model = self.model.unwrap_or(if self.chop.is_some() {
            SuspensionModel::MaronPierce
        } else {
            SuspensionModel::SPHERES
        });
        let mut mix = filled(liquid.viscosity, solids, packing, model)?;
        if let Some(first) = mix.why.from.first_mut() {
            *first = liquid.why;
        }
        if let (Some(_), Some(last)) = (&source, mix.why.from.last_mut()) {
            last.source = source;
        }
        let notes: Vec<String> = [liquid.extrapolated, note, mix.extrapolated]
            .into_iter()
            .flatten()
            .collect();
        let relative = mix.viscosity.si() / liquid.viscosity.si();
        Ok(SuspensionViscosity {
            viscosity: mix.viscosity,
            low: liquid.low * relative,
            high: liquid.high * relative,
            liquid: liquid.viscosity,
            relative,
            packing: Some(packing),
            extrapolated: (!notes.is_empty()).then(|| notes.join("; ")),
            why: mix.why,
        })
    }

    /// Refuses what is given and changes nothing.
    fn all_used(&self) -> Result<()> {
        let unused = |field: &str, beside: &str, way_out: &str| {
            Err(Error::inconsistent(
                field,
                format!("'{field}' {beside}"),
                "what has an effect",
                way_out,
            ))
        };
        if self.solids.is_none() {
            for (field, given) in [
                ("packing", self.packing.is_some()),
                ("chop", self.chop.is_some()),
                ("model", self.model.is_some()),
            ] {
                if given {
                    return unused(
                        field,
                        "without 'solids'",
                        "give the solids, such as '20 vol%', or leave it out",
                    );
                }
            }
        }
        if self.chop.is_some() && self.packing.is_some() && self.model.is_some() {
            return unused(
                "chop",
                "beside a packing and a model, which are all that it is asked for",
                "leave out the chop, or the packing or the model that it gives",
            );
        }
        Ok(())
    }
}

/// Random close packing of equal spheres, 64 vol%.
///
/// Source: G. D. Scott, D. M. Kilgour, J. Phys. D 2, 863 (1969): 0.6366; from memory.
pub fn sphere_packing() -> VolumeFraction {
    VolumeFraction::new(0.64).unwrap_or(VolumeFraction::ZERO)
}

/// Volume fraction times length over diameter at which thin rods lying at random jam, and the length over diameter from which that
/// holds: [`Chop::source`].
pub(crate) const CONTACTS: f64 = 5.4;
pub(crate) const SLENDER: f64 = 15.0;

/// Chop: strands cut to a length, as they lie in a pour.
///
/// A strand of chopped glass is a bundle of filaments; wetted in a pour it mostly stays one. What jams is the
/// strand, so its aspect ratio counts, and the glass is only a part of it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Chop {
    /// Length the strand is cut to.
    #[noun(within(> "0 mm", ..))]
    pub length: Length,
    /// Diameter of the round bundle that the wetted strand makes (see [`Strand::diameter`]); the filament's own where
    /// the strands open fully (milled or dispersible chop).
    #[noun(within(> "0 mm", ..))]
    pub strand_diameter: Length,
    /// Glass within the strand, about 60 vol%; 100 vol% where filaments are apart.
    #[noun(within(> "0 vol%", ..))]
    pub glass_in_strand: VolumeFraction,
}

/// How dense chop packs.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct ChopPacking {
    /// Glass content at which it jams: more does not pour.
    pub packing: VolumeFraction,
    /// Length over strand diameter.
    pub aspect_ratio: f64,
    /// Diameter of the strand.
    pub strand_diameter: Length,
    /// What is outside which fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

impl Chop {
    /// Glass content at which randomly lying strands jam: `phi_m = phi_s 5.4/(l/D)` for an aspect ratio `l/D` above
    /// 15, held at most at the packing of spheres.
    ///
    /// Source: A. P. Philipse, "The random contact equation and its implications for (colloidal) rods in
    /// packings, suspensions, and anisotropic powders", Langmuir 12, 1127 (1996): product of volume fraction and
    /// aspect ratio 5.4 +- 0.2 for thin rods; from memory. Below an aspect ratio of 15 the law overstates (marked).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a size or content that is not above zero, a length shorter than the diameter.
    pub fn packing(&self) -> Result<ChopPacking> {
        self.packed(Why::given("D, strand", show(self.strand_diameter)))
    }

    fn packed(&self, strand: Why) -> Result<ChopPacking> {
        noun::check(self)?;
        let (l, d) = (self.length.si(), self.strand_diameter.si());
        if l < d {
            return Err(Error::out_of_range(
                "length",
                show(self.length),
                format!("at least the strand diameter, {}", show(self.strand_diameter)),
                "give the chop length, such as '6 mm'",
            ));
        }
        let r = l / d;
        let packing =
            VolumeFraction::new((CONTACTS / r).min(sphere_packing().get()) * self.glass_in_strand.get())?;
        let extrapolated =
            (r < SLENDER).then(|| format!("aspect ratio {r:.1} is below the rod law's range, 15 and more"));
        let why = Why::computed(
            "glass content at which the chop jams",
            show(packing),
            "phi_m = phi_s 5.4/(l/D)",
            vec![
                Why::given("l, length", show(self.length)),
                strand,
                Why::given("phi_s, glass in the strand", show(self.glass_in_strand)),
            ],
        )
        .with_source(&Chop::source());
        Ok(ChopPacking {
            packing,
            aspect_ratio: r,
            strand_diameter: self.strand_diameter,
            extrapolated,
            why,
        })
    }

    /// Where the packing law comes from.
    pub fn source() -> Source {
        Source::published(
            "A. P. Philipse",
            "The random contact equation and its implications for (colloidal) rods, Langmuir 12",
            1996,
            "p. 1127",
        )
        .from_memory()
    }
}

/// A strand of glass filaments, cut to a length.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Strand {
    /// Length the strand is cut to.
    #[noun(within(> "0 mm", ..))]
    pub length: Length,
    /// Filament diameter.
    #[noun(within(> "0 um", ..))]
    pub filament: Length,
    /// Filaments that stay together in a strand; 1 where the strands open.
    #[noun(within(1, .., "a strand of mat has about 50 to 200"))]
    pub filaments: u32,
    /// Glass within the strand; 60 vol% unless given, 100 vol% for single filaments.
    #[noun(within(> "0 vol%", ..))]
    pub glass_in_strand: Option<VolumeFraction>,
}

/// Filaments of a chopped strand that stay together in a pour, and what is shorter than a cut strand and comes apart, m: from
/// memory.
const FILAMENTS_TOGETHER: u32 = 200;
const MILLED: f64 = 1e-3;

#[questions]
impl Strand {
    /// A strand as it is sold, of which nobody has counted the filaments: 200 together, 60 vol% of glass in it (from memory);
    /// below 1 mm of length it is milled and its filaments are apart.
    pub fn as_sold(length: Length, filament: Length) -> Strand {
        Strand {
            length,
            filament,
            filaments: if length.si() < MILLED {
                1
            } else {
                FILAMENTS_TOGETHER
            },
            glass_in_strand: None,
        }
    }

    /// Diameter of the round bundle it makes: `D = d sqrt(n/phi_s)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a diameter, count or content that is not above zero.
    pub fn diameter(&self) -> Result<Length> {
        Ok(self.chop()?.strand_diameter)
    }

    /// As it lies in a pour.
    ///
    /// # Errors
    /// As [`Strand::diameter`].
    pub fn chop(&self) -> Result<Chop> {
        noun::check(self)?;
        let glass_in_strand = match self.glass_in_strand {
            Some(g) => g,
            None => VolumeFraction::new(if self.filaments == 1 { 1.0 } else { 0.6 })?,
        };
        Ok(Chop {
            length: self.length,
            strand_diameter: Length::from_si(
                self.filament.si() * (f64::from(self.filaments) / glass_in_strand.get()).sqrt(),
            )?,
            glass_in_strand,
        })
    }

    /// Glass content at which chopped strands in a pour jam, from their length and strand.
    ///
    /// `phi_m = phi_s 5.4/(l/D)`, `D = d sqrt(n/phi_s)`: see [`Chop::packing`].
    ///
    /// # Errors
    /// As [`Strand::diameter`] and [`Chop::packing`].
    #[question("flow.chop_packing")]
    pub fn packing(&self) -> Result<ChopPacking> {
        let chop = self.chop()?;
        chop.packed(Why::computed(
            "D, strand",
            show(chop.strand_diameter),
            "D = d sqrt(n/phi_s)",
            vec![
                Why::given("d, filament", show(self.filament)),
                Why::given("n, filaments in a strand", self.filaments.to_string()),
            ],
        ))
    }
}

/// Viscosity of a reacting resin up to its gel point: `eta = eta_0(T) [a_g/(a_g - a)]^(A + B a)`.
///
/// Source: J. M. Castro, C. W. Macosko, "Studies of mold filling and curing in the reaction injection molding
/// process", AIChE J. 28, 250 (1982); form from memory. The constants belong to one resin: fit them to
/// viscosity readings of the catalysed resin. The conversion comes from the cure model.
#[derive(Clone, PartialEq, Noun)]
pub struct ChemoViscosity {
    /// Viscosity of the unreacted mix against temperature.
    pub unreacted: ViscosityTemperature,
    /// Conversion at the gel point.
    #[noun(within(> "0 %", ..))]
    pub gel_conversion: DegreeOfCure,
    /// `A`.
    #[noun(within(0, 20, "fit it to viscosity readings of the catalysed resin"))]
    pub a: f64,
    /// `B`.
    #[noun(within(-20, 20, "fit it to viscosity readings of the catalysed resin"))]
    pub b: f64,
}

/// How a batch thickens, and until when it is workable.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct ViscosityCourse {
    /// The history, for the other questions about flow.
    pub viscosity: ViscosityHistory,
    /// Until when it wets out mat; none if it is too thick from the start.
    pub wets_out_until: Option<Time>,
    /// When the viscosity has doubled.
    pub doubled_at: Option<Time>,
    /// The last time given before gel.
    pub flows_until: Time,
    /// The chain behind it.
    pub why: Why,
}

#[questions(model)]
impl ChemoViscosity {
    /// The viscosity at a temperature and conversion, `None` at and past gel.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for constants out of range and a temperature outside -40 degC to 200 degC.
    pub fn at(
        &self,
        t: ThermodynamicTemperature,
        conversion: DegreeOfCure,
    ) -> Result<Option<DynamicViscosity>> {
        noun::check(self)?;
        match self.si(worked_at("temperature", t)?, conversion.get())? {
            Some(eta) => DynamicViscosity::from_si(eta).map(Some),
            None => Ok(None),
        }
    }

    /// The same in SI numbers, of constants that are checked.
    fn si(&self, t: f64, conversion: f64) -> Result<Option<f64>> {
        let gel = self.gel_conversion.get();
        let eta0 = self.unreacted.si(t)?;
        if conversion >= gel {
            return Ok(None);
        }
        let eta = eta0 * (gel / (gel - conversion)).powf(self.a + self.b * conversion);
        Ok(eta.is_finite().then_some(eta))
    }

    /// Where the form comes from.
    pub fn source() -> Source {
        Source::published(
            "J. M. Castro, C. W. Macosko",
            "Studies of mold filling and curing in the reaction injection molding process, AIChE J. 28",
            1982,
            "p. 250",
        )
        .from_memory()
    }

    /// Viscosity over time to gel from conversion and temperature over time (Castro-Macosko), and until when the batch
    /// wets out mat.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for series of different lengths; [`ErrorKind::OutOfRange`] for a time that does not
    /// rise, a conversion outside 0 to 1 and as [`ChemoViscosity::at`]; [`ErrorKind::NoSolution`] if it is gelled at the
    /// second time.
    #[question("flow.viscosity_rise")]
    pub fn over_time(
        &self,
        /// Times, s.
        time_s: &[f64],
        /// Conversion at those times, 0 to 1.
        conversion: &[f64],
        /// Temperature at those times, K.
        #[noun(name = "temperature_K")]
        temperature_k: &[f64],
        /// Viscosity above which it no longer wets out mat.
        #[noun(default = "1 Pa*s")]
        wet_out_limit: DynamicViscosity,
    ) -> Result<ViscosityCourse> {
        noun::check(self)?;
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
        for (i, ((t, c), k)) in time_s.iter().zip(conversion).zip(temperature_k).enumerate() {
            let c = DegreeOfCure::new(*c).map_err(|e| e.at(format_args!("conversion[{i}]")))?;
            let field = format!("temperature_K[{i}]");
            let k = worked_at(&field, ThermodynamicTemperature::from_si(finite(&field, *k)?)?)?;
            let Some(eta) = self.si(k, c.get())? else { break };
            time.push(*t);
            viscosity.push(eta);
        }
        if time.len() < 2 {
            return Err(Error::no_solution(
                "conversion",
                "viscosity over time",
                "the resin is gelled at the second time given",
                "give times before gel",
            ));
        }
        let viscosity = ViscosityHistory::Series {
            time_s: time,
            viscosity_pa_s: viscosity,
        };
        let workable = viscosity.wet_out(wet_out_limit).map_err(|e| match e.field() {
            "limit" => e.at("wet_out_limit"),
            _ => e,
        })?;
        let mut why = workable.why;
        why.from.push(
            Why::given("viscosity", "eta_0(T) [a_g/(a_g - a)]^(A + B a)")
                .with_source(&ChemoViscosity::source()),
        );
        Ok(ViscosityCourse {
            viscosity,
            wets_out_until: workable.wets_out_until,
            doubled_at: workable.doubled_at,
            flows_until: workable.flows_until,
            why,
        })
    }
}

/// The viscosity of a batch from the moment it is used until it stops flowing.
///
/// What a slow flow has done by a time depends only on `Theta = integral dt/eta`, the time weighted with the
/// fluidity (its integral over time); every flow of this module is computed in it.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub enum ViscosityHistory {
    /// A viscosity that stays, for a time.
    Constant {
        /// The viscosity.
        #[noun(within = crate::ranges::LIQUID_VISCOSITY)]
        viscosity: DynamicViscosity,
        /// How long it flows: to gel, or until the clamps come off.
        #[noun(within(> "0 s", "36525 d"))]
        time: Time,
    },
    /// `eta = eta_0 (1 - t/t_gel)^-n`: Castro-Macosko with a conversion that rises in proportion to time. For a
    /// shop that knows its gel time and no more; no source for the exponent, 2 is a usual size.
    ToGel {
        /// Viscosity when fresh.
        #[noun(within = crate::ranges::LIQUID_VISCOSITY)]
        viscosity: DynamicViscosity,
        /// Gel time, counted from when the batch is used.
        #[noun(within(> "0 s", "36525 d"))]
        gel_time: Time,
        /// `n`.
        #[noun(default = 2.0, within(0.5, 6, "2 is a usual size"))]
        exponent: f64,
    },
    /// Viscosities at times, log-linear between them, gelled after the last.
    Series {
        /// Times, s, rising, the first at or after 0 (before it the first viscosity holds).
        #[noun(within(.., 3.2e9))]
        time_s: Vec<f64>,
        /// Viscosities, Pa s.
        #[noun(name = "viscosity_Pa_s", within(1e-6, 1e15))]
        viscosity_pa_s: Vec<f64>,
    },
}

#[questions(viscosity)]
impl ViscosityHistory {
    /// Refuses what can not be a history; what is read from a document has passed it.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] and [`ErrorKind::Inconsistent`] for values that are not above zero, series of
    /// different lengths or a time that does not rise.
    pub fn check(&self) -> Result<()> {
        noun::check(self)?;
        let ViscosityHistory::Series {
            time_s,
            viscosity_pa_s,
        } = self
        else {
            return Ok(());
        };
        if time_s.len() != viscosity_pa_s.len() || time_s.len() < 2 {
            return Err(Error::inconsistent(
                "time_s",
                format!("{} times and {} viscosities", time_s.len(), viscosity_pa_s.len()),
                "the same number of each, at least 2",
                "give one viscosity for each time",
            ));
        }
        let mut before = f64::NEG_INFINITY;
        for (i, t) in time_s.iter().enumerate() {
            if !(*t >= 0.0 && *t > before) {
                return Err(Error::out_of_range(
                    format!("time_s[{i}]"),
                    t,
                    "rising, the first at or after 0",
                    "sort the series by time",
                ));
            }
            before = *t;
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
    /// As [`ViscosityHistory::check`].
    pub fn at(&self, t: Time) -> Result<Option<DynamicViscosity>> {
        self.check()?;
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
        roots::root("time", 0.0, end, |t| self.fluidity(t) - theta).unwrap_or(end)
    }

    /// The first time the viscosity reaches `limit`, `None` if it is above it from the start, the end if never.
    ///
    /// # Errors
    /// As [`ViscosityHistory::check`]; [`ErrorKind::OutOfRange`] for a limit that is not above zero.
    pub fn reaches(
        &self,
        #[noun(within = crate::ranges::VISCOSITY_LIMIT)] limit: DynamicViscosity,
    ) -> Result<Option<Time>> {
        self.check()?;
        let l = limit.si();
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

    /// Until when a batch wets out mat, and when its viscosity has doubled: `eta(t) = limit`, `eta(t) = 2 eta(0)`.
    ///
    /// # Errors
    /// As [`ViscosityHistory::reaches`].
    #[question("flow.wet_out")]
    pub fn wet_out(
        &self,
        /// Viscosity above which it no longer wets out by brush and roller (common practice, no source).
        #[noun(default = "1 Pa*s", within = crate::ranges::VISCOSITY_LIMIT)]
        limit: DynamicViscosity,
    ) -> Result<WetOutTime> {
        let wets_out_until = self.reaches(limit)?;
        let start = self
            .at(Time::default())?
            .ok_or_else(|| Error::new(ErrorKind::NoSolution, "viscosity"))?;
        let doubled_at = self.reaches(DynamicViscosity::from_si(2.0 * start.si())?)?;
        let why = Why::computed(
            "time the batch wets out mat",
            wets_out_until.map_or_else(|| "none: too thick from the start".into(), show),
            "eta(t) = limit",
            vec![
                Why::given("viscosity when fresh", show(start)),
                Why::given("limit", show(limit)).with_source(&Source::of(
                    Standing::CommonPractice,
                    "a laminating resin above about 1 Pa s no longer wets out mat by brush and roller",
                )),
            ],
        );
        Ok(WetOutTime {
            wets_out_until,
            doubled_at,
            flows_until: self.end(),
            why,
        })
    }
}

/// When a batch stops being workable.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct WetOutTime {
    /// Until when the batch wets out mat: the viscosity reaches the limit. `None`: it is too thick from the start.
    pub wets_out_until: Option<Time>,
    /// When the viscosity has doubled, one usual definition of pot life.
    pub doubled_at: Option<Time>,
    /// When it gels, or the series ends.
    pub flows_until: Time,
    /// The chain behind it.
    pub why: Why,
}
