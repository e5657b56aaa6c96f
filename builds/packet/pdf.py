"""A packet's page turned into a tagged PDF: the same packet gives the same bytes.

Nothing is fetched but our own static files, whatever a name or a note may hold.
"""

import mimetypes
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders

# Reserved never to be a host (RFC 2606): what is not a static file leads nowhere.
BASE_ADDRESS = "https://packet.invalid/"
VARIANT = "pdf/ua-1"  # tagged, with alternatives (ISO 14289-1)


def address_of(path: str) -> str:
    """How the printed page names one of our static files."""
    return f"{BASE_ADDRESS}static/{path}"


def static_file(address: str) -> Path:
    """The static file that an address of a printed page means. Raises ``ValueError`` otherwise."""
    start = address_of("")
    path = address.removeprefix(start).partition("?")[0]
    if not address.startswith(start) or ".." in path.split("/"):
        raise ValueError(f"{address} is not fetched: a packet holds only our own static files.")
    found = finders.find(path)
    if not isinstance(found, str):
        raise ValueError(f"There is no static file {path}.")
    return Path(found)


def pdf_from(page: str) -> bytes:
    """The PDF of a whole HTML page."""
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class StaticFetcher(URLFetcher):
        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            found = static_file(url)
            kind = mimetypes.guess_type(found)[0] or "application/octet-stream"
            return URLFetcherResponse(url, found.read_bytes(), {"Content-Type": kind})

    document = HTML(string=page, base_url=BASE_ADDRESS, url_fetcher=StaticFetcher())
    pdf: bytes = document.write_pdf(pdf_variant=VARIANT)
    return pdf
