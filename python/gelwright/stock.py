"""What the library knows of stock."""

# Made by the build from the tables of the Rust library: do not edit, do not commit.
# ruff: noqa

from __future__ import annotations

from .noun import Noun, asked, money, part, plain, quantity, rows
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .noun import Table
    from .source import Why
    from .units import Money, Quantity, QuantityInput, TextInput
    from collections.abc import Mapping, Sequence
    from typing import Literal

__all__ = ['Bought', 'BreakEven', 'CastingCosts', 'CheaperFrom', 'Cover', 'CutList', 'CutPiece', 'Lot', 'LotWord', 'Missing', 'Package', 'PartCosts', 'Piece', 'PriceFrom', 'Purchase', 'Roll', 'Shelf', 'Taken', 'Wanted', 'WantedBatch', 'Way', 'Withdrawal']


class Lot(Noun):
    """A lot: what came in one tin, sack or roll.

    Parameters
    ----------
    name : str
        What it is marked with.
    material : str
        What it is, a material id.
    left : str
        What is left of it. For example "2.5 kg".
    expires : str, optional
        Last day on which its label lets it be used.
    opened : str, optional
        Day on which it was opened.
    keeps_open : quantity (time), optional
        How long it keeps once it is open; the label's last day alone counts, if not said. Allowed: 1 d to 3650 d.
    stored_at : quantity (temperature), optional
        Warmest that it is stored.
    store_below : quantity (temperature), optional
        Warmest that its label lets it be stored.
    """

    __slots__ = ()
    _noun = "Lot"
    _shape = {"name": plain, "material": plain, "left": plain, "expires": plain, "opened": plain, "keeps_open": quantity, "stored_at": quantity, "store_below": quantity}
    name: str
    """What it is marked with."""
    material: str
    """What it is, a material id."""
    left: str
    """What is left of it."""
    expires: str | None
    """Last day on which its label lets it be used."""
    opened: str | None
    """Day on which it was opened."""
    keeps_open: Quantity | None
    """How long it keeps once it is open; the label's last day alone counts, if not said."""
    stored_at: Quantity | None
    """Warmest that it is stored."""
    store_below: Quantity | None
    """Warmest that its label lets it be stored."""

    def __init__(self, name: str, material: str, left: TextInput, *, expires: TextInput | None = None, opened: TextInput | None = None, keeps_open: QuantityInput | None = None, stored_at: QuantityInput | None = None, store_below: QuantityInput | None = None) -> None:
        super().__init__({"name": name, "material": material, "left": left, "expires": expires, "opened": opened, "keeps_open": keeps_open, "stored_at": stored_at, "store_below": store_below})


class Shelf(Noun):
    """The shelf on a day.

    Parameters
    ----------
    on : str
        The day. For example "2026-11-29".
    lots : list of Lot
        What stands on it.
    take_expired : bool, optional
        Whether what has expired is drawn too (first of all); it stays where it is, if not said. Every such lot
        is named. Default: False.
    """

    __slots__ = ()
    _noun = "Shelf"
    _shape = {"on": plain, "lots": rows("stock", "Lot"), "take_expired": plain}
    _defaults = {'take_expired': False}
    on: str
    """The day."""
    lots: Table[Lot]
    """What stands on it."""
    take_expired: bool
    """Whether what has expired is drawn too (first of all); it stays where it is, if not said. Every such lot is
    named.
    """

    def __init__(self, on: TextInput, lots: Sequence[Lot | Mapping[str, Any]], *, take_expired: bool | None = None) -> None:
        super().__init__({"on": on, "lots": lots, "take_expired": take_expired})

    def draw(self, wanted: Sequence[Wanted | Mapping[str, Any]]) -> Withdrawal:
        """Draws what is wanted: first expired, first out.

        Of each material the lot whose last day comes first goes first (the label's last day, or the day it
        was opened and how long it keeps open, whichever is sooner), then what is open already, then by
        name. Where a batch may not mix lots, each batch comes whole from the first lot that holds it; and
        where that would leave a later batch without a lot that another choice has for it, the first choice
        that serves all batches is taken. Every lot that is passed over is named, and why. What is taken and
        what is missing add up to what was wanted. Ageing is not modelled here: what is old is to be tried
        in a test cup.

        Parameters
        ----------
        wanted : list of Wanted
            What is wanted, each material once.

        Returns
        -------
        Withdrawal

        Raises
        ------
        GelwrightError
            `InconsistentError` for two lots of one material with one name, a lot opened after the
            day; `WrongDimensionError` where a lot and a batch are measured in different kinds of
            unit.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.Shelf(on='2027-02-01', lots=[gw.Lot(name='B', material='gel_coat', left='400 g',
        ...     expires='2027-01-31')]).draw(wanted=[gw.Wanted(material='gel_coat', batches=[gw.WantedBatch(batch='cup 1',
        ...     amount='100 g')])])
        """
        return asked("stock.draw", {"shelf": self, "wanted": wanted}, part("stock", "Withdrawal"))


