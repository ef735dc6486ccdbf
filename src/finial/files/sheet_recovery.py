"""The tables of a build sheet on recovery and on the electronics that start it."""

from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, model_validator

from finial.core.estimates import KnownBy
from finial.core.trees import is_table
from finial.core.units import Quantity
from finial.files.fields import (
    NO_ANGLE,
    NO_OFFSET,
    NO_TIME,
    Angle,
    Area,
    CanopyKindName,
    Charge,
    CordName,
    Current,
    Force,
    IgniterKindName,
    Lean,
    LinearMass,
    Mass,
    MaterialName,
    Name,
    Offset,
    Pedigree,
    PinScrewName,
    Pressure,
    Record,
    Resistance,
    Share,
    SomeAcceleration,
    SomeArea,
    SomeCurrent,
    SomeForce,
    SomeLength,
    SomeMass,
    SomeRatio,
    SomeResistance,
    SomeShare,
    SomeSpeed,
    SomeStation,
    SomeTime,
    Span,
    Speed,
    Station,
    SwitchKindName,
    Temperature,
    Time,
    Voltage,
    Volume,
    WallThickness,
    WholeNumber,
    YesNo,
    ZeroOffset,
    as_written,
    refusal,
)

_EVENTS = '"apogee", { falling_through = "200 m" } or { after_lift_off = "12 s" }'


class EventEntry(Record):
    """When something happens: at apogee, falling through a height above ground, or by the clock."""

    WORD: ClassVar[str] = "apogee"

    apogee: bool = False
    """At the top of the flight."""
    falling_through: SomeLength | None = None
    """Height above ground, on the way down."""
    after_lift_off: Time | None = None
    """By the clock, from lift-off."""

    @model_validator(mode="before")
    @classmethod
    def _from_word(cls, given: Any) -> Any:
        """Read ``"apogee"`` or a table with exactly one of the two other keys."""
        if given == cls.WORD:
            return {cls.WORD: True}
        if not is_table(given):
            raise refusal(as_written(given), _EVENTS)
        if not given or cls.WORD in given or {"falling_through", "after_lift_off"} <= given.keys():
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

    screw: PinScrewName
    """Screw that shears."""
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    """How many stand round the joint."""


class JointEntry(Record):
    """Where the vehicle comes apart."""

    name: Name
    """Name of the joint; no other joint may have it."""
    station: SomeStation
    """Station at which the two halves part; towers side by side part there together."""
    pins: PinsEntry | None = None
    """Shear pins that hold it until a charge breaks them."""
    friction: Force | None = None
    """Force that pulls it apart without pins; 30 N give or take all of it without an entry."""
    shoulder: SomeLength | None = None
    """How far the two sides overlap: the travel over which the joint still seals."""


class RingEntry(Record):
    """A ring or liner that stiffens the mouth of a bay."""

    wall: WallThickness
    """Thickness of the ring."""
    edge_radius: SomeLength
    """Radius that its edge is rounded to."""
    material: MaterialName
    """What it is made of."""


class PullTestEntry(Record):
    """A cord pulled over a lip of the same print until it began to tear."""

    tension: SomeForce
    """Tension at which the lip began to tear."""
    bend: Angle
    """Angle the cord bent by over the lip."""


class LipEntry(Record):
    """The edge of the bay's mouth, where a cord bears; wall and material default to the bay's."""

    wall: WallThickness | None = None
    """Thickness of the wall at the mouth; the bay's without it."""
    material: MaterialName | None = None
    """What the mouth is made of; the bay's without it."""
    edge_radius: SomeLength | None = None
    """Radius that the edge is rounded to; as cut, 0.2 mm, without it."""
    layers_stacked: Literal["along", "across"] = "along"
    """Along the tube: a slit cuts every layer. Across it: a slit runs between two layers."""
    ring: RingEntry | None = None
    """Ring or liner that takes the cord in place of the wall."""
    pull_test: PullTestEntry | None = None
    """The builder's own test of such a lip; goes before the computed strength."""


