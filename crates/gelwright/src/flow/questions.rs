//! The questions about flow that every language can ask.

use crate::noun::Noun;

use super::check;
use super::drain::{Drain, Drained, Levelled, levelling};
use super::paste::{
    Consistency, Paste, Sag, SeamPaste, SeamPasteBatch, SilicaForBead, YieldLaw, YieldTest, sag,
    silica_for_bead,
};
use super::settling::{Settled, Settling};
use super::squeeze::{ChopLimit, ClampLimit, Clamps, FibreBed, SeamPressure, SqueezeOut, Squeezed};
use super::viscosity::{
    ChemoViscosity, Chop, SuspensionModel, ViscosityHistory, ViscosityTemperature, WetOut, filled,
    sphere_packing, wet_out, wet_out_limit,
};
use crate::door::{Question, entry};
use crate::error::{Error, Result};
use crate::quantity::{
    Angle, DynamicViscosity, Force, Length, MassDensity, MassFraction, Pressure, Quantity, SurfaceTension,
    ThermodynamicTemperature, Time, VolumeFraction, show,
};
use crate::question::Entry;
use crate::source::Why;

/// A viscosity read at a temperature.
#[derive(Debug, Clone, Copy, Noun)]
pub struct ViscosityReading {
    /// The temperature of the resin.
    pub temperature: ThermodynamicTemperature,
    /// The viscosity.
    pub viscosity: DynamicViscosity,
}

/// The viscosity of a mix at a temperature.
#[derive(Debug, Clone, Noun)]
pub struct MixViscosity {
    /// Two readings of the liquid resin.
    pub readings: [ViscosityReading; 2],
    /// Temperature asked for.
    pub temperature: ThermodynamicTemperature,
    /// Solids in the mix; none unless given.
    pub solids: Option<VolumeFraction>,
    /// Their packing fraction; spheres (64 vol%) or what the chop packs to, unless given.
    pub packing: Option<VolumeFraction>,
    /// The chop, if the solids are chop.
    pub chop: Option<Chop>,
    /// How the solids thicken; Krieger-Dougherty for spheres, Maron-Pierce for chop, unless given.
    pub model: Option<SuspensionModel>,
}

/// The viscosity of a mix.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct MixViscosityAnswer {
    /// Viscosity of the mix.
    pub viscosity: DynamicViscosity,
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

fn both(a: Option<String>, b: Option<String>) -> Option<String> {
    match (a, b) {
        (Some(a), Some(b)) => Some(format!("{a}; {b}")),
        (a, b) => a.or(b),
    }
}

