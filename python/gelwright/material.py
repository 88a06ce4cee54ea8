# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about material."""

from __future__ import annotations

from typing import Literal

from .answer import Answer, Table, ask_as, part, plain, quantity, rows, several
from .common import Source
from .units import Quantity

__all__ = [
    "Caution",
    "ExposureLimit",
    "Fact",
    "Filler",
    "GelRow",
    "GelTimes",
    "Hardener",
    "Initiator",
    "Listed",
    "ListedPrice",
    "Material",
    "MaterialList",
    "MaterialSheet",
    "MouldWall",
    "Pigment",
    "PotLife",
    "Promoter",
    "Property",
    "Reinforcement",
    "Release",
    "Resin",
    "Solvent",
    "Window",
    "list",
    "show",
]


class Listed(Answer):
    """A material in a list."""

    __slots__ = ()
    _fields = {
        "id": plain,
        "name": plain,
        "kind": plain,
    }
    id: str
    """What a recipe calls it."""
    name: str
    """What a person calls it."""
    kind: str
    """What kind of material it is."""


class MaterialList(Answer):
    """Materials in order of their ids."""

    __slots__ = ()
    _fields = {
        "materials": rows("Listed"),
    }
    materials: Table[Listed]
    """The materials."""


class Fact(Answer):
    """One value of a material as a person reads it."""

    __slots__ = ()
    _fields = {
        "field": plain,
        "value": plain,
        "low": plain,
        "high": plain,
        "note": plain,
        "source": part("Source"),
    }
    field: str
    """Which property ("density", "resin.viscosity", "resin.dose_window[1]")."""
    value: str | None
    """The value to compute with, with its unit; absent for a window."""
    low: str | None
    """The low end of its range or window."""
    high: str | None
    """The high end of its range or window."""
    note: str | None
    """A remark: what it is for, how the source prints it."""
    source: Source | None
    """Where it comes from; absent only for what a material *is* (its form, its family)."""


class Caution(Answer):
    """A caution, as it is printed.

    It always defers to the product's safety data sheet, local codes and licensed practice
    ([`Caution::defers`]).
    """

    __slots__ = ()
    _fields = {
        "text": plain,
        "source": part("Source"),
    }
    text: str
    """What to beware of and what to do."""
    source: Source
    """On whose word."""


class ExposureLimit(Answer):
    """An exposure limit of one body."""

    __slots__ = ()
    _fields = {
        "agent": plain,
        "body": plain,
        "year": plain,
        "form": plain,
        "over": quantity,
        "in_air": quantity,
        "mass": quantity,
        "fibres_per_cubic_centimetre": plain,
        "fraction": plain,
        "note": plain,
        "source": part("Source"),
    }
    agent: str
    """Of what, an agent id."""
    body: str
    """Who set it."""
    year: int | None
    """When, or as of when it was read."""
    form: Literal["time_weighted_average", "short_term", "ceiling", "peak", "immediately_dangerous"]
    """Its form."""
    over: Quantity | None
    """The time it is a mean over."""
    in_air: Quantity | None
    """Volume of vapour per volume of air."""
    mass: Quantity | None
    """Mass per volume of air."""
    fibres_per_cubic_centimetre: float | None
    """Fibres per cubic centimetre of air."""
    fraction: str | None
    """Which fraction of a dust (`respirable`, `total`)."""
    note: str | None
    """A remark."""
    source: Source
    """On whose word."""


class Property(Answer):
    """A property as a document holds it."""

    __slots__ = ()
    _fields = {
        "value": quantity,
        "low": quantity,
        "high": quantity,
        "source": part("Source"),
    }
    value: Quantity
    """The value to compute with."""
    low: Quantity | None
    """The low end of the range it is found in."""
    high: Quantity | None
    """The high end of the range it is found in."""
    source: Source
    """Where it comes from."""


class ListedPrice(Answer):
    """A price and where it was read."""

    __slots__ = ()
    _fields = {
        "value": plain,
        "source": part("Source"),
    }
    value: str
    """The price."""
    source: Source
    """Where it was read."""


