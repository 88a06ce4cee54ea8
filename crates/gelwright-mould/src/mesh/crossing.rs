//! Triangles that cross each other: a tree of boxes, exact predicates.

use gelwright_base::Cancel;
use gelwright_base::cores::on_all_cores;
use gelwright_base::error::Result;
use robust::{Coord3D, orient3d};

/// How many pairs cross, and the first of them.
#[derive(Clone, Copy, Default)]
pub(crate) struct Crossings {
    pub(crate) pairs: usize,
    pub(crate) first: Option<(u32, u32)>,
}

impl Crossings {
    fn join(self, other: Crossings) -> Crossings {
        Crossings {
            pairs: self.pairs + other.pairs,
            first: match (self.first, other.first) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            },
        }
    }
}

type Box3 = ([f64; 3], [f64; 3]);

fn joined(a: &Box3, b: &Box3) -> Box3 {
    let mut out = *a;
    for i in 0..3 {
        out.0[i] = out.0[i].min(b.0[i]);
        out.1[i] = out.1[i].max(b.1[i]);
    }
    out
}

fn apart(a: &Box3, b: &Box3) -> bool {
    (0..3).any(|i| a.1[i] < b.0[i] || b.1[i] < a.0[i])
}

struct Node {
    bounds: Box3,
    /// The other child; the first follows its parent. Of a leaf: where its triangles begin.
    at: u32,
    /// Triangles of a leaf; 0 of a branch.
    count: u32,
}

const LEAF: usize = 4;

struct Tree<'a> {
    nodes: Vec<Node>,
    order: Vec<u32>,
    boxes: &'a [Box3],
}

impl Tree<'_> {
    fn new(boxes: &[Box3]) -> Tree<'_> {
        let mut tree = Tree {
            nodes: Vec::with_capacity(boxes.len()),
            order: (0..boxes.len() as u32).collect(),
            boxes,
        };
        let mut order = std::mem::take(&mut tree.order);
        tree.build(&mut order, 0);
        tree.order = order;
        tree
    }

    fn build(&mut self, part: &mut [u32], begin: u32) {
        let of = |t: &u32| self.boxes[*t as usize];
        let bounds = part[1..].iter().fold(of(&part[0]), |all, t| joined(&all, &of(t)));
        let here = self.nodes.len();
        self.nodes.push(Node {
            bounds,
            at: begin,
            count: part.len() as u32,
        });
        if part.len() <= LEAF {
            return;
        }
        let axis = (0..3)
            .max_by(|i, j| (bounds.1[*i] - bounds.0[*i]).total_cmp(&(bounds.1[*j] - bounds.0[*j])))
            .unwrap_or(0);
        let middle = |t: &u32| {
            let b = &self.boxes[*t as usize];
            b.0[axis] + b.1[axis]
        };
        let half = part.len() / 2;
        part.select_nth_unstable_by(half, |s, t| middle(s).total_cmp(&middle(t)).then(s.cmp(t)));
        let (low, high) = part.split_at_mut(half);
        self.build(low, begin);
        self.nodes[here].at = self.nodes.len() as u32;
        self.nodes[here].count = 0;
        self.build(high, begin + half as u32);
    }

    /// Calls `f` with every triangle after `t` whose box meets its box.
    fn after(&self, t: u32, mut f: impl FnMut(u32)) {
        let own = &self.boxes[t as usize];
        let mut open = vec![0u32];
        while let Some(n) = open.pop() {
            let node = &self.nodes[n as usize];
            if apart(&node.bounds, own) {
                continue;
            }
            if node.count == 0 {
                open.push(node.at);
                open.push(n + 1);
                continue;
            }
            for s in &self.order[node.at as usize..(node.at + node.count) as usize] {
                if *s > t && !apart(&self.boxes[*s as usize], own) {
                    f(*s);
                }
            }
        }
    }
}

/// The pairs of triangles that cross or touch where they share no edge or corner.
pub(crate) fn crossings(
    vertices: &[[f64; 3]],
    triangles: &[[u32; 3]],
    cancel: Cancel<'_>,
) -> Result<Crossings> {
    if triangles.is_empty() {
        return Ok(Crossings::default());
    }
    let at = |v: u32| vertices[v as usize];
    let boxes: Vec<Box3> = triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(at);
            let low = std::array::from_fn(|i| a[i].min(b[i]).min(c[i]));
            let high = std::array::from_fn(|i| a[i].max(b[i]).max(c[i]));
            (low, high)
        })
        .collect();
    let tree = Tree::new(&boxes);
    const RUN: usize = 4096;
    let runs = triangles.len().div_ceil(RUN);
    let of_run = |run: usize| -> Result<Crossings> {
        cancel.check()?;
        let mut found = Crossings::default();
        for t in run * RUN..((run + 1) * RUN).min(triangles.len()) {
            tree.after(t as u32, |s| {
                if cross(vertices, triangles[t], triangles[s as usize]) {
                    let pair = Crossings {
                        pairs: 1,
                        first: Some((t as u32, s)),
                    };
                    found = found.join(pair);
                }
            });
        }
        Ok(found)
    };
    let found: Vec<Crossings> = on_all_cores::<_, _, Result<Vec<_>>>(runs, || (), |(), run| of_run(run))?;
    Ok(found.into_iter().fold(Crossings::default(), Crossings::join))
}

