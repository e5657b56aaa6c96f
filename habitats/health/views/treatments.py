"""Treatments: written down as the vet wrote them, each dose recorded, stopped."""

from datetime import datetime, timedelta

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.health.forms.treatments import DoseForm, StopForm, TreatmentForm
from habitats.health.models.treatments import Dose, Treatment, TreatmentStop, given_at, last_word
from habitats.health.pages.dose_rows import CAUTION, MISSED, dose_words, history_of, time_words
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.welfare.doses import CAN_BE_TICKED, DueDose, state_of

FOSTER = Person.Role.FOSTER
DAYS_SHOWN = 60


@require_http_methods(["GET", "POST"])
def new_treatment(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    animal = animal_seen_by(person, code)
    form = TreatmentForm(sent_with(request), animal=animal, today=timezone.localdate())
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        messages.success(request, _("%(treatment)s: written down for %(animal)s.") % _names(made))
        return redirect("treatment", code=animal.code, pk=made.pk)
    return form_page(request, "health/new_treatment.html", form=form, animal=animal)


@require_GET
def treatment(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """What the vet wrote, and every dose of the last weeks."""
    person = member_or_403(request, FOSTER)
    found = _seen_by(person, code, pk)
    today = timezone.localdate()
    until = min(found.last_day or today, today)
    since = max(found.first_day, until - timedelta(days=DAYS_SHOWN))
    context = {
        "treatment": found,
        "animal": found.animal,
        "rows": history_of(found, since, until, timezone.now()),
        "is_cut": since > found.first_day,
        "days": DAYS_SHOWN,
        "caution": CAUTION,
        "missed": MISSED,
    }
    return render(request, "health/treatment.html", context)


@require_http_methods(["GET", "POST"])
def stop_treatment(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    found = _seen_by(person, code, pk)
    form = StopForm(sent_with(request), treatment=found)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            # Locked: of two people who stop it at once, the second is told.
            Treatment.objects.select_for_update().get(pk=found.pk)
            was_stopped = TreatmentStop.objects.filter(treatment=found).exists()
            if not was_stopped:
                form.append(by=person)
        if was_stopped:
            messages.warning(request, _("It is stopped already. Nothing was changed."))
        else:
            messages.success(request, _("%(treatment)s of %(animal)s: stopped.") % _names(found))
        return redirect("treatment", code=found.animal.code, pk=found.pk)
    return form_page(
        request, "health/stop_treatment.html", form=form, treatment=found, animal=found.animal
    )


@require_POST
def give_dose(request: HttpRequest, code: str, pk: int, dose: str) -> HttpResponse:
    """One tap: this dose was given, just now, by who is logged in."""
    person = member_or_403(request, FOSTER)
    found = _seen_by(person, code, pk)
    due = _dose_asked_for(found, dose)
    if state_of(due, None, timezone.now(), timezone.get_current_timezone()) not in CAN_BE_TICKED:
        messages.warning(request, _("This is not the time of this dose. Enter when it was given."))
        return redirect("record_dose", code=found.animal.code, pk=found.pk, dose=due.code)
    with transaction.atomic():
        # Locked: of two people who tap at once, the second is told what the first recorded.
        Treatment.objects.select_for_update().get(pk=found.pk)
        before = last_word(found, due)
        if before is None:
            Dose.objects.create(
                treatment=found,
                due_day=due.day,
                due_time=due.time,
                outcome=Dose.Outcome.GIVEN,
                at=given_at(timezone.now()),
                made_by=person,
            )
    if before:
        messages.warning(request, _already(found, before, person))
    else:
        messages.success(
            request,
            _("%(animal)s: %(treatment)s of %(time)s recorded as given.")
            % {**_names(found), "time": time_words(due)},
        )
    return _back(request, found)


@require_http_methods(["GET", "POST"])
def record_dose(request: HttpRequest, code: str, pk: int, dose: str) -> HttpResponse:
    """What became of a dose: given at another time, not given, or recorded wrongly before."""
    person = member_or_403(request, FOSTER)
    found = _seen_by(person, code, pk)
    due = _dose_asked_for(found, dose)
    before = last_word(found, due)
    if before and str(before.idempotency_key) == request.POST.get("once"):
        return _back(request, found)  # the very same form, sent twice
    if before and not person.is_coordinator and before.made_by_id != person.pk:
        raise PermissionDenied(
            _("Another person recorded this dose. Ask a coordinator to correct it.")
        )
    form = DoseForm(
        sent_with(request),
        treatment=found,
        dose=due,
        is_recorded=before is not None,
        initial={"outcome": request.GET.get("outcome", "")},
    )
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        messages.success(
            request,
            _("%(animal)s: dose of %(dose)s: %(outcome)s.")
            % {**_names(found), "dose": dose_words(due), "outcome": made.outcome_words},
        )
        return _back(request, found)
    return form_page(
        request,
        "health/record_dose.html",
        form=form,
        treatment=found,
        animal=found.animal,
        dose=dose_words(due),
        before=before,
        caution=CAUTION,
        missed=MISSED,
    )


def _seen_by(person: Person, code: str, pk: int) -> Treatment:
    animal = animal_seen_by(person, code)
    rows = animal.treatments.select_related("animal", "stop__made_by", "made_by")
    return get_object_or_404(rows, pk=pk)


def _dose_asked_for(treatment: Treatment, code: str) -> DueDose:
    """One that the treatment has, or that something was recorded of; its day has come."""
    try:
        due = DueDose.of_code(code)
    except ValueError:
        raise Http404(_no_such_dose()) from None
    if due.day > timezone.localdate():
        raise Http404(_no_such_dose())
    zone = timezone.get_current_timezone()
    is_due = due in treatment.plan.due(due.day, due.day, zone)
    recorded = treatment.doses.filter(due_day=due.day, due_time=due.time)
    if not (is_due or recorded.exists()):
        raise Http404(_no_such_dose())
    return due


def _no_such_dose() -> str:
    return _("This treatment has no such dose by now.")


def _already(treatment: Treatment, before: Dose, reader: Person) -> str:
    values = {
        **_names(treatment),
        "person": before.given_by or before.made_by.name_for(reader),
        "time": _hour(before.at or before.made_at),
    }
    if before.is_given:
        told = _(
            "%(animal)s: %(treatment)s was recorded already, as given at %(time)s by %(person)s."
        )
    else:
        told = _("%(animal)s: %(treatment)s was recorded already, as not given, by %(person)s.")
    return f"{told % values} {_('Nothing was changed.')}"


def _hour(moment: datetime) -> str:
    return timezone.localtime(moment).strftime("%H:%M")


def _names(treatment: Treatment) -> dict[str, object]:
    return {"treatment": treatment, "animal": treatment.animal}


def _back(request: HttpRequest, treatment: Treatment) -> HttpResponse:
    """To the page that asked: Today, the health log, or else the treatment."""
    match request.POST.get("then"):
        case "today":
            return redirect("today")
        case "log":
            return redirect("health_log", code=treatment.animal.code)
    return redirect("treatment", code=treatment.animal.code, pk=treatment.pk)