class GelRow(Answer):
    """One row of a gel-time table."""

    __slots__ = ()
    _fields = {
        "temperature": quantity,
        "dose": quantity,
        "time": quantity,
        "low": quantity,
        "high": quantity,
    }
    temperature: Quantity
    """Temperature of resin and room."""
    dose: Quantity
    """Initiator solution per hundred parts of resin, by mass."""
    time: Quantity
    """Gel time (the middle of its band, where the source prints a band)."""
    low: Quantity | None
    """The short end of the printed band."""
    high: Quantity | None
    """The long end of the printed band."""


class GelTimes(Answer):
    """Gel times of a resin as a data sheet tables them: temperature × dose."""

    __slots__ = ()
    _fields = {
        "initiator": plain,
        "end_point": plain,
        "mass": quantity,
        "rows": rows("GelRow"),
        "source": part("Source"),
    }
    initiator: str
    """The initiator the doses are of, a material id."""
    end_point: str | None
    """What the table's time ends with (gel in the cup, end of working time), as far as its source says."""
    mass: Quantity | None
    """Mass of the cup the times were taken in, where the source says so."""
    rows: Table[GelRow]
    """The rows."""
    source: Source
    """Who says so."""


class Window(Answer):
    """A window that one source gives: a lowest and a highest value, either of which may be open."""

    __slots__ = ()
    _fields = {
        "low": quantity,
        "high": quantity,
        "about": plain,
        "printed": plain,
        "preferred": plain,
        "source": part("Source"),
    }
    low: Quantity | None
    """The lowest permitted value."""
    high: Quantity | None
    """The highest permitted value."""
    about: str | None
    """What the window is for ("by brush", "paste that keeps a peak"), where the source says so."""
    printed: str | None
    """The rule as its source prints it, where it had to be converted ("2 to 3 % by volume")."""
    preferred: bool | None
    """Whether it says what is best, not what is permitted: outside it is worth knowing, no more."""
    source: Source
    """Who says so."""


class Resin(Answer):
    """A resin: what is poured or laid up, before its initiator or hardener is added."""

    __slots__ = ()
    _fields = {
        "family": plain,
        "viscosity": part("Property"),
        "thixotropic_index": part("Property"),
        "surface_tension": part("Property"),
        "styrene": part("Property"),
        "solids": part("Property"),
        "promoted": plain,
        "waxed": plain,
        "epoxide_equivalent": part("Property"),
        "hydroxyl_number": part("Property"),
        "water": part("Property"),
        "cured_density": part("Property"),
        "shrinkage": part("Property"),
        "heat_of_reaction": part("Property"),
        "specific_heat": part("Property"),
        "conductivity": part("Property"),
        "thermal_expansion": part("Property"),
        "glass_transition": part("Property"),
        "deflection_temperature": part("Property"),
        "modulus": part("Property"),
        "strength": part("Property"),
        "elongation": part("Property"),
        "poisson_ratio": part("Property"),
        "barcol": part("Property"),
        "refractive_index": part("Property"),
        "gel_times": part("GelTimes"),
        "dose_window": rows("Window"),
        "wet_film": rows("Window"),
        "pour_depth": rows("Window"),
        "lay_up_window": rows("Window"),
    }
    family: Literal[
        "ortho_polyester", "iso_polyester", "casting_polyester", "vinyl_ester", "gel_coat", "epoxy", "polyol"
    ]
    """Its chemistry."""
    viscosity: Property | None
    """Viscosity of the liquid at 25 °C (of a thixotropic one: at the shear its source's locator states)."""
    thixotropic_index: Property | None
    """Apparent viscosity at a tenth of the shear rate over that at the full one."""
    surface_tension: Property | None
    """Surface tension of the liquid."""
    styrene: Property | None
    """Styrene as a mass fraction of the resin as supplied."""
    solids: Property | None
    """Pigment and filler as a mass fraction of the resin as supplied (an opaque gel coat)."""
    promoted: bool | None
    """Whether a promoter is already in it, as supplied."""
    waxed: bool | None
    """Whether it seals itself against the air with wax, so that its open face cures hard."""
    epoxide_equivalent: Property | None
    """Epoxide equivalent mass, in grams per equivalent (`g/mol` of epoxide)."""
    hydroxyl_number: Property | None
    """Hydroxyl number, in mg KOH per g."""
    water: Property | None
    """Water in it, as supplied."""
    cured_density: Property | None
    """Density of the cured neat resin."""
    shrinkage: Property | None
    """Volume shrinkage on cure, of the liquid's volume."""
    heat_of_reaction: Property | None
    """Heat given off by full cure, per mass of resin (without filler)."""
    specific_heat: Property | None
    """Specific heat capacity."""
    conductivity: Property | None
    """Thermal conductivity of the cured neat resin."""
    thermal_expansion: Property | None
    """Linear thermal expansion of the cured neat resin."""
    glass_transition: Property | None
    """Glass transition temperature after post-cure."""
    deflection_temperature: Property | None
    """Temperature of deflection under load (1.8 MPa) after post-cure."""
    modulus: Property | None
    """Tensile modulus, cured."""
    strength: Property | None
    """Tensile strength, cured."""
    elongation: Property | None
    """Tensile elongation at break, cured."""
    poisson_ratio: Property | None
    """Poisson's ratio, cured."""
    barcol: Property | None
    """Barcol hardness, cured."""
    refractive_index: Property | None
    """Refractive index, cured."""
    gel_times: GelTimes | None
    """Gel times by temperature and dose."""
    dose_window: Table[Window] | None
    """Permitted dose of initiator solution, by mass on the resin.

    Sources conflict: see [`that_count`](super::that_count).
    """
    wet_film: Table[Window] | None
    """Wet film of a coat."""
    pour_depth: Table[Window] | None
    """Depth of a single pour."""
    lay_up_window: Table[Window] | None
    """When the next layer may follow, counted from the end of this one."""


