//! How hot the zones of a plan get that is drawn once more: by drawn laws, without bands.

use std::collections::BTreeMap;

use super::super::job::{Cup, Job};
use super::super::steps::Timetable;
use super::zone::{History, Off, ZoneExotherm, laid_on, mould_wall, zone_wall};
use super::{measured, zone_band};
use crate::calibrate::{Calibration, DrawnLaw, STILL_AIR};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::limit::Measured;
use crate::mix::Batch;

/// What is drawn of the zones' films: in standard deviations.
#[derive(Clone, Copy)]
pub(in super::super) struct Films(pub(in super::super) f64);

/// The zones, and what of them is held against limits.
pub(in super::super) struct DrawnZones {
    pub(in super::super) zones: Vec<Option<ZoneExotherm>>,
    pub(in super::super) histories: Vec<Option<Vec<History>>>,
    pub(in super::super) measured: Vec<Measured>,
}

/// Follows the zones of a job as it is, by drawn laws; `history` where it is wanted what they go through.
pub(in super::super) fn drawn(
    job: &Job,
    (cups, batches): (&[Cup], &[Batch]),
    timed: &Timetable,
    (calibrations, laws): (&BTreeMap<String, Calibration>, &BTreeMap<&str, DrawnLaw>),
    (films, history): (Films, bool),
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
    for zone in &job.casting.zones {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let laid = laid_on(job, &zone.name, (cups, batches), timed, calibrations).map_err(at)?;
        let (Some(laid), Some(mould)) = (laid, mould_wall(job)?) else {
            all.zones.push(None);
            all.histories.push(None);
            continue;
        };
        let (exotherm, histories) = (|| {
            let laid = laid.moved(job, laws, &off)?;
            let mut wall = zone_wall(job, zone, mould, &laid, timed, &off)?;
            if !history {
                wall.profiles = 0;
            }
            zone_band::coarsely(&mut wall)?;
            let run = wall.run(cancel)?;
            let (e, histories) = ZoneExotherm::of(&laid, &wall, &run)?;
            all.measured.extend(measured(job, &zone.name, &laid, &e));
            Ok((e, histories))
        })()
        .map_err(at)?;
        all.zones.push(Some(exotherm));
        all.histories.push(Some(histories));
    }
    Ok(all)
}
