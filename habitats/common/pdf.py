"""A packet's page turned into a tagged PDF: the same packet gives the same bytes.

Nothing is fetched but the packet's own pictures and our static files, whatever a name may hold.
"""

import re
from contextlib import suppress
from urllib.parse import urljoin

from django.conf import settings
from django.core.exceptions import SuspiciousFileOperation

from habitats.common.addresses import BASE_ADDRESS, static_file
from habitats.common.page import PrintedPage
from habitats.common.printing import printed_apart, printed_here

_NAMED = re.compile(r'\b(?:href|src)="([^"]*)"')
_NAMED_BY_STYLES = re.compile(r"""(?:url\(|@import)\s*["']?([^"')\s;]+)""")


def pdf_from(page: PrintedPage) -> bytes:
    print_ = printed_apart if settings.PRINTS_APART else printed_here
    return print_(page.html, BASE_ADDRESS, {**static_files(page.html), **page.pictures})


def static_files(html: str) -> dict[str, bytes]:
    """Static files that the page names, and those that its style sheets name in turn."""
    found: dict[str, bytes] = {}
    asked = _NAMED.findall(html)
    while asked:
        address = asked.pop()
        if address in found or not address.startswith(BASE_ADDRESS):
            continue
        with suppress(ValueError, OSError, SuspiciousFileOperation):  # not printed, either
            found[address] = static_file(address).read_bytes()
            if address.endswith(".css"):
                named = _NAMED_BY_STYLES.findall(found[address].decode())
                asked += [urljoin(address, one) for one in named]
    return found
