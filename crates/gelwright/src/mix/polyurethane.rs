//! Polyurethane: how much isocyanate, counting the water that polyol and fillers bring along, and how much that
//! water foams.

use crate::noun::Noun;

use super::stoichiometry::{self, OXYGEN};
use crate::check::{not_negative, positive};
use crate::error::{Error, Result, finite};
use crate::quantity::{
    self, HydroxylNumber, Index, Mass, MassFraction, MolarMass, Phr, Pressure, Quantity, RelativeAmount,
    ThermodynamicTemperature, Volume,
};
use crate::source::{Source, Standing, Why};

/// The two molar masses behind the trade's constants 56 100 and 4 200.
///
/// Guides print 4 200 or 4 202 and 56 100 for `100 x 42.0 g/mol` and `1000 x 56.1 g/mol`; the molar masses themselves
/// are 42.017 and 56.105 g/mol. The choice moves an answer by 0.05 %.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Constants {
    /// Molar mass of potassium hydroxide.
    pub potassium_hydroxide: MolarMass,
    /// Molar mass of the isocyanate group NCO.
    pub isocyanate_group: MolarMass,
}

impl Default for Constants {
    /// The trade's: 56.1 and 42.0 g/mol (56 100 and 4 200).
    fn default() -> Self {
        let grams = |g: f64| MolarMass::new::<uom::si::molar_mass::gram_per_mole>(g);
        Constants {
            potassium_hydroxide: grams(56.1),
            isocyanate_group: grams(42.0),
        }
    }
}

/// Molar mass of water and of carbon dioxide in g/mol.
const WATER: f64 = 2.0 * 1.008 + OXYGEN;
const CARBON_DIOXIDE: f64 = 12.011 + 2.0 * OXYGEN;
/// Molar gas constant in J/(mol K): exact in the SI since 2019.
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Mass of a polyol per hydroxyl group: `E = 1000 M_KOH/OH`, with the hydroxyl number `OH` in mg KOH per gram (the
/// trade's 56 100/OH).
///
/// Source: Guide to Urethane Calculations (a raw material maker's guide, 2001), p. 1.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a hydroxyl number of zero.
pub fn polyol_equivalent_mass(oh: HydroxylNumber, constants: &Constants) -> Result<MolarMass> {
    let oh = positive("hydroxyl_number", oh)?;
    let koh = positive("potassium_hydroxide", constants.potassium_hydroxide)?;
    MolarMass::from_si(1e3 * koh / oh)
}

/// Hydroxyl number of a polyol of the given mass per hydroxyl group: `OH = 1000 M_KOH/E`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an equivalent mass that is not above zero.
pub fn hydroxyl_number(equivalent_mass: MolarMass, constants: &Constants) -> Result<HydroxylNumber> {
    let e = positive("equivalent_mass", equivalent_mass)?;
    HydroxylNumber::new(1e3 * positive("potassium_hydroxide", constants.potassium_hydroxide)? / e)
}

/// Mass of an isocyanate per NCO group: `E = M_NCO/w_NCO`, with its NCO content as a mass fraction (the trade's
/// 4 200/%NCO).
///
/// Source: as [`polyol_equivalent_mass`].
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for no NCO, or for more than the 50 wt% that the smallest
/// diisocyanates hold.
pub fn isocyanate_equivalent_mass(nco: MassFraction, constants: &Constants) -> Result<MolarMass> {
    /// Hexamethylene diisocyanate and toluene diisocyanate hold 50 and 48 wt%; nothing a shop pours holds more.
    const MOST: f64 = 0.505;
    let w = positive("nco_content", nco)?;
    if w > MOST {
        return Err(Error::out_of_range(
            "nco_content",
            quantity::show(nco),
            "above 0 wt%, 50 wt% at most",
            "give the NCO content of the isocyanate part from its data sheet, for example '23 wt%'",
        ));
    }
    MolarMass::from_si(positive("isocyanate_group", constants.isocyanate_group)? / w)
}

/// Mass of water per NCO group that it uses up: half its molar mass, since `H2O + 2 NCO -> urea + CO2`.
pub fn water_equivalent_mass() -> MolarMass {
    MolarMass::new::<uom::si::molar_mass::gram_per_mole>(0.5 * WATER)
}

/// A part of the polyol side.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct PolyolPart {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it, its water included.
    pub mass: Mass,
    /// Hydroxyl number from the data sheet; none for a filler, pigment or plasticiser.
    pub hydroxyl_number: Option<HydroxylNumber>,
    /// Water it has taken up, over its own mass; none if dry.
    pub water: Option<MassFraction>,
}

/// A polyurethane as its data sheets and its moisture describe it.
#[derive(Debug, Clone, PartialEq)]
pub struct PolyurethaneSystem {
    /// The polyol side, with fillers and pigments.
    pub polyol: Vec<PolyolPart>,
    /// NCO content of the isocyanate side.
    pub nco_content: MassFraction,
    /// The constants behind the equivalent masses.
    pub constants: Constants,
}

