//! The plan as HTML: a page that needs no network and prints, and a fragment for a notebook. The templates are compiled
//! (`maud`), and whatever is put into them is escaped by construction.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::cause::{Grouped, grouped};
use super::figure::{Reader, money};
use super::made::{Card, CupCard, slip};
use super::message::{self, Language, Say};
use super::picture;
use super::record;
use super::shelf;
use super::style::{PAGE, STYLE};
use super::text::{hours, more, planned_for, verdict};
use super::wording;
use crate::noun::questions;
use crate::plan::{AirOfDay, ConflictingRules, Plan, SeriesOfWork, Verdict, WorkStep, sentence, words};
use crate::quantity::Quantity;

/// Plans as one HTML page that needs no network and prints on A4: of each the card on a page of its own, then everything
/// else once. On a "no" there is what to change and no recipe.
#[questions("card.page")]
pub fn page_of(
    /// The plans.
    plans: &[Plan],
    /// The language of the cards; what follows them is English.
    #[noun(default)]
    language: Language,
) -> String {
    let title = plans
        .iter()
        .map(|p| p.casting.as_str())
        .collect::<Vec<_>>()
        .join(" — ");
    html! {
        (DOCTYPE)
        html lang=(language.tag()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(PAGE)) }
            }
            body {
                main {
                    @for p in plans { article.gelwright { (unbroken(body(p, language, true))) } }
                }
                (record::script())
            }
        }
    }
    .into_string()
}

pub(super) fn fragment(p: &Plan, language: Language) -> String {
    html! {
        style { (PreEscaped(STYLE)) }
        div.gelwright { (unbroken(body(p, language, false))) }
    }
    .into_string()
}

/// No line ends between a number and its percent.
fn unbroken(text: Markup) -> Markup {
    PreEscaped(text.into_string().replace(" %", "\u{a0}%"))
}

/// `kept`: with what the record of the day is ticked in.
fn body(p: &Plan, language: Language, kept: bool) -> Markup {
    let c = p.card(language);
    let reader = Reader::of(p, Language::English);
    let castable = c.verdict != Verdict::No;
    html! {
        (card(&c))
        div lang="en" {
            @if let Some(n) = &p.note { p.quiet dir="auto" { (n) } }
            (findings(p, reader))
            @if castable {
                (needs(p, reader))
                (steps(p, reader, kept))
                @if let Some(s) = &p.series { (series(p, s, reader)) }
                section.day { h2 { "The day" } (picture::day(p)) }
                (part(p, reader))
                (cups(p, reader))
            }
            @if let Some(a) = &p.air { (air(a, reader)) }
            (conflicts(&p.conflicts, reader))
            (disagreements(p))
            (limits_kept(p, reader))
        }
    }
}

fn card(c: &Card) -> Markup {
    let say = |s: Say| s.in_(c.language);
    let (short, long) = verdict(c);
    let class = match c.verdict {
        Verdict::Yes => "yes",
        Verdict::YesIf => "yes_if",
        Verdict::No => "no",
    };
    html! {
        section class={ "card " (class) } {
            h1 dir="auto" { (c.casting) }
            p class={ "verdict " (class) } { (short) ": " (long) "." }
            p { (planned_for(c)) "." }
            @if let Some(chance) = &c.chance { p dir="auto" { (chance) "." } }
            h2 { (say(Say::Ruin)) }
            @if c.troubles.is_empty() { p { (say(Say::NothingRuins)) } }
            @else {
                ol {
                    @for t in &c.troubles {
                        li {
                            b { (sentence(message::severity(t.severity, c.language))) ": " (t.heading) "." } " "
                            @if t.found.is_empty() { (t.consequence) } @else { (t.found.join("; ")) "." }
                            " " b { (say(Say::Change)) ":" } " " (t.change)
                        }
                    }
                }
                @if let Some(more) = more(c) { p.quiet { (more) } }
            }
            @if !c.cups.is_empty() {
                h2 { (say(Say::Cups)) }
                p { (say(Say::CupsHow)) }
                div.cups { @for cup in &c.cups { (cup_card(c, cup)) } }
            }
            @if !c.clock.is_empty() {
                h2 { (say(Say::ClockTitle)) }
                ol.clock { @for l in &c.clock { li { time { (l.start) } span dir="auto" { (l.text) } } } }
                @for line in &c.order { p { (line) } }
            }
            @for care in &c.cautions { p.care { (care) } }
        }
    }
}

