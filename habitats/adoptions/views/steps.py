"""The steps of an adoption: pre-visit, the enclosure, trial, adopted, its end, follow-ups."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.adoptions.forms.steps import (
    AdoptForm,
    AnswerForm,
    EndForm,
    HomeCheckForm,
    TrialForm,
    VisitForm,
)
from habitats.adoptions.models import facts
from habitats.adoptions.models.adoptions import Adoption, AdoptionState
from habitats.adoptions.models.follow_ups import AdoptionFollowUp
from habitats.adoptions.models.fulfilled import fulfilled_by, open_wishes_of
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.reasons import Reason, kind_unchecked, override_all, reasons_against
from habitats.adoptions.models.steps import AdoptionStep, adopt, begin_trial, end, visit
from habitats.adoptions.views.adoptions import adoption_with
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import get_or_make
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.structure.design import Species


@require_http_methods(["GET", "POST"])
def visit_home(request: HttpRequest, code: str) -> HttpResponse:
    person, found = coordinator_or_403(request), adoption_with(code)
    form = VisitForm(sent_with(request), today=timezone.localdate())
    if request.method == "POST" and form.is_valid():
        outcome = form.cleaned_data["outcome"]
        if _done(form, lambda: visit(found, outcome, _step(form, person))):
            messages.success(request, _("Pre-visit recorded."))
            return redirect("adoption", code=found.code)
    return form_page(request, "adoptions/visit.html", form=form, adoption=found)


@require_http_methods(["GET", "POST"])
def check_home(request: HttpRequest, code: str) -> HttpResponse:
    """The enclosure at the new home; its page then says whether it is enough."""
    person, found = coordinator_or_403(request), adoption_with(code)
    form = HomeCheckForm(sent_with(request), species=found.species, units=person.units)
    if request.method == "POST" and form.is_valid():
        get_or_make(
            HomeCheck.objects,
            form.cleaned_data["once"],
            adoption=found,
            on=timezone.localdate(),
            made_by=person,
            **form.facts(),
        )
        messages.success(request, _("Enclosure saved. The result is below."))
        return redirect("adoption", code=found.code)
    return form_page(request, "adoptions/check_home.html", form=form, adoption=found)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adoption), facts.last_event)
def trial(request: HttpRequest, code: str) -> HttpResponse:
    """It begins, or lasts longer."""
    person, today, found = coordinator_or_403(request), timezone.localdate(), adoption_with(code)
    days = Rescue.ours().trial_days
    form = TrialForm(
        sent_with(request), reasons=_reasons(found, person, today), today=today, days=days
    )
    if accepted(request, form):
        until: date = form.cleaned_data["until"]
        if _done(form, lambda: _go_on(found, form, begin_trial, until, _step(form, person))):
            messages.success(request, _("Trial recorded."))
            return redirect("adoption", code=found.code)
    unchecked = kind_unchecked(found, Rescue.ours())
    return form_page(
        request, "adoptions/trial.html", form=form, adoption=found, kind_unchecked=unchecked
    )


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adoption), facts.last_event)
def adopted(request: HttpRequest, code: str) -> HttpResponse:
    person, today, found = coordinator_or_403(request), timezone.localdate(), adoption_with(code)
    form = AdoptForm(
        sent_with(request),
        reasons=_reasons(found, person, today),
        wishes=open_wishes_of(found),
        number=found.animals.open().count(),
        today=today,
    )
    days = Rescue.ours().follow_up_days
    if accepted(request, form):
        on: date = form.cleaned_data["on"]
        asked = [on + timedelta(days=one) for one in days]
        fulfils = form.cleaned_data.get("fulfils", ())
        if _done(form, lambda: _go_on(found, form, adopt, _step(form, person), asked, fulfils)):
            messages.success(
                request, _("Adoption recorded. Print the agreement, and have it signed.")
            )
            return redirect("adoption", code=found.code)
    context = {
        "form": form,
        "adoption": found,
        "days": days,
        "kind_unchecked": kind_unchecked(found, Rescue.ours()),
    }
    return form_page(request, "adoptions/adopted.html", **context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adoption), facts.last_event)
def end_adoption(request: HttpRequest, code: str) -> HttpResponse:
    """It fell through, or animals were returned."""
    person, found = coordinator_or_403(request), adoption_with(code)
    state = AdoptionState(vars(found)["state"])
    form = EndForm(
        sent_with(request),
        there=found.open_animals(),
        were_away=state != AdoptionState.RESERVED,
        may_choose=state == AdoptionState.ADOPTED,
        fulfilled=list(fulfilled_by(found)),
        quarantine_days=limits_of(Rescue.ours()).quarantine_days(Species(found.species)),
        today=timezone.localdate(),
    )
    if accepted(request, form):
        coming = form.coming()
        apart = bool(form.cleaned_data.get("with_quarantine"))
        step = _step(form, person)
        again = form.reopened()

        def back() -> None:
            with at_the_door(request):
                end(found, coming, step, with_quarantine=apart, reopens=again)

        if _done(form, back):
            messages.success(request, _ended(state))
            return redirect("adoption", code=found.code)
    return form_page(request, "adoptions/end.html", form=form, adoption=found)


def _follow_up(_request: HttpRequest, code: str, pk: int) -> AdoptionFollowUp:
    return get_object_or_404(AdoptionFollowUp, adoption__code=code.upper(), pk=pk)


@require_http_methods(["GET", "POST"])
@based_on(_follow_up, facts.answered)
def answer(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Somebody asked how they get on."""
    person, found = coordinator_or_403(request), _follow_up(request, code, pk)
    form = AnswerForm(sent_with(request), today=timezone.localdate())
    if accepted(request, form):
        given = form.cleaned_data
        found.answer(given["on"], given["note"], by=person, key=given["once"])
        messages.success(request, _("Follow-up recorded."))
        return redirect("adoption", code=found.adoption.code)
    adoption = adoption_with(code)
    return form_page(request, "adoptions/answer.html", form=form, adoption=adoption, asked=found)


def _step(form: Form, person: Person) -> AdoptionStep:
    given = form.cleaned_data
    return AdoptionStep(given["on"], person, given["once"], given.get("note", ""))


def _reasons(found: Adoption, person: Person, today: date) -> list[Reason]:
    return reasons_against(found, today, Rescue.ours(), person.units, with_home=True)


def _go_on(found: Adoption, form: Any, act: Callable[..., Any], *told: Any) -> None:
    """The step, with why it is taken in spite of what speaks against it."""
    given = form.cleaned_data
    by = next(one for one in told if isinstance(one, AdoptionStep)).by
    with transaction.atomic():
        override_all(found, form.asks, given["reason"], confirmed=given["confirmed"], by=by)
        act(found, *told)


def _done(form: Form, act: Callable[[], object]) -> bool:
    """Whether it was done; where it cannot be, the form says why."""
    try:
        act()
    except Elsewhere as reason:
        form.add_error("on", str(reason))
        return False
    return True


def _ended(state: AdoptionState) -> str:
    if state == AdoptionState.RESERVED:
        return _("The reservation ended. The animals are free again.")
    return _("They are back in our care. Choose their enclosure next.")
