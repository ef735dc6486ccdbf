"""Where the flights of a kept campaign come down, among what lies round the pad."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from finial.assemble.spread.case import FlightCase, flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.answers import counted_odds, unasked
from finial.campaign.asked import Asked
from finial.campaign.flown import FlownCampaign
from finial.campaign.kept_answer import kept_flights
from finial.campaign.quantiles import Odds, Quantile, quantile
from finial.core.errors import CampaignError
from finial.findings.landing_map import LandingMap, landing_map
from finial.range_safety.hazards import OnMark, marks_under


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
    points = flown.landings_m(sound=True)
    if len(points) == 0:
        return None
    drawn = landing_map(vehicle, case, minimum_m=minimum_m, landings_m=points)
    return KeptLandings(
        drawn=drawn,
        flights=flown.count,
        within=quantile(np.hypot(points[:, 0], points[:, 1]), 0.95),
        odds=counted_odds(flown, drawn.spot),
        unasked=unasked(drawn.spot),
        on_marks=marks_under(drawn.marks, points),
    )
