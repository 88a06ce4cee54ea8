//! Meshes whose measures are known, and their files.

/// Vertices and triangles, counter-clockwise seen from outside.
pub(crate) type Triangles = (Vec<[f64; 3]>, Vec<[u32; 3]>);

/// A tetrahedron of four corners of the cube from -1 to 1.
pub(crate) fn tetrahedron() -> Triangles {
    (
        vec![
            [1.0, 1.0, 1.0],
            [1.0, -1.0, -1.0],
            [-1.0, 1.0, -1.0],
            [-1.0, -1.0, 1.0],
        ],
        vec![[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]],
    )
}

/// An octahedron of corners at 1 on the axes.
pub(crate) fn octahedron() -> Triangles {
    let v = vec![
        [1.0, 0.0, 0.0],
        [-1.0, 0.0, 0.0],
        [0.0, 1.0, 0.0],
        [0.0, -1.0, 0.0],
        [0.0, 0.0, 1.0],
        [0.0, 0.0, -1.0],
    ];
    let t = vec![
        [0, 2, 4],
        [2, 1, 4],
        [1, 3, 4],
        [3, 0, 4],
        [2, 0, 5],
        [1, 2, 5],
        [3, 1, 5],
        [0, 3, 5],
    ];
    (v, t)
}

/// A box from a corner.
pub(crate) fn cuboid(at: [f64; 3], size: [f64; 3]) -> Triangles {
    let corner = |i: usize| std::array::from_fn(|k| at[k] + if i >> k & 1 == 1 { size[k] } else { 0.0 });
    let faces = [
        [0, 4, 6, 2],
        [1, 3, 7, 5],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 2, 3, 1],
        [4, 5, 7, 6],
    ];
    let triangles = faces
        .iter()
        .flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]])
        .collect();
    ((0..8).map(corner).collect(), triangles)
}

/// An icosahedron on the unit sphere whose faces are cut in four, `times` times, each new corner moved onto the sphere.
pub(crate) fn icosphere(times: u32) -> Triangles {
    let p = f64::midpoint(1.0, 5f64.sqrt());
    let corners = [
        [-1.0, p, 0.0],
        [1.0, p, 0.0],
        [-1.0, -p, 0.0],
        [1.0, -p, 0.0],
        [0.0, -1.0, p],
        [0.0, 1.0, p],
        [0.0, -1.0, -p],
        [0.0, 1.0, -p],
        [p, 0.0, -1.0],
        [p, 0.0, 1.0],
        [-p, 0.0, -1.0],
        [-p, 0.0, 1.0],
    ];
    let mut triangles = vec![
        [0, 11, 5],
        [0, 5, 1],
        [0, 1, 7],
        [0, 7, 10],
        [0, 10, 11],
        [1, 5, 9],
        [5, 11, 4],
        [11, 10, 2],
        [10, 7, 6],
        [7, 1, 8],
        [3, 9, 4],
        [3, 4, 2],
        [3, 2, 6],
        [3, 6, 8],
        [3, 8, 9],
        [4, 9, 5],
        [2, 4, 11],
        [6, 2, 10],
        [8, 6, 7],
        [9, 8, 1],
    ];
    let on_sphere = |v: [f64; 3]| {
        let r = v.iter().map(|x| x * x).sum::<f64>().sqrt();
        v.map(|x| x / r)
    };
    let mut vertices: Vec<[f64; 3]> = corners.iter().map(|v| on_sphere(*v)).collect();
    for _ in 0..times {
        let mut middles = std::collections::HashMap::new();
        let mut finer = Vec::with_capacity(4 * triangles.len());
        for [a, b, c] in triangles {
            let mut middle = |p: u32, q: u32| {
                *middles.entry((p.min(q), p.max(q))).or_insert_with(|| {
                    let (u, v) = (vertices[p as usize], vertices[q as usize]);
                    vertices.push(on_sphere([u[0] + v[0], u[1] + v[1], u[2] + v[2]]));
                    vertices.len() as u32 - 1
                })
            };
            let (d, e, f) = (middle(a, b), middle(b, c), middle(c, a));
            finer.extend([[a, d, f], [b, e, d], [c, f, e], [d, e, f]]);
        }
        triangles = finer;
    }
    (vertices, triangles)
}

/// The part above z = 0 of a mesh, cut along the plane.
pub(crate) fn upper((v, t): &Triangles) -> Triangles {
    let flat = |p: [f64; 3]| if p[2].abs() < 1e-12 { [p[0], p[1], 0.0] } else { p };
    let (mut vertices, mut triangles): Triangles = (vec![], vec![]);
    for f in t {
        let p = f.map(|k| flat(v[k as usize]));
        let mut kept = vec![];
        for (i, b) in p.iter().enumerate() {
            let a = p[(i + 2) % 3];
            if (a[2] < 0.0) != (b[2] < 0.0) && a[2] * b[2] != 0.0 {
                // From the upper end, so that both faces at an edge are cut at the same point.
                let (high, low) = if a[2] > b[2] { (a, *b) } else { (*b, a) };
                let s = high[2] / (high[2] - low[2]);
                kept.push([
                    high[0] + s * (low[0] - high[0]),
                    high[1] + s * (low[1] - high[1]),
                    0.0,
                ]);
            }
            if b[2] >= 0.0 {
                kept.push(*b);
            }
        }
        let base = vertices.len() as u32;
        let above = kept.iter().any(|q| q[2] > 0.0);
        for k in 1..kept.len().saturating_sub(1) as u32 {
            if above {
                triangles.push([base, base + k, base + k + 1]);
            }
        }
        vertices.extend(kept);
    }
    (vertices, triangles)
}

/// Moved and stretched.
pub(crate) fn placed((v, t): &Triangles, size: [f64; 3], at: [f64; 3]) -> Triangles {
    let moved = v
        .iter()
        .map(|p| std::array::from_fn(|i| p[i] * size[i] + at[i]))
        .collect();
    (moved, t.clone())
}

/// Several as one.
pub(crate) fn together(parts: &[Triangles]) -> Triangles {
    let (mut v, mut t): Triangles = (vec![], vec![]);
    for (more, triangles) in parts {
        let base = v.len() as u32;
        v.extend(more);
        t.extend(triangles.iter().map(|f| f.map(|k| k + base)));
    }
    (v, t)
}

/// As a binary STL.
pub(crate) fn stl((v, t): &Triangles) -> Vec<u8> {
    let mut bytes = vec![0; 80];
    bytes.extend((t.len() as u32).to_le_bytes());
    for f in t {
        bytes.extend([0; 12]);
        for k in f {
            v[*k as usize]
                .iter()
                .for_each(|x| bytes.extend((*x as f32).to_le_bytes()));
        }
        bytes.extend([0; 2]);
    }
    bytes
}

/// As an STL in text.
pub(crate) fn stl_text((v, t): &Triangles) -> String {
    let mut text = String::from("solid part\n");
    for f in t {
        text += "facet normal 0 0 0\nouter loop\n";
        for k in f {
            let [x, y, z] = v[*k as usize];
            text += &format!("vertex {x} {y} {z}\n");
        }
        text += "endloop\nendfacet\n";
    }
    text + "endsolid part\n"
}

/// As an OBJ.
pub(crate) fn obj((v, t): &Triangles) -> String {
    let vertices: String = v.iter().map(|[x, y, z]| format!("v {x} {y} {z}\n")).collect();
    let faces: String = t
        .iter()
        .map(|[a, b, c]| format!("f {} {} {}\n", a + 1, b + 1, c + 1))
        .collect();
    vertices + &faces
}
