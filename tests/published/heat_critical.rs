//! Critical size of a reacting mass, found with the transient solver by bisection.
//!
//! Published: D. A. Frank-Kamenetskii, Diffusion and Heat Transfer in Chemical Kinetics, 2nd ed. (1969), chapter VII:
//! critical delta 0.88 (slab), 2.00 (cylinder), 3.32 (sphere); 0.878458, 2 and 3.321992 by solving his equation.
//! His exponential stands for Arrhenius' law in the limit of a high activation energy. The runs here use Arrhenius' law
//! at RT/E = 0.005 and 0.0025 and extrapolate to zero; what is left is of second order, below 3e-4.

use gelwright::cure::{Kinetics, NthOrder, RateConstant, RateLaw};
use gelwright::heat::{Cure, Ended, Face, Geometry, Layer, Thermal, Wall, critical_delta};
use gelwright::quantity::*;
use gelwright::{Cancel, Source, Standing};

const E: f64 = 500e3;
const R: f64 = 8.314_462_618;

fn wall(form: Geometry, t0: f64, delta: f64) -> (Wall, Thermal, Cure) {
    let t = |k: f64| ThermodynamicTemperature::from_si(k).unwrap();
    let (rho, c, k, heat, size) = (1000.0, 1000.0, 0.2, 2e6, 0.01);
    // delta = (E/(R T0²)) rho H r0 L²/k
    let rate = delta * k * R * t0 * t0 / (E * rho * heat * size * size);
    let kinetics = Kinetics {
        law: RateLaw::NthOrder(NthOrder {
            k: RateConstant::at(
                t(t0),
                Frequency::from_si(rate).unwrap(),
                MolarEnergy::from_si(E).unwrap(),
            ),
            n: 1e-9,
        }),
        heat_of_reaction: AvailableEnergy::from_si(heat).unwrap(),
        seed: DegreeOfCure::new(0.0).unwrap(),
        vitrification: None,
        fitted: None,
        source: Source::of(Standing::Invented, "a reactant that is not used up"),
    };
    let thermal = Thermal::new(
        MassDensity::from_si(rho).unwrap(),
        SpecificHeatCapacity::from_si(c).unwrap(),
        ThermalConductivity::from_si(k).unwrap(),
    );
    let cure = Cure::new(kinetics, DegreeOfCure::new(0.9).unwrap());
    let size_q = Length::from_si(size).unwrap();
    let layer = Layer::curing("mass", size_q, thermal, cure.clone(), t(t0));
    let duration = Time::from_si(400.0 * size * size * rho * c / k).unwrap();
    let mut wall = match form {
        Geometry::Plane => Wall::plane(vec![layer], Face::held(t(t0)), Face::Symmetric, duration),
        _ => Wall::inside(
            form,
            size_q,
            vec![layer],
            Face::held(t(t0)),
            Face::Symmetric,
            duration,
        ),
    };
    // The peak of a mass that explodes settles on no cells; that of one that does not, at once.
    wall.peak_within = TemperatureInterval::from_si(20.0).unwrap();
    wall.most_cells = 100;
    (wall, thermal, cure)
}

fn found(form: Geometry, t0: f64) -> f64 {
    let explodes = |delta: f64| {
        let run = wall(form, t0, delta).0.run(Cancel::NEVER).unwrap();
        // Ten times the temperature scale of his theory: no steady state is that hot.
        run.ended == Ended::Runaway || run.peak.temperature.si() - t0 > 10.0 * R * t0 * t0 / E
    };
    let (mut low, mut high) = (0.9 * critical_delta(form), 1.15 * critical_delta(form));
    assert!(!explodes(low) && explodes(high), "{form:?}");
    while high - low > 1e-4 * high {
        let mid = 0.5 * (low + high);
        if explodes(mid) { high = mid } else { low = mid }
    }
    0.5 * (low + high)
}

#[test]
fn critical_delta_of_slab_cylinder_and_sphere() {
    for (form, published) in [
        (Geometry::Plane, 0.878_458),
        (Geometry::Cylinder, 2.0),
        (Geometry::Sphere, 3.321_992),
    ] {
        let (warm, cold) = (found(form, 300.0), found(form, 150.0));
        let limit = 2.0 * cold - warm;
        println!("{form:?}: {warm} {cold} -> {limit}");
        assert!(
            (limit / published - 1.0).abs() < 1e-3,
            "{form:?}: {limit} against {published}"
        );
    }
}

#[test]
fn critical_size_is_the_size_at_which_the_transient_turns() {
    // At delta = its critical value the answer must be the size of the wall that was built with it.
    for form in [Geometry::Plane, Geometry::Cylinder, Geometry::Sphere] {
        let (_, thermal, cure) = wall(form, 300.0, critical_delta(form));
        let held = ThermodynamicTemperature::from_si(300.0).unwrap();
        let size = cure
            .critical_size(&thermal, held, form)
            .unwrap()
            .critical_size
            .si();
        assert!((size / 0.02 - 1.0).abs() < 1e-6, "{form:?}: {size}");
    }
}
