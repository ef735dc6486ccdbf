"""Sections of the long look at the fins and their stays."""

import math
from collections.abc import Iterator

from finial.assemble.strength.fins.records import FinHeld, FinStudy, StayStudy
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.report.document import ReportSection, Table
from finial.report.shown import NOT_KNOWN, Shown, factor
from finial.report.strength_words import swing_words
from finial.report.wording.strength import HOLDS
from finial.structure.fins.root import RootHold
from finial.structure.reserves import reserve_factor


def fins_section(fin: FinStudy, shown: Shown) -> ReportSection:
    """Frequencies, bending, twist, divergence and flutter of one set of fins."""
    columns = [("as it is", fin.held)]
    if fin.bare is not None:
        columns = [("without stays", fin.bare), ("with stays", fin.held)]
    if fin.proposal is not None:
        columns.append(("with the stays proposed", fin.proposal.after))
    names = ("", *(name for name, _ in columns))
    rows = zip(*(_column(held, fin, shown) for _, held in columns), strict=True)
    table = Table(
        title="The fin in the wind",
        columns=names,
        rows=tuple((label, *cells) for label, cells in zip(_LABELS, rows, strict=True)),
    )
    lowest = fin.envelope.flutter_m_s.min()
    facts = (
        ("root", hold_words(fin.hold, shown)),
        ("top speed of the flights", shown.between(fin.top_speed, Dimension.SPEED)),
        ("flutter by the screen of 1958", shown.between(fin.screen, Dimension.SPEED)),
        (
            "flutter over height, least",
            shown.speed(float(lowest)) if math.isfinite(lowest) else "none below Mach 0.9",
        ),
    )
    return ReportSection(
        key=f"fins-{fin.name}",
        title=f"Fins: {fin.name}",
        facts=facts,
        tables=(table,),
        notes=("Modes are those of a plate; the air is a sheet of vortex rings whose wake remembers.",),
        pictures=("fin_modes", "fin_sweep", "fin_envelope"),
    )


_LABELS = (
    "frequencies",
    "flutter",
    "all fins alike",
    "divergence",
    "lift left at top speed",
    "lift's centre moves aft",
    "tip moves",
    "tip turns",
    "stress in the gust",
    "reserve in the gust",
)


def _column(held: FinHeld, fin: FinStudy, shown: Shown) -> Iterator[str]:
    yield ", ".join(
        f"{hertz:.0f} Hz {swing_words(twists)}"
        for hertz, twists in zip(held.frequencies_hz[:3], held.twists[:3], strict=True)
    )
    yield _speed(held.flutter, shown) + (f" at {held.flutter_hz:.0f} Hz" if held.flutter_hz else "")
    yield _speed(held.flutter_all_alike, shown) if held.flutter_all_alike else "the same"
    yield shown.speed(held.divergence_m_s) if math.isfinite(held.divergence_m_s) else "none below Mach 0.9"
    if held.stress is None:
        yield from ("past divergence",) * 6
        return
    yield f"{100 * held.lift_ratio:.0f} %"
    yield shown.offset(held.centre_shift_m)
    yield shown.offset(held.tip_shift_m)
    yield f"{math.degrees(held.tip_twist_rad):.2f} deg"
    yield shown.between(held.stress, Dimension.PRESSURE)
    yield factor(reserve_factor(fin.strength, held.stress))


def hold_words(hold: RootHold, shown: Shown) -> str:
    """Say how a root is held."""
    pieces = f"{len(hold.pieces_m)} " if hold.pieces_m else ""
    return pieces + HOLDS[hold.kind].format(deep=shown.offset(hold.depth_m))


def _speed(speed: Estimate | None, shown: Shown) -> str:
    return "none below Mach 0.9" if speed is None else shown.between(speed, Dimension.SPEED)


def stays_section(fin: FinStudy, shown: Shown) -> ReportSection:
    """Tell what each pair of wires does in the gust, and what pair would help."""
    table = Table(
        title="Each pair in the gust at top speed",
        columns=(
            "stay",
            "",
            "across the fin",
            "tied point moves",
            "slack",
            "tighter wire",
            "inward",
            "drag of all",
        ),
        rows=tuple(_stay(number, stay, shown) for number, stay in enumerate(fin.stays, start=1)),
        numbers=(2, 3, 4, 5, 6, 7),
    )
    facts: tuple[tuple[str, str], ...] = ()
    if fin.proposal is not None:
        pair = fin.proposal.pair
        facts = (
            (
                "proposed: tie at",
                f"{shown.length(pair.along_m)} along, {shown.length(pair.outward_m)} outward",
            ),
            (
                "wire and tension",
                f"{shown.length(pair.diameter_m)} steel, {shown.plain(pair.preload_n, Dimension.FORCE)}",
            ),
            ("to", "the body on both sides, half way to the next fin, abreast of the tie"),
            ("behind the wall there", f"{shown.length(fin.proposal.backing_m)} {fin.proposal.backing_of}"),
            ("flutter then", _speed(fin.proposal.after.flutter, shown)),
            ("wanted", shown.speed(fin.proposal.wanted_m_s)),
        )
    return ReportSection(key=f"stays-{fin.name}", title=f"Stays: {fin.name}", facts=facts, tables=(table,))


def _stay(number: int, stay: StayStudy, shown: Shown) -> tuple[str, ...]:
    return (
        str(number),
        _where(stay, shown),
        f"{stay.stiffness_n_per_m / 1e3:.0f} kN/m",
        shown.offset(stay.shift.value),
        NOT_KNOWN if stay.slack_reserve is None else factor(stay.slack_reserve),
        shown.plain(stay.tight_n.value, Dimension.FORCE),
        shown.plain(stay.inward_n, Dimension.FORCE),
        shown.plain(stay.drag_n, Dimension.FORCE),
    )


def _where(stay: StayStudy, shown: Shown) -> str:
    pair = stay.pair
    to = "to the body" if pair.to == "body" else "to the next fin"
    return f"from {shown.length(pair.along_m)} along, {shown.length(pair.outward_m)} outward {to}"
