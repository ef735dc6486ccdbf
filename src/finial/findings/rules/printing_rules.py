"""Does every printed part fit the printer's bed?"""

from collections.abc import Iterable, Sequence

from finial.assemble.vehicle.bed import PartOnBed
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.rule import Rule

_LIMIT = "one piece"


def printing_findings(parts: Sequence[PartOnBed], *, us_units: bool) -> list[Finding]:
    """Tell which parts must be cut; joints that nobody planned have no strength in the sheet."""
    too_large = [part for part in parts if part.pieces > 1]
    if parts and not too_large:
        return [_rule("parts on the printer's bed").finding(Verdict.GO, _LIMIT)]
    return [_cut(part, us_units) for part in too_large]


def _cut(part: PartOnBed, us_units: bool) -> Finding:
    sides = _by(part.size_m, us_units)
    fix = (
        f"{part.part} is {sides}: standing square on the bed it needs {part.pieces} pieces at least. Cut it"
        " into parts of the sheet, and say what holds them together; or enter a larger bed."
    )
    return _rule(f"{part.part} on the printer's bed").finding(
        Verdict.CAUTION, _LIMIT, fix, exact(float(part.pieces))
    )


def _by(size_m: Iterable[float], us_units: bool) -> str:
    return " by ".join(show(side, Dimension.LENGTH, us_units=us_units) for side in size_m)


def _rule(name: str) -> Rule:
    return Rule(
        subject="shape",
        name=name,
        dimension=None,
        why="A part that is cut to be printed has a joint that the strength here knows nothing of.",
        source="the sides of its bounding box, and the bed in the build sheet",
    )
