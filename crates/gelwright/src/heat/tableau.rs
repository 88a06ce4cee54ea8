//! Coefficients of the linearly implicit Runge-Kutta (Rosenbrock) methods.
//!
//! In the form with transformed stages: stage `s` solves
//! `(1/(h gamma) - J) U_s = f(t + at_s h, y + sum a_sj U_j) + sum (c_sj/h) U_j + d_s h df/dt`, and the last
//! stage is both the correction and the error estimate: the new value is the last argument plus `U_S`.

/// A stiffly accurate Rosenbrock method with `S` stages.
pub(crate) struct Tableau<const S: usize> {
    pub(crate) a: [[f64; S]; S],
    pub(crate) c: [[f64; S]; S],
    pub(crate) at: [f64; S],
    pub(crate) d: [f64; S],
    pub(crate) gamma: f64,
    /// Weights of the stages in the bend and the twist of [`Cubic`](super::cubic::Cubic): values within the step.
    pub(crate) dense: [[f64; S]; 2],
    /// One over the order that the error estimate shrinks with.
    pub(crate) exponent: f64,
}

/// RODAS4, order 4(3), six stages, L-stable. E. Hairer, G. Wanner, Solving Ordinary Differential Equations II,
/// 2nd ed. (1996), section IV.7 and its code RODAS (coefficient set 1).
pub(crate) const RODAS4: Tableau<6> = Tableau {
    a: [
        [0.0; 6],
        [1.544, 0.0, 0.0, 0.0, 0.0, 0.0],
        [
            0.946_678_528_081_582_6,
            0.255_701_169_898_328_4,
            0.0,
            0.0,
            0.0,
            0.0,
        ],
        [
            3.314_825_187_068_521,
            2.896_124_015_972_201,
            0.998_641_913_997_781_7,
            0.0,
            0.0,
            0.0,
        ],
        [
            1.221_224_509_226_641,
            6.019_134_481_288_629,
            12.537_083_329_320_87,
            -0.687_886_036_105_895,
            0.0,
            0.0,
        ],
        [
            1.221_224_509_226_641,
            6.019_134_481_288_629,
            12.537_083_329_320_87,
            -0.687_886_036_105_895,
            1.0,
            0.0,
        ],
    ],
    c: [
        [0.0; 6],
        [-5.6688, 0.0, 0.0, 0.0, 0.0, 0.0],
        [
            -2.430_093_356_833_875,
            -0.206_359_915_709_191_5,
            0.0,
            0.0,
            0.0,
            0.0,
        ],
        [
            -0.107_352_905_815_137_5,
            -9.594_562_251_023_355,
            -20.470_286_148_096_16,
            0.0,
            0.0,
            0.0,
        ],
        [
            7.496_443_313_967_647,
            -10.246_804_314_643_52,
            -33.999_903_528_199_05,
            11.708_908_932_061_6,
            0.0,
            0.0,
        ],
        [
            8.083_246_795_921_522,
            -7.981_132_988_064_893,
            -31.521_594_328_743_71,
            16.319_305_431_231_36,
            -6.058_818_238_834_054,
            0.0,
        ],
    ],
    at: [0.0, 0.386, 0.21, 0.63, 1.0, 1.0],
    d: [0.25, -0.1043, 0.1035, -0.036_200_000_000_000_23, 0.0, 0.0],
    gamma: 0.25,
    dense: [
        [
            10.126_235_083_445_86,
            -7.487_995_877_610_167,
            -34.800_918_615_557_47,
            -7.992_771_707_568_823,
            1.025_137_723_295_662,
            0.0,
        ],
        [
            -0.676_280_339_280_125_3,
            6.087_714_651_680_015,
            16.430_843_208_924_78,
            24.767_225_114_183_86,
            -6.594_389_125_716_872,
            0.0,
        ],
    ],
    exponent: 0.25,
};
