"""Motors, sizes, trials, guesses and maps as a builder reads them: each number by the end that matters."""

import csv
import io
import json
import math
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.assemble.looks.glance import Look
from finial.campaign.landing import landing_ellipse
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Change, Moved, Subject, Trial, Verdict
from finial.findings.guess import Guess, GuessKind
from finial.findings.mending import Mend
from finial.findings.motor_choice import MotorRow
from finial.motors.claims import ClaimCheck
from finial.report.campaign_map import MOST_POINTS, OnMap, geojson, kml
from finial.report.guess_words import guess_words, reason_words
from finial.report.motors_text import motors_lines, motors_plain
from finial.report.shown import Shown
from finial.report.size_text import mend_lines, mend_plain, sized_lines, trade_lines
from finial.report.trace_csv import trace_columns, trace_csv
from finial.report.trial_words import change_words, trial_sentence, vain_sentence
from finial.sizing.solve import Sized
from finial.sizing.trade import Tried

METRIC, US = Shown(us_units=False), Shown(us_units=True)
KML = "{http://www.opengis.net/kml/2.2}"


def text(lines) -> str:
    return "\n".join(line.text for line in lines)


def flat(lines) -> str:
    return " ".join(text(lines).split())


@pytest.fixture(scope="module")
def motors(readiness) -> tuple[MotorRow, ...]:
    numbers = {
        "designation": "K500",
        "thrust_to_weight": 9.94,
        "rail_exit_m_s": 16.0,
        "apogee_m": 1234.4,
        "top_g": 10.25,
        "margin_m": 0.106,
    }
    by_key = {finding.key: finding for finding in readiness.findings}
    claims = (
        ClaimCheck(what="impulse", claimed=1340.0, found=1345.6, agrees=True),
        ClaimCheck(what="class", claimed="J", found="K", agrees=False),
    )
    return (
        MotorRow(file="a.toml", name="demo-k500", claims=claims, **numbers),
        MotorRow(
            file="b.toml",
            name="demo-j90",
            **{**numbers, "apogee_m": 300.0},
            reasons=(by_key["rail-exit-speed"], by_key["landing-speed"], by_key["charge-opens"]),
        ),
        MotorRow(file="c.toml", name="broken", reasons=(by_key["cord-across-joint"],)),
    )


def test_motors_that_meet_everything_stand_apart_from_the_others(motors) -> None:
    told = text(motors_lines("Light", motors, has_room=False, us_units=False))
    assert "Motors for Light" in told
    assert "1 of 3 meet everything asked" in told
    good, bad = told.split("The others, and why not")
    assert "demo-k500" in good
    assert "demo-j90" not in good
    row = next(line for line in good.splitlines() if "demo-k500" in line).split()
    assert row == ["demo-k500", "K500", "9.9", "16", "m/s", "1234", "m", "10.2", "106", "mm"]
    assert "Length is checked only" in told
    assert "Length is checked only" not in text(motors_lines("L", motors, has_room=True, us_units=False))
    assert "broken" in bad, "a motor without numbers still says why not"


def test_why_not_is_said_by_the_end_that_hurts(motors) -> None:
    told = flat(motors_lines("Light", motors, has_room=True, us_units=False))
    assert "14.9 m/s at its bad end" in told, "a speed off the rail must be at least so much: its low end"
    assert "5.4 m/s at its bad end" in told, "a landing speed at most so much: its high end"
    assert "0.8 at its bad end" in told, "a bare number"
    assert "not known; " in told, "and one that nobody knows says so"


def test_claims_are_held_beside_the_curve(motors) -> None:
    told = text(motors_lines("Light", motors, has_room=True, us_units=False)).split("Claims against")[1]
    rows = [line.split() for line in told.splitlines() if "demo-k500" in line]
    assert rows == [
        ["demo-k500", "impulse", "1340", "1346", "agrees"],
        ["demo-k500", "class", "J", "K", "differs"],
    ]


def test_without_claims_or_failures_those_parts_are_left_out(motors) -> None:
    told = text(motors_lines("Light", (replace(motors[0], claims=()),), has_room=True, us_units=False))
    assert "The others" not in told
    assert "Claims" not in told
    none = text(motors_lines("Light", (motors[2],), has_room=True, us_units=False))
    assert "0 of 1 meet everything asked" in none


def test_motors_for_json_say_whether_they_meet_and_why_not(motors) -> None:
    rows = motors_plain(motors, us_units=False)
    assert [row["meets"] for row in rows] == [True, False, False]
    assert [len(row["reasons"]) for row in rows] == [0, 3, 1]
    assert rows[0]["apogee_m"] == 1234.4


