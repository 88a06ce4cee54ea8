//! The table of units.
//!
//! Factors: exact definitions where there is one (international yard and pound, US gallon = 231 in³, thermochemical
//! calorie), as in A. Thompson, B. N. Taylor, *Guide for the Use of the International System of Units* (NIST SP 811,
//! 2008), appendix B; cup, tablespoon and teaspoon as in NIST Handbook 44, *Specifications, Tolerances, and Other
//! Technical Requirements for Weighing and Measuring Devices*, appendix C. Imperial: gallon = 4.54609 L, quart = 1/4,
//! pint = 1/8, fluid ounce = 1/160 of it, as in the Weights and Measures Act 1985 (c. 72, United Kingdom), schedule 1,
//! <https://www.legislation.gov.uk/ukpga/1985/72/schedule/1>.

use std::sync::LazyLock;

use super::{Dimension, Tag, Unit};
use crate::constants::{GRAVITY, ZERO_CELSIUS};

/// Names of one unit (the first is the one that lists show), factor, power of ten, exponents, special meaning.
#[derive(Debug)]
pub(super) struct Row(&'static [&'static str], f64, i32, [i8; 5], Tag);

const L: [i8; 5] = [1, 0, 0, 0, 0];
const A: [i8; 5] = [2, 0, 0, 0, 0];
const V: [i8; 5] = [3, 0, 0, 0, 0];
const M: [i8; 5] = [0, 1, 0, 0, 0];
const T: [i8; 5] = [0, 0, 1, 0, 0];
const F: [i8; 5] = [1, 1, -2, 0, 0];
const P: [i8; 5] = [-1, 1, -2, 0, 0];
const ETA: [i8; 5] = [-1, 1, -1, 0, 0];
const E: [i8; 5] = [2, 1, -2, 0, 0];
const W: [i8; 5] = [2, 1, -3, 0, 0];
const TH: [i8; 5] = [0, 0, 0, 1, 0];
const N: [i8; 5] = [0, 0, 0, 0, 1];
const O: [i8; 5] = [0; 5];
const PLAIN: Tag = Tag::Plain;

/// Pound-force in newton.
const LBF: f64 = 0.453_592_37 * GRAVITY;

