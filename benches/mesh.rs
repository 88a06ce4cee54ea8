//! What measuring a mesh costs: a binary STL of a million triangles, read and measured, with and without looking for faces
//! that cross.
//!
//! `cargo bench -p gelwright-mould --bench mesh`
#![allow(clippy::unwrap_used, missing_docs)]

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use gelwright_base::Cancel;
use gelwright_mould::{Mesh, MeshFormat, MeshReading};

/// A wavy ball of `2 n (n - 1)` triangles, as a binary STL.
fn ball(n: u32) -> Vec<u8> {
    use std::f64::consts::PI;
    let corner = |i: u32, j: u32| -> [f32; 3] {
        let (s, c) = (PI * f64::from(i) / f64::from(n)).sin_cos();
        let round = 2.0 * PI * f64::from(j % n) / f64::from(n);
        let r = 100.0 + 5.0 * (7.0 * round).cos() * s.powi(7);
        let s = if i == n { 0.0 } else { s };
        [r * s * round.cos(), r * s * round.sin(), r * c].map(|x| x as f32)
    };
    let mut faces = vec![];
    for i in 0..n {
        for j in 0..n {
            let (a, b, c, d) = (
                corner(i, j),
                corner(i + 1, j),
                corner(i + 1, j + 1),
                corner(i, j + 1),
            );
            if i + 1 < n {
                faces.push([a, b, c]);
            }
            if i > 0 {
                faces.push([a, c, d]);
            }
        }
    }
    let mut bytes = vec![0; 80];
    bytes.extend((faces.len() as u32).to_le_bytes());
    for f in faces {
        bytes.extend([0; 12]);
        f.iter().flatten().for_each(|x| bytes.extend(x.to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

fn million(c: &mut Criterion) {
    let bytes = ball(708);
    let count = bytes.len() / 50;
    let mut group = c.benchmark_group(format!("mesh of {count} triangles"));
    group.sample_size(10).measurement_time(Duration::from_secs(20));
    for (name, crossings) in [("measured", false), ("measured, crossings looked for", true)] {
        let reading = MeshReading {
            crossings,
            ..MeshReading::in_unit("mm")
        };
        group.bench_function(name, |b| {
            b.iter(|| {
                let mesh = Mesh::from_bytes(black_box(&bytes), MeshFormat::Stl, Cancel::NEVER).unwrap();
                let size = mesh.measure(&reading, Cancel::NEVER).unwrap();
                assert!(size.closed && size.volume.is_some());
            });
        });
    }
    group.finish();
}

criterion_group!(benches, million);
criterion_main!(benches);
