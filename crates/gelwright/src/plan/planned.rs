//! The plan: batches, clock, materials, findings, cautions; and its making.

use super::casting::{Casting, Clamping};
use super::cautions::{self, PlanCaution};
use super::checks::{self, ConflictingRules};
use super::clock::Clock;
use super::consumables::{self, Consumable};
use super::day_cure;
use super::exotherm::{self, CupExotherm, CureLaw, ZoneExotherm};
use super::job::{Cup, Job, ZoneAmounts};
use super::layout;
use super::needs::{self, Need};
use super::part::{self, LightThrough, PulledEdge, SeamSummary, Shell, ZoneAsMade};
use super::schedule::Slips;
use super::steps::{self, Timetable, WorkStep};
use super::stockroom::{self, Order};
use super::vapour::Vapour;
use super::windows::{OrderOfWork, OrderProof};
use super::without_effect::{self, WithoutEffect};
use super::zone_cure::{self, ZoneCure};
use crate::cancel::Cancel;
use crate::cure::gel_table::GelTime;
use crate::document::Versions;
use crate::error::{Error, Result};
use crate::limit::{Finding, Severity};
use crate::mix::{Batch, Bench};
use crate::noun::{Noun, questions};
use crate::quantity::{
    BenchUnits, Length, Mass, Money, Quantity, RelativeAmount, RelativeHumidity, ThermodynamicTemperature,
    Time,
};
use crate::stock::{CastingCosts, Withdrawal};

/// The version of the plan document that this library writes.
pub const PLAN_VERSION: u32 = 3;

const VERSIONS: Versions = Versions {
    reads: PLAN_VERSION,
    earlier: &[
        (
            1,
            "a plan of version 1 holds its findings as sentences: plan its casting again with 'plan.make' (Casting::plan), \
             which reads castings of version 2",
        ),
        (
            2,
            "a plan of version 2 does not say what kind of work a step is: plan its casting again with 'plan.make' \
             (Casting::plan), which reads castings of version 2",
        ),
    ],
};

/// A checked plan of a casting.
#[derive(Clone, PartialEq, Noun)]
#[noun(versions = "VERSIONS")]
#[non_exhaustive]
pub struct Plan {
    /// Version of this document: 3.
    pub version: u32,
    /// What is cast.
    pub casting: String,
    /// The casting's remark.
    pub note: Option<String>,
    /// The units on the bench.
    pub units: BenchUnits,
    /// What it is measured with: amounts are shown as its scale shows them.
    pub bench: Bench,
    /// Air temperature that it is planned for.
    pub temperature: ThermodynamicTemperature,
    /// Relative humidity that it is planned for.
    pub humidity: RelativeHumidity,
    /// Whether a finding says not to start.
    pub stopped: bool,
    /// The batches in the order of mixing.
    pub batches: Vec<PlannedBatch>,
    /// What to do, in order.
    pub steps: Vec<WorkStep>,
    /// What is shown of their order.
    pub order: Option<OrderOfWork>,
    /// What it takes of each material.
    pub needs: Vec<Need>,
    /// What is drawn from the shelf's lots, where the casting names them.
    pub drawn: Option<Withdrawal>,
    /// Packages to buy for what is missing.
    #[noun(default)]
    pub orders: Vec<Order>,
    /// What good parts cost, where the casting says what an hour of work does.
    pub good_parts: Option<CastingCosts>,
    /// The clamps, where the mould is closed with them.
    pub clamping: Option<Clamping>,
    /// Tools and consumables that it takes.
    #[noun(default)]
    pub consumables: Vec<Consumable>,
    /// The zones as they come out.
    pub zones: Vec<ZoneSummary>,
    /// The seams as they come out, of thickened paste.
    #[noun(default)]
    pub seams: Vec<SeamSummary>,
    /// Mass of what stays in the part. With `vapour` and the needs' waste it is the mass of all that is mixed and cut.
    pub part_mass: Mass,
    /// What leaves the films before they cure, where the monomer of all resins is known.
    pub vapour: Option<Vapour>,
    /// What all of it costs, waste included, where prices are known.
    pub cost: Option<Money>,
    /// Materials whose price is not known, and which the cost therefore leaves out.
    #[noun(default)]
    pub without_price: Vec<String>,
    /// Limits that are broken, the worst first.
    pub findings: Vec<Finding>,
    /// Limits that are kept, or set aside by a data sheet, with their margins.
    pub kept: Vec<Finding>,
    /// What of the casting is given and changes nothing.
    #[noun(default)]
    pub without_effect: Vec<WithoutEffect>,
    /// The law of cure of each resin, as far as its gel times or test cups are known, and what of them disagrees.
    #[noun(default)]
    pub cure_laws: Vec<CureLaw>,
    /// Published rules that contradict each other where this plan had to take one: all of them, never an average.
    pub conflicts: Vec<ConflictingRules>,
    /// What can hurt somebody.
    pub cautions: Vec<PlanCaution>,
}

