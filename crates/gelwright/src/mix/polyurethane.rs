//! Polyurethane: how much isocyanate, counting the water that polyol and fillers bring along, and how much that
//! water foams.

use super::stoichiometry::{self, LiquidDensity, OXYGEN};
use crate::check::{not_negative, positive};
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, questions};
use crate::quantity::{
    self, HydroxylNumber, Index, Mass, MassDensity, MassFraction, MolarMass, PartsByVolume, Phr, Pressure,
    Quantity, RelativeAmount, ThermodynamicTemperature, Volume,
};
use crate::source::{Source, Standing, Why};

/// The two molar masses behind the trade's constants 56 100 and 4 200.
///
/// Guides print 4 200 or 4 202 and 56 100 for `100 x 42.0 g/mol` and `1000 x 56.1 g/mol`; the molar masses themselves
/// are 42.017 and 56.105 g/mol. The choice moves an answer by 0.05 %.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct PolyurethaneConstants {
    /// Molar mass of potassium hydroxide.
    #[noun(within(> "0 g/mol", .., "write '56.1 g/mol' or '56.105 g/mol'"))]
    pub potassium_hydroxide: MolarMass,
    /// Molar mass of the isocyanate group NCO.
    #[noun(within(> "0 g/mol", .., "write '42 g/mol' or '42.017 g/mol'"))]
    pub isocyanate_group: MolarMass,
}

impl Default for PolyurethaneConstants {
    /// The trade's: 56.1 and 42.0 g/mol (56 100 and 4 200).
    fn default() -> Self {
        let grams = |g: f64| MolarMass::new::<uom::si::molar_mass::gram_per_mole>(g);
        PolyurethaneConstants {
            potassium_hydroxide: grams(56.1),
            isocyanate_group: grams(42.0),
        }
    }
}

/// Molar mass of water and of carbon dioxide in g/mol.
const WATER: f64 = 2.0 * 1.008 + OXYGEN;
const CARBON_DIOXIDE: f64 = 12.011 + 2.0 * OXYGEN;

/// Mass of a polyol per hydroxyl group: `E = 1000 M_KOH/OH`, with the hydroxyl number `OH` in mg KOH per gram (the
/// trade's 56 100/OH).
///
/// Source: Guide to Urethane Calculations (a raw material maker's guide, 2001), p. 1.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a hydroxyl number of zero.
pub fn polyol_equivalent_mass(oh: HydroxylNumber, constants: &PolyurethaneConstants) -> Result<MolarMass> {
    let oh = positive("hydroxyl_number", oh)?;
    let koh = positive("potassium_hydroxide", constants.potassium_hydroxide)?;
    MolarMass::from_si(1e3 * koh / oh)
}

/// Hydroxyl number of a polyol of the given mass per hydroxyl group: `OH = 1000 M_KOH/E`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an equivalent mass that is not above zero.
pub fn hydroxyl_number(
    equivalent_mass: MolarMass,
    constants: &PolyurethaneConstants,
) -> Result<HydroxylNumber> {
    let e = positive("equivalent_mass", equivalent_mass)?;
    HydroxylNumber::new(1e3 * positive("potassium_hydroxide", constants.potassium_hydroxide)? / e)
}

/// Mass of an isocyanate per NCO group: `E = M_NCO/w_NCO`, with its NCO content as a mass fraction (the trade's
/// 4 200/%NCO).
///
/// Source: as [`polyol_equivalent_mass`].
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for no NCO.
pub fn isocyanate_equivalent_mass(nco: MassFraction, constants: &PolyurethaneConstants) -> Result<MolarMass> {
    let w = positive("nco_content", nco)?;
    MolarMass::from_si(positive("isocyanate_group", constants.isocyanate_group)? / w)
}

/// Mass of water per NCO group that it uses up: half its molar mass, since `H2O + 2 NCO -> urea + CO2`.
pub fn water_equivalent_mass() -> MolarMass {
    MolarMass::new::<uom::si::molar_mass::gram_per_mole>(0.5 * WATER)
}

/// A part of the polyol side.
#[derive(Clone, PartialEq, Noun)]
pub struct PolyolPart {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it, its water included.
    #[noun(within("0 g", .., "write its mass in the polyol side, for example '100 g'"))]
    pub mass: Mass,
    /// Hydroxyl number from the data sheet; none for a filler, pigment or plasticiser.
    #[noun(within(> "0 mg KOH/g", .., "leave it out where the part has no hydroxyl groups, else write for example '122 mg KOH/g'"))]
    pub hydroxyl_number: Option<HydroxylNumber>,
    /// Water it has taken up, over its own mass; none if dry.
    pub water: Option<MassFraction>,
}

