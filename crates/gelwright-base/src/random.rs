//! Counter-based random numbers: the number for (seed, stream, index) is a pure function of the three, so an answer is
//! the same on any number of threads and in any order.
//!
//! Philox4x64-10 of J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, Parallel Random Numbers: As Easy as 1, 2, 3,
//! SC '11 (2011).

const MULTIPLIERS: [u64; 2] = [0xD2E7_470E_E14C_6C93, 0xCA5A_8263_9512_1157];
const WEYL: [u64; 2] = [0x9E37_79B9_7F4A_7C15, 0xBB67_AE85_84CA_A73B];
const ROUNDS: u32 = 10;

/// One block of four words.
pub fn philox(key: [u64; 2], counter: [u64; 4]) -> [u64; 4] {
    let (mut k, mut c) = (key, counter);
    for round in 0..ROUNDS {
        if round > 0 {
            k = [k[0].wrapping_add(WEYL[0]), k[1].wrapping_add(WEYL[1])];
        }
        let (h0, l0) = wide(MULTIPLIERS[0], c[0]);
        let (h1, l1) = wide(MULTIPLIERS[1], c[2]);
        c = [h1 ^ c[1] ^ k[0], l1, h0 ^ c[3] ^ k[1], l0];
    }
    c
}

#[allow(clippy::cast_possible_truncation)]
fn wide(a: u64, b: u64) -> (u64, u64) {
    let p = u128::from(a) * u128::from(b);
    ((p >> 64) as u64, p as u64)
}

/// A word whose every bit depends on every bit of another: the finalizer of G. L. Steele, D. Lea, C. H. Flood, Fast
/// Splittable Pseudorandom Number Generators, OOPSLA '14 (2014) 453-472, doi 10.1145/2660193.2660195 (variant 13 of
/// D. Stafford, as in SplitMix64). One to one.
pub(crate) fn mixed(word: u64) -> u64 {
    let x = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^ (x >> 31)
}

/// A number strictly between 0 and 1, from the upper 53 bits of a word.
#[allow(clippy::cast_precision_loss)]
pub(crate) fn open_unit(word: u64) -> f64 {
    // 2^53 steps of 2^-53, each in its middle: never 0, never 1.
    ((word >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
}

/// Two independent numbers, uniform between 0 and 1, for (seed, stream, index).
pub fn uniform_pair(seed: u64, stream: u64, index: u64) -> [f64; 2] {
    let [a, b, ..] = philox([seed, 0], [index, stream, 0, 0]);
    [open_unit(a), open_unit(b)]
}

/// A number uniform between 0 and 1 for (seed, stream, index).
pub fn uniform(seed: u64, stream: u64, index: u64) -> f64 {
    uniform_pair(seed, stream, index)[0]
}

/// A number of the standard normal distribution for (seed, stream, index): G. E. P. Box, M. E. Muller, A Note on the
/// Generation of Random Normal Deviates, Ann. Math. Statist. 29 (1958) 610.
pub fn normal(seed: u64, stream: u64, index: u64) -> f64 {
    let [a, b] = uniform_pair(seed, stream, index);
    (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published: tests/kat_vectors of the Random123 distribution of the paper's authors, lines `philox4x64 10`, as several
    /// public test suites quote them.
    #[test]
    fn blocks_are_the_published_ones() {
        let (zero, ones) = (0, u64::MAX);
        for (key, counter, block) in [
            (
                [zero; 2],
                [zero; 4],
                [
                    0x1655_4d9e_ca36_314c,
                    0xdb20_fe9d_672d_0fdc,
                    0xd7e7_72ce_e186_176b,
                    0x7e68_b68a_ec7b_a23b,
                ],
            ),
            (
                [ones; 2],
                [ones; 4],
                [
                    0x87b0_92c3_013f_e90b,
                    0x438c_3c67_be8d_0224,
                    0x9cc7_d7c6_9cd7_77b6,
                    0xa09c_aebf_594f_0ba0,
                ],
            ),
            (
                [0x4528_21e6_38d0_1377, 0xbe54_66cf_34e9_0c6c],
                [
                    0x243f_6a88_85a3_08d3,
                    0x1319_8a2e_0370_7344,
                    0xa409_3822_299f_31d0,
                    0x082e_fa98_ec4e_6c89,
                ],
                [
                    0xa528_f454_03e6_1d95,
                    0x38c7_2dbd_566e_9788,
                    0xa5a1_610e_72fd_18b5,
                    0x57bd_43b5_e52b_7fe6,
                ],
            ),
        ] {
            assert_eq!(philox(key, counter), block);
        }
    }

    /// Independent computation: NumPy 2.4 `numpy.random.Philox`, which counts up before it draws (so its first block is
    /// that of counter + 1).
    #[test]
    fn blocks_are_those_of_numpy() {
        assert_eq!(
            philox([0, 0], [1, 0, 0, 0]),
            [
                0x02f4_ba64_08e4_d89b,
                0x3dd6_2b0b_9ca8_c5b2,
                0x1c86_67a5_5d90_2e79,
                0x907d_7a05_2fd5_b4dc
            ]
        );
        assert_eq!(
            philox(
                [0x243f_6a88_85a3_08d3, 0x1319_8a2e_0370_7344],
                [0x12, 0x22, 0x33, 0x44]
            ),
            [
                0xd73f_ea59_8bfc_1d16,
                0xd558_5e2f_4536_77de,
                0x5b50_f46d_8a2f_5d50,
                0xff24_e761_7574_64dc
            ]
        );
    }

    #[test]
    fn normals_have_mean_zero_and_variance_one() {
        const N: u32 = 100_000;
        let draws: Vec<f64> = (0..u64::from(N)).map(|i| normal(7, 3, i)).collect();
        let mean = draws.iter().sum::<f64>() / f64::from(N);
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / f64::from(N - 1);
        // four standard errors: 1/sqrt(N) of the mean, sqrt(2/N) of the variance
        assert!(mean.abs() < 4.0 / f64::from(N).sqrt(), "{mean}");
        assert!(
            (variance - 1.0).abs() < 4.0 * (2.0 / f64::from(N)).sqrt(),
            "{variance}"
        );
    }
}
