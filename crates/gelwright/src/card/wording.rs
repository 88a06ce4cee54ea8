//! Sentences of a plan's numbers that stand behind the card, for text and page.

use super::cause::{Cause, Grouped, OneValue};
use super::figure::Reader;
use super::message::Say;
use crate::limit::{Finding, QuantityText};
use crate::plan::{
    ConflictingRules, Consumable, Plan, PlannedBatch, Rule, SeamSummary, WithoutEffect, ZoneSummary, sentence,
};
use crate::quantity::{self, MassFraction, Quantity};

/// What is given and changes nothing.
pub(super) fn without_effect(w: &WithoutEffect) -> String {
    format!("'{}' is given and changes nothing: {}", w.field, w.reason)
}

/// What a rule says.
pub(super) fn rule(reader: Reader, r: &Rule) -> String {
    let text = |t: &QuantityText| {
        let of_glass = t.read::<MassFraction>("").map(quantity::show);
        of_glass.unwrap_or_else(|_| reader.of_text(t, quantity::Phr::MEASURE))
    };
    if let (Some(_), Some(Ok(w))) = (r.resin, r.low.as_ref().map(|t| t.read::<MassFraction>(""))) {
        return format!(
            "{} of glass, resin to mat {:.2} : 1 by mass",
            quantity::show(w),
            (1.0 - w.get()) / w.get()
        );
    }
    let range = match (&r.low, &r.high) {
        (Some(l), Some(h)) => format!("{} to {}", text(l), text(h)),
        (Some(l), None) => format!("at least {}", text(l)),
        (None, Some(h)) => format!("at most {}", text(h)),
        (None, None) => "no bound".to_owned(),
    };
    match (&r.about, &r.printed) {
        (Some(a), _) => format!("{a}: {range}"),
        (None, Some(p)) => format!("{range} (printed: {p})"),
        (None, None) => range,
    }
}

/// What follows from a rule for this plan.
pub(super) fn gives(reader: Reader, c: &ConflictingRules, r: &Rule) -> Option<String> {
    let resin = reader.brief(r.resin?);
    Some(match &c.zone {
        Some(zone) => format!("{resin} of resin for this ply on {zone}"),
        None => format!("{resin} of resin for this ply"),
    })
}

/// What a full cup does if it is left standing. Its gel time is told once, with the cup.
pub(super) fn left_standing(reader: Reader, b: &PlannedBatch) -> Option<String> {
    let e = b.left_standing.as_ref()?;
    Some(format!(
        "left standing full it reaches {} after {}",
        reader.figures(e.peak, 3),
        reader.figures(e.peak_at, 2)
    ))
}

/// How sure the dose of a cup is.
pub(super) fn dose(reader: Reader, b: &PlannedBatch) -> Option<String> {
    let d = b.batch.cure_dose.as_ref()?;
    let by = b.batch.cure_part()?.measured_by;
    let dose = &d.by_mass;
    Some(format!(
        "dose {}; by {by} it comes out between {} and {}",
        reader.figures(dose.value, 2),
        reader.figures(dose.low, 2),
        reader.figures(dose.high, 2)
    ))
}

/// When a cup gels.
pub(super) fn gel_time(reader: Reader, b: &PlannedBatch) -> String {
    b.gel_time.as_ref().map_or_else(
        || "gel time unknown".to_owned(),
        |g| {
            let outside = g
                .extrapolated
                .as_ref()
                .map_or_else(String::new, |e| format!(" ({e})"));
            format!(
                "gels in {} ({} to {}){outside}",
                reader.figures(g.time, 2),
                reader.figures(g.low, 2),
                reader.figures(g.high, 2)
            )
        },
    )
}

/// A limit that is kept: its value and its bound.
pub(super) fn kept(reader: Reader, f: &Finding) -> (String, String) {
    let held = reader.held(f);
    (held.value.unwrap_or_default(), held.bound.unwrap_or_default())
}

