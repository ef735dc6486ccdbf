"""Many flights in memory: what they say together, and every flight as a row."""

from typing import TYPE_CHECKING, Any

import numpy as np

from finial.assemble.spread.case import FlightCase, flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.answers import CampaignAnswer, campaign_answer
from finial.campaign.campaign import Campaign, fly_range, planned
from finial.campaign.flown import FlownCampaign, failures
from finial.campaign.spot import spot_of
from finial.core.cores import usable_cores
from finial.face.frames import frame
from finial.face.svg import Svg
from finial.flight.many import RESULTS, ManyFlights, make_many_ready
from finial.report.campaign_text import campaign_lines
from finial.report.json_records import plain
from finial.report.pictures.campaign_landings import campaign_landings

if TYPE_CHECKING:
    import pandas


class CampaignAnswers:
    """Odds, scatter and landings of many flights."""

    __slots__ = ("answer", "case", "flown")

    def __init__(self, case: FlightCase, flown: FlownCampaign, answer: CampaignAnswer) -> None:
        """Take what was flown and what it says."""
        self.case, self.flown, self.answer = case, flown, answer

    def __repr__(self) -> str:
        """Say the odds, first those that people fear for."""
        lines = campaign_lines(self.case.name, self.answer, us_units=self.case.us_units)
        return "\n".join(line.text for line in lines[:10])

    def to_dict(self) -> dict[str, Any]:
        """Return what the campaign says, SI units."""
        return plain(self.answer)

    def to_dataframe(self) -> "pandas.DataFrame":
        """Return every flight as a row: results, then what was drawn.

        Raises
        ------
        MissingData
            If pandas is not installed.
        """
        drawn = dict(zip((draw.name for draw in self.flown.draws), self.flown.drawn.T, strict=True))
        return frame({**self.flown.results, **drawn})

    def plot_landings(self) -> Svg:
        """Draw where the flights land."""
        landings, ellipse = self.flown.landings_m(), self.answer.ellipse
        drawn = campaign_landings(landings, ellipse, self.case.field_m, us_units=self.case.us_units)
        return Svg(drawn)


def campaign(vehicle: LoadedVehicle, *, flights: int, seed: int) -> CampaignAnswers:
    """Fly a vehicle many times in memory.

    Raises
    ------
    OutsideRange
        If the number of flights or the seed cannot be.
    """
    make_many_ready(lambda: None)
    case = flight_case(vehicle)
    planned_ = planned(case.name, case.inputs, case.spread, flights=flights, seed=seed)
    flown = _flown(planned_, fly_range(planned_, 0, flights, threads=usable_cores()))
    return CampaignAnswers(case, flown, campaign_answer(flown, spot_of(case)))


def _flown(campaign: Campaign, many: ManyFlights) -> FlownCampaign:
    return FlownCampaign(
        design=campaign.design,
        seed=campaign.seed,
        rounding=campaign.rounding,
        results={name: np.ascontiguousarray(many.column(name)) for name in RESULTS},
        failed=failures(campaign.draws, lambda index: many.drawn[:, index]),
        drawn=many.drawn,
        draws=campaign.draws,
        units=campaign.units,
    )