class Wanted(Noun):
    """What is wanted of a material.

    Parameters
    ----------
    material : str
        A material id.
    batches : list of WantedBatch
        Batch by batch, in the order of mixing.
    one_lot : bool, optional
        Whether a batch may not mix lots: two lots of a gel coat rarely have one colour. Default: False.
    """

    __slots__ = ()
    _noun = "Wanted"
    _shape = {"material": plain, "batches": rows("stock", "WantedBatch"), "one_lot": plain}
    _defaults = {'one_lot': False}
    material: str
    """A material id."""
    batches: Table[WantedBatch]
    """Batch by batch, in the order of mixing."""
    one_lot: bool
    """Whether a batch may not mix lots: two lots of a gel coat rarely have one colour."""

    def __init__(self, material: str, batches: Sequence[WantedBatch | Mapping[str, Any]], *, one_lot: bool | None = None) -> None:
        super().__init__({"material": material, "batches": batches, "one_lot": one_lot})


class WantedBatch(Noun):
    """A batch, and how much of a material it takes.

    Parameters
    ----------
    batch : str
        Which.
    amount : str
        How much. For example "2.5 kg".
    """

    __slots__ = ()
    _noun = "WantedBatch"
    _shape = {"batch": plain, "amount": plain}
    batch: str
    """Which."""
    amount: str
    """How much."""

    def __init__(self, batch: str, amount: TextInput) -> None:
        super().__init__({"batch": batch, "amount": amount})


class LotWord(Noun):
    """A lot worth a word.

    Parameters
    ----------
    material : str
        Which material.
    lot : str
        Which lot.
    word : {expired, drawn_expired, stored_too_warm, too_small, kept_for_a_larger_batch}
        Why.
    batch : str, optional
        For which batch, where it is about one.
    """

    __slots__ = ()
    _noun = "LotWord"
    _shape = {"material": plain, "lot": plain, "word": plain, "batch": plain}
    material: str
    """Which material."""
    lot: str
    """Which lot."""
    word: Literal["expired", "drawn_expired", "stored_too_warm", "too_small", "kept_for_a_larger_batch"]
    """Why."""
    batch: str | None
    """For which batch, where it is about one."""

    def __init__(self, material: str, lot: str, word: Literal["expired", "drawn_expired", "stored_too_warm", "too_small", "kept_for_a_larger_batch"], *, batch: str | None = None) -> None:
        super().__init__({"material": material, "lot": lot, "word": word, "batch": batch})


class Missing(Noun):
    """What is missing for a batch.

    Parameters
    ----------
    batch : str
        For which batch.
    material : str
        Which material.
    amount : str
        How much. For example "2.5 kg".
    """

    __slots__ = ()
    _noun = "Missing"
    _shape = {"batch": plain, "material": plain, "amount": plain}
    batch: str
    """For which batch."""
    material: str
    """Which material."""
    amount: str
    """How much."""

    def __init__(self, batch: str, material: str, amount: TextInput) -> None:
        super().__init__({"batch": batch, "material": material, "amount": amount})


class Taken(Noun):
    """What is taken from a lot for a batch.

    Parameters
    ----------
    batch : str
        For which batch.
    material : str
        Which material.
    lot : str
        From which lot.
    amount : str
        How much. For example "2.5 kg".
    """

    __slots__ = ()
    _noun = "Taken"
    _shape = {"batch": plain, "material": plain, "lot": plain, "amount": plain}
    batch: str
    """For which batch."""
    material: str
    """Which material."""
    lot: str
    """From which lot."""
    amount: str
    """How much."""

    def __init__(self, batch: str, material: str, lot: str, amount: TextInput) -> None:
        super().__init__({"batch": batch, "material": material, "lot": lot, "amount": amount})


