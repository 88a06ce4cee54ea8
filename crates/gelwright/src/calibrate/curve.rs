//! What a cup's logged temperature tells: a few figures, each as far apart from the others as the law may be off them all.
//!
//! A thousand rows of a log are not a thousand measurements: what the law gets wrong it gets wrong in all of them. So a curve
//! counts as its times to a fifth, half and four fifths of its rise and to its peak, which the law may be off together and
//! each a little by itself, its peak, and how long it then takes to lose three tenths of its rise, which tells the loss of heat.
//! The probe shows it late: `dP/dt = (T - P)/lag`.

use super::evidence::Reading;
use crate::error::{Error, ErrorKind, Result};
use crate::numeric::least_squares::{cholesky, forward};

/// Parts of the rise whose times count.
const PARTS: [f64; 3] = [0.2, 0.5, 0.8];
/// Part of the rise that is left when the cooling counts.
const COOLED_TO: f64 = 0.7;
/// What each of the times may be off by itself, of its logarithm. Common practice, no source.
const BY_ITSELF: f64 = 0.01;
/// Standard uncertainty of a logged peak, K: ±2.5 K of a thermocouple (IEC 60584-1:2013, class 2, from memory) and ±3.4 K of the model of a
/// cup ([`Cup`](crate::heat::Cup)), anywhere within.
const PEAK: f64 = 2.5;
/// Of the logarithm of the time of cooling. Common practice, no source.
const COOLING: f64 = 0.10;
/// Lag of a thermocouple in resin, s, and the standard deviation of its logarithm. Common practice, no source.
pub(super) const LAG: (f64, f64) = (10.0, 1.0);
/// Least rise that is a curve, K.
const LEAST_RISE: f64 = 8.0;
/// Times that a law's curve is kept at.
pub(super) const POINTS: u32 = 1500;

/// The figures of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figures {
    /// Times to the parts of its rise and to its peak, s.
    pub(super) times: [f64; 4],
    /// K.
    pub(super) peak: f64,
    /// From the peak until it has cooled, s; none where it was not followed so long.
    pub(super) cooling: Option<f64>,
}

/// What the figures are called.
pub(super) const CALLED: [&str; 4] = [
    "time to a fifth of its rise",
    "time to half of its rise",
    "time to four fifths of its rise",
    "time to its peak",
];

/// As a probe shows it that lags.
pub(super) fn lagged(time: &[f64], kelvin: &[f64], lag: f64) -> Vec<f64> {
    let mut shown: Vec<f64> = Vec::with_capacity(kelvin.len());
    let mut last = kelvin.first().copied().unwrap_or(f64::NAN);
    shown.push(last);
    for (t, k) in time.windows(2).zip(kelvin.windows(2)) {
        let slope = (k[1] - k[0]) / (t[1] - t[0]);
        let left = (-(t[1] - t[0]) / lag).exp();
        last = k[1] - slope * lag + (last - k[0] + slope * lag) * left;
        shown.push(last);
    }
    shown
}

/// Where straight lines between the points first reach a value, rising, or falling.
fn crossing(time: &[f64], kelvin: &[f64], value: f64, rising: bool) -> Option<f64> {
    let beyond = |x: f64| if rising { x >= value } else { x <= value };
    let i = (1..kelvin.len()).find(|&i| beyond(kelvin[i]) && !beyond(kelvin[i - 1]))?;
    let share = (value - kelvin[i - 1]) / (kelvin[i] - kelvin[i - 1]);
    Some(time[i - 1] + share * (time[i] - time[i - 1]))
}

