//! What a temperature or a conversion does within a step.

/// `y(x) = (1 - x) y0 + x (y1 + (1 - x) (bend + x twist))` at the share `x` of a step.
///
/// Of third order both by the ends' slopes and by the stages of the method ([`Tableau::dense`](super::tableau::Tableau::dense)).
/// By the slopes it is nearer, but not of a cell that follows its surroundings far faster than the steps go: there a slope is
/// an error of the temperature over its time constant, any number of kelvin a second. By the stages it stays near the ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cubic {
    pub(crate) y: [f64; 2],
    pub(crate) bend: f64,
    pub(crate) twist: f64,
}

/// A cubic from `before` to `after` with that bend and twist goes no higher than this.
#[inline(always)]
pub(super) fn no_higher(before: f64, after: f64, bend: f64, twist: f64) -> f64 {
    let y = if before > after { before } else { after };
    let turn = if twist > 0.0 { bend + twist } else { bend };
    // x (1 - x) is at most a quarter.
    y + if turn > 0.0 { 0.25 * turn } else { 0.0 }
}

impl Cubic {
    /// Through both ends of a step `h` long with their slopes.
    #[inline(always)]
    pub(crate) fn hermite(h: f64, y: [f64; 2], f: [f64; 2]) -> Self {
        let d = y[1] - y[0];
        Cubic {
            y,
            bend: h * f[0] - d,
            twist: 2.0 * d - h * (f[0] + f[1]),
        }
    }

    /// No farther apart than this are two between the same ends.
    #[inline(always)]
    pub(crate) fn farthest(&self, other: &Cubic) -> f64 {
        // x (1 - x) is at most a quarter.
        let (bend, twist) = (self.bend - other.bend, self.twist - other.twist);
        0.25 * bend.abs().max((bend + twist).abs())
    }

    #[inline(always)]
    pub(crate) fn at(&self, x: f64) -> f64 {
        (1.0 - x) * self.y[0] + x * (self.y[1] + (1.0 - x) * (self.bend + x * self.twist))
    }

    /// Slope at the step's end, per step.
    pub(crate) fn end_slope(&self) -> f64 {
        self.y[1] - self.y[0] - self.bend - self.twist
    }

    /// Slope at the share `x` of the step, per step.
    pub(crate) fn slope_at(&self, x: f64) -> f64 {
        let d = self.y[1] - self.y[0];
        d + self.bend + x * (2.0 * (self.twist - self.bend) - 3.0 * x * self.twist)
    }

    /// Share of the step at which it crosses `target`; the ends lie on both sides of it. Newton's method, held within a
    /// bracket that halves where it does not close in.
    pub(crate) fn crossing(&self, target: f64) -> f64 {
        let d = self.y[1] - self.y[0];
        // y0 + x (c + x (b + x a))
        let (a, b, c) = (-self.twist, self.twist - self.bend, d + self.bend);
        let (mut low, mut high) = (0.0, 1.0);
        let mut x = (target - self.y[0]) / d;
        for _ in 0..60 {
            let miss = self.y[0] - target + x * (c + x * (b + x * a));
            if (miss >= 0.0) == (d > 0.0) {
                high = x;
            } else {
                low = x;
            }
            let next = x - miss / (c + x * (2.0 * b + 3.0 * x * a));
            let next = if next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
            if (next - x).abs() < 1e-12 {
                return next;
            }
            x = next;
        }
        x
    }

    /// Where it rises at the step's start and falls at its end: its largest value and the share at which it stands.
    pub(crate) fn summit(&self) -> Option<(f64, f64)> {
        let d = self.y[1] - self.y[0];
        // Derivative: a x² + b x + c, above 0 at 0 and below 0 at 1: exactly one root between.
        let (a, b, c) = (-3.0 * self.twist, 2.0 * (self.twist - self.bend), d + self.bend);
        if c <= 0.0 || self.end_slope() >= 0.0 {
            return None;
        }
        let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
        // Without cancellation.
        let x = if b < 0.0 {
            2.0 * c / (-b + root)
        } else {
            (-b - root) / (2.0 * a)
        };
        let x = if x.is_finite() { x.clamp(0.0, 1.0) } else { 1.0 };
        Some((self.at(x), x))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Analytic: y = 3 + 2 x - 5 x² + x³ on 0..2 and its slopes.
    #[test]
    fn a_cubic_is_itself() {
        let y = |t: f64| 3.0 + t * (2.0 + t * (-5.0 + t));
        let f = |t: f64| 2.0 + t * (-10.0 + 3.0 * t);
        let c = Cubic::hermite(2.0, [y(0.0), y(2.0)], [f(0.0), f(2.0)]);
        for x in [0.0, 0.1, 0.5, 0.77, 1.0] {
            assert!((c.at(x) - y(2.0 * x)).abs() < 1e-14);
            assert!((c.slope_at(x) - 2.0 * f(2.0 * x)).abs() < 1e-13);
        }
        assert!((c.end_slope() - 2.0 * f(2.0)).abs() < 1e-14);
        let x = c.crossing(1.0);
        assert!((y(2.0 * x) - 1.0).abs() < 1e-10);
        // Slope zero at (5 - sqrt 19)/3.
        let (value, x) = c.summit().unwrap();
        let t = (5.0 - 19.0_f64.sqrt()) / 3.0;
        assert!((2.0 * x - t).abs() < 1e-12 && (value - y(t)).abs() < 1e-12);
        assert!(Cubic::hermite(1.0, [0.0, 1.0], [1.0, 1.0]).summit().is_none());
    }
}