/// Whether to cast as planned.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
pub enum Verdict {
    /// No limit is broken that could ruin the part.
    Yes,
    /// The part may fail unless what the card names is seen to first.
    YesIf,
    /// Do not mix: the part will fail, or somebody may be hurt; or there is nothing to mix.
    No,
}

impl Plan {
    /// Whether to cast as planned.
    pub fn verdict(&self) -> Verdict {
        let worst = self.findings.iter().map(|f| f.severity).max();
        match worst {
            _ if self.stopped || self.batches.is_empty() => Verdict::No,
            Some(Severity::Stop) => Verdict::No,
            Some(Severity::Warning) => Verdict::YesIf,
            Some(Severity::Advice) | None => Verdict::Yes,
        }
    }
}

/// The steps of a day and what is shown of their order.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DayOfWork {
    /// What to do, in order.
    pub steps: Vec<WorkStep>,
    /// What is shown of it.
    pub order: OrderOfWork,
}

/// A batch of the plan.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlannedBatch {
    /// Its name, numbered by the clock ("cup 1").
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
    /// When the cup must be empty, where the gel time is known: after the usable share of it, and not later than the low end
    /// of the band of its gel in the cup.
    pub use_by: Option<Clock>,
    /// Time of the hands to place it.
    pub placing: Time,
    /// What leaves as vapour of what is laid from it, where its resin's monomer is known.
    pub vapour: Option<Vapour>,
    /// How hot the cup gets if it is left standing full, where its resin's gel times or a test cup are known.
    pub left_standing: Option<CupExotherm>,
}

/// A zone as it comes out.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ZoneSummary {
    /// Which.
    pub zone: String,
    /// Sum of its layers, coats and pours as they are laid, before vapour and cure shrinkage; absent if one is unknown.
    pub thickness: Option<Length>,
    /// The same when they have lost their vapour and cured; the mould holds them in their plane, so that all shrinkage goes
    /// into the thickness.
    pub cured_thickness: Option<Length>,
    /// Mass of what stays in it: what is laid less its vapour.
    pub mass: Mass,
    /// Reinforcement in it, dry.
    pub reinforcement: Mass,
    /// What leaves it before it cures, where the monomer of its resins is known; else nothing counts as lost.
    pub vapour: Option<Vapour>,
    /// How hot it gets, where its resins' gel times or test cups are known.
    pub exotherm: Option<ZoneExotherm>,
    /// When it may leave the mould, what its post-cure does and what heat it bears, where its resins' test cups and their
    /// glass transitions are known.
    pub cure: Option<ZoneCure>,
    /// The laminate, where its resin's stiffness is known.
    pub shell: Option<Shell>,
    /// The thin edge, where one is pulled.
    pub edge: Option<PulledEdge>,
    /// Contrast ratio of its gel coat, where its optics are given; 98 % hides.
    pub contrast_ratio: Option<RelativeAmount>,
    /// Light that comes through, of a pour without powder or pigment.
    pub light_through: Option<LightThrough>,
}

#[questions(PLANNING)]
impl Casting {
    /// Plans a casting: batches, steps on the clock, materials, findings, cost, cautions.
    ///
    /// Amounts are areas × thicknesses, plies × areal mass with the resin that the glass content leaves, volumes
    /// × density of the filled mix; then the stated waste. Mixes of one recipe for one act go together and are
    /// split so that each cup is placed within the usable share of its gel time. The order is that of the
    /// layers; waits are the tack window, the gel of the layer beneath, drying of the release. What comes out is held
    /// against [`Limits`](crate::limit::Limits).
    ///
    /// # Errors
    /// As [`Casting::check`]; unknown materials; a material without the property that an amount needs; a batch
    /// that no splitting can place in its gel time; `Cancelled`.
    #[question("plan.make", long)]
    pub fn plan(&self, cancel: Cancel<'_>) -> Result<Plan> {
        cancel.check()?;
        self.check()?;
        let catalogue = self.catalogue()?;
        let limits = self.limits()?;
        Error::none_of([
            layout::named(self, &catalogue),
            layout::mixes(self, &catalogue).map(|_| ()),
        ])?;
        let job = Job::new(self, &catalogue)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        let timed = self.timetable(&job, &mut cups, &batches, cancel)?;
        zone_cure::agrees(&job, &timed)?;
        let needs = needs::needs(&job, &cups, &batches)?;
        let part = part::part(&job)?;
        let heat = exotherm::exotherms(&job, &cups, &batches, &timed, cancel)?;
        let cure = zone_cure::cures(&job, &limits, &timed, &heat.zones, &heat.histories, cancel)?;
        let without_effect = without_effect::of(&job, &needs, &part, &heat, &cure)?;
        let measured = part
            .measured
            .into_iter()
            .chain(heat.measured)
            .chain(cure.measured)
            .collect();
        let checked = checks::check(&job, &limits, &cups, &batches, &timed, measured, cure.findings)?;
        let (cost, without_price) = needs::cost(&needs)?;
        let from_stockroom = stockroom::draw(&job, &cups, &batches, &needs)?;
        let good_parts = stockroom::costs(&job, &timed.steps, cost)?;
        let zones: Vec<ZoneSummary> = job
            .zones()?
            .into_iter()
            .zip(part.zones)
            .zip(heat.zones)
            .zip(cure.zones)
            .map(|(((amounts, made), exotherm), cure)| ZoneSummary::of(amounts, made, exotherm, cure))
            .collect();
        Ok(Plan {
            version: PLAN_VERSION,
            casting: self.name.clone(),
            note: self.note.clone(),
            units: self.shop.units,
            bench: self.shop.bench.clone(),
            temperature: self.shop.temperature,
            humidity: self.shop.humidity,
            stopped: checked.broken.iter().any(|f| f.severity == Severity::Stop),
            drawn: from_stockroom.drawn,
            orders: from_stockroom.orders,
            good_parts,
            clamping: self.clamping.clone(),
            consumables: consumables::of(&job, &cups),
            cautions: cautions::cautions(&job, &timed)?,
            batches: planned_batches(&job, &cups, batches, &timed, heat.cups),
            steps: timed.steps,
            order: Some(timed.order),
            zones,
            seams: part.seams,
            part_mass: job.part_mass(),
            vapour: job.vapour(),
            needs,
            cost,
            without_price,
            findings: checked.broken,
            kept: checked.kept,
            without_effect,
            cure_laws: heat.laws,
            conflicts: checks::conflicts(&job),
        })
    }

