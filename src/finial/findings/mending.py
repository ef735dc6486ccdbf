"""The smallest set of changes that is found to mend what fails, or the best so far and what stops it.

Quick checks are mended first, as they cost little; what then fails in the long look is mended step by
step, and the quick checks again after each step. At last each change is made as small as it may be,
and left out where it is not needed.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.pulls import Tweak, pulls_of
from finial.core.dimensions import Dimension
from finial.files.edit import Value
from finial.files.toml_places import KeyPath
from finial.findings.check import readiness
from finial.findings.finding import Finding, Verdict
from finial.findings.long_looks import NOT_LOOKED
from finial.findings.readiness import Depth, Readiness
from finial.findings.stays_pull import stays_pulls
from finial.findings.tries import Tries, needs_long, suiting, worst_of

MOST_ROUNDS, MOST_STEPS, HALVINGS = 4, 8, 4
_SHARES = (0.25, 0.5, 1.0)
_LONG_SHARES = (0.1, 0.3, 1.0)
_WORST, _UNKNOWN, _NOTHING = 10.0, 1.0, 1e-9
Chosen = Mapping[int, float]
"""Value of each pull that was chosen, by its number."""
Told = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a set: what is pulled at, from what to what [SI]."""

    lever: str
    name: str
    was: float
    size: float
    dimension: Dimension


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


def mend(vehicle: Vehicle, told: Told = lambda _note: None) -> Mend | None:
    """Search for the smallest set that mends a vehicle; ``None`` where nothing fails."""
    before = readiness(vehicle)
    if not any(finding.fails for finding in before.findings):
        return None
    search = _Search(
        tries=Tries(vehicle=vehicle),
        before=before,
        pulls=(*pulls_of(vehicle), *stays_pulls(vehicle, before)),
        told=told,
    )
    return search.mended(search.found())


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    tries: Tries
    before: Readiness
    pulls: tuple[Tweak, ...]
    told: Told

    def found(self) -> Chosen:
        """Mend in turns: the quick checks until none is left that can be, then a step for the long ones."""
        chosen: Chosen = {}
        for number in range(1, MOST_ROUNDS + 1):
            self.told(f"round {number}: {len(chosen)} changes")
            chosen = self._smaller(self._quickly(chosen))
            further = self._step(chosen, Depth.WHOLE)
            if further is None:
                return self._needed(chosen)
            chosen = further
        return self._needed(chosen)

    def _quickly(self, chosen: Chosen) -> Chosen:
        for _ in range(MOST_STEPS):
            further = self._step(chosen, Depth.QUICK)
            if further is None:
                return chosen
            chosen = further
        return chosen

    def _step(self, chosen: Chosen, depth: Depth) -> Chosen | None:
        """Return the choice with one pull more, or pulled further, that leaves least missing."""
        now = self.answer(chosen, depth)
        missing = _missing(now)
        if now is None or missing < _NOTHING:
            return None
        for finding in _worst_missing(now):
            better: tuple[float, Chosen] | None = None
            for further in self._neighbours(finding, chosen, depth):
                left = _missing(self.answer(further, depth))
                if left < (better[0] if better else missing) - _NOTHING:
                    better = left, further
                if depth is Depth.WHOLE and left <= missing - _short(finding) + _NOTHING:
                    break  # a long look takes seconds: the first that turns it will do
            if better is not None:
                return better[1]
        return None

    def _neighbours(self, finding: Finding, chosen: Chosen, depth: Depth) -> Iterator[Chosen]:
        """Choices with one pull that suits a finding pulled further."""
        for pull in suiting(finding, self.pulls):
            number = self.pulls.index(pull)
            for share in _LONG_SHARES if depth is Depth.WHOLE else _SHARES:
                value = pull.at(share)
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

    def _smaller(self, chosen: Chosen) -> Chosen:
        """Make each change as small as the quick checks allow."""
        wanted = _missing(self.answer(chosen, Depth.QUICK))
        for number, value in chosen.items():
            pull = self.pulls[number]
            low, high = pull.now, value
            for _ in range(HALVINGS):
                middle = round((low + high) / 2 / pull.step) * pull.step
                if _missing(self.answer({**chosen, number: middle}, Depth.QUICK)) <= wanted + _NOTHING:
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
        return self.tries.answer(self.changes(chosen), depth)

    def changes(self, chosen: Chosen) -> Changes:
        together: dict[KeyPath, Value] = {}
        for number, value in sorted(chosen.items()):
            together |= self.pulls[number].changes(value)
        return together

    def mended(self, chosen: Chosen) -> Mend:
        after = self.answer(chosen, Depth.WHOLE) or self.before
        failing = {check for check, one in worst_of(after.findings).items() if one.fails}
        left = [one for one in worst_of(after.findings).values() if one.fails]
        then = worst_of(self.before.findings)
        return Mend(
            told=tuple(self._change(number, value) for number, value in sorted(chosen.items())),
            changes=self.changes(chosen),
            added_kg=after.flight.lift_off_mass_kg - self.before.flight.lift_off_mass_kg,
            verdict=after.verdict,
            mended=tuple(one for check, one in then.items() if one.fails and check not in failing),
            stops=tuple(one for one in left if not _is_open(one)),
            to_enter=tuple(one for one in left if _is_open(one)),
        )

    def _change(self, number: int, value: float) -> Change:
        pull = self.pulls[number]
        return Change(
            lever=pull.kind.value, name=pull.name, was=pull.now, size=value, dimension=pull.dimension
        )


def _is_open(finding: Finding) -> bool:
    """Tell whether something must be entered, tested or wired rather than made larger."""
    return finding.bound.value is None or finding.value is None


def _worst_missing(answer: Readiness) -> list[Finding]:
    """Return what fails and can be mended, the largest gap first."""
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
        return 0.0 if finding.verdict is Verdict.NOT_KNOWN else _UNKNOWN
    if finding.margin is None or finding.margin >= 0.0:
        return _UNKNOWN
    return min(-finding.margin, _WORST) + 0.1
