"""What keeps a motor from leaving aft."""

import math
from collections.abc import Callable

from finial.assemble.strength.lets_go import layers_of
from finial.core.estimates import Estimate
from finial.files.sheet_motor import RetainerEntry
from finial.materials.material import Material
from finial.structure.rods.fastening import SHEAR_OF_TENSION
from finial.structure.rods.threads import stress_area, thread


def retainer_holds(keep: RetainerEntry, stuff: Callable[[str], Material]) -> Estimate:
    """Return what the screws of a retainer hold [N]: themselves, or in the print they are driven into."""
    screw = thread(keep.screw)
    strength = stuff(keep.material).yield_pa.scaled(keep.count * stress_area(screw))
    if keep.holds_in:
        deep = keep.engagement.value if keep.engagement else screw.diameter_m
        cut = math.pi * screw.diameter_m * deep / 2
        strips = layers_of(stuff(keep.holds_in)).scaled(SHEAR_OF_TENSION * keep.count * cut)
        return min(strength, strips, key=lambda one: one.low)
    return strength
