"""Doses: recorded with one tap, or in a form with what became of them."""

from datetime import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from habitats.common.days import of_year
from habitats.common.happened import not_ahead
from habitats.common.sent import form_page, sent_with
from habitats.health.forms.treatments import DoseForm
from habitats.health.models.treatments import Dose, Treatment, given_at, last_word
from habitats.health.pages.dose_rows import CAUTION, MISSED, TOO_LATE, dose_words, time_words
from habitats.health.views.treatments import names_of, treatment_seen_by
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.welfare.doses import (
    CAN_BE_TICKED,
    DoseState,
    DueDose,
    PlannedDose,
    is_just_given,
    state_of,
)

FOSTER = Person.Role.FOSTER


@require_POST
def give_dose(request: HttpRequest, code: str, pk: int, dose: str) -> HttpResponse:
    """One tap: this dose was given, just now, by who is logged in."""
    person = member_or_403(request, FOSTER)
    found = treatment_seen_by(person, code, pk)
    due, now = _dose_asked_for(found, dose), timezone.now()
    with transaction.atomic():
        _take_turn(found)
        before = last_word(found, due)
        if before and before.is_ahead:
            before = None
        refused = None if before else _why_not_tapped(found, due, now)
        if not before and not refused:
            Dose.objects.create(
                treatment=found,
                due_day=due.day,
                due_time=due.time,
                outcome=Dose.Outcome.GIVEN,
                at=given_at(now),
                made_by=person,
            )
    if refused:
        messages.warning(request, refused)
        return redirect("record_dose", code=found.animal.code, pk=found.pk, dose=due.code)
    if before:
        messages.warning(request, _already(found, before, person))
    else:
        messages.success(
            request,
            _("%(animal)s: %(treatment)s of %(time)s recorded as given.")
            % {**names_of(found), "time": time_words(due)},
        )
    return _back(request, found)


@require_http_methods(["GET", "POST"])
def record_dose(request: HttpRequest, code: str, pk: int, dose: str) -> HttpResponse:
    """What became of a dose: given at another time, not given, or recorded wrongly before."""
    person = member_or_403(request, FOSTER)
    found = treatment_seen_by(person, code, pk)
    due = _dose_asked_for(found, dose)
    if request.method != "POST":
        return _record(request, person, found, due)
    with transaction.atomic():
        _take_turn(found)
        return _record(request, person, found, due)


def _record(request: HttpRequest, person: Person, found: Treatment, due: DueDose) -> HttpResponse:
    before = last_word(found, due)
    if before and str(before.idempotency_key) == request.POST.get("once"):
        return _back(request, found)  # the very same form, sent twice
    is_own = person.is_coordinator or (before and before.made_by_id == person.pk)
    if before and not (is_own or before.is_ahead):
        raise PermissionDenied(
            _("Another person recorded this dose. Ask a coordinator to correct it.")
        )
    is_too_late = _state(found, due, timezone.now()) is DoseState.TOO_LATE
    form = DoseForm(
        sent_with(request),
        treatment=found,
        dose=due,
        planned=_planned(found, due),
        is_recorded=before is not None,
        is_too_late=is_too_late,
        initial={"outcome": request.GET.get("outcome", "")},
    )
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        messages.success(
            request,
            _("%(animal)s: dose of %(dose)s: %(outcome)s.")
            % {**names_of(found), "dose": dose_words(due), "outcome": made.outcome_words},
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
        cautions=[CAUTION, *([TOO_LATE] if is_too_late else []), MISSED],
    )


def _take_turn(treatment: Treatment) -> None:
    """Of two who record one dose at once, the second is told what the first recorded."""
    Treatment.objects.select_for_update(no_key=True).get(pk=treatment.pk)


def _planned(treatment: Treatment, due: DueDose) -> PlannedDose | None:
    """None: it is due no longer, such as after a stop."""
    found = treatment.plan.planned(due.day, due.day, timezone.get_current_timezone())
    return next((one for one in found if one.due == due), None)


def _state(treatment: Treatment, due: DueDose, now: datetime) -> DoseState | None:
    planned = _planned(treatment, due)
    answers = treatment.doses.answers(due.day).get(treatment.pk, {})
    zone = timezone.get_current_timezone()
    return planned and state_of(planned, answers, now, zone)


def _why_not_tapped(treatment: Treatment, due: DueDose, now: datetime) -> str | None:
    """What stands against one tap for a dose without an entry; None if nothing does."""
    state = _state(treatment, due, now)
    if state is DoseState.TOO_LATE:
        return _("The next dose is due, so this one was not recorded as given now.")
    if state not in CAN_BE_TICKED:
        return _("This is not the time of this dose. Enter when it was given.")
    planned, zone = _planned(treatment, due), timezone.get_current_timezone()
    given = Dose.objects.that_count_with(treatment).last_words()
    newest = given.order_by("-pk").first()
    if newest and newest.is_ahead:
        return _dated_ahead(newest)
    last = not_ahead(given).order_by("-at", "-pk").first()
    if planned and last and last.at and is_just_given(planned, last.at, now, zone):
        return _(
            "Nothing was recorded: another dose was given at %(time)s. If you gave this one as "
            "well, enter when, and call your vet."
        ) % {"time": _hour(last.at)}
    return None


def _dated_ahead(last: Dose) -> str:
    return _(
        "Nothing was recorded: a wrong clock dated a dose as given on %(day)s at %(time)s. Find "
        "out when it was given. In doubt, ask your vet before you give another."
    ) % {"day": of_year(timezone.localdate(last.made_at)), "time": _hour(last.made_at)}


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
        **names_of(treatment),
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


def _back(request: HttpRequest, treatment: Treatment) -> HttpResponse:
    """To the page that asked: Today, the health log, or else the treatment."""
    match request.POST.get("then"):
        case "today":
            return redirect("today")
        case "log":
            return redirect("health_log", code=treatment.animal.code)
    return redirect("treatment", code=treatment.animal.code, pk=treatment.pk)
