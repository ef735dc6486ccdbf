"""What is asked on the field and of kept campaigns, on answers made up by a line of arithmetic each."""

import math
import tracemalloc
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.vehicle.field import MarkOnField
from finial.assemble.vehicle.tweak import TweakKind
from finial.campaign.landing import landing_ellipse
from finial.campaign.quantiles import quantile
from finial.core.errors import BuildSheetError, CampaignError, MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.geojson import MarkKind
from finial.findings import design_judge, kept_landings, landing_map, latest_wind, readings, today, what_if
from finial.findings.finding import Subject, Verdict
from finial.findings.landing_map import LandingMap, farthest_m
from finial.findings.readings import OnScales, read_on_field
from finial.findings.stays_pull import stays_pulls

GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def finding(key="check", verdict=NO_GO, margin=None, name=""):
    return SimpleNamespace(
        key=key, subject=Subject(name=name), verdict=verdict, margin=margin,
        fails=verdict in (NOT_KNOWN, NO_GO), open="open" in key,
    )  # fmt: skip


def windy(speed=None, tolerance=0.0):
    wind = SimpleNamespace(tolerance=tolerance, value=speed)
    return SimpleNamespace(sheet=SimpleNamespace(launch=SimpleNamespace(wind=wind)))


@pytest.fixture(autouse=True)
def nothing_left_open(monkeypatch):
    """What only a longer look decides has "open" in its key."""
    for module in (what_if, latest_wind, design_judge):
        monkeypatch.setattr(module, "left_open", lambda one: one.open)


# ---------------------------------------------------------------------------- latest wind


def asked_by_wind(monkeypatch, fails):
    asked = []

    def readiness(_vehicle, changes, depth):
        written = changes["launch", "wind"]
        asked.append(written)
        return SimpleNamespace(findings=fails(float(written.split()[0])))

    monkeypatch.setattr(latest_wind, "readiness", readiness)
    return asked


def test_the_strongest_wind_is_the_last_in_which_no_more_fails_than_in_a_calm(monkeypatch):
    always, late = finding("heavy"), finding("rail", NOT_KNOWN)
    hidden, mild = finding("open"), finding("mild", CAUTION)
    asked = asked_by_wind(monkeypatch, lambda wind: [always, hidden, mild, *([late] if wind > 1.6 else [])])
    found = latest_wind.latest_wind(windy(tolerance=1.0), 8.0)
    assert asked == [
        "0 m/s +- 1 m/s",
        "0.5 m/s +- 1 m/s",
        "1 m/s +- 1 m/s",
        "1.5 m/s +- 1 m/s",
        "2 m/s +- 1 m/s",
    ]
    assert (found.wind_m_s, found.tolerance_m_s, found.most_m_s) == (1.5, 1.0, 8.0)
    assert (found.in_a_calm, found.then_fails) == ((always,), (late,))


def test_where_no_wind_fails_the_code_s_largest_is_told(monkeypatch):
    asked = asked_by_wind(monkeypatch, lambda wind: [])
    found = latest_wind.latest_wind(windy(), 1.2)
    assert asked == ["0 m/s", "0.5 m/s", "1 m/s"]
    assert (found.wind_m_s, found.then_fails, found.in_a_calm) == (1.0, (), ())


def test_the_same_check_of_another_thing_is_another_failure(monkeypatch):
    asked_by_wind(monkeypatch, lambda wind: [finding(name="a"), *([finding(name="b")] if wind else [])])
    found = latest_wind.latest_wind(windy(), 3.0)
    assert (found.wind_m_s, [one.subject.name for one in found.then_fails]) == (0.0, ["b"])


# ------------------------------------------------------------------------------- what if


