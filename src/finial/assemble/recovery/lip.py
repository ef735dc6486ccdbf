"""The lip of a bay's mouth, from the sheet: wall, stuff, edge, ring, pull test."""

import math

from finial.assemble.recovery.records import LipStudy
from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import KnownBy
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, LipEntry, RingEntry
from finial.materials.material import PRINTED
from finial.recovery.cords.zipper import SHARP_EDGE_M, Lip, LipRing, behind_ring, lip_holds, pull_tested

SQUARE_RAD = math.pi / 2
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


def _ring(sheet: Sheet, given: RingEntry) -> LipRing:
    stuff = sheet_material(sheet, given.material)
    return LipRing(
        wall_m=given.wall.value,
        edge_radius_m=given.edge_radius.value,
        strength_pa=stuff.yield_pa,
        between_layers_pa=stuff.upright_pa,
    )


def lip_study(bay: BayEntry, lip: Lip) -> LipStudy:
    """Tell what the lip is taken to be."""
    given = bay.lip or LipEntry()
    return LipStudy(
        material=given.ring.material if given.ring else (given.material or bay.material or ""),
        ring=given.ring is not None,
        wall_m=lip.wall_m,
        edge_radius_m=lip.edge_radius_m,
        edge_as_cut=given.edge_radius is None and given.ring is None,
        layered=lip.between_layers_pa is not None,
        layers_across=lip.layers_across_tube,
        bears_m=lip.cord_width_m,
        tested=given.pull_test is not None,
        holds_square=lip_holds(lip, SQUARE_RAD),
    )
