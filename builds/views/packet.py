"""The packet of a design: the page with its options, and the PDF.

Both take POST as well as an address with options, so that a name typed for the cover stands in
no address and no log. Nothing is changed by either.
"""

from collections.abc import Callable
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_http_methods

from builds.forms.packet import PacketForm
from builds.making.reckoning import reckon
from builds.packet import Label, Options, Packet, packet_of, pdf_from, printed
from habitats.access import member_or_403
from habitats.measures import length
from habitats.models import Person
from habitats.models.designs import Design
from habitats.models.structures import limits
from habitats.structure.faults import BadDesign

UNPROCESSABLE, CONFLICT = 422, 409


@require_http_methods(["GET", "POST"])
def packet(request: HttpRequest, code: str) -> HttpResponse:
    design, form = _asked(request, code)
    return _answer(request, design, form, _as_page)


@require_http_methods(["GET", "POST"])
def packet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    design, form = _asked(request, code)
    return _answer(request, design, form, _as_pdf)


Shown = Callable[[HttpRequest, Design, PacketForm, Packet], HttpResponse]


def _answer(request: HttpRequest, design: Design, form: PacketForm, show: Shown) -> HttpResponse:
    """The packet shown, or why there is none."""
    if not form.is_valid():
        return _refused(request, design, form)
    try:
        packet = _packet(request, design, form.options())
    except BadDesign as bad:
        return _cannot_stand(request, design, bad)
    return show(request, design, form, packet)


def _as_page(
    request: HttpRequest, design: Design, form: PacketForm, packet: Packet
) -> HttpResponse:
    context = {"design": design, "form": form, "packet": packet, "units": packet.options.units}
    return render(request, "packet/page.html", context)


def _as_pdf(request: HttpRequest, design: Design, form: PacketForm, packet: Packet) -> HttpResponse:
    answer = HttpResponse(pdf_from(printed(packet)), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="packet-{design.code}.pdf"'
    return answer


def _asked(request: HttpRequest, code: str) -> tuple[Design, PacketForm]:
    """The design, for those who may see it, and the options asked for."""
    person = member_or_403(request, Person.Role.BUILDER)
    design = get_object_or_404(Design.objects.visible_to(person).with_revision(), code=code)
    sent = request.method == "POST"
    return design, PacketForm.asked(person, request.POST if sent else request.GET, sent=sent)


def _packet(request: HttpRequest, design: Design, options: Options) -> Packet:
    """Raises ``BadDesign`` for a design that cannot stand."""
    lengths = partial(length, units=options.units)
    reckoning = reckon(design.shape(), limits(), lengths=lengths)
    label = Label(
        name=design.name,
        code=design.code,
        link=request.build_absolute_uri(reverse("builds:short_link", args=[design.code])),
        printed_on=date_format(timezone.localdate(), "j F Y"),
    )
    return packet_of(reckoning, label, options)


def _refused(request: HttpRequest, design: Design, form: PacketForm) -> HttpResponse:
    context = {"design": design, "form": form}
    return render(request, "packet/page.html", context, status=UNPROCESSABLE)


def _cannot_stand(request: HttpRequest, design: Design, bad: BadDesign) -> HttpResponse:
    context = {"design": design, "faults": bad.faults}
    return render(request, "packet/cannot_stand.html", context, status=CONFLICT)
