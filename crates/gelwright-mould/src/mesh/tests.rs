//! Small meshes whose measures are known in closed form.

use super::*;

#[path = "../../../../tests/published/meshes.rs"]
#[allow(dead_code)]
mod meshes;

use meshes::{Triangles, cuboid, together};

fn measured((v, t): Triangles) -> Result<MeshSize> {
    Mesh::new(v, t)?.measure(&MeshReading::in_unit("m"), Cancel::NEVER)
}

fn volume(m: &MeshSize) -> f64 {
    m.volume.as_ref().map_or(f64::NAN, |v| v.value().si())
}

/// What was refused, which must say the word.
fn refused(mesh: Triangles, word: &str) {
    let e = measured(mesh).unwrap_err();
    assert_eq!(e.kind(), ErrorKind::Inconsistent, "{e}");
    assert!(e.to_string().contains(word), "{e}");
}

#[test]
fn boxes_side_by_side_within_and_across_each_other() {
    let one = cuboid([0.0; 3], [2.0, 3.0, 4.0]);
    let m = measured(one.clone()).unwrap();
    assert!((volume(&m) - 24.0).abs() < 1e-12 && (m.area.value().si() - 52.0).abs() < 1e-12);
    assert!(m.closed && m.shells == 1);
    let apart = together(&[one.clone(), cuboid([5.0, 0.0, 0.0], [1.0; 3])]);
    assert!((volume(&measured(apart).unwrap()) - 25.0).abs() < 1e-12);
    // Overlapping: counted twice where nobody looks.
    refused(
        together(&[one.clone(), cuboid([1.0; 3], [2.0, 3.0, 4.0])]),
        "cross",
    );
    // One within the other, facing the same way: counted twice; facing the other way: a hollow.
    let inner = cuboid([0.5; 3], [1.0; 3]);
    refused(together(&[one.clone(), inner.clone()]), "face opposite ways");
    let hollow = (inner.0, inner.1.iter().map(|[a, b, c]| [*a, *c, *b]).collect());
    let m = measured(together(&[one.clone(), hollow.clone()])).unwrap();
    assert!((volume(&m) - 23.0).abs() < 1e-12);
    // Side by side, one inside out.
    let beside = (
        hollow.0.iter().map(|p| [p[0] + 9.0, p[1], p[2]]).collect(),
        hollow.1,
    );
    refused(together(&[one.clone(), beside]), "face opposite ways");
    // All inside out: a cavity, and says so.
    let cavity = (
        one.0.clone(),
        one.1.iter().map(|[a, b, c]| [*a, *c, *b]).collect(),
    );
    let m = measured(cavity).unwrap();
    assert!((volume(&m) - 24.0).abs() < 1e-12 && m.notes.iter().any(|n| n.contains("inward")));
    // Two that share a face.
    refused(
        together(&[one, cuboid([2.0, 0.0, 0.0], [2.0, 3.0, 4.0])]),
        "twice",
    );
}

#[test]
fn damaged_boxes() {
    let one = cuboid([0.0; 3], [2.0, 3.0, 4.0]);
    let mut flipped = one.clone();
    flipped.1[5].swap(0, 1);
    refused(flipped, "look opposite ways");
    let mut doubled = one.clone();
    doubled.1.push(doubled.1[3]);
    refused(doubled, "1 faces that stand twice");
    // Two faces missing: no volume; capped where it is asked for, all of it where the hole is flat.
    let mut open = one.clone();
    open.1.truncate(10);
    let m = measured(open.clone()).unwrap();
    assert!(m.volume.is_none() && !m.closed && m.rims.len() == 1);
    assert!((m.rim_length.si() - 10.0).abs() < 1e-12 && (m.area.value().si() - 46.0).abs() < 1e-12);
    let cap = MeshReading {
        cap: true,
        ..MeshReading::in_unit("m")
    };
    let m = Mesh::new(open.0, open.1)
        .unwrap()
        .measure(&cap, Cancel::NEVER)
        .unwrap();
    assert!((volume(&m) - 24.0).abs() < 1e-12, "{m:?}");
    assert!((m.capped.unwrap().si() - 6.0).abs() < 1e-12 && m.rims[0].off_plane.si() < 1e-12);
    // A rim that is not flat: how far off is told, and is part of the uncertainty.
    let mut bent = one;
    bent.1.truncate(10);
    bent.1.remove(6);
    let m = Mesh::new(bent.0, bent.1)
        .unwrap()
        .measure(&cap, Cancel::NEVER)
        .unwrap();
    let v = m.volume.as_ref().unwrap();
    assert!(
        (v.value().si() - 24.0).abs() < 2.0 * v.estimate.standard_uncertainty.si(),
        "{m:?}"
    );
    assert_eq!(v.dominant.as_deref(), Some("rims that are not flat"));
}

