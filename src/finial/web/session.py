"""What the page is about: one vehicle, its answer, and how to ask again with changes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from finial.findings.readiness import Readiness


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """A change tried on the page: masses of named items [kg] and a factor on the fins' span."""

    ballast_kg: Mapping[str, float]
    fin_span_scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """The answer to the sheet as written, and the function that answers a change."""

    as_written: Readiness
    answer: Callable[[WhatIf], Readiness]
