"""Blow what is missing, keep it, and say how far it came; killed at any point, finished runs are kept."""

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from threading import Event
from typing import Protocol

from finial.core import cards
from finial.core.errors import CampaignError, OutsideRange
from finial.files.alone import holding
from finial.files.write import why_not_written
from finial.tunnel.records import Blown, Fineness, Stream, TunnelShape
from finial.tunnel_study.plan import PlannedRun, StudyPlan, cost_of
from finial.tunnel_study.store import as_kept, keep, kept_keys, lock_of, read_kept
from finial.tunnel_study.summaries import write_runs

PROCESSOR = (None,)
"""The processor's cores, all on one run."""
_LOOK_S = 0.2


class Blow(Protocol):
    """A solver: what :func:`finial.tunnel.run.blow` is."""

    def __call__(  # noqa: PLR0913 - as the solver is called
        self,
        shape: TunnelShape,
        stream: Stream,
        fineness: Fineness,
        *,
        area_m2: float,
        width_m: float,
        card: int | None = None,
        watch: Callable[[float], None] | None = None,
    ) -> Blown:
        """Blow at a shape."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """A run that gave no answer, and why."""

    run: PlannedRun
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Studied:
    """How a study ended."""

    runs_file: Path
    done: int
    """Runs of the plan that are kept now."""
    failed: tuple[Failed, ...] = ()
    elsewhere: int = 0
    """Runs that another process blows at this moment."""


Told = Callable[[float], None]
"""Receives the share of all updates of the plan that is done."""


class _Stopped(Exception):
    """Another run failed or the builder cancelled: this one ends too."""


def run_study(
    plan: StudyPlan,
    folder: Path,
    blow: Blow,
    *,
    cards: Sequence[int | None] = PROCESSOR,
    told: Told | None = None,
) -> Studied:
    """Blow every run of a plan that its folder does not hold yet, one on each card.

    Several processes may work on one folder: each run is blown by the one that holds it.

    Parameters
    ----------
    plan : StudyPlan
        What to blow.
    folder : Path
        Where runs are kept; made if it is not there.
    blow : Blow
        The solver.
    cards : sequence of int or None
        Where to blow; ``None`` stands for the processor.
    told : callable, optional
        Called with the share that is done, now and then, from any thread.

    Returns
    -------
    studied : Studied
        With runs that diverged; the others go on.

    Raises
    ------
    CampaignError
        If the folder cannot be written to, or a card fails; what was kept stays.
    """
    made_folder(folder)
    missing = missing_runs(plan, folder)
    work = _Work(folder=folder, blow=blow, shares=shares_of(plan, missing, told))
    failed: list[Failed] = []
    elsewhere = 0
    for run, problem in _each(work, missing, cards):
        if problem is None:
            write_runs(folder, plan.vehicle)
        elif problem:
            failed.append(Failed(run=run, why=problem))
        else:
            elsewhere += 1
    wanted = {run.key for run in plan.runs}
    path = write_runs(folder, plan.vehicle)
    return Studied(
        runs_file=path, done=len(wanted & kept_keys(folder)), failed=tuple(failed), elsewhere=elsewhere
    )


def made_folder(folder: Path) -> None:
    """Make the folder that runs are kept in.

    Raises
    ------
    CampaignError
        If it cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CampaignError(f"{folder} cannot be made: {why_not_written(error)}") from error


def missing_runs(plan: StudyPlan, folder: Path) -> list[PlannedRun]:
    """List runs that a folder does not hold whole; damaged ones are set aside."""
    read_kept(folder, {run.key for run in plan.runs})
    kept = kept_keys(folder)
    return [run for run in plan.runs if run.key not in kept]


def _silent(_share: float) -> None:
    """Pass over how far it came."""


class Shares:
    """How much of all updates is done, from any number of threads."""

    def __init__(self, plan: StudyPlan, missing: Sequence[PlannedRun], told: Told) -> None:
        self._weights = {run.key: cost_of([run]).updates for run in plan.runs}
        self._whole = max(sum(self._weights.values()), 1.0)
        left = {run.key for run in missing}
        self._done = {key: float(key not in left) for key in self._weights}
        self._told = told
        self.tell()

    def put(self, key: str, share: float) -> None:
        """Take note of one run's share."""
        self._done[key] = share
        self.tell()

    def tell(self) -> None:
        """Tell the share of all."""
        done = dict(self._done)
        self._told(sum(self._weights[key] * share for key, share in done.items()) / self._whole)


def shares_of(plan: StudyPlan, missing: Sequence[PlannedRun], told: Told | None) -> Shares:
    """Count what is done by updates, those that are kept already among it."""
    return Shares(plan, missing, told or _silent)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    folder: Path
    blow: Blow
    shares: Shares


_Ended = tuple[PlannedRun, str | None]
"""A run, and nothing where it is kept, why not where it failed, or an empty text where another has it."""


def _each(work: _Work, missing: Sequence[PlannedRun], cards: Sequence[int | None]) -> Iterator[_Ended]:
    """Blow runs as cards come free; ended early, all of them end."""
    stop = Event()
    free: SimpleQueue[int | None] = SimpleQueue()
    for card in cards:
        free.put(card)
    pool = ThreadPoolExecutor(len(cards), thread_name_prefix="tunnel-study")

    def blown(run: PlannedRun) -> _Ended:
        card = free.get()
        try:
            return _held(work, run, card, stop)
        finally:
            free.put(card)

    waiting: set[Future[_Ended]] = {pool.submit(blown, run) for run in missing}
    try:
        while waiting:
            # Looked at now and then, so that Ctrl-C is heard.
            done, waiting = wait(waiting, timeout=_LOOK_S, return_when=FIRST_COMPLETED)
            for one in done:
                yield one.result()
    finally:
        stop.set()
        pool.shutdown(wait=True, cancel_futures=True)


def card_faults(card: int | None) -> tuple[type[Exception], ...]:
    """Errors of a card's driver; none where the processor blows."""
    if card is None:
        return ()
    try:
        return cards.card_faults()
    except ImportError:
        return ()


def _held(work: _Work, run: PlannedRun, card: int | None, stop: Event) -> _Ended:
    """Blow one run unless another process does or did."""
    with holding(lock_of(work.folder, run.key)) as alone:
        if not alone:
            return run, ""
        if run.key in kept_keys(work.folder):
            work.shares.put(run.key, 1.0)
            return run, None
        return run, _blown(work, run, card, stop)


def _blown(work: _Work, run: PlannedRun, card: int | None, stop: Event) -> str | None:
    def watch(share: float) -> None:
        if stop.is_set():
            raise _Stopped
        work.shares.put(run.key, share)

    start = time.monotonic()
    try:
        blown = work.blow(
            run.shape,
            run.stream,
            run.fineness,
            area_m2=run.area_m2,
            width_m=run.width_m,
            card=card,
            watch=watch,
        )
        keep(work.folder, as_kept(run, blown, time.monotonic() - start))
    except OutsideRange as error:
        return str(error)
    except MemoryError:
        return "no memory left for it"
    except card_faults(card) as error:
        raise CampaignError(
            f"card {card} failed ({str(error).splitlines()[0]}). What was kept stays: run it again"
        ) from error
    work.shares.put(run.key, 1.0)
    return None
