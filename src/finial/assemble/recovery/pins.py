"""What the pins of a joint hold on the sheet's day."""

from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import JointEntry
from finial.recovery.joints.pins import pins_hold
from finial.recovery.joints.warmth import nylon_share


def joint_pins(sheet: Sheet, joint: JointEntry) -> Estimate | None:
    """Force that breaks a joint's pins [N]; ``None`` where it has none."""
    return pins_on_the_day(sheet, joint.pins.screw, joint.pins.count) if joint.pins else None


def pins_on_the_day(sheet: Sheet, screw: str, count: int) -> Estimate:
    """Force that breaks some pins in the air of the sheet's day [N]."""
    holds, share = pins_hold(screw, count), day_share(sheet)
    if share.low == share.high == 1.0:
        return holds
    return over_corners(
        lambda holds_n, share: holds_n * share,
        {"holds_n": holds, "share": share},
        method=f"{holds.method}, by the day's temperature",
        source=f"{holds.source}; {share.source}",
    )


def day_share(sheet: Sheet) -> Estimate:
    """Share of its strength that nylon has on the sheet's day [-]."""
    return nylon_share(sheet.launch.temperature.estimate(KnownBy.MEASURED))
