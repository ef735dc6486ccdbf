"""A vehicle: read once, changed by the sheet's own names, asked for answers."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from finial.assemble.vehicle.changes import Changes, reread
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.places import changes_named, names
from finial.face.answers import AirAnswer, Answer, FlightAnswer
from finial.files.edit import Value
from finial.findings import check
from finial.findings.advice import answered
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth, Readiness

if TYPE_CHECKING:
    from finial.face.many import CampaignAnswers
    from finial.face.tunnel import TunnelAnswer
    from finial.findings.mending import Mend

Tell = Callable[[str], None]


class Vehicle:
    """One vehicle as its sheet and meshes say, with what was changed since; never changed itself."""

    __slots__ = ("_answers", "_changes", "_loaded")

    def __init__(self, loaded: LoadedVehicle, changes: Changes | None = None) -> None:
        """Take a loaded vehicle; scripts call :func:`load`."""
        self._loaded = loaded
        self._changes: Changes = dict(changes or {})
        self._answers: dict[Depth, Readiness] = {}

    def __repr__(self) -> str:
        """Name, size, and how many values were changed."""
        skin, changed = self._loaded.skin, len(self._changes)
        size = f"{skin.length_m:.3f} m long, {skin.width_m:.3f} m wide"
        return f"<{self.name}: {size}{f', {changed} values changed' if changed else ''}>"

    @property
    def name(self) -> str:
        """Name of the vehicle."""
        return self._loaded.sheet.vehicle.name

    @property
    def loaded(self) -> LoadedVehicle:
        """What was read: sheet, meshes, sections, motor."""
        return self._loaded

    @property
    def changes(self) -> Changes:
        """Values changed since the sheet was read, by place."""
        return dict(self._changes)

    def names(self) -> tuple[str, ...]:
        """Every name that :meth:`with_` takes."""
        return tuple(names(self._loaded.sheet))

    def with_(self, **values: Value) -> "Vehicle":
        """Return the vehicle with other values, by the sheet's own names.

        Parameters
        ----------
        values : str, int, bool or list
            By name: ``wind="8 m/s"``, or ``**{"steel ballast.mass": "1.6 kg"}``; written as in the sheet.

        Raises
        ------
        MissingData
            If the sheet has no place of a name, with the nearest ones.
        BuildSheetError
            With all faults of the sheet as it would then be.
        """
        changes = {**self._changes, **changes_named(self._loaded.sheet, values)}
        return Vehicle(reread(self._loaded, changes, codes_of), changes)

    def save(self) -> Path:
        """Write what was changed into the sheet; its comments and layout stay.

        Raises
        ------
        BuildSheetError
            If the file changed so that a place is no longer there.
        """
        from finial.files.edit import set_values

        path = self._loaded.files.path
        set_values(path, self._changes)
        return path

    def check(self, *, quick: bool = False, tell: Tell = check.silent) -> Answer:
        """Find and judge; ``quick`` leaves out the long looks and never says go."""
        return Answer(self._answered(Depth.QUICK if quick else Depth.WHOLE, tell))

    def air(self) -> AirAnswer:
        """Where the air pushes, how hard, and how well that is known."""
        return AirAnswer(self._any())

    def fly(self) -> FlightAnswer:
        """One flight in the wind of the sheet."""
        return FlightAnswer(self._any())

    def campaign(self, flights: int = 1000, *, seed: int = 1) -> "CampaignAnswers":
        """Many flights in memory, everything uncertain drawn anew for each."""
        from finial.face.many import campaign

        return campaign(self._loaded, flights=flights, seed=seed)

    def tunnel(
        self,
        folder: str | Path,
        *,
        angles_deg: Sequence[float] = (0.0, 5.0, 10.0, 15.0),
        cells: float = 16.0,
        cards: Sequence[int] = (),
    ) -> "TunnelAnswer":
        """Blow at the very shape, on two grids, and keep every run in a folder; run again to go on.

        Parameters
        ----------
        folder : str or Path
            Where runs are kept.
        angles_deg : sequence of float
            Angles of attack [deg].
        cells : float
            Cells of the fine grid to a width.
        cards : sequence of int
            Graphics cards, one run on each; the processor without any.

        Raises
        ------
        OutsideRange
            If an angle or the number of cells cannot be.
        CampaignError
            If the folder cannot be written to, or a card fails.
        """
        from finial.face.tunnel import study

        return study(self._loaded, folder, angles_deg=angles_deg, cells=cells, cards=cards)

    def size(self) -> "Mend | None":
        """Smallest set of changes found that mends what fails; ``None`` where nothing does."""
        from finial.findings.mending import mend

        return mend(self._loaded)

    def _any(self) -> Readiness:
        """Return an answer of any depth: air and flight are the same in all."""
        return self._answers.get(Depth.WHOLE) or self._answered(Depth.QUICK, check.silent)

    def _answered(self, depth: Depth, tell: Tell) -> Readiness:
        if depth not in self._answers:
            self._answers[depth] = answered(self._loaded, depth=depth, tell=tell)
        return self._answers[depth]


def load(path: str | Path, *, tell: Tell = check.silent) -> Vehicle:
    """Read a build sheet and its meshes.

    Parameters
    ----------
    path : str or Path
        The build sheet.
    tell : callable
        Receives progress notes.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """
    return Vehicle(check.load(Path(path), tell=tell))
