"""One material: what it weighs, how stiff and strong it is, when it softens."""

from dataclasses import dataclass

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows

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

    @property
    def interlayer_fraction(self) -> float:
        """Strength across the layers over strength along them [-]; 1 without layers."""
        return 1.0 if self.upright_pa is None else self.upright_pa.value / self.ultimate_pa.value

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
    Values are for room temperature. Printed strengths span printers and settings; a test
    piece from the builder's own printer is better than any table.

    Examples
    --------
    >>> petg = material("petg")
    >>> petg.density_kg_m3.value, round(petg.interlayer_fraction, 2)
    (1270.0, 0.62)
    """
    wanted = name.strip().casefold()
    for kind, row in _rows():
        if wanted in _names(row):
            return _material(kind, row)
    known = material_names()
    raise MissingData(f"no material {name!r}: known are {', '.join(known)}", known)


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