def estimate(low, value, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def test_values_reach_as_far_again_beyond_both_ends_and_a_least_step():
    assert what_if._around(estimate(8.0, 10.0, 13.0), 0.1, 2) == (6.0, 8.0, 10.0, 13.0, 16.0)
    assert what_if._around(exact(10.0), 0.123, 2) == (9.75, 9.88, 10.0, 10.12, 10.25)


def test_a_weighing_is_written_as_well_as_scale_and_cord_tell_it():
    assert what_if._weighing(9.25, 0.71234) == {
        ("weighing",): {"motor": "loaded", "mass": "9.250 kg +- 0.01 kg", "balance": "0.7123 m +- 0.003 m"}
    }


def answer(findings=(), margins=(), exit_speed=None):
    flight = SimpleNamespace(rail_exit_speed=exit_speed, drift=estimate(10.0, 20.0, 30.0))
    stability = [SimpleNamespace(margin=estimate(low, low + 1, low + 2)) for low in margins]
    return SimpleNamespace(findings=findings, flight=flight, stability=stability)


def test_a_cell_tells_its_worst_its_margin_its_speed_and_its_drift(monkeypatch):
    told, asked = (
        answer(
            [finding(verdict=CAUTION), finding("open"), finding("x", NOT_KNOWN)],
            (0.2, 0.1),
            estimate(15, 16, 17),
        ),
        [],
    )
    monkeypatch.setattr(what_if, "readiness", lambda _vehicle, changes, depth: asked.append(changes) or told)
    found = what_if._cell(windy(tolerance=2.0), 4.0)
    assert asked == [{("launch", "wind"): "4 m/s +- 2 m/s"}]
    assert (found.verdict, [one.key for one in found.fails]) == (NOT_KNOWN, ["x"])
    assert (found.least_margin_m, found.slowest_exit_m_s, found.farthest_m) == (0.1, 15, 30.0)
    told.findings, told.stability, told.flight.rail_exit_speed = (), (), None
    bare = what_if._cell(windy(), 0.0)
    assert asked[-1] == {("launch", "wind"): "0 m/s"}
    assert (bare.verdict, bare.least_margin_m, bare.slowest_exit_m_s) == (NOT_KNOWN, None, None)


def test_every_mass_balance_and_wind_is_asked_and_what_cannot_weigh_so_is_left_out(monkeypatch):
    def reread(_vehicle, changes, _codes):
        mass = float(changes["weighing",]["mass"].split()[0])
        if mass < 7.0:
            raise BuildSheetError([])
        return mass

    monkeypatch.setattr(what_if, "reread", reread)
    monkeypatch.setattr(what_if, "_cell", lambda weighed, wind: (weighed, wind))
    base = SimpleNamespace(
        shape=SimpleNamespace(skin=SimpleNamespace(length_m=1.0)),
        mass=SimpleNamespace(lift_off_mass=estimate(8.0, 10.0, 12.0), lift_off_balance=exact(0.7)),
    )
    told = []
    found = what_if.what_if(None, base, told.append)
    assert (found.masses_kg, found.balances_m) == (
        (6.0, 8.0, 10.0, 12.0, 14.0),
        (0.68, 0.69, 0.7, 0.71, 0.72),
    )
    assert found.winds_m_s == (0.0, 2.0, 4.0, 6.0, 8.0)
    assert len(found.cells) == 125
    assert found.cells[:25] == (None,) * 25
    assert found.cells[25:31] == ((8.0, 0.0), (8.0, 2.0), (8.0, 4.0), (8.0, 6.0), (8.0, 8.0), (8.0, 0.0))
    assert told == ["asking the quick look 125 times"]


# ------------------------------------------------------------------------------ readings


def test_readings_of_the_day_go_to_their_places_and_a_weighing_whole():
    scales = OnScales(motor="out", mass="8.1 kg", balance="0.7 m", across=("1 mm", "0 mm"))
    assert read_on_field({"wind": "4 m/s", "tilt": "", "pressure": "1000 hPa"}, scales) == {
        ("launch", "wind"): "4 m/s",
        ("launch", "pressure"): "1000 hPa",
        ("weighing",): {"motor": "out", "mass": "8.1 kg", "balance": "0.7 m", "across": ["1 mm", "0 mm"]},
    }
    pair = OnScales(motor="loaded", scales=[("0.2 m", "3 kg"), ("1 m", "5 kg")])
    assert read_on_field({}, pair)["weighing",]["scales"] == [
        {"at": "0.2 m", "reads": "3 kg"}, {"at": "1 m", "reads": "5 kg"},
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("scales", "words"),
    [
        (OnScales(), "nothing was read"),
        (OnScales(mass="8 kg"), "told whole"),
        (OnScales(motor="out"), "told whole"),
        (OnScales(motor="out", balance="0.7 m"), "told whole"),
        (OnScales(motor="out", scales=[("0.2 m", "3 kg")]), "two scales"),
    ],
)
def test_half_a_weighing_is_refused(scales, words):
    with pytest.raises(MissingData, match=words):
        read_on_field({}, scales)


def test_what_was_read_stands_beside_the_sheet_s_own():
    values = {"launch": {"wind": "3 m/s"}, "part": [{"name": "a"}], "weighing": {"mass": "8 kg"}}
    read = {
        ("launch", "wind"): "5 m/s",
        ("launch", "tilt"): "3 deg",
        ("weighing",): {"mass": "9 kg", "motor": "out"},
    }
    found = [(one.place, one.by_sheet, one.today) for one in today._read(values, read)]
    assert found == [
        (("launch", "wind"), "3 m/s", "5 m/s"), (("launch", "tilt"), None, "3 deg"),
        (("weighing", "mass"), "8 kg", "9 kg"), (("weighing", "motor"), None, "out"),
    ]  # fmt: skip
    assert today._at(values, ("part", 0, "name")) == "a"
    assert today._at(values, ("part", 1, "name")) is None
    assert today._at(values, ("launch", 0)) is None
    assert readings.DAY_PLACES["toward"] == ("launch", "toward")


# --------------------------------------------------------------------------------- maps


def drawn(landings, bare=None):
    return LandingMap(
        name="", us_units=False, pad_rad=None, spot=None, marks=(), minimum_m=60.0, wind_m_s=4.0,
        wind_from_rad=0.0, landings_m=np.array(landings), bare_m=None if bare is None else np.array(bare),
        ellipse=None,
    )  # fmt: skip


def test_the_walk_goes_to_the_middle_of_the_landings():
    distance, bearing = drawn([[10.0, 0.0], [50.0, 0.0], [30.0, 120.0]]).walk
    assert (distance, math.degrees(bearing)) == (pytest.approx(50.0), pytest.approx(36.8699, abs=1e-3))
    assert drawn([[1.0, 1.0]]).farthest_bare_m is None
    assert drawn([[1.0, 1.0]], [[3.0, 4.0], [6.0, 8.0]]).farthest_bare_m == pytest.approx(10.0)
    assert farthest_m(np.array([[5.0, -12.0]])) == pytest.approx(13.0)


def test_a_map_is_laid_on_the_place_and_the_day_of_the_sheet(monkeypatch):
    monkeypatch.setattr(landing_map, "spot_of", lambda case: "spot")
    monkeypatch.setattr(landing_map, "field_marks", lambda files: ("mark",))
    monkeypatch.setattr(landing_map, "ellipse_or_none", lambda points: len(points))
    launch = SimpleNamespace(wind=SimpleNamespace(value=4.0), wind_from=SimpleNamespace(value=0.3))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(launch=launch), files=None)
    case = SimpleNamespace(name="tower", us_units=True, pad_rad=(0.8, 0.1))
    found = landing_map.landing_map(vehicle, case, minimum_m=60.0, landings_m=np.zeros((3, 2)))
    assert (found.name, found.us_units, found.pad_rad) == ("tower", True, (0.8, 0.1))
    assert (found.spot, found.marks, found.minimum_m, found.ellipse) == ("spot", ("mark",), 60.0, 3)
    assert (found.wind_m_s, found.wind_from_rad, found.bare_m) == (4.0, 0.3, None)


