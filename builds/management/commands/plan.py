"""`manage.py plan DESIGN.json [--from STANDING.json]`: a design worked out, or an alteration."""

import json
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

from builds.making.altering.document import alteration_document
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.document import Document, plan_document
from builds.making.reckoning import Reckoning, plan_of
from habitats.common.refused_files import refuse
from habitats.strict_json import NotReadable, load_file
from habitats.structure.design import Limits
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.read import design_from


class Command(BaseCommand):
    help = (
        "Work out a design file: floor, panels, blanks, ramps, steps and warnings, as JSON. "
        "A design with faults is refused: one line for each on standard error, exit 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("design", help="a design file, or - for standard input")
        parser.add_argument(
            "--from", dest="standing", help="a design file of what stands: work out the alteration"
        )

    def handle(self, *args: Any, design: str, standing: str | None, **options: Any) -> None:
        try:
            document = _document(design, standing)
        except BadDesign as refused:
            refuse(self, refused.faults)
        self.stdout.write(json.dumps(document, indent=2, ensure_ascii=False))


def _document(design: str, standing: str | None) -> Document:
    if standing is None:
        return plan_document(_reckoned(design, ""))
    if design == standing == "-":
        raise BadDesign(
            [FileFault("standing file", "Only one of two files can be - (standard input).")]
        )
    target, stands = _reckoned(design, "target "), _reckoned(standing, "standing ")
    alteration = alter(stands.structure, target.structure)
    return alteration_document(target, alteration, order_of_alteration(alteration))


def _reckoned(path: str, which: str) -> Reckoning:
    """The design in a file; ``which`` tells its faults from those of the other file."""
    try:
        design = design_from(load_file(path))
        return plan_of(design, Limits(slope_deg=settings.RAMP_LIMIT_DEG))
    except NotReadable as unreadable:
        raise BadDesign([FileFault(f"{which}file", str(unreadable))]) from unreadable
    except BadDesign as refused:
        faults = [
            FileFault(f"{which}{fault.place}".strip(), fault.message) for fault in refused.faults
        ]
        raise BadDesign(faults) from refused
