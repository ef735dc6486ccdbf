"""Every advice is tried before it is given: the least change that turns a finding, and what it moves."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.places import changes_named
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import OF_THE_DAY, Tweak
from finial.core.content import content_hash
from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.files.kept import kept
from finial.findings.check import Tell, readiness, silent
from finial.findings.finding import Finding, Fix, Moved, Trial, Verdict, Written, bearable
from finial.findings.kept_tops import kept_tops
from finial.findings.long_looks import read_by_looks, tables_in_si
from finial.findings.readiness import Depth, Readiness
from finial.findings.same_check import Check, check_of, worst_of
from finial.findings.stays_pull import stays_pulls
from finial.findings.tries import AS_RECKONED, Tries, moved, needs_long, suiting, times_wanted
from finial.flight.trace import Trace

MOST_LONG_LOOKS = 8
"""Long looks that one answer may spend on its advice; they take seconds each."""
LOOKS_FOR_CAUTIONS, LOOKS_FOR_A_GO = 3, 1
"""Long looks that cautions may spend beside what fails, and where nothing does; nobody waits for a go."""
_HALVINGS = 5
FIX = "fix"
"""Lever of a change that the finding's own rule worked out; its name is the key of the fix."""
_LADDER = (0.15, 0.4, 1.0)
"""Shares of the way to the most at which a long look is asked."""


def answered(
    vehicle: LoadedVehicle, *, depth: Depth = Depth.WHOLE, flown: tuple[Trace, ...] = (), tell: Tell = silent
) -> Readiness:
    """Answer for a loaded vehicle, with every advice tried; under further flights nothing is tried.

    Clocks are held against the tops of a campaign of this very vehicle that is kept beside its sheet.
    """
    found = readiness(vehicle, depth=depth, flown=flown, tops=kept_tops(vehicle), tell=tell)
    return found if flown else advised(vehicle, found, tell)


def advised(vehicle: LoadedVehicle, before: Readiness, tell: Tell) -> Readiness:
    """Return a whole answer with what was tried for each finding that fails; kept by its content.

    A quick answer comes back as it is: nobody waits there.
    """
    worst = worst_of(before.findings)
    doubted = [one for one in worst.values() if one.verdict > Verdict.GO and not one.spoiled]
    pulls = (*pulls_of(vehicle), *stays_pulls(vehicle, before))
    told = [(one, suiting(one, pulls)) for one in doubted]
    wanted = [(one, found) for one, found in told if found or any(fix.changes for fix in one.fixes)]
    if before.depth is not Depth.WHOLE or not wanted:
        return before
    tell("trying what would turn it")
    asked = content_hash(
        read_by_looks(vehicle), tables_in_si(vehicle.sheet), [(check_of(one), one.verdict) for one in doubted]
    )
    trials = kept("advice", asked, lambda: tried(vehicle, before, wanted))
    given = [_given(one, worst[check_of(one)], trials.get(check_of(one), ())) for one in before.findings]
    return replace(before, findings=tuple(given))


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedied:
    """A change that was tried and turned a finding, and where it stands in the sheet."""

    trial: Trial
    named: Mapping[str, Written]
    """Places and values by the sheet's own names, where the finding's rule worked them out."""
    changes: Changes


def mends(vehicle: LoadedVehicle, told: Readiness) -> dict[Check, Remedied]:
    """Give the changes of the sheet that were tried and turned a finding, the first for each check.

    A calmer hour, or people farther away, is found on the field and not written into the sheet.
    """
    pulls = (*pulls_of(vehicle), *stays_pulls(vehicle, told))
    by_lever = {(pull.kind.value, pull.name): pull for pull in pulls}
    found: dict[Check, Remedied] = {}
    for finding in told.findings:
        turning = next((one for one in finding.trials if one.turns and one.lever not in OF_THE_DAY), None)
        if turning is not None:
            found.setdefault(check_of(finding), _remedied(vehicle, finding, turning, by_lever))
    return {check: one for check, one in found.items() if one.changes}


