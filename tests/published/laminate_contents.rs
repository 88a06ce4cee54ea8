//! Ply thickness, glass content, ounces, published strengths.

use approx::assert_relative_eq;
use gelwright::laminate::*;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn cured(form: ReinforcementForm, areal_mass: &str, psi: f64) -> CuredPly {
    LaidPly {
        reinforcement: Reinforcement::e_glass(form, q(areal_mass)).unwrap(),
        glass_content: MassFraction::new(psi).unwrap(),
        resin_density: q("1.2 g/mL"),
        voids: VolumeFraction::ZERO,
    }
    .cured()
    .unwrap()
}

fn hand_laid(form: ReinforcementForm, psi: f64, tested: bool) -> GlassLaminate {
    GlassLayUp {
        form,
        glass_content: MassFraction::new(psi).unwrap(),
        process: Process::HandLaid,
        tested,
    }
    .properties()
    .unwrap()
}

/// ISO 12215-5:2008, annex C: t/w = (2.56/ψ - 1.36)/3.072 mm per kg/m² of dry glass. An identity of glass 2.56 and
/// resin 1.20 g/cm³ without voids (3.072 = 2.56 × 1.20, 1.36 = 2.56 - 1.20), so to rounding (1e-12).
#[test]
fn thickness_is_the_iso_12215_5_relation() {
    for psi in [0.25, 0.285_714, 0.30, 0.33, 0.35, 0.40, 0.49] {
        let p = cured(ReinforcementForm::Mat, "1 kg/m^2", psi);
        assert_relative_eq!(
            p.thickness.si(),
            1e-3 * (2.56 / psi - 1.36) / 3.072,
            max_relative = 1e-12
        );
        assert_relative_eq!(p.rules[0].thickness.si(), p.thickness.si(), max_relative = 1e-12);
    }
}

/// The same relation evaluated at the trade's glass contents. Independent computation (NumPy, from the printed
/// relation), printed to four digits: tolerance 1e-4.
#[test]
fn table_of_one_mat() {
    for (psi, ply_mm, vf, rho) in [
        (0.25, 1.3008, 0.1351, 1.3838),
        (0.30, 1.0508, 0.1673, 1.4275),
        (0.33, 0.9371, 0.1876, 1.4551),
        (0.35, 0.8722, 0.2015, 1.4741),
        (0.40, 0.7383, 0.2381, 1.5238),
        (0.50, 0.5508, 0.3191, 1.6340),
    ] {
        let p = cured(ReinforcementForm::Mat, "450 g/m^2", psi);
        assert_relative_eq!(p.thickness.si() * 1e3, ply_mm, max_relative = 1e-4);
        assert_relative_eq!(p.fibre_volume.get(), vf, max_relative = 3e-4);
        assert_relative_eq!(p.density.si() / 1e3, rho, max_relative = 1e-4);
    }
}

/// BS 4994:1987 as worked in a public design sheet ("Properties", citing the standard's p. 10 and fig. 5):
/// thickness constant 2.24 (mat, 33 wt%) and 1.25 (woven roving, 45 wt%) mm per kg/m², E 6250 and 12 800 MPa,
/// strength 89.29 and 200 MPa, resin to glass 2.03 and 1.22, one 450 g/m² mat 1.01 mm. Printed to three or four
/// digits: tolerance 5e-3 for the two-digit ratios, 1e-3 else.
#[test]
fn bs_4994_sheet() {
    for (form, psi, ratio, constant, e, strength) in [
        (ReinforcementForm::Mat, 0.33, 2.03, 2.24, 6250.0, 89.29),
        (ReinforcementForm::WovenRoving, 0.45, 1.22, 1.25, 12_800.0, 200.0),
    ] {
        let p = cured(form, "1 kg/m^2", psi);
        let rules = &p.rules;
        assert_eq!(rules.len(), 2, "both rules are kept and named");
        assert_relative_eq!(rules[1].thickness.si() * 1e3, constant, max_relative = 1e-12);
        assert!(rules[1].extrapolated.is_none());
        assert_relative_eq!(p.resin_to_glass, ratio, max_relative = 5e-3);
        let g = hand_laid(form, psi, true);
        assert_relative_eq!(g.rules[0].modulus.si() / 1e6, e, max_relative = 1e-3);
        assert_relative_eq!(g.rules[0].tension.si() / 1e6, strength, max_relative = 1e-3);
    }
    let one = cured(ReinforcementForm::Mat, "450 g/m^2", 0.33).rules;
    assert_relative_eq!(one[1].thickness.si() * 1e3, 1.01, max_relative = 3e-3);
    // The two standards differ by 7.6 % there (worked from both): neither is smoothed into the other.
    assert_relative_eq!(
        one[1].thickness.si() / one[0].thickness.si(),
        1.0757,
        max_relative = 1e-3
    );
    // Away from 33 wt% the constant says that it is stretched.
    let thin = cured(ReinforcementForm::Mat, "450 g/m^2", 0.286).rules;
    assert!(thin[1].extrapolated.is_some());
}

