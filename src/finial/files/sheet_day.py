"""The tables of a build sheet on the launch, and the builder's own limits."""

from typing import Annotated, Literal

from pydantic import Field

from finial.core.units import Dimension, Quantity
from finial.files.fields import (
    NO_ANGLE,
    AirTemperature,
    Angle,
    CodeName,
    FieldLength,
    FileName,
    Length,
    Measured,
    Offset,
    Pressure,
    RailTilt,
    Ratio,
    Record,
    Share,
    SignedLength,
    SomeArea,
    SomeLength,
    SomeMass,
    SomeRatio,
    SomeShare,
    Speed,
    Station,
    TerrainName,
    Text,
    Time,
    WholeNumber,
)


class ScaleEntry(Record):
    """One of two scales that the vehicle lies on."""

    at: Station
    """Station where it bears on this scale."""
    reads: SomeMass
    """What the scale shows."""


class WeighingEntry(Record):
    """The whole vehicle on a scale, and where it balances; goes before the sum of the mass table."""

    motor: Literal["out", "loaded"]
    """Whether the motor was out, or in with all its propellant; everything else is in, packed as it flies."""
    mass: SomeMass | None = None
    """What the whole weighs on one scale."""
    balance: Station | None = None
    """Station at which it hangs level on a cord."""
    scales: tuple[ScaleEntry, ScaleEntry] | None = None
    """Two scales that carry it lying level: they give its mass and its balance too."""
    across: Offset | None = None
    """How far it balances beside its axis, along the two mesh axes across it."""


class LaunchEntry(Record):
    """Site, rail and weather of the day."""

    site: FileName
    """TOML file of the site, beside or below the sheet."""
    rail_length: SomeLength
    """Length of the rail that guides the vehicle, from the pad up."""
    tilt: RailTilt = NO_ANGLE
    """How far the rail leans from the vertical."""
    toward: Angle = NO_ANGLE
    """Compass bearing the rail leans to."""
    wind: Speed
    """Speed of the wind at 10 m above the ground."""
    wind_from: Angle
    """Compass bearing that the wind blows from."""
    terrain: TerrainName
    """What the wind comes over."""
    wind_column: FileName | None = None
    """Wind measured aloft; the sheet's wind at 10 m makes it stronger or weaker as a whole."""
    temperature: AirTemperature
    """Temperature of the air at the pad."""
    pressure: Pressure | None = None
    """Air pressure at the pad, not reduced to sea level; that of a standard day at its height without it."""
    wait_on_pad: Time = Quantity(value=3600.0, text="1 h")
    """How long the vehicle stands armed on the pad: for batteries, and creep of warm plastic."""
    ground: Literal["soft turf", "turf", "hard earth", "any"] = "any"
    """What it lands on: how far the ground gives way decides how hard the landing is."""
    crowd_distance: FieldLength | None = None
    """Distance from the pad to the nearest people, as measured."""
    crowd_bearing: Angle | None = None
    """Compass bearing from the pad to the middle of the crowd."""
    crowd_across: SomeLength | None = None
    """How wide the crowd stands, across that bearing."""
    bystander_distance: Length | None = None
    """Distance from the pad to people and things with no part in the launch; the field's edge without it."""
    at_once: Annotated[WholeNumber, Field(ge=1, le=100)] = 1
    """Rockets that leave at the same moment, this one among them, all with motors like this one's."""
    code: CodeName
    """Code that governs the field."""
    layout: Literal["single", "complex"] = "single"
    """One motor, or a complex rocket in the code's sense, which several motors are in any case."""


class AirEntry(Record):
    """Air loads of the whole vehicle from a tunnel or another method, in the place of the sections'.

    A study goes before a table where its runs are of this very shape.
    """

    table: FileName | None = None
    """Plain columns of angle, force and place with low and high ends; names and units in the heading."""
    area: SomeArea | None = None
    """Area that the table's coefficients stand on; needed beside a table."""
    study: FileName | None = None
    """Runs that `finial tunnel` kept of this very shape; those of another shape are never used."""
    source: Text = ""
    """Where the numbers come from; the file's name without it."""


class FlownEntry(Record):
    """What logs of its flights have told of the vehicle; goes before what is computed."""

    drag: SomeRatio | None = None
    """Factor on the computed drag, nothing out yet, with how well the logs tell it: "1.08 +- 0.03"."""
    pressure_centre: SignedLength | None = None
    """How far aft of the computed the centre of pressure lies, by swings: "12 mm +- 9 mm"."""
    logs: Text = ""
    """Which logs told it; nothing is computed from it."""


class LimitsEntry(Record):
    """The builder's own limits, each in place of the usual one."""

    margin_widths: Ratio | None = None
    """Least margin between balance point and pressure band, in widths of the vehicle."""
    margin_length: Share | None = None
    """The same as a share of the length; alone it stands in place of widths, beside them both are judged."""
    rail_exit_speed: Speed | None = None
    """Least speed off the rail."""
    rail_exit_wind_ratio: Ratio | None = None
    """Least speed off the rail over the wind."""
    thrust_to_weight: Ratio | None = None
    """Average thrust over weight below which it is a caution."""
    thrust_to_weight_floor: Ratio | None = None
    """Average thrust over weight below which it is a no-go."""
    landing_speed: Speed | None = None
    """Largest speed at the ground."""
    landing_energy: Annotated[Quantity, Measured(dimension=Dimension.ENERGY, above=0)] | None = None
    """Largest energy of one piece at the ground."""
    reserve: Ratio | None = None
    """Least strength over load of walls, rods, fins and fastenings."""
    cord_reserve: SomeRatio | None = None
    """Least strength over peak load of a cord."""
    flutter_ratio: Ratio | None = None
    """Least flutter speed over the largest speed flown."""
    firing_current_ratio: Ratio | None = None
    """Least firing current over the all-fire current."""
    continuity_over_no_fire: SomeShare | None = None
    """Largest current of a continuity check over the no-fire current."""
    pad_time_ratio: Ratio | None = None
    """Least time a battery lasts over the planned wait."""
    charge_over_pins: Ratio | None = None
    """Least force of a charge over what pins and friction hold."""
    pins_over_load: Ratio | None = None
    """Least hold of the pins over all that pulls before the charge."""
    assumed_mass_share: Ratio | None = None
    """Largest share of the mass that is only assumed."""
    sheltered_share: Ratio | None = None
    """Largest share of a fin in dead air."""
    backup_over_main: Ratio | None = None
    """Least powder of a second charge over that of the first."""
    trim_angle: Angle | None = None
    """Largest angle off straight that a crooked shape coasts at."""
    rail_wind_angle: Angle | None = None
    """Largest angle the wind at the rail's end makes of the speed off the rail."""
    tip_off_angle: Angle | None = None
    """Largest turn on the last button as the vehicle leaves the rail."""
    rail_play_angle: Angle | None = None
    """Largest lean that the play of the buttons allows."""
    two_button_travel: Ratio | None = None
    """Least travel on both buttons over travel on one."""
    thrust_held_angle: Angle | None = None
    """Largest angle at which the air holds thrust beside the balance point."""
    damping_ratio: Ratio | None = None
    """Least damping of a swing, over the damping at which it would no longer swing."""
    spin_ratio: Ratio | None = None
    """Largest roll rate over the pitch frequency."""

    @property
    def own(self) -> dict[str, float]:
        """The limits that were set, by name, in SI units."""
        return {name: getattr(self, name).value for name in sorted(self.model_fields_set)}
