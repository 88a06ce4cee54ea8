//! Equivalents: what a side of a two-part system can react with, blended, filled or diluted; and the step between
//! ratios by mass and by volume.

use crate::noun::Noun;

use crate::check::positive;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{
    self, AmountOfSubstance, Mass, MassDensity, MolarMass, PartsByVolume, Phr, Quantity,
    TemperatureCoefficient, ThermodynamicTemperature, temperature,
};

/// A part of one side of a two-part system: a resin, a hardener, a diluent, a filler.
#[derive(Clone, PartialEq, Noun)]
pub struct SidePart {
    /// What it is.
    #[noun(default)]
    pub name: String,
    /// How much of it.
    #[noun(within("0 g", .., "write its mass in the side, for example '80 g'"))]
    pub mass: Mass,
    /// Its mass per reacting group ("190 g/eq"); none for what does not react (filler, plasticiser, pigment).
    #[noun(within(> "0 g/eq", .., "write the mass per reacting group from its data sheet, for example '190 g/eq'"))]
    pub equivalent_mass: Option<MolarMass>,
}

impl SidePart {
    /// A part that reacts.
    pub fn reactive(name: &str, mass: Mass, equivalent_mass: MolarMass) -> Self {
        SidePart {
            name: name.to_owned(),
            mass,
            equivalent_mass: Some(equivalent_mass),
        }
    }
    /// A part that only takes room: filler, non-reactive diluent, pigment.
    pub fn inert(name: &str, mass: Mass) -> Self {
        SidePart {
            name: name.to_owned(),
            mass,
            equivalent_mass: None,
        }
    }
}

/// Total mass and equivalents of a side.
fn totals(parts: &[SidePart]) -> Result<(f64, f64)> {
    let (mut mass, mut equivalents) = (0.0, 0.0);
    for (i, part) in parts.iter().enumerate() {
        crate::noun::check(part).map_err(|e| e.within(format!("[{i}]")))?;
        mass += part.mass.si();
        if let Some(e) = part.equivalent_mass {
            equivalents += part.mass.si() / e.si();
        }
    }
    Ok((finite("mass", mass)?, finite("equivalents", equivalents)?))
}

/// The reacting groups in a side, in moles: `n = sum(m_i/E_i)` over its reactive parts.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a negative mass or an equivalent mass that is not above zero, named by its part.
pub fn equivalents(parts: &[SidePart]) -> Result<AmountOfSubstance> {
    AmountOfSubstance::from_si(totals(parts)?.1)
}

/// The equivalent mass of a blended, filled or diluted side: `E = sum(m_i)/sum(m_i/E_i)`; parts that do not react
/// count in the mass only.
///
/// It follows from the definition of an equivalent mass; a printed example is among the published checks.
///
/// # Errors
/// As [`equivalents`]; [`ErrorKind::Inconsistent`] for a side with no reactive part.
pub fn equivalent_mass(parts: &[SidePart]) -> Result<MolarMass> {
    let (mass, equivalents) = totals(parts)?;
    if equivalents <= 0.0 {
        return Err(Error::inconsistent(
            "",
            if parts.is_empty() {
                "no parts".to_owned()
            } else {
                format!(
                    "{} of parts that do not react",
                    quantity::show(Mass::from_si(mass)?)
                )
            },
            "at least one part with a mass above zero and an 'equivalent_mass'",
            "give the part that reacts its equivalent mass from its data sheet, for example '190 g/eq'",
        ));
    }
    MolarMass::from_si(mass / equivalents)
}

/// Equivalent mass of a compound: `E = M/f`, its molar mass over the number of reacting groups (epoxide groups of a
/// resin, active hydrogens of an amine, hydroxyl groups of a polyol).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a molar mass or a number of groups that is not above zero.
pub fn equivalent_mass_of_compound(molar_mass: MolarMass, groups: f64) -> Result<MolarMass> {
    let m = positive("molar_mass", molar_mass)?;
    let f = finite("groups", groups)?;
    if f <= 0.0 {
        return Err(Error::out_of_range(
            "groups",
            f,
            "above zero",
            "count the reacting groups of one molecule (diethylenetriamine has 5 active hydrogens)",
        ));
    }
    MolarMass::from_si(m / f)
}

