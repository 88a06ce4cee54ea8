//! The units people write, as one table, and the reading of unit expressions such as `W/(m^2*K)`.
//!
//! Factors: exact definitions where there is one (international yard and pound, US gallon = 231 in³, imperial
//! gallon = 4.54609 L, thermochemical calorie), as in A. Thompson, B. N. Taylor, *Guide for the Use of the
//! International System of Units* (NIST SP 811, 2008), appendix B.

use std::fmt;

use crate::error::{Error, ErrorKind, Result};

/// What a dimensionless number is a ratio of, or how a temperature is meant; [`Kind::Plain`] for all else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
#[non_exhaustive]
pub enum Kind {
    Plain,
    /// A temperature point.
    Point,
    /// A temperature interval.
    Interval,
    Angle,
    MassFraction,
    VolumeFraction,
    Phr,
    VolumeOnResin,
    DegreeOfCure,
    Strain,
    Humidity,
    Probability,
    Relative,
    /// A standard deviation over its mean.
    Spread,
    /// Milligrams of potassium hydroxide that match one gram of a polyol.
    HydroxylNumber,
    Number,
}

/// Exponents of length, mass, time, temperature and amount, and the [`Kind`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Exponents of length, mass, time, thermodynamic temperature, amount of substance.
    pub exponents: [i8; 5],
    /// What sort of number with these exponents it is.
    pub kind: Kind,
}

impl Dimension {
    /// A dimension from its exponents.
    pub const fn new(l: i8, m: i8, t: i8, th: i8, n: i8, kind: Kind) -> Self {
        Dimension {
            exponents: [l, m, t, th, n],
            kind,
        }
    }
}

impl fmt::Display for Dimension {
    /// In the words of the trade where there is one, else as a product of base units.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match (self.exponents, self.kind) {
            (_, Kind::MassFraction) => "mass fraction",
            (_, Kind::VolumeFraction) => "volume fraction",
            (_, Kind::Phr) => "parts per hundred resin",
            (_, Kind::VolumeOnResin) => "volume on resin",
            (_, Kind::Angle) => "angle",
            (_, Kind::Interval) => "temperature interval",
            (_, Kind::Point) => "temperature",
            (_, Kind::HydroxylNumber) => "hydroxyl number",
            (_, Kind::Number) => "plain number",
            ([0, 0, 0, 0, 0], _) => "ratio",
            ([1, 0, 0, 0, 0], _) => "length",
            ([2, 0, 0, 0, 0], _) => "area",
            ([3, 0, 0, 0, 0], _) => "volume",
            ([0, 1, 0, 0, 0], _) => "mass",
            ([0, 0, 1, 0, 0], _) => "time",
            ([0, 0, 0, 1, 0], _) => "temperature",
            ([-3, 1, 0, 0, 0], _) => "density",
            ([-2, 1, 0, 0, 0], _) => "areal mass",
            ([-1, 1, -2, 0, 0], _) => "pressure",
            ([1, 1, -2, 0, 0], _) => "force",
            ([-1, 1, -1, 0, 0], _) => "dynamic viscosity",
            ([2, 1, -2, 0, 0], _) => "energy",
            ([2, 1, -3, 0, 0], _) => "power",
            ([3, -1, 0, 0, 0], _) => "volume per mass",
            (e, _) => {
                let mut first = true;
                for (n, unit) in e.iter().zip(["m", "kg", "s", "K", "mol"]) {
                    if *n != 0 {
                        if !first {
                            f.write_str("*")?;
                        }
                        first = false;
                        write!(f, "{unit}")?;
                        if *n != 1 {
                            write!(f, "^{n}")?;
                        }
                    }
                }
                return Ok(());
            }
        })
    }
}

/// Special meaning of a unit that its exponents do not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    Plain,
    /// `%` alone: a ratio of something, fine only where the field says of what.
    Percent,
    WeightPercent,
    VolumePercent,
    Phr,
    VolumeOnResin,
    HydroxylNumber,
    /// Kelvin and rankine: a point or an interval.
    Absolute,
    /// Degrees Celsius and Fahrenheit: a point with its own zero.
    Scale,
    /// `delta_degC`: an interval only.
    Delta,
    Angle,
    One,
}

/// A unit as written: SI value = number × 10^`pow10` × `factor` + `offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    pub(super) exponents: [i8; 5],
    pub(super) factor: f64,
    pub(super) pow10: i32,
    pub(super) offset: f64,
    pub(super) tag: Tag,
}

impl Unit {
    pub(super) const ONE: Unit = Unit {
        exponents: [0; 5],
        factor: 1.0,
        pow10: 0,
        offset: 0.0,
        tag: Tag::One,
    };

