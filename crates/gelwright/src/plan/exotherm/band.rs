//! How sure an exotherm is, to first order: what may be off is moved a little, one at a time, and what that changes taken as in
//! proportion (law of propagation of uncertainty: JCGM 100:2008, 5.1.2 and 5.1.3, sensitivity coefficients).

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::calibrate::{BandDriver, Calibration, DrawnLaw, Tells};
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

/// How far each is moved, in standard deviations: near enough that the bodies moved step alike and that it is the slope, far enough
/// that the roundings of the steps, which are the same for all of a bundle, do not show.
const MOVED: f64 = 0.5;

/// What of a resin's law all cups and zones of a plan share.
struct Shared {
    unmoved: DrawnLaw,
    /// Moved by one of its numbers alone.
    moved: Vec<DrawnLaw>,
    tells: Tells,
}

/// What of the laws all cups and zones of a plan share, by resin.
#[derive(Default)]
pub(super) struct Drawn(Mutex<BTreeMap<String, Arc<Shared>>>);

impl Drawn {
    fn law(&self, resin: &str, law: &Calibration) -> Result<Arc<Shared>> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(shared) = kept().get(resin) {
            return Ok(Arc::clone(shared));
        }
        let along = |number: usize| {
            let mut z = [0.0; Calibration::DRAWN_BY];
            z[number] = MOVED;
            law.law_at(&z)
        };
        let shared = Arc::new(Shared {
            unmoved: law.law_at(&[])?,
            moved: (0..Calibration::DRAWN_BY).map(along).collect::<Result<_>>()?,
            tells: law.tells()?,
        });
        kept().insert(resin.to_owned(), Arc::clone(&shared));
        Ok(shared)
    }
}

/// What may be off: laws, each by its own independent numbers, and what stands beside them, in standard deviations.
pub(super) struct Moves<'a> {
    laws: Vec<(&'a str, Arc<Shared>)>,
    beside: Vec<String>,
}

/// What a body is made with: laws by resin, and how many standard deviations each of the rest is off.
pub(super) struct Moved<'a> {
    pub(super) laws: BTreeMap<&'a str, &'a DrawnLaw>,
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
        laws: Vec<(&'a str, &Calibration)>,
        beside: Vec<String>,
        drawn: &Drawn,
    ) -> Result<Self> {
        let shared = |(resin, law)| Ok((resin, drawn.law(resin, law)?));
        Ok(Moves {
            laws: laws.into_iter().map(shared).collect::<Result<_>>()?,
            beside,
        })
    }

    /// The body that nothing moves, and those that each alone does.
    pub(super) fn bodies<T>(&self, of: impl Fn(&Moved<'_>) -> Result<T>) -> Result<(T, Vec<T>)> {
        let count = self.laws.len() * Calibration::DRAWN_BY + self.beside.len();
        let moved = (0..count).map(|which| of(&self.moved(which)));
        Ok((of(&self.unmoved())?, moved.collect::<Result<_>>()?))
    }

    /// Nothing is moved.
    fn unmoved(&self) -> Moved<'_> {
        Moved {
            laws: self
                .laws
                .iter()
                .map(|(resin, law)| (*resin, &law.unmoved))
                .collect(),
            off: vec![0.0; self.beside.len()],
        }
    }

    /// One of them is.
    fn moved(&self, which: usize) -> Moved<'_> {
        let mut all = self.unmoved();
        let (law, number) = (which / Calibration::DRAWN_BY, which % Calibration::DRAWN_BY);
        match self.laws.get(law) {
            Some((resin, law)) => {
                all.laws.insert(resin, &law.moved[number]);
            }
            None => all.off[which - self.laws.len() * Calibration::DRAWN_BY] = MOVED,
        }
        all
    }

    /// What the answers say: of each, in their order, that of the body that it moves and of the unmoved one beside it.
    pub(super) fn read(&self, answers: impl IntoIterator<Item = (f64, f64)>) -> Off {
        let slopes: Vec<f64> = answers
            .into_iter()
            .map(|(moved, unmoved)| (moved - unmoved) / MOVED)
            .collect();
        let variance: f64 = slopes.iter().map(|s| s * s).sum();
        let mut drivers = Vec::new();
        if variance > 0.0 {
            let (of_laws, beside) = slopes.split_at(self.laws.len() * Calibration::DRAWN_BY);
            for ((resin, law), s) in self.laws.iter().zip(of_laws.chunks(Calibration::DRAWN_BY)) {
                let of_law: f64 = s.iter().map(|s| s * s).sum::<f64>() / variance;
                for d in law.tells.drivers_of(s) {
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
        Off {
            uncertainty: variance.sqrt(),
            drivers,
        }
    }
}
