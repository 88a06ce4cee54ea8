//! Stiffness of glass in resin against textbook examples.

use approx::assert_relative_eq;
use gelwright::laminate::micro::*;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn phase(gpa: f64, nu: f64) -> Phase {
    Phase::new(Pressure::from_si(gpa * 1e9).unwrap(), Index::new(nu).unwrap()).unwrap()
}

/// A. K. Kaw, *Mechanics of Composite Materials*, 2nd edition (2006), examples 3.3 to 3.6 and 3.8: glass 85 GPa and
/// 0.2, epoxy 3.4 GPa and 0.3, Vf 0.7: E1 60.52, E2 10.37, nu12 0.230, G12 4.014 by mixtures; Halpin-Tsai E2 20.20
/// (xi 2), G12 6.169 (xi 1). From memory, to four digits; the arithmetic agrees.
#[test]
fn kaw_glass_epoxy() {
    let (f, m, v) = (phase(85.0, 0.2), phase(3.4, 0.3), q("70 vol%"));
    let mix = Constituents::of(f, m, v).rule_of_mixtures().unwrap();
    assert_relative_eq!(mix.e1.si() / 1e9, 60.52, max_relative = 1e-4);
    assert_relative_eq!(mix.e2.si() / 1e9, 10.37, max_relative = 5e-4);
    assert_relative_eq!(mix.nu12.get(), 0.230, max_relative = 1e-6);
    assert_relative_eq!(mix.g12.si() / 1e9, 4.014, max_relative = 3e-4);
    let ht = Constituents::of(f, m, v).unidirectional().unwrap();
    assert_relative_eq!(ht.e2.si() / 1e9, 20.20, max_relative = 3e-4);
    assert_relative_eq!(ht.g12.si() / 1e9, 6.169, max_relative = 3e-4);
}

/// The same book, example 3.18 (from memory, the arithmetic agrees): glass 5e-6, epoxy 63e-6 1/K:
/// alpha1 5.978e-6, alpha2 27.40e-6 1/K.
#[test]
fn kaw_expansion() {
    let parts = Constituents {
        fibre_expansion: Some(q("5e-6 1/K")),
        resin_expansion: Some(q("63e-6 1/K")),
        ..Constituents::of(phase(85.0, 0.2), phase(3.4, 0.3), q("70 vol%"))
    };
    let [a1, a2] = parts.expansion().unwrap().unwrap();
    assert_relative_eq!(a1.si(), 5.978e-6, max_relative = 2e-4);
    assert_relative_eq!(a2.si(), 27.40e-6, max_relative = 3e-4);
}

/// A textbook example 14.5-1 (polymer science course text, read in a public excerpt): Em 3.0, Ef 70 GPa, Vf 0.60:
/// 43.2 GPa along, 7.05 GPa across. Three digits printed.
#[test]
fn second_textbook_example() {
    let mix = Constituents::of(phase(70.0, 0.22), phase(3.0, 0.35), q("60 vol%"))
        .rule_of_mixtures()
        .unwrap();
    assert_relative_eq!(mix.e1.si() / 1e9, 43.2, max_relative = 1e-9);
    assert_relative_eq!(mix.e2.si() / 1e9, 7.05, max_relative = 1e-3);
}

/// P. K. Mallick, *Fiber-Reinforced Composites*, 3rd edition (2008), example 3.6, as recomputed in a university course
/// notebook: carbon 220 GPa and 0.2, epoxy 3.6 GPa and 0.35, Vf 0.6: 133.4, 8.784 GPa, 0.26, 3.254 GPa. The notebook
/// rounds both shear moduli (91.7 and 1.33 GPa), hence 3e-3 on G12.
#[test]
fn mallick_example_3_6() {
    let mix = Constituents::of(phase(220.0, 0.2), phase(3.6, 0.35), q("60 vol%"))
        .rule_of_mixtures()
        .unwrap();
    assert_relative_eq!(mix.e1.si() / 1e9, 133.4, max_relative = 5e-4);
    assert_relative_eq!(mix.e2.si() / 1e9, 8.784, max_relative = 1e-4);
    assert_relative_eq!(mix.nu12.get(), 0.26, max_relative = 1e-9);
    assert_relative_eq!(mix.g12.si() / 1e9, 3.254, max_relative = 3e-3);
}

