"""One shape at many heights: what its size does to mass, motor, pieces, hours and margin."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from finial.assemble.inside.cavity import room_inside
from finial.assemble.looks.begun import begun_answer
from finial.assemble.mass.row import Row
from finial.assemble.mass.rows import mass_rows
from finial.assemble.prints.settings import PrintSettings, settings_of
from finial.assemble.vehicle.bed import is_printed, parts_on_bed, upright_axis
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material, walls_of
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, total
from finial.inside.drawn import MotorRoom, motor_room
from finial.mass.balance import Share, balance_point
from finial.mass.thin_walls import wall_share
from finial.motors.curve import letter_class
from finial.motors.motor import Motor
from finial.printing.bed import pieces_on_bed
from finial.printing.effort import NOTHING_LEARNED, Printer, effort
from finial.printing.walls import PrintedWalls, plastic_in
from finial.sizing.scale_motor import Launched, launched, lifted, lifting_motor, speed_off_rail

BURN_S = (1.0, 3.0)
"""Burn times of most motors of such vehicles [s]; common practice."""
LOADED_KG_PER_NS = (0.9e-3, 1.2e-3)
"""Mass of a loaded motor over its impulse [kg/(N s)]: 2000 N s a kilogram of propellant, and as much casing
again; common practice."""
MOTOR_AT = (0.75, 0.95)
"""Middle of the motor over the length, its nozzle at the base [-]; a guess of this project."""
MOST_STEPS = 60
USUAL_ENDS = (0.5, 2.0)
"""Lowest and highest model that is looked at where nobody says, over what is drawn [-]."""
_POWER = {"fin": 2, "rod": 1}
"""How the mass of a kind of row grows: plates in area, rods in length; what is bought stays as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedShape:
    """A printed part as it scales: its surface and volume grow, its walls do not."""

    name: str
    volume_m3: float
    area_m2: float
    """Plastic in its walls over their thickness [m^2]."""
    walls: PrintedWalls | None
    """``None`` for a solid part."""
    density_kg_m3: float
    size_m: tuple[float, float, float] | None
    """Sides along the mesh's axes [m]; ``None`` where the sheet names no bed."""
    upright: int | None
    printer: Printer | None
    """``None`` where the sheet names no printer."""

    def plastic_m3(self, scale: float) -> float:
        """Plastic in it at a scale.

        Parameters
        ----------
        scale : float
            Over the part as drawn [-].

        Returns
        -------
        plastic_m3 : float
            By its walls and infill [m^3].

        Raises
        ------
        OutsideRange
            If the scale makes a volume that is none.

        Notes
        -----
        As for the mass table: good to 8 %.

        References
        ----------
        .. [1] ``plastic_in``, its surface times the square of the scale and its volume times the cube.

        Examples
        --------
        >>> walls = PrintedWalls(wall_m=0.001, infill=0.0)
        >>> box = PrintedShape(name="box", volume_m3=0.001, area_m2=0.06, walls=walls, density_kg_m3=1240.0,
        ...                    size_m=None, upright=None, printer=None)
        >>> round(box.plastic_m3(2.0) / box.plastic_m3(1.0), 9)
        4.0
        """
        volume, area = self.volume_m3 * scale**3, self.area_m2 * scale**2
        return volume if self.walls is None else plastic_in(volume, area, self.walls).total_m3


