"""The smallest set of changes that is found to mend what fails, or the best so far and what stops it.

Quick checks are mended first, as they cost little, each change as small as they allow. What then fails
in the long look is mended step by step, the no-gos first; each step is looked at with what the quick
checks need beside it, such as ballast against heavier fins. At last whatever is not needed is left out, and
what the long look asked for is made as small as it allows.

It climbs: a set that gets worse before it gets better is not found, and what no pull made better is not
pulled at again.
"""

import math
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import MOVES, OF_THE_DAY, Tweak, TweakKind
from finial.files.edit import Value
from finial.files.toml_places import KeyPath
from finial.findings.check import readiness
from finial.findings.finding import Change, Finding, Verdict
from finial.findings.long_looks import NOT_LOOKED
from finial.findings.readiness import Depth, Readiness
from finial.findings.same_check import Check, check_of, worst_of
from finial.findings.stays_pull import stays_pulls
from finial.findings.tries import AS_RECKONED, Tries, has_suiting, needs_long, suiting, times_wanted

MOST_ROUNDS, MOST_STEPS, HALVINGS, ROOM_HALVINGS = 10, 8, 4, 6
MOST_LONG_LOOKS = 60
"""Long looks that one search may spend; each takes seconds."""
_SHARES = (0.25, 0.5, 1.0)
_LONG_SHARES = (0.15, 0.3, 0.5)
_WORST, _UNKNOWN, _NOTHING = 10.0, 1.0, 1e-9
_FORBIDS = 1.0
"""What a no-go adds to what is missing: it goes first, and what only may fail after it [-]."""
_WORTHWHILE = 0.03
"""A step of the long look gains at least so much, or the search would creep [-]."""
Chosen = Mapping[int, float]
"""Value of each pull that was chosen, by its number."""
Told = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """A set of changes, and what the whole check says of it."""

    told: tuple[Change, ...]
    changes: Changes
    added_kg: float
    verdict: Verdict
    mended: tuple[Finding, ...]
    """Checks that failed before and no longer do."""
    stops: tuple[Finding, ...]
    """Checks that still fail, and that no change tried turns: the limits that stopped it."""
    to_enter: tuple[Finding, ...]
    """Checks that stay open because the sheet lacks something: no change of size answers them."""
    brought: tuple[Finding, ...] = ()
    """What these changes themselves bring about and no size mends, such as no room for larger ballast."""


def mend(vehicle: LoadedVehicle, told: Told = lambda _note: None) -> Mend | None:
    """Search for the smallest set that mends a vehicle; ``None`` where nothing fails."""
    before = readiness(vehicle)
    if not any(finding.fails for finding in before.findings):
        return None
    tries = Tries(vehicle=vehicle, most_long=MOST_LONG_LOOKS)
    pulls = (
        *(one for one in pulls_of(vehicle) if one.kind not in OF_THE_DAY | MOVES),
        *stays_pulls(vehicle, before),
    )
    roomy = (in_its_room(tries, pull) for pull in pulls)
    search = _Search(
        tries=tries,
        before=before,
        pulls=tuple(pull for pull in roomy if abs(pull.most - pull.now) > 0.5 * pull.step),
        told=told,
    )
    return search.mended(search.found())


