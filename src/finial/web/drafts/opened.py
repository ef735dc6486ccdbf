"""Which kind of draft a file is, and the application that serves it."""

from pathlib import Path

from starlette.applications import Starlette

from finial.core.errors import BuildSheetError
from finial.files.source import read_toml
from finial.web.drafts.draft import Draft
from finial.web.drafts.photos import photos_draft, sent_to_tiers
from finial.web.drafts.routes import Follow, Writers, draft_app
from finial.web.drafts.tower import begun_sheet, tower_draft, written_parts

KINDS = {"tower": tower_draft, "photos": photos_draft}
_WRITERS: dict[str, Writers] = {
    "tower": {
        "parts": lambda draft, _given: written_parts(draft),
        "sheet": lambda draft, _given: begun_sheet(draft),
    },
    "photos": {"tower": sent_to_tiers},
}


def draft_of(path: Path) -> Draft | None:
    """Return a file as the draft that it is; ``None`` for a build sheet, and for what cannot be read.

    A tower has a name of its own, where a sheet has it in its vehicle; marks are of photos.
    """
    try:
        values = read_toml(path).values
    except BuildSheetError:
        return None
    if "vehicle" not in values and "photo" in values:
        return photos_draft(path)
    if "vehicle" not in values and "name" in values:
        return tower_draft(path)
    return None


def app_of(draft: Draft, *, port: int, key: str, follow: Follow | None = None) -> Starlette:
    """Return the application that serves a draft; ``follow`` serves what is begun with it in its place."""
    return draft_app(draft, _WRITERS[draft.kind], port=port, key=key, follow=follow)
