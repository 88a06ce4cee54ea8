//! Numbers as the reader has them: in the units of the bench, to the digits of the instrument or the model, with the
//! decimal mark of the language.

use super::cause::OneValue;
use super::message::{self, Language, Say};
use crate::limit::{Bound, Cause, Finding, LimitQuantity, QuantityText};
use crate::mix::{BatchPart, Bench, MeasuredBy};
use crate::plan::{Clock, Plan, PlannedBatch, sentence, words};
use crate::quantity::{self, BenchUnits, Index, Mass, Measure, Money, Quantity, show_si_to};

/// Who reads.
#[derive(Clone, Copy)]
pub(super) struct Reader<'p> {
    pub(super) language: Language,
    pub(super) units: BenchUnits,
    bench: &'p Bench,
}

impl<'p> Reader<'p> {
    pub(super) fn of(plan: &'p Plan, language: Language) -> Self {
        Reader {
            language,
            units: plan.units,
            bench: &plan.bench,
        }
    }

    pub(super) fn say(self, say: Say) -> &'static str {
        say.in_(self.language)
    }

    /// A text with numbers, with the decimal mark of the language.
    pub(super) fn marked(self, text: &str) -> String {
        marked(text, self.language)
    }

    /// A quantity to so many figures.
    pub(super) fn figures<Q: Quantity>(self, q: Q, digits: i32) -> String {
        self.marked(&show_si_to(q.si(), Q::MEASURE, self.units, digits))
    }

    /// A quantity of the bench.
    pub(super) fn brief<Q: Quantity>(self, q: Q) -> String {
        self.marked(&quantity::brief_in(q, self.units))
    }

    /// A time of the clock.
    pub(super) fn clock(self, clock: Clock) -> String {
        clock.to_string()
    }

    /// A mass as the scale shows it.
    pub(super) fn weighed(self, mass: Mass) -> String {
        let step = self.bench.scale.readability.si() * 1e3;
        let (grams, unit, name) = match self.units {
            BenchUnits::Metric => (mass.si() * 1e3, 1.0, "g"),
            BenchUnits::Us => (mass.si() * 1e3, GRAMS_PER_OUNCE, "oz"),
        };
        let shown = (grams / step).round() * step / unit;
        if !shown.is_finite() {
            return self.brief(mass);
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let decimals = (-(step / unit).log10() - 1e-9).ceil().clamp(0.0, 6.0) as usize;
        self.marked(&format!("{shown:.decimals$} {name}"))
    }

    /// Whether the scale shows anything of it.
    pub(super) fn scale_sees(self, mass: Mass) -> bool {
        mass.si() >= 0.5 * self.bench.scale.readability.si()
    }

    /// The amount of a part, as it is measured best.
    pub(super) fn amount(self, part: &BatchPart) -> String {
        let weighed = self.weighed(part.mass);
        match part.measured_by {
            MeasuredBy::Syringe => format!("{} ({weighed})", self.brief(part.volume)),
            _ => weighed,
        }
    }

    /// The drops of a cup's catalyst, never without what a count of them is worth: about 95 % lie within.
    pub(super) fn drops(self, batch: &PlannedBatch) -> Option<String> {
        let part = batch.batch.cure_part()?;
        let (drops, spread) = (part.drops?, batch.batch.cure_dose.as_ref()?.uncertainty_in_drops?);
        let around = (2.0 * spread.get() * drops).ceil().max(1.0);
        let word = self.say(Say::Drops);
        if around >= drops.round() {
            return Some(self.say(Say::TooFewToDrop).to_owned());
        }
        Some(format!("{:.0} ± {around:.0} {word}", drops.round()))
    }

    /// What a finding's quantity comes to, to so many figures more than usual.
    fn bounded(self, quantity: LimitQuantity, si: f64, more: i32) -> String {
        use LimitQuantity as Q;
        let of = quantity.measure();
        let text = match quantity {
            Q::ShopTemperature
            | Q::MouldTemperature
            | Q::ResinTemperature
            | Q::PeakTemperature
            | Q::MouldFaceTemperature => self.degrees(si, more),
            Q::GelCoatWetThickness
            | Q::SeamThickness
            | Q::SessionThickness
            | Q::PourThickness
            | Q::WallThickness => self.thickness(si, more),
            Q::VapourInAir => in_air(si, 2 + more),
            Q::ReleaseCoats => format!("{si:.0}"),
            Q::RelativeHumidity | Q::DemouldCure | Q::ContrastRatio | Q::LightTransmission => {
                percent(si, more)
            }
            _ => show_si_to(si, of, self.units, 2 + more),
        };
        self.marked(&text)
    }

    /// Degrees to so many decimals, whole ones without.
    fn degrees(self, kelvin: f64, decimals: i32) -> String {
        let (value, unit) = match self.units {
            BenchUnits::Metric => (kelvin - 273.15, "°C"),
            BenchUnits::Us => ((kelvin - 273.15) * 1.8 + 32.0, "°F"),
        };
        format!("{} {unit}", trimmed(value, decimals))
    }

    /// A film or a wall, as the comb or the caliper reads it.
    fn thickness(self, metres: f64, more: i32) -> String {
        let (value, unit, decimals) = match self.units {
            BenchUnits::Metric => (metres * 1e3, "mm", 2),
            BenchUnits::Us => (metres / 25.4e-6, "mil", 0),
        };
        let least = 10f64.powi(-decimals);
        if value < 0.5 * least {
            return format!("{} {least} {unit}", self.say(Say::LessThan));
        }
        if value >= 100.0 && more == 0 {
            return format!("{value:.0} {unit}");
        }
        format!("{} {unit}", trimmed(value, decimals + more))
    }

    /// A finding's value and the bound it breaks, to as many figures as tell them apart.
    pub(super) fn held(self, f: &Finding) -> Held {
        let si = |t: &Option<QuantityText>| t.as_ref().and_then(|t| t.si("", f.quantity.measure()).ok());
        let Some(value) = si(&f.value) else {
            return Held {
                value: None,
                bound: None,
            };
        };
        let ends = si(&f.value_low).zip(si(&f.value_high));
        let bound = f.bound().and_then(|b| {
            let (word, text) = match b {
                Bound::AtLeast(t) => (Say::AtLeast, t),
                Bound::AtMost(t) => (Say::AtMost, t),
            };
            Some((word, text.si("", f.quantity.measure()).ok()?))
        });
        let mut more = 0;
        while let (Some((_, b)), None) = (bound, ends)
            && more < 4
            && self.bounded(f.quantity, value, more) == self.bounded(f.quantity, b, more)
        {
            more += 1;
        }
        let shown = |si: f64| self.bounded(f.quantity, si, more);
        // Laws print three figures; what is computed of the air has two.
        let printed = |si: f64| {
            self.bounded(
                f.quantity,
                si,
                more + i32::from(f.quantity == LimitQuantity::VapourInAir),
            )
        };
        // A thermometer in the shop reads tenths; the bound it is held against is a rule of thumb.
        let read = |si: f64| {
            self.bounded(
                f.quantity,
                si,
                more + i32::from(is_temperature_of_place(f.quantity)),
            )
        };
        // What is known within a band is told as the band.
        let value = match ends {
            Some((low, high)) => format!("{} {} {}", shown(low), self.say(Say::To), shown(high)),
            None => read(value),
        };
        Held {
            value: Some(value),
            bound: bound.map(|(word, b)| format!("{} {}", self.say(word), printed(b))),
        }
    }

    /// "Air in the shop 11 °C (at least 13 °C)"; of several values of one kind what they share is said once.
    pub(super) fn found(self, values: &[&OneValue]) -> Vec<String> {
        let mut lines: Vec<(String, Option<String>, Vec<(String, Vec<String>)>)> = Vec::new();
        for v in values {
            let f = v.findings[0];
            let held = self.held(f);
            let subject = self.named(&v.subjects);
            let noun = message::bounded(f.quantity, self.language);
            if Cause::of(f) == Cause::GelTimeUnknown {
                let gel = message::bounded(LimitQuantity::GelTime, self.language);
                let why = match (f.value.is_some(), held.value) {
                    (true, Some(v)) => format!(" ({noun} {v})"),
                    _ => String::new(),
                };
                lines.push((
                    format!("{gel}, {subject}: {}{why}", self.say(Say::Unknown)),
                    held.bound,
                    vec![],
                ));
                continue;
            }
            let Some(value) = held.value else {
                lines.push((subject, held.bound, vec![]));
                continue;
            };
            if is_temperature_of_place(f.quantity) {
                lines.push((format!("{subject} {value}"), held.bound, vec![]));
                continue;
            }
            let line = match lines.iter_mut().find(|l| l.0 == noun && l.1 == held.bound) {
                Some(l) => l,
                None => {
                    lines.push((noun.to_owned(), held.bound, vec![]));
                    let last = lines.len() - 1;
                    &mut lines[last]
                }
            };
            match line.2.iter_mut().find(|(v, _)| *v == value) {
                Some((_, subjects)) => subjects.push(subject),
                None => line.2.push((value, vec![subject])),
            }
        }
        lines
            .into_iter()
            .map(|(head, bound, tail)| {
                let bound = bound.map_or_else(String::new, |b| format!(" ({b})"));
                if tail.is_empty() {
                    sentence(&format!("{head}{bound}"))
                } else {
                    let told = tail.iter().map(|(value, of)| format!("{value} ({})", joined(of)));
                    sentence(&format!("{head}{bound}: {}", told.collect::<Vec<_>>().join("; ")))
                }
            })
            .collect()
    }

    /// The subjects of one value: a long list is cut.
    fn named(self, subjects: &[&str]) -> String {
        const MOST: usize = 6;
        let named: Vec<String> = subjects
            .iter()
            .take(MOST)
            .map(|s| words(&message::subject(s, self.language)))
            .collect();
        let rest = if subjects.len() > MOST { ", …" } else { "" };
        format!("{}{rest}", joined(&named))
    }

    /// A sentence of the data, its quantities in the reader's units.
    pub(super) fn told(self, text: &str) -> String {
        self.marked(&in_units(text, self.units))
    }

    /// A quantity known only at run time.
    pub(super) fn of_text(self, text: &QuantityText, of: &Measure) -> String {
        text.si("", of).map_or_else(
            |_| text.as_str().to_owned(),
            |si| self.marked(&show_si_to(si, of, self.units, 3)),
        )
    }
}

