"""What moves each pack out of its bay, against the friction that holds it."""

from collections.abc import Sequence

from finial.assemble.recovery.inputs import EventStates, named
from finial.assemble.recovery.records import BurstStudy, ExitStudy, ExitWay
from finial.assemble.recovery.results import PackStudy, RecoveryResult
from finial.core.estimates import Estimate
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import PowderChargeEntry
from finial.recovery.packs.pack_exit import pulled_out, pushed_out


def exit_study(
    sheet: Sheet, pack: PackStudy, moments: EventStates, found: RecoveryResult, bursts: tuple[BurstStudy, ...]
) -> ExitStudy | None:
    """Set pull and push beside friction; ``None`` where nothing has mass or nothing is known to move it."""
    if pack.friction is None:
        return None
    bay = named(sheet.recovery.bay, pack.bay)
    joint = named(sheet.recovery.joint, bay.joint)
    moved = moments.apart[joint.name].moved_kg
    shots = [shot for burst in bursts if burst.bay == bay.name for shot in burst.shots]
    corded = any(cord.joint == joint.name for cord in sheet.recovery.cord)
    charges = [charge for charge in sheet.recovery.charge if charge.bay == bay.name]
    forces = [charge.force_on_joint for charge in found.charges if charge.bay == bay.name]
    told = _behind(charges)
    pull = pulled_out(pack.friction, pack.length_m, moved, shots[0].speed) if corded and shots else None
    push = pushed_out(pack.friction, forces[0]) if forces and forces[0] is not None else None
    if told is False:
        push = None
    if pull is None and push is None:
        return None
    return ExitStudy(bay=bay.name, friction=pack.friction, pull=pull, push=push, behind_told=told is True)


def _behind(charges: Sequence[PowderChargeEntry]) -> bool | None:
    """Whether every charge pushes the pack out: one that is said to push it in may be the one that fires."""
    said = [charge.behind_pack for charge in charges if charge.behind_pack is not None]
    return all(said) if said else None


def best_of(study: ExitStudy) -> tuple[ExitWay, Estimate]:
    """Tell the way out that is surer, and its number over what is needed [-]."""
    ways = [(ExitWay.PULLED, study.pull), (ExitWay.PUSHED, study.push)]
    return max(((what, way) for what, way in ways if way is not None), key=lambda one: one[1].low)