def look(**changed) -> Look:
    usual = {
        "mass_kg": 5.0,
        "margin_m": 0.19,
        "width_m": 0.19,
        "apogee_m": 900.0,
        "rail_exit_low_m_s": 15.0,
        "landing_speed": exact(5.0),
        "span_m": 0.16,
    }
    return Look(**{**usual, **changed})


def test_a_sized_thing_tells_what_comes_of_it() -> None:
    sized = Sized(changes={}, value=1.4, look=look(), evaluations=7)
    told = flat(sized_lines("steel ballast", "1.40 kg", sized, us_units=False))
    assert "steel ballast 1.40 kg" in told
    assert "worst margin, bad end 190 mm, 1.00 widths" in told
    assert "landing speed 5 m/s" in told
    none = replace(sized, look=look(landing_speed=None, margin_m=0.095))
    told = flat(sized_lines("steel ballast", "1.40 kg", none, us_units=False))
    assert "no canopy" in told
    assert "0.50 widths" in told


def test_only_the_front_is_listed_and_numbered_from_one() -> None:
    def one(ballast_kg: float, *, is_best: bool) -> Tried:
        return Tried(
            changes={}, span=0.9, station_m=0.93, count=4, ballast_kg=ballast_kg, look=look(), is_best=is_best
        )

    told = text(
        trade_lines((one(0.5, is_best=True), one(0.7, is_best=False), one(0.9, is_best=True)), us_units=False)
    )
    assert "2 of 3 designs that no other beats" in told
    rows = [line.split() for line in told.splitlines() if "(90 %)" in line]
    assert [row[:2] for row in rows] == [["1", "4"], ["2", "4"]]
    assert "500 g" in told
    assert "900 g" in told
    assert "700 g" not in told


def test_a_mend_says_its_changes_and_what_is_left(readiness) -> None:
    margin, cord, charge, *_ = readiness.findings
    found = Mend(
        told=(Change(lever="ballast", name="steel ballast", was=0.94, size=1.4, dimension=Dimension.MASS),),
        changes={},
        added_kg=-0.2,
        verdict=Verdict.CAUTION,
        mended=(margin,),
        stops=(cord,),
        to_enter=(charge, charge),
    )
    told = flat(mend_lines(found, us_units=False))
    assert "steel ballast of 1.4 kg (940 g now)" in told
    assert f"The whole check then says {Verdict.CAUTION.words}; it is 200 g lighter." in told
    assert "Then met: " in told
    assert "Stopped by, at the best so far: " in told
    entered = told.split("Still to be entered, tested or wired, which no size mends: ")[1].split(".")[0]
    assert ";" not in entered, "the same title is said once"
    heavier = flat(mend_lines(replace(found, added_kg=0.2, stops=()), us_units=False))
    assert "it is 200 g heavier" in heavier
    assert "Stopped by" not in heavier
    assert "What mends it" in told
    crowded = flat(mend_lines(replace(found, verdict=Verdict.NO_GO, brought=(cord,)), us_units=False))
    assert "The best so far, which does not mend it" in crowded
    assert "Brought about by these changes themselves: " in crowded
    assert "Brought about" not in told
    assert "Nothing fails" in flat(mend_lines(None, us_units=False))
    assert "None of the changes that can be tried" in flat(
        mend_lines(replace(found, told=()), us_units=False)
    )
    plain = mend_plain(found, Verdict.CAUTION)
    told = {"lever": "ballast", "name": "steel ballast", "was": 0.94, "size": 1.4, "to": ""}
    assert plain["changes"] == [told]
    assert (plain["added_kg"], len(plain["mended"]), len(plain["to_enter"])) == (-0.2, 1, 2)
    assert mend_plain(None, Verdict.GO)["changes"] == []


def trial(**changed) -> Trial:
    usual = {
        "lever": "ballast",
        "name": "steel ballast",
        "was": 0.94,
        "size": 1.4,
        "dimension": Dimension.MASS,
        "turns": True,
        "deep": True,
    }
    return Trial(**{**usual, **changed})


def moved(was: Verdict, now: Verdict, less: float | None = 0.0, dimension=None) -> Moved:
    return Moved(key="k", subject=Subject(), facts={}, was=was, now=now, dimension=dimension, less=less)


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (trial(), "steel ballast of 1.4 kg (940 g now)"),
        (
            trial(lever="pins", name="tower", was=2.0, size=3.0, dimension=Dimension.RATIO),
            "3 pins in tower (2 now)",
        ),
        (
            trial(lever="pins", name="tower", was=2.0, size=1.0, dimension=Dimension.RATIO),
            "1 pin in tower (2 now)",
        ),
        (
            trial(lever="walls", name="", was=1.0, size=1.25, dimension=Dimension.RATIO),
            "walls 125 % of their",
        ),
        (
            trial(lever="rail", name="", was=2.0, size=3.0, dimension=Dimension.LENGTH),
            "a rail of 3 m (2 m now)",
        ),
    ],
)
def test_a_change_is_said_with_its_size_in_its_own_terms(one, words) -> None:
    assert change_words(one, METRIC).startswith(words)