#[rustfmt::skip]
static TABLE: &[Row] = &[
    // length
    Row(&["m", "metre", "metres", "meter", "meters"], 1.0, 0, L, PLAIN),
    Row(&["dm"], 1.0, -1, L, PLAIN), Row(&["cm"], 1.0, -2, L, PLAIN), Row(&["mm"], 1.0, -3, L, PLAIN),
    Row(&["um", "µm", "μm", "micron", "microns"], 1.0, -6, L, PLAIN), Row(&["nm"], 1.0, -9, L, PLAIN),
    Row(&["km"], 1.0, 3, L, PLAIN),
    Row(&["in", "inch", "inches"], 0.0254, 0, L, PLAIN), Row(&["ft", "foot", "feet"], 0.3048, 0, L, PLAIN),
    Row(&["yd", "yard", "yards"], 0.9144, 0, L, PLAIN), Row(&["mil", "mils", "thou"], 25.4, -6, L, PLAIN),
    // volume
    Row(&["L", "l", "litre", "litres", "liter", "liters"], 1.0, -3, V, PLAIN),
    Row(&["dL", "dl"], 1.0, -4, V, PLAIN), Row(&["cL", "cl"], 1.0, -5, V, PLAIN),
    Row(&["mL", "ml", "cc", "millilitre", "millilitres", "milliliter", "milliliters"], 1.0, -6, V, PLAIN),
    Row(&["uL", "ul", "µL", "μL"], 1.0, -9, V, PLAIN),
    // US liquid measure
    Row(&["fl oz", "floz", "fl. oz.", "fl.oz", "US fl oz", "fluid ounce", "fluid ounces"], 29.573_529_562_5, -6, V, PLAIN),
    Row(&["gal", "gallon", "gallons", "US gal", "US gallon", "US gallons"], 3.785_411_784, -3, V, PLAIN),
    Row(&["qt", "quart", "quarts", "US qt", "US quart", "US quarts"], 946.352_946, -6, V, PLAIN),
    Row(&["pt", "pint", "pints", "US pt", "US pint", "US pints"], 473.176_473, -6, V, PLAIN),
    Row(&["cup", "cups", "US cup", "US cups"], 236.588_236_5, -6, V, PLAIN),
    Row(&["tbsp", "Tbsp", "tablespoon", "tablespoons", "US tbsp"], 14.786_764_781_25, -6, V, PLAIN),
    Row(&["tsp", "Tsp", "teaspoon", "teaspoons", "US tsp"], 4.928_921_593_75, -6, V, PLAIN),
    // imperial measure
    Row(&["imp fl oz", "imperial fl oz", "UK fl oz", "imperial fluid ounce", "imperial fluid ounces"], 28.413_062_5, -6, V, PLAIN),
    Row(&["imp gal", "imperial gal", "UK gal", "imp gallon", "imp gallons", "imperial gallon", "imperial gallons"], 4.546_09, -3, V, PLAIN),
    Row(&["imp qt", "imperial qt", "UK qt", "imp quart", "imp quarts", "imperial quart", "imperial quarts"], 1.136_522_5, -3, V, PLAIN),
    Row(&["imp pint", "imp pt", "imperial pt", "UK pt", "imp pints", "imperial pint", "imperial pints", "UK pint", "UK pints"], 568.261_25, -6, V, PLAIN),
    // area (others as powers of a length)
    Row(&["sq ft", "sqft"], 0.092_903_04, 0, A, PLAIN), Row(&["sq in", "sqin"], 6.4516, -4, A, PLAIN),
    Row(&["sq yd", "sqyd"], 0.836_127_36, 0, A, PLAIN), Row(&["sq m", "sqm"], 1.0, 0, A, PLAIN),
    // areal mass by its trade name
    Row(&["gsm"], 1.0, -3, [-2, 1, 0, 0, 0], PLAIN),
    // mass
    Row(&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1.0, 0, M, PLAIN),
    Row(&["g", "gram", "grams", "gramme", "grammes"], 1.0, -3, M, PLAIN),
    Row(&["mg"], 1.0, -6, M, PLAIN), Row(&["ug", "µg", "μg"], 1.0, -9, M, PLAIN), Row(&["t", "tonne", "tonnes"], 1.0, 3, M, PLAIN),
    Row(&["oz", "ounce", "ounces"], 0.028_349_523_125, 0, M, PLAIN),
    Row(&["lb", "lbs", "pound", "pounds"], 0.453_592_37, 0, M, PLAIN),
    // time
    Row(&["s", "sec", "secs", "second", "seconds"], 1.0, 0, T, PLAIN), Row(&["ms"], 1.0, -3, T, PLAIN),
    Row(&["min", "mins", "minute", "minutes"], 60.0, 0, T, PLAIN), Row(&["h", "hr", "hrs", "hour", "hours"], 3600.0, 0, T, PLAIN),
    Row(&["d", "day", "days"], 86400.0, 0, T, PLAIN), Row(&["week", "weeks"], 604_800.0, 0, T, PLAIN),
    Row(&["month", "months"], 2_629_800.0, 0, T, PLAIN), Row(&["year", "years"], 31_557_600.0, 0, T, PLAIN),
    Row(&["Hz"], 1.0, 0, [0, 0, -1, 0, 0], PLAIN),
    // force, pressure, viscosity, surface tension as N/m
    Row(&["N", "newton", "newtons"], 1.0, 0, F, PLAIN), Row(&["kN"], 1.0, 3, F, PLAIN), Row(&["mN"], 1.0, -3, F, PLAIN),
    Row(&["lbf"], LBF, 0, F, PLAIN), Row(&["kgf"], GRAVITY, 0, F, PLAIN), Row(&["dyn"], 1.0, -5, F, PLAIN),
    Row(&["Pa"], 1.0, 0, P, PLAIN), Row(&["hPa", "mbar"], 1.0, 2, P, PLAIN), Row(&["kPa"], 1.0, 3, P, PLAIN),
    Row(&["mPa"], 1.0, -3, P, PLAIN), Row(&["MPa"], 1.0, 6, P, PLAIN), Row(&["GPa"], 1.0, 9, P, PLAIN), Row(&["bar"], 1.0, 5, P, PLAIN),
    Row(&["psi"], LBF / 6.4516e-4, 0, P, PLAIN), Row(&["ksi"], LBF / 6.4516e-4, 3, P, PLAIN), Row(&["Msi"], LBF / 6.4516e-4, 6, P, PLAIN),
    Row(&["atm"], 1.013_25, 5, P, PLAIN), Row(&["mmHg"], 133.322_387_415, 0, P, PLAIN),
    Row(&["P", "poise"], 1.0, -1, ETA, PLAIN), Row(&["cP", "cps", "centipoise", "mPas", "mPa.s"], 1.0, -3, ETA, PLAIN),
    Row(&["Pa.s", "Pas"], 1.0, 0, ETA, PLAIN),
    // energy, power
    Row(&["J", "joule", "joules"], 1.0, 0, E, PLAIN), Row(&["kJ"], 1.0, 3, E, PLAIN), Row(&["MJ"], 1.0, 6, E, PLAIN), Row(&["mJ"], 1.0, -3, E, PLAIN),
    Row(&["cal"], 4.184, 0, E, PLAIN), Row(&["kcal"], 4.184, 3, E, PLAIN),
    Row(&["BTU", "Btu"], 1_055.055_852_62, 0, E, PLAIN), Row(&["kWh"], 3.6, 6, E, PLAIN),
    Row(&["W", "watt", "watts"], 1.0, 0, W, PLAIN), Row(&["kW"], 1.0, 3, W, PLAIN), Row(&["mW"], 1.0, -3, W, PLAIN),
    // amount
    Row(&["mol", "mole", "moles"], 1.0, 0, N, PLAIN), Row(&["mmol"], 1.0, -3, N, PLAIN), Row(&["kmol"], 1.0, 3, N, PLAIN),
    Row(&["eq", "equivalent", "equivalents"], 1.0, 0, N, PLAIN),
    // temperature
    Row(&["K", "kelvin"], 1.0, 0, TH, Tag::Absolute), Row(&["degR", "°R"], 5.0 / 9.0, 0, TH, Tag::Absolute),
    Row(&["degC", "°C", "ºC", "deg C", "celsius", "C"], 1.0, 0, TH, Tag::Scale),
    Row(&["degF", "°F", "ºF", "deg F", "fahrenheit", "F"], 5.0 / 9.0, 0, TH, Tag::Scale),
    Row(&["delta_degC", "Δ°C"], 1.0, 0, TH, Tag::Delta), Row(&["delta_degF", "Δ°F"], 5.0 / 9.0, 0, TH, Tag::Delta),
    // ratios
    Row(&["%", "percent"], 1.0, -2, O, Tag::Percent), Row(&["%RH", "% RH"], 1.0, -2, O, Tag::Percent),
    Row(&["wt%", "wt.%", "wt-%", "% by mass", "% by weight", "% w/w", "mass%"], 1.0, -2, O, Tag::WeightPercent),
    Row(&["vol%", "vol.%", "vol-%", "% by volume", "% v/v"], 1.0, -2, O, Tag::VolumePercent),
    Row(&["ppmv", "ppm by volume", "vol ppm"], 1.0, -6, O, Tag::VolumePercent),
    Row(&["phr", "parts per hundred resin", "wt% on resin", "% by mass on resin"], 1.0, 0, O, Tag::Phr),
    Row(&["vol% on resin", "% by volume on resin"], 1.0, -2, O, Tag::VolumeOnResin),
    Row(&["mg KOH/g", "mgKOH/g", "mg KOH per g", "mg(KOH)/g"], 1.0, 0, O, Tag::HydroxylNumber),
    Row(&["rad"], 1.0, 0, O, Tag::Angle), Row(&["deg", "°", "degree", "degrees"], std::f64::consts::PI / 180.0, 0, O, Tag::Angle),
    Row(&["1"], 1.0, 0, O, Tag::One),
];

