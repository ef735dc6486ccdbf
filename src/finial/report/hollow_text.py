"""A mesh made hollow, in words."""

from finial.assemble.start.hollow import HollowPiece
from finial.core.dimensions import Dimension
from finial.report.document import ReportSection
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.shown import Shown


def hollow_lines(
    piece: HollowPiece, written: str, *, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Say what was mended, what was taken out, and how the walls came out."""
    shown, made = Shown(us_units=us_units), piece.made
    united = f"{piece.bodies} bodies united" if piece.bodies > 1 else "one body"
    section = ReportSection(
        key="hollow",
        title=f"Hollow: {written}",
        facts=(
            ("read", united),
            *(("mended", shown.note(note)) for note in piece.notes),
            ("solid before", shown.plain(piece.before_m3, Dimension.VOLUME)),
            ("taken out", shown.plain(made.cavity_m3, Dimension.VOLUME)),
            ("cavities", str(made.cavities)),
            (
                "wall",
                f"{shown.fine(made.middle_m)} in the middle, {shown.fine(made.thinnest_m)} at the thinnest",
            ),
        ),
        notes=(
            "The cavities are closed: cut bores and openings in CAD or under [[part.bores]], and mind that "
            "the printer bridges their roofs. Most slicers make walls themselves: hollow a mesh only where "
            "the sheet or the printer wants it so.",
        ),
    )
    return section_lines(section, width=width)
