"""Where the flights of a kept campaign come down, among what lies round the pad."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.assemble.spread.case import FlightCase, flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.answers import counted_odds, ellipse_of_flights, unasked
from finial.campaign.asked import Asked
from finial.campaign.flown import LANDINGS, FlownCampaign
from finial.campaign.kept_answer import kept_flights
from finial.campaign.quantiles import Odds, Quantile, quantile_of_pieces
from finial.core.errors import CampaignError
from finial.findings.landing_map import LandingMap, landing_map
from finial.range_safety.hazards import OnMark, marks_under

MOST_HELD: Final = 5000
"""Landing points that are held to be drawn and taken away: more would not be seen. All are counted."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptLandings:
    """What the landing points of a kept campaign show and say; equal only to itself."""

    drawn: LandingMap
    flights: int
    within: Quantile
    """Distance from the pad that 95 % of them stay within [m]."""
    odds: tuple[Odds, ...]
    unasked: tuple[Asked, ...]
    on_marks: tuple[OnMark, ...]


def kept_landings(vehicle: LoadedVehicle, folders: Sequence[Path], minimum_m: float) -> KeptLandings | None:
    """Read the landing points of the first folder that holds flights of this very vehicle and day.

    ``None`` where no folder holds any, or every flight in it was lost.

    Raises
    ------
    CampaignError
        If there are folders, and none of them is of this vehicle, day and spread; says what the first is.
    MissingData
        If the packages that campaigns need are not there.
    """
    if not folders:
        return None
    case, refused = flight_case(vehicle), None
    for folder in folders:
        try:
            flown = kept_flights(case, folder)
        except CampaignError as fault:
            refused = refused or fault
            continue
        return _landings(vehicle, case, flown, minimum_m)
    assert refused is not None, "each folder either answers or says why not"
    raise refused


def _landings(
    vehicle: LoadedVehicle, case: FlightCase, flown: FlownCampaign, minimum_m: float
) -> KeptLandings | None:
    first = _first(flown)
    if len(first) == 0:
        return None
    drawn, ellipse = (
        landing_map(vehicle, case, minimum_m=minimum_m, landings_m=first),
        ellipse_of_flights(flown),
    )
    on_marks = marks_under(drawn.marks, _landings_by_piece(flown))
    landed = sum(map(len, _landings_by_piece(flown)))
    return KeptLandings(
        drawn=replace(
            drawn, ellipse=ellipse, middle_m=ellipse and ellipse.centre_m, others=landed - len(first)
        ),
        flights=flown.count,
        within=quantile_of_pieces(lambda: map(_far_m, _landings_by_piece(flown)), 0.95),
        odds=counted_odds(flown, drawn.spot),
        unasked=unasked(drawn.spot),
        on_marks=on_marks,
    )


def _landings_by_piece(flown: FlownCampaign) -> Iterator[NDArray[np.float64]]:
    for piece in flown.pieces(("ended", "loss", *LANDINGS)):
        yield piece.landings_m(sound=True)


def _first(flown: FlownCampaign) -> NDArray[np.float64]:
    """Take those of the first flights: each is drawn without a look at the others, so they are a sample."""
    held = np.empty((0, 2))
    for piece in _landings_by_piece(flown):
        held = np.vstack([held, piece[: MOST_HELD - len(held)]])
        if len(held) == MOST_HELD:
            break
    return held


def _far_m(landings_m: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.hypot(landings_m[:, 0], landings_m[:, 1])