/// S. W. Tsai, N. J. Pagano (1968): E = 3/8 E1 + 5/8 E2, G = 1/8 E1 + 1/4 E2. No printed worked number was found;
/// the form is checked on E1 60.52, E2 10.37 (analytic), and a mat of 30 wt% against the two standards:
/// an upper estimate of ISO 12215-5 (6400 MPa) and BS 4994 (6250 MPa), within half as much again.
#[test]
fn tsai_pagano_is_an_upper_estimate_of_hand_laid_mat() {
    let mix = Constituents::of(phase(85.0, 0.2), phase(3.4, 0.3), q("70 vol%"))
        .rule_of_mixtures()
        .unwrap();
    let mat = random_mat(&mix).unwrap();
    assert_relative_eq!(
        mat.e1.si(),
        0.375 * mix.e1.si() + 0.625 * mix.e2.si(),
        max_relative = 1e-12
    );
    assert_relative_eq!(
        mat.g12.si(),
        0.125 * mix.e1.si() + 0.25 * mix.e2.si(),
        max_relative = 1e-12
    );
    let hand = random_mat(
        &Constituents::of(phase(72.4, 0.22), phase(3.4, 0.35), q("16.73 vol%"))
            .unidirectional()
            .unwrap(),
    )
    .unwrap();
    for standard in [6.4e9, 6.25e9] {
        assert!((1.0..1.5).contains(&(hand.e1.si() / standard)), "{:?}", hand.e1);
    }
}

fn strands(length: &str) -> ShortFibre {
    ShortFibre::of(
        phase(72.4, 0.22),
        phase(3.4, 0.35),
        q("10 vol%"),
        q(length),
        q("15 um"),
        Orientation::RandomInPlane,
    )
}

/// Cox's length efficiency from the mechanics behind it, without its formula: a fibre of radius r along the axis of a
/// cylinder of resin whose outer face, at half the distance to the next fibre of a hexagonal order, is stretched evenly. The
/// resin carries shear alone, so it falls as r/rho outward; its displacement is summed over the ring, the fibre's
/// equilibrium `Ef pi r^2 u'' = 2 pi r tau` is solved by finite differences with free ends, and its strain averaged.
fn shear_lag(ef: f64, gm: f64, vf: f64, length: f64, radius: f64) -> f64 {
    const CELLS: usize = 4000;
    // Hexagonal order with the distance 2 R: vf = pi r^2/(2 sqrt(3) R^2).
    let outer = radius * (std::f64::consts::PI / (2.0 * 3f64.sqrt() * vf)).sqrt();
    let rings = 2000;
    let step = (outer - radius) / f64::from(rings);
    // Displacement over the ring for a shear stress of one at the fibre.
    let give: f64 = (0..rings)
        .map(|i| radius / (radius + (f64::from(i) + 0.5) * step) * step / gm)
        .sum();
    let h = 0.5 * length / CELLS as f64;
    let spring = 2.0 / (ef * radius * give);
    // u'' = spring (u - z) from the middle (u = 0) to the free end (u' = 0): Thomas's algorithm.
    let (mut c, mut d) = (vec![0.0; CELLS + 1], vec![0.0; CELLS + 1]);
    for i in 1..=CELLS {
        let z = i as f64 * h;
        let (below, diagonal, above, right) = if i < CELLS {
            (1.0, -2.0 - spring * h * h, 1.0, -spring * h * h * z)
        } else {
            (2.0, -2.0 - spring * h * h, 0.0, -spring * h * h * z)
        };
        let m = diagonal - below * c[i - 1];
        c[i] = above / m;
        d[i] = (right - below * d[i - 1]) / m;
    }
    // The mean strain of the fibre, over that of the whole (one), is its end's displacement over half its length.
    d[CELLS] / (0.5 * length)
}

