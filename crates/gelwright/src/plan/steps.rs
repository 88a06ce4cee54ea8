//! The order of work on the clock.

use crate::noun::Noun;
use uom::si::time::{hour, minute, second};

use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::Act;
use super::schedule::{After, Task, Workday, schedule};
use super::words::{sentence, words};
use crate::cure::{TackRule, TackWindow};
use crate::error::{Error, Result};
use crate::material::that_count;
use crate::mix::Batch;
use crate::quantity::{self, Quantity, Time};

/// A step of the work.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WorkStep {
    /// From 1.
    pub number: usize,
    /// When it starts.
    pub start: Clock,
    /// When the hands are free again.
    pub end: Clock,
    /// The time before it in which there is nothing to do.
    pub wait_before: Time,
    /// What to do.
    pub text: String,
    /// The batch it uses.
    pub batch: Option<String>,
    /// What to watch.
    #[noun(default)]
    pub watch: Vec<String>,
}

/// The steps, when each cup is started, and how long each zone's gel coat waited for its back-up.
pub(super) struct Timetable {
    pub(super) steps: Vec<WorkStep>,
    pub(super) cups: Vec<Clock>,
    pub(super) tack: Vec<TackWait>,
    /// When the mould is closed, if it is.
    pub(super) closed: Option<Clock>,
    /// When the part is demoulded.
    pub(super) demould: Clock,
    /// When each hold of the post-cure begins.
    pub(super) holds: Vec<Clock>,
}

/// A layer laid on a gel coat: how long after it, and when it could have been.
pub(super) struct TackWait {
    pub(super) zone: String,
    pub(super) waited: Time,
    pub(super) closes: Time,
    /// What limits may name of the gel coat.
    pub(super) tags: Vec<String>,
}

/// Tack window where the gel time is not known: common practice, no source.
const TACK_OPENS_UNKNOWN_MIN: f64 = 90.0;
/// Next morning is common; after a day the surface is abraded first: common practice, no source.
const TACK_CLOSES_H: f64 = 24.0;
/// A layer firm enough to be worked on where its gel time is not known: common practice, no source.
const FIRM_UNKNOWN_MIN: f64 = 60.0;

struct Planned {
    text: String,
    batch: Option<usize>,
    watch: Vec<String>,
    hands: Time,
    after: Vec<After>,
}

pub(super) fn minutes(m: f64) -> Time {
    Time::new::<minute>(m)
}

impl Job<'_> {
    /// When a gel coat takes its back-up, counted from the end of brushing: from, to.
    fn tack(&self, recipe: &str) -> (Time, Time) {
        let window = self.gel_time(recipe).and_then(|g| {
            // From the middle of the band: the finger test decides, and the sheet says so.
            TackWindow::from_gel_time(g.time, g.time, g.time, &TackRule::default())
                .map(|w| (w.opens, w.closes))
                .ok()
        });
        window.unwrap_or((minutes(TACK_OPENS_UNKNOWN_MIN), Time::new::<hour>(TACK_CLOSES_H)))
    }
    fn firm(&self, recipe: &str) -> Time {
        self.gel_time(recipe)
            .map_or(minutes(FIRM_UNKNOWN_MIN), |g| g.high)
    }
    /// Square metres that the release agent goes on.
    pub(super) fn mould_area(&self) -> f64 {
        self.casting
            .zones
            .iter()
            .filter_map(|z| z.area)
            .map(Quantity::si)
            .sum()
    }
}

