"""Where the server listens, and how it stops."""

import ipaddress
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from finial.web.serve import listen


def test_it_listens_on_this_machine_only() -> None:
    with listen(0) as listening:
        host, port = listening.getsockname()
        assert ipaddress.ip_address(host).is_loopback
        assert port > 0


def test_a_taken_port_is_refused() -> None:
    with listen(0) as listening, pytest.raises(OSError, match="in use"):
        listen(listening.getsockname()[1])


AS_THE_STARTER = """
import os, signal, sys
signal.signal(signal.SIGINT, getattr(signal, sys.argv[1]))
os.execv(sys.executable, [sys.executable, *sys.argv[2:]])
"""


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent as a signal, which only POSIX systems have")
@pytest.mark.parametrize("inherited", ["SIG_DFL", "SIG_IGN"], ids=["from a shell", "where Ctrl-C is ignored"])
def test_open_prints_the_address_and_stops_on_ctrl_c(inherited: str) -> None:
    sheet = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
    # The child inherits what the test says, not what the test's own starter left behind.
    command = [sys.executable, "-c", AS_THE_STARTER, inherited]
    command += ["-u", "-m", "finial", "open", str(sheet), "--no-browser", "--quiet"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        told = running.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/\?key=[\w-]{20,}", told)
        assert address is not None, told
        page = httpx.get(address[0], timeout=20, follow_redirects=True)
        without = httpx.get(address[0].partition("?")[0], timeout=20)
        running.send_signal(signal.SIGINT)
        rest, complaints = running.communicate(timeout=20)
    assert told.startswith("Skerry Light: ")
    assert without.status_code == 403
    assert page.status_code == 200
    assert page.url.query == b""
    assert '<div id="page">' in page.text
    assert rest == "Stopped.\n"
    assert complaints == ""
    assert running.returncode == 0
