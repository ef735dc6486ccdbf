"""How far numbers of the sheet may be off, where no interval of the answer holds that: seen end by end."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from finial.assemble.vehicle.changes import of_files
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.usual import reach
from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.core.tables import table_rows
from finial.core.units import Quantity
from finial.files.fields import put_at
from finial.files.sheet import Sheet
from finial.findings.causes import LOST
from finial.findings.finding import Amount, Facts, Finding, Fix, OtherCheck, Subject, Verdict
from finial.findings.long_looks import left_open
from finial.findings.range_stage import codes_of
from finial.findings.rule import Rule
from finial.findings.rules.plausible_rules import ToldNumber, numbers_of
from finial.findings.same_check import Check, check_of

_SOURCE = "what the sheet says it may be off by, each end looked at alone by the quick look"
END = Rule(key="end-of-number", stage="limits", source=_SOURCE, safety=True)
EVERY_END = Rule(key="ends-of-numbers", stage="limits", source=_SOURCE, safety=True)
NOT_BEFORE = EVERY_END.holds(Verdict.NOT_KNOWN, cause=LOST, fixes=(Fix(key="later"),))
"""Where the flight itself is lost, its ends tell nothing more."""
REFUSED = "refused"
ENDS = {"low": -1.0, "high": 1.0}
_BEARINGS = {"launch.wind_from": "wind_from", "launch.toward": "rail_toward"}
"""Bearings of the launch, which may be off by as much as is usual where the sheet does not say."""
Judged = Callable[[LoadedVehicle], Iterable[Finding]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseNumber:
    """A number of the sheet, and how far it may be off in its own unit [SI]."""

    told: ToldNumber
    reach: float
    as_usual: bool


@cache
def counted() -> frozenset[str]:
    """Places whose give or take the intervals of the answer hold already."""
    return frozenset(row["place"] for row in table_rows("finial.findings", "counted.csv"))


def loose_numbers(sheet: Sheet) -> Iterator[LooseNumber]:
    """Numbers that may be off by something that no interval holds, and the bearings of the launch."""
    for told in numbers_of(sheet):
        own = 0.0 if told.place in counted() else told.number.tolerance
        usual = _BEARINGS.get(told.place)
        far = reach(sheet.scatter, usual, told.number) if usual else own
        if far > 0.0:
            yield LooseNumber(told=told, reach=far, as_usual=own == 0.0)


def end_findings(
    vehicle: LoadedVehicle,
    judged: Iterable[Finding],
    guessed: Iterable[Finding],
    *,
    look: Judged,
    look_long: Judged,
) -> list[Finding]:
    """Tell what fails at an end of a loose number and not in its middle: that is not known.

    Parameters
    ----------
    vehicle : LoadedVehicle
        As the sheet has it.
    judged, guessed : iterable of Finding
        What was found there, by the whole look and by the quick one.
    look, look_long : callable
        Judge another vehicle by the quick look, and by the whole one.

    Notes
    -----
    The quick look is asked for each number alone; the whole one, which takes seconds, once for all low ends
    together and once for all high ones: what bears is then as thin, or what loads as large, as it may be.
    """
    known = {check_of(one) for one in judged if one.fails}
    loose = tuple(loose_numbers(vehicle.sheet))
    # What closed forms alone hold against the middle, the whole look has settled.
    seen = known | {check_of(one) for one in guessed if one.fails}
    found = [one for number in loose if (one := _worse_end(vehicle, number, look, seen)) is not None]
    if not found:
        own = tuple(number for number in loose if not number.as_usual)
        found = [one for end in ENDS if own and (one := _together(vehicle, own, end, look_long, known))]
    return found or [EVERY_END.holds(Verdict.GO)]


def _together(
    vehicle: LoadedVehicle, loose: tuple[LooseNumber, ...], end: str, look_long: Judged, known: set[Check]
) -> Finding | None:
    """Tell what fails in the whole look with every loose number at one of its ends."""
    try:
        there = look_long(_with_ends(vehicle, loose, ENDS[end]))
    except FinialError:
        return _finding_together(loose, end, REFUSED)
    worst = _new(there, known)
    return None if worst is None else _finding_together(loose, end, worst)


def _finding_together(loose: tuple[LooseNumber, ...], end: str, check: OtherCheck | str) -> Finding:
    owner = loose[0].told.owner if len({one.told.owner for one in loose}) == 1 else ""
    places = ", ".join(dict.fromkeys(one.told.place for one in loose))
    return END.holds(
        Verdict.NOT_KNOWN,
        subject=Subject(name=owner or "the sheet", case=places),
        facts={"written": "; ".join(one.told.number.text for one in loose), "end": end, "check": check},
        reasons=("refused" if check == REFUSED else "fails",),
        fixes=(Fix(key="measure"),),
    )


def _worse_end(
    vehicle: LoadedVehicle, number: LooseNumber, look: Judged, known: set[Check]
) -> Finding | None:
    """Tell the first end of a number at which another check fails."""
    for end, sign in ENDS.items():
        try:
            there = look(_with_ends(vehicle, (number,), sign))
        except FinialError:
            return _finding(number, end, REFUSED)
        worst = _new(there, known)
        if worst is not None:
            return _finding(number, end, worst)
    return None


def _new(there: Iterable[Finding], known: set[Check]) -> OtherCheck | None:
    """Name the worst check that fails there and did not before."""
    fails = (one for one in there if one.fails and not left_open(one) and check_of(one) not in known)
    worst = next(fails, None)
    return worst and OtherCheck(key=worst.key, subject=worst.subject, facts=_plain(worst.facts))


def _plain(facts: Facts) -> dict[str, str | int | Amount]:
    return {name: fact for name, fact in facts.items() if not isinstance(fact, OtherCheck | tuple)}


def _finding(number: LooseNumber, end: str, check: OtherCheck | str) -> Finding:
    facts = {
        "written": number.told.number.text,
        "end": end,
        "check": check,
        "reach": Amount(value=number.reach, dimension=Dimension.ANGLE),
    }
    reasons = ("refused" if check == REFUSED else "fails", *(("usual",) if number.as_usual else ()))
    return END.holds(
        Verdict.NOT_KNOWN,
        subject=Subject(name=number.told.owner, case=number.told.key),
        facts=facts,
        reasons=reasons,
        fixes=(Fix(key="measure"),),
    )


def _with_ends(vehicle: LoadedVehicle, loose: Iterable[LooseNumber], sign: float) -> LoadedVehicle:
    """Put the ends of numbers in their places, exact."""
    sheet = vehicle.sheet
    for number in loose:
        told = number.told.number
        end = Quantity(value=told.value + sign * number.reach, text=told.text)
        sheet = put_at(sheet, number.told.path, end)
    return of_files(vehicle, replace(vehicle.files, sheet=sheet), codes_of)