class Initiator(Answer):
    """An organic peroxide solution that starts the cure of a polyester or vinyl ester."""

    __slots__ = ()
    _fields = {
        "peroxide": plain,
        "active_oxygen": part("Property"),
        "peroxide_content": part("Property"),
        "diluent": plain,
        "viscosity": part("Property"),
        "surface_tension": part("Property"),
        "self_accelerating_decomposition": part("Property"),
        "flash_point": part("Property"),
    }
    peroxide: str
    """The peroxide in it ("methyl ethyl ketone peroxide")."""
    active_oxygen: Property | None
    """Active oxygen, as a mass fraction of the solution as supplied."""
    peroxide_content: Property | None
    """Peroxide content, as a mass fraction of the solution as supplied."""
    diluent: str | None
    """What it is diluted with."""
    viscosity: Property | None
    """Viscosity."""
    surface_tension: Property | None
    """Surface tension."""
    self_accelerating_decomposition: Property | None
    """Self-accelerating decomposition temperature, in its package."""
    flash_point: Property | None
    """Flash point."""


class Promoter(Answer):
    """A promoter (accelerator): a metal salt or an amine that lets a peroxide work at room temperature."""

    __slots__ = ()
    _fields = {
        "acts_by": plain,
        "metal": part("Property"),
        "viscosity": part("Property"),
        "flash_point": part("Property"),
        "dose_window": rows("Window"),
    }
    acts_by: str
    """What acts in it ("cobalt", "N,N-dimethylaniline")."""
    metal: Property | None
    """Metal, as a mass fraction of the solution as supplied."""
    viscosity: Property | None
    """Viscosity."""
    flash_point: Property | None
    """Flash point."""
    dose_window: Table[Window] | None
    """Usual dose, by mass on the resin."""


class PotLife(Answer):
    """How long a mixed cup stays usable: only with its temperature, and its mass, does the time mean
    anything.
    """

    __slots__ = ()
    _fields = {
        "time": quantity,
        "low": quantity,
        "high": quantity,
        "temperature": quantity,
        "mass": quantity,
        "source": part("Source"),
    }
    time: Quantity
    """The time."""
    low: Quantity | None
    """The short end of its range."""
    high: Quantity | None
    """The long end of its range."""
    temperature: Quantity
    """At which temperature."""
    mass: Quantity | None
    """In a cup of which mass, where the source says so."""
    source: Source
    """Who says so."""


