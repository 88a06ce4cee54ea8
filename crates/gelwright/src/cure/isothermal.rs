//! A rate law at a constant temperature, by quadrature instead of steps in time.
//!
//! Conversion and time are then one integral, `t = ∫ da / rate(a)`; with an initiator `∫ R(i) dt = ∫ da / (kp u)`, and
//! `i` is an exponential. What a step in time can not see is here a smooth function: from a tiny seed or a tiny first
//! constant the rate grows by powers of ten within one step, but in `ln a` the integrand is a sum of exponentials,
//! and towards the end it is one in `ln u`. Each panel is an e-fold of either, by eight-point Gauss-Legendre
//! quadrature.

use super::kinetics::Kernel;
use super::law::{Arrhenius, Law, NEAR_END, Radical};
use crate::numeric::quadrature::integral;
use crate::numeric::roots;

/// What the straight first panel may be wrong by, of the time to the end of cure.
const FIRST: f64 = 1e-10;
/// Least conversion that a logarithm is taken of.
const LEAST: f64 = 1e-300;
/// Most that the logarithm of what is integrated changes by over a panel.
const STEEPEST: f64 = 3.0;
/// What is left when cure counts as over.
const OVER: f64 = 1e-14;

/// A rate law at one temperature, its constants standing still.
#[derive(Clone, Copy)]
pub(super) struct Still {
    law: Law,
    /// That temperature, K.
    kelvin: f64,
    /// Conversion at which cure stops; 1 where diffusion slows it instead.
    limit: f64,
    /// End of the straight first panel; 0 for a law that conversion does not quicken.
    first: f64,
    /// Width of a panel in `ln a` and `ln u`.
    width: f64,
}

/// A run of conversion over which the clock is smooth in `y`, 0 to 1.
#[derive(Clone, Copy)]
struct Panel {
    from: f64,
    to: f64,
    by: Variable,
}

#[derive(Clone, Copy)]
enum Variable {
    /// Conversion itself.
    Straight,
    /// Its logarithm.
    Log,
    /// The logarithm of what is left of this limit.
    Left(f64),
}

impl Panel {
    /// Conversion and its derivative by `y`.
    fn at(&self, y: f64) -> (f64, f64) {
        match self.by {
            Variable::Straight => (self.from + y * (self.to - self.from), self.to - self.from),
            Variable::Log => {
                let span = (self.to / self.from).ln();
                let a = self.from * (y * span).exp();
                (a, a * span)
            }
            Variable::Left(limit) => {
                let span = ((limit - self.from) / (limit - self.to)).ln();
                let u = (limit - self.from) * (-y * span).exp();
                (limit - u, u * span)
            }
        }
    }

    /// `y` of a conversion.
    fn place(&self, a: f64) -> f64 {
        let y = match self.by {
            Variable::Straight => (a - self.from) / (self.to - self.from),
            Variable::Log => (a / self.from).ln() / (self.to / self.from).ln(),
            Variable::Left(limit) => {
                ((limit - self.from) / (limit - a)).ln() / ((limit - self.from) / (limit - self.to)).ln()
            }
        };
        y.clamp(0.0, 1.0)
    }
}

impl Still {
    /// With the means of the constants over some temperatures, K, and all else at their mean.
    pub(super) fn of(kernel: &Kernel, kelvin: [f64; 2]) -> Self {
        let mean = |f: &dyn Fn(f64) -> f64| 0.5 * (f(kelvin[0]) + f(kelvin[1]));
        let law = kernel
            .law
            .with_constants(|k| Arrhenius::constant(mean(&|t| k.at(t))));
        let middle = mean(&|t| t);
        let mut still = Still {
            law,
            kelvin: middle,
            limit: kernel.dead_stop(middle).map_or(1.0, |(limit, _)| limit),
            first: 0.0,
            width: 1.0,
        };
        let Some(order) = law.growth() else {
            return still;
        };
        // The integrand has poles π/m beside the axis of ln a.
        still.width = 2.0 / order.max(2.0);
        let fastest = [0.0, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9]
            .map(|share| still.pace(share * still.limit))
            .into_iter()
            .fold(0.0, f64::max);
        if fastest > 0.0 {
            still.first = (FIRST * still.limit * still.pace(0.0) / fastest).max(LEAST);
        }
        still
    }

