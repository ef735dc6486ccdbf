"""Runs of a study on the workers of a dask scheduler, each on all the cores of its worker."""

import time
from collections.abc import Sequence
from pathlib import Path

from finial.campaign.cluster import Helpers
from finial.core.errors import OutsideRange
from finial.tunnel_study.plan import PlannedRun, StudyPlan
from finial.tunnel_study.run import Failed, Studied, Told, made_folder, missing_runs, shares_of
from finial.tunnel_study.store import KeptRun, as_kept, keep, kept_keys
from finial.tunnel_study.summaries import write_runs


def run_elsewhere(plan: StudyPlan, folder: Path, address: str, *, told: Told | None = None) -> Studied:
    """Have workers blow every run that a folder does not hold yet; this process keeps what comes back.

    Parameters
    ----------
    plan : StudyPlan
        What to blow.
    folder : Path
        Where runs are kept; made if it is not there.
    address : str
        Of the scheduler, ``tcp://host:port``.
    told : callable, optional
        Called with the share that is done, run by run.

    Returns
    -------
    studied : Studied
        With runs that diverged; the others go on.

    Raises
    ------
    CampaignError
        If the scheduler does not answer, has no workers or one of another version, or loses them; or the
        folder cannot be written to. What was kept stays.
    """
    made_folder(folder)
    missing = missing_runs(plan, folder)
    shares = shares_of(plan, missing, told)
    failed: list[Failed] = []
    if missing:
        helpers = Helpers(address, blown_there, tuple(missing))
        try:
            for run, answer in zip(missing, helpers.answers(range(len(missing))), strict=True):
                shares.put(run.key, 1.0)
                if isinstance(answer, KeptRun):
                    keep(folder, answer)
                    write_runs(folder, plan.vehicle)
                else:
                    failed.append(Failed(run=run, why=str(answer)))
        finally:
            helpers.close()
    wanted = {run.key for run in plan.runs}
    path = write_runs(folder, plan.vehicle)
    return Studied(runs_file=path, done=len(wanted & kept_keys(folder)), failed=tuple(failed))


def blown_there(runs: Sequence[PlannedRun], number: int) -> KeptRun | str:
    """Blow one of the runs, on a worker; why not where it diverged."""
    from finial.tunnel.run import blow

    run, start = runs[number], time.monotonic()
    try:
        blown = blow(run.shape, run.stream, run.fineness, area_m2=run.area_m2, width_m=run.width_m)
    except OutsideRange as error:
        return str(error)
    return as_kept(run, blown, time.monotonic() - start)
