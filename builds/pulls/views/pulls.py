"""Pulls: the material of a build, or of a batch, taken from the store."""

import uuid
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.batches import tasks
from builds.batches.forms import offered
from builds.batches.models.batches import Batch
from builds.batches.models.cutting_lines import CannotCut
from builds.common.paper import label_for, print_of, shown
from builds.plans.models.builds import CannotBuild
from builds.pulls.forms import BackForm, PullActForm, ShortForm, TakeForm, figures_of
from builds.pulls.models.accounts import PullAccount, pull_accounts
from builds.pulls.models.ending import close, give_up
from builds.pulls.models.more_taken import more_than_left
from builds.pulls.models.pull_rows import Row, servings
from builds.pulls.models.pulling import (
    begin,
    bring_back,
    report_short,
    reserve_free,
    take,
    take_as_listed,
)
from builds.pulls.models.pulls import CannotPull, Pull
from builds.pulls.models.refusals import refuse_state
from builds.pulls.pages import BATCH, BUILD, PullSubject, subject_of
from builds.pulls.paper import pull_page
from builds.sheets import SheetOffer, offer_document
from builds.store.models.movements import CannotMove
from builds.store.models.sheets import SheetKind, usual_kinds
from habitats.common.kept_prints import kept_pdf_from
from habitats.common.sent import form_page
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.from_phones import takes_from_phones

UNPROCESSABLE, CONFLICT = 422, 409
SECONDS = 2.0


# --- Looking ---


