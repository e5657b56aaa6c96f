"""Enclosure cards and carrier cards, as PDF."""

from collections.abc import Iterator, Sequence
from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats import measures
from habitats.animals.forms.groups import chosen_animals
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group
from habitats.animals.models.intake import MOST
from habitats.animals.models.places import places_of
from habitats.animals.models.stays import Stay
from habitats.animals.pages.words import about, looks, species_words
from habitats.chips import in_groups
from habitats.common import days
from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from
from habitats.common.public_address import public_address
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.residence.paper import (
    CardResident,
    CarrierCard,
    FrontCard,
    carrier_cards_page,
    front_cards_page,
)
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
    seen = Enclosure.objects.cared_for_by(person, today)
    found = get_object_or_404(seen, code=code.upper())
    return _shown(request, [found], today, f"card-{found.code}.pdf")


@require_GET
def home_cards_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """The cards of all enclosures that stand in a home."""
    person = member_or_403(request, FOSTER)
    today = timezone.localdate()
    home = get_object_or_404(Home.objects.cared_for_by(person), code=code.upper())
    standing = Standing.objects.on(today).filter(home=home)
    found = Enclosure.objects.live().filter(pk__in=standing.values("enclosure")).by_label()
    if not found:
        raise Http404(_("No enclosure stands here."))
    return _shown(request, list(found), today, f"cards-{home.code}.pdf")


@require_GET
def intake_cards_pdf(request: HttpRequest) -> HttpResponse:
    """Of the enclosures in which the animals that the address names live."""
    coordinator_or_403(request)
    today = timezone.localdate()
    places = places_of([one.pk for one in _chosen(request)], today).values()
    keys = {one.enclosure.pk for one in places if one.enclosure}
    found = Enclosure.objects.filter(pk__in=keys).by_label()
    if not found:
        messages.error(request, _("None of these animals lives in an enclosure."))
        return redirect("animals")
    return _shown(request, list(found), today, "enclosure-cards.pdf")


@require_GET
def carrier_cards_pdf(request: HttpRequest) -> HttpResponse:
    """A card for each animal that the address names."""
    coordinator_or_403(request)
    today, rescue = timezone.localdate(), Rescue.ours()
    animals = list(with_facts(_chosen(request), today))
    if not animals:
        messages.error(request, _("No animal in our care has this code."))
        return redirect("animals")
    cards = [_carrier_card(request, one, today, limits_of(rescue)) for one in animals]
    return _as_pdf(carrier_cards_page(cards, rescue.name), "carrier-cards.pdf")


def _chosen(request: HttpRequest) -> AnimalQuerySet:
    return chosen_animals(request.GET.getlist("animal")[:MOST])


def _carrier_card(
    request: HttpRequest, animal: Animal, today: date, limits: WelfareLimits
) -> CarrierCard:
    return CarrierCard(
        name=animal.name,
        code=animal.code,
        about=", ".join(part for part in (species_words(animal), about(animal)) if part),
        facts=tuple(_carried(animal)),
        apart=_apart(companions_of([animal]), today, limits),
        condition=animal.condition,
        link=public_address(request, reverse("animal", args=[animal.code])),
        printed_on=days.in_full(today),
    )


def _carried(animal: Animal) -> Iterator[str]:
    """What tells it from another in the same carrier; loaded ``with_facts``."""
    grams, weighed_on = vars(animal)["grams"], vars(animal)["weighed_on"]
    if looks(animal):
        yield looks(animal)
    if grams:
        day = days.in_short(weighed_on)
        yield _("%(weight)s on %(day)s") % {"weight": measures.grams(grams), "day": day}
    if animal.chip:
        yield _("Chip %(number)s") % {"number": in_groups(animal.chip)}
    if animal.own_id:
        yield _("Your own number %(number)s") % {"number": animal.own_id}
    yield _("Came on %(day)s") % {"day": days.in_short(animal.came_on)}


def _shown(
    request: HttpRequest, enclosures: Sequence[Enclosure], today: date, name: str
) -> HttpResponse:
    rescue = Rescue.ours()
    page = front_cards_page(_cards(request, enclosures, today, rescue), rescue.name)
    return _as_pdf(page, name)


def _as_pdf(page: PrintedPage, name: str) -> HttpResponse:
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
    ends = [ends_on(one, limits) for one in kept]
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
