//! What now: the rest of a day planned anew from what was done at the bench.

use std::collections::BTreeMap;

use super::casting::Casting;
use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::Act;
use super::record::{BenchRecord, RecordEntry, SeenToGel, StepDone};
use super::schedule::{Slips, Slot};
use super::steps::{self, Begun, Missed, Timetable, WorkStep};
use super::windows::{OrderOfWork, WindowKind};
use crate::cancel::Cancel;
use crate::cure::gel_table::GelTime;
use crate::error::{Error, Result};
use crate::material::that_count;
use crate::mix::rescue::{CureBy, MixedCup, Outcome};
use crate::mix::{Batch, Dose};
use crate::noun::{Noun, questions};
use crate::quantity::{self, Phr, Quantity, Time};

/// The rest of a day, planned anew.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RestOfDay {
    /// What is cast.
    pub casting: String,
    /// When the record was read.
    pub now: Clock,
    /// Steps that are done, by their numbers in the plan.
    pub done: Vec<usize>,
    /// What went otherwise, and what to do about it.
    pub setbacks: Vec<Setback>,
    /// The cups that are still to be mixed, in the order of mixing.
    pub cups: Vec<CupLeft>,
    /// What is still to do, in order.
    pub steps: Vec<WorkStep>,
    /// What is shown of that order.
    pub order: OrderOfWork,
    /// The units on the bench.
    #[noun(default)]
    pub units: quantity::BenchUnits,
}

/// A cup that is still to be mixed.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupLeft {
    /// Its name in the plan.
    pub name: String,
    /// The recipe.
    pub recipe: String,
    /// What it is for.
    pub zones: Vec<String>,
    /// Whether it was mixed before, and is lost.
    pub again: bool,
    /// When mixing starts.
    pub start: Clock,
    /// What to weigh.
    pub batch: Batch,
    /// Gel time as it now looks, where it is known.
    pub gel_time: Option<GelTime>,
    /// When the cup must be empty, where the gel time is known.
    pub use_by: Option<Clock>,
}

/// What kind of thing went otherwise.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum SetbackKind {
    /// A cup gelled before it was empty.
    GelledInCup,
    /// A gel time was seen that is not the plan's: the rest is planned by what was seen.
    GelsOtherwise,
    /// A cup has another dose than wanted.
    WrongDose,
    /// A step was done sooner than what it waits for allows.
    TooEarly,
    /// A step was done after its window had closed.
    TooLate,
}

/// Something that went otherwise.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Setback {
    /// What kind of thing.
    pub kind: SetbackKind,
    /// What it is about: a cup, or what a step works on.
    pub subject: String,
    /// What happened.
    pub text: String,
    /// What to do.
    pub way_out: String,
    /// Whether something is lost by it: a batch, or a bond.
    pub lost: bool,
}

#[questions(REPLANNING)]
impl Casting {
    /// Plans the rest of the day anew from what was done at the bench.
    ///
    /// What the record says was done stands as it was done; nothing else starts before the record is read. What was measured
    /// takes the place of what was planned: temperatures of the shop, the dose of a cup that was weighed (its gel time by the
    /// resin's table at that dose), and a gel time that was seen, by which the gel times of all later cups of that recipe go in
    /// proportion. A cup that gelled before it was empty is mixed again, and so is a bead whose paste had gelled before the
    /// clamps were set. Then the order of the rest is found as that of a plan is. Not planned anew: the exotherm, and how the
    /// part comes out; plan the changed casting for that.
    ///
    /// # Errors
    /// As [`Casting::plan`]; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a record of another casting, a step
    /// that ends before it begins or is done before one that it needs, an hour after `now` or before work starts;
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a step, cup or material that the plan has not.
    #[question("plan.replan", long)]
    pub fn replan(
        &self,
        /// What was done and seen.
        record: &BenchRecord,
        cancel: Cancel<'_>,
    ) -> Result<RestOfDay> {
        cancel.check()?;
        self.check()?;
        crate::noun::check(record)?;
        record.is_of(self)?;
        let catalogue = self.catalogue()?;
        let tested = self.as_tested()?;
        let casting = &tested.casting;
        let job = Job::new(casting, &catalogue)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        let planned = steps::timetable(&job, &mut cups, &batches, Slips::Left, cancel)?;
        let told = Told::of(casting, record, &planned)?;

        // The shop as it was measured; the same cups as planned.
        let measured = told.shop(casting);
        let now_job = Job::new(&measured, &catalogue)?;
        let mut rest = Rest {
            setbacks: Vec::new(),
            begun: told.begun,
            lost: Vec::new(),
            now: told.now,
        };
        rest.weighed(&now_job, record, &mut cups, &batches, &planned)?;
        rest.gelled(&now_job, record, &mut cups, &planned)?;
        rest.finish(&now_job, &cups, &batches, &planned, cancel)
    }
}