/// Those of a curve that begins at `start`; where it does not warm, as late as it was followed.
pub(super) fn figures(time: &[f64], kelvin: &[f64], start: f64) -> Figures {
    let top = (0..kelvin.len())
        .max_by(|&a, &b| kelvin[a].total_cmp(&kelvin[b]))
        .unwrap_or(0);
    let (mut at, mut peak) = (time[top], kelvin[top]);
    if let (Some([a, b, c]), Some([x, y, z])) = (
        top.checked_sub(1)
            .and_then(|i| time.get(i..i + 3))
            .map(|t| [t[0], t[1], t[2]]),
        top.checked_sub(1)
            .and_then(|i| kelvin.get(i..i + 3))
            .map(|k| [k[0], k[1], k[2]]),
    ) {
        // The parabola through the three.
        let (left, right) = ((y - x) / (b - a), (z - y) / (c - b));
        let bend = (right - left) / (c - a);
        if bend < 0.0 {
            at = (0.5 * (a + b) - 0.5 * left / bend).clamp(a, c);
            peak = y.max(x + left * (at - a) + bend * (at - a) * (at - b));
        }
    }
    let rise = peak - start;
    let end = time.last().copied().unwrap_or(0.0);
    let upto = top + 1;
    let to = PARTS.map(|part| {
        if rise < 0.5 {
            return end;
        }
        crossing(&time[..upto], &kelvin[..upto], start + part * rise, true).unwrap_or(time[0].max(1.0))
    });
    Figures {
        times: [to[0], to[1], to[2], if rise < 0.5 { end } else { at }],
        peak,
        cooling: crossing(&time[top..], &kelvin[top..], start + COOLED_TO * rise, false).map(|t| t - at),
    }
}

/// A curve that was logged, and how far off its figures may be.
pub(super) struct TimedCurve {
    pub(super) measured: Figures,
    /// Each alone.
    pub(super) deviation: f64,
    /// Triangle of the covariance of the logarithms of the times.
    triangle: Vec<Vec<f64>>,
}

impl TimedCurve {
    /// Of a log that begins at `start`; `together` is what the law may be off all times by.
    ///
    /// # Errors
    /// `NoSolution` where it neither warms nor begins to cool again.
    pub(super) fn new(time: &[f64], kelvin: &[f64], start: f64, together: f64) -> Result<Self> {
        let smooth: Vec<f64> = (0..kelvin.len())
            .map(|i| {
                let mut near = kelvin[i.saturating_sub(1)..(i + 2).min(kelvin.len())].to_vec();
                near.sort_by(f64::total_cmp);
                near[near.len() / 2]
            })
            .collect();
        let measured = figures(time, &smooth, start);
        let last = smooth.last().copied().unwrap_or(start);
        if measured.peak - start < LEAST_RISE {
            return Err(Error::new(ErrorKind::NoSolution, "log")
                .with_value(format_args!("a rise of {:.1} K", measured.peak - start))
                .with_allowed(format!("{LEAST_RISE:.0} K or more"))
                .with_way_out(
                    "a thin film or a few grams do not warm: give its gel time alone, or log 100 g",
                ));
        }
        if last > measured.peak - 0.05 * (measured.peak - start) {
            return Err(Error::new(ErrorKind::NoSolution, "log")
                .with_value("a log that ends before the cup cools")
                .with_way_out("log until it has cooled by a few kelvin, or give gel and peak alone"));
        }
        let mut covariance = vec![vec![together * together; 4]; 4];
        for (i, row) in covariance.iter_mut().enumerate() {
            row[i] += BY_ITSELF * BY_ITSELF;
        }
        let triangle = cholesky(&covariance).ok_or_else(|| Error::new(ErrorKind::NotConverged, "log"))?;
        Ok(TimedCurve {
            measured,
            deviation: together.hypot(BY_ITSELF),
            triangle,
        })
    }

    /// Residuals that are independent of one another.
    pub(super) fn residuals(&self, shown: &Figures, out: &mut Vec<f64>) {
        let m = &self.measured;
        let off: Vec<f64> = m
            .times
            .iter()
            .zip(&shown.times)
            .map(|(m, s)| (m / s).ln())
            .collect();
        out.extend(forward(&self.triangle, &off));
        out.push(self.peak().off(shown.peak));
        if let Some(c) = self.cooling() {
            out.push((c.value / shown.cooling.unwrap_or(10.0 * c.value)).ln() / c.deviation);
        }
    }

