"""Addresses under which phones and other machines of the room find this one.

Every private IPv4 address is asked for by interface: the habit of asking which address leads to the
internet finds nothing in a classroom whose network leads nowhere.
"""

from __future__ import annotations

import io
import ipaddress
from collections.abc import Iterable
from dataclasses import dataclass

RANKED = tuple(
    ipaddress.ip_network(text)
    for text in ("192.168.0.0/16", "10.0.0.0/8", "172.16.0.0/12", "0.0.0.0/0", "169.254.0.0/16")
)
"""The private networks of RFC 1918 section 3, the most usual in a classroom first; what else the
registry of special addresses calls private; last the addresses that machines give themselves when
nobody hands any out (RFC 3927)."""


@dataclass(frozen=True, slots=True)
class Address:
    """One address of this machine and the name of the interface that has it."""

    ip: str
    interface: str

    def url(self, port: int, scheme: str = "http") -> str:
        """What to type into a browser."""
        return f"{scheme}://{self.ip}:{port}/"


def lan_addresses() -> tuple[Address, ...]:
    """The private IPv4 addresses of this machine, ordered as `choose` orders them."""
    import ifaddr

    found = [
        Address(ip.ip, adapter.nice_name)
        for adapter in ifaddr.get_adapters()
        for ip in adapter.ips
        if isinstance(ip.ip, str)
    ]
    return choose(found)


def choose(found: Iterable[Address]) -> tuple[Address, ...]:
    """Keep private addresses, those of real networks before those that virtual machines make."""
    kept = [address for address in found if _is_private(address)]
    return tuple(sorted(kept, key=lambda address: (_is_virtual(address), _rank(address))))


def _is_private(address: Address) -> bool:
    ip = ipaddress.ip_address(address.ip)
    return ip.is_private and not ip.is_loopback and not ip.is_unspecified


def _rank(address: Address) -> int:
    ip = ipaddress.ip_address(address.ip)
    narrowest = max((network for network in RANKED if ip in network), key=lambda network: network.prefixlen)
    return RANKED.index(narrowest)


def _is_virtual(address: Address) -> bool:
    name = address.interface.lower()
    return (
        name.startswith(("docker", "br-", "veth", "virbr", "vmnet"))
        or "virtual" in name
        or "vethernet" in name
    )


def qr_text(url: str) -> str:
    """A QR code of an address for a terminal, two modules to a character."""
    import segno

    out = io.StringIO()
    segno.make(url, error="m", micro=False).terminal(out, compact=True)
    return out.getvalue()