/// A text with numbers, with the decimal mark of the language.
pub(super) fn marked(text: &str, language: Language) -> String {
    if language == Language::English {
        return text.to_owned();
    }
    let chars: Vec<char> = text.chars().collect();
    let digit = |i: Option<usize>| i.and_then(|i| chars.get(i)).is_some_and(char::is_ascii_digit);
    let between = |i: usize| digit(i.checked_sub(1)) && digit(Some(i + 1));
    let mark = |(i, c): (usize, &char)| if *c == '.' && between(i) { ',' } else { *c };
    chars.iter().enumerate().map(mark).collect()
}

/// A vapour's volume fraction of the air, to so many figures.
pub(super) fn in_air(share: f64, digits: i32) -> String {
    let parts = show_si_to(1e6 * share, Index::MEASURE, BenchUnits::Metric, digits);
    format!("{parts} ppm")
}

/// A price, as it is paid.
pub(super) fn money(m: Money) -> String {
    format!("{:.2} {}", m.amount, m.currency.code())
}

/// A value as it is shown, and the bound it breaks.
pub(super) struct Held {
    pub(super) value: Option<String>,
    pub(super) bound: Option<String>,
}

const GRAMS_PER_OUNCE: f64 = 28.349_523_125;

/// The subject already says whose temperature it is.
fn is_temperature_of_place(quantity: LimitQuantity) -> bool {
    use LimitQuantity as Q;
    matches!(
        quantity,
        Q::ShopTemperature | Q::MouldTemperature | Q::ResinTemperature
    )
}

