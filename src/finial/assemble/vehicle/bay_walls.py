"""The wall of a bay that takes its charge's pressure, as the sheet has it."""

from finial.assemble.vehicle.materials import sheet_material
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry
from finial.structure.walls.bay_walls import BayWall


def sheet_bay_wall(sheet: Sheet, bay: BayEntry) -> BayWall | None:
    """Wall of a bay with its stuff; ``None`` where the sheet lacks thickness or material."""
    if bay.wall is None or bay.material is None:
        return None
    stuff = sheet_material(sheet, bay.material)
    return BayWall(
        station_m=(bay.stations[0].value + bay.stations[1].value) / 2,
        across_m=bay.diameter.value + 2 * bay.wall.value,
        length_m=bay.stations[1].value - bay.stations[0].value,
        wall_m=bay.wall.value,
        round_tube=bay.round_tube,
        modulus=stuff.modulus_pa,
        strength=stuff.yield_pa,
        poisson=stuff.poisson,
    )
