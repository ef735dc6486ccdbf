"""The whole answer to a sheet, kept by everything that it read: a second look costs nothing."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from finial.core.content import content_hash
from finial.files.kept import kept
from finial.files.read_by import content_of_sheet

if TYPE_CHECKING:
    from finial.findings.begun import Begun
    from finial.findings.readiness import Depth, Readiness


def kept_check(path: Path, depth: "Depth", tell: Callable[[str], None]) -> "Readiness | Begun":
    """Answer a sheet, or find the answer that was given to the same sheet and the same files before.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """

    def compute() -> "Readiness | Begun":
        from finial.findings.advice import answered
        from finial.findings.begun import begun
        from finial.findings.check import load_begun

        vehicle = load_begun(path, tell=tell)
        if vehicle.files.missing:
            return begun(vehicle)
        return answered(vehicle, depth=depth, tell=tell)

    content = content_of_sheet(path)
    if content is None:
        return compute()
    return kept("check", content_hash(content, depth.name), compute)