class Hardener(Answer):
    """The second part of an epoxy or a polyurethane."""

    __slots__ = ()
    _fields = {
        "resin": plain,
        "amine_hydrogen_equivalent": part("Property"),
        "isocyanate_content": part("Property"),
        "viscosity": part("Property"),
        "flash_point": part("Property"),
        "demould": part("Property"),
        "mix_by_mass": rows("Property"),
        "mix_by_volume": rows("Property"),
        "mix_window": rows("Window"),
        "pot_life": rows("PotLife"),
    }
    resin: str
    """The resin it belongs to, a material id."""
    amine_hydrogen_equivalent: Property | None
    """Amine hydrogen equivalent mass, in grams per equivalent."""
    isocyanate_content: Property | None
    """Isocyanate (NCO) content."""
    viscosity: Property | None
    """Viscosity."""
    flash_point: Property | None
    """Flash point."""
    demould: Property | None
    """Time to demould."""
    mix_by_mass: Table[Property] | None
    """Mix ratio by mass, parts on a hundred of the resin."""
    mix_by_volume: Table[Property] | None
    """Mix ratio by volume, on the volume of the resin."""
    mix_window: Table[Window] | None
    """Permitted error of the mix ratio: parts by mass on a hundred of the resin."""
    pot_life: Table[PotLife] | None
    """How long a mixed cup stays usable."""


class Filler(Answer):
    """A filler, a thickener or chopped fibre: what is stirred into the resin."""

    __slots__ = ()
    _fields = {
        "shape": plain,
        "thickener": plain,
        "bulk_density": part("Property"),
        "max_packing": part("Property"),
        "oil_absorption": part("Property"),
        "particle_size": part("Property"),
        "fibre_length": part("Property"),
        "fibre_diameter": part("Property"),
        "refractive_index": part("Property"),
        "specific_heat": part("Property"),
        "conductivity": part("Property"),
        "modulus": part("Property"),
        "strength": part("Property"),
        "moisture": part("Property"),
        "max_temperature": part("Property"),
        "loading": rows("Window"),
    }
    shape: Literal["grain", "plate", "hollow_sphere", "fume", "fibre"]
    """Shape of the particle."""
    thickener: bool | None
    """Whether it is used to thicken (a gel network), not to fill."""
    bulk_density: Property | None
    """Density of the loose heap."""
    max_packing: Property | None
    """Largest volume fraction the particles can pack to at random."""
    oil_absorption: Property | None
    """Oil absorption: grams of linseed oil on 100 g of filler."""
    particle_size: Property | None
    """Median particle size."""
    fibre_length: Property | None
    """Length of the fibre."""
    fibre_diameter: Property | None
    """Diameter of the fibre."""
    refractive_index: Property | None
    """Refractive index."""
    specific_heat: Property | None
    """Specific heat capacity."""
    conductivity: Property | None
    """Thermal conductivity of the particle."""
    modulus: Property | None
    """Modulus of the fibre or particle."""
    strength: Property | None
    """Tensile strength of the fibre."""
    moisture: Property | None
    """Moisture, as supplied."""
    max_temperature: Property | None
    """Temperature above which it decomposes or collapses."""
    loading: Table[Window] | None
    """Loadings by purpose, by mass on the resin."""


class Reinforcement(Answer):
    """A reinforcement sold by the area. The material's `density` is that of the fibre."""

    __slots__ = ()
    _fields = {
        "form": plain,
        "areal_mass": part("Property"),
        "binder": plain,
        "thickness": part("Property"),
        "fibre_diameter": part("Property"),
        "fibre_modulus": part("Property"),
        "fibre_strength": part("Property"),
        "poisson_ratio": part("Property"),
        "refractive_index": part("Property"),
        "specific_heat": part("Property"),
        "conductivity": part("Property"),
        "thermal_expansion": part("Property"),
        "glass_content": rows("Property"),
    }
    form: Literal["chopped_strand_mat", "woven_cloth", "woven_roving", "veil"]
    """Mat, cloth, roving or veil."""
    areal_mass: Property
    """Mass of dry reinforcement per area."""
    binder: str | None
    """What binds the strands of a mat, which decides what dissolves it."""
    thickness: Property | None
    """Thickness of the dry reinforcement."""
    fibre_diameter: Property | None
    """Diameter of the filament."""
    fibre_modulus: Property | None
    """Modulus of the fibre."""
    fibre_strength: Property | None
    """Tensile strength of the fibre."""
    poisson_ratio: Property | None
    """Poisson's ratio of the fibre."""
    refractive_index: Property | None
    """Refractive index of the fibre."""
    specific_heat: Property | None
    """Specific heat capacity of the fibre."""
    conductivity: Property | None
    """Thermal conductivity of the fibre."""
    thermal_expansion: Property | None
    """Linear thermal expansion of the fibre."""
    glass_content: Table[Property] | None
    """Glass content of a hand lay-up, as a mass fraction of the laminate.

    Sources conflict: see [`that_count`](super::that_count).
    """


