"""Which files and which plain numbers a study leaves: one of each record, and two of them."""

import json
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from report import scenes_by_hand
from report import studies_by_hand as studies

from finial.assemble.air.results import StudyState, TunnelBeside
from finial.campaign.quantiles import Quantile
from finial.campaign.spot import Spot
from finial.findings.kept_landings import KeptLandings
from finial.findings.landing_map import LandingMap
from finial.findings.readiness import Readiness
from finial.report.campaign_files import campaign_files
from finial.report.field_map_files import field_map_files, ring
from finial.report.hollow_text import hollow_lines
from finial.report.landings_text import landings_csv, landings_sections
from finial.report.pictures.recovery_pictures import recovery_pictures
from finial.report.pictures.strength_pictures import before_and_after, strength_pictures
from finial.report.pictures.tunnel_along import tunnel_along
from finial.report.pictures.tunnel_history import tunnel_history
from finial.report.pictures.tunnel_pictures import tunnel_pictures
from finial.report.print_json import plan_plain
from finial.report.switch_moves import moves
from finial.report.tunnel_json import study_to_json

SCENES: Any = scenes_by_hand


def with_study(invented: SimpleNamespace, cases: Any, **changed: Any) -> Any:
    told = {
        "cases": cases,
        "by_station": invented.reserves,
        "shares": invented.shares,
        "fins": (invented.fin,),
        **changed,
    }
    return SimpleNamespace(strength_study=SimpleNamespace(**told), us_units=False, own_limits={})


def test_strength_has_a_picture_of_each_thing_that_it_tells(
    invented: SimpleNamespace, readiness: Readiness, drawn: dict[str, str]
) -> None:
    cases = readiness.strength.cases
    found = strength_pictures(with_study(invented, cases))
    assert found == {
        "loads.svg": drawn["strength-loads"],
        "reserves.svg": drawn["reserves"],
        "rods.svg": drawn["rods"],
        "fin-modes.svg": drawn["fin-modes"],
        "fin-swings.svg": drawn["fin-sweep"],
        "fin-height.svg": drawn["fin-envelope"],
        "fin-stays.svg": drawn["fin-stays"],
    }
    bare = replace(invented.fin, bare=None, proposal=None)
    two = strength_pictures(with_study(invented, (), shares=(), fins=(bare, invented.fin)))
    assert list(two) == [
        *("fin-modes-1.svg", "fin-swings-1.svg", "fin-height-1.svg"),
        *("fin-modes-2.svg", "fin-swings-2.svg", "fin-height-2.svg", "fin-stays-2.svg"),
    ]
    none = replace(invented.reserves, stations_m=np.array([]))
    left = strength_pictures(with_study(invented, cases, by_station=none, shares=(), fins=()))
    assert list(left) == ["loads.svg"]
    nothing: Any = SimpleNamespace(strength_study=None, us_units=False, own_limits={})
    assert strength_pictures(nothing) == {}


def test_a_fin_is_shown_before_and_after_the_stays_it_has_or_those_proposed(
    invented: SimpleNamespace,
) -> None:
    after = replace(invented.fin.held, flutter_hz=99.0)
    proposed = replace(invented.fin, bare=None, proposal=SimpleNamespace(after=after))
    assert before_and_after(invented.fin) == (invented.fin.bare, invented.fin.held)
    assert before_and_after(proposed) == (invented.fin.held, after)
    assert before_and_after(replace(invented.fin, bare=None, proposal=None)) is None


def test_recovery_has_a_picture_for_every_cord_bay_and_canopy(
    invented: SimpleNamespace, drawn: dict[str, str]
) -> None:
    def asked(tethers: Any, bursts: Any, canopies: Any) -> Any:
        study = SimpleNamespace(tethers=tethers, bursts=bursts, canopies=canopies)
        return SimpleNamespace(recovery_study=study, us_units=False)

    found = recovery_pictures(asked((invented.cord,), (invented.bay,), (invented.canopy,)))
    assert found == {
        "tension.svg": drawn["tension"],
        "zipper.svg": drawn["zipper"],
        "pressure.svg": drawn["pressure"],
        "opening.svg": drawn["opening"],
    }
    smooth = replace(invented.cord, lip=None)
    two = recovery_pictures(asked((smooth, invented.cord), (), (invented.canopy, invented.canopy)))
    assert list(two) == ["tension-1.svg", "tension-2.svg", "zipper-2.svg", "opening-1.svg", "opening-2.svg"]
    nothing: Any = SimpleNamespace(recovery_study=None, us_units=False)
    assert recovery_pictures(nothing) == {}


