//! The job: from a [`Casting`] to a [`Plan`]: what to weigh, in which batches, in which order, what it needs and
//! costs, what breaks a limit, what to take care of.

use std::collections::BTreeMap;

use crate::noun::Noun;
use uom::si::mass::kilogram;
use uom::si::time::second;

mod bench_sheet;
mod casting;
mod cautions;
mod checks;
mod clock;
mod exotherm;
mod layout;
mod needs;
mod one_cup;
mod page;
mod part;
mod questions;
mod schedule;
mod steps;
mod working_time;

pub use casting::{
    CASTING_VERSION, Casting, Clamping, CurePlan, GelCoat, Hold, Insert, Laminate, Layer, Mould, Pace, Pour,
    PullOnEdge, ReleaseCoats, Seam, Shop, Waste, Zone,
};
pub use checks::{ConflictingRules, Rule, dew_point};
pub use clock::Clock;
pub use exotherm::{CupExotherm, CupTest, ZoneExotherm};
pub use needs::Need;
pub use one_cup::{CupToday, OneCup};
pub use part::{PulledEdge, SeamSummary, Shell};
pub(crate) use questions::QUESTIONS;
pub use questions::{
    ComparePlans, Comparison, ComparisonRow, MakePlan, PlanPage, PlanSheet, ShowPlan, ShowPlanAsPage,
};
pub use steps::Step;

use crate::cancel::Cancel;
use crate::cure::gel_table::GelTime;
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{Finding, Severity};
use crate::material::Catalogue;
use crate::mix::{Amount, Batch};
use crate::quantity::{
    self, BenchUnits, Length, Mass, Money, Quantity, RelativeAmount, RelativeHumidity,
    ThermodynamicTemperature, Time,
};
use crate::source::{Source, Why};
use layout::{Act, Item, Mix};

/// The version of the plan document that this library writes.
pub const PLAN_VERSION: u32 = 1;

/// A checked plan of a casting.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Plan {
    /// Version of this document: 1.
    pub version: u32,
    /// What is cast.
    pub casting: String,
    /// The casting's remark.
    pub note: Option<String>,
    /// The units on the bench.
    pub units: BenchUnits,
    /// Air temperature that it is planned for.
    pub temperature: ThermodynamicTemperature,
    /// Relative humidity that it is planned for.
    pub humidity: RelativeHumidity,
    /// Whether a finding says not to start.
    pub stopped: bool,
    /// The batches in the order of mixing.
    pub batches: Vec<PlannedBatch>,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// What it takes of each material: the shot list.
    pub needs: Vec<Need>,
    /// The zones as they come out.
    pub zones: Vec<ZoneSummary>,
    /// The seams as they come out, of thickened paste.
    #[noun(default)]
    pub seams: Vec<SeamSummary>,
    /// Mass of what stays in the part.
    pub part_mass: Mass,
    /// What all of it costs, waste included, where prices are known.
    pub cost: Option<Money>,
    /// Materials whose price is not known, and which the cost therefore leaves out.
    #[noun(default)]
    pub without_price: Vec<String>,
    /// Limits that are broken, the worst first.
    pub findings: Vec<Finding>,
    /// Limits that are kept, or set aside by a data sheet, with their margins.
    pub kept: Vec<Finding>,
    /// Published rules that contradict each other where this plan had to take one: all of them, never an average.
    pub conflicts: Vec<ConflictingRules>,
    /// What can hurt somebody.
    pub cautions: Vec<Caution>,
}

/// A batch of the plan.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlannedBatch {
    /// Its name ("gel coat 1").
    pub name: String,
    /// The recipe.
    pub recipe: String,
    /// What it is for.
    pub zones: Vec<String>,
    /// When mixing starts.
    pub start: Clock,
    /// What to weigh.
    pub batch: Batch,
    /// Gel time of the cup today, where the sheet tells.
    pub gel_time: Option<GelTime>,
    /// When the cup must be empty, where the gel time is known.
    pub use_by: Option<Clock>,
    /// Time of the hands to place it.
    pub placing: Time,
    /// How hot the cup gets if it is left standing full, where its resin's test cup is known.
    pub left_standing: Option<CupExotherm>,
}

