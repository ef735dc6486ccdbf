"""Several things at once: the lightest or highest design whose verdict is go, by differential evolution."""

import hashlib
import json
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.files.alone import sole_run
from finial.sizing.found_front import FrontRow, front
from finial.sizing.judged import Aim, Judged, aimed
from finial.sizing.misses import Miss
from finial.sizing.notebook import Notebook, Point
from finial.sizing.surrogate import FEWEST_A_VARIABLE, ForetoldCost, Space, foretold_cost
from finial.sizing.variables import Variable

Judge = Callable[[Sequence[Point]], Iterable[Judged]]
"""Judges points of the search, in their order; where and on how many machines is its own affair."""
Told = Callable[[int, Point, Judged], None]
"""Receives the generation, and the best design so far with what it comes to."""

_NO_GO = {Aim.LIGHTEST: 1e3, Aim.HIGHEST: 1e5}
"""Weighs more than any vehicle [kg], or flies higher [m]: a design that is not go never beats one that is."""
_PER_VARIABLE = 8
_FEWEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What to search, and how long."""

    variables: tuple[Variable, ...]
    generations: int = 20
    seed: int = 1
    about: str = ""
    """Hash of the vehicle, so that searches of two vehicles are never mixed."""
    aim: Aim = Aim.LIGHTEST
    """Searches that differ in it alone share their judged designs, and what is the front of them."""
    start: tuple[float, ...] = ()
    """A design to begin with beside those that are drawn, as a builder's own that goes already."""

    @property
    def identity(self) -> str:
        """Hash that tells searches apart; more generations of the same search are the same search."""
        told = json.dumps([[asdict(one) for one in self.variables], self.seed, self.about])
        return hashlib.sha256(told.encode()).hexdigest()[:32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The best design of a search."""

    point: Point
    judged: Judged
    judged_designs: int
    left_out: int
    """Designs that were surely no better than those they were to replace, by what judged ones came to."""
    front: tuple[FrontRow, ...] = ()
    """Of all that were judged, those that no other beats; see :func:`front`."""
    known: Mapping[Point, Judged] = field(default_factory=dict[Point, Judged])
    """Every design that was judged."""
    misses: tuple[Miss, ...] = ()
    """Designs that were foretold, and judged all the same: how far off they were."""

    def goes(self, aim: Aim) -> tuple[FrontRow, ...]:
        """Return all designs that go, the best of what is sought first."""
        rows = [FrontRow(point=point, judged=one) for point, one in sorted(self.known.items()) if one.is_go]
        return tuple(sorted(rows, key=lambda row: aimed(row.judged, aim)))


def best_go(
    search: Search,
    judge: Judge,
    notebook: Path,
    told: Told = lambda _gen, _point, _judged: None,
) -> Found:
    """Search for the lightest or the highest design whose verdict is go at the bad ends.

    Differential evolution (best/1/bin, SciPy's), generation by generation, each from its own random
    numbers, the first with the design to begin with; every judged design noted at once: run again after a
    kill, it replays what is noted and goes on; with more generations it goes further. Gaussian processes
    through what is sought and what is missing of the latest 200 judged designs leave out those that surely,
    four standard errors away, do not beat the design they would replace: the search finds the same, with
    fewer designs judged.

    Parameters
    ----------
    search : Search
        Variables, generations, seed.
    judge : callable
        Judges a generation's designs.
    notebook : Path
        File that judged designs are noted in.
    told : callable
        Called after every generation.

    Returns
    -------
    found : Found
        The lightest go, or the highest; where there is none, the design with least missing, and
        ``judged.is_go`` false.

    Raises
    ------
    OutsideRange
        If there is nothing to vary or no generation to make.
    CampaignError
        If the notebook belongs to another search, another run writes to it, or it cannot be written to.

    Notes
    -----
    A search by chance: another seed may find something lighter.

    References
    ----------
    .. [1] Storn and Price, Differential Evolution, Journal of Global Optimization 11 (1997) 341.
    """
    if not search.variables or search.generations < 1:
        raise OutsideRange(
            f"{len(search.variables)} variables, {search.generations} generations: give one or more"
        )
    with sole_run(notebook.parent):
        notes = Notebook(notebook, search.identity)
        course, population = _Course(search, judge, notes), _first(search)
        for generation in range(search.generations):
            population = _next_generation(search, population, generation, course)
            best = _best(notes, search.aim)
            told(generation + 1, best, notes.known[best])
    best = _best(notes, search.aim)
    return Found(
        point=best,
        judged=notes.known[best],
        judged_designs=len(notes.known),
        left_out=course.left_out,
        front=front(notes.known, search.aim),
        known=dict(notes.known),
        misses=tuple(course.misses),
    )


def _best(notes: Notebook, aim: Aim) -> Point:
    return min(notes.known, key=lambda point: cost(notes.known[point], aim))


class _Course:
    """What a search has come to: designs in the order of their judging, whichever run judged them.

    A design that the judged ones foretell to be surely no better than the one it is to replace is left out;
    the search goes the way it would have gone, with fewer designs judged.
    """

    def __init__(self, search: Search, judge: Judge, notes: Notebook) -> None:
        self._search, self._judge, self._notes = search, judge, notes
        self._seen: dict[Point, Judged] = {}
        self._passed_over: set[Point] = set()
        self.misses: list[Miss] = []
        """How far off it was of designs that were foretold and judged, in the order of their judging."""

    @property
    def left_out(self) -> int:
        """Designs that were never judged."""
        return len(self._passed_over - self._seen.keys())

    def costs(self, points: Sequence[Point], to_beat: Sequence[float] | None) -> list[float]:
        """Cost of each design, without bound where it is left out."""
        new = [point for point in dict.fromkeys(points) if point not in self._seen]
        aim = self._search.aim
        told = self._foretold(new) if to_beat else []
        hopeless = _hopeless(told, points, to_beat, aim) if to_beat else set[Point]()
        self._passed_over |= hopeless
        self._look_at([point for point in new if point not in hopeless])
        self.misses += _misses(told, self._seen, aim)
        return [cost(self._seen[point], aim) if point in self._seen else math.inf for point in points]

    def _look_at(self, points: Sequence[Point]) -> None:
        unknown = [point for point in points if point not in self._notes.known]
        for point, judged in zip(unknown, self._judge(unknown), strict=True):
            self._notes.note(point, judged)
        self._seen |= {point: self._notes.known[point] for point in points}

    def _foretold(self, points: Sequence[Point]) -> list["_Said"]:
        """Say of designs not judged yet what they come to, once enough of them are."""
        if not points or len(self._seen) < FEWEST_A_VARIABLE * len(self._search.variables):
            return []
        known = list(self._seen.items())
        return _said(points, foretold_cost(known, np.array(points), _space(self._search), self._search.aim))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """What was foretold of one design, and what it surely does not come below."""

    point: Point
    sought: float
    missing: float
    least_sought: float
    least_missing: float

    def least(self, aim: Aim) -> float:
        return _cost(self.least_sought, self.least_missing, self.least_missing == 0.0, aim)


def _said(points: Sequence[Point], told: ForetoldCost) -> list[_Said]:
    columns = zip(points, told.sought.mean, told.missing.mean, *told.least, strict=True)
    return [
        _Said(
            point=point,
            sought=float(sought),
            missing=float(missing),
            least_sought=float(low),
            least_missing=float(lacks),
        )
        for point, sought, missing, low, lacks in columns
    ]


def _hopeless(
    told: Sequence[_Said], points: Sequence[Point], to_beat: Sequence[float], aim: Aim
) -> set[Point]:
    """Find designs that surely cost more than every one that they are to replace."""
    dearest: dict[Point, float] = {}
    for point, limit in zip(points, to_beat, strict=True):
        dearest[point] = max(limit, dearest.get(point, -math.inf))
    return {one.point for one in told if one.least(aim) > dearest[one.point]}


def _misses(told: Sequence[_Said], seen: Mapping[Point, Judged], aim: Aim) -> Iterator[Miss]:
    """Hold what was foretold against what was judged; a design that cannot be flown has no numbers."""
    for said in told:
        judged = seen.get(said.point)
        if judged and judged.mass_kg > 0.0 and math.isfinite(said.least_sought):
            yield _miss(said, judged, aim)


def _miss(said: _Said, judged: Judged, aim: Aim) -> Miss:
    return Miss(
        point=said.point,
        sought=abs(aimed(judged, aim) - said.sought),
        missing=abs(judged.missing - said.missing),
        is_better=cost(judged, aim) < said.least(aim),
    )


def cost(judged: Judged, aim: Aim = Aim.LIGHTEST) -> float:
    """Return what is sought of a go; anything else is worse than any vehicle, and worse the more is missing.

    Examples
    --------
    >>> cost(Judged(mass_kg=9.0, missing=0.0, is_go=True))
    9.0
    """
    return _cost(aimed(judged, aim), judged.missing, judged.is_go, aim)


def _cost(sought: float, missing: float, is_go: bool, aim: Aim) -> float:
    return sought if is_go else _NO_GO[aim] * (1.0 + missing) + sought


def _first(search: Search) -> NDArray[np.float64]:
    from scipy.stats.qmc import LatinHypercube

    count = max(_PER_VARIABLE * len(search.variables), _FEWEST)
    shares = LatinHypercube(len(search.variables), rng=np.random.default_rng([search.seed, 0])).random(count)
    space = _space(search)
    drawn = space.low + shares * (space.high - space.low)
    if search.start:
        drawn[0] = np.clip(search.start, space.low, space.high)
    return drawn


def _next_generation(
    search: Search, population: NDArray[np.float64], generation: int, course: _Course
) -> NDArray[np.float64]:
    from scipy.optimize import differential_evolution  # pyright: ignore[reportUnknownVariableType]

    to_beat: list[float] = []

    def at_once(_function: object, points: Iterable[NDArray[np.float64]]) -> list[float]:
        costs = course.costs([_rounded(search, point) for point in points], to_beat)
        # SciPy judges the designs there are, puts the best one first, and tries one new one against each.
        if not to_beat:
            best = costs.index(min(costs))
            to_beat.extend(costs)
            to_beat[0], to_beat[best] = to_beat[best], to_beat[0]
        return costs

    space = _space(search)
    settings: Any = {
        "init": population,
        "maxiter": 1,
        "polish": False,
        "updating": "deferred",
        "workers": at_once,
        "tol": 0.0,
        "rng": np.random.default_rng([search.seed, 1 + generation]),
    }
    result: Any = differential_evolution(
        _unused, bounds=list(zip(space.low, space.high, strict=True)), **settings
    )
    return result.population


def _unused(_point: NDArray[np.float64]) -> float:
    """Stand in for the function: whole generations are judged at once."""
    return 0.0


def _space(search: Search) -> Space:
    low, high = np.array([one.ends for one in search.variables]).T
    return Space(low=low, high=high, choices=np.array([one.is_choice for one in search.variables]))


def _rounded(search: Search, point: NDArray[np.float64]) -> Point:
    return tuple(
        round(variable.rounded(float(value)), 9)
        for variable, value in zip(search.variables, point, strict=True)
    )
