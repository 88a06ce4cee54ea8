//! Faces in still air of bodies that are alike, one of each side by side: the correlations of [`Surroundings`] without
//! branches, its air without the table.

use super::alike_law::{BODIES, Each};
use super::edge::{Drive, Edge, EdgeLaw, FAR, Flow, NEAR};
use super::face::{
    LONE_BALL, LYING_CYLINDER, PRANDTL, Stance, Surroundings, UPRIGHT_PLATE, WARM_DOWN, WARM_UP, air_slopes,
};
use super::vector::{exp, fused, ln};
use crate::constants::{GRAVITY, STEFAN_BOLTZMANN};
use crate::quantity::Quantity;

/// How a face stands, for a `const` parameter.
const UPRIGHT: u8 = 0;
const LYING: u8 = 1;
const BALL: u8 = 2;
const LEVEL: u8 = 3;

/// The films of one face of every body.
pub(super) struct Films {
    stance: Stance,
    per_size: Each,
    volume: Each,
    radiates: Each,
    factor: Each,
    area: Each,
    /// The last surface temperatures, those of the cells then, and how the ones go with the others: where the next search begins.
    guess: Each,
    guess_at: Each,
    by_cell: Each,
    /// Surroundings on the current piece of their courses: when it begins, what they are then, their slope.
    since: Each,
    then: Each,
    rate: Each,
    /// Heat that evaporation takes on it, W.
    drained: Each,
}

/// [`Flow`] into one face of every body.
#[derive(Clone, Copy, Default)]
pub(super) struct Flows {
    pub(super) heat: Each,
    pub(super) by_temperature: Each,
    pub(super) by_time: Each,
    pub(super) surface: Each,
}

impl Flows {
    /// Those of so many bodies, the last standing for those that are missing.
    pub(super) fn set(&mut self, body: usize, bodies: usize, flow: Flow) {
        let upto = if body + 1 == bodies { BODIES } else { body + 1 };
        for b in body..upto {
            self.heat[b] = flow.heat;
            self.by_temperature[b] = flow.by_temperature;
            self.by_time[b] = flow.by_time;
            self.surface[b] = flow.surface;
        }
    }

    pub(super) fn of(&self, body: usize) -> Flow {
        Flow {
            heat: self.heat[body],
            by_temperature: self.by_temperature[body],
            by_time: self.by_time[body],
            surface: self.surface[body],
        }
    }
}

/// What a film gives, W/m² and W/(m² K).
struct Fluxes {
    heat: Each,
    by_surface: Each,
    by_air: Each,
}

impl Films {
    /// None where a face is not in still air, or stands in another way.
    pub(super) fn of(edges: &[Edge]) -> Option<Self> {
        let of = |e: &Edge| match &e.law {
            EdgeLaw::Film(film, _) => film.surroundings(),
            _ => None,
        };
        let all: Vec<Surroundings> = edges.iter().map(of).collect::<Option<_>>()?;
        let stance = all.first()?.stance;
        if all.iter().any(|s| s.stance != stance) {
            return None;
        }
        let last = all.len() - 1;
        let each = |f: &dyn Fn(&Surroundings) -> f64| std::array::from_fn(|b| f(&all[b.min(last)]));
        let mut films = Films {
            stance,
            per_size: each(&|s| 1.0 / s.size.si()),
            volume: each(&|s| s.size.si().powi(3)),
            radiates: each(&|s| s.emissivity * STEFAN_BOLTZMANN),
            factor: each(&|s| s.film_factor),
            area: std::array::from_fn(|b| edges[b.min(last)].area),
            guess: [f64::NAN; BODIES],
            guess_at: [0.0; BODIES],
            by_cell: [0.0; BODIES],
            since: [0.0; BODIES],
            then: [0.0; BODIES],
            rate: [0.0; BODIES],
            drained: [0.0; BODIES],
        };
        films.locate(edges);
        Some(films)
    }

    /// Goes by where the edges stand in their courses.
    pub(super) fn locate(&mut self, edges: &[Edge]) {
        let last = edges.len() - 1;
        for b in 0..BODIES {
            let edge = &edges[b.min(last)];
            let piece = edge.drive().map_or((0.0, 0.0, 0.0), Drive::piece);
            (self.since[b], self.then[b], self.rate[b]) = piece;
            self.drained[b] = edge.drained();
        }
    }