impl Question for MixViscosity {
    const NAME: &'static str = "flow.viscosity";
    const ABOUT: &'static str =
        "Viscosity of a resin at a temperature from two readings, and of the mix with fillers or chop in it.";
    type Answer = MixViscosityAnswer;
    fn answer(&self) -> Result<MixViscosityAnswer> {
        let [a, b] = self.readings;
        let law = ViscosityTemperature::from_two_readings(
            (a.temperature, a.viscosity),
            (b.temperature, b.viscosity),
        )
        .map_err(|e| e.within("readings"))?;
        let liquid = law.at(self.temperature)?;
        let Some(solids) = self.solids else {
            return Ok(MixViscosityAnswer {
                viscosity: liquid.viscosity,
                liquid: liquid.viscosity,
                relative: 1.0,
                packing: None,
                extrapolated: liquid.extrapolated,
                why: liquid.why,
            });
        };
        let (packing, note) = match (self.packing, &self.chop) {
            (Some(p), _) => (p, None),
            (None, Some(chop)) => chop.packing().map_err(|e| e.within("chop"))?,
            (None, None) => (sphere_packing(), None),
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
        if self.packing.is_none()
            && self.chop.is_some()
            && let Some(last) = mix.why.from.last_mut()
        {
            last.source = Some(Chop::source());
        }
        Ok(MixViscosityAnswer {
            viscosity: mix.viscosity,
            liquid: liquid.viscosity,
            relative: mix.viscosity.si() / liquid.viscosity.si(),
            packing: Some(packing),
            extrapolated: both(liquid.extrapolated, both(note, mix.extrapolated)),
            why: mix.why,
        })
    }
}

/// How dense chop packs before the pour jams.
#[derive(Debug, Clone, Noun)]
pub struct ChopPacking {
    /// Length the strand is cut to.
    pub length: Length,
    /// Filament diameter.
    pub filament: Length,
    /// Filaments that stay together in a strand; 1 where the strands open.
    pub filaments: u32,
    /// Glass within the strand; 60 vol% unless given, 100 vol% for single filaments.
    pub glass_in_strand: Option<VolumeFraction>,
}

/// How dense chop packs.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct ChopPackingAnswer {
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

impl Question for ChopPacking {
    const NAME: &'static str = "flow.chop_packing";
    const ABOUT: &'static str =
        "Glass content at which chopped strands in a pour jam, from their length and strand.";
    type Answer = ChopPackingAnswer;
    fn answer(&self) -> Result<ChopPackingAnswer> {
        let glass = match self.glass_in_strand {
            Some(g) => g,
            None => VolumeFraction::new(if self.filaments == 1 { 1.0 } else { 0.6 })?,
        };
        let strand_diameter = Chop::strand_diameter(self.filament, self.filaments, glass)?;
        let chop = Chop {
            length: self.length,
            strand_diameter,
            glass_in_strand: glass,
        };
        let (packing, extrapolated) = chop.packing()?;
        let aspect_ratio = chop.aspect_ratio()?;
        let why = Why::computed(
            "glass content at which the chop jams",
            show(packing),
            "phi_m = phi_s 5.4/(l/D), D = d sqrt(n/phi_s)",
            vec![
                Why::given("l, length", show(self.length)),
                Why::given("d, filament", show(self.filament)),
                Why::given("n, filaments in a strand", self.filaments.to_string()),
                Why::given("phi_s, glass in the strand", show(glass)),
            ],
        )
        .with_source(&Chop::source());
        Ok(ChopPackingAnswer {
            packing,
            aspect_ratio,
            strand_diameter,
            extrapolated,
            why,
        })
    }
}

/// The viscosity of a catalysed batch over time.
#[derive(Debug, Clone, Noun)]
pub struct ViscosityRise {
    /// Viscosity against temperature and conversion.
    pub model: ChemoViscosity,
    /// Times, s.
    pub time_s: Vec<f64>,
    /// Conversion at those times, 0 to 1.
    pub conversion: Vec<f64>,
    /// Temperature at those times, K.
    #[noun(name = "temperature_K")]
    pub temperature_k: Vec<f64>,
    /// Viscosity above which it no longer wets out mat; 1 Pa s unless given.
    pub wet_out_limit: Option<DynamicViscosity>,
}

/// The viscosity of a batch over time.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct ViscosityRiseAnswer {
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

impl Question for ViscosityRise {
    const NAME: &'static str = "flow.viscosity_rise";
    const ABOUT: &'static str = "Viscosity over time to gel from conversion and temperature over time (Castro-Macosko), and until when the batch wets out mat.";
    type Answer = ViscosityRiseAnswer;
    fn answer(&self) -> Result<ViscosityRiseAnswer> {
        let viscosity = self
            .model
            .over_time(&self.time_s, &self.conversion, &self.temperature_k)?;
        let wet = wet_out(&viscosity, self.wet_out_limit.unwrap_or_else(wet_out_limit))?;
        let mut why = wet.why;
        why.from.push(
            Why::given("viscosity", "eta_0(T) [a_g/(a_g - a)]^(A + B a)")
                .with_source(&ChemoViscosity::source()),
        );
        Ok(ViscosityRiseAnswer {
            viscosity,
            wets_out_until: wet.wets_out_until,
            doubled_at: wet.doubled_at,
            flows_until: wet.flows_until,
            why,
        })
    }
}

/// Until when a batch wets out mat.
#[derive(Debug, Clone, Noun)]
pub struct WetOutTime {
    /// The batch's viscosity over time.
    pub viscosity: ViscosityHistory,
    /// Viscosity above which it no longer wets out; 1 Pa s unless given.
    pub limit: Option<DynamicViscosity>,
}

impl Question for WetOutTime {
    const NAME: &'static str = "flow.wet_out";
    const ABOUT: &'static str = "Until when a batch wets out mat, and when its viscosity has doubled.";
    type Answer = WetOut;
    fn answer(&self) -> Result<WetOut> {
        self.viscosity.checked().map_err(|e| e.within("viscosity"))?;
        wet_out(&self.viscosity, self.limit.unwrap_or_else(wet_out_limit))
    }
}

/// A reading of a paste's yield stress.
#[derive(Debug, Clone, Copy, Noun)]
pub struct YieldReading {
    /// Silica as a mass fraction of the paste.
    pub silica: MassFraction,
    /// Its yield stress (see `flow.yield_test`).
    pub yield_stress: Pressure,
}

/// Which law of yield stress against silica is used.
#[derive(Debug, Clone, Default, Noun)]
pub enum YieldLawChoice {
    /// Through the consistencies the trade names: common practice, within a factor of 3.
    #[default]
    CommonPractice,
    /// Through one reading of this shop's, with a published exponent.
    Through(YieldReading),
    /// Fitted to two or more readings of this shop's.
    Fit(Vec<YieldReading>),
    /// A law given.
    Law(YieldLaw),
}

impl YieldLawChoice {
    /// The law.
    ///
    /// # Errors
    /// As [`YieldLaw::through`] and [`YieldLaw::fit`].
    pub fn law(&self) -> Result<YieldLaw> {
        match self {
            YieldLawChoice::CommonPractice => Ok(YieldLaw::common_practice()),
            YieldLawChoice::Through(r) => {
                YieldLaw::through(r.silica, r.yield_stress).map_err(|e| e.within("law.through"))
            }
            YieldLawChoice::Fit(readings) => {
                let pairs: Vec<_> = readings.iter().map(|r| (r.silica, r.yield_stress)).collect();
                YieldLaw::fit(&pairs).map_err(|e| e.within("law.fit"))
            }
            YieldLawChoice::Law(law) => Ok(law.clone()),
        }
    }
}

/// A paste of resin and fumed silica.
#[derive(Debug, Clone, Noun)]
pub struct PasteQuestion {
    /// Silica as a mass fraction of the paste.
    pub silica: MassFraction,
    /// Law of yield stress against silica; common practice unless given.
    #[noun(default)]
    pub law: YieldLawChoice,
}

impl Question for PasteQuestion {
    const NAME: &'static str = "flow.paste";
    const ABOUT: &'static str = "Yield stress and consistency of resin thickened with fumed silica.";
    type Answer = Paste;
    fn answer(&self) -> Result<Paste> {
        self.law.law()?.paste(self.silica)
    }
}

/// A shop's own test of a paste.
#[derive(Debug, Clone, Noun)]
pub struct YieldTestQuestion {
    /// The test and its readings.
    pub test: YieldTest,
    /// Density of the paste.
    pub density: MassDensity,
}

/// What a test of a paste shows.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct YieldTestAnswer {
    /// Yield stress of the paste.
    pub yield_stress: Pressure,
    /// The trade's word for it.
    pub consistency: Consistency,
}

