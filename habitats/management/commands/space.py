"""`manage.py space CASE.json`: what every rule set says of an enclosure and its animals."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from habitats.common.refused_files import refuse
from habitats.strict_json import NotReadable, load_file
from habitats.structure.faults import FileFault
from habitats.welfare.case import BadCase, Case, case_from
from habitats.welfare.document import space_document


class Command(BaseCommand):
    help = (
        "Check an enclosure's space against every rule set of the species, side by side, as JSON. "
        "Needed: species, ground_cm2, animals. A number that is left out counts as unknown. "
        "A case with faults is refused: one line for each on standard error, exit 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("case", help="a file with the case, or - for standard input")

    def handle(self, *args: Any, case: str, **options: Any) -> None:
        try:
            read = _case_in(case)
        except BadCase as refused:
            refuse(self, refused.faults)
        self.stdout.write(json.dumps(space_document(read), indent=2, ensure_ascii=False))


def _case_in(path: str) -> Case:
    try:
        return case_from(load_file(path))
    except NotReadable as unreadable:
        raise BadCase([FileFault("file", str(unreadable))]) from unreadable