/// Common practice, no source: "1 mm per 450 g/m² mat" lies between 30 and 33 wt% by the ISO relation.
#[test]
fn one_millimetre_a_mat() {
    let made = MeasuredLaminate {
        thickness: q("1 mm"),
        areal_mass: q("450 g/m^2"),
        fibre_density: q("2.56 g/mL"),
        resin_density: q("1.2 g/mL"),
        voids: VolumeFraction::ZERO,
    };
    let psi = made.glass_content().unwrap().glass_content;
    assert!((0.30..0.33).contains(&psi.get()), "{psi:?}");
}

/// A. Thompson, B. N. Taylor, NIST SP 811 (2008), appendix B.8: 1 oz/yd² = 3.390 575e-2 kg/m²,
/// 1 oz/ft² = 3.051 517e-1 kg/m². Seven figures printed: tolerance 2e-7.
#[test]
fn ounces_of_mat_and_of_cloth() {
    let (mat, cloth) = (Some(ReinforcementForm::Mat), Some(ReinforcementForm::Cloth));
    let areal = |text, form| TradeWeight::of(text, form).unwrap().areal_mass.si();
    assert_relative_eq!(areal("1 oz", mat), 3.051_517e-1, max_relative = 2e-7);
    assert_relative_eq!(areal("1 oz", cloth), 3.390_575e-2, max_relative = 2e-7);
    // "1.5 oz mat" is sold as 450 g/m² (common practice; exact 457.7), "10 oz cloth" as 340 g/m² (exact 339.1).
    assert_relative_eq!(areal("1.5 oz", mat), 0.450, max_relative = 0.02);
    assert_relative_eq!(areal("10 oz", cloth), 0.340, max_relative = 0.005);
    let ounces = |text, form| TradeWeight::of(text, form).unwrap().ounces.unwrap();
    assert_relative_eq!(ounces("1.5 oz/ft^2", mat), 1.5, max_relative = 1e-12);
    assert_relative_eq!(ounces("300 g/m^2", cloth), 8.848, max_relative = 1e-4);
}

#[test]
fn an_ounce_alone_is_refused_with_what_to_write() {
    let e = TradeWeight::of("1.5 oz", None).unwrap_err();
    assert_eq!(e.kind(), gelwright::ErrorKind::WrongDimension);
    assert!(
        e.to_string()
            .contains("'1.5 oz/ft^2' for mat, '10 oz/yd^2' for cloth"),
        "{e}"
    );
    // A fluid ounce is neither.
    assert!(TradeWeight::of("8 fl oz", Some(ReinforcementForm::Mat)).is_err());
    assert!(TradeWeight::of("450", Some(ReinforcementForm::Mat)).is_err());
}

/// A. K. Kaw, *Mechanics of Composite Materials*, 2nd edition (2006), example 3.1: glass 2500, epoxy 1200 kg/m³,
/// Vf 0.70: density 2110 kg/m³, Wf 0.8294 (from memory; agrees with the arithmetic to the last digit).
#[test]
fn kaw_example_3_1() {
    let r = Reinforcement {
        form: ReinforcementForm::Unidirectional,
        areal_mass: q("1 kg/m^2"),
        fibre_density: q("2500 kg/m^3"),
    };
    let laid = LaidPly::of_fibre_volume(r, q("70 vol%"), q("1200 kg/m^3"), VolumeFraction::ZERO).unwrap();
    assert_relative_eq!(laid.glass_content.get(), 0.8294, max_relative = 1e-4);
    assert_relative_eq!(laid.cured().unwrap().density.si(), 2110.0, max_relative = 1e-4);
}

