"""Gelwright computes a composite casting before any resin is mixed.

    >>> import gelwright as gw
    >>> gw.quantity.convert("8 fl oz", "mL").number
    236.5882365

The nouns of the trade are classes (a recipe, a wall, a casting), what is asked of them their methods. A quantity is
given as text with its unit ("450 g/m^2", "18 degC") or as a quantity object (``pint``); a bare number is refused.
Either may have a spread ("20 +/- 1 degC", a pint ``Measurement``): the answer then has a ``band``, which tells how sure
its numbers are and what makes it so; `spread_sampling` says how it is found.
Nouns are frozen; their quantities are those of pint's application registry. Refusals are exceptions of
``gelwright.errors``, one class per kind of mistake, which tell all mistakes of what was given at once. A computation
runs without the interpreter lock, and Ctrl-C stops it.

Each noun stands in the module of its room (``gelwright.heat.Wall``) and here as well (``gelwright.Wall``).
"""

from __future__ import annotations

import importlib
import sys
from typing import TYPE_CHECKING, Any

from . import errors, units
from ._core import __version__
from ._rooms import HOMES, QUESTIONS, ROOMS
from .errors import GelwrightError
from .meshes import measure_mesh, measure_mesh_arrays
from .noun import Banded, Noun, Table, asked, part, spread_sampling

__all__ = [
    "Banded",
    "GelwrightError",
    "Noun",
    "Table",
    "__version__",
    "air",
    "ask",
    "card",
    "cure",
    "errors",
    "flow",
    "heat",
    "laminate",
    "light",
    "limit",
    "material",
    "measure_mesh",
    "measure_mesh_arrays",
    "mix",
    "mould",
    "plan",
    "quantity",
    "reliability",
    "risk",
    "source",
    "spread_sampling",
    "stock",
    "strategies",
    "units",
]

if TYPE_CHECKING:
    from . import air as air
    from . import card as card
    from . import cure as cure
    from . import flow as flow
    from . import heat as heat
    from . import laminate as laminate
    from . import light as light
    from . import limit as limit
    from . import material as material
    from . import mix as mix
    from . import mould as mould
    from . import plan as plan
    from . import quantity as quantity
    from . import reliability as reliability
    from . import risk as risk
    from . import source as source
    from . import stock as stock
    from . import strategies as strategies
    from .card import *  # noqa: F403
    from .cure import *  # noqa: F403
    from .flow import *  # noqa: F403
    from .heat import *  # noqa: F403
    from .laminate import *  # noqa: F403
    from .light import *  # noqa: F403
    from .limit import *  # noqa: F403
    from .material import *  # noqa: F403
    from .mix import *  # noqa: F403
    from .mould import *  # noqa: F403
    from .plan import *  # noqa: F403
    from .source import *  # noqa: F403

    __all__ += card.__all__
    __all__ += cure.__all__
    __all__ += flow.__all__
    __all__ += heat.__all__
    __all__ += laminate.__all__
    __all__ += light.__all__
    __all__ += limit.__all__
    __all__ += material.__all__
    __all__ += mix.__all__
    __all__ += mould.__all__
    __all__ += plan.__all__
    __all__ += source.__all__
else:
    __all__ += HOMES


def __getattr__(name: str) -> Any:
    if name in ROOMS or name == "strategies":
        return importlib.import_module(f"{__name__}.{name}")
    if name in HOMES:
        return getattr(importlib.import_module(f"{__name__}.{HOMES[name]}"), name)
    raise AttributeError(f"module '{__name__}' has no attribute '{name}'", name=name, obj=sys.modules[__name__])


def __dir__() -> list[str]:
    return sorted({*globals(), *ROOMS, *HOMES, "strategies"})


def ask(question: str, /, **request: Any) -> Any:
    """Ask a question by its name: ``ask("quantity.convert", quantity="8 fl oz", to="mL")``.

    What the methods of the nouns do; the request is as the question's JSON schema says.
    """
    home = QUESTIONS.get(question)
    return asked(question, request, part(*home) if home else _any)


def _any(raw: Any) -> Any:
    return Noun._of(raw) if isinstance(raw, dict) else raw
