"""It fits: can it be assembled, loaded, opened and slid along its rail?"""

import math
from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.inside.results import (
    BayRoom,
    GuideCheck,
    InsideResult,
    JointCheck,
    Loose,
    Meeting,
    Size,
    WayOccasion,
    WayOut,
)
from finial.assemble.strength.buttons import ButtonHold
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.judge import at_least
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened
from finial.inside.order import SNUG_M, Way
from finial.inside.things import Kind

STAGE = "inside"
PRACTICE = "common practice"
DRAWN = "the sheet and the meshes as drawn"
WALL_SLACK_M = 0.1e-3
"""How much thinner a wall may be drawn than it is printed [m]: facets of round walls."""
FREE_SHARE = (0.8, 1.25)
"""The sheet's free volume of a bay over the computed one [-]: powder is weighed by it; common practice."""
JOINT_OFF_M = 5e-3
"""How far a joint may stand from the end of a part [m]: a chamfer, a gasket; common practice."""
SPREAD_SHARE = 0.05
"""Share of the mass that may be small pieces without a place [-]; common practice."""
APART_WIDTHS, APART_LENGTHS = 1.0, 1.0 / 3.0
"""Least distance of rail buttons: a width, or a third of the length where that is less; common practice."""
BEHIND_LENGTHS = 0.25
"""How far behind the balance point the fore button may stand, of the length [-]; common practice."""
TEST_TIMES = 1.25
"""How much more than the best of its thread and screw a button may hold by test [-]; a judgement of this
project: walls behind it and glue help a little."""
NARROWEST_BUTTON, WIDEST_BUTTON = 0.25, 0.75
"""Diameter of a button over the width of its rail [-]: rails that are sold take 0.4 to 0.65; common practice,
with room to spare."""
GLUED_WITHIN_M = 1.0e-3
"""How thick a line of glue may be that still holds what its table says [m]: a thickened epoxy's; common
practice, makers' data name some tenths of a millimetre."""
HELD_WITHIN_M = 2.5e-3
"""How far a thing may stand off what holds it [m]: a sleeve, tape or a thick glue joint; common practice."""
STEEPEST_FOOT, SHAPED_FOOT = 0.3, 0.2
"""How far the skin may stand out beside a button's middle within its foot, of its diameter [-]: as a slope
of 31 degrees does, and what a washer or a filed foot takes up; common practice."""
LEAST_REACH_M, MOST_REACH = 2e-3, 0.3
"""How deep a button must reach behind the rail's face [m], and how deep the slot is at most, of the rail's
width [-]; common practice."""

_LENGTH = Dimension.LENGTH
_WAYS = {
    WayOccasion.LOADING: "motor-goes-in",
    WayOccasion.LEAVING: "canopy-way-out",
    WayOccasion.REACHING: "sled-reached",
}


def inside_findings(inside: InsideResult, buttons: ButtonHold | None, limits: Limits) -> list[Finding]:
    """Judge any vehicle's inside: what meets, ways in and out, rooms, walls, roots, rail and joints."""
    hits = [met for met in inside.meetings if _verdict(met) is not Verdict.GO]
    return [
        *(_collision(met) for met in hits),
        *_clear(inside, hits),
        *_ways_in(inside, hits),
        *_ways_out(inside, hits),
        *_nuts(inside),
        *_held(inside),
        *_sizes(inside),
        *(finding for bay in inside.bays for finding in _bay(bay)),
        *_walls(inside),
        *_roots(inside),
        *(finding for joint in inside.joints for finding in _joint(joint)),
        *_rail(inside),
        _hold(buttons, limits),
        _tested(buttons),
    ]


# ---------------------------------------------------------------- what meets


def _verdict(met: Meeting) -> Verdict:
    return at_least(met.gap, -met.allowed_m)