/// What is known of each zone and seam as it comes out.
pub(super) fn lines(reader: Reader, zones: &[ZoneSummary], seams: &[SeamSummary]) -> Vec<String> {
    let mut zones_said: Vec<(String, String)> = Vec::new();
    for z in zones {
        let mut said = Vec::new();
        if let Some(e) = &z.exotherm {
            said.push(format!(
                "peaks at {} in the {} after {}, the mould's face sees {}",
                reader.figures(e.peak, 2),
                e.peak_in,
                reader.figures(e.peak_at, 2),
                reader.figures(e.mould_face, 2)
            ));
            if let Some(t) = e.gelled {
                said.push(format!("all gelled after {}", reader.figures(t, 2)));
            }
            if let Some(c) = e.cure_at_demould {
                said.push(match e.vitrified {
                    Some(v) => format!(
                        "{} ({} to {}) cured at demoulding, vitrified: only warmth takes it further",
                        reader.figures(c, 2),
                        reader.figures(v.low, 2),
                        reader.figures(v.high, 2)
                    ),
                    None => format!("{} cured at demoulding", reader.figures(c, 2)),
                });
            }
        }
        if let Some(s) = &z.shell {
            said.push(format!(
                "laminate {} stiff, its weakest ply breaks at {}",
                reader.figures(s.modulus, 2),
                reader.figures(s.strength, 2)
            ));
        }
        if let Some(e) = &z.edge {
            said.push(format!(
                "edge bends {} and strains {} when pulled, breaks at {}",
                reader.figures(e.deflection, 2),
                reader.figures(e.strain, 2),
                reader.figures(e.breaks_at, 2)
            ));
        }
        if let Some(c) = z.contrast_ratio {
            said.push(format!("contrast ratio {}", reader.figures(c, 2)));
        }
        if let Some(l) = &z.light_through {
            said.push(if l.low.get() < l.high.get() {
                format!(
                    "{} to {} of the light comes through, by bubbles and colour",
                    reader.figures(l.low, 2),
                    reader.figures(l.high, 2)
                )
            } else {
                format!("{} of the light comes through", reader.figures(l.through, 2))
            });
        }
        if !said.is_empty() {
            zones_said.push((z.zone.clone(), said.join("; ")));
        }
    }
    // Zones that come out alike are told together.
    let mut alike: Vec<(Vec<String>, String)> = Vec::new();
    for (zone, said) in zones_said {
        match alike.iter_mut().find(|a| a.1 == said) {
            Some(a) => a.0.push(zone),
            None => alike.push((vec![zone], said)),
        }
    }
    let mut all: Vec<String> = alike
        .into_iter()
        .map(|(zones, said)| format!("{}: {said}", zones.join(", ")))
        .collect();
    for s in seams {
        let mut said = vec![format!(
            "paste like {}, {} times what the bead needs to stay on a vertical face",
            s.consistency,
            quantity::figures((10.0 * s.against_sag.get()).round() / 10.0)
        )];
        if let (Some(t), Some(out), Some(p)) = (s.thickness, s.squeezed_out, s.pressure) {
            said.push(format!(
                "clamped at {} it gels {} thick, {} squeezed out",
                reader.figures(p, 2),
                reader.figures(t, 2),
                reader.figures(out, 2)
            ));
        }
        all.push(format!("{}: {}", s.seam, said.join("; ")));
    }
    all
}

/// What was found, and what happens then, each message once.
pub(super) fn told(reader: Reader, g: &Grouped) -> Vec<(Vec<String>, String)> {
    let mut by_message: Vec<(&str, Vec<&OneValue>)> = Vec::new();
    for v in &g.values {
        let message = v.findings[0].message.as_str();
        match by_message.iter_mut().find(|m| m.0 == message) {
            Some(m) => m.1.push(v),
            None => by_message.push((message, vec![v])),
        }
    }
    by_message
        .into_iter()
        .map(|(message, values)| (reader.found(&values), sentence(&reader.told(message))))
        .collect()
}

/// What to do instead, each way once, those of the worst findings first.
pub(super) fn ways_out(reader: Reader, g: &Grouped) -> Vec<String> {
    if g.cause == Cause::Contradiction {
        return vec![sentence(reader.say(Say::FollowSheet))];
    }
    let mut all: Vec<String> = Vec::new();
    for v in &g.values {
        let way_out = sentence(&reader.told(&v.findings[0].way_out));
        if !all.contains(&way_out) {
            all.push(way_out);
        }
    }
    all
}

/// The rules that are broken, each once, with its source: "advice, at least 15 °C".
pub(super) fn rules(reader: Reader, g: &Grouped) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for f in g.values.iter().flat_map(|v| &v.findings) {
        let bound = reader
            .held(f)
            .bound
            .map_or_else(String::new, |b| format!(", {b}"));
        let rule = (
            format!("{}{bound}", sentence(&f.severity.to_string())),
            f.source.to_string(),
        );
        if !all.contains(&rule) {
            all.push(rule);
        }
    }
    all
}

/// What all of it costs, and what that leaves out.
pub(super) fn cost(p: &Plan) -> String {
    let Some(c) = &p.cost else {
        return "Cost unknown: no price is entered.".to_owned();
    };
    let rest = if p.without_price.is_empty() {
        String::new()
    } else {
        format!(
            ", without {}, whose price is not entered",
            p.without_price.join(", ")
        )
    };
    format!(
        "Cost, waste included: {:.2} {}{rest}.",
        c.amount,
        c.currency.code()
    )
}

/// "3 × brush".
pub(super) fn consumable(c: &Consumable) -> String {
    match c.count {
        Some(n) => format!("{n} × {}", c.name),
        None => c.name.clone(),
    }
}
