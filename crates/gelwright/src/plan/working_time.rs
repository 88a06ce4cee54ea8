//! How long a mix stays workable today: from its resin's gel-time table, or from its hardener's pot life.

use super::layout::Mix;
use crate::cure::gel_table::{GelTable, GelTime};
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{LimitQuantity, Measured};
use crate::material::Resin;
use crate::quantity::{Quantity, ThermodynamicTemperature};

/// What the sheets say of it.
pub(super) enum WorkingTime {
    Known(GelTime),
    /// Neither the resin's sheet nor the hardener's says anything.
    Unknown,
    /// A dose or a temperature lies so far off the table that it says nothing.
    FarOff(FarOff),
}

/// Which, and what the table covers, in SI.
pub(super) struct FarOff {
    pub(super) measured: Measured,
    pub(super) low: f64,
    pub(super) high: f64,
}

/// The working time of a mix.
///
/// # Errors
/// As [`GelTable::gel_time`], but for what lies far off the table.
pub(super) fn of(mix: &Mix, temperature: ThermodynamicTemperature) -> Result<WorkingTime> {
    match gel_time(mix, temperature) {
        Ok(Some(gel)) => Ok(WorkingTime::Known(gel)),
        Ok(None) => Ok(WorkingTime::Unknown),
        Err(e) if e.kind() == ErrorKind::OutOfRange => far_off(mix, temperature, e).map(WorkingTime::FarOff),
        Err(e) => Err(e),
    }
}

fn gel_time(mix: &Mix, temperature: ThermodynamicTemperature) -> Result<Option<GelTime>> {
    let resin: &Resin = mix.resin().resin()?;
    let Some(cures_by) = mix.cures_by() else {
        return Ok(None);
    };
    let Some(dose) = mix.unit.cure_dose.as_ref().map(|d| d.by_mass.value) else {
        return Ok(None);
    };
    let at = |e: Error| e.within(format!("gel time of '{}'", mix.name));
    if let Some(times) = &resin.gel_times {
        let mut gel = GelTable::of_sheet(times)
            .and_then(|t| t.gel_time(temperature, dose))
            .map_err(at)?;
        if times.initiator != cures_by.id {
            let note = format!(
                "the table is for '{}', the recipe takes '{}': doses taken as equal",
                times.initiator, cures_by.id
            );
            gel.extrapolated = Some(match gel.extrapolated {
                Some(e) => format!("{e}; {note}"),
                None => note,
            });
        }
        return Ok(Some(gel));
    }
    match cures_by.hardener() {
        Ok(h) => GelTime::of_pot_life(&h.pot_life, temperature).map_err(at),
        Err(_) => Ok(None),
    }
}

/// What of the mix lies how far off which table.
fn far_off(mix: &Mix, temperature: ThermodynamicTemperature, refused: Error) -> Result<FarOff> {
    let dose = mix.unit.cure_dose.as_ref().map(|d| d.by_mass.value);
    if let (true, Some(dose), Some(times)) = (
        refused.field().ends_with("dose"),
        dose,
        &mix.resin().resin()?.gel_times,
    ) {
        let (low, high) = GelTable::of_sheet(times)?.doses();
        return Ok(FarOff {
            measured: Measured::new(LimitQuantity::CatalystDose, mix.name, &mix.tags, dose),
            low: low.si(),
            high: high.si(),
        });
    }
    let rows = mix.resin().resin()?.gel_times.iter().flat_map(|t| &t.rows);
    let of_rows = rows.map(|r| r.temperature.si());
    let pot_lives = mix
        .cures_by()
        .and_then(|m| m.hardener().ok())
        .map(|h| &h.pot_life);
    let of_pot_lives = pot_lives.into_iter().flatten().map(|p| p.temperature.si());
    let covered: Vec<f64> = of_rows.chain(of_pot_lives).collect();
    let (low, high) = (
        covered.iter().copied().reduce(f64::min),
        covered.iter().copied().reduce(f64::max),
    );
    match (low, high) {
        (Some(low), Some(high)) => Ok(FarOff {
            measured: Measured::new(LimitQuantity::ResinTemperature, mix.name, &mix.tags, temperature),
            low,
            high,
        }),
        _ => Err(refused),
    }
}