fn cup_card(c: &Card, cup: &CupCard) -> Markup {
    html! {
        div.cup {
            h3 { (sentence(&cup.name)) " — " bdi { (cup.recipe) } }
            p { b { (hours(c, cup)) } }
            p dir="auto" { @if cup.goggles { b { (sentence(Say::Goggles.in_(c.language))) "." } " " } (cup.what_for) }
            table {
                @for l in &cup.lines {
                    tr { td { bdi { (l.name) } } td.n { b { (l.amount) } @if let Some(d) = &l.drops { br; (d) } } }
                }
            }
        }
    }
}

fn findings(p: &Plan, reader: Reader) -> Markup {
    let groups = grouped(&p.findings);
    html! {
        section {
            h2 { "Findings" }
            @if groups.is_empty() { p { "No limit is broken." } }
            div.findings { @for g in &groups { (finding(g, reader)) } }
            @for w in &p.without_effect { p { (sentence(&wording::without_effect(w))) "." } }
        }
    }
}

fn finding(g: &Grouped, reader: Reader) -> Markup {
    let slip = slip(reader, g);
    html! {
        div.finding {
            h3 { (sentence(&g.severity().to_string())) ": " (message::cause(g.cause, g.low, g.severity(), reader.language)) }
            ul {
                @for (found, message) in wording::told(reader, g) {
                    li { bdi { (found.join("; ")) } ". " (message) "." }
                }
            }
            p {
                @if let Some(s) = slip { (s) " " }
                b { "Change:" } " " (wording::ways_out(reader, g).join("; ")) "."
            }
            details {
                summary { "Rules and sources" }
                ul { @for (rule, source) in wording::rules(reader, g) { li { (rule) ": " (source) } } }
            }
        }
    }
}

fn needs(p: &Plan, reader: Reader) -> Markup {
    let amount = |n: &crate::plan::Need| match (n.volume, n.area) {
        (_, Some(a)) => format!("{}, {}", reader.brief(n.mass), reader.brief(a)),
        (Some(v), _) => format!("{}, {}", reader.brief(n.mass), reader.brief(v)),
        _ => reader.brief(n.mass),
    };
    let order = |n: &crate::plan::Need| {
        if n.to_order.si() > 0.0 {
            reader.brief(n.to_order)
        } else {
            "in stock".to_owned()
        }
    };
    html! {
        section {
            h2 { "Materials" }
            table {
                tr { th { "material" } th.n { "amount, waste included" } th.n { "to order" } th.n { "cost" } }
                @for n in &p.needs {
                    tr {
                        td { bdi { (n.name) } }
                        td.n { (amount(n)) }
                        td.n { (order(n)) }
                        td.n { @if let Some(c) = n.cost { (money(c)) } }
                    }
                }
            }
            p { b { "Ready beside them:" } " " (p.consumables.iter().map(wording::consumable).collect::<Vec<_>>().join("; ")) "." }
            p { (wording::cost(p)) }
            @for told in shelf::told(p, reader) { p { (told) } }
        }
    }
}

fn steps(p: &Plan, reader: Reader, kept: bool) -> Markup {
    html! {
        section {
            h2 { "Steps" }
            ol.steps { @for s in &p.steps { (step(p, s, reader, kept)) } }
            @if kept { (record::saving(p)) }
        }
    }
}

/// Several castings from one mould: all above is of the first.
fn series(p: &Plan, s: &SeriesOfWork, reader: Reader) -> Markup {
    html! {
        section {
            h2 { "The series" }
            @for (told, clock) in wording::series(reader, p, s) {
                p { (sentence(&told)) "." }
                @if !clock.is_empty() {
                    ol.clock { @for l in &clock { li { time { (l.start) } span dir="auto" { (l.text) } } } }
                }
            }
        }
    }
}