def test_the_first_folder_of_this_very_vehicle_answers(monkeypatch):
    asked = []

    def kept_flights(case, folder):
        asked.append(folder.name)
        if folder.name.startswith("other"):
            raise CampaignError(f"{folder.name} is of another day")
        return folder.name

    monkeypatch.setattr(kept_landings, "flight_case", lambda vehicle: "case")
    monkeypatch.setattr(kept_landings, "kept_flights", kept_flights)
    monkeypatch.setattr(
        kept_landings, "_landings", lambda vehicle, case, flown, minimum: (case, flown, minimum)
    )
    folders = [Path("other-1"), Path("mine"), Path("later")]
    assert kept_landings.kept_landings("vehicle", folders, 60.0) == ("case", "mine", 60.0)
    assert asked == ["other-1", "mine"]
    assert kept_landings.kept_landings("vehicle", [], 60.0) is None
    with pytest.raises(CampaignError, match="other-2 is of another day"):
        kept_landings.kept_landings("vehicle", [Path("other-2"), Path("other-1")], 60.0)


class Pieces:
    """Landing points piece by piece, each made when it is asked for; every other flight is lost."""

    def __init__(self, pieces, of_each):
        self.count, self._pieces, self._of_each = 2 * pieces * of_each, pieces, of_each

    def piece(self, number):
        return np.random.default_rng(number).normal(size=(self._of_each, 2)) * [30.0, 10.0] + [50.0, 9.0]

    def pieces(self, names, most=0):
        for number in range(self._pieces):
            yield SimpleNamespace(landings_m=lambda sound, at=number: self.piece(at))


