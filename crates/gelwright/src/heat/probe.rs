//! Where a thermometer sits in a cup, and what it shows while the cup is followed.

use super::grid::Grid;
use super::kernel::Step;
use super::track::Top;
use crate::noun::Noun;
use crate::quantity::Length;

use super::cubic::Cubic;

/// Where in a cup the temperature is read, and gel is looked for.
///
/// A cup that is followed with one temperature shows that wherever its probe sits.
#[derive(Clone, Copy, PartialEq, Default, Noun)]
#[noun(tag = "kind")]
#[non_exhaustive]
pub enum Probe {
    /// On the cup's axis at half the depth of the mix: the thermometer of a data sheet's cup test.
    #[default]
    Middle,
    /// The mean of the whole mix by volume, which no thermometer shows and a heat balance does.
    Mean,
    /// On the mix's cooled surface.
    Surface,
    /// Off the middle, towards the cooled face that is nearest to it.
    FromMiddle {
        /// Distance from the middle of the mix; at most that of the nearest cooled face.
        #[noun(within(
            "0 mm",
            "5 m",
            "give the distance of the thermometer's tip from the middle of the mix"
        ))]
        distance: Length,
    },
}

/// A place in the mix as shares of its cells' temperatures and of the surface's.
#[derive(Debug, Clone)]
pub(crate) struct Spot {
    cells: Vec<(usize, f64)>,
    surface: f64,
}

impl Spot {
    /// The only cell of a mix with one temperature.
    pub(crate) fn only() -> Self {
        Spot {
            cells: vec![(0, 1.0)],
            surface: 0.0,
        }
    }

    /// The mean by volume of the first `n` cells.
    pub(crate) fn mean(grid: &Grid, n: usize) -> Self {
        let all: f64 = grid.volume[..n].iter().sum();
        Spot {
            cells: (0..n).map(|i| (i, grid.volume[i] / all)).collect(),
            surface: 0.0,
        }
    }

    /// At `x` m from the innermost place of the first `n` cells, the last of which ends at the surface: straight between
    /// cells, and even about the innermost place, where no heat passes.
    pub(crate) fn at(grid: &Grid, n: usize, x: f64) -> Self {
        let d = &grid.depth[..n];
        let after = d.partition_point(|&c| c < x);
        if after == 0 {
            let bend = (x * x - d[0] * d[0]) / (d[1] * d[1] - d[0] * d[0]);
            return Spot {
                cells: vec![(0, 1.0 - bend), (1, bend)],
                surface: 0.0,
            };
        }
        let i = after - 1;
        if after == n {
            let share = ((x - d[i]) / (0.5 * grid.size[i])).clamp(0.0, 1.0);
            return Spot {
                cells: vec![(i, 1.0 - share)],
                surface: share,
            };
        }
        let share = (x - d[i]) / (d[after] - d[i]);
        Spot {
            cells: vec![(i, 1.0 - share), (after, share)],
            surface: 0.0,
        }
    }

    /// Of a state, the surface counted as its nearest cell.
    fn of(&self, cells: &[f64]) -> f64 {
        self.cells.iter().map(|&(i, w)| w * cells[i]).sum::<f64>() + self.surface * self.nearest(cells)
    }

    fn nearest(&self, cells: &[f64]) -> f64 {
        self.cells.last().map_or(f64::NAN, |&(i, _)| cells[i])
    }

    fn temperature(&self, s: &Step) -> Cubic {
        let surface = [&s.slope_before, &s.slope_after].map(|f| self.surface * f.edges[1].surface);
        let straight = Cubic {
            y: surface,
            bend: 0.0,
            twist: 0.0,
        };
        self.sum(straight, |i| s.temperature_of(i))
    }

    fn cure(&self, s: &Step) -> Cubic {
        let nothing = Cubic {
            y: [0.0; 2],
            bend: 0.0,
            twist: 0.0,
        };
        if self.surface > 0.0 || self.cells.iter().any(|c| c.1 < 0.0) {
            // Beyond the last centre or within the first cell that cell's: a conversion stays between 0 and 1.
            return self.cells.first().map_or(nothing, |&(i, _)| s.cure_of(i));
        }
        self.sum(nothing, |i| s.cure_of(i))
    }

    fn sum(&self, from: Cubic, of: impl Fn(usize) -> Cubic) -> Cubic {
        if let [(i, 1.0)] = self.cells[..] {
            return of(i);
        }
        self.cells.iter().fold(from, |mut sum, &(i, w)| {
            let c = of(i);
            for e in 0..2 {
                sum.y[e] += w * c.y[e];
            }
            sum.bend += w * c.bend;
            sum.twist += w * c.twist;
            sum
        })
    }
}

/// What is seen at one place of the mix.
#[derive(Debug)]
pub(crate) struct Shown {
    spot: Spot,
    /// Highest temperature.
    pub(crate) top: Top,
    /// Temperature now.
    pub(crate) now: f64,
    /// When it gelled; NaN where it has not.
    pub(crate) gel: f64,
    goal: f64,
    /// Temperatures, K, and when each was first reached from below; NaN where it was not.
    pub(crate) reached: Vec<(f64, f64)>,
}

impl Shown {
    /// At the very start.
    pub(crate) fn new(spot: Spot, goal: f64, wanted: &[f64], temperature: &[f64], cure: &[f64]) -> Self {
        let now = spot.of(temperature);
        Shown {
            top: Top {
                value: now,
                time: 0.0,
                cell: 0,
            },
            now,
            gel: if spot.of(cure) >= goal { 0.0 } else { f64::NAN },
            goal,
            reached: wanted
                .iter()
                .map(|&t| (t, if now >= t { 0.0 } else { f64::NAN }))
                .collect(),
            spot,
        }
    }

    /// After every accepted step.
    pub(crate) fn step(&mut self, s: &Step) {
        let h = s.t1 - s.t0;
        let y = self.spot.temperature(s);
        let mut see = |value: f64, time: f64| {
            if value > self.top.value {
                self.top = Top { value, time, cell: 0 };
            }
        };
        see(y.y[1], s.t1);
        if let Some((value, x)) = y.summit() {
            see(value, s.t0 + x * h);
        }
        self.now = y.y[1];
        for (wanted, at) in &mut self.reached {
            if at.is_nan() && y.y[1] >= *wanted {
                *at = s.t0 + h * y.crossing(*wanted);
            }
        }
        if self.gel.is_nan() {
            let a = self.spot.cure(s);
            if a.y[1] >= self.goal {
                self.gel = s.t0 + h * a.crossing(self.goal);
            }
        }
    }

    /// Temperature and conversion at the share `x` of a step.
    pub(crate) fn at(&self, s: &Step, x: f64) -> (f64, f64) {
        let a = self.spot.cure(s);
        let cure = a
            .at(x)
            .clamp(a.y[0].min(a.y[1]), a.y[1].max(a.y[0]))
            .clamp(0.0, 1.0);
        (self.spot.temperature(s).at(x), cure)
    }

    /// Conversion of a state.
    pub(crate) fn cure_of(&self, cure: &[f64]) -> f64 {
        self.spot.of(cure)
    }

    /// Temperature of a state.
    pub(crate) fn temperature_of(&self, temperature: &[f64]) -> f64 {
        self.spot.of(temperature)
    }
}
