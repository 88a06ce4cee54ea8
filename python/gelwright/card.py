"""What the library knows of card."""

# Made by the build from the tables of the Rust library: do not edit, do not commit.
# ruff: noqa

from __future__ import annotations

from .faces import CardFace
from .noun import Noun, asked, plain, quantity, rows, several
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .noun import Table
    from .plan import Plan
    from .units import Quantity, QuantityInput, TextInput
    from collections.abc import Mapping, Sequence
    from typing import Literal

__all__ = ['Card', 'ClockLine', 'CupCard', 'CupLine', 'Trouble']


class ClockLine(Noun):
    """A line of the clock.

    Parameters
    ----------
    start : str
        When. For example "08:30".
    text : str
        What.
    """

    __slots__ = ()
    _noun = "ClockLine"
    _shape = {"start": plain, "text": plain}
    start: str
    """When."""
    text: str
    """What."""

    def __init__(self, start: TextInput, text: str) -> None:
        super().__init__({"start": start, "text": text})


class CupCard(Noun):
    """A cup as it is mixed.

    Parameters
    ----------
    name : str
        Its name, as the plan numbers it.
    recipe : str
        The recipe, in words.
    what_for : str
        What for: the work, and on what.
    start : str
        When to start mixing. For example "08:30".
    goggles : bool
        Whether catalyst or hardener is handled, with goggles.
    lines : list of CupLine
        What to weigh, in this order, the catalyst last.
    empty_by : str, optional
        When it must be empty; absent where nobody can tell.
    """

    __slots__ = ()
    _noun = "CupCard"
    _shape = {"name": plain, "recipe": plain, "what_for": plain, "start": plain, "goggles": plain, "lines": rows("card", "CupLine"), "empty_by": plain}
    name: str
    """Its name, as the plan numbers it."""
    recipe: str
    """The recipe, in words."""
    what_for: str
    """What for: the work, and on what."""
    start: str
    """When to start mixing."""
    goggles: bool
    """Whether catalyst or hardener is handled, with goggles."""
    lines: Table[CupLine]
    """What to weigh, in this order, the catalyst last."""
    empty_by: str | None
    """When it must be empty; absent where nobody can tell."""

    def __init__(self, name: str, recipe: str, what_for: str, start: TextInput, goggles: bool, lines: Sequence[CupLine | Mapping[str, Any]], *, empty_by: TextInput | None = None) -> None:
        super().__init__({"name": name, "recipe": recipe, "what_for": what_for, "start": start, "goggles": goggles, "lines": lines, "empty_by": empty_by})


class CupLine(Noun):
    """A line of a cup.

    Parameters
    ----------
    name : str
        The material.
    amount : str
        As the scale shows it; first as it is measured best.
    cures : bool
        Whether it is what cures it.
    drops : str, optional
        Of what cures it: the drops, and what a count of them is worth.
    """

    __slots__ = ()
    _noun = "CupLine"
    _shape = {"name": plain, "amount": plain, "cures": plain, "drops": plain}
    name: str
    """The material."""
    amount: str
    """As the scale shows it; first as it is measured best."""
    cures: bool
    """Whether it is what cures it."""
    drops: str | None
    """Of what cures it: the drops, and what a count of them is worth."""

    def __init__(self, name: str, amount: str, cures: bool, *, drops: str | None = None) -> None:
        super().__init__({"name": name, "amount": amount, "cures": cures, "drops": drops})


class Trouble(Noun):
    """Something that may ruin the part: one cause, however many rules it breaks.

    Parameters
    ----------
    cause : {nothing, release, nothing_cures, thinner, temperature, dose, heat, measuring, working_time,
    gel_time_unknown, cure, demoulding, filling, seam, film, damp, waiting, looks, other, contradiction}
        What is wrong.
    severity : {advice, warning, stop}
        How bad it is: the worst of its findings.
    heading : str
        In a few words.
    consequence : str
        What happens.
    change : str
        What to change.
    found : list, optional
        What was found, a line each.
    """

    __slots__ = ()
    _noun = "Trouble"
    _shape = {"cause": plain, "severity": plain, "heading": plain, "consequence": plain, "change": plain, "found": several(plain)}
    _defaults = {'found': []}
    cause: Literal["nothing", "release", "nothing_cures", "thinner", "temperature", "dose", "heat", "measuring", "working_time", "gel_time_unknown", "cure", "demoulding", "filling", "seam", "film", "damp", "waiting", "looks", "other", "contradiction"]
    """What is wrong."""
    severity: Literal["advice", "warning", "stop"]
    """How bad it is: the worst of its findings."""
    heading: str
    """In a few words."""
    consequence: str
    """What happens."""
    change: str
    """What to change."""
    found: tuple[str, ...]
    """What was found, a line each."""

    def __init__(self, cause: Literal["nothing", "release", "nothing_cures", "thinner", "temperature", "dose", "heat", "measuring", "working_time", "gel_time_unknown", "cure", "demoulding", "filling", "seam", "film", "damp", "waiting", "looks", "other", "contradiction"], severity: Literal["advice", "warning", "stop"], heading: str, consequence: str, change: str, *, found: Sequence[str] | None = None) -> None:
        super().__init__({"cause": cause, "severity": severity, "heading": heading, "consequence": consequence, "change": change, "found": found})


