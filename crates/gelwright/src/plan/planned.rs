//! The plan: batches, clock, materials, findings, cautions; and its making.

use super::air::{self, AirOfDay};
use super::casting::{Casting, Clamping};
use super::cautions::{self, PlanCaution};
use super::checks::{self, ConflictingRules};
use super::clock::Clock;
use super::consumables::{self, Consumable};
use super::cure_of_finding::{CureOfFinding, Ground, ZoneWait};
use super::day_cure;
use super::edge::PulledEdge;
use super::exotherm::{self, CupExotherm, CureLaw, Extent, Laws, ZoneExotherm};
use super::hang::{Hang, MountSummary};
use super::job::{Cup, Job, Wanted, ZoneAmounts};
use super::layout;
use super::needs::{self, Need};
use super::part::{self, LightThrough, SeamSummary, Shell, ZoneAsMade};
use super::schedule::Slips;
use super::series::{self, SeriesOfWork};
use super::shop_tests::{Tested, TestedProperty};
use super::sized::{ZoneSize, ZoneSizes};
use super::solid::FilledPour;
use super::steps::{self, Timetable, Work, WorkStep};
use super::stockroom::{self, Order};
use super::vapour::Vapour;
use super::warp::Warp;
use super::wet_flange::{self, WetFlange};
use super::windows::{OrderOfWork, OrderProof};
use super::without_effect::{self, WithoutEffect};
use super::zone_cure::{self, ZoneCure};
use crate::cancel::Cancel;
use crate::cure::gel_table::GelTime;
use crate::document::Versions;
use crate::error::{Error, Result};
use crate::limit::{Finding, Limits, Severity};
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
    /// When each casting of a series leaves the mould, where the casting asks for several; all else of the plan is of the first
    /// of them alone.
    pub series: Option<SeriesOfWork>,
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
    /// The edges of laminates on the flange, where the mould is closed on them wet.
    #[noun(default)]
    pub wet_flanges: Vec<WetFlange>,
    /// The blocks that the part hangs by.
    #[noun(default)]
    pub mounts: Vec<MountSummary>,
    /// How the part hangs, where the positions of its zones are given.
    pub hangs: Option<Hang>,
    /// Mass of what stays in the part. With `vapour` and the needs' waste it is the mass of all that is mixed and cut.
    pub part_mass: Mass,
    /// What leaves the films before they cure, where the monomer of all resins is known.
    pub vapour: Option<Vapour>,
    /// The air of the day, where the casting tells its room.
    pub air: Option<AirOfDay>,
    /// What all of it costs, waste included, where prices are known.
    pub cost: Option<Money>,
    /// Materials whose price is not known, and which the cost therefore leaves out.
    #[noun(default)]
    pub without_price: Vec<String>,
    /// Limits that are broken, the worst first, and of one severity first those that no change of one input cures. The worst
    /// of them carry their smallest cure.
    pub findings: Vec<Finding>,
    /// Limits that are kept, or told and not judged, with their margins.
    pub kept: Vec<Finding>,
    /// What of the casting is given and changes nothing.
    #[noun(default)]
    pub without_effect: Vec<WithoutEffect>,
    /// The law of cure of each resin, as far as its gel times or test cups are known, and what of them disagrees.
    #[noun(default)]
    pub cure_laws: Vec<CureLaw>,
    /// Published rules that contradict each other where this plan had to take or judge one: all of them, never an average.
    pub conflicts: Vec<ConflictingRules>,
    /// What can hurt somebody.
    pub cautions: Vec<PlanCaution>,
    /// What tests of this shop showed, each with what it stands in place of.
    #[noun(default)]
    pub shop_tests: Vec<TestedProperty>,
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
    /// Its sizes that were measured, with how sure they are.
    #[noun(default)]
    pub sizes: Vec<ZoneSize>,
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
    /// The thin edge, where one leaves the mould.
    pub edge: Option<PulledEdge>,
    /// The pour with the strands in it, where it has some.
    pub poured: Option<FilledPour>,
    /// How it curls and prints through, where its cure is known.
    pub warp: Option<Warp>,
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
    /// against [`Limits`](crate::limit::Limits). What [`Casting::shop_tests`] showed takes the place of what the catalogue says.
    ///
    /// # Errors
    /// As [`Casting::check`]; unknown materials; a material without the property that an amount needs; a batch
    /// that no splitting can place in its gel time; `Cancelled`.
    #[question("plan.make", long)]
    pub fn plan(&self, cancel: Cancel<'_>) -> Result<Plan> {
        let (mut plan, tested, ground) = self.planned(cancel)?;
        let waits = waits(&plan);
        ground.cure_the_worst(&tested, &mut plan.findings, &waits, cancel)?;
        Ok(plan)
    }

    /// The least change of one input that cures a finding of this casting's plan, proved by planning again: rounded to what a
    /// hand can set, bringing no finding as bad as the one it cures, and no more findings than there were.
    ///
    /// Each input that what is measured depends on is changed alone, as far as its range goes (a dose as far as its window), the
    /// least harmful first ([`Lever`](crate::limit::Lever)); of the first that cures, the least change is found by bisection, as
    /// what is measured goes one way with it. Findings of the same rule with the same value (two halves laid alike) are cured
    /// together. Nothing where no one input cures it: then it takes two changes, or another part.
    ///
    /// # Errors
    /// As [`Casting::plan`]; [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a finding that the plan does not have.
    #[question("plan.smallest_cure", long)]
    pub fn smallest_cure(
        &self,
        /// The name of the broken limit, as the plan's findings name it.
        limit: &str,
        /// Of what it is broken, where that is more than one thing; the first, if not said.
        subject: Option<&str>,
        cancel: Cancel<'_>,
    ) -> Result<CureOfFinding> {
        let (plan, tested, ground) = self.planned(cancel)?;
        ground.cure_of(&tested, &plan.findings, limit, subject, &waits(&plan), cancel)
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
        let tested = self.as_tested()?.casting;
        let job = Job::new(&tested, &catalogue)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        let mut timed = steps::timetable(&job, &mut cups, &batches, Slips::Told, cancel)?;
        cure_the_day(&job, &mut timed, cancel)?;
        Ok(DayOfWork {
            steps: timed.steps,
            order: timed.order,
        })
    }

    /// Plans the casting as `plan.make` does, without looking for the smallest cure of its worst findings: a part of the time, for
    /// who plans many times over.
    ///
    /// # Errors
    /// As [`Casting::plan`].
    #[question("plan.without_cures", long)]
    pub fn plan_without_cures(&self, cancel: Cancel<'_>) -> Result<Plan> {
        Ok(self.planned(cancel)?.0)
    }
}