@require_GET
def pulls(request: HttpRequest) -> HttpResponse:
    """All open pulls, those of the soonest builds first."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = Pull.objects.visible_to(person).open().soonest_first()
    accounts = pull_accounts(found.select_related("build", "plan", "made_by"))
    rows = [(pull, *_far(account)) for pull, account in accounts.items()]
    return render(request, "pulls/pulls.html", {"rows": rows})


@require_GET
def pull_build(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _page(request, subject_of(person, BUILD, code))


@require_GET
def pull_batch(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _page(request, subject_of(person, BATCH, code))


@require_GET
def pull_build_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _pdf(request, person, subject_of(person, BUILD, code))


@require_GET
def pull_batch_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _pdf(request, person, subject_of(person, BATCH, code))


# --- Acting ---


@require_http_methods(["GET", "POST"])
@takes_from_phones
def pull_build_act(request: HttpRequest, code: str, act: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _act(request, person, subject_of(person, BUILD, code), act)


@require_http_methods(["GET", "POST"])
def pull_batch_act(request: HttpRequest, code: str, act: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _act(request, person, subject_of(person, BATCH, code), act)


@require_POST
def plan_batch_builds(request: HttpRequest, code: str) -> HttpResponse:
    """Plan builds of what a batch is for, so that their material can be pulled."""
    person = coordinator_or_403(request)
    subject = subject_of(person, BATCH, code)
    assert subject.batch is not None
    try:
        subject.batch.plan_builds(by=person, on=timezone.localdate())
        messages.success(request, _("Builds planned. Enter on each build’s page who it is for."))
    except CannotBuild as reason:
        messages.error(request, str(reason))
    return redirect("builds:pull_batch", code=subject.code)


@require_POST
def cut_build(request: HttpRequest, code: str) -> HttpResponse:
    """A cutting job for one build: from the store, and from sheets to buy where it has too few."""
    person = coordinator_or_403(request)
    subject = subject_of(person, BUILD, code)
    form = PullActForm(request.POST)
    idempotency_key = form.cleaned_data["once"] if form.is_valid() else uuid.uuid4()
    kinds = usual_kinds(SheetKind.objects.live().with_free([subject.builds[0].pk]).by_size())
    if not kinds:
        messages.error(request, _("There are no sheets to cut from. Add the sheets that you buy."))
        return redirect("builds:pull_build", code=subject.code)
    try:
        batch = Batch.objects.begin(subject.name, by=person, idempotency_key=idempotency_key)
        batch.add_build(subject.builds[0], idempotency_key=uuid.uuid5(idempotency_key, "line"))
        offer = SheetOffer(offered(kinds, True, True, batch), seconds=SECONDS)
        job = batch.job(
            offer_document(offer), by=person, idempotency_key=uuid.uuid5(idempotency_key, "job")
        )
        if not job.runs.exists():
            tasks.begin(job, SECONDS)
    except CannotCut as reason:
        messages.error(request, str(reason))
        return redirect("builds:pull_build", code=subject.code)
    return redirect("builds:cutting", code=job.code)


def _act(request: HttpRequest, person: Person, subject: PullSubject, act: str) -> HttpResponse:
    if act not in ACTS:
        raise Http404(_("There is no such action for a pull."))
    if request.method == "GET" and act not in ASKING:
        return redirect(subject.page)
    try:
        return ACTS[act](request, person, subject)
    except (CannotPull, CannotMove) as reason:
        messages.error(request, str(reason))
        return _page(request, subject_of(person, subject.of, subject.code), status=CONFLICT)


def _begin(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    idempotency_key = _once(request)
    builds = subject.sheet.ahead.builds
    if not builds and not subject.sheet.pulls:
        raise CannotPull(_("There is nothing to pull: everything planned is taken already."))
    for build in builds:
        begin(build, by=person, idempotency_key=uuid.uuid5(idempotency_key, build.code))
    if builds:
        messages.success(request, _("Pull started. Free stock is reserved for it."))
    return redirect(subject.page)


def _take(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    form = TakeForm(request.POST)
    if not form.is_valid():
        return form_page(request, "pulls/pull.html", **_context(subject), taking=form)
    pulls, words = _open(subject), {"by": person, "idempotency_key": form.cleaned_data["once"]}
    more = more_than_left(pulls, form.picks(), **words)
    if more and form.cleaned_data["agreed"] != figures_of(more):
        context = {"subject": subject, "more": more, "sent": form.sent(more)}
        form.ask(more)
        return form_page(request, "pulls/more.html", form=form, **context)
    count = take(pulls, form.picks(), **words)
    if count:
        messages.success(request, _taken(count))
    return redirect(subject.page)


def _all(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    count = take_as_listed(_open(subject), by=person, idempotency_key=_once(request))
    if count:
        messages.success(request, _taken(count))
    return redirect(subject.page)


def _reserve(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    count = reserve_free(_open(subject), by=person, idempotency_key=_once(request))
    reserved = ngettext("%(count)d more piece reserved.", "%(count)d more pieces reserved.", count)
    outcome = reserved % {"count": count} if count else _("Nothing more is free.")
    messages.success(request, outcome)
    return redirect(subject.page)


def _short(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    row = _asked_row(request, subject)
    sent = request.POST if request.method == "POST" else None
    form = ShortForm(sent, row=row, servings=servings(row.item))
    if sent is not None and form.is_valid():
        given, serving = form.cleaned_data, form.serving
        try:
            report_short(
                subject.sheet.pulls,
                row.item,
                given["count"],
                given["why"],
                note=given["note"],
                instead=serving and serving.item,
                place=serving and serving.place,
                by=person,
                idempotency_key=given["once"],
            )
        except (CannotPull, CannotMove) as reason:
            form.add_error("count", str(reason))
        else:
            items = row.item.of(given["count"])
            messages.success(request, _("Reported short: %(items)s.") % {"items": items})
            return redirect(subject.page)
    context = {"subject": subject, "form": form, "row": row}
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "pulls/short.html", context, status=status)


def _back(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    if sent is not None and not subject.sheet.issued:
        raise CannotPull(_("Nothing was taken, so there is nothing to bring back."))
    initial = {"item": request.GET.get("item")}
    form = BackForm(sent, issued=subject.sheet.issued, initial=initial)
    if sent is not None and form.is_valid():
        given = form.cleaned_data
        try:
            bring_back(
                [*subject.sheet.ended, *subject.sheet.pulls],
                given["item"],
                given["place"],
                given["count"],
                note=given["note"],
                by=person,
                idempotency_key=given["once"],
            )
        except (CannotPull, CannotMove) as reason:
            form.add_error("count", str(reason))
        else:
            words = {"items": given["item"].of(given["count"]), "place": given["place"]}
            messages.success(request, _("Brought back to %(place)s: %(items)s.") % words)
            return redirect(subject.page)
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "pulls/back.html", {"subject": subject, "form": form}, status=status)


def _close(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    closed = close(subject.sheet.pulls, by=person, idempotency_key=_once(request))
    if closed:
        messages.success(request, _("Pull closed. What was short is on the buying list."))
    return redirect(subject.page)


def _give_up(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    give_up(subject.sheet.pulls, by=person, idempotency_key=_once(request))
    messages.success(request, _("Pull cancelled. Nothing is reserved for it any more."))
    return redirect(subject.page)


ACTS: dict[str, Callable[[HttpRequest, Person, PullSubject], HttpResponse]] = {
    "begin": _begin,
    "take": _take,
    "all": _all,
    "keep": _reserve,
    "short": _short,
    "back": _back,
    "close": _close,
    "give-up": _give_up,
}
ASKING = ("short", "back")


# --- Parts ---


def _page(request: HttpRequest, subject: PullSubject, *, status: int = 200) -> HttpResponse:
    return render(request, "pulls/pull.html", _context(subject), status=status)


def _context(subject: PullSubject) -> dict[str, Any]:
    return {"subject": subject, "sheet": subject.sheet, "once": uuid.uuid4()}


def _pdf(request: HttpRequest, person: Person, subject: PullSubject) -> HttpResponse:
    label = label_for(request, subject.name, subject.code, subject.page)
    page = pull_page(subject.sheet, label, print_of(person, request.GET), kind=subject.of)
    return shown(kept_pdf_from(page), f"pull-{subject.code}.pdf")


def _open(subject: PullSubject) -> list[Pull]:
    """Raises ``CannotPull`` where nothing can be taken."""
    for build in subject.builds:
        if not subject.sheet.pulls:
            refuse_state(build)
    if not subject.sheet.pulls:
        raise CannotPull(_("No pull is open, so nothing was saved. Start a pull."))
    return subject.sheet.pulls


def _asked_row(request: HttpRequest, subject: PullSubject) -> Row:
    """The line that the address names. Raises ``Http404`` where the pull has none such."""
    asked = request.GET.get("item", "")
    for row in [*subject.sheet.rows, *subject.sheet.to_cut.rows]:
        if str(row.item.pk) == asked:
            return row
    raise Http404(_("The pull has no such line."))


def _once(request: HttpRequest) -> uuid.UUID:
    form = PullActForm(request.POST)
    form.is_valid()
    idempotency_key: uuid.UUID = form.cleaned_data["once"]
    return idempotency_key


def _far(account: PullAccount) -> tuple[int, int, int]:
    """Things issued, and asked for, and how many are left for which nothing is reserved."""
    asked, left = account.asked.total(), account.left.total()
    not_reserved = sum(max(0, count) for count in account.not_reserved.values())
    return asked - left, asked, not_reserved


def _taken(count: int) -> str:
    sentence = ngettext("%(count)d piece taken.", "%(count)d pieces taken.", count)
    return sentence % {"count": count}
