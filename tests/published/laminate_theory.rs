//! Lamination theory and ply failure against textbook examples and an independent NumPy derivation.

use approx::assert_relative_eq;
use gelwright::laminate::stack::PlyPlace;
use gelwright::laminate::*;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn elastic(e1: f64, e2: f64, nu: f64, g: f64) -> Elastic {
    let p = |x: f64| Pressure::from_si(x).unwrap();
    Elastic::new(p(e1), p(e2), Index::new(nu).unwrap(), p(g)).unwrap()
}

fn ply(e: Elastic, mm: f64, degrees: f64) -> Ply {
    Ply {
        name: format!("{degrees}"),
        material: PlyMaterial::of(e),
        thickness: Length::from_si(mm * 1e-3).unwrap(),
        angle: Angle::from_si(degrees.to_radians()).unwrap(),
    }
}

fn newton_per_metre(x: f64) -> ForcePerWidth {
    ForcePerWidth::from_si(x).unwrap()
}

fn forces(n: [f64; 3]) -> ForcesPerWidth {
    let [x, y, xy] = n.map(newton_per_metre);
    ForcesPerWidth { x, y, xy }
}

fn moments(m: [f64; 3]) -> MomentsPerWidth {
    let [x, y, xy] = m.map(|x| MomentPerWidth::from_si(x).unwrap());
    MomentsPerWidth { x, y, xy }
}

/// Printed digits against computed, zeros against the largest entry.
fn agrees(found: &[[f64; 3]; 3], printed: [[f64; 3]; 3], rtol: f64) {
    let largest = printed.iter().flatten().fold(0.0f64, |m, x| m.max(x.abs()));
    for i in 0..3 {
        for j in 0..3 {
            let (a, b) = (found[i][j], printed[i][j]);
            assert!(
                (a - b).abs() <= rtol * b.abs() + 1e-9 * largest,
                "[{i}][{j}]: {a} for {b}"
            );
        }
    }
}

/// Graphite/epoxy of A. K. Kaw, *Mechanics of Composite Materials*, 2nd edition (2006), table 2.1.
fn graphite() -> Elastic {
    elastic(181e9, 10.3e9, 0.28, 7.17e9)
}

/// The same book, examples 2.6 and 2.7 (values read in a public transcription of the printed numbers).
/// Four digits printed: tolerance 6e-4.
#[test]
fn kaw_reduced_stiffness() {
    let gpa = |m: [[f64; 3]; 3]| m.map(|r| r.map(|x| x / 1e9));
    agrees(
        &gpa(graphite().reduced_stiffness().unwrap()),
        [[181.8, 2.897, 0.0], [2.897, 10.35, 0.0], [0.0, 0.0, 7.17]],
        6e-4,
    );
    agrees(
        &gpa(graphite().rotated_stiffness(q("60 deg")).unwrap()),
        [
            [23.65, 32.46, 20.05],
            [32.46, 109.4, 54.19],
            [20.05, 54.19, 36.74],
        ],
        6e-4,
    );
}

fn kaw_stack() -> Stack {
    Stack::new(vec![
        ply(graphite(), 5.0, 0.0),
        ply(graphite(), 5.0, 30.0),
        ply(graphite(), 5.0, -45.0),
    ])
    .unwrap()
}

/// The same book, example 4.2: [0/30/-45], 5 mm plies (read in the same transcription). Four digits: 6e-4.
#[test]
fn kaw_example_4_2_a_b_d() {
    let s = kaw_stack();
    agrees(
        s.a_n_per_m(),
        [
            [1.739e9, 3.884e8, 5.663e7],
            [3.884e8, 4.533e8, -1.141e8],
            [5.663e7, -1.141e8, 4.525e8],
        ],
        6e-4,
    );
    agrees(
        s.b_n(),
        [
            [-3.129e6, 9.855e5, -1.072e6],
            [9.855e5, 1.158e6, -1.072e6],
            [-1.072e6, -1.072e6, 9.855e5],
        ],
        6e-4,
    );
    agrees(
        s.d_n_m(),
        [
            [3.343e4, 6.461e3, -5.240e3],
            [6.461e3, 9.320e3, -5.596e3],
            [-5.240e3, -5.596e3, 7.663e3],
        ],
        6e-4,
    );
}

