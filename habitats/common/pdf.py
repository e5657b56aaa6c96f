"""A packet's page turned into a tagged PDF: the same packet gives the same bytes.

Nothing is fetched but the packet's own pictures and our static files, whatever a name may hold.
"""

import gc
import mimetypes
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from habitats.common.addresses import BASE_ADDRESS, static_file
from habitats.common.page import PrintedPage

VARIANT = "pdf/ua-1"  # tagged, with alternatives (ISO 14289-1)


def pdf_from(page: PrintedPage) -> bytes:
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFiles(URLFetcher):
        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            content, kind = content_of(url, page)
            return URLFetcherResponse(url, content, {"Content-Type": kind})

    document = HTML(string=page.html, base_url=BASE_ADDRESS, url_fetcher=OwnFiles())
    with _no_collecting():
        pdf: bytes = document.write_pdf(pdf_variant=VARIANT)
    return pdf


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Leave the many short-lived objects of a layout alone: looking through them again and again
    is a fifth of the time. What is left over is collected afterwards as ever.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def content_of(address: str, page: PrintedPage) -> tuple[bytes, str]:
    """What an address of the page holds, with its media type. Raises ``ValueError``."""
    own = page.pictures.get(address)
    content = static_file(address).read_bytes() if own is None else own
    return content, mimetypes.guess_type(address)[0] or "application/octet-stream"
