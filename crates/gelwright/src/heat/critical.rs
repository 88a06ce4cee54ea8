//! Critical size of a reacting mass: beyond it, heat can not get out as fast as it is set free.
//!
//! D. A. Frank-Kamenetskii, *Diffusion and Heat Transfer in Chemical Kinetics*, 2nd ed. (1969), chapter VII: with
//! the face held at `T0` and the reactant not yet used up, a steady state exists only while
//! `delta = (d ln r/dT) rho H r L² / k` stays below 0.878458 (slab, `L` half its thickness), 2 (cylinder, radius),
//! 3.321992 (sphere, radius); `r` is the rate at `T0`.

use super::chemistry::{Derivatives, Law, Rates};
use super::geometry::Geometry;
use super::layer::{Cure, Thermal};
use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{DegreeOfCure, Length, Quantity, ThermodynamicTemperature, show};
use crate::source::{Source, Why};

/// Critical value of the Frank-Kamenetskii parameter.
pub fn critical_delta(form: Geometry) -> f64 {
    match form {
        Geometry::Plane => 0.878_458,
        Geometry::Cylinder => 2.0,
        Geometry::Sphere => 3.321_992,
    }
}

/// Size from which on a mass of mix can not give off its heat.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CriticalSize {
    /// Thickness of a slab, diameter of a cylinder or a sphere: smaller can not run away with its face at the
    /// temperature of the surroundings.
    pub critical_size: Length,
    /// Conversion at which it reacts fastest at that temperature; the criterion is taken there.
    pub fastest_at: DegreeOfCure,
    /// What a larger mass may do.
    pub cautions: Vec<String>,
    /// Outside the fitted range of the kinetics.
    pub extrapolated: Option<String>,
    /// Equation and source.
    pub why: Why,
}

/// Steepest `dr/dT` over conversion at `t` K, 1/(s K), and the conversion.
fn steepest(law: &Law, seed: f64, t: f64) -> (f64, f64) {
    let mut best = (0.0, seed);
    for j in 0..400 {
        let a = seed + (1.0 - seed) * f64::from(j) / 400.0;
        for second in [0.25, 0.5, 0.75, 0.95] {
            let (mut rate, mut by_t) = ([0.0], [0.0]);
            let (mut x, mut y, mut z, mut u, mut v) = ([0.0], [0.0], [0.0], [0.0], [0.0]);
            law.slopes::<false>(
                &mut Rates {
                    temperature: &[t],
                    cure: &[a],
                    second: &[second],
                    rate: &mut rate,
                    second_rate: &mut x,
                },
                &mut Derivatives {
                    by_cure: &mut y,
                    by_second: &mut z,
                    by_temperature: &mut by_t,
                    second_by_second: &mut u,
                    second_by_temperature: &mut v,
                },
            );
            if by_t[0] > best.0 {
                best = (by_t[0], a);
            }
        }
    }
    best
}

#[questions]
impl Cure {
    /// Size beyond which a mass of mix can not give off its heat fast enough (Frank-Kamenetskii).
    ///
    /// `L = sqrt(delta_c k / (rho H max dr/dT))`, given as thickness or diameter `2 L`. Conservative: the rate is taken
    /// at the conversion where it is largest, and use of reactant is neglected.
    ///
    /// # Errors
    /// As layer and kinetics refuse; `NoSolution` for a mix that sets no heat free.
    #[question("heat.critical_size")]
    pub fn critical_size(
        &self,
        /// Heat capacity and conduction of the mix.
        thermal: &Thermal,
        /// Temperature at which its face is held.
        #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
        surroundings: ThermodynamicTemperature,
        /// Slab, cylinder or sphere.
        #[noun(default)]
        form: Geometry,
    ) -> Result<CriticalSize> {
        noun::check(thermal).map_err(|e| e.within("thermal"))?;
        thermal.check().map_err(|e| e.within("thermal"))?;
        noun::check(self)?;
        let kernel = self.check()?;
        let t0 = surroundings.si();
        let law = Law::from(&kernel);
        let (by_t, a) = steepest(&law, kernel.seed, t0);
        let heat = thermal.density.si() * self.heat_per_mass();
        if by_t * heat <= 0.0 {
            return Err(Error::no_solution(
                "cure",
                "a critical size",
                "none: it sets no heat free at this temperature",
                "any size is safe from self-heating",
            ));
        }
        let half = (critical_delta(form) * thermal.conductivity.si() / (heat * by_t)).sqrt();
        let size = Length::from_si(2.0 * half)?;
        let noun = match form {
            Geometry::Plane => "thickness",
            Geometry::Cylinder | Geometry::Sphere => "diameter",
        };
        Ok(CriticalSize {
            critical_size: size,
            fastest_at: DegreeOfCure::new(a)?,
            cautions: vec![format!(
                "a mass beyond {} {noun} keeps more heat than it gives off and can smoke or catch fire; spread leftover mix \
                 or cool it in water, outdoors. Follow the product's data sheet.",
                show(size)
            )],
            extrapolated: self.kinetics.outside_fitted(surroundings, surroundings),
            why: Why::computed(
                format!("critical {noun}"),
                show(size),
                "2 sqrt(delta_c k / (rho H max dr/dT))",
                vec![
                    Why::given("delta_c", critical_delta(form).to_string()),
                    Why::given("conductivity", show(thermal.conductivity)),
                    Why::given("heat of reaction", show(self.kinetics.heat_of_reaction))
                        .with_source(&self.kinetics.source),
                    Why::given("face held at", show(surroundings)),
                ],
            )
            .with_source(&Source::published(
                "D. A. Frank-Kamenetskii",
                "Diffusion and Heat Transfer in Chemical Kinetics",
                1969,
                "chapter VII",
            )),
        })
    }
}