impl Question for YieldTestQuestion {
    const NAME: &'static str = "flow.yield_test";
    const ABOUT: &'static str =
        "Yield stress of a paste from a slump, a spread or the thickest coat that stays.";
    type Answer = YieldTestAnswer;
    fn answer(&self) -> Result<YieldTestAnswer> {
        check::positive("density", self.density)?;
        let yield_stress = self
            .test
            .yield_stress(self.density)
            .map_err(|e| e.within("test"))?;
        Ok(YieldTestAnswer {
            yield_stress,
            consistency: Consistency::of(yield_stress),
        })
    }
}

/// The silica for a bead that does not sag.
#[derive(Debug, Clone, Noun)]
pub struct SilicaForBeadQuestion {
    /// Height of the bead above the face.
    pub height: Length,
    /// Slope of the face from the horizontal, 90 deg for a wall.
    pub slope: Angle,
    /// Density of the paste.
    pub density: MassDensity,
    /// Yield stress over the stress at the foot of the bead; 1.5 unless given.
    #[noun(default = 1.5)]
    pub margin: f64,
    /// Law of yield stress against silica; common practice unless given.
    #[noun(default)]
    pub law: YieldLawChoice,
}

impl Question for SilicaForBeadQuestion {
    const NAME: &'static str = "flow.silica_for_bead";
    const ABOUT: &'static str = "Fumed silica that keeps a bead from sagging at a height and slope.";
    type Answer = SilicaForBead;
    fn answer(&self) -> Result<SilicaForBead> {
        silica_for_bead(
            &self.law.law()?,
            self.density,
            self.height,
            self.slope,
            self.margin,
        )
    }
}

/// Whether a bead of a paste sags.
#[derive(Debug, Clone, Noun)]
pub struct SagQuestion {
    /// Silica as a mass fraction of the paste.
    pub silica: MassFraction,
    /// Height of the bead above the face.
    pub height: Length,
    /// Slope of the face from the horizontal, 90 deg for a wall.
    pub slope: Angle,
    /// Density of the paste.
    pub density: MassDensity,
    /// Margin asked for; 1.5 unless given.
    #[noun(default = 1.5)]
    pub margin: f64,
    /// Law of yield stress against silica; common practice unless given.
    #[noun(default)]
    pub law: YieldLawChoice,
}

impl Question for SagQuestion {
    const NAME: &'static str = "flow.sag";
    const ABOUT: &'static str = "Whether a bead of thickened resin stays on a slope, and how high one would.";
    type Answer = Sag;
    fn answer(&self) -> Result<Sag> {
        sag(
            &self.law.law()?.paste(self.silica)?,
            self.density,
            self.height,
            self.slope,
            self.margin,
        )
    }
}

impl Question for SeamPaste {
    const NAME: &'static str = "flow.seam_paste";
    const ABOUT: &'static str =
        "Paste, resin and silica for a bead along a seam, the silica by mass and as scooped.";
    type Answer = SeamPasteBatch;
    fn answer(&self) -> Result<SeamPasteBatch> {
        self.batch()
    }
}

