"""A placing proposed, changed by hand, and carried out."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.common.parts import ENDED, is_part, led_on, varied
from builds.placing import tasks
from builds.placing.forms import (
    BETWEEN,
    BuildProposedForm,
    UnionProposedForm,
    by_hand_in,
    is_together_in,
    what_if_in,
)
from builds.placing.models.by_hand import ByHand
from builds.placing.models.carrying_out import MovedSince, carry_out
from builds.placing.models.case_today import RescueToday
from builds.placing.models.planning_builds import plan_proposed
from builds.placing.models.runs import PlacingRun
from builds.placing.models.uniting import unite, was_united
from builds.placing.pages.at_hand import AnswersAtHand, RunShown
from builds.placing.pages.placing_page import PlacingPage, is_done, no_longer
from builds.placing.pages.what_if import WhatIfAnswer
from builds.placing.pages.wish_forms import WishForms
from builds.placing.pages.words import Naming
from builds.plans.models.builds import Build, CannotBuild
from builds.pulls.models.pulls import CannotPull
from habitats.animals.pages.acts import with_undo
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import made_before
from habitats.common.sent import UNPROCESSABLE
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.wording import listed


@require_http_methods(["GET", "POST"])
def placing(request: HttpRequest) -> HttpResponse:
    """Worked out whenever it is opened, a large one beside it; wishes stand in the address."""
    person = coordinator_or_403(request)
    if request.method != "POST":
        return render(request, "placing/placing.html", _asked(request.GET, person))
    rescue, page, by_hand = _proposed(request, person)
    fault = _carried_out(request, page, rescue, person)
    return _refused(request, page, by_hand, fault) if fault else redirect("builds:placing")


@require_POST
def plan_build_proposed(request: HttpRequest) -> HttpResponse:
    """One build of the proposal, planned, if it is proposed still."""
    person = coordinator_or_403(request)
    form = BuildProposedForm(request.POST)
    if form.is_valid() and made_before(Build.objects, form.idempotency_key):
        return redirect("builds:placing")
    rescue, page, by_hand = _proposed(request, person)
    fault = _planned(request, form, page, rescue, person)
    return _refused(request, page, by_hand, fault) if fault else redirect(page.address)


@require_POST
def unite_proposed(request: HttpRequest) -> HttpResponse:
    """Those who were introduced and get on are one group from now on."""
    person = coordinator_or_403(request)
    form = UnionProposedForm(request.POST)
    if form.is_valid() and was_united(form.idempotency_key):
        return redirect("builds:placing")
    rescue, page, by_hand = _proposed(request, person)
    fault = _united(request, form, page, rescue, person)
    return _refused(request, page, by_hand, fault) if fault else redirect(page.address)


@require_GET
def placing_run(request: HttpRequest, number: int) -> HttpResponse:
    """How far one is that is worked out beside the pages; then the page of Placing with it."""
    coordinator_or_403(request)
    run = get_object_or_404(PlacingRun.objects.defer("answer"), pk=number)
    shown = RunShown(run, _query(request))
    if not is_part(request):
        page = "placing/working.html"
        return varied(render(request, page, {"working": shown}) if shown.is_live else _back(shown))
    if not shown.is_live:
        return led_on(request, "working", shown.page)
    return varied(render(request, "placing/_working.html", {"working": shown}))


@require_POST
def stop_placing_run(request: HttpRequest, number: int) -> HttpResponse:
    coordinator_or_403(request)
    run = get_object_or_404(PlacingRun.objects.defer("answer"), pk=number)
    run.ask_to_stop()
    shown = RunShown(run, _query(request))
    assert shown.addresses
    return redirect(shown.addresses.progress)


@require_POST
def placing_run_again(request: HttpRequest, number: int) -> HttpResponse:
    """What was asked in a run that came to no end, asked once more."""
    person = coordinator_or_403(request)
    run = get_object_or_404(PlacingRun.objects.defer("answer"), pk=number)
    tasks.begin(run.what_is_asked, run.mark, by=person)
    return _back(RunShown(run, _query(request)))


def _back(shown: RunShown) -> HttpResponse:
    return redirect(shown.page)


def _query(request: HttpRequest) -> str:
    """Of the page of Placing from which a run was begun."""
    asked = request.GET.copy()
    asked.pop(ENDED, None)
    return f"?{asked.urlencode()}" if asked else ""


def _asked(query: QueryDict, person: Person) -> dict[str, object]:
    """The page; with something imagined, compared with the page as things are."""
    is_together = is_together_in(query)
    today = RescueToday(timezone.localdate(), is_together=is_together)
    wishes = WishForms(today, Naming(today, person.units), query)
    by_hand, what_if = wishes.added_to(by_hand_in(query, today), today), what_if_in(query)
    answers, next_for = AnswersAtHand(person), query.get("next", "")
    page = PlacingPage(today, by_hand, person.units, next_for, answers)
    if not what_if and not what_if.pairs:
        return _context(page, WhatIfAnswer(page, page, by_hand), wishes)
    rescue = RescueToday(today.today, what_if, is_together=is_together)
    wished = wishes.added_to(by_hand_in(query, rescue), rescue)
    imagined = PlacingPage(rescue, wished, person.units, next_for, answers)
    return _context(imagined, WhatIfAnswer(page, imagined, by_hand, answers), wishes)


def _context(
    page: PlacingPage, what_if: WhatIfAnswer, wishes: WishForms, fault: str = ""
) -> dict[str, object]:
    return {
        "page": page,
        "what_if": what_if,
        "wishes": wishes,
        "fault": fault,
        "once": uuid.uuid4(),
    }


def _proposed(request: HttpRequest, person: Person) -> tuple[RescueToday, PlacingPage, ByHand]:
    """What was sent is about the rescue as it is."""
    rescue = RescueToday(timezone.localdate(), is_together=is_together_in(request.POST))
    by_hand = by_hand_in(request.POST, rescue)
    page = PlacingPage(rescue, by_hand, person.units, ask=AnswersAtHand(person))
    return rescue, page, by_hand


def _refused(request: HttpRequest, page: PlacingPage, by_hand: ByHand, fault: str) -> HttpResponse:
    wishes = WishForms(page.rescue, page.naming)
    context = _context(page, WhatIfAnswer(page, page, by_hand), wishes, fault)
    return render(request, "placing/placing.html", context, status=UNPROCESSABLE)


def _carried_out(request: HttpRequest, page: PlacingPage, rescue: RescueToday, by: Person) -> str:
    """Why nothing was moved; empty once all are."""
    before = request.POST.get("proposal", "")
    if is_done(before, rescue):
        return ""
    if page.working:
        return _("Something changed since, and nothing was moved. Look at the moves once more.")
    if before != page.proposal:
        gone = no_longer(before, page, rescue)
        if gone:
            words = _(
                "Something changed since, and nothing was moved. No longer proposed: %(moves)s."
            )
            return words % {"moves": listed(gone)}
        return _("Something changed since, and nothing was moved. Look at the moves once more.")
    try:
        carry_out(page.moves, rescue, by=by, on=rescue.today)
    except MovedSince:
        return _("Something changed since, and nothing was moved. Look at the moves once more.")
    except Elsewhere as reason:
        return _("Nothing was moved. %(reason)s") % {"reason": reason}
    moved = len({one.group for one in page.moves})
    words = ngettext("%(number)d group moved.", "%(number)d groups moved.", moved)
    messages.success(request, words % {"number": moved})
    return ""


def _planned(
    request: HttpRequest,
    form: BuildProposedForm,
    page: PlacingPage,
    rescue: RescueToday,
    by: Person,
) -> str:
    """Why no build was planned; empty once it is."""
    offer, home, group = form.found(rescue)
    if offer is None or home is None:
        return _("Something changed since, and no build was planned. Look at the moves once more.")
    if page.working:
        return _("Something changed since, and no build was planned. Look at the moves once more.")
    if page.step_of(group, form.key) is None:
        words = _("No longer proposed, and not planned: %(design)s at %(home)s.")
        return words % {"design": offer.design.name, "home": home}
    who, key = page.naming.group(group), form.idempotency_key
    notes = _("For %(group)s.") % {"group": who}
    try:
        build = plan_proposed(offer, home, notes, by=by, on=rescue.today, idempotency_key=key)
    except (CannotBuild, CannotPull) as reason:
        return str(reason)
    words = _(
        "“%(build)s” is planned and its material reserved. %(group)s can move in once it is handed "
        "over."
    )
    messages.success(request, words % {"build": build, "group": who})
    return ""


def _united(
    request: HttpRequest,
    form: UnionProposedForm,
    page: PlacingPage,
    rescue: RescueToday,
    by: Person,
) -> str:
    """Why they are no group; empty once they are."""
    key = form.idempotency_key if form.is_valid() else None
    if key is None or not rescue.companions.keys() >= set(form.refs):
        return _("Something changed since, and no group was made. Look at the moves once more.")
    if page.working:
        return _("Something changed since, and no group was made. Look at the moves once more.")
    if BETWEEN.join(form.refs) not in {one.key for one in page.unions}:
        words = _("No longer proposed, and no group was made: %(animals)s.")
        return words % {"animals": page.naming.animals(form.refs)}
    if not form.cleaned_data["is_introduced"]:
        return _("No group was made. Introduce them first, and tick that they get on.")
    try:
        unite(rescue, form.refs, by=by, on=rescue.today, idempotency_key=key)
    except MovedSince:
        return _("Something changed since, and no group was made. Look at the moves once more.")
    except Elsewhere as reason:
        return _("No group was made. %(reason)s") % {"reason": reason}
    words = _("%(animals)s are one group now.") % {"animals": page.naming.animals(form.refs)}
    messages.success(request, with_undo(words, by))
    return ""
