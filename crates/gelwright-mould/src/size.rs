//! A size with how sure it is, and what that comes from.

use gelwright_base::error::{Error, Result, finite};
use gelwright_base::measurement::{COVERAGE_FACTOR_95, Estimate};
use gelwright_base::noun::Noun;
use gelwright_base::quantity::{self, Length, Quantity};
use gelwright_base::source::Why;

use crate::sources;

/// A measured size: its value, how sure it is, what makes most of that.
///
/// The standard uncertainty is that of the law of propagation, `u^2 = sum (df/dx_i u_i)^2` (JCGM 100:2008, 5.1.2), its
/// differences taken over `x_i ± u_i` (5.1.3, note 2). The interval is normal and ends at zero.
#[derive(Clone, PartialEq, Noun)]
pub struct Size<Q: Quantity> {
    /// The value, its standard uncertainty, the interval that holds it with 95 %.
    pub estimate: Estimate<Q>,
    /// Where the uncertainty comes from, the largest first.
    #[noun(default)]
    pub budget: Vec<SizeInput>,
    /// What makes most of the uncertainty.
    pub dominant: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// One source of a size's uncertainty.
#[derive(Clone, PartialEq, Noun)]
pub struct SizeInput {
    /// What it is.
    pub what: String,
    /// Its share of the variance.
    pub share: f64,
}

impl<Q: Quantity> Size<Q> {
    /// The value.
    pub fn value(&self) -> Q {
        self.estimate.value
    }
    /// Standard uncertainty over the value.
    pub fn relative(&self) -> f64 {
        self.estimate.relative()
    }
}

/// What was read, in SI: its own uncertainty, and the part that it shares with the other readings of one instrument.
#[derive(Clone)]
pub(crate) struct Reading {
    pub(crate) what: String,
    pub(crate) value: f64,
    pub(crate) own: f64,
    pub(crate) shared: f64,
}

impl Reading {
    pub(crate) fn new(what: impl Into<String>, value: f64, own: f64) -> Self {
        Reading {
            what: what.into(),
            value,
            own,
            shared: 0.0,
        }
    }
}

/// The parts of a standard uncertainty, in the SI unit of what is measured.
#[derive(Default, Clone)]
pub(crate) struct Budget(Vec<(String, f64)>);

impl Budget {
    pub(crate) fn with(mut self, what: impl Into<String>, u: f64) -> Self {
        self.0.push((what.into(), u.abs()));
        self
    }

    /// Those of `f` of the readings; `shared` is what the readings' shared part is called.
    pub(crate) fn carried(
        readings: &[Reading],
        shared: &str,
        f: impl Fn(&[f64]) -> Result<f64>,
    ) -> Result<(f64, Budget)> {
        let at: Vec<f64> = readings.iter().map(|r| r.value).collect();
        let value = f(&at)?;
        let mut budget = Budget::default();
        // A step that leaves the range of the equation (a side that a triangle can not have) is taken on one side only.
        let within = |x: Vec<f64>| f(&x).ok().filter(|y| y.is_finite());
        let half = |moved: &dyn Fn(f64) -> Vec<f64>| match (within(moved(1.0)), within(moved(-1.0))) {
            (Some(up), Some(down)) => 0.5 * (up - down),
            (Some(one), None) | (None, Some(one)) => one - value,
            (None, None) => f64::INFINITY,
        };
        for (i, r) in readings.iter().enumerate() {
            if r.own > 0.0 {
                let moved = |sign: f64| {
                    let mut x = at.clone();
                    x[i] += sign * r.own;
                    x
                };
                budget = budget.with(r.what.clone(), half(&moved));
            }
        }
        if readings.iter().any(|r| r.shared > 0.0) {
            let moved = |sign: f64| readings.iter().map(|r| r.value + sign * r.shared).collect();
            budget = budget.with(shared, half(&moved));
        }
        Ok((value, budget))
    }

    pub(crate) fn scaled(mut self, factor: f64) -> Self {
        self.0.iter_mut().for_each(|(_, u)| *u *= factor);
        self
    }

    pub(crate) fn total(&self) -> f64 {
        self.0.iter().fold(0.0, |sum, (_, u)| f64::hypot(sum, *u))
    }

    /// The size with these uncertainties.
    pub(crate) fn size<Q: Quantity>(self, value: f64, why: Why) -> Result<Size<Q>> {
        if let Some((what, _)) = self.0.iter().find(|(_, part)| !part.is_finite()) {
            return Err(Error::out_of_range(
                what.clone(),
                "a reading no larger than its own uncertainty",
                "readings whose uncertainty leaves the size computable on one side at least",
                "read it with a finer instrument",
            ));
        }
        let u = finite("standard_uncertainty", self.total())?;
        let half = COVERAGE_FACTOR_95 * u;
        let estimate = Estimate::with_interval(
            Q::from_si(value)?,
            u,
            (value - half).max(0.0).min(value),
            value + half,
        )?;
        let variance = u * u;
        let mut budget: Vec<SizeInput> = if variance > 0.0 {
            self.0
                .into_iter()
                .filter(|(_, part)| *part > 0.0)
                .map(|(what, part)| SizeInput {
                    what,
                    share: part * part / variance,
                })
                .collect()
        } else {
            vec![]
        };
        budget.sort_by(|a, b| b.share.total_cmp(&a.share));
        let dominant = budget.first().map(|p| p.what.clone());
        let why = why.with_note(match &dominant {
            Some(most) => format!(
                "standard uncertainty {}, most of it from {most}",
                quantity::show(Q::from_si(u)?)
            ),
            None => "taken as exact".to_owned(),
        });
        Ok(Size {
            estimate,
            budget,
            dominant,
            why,
        })
    }
}

/// A length of so many metres in words: the bare number, where it is none.
pub(crate) fn length_text(si: f64) -> String {
    Length::from_si(si).map_or_else(|_| si.to_string(), |l| quantity::show(l).into())
}

/// A link of the chain for a given value.
pub(crate) fn given<Q: Quantity>(what: &str, value: Q) -> Why {
    Why::given(what, quantity::show(value))
}

/// The chain of a computed size.
pub(crate) fn computed<Q: Quantity>(what: &str, si: f64, equation: &str, from: Vec<Why>) -> Result<Why> {
    Ok(
        Why::computed(what, quantity::show(Q::from_si(si)?), equation, from)
            .with_source(&sources::propagation()),
    )
}
