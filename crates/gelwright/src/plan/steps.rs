//! The order of work on the clock.

use std::sync::OnceLock;

use crate::noun::Noun;
use uom::si::time::{hour, minute, second};

use super::casting::Closing;
use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::Act;
use super::schedule::{After, Closes, Crew, Day, Slips, Slot, Task, keeping_windows, schedule};
use super::windows::{ConflictingWindows, OrderOfWork, WindowKind};
use super::words::{sentence, words};
use crate::cancel::Cancel;
use crate::cure::{TackRule, TackWindow};
use crate::error::{Error, Result};
use crate::limit::{LimitQuantity, Limits};
use crate::material::{ReleaseKind, that_count};
use crate::mix::Batch;
use crate::quantity::{self, Area, BenchUnits, Length, Quantity, TemperatureInterval, Time};

/// What a step is, in the words of the trade.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Work {
    /// Bring resin, glass and mould to temperature, and measure it.
    Condition,
    /// Clean the mould and buff it.
    Clean,
    /// One coat of a release agent.
    Release,
    /// Cut glass and veil.
    Cut,
    /// One coat of gel coat.
    GelCoat,
    /// The touch test, before a gel coat is backed up.
    TouchTest,
    /// Lay up and roll out.
    LayUp,
    /// Pour.
    Pour,
    /// Trim the flange of what has gelled and is not hard yet; fit the halves dry.
    TrimFlange,
    /// Bed an insert.
    Bed,
    /// Lay the bead of a seam.
    Bead,
    /// Close the mould, clamp, wipe.
    Close,
    /// What is left in cups and brushes.
    Leftover,
    /// Take the part out of the mould.
    Demould,
    /// Trim and sand it.
    Trim,
    /// A hold of the post-cure.
    PostCure,
    /// Cool down.
    Cool,
}

impl Work {
    /// Whether the mould's face, or what lies wet on it, is open to the air meanwhile.
    pub(super) fn opens_the_face(self) -> bool {
        use Work::{Bead, Bed, Close, GelCoat, LayUp, Pour, Release};
        matches!(self, Release | GelCoat | LayUp | Pour | Bed | Bead | Close)
    }
}

/// A step of the work.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WorkStep {
    /// From 1.
    pub number: usize,
    /// What it is.
    pub work: Work,
    /// When it starts.
    pub start: Clock,
    /// When the hands are free again.
    pub end: Clock,
    /// When what it starts is over, where that goes on without hands: a post-cure.
    pub until: Option<Clock>,
    /// The time before it in which there is nothing to do.
    pub wait_before: Time,
    /// What to do.
    pub text: String,
    /// The cup it uses.
    pub batch: Option<String>,
    /// The zones, inserts or seams that it works on, where it is not the whole part.
    #[noun(default)]
    pub zones: Vec<String>,
    /// How it is done, and what to watch.
    #[noun(default)]
    pub watch: Vec<String>,
    /// Whose hands, from 1, where more than one person works.
    pub worker: Option<usize>,
    /// The latest start with which every window can still be kept, all steps before done as planned and all others
    /// planned anew, the end as late as it then comes; absent, where no window closes however late it starts, or where
    /// there are too many steps to look at.
    pub latest: Option<Clock>,
    /// The windows that cannot all be kept if it starts later than that.
    #[noun(default)]
    pub breaks: Vec<String>,
}

/// The steps, when each cup is started, and how each window is kept.
pub(super) struct Timetable {
    pub(super) steps: Vec<WorkStep>,
    pub(super) cups: Vec<Clock>,
    pub(super) windows: Vec<HeldWindow>,
    pub(super) order: OrderOfWork,
    /// When the mould is closed, if it is.
    pub(super) closed: Option<Clock>,
    /// When the part is demoulded.
    pub(super) demould: Clock,
    /// The materials that each step handles, by id.
    pub(super) handled: Vec<Vec<String>>,
    /// When each hold of the post-cure begins.
    pub(super) holds: Vec<Clock>,
    /// The task of each step.
    pub(super) of_steps: Vec<usize>,
    /// The task of each cup.
    pub(super) of_cup: Vec<usize>,
    /// What each task needs done before it, and what it is.
    needs: Vec<(Work, Vec<usize>)>,
}

/// A window of the day: how long was waited, and what it allows.
pub(super) struct HeldWindow {
    pub(super) kind: WindowKind,
    pub(super) subject: String,
    pub(super) waited: Time,
    pub(super) closes: Time,
    /// What limits may name of the mix that opens it.
    pub(super) tags: Vec<String>,
}

/// Tack window where the gel time is not known: common practice, no source.
const TACK_OPENS_UNKNOWN_MIN: f64 = 90.0;
/// Next morning is common; after a day the surface is abraded first: common practice, no source.
const TACK_CLOSES_H: f64 = 24.0;
/// A layer firm enough to be worked on where its gel time is not known: common practice, no source.
const FIRM_UNKNOWN_MIN: f64 = 60.0;

#[derive(Clone)]
struct Planned {
    work: Work,
    text: String,
    cup: Option<usize>,
    zones: Vec<String>,
    watch: Vec<String>,
    hands: Time,
    after: Vec<After>,
    /// Goes on so long without hands.
    goes_on: Option<Time>,
    handled: Vec<String>,
}

impl Planned {
    fn new(work: Work, text: impl Into<String>, hands: Time, after: Vec<After>) -> Self {
        Planned {
            work,
            text: text.into(),
            cup: None,
            zones: vec![],
            watch: vec![],
            hands,
            after,
            goes_on: None,
            handled: vec![],
        }
    }

    fn watch(mut self, watch: impl IntoIterator<Item = String>) -> Self {
        self.watch.extend(watch);
        self
    }

    fn handles(mut self, materials: impl IntoIterator<Item = String>) -> Self {
        self.handled.extend(materials);
        self
    }
}

/// Not sooner than so long after a task.
fn after(task: usize, least: Time) -> After {
    After {
        task,
        least,
        closes: None,
    }
}

pub(super) fn minutes(m: f64) -> Time {
    Time::new::<minute>(m)
}

