"""What sizing and sliders pull at: ballast, fins, rail and canopies, each as changes to the sheet."""

import math
from collections.abc import Callable, Sequence
from typing import Any

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.materials import density_of
from finial.core.errors import MissingData
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry


def ballast(sheet: Sheet, item: str, mass_kg: float) -> Changes:
    """Give an item a mass [kg]; its tolerance stays, but for a mass below it, and so does its aft end.

    More of the same stuff stands on what carries it, and grows towards the tip.

    Raises
    ------
    MissingData
        If the sheet has no such item.
    """
    at = _index(sheet.item, "item", item)
    tolerance = min(sheet.item[at].mass.tolerance, mass_kg)
    mass = {("item", at, "mass"): with_tolerance(grams, mass_kg, tolerance)}
    return {**mass, **_on_its_aft_end(sheet, at, mass_kg)}


def _on_its_aft_end(sheet: Sheet, at: int, mass_kg: float) -> Changes:
    """Move the middle of a stack ahead by half of what it grows; nothing for what leans or has no section."""
    item = sheet.item[at]
    section_m2 = _section_m2(item)
    if not section_m2 or item.tilt.value:
        return {}
    grown_m = (mass_kg - item.mass.value) / (density_of(sheet, item).value * section_m2)
    middle_m = max(item.station.value - grown_m / 2, 0.0)
    moved: Changes = {("item", at, "station"): with_tolerance(metres, middle_m, item.station.tolerance)}
    if item.length is None:
        return moved
    longer_m = max(item.length.value + grown_m, 0.0)
    return {**moved, ("item", at, "length"): with_tolerance(metres, longer_m, item.length.tolerance)}


def _section_m2(item: ItemEntry) -> float:
    """Area across an item [m^2]; 0 where its sizes do not tell it."""
    if item.sides:
        return math.prod(side.value for side in item.sides)
    bore_m = item.bore.value if item.bore else 0.0
    return math.pi / 4 * (item.across.value**2 - bore_m**2) if item.across else 0.0


def span(sheet: Sheet, fin: str, scale: float) -> Changes:
    """Scale a fin's reach outward.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    fin : str
        Name of the set.
    scale : float
        New reach over old [-].

    Returns
    -------
    changes : dict of key path to value
        The outline, corner by corner.

    Raises
    ------
    MissingData
        If the sheet has no such fin.
    """
    return _reaching(sheet, fin, scale, swept=0.0)


def swept_span(sheet: Sheet, fin: str, scale: float) -> Changes:
    """Scale a fin's reach outward, each corner going aft as far as it goes out.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    fin : str
        Name of the set.
    scale : float
        New reach over old [-].

    Returns
    -------
    changes : dict of key path to value
        The outline, corner by corner.

    Raises
    ------
    MissingData
        If the sheet has no such fin.
    """
    return _reaching(sheet, fin, scale, swept=1.0)


def _reaching(sheet: Sheet, fin: str, scale: float, *, swept: float) -> Changes:
    """Scale a fin's reach; ``swept`` is how far aft a corner goes for each way that it goes out."""
    at = _index(sheet.fin, "fin", fin)
    farther = (scale - 1.0) * swept
    points = [
        [metres(along.value + farther * outward.value) if farther else along.text, _scaled(outward, scale)]
        for along, outward in sheet.fin[at].outline
    ]
    return {("fin", at, "outline"): points}


def fin_station(sheet: Sheet, fin: str, station_m: float) -> Changes:
    """Move the place where a fin's root begins [m].

    Raises
    ------
    MissingData
        If the sheet has no such fin.
    """
    return {("fin", _index(sheet.fin, "fin", fin), "station"): metres(station_m)}


def fin_count(sheet: Sheet, fin: str, count: float) -> Changes:
    """Set how many fins stand in a set.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    fin : str
        Name of the set.
    count : float
        How many, rounded [-].

    Returns
    -------
    changes : dict of key path to value
        The count.

    Raises
    ------
    MissingData
        If the sheet has no such fin.
    """
    return {("fin", _index(sheet.fin, "fin", fin), "count"): round(count)}


def rail(_sheet: Sheet, _name: str, length_m: float) -> Changes:
    """Set the length of the rail [m]."""
    return {("launch", "rail_length"): metres(length_m)}


def canopy(sheet: Sheet, name: str, diameter_m: float) -> Changes:
    """Give a canopy a diameter [m], measured as the sheet says; its mass grows with its area.

    Raises
    ------
    MissingData
        If the sheet has no such canopy.
    """
    at = _index(sheet.recovery.canopy, "canopy", name)
    now = sheet.recovery.canopy[at]
    area = (diameter_m / now.diameter.value) ** 2
    tolerances = now.diameter.tolerance, now.mass.tolerance * area
    return {
        ("recovery", "canopy", at, "diameter"): with_tolerance(metres, diameter_m, tolerances[0]),
        ("recovery", "canopy", at, "mass"): with_tolerance(grams, now.mass.value * area, tolerances[1]),
    }


