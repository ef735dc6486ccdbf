"""A mesh file made hollow."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.start.pieces import read_pieces
from finial.core.errors import Fault, MeshError, MeshesError, OutsideRange
from finial.printing.sound import Sound, sound
from finial.shape.hollow import Hollowed, hollowed
from finial.shape.united import united, why_no_solid


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HollowPiece:
    """One mesh, mended, united and hollow."""

    notes: tuple[str, ...]
    """What was mended."""
    bodies: int
    """Bodies that were united."""
    before_m3: float
    made: Hollowed
    sound: Sound
    """As its file holds it [mm]."""


def hollow_piece(path: Path, unit: str | None, wall_m: float) -> HollowPiece:
    """Read a mesh, mend it, and take out all that lies deeper than a wall.

    Raises
    ------
    MeshesError
        If the mesh cannot be used, stays open or crosses itself, or has no room for a cavity.
    OutsideRange
        Of the wall alone: it comes out as the fault of the file.
    """
    (piece,) = read_pieces((path,), unit, joined=True)
    solid = united(piece.mended)
    if solid is None:
        given = why_no_solid(piece.mended)
        raise _refused(
            path, given, "closed bodies: a scan is closed and mended in CAD before it is made hollow"
        )
    try:
        made = hollowed(solid, wall_m)
        whole = sound(made.solid.scale((1e3, 1e3, 1e3)), path.name)
    except (OutsideRange, MeshError) as error:
        raise _refused(path, str(error), "a wall that leaves room within") from error
    return HollowPiece(
        notes=piece.mended.notes, bodies=piece.bodies, before_m3=float(solid.volume()), made=made, sound=whole
    )


def _refused(path: Path, given: str, accepted: str) -> MeshesError:
    return MeshesError([Fault(file=str(path), field="mesh", given=given, accepted=accepted)])