impl Job<'_> {
    /// When a gel coat takes its back-up, counted from the end of brushing: from, to.
    fn tack(&self, cup: &Cup) -> (Time, Time) {
        let window = self.gel_time_of(cup).and_then(|g| {
            // From the middle of the band: the finger test decides, and the sheet says so.
            TackWindow::from_gel_time(g.time, g.time, g.time, &TackRule::default())
                .map(|w| (later(w.opens, earliest_back_up()), w.closes))
                .ok()
        });
        window.unwrap_or((minutes(TACK_OPENS_UNKNOWN_MIN), Time::new::<hour>(TACK_CLOSES_H)))
    }
    fn firm(&self, cup: &Cup) -> Time {
        self.gel_time_of(cup)
            .map_or(minutes(FIRM_UNKNOWN_MIN), |g| g.high)
    }
    /// Square metres that the release agent goes on: the zones, and the flanges of both halves.
    pub(super) fn mould_area(&self) -> f64 {
        let zones: f64 = self
            .casting
            .zones
            .iter()
            .filter_map(|z| z.area)
            .map(Quantity::si)
            .sum();
        zones + self.flange_area()
    }
    /// Square metres of flange, of both halves.
    pub(super) fn flange_area(&self) -> f64 {
        self.casting
            .seams
            .iter()
            .map(|s| 2.0 * s.length.si() * s.flange.unwrap_or(s.width).si())
            .sum()
    }
    /// Whether the mould is closed on what is still liquid.
    fn closed_wet(&self) -> bool {
        self.casting.closing == Closing::Wet
    }
    fn shown<Q: Quantity>(&self, q: Q) -> String {
        quantity::brief_in(q, self.casting.shop.units)
    }
}

/// No gel coat is backed up sooner, by the rules that the plan is held against.
fn earliest_back_up() -> Time {
    static READ: OnceLock<f64> = OnceLock::new();
    let read = || {
        let limits = Limits::generic().ok();
        let tack = limits
            .iter()
            .flat_map(Limits::iter)
            .filter(|l| l.quantity == LimitQuantity::TackWindow);
        tack.filter_map(|l| l.bounds().ok()?.0).fold(0.0, f64::max)
    };
    Time::new::<second>(*READ.get_or_init(read))
}

fn later(a: Time, b: Time) -> Time {
    if a < b { b } else { a }
}

/// The tasks of the day, and which of them are the cups'.
struct Tasks {
    all: Vec<Planned>,
    of_cup: Vec<usize>,
    /// The touch test after a cup of gel coat.
    touch: Vec<Option<usize>>,
    /// Which of them closes the mould.
    closing: Option<usize>,
    demould: usize,
}

/// Puts the work on the clock. The cups are numbered by the clock here: "cup 1" is the first to be mixed.
pub(super) fn timetable(
    job: &Job,
    cups: &mut [Cup],
    batches: &[Batch],
    slips: Slips,
    cancel: Cancel<'_>,
) -> Result<Timetable> {
    let tasks = tasks(job, cups)?;
    let day = laid_out(job, &tasks, None, slips, cancel)?;
    let slots = &day.slots;
    let order = by_start(&day, 0..tasks.all.len());
    let in_order = order.iter().filter_map(|i| tasks.all[*i].cup);
    for (n, k) in in_order.enumerate() {
        cups[k].name = format!("cup {}", n + 1);
    }
    let cups = &*cups;
    let start = job.casting.shop.start;
    let windows: Vec<String> = (0..day.windows.len())
        .map(|w| words_of(job, cups, &tasks, &day, w))
        .collect();
    let of_oven = tasks
        .all
        .iter()
        .zip(slots)
        .filter(|(t, _)| t.work == Work::PostCure);
    let holds = of_oven.map(|(_, slot)| start.after(slot.end)).collect();
    Ok(Timetable {
        holds,
        steps: steps(
            job,
            cups,
            batches,
            &tasks,
            &day,
            &order,
            &windows,
            Time::default(),
        ),
        closed: tasks.closing.map(|i| start.after(slots[i].start)),
        cups: tasks
            .of_cup
            .iter()
            .map(|i| start.after(slots[*i].start))
            .collect(),
        windows: held(job, cups, &tasks, &day),
        order: shown(start, &day, &windows),
        demould: start.after(slots[tasks.demould].start),
        handled: order.iter().map(|i| tasks.all[*i].handled.clone()).collect(),
        needs: tasks
            .all
            .iter()
            .map(|p| (p.work, p.after.iter().map(|a| a.task).collect()))
            .collect(),
        of_steps: order,
        of_cup: tasks.of_cup,
    })
}

/// A series on the clock: the steps of each casting, when its mould was closed, and what is shown of their order.
pub(super) struct SeriesOfSteps {
    pub(super) castings: Vec<(Vec<WorkStep>, Option<Clock>)>,
    pub(super) order: OrderOfWork,
}

/// Puts several castings from one mould on the clock, one after another: `first` and `next` are the same casting with the release
/// of a first and of a further one. The next begins with cleaning, once the last has left the mould; its cutting can be done at any
/// time, and what the last one takes outside the mould goes on beside it.
pub(super) fn series(
    first: &Job,
    next: &Job,
    castings: usize,
    cups: &[Cup],
    batches: &[Batch],
    cancel: Cancel<'_>,
) -> Result<SeriesOfSteps> {
    let mut all = tasks(first, cups)?;
    let further = tasks(next, cups)?;
    let mut of = vec![0; all.all.len()];
    let mut early: Vec<usize> = all.closing.into_iter().chain([all.demould]).collect();
    let mut closings = vec![all.closing];
    for n in 1..castings {
        // What is measured before work stands for all; all else once more.
        let offset = all.all.len() - 1;
        let moved = |task: usize| if task == 0 { 0 } else { task + offset };
        for (i, planned) in further.all.iter().enumerate().skip(1) {
            let mut again = planned.clone();
            again.after.iter_mut().for_each(|a| a.task = moved(a.task));
            if again.work == Work::Clean {
                again.after.push(after(all.demould, Time::default()));
            }
            again.cup = again.cup.map(|k| k + n * cups.len());
            debug_assert_eq!(all.all.len(), moved(i));
            all.all.push(again);
            of.push(n);
        }
        all.of_cup.extend(further.of_cup.iter().map(|t| moved(*t)));
        all.demould = moved(further.demould);
        closings.push(further.closing.map(moved));
        early.extend(closings[n].into_iter().chain([all.demould]));
    }
    let cups: Vec<Cup> = std::iter::repeat_n(cups, castings).flatten().cloned().collect();
    let batches: Vec<Batch> = std::iter::repeat_n(batches, castings)
        .flatten()
        .cloned()
        .collect();
    let day = schedule(
        &for_hands(&all, None),
        &early,
        crew(first, None),
        Slips::Left,
        cancel,
    )?;
    let windows: Vec<String> = (0..day.windows.len())
        .map(|w| {
            let casting = of[day.windows[w].0] + 1;
            format!("casting {casting}: {}", words_of(first, &cups, &all, &day, w))
        })
        .collect();
    let order = by_start(&day, 0..all.all.len());
    let told = steps(
        first,
        &cups,
        &batches,
        &all,
        &day,
        &order,
        &windows,
        Time::default(),
    );
    let start = first.casting.shop.start;
    let closed = closings
        .iter()
        .map(|c| c.map(|t| start.after(day.slots[t].start)));
    let mut castings: Vec<(Vec<WorkStep>, Option<Clock>)> = closed.map(|c| (vec![], c)).collect();
    for (step, task) in told.into_iter().zip(&order) {
        castings[of[*task]].0.push(step);
    }
    Ok(SeriesOfSteps {
        castings,
        order: shown(start, &day, &windows),
    })
}