def _remedied(
    vehicle: LoadedVehicle, finding: Finding, trial: Trial, by_lever: Mapping[tuple[str, str], Tweak]
) -> Remedied:
    if trial.lever != FIX:
        pull = by_lever.get((trial.lever, trial.name))
        return Remedied(trial=trial, named={}, changes=pull.changes(trial.size) if pull else {})
    fix = next(one for one in finding.fixes if one.key == trial.name and one.changes)
    return Remedied(trial=trial, named=fix.changes, changes=changes_named(vehicle.sheet, fix.changes))


def tried(
    vehicle: LoadedVehicle, before: Readiness, wanted: list[tuple[Finding, tuple[Tweak, ...]]]
) -> dict[Check, tuple[Trial, ...]]:
    """Try each finding's pulls, as deep as the answer went; of the pulls those that turn it stand first."""
    # What only a long look answers goes first: the others are tried by the quick one in any case.
    failing = sorted(
        (one for one in wanted if one[0].fails), key=lambda one: not needs_long(one[0], before.depth)
    )
    doubted = [one for one in wanted if not one[0].fails]
    tries = Tries(vehicle=vehicle, most_long=MOST_LONG_LOOKS)
    found: dict[Check, tuple[Trial, ...]] = {}
    for group in (failing, doubted):
        for finding, trials in _in_turn(tries, before, group):
            found[check_of(finding)] = tuple(sorted(trials, key=lambda one: not one.turns))
        more = LOOKS_FOR_CAUTIONS if before.verdict > Verdict.CAUTION else LOOKS_FOR_A_GO
        tries.most_long = tries.long_looks + more
    return found


def _in_turn(
    tries: Tries, before: Readiness, wanted: list[tuple[Finding, tuple[Tweak, ...]]]
) -> Iterator[tuple[Finding, list[Trial]]]:
    """Try one change for each finding, then a second for each: no finding spends the looks of all."""
    waiting = [(finding, _trials(tries, before, finding, pulls)) for finding, pulls in wanted]
    told: list[list[Trial]] = [[] for _ in waiting]
    more = True
    while more:
        nexts = [next(trials, None) for _, trials in waiting]
        for trials, one in zip(told, nexts, strict=True):
            trials.extend([] if one is None else [one])
        more = any(nexts)
    for (finding, _), trials in zip(waiting, told, strict=True):
        yield finding, trials


def _given(finding: Finding, worst: Finding, trials: tuple[Trial, ...]) -> Finding:
    """Return the finding with what was tried for the worst of its check, where that is of it too."""
    if not _shares(finding, worst):
        return finding
    own = (_of_own_fixes(trial, finding, worst) for trial in trials)
    return replace(finding, trials=tuple(trial for trial in own if trial is not None))


def _of_own_fixes(trial: Trial, finding: Finding, worst: Finding) -> Trial | None:
    """Name a fix that was tried as the finding itself has it; ``None`` where it has none that changes so.

    Two findings of one check may have fixes of one key with other sizes in them: those were not tried.
    """
    if trial.lever != FIX:
        return trial
    changes = next(fix.changes for fix in worst.fixes if fix.key == trial.name and fix.changes)
    same = next((fix.key for fix in finding.fixes if fix.changes == changes), None)
    return None if same is None else replace(trial, name=same)


