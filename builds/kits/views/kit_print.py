"""The printed set of a kit as a PDF, for the rescue and for who comes through a link."""

from dataclasses import dataclass, replace
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from builds.common.paper import Label, shown
from builds.kits.forms.kit_print import KitPrintForm
from builds.kits.models.follow_ups import follow_ups_of
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Packing
from builds.kits.models.receipts import KitReceipt
from builds.kits.pages.kit_seen import kit_seen_by, link_address, receipt_of
from builds.kits.paper import KitSet, Leaf, Signed, kit_page, tools_for_steps
from builds.making.pace import WorkPace
from builds.making.reckoning import plan_of
from builds.packet.paper import Options, packet_of, source_of
from builds.packing.at_home import steps_at_home
from builds.plans.models.builds import Build
from builds.sheets import as_cut
from habitats.common.pdf import pdf_from
from habitats.common.public_address import public_address
from habitats.designs.models.structures import limits
from habitats.measures import convert_lengths, length
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.faults import BadDesign

CONFLICT, UNPROCESSABLE = 409, 422


@dataclass(frozen=True, slots=True)
class PrintRequest:
    """How a set is printed. ``names_ours``: whether it says who of us handed it over."""

    options: Options
    leaves: frozenset[Leaf]
    names_ours: bool = True


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
    asked = PrintRequest(
        form.options(found.adopter), form.leaves(), names_ours=person.is_coordinator
    )
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


def kit_pdf_of(build: Build, link: str, asked: PrintRequest) -> bytes:
    """The set of a build as it was planned last; ``link`` is the address in its title block, empty
    where there is none that opens without an account.
    """
    packing, ours = Packing(build), Rescue.ours()
    lengths = partial(length, units=asked.options.units)
    plan = packing.plan
    whole = plan_of(plan.revision.shape(), limits(), sheet=plan.sheet, lengths=lengths, lay=as_cut)
    paced = WorkPace(plan.pace).steps(whole.steps)
    reckoning = replace(whole, steps=steps_at_home(paced))
    label = Label(
        name=str(build),
        code=build.code,
        link=link,
        printed_on=date_format(timezone.localdate(), _("j F Y")),
        kind="build",
    )
    packet = packet_of(source_of(reckoning), label, asked.options)
    kit = KitSet(
        name=str(build),
        rescue=ours.name,
        contacts=ours.contacts,
        tools=tools_for_steps(reckoning.steps),
        lines=packing.lines,
        missing=packing.missing,
        cloths=tuple(packing.cloths.values()),
        signed=_signed(receipt_of(build), asked.names_ours),
        follow_ups=tuple(follow_ups_of(build)),
        leaves=asked.leaves,
    )
    return pdf_from(kit_page(kit, packet, reckoning.structure))


def _signed(receipt: KitReceipt | None, names_ours: bool) -> Signed:
    if receipt is None:
        return Signed()
    return Signed(
        received_by=receipt.received_by,
        handed_by=receipt.handed_by if names_ours else Rescue.ours().name or _("the rescue"),
        on=receipt.on,
        signed=receipt.signed,
        missing=tuple(receipt.to_send),
        note=receipt.note if names_ours else "",
    )


def printed_link(build: Build) -> str:
    """The newest link that still answers; empty where there is none. The short address of the
    build asks for a log-in, so it is of no use to an adopter.
    """
    open_links = KitLink.objects.open(timezone.localdate()).filter(build=build)
    newest = open_links.order_by("-pk").first()
    return link_address(newest) if newest else ""
