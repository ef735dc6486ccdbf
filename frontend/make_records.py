"""Write ``src/records.ts`` from the server's records: run ``python frontend/make_records.py``."""

import ast
import inspect
import textwrap
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from finial.report.document import ReportSection
from finial.web import records
from finial.web.across import PageCut
from finial.web.begun import PageBegun
from finial.web.compare import PageCompared
from finial.web.drafts.records import DraftWritten, PagePhotos, PageSite, PageTower
from finial.web.flights import FlownList
from finial.web.flow import PageFilm, PageFlow
from finial.web.jobs.records import JobList, JobResult
from finial.web.landings import PageLandings
from finial.web.moving.records import PageMoving
from finial.web.picture import LoadCurve, Picture, Reach
from finial.web.pressure import PagePressure
from finial.web.scale import PageScale
from finial.web.stages import PageStages
from finial.web.walls import PageWalls, WallStretch
from finial.web.words import PageVerdict

TARGET = Path(__file__).parent / "src" / "records.ts"
ROOTS = (
    records.PageVehicle,
    records.SharedPage,
    records.Question,
    records.SheetForm,
    JobList,
    JobResult,
    records.PageVariants,
    PageCompared,
    FlownList,
    PageStages,
    PagePressure,
    PageFlow,
    PageFilm,
    PageLandings,
    PageCut,
    PageMoving,
    PageBegun,
    PageScale,
    PageTower,
    PagePhotos,
    PageSite,
    DraftWritten,
)
NAMES = {
    records.PageFinding: "Finding",
    records.PageAnswer: "Answer",
    records.PageVehicle: "Vehicle",
    Picture: "PictureData",
    Reach: "Spread",
    LoadCurve: "Load",
    PageWalls: "Walls",
    WallStretch: "Stretch",
    ReportSection: "Section",
}
"""Where the page says it shorter."""
OPENING = "/** Made by frontend/make_records.py from the server's records: do not edit. */\n"
BY_HAND = """
export type Verdict = "go" | "caution" | "not known" | "no-go";

/** What the hull is tinted by. */
export type Tint = "wind" | "walls" | "pressure";

/** The hull as it is drawn; its own format, see server.ts. */
export interface MeshData {
  vertices: Float32Array;
  faces: Uint32Array;
}
"""
_PLAIN = {str: "string", int: "number", float: "number", bool: "boolean", NoneType: "null", Any: "unknown"}
_VERDICT = get_args(PageVerdict)


def text() -> str:
    """Return the whole file."""
    found: dict[type, str] = {}
    for root in ROOTS:
        _gather(root, found)
    return OPENING + BY_HAND + "".join(f"\n{written}" for written in found.values())


def _gather(record: type, found: dict[type, str]) -> None:
    if record in found:
        return
    found[record] = ""
    found[record] = _enum(record) if issubclass(record, Enum) else _interface(record, found)


def _enum(kind: type[Enum]) -> str:
    values = " | ".join(f'"{one.value}"' for one in kind)
    return f"{_comment(kind.__doc__ or '')}export type {_name(kind)} = {values};\n"


def _interface(record: type, found: dict[type, str]) -> str:
    parents = [base for base in record.__mro__[1:2] if is_dataclass(base)]
    for parent in parents:
        _gather(parent, found)
    theirs = {field.name for parent in parents for field in fields(parent)}
    hints, told = get_type_hints(record), _told(record)
    lines = [
        f"{_comment(told.get(field.name, ''), '  ')}  {field.name}: {_type(hints[field.name], found)};\n"
        for field in fields(record)
        if field.name not in theirs
    ]
    extends = f" extends {', '.join(map(_name, parents))}" if parents else ""
    return (
        f"{_comment(record.__doc__ or '')}export interface {_name(record)}{extends} {{\n{''.join(lines)}}}\n"
    )


def _told(record: type) -> dict[str, str]:
    """Return what stands below each field."""
    body = ast.parse(textwrap.dedent(inspect.getsource(record))).body[0]
    assert isinstance(body, ast.ClassDef)
    return {
        field.target.id: str(below.value.value)
        for field, below in zip(body.body, body.body[1:], strict=False)
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and isinstance(below, ast.Expr)
        and isinstance(below.value, ast.Constant)
    }


def _type(hint: Any, found: dict[type, str]) -> str:
    origin, inside = get_origin(hint), get_args(hint)
    if hint in _PLAIN:
        return _PLAIN[hint]
    if origin is Literal:
        return "Verdict" if inside == _VERDICT else " | ".join(f'"{one}"' for one in inside)
    if origin in (Union, UnionType):
        return " | ".join(_type(one, found) for one in inside)
    if origin is tuple and inside[-1] is not Ellipsis:
        return f"[{', '.join(_type(one, found) for one in inside)}]"
    if origin in (tuple, list):
        return _listed(_type(inside[0], found))
    if origin is not None and issubclass(origin, Mapping):
        return f"Record<string, {_type(inside[1], found)}>"
    _gather(hint, found)
    return _name(hint)


def _listed(one: str) -> str:
    return f"({one})[]" if "|" in one else f"{one}[]"


def _name(record: type) -> str:
    return NAMES.get(record, record.__name__)


def _comment(told: str, indent: str = "") -> str:
    said = " ".join(told.replace("``", "").replace("None", "null").split())
    return f"{indent}/** {said} */\n" if said else ""


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
