"""The packet of a design, or of a build as it was planned: the page with its options, and the PDF.

Both take POST as well as an address with options, so that a name typed for the cover stands in
no address and no log. Nothing is changed by either.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_http_methods

from builds.forms.packet import PacketForm
from builds.making.altering.order import order_of_alteration
from builds.making.reckoning import reckon
from builds.models import Build
from builds.models.reckonings import alteration_of
from builds.packet import Label, Options, Packet, packet_of, pdf_from, printed
from builds.packet.altering import packet_of_alteration
from builds.sheets import as_cut
from habitats.access import member_or_403
from habitats.measures import length
from habitats.models import Person
from habitats.models.designs import Design
from habitats.models.structures import limits
from habitats.public_address import public_address
from habitats.structure.design import Design as Shape
from habitats.structure.faults import BadDesign

UNPROCESSABLE, CONFLICT = 422, 409


@dataclass(frozen=True, slots=True)
class Subject:
    """What a packet is of; ``kind`` says what its code is the code of.

    ``link``, ``page``, ``pdf`` and ``back`` are addresses: the short one that is printed, the
    packet's own two, and where it is changed. ``stands``: what is altered into the shape.
    """

    kind: str
    name: str
    code: str
    shape: Shape
    link: str
    page: str
    pdf: str
    back: str
    stands: Shape | None = None


@require_http_methods(["GET", "POST"])
def packet(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _answer(request, person, _design(person, code), _as_page)


@require_http_methods(["GET", "POST"])
def packet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _answer(request, person, _design(person, code), _as_pdf)


@require_http_methods(["GET", "POST"])
def build_packet(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _answer(request, person, _build(person, code), _as_page)


@require_http_methods(["GET", "POST"])
def build_packet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _answer(request, person, _build(person, code), _as_pdf)


Shown = Callable[[HttpRequest, Subject, PacketForm, Packet], HttpResponse]


def _answer(request: HttpRequest, person: Person, subject: Subject, show: Shown) -> HttpResponse:
    """The packet shown, or why there is none."""
    sent = request.method == "POST"
    form = PacketForm.asked(person, request.POST if sent else request.GET, sent=sent)
    if not form.is_valid():
        return _refused(request, subject, form)
    try:
        packet = _packet(request, subject, form.options())
    except BadDesign as bad:
        return _cannot_stand(request, subject, bad)
    return show(request, subject, form, packet)


def _as_page(
    request: HttpRequest, subject: Subject, form: PacketForm, packet: Packet
) -> HttpResponse:
    context = {"subject": subject, "form": form, "packet": packet, "units": packet.options.units}
    return render(request, "packet/page.html", context)


def _as_pdf(
    request: HttpRequest, subject: Subject, form: PacketForm, packet: Packet
) -> HttpResponse:
    answer = HttpResponse(pdf_from(printed(packet)), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="packet-{subject.code}.pdf"'
    return answer


def _design(person: Person, code: str) -> Subject:
    design = get_object_or_404(Design.objects.visible_to(person).with_revision(), code=code)
    back = "board" if person.is_coordinator else "design"
    return Subject(
        kind="design",
        name=design.name,
        code=design.code,
        shape=design.shape(),
        link=reverse("builds:short_link", args=[design.code]),
        page=reverse("builds:packet", args=[design.code]),
        pdf=reverse("builds:packet_pdf", args=[design.code]),
        back=reverse(f"builds:{back}", args=[design.code]),
    )


def _build(person: Person, code: str) -> Subject:
    """The design as it was when the build was planned last."""
    build = get_object_or_404(Build.objects.visible_to(person), code=code.upper())
    plan = build.plans.newest_first().select_related("revision", "standing")[0]
    if plan.is_repair:
        raise Http404("A repair has no packet: its steps stand on its page.")
    return Subject(
        kind="build",
        stands=plan.standing.shape() if plan.standing else None,
        name=build.name,
        code=build.code,
        shape=plan.revision.shape(),
        link=reverse("builds:build_link", args=[build.code]),
        page=reverse("builds:build_packet", args=[build.code]),
        pdf=reverse("builds:build_packet_pdf", args=[build.code]),
        back=reverse("builds:build", args=[build.code]),
    )


def _packet(request: HttpRequest, subject: Subject, options: Options) -> Packet:
    """Raises ``BadDesign`` for a design that cannot stand."""
    lengths = partial(length, units=options.units)
    label = Label(
        name=subject.name,
        code=subject.code,
        link=public_address(request, subject.link),
        printed_on=date_format(timezone.localdate(), "j F Y"),
        kind=subject.kind,
    )
    if subject.stands is not None:
        alteration = alteration_of(subject.stands, subject.shape)
        order = order_of_alteration(alteration, lengths=lengths)
        return packet_of_alteration(alteration, order, label, options)
    return packet_of(reckon(subject.shape, limits(), lengths=lengths, lay=as_cut), label, options)


def _refused(request: HttpRequest, subject: Subject, form: PacketForm) -> HttpResponse:
    context = {"subject": subject, "form": form}
    return render(request, "packet/page.html", context, status=UNPROCESSABLE)


def _cannot_stand(request: HttpRequest, subject: Subject, bad: BadDesign) -> HttpResponse:
    context = {"subject": subject, "faults": bad.faults}
    return render(request, "packet/cannot_stand.html", context, status=CONFLICT)
