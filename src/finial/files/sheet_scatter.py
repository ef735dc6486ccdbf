"""The table of a build sheet that says how much flights of one vehicle differ."""

from finial.core.units import Quantity
from finial.files.fields import Angle, Length, Ratio, Record, Share, Time, YesNo


class ScatterEntry(Record):
    """How far things may be off from flight to flight; what is left out takes the usual value.

    Each is the reach either way that holds in about nineteen flights of twenty; the last two are odds.
    """

    gusts: YesNo = True
    wind_from: Angle | None = None
    """Where ``launch.wind_from`` carries no tolerance of its own; likewise for tilt, bearing, delays."""
    wind_exponent: Ratio | None = None
    thrust_line: Angle | None = None
    thrust_offset: Length | None = None
    burn_time: Share | None = None
    ignition_delay: Time | None = None
    fin_angle: Angle | None = None
    """Of each fin by itself."""
    rail_tilt: Angle | None = None
    rail_toward: Angle | None = None
    event_delay: Time | None = None
    canopy_stays_in: Share | None = None
    canopy_stays_bundled: Share | None = None

    def given(self, name: str) -> Quantity | None:
        """Quantity of that name, if the sheet has it."""
        return getattr(self, name)
