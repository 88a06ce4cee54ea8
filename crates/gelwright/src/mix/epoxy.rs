//! Epoxy: how much hardener, by mass and by volume, from the equivalents on two data sheets.

use super::stoichiometry::{self, LiquidDensity, SidePart};
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{
    self, Index, MassDensity, MolarMass, PartsByVolume, Phr, Quantity, ThermodynamicTemperature,
};
use crate::source::{Source, Standing, Why};

/// How far from the exact ratio a mix may be, as amine hydrogens to epoxide groups.
#[derive(Clone, PartialEq, Noun)]
pub struct OffsetWindow {
    /// Lowest ratio of amine hydrogens to epoxide groups.
    #[noun(within(> 0, 1, "write the lowest ratio of amine hydrogens to epoxide groups, for example '0.95'"))]
    pub low: Index,
    /// Highest.
    #[noun(within(
        1,
        3,
        "write the highest ratio of amine hydrogens to epoxide groups, for example '1.05'"
    ))]
    pub high: Index,
    /// Where it comes from.
    pub source: Source,
}

impl Default for OffsetWindow {
    /// 0.95 to 1.05: common practice, no source. The product's data sheet wins.
    fn default() -> Self {
        let index = |x| Index::new(x).unwrap_or(Index::ONE);
        OffsetWindow {
            low: index(0.95),
            high: index(1.05),
            source: Source::of(
                Standing::CommonPractice,
                "a room-temperature epoxy is mixed within 5 % of its ratio",
            ),
        }
    }
}

impl OffsetWindow {
    /// Whether a ratio of amine hydrogens to epoxide groups is inside.
    pub fn holds(&self, ratio: f64) -> bool {
        // A ratio read back from masses is inexact in its last figures.
        const ROUNDING: f64 = 1e-9;
        (self.low.get() - ROUNDING..=self.high.get() + ROUNDING).contains(&ratio)
    }
}

/// An epoxy as its data sheets describe it, and how it is to be mixed.
#[derive(Clone, PartialEq, Noun)]
pub struct EpoxySystem {
    /// The resin side: resins, diluents, fillers; equivalent masses per epoxide group.
    pub resin: Vec<SidePart>,
    /// The hardener side; equivalent masses per active hydrogen.
    pub hardener: Vec<SidePart>,
    /// Amine hydrogens to epoxide groups wanted; 1 is exact, above 1 is hardener in excess.
    #[noun(default = "1", within(> 0, 3, "1 is as many amine hydrogens as epoxide groups; write '0.95' for 5 % too little hardener"))]
    pub stoichiometric_ratio: Index,
    /// How far off the data sheet allows; left out, common practice.
    #[noun(default)]
    pub window: OffsetWindow,
    /// Densities of both sides, for the ratio by volume.
    pub densities: Option<EpoxyDensities>,
    /// The data sheet's ratio by mass, to be checked.
    pub sheet_by_mass: Option<Phr>,
    /// The data sheet's ratio by volume ("100 vol% on resin" for 1:1), to be checked through the densities.
    pub sheet_by_volume: Option<PartsByVolume>,
}

/// Densities of the two sides of an epoxy.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct EpoxyDensities {
    /// Of the resin side.
    pub resin: LiquidDensity,
    /// Of the hardener side.
    pub hardener: LiquidDensity,
    /// Temperature at which both are measured out.
    #[noun(default = "23 degC")]
    pub temperature: ThermodynamicTemperature,
}

/// The ratio of an epoxy system.
#[derive(Clone, PartialEq, Noun)]
pub struct EpoxyRatio {
    /// Mass of the resin side per epoxide group, as mixed (EEW).
    pub epoxide_equivalent_mass: MolarMass,
    /// Mass of the hardener side per active hydrogen (AHEW).
    pub amine_hydrogen_equivalent_mass: MolarMass,
    /// Hardener side on the whole resin side.
    pub hardener: Phr,
    /// Least hardener inside the window.
    pub lowest: Phr,
    /// Most hardener inside the window.
    pub highest: Phr,
    /// The window and its source.
    pub window: OffsetWindow,
    /// Hardener side on the resin side by volume, where the densities are given.
    pub hardener_by_volume: Option<PartsByVolume>,
    /// The sheet's ratio by mass against the equivalents.
    pub sheet_by_mass: Option<SheetCheck>,
    /// The sheet's ratio by volume against the equivalents.
    pub sheet_by_volume: Option<SheetCheck>,
    /// What lies outside a fitted range.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
    /// Cautions.
    pub cautions: Vec<String>,
}

