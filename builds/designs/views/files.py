"""Design files: exported unchanged, imported with every fault named."""

import json
import uuid

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from builds.common.cutter_files import ending_of, side_up
from builds.common.reckonings import reckoning_of
from builds.designs.forms.designs import ImportForm
from builds.designs.pages.design_seen import design_seen_by
from builds.drawing.cutter_svg import blank_svg_mm
from builds.drawing.dxf import blank_dxf
from builds.making.blank import Blank
from habitats.common.sent import sent_with
from habitats.designs.models.designs import Design
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.structure.read import document_of


@require_GET
def design_file(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    design = design_seen_by(person, code)
    text = json.dumps(document_of(design.shape()), ensure_ascii=False, indent=2) + "\n"
    name = f"{slugify(design.name)[:40] or 'design'}-{design.code}.json"
    return _download(text.encode(), name, "application/json; charset=utf-8")


@require_GET
def blank_file(request: HttpRequest, code: str, number: str, form: str) -> HttpResponse:
    """A blank at full size for a cutter, as DXF or as SVG in millimetres, with either side up."""
    person = member_or_403(request, Person.Role.BUILDER)
    design = design_seen_by(person, code)
    blank = _blank(design, person, int(number))
    up = side_up(request.GET)
    name = f"{design.code}-{slugify(blank.name)}{ending_of(up)}.{form}"
    if form == "dxf":
        return _download(blank_dxf(blank, int(number), up), name, "image/vnd.dxf")
    return _download(blank_svg_mm(blank, int(number), up).encode(), name, "image/svg+xml")


def _blank(design: Design, person: Person, number: int) -> Blank:
    reckoning = reckoning_of(design.shape(), person.units)
    blanks = reckoning.blanks.blanks if reckoning else ()
    if not 1 <= number <= len(blanks):
        raise Http404(_("The design has no such blank."))
    return blanks[number - 1]


def _download(data: bytes, name: str, kind: str) -> HttpResponse:
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(data, content_type=kind, headers=disposition)


@require_http_methods(["GET", "POST"])
def import_design(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = ImportForm(sent_with(request), request.FILES or None, initial={"once": uuid.uuid4()})
    if request.method == "POST" and form.is_valid():
        made = Design.objects.draw(
            form.shape(), by=person, idempotency_key=form.cleaned_data["once"]
        )
        return redirect("builds:board" if made.faults() else "builds:design", code=made.code)
    status = 422 if request.method == "POST" else 200
    return render(request, "designs/import_design.html", {"form": form}, status=status)
