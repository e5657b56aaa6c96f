"""Papers that were printed, kept for a while: to print takes seconds, to read a file does not.

A file is named by the hash of all that its paper is made of, so it is right for all who make
the same page, on every process, and nothing has to be told when something changes. Who may have a
paper was decided before its page was made. Nothing here is in a backup: it is printed again.

Papers that name people outside the rescue, or hold a link that opens without an account, are
never kept: they go through ``pdf_from``. `tests/common/test_kept_prints.py` lists those that are.
"""

import hashlib
import os
import re
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from stat import S_ISREG
from urllib.parse import urljoin

from django.conf import settings
from django.core.exceptions import SuspiciousFileOperation

from habitats.common.addresses import BASE_ADDRESS, static_file
from habitats.common.page import PrintedPage
from habitats.common.pdf import VARIANT, pdf_from

FOLDER = "prints"
# Most papers carry their day, so nobody asks for them again later (common practice, no source).
DAYS_KEPT = 7
BYTES_A_MB = 1_000_000
# What lays a page out and writes it; a newer one may do either in another way.
PRINTERS = ("weasyprint", "pydyf", "fonttools", "tinycss2", "tinyhtml5", "cssselect2", "Pillow")

_NAMED = re.compile(r'\b(?:href|src)="([^"]*)"')
_NAMED_BY_STYLES = re.compile(r"""(?:url\(|@import)\s*["']?([^"')\s;]+)""")


def kept_pdf_from(page: PrintedPage) -> bytes:
    """What ``pdf_from`` makes of the page; from the file, where the same was printed before."""
    most = settings.PRINTS_MB * BYTES_A_MB
    if not most:
        return pdf_from(page)
    file = _folder() / f"{_name_of(page)}.print"
    kept = _read(file)
    if kept is not None:
        return kept
    pdf = pdf_from(page)
    # Where nothing can be written, as on a full disk, the paper is there all the same.
    with suppress(OSError):
        _write(file, pdf)
        _drop_oldest(most)
    return pdf


def drop_old() -> int:
    """Delete what was printed more than ``DAYS_KEPT`` days ago; how many files that were."""
    until = time.time() - DAYS_KEPT * 24 * 60 * 60
    old = [path for made, _bytes, path in _files() if made < until]
    for path in old:
        path.unlink(missing_ok=True)
    return len(old)


# --- What a paper is made of ---


def _name_of(page: PrintedPage) -> str:
    whole = hashlib.sha256()
    for part in _made_of(page):
        # Each with its length: no two papers are told by the same bytes.
        whole.update(len(part).to_bytes(8))
        whole.update(part)
    return whole.hexdigest()


def _made_of(page: PrintedPage) -> Iterator[bytes]:
    yield from (VARIANT.encode(), _printers().encode(), page.html.encode())
    for address, content in sorted(page.pictures.items()):
        yield from (address.encode(), content)
    for address, content in sorted(_static_files(page.html).items()):
        yield from (address.encode(), content)


@cache
def _printers() -> str:
    return " ".join(f"{name} {version(name)}" for name in PRINTERS)


def _static_files(html: str) -> dict[str, bytes]:
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


# --- Its file: a digest, then the paper ---


def _read(file: Path) -> bytes | None:
    """The paper in the file; None where there is none, or not all of it as it was written."""
    try:
        content = file.read_bytes()
    except OSError:
        return None
    size = hashlib.sha256().digest_size
    pdf = content[size:]
    return pdf if content[:size] == _digest(file, pdf) else None


def _digest(file: Path, pdf: bytes) -> bytes:
    """With its name: a file under another's is none of its own."""
    return hashlib.sha256(file.name.encode() + pdf).digest()


def _write(file: Path, pdf: bytes) -> None:
    """Beside, then renamed: who reads meanwhile has the whole of one or nothing."""
    file.parent.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    file.parent.mkdir(mode=0o700, exist_ok=True)
    unfinished, beside = tempfile.mkstemp(dir=file.parent, prefix="part-")  # 0600
    try:
        with os.fdopen(unfinished, "wb") as written:
            written.write(_digest(file, pdf) + pdf)
        os.replace(beside, file)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _drop_oldest(most: float) -> None:
    """Delete until what stays is no more than ``most`` bytes."""
    files = sorted(_files())
    over = sum(size for _made, size, _path in files) - most
    for _made, size, path in files:
        if over <= 0:
            return
        path.unlink(missing_ok=True)
        over -= size


def _files() -> Iterator[tuple[float, int, Path]]:
    """All that lies there, also what a print that was ended left: when made, bytes, where."""
    if not _folder().is_dir():
        return
    for path in _folder().iterdir():
        with suppress(FileNotFoundError):  # another process was quicker
            facts = path.stat()
            if S_ISREG(facts.st_mode):
                yield facts.st_mtime, facts.st_size, path


def _folder() -> Path:
    return Path(settings.DATA_DIR) / FOLDER