fn by_start(day: &Day, tasks: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut order: Vec<usize> = tasks.collect();
    let start = |i: usize| day.slots[i].start.si();
    order.sort_by(|a, b| start(*a).total_cmp(&start(*b)).then(a.cmp(b)));
    order
}

/// What is done, by task, counted from the start of work; nothing else starts before `now`.
pub(super) struct Begun {
    pub(super) now: Time,
    pub(super) done: Vec<Option<Slot>>,
    /// Tasks that were done so much too early: what stands on them waits for as long.
    pub(super) owed: Vec<(usize, Time)>,
}

/// The rest of a day.
pub(super) struct RestOfSteps {
    pub(super) steps: Vec<WorkStep>,
    pub(super) order: OrderOfWork,
    /// When each cup is started that is still to be mixed.
    pub(super) cups: Vec<Option<Clock>>,
}

/// Puts the rest of the work on the clock, what is done standing as it was done.
pub(super) fn rest(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    begun: &Begun,
    cancel: Cancel<'_>,
) -> Result<RestOfSteps> {
    let mut tasks = tasks(job, cups)?;
    for (task, by) in &begun.owed {
        let waits = tasks.all.iter_mut().flat_map(|p| &mut p.after);
        for a in waits.filter(|a| a.task == *task) {
            a.least = later(a.least, *by);
        }
    }
    let day = laid_out(job, &tasks, Some(begun), Slips::Told, cancel)?;
    let start = job.casting.shop.start;
    let windows: Vec<String> = (0..day.windows.len())
        .map(|w| words_of(job, cups, &tasks, &day, w))
        .collect();
    let order = by_start(&day, (0..tasks.all.len()).filter(|i| begun.done[*i].is_none()));
    Ok(RestOfSteps {
        steps: steps(job, cups, batches, &tasks, &day, &order, &windows, begun.now),
        order: shown(start, &day, &windows),
        cups: tasks
            .of_cup
            .iter()
            .map(|i| begun.done[*i].is_none().then(|| start.after(day.slots[*i].start)))
            .collect(),
    })
}

/// Refuses a record that the order of things contradicts: something is done, and what it stands on is not, or only later.
/// What leaves nothing behind to stand on (a measurement, a touch test, cutting, trimming) is taken as done with what follows.
pub(super) fn allows(planned: &Timetable, done: &mut [Option<Slot>]) -> Result<()> {
    let number = |task: usize| {
        planned
            .of_steps
            .iter()
            .position(|t| *t == task)
            .map_or(0, |n| n + 1)
    };
    for task in (0..done.len()).rev() {
        let Some(slot) = done[task] else { continue };
        for &before in &planned.needs[task].1 {
            match done[before] {
                Some(b) if b.end.si() <= slot.start.si() => {}
                None if leaves_nothing(planned.needs[before].0) => {
                    done[before] = Some(Slot {
                        start: slot.start,
                        end: slot.start,
                    });
                }
                other => {
                    return Err(Error::inconsistent(
                        "record.entries",
                        format!("step {} done", number(task)),
                        format!(
                            "after step {}{}",
                            number(before),
                            if other.is_some() {
                                ", which it stands on"
                            } else {
                                ", which it stands on, and which the record has not"
                            }
                        ),
                        "look at the numbers and the hours again, and write down what was done before",
                    ));
                }
            }
        }
    }
    Ok(())
}

fn leaves_nothing(work: Work) -> bool {
    matches!(
        work,
        Work::Condition | Work::Clean | Work::Cut | Work::TouchTest | Work::TrimFlange | Work::Leftover
    )
}

/// What a step did not wait for, or waited too long for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wait {
    /// The window had closed.
    Window(WindowKind),
    /// The release agent was not dry.
    Release,
    /// What is beneath, or what the mould was closed on, had not gelled.
    Layer,
    /// What was trimmed had not set.
    Trimmed,
    /// The time in the mould was not over.
    InMould,
    /// A hold of the post-cure was not over.
    PostCure,
}

/// A step that was done before it could be, or after its window had closed.
pub(super) struct Missed {
    pub(super) task: usize,
    /// What it works on.
    pub(super) subject: String,
    pub(super) wait: Wait,
    /// The cup that opened it.
    pub(super) opened_by: Option<usize>,
    pub(super) by: Time,
}

/// Missed by less than this is not missed: a clock on the wall shows minutes.
const MISSED_BY_S: f64 = 60.0;