/// A zone as it comes out.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ZoneSummary {
    /// Which.
    pub zone: String,
    /// Sum of its layers, coats and pours as they are laid, before cure shrinkage; absent if one is unknown.
    pub thickness: Option<Length>,
    /// Mass of what stays in it.
    pub mass: Mass,
    /// Reinforcement in it, dry.
    pub reinforcement: Mass,
    /// How hot it gets, where its resins' test cups are known.
    pub exotherm: Option<ZoneExotherm>,
    /// The laminate, where its resin's stiffness is known.
    pub shell: Option<Shell>,
    /// The thin edge, where one is pulled.
    pub edge: Option<PulledEdge>,
    /// Contrast ratio of its gel coat, where its optics are given; 98 % hides.
    pub contrast_ratio: Option<RelativeAmount>,
    /// Part of the light that comes through, of a pour without powder or pigment.
    pub light_through: Option<RelativeAmount>,
}

/// Something that can hurt somebody, and the usual care.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Caution {
    /// Where it comes from: materials or acts.
    pub about: Vec<String>,
    /// What to do.
    pub text: String,
    /// On whose word.
    pub source: Option<Source>,
}

/// A batch before it is timed: which items, or which share of an item.
struct Cup {
    name: String,
    act: Act,
    recipe: String,
    /// Item number and share of it.
    items: Vec<(usize, f64)>,
    placing: Time,
}

/// Everything a plan is made from, looked up once.
struct Job<'c> {
    casting: &'c Casting,
    catalogue: &'c Catalogue,
    mixes: BTreeMap<&'c str, Mix<'c>>,
    items: Vec<Item>,
    gel_times: BTreeMap<&'c str, Option<GelTime>>,
    /// Why a gel time is not known, where its table refused.
    no_gel_time: BTreeMap<&'c str, Error>,
}

impl Job<'_> {
    fn gel_time(&self, recipe: &str) -> Option<&GelTime> {
        self.gel_times.get(recipe).and_then(Option::as_ref)
    }
    /// From the catalyst being in to the cup being empty at the latest.
    fn usable(&self, recipe: &str) -> Option<Time> {
        self.gel_time(recipe)
            .map(|g| g.time * self.casting.pace.usable.get())
    }
    /// Half of the mixing time falls after the catalyst is in.
    fn stirring(&self) -> Time {
        self.casting.pace.mixing * 0.5
    }
}

impl Plan {
    /// Plans a casting.
    ///
    /// Amounts are areas × thicknesses, plies × areal mass with the resin that the glass content leaves, volumes
    /// × density of the filled mix; then the stated waste. Mixes of one recipe for one act go together and are
    /// split so that each cup is placed within the usable share of its gel time. The order is that of the
    /// layers; waits are the tack window, the gel of the layer beneath, drying of the release. Measures are held
    /// against [`Limits`](crate::limit::Limits).
    ///
    /// # Errors
    /// As [`Casting::check`]; unknown materials; a material without the property that an amount needs; a batch
    /// that no splitting can place in its gel time.
    pub fn new(casting: &Casting) -> Result<Plan> {
        Plan::new_with(casting, Cancel::NEVER)
    }

    /// The same, cancellable.
    ///
    /// # Errors
    /// As [`new`](Self::new); `Cancelled`.
    pub fn new_with(casting: &Casting, cancel: Cancel<'_>) -> Result<Plan> {
        cancel.check()?;
        casting.check()?;
        let catalogue = casting.catalogue()?;
        catalogue
            .get(&casting.mould.wall)
            .and_then(|m| m.mould_wall().map(|_| ()))
            .map_err(|e| e.at("mould.wall"))?;
        let limits = casting.limits()?;
        let mixes = layout::mixes(casting, &catalogue)?;
        let items = layout::items(casting, &catalogue, &mixes)?;
        let (mut gel_times, mut no_gel_time) = (BTreeMap::new(), BTreeMap::new());
        for (name, mix) in &mixes {
            match working_time::gel_time(mix, casting.shop.resin()) {
                Ok(gel) => {
                    gel_times.insert(*name, gel);
                }
                // A dose or a temperature far off its table is a finding of the plan, not the end of it.
                Err(e) if e.kind() == ErrorKind::OutOfRange => {
                    no_gel_time.insert(*name, e);
                }
                Err(e) => return Err(e),
            }
        }
        let job = Job {
            casting,
            catalogue: &catalogue,
            mixes,
            items,
            gel_times,
            no_gel_time,
        };
        let cups = job.cups()?;
        let batches = cups
            .iter()
            .map(|c| {
                job.batch(c)
                    .map_err(|e| e.within(format!("recipes.{}", c.recipe)))
            })
            .collect::<Result<Vec<_>>>()?;
        let timed = steps::timetable(&job, &cups, &batches)?;
        let needs = needs::needs(&job, &cups, &batches)?;
        let mut part = part::part(&job)?;
        let heat = exotherm::exotherms(&job, &cups, &batches, &timed, &mut part.zones, cancel)?;
        part.measures.extend(heat.measures);
        let checked = checks::check(&job, &limits, &cups, &batches, &timed, &part)?;
        let (cost, without_price) = needs::cost(&needs)?;
        let mut planned = cups
            .iter()
            .zip(batches)
            .zip(&timed.cups)
            .zip(heat.cups)
            .map(|(((cup, batch), start), left_standing)| PlannedBatch {
                left_standing,
                name: cup.name.clone(),
                recipe: cup.recipe.clone(),
                zones: job.zones_of(cup),
                start: *start,
                use_by: job
                    .usable(&cup.recipe)
                    .map(|t| start.after(job.casting.pace.mixing - job.stirring()).after(t)),
                gel_time: job.gel_time(&cup.recipe).cloned(),
                placing: cup.placing,
                batch,
            })
            .collect::<Vec<_>>();
        planned.sort_by(|a, b| a.start.since(b.start).si().total_cmp(&0.0));
        Ok(Plan {
            version: PLAN_VERSION,
            casting: casting.name.clone(),
            note: casting.note.clone(),
            units: casting.shop.units,
            temperature: casting.shop.temperature,
            humidity: casting.shop.humidity,
            stopped: checked.broken.iter().any(|f| f.severity == Severity::Stop),
            batches: planned,
            steps: timed.steps,
            zones: part.zones,
            seams: part.seams,
            part_mass: job.part_mass(),
            needs,
            cost,
            without_price,
            findings: checked.broken,
            kept: checked.kept,
            conflicts: checked.conflicts,
            cautions: checked.cautions,
        })
    }

