"""A small campaign of the invented vehicle."""

from dataclasses import replace

import numpy as np
import pytest

from finial.campaign.campaign import planned
from finial.flight import spread_layout as slots
from finial.flight.example import example_inputs
from finial.flight.spread import Draw, Spread, canopy_slot, whole_mass


def small_spread():
    inputs = example_inputs()
    draws = (
        Draw(
            name="impulse",
            slot=slots.THRUST_FACTOR,
            shape="bell",
            base=1.0,
            below=0.05,
            above=0.05,
            unit="share",
        ),
        Draw(name="wind", slot=slots.WIND_SPEED, shape="bell", base=4.0, below=2.0, above=2.0, unit="m/s"),
        Draw(
            name="direction", slot=slots.WIND_TURN, shape="bell", base=0.0, below=0.5, above=0.5, unit="rad"
        ),
        Draw(
            name="drag", slot=slots.AXIAL_FACTOR, shape="even", base=1.0, below=0.2, above=0.2, unit="share"
        ),
        Draw(
            name="main stays in",
            slot=canopy_slot(0, 1, "stays_in"),
            shape="odds",
            base=0.0,
            above=0.05,
            unit="odds",
        ),
    )
    return Spread(
        draws=draws,
        masses=whole_mass(inputs),
        wind_speed_m_s=4.0,
        gust_heights_m=np.arange(0.0, 400.0, 20.0),
    )


def small_campaign(flights=60, seed=3, design="plain", **changes):
    inputs = replace(example_inputs(), **changes)
    return planned("small", inputs, small_spread(), flights=flights, seed=seed, design=design)


@pytest.fixture
def campaign():
    return small_campaign
