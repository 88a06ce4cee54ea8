//! How hot the zones of a plan get that is drawn once more: by drawn laws, without bands.

use std::collections::BTreeMap;

use super::super::casting::Zone;
use super::super::job::{Cup, Job};
use super::super::steps::Timetable;
use super::fineness::that_suffices;
use super::measured;
use super::zone::{History, Laid, Off, Seen, ZoneExotherm, laid_on, mould_wall, zone_wall};
use crate::calibrate::{Calibration, DrawnLaw, STILL_AIR};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::heat::Wall;
use crate::limit::Measured;
use crate::mix::Batch;

/// What is drawn of the zones' films: in standard deviations.
#[derive(Clone, Copy)]
pub(in super::super) struct Films(pub(in super::super) f64);

/// How many times as fine as usual the cells of each zone are in a draw, by the zones' order; none where it is not followed.
pub(in super::super) struct Fineness(Vec<Option<f64>>);

/// The zones, and what of them is held against limits.
pub(in super::super) struct DrawnZones {
    pub(in super::super) zones: Vec<Option<ZoneExotherm>>,
    pub(in super::super) histories: Vec<Option<Vec<History>>>,
    pub(in super::super) measured: Vec<Measured>,
}

impl Fineness {
    /// The coarsest cells on which each zone, followed once, is what it is on those that its errors ask for.
    pub(in super::super) fn of(
        job: &Job,
        cups: (&[Cup], &[Batch]),
        timed: &Timetable,
        calibrations: &BTreeMap<String, Calibration>,
        cancel: Cancel<'_>,
    ) -> Result<Self> {
        let laws: BTreeMap<&str, DrawnLaw> = calibrations
            .iter()
            .map(|(resin, law)| (resin.as_str(), law.most_probable()))
            .collect();
        let of = |zone: &Zone| -> Result<Option<f64>> {
            let Some(drawn) = DrawnZone::of(job, zone, cups, timed, (calibrations, &laws), &Off::nothing())?
            else {
                return Ok(None);
            };
            let traced = drawn.wall.followed(cancel)?;
            let whole = Seen::of(&traced.run)?;
            let paced = that_suffices(&drawn.wall, &whole, traced.loose.as_ref(), cancel)?;
            Ok(Some(paced.fineness))
        };
        let zones = &job.casting.zones;
        let all = zones.iter().map(|zone| of(zone).map_err(|e| within(zone, e)));
        Ok(Fineness(all.collect::<Result<_>>()?))
    }
}

fn within(zone: &Zone, e: Error) -> Error {
    e.within(format!("zones['{}']", zone.name))
}

/// A zone of a draw, not yet followed.
struct DrawnZone<'a> {
    laid: Laid<'a>,
    wall: Wall,
}

impl<'a> DrawnZone<'a> {
    fn of(
        job: &'a Job,
        zone: &Zone,
        (cups, batches): (&[Cup], &[Batch]),
        timed: &Timetable,
        (calibrations, laws): (&'a BTreeMap<String, Calibration>, &BTreeMap<&str, DrawnLaw>),
        off: &Off,
    ) -> Result<Option<Self>> {
        let laid = laid_on(job, &zone.name, (cups, batches), timed, calibrations)?;
        let (Some(laid), Some(mould)) = (laid, mould_wall(job)?) else {
            return Ok(None);
        };
        let laid = laid.moved(job, laws, off)?;
        let wall = zone_wall(job, zone, mould, &laid, timed, off)?;
        Ok(Some(DrawnZone { laid, wall }))
    }
}

/// Follows the zones of a job as it is, by drawn laws, each once; `history` where it is wanted what they go through.
pub(in super::super) fn drawn(
    job: &Job,
    cups: (&[Cup], &[Batch]),
    timed: &Timetable,
    laws: (&BTreeMap<String, Calibration>, &BTreeMap<&str, DrawnLaw>),
    (fineness, films, history): (&Fineness, Films, bool),
    cancel: Cancel<'_>,
) -> Result<DrawnZones> {
    let off = Off {
        film: (STILL_AIR * films.0).exp(),
        ..Off::nothing()
    };
    let mut all = DrawnZones {
        zones: vec![],
        histories: vec![],
        measured: vec![],
    };
    for (zone, fineness) in job.casting.zones.iter().zip(&fineness.0) {
        let followed = || -> Result<Option<(ZoneExotherm, Vec<History>, Vec<Measured>)>> {
            let drawn = DrawnZone::of(job, zone, cups, timed, laws, &off)?;
            let Some((mut drawn, fineness)) = drawn.zip(*fineness) else {
                return Ok(None);
            };
            if !history {
                drawn.wall.profiles = 0;
            }
            let (run, ways) = drawn.wall.followed_once(fineness, cancel)?;
            let (e, histories) = ZoneExotherm::of(&drawn.laid, &drawn.wall, (&run, &ways))?;
            let measured = measured(job, &zone.name, &drawn.laid, &e);
            Ok(Some((e, histories, measured)))
        };
        let (exotherm, histories, measured) = followed().map_err(|e| within(zone, e))?.map_or_else(
            || (None, None, vec![]),
            |(e, histories, measured)| (Some(e), Some(histories), measured),
        );
        all.zones.push(exotherm);
        all.histories.push(histories);
        all.measured.extend(measured);
    }
    Ok(all)
}
