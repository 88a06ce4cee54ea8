//! Laws of the mix: equivalents balance, blends lie between their parts, ratios return, doses scale, sampling meets first
//! order.

use gelwright::mix::batch::MeasuredBy;
use gelwright::mix::bench::DropperCalibration;
use gelwright::mix::dosing::Dosing;
use gelwright::mix::drops::DropperTip;
use gelwright::mix::epoxy::EpoxySystem;
use gelwright::mix::filler::{
    Component, FilledMix, mass_fraction, mass_fraction_of_phr, phr_of, volume_fraction,
};
use gelwright::mix::polyurethane::{PolyolPart, PolyurethaneConstants, PolyurethaneSystem, foaming};
use gelwright::mix::rescue::{CureBy, Left, MixedCup, Outcome, largest_batch};
use gelwright::mix::stoichiometry::{
    LiquidDensity, SidePart, by_mass, by_volume, equivalent_mass, equivalents,
};
use gelwright::mix::{Bench, Dose, Dropper};
use gelwright::quantity::{self, *};
use proptest::prelude::*;

fn q<Q: Quantity>(text: &str) -> Q {
    quantity::parse("x", text).unwrap()
}
fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

proptest! {
    #[test]
    fn a_blend_lies_between_its_parts(m1 in 0.01f64..10.0, m2 in 0.01f64..10.0, e1 in 0.02f64..2.0, e2 in 0.02f64..2.0, inert in 0.0f64..10.0) {
        let parts = |filler: f64| vec![
            SidePart::reactive("a", si(m1), si(e1)),
            SidePart::reactive("b", si(m2), si(e2)),
            SidePart::inert("filler", si(filler)),
        ];
        let blend = equivalent_mass(&parts(0.0)).unwrap().si();
        prop_assert!(blend >= e1.min(e2) * (1.0 - 1e-12) && blend <= e1.max(e2) * (1.0 + 1e-12));
        // a filler adds mass and no groups
        let filled = parts(inert);
        prop_assert!(equivalent_mass(&filled).unwrap().si() >= blend * (1.0 - 1e-12));
        prop_assert!(same(equivalents(&filled).unwrap().si(), equivalents(&parts(0.0)).unwrap().si()));
    }

    #[test]
    fn equivalents_balance(eew in 0.1f64..2.0, ahew in 0.015f64..0.4, r in 0.5f64..1.5) {
        let side = |e| vec![SidePart::reactive("side", q("1 kg"), si(e))];
        let mut system = EpoxySystem::new(side(eew), side(ahew));
        system.stoichiometric_ratio = si(r);
        let phr = system.ratio().unwrap().hardener;
        // groups on both sides: 1 kg of resin against phr/100 kg of hardener
        prop_assert!(same((phr.get() / 100.0 / ahew) / (1.0 / eew), r));
        system.sheet_by_mass = Some(phr);
        prop_assert!(same(system.ratio().unwrap().sheet_by_mass.unwrap().stoichiometric_ratio.get(), r));
    }

    #[test]
    fn isocyanate_balances_hydroxyl_and_water(oh in 20.0f64..800.0, nco in 0.05f64..0.5, index in 0.8f64..1.3, water in 0.0f64..0.01, m in 0.01f64..10.0) {
        let density = LiquidDensity { density: si(1050.0), measured_at: q("20 degC"), expansion: si(0.0) };
        let system = PolyurethaneSystem {
            polyol: vec![PolyolPart { name: String::new(), mass: si(m), hydroxyl_number: Some(si(oh)), water: Some(si(water)) }],
            nco_content: si(nco),
            index: si(index),
            constants: PolyurethaneConstants::default(),
            polyol_density: density,
            isocyanate_density: density,
            temperature: q("20 degC"),
            pressure: q("1 atm"),
            sheet_by_volume: None,
            sheet_by_mass: None,
        };
        let r = system.ratio().unwrap();
        let nco_groups = r.isocyanate.si() * nco / 0.042;
        let hydroxyl = m * oh / 56.1;
        let from_water = m * water / 9.0075e-3;
        prop_assert!(same(nco_groups, index * (hydroxyl + from_water)));
        prop_assert!(same(system.index_of(r.isocyanate).unwrap().get(), index));
        prop_assert!(r.isocyanate_on_polyol_if_dry.get() <= r.isocyanate_on_polyol.get() * (1.0 + 1e-12));
        // double the batch, double the gas, the same growth
        let double = foaming(si(2.0 * r.water.si()), si(2e-3), q("20 degC"), q("1 atm")).unwrap();
        let single = foaming(r.water, si(1e-3), q("20 degC"), q("1 atm")).unwrap();
        prop_assert!(same(double.gas_volume.si(), 2.0 * single.gas_volume.si()));
        prop_assert!(same(double.growth.get(), single.growth.get()));
    }

    #[test]
    fn ratios_return(p in 0.1f64..500.0, a in 500.0f64..3000.0, b in 500.0f64..3000.0, w in 0.0f64..0.99) {
        let v = by_volume(si(p), si(a), si(b)).unwrap();
        prop_assert!(same(by_mass(v, si(a), si(b)).unwrap().get(), p));
        let phi = volume_fraction(si(w), si(a), si(b)).unwrap();
        prop_assert!((mass_fraction(phi, si(a), si(b)).unwrap().get() - w).abs() < 1e-12);
        let phr = phr_of(si(w)).unwrap();
        prop_assert!((mass_fraction_of_phr(phr).unwrap().get() - w).abs() < 1e-12);
    }

    #[test]
    fn every_basis_of_a_dose_is_the_same_dose(p in 0.05f64..20.0, rho_r in 900.0f64..1300.0, rho_d in 900.0f64..1300.0) {
        let dose = Dose::phr(p).unwrap();
        let dropper = Dropper::uncalibrated();
        let (r, d) = (si(rho_r), si(rho_d));
        let by_volume = Dose::ByVolume(dose.as_parts_by_volume(r, d, None).unwrap());
        let per_mass = Dose::VolumePerMass(dose.as_volume_per_mass(r, d, None).unwrap());
        for other in [by_volume, per_mass] {
            prop_assert!(same(other.as_phr(r, d, None).unwrap().get(), p));
        }
        // the volume of the dose in drops, counted back
        let mass = dose.mass_for(si(0.5), r, d, None).unwrap();
        let n = dropper.drops_for(mass / MassDensity::from_si(rho_d).unwrap()).unwrap();
        prop_assert!(same(n * dropper.drop_volume.si() * rho_d, mass.si()));
    }

    #[test]
    fn doses_scale(p in 0.0f64..20.0, m in 1e-3f64..100.0, k in 0.1f64..10.0) {
        let dose = Dose::phr(p).unwrap();
        let (r, d) = (q("1.1 g/mL"), q("1.15 g/mL"));
        let one = dose.mass_for(si(m), r, d, None).unwrap().si();
        prop_assert!(same(dose.mass_for(si(k * m), r, d, None).unwrap().si(), k * one));
        prop_assert!(same(Dose::phr(k * p).unwrap().mass_for(si(m), r, d, None).unwrap().si(), k * one));
    }

    #[test]
    fn a_dose_written_reads_back(p in 0.0f64..100.0, n in 0u32..200, per in 0.1f64..1000.0) {
        let all = [
            Dose::phr(p).unwrap(),
            Dose::ByVolume(si(p / 100.0)),
            Dose::VolumePerMass(si(p * 1e-6)),
            Dose::Drops(gelwright::mix::dose::DropRate::new(n.into(), si(per * 1e-6)).unwrap()),
        ];
        for d in all {
            let text = d.to_string();
            prop_assert_eq!(text.parse::<Dose>().map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?, d, "{}", text);
        }
    }

    #[test]
    fn a_mix_is_the_sum_of_its_parts(m1 in 0.01f64..10.0, m2 in 0.0f64..3.0, r1 in 900.0f64..1300.0, r2 in 150.0f64..3000.0, air in 0.0f64..0.2) {
        let part = |m: f64, r: f64, filler| Component { name: String::new(), mass: si(m), density: si(r), price: None, filler, max_packing: None };
        let parts = [part(m1, r1, false), part(m2, r2, true)];
        let mix = FilledMix { components: parts.to_vec(), air: si(air) }.properties().unwrap();
        prop_assert!(same(mix.mass.si(), m1 + m2) && same(mix.volume.si(), m1 / r1 + m2 / r2));
        prop_assert!(mix.density.si() <= r1.max(r2) * (1.0 + 1e-12) && mix.density.si() >= r1.min(r2) * (1.0 - 1e-12));
        let mass: f64 = mix.shares.iter().map(|s| s.mass_fraction.get()).sum();
        let volume: f64 = mix.shares.iter().map(|s| s.volume_fraction.get()).sum();
        prop_assert!((mass - 1.0).abs() < 1e-12 && (volume - 1.0).abs() < 1e-12);
        // air changes volume, not mass
        prop_assert!(same(mix.density_with_air.si() * mix.volume_with_air.si(), mix.mass.si()));
    }

    #[test]
    fn a_wider_tip_and_a_higher_tension_make_a_heavier_drop(r in 0.5f64..3.0, s in 20.0f64..73.0) {
        let drop = |r: f64, s: f64| {
            let tip = DropperTip { tip_radius: si(r * 1e-3), surface_tension: si(s * 1e-3), density: q("1 g/mL") };
            tip.drop_mass().map(|d| d.mass.si())
        };
        if let (Ok(a), Ok(wider), Ok(tenser)) = (drop(r, s), drop(1.1 * r, s), drop(r, 1.1 * s)) {
            prop_assert!(wider > a && tenser > a);
        }
    }

    #[test]
    fn the_largest_batch_empties_one_tin_and_overdraws_none(left in prop::collection::vec((0.0f64..10.0, 0.1f64..200.0), 1..6), k in 0.1f64..10.0) {
        let parts = |f: f64| left.iter().map(|(m, p)| Left { name: "part".into(), left: si(f * m), on_resin: si(*p) }).collect::<Vec<_>>();
        let b = largest_batch(&parts(1.0)).unwrap();
        let total: f64 = b.parts.iter().map(|d| d.takes.si()).sum();
        prop_assert!(same(total, b.mass.si()));
        prop_assert!(b.parts.iter().zip(&left).all(|(d, (m, _))| d.takes.si() <= m * (1.0 + 1e-9)));
        prop_assert!(b.parts.iter().any(|d| d.stays.si() <= 1e-9));
        prop_assert!(same(largest_batch(&parts(k)).unwrap().mass.si(), k * b.mass.si()));
    }

    #[test]
    fn a_rescued_cup_is_inside_the_window(resin in 0.05f64..5.0, dose in 0.0f64..20.0, spare in 0.0f64..20.0) {
        let cup = MixedCup {
            cures_by: CureBy::TwoPart,
            resin: si(resin), added: si(resin * dose / 100.0), wanted: q("2 phr"), lowest: q("1.5 phr"), highest: q("2.5 phr"),
            resin_to_spare: Some(si(spare)), hardener_to_spare: Some(si(spare)), since_mixing: None, working_time: None,
        };
        let r = cup.rescue().unwrap();
        prop_assert!(same(r.dose.get(), dose) || dose == 0.0);
        if r.outcome != Outcome::Lost {
            prop_assert!(r.dose_after.get() > 1.5 * (1.0 - 1e-6) && r.dose_after.get() < 2.5 * (1.0 + 1e-6));
            prop_assert!(r.add_resin.si() <= spare * (1.0 + 1e-9) && r.add_hardener.si() <= spare * (1.0 + 1e-9));
            // never both
            prop_assert!(r.add_resin.si() == 0.0 || r.add_hardener.si() == 0.0);
        } else {
            prop_assert!(r.add_resin.si() == 0.0 && r.add_hardener.si() == 0.0);
        }
    }

    #[test]
    fn a_larger_batch_is_dosed_more_surely(m in 0.01f64..1.0, p in 0.5f64..5.0) {
        let mut bench = Bench::with_scale(q("0.1 g"));
        bench.dropper = Some(DropperCalibration {
            drops: 100, mass: q("3.3 g"), density: q("1.15 g/mL"), readability: q("0.1 g"), drop_spread: q("10 %"),
        }.dropper().unwrap().dropper);
        let dosing = Dosing { dose: si(p), dose_density: q("1.15 g/mL"), density_uncertainty: q("1 %"), bench };
        for by in dosing.ways() {
            let small = dosing.dosed(si(m), by).unwrap().within.get();
            let large = dosing.dosed(si(4.0 * m), by).unwrap().within.get();
            prop_assert!(large <= small * (1.0 + 1e-9), "{by:?}: {large} > {small}");
        }
    }
}

