//! How long a mix stays workable today: from its resin's gel-time table, or from its hardener's pot life.

use uom::si::time::second;

use super::layout::Mix;
use crate::cure::gel_table::{GelRow, GelTable, GelTime};
use crate::error::{Error, Result};
use crate::material::{GelTimes, Hardener, PotLife, Resin};
use crate::quantity::{self, Phr, Quantity, ThermodynamicTemperature, Time};
use crate::source::{Source, Standing, Why};

/// The gel-time table of a resin, as the cure module reads it.
///
/// # Errors
/// As [`GelTable::new`].
pub(super) fn table_of(times: &GelTimes) -> Result<GelTable> {
    let rows = times
        .rows
        .iter()
        .map(|r| GelRow::new(r.temperature, r.dose, r.time))
        .collect();
    GelTable::new(rows, (*times.source).clone())
}

/// The working time of a mix, or nothing where neither its resin's sheet nor its hardener's says anything.
pub(super) fn gel_time(mix: &Mix, temperature: ThermodynamicTemperature) -> Result<Option<GelTime>> {
    let resin: &Resin = mix.resin().resin()?;
    let Some(cures_by) = mix.cures_by() else {
        return Ok(None);
    };
    let Some(dose) = mix.unit.cure_dose.as_ref().map(|d| d.by_mass.value) else {
        return Ok(None);
    };
    let at = |e: Error| e.within(format!("gel time of '{}'", mix.name));
    if let Some(times) = &resin.gel_times {
        let mut gel = table_of(times)
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
        Ok(h) => from_pot_life(h, temperature).map_err(at),
        Err(_) => Ok(None),
    }
}

/// Gel (or pot) life halves for every 10 K: the only temperature dependence a sheet with one pot life leaves.
const HALVING_KELVIN: f64 = 10.0;

fn from_pot_life(h: &Hardener, temperature: ThermodynamicTemperature) -> Result<Option<GelTime>> {
    let Some(nearest) = h.pot_life.iter().min_by(|a, b| {
        let far = |p: &PotLife| (p.temperature.si() - temperature.si()).abs();
        far(a).total_cmp(&far(b))
    }) else {
        return Ok(None);
    };
    // Two temperatures make a table of their own.
    let other = h
        .pot_life
        .iter()
        .find(|p| (p.temperature.si() - nearest.temperature.si()).abs() > 0.5 && p.mass == nearest.mass);
    if let Some(other) = other {
        let dose = Phr::new(100.0)?;
        let rows = [nearest, other]
            .map(|p| GelRow::new(p.temperature, dose, p.time))
            .to_vec();
        return GelTable::new(rows, (*nearest.source).clone())?
            .gel_time(temperature, dose)
            .map(Some);
    }
    let off = temperature.si() - nearest.temperature.si();
    let factor = 0.5f64.powf(off / HALVING_KELVIN);
    let time = |t: Time| Time::new::<second>(t.si() * factor);
    let rule = Source::of(
        Standing::CommonPractice,
        "the pot life of an epoxy or polyurethane halves for every 10 K",
    );
    let value = time(nearest.time);
    Ok(Some(GelTime {
        time: value,
        low: time(nearest.low.unwrap_or(nearest.time * 0.7)),
        high: time(nearest.high.unwrap_or(nearest.time * 1.4)),
        extrapolated: (off.abs() > 2.0).then(|| {
            format!(
                "the sheet gives a pot life at {} only; at {} the rule that it halves for every 10 K is used",
                quantity::show(nearest.temperature),
                quantity::show(temperature)
            )
        }),
        why: Why::computed(
            "pot life",
            quantity::show(value),
            "t = t0 2^(-(T - T0)/10 K)",
            vec![
                Why::given("pot life on the sheet", quantity::show(nearest.time))
                    .with_source(&nearest.source),
                Why::given("temperature", quantity::show(temperature)),
                Why::given("halving", "10 K").with_source(&rule),
            ],
        ),
    }))
}
