//! `exp` and `ln` without branches, so that a loop over cells becomes vector instructions, and [`widest`], which
//! runs a kernel with the widest ones that the machine has.
//!
//! Method: `exp(x) = 2^k exp(r)` with `k = round(x/ln 2)`, `|r| <= ln(2)/2`; `ln(x) = e ln 2 + 2 artanh(s)`,
//! `s = (m - 1)/(m + 1)`, `m` in 0.707..1.414. The polynomials interpolate at Chebyshev points. Largest error of `exp`
//! over -700..700: 3e-10 relative; of `ln`: 2e-11, relative or absolute. Both are asserted below. A step's tightest tolerance
//! is a thousand times that; more terms would only cost time.

use std::sync::LazyLock;

use crate::cure::law::{Maths, at_least};

/// Room that is left behind the cells, so that a loop over cells may run on to a whole vector: lanes of the widest.
pub(crate) const LANES: usize = 8;

/// `n` rounded up to whole vectors.
#[inline]
pub(crate) fn padded(n: usize) -> usize {
    n.div_ceil(LANES) * LANES
}

/// A kernel that is compiled once for each width of vector. All it calls must be inlined into it.
pub(crate) trait Wide {
    /// What it answers.
    type Answer;
    /// Does it. `FUSED`: the machine multiplies and adds in one instruction, see [`fused`].
    fn run<const FUSED: bool>(self) -> Self::Answer;
}

struct Op<K>(K);

impl<K: Wide> pulp::WithSimd for Op<K> {
    type Output = K::Answer;
    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _: S) -> K::Answer {
        if S::IS_SCALAR {
            self.0.run::<false>()
        } else {
            self.0.run::<true>()
        }
    }
}

/// Does `kernel` with the widest vector instructions of this machine. Sums keep their order, so all machines
/// that fuse a product and a sum (x86-64 since 2013, all of aarch64) give the same bits.
#[inline]
pub(crate) fn widest<K: Wide>(kernel: K) -> K::Answer {
    static MACHINE: LazyLock<pulp::Arch> = LazyLock::new(pulp::Arch::new);
    MACHINE.dispatch(Op(kernel))
}

/// The exponential and the logarithm of this module, for the rate laws.
pub(crate) struct Lanes<const FUSED: bool>;

/// Smallest number a logarithm is taken of.
const TINY: f64 = 1e-300;

impl<const F: bool> Maths for Lanes<F> {
    #[inline(always)]
    fn exp(x: f64) -> f64 {
        exp::<F>(x)
    }

    #[inline(always)]
    fn ln(x: f64) -> f64 {
        ln::<F>(at_least(x, TINY))
    }

    #[inline(always)]
    fn fused(a: f64, x: f64, c: f64) -> f64 {
        fused::<F>(a, x, c)
    }
}

/// `a x + c`, rounded once where the machine can.
#[inline(always)]
pub(crate) fn fused<const FUSED: bool>(a: f64, x: f64, c: f64) -> f64 {
    if FUSED { a.mul_add(x, c) } else { a * x + c }
}

/// `e^x`, `x` held within -700..700 (so never zero, never infinite).
#[inline(always)]
pub(crate) fn exp<const F: bool>(x: f64) -> f64 {
    // Adding 1.5 * 2^52 rounds to an integer, which then stands in the low bits.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    const LN2_HI: f64 = 6.931_471_803_691_238e-1;
    const LN2_LO: f64 = 1.908_214_929_270_587_7e-10;
    let x = if x > 700.0 { 700.0 } else { x };
    let x = if x < -700.0 { -700.0 } else { x };
    let t = fused::<F>(x, std::f64::consts::LOG2_E, ROUND);
    let k = t - ROUND;
    let r = fused::<F>(-k, LN2_LO, fused::<F>(-k, LN2_HI, x));
    let r2 = r * r;
    // Even and odd terms side by side.
    let even = fused::<F>(1.393_364_999_630_925_1e-3, r2, 4.166_646_492_528_590_4e-2);
    let even = fused::<F>(even, r2, 0.500_000_001_346_581);
    let odd = fused::<F>(1.989_099_082_467_365_4e-4, r2, 8.333_310_925_480_9e-3);
    let odd = fused::<F>(odd, r2, 0.166_666_666_816_232_32);
    let p = fused::<F>(fused::<F>(odd, r, even), r2, r + 1.0);
    f64::from_bits(p.to_bits().wrapping_add(t.to_bits() << 52))
}

/// Natural logarithm of positive, normal numbers (the caller keeps `x >= 1e-300`).
#[inline(always)]
pub(crate) fn ln<const F: bool>(x: f64) -> f64 {
    const LN2_HI: f64 = 6.931_471_803_691_238e-1;
    const LN2_LO: f64 = 1.908_214_929_270_587_7e-10;
    const ONE: u64 = 0x3ff0_0000_0000_0000;
    const HALF_ROOT: u64 = 0x3fe6_a09e_667f_3bcd;
    const EXPONENT: u64 = 0xfff0_0000_0000_0000;
    const TWO52: u64 = 0x4330_0000_0000_0000;
    let shifted = x.to_bits().wrapping_add(ONE - HALF_ROOT);
    let e = f64::from_bits((shifted >> 52) | TWO52) - (4_503_599_627_370_496.0 + 1023.0);
    let m = f64::from_bits(x.to_bits().wrapping_sub(shifted & EXPONENT).wrapping_add(ONE));
    let s = (m - 1.0) / (m + 1.0);
    let z = s * s;
    let p = fused::<F>(0.233_316_144_718_434_98, z, 0.285_507_786_331_919_64);
    let p = fused::<F>(p, z, 0.400_001_222_118_106_5);
    let p = fused::<F>(p, z, 0.666_666_665_540_420_1);
    let tail = fused::<F>(p * z, s, e * LN2_LO);
    fused::<F>(e, LN2_HI, fused::<F>(2.0, s, tail))
}

