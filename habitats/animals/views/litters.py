"""A litter: the mother's birth, and a page for each of the young."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.litters import BirthForm, has_left_words
from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.groups import Membership
from habitats.animals.models.home_limits import LimitPassed, told_at_the_door
from habitats.animals.models.stays import Stay
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.days import in_full
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.access import coordinator_or_403
from habitats.structure.pups import asks_for_pup_set
from habitats.welfare.maturity import LEAVES_DAYS
from habitats.welfare.values import Species


@require_http_methods(["GET", "POST"])
def birth(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    mother, today = animal_seen_by(person, code), timezone.localdate()
    if mother.left_on and request.method == "GET":
        messages.error(request, has_left_words(mother))
        return redirect("animal", code=mother.code)
    if "lines" in request.POST:
        # A line for each is asked for before anything is saved.
        # A box without a tick is not sent.
        typed = {**request.POST.dict(), "pages": "pages" in request.POST}
        form = BirthForm(mother=mother, today=today, initial=typed)
        return render(request, "animals/birth.html", {"form": form, "animal": mother})
    form = BirthForm(sent_with(request), mother=mother, today=today)
    if request.method == "POST" and form.is_valid():
        with told_at_the_door() as passed:
            made, young = form.append(by=person)
        messages.success(request, _told(made, young))
        if passed:
            messages.warning(request, _past_limits(passed))
        return redirect("animal", code=mother.code)
    return form_page(
        request,
        "animals/birth.html",
        form=form,
        animal=mother,
        bare=without_pup_set(mother, today),
    )


def _past_limits(passed: Sequence[LimitPassed]) -> str:
    """A birth asks no home: it is recorded, and what to do next is told."""
    limits = " ".join(one.sentence for one in passed)
    words = _("%(limits)s Find a place for some of them before the young are weaned.")
    return words % {"limits": limits}


def without_pup_set(mother: Animal, day: date) -> Enclosure | None:
    """Where she lives, if young pass its wire and no pup set is on."""
    groups = Membership.objects.on(day).filter(animal=mother).values("group")
    stays = Stay.objects.on(day).filter(group__in=groups)
    stay = stays.select_related("enclosure__revision").first()
    if stay is None:
        return None
    shape = stay.enclosure.shape()
    return stay.enclosure if asks_for_pup_set(shape.panel) and not shape.pup_set else None


def _told(birth: Birth, young: list[Animal]) -> str:
    recorded = _("Litter of %(animal)s recorded.") % {"animal": birth.mother}
    if not young:
        return recorded
    pages = ngettext(
        "%(number)d young animal has a page now.",
        "%(number)d young animals have a page each.",
        len(young),
    ) % {"number": len(young)}
    leave = birth.on + timedelta(days=LEAVES_DAYS[Species(birth.mother.species)])
    males = _("Separate males from females by %(day)s.") % {"day": in_full(leave)}
    return f"{recorded} {pages} {males}"
