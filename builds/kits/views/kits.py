"""Kits: the list, what is in the box, its linens, its links."""

from datetime import date
from functools import cached_property
from typing import NamedTuple
from uuid import UUID, uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.building.views.builds import rows_of
from builds.kits.forms.kits import BoxLineForm, BoxWeightForm, KitLinensForm, KitLinkForm
from builds.kits.models import facts as kit_facts
from builds.kits.models.at_home import AtHome
from builds.kits.models.follow_ups import FollowUp, FollowUpNow, follow_ups_of
from builds.kits.models.handing_over import not_ready
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import CLOSED, Kit, KitTick, Packing, pack, refuse_if_closed, weigh
from builds.kits.models.receipts import KitReceipt
from builds.kits.pages.kit_pdf import print_ahead
from builds.kits.pages.kit_seen import kit_seen_by, link_address, receipt_of
from builds.making.part_names import part_code
from builds.packing import PackingLine
from builds.plans.models.builds import Build, BuildState, CannotBuild
from habitats.common.public_address import public_address
from habitats.common.qr import qr_picture
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on

UNPROCESSABLE = 422
KITS_A_PAGE = 50
LINKS_SHOWN = 10


class PackRow(NamedTuple):
    """A line as it is packed; ``tick`` None: nobody packed of it yet. The key is of its form."""

    build: Build
    line: PackingLine
    tick: KitTick | None
    idempotency_key: UUID

    @property
    def shown(self) -> kit_facts.Packed:
        """What its form is based on."""
        return kit_facts.Packed(self.build, self.line.what, self.packed)

    @property
    def packed(self) -> int:
        return self.tick.count if self.tick else 0

    @property
    def is_whole(self) -> bool:
        return self.packed >= self.line.to_pack


class LinkRow(NamedTuple):
    """A link and where it is opened; the address is empty for one that answers no longer."""

    link: KitLink
    address: str


class KitPage:
    """Everything that the page of a kit shows; links and follow-ups only to a coordinator."""

    def __init__(self, request: HttpRequest, build: Build, person: Person, today: date) -> None:
        self.request, self.build, self.person, self.today = request, build, person, today
        self.packing = Packing(build)

    @cached_property
    def state(self) -> BuildState:
        return BuildState(self.build.state_now())

    @property
    def is_open(self) -> bool:
        return self.state not in CLOSED

    @property
    def can_be_handed_over(self) -> bool:
        return self.is_open and not self.why_not_handed_over

    @cached_property
    def why_not_handed_over(self) -> str:
        """In a sentence; empty where it can be, and where it is."""
        if self.state == BuildState.HANDED_OVER:
            return ""
        if self.state == BuildState.STOPPED:
            return _("It is stopped, so it cannot be handed over.")
        if why := not_ready(self.build):
            return why
        if self.state not in (BuildState.BUILDING, BuildState.INSPECTED):
            return _("Start building it before the hand-over.")
        if not self.person.is_coordinator:
            return _("The hand-over is for a coordinator.")
        return ""

    @cached_property
    def at_home(self) -> AtHome:
        return AtHome(self.build, self.person.units)

    @cached_property
    def rows(self) -> list[PackRow]:
        ticks = self.packing.ticks
        return [
            PackRow(self.build, line, ticks.get(line.what), uuid4()) for line in self.packing.lines
        ]

    @cached_property
    def people(self) -> list[Person]:
        return list(self.build.people.order_by("first_name", "last_name", "pk"))

    @cached_property
    def receipt(self) -> KitReceipt | None:
        return receipt_of(self.build)

    @cached_property
    def follow_ups(self) -> list[FollowUpNow]:
        return follow_ups_of(self.build)

    @cached_property
    def links(self) -> list[LinkRow]:
        links = self.build.kit_links.select_related("made_by").order_by("-pk")[:LINKS_SHOWN]
        return [LinkRow(link, self._address(link)) for link in links]

    def _address(self, link: KitLink) -> str:
        if not link.is_open(self.today):
            return ""
        return public_address(self.request, link_address(link))

    @property
    def newest_link(self) -> LinkRow | None:
        return next((row for row in self.links if row.address), None)

    @property
    def qr(self) -> str:
        """Of the newest link, to be scanned off the screen."""
        newest = self.newest_link
        return qr_picture(newest.address, self.build.code, "build") if newest else ""


