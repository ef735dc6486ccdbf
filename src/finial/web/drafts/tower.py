"""A tower drawn on the page: its side view, its parts' files, and a sheet begun with them."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from finial.assemble.start.pieces import arrange_pieces, read_pieces
from finial.assemble.start.tower import DrawnPart, drawn_tower
from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.face.start import Begin, begin_project
from finial.files.edit import Value
from finial.files.entries import value_at
from finial.files.sheet_rows import TOWER_FILE
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath
from finial.files.tower import RECTANGLE, Tower, tower_from
from finial.files.write import write_folder
from finial.findings.check import silent
from finial.report.pictures.tower_side import tower_says, tower_side
from finial.report.shown import Shown
from finial.report.tower_text import ALL_PARTS, is_tower_file, part_file, tower_files, tower_section
from finial.shape.pieces.arrange import Placing, ToldPlacing
from finial.web.drafts.draft import Draft
from finial.web.drafts.records import DraftWritten, TowerDrawn
from finial.web.payload import plain

_BEGIN = """name = "{name}"

# Parts stand on one another, the first one on the ground; in each the lowest storey first.
[[part]]
name = "tower"

[[part.tiers]]
outline = "octagon"
across = "120 mm"
across_top = "100 mm"
height = "240 mm"

[[part.tiers]]
outline = "circle"
across = "100 mm"
height = "60 mm"
roof = "dome"
"""
_STOREY: Mapping[str, Value] = {"outline": "circle", "across": "100 mm", "height": "100 mm"}
_STARTS: Mapping[str, Mapping[str, Value]] = {
    "ledges": {"out": "4 mm", "height": "6 mm"},
    "windows": {"count": 4, "width": "12 mm", "height": "24 mm", "sill": "20 mm", "depth": "2 mm"},
    "shoulder": {"across": "40 mm", "length": "20 mm"},
    "bores": {"heights": ["0 mm", "100 mm"], "across": "40 mm"},
}
_ALIKE = ("outline", "across", "deep", "corner", "height")
"""What a new storey has of the one below it."""


def tower_draft(path: Path) -> Draft:
    """Return a tower's file as a draft, there or not."""
    name = path.stem.replace("-", " ").replace("_", " ").title() or "Tower"
    return Draft(
        path=path,
        kind="tower",
        file=TOWER_FILE,
        begin=_BEGIN.format(name=name.replace("\\", "").replace('"', "")),
        start=_start,
        told=_told,
        untold={"drawn": None},
    )


def _told(source: TomlSource, us_units: bool) -> Mapping[str, Any]:
    tower, parts = _drawn(source)
    shown = Shown(us_units=us_units)
    drawn = TowerDrawn(
        says=tower_says(parts, shown),
        svg=tower_side(tower.name, parts, us_units=us_units),
        section=tower_section(tower.name, parts, shown),
    )
    return {"drawn": plain(drawn)}


def _drawn(source: TomlSource) -> tuple[Tower, tuple[DrawnPart, ...]]:
    tower = tower_from(source)
    return tower, drawn_tower(tower, source)


def _start(source: TomlSource, path: KeyPath, index: int, given: Mapping[str, Value]) -> Mapping[str, Value]:
    """Begin a new entry of a list: a part with one storey, a storey like the one below it."""
    last = path[-1]
    if path == ("part",):
        return {"name": f"part {_count(source.values.get('part')) + 1}", "tiers": [dict(_STOREY)], **given}
    if last == "tiers":
        return {**_like(value_at(source.values, path), index), **given}
    if last in _STARTS:
        return {**_STARTS[str(last)], **given}
    raise OutsideRange(f"a tower has no list of {last}")


def _like(tiers: object, index: int) -> Mapping[str, Value]:
    """Go on from the storey below, as wide as at its top; the lowest is like the one it is put under."""
    told = tiers if is_list(tiers) else []
    near: object = told[min(max(index, 1), len(told)) - 1] if told else None
    if not is_table(near):
        return _STOREY
    alike = {key: near[key] for key in _ALIKE if key in near}
    if index and "across_top" in near and near.get("outline") != RECTANGLE:
        alike["across"] = near["across_top"]
    return alike or _STOREY


def _count(entries: object) -> int:
    return len(entries) if is_list(entries) else 0


def written_parts(draft: Draft) -> DraftWritten:
    """Write every part as STL and all of them as one 3MF beside the tower's file, as ``finial tower`` does.

    Raises
    ------
    TowerError
        With every part that makes no closed body.
    OSError
        If the folder holds anything else.
    """
    tower, parts = _drawn(draft.source())
    folder = _parts_folder(draft.path)
    write_folder(folder, tower_files(tower.name, parts), is_tower_file)
    files = (*(part_file(number, one) for number, one in enumerate(parts, start=1)), ALL_PARTS)
    return DraftWritten(
        says=f"{len(files)} files written to {folder.name}, in millimetres.",
        files=tuple(f"{folder.name}/{one}" for one in files),
        revision=draft.revision(),
    )


def begun_sheet(draft: Draft) -> DraftWritten:
    """Begin a project with the parts in a folder of the file's name, as ``finial new --as-drawn`` does.

    Raises
    ------
    BuildSheetError
        If the parts cannot be used.
    OSError
        If the folder holds something already.
    """
    parts = written_parts(draft)
    pieces = read_pieces([draft.path.parent / one for one in parts.files[:-1]], "mm")
    arranged = arrange_pieces(pieces, ToldPlacing(up="+z", placing=Placing.AS_DRAWN))
    begin = Begin(
        folder=draft.path.parent / draft.path.stem, unit="mm", title=tower_from(draft.source()).name
    )
    sheet = begin_project(begin, pieces, arranged, silent).sheet
    told = sheet.relative_to(draft.path.parent).as_posix()
    return DraftWritten(
        says=f"A sheet is begun in {told}. Go on there: finial open {told}",
        files=(told,),
        revision=draft.revision(),
        leads_on=told,
    )


def _parts_folder(path: Path) -> Path:
    return path.parent / f"{path.stem}-parts"