/// What of the work that is done was done too early or too late.
pub(super) fn missed(job: &Job, cups: &[Cup], done: &[Option<Slot>]) -> Result<Vec<Missed>> {
    let tasks = tasks(job, cups)?;
    let mut all = Vec::new();
    for (task, (planned, slot)) in tasks.all.iter().zip(done).enumerate() {
        let Some(slot) = slot else { continue };
        // A test that comes too early is made again; what was then done on its word is told by itself.
        if planned.work == Work::TouchTest {
            continue;
        }
        // The part is demoulded once, however many cups it was waited for.
        let mut in_mould: Option<Missed> = None;
        for a in &planned.after {
            let Some(before) = done[a.task] else { continue };
            let opens = &tasks.all[a.task];
            let waited = slot.start - before.end;
            let mut tell = |wait: Wait, by: Time| {
                let of = match wait {
                    Wait::InMould | Wait::PostCure => None,
                    Wait::Window(WindowKind::OpenTime) => opens.cup,
                    _ => planned.cup.or(opens.cup),
                };
                let whole = if matches!(wait, Wait::Release) {
                    "the mould"
                } else {
                    "the part"
                };
                let missed = Missed {
                    task,
                    subject: of.map_or_else(|| whole.to_owned(), |k| job.zones_of(&cups[k]).join(", ")),
                    wait,
                    opened_by: opens.cup,
                    by,
                };
                if wait != Wait::InMould {
                    all.push(missed);
                } else if in_mould.as_ref().is_none_or(|m| by.si() > m.by.si()) {
                    in_mould = Some(missed);
                }
            };
            if (a.least - waited).si() > MISSED_BY_S {
                tell(waited_for(opens.work, planned.work), a.least - waited);
            }
            if let Some(closes) = a.closes.filter(|c| (waited - c.most).si() > MISSED_BY_S) {
                tell(Wait::Window(closes.kind), waited - closes.most);
            }
        }
        all.extend(in_mould);
    }
    Ok(all)
}

/// What a step waits for that follows another.
fn waited_for(before: Work, follows: Work) -> Wait {
    match (before, follows) {
        (_, Work::Demould) => Wait::InMould,
        (Work::Release, _) => Wait::Release,
        (Work::PostCure, _) => Wait::PostCure,
        (_, Work::TrimFlange) => Wait::Trimmed,
        _ => Wait::Layer,
    }
}

/// When everything is done in an order that keeps every window, if one does: what a change is tried by.
pub(super) fn outlook(job: &Job, cancel: Cancel<'_>) -> Result<Option<Clock>> {
    let cups = job.cups()?;
    let tasks = tasks(job, &cups)?;
    let finish = keeping_windows(&for_hands(&tasks, None), crew(job, None), cancel)?;
    Ok(finish.map(|t| job.casting.shop.start.after(t)))
}

fn for_hands(tasks: &Tasks, begun: Option<&Begun>) -> Vec<Task> {
    let task = |(i, p): (usize, &Planned)| Task {
        hands: p.hands,
        after: p.after.clone(),
        done: begun.and_then(|b| b.done[i]),
    };
    tasks.all.iter().enumerate().map(task).collect()
}

fn crew(job: &Job, begun: Option<&Begun>) -> Crew {
    Crew {
        workers: u32::from(job.casting.shop.workers),
        day: job.casting.shop.workday(),
        from: begun.map_or_else(Time::default, |b| b.now),
    }
}

fn laid_out(
    job: &Job,
    tasks: &Tasks,
    begun: Option<&Begun>,
    slips: Slips,
    cancel: Cancel<'_>,
) -> Result<Day> {
    let laid = tasks.closing.or(tasks.of_cup.iter().copied().max());
    let early: Vec<usize> = laid.into_iter().chain([tasks.demould]).collect();
    schedule(&for_hands(tasks, begun), &early, crew(job, begun), slips, cancel)
}

fn steps(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    tasks: &Tasks,
    day: &Day,
    order: &[usize],
    windows: &[String],
    from: Time,
) -> Vec<WorkStep> {
    let start = job.casting.shop.start;
    let mut crew = vec![from; usize::from(job.casting.shop.workers)];
    let mut told: Vec<String> = Vec::new();
    let mut steps = Vec::with_capacity(order.len());
    for (n, i) in order.iter().enumerate() {
        let (slot, planned) = (day.slots[*i], &tasks.all[*i]);
        let until = planned.goes_on.map(|t| start.after(slot.end).after(t));
        let (mut text, mut watch) = (planned.text.clone(), planned.watch.clone());
        if let Some(k) = planned.cup {
            text = text_of(job, &cups[k]);
            watch = watch_of(&cups[k], &batches[k]);
        }
        // How a thing is done is said once.
        watch.retain(|w| !told.contains(w));
        told.extend(watch.iter().cloned());
        if let Some(t) = until {
            // An oven goes on and off by the clock, not by the hands.
            text = format!("{text}, from {} until {t}", start.after(slot.end));
        }
        let free = crew.iter().copied().map(Quantity::si).fold(0.0, f64::max);
        let worker = crew.iter().position(|t| *t <= slot.start).unwrap_or(0);
        crew[worker] = slot.end;
        let (latest, breaks) = &day.latest[*i];
        steps.push(WorkStep {
            number: n + 1,
            work: planned.work,
            start: start.after(slot.start),
            end: start.after(slot.end),
            until,
            wait_before: Time::new::<second>((slot.start.si() - free).max(0.0)),
            text,
            batch: planned.cup.map(|k| cups[k].name.clone()),
            zones: planned
                .cup
                .map_or_else(|| planned.zones.clone(), |k| job.zones_of(&cups[k])),
            watch,
            worker: (crew.len() > 1).then_some(worker + 1),
            latest: latest.map(|t| start.after(t)),
            breaks: named(breaks, windows),
        });
    }
    steps
}

/// Windows in words, each once: two cups on one gel coat have one each.
fn named(set: &[usize], windows: &[String]) -> Vec<String> {
    let mut all: Vec<String> = vec![];
    for w in set.iter().map(|w| &windows[*w]) {
        if !all.contains(w) {
            all.push(w.clone());
        }
    }
    all
}

fn shown(start: Clock, day: &Day, windows: &[String]) -> OrderOfWork {
    let tightest = (0..windows.len()).min_by(|a, b| day.left[*a].si().total_cmp(&day.left[*b].si()));
    let kept = tightest.filter(|w| day.left[*w].si() >= 0.0);
    let in_words = |set: &Vec<usize>| ConflictingWindows {
        windows: named(set, windows),
    };
    OrderOfWork {
        proof: day.proof,
        bound: start.after(day.bound),
        slack: kept.map(|w| day.left[w]),
        tightest: kept.map(|w| windows[w].clone()),
        conflicts: day.conflicts.iter().map(in_words).collect(),
        cure: None,
        tried: None,
    }
}

/// The window, what opens it, and what must start in it.
fn window_of<'t>(tasks: &'t Tasks, day: &Day, w: usize) -> (Closes, &'t Planned, &'t Planned) {
    let (task, wait) = day.windows[w];
    let a = &tasks.all[task].after[wait];
    let closes = a.closes.unwrap_or(Closes {
        most: Time::default(),
        kind: WindowKind::BackUp,
    });
    (closes, &tasks.all[a.task], &tasks.all[task])
}

