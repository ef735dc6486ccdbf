"""Air round the shape on the page: planes, words, tables, a film, and what is missing."""

import json
import math
from collections.abc import Callable
from dataclasses import asdict, replace

import httpx
import pytest
from serving import serving
from tunnel_solver import made_up_flow

from finial.core.errors import CampaignError, MissingData
from finial.report.pictures.drawn_air import drawn_moments, drawn_plane
from finial.tunnel_study.flows import FlowTold, KeptFlow
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key


def a_flow(angle_deg: float) -> KeptFlow:
    angle = math.radians(angle_deg)
    flow = made_up_flow(angle, 0.0, 0.15)
    told = FlowTold(
        shape="0" * 32, bare=False, angle_rad=angle, roll_rad=0.0, cells=10.0, width_m=0.15,
        travel_widths=24.0, moments=len(flow.moments),
    )  # fmt: skip
    return KeptFlow(told=told, flow=flow)


def asked(session: Session, address: str, **params: str) -> httpx.Response:
    with (
        serving(session, PAGE_KEY) as port,
        httpx.Client(base_url=f"http://127.0.0.1:{port}", cookies=with_key(port)) as requests,
    ):
        return requests.get(address, params=params)


def test_every_wind_is_told_with_both_planes(session: Session) -> None:
    flows = (a_flow(0.0), a_flow(10.0))
    told = asked(replace(session, flows=lambda: flows), "/api/flow").json()
    assert [one["name"] for one in told["winds"]] == ["along the axis", "10 deg off the axis, to roll 0 deg"]
    assert [one["angle_rad"] for one in told["winds"]] == pytest.approx([0.0, math.radians(10.0)])
    for wind, flow in zip(told["winds"], flows, strict=True):
        assert wind["moments"] == 5
        for plane, seen in zip(wind["planes"], flow.flow.planes, strict=True):
            drawn = json.loads(json.dumps(asdict(drawn_plane(seen))))
            assert plane["drawn"] == drawn
    inches = asked(replace(session, flows=lambda: flows), "/api/flow", units="us").json()
    assert inches["winds"][0]["planes"][0]["table"]["rows"][0][0].endswith(" in")


def test_the_film_of_a_wind_is_its_moments_in_turn(session: Session) -> None:
    shown = replace(session, flows=lambda: (a_flow(0.0), a_flow(10.0)))
    film = asked(shown, "/api/flow/1").json()
    assert film["readings"][:2] == ["after 0.0 widths of travel", "after 0.5 widths of travel"]
    assert [one["specks"] for one in film["moments"]] == [
        one.specks for one in drawn_moments(a_flow(10.0).flow, 0.15)
    ]
    assert asked(shown, "/api/flow/2").status_code == 404


def _raise(fault: Exception) -> Callable[[], tuple[KeptFlow, ...]]:
    def refuse() -> tuple[KeptFlow, ...]:
        raise fault

    return refuse


@pytest.mark.parametrize(
    ("flows", "says"),
    [
        (None, "no sheet that a study could lie beside"),
        (_raise(MissingData("the air that is kept is of another shape")), "of another shape."),
        (_raise(CampaignError("x is not as it was written")), "X is not as it was written."),
    ],
)
def test_what_is_missing_is_said(session: Session, flows: object, says: str) -> None:
    told = asked(replace(session, flows=flows), "/api/flow").json()
    assert told["winds"] == []
    assert says in told["says"]
    assert asked(replace(session, flows=flows), "/api/flow/0").status_code == 404
