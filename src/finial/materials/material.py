"""One material: what it weighs, how stiff and strong it is, when it softens."""

from dataclasses import dataclass, replace
from functools import lru_cache

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows
from finial.materials.bars import (
    BarPull,
    best_sheet,
    lots_of,
    measured_strength,
    strength_from_share,
    widened_along,
)

PRINTED = "printed"
SHEET = "sheet"
METAL = "metal"

_TABLES = {PRINTED: "printed.csv", SHEET: "sheet.csv", METAL: "metals.csv"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Properties at room temperature, each with its scatter, in SI units."""

    name: str
    kind: str
    """``printed``, ``sheet`` or ``metal``."""
    density_kg_m3: Estimate
    modulus_pa: Estimate
    """Young's modulus in tension [Pa]."""
    poisson: float
    """Poisson's ratio [-]."""
    yield_pa: Estimate
    """Stress that leaves a lasting bend [Pa]; for printed plastics the strength itself."""
    ultimate_pa: Estimate
    """Tensile strength [Pa], along the layers where there are layers."""
    upright_pa: Estimate | None
    """Tensile strength across the layers [Pa]; ``None`` where there are no layers."""
    softens_k: Estimate | None
    """Glass transition, or heat deflection of part-crystalline plastics [K]; ``None`` for metals and wood."""
    source: str
    expansion_per_k: Estimate
    """Thermal expansion, in plane of sheets [1/K]."""
    through_pa: Estimate | None = None
    """Strength squeezed through the thickness of a sheet [Pa]; ``None`` where it is that in plane."""
    punched_pa: Estimate | None = None
    """Strength sheared through a sheet's thickness [Pa]; ``None`` where it follows from that in plane."""
    brittle_below_k: float | None = None
    """Coldest air in which it is usually knocked about [K]; ``None`` for what no cold makes brittle."""
    filled: bool = False
    """Whether chopped fibres are in it."""
    lots_across: int = 0
    """Lots of its own broken across the layers; 0 where that strength is its kin's share of the one along."""

    @property
    def shear_modulus_pa(self) -> Estimate:
        """G = E / (2 (1 + nu)) [Pa], as for a material alike in all directions."""
        return self.modulus_pa.scaled(1.0 / (2.0 * (1.0 + self.poisson)))


def material(name: str) -> Material:
    """Look a material up by its name or one of its other names.

    Parameters
    ----------
    name : str
        Name, letter case ignored.

    Returns
    -------
    material : Material
        Its properties with intervals and the source of its row.

    Raises
    ------
    MissingData
        If it is not in the tables; the message lists what is.

    Notes
    -----
    Values are for room temperature. Strengths of printed plastics are those of bars that were broken, see
    :mod:`finial.materials.bars`; makers' sheets count at the high end alone. A test piece from the
    builder's own printer is better than any table.

    Examples
    --------
    >>> petg = material("petg")
    >>> petg.density_kg_m3.value, petg.kind
    (1270.0, 'printed')
    """
    return _found(name.strip().casefold())


@lru_cache(maxsize=128)
def _found(wanted: str) -> Material:
    for kind, row in _rows():
        if wanted in _names(row):
            return _printed(row) if kind == PRINTED else _material(kind, row)
    known = material_names()
    raise MissingData(f"no material {wanted!r}: known are {', '.join(known)}", known)


def makers_strength(name: str, pull: BarPull) -> Estimate:
    """Look up a printed plastic's strength as makers' sheets say; it counts at the high end alone.

    Parameters
    ----------
    name : str
        Name, letter case ignored.
    pull : BarPull
        Which way.

    Returns
    -------
    strength : Estimate
        [Pa], with the source of its row.

    Raises
    ------
    MissingData
        If it is no printed plastic of the tables.

    Examples
    --------
    >>> makers_strength("PLA", BarPull.ACROSS).low
    35000000.0
    """
    for kind, row in _rows():
        if kind == PRINTED and name.strip().casefold() in _names(row):
            return _needed(row, {BarPull.ALONG: "flat", BarPull.ACROSS: "upright"}[pull], 1e6)
    raise MissingData(f"no printed plastic {name!r} in the tables")


def material_names() -> tuple[str, ...]:
    """Names of all known materials, by kind.

    Returns
    -------
    names : tuple of str
        Printed plastics, then sheets, then metals.
    """
    return tuple(row["name"] for _, row in _rows())


def _rows() -> list[tuple[str, dict[str, str]]]:
    return [(kind, row) for kind, table in _TABLES.items() for row in table_rows("finial.materials", table)]


def _names(row: dict[str, str]) -> set[str]:
    return {part.strip().casefold() for part in [row["name"], *row["also"].split(";")] if part.strip()}


def _printed(row: dict[str, str]) -> Material:
    """Take strengths of a printed plastic from broken bars, the rest from the table."""
    name, filled = row["name"], row["filled"] == "yes"
    told = _needed(row, "flat", 1e6)
    along = measured_strength(name, BarPull.ALONG) or widened_along(told, filled=filled)
    across = measured_strength(name, BarPull.ACROSS) or strength_from_share(along, filled=filled)
    lots = len(lots_of(name, pull=BarPull.ACROSS)) if measured_strength(name, BarPull.ACROSS) else 0
    along, across = (
        replace(one, high=max(one.high, best_sheet(name, pull), makers_strength(name, pull).high))
        for one, pull in ((along, BarPull.ALONG), (across, BarPull.ACROSS))
    )
    return replace(
        _material(PRINTED, row),
        yield_pa=along,
        ultimate_pa=along,
        upright_pa=across,
        filled=filled,
        lots_across=lots,
        source=f"strengths: {across.source}; the rest: {row['source']}",
    )


def _material(kind: str, row: dict[str, str]) -> Material:
    printed = kind == PRINTED
    strength = "flat" if printed else "ultimate"
    softens = _estimate(row, "softens", 1.0)
    return Material(
        name=row["name"],
        kind=kind,
        density_kg_m3=_needed(row, "density", 1.0),
        modulus_pa=_needed(row, "modulus", 1e9),
        poisson=float(row["poisson"]),
        yield_pa=_needed(row, "flat" if printed else "yield", 1e6),
        ultimate_pa=_needed(row, strength, 1e6),
        upright_pa=_estimate(row, "upright", 1e6) if printed else None,
        softens_k=softens and _in_kelvin(softens),
        source=row["source"],
        expansion_per_k=_needed(row, "expansion", 1e-6),
        through_pa=_estimate(row, "through", 1e6) if kind == SHEET else None,
        punched_pa=_estimate(row, "punched", 1e6) if kind == SHEET else None,
        brittle_below_k=float(row["brittle"]) + ZERO_CELSIUS_K if row.get("brittle") else None,
    )


def _needed(row: dict[str, str], column: str, unit: float) -> Estimate:
    found = _estimate(row, column, unit)
    if found is None:
        raise MissingData(f"the material table has no {column} for {row['name']}")
    return found


def _estimate(row: dict[str, str], column: str, unit: float) -> Estimate | None:
    if not row[column]:
        return None
    value, low, high = (float(row[f"{column}{end}"]) * unit for end in ("", "_low", "_high"))
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=KnownBy.HANDBOOK,
        method=f"{column} of {row['name']}",
        source=row["source"],
    )


def _in_kelvin(celsius: Estimate) -> Estimate:
    return celsius.mapped(lambda value: value + ZERO_CELSIUS_K)