#[test]
fn cox_against_the_shear_lag_equation() {
    let (ef, gm) = (72.4e9, 3.4e9 / (2.0 * 1.35));
    for length in ["0.1 mm", "0.3 mm", "1 mm"] {
        let s = strands(length).stiffness().unwrap();
        let eta = shear_lag(ef, gm, 0.1, q::<Length>(length).si(), 7.5e-6);
        assert_relative_eq!(s.length_efficiency, eta, max_relative = 2e-5);
        let modulus = 0.375 * eta * ef * 0.1 + 3.4e9 * 0.9;
        assert_relative_eq!(s.modulus.si(), modulus, max_relative = 1e-5);
    }
    // By hand: beta = 2/15e-6 sqrt(4 x 1.259259/(72.4 ln 9.068997)) = 23685 1/m; 1 - tanh(3.5527)/3.5527 = 0.71898.
    let s = strands("0.3 mm").stiffness().unwrap();
    assert_relative_eq!(s.length_efficiency, 0.718_985, max_relative = 1e-6);
}

/// H. Krenchel, *Fibre Reinforcement* (1964): 1, 1/2, 3/8, 1/5.
#[test]
fn krenchel_efficiencies() {
    let e: Vec<f64> = [
        Orientation::Aligned,
        Orientation::CrossPly,
        Orientation::RandomInPlane,
        Orientation::RandomInSpace,
    ]
    .iter()
    .map(|o| o.efficiency())
    .collect();
    assert_eq!(e, [1.0, 0.5, 0.375, 0.2]);
}

fn bounds(filler: Phase, resin: Phase, filler_volume: &str) -> Bounds {
    FilledResin {
        filler,
        resin,
        filler_volume: q(filler_volume),
        packing: q("62 vol%"),
    }
    .bounds()
    .unwrap()
}

/// Hollow glass spheres (wall a tenth of the radius) in resin, 40 vol%: independent computation, the radial
/// displacement of sphere wall and resin shell solved as four linear equations (NumPy): bulk modulus of the sphere
/// 6.293815 GPa, of the whole 4.566103 GPa. The lower bound is that assemblage exactly, as the resin is the softer.
#[test]
fn hollow_spheres_against_radial_elasticity() {
    let sphere = HollowSphere {
        wall: phase(70.0, 0.22),
        wall_density: q("2500 kg/m^3"),
        wall_over_radius: q("0.1"),
    };
    let s = sphere.equivalent().unwrap();
    assert_relative_eq!(s.equivalent.bulk().si(), 6.293_815_339e9, max_relative = 1e-9);
    assert_relative_eq!(s.density.si(), 2500.0 * (1.0 - 0.729), max_relative = 1e-12);
    let b = bounds(s.equivalent, phase(3.4, 0.35), "40 vol%");
    assert_relative_eq!(b.bulk_low.si(), 4.566_102_535e9, max_relative = 1e-9);
}

/// R. Hill (1964), analytic: phases of equal shear modulus have one bulk modulus whatever their arrangement:
/// 1/(K + 4/3 G) = sum phi/(Ki + 4/3 G); both bounds meet there.
#[test]
fn bounds_meet_for_equal_shear_moduli() {
    // E = 2 G (1 + nu) with G = 1 GPa for both
    let (a, b) = (phase(2.2, 0.1), phase(2.8, 0.4));
    let h = bounds(a, b, "30 vol%");
    let (ka, kb) = (a.bulk().si(), b.bulk().si());
    let hill = 1.0 / (0.3 / (ka + 4e9 / 3.0) + 0.7 / (kb + 4e9 / 3.0)) - 4e9 / 3.0;
    assert_relative_eq!(h.bulk_low.si(), hill, max_relative = 1e-12);
    assert_relative_eq!(h.bulk_high.si(), hill, max_relative = 1e-12);
    assert_relative_eq!(h.shear_low.si(), 1e9, max_relative = 1e-12);
}

