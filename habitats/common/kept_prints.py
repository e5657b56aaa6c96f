"""Papers that were printed, kept for a while: to print takes seconds, to read a file does not.

A file is named by the hash of all that its paper is made of, so it is right for all who make
the same page, on every process, and nothing has to be told when something changes. Who may have a
paper was decided before its page was made. Nothing here is in a backup: it is printed again.

Papers that name adopters, or hold a link that opens without an account, are kept apart from the
others, for a day: they go when any adopter is erased, so that nobody has to know whom they name.
All papers go when one of the team is.
Their folder has a mark of all who were erased, read from the database: another server, which has a
folder of its own, reads no older one. Those, and all of them after one of the team was erased, it
deletes at its next such paper or health check.
`tests/common/test_kept_prints.py` lists what is kept.
"""

import hashlib
import os
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from stat import S_ISREG
from typing import Any

from django.conf import settings
from django.dispatch import Signal
from django.utils.translation import get_language

from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from, static_files
from habitats.common.print_facts import program, told
from habitats.common.printing import VARIANT

FOLDER, ADOPTERS, KNOWN, PERSON = "prints", "adopters", "prints-erased", "person"
WORKED_OUT = "worked-out"
# Answered with a name, and with keys of all rows of that kind that were erased.
erased_asked = Signal()
# Most papers carry their day, so nobody asks for them again later (common practice, no source).
DAYS_KEPT = 7
BYTES_A_MB = 1_000_000
# What lays a page out and writes it; a newer one may do either in another way.
PRINTERS = ("weasyprint", "pydyf", "fonttools", "tinycss2", "tinyhtml5", "cssselect2", "Pillow")


def kept_pdf_from(page: PrintedPage, *, names_adopter: bool = False) -> bytes:
    """What ``pdf_from`` makes of the page; from the file, where the same was printed before."""
    return _kept(_made_of(page), lambda: page, names_adopter)


def kept_pdf_of(
    facts: object, make: Callable[[], PrintedPage], *, names_adopter: bool = False
) -> bytes:
    """The same where making the page takes long: kept under the facts that it is made of.

    ``facts`` tell all but the program, its styles and the language. What cannot be told of them is
    no fault: the page is made then, and kept as itself.
    """
    if settings.DEBUG or not settings.PRINTS_MB:  # under DEBUG the program changes
        return kept_pdf_from(make(), names_adopter=names_adopter)
    try:
        made_of = told((get_language(), program(), facts)).encode()
    except TypeError:
        return kept_pdf_from(make(), names_adopter=names_adopter)
    return _kept((VARIANT.encode(), _printers().encode(), made_of), make, names_adopter)


def kept_bytes(made_of: Iterable[bytes], make: Callable[[], bytes]) -> bytes:
    """What a paper is made of, where that takes long as well; kept as long as it is asked for.

    ``made_of`` tells all that it is made of, the program that makes it too.
    """
    file = _folder() / WORKED_OUT / f"{_name_of(made_of)}.print"
    with suppress(OSError):
        os.utime(file)
    return _in_file(file, make)


def _kept(made_of: Iterable[bytes], make: Callable[[], PrintedPage], names_adopter: bool) -> bytes:
    if not settings.PRINTS_MB:
        return pdf_from(make())
    file = (forget_erased() if names_adopter else _folder()) / f"{_name_of(made_of)}.print"
    return _in_file(file, lambda: pdf_from(make()))


def _in_file(file: Path, make: Callable[[], bytes]) -> bytes:
    most = settings.PRINTS_MB * BYTES_A_MB
    if not most:
        return make()
    kept = _read(file)
    if kept is not None:
        return kept
    with _begun(file) as beside:
        pdf = make()
        # Where nothing can be written, as on a full disk, the paper is there all the same.
        with suppress(OSError):
            if beside:
                _write(beside, file, pdf)
                _drop_oldest(most)
    return pdf


def forget_adopters() -> int:
    """Delete all that names adopters: one was erased, or the day is over. How many files."""
    return _forget(_folders())


