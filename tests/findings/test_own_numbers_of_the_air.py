"""Drag and centre of pressure of one's own beside the computed: where caution begins and knowledge ends."""

from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from finial.assemble.air.results import AirResult, OwnBeside
from finial.core.estimates import exact
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.air_rules import air_findings

LENGTH_M = 2.0


def verdicts(ratio: float, apart_m: float) -> tuple[Verdict, Verdict]:
    own = OwnBeside(
        table="air",
        drag_ratio=ratio,
        drag_within=(0.8, 1.3),
        place_m=exact(1.0 + apart_m),
        computed_place_m=exact(1.0),
    )
    air = SimpleNamespace(
        load_stations_m=np.array([0.0, LENGTH_M]),
        tunnel=None,
        own=(own,),
        fin_rows=(),
        fins_slope_per_rad=0.0,
    )
    _, drag, centre = air_findings(cast("AirResult", air), Limits(own={}))
    return drag.verdict, centre.verdict


@pytest.mark.parametrize(
    ("ratio", "verdict"),
    [
        (1.29, Verdict.GO),
        (1.31, Verdict.CAUTION),
        (1.99, Verdict.CAUTION),
        (2.01, Verdict.NOT_KNOWN),
        (0.81, Verdict.GO),
        (0.79, Verdict.CAUTION),
        (0.51, Verdict.CAUTION),
        (0.49, Verdict.NOT_KNOWN),
    ],
)
def test_drag_beyond_its_ends_is_a_caution_and_beyond_twice_or_half_not_known(
    ratio: float, verdict: Verdict
) -> None:
    assert verdicts(ratio, 0.0)[0] is verdict


@pytest.mark.parametrize(
    ("apart_m", "verdict"),
    [
        (0.099, Verdict.GO),  # a twentieth of two metres
        (-0.101, Verdict.CAUTION),
        (0.199, Verdict.CAUTION),  # a tenth
        (-0.201, Verdict.NOT_KNOWN),
    ],
)
def test_a_centre_apart_by_a_twentieth_is_a_caution_and_by_a_tenth_not_known(
    apart_m: float, verdict: Verdict
) -> None:
    assert verdicts(1.0, apart_m)[1] is verdict
