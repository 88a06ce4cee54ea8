//! Writing a quantity: for the bench, and exactly for a document.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;

use serde_json::Value;

use super::unit::{self, Dimension, Kind};
use super::{Measure, Quantity, parse_number_and_unit};
use crate::noun::{Noun, Reader, Shape, Walk, Written};

/// The units that stand on the bench.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum BenchUnits {
    /// Grams, millilitres, millimetres, degrees Celsius.
    #[default]
    Metric,
    /// Ounces, US fluid ounces, inches and mils, degrees Fahrenheit.
    Us,
}

/// A quantity as it is shown, or another short text in its place.
///
/// The quantity is put into words where it is read, not where it is given: few read the reasons behind a plan's answers.
#[derive(Clone)]
pub struct Shown(Saying);

#[derive(Clone)]
enum Saying {
    Text(String),
    Si(f64, &'static Measure),
}

impl Shown {
    /// What it says.
    pub fn text(&self) -> Cow<'_, str> {
        match &self.0 {
            Saying::Text(text) => text.into(),
            Saying::Si(si, of) => show_si(*si, of).into(),
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text())
    }
}

impl fmt::Debug for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.text())
    }
}

impl From<String> for Shown {
    fn from(text: String) -> Self {
        Shown(Saying::Text(text))
    }
}

impl From<&str> for Shown {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl From<Shown> for String {
    fn from(shown: Shown) -> Self {
        match shown.0 {
            Saying::Text(text) => text,
            Saying::Si(si, of) => show_si(si, of),
        }
    }
}

/// By what they say.
impl PartialEq for Shown {
    fn eq(&self, other: &Self) -> bool {
        self.text() == other.text()
    }
}

impl PartialEq<&str> for Shown {
    fn eq(&self, other: &&str) -> bool {
        self.text() == *other
    }
}

impl Written for Shown {
    fn walk(&self, w: &mut dyn Walk) {
        w.text(&self.text());
    }
}

impl Noun for Shown {
    fn shape() -> &'static Shape {
        String::shape()
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        String::read(value, r).map(Shown::from)
    }
}

/// Written in metric bench units, to three or four significant figures.
pub fn show<Q: Quantity>(q: Q) -> Shown {
    Shown(Saying::Si(q.si(), Q::MEASURE))
}

/// Written in the given bench units, to three or four significant figures; the unit follows the size.
pub fn show_in<Q: Quantity>(q: Q, units: BenchUnits) -> String {
    shown(q.si(), Q::MEASURE, units, figures)
}

/// As [`show`], of a quantity known only at run time, in SI.
pub fn show_si(si: f64, of: &Measure) -> String {
    shown(si, of, BenchUnits::Metric, figures)
}

/// As [`show_si`], in the given bench units, to so many significant figures: no more than the instrument or the model has.
pub fn show_si_to(si: f64, of: &Measure, units: BenchUnits, digits: i32) -> String {
    shown(si, of, units, |number| {
        if number == 0.0 || !number.is_finite() {
            return figures(number);
        }
        let magnitude = number.abs().log10().floor();
        let unit = 10f64.powf(magnitude - f64::from(digits - 1));
        let rounded = (number / unit).round() * unit;
        figures(if rounded.is_finite() { rounded } else { number })
    })
}

/// Written in metric bench units to three significant figures, for a text that is read at arm's length.
pub fn brief<Q: Quantity>(q: Q) -> String {
    brief_in(q, BenchUnits::Metric)
}

/// As [`brief`], in the given bench units.
pub fn brief_in<Q: Quantity>(q: Q, units: BenchUnits) -> String {
    shown(q.si(), Q::MEASURE, units, |number| {
        let magnitude = if number == 0.0 {
            0.0
        } else {
            number.abs().log10().floor()
        };
        let unit = 10f64.powf((magnitude - 2.0).min(0.0));
        let rounded = (number / unit).round() * unit;
        // The smallest numbers there are have no three figures.
        figures(if rounded.is_finite() { rounded } else { number })
    })
}

/// In the unit of the bench; as a document holds it, where its number in that unit would be larger than any.
fn shown(si: f64, of: &Measure, units: BenchUnits, figures: impl Fn(f64) -> String) -> String {
    let (name, number) = choose(si, of, units);
    if number.is_finite() {
        print(&figures(number), name)
    } else {
        tagged_si(si, of)
    }
}