#[questions]
impl EpoxySystem {
    /// Hardener for an epoxy from the equivalent masses of blended, filled or diluted sides, by mass and volume, and a
    /// data sheet's ratio held against it.
    ///
    /// `phr = 100 r AHEW/EEW`: `AHEW` is the hardener's mass per active hydrogen, `EEW` the resin's mass per epoxide group
    /// (of the resin *as mixed*, filled and diluted), `r` the wanted ratio of amine hydrogens to epoxide groups. A sheet's
    /// ratio has `r = (phr/100) EEW/AHEW`, from volumes through both densities.
    ///
    /// Source: any epoxy handbook, e.g. H. Lee, K. Neville, Handbook of Epoxy Resins (1967), chapter on curing agents.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a side with no reactive part, and for a ratio by
    /// volume without densities.
    #[question("mix.epoxy_ratio")]
    pub fn ratio(&self) -> Result<EpoxyRatio> {
        crate::noun::check(self)?;
        let eew = stoichiometry::equivalent_mass(&self.resin).map_err(|e| e.within("resin"))?;
        let ahew = stoichiometry::equivalent_mass(&self.hardener).map_err(|e| e.within("hardener"))?;
        let at = |r: Index| Phr::new(100.0 * r.get() * ahew.si() / eew.si());
        let (hardener, exact) = (at(self.stoichiometric_ratio)?, at(Index::ONE)?);
        let both = self
            .densities
            .as_ref()
            .map(EpoxyDensities::at_temperature)
            .transpose();
        let both = both.map_err(|e| e.within("densities"))?;
        let mut ratio = EpoxyRatio {
            epoxide_equivalent_mass: eew,
            amine_hydrogen_equivalent_mass: ahew,
            hardener,
            lowest: Phr::new(exact.get() * self.window.low.get())?,
            highest: Phr::new(exact.get() * self.window.high.get())?,
            window: self.window.clone(),
            hardener_by_volume: match &both {
                Some((a, b, _)) => Some(stoichiometry::by_volume(hardener, *a, *b)?),
                None => None,
            },
            sheet_by_mass: None,
            sheet_by_volume: None,
            extrapolated: both.as_ref().and_then(|(.., note)| note.clone()),
            why: self.why(hardener, ahew, eew),
            cautions: cautions(),
        };
        ratio.sheet_by_mass = match self.sheet_by_mass {
            Some(p) => Some(ratio.hold(p, exact)?),
            None => None,
        };
        ratio.sheet_by_volume = match (self.sheet_by_volume, &both) {
            (None, _) => None,
            (Some(q), Some((a, b, _))) => Some(ratio.hold(stoichiometry::by_mass(q, *a, *b)?, exact)?),
            (Some(q), None) => {
                return Err(Error::inconsistent(
                    "sheet_by_volume",
                    quantity::show(q),
                    "'densities' beside it",
                    "a ratio by volume is checked through both densities: give them from the data sheets",
                ));
            }
        };
        Ok(ratio)
    }
}

impl EpoxySystem {
    /// Mixed exactly, held against common practice, by mass.
    pub fn new(resin: Vec<SidePart>, hardener: Vec<SidePart>) -> Self {
        EpoxySystem {
            resin,
            hardener,
            stoichiometric_ratio: Index::ONE,
            window: OffsetWindow::default(),
            densities: None,
            sheet_by_mass: None,
            sheet_by_volume: None,
        }
    }

