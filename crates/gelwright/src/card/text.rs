//! A plan as plain text: the card, then everything else once.

use std::fmt::Write as _;

use super::cause::{Grouped, grouped};
use super::figure::Reader;
use super::made::{Card, CupCard, slip};
use super::message::{self, Language, Say};
use super::shelf;
use super::wording;
use crate::plan::{AirOfDay, Plan, SeriesOfWork, Verdict, sentence};
use crate::quantity::{self, Quantity};

/// Columns of a terminal and of a printed page in one.
const WIDTH: usize = 100;

/// `text` wrapped to the sheet's width behind `indent`, its first line behind `first`.
pub(super) fn wrap(out: &mut String, first: &str, indent: usize, text: &str) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in words(text) {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(out, "{}", line.trim_end());
            line = " ".repeat(indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

/// The words of a text; a number stays with its unit.
fn words(text: &str) -> Vec<String> {
    const UNITS: [&str; 17] = [
        "%", "°C", "°F", "K", "mm", "mil", "g", "kg", "oz", "mL", "phr", "N", "min", "h", "±", "wt%", "ppm",
    ];
    let mut all: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([',', ';', '.', ')', ':']);
        match all.last_mut() {
            Some(last)
                if last.ends_with(|c: char| c.is_ascii_digit()) && UNITS.contains(&bare)
                    || last.ends_with('±') =>
            {
                last.push(' ');
                last.push_str(word);
            }
            _ => all.push(word.to_owned()),
        }
    }
    all
}

pub(super) fn title(out: &mut String, text: &str) {
    let _ = writeln!(out, "\n{}", text.to_uppercase());
}

fn clip(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        text.to_owned()
    } else {
        text.chars().take(width - 1).chain(['…']).collect()
    }
}

/// The verdict in words.
pub(super) fn verdict(c: &Card) -> (&'static str, &'static str) {
    let (short, long) = match c.verdict {
        Verdict::Yes => (Say::Yes, Say::YesLong),
        Verdict::YesIf => (Say::YesIf, Say::YesIfLong),
        Verdict::No => (Say::No, Say::NoLong),
    };
    (short.in_(c.language), long.in_(c.language))
}

/// "Planned for 17 °C, 65 % relative humidity".
pub(super) fn planned_for(c: &Card) -> String {
    let say = |s: Say| s.in_(c.language);
    let text = format!(
        "{} {}, {} {}",
        say(Say::PlannedFor),
        quantity::brief_in(c.temperature, c.units),
        quantity::show(c.humidity),
        say(Say::Humidity)
    );
    super::figure::marked(&text, c.language)
}

/// How many causes are told below.
pub(super) fn more(c: &Card) -> Option<String> {
    match c.more_troubles {
        0 => None,
        1 => Some(Say::MoreOne.in_(c.language).to_owned()),
        n => Some(format!("{n} {}", Say::More.in_(c.language))),
    }
}

/// "mix at 12:30, empty by 12:47".
pub(super) fn hours(c: &Card, cup: &CupCard) -> String {
    let say = |s: Say| s.in_(c.language);
    let by = match cup.empty_by {
        Some(t) => format!("{} {t}", say(Say::EmptyBy)),
        None => say(Say::EmptyUnknown).to_owned(),
    };
    format!("{} {}, {by}", say(Say::Mix), cup.start)
}

