"""How long work tells how far it has come, in the shell as on the page."""

from collections.abc import Callable

Reached = Callable[[float], None]
"""Told how much of the whole is done by now."""


def added_up(reached: Reached, done: int = 0) -> Callable[[int], None]:
    """Tell how much is done by now to what is told how much more.

    Examples
    --------
    >>> more = added_up(print, 10)
    >>> more(5), more(2)
    15
    17
    (None, None)
    """
    so_far = done

    def more(count: int) -> None:
        nonlocal so_far
        so_far += count
        reached(so_far)

    return more


def compile_flight(tell: Callable[[str], None], *, many: bool = False) -> None:
    """Compile the flight, of many with ``many``, and say so where it is not there yet."""
    from finial.flight.fly import make_ready
    from finial.flight.many import make_many_ready

    (make_many_ready if many else make_ready)(
        lambda: tell("compiling the flight, once on this machine; about half a minute")
    )