/// What the record says, against the plan.
pub(super) struct Told<'r> {
    record: &'r BenchRecord,
    now: Clock,
    /// By task.
    pub(super) begun: Vec<Option<Slot>>,
}

impl<'r> Told<'r> {
    pub(super) fn of(casting: &Casting, record: &'r BenchRecord, planned: &Timetable) -> Result<Self> {
        let start = casting.shop.start;
        let hours = record.entries.iter().filter_map(hour_of);
        let last = hours.fold(start, |a, b| if b.since(a).si() > 0.0 { b } else { a });
        let now = record.now.unwrap_or(last);
        let mut begun = vec![None; planned.of_steps.len()];
        for (i, entry) in record.entries.iter().enumerate() {
            let at = |field: &str| format!("record.entries[{i}].{field}");
            if let Some(hour) = hour_of(entry) {
                let past = now.since(hour).si() >= 0.0;
                if !past || hour.since(start).si() < 0.0 {
                    return Err(Error::inconsistent(
                        at("at"),
                        hour,
                        format!("{start} (the start of work) to {now} (when it is read)"),
                        "the next morning is written like '08:30 +1 d'",
                    ));
                }
            }
            let RecordEntry::Did(did) = entry else { continue };
            let (task, slot) = slot_of(did, casting, planned).map_err(|e| e.within(at("did")))?;
            if begun[task].replace(slot).is_some() {
                return Err(Error::inconsistent(
                    at("did.step"),
                    did.step,
                    "each step once",
                    "take the earlier entry out",
                ));
            }
        }
        steps::allows(planned, &mut begun)?;
        Ok(Told { record, now, begun })
    }

    /// The casting in the shop as it was measured last.
    fn shop(&self, casting: &Casting) -> Casting {
        let mut measured = casting.clone();
        for entry in &self.record.entries {
            let RecordEntry::Measured(m) = entry else { continue };
            let shop = &mut measured.shop;
            if let Some(air) = m.air {
                // What stood at the air's temperature goes with it.
                shop.temperature = air;
                shop.day.clear();
            }
            shop.resin_temperature = m.resin.or(shop.resin_temperature);
            shop.mould_temperature = m.mould.or(shop.mould_temperature);
        }
        measured
    }
}

fn hour_of(entry: &RecordEntry) -> Option<Clock> {
    match entry {
        RecordEntry::Did(d) => Some(d.until),
        RecordEntry::Gelled(g) => Some(g.at),
        RecordEntry::Showed(s) => Some(s.at),
        RecordEntry::Measured(m) => Some(m.at),
        _ => None,
    }
}

/// Which task a step is, and when it was done.
fn slot_of(did: &StepDone, casting: &Casting, planned: &Timetable) -> Result<(usize, Slot)> {
    let Some(step) = did.step.checked_sub(1).and_then(|n| planned.steps.get(n)) else {
        return Err(Error::out_of_range(
            "step",
            did.step,
            format!("1 to {}", planned.steps.len()),
            "take the number from the plan of this casting",
        ));
    };
    let start = casting.shop.start;
    let end = did.until.since(start);
    let from = match did.from {
        Some(from) => from.since(start),
        None => end - step.end.since(step.start),
    };
    if from.si() > end.si() || from.si() < 0.0 && did.from.is_some() {
        return Err(Error::inconsistent(
            "from",
            did.from.map_or_else(String::new, |c| c.to_string()),
            format!("{start} to {}", did.until),
            "give when the step was begun, and when it was done",
        ));
    }
    let from = if from.si() < 0.0 { Time::default() } else { from };
    Ok((planned.of_steps[did.step - 1], Slot { start: from, end }))
}

/// The rest of the day as it takes shape.
struct Rest {
    setbacks: Vec<Setback>,
    begun: Vec<Option<Slot>>,
    /// Cups that are mixed again.
    lost: Vec<usize>,
    now: Clock,
}