fn words_of(job: &Job, cups: &[Cup], tasks: &Tasks, day: &Day, w: usize) -> String {
    let (closes, opens, _) = window_of(tasks, day, w);
    let of_cup = |p: &Planned| {
        p.cup
            .map_or_else(String::new, |k| job.zones_of(&cups[k]).join(", "))
    };
    let zones = of_cup(opens);
    let within = seconds_after_opening(job, cups, opens, closes);
    // To two figures: how long a resin gives is known no better.
    let within = quantity::show_si_to(within.si(), Time::MEASURE, BenchUnits::Metric, 2);
    match closes.kind {
        WindowKind::BackUp => {
            format!("the gel coat of {zones} backed up within {within} while it still bonds")
        }
        WindowKind::GreenTrim => {
            format!("{zones} trimmed within {within} of being laid, while the laminate still cuts")
        }
        WindowKind::OpenTime => {
            format!("{zones} clamped within {within} of the catalyst, while it is liquid")
        }
    }
}

/// What a person counts: of a joint from its catalyst to the last clamp, of all else from the end of laying.
fn seconds_after_opening(job: &Job, cups: &[Cup], opens: &Planned, closes: Closes) -> Time {
    match closes.kind {
        WindowKind::OpenTime => opens
            .cup
            .and_then(|k| job.usable_of(&cups[k]))
            .unwrap_or(closes.most),
        _ => closes.most,
    }
}

/// How each window is kept, as limits are.
fn held(job: &Job, cups: &[Cup], tasks: &Tasks, day: &Day) -> Vec<HeldWindow> {
    (0..day.windows.len())
        .map(|w| {
            let (closes, opens, follows) = window_of(tasks, day, w);
            let allowed = seconds_after_opening(job, cups, opens, closes);
            let of = if closes.kind == WindowKind::BackUp {
                follows
            } else {
                opens
            };
            HeldWindow {
                kind: closes.kind,
                subject: of
                    .cup
                    .map_or_else(String::new, |k| job.zones_of(&cups[k]).join(", ")),
                waited: allowed - day.left[w],
                closes: allowed,
                tags: opens.cup.map_or_else(Vec::new, |k| {
                    job.mixes[cups[k].recipe.as_str()].tags_for(cups[k].act)
                }),
            }
        })
        .collect()
}

/// All there is to do. A task waits for earlier ones of the list only.
fn tasks(job: &Job, cups: &[Cup]) -> Result<Tasks> {
    let mut all = ready(job);
    let cleaned = all.len() - 1;
    let before_resin = release(job, cleaned, &mut all)?;
    all.extend(cut(job));
    let mut tasks = Tasks {
        all,
        of_cup: vec![],
        touch: vec![None; cups.len()],
        closing: None,
        demould: 0,
    };
    let mut trimmed = None;
    for (k, cup) in cups.iter().enumerate() {
        if cup.act >= Act::Insert && trimmed.is_none() {
            trimmed = trim_flange(job, &cups[..k], &mut tasks);
        }
        let mut waits = waits_for(job, cups, k, &tasks, before_resin.clone());
        if cup.act >= Act::Insert {
            waits.extend(trimmed.map(|t| after(t, Time::default())));
        }
        tasks.of_cup.push(tasks.all.len());
        let mix = &job.mixes[cup.recipe.as_str()];
        let plies = cup.items.iter().flat_map(|(i, _)| &job.items[*i].plies);
        let hands = job.casting.pace.mixing + cup.placing;
        let mut mixed = Planned::new(work_of(cup.act), "", hands, waits)
            .handles(mix.materials.iter().map(|(_, m)| m.id.clone()))
            .handles(plies.map(|p| p.material.clone()));
        mixed.cup = Some(k);
        tasks.all.push(mixed);
        if cup.act == Act::GelCoat && backed_up(job, cups, k) {
            touch_test(job, cup, k, &mut tasks);
        }
    }
    finish(job, cups, trimmed, &mut tasks);
    Ok(tasks)
}

fn work_of(act: Act) -> Work {
    match act {
        Act::GelCoat => Work::GelCoat,
        Act::Laminate => Work::LayUp,
        Act::Pour => Work::Pour,
        Act::Insert => Work::Bed,
        Act::Seam => Work::Bead,
    }
}

/// Before anything is mixed: bring to temperature, clean.
fn ready(job: &Job) -> Vec<Planned> {
    let shop = &job.casting.shop;
    let condition = Planned::new(
        Work::Condition,
        format!(
            "Measure, with resin, glass and mould in the warm room since last evening: air {}, resin {}, face of the mould {}",
            job.shown(shop.temperature),
            job.shown(shop.resin()),
            job.shown(shop.mould())
        ),
        minutes(5.0),
        vec![],
    )
    .watch([format!(
        "more than {} off: plan again before you mix",
        job.shown(TemperatureInterval::new::<uom::si::temperature_interval::kelvin>(TEMPER_K))
    )]);
    let clean = Planned::new(
        Work::Clean,
        "Clean the mould and its flanges and buff them dry: no dust, no ridge of old wax",
        at_least(
            Time::new::<second>(job.casting.pace.release_per_area.si() * job.mould_area()),
            5.0,
        ),
        vec![after(0, Time::default())],
    );
    vec![condition, clean]
}

/// What a plan bears before its gel times are off by a fifth, kelvin: from memory.
const TEMPER_K: f64 = 2.0;

fn at_least(time: Time, least: f64) -> Time {
    if time.si() < minutes(least).si() {
        minutes(least)
    } else {
        time
    }
}