def blown(angle_deg: float, roll_deg: float, cells: float, *, bare: bool = False) -> Any:
    run = SCENES.tunnel_run(cells)
    run.angle_rad, run.roll_rad, run.bare = math.radians(angle_deg), math.radians(roll_deg), bare
    kept = SCENES.kept_run()
    return SimpleNamespace(**{**vars(kept), "told": run, "flow": None})


def test_a_study_of_the_tunnel_shows_its_largest_angle_at_the_first_roll_on_the_finest_grid(
    readiness: Readiness,
) -> None:
    kept = [
        blown(5.0, 0.0, 16.0),
        blown(15.0, 45.0, 16.0),
        blown(15.0, 0.0, 10.667),
        blown(15.0, 0.0, 16.0),
        blown(20.0, 0.0, 16.0, bare=True),
    ]
    kept[3].history = kept[3].history + 0.05
    beside = TunnelBeside(state=StudyState.HOLDS, rows=studies.tunnel_rows())
    found = tunnel_pictures(readiness.shape.skin, kept, beside)
    assert list(found) == [
        "tunnel-places.svg",
        "tunnel-along.svg",
        "tunnel-pressure.svg",
        "tunnel-history.svg",
    ]
    assert found["tunnel-history.svg"] == tunnel_history(kept[3])
    assert found["tunnel-history.svg"] != tunnel_history(kept[2])
    alike = [kept[3].told, kept[2].told]
    assert found["tunnel-along.svg"] == tunnel_along(alike)
    nothing = TunnelBeside(state=StudyState.TOO_FEW)
    assert tunnel_pictures(readiness.shape.skin, kept[4:], nothing) == {}


def test_a_plan_of_the_tunnel_is_plain_numbers_with_the_time_it_takes() -> None:
    run = SimpleNamespace(
        key="k",
        bare=True,
        variant="v",
        stream=SimpleNamespace(angle_rad=0.1, roll_rad=0.2),
        fineness=SimpleNamespace(cells=16.0),
    )
    plan: Any = SimpleNamespace(
        vehicle="light", runs=(run,), repeats=4, flight_reynolds=1e6, fin_cells=(2.5,), leaks=(("nose", 3),)
    )
    cost: Any = SimpleNamespace(cells=1000, updates=5e9, memory_bytes=64)
    failed: Any = (SimpleNamespace(run=run, why="burst"),)
    told = json.loads(study_to_json(plan, (cost, 1e8), {}, failed))
    assert told["plan"]["left"] == {
        "cells": 1000,
        "updates": 5e9,
        "memory_bytes": 64,
        "updates_per_s": 1e8,
        "time_s": 50.0,
    }
    assert told["failed"] == [{"key": "k", "angle_rad": 0.1, "cells": 16.0, "why": "burst"}]
    assert told["plan"]["runs"][0]["roll_rad"] == 0.2
    assert told["plan"]["leaks"] == [{"part": "nose", "open_edges": 3}]
    unmeasured = json.loads(study_to_json(plan, (cost, None), {}, ()))
    assert unmeasured["plan"]["left"]["time_s"] is None