    /// Whether a quantity of dimension `d` can be written in this unit.
    pub fn fits(&self, d: Dimension) -> bool {
        if self.exponents != d.exponents {
            return false;
        }
        match d.kind {
            Kind::Plain => self.tag == Tag::Plain,
            Kind::Point => matches!(self.tag, Tag::Absolute | Tag::Scale),
            Kind::Interval => matches!(self.tag, Tag::Absolute | Tag::Delta),
            Kind::Angle => self.tag == Tag::Angle,
            Kind::MassFraction => self.tag == Tag::WeightPercent,
            Kind::VolumeFraction => self.tag == Tag::VolumePercent,
            Kind::Phr => self.tag == Tag::Phr,
            Kind::VolumeOnResin => self.tag == Tag::VolumeOnResin,
            Kind::DegreeOfCure
            | Kind::Strain
            | Kind::Humidity
            | Kind::Probability
            | Kind::Relative
            | Kind::Spread => self.tag == Tag::Percent,
            Kind::HydroxylNumber => self.tag == Tag::HydroxylNumber,
            Kind::Number => self.tag == Tag::One,
        }
    }

    /// The dimension that a number in this unit measures.
    pub fn dimension(&self) -> Dimension {
        let kind = match self.tag {
            Tag::Plain | Tag::Percent => Kind::Plain,
            Tag::WeightPercent => Kind::MassFraction,
            Tag::VolumePercent => Kind::VolumeFraction,
            Tag::Phr => Kind::Phr,
            Tag::VolumeOnResin => Kind::VolumeOnResin,
            Tag::HydroxylNumber => Kind::HydroxylNumber,
            Tag::Absolute | Tag::Scale => Kind::Point,
            Tag::Delta => Kind::Interval,
            Tag::Angle => Kind::Angle,
            Tag::One => Kind::Number,
        };
        Dimension {
            exponents: self.exponents,
            kind,
        }
    }

    /// SI value to this unit's number.
    pub fn number_of(&self, si: f64) -> f64 {
        let scaled = (si - self.offset) / self.factor;
        if self.pow10 >= 0 {
            scaled / pow10(self.pow10)
        } else {
            scaled * pow10(-self.pow10)
        }
    }
}

/// 10 to a whole power.
pub fn pow10(n: i32) -> f64 {
    10f64.powi(n)
}

struct Row(&'static [&'static str], f64, i32, [i8; 5], Tag);

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

/// Pound-force in newton: 0.453 592 37 kg × 9.806 65 m/s².
const LBF: f64 = 4.448_221_615_260_5;

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
    Row(&["fl oz", "floz", "fl. oz.", "fl.oz", "US fl oz", "fluid ounce", "fluid ounces"], 29.573_529_562_5, -6, V, PLAIN),
    Row(&["imp fl oz", "imperial fl oz", "UK fl oz"], 28.413_062_5, -6, V, PLAIN),
    Row(&["gal", "gallon", "gallons", "US gal"], 3.785_411_784, -3, V, PLAIN),
    Row(&["imp gal", "imperial gal", "UK gal"], 4.546_09, -3, V, PLAIN),
    Row(&["qt", "quart", "quarts", "US qt"], 946.352_946, -6, V, PLAIN),
    Row(&["pt", "pint", "pints", "US pt"], 473.176_473, -6, V, PLAIN),
    Row(&["imp pt", "imperial pt", "UK pt"], 568.261_25, -6, V, PLAIN),
    Row(&["cup", "cups", "US cup"], 236.588_236_5, -6, V, PLAIN),
    Row(&["tbsp", "tablespoon", "tablespoons"], 14.786_764_781_25, -6, V, PLAIN),
    Row(&["tsp", "teaspoon", "teaspoons"], 4.928_921_593_75, -6, V, PLAIN),
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
    Row(&["s", "sec", "second", "seconds"], 1.0, 0, T, PLAIN), Row(&["ms"], 1.0, -3, T, PLAIN),
    Row(&["min", "minute", "minutes"], 60.0, 0, T, PLAIN), Row(&["h", "hr", "hrs", "hour", "hours"], 3600.0, 0, T, PLAIN),
    Row(&["d", "day", "days"], 86400.0, 0, T, PLAIN), Row(&["week", "weeks"], 604_800.0, 0, T, PLAIN),
    Row(&["month", "months"], 2_629_800.0, 0, T, PLAIN), Row(&["year", "years"], 31_557_600.0, 0, T, PLAIN),
    Row(&["Hz"], 1.0, 0, [0, 0, -1, 0, 0], PLAIN),
    // force, pressure, viscosity, surface tension as N/m
    Row(&["N", "newton", "newtons"], 1.0, 0, F, PLAIN), Row(&["kN"], 1.0, 3, F, PLAIN), Row(&["mN"], 1.0, -3, F, PLAIN),
    Row(&["lbf"], LBF, 0, F, PLAIN), Row(&["kgf"], 9.806_65, 0, F, PLAIN), Row(&["dyn"], 1.0, -5, F, PLAIN),
    Row(&["Pa"], 1.0, 0, P, PLAIN), Row(&["hPa", "mbar"], 1.0, 2, P, PLAIN), Row(&["kPa"], 1.0, 3, P, PLAIN),
    Row(&["mPa"], 1.0, -3, P, PLAIN), Row(&["MPa"], 1.0, 6, P, PLAIN), Row(&["GPa"], 1.0, 9, P, PLAIN), Row(&["bar"], 1.0, 5, P, PLAIN),
    Row(&["psi"], LBF / 6.4516e-4, 0, P, PLAIN), Row(&["ksi"], LBF / 6.4516e-4, 3, P, PLAIN), Row(&["Msi"], LBF / 6.4516e-4, 6, P, PLAIN),
    Row(&["atm"], 1.013_25, 5, P, PLAIN), Row(&["mmHg"], 133.322_387_415, 0, P, PLAIN),
    Row(&["P", "poise"], 1.0, -1, ETA, PLAIN), Row(&["cP", "cps", "centipoise"], 1.0, -3, ETA, PLAIN),
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

