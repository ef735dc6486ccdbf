"""Whole pages of text and tables of studies in round numbers, each read once against its scene."""

import io
import math
import zipfile
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from report import scenes_by_hand
from report import studies_by_hand as studies
from report.as_drawn import BOTH, page, same_as_drawn, same_as_told, text

from finial.assemble.inside.lengthwise import CutThing, LengthwiseTemplate
from finial.assemble.inside.results import InsideResult
from finial.assemble.mass.bill import BillKind, BillRow
from finial.assemble.prints.samples import Sample, SampleKind
from finial.assemble.start.photos import FacadeStorey
from finial.assemble.start.tower import DrawnPart
from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy
from finial.findings.finding import Change, Verdict
from finial.findings.mending import Mend
from finial.findings.readiness import Readiness
from finial.printing.numbers import Marking
from finial.printing.sound import Sound
from finial.report.bill_text import bill_csv, bill_lines
from finial.report.document import ReportSection
from finial.report.drawings.as_svg import svg
from finial.report.drawings.lengthwise import lengthwise_drawing
from finial.report.drawings.shapes import DrawnOutline, Ink
from finial.report.photo_tower import tower_drawing
from finial.report.pictures.station_cut import station_cut
from finial.report.print_files import pieces_csv, plan_files
from finial.report.samples_text import sample_files
from finial.report.scale_text import scale_lines, scale_plain
from finial.report.search_text import front_csv, judged_words, search_lines, search_plain
from finial.report.sections.at_station import station_section, station_words
from finial.report.sections.sensing import sensing_tables
from finial.report.shown import Shown
from finial.report.size_text import mend_lines, mend_plain
from finial.report.tower_text import tower_files, tower_lines
from finial.shape.facade import SeveralPhotos
from finial.sizing.judged import Aim, Judged

scenes: Any = scenes_by_hand
HERE = Path(__file__).parent / "drawn"
METRIC, US = Shown(us_units=False), Shown(us_units=True)
guess = studies.guess


@BOTH
def test_what_a_search_found_stands_above_its_front(us_units: bool, us: str) -> None:
    found, asked = studies.searched()
    told = [
        text(search_lines(one, studies.looked_whole(one), asked, Shown(us_units=us_units)))
        for one in (found, studies.flown(found), replace(found, front=()))
    ]
    same_as_told("\n".join(told), HERE / f"search{us}.txt")


def test_a_search_is_plain_numbers_in_si_for_json_and_for_tables() -> None:
    found, asked = studies.searched()
    flown = studies.flown(found)
    told = search_plain(flown, studies.looked_whole(flown), asked)
    assert told["front"][1] == {
        "mass_kg": 6.0,
        "apogee_m": 900.0,
        "odds": 0.8,
        "is_go": False,
        "whole_look": None,
        "near": {"judged": 1, "foretold": None},
        "values": {"ballast lead": 1.0, "span fins": 1.0, "motor": "short K"},
    }
    assert {name: told[name] for name in ("is_go", "missing", "judged_designs", "left_out")} == {
        "is_go": True,
        "missing": 0.0,
        "judged_designs": 40,
        "left_out": 7,
    }
    off = "judged_near,foretold_near,off_typical,off_largest,missing_off_largest"
    assert front_csv(found, studies.looked_whole(found), asked).splitlines() == [
        f"number,ballast lead,span fins,motor,mass_kg,apogee_m,odds,is_go,whole_look,{off}",
        "1,0.5,0.9,long K,5.0,800.0,,yes,caution,1,1,0.012,0.012,0.02",
        "2,1.0,1.0,short K,6.0,900.0,,no,,1,0,,,",
        "3,2.0,1.15,short K,8.0,1000.0,,no,not known,1,1,0.3,0.3,0.5",
    ]
    assert ",0.975,no,not known," in front_csv(flown, studies.looked_whole(flown), asked).splitlines()[3]


@pytest.mark.parametrize(
    ("judged", "aim", "told"),
    [
        (Judged(mass_kg=5.0, missing=0.0, is_go=True, apogee_m=812.0), Aim.HIGHEST, "812 m"),
        (Judged(mass_kg=5.0, missing=0.0, is_go=True, apogee_m=812.0), Aim.LIGHTEST, "5 kg"),
        (Judged(mass_kg=5.0, missing=0.256, is_go=False), Aim.HIGHEST, "no go yet, 0.26 missing"),
    ],
)
def test_a_design_is_told_by_what_is_sought_or_missing(judged: Judged, aim: Aim, told: str) -> None:
    assert judged_words(judged, aim, METRIC) == told


