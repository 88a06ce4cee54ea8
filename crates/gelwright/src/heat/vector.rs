//! `exp` and `ln` on four lanes of `f64`, written so that the compiler turns them into vector instructions of
//! whatever the target has (two lanes at a time on baseline x86-64), without `unsafe` and without a library.
//!
//! Method: `exp(x) = 2^k exp(r)` with `k = round(x/ln 2)`, `|r| <= ln(2)/2`, Taylor to `r^9`; largest relative error
//! over -700..700: 1e-11. `ln(x) = e ln 2 + 2 artanh(s)`, `s = (m - 1)/(m + 1)`, `m` in 0.707..1.414, odd series to `s^13`;
//! largest error 2e-12 relative or 1e-12 absolute. Both are asserted below. That is a thousand times below the tightest
//! tolerance of a step; more terms would only cost time.

/// Lanes worked on together.
pub(crate) const LANES: usize = 4;

/// Four numbers side by side.
pub(crate) type Lanes = [f64; LANES];

/// Applies `f` to each lane; after inlining this is straight vector code.
#[inline(always)]
pub(crate) fn map(x: Lanes, f: impl Fn(f64) -> f64) -> Lanes {
    let mut y = [0.0; LANES];
    for l in 0..LANES {
        y[l] = f(x[l]);
    }
    y
}

/// Applies `f` to each pair of lanes.
#[inline(always)]
pub(crate) fn zip(x: Lanes, y: Lanes, f: impl Fn(f64, f64) -> f64) -> Lanes {
    let mut z = [0.0; LANES];
    for l in 0..LANES {
        z[l] = f(x[l], y[l]);
    }
    z
}

#[inline(always)]
fn fused(a: Lanes, x: Lanes, c: Lanes) -> Lanes {
    zip(zip(a, x, |a, x| a * x), c, |y, c| y + c)
}

/// `e^x`, `x` held within -700..700 (so never zero, never infinite).
#[inline(always)]
pub(crate) fn exp(x: Lanes) -> Lanes {
    // Adding 1.5 * 2^52 rounds to an integer, which then stands in the low bits.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    const LN2_HI: f64 = 6.931_471_803_691_238e-1;
    const LN2_LO: f64 = 1.908_214_929_270_587_7e-10;
    let x = map(x, |x| if x > 700.0 { 700.0 } else { x });
    let x = map(x, |x| if x < -700.0 { -700.0 } else { x });
    let t = map(x, |x| x * std::f64::consts::LOG2_E + ROUND);
    let k = map(t, |t| t - ROUND);
    let r = zip(x, k, |x, k| (x - k * LN2_HI) - k * LN2_LO);
    let r2 = map(r, |r| r * r);
    let r4 = map(r2, |r| r * r);
    // Pairs of terms side by side (Estrin) rather than one long chain.
    let p01 = map(r, |r| 1.0 + r);
    let p23 = map(r, |r| 0.5 + r * (1.0 / 6.0));
    let p45 = map(r, |r| 1.0 / 24.0 + r * (1.0 / 120.0));
    let p67 = map(r, |r| 1.0 / 720.0 + r * (1.0 / 5_040.0));
    let p89 = map(r, |r| 1.0 / 40_320.0 + r * (1.0 / 362_880.0));
    let low = fused(p23, r2, p01);
    let high = fused(p67, r2, p45);
    let high = fused(p89, r4, high);
    let p = fused(high, r4, low);
    zip(p, t, |p, t| {
        f64::from_bits(p.to_bits().wrapping_add(t.to_bits() << 52))
    })
}

/// Natural logarithm of positive, normal numbers (the caller keeps `x >= 1e-300`).
#[inline(always)]
pub(crate) fn ln(x: Lanes) -> Lanes {
    const LN2_HI: f64 = 6.931_471_803_691_238e-1;
    const LN2_LO: f64 = 1.908_214_929_270_587_7e-10;
    const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;
    const ONE: u64 = 0x3ff0_0000_0000_0000;
    const TWO52: u64 = 0x4330_0000_0000_0000;
    let m = map(x, |x| f64::from_bits((x.to_bits() & MANTISSA) | ONE));
    let e = map(x, |x| {
        f64::from_bits((x.to_bits() >> 52) | TWO52) - (4_503_599_627_370_496.0 + 1023.0)
    });
    let big = map(m, |m| if m > std::f64::consts::SQRT_2 { 1.0 } else { 0.0 });
    let m = zip(m, big, |m, b| m * (1.0 - 0.5 * b));
    let e = zip(e, big, |e, b| e + b);
    let s = map(m, |m| (m - 1.0) / (m + 1.0));
    let z = map(s, |s| s * s);
    let z2 = map(z, |z| z * z);
    let p01 = map(z, |z| 2.0 / 3.0 + z * (2.0 / 5.0));
    let p23 = map(z, |z| 2.0 / 7.0 + z * (2.0 / 9.0));
    let p45 = map(z, |z| 2.0 / 11.0 + z * (2.0 / 13.0));
    let p = fused(fused(p45, z2, p23), z2, p01);
    let tail = zip(zip(p, z, |p, z| p * z), s, |pz, s| pz * s);
    let small = zip(e, tail, |e, t| e * LN2_LO + t);
    let small = zip(small, s, |t, s| t + 2.0 * s);
    zip(e, small, |e, t| e * LN2_HI + t)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exp_against_the_standard_library() {
        let mut worst = 0.0_f64;
        for i in 0..200_000 {
            let x = -700.0 + 0.007 * f64::from(i) + 1e-4 * f64::from(i % 17);
            let x = x.min(700.0);
            worst = worst.max((exp([x; 4])[0] / x.exp() - 1.0).abs());
        }
        assert!(worst < 1e-11, "{worst:e}");
        assert_eq!(exp([0.0; 4]), [1.0; 4]);
        assert!(exp([-1e300; 4])[0] < 1e-300 && exp([1e300; 4])[0].is_finite());
    }

    #[test]
    fn ln_against_the_standard_library() {
        let (mut relative, mut near_one) = (0.0_f64, 0.0_f64);
        for i in 0..400_000 {
            let x = 10f64.powf(-300.0 + 0.0015 * f64::from(i)) * (1.0 + 0.3 * f64::from(i % 7));
            relative = relative.max((ln([x; 4])[2] / x.ln() - 1.0).abs());
            let y = 0.5 + f64::from(i) / 400_000.0;
            near_one = near_one.max((ln([y; 4])[1] - y.ln()).abs());
        }
        assert!(relative < 2e-12 && near_one < 1e-12, "{relative:e} {near_one:e}");
    }
}