/// All names of units of the given exponents, for an error message: the first name of each.
pub(super) fn names_for(d: Dimension) -> Vec<&'static str> {
    TABLE
        .iter()
        .map(|r| {
            (
                r.0[0],
                Unit {
                    exponents: r.3,
                    factor: r.1,
                    pow10: r.2,
                    offset: 0.0,
                    tag: r.4,
                },
            )
        })
        .filter(|(_, u)| u.fits(d))
        .map(|(n, _)| n)
        .collect()
}

/// Every unit name with its factor to SI, for cross-checks against other unit libraries.
pub fn all_names() -> impl Iterator<Item = (&'static str, f64)> {
    TABLE
        .iter()
        .flat_map(|r| r.0.iter().map(move |n| (*n, r.1 * pow10(r.2))))
}

fn lookup(name: &str) -> Option<Unit> {
    let row = TABLE.iter().find(|r| r.0.contains(&name))?;
    let offset = match (row.4, row.1 == 1.0) {
        (Tag::Scale, true) => 273.15,
        // 459.67 °R below 0 °F
        (Tag::Scale, false) => 459.67 * 5.0 / 9.0,
        _ => 0.0,
    };
    Some(Unit {
        exponents: row.3,
        factor: row.1,
        pow10: row.2,
        offset,
        tag: row.4,
    })
}

/// The longest known unit name that `text` starts with and that ends at a word's end.
fn longest(text: &str) -> Option<(&'static str, Unit)> {
    TABLE
        .iter()
        .flat_map(|r| r.0.iter())
        .filter(|n| {
            text.strip_prefix(**n).is_some_and(|rest| {
                let ends_in_letter = n.chars().next_back().is_some_and(char::is_alphanumeric);
                !(ends_in_letter && rest.chars().next().is_some_and(|c| c.is_alphabetic() || c == '_'))
            })
        })
        .max_by_key(|n| n.len())
        .and_then(|n| lookup(n).map(|u| (*n, u)))
}

/// Reads a unit expression: names from the table, `*`, `·`, a space for a product, `/` or `per`, powers as
/// `^2`, `**2`, `²`, `m2`, and parentheses.
///
/// # Errors
/// [`ErrorKind::UnknownUnit`] with the nearest names; [`ErrorKind::Unreadable`] for broken syntax.
pub fn read(field: &str, text: &str) -> Result<Unit> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(Unit::ONE);
    }
    if let Some(u) = lookup(text) {
        return Ok(u);
    }
    let mut reader = Reader {
        field,
        all: text,
        rest: text,
    };
    let unit = reader.product()?;
    if reader.rest.trim().is_empty() {
        Ok(unit)
    } else {
        Err(reader.unreadable("an operator is missing"))
    }
}

struct Reader<'a> {
    field: &'a str,
    all: &'a str,
    rest: &'a str,
}

