"""The form of what `finial explain` says of how numbers are found."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HowFound:
    """Checks that one part of a page tells more of, and how the number of each is found."""

    page: str
    heading: str
    told: Mapping[str, str]
    """By the key of the check: an equation, or what is compared with what."""