def rod_thread(sheet: Sheet, rod: str, name: str) -> Changes:
    """Give rods another thread; a rod without a name goes by the thread that it has.

    Raises
    ------
    MissingData
        If the sheet has no such rod.
    """
    names = [one.name or one.thread for one in sheet.rod]
    if rod not in names:
        raise MissingData(f'the sheet has no rod "{rod}": it has {_listed(names)}', names)
    return {("rod", names.index(rod), "thread"): name}


def motor_file(sheet: Sheet, _name: str, file: str) -> Changes:
    """Put another motor into every mount, by its file beside or below the sheet.

    Raises
    ------
    MissingData
        If a further motor of the sheet has a file of its own.
    """
    if any(one.data for one in sheet.motor.more):
        raise MissingData("a further motor of the sheet has data of its own: leave it out to try others")
    return {("motor", "data"): file}


CHOICES: dict[str, Callable[[Sheet, str, str], Changes]] = {"thread": rod_thread, "motor": motor_file}
"""Levers that choose one thing of several, and not a number."""

LEVERS: dict[str, Callable[[Sheet, str, float], Changes]] = {
    "ballast": ballast,
    "span": span,
    "station": fin_station,
    "count": fin_count,
    "rail": rail,
    "canopy": canopy,
}
"""Every lever by its name: what it belongs to in the sheet, and the value [SI]."""


def metres(value_m: float) -> str:
    """Write a length as a builder would, to a tenth of a millimetre.

    Parameters
    ----------
    value_m : float
        Length [m].

    Returns
    -------
    text : str
        In millimetres.

    Notes
    -----
    Rounded to 0.1 mm, below what a printer makes.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> metres(0.1855), metres(1.2)
    ('185.5 mm', '1200 mm')
    """
    return f"{1e3 * value_m:.1f} mm".replace(".0 mm", " mm")


def grams(value_kg: float) -> str:
    """Write a mass as a builder would, to a tenth of a gram.

    Parameters
    ----------
    value_kg : float
        Mass [kg].

    Returns
    -------
    text : str
        In grams.

    Notes
    -----
    Rounded to 0.1 g.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> grams(1.6), grams(0.0123)
    ('1600 g', '12.3 g')
    """
    return f"{1e3 * value_kg:.1f} g".replace(".0 g", " g")


def newtons(force_n: float) -> str:
    """Write a force as a builder would, to a newton.

    Parameters
    ----------
    force_n : float
        Force [N].

    Returns
    -------
    text : str
        In newtons.

    Notes
    -----
    Rounded to 1 N.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> newtons(400.4)
    '400 N'
    """
    return f"{force_n:.0f} N"


def degrees(value_rad: float) -> str:
    """Write an angle as a builder would, to a tenth of a degree.

    Parameters
    ----------
    value_rad : float
        Angle [rad].

    Returns
    -------
    text : str
        In degrees.

    Notes
    -----
    Rounded to 0.1 degrees.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> degrees(0.0524), degrees(0.0)
    ('3 deg', '0 deg')
    """
    return f"{math.degrees(value_rad):.1f} deg".replace(".0 deg", " deg")


def metres_a_second(value_m_s: float) -> str:
    """Write a speed as a builder would, to a tenth of a metre a second.

    Parameters
    ----------
    value_m_s : float
        Speed [m/s].

    Returns
    -------
    text : str
        In metres a second.

    Notes
    -----
    Rounded to 0.1 m/s.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> metres_a_second(2.96), metres_a_second(0.25)
    ('3 m/s', '0.2 m/s')
    """
    return f"{value_m_s:.1f} m/s".replace(".0 m/s", " m/s")


def with_tolerance(write: Callable[[float], str], value: float, tolerance: float) -> str:
    """Write a value, and its tolerance where it has one.

    Parameters
    ----------
    write : callable
        Writes a number [SI] as a sheet has it, with its unit.
    value, tolerance : float
        Number and how far it may be off, in one SI unit [SI].

    Returns
    -------
    str
        As it stands in a sheet.

    Notes
    -----
    Range: any.

    References
    ----------
    .. [1] How a build sheet writes quantities.

    Examples
    --------
    >>> with_tolerance(metres, 0.3, 0.0)
    '300 mm'
    """
    return f"{write(value)} +- {write(tolerance)}" if tolerance else write(value)


def _scaled(outward: Quantity, scale: float) -> str:
    return outward.text if scale == 1.0 or outward.value == 0.0 else metres(outward.value * scale)


def _index(records: Sequence[Any], kind: str, name: str) -> int:
    there = [record.name for record in records]
    if name not in there:
        raise MissingData(f'the sheet has no {kind} "{name}": it has {_listed(there)}', there)
    return there.index(name)


def _listed(names: Sequence[str]) -> str:
    return ", ".join(f'"{one}"' for one in names) or "none"
