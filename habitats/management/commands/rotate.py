"""`manage.py rotate STATE.json`: shortages of linens, loads to wash, and how many to have."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from habitats.common.refused_files import refuse
from habitats.rotation.document import rotation_document
from habitats.rotation.reading import BadForecastInputs, forecast_inputs_from
from habitats.rotation.values import ForecastInputs
from habitats.strict_json import NotReadable, load_file
from habitats.structure.faults import FileFault

MOST_BYTES = 50_000_000  # a hundred thousand linens


class Command(BaseCommand):
    help = (
        "Forecast linens day by day, as JSON: shortages, the loads of the best plan found with the "
        "bound that it is proved against, par by size, and the day each size "
        "runs out. Needed: start, days, sizes, enclosures, linens, laundry. "
        "A file with faults is refused: one line for each on standard error, exit 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("state", help="a file with today's state, or - for standard input")

    def handle(self, *args: Any, state: str, **options: Any) -> None:
        try:
            inputs = _inputs_in(state)
        except BadForecastInputs as refused:
            refuse(self, refused.faults)
        self.stdout.write(json.dumps(rotation_document(inputs), ensure_ascii=False))


def _inputs_in(path: str) -> ForecastInputs:
    try:
        return forecast_inputs_from(load_file(path, MOST_BYTES))
    except NotReadable as unreadable:
        raise BadForecastInputs([FileFault("file", str(unreadable))]) from unreadable
