"""Questions that a campaign answers with odds."""

from enum import StrEnum


class Asked(StrEnum):
    """Questions that a campaign answers with odds, most feared first."""

    OPEN_CANOPY = "lands under an open canopy"
    INSIDE_OUTLINE = "lands inside the field's outline"
    INSIDE_RADIUS = "lands within the field's radius"
    STRIKES_CROWD = "lands among the people"
    AS_FAR_AS_CROWD = "lands as far out as the people stand"
    STRIKES_BARE = "reaches the people without an open canopy"
    LOST = "is lost"
    OVER_CEILING = "goes over the ceiling"
    LANDS = "comes to the ground as computed"
