//! Epoxy: how much hardener, by mass and by volume, from the equivalents on two data sheets.

use crate::noun::Noun;

use super::stoichiometry::{self, SidePart};
use crate::error::{Error, Result, finite};
use crate::quantity::{self, Index, MassDensity, MolarMass, PartsByVolume, Phr};
use crate::source::{Source, Standing, Why};

/// How far from the exact ratio a mix may be, as amine hydrogens to epoxide groups.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct OffsetWindow {
    /// Lowest ratio of amine hydrogens to epoxide groups.
    pub low: Index,
    /// Highest.
    pub high: Index,
    /// Where it comes from.
    pub source: Source,
}

impl OffsetWindow {
    /// 0.95 to 1.05: common practice, no source. The product's data sheet wins.
    pub fn common_practice() -> Self {
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

    fn check(&self) -> Result<(f64, f64)> {
        let (low, high) = (self.low.get(), self.high.get());
        if low > 0.0 && low <= 1.0 && (1.0..=3.0).contains(&high) {
            Ok((low, high))
        } else {
            Err(Error::out_of_range(
                "window",
                format!("{low} to {high}"),
                "low above 0 and up to 1, high 1 to 3",
                "give the lowest and highest ratio of amine hydrogens to epoxide groups, for example '0.95' and '1.05'",
            ))
        }
    }

    /// Whether a ratio of amine hydrogens to epoxide groups is inside.
    pub fn holds(&self, ratio: f64) -> bool {
        // A ratio read back from masses is inexact in its last figures.
        const ROUNDING: f64 = 1e-9;
        (self.low.get() - ROUNDING..=self.high.get() + ROUNDING).contains(&ratio)
    }
}

/// Hardener to a hundred parts of resin, by mass: `phr = 100 r AHEW/EEW`.
///
/// `AHEW` is the hardener's mass per active hydrogen, `EEW` the resin's mass per epoxide group (of the resin *as
/// mixed*, filled and diluted), `r` the wanted ratio of amine hydrogens to epoxide groups (1 is exact; above 1 is
/// hardener in excess). Range of `r`: above 0, up to 3.
///
/// Source: any epoxy handbook, e.g. H. Lee, K. Neville, Handbook of Epoxy Resins (1967), chapter on curing agents.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an equivalent mass that is not above zero or `r`
/// outside its range.
pub fn hardener_phr(
    amine_hydrogen_equivalent_mass: MolarMass,
    epoxide_equivalent_mass: MolarMass,
    ratio: Index,
) -> Result<Phr> {
    let a = crate::check::positive("amine_hydrogen_equivalent_mass", amine_hydrogen_equivalent_mass)?;
    let e = crate::check::positive("epoxide_equivalent_mass", epoxide_equivalent_mass)?;
    Phr::new(100.0 * check_ratio(ratio)? * a / e)
}

fn check_ratio(ratio: Index) -> Result<f64> {
    let r = finite("stoichiometric_ratio", ratio.get())?;
    if r > 0.0 && r <= 3.0 {
        Ok(r)
    } else {
        Err(Error::out_of_range(
            "stoichiometric_ratio",
            r,
            "above 0, up to 3",
            "1 is as many amine hydrogens as epoxide groups; write '0.95' for 5 % too little hardener",
        ))
    }
}

/// Amine hydrogens to epoxide groups of a mix of `phr` hardener to 100 of resin: `r = (phr/100) EEW/AHEW`.
///
/// # Errors
/// As [`hardener_phr`].
pub fn stoichiometric_ratio(
    phr: Phr,
    amine_hydrogen_equivalent_mass: MolarMass,
    epoxide_equivalent_mass: MolarMass,
) -> Result<Index> {
    let a = crate::check::positive("amine_hydrogen_equivalent_mass", amine_hydrogen_equivalent_mass)?;
    let e = crate::check::positive("epoxide_equivalent_mass", epoxide_equivalent_mass)?;
    Index::new(phr.per_resin() * e / a)
}

/// An epoxy system as its data sheets describe it.
#[derive(Debug, Clone, PartialEq)]
pub struct EpoxySystem {
    /// The resin side, with diluents and fillers; its equivalent masses are per epoxide group.
    pub resin: Vec<SidePart>,
    /// The hardener side; its equivalent masses are per active hydrogen.
    pub hardener: Vec<SidePart>,
    /// How far from exact the mix may be.
    pub window: OffsetWindow,
}

/// The ratio of an epoxy system.
#[derive(Debug, Clone, PartialEq, Noun)]
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
    /// The chain behind it.
    pub why: Why,
}

