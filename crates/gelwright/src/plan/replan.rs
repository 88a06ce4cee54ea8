//! What now: the rest of a day planned anew from what was done at the bench.

use std::collections::BTreeMap;

use super::casting::Casting;
use super::clock::Clock;
use super::exotherm::{self, Extent};
use super::job::{Cup, Job};
use super::layout::Act;
use super::record::{BenchRecord, RecordEntry, SeenToGel, StepDone};
use super::schedule::{Slips, Slot};
use super::steps::{self, Begun, Missed, Timetable, Wait, WorkStep};
use super::windows::{OrderOfWork, WindowKind};
use crate::cancel::Cancel;
use crate::cure::gel_table::GelTime;
use crate::error::{Error, Result};
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
    /// When the cup must be empty, where the gel time is known: after the usable share of it, and not later than the low end of
    /// the band of its gel in the cup, as it now looks.
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
    /// clamps were set. A part that was demoulded too early is not worked on before it would have been. Then the order of the rest
    /// is found as that of a plan is. Entries are taken by their hours, not by their order: of two readings of one thermometer the
    /// later counts, of two hours at which one cup gelled the earlier. Lots and remarks change nothing. Not planned anew: the
    /// exotherm of the walls, and how the part comes out; plan the changed casting for that.
    ///
    /// # Errors
    /// As [`Casting::plan`]; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a record of another casting, a step
    /// that ends before it begins or is done before one that it needs, an hour after `now` or before work starts, a cup that was
    /// weighed after its step was done or that gelled before it was begun;
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a step, cup or material that the plan has not.
    #[question("plan.replan", long)]
    pub fn replan(
        &self,
        /// What was done and seen.
        record: &BenchRecord,
        cancel: Cancel<'_>,
    ) -> Result<RestOfDay> {
        self.recorded(record, cancel, |day| {
            let Recorded {
                job,
                mut cups,
                batches,
                planned,
                told,
            } = day;
            told.knows(&job)?;
            // The shop as it was measured; the same cups as planned.
            let measured = told.shop(job.casting);
            let now_job = Job::new(&measured, job.catalogue)?;
            let mut rest = Rest {
                setbacks: Vec::new(),
                begun: told.begun,
                owed: Vec::new(),
                lost: Vec::new(),
                now: told.now,
            };
            rest.weighed(&now_job, record, &mut cups, &batches, &planned)?;
            rest.gelled(&now_job, record, &mut cups, &planned)?;
            rest.finish(&now_job, &cups, &batches, &planned, cancel)
        })
    }
}

/// A day as it was planned, with what its record says.
pub(super) struct Recorded<'d> {
    pub(super) job: Job<'d>,
    pub(super) cups: Vec<Cup>,
    pub(super) batches: Vec<Batch>,
    pub(super) planned: Timetable,
    pub(super) told: Told<'d>,
}

impl Casting {
    /// Reads a record with the plan that it belongs to.
    pub(super) fn recorded<T>(
        &self,
        record: &BenchRecord,
        cancel: Cancel<'_>,
        read: impl FnOnce(Recorded<'_>) -> Result<T>,
    ) -> Result<T> {
        cancel.check()?;
        self.check()?;
        crate::noun::check(record)?;
        record.is_of(self)?;
        let catalogue = self.catalogue()?;
        let tested = self.as_tested()?.casting;
        let job = Job::new(&tested, &catalogue)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        let planned = steps::timetable(&job, &mut cups, &batches, Slips::Left, cancel)?;
        let told = Told::of(&tested, record, &planned)?;
        read(Recorded {
            job,
            cups,
            batches,
            planned,
            told,
        })
    }
}

/// What the record says, against the plan.
pub(super) struct Told<'r> {
    pub(super) record: &'r BenchRecord,
    now: Clock,
    /// By task.
    pub(super) begun: Vec<Option<Slot>>,
}

