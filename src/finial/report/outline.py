"""What sections on shape and air need of an answer, whole or only begun."""

from typing import Protocol

from finial.assemble.air.results import AirResult
from finial.assemble.vehicle.results import ShapeResult


class Outlined(Protocol):
    """An answer that knows the outside of a vehicle and the air round it."""

    @property
    def us_units(self) -> bool:
        """True where inches and pounds are shown."""
        ...

    @property
    def shape(self) -> ShapeResult:
        """The outside."""
        ...

    @property
    def air(self) -> AirResult:
        """Air loads."""
        ...