@pytest.fixture
def on_a_place(monkeypatch):
    """A place with one copse and nothing else."""
    copse = MarkOnField(
        kind=MarkKind.TREES,
        name="copse",
        rings_m=(np.array([[50.0, -999.0], [999.0, -999.0], [999.0, 999.0], [50.0, 999.0], [50.0, -999.0]]),),
        is_area=True,
    )

    def landing_map_of(_vehicle, _case, *, minimum_m, landings_m):
        return replace(drawn(landings_m), minimum_m=minimum_m, marks=(copse,))

    monkeypatch.setattr(kept_landings, "landing_map", landing_map_of)
    monkeypatch.setattr(kept_landings, "counted_odds", lambda flown, spot: (spot,))
    monkeypatch.setattr(kept_landings, "unasked", lambda spot: ("unasked",))


@pytest.mark.usefixtures("on_a_place")
def test_kept_landings_hold_the_first_points_and_tell_of_all():
    flown = Pieces(3, 4000)
    points = np.vstack([flown.piece(number) for number in range(3)])
    found = kept_landings._landings("vehicle", "case", flown, 60.0)
    assert kept_landings.MOST_HELD == 5000
    assert found.drawn.landings_m.tolist() == points[:5000].tolist()
    assert (found.flights, found.drawn.landed, found.drawn.others) == (24_000, 12_000, 7000)
    whole = landing_ellipse(points)
    assert found.drawn.ellipse.held == whole.held
    assert found.drawn.ellipse.half_axes_m == pytest.approx(whole.half_axes_m)
    east, north = points.mean(axis=0)
    assert found.drawn.walk == pytest.approx((math.hypot(east, north), math.atan2(east, north)), rel=1e-12)
    assert found.within == quantile(np.hypot(*points.T), 0.95)
    (copse,) = found.on_marks
    assert (copse.count, copse.flights) == (int((points[:, 0] >= 50.0).sum()), 12_000)
    assert (found.unasked, found.drawn.minimum_m) == (("unasked",), 60.0)
    few = kept_landings._landings("vehicle", "case", Pieces(2, 50), 60.0)
    assert (len(few.drawn.landings_m), few.drawn.others) == (100, 0)
    assert kept_landings._landings("vehicle", "case", Pieces(2, 0), 60.0) is None


@pytest.mark.usefixtures("on_a_place")
def test_what_is_held_of_kept_landings_does_not_grow_with_the_flights():
    def peak(pieces):
        tracemalloc.start()
        found = kept_landings._landings("vehicle", "case", Pieces(pieces, 10_000), 60.0)
        held, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert found.drawn.landed == 10_000 * pieces
        return held, most

    peak(2)  # imports what it needs
    (held, most), (held_of_more, most_of_more) = peak(2), peak(12)
    # The points of 100,000 flights more would be 1.6 MB more.
    assert held_of_more - held < 100_000
    assert most_of_more - most < 400_000


