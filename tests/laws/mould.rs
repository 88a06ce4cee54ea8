//! Laws of measuring: no damage to a mesh gives a wrong volume in silence, whatever unit and place.

use gelwright::mould::{Mesh, MeshFormat, MeshReading, MeshSize, Outline, OutlinePoint};
use gelwright::quantity::{Length, Quantity, known};
use gelwright::{Cancel, Result};
use proptest::prelude::*;

#[path = "../published/meshes.rs"]
#[allow(dead_code)]
mod meshes;

use meshes::{Triangles, cuboid, icosphere, placed, stl, together};

/// What was done to a mesh.
#[derive(Debug, Clone)]
enum Damage {
    None,
    /// Faces turned the other way.
    Flipped(Vec<prop::sample::Index>),
    /// Faces left out.
    Missing(Vec<prop::sample::Index>),
    /// Faces that stand twice, as they are or turned.
    Doubled(Vec<prop::sample::Index>, bool),
    /// A corner drawn through the far side.
    Crossed(prop::sample::Index, f64),
    /// Another body that overlaps.
    Overlap(f64),
    /// The same body within itself, smaller.
    Nested(f64, bool),
    /// Another unit than the mesh has.
    Unit(&'static str),
    /// The whole inside out.
    InsideOut,
}

fn some() -> impl Strategy<Value = Vec<prop::sample::Index>> {
    prop::collection::vec(any::<prop::sample::Index>(), 1..6)
}

fn damage() -> impl Strategy<Value = Damage> {
    prop_oneof![
        Just(Damage::None),
        some().prop_map(Damage::Flipped),
        some().prop_map(Damage::Missing),
        (some(), any::<bool>()).prop_map(|(i, turned)| Damage::Doubled(i, turned)),
        (any::<prop::sample::Index>(), 1.5..3.0).prop_map(|(i, far)| Damage::Crossed(i, far)),
        (0.2..1.2).prop_map(Damage::Overlap),
        (0.3..0.7, any::<bool>()).prop_map(|(s, turned)| Damage::Nested(s, turned)),
        prop_oneof![Just("inch"), Just("cm"), Just("m"), Just("kg"), Just("spans")].prop_map(Damage::Unit),
        Just(Damage::InsideOut),
    ]
}

fn turned(t: &[u32; 3]) -> [u32; 3] {
    [t[0], t[2], t[1]]
}

/// The damaged mesh and the volume that it still has, none where it has none.
fn damaged(whole: &Triangles, volume: f64, damage: &Damage) -> (Triangles, Option<f64>) {
    let (mut v, mut t) = whole.clone();
    let n = t.len();
    match damage {
        Damage::None | Damage::Unit(_) => (whole.clone(), Some(volume)),
        Damage::InsideOut => ((v, t.iter().map(turned).collect()), Some(volume)),
        Damage::Flipped(at) => {
            at.iter().map(|i| i.index(n)).for_each(|i| t[i].swap(0, 1));
            let same = t == whole.1;
            ((v, t), same.then_some(volume))
        }
        Damage::Missing(at) => {
            let out: std::collections::BTreeSet<usize> = at.iter().map(|i| i.index(n)).collect();
            let kept = t
                .iter()
                .enumerate()
                .filter(|(i, _)| !out.contains(i))
                .map(|(_, f)| *f);
            let kept = kept.collect();
            ((v, kept), None)
        }
        Damage::Doubled(at, round) => {
            for i in at.iter().map(|i| i.index(n)) {
                let f = if *round { turned(&t[i]) } else { t[i] };
                t.push(f);
            }
            ((v, t), None)
        }
        Damage::Crossed(at, far) => {
            let i = at.index(v.len());
            let p = v[i];
            // All bodies are convex about the origin: the far side is where the corner's mirror image is.
            v[i] = p.map(|x| -far * x);
            ((v, t), None)
        }
        Damage::Overlap(by) => {
            let size = v.iter().map(|p| p[0]).fold(0.0, f64::max);
            let other = placed(whole, [1.0; 3], [by * size, 0.13 * size, 0.07 * size]);
            (together(&[whole.clone(), other]), None)
        }
        Damage::Nested(size, round) => {
            let mut inner = placed(whole, [*size; 3], [0.0; 3]);
            if *round {
                inner.1 = inner.1.iter().map(turned).collect();
                // A hollow that faces the other way is what it says.
                let left = volume * (1.0 - size.powi(3));
                return (together(&[whole.clone(), inner]), Some(left));
            }
            (together(&[whole.clone(), inner]), None)
        }
    }
}

/// The volume by the divergence theorem.
fn volume_of((v, t): &Triangles) -> f64 {
    t.iter()
        .map(|f| {
            let [a, b, c] = f.map(|k| v[k as usize]);
            (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
                + a[2] * (b[0] * c[1] - b[1] * c[0]))
                / 6.0
        })
        .sum()
}

fn measured(bytes: &[u8], reading: &MeshReading) -> Result<MeshSize> {
    Mesh::from_bytes(bytes, MeshFormat::Stl, Cancel::NEVER)?.measure(reading, Cancel::NEVER)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// A damaged mesh is refused, or its volume is not told, or what is told is right.
    #[test]
    fn no_damaged_mesh_has_a_wrong_volume_in_silence(
        times in 0..3u32,
        boxed in any::<bool>(),
        sides in [20.0..200.0f64, 20.0..200.0, 20.0..200.0],
        damage in damage(),
    ) {
        let whole = if boxed {
            cuboid(sides.map(|s| -s), sides.map(|s| 2.0 * s))
        } else {
            placed(&icosphere(times), sides, [0.0; 3])
        };
        let cubic_mm = volume_of(&whole);
        let (mesh, left) = damaged(&whole, cubic_mm, &damage);
        let longest = 2.0 * sides.iter().copied().fold(0.0, f64::max);
        let unit = match damage {
            Damage::Unit(unit) => unit,
            _ => "mm",
        };
        // The tape has measured the body as it should be.
        let reading = MeshReading {
            longest: matches!(damage, Damage::Unit(_)).then(|| known::<Length>(1e-3 * longest)),
            ..MeshReading::in_unit(unit)
        };
        match measured(&stl(&mesh), &reading) {
            Err(e) => {
                prop_assert!(e.way_out().is_some() && !e.field().is_empty(), "{e}");
                let whole = matches!(damage, Damage::None | Damage::InsideOut | Damage::Nested(_, true));
                prop_assert!(!whole, "{damage:?} refused: {e}");
            }
            Ok(m) => match (m.volume, left) {
                (None, _) => prop_assert!(!m.closed && m.notes.iter().any(|n| n.contains("no volume"))),
                (Some(v), Some(mm3)) => {
                    prop_assert!(!matches!(damage, Damage::Unit(_)), "{unit} taken for mm");
                    // Single precision.
                    prop_assert!((v.value().si() / (1e-9 * mm3) - 1.0).abs() < 1e-5, "{damage:?}");
                }
                (Some(v), None) => {
                    // A corner drawn through the far side may by chance miss every face it would cross; then the mesh is
                    // another body, and its volume that of the divergence theorem.
                    let own = volume_of(&mesh).abs() * 1e-9;
                    let another = matches!(damage, Damage::Crossed(..)) && (v.value().si() / own - 1.0).abs() < 1e-5;
                    prop_assert!(another, "{damage:?} told as {} of {cubic_mm} mm^3", v.value().si() * 1e9);
                }
            },
        }
    }

    /// Whatever stands in a file, it is read or refused.
    #[test]
    fn no_file_panics(
        bytes in prop::collection::vec(any::<u8>(), 0..200),
        words in prop::collection::vec(
            prop_oneof![
                Just("v"), Just("f"), Just("\n"), Just("o x\n"), Just("g\n"), Just("1"), Just("-1"), Just("2/"), Just("3//1"), Just("0"),
                Just("-9223372036854775809"), Just("4294967296"), Just("1e400"), Just("nan"), Just("0.5"), Just("solid"), Just("facet"),
                Just("vertex"), Just("endloop"), Just("usemtl a\n"), Just("mtllib b\n"), Just("l 1 2\n"), Just("p 1\n"),
                Just("v 0 0 0\nv 1 0 0\nv 0 1 0\n"), Just("f 1 2 3\n"),
            ],
            0..40,
        ),
    ) {
        let text = words.join(" ");
        for bytes in [&bytes[..], text.as_bytes()] {
            for format in [MeshFormat::Stl, MeshFormat::Obj] {
                if let Ok(mesh) = Mesh::from_bytes(bytes, format, Cancel::NEVER) {
                    let _ = mesh.measure(&MeshReading::in_unit("mm"), Cancel::NEVER);
                }
            }
        }
    }

    /// Unit and place change nothing but the digits that the file keeps.
    #[test]
    fn a_mesh_is_as_large_in_any_unit_and_place(
        sides in [20.0..200.0f64, 20.0..200.0, 20.0..200.0],
        at in [-500.0..500.0f64, -500.0..500.0, -500.0..500.0],
    ) {
        let body = placed(&icosphere(2), sides, at);
        let inch = placed(&body, [1.0 / 25.4; 3], [0.0; 3]);
        let of = |mesh: &Triangles, unit: &str| {
            let m = Mesh::new(mesh.0.clone(), mesh.1.clone()).unwrap();
            m.measure(&MeshReading::in_unit(unit), Cancel::NEVER).unwrap()
        };
        let (a, b, c) = (of(&body, "mm"), of(&inch, "inch"), measured(&stl(&body), &MeshReading::in_unit("mm")).unwrap());
        let v = |m: &MeshSize| m.volume.as_ref().unwrap().value().si();
        prop_assert!((v(&a) / v(&b) - 1.0).abs() < 1e-12);
        prop_assert!(((a.area.value() / b.area.value()).value - 1.0).abs() < 1e-12);
        prop_assert!((v(&a) - v(&c)).abs() < 2.0 * c.volume.as_ref().unwrap().estimate.standard_uncertainty.si());
    }

    /// An outline is as large wherever it lies, however it is turned, and whichever way round it was traced; its edge zone
    /// grows with its width up to the whole.
    #[test]
    fn an_outline_is_as_large_wherever_it_lies(
        radii in prop::collection::vec(20.0..100.0f64, 5..40),
        turn in 0.0..6.3f64,
        at in [-1e3..1e3f64, -1e3..1e3],
        back in any::<bool>(),
        w in 0.5..30.0f64,
    ) {
        let n = radii.len() as f64;
        let outline = |turn: f64, at: [f64; 2], back: bool, edge: f64| {
            let mut points: Vec<OutlinePoint> = radii
                .iter()
                .enumerate()
                .map(|(i, r)| {
                    let (s, c) = (turn + std::f64::consts::TAU * i as f64 / n).sin_cos();
                    OutlinePoint { x: known(1e-3 * (at[0] + r * c)), y: known(1e-3 * (at[1] + r * s)) }
                })
                .collect();
            if back {
                points.reverse();
            }
            Outline {
                points,
                path: None,
                drawn: vec![],
                scale: None,
                unit: None,
                line: known(0.0005),
                point: known(0.0005),
                tilt: None,
                edge: Some(known(1e-3 * edge)),
            }
            .measure()
            .unwrap()
        };
        let (a, b) = (outline(0.0, [0.0; 2], false, w), outline(turn, at, back, 1.5 * w));
        prop_assert!((a.area.value().si() / b.area.value().si() - 1.0).abs() < 1e-9);
        prop_assert!((a.perimeter.value().si() / b.perimeter.value().si() - 1.0).abs() < 1e-9);
        prop_assert!((a.area.relative() / b.area.relative() - 1.0).abs() < 1e-6);
        let (narrow, wide) = (a.edge_zone.unwrap().value().si(), b.edge_zone.unwrap().value().si());
        prop_assert!(narrow <= wide * (1.0 + 1e-6) && wide <= a.area.value().si() * (1.0 + 1e-6));
        // No zone holds more than its width times the edge.
        prop_assert!(narrow <= 1e-3 * w * a.perimeter.value().si() * (1.0 + 1e-6));
    }
}