/// A polyurethane as its data sheets and its moisture describe it, and how it is to be mixed.
#[derive(Clone, PartialEq, Noun)]
pub struct PolyurethaneSystem {
    /// The polyol side: polyols, fillers, pigments, with the water in each.
    pub polyol: Vec<PolyolPart>,
    /// NCO content of the isocyanate side; the smallest diisocyanate, hexamethylene's, holds 50 wt%.
    #[noun(within(> "0 wt%", "50.5 wt%", "write the NCO content of the isocyanate part from its data sheet, for example '23 wt%'"))]
    pub nco_content: MassFraction,
    /// Isocyanate index: NCO groups per hydroxyl group and per half water molecule; 1 is exact, 1.05 is 5 % in excess.
    #[noun(default = "1", within(> 0, 5, "an index of 1.05 is 5 % more isocyanate than the groups ask for; 105 is written '1.05'"))]
    pub index: Index,
    /// The constants behind 56 100 and 4 200; left out, the trade's.
    #[noun(default)]
    pub constants: PolyurethaneConstants,
    /// Density of the polyol side.
    pub polyol_density: LiquidDensity,
    /// Density of the isocyanate side.
    pub isocyanate_density: LiquidDensity,
    /// Temperature of the mix.
    #[noun(default = "23 degC")]
    pub temperature: ThermodynamicTemperature,
    /// Air pressure.
    #[noun(default = "101325 Pa", within(> "0 Pa", .., "write the air pressure, for example '1013 hPa'"))]
    pub pressure: Pressure,
    /// The data sheet's ratio by volume ("100 vol% on resin" for 1:1), whose index is wanted; this or `sheet_by_mass`.
    pub sheet_by_volume: Option<PartsByVolume>,
    /// The data sheet's ratio by mass, isocyanate on polyol, whose index is wanted.
    pub sheet_by_mass: Option<Phr>,
}

/// The ratio of a polyurethane.
#[derive(Clone, PartialEq, Noun)]
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
    /// Isocyanate side on polyol side, by volume.
    pub isocyanate_by_volume: PartsByVolume,
    /// The index that the sheet's ratio gives, water counted.
    pub sheet_index: Option<Index>,
    /// The constants used.
    pub constants: PolyurethaneConstants,
    /// What lies outside a fitted range.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// Carbon dioxide from water in an isocyanate mix.
#[derive(Clone, PartialEq, Noun)]
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
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
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

/// What a polyol side holds: equivalents of hydroxyl and of water, its mass and its water.
struct Counted {
    hydroxyl: f64,
    from_water: f64,
    mass: f64,
    water: Mass,
}

#[questions]
impl PolyurethaneSystem {
    /// Isocyanate for a polyurethane from hydroxyl number and NCO content, water counted, by mass and volume, and how much
    /// that water foams.
    ///
    /// `m_iso = index E_iso (sum(m_i/E_i) + m_water/9.008 g)`: water counts and the index multiplies the sum. For the
    /// foam's share the volumes of both sides add.
    ///
    /// Source of the form: Polyurethane Manufacturers Association, Virtual Technical Library, section 5.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an input outside its range,
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a polyol side without hydroxyl groups, and for two
    /// ratios from the sheet.
    #[question("mix.polyurethane_ratio")]
    pub fn ratio(&self) -> Result<PolyurethaneRatio> {
        crate::noun::check(self)?;
        let c = self.counted()?;
        let (rho_p, rho_i, extrapolated) = stoichiometry::both_at(
            ("polyol_density", &self.polyol_density),
            ("isocyanate_density", &self.isocyanate_density),
            self.temperature,
        )?;
        let e_iso = isocyanate_equivalent_mass(self.nco_content, &self.constants)?;
        let i = self.index.get();
        let iso = i * e_iso.si() * (c.hydroxyl + c.from_water);
        let dry = i * e_iso.si() * c.hydroxyl;
        let isocyanate = Mass::from_si(iso)?;
        let on_polyol = Phr::new(100.0 * iso / c.mass)?;
        let x = on_polyol.per_resin();
        let mix_density = (1.0 + x) / (1.0 / rho_p.si() + x / rho_i.si());
        let volume = Volume::from_si((c.mass + iso) / mix_density)?;
        Ok(PolyurethaneRatio {
            polyol_equivalent_mass: MolarMass::from_si(c.mass / c.hydroxyl)?,
            isocyanate_equivalent_mass: e_iso,
            isocyanate,
            isocyanate_on_polyol: on_polyol,
            isocyanate_on_polyol_if_dry: Phr::new(100.0 * dry / c.mass)?,
            index_if_taken_as_dry: Index::new(dry / e_iso.si() / (c.hydroxyl + c.from_water))?,
            water: c.water,
            foaming: foaming(c.water, volume, self.temperature, self.pressure)?,
            isocyanate_by_volume: stoichiometry::by_volume(on_polyol, rho_p, rho_i)?,
            sheet_index: match self.sheet(rho_p, rho_i)? {
                Some(p) => Some(self.index_of(Mass::from_si(p.per_resin() * c.mass)?)?),
                None => None,
            },
            constants: self.constants,
            extrapolated,
            why: self.why(&c, e_iso, isocyanate),
            cautions: cautions(),
        })
    }
}

