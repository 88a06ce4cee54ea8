//! How sure a zone's exotherm is: its laws, doses, the thermometer and the films of its faces, each moved alone.

use super::super::casting::Zone;
use super::super::job::Job;
use super::super::steps::Timetable;
use super::band::{Drawn, Moved, Moves, thermometer};
use super::fineness::that_suffices;
use super::laws::dose_of;
use super::zone::{Laid, Off, Seen, ZoneExotherm, mould_wall, zone_wall};
use crate::calibrate::{BandDriver, STILL_AIR};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::heat::{TracedWall, Wall};
use crate::noun::Noun;
use crate::quantity::{DegreeOfCure, Quantity, ThermodynamicTemperature, Time};

/// How sure a zone's exotherm is, to first order: nine in ten lie between the ends. What counts: the law of each resin as far as
/// the evidence leaves it open, each dose as it is measured, the thermometer, the films in still air. What it reads of them is
/// moved by half a standard deviation, on coarse cells.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ZoneBand {
    /// One zone in twenty stays cooler.
    pub peak_low: ThermodynamicTemperature,
    /// One in twenty gets hotter.
    pub peak_high: ThermodynamicTemperature,
    /// One in twenty peaks sooner.
    pub peak_at_low: Time,
    /// One in twenty peaks later.
    pub peak_at_high: Time,
    /// One in twenty has gelled sooner; absent where it does not gel.
    pub gelled_low: Option<Time>,
    /// One in twenty gels later, or not before demoulding: then it is absent.
    pub gelled_high: Option<Time>,
    /// One in twenty is cured less where it is cured least at demoulding; with the spread of its glass transition where it has
    /// vitrified.
    pub cure_low: Option<DegreeOfCure>,
    /// One in twenty is cured more there.
    pub cure_high: Option<DegreeOfCure>,
    /// What makes the band of the peak, the largest first.
    #[noun(default)]
    pub peak_drivers: Vec<BandDriver>,
    /// What makes the band of gelling, the largest first.
    #[noun(default)]
    pub gelled_drivers: Vec<BandDriver>,
    /// What makes the band of the cure but for the glass transition, the largest first.
    #[noun(default)]
    pub cure_drivers: Vec<BandDriver>,
}

/// The band of a zone that has been followed.
pub(super) fn band<'a>(
    job: &'a Job,
    zone: &Zone,
    (laid, timed): (&Laid<'a>, &Timetable),
    (shown, traced, drawn): (&ZoneExotherm, &TracedWall, &Drawn<'a>),
    cancel: Cancel<'_>,
) -> Result<Option<ZoneBand>> {
    let Some(mould) = mould_wall(job)? else {
        return Ok(None);
    };
    let doses = laid.doses();
    let mut beside: Vec<String> = doses
        .iter()
        .map(|d| format!("dose of {} as it is measured", d.recipe))
        .collect();
    beside.push("thermometer".to_owned());
    beside.push("films in still air of part and mould".to_owned());
    let mut moves = Moves::new(laid.laws(), beside, drawn)?;
    for (at, d) in doses.iter().enumerate() {
        if let Some(dose) = dose_of(&job.mixes[d.recipe])? {
            moves.reads(d.resin, dose, (at, d.off), |r| [r.heat, r.specific_heat]);
        }
    }
    let n = doses.len();
    moves.reads_beside(n);
    moves.reads_beside(n + 1);
    let kelvin = thermometer(job);
    let wall_of = |made: &Moved<'_>| -> Result<Wall> {
        let off = Off {
            doses: doses
                .iter()
                .zip(&made.off)
                .map(|(d, z)| (d.recipe, (d.off * z).exp()))
                .collect(),
            kelvin: kelvin * made.off[n],
            film: (STILL_AIR * made.off[n + 1]).exp(),
        };
        let again = laid.moved(job, &made.laws, &off)?;
        let wall = zone_wall(job, zone, off.mould(mould.clone())?, &again, timed, &off)?;
        Ok(Wall { profiles: 0, ..wall })
    };
    let (unmoved, moved) = moves.bodies(wall_of)?;
    let known = traced.loose.as_ref().filter(|_| unmoved == shown.wall);
    let paced = that_suffices(&unmoved, &Seen::of(&traced.run)?, known, cancel)?;
    let (brief, moved) = paced.beside(&moved, cancel)?;
    let unmoved = Seen::brief(&brief)?;
    let moved = moved.iter().map(Seen::brief).collect::<Result<Vec<_>>>()?;
    let read = |of: fn(&Seen) -> f64| moves.read(of(&unmoved), moved.iter().map(of));
    let peak = read(|s| s.peak.si());
    let at = read(|s| s.peak_at.si().max(1.0).ln());
    let cure = read(Seen::cure);
    let last = unmoved.gels_last;
    let gels = (unmoved.gelled, brief.layers[last + 1].gel_rate, laid.gels(last));
    let gelled = moves.read_gel(gels, moved.iter().map(|s| s.gelled));
    let later = at.half().min(5.0).exp();
    let off = shown.gelled.map_or(0.0, |t| gelled.half() * t.si());
    let cure_end = |side: f64| -> Result<Option<DegreeOfCure>> {
        let Some(value) = shown.cure_at_demould else {
            return Ok(None);
        };
        let of_glass = shown.vitrified.map_or(0.0, |v| {
            if side < 0.0 {
                value.get() - v.low.get()
            } else {
                v.high.get() - value.get()
            }
        });
        let end = value.get() + side * cure.half().hypot(of_glass);
        Ok(Some(DegreeOfCure::new(end.clamp(0.0, 1.0))?))
    };
    let coolest = laid.coldest().min(shown.peak.si());
    Ok(Some(ZoneBand {
        peak_low: ThermodynamicTemperature::from_si((shown.peak.si() - peak.half()).max(coolest))?,
        peak_high: ThermodynamicTemperature::from_si(shown.peak.si() + peak.half())?,
        peak_at_low: shown.peak_at / later,
        peak_at_high: shown.peak_at * later,
        gelled_low: shown.gelled.map(|t| t / (1.0 + off)),
        gelled_high: shown.gelled.filter(|_| off < 0.99).map(|t| t / (1.0 - off)),
        cure_low: cure_end(-1.0)?,
        cure_high: cure_end(1.0)?,
        peak_drivers: peak.drivers,
        gelled_drivers: gelled.drivers,
        cure_drivers: cure.drivers,
    }))
}
