//! Inputs that go together.

use crate::error::{Error, Result, finite};
use crate::numeric::{least_squares::lower_root, normal};
use crate::quantity::spread::Input;

/// How far from symmetric, or from 1 on the diagonal, rounding may leave a matrix.
const ROUNDING: f64 = 1e-9;
/// The least part of an input's variance that the others must leave to it.
const OWN: f64 = 1e-9;

/// The correlations of standard normal numbers, one for each input: a Gaussian copula.
///
/// Each input keeps its own distribution; that of `z_i`, `Φ(z_i)`, is its probability below. The correlation of two inputs is
/// that of their normal numbers where both are normal, and nearer zero else; that of their ranks (Spearman's) is
/// `6/π asin(r/2)` whatever their distributions. Source: A. Der Kiureghian, P.-L. Liu, Structural Reliability under Incomplete
/// Probability Information, J. Eng. Mech. 112 (1986) 85-104, doi 10.1061/(ASCE)0733-9399(1986)112:1(85) `[from memory]`.
///
/// Not modelled: inputs that go together at their extremes only (the Gaussian copula has no tail dependence).
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    /// Of Cholesky: below the diagonal and on it.
    root: Vec<Vec<f64>>,
}

impl Correlation {
    /// Of a matrix, row by row.
    ///
    /// # Errors
    /// `NotFinite`; `Inconsistent` for one that is not square, not symmetric, not 1 on its diagonal, or not positive definite:
    /// correlations that no numbers can have, or inputs of which one follows from the others; `OutOfRange` for one beyond ±1.
    pub fn new(matrix: &[Vec<f64>]) -> Result<Self> {
        let n = matrix.len();
        let field = |i: usize, j: usize| format!("correlations[{i}][{j}]");
        for (i, row) in matrix.iter().enumerate() {
            if row.len() != n {
                return Err(Error::inconsistent(
                    format!("correlations[{i}]"),
                    format_args!("{} numbers", row.len()),
                    format!("{n}, one for each input"),
                    "give a square matrix",
                ));
            }
        }
        for (i, row) in matrix.iter().enumerate() {
            for (j, &r) in row.iter().enumerate() {
                finite(&field(i, j), r)?;
                if r.abs() > 1.0 + ROUNDING {
                    return Err(Error::out_of_range(
                        field(i, j),
                        r,
                        "-1 to 1",
                        "a correlation is a covariance over both standard deviations",
                    ));
                }
                let (is, expected) = if i == j { (r, 1.0) } else { (r, matrix[j][i]) };
                if (is - expected).abs() > ROUNDING {
                    return Err(Error::inconsistent(
                        field(i, j),
                        r,
                        format!("{expected}"),
                        "a correlation matrix is symmetric, with 1 on its diagonal",
                    ));
                }
            }
        }
        Correlation::root_of(matrix)
    }

    fn root_of(matrix: &[Vec<f64>]) -> Result<Self> {
        let of = |i: usize, j: usize| if i == j { 1.0 } else { matrix[i][j] };
        let own = |i: usize, left: f64| {
            if left < OWN {
                return Err(Error::inconsistent(
                    format!("correlations[{i}]"),
                    format_args!("{left:.2e} of its variance left by the inputs before it"),
                    "above zero: a positive definite matrix",
                    "the correlations contradict each other, or one input follows from others: bring them nearer zero, or \
                     leave that input out",
                ));
            }
            Ok(left.sqrt())
        };
        let root = lower_root(matrix.len(), of, own)?;
        Ok(Correlation { root })
    }

    /// For how many inputs.
    pub fn inputs(&self) -> usize {
        self.root.len()
    }

    /// Independent standard normal numbers as ones that go together.
    pub fn together(&self, independent: &[f64]) -> Vec<f64> {
        let of = |row: &Vec<f64>| row.iter().zip(independent).map(|(l, z)| l * z).sum();
        self.root.iter().map(of).collect()
    }

    /// The inputs at independent standard normal numbers, in SI.
    ///
    /// # Errors
    /// `Inconsistent` for another number of inputs or of numbers than the matrix is for.
    pub fn at(&self, inputs: &[Input], independent: &[f64]) -> Result<Vec<f64>> {
        for (field, n) in [("inputs", inputs.len()), ("independent", independent.len())] {
            if n != self.inputs() {
                return Err(Error::inconsistent(
                    field,
                    n,
                    format!("{}, as the correlations are for", self.inputs()),
                    "give one for each input",
                ));
            }
        }
        let z = self.together(independent);
        Ok(inputs
            .iter()
            .zip(z)
            .map(|(i, z)| i.quantile(normal::cumulative(z)))
            .collect())
    }
}
