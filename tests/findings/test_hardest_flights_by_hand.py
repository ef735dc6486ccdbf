"""Which flights of a campaign are flown again: the largest of what is known, where anything is."""

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from finial.findings.strength_flights import hardest_flights

NAN = float("nan")


def giving(what: object) -> Callable[..., object]:
    """Answer whatever is asked with this."""

    def given(*_asked: object, **_how: object) -> object:
        return what

    return given


@pytest.mark.parametrize(
    ("pressures", "angles", "flown"),
    [
        ([5.0, 9.0, 7.0], [0.1, 0.2, 0.3], (1, 2)),
        ([5.0, NAN, 7.0], [0.3, 0.2, NAN], (0, 2)),
        ([5.0, NAN, 7.0], [NAN, NAN, NAN], (2,)),
        ([NAN, NAN, NAN], [NAN, NAN, NAN], ()),
    ],
)
def test_the_hardest_flights_are_those_with_the_most_of_what_is_known(
    monkeypatch: pytest.MonkeyPatch, pressures: list[float], angles: list[float], flown: tuple[int, ...]
) -> None:
    results = {"max_dynamic_pressure_pa": np.array(pressures), "max_alpha_rad": np.array(angles)}
    case = SimpleNamespace(name="made up", inputs=None, spread=None)

    def numbered(_campaign: object, number: int, _canopies: tuple[str, ...]) -> int:
        return number

    manifest = {"flights": 3, "seed": 1, "design": "lot"}
    for name, told in (
        ("finial.assemble.spread.case.flight_case", giving(case)),
        ("finial.campaign.campaign.planned", giving(None)),
        ("finial.campaign.campaign.fly_traced", numbered),
        ("finial.campaign.flown.read_flown", giving(SimpleNamespace(results=results))),
        ("finial.campaign.store.read_manifest", giving(manifest)),
        ("finial.campaign.store.opened", giving(SimpleNamespace(campaign=None))),
    ):
        monkeypatch.setattr(name, told)
    vehicle = SimpleNamespace(sheet=SimpleNamespace(recovery=SimpleNamespace(canopy=())))
    assert hardest_flights(cast("Any", vehicle), Path("nowhere")) == flown
