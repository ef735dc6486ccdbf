"""The tables of a build sheet on recovery and on the electronics that start it."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from finial.core.units import Quantity
from finial.files.fields import (
    NO_TIME,
    Angle,
    Area,
    Charge,
    Force,
    Length,
    LinearMass,
    Mass,
    Name,
    Pressure,
    Ratio,
    Record,
    Resistance,
    Share,
    SomeCurrent,
    SomeLength,
    SomeMass,
    SomeResistance,
    SomeShare,
    Span,
    Speed,
    Temperature,
    Time,
    Voltage,
    Volume,
    WallThickness,
    WholeNumber,
    YesNo,
    as_written,
    refusal,
)

_EVENTS = '"apogee", { falling_through = "200 m" } or { after_lift_off = "12 s" }'


class EventEntry(Record):
    """When something happens: at apogee, falling through a height above ground, or by the clock."""

    apogee: bool = False
    falling_through: SomeLength | None = None
    """Height above ground, on the way down."""
    after_lift_off: Time | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_word(cls, given: Any) -> Any:
        """Read ``"apogee"`` or a table with exactly one of the two other keys."""
        if given == "apogee":
            return {"apogee": True}
        if not isinstance(given, dict):
            raise refusal(as_written(given), _EVENTS)
        known = {"falling_through", "after_lift_off"} & given.keys()
        if len(known) > 1 or (not known and not given):
            raise refusal(as_written(given), _EVENTS)
        return given

    @model_validator(mode="after")
    def _one_of_three(self) -> Self:
        if self.apogee + (self.falling_through is not None) + (self.after_lift_off is not None) != 1:
            raise refusal("no time or height", _EVENTS)
        return self

    @property
    def words(self) -> str:
        """The event as the builder reads it."""
        if self.falling_through is not None:
            return f"falling through {self.falling_through.text}"
        return f"{self.after_lift_off.text} after lift-off" if self.after_lift_off else "apogee"


class PinsEntry(Record):
    """Shear pins in a joint: a row of the screw table and how many."""

    screw: Name
    count: Annotated[WholeNumber, Field(ge=1, le=64)]


class JointEntry(Record):
    """Where the vehicle comes apart."""

    name: Name
    station: SomeLength
    pins: PinsEntry | None = None
    friction: Force | None = None
    shoulder: SomeLength | None = None
    """How far the two sides overlap: the travel over which the joint still seals."""


class RingEntry(Record):
    """A ring or liner that stiffens the mouth of a bay."""

    wall: WallThickness
    edge_radius: SomeLength
    material: Name


class PullTestEntry(Record):
    """A cord pulled over a lip of the same print until it began to tear."""

    tension: Force
    bend: Angle
    """Angle the cord bent by over the lip."""


class LipEntry(Record):
    """The edge of the bay's mouth, where a cord bears; wall and material default to the bay's."""

    wall: WallThickness | None = None
    material: Name | None = None
    edge_radius: SomeLength | None = None
    layers_stacked: Literal["along", "across"] = "along"
    """Along the tube: a slit cuts every layer. Across it: a slit runs between two layers."""
    ring: RingEntry | None = None
    pull_test: PullTestEntry | None = None


class BayEntry(Record):
    """The room a charge pressurises to open its joint."""

    name: Name
    joint: Name
    stations: Span
    diameter: SomeLength
    round_tube: YesNo
    """False when the flat printed walls take the pressure."""
    wall: WallThickness | None = None
    material: Name | None = None
    """Of the wall that takes the pressure."""
    free_volume: Volume | None = None
    vent_area: Area | None = None
    mouth: SomeLength | None = None
    """Narrowest diameter on the way out; the bay's own without it."""
    lip: LipEntry | None = None


class DropTestEntry(Record):
    """A steady drop of the canopy with a load; the standard sea-level air unless entered."""

    mass: SomeMass
    speed: Speed
    temperature: Temperature | None = None
    pressure: Pressure | None = None


class CanopyEntry(Record):
    """A parachute and when it is let out."""

    name: Name
    bay: Name
    kind: Name
    diameter: SomeLength
    diameter_measures: Literal["nominal", "projected", "mouth"]
    drag_coefficient: Ratio | None = None
    drag_area: Area | None = None
    """The maker's drag area, coefficient times area; goes before the coefficient."""
    drop_test: DropTestEntry | None = None
    """The builder's own drop; goes before everything else."""
    reefing: Literal["none", "slider", "ring"] = "none"
    line_length: SomeLength | None = None
    protector: Mass | None = None
    """Mass of the cloth that keeps the flame off; without it there is none."""
    event: EventEntry
    delay: Time = NO_TIME
    mass: SomeMass
    station: Length


class CordEntry(Record):
    """A shock cord: a row of the cord table, or its own three numbers."""

    name: Name
    joint: Name
    material: Name
    length: SomeLength
    breaking_load: Force | None = None
    stretch_at_break: Ratio | None = None
    knot_keeps: SomeShare = Quantity(value=0.5, text="50 %")
    mass_per_length: LinearMass | None = None
    width: SomeLength | None = None
    canopy_at: Share = Quantity(value=0.3, text="30 %")
    """Where the canopy is tied, as a share of the length from the fore end."""


class GroundTestEntry(Record):
    """One shot on the ground, with the flight's own bay, pack, pins and igniter."""

    powder: SomeMass
    parted: YesNo
    speed: Speed | None = None
    """Speed of parting from a video."""


class PowderChargeEntry(Record):
    """A charge in a bay; without ``powder`` the amount is not known."""

    name: Name
    bay: Name
    powder: SomeMass | None = None
    event: EventEntry
    backup_of: Name | None = None
    behind_pack: YesNo | None = None
    """True where its gas pushes the pack out; False where it lies on the mouth's side."""
    ground_test: tuple[GroundTestEntry, ...] = ()


class RecoveryEntry(Record):
    """Joints, bays, canopies, cords and charges."""

    joint: tuple[JointEntry, ...] = ()
    bay: tuple[BayEntry, ...] = ()
    canopy: tuple[CanopyEntry, ...] = ()
    cord: tuple[CordEntry, ...] = ()
    charge: tuple[PowderChargeEntry, ...] = ()


class BatteryEntry(Record):
    """A battery on the pad and in flight."""

    name: Name
    voltage: Voltage
    internal_resistance: Resistance
    capacity: Charge


class SwitchEntry(Record):
    """An arming switch."""

    name: Name
    resistance: Resistance


class ComputerEntry(Record):
    """A flight computer, its battery and its switch."""

    name: Name
    battery: Name
    switch: Name | None = None
    current_on_pad: SomeCurrent


class IgniterEntry(Record):
    """What fires a charge; without ``all_fire`` the current it needs is not known."""

    name: Name
    fires: Name
    computer: Name
    event: EventEntry
    resistance: SomeResistance
    all_fire: SomeCurrent | None = None
    wiring_resistance: Resistance | None = None


class ElectronicsEntry(Record):
    """Batteries, switches, computers and igniters."""

    battery: tuple[BatteryEntry, ...] = ()
    switch: tuple[SwitchEntry, ...] = ()
    computer: tuple[ComputerEntry, ...] = ()
    igniter: tuple[IgniterEntry, ...] = ()
