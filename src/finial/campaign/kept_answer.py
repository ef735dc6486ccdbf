"""A campaign that was flown before, asked again: only where its folder holds this very vehicle and day."""

from pathlib import Path

from finial.assemble.spread.case import FlightCase
from finial.campaign.answers import CampaignAnswer, campaign_answer
from finial.campaign.campaign import planned
from finial.campaign.flown import FlownCampaign, read_flown
from finial.campaign.spot import spot_of
from finial.campaign.store import opened


def kept_answer(case: FlightCase, folder: Path) -> CampaignAnswer:
    """Return what the flights kept in a folder say together.

    Raises
    ------
    CampaignError
        If there are none, a file is damaged, or they are of another vehicle, day or spread.
    """
    return campaign_answer(kept_flights(case, folder), spot_of(case))


def kept_flights(case: FlightCase, folder: Path) -> FlownCampaign:
    """Return the flights kept in a folder.

    Raises
    ------
    CampaignError
        If there are none, a file is damaged, or they are of another vehicle, day or spread.
    """
    flown = read_flown(folder)
    campaign = planned(
        case.name, case.inputs, case.spread, flights=flown.count, seed=flown.seed, design=flown.design
    )
    opened(folder, campaign)
    return flown