    fn why(&self, hardener: Phr, ahew: MolarMass, eew: MolarMass) -> Why {
        let blend = |what: &str, value: MolarMass, parts: &[SidePart]| {
            Why::computed(
                what,
                quantity::show(value),
                "E = sum(m_i)/sum(m_i/E_i)",
                parts.iter().map(why_part).collect(),
            )
        };
        Why::computed(
            "hardener on resin",
            quantity::show(hardener),
            "phr = 100 r AHEW/EEW",
            vec![
                Why::given(
                    "amine hydrogens to epoxide groups, r",
                    quantity::show(self.stoichiometric_ratio),
                ),
                blend(
                    "mass of hardener side per active hydrogen, AHEW",
                    ahew,
                    &self.hardener,
                ),
                blend("mass of resin side per epoxide group, EEW", eew, &self.resin),
            ],
        )
        .with_source(&handbook())
    }
}

impl EpoxyDensities {
    /// Both at the temperature, with what is extrapolated.
    fn at_temperature(&self) -> Result<(MassDensity, MassDensity, Option<String>)> {
        stoichiometry::both_at(
            ("resin", &self.resin),
            ("hardener", &self.hardener),
            self.temperature,
        )
    }
}

impl EpoxyRatio {
    /// A data sheet's ratio by mass held against the equivalents, which ask for `exact`.
    fn hold(&self, phr: Phr, exact: Phr) -> Result<SheetCheck> {
        let (a, e) = (
            self.amine_hydrogen_equivalent_mass.si(),
            self.epoxide_equivalent_mass.si(),
        );
        let ratio = Index::new(phr.per_resin() * e / a)?;
        let inside = self.window.holds(ratio.get());
        let off = 100.0 * (ratio.get() - 1.0);
        let says = if inside {
            format!(
                "{} is within the window of {} to {}",
                quantity::show(phr),
                quantity::show(self.lowest),
                quantity::show(self.highest)
            )
        } else {
            let (way, left) = if off > 0.0 {
                (
                    "more",
                    "amine is left over: greasy surface, water uptake, softness",
                )
            } else {
                ("less", "epoxide is left over: tacky, under-cured")
            };
            format!(
                "{} is {:.0} % {way} hardener than the equivalents ask for ({}); {left}. Check the equivalent masses \
                 and densities on both sheets; where the sheet states this ratio for this pair, it wins",
                quantity::show(phr),
                off.abs(),
                quantity::show(exact)
            )
        };
        Ok(SheetCheck {
            hardener: phr,
            stoichiometric_ratio: ratio,
            inside_window: inside,
            says,
        })
    }
}

/// The cautions that go with every epoxy mix.
fn cautions() -> Vec<String> {
    vec![
        "epoxy resins and amine hardeners sensitise the skin, and hardeners burn it: gloves, goggles, and no solvent on \
         the skin"
            .into(),
        "a deep cup of mixed epoxy heats itself: mix what can be poured at once, pour it thin".into(),
        "the product's data sheet and safety data sheet, local codes and licensed practice come before this answer"
            .into(),
    ]
}

/// A data sheet's ratio against the stoichiometry.
#[derive(Clone, PartialEq, Noun)]
pub struct SheetCheck {
    /// The sheet's ratio by mass.
    pub hardener: Phr,
    /// Amine hydrogens to epoxide groups at that ratio; 1 is exact.
    pub stoichiometric_ratio: Index,
    /// Whether that is inside the window.
    pub inside_window: bool,
    /// The finding in words.
    pub says: String,
}

fn why_part(part: &SidePart) -> Why {
    let name = if part.name.is_empty() { "part" } else { &part.name };
    Why::given(
        name,
        match part.equivalent_mass {
            Some(e) => format!("{} at {}", quantity::show(part.mass), quantity::show(e)),
            None => format!("{}, does not react", quantity::show(part.mass)),
        },
    )
}

fn handbook() -> Source {
    Source {
        author: "H. Lee, K. Neville".into(),
        title: "Handbook of Epoxy Resins".into(),
        year: Some(1967),
        locator: "stoichiometry of amine curing agents".into(),
        standing: Standing::FromMemory,
    }
}