impl Question for Drain {
    const NAME: &'static str = "flow.drain";
    const ABOUT: &'static str = "What stays of a coat on a steep face when it gels, and how much runs off.";
    type Answer = Drained;
    fn answer(&self) -> Result<Drained> {
        self.drained()
    }
}

/// How far brush marks level out.
#[derive(Debug, Clone, Noun)]
pub struct Levelling {
    /// Mean thickness of the coat.
    pub thickness: Length,
    /// Distance from brush mark to brush mark.
    pub spacing: Length,
    /// Surface tension of the resin, about 30 mN/m.
    pub surface_tension: SurfaceTension,
    /// Its viscosity until gel.
    pub viscosity: ViscosityHistory,
}

impl Question for Levelling {
    const NAME: &'static str = "flow.levelling";
    const ABOUT: &'static str = "How far brush marks in a coat flow out before it gels.";
    type Answer = Levelled;
    fn answer(&self) -> Result<Levelled> {
        levelling(
            self.thickness,
            self.spacing,
            self.surface_tension,
            &self.viscosity,
        )
    }
}

impl Question for SqueezeOut {
    const NAME: &'static str = "flow.squeeze_out";
    const ABOUT: &'static str =
        "Thickness of a clamped joint or edge when it gels, and what is squeezed out.";
    type Answer = Squeezed;
    fn answer(&self) -> Result<Squeezed> {
        self.squeezed()
    }
}

/// The hardest clamp that keeps an edge thick enough.
#[derive(Debug, Clone, Noun)]
pub struct ClampForEdge {
    /// The joint as it is pressed; its force or pressure may be left out.
    pub squeeze: SqueezeOut,
    /// Thickness the edge must keep.
    pub at_least: Length,
}

impl Question for ClampForEdge {
    const NAME: &'static str = "flow.clamp_for_edge";
    const ABOUT: &'static str =
        "The hardest clamp that leaves a joint or edge at least so thick when it gels.";
    type Answer = ClampLimit;
    fn answer(&self) -> Result<ClampLimit> {
        let given = SqueezeOut {
            force: Some(Force::from_si(1.0)?),
            pressure: None,
            ..self.squeeze.clone()
        };
        given.checked().map_err(|e| e.within("squeeze"))?;
        self.squeeze.hardest_clamp(self.at_least)
    }
}

/// The least chop that keeps an edge thick enough.
#[derive(Debug, Clone, Noun)]
pub struct ChopForEdge {
    /// The joint as it is pressed; chop given in it is ignored.
    pub squeeze: SqueezeOut,
    /// Length the chop is cut to.
    pub chop_length: Length,
    /// How the fibres carry load; a random mat of strands unless given.
    pub bed: Option<FibreBed>,
    /// Thickness the edge must keep.
    pub at_least: Length,
}

impl Question for ChopForEdge {
    const NAME: &'static str = "flow.chop_for_edge";
    const ABOUT: &'static str = "The least chop that keeps a clamped edge at least so thick.";
    type Answer = ChopLimit;
    fn answer(&self) -> Result<ChopLimit> {
        self.squeeze.checked().map_err(|e| e.within("squeeze"))?;
        self.squeeze
            .least_chop(self.chop_length, self.bed, self.at_least)
            .map_err(|e| match e.field() {
                "length" => Error::no_solution(
                    "chop_length",
                    show(self.chop_length),
                    e.allowed().unwrap_or_default(),
                    e.way_out().unwrap_or_default(),
                ),
                _ => e,
            })
    }
}

impl Question for Clamps {
    const NAME: &'static str = "flow.seam_pressure";
    const ABOUT: &'static str =
        "Mean pressure along a clamped seam, pressure under a clamp, and the widest even spacing.";
    type Answer = SeamPressure;
    fn answer(&self) -> Result<SeamPressure> {
        self.pressure()
    }
}

impl Question for Settling {
    const NAME: &'static str = "flow.settling";
    const ABOUT: &'static str = "How far a filler sinks, or hollow spheres rise, before gel.";
    type Answer = Settled;
    fn answer(&self) -> Result<Settled> {
        self.settled()
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[
    entry::<MixViscosity>(),
    entry::<ChopPacking>(),
    entry::<ViscosityRise>(),
    entry::<WetOutTime>(),
    entry::<PasteQuestion>(),
    entry::<YieldTestQuestion>(),
    entry::<SilicaForBeadQuestion>(),
    entry::<SagQuestion>(),
    entry::<SeamPaste>(),
    entry::<Drain>(),
    entry::<Levelling>(),
    entry::<SqueezeOut>(),
    entry::<ClampForEdge>(),
    entry::<ChopForEdge>(),
    entry::<Clamps>(),
    entry::<Settling>(),
];
