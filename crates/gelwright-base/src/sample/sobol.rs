//! Sobol' points, scrambled: the coordinate for (seed, dimension, index) is a pure function of the three, so an answer is
//! the same on any number of threads and in any order.
//!
//! Points: I. M. Sobol', On the distribution of points in a cube and the approximate evaluation of integrals, USSR Comput.
//! Math. Math. Phys. 7 (1967) 86-112, doi 10.1016/0041-5553(67)90144-9. Scrambling: A. B. Owen, Randomly permuted
//! (t,m,s)-nets and (t,s)-sequences, in Monte Carlo and Quasi-Monte Carlo Methods in Scientific Computing, Lecture Notes in
//! Statistics 106 (1995) 299-317, doi 10.1007/978-1-4612-2552-2_19: each digit is turned over or not by a coin that depends
//! on all digits before it. The coins come from a hash, as in B. Burley, Practical Hash-based Owen Scrambling, Journal of
//! Computer Graphics Techniques 9 (4) (2020) 1-20, <https://jcgt.org/published/0009/04/01/>; here from one hash a digit, so
//! that they are independent and no quality rests on a short hash.

use super::directions::ROWS;
use crate::random::{mixed, open_unit, philox};

/// Dimensions with direction numbers of their own.
pub const DIMENSIONS: usize = ROWS.len() + 1;
/// Binary digits of a point, and so of the index.
const DIGITS: u32 = 32;

/// The plain point's coordinate in units of 2^-32, for an index below 2^32 and a dimension below [`DIMENSIONS`].
///
/// Points come in the order of their index, not in Gray code's: the first 2^m are the same either way.
fn plain(dimension: usize, index: u32) -> u32 {
    let Some(row) = dimension.checked_sub(1).map(|d| &ROWS[d]) else {
        return index.reverse_bits();
    };
    // v_k = m_k / 2^k; m_k by the recurrence of the polynomial: Joe and Kuo (2008), equation (2).
    let (a, first) = (u32::from(row.0), row.1);
    let degree = first.len();
    let mut v = [0u32; DIGITS as usize];
    let mut found = 0;
    let used = (DIGITS - index.leading_zeros()) as usize;
    for k in 0..used {
        v[k] = match first.get(k) {
            Some(m) => u32::from(*m) << (31 - k),
            None => {
                let mut next = v[k - degree] ^ (v[k - degree] >> degree);
                for i in 1..degree {
                    if a >> (degree - i) & 1 == 1 {
                        next ^= v[k - i];
                    }
                }
                next
            }
        };
        if index >> k & 1 == 1 {
            found ^= v[k];
        }
    }
    found
}

/// `word` with its digits scrambled by `key`, and 32 more digits after them.
fn scrambled(word: u32, key: u64) -> u64 {
    let mut turned = 0u32;
    for digit in 0..DIGITS {
        // All digits before this one, behind a one that says how many they are.
        let before = (1u64 << digit) | u64::from(word.checked_shr(DIGITS - digit).unwrap_or(0));
        let coin = mixed(key ^ before.wrapping_mul(0x9E37_79B9_7F4A_7C15)) >> 63;
        turned |= u32::from(coin == 1) << (DIGITS - 1 - digit);
    }
    // Behind the last digit of the plain point stand zeros: scrambled, they are coins that depend on the point alone.
    let rest = mixed(key ^ ((1u64 << DIGITS) | u64::from(word)).wrapping_mul(0x9E37_79B9_7F4A_7C15)) >> 32;
    u64::from(word ^ turned) << 32 | rest
}

/// A scrambling of Sobol' points: each coordinate uniform between 0 and 1, the first 2^m points a net.
///
/// Beyond [`DIMENSIONS`] the points are those of the first dimensions again in another order (padding: Burley 2020, section
/// 4), so that inputs of which only a few matter together still go well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sobol {
    seed: u64,
}

/// Streams of keys that no other numbers of the same seed use.
const OF_COORDINATE: u64 = 1 << 63;
const OF_ORDER: u64 = OF_COORDINATE | 1 << 62;

impl Sobol {
    /// That of a seed; two seeds give two independent scramblings.
    pub const fn new(seed: u64) -> Self {
        Sobol { seed }
    }

    /// Coordinate `dimension` of point `index`, strictly between 0 and 1.
    pub fn at(self, dimension: usize, index: u32) -> f64 {
        let (set, within) = (dimension / DIMENSIONS, dimension % DIMENSIONS);
        let index = match set {
            0 => index,
            // The first 2^m points become another run of 2^m in another order: a net, too.
            set => shuffled(index, self.key(OF_ORDER, set)),
        };
        open_unit(scrambled(
            plain(within, index),
            self.key(OF_COORDINATE, dimension),
        ))
    }

    fn key(self, stream: u64, of: usize) -> u64 {
        philox([self.seed, stream], [of as u64, 0, 0, 0])[0]
    }
}