impl Reader<'_> {
    fn unreadable(&self, why: &str) -> Error {
        Error::new(ErrorKind::Unreadable, self.field)
            .with_value(format_args!("unit '{}'", self.all))
            .with_way_out(format!("{why}; write units like 'g/m^2' or 'W/(m^2*K)'"))
    }

    fn take(&mut self, token: &str) -> bool {
        match self.rest.trim_start().strip_prefix(token) {
            Some(r) => {
                self.rest = r;
                true
            }
            None => false,
        }
    }

    fn product(&mut self) -> Result<Unit> {
        let mut acc = self.power()?;
        let mut divided = false;
        loop {
            if self.rest.trim_start().is_empty() || self.rest.trim_start().starts_with(')') {
                return Ok(acc);
            }
            if self.take("per ") || self.take("/") {
                let u = self.power()?;
                acc = self.combine(acc, u, -1)?;
                divided = true;
            } else {
                let explicit = self.take("**") || self.take("*") || self.take("·") || self.take("⋅");
                if divided && !explicit {
                    return Err(self.unreadable("a product after '/' needs parentheses"));
                }
                let u = self.power()?;
                acc = self.combine(acc, u, 1)?;
            }
        }
    }

    fn power(&mut self) -> Result<Unit> {
        self.rest = self.rest.trim_start();
        let base = if self.take("(") {
            let u = self.product()?;
            if !self.take(")") {
                return Err(self.unreadable("')' is missing"));
            }
            u
        } else {
            match longest(self.rest) {
                Some((name, u)) => {
                    self.rest = &self.rest[name.len()..];
                    u
                }
                None => {
                    let end = self
                        .rest
                        .find(|c: char| c.is_whitespace() || "/*·^()".contains(c))
                        .unwrap_or(self.rest.len());
                    let word = &self.rest[..end];
                    let known: Vec<&str> = TABLE.iter().flat_map(|r| r.0.iter().copied()).collect();
                    let near = crate::error::nearest(word, &known);
                    let hint = if near.is_empty() {
                        "write units like 'g', 'mL', 'fl oz', 'g/m^2', 'degC'".to_owned()
                    } else {
                        format!("did you mean '{}'?", near.join("', '"))
                    };
                    return Err(Error::new(ErrorKind::UnknownUnit, self.field)
                        .with_value(format_args!(
                            "'{}'",
                            if word.is_empty() { self.all } else { word }
                        ))
                        .with_way_out(hint));
                }
            }
        };
        let n = self.exponent()?;
        if n == 1 { Ok(base) } else { self.raise(base, n) }
    }

    fn exponent(&mut self) -> Result<i8> {
        for (sign, n) in [("²", 2), ("³", 3), ("⁻¹", -1)] {
            if let Some(r) = self.rest.strip_prefix(sign) {
                self.rest = r;
                return Ok(n);
            }
        }
        let marked = self
            .rest
            .strip_prefix("**")
            .or_else(|| self.rest.strip_prefix('^'));
        let digits = marked.unwrap_or(self.rest);
        let end = digits
            .char_indices()
            .find(|(i, c)| !(c.is_ascii_digit() || (*i == 0 && *c == '-' && marked.is_some())))
            .map_or(digits.len(), |(i, _)| i);
        match digits[..end].parse::<i8>() {
            Ok(n) if n != 0 && n.abs() <= 4 => {
                self.rest = &digits[end..];
                Ok(n)
            }
            _ if marked.is_some() || end > 0 => {
                Err(self.unreadable("a power must be a whole number, 1 to 4"))
            }
            _ => Ok(1),
        }
    }

    fn part_of_product(&self, u: Unit) -> Result<Unit> {
        match u.tag {
            Tag::Plain | Tag::One | Tag::Absolute | Tag::Delta => Ok(u),
            // inside a product a degree is an interval: BTU/(h*ft^2*degF)
            Tag::Scale => Ok(Unit { offset: 0.0, ..u }),
            _ => Err(self.unreadable("a ratio or an angle can not be part of a product of units")),
        }
    }

    fn combine(&self, a: Unit, b: Unit, sign: i8) -> Result<Unit> {
        let a = self.part_of_product(a)?;
        let b = self.part_of_product(b)?;
        let b = if sign == 1 { b } else { self.raise(b, sign)? };
        let mut exponents = [0i8; 5];
        for (e, (x, y)) in exponents.iter_mut().zip(a.exponents.iter().zip(b.exponents)) {
            *e = x
                .checked_add(y)
                .ok_or_else(|| self.unreadable("the powers are too large"))?;
        }
        let tag = if exponents == [0; 5] { Tag::One } else { Tag::Plain };
        Ok(Unit {
            exponents,
            factor: a.factor * b.factor,
            pow10: a.pow10 + b.pow10,
            offset: 0.0,
            tag,
        })
    }

    fn raise(&self, u: Unit, n: i8) -> Result<Unit> {
        let u = self.part_of_product(u)?;
        let mut exponents = u.exponents;
        for e in &mut exponents {
            *e = e
                .checked_mul(n)
                .ok_or_else(|| self.unreadable("the powers are too large"))?;
        }
        Ok(Unit {
            exponents,
            factor: u.factor.powi(n.into()),
            pow10: u.pow10 * i32::from(n),
            offset: 0.0,
            tag: Tag::Plain,
        })
    }
}
