"""What stands in a whole report besides the answer: the print plan, flights, a campaign, the checklist."""

from dataclasses import dataclass

from finial.assemble.mass.bill import BillRow
from finial.assemble.vehicle.bed import PartOnBed
from finial.campaign.answers import CampaignAnswer
from finial.files.flight_log.curves import KeptCurves
from finial.files.flight_log.kept import KeptFlight
from finial.files.sheet import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEntry:
    """One flight of the logbook."""

    name: str
    flight: KeptFlight
    curves: KeptCurves | None
    """``None`` where the file of its curves is gone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Annex:
    """Records beside the answer; ``None`` and empty where there are none."""

    sheet: Sheet
    on_bed: tuple[PartOnBed, ...] = ()
    """Empty where the sheet names no printer's bed."""
    bill: tuple[BillRow, ...] = ()
    """Everything that the sheet names, to print, cut, buy and weigh."""
    campaign: CampaignAnswer | None = None
    flights: tuple[KeptEntry, ...] = ()
    """Of the logbook, in the order they were flown."""
