//! Constants of physics, in SI units: each stands here and nowhere else.

/// Molar gas constant, J/(mol K): exact, `N_A k_B` of the SI of 2019.
///
/// Source: E. Tiesinga, P. J. Mohr, D. B. Newell, B. N. Taylor, CODATA recommended values of the fundamental physical
/// constants: 2018, Rev. Mod. Phys. 93 (2021) 025010, table XXXI; the adjustment of 2022 has the same value.
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Stefan-Boltzmann constant, W/(m² K⁴): exact in the SI of 2019, given to ten figures.
///
/// Source: as [`GAS_CONSTANT`].
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Standard acceleration of free fall, m/s²: exact by definition.
///
/// Source: 3rd General Conference on Weights and Measures, 1901, declaration 2 (the SI Brochure, BIPM, 9th edition, 2019,
/// appendix 1); ISO 80000-3:2019 names it `g_n`.
pub const GRAVITY: f64 = 9.806_65;

/// Zero of the Celsius scale, K: exact by definition.
///
/// Source: the SI Brochure, BIPM, 9th edition, 2019, section 2.3.1.
pub const ZERO_CELSIUS: f64 = 273.15;

/// Standard atmosphere, Pa: exact by definition.
///
/// Source: 10th General Conference on Weights and Measures, 1954, resolution 4.
pub const ATMOSPHERE: f64 = 101_325.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the defining constants of the SI Brochure, BIPM, 9th edition, 2019, section 2.2: `R = N_A k`,
    /// `sigma = 2 pi⁵ k⁴/(15 h³ c²)`.
    #[test]
    fn they_follow_from_the_defining_constants_of_the_si() {
        let (k, n, h, c) = (
            1.380_649e-23,
            6.022_140_76e23,
            6.626_070_15e-34_f64,
            299_792_458.0_f64,
        );
        assert!((GAS_CONSTANT / (n * k) - 1.0).abs() < 1e-15);
        let sigma = 2.0 * std::f64::consts::PI.powi(5) * f64::powi(k, 4) / (15.0 * h.powi(3) * c.powi(2));
        // To its ten figures.
        assert!((STEFAN_BOLTZMANN / sigma - 1.0).abs() < 1e-10);
    }
}