class Withdrawal(Noun):
    """What is drawn from a shelf.

    Parameters
    ----------
    taken : list of Taken
        What is taken, lot by lot.
    missing : list of Missing
        What is missing.
    words : list of LotWord
        Lots worth a word: expired, stored too warm, passed over.
    left : list of Lot
        The shelf afterwards, the empty lots too.
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "Withdrawal"
    _shape = {"taken": rows("stock", "Taken"), "missing": rows("stock", "Missing"), "words": rows("stock", "LotWord"), "left": rows("stock", "Lot"), "why": part("source", "Why")}
    taken: Table[Taken]
    """What is taken, lot by lot."""
    missing: Table[Missing]
    """What is missing."""
    words: Table[LotWord]
    """Lots worth a word: expired, stored too warm, passed over."""
    left: Table[Lot]
    """The shelf afterwards, the empty lots too."""
    why: Why
    """The chain behind it."""

    def __init__(self, taken: Sequence[Taken | Mapping[str, Any]], missing: Sequence[Missing | Mapping[str, Any]], words: Sequence[LotWord | Mapping[str, Any]], left: Sequence[Lot | Mapping[str, Any]], why: Why | Mapping[str, Any]) -> None:
        super().__init__({"taken": taken, "missing": missing, "words": words, "left": left, "why": why})


class Package(Noun):
    """A package as it is sold.

    Parameters
    ----------
    name : str
        What it is called ("1 kg tin").
    size : str
        What is in it. For example "2.5 kg".
    price : str
        Price of one. For example "12.50 EUR".
    from_ : list of PriceFrom, optional
        Prices for more of them.
    """

    __slots__ = ()
    _noun = "Package"
    _shape = {"name": plain, "size": plain, "price": money, "from": rows("stock", "PriceFrom")}
    _renamed = {"from_": "from"}
    _defaults = {'from': []}
    name: str
    """What it is called ("1 kg tin")."""
    size: str
    """What is in it."""
    price: Money
    """Price of one."""
    from_: Table[PriceFrom]
    """Prices for more of them."""

    def __init__(self, name: str, size: TextInput, price: TextInput, *, from_: Sequence[PriceFrom | Mapping[str, Any]] | None = None) -> None:
        super().__init__({"name": name, "size": size, "price": price, "from": from_})


class PriceFrom(Noun):
    """A price for each package from a number of packages on.

    Parameters
    ----------
    packages : int
        From so many of them on, all of them cost this. Allowed: 2 to 100000.
    price : str
        Price of one. For example "12.50 EUR".
    """

    __slots__ = ()
    _noun = "PriceFrom"
    _shape = {"packages": plain, "price": money}
    packages: int
    """From so many of them on, all of them cost this."""
    price: Money
    """Price of one."""

    def __init__(self, packages: int, price: TextInput) -> None:
        super().__init__({"packages": packages, "price": price})


class Purchase(Noun):
    """What is to be bought.

    Parameters
    ----------
    missing : str
        What one casting lacks. For example "2.5 kg".
    packages : list of Package
        The packages that are sold.
    castings : int, optional
        For how many castings it is bought. Default: 1. Allowed: 1 to 10000.
    """

    __slots__ = ()
    _noun = "Purchase"
    _shape = {"missing": plain, "packages": rows("stock", "Package"), "castings": plain}
    _defaults = {'castings': 1}
    missing: str
    """What one casting lacks."""
    packages: Table[Package]
    """The packages that are sold."""
    castings: int
    """For how many castings it is bought."""

    def __init__(self, missing: TextInput, packages: Sequence[Package | Mapping[str, Any]], *, castings: int | None = None) -> None:
        super().__init__({"missing": missing, "packages": packages, "castings": castings})

    def cover(self) -> Cover:
        """The cheapest packages that cover what is missing; of equally cheap ones those that leave the least over.

        The least sum of `count x price(count)` with `sum of count x size >= missing x castings`, every
        count a whole number; a price for more packages holds for all of them. Found by branch and bound: a
        branch ends where even the rest at its best price by amount costs as much as what was found.
        Delivery is not in it, nor how long what is left over keeps.

        Returns
        -------
        Cover

        Raises
        ------
        GelwrightError
            `WrongDimensionError` for a package measured in another kind of unit;
            `OutOfRangeError` for an empty package; `InconsistentError` for two currencies, and
            for prices of more packages that are not in order; `NoSolutionError` without a package, or
            where it would take more packages than can be searched.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.Purchase(missing='2300 g', packages=[gw.Package(name='half', size='500 g',
        ...     price='11 EUR'), gw.Package(name='one', size='1 kg', price='18 EUR'), gw.Package(name='five',
        ...     size='5 kg', price='70 EUR')]).cover()
        """
        return asked("stock.cover", self, part("stock", "Cover"))


class Bought(Noun):
    """Packages of a kind that are bought.

    Parameters
    ----------
    package : str
        Which.
    count : int
        How many.
    price : str
        Price of one, of so many. For example "12.50 EUR".
    """

    __slots__ = ()
    _noun = "Bought"
    _shape = {"package": plain, "count": plain, "price": money}
    package: str
    """Which."""
    count: int
    """How many."""
    price: Money
    """Price of one, of so many."""

    def __init__(self, package: str, count: int, price: TextInput) -> None:
        super().__init__({"package": package, "count": count, "price": price})


class Cover(Noun):
    """What is bought.

    Parameters
    ----------
    bought : list of Bought
        Which packages.
    cost : str
        What they cost. For example "12.50 EUR".
    cost_of_each : str
        What that is for each casting. For example "12.50 EUR".
    amount : str
        What is in them. For example "2.5 kg".
    left_over : str
        What is left over. For example "2.5 kg".
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "Cover"
    _shape = {"bought": rows("stock", "Bought"), "cost": money, "cost_of_each": money, "amount": plain, "left_over": plain, "why": part("source", "Why")}
    bought: Table[Bought]
    """Which packages."""
    cost: Money
    """What they cost."""
    cost_of_each: Money
    """What that is for each casting."""
    amount: str
    """What is in them."""
    left_over: str
    """What is left over."""
    why: Why
    """The chain behind it."""

    def __init__(self, bought: Sequence[Bought | Mapping[str, Any]], cost: TextInput, cost_of_each: TextInput, amount: TextInput, left_over: TextInput, why: Why | Mapping[str, Any]) -> None:
        super().__init__({"bought": bought, "cost": cost, "cost_of_each": cost_of_each, "amount": amount, "left_over": left_over, "why": why})