    /// Lays out the day alone: the steps on the clock and what is shown of their order, as [`Casting::plan`] does, without
    /// heat, part, findings.
    ///
    /// Activities are the steps, each of one pair of hands; waits are drying, the opening of the tack window, gel of the layer
    /// beneath; windows are the closing of the tack window, the green stage of a laminate, the open time of a paste. The order
    /// is found by branch and bound with proof (`gelwright-schedule`): done as early as can be, then with the most left before
    /// the tightest window, then with the mould closed early. Beyond 120 steps a list schedule lays it out, not proved. Not modelled: tiring, steps that take
    /// two people.
    ///
    /// # Errors
    /// As [`Casting::plan`].
    #[question("plan.day", long)]
    pub fn day_of_work(&self, cancel: Cancel<'_>) -> Result<DayOfWork> {
        cancel.check()?;
        self.check()?;
        let catalogue = self.catalogue()?;
        let job = Job::new(self, &catalogue)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        let timed = self.timetable(&job, &mut cups, &batches, cancel)?;
        Ok(DayOfWork {
            steps: timed.steps,
            order: timed.order,
        })
    }
}

impl Casting {
    /// The order of work, with its cure where a window is broken.
    fn timetable(
        &self,
        job: &Job,
        cups: &mut [Cup],
        batches: &[Batch],
        cancel: Cancel<'_>,
    ) -> Result<Timetable> {
        let mut timed = steps::timetable(job, cups, batches, Slips::Told, cancel)?;
        if timed.order.proof == OrderProof::WindowsBroken {
            let tried = day_cure::of(self, job.catalogue, cancel)?;
            (timed.order.cure, timed.order.tried) = (tried.cure, Some(tried.count));
        }
        Ok(timed)
    }
}

/// The batches with their hours, in the order of mixing.
fn planned_batches(
    job: &Job,
    cups: &[Cup],
    batches: Vec<Batch>,
    timed: &Timetable,
    left_standing: Vec<Option<CupExotherm>>,
) -> Vec<PlannedBatch> {
    let mut planned: Vec<PlannedBatch> = cups
        .iter()
        .zip(batches)
        .zip(&timed.cups)
        .zip(left_standing)
        .map(|(((cup, batch), start), left_standing)| PlannedBatch {
            name: cup.name.clone(),
            recipe: cup.recipe.clone(),
            zones: job.zones_of(cup),
            start: *start,
            use_by: job.usable(&cup.recipe).map(|t| {
                // Not later than one cup in twenty gels in it.
                let gels = left_standing.as_ref().and_then(|e| e.band.gel_low);
                let t = gels.map_or(t, |g| if g < t { g } else { t });
                start.after(job.casting.pace.mixing - job.stirring()).after(t)
            }),
            gel_time: job.gel_time(&cup.recipe).cloned(),
            placing: cup.placing,
            vapour: job.vapour_of(cup),
            batch,
            left_standing,
        })
        .collect();
    planned.sort_by(|a, b| a.start.since(b.start).si().total_cmp(&0.0));
    planned
}

impl ZoneSummary {
    fn of(
        amounts: ZoneAmounts,
        made: ZoneAsMade,
        exotherm: Option<ZoneExotherm>,
        cure: Option<ZoneCure>,
    ) -> Self {
        ZoneSummary {
            zone: amounts.zone,
            thickness: amounts.thickness,
            cured_thickness: amounts.cured_thickness,
            vapour: amounts.vapour,
            mass: amounts.mass,
            reinforcement: amounts.reinforcement,
            exotherm,
            cure,
            shell: made.shell,
            edge: made.edge,
            contrast_ratio: made.contrast_ratio,
            light_through: made.light_through,
        }
    }
}
