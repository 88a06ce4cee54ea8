//! The card of a plan.

use super::cause::{Grouped, grouped};
use super::figure::Reader;
use super::message::{self, Language, Say};
use super::{text, wording};
use crate::limit::{Cause, Finding, Severity};
use crate::mix::Role;
use crate::noun::{Noun, questions};
use crate::plan::{
    Clock, OrderOfWork, OrderProof, Plan, PlannedBatch, Verdict, Work, WorkStep, sentence, words,
};
use crate::quantity::{BenchUnits, Quantity, RelativeHumidity, ThermodynamicTemperature};
use crate::risk::Risk;

/// What a person reads first of a plan: verdict, what is most likely to ruin it, a card for each cup, the clock. On a
/// "no" it holds what to change, and no recipe that could be followed all the same.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Card {
    /// What is cast.
    pub casting: String,
    /// In which language it is written.
    pub language: Language,
    /// The units on the bench.
    pub units: BenchUnits,
    /// Air temperature that it is planned for.
    pub temperature: ThermodynamicTemperature,
    /// Relative humidity that it is planned for.
    pub humidity: RelativeHumidity,
    /// Whether to cast.
    pub verdict: Verdict,
    /// The chance that it comes out, and what decides most, where that was asked: [`Card::with_risk`].
    pub chance: Option<String>,
    /// The at most three things that are most likely to ruin it, the worst first.
    #[noun(default)]
    pub troubles: Vec<Trouble>,
    /// How many more the plan holds.
    pub more_troubles: usize,
    /// The cups in the order of mixing; none on a "no".
    #[noun(default)]
    pub cups: Vec<CupCard>,
    /// The day; none on a "no".
    #[noun(default)]
    pub clock: Vec<ClockLine>,
    /// What is to be known of the day's order, where it is not shown to be the best one that keeps every window; when each casting
    /// of a series leaves the mould.
    #[noun(default)]
    pub order: Vec<String>,
    /// What goes with all of it.
    #[noun(default)]
    pub cautions: Vec<String>,
}

/// Something that may ruin the part: one cause, however many rules it breaks.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Trouble {
    /// What is wrong.
    pub cause: Cause,
    /// How bad it is: the worst of its findings.
    pub severity: Severity,
    /// In a few words.
    pub heading: String,
    /// What was found, a line each.
    #[noun(default)]
    pub found: Vec<String>,
    /// What happens.
    pub consequence: String,
    /// What to change.
    pub change: String,
}

/// A cup as it is mixed.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupCard {
    /// Its name, as the plan numbers it.
    pub name: String,
    /// The recipe, in words.
    pub recipe: String,
    /// What for: the work, and on what.
    pub what_for: String,
    /// When to start mixing.
    pub start: Clock,
    /// When it must be empty; absent where nobody can tell.
    pub empty_by: Option<Clock>,
    /// Whether catalyst or hardener is handled, with goggles.
    pub goggles: bool,
    /// What to weigh, in this order, the catalyst last.
    pub lines: Vec<CupLine>,
}

/// A line of a cup.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupLine {
    /// The material.
    pub name: String,
    /// As the scale shows it; first as it is measured best.
    pub amount: String,
    /// Of what cures it: the drops, and what a count of them is worth.
    pub drops: Option<String>,
    /// Whether it is what cures it.
    pub cures: bool,
}

/// A line of the clock.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ClockLine {
    /// When.
    pub start: Clock,
    /// What.
    pub text: String,
}

