//! Working time from what a material's own sheet says: a resin's gel-time table, or a hardener's pot life.

use uom::si::time::second;

use super::gel_table::{GelRow, GelTable, GelTime};
use crate::error::Result;
use crate::material::{GelTimes, SheetPotLife};
use crate::quantity::{Phr, Quantity, ThermodynamicTemperature, Time, show};
use crate::source::{Source, Standing, Why};

impl GelTable {
    /// The gel-time table of a resin's sheet.
    ///
    /// # Errors
    /// As [`GelTable::new`].
    pub fn of_sheet(times: &GelTimes) -> Result<GelTable> {
        let rows = times
            .rows
            .iter()
            .map(|r| GelRow::new(r.temperature, r.dose, r.time))
            .collect();
        GelTable::new(rows, (*times.source).clone())
    }
}

/// Pot life halves for every so many kelvin: the only temperature dependence a sheet with one pot life leaves.
const HALVING_KELVIN: f64 = 10.0;

/// Ends of a band whose sheet prints none, over its middle: from memory.
const BAND: (f64, f64) = (0.7, 1.4);

impl GelTime {
    /// The working time at a temperature from the pot lives that a hardener's sheet gives; `None` where it gives none.
    ///
    /// Two temperatures with the same mass of mix make a table of their own; of one temperature alone
    /// `t = t0 2^(-(T - T0)/10 K)` (common practice, no source), and the answer says so.
    ///
    /// # Errors
    /// As [`GelTable::gel_time`], where there are two temperatures.
    pub fn of_pot_life(
        pot_lives: &[SheetPotLife],
        temperature: ThermodynamicTemperature,
    ) -> Result<Option<GelTime>> {
        let Some(nearest) = pot_lives.iter().min_by(|a, b| {
            let far = |p: &SheetPotLife| (p.temperature.si() - temperature.si()).abs();
            far(a).total_cmp(&far(b))
        }) else {
            return Ok(None);
        };
        let other = pot_lives
            .iter()
            .find(|p| (p.temperature.si() - nearest.temperature.si()).abs() > 0.5 && p.mass == nearest.mass);
        match other {
            Some(other) => between_two(nearest, other, temperature).map(Some),
            None => Ok(Some(by_halving(nearest, temperature))),
        }
    }
}

fn between_two(a: &SheetPotLife, b: &SheetPotLife, temperature: ThermodynamicTemperature) -> Result<GelTime> {
    let dose = Phr::new(100.0)?;
    let rows = [a, b].map(|p| GelRow::new(p.temperature, dose, p.time)).to_vec();
    GelTable::new(rows, (*a.source).clone())?.gel_time(temperature, dose)
}

fn by_halving(sheet: &SheetPotLife, temperature: ThermodynamicTemperature) -> GelTime {
    let off = temperature.si() - sheet.temperature.si();
    let factor = 0.5f64.powf(off / HALVING_KELVIN);
    let time = |t: Time| Time::new::<second>(t.si() * factor);
    let rule = Source::of(
        Standing::CommonPractice,
        "the pot life of an epoxy or polyurethane halves for every 10 K",
    );
    let value = time(sheet.time);
    GelTime {
        time: value,
        low: time(sheet.low.unwrap_or(sheet.time * BAND.0)),
        high: time(sheet.high.unwrap_or(sheet.time * BAND.1)),
        extrapolated: (off.abs() > 2.0).then(|| {
            format!(
                "the sheet gives a pot life at {} only; at {} the rule that it halves for every 10 K is used",
                show(sheet.temperature),
                show(temperature)
            )
        }),
        why: Why::computed(
            "pot life",
            show(value),
            "t = t0 2^(-(T - T0)/10 K)",
            vec![
                Why::given("pot life on the sheet", show(sheet.time)).with_source(&sheet.source),
                Why::given("temperature", show(temperature)),
                Why::given("halving", "10 K").with_source(&rule),
            ],
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;
    use crate::quantity::temperature::celsius;

    fn lives(of: &[(f64, f64)]) -> Vec<SheetPotLife> {
        let sheet = Catalogue::generic().get("epoxy_hardener_slow").unwrap();
        let like = &sheet.hardener().unwrap().pot_life[0];
        of.iter()
            .map(|&(c, minutes)| SheetPotLife {
                time: Time::new::<second>(60.0 * minutes),
                low: None,
                high: None,
                temperature: celsius(c),
                ..like.clone()
            })
            .collect()
    }

    #[test]
    fn one_pot_life_halves_every_ten_kelvin_and_two_are_a_table() {
        let minutes = |of: &[(f64, f64)], c: f64| {
            let t = GelTime::of_pot_life(&lives(of), celsius(c)).unwrap().unwrap();
            (t.time.si() / 60.0, t.extrapolated.is_some())
        };
        assert_eq!(minutes(&[(20.0, 40.0)], 20.0), (40.0, false));
        let (halved, told) = minutes(&[(20.0, 40.0)], 30.0);
        assert!((halved - 20.0).abs() < 1e-9 && told);
        // Arrhenius through (20 degC, 40 min) and (30 degC, 25 min), by hand at 25 degC:
        // x = (1/298.15 - 1/293.15)/(1/303.15 - 1/293.15) = 0.50839, t = 40 (25/40)^x = 31.498 min.
        let (between, told) = minutes(&[(20.0, 40.0), (30.0, 25.0)], 25.0);
        assert!((between - 31.498).abs() < 2e-3 && !told, "{between}");
        assert!(GelTime::of_pot_life(&[], celsius(20.0)).unwrap().is_none());
    }
}