/// ISO 12215-5:2008, table C.4 a), as transcribed publicly: values at 30 wt% mat by hand (arithmetic of the printed
/// polynomials): tension 85, compression 117, flexure 152.18, shear 62, E 6400, G 2750, interlaminar 17.25 MPa;
/// untested laminates 0.8 of each.
#[test]
fn iso_12215_5_mat_at_30_percent() {
    let tested = hand_laid(ReinforcementForm::Mat, 0.30, true);
    let untested = hand_laid(ReinforcementForm::Mat, 0.30, false);
    for (get, mpa) in [
        (
            (|g: &GlassLaminate| g.tension) as fn(&GlassLaminate) -> Pressure,
            85.0,
        ),
        (|g| g.compression, 117.0),
        (|g| g.flexure, 152.18),
        (|g| g.shear, 62.0),
        (|g| g.modulus, 6400.0),
        (|g| g.shear_modulus, 2750.0),
        (|g| g.interlaminar, 17.25),
    ] {
        assert_relative_eq!(get(&tested).si() / 1e6, mpa, max_relative = 1e-9);
        assert_relative_eq!(get(&untested).si() / 1e6, 0.8 * mpa, max_relative = 1e-9);
    }
    // Two standards side by side: BS 4994 gives 6250 MPa at 33 wt%, ISO 7540: kept apart, within a quarter.
    let at_33 = hand_laid(ReinforcementForm::Mat, 0.33, true);
    assert!((at_33.modulus.si() / at_33.rules[0].modulus.si() - 1.0).abs() < 0.25);
}

/// ISO 12215-5:2008, example C.3.2 (the rule, as transcribed publicly): ψ = Σw/Σ(w/ψ). Worked here for 300 g/m² at
/// 0.30 on 600 g/m² at 0.48: 0.9/(1 + 1.25) = 0.40 (analytic).
#[test]
fn glass_content_of_a_mixed_stack() {
    let ply = |form, areal_mass: &str, psi: &str| WallPly {
        reinforcement: Reinforcement::e_glass(form, q(areal_mass)).unwrap(),
        glass_content: Some(q(psi)),
    };
    let wall = LaminateWall {
        gel_coat: None,
        plies: vec![
            ply(ReinforcementForm::Mat, "300 g/m^2", "30 wt%"),
            ply(ReinforcementForm::WovenRoving, "600 g/m^2", "48 wt%"),
        ],
        glass_content: None,
        resin_density: q("1.2 g/mL"),
        resin_modulus: q("3.4 GPa"),
        resin_strain_to_break: None,
        voids: VolumeFraction::ZERO,
        tested: false,
    };
    assert_relative_eq!(
        wall.cured().unwrap().glass_content.get(),
        0.4,
        max_relative = 1e-12
    );
}

/// Veil over two mats, by compatible strain and by hand. Mat 450 g/m^2 at 30 wt%: E 6400 MPa, tension 85 MPa (ISO
/// 12215-5:2008, table C.4 a), strain at break 1.328 %, thickness 1.05078 mm; veil 30 g/m^2 at 10 wt%: Vf 4.9505 %, t
/// 0.23672 mm; Krenchel 3/8 x 71 GPa x Vf + 3.4 GPa (1 - Vf) = 4549.7 MPa. The resin breaks at 2.5 %, so the mat is the
/// brittlest: nothing but the mat's strain decides, and the veil is no weaker than the resin it is made of.
/// Form: J. Reinf. Plast. Compos. 2 (1983), doi 10.1177/073168448300200205, abstract.
#[test]
fn a_veil_does_not_weaken_a_wall_of_mat() {
    let ply = |form, g: &str, content: &str| WallPly {
        reinforcement: Reinforcement {
            form,
            areal_mass: q(g),
            fibre_density: q("2.56 g/mL"),
        },
        glass_content: Some(q(content)),
    };
    let mut wall = LaminateWall {
        gel_coat: None,
        plies: vec![
            ply(ReinforcementForm::Veil, "30 g/m^2", "10 wt%"),
            ply(ReinforcementForm::Mat, "450 g/m^2", "30 wt%"),
            ply(ReinforcementForm::Mat, "450 g/m^2", "30 wt%"),
        ],
        glass_content: None,
        resin_density: q("1.2 g/mL"),
        resin_modulus: q("3.4 GPa"),
        resin_strain_to_break: Some(q("2.5 %")),
        voids: q("0 vol%"),
        tested: true,
    };
    let made = wall.cured().unwrap();
    let (mat, veil) = (2.0 * 1.050_781_25e-3, 30e-3 * (1.0 / 2560.0 + 9.0 / 1200.0));
    let vf = (0.1 / 2560.0) / (0.1 / 2560.0 + 0.9 / 1200.0);
    let e_veil = 0.375 * 71e9 * vf + 3.4e9 * (1.0 - vf);
    let strain = 85.0 / 6400.0;
    let force = strain * (6.4e9 * mat + e_veil * veil);
    assert_relative_eq!(made.first_break.si(), force / (mat + veil), max_relative = 1e-9);
    assert_relative_eq!(made.tension.si(), made.first_break.si(), max_relative = 1e-12);
    assert!(
        (82.0..83.0).contains(&(made.tension.si() / 1e6)),
        "{:?}",
        made.tension
    );
    assert_eq!(made.design.factor, 1.0);
    // A brittle resin (1 %) cracks the veil first; the mats then carry what they carry alone.
    wall.resin_strain_to_break = Some(q("1 %"));
    let brittle = wall.cured().unwrap();
    assert_relative_eq!(
        brittle.first_break.si() * (mat + veil),
        0.01 * (6.4e9 * mat + e_veil * veil),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        brittle.tension.si() * (mat + veil),
        85e6 * mat,
        max_relative = 1e-9
    );
    // Nobody has tested it: the properties stay, the allowance stands beside them.
    wall.tested = false;
    let untested = wall.cured().unwrap();
    assert_eq!(untested.tension, brittle.tension);
    assert_relative_eq!(
        untested.design.tension.si(),
        0.8 * brittle.tension.si(),
        max_relative = 1e-12
    );
}

