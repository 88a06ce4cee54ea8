//! How sure an exotherm is, to first order: what may be off is moved by one standard deviation, one at a time.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use crate::calibrate::{BandDriver, Calibration, DrawnLaw};
use crate::error::Result;
use crate::numeric::normal;
use crate::quantity::Quantity;

use super::super::job::Job;

/// Standard uncertainty of the shop's temperature where no thermometer is told, K: anywhere within 1 K (common practice, no
/// source).
const THERMOMETER: f64 = 1.0 / 1.732;
/// Part of a variance from which what makes it is told.
const TOLD: f64 = 0.02;

/// Standard uncertainty of the shop's temperature, K.
pub(in super::super) fn thermometer(job: &Job) -> f64 {
    let told = job.casting.shop.bench.thermometer;
    told.map_or(THERMOMETER, |t| t.uncertainty().si())
}

/// To what sides each is moved.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Sides {
    /// Up alone: half the runs, for what costs much.
    One,
    /// Down and up.
    Both,
}

/// Laws that were drawn, each by one of its numbers alone, one way or the other: all cups and zones of a plan move the same.
#[derive(Default)]
pub(super) struct Drawn(Mutex<BTreeMap<(String, Option<(usize, bool)>), DrawnLaw>>);

impl Drawn {
    fn law(&self, resin: &str, law: &Calibration, z: &[f64]) -> Result<DrawnLaw> {
        let moved = z.iter().position(|z| *z != 0.0).map(|i| (i, z[i] > 0.0));
        let key = (resin.to_owned(), moved);
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(drawn) = kept().get(&key) {
            return Ok(drawn.clone());
        }
        let drawn = law.law_at(z)?;
        kept().insert(key, drawn.clone());
        Ok(drawn)
    }
}

/// What may be off: laws, each by its own independent numbers, and what stands beside them, in standard deviations.
pub(super) struct Moves<'a> {
    laws: Vec<(&'a str, &'a Calibration)>,
    beside: Vec<String>,
    sides: Sides,
    drawn: &'a Drawn,
}

/// One of the runs: the laws that it is made with, and how many standard deviations each of the rest is off.
pub(super) struct Moved<'a> {
    pub(super) laws: BTreeMap<&'a str, DrawnLaw>,
    pub(super) off: Vec<f64>,
}

/// An answer's standard uncertainty, and what makes it.
pub(super) struct Off {
    uncertainty: f64,
    pub(super) drivers: Vec<BandDriver>,
}

impl Off {
    /// To an end of the interval that holds nine in ten.
    pub(super) fn half(&self) -> f64 {
        normal::quantile(0.95) * self.uncertainty
    }
}

impl<'a> Moves<'a> {
    pub(super) fn new(
        laws: Vec<(&'a str, &'a Calibration)>,
        beside: Vec<String>,
        sides: Sides,
        drawn: &'a Drawn,
    ) -> Self {
        Moves {
            laws,
            beside,
            sides,
            drawn,
        }
    }

    fn inputs(&self) -> usize {
        self.laws.len() * Calibration::DRAWN_BY + self.beside.len()
    }

    fn each(&self) -> usize {
        match self.sides {
            Sides::One => 1,
            Sides::Both => 2,
        }
    }

    /// How many runs there are; the first is that of nothing moved.
    pub(super) fn runs(&self) -> usize {
        1 + self.each() * self.inputs()
    }

    pub(super) fn run(&self, run: usize) -> Result<Moved<'a>> {
        let mut x = vec![0.0; self.inputs()];
        if let Some(i) = run.checked_sub(1) {
            x[i / self.each()] = if i % self.each() == 0 { 1.0 } else { -1.0 };
        }
        let (of_laws, off) = x.split_at(self.laws.len() * Calibration::DRAWN_BY);
        Ok(Moved {
            laws: self
                .laws
                .iter()
                .zip(of_laws.chunks(Calibration::DRAWN_BY))
                .map(|((resin, law), z)| Ok((*resin, self.drawn.law(resin, law, z)?)))
                .collect::<Result<_>>()?,
            off: off.to_vec(),
        })
    }

    /// What the answers of all runs, in their order, say.
    pub(super) fn read(&self, answers: &[f64]) -> Result<Off> {
        let slopes: Vec<f64> = answers[1..]
            .chunks(self.each())
            .map(|at| match at {
                [up, down] => 0.5 * (up - down),
                _ => at[0] - answers[0],
            })
            .collect();
        let variance: f64 = slopes.iter().map(|s| s * s).sum();
        let mut drivers = Vec::new();
        if variance > 0.0 {
            let (of_laws, beside) = slopes.split_at(self.laws.len() * Calibration::DRAWN_BY);
            for ((resin, law), s) in self.laws.iter().zip(of_laws.chunks(Calibration::DRAWN_BY)) {
                let of_law: f64 = s.iter().map(|s| s * s).sum::<f64>() / variance;
                for d in law.drivers_of(s)? {
                    let name = if self.laws.len() > 1 {
                        format!("{} of {resin}", d.input)
                    } else {
                        d.input
                    };
                    drivers.push(BandDriver::new(name, d.part * of_law));
                }
            }
            drivers.extend(
                self.beside
                    .iter()
                    .zip(beside)
                    .map(|(name, s)| BandDriver::new(name.clone(), s * s / variance)),
            );
        }
        drivers.retain(|d| d.part > TOLD);
        drivers.sort_by(|a, b| b.part.total_cmp(&a.part));
        Ok(Off {
            uncertainty: variance.sqrt(),
            drivers,
        })
    }
}