/// The same book, example 4.3: Nx = Ny = 1000 N/m. Midplane strains, curvatures and the stresses of every ply at top,
/// middle and bottom (tables 4.1 to 4.3; the figures here are from memory for the top of the 0 and 30 degree plies and
/// by independent computation, NumPy 2.4, for all). Four digits: 6e-4.
#[test]
fn kaw_example_4_3_ply_stresses() {
    let load = Load {
        force: forces([1000.0, 1000.0, 0.0]),
        ..Load::default()
    };
    let r = kaw_stack().respond(&load).unwrap();
    for (found, printed) in r.midplane_strain.iter().zip([3.123e-7, 3.492e-6, -7.598e-7]) {
        assert_relative_eq!(*found, printed, max_relative = 6e-4);
    }
    for (found, printed) in r.curvature_per_m.iter().zip([2.971e-5, -3.285e-4, 4.101e-4]) {
        assert_relative_eq!(*found, printed, max_relative = 6e-4);
    }
    let global = [
        [3.351e4, 6.188e4, -2.750e4],
        [4.464e4, 5.359e4, -2.015e4],
        [5.577e4, 4.531e4, -1.280e4],
        [6.930e4, 7.391e4, 3.381e4],
        [1.063e5, 7.747e4, 5.903e4],
        [1.434e5, 8.102e4, 8.426e4],
        [1.235e5, 1.563e5, -1.187e5],
        [4.903e4, 6.894e4, -3.888e4],
        [-2.547e4, -1.840e4, 4.091e4],
    ];
    let local = [
        [3.351e4, 6.188e4, -2.750e4],
        [4.464e4, 5.359e4, -2.015e4],
        [5.577e4, 4.531e4, -1.280e4],
        [9.973e4, 4.348e4, 1.890e4],
        [1.502e5, 3.356e4, 1.702e4],
        [2.007e5, 2.364e4, 1.513e4],
        [2.586e5, 2.123e4, -1.638e4],
        [9.786e4, 2.010e4, -9.954e3],
        [-6.285e4, 1.898e4, -3.533e3],
    ];
    for (state, (g, l)) in r.plies.iter().zip(global.iter().zip(local)) {
        for i in 0..3 {
            assert_relative_eq!(state.stress_pa[i], g[i], max_relative = 6e-4);
            assert_relative_eq!(state.ply_stress_pa[i], l[i], max_relative = 6e-4);
        }
    }
}

