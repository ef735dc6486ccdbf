"""The page's server, run beside a test."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from finial.web.serve import listen, server_for
from finial.web.session import BegunSession, Session


@contextmanager
def serving(session: Session | BegunSession, key: str, *, stops_within_s: float = 10.0) -> Iterator[int]:
    """Serve a session and give its port; the server must stop in time when the test is done."""
    with listen(0) as listening:
        port = listening.getsockname()[1]
        server = server_for(session, port=port, key=key)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            yield port
        finally:
            server.should_exit = True
            thread.join(timeout=stops_within_s)
    assert not thread.is_alive(), "the server did not stop"