/// Standard atomic weights, abridged to five figures (IUPAC, Commission on Isotopic Abundances and Atomic Weights,
/// Standard Atomic Weights 2021, abridged table), in g/mol.
const ATOMIC_WEIGHTS: &[(&str, f64)] = &[
    ("H", 1.008),
    ("B", 10.81),
    ("C", 12.011),
    ("N", 14.007),
    ("O", 15.999),
    ("F", 18.998),
    ("Na", 22.990),
    ("Mg", 24.305),
    ("Al", 26.982),
    ("Si", 28.085),
    ("P", 30.974),
    ("S", 32.06),
    ("Cl", 35.45),
    ("K", 39.098),
    ("Ca", 40.078),
    ("Co", 58.933),
    ("Cu", 63.546),
    ("Zn", 65.38),
    ("Br", 79.904),
    ("Sn", 118.71),
    ("I", 126.90),
];

/// Atomic weight of oxygen in g/mol.
pub(crate) const OXYGEN: f64 = 15.999;

/// Molar mass of a compound from its formula, such as `C4H13N3`; groups in parentheses may be counted, as in
/// `Ca(OH)2`.
///
/// # Errors
/// [`ErrorKind::Unreadable`] for what is no formula, [`ErrorKind::UnknownName`] for an element that is not listed.
pub fn molar_mass_of(formula: &str) -> Result<MolarMass> {
    let text = formula.trim();
    let mut rest = text;
    let grams = group(text, &mut rest, 0)?;
    if !rest.is_empty() || grams <= 0.0 {
        return Err(unreadable(text));
    }
    MolarMass::from_si(grams * 1e-3)
}

fn unreadable(formula: &str) -> Error {
    Error::new(ErrorKind::Unreadable, "formula")
        .with_value(format_args!("'{formula}'"))
        .with_way_out("write element symbols and numbers, for example 'C14H10O4'")
}

fn group(all: &str, rest: &mut &str, depth: u32) -> Result<f64> {
    const DEEPEST: u32 = 8;
    let mut grams = 0.0;
    while let Some(c) = rest.chars().next() {
        let unit = if c == '(' {
            if depth >= DEEPEST {
                return Err(unreadable(all));
            }
            *rest = &rest[1..];
            let inner = group(all, rest, depth + 1)?;
            *rest = rest.strip_prefix(')').ok_or_else(|| unreadable(all))?;
            inner
        } else if c.is_ascii_uppercase() {
            let end = rest[1..]
                .find(|c: char| !c.is_ascii_lowercase())
                .map_or(rest.len(), |i| i + 1);
            let symbol = &rest[..end];
            *rest = &rest[end..];
            ATOMIC_WEIGHTS
                .iter()
                .find(|(s, _)| *s == symbol)
                .map(|(_, w)| *w)
                .ok_or_else(|| {
                    Error::unknown_name("formula", symbol, ATOMIC_WEIGHTS.iter().map(|(s, _)| *s))
                })?
        } else if c == ')' && depth > 0 {
            return Ok(grams);
        } else {
            return Err(unreadable(all));
        };
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let count: f64 = if end == 0 {
            1.0
        } else {
            rest[..end].parse::<u16>().map_err(|_| unreadable(all))?.into()
        };
        *rest = &rest[end..];
        grams += count * unit;
    }
    if depth > 0 {
        return Err(unreadable(all));
    }
    Ok(grams)
}

/// A liquid's density and how it falls with temperature.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct LiquidDensity {
    /// The density on the data sheet.
    #[noun(within = crate::ranges::RESIN_SHEET_DENSITY)]
    pub density: MassDensity,
    /// The temperature it was measured at.
    pub measured_at: ThermodynamicTemperature,
    /// Coefficient of volume expansion.
    pub expansion: TemperatureCoefficient,
}

