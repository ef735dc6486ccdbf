"""Errors that Finial raises on purpose.

::

    FinialError
    ├── BuildSheetError   faults in a build sheet or a file it names: file, line, field
    │   ├── LogError      faults in a flight's log or its mapping, with the same three
    │   ├── MarksError    faults in the marks of photos, with the same three
    │   ├── MeshesError   mesh files that no sheet names yet and that cannot be used
    │   ├── MotionError   faults in a printer's motions, with the same three
    │   └── TowerError    faults in a tower's drawing or a file it names, with the same three
    ├── MeshError         a mesh that cannot be used, with the faces or station concerned
    ├── OutsideRange      an argument outside the range a method holds for
    ├── NotConverged      an iteration that gave up: steps taken and residual left
    ├── MissingData       a table has no entry of that name
    ├── CampaignError     a campaign's folder, workers or scheduler, with what to do
    └── UnitError         a quantity that cannot be read: what was given, what is accepted
"""

from collections.abc import Iterable
from dataclasses import dataclass

from finial.core.visible import visible


class FinialError(Exception):
    """Base of every error that Finial raises on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a file the builder wrote, said so that it can be mended.

    ``field`` is the dotted path inside the sheet, such as ``part[2].material``.
    """

    file: str
    field: str
    given: str
    accepted: str
    likely_slip: str = ""
    line: int | None = None

    def __post_init__(self) -> None:
        """Make every field visible, and cut it: what it quotes was written by anyone."""
        for name, longest in _LONGEST.items():
            object.__setattr__(self, name, visible(getattr(self, name), longest))

    def __str__(self) -> str:
        """Say the fault in three short lines: where, what was given, what to write."""
        where = f"{self.file}:{self.line}" if self.line else self.file
        lines = [f"{where}: {self.field}", f"    given:    {self.given}", f"    accepted: {self.accepted}"]
        if self.likely_slip:
            lines.append(f"    likely:   {self.likely_slip}")
        return "\n".join(lines)


_LONGEST = {"file": 1000, "field": 300, "given": 300, "accepted": 3000, "likely_slip": 600}
"""Longest text of each field of a fault, in characters."""


class BuildSheetError(FinialError):
    """All faults found in a build sheet and the files it names, reported at once."""

    about = "the build sheet"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        count = len(self.faults)
        title = "1 fault" if count == 1 else f"{count} faults"
        super().__init__("\n\n".join([f"{title} in {self.about}:", *map(str, self.faults)]))


class LogError(BuildSheetError):
    """All faults found in a flight's log and the mapping that says what its columns are."""

    about = "the log"


class MarksError(BuildSheetError):
    """All faults found in the marks of photos."""

    about = "the marks"


class MeshesError(BuildSheetError):
    """Mesh files that no sheet names yet, and why they cannot be used."""

    about = "the meshes"


class MotionError(BuildSheetError):
    """What cannot be read of a printer's motions."""

    about = "the motions"


class TowerError(BuildSheetError):
    """All faults found in a tower's drawing and the files it names."""

    about = "the drawing"


class MeshError(FinialError):
    """A mesh that cannot be used; the message names the faces or the station."""

    def __init__(self, message: str) -> None:
        super().__init__(visible(message, 2000))


class OutsideRange(FinialError):
    """An argument lies outside the range the method holds for, or is not a number."""


class NotConverged(FinialError):
    """An iteration gave up; the message gives the steps taken and the residual left."""


class MissingData(FinialError):
    """A data table has no such entry; the message lists what it has, and so does ``known``."""

    def __init__(self, message: str, known: Iterable[str] = ()) -> None:
        self.known = tuple(known)
        super().__init__(message)


class CampaignError(FinialError):
    """A campaign that cannot go on: its folder, its workers or its scheduler; says what to do."""


class UnitError(FinialError):
    """A quantity that cannot be read, with what was given, what is accepted and the likely slip."""

    def __init__(self, *, given: str, accepted: str, likely_slip: str = "") -> None:
        self.given = given = visible(given)
        self.accepted = accepted
        self.likely_slip = likely_slip = visible(likely_slip, 600)
        hint = f" ({likely_slip})" if likely_slip else ""
        super().__init__(f"{given}: {accepted} is wanted{hint}")
