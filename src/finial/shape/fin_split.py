"""Fins that are part of the mesh, taken off the body section by section."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.fin_set import FinSet
from finial.shape.skin import Section, Skin
from finial.shape.skin_totals import volume_m3, wetted_area_m2
from finial.shape.thin_parts import ThinPart, polygons_of, section_from, thin_parts

THINNEST_BODY = 0.10
"""What is thinner than this share of the vehicle's width may be a fin."""
_LEAST_LENGTH = 0.03
_SAME_ROLL_RAD = np.radians(8.0)
_SAME_SHAPE = 0.04
_FEWEST_SECTIONS, _LEAST_LEFT = 8, 0.3
"""Fewest sections, and the least share of them, that are left when fins have been taken off."""
_WANDERS = 0.35
"""Farthest that the slices of a flat plate stray from one plane, in thicknesses: ears stray farther."""
_FILLS = 0.68
"""Least share of its box that a slice of a plate fills; one that tapers to half its thickness fills 0.75."""
_GAP_SHARE = 0.02
"""Stations without the plate over less than this share of the length do not end a fin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """One flat fin found in the mesh, or several alike and evenly spaced round the axis."""

    fins: FinSet
    touches: bool
    """False where no section shows the plate joined to the body: it hangs by a point at most."""
    thickest_m: float
    """Diameter of the largest circle in any of its slices [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitSkin:
    """The body without its fins, the fins, and what was done in words."""

    body: Skin
    fins: tuple[FinSet, ...]
    touching: tuple[bool, ...]
    """For each, whether any section shows it joined to the body: else it hangs by a point at most."""
    thickest_m: tuple[float, ...]
    """For each, the diameter of the largest circle in any of its slices [m]."""
    notes: tuple[str, ...]


def split_fins(
    skin: Skin,
    plates: Sequence[ThinPart] = (),
    thinnest_body: float = THINNEST_BODY,
    but_for: Sequence[FinSet] = (),
) -> SplitSkin:
    r"""Take flat fins off the outlines of a skin.

    A section eroded and grown again by half the threshold loses what is thinner than it.
    Flat remains that stand outward, at one roll angle over a stretch of stations, are fins.

    Parameters
    ----------
    skin : Skin
        Sections with fins still in them.
    plates : sequence of ThinPart
        Plates without thickness, which no section shows (see ``bare_plates``).
    thinnest_body : float
        Threshold as a share of the vehicle's width [-].
    but_for : sequence of FinSet
        Fins that stay on the body, and what stands in their places.

    Returns
    -------
    split : SplitSkin
        The skin as it was if nothing was found; a note says what was taken off.

    Notes
    -----
    Fins reach outward to within 30 degrees of the radius and are at least three times as
    wide as thick, flat, and no thinner at the tip than half the root. Rods, handles, ears and ring
    fins stay in the body. Leading edges are as fine
    as the stations: areas within 3 %.

    References
    ----------
    .. [1] J. Serra, Image Analysis and Mathematical Morphology, 1982 (from memory): opening of a shape.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> split_fins(post).fins
    ()
    """
    limit = thinnest_body * median_width_m(skin)
    found = [part for section in skin.sections for part in thin_parts(section, limit)]
    plain = [part for part in found if part.is_plate]
    runs = [run for run in _runs([*plain, *plates], skin) if _is_fin(run, skin) and not _amid(run, but_for)]
    runs = [_with_stubs(run, [part for part in found if not part.is_plate], skin) for run in runs]
    pairs = [(run, found) for run, found in ((run, _fin(run)) for run in runs) if _is_simple(found.fins)]
    rest = _without(skin, [run for run, _ in pairs], limit) if pairs else ()
    # Where hardly anything would be left, what looked like fins is the body.
    if len(rest) < max(_FEWEST_SECTIONS, _LEAST_LEFT * len(skin.sections)):
        return SplitSkin(body=skin, fins=(), touching=(), thickest_m=(), notes=())
    fins = _alike([found for _, found in pairs], _apart_m(skin, [run for run, _ in pairs]))
    return SplitSkin(
        body=_with_sections(skin, rest),
        fins=tuple(found.fins for found in fins),
        touching=tuple(found.touches for found in fins),
        thickest_m=tuple(found.thickest_m for found in fins),
        notes=(_note(fins),),
    )


def _is_simple(fin: FinSet) -> bool:
    """Say whether a fin's outline goes once round an area: what wanders through itself is no plate."""
    import shapely

    shape = shapely.Polygon(fin.outline_m)
    return bool(shape.is_valid and shape.area > 0.0)


def _amid(run: Sequence[ThinPart], fins: Sequence[FinSet]) -> bool:
    """Say whether a run stands where one of these fins does."""
    return any(
        run[0].station_m < fin.station_m + float(fin.outline_m[:, 0].max())
        and fin.station_m < run[-1].station_m
        and any(_near(run[0].roll_rad, roll) for roll in fin.rolls_rad)
        for fin in fins
    )


def median_width_m(skin: Skin) -> float:
    r"""Width of a circle as large as the median section: fins hardly change it.

    .. math::  w = \sqrt{4 A / \pi}

    Parameters
    ----------
    skin : Skin
        With or without fins [m].

    Returns
    -------
    width_m : float
        :math:`w` [m].

    Notes
    -----
    What is thinner than a share of it may be a fin.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> round(median_width_m(post), 4)
    0.1128
    """
    return float(np.sqrt(4.0 * np.median(skin.areas_m2) / np.pi))


def _runs(parts: Sequence[ThinPart], skin: Skin) -> list[list[ThinPart]]:
    """Parts at one roll angle and neighbouring stations, one list a plate."""
    gap = _gap_m(skin)
    runs: list[list[ThinPart]] = []
    for part in sorted(parts, key=lambda each: each.station_m):
        near = [
            run for run in runs if part.station_m - run[-1].station_m <= gap and _same_roll(part, run[-1])
        ]
        if near:
            near[-1].append(part)
        else:
            runs.append([part])
    return runs


def _gap_m(skin: Skin) -> float:
    return _GAP_SHARE * skin.length_m + 2.0 * float(np.median(np.diff(skin.stations_m)))


def _same_roll(one: ThinPart, other: ThinPart) -> bool:
    return _near(one.roll_rad, other.roll_rad)


def _near(roll_rad: float, other_rad: float) -> bool:
    return bool(abs(np.angle(np.exp(1j * (roll_rad - other_rad)))) < _SAME_ROLL_RAD)


def _with_stubs(run: list[ThinPart], stubs: Sequence[ThinPart], skin: Skin) -> list[ThinPart]:
    """Plate with the short ends of its leading and trailing edge."""
    gap = _gap_m(skin)
    fore, aft = run[0].station_m - gap, run[-1].station_m + gap
    own = [stub for stub in stubs if fore <= stub.station_m <= aft and _same_roll(stub, run[0])]
    return sorted([*run, *own], key=lambda each: each.station_m)


def _is_fin(run: Sequence[ThinPart], skin: Skin) -> bool:
    chord = run[-1].station_m - run[0].station_m
    thick = float(np.median([part.thickness_m for part in run]))
    reach = max(part.tip_m for part in run) - min(part.root_m for part in run)
    long = chord > max(_LEAST_LENGTH * skin.length_m, 3.0 * thick)
    return len(run) >= 3 and long and reach > 3.0 * thick and _is_flat(run)


def _is_flat(run: Sequence[ThinPart]) -> bool:
    """Say whether the slices of a run lie in one plane and fill their boxes, as ears and tails do not."""
    shown = [part for part in run if part.shape is not None]
    if len(shown) < 3:
        return True
    stations = np.array([part.station_m for part in shown])
    roll = float(np.median(np.unwrap([part.roll_rad for part in shown])))
    across = np.array([-np.sin(roll), np.cos(roll)])
    middles = np.array([across @ np.array(part.shape.centroid.coords[0]) for part in shown])
    trend = np.polynomial.Polynomial.fit(stations, middles, 1)
    off = float(np.std(middles - trend(stations)))
    fills = [part.shape.area / part.shape.minimum_rotated_rectangle.area for part in shown]
    thick = float(np.median([part.thickness_m for part in shown]))
    return off < _WANDERS * thick and float(np.median(fills)) > _FILLS


def _fin(run: Sequence[ThinPart]) -> _Found:
    stations = np.array([part.station_m for part in run])
    roots, tips = (np.array([getattr(part, name) for part in run]) for name in ("root_m", "tip_m"))
    joined = np.array([part.touches for part in run])
    root = float(np.median(roots[joined] if joined.any() else roots))
    start = stations[0] - _ahead(stations, tips - root)
    outer = np.column_stack([stations - start, np.maximum(tips - root, 0.0)])
    inner = np.column_stack([stations - start, np.maximum(roots - root, 0.0)])
    # Along the root, out along the edge that hangs free ahead of it, aft along the tips, and
    # back in along the edge that hangs free behind.
    held = np.flatnonzero(joined) if joined.any() else np.array([0, len(run) - 1])
    fore, aft = int(held[0]), int(held[-1])
    lead = [[float(inner[fore, 0]) if fore else 0.0, 0.0]]
    outline = np.concatenate(
        [lead, inner[:fore][::-1], outer, inner[aft + 1 :][::-1], [[float(inner[aft, 0]), 0.0]]]
    )
    found = FinSet(
        name="",
        outline_m=_thinned(outline),
        station_m=float(start),
        root_radius_m=root,
        first_at_rad=float(np.median(np.unwrap([part.roll_rad for part in run]))) % (2.0 * np.pi),
        count=1,
        thickness_m=float(np.median([part.thickness_m for part in run])),
    )
    return _Found(fins=found, touches=bool(joined.any()), thickest_m=max(map(_thickest_m, run)))


def _thickest_m(part: ThinPart) -> float:
    """Diameter of the largest circle in a slice [m]."""
    import shapely

    tools: Any = shapely
    return 0.0 if part.shape is None else 2.0 * float(tools.maximum_inscribed_circle(part.shape).length)


def _ahead(stations: NDArray[np.float64], outward: NDArray[np.float64]) -> float:
    """How far ahead of its first slice a leading edge meets the root [m]."""
    rise = (outward[1] - outward[0]) / max(float(stations[1] - stations[0]), 1e-12)
    if rise <= 0.0 or outward[0] <= 0.0:
        return 0.0
    return float(min(outward[0] / rise, 0.1 * (stations[-1] - stations[0])))


def _thinned(outline: NDArray[np.float64]) -> NDArray[np.float64]:
    """Leave out points on straight edges."""
    import shapely

    tolerance = 2e-3 * float(np.ptp(outline, axis=0).max())
    line = shapely.LineString(outline[np.append(True, np.any(np.diff(outline, axis=0) != 0.0, axis=1))])
    return shapely.get_coordinates(line.simplify(tolerance))


def _apart_m(skin: Skin, runs: Sequence[Sequence[ThinPart]]) -> float:
    """Widest gap between the cuts that show plates and the one ahead of them [m]."""
    stations = np.array([section.station_m for section in skin.sections])
    first = max(int(np.searchsorted(stations, min(run[0].station_m for run in runs))) - 1, 0)
    last = max(run[-1].station_m for run in runs)
    return float(np.diff(stations[first:][stations[first:] <= last]).max(initial=0.0))


def _alike(fins: Sequence[_Found], apart_m: float) -> tuple[_Found, ...]:
    """Join fins of one shape that stand evenly round the axis, their ends seen no better than cuts stand."""
    left = sorted(fins, key=lambda one: (round(one.fins.station_m, 3), one.fins.first_at_rad))
    sets: list[_Found] = []
    while left:
        same = [one for one in left if _same_shape(one.fins, left[0].fins, apart_m)]
        rolls = np.sort([one.fins.first_at_rad for one in same])
        steps = np.diff(np.append(rolls, rolls[0] + 2.0 * np.pi))
        even = len(same) > 1 and np.ptp(steps) < _SAME_ROLL_RAD
        taken = same if even else left[:1]
        amid = float(np.median([one.fins.station_m for one in taken]))
        shown = min(taken, key=lambda one: round(abs(one.fins.station_m - amid), 6))
        together = replace(shown.fins, count=len(taken), first_at_rad=float(rolls[0]))
        most = max(one.thickest_m for one in taken)
        sets.append(replace(shown, fins=together, thickest_m=most) if even else shown)
        left = [one for one in left if not any(one is other for other in taken)]
    return tuple(sets)


def _same_shape(one: FinSet, other: FinSet, apart_m: float) -> bool:
    def size(fin: FinSet) -> NDArray[np.float64]:
        return np.array([fin.root_radius_m, *np.ptp(fin.outline_m, axis=0)])

    long = float(np.ptp(one.outline_m[:, 0]))
    near = _SAME_SHAPE * max(long, float(np.ptp(one.outline_m[:, 1])))
    off = np.abs(size(one) - size(other))
    # A root that hardly stands out shows on one fin a cut before it does on the next.
    along = max(float(off[1]), abs(one.station_m - other.station_m))
    return bool(max(off[0], off[2]) < near and along < max(near, 1.02 * apart_m))


def _without(skin: Skin, runs: Sequence[Sequence[ThinPart]], limit: float) -> tuple[tuple[Section, Any], ...]:
    """Sections with the plates cut out of them, and their shapes; those that were all fin are left out."""
    taken: dict[float, list[Any]] = {}
    for run in runs:
        for part in run:
            if part.shape is not None:
                taken.setdefault(part.station_m, []).append(part.shape)
    first = min(run[0].station_m for run in runs)
    kept: list[tuple[Section, Any]] = []
    for section in skin.sections:
        whole = polygons_of(section)
        # Aft of the base nothing but fins is cut, down to tips too short to show as plates.
        if section.station_m > first and whole.buffer(-limit / 2).is_empty:
            continue
        body = section_from(section, whole, taken.get(section.station_m, ()), limit)
        if body is not None:
            kept.append((body, polygons_of(body)))
    return tuple(kept)


def _with_sections(skin: Skin, kept: Sequence[tuple[Section, Any]]) -> Skin:
    sections = tuple(section for section, _ in kept)
    return replace(
        skin,
        sections=sections,
        volume_m3=volume_m3(sections),
        wetted_area_m2=wetted_area_m2([shape for _, shape in kept], sections),
    )


def _note(fins: Sequence[_Found]) -> str:
    words: list[str] = []
    for found in fins:
        fin = found.fins
        turns = np.degrees(fin.rolls_rad) % 360
        rolls = ", ".join(f"{turn:.0f}" for turn in turns)
        says = f"{fin.count} at station {1e3 * fin.station_m:.0f} mm, roll {rolls} deg"
        if fin.thickness_m <= 0.0:
            says += ", without thickness"
        if not found.touches:
            says += ", touching the body at a point at most"
        words.append(says)
    total = sum(found.fins.count for found in fins)
    return f"{total} fin{'s' * (total > 1)} found in the mesh and taken off the body: {'; '.join(words)}"