/// P. K. Mallick, *Fiber-Reinforced Composites*, 3rd edition (2008), examples 3.7 and 3.13, as recomputed in a public
/// university course notebook (its inputs E1 133.44, E2 8.7841 GPa, nu12 0.26, G12 3.2540 GPa follow example 3.6
/// with shear moduli 91.7 and 1.33 GPa). Printed to eight digits; the inputs carry the tolerance, 1e-6.
#[test]
fn mallick_examples_3_7_and_3_13() {
    let (vf, vm) = (0.6, 0.4);
    let e = elastic(
        220e9 * vf + 3.6e9 * vm,
        1.0 / (vf / 220e9 + vm / 3.6e9),
        0.2 * vf + 0.35 * vm,
        1.0 / (vf / 91.7e9 + vm / 1.33e9),
    );
    let s = Stack::new(vec![ply(e, 6.0, 45.0), ply(e, 6.0, -45.0)]).unwrap();
    agrees(
        s.a_n_per_m(),
        [
            [4.813_957_08e8, 4.032_948_49e8, 0.0],
            [4.032_948_49e8, 4.813_957_08e8, 0.0],
            [0.0, 0.0, 4.148_154_92e8],
        ],
        1e-6,
    );
    let b = 1_126_915.461_697_1;
    agrees(s.b_n(), [[0.0, 0.0, -b], [0.0, 0.0, -b], [-b, -b, 0.0]], 1e-6);
    agrees(
        s.d_n_m(),
        [
            [5_776.748_496_98, 4_839.538_186_93, 0.0],
            [4_839.538_186_93, 5_776.748_496_98, 0.0],
            [0.0, 0.0, 4_977.785_899_51],
        ],
        1e-6,
    );
    // (b) [45/-45]s
    let sym = Stack::new(
        [45.0, -45.0, -45.0, 45.0]
            .iter()
            .map(|a| ply(e, 6.0, *a))
            .collect(),
    )
    .unwrap();
    agrees(
        sym.d_n_m(),
        [
            [46_213.987_975_83, 38_716.305_495_44, 27_045.971_080_73],
            [38_716.305_495_44, 46_213.987_975_83, 27_045.971_080_73],
            [27_045.971_080_73, 27_045.971_080_73, 39_822.287_196_04],
        ],
        1e-6,
    );
    assert!(!sym.is_coupled() && s.is_coupled());
    // (c) [45/0/-45]
    let three = Stack::new([45.0, 0.0, -45.0].iter().map(|a| ply(e, 6.0, *a)).collect()).unwrap();
    agrees(
        three.a_n_per_m(),
        [
            [1.285_614_58e9, 4.170_597_42e8, 0.0],
            [4.170_597_42e8, 5.343_376_06e8, 0.0],
            [0.0, 0.0, 4.343_407_06e8],
        ],
        1e-6,
    );
    let b = 2.253_830_92e6;
    agrees(three.b_n(), [[0.0, 0.0, -b], [0.0, 0.0, -b], [-b, -b, 0.0]], 1e-6);
    agrees(
        three.d_n_m(),
        [
            [21_187.089_232_06, 15_769.793_787_83, 0.0],
            [15_769.793_787_83, 18_933.258_308_67, 0.0],
            [0.0, 0.0, 16_236.379_817_77],
        ],
        1e-6,
    );

    // Example 3.13 (the -45 ply first): inverse, strains, curvature and ply stresses under Nx = 100 kN/m.
    let s = Stack::new(vec![ply(e, 6.0, -45.0), ply(e, 6.0, 45.0)]).unwrap();
    let c = s.compliance();
    agrees(
        &c.a_m_per_n,
        [
            [7.737_276_20e-9, -5.066_680_26e-9, 0.0],
            [-5.066_680_26e-9, 7.737_276_20e-9, 0.0],
            [0.0, 0.0, 5.695_667_24e-9],
        ],
        1e-6,
    );
    let b = 6.045_932_7e-7;
    agrees(&c.b_per_n, [[0.0, 0.0, -b], [0.0, 0.0, -b], [-b, -b, 0.0]], 1e-6);
    assert_relative_eq!(c.d_per_n_m[0][0], 0.000_644_77, max_relative = 1e-5);
    assert_relative_eq!(c.d_per_n_m[2][2], 0.000_474_64, max_relative = 1e-5);
    let r = s
        .respond(&Load {
            force: forces([1e5, 0.0, 0.0]),
            ..Load::default()
        })
        .unwrap();
    assert_relative_eq!(r.midplane_strain[0], 0.000_773_73, max_relative = 1e-5);
    assert_relative_eq!(r.midplane_strain[1], -0.000_506_67, max_relative = 1e-5);
    assert_relative_eq!(r.curvature_per_m[2], -0.060_459_33, max_relative = 1e-6);
    let middle: Vec<_> = r.plies.iter().filter(|p| p.place == PlyPlace::Middle).collect();
    for (state, shear) in middle.iter().zip([-2.089_955_45e6, 2.089_955_45e6]) {
        assert_relative_eq!(state.stress_pa[0], 8.333_333_33e6, max_relative = 1e-6);
        assert!(state.stress_pa[1].abs() < 1.0);
        assert_relative_eq!(state.stress_pa[2], shear, max_relative = 1e-6);
    }
}

