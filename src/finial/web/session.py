"""What the page is about: one vehicle, its answer, and how to ask again with changes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from finial.assemble.vehicle.changes import Changes
from finial.files.edit import Value
from finial.files.toml_places import KeyPath
from finial.findings.readiness import Readiness
from finial.findings.tries import Check
from finial.web.desk import Desk, Typed


@dataclass(frozen=True, slots=True, kw_only=True)
class PageQuestion:
    """A change tried on the page: of the sheet, then masses of items [kg] and a factor on the fins' span."""

    ballast_kg: Mapping[str, float]
    fin_span_scale: float
    sheet: Changes = field(default_factory=dict[KeyPath, Value])


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """The answer to the sheet as written, and the function that answers a change."""

    as_written: Readiness
    answer: Callable[[PageQuestion], Readiness]
    desk: Desk | None = None
    """The sheet to be filled in; without one the page has sliders only."""
    mends: Mapping[Check, Typed] = field(default_factory=dict[Check, Typed])
    """What was tried and turns a check of the sheet as written."""
    read_again: Callable[[], "Session"] | None = None
    """The session of the sheet as it now is on disk."""