class BayEntry(Record):
    """The room a charge pressurises to open its joint."""

    name: Name
    """Name of the bay; no other bay may have it."""
    joint: Name
    """Joint that opens the bay."""
    stations: Span
    """Where the bay begins and ends, the forward station first."""
    diameter: SomeLength
    """Inner diameter."""
    offset: Offset = NO_OFFSET
    """How far its middle lies off the axis, along the two mesh axes across it; a bay in a leg has one."""
    tilt: Lean = NO_ANGLE
    """Angle between its axis and the vehicle's."""
    toward: Angle = NO_ANGLE
    """Roll angle that its fore end leans to."""
    round_tube: YesNo
    """False when the flat printed walls take the pressure."""
    wall: WallThickness | None = None
    """Thickness of the wall that takes the pressure."""
    material: MaterialName | None = None
    """What the wall that takes the pressure is made of."""
    free_volume: Volume | None = None
    """Room that the gas fills, the pack taken off; computed from the bay's size without it."""
    vent_area: Area | None = None
    """Open area of its vent holes, all together; none without it."""
    mouth: SomeLength | None = None
    """Narrowest diameter on the way out; the bay's own without it."""
    lip: LipEntry | None = None


class DropTestEntry(Record):
    """A steady drop of the canopy with a load; the standard sea-level air unless entered."""

    mass: SomeMass
    """Load that hung below the canopy."""
    speed: SomeSpeed
    """Steady speed of the fall."""
    temperature: Temperature | None = None
    """Temperature of the air; that of the standard day without it."""
    pressure: Pressure | None = None
    """Pressure of the air; that of the standard day without it."""


class CanopyEntry(Record):
    """A parachute and when it is let out."""

    name: Name
    """Name of the canopy; no other canopy may have it."""
    bay: Name
    """Bay it waits in."""
    kind: CanopyKindName
    """Shape of the canopy."""
    diameter: SomeLength
    """Its diameter; diameter_measures says which."""
    diameter_measures: Literal["nominal", "projected", "mouth"]
    """Whether it is of a circle of the cloth's area, of the open canopy from below, or across the mouth."""
    drag_coefficient: SomeRatio | None = None
    """Drag coefficient on the nominal area; that of its kind without it."""
    drag_area: SomeArea | None = None
    """The maker's drag area, coefficient times area; goes before the coefficient."""
    known_by: Pedigree = KnownBy.HANDBOOK
    """How drag area or coefficient are known: handbook for the maker's, measured by a log of its flights."""
    drop_test: DropTestEntry | None = None
    """The builder's own drop; goes before everything else."""
    reefing: Literal["none", "slider", "ring"] = "none"
    """What slows its opening."""
    line_length: SomeLength | None = None
    """Length of the lines, hem to knot; 1.15 diameters without it."""
    protector: Mass | None = None
    """Mass of the cloth that keeps the flame off; without it there is none."""
    event: EventEntry
    """When it is let out."""
    delay: Time = NO_TIME
    """How long after the event it comes out."""
    mass: SomeMass
    """Mass of canopy and lines."""
    station: Station
    """Station at which it lies packed."""
    packed_across: SomeLength | None = None
    """Diameter of the pack, protector and all; that of its bay without it."""
    packed_length: SomeLength | None = None
    """Length of the pack; as dense as packed by hand without it."""


class CordEntry(Record):
    """A shock cord: a row of the cord table, or its own three numbers."""

    name: Name
    """Name of the cord; no other cord may have it."""
    joint: Name
    """Joint whose halves it holds together."""
    material: CordName
    """What kind of cord; its own breaking load and stretch, where both are given, go first."""
    length: SomeLength
    """Length from knot to knot."""
    breaking_load: SomeForce | None = None
    """Load that breaks it, new and without a knot."""
    stretch_at_break: SomeRatio | None = None
    """How much longer it is when it breaks."""
    knot_keeps: SomeShare = Quantity(value=0.5, text="50 %")
    """Share of the strength that its worst knot leaves."""
    mass_per_length: LinearMass | None = None
    """Mass over length."""
    width: SomeLength | None = None
    """How wide it bears on the lip of a tube."""
    canopy_at: Share = Quantity(value=0.3, text="30 %")
    """Where the canopy is tied, as a share of the length from the fore end."""
    tied_to: tuple[Name, Name] | None = None
    """Items that its fore and its aft end are tied to; the plates that close its bay without it."""