impl Casting {
    /// The plan, the casting as it is planned, and what its changes are tried on.
    fn planned(&self, cancel: Cancel<'_>) -> Result<(Plan, Casting, Ground)> {
        cancel.check()?;
        self.check()?;
        let catalogue = self.catalogue()?;
        let limits = self.limits()?;
        Error::none_of([
            layout::named(self, &catalogue),
            layout::mixes(self, &catalogue).map(|_| ()),
        ])?;
        let Tested {
            casting: tested,
            sizes,
            told,
        } = self.as_tested()?;
        let mut job = Job::new(&tested, &catalogue)?;
        job.sizes = sizes;
        let laws = exotherm::calibrated(&job, cancel)?;
        let mut worked = worked(&job, &limits, &laws, Extent::Everything, cancel)?;
        cure_the_day(&job, &mut worked.timed, cancel)?;
        let mut plan = worked.plan(&job)?;
        plan.shop_tests = told;
        plan.series = series::of(&job, cancel)?;
        drop(job);
        Ok((
            plan,
            tested,
            Ground {
                catalogue,
                limits,
                laws,
            },
        ))
    }
}

/// How much longer than planned each zone must stay in the mould, of those whose cure is computed.
fn waits(plan: &Plan) -> Vec<ZoneWait> {
    let Some(demould) = plan.steps.iter().find(|s| s.work == Work::Demould) else {
        return vec![];
    };
    let of = |z: &ZoneSummary| {
        let cure = z.cure.as_ref()?;
        Some(ZoneWait {
            zone: z.zone.clone(),
            wait: cure.ready.map(|t| t.since(demould.start).si()),
        })
    };
    plan.zones.iter().filter_map(of).collect()
}

/// A casting worked through: what a plan is put together from.
pub(super) struct Worked {
    cups: Vec<Cup>,
    batches: Vec<Batch>,
    timed: Timetable,
    needs: Vec<Need>,
    part: part::PartAsMade,
    heat: exotherm::Exotherms,
    cure: zone_cure::ZoneCures,
    air: Option<AirOfDay>,
    wet_flanges: Vec<WetFlange>,
    pub(super) checked: checks::Checked,
}

