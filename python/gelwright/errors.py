"""What the library refuses, one class per kind of mistake.

Every refusal derives from :class:`GelwrightError` and tells ``kind``, ``field`` (a path such as
``zones[0].area``), ``value`` (as given, with its unit), ``allowed`` and ``way_out``; the last three are ``None``
where there is nothing to tell. ``mistakes`` holds all mistakes of what was given, itself the first. Each class also
derives from the built-in exception that fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar, TypeAlias


class GelwrightError(Exception):
    """A refusal by the library."""

    kind: ClassVar[str] = ""
    """The kind of mistake, the same name in every language."""

    def __init__(
        self,
        message: str,
        field: str = "",
        value: str | None = None,
        allowed: str | None = None,
        way_out: str | None = None,
        others: tuple[GelwrightError, ...] = (),
    ) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.value = value
        self.allowed = allowed
        self.way_out = way_out
        self.mistakes: tuple[GelwrightError, ...] = (self, *others)
        """All mistakes of what was given, this one first."""

    def __str__(self) -> str:
        if len(self.mistakes) == 1:
            return self.message
        lines = [f"{len(self.mistakes)} mistakes", *(m.message for m in self.mistakes)]
        return "\n  ".join(lines)

    def __reduce__(self) -> tuple[type[GelwrightError], tuple[Any, ...]]:
        return type(self), (self.message, self.field, self.value, self.allowed, self.way_out, self.mistakes[1:])


class BareNumberError(GelwrightError, ValueError):
    """A bare number stands where a number with a unit is needed."""

    kind = "bare_number"


class UnreadableError(GelwrightError, ValueError):
    """A text is no number with a unit at all."""

    kind = "unreadable"


class UnknownUnitError(GelwrightError, ValueError):
    """The unit is not known."""

    kind = "unknown_unit"


class WrongDimensionError(GelwrightError, ValueError):
    """The unit is known but measures something else (a length where a mass is needed)."""

    kind = "wrong_dimension"


class NotFiniteError(GelwrightError, ValueError):
    """The value is not a number, or not finite."""

    kind = "not_finite"


class OutOfRangeError(GelwrightError, ValueError):
    """The value is outside what is physically or practically allowed."""

    kind = "out_of_range"


class UnknownNameError(GelwrightError, KeyError):
    """A name (of a material, a recipe, a zone, a limit, a question ...) is not known."""

    kind = "unknown_name"


class InconsistentError(GelwrightError, ValueError):
    """Two inputs, each fine alone, contradict each other."""

    kind = "inconsistent"


class DocumentError(GelwrightError, ValueError):
    """A document is malformed, has an unknown field or lacks one."""

    kind = "document"


class VersionError(GelwrightError, ValueError):
    """A document's version is not one that this library reads."""

    kind = "version"


class NoSolutionError(GelwrightError, ValueError):
    """The question is well put and has no answer; ``allowed`` tells what comes nearest."""

    kind = "no_solution"


class NotConvergedError(GelwrightError, ArithmeticError):
    """A numerical method did not reach its tolerance."""

    kind = "not_converged"


class CancelledError(GelwrightError):
    """The caller cancelled the work."""

    kind = "cancelled"


class InternalError(GelwrightError, RuntimeError):
    """A mistake in the library itself. Please report it."""

    kind = "panic"


KINDS: dict[str, type[GelwrightError]] = {
    c.kind: c
    for c in (
        BareNumberError,
        UnreadableError,
        UnknownUnitError,
        WrongDimensionError,
        NotFiniteError,
        OutOfRangeError,
        UnknownNameError,
        InconsistentError,
        DocumentError,
        VersionError,
        NoSolutionError,
        NotConvergedError,
        CancelledError,
        InternalError,
    )
}
"""The class of each kind."""


Row: TypeAlias = tuple[str, str, str, str | None, str | None, str | None]


def refusal(rows: Sequence[Row]) -> GelwrightError:
    """Make the exception of a refusal, one row a mistake; the extension module calls this."""
    made = [KINDS.get(row[0], GelwrightError)(*row[1:]) for row in rows]
    first = made[0]
    return type(first)(first.message, first.field, first.value, first.allowed, first.way_out, tuple(made[1:]))
