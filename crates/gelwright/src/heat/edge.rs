//! The two faces of a chain of cells, as the kernel sees them: heat that flows in, and its derivatives.

/// A value over time, straight between its corners. The solver stops at every corner.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Drive {
    times: Vec<f64>,
    values: Vec<f64>,
    at: usize,
}

impl Drive {
    pub(crate) fn constant(value: f64) -> Self {
        Drive {
            times: vec![0.0],
            values: vec![value],
            at: 0,
        }
    }
    /// `times` increases strictly.
    pub(crate) fn series(times: Vec<f64>, values: Vec<f64>) -> Self {
        Drive { times, values, at: 0 }
    }
    pub(crate) fn corners(&self) -> &[f64] {
        &self.times
    }
    /// Makes `[t, next corner]` the current piece.
    pub(crate) fn locate(&mut self, t: f64) {
        self.at = self.times.partition_point(|&x| x <= t).saturating_sub(1);
    }
    /// Value and slope at `t` on the current piece.
    #[inline]
    pub(crate) fn value(&self, t: f64) -> (f64, f64) {
        let (t0, v0, slope) = self.piece();
        (v0 + slope * (t - t0), slope)
    }
    /// When the current piece begins, its value then and its slope.
    #[inline]
    pub(super) fn piece(&self) -> (f64, f64, f64) {
        let (t0, v0) = (self.times[self.at], self.values[self.at]);
        match (self.times.get(self.at + 1), self.values.get(self.at + 1)) {
            (Some(t1), Some(v1)) => (t0, v0, (v1 - v0) / (t1 - t0)),
            _ => (t0, v0, 0.0),
        }
    }
}

/// Heat per area and time from surroundings at one temperature to a surface at another.
pub(crate) trait Film: Send + Sync {
    /// `(q, dq/dT_surface, dq/dT_surroundings)` in W/m² and W/(m² K); `q > 0` into the surface.
    fn flux(&self, surface: f64, surroundings: f64) -> (f64, f64, f64);
    /// The still air that makes it, where nothing else does.
    fn surroundings(&self) -> Option<super::face::Surroundings> {
        None
    }
}

/// What happens at a face.
#[derive(Clone)]
pub(crate) enum EdgeLaw {
    /// No heat passes: insulation, a plane of symmetry, a centre.
    Closed,
    /// A heat flux into the wall, W/m².
    Flux(Drive),
    /// The surface is held at a temperature.
    Fixed(Drive),
    /// Constant heat transfer coefficient (W/m² K) to surroundings.
    Linear(f64, Drive),
    /// A film whose coefficient depends on the temperatures.
    Film(std::sync::Arc<dyn Film>, Drive),
}

impl EdgeLaw {
    pub(crate) fn drive(&self) -> Option<&Drive> {
        match self {
            EdgeLaw::Closed => None,
            EdgeLaw::Flux(d) | EdgeLaw::Fixed(d) | EdgeLaw::Linear(_, d) | EdgeLaw::Film(_, d) => Some(d),
        }
    }
}

/// Heat that what evaporates takes from a surface: so many W/m² from one time to another, nothing between.
#[derive(Debug, Clone, Default)]
pub(crate) struct Drain {
    /// From, until (s), W/m²; in the order of time.
    pub(crate) spells: Vec<(f64, f64, f64)>,
    now: f64,
}

impl Drain {
    pub(crate) fn new(spells: Vec<(f64, f64, f64)>) -> Self {
        Drain { spells, now: 0.0 }
    }
    pub(crate) fn corners(&self) -> impl Iterator<Item = f64> {
        self.spells.iter().flat_map(|s| [s.0, s.1])
    }
    fn locate(&mut self, t: f64) {
        let spell = self.spells.iter().find(|s| s.0 <= t && t < s.1);
        self.now = spell.map_or(0.0, |s| s.2);
    }
}

/// From when on a face looks into a closed cavity, and the air that it then warms.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Closing {
    /// s.
    pub(crate) at: f64,
    /// Of half of the cavity's air, J/(m² K).
    pub(crate) capacity: f64,
}

/// All that happens at a face over a run.
#[derive(Clone)]
pub(crate) struct FaceLaw {
    /// Until it closes, if it does.
    pub(crate) law: EdgeLaw,
    pub(crate) drain: Drain,
    pub(crate) closing: Option<Closing>,
}

impl From<EdgeLaw> for FaceLaw {
    fn from(law: EdgeLaw) -> Self {
        FaceLaw {
            law,
            drain: Drain::default(),
            closing: None,
        }
    }
}

impl FaceLaw {
    /// When it changes: the solver stops there.
    pub(crate) fn corners(&self) -> Vec<f64> {
        let drive = self.law.drive().map_or(&[][..], Drive::corners);
        let closes = self.closing.map(|c| c.at);
        drive
            .iter()
            .copied()
            .chain(self.drain.corners())
            .chain(closes)
            .collect()
    }
    pub(crate) fn closed(&self, t: f64) -> Option<Closing> {
        self.closing.filter(|c| c.at <= t)
    }
    /// The face at `t` with its area.
    pub(crate) fn edge(&self, t: f64, area: f64) -> Edge {
        match self.closed(t) {
            Some(_) => Edge::new(EdgeLaw::Closed, area),
            None => Edge {
                drain: self.drain.clone(),
                ..Edge::new(self.law.clone(), area)
            },
        }
    }
}

