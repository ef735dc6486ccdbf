"""What may be read on the field, and the places of the sheet that it goes to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import MissingData
from finial.files.edit import Value
from finial.files.toml_places import KeyPath

DAY_PLACES: Mapping[str, KeyPath] = {
    "wind": ("launch", "wind"),
    "wind_from": ("launch", "wind_from"),
    "temperature": ("launch", "temperature"),
    "pressure": ("launch", "pressure"),
    "tilt": ("launch", "tilt"),
    "toward": ("launch", "toward"),
}
"""Readings of the day and the rail, by their names."""
WEIGHING: KeyPath = ("weighing",)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnScales:
    """The whole as it was weighed and balanced today, in texts as of a sheet, empty where not read."""

    motor: str = ""
    """Whether the motor was out or loaded."""
    mass: str = ""
    balance: str = ""
    scales: Sequence[tuple[str, str]] = ()
    """Of two scales that carry it: where it bears on each, and what each reads."""
    across: tuple[str, str] | None = None


def read_on_field(day: Mapping[str, str], scales: OnScales) -> Changes:
    """Return values by their places in the sheet: of the day one by one, of a weighing the whole table.

    Raises
    ------
    MissingData
        If nothing was read, or a weighing is not told whole: today's replaces the sheet's, and nothing of
        that stays.
    """
    told: dict[KeyPath, Value] = {DAY_PLACES[name]: value for name, value in day.items() if value}
    weighing = _weighing(scales)
    if weighing:
        _refuse_half(weighing)
        told[WEIGHING] = weighing
    if not told:
        raise MissingData("nothing was read: tell at least one of mass, wind, temperature ...")
    return told


def _weighing(scales: OnScales) -> dict[str, Value]:
    given: dict[str, Value] = {
        name: value
        for name, value in (("motor", scales.motor), ("mass", scales.mass), ("balance", scales.balance))
        if value
    }
    if scales.scales:
        given["scales"] = [{"at": at, "reads": reads} for at, reads in scales.scales]
    if scales.across:
        given["across"] = list(scales.across)
    return given


def _refuse_half(weighing: Mapping[str, Value]) -> None:
    scales = weighing.get("scales")
    if isinstance(scales, list) and len(scales) != 2:
        raise MissingData("two scales carry it: tell where it bears on each, and what each reads")
    if "motor" not in weighing or not {"mass", "scales"} & weighing.keys():
        raise MissingData(
            "a weighing is told whole: whether the motor was out or loaded, its mass, and its balance if it"
            " was hung; or two scales that carry it"
        )
