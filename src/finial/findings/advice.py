"""Every advice is tried before it is given: the least change that turns a finding, and what it moves."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.places import changes_named
from finial.assemble.vehicle.pulls import Tweak, TweakKind, pulls_of
from finial.core.content import content_hash
from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.files.kept import kept
from finial.findings.check import Tell, readiness, silent
from finial.findings.finding import Finding, Fix, Moved, Trial
from finial.findings.long_looks import read_by_looks
from finial.findings.readiness import Depth, Readiness
from finial.findings.stays_pull import stays_pulls
from finial.findings.tries import Check, Tries, check_of, moved, needs_long, suiting, turned, worst_of
from finial.flight.trace import Trace

MOST_LONG_LOOKS = 6
"""Long looks that one answer may spend on its advice; they take seconds each."""
_HALVINGS = 5
FIX = "fix"
"""Lever of a change that the finding's own rule worked out; its name is the key of the fix."""
_LADDER = (0.15, 0.4, 1.0)
"""Shares of the way to the most at which a long look is asked."""


def answered(
    vehicle: Vehicle, *, depth: Depth = Depth.WHOLE, flown: tuple[Trace, ...] = (), tell: Tell = silent
) -> Readiness:
    """Answer for a loaded vehicle, with every advice tried; under further flights nothing is tried."""
    found = readiness(vehicle, depth=depth, flown=flown, tell=tell)
    return found if flown else advised(vehicle, found, tell)


def advised(vehicle: Vehicle, before: Readiness, tell: Tell) -> Readiness:
    """Return a whole answer with what was tried for each finding that fails; kept by its content.

    A quick answer comes back as it is: nobody waits there.
    """
    failing = [one for one in worst_of(before.findings).values() if one.fails]
    pulls = (*pulls_of(vehicle), *stays_pulls(vehicle, before))
    told = [(one, suiting(one, pulls)) for one in failing]
    wanted = [(one, found) for one, found in told if found or any(fix.changes for fix in one.fixes)]
    if before.depth is not Depth.WHOLE or not wanted:
        return before
    tell("trying what would turn it")
    asked = content_hash(read_by_looks(vehicle), dict(vehicle.sheet), [check_of(one) for one in failing])
    trials = kept("advice", asked, lambda: tried(vehicle, before, wanted))
    given = [
        replace(one, trials=trials.get(check_of(one), ())) if one.fails else one for one in before.findings
    ]
    return replace(before, findings=tuple(given))


def tried(
    vehicle: Vehicle, before: Readiness, wanted: list[tuple[Finding, tuple[Tweak, ...]]]
) -> dict[Check, tuple[Trial, ...]]:
    """Try each finding's pulls, as deep as the answer went; those that turn it first."""
    tries = Tries(vehicle=vehicle)
    found: dict[Check, tuple[Trial, ...]] = {}
    for finding, pulls in wanted:
        trials = list(_trials(tries, before, finding, pulls))
        found[check_of(finding)] = tuple(sorted(trials, key=lambda one: not one.turns))
    return found


def _trials(tries: Tries, before: Readiness, finding: Finding, pulls: tuple[Tweak, ...]) -> Iterator[Trial]:
    check, long = check_of(finding), needs_long(finding, before.depth)
    for fix in finding.fixes:
        yield from _fix_tried(tries, before, check, fix)
    for pull in pulls:
        search = _long_search if long else _quick_search
        size = search(tries, pull, check)
        if size is None:
            continue
        value, turns = size
        yield Trial(
            lever=pull.kind.value,
            name=pull.name,
            was=pull.now,
            size=value,
            dimension=pull.dimension,
            to=pull.to,
            turns=turns,
            moved=_what_moves(tries, before, pull, value, check) if turns else (),
        )


def _fix_tried(tries: Tries, before: Readiness, check: Check, fix: Fix) -> Iterator[Trial]:
    """Try the change that a rule itself worked out; nothing where it names no place of the sheet."""
    try:
        changes = changes_named(tries.vehicle.sheet, fix.changes)
    except FinialError:
        return
    if not changes or not (tries.known(changes, before.depth) or tries.long_looks < MOST_LONG_LOOKS):
        return
    after = tries.answer(changes, before.depth)
    turns = turned(after, check)
    yield Trial(
        lever=FIX,
        name=fix.key,
        was=0.0,
        size=0.0,
        dimension=Dimension.RATIO,
        turns=turns,
        moved=moved(before, after, check) if after is not None and turns else (),
    )


def _quick_search(tries: Tries, pull: Tweak, check: Check) -> tuple[float, bool]:
    """Least size that turns the check in the quick look; the most, where none does."""
    most = _first_that_turns(tries, pull, check)
    if most is None:
        return pull.at(1.0), False
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if turned(tries.answer(pull.changes(pull.at(middle)), Depth.QUICK), check):
            high = middle
        else:
            low = middle
    return pull.at(high), True


def _first_that_turns(tries: Tries, pull: Tweak, check: Check) -> float | None:
    """More is not always better: a fin that grows on loses again what it gained."""
    return next(
        (
            share
            for share in (1.0, 0.6, 0.3)
            if turned(tries.answer(pull.changes(pull.at(share)), Depth.QUICK), check)
        ),
        None,
    )


def _long_search(tries: Tries, pull: Tweak, check: Check) -> tuple[float, bool] | None:
    """First rung that turns the check in the long look; ``None`` where no look is left to ask."""
    rungs = (1.0,) if pull.kind is TweakKind.STAYS else _LADDER
    value = None
    for share in rungs:
        value, changes = pull.at(share), pull.changes(pull.at(share))
        if not tries.known(changes, Depth.WHOLE) and tries.long_looks >= MOST_LONG_LOOKS:
            return None
        if turned(tries.answer(changes, Depth.WHOLE), check):
            return value, True
    return None if value is None else (value, False)


def _what_moves(
    tries: Tries, before: Readiness, pull: Tweak, value: float, check: Check
) -> tuple[Moved, ...]:
    """Compare as deep as there are looks left."""
    changes = pull.changes(value)
    affordable = tries.known(changes, Depth.WHOLE) or tries.long_looks < MOST_LONG_LOOKS
    depth = before.depth if affordable else Depth.QUICK
    after = tries.answer(changes, depth)
    then = before if depth is before.depth else tries.answer({}, depth)
    return () if after is None or then is None else moved(then, after, check)
