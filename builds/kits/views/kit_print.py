"""The printed set of a kit as a PDF, for the rescue and for who comes through a link."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation
from django.views.decorators.http import require_GET

from builds.common.paper import shown
from builds.kits.forms.kit_print import KitPrintForm
from builds.kits.pages.kit_pdf import PrintRequest, asked_for, kit_pdf_of, printed_link
from builds.kits.pages.kit_seen import kit_seen_by
from builds.plans.models.builds import Build
from habitats.common.public_address import public_address
from habitats.measures import convert_lengths
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.faults import BadDesign

CONFLICT, UNPROCESSABLE = 409, 422


@require_GET
def kit_set(request: HttpRequest, code: str) -> HttpResponse:
    """What to print, and how."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = kit_seen_by(person, code)
    form = KitPrintForm.asked(person, request.GET)
    return _set_page(request, found, form, 200 if form.is_valid() else UNPROCESSABLE)


@require_GET
def kit_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = kit_seen_by(person, code)
    form = KitPrintForm.asked(person, request.GET)
    if not form.is_valid():
        return _set_page(request, found, form, UNPROCESSABLE)
    path = printed_link(found)
    link = public_address(request, path) if path else ""
    asked = asked_for(form, found, person)
    try:
        with translation.override(form.language_chosen()):
            return pdf_answer(found, link, asked)
    except BadDesign as bad:
        form.add_error(
            None, [convert_lengths(fault.sentence, person.units) for fault in bad.faults]
        )
        return _set_page(request, found, form, CONFLICT)


def _set_page(request: HttpRequest, build: Build, form: KitPrintForm, status: int) -> HttpResponse:
    context = {
        "build": build,
        "form": form,
        "has_link": bool(printed_link(build)),
        "contacts": Rescue.ours().contacts,
    }
    return render(request, "kits/set.html", context, status=status)


def pdf_answer(build: Build, link: str, asked: PrintRequest) -> HttpResponse:
    return shown(kit_pdf_of(build, link, asked), f"kit-{build.code}.pdf")
