"""A kit leaves: handing it over with its receipt, and asking how it goes."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.kits.forms.kits import FollowUpDoneForm, FollowUpsForm, KitHandOverForm
from builds.kits.models import facts as kit_facts
from builds.kits.models.follow_ups import (
    FollowUpNow,
    follow_up_done,
    follow_ups_of,
    plan_follow_ups,
)
from builds.kits.models.handing_over import hand_over_kit as hand_over
from builds.kits.models.handing_over import not_ready
from builds.kits.models.kits import Packing
from builds.kits.pages.kit_pdf import print_ahead
from builds.kits.pages.kit_seen import kit_seen_by, receipt_of
from builds.plans.models import facts as build_facts
from builds.plans.models.builds import Build, BuildState, CannotBuild
from habitats.common.sent import sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, row_of

UNPROCESSABLE = 422


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), build_facts.plan_and_state)
def hand_over_kit(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    if receipt_of(found):
        return redirect("builds:kit", code=found.code)
    missing, today = Packing(found).missing, timezone.localdate()
    form = KitHandOverForm(
        sent_with(request), build=found, person=person, missing=missing, today=today
    )
    if accepted(request, form):
        try:
            idempotency_key = form.cleaned_data["once"]
            made = hand_over(
                found, form.receipt(), form.days(), by=person, idempotency_key=idempotency_key
            )
        except CannotBuild as reason:
            form.add_error(None, str(reason))
        else:
            messages.success(
                request, _("The kit is handed over to %(adopter)s.") % {"adopter": made.received_by}
            )
            print_ahead(request, found, person)
            return redirect("builds:kit", code=found.code)
    return _page(
        request,
        "kits/hand_over.html",
        build=found,
        form=form,
        missing=missing,
        not_ready=not_ready(found),
        is_inspected=found.state_now() == BuildState.INSPECTED,
    )


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), kit_facts.follow_up_days)
def kit_follow_ups(request: HttpRequest, code: str) -> HttpResponse:
    """Other days to ask on."""
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    asked = follow_ups_of(found)
    receipt = receipt_of(found)
    form = FollowUpsForm(
        sent_with(request),
        planned={one.suggested.number: one.on for one in asked},
        done={one.suggested.number for one in asked if one.done},
        first=receipt.on if receipt else timezone.localdate(),
    )
    if accepted(request, form):
        plan_follow_ups(found, form.days(), by=person, idempotency_key=form.cleaned_data["once"])
        messages.success(request, _("Days saved."))
        return redirect("builds:kit", code=found.code)
    return _page(request, "kits/follow_ups.html", build=found, form=form)


def _asked(_request: HttpRequest, code: str, number: int) -> kit_facts.Asked:
    return kit_facts.Asked(get_object_or_404(Build, code=code.upper()), number)


@require_http_methods(["GET", "POST"])
@based_on(_asked, kit_facts.follow_up_done)
def ask_kit(request: HttpRequest, code: str, number: int) -> HttpResponse:
    """Somebody asked how it goes."""
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    asked = _planned(found, number)
    form = FollowUpDoneForm(sent_with(request), today=timezone.localdate())
    if accepted(request, form):
        given = form.cleaned_data
        follow_up_done(
            found,
            number,
            given["day"],
            note=given["note"],
            by=person,
            idempotency_key=given["once"],
        )
        messages.success(request, _("Follow-up recorded."))
        return redirect("builds:kit", code=found.code)
    return _page(request, "kits/ask.html", build=found, form=form, asked=asked)


def _planned(build: Build, number: int) -> FollowUpNow:
    found = next((one for one in follow_ups_of(build) if one.suggested.number == number), None)
    if found is None:
        raise Http404(_("This kit has no such follow-up."))
    return found


def _page(request: HttpRequest, template: str, **context: object) -> HttpResponse:
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(request, template, context, status=status)
