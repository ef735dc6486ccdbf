"""What scripts are shown, of records made by hand: rows, the one line of each answer, and what is refused."""

import builtins
import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from finial.assemble.air.results import StudyState, TunnelBeside, TunnelRow
from finial.assemble.start.pieces import arrange_pieces, read_pieces
from finial.core.errors import BuildSheetError, Fault, MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.face import answers, many, tunnel, vehicle
from finial.face.answers import AirAnswer, Answer, FlightAnswer
from finial.face.frames import frame
from finial.face.many import CampaignAnswers
from finial.face.start import Begin, begin_project
from finial.face.tunnel import TunnelAnswer
from finial.face.vehicle import Vehicle
from finial.files.meshes import read_mesh
from finial.files.stl import stl_bytes
from finial.files.threemf_write import Object3mf, threemf_bytes
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth
from finial.shape.pieces.arrange import Placing, ToldPlacing


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="", source="")


def finding(key: str, value: Estimate | None, margin: float | None) -> Any:
    return SimpleNamespace(verdict=Verdict.CAUTION, stage="air", key=key, value=value, margin=margin)


def answered(**told: Any) -> Any:
    usual: dict[str, Any] = {"name": "Small Light", "us_units": False, "verdict": Verdict.CAUTION}
    return SimpleNamespace(**{**usual, **told})


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Words of findings stand for themselves: what they are is told beside the report."""
    for name in ("title", "limit", "what_to_change"):
        monkeypatch.setattr(answers, name, lambda one, shown, name=name: f"{name} {one.key} {shown.us_units}")


@pytest.mark.usefixtures("said")
def test_findings_are_rows_whether_a_number_is_known_or_not() -> None:
    findings = (finding("a", between(1.0, 2.0, 3.0), 0.5), finding("b", None, None))
    told = Answer(answered(findings=findings, us_units=True)).to_dataframe()
    assert told.iloc[0].to_dict() == {
        "verdict": "caution",
        "stage": "air",
        "key": "a",
        "title": "title a True",
        "value": 2.0,
        "low": 1.0,
        "high": 3.0,
        "limit": "limit a True",
        "margin": 0.5,
        "change": "what_to_change a True",
    }
    assert told[["value", "low", "high", "margin"]].iloc[1].isna().all()
    assert len(told) == 2


def test_a_view_has_the_verdict_and_the_findings_of_the_whole_and_its_own_part(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[tuple[object, str, bool]] = []

    def noted(readiness: object, *, view: str, full: bool) -> dict[str, Any]:
        asked.append((readiness, view, full))
        return {"view": view}

    monkeypatch.setattr(answers, "to_plain", noted)
    whole = answered(findings=("one",))
    views = (Answer(whole), AirAnswer(whole), FlightAnswer(whole))
    assert [view.to_dict() for view in views] == [{"view": ""}, {"view": "air"}, {"view": "flight"}]
    views[0].to_dict(full=True)
    assert [full for _, _, full in asked] == [False, False, False, True]
    assert {(view.verdict, view.findings) for view in views} == {(Verdict.CAUTION, ("one",))}


def test_the_air_is_told_by_its_worst_margin_and_its_drag_by_source(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    points = tuple(
        SimpleNamespace(moment=moment, margin=between(low, 0.2, 0.3))
        for moment, low in (("rail exit", 0.05), ("burnout", -0.012), ("apogee", 0.1))
    )
    row = SimpleNamespace(coefficient=between(0.3, 0.45, 0.6))
    monkeypatch.setattr(answers, "drag_words", lambda one, us_units: f"{one is row} {us_units}")
    air = AirAnswer(answered(stability=points, air=SimpleNamespace(drag_rows=(row,))))
    assert repr(air) == "<air of Small Light: margin -12 mm to 300 mm at burnout>"
    assert air.to_dataframe().to_dict("records") == [
        {"source": "True False", "coefficient": 0.45, "low": 0.3, "high": 0.6, "known_by": "computed"}
    ]


def test_a_flight_is_told_by_its_apogee_and_how_fast_it_leaves_the_rail() -> None:
    def flown(off: Estimate | None) -> str:
        flight = SimpleNamespace(apogee_agl=between(700.0, 736.0, 790.0), rail_exit_speed=off)
        return repr(FlightAnswer(answered(flight=flight)))

    assert flown(between(15.0, 16.0, 17.0)) == "<flight of Small Light: apogee 736 m, off the rail at 16 m/s>"
    assert flown(None) == "<flight of Small Light: apogee 736 m, off the rail at not known>"


def test_each_picture_is_the_one_of_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    names = (
        "side_view",
        "firing_paths",
        "margin_by_angle",
        "pressure_by_roll",
        "flight_traces",
        "drift_plan",
    )
    drawn = {name: f"<svg>{name}</svg>" for name in names}
    monkeypatch.setattr(answers, "pictures", lambda _readiness: drawn)
    whole = answered()
    found = (
        Answer(whole).plot_side_view(),
        Answer(whole).plot_firing_paths(),
        AirAnswer(whole).plot_margin(),
        AirAnswer(whole).plot_band(),
        FlightAnswer(whole).plot_height(),
        FlightAnswer(whole).plot_drift(),
    )
    assert list(found) == list(drawn.values())
    assert [one._repr_svg_() for one in found] == list(drawn.values())  # pyright: ignore[reportPrivateUsage]
    del drawn["firing_paths"]
    with pytest.raises(MissingData, match="no firing path to draw"):
        Answer(whole).plot_firing_paths()


def test_a_section_is_drawn_at_the_angle_asked_in_degrees(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[Any, ...]] = []

    def drawn(inside: str, fins: str, *, roll_rad: float | None, us_units: bool) -> str:
        asked.append((inside, fins, roll_rad, us_units))
        return "<svg/>"

    monkeypatch.setattr(answers, "inside_section", drawn)
    whole = answered(inside="inside", shape=SimpleNamespace(fins="fins"), us_units=True)
    assert Answer(whole).plot_inside() == Answer(whole).plot_inside(roll_deg=90.0) == "<svg/>"
    assert asked == [("inside", "fins", None, True), ("inside", "fins", math.pi / 2, True)]


def test_a_report_is_written_whole(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("finial.report.pdf.pdf_bytes", lambda _readiness: b"%PDF of it")
    Answer(answered()).save_report(str(tmp_path / "one.pdf"))
    assert (tmp_path / "one.pdf").read_bytes() == b"%PDF of it"


def row(place: Estimate | None) -> TunnelRow:
    return TunnelRow(
        angle_rad=0.1,
        roll_rad=0.2,
        force=between(0.4, 0.5, 0.6),
        place=place,
        axial=between(0.7, 0.8, 0.9),
        aside=between(-0.01, 0.0, 0.02),
        pressure_axial=0.6,
        force_read=0.52,
        section_share=0.01,
        reynolds=8000.0,
        cells=16.0,
        coarse_cells=12.0,
        restarts=0,
        sections_force=0.55,
        sections_axial=0.9,
        sections_place_m=(0.6, 0.7, 0.8),
        parts_most_m=None,
    )


def studied(*rows: TunnelRow) -> TunnelAnswer:
    read = TunnelBeside(
        state=StudyState.HOLDS, rows=rows, friction=between(0.1, 0.15, 0.2), flight_reynolds=1e6
    )
    ended: Any = SimpleNamespace(failed=(), elsewhere=0)
    light: Any = SimpleNamespace(us_units=True)
    return TunnelAnswer(light, read, ended)


def test_a_study_of_the_tunnel_is_rows_with_the_ends_of_each_number() -> None:
    found = studied(row(between(0.69, 0.70, 0.72)), row(None))
    told = found.to_dataframe()
    assert told.iloc[0].to_dict() == {
        "angle_rad": 0.1,
        "roll_rad": 0.2,
        **{"force": 0.5, "force_low": 0.4, "force_high": 0.6},
        **{"place_m": 0.70, "place_m_low": 0.69, "place_m_high": 0.72},
        **{"axial": 0.8, "axial_low": 0.7, "axial_high": 0.9},
        **{"aside": 0.0, "aside_low": -0.01, "aside_high": 0.02},
    }
    assert told[["place_m", "place_m_low", "place_m_high"]].iloc[1].isna().all()
    assert found.to_dict()["rows"][0]["cells"] == 16.0
    assert "27.56 in (27.17 to 28.35)" in repr(found)
    assert "In the tunnel, beside the sections" in repr(found)
    assert "station, in, aft is up" in found.plot_places()
    with pytest.raises(MissingData, match="no centre of pressure to draw"):
        studied(row(None), row(None)).plot_places()


def test_a_study_is_asked_in_degrees_and_read_from_where_it_was_kept(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked: dict[str, Any] = {}

    def planned(light: object, study: Any) -> str:
        asked.update(light=light, angles=study.angles_rad, cells=study.fineness.cells)
        return "plan"

    def run(plan: str, folder: Path, blow: object, *, cards: tuple[int | None, ...]) -> Any:
        asked.update(plan=plan, folder=folder, blow=blow, cards=cards)
        return SimpleNamespace(runs_file=tmp_path / "runs.json")

    monkeypatch.setattr(tunnel, "planned", planned)
    monkeypatch.setattr(tunnel, "run_study", run)
    monkeypatch.setattr(tunnel, "read_tunnel_runs", lambda path: ("runs of", path.name))
    monkeypatch.setattr(tunnel, "beside_sections", lambda light, runs: (light, runs))
    light: Any = "light"
    blow: Any = "blow"
    told: dict[str, Any] = {"angles_deg": (0.0, 180.0), "cells": 12.0}
    found = tunnel.study(light, str(tmp_path), cards=(), blow=blow, **told)
    assert found.beside == ("light", ("runs of", "runs.json"))
    assert asked == {
        "light": "light",
        "angles": (0.0, math.pi),
        "cells": 12.0,
        "plan": "plan",
        "folder": tmp_path,
        "blow": "blow",
        "cards": tunnel.PROCESSOR,
    }
    tunnel.study(light, tmp_path, cards=(1, 3), **told)
    assert asked["cards"] == (1, 3)
    assert callable(asked["blow"])


def test_a_vehicle_is_answered_once_at_each_depth_and_parts_take_the_deepest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Depth] = []

    def answer(_loaded: object, *, depth: Depth, tell: object) -> Any:
        asked.append(depth)
        return answered(findings=(), depth=depth, told=tell)

    monkeypatch.setattr(vehicle, "answered", answer)
    skin = SimpleNamespace(length_m=1.2, width_m=0.185)
    loaded: Any = SimpleNamespace(
        skin=skin, sheet=SimpleNamespace(vehicle=SimpleNamespace(name="Small Light"))
    )
    light = Vehicle(loaded)
    assert repr(light) == "<Small Light: 1.200 m long, 0.185 m wide>"
    changed = Vehicle(loaded, {("launch", "wind"): "2 m/s", ("launch", "code"): "a"})
    assert repr(changed) == "<Small Light: 1.200 m long, 0.185 m wide, 2 values changed>"
    assert light.air().readiness is light.fly().readiness is light.check(quick=True).readiness
    assert asked == [Depth.QUICK]
    whole = light.check().readiness
    assert asked == [Depth.QUICK, Depth.WHOLE]
    assert light.air().readiness is whole
    assert light.check(quick=True).readiness is not whole
    assert asked == [Depth.QUICK, Depth.WHOLE]
    assert light.loaded is loaded
    assert (light.name, light.changes, len(changed.changes)) == ("Small Light", {}, 2)


def test_a_vehicle_hands_on_what_it_is_asked(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(tunnel, "study", lambda *given, **told: asked.append((given, told)) or "study")
    monkeypatch.setattr(many, "campaign", lambda *given, **told: asked.append((given, told)) or "flown")
    monkeypatch.setattr("finial.findings.mending.mend", lambda loaded: ("mended", loaded))
    loaded: Any = "loaded"
    light = Vehicle(loaded)
    assert (light.tunnel(tmp_path), light.campaign(), light.size()) == (
        "study",
        "flown",
        ("mended", "loaded"),
    )
    assert asked == [
        (("loaded", tmp_path), {"angles_deg": (0.0, 5.0, 10.0, 15.0), "cells": 16.0, "cards": ()}),
        (("loaded",), {"flights": 1000, "seed": 1}),
    ]


def test_flights_are_rows_of_what_came_of_them_and_what_was_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    case: Any = SimpleNamespace(name="Small Light", us_units=True, field_m="field")
    flown: Any = SimpleNamespace(
        results={"apogee_m": np.array([1.0, 2.0])},
        draws=(SimpleNamespace(name="wind"), SimpleNamespace(name="mass")),
        drawn=np.array([[3.0, 5.0], [4.0, 6.0]]),
        landings_m=lambda: "landings",
    )
    answer: Any = SimpleNamespace(ellipse="ellipse")
    found = CampaignAnswers(case, flown, answer)
    assert found.to_dataframe().to_dict("list") == {
        "apogee_m": [1.0, 2.0],
        "wind": [3.0, 4.0],
        "mass": [5.0, 6.0],
    }
    monkeypatch.setattr(many, "campaign_landings", lambda *given, us_units: f"{given} {us_units}")
    assert found.plot_landings() == "('landings', 'ellipse', 'field') True"
    lines = [SimpleNamespace(text=str(number)) for number in range(12)]
    monkeypatch.setattr(many, "campaign_lines", lambda name, _answer, us_units: lines if us_units else name)
    assert repr(found).split("\n") == [str(number) for number in range(10)]


def test_rows_or_columns_make_a_table_and_without_pandas_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert frame([{"a": 1, "b": 2}, {"a": 3, "b": 4}]).to_dict("list") == {"a": [1, 3], "b": [2, 4]}
    assert frame({"a": [1, 3]}).to_dict("list") == {"a": [1, 3]}
    usual = builtins.__import__

    def without(name: str, *given: Any) -> Any:
        if name == "pandas":
            raise ImportError(name)
        return usual(name, *given)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(MissingData, match=r"finial\[notebook\]"):
        frame([])


def box(path: Path, sides_mm: tuple[float, float, float]) -> None:
    corners = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)]) * np.array(sides_mm)
    faces = [[0, 2, 3], [0, 3, 1], [4, 5, 7], [4, 7, 6], [0, 1, 5], [0, 5, 4], [2, 6, 7], [2, 7, 3]]
    faces += [[0, 4, 6], [0, 6, 2], [1, 3, 7], [1, 7, 5]]
    path.write_bytes(stl_bytes(corners, np.array(faces)))


@pytest.mark.parametrize(
    ("field", "file"),
    [
        ("vehicle.name", "--name"),
        ("part[1].mesh", "top.stl"),
        ("part[2].mesh", "hull.stl"),
        ("vehicle.up", "."),
    ],
)
def test_a_fault_of_a_begun_sheet_is_told_at_the_builder_s_own_file(
    field: str, file: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def refuses(sheet: Path, tell: object = None) -> Any:
        raise BuildSheetError([Fault(file=str(sheet), line=7, field=field, given="it", accepted="other")])

    monkeypatch.setattr("finial.face.start.load_begun", refuses)
    box(tmp_path / "hull.stl", (80, 80, 600))
    box(tmp_path / "top.stl", (80, 80, 200))
    pieces = read_pieces([tmp_path / "hull.stl", tmp_path / "top.stl"], "mm", joined=False)
    told = ToldPlacing(up="+z", placing=Placing.STACKED, order=(1, 0))
    arranged = arrange_pieces(pieces, told)
    with pytest.raises(BuildSheetError) as refused:
        begin_project(Begin(folder=tmp_path / "new", unit="mm"), pieces, arranged, lambda _note: None)
    (fault,) = refused.value.faults
    assert fault.file == (file if file == "--name" else str(tmp_path / file))
    assert (fault.line, fault.field) == (None, field)
    assert not (tmp_path / "new").exists()


def test_a_project_takes_its_name_its_units_and_its_material_from_what_is_said(tmp_path: Path) -> None:
    box(tmp_path / "hull.stl", (3.0, 3.0, 24.0))
    pieces = read_pieces([tmp_path / "hull.stl"], "in", joined=False)
    begin = Begin(folder=tmp_path / "New One", unit="in", material="PETG", us_units=True)
    started = begin_project(begin, pieces, arrange_pieces(pieces, ToldPlacing(up="+z")), lambda _note: None)
    assert (started.start.title, started.start.material, started.start.material_told) == (
        "New One",
        "PETG",
        True,
    )
    (mesh,) = started.start.meshes
    assert (mesh.name, mesh.file, mesh.unit, mesh.notes) == ("hull", "meshes/hull.stl", "in", ())
    assert started.sheet.name == "new-one.toml"
    assert (tmp_path / "New One" / mesh.file).read_bytes() == (tmp_path / "hull.stl").read_bytes()
    assert started.found.length_m == pytest.approx(24 * 0.0254)


def test_a_piece_that_is_moved_or_one_of_several_is_copied_in_millimetres_where_it_stands(
    tmp_path: Path,
) -> None:
    box(tmp_path / "foot.stl", (120, 120, 400))
    box(tmp_path / "top.stl", (120, 120, 300))
    pieces = read_pieces([tmp_path / "foot.stl", tmp_path / "top.stl"], "mm", joined=False)
    told = ToldPlacing(up="+z", placing=Placing.STACKED, order=(1, 0))
    arranged = arrange_pieces(pieces, told)
    begin = Begin(folder=tmp_path / "tower", unit="mm")
    started = begin_project(begin, pieces, arranged, lambda _note: None)
    stands = {
        mesh.name: read_mesh(tmp_path / "tower" / mesh.file, mesh.unit).vertices_m[:, 2]
        for mesh in started.start.meshes
    }
    # The top, 300 mm high, stands on the foot of 400 mm; across the axis nobody moves.
    assert stands["top"].min() == pytest.approx(stands["foot"].max())
    assert np.ptp(np.concatenate(list(stands.values()))) == pytest.approx(0.7)
    whole = [Object3mf(name=name, vertices_mm=corners, faces=BOX) for name, corners in two_boxes()]
    (tmp_path / "both.3mf").write_bytes(threemf_bytes(whole, "both"))
    parts = read_pieces([tmp_path / "both.3mf"], None, joined=False)
    assert [piece.is_object for piece in parts] == [True, True]
    other = Begin(folder=tmp_path / "other", unit=None)
    begun = begin_project(other, parts, arrange_pieces(parts, ToldPlacing(up="+z")), lambda _note: None)
    assert {mesh.file: mesh.unit for mesh in begun.start.meshes} == {
        "meshes/foot.stl": "mm",
        "meshes/top.stl": "mm",
    }
    assert all(mesh.notes == ("an object of both.3mf",) for mesh in begun.start.meshes)
    tops = [read_mesh(tmp_path / "other" / mesh.file, "mm").vertices_m for mesh in begun.start.meshes]
    assert sorted(float(one[:, 2].max()) for one in tops) == pytest.approx([0.4, 0.7])


BOX = np.array(
    [
        *([0, 2, 3], [0, 3, 1], [4, 5, 7], [4, 7, 6], [0, 1, 5], [0, 5, 4]),
        *([2, 6, 7], [2, 7, 3], [0, 4, 6], [0, 6, 2], [1, 3, 7], [1, 7, 5]),
    ]
)


def two_boxes() -> list[tuple[str, Any]]:
    corners = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)], dtype=float)
    return [
        ("foot", corners * [120.0, 120.0, 400.0]),
        ("top", corners * [120.0, 120.0, 300.0] + [0.0, 0.0, 400.0]),
    ]