/// A. Kelly, W. R. Tyson (1965): at the critical length half the strength is used; the two branches meet (analytic).
#[test]
fn critical_length() {
    let used = |length: &str| {
        let bonded = ShortFibre {
            fibre_strength: Some(q("2000 MPa")),
            bond_shear_strength: Some(q("30 MPa")),
            ..strands(length)
        };
        bonded.stiffness().unwrap()
    };
    assert_relative_eq!(
        used("0.5 mm").critical_length.unwrap().si(),
        0.5e-3,
        max_relative = 1e-12
    );
    for (length, share) in [
        ("0.499999 mm", 0.5),
        ("0.500001 mm", 0.5),
        ("0.25 mm", 0.25),
        ("1 mm", 0.75),
    ] {
        assert_relative_eq!(
            used(length).strength_efficiency.unwrap(),
            share,
            max_relative = 1e-5
        );
    }
}

/// Bundles of 200 filaments of 13 um, 60 vol% of glass, 3 mm long, 3.3 vol% of glass in a resin of 3.5 GPa: the bundle as the
/// fibre is 44.8 GPa (0.6 x 72.4 + 0.4 x 3.5 = 44.84) and 5.5 vol%; the whole 3.87 GPa (independent arithmetic by another
/// hand, three digits). Shear lag by finite differences agrees.
#[test]
fn a_pour_of_bundles() {
    let strand = gelwright::flow::Strand::as_sold(q("3 mm"), q("13 um"))
        .chop()
        .unwrap();
    let pour = ShortFibre::of_bundles(
        phase(72.4, 0.22),
        phase(3.5, 0.36),
        q("3.3 vol%"),
        &strand,
        Orientation::RandomInPlane,
    )
    .unwrap();
    assert_relative_eq!(pour.fibre.modulus.si() / 1e9, 44.84, max_relative = 1e-9);
    assert_relative_eq!(pour.fibre_volume.get(), 0.055, max_relative = 1e-9);
    let made = pour.stiffness().unwrap();
    assert_relative_eq!(made.modulus.si() / 1e9, 3.87, max_relative = 2e-3);
    let gm = 3.5e9 / (2.0 * 1.36);
    let eta = shear_lag(44.84e9, gm, 0.055, 3e-3, 0.5 * strand.strand_diameter.si());
    assert_relative_eq!(made.length_efficiency, eta, max_relative = 1e-4);
}

/// Strength by hand: fibre 1080 MPa, bond 20 MPa, resin 60 MPa, bundle 0.2374 mm: lc = 1080 x 0.2374/40 = 6.41 mm, strands of 3
/// mm are drawn out: 3/8 x 5.5 % x 20 MPa x 3/0.2374 + 60 x 94.5 % = 61.9 MPa (A. Kelly, W. R. Tyson, 1965); unbonded 60 (1 -
/// 1.21 x 0.055^(2/3)) = 49.5 MPa (L. Nicolais, M. Narkis, 1971, from memory).
#[test]
fn strength_of_a_pour_of_bundles() {
    let strand = gelwright::flow::Strand::as_sold(q("3 mm"), q("13 um"))
        .chop()
        .unwrap();
    let pour = ShortFibre {
        fibre_strength: Some(q("1080 MPa")),
        bond_shear_strength: Some(q("20 MPa")),
        resin_strength: Some(q("60 MPa")),
        ..ShortFibre::of_bundles(
            phase(72.4, 0.22),
            phase(3.5, 0.36),
            q("3.3 vol%"),
            &strand,
            Orientation::RandomInPlane,
        )
        .unwrap()
    };
    let made = pour.stiffness().unwrap();
    let bears = made.strength.unwrap();
    assert_relative_eq!(bears.tension.si() / 1e6, 61.9, max_relative = 1e-3);
    assert_relative_eq!(bears.unbonded.si() / 1e6, 49.5, max_relative = 1e-3);
    assert_relative_eq!(
        bears.first_crack.si(),
        60e6 * made.modulus.si() / 3.5e9,
        max_relative = 1e-12
    );
    // Neat resin, in the limit of no strands.
    let neat = ShortFibre {
        fibre_volume: q("0 vol%"),
        ..pour
    }
    .stiffness()
    .unwrap()
    .strength
    .unwrap();
    for s in [neat.tension, neat.unbonded, neat.first_crack] {
        assert_relative_eq!(s.si(), 60e6, max_relative = 1e-12);
    }
    let alone = ShortFibre {
        fibre_strength: None,
        bond_shear_strength: None,
        ..pour
    };
    assert_eq!(alone.stiffness().unwrap_err().field(), "resin_strength");
    let crowded = ShortFibre::of_bundles(
        phase(72.4, 0.22),
        phase(3.5, 0.36),
        q("60 vol%"),
        &strand,
        Orientation::Aligned,
    );
    assert_eq!(crowded.unwrap_err().field(), "glass_volume");
}

