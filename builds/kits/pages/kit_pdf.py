"""The printed set of a kit as a PDF: printed once, and in advance where it will be wanted."""

from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial

from django.http import HttpRequest, QueryDict
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django_tasks import task

from builds.common.paper import Label
from builds.kits.forms.kit_print import KitPrintForm
from builds.kits.models.follow_ups import follow_ups_of
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Packing
from builds.kits.models.receipts import KitReceipt
from builds.kits.pages.kit_seen import link_address, receipt_of
from builds.kits.paper import KitSet, Leaf, Signed, kit_page, tools_for_steps
from builds.making.pace import WorkPace
from builds.making.reckoning import plan_of
from builds.packet.paper import Options, packet_of, source_of
from builds.packing.at_home import steps_at_home
from builds.plans.models.builds import Build
from builds.sheets import as_cut
from habitats.common.kept_prints import kept_pdf_of
from habitats.common.page import PrintedPage
from habitats.common.public_address import public_address
from habitats.designs.models.structures import limits
from habitats.measures import length
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.faults import BadDesign


@dataclass(frozen=True, slots=True)
class PrintRequest:
    """How a set is printed. ``names_ours``: whether it says who of us handed it over."""

    options: Options
    leaves: frozenset[Leaf]
    names_ours: bool = True


def kit_pdf_of(build: Build, link: str, asked: PrintRequest) -> bytes:
    """The set of a build as it was planned last; ``link`` is the address in its title block, empty
    where there is none that opens without an account.
    """
    packing = Packing(build)
    plan, shape = packing.plan, packing.plan.revision.shape()
    label = Label(
        name=str(build),
        code=build.code,
        link=link,
        printed_on=date_format(timezone.localdate(), _("j F Y")),
        kind="build",
    )
    kit = _kit_set(build, packing, asked)

    def page() -> PrintedPage:
        lengths = partial(length, units=asked.options.units)
        whole = plan_of(shape, limits(), sheet=plan.sheet, lengths=lengths, lay=as_cut)
        steps = steps_at_home(WorkPace(plan.pace).steps(whole.steps))
        reckoning = replace(whole, steps=steps)
        packet = packet_of(source_of(reckoning), label, asked.options)
        with_tools = replace(kit, tools=tools_for_steps(reckoning.steps))
        return kit_page(with_tools, packet, reckoning.structure)

    facts = (label, asked, kit, shape, plan.sheet, plan.pace, limits())
    return kept_pdf_of(facts, page, names_adopter=True)


def _kit_set(build: Build, packing: Packing, asked: PrintRequest) -> KitSet:
    """What goes with the packet, but for the tools, which its steps tell."""
    ours = Rescue.ours()
    return KitSet(
        name=str(build),
        rescue=ours.name,
        contacts=ours.contacts,
        tools=(),
        lines=packing.lines,
        missing=packing.missing,
        cloths=tuple(packing.cloths.values()),
        signed=_signed(receipt_of(build), asked.names_ours),
        follow_ups=tuple(follow_ups_of(build)),
        leaves=asked.leaves,
    )


def printed_link(build: Build) -> str:
    """The newest link that still answers; empty where there is none. The short address of the
    build asks for a log-in, so it is of no use to an adopter.
    """
    open_links = KitLink.objects.open(timezone.localdate()).filter(build=build)
    newest = open_links.order_by("-pk").first()
    return link_address(newest) if newest else ""


def asked_for(form: KitPrintForm, build: Build, person: Person) -> PrintRequest:
    """Of a form that is valid."""
    return PrintRequest(
        form.options(build.adopter), form.leaves(), names_ours=person.is_coordinator
    )


def print_ahead(request: HttpRequest, build: Build, person: Person) -> None:
    """The set that the person will want next, as they like it, beside the pages."""
    # Not the link itself: it opens without an account, and a task is a row that anybody may read
    # who reads a copy of the database.
    site = public_address(request, "/").removesuffix("/")
    print_kit.enqueue(build.pk, person.pk, site, translation.get_language())


@task()
def print_kit(build_key: int, person_key: int, site: str, language: str) -> None:
    build = Build.objects.get(pk=build_key)
    person = Person.objects.get(pk=person_key)
    path = printed_link(build)
    # A design that no longer stands is told to who prints it.
    with translation.override(language), suppress(BadDesign):
        form = KitPrintForm.asked(person, QueryDict())
        if form.is_valid():
            kit_pdf_of(build, f"{site}{path}" if path else "", asked_for(form, build, person))


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