class GroundTestEntry(Record):
    """One shot on the ground, with the flight's own bay, pack, pins and igniter."""

    powder: SomeMass
    """Powder of that shot."""
    parted: YesNo
    """Whether the joint came apart."""
    speed: Speed | None = None
    """Speed of parting from a video."""


class PowderChargeEntry(Record):
    """A charge in a bay; without ``powder`` the amount is not known."""

    name: Name
    """Name of the charge; no other charge may have it."""
    bay: Name
    """Bay it is fired in."""
    powder: SomeMass | None = None
    """Mass of the powder; without it the amount is not known. Always ground-test."""
    event: EventEntry
    """When it is fired."""
    backup_of: Name | None = None
    """Charge that this one stands in for."""
    behind_pack: YesNo | None = None
    """True where its gas pushes the pack out; false where it lies on the mouth's side."""
    ground_test: tuple[GroundTestEntry, ...] = ()
    """Shots made on the ground."""


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
    """Name of the battery; no other battery may have it."""
    voltage: Voltage
    """Voltage without load."""
    internal_resistance: Resistance
    """Resistance of the battery itself, warm and charged."""
    capacity: Charge
    """Charge it gives when fresh."""
    charged: SomeShare = Quantity(value=1.0, text="100 %")
    """How full it goes onto the pad; its voltage is told for this."""


class SwitchEntry(Record):
    """An arming switch."""

    name: Name
    """Name of the switch; no other switch may have it."""
    kind: SwitchKindName = "switch"
    """Kind of switch; its odds of failing are assumed by it."""
    rest: Literal["open", "closed"] | None = None
    """What its contacts do once pin or magnet has come away; a pull pin's close, where nothing is entered."""
    resistance: Resistance
    """Resistance when closed."""
    fails_open: Share | None = None
    """Odds that it does not close when it should, counted by the builder; those of its kind without it."""
    fails_closed: Share | None = None
    """Odds that it closes unasked, counted by the builder; those of its kind without it."""


class LiftOffFeltEntry(Record):
    """What an accelerometer must feel, and for how long, before its computer takes the flight for begun."""

    over: SomeAcceleration
    """Felt along its axis, at least: "3 g"; at rest on the pad it feels 1 g."""
    held: SomeTime
    """For so long without a break: "0.25 s"."""


class AccelerometerEntry(Record):
    """The accelerometer of a flight computer along the vehicle's axis, and how far it may be off."""

    range: SomeAcceleration
    """Beyond this it reads no more: "50 g"."""
    offset: ZeroOffset
    """What it may show at rest beside gravity, either way, as warm as it gets: "0.05 g"."""
    tilt: Lean
    """Angle between its axis and the vehicle's, as mounted."""
    finds_top: YesNo
    """Whether the computer takes the top from it, the barometer left aside."""
    lift_off: LiftOffFeltEntry | None = None
    """What it takes for lift-off, though the barometer sees none yet; without it the barometer alone."""