impl EpoxySystem {
    /// The hardener for `ratio` amine hydrogens per epoxide group.
    ///
    /// # Errors
    /// As [`stoichiometry::equivalent_mass`] (fields `resin`, `hardener`), [`hardener_phr`], and for a window that
    /// does not hold 1.
    pub fn ratio(&self, ratio: Index) -> Result<EpoxyRatio> {
        let (low, high) = self.window.check()?;
        let eew = stoichiometry::equivalent_mass(&self.resin).map_err(|e| e.within("resin"))?;
        let ahew = stoichiometry::equivalent_mass(&self.hardener).map_err(|e| e.within("hardener"))?;
        let hardener = hardener_phr(ahew, eew, ratio)?;
        let exact = hardener_phr(ahew, eew, Index::ONE)?;
        let blend = |what: &str, value: MolarMass, parts: &[SidePart]| {
            Why::computed(
                what,
                quantity::show(value),
                "E = sum(m_i)/sum(m_i/E_i)",
                parts.iter().map(why_part).collect(),
            )
        };
        let why = Why::computed(
            "hardener on resin",
            quantity::show(hardener),
            "phr = 100 r AHEW/EEW",
            vec![
                Why::given("amine hydrogens to epoxide groups, r", quantity::show(ratio)),
                blend(
                    "mass of hardener side per active hydrogen, AHEW",
                    ahew,
                    &self.hardener,
                ),
                blend("mass of resin side per epoxide group, EEW", eew, &self.resin),
            ],
        )
        .with_source(&handbook());
        Ok(EpoxyRatio {
            epoxide_equivalent_mass: eew,
            amine_hydrogen_equivalent_mass: ahew,
            hardener,
            lowest: Phr::new(exact.get() * low)?,
            highest: Phr::new(exact.get() * high)?,
            window: self.window.clone(),
            why,
        })
    }

    /// A ratio by volume from a data sheet, turned into mass and held against the equivalents.
    ///
    /// # Errors
    /// As [`EpoxySystem::ratio`] and [`stoichiometry::by_mass`].
    pub fn check_by_volume(
        &self,
        hardener_on_resin: PartsByVolume,
        resin_density: MassDensity,
        hardener_density: MassDensity,
    ) -> Result<SheetCheck> {
        let phr = stoichiometry::by_mass(hardener_on_resin, resin_density, hardener_density)?;
        self.check_by_mass(phr)
    }

    /// A ratio by mass from a data sheet held against the equivalents.
    ///
    /// # Errors
    /// As [`EpoxySystem::ratio`].
    pub fn check_by_mass(&self, phr: Phr) -> Result<SheetCheck> {
        let exact = self.ratio(Index::ONE)?;
        let ratio = stoichiometric_ratio(
            phr,
            exact.amine_hydrogen_equivalent_mass,
            exact.epoxide_equivalent_mass,
        )?;
        let inside = self.window.holds(ratio.get());
        let off = 100.0 * (ratio.get() - 1.0);
        let says = if inside {
            format!(
                "{} is within the window of {} to {}",
                quantity::show(phr),
                quantity::show(exact.lowest),
                quantity::show(exact.highest)
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
                quantity::show(exact.hardener)
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

/// A data sheet's ratio against the stoichiometry.
#[derive(Debug, Clone, PartialEq, Noun)]
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
