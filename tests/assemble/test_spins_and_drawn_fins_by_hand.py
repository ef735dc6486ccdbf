"""On paper: how flights spin and swing, which plates of a mesh are fins, and the sides of a cut."""

from types import SimpleNamespace

import pytest

from finial.assemble.flights import outcome
from finial.assemble.prints import plan
from finial.assemble.vehicle import mesh_fins
from finial.printing.frames import Plane


def flown(told):
    """Flights whose traces are what is told of them."""
    given = SimpleNamespace(air_table=None, mass=None, thrust=SimpleNamespace(ignition_delay_s=0.25))
    named = {name: one for name, one in told.items() if name != "askew"}
    return SimpleNamespace(
        named=named,
        every=tuple(named.values()),
        inputs=dict.fromkeys(named, given),
        askew=told.get("askew"),
        askew_inputs=given,
    )


def spinning(ratio, *, passes=False, fastest=1.0):
    return SimpleNamespace(
        ratio=ratio,
        roll_rad_s=10.0 * ratio,
        pitch_rad_s=10.0,
        time_s=ratio,
        fastest_rad_s=fastest,
        passes=passes,
    )


def told_as_it_is(trace, _air, _mass, delay_s):
    assert delay_s == 0.25
    return trace


def test_the_spin_of_all_flights_is_that_of_the_one_nearest_to_its_pitch(monkeypatch):
    monkeypatch.setattr(outcome, "spin", told_as_it_is)
    some = {
        "nominal": spinning(0.4, passes=True),
        "weak": spinning(0.2, fastest=7.0),
        "askew": spinning(0.9),
    }
    found = outcome._spinning(flown(some))
    assert (found.ratio.low, found.ratio.value, found.ratio.high) == (0.2, 0.4, 0.9)
    assert (found.roll_rad_s, found.pitch_rad_s, found.time_s) == (9.0, 10.0, 0.9)
    assert found.fastest_rad_s == 7.0
    assert found.passes
    never = outcome._spinning(flown({"nominal": spinning(0.4), "askew": spinning(0.5)}))
    assert not never.passes
    # Nothing brings the weak one back: the ratio has no end, and a hundred stands for it.
    endless = outcome._spinning(flown({**some, "weak": spinning(float("inf"))}))
    assert (endless.ratio.high, endless.time_s) == (100.0, float("inf"))
    for name in some:
        assert outcome._spinning(flown({**some, name: None})) is None


def test_the_steady_angle_is_that_of_every_flight_and_the_one_askew(monkeypatch):
    monkeypatch.setattr(outcome, "steady_angle", lambda trace: trace)
    found = outcome._steady(flown({"nominal": 0.02, "weak": 0.01, "askew": 0.05}))
    assert (found.low, found.value, found.high) == (0.01, 0.02, 0.05)
    assert outcome._steady(flown({"nominal": 0.02, "askew": None})) is None


def swinging(damping, least, wave=5.0):
    return SimpleNamespace(damping_ratio=damping, least_ratio=least, wavelength_m=wave, time_s=100 * damping)


def test_the_swing_is_damped_from_the_least_of_all_to_the_most(monkeypatch):
    monkeypatch.setattr(outcome, "swing", told_as_it_is)
    found = outcome._swinging(
        flown({"nominal": swinging(0.08, 0.06), "weak": swinging(0.05, 0.09, wave=8.0)})
    )
    damping, wave = found.damping_ratio, found.wavelength
    assert (damping.low, damping.value, damping.high) == (0.05, 0.08, 0.09)
    assert (wave.low, wave.value, wave.high) == (5.0, 5.0, 8.0)
    assert found.time_s == pytest.approx(5.0)
    for unknown in (None, swinging(0.05, None)):
        assert outcome._swinging(flown({"nominal": swinging(0.08, 0.06), "weak": unknown})) is None