class Piece(Noun):
    """A piece to cut: the rectangle that its shape is cut from.

    Parameters
    ----------
    name : str
        What it is for.
    length : quantity (length)
        Along the roll. Allowed: 1 mm to 100 m. For example "12 mm".
    width : quantity (length)
        Across the roll. Allowed: 1 mm to 100 m. For example "12 mm".
    count : int, optional
        How many of them. Default: 1. Allowed: 1 to 1000.
    turns : bool, optional
        Whether it may lie across: mat has no direction, cloth has its warp. Default: False.
    """

    __slots__ = ()
    _noun = "Piece"
    _shape = {"name": plain, "length": quantity, "width": quantity, "count": plain, "turns": plain}
    _defaults = {'count': 1, 'turns': False}
    name: str
    """What it is for."""
    length: Quantity
    """Along the roll."""
    width: Quantity
    """Across the roll."""
    count: int
    """How many of them."""
    turns: bool
    """Whether it may lie across: mat has no direction, cloth has its warp."""

    def __init__(self, name: str, length: QuantityInput, width: QuantityInput, *, count: int | None = None, turns: bool | None = None) -> None:
        super().__init__({"name": name, "length": length, "width": width, "count": count, "turns": turns})


class Roll(Noun):
    """A roll, and what is to be cut from it.

    Parameters
    ----------
    width : quantity (length)
        Its width. Allowed: 10 mm to 10 m. For example "12 mm".
    pieces : list of Piece
        The pieces.
    length : quantity (length), optional
        What is left on it; as long as it takes, if not said. Allowed: 0 m to 10 km.
    """

    __slots__ = ()
    _noun = "Roll"
    _shape = {"width": quantity, "pieces": rows("stock", "Piece"), "length": quantity}
    width: Quantity
    """Its width."""
    pieces: Table[Piece]
    """The pieces."""
    length: Quantity | None
    """What is left on it; as long as it takes, if not said."""

    def __init__(self, width: QuantityInput, pieces: Sequence[Piece | Mapping[str, Any]], *, length: QuantityInput | None = None) -> None:
        super().__init__({"width": width, "pieces": pieces, "length": length})

    def cut(self) -> CutList:
        """How to cut the pieces from the roll so that it takes little of its length.

        Each piece in turn is laid as near to the roll's end as it fits, and there as far left, on the
        outline of those laid before it (the skyline); up to six pieces are tried in every order, more in
        six orders of size, each both ways round where it may turn. `at_least` tells how far from the best
        that can be: the two are often one. Pieces are rectangles: what is cut out of them is no use to
        another.

        Returns
        -------
        CutList

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for a piece wider than the roll; `NoSolutionError` where what is
            left on the roll is too short, or for more than 2000 pieces.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.Roll(width='1 m', pieces=[gw.Piece(name='wing', length='60 cm', width='40 cm',
        ...     count=2)]).cut()
        """
        return asked("stock.cut", self, part("stock", "CutList"))