/// Greatest `f` of the elements that stand side by side in `of`; -infinity of none. NaN is passed over.
#[inline(always)]
pub(crate) fn greatest<const N: usize>(of: [&[f64]; N], f: impl Fn([f64; N]) -> f64) -> f64 {
    let n = of.iter().map(|s| s.len()).min().unwrap_or(0);
    if n < LANES {
        // No vector to fill, and none to read out at the end.
        let mut most = f64::NEG_INFINITY;
        for i in 0..n {
            let x = f(of.map(|s| s[i]));
            most = if x > most { x } else { most };
        }
        return most;
    }
    let of = of.map(|s| s[..n].as_chunks::<LANES>());
    let mut most = [f64::NEG_INFINITY; LANES];
    for c in 0..n / LANES {
        let chunks = of.map(|(whole, _)| whole[c]);
        for l in 0..LANES {
            let x = f(chunks.map(|c| c[l]));
            most[l] = if x > most[l] { x } else { most[l] };
        }
    }
    for l in 0..n % LANES {
        let x = f(of.map(|(_, rest)| rest[l]));
        most[l] = if x > most[l] { x } else { most[l] };
    }
    most.iter()
        .fold(f64::NEG_INFINITY, |m, &x| if x > m { x } else { m })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(f: impl Fn(f64) -> [f64; 2], x: f64, expected: f64) -> (f64, f64) {
        let worst = f(x).map(|y| (y - expected).abs());
        let absolute = worst[0].max(worst[1]);
        (absolute / expected.abs(), absolute)
    }

    #[test]
    fn exp_against_the_standard_library() {
        let ours = |x| [exp::<true>(x), exp::<false>(x)];
        let mut worst = 0.0_f64;
        for i in 0..200_000 {
            let x = (-700.0 + 0.007 * f64::from(i) + 1e-4 * f64::from(i % 17)).min(700.0);
            worst = worst.max(both(ours, x, x.exp()).0);
        }
        assert!(worst < 3e-10, "{worst:e}");
        assert_eq!(ours(0.0), [1.0; 2]);
        assert!(exp::<true>(-1e300) < 1e-300 && exp::<true>(1e300).is_finite());
    }

    #[test]
    fn ln_against_the_standard_library() {
        let ours = |x| [ln::<true>(x), ln::<false>(x)];
        let (mut relative, mut near_one) = (0.0_f64, 0.0_f64);
        for i in 0..400_000 {
            let x = 10f64.powf(-300.0 + 0.0015 * f64::from(i)) * (1.0 + 0.3 * f64::from(i % 7));
            relative = relative.max(both(ours, x, x.ln()).0);
            let y = 0.5 + f64::from(i) / 400_000.0;
            near_one = near_one.max(both(ours, y, y.ln()).1);
        }
        assert!(relative < 2e-11 && near_one < 2e-11, "{relative:e} {near_one:e}");
        assert_eq!(ours(1.0), [0.0; 2]);
    }

    /// The widest vectors give the bits of plain numbers.
    #[test]
    fn the_width_of_the_vectors_does_not_show() {
        struct Sample<'a>(&'a [f64]);
        impl Wide for Sample<'_> {
            type Answer = (bool, Vec<u64>);
            #[inline(always)]
            fn run<const F: bool>(self) -> Self::Answer {
                let y = self
                    .0
                    .iter()
                    .map(|&x| exp::<F>(0.7 * ln::<F>(x) - 300.0 / x).to_bits());
                (F, y.collect())
            }
        }
        let x: Vec<f64> = (1..1000).map(|i| 0.37 * f64::from(i)).collect();
        let (fused, wide) = widest(Sample(&x));
        let plain = if fused {
            Sample(&x).run::<true>()
        } else {
            Sample(&x).run::<false>()
        };
        assert_eq!(wide, plain.1);
    }

    /// A machine that multiplies and adds in one instruction on vectors of four is not run as if it had none.
    #[test]
    fn the_vectors_of_the_machine_are_used() {
        struct Fuses;
        impl Wide for Fuses {
            type Answer = bool;
            #[inline(always)]
            fn run<const F: bool>(self) -> bool {
                F
            }
        }
        #[cfg(target_arch = "x86_64")]
        if std::is_x86_feature_detected!("avx2") && std::is_x86_feature_detected!("fma") {
            assert!(widest(Fuses));
        }
        #[cfg(target_arch = "aarch64")]
        assert!(widest(Fuses));
    }

    #[test]
    fn greatest_is_that_of_all() {
        for n in 0..40 {
            let a: Vec<f64> = (0..n).map(|i| f64::from(i * 7 % 11)).collect();
            let b: Vec<f64> = (0..n).map(|i| f64::from(i % 5)).collect();
            let expected = a
                .iter()
                .zip(&b)
                .map(|(a, b)| a - 3.0 * b)
                .fold(f64::NEG_INFINITY, f64::max);
            assert_eq!(greatest([&a, &b], |[a, b]| a - 3.0 * b), expected);
        }
    }

    #[test]
    fn any_number_of_cells_has_room_for_whole_vectors() {
        assert_eq!([1, 7, 8, 9].map(padded), [8, 8, 8, 16]);
    }
}
