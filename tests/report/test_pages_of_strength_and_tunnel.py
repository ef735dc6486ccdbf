"""Whole pages of the long look at strength and of a study of the tunnel, each read once against its scene."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
from report import studies_by_hand as studies
from report.as_drawn import BOTH, same_as_told

from finial.assemble.air.results import StudyState, TunnelBeside
from finial.assemble.strength.records import BarsWorth
from finial.assemble.strength.results import HeatCase, Place, PreloadRow
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.lines import section_lines
from finial.report.sections.strength_study import (
    cases_section,
    heat_section,
    layers_section,
    reserves_section,
    rods_section,
)
from finial.report.sections.tunnel import tunnel_section
from finial.report.sections.tunnel_ranking import ranking_section
from finial.report.shown import Shown
from finial.report.tunnel_text import plan_lines, study_lines
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import FailureMode, Reserve

HERE = Path(__file__).parent / "drawn"
guess = studies.guess
GUST, THRUST = Case(load=Load.RAIL_WIND), Case(load=Load.MAX_THRUST)


def page(sections: list[ReportSection]) -> str:
    lines = [line.text for one in sections for line in section_lines(one, width=120)]
    right = [f"{one.key}: {[table.numbers for table in one.tables]}" for one in sections]
    return "\n".join([*lines, "", *right])


def reserve(mode: FailureMode, station_m: float, ends: tuple[float, float, float], case: Case) -> Reserve:
    return Reserve(
        mode=mode,
        station_m=station_m,
        dimension=Dimension.PRESSURE,
        load=guess(1e6, 9e5, 1.2e6),
        strength=guess(2e6, 1.5e6, 3e6),
        reserve=guess(*ends),
        subject="M6" if mode is FailureMode.ROD_PULLED else "tail",
        case=case,
    )


def long_look() -> Any:
    """Walls short in the wind, rods well held, a second wall better held; preload, heat and bars."""
    names = ("hot_n", "cold_n", "day_n", "cooled_n")
    day = {name: guess(900.0, 810.0 + 10 * n, 990.0) for n, name in enumerate(names)}
    stations = np.array([0.0, 0.6])
    pulled = replace(
        studies.loaded()[0],
        axial_n=np.array([-250.04, 100.0]),
        shear_n=np.array([30.06, -42.06]),
        bending_n_m=np.array([-4.567, 3.0]),
        torsion_n_m=np.array([0.0, 1.234]),
        stations_m=stations,
    )
    shares = [
        SimpleNamespace(
            case=case,
            rod_share=0.352,
            station_m=0.6,
            pulled_with=guess(3.0, 2.5, 4.0),
            pulled_without=without,
        )
        for case, without in ((GUST, guess(1.5, 1.2, 2.0)), (THRUST, None))
    ]
    return SimpleNamespace(
        cases=(pulled, studies.loaded()[1]),
        reserves=(
            reserve(FailureMode.WALL_PULLED, 0.3, (1.4, 1.2, 1.9), GUST),
            reserve(FailureMode.ROD_PULLED, 0.45, (4.0, 3.5, 5.0), THRUST),
            reserve(FailureMode.WALL_PULLED, 0.2, (2.0, 1.8, 2.4), THRUST),
        ),
        wall_temperature=guess(308.15, 303.15, 318.15),
        recovery_followed=False,
        shares=shares,
        preloads=(
            PreloadRow(
                rods="M6", tightened_n=guess(1000.0, 950.0, 1100.0), left=guess(0.8, 0.7, 0.92), **day
            ),
        ),
        heat=(
            HeatCase(
                part="nose",
                place=Place.SUN,
                temperature=guess(330.0, 320.0, 340.0),
                softens=guess(340.0, 335.0, 345.0),
                margin=guess(0.0, -15.0, 15.0),
                white_cools_k=12.0,
            ),
            HeatCase(
                part="tail",
                place=Place.CAR,
                temperature=guess(330.0, 320.0, 340.0),
                softens=guess(370.0, 365.0, 375.0),
                margin=guess(30.0, 15.0, 45.0),
            ),
        ),
        layers=(
            BarsWorth(
                material="PETG",
                now=guess(2e7, 1.2e7, 3e7),
                lots=3,
                bars=5,
                with_bars=guess(2e7, 1.6e7, 2.5e7),
            ),
            BarsWorth(
                material="ASA", now=guess(1.5e7, 8e6, 2e7), lots=0, bars=5, with_bars=guess(1.5e7, 1.2e7, 2e7)
            ),
        ),
    )


@BOTH
def test_the_long_look_at_strength_is_told_worst_first(us_units: bool, us: str, readiness: Readiness) -> None:
    study, shown = long_look(), Shown(us_units=us_units)
    sections = [
        reserves_section(readiness, study, shown),
        cases_section(study, shown),
        rods_section(study, shown),
        layers_section(study, shown),
        heat_section(study, shown),
    ]
    same_as_told(page(sections), HERE / f"long-look{us}.txt")
    hard = replace(readiness, hardest_flights=3)
    followed = SimpleNamespace(**{**vars(study), "recovery_followed": True})
    facts = dict(reserves_section(hard, followed, shown).facts)  # type: ignore[arg-type]
    assert facts["loads of"].endswith("and the hardest of a campaign")
    assert facts["pulls of cords"] == "as followed in time"


def beside(*rows: Any) -> TunnelBeside:
    return TunnelBeside(
        state=StudyState.HOLDS, rows=rows, friction=guess(0.15, 0.12, 0.18), flight_reynolds=1e6
    )


@BOTH
def test_a_study_of_the_tunnel_stands_beside_the_sections(us_units: bool, us: str) -> None:
    shown = Shown(us_units=us_units)
    rows = studies.tunnel_rows()
    along = replace(rows[0], parts_most_m=(0.12, 0.24), restarts=2, section_share=0.08)
    straight = replace(rows[1], angle_rad=0.0, place=None, sections_place_m=None)
    told = [tunnel_section(beside(straight, along, *rows[1:]), shown)]
    told += [
        tunnel_section(TunnelBeside(state=state), shown)
        for state in StudyState
        if state is not StudyState.HOLDS
    ]
    same_as_told(page(told), HERE / f"tunnel-study{us}.txt")


@BOTH
def test_variants_are_ranked_two_by_two_where_both_were_blown(us_units: bool, us: str) -> None:
    shown = Shown(us_units=us_units)
    first = studies.tunnel_row(10.0, 0.0, guess(0.70, 0.69, 0.71))
    ahead = replace(
        first,
        place=guess(0.60, 0.59, 0.61),
        sections_place_m=(0.5, 0.6, 0.65),
        force=guess(0.8, 0.7, 0.9),
        sections_force=0.5,
    )
    near = replace(
        first, place=guess(0.71, 0.70, 0.72), sections_place_m=(0.7, 0.75, 0.8), force=guess(0.45, 0.41, 0.49)
    )
    unread = replace(first, place=None, sections_force=0.6)
    read = {
        "whole": beside(first, replace(first, angle_rad=0.0)),
        "ahead": beside(ahead, replace(first, angle_rad=0.0)),
        "near": beside(near),
        "unread": beside(unread),
        "other wind": beside(replace(first, roll_rad=0.5)),
    }
    section = ranking_section(read, shown)
    assert section is not None
    same_as_told(page([section]), HERE / f"ranking{us}.txt")
    assert ranking_section({"whole": read["whole"]}, shown) is None


def test_a_plan_of_the_tunnel_tells_its_runs_what_they_take_and_where_fins_are_too_thick() -> None:
    def run(angle_rad: float, roll_rad: float, cells: float, variant: str = "", *, bare: bool = False) -> Any:
        return SimpleNamespace(
            key=f"{angle_rad}{roll_rad}{cells}{bare}",
            bare=bare,
            variant=variant,
            stream=SimpleNamespace(angle_rad=angle_rad, roll_rad=roll_rad),
            fineness=SimpleNamespace(
                cells=cells, grids=3, travel_widths=24.0, eddies="smagorinsky", settling_widths=20.0
            ),
        )

    runs = tuple(run(angle, 0.0, cells) for angle in (0.0, 0.1745329) for cells in (16.0, 10.667))
    plan: Any = SimpleNamespace(
        vehicle="Small Light",
        runs=(*runs, run(0.0, 0.0, 16.0, bare=True)),
        repeats=4,
        flight_reynolds=1.234e6,
        fin_cells=(0.5, 2.5),
        leaks=(("nose", 3),),
    )
    cost: Any = SimpleNamespace(cells=1_200_000, updates=7.2e12, memory_bytes=3_000_000_000)
    told = [
        "\n".join(line.text for line in plan_lines(plan, cost, per_second, kept, width=100))
        for per_second, kept in ((1e9, 0), (None, 5))
    ]
    same_as_told("\n\n".join(told), HERE / "tunnel-plan.txt")


def test_what_was_blown_tells_what_was_lost_and_why() -> None:
    failed: Any = SimpleNamespace(
        run=SimpleNamespace(
            key="k",
            bare=False,
            variant="",
            stream=SimpleNamespace(angle_rad=0.1745329, roll_rad=0.0),
            fineness=SimpleNamespace(cells=16.0),
        ),
        why="the lattice burst",
    )
    rows = studies.tunnel_rows()[:2]
    turned = (replace(row, force=guess(0.2, 0.1, 0.3), sections_force=0.3) for row in rows)
    read: dict[str, TunnelBeside] = {
        "whole": beside(*rows),
        "bare": beside(rows[0]),
        "variant stout": beside(*turned),
    }
    studied: Any = SimpleNamespace(failed=(failed,), elsewhere=2)
    lines = study_lines(read, studied, us_units=False, width=110)
    told = "\n".join(line.text for line in lines).split("\n\nCaution\n")[0]
    same_as_told(told, HERE / "tunnel-read.txt")
    alone: Any = SimpleNamespace(failed=(), elsewhere=0)
    said = " ".join(line.text for line in study_lines({"whole": read["whole"]}, alone, us_units=False))
    assert "lost at" not in said
    assert "another process" not in said