def forget_erased() -> Path:
    """The same of what was printed before the last erasure, on whichever server that was.

    Gives the folder for papers of who is not erased.
    """
    answers: Any = [answer for _receiver, answer in erased_asked.send(None)]
    marks = {name: _mark(name, keys) for name, keys in answers}
    now = _folder() / ADOPTERS / _mark("all", sorted(marks.values()))
    _forget(one for one in _folders() if one != now)
    if not _is_known(marks.get(PERSON, "")):
        forget_all()
    return now


def _mark(name: str, keys: Iterable[object]) -> str:
    return hashlib.sha256(f"{name} {sorted(map(str, keys))}".encode()).hexdigest()[:16]


def _is_known(mark: str) -> bool:
    """Whether it is the one that was written down here last; it is from now on."""
    file = _folder().with_name(KNOWN)
    with suppress(OSError):
        if file.read_text() == mark:
            return True
    with suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        file.write_text(mark)
    return False


def _folders() -> list[Path]:
    return list((_folder() / ADOPTERS).glob("*/"))


def _forget(folders: Iterable[Path]) -> int:
    gone = 0
    for folder in folders:
        with suppress(OSError):  # another process was quicker, or a paper was begun meanwhile
            for path in folder.iterdir():
                path.unlink(missing_ok=True)
                gone += 1
            folder.rmdir()
    return gone


def forget_all() -> None:
    """Delete every paper: one of the team was erased, and any may name them."""
    for _made, _bytes, path in _files():
        path.unlink(missing_ok=True)


def drop_old() -> int:
    """Delete what was printed more than ``DAYS_KEPT`` days ago; how many files that were."""
    until = time.time() - DAYS_KEPT * 24 * 60 * 60
    old = [path for made, _bytes, path in _files() if made < until]
    for path in old:
        path.unlink(missing_ok=True)
    return len(old)


# --- What a paper is made of ---


def _name_of(made_of: Iterable[bytes]) -> str:
    whole = hashlib.sha256()
    for part in made_of:
        # Each with its length: no two papers are told by the same bytes.
        whole.update(len(part).to_bytes(8))
        whole.update(part)
    return whole.hexdigest()


def _made_of(page: PrintedPage) -> Iterator[bytes]:
    yield from (VARIANT.encode(), _printers().encode(), page.html.encode())
    for address, content in sorted(page.pictures.items()):
        yield from (address.encode(), content)
    for address, content in sorted(static_files(page.html).items()):
        yield from (address.encode(), content)


@cache
def _printers() -> str:
    return " ".join(f"{name} {version(name)}" for name in PRINTERS)


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


@contextmanager
def _begun(file: Path) -> Iterator[Path | None]:
    """A file beside, while the paper is made; None where there can be none.

    What forgets papers deletes it with the others, so that none is kept which was begun before.
    """
    beside = None
    try:
        with suppress(OSError):
            beside = _made_beside(file)
        yield beside
    finally:
        if beside:
            beside.unlink(missing_ok=True)


def _made_beside(file: Path) -> Path:
    _folder().parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    for folder in reversed([file.parent, *file.parent.parents]):
        if folder.is_relative_to(_folder()):
            folder.mkdir(mode=0o700, exist_ok=True)
    unfinished, beside = tempfile.mkstemp(dir=file.parent, prefix="part-")  # 0600
    os.close(unfinished)
    return Path(beside)


def _write(beside: Path, file: Path, pdf: bytes) -> None:
    """Beside, then renamed: who reads meanwhile has the whole of one or nothing."""
    with beside.open("r+b") as begun:  # never made again
        begun.write(_digest(file, pdf) + pdf)
    os.replace(beside, file)


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
    for path in _folder().rglob("*"):
        with suppress(FileNotFoundError):  # another process was quicker
            facts = path.stat()
            if S_ISREG(facts.st_mode):
                yield facts.st_mtime, facts.st_size, path


def _folder() -> Path:
    return Path(settings.DATA_DIR) / FOLDER
