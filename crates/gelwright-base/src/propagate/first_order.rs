//! First-order propagation.

use crate::measurement::COVERAGE_FACTOR_95;

/// A result by first order.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Lower end of the 95 % interval of a normal distribution about the value.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Each input's own contribution `c u`, signed; zero of one known exactly.
    pub contributions: Vec<f64>,
}

impl FirstOrder {
    /// `u_c² = Σ (c_i u_i)²`, with `c_i u_i` half the change of the model over `± u_i`; the interval is `± 1.96 u_c`.
    ///
    /// Source: JCGM 100:2008, equation (10), 5.1.3 note 2, G.6.6.
    pub(super) fn new(value: f64, contributions: Vec<f64>) -> Self {
        let u = contributions.iter().map(|c| c * c).sum::<f64>().sqrt();
        let half = COVERAGE_FACTOR_95 * u;
        FirstOrder {
            standard_uncertainty: u,
            low: value - half,
            high: value + half,
            contributions,
        }
    }

    /// An input's part of the variance.
    pub(super) fn share(&self, i: usize) -> f64 {
        match self.standard_uncertainty {
            0.0 => 0.0,
            u => (self.contributions[i] / u).powi(2),
        }
    }
}
