"""Small pieces of the page on paper: edits as they are sent, bodies up to their size, what is said."""

import asyncio
from types import SimpleNamespace

import numpy as np
import pytest
from starlette.exceptions import HTTPException

from finial.core.errors import BuildSheetError, Fault, MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.web import frame, numbers, picture, replies
from finial.web.desk import ChangedMeanwhile
from finial.web.drafts import edits
from finial.web.drafts.edits import Added, Put, Removed, Typed, read_edits


def one(**edit):
    text, (found,) = read_edits({"text": "t", "edits": [edit]})
    assert text == "t"
    return found


def test_an_edit_is_read_by_its_kind():
    assert one(type="item[1].mass", text="2 kg") == Typed(place="item[1].mass", text="2 kg")
    value = {"a": [1.0, -3.0, True, "x"], "b": {}}
    assert one(put="item[1].mass", value=value) == Put(
        place=("item", 0, "mass"), value={"a": [1, -3, True, "x"], "b": {}}
    )
    assert one(remove="item[2]") == Removed(place=("item", 1))
    assert one(add="item", number=3.0) == Added(place=("item",), number=3, given={})
    assert one(add="item", number=1e6, given={"n": 5.0}).given == {"n": 5}
    assert read_edits({"text": ""}) == ("", ())
    assert len(read_edits({"text": "", "edits": [{"remove": "a"}] * 200})[1]) == 200


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "'text' must be"),
        ({"text": 1.0}, "'text' must be"),
        ({"text": "", "edits": {}}, "'edits' a list"),
        ({"text": "", "edits": [{"remove": "a"}] * 201}, "200 at most"),
        ({"text": "", "edits": ["remove"]}, "is an object"),
        ({"text": "", "edits": [{}]}, "one of 'type'"),
        ({"text": "", "edits": [{"put": "a", "remove": "b"}]}, "one of 'type'"),
        ({"text": "", "edits": [{"type": "a", "text": 1.0}]}, "'text' must be"),
        ({"text": "", "edits": [{"add": "a", "number": 1.0, "given": []}]}, "'given' must be"),
        *(
            ({"text": "", "edits": [{"add": "a", "number": number}]}, "'number' must be")
            for number in (0.0, 1.5, 1e6 + 1, True, "1", None)
        ),
        *(
            ({"text": "", "edits": [{"put": "a", "value": value}]}, "a value is")
            for value in (1.5, 1e9, None, [0.5])
        ),
    ],
)
def test_what_is_no_edit_is_refused(given, says):
    with pytest.raises(OutsideRange, match=says):
        read_edits(given)


def test_whole_numbers_stay_below_a_thousand_millions():
    assert edits._value(1e9 - 1) == 999_999_999
    assert edits._value(-5.0) == -5


class Sent:
    """A request in pieces."""

    def __init__(self, *pieces, kind="application/json"):
        self.headers = {"content-type": kind}
        self._pieces = pieces

    async def stream(self):
        for piece in self._pieces:
            yield piece


def test_a_body_is_taken_up_to_its_size_and_as_json_alone():
    assert replies.MOST_BYTES == 64 * 1024
    whole = Sent(b"a" * 65_000, b"b" * 536, kind="application/json; charset=utf-8")
    assert len(asyncio.run(replies.json_body(whole))) == 65_536
    with pytest.raises(HTTPException) as refused:
        asyncio.run(replies.json_body(Sent(b"a" * 65_000, b"b" * 537)))
    assert (refused.value.status_code, refused.value.detail) == (413, "a question has at most 65536 bytes")
    with pytest.raises(HTTPException) as refused:
        asyncio.run(replies.json_body(Sent(b"{}", kind="text/plain")))
    assert refused.value.status_code == 415

    def read(body):
        if body == b"no":
            raise OutsideRange("nothing in it")
        return body.decode()

    assert asyncio.run(replies.asked_as(Sent(b"y", b"es"), read)) == "yes"
    with pytest.raises(HTTPException) as refused:
        asyncio.run(replies.asked_as(Sent(b"no"), read))
    assert (refused.value.status_code, refused.value.detail) == (400, "nothing in it")


