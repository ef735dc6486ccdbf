"""Electronics: what fires the charges, what guards the people, and the odds of both."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.electronics.results import CanopyOdds, ElectronicsResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.electronics.common_cause import ALL_AT_ONCE
from finial.electronics.rates import PartKind
from finial.electronics.wiring import FailingPart
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.sections.sensing import SENSING_NOTE, sensing_tables
from finial.report.shown import Shown
from finial.report.words import BATTERIES_CAUTION

SHOWN_CUTS = 10
LEAST_GAIN = 0.995
"""Risk with a second part over that without, above which it buys nothing [-]."""
CERTAIN = 0.5
"""Odds from which on all figures after the point count [-]."""
ODDS_NOTE = (
    "No field statistics of such parts were found: every odd is assumed, with a range that owns up to it. "
    "They compare ways of wiring; they do not promise a flight. Parts of a kind share a tenth of their "
    "failures (the same mistake, the same batch), both ways; vibration takes every chain at once."
)


def electronics_section(readiness: Readiness) -> ReportSection:
    """Show firing paths, arming, odds, pad time, and what fails alone."""
    electronics, shown = readiness.electronics, Shown(us_units=readiness.us_units)
    pad = tuple(
        (f"{name} on the pad", shown.judged(lasting, Dimension.TIME))
        for name, lasting in electronics.pad_times
    )
    alone = tuple(_alone(electronics))
    tables = (
        _firing(electronics, shown),
        _arming(electronics),
        _events(electronics),
        *sensing_tables(electronics.sensing, shown),
        *(table for one in electronics.odds for table in (_odds(one), _second_ones(one)) if one.cuts),
    )
    return ReportSection(
        key="electronics",
        title="Electronics",
        facts=pad,
        tables=tuple(table for table in tables if table.rows),
        pictures=("firing_paths",) if electronics.paths else (),
        notes=(
            *alone,
            *((SENSING_NOTE,) if electronics.sensing.ports else ()),
            *((ODDS_NOTE,) if electronics.odds else ()),
            BATTERIES_CAUTION,
        ),
    )


def _alone(electronics: ElectronicsResult) -> Iterator[str]:
    """Say what each canopy hangs on alone."""
    losing = dict.fromkeys(point.canopies for point in electronics.single_points)
    for canopies in losing:
        parts = [part_words(one.part) for one in electronics.single_points if one.canopies == canopies]
        yield f"Each of these alone loses {', '.join(canopies)}: {', '.join(parts)}."


def part_words(part: FailingPart) -> str:
    """Name a part that fails."""
    if part.kind is PartKind.VIBRATION:
        return "vibration of the whole vehicle"
    if part.name == ALL_AT_ONCE:
        return f"every {part.kind} at once"
    return f"{part.name} ({part.kind})"


def _firing(electronics: ElectronicsResult, shown: Shown) -> Table:
    return Table(
        title="Firing paths",
        columns=(
            *("canopy", "igniter", "computer", "battery", "switches", "current", "all-fire", "left for it"),
        ),
        rows=tuple(
            (
                power.path.canopy,
                power.path.igniter,
                power.path.computer,
                power.path.battery,
                ", ".join(power.path.switches) or "none",
                shown.between(power.current, Dimension.CURRENT),
                shown.plain(power.all_fire_a, Dimension.CURRENT),
                shown.between(power.voltage, Dimension.VOLTAGE),
            )
            for power in electronics.paths
        ),
        numbers=(5, 6, 7),
    )


def _arming(electronics: ElectronicsResult) -> Table:
    """Show both directions of arming: what a switch buys, and what it costs."""
    return Table(
        title="Arming: odds of both directions, assumed unless counted",
        columns=("computer", "switches", "stays off when armed", "live with people near"),
        rows=tuple(
            (
                one.computer,
                " and then ".join(" or ".join(group) for group in one.switches) or "none",
                odds_words(one.no_arming),
                odds_words(one.unasked),
            )
            for one in electronics.arming
        ),
        numbers=(2, 3),
    )


def _events(electronics: ElectronicsResult) -> Table:
    """Show both directions of every event: that it happens, and that its charges fire among people."""
    every = (
        () if electronics.fires_near is None else (("any charge", "", odds_words(electronics.fires_near)),)
    )
    return Table(
        title="Both directions of every event, assumed unless counted",
        columns=("canopy", "comes out and holds", "a charge of it fires with people near"),
        rows=(
            *(
                (
                    one.canopy,
                    odds_words(_works(one.loss)),
                    "nothing fires it" if one.fires_near is None else odds_words(one.fires_near),
                )
                for one in electronics.odds
            ),
            *every,
        ),
        numbers=(1, 2),
    )


def _works(loss: Estimate) -> Estimate:
    return replace(loss, value=1 - loss.value, low=1 - loss.high, high=1 - loss.low)


def _odds(odds: CanopyOdds) -> Table:
    """Show what loses a canopy, likeliest first, and what a second part would do."""
    second = {one.part: one.ratio for one in odds.doublings}
    return Table(
        title=f"{odds.canopy} does not come out, or does not hold: {odds_words(odds.loss)}, assumed",
        columns=("fails, alone or together", "odds", "risk with a second one"),
        rows=tuple(
            (
                " and ".join(part_words(part) for part in cut.parts),
                odds_words(cut.odds),
                f"x {second[cut.parts[0]]:.2f}" if len(cut.parts) == 1 and cut.parts[0] in second else "",
            )
            for cut in odds.cuts[:SHOWN_CUTS]
        ),
        numbers=(1, 2),
    )


def _second_ones(odds: CanopyOdds) -> Table:
    """Show how much every part matters: what a second one beside it would leave of the risk."""
    return Table(
        title=f"A second part beside one of those that bring {odds.canopy} out, what helps most first",
        columns=("second", "risk"),
        rows=tuple(
            (part_words(one.part), f"x {one.ratio:.2f}")
            for one in odds.doublings[:SHOWN_CUTS]
            if one.ratio < LEAST_GAIN
        ),
        numbers=(1,),
    )


def odds_words(odds: Estimate) -> str:
    """Write odds with their ends, as many figures as mean something."""
    if odds.low == odds.high:
        return f"{odds.value:.2g}"
    if odds.low > CERTAIN:
        return f"{odds.value:.3f} ({odds.low:.2f} to {odds.high:.3f})"
    return f"{odds.value:.2g} ({odds.low:.1g} to {odds.high:.1g})"