@dataclass(frozen=True, slots=True, kw_only=True)
class ScalingRow:
    """One row of the mass table without the motor."""

    mass: Estimate
    station: Estimate
    power: int
    """Power of the scale that its mass grows with [-]."""
    shape: PrintedShape | None = None
    """Of a part; its mass then grows with its plastic."""

    def mass_at(self, scale: float) -> Estimate:
        """Mass at a scale.

        Parameters
        ----------
        scale : float
            Over the vehicle as drawn [-].

        Returns
        -------
        mass : Estimate
            [kg].

        Raises
        ------
        OutsideRange
            If the scale makes a volume that is none.

        Notes
        -----
        What the scale or the holes of the sheet say of a part goes on as a share of its plastic.

        References
        ----------
        .. [1] Similar bodies: areas with the square, volumes with the cube of their lengths.

        Examples
        --------
        >>> from finial.core.estimates import exact
        >>> ScalingRow(mass=exact(0.1), station=exact(0.5), power=2).mass_at(3.0).value
        0.9
        """
        if self.shape is None:
            return self.mass.scaled(round(scale**self.power, 12))
        return self.mass.scaled(self.shape.plastic_m3(scale) / self.shape.plastic_m3(1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Scaling:
    """A vehicle as far as its size is concerned."""

    name: str
    length_m: float
    width_m: float
    rows: tuple[ScalingRow, ...]
    pressure_m: Estimate
    """Centre of pressure as drawn, with its band over small angles and all rolls [m]."""
    bed_m: tuple[float, float, float] | None
    thrust_to_weight: float
    """What is wanted [-]."""
    motors: tuple[Motor, ...] = ()
    """The builder's own; none where no folder of them lies beside the sheet."""
    room: MotorRoom | None = None
    """For a motor at the base, as drawn; ``None`` where none is drawn."""
    launch: Launched | None = None
    """``None`` where the sheet names no launch or no rail buttons."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaledModel:
    """What the shape is at one height."""

    height_m: float
    scale: float
    """Over the real thing [-]; the model is one in so many."""
    dry_kg: Estimate
    lift_off_kg: Estimate
    impulse_ns: Estimate
    letters: tuple[str, str]
    """Classes of the smallest and the largest impulse."""
    motor: str | None
    """The builder's own motor of the least impulse that lifts it and goes in; ``None`` where none does."""
    thrust_to_weight: Estimate | None
    """With that motor [-]; ``None`` without one."""
    rail_speed: Estimate | None
    """Speed with that motor when the rail no longer holds it [m/s]; ``None`` without one, without a launch
    and rail buttons in the sheet, or where it does not leave the rail."""
    pieces: int | None
    """At least so many; ``None`` where the sheet names no bed."""
    print_time_s: Estimate | None
    margin_m: Estimate
    """Centre of pressure behind the balance point at lift-off [m]."""
    margin_widths: Estimate


def scaling_of(vehicle: LoadedVehicle, thrust_to_weight: float, motors: tuple[Motor, ...] = ()) -> Scaling:
    """Read off a vehicle what its size moves; its motor is left out, for each height wants its own.

    Raises
    ------
    OutsideRange
        If the air finds no centre of pressure.
    """
    answer = begun_answer(vehicle)
    settings = None if vehicle.sheet.print is None else settings_of(vehicle)
    shapes = {shape.name: shape for shape in _shapes(vehicle, settings)}
    band = answer.air
    small = band.angles_rad <= max(math.radians(4.0), float(band.angles_rad.min()))
    return Scaling(
        name=vehicle.sheet.vehicle.name,
        length_m=vehicle.skin.length_m,
        width_m=vehicle.skin.breadth_m,
        rows=tuple(_row(row, shapes) for row in mass_rows(vehicle, fin_sets(vehicle))),
        pressure_m=Estimate(
            value=float(band.pressure_central_m[small].mean()),
            low=float(band.pressure_forward_m[small].min()),
            high=float(band.pressure_aft_m[small].max()),
            known_by=KnownBy.COMPUTED,
            method="band of the sections to 4 degrees",
        ),
        bed_m=None if settings is None else settings.bed_m,
        thrust_to_weight=thrust_to_weight,
        motors=motors,
        room=motor_room(room_inside(vehicle)) if motors else None,
        launch=launched(vehicle, band.table) if motors else None,
    )


def _shapes(vehicle: LoadedVehicle, settings: PrintSettings | None) -> Sequence[PrintedShape]:
    sizes = {one.part: one.size_m for one in parts_on_bed(vehicle)}
    return [
        _shape(vehicle, part, settings, sizes.get(part.spec.name))
        for part in vehicle.parts
        if is_printed(vehicle, part)
    ]


def _shape(
    vehicle: LoadedVehicle,
    part: PlacedPart,
    settings: PrintSettings | None,
    size_m: tuple[float, float, float] | None,
) -> PrintedShape:
    walls = walls_of(part.spec)
    share = 1.0 if walls is None else wall_share(part.mended, walls.wall_m)
    return PrintedShape(
        name=part.spec.name,
        volume_m3=part.solid.volume_m3.value,
        area_m2=share * part.solid.surface.size,
        walls=walls,
        density_kg_m3=sheet_material(vehicle.sheet, part.spec.material).density_kg_m3.value,
        size_m=size_m,
        upright=upright_axis(part.spec),
        printer=None if settings is None else settings.printer_for(part),
    )


def _row(row: Row, shapes: dict[str, PrintedShape]) -> ScalingRow:
    shape = shapes.get(row.name) if row.kind == "part" else None
    # A part that is bought has no walls to keep: it grows as a solid does.
    power = 3 if row.kind == "part" else _POWER.get(row.kind, 0)
    return ScalingRow(mass=row.mass, station=row.station, power=power, shape=shape)


def at_height(shape: Scaling, height_m: float, real_m: float) -> ScaledModel:
    r"""Tell what the shape is when it is built to a height.

    .. math::  I = \frac{n g t \, m}{1 - n g t \, c}, \qquad m_{lift} = m + c I

    Parameters
    ----------
    shape : Scaling
        The vehicle as drawn.
    height_m : float
        Height of the model [m].
    real_m : float
        Height of the real thing [m].

    Returns
    -------
    model : ScaledModel
        Mass, impulse and class of a motor, pieces, hours and margin, each with its interval.

    Raises
    ------
    OutsideRange
        If a height is not above zero, or no motor lifts the mass.

    Notes
    -----
    Walls, plates' thickness and everything bought stay as they are; places grow with the shape. The impulse
    is what the wanted thrust to weight n gives over burns of 1 to 3 s, with motors of 0.9 to 1.2 g a newton
    second (c); the motor lies at 75 to 95 % of the length. All three are assumed: a first look, and no check.
    Where one of the builder's own motors lifts it and goes into the room at the base, which grows with the
    shape, mass and margin are with that of the least impulse, its nozzle at the base; thrust to weight and
    the speed off the rail are then those of the flight's own code.

    References
    ----------
    .. [1] Impulse of a constant thrust; similar bodies: areas with the square, volumes with the cube.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> lump = ScalingRow(mass=exact(2.0), station=exact(0.4), power=0)
    >>> shape = Scaling(name="post", length_m=1.0, width_m=0.1, rows=(lump,), pressure_m=exact(0.8),
    ...                 bed_m=None, thrust_to_weight=5.0)
    >>> one = at_height(shape, 1.0, 30.0)
    >>> round(1 / one.scale), one.letters, round(one.impulse_ns.low, 1)
    (30, ('G', 'I'), 102.6)
    """
    require_positive(height_m=height_m, real_m=real_m)
    scale = height_m / shape.length_m
    masses = [row.mass_at(scale) for row in shape.rows]
    dry = total(masses)
    impulse = _impulse(dry, shape.thrust_to_weight)
    own = _own_motor(shape, dry, scale)
    motor = _guessed_motor(impulse, height_m) if own is None else _motor_of(own, height_m)
    lift_off, balance = total([dry, motor.mass]), _balance(shape, masses, motor, scale)
    margin = Estimate(
        value=scale * shape.pressure_m.value - balance.value,
        low=scale * shape.pressure_m.low - balance.high,
        high=scale * shape.pressure_m.high - balance.low,
        known_by=KnownBy.ASSUMED,
        method="band of the sections less the balance point with a motor near the base",
    )
    return ScaledModel(
        height_m=height_m,
        scale=height_m / real_m,
        dry_kg=dry,
        lift_off_kg=lift_off,
        impulse_ns=impulse,
        letters=(letter_class(impulse.low), letter_class(impulse.high)),
        motor=None if own is None else own.name,
        thrust_to_weight=None if own is None else lifted(own, dry, _drift(shape)),
        rail_speed=None if own is None else _rail_speed(shape, own, lift_off, balance, scale),
        pieces=_pieces(shape, scale),
        print_time_s=_time(shape, scale),
        margin_m=margin,
        margin_widths=margin.scaled(1.0 / (scale * shape.width_m)),
    )


def heights(ends_m: tuple[float, float], steps: int) -> tuple[float, ...]:
    """Heights to look at, evenly from one end to the other.

    Parameters
    ----------
    ends_m : tuple of float
        Lowest and highest [m].
    steps : int
        How many [-]; one alone is the lowest.

    Returns
    -------
    heights_m : tuple of float
        Rising [m].

    Raises
    ------
    OutsideRange
        If the ends are no rising heights above zero, or there are none or over 60 steps.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> heights((0.5, 1.0), 3)
    (0.5, 0.75, 1.0)
    """
    low, high = ends_m
    require_positive(lowest_m=low, highest_m=high)
    if low > high or not 1 <= steps <= MOST_STEPS:
        raise OutsideRange(f"{steps} heights from {low} to {high} m: 1 to {MOST_STEPS}, the lowest first")
    return tuple(low + (high - low) * step / max(steps - 1, 1) for step in range(steps))


def models_of(shape: Scaling, heights_m: Sequence[float], real_m: float) -> tuple[ScaledModel, ...]:
    """Tell what the shape is at each of several heights; see ``at_height``."""
    return tuple(at_height(shape, height, real_m) for height in heights_m)


def _impulse(dry_kg: Estimate, thrust_to_weight: float) -> Estimate:
    def wanted(mass_kg: float, burn_s: float, loaded: float) -> float:
        push = thrust_to_weight * STANDARD_GRAVITY_M_S2 * burn_s
        if push * loaded >= 1.0:
            raise OutsideRange(f"no motor lifts {thrust_to_weight} times its own weight for {burn_s} s")
        return push * mass_kg / (1.0 - push * loaded)

    return Estimate(
        value=wanted(dry_kg.value, sum(BURN_S) / 2, sum(LOADED_KG_PER_NS) / 2),
        low=wanted(dry_kg.low, BURN_S[0], LOADED_KG_PER_NS[0]),
        high=wanted(dry_kg.high, BURN_S[1], LOADED_KG_PER_NS[1]),
        known_by=KnownBy.ASSUMED,
        method="thrust to weight over usual burns",
        source="common practice",
    )


def _own_motor(shape: Scaling, dry_kg: Estimate, scale: float) -> Motor | None:
    """Choose of the builder's motors that go in at the base; if nothing is drawn there, all smaller ones."""
    width_m, length_m = scale * shape.width_m, scale * shape.length_m
    fitting = [
        one
        for one in shape.motors
        if (one.diameter_m < width_m and one.length_m < length_m)
        and (shape.room is None or shape.room.takes(one.diameter_m, one.length_m, scale))
    ]
    return lifting_motor(fitting, dry_kg, shape.thrust_to_weight, drift=_drift(shape))


def _drift(shape: Scaling) -> float:
    return 0.0 if shape.launch is None else shape.launch.thrust_drift


def _rail_speed(
    shape: Scaling, own: Motor, lift_off: Estimate, balance: Estimate, scale: float
) -> Estimate | None:
    if shape.launch is None:
        return None
    return speed_off_rail(shape.launch, own, lift_off, balance.value, scale)


def _motor_of(own: Motor, height_m: float) -> Share:
    """Put a motor's nozzle at the base, its middle halfway along it."""
    middle = exact(height_m - own.length_m / 2, known_by=KnownBy.ASSUMED, method="nozzle at the base")
    return Share(mass=exact(own.loaded_mass_kg, known_by=KnownBy.HANDBOOK), station=middle)


def _guessed_motor(impulse: Estimate, height_m: float) -> Share:
    """Guess a motor of the impulse that is wanted, somewhere near the base."""
    mass = Estimate(
        value=sum(LOADED_KG_PER_NS) / 2 * impulse.value,
        low=LOADED_KG_PER_NS[0] * impulse.low,
        high=LOADED_KG_PER_NS[1] * impulse.high,
        known_by=KnownBy.ASSUMED,
    )
    place = Estimate(
        value=sum(MOTOR_AT) / 2 * height_m,
        low=MOTOR_AT[0] * height_m,
        high=MOTOR_AT[1] * height_m,
        known_by=KnownBy.ASSUMED,
    )
    return Share(mass=mass, station=place)


def _balance(shape: Scaling, masses: Sequence[Estimate], motor: Share, scale: float) -> Estimate:
    """Balance point at lift-off [m]."""
    shares = [
        Share(mass=mass, station=row.station.scaled(scale))
        for row, mass in zip(shape.rows, masses, strict=True)
    ]
    return balance_point([*shares, motor])


def _pieces(shape: Scaling, scale: float) -> int | None:
    if shape.bed_m is None:
        return None
    count = 0
    for row in shape.rows:
        if row.shape is not None and row.shape.size_m is not None:
            x, y, z = row.shape.size_m
            count += pieces_on_bed((scale * x, scale * y, scale * z), shape.bed_m, row.shape.upright)
    return count


def _time(shape: Scaling, scale: float) -> Estimate | None:
    told: list[Estimate] = []
    for row in shape.rows:
        if row.shape is None:
            continue
        if row.shape.printer is None:
            return None
        plastic = row.shape.plastic_m3(scale)
        told.append(effort(plastic, row.shape.density_kg_m3, row.shape.printer, NOTHING_LEARNED).time)
    return total(told) if told else None