def _collision(met: Meeting) -> Finding:
    """Two things in one place: named both, where, and by how much."""
    key, fix = "same-room", "move-or-shrink"
    if met.with_part:
        key, fix = ("out-of-skin", "move-in") if met.outside else ("into-print", "make-room")
    facts = {
        "other": met.second,
        "deep": Amount(value=max(-met.gap.low, 0.0), dimension=_LENGTH),
        "at": Amount(value=met.station_m, dimension=_LENGTH),
    }
    rule = Rule(key=key, stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    verdict = _verdict(met)
    fixes = (Fix(key="give-size"),) if verdict is Verdict.NOT_KNOWN else (Fix(key=fix),)
    subject = Subject(name=met.first, station_m=met.station_m)
    return rule.holds(verdict, value=met.gap, subject=subject, facts=facts, fixes=fixes)


def _clear(inside: InsideResult, hits: list[Meeting]) -> Iterator[Finding]:
    """Where nothing meets, the least room between two neighbours; and cuts that could not be closed."""
    rule = Rule(key="all-clear", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    if inside.doubts:
        fix = Fix(key="close", facts={"parts": ", ".join(inside.doubts)})
        yield rule.holds(Verdict.NOT_KNOWN, limit="closed", fixes=(fix,))
    elif not hits:
        nearest = min(inside.meetings, key=lambda met: met.gap.low, default=None)
        facts = {"count": len(inside.things)}
        yield rule.holds(Verdict.GO, value=nearest.gap if nearest else None, facts=facts)


# ---------------------------------------------------------------- in and out


def _ways_in(inside: InsideResult, hits: list[Meeting]) -> Iterator[Finding]:
    """Each thing gets into each part before they are joined; one that collides there is told of already."""
    rule = Rule(key="gets-in", stage=STAGE, dimension=_LENGTH, source=DRAWN)
    met = {frozenset((hit.first, hit.second)) for hit in hits}
    shut = [
        way for way in inside.ways_in if way.way is Way.SHUT and frozenset((way.thing, way.part)) not in met
    ]
    for way in shut:
        facts = {"part": way.part, "short": Amount(value=way.short_m, dimension=_LENGTH)}
        yield rule.holds(
            Verdict.NO_GO,
            value=exact(-way.short_m),
            subject=Subject(name=way.thing, station_m=way.station_m),
            facts=facts,
            fixes=(Fix(key="open"),),
        )
    if not shut:
        yield Rule(key="all-get-in", stage=STAGE, source=DRAWN).holds(Verdict.GO)


def _ways_out(inside: InsideResult, hits: list[Meeting]) -> Iterator[Finding]:
    met = {frozenset((hit.first, hit.second)) for hit in hits}
    for way in inside.ways_out:
        lies_in = next((one.lies_in for one in inside.things if one.name == way.thing and one.lies_in), "")
        if any(frozenset((name, way.blocker)) in met for name in (way.thing, lies_in)):
            continue  # what is in its way is told of already
        yield _way_out(way)
    if not inside.electronics_placed:
        rule = Rule(key="sled-placed", stage=STAGE, source=DRAWN)
        yield rule.holds(Verdict.NOT_KNOWN, fixes=(Fix(key="place"),))
    if not inside.plate_placed:
        rule = Rule(key="plate-placed", stage=STAGE, source=DRAWN)
        yield rule.holds(Verdict.NOT_KNOWN, fixes=(Fix(key="place"),))


def _nuts(inside: InsideResult) -> Iterator[Finding]:
    """Ask how a nut gets to where print stands all round it: a counterbore is no deeper than so."""
    rule = Rule(key="nut-reached", stage=STAGE, source=PRACTICE, safety=True)
    for nut in inside.buried:
        yield rule.holds(
            Verdict.NOT_KNOWN,
            subject=Subject(name=nut.rods, station_m=nut.station_m),
            facts={"part": nut.part},
            fixes=(Fix(key="way"),),
        )
    if not inside.buried:
        yield Rule(key="nuts-reached", stage=STAGE, source=PRACTICE, safety=True).holds(Verdict.GO)


_MUST_BE_HELD = frozenset({Kind.SLED, Kind.BALLAST})
"""What ends a flight where it comes loose: batteries and wires, and what the balance hangs on."""


def _held(inside: InsideResult) -> Iterator[Finding]:
    """Ask what holds a thing that touches nothing: it would strike what stands ahead when the motor burns."""
    rule = Rule(key="held", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    loose = [one for one in inside.loose if _is_off(one)]
    heavy = {one.name for one in inside.things if one.kind in _MUST_BE_HELD}
    for one in loose:
        yield rule.holds(
            Verdict.NOT_KNOWN if one.thing in heavy or one.out_of_reach else Verdict.CAUTION,
            value=one.gap,
            subject=Subject(name=one.thing, station_m=one.station_m),
            limit="touches",
            facts={"thick": Amount(value=GLUED_WITHIN_M, dimension=_LENGTH)},
            reasons=("thick-glue",) if one.glued else ("out-of-reach",) if one.out_of_reach else (),
            fixes=(Fix(key="say"),),
        )
    if not loose:
        yield Rule(key="all-held", stage=STAGE, source=PRACTICE, safety=True).holds(Verdict.GO)


def _is_off(one: Loose) -> bool:
    """Whether nothing that a thing touches, or that glue bridges to, can hold it."""
    return one.gap is None or one.gap.value > (GLUED_WITHIN_M if one.glued else HELD_WITHIN_M)


def _way_out(way: WayOut) -> Finding:
    """Judge a way past what stays: motors and sleds keep their size, cloth is squeezed to a point."""
    rule = Rule(key=_WAYS[way.occasion], stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    subject = Subject(name=way.thing, station_m=way.station_m)
    facts = {
        "blocker": way.blocker,
        "opening": way.opening,
        "at": Amount(value=way.station_m, dimension=_LENGTH),
    }
    if way.occasion is WayOccasion.LEAVING:
        facts["needed"] = Amount(value=way.needed_m, dimension=_LENGTH)
        width = exact(way.width_m, known_by=KnownBy.MEASURED)
        needed = way.needed_m - 2 * SNUG_M
        return rule.at_least(width, needed, subject=subject, facts=facts, fixes=(Fix(key="widen"),))
    verdict = at_least(way.gap, -SNUG_M)
    if way.occasion is WayOccasion.REACHING and verdict is Verdict.NO_GO:
        verdict = Verdict.NOT_KNOWN
    return rule.holds(verdict, value=way.gap, subject=subject, facts=facts, fixes=(Fix(key="clear-way"),))


# ---------------------------------------------------------------- sizes and rooms


def _sizes(inside: InsideResult) -> Iterator[Finding]:
    """Say what was taken from mass and an assumed density, and how much has no place at all."""
    guessed = sorted(
        {
            one.thing
            for one in inside.taken
            if one.size in (Size.ROOM, Size.LENGTH, Size.ACROSS)
            and one.value.known_by is KnownBy.ASSUMED
            and one.value.low < one.value.high
        }
    )
    rule = Rule(key="sizes-given", stage=STAGE, source=DRAWN)
    fix = Fix(key="give", facts={"things": ", ".join(guessed)})
    yield rule.holds(Verdict.CAUTION if guessed else Verdict.GO, fixes=(fix,))
    loose = Rule(key="loose-pieces", stage=STAGE, source=PRACTICE)
    share = exact(inside.spread_share, known_by=KnownBy.COMPUTED)
    judged = loose.at_most(share, SPREAD_SHARE, fixes=(Fix(key="place"),))
    yield softened(judged, Verdict.NOT_KNOWN)


def _bay(bay: BayRoom) -> Iterator[Finding]:
    """Judge the room of a bay against what the sheet says, and that its canopies lie in it."""
    rule = Rule(
        key="bay-room",
        stage=STAGE,
        dimension=Dimension.VOLUME,
        source=f"{PRACTICE}: the powder is weighed by it",
        safety=True,
    )
    subject = Subject(name=bay.bay)
    facts = {"empty": Amount(value=bay.empty, dimension=Dimension.VOLUME)}
    if bay.free is None:
        yield rule.holds(
            Verdict.NO_GO,
            value=bay.empty,
            subject=subject,
            facts=facts,
            limit="holds",
            fixes=(Fix(key="larger"),),
        )
    elif bay.said is None:
        yield rule.holds(Verdict.GO, value=bay.free, subject=subject, facts=facts, limit="computed")
    else:
        low, high = (share * bay.free.value for share in FREE_SHARE)
        agrees = low <= bay.said.high and bay.said.low <= high and bay.said.value <= bay.empty.high
        facts["said"] = Amount(value=bay.said, dimension=Dimension.VOLUME)
        yield rule.holds(
            Verdict.GO if agrees else Verdict.NO_GO,
            value=bay.free,
            subject=subject,
            facts=facts,
            fixes=(Fix(key="enter"),),
        )
    lies = Rule(key="canopy-in-bay", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    for canopy, beyond in bay.beside:
        yield lies.holds(
            Verdict.NO_GO,
            value=exact(-beyond),
            subject=Subject(name=canopy),
            facts={"bay": bay.bay, "beyond": Amount(value=beyond, dimension=_LENGTH)},
            fixes=(Fix(key="into-bay"),),
        )


def _walls(inside: InsideResult) -> Iterator[Finding]:
    rule = Rule(key="wall-as-drawn", stage=STAGE, dimension=_LENGTH, source=DRAWN)
    for wall in inside.walls:
        yield rule.at_least(
            wall.drawn,
            wall.said_m - WALL_SLACK_M,
            subject=Subject(name=wall.part, station_m=wall.station_m),
            fixes=(Fix(key="thicker"),),
        )


def _roots(inside: InsideResult) -> Iterator[Finding]:
    rule = Rule(key="fin-root", stage=STAGE, dimension=_LENGTH, source=f"{PRACTICE}: what glue bridges")
    for root in inside.roots:
        yield rule.at_most(
            root.gap,
            root.holds_m,
            subject=Subject(name=root.fins, station_m=root.station_m),
            fixes=(Fix(key="follow-skin"),),
        )


def _joint(joint: JointCheck) -> Iterator[Finding]:
    """Judge that a joint lies between two parts, and that nothing ties them."""
    subject = Subject(name=joint.joint, station_m=joint.station_m)
    rule = Rule(key="joint-between-parts", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    yield rule.at_most(joint.off, JOINT_OFF_M, subject=subject, fixes=(Fix(key="split"),))
    tied = Rule(key="joint-free", stage=STAGE, source=DRAWN, safety=True)
    fixes = [Fix(key="shorten", facts={"ties": ", ".join(joint.ties)})] if joint.ties else []
    fixes += [Fix(key="not-glued")] if joint.glued else []
    yield tied.holds(Verdict.NO_GO if fixes else Verdict.GO, subject=subject, fixes=tuple(fixes))


# ---------------------------------------------------------------- rail and motors


def _rail(inside: InsideResult) -> Iterator[Finding]:
    """Judge rail and buttons; without buttons in the sheet nobody knows."""
    clear = Rule(key="rail-clear", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    guide = inside.guide
    if guide is None:
        yield clear.holds(Verdict.NOT_KNOWN, limit="buttons", fixes=(Fix(key="enter"),))
        return
    subject = Subject(station_m=guide.body_station_m)
    fix = Fix(key="farther", facts={"short": Amount(value=max(-guide.body.low, 0.0), dimension=_LENGTH)})
    yield clear.at_least(guide.body, 0.0, subject=subject, fixes=(fix,))
    yield from _rail_fins(guide)
    yield _on_skin(guide)
    yield _foot(guide)
    yield _in_the_slot(guide)
    yield _deep_enough(guide)
    yield from _spacing(guide, inside.cavity.length_m, inside.width_m)
    yield from _balance(guide, inside.cavity.length_m)


def _rail_fins(guide: GuideCheck) -> Iterator[Finding]:
    beside = Rule(key="rail-fins", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    roots = Rule(key="button-roots", stage=STAGE, dimension=_LENGTH, source=DRAWN, safety=True)
    for rule, gap, name, station in (
        (beside, guide.fins, guide.fins_name, None),
        (roots, guide.roots, guide.roots_name, guide.roots_station_m),
    ):
        subject = Subject(name=name, station_m=station)
        if gap is None:
            yield rule.holds(Verdict.GO, subject=subject, limit="none")
        else:
            yield rule.at_least(gap, 0.0, subject=subject, fixes=(Fix(key="turn"),))


def _on_skin(guide: GuideCheck) -> Finding:
    """Judge that every button has skin behind it to stand on."""
    rule = Rule(key="button-on-skin", stage=STAGE, source=DRAWN, safety=True)
    if not guide.in_the_air_m:
        return rule.holds(Verdict.GO)
    return rule.holds(
        Verdict.NO_GO, subject=Subject(station_m=guide.in_the_air_m[0]), fixes=(Fix(key="onto-skin"),)
    )


def _foot(guide: GuideCheck) -> Finding:
    """Judge that a button, which is a post, can stand on the skin as it lies under its foot."""
    rule = Rule(key="button-foot", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    foot, fixes = guide.foot, (Fix(key="flatter"),)
    if foot is None:
        return rule.holds(Verdict.NOT_KNOWN, fixes=fixes)
    subject = Subject(station_m=foot.station_m)
    if not (math.isfinite(foot.rise_m) and math.isfinite(foot.drop_m)):
        # The skin ends under the foot: part of it hangs over nothing.
        return rule.holds(Verdict.NO_GO, subject=subject, fixes=fixes)
    rise, uneven = (
        exact(one, known_by=KnownBy.COMPUTED, method="sections of the skin under the foot")
        for one in (foot.rise_m, max(foot.rise_m, foot.drop_m))
    )
    stands = rule.at_most(rise, STEEPEST_FOOT * guide.across_m, subject=subject, fixes=fixes)
    if stands.verdict is not Verdict.GO:
        return stands
    shaped = rule.at_most(uneven, SHAPED_FOOT * guide.across_m, subject=subject, fixes=fixes)
    return shaped if shaped.verdict is Verdict.GO else replace(shaped, verdict=Verdict.CAUTION)


def _deep_enough(guide: GuideCheck) -> Finding:
    """Judge that a button reaches behind the rail's face, and not to the bottom of its slot."""
    rule = Rule(key="button-reach", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    reach, fixes = guide.reach, (Fix(key="other"),)
    if reach is None:
        return rule.holds(Verdict.GO, limit="usual")
    deep = rule.at_least(reach, LEAST_REACH_M, fixes=fixes)
    if deep.verdict is not Verdict.GO:
        return deep
    return softened(rule.at_most(reach, MOST_REACH * guide.rail.width_m, fixes=fixes), Verdict.NOT_KNOWN)


def _in_the_slot(guide: GuideCheck) -> Finding:
    """Judge whether a button can run in a rail of that width and not leave it; no exact fit is known."""
    rule = Rule(key="button-in-rail", stage=STAGE, dimension=Dimension.RATIO, source=PRACTICE, safety=True)
    share, fixes = guide.button_share, (Fix(key="other"),)
    if share is None:
        return rule.holds(Verdict.GO, limit="usual")
    if share.value < NARROWEST_BUTTON:
        found = rule.at_least(share, NARROWEST_BUTTON, fixes=fixes)
    else:
        found = rule.at_most(share, WIDEST_BUTTON, fixes=fixes)
    return softened(found, Verdict.NOT_KNOWN)


def _spacing(guide: GuideCheck, length_m: float, width_m: float) -> Iterator[Finding]:
    rule = Rule(key="button-spacing", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    least = min(APART_WIDTHS * width_m, APART_LENGTHS * length_m)
    apart = exact(guide.spacing_m, known_by=KnownBy.MEASURED)
    yield rule.at_least(apart, least, fixes=(Fix(key="apart"),))


def _balance(guide: GuideCheck, length_m: float) -> Iterator[Finding]:
    """Judge that the balance point lies ahead of the aft button, and not far ahead of the fore one."""
    rule = Rule(key="buttons-and-balance", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    behind = _less(guide.aft_m, guide.balance)
    if at_least(behind, 0.0) is not Verdict.GO:
        yield rule.holds(Verdict.NO_GO, value=behind, limit="aft-behind", fixes=(Fix(key="aft-of-balance"),))
        return
    after = _less(guide.fore_m, guide.balance)
    far = rule.at_most(after, BEHIND_LENGTHS * length_m, fixes=(Fix(key="fore-near-balance"),))
    yield far if far.verdict is Verdict.GO else replace(far, verdict=Verdict.CAUTION)


def _less(station_m: float, balance: Estimate) -> Estimate:
    return Estimate(
        value=station_m - balance.value,
        low=station_m - balance.high,
        high=station_m - balance.low,
        known_by=KnownBy.COMPUTED,
        method="station less balance point",
    )


def _tested(buttons: ButtonHold | None) -> Finding:
    """Judge a test of the buttons by what screw and thread can hold at most: beyond it, it was of another."""
    rule = Rule(key="button-test", stage=STAGE, dimension=Dimension.FORCE, source=PRACTICE, safety=True)
    if buttons is None or buttons.tested is None:
        return rule.holds(Verdict.GO, limit="none")
    if buttons.by_thread_n is None:
        return rule.holds(Verdict.CAUTION, value=buttons.tested, limit="screw", fixes=(Fix(key="enter"),))
    most = TEST_TIMES * buttons.by_thread_n
    return softened(rule.at_most(buttons.tested, most, fixes=(Fix(key="look"),)), Verdict.NOT_KNOWN)


def _hold(buttons: ButtonHold | None, limits: Limits) -> Finding:
    """Judge the pull on the harder pulled button against what holds it."""
    reserve = limits["reserve"]
    force = Dimension.FORCE
    rule = Rule(key="button-pull-out", stage=STAGE, dimension=force, source=reserve.source, safety=True)
    load = Amount(value=buttons.load, dimension=force) if buttons else "not known"
    if buttons is None or buttons.holds is None:
        facts = {"load": load}
        return rule.holds(Verdict.NOT_KNOWN, limit="screw", facts=facts, fixes=(Fix(key="enter"),))
    return rule.at_least(
        buttons.holds,
        reserve.value * buttons.load.high,
        subject=Subject(station_m=buttons.station_m),
        facts={"load": load},
        fixes=(Fix(key="deeper"),),
    )