pub(super) fn card(c: &Card) -> String {
    let say = |s: Say| s.in_(c.language);
    let mut out = String::new();
    let (short, long) = verdict(c);
    wrap(&mut out, "", 2, &format!("{}: {long}.", short.to_uppercase()));
    wrap(
        &mut out,
        "",
        2,
        &format!("{} — {}", clip(&c.casting, 200), planned_for(c)),
    );
    if let Some(chance) = &c.chance {
        wrap(&mut out, "", 2, &format!("{chance}."));
    }
    title(&mut out, say(Say::Ruin));
    if c.troubles.is_empty() {
        wrap(&mut out, "  ", 2, say(Say::NothingRuins));
    }
    for (i, t) in c.troubles.iter().enumerate() {
        let found = t.found.join("; ");
        let told = if found.is_empty() {
            t.consequence.clone()
        } else {
            found
        };
        let severity = sentence(message::severity(t.severity, c.language));
        let line = format!("{severity}: {}. {told}", t.heading);
        wrap(&mut out, &format!("  {}. ", i + 1), 5, &line);
        wrap(
            &mut out,
            "     ",
            5,
            &format!("{}: {}", say(Say::Change), t.change),
        );
    }
    if let Some(more) = more(c) {
        wrap(&mut out, "     ", 5, &format!("({more})"));
    }
    if !c.cups.is_empty() {
        title(&mut out, say(Say::Cups));
        wrap(&mut out, "  ", 2, say(Say::CupsHow));
    }
    for cup in &c.cups {
        let goggles = if cup.goggles {
            format!("; {}", say(Say::Goggles))
        } else {
            String::new()
        };
        let head = format!(
            "{}, {}. {}{goggles}",
            sentence(&cup.name),
            cup.what_for,
            sentence(&hours(c, cup))
        );
        wrap(&mut out, "  ", 4, &head);
        for l in &cup.lines {
            let drops = l.drops.as_ref().map_or_else(String::new, |d| format!(" ({d})"));
            let _ = writeln!(out, "    {:<52} {}{drops}", clip(&l.name, 52), l.amount);
        }
    }
    if !c.clock.is_empty() {
        title(&mut out, say(Say::ClockTitle));
    }
    for l in &c.clock {
        wrap(&mut out, &format!("  {:<11} ", l.start.to_string()), 14, &l.text);
    }
    for line in &c.order {
        wrap(&mut out, "  ", 2, line);
    }
    out.push('\n');
    for caution in &c.cautions {
        wrap(&mut out, "", 0, caution);
    }
    out
}

pub(super) fn sheet(p: &Plan, language: Language) -> String {
    let c = p.card(language);
    let reader = Reader::of(p, Language::English);
    let mut out = card(&c);
    out.push('\n');
    let _ = writeln!(out, "{}", "-".repeat(WIDTH));
    if let Some(n) = &p.note {
        wrap(&mut out, "", 0, n);
    }
    findings(&mut out, reader, p);
    if c.verdict != Verdict::No {
        needs(&mut out, reader, p);
        steps(&mut out, reader, p);
        if let Some(s) = &p.series {
            series(&mut out, reader, p, s);
        }
        zones(&mut out, reader, p);
        if let Some(a) = &p.air {
            air(&mut out, reader, a);
        }
        cups(&mut out, reader, p);
    }
    conflicts(&mut out, reader, p);
    let disagreements = wording::disagreements(&p.cure_laws);
    if !disagreements.is_empty() {
        title(&mut out, "Evidence on the cure that disagrees");
    }
    for told in disagreements {
        wrap(&mut out, "  ", 4, &format!("{}.", sentence(&told)));
    }
    let kept = p.kept.iter().filter(|f| !f.set_aside).count();
    let _ = writeln!(out, "\nLimits that are kept: {kept}; they stand on the page.");
    out
}

fn findings(out: &mut String, reader: Reader, p: &Plan) {
    title(out, "Findings");
    let groups = grouped(&p.findings);
    if groups.is_empty() {
        let _ = writeln!(out, "  none");
    }
    for g in &groups {
        finding(out, reader, g);
    }
    for w in &p.without_effect {
        let text = format!("{}.", sentence(&wording::without_effect(w)));
        wrap(out, "  advice   ", 11, &text);
    }
}

fn finding(out: &mut String, reader: Reader, g: &Grouped) {
    let first = format!("  {:<8} ", g.severity().to_string());
    wrap(
        out,
        &first,
        11,
        &format!(
            "{}.",
            message::cause(g.cause, g.low, g.severity(), reader.language)
        ),
    );
    let indent = " ".repeat(11);
    for (found, message) in wording::told(reader, g) {
        wrap(out, &indent, 13, &format!("{}. {message}.", found.join("; ")));
    }
    if let Some(s) = slip(reader, g) {
        wrap(out, &indent, 13, &s);
    }
    for way_out in wording::ways_out(reader, g) {
        wrap(out, &indent, 13, &format!("Change: {way_out}."));
    }
    for (rule, source) in wording::rules(reader, g) {
        wrap(out, &indent, 13, &format!("{rule}: {source}"));
    }
}

fn needs(out: &mut String, reader: Reader, p: &Plan) {
    title(out, "Materials");
    let _ = writeln!(
        out,
        "  {:<46} {:>11} {:>11} {:>11} {:>11}",
        "", "mass", "volume/area", "of it waste", "to order"
    );
    for n in &p.needs {
        let amount = match (n.volume, n.area) {
            (_, Some(a)) => reader.brief(a),
            (Some(v), _) => reader.brief(v),
            _ => String::new(),
        };
        let _ = writeln!(
            out,
            "  {:<46} {:>11} {:>11} {:>11} {:>11}",
            clip(&n.name, 46),
            reader.brief(n.mass),
            amount,
            reader.brief(n.waste),
            if n.to_order.si() > 0.0 {
                reader.brief(n.to_order)
            } else {
                "in stock".into()
            },
        );
    }
    wrap(out, "  ", 2, &wording::cost(p));
    for told in shelf::told(p, reader) {
        wrap(out, "  ", 4, &told);
    }
    let tools: Vec<String> = p.consumables.iter().map(wording::consumable).collect();
    wrap(out, "  ", 2, &format!("Ready beside them: {}.", tools.join("; ")));
}