class Card(CardFace):
    """What a person reads first of a plan: verdict, what is most likely to ruin it, a card for each cup, the
    clock. On a "no" it holds what to change, and no recipe that could be followed all the same.

    Parameters
    ----------
    casting : str
        What is cast.
    language : {english, german}
        In which language it is written.
    units : {metric, us}
        The units on the bench.
    temperature : quantity (temperature)
        Air temperature that it is planned for. For example "18 degC".
    humidity : quantity (relative humidity)
        Relative humidity that it is planned for. For example "65 %".
    verdict : {yes, yes_if, no}
        Whether to cast.
    more_troubles : int
        How many more the plan holds.
    troubles : list of Trouble, optional
        The at most three things that are most likely to ruin it, the worst first.
    cups : list of CupCard, optional
        The cups in the order of mixing; none on a "no".
    clock : list of ClockLine, optional
        The day; none on a "no".
    cautions : list, optional
        What goes with all of it.
    """

    __slots__ = ()
    _noun = "Card"
    _shape = {"casting": plain, "language": plain, "units": plain, "temperature": quantity, "humidity": quantity, "verdict": plain, "more_troubles": plain, "troubles": rows("card", "Trouble"), "cups": rows("card", "CupCard"), "clock": rows("card", "ClockLine"), "cautions": several(plain)}
    _defaults = {'troubles': [], 'cups': [], 'clock': [], 'cautions': []}
    casting: str
    """What is cast."""
    language: Literal["english", "german"]
    """In which language it is written."""
    units: Literal["metric", "us"]
    """The units on the bench."""
    temperature: Quantity
    """Air temperature that it is planned for."""
    humidity: Quantity
    """Relative humidity that it is planned for."""
    verdict: Literal["yes", "yes_if", "no"]
    """Whether to cast."""
    more_troubles: int
    """How many more the plan holds."""
    troubles: Table[Trouble]
    """The at most three things that are most likely to ruin it, the worst first."""
    cups: Table[CupCard]
    """The cups in the order of mixing; none on a "no"."""
    clock: Table[ClockLine]
    """The day; none on a "no"."""
    cautions: tuple[str, ...]
    """What goes with all of it."""

    def __init__(self, casting: str, language: Literal["english", "german"], units: Literal["metric", "us"], temperature: QuantityInput, humidity: QuantityInput, verdict: Literal["yes", "yes_if", "no"], more_troubles: int, *, troubles: Sequence[Trouble | Mapping[str, Any]] | None = None, cups: Sequence[CupCard | Mapping[str, Any]] | None = None, clock: Sequence[ClockLine | Mapping[str, Any]] | None = None, cautions: Sequence[str] | None = None) -> None:
        super().__init__({"casting": casting, "language": language, "units": units, "temperature": temperature, "humidity": humidity, "verdict": verdict, "more_troubles": more_troubles, "troubles": troubles, "cups": cups, "clock": clock, "cautions": cautions})

    def text(self) -> str:
        """The card as plain text.

        Returns
        -------
        str

        Raises
        ------
        GelwrightError
            What can not be answered; `gelwright.errors` has a class for each kind of mistake.
        """
        return asked("card.text", self, plain)


def page(plans: Sequence[Plan | Mapping[str, Any]], *, language: Literal["english", "german"] | None = None) -> str:
    """Plans as one HTML page that needs no network and prints on A4: of each the card on a page of its own, then
    everything else once. On a "no" there is what to change and no recipe.

    Parameters
    ----------
    plans : list of Plan
        The plans.
    language : {english, german}, optional
        The language of the cards; what follows them is English. Default: english.

    Returns
    -------
    str

    Raises
    ------
    GelwrightError
        What can not be answered; `gelwright.errors` has a class for each kind of mistake.
    """
    return asked("card.page", {"plans": plans, "language": language}, plain)