/// "gel coat on fore wings, hind wings": what the subjects share is said once.
fn joined(subjects: &[String]) -> String {
    let Some(first) = subjects.first() else {
        return String::new();
    };
    let shared = first
        .rfind(" on ")
        .or_else(|| first.rfind(" auf "))
        .map_or("", |i| &first[..i]);
    let tail = |s: &String| match s.strip_prefix(shared) {
        Some(tail) if !shared.is_empty() => {
            let tail = tail.trim_start();
            let tail = tail
                .strip_prefix("on ")
                .or_else(|| tail.strip_prefix("auf "))
                .unwrap_or(tail);
            tail.to_owned()
        }
        _ => s.clone(),
    };
    let rest = subjects[1..].iter().map(tail);
    std::iter::once(first.clone())
        .chain(rest)
        .collect::<Vec<_>>()
        .join(", ")
}

fn trimmed(x: f64, decimals: i32) -> String {
    #[allow(clippy::cast_sign_loss)]
    let text = format!("{x:.*}", decimals.max(0) as usize);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn percent(x: f64, more: i32) -> String {
    format!("{} %", trimmed(100.0 * x, more))
}

/// Temperatures and lengths in running text, in the reader's units: "60 to 80 °F" is "16 to 27 °C" in a metric shop.
pub(super) fn in_units(text: &str, units: BenchUnits) -> String {
    let mut out: Vec<String> = text.split(' ').map(str::to_owned).collect();
    for i in 1..out.len() {
        let (unit, after) = split_unit(&out[i]);
        let Some((to, convert)) = other_unit(&unit, units) else {
            continue;
        };
        let Some(high) = number(&out[i - 1]) else { continue };
        let low = (i >= 3 && out[i - 2] == "to")
            .then(|| number(&out[i - 3]))
            .flatten();
        out[i - 1] = convert(high);
        if let Some(low) = low {
            out[i - 3] = convert(low);
        }
        out[i] = format!("{to}{after}");
    }
    out.join(" ")
}

fn number(word: &str) -> Option<f64> {
    word.parse().ok().filter(|x: &f64| x.is_finite())
}

/// A unit and the punctuation behind it.
fn split_unit(word: &str) -> (String, String) {
    let end = word.trim_end_matches([',', ';', '.', ':', ')', '!']).len();
    (word[..end].to_owned(), word[end..].to_owned())
}

fn other_unit(unit: &str, units: BenchUnits) -> Option<(&'static str, fn(f64) -> String)> {
    fn whole(x: f64) -> String {
        format!("{x:.0}")
    }
    match (units, unit) {
        (BenchUnits::Metric, "°F") => Some(("°C", |x| whole((x - 32.0) / 1.8))),
        (BenchUnits::Metric, "mil") => Some(("mm", |x| trimmed(x * 0.0254, 2))),
        (BenchUnits::Us, "°C") => Some(("°F", |x| whole(x * 1.8 + 32.0))),
        (BenchUnits::Us, "mm") => Some(("mil", |x| whole(x / 0.0254))),
        (BenchUnits::Us, "µm") => Some(("mil", |x| whole(x / 25.4))),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn running_text_is_in_the_readers_units() {
        let metric = |t| in_units(t, BenchUnits::Metric);
        assert_eq!(
            metric("on a mould of 60 to 80 °F; colder it fades"),
            "on a mould of 16 to 27 °C; colder it fades"
        );
        assert_eq!(metric("18 to 25 °C, and keep"), "18 to 25 °C, and keep");
        assert_eq!(metric("more than 16 mil."), "more than 0.41 mm.");
        assert_eq!(
            in_units("warm to 18 to 25 °C", BenchUnits::Us),
            "warm to 64 to 77 °F"
        );
        assert_eq!(metric("60 °F"), "16 °C");
        assert_eq!(metric(""), "");
    }
}
