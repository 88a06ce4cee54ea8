//! A cup that nobody empties: how hot it gets and when it gels, with how sure that is.

use super::super::job::{Cup, Job};
use super::super::layout::Mix;
use super::EMISSIVITY;
use super::band::{Drawn, Moved, Moves, gelling, thermometer};
use super::laws::{cure_of, dose_of, thermal};
use crate::calibrate::{BandDriver, Calibration, DrawnLaw};
use crate::cancel::Cancel;
use crate::error::{ErrorKind, Result};
use crate::heat::{self, Boiling, Course};
use crate::mix::Batch;
use crate::noun::Noun;
use crate::quantity::{Length, Mass, Phr, Quantity, SpecificHeatCapacity, ThermodynamicTemperature, Time};

/// How hot a cup gets if all of it stays in it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupExotherm {
    /// When it gels in the cup, counted from the catalyst being in.
    pub gel: Option<Time>,
    /// Hottest.
    pub peak: ThermodynamicTemperature,
    /// When.
    pub peak_at: Time,
    /// Where its styrene passes its boiling point before it has reacted, if it does.
    pub boiling: Option<Boiling>,
    /// How sure all three are.
    pub band: CupBand,
    /// What the law of its cure rests on: a cup test, a gel-time table, the catalogue's band.
    pub basis: String,
    /// What decides whether it gels at all, where that is open.
    pub decides: Option<String>,
    /// What lies outside what was measured of the resin, if anything does.
    pub extrapolated: Option<String>,
}

/// How sure a cup left standing is, to first order: nine in ten lie between the ends. What counts: the law as far as the
/// evidence leaves it open, the film of the bench and the specific heat with it, the dose as it is measured, the thermometer.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupBand {
    /// One cup in twenty gels sooner; absent where it does not gel.
    pub gel_low: Option<Time>,
    /// One in twenty gels later, or never: then it is absent.
    pub gel_high: Option<Time>,
    /// One in twenty stays cooler.
    pub peak_low: ThermodynamicTemperature,
    /// One in twenty gets hotter.
    pub peak_high: ThermodynamicTemperature,
    /// One in twenty peaks sooner.
    pub peak_at_low: Time,
    /// One in twenty peaks later.
    pub peak_at_high: Time,
    /// What makes the band of the peak, the largest first.
    pub peak_drivers: Vec<BandDriver>,
    /// What makes the band of the gel time, the largest first.
    pub gel_drivers: Vec<BandDriver>,
}

/// A cup that nobody empties, as wide as the mix is deep; nothing without catalyst.
pub(super) fn left_standing(
    job: &Job,
    cup: &Cup,
    batch: &Batch,
    law: &Calibration,
) -> Result<Option<heat::Cup>> {
    standing(job, cup, batch.mass, law)
}

/// The same of so much of it.
pub(super) fn standing(job: &Job, cup: &Cup, mass: Mass, law: &Calibration) -> Result<Option<heat::Cup>> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let diameter = heat::Cup::as_wide_as_deep((mass / mix.unit.density).si())?;
    stood(job, mix, mass, diameter, &law.most_probable(), 1.0)
}

/// A cup by a law of its resin, at so many times its dose, with the film that goes with that law.
fn stood(
    job: &Job,
    mix: &Mix,
    mass: Mass,
    diameter: Length,
    law: &DrawnLaw,
    times: f64,
) -> Result<Option<heat::Cup>> {
    let (thermal, resin_content) = thermal(job, mix, None, law.specific_heat)?;
    let Some(cure) = cure_of(mix, law, resin_content, times)? else {
        return Ok(None);
    };
    let cup = heat::Cup::new(
        mass,
        diameter,
        thermal,
        cure,
        job.casting.shop.resin(),
        on_the_bench(job.casting.shop.temperature),
        super::super::steps::minutes(24.0 * 60.0),
    );
    Ok(Some(heat::Cup {
        stop_when_cooling: true,
        film_factor: law.film_factor,
        ..cup
    }))
}

fn on_the_bench(air: ThermodynamicTemperature) -> heat::Place {
    heat::Place::Bench {
        air: Course::Steady(air),
        emissivity: EMISSIVITY,
    }
}

impl CupExotherm {
    /// Of a cup that was followed.
    pub(super) fn of<'a>(
        job: &'a Job,
        (cup, batch): (&Cup, &Batch),
        (law, drawn): (&'a Calibration, &Drawn<'a>),
        (standing, run): (&heat::Cup, &heat::CupRun),
        cancel: Cancel<'_>,
    ) -> Result<CupExotherm> {
        let mix = &job.mixes[cup.recipe.as_str()];
        let dose = dose_of(mix)?.unwrap_or(law.least_dose);
        Ok(CupExotherm {
            gel: run.gel,
            peak: run.peak,
            peak_at: run.peak_time,
            boiling: run.boiling.clone(),
            band: band(job, (cup, standing), run, batch, (law, drawn), cancel)?,
            basis: law.basis.clone(),
            decides: decides(law, dose, run.gel, job.casting.shop.resin())?,
            extrapolated: law.outside(dose, job.casting.shop.resin()),
        })
    }
}