#[test]
fn a_tube_has_two_rims_and_two_caps() {
    let mut tube = cuboid([0.0; 3], [2.0, 3.0, 4.0]);
    tube.1.truncate(8);
    let cap = MeshReading {
        cap: true,
        ..MeshReading::in_unit("m")
    };
    let m = Mesh::new(tube.0, tube.1)
        .unwrap()
        .measure(&cap, Cancel::NEVER)
        .unwrap();
    assert_eq!(m.rims.len(), 2);
    assert!((volume(&m) - 24.0).abs() < 1e-12 && (m.capped.unwrap().si() - 12.0).abs() < 1e-12);
    // A trough with a thick rim: the inner rim takes from the outer one's cap.
    let outer = cuboid([0.0; 3], [4.0, 4.0, 2.0]);
    let inner = cuboid([1.0, 1.0, 1.0], [2.0, 2.0, 1.0]);
    let inside_out = (
        inner.0,
        inner.1[..10].iter().map(|[a, b, c]| [*a, *c, *b]).collect(),
    );
    let trough = together(&[(outer.0, outer.1[..10].to_vec()), inside_out]);
    let m = Mesh::new(trough.0, trough.1)
        .unwrap()
        .measure(&cap, Cancel::NEVER)
        .unwrap();
    assert!(
        (volume(&m) - 28.0).abs() < 1e-12 && (m.capped.unwrap().si() - 12.0).abs() < 1e-12,
        "{m:?}"
    );
}

#[test]
fn a_unit_is_said_and_a_tape_may_check_it() {
    let (v, t) = cuboid([0.0; 3], [2.0, 3.0, 4.0]);
    let mesh = Mesh::new(v, t).unwrap();
    let with = |unit: Option<&str>, longest: Option<f64>| {
        mesh.measure(
            &MeshReading {
                unit: unit.map(str::to_owned),
                longest: longest.map(quantity::known),
                ..MeshReading::in_unit("mm")
            },
            Cancel::NEVER,
        )
    };
    let kind = |r: Result<MeshSize>| r.unwrap_err().kind();
    assert_eq!(kind(with(None, None)), ErrorKind::Document);
    assert_eq!(kind(with(Some("kg"), None)), ErrorKind::WrongDimension);
    assert_eq!(
        kind(with(Some("furlongs per week"), None)),
        ErrorKind::UnknownUnit
    );
    assert_eq!(kind(with(Some("mm"), Some(0.1))), ErrorKind::Inconsistent);
    assert!((volume(&with(Some("inch"), Some(0.1)).unwrap()) / 24.0 / 0.0254f64.powi(3) - 1.0).abs() < 1e-12);
    let unchecked = with(Some("mm"), None).unwrap();
    assert!(unchecked.notes.iter().any(|n| n.contains("no tape")));
}

#[test]
fn what_is_no_mesh_is_refused() {
    let stl = |bytes: &[u8]| Mesh::from_bytes(bytes, MeshFormat::Stl, Cancel::NEVER).unwrap_err();
    let obj =
        |text: &str| Mesh::from_bytes(text.as_bytes(), MeshFormat::Obj, Cancel::NEVER).map(|m| m.triangles());
    assert_eq!(stl(b"").kind(), ErrorKind::Unreadable);
    assert_eq!(stl(&[0; 84]).kind(), ErrorKind::OutOfRange);
    assert_eq!(
        stl(b"solid nothing\nendsolid nothing").kind(),
        ErrorKind::OutOfRange
    );
    assert_eq!(
        stl(b"solid half\nfacet normal 0 0 1\nouter loop\nvertex 0 0").kind(),
        ErrorKind::Unreadable
    );
    // A count that the file does not keep.
    let mut short = vec![0u8; 84 + 50];
    short[80] = 2;
    assert!(stl(&short).to_string().contains("cut short"));
    let mut not_finite = vec![0u8; 84 + 50];
    not_finite[80] = 1;
    not_finite[96..100].copy_from_slice(&f32::NAN.to_le_bytes());
    assert_eq!(stl(&not_finite).kind(), ErrorKind::NotFinite);
    assert_eq!(obj("").unwrap_err().kind(), ErrorKind::OutOfRange);
    assert_eq!(
        obj("v 0 0 0\nf 1 2 3\n").unwrap_err().kind(),
        ErrorKind::Unreadable
    );
    assert_eq!(obj("v 0 0 x\n").unwrap_err().kind(), ErrorKind::Unreadable);
    assert_eq!(obj("v 0 0 0\nv 4 0 0\nv 4 4 0\nf 1 2 3\n").unwrap(), 1);
    // A face of five corners with a bay.
    let bay = "v 0 0 0\nv 4 0 0\nv 4 4 0\nv 2 1 0\nv 0 4 0\nf 2 3 4 5 1\n";
    assert!(obj(bay).is_err() || obj(bay).unwrap() == 3);
    let bay = "v 0 0 0\nv 4 0 0\nv 4 4 0\nv 2 1 0\nv 0 4 0\nf 1 2 3 4 5\n";
    assert!(obj(bay).unwrap_err().to_string().contains("bay"));
    let e = Mesh::new(vec![[0.0; 3]; 3], vec![[0, 1, 7]])
        .err()
        .map(|e| e.kind());
    assert_eq!(e, Some(ErrorKind::OutOfRange));
    // A sheet that holds nothing.
    let sheet = cuboid([0.0; 3], [2.0, 3.0, 0.0]);
    assert!(measured(sheet).is_err());
}

#[test]
fn a_question_takes_a_small_mesh_as_text() {
    let text = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";
    let of = |unit: Option<&str>| {
        MeshText {
            text: text.to_owned(),
            format: MeshFormat::Obj,
            reading: MeshReading {
                unit: unit.map(str::to_owned),
                ..MeshReading::in_unit("m")
            },
        }
        .measure(Cancel::NEVER)
    };
    assert!((volume(&of(Some("m")).unwrap()) - 1.0 / 6.0).abs() < 1e-15);
    assert_eq!(of(None).unwrap_err().field(), "reading.unit");
}
