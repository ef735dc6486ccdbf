"""Does every printed part fit the printer's bed?"""

from collections.abc import Sequence

from finial.assemble.vehicle.bed import PartOnBed
from finial.assemble.vehicle.nozzle import LAYER_OVER_NOZZLE, LayersOfPart
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened

ON_BED = Rule(
    key="fits-the-bed",
    stage="shape",
    source="the sides of its bounding box, and the bed in the build sheet",
)
LAYERS = Rule(
    key="layer-over-nozzle",
    stage="shape",
    dimension=Dimension.LENGTH,
    source="common practice: layers of at most four fifths of the nozzle's bore; thicker ones hardly weld",
    safety=True,
)


def layer_findings(parts: Sequence[LayersOfPart]) -> list[Finding]:
    """Judge the thickest layers against the nozzle that lays them."""
    judged = [
        LAYERS.at_most(
            exact(one.layer_m),
            LAYER_OVER_NOZZLE * one.nozzle_m,
            subject=Subject(name=one.part),
            facts={"nozzle": Amount(value=one.nozzle_m, dimension=Dimension.LENGTH)},
            fixes=(Fix(key="thinner"),),
        )
        for one in parts
    ]
    worst = max(judged, key=lambda one: -(one.margin or 0.0), default=None)
    failing = [softened(one, Verdict.NOT_KNOWN) for one in judged if one.fails]
    return failing or ([worst] if worst else [])


def printing_findings(parts: Sequence[PartOnBed]) -> list[Finding]:
    """Tell which parts must be cut; joints that nobody planned have no strength in the sheet."""
    too_large = [part for part in parts if part.pieces > 1]
    if parts and not too_large:
        return [ON_BED.holds(Verdict.GO, subject=Subject(name="every part"))]
    return [_cut(part) for part in too_large]


def _cut(part: PartOnBed) -> Finding:
    sides = {
        f"side_{axis}": Amount(value=side, dimension=Dimension.LENGTH)
        for axis, side in zip("xyz", part.size_m, strict=True)
    }
    return ON_BED.holds(
        Verdict.CAUTION,
        value=exact(float(part.pieces)),
        subject=Subject(name=part.part),
        fixes=(Fix(key="cut", facts={**sides, "pieces": part.pieces}),),
    )