/// Random glass in polyester laid by hand in a laboratory: 28.25 MPa at 15 wt%, 78.83 MPa at 60 wt% (El-Wazery, El-Elamy,
/// Zoalfakar, Int. J. Appl. Sci. Eng. 14 (2017) 121, abstract). The rule gives a good laminate; the low end is theirs, at a
/// glass content of mat about half of the rule, and a tested wall has none.
#[test]
fn a_poor_lay_up_is_the_low_end() {
    let wall = |content: &str, tested| LaminateWall {
        gel_coat: None,
        plies: vec![WallPly {
            reinforcement: Reinforcement {
                form: ReinforcementForm::Mat,
                areal_mass: q("450 g/m^2"),
                fibre_density: q("2.56 g/mL"),
            },
            glass_content: Some(q(content)),
        }],
        glass_content: None,
        resin_density: q("1.2 g/mL"),
        resin_modulus: q("3.4 GPa"),
        resin_strain_to_break: Some(q("2.5 %")),
        voids: q("0 vol%"),
        tested,
    };
    let low = |content| wall(content, false).cured().unwrap().tension_low.unwrap().si() / 1e6;
    assert_relative_eq!(low("60 wt%"), 78.83, max_relative = 1e-9);
    assert_relative_eq!(low("15.001 wt%"), 28.25, max_relative = 1e-3);
    let made = wall("30 wt%", false).cured().unwrap();
    let share = low("30 wt%") * 1e6 / made.tension.si();
    assert!((0.45..0.6).contains(&share), "{share}");
    assert!(wall("30 wt%", true).cured().unwrap().tension_low.is_none());
}

/// BS 4994:1987, unit modulus 14 000 N/mm per kg/m2 of mat glass: a wall's stretching stiffness is at least that of its glass,
/// whatever the thickness. ISO 12215-5 lies above by less than a third at the glass contents of hand lay-up.
#[test]
fn a_mat_wall_against_unit_moduli() {
    for content in ["28 wt%", "30 wt%", "33 wt%"] {
        let wall = LaminateWall {
            gel_coat: None,
            plies: vec![
                WallPly {
                    reinforcement: Reinforcement {
                        form: ReinforcementForm::Mat,
                        areal_mass: q("450 g/m^2"),
                        fibre_density: q("2.56 g/mL"),
                    },
                    glass_content: Some(q(content)),
                };
                2
            ],
            glass_content: None,
            resin_density: q("1.2 g/mL"),
            resin_modulus: q("3.4 GPa"),
            resin_strain_to_break: None,
            voids: q("0 vol%"),
            tested: true,
        };
        let unit = wall.cured().unwrap().stretching_stiffness_n_per_m / 0.9 / 1e3;
        assert!((14_000.0..18_500.0).contains(&unit), "{content}: {unit}");
    }
}