def cut_vehicle(readiness: Readiness, us_units: bool) -> tuple[Readiness, InsideResult]:
    inside = studies.inside_on_rail()
    parts = (
        SimpleNamespace(name="nose", walls=SimpleNamespace(wall_m=0.0012, infill=0.15)),
        SimpleNamespace(name="tail", walls=None),
    )
    inside = replace(inside, cavity=replace(inside.cavity, parts=parts))
    strength = replace(readiness.strength, by_station=studies.judged_stations(), cases=studies.loaded())
    shape = replace(readiness.shape, fins=(replace(scenes.plate_fins(), station_m=0.45),))
    return replace(readiness, us_units=us_units, inside=inside, strength=strength, shape=shape), inside


@BOTH
def test_one_station_tells_areas_walls_things_loads(us_units: bool, us: str, readiness: Readiness) -> None:
    # Walls of 5 mm round 60 by 60 mm: 1100 of 3600 mm2; 1000 N a metre of station along the axis.
    whole, inside = cut_vehicle(readiness, us_units)
    told: list[str] = []
    for station in (0.1, 0.3, 0.5, 0.6):
        cut = station_cut(inside, station)
        told += [page(station_section(whole, cut)), station_words(whole, cut)]
    same_as_told("\n".join(told), HERE / f"at-stations{us}.txt")


def changed(shape: Any, **told: Any) -> Any:
    return SimpleNamespace(**{**vars(shape), **told})


@BOTH
def test_one_shape_at_two_heights_is_a_table(us_units: bool, us: str) -> None:
    shape: Any = SimpleNamespace(
        name="Small Light", length_m=1.5, thrust_to_weight=5.0, motors=("a motor",), room=None, launch=None
    )
    models = studies.models()
    told = [
        scale_lines(shape, models, us_units=us_units, width=118),
        scale_lines(
            changed(shape, room="a room", launch="a rail"),
            models[:1],
            us_units=us_units,
        ),
        scale_lines(changed(shape, motors=()), models[1:], us_units=us_units),
    ]
    same_as_told("\n".join(map(text, told)), HERE / f"scale{us}.txt")


def test_one_shape_at_two_heights_is_plain_numbers() -> None:
    shape: Any = SimpleNamespace(name="Small Light", length_m=1.5, thrust_to_weight=5.0)
    told = scale_plain(shape, studies.models())
    assert (told["vehicle"], told["drawn_m"], told["thrust_to_weight"]) == ("Small Light", 1.5, 5.0)
    first, second = told["models"]
    assert (first["height_m"], first["scale"], first["motor"], first["of_yours"], first["pieces"]) == (
        *(1.0, 0.02, ["I", "J"]),
        *("long J", 6),
    )
    ends = {
        name: (first[name]["value"], first[name]["low"], first[name]["high"])
        for name in ("dry_kg", "lift_off_kg", "impulse_ns", "thrust_to_weight", "rail_speed_m_s")
    }
    assert ends == {
        "dry_kg": (3.0, 2.8, 3.3),
        "lift_off_kg": (4.0, 3.6, 4.5),
        "impulse_ns": (600.0, 500.0, 700.0),
        "thrust_to_weight": (7.0, 6.0, 8.0),
        "rail_speed_m_s": (18.0, 16.0, 20.0),
    }
    assert (first["print_time_s"]["high"], first["margin_m"]["low"], first["margin_widths"]["high"]) == (
        45000.0,
        0.05,
        1.6,
    )
    assert {name: second[name] for name in ("of_yours", "thrust_to_weight", "rail_speed_m_s")} == {
        "of_yours": None,
        "thrust_to_weight": None,
        "rail_speed_m_s": None,
    }
    assert (second["pieces"], second["print_time_s"]) == (None, None)


def bill() -> tuple[BillRow, ...]:
    return (
        BillRow(kind=BillKind.PART, name="tower", material="PETG", mass=guess(1.2, 1.1, 1.4)),
        BillRow(
            kind=BillKind.ROD,
            name="rods",
            count=4,
            material="steel",
            detail="M6",
            cut_m=0.508,
            sides_m=(0.00635,),
            mass=replace(guess(0.5, 0.49, 0.51), known_by=KnownBy.WEIGHED),
        ),
        BillRow(kind=BillKind.FIN, name="fins", count=3, material="plywood", sides_m=(0.3, 0.2, 0.006)),
        BillRow(kind=BillKind.NUT, name="=nuts", count=8, detail="M6"),
    )


