"""The lip of a bay's mouth, from the sheet: wall, stuff, edge, ring, pull test."""

from dataclasses import replace

from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_recovery import BayEntry, LipEntry
from finial.materials.material import Material, material
from finial.recovery.cords.zipper import SHARP_EDGE_M, Lip, pull_tested

USUAL_CORD_WIDTH_M = 0.010
"""Width of a cord that neither the sheet nor the table knows [m]; assumed."""


def lip_of(bay: BayEntry, cord_width_m: float | None) -> Lip | None:
    """Lip of a bay as the sheet has it; ``None`` where wall or material are not known."""
    given = bay.lip or LipEntry()
    wall, name = given.wall or bay.wall, given.material or bay.material
    if wall is None or name is None:
        return None
    stuff = material(name)
    lip = Lip(
        wall_m=wall.value,
        cord_width_m=cord_width_m or USUAL_CORD_WIDTH_M,
        edge_radius_m=given.edge_radius.value if given.edge_radius else SHARP_EDGE_M,
        strength_pa=_strength(stuff),
        between_layers_pa=stuff.upright_pa,
        layers_across_tube=given.layers_stacked == "across",
    )
    if given.ring:
        lip = ringed(lip, given.ring.wall.value, given.ring.edge_radius.value, material(given.ring.material))
    if given.pull_test:
        tension = given.pull_test.tension.estimate(KnownBy.MEASURED)
        lip = pull_tested(lip, tension, given.pull_test.bend.value)
    return lip


def ringed(lip: Lip, wall_m: float, edge_radius_m: float, stuff: Material) -> Lip:
    """Lip behind a ring: the ring takes the cord, and spreads it to the wall by its own thickness.

    The tube's wall counts as much of the ring's stuff as it is strong.
    """
    strength = _strength(stuff)
    worth = lip.strength_pa.value / strength.value
    return replace(
        lip,
        wall_m=wall_m + lip.wall_m * min(worth, 1.0),
        cord_width_m=lip.cord_width_m + 2 * wall_m,
        edge_radius_m=edge_radius_m,
        strength_pa=strength,
        between_layers_pa=stuff.upright_pa,
        layers_across_tube=False,
    )


def lip_words(bay: BayEntry, lip: Lip) -> str:
    """Say what the lip is taken to be."""
    given = bay.lip or LipEntry()
    name = given.ring.material if given.ring else (given.material or bay.material)
    ring = " behind a ring" if given.ring else ""
    edge = (
        "edge as cut, 0.2 mm assumed"
        if not (given.edge_radius or given.ring)
        else (f"edge rounded to {1000 * lip.edge_radius_m:.1f} mm")
    )
    layers = ""
    if lip.between_layers_pa is not None:
        layers = ", a slit runs between layers" if lip.layers_across_tube else ", a slit cuts the layers"
    width = 1000 * lip.cord_width_m
    return f"{name}{ring}, {1000 * lip.wall_m:.1f} mm, {edge}{layers}; the cord bears on {width:.0f} mm"


def _strength(stuff: Material) -> Estimate:
    return stuff.yield_pa
