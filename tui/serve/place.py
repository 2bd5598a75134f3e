"""Where the board is served: one address and port, and the only names a browser may call it by."""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address
from urllib.parse import quote

Address = IPv4Address | IPv6Address
HERE = "127.0.0.1"
PORTS = range(1, 65536)
FIRST_PORT = 8765
PLAIN_PORT = 80  # which browsers leave out


@dataclass(frozen=True)
class Place:
    """One address and port of this machine."""

    address: Address
    port: int

    @property
    def host(self) -> str:
        """As a browser names it in the Host header."""
        name = f"[{self.address}]" if self.address.version == 6 else str(self.address)
        return name if self.port == PLAIN_PORT else f"{name}:{self.port}"

    @property
    def origin(self) -> str:
        """As a browser names the page that asks."""
        return f"http://{self.host}"

    @property
    def only_here(self) -> bool:
        """Whether nobody but this machine can reach it."""
        return self.address.is_loopback

    def link(self, word: str) -> str:
        """What a viewer opens."""
        return f"{self.origin}/?word={quote(word)}"

    def asked_by(self, host: str | None, origin: str | None, *, must_say: bool = False) -> bool:
        """Whether a request was meant for this place and comes from nobody else's page.

        `must_say`: the origin may not be missing, as browsers never leave it out where a page opens a socket.
        """
        if host is None or host.casefold() != self.host:
            return False
        return not must_say if origin is None else origin == self.origin


def read_address(text: str) -> Address:
    """One address of a site network, in figures. Raises `ValueError`, saying what is wrong and what to give instead."""
    try:
        address = ip_address(text)
    except ValueError:
        raise ValueError(
            f"{text}: one address in figures, such as 192.168.1.20; ip address lists them"
        ) from None
    if address.is_unspecified:
        raise ValueError(f"{text} would serve every network this machine is on: name the one of the site")
    if address.is_multicast or getattr(address, "scope_id", None):
        raise ValueError(f"{text}: no browser can open it; give an address such as 192.168.1.20")
    if address.is_global:
        raise ValueError(
            f"{text} can be reached from outside the site, and nothing is encrypted: give one of the site network"
        )
    return address
