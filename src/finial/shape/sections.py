"""The skin of any shape: plane cuts, outer outlines, and totals drawn from them."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.shape.cut import cuts
from finial.shape.ducts import Stage, opened, solid_of
from finial.shape.lips import hidden_lips, reach_m
from finial.shape.mesh import Mesh, used_only
from finial.shape.outline import Outline, outline, section_of_shape
from finial.shape.planar import unlike
from finial.shape.refining import finer, hidden_corners
from finial.shape.repair import Repaired, repaired
from finial.shape.skin import Ring, Section, Skin
from finial.shape.skin_totals import volume_m3, wetted_area_m2
from finial.shape.stations import (
    BESIDE_STEP_M,
    ONE_STEP_M,
    TIP_SHARE,
    Step,
    first_cuts,
    parted_faces,
    standing_ridges,
    steps_and_askew,
    without_askew,
)

MOST_SECTIONS = 184
"""Sections of one skin at most; the usual number is about 120."""
_FOR_PLACES = 24
"""So many are kept for corners, lips and joins: an animal that takes all others has them too."""

_ROUNDS = 4
_AREA_CHANGE = 0.03
_PERIMETER_CHANGE = 0.05
_SHIFT_WIDTHS = 0.01
_SAME_SHAPE = 1e-4
_JOINED_M = 2.5 * BESIDE_STEP_M
_JOIN_ROUNDS = 9
_MOST_JOINS = 12
_CORNER_ROUNDS = 5
_MOST_CORNERS = 8
_BESIDE_JOIN = np.array([1.0, 2.0, 4.0, 8.0])
_SLIVER = 0.01
_BAD_BRIDGE = 0.8
_CLOSE_BY = 0.05
_TIP_SLACK_M = 50e-6
_MOST_BODIES = 60


def slice_skin(parts: Sequence[Mesh | Repaired]) -> Skin:
    r"""Cut meshes in body axes into the stack of sections that the air sees.

    .. math::  V = \sum \tfrac{h}{3} \left( A_1 + A_2 + \sqrt{A_1 A_2} \right), \qquad
               S = \sum \tfrac{P_1 + P_2}{2} \sqrt{h^2 + \left( 2 \Delta A / (P_1 + P_2) \right)^2}

    Parameters
    ----------
    parts : sequence of Mesh or Repaired
        Meshes in body axes, tip at x = 0 (see ``to_body``). A bare mesh is repaired first.

    Returns
    -------
    skin : Skin
        About 120 sections [m, m^2], one on each side of every step; volume [m^3] and wetted
        area [m^2] without the base. The first section, cut a ten-thousandth of the length
        aft of the tip, stands at station 0; behind a ridge or a face that leans, where it was cut.

    Raises
    ------
    MeshError
        If there is no mesh, or a mesh is empty or flat, or nothing could be cut.

    Notes
    -----
    Holds for any number of overlapping, hollow or partly inverted bodies; everything
    enclosed counts as full. Areas of faceted shapes are exact to 1e-4; volume within 0.1 %
    for cones, domes and prisms. Steps lower than a thousandth of the frontal area are not
    looked for. Changes shorter than 1/2000 of the length may be smeared.

    References
    ----------
    .. [1] Frustum formulas, exact for pyramids and cones: any handbook of mensuration.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> skin = slice_skin([post])
    >>> round(skin.reference_area_m2, 6), round(skin.volume_m3, 6), round(skin.wetted_area_m2, 4)
    (0.01, 0.01, 0.41)
    """
    mended = [part if isinstance(part, Repaired) else repaired(part) for part in parts]
    if not mended:
        raise MeshError("no mesh belongs to the skin: at least one part needs outside = true")
    meshes = [part.mesh for part in mended]
    length = _length(meshes)
    found, left_out, ends, leaning = _outlines(meshes, length)
    found, rings, said = _without_rings(mended, found)
    sections = _labelled(found, length, ends)
    return Skin(
        sections=sections,
        length_m=length,
        volume_m3=volume_m3(sections),
        wetted_area_m2=wetted_area_m2([one.shape for one in found], sections),
        notes=tuple(note for part in mended for note in part.notes) + _notes(found, left_out) + said,
        bridged_share=_bridged_share(found),
        rings=rings,
        leaning_m=tuple((step.fore_m, step.aft_m) for step in leaning),
    )


def _without_rings(
    parts: Sequence[Repaired], found: list[Outline]
) -> tuple[list[Outline], tuple[Ring, ...], tuple[str, ...]]:
    """Outlines without rings that the air flows through."""
    # One loop at every station holds no cavity: most plain shapes end here.
    if all(sum(map(len, (cut.loops for cut in one.cuts))) < 2 and not _loose(one) for one in found):
        return found, (), ()
    stations = np.array([one.section.station_m for one in found])
    # Body by body: where faces of two bodies coincide the lines of both together enclose nothing.
    by_body = [cuts(body, stations) for part in parts for body in _bodies(part)]
    solids = [solid_of(each) for each in zip(*by_body, strict=True)]
    stages = [
        Stage(station_m=one.section.station_m, filled=one.shape, solid=solid)
        for one, solid in zip(found, solids, strict=True)
    ]
    taken = opened(stages)
    changed = [
        replace(
            one,
            shape=taken.bodies[one.section.station_m],
            section=section_of_shape(one.section.station_m, taken.bodies[one.section.station_m]),
        )
        if one.section.station_m in taken.bodies
        else one
        for one in found
    ]
    return changed, taken.rings, taken.notes


def _loose(one: Outline) -> bool:
    return any(len(cut.loose_m) for cut in one.cuts)


def _bodies(part: Repaired) -> list[Mesh]:
    """Solid bodies of a mesh, each with its own corners; the whole mesh where they are too many.

    Closed cavities are left out: no air comes in.
    """
    numbers = [number for number in np.unique(part.body_of_face) if part.hosts[number] < 0]
    if len(numbers) > _MOST_BODIES:
        return [part.mesh]
    bodies: list[Mesh] = []
    for number in numbers:
        faces = part.mesh.faces[part.body_of_face == number]
        used, renamed = used_only(faces, len(part.mesh.vertices_m))
        bodies.append(Mesh(vertices_m=part.mesh.vertices_m[used], faces=renamed))
    return bodies


def _length(meshes: Sequence[Mesh]) -> float:
    fore = min(float(-mesh.vertices_m[:, 0].max()) for mesh in meshes)
    aft = max(float(-mesh.vertices_m[:, 0].min()) for mesh in meshes)
    if abs(fore) > _TIP_SLACK_M:
        raise MeshError(f"the tip stands at station {1e3 * fore:.3f} mm instead of 0: call to_body first")
    return aft


def _frontal_area(meshes: Sequence[Mesh]) -> float:
    corners = np.concatenate([mesh.vertices_m[:, 1:] for mesh in meshes])
    across: NDArray[np.float64] = np.ptp(corners, axis=0)
    return float(np.prod(across))


def _outlines(
    meshes: Sequence[Mesh], length_m: float
) -> tuple[list[Outline], list[float], tuple[float, float], list[Step]]:
    """Outlines at all stations, stations that were left out, the first and last cut, and what leans."""
    across = _frontal_area(meshes)
    edges = standing_ridges(meshes, across)
    flat, tilted = steps_and_askew(meshes, across)
    tilted, midway = parted_faces(tilted)
    leaning = [*tilted, *(each for each in edges if each.aft_m > each.fore_m)]
    stations = without_askew(first_cuts(meshes, length_m, (*flat, *edges, *midway)), leaning)
    ends = float(stations[0]), float(stations[-1])
    known: dict[float, Outline] = {}
    new = stations
    filled = np.empty(0)
    for _ in range(_ROUNDS):
        known.update(zip(new.tolist(), _cut_all(meshes, new), strict=True))
        filled = np.array(sorted(s for s in known if known[s].section.area_m2 > 0.0))
        if len(filled) < 2:
            raise MeshError(
                "the planes across the axis cut nothing: is the mesh closed, and is up the right axis?"
            )
        changes = _changes([known[s].section for s in filled])
        room = MOST_SECTIONS - _FOR_PLACES - len(filled)
        new = finer(filled, changes, max(length_m / 2000, ONE_STEP_M), room)
        new = without_askew(new, leaning)
        if not len(new):
            break
    filled = _corners_found(meshes, known, filled, leaning)
    filled = _parted_finely(meshes, known, filled, leaning)
    kept, doubtful = _without_bad_bridges([known[s] for s in filled])
    empty = [s for s in known if known[s].section.area_m2 <= 0.0]
    return _without_repeats(kept, length_m), sorted(empty + doubtful), ends, leaning


def _corners_found(
    meshes: Sequence[Mesh],
    known: dict[float, Outline],
    filled: NDArray[np.float64],
    leaning: Sequence[Step],
) -> NDArray[np.float64]:
    """Cut on between two cuts where the outline turns in at both, or where the air leaves a rounded one."""
    for _ in range(_CORNER_ROUNDS):
        cut = [known[s].section for s in filled]
        changes = np.maximum(
            hidden_corners(filled, [each.area_m2 for each in cut]),
            hidden_lips(filled, [reach_m(each) for each in cut]),
        )
        room = min(MOST_SECTIONS - len(filled), _MOST_CORNERS)
        new = without_askew(finer(filled, changes, 2.0 * ONE_STEP_M, room), leaning)
        if not len(new):
            break
        known.update(zip(new.tolist(), _cut_all(meshes, new), strict=True))
        filled = np.array(sorted(s for s in known if known[s].section.area_m2 > 0.0))
    return filled


def _parted_finely(
    meshes: Sequence[Mesh],
    known: dict[float, Outline],
    filled: NDArray[np.float64],
    leaning: Sequence[Step],
) -> NDArray[np.float64]:
    """Cut on until both sides of every place where outlines join or part lie close together.

    Two outlines that touch move more air than two with a gap between them, and the more the narrower the gap:
    that is a step, though no face is. Cuts beside it stand by the place, not by where others happen to be.
    """
    before = set(filled.tolist())
    for _ in range(_JOIN_ROUNDS):
        changes = np.where(np.diff([_bodies_cut(known[s]) for s in filled]) != 0, 2.0, 0.0)
        new = finer(filled, changes, _JOINED_M, min(MOST_SECTIONS - len(filled), _MOST_JOINS))
        new = without_askew(new, leaning)
        if not len(new):
            break
        known.update(zip(new.tolist(), _cut_all(meshes, new), strict=True))
        filled = np.array(sorted(s for s in known if known[s].section.area_m2 > 0.0))
    if len(before) == len(filled):
        return filled
    beside = without_askew(_beside_joins(known, filled, before), leaning)
    beside = beside[: max(MOST_SECTIONS - len(filled), 0)]
    if len(beside):
        known.update(zip(beside.tolist(), _cut_all(meshes, beside), strict=True))
    return np.array(sorted(s for s in known if known[s].section.area_m2 > 0.0))


def _beside_joins(
    known: dict[float, Outline], filled: NDArray[np.float64], before: set[float]
) -> NDArray[np.float64]:
    """Stations beside joins on the side of the gap, and none in gaps too narrow for the panels."""
    more = np.diff([_bodies_cut(known[s]) for s in filled])
    found: list[float] = []
    for index in np.flatnonzero(more):
        if filled[index] in before and filled[index + 1] in before:
            continue
        joined, away = (index + 1, -ONE_STEP_M) if more[index] < 0 else (index, ONE_STEP_M)
        steps_off = (filled - filled[joined]) / away
        for station in filled[(steps_off > 0.0) & (steps_off < 1.0)]:
            if station not in before:
                known.pop(float(station), None)
        found += (filled[joined] + away * _BESIDE_JOIN).tolist()
    inside = np.unique(found)
    return inside[(inside > filled[0]) & (inside < filled[-1])]


def _bodies_cut(one: Outline) -> int:
    """How many outlines of a cut are no mere slivers."""
    pieces = [piece.area for piece in getattr(one.shape, "geoms", (one.shape,))]
    return sum(area > _SLIVER * one.section.area_m2 for area in pieces)


def _cut_all(meshes: Sequence[Mesh], stations_m: NDArray[np.float64]) -> list[Outline]:
    by_mesh = [cuts(mesh, stations_m) for mesh in meshes]
    return [outline(float(s), parts) for s, *parts in zip(stations_m, *by_mesh, strict=True)]


def _changes(sections: Sequence[Section]) -> NDArray[np.float64]:
    """How much the shape changes over each space, as a multiple of what is allowed."""
    area = np.array([one.area_m2 for one in sections])
    perimeter = np.array([one.perimeter_m for one in sections])
    middle = np.array([one.centroid_m for one in sections])
    width = np.sqrt(area.max())
    shift = np.linalg.norm(np.diff(middle, axis=0), axis=1) * np.minimum(area[1:], area[:-1]) / area.max()
    return np.maximum.reduce(
        [
            np.abs(np.diff(area)) / (_AREA_CHANGE * area.max()),
            np.abs(np.diff(perimeter)) / (_PERIMETER_CHANGE * perimeter.max()),
            shift / (_SHIFT_WIDTHS * width),
        ]
    )


def _without_bad_bridges(found: Sequence[Outline]) -> tuple[list[Outline], list[float]]:
    """Leave out bridged outlines that are much smaller than whole ones close by on both sides."""
    area = np.array([one.section.area_m2 for one in found])
    station = np.array([one.section.station_m for one in found])
    near = _CLOSE_BY * station[-1]
    whole = np.flatnonzero([one.bridged_m == 0.0 for one in found])
    bad: set[int] = set()
    for index, one in enumerate(found):
        beside = whole[np.abs(station[whole] - station[index]) < near]
        before, after = beside[beside < index][-1:], beside[beside > index][:1]
        if one.bridged_m and len(before) and len(after):
            smaller = min(area[before[0]], area[after[0]])
            if area[index] < _BAD_BRIDGE * smaller:
                bad.add(index)
    kept = [one for index, one in enumerate(found) if index not in bad]
    return kept, [found[index].section.station_m for index in sorted(bad)]


def _without_repeats(found: Sequence[Outline], length_m: float) -> list[Outline]:
    """Drop the second of two cuts beside a joint at which nothing changes."""
    kept = [found[0]]
    for one in found[1:]:
        close = one.section.station_m - kept[-1].section.station_m < ONE_STEP_M + 1e-4
        last = one is found[-1]
        if (
            close
            and not last
            and unlike(kept[-1].shape, one.shape).area < (_SAME_SHAPE * one.section.area_m2)
        ):
            continue
        kept.append(one)
    return kept


def _labelled(found: Sequence[Outline], length_m: float, ends_m: tuple[float, float]) -> tuple[Section, ...]:
    """Sections with the first at the tip and the last at the base.

    Behind a ridge or a face that leans they stay where they were cut: drawn to the tip, the walls behind it
    would lean in less than they do.
    """
    sections = [one.section for one in found]
    usual = max(TIP_SHARE * length_m, BESIDE_STEP_M) + 1e-9
    (fore, aft), (first, last) = ends_m, (sections[0].station_m, sections[-1].station_m)
    if first != fore or fore <= usual:
        sections[0] = replace(sections[0], station_m=0.0)
    if last != aft or length_m - aft <= usual:
        sections[-1] = replace(sections[-1], station_m=length_m)
    return tuple(sections)


def _bridged_share(found: Sequence[Outline]) -> float:
    return max((one.bridged_m / max(one.section.perimeter_m, 1e-12) for one in found), default=0.0)


def _notes(found: Sequence[Outline], left_out: Sequence[float]) -> tuple[str, ...]:
    said: list[str] = []
    bridged = [one for one in found if one.bridged_m > 0.0]
    if bridged:
        share = _bridged_share(bridged)
        said.append(
            f"open cuts {_places([one.section.station_m for one in bridged])} were closed by straight lines, "
            f"at worst over {100 * share:.1f} % of the outline"
        )
    if left_out:
        said.append(f"nothing usable could be cut {_places(left_out)}: the skin is drawn straight across")
    slots = [one.section.station_m for one in found if one.slots_closed]
    if slots:
        said.append(f"slots narrower than 0.2 mm were closed {_places(slots)}")
    return tuple(said)


def _places(stations_m: Sequence[float]) -> str:
    """Stations in words: runs of neighbours as a range."""
    ordered = sorted(stations_m)
    if len(ordered) == 1:
        return f"at station {1e3 * ordered[0]:.1f} mm"
    return f"at {len(ordered)} stations from {1e3 * ordered[0]:.1f} to {1e3 * ordered[-1]:.1f} mm"
