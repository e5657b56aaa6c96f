"""A packet answered: the page with its options, the PDF, or why there is none.

Both take POST as well as an address with options, so that a name typed for the cover stands in
no address and no log. Nothing is changed by either.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation

from builds.common.paper import Label, label_for, shown
from builds.common.reckonings import WhatStands, alteration_of
from builds.making.altering.order import order_of_alteration
from builds.making.blank import SheetSize
from builds.making.pace import WorkPace
from builds.making.reckoning import plan_of
from builds.packet.forms import PacketForm
from builds.packet.paper import Options, Packet, packet_of, printed, source_of, source_of_alteration
from builds.packet.paper.source import PacketSource
from builds.sheets import InPlan, as_cut
from habitats.common.kept_prints import kept_pdf_of
from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from
from habitats.designs.models.structures import limits
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.structure.faults import BadDesign

UNPROCESSABLE, CONFLICT = 422, 409


@dataclass(frozen=True, slots=True)
class PacketSubject:
    """What a packet is of; ``kind`` says what its code is the code of.

    ``link``, ``page``, ``pdf`` and ``back`` are addresses: the short one that is printed, the
    packet's own two, and where it is changed. ``stands``: what is altered into the shape.
    ``pace``: by which its times are told. ``sheet``: what it is cut from;
    ``in_plan``: by the sheet plan of a batch, None: by its own.
    """

    kind: str
    name: str
    code: str
    shape: Shape
    link: str
    page: str
    pdf: str
    back: str
    pace: WorkPace
    sheet: SheetSize
    stands: WhatStands | None = None
    in_plan: InPlan | None = None


@dataclass(frozen=True, slots=True)
class PacketAsked:
    """All that a packet is made of, but the limits of this server and the language."""

    subject: PacketSubject
    label: Label
    options: Options

    def packet(self) -> Packet:
        """Raises ``BadDesign`` for a design that cannot stand."""
        source = _source(self.subject, self.options)
        paced = replace(source, steps=self.subject.pace.steps(source.steps))
        return packet_of(paced, self.label, self.options)


Shown = Callable[[HttpRequest, PacketForm, PacketAsked], HttpResponse]


def answer(
    request: HttpRequest, person: Person, subject: PacketSubject, show: Shown
) -> HttpResponse:
    """The packet shown, or why there is none."""
    sent = request.method == "POST"
    form = PacketForm.asked(person, request.POST if sent else request.GET, sent=sent)
    if not form.is_valid():
        return _refused(request, subject, form)
    try:
        with translation.override(form.language_chosen()):
            link, kind = subject.link, subject.kind
            label = label_for(request, subject.name, subject.code, link, kind=kind)
            return show(request, form, PacketAsked(subject, label, form.options()))
    except BadDesign as bad:
        return _cannot_stand(request, subject, bad)


def as_page(request: HttpRequest, form: PacketForm, asked: PacketAsked) -> HttpResponse:
    context = {
        "subject": asked.subject,
        "form": form,
        "packet": asked.packet(),
        "units": asked.options.units,
    }
    return render(request, "packet/page.html", context)


def as_pdf(request: HttpRequest, form: PacketForm, asked: PacketAsked) -> HttpResponse:
    def page() -> PrintedPage:
        return printed(asked.packet())

    # A name typed for the cover is printed, and not saved.
    is_kept = not asked.options.who_for
    pdf = kept_pdf_of((asked, limits()), page) if is_kept else pdf_from(page())
    return shown(pdf, f"packet-{asked.subject.code}.pdf")


def _source(subject: PacketSubject, options: Options) -> PacketSource:
    lay = subject.in_plan.lay if subject.in_plan else as_cut
    if subject.stands is None:
        shape, sheet, lengths = subject.shape, subject.sheet, options.lengths
        source = source_of(plan_of(shape, limits(), sheet=sheet, lengths=lengths, lay=lay))
    else:
        alteration = alteration_of(subject.stands, subject.shape, subject.sheet, lay)
        order = order_of_alteration(alteration, lengths=options.lengths)
        source = source_of_alteration(alteration, order)
    return replace(source, in_plan=subject.in_plan)


def _refused(request: HttpRequest, subject: PacketSubject, form: PacketForm) -> HttpResponse:
    context = {"subject": subject, "form": form}
    return render(request, "packet/page.html", context, status=UNPROCESSABLE)


def _cannot_stand(request: HttpRequest, subject: PacketSubject, bad: BadDesign) -> HttpResponse:
    context = {"subject": subject, "faults": bad.faults}
    return render(request, "packet/cannot_stand.html", context, status=CONFLICT)
