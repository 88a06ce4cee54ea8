//! A cup that nobody empties: how hot it gets and when it gels, with how sure that is.

use uom::si::length::meter;

use super::super::job::{Cup, Job};
use super::EMISSIVITY;
use super::laws::{cure_of, dose_of, thermal};
use crate::calibrate::{BandDriver, Calibration};
use crate::cancel::Cancel;
use crate::error::{ErrorKind, Result};
use crate::heat::{self, Boiling, Course};
use crate::mix::Batch;
use crate::noun::Noun;
use crate::numeric::normal;
use crate::propagate::{Design, Propagated, Sampling};
use crate::quantity::spread::{Distribution, Input};
use crate::quantity::{Index, Length, Phr, Quantity, ThermodynamicTemperature, Time};

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
/// evidence leaves it open, the dose as it is measured, the thermometer, the film in still air.
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
    let mix = &job.mixes[cup.recipe.as_str()];
    let (thermal, resin_content) = thermal(job, mix, None)?;
    let Some(cure) = cure_of(mix, law, resin_content)? else {
        return Ok(None);
    };
    let diameter = (4.0 * batch.volume.si() / std::f64::consts::PI).cbrt();
    Ok(Some(heat::Cup {
        stop_when_cooling: true,
        ..heat::Cup::new(
            batch.mass,
            Length::new::<meter>(diameter),
            thermal,
            cure,
            job.casting.shop.resin(),
            heat::Place::Bench {
                air: Course::Steady(job.casting.shop.temperature),
                emissivity: EMISSIVITY,
            },
            super::super::steps::minutes(24.0 * 60.0),
        )
    }))
}

impl CupExotherm {
    /// Of a cup that was followed.
    pub(super) fn of(
        job: &Job,
        (cup, batch): (&Cup, &Batch),
        law: &Calibration,
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
            band: band(job, standing, run, (batch, dose), law, cancel)?,
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

/// What of a cup may be off besides its law: the dose, the thermometer, the film.
const BESIDE: usize = 3;
/// Standard uncertainty of a film in still air, of its logarithm: anywhere within a quarter (common practice, no source).
const FILM: f64 = 0.25 / 1.732;
/// Standard uncertainty of the shop's temperature where no thermometer is told, K: anywhere within 1 K (common practice, no
/// source).
const THERMOMETER: f64 = 1.0 / 1.732;

/// The band of a cup: its law and what else may be off, each moved by one standard deviation to both sides. The cup that is moved
/// has one temperature, whether or not the cup itself is followed in depth: what each moves is nearly the same, for a tenth
/// of the work.
fn band(
    job: &Job,
    cup: &heat::Cup,
    run: &heat::CupRun,
    (batch, dose): (&Batch, Phr),
    law: &Calibration,
    cancel: Cancel<'_>,
) -> Result<CupBand> {
    let measured = batch.cure_dose.as_ref().map_or(0.0, |d| d.uncertainty.get());
    let thermometer = job
        .casting
        .shop
        .bench
        .thermometer
        .map_or(THERMOMETER, |t| t.uncertainty().si());
    let beside = [measured.min(1.0), thermometer, FILM];
    let air = job.casting.shop.temperature.si();
    let start = job.casting.shop.resin().si();
    let one = Input::new(0.0, Distribution::Normal(1.0), Index::MEASURE)?;
    let inputs = vec![one; Calibration::DRAWN_BY + BESIDE];
    let design = Design::new(&inputs, Sampling::none())?;
    let mut x = vec![0.0; inputs.len()];
    // Rates of gelling, since a cup may never gel; rises; logarithms of times to the peak.
    let (mut gels, mut rises, mut peaks) = (vec![], vec![], vec![]);
    for i in 0..design.runs() {
        design.run(i, &mut x);
        let (z, off) = x.split_at(Calibration::DRAWN_BY);
        let drawn = law.law_at(z)?;
        let mut moved = cup.clone();
        moved.cure.kinetics = drawn
            .kinetics
            .with_dose(Phr::new(dose.get() * (off[0] * beside[0]).exp())?)?;
        moved.cure.gel_at = drawn.gel_conversion;
        moved.cure.demould_at = None;
        moved.resolve = heat::Resolve::Lumped;
        moved.starts_at = ThermodynamicTemperature::from_si(start + off[1] * beside[1])?;
        moved.place = heat::Place::Bench {
            air: Course::Steady(ThermodynamicTemperature::from_si(air + off[1] * beside[1])?),
            emissivity: EMISSIVITY,
        };
        moved.film_factor = (off[2] * beside[2]).exp();
        let r = moved.run(cancel)?;
        gels.push(r.gel.map_or(0.0, |t| 1.0 / t.si()));
        rises.push(r.peak.si());
        peaks.push(r.peak_time.si().max(1.0).ln());
    }
    let (gel, peak, at) = (design.read(&gels)?, design.read(&rises)?, design.read(&peaks)?);
    let half = |p: &Propagated| normal::quantile(0.95) * p.first_order.standard_uncertainty;
    let off = if gel.value > 0.0 {
        half(&gel) / gel.value
    } else {
        0.0
    };
    let factor = half(&at).min(5.0).exp();
    Ok(CupBand {
        gel_low: run.gel.map(|t| t / (1.0 + off)),
        gel_high: run.gel.filter(|_| off < 0.99).map(|t| t / (1.0 - off)),
        peak_low: ThermodynamicTemperature::from_si((run.peak.si() - half(&peak)).max(start.min(air)))?,
        peak_high: ThermodynamicTemperature::from_si(run.peak.si() + half(&peak))?,
        peak_at_low: run.peak_time / factor,
        peak_at_high: run.peak_time * factor,
        peak_drivers: drivers(&peak),
        gel_drivers: drivers(&gel),
    })
}

/// What makes a band: the law as one, then what stands beside it.
fn drivers(p: &Propagated) -> Vec<BandDriver> {
    let mut parts = [0.0; 1 + BESIDE];
    for s in &p.shares {
        parts[(s.input + 1).saturating_sub(Calibration::DRAWN_BY)] += s.first_order;
    }
    let names = [
        "law of cure, as far as the evidence leaves it open",
        "dose as it is measured",
        "thermometer",
        "film in still air",
    ];
    let mut all: Vec<BandDriver> = names
        .into_iter()
        .zip(parts)
        .filter(|(_, part)| *part > 0.005)
        .map(|(name, part)| BandDriver::new(name, part))
        .collect();
    all.sort_by(|a, b| b.part.total_cmp(&a.part));
    all
}