fn orient(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> f64 {
    let at = |p: [f64; 3]| Coord3D {
        x: p[0],
        y: p[1],
        z: p[2],
    };
    orient3d(at(a), at(b), at(c), at(d))
}

/// Whether two triangles cross, or fold onto each other along their common edge.
fn cross(vertices: &[[f64; 3]], s: [u32; 3], t: [u32; 3]) -> bool {
    let at = |v: u32| vertices[v as usize];
    let common = s.iter().filter(|v| t.contains(v)).count();
    match common {
        0 => {
            let (a, b) = (s.map(at), t.map(at));
            let of_b = b.map(|p| orient(a[0], a[1], a[2], p));
            if one_side(of_b) {
                return false;
            }
            let of_a = a.map(|p| orient(b[0], b[1], b[2], p));
            if one_side(of_a) {
                return false;
            }
            (0..3).any(|i| {
                let j = (i + 1) % 3;
                pierces(b[i], b[j], of_b[i], of_b[j], a) || pierces(a[i], a[j], of_a[i], of_a[j], b)
            })
        }
        1 => {
            // Only the edge opposite the common corner can go through the other.
            let (a, b) = (s.map(at), t.map(at));
            let far = |own: [u32; 3], other: [u32; 3]| {
                let i = (0..3).find(|i| other.contains(&own[*i])).unwrap_or(0);
                (at(own[(i + 1) % 3]), at(own[(i + 2) % 3]))
            };
            let (p, q) = far(s, t);
            let (u, v) = far(t, s);
            let through = |p, q, of: [[f64; 3]; 3]| {
                let side = |x| orient(of[0], of[1], of[2], x);
                pierces(p, q, side(p), side(q), of)
            };
            through(p, q, b) || through(u, v, a)
        }
        2 => {
            let own = |x: [u32; 3], y: [u32; 3]| x.into_iter().find(|v| !y.contains(v));
            let (Some(p), Some(q)) = (own(s, t), own(t, s)) else {
                return false;
            };
            let edge: Vec<u32> = s.into_iter().filter(|v| *v != p).collect();
            let (a, b, p, q) = (at(edge[0]), at(edge[1]), at(p), at(q));
            if orient(a, b, p, q) != 0.0 {
                return false;
            }
            let along = super::minus(b, a);
            let up = |x| super::cross(along, super::minus(x, a));
            super::dot(up(p), up(q)) > 0.0
        }
        _ => false,
    }
}

fn one_side(of: [f64; 3]) -> bool {
    of.iter().all(|x| *x > 0.0) || of.iter().all(|x| *x < 0.0)
}

/// Whether an edge whose ends lie on opposite sides of a triangle's plane goes through the triangle, its border included.
fn pierces(p: [f64; 3], q: [f64; 3], of_p: f64, of_q: f64, t: [[f64; 3]; 3]) -> bool {
    if !((of_p > 0.0 && of_q < 0.0) || (of_p < 0.0 && of_q > 0.0)) {
        return false;
    }
    let turns = [
        orient(p, q, t[0], t[1]),
        orient(p, q, t[1], t[2]),
        orient(p, q, t[2], t[0]),
    ];
    let none = turns.iter().all(|x| *x == 0.0);
    !none && (turns.iter().all(|x| *x >= 0.0) || turns.iter().all(|x| *x <= 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(v: &[[f64; 3]], t: &[[u32; 3]]) -> usize {
        crossings(v, t, Cancel::NEVER).unwrap().pairs
    }

    #[test]
    fn triangles_that_cross_and_that_do_not() {
        let flat = [[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0]];
        let with = |more: [[f64; 3]; 3]| {
            let mut v = flat.to_vec();
            v.extend(more);
            v
        };
        let two = [[0, 1, 2], [3, 4, 5]];
        assert_eq!(
            count(&with([[1.0, 1.0, -1.0], [1.0, 1.0, 1.0], [9.0, 9.0, 0.0]]), &two),
            1
        );
        // Beside it, above it, in its plane.
        assert_eq!(
            count(&with([[3.0, 3.0, -1.0], [3.0, 3.0, 1.0], [9.0, 9.0, 0.0]]), &two),
            0
        );
        assert_eq!(
            count(&with([[1.0, 1.0, 0.1], [1.0, 1.0, 1.0], [2.0, 1.0, 1.0]]), &two),
            0
        );
        // Through a corner that both have: the far edge goes through the other's inside.
        let v = [
            [0.0, 0.0, 0.0],
            [4.0, 0.0, 0.0],
            [0.0, 4.0, 0.0],
            [1.0, 1.0, -1.0],
            [1.0, 1.0, 1.0],
        ];
        assert_eq!(count(&v, &[[0, 1, 2], [0, 3, 4]]), 1);
        // Folded flat along a common edge, and opened.
        let fold = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 1.0, 0.0]];
        assert_eq!(count(&fold, &[[0, 1, 2], [1, 0, 3]]), 1);
        let open = [
            [0.0, 0.0, 0.0],
            [1.0, 0.0, 0.0],
            [0.0, 1.0, 0.0],
            [1.0, -1.0, 0.0],
        ];
        assert_eq!(count(&open, &[[0, 1, 2], [1, 0, 3]]), 0);
    }
}