/// Gel times that are further from the plan's than this factor were not of this mix: the authors' choice.
const SAME_MIX: f64 = 5.0;
/// A dose or a gel time that is off by a smaller share than this is as planned: the authors' choice.
const AS_PLANNED: f64 = 0.05;

impl Rest {
    /// Cups with another dose than wanted: their own gel time, or what to add.
    fn weighed(
        &mut self,
        job: &Job,
        record: &BenchRecord,
        cups: &mut [Cup],
        batches: &[Batch],
        planned: &Timetable,
    ) -> Result<()> {
        let mut of_cups: BTreeMap<usize, Vec<(usize, f64)>> = BTreeMap::new();
        for (i, entry) in record.entries.iter().enumerate() {
            let RecordEntry::Weighed(w) = entry else { continue };
            let at = |field: &str| format!("record.entries[{i}].weighed.{field}");
            let k = cup_named(&w.cup, cups).map_err(|e| e.at(at("cup")))?;
            let parts = &batches[k].parts;
            let part = parts.iter().position(|p| p.material == w.material);
            let part = part.ok_or_else(|| {
                Error::unknown_name(
                    at("material"),
                    &w.material,
                    parts.iter().map(|p| p.material.as_str()),
                )
            })?;
            of_cups.entry(k).or_default().push((part, w.mass.si()));
        }
        for (k, weighed) in of_cups {
            self.weighed_cup(job, k, &weighed, cups, &batches[k], planned)?;
        }
        Ok(())
    }

    fn weighed_cup(
        &mut self,
        job: &Job,
        k: usize,
        weighed: &[(usize, f64)],
        cups: &mut [Cup],
        batch: &Batch,
        planned: &Timetable,
    ) -> Result<()> {
        let mass = |part: usize| {
            let seen = weighed.iter().rfind(|w| w.0 == part);
            seen.map_or(batch.parts[part].mass.si(), |w| w.1)
        };
        let Some(cure) = batch.parts.iter().position(|p| p.role.cures()) else {
            return Ok(());
        };
        let mix = &job.mixes[cups[k].recipe.as_str()];
        let resin_id = &mix.resin().id;
        let resin = batch
            .parts
            .iter()
            .position(|p| p.material == *resin_id)
            .unwrap_or(0);
        let wanted = batch.parts[cure].on_resin;
        let resin_mass = quantity::known::<quantity::Mass>(mass(resin));
        let added = quantity::known::<quantity::Mass>(mass(cure));
        if resin_mass.si() <= 0.0 {
            return Err(Error::out_of_range(
                "record.entries",
                quantity::show(resin_mass),
                "more than nothing",
                format!("give what resin went into {}", cups[k].name),
            ));
        }
        let dose = Phr::new(100.0 * added.si() / resin_mass.si())?;
        if (dose.get() / wanted.get() - 1.0).abs() < AS_PLANNED {
            return Ok(());
        }
        let window = that_count(&mix.resin().resin()?.dose_window);
        let ends = |f: fn(&&crate::material::Window<Phr>) -> Option<Phr>| window.iter().find_map(f);
        let lowest = ends(|w| w.low)
            .filter(|l| l.get() <= wanted.get())
            .unwrap_or(wanted);
        let highest = ends(|w| w.high)
            .filter(|h| h.get() >= wanted.get())
            .unwrap_or(wanted);
        let used = self.begun[planned.of_cup[k]].is_some();
        let by_peroxide = mix.cures_by().is_some_and(|c| c.initiator().is_ok());
        let told = format!(
            "{} has {} of {} on its resin, {} was wanted",
            cups[k].name,
            quantity::brief(dose),
            batch.parts[cure].name,
            quantity::brief(wanted)
        );
        let rescue = MixedCup {
            cures_by: if by_peroxide {
                CureBy::Peroxide
            } else {
                CureBy::TwoPart
            },
            resin: resin_mass,
            added,
            wanted,
            lowest,
            highest,
            resin_to_spare: None,
            hardener_to_spare: None,
            since_mixing: None,
            working_time: None,
        }
        .rescue()?;
        let inside = rescue.outcome == Outcome::Fine;
        let way_out = match (inside, used) {
            (true, _) => "inside its window: use it, by the time that is given here".to_owned(),
            (false, false) => rescue.says,
            (false, true) if dose.get() > wanted.get() => {
                "it is laid: watch it, it runs hot and gels at once; what has gelled in lumps is cut out".to_owned()
            }
            (false, true) => {
                "it is laid and may never cure: warm it, wait a night; what then still dents is scraped off and laid anew"
                    .to_owned()
            }
        };
        self.setbacks.push(Setback {
            kind: SetbackKind::WrongDose,
            subject: cups[k].name.clone(),
            text: told,
            way_out,
            lost: !inside && used,
        });
        if inside {
            cups[k].gel = at_dose(job, &cups[k].recipe, dose)?;
        }
        Ok(())
    }