/// The coats of release agent, each with its own wait; gives what the first resin waits for.
fn release(job: &Job, cleaned: usize, all: &mut Vec<Planned>) -> Result<After> {
    let hands = Time::new::<second>(job.casting.pace.release_per_area.si() * job.mould_area());
    let mut before = after(cleaned, Time::default());
    let flanges = if job.casting.seams.is_empty() {
        ""
    } else {
        " and its flanges"
    };
    for (i, r) in job.casting.mould.release.iter().enumerate() {
        let at = |e: Error| e.at(format!("mould.release[{i}].material"));
        let material = job.catalogue.get(&r.material).map_err(at)?;
        let agent = material.release().map_err(at)?;
        let film = agent.kind == ReleaseKind::FilmForming;
        for coat in 1..=r.coats {
            let wait = match r.wait {
                Some(w) => w,
                None if coat == r.coats => drying(job, &r.material)?,
                None => interval(job, &r.material)?,
            };
            let how = if film {
                format!(
                    "an even wet film, no runs; let it dry {}, and do not touch it",
                    quantity::brief(wait)
                )
            } else {
                format!("thin; let it haze, buff it, then wait {}", quantity::brief(wait))
            };
            all.push(
                Planned::new(
                    Work::Release,
                    format!(
                        "{}: coat {coat} of {} on the whole mould{flanges}",
                        sentence(&material.name),
                        r.coats
                    ),
                    hands,
                    vec![before.clone()],
                )
                .watch((coat == 1).then_some(how))
                .handles([r.material.clone()]),
            );
            before = after(all.len() - 1, wait);
        }
    }
    Ok(before)
}

/// Cutting the plies, while the release agent dries.
fn cut(job: &Job) -> Option<Planned> {
    const MOST_LINES: usize = 12;
    let more = 1.0 + job.casting.waste.reinforcement.get();
    let mut sizes: Vec<(String, String, f64, usize)> = Vec::new();
    let mut materials: Vec<String> = Vec::new();
    for item in &job.items {
        for ply in &item.plies {
            if !materials.contains(&ply.material) {
                materials.push(ply.material.clone());
            }
            match sizes.iter_mut().find(|s| s.0 == ply.name && s.1 == item.zone) {
                Some(s) => s.3 += 1,
                None => sizes.push((ply.name.clone(), item.zone.clone(), ply.area.si() * more, 1)),
            }
        }
    }
    let pieces: usize = sizes.iter().map(|s| s.3).sum();
    if pieces == 0 {
        return None;
    }
    // The same piece for several zones is cut in one go.
    let mut lines: Vec<(String, f64, usize, Vec<String>)> = Vec::new();
    for (name, zone, area, n) in sizes {
        match lines.iter_mut().find(|l| l.0 == name && l.1 == area && l.2 == n) {
            Some(l) => l.3.push(zone),
            None => lines.push((name, area, n, vec![zone])),
        }
    }
    let told = lines.len().min(MOST_LINES);
    let rest = (lines.len() > told).then(|| {
        format!(
            "and so on: {} more, each by its zone's template",
            lines.len() - told
        )
    });
    let watch = lines[..told].iter().map(|(name, area, n, zones)| {
        let side = Length::new::<uom::si::length::meter>(area.sqrt());
        let area = Area::new::<uom::si::area::square_meter>(*area);
        format!(
            "{n} × {name} for {}: {} each, if square {} wide",
            if zones.len() > 1 {
                format!("each of {}", zones.join(", "))
            } else {
                zones.join(", ")
            },
            job.shown(area),
            job.shown(side)
        )
    });
    Some(
        Planned::new(
            Work::Cut,
            "Cut glass and veil by the zones' templates, overlaps added",
            minutes(CUT_PER_PIECE_MIN * pieces as f64),
            vec![after(0, Time::default())],
        )
        .watch(watch)
        .watch(rest)
        .handles(materials),
    )
}

/// Common practice, no source.
const CUT_PER_PIECE_MIN: f64 = 2.0;

/// Whether something is laid on this cup's gel coat.
fn backed_up(job: &Job, cups: &[Cup], k: usize) -> bool {
    cups[k + 1..].iter().any(|later| is_beneath(job, later, &cups[k]))
}

/// Whether any of `earlier` lies right beneath `cup`.
fn is_beneath(job: &Job, cup: &Cup, earlier: &Cup) -> bool {
    earlier.items.iter().any(|(e, _)| {
        let e = &job.items[*e];
        match cup.act {
            Act::Seam => e.act != Act::Seam,
            Act::Insert => e.act < Act::Insert,
            _ => cup.items.iter().any(|(i, _)| {
                let i = &job.items[*i];
                i.zone == e.zone && e.act < Act::Insert && e.level + 1 == i.level
            }),
        }
    })
}

fn touch_test(job: &Job, cup: &Cup, k: usize, tasks: &mut Tasks) {
    let (opens, closes) = job.tack(cup);
    tasks.touch[k] = Some(tasks.all.len());
    let zones = job.zones_of(cup);
    let mut test = Planned::new(
        Work::TouchTest,
        format!(
            "Touch test on the gel coat of {}; back it up within {} h",
            zones.join(", "),
            (closes.si() / 3600.0).floor()
        ),
        minutes(2.0),
        vec![after(tasks.of_cup[k], opens)],
    )
    .watch([
        "a gloved finger leaves a mark and takes nothing with it, in the coldest corner too: back it up; it still comes off: \
         wait, and test again"
            .to_owned(),
    ]);
    test.zones = zones;
    tasks.all.push(test);
}

/// How long a laminate cuts like rubber once it has set: "about thirty minutes", Practical Action, Fibreglass boat building,
/// technical brief, page 10.
const GREEN_MIN: f64 = 30.0;

/// Trims what has been laid while it still cuts, each cup's work in its own time, and fits the halves.
fn trim_flange(job: &Job, laid: &[Cup], tasks: &mut Tasks) -> Option<usize> {
    let laminated: Vec<usize> = (0..laid.len())
        .filter(|k| laid[*k].act == Act::Laminate)
        .collect();
    let halves = !job.casting.seams.is_empty();
    if job.closed_wet() {
        return None;
    }
    let fit = "set the halves together dry, lay the clamps ready";
    let knife = "with a knife while the laminate cuts like leather";
    if let [one] = laminated[..] {
        let text = if halves {
            format!("Trim the flange {knife}; {fit}")
        } else {
            format!("Trim the edges {knife}")
        };
        let waits = vec![while_green(job, laid, one, tasks)];
        let hands = minutes(TRIM_FLANGE_MIN);
        tasks.all.push(Planned::new(Work::TrimFlange, text, hands, waits));
        return Some(tasks.all.len() - 1);
    }
    let hands = at_least(minutes(TRIM_FLANGE_MIN) / laminated.len().max(1) as f64, 1.0);
    let first = tasks.all.len();
    for &k in &laminated {
        let zones = job.zones_of(&laid[k]);
        let text = format!("Trim the edges of {} {knife}", zones.join(", "));
        let waits = vec![while_green(job, laid, k, tasks)];
        let mut trim = Planned::new(Work::TrimFlange, text, hands, waits);
        trim.zones = zones;
        tasks.all.push(trim);
    }
    if halves {
        let trims = first..tasks.all.len();
        let cured = (0..laid.len()).map(|k| after(tasks.of_cup[k], job.firm(&laid[k])));
        let waits = if trims.is_empty() {
            cured.collect()
        } else {
            trims.map(|t| after(t, Time::default())).collect()
        };
        let text = format!("Clear the flange; {fit}");
        let hands = minutes(TRIM_FLANGE_MIN);
        tasks.all.push(Planned::new(Work::TrimFlange, text, hands, waits));
    }
    (tasks.all.len() > first).then(|| tasks.all.len() - 1)
}

