"""What the page is about: one vehicle, its answer, and how to ask again with changes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from finial.assemble.vehicle.changes import Changes
from finial.files.edit import Value
from finial.files.toml_places import KeyPath
from finial.files.typed import Typed
from finial.findings.begun import Begun
from finial.findings.finding import Trial, Written
from finial.findings.kept_landings import KeptLandings
from finial.findings.readiness import Readiness
from finial.findings.same_check import Check
from finial.sizing.scale import Scaling
from finial.tunnel_study.flows import KeptFlow
from finial.tunnel_study.surfaces import KeptSurface
from finial.web.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class PageQuestion:
    """A change tried on the page: of the sheet, then masses of items [kg] and a factor on the fins' span."""

    ballast_kg: Mapping[str, float]
    fin_span_scale: float
    sheet: Changes = field(default_factory=dict[KeyPath, Value])


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedMend:
    """A change that was tried and turned a check of the sheet as written, how it is typed, and said."""

    trial: Trial
    named: Mapping[str, Written]
    """Places and values that the check's own rule worked out."""
    typed: Typed
    said: tuple[str, ...] = ()
    """What is typed, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """The answer to the sheet as written, and the function that answers a change."""

    as_written: Readiness
    answer: Callable[[PageQuestion], Readiness]
    desk: Desk | None = None
    """The sheet to be filled in; without one the page has sliders only."""
    changes: Callable[[PageQuestion], Changes] | None = None
    """All that a question changes of the sheet, typed and slid."""
    quickly: Callable[[Changes], Readiness] | None = None
    """The quick look at the sheet with changes, also at the sheet as it is."""
    whole: Callable[[Changes], Readiness | None] | None = None
    """The whole look at the sheet with changes, where it was taken before."""
    mends: Mapping[Check, TypedMend] = field(default_factory=dict[Check, TypedMend])
    """What was tried and turns a check of the sheet as written."""
    scaling: Callable[[Changes], Scaling] | None = None
    """What the size of the sheet with changes moves."""
    landings: Callable[[Sequence[Path]], KeptLandings | None] | None = None
    """Where the flights come down that the first folder of this very sheet keeps."""
    surfaces: Callable[[], tuple[KeptSurface, ...]] | None = None
    """Surface pressures that are kept of this very shape."""
    flows: Callable[[], tuple[KeptFlow, ...]] | None = None
    """Air on planes through the axis that is kept of this very shape."""
    read_again: Callable[[], "Session | BegunSession"] | None = None
    """The session of the sheet as it now is on disk."""

    @property
    def name(self) -> str:
        """Name of the vehicle."""
        return self.as_written.name


@dataclass(frozen=True, slots=True, kw_only=True)
class BegunSession:
    """The answer to a sheet that is only begun, and how to ask again once more stands in it."""

    begun: Begun
    missing: tuple[str, ...]
    desk: Desk
    read_again: "Callable[[], Session | BegunSession]"
    tried: Callable[[Changes], Begun]
    """The answer to the sheet with changes."""
    scaling: Callable[[Changes], Scaling]
    """What the size of the sheet with changes moves."""

    @property
    def name(self) -> str:
        """Name of the vehicle."""
        return self.begun.name
