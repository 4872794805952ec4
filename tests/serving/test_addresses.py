"""Addresses that are shown to phones."""

from __future__ import annotations

import ipaddress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.serving.addresses import Address, choose, qr_text


def test_home_networks_come_before_self_given_addresses() -> None:
    """A phone is sent to the classroom's router network first, to a self-given address last."""
    found = [Address(ip, "eth0") for ip in ("169.254.7.7", "172.20.10.2", "10.1.1.5", "192.168.4.1")]
    assert [address.ip for address in choose(found)] == [
        "192.168.4.1",
        "10.1.1.5",
        "172.20.10.2",
        "169.254.7.7",
    ]


def test_networks_of_virtual_machines_come_last() -> None:
    """An address that only a container can reach is not offered first, even in the most usual range."""
    found = [Address("192.168.122.1", "virbr0"), Address("10.1.1.5", "wlan0")]
    assert [address.ip for address in choose(found)] == ["10.1.1.5", "192.168.122.1"]


@pytest.mark.parametrize("ip", ["127.0.0.1", "8.8.8.8", "0.0.0.0", "203.1.2.3"])
def test_public_and_own_addresses_are_not_shown(ip: str) -> None:
    """Neither the machine's talk with itself nor an address on the open internet is offered."""
    assert choose([Address(ip, "eth0")]) == ()


@given(st.lists(st.ip_addresses(v=4).map(str), max_size=8))
def test_only_private_addresses_are_kept(ips: list[str]) -> None:
    """Whatever a machine's interfaces carry, each address shown is one of theirs and private."""
    for address in choose([Address(ip, "x") for ip in ips]):
        assert address.ip in ips
        assert ipaddress.ip_address(address.ip).is_private


def test_url_names_address_and_port() -> None:
    """The address to type is complete."""
    assert Address("192.168.4.1", "eth0").url(8080) == "http://192.168.4.1:8080/"


def test_qr_code_has_its_quiet_zone_and_its_finder_patterns() -> None:
    """The code stands in a light margin and shows the three corner squares that a camera looks for."""
    lines = qr_text("http://192.168.4.1:8000/").splitlines()
    width = len(lines[0])
    assert lines[0] == "█" * width
    assert all(len(line) == width for line in lines if line)
    finder_top, finder_middle = " ▄▄▄▄▄ ", " █   █ "
    assert sum(line.count(finder_top) for line in lines) == 3
    assert sum(line.count(finder_middle) for line in lines) == 3