@BOTH
def test_a_bill_says_how_long_to_cut_and_what_is_to_be_weighed(us_units: bool, us: str) -> None:
    told = (text(bill_lines("Small Light", bill(), us_units=us_units, width=120)),)
    weighed = text(bill_lines("Small Light", bill()[1:2], us_units=us_units, width=120))
    same_as_told("\n".join((*told, weighed, bill_csv(bill(), us_units=us_units))), HERE / f"bill{us}.txt")


def test_test_pieces_are_files_with_what_to_do_and_where_their_number_goes() -> None:
    corners = 1e3 * scenes.box_corners((0, 0, 0), (0.01, 0.02, 0.03))
    block = Sound(vertices_mm=corners, faces=scenes.BOX_FACES, volume_mm3=6000.0)
    every = [
        Sample(kind=kind, subject=f"=of {kind.value}", place=f"a.{kind.value}", count=number, sound=block)
        for number, kind in enumerate(SampleKind, start=1)
    ]
    for shown, us in ((METRIC, ""), (US, "-us")):
        files = sample_files(every, shown)
        told = [*(f"{name} {len(content)}" for name, content in files.items()), files["tests.csv"].decode()]
        same_as_told("\n".join(told), HERE / f"samples{us}.txt")


def test_a_tower_is_files_and_a_table_from_the_ground_up() -> None:
    parts = tuple(
        DrawnPart(
            name=one.name,
            heights_m=one.heights_m,
            sides_m=one.sides_m,
            volume_m3=4e-4,
            sound=Sound(vertices_mm=one.sound.vertices_mm, faces=one.sound.faces, volume_mm3=4e5),
        )
        for one in scenes.tower_parts()
    )
    files = tower_files("two tiers", parts)
    assert list(files) == ["part-01-foot.stl", "part-02-shaft.stl", "all-parts.3mf"]
    # Twelve triangles: 84 bytes before them, 50 each.
    assert [len(files[name]) for name in list(files)[:2]] == [684, 684]
    same_as_told(text(tower_lines("two tiers", parts)), HERE / "tower-parts.txt")


@BOTH
def test_storeys_read_off_photos_are_a_drawing_to_the_scale_of_the_model(us_units: bool, us: str) -> None:
    def several(value: float, half: float, apart: float = 0.0) -> SeveralPhotos:
        return SeveralPhotos(length=guess(value, value - half, value + half), apart=apart)

    storeys = (
        FacadeStorey(
            name="foot",
            outline="square",
            foot=several(10.0, 0.1),
            top=several(8.0, 0.1),
            height=several(15.0, 0.2),
            photos=3,
        ),
        FacadeStorey(
            name="top",
            outline="octagon",
            foot=several(8.0, 0.3),
            top=several(7.9, 0.3),
            height=several(5.0, 0.2, 9.0),
            photos=1,
        ),
    )
    # 20 m in truth as 1.6 m: one in 12.5; 10 m are 800 mm or 31.496 in.
    same_as_told(tower_drawing("Old tower", storeys, 1.6, us_units=us_units), HERE / f"photo-tower{us}.txt")


@BOTH
def test_what_computers_sense_is_told_port_by_port_and_clock_by_clock(us_units: bool, us: str) -> None:
    tables = sensing_tables(studies.sensing(), Shown(us_units=us_units))
    section = ReportSection(key="sensing", title="Sensing", tables=tables)
    told = [page(section), *(f"{one.title}: {one.numbers}" for one in tables)]
    same_as_told("\n".join(told), HERE / f"sensing{us}.txt")


def made_pieces() -> Any:
    plan = scenes.print_plan()
    pieces: list[Any] = []
    for one, mark in zip(plan.pieces, (Marking.DIGITS, None, Marking.DIGITS), strict=True):
        one.sound = Sound(
            vertices_mm=1e3 * one.mesh.vertices_m, faces=one.mesh.faces, volume_mm3=80000.0 * one.number
        )
        one.lying = SimpleNamespace(size_m=(0.14, 0.02, 0.1), overhang_m2=1.25e-3, first_layer_m2=8e-4)
        one.effort.time = guess(7200.0 * one.number, 7000.0, 25000.0)
        one.effort.filament_m = guess(30.0, 29.0, 33.0)
        one.mark = mark
        pieces.append(one)
    return SimpleNamespace(**{**vars(plan), "pieces": tuple(pieces), "bed_m": (0.08, 0.2, 0.2)})


