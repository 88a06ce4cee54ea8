//! Questions about the mix. The science stays in the modules that they call.

use crate::noun::Noun;

use super::bench::{Bench, Calibration, Dropper};
use super::dosing::{self, Dosed, Dosing, SmallestBatch};
use super::epoxy::{EpoxyRatio, EpoxySystem, OffsetWindow, SheetCheck};
use super::filler::{self, Component, FilledMix};
use super::measurement::Estimate;
use super::peroxide::{self, Compound, EquivalentDose, PeroxideProduct, Step};
use super::pigment::{self, PigmentLoading};
use super::polyurethane::{self, Constants, PolyolPart, PolyurethaneRatio, PolyurethaneSystem, Surroundings};
use super::rescue::{self, Cup, LargestBatch, Left, Rescue};
use super::stoichiometry::{self, LiquidDensity, SidePart};
use super::{Dose, drops};
use crate::cancel::Cancel;
use crate::check::positive;
use crate::door::{LongQuestion, Question, entry, long_entry};
use crate::error::{Error, Result};
use crate::quantity::{
    self, ArealMassDensity, Index, Length, Mass, MassDensity, MassFraction, PartsByVolume, Phr, Pressure,
    Quantity, RelativeAmount, RelativeSpread, SpecificVolume, SurfaceTension, ThermodynamicTemperature,
    Volume, VolumeFraction, temperature,
};
use crate::question::Entry;
use crate::source::{Source, Why};

/// Hardener for an epoxy.
#[derive(Debug, Clone, Noun)]
pub struct AskEpoxyRatio {
    /// The resin side: resins, diluents, fillers; equivalent masses per epoxide group.
    pub resin: Vec<SidePart>,
    /// The hardener side; equivalent masses per active hydrogen.
    pub hardener: Vec<SidePart>,
    /// Amine hydrogens to epoxide groups wanted; 1 is exact.
    #[noun(default = "1")]
    pub stoichiometric_ratio: Index,
    /// How far off the data sheet allows; common practice if not given.
    pub window: Option<OffsetWindow>,
    /// Density of the resin side, for the ratio by volume.
    pub resin_density: Option<LiquidDensity>,
    /// Density of the hardener side.
    pub hardener_density: Option<LiquidDensity>,
    /// Temperature at which both are measured out; 23 degC if not given.
    pub temperature: Option<ThermodynamicTemperature>,
    /// The data sheet's ratio by mass, to be checked.
    pub sheet_by_mass: Option<Phr>,
    /// The data sheet's ratio by volume ("100 vol% on resin" for 1:1), to be checked.
    pub sheet_by_volume: Option<PartsByVolume>,
}