pub(super) fn timetable(job: &Job, cups: &[Cup], batches: &[Batch]) -> Result<Timetable> {
    let mut planned: Vec<Planned> = release(job)?;
    let after_release: Vec<After> = match planned.len() {
        0 => vec![],
        n => {
            let last = job
                .casting
                .mould
                .release
                .last()
                .map(|r| drying(job, &r.material))
                .transpose()?;
            vec![After {
                task: n - 1,
                least: last.unwrap_or_default(),
                most: None,
            }]
        }
    };
    let first_cup = planned.len();
    for (k, cup) in cups.iter().enumerate() {
        let after = waits_for(job, cups, k, first_cup, &after_release);
        planned.push(Planned {
            text: text_of(job, cup),
            batch: Some(k),
            watch: watch_of(job, cup, &batches[k]),
            hands: job.casting.pace.mixing + cup.placing,
            after,
        });
    }
    let Finish { closing, demould } = finish(job, cups, first_cup, &mut planned);
    let tasks: Vec<Task> = planned
        .iter()
        .map(|p| Task {
            hands: p.hands,
            after: p.after.clone(),
        })
        .collect();
    let slots = schedule(
        &tasks,
        Workday {
            length: job.casting.shop.workday().si(),
        },
    );
    let start = job.casting.shop.start;
    let cup_clocks = (0..cups.len())
        .map(|k| start.after(slots[first_cup + k].start))
        .collect();
    let tack = tack_waits(job, cups, first_cup, &planned, &slots);
    let mut order: Vec<usize> = (0..planned.len()).collect();
    order.sort_by(|a, b| {
        slots[*a]
            .start
            .si()
            .total_cmp(&slots[*b].start.si())
            .then(a.cmp(b))
    });
    // An oven goes on and off by the clock, not by the hands.
    for (k, hold) in job.casting.cure.post_cure.iter().enumerate() {
        let from = start.after(slots[demould + 1 + k].end);
        let text = &mut planned[demould + 1 + k].text;
        text.push_str(&format!("; from {from} to {}", from.after(hold.time)));
    }
    let mut free = Time::default();
    let mut steps = Vec::with_capacity(planned.len());
    for (n, i) in order.into_iter().enumerate() {
        let slot = slots[i];
        steps.push(WorkStep {
            number: n + 1,
            start: start.after(slot.start),
            end: start.after(slot.end),
            wait_before: Time::new::<second>((slot.start.si() - free.si()).max(0.0)),
            text: planned[i].text.clone(),
            batch: planned[i].batch.map(|k| cups[k].name.clone()),
            watch: planned[i].watch.clone(),
        });
        free = slot.end;
    }
    let holds = (1..=job.casting.cure.post_cure.len())
        .map(|k| start.after(slots[demould + k].end))
        .collect();
    Ok(Timetable {
        holds,
        steps,
        cups: cup_clocks,
        tack,
        closed: closing.map(|i| start.after(slots[i].start)),
        demould: start.after(slots[demould].start),
    })
}

fn release(job: &Job) -> Result<Vec<Planned>> {
    let mut all: Vec<Planned> = Vec::new();
    let mut wait = Time::default();
    let hands = Time::new::<second>(job.casting.pace.release_per_area.si() * job.mould_area());
    for (i, r) in job.casting.mould.release.iter().enumerate() {
        let at = |e: Error| e.at(format!("mould.release[{i}].material"));
        let material = job.catalogue.get(&r.material).map_err(at)?;
        material.release().map_err(at)?;
        for coat in 1..=r.coats {
            all.push(Planned {
                text: format!(
                    "{}: coat {coat} of {} on the whole mould",
                    sentence(&material.name),
                    r.coats
                ),
                batch: None,
                watch: vec![],
                hands,
                after: all
                    .len()
                    .checked_sub(1)
                    .map(|task| After {
                        task,
                        least: wait,
                        most: None,
                    })
                    .into_iter()
                    .collect(),
            });
            wait = match r.wait {
                Some(w) => w,
                None if coat == r.coats => drying(job, &r.material)?,
                None => interval(job, &r.material)?,
            };
        }
    }
    Ok(all)
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
    match that_count(&r.drying).into_iter().find_map(|w| w.low.or(w.high)) {
        Some(t) => Ok(t),
        None => interval(job, id),
    }
}