/// Independent computation: A, B, D, inverse, residual and loaded ply stresses and interlaminar shear derived anew in
/// NumPy 2.4 (compliance inverted, rotated with the transformation matrices, shear by cumulative trapezoid) for a gel
/// coat, two mats, a woven roving at 15 degrees and a unidirectional ply at -30 degrees, under forces, moments,
/// cooling by 60 K and cure shrinkage. Tolerance 1e-9 (double precision); interlaminar 1e-6 (the trapezoid's).
#[test]
fn numpy_derivation_of_a_whole_wall() {
    let iso = |e: f64, nu: f64| elastic(e, e, nu, e / 2.0 / (1.0 + nu));
    let full = |e: Elastic, mm: f64, deg: f64, a: [f64; 2], s: [f64; 2]| {
        let mut p = ply(e, mm, deg);
        p.material.expansion1 = Some(TemperatureCoefficient::from_si(a[0] * 1e-6).unwrap());
        p.material.expansion2 = Some(TemperatureCoefficient::from_si(a[1] * 1e-6).unwrap());
        p.material.shrinkage1 = Some(Strain::new(s[0]).unwrap());
        p.material.shrinkage2 = Some(Strain::new(s[1]).unwrap());
        p
    };
    let s = Stack::new(vec![
        full(iso(3.5e9, 0.36), 0.5, 0.0, [65.0, 65.0], [0.012, 0.012]),
        full(iso(6.4e9, 0.3), 1.05, 0.0, [30.0, 30.0], [0.004, 0.004]),
        full(
            elastic(13e9, 13e9, 0.15, 2.5e9),
            0.75,
            15.0,
            [15.0, 15.0],
            [0.002, 0.002],
        ),
        full(
            elastic(35e9, 7e9, 0.28, 2.8e9),
            0.6,
            -30.0,
            [8.0, 30.0],
            [0.001, 0.006],
        ),
        full(iso(6.4e9, 0.3), 1.05, 0.0, [30.0, 30.0], [0.004, 0.004]),
    ])
    .unwrap();
    agrees(
        s.a_n_per_m(),
        [
            [
                40_138_569.679_039_9,
                11_528_747.262_366_05,
                -4_456_857.108_586_946,
            ],
            [
                11_528_747.262_366_05,
                31_604_759.535_996_985,
                -2_933_639.266_361_528,
            ],
            [
                -4_456_857.108_586_946,
                -2_933_639.266_361_528,
                13_050_888.903_819_483,
            ],
        ],
        1e-9,
    );
    agrees(
        s.b_n(),
        [
            [8_489.515_794_506_2, 2_434.128_985_049, -3_476.532_185_220_7],
            [2_434.128_985_049, 3_155.884_455_104_4, -1_142.528_049_122_1],
            [-3_476.532_185_220_7, -1_142.528_049_122_1, 3_041.823_486_144_3],
        ],
        1e-9,
    );
    agrees(
        s.d_n_m(),
        [
            [35.913_979_073_7, 11.139_424_503_2, -2.254_713_592_1],
            [11.139_424_503_2, 32.324_445_182_3, -0.853_913_945_6],
            [-2.254_713_592_1, -0.853_913_945_6, 12.298_645_865_4],
        ],
        1e-9,
    );
    agrees(
        &s.compliance().a_m_per_n,
        [
            [2.998_715_381_5e-8, -9.908_260_748_6e-9, 5.314_011_293_8e-9],
            [-9.908_260_748_6e-9, 3.589_241_490_6e-8, 4.914_200_948_2e-9],
            [5.314_011_293_8e-9, 4.914_200_948_2e-9, 8.523_442_899_7e-8],
        ],
        1e-8,
    );
    agrees(
        &s.compliance().b_per_n,
        [
            [-5.906_064_377_5e-6, 1.070_620_164_7e-6, 5.233_445_191e-6],
            [1.288_677_231_5e-6, -3.045_867_204_3e-6, -6.571_242_860_2e-7],
            [5.611_131_109_6e-6, -2.794_383_674_2e-7, -1.811_307_272_4e-5],
        ],
        1e-8,
    );
    let load = Load {
        force: forces([20e3, -5e3, 3e3]),
        moment: moments([12.0, -4.0, 2.0]),
        shear: newton_per_metre(1000.0),
        temperature_change: TemperatureInterval::from_si(-60.0).unwrap(),
        cured: true,
    };
    let r = s.respond(&load).unwrap();
    let expected = [
        -4.090_266_346_4e-3,
        -6.180_606_641_1e-3,
        -1.627_851_47e-3,
        1.931_983_719_7,
        0.852_271_654_29,
        -0.623_192_135_97,
    ];
    for (found, numpy) in r.midplane_strain.iter().chain(&r.curvature_per_m).zip(expected) {
        assert_relative_eq!(*found, numpy, max_relative = 1e-9);
    }
    let faces: Vec<[f64; 3]> = r
        .plies
        .iter()
        .filter(|p| p.place != PlyPlace::Middle)
        .map(|p| p.ply_stress_pa)
        .collect();
    let numpy = [
        [43_778_478.798_135_48, 43_886_801.313_219_06, -510_906.068_025_662],
        [
            48_279_745.631_323_96,
            46_998_732.768_180_996,
            -911_856.890_803_349_4,
        ],
        [
            -11_472_559.347_842_783,
            -13_923_094.723_841_997,
            -1_744_352.170_890_627_2,
        ],
        [
            4_682_506.862_223_854,
            -3_349_309.343_967_939_3,
            -3_355_064.153_101_546,
        ],
        [
            -39_103_911.209_145_054,
            -47_371_806.177_595_995,
            -4_990_298.665_076_976,
        ],
        [
            -20_492_450.961_949_47,
            -34_046_219.488_281_54,
            -7_014_466.641_092_394,
        ],
        [
            -60_594_013.602_192_16,
            8_605_516.972_329_62,
            3_357_164.204_214_567,
        ],
        [
            -18_359_389.521_822_58,
            14_550_524.072_992_578,
            4_404_580.379_991_625,
        ],
        [
            25_453_306.275_166_67,
            10_245_557.573_012_989,
            -5_425_979.558_801_3,
        ],
        [
            41_608_372.485_233_31,
            20_819_342.952_887_043,
            -7_036_691.541_012_219,
        ],
    ];
    for (found, wanted) in faces.iter().zip(numpy) {
        for i in 0..3 {
            assert!(
                (found[i] - wanted[i]).abs() < 1e-9 * 6e7 + 1e-9 * wanted[i].abs(),
                "{found:?} {wanted:?}"
            );
        }
    }
    let shear = r.interlaminar.unwrap();
    for (found, numpy) in shear.at_faces_pa.iter().zip([
        0.0,
        112_579.358_074_194_5,
        363_500.253_765_778_44,
        425_058.550_850_163_9,
        280_014.171_777_908_7,
        0.0,
    ]) {
        assert!((found - numpy).abs() < 0.5, "{found} {numpy}");
    }
    assert_relative_eq!(shear.largest_pa, 430_271.727_062_967_14, max_relative = 1e-6);
}

