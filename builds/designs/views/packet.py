"""The packet of a design as it is drawn."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from builds.common.pace import our_pace
from builds.common.reckonings import stock_sheet_for
from builds.packet.pages import PacketSubject, answer, as_page, as_pdf
from habitats.designs.models.designs import Design
from habitats.people.access import member_or_403
from habitats.people.models.people import Person


@require_http_methods(["GET", "POST"])
def packet(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return answer(request, person, _subject(person, code), as_page)


@require_http_methods(["GET", "POST"])
def packet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return answer(request, person, _subject(person, code), as_pdf)


def _subject(person: Person, code: str) -> PacketSubject:
    design = get_object_or_404(Design.objects.visible_to(person).with_revision(), code=code)
    back = "board" if person.is_coordinator else "design"
    return PacketSubject(
        kind="design",
        name=design.name,
        code=design.code,
        shape=design.shape(),
        pace=our_pace(),
        sheet=stock_sheet_for(design.shape()),
        link=reverse("builds:short_link", args=[design.code]),
        page=reverse("builds:packet", args=[design.code]),
        pdf=reverse("builds:packet_pdf", args=[design.code]),
        back=reverse(f"builds:{back}", args=[design.code]),
    )