/// The smallest batch and the uncertainty agree for every way of measuring.
#[test]
fn the_smallest_batch_is_where_the_tolerance_is_met() {
    let mut bench = Bench::with_scale(q("0.01 g"));
    bench.dropper = Some(
        DropperCalibration {
            drops: 200,
            mass: q("6.6 g"),
            density: q("1.15 g/mL"),
            readability: q("0.01 g"),
            drop_spread: q("5 %"),
        }
        .dropper()
        .unwrap()
        .dropper,
    );
    bench.syringe = Some(gelwright::mix::Syringe {
        graduation: q("0.1 mL"),
        tolerance: Some(q("4 %")),
    });
    let dosing = Dosing {
        dose: q("2 phr"),
        dose_density: q("1.15 g/mL"),
        density_uncertainty: q("1 %"),
        bench,
    };
    for way in dosing.smallest_batch(q("10 %")).unwrap().ways {
        let m = way.resin.unwrap();
        let within = dosing.dosed(m, way.by).unwrap().within.get();
        // The batch's formula counts rounding to whole drops as an uncertainty (a step of one drop), the dose as a shift.
        let (rounding, tolerance) = match way.by {
            MeasuredBy::Dropper => {
                let n = 0.02 * m.si() / (1150.0 * dosing.bench.dropper.as_ref().unwrap().drop_volume.si());
                (1.96 / (12f64.sqrt() * n), 0.05)
            }
            _ => (0.0, 1e-3),
        };
        let all = within.hypot(rounding);
        assert!((all / 0.10 - 1.0).abs() < tolerance, "{:?}: {all}", way.by);
    }
}