def _shares(finding: Finding, worst: Finding) -> bool:
    """Tell whether what was tried for the worst of a check was tried for this finding too."""
    return finding.verdict > Verdict.GO and bearable(finding.verdict) is bearable(worst.verdict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """A check that should turn, and the worst verdict that will do."""

    tries: Tries
    before: Readiness
    check: Check
    most: Verdict
    long: bool
    times: float
    """How many times as much its rule reckons is wanted [-]."""

    @property
    def depth(self) -> Depth:
        return Depth.WHOLE if self.long else Depth.QUICK

    def turns(self, changes: Changes, depth: Depth) -> bool:
        return self.tries.turns(changes, depth, self.check, self.most)

    def moved(self, changes: Changes) -> tuple[bool, tuple[Moved, ...]]:
        """Compare as deep as there are looks left; say whether that was the whole look."""
        deep = self.before.depth is Depth.WHOLE and self.tries.affords(changes)
        depth = Depth.WHOLE if deep else Depth.QUICK
        after = self.tries.answer(changes, depth)
        then = self.before if deep else self.tries.answer({}, depth)
        if after is None or then is None:
            return deep, ()
        return deep, moved(then, after, self.check, self.most)


def _trials(tries: Tries, before: Readiness, finding: Finding, pulls: tuple[Tweak, ...]) -> Iterator[Trial]:
    asked = _Asked(
        tries=tries,
        before=before,
        check=check_of(finding),
        most=bearable(finding.verdict),
        long=needs_long(finding, before.depth),
        times=times_wanted(finding),
    )
    for fix in finding.fixes:
        yield from _fix_tried(asked, fix)
    by_rule = list(filter(None, (_changes(tries.vehicle, fix) for fix in finding.fixes)))
    for pull in pulls:
        size = (_long_search if asked.long else _quick_search)(asked, pull)
        if size is None or pull.changes(size[0]) in by_rule:
            continue  # the rule came to the very same size, and says it in its own words
        value, turns = size
        deep, told = asked.moved(pull.changes(value)) if turns else (False, ())
        yield Trial(
            lever=pull.kind.value,
            name=pull.name,
            was=pull.now,
            size=value,
            dimension=pull.dimension,
            to=pull.to,
            turns=turns,
            deep=deep,
            moved=told,
        )


def _fix_tried(asked: _Asked, fix: Fix) -> Iterator[Trial]:
    """Try the change that a rule itself worked out; nothing where it names no place of the sheet."""
    changes = _changes(asked.tries.vehicle, fix)
    if not changes or (asked.long and not asked.tries.affords(changes)):
        return
    turns = asked.turns(changes, asked.depth)
    deep, told = asked.moved(changes) if turns else (False, ())
    yield Trial(
        lever=FIX,
        name=fix.key,
        was=0.0,
        size=0.0,
        dimension=Dimension.RATIO,
        turns=turns,
        deep=deep,
        moved=told,
    )


def _changes(vehicle: LoadedVehicle, fix: Fix) -> Changes:
    """Return the changes that a rule worked out, by place; none where the sheet has no such place."""
    try:
        return changes_named(vehicle.sheet, fix.changes)
    except FinialError:
        return {}


def _quick_search(asked: _Asked, pull: Tweak) -> tuple[float, bool]:
    """Least size that turns the check in the quick look; the most, where none does."""
    most = _first_that_turns(asked, pull)
    if most is None:
        return pull.at(1.0), False
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if asked.turns(pull.changes(pull.at(middle)), Depth.QUICK):
            high = middle
        else:
            low = middle
    return pull.at(high), True


def _first_that_turns(asked: _Asked, pull: Tweak) -> float | None:
    """More is not always better: a fin that grows on loses again what it gained."""
    shares = (1.0, 0.6, 0.3)
    return next((share for share in shares if asked.turns(pull.changes(pull.at(share)), Depth.QUICK)), None)


def _long_search(asked: _Asked, pull: Tweak) -> tuple[float, bool] | None:
    """First rung that turns the check in the long look, or the most, in vain; ``None`` once looks run out."""
    rungs = _rungs(pull, asked.times)
    for value in rungs:
        changes = pull.changes(value)
        if not asked.tries.affords(changes):
            return None
        if asked.turns(changes, Depth.WHOLE):
            return value, True
    return rungs[-1], False


def _rungs(pull: Tweak, times: float) -> tuple[float, ...]:
    """Sizes that a long look is asked at: what the rule reckons first, then the most."""
    if pull.is_whole:
        return (pull.most,)
    if pull.kind not in AS_RECKONED or times <= 1.0:
        return tuple(pull.at(share) for share in _LADDER)
    reckoned = pull.on_a_step(pull.now * times)
    return (reckoned, pull.most) if reckoned < pull.most else (pull.most,)