    /// Gel times that were seen: a cup that is lost, and what the others of its recipe do.
    fn gelled(
        &mut self,
        job: &Job,
        record: &BenchRecord,
        cups: &mut [Cup],
        planned: &Timetable,
    ) -> Result<()> {
        let mut factors: BTreeMap<String, (String, f64)> = BTreeMap::new();
        for (i, entry) in record.entries.iter().enumerate() {
            let RecordEntry::Gelled(seen) = entry else {
                continue;
            };
            let k =
                cup_named(&seen.cup, cups).map_err(|e| e.at(format!("record.entries[{i}].gelled.cup")))?;
            let task = planned.of_cup[k];
            let done = self.begun[task].ok_or_else(|| not_begun(i, seen))?;
            let at = seen.at.since(job.casting.shop.start);
            if at.si() < done.start.si() {
                return Err(Error::inconsistent(
                    format!("record.entries[{i}].gelled.at"),
                    seen.at,
                    format!(
                        "after {}, when {} was begun",
                        job.casting.shop.start.after(done.start),
                        seen.cup
                    ),
                    "give when the cup was begun, and when it had gelled",
                ));
            }
            if at.si() < done.end.si() {
                self.lost_cup(k, cups, task);
            }
            let since = at - done.start - job.before_catalyst();
            if let Some(g) = job.gel_time_of(&cups[k]).filter(|_| since.si() > 0.0) {
                let factor = since.si() / g.time.si();
                factors.insert(cups[k].recipe.clone(), (cups[k].name.clone(), factor));
            }
        }
        for (recipe, (cup, factor)) in factors {
            self.gels_otherwise(job, &recipe, &cup, factor, cups);
        }
        Ok(())
    }

    fn lost_cup(&mut self, k: usize, cups: &[Cup], task: usize) {
        self.begun[task] = None;
        self.lost.push(k);
        self.setbacks.push(Setback {
            kind: SetbackKind::GelledInCup,
            subject: cups[k].name.clone(),
            text: format!("{} gelled before it was empty", cups[k].name),
            way_out: "put it outdoors on stone, it gets hot; what is laid and still wet is worked off, then mix it again, in \
                      smaller cups"
                .to_owned(),
            lost: true,
        });
    }

    fn gels_otherwise(&mut self, job: &Job, recipe: &str, cup: &str, factor: f64, cups: &mut [Cup]) {
        if (factor - 1.0).abs() < AS_PLANNED {
            return;
        }
        let believed = (1.0 / SAME_MIX..=SAME_MIX).contains(&factor);
        let than = if factor < 1.0 { "sooner" } else { "later" };
        self.setbacks.push(Setback {
            kind: SetbackKind::GelsOtherwise,
            subject: cup.to_owned(),
            text: format!(
                "{cup} gelled {than} than planned, in {:.0} % of the time",
                100.0 * factor
            ),
            way_out: if believed {
                format!("the cups of '{recipe}' that follow are planned by what was seen")
            } else {
                "not believed of one mix: look at the hours and the dose again, and gel a test cup first"
                    .to_owned()
            },
            lost: false,
        });
        if !believed {
            return;
        }
        for c in cups.iter_mut().filter(|c| c.recipe == recipe) {
            c.gel = job.gel_time_of(c).map(|g| GelTime {
                time: g.time * factor,
                low: g.low * factor,
                high: g.high * factor,
                ..g.clone()
            });
        }
    }

