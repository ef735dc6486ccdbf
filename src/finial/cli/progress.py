"""How far long work has come: a bar with the time left, on standard error, only where someone looks."""

from collections.abc import Generator
from contextlib import contextmanager

from finial.report.progress import Reached


@contextmanager
def bar(
    what: str, total: float, *, quiet: bool, done: float = 0.0, rate: bool = False
) -> Generator[Reached, None, None]:
    """Show how much of ``total`` is done: things that are counted, or a whole of 1."""
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TaskProgressColumn,
        TextColumn,
        TimeRemainingColumn,
    )

    reached = MofNCompleteColumn() if total != 1.0 else TaskProgressColumn()
    speed = (TextColumn("{task.fields[rate]}"),) if rate else ()
    console = Console(stderr=True)
    shown = not quiet and console.is_terminal
    columns = (TextColumn(what), BarColumn(), reached, *speed, TimeRemainingColumn())
    with Progress(*columns, console=console, disable=not shown) as progress:
        task = progress.add_task(what, total=total, rate="")
        progress.update(task, completed=done)

        def told(now: float) -> None:
            progress.update(task, completed=now)
            fast = progress.tasks[0].speed
            progress.update(task, rate=f"{fast:.0f} a second" if fast else "")

        yield told
