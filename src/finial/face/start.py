"""A project begun from a builder's own meshes: written whole, or not at all."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.assemble.start.found import found_in
from finial.assemble.start.motors import FOLDER as MOTORS
from finial.assemble.start.motors import motor_fits
from finial.assemble.start.pieces import MeshPiece
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import BuildSheetError
from finial.files.editor_schemas import lay_schemas
from finial.files.motor_data import CURVE_SUFFIXES
from finial.files.stl import stl_bytes
from finial.files.write import whole_folder, write_atomically
from finial.findings.begun import begun
from finial.findings.check import load_begun
from finial.report.start_sheet import Beginning, MeshLine, bare_sheet, start_sheet
from finial.report.start_text import Started
from finial.shape.pieces.arrange import Arranged

_MM = 1e-3
_MESHES = "meshes"
_MOVED_UNIT = "mm"
"""Unit of the copies that are moved."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Begin:
    """What a builder says of a new project."""

    folder: Path
    unit: str | None
    """Unit of the files that carry none."""
    title: str = ""
    """Name of the vehicle; the folder's without it."""
    material: str = ""
    """What the parts are printed in; PLA, as a guess, without it."""
    us_units: bool = False
    motors: Path | None = None
    """Folder of motors to copy beside the sheet."""


def begin_project(
    begin: Begin, pieces: Sequence[MeshPiece], arranged: Arranged, tell: Callable[[str], None]
) -> Started:
    """Write a project from pieces whose standing is known, and answer it for the first time.

    Raises
    ------
    BuildSheetError
        If the meshes cannot be used together; nothing is written then.
    OSError
        If the folder holds something already or cannot be written.
    """
    start = _start(begin, pieces, arranged)
    name = f"{_plain(start.title) or 'vehicle'}.toml"
    with whole_folder(begin.folder) as folder:
        for piece, line, move in zip(pieces, start.meshes, arranged.moves_m, strict=True):
            _put(folder / line.file, _content(piece, move))
        _copy_motors(begin.motors, folder)
        _put(folder / name, bare_sheet(start).encode())
        bare = _loaded(folder / name, pieces, start, tell)
        found = found_in(bare)
        start = replace(start, motors=motor_fits(bare).fitting)
        _put(folder / name, start_sheet(start, found).encode())
        lay_schemas(folder / name)
        load_begun(folder / name)
    sheet = begin.folder / name
    return Started(sheet=sheet, start=start, found=found, answer=begun(load_begun(sheet, tell=tell)))


def _start(begin: Begin, pieces: Sequence[MeshPiece], arranged: Arranged) -> Beginning:
    names = piece_names(pieces)
    return Beginning(
        title=begin.title or begin.folder.resolve().name or "vehicle",
        arranged=arranged,
        meshes=tuple(
            _line(begin, piece, name, bool(move.any()))
            for piece, name, move in zip(pieces, names, arranged.moves_m, strict=True)
        ),
        us_units=begin.us_units,
        material=begin.material or "PLA",
        material_told=bool(begin.material),
    )


def piece_names(pieces: Sequence[MeshPiece]) -> list[str]:
    """Name of each piece: its object's or its file's, told apart where two are alike."""
    names: list[str] = []
    for piece in pieces:
        stem = " ".join(re.sub(r"[^\w .()-]+", " ", piece.name).split()) or "part"
        same = sum(name == stem or name.startswith(f"{stem} (") for name in names)
        names.append(f"{stem} ({same + 1})" if same else stem)
    return names


def _line(begin: Begin, piece: MeshPiece, name: str, moved: bool) -> MeshLine:
    copied = moved or piece.is_object
    suffix = ".stl" if copied else piece.path.suffix.lower()
    unit = _MOVED_UNIT if copied else begin.unit
    notes = [f"mended: {note}" for note in piece.mended.notes]
    if piece.is_object:
        coloured = f", coloured {piece.colour}" if piece.colour else ""
        notes.append(f"an object of {piece.path.name}{coloured}")
    if piece.bodies > 1:
        notes.append(f"{piece.bodies} bodies in one file, taken as one part")
    return MeshLine(
        name=name,
        file=f"{_MESHES}/{_plain(name) or 'part'}{suffix}",
        unit=unit if suffix in (".stl", ".obj", ".ply") else None,
        notes=tuple(notes),
    )


def _plain(name: str) -> str:
    """Name of a file that every system takes."""
    return re.sub(r"[^\w.]+", "-", name.lower()).strip("-.")


def _content(piece: MeshPiece, move: NDArray[np.float64]) -> bytes:
    """Bytes of a mesh: the builder's own, or a copy in millimetres of what is moved or one of several."""
    if not move.any() and not piece.is_object:
        return piece.path.read_bytes()
    return stl_bytes((piece.drawn.vertices_m + move) / _MM, piece.drawn.faces)


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    write_atomically(path, content)


def _copy_motors(source: Path | None, folder: Path) -> None:
    wanted = (".toml", *CURVE_SUFFIXES)
    for path in sorted(source.iterdir()) if source is not None else ():
        if path.is_file() and path.suffix.lower() in wanted:
            _put(folder / MOTORS / path.name, path.read_bytes())


def _loaded(
    sheet: Path, pieces: Sequence[MeshPiece], start: Beginning, tell: Callable[[str], None]
) -> LoadedVehicle:
    """Load the meshes as a vehicle; faults name the builder's own files."""
    try:
        return load_begun(sheet, tell=tell)
    except BuildSheetError as error:
        faults = [
            replace(fault, file=str(_own_file(fault.field, pieces, start)), line=None)
            for fault in error.faults
        ]
        raise BuildSheetError(faults) from error


def _own_file(field: str, pieces: Sequence[MeshPiece], start: Beginning) -> Path:
    """File of the part that a fault is about; the folder of the first where it is about none."""
    if field == "vehicle.name":
        return Path("--name")
    number = re.match(r"part\[(\d+)\]", field)
    if number is None:
        return pieces[0].path.parent
    return pieces[start.arranged.order[int(number[1]) - 1]].path
