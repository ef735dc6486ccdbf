"""An invented vehicle that flies, for examples, tests and benchmarks. No number in it is measured."""

import numpy as np

from finial.aero.table.record import AirTable
from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    APOGEE,
    Air,
    CanopyEvent,
    FlightInputs,
    MassHistory,
    Rail,
    Thrust,
)

WIDTH_M = 0.13
PRESSURE_STATION_M = 1.03


def example_table(
    *, slope: float = 8.0, axial: float = 0.55, pressure_station_m: float = PRESSURE_STATION_M
) -> AirTable:
    r"""Air table of an invented finned octagon.

    .. math::  F_n / q A = C_{N\alpha} \sin\alpha \cos\alpha + 6 \sin^2 \alpha

    times :math:`1 + 0.04 \cos 4 \phi` over the roll angle and :math:`1 / \sqrt{1 - M^2}` up to Mach 0.8.

    Parameters
    ----------
    slope : float
        Slope of the normal force, :math:`C_{N\alpha}` [1/rad]; 0 or less leaves out the damping.
    axial : float
        Axial force coefficient with the motor off [-].
    pressure_station_m : float
        Station of the centre of pressure [m].

    Returns
    -------
    table : AirTable
        Angles of attack from 0 to 180 degrees, 17 roll angles, Mach 0 to 0.9.

    Notes
    -----
    For examples, tests and benchmarks; nothing in it is measured.

    References
    ----------
    .. [1] Invented.

    Examples
    --------
    >>> example_table(slope=10.0).along[0, 0, 0].round(3).item()
    10.4
    """
    alpha, roll = (
        np.radians([0, 2, 5, 10, 15, 20, 30, 45, 60, 90, 120, 150, 180]),
        np.linspace(0, 2 * np.pi, 17),
    )
    mach = np.array([0.0, 0.3, 0.6, 0.9])
    shape = (alpha.size, roll.size, mach.size)
    rise = 1.0 / np.sqrt(1.0 - np.minimum(mach, 0.8) ** 2)
    ripple = 1.0 + 0.04 * np.cos(4.0 * roll)
    along = (slope * np.cos(alpha) + 6.0 * np.sin(alpha))[:, None, None] * ripple[:, None] * rise
    across = np.broadcast_to(0.03 * slope * np.sin(4.0 * roll)[:, None], shape)
    backward = np.broadcast_to((axial * np.cos(alpha))[:, None, None] * rise, shape)
    zero = np.zeros(shape)
    return AirTable(
        reference_area_m2=np.pi * WIDTH_M**2 / 4.0,
        width_m=WIDTH_M,
        alpha_rad=alpha,
        roll_rad=roll,
        mach=mach,
        along=along,
        across=np.array(across),
        along_moment=along * pressure_station_m / WIDTH_M,
        across_moment=across * pressure_station_m / WIDTH_M,
        roll_moment=zero,
        axial_power_on=0.9 * backward,
        axial_power_off=np.array(backward),
        pitch_damping=np.full(mach.size, -400.0 if slope > 0.0 else 0.0),
        roll_damping=np.full(mach.size, -5.0 if slope > 0.0 else 0.0),
        damping_centre_m=0.72,
    )


def plain_table(*, drag_area_m2: float = 0.0, area_m2: float = 0.01) -> AirTable:
    """Air table with nothing but a backward force, the same at all Mach numbers and roll angles.

    Parameters
    ----------
    drag_area_m2 : float
        Drag coefficient times area [m^2].
    area_m2 : float
        Reference area [m^2].

    Returns
    -------
    table : AirTable
        Two angles of attack: 0, and 180 degrees where the force is reversed.

    Notes
    -----
    For comparison with closed forms; between the two angles the force falls linearly with the angle.

    References
    ----------
    .. [1] Invented.

    Examples
    --------
    >>> plain_table(drag_area_m2=0.02, area_m2=0.01).axial_power_off.ravel().tolist()
    [2.0, -2.0]
    """
    alpha, flat = np.array([0.0, np.pi]), np.zeros((2, 1, 1))
    axial = np.array([1.0, -1.0]).reshape(2, 1, 1) * drag_area_m2 / area_m2
    return AirTable(
        reference_area_m2=area_m2,
        width_m=WIDTH_M,
        alpha_rad=alpha,
        roll_rad=np.zeros(1),
        mach=np.zeros(1),
        along=flat,
        across=flat,
        along_moment=flat,
        across_moment=flat,
        roll_moment=flat,
        axial_power_on=axial,
        axial_power_off=axial,
        pitch_damping=np.zeros(1),
        roll_damping=np.zeros(1),
        damping_centre_m=0.0,
    )