/// A rectangular section under transverse shear: 1.5 V/h in the middle, zero at the faces (analytic).
#[test]
fn interlaminar_shear_of_one_material_is_a_parabola() {
    let e = elastic(6.4e9, 6.4e9, 0.3, 6.4e9 / 2.6);
    let s = Stack::new(vec![ply(e, 1.0, 0.0), ply(e, 1.0, 0.0), ply(e, 2.0, 0.0)]).unwrap();
    let r = s
        .respond(&Load {
            shear: newton_per_metre(800.0),
            ..Load::default()
        })
        .unwrap()
        .interlaminar
        .unwrap();
    assert_relative_eq!(r.largest_pa, 1.5 * 800.0 / 4e-3, max_relative = 1e-12);
    assert_relative_eq!(r.at_faces_pa[1], 0.75 * 1.5 * 800.0 / 4e-3, max_relative = 1e-9);
    assert!(r.at_faces_pa[3].abs() < 1e-6);
}

fn graphite_strengths(compression2_mpa: f64) -> Strengths {
    Strengths {
        tension1: q("1500 MPa"),
        compression1: q("1500 MPa"),
        tension2: q("40 MPa"),
        compression2: Pressure::from_si(compression2_mpa * 1e6).unwrap(),
        shear12: q("68 MPa"),
    }
}

