"""Changes tried on a vehicle: each answered once, as deep as a finding needs, and compared with before."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from finial.assemble.inside.things import THRUST_PLATE
from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.move_pulls import BUTTONS
from finial.assemble.vehicle.tweak import MOVES, Tweak, TweakKind
from finial.core.errors import FinialError
from finial.findings.check import readiness, tried
from finial.findings.finding import Amount, Finding, Moved, Verdict
from finial.findings.readiness import Depth, Readiness
from finial.findings.rules.range_rules import UNREAD
from finial.findings.rules.sensing_rules import OVER_CAMPAIGN
from finial.findings.same_check import Check, check_of, worst_of

LONG_KEYS = frozenset({"pack-exit", "charge-parts-joint", "cord-in-time", "joint-force", "lip-holds"})
"""Checks of recovery that only the long look makes."""
QUICK_KEYS = frozenset({"warm-part", "soft-in-the-sun"})
"""Checks of strength that the quick look makes as the long one does."""
AS_RECKONED = frozenset({
    TweakKind.THICKNESS, TweakKind.WALLS, TweakKind.PRELOAD, TweakKind.WASHER, TweakKind.BEARING,
    TweakKind.DOWELS, TweakKind.THRUST_PLATE, TweakKind.TUBE_GLUE, TweakKind.SCREWS, TweakKind.EYE_WASHER,
    TweakKind.ROOT, TweakKind.WIRE, TweakKind.TAUT, TweakKind.BATTERY,
})  # fmt: skip
"""Pulls of which a rule reckons how many times as much is wanted: that is tried first."""
_HARDLY = 0.01
"""A bad end moved by less than this share of its limit is not told [-]."""
_MOST_MOVED = 4
_FIN = (TweakKind.THICKNESS, TweakKind.PLATE, TweakKind.STAYS)
_WALL = (TweakKind.WALLS, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE)
_PULLED = (TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE)
_ROD = (TweakKind.LESS_PRELOAD, *_PULLED)
_MOVED = (TweakKind.FORWARD, TweakKind.AFT)
_OF_ONE_THING = frozenset({
    TweakKind.GLUE, TweakKind.DOWELS, TweakKind.EYE, TweakKind.EYE_WASHER, TweakKind.ROOT, TweakKind.WIRE,
    TweakKind.TAUT, TweakKind.SLACKER, TweakKind.BATTERY, TweakKind.THICKNESS, TweakKind.PLATE,
    TweakKind.STAYS,
})  # fmt: skip
"""Pulls of which a sheet has one for each thing: only that at the thing that is judged may turn it."""
_SUITS: dict[str, tuple[TweakKind, ...]] = {
    "margin": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "off-axis": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "steady-angle": (TweakKind.BALLAST, TweakKind.SPAN, TweakKind.SWEPT),
    "spin": (TweakKind.CANT,),
    "rail-exit-speed": (TweakKind.RAIL, TweakKind.LESS_BALLAST),
    "rail-exit-wind": (TweakKind.RAIL, TweakKind.CALMER),
    "rail-exit-angle": (TweakKind.RAIL, TweakKind.CALMER),
    "gallop": (TweakKind.RAIL, TweakKind.CALMER),
    "lopsided": (TweakKind.RAIL, TweakKind.CALMER),
    "thrust-to-weight": (TweakKind.LESS_BALLAST,),
    "wind": (TweakKind.CALMER,),
    "rail-tilt": (TweakKind.UPRIGHT,),
    "over-people": (TweakKind.UPRIGHT, TweakKind.CALMER),
    "crowd-distance": (TweakKind.PEOPLE,),
    "rail-for-buttons": (TweakKind.RAIL,),
    "buttons-apart": (TweakKind.GUIDES,),
    "tip-off": (TweakKind.GUIDES, TweakKind.RAIL),
    "button-spacing": (TweakKind.GUIDES,),
    "buttons-and-balance": (TweakKind.GUIDES, TweakKind.BALLAST),
    "landing-speed": (TweakKind.CANOPY,),
    "landing-energy": (TweakKind.CANOPY,),
    "landing-energy-in-wind": (TweakKind.CANOPY, TweakKind.CALMER),
    "joint-force": (TweakKind.LESS_CHARGE,),
    "lands-inside": (TweakKind.SMALLER_CANOPY, TweakKind.CALMER, TweakKind.UPRIGHT),
    "pins-hold": (TweakKind.PINS,),
    "charge-opens": (TweakKind.CHARGE,),
    "charge-parts-joint": (TweakKind.CHARGE,),
    "pack-exit": (TweakKind.CHARGE,),
    "cord-separation": (TweakKind.CORD, TweakKind.LONGER_CORD),
    "opening-load": (TweakKind.CORD, TweakKind.SMALLER_CANOPY),
    "cord-in-time": (TweakKind.CORD, TweakKind.LONGER_CORD),
    "lip-holds": (TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "wall-crushed": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-wrinkles": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-collapses": (*_WALL, TweakKind.LESS_PRELOAD),
    "wall-pulled-apart": (*_WALL, TweakKind.PRELOAD),
    "wall-sheared": _WALL,
    "wall-pressed": (TweakKind.WALLS,),
    "holds-when-warm": (TweakKind.WHITE, *_WALL, TweakKind.PRELOAD, TweakKind.LESS_PRELOAD),
    "joint-opens": (TweakKind.GLUE, TweakKind.PRELOAD, TweakKind.LONGER_CORD, TweakKind.LESS_CHARGE),
    "rod-pulled": (TweakKind.THREAD, *_ROD),
    "rod-buckles": (TweakKind.THREAD, TweakKind.LESS_PRELOAD, TweakKind.LESS_CHARGE),
    "rod-strips": (TweakKind.THREAD, *_ROD),
    "washer-sinks": (TweakKind.WASHER, *_ROD),
    "nut-sinks": (TweakKind.WASHER, *_ROD),
    "nut-pulls-through": (TweakKind.BEARING, TweakKind.WASHER, *_ROD),
    "dowels-shear": (TweakKind.DOWELS,),
    "thrust-plate-breaks": (TweakKind.THRUST_PLATE,),
    "motor-tube-lets-go": (TweakKind.TUBE_GLUE,),
    "motor-leaves": (TweakKind.SCREWS,),
    "plate-breaks": (TweakKind.THRUST_PLATE, *_PULLED),
    "plate-lets-go": _PULLED,
    "eye-breaks": (TweakKind.EYE, *_PULLED),
    "eye-sinks": (TweakKind.EYE_WASHER, *_PULLED),
    "eye-pulls-through": (TweakKind.EYE_WASHER, *_PULLED),
    "fin-root-lets-go": (TweakKind.ROOT,),
    "stay-slackens": (TweakKind.TAUT, TweakKind.WIRE),
    "stay-breaks": (TweakKind.WIRE, TweakKind.SLACKER),
    "stay-bows-fin": (TweakKind.SLACKER, TweakKind.THICKNESS),
    "sheds-in-step": (TweakKind.THICKNESS, TweakKind.WALLS),
    "pad-time": (TweakKind.BATTERY,),
    "brittle-in-the-cold": (TweakKind.WARMER,),
    "bay-bursts": (TweakKind.LESS_CHARGE, TweakKind.WALLS),
    "barometer-rises": (TweakKind.PORTS,),
    "computers-disagree": (TweakKind.PORTS,),
    "ports-smooth": (TweakKind.PORTS,),
    "same-room": _MOVED,
    "into-print": _MOVED,
    "out-of-skin": _MOVED,
    "canopy-in-bay": _MOVED,
    "button-foot": _MOVED,
    "fin-breaks": _FIN,
    "fin-flutters": _FIN,
    "fin-flutters-by-modes": _FIN,
}
"""Which pulls may turn a check; the others take another entry of the sheet, or another vehicle."""
_OF_BUTTONS = frozenset({"button-foot"})


def suiting(finding: Finding, pulls: Iterable[Tweak]) -> tuple[Tweak, ...]:
    """Return the pulls that may turn a finding, in the order in which they suit it."""
    kinds = _SUITS.get(finding.key, ())
    if finding.value is None or UNREAD in finding.reasons or _lacks_a_test(finding):
        return ()  # what is missing must be entered or measured, and a limit nobody read must be asked for
    chosen = [pull for pull in pulls if pull.kind in kinds and _is_its_own(pull, finding)]
    return tuple(sorted(chosen, key=lambda pull: kinds.index(pull.kind)))


def _lacks_a_test(finding: Finding) -> bool:
    """Whether it meets its limit even at the bad end, and is not known for want of a test alone."""
    meets = finding.margin is not None and finding.margin >= 0.0
    return finding.verdict is Verdict.NOT_KNOWN and meets


def _is_its_own(pull: Tweak, finding: Finding) -> bool:
    """Whether a pull is at the very thing that is judged, where there is one pull for each."""
    if finding.key == "sheds-in-step" and pull.kind is TweakKind.WALLS:
        return finding.subject.case == "wall"
    if pull.kind in MOVES:
        return pull.name in _movable(finding)
    if pull.kind is TweakKind.THRUST_PLATE:
        return finding.subject.name in ("", THRUST_PLATE)
    return pull.kind not in _OF_ONE_THING or pull.name == finding.subject.name


def _movable(finding: Finding) -> tuple[str, ...]:
    """Names of what may be moved for a finding: either of two things, or the row of buttons."""
    if finding.key in _OF_BUTTONS:
        return (BUTTONS,)
    return finding.subject.name, str(finding.facts.get("other", ""))


def times_wanted(finding: Finding) -> float:
    """How many times as much the rule reckons is wanted; 1 where it reckoned nothing [-]."""
    told = (fix.facts.get("times") for fix in finding.fixes)
    reckoned = (one.value for one in told if isinstance(one, Amount) and isinstance(one.value, float))
    return max(reckoned, default=1.0)


def has_suiting(finding: Finding) -> bool:
    """Tell whether some size of some sheet may turn a finding."""
    return not MOVES.issuperset(_SUITS.get(finding.key, ()))


def needs_long(finding: Finding, depth: Depth) -> bool:
    """Tell whether only the long look can answer for a finding."""
    by_strength = finding.stage == "strength" and finding.key not in QUICK_KEYS
    return depth is Depth.WHOLE and (by_strength or finding.key in LONG_KEYS)


@dataclass(slots=True, kw_only=True)
class Tries:
    """Answers to changed vehicles, each found once; counts the long looks."""

    vehicle: LoadedVehicle
    most_long: int = 0
    """Long looks that may be spent."""
    long_looks: int = 0
    _answers: dict[tuple[str, Depth, bool], Readiness | None] = field(
        default_factory=dict[tuple[str, Depth, bool], "Readiness | None"]
    )

    def answer(self, changes: Changes, depth: Depth) -> Readiness | None:
        """Answer for the vehicle with changes; ``None`` for one that cannot be."""
        return self._kept(changes, depth, ends=True)

    def turns(self, changes: Changes, depth: Depth, check: Check, most: Verdict) -> bool:
        """Tell whether changes bring a check to a verdict or a milder one, and every end of a number with it.

        What fails in the middle fails: nobody looks at the ends then.
        """
        if depth is Depth.WHOLE and not turned(self._kept(changes, depth, ends=False), check, most):
            return False
        return turned(self.answer(changes, depth), check, most)

    def shown(self, changes: Changes) -> Readiness:
        """Answer with what a look proposes as well: for what is shown in the end, and not only tried."""
        return readiness(self.vehicle, changes)

    def known(self, changes: Changes, depth: Depth) -> bool:
        """Tell whether it was asked before."""
        return any((_written(changes), depth, ends) in self._answers for ends in (False, True))

    def affords(self, changes: Changes) -> bool:
        """Tell whether a long look at it was made, or may still be."""
        return self.known(changes, Depth.WHOLE) or self.long_looks < self.most_long

    def _kept(self, changes: Changes, depth: Depth, *, ends: bool) -> Readiness | None:
        asked = (_written(changes), depth, ends)
        if asked not in self._answers:
            self.long_looks += depth is Depth.WHOLE and not self.known(changes, depth)
            self._answers[asked] = self._found(changes, depth, ends)
        return self._answers[asked]

    def _found(self, changes: Changes, depth: Depth, ends: bool) -> Readiness | None:
        try:
            return tried(self.vehicle, changes, depth=depth, ends=ends)
        except FinialError:
            return None


def _written(changes: Changes) -> str:
    return repr(sorted(changes.items(), key=repr))


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
    told = [
        _moved(then[one], now[one])
        for one in now
        if one in then and one != check and _comparable(then[one], now[one])
    ]
    told += [_moved(None, now[one]) for one in now if one not in then and now[one].verdict > most]
    fallen = [one for one in told if one.now > max(one.was, most)]
    mended = [one for one in told if one.was > most >= one.now]
    paid = [one for one in told if one.key == "margin" and one.less is not None and one.less > 0.0]
    kept = {(one.key, one.subject.name): one for one in (*fallen, *mended, *paid)}
    return tuple(kept.values())


def _comparable(then: Finding, now: Finding) -> bool:
    """Whether both are judged over the same flights: a campaign is of the vehicle before the change alone."""
    return (OVER_CAMPAIGN in then.reasons) == (OVER_CAMPAIGN in now.reasons)


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
