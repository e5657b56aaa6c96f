"""Which address a request came from: what counts as one client where passwords are guessed.

`X-Forwarded-For` is a list that each proxy on the way appends to, so only its last entry was
written by ours; all before it may be invented. That one is read, and only with `BEHIND_PROXY` on.
"""

import logging
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network

from django.conf import settings
from django.http import HttpRequest

logger = logging.getLogger(__name__)

# Not even the proxy has an address where it asks through a socket file.
UNSPECIFIED = "::"
# The longest way to write an address, RFC 4291, with brackets, a zone and a port.
LONGEST = 100
# A line to a house has a network of 2**64 addresses to choose from (RFC 6177), which would be as
# many tries; inside a house each address is a machine (RFC 4193, RFC 4291).
ONE_CLIENT_BITS = 64
INSIDE_A_HOUSE = tuple(ip_network(one) for one in ("fc00::/7", "fe80::/10", "::1/128"))


def client_address(request: HttpRequest) -> str:
    """The address that a try to log in is counted under; ``::`` if there is none.

    Where the proxy names none, that of the proxy: everybody then counts as one, which is logged.
    """
    if settings.BEHIND_PROXY:
        forwarded = request.META.get("HTTP_X_FORWARDED_FOR", "")
        if address := address_in(forwarded.rpartition(",")[2]):
            return address
        logger.warning(
            "BEHIND_PROXY is on, and the proxy sends no address in X-Forwarded-For: everybody who "
            "logs in counts as one. Let the proxy set it, see README.md."
        )
    return address_in(request.META.get("REMOTE_ADDR", "")) or UNSPECIFIED


def address_in(written: str) -> str | None:
    """The address in one entry, without port, brackets and zone; None if there is none.

    Of an IPv6 address outside a house the network that it is in.
    """
    words = written.strip().strip('"')
    if len(words) > LONGEST:
        return None
    found = _read(words) or _read(_without_port(words))
    if found is None:
        return None
    return str(_one_client(found))


def _without_port(words: str) -> str:
    if words.startswith("["):
        inside, closed, after = words[1:].partition("]")
        return inside if closed and (not after or _is_port(after)) else ""
    host, colon, port = words.rpartition(":")
    return host if colon and _is_port(colon + port) and "." in host else words


def _is_port(words: str) -> bool:
    return words.startswith(":") and words[1:].isascii() and words[1:].isdigit()


def _read(words: str) -> IPv4Address | IPv6Address | None:
    try:
        return ip_address(words.partition("%")[0])
    except ValueError:
        return None


def _one_client(found: IPv4Address | IPv6Address) -> IPv4Address | IPv6Address:
    if isinstance(found, IPv4Address):
        return found
    if found.ipv4_mapped:
        return found.ipv4_mapped
    if any(found in house for house in INSIDE_A_HOUSE):
        return found
    return ip_network((found, ONE_CLIENT_BITS), strict=False).network_address
