"""The hardest flights of a campaign, flown again for their loads."""

from pathlib import Path

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.flight.trace import Trace

HARDEST_BY = ("max_dynamic_pressure_pa", "max_alpha_rad")
"""Results whose largest flights load the vehicle most."""


def hardest_flights(vehicle: LoadedVehicle, folder: Path) -> tuple[Trace, ...]:
    """Fly again the flights of a campaign with the highest dynamic pressure and the largest angle.

    Raises
    ------
    CampaignError
        If the folder holds no campaign of this vehicle, or no flights.
    """
    # A campaign needs packages that the rest of Finial does not.
    from finial.assemble.spread.case import flight_case
    from finial.campaign.campaign import fly_traced, planned
    from finial.campaign.flown import read_flown
    from finial.campaign.store import opened, read_manifest

    manifest, case = read_manifest(folder), flight_case(vehicle)
    plan = planned(
        case.name,
        case.inputs,
        case.spread,
        flights=manifest["flights"],
        seed=manifest["seed"],
        design=manifest["design"],
    )
    campaign, flown = opened(folder, plan).campaign, read_flown(folder)
    columns = (flown.results[name] for name in HARDEST_BY)
    numbers = {int(np.nanargmax(column)) for column in columns if np.isfinite(column).any()}
    canopies = tuple(canopy.name for canopy in vehicle.sheet.recovery.canopy)
    return tuple(fly_traced(campaign, number, canopies) for number in sorted(numbers))