def test_faults_have_their_codes():
    fault = Fault(file="a.toml", field="b", given="c", accepted="d", likely_slip="")
    told = {
        ChangedMeanwhile("changed"): 409,
        MissingData("missing"): 422,
        BuildSheetError([fault]): 422,
    }
    assert {error: frame._not_answered(None, error).status_code for error in told} == told
    assert b'"faults":[]' in frame._not_answered(None, MissingData("missing")).body
    assert b'"field":"b"' in frame._not_answered(None, BuildSheetError([fault])).body
    gone = frame._refused(None, HTTPException(404, "not here"))
    assert (gone.status_code, gone.body) == (404, b'{"error":"not here"}')
    broken = frame._broken(None, ValueError("odd"))
    assert (broken.status_code, broken.body) == (500, b'{"error":"Finial failed here: ValueError: odd"}')


def test_a_page_that_was_not_built_says_how(monkeypatch, tmp_path):
    monkeypatch.setattr(frame, "STATIC", tmp_path)
    assert asyncio.run(frame._page(None)).status_code == 503
    (tmp_path / "index.html").write_text("<p>")
    found = asyncio.run(frame._page(None))
    assert (found.status_code, found.headers["cache-control"]) == (200, "no-store")


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="", source="")


def point(margin_low):
    return SimpleNamespace(
        moment="rail exit",
        balance=about(0.5, 0.49, 0.51),
        pressure=about(0.6, 0.55, 0.7),
        margin=about(0.1, margin_low, 0.2),
        width_m=0.16,
    )


@pytest.mark.parametrize(
    ("margin", "said"),
    [
        (0.04, "at the bad end 40 mm (0.25 widths) behind the balance point."),
        (-0.08, "at the bad end 80 mm (0.50 widths) ahead of the balance point."),
        (0.0, "at the bad end 0 mm (0.00 widths) ahead of the balance point."),
    ],
)
def test_the_picture_says_where_the_wind_pushes(margin, said):
    told = picture._sentence(point(margin), us_units=False)
    assert told.startswith(
        "At rail exit it balances 500 mm aft of the tip and the wind pushes somewhere from 550 to 700 mm: "
    )
    assert told.endswith(said)


def test_a_span_has_its_unit_once_where_both_ends_have_it():
    assert picture._span(about(0.6, 0.55, 0.7), False) == "550 to 700 mm"
    ends = picture._span(about(0.6, 0.0, 0.7), True)
    assert ends.count("in") <= 2


def test_the_load_along_the_hull_is_a_share_of_its_largest():
    """Six hundred stations leave 256, the ends among them; where nothing pushes nothing is divided by."""
    stations = np.linspace(0.0, 2.0, 600)
    found = picture._load(stations, np.linspace(-4.0, 2.0, 600))
    assert (len(found.stations_m), len(found.share)) == (256, 256)
    assert (found.stations_m[0], found.stations_m[-1]) == (0.0, 2.0)
    assert (found.share[0], found.share[-1]) == (-1.0, 0.5)
    few = picture._load(np.array([0.0, 1.0 / 3.0]), np.zeros(2))
    assert (few.stations_m, few.share) == ([0.0, 0.33333], [0.0, 0.0])


@pytest.mark.parametrize(("reserves", "shown"), [(4, 4), (6, 6), (9, 6)])
def test_the_six_worst_reserves_stand_beside_the_picture(monkeypatch, reserves, shown):
    monkeypatch.setattr(numbers, "badness", lambda row: -row)
    monkeypatch.setattr(numbers, "_reserve_row", lambda row, look: (row, look))
    looked = SimpleNamespace(strength_study=None, strength_looked=SimpleNamespace(reserves=range(reserves)))
    found = numbers._least_reserves(looked)
    assert found.rows == tuple((row, "quick") for row in range(reserves - 1, reserves - 1 - shown, -1))