impl Row {
    pub(super) fn names(&self) -> &'static [&'static str] {
        self.0
    }

    pub(super) fn unit(&self) -> Unit {
        let offset = match (self.4, self.1 == 1.0) {
            (Tag::Scale, true) => ZERO_CELSIUS,
            // 459.67 °R below 0 °F
            (Tag::Scale, false) => 459.67 * 5.0 / 9.0,
            _ => 0.0,
        };
        Unit {
            exponents: self.3,
            factor: self.1,
            pow10: self.2,
            offset,
            tag: self.4,
        }
    }

    /// Whose measure it is, where its name leaves that open.
    pub(super) fn whose(&self) -> Option<&'static str> {
        let any = |start: &str| self.0.iter().any(|n| n.starts_with(start));
        if any("US ") {
            Some("US")
        } else if any("imp ") {
            Some("imperial")
        } else {
            None
        }
    }

    /// A name as a list shows it: `pint (US)`, `imp pint`.
    pub(super) fn listed(&self, name: &str) -> String {
        match self.whose() {
            Some("US") if !name.starts_with("US ") => format!("{name} (US)"),
            _ => name.to_owned(),
        }
    }
}

/// All units.
pub(super) fn rows() -> impl Iterator<Item = &'static Row> {
    TABLE.iter()
}