/// The one law that the catalogue's chop obeys: phi_m = phi_s 5.4 D/l of bundles (A. P. Philipse, Langmuir 12 (1996) 1127, from
/// memory), and of the milled fibre of its filaments.
#[test]
fn the_catalogues_chop_packs_by_its_law() {
    let catalogue = gelwright::material::Catalogue::generic();
    for id in ["chopped_strands_6", "chopped_strands_3", "milled_glass_fibre"] {
        let filler = catalogue.get(id).unwrap().filler().unwrap();
        let known = |p: &Option<gelwright::source::Property<Length>>| p.as_ref().unwrap().value;
        let strand =
            gelwright::flow::Strand::as_sold(known(&filler.fibre_length), known(&filler.fibre_diameter));
        let law = strand.chop().unwrap().packing().unwrap().packing;
        let packing = filler.max_packing.as_ref().unwrap().value;
        assert_relative_eq!(packing.get(), law.get(), max_relative = 3e-3);
    }
    // And E-glass is as stiff in every entry, and in the code.
    let glass = gelwright::laminate::wall::e_glass().unwrap().modulus;
    for id in ["chopped_strands_6", "milled_glass_fibre"] {
        assert_eq!(
            catalogue
                .get(id)
                .unwrap()
                .filler()
                .unwrap()
                .modulus
                .as_ref()
                .unwrap()
                .value,
            glass
        );
    }
    for id in ["csm_225", "csm_450", "glass_cloth_200"] {
        assert_eq!(
            catalogue
                .get(id)
                .unwrap()
                .reinforcement()
                .unwrap()
                .fibre_modulus
                .as_ref()
                .unwrap()
                .value,
            glass
        );
    }
}

/// 15 wt% of solid glass microspheres beside 3 wt% of bentonite, 7.8 vol% (2.5 against 1.2 g/mL): flexural modulus 16.5 % above
/// that of the bentonite-filled resin alone, tensile 14.7 % above the neat (Polimery 65 (2020) 738, abstract). Within 3 points.
#[test]
fn microspheres_stiffen_as_measured() {
    let made = FilledResin {
        filler: phase(70.0, 0.22),
        resin: phase(3.3, 0.36),
        filler_volume: q("7.81 vol%"),
        packing: q("62 vol%"),
    }
    .stiffness()
    .unwrap();
    let rise = made.modulus.si() / 3.3e9 - 1.0;
    assert!(
        (rise - 0.165).abs() < 0.03 && (rise - 0.147).abs() < 0.03,
        "{rise}"
    );
}

/// A published claim that no arrangement can meet: 20 wt% of calcite (10 vol%) makes a resin five times as stiff (doi
/// 10.1007/s42250-023-00839-5, abstract). Hashin and Shtrikman's upper bound is below three and a half.
#[test]
fn calcite_can_not_make_a_resin_five_times_as_stiff() {
    let bounds = bounds(phase(75.0, 0.3), phase(3.0, 0.36), "10 vol%");
    assert!(bounds.modulus_high.si() / 3e9 < 3.5, "{:?}", bounds.modulus_high);
}
