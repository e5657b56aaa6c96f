"""Enclosure cards, as PDF."""

from collections.abc import Sequence
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group
from habitats.animals.models.stays import Stay
from habitats.animals.pages.words import about
from habitats.common import days
from habitats.common.pdf import pdf_from
from habitats.common.public_address import public_address
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.residence.paper import CardResident, FrontCard, front_cards_page
from habitats.welfare.companion import Companion
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.objection import Severity
from habitats.welfare.quarantine import ends_on, in_quarantine
from habitats.wording import listed

FOSTER = Person.Role.FOSTER


@require_GET
def enclosure_card_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    today = timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today)
    found = get_object_or_404(seen, code=code.upper())
    return _shown(request, [found], today, f"card-{found.code}.pdf")


@require_GET
def home_cards_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """The cards of all enclosures that stand in a home."""
    person = member_or_403(request, FOSTER)
    today = timezone.localdate()
    home = get_object_or_404(Home.objects.visible_to(person), code=code.upper())
    standing = Standing.objects.on(today).filter(home=home)
    found = Enclosure.objects.live().filter(pk__in=standing.values("enclosure")).by_label()
    if not found:
        raise Http404(_("No enclosure stands here."))
    return _shown(request, list(found), today, f"cards-{home.code}.pdf")


def _shown(
    request: HttpRequest, enclosures: Sequence[Enclosure], today: date, name: str
) -> HttpResponse:
    rescue = Rescue.ours()
    page = front_cards_page(_cards(request, enclosures, today, rescue), rescue.name)
    disposition = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(pdf_from(page), content_type="application/pdf", headers=disposition)


def _cards(
    request: HttpRequest, enclosures: Sequence[Enclosure], today: date, rescue: Rescue
) -> list[FrontCard]:
    """However many there are, with the same few queries."""
    standings = Standing.objects.on(today).filter(enclosure__in=enclosures).select_related("home")
    homes = {one.enclosure_id: one.home for one in standings}
    stays = Stay.objects.on(today).filter(enclosure__in=enclosures).select_related("group")
    groups = {one.enclosure_id: one.group for one in stays}
    animals = animals_by_group([one.pk for one in groups.values()], today)
    cards = []
    for one in enclosures:
        group = groups.get(one.pk)
        home = homes.get(one.pk)
        link = public_address(request, reverse("enclosure_link", args=[one.code]))
        living = animals.get(group.pk, []) if group else []
        cards.append(_card(one, home, group, living, today, limits_of(rescue), link))
    return cards


def _card(
    enclosure: Enclosure,
    home: Home | None,
    group: Group | None,
    animals: Sequence[Animal],
    today: date,
    limits: WelfareLimits,
    link: str,
) -> FrontCard:
    companions = companions_of(animals)
    notes = [enclosure.notes, group.notes if group else ""]
    return FrontCard(
        label=enclosure.label,
        code=enclosure.code,
        home=home.name if home else "",
        residents=tuple(CardResident(one.name, about(one)) for one in animals),
        apart=_apart(companions, today, limits),
        notes=tuple(note for note in notes if note.strip()),
        link=link,
        printed_on=days.in_full(today),
    )


def _apart(companions: Sequence[Companion], today: date, limits: WelfareLimits) -> str:
    """Who is in quarantine, and until when; empty if nobody is."""
    blocked = Severity.BLOCK
    kept = [one for one in companions if in_quarantine(one, today, limits) is blocked]
    if not kept:
        return ""
    ends = [ends_on(one.quarantine, limits) for one in kept if one.quarantine]
    names = str(listed([one.name for one in kept]))
    last = max((end for end in ends if end), default=None)
    if last and None not in ends:
        return _(
            "In quarantine until %(day)s: %(animals)s. Wash hands, use separate tools, and look "
            "after them last."
        ) % {"day": days.in_full(last), "animals": names}
    return _(
        "In quarantine: %(animals)s. Wash hands, use separate tools, and look after them last."
    ) % {"animals": names}
