//! The plan as HTML: a page that needs no network and prints, and a fragment for a notebook.

use std::fmt::Write as _;

use super::planned::{Plan, PlannedBatch};
use super::wording::{self, Group, grouped, left_standing};
use super::words::{sentence, words};
use crate::limit::Severity;
use crate::quantity::{self, Quantity};

/// Ink on paper: severity is said in words and weight, so that a grey print reads the same.
const STYLE: &str = "
.gelwright { font: 15px/1.45 Georgia, 'Times New Roman', serif; color: #1d1b18; max-width: 62rem; }
.gelwright h1 { font-size: 1.7rem; margin: 0 0 .2rem; }
.gelwright h2 { font-size: 1.15rem; margin: 1.6rem 0 .4rem; border-bottom: 1px solid #b9b2a6; }
.gelwright h3 { font-size: 1rem; margin: 1rem 0 .2rem; }
.gelwright table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
.gelwright th, .gelwright td { text-align: left; vertical-align: top; padding: .18rem .6rem .18rem 0; border-bottom: 1px solid #e3ddd2; background: none; }
.gelwright td.n, .gelwright th.n { text-align: right; white-space: nowrap; }
.gelwright .quiet { color: #6a645a; font-size: .9em; }
.gelwright .stop { border: 3px double #1d1b18; padding: .5rem .8rem; font-weight: bold; }
.gelwright .finding { margin: .5rem 0; padding-left: .8rem; border-left: 3px solid #6a645a; }
.gelwright .finding.severe { border-left-width: 8px; border-color: #1d1b18; }
.gelwright .finding p { margin: .1rem 0; }
.gelwright svg text { font: 11px Georgia, serif; fill: #1d1b18; }
@media print { .gelwright { font-size: 11px; max-width: none; } .gelwright section { break-inside: avoid; } .sheet { break-before: page; } }
";

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

pub(super) fn page(plans: &[Plan]) -> String {
    let title = plans
        .iter()
        .map(|p| escape(&p.casting))
        .collect::<Vec<_>>()
        .join(" — ");
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>body {{ margin: 2rem auto; max-width: 62rem; padding: 0 1rem; }}{STYLE}</style>\n</head>\n<body>\n"
    );
    for (i, p) in plans.iter().enumerate() {
        let _ = writeln!(
            out,
            "<main class=\"gelwright{}\">",
            if i > 0 { " sheet" } else { "" }
        );
        body(&mut out, p);
        out.push_str("</main>\n");
    }
    out.push_str("</body>\n</html>\n");
    out
}

pub(super) fn fragment(p: &Plan) -> String {
    let mut out = format!("<style>{STYLE}</style>\n<div class=\"gelwright\">\n");
    body(&mut out, p);
    out.push_str("</div>\n");
    out
}

fn body(out: &mut String, p: &Plan) {
    let _ = writeln!(
        out,
        "<h1>{}</h1>\n<p>Planned for {}, {} relative humidity.{}</p>",
        escape(&p.casting),
        quantity::brief_in(p.temperature, p.units),
        quantity::show(p.humidity),
        p.note.as_ref().map_or_else(String::new, |n| format!(
            " <span class=\"quiet\">{}</span>",
            escape(n)
        ))
    );
    if p.stopped {
        out.push_str("<p class=\"stop\">Do not start: a finding below says stop.</p>\n");
    }
    findings(out, p);
    clock_picture(out, p);
    needs(out, p);
    batches(out, p);
    steps(out, p);
    zones(out, p);
    conflicts(out, p);
    kept(out, p);
    out.push_str("<section><h2>Take care</h2>\n<ul>\n");
    for c in &p.cautions {
        let _ = writeln!(
            out,
            "<li>{} <span class=\"quiet\">({})</span></li>",
            escape(&c.text),
            escape(&c.about.join(", "))
        );
    }
    out.push_str("</ul></section>\n");
}

fn findings(out: &mut String, p: &Plan) {
    out.push_str("<section><h2>Findings</h2>\n");
    if p.findings.is_empty() {
        let _ = writeln!(
            out,
            "<p>None: {} limits are kept.</p>",
            p.kept.iter().filter(|f| !f.set_aside).count()
        );
    }
    for group in grouped(&p.findings) {
        finding(out, &group);
    }
    for told in wording::disagreements(&p.cure_laws) {
        let _ = writeln!(
            out,
            "<div class=\"finding\"><p>{}.</p></div>",
            escape(&sentence(&told))
        );
    }
    for w in &p.without_effect {
        let text = sentence(&wording::without_effect(w));
        let _ = writeln!(out, "<div class=\"finding\"><p>{}.</p></div>", escape(&text));
    }
    out.push_str("</section>\n");
}

fn finding(out: &mut String, group: &Group) {
    let f = group.findings[0];
    let class = if f.severity >= Severity::Warning {
        "finding severe"
    } else {
        "finding"
    };
    let _ = writeln!(
        out,
        "<div class=\"{class}\"><p><b>{}</b> — {}, {}: {}</p><p>{}.{}</p>\
         <p>Way out: {}.</p><p class=\"quiet\">{}{}</p></div>",
        sentence(&f.severity.to_string()),
        escape(f.quantity.noun()),
        escape(&group.subject()),
        wording::off(f, |value| format!("<b>{}</b>", escape(value))),
        escape(&sentence(&f.message)),
        group.slip().map_or_else(String::new, |(f, s)| format!(
            " <b>{}.</b>",
            escape(&sentence(&wording::slip(f, s)))
        )),
        escape(f.way_out.trim_end_matches('.')),
        escape(&f.source.to_string()),
        group.findings[1..]
            .iter()
            .map(|also| format!(
                "<br>Also {}: {}",
                escape(&wording::bound(also).unwrap_or_default()),
                escape(&also.source.to_string())
            ))
            .collect::<String>()
    );
}

/// The day as bars: the hands above, the cups' working times below.
fn clock_picture(out: &mut String, p: &Plan) {
    let (Some(first), Some(last)) = (p.steps.first(), p.steps.last()) else {
        return;
    };
    // The night in the mould says nothing: the picture ends with the last cup, or the closing.
    let end = p
        .steps
        .iter()
        .rfind(|s| s.start.since(first.start).si() < 16.0 * 3600.0)
        .map_or(last.end, |s| s.end);
    let span = end.since(first.start).si().max(60.0);
    let (left, width) = (120.0, 860.0);
    let x = |s: f64| left + width * s / span;
    let rows = p.batches.len() + 1;
    let height = 26.0 + 17.0 * rows as f64;
    let _ = writeln!(
        out,
        "<section><h2>The day</h2>\n<svg viewBox=\"0 0 1000 {height:.0}\" width=\"100%\" role=\"img\" \
         aria-label=\"Steps and working times on the clock\">"
    );
    let step = [900.0, 1800.0, 3600.0, 7200.0, 14_400.0]
        .into_iter()
        .find(|s| span / s < 14.0)
        .unwrap_or(28_800.0);
    let mut t = 0.0;
    while t <= span {
        let clock = first
            .start
            .after(uom::si::f64::Time::new::<uom::si::time::second>(t));
        let _ = writeln!(
            out,
            "<line x1=\"{0:.1}\" x2=\"{0:.1}\" y1=\"16\" y2=\"{height:.0}\" stroke=\"#e3ddd2\"/><text x=\"{0:.1}\" y=\"11\" text-anchor=\"middle\">{clock}</text>",
            x(t)
        );
        t += step;
    }
    let _ = writeln!(out, "<text x=\"0\" y=\"30\">hands</text>");
    for s in &p.steps {
        let (a, b) = (s.start.since(first.start).si(), s.end.since(first.start).si());
        if b <= span + 1.0 {
            let _ = writeln!(
                out,
                "<rect x=\"{:.1}\" y=\"20\" width=\"{:.1}\" height=\"12\" fill=\"#1d1b18\" stroke=\"#fff\"><title>{}</title></rect>",
                x(a),
                (x(b) - x(a)).max(1.0),
                escape(&s.text)
            );
        }
    }
    for (i, b) in p.batches.iter().enumerate() {
        let y = 37.0 + 17.0 * i as f64;
        let a = b.start.since(first.start).si();
        let _ = writeln!(
            out,
            "<text x=\"0\" y=\"{:.0}\">{}</text>",
            y + 10.0,
            escape(&b.name)
        );
        if let Some(by) = b.use_by {
            let e = by.since(first.start).si();
            let _ = writeln!(
                out,
                "<rect x=\"{:.1}\" y=\"{y:.0}\" width=\"{:.1}\" height=\"12\" fill=\"#b9b2a6\"><title>empty by {by}</title></rect>",
                x(a),
                (x(e.min(span)) - x(a)).max(1.0)
            );
        }
        let _ = writeln!(
            out,
            "<rect x=\"{:.1}\" y=\"{:.0}\" width=\"{:.1}\" height=\"4\" fill=\"#1d1b18\"/>",
            x(a),
            y + 4.0,
            (width * b.placing.si() / span).max(1.0)
        );
    }
    out.push_str("</svg>\n<p class=\"quiet\">Black: hands at work. Grey: the time in which a cup is to be used up.</p></section>\n");
}

fn needs(out: &mut String, p: &Plan) {
    out.push_str(
        "<section><h2>Shot list</h2>\n<table><tr><th>material</th><th class=\"n\">mass</th><th class=\"n\">volume or area</th>\
         <th class=\"n\">of it waste</th><th class=\"n\">to order</th><th class=\"n\">cost</th></tr>\n",
    );
    for n in &p.needs {
        let amount = match (n.volume, n.area) {
            (_, Some(a)) => quantity::brief_in(a, p.units),
            (Some(v), _) => quantity::brief_in(v, p.units),
            _ => String::new(),
        };
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{amount}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
            escape(&n.name),
            quantity::brief_in(n.mass, p.units),
            quantity::brief_in(n.waste, p.units),
            if n.to_order.si() > 0.0 {
                quantity::brief_in(n.to_order, p.units)
            } else {
                "in stock".into()
            },
            n.cost
                .map_or_else(String::new, |c| format!("{:.2} {}", c.amount, c.currency.code())),
        );
    }
    out.push_str("</table>\n");
    if let Some(c) = &p.cost {
        let rest = if p.without_price.is_empty() {
            String::new()
        } else {
            format!(
                " Without {}, whose price is not entered.",
                escape(&p.without_price.join(", "))
            )
        };
        let _ = writeln!(
            out,
            "<p>Cost, waste included: <b>{:.2} {}</b>.{rest}</p>",
            c.amount,
            c.currency.code()
        );
    }
    out.push_str("</section>\n");
}

fn batches(out: &mut String, p: &Plan) {
    out.push_str("<section><h2>Batches</h2>\n");
    for b in &p.batches {
        batch(out, p, b);
    }
    out.push_str("</section>\n");
}

fn batch(out: &mut String, p: &Plan, b: &PlannedBatch) {
    let _ = writeln!(
        out,
        "<h3>{} — {} at {}{}</h3>\n<p>{} for {}{}</p>\n<table>",
        escape(&sentence(&b.name)),
        escape(&words(&b.recipe)),
        b.start,
        b.use_by.map_or_else(String::new, |t| format!(", empty by {t}")),
        quantity::brief_in(b.batch.mass, p.units),
        escape(&b.zones.join(", ")),
        b.gel_time.as_ref().map_or_else(String::new, |g| format!(
            "; gels in {} ({} to {}){}",
            quantity::brief(g.time),
            quantity::brief(g.low),
            quantity::brief(g.high),
            g.extrapolated.as_ref().map_or_else(String::new, |e| format!(
                " <span class=\"quiet\">— {}</span>",
                escape(e)
            ))
        )),
    );
    for part in &b.batch.parts {
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
            escape(&part.name),
            quantity::brief_in(part.mass, p.units),
            quantity::brief_in(part.volume, p.units),
            part.drops
                .map_or_else(String::new, |d| format!("{:.0} drops", d.round())),
            quantity::brief(part.on_resin),
        );
    }
    out.push_str("</table>\n");
    if let Some(text) = left_standing(b) {
        let _ = writeln!(out, "<p class=\"quiet\">{}.</p>", escape(&sentence(&text)));
    }
    if let Some(d) = &b.batch.cure_dose {
        let by = b
            .batch
            .cure_part()
            .map_or_else(String::new, |p| p.measured_by.to_string());
        let _ = writeln!(
            out,
            "<p class=\"quiet\">Dose {} = {}; measured by {by} it comes out between {} and {} (95 %).</p>",
            escape(&d.dose.to_string()),
            quantity::brief(d.by_mass.value),
            quantity::brief(d.by_mass.low),
            quantity::brief(d.by_mass.high)
        );
    }
}

fn steps(out: &mut String, p: &Plan) {
    out.push_str("<section><h2>Clock</h2>\n<table><tr><th>start</th><th>free again</th><th class=\"n\"></th><th>do</th></tr>\n");
    for s in &p.steps {
        if s.wait_before.si() >= 60.0 {
            let _ = writeln!(
                out,
                "<tr><td colspan=\"3\"></td><td class=\"quiet\">… wait {}</td></tr>",
                quantity::brief(s.wait_before)
            );
        }
        let watch: String = s
            .watch
            .iter()
            .map(|w| format!("<br><span class=\"quiet\">{}</span>", escape(w)))
            .collect();
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td>{}</td><td class=\"n\">{}</td><td>{}{watch}</td></tr>",
            s.start,
            s.end,
            s.number,
            escape(&s.text)
        );
    }
    out.push_str("</table></section>\n");
}

fn zones(out: &mut String, p: &Plan) {
    out.push_str(
        "<section><h2>The part</h2>\n<table><tr><th>zone</th><th class=\"n\">thickness as laid</th><th class=\"n\">mass</th><th class=\"n\">of it reinforcement</th></tr>\n",
    );
    for z in &p.zones {
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
            escape(&z.zone),
            z.thickness
                .map_or_else(|| "unknown".into(), |t| quantity::brief_in(t, p.units)),
            quantity::brief_in(z.mass, p.units),
            quantity::brief_in(z.reinforcement, p.units)
        );
    }
    let _ = writeln!(
        out,
        "<tr><td>together, with seams and inserts</td><td></td><td class=\"n\">{}</td><td></td></tr></table>",
        quantity::brief_in(p.part_mass, p.units)
    );
    for line in wording::lines(&p.zones, &p.seams) {
        let _ = writeln!(out, "<p>{}</p>", escape(&line));
    }
    out.push_str("</section>\n");
}

fn conflicts(out: &mut String, p: &Plan) {
    if p.conflicts.is_empty() {
        return;
    }
    out.push_str("<section><h2>Rules that contradict each other</h2>\n");
    for c in &p.conflicts {
        let _ = writeln!(out, "<h3>{}</h3><table>", escape(&sentence(&c.about)));
        for r in &c.rules {
            let _ = writeln!(
                out,
                "<tr><td>{}</td><td>{}</td><td class=\"quiet\">{}</td></tr>",
                escape(&wording::rule(r)),
                wording::gives(c, r).map_or_else(String::new, |g| escape(&g)),
                r.sources
                    .iter()
                    .map(|s| escape(&s.to_string()))
                    .collect::<Vec<_>>()
                    .join("<br>")
            );
        }
        out.push_str("</table>\n");
    }
    out.push_str("</section>\n");
}

fn kept(out: &mut String, p: &Plan) {
    out.push_str(
        "<details><summary>Limits that are kept, with their margins</summary>\n<table><tr><th>limit</th><th>of</th>\
         <th class=\"n\">value</th><th class=\"n\">bound</th><th class=\"n\">margin</th><th>source</th></tr>\n",
    );
    for f in &p.kept {
        let _ = writeln!(
            out,
            "<tr><td>{}{}</td><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"quiet\">{}</td></tr>",
            escape(f.quantity.noun()),
            if f.set_aside {
                " (set aside by the data sheet)"
            } else {
                ""
            },
            escape(&words(&f.subject)),
            escape(&wording::value(f)),
            escape(&wording::bound(f).unwrap_or_default()),
            escape(&wording::margin(f).unwrap_or_default()),
            escape(&f.source.to_string())
        );
    }
    out.push_str("</table></details>\n");
}
