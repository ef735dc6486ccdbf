"""Tops of a campaign that is kept beside the sheet: what backup clocks are held against."""

from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.electronics.results import BackupTimer, ElectronicsResult
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import CampaignError, MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.files.own_campaign import own_campaign


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTops:
    """When the flights of a campaign come to their tops, lost flights left out."""

    flights: int
    earliest_s: float
    """After ignition [s]."""
    middle_s: float
    latest_s: float


def kept_tops(vehicle: LoadedVehicle) -> KeptTops | None:
    """Read the tops of the campaign beside a vehicle's sheet, where a clock waits for them.

    ``None`` where none is kept, or it is damaged, or of another vehicle, day or spread.
    """
    folder = own_campaign(vehicle.files.path)
    clocks = [one for one in vehicle.sheet.electronics.igniter if one.event.after_lift_off is not None]
    if not clocks or vehicle.files.missing or not folder.is_dir():
        return None
    # A campaign needs packages that the rest of Finial does not.
    from finial.assemble.spread.case import flight_case
    from finial.campaign.answers import usable
    from finial.campaign.kept_answer import kept_flights

    try:
        flown = kept_flights(flight_case(vehicle), folder)
    except (CampaignError, MissingData):
        return None
    tops = usable(flown, "apogee_time_s")
    tops = tops[np.isfinite(tops)]
    if not tops.size:
        return None
    return KeptTops(
        flights=int(tops.size),
        earliest_s=float(tops.min()),
        middle_s=float(np.median(tops)),
        latest_s=float(tops.max()),
    )


def beside_campaign(found: ElectronicsResult, tops: KeptTops | None) -> ElectronicsResult:
    """Hold every clock against the tops of a campaign; as they are where none is kept."""
    if tops is None:
        return found
    sensing = found.sensing
    timers = tuple(_beside(one, tops, sensing.leaves_s) for one in sensing.timers)
    return replace(found, sensing=replace(sensing, timers=timers))


def _beside(timer: BackupTimer, tops: KeptTops, leaves_s: tuple[float, float]) -> BackupTimer:
    """Hold a clock, which starts after lift-off, against tops after ignition; whichever way is worse."""
    soonest, latest = leaves_s
    fires = timer.fires
    return replace(
        timer,
        earliest_top_s=tops.earliest_s - latest,
        latest_top_s=tops.latest_s - soonest,
        campaign=tops.flights,
        after_top=Estimate(
            value=fires.value + 0.5 * (soonest + latest) - tops.middle_s,
            low=fires.low + soonest - tops.latest_s,
            high=fires.high + latest - tops.earliest_s,
            known_by=KnownBy.COMPUTED,
            method="clock beside the tops of a campaign",
        ),
    )
