"""The rail: does the shape clear it as it slides along, and do its buttons sit where they hold?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_not_negative, require_positive
from finial.shape.skin import Section, Skin

_POINT_M = 1e-4
"""Width of the strip that stands for a line along the skin [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailLine:
    """Where the rail runs beside the vehicle: a strip along the axis."""

    roll_rad: float
    """Roll angle of the side that carries the buttons [rad]."""
    face_m: float
    """Distance of the rail's face from the axis [m]."""
    width_m: float
    aside_m: float = 0.0
    """Distance of the rail's middle line from the plane of ``roll_rad`` [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailGap:
    """Room between rail and shape; negative where the shape stands in the rail's way."""

    gap_m: float
    station_m: float
    fins: str = ""
    """Name of the fin set that is in the way; empty for the body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailPlate:
    """One fin as the rail meets it."""

    name: str
    stations_m: tuple[float, float]
    roll_rad: float
    root_m: float
    """Distance of its root from the line it stands out from [m]."""
    tip_m: float
    thickness_m: float
    offset_m: tuple[float, float] = (0.0, 0.0)


def body_gap(skin: Skin, line: RailLine, from_m: float) -> RailGap:
    r"""Room between the rail's face and everything of the body that passes it.

    .. math::  g = d - \max_{s \ge s_0, \; |t| \le w/2} r(s, t)

    with :math:`d` the distance of the rail's face from the axis, :math:`r` and :math:`t` the places
    of the outline along and across the direction of the rail, :math:`w` the rail's width.

    Parameters
    ----------
    skin : Skin
        The outer outlines.
    line : RailLine
        Where the rail runs.
    from_m : float
        Station ahead of which the rail has already ended when the vehicle stands on it [m].

    Returns
    -------
    gap : RailGap
        Room [m] and the station that has the least; negative where the rail is in the way.

    Raises
    ------
    OutsideRange
        If the rail has no width.

    Notes
    -----
    Exact to the sections of the skin. The vehicle is taken to slide without tilting in its buttons'
    play.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> size = {"area_m2": 0.01, "perimeter_m": 0.4, "centroid_m": (0.0, 0.0)}
    >>> box = tuple(Section(station_m=s, loops=(square,), **size) for s in (0.0, 1.0))
    >>> skin = Skin(sections=box, length_m=1.0, volume_m3=0.01, wetted_area_m2=0.4)
    >>> round(body_gap(skin, RailLine(roll_rad=0.0, face_m=0.06, width_m=0.04), 0.0).gap_m, 6)
    0.01
    """
    require_positive(width_m=line.width_m)
    found = [
        (line.face_m - _farthest(section, line), section.station_m)
        for section in skin.sections
        if section.station_m >= from_m - 1e-9 and section.loops
    ]
    gap, station = min(found, default=(math.inf, 0.0))
    return RailGap(gap_m=gap, station_m=station)


def side_radius(section: Section, roll_rad: float, width_m: float, aside_m: float = 0.0) -> float:
    """Farthest that a section reaches towards a roll angle within a strip.

    Parameters
    ----------
    section : Section
        Outer outlines [m].
    roll_rad : float
        Roll angle of the side [rad].
    width_m : float
        Width of the strip [m].
    aside_m : float
        Distance of its middle line from the plane of that roll angle [m].

    Returns
    -------
    radius_m : float
        Distance from the axis along that direction [m]; minus infinity where nothing is in the strip.

    Notes
    -----
    Exact for the polygon.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> one = Section(station_m=0.0, loops=(square,), area_m2=0.01, perimeter_m=0.4, centroid_m=(0.0, 0.0))
    >>> round(side_radius(one, math.pi / 4, 0.02), 6)
    0.070711
    """
    return _farthest(section, RailLine(roll_rad=roll_rad, face_m=0.0, width_m=width_m, aside_m=aside_m))


def _farthest(section: Section, line: RailLine) -> float:
    """Farthest point of the outlines within the strip; minus infinity where none is in it."""
    low, high = line.aside_m - line.width_m / 2, line.aside_m + line.width_m / 2
    return max((_farthest_of(loop, line.roll_rad, low, high) for loop in section.loops), default=-math.inf)


def _farthest_of(loop: NDArray[np.float64], roll_rad: float, low_m: float, high_m: float) -> float:
    """Farthest corner or crossing of the strip's edges, of one outline."""
    out = loop @ np.array([math.cos(roll_rad), math.sin(roll_rad)])
    aside = loop @ np.array([-math.sin(roll_rad), math.cos(roll_rad)])
    inside = (aside >= low_m) & (aside <= high_m)
    best = float(out[inside].max()) if inside.any() else -math.inf
    out_next, aside_next = np.roll(out, -1), np.roll(aside, -1)
    for edge in (low_m, high_m):
        crosses = (aside > edge) != (aside_next > edge)
        share = (edge - aside[crosses]) / (aside_next[crosses] - aside[crosses])
        best = max(best, float((out[crosses] + share * (out_next - out)[crosses]).max(initial=-math.inf)))
    return best


def fin_gap(plates: Sequence[RailPlate], line: RailLine, from_m: float) -> RailGap:
    """Room between the rail and the fins, across the rail: how far the nearest plate stands off it.

    Parameters
    ----------
    plates : sequence of RailPlate
        All fins.
    line : RailLine
        Where the rail runs.
    from_m : float
        Station ahead of which the rail has already ended when the vehicle stands on it [m].

    Returns
    -------
    gap : RailGap
        Room [m], negative where a fin is in the way; infinite where none passes the rail.

    Notes
    -----
    Exact for plates that stand radially, to 1/64 of their reach. A plate that stays inward of the rail's face
    is clear however near its plane lies. Half the thickness is taken off whatever the angle.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> fin = RailPlate(name="fins", stations_m=(0.9, 1.1), roll_rad=0.0, root_m=0.05, tip_m=0.15,
    ...             thickness_m=0.005)
    >>> fin_gap([fin], RailLine(roll_rad=0.0, face_m=0.06, width_m=0.04), 0.0).gap_m
    -0.0225
    """
    gap = RailGap(gap_m=math.inf, station_m=0.0)
    for plate in plates:
        if plate.stations_m[1] < from_m:
            continue
        found = _aside_of(plate, line)
        if found < gap.gap_m:
            gap = RailGap(gap_m=found, station_m=sum(plate.stations_m) / 2, fins=plate.name)
    return gap


def _aside_of(plate: RailPlate, line: RailLine) -> float:
    """Distance of the plate from the strip, sideways, where it reaches past the rail's face."""
    outward = np.array([math.cos(plate.roll_rad), math.sin(plate.roll_rad)])
    reach = np.linspace(plate.root_m, plate.tip_m, 65)
    points = np.array(plate.offset_m) + reach[:, None] * outward
    out = points @ np.array([math.cos(line.roll_rad), math.sin(line.roll_rad)])
    aside = points @ np.array([-math.sin(line.roll_rad), math.cos(line.roll_rad)]) - line.aside_m
    past = out > line.face_m
    if not past.any():
        return math.inf
    # Thickness counts across the plate; half of it is the most it adds sideways.
    return float(np.abs(aside[past]).min()) - line.width_m / 2 - plate.thickness_m / 2


def button_roots(
    plates: Sequence[RailPlate], stations_m: Sequence[float], line: RailLine, across_m: float
) -> RailGap:
    """Room between the buttons and the nearest fin root beside one of them.

    Parameters
    ----------
    plates : sequence of RailPlate
        All fins.
    stations_m : sequence of float, shape (b,)
        Stations of the buttons [m].
    line : RailLine
        Where the rail runs.
    across_m : float
        Diameter of a button [m].

    Returns
    -------
    gap : RailGap
        Room [m], negative on a root; infinite where no fin stands on the rail's side.

    Notes
    -----
    Holds for roots along the axis; the larger of the room along and across counts.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> fin = RailPlate(name="fins", stations_m=(0.9, 1.1), roll_rad=0.0, root_m=0.05, tip_m=0.15,
    ...             thickness_m=0.005)
    >>> side = RailLine(roll_rad=0.0, face_m=0.06, width_m=0.04)
    >>> button_roots([fin], [0.6, 1.0], side, 0.02).gap_m
    -0.0125
    """
    gap = RailGap(gap_m=math.inf, station_m=0.0)
    for plate in plates:
        outward = np.array([math.cos(plate.roll_rad), math.sin(plate.roll_rad)])
        root = np.array(plate.offset_m) + plate.root_m * outward
        toward = np.array([math.cos(line.roll_rad), math.sin(line.roll_rad)])
        aside = float(root @ np.array([-toward[1], toward[0]])) - line.aside_m
        if float(root @ toward) <= 0.0:
            continue
        beside = abs(aside) - plate.thickness_m / 2 - across_m / 2
        for station in stations_m:
            along = max(plate.stations_m[0] - station, station - plate.stations_m[1]) - across_m / 2
            found = max(along, beside)
            if found < gap.gap_m:
                gap = RailGap(gap_m=found, station_m=station, fins=plate.name)
    return gap


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtonFoot:
    """How the skin lies under the foot of a button."""

    station_m: float
    rise_m: float
    """How far the skin beside its middle stands out past that under it [m]."""
    drop_m: float
    """How far the skin ahead or behind within its foot lies deeper than under its middle [m]."""


def button_foot(skin: Skin, line: RailLine, station_m: float, across_m: float) -> ButtonFoot:
    r"""Unevenness of the skin under a button, which stands on it as a round post square to the rail.

    .. math::  u = \max_{(s - s_0)^2 + t^2 \le d^2 / 4} r(s, t) - r(s_0, 0), \qquad
               v = r(s_0, 0) - \min_{|s - s_0| \le d / 2} r(s, 0)

    with :math:`r` the outermost skin at a station and a distance aside, :math:`d` the button's diameter.

    Parameters
    ----------
    skin : Skin
        The outer outlines.
    line : RailLine
        Where the rail runs.
    station_m : float
        Station of its middle [m].
    across_m : float
        Its diameter [m].

    Returns
    -------
    foot : ButtonFoot
        Rise and drop [m], of either the more.

    Raises
    ------
    OutsideRange
        If the button has no diameter.

    Notes
    -----
    Between two sections the skin is read off in between, so that a slope counts as one; a ledge has a
    section on either side. What falls away beside the middle line, as round bodies and corners do, is no
    drop. Minus infinity under the middle makes both infinite.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    A ledge of 8 mm that begins 5 mm behind the middle of a button of 14 mm.

    >>> size = {"area_m2": 0.01, "perimeter_m": 0.4, "centroid_m": (0.0, 0.0)}
    >>> square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> box = [(0.0, square), (0.505, square), (0.5051, 1.16 * square), (1.0, 1.16 * square)]
    >>> sections = tuple(Section(station_m=s, loops=(loop,), **size) for s, loop in box)
    >>> skin = Skin(sections=sections, length_m=1.0, volume_m3=0.01, wetted_area_m2=0.4)
    >>> foot = button_foot(skin, RailLine(roll_rad=0.0, face_m=0.07, width_m=0.04), 0.5, 0.014)
    >>> round(foot.rise_m, 6), round(foot.drop_m, 6)
    (0.008, 0.0)
    """
    require_positive(across_m=across_m)
    half = across_m / 2
    inner = skin.stations_m[np.abs(skin.stations_m - station_m) < half]
    ends = np.clip([station_m - half, station_m + half], 0.0, skin.length_m)
    under = _read_off(skin, line, station_m, _POINT_M)
    along = [_read_off(skin, line, float(one), _POINT_M) for one in (*ends, *inner)]
    round_it = [
        _read_off(skin, line, float(one), 2 * math.sqrt(max(half**2 - (one - station_m) ** 2, 0.0)))
        for one in (station_m, *inner)
    ]
    rise = max(*along, *round_it) - under
    return ButtonFoot(station_m=station_m, rise_m=rise, drop_m=under - min(along))


def _read_off(skin: Skin, line: RailLine, station_m: float, width_m: float) -> float:
    """Farthest of the skin towards the rail in a strip of its middle line, between two sections [m]."""
    strip = replace(line, width_m=max(width_m, _POINT_M))
    after = int(np.searchsorted(skin.stations_m, station_m))
    before = max(after - 1, 0)
    after = min(after, len(skin.stations_m) - 1)
    ahead, behind = (_farthest(skin.sections[k], strip) for k in (before, after))
    start, end = skin.stations_m[before], skin.stations_m[after]
    if ahead == behind or end <= start:
        return behind
    share = float((station_m - start) / (end - start))
    return ahead + share * (behind - ahead) if math.isfinite(ahead - behind) else (ahead, behind)[share > 0.5]


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtonLoads:
    """What the two buttons hold on the rail [N], and the share of either."""

    fore_n: float
    aft_n: float


def button_loads(force_n: float, force_m: float, buttons_m: tuple[float, float]) -> ButtonLoads:
    r"""Share a force across the vehicle between the two buttons that hold it.

    .. math::  F_{fore} = F \frac{s_{aft} - s_F}{s_{aft} - s_{fore}}, \qquad F_{aft} = F - F_{fore}

    Parameters
    ----------
    force_n : float
        Force across the axis [N].
    force_m : float
        Station it acts at [m].
    buttons_m : tuple of float
        Stations of the fore and the aft button [m].

    Returns
    -------
    loads : ButtonLoads
        Force of either [N]; of unlike signs where the force acts outside of both.

    Raises
    ------
    OutsideRange
        If the buttons stand at one station or a number is not finite.

    Notes
    -----
    Holds for a stiff vehicle without shake in the rail.

    References
    ----------
    .. [1] Moments about either support: any text on statics.

    Examples
    --------
    >>> loads = button_loads(40.0, 0.7, (0.5, 1.0))
    >>> round(loads.fore_n, 6), round(loads.aft_n, 6)
    (24.0, 16.0)
    """
    fore, aft = buttons_m
    require_positive(button_spacing_m=aft - fore)
    require_not_negative(force_n=abs(force_n), force_m=abs(force_m))
    ahead = force_n * (aft - force_m) / (aft - fore)
    return ButtonLoads(fore_n=ahead, aft_n=force_n - ahead)
