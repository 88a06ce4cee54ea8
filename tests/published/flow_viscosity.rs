//! Viscosity of fillers, of reacting resin and with temperature.

use gelwright::ErrorKind;
use gelwright::flow::{
    ChemoViscosity, Chop, Strand, Suspension, SuspensionModel, ViscosityHistory, ViscosityReading,
    ViscosityTemperature, filled, sphere_packing,
};
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn close(got: f64, expected: f64, rel: f64, what: &str) {
    assert!(
        (got - expected).abs() <= rel * expected.abs(),
        "{what}: {got} against {expected}"
    );
}

#[test]
fn krieger_dougherty_and_maron_pierce_points() {
    // Independent computation (Python, the equations of Krieger and Dougherty 1959 and Maron and Pierce 1956) at
    // phi_m = 0.64, [eta] = 2.5; printed to four figures, hence the tolerance.
    let points = [(0.1, 1.312, 1.405), (0.3, 2.751, 3.543), (0.5, 11.378, 20.898)];
    for (phi, kd, mp) in points {
        let phi = VolumeFraction::new(phi).unwrap();
        close(
            SuspensionModel::SPHERES
                .relative(phi, sphere_packing())
                .unwrap()
                .0,
            kd,
            5e-4,
            "Krieger-Dougherty",
        );
        close(
            SuspensionModel::MaronPierce
                .relative(phi, sphere_packing())
                .unwrap()
                .0,
            mp,
            5e-4,
            "Maron-Pierce",
        );
    }
}

#[test]
fn dilute_suspensions_follow_einstein() {
    // Analytic: every law with [eta] = 2.5 starts as 1 + 2.5 phi (A. Einstein, 1911); the next term is of order phi^2.
    let phi = VolumeFraction::new(1e-4).unwrap();
    let (e, _) = SuspensionModel::Einstein.relative(phi, sphere_packing()).unwrap();
    let (kd, _) = SuspensionModel::SPHERES.relative(phi, sphere_packing()).unwrap();
    assert!((kd - e).abs() < 1e-7);
    assert!((e - 1.00025).abs() < 1e-12);
}

#[test]
fn beyond_the_range_is_marked_and_beyond_packing_refused() {
    let eta = q::<DynamicViscosity>("450 mPa*s");
    let e = filled(eta, q("70 vol%"), sphere_packing(), SuspensionModel::SPHERES).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "solids"), "{e}");
    let far = filled(eta, q("10 vol%"), sphere_packing(), SuspensionModel::Einstein).unwrap();
    assert!(far.extrapolated.unwrap().contains("Einstein"));
}

#[test]
fn castro_macosko_polyurethane() {
    // Constants of a reaction-moulded polyurethane after J. M. Castro, C. W. Macosko, AIChE J. 28, 250 (1982), from
    // memory: eta0 = 1.03e-7 exp(41.3e3/RT) Pa s, A = 1.5, B = 1, a_gel = 0.65. Expected values: independent
    // computation (Python) of the equation at 50 degC; eta0 = 0.48812 Pa s, at a = 0.3: ratio (0.65/0.35)^1.8.
    let t = temperature::celsius(50.0);
    let eta0 = 1.03e-7 * (41.3e3_f64 / (8.314_462_618 * 323.15)).exp();
    let model = ChemoViscosity {
        unreacted: ViscosityTemperature {
            viscosity: DynamicViscosity::from_si(eta0).unwrap(),
            at: t,
            energy: q("41.3 kJ/mol"),
            fitted_from: q("30 degC"),
            fitted_to: q("90 degC"),
        },
        gel_conversion: q("65 %"),
        a: 1.5,
        b: 1.0,
    };
    close(
        model.at(t, q("0 %")).unwrap().unwrap().si(),
        0.488_118_2,
        1e-5,
        "unreacted",
    );
    close(
        model.at(t, q("30 %")).unwrap().unwrap().si(),
        0.488_118_2 * 3.047_345,
        1e-5,
        "at 30 %",
    );
    // 90 degC, unreacted: 1.03e-7 exp(41.3e3/(8.3145 363.15)) = 0.089788
    close(
        model
            .at(temperature::celsius(90.0), q("0 %"))
            .unwrap()
            .unwrap()
            .si(),
        0.089_787_5,
        1e-5,
        "hot",
    );
    assert!(model.at(t, q("65 %")).unwrap().is_none(), "gelled");
}

fn read_at(temperature: &str, viscosity: &str) -> ViscosityReading {
    ViscosityReading {
        temperature: q(temperature),
        viscosity: q(viscosity),
    }
}

