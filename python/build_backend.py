"""Builds the package: writes the modules that are made from the library's tables, then hands over to maturin.

In a checkout the tables come from the library itself, which is built for it; a source distribution carries the modules.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import maturin

HERE = Path(__file__).resolve().parent
GENERATOR = HERE / "tools" / "generate.py"
LIBRARY = {"win32": "gelwright.dll", "darwin": "libgelwright.dylib"}.get(sys.platform, "libgelwright.so")


def make_modules() -> None:
    """Write the generated modules, unless this is a source distribution, or they are given (GELWRIGHT_MADE=1)."""
    if os.environ.get("GELWRIGHT_MADE") or not GENERATOR.exists():
        return
    root = HERE.parent
    dev = "--profile dev" in os.environ.get("MATURIN_PEP517_ARGS", "")
    build = ["cargo", "build", "--quiet", "--package", "gelwright-capi", *([] if dev else ["--release"])]
    subprocess.run(build, cwd=root, check=True)
    target = Path(os.environ.get("CARGO_TARGET_DIR", root / "target"))
    library = target / ("debug" if dev else "release") / LIBRARY
    subprocess.run([sys.executable, GENERATOR, library], check=True)


def build_wheel(*given: Any, **named: Any) -> str:
    """Build the wheel (PEP 517)."""
    make_modules()
    return maturin.build_wheel(*given, **named)


def build_sdist(*given: Any, **named: Any) -> str:
    """Build the source distribution (PEP 517)."""
    make_modules()
    return maturin.build_sdist(*given, **named)


def build_editable(*given: Any, **named: Any) -> str:
    """Build for an editable installation (PEP 660)."""
    make_modules()
    return maturin.build_editable(*given, **named)


get_requires_for_build_wheel = maturin.get_requires_for_build_wheel
get_requires_for_build_sdist = maturin.get_requires_for_build_sdist
get_requires_for_build_editable = maturin.get_requires_for_build_editable
prepare_metadata_for_build_wheel = maturin.prepare_metadata_for_build_wheel
prepare_metadata_for_build_editable = maturin.prepare_metadata_for_build_editable
