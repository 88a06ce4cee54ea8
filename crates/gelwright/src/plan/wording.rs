//! Sentences of a plan's numbers, for the sheet and the page.

use super::checks::{ConflictingRules, GEL_TIME_UNKNOWN, Rule};
use super::part::SeamSummary;
use super::planned::{PlannedBatch, ZoneSummary};
use super::without_effect::WithoutEffect;
use super::words::words;
use crate::limit::{Bound, Finding, QuantityText, SlipOfTen};
use crate::quantity::{self, MassFraction, Measure, show_si};

/// A text with its unit as it stands on a bench; as it is, where it is of another kind.
fn shown(text: &QuantityText, of: &Measure) -> String {
    text.si("", of)
        .map_or_else(|_| text.as_str().to_owned(), |si| show_si(si, of))
}

/// A finding's value, with its low and high end where it is no surer.
pub(super) fn value(f: &Finding) -> String {
    let text = |v| shown(v, f.quantity.measure());
    match (&f.value, &f.value_low, &f.value_high) {
        (None, _, _) => "unknown".to_owned(),
        (Some(v), Some(low), Some(high)) => format!("{}, between {} and {}", text(v), text(low), text(high)),
        (Some(v), _, _) => text(v),
    }
}

/// "at most 2 phr".
pub(super) fn bound(f: &Finding) -> Option<String> {
    let of = f.quantity.measure();
    Some(match f.bound()? {
        Bound::AtLeast(b) => format!("at least {}", shown(b, of)),
        Bound::AtMost(b) => format!("at most {}", shown(b, of)),
    })
}

/// How far inside its bound a value lies.
pub(super) fn margin(f: &Finding) -> Option<String> {
    Some(shown(f.margin.as_ref()?, f.quantity.difference()))
}

/// "0.1795 phr (at least 0.9 phr, off by 0.7205 phr)", its value as `strong` shows it.
pub(super) fn off(f: &Finding, strong: impl Fn(&str) -> String) -> String {
    let value = strong(&value(f));
    match (bound(f), margin(f)) {
        (Some(b), Some(m)) => format!("{value} ({b}, off by {})", m.trim_start_matches('-')),
        _ => value,
    }
}

/// What was probably meant.
pub(super) fn slip(f: &Finding, s: &SlipOfTen) -> String {
    let (catalyst, resin) = if s.times > 1.0 {
        ("ten times as much catalyst", "a tenth of the resin")
    } else {
        ("a tenth of the catalyst", "ten times the resin")
    };
    format!(
        "a slip of ten? {} would be inside: {catalyst} was probably meant, or {resin}",
        shown(&s.meant, f.quantity.measure())
    )
}

/// What is given and changes nothing.
pub(super) fn without_effect(w: &WithoutEffect) -> String {
    format!("'{}' is given and changes nothing: {}", w.field, w.reason)
}

/// What a rule says.
pub(super) fn rule(r: &Rule) -> String {
    let text = |t: &QuantityText| {
        let of_glass = t.read::<MassFraction>("").map(quantity::show);
        of_glass.unwrap_or_else(|_| shown(t, <quantity::Phr as quantity::Quantity>::MEASURE))
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
pub(super) fn gives(c: &ConflictingRules, r: &Rule) -> Option<String> {
    let resin = quantity::brief(r.resin?);
    Some(match &c.zone {
        Some(zone) => format!("{resin} of resin for this ply on {zone}"),
        None => format!("{resin} of resin for this ply"),
    })
}

/// Findings of one value together: several rules may say the same of it. The most severe and farthest off first.
pub(super) fn grouped(findings: &[Finding]) -> Vec<Group<'_>> {
    let mut groups: Vec<Group> = Vec::new();
    let of = |f: &Finding| (f.quantity, f.limit == GEL_TIME_UNKNOWN);
    for f in findings {
        match groups
            .iter_mut()
            .find(|g| of(g.findings[0]) == of(f) && g.findings[0].subject == f.subject)
        {
            Some(g) => g.findings.push(f),
            None => groups.push(Group {
                subjects: vec![words(&f.subject)],
                findings: vec![f],
            }),
        }
    }
    // The same of several subjects is said once.
    let mut merged: Vec<Group> = Vec::new();
    for g in groups {
        let same = |m: &&mut Group| {
            m.findings.len() == g.findings.len()
                && m.findings
                    .iter()
                    .zip(&g.findings)
                    .all(|(a, b)| a.limit == b.limit && a.value == b.value)
        };
        match merged.iter_mut().find(same) {
            Some(m) => m.subjects.extend(g.subjects),
            None => merged.push(g),
        }
    }
    merged
}

/// What one value, or the same value of several subjects, breaks.
pub(super) struct Group<'p> {
    pub(super) subjects: Vec<String>,
    pub(super) findings: Vec<&'p Finding>,
}

