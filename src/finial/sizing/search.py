"""Several things at once: the lightest design whose verdict is go, by differential evolution."""

import hashlib
import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.files.alone import sole_run
from finial.sizing.judged import Judged
from finial.sizing.notebook import Notebook, Point
from finial.sizing.variables import Variable

Judge = Callable[[Sequence[Point]], Iterable[Judged]]
"""Judges points of the search, in their order; where and on how many machines is its own affair."""
Told = Callable[[int, Point, Judged], None]
"""Receives the generation, and the best design so far with what it comes to."""

_NO_GO_KG = 1000.0
"""Weighs more than any vehicle: a design that is not go never beats one that is."""
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


def lightest_go(
    search: Search,
    judge: Judge,
    notebook: Path,
    told: Told = lambda _gen, _point, _judged: None,
) -> Found:
    """Search for the lightest design whose verdict is go at the bad ends.

    Differential evolution (best/1/bin, SciPy's), generation by generation, each from its own random
    numbers, every judged design noted at once: run again after a kill, it replays what is noted
    and goes on; with more generations it goes further.

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
        The lightest go; where there is none, the design with least missing, and ``judged.is_go`` false.

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
        population = _first(search)
        for generation in range(search.generations):
            population = _next_generation(search, population, generation, judge, notes)
            best = min(notes.known, key=lambda point: cost(notes.known[point]))
            told(generation + 1, best, notes.known[best])
    best = min(notes.known, key=lambda point: cost(notes.known[point]))
    return Found(
        point=best,
        judged=notes.known[best],
        judged_designs=len(notes.known),
    )


def cost(judged: Judged) -> float:
    """Mass of a go; anything else weighs more than any vehicle, and more the more is missing.

    Examples
    --------
    >>> cost(Judged(mass_kg=9.0, missing=0.0, is_go=True))
    9.0
    """
    return judged.mass_kg if judged.is_go else _NO_GO_KG * (1.0 + judged.missing) + judged.mass_kg


def _first(search: Search) -> NDArray[np.float64]:
    from scipy.stats.qmc import LatinHypercube

    count = max(_PER_VARIABLE * len(search.variables), _FEWEST)
    shares = LatinHypercube(len(search.variables), rng=np.random.default_rng([search.seed, 0])).random(count)
    low, high = _ends(search)
    return low + shares * (high - low)


def _next_generation(
    search: Search, population: NDArray[np.float64], generation: int, judge: Judge, notes: Notebook
) -> NDArray[np.float64]:
    from scipy.optimize import differential_evolution  # pyright: ignore[reportUnknownVariableType]

    def at_once(_function: object, points: Iterable[NDArray[np.float64]]) -> list[float]:
        rounded = [_rounded(search, point) for point in points]
        new = [point for point in dict.fromkeys(rounded) if point not in notes.known]
        for point, judged in zip(new, judge(new), strict=True):
            notes.note(point, judged)
        return [cost(notes.known[point]) for point in rounded]

    low, high = _ends(search)
    settings: Any = {
        "init": population,
        "maxiter": 1,
        "polish": False,
        "updating": "deferred",
        "workers": at_once,
        "tol": 0.0,
        "rng": np.random.default_rng([search.seed, 1 + generation]),
    }
    result: Any = differential_evolution(_unused, bounds=list(zip(low, high, strict=True)), **settings)
    return result.population


def _unused(_point: NDArray[np.float64]) -> float:
    """Stand in for the function: whole generations are judged at once."""
    return 0.0


def _ends(search: Search) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.array([one.low for one in search.variables]), np.array([one.high for one in search.variables])


def _rounded(search: Search, point: NDArray[np.float64]) -> Point:
    return tuple(
        round(variable.rounded(float(value)), 9)
        for variable, value in zip(search.variables, point, strict=True)
    )
