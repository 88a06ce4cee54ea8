# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
"""The subjects, a module each."""

from . import common as common
from . import cure as cure
from . import flow as flow
from . import heat as heat
from . import laminate as laminate
from . import light as light
from . import limit as limit
from . import material as material
from . import mix as mix
from . import plan as plan
from . import quantity as quantity

__all__ = [
    "common",
    "cure",
    "flow",
    "heat",
    "laminate",
    "light",
    "limit",
    "material",
    "mix",
    "plan",
    "quantity",
]