/// A step towards a surface's temperature so small, K, is the last: what it leaves is its square, times the bend of the film.
pub(super) const NEAR: f64 = 1e-3;

/// A surface's last temperature is a guess for the next within so many kelvins.
pub(super) const FAR: f64 = 100.0;

/// Heat into the end cell, W, with its derivatives.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Flow {
    pub(crate) heat: f64,
    pub(crate) by_temperature: f64,
    pub(crate) by_time: f64,
    /// Temperature of the surface.
    pub(crate) surface: f64,
}

/// A face: its law, its area, and where the next search begins.
#[derive(Clone)]
pub(crate) struct Edge {
    pub(crate) law: EdgeLaw,
    pub(crate) area: f64,
    drain: Drain,
    guess: Guess,
}

/// The last surface temperature, that of the cell then, and how the one goes with the other.
#[derive(Debug, Clone, Copy)]
struct Guess {
    surface: f64,
    cell: f64,
    by_cell: f64,
}

impl Guess {
    const NONE: Guess = Guess {
        surface: f64::NAN,
        cell: 0.0,
        by_cell: 0.0,
    };
}

impl Edge {
    pub(crate) fn new(law: EdgeLaw, area: f64) -> Self {
        Edge {
            law,
            area,
            drain: Drain::default(),
            guess: Guess::NONE,
        }
    }

    pub(crate) fn drive(&self) -> Option<&Drive> {
        self.law.drive()
    }

    /// Heat that evaporation takes now, W.
    pub(crate) fn drained(&self) -> f64 {
        self.drain.now * self.area
    }

    pub(crate) fn locate(&mut self, t: f64) {
        self.drain.locate(t);
        match &mut self.law {
            EdgeLaw::Closed => {}
            EdgeLaw::Flux(d) | EdgeLaw::Fixed(d) | EdgeLaw::Linear(_, d) | EdgeLaw::Film(_, d) => d.locate(t),
        }
    }

    /// Heat into an end cell at `cell` kelvin whose centre is `conductance` W/K (with derivative `slope` by the
    /// cell's temperature) away from the surface.
    #[inline]
    pub(crate) fn flow(&mut self, cell: f64, conductance: f64, slope: f64, t: f64) -> Flow {
        match &self.law {
            EdgeLaw::Closed => Flow {
                surface: cell,
                ..Flow::default()
            },
            EdgeLaw::Flux(d) => {
                let (q, rate) = d.value(t);
                let heat = q * self.area;
                Flow {
                    heat,
                    by_temperature: 0.0,
                    by_time: rate * self.area,
                    surface: cell + heat / conductance,
                }
            }
            EdgeLaw::Fixed(d) => {
                let (ts, rate) = d.value(t);
                Flow {
                    heat: conductance * (ts - cell),
                    by_temperature: -conductance + slope * (ts - cell),
                    by_time: conductance * rate,
                    surface: ts,
                }
            }
            EdgeLaw::Linear(h, d) => {
                let (air, rate) = d.value(t);
                // What evaporates takes as much as colder air would.
                let ta = air - self.drain.now / h;
                let film = h * self.area;
                let share = film / (film + conductance);
                let g = conductance * share;
                Flow {
                    heat: g * (ta - cell),
                    by_temperature: -g + share * share * slope * (ta - cell),
                    by_time: g * rate,
                    surface: cell + share * (ta - cell),
                }
            }
            EdgeLaw::Film(film, d) => {
                let (ta, rate) = d.value(t);
                // What a trial step of no sense left behind is no guess.
                let near = FAR + (cell - ta).abs();
                let guess = self.guess.surface + self.guess.by_cell * (cell - self.guess.cell);
                let mut ts = if (guess - cell).abs() <= near {
                    guess
                } else {
                    0.5 * (cell + ta)
                };
                let mut last = film.flux(ts, ta);
                let mut solved = false;
                for _ in 0..20 {
                    // conductance (ts - cell) = area (q(ts, ta) - drain)
                    let residual = conductance * (ts - cell) - self.area * (last.0 - self.drain.now);
                    let step = residual / (conductance - self.area * last.1);
                    ts -= step;
                    if step.abs() < NEAR {
                        solved = true;
                        break;
                    }
                    last = film.flux(ts, ta);
                }
                // Heat that was not found is none: the step is tried again, shorter.
                ts = if solved { ts } else { f64::NAN };
                let (by_surface, by_surroundings) = (self.area * last.1, self.area * last.2);
                // Implicit derivative of the surface temperature.
                let per = 1.0 / (conductance - by_surface);
                let heat = conductance * (ts - cell);
                let ts_by_cell = (conductance - slope * (ts - cell)) * per;
                self.guess = Guess {
                    surface: ts,
                    cell,
                    by_cell: ts_by_cell,
                };
                Flow {
                    heat,
                    by_temperature: conductance * (ts_by_cell - 1.0) + slope * (ts - cell),
                    by_time: conductance * by_surroundings * per * rate,
                    surface: ts,
                }
            }
        }
    }
}