    fn finish(
        mut self,
        job: &Job,
        cups: &[Cup],
        batches: &[Batch],
        planned: &Timetable,
        cancel: Cancel<'_>,
    ) -> Result<RestOfDay> {
        let now = self.now.since(job.casting.shop.start);
        for missed in steps::missed(job, cups, &self.begun)? {
            self.missed(&missed, cups, planned);
        }
        let begun = Begun {
            now,
            done: self.begun,
        };
        let rest = steps::rest(job, cups, batches, &begun, cancel)?;
        let mut left: Vec<CupLeft> = Vec::new();
        for (k, cup) in cups.iter().enumerate() {
            let Some(start) = rest.cups[k] else { continue };
            let catalysed = start.after(job.before_catalyst());
            left.push(CupLeft {
                name: cup.name.clone(),
                recipe: cup.recipe.clone(),
                zones: job.zones_of(cup),
                again: self.lost.contains(&k),
                start,
                batch: batches[k].clone(),
                gel_time: job.gel_time_of(cup).cloned(),
                use_by: job.usable_of(cup).map(|t| catalysed.after(t)),
            });
        }
        left.sort_by(|a, b| a.start.since(b.start).si().total_cmp(&0.0));
        let done = (0..planned.steps.len())
            .filter(|n| begun.done[planned.of_steps[*n]].is_some())
            .map(|n| n + 1)
            .collect();
        Ok(RestOfDay {
            casting: job.casting.name.clone(),
            now: self.now,
            done,
            setbacks: self.setbacks,
            cups: left,
            steps: rest.steps,
            order: rest.order,
            units: job.casting.shop.units,
        })
    }

    /// A step that was done too early or too late.
    fn missed(&mut self, missed: &Missed, cups: &[Cup], planned: &Timetable) {
        let by = quantity::brief(missed.by);
        let (kind, text, way_out, lost) = match missed.window {
            None => (
                SetbackKind::TooEarly,
                format!("{}: {by} sooner than the layer beneath allows", missed.subject),
                "look at it by slanting light: where the layer beneath wrinkles or lifts, it is cut out and laid anew",
                false,
            ),
            Some(WindowKind::BackUp) => (
                SetbackKind::TooLate,
                format!(
                    "{}: backed up {by} after the gel coat's window had closed",
                    missed.subject
                ),
                "the bond is weak: tap it when it is cured; where it sounds hollow, grind it off, abrade the gel coat, lay it anew",
                true,
            ),
            Some(WindowKind::GreenTrim) => (
                SetbackKind::TooLate,
                format!("{}: trimmed {by} after it had set hard", missed.subject),
                "what is left is sawn and ground after demoulding, with a dust mask and eye protection",
                false,
            ),
            Some(WindowKind::OpenTime) if missed.opened_by.is_some_and(|k| cups[k].act != Act::Seam) => (
                SetbackKind::TooLate,
                format!("{}: closed {by} after it was no longer liquid", missed.subject),
                "do not force it shut: open it, trim what has gelled, and close it on a bead of paste, as after gel",
                true,
            ),
            Some(WindowKind::OpenTime) => {
                // The bead had gelled: off with it, and once more, with the clamps after it.
                if let Some(k) = missed.opened_by {
                    self.begun[planned.of_cup[k]] = None;
                    self.lost.push(k);
                }
                self.begun[missed.task] = None;
                (
                    SetbackKind::TooLate,
                    format!(
                        "{}: clamped {by} after its paste was no longer liquid",
                        missed.subject
                    ),
                    "open it at once, take the gelled bead off both flanges, abrade, wipe; lay the bead anew and close again",
                    true,
                )
            }
        };
        let subject = match missed.opened_by {
            Some(k) if kind == SetbackKind::TooLate => cups[k].name.clone(),
            _ => missed.subject.clone(),
        };
        self.setbacks.push(Setback {
            kind,
            subject,
            text,
            way_out: way_out.to_owned(),
            lost,
        });
    }
}

fn not_begun(i: usize, seen: &SeenToGel) -> Error {
    Error::inconsistent(
        format!("record.entries[{i}].gelled.cup"),
        &seen.cup,
        "a cup whose step the record has",
        format!(
            "write too when {} was begun ('did', with its step, 'from' and 'until')",
            seen.cup
        ),
    )
}

pub(super) fn cup_named(name: &str, cups: &[Cup]) -> Result<usize> {
    cups.iter()
        .position(|c| c.name == name)
        .ok_or_else(|| Error::unknown_name("cup", name, cups.iter().map(|c| c.name.as_str())))
}