# ------------------------------------------------------------------------------- designs


@pytest.mark.parametrize(
    ("verdict", "margin", "missing"),
    [
        (GO, -0.5, 0.0),
        (CAUTION, -0.5, 0.0),
        (NO_GO, -0.5, 0.5),
        (NO_GO, -20.0, 10.0),
        (NO_GO, None, 1.0),
        (NOT_KNOWN, 0.3, 1.0),
    ],
)
def test_what_is_missing_is_the_share_of_the_limit(verdict, margin, missing):
    assert design_judge._missing(finding(verdict=verdict, margin=margin)) == missing


def test_a_design_goes_where_nothing_that_the_quick_look_judges_fails(monkeypatch):
    told = SimpleNamespace(
        findings=[finding(verdict=NO_GO, margin=-0.5), finding("x", NOT_KNOWN), finding("open")],
        flight=SimpleNamespace(lift_off_mass_kg=9.0, apogee_agl=exact(500.0)),
    )
    monkeypatch.setattr(design_judge, "readiness", lambda *_, **__: told)
    judged = design_judge.judge_design(None, {})
    assert (judged.mass_kg, judged.missing, judged.is_go, judged.apogee_m) == (9.0, 1.5, False, 500.0)
    told.findings = [finding(verdict=CAUTION), finding("open")]
    assert design_judge.judge_design(None, {}).is_go

    def refused(*_, **__):
        raise OutsideRange("cannot fly")

    monkeypatch.setattr(design_judge, "readiness", refused)
    lost = design_judge.judge_design(None, {})
    assert (lost.mass_kg, lost.missing, lost.is_go) == (0.0, 100.0, False)


@pytest.mark.parametrize(
    ("low", "missing", "is_go"), [(0.97, 0.0, True), (0.95, 0.0, True), (0.9, 0.05, False)]
)
def test_a_design_that_goes_must_also_come_down_as_meant(monkeypatch, low, missing, is_go):
    from finial.sizing.judged import Judged

    base = Judged(mass_kg=9.0, missing=0.0, is_go=True)
    monkeypatch.setattr(design_judge, "judge_design", lambda vehicle, changes, motors: base)
    monkeypatch.setattr(design_judge, "changed", lambda vehicle, changes: vehicle)
    monkeypatch.setattr(design_judge, "flight_case", lambda vehicle: "case")
    monkeypatch.setattr(design_judge, "least_odds", lambda case, wanted: low)
    wanted = design_judge.OddsWanted(share=0.95)
    found = design_judge.judge_with_odds(None, {}, wanted=wanted)
    assert (found.missing, found.is_go, found.mass_kg) == (pytest.approx(missing), is_go, 9.0)


# --------------------------------------------------------------------------------- stays


def test_stays_that_the_long_look_found_can_be_pulled_at_where_the_sheet_has_none():
    pair = SimpleNamespace(diameter_m=0.001, along_m=0.05, outward_m=0.1, preload_n=60.0)
    fins = [
        SimpleNamespace(name=name, stays=stays) for name, stays in (("a", ()), ("b", ()), ("c", ("wire",)))
    ]
    told = SimpleNamespace(pair=pair)
    proposed = (("a", None), ("b", told), ("c", told))
    studied = [SimpleNamespace(name=name, proposal=one) for name, one in proposed]
    vehicle = SimpleNamespace(sheet=SimpleNamespace(fin=fins))
    (found,) = stays_pulls(vehicle, SimpleNamespace(strength_study=SimpleNamespace(fins=studied)))
    assert (found.kind, found.name, found.now, found.most, found.step) == (
        TweakKind.STAYS,
        "b",
        0.0,
        1.0,
        1.0,
    )
    assert found.changes(1.0) == {
        ("fin", 1, "stays"): [{"diameter": "1 mm", "along": "50 mm", "outward": "100 mm", "preload": "60 N"}]
    }
    assert list(stays_pulls(vehicle, SimpleNamespace(strength_study=None))) == []
