//! What is left of a cup: how hot it gets in a cup, and how deep it may lie in a tray.

use super::super::job::{Cup, Job};
use super::EMISSIVITY;
use super::cup::standing;
use super::laws::{cure_of, thermal};
use crate::calibrate::Calibration;
use crate::cancel::Cancel;
use crate::error::{ErrorKind, Result};
use crate::heat::{Face, HeatLimit, Layer, Stance, Surroundings, ThickestPour, Wall};
use crate::quantity::{self, Length, Mass, Quantity, ThermodynamicTemperature, Time};

/// Thinnest and thickest layer in the tray, m.
const DEPTHS: [f64; 2] = [0.5e-3, 50e-3];
/// Area over perimeter of a tray, m: 20 cm square; common practice, no source.
const TRAY: f64 = 0.05;
/// How long it is followed, s.
const FOLLOWED: f64 = 86_400.0;

/// The hottest of so much of a cup's mix in a cup as wide as it is deep; nothing of nothing, or without catalyst.
pub(in crate::plan) fn peak_in_a_cup(
    job: &Job,
    cup: &Cup,
    mass: Mass,
    law: &Calibration,
    cancel: Cancel<'_>,
) -> Result<Option<ThermodynamicTemperature>> {
    if mass.si() <= 0.0 {
        return Ok(None);
    }
    let standing = standing(job, cup, mass, law)?;
    standing.map(|c| Ok(c.run(cancel)?.peak)).transpose()
}

/// The thickest layer of a cup's mix in a tray that stays below a temperature; nothing where none does, or without catalyst.
pub(in crate::plan) fn thickest_leftover(
    job: &Job,
    cup: &Cup,
    law: &Calibration,
    below: ThermodynamicTemperature,
    cancel: Cancel<'_>,
) -> Result<Option<ThickestPour>> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let drawn = law.most_probable();
    let (thermal, resin_content) = thermal(job, mix, None, drawn.specific_heat)?;
    let Some(cure) = cure_of(mix, &drawn, resin_content, 1.0)? else {
        return Ok(None);
    };
    let shop = &job.casting.shop;
    let [thinnest, thickest] = DEPTHS.map(quantity::known);
    let layer = Layer {
        cure: Some(cure),
        ..Layer::inert("leftover", thickest, thermal, shop.resin())
    };
    let up = Surroundings {
        film_factor: drawn.film_factor,
        ..Surroundings::new(Stance::LevelUp, Length::from_si(TRAY)?, EMISSIVITY)
    };
    let wall = Wall {
        stop_when_cooling: true,
        ..Wall::plane(
            vec![layer],
            Face::Insulated,
            Face::still_air(up, shop.temperature),
            Time::from_si(FOLLOWED)?,
        )
    };
    let limit = HeatLimit {
        layer: None,
        below,
        because: "what is left is to stay no hotter".to_owned(),
    };
    match wall.thickest_pour("leftover", &[limit], thinnest, thickest, cancel) {
        Ok(found) => Ok(Some(found)),
        Err(e) if e.kind() == ErrorKind::NoSolution => Ok(None),
        Err(e) => Err(e),
    }
}