/// The gel time of a recipe at another dose, where its table tells.
fn at_dose(job: &Job, recipe: &str, dose: Phr) -> Result<Option<GelTime>> {
    let mut changed = job.casting.clone();
    let Some(of) = changed.recipes.get_mut(recipe) else {
        return Ok(None);
    };
    *of = of.with_cure_dose(Dose::phr(dose.get())?, job.catalogue)?;
    let job = Job::new(&changed, job.catalogue)?;
    Ok(job.gel_time(recipe).cloned())
}

#[cfg(test)]
mod tests {
    use super::steps::minutes;
    use super::*;
    use crate::error::ErrorKind;
    use crate::plan::{Plan, RECORD_VERSION, WeighedIn, Work};
    use crate::quantity::parse;

    fn demo() -> (Casting, Plan) {
        let casting = Casting::from_toml(include_str!("../../demo/moth_lantern.toml")).unwrap();
        let plan = casting.plan(Cancel::NEVER).unwrap();
        (casting, plan)
    }

    /// Every step as planned, up to and with the first of a kind of work.
    fn as_planned(plan: &Plan, last: Work) -> BenchRecord {
        let end = plan.steps.iter().find(|s| s.work == last).unwrap().end;
        let done = plan.steps.iter().filter(|s| end.since(s.end).si() >= 0.0);
        BenchRecord {
            version: RECORD_VERSION,
            casting: plan.casting.clone(),
            now: None,
            entries: done
                .map(|s| {
                    RecordEntry::Did(StepDone {
                        step: s.number,
                        from: Some(s.start),
                        until: s.end,
                    })
                })
                .collect(),
        }
    }

    fn step_of(plan: &Plan, work: Work) -> WorkStep {
        plan.steps.iter().find(|s| s.work == work).unwrap().clone()
    }

    fn kinds(rest: &RestOfDay) -> Vec<SetbackKind> {
        rest.setbacks.iter().map(|s| s.kind).collect()
    }

    #[test]
    fn a_day_that_goes_as_planned_goes_on_as_planned() {
        let (casting, plan) = demo();
        let rest = casting
            .replan(&as_planned(&plan, Work::Pour), Cancel::NEVER)
            .unwrap();
        assert!(rest.setbacks.is_empty());
        let left: Vec<_> = plan
            .steps
            .iter()
            .filter(|s| !rest.done.contains(&s.number))
            .map(|s| (s.work, s.start))
            .collect();
        let planned: Vec<_> = rest.steps.iter().map(|s| (s.work, s.start)).collect();
        assert_eq!(left, planned);
        assert!(rest.cups.iter().all(|c| !c.again));
    }