impl<'p> Group<'p> {
    /// The first that looks like a slip.
    pub(super) fn slip(&self) -> Option<(&'p Finding, &'p SlipOfTen)> {
        self.findings.iter().find_map(|f| Some((*f, f.slip.as_ref()?)))
    }

    /// "gel coat on fore wings, on hind wings": what the subjects share is said once.
    pub(super) fn subject(&self) -> String {
        let first = &self.subjects[0];
        let shared = first.rfind(" on ").map_or("", |i| &first[..i]);
        let rest = self.subjects[1..].iter().map(|s| match s.strip_prefix(shared) {
            Some(tail) if !shared.is_empty() => tail.trim().to_owned(),
            _ => s.clone(),
        });
        std::iter::once(first.clone())
            .chain(rest)
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// What a full cup does if it is left standing.
pub(super) fn left_standing(b: &PlannedBatch) -> Option<String> {
    let e = b.left_standing.as_ref()?;
    let gel = e.gel.map_or_else(
        || "does not gel".to_owned(),
        |t| format!("gels after {}", quantity::brief(t)),
    );
    Some(format!(
        "left standing full it {gel} and reaches {} after {}",
        quantity::brief(e.peak),
        quantity::brief(e.peak_at)
    ))
}

/// In words for the sheet and the page.
pub(super) fn lines(zones: &[ZoneSummary], seams: &[SeamSummary]) -> Vec<String> {
    let mut all = Vec::new();
    for z in zones {
        let mut said = Vec::new();
        if let Some(e) = &z.exotherm {
            said.push(format!(
                "peaks at {} in the {} after {}, the mould's face sees {}",
                quantity::brief(e.peak),
                e.peak_in,
                quantity::brief(e.peak_at),
                quantity::brief(e.mould_face)
            ));
            if let Some(t) = e.gelled {
                said.push(format!("all gelled after {}", quantity::brief(t)));
            }
            if let Some(c) = e.cure_at_demould {
                said.push(match e.vitrified {
                    Some(v) => format!(
                        "{} ({} to {}) cured at demoulding and vitrified: only warmth takes it further",
                        quantity::brief(c),
                        quantity::brief(v.low),
                        quantity::brief(v.high)
                    ),
                    None => format!("{} cured at demoulding", quantity::brief(c)),
                });
            }
        }
        if let Some(s) = &z.shell {
            said.push(format!(
                "laminate {} stiff, its weakest ply breaks at {}",
                quantity::brief(s.modulus),
                quantity::brief(s.strength)
            ));
        }
        if let Some(e) = &z.edge {
            said.push(format!(
                "edge bends {} and strains {} when pulled, breaks at {}",
                quantity::brief(e.deflection),
                quantity::brief(e.strain),
                quantity::brief(e.breaks_at)
            ));
        }
        if let Some(c) = z.contrast_ratio {
            said.push(format!("contrast ratio {}", quantity::brief(c)));
        }
        if let Some(l) = &z.light_through {
            said.push(if l.low.get() < l.high.get() {
                format!(
                    "{} to {} of the light comes through, by bubbles and colour",
                    quantity::brief(l.low),
                    quantity::brief(l.high)
                )
            } else {
                format!("{} of the light comes through", quantity::brief(l.through))
            });
        }
        if !said.is_empty() {
            all.push(format!("{}: {}", z.zone, said.join("; ")));
        }
    }
    for s in seams {
        let mut said = vec![format!(
            "paste like {}, {} times what the bead needs to stay on a vertical face",
            s.consistency,
            quantity::figures((10.0 * s.against_sag.get()).round() / 10.0)
        )];
        if let (Some(t), Some(out), Some(p)) = (s.thickness, s.squeezed_out, s.pressure) {
            said.push(format!(
                "clamped at {} it gels {} thick, {} squeezed out",
                quantity::brief(p),
                quantity::brief(t),
                quantity::brief(out)
            ));
        }
        all.push(format!("{}: {}", s.seam, said.join("; ")));
    }
    all
}