def title(_key, _subject, _facts, _shown) -> str:
    return "drift"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (moved(Verdict.GO, Verdict.NO_GO), f"but drift is then {Verdict.NO_GO.words}"),
        (moved(Verdict.NO_GO, Verdict.CAUTION), "drift goes too"),
        (moved(Verdict.NO_GO, Verdict.GO), "drift goes too"),
        (moved(Verdict.GO, Verdict.CAUTION), f"but drift is then {Verdict.CAUTION.words}"),
        (moved(Verdict.GO, Verdict.GO, 0.25), "drift 0.25 less"),
        (moved(Verdict.NO_GO, Verdict.NO_GO, -3.0, Dimension.LENGTH), "drift 3 m more"),
        (moved(Verdict.CAUTION, Verdict.NOT_KNOWN), f"but drift is then {Verdict.NOT_KNOWN.words}"),
    ],
)
def test_what_else_a_change_moves_is_told(change, words) -> None:
    told = trial_sentence(trial(moved=(change,)), title, METRIC, {})
    assert told == f"With steel ballast of 1.4 kg (940 g now) this goes; {words}."


def test_what_was_not_looked_for_is_told() -> None:
    quick = trial_sentence(trial(deep=False), title, METRIC, {})
    assert quick.endswith("this goes; more than the quick look sees was not looked for.")
    also = trial_sentence(trial(deep=False, moved=(moved(Verdict.GO, Verdict.NO_GO),)), title, METRIC, {})
    assert f"but drift is then {Verdict.NO_GO.words}; more than the quick look sees" in also


def test_powder_is_always_sent_to_the_ground_test() -> None:
    powder = trial(lever="charge", name="tower bay", was=1.0, size=1.2, dimension=Dimension.RATIO)
    assert trial_sentence(powder, title, METRIC, {}).count("ground") >= 1
    assert "ground" not in trial_sentence(trial(), title, METRIC, {})
    assert "nothing else changes its verdict" in trial_sentence(trial(), title, METRIC, {})


def test_what_did_not_suffice_is_told_without_what_did() -> None:
    vain = trial(name="brass ballast", turns=False)
    told = vain_sentence((vain, trial()), METRIC, fails=True)
    assert told.startswith("Does not suffice alone: brass ballast of")
    assert "steel" not in told
    assert vain_sentence((trial(),), METRIC, fails=True) == ""


@pytest.mark.parametrize(
    ("one", "what", "interval", "effect"),
    [
        (
            Guess(
                kind=GuessKind.PLACE,
                name="paint",
                mass=Estimate(value=0.3, low=0.15, high=0.45, known_by=KnownBy.ASSUMED),
                station=exact(0.7),
                moves_m=0.009,
                weight=0.3,
            ),
            "paint (assumed)",
            "300 g (150 to 450) at 700 mm",
            "moves the margin by 9 mm either way",
        ),
        (
            Guess(
                kind=GuessKind.STEP, name="step", step_m=0.3, reach_m=(0.09, 0.02), moves_m=0.09, weight=1.0
            ),
            "air: step at 300 mm",
            "90 mm forward to 20 mm aft",
            "takes 90 mm off the worst margin",
        ),
        (
            Guess(
                kind=GuessKind.WIND,
                wind=Estimate(value=3.0, low=1.0, high=5.0, known_by=KnownBy.MEASURED),
                moves_m=50.0,
                weight=0.1,
            ),
            "wind of the day",
            "3 m/s (1 to 5)",
            "moves the landing point by 50 m either way",
        ),
    ],
)
def test_a_guess_says_what_it_moves(one, what, interval, effect) -> None:
    words = guess_words(one, METRIC)
    assert (words.what, words.interval) == (what, interval)
    assert words.effect == effect
    assert words.advice


def test_small_reasons_are_counted() -> None:
    assert reason_words("smaller steps", None, 3, METRIC) == "3 smaller steps"
    assert reason_words("flow behind", None, 0, METRIC) == "flow behind"
    assert reason_words("step", 0.3, 3, METRIC) == "step at 300 mm"


