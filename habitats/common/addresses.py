"""The addresses that a printed page may hold, and what they mean."""

from pathlib import Path

from django.contrib.staticfiles import finders

# Reserved never to be a host (RFC 2606): what is not ours leads nowhere.
BASE_ADDRESS = "https://packet.invalid/"


def address_of(path: str) -> str:
    """How the printed page names one of our static files."""
    return f"{BASE_ADDRESS}static/{path}"


def picture_address(name: str) -> str:
    """How the printed page names one of its own pictures; the name ends in its kind."""
    return f"{BASE_ADDRESS}pictures/{name}"


def static_file(address: str) -> Path:
    """The static file that an address means. Raises ``ValueError`` for every other address."""
    start = address_of("")
    path = address.removeprefix(start).partition("?")[0]
    if not address.startswith(start) or ".." in path.split("/"):
        raise ValueError(f"{address} is not fetched: a packet holds only our own static files.")
    found = finders.find(path)
    if not isinstance(found, str):
        raise ValueError(f"There is no static file {path}.")
    return Path(found)