/// The units that a quantity can be written in, for an error message: the first name of each.
pub(in crate::quantity) fn names_for(d: Dimension) -> Vec<String> {
    rows()
        .filter(|r| r.unit().fits(d))
        .map(|r| r.listed(r.0[0]))
        .collect()
}

/// Every unit name with its factor to SI, for cross-checks against other unit libraries.
pub fn all_names() -> impl Iterator<Item = (&'static str, f64)> {
    rows().flat_map(|r| r.0.iter().map(move |n| (*n, r.1 * super::pow10(r.2))))
}

/// The unit names that are another measure in another country, with whose measure is read.
pub fn notes() -> impl Iterator<Item = (&'static str, &'static str)> {
    rows().flat_map(|r| {
        let note = match r.whose() {
            Some("US") => Some("US liquid measure: a gallon is 231 in^3 (3.785 L)"),
            Some(_) => Some("imperial measure: a gallon is 4.54609 L"),
            None => None,
        };
        r.0.iter().filter_map(move |n| Some((*n, note?)))
    })
}

fn row(name: &str) -> Option<&'static Row> {
    // In the order of the names; of a name that stands twice the first row counts.
    static OF_NAMES: LazyLock<Vec<(&'static str, &'static Row)>> = LazyLock::new(|| {
        let mut all: Vec<_> = rows().flat_map(|r| r.0.iter().map(move |n| (*n, r))).collect();
        all.sort_by_key(|(name, _)| *name);
        all.dedup_by_key(|(name, _)| *name);
        all
    });
    let at = OF_NAMES.binary_search_by_key(&name, |(n, _)| n).ok()?;
    Some(OF_NAMES[at].1)
}

/// The unit of a name.
pub(in crate::quantity) fn lookup(name: &str) -> Option<Unit> {
    row(name).map(Row::unit)
}

/// The longest known unit name that `text` starts with and that ends at a word's end.
pub(super) fn longest(text: &str) -> Option<(&'static str, &'static Row)> {
    rows()
        .flat_map(|r| r.0.iter().map(move |n| (*n, r)))
        .filter(|(n, _)| {
            text.strip_prefix(*n).is_some_and(|rest| {
                let ends_in_letter = n.chars().next_back().is_some_and(char::is_alphanumeric);
                !(ends_in_letter && rest.starts_with(|c: char| c.is_alphabetic() || c == '_'))
            })
        })
        .max_by_key(|(n, _)| n.len())
}
