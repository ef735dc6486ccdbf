"""How much of a part's walls is counted twice, found once for each part and thickness."""

from finial.assemble.vehicle.loading import PlacedPart
from finial.core.kept_parts import kept
from finial.mass.thin_walls import wall_share


@kept(64)
def share_of_walls(part: PlacedPart, wall_m: float) -> float:
    """Plastic in the walls of a part over thickness times surface [-].

    Raises
    ------
    OutsideRange
        If the wall is not above zero.
    """
    return wall_share(part.mended, wall_m)
