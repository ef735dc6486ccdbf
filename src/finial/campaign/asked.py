"""Questions that a campaign answers with odds."""

from enum import StrEnum
from typing import Final


class Asked(StrEnum):
    """Questions that a campaign answers with odds, most feared first."""

    OPEN_CANOPY = "lands under an open canopy"
    BALLISTIC = "lands with no canopy out"
    INSIDE_OUTLINE = "lands inside the field's outline"
    INSIDE_RADIUS = "lands within the field's radius"
    STRIKES_CROWD = "lands among the people"
    AS_FAR_AS_CROWD = "lands as far out as the people stand"
    STRIKES_BARE = "reaches the people without an open canopy"
    LOST = "is lost"
    OVER_CEILING = "goes over the ceiling"
    LANDS = "comes to the ground as computed"


HOPED: Final = frozenset({Asked.OPEN_CANOPY, Asked.INSIDE_OUTLINE, Asked.INSIDE_RADIUS, Asked.LANDS})
"""What one hopes for; of the others one hopes for none."""
