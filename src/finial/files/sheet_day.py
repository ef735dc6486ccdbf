"""The tables of a build sheet on the launch, and the builder's own limits."""

from typing import Annotated, Literal

from finial.core.units import Dimension, Quantity
from finial.files.fields import (
    NO_ANGLE,
    Angle,
    Length,
    Measured,
    Name,
    Pressure,
    Ratio,
    Record,
    SomeLength,
    Speed,
    Temperature,
    Tilt,
    Time,
)


class LaunchEntry(Record):
    """Site, rail and weather of the day."""

    site: Name
    rail_length: SomeLength
    tilt: Tilt = NO_ANGLE
    """From the vertical."""
    toward: Angle = NO_ANGLE
    """Compass bearing the rail leans to."""
    wind: Speed
    """At 10 m above the ground."""
    wind_from: Angle
    terrain: Name
    wind_column: Name | None = None
    """Wind measured aloft, a file; the sheet's wind at 10 m makes it stronger or weaker as a whole."""
    temperature: Temperature
    pressure: Pressure | None = None
    """Air pressure at the pad, not reduced to sea level."""
    wait_on_pad: Time = Quantity(value=3600.0, text="1 h")
    crowd_distance: Length | None = None
    code: Name
    layout: Literal["single", "complex"] = "single"


class LimitsEntry(Record):
    """The builder's own limits, each in place of the usual one."""

    margin_widths: Ratio | None = None
    rail_exit_speed: Speed | None = None
    rail_exit_wind_ratio: Ratio | None = None
    thrust_to_weight: Ratio | None = None
    thrust_to_weight_floor: Ratio | None = None
    landing_speed: Speed | None = None
    landing_energy: Annotated[Quantity, Measured(dimension=Dimension.ENERGY, above=0)] | None = None
    reserve: Ratio | None = None
    cord_reserve: Ratio | None = None
    flutter_ratio: Ratio | None = None
    firing_current_ratio: Ratio | None = None
    pad_time_ratio: Ratio | None = None
    charge_over_pins: Ratio | None = None
    pins_over_load: Ratio | None = None
    assumed_mass_share: Ratio | None = None
    sheltered_share: Ratio | None = None
    backup_over_main: Ratio | None = None
    trim_angle: Angle | None = None

    @property
    def own(self) -> dict[str, float]:
        """The limits that were set, by name, in SI units."""
        return {name: getattr(self, name).value for name in self.model_fields_set}
