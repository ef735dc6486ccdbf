"""What happened in flights, question by question: the one place where that is told."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import Asked
from finial.campaign.flown import SomeFlights
from finial.campaign.spot import Spot


def happened(piece: SomeFlights, spot: Spot) -> Iterator[tuple[Asked, NDArray[np.bool_]]]:
    """Say of each of some flights what happened in it, (n,), most feared first.

    What never landed, or was lost, is under no canopy and outside the field. Where a lost flight comes down
    nobody knows: it is not counted among the people nor as ballistic, and told apart.
    """
    sound, landings_m = piece.landed & ~piece.lost, piece.landings_m(sound=True)

    def of_sound(which: NDArray[np.bool_]) -> NDArray[np.bool_]:
        whole = np.zeros(sound.size, dtype=bool)
        whole[sound] = which
        return whole

    canopy = sound & (piece.results["under_canopy"] > 0.0)
    yield Asked.OPEN_CANOPY, canopy
    # A canopy that is out pulls, were it only a bundle.
    yield Asked.BALLISTIC, sound & ~(piece.results["max_canopy_acceleration_m_s2"] > 0.0)
    if spot.field_m is not None or spot.field_radius_m is not None:
        outline = spot.field_m is not None
        inside = of_sound(spot.is_inside(landings_m))
        yield Asked.INSIDE_OUTLINE if outline else Asked.INSIDE_RADIUS, inside
    if spot.crowd is not None:
        struck = of_sound(spot.crowd.struck(landings_m))
        yield Asked.STRIKES_CROWD if spot.crowd.is_placed else Asked.AS_FAR_AS_CROWD, struck
        yield Asked.STRIKES_BARE, struck & ~canopy
    yield Asked.LOST, piece.lost
    if spot.ceiling_agl_m is not None:
        yield Asked.OVER_CEILING, ~piece.lost & (piece.results["apogee_m"] > spot.ceiling_agl_m)
    yield Asked.LANDS, piece.landed