fn step(p: &Plan, s: &WorkStep, reader: Reader, kept: bool) -> Markup {
    let cautions = p.cautions.iter().filter(|c| c.step == Some(s.number));
    html! {
        li {
            time { (s.start) }
            div {
                p dir="auto" {
                    (s.text) "."
                    @for w in &s.watch { span.quiet { " " (sentence(w)) "." } }
                    @if let Some(by) = wording::start_by(s) { " " (by) "." }
                    @if s.wait_before.si() >= 60.0 { span.quiet { " (wait " (reader.figures(s.wait_before, 2)) " before)" } }
                }
                @for c in cautions { p.care { (c.text) } }
                @if kept { (record::of_step(p, s)) }
            }
        }
    }
}

fn part(p: &Plan, reader: Reader) -> Markup {
    html! {
        section {
            h2 { "The part" }
            table {
                tr { th { "zone" } th.n { "thickness as laid" } th.n { "cured" } th.n { "mass" } th.n { "of it glass plies" } }
                @for z in &p.zones {
                    tr {
                        td { bdi { (z.zone) } }
                        td.n { (z.thickness.map_or_else(|| "unknown".into(), |t| reader.figures(t, 2))) }
                        td.n { (z.cured_thickness.map_or_else(|| "unknown".into(), |t| reader.figures(t, 2))) }
                        td.n { (reader.figures(z.mass, 3)) }
                        td.n { @if z.reinforcement.si() > 0.0 { (reader.figures(z.reinforcement, 3)) } }
                    }
                }
                tr { td { "together, with seams and inserts" } td {} td {} td.n { (reader.figures(p.part_mass, 3)) } td {} }
            }
            @if let Some(v) = p.vapour.as_ref().filter(|v| v.lost.si() > 0.0) { p dir="auto" { (wording::vapour(reader, v)) "." } }
            @for line in wording::lines(reader, p) { p dir="auto" { (line) "." } }
        }
    }
}

fn air(a: &AirOfDay, reader: Reader) -> Markup {
    let (kept, told): (Vec<String>, Vec<String>) = wording::air(reader, a)
        .into_iter()
        .partition(|l| l.starts_with("kept: "));
    html! {
        section {
            h2 { "The air" }
            div.air { (picture::air(a)) }
            @for line in told { p dir="auto" { (line) "." } }
            @if !kept.is_empty() {
                details { summary { "Limits of the air that are kept" } @for line in kept { p dir="auto" { (line) "." } } }
            }
        }
    }
}

/// How sure each cup is, and what it does if it is left standing.
fn cups(p: &Plan, reader: Reader) -> Markup {
    html! {
        details {
            summary { "The cups in numbers" }
            ul {
                @for b in &p.batches {
                    li {
                        b { (b.name) } ": " (wording::gel_time(reader, b))
                        @if let Some(d) = wording::dose(reader, b) { "; " (d) }
                        @if let Some(l) = wording::left_standing(reader, b) { "; " (l) }
                        "."
                    }
                }
            }
        }
    }
}

fn conflicts(all: &[ConflictingRules], reader: Reader) -> Markup {
    html! {
        @if !all.is_empty() {
            details {
                summary { "Rules that contradict each other" }
                @for c in all {
                    h3 { bdi { (sentence(&c.about)) } }
                    ul {
                        @for r in &c.rules {
                            li {
                                (wording::rule(reader, r))
                                @if let Some(g) = wording::gives(reader, c, r) { ": " (g) }
                                " (" (r.sources.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")) ")"
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What of the evidence on the resins' cure disagrees.
fn disagreements(p: &Plan) -> Markup {
    let all = wording::disagreements(&p.cure_laws);
    html! {
        @if !all.is_empty() {
            details {
                summary { "Evidence on the cure that disagrees" }
                ul { @for told in all { li { bdi { (sentence(&told)) } "." } } }
            }
        }
    }
}

fn limits_kept(p: &Plan, reader: Reader) -> Markup {
    html! {
        details {
            summary { "Limits that are kept: " (p.kept.iter().filter(|f| !f.set_aside).count()) }
            ul {
                @for f in &p.kept {
                    @let (value, bound) = wording::kept(reader, f);
                    li {
                        (f.quantity.noun()) ", " bdi { (words(&f.subject)) } ": " (value) ", " (bound)
                        @if f.set_aside { ", told, not judged" }
                        " (" (f.source.to_string()) ")"
                    }
                }
            }
        }
    }
}
