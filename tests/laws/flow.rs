//! Laws of flow before gel.

use gelwright::flow::*;
use gelwright::quantity::*;
use proptest::prelude::*;

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

fn constant(eta: f64, t: f64) -> ViscosityHistory {
    ViscosityHistory::Constant {
        viscosity: si(eta),
        time: si(t),
    }
}

fn strip(force: f64, eta: f64, t: f64, tau: f64, glass: f64) -> SqueezeOut {
    SqueezeOut {
        joint: Joint::Strip {
            width: si(0.025),
            length: si(0.1),
        },
        force: Some(si(force)),
        pressure: None,
        bead_height: si(3e-3),
        bead_volume: None,
        viscosity: constant(eta, t),
        yield_stress: si(tau),
        chop: Some(ChopInBead {
            glass: si(glass),
            length: si(0.012),
            bed: FibreBed::default(),
        }),
        faces_touch_at: si(0.0),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn squeeze_out_conserves_volume(
        force in 1.0f64..500.0, eta in 0.5f64..200.0, t in 1.0f64..3000.0, tau in 0.0f64..300.0,
        glass in 0.0f64..0.15, fill in 0.2f64..1.0,
    ) {
        let mut s = strip(force, eta, t, tau, glass);
        s.bead_volume = Some(si(fill * 0.025 * 0.1 * 3e-3));
        let r = s.squeezed().unwrap();
        let (bead, left, out) = (r.bead.si(), r.left.si(), r.squeezed_out.si());
        prop_assert!((left + out - bead).abs() <= 1e-12 * bead);
        prop_assert!(out >= 0.0 && left > 0.0);
        prop_assert!(r.wetted <= 1.0 && r.wetted >= fill * 0.999);
        // what is left lies between the wetted faces
        prop_assert!((left - r.wetted * 0.0025 * r.thickness.si()).abs() <= 1e-9 * bead);
        prop_assert!(r.thickness.si() <= 3e-3 && r.thickness.si() >= r.rest_thickness.si() * (1.0 - 1e-9));
        prop_assert!((s.thickness().unwrap().si() - r.thickness.si()).abs() <= 1e-12);
        // the path only falls
        prop_assert!(r.thickness_m.windows(2).all(|w| w[1] <= w[0]));
        prop_assert!(r.time_s.windows(2).all(|w| w[1] >= w[0]));
    }

    #[test]
    fn harder_longer_thinner(
        force in 1.0f64..200.0, eta in 0.5f64..200.0, t in 1.0f64..1000.0, tau in 0.0f64..300.0,
        glass in 0.0f64..0.1, more in 1.05f64..4.0,
    ) {
        let h = |s: SqueezeOut| s.thickness().unwrap().si();
        let here = h(strip(force, eta, t, tau, glass));
        prop_assert!(h(strip(force * more, eta, t, tau, glass)) <= here * (1.0 + 1e-9), "force");
        prop_assert!(h(strip(force, eta, t * more, tau, glass)) <= here * (1.0 + 1e-9), "time");
        prop_assert!(h(strip(force, eta * more, t, tau, glass)) >= here * (1.0 - 1e-9), "viscosity");
        prop_assert!(h(strip(force, eta, t, tau * more, glass)) >= here * (1.0 - 1e-9), "yield stress");
        prop_assert!(h(strip(force, eta, t, tau, glass * more)) >= here * (1.0 - 1e-9), "chop");
        // only force x time / viscosity counts while nothing carries the clamp
        let newtonian = h(strip(force, eta, t, 0.0, 0.0));
        prop_assert!((h(strip(force * more, eta * more, t, 0.0, 0.0)) / newtonian - 1.0).abs() < 1e-9);
        prop_assert!((h(strip(force * more, eta, t / more, 0.0, 0.0)) / newtonian - 1.0).abs() < 1e-9);
    }

    #[test]
    fn stefan_s_time_goes_with_one_over_force(force in 1.0f64..500.0, k in 1.1f64..10.0, target in 0.1f64..0.9) {
        let time = |f: f64| {
            let mut s = strip(f, 5.0, 60.0, 0.0, 0.0);
            s.joint = Joint::Disc { radius: si(0.03) };
            closing_time(&s, si(3e-3 * target)).unwrap().unwrap().si()
        };
        prop_assert!((time(force) / time(force * k) / k - 1.0).abs() < 1e-9);
        // Stefan in closed form
        let h = 3e-3 * target;
        let stefan = 3.0 * std::f64::consts::PI * 5.0 * 0.03f64.powi(4) / (4.0 * force) * (1.0 / (h * h) - 1.0 / 9e-6);
        prop_assert!((time(force) / stefan - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_hardest_clamp_leaves_just_that(
        eta in 5.0f64..200.0, t in 60.0f64..3000.0, tau in 0.0f64..300.0, glass in 0.0f64..0.1, wanted in 0.2f64..0.9,
    ) {
        let s = SqueezeOut { force: None, ..strip(1.0, eta, t, tau, glass) };
        if let Ok(limit) = s.hardest_clamp(si(3e-3 * wanted)) {
            let back = strip(limit.force.si(), eta, t, tau, glass).thickness().unwrap().si();
            prop_assert!((back / (3e-3 * wanted) - 1.0).abs() < 1e-6, "{back}");
        }
    }

    #[test]
    fn the_least_chop_keeps_just_that(force in 20.0f64..500.0, wanted in 0.2f64..0.7) {
        let s = SqueezeOut { chop: None, ..strip(force, 5.0, 1200.0, 50.0, 0.0) };
        let least = s.least_chop(si(0.012), FibreBed::default(), si(3e-3 * wanted)).unwrap();
        let back = strip(force, 5.0, 1200.0, 50.0, least.glass.get()).thickness().unwrap().si();
        prop_assert!((back / (3e-3 * wanted) - 1.0).abs() < 1e-6, "{back}");
    }
}

proptest! {
    #[test]
    fn more_silica_never_lowers_the_yield_stress(a in 0.0f64..0.29, b in 0.0f64..0.29) {
        let law = YieldLawChoice::CommonPractice;
        let tau = |w: f64| Paste::of(si(w), &law).unwrap().yield_stress.si();
        let (low, high) = (a.min(b), a.max(b));
        prop_assert!(tau(low) <= tau(high));
        // a bead that stays on a steep slope stays on a flatter one
        let sags = |slope: f64| {
            let bead = Bead {
                height: si(4e-3), slope: si(slope), density: si(1150.0), margin: 1.0, law: law.clone(),
            };
            !bead.sag(si(high)).unwrap().stays
        };
        prop_assert!(sags(1.5) >= sags(0.4));
    }

    #[test]
    fn silica_and_yield_stress_are_inverse(tau in 0.5f64..2000.0) {
        let law = YieldLaw::common_practice();
        let (w, _) = law.silica_for(si(tau)).unwrap();
        prop_assert!((Paste::of(w, &law.into()).unwrap().yield_stress.si() / tau - 1.0).abs() < 1e-9);
    }

    #[test]
    fn more_solids_are_never_thinner_and_packing_is_a_wall(a in 0.0f64..0.639, b in 0.0f64..0.639) {
        for model in [SuspensionModel::Einstein, SuspensionModel::SPHERES, SuspensionModel::MaronPierce] {
            let ratio = |phi: f64| model.relative(si(phi), sphere_packing()).unwrap().0;
            prop_assert!(ratio(a.min(b)) <= ratio(a.max(b)));
            prop_assert!(ratio(a) >= 1.0 && ratio(a).is_finite());
        }
        prop_assert!(SuspensionModel::SPHERES.relative(si(0.64), sphere_packing()).is_err());
    }

    #[test]
    fn resin_thins_as_it_warms(e in 1e4f64..9e4, t in 260.0f64..350.0, dt in 0.1f64..40.0) {
        let law = ViscosityTemperature {
            viscosity: si(0.5), at: si(293.15), energy: si(e), fitted_from: si(283.15), fitted_to: si(303.15),
        };
        prop_assert!(law.at(si(t + dt)).unwrap().viscosity.si() < law.at(si(t)).unwrap().viscosity.si());
    }

    #[test]
    fn a_series_and_its_law_flow_alike(eta in 0.1f64..5.0, gel in 300.0f64..4000.0) {
        // a finely sampled series of a law drains like the law; 2e-3 from the sampling near gel
        let law = ViscosityHistory::ToGel { viscosity: si(eta), gel_time: si(gel), exponent: 2.0 };
        let time_s: Vec<f64> = (0..400).map(|i| gel * f64::from(i) / 400.0).collect();
        let viscosity_pa_s = time_s.iter().map(|t| law.at(si(*t)).unwrap().unwrap().si()).collect();
        let series = ViscosityHistory::Series { time_s, viscosity_pa_s };
        let film = |viscosity: ViscosityHistory| {
            Drain {
                thickness: si(5e-4), slope: si(1.4), face: si(0.3), density: si(1100.0), viscosity, yield_stress: si(0.0),
            }.drained().unwrap().mean.si()
        };
        prop_assert!((film(law) / film(series) - 1.0).abs() < 2e-3);
    }

    #[test]
    fn nothing_runs_up_a_wall(h in 1e-4f64..3e-3, eta in 0.1f64..20.0, t in 1.0f64..4000.0, tau in 0.0f64..60.0, slope in 0.0f64..1.57) {
        let d = Drain {
            thickness: si(h), slope: si(slope), face: si(0.3), density: si(1100.0),
            viscosity: constant(eta, t), yield_stress: si(tau),
        }.drained().unwrap();
        prop_assert!(d.run_off >= -1e-12 && d.run_off < 1.0);
        prop_assert!(d.at_bottom.si() <= h && d.near_top.si() <= d.at_bottom.si());
        // the mean of the profile is the mean told
        let m = &d.thickness_m;
        let trapezoid = (m.iter().sum::<f64>() - 0.5 * (m[0] + m[m.len() - 1])) / 40.0;
        prop_assert!((trapezoid - d.mean.si()).abs() < 0.02 * h, "{trapezoid} {}", d.mean.si());
    }

    #[test]
    fn filler_is_neither_made_nor_lost(
        d in 5e-6f64..2e-4, rho in 200.0f64..4000.0, phi in 0.0f64..0.59, eta in 0.1f64..10.0, t in 10.0f64..5000.0,
    ) {
        let s = Settling {
            diameter: si(d), grain_density: si(rho), resin_density: si(1100.0), filler: si(phi), depth: si(0.03),
            viscosity: constant(eta, t), yield_stress: si(0.0), settled_packing: si(0.6),
        }.settled().unwrap();
        let suspended = 0.03 - s.clear_layer.si() - s.packed_layer.si();
        prop_assert!(suspended >= -1e-12);
        prop_assert!((phi * suspended + 0.6 * s.packed_layer.si() - phi * 0.03).abs() < 1e-12);
        prop_assert!((0.0..=1.0).contains(&s.clear_fraction));
    }
}