    #[test]
    fn a_cup_that_gelled_before_it_was_empty_is_mixed_again_and_the_others_are_planned_by_it() {
        let (casting, plan) = demo();
        let mut record = as_planned(&plan, Work::LayUp);
        let lay_up = step_of(&plan, Work::LayUp);
        let cup = lay_up.batch.clone().unwrap();
        record.now = Some(lay_up.end);
        record.entries.push(RecordEntry::Gelled(SeenToGel {
            cup: cup.clone(),
            at: lay_up.start.after(minutes(10.0)),
        }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        assert_eq!(
            kinds(&rest),
            [SetbackKind::GelledInCup, SetbackKind::GelsOtherwise]
        );
        assert!(rest.setbacks[0].lost);
        let again: Vec<_> = rest
            .cups
            .iter()
            .filter(|c| c.again)
            .map(|c| c.name.clone())
            .collect();
        assert_eq!(again, std::slice::from_ref(&cup));
        // 10 min from the start of mixing; the second half of mixing is after the catalyst.
        let left = &rest.cups.iter().find(|c| c.name == cup).unwrap();
        let seen = 600.0 - 0.5 * casting.pace.mixing.si();
        assert!((left.gel_time.as_ref().unwrap().time.si() - seen).abs() < 1.0);
        assert!(rest.steps.iter().any(|s| s.work == Work::LayUp));
        assert!(rest.steps.iter().all(|s| s.start.since(rest.now).si() >= 0.0));
    }

    #[test]
    fn a_scale_misread_by_ten_is_told_before_the_cup_is_used_and_after() {
        let (casting, plan) = demo();
        let pour = step_of(&plan, Work::Pour);
        let batch = plan
            .batches
            .iter()
            .find(|b| Some(&b.name) == pour.batch.as_ref())
            .unwrap();
        let weighed = RecordEntry::Weighed(WeighedIn {
            cup: batch.name.clone(),
            material: "mekp_9".into(),
            mass: batch.batch.cure_part().unwrap().mass * 10.0,
        });
        let mut before = as_planned(&plan, Work::GelCoat);
        before.entries.push(weighed.clone());
        let rest = casting.replan(&before, Cancel::NEVER).unwrap();
        assert_eq!(kinds(&rest), [SetbackKind::WrongDose]);
        assert!(!rest.setbacks[0].lost && rest.setbacks[0].way_out.contains("resin"));
        let mut after = as_planned(&plan, Work::Pour);
        after.entries.push(weighed);
        let rest = casting.replan(&after, Cancel::NEVER).unwrap();
        assert!(rest.setbacks[0].lost, "{}", rest.setbacks[0].text);
    }

    #[test]
    fn a_mould_that_was_closed_late_is_opened_and_the_bead_laid_anew() {
        let (casting, plan) = demo();
        let mut record = as_planned(&plan, Work::Bead);
        let close = step_of(&plan, Work::Close);
        record.entries.push(RecordEntry::Did(StepDone {
            step: close.number,
            from: Some(close.start.after(minutes(60.0))),
            until: close.end.after(minutes(60.0)),
        }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        assert_eq!(kinds(&rest), [SetbackKind::TooLate]);
        let works: Vec<_> = rest.steps.iter().map(|s| s.work).collect();
        let at = |w: Work| works.iter().position(|x| *x == w);
        assert!(at(Work::Bead).unwrap() < at(Work::Close).unwrap());
        assert!(rest.cups.iter().any(|c| c.again));
    }

    #[test]
    fn a_record_that_contradicts_the_plan_is_refused() {
        let (casting, plan) = demo();
        let refused = |record: &BenchRecord| {
            let e = casting.replan(record, Cancel::NEVER).err().unwrap();
            (e.kind(), e.to_string())
        };
        let good = as_planned(&plan, Work::GelCoat);
        let mut other = good.clone();
        other.casting = "another".into();
        assert_eq!(refused(&other).0, ErrorKind::Inconsistent);
        // Emptied before it was mixed.
        let mut backwards = good.clone();
        if let Some(RecordEntry::Did(d)) = backwards.entries.last_mut() {
            (d.from, d.until) = (Some(d.until), d.from.unwrap());
        }
        assert_eq!(refused(&backwards).0, ErrorKind::Inconsistent);
        // Backed up without its gel coat.
        let mut without = as_planned(&plan, Work::LayUp);
        let coats: Vec<_> = plan
            .steps
            .iter()
            .filter(|s| s.work == Work::GelCoat)
            .map(|s| s.number)
            .collect();
        without
            .entries
            .retain(|e| !matches!(e, RecordEntry::Did(d) if coats.contains(&d.step)));
        assert!(refused(&without).1.contains("stands on"));
        let mut unknown = good.clone();
        unknown.entries.push(RecordEntry::Gelled(SeenToGel {
            cup: "cup 99".into(),
            at: plan.steps[3].end,
        }));
        assert_eq!(refused(&unknown).0, ErrorKind::UnknownName);
        let mut early = good;
        early.now = Some(casting.shop.start);
        assert_eq!(refused(&early).0, ErrorKind::Inconsistent);
    }

    #[test]
    fn what_was_measured_takes_the_place_of_what_was_planned() {
        let (casting, plan) = demo();
        let mut record = as_planned(&plan, Work::GelCoat);
        record
            .entries
            .push(RecordEntry::Measured(super::super::record::MeasuredAt {
                at: step_of(&plan, Work::GelCoat).end,
                air: None,
                resin: Some(parse("x", "22 degC").unwrap()),
                mould: None,
            }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        let pour = rest.cups.iter().find(|c| c.recipe == "wing_pour").unwrap();
        let planned = plan.batches.iter().find(|b| b.recipe == "wing_pour").unwrap();
        // Five kelvin warmer gels sooner.
        assert!(pour.gel_time.as_ref().unwrap().time < planned.gel_time.as_ref().unwrap().time * 0.85);
    }
}
