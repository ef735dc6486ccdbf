"""Where the server listens."""

import ipaddress

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
