"""Is the mesh what the builder thinks it is?"""

from finial.assemble.vehicle.results import ShapeResult
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.rule import Rule

REPAIRS = Rule(key="meshes", stage="shape")
MOST_BRIDGED = 0.05
"""Share of one outline that may be guessed before the loads on it are a guess too [-]; common practice."""


def shape_findings(shape: ShapeResult) -> list[Finding]:
    """Tell whether the meshes had to be repaired; small repairs do not stop a flight, wide holes do."""
    open_edges = [note for note in shape.repairs if "open" in note]
    if open_edges:
        fix = Fix(key="mend", facts={"first": open_edges[0]})
        guessed = shape.skin.bridged_share > MOST_BRIDGED
        return [REPAIRS.holds(Verdict.NOT_KNOWN if guessed else Verdict.CAUTION, fixes=(fix,))]
    return [REPAIRS.holds(Verdict.GO, limit="repaired")]
