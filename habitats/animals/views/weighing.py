"""Weighing: those that are due first, one after the other, a number each."""

from datetime import date
from typing import NamedTuple

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.animals.forms.animal_events import StrikeForm, WeighForm
from habitats.animals.models.animals import Animal, AnimalQuerySet, Weighing
from habitats.animals.models.companions import companion_of, load_with_facts
from habitats.animals.models.places import NOWHERE, AnimalPlace, places_of
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.homes.models.homes import Home
from habitats.measures import grams
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.from_phones import takes_from_phones
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.welfare.companion import DatedWeight, last_of_each_day
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.weights import alarm, weigh_by
from habitats.welfare.words import day_words

ANIMALS_A_PAGE = 30
FOSTER = Person.Role.FOSTER


class WeighRow(NamedTuple):
    animal: Animal
    place: AnimalPlace
    is_due: bool


@require_GET
def weigh(request: HttpRequest) -> HttpResponse:
    """Whom to weigh: of one's own home, of the home asked for, or of all."""
    person = member_or_403(request, FOSTER)
    today, limits = timezone.localdate(), limits_of(Rescue.ours())
    home = _home_asked_for(request, person)
    words = request.GET.get("words", "").strip()[:60]
    found = _to_weigh(person, today, home, limits)
    page = Paginator(found.named_like(words) if words else found, ANIMALS_A_PAGE).get_page(
        request.GET.get("page")
    )
    context = {
        "page": page,
        "rows": _rows([one.pk for one in page.object_list], today, limits),
        "home": home,
        "words": words,
        "today": today,
    }
    return render(request, "animals/weigh_list.html", context)


@require_http_methods(["GET", "POST"])
@takes_from_phones
def weigh_animal(request: HttpRequest, code: str) -> HttpResponse:
    """A number for one animal; then the next one there that was not weighed today."""
    person = member_or_403(request, FOSTER)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    limits = limits_of(Rescue.ours())
    place = places_of([animal.pk], today).get(animal.pk, NOWHERE)
    after = _next_after(animal, person, today, place.home, limits)
    form = WeighForm(sent_with(request), animal=animal, today=today, limits=limits)
    if request.method == "POST" and form.is_valid():
        _tell(request, animal, form.append(by=person), limits)
        return redirect("weigh_animal", code=after.code) if after else _back_to(place.home)
    last = animal.weighings.standing().latest_first().first()
    context = {"form": form, "animal": animal, "place": place, "next": after, "last": last}
    return form_page(request, "animals/weigh.html", **context)


@require_POST
def strike_weighing(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """A slip: a coordinator strikes any out, others what they wrote themselves."""
    person = member_or_403(request, FOSTER)
    animal = animal_seen_by(person, code)
    weighing = get_object_or_404(animal.weighings.all(), pk=pk)
    if not person.is_coordinator and weighing.made_by_id != person.pk:
        raise PermissionDenied(
            _("Another person recorded this weight. Ask a coordinator to mark it as wrong.")
        )
    form = StrikeForm(request.POST)
    if form.is_valid():
        form.append(weighing, by=person)
        messages.success(
            request,
            _("%(weighing)s: marked as wrong; kept in the history.") % {"weighing": weighing},
        )
    else:
        messages.error(request, _("Write at most 200 characters. Nothing was changed."))
    return redirect("animal", code=animal.code)


def _home_asked_for(request: HttpRequest, person: Person) -> Home | None:
    code = request.GET.get("home")
    return get_object_or_404(Home.objects.cared_for_by(person), code=code.upper()) if code else None


def _to_weigh(
    person: Person, today: date, home: Home | None, limits: WelfareLimits
) -> AnimalQuerySet:
    seen = Animal.objects.visible_to(person, today).here()
    if home:
        seen = seen.where(today, home=home)
    return seen.due_first(today, limits.stale_young_days, limits.stale_days)


def _rows(keys: list[int], today: date, limits: WelfareLimits) -> list[WeighRow]:
    """In this order, except that what the pure rules call due comes before what they do not."""
    places = places_of(keys, today)
    loaded = {one.pk: one for one in load_with_facts(keys, today)}
    rows = [
        WeighRow(
            loaded[key],
            places.get(key, NOWHERE),
            weigh_by(companion_of(loaded[key]), today, limits) <= today,
        )
        for key in keys
    ]
    return sorted(rows, key=lambda row: not row.is_due)


def _next_after(
    animal: Animal, person: Person, today: date, home: Home | None, limits: WelfareLimits
) -> Animal | None:
    """The next that was not weighed today; None after the last.

    Of its home, in the order of the list; of those without an enclosure, such as newcomers still
    in their carriers, where it has none.
    """
    order = list(_to_weigh(person, today, home, limits)) if home else _housed_nowhere(today, limits)
    places = [one.pk for one in order]
    here = places.index(animal.pk) if animal.pk in places else -1
    left = [one for one in order[here + 1 :] if vars(one)["weighed_on"] != today]
    return left[0] if left else None


def _housed_nowhere(today: date, limits: WelfareLimits) -> list[Animal]:
    found = Animal.objects.all().here().without_enclosure(today)
    return list(found.due_first(today, limits.stale_young_days, limits.stale_days))


def _back_to(home: Home | None) -> HttpResponse:
    answer = redirect("weigh")
    if home:
        answer["Location"] += f"?home={home.code}"
    return answer


def _tell(request: HttpRequest, animal: Animal, weighing: Weighing, limits: WelfareLimits) -> None:
    """What the scales said against what they said before; a fall is an alarm."""
    recent = [
        DatedWeight(one.on, one.grams)
        for one in animal.weighings.standing().filter(on__lte=weighing.on).in_time()
    ]
    fall = alarm(recent, limits)
    if fall:
        messages.warning(
            request, _("%(animal)s: %(sentence)s") % {"animal": animal, "sentence": fall.sentence}
        )
        return
    messages.success(request, _weighed_words(animal, weighing, recent))


def _weighed_words(animal: Animal, weighing: Weighing, recent: list[DatedWeight]) -> str:
    """The weight, against that of the last day before, as the alarm does."""
    said = {"animal": animal, "weight": grams(weighing.grams)}
    by_day = last_of_each_day(recent)
    if len(by_day) < 2:
        return _("%(animal)s: %(weight)s.") % said
    before, last = by_day[-2:]
    change = last.grams - before.grams
    said |= {"change": grams(abs(change)), "day": day_words(before.day)}
    if not change:
        return _("%(animal)s: %(weight)s, the same as on %(day)s.") % said
    if change > 0:
        return _("%(animal)s: %(weight)s, %(change)s more than on %(day)s.") % said
    return _("%(animal)s: %(weight)s, %(change)s less than on %(day)s.") % said