/// `value` of type `Q` as plain text in its document unit; for error messages, where `value` may not be a
/// valid `Q`.
pub(super) fn plain<Q: Quantity>(value: f64) -> String {
    match unit::read("", Q::TAG_UNIT) {
        Ok(u) if u.number_of(value).is_finite() => print(&figures(u.number_of(value)), Q::TAG_UNIT),
        _ => tagged_si(value, Q::MEASURE),
    }
}

fn join(number: &str, unit: &str) -> String {
    if unit == "1" {
        number.to_owned()
    } else {
        let mut text = String::with_capacity(number.len() + 1 + unit.len());
        text.push_str(number);
        text.push(' ');
        text.push_str(unit);
        text
    }
}

/// As [`join`], the unit as it is printed: `°C`, `cm²`, `mPa·s`. The parser reads these, too.
fn print(number: &str, unit: &str) -> String {
    const PRINTED: [(&str, &str); 6] = [
        ("delta_degC", "Δ°C"),
        ("delta_degF", "Δ°F"),
        ("degC", "°C"),
        ("degF", "°F"),
        ("^2", "²"),
        ("^3", "³"),
    ];
    match unit {
        "um" => join(number, "µm"),
        _ if !unit.contains(['d', '^', '*']) => join(number, unit),
        _ => {
            let printed = |unit: String, (written, printed): &(&str, &str)| {
                if unit.contains(written) {
                    unit.replace(written, printed)
                } else {
                    unit
                }
            };
            let unit = PRINTED.iter().fold(unit.to_owned(), printed);
            join(number, &unit.replace('*', "·"))
        }
    }
}

/// Four significant figures, trailing zeros dropped, no exponent between 1e-4 and 1e7.
pub fn figures(x: f64) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let magnitude = x.abs().log10().floor();
    if !(-5.0..7.0).contains(&magnitude) {
        let s = format!("{x:.3e}");
        return match s.split_once('e') {
            Some((m, e)) if m.contains('.') => {
                format!("{}e{e}", m.trim_end_matches('0').trim_end_matches('.'))
            }
            _ => s,
        };
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let decimals = (3.0 - magnitude).max(0.0) as usize;
    let s = format!("{x:.decimals$}");
    if s.contains('.') {
        s.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        s
    }
}

/// The candidate units of a dimension: each is used up to (below) the number given.
fn candidates(d: Dimension, units: BenchUnits) -> &'static [(&'static str, f64)] {
    const INF: f64 = f64::INFINITY;
    use BenchUnits::{Metric, Us};
    match (d.exponents, d.kind, units) {
        ([1, 0, 0, 0, 0], _, Metric) => &[("um", 100.0), ("mm", 10_000.0), ("m", INF)],
        ([1, 0, 0, 0, 0], _, Us) => &[("mil", 125.0), ("in", 120.0), ("ft", INF)],
        ([2, 0, 0, 0, 0], _, Metric) => &[("cm^2", 10_000.0), ("m^2", INF)],
        ([2, 0, 0, 0, 0], _, Us) => &[("in^2", 144.0), ("ft^2", INF)],
        ([3, 0, 0, 0, 0], _, Metric) => &[("mL", 10_000.0), ("L", 10_000.0), ("m^3", INF)],
        ([3, 0, 0, 0, 0], _, Us) => &[("fl oz", 128.0), ("gal", INF)],
        ([0, 1, 0, 0, 0], _, Metric) => &[("mg", 10.0), ("g", 10_000.0), ("kg", INF)],
        ([0, 1, 0, 0, 0], _, Us) => &[("oz", 80.0), ("lb", INF)],
        ([0, 0, 1, 0, 0], _, _) => &[("s", 120.0), ("min", 180.0), ("h", 72.0), ("d", INF)],
        ([0, 0, 0, 1, 0], Kind::Point, Us) => &[("degF", INF)],
        ([0, 0, 0, 1, 0], Kind::Interval, Us) => &[("delta_degF", INF)],
        ([-3, 1, 0, 0, 0], _, Metric) => &[("g/mL", INF)],
        ([-3, 1, 0, 0, 0], _, Us) => &[("lb/gal", INF)],
        ([-2, 1, 0, 0, 0], _, Metric) => &[("g/m^2", 10_000.0), ("kg/m^2", INF)],
        ([-2, 1, 0, 0, 0], _, Us) => &[("oz/ft^2", INF)],
        ([-1, 1, -2, 0, 0], _, Metric) => &[
            ("Pa", 10_000.0),
            ("kPa", 10_000.0),
            ("MPa", 10_000.0),
            ("GPa", INF),
        ],
        ([-1, 1, -2, 0, 0], _, Us) => &[("psi", 10_000.0), ("ksi", INF)],
        ([1, 1, -2, 0, 0], _, Us) => &[("lbf", INF)],
        ([-1, 1, -1, 0, 0], _, _) => &[("mPa*s", 10_000.0), ("Pa*s", INF)],
        ([2, 0, -2, 0, 0], _, _) => &[("J/g", INF)],
        ([0, 0, 0, 0, 0], Kind::Angle, _) => &[("deg", INF)],
        _ => &[],
    }
}

