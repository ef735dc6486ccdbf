"""Is the mesh what the builder thinks it is?"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from finial.assemble.vehicle.results import ShapeResult
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.rule import Rule, softened
from finial.shape.turned import turn_of

REPAIRS = Rule(key="meshes", stage="shape")
MOST_BRIDGED = 0.05
"""Share of one outline that may be guessed before the loads on it are a guess too [-]; common practice."""

TURNED = Rule(
    key="turned-shape",
    stage="flight",
    dimension=Dimension.ANGLE,
    source="a judgement of this project, no source: no section method knows how fast a screw spins",
    safety=True,
)
MOST_TURN_RAD = math.radians(10.0)
STEADY, LONG_ENOUGH = 0.7, 0.2
"""A screw turns one way, and along a good part of the body; an outline that only changes does not [-]."""


def shape_findings(shape: ShapeResult, floating: Sequence[str] = ()) -> list[Finding]:
    """Judge the meshes, a body of some of which may be floating, and whether the whole is a screw."""
    return [*_meshes(shape, floating), _turned(shape)]


def _turned(shape: ShapeResult) -> Finding:
    turn = turn_of(shape.skin)
    screw = turn.steadiness > STEADY and turn.share > LONG_ENOUGH
    if not screw:
        return TURNED.holds(Verdict.GO, limit="no-screw")
    judged = TURNED.at_most(exact(abs(turn.angle_rad)), MOST_TURN_RAD, fixes=(Fix(key="measure-roll"),))
    return softened(judged, Verdict.NOT_KNOWN)


def _meshes(shape: ShapeResult, floating: Sequence[str]) -> list[Finding]:
    """Tell whether the meshes had to be repaired; small repairs do not stop a flight, wide holes do."""
    if floating:
        fix = Fix(key="floats", facts={"parts": ", ".join(floating)})
        # All else is worked out of a shape that nobody can build: this is read first.
        return [replace(REPAIRS, urgent=True).holds(Verdict.NO_GO, limit="together", fixes=(fix,))]
    fixes = tuple(_of_meshes(shape))
    if fixes:
        guessed = shape.skin.bridged_share > MOST_BRIDGED
        return [REPAIRS.holds(Verdict.NOT_KNOWN if guessed else Verdict.CAUTION, fixes=fixes)]
    return [REPAIRS.holds(Verdict.GO, limit="repaired")]


def _of_meshes(shape: ShapeResult) -> Iterator[Fix]:
    """Yield what is left to mend: open holes, else cuts that do not close, and what crosses itself."""
    if shape.open_parts:
        yield Fix(key="open", facts={"parts": ", ".join(shape.open_parts)})
    elif shape.skin.bridged_share > 0.0:
        yield Fix(key="bridged")
    if shape.mended and not shape.open_parts:
        yield Fix(key="mended", facts={"parts": ", ".join(shape.mended)})
    if shape.crossing:
        yield Fix(key="crosses", facts={"parts": ", ".join(shape.crossing)})