def in_its_room(tries: Tries, pull: Tweak) -> Tweak:
    """Let ballast grow no further than its room lets it: more of it would stand in the print."""
    if pull.kind is not TweakKind.BALLAST or _crowds(tries, pull, 1.0) <= (
        there := _crowds(tries, pull, 0.0)
    ):
        return pull
    low, high = 0.0, 1.0
    for _ in range(ROOM_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _crowds(tries, pull, middle) <= there else (low, middle)
    return replace(pull, most=pull.at(low))


def _crowds(tries: Tries, pull: Tweak, share: float) -> set[Check]:
    """Name what has no room with a pull at a share of its way; a name of nothing where that cannot be."""
    found = tries.answer(pull.changes(pull.at(share)), Depth.QUICK)
    if found is None:
        return {Check("", "")}
    return {check_of(one) for one in found.findings if one.stage == "inside" and one.fails}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    tries: Tries
    before: Readiness
    pulls: tuple[Tweak, ...]
    told: Told
    vain: set[Check] = field(default_factory=set[Check])
    """What no pull made better in the long look."""

    def found(self) -> Chosen:
        """Mend in turns: the quick checks until none is left that can be, then a step for the long ones."""
        chosen = self._smaller(self._quickly({}), Depth.QUICK)
        quickly = dict(chosen)
        for number in range(1, MOST_ROUNDS + 1):
            self.told(f"round {number}: {len(chosen)} changes, {self.tries.long_looks} long looks")
            further = self._long_step(chosen)
            if further is None:
                break
            chosen = further
        needed = self._needed(chosen)
        self.told("making each as small as it may be")
        grown = {one for one, value in needed.items() if quickly.get(one) != value}
        return self._smaller(needed, Depth.WHOLE, grown)

    def _quickly(self, chosen: Chosen) -> Chosen:
        for _ in range(MOST_STEPS):
            further = self._quick_step(chosen)
            if further is None:
                return chosen
            chosen = further
        return chosen

    def _quick_step(self, chosen: Chosen) -> Chosen | None:
        """Return the choice with one pull more, or pulled further, that leaves least missing."""
        now = self.answer(chosen, Depth.QUICK)
        least, best = _missing(now), None
        for finding in _worst_missing(now):
            for further in self._neighbours(finding, chosen, _SHARES):
                left = _missing(self.answer(further, Depth.QUICK))
                if left < least - _NOTHING:
                    least, best = left, further
            if best is not None:
                return best
        return None

    def _long_step(self, chosen: Chosen) -> Chosen | None:
        """Return the first choice that turns a finding at no loss, or the best of those for one finding.

        A long look takes seconds: the quick checks are mended before it, and what was in vain stays so.
        """
        now = self.answer(chosen, Depth.WHOLE)
        missing = _missing(now)
        for finding in _worst_missing(now):
            if check_of(finding) in self.vain:
                continue
            least, best = missing - _WORTHWHILE, None
            for pulled in self._neighbours(finding, chosen, _LONG_SHARES):
                further = self._quickly(pulled)
                left = _missing(self.answer(further, Depth.WHOLE))
                if left <= missing - _short(finding) + _NOTHING:
                    return further
                if left < least:
                    least, best = left, further
            if best is not None:
                return best
            self.vain.add(check_of(finding))
        return None

    def _neighbours(self, finding: Finding, chosen: Chosen, shares: tuple[float, ...]) -> Iterator[Chosen]:
        """Choices with one pull that suits a finding pulled further."""
        for pull in suiting(finding, self.pulls):
            number = self.pulls.index(pull)
            for value in _sizes(pull, finding, shares):
                if abs(value - pull.now) > abs(chosen.get(number, pull.now) - pull.now):
                    yield {**self._beside(chosen, number, value), number: value}

    def _beside(self, chosen: Chosen, number: int, value: float) -> Chosen:
        """Return what may stand beside a pull: nothing that writes to the same place."""
        places = set(self.pulls[number].changes(value))
        return {
            one: size
            for one, size in chosen.items()
            if one == number or places.isdisjoint(self.pulls[one].changes(size))
        }

    def _smaller(self, chosen: Chosen, depth: Depth, which: Container[int] | None = None) -> Chosen:
        """Make each change, or those named, as small as the checks allow."""
        wanted = _missing(self.answer(chosen, depth))
        for number, value in chosen.items():
            pull = self.pulls[number]
            if pull.is_whole or not (which is None or number in which):
                continue
            low, high = pull.now, value
            for _ in range(HALVINGS):
                middle = round((low + high) / 2 / pull.step) * pull.step
                if _missing(self.answer({**chosen, number: middle}, depth)) <= wanted + _NOTHING:
                    high = middle
                else:
                    low = middle
            chosen = {**chosen, number: high}
        return {number: value for number, value in chosen.items() if value != self.pulls[number].now}

    def _needed(self, chosen: Chosen) -> Chosen:
        """Leave out what the whole check does not miss."""
        wanted = _missing(self.answer(chosen, Depth.WHOLE))
        for number in list(chosen) if len(chosen) > 1 else ():
            without = {one: value for one, value in chosen.items() if one != number}
            if _missing(self.answer(without, Depth.WHOLE)) <= wanted + _NOTHING:
                chosen = without
        return chosen

    def answer(self, chosen: Chosen, depth: Depth) -> Readiness | None:
        """Answer for a choice; ``None`` for one that cannot be, or that no look is left for."""
        changes = self.changes(chosen)
        if depth is Depth.WHOLE and not self.tries.affords(changes):
            return None
        return self.tries.answer(changes, depth)

    def changes(self, chosen: Chosen) -> Changes:
        together: dict[KeyPath, Value] = {}
        for number, value in sorted(chosen.items()):
            together |= self.pulls[number].changes(value)
        return together

    def mended(self, chosen: Chosen) -> Mend:
        after = self._shown(chosen)
        failing = {check for check, one in worst_of(after.findings).items() if one.fails}
        left = [one for one in worst_of(after.findings).values() if one.fails]
        then = worst_of(self.before.findings)
        failed = {check for check, one in then.items() if one.fails}
        open_ones = [one for one in left if _is_open(one)]
        return Mend(
            told=tuple(self._change(number, value) for number, value in sorted(chosen.items())),
            changes=self.changes(chosen),
            added_kg=after.flight.lift_off_mass_kg - self.before.flight.lift_off_mass_kg,
            verdict=after.verdict,
            mended=tuple(one for check, one in then.items() if one.fails and check not in failing),
            stops=tuple(one for one in left if not _is_open(one)),
            to_enter=tuple(one for one in open_ones if check_of(one) in failed),
            brought=tuple(one for one in open_ones if check_of(one) not in failed),
        )

    def _shown(self, chosen: Chosen) -> Readiness:
        """Answer with what a look proposes: looks on the way here only asked whether it holds."""
        if not chosen or self.answer(chosen, Depth.WHOLE) is None:
            return self.before
        return self.tries.shown(self.changes(chosen))

    def _change(self, number: int, value: float) -> Change:
        pull = self.pulls[number]
        return Change(
            lever=pull.kind.value,
            name=pull.name,
            was=pull.now,
            size=value,
            dimension=pull.dimension,
            to=pull.to,
        )


def _sizes(pull: Tweak, finding: Finding, shares: tuple[float, ...]) -> Iterable[float]:
    """Sizes that a pull is tried at: what the finding's rule reckons, and shares of the way to the most."""
    if pull.is_whole:
        return (pull.most,)
    times = times_wanted(finding) if pull.kind in AS_RECKONED else 1.0
    reckoned = math.ceil(pull.now * times / pull.step - 1e-9) * pull.step
    asked = [pull.at(share) for share in shares]
    return dict.fromkeys([reckoned, *asked] if pull.now < reckoned < pull.most else asked)


def _is_open(finding: Finding) -> bool:
    """Tell whether something must be entered, tested or wired rather than made larger.

    What meets its limit at its bad end and is not known all the same lacks a test, and no size.
    """
    meets = finding.margin is not None and finding.margin >= 0.0
    untested = finding.verdict is Verdict.NOT_KNOWN and meets
    return finding.value is None or untested or (finding.bound.value is None and not has_suiting(finding))


def _worst_missing(answer: Readiness | None) -> list[Finding]:
    """Return what fails and can be mended, the largest gap first."""
    if answer is None:
        return []
    failing = [one for one in _counted(answer) if not _is_open(one)]
    return sorted(failing, key=lambda one: -_short(one))


def _missing(answer: Readiness | None) -> float:
    """Sum over the checks of what is missing as a share of the limit; what must be entered does not count."""
    if answer is None:
        return _WORST * _WORST
    return sum(_short(one) for one in _counted(answer))


def _counted(answer: Readiness) -> list[Finding]:
    """Return what fails; the quick look leaves out what only the long one can answer."""
    failing = [one for one in worst_of(answer.findings).values() if one.fails]
    if answer.depth is Depth.WHOLE:
        return failing
    return [one for one in failing if one.key not in NOT_LOOKED and not needs_long(one, Depth.WHOLE)]


def _short(finding: Finding) -> float:
    if _is_open(finding):
        return 0.0 if finding.verdict is Verdict.NOT_KNOWN else _UNKNOWN + _FORBIDS
    forbids = _FORBIDS if finding.verdict is Verdict.NO_GO else 0.0
    if finding.margin is None or finding.margin >= 0.0:
        return _UNKNOWN + forbids
    return min(-finding.margin, _WORST) + 0.1 + forbids