/// A unit of the bench or of a document, read once a thread: an answer with its reasons shows some dozens of quantities.
fn known(name: &'static str) -> Option<unit::Unit> {
    thread_local! {
        static KNOWN: RefCell<BTreeMap<&'static str, unit::Unit>> = const { RefCell::new(BTreeMap::new()) };
    }
    if let Some(u) = KNOWN.with_borrow(|k| k.get(name).copied()) {
        return Some(u);
    }
    let u = unit::read("", name).ok()?;
    KNOWN.with_borrow_mut(|k| k.insert(name, u));
    Some(u)
}

fn choose(si: f64, of: &Measure, units: BenchUnits) -> (&'static str, f64) {
    let list = candidates(of.dimension, units);
    let fallback = [(of.unit, f64::INFINITY)];
    let list = if list.is_empty() { &fallback[..] } else { list };
    let mut answer = (of.unit, si);
    for &(name, below) in list {
        if let Some(u) = known(name) {
            answer = (name, u.number_of(si));
            if answer.1.abs() < below {
                break;
            }
        }
    }
    answer
}

/// Written exactly in the type's document unit ([`Quantity::TAG_UNIT`]): [`parse`](super::parse()) gives back the same bits.
pub fn tagged<Q: Quantity>(q: Q) -> String {
    tagged_si(q.si(), Q::MEASURE)
}

/// As [`tagged`], of a quantity known only at run time, in SI.
pub fn tagged_si(si: f64, of: &Measure) -> String {
    // An empty sum is -0.0 in Rust: nobody is to read "-0 g".
    let si = si + 0.0;
    let Some(u) = known(of.unit) else {
        return si.to_string();
    };
    if u.factor == 1.0 && u.offset == 0.0 {
        return join(&shift_decimal(si, -u.pow10), of.unit);
    }
    // Not a power of ten away from SI: the shortest text that reads back exactly.
    let number = u.number_of(si);
    // What is farther off than reading and shifting the zero round does not read back.
    let rounds = 8.0 * f64::EPSILON * (number.abs() + u.number_of(si + u.offset).abs());
    for decimals in 0..18 {
        let scale = unit::pow10(decimals);
        if ((number * scale).round() / scale - number).abs() > rounds {
            continue;
        }
        #[allow(clippy::cast_sign_loss)]
        let decimals = decimals as usize;
        let text = join(&format!("{number:.decimals$}"), of.unit);
        if parse_number_and_unit("", &text, of.dimension, of.name, of.example).is_ok_and(|back| back == si) {
            return text;
        }
    }
    join(&number.to_string(), of.unit)
}

/// The shortest decimal text of `x` × 10^`by`, exactly as shortest text of `x` with its point moved.
fn shift_decimal(x: f64, by: i32) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{x:e}");
    let Some((mantissa, exponent)) = text.split_once('e') else {
        return text;
    };
    let exponent = exponent.parse::<i32>().unwrap_or(0) + by;
    let negative = mantissa.starts_with('-');
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let body = if !(-7..21).contains(&exponent) {
        let (head, tail) = digits.split_at(1);
        if tail.is_empty() {
            format!("{head}e{exponent}")
        } else {
            format!("{head}.{tail}e{exponent}")
        }
    } else if exponent < 0 {
        #[allow(clippy::cast_sign_loss)]
        let zeros = "0".repeat((-exponent - 1) as usize);
        format!("0.{zeros}{digits}")
    } else {
        #[allow(clippy::cast_sign_loss)]
        let point = exponent as usize + 1;
        if digits.len() <= point {
            format!("{digits}{}", "0".repeat(point - digits.len()))
        } else {
            format!("{}.{}", &digits[..point], &digits[point..])
        }
    };
    if negative { format!("-{body}") } else { body }
}
