//! Sentences of a plan's numbers that stand behind the card, for text and page.

use super::cause::{Cause, Grouped, OneValue};
use super::figure::Reader;
use super::message::Say;
use crate::cure::{CureState, StaysStiff};
use crate::limit::{Finding, QuantityText};
use crate::plan::{
    ConflictingRules, Consumable, CureLaw, Plan, PlannedBatch, Rule, SeamSummary, Vapour, WithoutEffect,
    WorkStep, ZoneCure, ZoneSummary, sentence, words,
};
use crate::quantity::{self, MassFraction, Quantity};

/// What is given and changes nothing.
pub(super) fn without_effect(w: &WithoutEffect) -> String {
    format!("'{}' is given and changes nothing: {}", w.field, w.reason)
}

/// By when a step is to be begun, where that is near, and what it is then too late for.
pub(super) fn start_by(s: &WorkStep) -> Option<String> {
    const NEAR: f64 = 3600.0;
    let latest = s.latest.filter(|t| t.since(s.start).si() <= NEAR)?;
    match s.breaks.first() {
        Some(window) => Some(format!("Begin by {latest}: {window}")),
        None => Some(format!("Begin by {latest}")),
    }
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

/// What of the evidence on the resins' cure disagrees.
pub(super) fn disagreements(laws: &[CureLaw]) -> Vec<String> {
    let told = |l: &CureLaw| -> Vec<String> {
        let of = |d: &String| format!("{}: {d}", words(&l.resin));
        l.disagreements.iter().map(of).collect()
    };
    laws.iter().flat_map(told).collect()
}

/// What a full cup does if it is left standing. Its gel time is told once, with the cup.
pub(super) fn left_standing(reader: Reader, b: &PlannedBatch) -> Option<String> {
    let e = b.left_standing.as_ref()?;
    let decides = e.decides.as_ref().map_or_else(String::new, |d| format!("; {d}"));
    if e.gel.is_none() {
        return Some(format!(
            "left standing full it does not gel, by {}{decides}",
            e.basis
        ));
    }
    Some(format!(
        "left standing full it reaches {} ({} to {}) after {}, by {}{decides}",
        reader.figures(e.peak, 3),
        reader.figures(e.band.peak_low, 3),
        reader.figures(e.band.peak_high, 3),
        reader.figures(e.peak_at, 2),
        e.basis
    ))
}

/// When a zone may leave the mould, what the oven does, what it bears.
fn cure_of_zone(reader: Reader, c: &ZoneCure) -> Vec<String> {
    let glass = |s: &CureState| {
        s.glass_transition.map_or_else(String::new, |g| {
            format!(
                ", glass transition {} ({} to {})",
                reader.figures(g.value, 2),
                reader.figures(g.low, 2),
                reader.figures(g.high, 2)
            )
        })
    };
    let cured = |s: &CureState| match s.vitrified {
        Some(v) => format!(
            "{} ({} to {}) cured",
            reader.figures(s.conversion, 2),
            reader.figures(v.low, 2),
            reader.figures(v.high, 2)
        ),
        None => format!("{} cured", reader.figures(s.conversion, 2)),
    };
    let mut said = Vec::new();
    said.push(match (c.ready, c.sure, &c.stops_at) {
        (Some(t), Some(sure), _) if sure == t => format!("may leave the mould from {t}"),
        (Some(t), Some(sure), _) => format!("may leave the mould from {t}, surely from {sure}"),
        (Some(t), None, _) => format!("may leave the mould from {t}; by itself it is never sure"),
        (None, _, Some(s)) => format!(
            "by itself it stops at {} and never meets what demoulding asks for: warm it to {} for {}",
            reader.figures(s.conversion, 2),
            reader.figures(s.warm_to, 2),
            reader.figures(s.warm_for, 2)
        ),
        (None, _, None) => "never meets what demoulding asks for".to_owned(),
    });
    if let Some(t) = c.needed {
        said.push(format!(
            "for the deadline mould and air are kept at {} or warmer",
            reader.figures(t, 2)
        ));
    }
    said.push(format!(
        "at demoulding {}{}",
        cured(&c.at_demould),
        glass(&c.at_demould)
    ));
    for (i, s) in c.after_holds.iter().enumerate() {
        said.push(format!("after post-cure {} {}{}", i + 1, cured(s), glass(s)));
    }
    if !c.after_holds.is_empty() {
        let k = c.softest.si();
        said.push(if k > 0.0 {
            format!(
                "at {} it is {k:.0} K above its glass transition: soft, support it",
                c.softest_at
            )
        } else {
            format!("never nearer than {:.0} K to its glass transition", -k)
        });
    }
    if let Some(u) = &c.in_use {
        let (low, high) = (u.margin_low.si(), u.margin_high.si());
        let heat = reader.figures(u.state.temperature, 2);
        said.push(match u.stays {
            StaysStiff::Stiff => {
                format!("stays stiff at {heat} in use, {low:.0} to {high:.0} K below its glass transition")
            }
            StaysStiff::Unsure => format!(
                "may soften at {heat} in use: its glass transition lies {low:.0} to {high:.0} K above"
            ),
            StaysStiff::Softens => format!(
                "softens at {heat} in use, {:.0} to {:.0} K above its glass transition",
                -high, -low
            ),
        });
    }
    said
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
            if let Some(b) = &e.boiling {
                said.push(format!(
                    "monomer passes its boiling point in the {} after {} with {} of the mix unreacted",
                    b.place,
                    reader.figures(b.begins, 2),
                    reader.figures(b.monomer, 2)
                ));
            }
            if let Some(t) = e.gelled {
                said.push(format!("all gelled after {}", reader.figures(t, 2)));
            }
            if let (Some(c), None) = (e.cure_at_demould, &z.cure) {
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
        said.extend(z.cure.iter().flat_map(|c| cure_of_zone(reader, c)));
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

/// What leaves the films before they cure.
pub(super) fn vapour(reader: Reader, v: &Vapour) -> String {
    format!(
        "{} of monomer and solvent leave the open films before they cure ({} to {}), of {} that there is; the mass above is \
         without them",
        reader.figures(v.lost, 2),
        reader.figures(v.low, 2),
        reader.figures(v.high, 2),
        reader.figures(v.there_was, 2)
    )
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