    /// Heat into end cells as warm as `cells`, whose centres are `conductance` W/K away from the surface: as [`Edge::flow`].
    #[inline(always)]
    pub(super) fn flow<const F: bool>(&mut self, cells: &Each, conductance: &Each, t: f64) -> Flows {
        let drained = self.drained;
        let mut around = [0.0; BODIES];
        for b in 0..BODIES {
            around[b] = self.then[b] + self.rate[b] * (t - self.since[b]);
        }
        let mut surface = [0.0; BODIES];
        for b in 0..BODIES {
            surface[b] = self.guess[b] + self.by_cell[b] * (cells[b] - self.guess_at[b]);
            let near = FAR + (cells[b] - around[b]).abs();
            let keeps = (surface[b] - cells[b]).abs() <= near;
            let middle = 0.5 * (cells[b] + around[b]);
            surface[b] = if keeps { surface[b] } else { middle };
        }
        let (mut by, mut by_air) = ([0.0; BODIES], [0.0; BODIES]);
        let mut apart = [f64::INFINITY; BODIES];
        for _ in 0..20 {
            let q = self.fluxes::<F>(&surface, &around);
            let mut farthest = 0.0;
            for b in 0..BODIES {
                let (area, g) = (self.area[b], conductance[b]);
                let residual = g * (surface[b] - cells[b]) - area * q.heat[b] + drained[b];
                by[b] = area * q.by_surface[b];
                by_air[b] = area * q.by_air[b];
                let step = residual / (g - by[b]);
                surface[b] -= step;
                apart[b] = step.abs();
                // What is not a number is passed over: its own step is tried again, shorter.
                farthest = if apart[b] > farthest { apart[b] } else { farthest };
            }
            if farthest < NEAR {
                break;
            }
        }
        let mut flows = Flows::default();
        for b in 0..BODIES {
            let found = if apart[b] < NEAR { surface[b] } else { f64::NAN };
            let g = conductance[b] / (conductance[b] - by[b]);
            flows.heat[b] = conductance[b] * (found - cells[b]);
            flows.by_temperature[b] = by[b] * g;
            flows.by_time[b] = by_air[b] * g * self.rate[b];
            flows.surface[b] = found;
            self.by_cell[b] = g;
        }
        self.guess = flows.surface;
        self.guess_at = *cells;
        flows
    }

    #[inline(always)]
    fn fluxes<const F: bool>(&self, surface: &Each, around: &Each) -> Fluxes {
        match self.stance {
            Stance::Vertical => self.stand::<F, UPRIGHT>(surface, around, 1.0),
            Stance::LyingCylinder => self.stand::<F, LYING>(surface, around, 1.0),
            Stance::Ball => self.stand::<F, BALL>(surface, around, 1.0),
            Stance::LevelUp => self.stand::<F, LEVEL>(surface, around, 1.0),
            Stance::LevelDown => self.stand::<F, LEVEL>(surface, around, -1.0),
        }
    }