class ComputerEntry(Record):
    """A flight computer, its battery and its switches."""

    name: Name
    """Name of the computer; no other computer may have it."""
    battery: Name
    """Battery that feeds it."""
    switch: Name | None = None
    """Switch that arms it; without one, or switches, it is live once its battery is plugged in."""
    switches: tuple[tuple[Name, ...], ...] = ()
    """Switches that arm it, where there are several: groups in series, in parallel within a group."""
    plugs: tuple[Name, ...] = ()
    """Connectors between it and its battery, by name: what several name is one plug, and fails for all."""
    current_on_pad: SomeCurrent
    """Current it draws while it waits."""
    continuity_current: Current | None = None
    """Current it passes through an igniter to tell that it is there; zero for one that does not look."""
    least_voltage: Voltage | None = None
    """Voltage below which it resets; 5 V, 3.3 to 6 V, without an entry."""
    sled: Name = "sled"
    """What carries it and its battery: computers that share one name share its fate."""
    port: Name = "static ports"
    """Holes through which it senses the air, under ports: computers that share one name share their fate."""
    mach_lockout: YesNo | None = None
    """Whether it leaves the barometer aside near the speed of sound."""
    accelerometer: AccelerometerEntry | None = None
    """Its accelerometer; without one it senses by its barometer alone."""
    lift_off_height: SomeLength | None = None
    """Height above the pad at which it takes the flight for begun; 30 m, 10 to 60 m, without an entry."""

    @model_validator(mode="after")
    def _one_way_of_arming(self) -> Self:
        if self.switch is not None and self.switches:
            raise refusal("both switch and switches", "one of them")
        if not all(self.switches):
            raise refusal(
                "an empty group of switches", 'groups with a switch each, such as [["pin"], ["key"]]'
            )
        named = [name for group in self.switches for name in group]
        twice = next((name for name in named if named.count(name) > 1), None)
        if twice is not None:
            raise refusal(
                f'"{twice}" twice in switches, a loop through one switch',
                "each switch once: groups in series, in parallel within a group",
            )
        return self

    @property
    def arming(self) -> tuple[tuple[str, ...], ...]:
        """Switches that arm it: groups in series, in parallel within a group."""
        return self.switches if self.switch is None else ((self.switch,),)


class PortEntry(Record):
    """Holes in the skin through which computers sense the air, and the bay behind them."""

    name: Name
    """Name that computers give as their port; no other port may have it."""
    station: SomeStation
    """Station of the holes."""
    holes: Annotated[tuple[SomeLength, ...], Field(min_length=1, max_length=24)]
    """Diameter of each hole."""
    at: tuple[Angle, ...] | None = None
    """Roll angle of each hole, in their order; evenly round the body without it."""
    bay_volume: Volume
    """Air in the bay behind them."""

    @model_validator(mode="after")
    def _as_many_angles_as_holes(self) -> Self:
        if self.at is not None and len(self.at) != len(self.holes):
            raise refusal(
                f"{len(self.holes)} holes at {len(self.at)} angles", "at with one roll angle for each hole"
            )
        return self


class WireEntry(Record):
    """A pair of copper wires."""

    gauge: Annotated[WholeNumber, Field(ge=10, le=36)]
    """American wire gauge; a larger number is a thinner wire."""
    length: SomeLength
    """From end to end, counted once."""


class IgniterEntry(Record):
    """What fires a charge; without ``all_fire`` the current it needs is not known."""

    name: Name
    """Name of the igniter; no other igniter may have it."""
    fires: Name
    """Charge it stands in."""
    computer: Name
    """Computer that fires it."""
    event: EventEntry
    """When the computer fires it."""
    kind: IgniterKindName | None = None
    """Kind of igniter: gives resistance, all-fire and no-fire current where they are not entered."""
    resistance: SomeResistance | None = None
    """Resistance of the igniter itself; that of its kind without it."""
    all_fire: SomeCurrent | None = None
    """Current that fires every one of them, by its data sheet."""
    no_fire: SomeCurrent | None = None
    """Current that fires none of them, by its data sheet."""
    wiring_resistance: Resistance | None = None
    """Wires and connectors, there and back; those of wire without it, or 0.2 ohm give or take all of it."""
    wire: WireEntry | None = None
    """Wire from the computer to the igniter."""
    connectors: WholeNumber = 0
    """Plugs, screw terminals and crimps in that wire, both leads counted."""
    plugs: tuple[Name, ...] = ()
    """Connectors it shares with other leads, by name, beside those counted: two contacts each."""

    @model_validator(mode="after")
    def _has_a_resistance(self) -> Self:
        if self.resistance is None and self.kind is None:
            raise refusal("neither resistance nor kind", 'resistance = "1.5 ohm", or kind = "electric match"')
        return self


class ElectronicsEntry(Record):
    """Batteries, switches, computers and their ports, and igniters."""

    battery: tuple[BatteryEntry, ...] = ()
    switch: tuple[SwitchEntry, ...] = ()
    computer: tuple[ComputerEntry, ...] = ()
    port: tuple[PortEntry, ...] = ()
    igniter: tuple[IgniterEntry, ...] = ()