/// What a cup waits for: the layer beneath in each of its zones; the release; for a seam, all zones and inserts.
fn waits_for(job: &Job, cups: &[Cup], k: usize, first: usize, release: &[After]) -> Vec<After> {
    let cup = &cups[k];
    let mut after = release.to_vec();
    for (j, earlier) in cups[..k].iter().enumerate() {
        let beneath = earlier.items.iter().any(|(e, _)| {
            let e = &job.items[*e];
            match cup.act {
                Act::Seam => e.act != Act::Seam,
                Act::Insert => e.act < Act::Insert,
                _ => cup.items.iter().any(|(i, _)| {
                    let i = &job.items[*i];
                    i.zone == e.zone && e.act < Act::Insert && e.level + 1 == i.level
                }),
            }
        });
        if beneath {
            let (least, most) = match earlier.act {
                Act::GelCoat => {
                    let (opens, closes) = job.tack(&earlier.recipe);
                    (opens, (cup.act < Act::Insert).then_some(closes))
                }
                _ => (job.firm(&earlier.recipe), None),
            };
            after.push(After {
                task: first + j,
                least,
                most,
            });
        }
    }
    after
}

fn tack_waits(
    job: &Job,
    cups: &[Cup],
    first: usize,
    planned: &[Planned],
    slots: &[super::schedule::Slot],
) -> Vec<TackWait> {
    let mut all = Vec::new();
    for (k, cup) in cups.iter().enumerate() {
        for a in &planned[first + k].after {
            let Some(most) = a.most else { continue };
            let waited = slots[first + k].start - slots[a.task].end;
            let beneath = &job.mixes[cups[a.task - first].recipe.as_str()];
            all.push(TackWait {
                zone: job.zones_of(cup).join(", "),
                waited,
                closes: most,
                tags: beneath.tags_for(Act::GelCoat),
            });
        }
    }
    all
}

fn text_of(job: &Job, cup: &Cup) -> String {
    let zones = job.zones_of(cup).join(", ");
    let name = &cup.name;
    match cup.act {
        Act::GelCoat => {
            let (i, _) = cup.items[0];
            let item = &job.items[i];
            let thick = item.thickness.map_or_else(String::new, |t| {
                format!(", {} wet", quantity::show_in(t, job.casting.shop.units))
            });
            format!(
                "Mix {name} ({}) and brush coat {} on {zones}{thick}",
                words(&cup.recipe),
                item.coat
            )
        }
        Act::Laminate => {
            let plies: Vec<&str> = cup
                .items
                .first()
                .map(|(i, _)| job.items[*i].plies.iter().map(|p| p.name.as_str()).collect())
                .unwrap_or_default();
            format!(
                "Mix {name} ({}) and lay up {zones}: {}; roll out the air",
                words(&cup.recipe),
                plies.join(", then ")
            )
        }
        Act::Pour => format!("Mix {name} ({}) and pour {zones}", words(&cup.recipe)),
        Act::Insert => format!(
            "Mix {name} ({}) and set {zones} into the shell",
            words(&cup.recipe)
        ),
        Act::Seam => format!(
            "Mix {name} ({}) and lay the bead along {zones}",
            words(&cup.recipe)
        ),
    }
}

fn watch_of(job: &Job, cup: &Cup, batch: &Batch) -> Vec<String> {
    let mut watch = Vec::new();
    if let (Some(gel), Some(usable)) = (job.gel_time(&cup.recipe), job.usable(&cup.recipe)) {
        watch.push(format!(
            "cup to be empty {} after the catalyst is in (gel time {}, {} to {}{})",
            quantity::brief(usable),
            quantity::brief(gel.time),
            quantity::brief(gel.low),
            quantity::brief(gel.high),
            if gel.extrapolated.is_some() {
                ", extrapolated"
            } else {
                ""
            }
        ));
    }
    match cup.act {
        Act::GelCoat => watch.push(format!(
            "back it up when a clean finger leaves a mark but takes nothing with it, about {} from now",
            quantity::brief(job.tack(&cup.recipe).0)
        )),
        Act::Pour => watch.push("pour slowly from one end so that the air can leave".to_owned()),
        _ => {}
    }
    if batch
        .cure_part()
        .is_some_and(|p| p.drops.is_some_and(|d| d < 9.5))
    {
        watch.push("fewer than ten drops: weigh the catalyst or mix a larger cup".to_owned());
    }
    watch
}