class CutPiece(Noun):
    """Where a piece is cut.

    Attributes
    ----------
    name : str
        Which.
    along : Quantity
        From the roll's end to its nearer edge.
    across : Quantity
        From the roll's left edge to its nearer edge.
    length : Quantity
        How much of the roll's length it takes.
    width : Quantity
        How much of the roll's width it takes.
    turned : bool
        Whether it lies across.
    """

    __slots__ = ()
    _noun = "CutPiece"
    _shape = {"name": plain, "along": quantity, "across": quantity, "length": quantity, "width": quantity, "turned": plain}
    name: str
    """Which."""
    along: Quantity
    """From the roll's end to its nearer edge."""
    across: Quantity
    """From the roll's left edge to its nearer edge."""
    length: Quantity
    """How much of the roll's length it takes."""
    width: Quantity
    """How much of the roll's width it takes."""
    turned: bool
    """Whether it lies across."""



class CutList(Noun):
    """The cut list.

    Attributes
    ----------
    pieces : Table[CutPiece]
        The pieces, from the roll's end on.
    length : Quantity
        Length of the roll that it takes.
    at_least : Quantity
        No cut list takes less: the pieces' area over the width, or the longest piece, or those that cannot lie
        side by side.
    waste : Quantity
        What is cut off, of the area taken.
    area : Quantity
        Area taken from the roll.
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "CutList"
    _shape = {"pieces": rows("stock", "CutPiece"), "length": quantity, "at_least": quantity, "waste": quantity, "area": quantity, "why": part("source", "Why")}
    pieces: Table[CutPiece]
    """The pieces, from the roll's end on."""
    length: Quantity
    """Length of the roll that it takes."""
    at_least: Quantity
    """No cut list takes less: the pieces' area over the width, or the longest piece, or those that cannot lie side
    by side.
    """
    waste: Quantity
    """What is cut off, of the area taken."""
    area: Quantity
    """Area taken from the roll."""
    why: Why
    """The chain behind it."""



class PartCosts(Noun):
    """What castings cost.

    Parameters
    ----------
    materials : str
        Materials of one casting, waste included (a share of whole packages, where they are bought for it). For
        example "12.50 EUR".
    hands : quantity (time), optional
        Hands-on time of one casting. Default: 0 min. Allowed: 0 min to 1000 h.
    hour : str, optional
        What an hour of work costs.
    spoiled : quantity (relative amount), optional
        Share of castings that are spoiled. Default: 0 %. Allowed: 0 % to less than 100 %.
    once : str, optional
        What is paid once: mould, patterns, tools.
    parts : int, optional
        Good parts wanted. Default: 1. Allowed: 1 to 100000.
    """

    __slots__ = ()
    _noun = "PartCosts"
    _shape = {"materials": money, "hands": quantity, "hour": money, "spoiled": quantity, "once": money, "parts": plain}
    _defaults = {'hands': '0 min', 'spoiled': '0 %', 'parts': 1}
    materials: Money
    """Materials of one casting, waste included (a share of whole packages, where they are bought for it)."""
    hands: Quantity
    """Hands-on time of one casting."""
    hour: Money | None
    """What an hour of work costs."""
    spoiled: Quantity
    """Share of castings that are spoiled."""
    once: Money | None
    """What is paid once: mould, patterns, tools."""
    parts: int
    """Good parts wanted."""

    def __init__(self, materials: TextInput, *, hands: QuantityInput | None = None, hour: TextInput | None = None, spoiled: QuantityInput | None = None, once: TextInput | None = None, parts: int | None = None) -> None:
        super().__init__({"materials": materials, "hands": hands, "hour": hour, "spoiled": spoiled, "once": once, "parts": parts})

    def costs(self) -> CastingCosts:
        """What a casting costs, and what so many good parts cost when some are spoiled.

        A casting is its materials and `hands x hour`. Of castings of which a share `s` is spoiled,
        independently, `n` good parts take `n/(1 - s)` castings in the mean (negative binomial law); the
        number that is enough in 19 of 20 cases is the least `N` with at least `n` good ones of `N` at 95 %
        (binomial law). Interest, rooms, energy and tax are not in it.

        Returns
        -------
        CastingCosts

        Raises
        ------
        GelwrightError
            `InconsistentError` for hands without the price of an hour, and for two currencies.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.PartCosts(materials='6 EUR', hands='2 h', hour='15 EUR', spoiled='10 %',
        ...     once='200 EUR', parts=20).costs()
        """
        return asked("stock.costs", self, part("stock", "CastingCosts"))


