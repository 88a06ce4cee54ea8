//! Sums that do not lose what is small.

/// A sum that carries its rounding (Neumaier's form of Kahan's sum).
#[derive(Clone, Copy, Default)]
pub(crate) struct Sum {
    sum: f64,
    lost: f64,
}

impl Sum {
    pub(crate) fn add(&mut self, x: f64) {
        let t = self.sum + x;
        self.lost += if self.sum.abs() >= x.abs() {
            (self.sum - t) + x
        } else {
            (x - t) + self.sum
        };
        self.sum = t;
    }
    pub(crate) fn value(self) -> f64 {
        self.sum + self.lost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_small_stays() {
        let mut sum = Sum::default();
        [1.0, 1e100, 1.0, -1e100].into_iter().for_each(|x| sum.add(x));
        assert_eq!(sum.value(), 2.0);
    }
}