/// What a film loses is never more than the monomer there is, and its band holds it; more monomer never loses less.
#[cfg(feature = "proptest")]
mod vapour {
    use gelwright::mix::{ApplicationMethod, AppliedFilm, FilmKind};
    use gelwright::quantity::{Mass, MassFraction, Quantity};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_more_is_lost_than_the_monomer_there_is(
            gel_coat in any::<bool>(), method in 0usize..5, waxed in any::<bool>(), grams in 0.0f64..1e4, h in 0.0f64..=1.0
        ) {
            use ApplicationMethod::{Brush, ClosedPour, OpenPour, Roller, Spray};
            let film = |h: f64| AppliedFilm {
                kind: if gel_coat { FilmKind::GelCoat } else { FilmKind::Resin },
                method: [Brush, Roller, Spray, OpenPour, ClosedPour][method],
                mass: Mass::from_si(1e-3 * grams).unwrap(),
                monomer: MassFraction::new(h).unwrap(),
                waxed,
                area: None,
                open: None,
                weighed: None,
            };
            let v = film(h).vapour().unwrap();
            let there_is = 1e-3 * grams * h;
            prop_assert!(0.0 <= v.low.si() && v.low <= v.lost && v.lost <= v.high);
            prop_assert!(v.high.si() <= there_is * (1.0 + 1e-12));
            let less = film(0.9 * h).vapour().unwrap();
            prop_assert!(less.lost.si() <= v.lost.si());
        }
    }
}