/// Stresses (2, -3, 4) MPa on a ply at 60 degrees, in its own axes.
fn off_axis() -> [f64; 3] {
    let a = 60f64.to_radians();
    let (s, c) = a.sin_cos();
    let (x, y, t) = (2e6, -3e6, 4e6);
    [
        c * c * x + s * s * y + 2.0 * c * s * t,
        s * s * x + c * c * y - 2.0 * c * s * t,
        -c * s * x + c * s * y + (c * c - s * s) * t,
    ]
}

fn reserve(compression2_mpa: f64, stress: [f64; 3], residual: [f64; 3]) -> ReserveFactors {
    let pa = |s: [f64; 3]| {
        let [s1, s2, t12] = s.map(|x| Pressure::from_si(x).unwrap());
        PlyStress { s1, s2, t12 }
    };
    StressedPly {
        elastic: graphite(),
        strengths: graphite_strengths(compression2_mpa),
        stress: pa(stress),
        residual: pa(residual),
    }
    .reserve()
    .unwrap()
    .reserve
}

/// A. K. Kaw, *Mechanics of Composite Materials*, 2nd edition (2006), examples 2.16 to 2.19: strengths 1500, 1500, 40,
/// 246, 68 MPa; stress (2, -3, 4) S at 60 degrees: S = 16.33 MPa by maximum stress and by maximum strain, 10.94 by
/// Tsai-Hill with tensile strengths alone, 16.06 with the strength of each stress's sign, 22.39 by Tsai-Wu with
/// F12* = -1/2. From memory, to four digits; the arithmetic agrees. The problem is also set in a public question bank
/// with "Tsai-Wu: 21 within 10 %".
#[test]
fn kaw_failure_of_a_60_degree_ply() {
    let r = reserve(246.0, off_axis(), [0.0; 3]);
    assert_relative_eq!(r.maximum_stress.unwrap(), 16.33, max_relative = 5e-4);
    assert_relative_eq!(r.maximum_strain.unwrap(), 16.33, max_relative = 2e-3);
    assert_relative_eq!(r.tsai_hill.unwrap(), 16.06, max_relative = 5e-4);
    assert_relative_eq!(r.tsai_wu.unwrap(), 22.39, max_relative = 5e-4);
    assert_relative_eq!(r.tsai_wu.unwrap(), 21.0, max_relative = 0.10);
    let equal = reserve(40.0, off_axis(), [0.0; 3]);
    assert_relative_eq!(equal.tsai_hill.unwrap(), 10.94, max_relative = 5e-4);
}

/// A stress that stays takes part of the strength: along one axis the reserve is (X - r)/m by every criterion that
/// is one-dimensional there (analytic).
#[test]
fn residual_stress_uses_up_strength() {
    let r = reserve(246.0, [0.0e6, 10.0e6, 0.0e6], [0.0e6, 15.0e6, 0.0e6]);
    for f in [r.maximum_stress, r.maximum_strain, r.tsai_hill, r.tsai_wu] {
        assert_relative_eq!(f.unwrap(), 2.5, max_relative = 1e-9);
    }
    // A load of the other sign first relieves, then presses: (-246 - 15)/-10.
    let r = reserve(246.0, [0.0e6, -10.0e6, 0.0e6], [0.0e6, 15.0e6, 0.0e6]);
    for f in [r.maximum_stress, r.tsai_hill, r.tsai_wu] {
        assert_relative_eq!(f.unwrap(), 26.1, max_relative = 1e-9);
    }
    // Failed by the residual stress alone.
    let r = reserve(246.0, [0.0e6, 1.0e6, 0.0e6], [0.0e6, 41.0e6, 0.0e6]);
    assert_eq!(r.maximum_stress, Some(0.0));
    assert_eq!(r.tsai_hill, Some(0.0));
    assert_eq!(r.tsai_wu, Some(0.0));
}

