"""`manage.py place CASE.json`: which group goes where, in which order, and what of it is proved."""

import json
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from habitats.common.refused_files import refuse
from habitats.placement.document import miss_told, placing_document
from habitats.placement.proposing import propose
from habitats.placement.reading import BadPlacingCase, placing_case_from
from habitats.placement.values import Contradiction, PlacingCase
from habitats.placement.words import contradiction_words
from habitats.strict_json import NotReadable, load_file
from habitats.structure.faults import FileFault


class Command(BaseCommand):
    help = (
        "Propose which group lives in which enclosure, as JSON: stays, the order of the moves, "
        "each goal with its bound, and for who waits the places that came nearest. Needed: groups. "
        "A case with faults is refused: one line for each on standard error, exit 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("case", help="a file with the case, or - for standard input")

    def handle(self, *args: Any, case: str, **options: Any) -> None:
        try:
            read = _case_in(case)
            placing = propose(read)
        except BadPlacingCase as refused:
            refuse(self, refused.faults)
        except Contradiction as clash:
            self.stderr.write(f"pins: {contradiction_words(clash, str, miss_told)}")
            sys.exit(2)
        self.stdout.write(json.dumps(placing_document(read, placing), indent=2, ensure_ascii=False))


def _case_in(path: str) -> PlacingCase:
    try:
        return placing_case_from(load_file(path))
    except NotReadable as unreadable:
        raise BadPlacingCase([FileFault("file", str(unreadable))]) from unreadable
