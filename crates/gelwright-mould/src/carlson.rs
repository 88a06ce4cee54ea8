//! Carlson's symmetric elliptic integrals, by duplication.

/// `R_F(x, y, z)`; none of them negative, at most one zero.
pub(crate) fn rf(x: f64, y: f64, z: f64) -> f64 {
    let (mut x, mut y, mut z) = (x, y, z);
    // Each step brings the three four times closer: 40 are more than a double can tell apart.
    for _ in 0..40 {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
        let mean = (x + y + z) / 3.0;
        let away = (x - mean).abs().max((y - mean).abs()).max((z - mean).abs());
        if away < 2e-3 * mean {
            break;
        }
    }
    let mean = (x + y + z) / 3.0;
    let (dx, dy) = (1.0 - x / mean, 1.0 - y / mean);
    let dz = -dx - dy;
    let (e2, e3) = (dx * dy - dz * dz, dx * dy * dz);
    (1.0 - e2 / 10.0 + e3 / 14.0 + e2 * e2 / 24.0 - 3.0 * e2 * e3 / 44.0) / mean.sqrt()
}

/// `R_D(x, y, z)`; none of them negative, `z` above zero, at most one of `x`, `y` zero.
pub(crate) fn rd(x: f64, y: f64, z: f64) -> f64 {
    let (mut x, mut y, mut z) = (x, y, z);
    let (mut sum, mut weight) = (0.0, 1.0);
    for _ in 0..40 {
        let lambda = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        sum += weight / (z.sqrt() * (z + lambda));
        weight *= 0.25;
        (x, y, z) = (0.25 * (x + lambda), 0.25 * (y + lambda), 0.25 * (z + lambda));
        let mean = (x + y + 3.0 * z) / 5.0;
        let away = (x - mean).abs().max((y - mean).abs()).max((z - mean).abs());
        if away < 2e-3 * mean {
            break;
        }
    }
    let mean = (x + y + 3.0 * z) / 5.0;
    let (dx, dy) = (1.0 - x / mean, 1.0 - y / mean);
    let dz = -(dx + dy) / 3.0;
    let (e2, e3, e4, e5) = (
        dx * dy - 6.0 * dz * dz,
        (3.0 * dx * dy - 8.0 * dz * dz) * dz,
        3.0 * (dx * dy - dz * dz) * dz * dz,
        dx * dy * dz * dz * dz,
    );
    let series =
        1.0 - 3.0 * e2 / 14.0 + e3 / 6.0 + 9.0 * e2 * e2 / 88.0 - 3.0 * e4 / 22.0 - 9.0 * e2 * e3 / 52.0
            + 3.0 * e5 / 26.0;
    3.0 * sum + weight * series / (mean * mean.sqrt())
}

/// `R_G(x, y, z)`; none of them negative, at most one zero. The middle one is set apart, so that nothing cancels.
pub(crate) fn rg(x: f64, y: f64, z: f64) -> f64 {
    let mut s = [x, y, z];
    s.sort_by(f64::total_cmp);
    let [least, middle, most] = s;
    if middle == 0.0 {
        return 0.5 * most.sqrt();
    }
    let (x, y, z) = (most, least, middle);
    0.5 * (z * rf(x, y, z) - (x - z) * (y - z) * rd(x, y, z) / 3.0 + (x * y / z).sqrt())
}

/// Circumference of an ellipse of semi-axes `a`, `b`: `8 R_G(0, a^2, b^2)`.
pub(crate) fn ellipse(a: f64, b: f64) -> f64 {
    8.0 * rg(0.0, a * a, b * b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn near(a: f64, b: f64, relative: f64) {
        assert!((a / b - 1.0).abs() < relative, "{a} for {b}");
    }

    /// Values of B. C. Carlson, "Numerical computation of real or complex elliptic integrals", Numer. Algorithms 10 (1995)
    /// 13, section 3 (from memory).
    #[test]
    fn values_of_carlsons_paper() {
        near(rf(1.0, 2.0, 0.0), 1.311_028_777_146_1, 1e-13);
        near(rf(2.0, 3.0, 4.0), 0.584_082_841_677_15, 1e-13);
        near(rd(0.0, 2.0, 1.0), 1.797_210_352_103_4, 1e-13);
        near(rd(2.0, 3.0, 4.0), 0.165_105_272_942_61, 1e-13);
        near(rg(2.0, 3.0, 4.0), 1.725_503_028_069_2, 1e-13);
        near(rg(0.0, 16.0, 16.0), PI, 1e-13);
    }

    #[test]
    fn closed_forms() {
        // Analytic: all three equal.
        near(rf(3.0, 3.0, 3.0), 3f64.sqrt().recip(), 1e-14);
        near(rg(3.0, 3.0, 3.0), 3f64.sqrt(), 1e-14);
        near(ellipse(2.0, 2.0), 4.0 * PI, 1e-13);
        // Independent quadrature (SciPy): ellipse 2, 1 and 95, 55.
        near(ellipse(2.0, 1.0), 9.688_448_220_55, 1e-11);
        near(ellipse(95.0, 55.0), 479.654_393_1, 1e-9);
        // Analytic: flat, twice its length.
        near(ellipse(1.0, 1e-12), 4.0, 1e-10);
    }
}