#[questions(CARD)]
impl Plan {
    /// The card of a plan: yes, yes if, or no; the at most three things most likely to ruin it, grouped by cause; each cup
    /// with grams as the scale shows them; the clock; the general cautions.
    ///
    /// The verdict is "no" where a finding says stop or nothing is mixed, "yes, if" where one warns, else "yes". Causes are
    /// ordered by their worst finding, then by what follows from them.
    #[question("card.of")]
    pub fn card(
        &self,
        /// The language of its labels and sentences.
        #[noun(default)]
        language: Language,
    ) -> Card {
        let reader = Reader::of(self, language);
        let groups = grouped(&self.findings);
        let verdict = self.verdict();
        let mut troubles: Vec<Trouble> = groups.iter().map(|g| trouble(reader, g)).collect();
        if self.batches.is_empty() {
            troubles.insert(0, nothing(reader));
        }
        let more_troubles = troubles.len().saturating_sub(MOST_TROUBLES);
        troubles.truncate(MOST_TROUBLES);
        let (cups, clock) = if verdict == Verdict::No {
            (vec![], vec![])
        } else {
            (
                self.batches.iter().map(|b| cup(reader, self, b)).collect(),
                clock(reader, self, &self.steps),
            )
        };
        Card {
            casting: self.casting.clone(),
            language,
            units: self.units,
            temperature: self.temperature,
            humidity: self.humidity,
            verdict,
            chance: None,
            troubles,
            more_troubles,
            cups,
            order: if clock.is_empty() {
                vec![]
            } else {
                order(reader, self)
            },
            clock,
            cautions: [Say::CareOne, Say::CareTwo]
                .map(|s| reader.say(s).to_owned())
                .to_vec(),
        }
    }

    /// The plan as plain text: the card first, within 60 lines where the day's work lets it; then the findings, materials,
    /// steps, what the part comes to, each once.
    #[question("card.sheet")]
    pub fn sheet(
        &self,
        /// The language of the card; what follows it is English.
        #[noun(default)]
        language: Language,
    ) -> String {
        text::sheet(self, language)
    }

    /// The plan as an HTML fragment, for a notebook.
    #[question("card.fragment")]
    pub fn fragment(
        &self,
        /// The language of the card; what follows it is English.
        #[noun(default)]
        language: Language,
    ) -> String {
        super::page::fragment(self, language)
    }
}

const MOST_TROUBLES: usize = 3;

#[questions]
impl Card {
    /// The card with the chance that the part comes out, and with what decides most whether it does.
    #[question("card.with_risk")]
    pub fn with_risk(
        &self,
        /// Of the same casting.
        risk: &Risk,
    ) -> Card {
        Card {
            chance: Some(super::chance::chance(risk, self.language)),
            ..self.clone()
        }
    }

    /// The card as plain text.
    #[question("card.text")]
    pub fn text(&self) -> String {
        text::card(self)
    }
}

fn nothing(reader: Reader) -> Trouble {
    Trouble {
        cause: Cause::Nothing,
        severity: Severity::Stop,
        heading: message::cause(Cause::Nothing, false, Severity::Stop, reader.language).to_owned(),
        found: vec![],
        consequence: reader.say(Say::MixesNothing).to_owned(),
        change: sentence(reader.say(Say::PlanSomething)),
    }
}

/// What of a cause's findings is as bad as the worst of them.
fn trouble(reader: Reader, g: &Grouped) -> Trouble {
    const MOST_FOUND: usize = 3;
    let worst = g.worst();
    let of_the_worst: Vec<_> = g
        .values
        .iter()
        .filter(|v| v.findings[0].severity == worst.severity)
        .collect();
    let mut found = reader.found(&of_the_worst);
    found.retain(|f| !f.is_empty());
    if found.len() > MOST_FOUND {
        found.truncate(MOST_FOUND - 1);
        found.push("…".to_owned());
    }
    let english = reader.language == Language::English;
    Trouble {
        cause: g.cause,
        severity: worst.severity,
        heading: message::cause(g.cause, g.low, worst.severity, reader.language).to_owned(),
        found,
        consequence: if english {
            sentence(&reader.told(&worst.message))
        } else {
            String::new()
        },
        change: change(reader, g),
    }
}

