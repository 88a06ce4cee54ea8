"""Gelwright computes a composite casting before any resin is mixed.

    >>> import gelwright as gw
    >>> gw.quantity.convert(quantity="8 fl oz", to="mL").number
    236.5882365

Every computation is a *question*: a function with keyword arguments in the module of its subject. A quantity is
given as text with its unit ("450 g/m^2", "18 degC") or as a quantity object (``pint``); a bare number is refused.
Answers are frozen objects; their quantities are those of pint's application registry. Refusals are exceptions of
``gelwright.errors``, one class per kind of mistake. A computation runs without the interpreter lock, and Ctrl-C stops
it.
"""

from __future__ import annotations

import importlib
from typing import Any

from . import _subjects, errors, units
from ._core import __version__
from ._subjects import *  # noqa: F403
from .answer import Answer, Table, ask_as
from .casting import Casting
from .errors import GelwrightError
from .plan import Plan

__all__ = [
    "Answer",
    "Casting",
    "GelwrightError",
    "Plan",
    "Table",
    "__version__",
    "ask",
    "errors",
    "units",
]
__all__ += _subjects.__all__


def ask(question: str, /, **request: Any) -> Answer:
    """Ask a question by its name: ``ask("quantity.convert", quantity="8 fl oz", to="mL")``.

    The same as calling the function of that name: ``gelwright.quantity.convert(...)``.
    """
    subject = question.partition(".")[0]
    answers: dict[str, type[Answer]] = {}
    if subject in _subjects.__all__:
        answers = getattr(importlib.import_module(f"{__name__}.{subject}"), "ANSWERS", {})
    return ask_as(question, request, answers.get(question, Answer))