/// The ratio of a polyurethane.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct PolyurethaneRatio {
    /// Mass of the polyol side per hydroxyl group, fillers and water in its mass.
    pub polyol_equivalent_mass: MolarMass,
    /// Mass of the isocyanate side per NCO group.
    pub isocyanate_equivalent_mass: MolarMass,
    /// Isocyanate side to weigh for the polyol side as given.
    pub isocyanate: Mass,
    /// Isocyanate side on polyol side, by mass.
    pub isocyanate_on_polyol: Phr,
    /// The same without counting the water: what the sheet of a dry system says.
    pub isocyanate_on_polyol_if_dry: Phr,
    /// NCO groups to hydroxyl groups and water that a mix by the dry ratio has.
    pub index_if_taken_as_dry: Index,
    /// Water in the polyol side.
    pub water: Mass,
    /// What the water turns into.
    pub foaming: Foaming,
    /// The chain behind it.
    pub why: Why,
}

/// Carbon dioxide from water in an isocyanate mix.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Foaming {
    /// Carbon dioxide released when all the water reacts.
    pub carbon_dioxide: Mass,
    /// Its volume as a gas, free to expand.
    pub gas_volume: Volume,
    /// That volume over the volume of the liquid mix: an upper bound of the growth, since some gas stays dissolved and
    /// some leaves.
    pub growth: RelativeAmount,
    /// How bad that is.
    pub risk: FoamingRisk,
}

/// How bad foaming will be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
pub enum FoamingRisk {
    /// At most 2 % gas: no bubbles that the eye would find.
    Low,
    /// Up to 20 % gas: bubbles and pinholes.
    Bubbles,
    /// More: the part foams.
    Foam,
}

impl FoamingRisk {
    fn of(growth: f64) -> Self {
        // The two bounds are choices without a source: a cast part with 2 % voids still passes for solid, and at 20 %
        // the mix visibly rises.
        if growth <= 0.02 {
            FoamingRisk::Low
        } else if growth <= 0.20 {
            FoamingRisk::Bubbles
        } else {
            FoamingRisk::Foam
        }
    }
}

/// Carbon dioxide from `water` in a mix of `mix_volume`: mass `m M_CO2/M_H2O` (2.443 g per gram of water), gas volume
/// `n R T/p`.
///
/// An ideal gas, all water reacted, none of it dissolved: an upper bound.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a negative mass, or a volume, pressure or temperature
/// that is not above zero.
pub fn foaming(
    water: Mass,
    mix_volume: Volume,
    temperature: ThermodynamicTemperature,
    pressure: Pressure,
) -> Result<Foaming> {
    let m = not_negative("water", water)?;
    let v = positive("mix_volume", mix_volume)?;
    let t = positive("temperature", temperature)?;
    let p = positive("pressure", pressure)?;
    let moles = m / (WATER * 1e-3);
    let gas = moles * GAS_CONSTANT * t / p;
    let growth = finite("growth", gas / v)?;
    Ok(Foaming {
        carbon_dioxide: Mass::from_si(moles * CARBON_DIOXIDE * 1e-3)?,
        gas_volume: Volume::from_si(gas)?,
        growth: RelativeAmount::new(growth)?,
        risk: FoamingRisk::of(growth),
    })
}

/// Where and how the mix is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Density of the liquid mix, for its volume.
    pub mix_density: crate::quantity::MassDensity,
    /// Temperature of the mix.
    pub temperature: ThermodynamicTemperature,
    /// Air pressure.
    pub pressure: Pressure,
}

impl PolyurethaneSystem {
    /// Equivalents of hydroxyl, of water, the mass of the side and its water.
    fn counts(&self) -> Result<(f64, f64, f64, f64)> {
        let (mut hydroxyl, mut mass, mut water) = (0.0, 0.0, 0.0);
        for (i, part) in self.polyol.iter().enumerate() {
            let at = |e: Error| e.within(format!("polyol[{i}]"));
            let m = not_negative("mass", part.mass).map_err(at)?;
            let wet = part.water.map_or(0.0, MassFraction::get);
            mass += m;
            water += m * wet;
            if let Some(oh) = part.hydroxyl_number {
                hydroxyl += m / polyol_equivalent_mass(oh, &self.constants).map_err(at)?.si();
            }
        }
        if hydroxyl <= 0.0 {
            return Err(Error::inconsistent(
                "polyol",
                "no part with hydroxyl groups",
                "at least one part with a mass above zero and a 'hydroxyl_number'",
                "give the polyol's hydroxyl number from its data sheet, for example '122 mg KOH/g'",
            ));
        }
        Ok((hydroxyl, water / water_equivalent_mass().si(), mass, water))
    }

