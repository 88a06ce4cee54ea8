# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
"""The subjects, a module each."""

from . import quantity as quantity

__all__ = [
    "quantity",
]