class Pigment(Answer):
    """Pigment ground in a carrier."""

    __slots__ = ()
    _fields = {
        "pigment_content": part("Property"),
        "inert_carrier": part("Property"),
        "refractive_index": part("Property"),
        "pigment_density": part("Property"),
        "loading": rows("Window"),
    }
    pigment_content: Property | None
    """Pigment, as a mass fraction of the paste."""
    inert_carrier: Property | None
    """Carrier that takes no part in the cure, as a mass fraction of the paste."""
    refractive_index: Property | None
    """Refractive index of the pigment."""
    pigment_density: Property | None
    """Density of the pigment itself."""
    loading: Table[Window] | None
    """Permitted loading, by mass on the resin. Sources conflict."""


class Release(Answer):
    """A release agent."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "max_temperature": part("Property"),
        "flash_point": part("Property"),
        "coats": rows("Window"),
        "interval": rows("Window"),
        "drying": rows("Window"),
        "wet_film": rows("Window"),
        "coverage": rows("Window"),
    }
    kind: Literal["wax", "pva_film"]
    """How it works."""
    max_temperature: Property | None
    """Temperature above which it fails."""
    flash_point: Property | None
    """Flash point."""
    coats: Table[Window] | None
    """Number of coats."""
    interval: Table[Window] | None
    """Time between coats."""
    drying: Table[Window] | None
    """Drying time before the first resin."""
    wet_film: Table[Window] | None
    """Wet film of a coat."""
    coverage: Table[Window] | None
    """Amount used per area and coat."""


class MouldWall(Answer):
    """What a mould wall is made of, as heat and the casting see it."""

    __slots__ = ()
    _fields = {
        "conductivity": part("Property"),
        "specific_heat": part("Property"),
        "thermal_expansion": part("Property"),
        "porous": plain,
        "temperature": rows("Window"),
        "thickness": rows("Window"),
    }
    conductivity: Property | None
    """Thermal conductivity."""
    specific_heat: Property | None
    """Specific heat capacity."""
    thermal_expansion: Property | None
    """Linear thermal expansion."""
    porous: bool | None
    """Whether it is porous and must be sealed."""
    temperature: Table[Window] | None
    """Temperature it bears."""
    thickness: Table[Window] | None
    """Usual thickness."""


class Solvent(Answer):
    """A solvent, a thinner or a reactive monomer."""

    __slots__ = ()
    _fields = {
        "molar_mass": part("Property"),
        "boiling_point": part("Property"),
        "vapour_pressure": part("Property"),
        "flash_point": part("Property"),
        "lower_explosive_limit": part("Property"),
        "upper_explosive_limit": part("Property"),
        "autoignition": part("Property"),
        "viscosity": part("Property"),
        "surface_tension": part("Property"),
        "refractive_index": part("Property"),
    }
    molar_mass: Property | None
    """Molar mass."""
    boiling_point: Property | None
    """Boiling point at 1 atm."""
    vapour_pressure: Property | None
    """Vapour pressure at 20 °C."""
    flash_point: Property | None
    """Flash point."""
    lower_explosive_limit: Property | None
    """Lower explosive limit of its vapour in air."""
    upper_explosive_limit: Property | None
    """Upper explosive limit of its vapour in air."""
    autoignition: Property | None
    """Autoignition temperature."""
    viscosity: Property | None
    """Viscosity at 25 °C."""
    surface_tension: Property | None
    """Surface tension at 20 °C."""
    refractive_index: Property | None
    """Refractive index at 20 °C."""


class Material(Answer):
    """A material as a document holds it: the common fields, and one table named after its kind."""

    __slots__ = ()
    _fields = {
        "id": plain,
        "name": plain,
        "density": part("Property"),
        "price": part("ListedPrice"),
        "shelf_life": part("Property"),
        "storage": part("Property"),
        "hazards": several(plain),
        "note": plain,
        "data_sheet": part("Source"),
        "resin": part("Resin"),
        "initiator": part("Initiator"),
        "promoter": part("Promoter"),
        "hardener": part("Hardener"),
        "filler": part("Filler"),
        "reinforcement": part("Reinforcement"),
        "pigment": part("Pigment"),
        "release": part("Release"),
        "mould_wall": part("MouldWall"),
        "solvent": part("Solvent"),
    }
    id: str
    name: str
    density: Property | None
    """A property as a document holds it."""
    price: ListedPrice | None
    """A price and where it was read."""
    shelf_life: Property | None
    """A property as a document holds it."""
    storage: Property | None
    """A property as a document holds it."""
    hazards: (
        tuple[
            Literal[
                "flammable_liquid",
                "organic_peroxide",
                "styrene_vapour",
                "solvent_vapour",
                "sensitizer",
                "isocyanate",
                "corrosive",
                "nuisance_dust",
                "fibre_dust",
                "silica_dust",
                "crystalline_silica_dust",
                "combustible_metal_dust",
                "cobalt",
                "exotherm",
            ],
            ...,
        ]
        | None
    )
    note: str | None
    data_sheet: Source | None
    """Where a value, a limit or a model comes from."""
    resin: Resin | None
    """A resin: what is poured or laid up, before its initiator or hardener is added."""
    initiator: Initiator | None
    """An organic peroxide solution that starts the cure of a polyester or vinyl ester."""
    promoter: Promoter | None
    """A promoter (accelerator): a metal salt or an amine that lets a peroxide work at room temperature."""
    hardener: Hardener | None
    """The second part of an epoxy or a polyurethane."""
    filler: Filler | None
    """A filler, a thickener or chopped fibre: what is stirred into the resin."""
    reinforcement: Reinforcement | None
    """A reinforcement sold by the area. The material's `density` is that of the fibre."""
    pigment: Pigment | None
    """Pigment ground in a carrier."""
    release: Release | None
    """A release agent."""
    mould_wall: MouldWall | None
    """What a mould wall is made of, as heat and the casting see it."""
    solvent: Solvent | None
    """A solvent, a thinner or a reactive monomer."""