def test_it_gallops_from_the_least_angle_of_any_flight(monkeypatch):
    monkeypatch.setattr(outcome, "galloping_angles", lambda trace, _air, _mass, _driving, delay_s: trace)
    monkeypatch.setattr(outcome, "_driving", lambda body: body)
    vehicle = SimpleNamespace(body=None)
    found = outcome._galloping(vehicle, flown({"nominal": (0.2, 0.3, 0.4), "weak": (0.1, 0.35, 0.6)}))
    assert (found.low, found.value, found.high) == (0.1, 0.3, 0.6)
    assert outcome._galloping(vehicle, flown({"nominal": (0.2, 0.3, 0.4), "weak": None})) is None


@pytest.mark.parametrize(
    ("thin", "thick", "given", "share", "sure", "odd"),
    [
        # What is thick and in no sheet is both, from a tenth of the width on.
        ("a", "b", "", 0.5, "a", "b"),
        ("", "b", "", 0.5, "", "b"),
        # As thin as fins are, it is one.
        ("a", "b", "", 0.0, "ab", ""),
        ("", "b", "", 0.0, "b", ""),
        # The sheet says that the thick ones are fins: they are given, and come off the body.
        ("", "b", "b", 0.5, "", ""),
        ("", "bc", "b", 0.5, "c", ""),
        # Beside thin ones of the mesh, what is thick stays both.
        ("a", "bc", "b", 0.5, "a", "c"),
        ("a", "b", "a", 0.5, "", "b"),
    ],
)
def test_who_is_a_fin_and_who_is_both(monkeypatch, thin, thick, given, share, sure, odd):
    def split(names):
        body = SimpleNamespace(without=names, notes=())
        return SimpleNamespace(fins=tuple(names), body=body, notes=(), thickest_m=(0.02,))

    answers = iter([split(thin), split(thick)])
    monkeypatch.setattr(mesh_fins, "bare_plates", lambda _meshes, _sections: ())
    monkeypatch.setattr(mesh_fins, "_split", lambda *_asked: next(answers))
    monkeypatch.setattr(mesh_fins, "_share_of_body", lambda *_asked: share)
    monkeypatch.setattr(mesh_fins, "_same_place", lambda fin, known: fin == known)
    monkeypatch.setattr(mesh_fins, "_notes", lambda _thin, _thick, sure, odd: ("".join((*sure, "/", *odd)),))
    monkeypatch.setattr(mesh_fins, "edge_bluntness", lambda _fin, _shapes: None)
    monkeypatch.setattr(mesh_fins, "_fin_set", lambda fin, number, _edges: f"{fin}{number}")
    monkeypatch.setattr(mesh_fins, "replace", lambda one, **new: SimpleNamespace(**{**vars(one), **new}))
    skin = SimpleNamespace(sections=(), notes=("mended",))
    found = mesh_fins.parted(skin, (), tuple(given))
    assert found.body.notes == ("mended", f"{sure}/{odd}")
    assert found.fins == tuple(f"{fin}{number}" for number, fin in enumerate(sure + odd, start=1))
    assert (found.thick is None) == (not odd)
    if odd:
        # The body without them, and the one with them in it.
        assert (found.body.without, found.thick.body.without) == (thick, thin)
        assert (found.thick.share, found.thick.fins) == (share, found.fins[: len(sure)])


def test_a_cut_has_two_sides_which_look_away_from_one_another():
    away, same = plan._sides(Plane(normal=(0.0, 0.6, -0.8), offset_m=0.25))
    assert (away.normal, away.offset_m) == ((0.0, -0.6, 0.8), -0.25)
    assert (same.normal, same.offset_m) == ((0.0, 0.6, -0.8), 0.25)


@pytest.mark.parametrize(
    ("normal", "offset_m", "same"),
    [
        ((1.0, 0.0, 0.0), -0.3, True),
        ((-1.0, 0.0, 0.0), 0.3, False),
        ((1.0, 0.0, 0.0), -0.3 + 2e-6, False),
        ((0.0, 1.0, 0.0), -0.3, False),
    ],
)
def test_an_end_is_a_cut_where_it_lies_in_its_plane(normal, offset_m, same):
    fore = Plane(normal=(1.0, 0.0, 0.0), offset_m=-0.3)
    assert plan._same(fore, Plane(normal=normal, offset_m=offset_m)) is same