/// What cures the worst finding: its smallest cure where one was found, else its way out in general words, with the slip of
/// ten where one is likely.
fn change(reader: Reader, g: &Grouped) -> String {
    let worst = g.worst();
    let change = match &worst.smallest_cure {
        Some(cure) => sentence(&format!(
            "{} ({})",
            wording::cure(reader, cure),
            reader.say(Say::Proved)
        )),
        None => wording::way_out(reader, worst, || message::change(g.cause, g.low)),
    };
    match slip(reader, g).filter(|_| reader.language == Language::English) {
        Some(s) => format!("{s} {change}"),
        None => change,
    }
}

/// What was probably meant, by the first of a cause's findings that is off by a power of ten.
pub(super) fn slip(reader: Reader, g: &Grouped) -> Option<String> {
    let mut findings = g.values.iter().flat_map(|v| &v.findings);
    findings.find_map(|f| slip_of(reader, f))
}

fn slip_of(reader: Reader, f: &Finding) -> Option<String> {
    let slip = f.slip.as_ref()?;
    let (catalyst, resin) = if slip.times > 1.0 {
        ("ten times as much catalyst", "a tenth of the resin")
    } else {
        ("a tenth of the catalyst", "ten times the resin")
    };
    Some(format!(
        "{} {} would be inside: {catalyst} was probably meant, or {resin}.",
        reader.say(Say::Slip),
        reader.of_text(&slip.meant, f.quantity.measure())
    ))
}

/// The step in which a cup is mixed.
fn step_of<'p>(plan: &'p Plan, batch: &PlannedBatch) -> Option<&'p WorkStep> {
    plan.steps.iter().find(|s| s.batch.as_ref() == Some(&batch.name))
}

/// Names on a card: a long list is cut, the plan has it whole.
fn named(all: &[String]) -> String {
    const MOST: usize = 6;
    const LONGEST: usize = 60;
    let short = |n: &String| match n.char_indices().nth(LONGEST) {
        Some((i, _)) => format!("{}…", &n[..i]),
        None => n.clone(),
    };
    let told: Vec<String> = all.iter().take(MOST).map(short).collect();
    match all.len().checked_sub(MOST) {
        Some(rest) if rest > 0 => format!("{}, … (+{rest})", told.join(", ")),
        _ => told.join(", "),
    }
}

fn cup(reader: Reader, plan: &Plan, b: &PlannedBatch) -> CupCard {
    let work = step_of(plan, b).map(|s| message::work(s.work, reader.language));
    let zones = named(&b.zones);
    let drops = reader.drops(b);
    let cures = |role: Role| role.cures();
    // What cures it comes last, whatever the recipe's order.
    let (last, first): (Vec<_>, Vec<_>) = b.batch.parts.iter().partition(|p| cures(p.role));
    let lines = first
        .into_iter()
        .chain(last)
        .map(|p| {
            let mut amount = reader.amount(p);
            if !reader.scale_sees(p.mass) {
                amount = format!("{} ({})", reader.brief(p.mass), reader.say(Say::NotSeenByScale));
            }
            CupLine {
                name: p.name.clone(),
                amount,
                drops: drops.clone().filter(|_| cures(p.role)),
                cures: cures(p.role),
            }
        })
        .collect();
    CupCard {
        name: message::subject(&b.name, reader.language),
        recipe: words(&b.recipe),
        what_for: work.map_or_else(|| zones.clone(), |w| format!("{w}: {zones}")),
        start: b.start,
        empty_by: b.use_by,
        goggles: b.batch.cure_part().is_some(),
        lines,
    }
}

/// What is to be known of the day's order, where it is not the best, and when the castings of a series leave the mould.
fn order(reader: Reader, plan: &Plan) -> Vec<String> {
    let mut all = plan.order.as_ref().map_or_else(Vec::new, |o| of_order(reader, o));
    if let Some(s) = &plan.series {
        let out: Vec<String> = s.castings.iter().map(|c| reader.clock(c.demoulded)).collect();
        all.push(format!(
            "{} {}: {} {}; {} {}.",
            s.castings.len(),
            reader.say(Say::Castings),
            reader.say(Say::OutOfMould),
            named(&out),
            reader.say(Say::AllDone),
            reader.clock(s.finish)
        ));
    }
    all
}

