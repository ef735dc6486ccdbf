"""How long does the page wait for an answer when a slider is moved?

A question goes over HTTP to the server of the demo and comes back as JSON: with other
ballast, with other fins, with both, each question a new one. Beside it stand the same
answers asked for directly, without HTTP, by the clock and in processor time, which other work on
the machine moves less; the shortest thing the server can say (an icon of 300 bytes): the least any
answer takes; and a loop of bare Python, the yardstick of the machine. What comes over HTTP must
equal the direct answer, word for word: an answer that differs makes its time mean nothing.

Then a hundred ask at once, each on a connection of its own: all must be answered in the order they
came, the last no later than a hundred single answers take, and what is no question must not wait.
"""

import http.client
import json
import os
import platform
import selectors
import statistics
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

# As `finial open` does before it loads anything: many small solves are slower when shared among threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy
import starlette
import uvicorn
from goals import Goal, absolute_time, judged, options, ratio, steady

from finial.findings.check import load
from finial.web.controls import SPAN_SCALE_ENDS, ballast_controls
from finial.web.guard import cookie_name
from finial.web.payload import answer_text
from finial.web.question import read_question
from finial.web.serve import listen, server_for, session_of, spare_what_stays
from finial.web.session import Session

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
GOAL_MS = 20.0
KEY = "of-the-bench"
AT_ONCE = 100
LONGEST_S = 120.0
"""After so long what is not answered counts as left without an answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flood:
    """What became of many questions at once."""

    unanswered: int
    differ: int
    """Answers that are not those given directly."""
    overtaken: int
    """Most places by which an answer came before or after its turn."""
    last_ms: float
    icons_ms: list[float]


@contextmanager
def served(session: Session) -> Iterator[http.client.HTTPConnection]:
    with listen(0) as listening:
        port = listening.getsockname()[1]
        server = server_for(session, port=port, key=KEY)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        connection = http.client.HTTPConnection("127.0.0.1", port)
        try:
            yield connection
        finally:
            # The server hangs up on an idle connection after 5 s; the next question opens it anew.
            connection.close()
            server.should_exit = True
            thread.join()


def _with_key(connection: http.client.HTTPConnection) -> dict[str, str]:
    return {"Cookie": f"{cookie_name(connection.port)}={KEY}"}


def questions(session: Session, kind: str, count: int) -> list[bytes]:
    """Questions of one kind, no two alike."""
    (control, *_) = ballast_controls(session.as_written)
    asked = []
    for number in range(count):
        part = (number + 1) / (count + 1)
        question: dict[str, object] = {}
        if kind != "fins":
            question["ballast"] = {control.name: part * control.max_kg}
        if kind != "ballast":
            low, high = SPAN_SCALE_ENDS
            question["fin_span_scale"] = low + part * (high - low)
        asked.append(json.dumps(question).encode())
    return asked


def timed(
    asks: list[Callable[[], object]], clock: Callable[[], float] = time.perf_counter
) -> tuple[list[float], list[object]]:
    times_ms, answers = [], []
    for ask in asks:
        start = clock()
        answers.append(ask())
        times_ms.append((clock() - start) * 1000)
    return times_ms, answers


def bare_python() -> int:
    """Count: what the machine makes of plain Python just now."""
    return sum(number % 7 for number in range(100_000))


def posted(connection: http.client.HTTPConnection, body: bytes) -> object:
    connection.request(
        "POST", "/api/what-if", body, {"Content-Type": "application/json", **_with_key(connection)}
    )
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:
        raise SystemExit(f"{body!r}: {response.status} {content!r}")
    return json.loads(content)


def fetched(connection: http.client.HTTPConnection, path: str) -> bytes:
    connection.request("GET", path, headers=_with_key(connection))
    return connection.getresponse().read()


def direct(session: Session, body: bytes) -> object:
    change = read_question(body, ballast_controls(session.as_written), has_fins=True)
    return json.loads(answer_text(session.answer(change)))


def flood(session: Session, connection: http.client.HTTPConnection, asked: list[bytes]) -> Flood:
    """Ask all one after the other without waiting, each on a connection of its own; fetch icons meanwhile."""
    # The server hung up on it while the direct answers were timed.
    connection.close()
    own = [http.client.HTTPConnection("127.0.0.1", connection.port) for _ in asked]
    headers = {"Content-Type": "application/json", **_with_key(connection)}
    answered: list[int] = []
    icons_ms: list[float] = []
    start = time.perf_counter()
    with selectors.DefaultSelector() as waiting:
        for number, (one, body) in enumerate(zip(own, asked, strict=True)):
            one.request("POST", "/api/what-if", body, headers)
            waiting.register(one.sock, selectors.EVENT_READ, number)
        while len(answered) < len(asked) and time.perf_counter() - start < LONGEST_S:
            for key, _ in waiting.select(timeout=0.02):
                waiting.unregister(key.fileobj)
                answered.append(key.data)
            icons_ms += timed([lambda: fetched(connection, "/static/favicon.svg")])[0]
    last_ms = 1000 * (time.perf_counter() - start)
    told = {number: json.loads(own[number].getresponse().read()) for number in answered}
    for one in own:
        one.close()
    return Flood(
        unanswered=len(asked) - len(answered),
        differ=sum(told[number] != direct(session, asked[number]) for number in answered),
        overtaken=max(abs(place - number) for place, number in enumerate(answered)),
        last_ms=last_ms,
        icons_ms=icons_ms,
    )


def line(name: str, times_ms: list[float]) -> None:
    ordered = sorted(times_ms)
    ninth = ordered[int(0.9 * (len(ordered) - 1))]
    print(
        f"{name:32s} median {statistics.median(ordered):7.2f} ms   nine in ten under {ninth:7.2f} ms"
        f"   ({ordered[0]:.2f} to {ordered[-1]:.2f})   {len(ordered)} runs"
    )


def goals_of(kind: str, median_ms: float, differ: int) -> list[Goal]:
    return [
        steady(f"{kind}: answers over HTTP that differ from the direct ones", differ, "exactly", 0),
        absolute_time(f"{kind}: median over HTTP", median_ms, GOAL_MS, " ms"),
    ]


def flood_goals(found: Flood, single_ms: float) -> list[Goal]:
    return [
        steady("a hundred at once: left without an answer", found.unanswered, "exactly", 0),
        steady("a hundred at once: answers that differ from the direct ones", found.differ, "exactly", 0),
        steady("a hundred at once: places out of turn, at most", found.overtaken, "at most", 3),
        ratio(
            "a hundred at once: the last over a hundred single answers",
            found.last_ms / (AT_ONCE * single_ms),
            "at most",
            1.3,
            3.0,
        ),
        absolute_time("an icon while a hundred ask", statistics.median(found.icons_ms), GOAL_MS, " ms"),
    ]


def main() -> int:
    given = options(__doc__).parse_args()
    runs = 8 if given.small else 60
    print(
        f"{platform.machine()}, Python {platform.python_version()}, numpy {numpy.__version__},"
        f" starlette {starlette.__version__}, uvicorn {uvicorn.__version__}"
    )
    session = session_of(load(DEMO))
    spare_what_stays()
    goals = []
    with served(session) as connection:
        line(
            "an icon (the floor)",
            timed([lambda: fetched(connection, "/static/favicon.svg")] * (runs + 2))[0][2:],
        )
        for kind in ("ballast", "fins", "ballast and fins"):
            asked = questions(session, kind, runs + 2)
            # The server hangs up on an idle connection after 5 s; the next question opens it anew.
            connection.close()
            over_http, told = timed([lambda body=body: posted(connection, body) for body in asked])
            asks: list[Callable[[], object]] = [lambda body=body: direct(session, body) for body in asked]
            alone, expected = timed(asks)
            line(f"{kind}, over HTTP", over_http[2:])
            line(f"{kind}, without HTTP", alone[2:])
            line(f"{kind}, processor time", timed(asks, time.process_time)[0][2:])
            line("bare Python, processor time", timed([bare_python] * runs, time.process_time)[0])
            differ = sum(one != other for one, other in zip(told, expected, strict=True))
            goals += goals_of(kind, statistics.median(over_http[2:]), differ)
            single_ms = statistics.median(over_http[2:])
        found = flood(session, connection, questions(session, "ballast and fins", AT_ONCE))
        line("an icon while a hundred ask", found.icons_ms)
        print(f"a hundred at once: the last after {found.last_ms:.0f} ms, a single answer {single_ms:.1f} ms")
        goals += flood_goals(found, single_ms)
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