/// To trim the flange all round: common practice, no source.
const TRIM_FLANGE_MIN: f64 = 5.0;

/// Once it is firm, and while it is green.
fn while_green(job: &Job, laid: &[Cup], k: usize, tasks: &Tasks) -> After {
    let least = job.firm(&laid[k]);
    After {
        task: tasks.of_cup[k],
        least,
        closes: Some(Closes {
            most: least + minutes(GREEN_MIN),
            kind: WindowKind::GreenTrim,
        }),
    }
}

/// Wait between two coats of a release agent, where its material says; else half an hour (common practice).
fn interval(job: &Job, id: &str) -> Result<Time> {
    let r = job.catalogue.get(id)?.release()?;
    Ok(that_count(&r.interval)
        .into_iter()
        .find_map(|w| w.low.or(w.high))
        .unwrap_or(minutes(30.0)))
}

/// Drying before the first resin.
fn drying(job: &Job, id: &str) -> Result<Time> {
    let r = job.catalogue.get(id)?.release()?;
    // The longer end: a film that is not dry sticks.
    match that_count(&r.drying).into_iter().find_map(|w| w.high.or(w.low)) {
        Some(t) => Ok(t),
        None => interval(job, id),
    }
}

/// What a cup waits for: the layer beneath in each of its zones, and its touch test; the release; for a seam, all zones
/// and inserts.
fn waits_for(job: &Job, cups: &[Cup], k: usize, tasks: &Tasks, before_resin: After) -> Vec<After> {
    let cup = &cups[k];
    let mut waits = vec![before_resin];
    for (j, earlier) in cups[..k]
        .iter()
        .enumerate()
        .filter(|(_, e)| is_beneath(job, cup, e))
    {
        let (least, closes) = match earlier.act {
            Act::GelCoat => {
                let (opens, closes) = job.tack(earlier);
                let window = Closes {
                    most: closes,
                    kind: WindowKind::BackUp,
                };
                (opens, (cup.act < Act::Insert).then_some(window))
            }
            _ if job.closed_wet() && cup.act >= Act::Insert => (Time::default(), None),
            _ => (job.firm(earlier), None),
        };
        waits.push(After {
            task: tasks.of_cup[j],
            least,
            closes,
        });
        waits.extend(tasks.touch[j].map(|t| after(t, Time::default())));
    }
    waits
}

fn text_of(job: &Job, cup: &Cup) -> String {
    let zones = job.zones_of(cup).join(", ");
    let mix = format!("Mix {} ({})", cup.name, words(&cup.recipe));
    match cup.act {
        Act::GelCoat => {
            let (i, _) = cup.items[0];
            let item = &job.items[i];
            let thick = item
                .thickness
                .map_or_else(String::new, |t| format!(", {} wet", job.shown(t)));
            let by = item.applied.unwrap_or_default().tag();
            format!("{mix} and {by} coat {} on {zones}{thick}", item.coat)
        }
        Act::Laminate => {
            let plies: Vec<&str> = cup
                .items
                .first()
                .map(|(i, _)| job.items[*i].plies.iter().map(|p| p.name.as_str()).collect())
                .unwrap_or_default();
            format!("{mix} and lay up {zones}: {}", plies.join(", then "))
        }
        Act::Pour => format!("{mix} and pour {zones}"),
        Act::Insert => format!("{mix} and bed {zones} in the shell"),
        Act::Seam => format!("{mix} and lay the bead along {zones}"),
    }
}

fn watch_of(cup: &Cup, batch: &Batch) -> Vec<String> {
    let mut watch: Vec<String> = Vec::new();
    match cup.act {
        Act::GelCoat => watch.push(
            "gauge the wet film with the comb as you go, at the edges and in the deepest place too, and fill up what is thin"
                .to_owned(),
        ),
        Act::Laminate => watch.push(
            "resin first, the glass into it; roll from the middle outwards until no white spot and no bubble is left".to_owned(),
        ),
        Act::Pour => watch.push("pour slowly from one end so that the air can leave".to_owned()),
        Act::Insert => watch.push("abrade and wipe where it sits; press until paste comes out all round".to_owned()),
        Act::Seam => watch.push("one unbroken bead on the middle of one flange".to_owned()),
    }
    if batch
        .cure_part()
        .is_some_and(|p| p.drops.is_some_and(|d| d < 9.5))
    {
        watch.push("fewer than ten drops: weigh the catalyst or mix a larger cup".to_owned());
    }
    watch
}