    /// The chain behind an answer: of a batch's catalyst by the batch's name, of a need by its material, of a
    /// gel time by `"gel time of NAME"`.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`] with the nearest name.
    pub fn why(&self, name: &str) -> Result<Why> {
        let mut known: Vec<(String, Why)> = Vec::new();
        for b in &self.batches {
            known.push((b.name.clone(), b.batch.why.clone()));
            known.extend(
                b.gel_time
                    .as_ref()
                    .map(|g| (format!("gel time of {}", b.name), g.why.clone())),
            );
        }
        known.extend(self.needs.iter().map(|n| (n.material.clone(), n.why.clone())));
        known
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, w)| w.clone())
            .ok_or_else(|| Error::unknown_name("why", name, known.iter().map(|(n, _)| n.as_str())))
    }

    /// The plan as a person wants it on the bench: plain text.
    pub fn sheet(&self) -> String {
        bench_sheet::sheet(self)
    }

    /// Its findings alone, as plain text.
    pub fn findings_sheet(&self) -> String {
        bench_sheet::findings_sheet(self)
    }

    /// The plan as a page: HTML that needs no network and prints.
    pub fn page(&self) -> String {
        page::page(std::slice::from_ref(self))
    }

    /// The plan as a table in a notebook: an HTML fragment.
    pub fn table(&self) -> String {
        page::fragment(self)
    }
}

/// Several plans on one page: HTML that needs no network and prints.
pub fn page_of(plans: &[Plan]) -> String {
    page::page(plans)
}

/// One pair of hands mixes no more; a timetable of more would take minutes to work out.
const MOST_CUPS_IN_ALL: usize = 1000;

impl<'c> Job<'c> {
    /// Mixes of one act, level and recipe go together, split so that each cup is placed in its usable time.
    fn cups(&self) -> Result<Vec<Cup>> {
        let mut groups: Vec<((Act, usize, &str), Vec<usize>)> = Vec::new();
        for (i, item) in self.items.iter().enumerate() {
            let key = (item.act, item.level, item.recipe.as_str());
            match groups.iter_mut().find(|(k, _)| *k == key) {
                Some((_, g)) => g.push(i),
                None => groups.push((key, vec![i])),
            }
        }
        groups.sort_by_key(|((act, level, _), _)| (*act >= Act::Insert, *act == Act::Seam, *level, *act));
        let mut cups: Vec<Cup> = Vec::new();
        let mut numbers: BTreeMap<Act, usize> = BTreeMap::new();
        for ((act, _, recipe), members) in groups {
            for items in self.split(recipe, &members)? {
                let placing = items
                    .iter()
                    .map(|(i, share)| self.items[*i].placing.si() * share)
                    .sum();
                if cups.len() >= MOST_CUPS_IN_ALL {
                    return Err(Error::no_solution(
                        "zones",
                        "placing every cup in its working time",
                        format!("it would take more than {MOST_CUPS_IN_ALL} cups"),
                        "plan the casting in parts, or take a slower mix",
                    ));
                }
                let number = numbers.entry(act).or_insert(0);
                *number += 1;
                cups.push(Cup {
                    name: format!("{} {number}", act.noun()),
                    act,
                    recipe: recipe.to_owned(),
                    items,
                    placing: Time::new::<second>(placing),
                });
            }
        }
        Ok(cups)
    }

