//! What the numbers that a law is drawn by move: its constants, and what a body reads of them.

use super::Calibration;
use super::forecast::BandDriver;
use super::law::{
    self, CONSTANTS, DECOMPOSITION, DECOMPOSITION_ENERGY, DOSE_ORDER, DrawnLaw, FILM, GEL, HEAT, INHIBITOR,
    PROPAGATION, PROPAGATION_ENERGY, SPECIFIC_HEAT,
};
use crate::cure::RateLaw;
use crate::error::Result;
use crate::numeric::least_squares::sum_of_squares;
use crate::quantity::Phr;

/// How the numbers that a law is drawn by, a row each, move its constants.
pub(crate) struct Tells([[f64; CONSTANTS]; CONSTANTS]);

/// What a body can read of a law at a dose: how each of the numbers that a law is drawn by, and the logarithm of the dose, move it,
/// each on its scale.
pub(crate) struct Reads {
    /// What its conversion at a given temperature goes by.
    pub(crate) cure: [Read; 5],
    pub(crate) heat: Read,
    pub(crate) specific_heat: Read,
    /// Film of a cup on a bench.
    pub(crate) film: Read,
}

/// One of them.
#[derive(Clone, Copy)]
pub(crate) struct Read {
    pub(crate) by: [f64; CONSTANTS],
    pub(crate) by_dose: f64,
}

impl Read {
    /// Less so many times another.
    pub(crate) fn less(&self, times: f64, other: &Read) -> Read {
        Read {
            by: std::array::from_fn(|j| self.by[j] - times * other.by[j]),
            by_dose: self.by_dose - times * other.by_dose,
        }
    }
}

impl Tells {
    /// A constant, which goes by no dose.
    fn of(&self, constant: usize) -> Read {
        Read {
            by: std::array::from_fn(|j| self.0[j][constant]),
            by_dose: 0.0,
        }
    }

    /// The conversion at gel, its logarithm.
    pub(crate) fn gel(&self) -> Read {
        self.of(GEL)
    }

    /// Of a law at the most probable constants: with `R = d i - z`, `da/dt = kp R (1 - a)` goes by `kp d` and `z/d` alone, and by how fast
    /// `i` grows, whose constant goes by a power of the dose.
    pub(crate) fn reads(&self, law: &DrawnLaw, dose: Phr) -> Reads {
        let of = |k: usize| self.of(k);
        let with_dose = |read: Read, by_dose: f64| Read { by_dose, ..read };
        let (mut order, mut stronger, mut share) = (0.0, 0.0, 0.0);
        if let RateLaw::FreeRadical(f) = &law.kinetics.law
            && let Some(effect) = f.dose_effect
        {
            order = effect.order;
            stronger = (dose.get() / effect.reference_dose.get()).ln();
            share = f.inhibitor.get() / effect.reference_dose.get();
        }
        let decomposition = of(DECOMPOSITION).less(-stronger, &of(DOSE_ORDER));
        // The logarithm of a share out of that of its odds.
        let inhibitor = of(INHIBITOR).less(share, &of(INHIBITOR));
        Reads {
            cure: [
                with_dose(decomposition, order),
                with_dose(of(PROPAGATION), 1.0),
                with_dose(inhibitor, -1.0),
                of(DECOMPOSITION_ENERGY),
                of(PROPAGATION_ENERGY),
            ],
            heat: of(HEAT),
            specific_heat: of(SPECIFIC_HEAT),
            film: of(FILM),
        }
    }

    /// Which constants an answer goes with, from how much each of the numbers moves it: squared correlations to first order.
    /// What moves together is counted at each.
    pub(crate) fn drivers_of(&self, slopes: &[f64]) -> Vec<BandDriver> {
        let (mut along, mut squares) = ([0.0; CONSTANTS], [0.0; CONSTANTS]);
        for (by, slope) in self.0.iter().zip(slopes) {
            for k in 0..CONSTANTS {
                along[k] += by[k] * slope;
                squares[k] += by[k] * by[k];
            }
        }
        let whole = sum_of_squares(slopes);
        (0..CONSTANTS)
            .filter(|&k| whole > 0.0 && squares[k] > 0.0)
            .map(|k| BandDriver::new(law::name(k), along[k] * along[k] / (squares[k] * whole)))
            .collect()
    }
}

impl Calibration {
    /// How the numbers that a law is drawn by move its constants.
    pub(crate) fn tells(&self) -> Result<Tells> {
        const SMALL: f64 = 1e-3;
        let frame = self.frame()?;
        let mut by = [[0.0; CONSTANTS]; CONSTANTS];
        for (j, by) in by.iter_mut().enumerate() {
            let mut z = [0.0; CONSTANTS];
            z[j] = SMALL;
            let above = frame.told(&self.point(&z)?);
            z[j] = -SMALL;
            let below = frame.told(&self.point(&z)?);
            for k in 0..CONSTANTS {
                by[k] = 0.5 * (above[k] - below[k]) / SMALL;
            }
        }
        Ok(Tells(by))
    }
}
