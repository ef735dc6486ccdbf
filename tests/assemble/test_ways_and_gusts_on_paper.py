"""What the print closes in, which fins are wrapped, and how high gusts reach; no vehicle is loaded."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from numpy.typing import NDArray

from finial.assemble.flights import gusty
from finial.assemble.inside import ways
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import WayOccasion
from finial.assemble.vehicle import wraps
from finial.core.estimates import KnownBy
from finial.inside.things import Kind, Thing


def giving(what: object) -> Callable[..., object]:
    """Answer whatever is asked with this."""

    def given(*_asked: object, **_how: object) -> object:
        return what

    return given


def test_nothing_less_than_its_own_width_lets_out_what_the_print_goes_on_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    sled = Thing(
        name="sled",
        kind=Kind.SLED,
        middle_m=0.5,
        length_m=0.1,
        across_m=0.04,
        known_by=KnownBy.MEASURED,
    )
    monkeypatch.setattr(ways, "nearest_part", giving(1))
    cavity = SimpleNamespace(
        length_m=1.5,
        parts=[
            SimpleNamespace(name="nose", span_m=(0.0, 0.4)),
            SimpleNamespace(name="tower", span_m=(0.4, 1.5)),
        ],
    )
    sheet = SimpleNamespace(
        part=[SimpleNamespace(outside=True, glued=True)] * 2,
        recovery=SimpleNamespace(joint=(), bay=()),
        item=(SimpleNamespace(name="sled", put_in="while printing"),),
    )
    (way,) = ways.ways_out([Placed(thing=sled)], cast("Any", sheet), cast("Any", cavity))
    assert (way.thing, way.occasion, way.opening, way.blocker) == ("sled", WayOccasion.REACHING, "", "tower")
    assert way.gap is not None
    assert (way.gap.value, way.opening_m, way.station_m) == (-0.04, 0.5, 0.5)


def test_a_strip_is_for_fins_about_the_axis_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    def fins(name: str, aside_m: float) -> SimpleNamespace:
        return SimpleNamespace(
            name=name,
            count=3,
            first_at_rad=0.0,
            station_m=0.9,
            offset_m=(aside_m, 0.0),
            root_m=np.array([0.0, 0.2]),
        )

    square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    monkeypatch.setattr(wraps, "fin_sets", giving((fins("own", 0.0), fins("of a side tube", 0.01))))
    monkeypatch.setattr(wraps, "section_at", giving(SimpleNamespace(loops=(square,))))
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(
            recovery=SimpleNamespace(joint=()), electronics=SimpleNamespace(port=()), guide=None
        ),
        skin=SimpleNamespace(length_m=1.2),
    )
    assert [strip.name for strip in wraps.wrap_templates(cast("Any", vehicle))] == ["own"]


@pytest.mark.parametrize(("top_m", "last_m"), [(1000.0, 1400.0), (20.0, 140.0)])
def test_gusts_reach_four_tenths_above_the_nominal_top(
    monkeypatch: pytest.MonkeyPatch, top_m: float, last_m: float
) -> None:
    """Every 10 m, to 1.4 times the top and 100 m at least; the last of them not below that."""
    asked: list[NDArray[np.float64]] = []

    def column(heights: NDArray[np.float64], _wind: float, _random: np.random.Generator) -> None:
        asked.append(heights)

    monkeypatch.setattr(gusty, "gust_column", column)
    monkeypatch.setattr(gusty, "wind_at", giving(5.0))
    monkeypatch.setattr(gusty, "with_gusts", giving(None))
    monkeypatch.setattr(gusty, "replace", giving(None))
    monkeypatch.setattr(gusty, "fly", giving(None))
    flights = SimpleNamespace(
        inputs={"nominal": SimpleNamespace(air=None)},
        nominal=SimpleNamespace(positions_m=np.array([[0.0, 0.0, 0.0], [0.0, 0.0, top_m]])),
    )
    gusty.gusty_flight(cast("Any", flights), 0)
    (heights,) = asked
    assert np.diff(heights) == pytest.approx(np.full(len(heights) - 1, 10.0))
    assert last_m <= heights[-1] + 1e-6 <= last_m + 10.0 + 1e-3