class CastingCosts(Noun):
    """What so many good parts cost.

    Parameters
    ----------
    casting : str
        Materials and hands of one casting: what is lost with a spoiled one. For example "12.50 EUR".
    castings : float
        Castings that it takes, in the mean.
    castings_to_be_sure : int
        Castings that are enough in 19 of 20 cases: buy for these.
    all : str
        All good parts, those that are spoiled and what is paid once with them, in the mean. For example "12.50
        EUR".
    part : str
        One good part. For example "12.50 EUR".
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "CastingCosts"
    _shape = {"casting": money, "castings": plain, "castings_to_be_sure": plain, "all": money, "part": money, "why": part("source", "Why")}
    casting: Money
    """Materials and hands of one casting: what is lost with a spoiled one."""
    castings: float
    """Castings that it takes, in the mean."""
    castings_to_be_sure: int
    """Castings that are enough in 19 of 20 cases: buy for these."""
    all: Money
    """All good parts, those that are spoiled and what is paid once with them, in the mean."""
    part: Money
    """One good part."""
    why: Why
    """The chain behind it."""

    def __init__(self, casting: TextInput, castings: float, castings_to_be_sure: int, all: TextInput, part: TextInput, why: Why | Mapping[str, Any]) -> None:
        super().__init__({"casting": casting, "castings": castings, "castings_to_be_sure": castings_to_be_sure, "all": all, "part": part, "why": why})


class Way(Noun):
    """A way to make the part.

    Parameters
    ----------
    name : str
        Which ("hollow", "solid").
    once : str
        What is paid once. For example "12.50 EUR".
    each : str
        What each good part costs on top. For example "12.50 EUR".
    """

    __slots__ = ()
    _noun = "Way"
    _shape = {"name": plain, "once": money, "each": money}
    name: str
    """Which ("hollow", "solid")."""
    once: Money
    """What is paid once."""
    each: Money
    """What each good part costs on top."""

    def __init__(self, name: str, once: TextInput, each: TextInput) -> None:
        super().__init__({"name": name, "once": once, "each": each})


class BreakEven(Noun):
    """Two ways to make a part.

    Parameters
    ----------
    one : Way
        One way.
    other : Way
        The other.
    """

    __slots__ = ()
    _noun = "BreakEven"
    _shape = {"one": part("stock", "Way"), "other": part("stock", "Way")}
    one: Way
    """One way."""
    other: Way
    """The other."""

    def __init__(self, one: Way | Mapping[str, Any], other: Way | Mapping[str, Any]) -> None:
        super().__init__({"one": one, "other": other})

    def break_even(self) -> CheaperFrom:
        """From how many parts on the way that costs less each is cheaper in all.

        The least whole `n` with `once_a + n each_a <= once_b + n each_b`, where `a` costs less each; where
        both cost the same each, the one that costs less once, from the first part on.

        Returns
        -------
        CheaperFrom

        Raises
        ------
        GelwrightError
            `InconsistentError` for two currencies; `NoSolutionError` where it would take more
            than 4 000 000 000 parts.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.BreakEven(one=gw.Way(name='solid', once='0 EUR', each='9 EUR'), other=gw.Way(name='hollow',
        ...     once='30 EUR', each='4 EUR')).break_even()
        """
        return asked("stock.break_even", self, part("stock", "CheaperFrom"))


class CheaperFrom(Noun):
    """From how many parts on which way is cheaper.

    Attributes
    ----------
    cheaper : str
        The way that costs no more, from `parts` on.
    parts : int
        From so many parts on: 1 where it always is.
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "CheaperFrom"
    _shape = {"cheaper": plain, "parts": plain, "why": part("source", "Why")}
    cheaper: str
    """The way that costs no more, from `parts` on."""
    parts: int
    """From so many parts on: 1 where it always is."""
    why: Why
    """The chain behind it."""

