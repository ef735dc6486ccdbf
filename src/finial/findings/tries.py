"""Changes tried on a vehicle: each answered once, as deep as a finding needs, and compared with before."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.pulls import Tweak, TweakKind
from finial.core.errors import FinialError
from finial.findings.check import readiness
from finial.findings.finding import Finding, Moved, Verdict
from finial.findings.readiness import Depth, Readiness
from finial.findings.rules.strength_rules import ALL_OF_A_CAUSE

LONG_KEYS = frozenset({"pack-exit", "charge-parts-joint", "cord-in-time", "joint-force", "lip-holds"})
"""Checks of recovery that only the long look makes."""
_HARDLY = 0.01
"""A bad end moved by less than this share of its limit is not told [-]."""
_MOST_MOVED = 4
_FIN = (TweakKind.THICKNESS, TweakKind.PLATE, TweakKind.STAYS)
_WALL = (TweakKind.WALLS, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE)
_SUITS: dict[str, tuple[TweakKind, ...]] = {
    "margin": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "off-axis": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "steady-angle": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "rail-exit-speed": (TweakKind.RAIL,),
    "rail-exit-wind": (TweakKind.RAIL,),
    "rail-exit-angle": (TweakKind.RAIL,),
    "gallop": (TweakKind.RAIL,),
    "lopsided": (TweakKind.RAIL,),
    "rail-for-buttons": (TweakKind.RAIL,),
    "buttons-apart": (TweakKind.GUIDES,),
    "tip-off": (TweakKind.GUIDES, TweakKind.RAIL),
    "button-spacing": (TweakKind.GUIDES,),
    "buttons-and-balance": (TweakKind.GUIDES, TweakKind.BALLAST),
    "landing-speed": (TweakKind.CANOPY,),
    "landing-energy": (TweakKind.CANOPY,),
    "landing-energy-in-wind": (TweakKind.CANOPY,),
    "joint-force": (TweakKind.LESS_CHARGE,),
    "lands-inside": (TweakKind.SMALLER_CANOPY,),
    "pins-hold": (TweakKind.PINS,),
    "charge-opens": (TweakKind.CHARGE,),
    "charge-parts-joint": (TweakKind.CHARGE,),
    "pack-exit": (TweakKind.CHARGE,),
    "cord-separation": (TweakKind.CORD, TweakKind.LONGER_CORD),
    "opening-load": (TweakKind.CORD, TweakKind.SMALLER_CANOPY),
    "cord-in-time": (TweakKind.CORD, TweakKind.LONGER_CORD),
    "wall-crushed": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-wrinkles": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-collapses": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-pulled-apart": (*_WALL, TweakKind.PRELOAD),
    "wall-sheared": _WALL,
    "wall-pressed": (TweakKind.WALLS,),
    "holds-when-warm": (*_WALL, TweakKind.PRELOAD, TweakKind.LESS_PRELOAD),
    "joint-opens": (TweakKind.PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "rod-pulled": (TweakKind.LESS_PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "rod-buckles": (TweakKind.LESS_PRELOAD, TweakKind.LESS_CHARGE),
    "rod-strips": (TweakKind.LESS_PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "washer-sinks": (TweakKind.LESS_PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "nut-pulls-through": (TweakKind.LESS_PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "bay-bursts": (TweakKind.LESS_CHARGE, TweakKind.WALLS),
    "fin-breaks": _FIN,
    "fin-flutters": _FIN,
    "fin-flutters-by-modes": _FIN,
}
"""Which pulls may turn a check; the others take another entry of the sheet, or another vehicle."""


class Check(NamedTuple):
    """Which check it is, whatever its worst moment or case: the key and the name of its subject."""

    key: str
    name: str


def check_of(finding: Finding) -> Check:
    """Return the check that a finding answers; all that one cause brings about is one check."""
    return Check(finding.key, "" if finding.key in ALL_OF_A_CAUSE else finding.subject.name)


def worst_of(findings: Iterable[Finding]) -> dict[Check, Finding]:
    """Return the worst finding of each check; the findings come worst first."""
    found: dict[Check, Finding] = {}
    for finding in findings:
        found.setdefault(check_of(finding), finding)
    return found


def suiting(finding: Finding, pulls: Iterable[Tweak]) -> tuple[Tweak, ...]:
    """Return the pulls that may turn a finding, in the order in which they suit it."""
    kinds = _SUITS.get(finding.key, ())
    if finding.value is None:
        return ()  # what is missing must be entered
    chosen = [pull for pull in pulls if pull.kind in kinds]
    return tuple(sorted(chosen, key=lambda pull: kinds.index(pull.kind)))


def has_suiting(finding: Finding) -> bool:
    """Tell whether some size of some sheet may turn a finding."""
    return finding.key in _SUITS


def needs_long(finding: Finding, depth: Depth) -> bool:
    """Tell whether only the long look can answer for a finding."""
    return depth is Depth.WHOLE and (finding.stage == "strength" or finding.key in LONG_KEYS)


@dataclass(slots=True, kw_only=True)
class Tries:
    """Answers to changed vehicles, each found once; counts the long looks."""

    vehicle: Vehicle
    most_long: int = 0
    """Long looks that may be spent."""
    long_looks: int = 0
    _answers: dict[tuple[str, Depth], Readiness | None] = field(
        default_factory=dict[tuple[str, Depth], "Readiness | None"]
    )

    def answer(self, changes: Changes, depth: Depth) -> Readiness | None:
        """Answer for the vehicle with changes; ``None`` for one that cannot be."""
        asked = (repr(sorted(changes.items(), key=repr)), depth)
        if asked not in self._answers:
            self.long_looks += depth is Depth.WHOLE
            self._answers[asked] = self._found(changes, depth)
        return self._answers[asked]

    def known(self, changes: Changes, depth: Depth) -> bool:
        """Tell whether it was asked before."""
        return (repr(sorted(changes.items(), key=repr)), depth) in self._answers

    def affords(self, changes: Changes) -> bool:
        """Tell whether a long look at it was made, or may still be."""
        return self.known(changes, Depth.WHOLE) or self.long_looks < self.most_long

    def _found(self, changes: Changes, depth: Depth) -> Readiness | None:
        try:
            return readiness(self.vehicle, changes, depth=depth)
        except FinialError:
            return None


def turned(answer: Readiness | None, check: Check, most: Verdict = Verdict.CAUTION) -> bool:
    """Tell whether a check is no worse than a verdict; one that cannot be answered is."""
    return answer is not None and all(
        finding.verdict <= most for finding in answer.findings if check_of(finding) == check
    )


def moved(
    before: Readiness, after: Readiness, check: Check, most: Verdict = Verdict.CAUTION
) -> tuple[Moved, ...]:
    """Return the most that a change moved besides what it was made for; ``most`` as in ``turned``."""
    return everything_moved(before, after, check, most)[:_MOST_MOVED]


def everything_moved(
    before: Readiness, after: Readiness, check: Check | None = None, most: Verdict = Verdict.CAUTION
) -> tuple[Moved, ...]:
    """Return what a change moved: what got worse than a verdict, what got no worse, what lost margin."""
    then, now = worst_of(before.findings), worst_of(after.findings)
    told = [_moved(then[one], now[one]) for one in now if one in then and one != check]
    told += [_moved(None, now[one]) for one in now if one not in then and now[one].verdict > most]
    fallen = [one for one in told if one.now > max(one.was, most)]
    mended = [one for one in told if one.was > most >= one.now]
    paid = [one for one in told if one.key == "margin" and one.less is not None and one.less > 0.0]
    kept = {(one.key, one.subject.name): one for one in (*fallen, *mended, *paid)}
    return tuple(kept.values())


def _moved(then: Finding | None, now: Finding) -> Moved:
    lost = None
    if then is not None and then.margin is not None and now.margin is not None and now.bound.value:
        share = then.margin - now.margin
        lost = share * abs(now.bound.value) if abs(share) > _HARDLY else None
    return Moved(
        key=now.key,
        subject=now.subject,
        facts=now.facts,
        was=Verdict.GO if then is None else then.verdict,
        now=now.verdict,
        dimension=now.dimension,
        less=lost,
    )