/// Another order of the points, in which every run of 2^m from a multiple of 2^m stays one.
#[allow(clippy::cast_possible_truncation)]
fn shuffled(index: u32, key: u64) -> u32 {
    (scrambled(index, key) >> 32) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Independent computation: SciPy 1.17.1, `scipy.stats.qmc.Sobol(128, scramble=False, bits=32)`, whose point `i` is ours
    /// of the index with the Gray code of `i`.
    #[test]
    fn plain_points_are_those_of_the_published_table() {
        for (i, expected) in [
            (
                1u32,
                [0x8000_0000, 0x8000_0000, 0x8000_0000, 0x8000_0000, 0x8000_0000],
            ),
            (
                2,
                [
                    3_221_225_472,
                    1_073_741_824,
                    1_073_741_824,
                    3_221_225_472,
                    1_073_741_824,
                ],
            ),
            (
                7,
                [
                    536_870_912,
                    2_684_354_560,
                    1_610_612_736,
                    1_610_612_736,
                    1_610_612_736,
                ],
            ),
            (
                1000,
                [
                    943_718_400,
                    415_236_096,
                    2_227_175_424,
                    1_916_796_928,
                    2_336_227_328,
                ],
            ),
            (
                1023,
                [
                    4_194_304,
                    3_233_808_384,
                    2_629_828_608,
                    171_966_464,
                    3_007_315_968,
                ],
            ),
        ] {
            let found = [0, 1, 2, 63, 127].map(|d| plain(d, i ^ (i >> 1)));
            assert_eq!(found, expected, "point {i}");
        }
    }

    /// Independent computation: SciPy 1.17.1, `scipy.stats.qmc.Sobol(2, scramble=False)`, its first eight points.
    #[test]
    fn the_first_eight_points_of_a_square() {
        let expected = [
            [0.0, 0.0],
            [0.5, 0.5],
            [0.75, 0.25],
            [0.25, 0.75],
            [0.375, 0.375],
            [0.875, 0.875],
            [0.625, 0.125],
            [0.125, 0.625],
        ];
        for (i, expected) in (0u32..).zip(expected) {
            let found = [0, 1].map(|d| f64::from(plain(d, i ^ (i >> 1))) / 4_294_967_296.0);
            assert_eq!(found, expected, "point {i}");
        }
    }

    /// Analytic: each of the 2^m equal parts of an axis holds one of the first 2^m points; for the first two dimensions
    /// each of the 2^m equal rectangles does ((0,m,2)-net). Scrambling keeps it (Owen 1995).
    #[test]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    fn a_scrambled_net_is_a_net() {
        const M: u32 = 8;
        for seed in 0..3 {
            let s = Sobol::new(seed);
            let part = |x: f64, bits: u32| (x * f64::from(1u32 << bits)) as usize;
            for d in [0, 1, 5, 64, DIMENSIONS - 1, DIMENSIONS, 3 * DIMENSIONS + 7] {
                let mut held = [0; 1 << M];
                (0..1 << M).for_each(|i| held[part(s.at(d, i), M)] += 1);
                assert!(held.iter().all(|n| *n == 1), "dimension {d}");
            }
            for bits in 1..M {
                let mut held = [0; 1 << M];
                for i in 0..1 << M {
                    held[part(s.at(0, i), bits) << (M - bits) | part(s.at(1, i), M - bits)] += 1;
                }
                assert!(held.iter().all(|n| *n == 1), "{bits} bits");
            }
        }
    }

    /// Analytic: the mean over the cube of `Π (1 + (x_j - 1/2)/j²)` is 1. The root mean square error over the scramblings
    /// falls by some 2^1.5 a doubling for a smooth function (Owen, Annals of Statistics 25 (1997) 1541), by 2^0.5 for
    /// plain random numbers: 16 times as many points must give at least 2^(4·1.2) = 28 times less.
    #[test]
    fn the_error_falls_faster_than_of_random_numbers() {
        let error = |m: u32| {
            let of = |seed| {
                let s = Sobol::new(seed);
                let sum: f64 = (0..1 << m)
                    .map(|i| {
                        (0..6).fold(1.0, |f, d| {
                            let j = f64::from(u8::try_from(d + 1).unwrap());
                            f * (1.0 + (s.at(d, i) - 0.5) / (j * j))
                        })
                    })
                    .sum();
                (sum / f64::from(1u32 << m) - 1.0).powi(2)
            };
            ((0..32).map(of).sum::<f64>() / 32.0).sqrt()
        };
        let (few, many) = (error(6), error(10));
        assert!(few / many > 28.0, "{few} {many}");
    }

    /// Analytic: over the scramblings any one coordinate is uniform, and so independent of the same one of another seed;
    /// within four standard errors of its mean, its variance and its covariance with the next seed's.
    #[test]
    fn any_one_coordinate_is_uniform_over_the_scramblings() {
        const N: u32 = 1 << 12;
        for (d, i) in [(0, 0), (0, 77), (9, 3), (200, 1_000_000)] {
            let x = |seed: u32| Sobol::new(u64::from(seed)).at(d, i) - 0.5;
            let mean = |of: &dyn Fn(u32) -> f64| (0..N).map(of).sum::<f64>() / f64::from(N);
            let root = f64::from(N).sqrt();
            // variances of x, x², x·x': 1/12, 1/180, 1/144
            assert!(mean(&x).abs() < 4.0 * (1.0 / 12f64).sqrt() / root);
            assert!((mean(&|s| x(s) * x(s)) - 1.0 / 12.0).abs() < 4.0 * (1.0 / 180f64).sqrt() / root);
            assert!(mean(&|s| x(s) * x(s + 1)).abs() < 4.0 / 12.0 / root);
        }
    }
}