    /// How many those are.
    pub(super) fn residuals_count(&self) -> usize {
        self.measured.times.len() + 1 + usize::from(self.measured.cooling.is_some())
    }

    pub(super) fn peak(&self) -> Reading {
        Reading {
            value: self.measured.peak,
            deviation: PEAK,
        }
    }

    pub(super) fn cooling(&self) -> Option<Reading> {
        self.measured.cooling.map(|value| Reading {
            value,
            deviation: COOLING,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Analytic: behind a ramp the probe is late by its lag, less what is left of the start.
    #[test]
    fn a_probe_behind_a_ramp() {
        let time: Vec<f64> = (0..200).map(|i| 7.0 * f64::from(i)).collect();
        let ramp: Vec<f64> = time.iter().map(|t| 300.0 + 0.1 * t).collect();
        let shown = lagged(&time, &ramp, 60.0);
        for (i, t) in time.iter().enumerate() {
            let exact = 300.0 + 0.1 * (t - 60.0 * (1.0 - (-t / 60.0f64).exp()));
            assert!((shown[i] - exact).abs() < 1e-9, "{t}");
        }
    }

    /// Analytic: the bell `20 + 80 exp(-((t - 1500)/360)²)`.
    #[test]
    fn the_figures_of_a_bell() {
        let time: Vec<f64> = (0..300).map(|i| 11.0 * f64::from(i)).collect();
        let bell: Vec<f64> = time
            .iter()
            .map(|t| 293.15 + 80.0 * (-((t - 1500.0) / 360.0f64).powi(2)).exp())
            .collect();
        let f = figures(&time, &bell, 293.15);
        for (part, t) in PARTS.iter().zip(f.times) {
            let exact = 1500.0 - 360.0 * (1.0 / part).ln().sqrt();
            assert!((t - exact).abs() < 0.5, "{part}: {t} of {exact}");
        }
        assert!(
            (f.times[3] - 1500.0).abs() < 0.5 && (f.peak - 373.15).abs() < 0.01,
            "{f:?}"
        );
        let cooled = 360.0 * (1.0f64 / 0.7).ln().sqrt();
        assert!((f.cooling.unwrap() - cooled).abs() < 0.5, "{f:?}");
        assert!(TimedCurve::new(&time[..137], &bell[..137], 293.15, 0.05).is_err());
        assert!(TimedCurve::new(&time[..60], &bell[..60], 293.15, 0.05).is_err());
    }

    /// Ten times the rows of a log are no more evidence: the figures weigh the same.
    #[test]
    fn a_denser_log_tells_no_more() {
        let curve = |n: u32| {
            let time: Vec<f64> = (0..n).map(|i| 3300.0 * f64::from(i) / f64::from(n - 1)).collect();
            let bell: Vec<f64> = time
                .iter()
                .map(|t| 293.15 + 80.0 * (-((t - 1500.0) / 360.0f64).powi(2)).exp())
                .collect();
            TimedCurve::new(&time, &bell, 293.15, 0.05).unwrap()
        };
        let off = Figures {
            times: curve(3000).measured.times.map(|t| 1.05 * t),
            ..curve(3000).measured
        };
        let weight = |n: u32| {
            let mut r = vec![];
            curve(n).residuals(&off, &mut r);
            r.iter().map(|x| x * x).sum::<f64>()
        };
        let (sparse, dense) = (weight(150), weight(3000));
        // A row every 22 s tells its times less finely: a few per cent in each figure, not the ten of ten times the rows.
        assert!((sparse / dense - 1.0).abs() < 0.25, "{sparse} {dense}");
        // All times 5 % off together is one standard deviation, not two: ln(1.05)/0.05 on the common part alone.
        assert!(dense < 1.05, "{dense}");
    }
}