#[test]
fn two_readings_give_the_activation_energy() {
    // Analytic: viscosity halving from 20 to 30 degC has E = R ln 2/(1/293.15 - 1/303.15) = 51.22 kJ/mol.
    let law = ViscosityTemperature::from_two_readings([
        read_at("20 degC", "800 mPa*s"),
        read_at("30 degC", "400 mPa*s"),
    ])
    .unwrap();
    close(law.energy.si(), 51_216.17, 1e-6, "activation energy");
    close(
        law.at(q("20 degC")).unwrap().viscosity.si(),
        0.8,
        1e-12,
        "first reading",
    );
    assert!(law.at(q("22 degC")).unwrap().extrapolated.is_none());
    assert!(law.at(q("5 degC")).unwrap().extrapolated.is_some());
    let e = ViscosityTemperature::from_two_readings([
        read_at("20 degC", "400 mPa*s"),
        read_at("30 degC", "800 mPa*s"),
    ])
    .unwrap_err();
    assert_eq!(e.kind(), ErrorKind::Inconsistent, "{e}");
}

#[test]
fn long_strands_jam_sooner_than_short_ones() {
    // A. P. Philipse, Langmuir 12, 1127 (1996), from memory: volume fraction times aspect ratio is 5.4 +- 0.2.
    // 200 filaments of 13 um at 60 vol%: D = 13 um sqrt(200/0.6) = 237 um (analytic); 12 mm: r = 50.6, phi_m = 0.064.
    let strand = Strand {
        length: q("12 mm"),
        filament: q("13 um"),
        filaments: 200,
        glass_in_strand: Some(q("60 vol%")),
    };
    let d = strand.diameter().unwrap();
    close(d.si(), 237.3e-6, 1e-3, "strand");
    let chop = Chop {
        length: q("12 mm"),
        strand_diameter: d,
        glass_in_strand: q("60 vol%"),
    };
    assert_eq!(strand.chop().unwrap(), chop);
    close(
        chop.packing().unwrap().packing.get(),
        0.6 * 5.4 / 50.56,
        1e-3,
        "packing",
    );
    let short = Chop {
        length: q("3 mm"),
        ..chop
    };
    let packed = short.packing().unwrap();
    assert!(packed.packing.get() > chop.packing().unwrap().packing.get());
    assert!(packed.extrapolated.unwrap().contains("aspect ratio"));
}

#[test]
fn a_batch_stops_wetting_out_before_it_gels() {
    // Analytic: 0.4 Pa s (1 - t/20 min)^-2 reaches 1 Pa s at t = 20 (1 - sqrt 0.4) = 7.351 min, 0.8 at 5.858 min.
    let h = ViscosityHistory::ToGel {
        viscosity: q("400 mPa*s"),
        gel_time: q("20 min"),
        exponent: 2.0,
    };
    let w = h.wet_out(q("1 Pa*s")).unwrap();
    close(w.wets_out_until.unwrap().si(), 441.05, 1e-4, "wet-out");
    close(w.doubled_at.unwrap().si(), 351.47, 1e-4, "doubling");
    let thick = ViscosityHistory::Constant {
        viscosity: q("3 Pa*s"),
        time: q("20 min"),
    };
    assert!(thick.wet_out(q("1 Pa*s")).unwrap().wets_out_until.is_none());
}

#[test]
fn what_changes_nothing_is_refused() {
    let resin = Suspension {
        readings: [read_at("20 degC", "800 mPa*s"), read_at("30 degC", "400 mPa*s")],
        temperature: q("25 degC"),
        solids: None,
        packing: Some(q("60 vol%")),
        chop: None,
        model: None,
    };
    let e = resin.viscosity().unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "packing"), "{e}");
    let filled = Suspension {
        solids: Some(q("20 vol%")),
        ..resin
    };
    assert!(filled.viscosity().unwrap().relative > 1.0);
}

#[test]
fn a_value_made_in_rust_is_checked_as_a_document_is() {
    // A viscosity of zero, and a time that is no number: no answer but a refusal that names the field.
    let dry = ViscosityHistory::Constant {
        viscosity: q("0 Pa*s"),
        time: q("20 min"),
    };
    let e = dry.wet_out(q("1 Pa*s")).unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::OutOfRange, "constant.viscosity"),
        "{e}"
    );
    let lost = ViscosityHistory::Series {
        time_s: vec![0.0, f64::NAN],
        viscosity_pa_s: vec![0.4, 0.5],
    };
    assert_eq!(lost.check().unwrap_err().kind(), ErrorKind::NotFinite);
}