    fn split(&self, recipe: &str, members: &[usize]) -> Result<Vec<Vec<(usize, f64)>>> {
        const MOST_CUPS: f64 = 200.0;
        let Some(usable) = self.usable(recipe) else {
            return Ok(vec![members.iter().map(|i| (*i, 1.0)).collect()]);
        };
        let stirring = self.stirring();
        let room = usable.si() - stirring.si();
        let longest = members
            .iter()
            .map(|i| self.items[*i].placing.si())
            .fold(0.0, f64::max);
        if room <= 0.0 || longest / room > MOST_CUPS {
            return Err(Error::no_solution(
                format!("recipes.{recipe}"),
                format!(
                    "placing '{recipe}' within {} of a gel time of {}",
                    quantity::show(usable),
                    self.gel_time(recipe)
                        .map_or_else(String::new, |g| quantity::show(g.time)),
                ),
                format!("stirring alone takes {}", quantity::show(stirring)),
                "less catalyst inside its window, a slower hardener, or a cooler shop",
            ));
        }
        let mut cups: Vec<Vec<(usize, f64)>> = Vec::new();
        let mut left = 0.0;
        for &i in members {
            let placing = self.items[i].placing.si();
            if placing <= left
                && let Some(cup) = cups.last_mut()
            {
                cup.push((i, 1.0));
                left -= placing;
                continue;
            }
            let n = (placing / room).ceil().max(1.0);
            for _ in 0..n as usize {
                cups.push(vec![(i, 1.0 / n)]);
            }
            left = room - placing / n;
        }
        Ok(cups)
    }

    /// Mass of mix to make for a cup, waste included.
    fn to_mix(&self, cup: &Cup) -> Mass {
        cup.items.iter().fold(Mass::default(), |sum, (i, share)| {
            let item = &self.items[*i];
            sum + item.net * (*share * (1.0 + item.waste.get()))
        })
    }

    fn batch(&self, cup: &Cup) -> Result<Batch> {
        let recipe = self.casting.recipes.get(&cup.recipe).ok_or_else(|| {
            Error::unknown_name(
                "recipe",
                &cup.recipe,
                self.casting.recipes.keys().map(String::as_str),
            )
        })?;
        Batch::new(
            recipe,
            Amount::Mass(self.to_mix(cup)),
            self.catalogue,
            &self.casting.shop.bench,
        )
    }

    fn zones_of(&self, cup: &Cup) -> Vec<String> {
        cup.items
            .iter()
            .map(|(i, share)| {
                let zone = &self.items[*i].zone;
                if *share < 1.0 {
                    format!("{zone} (1/{:.0})", 1.0 / share)
                } else {
                    zone.clone()
                }
            })
            .collect()
    }

    fn zone_summaries(&self) -> Result<Vec<ZoneSummary>> {
        self.casting
            .zones
            .iter()
            .map(|z| {
                let of_zone: Vec<&Item> = self
                    .items
                    .iter()
                    .filter(|i| i.zone == z.name && i.act < Act::Insert)
                    .collect();
                let thickness: Option<f64> = of_zone.iter().map(|i| i.thickness.map(Quantity::si)).sum();
                let glass: f64 = of_zone
                    .iter()
                    .flat_map(|i| &i.plies)
                    .map(layout::Ply::glass)
                    .sum();
                let mix: f64 = of_zone.iter().map(|i| i.net.si()).sum();
                Ok(ZoneSummary {
                    zone: z.name.clone(),
                    thickness: thickness.map(Length::from_si).transpose()?,
                    mass: Mass::new::<kilogram>(mix + glass),
                    reinforcement: Mass::new::<kilogram>(glass),
                    exotherm: None,
                    shell: None,
                    edge: None,
                    contrast_ratio: None,
                    light_through: None,
                })
            })
            .collect()
    }

    fn part_mass(&self) -> Mass {
        Mass::new::<kilogram>(
            self.items
                .iter()
                .map(|i| i.net.si() + i.plies.iter().map(layout::Ply::glass).sum::<f64>())
                .sum(),
        )
    }
}

/// Refuses a JSON plan of another version than this library writes.
///
/// # Errors
/// [`ErrorKind::Version`], [`ErrorKind::Document`].
pub fn plan_from_json(text: &str) -> Result<Plan> {
    let plan: Plan = crate::document::from_json(text)?;
    crate::document::check_version(plan.version, PLAN_VERSION)?;
    Ok(plan)
}
