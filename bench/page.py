"""How long does the page wait for an answer when a slider is moved?

A question goes over HTTP to the server of the demo and comes back as JSON: with other
ballast, with other fins, with both, each question a new one. Beside it stand the same
answers asked for directly, without HTTP, by the clock and in processor time, which other work on
the machine moves less; the shortest thing the server can say (an icon of 300 bytes): the least any
answer takes; and a loop of bare Python, the yardstick of the machine. What comes over HTTP must
equal the direct answer, word for word: an answer that differs makes its time mean nothing.
"""

import http.client
import json
import os
import platform
import statistics
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

# As `finial open` does before it loads anything: many small solves are slower when shared among threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy
import starlette
import uvicorn
from goals import Goal, absolute_time, judged, options, steady

from finial.findings.check import load
from finial.web.controls import SPAN_SCALE_ENDS, ballast_controls
from finial.web.payload import answer_payload
from finial.web.question import read_question
from finial.web.serve import listen, server_for, session_of, spare_what_stays
from finial.web.session import Session

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
GOAL_MS = 20.0


@contextmanager
def served(session: Session) -> Iterator[http.client.HTTPConnection]:
    with listen(0) as listening:
        port = listening.getsockname()[1]
        server = server_for(session, port=port)
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
    connection.request("POST", "/api/what-if", body, {"Content-Type": "application/json"})
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:
        raise SystemExit(f"{body!r}: {response.status} {content!r}")
    return json.loads(content)


def fetched(connection: http.client.HTTPConnection, path: str) -> bytes:
    connection.request("GET", path)
    return connection.getresponse().read()


def direct(session: Session, body: bytes) -> object:
    change = read_question(body, ballast_controls(session.as_written), has_fins=True)
    return json.loads(json.dumps(answer_payload(session.answer(change))))


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
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
