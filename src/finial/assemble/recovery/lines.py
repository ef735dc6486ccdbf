"""Cords of the sheet: what they are, what they hold, how hard the separation pulls."""

from collections.abc import Iterator

from finial.assemble.recovery.charges import free_volume, pressure_out
from finial.assemble.recovery.inputs import Apart, EventStates
from finial.assemble.recovery.results import CordResult
from finial.core.estimates import Estimate, KnownBy, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, CordEntry
from finial.recovery.charges.powder import bay_pressure
from finial.recovery.cords.kinds import Cord, Separation, cord_named, cord_peak_load, cord_strength
from finial.recovery.joints.parting import Blast, parting_speed


def sheet_cord(cord: CordEntry) -> Cord:
    """Row of the cord table with the sheet's own numbers laid over it."""
    if cord.breaking_load and cord.stretch_at_break:
        return Cord(
            name=cord.name,
            breaking_load_n=cord.breaking_load.estimate(KnownBy.HANDBOOK),
            stretch_at_break=cord.stretch_at_break.estimate(KnownBy.HANDBOOK),
            mass_kg_per_m=cord.mass_per_length.value if cord.mass_per_length else None,
            source="the build sheet",
            width_m=cord.width.value if cord.width else None,
        )
    known = cord_named(cord.material)
    load, stretch = cord.breaking_load, cord.stretch_at_break
    return Cord(
        name=cord.name,
        breaking_load_n=load.estimate(KnownBy.HANDBOOK) if load else known.breaking_load_n,
        stretch_at_break=stretch.estimate(KnownBy.HANDBOOK) if stretch else known.stretch_at_break,
        mass_kg_per_m=cord.mass_per_length.value if cord.mass_per_length else known.mass_kg_per_m,
        source=known.source,
        width_m=cord.width.value if cord.width else known.width_m,
        rebound=known.rebound,
    )


def cord_result(sheet: Sheet, cord: CordEntry, moments: EventStates) -> CordResult:
    """Answer for one cord by the energy of two bodies, under the hardest charges of its joint together."""
    apart = moments.apart[cord.joint]
    line = sheet_cord(cord)
    separation = Separation(
        fore_mass_kg=apart.fore_kg,
        aft_mass_kg=apart.aft_kg,
        speed_m_s=_fastest_parting(sheet, cord.joint, apart, moments),
        length_m=cord.length.estimate(KnownBy.MEASURED),
    )
    return CordResult(name=cord.name, peak_load=cord_peak_load(separation, line), strength=strength_of(cord))


def strength_of(cord: CordEntry) -> Estimate:
    """Load that breaks a cord of the sheet at its worst knot [N]."""
    return cord_strength(sheet_cord(cord).breaking_load_n, cord.knot_keeps.estimate(KnownBy.HANDBOOK))


def _fastest_parting(sheet: Sheet, joint: str, apart: Apart, moments: EventStates) -> Estimate:
    """Speed the halves part at under the hardest charges of the joint, each with its backups [m/s]."""
    speeds: list[Estimate] = []
    for bay in sheet.recovery.bay:
        if bay.joint != joint:
            continue
        ambient = pressure_out(bay, sheet, moments)
        volume = free_volume(sheet, bay)
        for powder in _fired_together(sheet, bay):
            blast = Blast(
                pressure_pa=bay_pressure(powder, volume, ambient),
                volume_m3=volume,
                diameter_m=bay.diameter.value,
                ambient_pa=ambient,
                fore_mass_kg=apart.fore_kg,
                aft_mass_kg=apart.aft_kg,
            )
            speeds.append(parting_speed(blast))
    usual = Estimate(
        value=12.0,
        low=6.0,
        high=18.0,
        known_by=KnownBy.ASSUMED,
        method="parting speed without a charge entered",
    )
    return max(speeds, key=lambda speed: speed.high, default=usual)


def _fired_together(sheet: Sheet, bay: BayEntry) -> Iterator[Estimate]:
    """Powder of each first charge of a bay with its backups, which may fire in the same instant [kg]."""
    own = {one.name: one for one in sheet.recovery.charge if one.bay == bay.name and one.powder is not None}
    firsts = {one.backup_of if one.backup_of in own else one.name for one in own.values()}
    for first in sorted(filter(None, firsts)):
        together = [one for one in own.values() if first in (one.name, one.backup_of)]
        yield total(
            [one.powder.estimate(KnownBy.WEIGHED) for one in together if one.powder is not None],
            method="a charge with its backups",
        )