def test_the_files_of_a_print_plan_are_its_pieces_by_number_and_a_table() -> None:
    plan = made_pieces()
    files = plan_files(plan)
    assert list(files) == [
        *("01-nose.stl", "02-tail-1.stl", "03-tail-2.stl"),
        *("all-pieces.3mf", "pieces.csv", "pieces.svg"),
    ]
    same_as_told(pieces_csv(plan), HERE / "pieces.txt")


def test_pieces_lie_beside_one_another_in_rows_of_four_beds() -> None:
    model = zipfile.ZipFile(io.BytesIO(plan_files(made_pieces())["all-pieces.3mf"]))
    told = model.read("3D/3dmodel.model").decode()
    # Beds of 80 mm: 320 mm hold two of 140 mm, ten apart; the third begins a row 20 + 10 mm on.
    places = [one.split('"')[0].split()[9:] for one in told.split('transform="')[1:]]
    assert [[float(at) for at in place] for place in places] == [
        [0.0, 0.0, 0.0],
        [150.0, 0.0, 0.0],
        [0.0, 30.0, 0.0],
    ]


@pytest.mark.parametrize(
    ("scale", "us_units", "name"), [(2, False, "lengthwise"), (5, True, "lengthwise-us")]
)
def test_the_section_true_to_scale_has_its_stations_above_and_what_stands_inside_below(
    scale: int, us_units: bool, name: str
) -> None:
    box = [(0.0, -0.03), (0.3, -0.04), (0.3, 0.04), (0.0, 0.03)]

    def thing(name: str, span: tuple[float, float], **sizes: Any) -> CutThing:
        (fore, aft), half = span, sizes.get("across_m", 0.03) / 2
        told: dict[str, Any] = {"across_m": 0.03, "depth_m": 0.0, "is_round": True, **sizes}
        return CutThing(
            name=name,
            span_m=span,
            outlines_m=(((fore, -half), (aft, -half), (aft, half), (fore, half)),),
            **told,
        )

    cut = LengthwiseTemplate(
        name="Small Light",
        length_m=0.3,
        roll_rad=math.pi / 4,
        printed_m=(tuple(box),),
        parts=(("nose", 0.0, 0.1), ("tail", 0.1, 0.3), ("ring", 0.1000000001, 0.12)),
        things=(
            thing("sled", (0.02, 0.09), depth_m=0.01, is_round=False),
            thing("pack", (0.1, 0.12)),
            thing("motor", (0.15, 0.3), across_m=0.038),
        ),
    )
    drawing = lengthwise_drawing(cut, us_units=us_units, scale=scale)
    same_as_drawn(svg(drawing, us_units=us_units), HERE / f"{name}.svg")
    empty = lengthwise_drawing(replace(cut, printed_m=(), things=(), parts=()), us_units=us_units)
    # Without a print: the axis, 5 mm longer at both ends, over one dimension 10 mm below it.
    lines = {one.points: one.ink for one in empty.shapes if isinstance(one, DrawnOutline)}
    assert [points for points, ink in lines.items() if ink is Ink.FOLD] == [((-5.0, 0.0), (305.0, 0.0))]
    assert ((0.0, -10.0), (300.0, -10.0)) in lines


def test_nothing_to_mend_the_best_so_far_and_what_stops_it(readiness: Readiness) -> None:
    finding, other = readiness.findings[:2]
    found = Mend(
        told=(Change(lever="ballast", name="lead", was=0.5, size=0.9, dimension=Dimension.MASS),),
        changes={},
        added_kg=-0.35,
        verdict=Verdict.NO_GO,
        mended=(finding,),
        stops=(other, other),
        to_enter=(),
        brought=(finding,),
    )
    told = [
        mend_lines(one, us_units=us)
        for one in (
            None,
            found,
            replace(found, told=()),
            replace(found, verdict=Verdict.CAUTION, added_kg=0.0),
        )
        for us in (False, True)
    ]
    same_as_told("\n".join(map(text, told)), HERE / "mends.txt")
    plain = mend_plain(found, Verdict.NO_GO)
    assert plain["changes"] == [{"lever": "ballast", "name": "lead", "was": 0.5, "size": 0.9, "to": ""}]
    assert (plain["added_kg"], plain["mended"], plain["to_enter"]) == (-0.35, [finding.key], [])
    assert plain["stops"] == [{"key": other.key, "name": other.subject.name, "margin": other.margin}] * 2
    assert plain["brought"] == [{"key": finding.key, "name": finding.subject.name}]
    assert mend_plain(None, Verdict.GO)["added_kg"] == 0.0