/// Hardener for an epoxy.
#[derive(Debug, Clone, Noun)]
pub struct EpoxyAnswer {
    /// The ratio by mass, its window and the equivalents behind it.
    #[noun(flat)]
    pub ratio: EpoxyRatio,
    /// The ratio by volume, where both densities are given.
    pub hardener_by_volume: Option<PartsByVolume>,
    /// The sheet's ratio by mass against the equivalents.
    pub sheet_by_mass: Option<SheetCheck>,
    /// The sheet's ratio by volume against the equivalents.
    pub sheet_by_volume: Option<SheetCheck>,
    /// What lies outside a fitted range.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Both densities at a temperature, with what is extrapolated.
fn densities(
    a: Option<&LiquidDensity>,
    b: Option<&LiquidDensity>,
    names: [&str; 2],
    t: ThermodynamicTemperature,
) -> Result<Option<(MassDensity, MassDensity, Option<String>)>> {
    match (a, b) {
        (Some(a), Some(b)) => {
            let rho_a = a.at(t).map_err(|e| e.within(names[0]))?;
            let rho_b = b.at(t).map_err(|e| e.within(names[1]))?;
            let notes: Vec<String> = [(a, names[0]), (b, names[1])]
                .iter()
                .filter_map(|(d, name)| d.extrapolates(t).map(|x| format!("{name}: {x}")))
                .collect();
            Ok(Some((
                rho_a,
                rho_b,
                (!notes.is_empty()).then(|| notes.join("; ")),
            )))
        }
        _ => Ok(None),
    }
}

fn bench_temperature(t: Option<ThermodynamicTemperature>) -> ThermodynamicTemperature {
    t.unwrap_or_else(|| temperature::celsius(23.0))
}

impl Question for AskEpoxyRatio {
    const NAME: &'static str = "mix.epoxy_ratio";
    const ABOUT: &'static str = "Hardener for an epoxy from the equivalent masses of blended, filled or diluted sides, by mass and volume, and \
                                 a data sheet's ratio held against it.";
    type Answer = EpoxyAnswer;
    fn answer(&self) -> Result<EpoxyAnswer> {
        let system = EpoxySystem {
            resin: self.resin.clone(),
            hardener: self.hardener.clone(),
            window: self.window.clone().unwrap_or_else(OffsetWindow::common_practice),
        };
        let ratio = system.ratio(self.stoichiometric_ratio)?;
        let both = densities(
            self.resin_density.as_ref(),
            self.hardener_density.as_ref(),
            ["resin_density", "hardener_density"],
            bench_temperature(self.temperature),
        )?;
        let sheet_by_volume = match (self.sheet_by_volume, &both) {
            (None, _) => None,
            (Some(q), Some((a, b, _))) => Some(system.check_by_volume(q, *a, *b)?),
            (Some(q), None) => {
                return Err(Error::inconsistent(
                    "sheet_by_volume",
                    quantity::show(q),
                    "'resin_density' and 'hardener_density' beside it",
                    "a ratio by volume is checked through both densities: give them from the data sheets",
                ));
            }
        };
        Ok(EpoxyAnswer {
            hardener_by_volume: both
                .as_ref()
                .map(|(a, b, _)| stoichiometry::by_volume(ratio.hardener, *a, *b))
                .transpose()?,
            sheet_by_mass: self.sheet_by_mass.map(|p| system.check_by_mass(p)).transpose()?,
            sheet_by_volume,
            extrapolated: both.and_then(|(.., note)| note),
            cautions: vec![
                "epoxy resins and amine hardeners sensitise the skin, and hardeners burn it: gloves, goggles, and no \
                 solvent on the skin"
                    .into(),
                "a deep cup of mixed epoxy heats itself: mix what can be poured at once, pour it thin".into(),
                "the product's data sheet and safety data sheet, local codes and licensed practice come before this \
                 answer"
                    .into(),
            ],
            ratio,
        })
    }
}

/// Isocyanate for a polyurethane.
#[derive(Debug, Clone, Noun)]
pub struct AskPolyurethaneRatio {
    /// The polyol side: polyols, fillers, pigments, with the water in each.
    pub polyol: Vec<PolyolPart>,
    /// NCO content of the isocyanate side.
    pub nco_content: MassFraction,
    /// Isocyanate index; 1 is exact, 1.05 is 5 % more isocyanate.
    #[noun(default = "1")]
    pub index: Index,
    /// The constants behind 56 100 and 4 200; the trade's if not given.
    pub constants: Option<Constants>,
    /// Density of the polyol side.
    pub polyol_density: LiquidDensity,
    /// Density of the isocyanate side.
    pub isocyanate_density: LiquidDensity,
    /// Temperature of the mix; 23 degC if not given.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Air pressure; 1013 hPa if not given.
    pub pressure: Option<Pressure>,
    /// The data sheet's ratio by volume ("100 vol% on resin" for 1:1), whose index is wanted.
    pub sheet_by_volume: Option<PartsByVolume>,
    /// The data sheet's ratio by mass, isocyanate on polyol, whose index is wanted.
    pub sheet_by_mass: Option<Phr>,
}

/// Isocyanate for a polyurethane.
#[derive(Debug, Clone, Noun)]
pub struct PolyurethaneAnswer {
    /// The ratio and what water does to it.
    #[noun(flat)]
    pub ratio: PolyurethaneRatio,
    /// Isocyanate side on polyol side, by volume.
    pub isocyanate_by_volume: PartsByVolume,
    /// The index that the sheet's ratio gives, water counted.
    pub sheet_index: Option<Index>,
    /// The constants used.
    pub constants: Constants,
    /// What lies outside a fitted range.
    pub extrapolated: Option<String>,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Question for AskPolyurethaneRatio {
    const NAME: &'static str = "mix.polyurethane_ratio";
    const ABOUT: &'static str = "Isocyanate for a polyurethane from hydroxyl number and NCO content, water counted, by mass and volume, and how \
                                 much that water foams.";
    type Answer = PolyurethaneAnswer;
    fn answer(&self) -> Result<PolyurethaneAnswer> {
        let constants = self.constants.unwrap_or_default();
        let t = bench_temperature(self.temperature);
        let system = PolyurethaneSystem {
            polyol: self.polyol.clone(),
            nco_content: self.nco_content,
            constants,
        };
        let (rho_p, rho_i, extrapolated) = densities(
            Some(&self.polyol_density),
            Some(&self.isocyanate_density),
            ["polyol_density", "isocyanate_density"],
            t,
        )?
        .ok_or_else(|| Error::inconsistent("polyol_density", "none", "both densities", "give both"))?;
        let pressure = match self.pressure {
            Some(p) => p,
            None => Pressure::from_si(101_325.0)?,
        };
        let around = |mix_density| Surroundings {
            mix_density,
            temperature: t,
            pressure,
        };
        // The density of the mix follows from the ratio, and the ratio does not depend on it.
        let first = system.ratio(self.index, &around(rho_p))?;
        let x = first.isocyanate_on_polyol.per_resin();
        let mix = MassDensity::from_si((1.0 + x) / (1.0 / rho_p.si() + x / rho_i.si()))?;
        let ratio = system.ratio(self.index, &around(mix))?;
        let polyol: f64 = self.polyol.iter().map(|p| p.mass.si()).sum();
        let sheet = match (self.sheet_by_mass, self.sheet_by_volume) {
            (None, None) => None,
            (Some(p), None) => Some(p),
            (None, Some(q)) => Some(stoichiometry::by_mass(q, rho_p, rho_i)?),
            (Some(_), Some(q)) => {
                return Err(Error::inconsistent(
                    "sheet_by_volume",
                    quantity::show(q),
                    "one of 'sheet_by_mass' and 'sheet_by_volume'",
                    "ask once for each",
                ));
            }
        };
        Ok(PolyurethaneAnswer {
            isocyanate_by_volume: stoichiometry::by_volume(ratio.isocyanate_on_polyol, rho_p, rho_i)?,
            sheet_index: sheet
                .map(|p| system.index(Mass::from_si(p.per_resin() * polyol)?))
                .transpose()?,
            constants,
            extrapolated,
            cautions: polyurethane::cautions(),
            ratio,
        })
    }
}

/// A dose of one peroxide as a dose of another.
#[derive(Debug, Clone, Noun)]
pub struct AskPeroxideEquivalent {
    /// The dose of the known product.
    pub dose: Dose,
    /// The product that the dose is for.
    pub known: PeroxideProduct,
    /// The product that is at hand.
    pub other: PeroxideProduct,
    /// Density of the resin.
    pub resin_density: MassDensity,
}

impl Question for AskPeroxideEquivalent {
    const NAME: &'static str = "mix.peroxide_equivalent";
    const ABOUT: &'static str =
        "The dose of another peroxide product that brings as much active oxygen as a known dose.";
    type Answer = EquivalentDose;
    fn answer(&self) -> Result<EquivalentDose> {
        let dose = self.dose.as_phr(self.resin_density, self.known.density, None)?;
        peroxide::equivalent_dose(dose, &self.known, &self.other, self.resin_density)
    }
}

/// Active oxygen from a structure.
#[derive(Debug, Clone, Noun)]
pub struct AskActiveOxygen {
    /// What it is called.
    #[noun(default)]
    pub name: String,
    /// Its formula.
    pub formula: String,
    /// Peroxide groups -O-O- in one molecule.
    pub peroxide_groups: u8,
    /// Share of it in the product; the pure compound if not given.
    pub assay: Option<MassFraction>,
}

/// Active oxygen.
#[derive(Debug, Clone, Noun)]
pub struct ActiveOxygenAnswer {
    /// Of the pure compound.
    pub pure: MassFraction,
    /// Of the product.
    pub product: MassFraction,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskActiveOxygen {
    const NAME: &'static str = "mix.active_oxygen";
    const ABOUT: &'static str = "Theoretical active oxygen of a peroxide of known structure, and of a product that holds a share of it; a \
                                 ketone peroxide is refused: its label says.";
    type Answer = ActiveOxygenAnswer;
    fn answer(&self) -> Result<ActiveOxygenAnswer> {
        let pure = peroxide::theoretical_active_oxygen(&Compound {
            name: self.name.clone(),
            formula: self.formula.clone(),
            peroxide_groups: self.peroxide_groups,
        })?;
        let whole = MassFraction::new(1.0)?;
        let product = peroxide::active_oxygen_of_product(pure, self.assay.unwrap_or(whole))?;
        let why = Why::computed(
            "active oxygen",
            quantity::show(product),
            "w = assay n M_O/M",
            vec![
                Why::given(
                    format!("molar mass of {}, M", self.formula.trim()),
                    quantity::show(stoichiometry::molar_mass_of(&self.formula)?),
                ),
                Why::given("peroxide groups, n", self.peroxide_groups.to_string()),
                Why::given("assay", quantity::show(self.assay.unwrap_or(whole))),
            ],
        )
        .with_source(&Source::published(
            "United Nations",
            "Recommendations on the Transport of Dangerous Goods, Model Regulations",
            2019,
            "2.5.3.2",
        ));
        Ok(ActiveOxygenAnswer { pure, product, why })
    }
}

/// An order of mixing.
#[derive(Debug, Clone, Noun)]
pub struct AskMixingOrder {
    /// What goes into the cup, in its order, with every stirring.
    pub steps: Vec<Step>,
}

/// An order of mixing that may be kept.
#[derive(Debug, Clone, Noun)]
pub struct MixingOrderAnswer {
    /// The order that was checked.
    pub steps: Vec<Step>,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Question for AskMixingOrder {
    const NAME: &'static str = "mix.mixing_order";
    const ABOUT: &'static str = "Refuses an order of mixing in which peroxide meets promoter or acetone other than through stirred resin.";
    type Answer = MixingOrderAnswer;
    fn answer(&self) -> Result<MixingOrderAnswer> {
        peroxide::check_order(&self.steps)?;
        Ok(MixingOrderAnswer {
            steps: self.steps.clone(),
            cautions: peroxide::cautions(),
        })
    }
}

/// A filled mix.
#[derive(Debug, Clone, Noun)]
pub struct AskFilledDensity {
    /// The parts of the mix.
    pub components: Vec<Component>,
    /// Air stirred in, of the volume; none if not given.
    pub air: Option<VolumeFraction>,
}

impl Question for AskFilledDensity {
    const NAME: &'static str = "mix.filled_density";
    const ABOUT: &'static str =
        "Density, volume, shares, packing and cost of a filled mix, with and without entrained air.";
    type Answer = FilledMix;
    fn answer(&self) -> Result<FilledMix> {
        filler::filled(&self.components, self.air.unwrap_or(VolumeFraction::ZERO))
    }
}

/// How densely a filler packs.
#[derive(Debug, Clone, Noun)]
pub struct AskFillerPacking {
    /// Density of the particles.
    pub density: MassDensity,
    /// Density of the resin.
    pub resin_density: MassDensity,
    /// Oil absorption: grams of linseed oil on 100 g of powder, written in phr.
    pub oil_absorption: Option<Phr>,
    /// Density of the tapped heap.
    pub apparent_density: Option<MassDensity>,
    /// Length of a chopped fibre, with its diameter.
    pub fibre_length: Option<Length>,
    /// Diameter of the fibre (of the bundle, where it stays together).
    pub fibre_diameter: Option<Length>,
}

/// How densely a filler packs.
#[derive(Debug, Clone, Noun)]
pub struct PackingAnswer {
    /// Largest volume fraction.
    pub max_packing: VolumeFraction,
    /// The same on the resin, by mass.
    pub most_on_resin: Phr,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskFillerPacking {
    const NAME: &'static str = "mix.filler_packing";
    const ABOUT: &'static str = "Largest loading of a filler or chopped fibre, from its oil absorption, its tapped heap, or its length and \
                                 diameter.";
    type Answer = PackingAnswer;
    fn answer(&self) -> Result<PackingAnswer> {
        let fibre = match (self.fibre_length, self.fibre_diameter) {
            (Some(l), Some(d)) => Some((l, d)),
            (None, None) => None,
            _ => {
                return Err(Error::inconsistent(
                    "fibre_length",
                    "one of length and diameter",
                    "both or none",
                    "give 'fibre_length' and 'fibre_diameter' together",
                ));
            }
        };
        let (max, equation, given) = match (self.oil_absorption, self.apparent_density, fibre) {
            (Some(oa), None, None) => (
                filler::packing_from_oil_absorption(oa, self.density)?,
                "phi = 1/(1 + OA rho/(100 rho_oil)), rho_oil = 0.935 g/mL",
                Why::given("oil absorption", quantity::show(oa)),
            ),
            (None, Some(heap), None) => (
                filler::solid_in_heap(heap, self.density)?,
                "phi = rho_apparent/rho",
                Why::given("density of the heap", quantity::show(heap)),
            ),
            (None, None, Some((l, d))) => (
                filler::packing_of_rods(l, d).map_err(|e| {
                    let field = format!("fibre_{}", e.field());
                    e.at(&field)
                })?,
                "phi = 5.4 D/L",
                Why::given(
                    "length and diameter of the fibre",
                    format!("{}, {}", quantity::show(l), quantity::show(d)),
                ),
            ),
            _ => {
                return Err(Error::inconsistent(
                    "oil_absorption",
                    "none or several of the three ways",
                    "one of 'oil_absorption', 'apparent_density', 'fibre_length' with 'fibre_diameter'",
                    "give one",
                ));
            }
        };
        let mass = filler::mass_fraction(max, self.density, self.resin_density)?;
        Ok(PackingAnswer {
            max_packing: max,
            most_on_resin: filler::phr_of(mass)?,
            why: Why::computed(
                "largest volume fraction",
                quantity::show(max),
                equation,
                vec![
                    given,
                    Why::given("density of the particles", quantity::show(self.density)),
                ],
            ),
        })
    }
}

/// Resin for a dry reinforcement.
#[derive(Debug, Clone, Noun)]
pub struct AskWetOut {
    /// Mass of dry reinforcement per area.
    pub areal_mass: ArealMassDensity,
    /// Glass content wanted, by mass.
    pub glass_content: MassFraction,
}

/// Resin for a dry reinforcement.
#[derive(Debug, Clone, Noun)]
pub struct WetOutAnswer {
    /// Resin per area, without waste.
    pub resin: ArealMassDensity,
    /// Resin on glass.
    pub resin_on_glass: RelativeAmount,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskWetOut {
    const NAME: &'static str = "mix.wet_out";
    const ABOUT: &'static str = "Resin that wets out a mat or cloth to a glass content.";
    type Answer = WetOutAnswer;
    fn answer(&self) -> Result<WetOutAnswer> {
        let resin = filler::wet_out(self.areal_mass, self.glass_content)?;
        Ok(WetOutAnswer {
            resin,
            resin_on_glass: RelativeAmount::new(resin.si() / self.areal_mass.si())?,
            why: Why::computed(
                "resin per area",
                quantity::show(resin),
                "m = W (1 - w)/w",
                vec![
                    Why::given("dry reinforcement, W", quantity::show(self.areal_mass)),
                    Why::given("glass content, w", quantity::show(self.glass_content)),
                ],
            ),
        })
    }
}

/// Catalyst where a filler takes some up.
#[derive(Debug, Clone, Noun)]
pub struct AskCatalystWithFiller {
    /// Dose that is to work, by mass on resin.
    pub dose: Phr,
    /// Filler on resin.
    pub filler_on_resin: Phr,
    /// Catalyst that a mass of the filler takes up, measured with cups; zero if not given.
    pub uptake: Option<MassFraction>,
}

/// Catalyst where a filler takes some up.
#[derive(Debug, Clone, Noun)]
pub struct CatalystWithFillerAnswer {
    /// Dose to add, by mass on resin (not on the filled mix).
    pub dose: Phr,
    /// The dose that goes wrong when it is taken of the whole filled mix.
    pub dose_if_taken_of_the_whole: Phr,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Question for AskCatalystWithFiller {
    const NAME: &'static str = "mix.catalyst_with_filler";
    const ABOUT: &'static str =
        "Catalyst to add to a filled mix: on the resin alone, plus what the filler takes up.";
    type Answer = CatalystWithFillerAnswer;
    fn answer(&self) -> Result<CatalystWithFillerAnswer> {
        let uptake = self.uptake.unwrap_or(MassFraction::ZERO);
        let dose = filler::dose_with_uptake(self.dose, self.filler_on_resin, uptake)?;
        let note = if self.uptake.is_some() {
            "uptake as measured"
        } else {
            "no uptake given: none counted. No source gives one in general; a filled cup that gels late shows it"
        };
        Ok(CatalystWithFillerAnswer {
            dose,
            dose_if_taken_of_the_whole: Phr::new(self.dose.get() * (1.0 + self.filler_on_resin.per_resin()))?,
            why: Why::computed(
                "catalyst on resin",
                quantity::show(dose),
                "p + u f",
                vec![
                    Why::given("dose that is to work, p", quantity::show(self.dose)),
                    Why::given("filler on resin, f", quantity::show(self.filler_on_resin)),
                    Why::given("uptake, u", quantity::show(uptake)),
                ],
            )
            .with_note(note),
            cautions: peroxide::cautions(),
        })
    }
}

/// Air in a mix.
#[derive(Debug, Clone, Noun)]
pub struct AskEntrainedAir {
    /// Density as weighed in a cup of known volume, or of a cured piece.
    pub measured: MassDensity,
    /// Density without air.
    pub without_air: MassDensity,
}

/// Air in a mix.
#[derive(Debug, Clone, Noun)]
pub struct EntrainedAirAnswer {
    /// Air, of the volume.
    pub air: VolumeFraction,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskEntrainedAir {
    const NAME: &'static str = "mix.entrained_air";
    const ABOUT: &'static str = "Air in a mix or a cured piece from its measured density.";
    type Answer = EntrainedAirAnswer;
    fn answer(&self) -> Result<EntrainedAirAnswer> {
        let air = filler::entrained_air(self.measured, self.without_air)?;
        Ok(EntrainedAirAnswer {
            air,
            why: Why::computed(
                "entrained air",
                quantity::show(air),
                "a = 1 - rho_measured/rho",
                vec![
                    Why::given("measured density", quantity::show(self.measured)),
                    Why::given("density without air", quantity::show(self.without_air)),
                ],
            ),
        })
    }
}

/// A loading of pigment paste.
#[derive(Debug, Clone, Noun)]
pub struct AskPigmentLoading {
    /// Paste on resin, by mass.
    pub paste: Phr,
    /// Carrier in the paste that does not react.
    pub carrier: MassFraction,
    /// The most paste on resin that its data sheet allows.
    pub data_sheet_limit: Option<Phr>,
}

impl Question for AskPigmentLoading {
    const NAME: &'static str = "mix.pigment_loading";
    const ABOUT: &'static str = "Pigment and non-reactive carrier that a paste brings, held against its data sheet or the published limits, which \
                                 conflict.";
    type Answer = PigmentLoading;
    fn answer(&self) -> Result<PigmentLoading> {
        pigment::loading(self.paste, self.carrier, self.data_sheet_limit)
    }
}

/// A dose on every basis, for an amount of resin.
#[derive(Debug, Clone, Noun)]
pub struct AskDose {
    /// The dose with its basis.
    pub dose: Dose,
    /// Resin by mass; this or `resin_volume`.
    pub resin_mass: Option<Mass>,
    /// Resin by volume; this or `resin_mass`.
    pub resin_volume: Option<Volume>,
    /// Density of the resin.
    pub resin_density: MassDensity,
    /// Density of what is dosed.
    pub dose_density: MassDensity,
    /// The dropper, for a dose in drops or to be told in drops.
    pub dropper: Option<Dropper>,
    /// Least dose that is right, to catch a slip of a factor of ten.
    pub lowest: Option<Phr>,
    /// Most dose that is right.
    pub highest: Option<Phr>,
}

/// A dose on every basis.
#[derive(Debug, Clone, Noun)]
pub struct DoseAnswer {
    /// Resin by mass.
    pub resin_mass: Mass,
    /// Mass of what is dosed; for a dose in drops with the dropper's uncertainty.
    pub mass: Estimate<Mass>,
    /// Its volume.
    pub volume: Volume,
    /// Drops, where a dropper is given; to be rounded.
    pub drops: Option<f64>,
    /// By mass on resin.
    pub by_mass: Phr,
    /// By volume on resin.
    pub by_volume: PartsByVolume,
    /// By volume on mass of resin.
    pub volume_per_mass: SpecificVolume,
    /// What stands out: outside the window, and what was probably meant.
    pub finding: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Question for AskDose {
    const NAME: &'static str = "mix.dose";
    const ABOUT: &'static str =
        "A dose turned into mass, volume and drops for an amount of resin, and told on every basis.";
    type Answer = DoseAnswer;
    fn answer(&self) -> Result<DoseAnswer> {
        let rho_r = positive("resin_density", self.resin_density)?;
        let resin = match (self.resin_mass, self.resin_volume) {
            (Some(m), None) => positive("resin_mass", m)?,
            (None, Some(v)) => positive("resin_volume", v)? * rho_r,
            _ => {
                return Err(Error::inconsistent(
                    "resin_mass",
                    "none or both of mass and volume",
                    "one of 'resin_mass' and 'resin_volume'",
                    "give how much resin there is, for example '250 g' or '8 fl oz'",
                ));
            }
        };
        let resin_mass = Mass::from_si(resin)?;
        let dropper = self.dropper.as_ref();
        let mass = self
            .dose
            .mass_for(resin_mass, self.resin_density, self.dose_density, dropper)?;
        let volume = Volume::from_si(mass.si() / positive("dose_density", self.dose_density)?)?;
        let by_mass = self.dose.as_phr(self.resin_density, self.dose_density, dropper)?;
        let drops = dropper.map(|d| d.drops_for(volume)).transpose()?;
        let estimate = match (self.dose, dropper, drops) {
            (Dose::Drops(_), Some(d), Some(n)) if n > 0.0 => {
                Estimate::log_normal(mass, d.relative_uncertainty(n))?
            }
            _ => Estimate::exact(mass)?,
        };
        let finding = match (self.lowest, self.highest) {
            (Some(low), Some(high)) => window_finding(by_mass, low, high),
            _ => None,
        };
        let mut from = vec![
            Why::given("dose as given", self.dose.to_string()),
            Why::given("resin", quantity::show(resin_mass)),
            Why::given("density of the resin", quantity::show(self.resin_density)),
            Why::given("density of what is dosed", quantity::show(self.dose_density)),
        ];
        from.extend(dropper.map(Dropper::why));
        Ok(DoseAnswer {
            resin_mass,
            mass: estimate,
            volume,
            drops,
            by_mass,
            by_volume: self
                .dose
                .as_parts_by_volume(self.resin_density, self.dose_density, dropper)?,
            volume_per_mass: self
                .dose
                .as_volume_per_mass(self.resin_density, self.dose_density, dropper)?,
            finding,
            why: Why::computed(
                "mass of the dose",
                quantity::show(mass),
                match self.dose {
                    Dose::ByMass(_) => "m p/100",
                    Dose::ByVolume(_) => "m q rho_d/rho_r",
                    Dose::VolumePerMass(_) => "m s rho_d",
                    Dose::Drops(_) => "(m/rho_r) n v rho_d",
                },
                from,
            ),
            cautions: peroxide::cautions(),
        })
    }
}

fn window_finding(dose: Phr, low: Phr, high: Phr) -> Option<String> {
    if (low.get()..=high.get()).contains(&dose.get()) {
        return None;
    }
    let window = format!("{} to {}", quantity::show(low), quantity::show(high));
    Some(match peroxide::suspected_slip(dose, low, high) {
        Some(meant) => format!(
            "{} is outside {window}; a slip of a factor of ten? {} lies inside: check the dose and the amount of resin",
            quantity::show(dose),
            quantity::show(meant)
        ),
        None => format!("{} is outside {window}", quantity::show(dose)),
    })
}

/// A dropper from its calibration.
#[derive(Debug, Clone, Noun)]
pub struct AskDropperFromCalibration {
    /// The weighing of its drops.
    pub calibration: Calibration,
}

/// A dropper.
#[derive(Debug, Clone, Noun)]
pub struct DropperAnswer {
    /// The dropper, to be put into a bench.
    pub dropper: Dropper,
    /// Volume of one drop.
    pub drop_volume: Estimate<Volume>,
    /// Mass of one drop of the liquid it was calibrated with.
    pub drop_mass: Mass,
    /// Drops to a millilitre.
    pub drops_per_ml: f64,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskDropperFromCalibration {
    const NAME: &'static str = "mix.dropper_from_calibration";
    const ABOUT: &'static str = "A dropper's drop volume, with its uncertainty, from N drops that weigh M.";
    type Answer = DropperAnswer;
    fn answer(&self) -> Result<DropperAnswer> {
        let dropper = Dropper::from_calibration(&self.calibration).map_err(|e| e.within("calibration"))?;
        Ok(DropperAnswer {
            drop_volume: Estimate::log_normal(dropper.drop_volume, dropper.mean_uncertainty.get())?,
            drop_mass: dropper.drop_volume * self.calibration.density,
            drops_per_ml: 1e-6 / dropper.drop_volume.si(),
            why: Why::computed(
                "volume of one drop",
                quantity::show(dropper.drop_volume),
                "v = M/(N rho)",
                vec![
                    Why::given("drops weighed, N", self.calibration.drops.to_string()),
                    Why::given("their mass, M", quantity::show(self.calibration.mass)),
                    Why::given(
                        "density of the liquid, rho",
                        quantity::show(self.calibration.density),
                    ),
                ],
            )
            .with_source(&dropper.source),
            dropper,
        })
    }
}

/// The mass of a drop.
#[derive(Debug, Clone, Noun)]
pub struct AskDropMass {
    /// Outer radius of the wetted tip.
    pub tip_radius: Length,
    /// Surface tension of the liquid.
    pub surface_tension: SurfaceTension,
    /// Density of the liquid.
    pub density: MassDensity,
}

impl Question for AskDropMass {
    const NAME: &'static str = "mix.drop_mass";
    const ABOUT: &'static str = "Mass of a drop from the tip it falls from and the liquid's surface tension (Tate's law with the Harkins-Brown \
                                 correction).";
    type Answer = drops::Drop;
    fn answer(&self) -> Result<drops::Drop> {
        drops::drop_mass(self.tip_radius, self.surface_tension, self.density)
    }
}

fn density_spread(given: Option<RelativeSpread>) -> Result<RelativeSpread> {
    given.map_or_else(|| RelativeSpread::new(dosing::DENSITY_UNCERTAINTY), Ok)
}

/// How sure a dose is on a bench.
#[derive(Debug, Clone, Noun)]
pub struct AskDoseUncertainty {
    /// The dose by mass on resin.
    pub dose: Phr,
    /// Resin.
    pub resin: Mass,
    /// Density of what is dosed.
    pub dose_density: MassDensity,
    /// Relative standard uncertainty of that density; 1 % if not given.
    pub density_uncertainty: Option<RelativeSpread>,
    /// What it is measured with.
    pub bench: Bench,
    /// Samples of a Monte Carlo run beside the first order; none if not given.
    pub samples: Option<u32>,
    /// Seed of that run.
    #[noun(default)]
    pub seed: u64,
}

/// How sure a dose is on a bench.
#[derive(Debug, Clone, Noun)]
pub struct DoseUncertaintyAnswer {
    /// The bench's ways of measuring, the surest first.
    pub ways: Vec<Dosed>,
    /// What to do.
    pub advice: String,
    /// The chain behind the first.
    pub why: Why,
}

impl Question for AskDoseUncertainty {
    const NAME: &'static str = "mix.dose_uncertainty";
    const ABOUT: &'static str = "How a dose comes out weighed, with the syringe or in drops, by first order and by sampling, and which to use.";
    type Answer = DoseUncertaintyAnswer;
    fn answer(&self) -> Result<DoseUncertaintyAnswer> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for AskDoseUncertainty {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<DoseUncertaintyAnswer> {
        let dosing = Dosing {
            dose: self.dose,
            dose_density: self.dose_density,
            density_uncertainty: density_spread(self.density_uncertainty)?,
            bench: &self.bench,
        };
        cancel.check()?;
        let mut ways = dosing.compared(self.resin)?;
        if let Some(samples) = self.samples {
            for way in &mut ways {
                let s = dosing.sampled(self.resin, way.by, samples, self.seed, cancel)?;
                let [low, _, high] = s.percentiles;
                way.sampled = Some(Estimate::with_interval(
                    Phr::new(s.mean.max(0.0))?,
                    s.standard_deviation,
                    low,
                    high,
                )?);
            }
        }
        let best = ways.first().ok_or_else(|| {
            Error::inconsistent("bench", "no instrument", "at least a scale", "give a scale")
        })?;
        Ok(DoseUncertaintyAnswer {
            advice: dosing::advice(&ways),
            why: dosing::why(&dosing, self.resin, best),
            ways,
        })
    }
}

/// The smallest batch that a bench doses within a tolerance.
#[derive(Debug, Clone, Noun)]
pub struct AskSmallestBatch {
    /// The dose by mass on resin.
    pub dose: Phr,
    /// How far off it may be, at 95 %.
    pub tolerance: RelativeSpread,
    /// Density of what is dosed.
    pub dose_density: MassDensity,
    /// Relative standard uncertainty of that density; 1 % if not given.
    pub density_uncertainty: Option<RelativeSpread>,
    /// What it is measured with.
    pub bench: Bench,
}

/// The smallest batch that a bench doses within a tolerance.
#[derive(Debug, Clone, Noun)]
pub struct SmallestBatchAnswer {
    /// The least resin of all ways; none if the bench can not do it.
    pub resin: Option<Mass>,
    /// Each way of measuring.
    pub ways: Vec<SmallestBatch>,
    /// In words.
    pub advice: String,
    /// The chain behind it.
    pub why: Why,
}

impl Question for AskSmallestBatch {
    const NAME: &'static str = "mix.smallest_batch";
    const ABOUT: &'static str =
        "The smallest batch that this bench doses within a tolerance, by each way of measuring.";
    type Answer = SmallestBatchAnswer;
    fn answer(&self) -> Result<SmallestBatchAnswer> {
        let dosing = Dosing {
            dose: self.dose,
            dose_density: self.dose_density,
            density_uncertainty: density_spread(self.density_uncertainty)?,
            bench: &self.bench,
        };
        let mut ways = dosing.smallest_batches(self.tolerance)?;
        let order = |w: &SmallestBatch| w.resin.map_or(f64::INFINITY, |m| m.si());
        ways.sort_by(|a, b| order(a).total_cmp(&order(b)));
        let resin = ways.first().and_then(|w| w.resin);
        let advice = match (resin, ways.first()) {
            (Some(_), Some(best)) => best.says.clone(),
            _ => "this bench doses no batch that well: calibrate the dropper or get a finer scale".into(),
        };
        Ok(SmallestBatchAnswer {
            why: Why::computed(
                "least resin",
                resin.map_or_else(|| "none".to_owned(), quantity::show),
                "1.96 u(m) = tolerance",
                vec![
                    Why::given("dose on resin", quantity::show(self.dose)),
                    Why::given("tolerance at 95 %", quantity::show(self.tolerance)),
                    Why::given(
                        "scale, display step",
                        quantity::show(self.bench.scale.readability),
                    ),
                ],
            ),
            resin,
            ways,
            advice,
        })
    }
}

/// The largest batch from what is left.
#[derive(Debug, Clone, Noun)]
pub struct AskLargestBatch {
    /// What is left of each part, and how much of it the mix takes; the resin with 100 phr.
    pub parts: Vec<Left>,
}

impl Question for AskLargestBatch {
    const NAME: &'static str = "mix.largest_batch";
    const ABOUT: &'static str = "The largest batch that what is left in the tins allows, and what limits it.";
    type Answer = LargestBatch;
    fn answer(&self) -> Result<LargestBatch> {
        rescue::largest_batch(&self.parts)
    }
}

/// A cup that may have got the wrong amount.
#[derive(Debug, Clone, Noun)]
pub struct AskRescue {
    /// The cup.
    pub cup: Cup,
}

impl Question for AskRescue {
    const NAME: &'static str = "mix.rescue";
    const ABOUT: &'static str = "What to add to a cup that got the wrong amount, or why it cannot be saved.";
    type Answer = Rescue;
    fn answer(&self) -> Result<Rescue> {
        rescue::rescue(&self.cup).map_err(|e| e.within("cup"))
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[
    entry::<AskDose>(),
    entry::<AskEpoxyRatio>(),
    entry::<AskPolyurethaneRatio>(),
    entry::<AskActiveOxygen>(),
    entry::<AskPeroxideEquivalent>(),
    entry::<AskMixingOrder>(),
    entry::<AskFilledDensity>(),
    entry::<AskFillerPacking>(),
    entry::<AskWetOut>(),
    entry::<AskCatalystWithFiller>(),
    entry::<AskEntrainedAir>(),
    entry::<AskPigmentLoading>(),
    entry::<AskDropMass>(),
    entry::<AskDropperFromCalibration>(),
    long_entry::<AskDoseUncertainty>(),
    entry::<AskSmallestBatch>(),
    entry::<AskLargestBatch>(),
    entry::<AskRescue>(),
];
