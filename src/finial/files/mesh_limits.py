"""How much one mesh file may hold: counted before anything is unpacked, placed or joined."""

from finial.core.errors import MeshError

MOST_BYTES = 500_000_000
"""Of a file, and of an archive when unpacked."""
MOST_TRIANGLES = 4_000_000
"""Ten times what a printer can show; with them a file takes less than 2 GB of memory."""
MOST_CORNERS = 3 * MOST_TRIANGLES


def refuse_large(size_bytes: int, doing: str = "is") -> None:
    """Refuse more bytes than are read.

    Raises
    ------
    MeshError
        With the size, and the largest that is read.
    """
    if size_bytes > MOST_BYTES:
        raise MeshError(f"{doing} {size_bytes / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} MB are read")


def refuse_many(triangles: int, corners: int = 0) -> None:
    """Refuse more triangles or corners than are read.

    Raises
    ------
    MeshError
        With the count, and what to do.
    """
    for count, most, what in (
        (triangles, MOST_TRIANGLES, "triangles"),
        (corners, MOST_CORNERS, "corners"),
    ):
        if count > most:
            raise MeshError(f"holds {count} {what}; at most {most} are read: export it coarser")
