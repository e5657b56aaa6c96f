"""Sheets of a plan as files: SVG, DXF and PDF of one, PDF of all, and labels."""

from collections.abc import Sequence

from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.utils import timezone
from django.utils.formats import date_format

from builds.drawing.dxf import sheet_dxf
from builds.packet import Label, Paper
from builds.printing import Print, Sticker, labels_page, pdf_from, sheets_page
from builds.printing.cards import picture_of
from builds.sheets import CuttingPlan, lies_turned
from habitats.measures import INCHES, METRIC
from habitats.models import Person
from habitats.public_address import public_address

KINDS = {"svg": "image/svg+xml", "dxf": "image/vnd.dxf", "pdf": "application/pdf"}


def print_of(person: Person, given: QueryDict) -> Print:
    """How to print: as the address says, else as the person likes it."""
    paper, units = given.get("paper", person.paper), given.get("units", person.units)
    return Print(
        paper=Paper(paper) if paper in Paper.__members__.values() else Paper(person.paper),
        units=units if units in (METRIC, INCHES) else person.units,
        colour=given.get("ink") != "black",
    )


def label_for(request: HttpRequest, name: str, code: str, path: str) -> Label:
    return Label(
        name=name,
        code=code,
        link=public_address(request, path),
        printed_on=date_format(timezone.localdate(), "j F Y"),
    )


def sheet_file(
    plan: CuttingPlan, number: int, form: str, label: Label, how: Print, kind: str
) -> HttpResponse:
    """One sheet as a file. Raises ``Http404`` for a number that the plan does not have."""
    if not 1 <= number <= len(plan.plan.sheets):
        raise Http404("The plan has no such sheet.")
    name = f"{label.code}-sheet-{number}.{form}"
    if form == "pdf":
        page = sheets_page(plan, label, how, sheets=(number,), kind=kind)
        return shown(pdf_from(page), name)
    if form == "dxf":
        return _download(_dxf(plan, number), name, form)
    return _download(picture_of(plan, (number,), how.lengths).encode(), name, form)


def _dxf(plan: CuttingPlan, number: int) -> bytes:
    offer = plan.offer
    return sheet_dxf(
        plan.plan.sheets[number - 1],
        lambda one: (blank := plan.wanted(one.piece)[1], lies_turned(blank, one)),
        plan.name_of,
        kerf=offer.kerf,
        trim=offer.trim,
    )


def labels(stickers: Sequence[Sticker], title: str, how: Print, name: str) -> HttpResponse:
    """Labels as PDF. Raises ``Http404`` where there is nothing to label."""
    if not stickers:
        raise Http404("There is nothing to label.")
    return shown(pdf_from(labels_page(title, stickers, how.paper)), name)


def shown(pdf: bytes, name: str) -> HttpResponse:
    disposition = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(pdf, content_type=KINDS["pdf"], headers=disposition)


def _download(data: bytes, name: str, form: str) -> HttpResponse:
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(data, content_type=KINDS[form], headers=disposition)
