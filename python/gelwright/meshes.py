"""Meshes of a mould, measured: the bytes of a file, or arrays."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from . import _core
from .errors import DocumentError
from .noun import part

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from .mould import MeshReading, MeshSize

__all__ = ["measure_mesh", "measure_mesh_arrays"]


def measure_mesh(
    content: bytes | bytearray | memoryview,
    reading: MeshReading | Mapping[str, Any],
    *,
    format: Literal["stl", "obj"],
) -> MeshSize:
    """Measure a mesh from the bytes of its file: area, volume and rims, each with its uncertainty.

    ``reading`` says at least the unit, which no file tells: ``{"unit": "mm"}``; the rest as `MeshReading` has it.

    >>> from pathlib import Path
    >>> size = measure_mesh(Path("half.stl").read_bytes(), {"unit": "mm"}, format="stl")  # doctest: +SKIP
    """
    return _size(_core.mesh(bytes(content), format, _json(reading)))


def measure_mesh_arrays(
    vertices: ArrayLike, triangles: ArrayLike, reading: MeshReading | Mapping[str, Any]
) -> MeshSize:
    """Measure a mesh from arrays: three coordinates a vertex, three corners a triangle.

    Corners are counted from 0, counter-clockwise seen from outside; ``reading`` as for `measure_mesh`.

    >>> corners = [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]
    >>> faces = [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]
    >>> size = measure_mesh_arrays(corners, faces, {"unit": "cm"})
    >>> round(size.volume.estimate.value.m_as("mL"), 6)
    0.166667
    """
    v, t = np.asarray(vertices, dtype="<f8"), np.asarray(triangles)
    for name, array in (("vertices", v), ("triangles", t)):
        if array.ndim != 2 or array.shape[1] != 3:
            raise DocumentError(
                f"{name}: an array of shape {array.shape}; allowed: (count, 3); give three numbers a row",
                name,
                f"an array of shape {array.shape}",
                "(count, 3)",
                "give three numbers a row",
            )
    if t.size and (t.dtype.kind not in "iu" or int(t.min()) < 0 or int(t.max()) >= 2**32):
        raise DocumentError(
            f"triangles: {t.dtype} numbers; allowed: whole numbers from 0; count the corners from 0",
            "triangles",
            f"{t.dtype} numbers",
            "whole numbers from 0",
            "count the corners from 0",
        )
    return _size(_core.mesh_arrays(v.tobytes(), t.astype("<u4").tobytes(), _json(reading)))


def _json(reading: MeshReading | Mapping[str, Any]) -> str:
    from .mould import MeshReading

    return json.dumps(MeshReading(**reading).raw if isinstance(reading, Mapping) else reading.raw)


def _size(answer: str) -> MeshSize:
    made: MeshSize = part("mould", "MeshSize")(json.loads(answer))
    return made
