//! Vertices that are one.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// A quick hash of whole numbers: multiply and fold.
#[derive(Default)]
pub(crate) struct Quick(u64);

impl Hasher for Quick {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|b| self.write_u64(u64::from(*b)));
    }
    fn write_u64(&mut self, x: u64) {
        let wide = u128::from(self.0 ^ x ^ 0x517c_c1b7_2722_0a95) * 0x9e37_79b9_7f4a_7c15;
        self.0 = (wide >> 64) as u64 ^ wide as u64;
    }
    fn write_i64(&mut self, x: i64) {
        self.write_u64(x as u64);
    }
}

pub(crate) type QuickMap<K, V> = HashMap<K, V, BuildHasherDefault<Quick>>;

/// Vertices with those within the tolerance of an earlier one left out.
pub(crate) struct Welded {
    pub(crate) vertices: Vec<[f64; 3]>,
    /// For each vertex that was given, which of these it is.
    pub(crate) which: Vec<u32>,
    /// Vertices that lay near an earlier one, not on it.
    pub(crate) near: usize,
}

/// Cells are this many tolerances wide, so that few points have a neighbour across a side.
const CELL: f64 = 16.0;

pub(crate) fn weld(given: &[[f64; 3]], tolerance: f64) -> Welded {
    let mut made = Welded {
        vertices: vec![],
        which: Vec::with_capacity(given.len()),
        near: 0,
    };
    let mut exact: QuickMap<(u64, u64, u64), u32> = QuickMap::default();
    exact.reserve(given.len() / 5);
    let mut first: QuickMap<(i64, i64, i64), u32> = QuickMap::default();
    let mut next: Vec<u32> = vec![];
    const NONE: u32 = u32::MAX;
    let cell = CELL * tolerance;
    for p in given {
        // Minus zero is zero.
        let key = p.map(|x| (x + 0.0).to_bits());
        let fresh = made.vertices.len() as u32;
        let slot = exact.entry((key[0], key[1], key[2])).or_insert(NONE);
        if *slot != NONE {
            made.which.push(*slot);
            continue;
        }
        let mut found = NONE;
        if tolerance > 0.0 {
            let low = p.map(|x| ((x - tolerance) / cell).floor() as i64);
            let high = p.map(|x| ((x + tolerance) / cell).floor() as i64);
            for x in low[0]..=high[0] {
                for y in low[1]..=high[1] {
                    for z in low[2]..=high[2] {
                        let mut v = first.get(&(x, y, z)).copied().unwrap_or(NONE);
                        while v != NONE {
                            let q = made.vertices[v as usize];
                            let away = (0..3).map(|i| (p[i] - q[i]).powi(2)).sum::<f64>();
                            if away <= tolerance * tolerance && v < found {
                                found = v;
                            }
                            v = next[v as usize];
                        }
                    }
                }
            }
            if found == NONE {
                let own = p.map(|x| (x / cell).floor() as i64);
                let head = first.entry((own[0], own[1], own[2])).or_insert(NONE);
                next.push(*head);
                *head = fresh;
            } else {
                made.near += 1;
            }
        }
        if found == NONE {
            made.vertices.push(*p);
            found = fresh;
        }
        *slot = found;
        made.which.push(found);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_within_the_tolerance_is_one() {
        let p = [
            [0.0; 3],
            [1.0, 0.0, 0.0],
            [1e-4, 0.0, 0.0],
            [-0.0, 0.0, 0.0],
            [1.0, 1e-3, 0.0],
        ];
        let w = weld(&p, 2e-4);
        assert_eq!(w.which, [0, 1, 0, 0, 2]);
        assert_eq!((w.vertices.len(), w.near), (3, 1));
        assert_eq!(weld(&p, 0.0).which, [0, 1, 2, 0, 3]);
        // Across the side of a cell.
        let side = [[16.0 * 0.1 - 1e-3, 0.0, 0.0], [16.0 * 0.1 + 1e-3, 0.0, 0.0]];
        assert_eq!(weld(&side, 0.1).which, [0, 0]);
    }
}