def on_map(**changed) -> OnMap:
    turn = np.linspace(0.0, 2 * math.pi, 61)[:-1]
    landings = np.stack([200.0 + 100.0 * np.cos(turn), 100.0 + 50.0 * np.sin(turn)], axis=1)
    square = np.array([[-500.0, -500.0], [500.0, -500.0], [500.0, 500.0], [-500.0, 500.0], [-500.0, -500.0]])
    usual = {
        "name": "Light & <Co>",
        "pad_rad": (math.radians(50.0), math.radians(8.0)),
        "landings_m": landings,
        "ellipse": landing_ellipse(landings),
        "field_m": (square, square[::-1] / 5),
    }
    return OnMap(**{**usual, **changed})


def metres(place: list[float]) -> tuple[float, float]:
    """East and north of the pad at 50 N, 8 E: 71.70 km and 111.23 km a degree there (WGS 84 tables)."""
    return (place[0] - 8.0) * 71_698.0, (place[1] - 50.0) * 111_229.0


def area(ring: list[list[float]]) -> float:
    x, y = np.array(ring).T
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2)


def test_the_map_has_pad_landings_ellipse_and_field_in_degrees() -> None:
    found = json.loads(geojson(on_map()))
    kinds = [one["geometry"]["type"] for one in found["features"]]
    assert kinds == ["Point", "MultiPoint", "Polygon", "Polygon"]
    pad, points, ellipse, field = (one["geometry"]["coordinates"] for one in found["features"])
    assert pad == [8.0, 50.0], "longitude comes first: RFC 7946, section 3.1.1"
    assert metres(points[0]) == pytest.approx((300.0, 100.0), abs=0.5)
    assert area(ellipse[0]) > 0.0, "outer rings run anticlockwise: RFC 7946, section 3.1.6"
    assert ellipse[0][0] == ellipse[0][-1]
    assert metres(field[0][2]) == pytest.approx((500.0, 500.0), abs=0.5)
    assert len(field) == 2
    names = [one["properties"]["name"] for one in found["features"]]
    assert names[1] == "Light & <Co>: landing points"
    assert names[2].startswith("ellipse meant for 95 %, holds 100.0 %")


def test_a_map_without_landings_ellipse_or_field_still_has_its_pad() -> None:
    bare = on_map(landings_m=np.empty((0, 2)), ellipse=None, field_m=None)
    found = json.loads(geojson(bare))
    assert [one["geometry"]["type"] for one in found["features"]] == ["Point", "MultiPoint"]
    assert found["features"][1]["geometry"]["coordinates"] == []
    assert len(ElementTree.fromstring(kml(bare)).findall(f".//{KML}Placemark")) == 2


def test_a_map_holds_the_first_two_thousand_points() -> None:
    many = on_map(landings_m=np.zeros((MOST_POINTS + 5, 2)), ellipse=None)
    assert len(json.loads(geojson(many))["features"][1]["geometry"]["coordinates"]) == 2000
    assert kml(many).count("<Point>") == 2001


def test_kml_says_the_same_and_its_holes_are_inner_edges() -> None:
    root = ElementTree.fromstring(kml(on_map()))
    assert root.findtext(f".//{KML}Document/{KML}name") == "Light & <Co>"
    marks = {mark.findtext(f"{KML}name"): mark for mark in root.iter(f"{KML}Placemark")}
    assert list(marks) == ["pad", "ellipse, holds 100.0 %", "field", "landing points"]
    assert marks["pad"].findtext(f".//{KML}coordinates") == "8.0,50.0"
    assert len(marks["field"].findall(f".//{KML}outerBoundaryIs")) == 1
    assert len(marks["field"].findall(f".//{KML}innerBoundaryIs")) == 1
    first = marks["landing points"].find(f".//{KML}coordinates").text.split(",")
    assert metres([float(part) for part in first]) == pytest.approx((300.0, 100.0), abs=0.5)


def test_a_history_reads_back_from_its_csv_by_name(readiness) -> None:
    trace = readiness.flight.trace
    rows = list(csv.reader(io.StringIO(trace_csv(trace))))
    columns = trace_columns(trace)
    assert rows[0] == list(columns)
    read = np.array(rows[1:], dtype=float)
    assert read.shape == (len(trace.times_s), len(columns))
    for index, values in enumerate(columns.values()):
        assert read[:, index] == pytest.approx(values, abs=0.0)
    assert columns["height_agl_m"] == pytest.approx(trace.positions_m[:, 2])
    assert columns["velocity_up_m_s"] == pytest.approx(trace.velocities_m_s[:, 2])
    assert columns["felt_x_m_s2"] == pytest.approx(trace.accelerations_m_s2[:, 0])
    assert columns["quaternion_w"] == pytest.approx(trace.quaternions[:, 0])