/// What decides whether a cup gels at all, where it does not or its dose is below all that were tested.
fn decides(
    law: &Calibration,
    dose: Phr,
    gel: Option<Time>,
    at: ThermodynamicTemperature,
) -> Result<Option<String>> {
    if gel.is_some() && dose >= law.least_dose {
        return Ok(None);
    }
    match law.forecast_gel(dose, at) {
        Ok(f) => Ok(f.decides),
        Err(e) if e.kind() == ErrorKind::NoSolution => Ok(e.way_out().map(str::to_owned)),
        Err(e) => Err(e),
    }
}

/// By how much the specific heat of a mix goes with that of its resin, both in logarithms.
fn by_resin(job: &Job, mix: &Mix, resin: SpecificHeatCapacity) -> Result<f64> {
    let of = |times: f64| -> Result<f64> {
        let resin = SpecificHeatCapacity::from_si(times * resin.si())?;
        Ok(thermal(job, mix, None, resin)?.0.specific_heat.si())
    };
    // A straight line.
    Ok(of(2.0)? / of(1.0)? - 1.0)
}

/// The band of a cup: its law and what else may be off, each moved a little. The cup that is moved
/// has one temperature, whether or not the cup itself is followed in depth: what each moves is nearly the same, for a tenth
/// of the work.
fn band<'a>(
    job: &'a Job,
    (cup, standing): (&Cup, &heat::Cup),
    run: &heat::CupRun,
    batch: &Batch,
    (law, drawn): (&'a Calibration, &Drawn<'a>),
    cancel: Cancel<'_>,
) -> Result<CupBand> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let resin = mix.resin().id.as_str();
    let measured = batch.cure_dose.as_ref().map_or(0.0, |d| d.uncertainty.get());
    let kelvin = thermometer(job);
    let air = job.casting.shop.temperature.si();
    let start = job.casting.shop.resin().si();
    let beside = ["dose as it is measured", "thermometer"].map(str::to_owned);
    let mut moves = Moves::new(vec![(resin, law)], beside.to_vec(), drawn)?;
    let dose = dose_of(mix)?.unwrap_or(law.least_dose);
    // Of one temperature, it reads of heats and film only what they do to the heat that all of it holds.
    let by_resin = by_resin(job, mix, law.specific_heat)?;
    moves.reads(resin, dose, (0, measured.min(1.0)), |r| {
        [&r.heat, &r.film].map(|of| of.less(by_resin, &r.specific_heat))
    });
    moves.reads_beside(1);
    let cup_of = |made: &Moved<'_>| -> Result<heat::Cup> {
        let times = (made.off[0] * measured.min(1.0)).exp();
        let warmer = made.off[1] * kelvin;
        let cup = stood(
            job,
            mix,
            standing.mass,
            standing.diameter,
            &made.laws[resin],
            times,
        )?;
        // What stands has catalyst; so has what is moved from it.
        let cup = cup.unwrap_or_else(|| standing.clone());
        Ok(heat::Cup {
            resolve: heat::Resolve::Lumped,
            starts_at: ThermodynamicTemperature::from_si(start + warmer)?,
            place: on_the_bench(ThermodynamicTemperature::from_si(air + warmer)?),
            cure: heat::Cure {
                demould_at: None,
                ..cup.cure
            },
            ..cup
        })
    };
    let (unmoved, moved) = moves.bodies(cup_of)?;
    let unmoved_gel = unmoved.cure.gel_at;
    let (unmoved, moved) = unmoved.followed_beside(&moved, cancel)?;
    let of = |of: fn(&heat::CupBrief) -> f64| (of(&unmoved), moved.iter().map(of));
    let gels_by = Some((resin, unmoved_gel.get()));
    let gel = moves.read_gel(
        (unmoved.gel, unmoved.gel_rate, gels_by),
        moved.iter().map(|r| r.gel),
    );
    let (hottest, all) = of(|r| r.peak.si());
    let peak = moves.read(hottest, all);
    // Logarithms of times to the peak.
    let (late, all) = of(|r| r.peak_time.si().max(1.0).ln());
    let at = moves.read(late, all);
    let off = unmoved.gel.map_or(0.0, |t| gel.half() / gelling(Some(t)));
    let factor = at.half().min(5.0).exp();
    Ok(CupBand {
        gel_low: run.gel.map(|t| t / (1.0 + off)),
        gel_high: run.gel.filter(|_| off < 0.99).map(|t| t / (1.0 - off)),
        peak_low: ThermodynamicTemperature::from_si((run.peak.si() - peak.half()).max(start.min(air)))?,
        peak_high: ThermodynamicTemperature::from_si(run.peak.si() + peak.half())?,
        peak_at_low: run.peak_time / factor,
        peak_at_high: run.peak_time * factor,
        peak_drivers: peak.drivers,
        gel_drivers: gel.drivers,
    })
}
