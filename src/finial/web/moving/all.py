"""Everything that moves, of one answer."""

from finial.findings.readiness import Readiness
from finial.web.looks import TriedLook
from finial.web.moving.fins import moved_fins
from finial.web.moving.path import flight_path
from finial.web.moving.records import PageMoving
from finial.web.moving.separation import separations


def moving(readiness: Readiness, look: TriedLook) -> PageMoving:
    """Gather what the page moves; separations and modes come with the whole look alone."""
    return PageMoving(
        look=look.state,
        fault=look.message,
        path=flight_path(readiness),
        separations=tuple(separations(readiness)),
        fins=tuple(moved_fins(readiness)),
    )
