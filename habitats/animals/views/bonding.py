"""Bonding attempts, written down by those who look after one of the two."""

from datetime import date

from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.bonding import BondingForm
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.bonding import BondingAttempt
from habitats.animals.models.places import NOWHERE, places_of
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.people.access import member_or_403
from habitats.people.models.people import Person

MOST_OFFERED = 12


@require_http_methods(["GET", "POST"])
def bonding(request: HttpRequest, code: str) -> HttpResponse:
    person, today = member_or_403(request, Person.Role.FOSTER), timezone.localdate()
    animal = animal_seen_by(person, code)
    words = request.GET.get("words", "").strip()[:60]
    offered = _offered(person, animal, today, request.POST.get("other", ""), words)
    form = BondingForm(
        sent_with(request),
        animal=animal,
        offered=offered,
        today=today,
        initial={"other": request.GET.get("other", "").upper()},
    )
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        messages.success(
            request,
            _("Bonding attempt of %(one)s and %(other)s recorded.")
            % {"one": made.one, "other": made.other},
        )
        return redirect("animal", code=animal.code)
    return form_page(
        request, "animals/bonding.html", form=form, animal=animal, words=words, any=offered.exists()
    )


def _offered(person: Person, animal: Animal, today: date, sent: str, words: str) -> AnimalQuerySet:
    """Those it met before, those of its home, those without a group; or those that fit the words.

    The one that was chosen stays in the list. A foster is offered what they may see.
    """
    seen = Animal.objects.visible_to(person, today).here()
    able = seen.filter(species=animal.species).exclude(pk=animal.pk)
    if (chosen := able.filter(code=sent.upper()[:20])).exists():
        return chosen.by_name()
    if words:
        found = able.named_like(words)
    else:
        met = BondingAttempt.objects.of(animal).newest_first()[:MOST_OFFERED]
        known = {key for pair in met for key in pair.pair}
        found = able.filter(models.Q(pk__in=known) | models.Q(pk__in=_near(animal, able, today)))
    shown = list(found.by_name().values_list("pk", flat=True)[:MOST_OFFERED])
    return able.filter(pk__in=shown).by_name()


def _near(animal: Animal, able: AnimalQuerySet, today: date) -> list[int]:
    """Of the same home, and those that live in no group."""
    home = places_of([animal.pk], today).get(animal.pk, NOWHERE).home
    alone = list(able.without_group(today).values_list("pk", flat=True)[:MOST_OFFERED])
    if home is None:
        return alone
    there = able.where(today, home=home).values_list("pk", flat=True)[:MOST_OFFERED]
    return [*there, *alone]
