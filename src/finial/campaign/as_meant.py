"""Flights of one design, and how many of them come down as meant."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.spread.case import FlightCase
from finial.campaign.campaign import Campaign, fly_range, planned
from finial.campaign.cards import on_cards
from finial.campaign.spot import Spot, spot_of
from finial.core.errors import OutsideRange
from finial.core.statistics import failure_probability_interval
from finial.flight.kernel.layout import LANDED
from finial.flight.many import ManyFlights, joined


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsWanted:
    """How surely a design must come down as meant, and how many flights tell."""

    share: float
    """Least share of the flights, held against the lower 95 % bound [-]."""
    flights: int = 1000
    seed: int = 1
    threads: int = 1
    cards: bool = False
    """Fly on the graphics cards of this machine; a design that they have no room for, on threads."""


def least_odds(case: FlightCase, wanted: OddsWanted) -> float:
    """Fly a case, everything uncertain drawn anew for each flight: least share that comes down as meant [-].

    The lower end of the 95 % interval of what was counted (Clopper and Pearson).
    """
    flown = _flown(planned_for(case, wanted), wanted)
    low, _ = failure_probability_interval(int(as_meant(flown, spot_of(case)).sum()), wanted.flights)
    return low


def planned_for(case: FlightCase, wanted: OddsWanted) -> Campaign:
    """Plan the flights that tell the odds of a case."""
    return planned(case.name, case.inputs, case.spread, flights=wanted.flights, seed=wanted.seed)


def _flown(campaign: Campaign, wanted: OddsWanted) -> ManyFlights:
    if wanted.cards:
        try:
            theirs, cards = on_cards(campaign)
        except OutsideRange:
            pass  # too large for a card: another motor or canopy has more numbers
        else:
            return joined(list(cards.flown(theirs, [(0, campaign.flights)])))
    return fly_range(campaign, 0, campaign.flights, wanted.threads)


def as_meant(flown: ManyFlights, spot: Spot) -> NDArray[np.bool_]:
    """Say which flights come down as meant, (n,).

    On the ground under the open canopy, not lost before; in the field, away from people and below the
    ceiling, as far as sheet and site say where these are.
    """
    landed = (flown.column("ended") == LANDED) & ~(flown.column("loss") > 0.0)
    meant = landed & (flown.column("under_canopy") > 0.0)
    points = np.column_stack([flown.column("landing_east_m"), flown.column("landing_north_m")])[landed]
    if spot.field_m is not None or spot.field_radius_m is not None:
        meant[landed] &= spot.is_inside(points)
    if spot.crowd is not None:
        meant[landed] &= ~spot.crowd.struck(points)
    if spot.ceiling_agl_m is not None:
        meant &= flown.column("apogee_m") <= spot.ceiling_agl_m
    return meant