class MaterialSheet(Answer):
    """A material with every value's range and source, and what can hurt someone."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "facts": rows("Fact"),
        "hazards": several(plain),
        "cautions": rows("Caution"),
        "defers": plain,
        "exposure_limits": rows("ExposureLimit"),
        "material": part("Material"),
    }
    kind: str
    """What kind of material it is."""
    facts: Table[Fact]
    """Every value as a person reads it, with range and source."""
    hazards: tuple[
        Literal[
            "flammable_liquid",
            "organic_peroxide",
            "styrene_vapour",
            "solvent_vapour",
            "sensitizer",
            "isocyanate",
            "corrosive",
            "nuisance_dust",
            "fibre_dust",
            "silica_dust",
            "crystalline_silica_dust",
            "combustible_metal_dust",
            "cobalt",
            "exotherm",
        ],
        ...,
    ]
    """What can hurt someone."""
    cautions: Table[Caution]
    """What to beware of."""
    defers: str
    """What every caution defers to."""
    exposure_limits: Table[ExposureLimit]
    """Exposure limits of what its hazards bring into the air, of every body: the one in force where you
    work counts.
    """
    material: Material
    """The material as a document holds it."""


def list(
    *,
    kind: str | None = None,
    document: str | None = None,
) -> MaterialList:
    """The materials of the generic catalogue and of your own document.

    Parameters
    ----------
    kind : str | None
        Only materials of this kind: `resin`, `initiator`, `promoter`, `hardener`, `filler`,
        `reinforcement`, `pigment`, `release`, `mould_wall` or `solvent`.
    document : str | None
        A catalogue document (TOML) of your own materials, added to the generic ones.
    """
    return ask_as(
        "material.list",
        {
            "kind": kind,
            "document": document,
        },
        MaterialList,
    )


def show(
    *,
    material: str,
    document: str | None = None,
) -> MaterialSheet:
    """Everything known about one material: each value with its range, source and standing; cautions.

    Parameters
    ----------
    material : str
        Its id.
    document : str | None
        A catalogue document (TOML) of your own materials, added to the generic ones.
    """
    return ask_as(
        "material.show",
        {
            "material": material,
            "document": document,
        },
        MaterialSheet,
    )


ANSWERS: dict[str, type[Answer]] = {
    "material.list": MaterialList,
    "material.show": MaterialSheet,
}
"""The class of the answer to each question."""