/// S. P. Timoshenko, "Analysis of bi-metal thermostats" (1925): two layers of thickness t1, t2 and modulus E1, E2
/// that want to differ by e bow with k = 6 e (1 + m)²/(h (3 (1 + m)² + (1 + m n)(m² + 1/(m n)))), m = t1/t2,
/// n = E1/E2. Of equal Poisson's ratio a plate bows alike both ways. Analytic: 1e-9.
#[test]
fn bow_of_a_gel_coated_wall_is_timoshenkos_strip() {
    for (t1, t2, e1, e2) in [
        (0.5, 2.0, 3.5e9, 6.4e9),
        (1.0, 1.0, 5e9, 5e9),
        (0.3, 4.0, 3.0e9, 9.0e9),
    ] {
        let iso = |e: f64| elastic(e, e, 0.3, e / 2.6);
        let mut gel = ply(iso(e1), t1, 0.0);
        gel.material.shrinkage1 = Some(Strain::new(0.01).unwrap());
        let mut wall = ply(iso(e2), t2, 0.0);
        wall.material.shrinkage1 = Some(Strain::new(0.003).unwrap());
        let s = Stack::new(vec![gel, wall]).unwrap();
        let r = s
            .respond(&Load {
                cured: true,
                ..Load::default()
            })
            .unwrap();
        let (m, n, h) = (t1 / t2, e1 / e2, (t1 + t2) * 1e-3);
        let k = 6.0 * 0.007 * (1.0 + m).powi(2)
            / (h * (3.0 * (1.0 + m).powi(2) + (1.0 + m * n) * (m * m + 1.0 / (m * n))));
        // The gel coat shrinks more: the laid-up face is the longer, the wall hollows towards the mould.
        assert_relative_eq!(r.curvature_per_m[0], k, max_relative = 1e-9);
        assert_relative_eq!(r.curvature_per_m[1], k, max_relative = 1e-9);
        let l = 0.3;
        assert_relative_eq!(
            r.bow(q("300 mm")).unwrap().si(),
            k * l * l / 8.0,
            max_relative = 1e-9
        );
    }
}

/// An isotropic plate of 10 GPa, 0.3, 3 mm: A11 3.2967e7 N/m, D11 24.725 N m (analytic, E t/(1 - nu²) and
/// E t³/12/(1 - nu²)); engineering constants give E and nu back.
#[test]
fn isotropic_plate() {
    let e = Elastic::isotropic(q("10 GPa"), q("0.3")).unwrap();
    let s = Stack::new(vec![ply(e, 3.0, 37.0)]).unwrap();
    assert_relative_eq!(s.a_n_per_m()[0][0], 3.2967e7, max_relative = 1e-5);
    assert_relative_eq!(s.d_n_m()[0][0], 24.725, max_relative = 2e-5);
    for c in [s.in_plane().unwrap(), s.flexural().unwrap()] {
        assert_relative_eq!(c.ex.si(), 10e9, max_relative = 1e-12);
        assert_relative_eq!(c.gxy.si(), 10e9 / 2.6, max_relative = 1e-12);
        assert_relative_eq!(c.nuxy.get(), 0.3, max_relative = 1e-12);
    }
}

/// A gel coat with a strain to crack of 2 %, stretched to the point: M = e D/z on one material (analytic).
#[test]
fn gel_coat_cracks_at_its_strain() {
    let e = Elastic::isotropic(q("4 GPa"), q("0.0")).unwrap();
    let mut gel = ply(e, 0.5, 0.0);
    gel.material.strain_to_crack = Some(q("2 %"));
    let s = Stack::new(vec![gel, ply(e, 3.5, 0.0)]).unwrap();
    let d = 4e9 * 4e-3f64.powi(3) / 12.0;
    for (share, cracks) in [(0.999, false), (1.001, true)] {
        // A negative moment stretches the mould face, where the gel coat is.
        let m = -share * 0.02 * d / 2e-3;
        let r = s
            .respond(&Load {
                moment: moments([m, 0.0, 0.0]),
                ..Load::default()
            })
            .unwrap();
        assert_eq!(r.cracks[0].cracks, cracks);
        assert_relative_eq!(r.cracks[0].strain.get(), share * 0.02, max_relative = 1e-9);
    }
}