    /// The isocyanate for the polyol side as given, at an isocyanate `index` (NCO groups per hydroxyl group and per
    /// half water molecule; 1.05 is 5 % in excess).
    ///
    /// `m_iso = index E_iso (sum(m_i/E_i) + m_water/9.008 g)`: water counts and the index multiplies the sum.
    /// Range of the index: above 0, up to 5.
    ///
    /// Source of the form: Polyurethane Manufacturers Association, Virtual Technical Library, section 5.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an input outside its range,
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a polyol side without hydroxyl groups.
    pub fn ratio(&self, index: Index, around: &Surroundings) -> Result<PolyurethaneRatio> {
        let i = finite("index", index.get())?;
        if !(i > 0.0 && i <= 5.0) {
            return Err(Error::out_of_range(
                "index",
                quantity::show(index),
                "above 0, up to 5",
                "an index of 1.05 is 5 % more isocyanate than the groups ask for; 105 is written '1.05'",
            ));
        }
        let (hydroxyl, from_water, polyol_mass, water) = self.counts()?;
        let e_iso = isocyanate_equivalent_mass(self.nco_content, &self.constants)?;
        let iso = i * e_iso.si() * (hydroxyl + from_water);
        let dry = i * e_iso.si() * hydroxyl;
        let density = positive("mix_density", around.mix_density)?;
        let volume = Volume::from_si((polyol_mass + iso) / density)?;
        let foaming = foaming(Mass::from_si(water)?, volume, around.temperature, around.pressure)?;
        let isocyanate = Mass::from_si(iso)?;
        let why = Why::computed(
            "isocyanate side",
            quantity::show(isocyanate),
            "m = index E_iso (sum(m_i/E_i) + m_water/E_water)",
            vec![
                Why::given("isocyanate index", quantity::show(index)),
                Why::computed(
                    "mass of isocyanate side per NCO group, E_iso",
                    quantity::show(e_iso),
                    "E = M_NCO/w_NCO",
                    vec![
                        Why::given("NCO content", quantity::show(self.nco_content)),
                        Why::given(
                            "molar mass of NCO (4 200/100 in the trade's constant)",
                            quantity::show(self.constants.isocyanate_group),
                        ),
                    ],
                ),
                Why::computed(
                    "hydroxyl groups",
                    format!("{} mol", quantity::figures(hydroxyl)),
                    "sum(m_i OH_i)/(1000 M_KOH)",
                    vec![Why::given(
                        "molar mass of KOH (56 100/1000 in the trade's constant)",
                        quantity::show(self.constants.potassium_hydroxide),
                    )],
                ),
                Why::computed(
                    "NCO groups that water takes",
                    format!("{} mol", quantity::figures(from_water)),
                    "m_water/9.008 g",
                    vec![Why::given(
                        "water in the polyol side",
                        quantity::show(Mass::from_si(water)?),
                    )],
                ),
            ],
        )
        .with_source(&Source {
            author: "Polyurethane Manufacturers Association".into(),
            title: "Virtual Technical Library".into(),
            year: None,
            locator: "section 5".into(),
            standing: Standing::Published,
        });
        Ok(PolyurethaneRatio {
            polyol_equivalent_mass: MolarMass::from_si(polyol_mass / hydroxyl)?,
            isocyanate_equivalent_mass: e_iso,
            isocyanate,
            isocyanate_on_polyol: Phr::new(100.0 * iso / polyol_mass)?,
            isocyanate_on_polyol_if_dry: Phr::new(100.0 * dry / polyol_mass)?,
            index_if_taken_as_dry: Index::new(dry / e_iso.si() / (hydroxyl + from_water))?,
            water: Mass::from_si(water)?,
            foaming,
            why,
        })
    }

    /// The index that a mix with `isocyanate` of the isocyanate side has: `m_iso/(E_iso (n_OH + n_water))`.
    ///
    /// # Errors
    /// As [`PolyurethaneSystem::ratio`].
    pub fn index(&self, isocyanate: Mass) -> Result<Index> {
        let (hydroxyl, from_water, ..) = self.counts()?;
        let e_iso = isocyanate_equivalent_mass(self.nco_content, &self.constants)?;
        Index::new(not_negative("isocyanate", isocyanate)? / (e_iso.si() * (hydroxyl + from_water)))
    }

    /// The polyol side as parts with equivalent masses, without its water.
    ///
    /// # Errors
    /// As [`polyol_equivalent_mass`].
    pub fn polyol_parts(&self) -> Result<Vec<stoichiometry::SidePart>> {
        self.polyol
            .iter()
            .map(|p| {
                Ok(stoichiometry::SidePart {
                    name: p.name.clone(),
                    mass: p.mass,
                    equivalent_mass: p
                        .hydroxyl_number
                        .map(|oh| polyol_equivalent_mass(oh, &self.constants))
                        .transpose()?,
                })
            })
            .collect()
    }
}

/// The cautions that go with every polyurethane mix.
pub(crate) fn cautions() -> Vec<String> {
    vec![
        "isocyanates sensitise the airways and the skin: gloves, goggles, exhaust ventilation or supplied air; who is \
         sensitised once must not work with them again"
            .into(),
        "keep water and moisture out of both parts, and never close a container that water has got into: carbon \
         dioxide can burst it"
            .into(),
        "the product's data sheet and safety data sheet, local codes and licensed practice come before this answer"
            .into(),
    ]
}
