"""Materials of a sheet: the tables', with the builder's own test bars laid over them."""

from finial.core.estimates import Estimate, KnownBy, spread
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry, OwnMaterialEntry, PartEntry
from finial.inside.usual import usual_density
from finial.materials.bars import BarPull, own_bars
from finial.materials.material import PRINTED, Material, material
from finial.materials.own import TestBars, from_test_bars
from finial.printing.walls import PrintedWalls

BAR_SCATTER = 0.1
"""Scatter of own pieces, but of a print's strength, where the sheet gives none [-]; common practice."""


def sheet_material(sheet: Sheet, name: str) -> Material:
    """Return a material by name, as the sheet's own bars show it where there are some.

    Raises
    ------
    MissingData
        If neither the sheet nor the tables have it.
    """
    wanted = name.strip().casefold()
    for own in sheet.material:
        if own.name.strip().casefold() == wanted:
            return own_material(own)
    return material(name)


def own_material(own: OwnMaterialEntry) -> Material:
    """Lay one own material over the one it is like.

    Raises
    ------
    MissingData
        If the tables have neither ``like`` nor, without it, the name.
    """
    like = material(own.like or own.name)
    return from_test_bars(
        own.name,
        like,
        TestBars(
            along_pa=_strength(own, like, BarPull.ALONG),
            across_pa=_strength(own, like, BarPull.ACROSS),
            modulus_pa=_measured(own.modulus),
            density_kg_m3=own.density.estimate(KnownBy.MEASURED) if own.density else None,
            softens_k=own.softens.estimate(KnownBy.MEASURED) if own.softens else None,
        ),
    )


def _strength(own: OwnMaterialEntry, like: Material, pull: BarPull) -> Estimate | None:
    """Strength of own bars; without a tolerance, bars of a print scatter as measured lots do."""
    given = own.along if pull is BarPull.ALONG else own.across
    if given is None or given.tolerance or like.kind != PRINTED:
        return _measured(given)
    return own_bars(given.value, own.bars or 1, pull=pull, filled=like.filled)


def _measured(given: Quantity | None) -> Estimate | None:
    if given is None:
        return None
    if given.tolerance:
        return given.estimate(KnownBy.MEASURED, method="own test bars")
    return spread(
        given.value, BAR_SCATTER, known_by=KnownBy.MEASURED, method="own test bars, a tenth taken as scatter"
    )


def walls_of(part: PartEntry) -> PrintedWalls | None:
    """Walls and infill that a part is printed with; ``None`` for a solid one."""
    if part.print is None:
        return None
    return PrintedWalls(wall_m=part.print.wall.value, infill=part.print.infill.value)


def density_of(sheet: Sheet, item: ItemEntry) -> Estimate:
    """Density of an item [kg/m^3]: its own, its material's, or all that its kind may have."""
    if item.density:
        return item.density.estimate(KnownBy.MEASURED, method="entered in the sheet")
    if item.material:
        return sheet_material(sheet, item.material).density_kg_m3
    return usual_density(item.kind)