def example_mass() -> MassHistory:
    """Mass history of the invented vehicle: 8.35 kg, of which 0.35 kg burn in 2 s.

    Returns
    -------
    history : MassHistory
        Masses [kg], centres [m] and inertias [kg m^2] at six times.
    """
    times = np.array([0.0, 0.05, 0.5, 1.0, 1.5, 2.0])
    burnt = np.array([0.0, 0.0051, 0.0963, 0.1978, 0.2993, 0.35])
    balance = 0.73 - 0.055 * burnt
    centres = np.column_stack([-balance, np.full(6, 0.001), np.full(6, -0.0005)])
    inertias = np.zeros((6, 3, 3))
    inertias[:, 0, 0] = 0.021 - 0.0004 * burnt
    inertias[:, 1, 1] = 0.95 - 0.1 * burnt
    inertias[:, 2, 2] = 0.96 - 0.1 * burnt
    inertias[:, 0, 1] = inertias[:, 1, 0] = 0.0006
    inertias[:, 0, 2] = inertias[:, 2, 0] = -0.0004
    return MassHistory(times_s=times, masses_kg=8.35 - burnt, centres_m=centres, inertias_kg_m2=inertias)


def example_air(speed_m_s: float = 4.0) -> Air:
    r"""Summer air 240 m above the sea, the wind from the west-south-west growing with height.

    .. math::  u(z) = u_{10} (z / 10\,\mathrm{m})^{0.15}

    Parameters
    ----------
    speed_m_s : float
        Wind at 10 m, :math:`u_{10}` [m/s].

    Returns
    -------
    air : Air
        Pad at 98 500 Pa and 22 degrees Celsius; wind up to 300 m.

    Notes
    -----
    For examples, tests and benchmarks; above 300 m the wind stays the same.

    References
    ----------
    .. [1] Invented; power law of the wind with the exponent of level open land.

    Examples
    --------
    >>> air = example_air(4.0)
    >>> round(float(np.hypot(air.wind_east_m_s, air.wind_north_m_s)[4]), 6)
    4.0
    """
    heights = np.array([0.0, 0.5, 2.0, 5.0, 10.0, 20.0, 40.0, 80.0, 150.0, 300.0])
    speeds = speed_m_s * (heights / 10.0) ** 0.15
    return Air(
        ground_asl_m=240.0,
        pressure_pa=98_500.0,
        temperature_k=295.15,
        wind_heights_m=heights,
        wind_east_m_s=speeds * np.sin(np.radians(70.0)),
        wind_north_m_s=speeds * np.cos(np.radians(70.0)),
    )


def example_canopies() -> tuple[CanopyEvent, ...]:
    """Return a small canopy at apogee and a large one at 150 m.

    Returns
    -------
    canopies : tuple of CanopyEvent
        ``drogue`` and ``main``.
    """
    return (
        CanopyEvent(
            name="drogue",
            trigger=APOGEE,
            threshold=0.0,
            delay_s=0.5,
            drag_area_m2=0.25,
            fill_constant=8.0,
            diameter_m=0.65,
            mass_kg=0.06,
        ),
        CanopyEvent(
            name="main",
            trigger=AFTER_APOGEE_ALTITUDE,
            threshold=150.0,
            delay_s=0.2,
            drag_area_m2=3.4,
            fill_constant=8.0,
            diameter_m=2.4,
            mass_kg=0.42,
        ),
    )


def example_inputs() -> FlightInputs:
    """One flight of the invented vehicle: 8.35 kg, 690 N s, a 3.6 m rail, 4 m/s of wind.

    Returns
    -------
    inputs : FlightInputs
        All of it.

    Examples
    --------
    >>> example_inputs().rail.length_m
    3.6
    """
    return FlightInputs(
        mass=example_mass(),
        thrust=Thrust(
            times_s=np.array([0.0, 0.05, 1.5, 2.0]),
            thrusts_n=np.array([0.0, 400.0, 400.0, 0.0]),
            nozzle_station_m=1.205,
            ignition_delay_s=0.1,
        ),
        air_table=example_table(),
        rail=Rail(
            length_m=3.6,
            tilt_rad=np.radians(3.0),
            bearing_rad=np.radians(250.0),
            fore_button_m=0.62,
            aft_button_m=1.15,
            friction=0.05,
        ),
        air=example_air(),
        canopies=example_canopies(),
        tumbling_drag_area_m2=0.06,
    )
