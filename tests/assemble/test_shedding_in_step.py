"""Ledges in step with fins and walls: pairs by hand on made-up fins behind a real ledge."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.aero.body import body_air
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.aero.shedding import ShedderKind
from finial.assemble.air.sections import TunnelSwing
from finial.assemble.strength import shedding
from finial.assemble.strength.records import InStep, Swinger
from finial.assemble.strength.shedding import ShedScene, in_step
from finial.core.estimates import KnownBy, exact, spread
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.strength_study_rules import strength_study_findings
from finial.report.finding_words import title, why

LEDGE = [(0.0, 0.0), (0.3, 0.1), (0.4, 0.14), (0.42, 0.14), (0.42, 0.1), (1.5, 0.1)]
"""A ledge of 20 mm at 0.42 m."""


@pytest.fixture(scope="module")
def body():
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), LEDGE))


def fin(hertz: float, *, station_m: float = 0.6, stress_pa: float | None = 1e6):
    """A fin whose first mode swings so often; it bears 30 times the 1000 Pa that stress it by 1 MPa."""
    stress = None if stress_pa is None else exact(stress_pa)
    return SimpleNamespace(
        name="fins",
        station_m=station_m,
        outline_m=np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]]),
        held=SimpleNamespace(stress=stress, frequencies_hz=np.array([hertz, 1e5, 1e5])),
        strength=exact(30e6),
        pressed_pa=1000.0,
    )


@pytest.fixture
def found(body, monkeypatch):
    monkeypatch.setattr(shedding, "wall_cuts", lambda build: ())
    monkeypatch.setattr(shedding, "build_of", lambda vehicle: None)

    def look(*fins, top_m_s: float = 100.0, swing: TunnelSwing | None = None):
        return in_step(
            ShedScene(
                vehicle=SimpleNamespace(body=body, skin=body.skin),
                fins=fins,
                rows=(),
                top_speed=exact(top_m_s),
                pressure_pa=1000.0,
                density_kg_m3=1.2,
                swing=swing,
            )
        )

    return look


def test_speed_and_reserve_by_hand(found) -> None:
    (one,) = found(fin(400.0))
    # 400 Hz x 20 mm / 0.2 = 40 m/s: 960 Pa, times 2.5 in step, against 30 kPa.
    assert one.speed.value == pytest.approx(40.0, rel=0.02)
    assert one.reserve.value == pytest.approx(30e3 / (2.5 * 960.0), rel=0.04)
    assert one.reserve.low < one.reserve.value < one.reserve.high
    assert (one.swinger, one.source_m) == (Swinger.FIN, pytest.approx(0.42))


def test_no_faster_than_it_flies(found) -> None:
    assert found(fin(400.0), top_m_s=25.0) == ()
    (one,) = found(fin(400.0), top_m_s=35.0)
    assert one.reserve.value == pytest.approx(30e3 / (2.5 * 735.0), rel=0.02)


def test_only_what_stands_in_the_wake_is_shaken(found) -> None:
    assert found(fin(400.0, station_m=0.1)) == ()
    assert found(fin(400.0, station_m=1.3)) == ()


def test_a_fin_past_divergence_is_not_known(found) -> None:
    (one,) = found(fin(400.0, stress_pa=None))
    assert one.reserve is None


def test_the_whole_shape_sheds_as_the_tunnel_saw_it(found, body) -> None:
    skin = body.skin
    swing = TunnelSwing(strouhal=(0.1, 0.15, 0.2), force=0.05)
    # Ahead of the ledge, and too slow for it: the whole shape alone reaches there.
    (one,) = found(fin(40.0, station_m=0.1), swing=swing)
    assert one.source is ShedderKind.WHOLE
    assert (one.source_m, one.height_m) == (0.0, pytest.approx(skin.width_m))
    speed = 40.0 * skin.width_m / 0.15
    assert one.speed.value == pytest.approx(speed)
    assert one.speed.high == pytest.approx(1.1 * 40.0 * skin.width_m / 0.1)
    # Its amplitude over the side that it shows, swung up 25 times by 2 % of critical damping.
    side = np.trapezoid(2 * np.sqrt(skin.areas_m2 / np.pi), skin.stations_m)
    push = math.sqrt(2.0) * 0.05 * skin.reference_area_m2 / side * 25.0
    assert one.reserve.value == pytest.approx(30e3 / (push * 0.6 * speed**2), rel=1e-3)


def test_the_whole_shape_sheds_nothing_that_nobody_saw(found) -> None:
    assert found(fin(40.0, station_m=0.1)) == ()


def pair(reserve: float | None) -> InStep:
    held = None if reserve is None else spread(reserve, 0.5, known_by=KnownBy.ASSUMED)
    return InStep(
        swinger=Swinger.WALL,
        name="lantern",
        source=shedding.shedders(body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), LEDGE)))[0].kind,
        source_m=0.42,
        height_m=0.02,
        frequency_hz=exact(400.0),
        speed=exact(40.0),
        reserve=held,
    )


@pytest.mark.parametrize(
    ("reserve", "verdict"),
    [(3.1, Verdict.GO), (2.9, Verdict.CAUTION), (0.5, Verdict.CAUTION), (None, Verdict.NOT_KNOWN)],
)
def test_it_is_a_caution_at_worst(reserve: float | None, verdict: Verdict) -> None:
    study = SimpleNamespace(reserves=(), fins=(), heat=(), in_step=(pair(reserve),))
    (found,) = [one for one in strength_study_findings(study, Limits(own={})) if one.key == "sheds-in-step"]
    assert found.verdict is verdict
    assert title(found) == "wall of lantern shaken by vortices, strength over load"
    assert "ledge of 20 mm at 420 mm sheds vortices as often as the wall swings, 400 Hz" in why(found)


def test_nothing_in_step_is_said() -> None:
    study = SimpleNamespace(reserves=(), fins=(), heat=(), in_step=())
    told = strength_study_findings(study, Limits(own={}))
    (found,) = [one for one in told if one.key == "nothing-sheds-in-step"]
    assert found.verdict is Verdict.GO
    assert all(one.key != "sheds-in-step" for one in told)
    assert title(found) == "fins and walls shaken by vortices"
    # Nothing of one pair is left in its words: the page says why to every check, met or not.
    assert why(found).startswith("No fin or wall swings as often")


def test_a_wall_bears_what_its_reserve_says() -> None:
    # A reserve of 2 against suction of 0.3 to 1 of 1000 Pa: 1300 Pa, whatever the suction was.
    strength, load = 1300.0, 650.0
    reserve = replace(exact(strength / load), low=strength / 1000.0, high=strength / 300.0)
    assert shedding._borne(reserve, 1000.0).value == pytest.approx(strength)
    assert math.isclose(shedding._borne(reserve, 1000.0).low, strength)


def test_a_printed_flat_behind_the_ledge_swings_between_edges_that_hold_and_that_clamp(body, monkeypatch):
    """A square, Leissa 1969 (from memory): 19.74 and 35.99 over its side squared, root of D over mass."""
    side, wall, modulus, density = 0.08, 0.002, 2.0e9, 1270.0
    stuff = SimpleNamespace(
        modulus_pa=exact(modulus), poisson=0.35, density_kg_m3=exact(density), yield_pa=exact(40e6)
    )
    spec = SimpleNamespace(name="tower", print=SimpleNamespace(), material="PETG")
    cut = SimpleNamespace(
        joint=False,
        part=SimpleNamespace(spec=spec),
        station_m=0.6,
        sandwich=None,
        infill=0.0,
        area=SimpleNamespace(wall_m=wall, flat_width_m=side),
        flat_length_m=side,
    )
    monkeypatch.setattr(shedding, "build_of", lambda vehicle: None)
    monkeypatch.setattr(shedding, "wall_cuts", lambda build: (cut,))
    monkeypatch.setattr(shedding, "sheet_material", lambda sheet, name: stuff)
    scene = ShedScene(
        vehicle=SimpleNamespace(body=body, skin=body.skin, sheet=None),
        fins=(),
        rows=(),
        top_speed=exact(1e4),
        pressure_pa=1000.0,
        density_kg_m3=1.2,
        swing=None,
    )
    (met, *_) = in_step(scene)
    stiffness = math.sqrt(modulus * wall**3 / 12 / (1 - 0.35**2) / (density * wall)) / (2 * math.pi * side**2)
    assert met.frequency_hz.value == pytest.approx(35.99 * stiffness, rel=5e-3)
    assert met.frequency_hz.low == pytest.approx((1 - shedding.MODE_ERROR) * 19.74 * stiffness, rel=5e-3)
    assert met.frequency_hz.high == pytest.approx((1 + shedding.MODE_ERROR) * 35.99 * stiffness, rel=5e-3)