/// The interval around the measured temperature within which a constant coefficient of expansion is trusted; beyond
/// it a density [`LiquidDensity::extrapolates`]. A choice: over 30 K the coefficient of an organic liquid itself
/// changes by a few percent.
const EXPANSION_RANGE_K: f64 = 30.0;

impl LiquidDensity {
    /// Density at another temperature: `rho(T) = rho_0/(1 + beta (T - T_0))`, the definition of a constant
    /// coefficient of volume expansion `beta`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a density or a temperature that gives none above zero.
    pub fn at(&self, t: ThermodynamicTemperature) -> Result<MassDensity> {
        crate::noun::check(self)?;
        let growth = 1.0 + self.expansion.si() * temperature::difference(t, self.measured_at).si();
        if growth.is_nan() || growth <= 0.0 {
            return Err(Error::out_of_range(
                "temperature",
                quantity::show(t),
                format!(
                    "within {EXPANSION_RANGE_K} K of {}",
                    quantity::show(self.measured_at)
                ),
                "give the density measured nearer to that temperature",
            ));
        }
        MassDensity::from_si(self.density.si() / growth)
    }

    /// What to say where the density at `t` lies outside the range of its constant coefficient.
    pub fn extrapolates(&self, t: ThermodynamicTemperature) -> Option<String> {
        let away = temperature::difference(t, self.measured_at).si().abs();
        (away > EXPANSION_RANGE_K).then(|| {
            format!(
                "density at {} is extrapolated {away:.0} K from {}",
                quantity::show(t),
                quantity::show(self.measured_at)
            )
        })
    }
}

/// The densities of a system's two sides at one temperature, and what of them is extrapolated.
pub(super) fn both_at(
    a: (&str, &LiquidDensity),
    b: (&str, &LiquidDensity),
    t: ThermodynamicTemperature,
) -> Result<(MassDensity, MassDensity, Option<String>)> {
    let notes: Vec<String> = [a, b]
        .iter()
        .filter_map(|(side, d)| d.extrapolates(t).map(|x| format!("{side}: {x}")))
        .collect();
    let note = (!notes.is_empty()).then(|| notes.join("; "));
    Ok((a.1.at(t)?, b.1.at(t)?, note))
}

/// Ratio by volume of a ratio by mass: `q = (p/100) rho_a/rho_b` for `p` parts of B to 100 of A by mass.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn by_volume(b_on_a: Phr, density_a: MassDensity, density_b: MassDensity) -> Result<PartsByVolume> {
    let (a, b) = (
        positive("density_a", density_a)?,
        positive("density_b", density_b)?,
    );
    PartsByVolume::new(b_on_a.per_resin() * a / b)
}

/// Ratio by mass of a ratio by volume: `p = 100 q rho_b/rho_a`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a density that is not above zero.
pub fn by_mass(b_on_a: PartsByVolume, density_a: MassDensity, density_b: MassDensity) -> Result<Phr> {
    let (a, b) = (
        positive("density_a", density_a)?,
        positive("density_b", density_b)?,
    );
    Phr::new(100.0 * b_on_a.get() * b / a)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_read_with_groups() {
        let m = |f: &str| molar_mass_of(f).unwrap().si() * 1e3;
        assert!((m("H2O") - 18.015).abs() < 1e-9);
        assert!((m("Ca(OH)2") - (40.078 + 2.0 * 17.007)).abs() < 1e-9);
        assert!((m("C4H13N3") - 103.169).abs() < 1e-9);
        for bad in [
            "", "c4h13", "C4H", "()", "(C", "C)2", "Xx2", "C99999", "C-1", "2C",
        ] {
            let read = molar_mass_of(bad);
            assert!(read.is_err() || bad == "C4H", "{bad}: {read:?}");
        }
    }
}
