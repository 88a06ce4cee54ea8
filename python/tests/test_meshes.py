"""Meshes as bytes and arrays."""

import struct

import numpy as np
import pytest

import gelwright as gw

CORNERS = np.array([[0, 0, 0], [2, 0, 0], [0, 3, 0], [0, 0, 4]], dtype=float)
FACES = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])


def stl(corners: np.ndarray, faces: np.ndarray) -> bytes:
    head = bytes(80) + struct.pack("<I", len(faces))
    body = b"".join(bytes(12) + corners[f].astype("<f4").tobytes() + bytes(2) for f in faces)
    return head + body


def test_a_tetrahedron_holds_a_sixth_of_its_box() -> None:
    for size in (
        gw.measure_mesh(stl(CORNERS, FACES), {"unit": "cm"}, format="stl"),
        gw.measure_mesh_arrays(CORNERS, FACES, {"unit": "cm"}),
    ):
        assert size.closed
        assert size.volume is not None
        assert size.volume.estimate.value.m_as("mL") == pytest.approx(4.0)


def test_an_open_mesh_has_a_volume_only_where_a_cap_is_asked_for() -> None:
    size = gw.measure_mesh_arrays(CORNERS, FACES[:3], {"unit": "cm"})
    assert size.volume is None
    assert len(size.rims) == 1
    capped = gw.measure_mesh_arrays(CORNERS, FACES[:3], {"unit": "cm", "cap": True})
    assert capped.volume is not None
    assert capped.volume.estimate.value.m_as("mL") == pytest.approx(4.0)


def test_what_is_no_mesh_is_refused() -> None:
    with pytest.raises(gw.errors.DocumentError) as no_unit:
        gw.measure_mesh_arrays(CORNERS, FACES, {})
    assert "inch" in str(no_unit.value)
    with pytest.raises(gw.errors.DocumentError):
        gw.measure_mesh_arrays(CORNERS.T, FACES, {"unit": "cm"})
    with pytest.raises(gw.errors.DocumentError):
        gw.measure_mesh_arrays(CORNERS, FACES - 1, {"unit": "cm"})
    with pytest.raises(gw.errors.OutOfRangeError):
        gw.measure_mesh_arrays(CORNERS, FACES + 1, {"unit": "cm"})
    with pytest.raises(gw.errors.UnreadableError):
        gw.measure_mesh(stl(CORNERS, FACES)[:-1], {"unit": "cm"}, format="stl")
    turned = FACES.copy()
    turned[0] = turned[0][::-1]
    with pytest.raises(gw.errors.InconsistentError):
        gw.measure_mesh_arrays(CORNERS, turned, {"unit": "cm"})