@require_GET
def kits(request: HttpRequest) -> HttpResponse:
    """All kits, and whom to ask how it goes: what is overdue comes first."""
    person = member_or_403(request, Person.Role.BUILDER)
    seen = Build.objects.visible_to(person).exclude(adopter="").with_state()
    found = seen.soonest_first().prefetch_related("people")
    page = Paginator(found, KITS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": rows_of(list(page.object_list)),
        "follow_ups": _open_follow_ups() if person.is_coordinator else [],
        "today": timezone.localdate(),
    }
    return render(request, "kits/kits.html", context)


def _open_follow_ups() -> list[FollowUp]:
    return list(FollowUp.objects.open().soonest_first().select_related("build"))


@require_GET
def kit(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return kit_page(request, person, kit_seen_by(person, code))


def _packed(request: HttpRequest, code: str) -> kit_facts.Packed:
    """The line that the form is about, as it is packed."""
    build = get_object_or_404(Build, code=code.upper())
    what = part_code(request.POST.get("what", ""))
    tick = Packing(build).ticks.get(what)
    return kit_facts.Packed(build, what, tick.count if tick else 0)


def _kit(_request: HttpRequest, code: str) -> Kit:
    return Kit.of(get_object_or_404(Build, code=code.upper()))


@require_POST
@based_on(_packed, kit_facts.packed)
def pack_kit(request: HttpRequest, code: str) -> HttpResponse:
    """So many of one line are in the box."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = kit_seen_by(person, code)
    form = BoxLineForm(request.POST)
    if accepted(request, form):
        given = form.cleaned_data
        try:
            tick = pack(
                found, given["what"], given["count"], by=person, idempotency_key=given["once"]
            )
        except CannotBuild as reason:
            form.add_error("count", str(reason))
        else:
            said = _("%(part)s: %(count)d in the box.") % {
                "part": capfirst(tick.name),
                "count": tick.count,
            }
            messages.success(request, said)
            return redirect(f"{kit_address(found)}#packing")
    return kit_page(request, person, found, packing_form=form)


@require_POST
def weigh_kit(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = kit_seen_by(person, code)
    form = BoxWeightForm(request.POST)
    if form.is_valid():
        given = form.cleaned_data
        try:
            weigh(found, given["grams"], by=person, idempotency_key=given["once"])
        except CannotBuild as reason:
            form.add_error("grams", str(reason))
        else:
            return redirect(f"{kit_address(found)}#weight")
    return kit_page(request, person, found, weighing=form)


@require_http_methods(["GET", "POST"])
@based_on(_kit, kit_facts.linens_of_kit)
def kit_linens(request: HttpRequest, code: str) -> HttpResponse:
    """How many sets of linens go along, and of which goods."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = kit_seen_by(person, code)
    form = KitLinensForm(sent_with(request), instance=Kit.of(found))
    if accepted(request, form):
        try:
            refuse_if_closed(found)
        except CannotBuild as reason:
            form.add_error(None, str(reason))
        else:
            form.save()
            messages.success(request, _("Linens of the kit saved."))
            return redirect("builds:kit", code=found.code)
    return form_page(request, "kits/linens.html", build=found, form=form)


@require_http_methods(["GET", "POST"])
def new_kit_link(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    today = timezone.localdate()
    form = KitLinkForm(sent_with(request), today=today)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        KitLink.objects.make(
            found,
            given["expires_on"],
            may_tick=given["may_tick"],
            today=today,
            by=person,
            idempotency_key=given["once"],
        )
        print_ahead(request, found, person)
        messages.success(
            request, _("Link made. Anyone who has it can read this kit, and nothing else.")
        )
        return redirect(f"{kit_address(found)}#links")
    return form_page(request, "kits/new_link.html", build=found, form=form)


@require_POST
def revoke_kit_link(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    link = get_object_or_404(found.kit_links, pk=pk)
    if link.revoke(by=person):
        messages.success(request, _("Link revoked. It no longer opens anything."))
    return redirect(f"{kit_address(found)}#links")


def kit_address(build: Build) -> str:
    return reverse("builds:kit", args=[build.code])


def kit_page(
    request: HttpRequest,
    person: Person,
    found: Build,
    *,
    packing_form: BoxLineForm | None = None,
    weighing: BoxWeightForm | None = None,
) -> HttpResponse:
    """The page of a kit. A form that comes with it was refused."""
    context = {
        "build": found,
        "page": KitPage(request, found, person, timezone.localdate()),
        "refused": packing_form,
        "weighing": weighing or BoxWeightForm(),
        "today": timezone.localdate(),
    }
    status = UNPROCESSABLE if packing_form or weighing else 200
    return render(request, "kits/kit.html", context, status=status)
