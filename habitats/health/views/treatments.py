"""Treatments: written down as the vet wrote them, each dose recorded, stopped."""

from datetime import timedelta

from django.contrib import messages
from django.db import transaction
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.fields import A_KEY
from habitats.common.name_order import InNameOrder
from habitats.common.sent import form_page, sent_with
from habitats.health.forms.treatments import AGAIN, StopForm, TreatmentForm
from habitats.health.models.treatments import Treatment, TreatmentStop
from habitats.health.pages.dose_rows import CAUTION, LAPSED, MISSED, history_of
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.wording import by_number

FOSTER = Person.Role.FOSTER
DAYS_SHOWN = 60
MOST_OFFERED = 30


@require_http_methods(["GET", "POST"])
def new_treatment(request: HttpRequest, code: str) -> HttpResponse:
    """``?again=7``: as that one was written, from today on; for another animal, no amount."""
    person = member_or_403(request, FOSTER)
    animal = animal_seen_by(person, code)
    earlier = _earlier(person, animal, request.GET.get("again", ""))
    after = _next_after(animal, earlier, person) if earlier else None
    form = TreatmentForm(
        sent_with(request),
        animal=animal,
        today=timezone.localdate(),
        initial=_again(earlier, animal) if earlier else {},
    )
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        messages.success(request, _("%(treatment)s: written down for %(animal)s.") % names_of(made))
        if after and "then" in request.POST:
            address = reverse("new_treatment", args=[after.code])
            return redirect(f"{address}?again={made.pk}")
        return redirect("treatment", code=animal.code, pk=made.pk)
    return form_page(request, "health/new_treatment.html", form=form, animal=animal, next=after)


@require_GET
def treatment(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """What the vet wrote, and every dose of the last weeks."""
    person = member_or_403(request, FOSTER)
    found = treatment_seen_by(person, code, pk)
    today = timezone.localdate()
    until = min(found.last_day or today, today)
    since = max(found.first_day, until - timedelta(days=DAYS_SHOWN))
    context = {
        "treatment": found,
        "animal": found.animal,
        "rows": history_of(found, since, until, timezone.now()),
        "without_it": _without_it(found, person),
        "is_cut": since > found.first_day,
        "days": DAYS_SHOWN,
        "caution": CAUTION,
        "missed": MISSED,
        "is_lapsed": Treatment.objects.lapsed(today).filter(pk=found.pk).exists(),
        "lapsed": LAPSED,
    }
    return render(request, "health/treatment.html", context)


@require_http_methods(["GET", "POST"])
def stop_treatment(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    found = treatment_seen_by(person, code, pk)
    form = StopForm(sent_with(request), treatment=found)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            # Locked: of two people who stop it at once, the second is told.
            Treatment.objects.select_for_update(no_key=True).get(pk=found.pk)
            was_stopped = TreatmentStop.objects.filter(treatment=found).exists()
            if not was_stopped:
                form.append(by=person)
        if was_stopped:
            messages.warning(request, _("It is stopped already. Nothing was changed."))
        else:
            messages.success(request, _("%(treatment)s of %(animal)s: stopped.") % names_of(found))
        return redirect("treatment", code=found.animal.code, pk=found.pk)
    return form_page(
        request, "health/stop_treatment.html", form=form, treatment=found, animal=found.animal
    )


def _earlier(person: Person, animal: Animal, key: str) -> Treatment | None:
    """The treatment that is written down again."""
    if not A_KEY.fullmatch(key):
        return None
    seen = Animal.objects.visible_to(person, timezone.localdate()).filter(species=animal.species)
    found = Treatment.objects.filter(animal__in=seen).select_related("animal", "stop")
    return found.filter(pk=key).first()


def _next_after(animal: Animal, earlier: Treatment, person: Person) -> Animal | None:
    """The next, by name, for whom the same may be written down; None after the last."""
    others = [one for one in _without_it(earlier, person) if one.pk != animal.pk]
    later = [one for one in others if by_number(one.name) > by_number(animal.name)]
    return later[0] if later else None


def _again(earlier: Treatment, animal: Animal) -> dict[str, object]:
    words = {name: getattr(earlier, name) for name in AGAIN}
    if earlier.animal_id != animal.pk:  # what the vet wrote for one weight is not for another
        del words["amount"]
    return {**words, "times": ", ".join(earlier.times)}


def _without_it(treatment: Treatment, person: Person) -> list[Animal]:
    """Those whom a vet may have prescribed the same: who live with it, or came with it."""
    animal, today = treatment.animal, timezone.localdate()
    if treatment.is_over:
        return []
    group = Membership.objects.on(today).filter(animal=animal).values("group")
    living = Membership.objects.on(today).filter(group__in=group).values("animal")
    near = Q(pk__in=living) | Q(came_on=animal.came_on)
    seen = Animal.objects.visible_to(person, today).here().filter(near, species=animal.species)
    having = Treatment.objects.running(today, today).filter(drug__iexact=treatment.drug)
    others = seen.exclude(pk=animal.pk).exclude(pk__in=having.values("animal"))
    return InNameOrder(others)[:MOST_OFFERED]


def treatment_seen_by(person: Person, code: str, pk: int) -> Treatment:
    animal = animal_seen_by(person, code)
    rows = animal.treatments.select_related("animal", "stop__made_by", "made_by")
    return get_object_or_404(rows, pk=pk)


def names_of(treatment: Treatment) -> dict[str, object]:
    return {"treatment": treatment, "animal": treatment.animal}
