"""Glued joints: what shear they hold."""

from collections.abc import Sequence
from dataclasses import dataclass

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows
from finial.materials.material import Material

NOTHING_STICKS_TO = ("HDPE", "TPU")
"""Waxy and rubbery plastics from which every glue peels; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glue:
    """A glue on the surface it is tabled for."""

    name: str
    shear_pa: Estimate
    """Shear strength of a joint [Pa]."""
    softens_k: float
    sticks_to: tuple[str, ...] = ()
    """What its row holds for: names or kinds of materials; all where there are none."""
    same: bool = False
    """Whether both sides must be of one plastic."""
    shock: bool = True
    """Whether a joint with it stands a blow."""

    def takes(self, stuffs: Sequence[Material]) -> bool:
        """Tell whether its strength holds between two materials; one that is not known is left out.

        Parameters
        ----------
        stuffs : sequence of Material
            Materials of both sides, as far as they are known.

        Returns
        -------
        takes : bool
            Whether it sticks to all of them.

        Notes
        -----
        Holds for surfaces sanded and cleaned as the row's source has it.

        References
        ----------
        .. [1] Makers' advice of what each glue sticks to: common practice, from memory.

        Examples
        --------
        >>> from finial.materials.material import material
        >>> glue("epoxy").takes([material("HDPE")])
        False
        """
        told = all(not self.sticks_to or {stuff.name, stuff.kind} & set(self.sticks_to) for stuff in stuffs)
        alike = not self.same or len({stuff.name for stuff in stuffs}) <= 1
        return told and alike and not any(stuff.name in NOTHING_STICKS_TO for stuff in stuffs)


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
                sticks_to=tuple(name for name in row["sticks_to"].split(";") if name),
                same=row["same"] == "yes",
                shock=row["shock"] == "yes",
            )
    raise MissingData(f"no glue {name!r}: known are {', '.join(row['name'] for row in rows)}")