/// Works a casting through, its heat as far as is asked.
pub(super) fn worked(
    job: &Job,
    limits: &Limits,
    laws: &Laws,
    extent: Extent<'_>,
    cancel: Cancel<'_>,
) -> Result<Worked> {
    let mut cups = job.cups()?;
    let batches = job.batches(&cups)?;
    // What changes are tried by asks neither how late a thing may be nor what it takes.
    let everything = extent == Extent::Everything;
    let slips = if everything { Slips::Told } else { Slips::Left };
    let timed = steps::timetable(job, &mut cups, &batches, slips, cancel)?;
    zone_cure::agrees(job, &timed)?;
    let needs = if everything {
        needs::needs(job, &cups, &batches)?
    } else {
        vec![]
    };
    let mut heat = exotherm::exotherms(job, &cups, &batches, &timed, laws, extent, cancel)?;
    let mut cure = zone_cure::cures(job, limits, &timed, &heat.zones, &heat.histories, cancel)?;
    let wanted = if everything { Wanted::Told } else { Wanted::Judged };
    let mut part = part::part(job, limits, &timed, &heat.histories, wanted)?;
    let (air, of_the_air) = air::air(job, &cups, &timed, wanted)?;
    let wet_flanges = wet_flange::flanges(job, &cups, &timed.cups, timed.closed)?;
    let measured = std::mem::take(&mut part.measured)
        .into_iter()
        .chain(std::mem::take(&mut heat.measured))
        .chain(std::mem::take(&mut cure.measured))
        .collect();
    let findings = std::mem::take(&mut cure.findings)
        .into_iter()
        .chain(std::mem::take(&mut part.findings))
        .chain(of_the_air)
        .chain(wet_flange::findings(&wet_flanges))
        .collect();
    let checked = checks::check(job, limits, &cups, &batches, &timed, measured, findings, wanted)?;
    Ok(Worked {
        cups,
        batches,
        timed,
        needs,
        part,
        heat,
        cure,
        air,
        wet_flanges,
        checked,
    })
}

impl Worked {
    fn plan(self, job: &Job) -> Result<Plan> {
        let casting = job.casting;
        let Worked {
            cups,
            batches,
            timed,
            needs,
            part,
            heat,
            cure,
            air,
            wet_flanges,
            checked,
        } = self;
        let without_effect = without_effect::of(job, &needs, &part, &heat, &cure, &checked.unmeasured)?;
        let (cost, without_price) = needs::cost(&needs)?;
        let from_stockroom = stockroom::draw(job, &cups, &batches, &needs)?;
        let good_parts = stockroom::costs(job, &timed.steps, cost)?;
        let zones: Vec<ZoneSummary> = job
            .zones()?
            .into_iter()
            .zip(part.zones)
            .zip(heat.zones)
            .zip(cure.zones)
            .enumerate()
            .map(|(i, (((amounts, made), exotherm), cure))| {
                let sizes = job.sizes.get(i).map_or_else(Vec::new, ZoneSizes::all);
                ZoneSummary::of(amounts, made, exotherm, cure, sizes)
            })
            .collect();
        let mut conflicts = checks::conflicts(job);
        conflicts.extend(checked.conflicts);
        Ok(Plan {
            version: PLAN_VERSION,
            casting: casting.name.clone(),
            note: casting.note.clone(),
            units: casting.shop.units,
            bench: casting.shop.bench.clone(),
            temperature: casting.shop.temperature,
            humidity: casting.shop.humidity,
            stopped: checked.broken.iter().any(|f| f.severity == Severity::Stop),
            drawn: from_stockroom.drawn,
            orders: from_stockroom.orders,
            good_parts,
            clamping: casting.clamping.clone(),
            consumables: consumables::of(job, &cups),
            cautions: cautions::cautions(job, &timed)?,
            batches: planned_batches(job, &cups, batches, &timed, heat.cups),
            steps: timed.steps,
            order: Some(timed.order),
            series: None,
            zones,
            seams: part.seams,
            wet_flanges,
            mounts: part.mounts,
            hangs: part.hangs,
            part_mass: job.part_mass(),
            vapour: job.vapour(),
            air,
            needs,
            cost,
            without_price,
            findings: checked.broken,
            kept: checked.kept,
            without_effect,
            cure_laws: heat.laws,
            conflicts,
            shop_tests: vec![],
        })
    }
}

/// The least harmful change of a day that cannot keep its windows.
fn cure_the_day(job: &Job, timed: &mut Timetable, cancel: Cancel<'_>) -> Result<()> {
    if timed.order.proof == OrderProof::WindowsBroken {
        let tried = day_cure::of(job.casting, job.catalogue, cancel)?;
        (timed.order.cure, timed.order.tried) = (tried.cure, Some(tried.count));
    }
    Ok(())
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
            use_by: job.use_by(cup, *start, left_standing.as_ref().and_then(|e| e.band.gel_low)),
            gel_time: job.gel_time_of(cup).cloned(),
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
        sizes: Vec<ZoneSize>,
    ) -> Self {
        ZoneSummary {
            zone: amounts.zone,
            sizes,
            thickness: amounts.thickness,
            cured_thickness: amounts.cured_thickness,
            vapour: amounts.vapour,
            mass: amounts.mass,
            reinforcement: amounts.reinforcement,
            exotherm,
            cure,
            shell: made.shell,
            edge: made.edge,
            poured: made.poured,
            warp: made.warp,
            contrast_ratio: made.contrast_ratio,
            light_through: made.light_through,
        }
    }
}
