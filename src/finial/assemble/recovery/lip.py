"""The lip of a bay's mouth, from the sheet: wall, stuff, edge, ring, pull test."""

from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import KnownBy
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, LipEntry, RingEntry
from finial.materials.material import PRINTED
from finial.recovery.cords.zipper import SHARP_EDGE_M, Lip, Ring, behind_ring, pull_tested

USUAL_CORD_WIDTH_M = 0.010
"""Width of a cord that neither the sheet nor the table knows [m]; assumed."""


def lip_of(sheet: Sheet, bay: BayEntry, cord_width_m: float | None) -> Lip | None:
    """Lip of a bay as the sheet has it; ``None`` where wall, material or strength are not known."""
    given = bay.lip or LipEntry()
    wall, name = given.wall or bay.wall, given.material or bay.material
    if wall is None or name is None:
        return None
    stuff = sheet_material(sheet, name)
    across = given.layers_stacked == "across"
    if across and stuff.kind == PRINTED and stuff.upright_pa is None:
        return None
    lip = Lip(
        wall_m=wall.value,
        cord_width_m=cord_width_m or USUAL_CORD_WIDTH_M,
        edge_radius_m=given.edge_radius.value if given.edge_radius else SHARP_EDGE_M,
        strength_pa=stuff.yield_pa,
        between_layers_pa=stuff.upright_pa,
        layers_across_tube=across,
    )
    if given.ring:
        lip = behind_ring(lip, _ring(sheet, given.ring))
    if given.pull_test:
        tension = given.pull_test.tension.estimate(KnownBy.MEASURED)
        lip = pull_tested(lip, tension, given.pull_test.bend.value)
    return lip


def _ring(sheet: Sheet, given: RingEntry) -> Ring:
    stuff = sheet_material(sheet, given.material)
    return Ring(
        wall_m=given.wall.value,
        edge_radius_m=given.edge_radius.value,
        strength_pa=stuff.yield_pa,
        between_layers_pa=stuff.upright_pa,
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
