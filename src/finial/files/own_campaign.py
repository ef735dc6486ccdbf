"""The folder of flights that lies beside a sheet."""

from collections.abc import Iterator
from pathlib import Path

from finial.core.content import content_hash


def own_campaign(sheet: Path) -> Path:
    """Folder beside a sheet in which its campaign is kept, whether there is one or not."""
    return sheet.with_name(f"{sheet.stem}-campaign")


def campaign_state(sheet: Path) -> str:
    """Content of the campaign beside a sheet, by its manifest and the names and sizes of its files."""
    return content_hash(*_files(own_campaign(sheet)))


def _files(folder: Path) -> Iterator[str]:
    for path in sorted(folder.glob("*")):
        told = path.read_text(encoding="utf-8", errors="replace") if path.suffix == ".json" else ""
        yield f"{path.name} {path.stat().st_size} {told}"
