"""The table of a build sheet that says how much flights of one vehicle differ."""

from finial.core.units import Quantity
from finial.files.fields import Length, Ratio, ReachAngle, Record, Share, Time, YesNo


class ScatterEntry(Record):
    """How far things may be off from flight to flight; what is left out takes the usual value.

    Each is the reach either way that holds in about nineteen flights of twenty; the last two are odds.
    """

    gusts: YesNo = True
    """Whether turbulence stands over the mean wind."""
    wind_from: ReachAngle | None = None
    """How far the wind may blow from elsewhere, where launch.wind_from carries no tolerance."""
    wind_exponent: Ratio | None = None
    """How far the exponent of the wind's growth with height may be off that of the terrain."""
    thrust_line: ReachAngle | None = None
    """Angle that the motor may lean by."""
    thrust_offset: Length | None = None
    """How far the line of thrust may lie off the axis, where motor.offset carries no tolerance."""
    burn_time: Share | None = None
    """How much longer or shorter the motor may burn, as a share."""
    ignition_delay: Time | None = None
    """How late the motor may light, where its file carries no tolerance."""
    fin_angle: ReachAngle | None = None
    """How far each fin may stand off, by itself."""
    rail_tilt: ReachAngle | None = None
    """How far the rail may lean otherwise, where launch.tilt carries no tolerance."""
    rail_toward: ReachAngle | None = None
    """How far its bearing may be off, where launch.toward carries no tolerance."""
    event_delay: Time | None = None
    """How late a canopy may come out, where its delay carries no tolerance."""
    canopy_stays_in: Share | None = None
    """Odds that a canopy stays in its bay."""
    canopy_stays_bundled: Share | None = None
    """Odds that a canopy comes out and does not open."""

    def given(self, name: str) -> Quantity | None:
        """Quantity of that name, if the sheet has it."""
        return getattr(self, name)