impl PolyurethaneSystem {
    /// What stands in the polyol side.
    fn counted(&self) -> Result<Counted> {
        let (mut hydroxyl, mut mass, mut water) = (0.0, 0.0, 0.0);
        for (i, part) in self.polyol.iter().enumerate() {
            let m = part.mass.si();
            mass += m;
            water += m * part.water.map_or(0.0, MassFraction::get);
            if let Some(oh) = part.hydroxyl_number {
                let e = polyol_equivalent_mass(oh, &self.constants)
                    .map_err(|e| e.within(format!("polyol[{i}]")))?;
                hydroxyl += m / e.si();
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
        Ok(Counted {
            hydroxyl,
            from_water: water / water_equivalent_mass().si(),
            mass,
            water: Mass::from_si(water)?,
        })
    }

    /// The sheet's ratio by mass, where one is given.
    fn sheet(&self, polyol_density: MassDensity, isocyanate_density: MassDensity) -> Result<Option<Phr>> {
        match (self.sheet_by_mass, self.sheet_by_volume) {
            (by_mass, None) => Ok(by_mass),
            (None, Some(q)) => stoichiometry::by_mass(q, polyol_density, isocyanate_density).map(Some),
            (Some(_), Some(q)) => Err(Error::inconsistent(
                "sheet_by_volume",
                quantity::show(q),
                "one of 'sheet_by_mass' and 'sheet_by_volume'",
                "ask once for each",
            )),
        }
    }

    /// The index that a mix with `isocyanate` of the isocyanate side has: `m_iso/(E_iso (n_OH + n_water))`.
    ///
    /// # Errors
    /// As [`PolyurethaneSystem::ratio`].
    pub fn index_of(&self, isocyanate: Mass) -> Result<Index> {
        crate::noun::check(self)?;
        let c = self.counted()?;
        let e_iso = isocyanate_equivalent_mass(self.nco_content, &self.constants)?;
        Index::new(not_negative("isocyanate", isocyanate)? / (e_iso.si() * (c.hydroxyl + c.from_water)))
    }

    fn why(&self, c: &Counted, e_iso: MolarMass, isocyanate: Mass) -> Why {
        Why::computed(
            "isocyanate side",
            quantity::show(isocyanate),
            "m = index E_iso (sum(m_i/E_i) + m_water/E_water)",
            vec![
                Why::given("isocyanate index", quantity::show(self.index)),
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
                    format!("{} mol", quantity::figures(c.hydroxyl)),
                    "sum(m_i OH_i)/(1000 M_KOH)",
                    vec![Why::given(
                        "molar mass of KOH (56 100/1000 in the trade's constant)",
                        quantity::show(self.constants.potassium_hydroxide),
                    )],
                ),
                Why::computed(
                    "NCO groups that water takes",
                    format!("{} mol", quantity::figures(c.from_water)),
                    "m_water/9.008 g",
                    vec![Why::given("water in the polyol side", quantity::show(c.water))],
                ),
            ],
        )
        .with_source(&Source {
            author: "Polyurethane Manufacturers Association".into(),
            title: "Virtual Technical Library".into(),
            year: None,
            locator: "section 5".into(),
            standing: Standing::Published,
        })
    }
}

/// The cautions that go with every polyurethane mix.
fn cautions() -> Vec<String> {
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
