"""Glued joints: what shear they hold."""

from dataclasses import dataclass

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Glue:
    """A glue on the surface it is tabled for."""

    name: str
    shear_pa: Estimate
    """Shear strength of a joint [Pa]."""
    softens_k: float


def glue(name: str) -> Glue:
    """Look a glue up by its name or one of its other names.

    Parameters
    ----------
    name : str
        Name, letter case ignored.

    Returns
    -------
    glue : Glue
        Shear strength [Pa] and where it softens [K], with the source of its row.

    Raises
    ------
    MissingData
        If the table has no such glue; the message lists what it has.

    Examples
    --------
    >>> glue("epoxy").shear_pa.low
    10000000.0
    """
    rows = table_rows("finial.materials", "glues.csv")
    wanted = name.strip().casefold()
    for row in rows:
        if wanted in (part.strip().casefold() for part in [row["name"], *row["also"].split(";")]):
            return Glue(
                name=row["name"],
                shear_pa=Estimate(
                    value=float(row["shear"]) * 1e6,
                    low=float(row["shear_low"]) * 1e6,
                    high=float(row["shear_high"]) * 1e6,
                    known_by=KnownBy.HANDBOOK,
                    method=f"shear of {row['name']}",
                    source=row["source"],
                ),
                softens_k=float(row["softens"]) + ZERO_CELSIUS_K,
            )
    raise MissingData(f"no glue {name!r}: known are {', '.join(row['name'] for row in rows)}")
