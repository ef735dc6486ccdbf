"""What the records of a cord followed in time are called, in the builder's units."""

from collections.abc import Iterator

from finial.assemble.recovery.lip import USUAL_CORD_WIDTH_M
from finial.assemble.recovery.records import (
    LipEdge,
    LipStudy,
    PieceMeeting,
    Remedy,
    RemedyKind,
    StartDoubt,
    TetherStudy,
)
from finial.assemble.recovery.zipper import RING_EDGE_M
from finial.report.shown import Shown
from finial.report.wording.recovery_study import CASES

DOUBTS = {
    StartDoubt.NONE: "as computed",
    StartDoubt.SLOW: "parting at the low end",
    StartDoubt.FAST: "parting at the high end",
    StartDoubt.NOSE_UP: "axis up by 15 deg",
    StartDoubt.NOSE_DOWN: "axis down by 15 deg",
}
EDGES = {
    LipEdge.NONE: "none",
    LipEdge.UPPER: "upper edge",
    LipEdge.LOWER: "lower edge",
    LipEdge.LEEWARD: "edge away from the drift",
    LipEdge.WINDWARD: "edge towards the drift",
}
_REMEDIES = {
    RemedyKind.AS_BUILT: ("as built", "3 s early to 5 s late"),
    RemedyKind.ON_TIME: (
        "event within a second of its time",
        "two computers, ports that follow, no lock-out",
    ),
    RemedyKind.LONGER_CORD: ("cord twice as long, {length}", ""),
    RemedyKind.SOFTER_CORD: ("softer cord of the same strength, {share:.0f} % at break", ""),
    RemedyKind.LESS_CHARGE: ("charge that parts at seven tenths of the speed", ""),
    RemedyKind.DROGUE: ("a drogue here, the main later in its own bay", "needs a second event"),
    RemedyKind.SLIDER: ("main with a slider", "filling twice as long, assumed"),
    RemedyKind.RING: ("ring in the mouth: {offset} aluminium, edge rounded to {edge}", "adds mass"),
    RemedyKind.WIDE_WEBBING: ("webbing {offset} wide where it bears", ""),
}


def remedy_words(remedy: Remedy, shown: Shown) -> tuple[str, str]:
    """Name a remedy, and what to mind about it."""
    size, edge = remedy.size, shown.offset(RING_EDGE_M)
    named, note = _REMEDIES[remedy.kind]
    return named.format(
        length=shown.length(size), offset=shown.offset(size), share=100 * size, edge=edge
    ), note


def lip_words(lip: LipStudy, shown: Shown) -> str:
    """Say what the lip is taken to be."""
    ring = " behind a ring" if lip.ring else ""
    radius = shown.offset(lip.edge_radius_m)
    edge = f"edge as cut, {radius} assumed" if lip.edge_as_cut else f"edge rounded to {radius}"
    layers = ""
    if lip.layered:
        layers = ", a slit runs between layers" if lip.layers_across else ", a slit cuts the layers"
    wall, bears = shown.offset(lip.wall_m), shown.offset(lip.bears_m)
    return f"{lip.material}{ring}, {wall}, {edge}{layers}; the cord bears on {bears}"


def line_names(tether: TetherStudy) -> tuple[str, ...]:
    """Name the lines whose pull is told: both ends of the cord, and the canopy's lines."""
    canopy = (f"lines of {tether.canopy}",) if tether.canopy else ()
    return (f"{tether.cord}, from the bay", f"{tether.cord}, from the other side", *canopy)


def meeting_words(meeting: PieceMeeting, shown: Shown) -> str:
    """Say when the two sides meet again."""
    case = f"{meeting.offset_s:+.1f} s, {CASES.get(meeting.wind, meeting.wind)}"
    return f"{meeting.time_s:.1f} s after the charge at {shown.speed(meeting.closing_m_s)} ({case})"


def cord_notes(tether: TetherStudy, shown: Shown) -> Iterator[str]:
    """Say what was taken for what nobody entered."""
    if tether.width_assumed:
        yield f"Width of {tether.cord} not known: {shown.offset(USUAL_CORD_WIDTH_M)} taken."
    if tether.hangs:
        yield (
            "It hangs under an earlier canopy: the three cases take it level, nose up and nose down by 60 "
            "deg, and the event's time does not matter."
        )
    if not tether.canopy:
        yield f"No canopy comes out at {tether.joint}: the two sides alone are followed."
    if tether.may_part:
        yield f"{tether.cord} may part by the closed form alone."
