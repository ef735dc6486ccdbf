"""What stands in a whole report besides the answer: the print plan, a campaign, the checklist."""

from dataclasses import dataclass

from finial.assemble.vehicle.bed import PartOnBed
from finial.campaign.answers import CampaignAnswer
from finial.files.sheet import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Annex:
    """Records beside the answer; ``None`` and empty where there are none."""

    sheet: Sheet
    on_bed: tuple[PartOnBed, ...] = ()
    """Empty where the sheet names no printer's bed."""
    campaign: CampaignAnswer | None = None
