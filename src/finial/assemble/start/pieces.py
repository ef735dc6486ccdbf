"""Mesh files as their builder has them: read, mended and arranged as one vehicle."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from finial.core.errors import Fault, MeshError, MeshesError
from finial.files.meshes import RawMesh, longest_in_file, read_mesh, read_objects
from finial.shape.bodies import body_of_each_face, edges_of
from finial.shape.mesh import Mesh
from finial.shape.pieces.arrange import Arranged, ToldPlacing, arranged
from finial.shape.repair import Repaired, repaired

_USABLE = "a mesh of closed bodies: STL, OBJ, PLY, 3MF, AMF or glTF, or STEP with the extra for it"
MOST_FILES = 40
"""Files of one vehicle; more are a mistake of a wildcard."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshPiece:
    """One mesh file, mended, in mesh axes; equal only to itself."""

    path: Path
    name: str
    """Of the object or the file; not told apart from others yet."""
    colour: str = ""
    """As ``#RRGGBB``, where its file tells one."""
    is_object: bool = False
    """Whether it is one of several objects of its file."""
    objects: int
    bodies: int
    """Bodies that do not hang together, cavities not counted."""
    mended: Repaired
    drawn: Mesh
    """As the file has it."""


def read_pieces(paths: Sequence[Path], unit: str | None, *, joined: bool = False) -> tuple[MeshPiece, ...]:
    """Read and mend every file; several objects of a 3MF are a piece each, unless all of it is one.

    Raises
    ------
    MeshesError
        With every file that cannot be used, and why; or if there are more than 40.
    """
    if len(paths) > MOST_FILES:
        fault = Fault(
            file=str(paths[0].parent),
            field="mesh",
            given=f"{len(paths)} files",
            accepted=f"at most {MOST_FILES} files, one for each printed piece",
        )
        raise MeshesError([fault])
    twice = sorted({path for path in paths if [p.resolve() for p in paths].count(path.resolve()) > 1})
    if twice:
        fault = Fault(file=str(twice[0]), field="mesh", given="named twice", accepted="each file once")
        raise MeshesError([fault])
    found: list[MeshPiece] = []
    faults: list[Fault] = []
    for path in paths:
        try:
            found += _pieces(path, unit, joined=joined)
        except MeshError as error:
            given = str(error).removeprefix(f"{path}: ")
            faults.append(Fault(file=str(path), field="mesh", given=given, accepted=_USABLE))
    if faults:
        raise MeshesError(faults)
    return tuple(found)


def _pieces(path: Path, unit: str | None, *, joined: bool) -> list[MeshPiece]:
    if joined or path.suffix.lower() != ".3mf":
        return [_piece(path, read_mesh(path, unit))]
    objects = read_objects(path, most=MOST_FILES)
    if len(objects) == 1:
        return [_piece(path, objects[0].raw)]
    return [
        replace(_piece(path, one.raw), name=one.name or path.stem, colour=one.colour, is_object=True)
        for one in objects
    ]


def _piece(path: Path, raw: RawMesh) -> MeshPiece:
    drawn = Mesh(vertices_m=raw.vertices_m, faces=raw.faces)
    mended = repaired(drawn)
    bodies = int(body_of_each_face(edges_of(mended.mesh)).max()) + 1
    cavities = sum(host >= 0 for host in mended.hosts)
    return MeshPiece(
        path=path, name=path.stem, objects=raw.objects, bodies=bodies - cavities, mended=mended, drawn=drawn
    )


def size_in_files(paths: Sequence[Path]) -> float | None:
    """Longest side in the files' own numbers [any unit], of those that carry none; ``None`` without such.

    Raises
    ------
    MeshesError
        With every file that cannot be read.
    """
    sizes: list[float] = []
    faults: list[Fault] = []
    for path in paths:
        try:
            found = longest_in_file(path)
        except MeshError as error:
            given = str(error).removeprefix(f"{path}: ")
            faults.append(Fault(file=str(path), field="mesh", given=given, accepted=_USABLE))
        else:
            sizes += [] if found is None else [found]
    if faults:
        raise MeshesError(faults)
    return max(sizes, default=None)


def arrange_pieces(pieces: Sequence[MeshPiece], told: ToldPlacing) -> Arranged:
    """Find how the pieces stand as one vehicle; the result may be doubtful.

    Raises
    ------
    OutsideRange
        If more than 12 pieces would have to be put in order.
    """
    return arranged([piece.mended for piece in pieces], told)
