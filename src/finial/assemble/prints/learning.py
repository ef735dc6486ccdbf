"""What pieces already made say about the printer: put on every piece that is not made yet."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from finial.assemble.prints.results import PlannedPiece
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import KnownBy
from finial.files.sheet_body import MadeEntry
from finial.printing.effort import Learned, learned, relearned


def learned_from(vehicle: LoadedVehicle, pieces: Sequence[PlannedPiece]) -> Learned:
    """Compare what was weighed and timed with what the formulas say of the same pieces and parts."""
    made = dict(_made(vehicle, pieces))
    masses = [
        (one.weighed.value, piece.effort.mass.value) for piece, one in made.items() if one.weighed is not None
    ]
    times = [
        (one.took.value, piece.effort.time.value)
        for piece, one in made.items()
        if one.took is not None and one.took.value > 0.0
    ]
    return learned([*masses, *_whole_parts(vehicle, pieces, {piece.part for piece in made})], times)


def _made(vehicle: LoadedVehicle, pieces: Sequence[PlannedPiece]) -> Iterator[tuple[PlannedPiece, MadeEntry]]:
    for one in vehicle.sheet.print.made if vehicle.sheet.print else ():
        for piece in pieces:
            if (piece.part, piece.within[0]) == (one.part, one.piece):
                yield piece, one


def _whole_parts(
    vehicle: LoadedVehicle, pieces: Sequence[PlannedPiece], by_piece: set[str]
) -> Iterator[tuple[float, float]]:
    """Parts that were weighed whole; one whose pieces were weighed counts by those."""
    for part in vehicle.sheet.part:
        mine = [piece.effort.mass.value for piece in pieces if piece.part == part.name]
        if part.weighed is not None and mine and part.name not in by_piece:
            yield part.weighed.value, sum(mine)


def as_learned(
    vehicle: LoadedVehicle, pieces: Sequence[PlannedPiece], factors: Learned
) -> Iterator[PlannedPiece]:
    """Yield each piece with what was learned; one that is made, with what scale and clock say of it."""
    made = dict(_made(vehicle, pieces))
    for piece in pieces:
        effort, one = relearned(piece.effort, factors), made.get(piece)
        if one is not None and one.weighed is not None:
            on_scale = one.weighed.estimate(KnownBy.WEIGHED, method="on a scale")
            per_mass = effort.filament_m.value / effort.mass.value
            effort = replace(effort, mass=on_scale, filament_m=on_scale.scaled(per_mass))
        if one is not None and one.took is not None:
            effort = replace(effort, time=one.took.estimate(KnownBy.MEASURED, method="by the clock"))
        yield replace(piece, effort=effort, is_made=one is not None)