    /// `da/dt`, or for a law with an initiator `da/dt` over `R`.
    fn pace(&self, a: f64) -> f64 {
        self.law.pace(a, self.kelvin)
    }

    /// Whether nothing moves at zero conversion. A law of two paths that may start there has a first constant, however far
    /// below the smallest number it lies.
    fn stuck(&self, a: f64) -> bool {
        let starts = matches!(self.law, Law::Power(p) if p.second.is_some());
        let starts = starts || matches!(self.law, Law::InSeries(_));
        self.pace(a) <= 0.0 && (a > 0.0 || !starts)
    }

    /// The panel that begins at a conversion; none at the end of cure. Short enough that what is integrated over it changes
    /// by no more than some powers of e.
    fn panel(&self, from: f64) -> Option<Panel> {
        let mut panel = self.widest(from)?;
        let weight = |panel: &Panel, y: f64| {
            let (a, slope) = panel.at(y);
            (slope / self.pace(a)).ln()
        };
        if matches!(panel.by, Variable::Straight) {
            return Some(panel);
        }
        for _ in 0..8 {
            let change = (weight(&panel, 1.0) - weight(&panel, 0.0)).abs();
            // Next to the smallest numbers there is no telling: the panel stays.
            if change.is_nan() || change <= STEEPEST {
                break;
            }
            let to = panel.at((STEEPEST / change).clamp(0.25, 0.75)).0;
            if to.is_nan() || to <= from {
                break;
            }
            panel.to = to;
        }
        Some(panel)
    }

    /// The widest panel that begins at a conversion, an e-fold of it or of what is left.
    fn widest(&self, from: f64) -> Option<Panel> {
        let limit = self.limit;
        let left = limit - from;
        if left <= OVER || self.stuck(from) {
            return None;
        }
        let switch = match self.law {
            Law::TwoBranches(l) if from < l.switch => l.switch,
            _ => f64::INFINITY,
        };
        if self.first > 0.0 && from < 0.5 * limit {
            if from < self.first && (from <= 0.0 || self.pace(0.0) > 0.0) {
                let (to, by) = (self.first, Variable::Straight);
                return Some(Panel { from, to, by });
            }
            let to = (from * self.width.exp()).min(0.5 * limit).min(switch);
            let by = Variable::Log;
            return Some(Panel { from, to, by });
        }
        // The rate has a corner where what is left is next to nothing.
        let corner = if left > NEAR_END * (1.0 + 1e-9) {
            limit - NEAR_END
        } else {
            f64::INFINITY
        };
        let to = (limit - left * (-self.width).exp()).min(corner).min(switch);
        (to > from).then_some(Panel {
            from,
            to,
            by: Variable::Left(limit),
        })
    }

    /// What the clock shows from a panel's start to its `y`.
    fn clock(&self, panel: &Panel, y: f64) -> f64 {
        integral(0.0, y, |y| {
            let (a, slope) = panel.at(y);
            let pace = self.pace(a);
            if pace > 0.0 { slope / pace } else { f64::INFINITY }
        })
    }

    /// The conversion in a panel at which the clock shows `wanted`, below `whole` at its end.
    fn within(&self, panel: &Panel, wanted: f64, whole: f64) -> f64 {
        if !whole.is_finite() {
            let (_, y) = roots::halved(0.0, 1.0, 60, |y| self.clock(panel, y) < wanted);
            return panel.at(y).0;
        }
        let y = roots::newton(0.0, 1.0, wanted / whole, 1e-14 * whole, |y| {
            let (a, slope) = panel.at(y);
            (self.clock(panel, y) - wanted, slope / self.pace(a))
        });
        panel.at(y).0
    }

    /// The conversion when the clock has shown `clock` since `from`.
    fn advance(&self, mut from: f64, mut clock: f64) -> f64 {
        while let Some(panel) = self.panel(from) {
            let whole = self.clock(&panel, 1.0);
            if whole > clock || whole.is_nan() {
                return self.within(&panel, clock, whole).max(from).min(panel.to);
            }
            clock -= whole;
            from = panel.to;
        }
        from
    }

