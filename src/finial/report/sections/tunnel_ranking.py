"""Variants of a sheet in the tunnel, two by two: whether it ranks them as the sections do."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from finial.assemble.air.results import TunnelBeside, TunnelRow
from finial.core.estimates import Estimate
from finial.report.document import ReportSection, Table
from finial.report.shown import NOT_KNOWN, Shown

AGREE, OTHERWISE, UNTOLD = "agree", "rank them the other way", "the tunnel's errors meet: not told apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """How two variants differ at one wind: the second over the first."""

    tunnel: float | None
    """``None``: nothing was read there."""
    apart: bool
    """The tunnel's intervals do not meet."""
    sections: float | None

    @property
    def verdict(self) -> str:
        """Say whether the tunnel ranks them as the sections do."""
        if self.tunnel is None or self.sections is None:
            return NOT_KNOWN
        same = self.tunnel * self.sections > 0.0
        if self.apart:
            return AGREE if same else OTHERWISE
        return f"{AGREE}, but {UNTOLD}" if same else UNTOLD


def places_ranked(first: TunnelRow, second: TunnelRow) -> Ranked:
    """Set the centres of pressure of two variants side by side [m]."""
    one, other = first.sections_place_m, second.sections_place_m
    return Ranked(
        tunnel=None
        if first.place is None or second.place is None
        else second.place.value - first.place.value,
        apart=_apart(first.place, second.place),
        sections=None if one is None or other is None else other[1] - one[1],
    )


def forces_ranked(first: TunnelRow, second: TunnelRow) -> Ranked:
    """Set the forces across of two variants side by side [-]."""
    return Ranked(
        tunnel=second.force.value - first.force.value,
        apart=_apart(first.force, second.force),
        sections=second.sections_force - first.sections_force,
    )


def _apart(first: Estimate | None, second: Estimate | None) -> bool:
    return first is not None and second is not None and (second.low > first.high or first.low > second.high)


def ranking_section(read: Mapping[str, TunnelBeside], shown: Shown) -> ReportSection | None:
    """Rank variants two by two at each wind that both were blown at; nothing where there is one alone."""
    rows = tuple(_rows(read, shown))
    if not rows:
        return None
    return ReportSection(
        key="tunnel-ranking",
        title="Variants beside one another",
        tables=(
            Table(
                title="Second over first; coefficients on each one's own area",
                columns=("angle", "roll", "first", "second", "what", "tunnel", "sections", "they"),
                rows=rows,
                numbers=(0, 1, 5, 6),
            ),
        ),
        notes=(
            "Intervals are those of each variant alone. What both are off by alike, such as fins that the "
            "lattice blows too thick, goes in both, so that a difference is known better than its ends.",
        ),
    )


def _rows(read: Mapping[str, TunnelBeside], shown: Shown) -> Iterator[tuple[str, ...]]:
    for (one, first), (other, second) in combinations(read.items(), 2):
        theirs = {_wind(row): row for row in second.rows}
        for row in first.rows:
            match = theirs.get(_wind(row))
            if row.angle_rad > 0.0 and match is not None:
                where = shown.angle(row.angle_rad), shown.angle(row.roll_rad), one, other
                places, forces = places_ranked(row, match), forces_ranked(row, match)
                moved = (_moved(each_m, shown) for each_m in (places.tunnel, places.sections))
                yield (*where, "centre", *moved, places.verdict)
                yield (*where, "force", _signed(forces.tunnel), _signed(forces.sections), forces.verdict)


def _wind(row: TunnelRow) -> tuple[float, float]:
    return round(row.angle_rad, 6), round(row.roll_rad, 6)


def _moved(moved_m: float | None, shown: Shown) -> str:
    if moved_m is None:
        return NOT_KNOWN
    return f"{shown.length(abs(moved_m))} {'aft' if moved_m >= 0.0 else 'forward'}"


def _signed(value: float | None) -> str:
    return NOT_KNOWN if value is None else f"{value:+.3f}"
