//! The plan as plain text for the bench.

use std::fmt::Write as _;

use super::planned::{Plan, PlannedBatch};
use super::wording::{self, Group, grouped, left_standing};
use super::words::{sentence, words};
use crate::limit::Severity;
use crate::quantity::{self, BenchUnits, Quantity};

/// `text` wrapped to the sheet's width behind `indent`, its first line behind `first`.
fn wrap(out: &mut String, first: &str, indent: usize, text: &str) {
    const WIDTH: usize = 98;
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(out, "{}", line.trim_end());
            line = " ".repeat(indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

fn title(out: &mut String, text: &str) {
    let _ = writeln!(out, "\n{}", text.to_uppercase());
}

pub(super) fn sheet(p: &Plan) -> String {
    let mut out = String::new();
    let show_t = quantity::brief_in(p.temperature, p.units);
    let _ = writeln!(out, "{}", p.casting);
    let _ = writeln!(
        out,
        "planned for {show_t}, {} relative humidity",
        quantity::show(p.humidity)
    );
    if let Some(n) = &p.note {
        wrap(&mut out, "", 0, n);
    }
    if p.stopped {
        let _ = writeln!(out, "\nDO NOT START: see the findings.");
    }
    findings(&mut out, p);
    needs(&mut out, p);
    batches(&mut out, p);
    steps(&mut out, p);
    zones(&mut out, p);
    made(&mut out, p);
    conflicts(&mut out, p);
    title(&mut out, "Take care");
    for c in &p.cautions {
        wrap(&mut out, "  - ", 4, &c.text);
    }
    out
}

pub(super) fn findings_sheet(p: &Plan) -> String {
    let mut out = String::new();
    for group in grouped(&p.findings) {
        finding(&mut out, &group);
    }
    out
}

fn findings(out: &mut String, p: &Plan) {
    title(out, "Findings");
    if p.findings.is_empty() {
        let _ = writeln!(
            out,
            "  none; {} limits are kept",
            p.kept.iter().filter(|f| !f.set_aside).count()
        );
    }
    out.push_str(&findings_sheet(p));
    for told in wording::disagreements(&p.cure_laws) {
        wrap(
            out,
            &format!("  {:<8} ", Severity::Advice),
            11,
            &format!("{}.", sentence(&told)),
        );
    }
    for w in &p.without_effect {
        let text = format!("{}.", sentence(&wording::without_effect(w)));
        wrap(out, &format!("  {:<8} ", Severity::Advice), 11, &text);
    }
}

fn finding(out: &mut String, group: &Group) {
    let f = group.findings[0];
    let first = format!("  {:<8} ", f.severity.to_string());
    let subject = group.subject();
    wrap(
        out,
        &first,
        11,
        &format!(
            "{}, {subject}: {}.",
            f.quantity.noun(),
            wording::off(f, str::to_owned)
        ),
    );
    let indent = " ".repeat(11);
    wrap(out, &indent, 11, &format!("{}.", sentence(&f.message)));
    if let Some((f, s)) = group.slip() {
        wrap(out, &indent, 11, &format!("{}.", sentence(&wording::slip(f, s))));
    }
    wrap(
        out,
        &indent,
        11,
        &format!("Way out: {}.", f.way_out.trim_end_matches('.')),
    );
    wrap(out, &indent, 13, &format!("Source: {}", f.source));
    for also in &group.findings[1..] {
        let bound = wording::bound(also).unwrap_or_default();
        wrap(out, &indent, 13, &format!("Also {bound}: {}", also.source));
    }
}

fn needs(out: &mut String, p: &Plan) {
    title(out, "Shot list");
    let _ = writeln!(
        out,
        "  {:<46} {:>11} {:>11} {:>9} {:>11}",
        "material", "mass", "volume/area", "of it waste", "to order"
    );
    for n in &p.needs {
        let amount = match (n.volume, n.area) {
            (_, Some(a)) => quantity::brief_in(a, p.units),
            (Some(v), _) => quantity::brief_in(v, p.units),
            _ => String::new(),
        };
        let _ = writeln!(
            out,
            "  {:<46} {:>11} {:>11} {:>11} {:>11}",
            clip(&n.name, 46),
            quantity::brief_in(n.mass, p.units),
            amount,
            quantity::brief_in(n.waste, p.units),
            if n.to_order.si() > 0.0 {
                quantity::brief_in(n.to_order, p.units)
            } else {
                "in stock".into()
            },
        );
    }
    if let Some(c) = &p.cost {
        let rest = if p.without_price.is_empty() {
            String::new()
        } else {
            format!(
                " (without {}, whose price is not entered)",
                p.without_price.join(", ")
            )
        };
        wrap(
            out,
            "  ",
            2,
            &format!(
                "Cost, waste included: {:.2} {}{rest}.",
                c.amount,
                c.currency.code()
            ),
        );
    }
}

fn clip(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        text.to_owned()
    } else {
        text.chars().take(width - 1).chain(['…']).collect()
    }
}

fn batches(out: &mut String, p: &Plan) {
    title(out, "Batches");
    for b in &p.batches {
        batch(out, p.units, b);
    }
}

fn batch(out: &mut String, units: BenchUnits, b: &PlannedBatch) {
    let use_by = b.use_by.map_or_else(String::new, |t| format!(", empty by {t}"));
    wrap(
        out,
        "  ",
        4,
        &format!(
            "{} — {} at {}{use_by}: {}, for {}",
            b.name,
            words(&b.recipe),
            b.start,
            quantity::brief_in(b.batch.mass, units),
            b.zones.join(", ")
        ),
    );
    for part in &b.batch.parts {
        let drops = part
            .drops
            .map_or_else(String::new, |d| format!("  {:>3.0} drops", d.round()));
        let _ = writeln!(
            out,
            "    {:<46} {:>10}  {:>10}{drops}",
            clip(&part.name, 46),
            quantity::brief_in(part.mass, units),
            quantity::brief_in(part.volume, units),
        );
    }
    if let Some(text) = left_standing(b) {
        wrap(out, "    ", 4, &text);
    }
    if let Some(d) = &b.batch.cure_dose {
        let by = b
            .batch
            .cure_part()
            .map_or_else(String::new, |p| p.measured_by.to_string());
        wrap(
            out,
            "    ",
            4,
            &format!(
                "dose {} = {}; by {by} it comes out between {} and {}",
                d.dose,
                quantity::brief(d.by_mass.value),
                quantity::brief(d.by_mass.low),
                quantity::brief(d.by_mass.high)
            ),
        );
    }
}

fn steps(out: &mut String, p: &Plan) {
    title(out, "Clock");
    for s in &p.steps {
        if s.wait_before.si() >= 60.0 {
            let _ = writeln!(out, "  {:<11}     … wait {}", "", quantity::brief(s.wait_before));
        }
        wrap(
            out,
            &format!("  {:<11} {:>2}. ", s.start.to_string(), s.number),
            18,
            &s.text,
        );
        for w in &s.watch {
            wrap(out, &" ".repeat(18), 18, &format!("({w})"));
        }
    }
}

fn zones(out: &mut String, p: &Plan) {
    title(out, "The part");
    for z in &p.zones {
        let t = z
            .thickness
            .map_or_else(|| "unknown thickness".into(), |t| quantity::brief_in(t, p.units));
        let _ = writeln!(
            out,
            "  {:<30} {:>10} thick as laid, {:>9}, of it reinforcement {}",
            z.zone,
            t,
            quantity::brief_in(z.mass, p.units),
            quantity::brief_in(z.reinforcement, p.units)
        );
    }
    let _ = writeln!(
        out,
        "  {:<30} {:>10}",
        "together",
        quantity::brief_in(p.part_mass, p.units)
    );
}

/// How stiff, strong, opaque and lit it comes out.
fn made(out: &mut String, p: &Plan) {
    for line in wording::lines(&p.zones, &p.seams) {
        wrap(out, "  ", 4, &line);
    }
}

fn conflicts(out: &mut String, p: &Plan) {
    if p.conflicts.is_empty() {
        return;
    }
    title(out, "Rules that contradict each other");
    for c in &p.conflicts {
        wrap(out, "  ", 4, &format!("{}:", sentence(&c.about)));
        for r in &c.rules {
            let gives = wording::gives(c, r).map_or_else(String::new, |g| format!(" → {g}"));
            let titles: Vec<&str> = r.sources.iter().map(|s| s.title.as_str()).collect();
            wrap(
                out,
                "    - ",
                6,
                &format!("{}{gives} ({})", wording::rule(r), titles.join("; ")),
            );
        }
    }
}
