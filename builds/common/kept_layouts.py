"""Sheet plans of single designs, kept on disk beyond one process.

To search for one takes hundredths of a second, but to begin searching in a new process most of a
second: its machine code is loaded first. A layout depends on its job (pieces, sheet, kerf, trim),
the work and the cutter, so it is kept under all of these: with another sheet or kerf it is another
one, and nothing has to be told when a setting changes.
"""

import json
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path

from builds import cutting
from builds.cutting import Job, Layout
from builds.sheets.document import layout_document, layout_from
from habitats.common.kept_prints import kept_bytes
from habitats.common.print_facts import told


def kept_layout(job: Job, work: int, search: Callable[[], Layout]) -> Layout:
    """What ``search`` finds; from its file where it was found before."""

    def found() -> bytes:
        return json.dumps(layout_document(search())).encode()

    kept = kept_bytes((b"layout", _cutter(), told((job, work)).encode()), found)
    return layout_from(json.loads(kept), job.stock)


@cache
def _cutter() -> bytes:
    """A mark of the program that searches, by its text: another version may find another one."""
    whole = sha256()
    for path in sorted(Path(cutting.__path__[0]).glob("*.py")):
        whole.update(path.name.encode() + path.read_bytes())
    return whole.digest()
