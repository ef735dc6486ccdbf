"""Questions are answered one at a time; those whose asker has gone are dropped, and files do not wait."""

import socket
import threading
import time
from dataclasses import dataclass, field, replace

import httpx
import pytest
from serving import serving

from finial.web.session import PageQuestion, Session

from .conftest import PAGE_KEY, with_key

TAKES_S = 0.15
ASKED = 60
QUESTION = b'{"ballast": {"nose ballast": 1.0}}'


@dataclass
class Slowly:
    """Answers as written, after a while; counts how many it answers, and at once."""

    session: Session
    lock: threading.Lock = field(default_factory=threading.Lock)
    running: int = 0
    most: int = 0
    answered: int = 0

    def answer(self, change: PageQuestion):
        with self.lock:
            self.running += 1
            self.most = max(self.most, self.running)
        time.sleep(TAKES_S)
        with self.lock:
            self.running -= 1
            self.answered += 1
        return self.session.as_written


@pytest.fixture
def slowly(session):
    return Slowly(session)


@pytest.fixture
def address(session, slowly):
    with serving(replace(session, answer=slowly.answer), PAGE_KEY, stops_within_s=20.0) as port:
        yield ("127.0.0.1", port)


def asked(address):
    """Send a question and return its open connection."""
    connection = socket.create_connection(address, timeout=30)
    head = (
        f"POST /api/what-if HTTP/1.1\r\nHost: {address[0]}:{address[1]}\r\nConnection: close\r\n"
        f"Cookie: finial-{address[1]}={PAGE_KEY}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(QUESTION)}\r\n\r\n"
    )
    connection.sendall(head.encode() + QUESTION)
    return connection


def status(connection):
    with connection, connection.makefile("rb") as answer:
        return int(answer.readline().split()[1])


def test_one_at_a_time_and_all_of_those_who_wait(address, slowly):
    connections = [asked(address) for _ in range(5)]
    assert [status(one) for one in connections] == [200] * 5
    assert (slowly.most, slowly.answered) == (1, 5)


def test_questions_whose_asker_has_gone_are_dropped(address, slowly):
    abandoned = [asked(address) for _ in range(ASKED)]
    time.sleep(TAKES_S)
    for one in abandoned:
        one.close()
    assert status(asked(address)) == 200
    assert slowly.answered < ASKED / 4
    assert slowly.most == 1


def test_files_do_not_wait_for_answers(address, slowly):
    waiting = [asked(address) for _ in range(ASKED)]
    start = time.perf_counter()
    assert httpx.get(
        f"http://{address[0]}:{address[1]}/", timeout=30, cookies=with_key(address[1])
    ).status_code in (200, 503)
    took_s = time.perf_counter() - start
    for one in waiting:
        one.close()
    # All answers together take sixty times as long as one; a file waits for a share of that at most.
    assert took_s < ASKED * TAKES_S / 4
