"""What was recognised in a builder's meshes, in words: what, how sure, and from what."""

import math
from collections.abc import Sequence

from finial.assemble.start.found import DrawnVehicle, PieceShape, RodHoles
from finial.core.dimensions import Dimension
from finial.inside.drawn import MotorRoom
from finial.report.shown import Shown
from finial.report.words import counted
from finial.shape.fin_set import FinSet
from finial.shape.pieces.arrange import Arranged
from finial.shape.pieces.together import WhyApart
from finial.shape.pieces.upright import Sign, Upright

_SIGNS = {
    Sign.LONG: "it is {value:.1f} times as long that way as across",
    Sign.EVEN_ROUND: "its sections are as wide one way as the other",
    Sign.UPRIGHT: "it is drawn upright",
    Sign.NARROW: "that end is the narrow one",
    Sign.BORE: "a bore is open at the other end",
    Sign.PLATES: "plates stand out at the other end, as fins do",
    Sign.TOLD: "you said so",
}
_AGAINST = {
    Sign.UPRIGHT: "then it is drawn upside down",
    Sign.NARROW: "the other end is the narrow one",
    Sign.BORE: "a bore is open at that end",
    Sign.PLATES: "plates stand out at that end, as fins do",
}
_APART = {
    WhyApart.SAME_ROOM: "as drawn, {one} and {other} stand in the same place",
    WhyApart.GAP: "{one} and {other} do not touch, and nothing between them does",
    WhyApart.NESTED: "{one} lies inside {other}, and they begin or end level",
}
_ALIKE = 0.05
_THICK_M = 0.015
"""A mean wall beyond this is no wall that anybody thinks of [m]."""
_SHORTEST_ROOM_M = 0.015
_FEW_CUTS = 0.2
"""A part is called solid where fewer of its cuts are hollow [-]; chosen."""
_MOST_CUTS = 0.5
"""A part is called hollow in part where fewer of its cuts are [-]; chosen."""


def tip_words(upright: Upright) -> str:
    """Say where the tip points, how sure, and why."""
    why = ", ".join(_SIGNS[sign].format(value=value) for sign, value in upright.signs)
    but = against_words(upright)
    said = f"{f': {why}' if why else ''}{f'; but {but}' if but else ''}"
    return f"the tip points along mesh {upright.up} ({upright.sureness.value}{said})"


def against_words(upright: Upright) -> str:
    """Say what speaks for the other end; empty where nothing does."""
    return " and ".join(_AGAINST[sign] for sign in upright.against)


def apart_words(arranged: Arranged, names: Sequence[str]) -> str:
    """Say why the pieces do not stand together as drawn; empty where they do."""
    drawn = arranged.drawn
    if drawn.apart is None:
        return ""
    one, other = (names[number] for number in drawn.which)
    return _APART[drawn.apart].format(one=one, other=other)


def standing_words(arranged: Arranged, names: Sequence[str]) -> str:
    """Say how the pieces stand, from the tip."""
    row = ", ".join(names[number] for number in arranged.order)
    if len(names) == 1:
        return "one piece"
    if arranged.stack is None:
        within = [name for name, inner in zip(names, arranged.inner, strict=True) if inner]
        inside = f"; inside the others: {', '.join(within)}" if within else ""
        return f"{len(names)} pieces that stand together as drawn, from the tip: {row}{inside}"
    why = apart_words(arranged, names) or "you said so"
    return f"{len(names)} pieces put on one another ({why}), from the tip: {row}; {_match(arranged)}"


def _match(arranged: Arranged) -> str:
    assert arranged.stack is not None
    worst = max(arranged.stack.mismatch, default=0.0)
    if worst <= _ALIKE:
        return "their ends match"
    common = 100 * (1 - worst)
    return f"where they match least, {common:.0f} % of the two ends is common: look whether that is meant"


def piece_words(piece: PieceShape, shown: Shown) -> str:
    """Say whether a part is drawn hollow or solid, and its wall."""
    if math.isnan(piece.wall_m):
        return "drawn solid, bores aside (sure: every cut across it is nine tenths full)"
    share = f"{100 * piece.hollow_share:.0f} % of the cuts across it are hollow"
    wall = f"walls {shown.offset(piece.wall_m)} on the mean"
    if piece.hollow_share < _FEW_CUTS:
        return f"drawn solid but for a room or a bore somewhere (sure: {share})"
    if piece.is_shell:
        return f"a shell, its drawn wall is what is printed: {wall} (likely: {share})"
    if piece.wall_m > _THICK_M:
        return f"thick, with a bore or a room inside (sure: {share})"
    if piece.hollow_share < _MOST_CUTS:
        return f"hollow in part, or open at the side: {wall} where it is (likely: {share})"
    return f"hollow: {wall} (sure: {share})"


def motor_words(room: MotorRoom | None, shown: Shown) -> str:
    """Say what room there is for a motor at the base."""
    if room is None:
        return "no room for a motor is drawn at the base: it must be cut, or said under bores"
    across = shown.offset(room.across_m)
    if room.is_bore:
        return (
            f"a round bore at the base, {across} across and {shown.length(room.depth_m(room.across_m))} deep"
        )
    half = room.across_m / 2
    return (
        f"an open room at the base, {across} across and no bore: a tube of {shown.offset(half)} goes in "
        f"{shown.length(room.depth_m(half))}"
    )


def rod_words(rods: RodHoles, shown: Shown) -> str:
    """Say a set of drawn holes."""
    holes = rods.holes
    thread = f", {rods.thread} goes through" if rods.thread else ", no common thread goes through snugly"
    return (
        f"{holes.count} holes {shown.offset(holes.across_m)} across on a circle of "
        f"{shown.offset(holes.on_circle_m)}, from station {shown.length(holes.fore_m)} to "
        f"{shown.length(holes.aft_m)}{thread}"
    )


def fin_words(fins: Sequence[FinSet], shown: Shown) -> str:
    """Say the fins that are part of the meshes."""
    if not fins:
        return "no fins are drawn into the meshes"
    said = [
        f"{counted(fin.count, 'fin')} {shown.offset(fin.thickness_m)} thick from station "
        f"{shown.length(fin.station_m)}, the first at roll {shown.plain(fin.first_at_rad, Dimension.ANGLE)}"
        for fin in fins
    ]
    return f"{'; '.join(said)} (likely: flat plates that stand out); they count by themselves"


def room_words(found: DrawnVehicle, shown: Shown) -> list[str]:
    """Say the rooms on the axis, from the tip."""
    return [
        f"{'round room' if room.is_round else 'room'} {shown.offset(room.across_m)} across"
        f"{'' if room.is_straight else ' at its narrowest'}, from station {shown.length(room.fore_m)} to "
        f"{shown.length(room.aft_m)}"
        for room in found.rooms
        if room.length_m >= _SHORTEST_ROOM_M
    ]
