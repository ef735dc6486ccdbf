"""How hot a printed wall gets in the sun, and how far that is from softening."""

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.core.tables import row_named, table_rows
from finial.structure.bounds import need_between

STEFAN_BOLTZMANN_W_M2_K4 = 5.670374419e-8
"""CODATA 2018, exact by definition of the SI."""

SOFTENING_GAP_K = 10.0
"""A wall hotter than its glass transition less this many kelvin is flagged; common practice."""

FULL_SUN = Estimate(
    value=900.0,
    low=700.0,
    high=1050.0,
    known_by=KnownBy.HANDBOOK,
    method="sunlight on a wall that faces the sun, clear summer day [W/m^2]",
    source="1000 W/m^2 is the standard full sun of ASTM G173; spread assumed",
)
LIGHT_AIR_COOLING = Estimate(
    value=15.0,
    low=8.0,
    high=25.0,
    known_by=KnownBy.HANDBOOK,
    method="heat taken by moving air, calm to 4 m/s wind [W/(m^2 K)]",
    source="5 to 25 W/(m^2 K); from memory of Incropera and DeWitt, table 1.1, and 5.7 + 3.8 v of McAdams",
)
_EMISSIVITY = 0.9
# Paints and plastics of any colour lie between 0.85 and 0.95 in the far infrared.


def sunlit_surface_temperature(
    air_k: float, sun_w_m2: float, absorbed_share: float, cooling_w_m2_k: float
) -> float:
    r"""Steady temperature of a thin wall in the sun, its back insulated.

    .. math::
        a G = h (T - T_a) + \epsilon \sigma (T^4 - T_s^4), \qquad T_s^4 = (T_{sky}^4 + T_a^4) / 2, \quad
        T_{sky} = 0.0552 \, T_a^{1.5}

    Parameters
    ----------
    air_k : float
        Air temperature [K].
    sun_w_m2 : float
        Sunlight on the wall [W/m^2].
    absorbed_share : float
        Share of it taken up [-].
    cooling_w_m2_k : float
        Heat transfer to the air [W/(m^2 K)].

    Returns
    -------
    temperature_k : float
        Surface temperature [K].

    Raises
    ------
    OutsideRange
        If air lies outside 220 to 345 K, the share outside 0 to 1, sunlight outside 0 to 1400 W/m^2, or the
        cooling is not above zero.

    Notes
    -----
    Holds for upright walls, which see half sky and half ground at air temperature; hot ground or tarmac
    adds up to 5 K, air inside a hollow wall takes some off. A 2 mm wall needs about five minutes to get
    there. Error about 5 K.

    References
    ----------
    .. [1] Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 1; from memory.
    .. [2] Swinbank, Q. J. R. Meteorol. Soc. 89 (1963), clear sky temperature; from memory.

    Examples
    --------
    >>> round(sunlit_surface_temperature(313.15, 1000.0, 0.9, 15.0) - 273.15)
    79
    """
    need_between(220.0, 345.0, air_k=air_k)
    need_between(0.0, 1.0, absorbed_share=absorbed_share)
    need_between(0.0, 1400.0, sun_w_m2=sun_w_m2)
    require_positive(cooling_w_m2_k=cooling_w_m2_k)
    around = ((0.0552 * air_k**1.5) ** 4 + air_k**4) / 2
    glow = _EMISSIVITY * STEFAN_BOLTZMANN_W_M2_K4
    surface = air_k
    # The balance rises and curves up with temperature, so Newton's steps never pass the answer twice.
    for _ in range(20):
        excess = cooling_w_m2_k * (surface - air_k) + glow * (surface**4 - around) - absorbed_share * sun_w_m2
        surface -= excess / (cooling_w_m2_k + 4 * glow * surface**3)
    return surface


def absorbed_share(colour: str) -> Estimate:
    """Share of sunlight that a colour takes up.

    Parameters
    ----------
    colour : str
        White, light, mid, dark or black.

    Returns
    -------
    share : Estimate
        From 0 to 1 [-], with the source of its row.

    Raises
    ------
    MissingData
        If the colour is not in the table; the message lists what it has.

    Examples
    --------
    >>> absorbed_share("black").value
    0.95
    """
    row = row_named(table_rows("finial.structure", "sunlit_colours.csv"), colour)
    return Estimate(
        value=float(row["value"]),
        low=float(row["low"]),
        high=float(row["high"]),
        known_by=KnownBy.HANDBOOK,
        method=f"sunlight taken up by a {row['name']} surface",
        source=row["source"],
    )


def surface_temperature(
    air: Estimate, *, colour: str, sun: Estimate = FULL_SUN, cooling: Estimate = LIGHT_AIR_COOLING
) -> Estimate:
    """Temperature of a sunlit wall with the intervals of air, sun, colour and cooling.

    See :func:`sunlit_surface_temperature` for the equation.

    Parameters
    ----------
    air : Estimate
        Air temperature [K].
    colour : str
        Colour of the wall, as in :func:`absorbed_share`.
    sun : Estimate
        Sunlight on the wall [W/m^2].
    cooling : Estimate
        Heat transfer to the air [W/(m^2 K)].

    Returns
    -------
    temperature : Estimate
        Surface temperature [K].

    Raises
    ------
    OutsideRange
        As :func:`sunlit_surface_temperature`.
    MissingData
        For an unknown colour.

    Notes
    -----
    Steady and with the back insulated: a thick wall, or one just carried out, is cooler.

    References
    ----------
    .. [1] As :func:`sunlit_surface_temperature`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> hot = surface_temperature(exact(303.15), colour="black")
    >>> round(hot.low - 273.15), round(hot.value - 273.15), round(hot.high - 273.15)
    (49, 68, 93)
    """
    return over_corners(
        sunlit_surface_temperature,
        {
            "air_k": air,
            "sun_w_m2": sun,
            "absorbed_share": absorbed_share(colour),
            "cooling_w_m2_k": cooling,
        },
        method="heat balance of a wall in the sun",
        source="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 1",
    )


# The sun shines on every part as on the last question's.
@kept(64)
def softening_margin(glass_transition: Estimate, surface: Estimate) -> Estimate:
    r"""How much hotter the surface may still get before the wall is flagged.

    .. math::  m = T_g - 10\,\mathrm{K} - T

    Parameters
    ----------
    glass_transition : Estimate
        Glass transition temperature [K].
    surface : Estimate
        Surface temperature [K].

    Returns
    -------
    margin : Estimate
        Margin [K]; negative when the wall may soften.

    Raises
    ------
    OutsideRange
        If either lies outside 200 to 600 K: the likely slip is degrees Celsius.

    Notes
    -----
    Range: a screen for plastics that soften at one temperature. Under load they creep well below it.

    References
    ----------
    .. [1] A. Celli and M. Scandola, Thermal properties and physical ageing of poly(L-lactic acid), Polymer
       33, 1992, 2699-2703 (abstract seen): glass turns to rubber by 70 degC at 3 Hz. That it begins some
       10 K below the tabled transition is common practice.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> softening_margin(exact(333.15), exact(343.15)).value
    -20.0
    """
    need_between(200.0, 600.0, glass_transition_k=glass_transition.value, surface_k=surface.value)
    return over_corners(
        lambda glass, wall: glass - SOFTENING_GAP_K - wall,
        {"glass": glass_transition, "wall": surface},
        method="glass transition, less a gap of common practice, less surface temperature",
        source="common practice",
    )
