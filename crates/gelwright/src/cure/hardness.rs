//! How hard a curing resin reads, where somebody has published it beside its glass transition.

use crate::error::{Error, Result};
use crate::noun::{Noun, check};
use crate::quantity::{Quantity, ThermodynamicTemperature, show};
use crate::source::Source;

/// What a hardness was read with.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum HardnessInstrument {
    /// Barcol impressor (ASTM D2583, EN 59).
    Barcol,
    /// Shore durometer, type A (ISO 868, ASTM D2240).
    ShoreA,
    /// Shore durometer, type D (ISO 868, ASTM D2240).
    ShoreD,
}

/// A reading beside the glass transition that the resin had then.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct HardnessReading {
    /// Glass transition of the resin.
    pub glass_transition: ThermodynamicTemperature,
    /// What the instrument shows, on its scale of 0 to 100.
    #[noun(within(0, 100, "give what the instrument shows"))]
    pub reading: f64,
}

/// Hardness against the glass transition of a curing resin: published readings, or this shop's. Straight between them;
/// outside them nothing is told. No law is used: the rubber formulas of ISO 868 readings are not of a glass.
#[derive(Clone, PartialEq, Noun)]
pub struct HardnessScale {
    /// What they were read with.
    pub instrument: HardnessInstrument,
    /// The readings, two or more, by rising glass transition.
    pub readings: Vec<HardnessReading>,
    /// On whose word.
    pub source: Source,
}

impl HardnessScale {
    pub(crate) fn agrees(&self) -> Result<()> {
        check(self)?;
        if self.readings.len() < 2 {
            return Err(Error::out_of_range(
                "readings",
                self.readings.len(),
                "two or more",
                "give a reading for two glass transitions, or leave the hardness out",
            ));
        }
        for (i, pair) in self.readings.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            if !(b.glass_transition.si() > a.glass_transition.si() && b.reading >= a.reading) {
                return Err(Error::inconsistent(
                    format!("readings[{}].glass_transition", i + 1),
                    show(b.glass_transition),
                    format!("above {}, and no softer", show(a.glass_transition)),
                    "a resin hardens as its glass transition climbs: give the readings in that order",
                ));
            }
        }
        Ok(())
    }

    /// The glass transition at a reading, K; nothing outside the readings, and the middle of those that read the same.
    pub(crate) fn glass_transition(&self, reading: f64) -> Option<f64> {
        let k = |r: &HardnessReading| r.glass_transition.si();
        let pair = self
            .readings
            .windows(2)
            .find(|p| (p[0].reading..=p[1].reading).contains(&reading));
        pair.map(|p| {
            let wide = p[1].reading - p[0].reading;
            let share = if wide > 0.0 {
                (reading - p[0].reading) / wide
            } else {
                0.5
            };
            k(&p[0]) + share * (k(&p[1]) - k(&p[0]))
        })
    }

    /// The reading at a glass transition, K; nothing outside the readings.
    pub(super) fn reading(&self, kelvin: f64) -> Option<f64> {
        let k = |r: &HardnessReading| r.glass_transition.si();
        let pair = self
            .readings
            .windows(2)
            .find(|p| (k(&p[0])..=k(&p[1])).contains(&kelvin));
        pair.map(|p| {
            let share = (kelvin - k(&p[0])) / (k(&p[1]) - k(&p[0]));
            p[0].reading + share * (p[1].reading - p[0].reading)
        })
    }
}