def test_a_print_plan_is_plain_numbers_in_si() -> None:
    plan = SCENES.print_plan()
    for one in plan.pieces:
        one.lying = SimpleNamespace(
            size_m=(0.04, 0.02, 0.1),
            up=(1.0, 0.0, 0.0),
            turned_rad=0.5,
            matrix=np.eye(3),
            overhang_m2=1e-3,
            first_layer_m2=8e-4,
        )
        one.corner_m, one.plastic_m3, one.is_made = (0.0, 0.1, 0.2), 1e-5, one.number == 2
        one.sound, one.mark = SimpleNamespace(volume_mm3=80000.0), None
        one.effort.time = one.effort.filament_m = one.effort.mass
    joint = SimpleNamespace(
        part="tail",
        turned=SimpleNamespace(value="along"),
        station_m=0.15,
        roll_rad=0.3,
        kind=SimpleNamespace(value="glue"),
        wanted=SimpleNamespace(value="dowels"),
        glue_area_m2=4e-4,
        dowels=3,
        dowel_diameter_m=0.003,
        dowel_depth_m=0.008,
        at_ledge=True,
        demand=0.4,
        reserve=SimpleNamespace(low=math.inf, mode=None),
        through=(SimpleNamespace(why=SimpleNamespace(value="rod"), name="M6"),),
    )
    reserve = SimpleNamespace(low=2.5, mode=SimpleNamespace(value="wall"))
    learned = SimpleNamespace(
        mass=studies.guess(1.0, 0.9, 1.2), time=studies.guess(1.1, 1.0, 1.3), weighed=2, timed=1
    )
    whole: Any = SimpleNamespace(
        **vars(plan),
        bed_m=(0.2, 0.21, 0.22),
        clearance_m=2e-4,
        clearance_measured=True,
        joints=(joint, SimpleNamespace(**{**vars(joint), "reserve": None})),
        strength=SimpleNamespace(before=reserve, after=None, unheld=("tail",)),
        learned=learned,
        thin=("nose",),
        drawn_thin=(SimpleNamespace(part="nose", station_m=0.02, share=0.4),),
        holes=(SimpleNamespace(name="bore", across_m=0.006),),
        left_out=("shell",),
    )
    told = plan_plain(whole)
    first, second, third = told["pieces"]
    assert (first["piece"], first["of"], first["made"], first["numbered"]) == (1, 1, False, None)
    assert (second["piece"], second["of"], second["made"], third["piece"]) == (1, 2, True, 2)
    assert first["volume_m3"] == pytest.approx(8e-5)
    assert first["mass_kg"] == {"value": 0.05, "low": 0.04, "high": 0.2, "known_by": "computed"}
    assert (first["up"], first["turned_rad"], first["corner_m"]) == ([1.0, 0.0, 0.0], 0.5, [0.0, 0.1, 0.2])
    assert told["strength"] == {"before": {"low": 2.5, "mode": "wall"}, "after": None, "unheld": ["tail"]}
    assert [one["reserve"] for one in told["joints"]] == [{"low": None, "mode": None}, None]
    assert told["joints"][0]["through"] == [{"what": "rod", "name": "M6"}]
    assert told["drawn_thin"] == [{"part": "nose", "station_m": 0.02, "share": 0.4}]
    assert (told["learned"]["weighed"], told["learned"]["time"]["high"]) == (2, 1.3)
    assert plan_plain(SimpleNamespace(**{**vars(whole), "strength": None}))["strength"] is None  # type: ignore[arg-type]


def test_a_hollow_mesh_is_told_by_what_was_taken_out_and_its_walls() -> None:
    made = SimpleNamespace(cavity_m3=3e-4, cavities=2, middle_m=0.0021, thinnest_m=0.0018)
    piece: Any = SimpleNamespace(notes=("welded 3 corners",), bodies=2, before_m3=4e-4, made=made)
    told = [line.text for line in hollow_lines(piece, "a.stl", us_units=False)]
    assert told[1:9] == [
        "Hollow: a.stl",
        "-------------",
        "  read          2 bodies united",
        "  mended        welded 3 corners",
        "  solid before  400 cm3",
        "  taken out     300 cm3",
        "  cavities      2",
        "  wall          2.10 mm in the middle, 1.80 mm at the thinnest",
    ]
    one: Any = SimpleNamespace(**{**vars(piece), "bodies": 1, "notes": ()})
    assert "  read          one body" in [line.text for line in hollow_lines(one, "a.stl", us_units=False)]


def landed(**changed: Any) -> LandingMap:
    landings = np.array([[300.0, 400.0], [320.123, 380.0], [280.0, 430.0], [300.0, 390.0]])
    told: dict[str, Any] = {
        "name": "light",
        "us_units": False,
        "pad_rad": (0.8, 0.2),
        "spot": Spot(field_radius_m=900.0),
        "marks": (),
        "minimum_m": 61.0,
        "wind_m_s": 3.0,
        "wind_from_rad": 3.9,
        "landings_m": landings,
        "bare_m": np.array([[3.0, 4.0], [30.0, 40.0]]),
        "ellipse": None,
    }
    return LandingMap(**{**told, **changed})


