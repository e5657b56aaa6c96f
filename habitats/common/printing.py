"""A page laid out and written as a PDF, from the files that it is given and nothing else.

It may do so in a process of its own, which takes what the layout took with it: a layout holds
hundreds of MB that a server would keep. It knows no Django, so that such a process begins at once.
"""

import gc
import mimetypes
import multiprocessing
import traceback
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from multiprocessing.connection import Connection
from threading import BoundedSemaphore
from typing import Any

VARIANT = "pdf/ua-1"  # tagged, with alternatives (ISO 14289-1)

# Far longer than the largest paper takes on a slow machine: what is not done by then hangs.
MOST_SECONDS = 300
# Each holds hundreds of MB while it lays out, so a process of the server has two made at once.
_TURNS = BoundedSemaphore(2)

_HANGS = f"It was not done after {MOST_SECONDS} seconds."

Files = Mapping[str, bytes]  # by their addresses


class PrintFailed(Exception):
    """The process that printed ended without a paper."""


def printed_here(html: str, base: str, files: Files) -> bytes:
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFiles(URLFetcher):
        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            if url not in files:
                raise ValueError(f"{url} is not fetched: a paper holds only our own files.")
            kind = mimetypes.guess_type(url)[0] or "application/octet-stream"
            return URLFetcherResponse(url, files[url], {"Content-Type": kind})

    document = HTML(string=html, base_url=base, url_fetcher=OwnFiles())
    with _no_collecting():
        pdf: bytes = document.write_pdf(pdf_variant=VARIANT)
    return pdf


def printed_apart(html: str, base: str, files: Files) -> bytes:
    """The same, in a process of its own, which is ended when it hangs. A few wait for their turn.

    It is forked off one that has WeasyPrint loaded and nothing else: loading it takes as long as
    many a print, and a fork of a server with threads may inherit a lock that is held.
    """
    with _TURNS:
        return _printed_apart(html, base, files)


def _printed_apart(html: str, base: str, files: Files) -> bytes:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["weasyprint", __name__])
    near, far = context.Pipe(duplex=False)
    process = context.Process(target=_print_into, args=(far, html, base, dict(files)), daemon=True)
    try:
        process.start()
    # No room for a process, or for the socket by which it is asked for; or that one was ended.
    except (OSError, EOFError):
        near.close()
        far.close()
        return printed_here(html, base, files)
    far.close()
    try:
        pdf, fault = near.recv() if near.poll(MOST_SECONDS) else (b"", _HANGS)
    except EOFError:
        raise PrintFailed("The process that printed was ended.") from None
    finally:
        near.close()
        # It is done, or hangs.
        process.kill()
        process.join()
    if fault:
        raise PrintFailed(fault)
    return bytes(pdf)


def _print_into(pipe: Connection, html: str, base: str, files: Files) -> None:
    """What the process does."""
    try:
        pipe.send((printed_here(html, base, files), ""))
    except Exception:
        pipe.send((b"", traceback.format_exc()))


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