/// Which of the tasks closes the mould, and which opens it for good.
struct Finish {
    closing: Option<usize>,
    demould: usize,
}

/// Closing, clamping, waiting, demoulding, post-cure.
fn finish(job: &Job, cups: &[Cup], first: usize, planned: &mut Vec<Planned>) -> Finish {
    let pace = &job.casting.pace;
    let all_done = |job: &Job, cups: &[Cup]| -> Vec<After> {
        cups.iter()
            .enumerate()
            .map(|(k, c)| {
                // A seam is closed while it is wet; everything else is firm by then.
                let least = if c.act == Act::Seam {
                    Time::default()
                } else {
                    job.firm(&c.recipe)
                };
                After {
                    task: first + k,
                    least,
                    most: None,
                }
            })
            .collect()
    };
    let closes = !job.casting.seams.is_empty() || job.casting.clamping.is_some();
    let closing = closes.then_some(planned.len());
    if closes {
        let (text, hands) = match &job.casting.clamping {
            Some(c) => (
                format!(
                    "Close the mould and set {} clamps evenly, {} each; wipe off what is squeezed out",
                    c.clamps,
                    quantity::show_in(c.force, job.casting.shop.units)
                ),
                pace.clamp * (1.0 + f64::from(c.clamps)),
            ),
            None => (
                "Close the mould; wipe off what is squeezed out".to_owned(),
                pace.clamp * 2.0,
            ),
        };
        let after = all_done(job, cups);
        planned.push(Planned {
            text,
            batch: None,
            watch: vec![],
            hands,
            after,
        });
    }
    let in_mould = job.casting.cure.in_mould;
    let after = match planned.len() {
        n if n > first + cups.len() => vec![After {
            task: n - 1,
            least: in_mould,
            most: None,
        }],
        _ => (0..cups.len())
            .map(|k| After {
                task: first + k,
                least: in_mould,
                most: None,
            })
            .collect(),
    };
    planned.push(Planned {
        text:
            "Demould with wooden or plastic wedges, start at the thick places, pull the thin edges last; trim"
                .to_owned(),
        batch: None,
        watch: vec!["any tack left: wait hours more".to_owned()],
        hands: pace.demould,
        after,
    });
    let demould = planned.len() - 1;
    for hold in &job.casting.cure.post_cure {
        let task = planned.len() - 1;
        let previous = job
            .casting
            .cure
            .post_cure
            .iter()
            .take_while(|h| !std::ptr::eq(*h, hold))
            .last()
            .map_or_else(Time::default, |h| h.time);
        planned.push(Planned {
            text: format!(
                "Post-cure: {} at {}, the part supported",
                quantity::show(hold.time),
                quantity::show_in(hold.temperature, job.casting.shop.units)
            ),
            batch: None,
            watch: vec!["vented, never in a kitchen oven".to_owned()],
            hands: minutes(5.0),
            after: vec![After {
                task,
                least: previous,
                most: None,
            }],
        });
    }
    if let Some(last) = job.casting.cure.post_cure.last() {
        let task = planned.len() - 1;
        planned.push(Planned {
            text: "Take it out of the oven; let it cool on its support before anything pulls at it"
                .to_owned(),
            batch: None,
            watch: vec!["an oven that ends by itself may keep it until then".to_owned()],
            hands: minutes(5.0),
            after: vec![After {
                task,
                least: last.time,
                most: None,
            }],
        });
    }
    Finish { closing, demould }
}
