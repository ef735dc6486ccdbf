"""The page as one file: everything inside, nothing of a sheet's texts that a browser would run."""

import base64
import hashlib
import json
import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from finial.core.errors import MissingData
from finial.findings.readiness import Readiness
from finial.tunnel_study.flows import KeptFlow
from finial.web.landings import Landed, PageLandings
from finial.web.payload import vehicle_payload
from finial.web.pressure import in_hundredths, pressed, triangle_bytes
from finial.web.session import Session
from finial.web.share import CUTS, SentAlong, shared_page
from finial.web.stages import StagePicture
from finial.web.tunnel_sent import sent_flow

from .test_web_flow import a_flow
from .test_web_pressure import a_surface

WHEN = datetime(2031, 5, 6, 7, 8, tzinfo=UTC)


@pytest.fixture
def built(tmp_path: Path) -> Path:
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets" / "a.js").write_text('say("</script>", "<!--")\n', encoding="utf-8")
    (tmp_path / "assets" / "a.css").write_text("body{color:red}\n", encoding="utf-8")
    return tmp_path


def page(readiness: Readiness, built: Path) -> str:
    return shared_page(readiness, built, revision="abc123", when=WHEN)


def held(text: str) -> dict[str, Any]:
    found = re.search(r'<script type="application/json" id="shared">(.*?)</script>', text, re.S)
    assert found is not None
    return json.loads(found[1])


def test_it_holds_what_the_server_would_tell(readiness: Readiness, built: Path) -> None:
    told = held(page(readiness, built))
    assert told["vehicle"] == json.loads(json.dumps(vehicle_payload(readiness)))
    assert told["made"] == "2031-05-06 07:08 UTC"
    assert told["revision"] == "abc123"
    # The invented vehicle has no shape to cut; its flight it has.
    assert told["cuts"] == []
    assert [event["name"] for event in told["moving"]["path"]["events"]] == ["rail exit", "apogee", "ground"]
    corners = int.from_bytes(base64.b64decode(told["hull"])[:4], "little")
    assert corners == 8


def test_sections_across_are_spread_evenly(with_a_post: Session, built: Path) -> None:
    cuts = held(page(with_a_post.as_written, built))["cuts"]
    assert len(cuts) == CUTS
    # A post 1 m long: the middles of its 24 stretches, each drawn.
    assert [cut["station_m"] for cut in cuts] == pytest.approx(
        [(at + 0.5) / 24 for at in range(24)], abs=0.02
    )
    assert all(cut["svg"].startswith("<svg") for cut in cuts)


def test_every_stage_is_in_it_with_its_pictures(with_a_post: Session, built: Path) -> None:
    told = held(page(with_a_post.as_written, built))
    names = [one["name"] for stage in told["stages"]["stages"] for one in stage["pictures"]]
    assert names
    assert set(names) == set(told["drawn"])
    assert all(svg.startswith("<svg") for svg in told["drawn"].values())
    assert told["landings"] is None, "no campaign is kept"


def test_landings_are_in_it_where_some_are_known(readiness: Readiness, built: Path) -> None:
    shown = StagePicture(name="map", title="Landings", says="They lie there.")
    found = PageLandings(says="5 of 5", picture=shown, sections=(), files=("landings.csv",))
    landed = Landed(told=found, files={"map.svg": "<svg>map</svg>", "landings.csv": "1,2"})
    told = held(shared_page(readiness, built, revision="a", when=WHEN, beside=SentAlong(landed=landed)))
    assert told["landings"]["says"] == "5 of 5"
    assert told["drawn"]["map"] == "<svg>map</svg>"
    assert told["landing_files"] == {"landings.csv": "1,2"}
    none = replace(landed, told=replace(found, picture=None))
    assert (
        held(shared_page(readiness, built, revision="a", when=WHEN, beside=SentAlong(landed=none)))[
            "landings"
        ]
        is None
    )


def test_pressures_and_air_of_the_tunnel_are_in_it_where_some_are_kept(
    readiness: Readiness, built: Path
) -> None:
    surfaces, flows = (a_surface(0.0), a_surface(10.0)), (a_flow(10.0),)
    beside = SentAlong(surfaces=lambda: surfaces, flows=lambda: flows)
    told = held(shared_page(readiness, built, revision="a", when=WHEN, beside=beside))
    laid = pressed(readiness.shape, surfaces)
    assert [one["name"] for one in told["pressure"]["told"]["winds"]] == [
        "along the axis",
        "10 deg off the axis, to roll 0 deg",
    ]
    assert base64.b64decode(told["pressure"]["mesh"]) == triangle_bytes(laid)
    assert [base64.b64decode(one) for one in told["pressure"]["hundredths"]] == [
        in_hundredths(laid.on_corners(number)) for number in range(2)
    ]
    [air] = told["flow"]["winds"]
    assert len(air["planes"]) == 2
    assert air["moments"] == 0, "films stay with the server"
    assert "film of moments is on the page" in told["flow"]["says"]


def test_a_copy_misses_no_film_that_was_never_kept() -> None:
    kept = a_flow(10.0)
    still = replace(kept, flow=replace(kept.flow, moments=kept.flow.moments[:0]))
    told = sent_flow(lambda: (still,), us_units=False)
    assert told is not None
    assert told.says == ""


def test_without_a_study_of_this_very_shape_there_is_none_in_it(readiness: Readiness, built: Path) -> None:
    def refuse() -> tuple[KeptFlow, ...]:
        raise MissingData("of another shape")

    for beside in (SentAlong(), SentAlong(flows=refuse)):
        told = held(shared_page(readiness, built, revision="a", when=WHEN, beside=beside))
        assert told["pressure"] is None
        assert told["flow"] is None


def test_only_its_own_script_and_style_may_run(readiness: Readiness, built: Path) -> None:
    text = page(readiness, built)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy is not None
    assert "default-src 'none'" in policy[1]
    assert "connect-src" not in policy[1]
    assert "unsafe" not in policy[1]
    for pattern in (r'<script type="module">(.*?)</script>', r"<style>(.*?)</style>"):
        inside = re.findall(pattern, text, re.S)
        assert len(inside) == 1
        digest = base64.b64encode(hashlib.sha256(inside[0].encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy[1]
    assert 'say("<\\/script>", "<\\!--")' in text


def test_the_words_of_a_sheet_stay_words(readiness: Readiness, built: Path) -> None:
    name = "</script><script>alert(1)</script><!--"
    text = page(replace(readiness, name=name), built)
    assert "<script>alert" not in text
    assert text.count("<!--") == 0
    assert held(text)["vehicle"]["name"] == name


def test_without_a_built_page_there_is_none_to_send(readiness: Readiness, tmp_path: Path) -> None:
    with pytest.raises(MissingData, match="not built"):
        page(readiness, tmp_path)


def test_the_server_hands_it_out_as_a_file(client: httpx.Client) -> None:
    response = client.get("/api/share")
    assert response.status_code == 200
    assert response.headers["content-disposition"] == "attachment; filename*=UTF-8''beacon.page.html"
    assert held(response.text)["vehicle"]["name"] == "Invented Beacon"
    assert len(response.content) < 2_000_000
