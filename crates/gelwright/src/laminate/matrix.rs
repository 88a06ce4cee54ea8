//! The 3×3 algebra of lamination theory: product, sum, inverse by cofactors.

pub(super) type M3 = [[f64; 3]; 3];
pub(super) type V3 = [f64; 3];

pub(super) const ZERO: M3 = [[0.0; 3]; 3];

pub(super) fn combine(a: &M3, s: f64, b: &M3) -> M3 {
    let mut c = *a;
    for i in 0..3 {
        for j in 0..3 {
            c[i][j] += s * b[i][j];
        }
    }
    c
}

pub(super) fn times(a: &M3, b: &M3) -> M3 {
    let mut c = ZERO;
    for (i, row) in c.iter_mut().enumerate() {
        for (j, x) in row.iter_mut().enumerate() {
            *x = (0..3).map(|k| a[i][k] * b[k][j]).sum();
        }
    }
    c
}

pub(super) fn apply(a: &M3, v: V3) -> V3 {
    [0, 1, 2].map(|i| a[i][0] * v[0] + a[i][1] * v[1] + a[i][2] * v[2])
}

pub(super) fn scale(a: &M3, s: f64) -> M3 {
    a.map(|row| row.map(|x| s * x))
}

pub(super) fn transpose(a: &M3) -> M3 {
    [0, 1, 2].map(|i| [a[0][i], a[1][i], a[2][i]])
}

pub(super) fn add(a: V3, b: V3) -> V3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// The inverse, or `None` where the determinant is zero or not finite.
pub(super) fn inverse(a: &M3) -> Option<M3> {
    let c = |i: usize, j: usize| {
        let (p, q) = ((i + 1) % 3, (i + 2) % 3);
        let (r, s) = ((j + 1) % 3, (j + 2) % 3);
        a[p][r] * a[q][s] - a[p][s] * a[q][r]
    };
    let det = a[0][0] * c(0, 0) + a[0][1] * c(0, 1) + a[0][2] * c(0, 2);
    if det == 0.0 || !det.is_finite() {
        return None;
    }
    let mut out = ZERO;
    for (i, row) in out.iter_mut().enumerate() {
        for (j, x) in row.iter_mut().enumerate() {
            *x = c(j, i) / det;
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_undoes() {
        let a = [[4.0, 1.0, -0.5], [1.0, 3.0, 0.25], [-0.5, 0.25, 2.0]];
        let one = times(&a, &inverse(&a).unwrap());
        for (i, row) in one.iter().enumerate() {
            for (j, x) in row.iter().enumerate() {
                assert!((x - f64::from(u8::from(i == j))).abs() < 1e-14);
            }
        }
        assert!(inverse(&ZERO).is_none());
    }
}
