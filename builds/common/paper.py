"""Shared by all paper of builds: print options, labels, and the answer with a PDF."""

from dataclasses import dataclass
from enum import StrEnum

from django.http import HttpRequest, HttpResponse, QueryDict
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from habitats.common.public_address import public_address
from habitats.measures import INCHES, METRIC, length
from habitats.people.models.people import Person


class Paper(StrEnum):
    """Names of page sizes, as CSS and printers know them."""

    A4 = "A4"
    LETTER = "Letter"


@dataclass(frozen=True, slots=True)
class Print:
    """How it is printed."""

    paper: Paper = Paper.A4
    units: str = METRIC
    colour: bool = True

    def lengths(self, mm: int) -> str:
        return length(mm, self.units)


@dataclass(frozen=True, slots=True)
class Label:
    """What every page says: which design or build this is, and where to find it again.

    ``printed_on`` is the day in words; what is printed reads no clock. ``kind`` says what the
    code is the code of.
    """

    name: str
    code: str
    link: str
    printed_on: str
    kind: str = "design"


def print_of(person: Person, given: QueryDict) -> Print:
    """How to print: as the address says, else as the person likes it."""
    paper, units = given.get("paper", person.paper), given.get("units", person.units)
    return Print(
        paper=Paper(paper) if paper in Paper.__members__.values() else Paper(person.paper),
        units=units if units in (METRIC, INCHES) else person.units,
        colour=given.get("ink") != "black",
    )


def label_for(
    request: HttpRequest, name: str, code: str, path: str, *, kind: str = "design"
) -> Label:
    """The label of what has this name and code, printed today. ``path``: its short address."""
    return Label(
        name=name,
        code=code,
        link=public_address(request, path),
        printed_on=date_format(timezone.localdate(), _("j F Y")),
        kind=kind,
    )


def shown(pdf: bytes, name: str) -> HttpResponse:
    """A PDF to read in the browser; ``name`` is what it is saved as."""
    disposition = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=disposition)