    /// `looks`: 1 where a warm level face is one that looks up, -1 where a cold one is.
    #[inline(always)]
    fn stand<const F: bool, const STANCE: u8>(&self, surface: &Each, around: &Each, looks: f64) -> Fluxes {
        let mut out = Fluxes {
            heat: [0.0; BODIES],
            by_surface: [0.0; BODIES],
            by_air: [0.0; BODIES],
        };
        for b in 0..BODIES {
            let (s, a) = (surface[b], around[b]);
            let mean = 0.5 * (s + a);
            let film = if mean > 100.0 { mean } else { 100.0 };
            let air = air_slopes(film);
            let (k, k_slope) = air.conductivity;
            let (rayleigh, rayleigh_slope) = air.rayleigh;
            let (prandtl, prandtl_slope) = air.prandtl;
            let d = a - s;
            let number = GRAVITY * rayleigh * d.abs() * self.volume[b];
            let ln_number = ln::<F>(if number > 1e-300 { number } else { 1e-300 });
            // Nusselt number, that times its power of the Rayleigh number, and what stands with that for the Prandtl number's own.
            let (nusselt, power, own) = if STANCE == UPRIGHT || STANCE == LYING {
                let c = if STANCE == UPRIGHT {
                    UPRIGHT_PLATE
                } else {
                    LYING_CYLINDER
                };
                let x = exp::<F>(PRANDTL * ln::<F>(c.over / prandtl));
                let grows = c.led * exp::<F>(fused::<F>(1.0 / 6.0, ln_number, -c.power * ln::<F>(1.0 + x)));
                let all = c.base + grows;
                (all * all, all * grows * (1.0 / 3.0), x / (1.0 + x))
            } else if STANCE == BALL {
                let c = LONE_BALL;
                let x = exp::<F>(PRANDTL * ln::<F>(c.over / prandtl));
                let grows = c.led * exp::<F>(fused::<F>(0.25, ln_number, -c.power * ln::<F>(1.0 + x)));
                (c.base + grows, 0.25 * grows, x / (1.0 + x))
            } else {
                let fourth = exp::<F>(0.25 * ln_number);
                let third = WARM_UP.1 * exp::<F>(1.0 / 3.0 * ln_number);
                let laminar = WARM_UP.0 * fourth;
                let up = d * looks < 0.0;
                // Not `&&`, which is a jump.
                let turbulent = up & (third > laminar);
                let nusselt = if up { laminar } else { WARM_DOWN * fourth };
                let nusselt = if turbulent { third } else { nusselt };
                let power = if turbulent { 1.0 / 3.0 } else { 0.25 };
                (nusselt, power * nusselt, 0.0)
            };
            let per = k * self.per_size[b];
            let h = nusselt * per;
            let steeper = fused::<F>(own, prandtl_slope, rayleigh_slope);
            let by_film = 0.5 * d * per * fused::<F>(nusselt, k_slope, power * steeper);
            let by_difference = h + power * per;
            let e = self.radiates[b];
            let (s2, a2) = (s * s, a * a);
            let f = self.factor[b];
            out.heat[b] = f * fused::<F>(h, d, e * (a2 * a2 - s2 * s2));
            out.by_surface[b] = f * (by_film - by_difference - 4.0 * e * s2 * s);
            out.by_air[b] = f * (by_film + by_difference + 4.0 * e * a2 * a);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::super::edge::Film;
    use super::super::face::STANCES;
    use super::super::vector::{Wide, widest};
    use super::*;
    use crate::quantity::Length;
    use std::sync::Arc;

    /// A face's films as a kernel of its own.
    struct Alone<'a> {
        films: &'a Films,
        surface: Each,
        around: Each,
    }

    impl Wide for Alone<'_> {
        type Answer = Fluxes;
        #[inline(always)]
        fn run<const F: bool>(self) -> Fluxes {
            self.films.fluxes::<F>(&self.surface, &self.around)
        }
    }

    #[test]
    fn side_by_side_a_face_gives_what_it_gives_alone() {
        for stance in STANCES {
            let faces: Vec<Surroundings> = [0.02, 0.04, 0.08, 0.15, 0.3, 0.6, 1.0]
                .map(|size| Surroundings {
                    film_factor: 0.5 + size,
                    ..Surroundings::new(stance, Length::from_si(size).unwrap(), 0.9 - 0.5 * size)
                })
                .to_vec();
            let edges: Vec<Edge> = faces
                .iter()
                .map(|s| Edge::new(EdgeLaw::Film(Arc::new(*s), Drive::constant(293.15)), 0.1))
                .collect();
            let films = Films::of(&edges).unwrap();
            for surface in [253.0, 293.0, 293.15, 293.2, 300.0, 340.0, 420.0, 600.0] {
                let all = widest(Alone {
                    films: &films,
                    surface: [surface; BODIES],
                    around: [293.15; BODIES],
                });
                for (b, face) in faces.iter().enumerate() {
                    let (heat, by_surface, by_air) = face.flux(surface, 293.15);
                    for (got, alone, within) in [
                        (all.heat[b], heat, 2e-4),
                        (all.by_surface[b], by_surface, 1e-3),
                        (all.by_air[b], by_air, 1e-3),
                    ] {
                        assert!(
                            (got - alone).abs() <= within * alone.abs(),
                            "{stance:?} {surface} K: {got} side by side, {alone} alone"
                        );
                    }
                }
            }
        }
    }
}