def test_landings_of_a_campaign_are_a_page_and_a_table() -> None:
    kept = KeptLandings(
        drawn=landed(),
        flights=4,
        within=Quantile(share=0.95, value=520.0, low=None, high=None),
        odds=(),
        unasked=(),
        on_marks=(),
    )
    down, under = landings_sections(kept)
    assert dict(down.facts)["95 % come down within"] == "520 m of the pad"
    assert dict(down.facts)["walk from the pad"] == "500 m towards 037 deg true"
    assert under.notes == ("The field's file tells of no people, roads or buildings.",)
    assert landings_csv(kept).splitlines()[:3] == ["east_m,north_m", "300.0,400.0", "320.12,380.0"]


def test_a_map_is_drawn_on_the_earth_where_the_pad_is_known() -> None:
    assert list(field_map_files(landed(pad_rad=None))) == ["map.svg"]
    files = field_map_files(landed())
    assert list(files) == ["map.svg", "map.geojson", "map.kml"]
    names = [one["properties"].get("name") for one in json.loads(files["map.geojson"])["features"]]
    assert "without a canopy, the farthest flight" in names
    assert "least distance of people by the code" in names
    never = json.loads(field_map_files(landed(bare_m=None))["map.geojson"])
    told = [one["properties"].get("name") for one in never["features"]]
    assert "without a canopy, the farthest flight" not in told
    circle = ring(50.0)
    assert len(circle) == 73
    np.testing.assert_allclose(np.hypot(*circle.T), np.full(73, 50.0))
    np.testing.assert_array_equal(circle[0], circle[-1])


def test_a_campaign_leaves_a_picture_of_each_spread_and_maps_where_the_pad_is_known(
    invented: SimpleNamespace,
) -> None:
    results = {
        "apogee_m": np.linspace(400.0, 500.0, 60),
        "rail_exit_speed_m_s": np.full(60, np.nan),
        "max_alpha_rad": np.linspace(0.1, 0.2, 60),
        "max_acceleration_m_s2": np.linspace(80.0, 98.0665, 60),
    }

    def landings_m(*, sound: bool) -> Any:
        return invented.landings if sound else None

    def first(most: int) -> Any:
        return SimpleNamespace(landings_m=landings_m, results=results, count=min(60, most))

    flown: Any = SimpleNamespace(first=first, count=60)
    answer: Any = studies.campaign(invented.parts)
    files = campaign_files("light", flown, answer, Spot(field_radius_m=900.0), None, us_units=False)
    assert list(files) == [
        *("answer.json", "landings.svg", "apogee.svg", "max-alpha.svg", "acceleration.svg"),
        *("decides-apogee.svg", "decides-rail-exit-speed.svg"),
    ]
    assert "apogee above ground" in files["decides-apogee.svg"]
    mapped = campaign_files("light", flown, answer, Spot(field_radius_m=900.0), (0.8, 0.2), us_units=True)
    assert list(mapped)[-2:] == ["landings.geojson", "landings.kml"]
    assert "apogee above ground, ft" in mapped["apogee.svg"]
    assert "the first" not in mapped["apogee.svg"]
    more: Any = SimpleNamespace(first=first, count=10**9)
    told = campaign_files("light", more, answer, Spot(field_radius_m=900.0), None, us_units=False)
    assert "the first 60 flights" in told["apogee.svg"]


@pytest.mark.parametrize(
    ("kind", "rest", "arms", "off"),
    [
        ("Pull pin", None, "drawn", "pin in"),
        ("pull pin", "open", "pushed in, and it stays in", "pin out"),
        ("magnetic switch", "closed", "magnet taken away", "magnet on"),
        ("magnetic switch", None, "switched on by its magnet", "switched off by its magnet"),
        ("screw switch", None, "screwed home", "screw out"),
        ("key switch", None, "switched on", "switched off"),
    ],
)
def test_a_hand_does_to_a_switch_what_its_kind_asks(kind: str, rest: str | None, arms: str, off: str) -> None:
    switch: Any = SimpleNamespace(kind=kind, rest=rest)
    found = moves(switch)
    assert (found.arms, found.off) == (arms, off)