fn of_order(reader: Reader, order: &OrderOfWork) -> Vec<String> {
    match order.proof {
        OrderProof::Best | OrderProof::Earliest => vec![],
        OrderProof::NotProved => vec![format!(
            "{} {}.",
            reader.say(Say::OrderNotProved),
            reader.clock(order.bound)
        )],
        _ => {
            let cured = order.cure.as_ref().map(|cure| {
                let changes = cure
                    .changes
                    .iter()
                    .map(|c| message::day_change(c, reader.language));
                format!(
                    "{}: {}.",
                    reader.say(Say::WindowsKeptWith),
                    changes.collect::<Vec<_>>().join("; ")
                )
            });
            vec![
                reader.say(Say::WindowsBroken).to_owned(),
                cured.unwrap_or_else(|| reader.say(Say::NotCured).to_owned()),
            ]
        }
    }
}

/// The day in few lines: a run of release coats is one, the touch tests stand with what they wait for.
pub(super) fn clock(reader: Reader, plan: &Plan, steps: &[WorkStep]) -> Vec<ClockLine> {
    let mut lines: Vec<ClockLine> = Vec::new();
    let (mut i, mut joins, mut ended) = (0, false, None);
    while let Some(s) = steps.get(i) {
        let mut text = message::work(s.work, reader.language).to_owned();
        i += 1;
        match s.work {
            Work::Release => {
                let run = steps[i..]
                    .iter()
                    .take_while(|n| matches!(n.work, Work::Release | Work::Cut))
                    .collect::<Vec<_>>();
                let coats = 1 + run.iter().filter(|n| n.work == Work::Release).count();
                text = format!("{text}: {coats} {}", reader.say(Say::Coats));
                if run.iter().any(|n| n.work == Work::Cut) {
                    text = format!("{text}; {}", message::work(Work::Cut, reader.language));
                }
                if let Some(last) = run.last() {
                    text = format!("{text}, {} {}", reader.say(Say::Until), reader.clock(last.end));
                }
                i += run.len();
            }
            Work::Demould => {
                // Where a zone is ready later than it is planned to leave the mould, that hour stands beside it.
                let ready = plan.zones.iter().filter_map(|z| z.cure.as_ref()?.ready);
                let last = ready.reduce(|a, b| if b.since(a).si() > 0.0 { b } else { a });
                if let Some(t) = last.map(Clock::foreseen).filter(|t| t.since(s.start).si() > 0.0) {
                    text = format!("{text} ({} {})", reader.say(Say::ReadyFrom), reader.clock(t));
                }
            }
            Work::Close => {
                if let Some(c) = &plan.clamping {
                    text = format!(
                        "{text}: {} {}, {}",
                        c.clamps,
                        reader.say(Say::Clamps),
                        reader.brief(c.force)
                    );
                }
            }
            _ => {}
        }
        if !s.zones.is_empty() {
            text = format!("{text}: {}", named(&s.zones));
        }
        if let Some(name) = &s.batch {
            text = format!("{}, {text}", message::subject(name, reader.language));
        }
        if let Some(until) = s.until {
            text = format!("{text}, {} {}", reader.say(Say::Until), reader.clock(until));
        }
        // What follows at once, without a cup, stands on the same line. Between the steps of a series others may be done.
        let follows = ended.is_some_and(|end| s.start.since(end).si() < 60.0);
        let at_once = follows && s.batch.is_none() && s.work != Work::TouchTest && s.wait_before.si() < 60.0;
        ended = steps.get(i - 1).map(|s| s.end);
        match lines.last_mut() {
            Some(last) if at_once && joins && s.work != Work::Release => {
                last.text = format!("{}; {text}", last.text)
            }
            _ => lines.push(ClockLine {
                start: s.start,
                text: sentence(&text),
            }),
        }
        joins = s.batch.is_none() && !matches!(s.work, Work::TouchTest | Work::Release) && s.until.is_none();
    }
    lines
}