fn steps(out: &mut String, reader: Reader, p: &Plan) {
    title(out, "Steps");
    for s in &p.steps {
        if s.wait_before.si() >= 60.0 {
            let _ = writeln!(
                out,
                "  {:<11}     … wait {}",
                "",
                reader.figures(s.wait_before, 2)
            );
        }
        wrap(
            out,
            &format!("  {:<11} {:>2}. ", s.start.to_string(), s.number),
            18,
            &s.text,
        );
        let indent = " ".repeat(18);
        for w in &s.watch {
            wrap(out, &indent, 18, &format!("({w})"));
        }
        if let Some(by) = wording::start_by(s) {
            wrap(out, &indent, 18, &format!("{by}."));
        }
        for c in p.cautions.iter().filter(|c| c.step == Some(s.number)) {
            wrap(out, &indent, 20, &format!("! {}", c.text));
        }
    }
}

/// Several castings from one mould: all above is of the first.
fn series(out: &mut String, reader: Reader, p: &Plan, s: &SeriesOfWork) {
    title(out, "The series");
    for (told, clock) in wording::series(reader, p, s) {
        wrap(out, "  ", 4, &format!("{}.", sentence(&told)));
        for l in clock {
            wrap(out, &format!("    {:<11} ", l.start.to_string()), 16, &l.text);
        }
    }
}

fn zones(out: &mut String, reader: Reader, p: &Plan) {
    title(out, "The part");
    for z in &p.zones {
        let t = z
            .thickness
            .map_or_else(|| "unknown thickness".into(), |t| reader.figures(t, 2));
        let glass = if z.reinforcement.si() > 0.0 {
            format!(", of it reinforcement {}", reader.figures(z.reinforcement, 3))
        } else {
            String::new()
        };
        let cured = z
            .cured_thickness
            .map_or_else(String::new, |t| format!(", {} cured", reader.figures(t, 2)));
        let _ = writeln!(
            out,
            "  {:<30} {:>10} thick as laid{cured}, {:>9}{glass}",
            clip(&z.zone, 30),
            t,
            reader.figures(z.mass, 3),
        );
    }
    let _ = writeln!(out, "  {:<30} {:>10}", "together", reader.figures(p.part_mass, 3));
    if let Some(v) = p.vapour.as_ref().filter(|v| v.lost.si() > 0.0) {
        wrap(out, "  ", 4, &wording::vapour(reader, v));
    }
    for line in wording::lines(reader, p) {
        wrap(out, "  ", 4, &line);
    }
}

/// What is breathed over the day.
fn air(out: &mut String, reader: Reader, a: &AirOfDay) {
    title(out, "The air");
    for line in wording::air(reader, a) {
        wrap(out, "  ", 4, &line);
    }
}

/// How sure each cup is, and what it does if it is left standing.
fn cups(out: &mut String, reader: Reader, p: &Plan) {
    title(out, "The cups in numbers");
    for b in &p.batches {
        let said: Vec<String> = [
            Some(wording::gel_time(reader, b)),
            wording::dose(reader, b),
            wording::left_standing(reader, b),
        ]
        .into_iter()
        .flatten()
        .collect();
        wrap(out, "  ", 4, &format!("{}: {}", b.name, said.join("; ")));
    }
}

fn conflicts(out: &mut String, reader: Reader, p: &Plan) {
    if p.conflicts.is_empty() {
        return;
    }
    title(out, "Rules that contradict each other");
    for c in &p.conflicts {
        wrap(out, "  ", 4, &format!("{}:", sentence(&c.about)));
        for r in &c.rules {
            let gives = wording::gives(reader, c, r).map_or_else(String::new, |g| format!(" → {g}"));
            let titles: Vec<&str> = r.sources.iter().map(|s| s.title.as_str()).collect();
            wrap(
                out,
                "    - ",
                6,
                &format!("{}{gives} ({})", wording::rule(reader, r), titles.join("; ")),
            );
        }
    }
}