/// Closing, what is left over, waiting, demoulding, trimming, post-cure, cooling.
fn finish(job: &Job, cups: &[Cup], trimmed: Option<usize>, tasks: &mut Tasks) {
    let pace = &job.casting.pace;
    let units = job.casting.shop.units;
    let is_clamped = !job.casting.seams.is_empty() || job.casting.clamping.is_some();
    if is_clamped {
        let (text, hands) = match &job.casting.clamping {
            Some(c) => (
                format!(
                    "Close the mould, set {} clamps, {} each",
                    c.clamps,
                    quantity::brief_in(c.force, units)
                ),
                pace.clamp * (1.0 + f64::from(c.clamps)),
            ),
            None => ("Close the mould".to_owned(), pace.clamp * 2.0),
        };
        let mut done: Vec<After> = cups
            .iter()
            .zip(&tasks.of_cup)
            .map(|(c, task)| ready_to_close(job, c, *task, hands))
            .collect();
        done.extend(trimmed.map(|t| after(t, Time::default())));
        let order = "from the middle outwards, on both sides in turn, lightly all round and then to the full; wipe off what is \
                     squeezed out before it gels";
        tasks
            .all
            .push(Planned::new(Work::Close, text, hands, done).watch([order.to_owned()]));
    } else if trimmed.is_none()
        && let Some(t) = trim_flange(job, cups, tasks)
    {
        // Cut while it is green, and only then left in the mould.
        tasks.all[t].watch.push("leave the part in the mould".to_owned());
    }
    let closed = tasks.all.len() - 1;
    let is_closed = tasks.all[closed].work == Work::Close;
    tasks.closing = is_closed.then_some(closed);
    tasks.all.push(
        Planned::new(
            Work::Leftover,
            "Leftovers out of the shop: spread thin in a shallow metal tray outdoors, on stone, until they are cold; brushes into \
             acetone, away from the catalyst",
            minutes(5.0),
            tasks.of_cup.iter().map(|t| after(*t, Time::default())).chain(is_closed.then(|| after(closed, Time::default()))).collect(),
        )
        .watch(["what is left in any earlier cup goes out likewise, as soon as that cup is done with".to_owned()]),
    );
    let in_mould = job.casting.cure.in_mould;
    let waits = if is_closed {
        vec![after(closed, in_mould)]
    } else {
        // Trimmed green, where that was to be done, and then so long after the last cup.
        let laid = tasks.of_cup.iter().map(|t| after(*t, in_mould));
        let trims = (0..tasks.all.len()).filter(|t| tasks.all[*t].work == Work::TrimFlange);
        laid.chain(trims.map(|t| after(t, Time::default())))
            .chain([after(closed, Time::default())])
            .collect()
    };
    tasks.demould = tasks.all.len();
    tasks.all.push(
        Planned::new(
            Work::Demould,
            "Demould with wooden or plastic wedges, the thick places first, the thin edges last",
            pace.demould,
            waits,
        )
        .watch(["not before the back is hard to the touch: any tack left, wait hours more".to_owned()]),
    );
    tasks.all.push(Planned::new(
        Work::Trim,
        "Wash off the release film; trim and sand flash and edges",
        pace.trim,
        vec![after(tasks.demould, Time::default())],
    ));
    post_cure(job, tasks);
}

/// A seam is closed while its paste is liquid, all clamps set within its usable time; everything else is firm by then, or
/// liquid too where the mould is closed wet.
fn ready_to_close(job: &Job, cup: &Cup, task: usize, closing: Time) -> After {
    let wet = cup.act == Act::Seam || job.closed_wet() && cup.act != Act::GelCoat;
    if !wet {
        return after(task, job.firm(cup));
    }
    let used = job.stirring() + cup.placing;
    After {
        task,
        least: Time::default(),
        closes: job.usable_of(cup).map(|usable| Closes {
            most: usable - used - closing,
            kind: WindowKind::OpenTime,
        }),
    }
}

fn post_cure(job: &Job, tasks: &mut Tasks) {
    let holds = &job.casting.cure.post_cure;
    let mut before = after(tasks.all.len() - 1, Time::default());
    for hold in holds {
        let mut held = Planned::new(
            Work::PostCure,
            format!(
                "Post-cure, the part supported: {} at {}",
                quantity::brief(hold.time),
                job.shown(hold.temperature)
            ),
            minutes(5.0),
            vec![before],
        );
        held.goes_on = Some(hold.time);
        tasks.all.push(held);
        before = after(tasks.all.len() - 1, hold.time);
    }
    if !holds.is_empty() {
        tasks.all.push(Planned::new(
            Work::Cool,
            "Let it cool in the box, supported, until it is no warmer than the hand",
            minutes(5.0),
            vec![before],
        ));
    }
}

/// Drawn days for another solver: `cargo xtask hard oracle`.
#[cfg(all(test, feature = "proptest"))]
mod oracle {
    use proptest::strategy::{Strategy, ValueTree};
    use proptest::test_runner::TestRunner;

    use super::super::schedule::as_problem;
    use super::*;
    use crate::strategies::castings;

    /// Writes as many days as `ORACLE_DAYS` says to the file that `ORACLE_FILE` names, a line each, with what was found of them.
    #[test]
    #[ignore = "written for another solver by cargo xtask hard oracle"]
    fn days_are_written() {
        let days: usize = std::env::var("ORACLE_DAYS").map_or(300, |n| n.parse().unwrap());
        let file = std::env::var("ORACLE_FILE").expect("ORACLE_FILE says where the days go");
        let mut runner = TestRunner::deterministic();
        let mut lines: Vec<String> = vec![];
        while lines.len() < days {
            let mut casting = castings().new_tree(&mut runner).unwrap().current();
            let n = lines.len();
            casting.shop.workers = 1 + (n % 3) as u8;
            // Slow hands now and then, so that some days can not be kept.
            casting.pace.clamp *= f64::from(1 + (n % 7) as u8);
            let catalogue = casting.catalogue().unwrap();
            let Ok(job) = Job::new(&casting, &catalogue) else {
                continue;
            };
            let Ok(cups) = job.cups() else { continue };
            let Ok(tasks) = tasks(&job, &cups) else { continue };
            let crew = crew(&job, None);
            let all = for_hands(&tasks, None);
            let day = laid_out(&job, &tasks, None, Slips::Left, Cancel::NEVER).unwrap();
            let problem = as_problem(&all, crew);
            let triple = |a: usize, b: usize, t: i64| serde_json::json!([a, b, t]);
            let of = problem.activities.iter();
            lines.push(
                serde_json::json!({
                    "workers": crew.workers,
                    "hours": problem.hours.map(|h| [h.day, h.open]),
                    "activities": of.map(|a| serde_json::json!([a.duration, a.in_hours])).collect::<Vec<_>>(),
                    "waits": problem.lags.iter().map(|l| triple(l.from, l.to, l.least)).collect::<Vec<_>>(),
                    "windows": problem.windows.iter().map(|w| triple(w.from.unwrap(), w.to, w.most)).collect::<Vec<_>>(),
                    "proof": crate::noun::to_value(&day.proof).unwrap(),
                    "finish": day.slots.iter().map(|s| s.end.si()).fold(0.0, f64::max).round() as i64,
                })
                .to_string(),
            );
        }
        std::fs::write(file, lines.join("\n")).unwrap();
    }
}