    /// What the clock shows from one conversion to another; infinite where it is not reached.
    fn needed(&self, mut from: f64, goal: f64) -> f64 {
        let mut clock = 0.0;
        while from < goal {
            let Some(panel) = self.panel(from) else {
                return f64::INFINITY;
            };
            clock += self.clock(&panel, if panel.to < goal { 1.0 } else { panel.place(goal) });
            from = panel.to;
        }
        clock
    }

    /// How long the panel in force at a state lasts, at most `longest`, and the state at its end.
    pub(super) fn next(&self, y: [f64; 2], longest: f64) -> (f64, [f64; 2]) {
        if self.law.spends_initiator() {
            let time = self.radical_panel(y[1]).min(longest);
            return (time, self.after(y, time));
        }
        match self.panel(y[0]) {
            Some(panel) => {
                let whole = self.clock(&panel, 1.0);
                if whole <= longest {
                    (whole, [panel.to, y[1]])
                } else {
                    (longest, self.after(y, longest))
                }
            }
            None => (longest, y),
        }
    }

    /// The state after a time within one panel.
    pub(super) fn after(&self, y: [f64; 2], time: f64) -> [f64; 2] {
        if self.law.spends_initiator() {
            [
                self.advance(y[0], self.radicals_over(y[1], time)),
                self.spent(y[1], time),
            ]
        } else {
            [self.advance(y[0], time), y[1]]
        }
    }

    /// When a conversion is reached, within a panel that lasts `longest`.
    pub(super) fn time_to(&self, y: [f64; 2], goal: f64, longest: f64) -> f64 {
        let clock = self.needed(y[0], goal);
        if !self.law.spends_initiator() {
            return clock.min(longest);
        }
        let (_, time) = roots::halved(0.0, longest, 60, |t| self.radicals_over(y[1], t) < clock);
        time
    }

    /// When a conversion is reached from another with no initiator spent; none within `longest`.
    pub(super) fn whole_time(&self, from: f64, goal: f64, longest: f64) -> Option<f64> {
        let mut clock = self.needed(from, goal);
        if !self.law.spends_initiator() {
            return (clock <= longest).then_some(clock);
        }
        let (mut t, mut i) = (0.0, 0.0);
        while t < longest {
            let time = self.radical_panel(i).min(longest - t);
            let whole = self.radicals_over(i, time);
            if whole >= clock {
                let (_, within) = roots::halved(0.0, time, 60, |s| self.radicals_over(i, s) < clock);
                return Some(t + within);
            }
            clock -= whole;
            i = self.spent(i, time);
            t += time;
        }
        None
    }

    fn initiator(&self) -> Option<&Radical> {
        match &self.law {
            Law::Radical(l) => Some(l),
            _ => None,
        }
    }

    fn decomposition(&self) -> f64 {
        self.initiator()
            .map_or(0.0, |l| l.kd.at(self.kelvin) + l.kt.at(self.kelvin))
    }

    /// Spent initiator after a time.
    fn spent(&self, i: f64, time: f64) -> f64 {
        1.0 - (1.0 - i) * (-self.decomposition() * time).exp()
    }

    /// `R` at a spent initiator.
    fn radicals(&self, i: f64) -> f64 {
        let i = i.clamp(0.0, 1.0);
        self.initiator().map_or(1.0, |l| {
            if l.trapped {
                l.radicals::<true>(i).0
            } else {
                l.radicals::<false>(i).0
            }
        })
    }

    /// How long `R` stays smooth: an e-fold of the initiator, or to the next corner of the inhibitor.
    fn radical_panel(&self, i: f64) -> f64 {
        let k = self.decomposition();
        let left = 1.0 - i;
        let Some(l) = self.initiator().filter(|_| k > 0.0 && left >= 1e-15) else {
            return f64::INFINITY;
        };
        let mut folds = 1.0f64;
        for x in [l.inhibitor - l.corner, l.inhibitor + l.corner] {
            let to = left / (1.0 - x / l.dose);
            if to > 1.0 + 1e-9 {
                folds = folds.min(to.ln());
            }
        }
        folds / k
    }

    /// `∫ R dt` over a time within one such panel.
    fn radicals_over(&self, i: f64, time: f64) -> f64 {
        if self.decomposition() <= 0.0 || 1.0 - i < 1e-15 {
            return self.radicals(i) * time;
        }
        integral(0.0, time, |t| self.radicals(self.spent(i, t)))
    }
}
