"""The one address under which all reach the rescue: what is printed and passed on carries it.

Whoever prints may sit at the server itself, or know it by a name of their own network.
"""

from enum import StrEnum
from ipaddress import ip_address
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import gettext as _


class Reach(StrEnum):
    """From where an address can be opened."""

    MACHINE = "machine"
    NETWORK = "network"
    EVERYWHERE = "everywhere"


def public_address(request: HttpRequest, path: str) -> str:
    """The full address of a path: under ``PUBLIC_URL``, else as this reader reached us."""
    if settings.PUBLIC_URL:
        return f"{settings.PUBLIC_URL}{path}"
    return request.build_absolute_uri(path)


def label_code(path: str, label: str) -> str:
    """What the code on a label says, which outlasts any server: without our address its marks.

    Those can be typed wherever a link of the same label can (`habitats/linens/forms/labels.py`).
    """
    return f"{settings.PUBLIC_URL}{path}" if settings.PUBLIC_URL else label


def label_warning() -> str:
    """Why a camera would open nothing, in a sentence; empty where all is well."""
    if not settings.PUBLIC_URL:
        return _(
            "No public address is set. A camera reads only the code of a label and opens "
            "nothing. Set PUBLIC_URL on the server before you print labels to sew in."
        )
    match reach_of(settings.PUBLIC_URL):
        case Reach.MACHINE:
            return _(
                "The public address %(address)s works on this computer only. Phones cannot open "
                "it. Set PUBLIC_URL on the server before you print labels to sew in."
            ) % {"address": settings.PUBLIC_URL}
        case Reach.NETWORK:
            return _(
                "The public address %(address)s works in this network only. Phones elsewhere "
                "cannot open it. To change it, set PUBLIC_URL on the server."
            ) % {"address": settings.PUBLIC_URL}
    return ""


def reach_of(address: str) -> Reach:
    host = urlsplit(address).hostname or ""
    if host == "localhost" or host.endswith(".localhost"):
        return Reach.MACHINE
    try:
        number = ip_address(host)
    except ValueError:
        is_named_here = "." not in host or host.endswith((".local", ".home.arpa", ".internal"))
        return Reach.NETWORK if is_named_here else Reach.EVERYWHERE
    if number.is_loopback or number.is_unspecified:
        return Reach.MACHINE
    return Reach.EVERYWHERE if number.is_global else Reach.NETWORK
