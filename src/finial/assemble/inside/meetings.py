"""What comes near what: things and printed parts, each pair once, nearest first."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np

from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import Meeting
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.inside.cavity import Cavity
from finial.inside.clearance import Gap, gap_between
from finial.inside.order import SNUG_M
from finial.inside.passing import may_share
from finial.inside.room import WallGap, wall_gap, wall_room
from finial.inside.things import Kind, Thing
from finial.inside.walls import Overlap, overlaps, strays

_IN_THE_WALL = frozenset({Kind.SCREW, Kind.TAB})
NEAR_M = 0.01
"""Things farther apart than this are not listed [m]."""


def meetings_of(placed: Sequence[Placed], cavity: Cavity) -> tuple[Meeting, ...]:
    """Everything that comes nearer than a few millimetres to something it is not meant to share."""
    solid = [one for one in placed if not one.thing.lies_in]  # a pack: its bay stands for it
    met = [*_with_things(solid), *_with_parts(solid, cavity), *_overlaps(cavity)]
    met = [one for one in met if one.gap.low < NEAR_M]
    worst: dict[tuple[str, str, bool], Meeting] = {}
    for one in sorted(met, key=lambda one: one.gap.low + one.allowed_m):
        worst.setdefault((one.first, one.second, one.outside), one)
    return tuple(worst.values())


def _with_things(placed: Sequence[Placed]) -> Iterator[Meeting]:
    """Meetings of all pairs that may come near, in their order; the slack of both is added to a gap."""
    reach = NEAR_M + 2 * max((max(one.thing.slack_m) for one in placed), default=0.0)
    fore, aft = np.array([_widest_span(one) for one in placed]).reshape(-1, 2).T
    apart = np.maximum(fore - aft[:, None], fore[:, None] - aft)
    for first, second in np.argwhere(np.triu(apart < reach, k=1)).tolist():
        if met := meeting_of(placed[first], placed[second]):
            yield met


def _widest_span(one: Placed) -> tuple[float, float]:
    spans = [thing.span_m for thing in (one.thing, *one.others)]
    return min(fore for fore, _ in spans), max(aft for _, aft in spans)


def _one_set(first: Thing, second: Thing) -> bool:
    """Tell of a bay's room and its own tube, of rods of one set with their nuts, tabs of one set."""
    return first.name == second.name or (first.moves_with != "" and first.moves_with == second.moves_with)


# On the page one thing changes, and all others meet as before.
@lru_cache(maxsize=4096)
def meeting_of(first: Placed, second: Placed) -> Meeting | None:
    """How two things meet; ``None`` for two that are one set, or may take the same room."""
    if _one_set(first.thing, second.thing) or may_share(first.thing, second.thing):
        return None
    return _pair(first, second)


def _pair(first: Placed, second: Placed) -> Meeting:
    middle = gap_between(first.thing, second.thing)
    every = [middle.gap_m]
    if first.others or second.others:
        every = [
            gap_between(one, other).gap_m
            for one in (first.thing, *first.others)
            for other in (second.thing, *second.others)
        ]
    slack = _slack(first.thing, middle) + _slack(second.thing, middle)
    pressed = max(first.thing.pressed_in_m, second.thing.pressed_in_m)
    return Meeting(
        first=first.thing.name,
        second=second.thing.name,
        gap=_gap(middle.gap_m, every, slack, max(first.thing.known_by, second.thing.known_by)),
        station_m=middle.station_m,
        with_part=False,
        allowed_m=SNUG_M + pressed,
    )


def _slack(thing: Thing, gap: Gap) -> float:
    return thing.slack_m[1] if gap.along else thing.slack_m[0]


def _gap(value: float, every: Sequence[float], slack: float, known_by: KnownBy) -> Estimate:
    return Estimate(
        value=value,
        low=min(every) - slack,
        high=max(every) + slack,
        known_by=known_by,
        method="distance of solids",
    )


def _with_parts(placed: Sequence[Placed], cavity: Cavity) -> Iterator[Meeting]:
    for one in placed:
        if one.thing.kind in _IN_THE_WALL:
            continue  # it is meant to go through the skin
        met = _wall(one.thing, cavity)
        every = [met.gap_m, *(_room(other, cavity) for other in one.others)]
        if min(every) > NEAR_M + max(one.thing.slack_m):
            continue
        yield Meeting(
            first=one.thing.name,
            second=met.wall,
            gap=_gap(met.gap_m, every, one.thing.slack_m[0], one.thing.known_by),
            station_m=met.station_m,
            with_part=True,
            outside=met.outside,
            allowed_m=SNUG_M + one.thing.pressed_in_m,
        )


@kept(512)
def _wall(thing: Thing, cavity: Cavity) -> WallGap:
    return wall_gap(thing, cavity)


@kept(512)
def _room(thing: Thing, cavity: Cavity) -> float:
    return wall_room(thing, cavity)


@kept(4)
def _overlaps(cavity: Cavity) -> tuple[Meeting, ...]:
    return (
        *(_of_parts(one, outside=False) for one in overlaps(cavity)),
        *(_of_parts(one, outside=True) for one in strays(cavity)),
    )


def _of_parts(one: Overlap, *, outside: bool) -> Meeting:
    return Meeting(
        first=one.first,
        second=one.second,
        gap=exact(-one.depth_m, known_by=KnownBy.MEASURED, method="sections of the meshes"),
        station_m=one.station_m,
        with_part=True,
        outside=outside,
        allowed_m=SNUG_M,
    )