impl<'r> Told<'r> {
    fn of(casting: &Casting, record: &'r BenchRecord, planned: &Timetable) -> Result<Self> {
        let start = casting.shop.start;
        let hours = record.entries.iter().filter_map(hour_of);
        let last = hours.fold(start, |a, (_, b)| if b.since(a).si() > 0.0 { b } else { a });
        let now = record.now.unwrap_or(last);
        if now.since(start).si() < 0.0 {
            return Err(Error::inconsistent(
                "record.now",
                now,
                format!("{start} (the start of work) or later"),
                "the next morning is written like '08:30 +1 d'; before work starts there is nothing to plan anew",
            ));
        }
        let mut begun = vec![None; planned.of_steps.len()];
        for (i, entry) in record.entries.iter().enumerate() {
            let at = |field: &str| format!("record.entries[{i}].{field}");
            if let Some((field, hour)) = hour_of(entry) {
                let past = now.since(hour).si() >= 0.0;
                if !past || hour.since(start).si() < 0.0 {
                    return Err(Error::inconsistent(
                        at(field),
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

    /// Refuses a lot of a material that this casting does not take.
    fn knows(&self, job: &Job) -> Result<()> {
        let mut all = job.laid();
        all.sort_unstable();
        Error::none_of(
            self.record
                .entries
                .iter()
                .enumerate()
                .map(|(i, entry)| match entry {
                    RecordEntry::FromLot(lot) if !all.contains(&lot.material.as_str()) => {
                        Err(Error::unknown_name(
                            format!("record.entries[{i}].from_lot.material"),
                            &lot.material,
                            all.iter().copied(),
                        ))
                    }
                    _ => Ok(()),
                }),
        )
    }

    /// The casting in the shop as it was measured last.
    fn shop(&self, casting: &Casting) -> Casting {
        let mut measured = casting.clone();
        let entries = self.record.entries.iter();
        let mut readings: Vec<_> = entries
            .filter_map(|e| match e {
                RecordEntry::Measured(m) => Some(m),
                _ => None,
            })
            .collect();
        readings.sort_by(|a, b| a.at.since(b.at).si().total_cmp(&0.0));
        for m in readings {
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

/// The hour of an entry, and the field that it stands in.
fn hour_of(entry: &RecordEntry) -> Option<(&'static str, Clock)> {
    match entry {
        RecordEntry::Did(d) => Some(("did.until", d.until)),
        RecordEntry::Gelled(g) => Some(("gelled.at", g.at)),
        RecordEntry::Showed(s) => Some(("showed.at", s.at)),
        RecordEntry::Measured(m) => Some(("measured.at", m.at)),
        RecordEntry::Weighed(w) => Some(("weighed.at", w.at?)),
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
    /// Tasks that were done so much too early that what stands on them waits.
    owed: Vec<(usize, Time)>,
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
            let emptied = self.begun[planned.of_cup[k]];
            if let (Some(hour), Some(slot)) = (w.at, emptied) {
                let done = job.casting.shop.start.after(slot.end);
                if hour.since(done).si() > 0.0 {
                    return Err(Error::inconsistent(
                        at("at"),
                        hour,
                        format!("not after {done}, when {} was done with", w.cup),
                        "look at cup and hour again: what is weighed later goes into a later cup",
                    ));
                }
            }
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
        let window = mix.dose_window(wanted)?;
        // An end that the window has not, or that the wanted dose lies beyond, allows nothing beyond that dose.
        let low = window.and_then(|w| w.low).filter(|l| l.get() <= wanted.get());
        let high = window.and_then(|w| w.high).filter(|h| h.get() >= wanted.get());
        let (lowest, highest) = (low.unwrap_or(wanted), high.unwrap_or(wanted));
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
        let entries = record.entries.iter().enumerate();
        let mut all: Vec<(usize, &SeenToGel)> = entries
            .filter_map(|(i, e)| match e {
                RecordEntry::Gelled(seen) => Some((i, seen)),
                _ => None,
            })
            .collect();
        all.sort_by(|a, b| a.1.at.since(b.1.at).si().total_cmp(&0.0));
        let mut seen_of: Vec<usize> = Vec::new();
        for (i, seen) in all {
            let k =
                cup_named(&seen.cup, cups).map_err(|e| e.at(format!("record.entries[{i}].gelled.cup")))?;
            // It gels once: what is seen of it later tells no more.
            if seen_of.contains(&k) {
                continue;
            }
            seen_of.push(k);
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
            self.missed(&missed, job, cups, planned);
        }
        let begun = Begun {
            now,
            done: self.begun,
            owed: self.owed,
        };
        let rest = steps::rest(job, cups, batches, &begun, cancel)?;
        let gels = gel_low(job, cups, batches, planned, cancel)?;
        let mut left: Vec<CupLeft> = Vec::new();
        for (k, cup) in cups.iter().enumerate() {
            let Some(start) = rest.cups[k] else { continue };
            left.push(CupLeft {
                name: cup.name.clone(),
                recipe: cup.recipe.clone(),
                zones: job.zones_of(cup),
                again: self.lost.contains(&k),
                start,
                batch: batches[k].clone(),
                gel_time: job.gel_time_of(cup).cloned(),
                use_by: job.use_by(cup, start, gels[k]),
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
    fn missed(&mut self, missed: &Missed, job: &Job, cups: &[Cup], planned: &Timetable) {
        let by = quantity::brief(missed.by);
        let of = &missed.subject;
        let told = |text: String, way_out: &str, lost: bool| (text, way_out.to_owned(), lost);
        let (text, way_out, lost) = match missed.wait {
            Wait::InMould => {
                self.owed.push((missed.task, missed.by));
                let out = self.begun[missed.task].map_or(self.now, |s| job.casting.shop.start.after(s.end));
                (
                    format!("{of}: demoulded {by} before its time in the mould was over"),
                    format!(
                        "what is still tacky or bends under its own weight goes back on its half of the mould, clamped; else lay it \
                         supported all over, out of the draught; do not trim it, warm it or load it before {}",
                        out.after(missed.by)
                    ),
                    false,
                )
            }
            Wait::Release => told(
                format!("{of}: worked on {by} before the release agent was dry"),
                "a film that is not dry comes off with the brush, and the part sticks there: where it is still open, wipe it off and \
                 release anew; where it is covered, demould from there last, with wedges and patience",
                false,
            ),
            Wait::PostCure => told(
                format!("{of}: out of the post-cure {by} too early"),
                "put it back, supported, for what is missing, before it bears load or heat",
                false,
            ),
            Wait::Trimmed => told(
                format!("{of}: trimmed {by} before it had set"),
                "what the knife has dragged off the mould is rolled down again while it is wet, or ground off and laid anew once hard",
                false,
            ),
            Wait::Layer => told(
                format!("{of}: {by} sooner than the layer beneath allows"),
                "look at it by slanting light: where the layer beneath wrinkles or lifts, it is cut out and laid anew",
                false,
            ),
            Wait::Window(WindowKind::BackUp) => told(
                format!("{of}: backed up {by} after the gel coat's window had closed"),
                "the bond is weak: tap it when it is cured; where it sounds hollow, grind it off, abrade the gel coat, lay it anew",
                true,
            ),
            Wait::Window(WindowKind::GreenTrim) => told(
                format!("{of}: trimmed {by} after it had set hard"),
                "what is left is sawn and ground after demoulding, with a dust mask and eye protection",
                false,
            ),
            Wait::Window(WindowKind::OpenTime)
                if missed.opened_by.is_some_and(|k| cups[k].act != Act::Seam) =>
            {
                told(
                    format!("{of}: closed {by} after it was no longer liquid"),
                    "do not force it shut: open it, trim what has gelled, and close it on a bead of paste, as after gel",
                    true,
                )
            }
            Wait::Window(WindowKind::OpenTime) => {
                // The bead had gelled: off with it, and once more, with the clamps after it.
                if let Some(k) = missed.opened_by {
                    self.begun[planned.of_cup[k]] = None;
                    self.lost.push(k);
                }
                self.begun[missed.task] = None;
                told(
                    format!("{of}: clamped {by} after its paste was no longer liquid"),
                    "open it at once, take the gelled bead off both flanges, abrade, wipe; lay the bead anew and close again",
                    true,
                )
            }
        };
        let kind = match missed.wait {
            Wait::Window(_) => SetbackKind::TooLate,
            _ => SetbackKind::TooEarly,
        };
        let subject = match missed.opened_by {
            Some(k) if kind == SetbackKind::TooLate => cups[k].name.clone(),
            _ => missed.subject.clone(),
        };
        self.setbacks.push(Setback {
            kind,
            subject,
            text,
            way_out,
            lost,
        });
    }
}

/// The low end of the band of each cup's gel, as it now looks: that of its batch, by as much sooner or later as its gel time is.
fn gel_low(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    planned: &Timetable,
    cancel: Cancel<'_>,
) -> Result<Vec<Option<Time>>> {
    let laws = exotherm::calibrated(job, cancel)?;
    let heat = exotherm::exotherms(job, cups, batches, planned, &laws, Extent::Cups, cancel)?;
    let sooner = |cup: &Cup| {
        let (now, table) = (job.gel_time_of(cup)?, job.gel_time(&cup.recipe)?);
        Some(now.time.si() / table.time.si())
    };
    let of = heat.cups.iter().zip(cups);
    Ok(of
        .map(|(e, cup)| Some(e.as_ref()?.band.gel_low? * sooner(cup).unwrap_or(1.0)))
        .collect())
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
            at: None,
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

    /// 18 h in the mould, by the demo; taken out after two.
    #[test]
    fn a_part_that_was_demoulded_too_early_is_told_and_left_alone_until_its_time() {
        let (casting, plan) = demo();
        let mut record = as_planned(&plan, Work::Close);
        let (close, demould) = (step_of(&plan, Work::Close), step_of(&plan, Work::Demould));
        let out = close.end.after(minutes(120.0));
        let until = out.after(demould.end.since(demould.start));
        record.entries.push(RecordEntry::Did(StepDone {
            step: demould.number,
            from: Some(out),
            until,
        }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        assert_eq!(kinds(&rest), [SetbackKind::TooEarly]);
        let told = &rest.setbacks[0];
        assert!(
            told.text.contains("16 h") && told.text.contains("mould"),
            "{}",
            told.text
        );
        let trim = rest.steps.iter().find(|s| s.work == Work::Trim).unwrap();
        assert!(trim.start.since(until).si() >= 16.0 * 3600.0, "{}", trim.start);
        // A quarter of an hour is as planned where the clock allows it: what is in time is not told.
        let mut in_time = as_planned(&plan, Work::Demould);
        in_time.now = Some(demould.end);
        assert!(
            casting
                .replan(&in_time, Cancel::NEVER)
                .unwrap()
                .setbacks
                .is_empty()
        );
    }

    /// Without clamps and seams nothing closes the mould: what is taken out too early is told once, as demoulding.
    #[test]
    fn an_open_mould_is_demoulded_too_early_in_the_words_of_demoulding() {
        let casting = panel("");
        let plan = casting.plan_without_cures(Cancel::NEVER).unwrap();
        let mut record = as_planned(&plan, Work::TrimFlange);
        let demould = step_of(&plan, Work::Demould);
        let last = step_of(&plan, Work::TrimFlange).end;
        record.entries.push(RecordEntry::Did(StepDone {
            step: demould.number,
            from: Some(last.after(minutes(30.0))),
            until: last.after(minutes(50.0)),
        }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        let told: Vec<_> = rest.setbacks.iter().map(|s| s.text.as_str()).collect();
        assert!(
            told.len() == 1 && told[0].contains("the part: demoulded"),
            "{told:?}"
        );
    }

    /// PVA is given forty minutes to dry; brushed over after ten.
    #[test]
    fn a_gel_coat_on_a_wet_release_agent_is_told() {
        let casting = panel("release = [{ material = \"release_pva\", coats = 1, wait = \"40 min\" }]");
        let plan = casting.plan_without_cures(Cancel::NEVER).unwrap();
        let mut record = as_planned(&plan, Work::Release);
        let (coat, dry) = (step_of(&plan, Work::GelCoat), step_of(&plan, Work::Release).end);
        record.entries.push(RecordEntry::Did(StepDone {
            step: coat.number,
            from: Some(dry.after(minutes(10.0))),
            until: dry.after(minutes(20.0)),
        }));
        let rest = casting.replan(&record, Cancel::NEVER).unwrap();
        assert_eq!(kinds(&rest), [SetbackKind::TooEarly]);
        let text = &rest.setbacks[0].text;
        assert!(
            text.contains("30 min") && text.contains("release agent"),
            "{text}"
        );
    }

    fn panel(mould: &str) -> Casting {
        let text = format!(
            r#"version = 2
name = "panel"
[shop]
temperature = "20 degC"
humidity = "50 %"
start = "09:00"
end = "19:00"
bench = {{ scale = {{ readability = "0.01 g" }} }}
[mould]
wall = "grp_mould"
thickness = "6 mm"
{mould}
[recipes.coat]
resin = "clear_gel_coat"
parts = [{{ material = "mekp_9", dose = "2 phr" }}]
[recipes.wall]
resin = "ortho_polyester"
parts = [{{ material = "mekp_9", dose = "1.5 phr" }}]
[[zones]]
name = "panel"
area = "0.1 m^2"
layers = [
  {{ gel_coat = {{ recipe = "coat", wet_thickness = "0.5 mm" }} }},
  {{ laminate = {{ recipe = "wall", plies = ["csm_450"], glass_content = "30 wt%" }} }},
]
"#
        );
        Casting::from_toml(&text).unwrap()
    }

    /// The sheet of a cup that is left standing may see it gel before the usable share of its gel time is over: no later than the
    /// plan's own hour, for a cup that starts when it was planned to.
    #[test]
    fn a_cup_is_to_be_empty_no_later_than_its_plan_says() {
        let (casting, plan) = demo();
        let rest = casting
            .replan(&as_planned(&plan, Work::GelCoat), Cancel::NEVER)
            .unwrap();
        for left in &rest.cups {
            let planned = plan.batches.iter().find(|b| b.name == left.name).unwrap();
            let time = |by: Option<Clock>, from: Clock| by.unwrap().since(from).si();
            let (a, b) = (time(left.use_by, left.start), time(planned.use_by, planned.start));
            assert!((a - b).abs() <= 1.0, "{}: {a} {b}", left.name);
        }
    }

    /// What counts is the hour, not the place in the list; and a cup gels once.
    #[test]
    fn readings_count_by_their_hour() {
        let (casting, plan) = demo();
        let coat = step_of(&plan, Work::GelCoat);
        let read = |celsius: &str, at: Clock| {
            RecordEntry::Measured(super::super::record::MeasuredAt {
                at,
                air: None,
                resin: Some(parse("x", celsius).unwrap()),
                mould: None,
            })
        };
        let seen = |after: f64| {
            RecordEntry::Gelled(SeenToGel {
                cup: coat.batch.clone().unwrap(),
                at: coat.start.after(minutes(after)),
            })
        };
        let with = |entries: [RecordEntry; 4]| {
            let mut record = as_planned(&plan, Work::GelCoat);
            record.now = Some(coat.start.after(minutes(60.0)));
            record.entries.extend(entries);
            casting.replan(&record, Cancel::NEVER).unwrap()
        };
        let (early, late) = (coat.start, coat.end);
        let one = with([
            read("22 degC", late),
            read("17 degC", early),
            seen(40.0),
            seen(25.0),
        ]);
        let other = with([
            seen(25.0),
            read("17 degC", early),
            seen(40.0),
            read("22 degC", late),
        ]);
        assert!(one == other);
        let gelled = one.setbacks.iter().find(|s| s.kind == SetbackKind::GelsOtherwise);
        assert!(gelled.is_some());
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
        let mut early = good.clone();
        early.now = Some(casting.shop.start);
        assert_eq!(refused(&early).0, ErrorKind::Inconsistent);
        let field = |record: &BenchRecord| {
            let e = casting.replan(record, Cancel::NEVER).err().unwrap();
            (e.kind(), e.field().rsplit("].").next().unwrap().to_owned())
        };
        // Read, and measured, before work starts.
        let before = Clock::parse("", "08:00").unwrap();
        let mut at_night = good.clone();
        (at_night.now, at_night.entries) = (Some(before), vec![]);
        assert_eq!(field(&at_night), (ErrorKind::Inconsistent, "record.now".into()));
        let mut unready = good.clone();
        unready
            .entries
            .push(RecordEntry::Measured(super::super::record::MeasuredAt {
                at: before,
                air: None,
                resin: None,
                mould: None,
            }));
        assert_eq!(field(&unready), (ErrorKind::Inconsistent, "measured.at".into()));
        // Weighed after the cup was done with.
        let coat = step_of(&plan, Work::GelCoat);
        let mut late = good.clone();
        late.now = Some(coat.end.after(minutes(30.0)));
        late.entries.push(RecordEntry::Weighed(WeighedIn {
            cup: coat.batch.clone().unwrap(),
            material: "mekp_9".into(),
            mass: parse("x", "1 g").unwrap(),
            at: Some(coat.end.after(minutes(10.0))),
        }));
        assert_eq!(field(&late), (ErrorKind::Inconsistent, "weighed.at".into()));
        // A lot of what it does not take.
        let mut lot = good;
        lot.entries
            .push(RecordEntry::FromLot(super::super::record::LotUsed {
                material: "gold_leaf".into(),
                lot: "7".into(),
            }));
        assert_eq!(field(&lot), (ErrorKind::UnknownName, "from_lot.material".into()));
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
