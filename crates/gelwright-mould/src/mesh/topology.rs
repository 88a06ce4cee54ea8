//! Which faces meet along which edges.

use super::Faces;

/// What the edges of a mesh say.
#[derive(Default)]
pub(crate) struct Topology {
    /// Edges of one face, as that face runs along them.
    pub(crate) rim: Vec<(u32, u32)>,
    /// Pairs of faces across an edge, each in its own direction: faces and the edge's ends as the first runs.
    pub(crate) links: Vec<(u32, u32, u32, u32)>,
    /// Edges along which two faces run the same way, and one of their ends.
    pub(crate) flipped: (usize, Option<u32>),
    /// Edges of three faces or more, and one of their ends.
    pub(crate) crowded: (usize, Option<u32>),
    /// Faces that stand on the same three corners as another, and one of their corners.
    pub(crate) doubled: (usize, Option<u32>),
    /// Which shell each face belongs to, numbered from 0.
    pub(crate) shell: Vec<u32>,
    pub(crate) shells: usize,
}

fn count(of: &mut (usize, Option<u32>), vertex: u32) {
    of.0 += 1;
    of.1.get_or_insert(vertex);
}

/// The corners of a face, however it is turned.
fn corners(mut triangle: [u32; 3]) -> [u32; 3] {
    triangle.sort_unstable();
    triangle
}

fn root(parent: &mut [u32], mut t: u32) -> u32 {
    while parent[t as usize] != t {
        parent[t as usize] = parent[parent[t as usize] as usize];
        t = parent[t as usize];
    }
    t
}

impl Topology {
    pub(crate) fn of(faces: &Faces) -> Topology {
        let n = faces.vertices.len();
        let triangles = &faces.triangles;
        // The edges by their lesser end: counted, then laid side by side.
        let mut begin = vec![0u32; n + 1];
        let ends = |t: &[u32; 3], i: usize| (t[i], t[(i + 1) % 3]);
        for t in triangles {
            for i in 0..3 {
                let (a, b) = ends(t, i);
                begin[a.min(b) as usize + 1] += 1;
            }
        }
        for v in 0..n {
            begin[v + 1] += begin[v];
        }
        // The greater end, and the face with the direction in which it runs along the edge.
        let mut laid = vec![(0u32, 0u32, false); 3 * triangles.len()];
        let mut free = begin.clone();
        for (k, t) in triangles.iter().enumerate() {
            for i in 0..3 {
                let (a, b) = ends(t, i);
                let slot = &mut free[a.min(b) as usize];
                laid[*slot as usize] = (a.max(b), k as u32, a < b);
                *slot += 1;
            }
        }
        let mut made = Topology::default();
        made.links.reserve(3 * triangles.len() / 2);
        let mut parent: Vec<u32> = (0..triangles.len() as u32).collect();
        for v in 0..n {
            let here = &mut laid[begin[v] as usize..begin[v + 1] as usize];
            here.sort_unstable();
            for edge in here.chunk_by(|a, b| a.0 == b.0) {
                made.edge(v as u32, edge, triangles);
                for pair in edge.windows(2) {
                    let (p, q) = (root(&mut parent, pair[0].1), root(&mut parent, pair[1].1));
                    parent[p.max(q) as usize] = p.min(q);
                }
            }
        }
        if made.crowded.0 > 0 || made.doubled.0 > 0 {
            made.doubled(triangles);
        }
        made.number(&mut parent);
        made
    }

    fn edge(&mut self, low: u32, edge: &[(u32, u32, bool)], triangles: &[[u32; 3]]) {
        let high = edge[0].0;
        let run = |up: bool| if up { (low, high) } else { (high, low) };
        match edge {
            [one] => self.rim.push(run(one.2)),
            [a, b] => {
                if corners(triangles[a.1 as usize]) == corners(triangles[b.1 as usize]) {
                    count(&mut self.doubled, low);
                } else if a.2 == b.2 {
                    count(&mut self.flipped, low);
                } else {
                    let (from, to) = run(a.2);
                    self.links.push((a.1, b.1, from, to));
                }
            }
            _ => count(&mut self.crowded, low),
        }
    }

    /// Counts doubled faces where an edge of more than two faces says that there may be some.
    fn doubled(&mut self, triangles: &[[u32; 3]]) {
        let mut sorted: Vec<[u32; 3]> = triangles.iter().map(|t| corners(*t)).collect();
        sorted.sort_unstable();
        self.doubled = (0, None);
        for pair in sorted.windows(2).filter(|p| p[0] == p[1]) {
            count(&mut self.doubled, pair[0][0]);
        }
    }

    fn number(&mut self, parent: &mut [u32]) {
        let mut named = vec![u32::MAX; parent.len()];
        self.shell = (0..parent.len() as u32)
            .map(|t| {
                let top = root(parent, t) as usize;
                if named[top] == u32::MAX {
                    named[top] = self.shells as u32;
                    self.shells += 1;
                }
                named[top]
            })
            .collect();
    }

    /// The rims as closed runs of corners, each in the direction of the faces beside it.
    pub(crate) fn rims(&self) -> Vec<Vec<u32>> {
        let mut from: std::collections::BTreeMap<u32, Vec<u32>> = std::collections::BTreeMap::new();
        for (a, b) in &self.rim {
            from.entry(*a).or_default().push(*b);
        }
        let starts: Vec<u32> = from.keys().copied().collect();
        let mut rims = vec![];
        for start in starts {
            while from.get(&start).is_some_and(|to| !to.is_empty()) {
                let mut rim = vec![];
                let mut at = start;
                while let Some(next) = from.get_mut(&at).and_then(Vec::pop) {
                    rim.push(at);
                    at = next;
                }
                rims.push(rim);
            }
        }
        rims
    }
}
