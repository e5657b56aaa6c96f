"""Changing linens on a phone: what is due, one tap for an enclosure, and what a scan finds."""

import uuid
from datetime import date
from typing import Any, NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.idempotency import get_or_make
from habitats.common.sent import form_page, sent_with
from habitats.common.written import given, written
from habitats.enclosures.models.enclosures import Enclosure, EnclosureQuerySet
from habitats.enclosures.models.standing import Standing
from habitats.linens.forms.changes import THERE, ChangeForm, ChangePlanForm, SpotForm
from habitats.linens.models import facts
from habitats.linens.models.changes import (
    DoesNotFit,
    InUseElsewhere,
    SpotClean,
    change,
    stays_elsewhere,
)
from habitats.linens.models.dues import dues_in
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.not_back import not_back, not_back_for
from habitats.linens.models.spots import Spot
from habitats.linens.models.tasks import (
    change_tasks,
    offered_for,
    pool_of,
    shown,
    where_soiled_go,
)
from habitats.linens.models.turns import lock_linens
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.people.views.from_phones import takes_from_phones
from habitats.wording import listed

FOSTER = Person.Role.FOSTER
ENCLOSURES_A_PAGE = 50


@require_GET
def changes(request: HttpRequest) -> HttpResponse:
    """Enclosures whose linens are due, soonest first."""
    person, today = member_or_403(request, FOSTER), timezone.localdate()
    tasks = change_tasks(Enclosure.objects.cared_for_by(person, today), today)
    page = Paginator(tasks, ENCLOSURES_A_PAGE).get_page(request.GET.get("page"))
    due = sum(one.on <= today for one in tasks)
    context = {
        "page": page,
        "rows": shown(page.object_list, today),
        "due": due,
        "not_back": not_back_for(person, today),
        "today": today,
    }
    return render(request, "linens/changes.html", context)


class _Visit(NamedTuple):
    """One enclosure's linens being changed: the forms of all its spots."""

    whole: ChangeForm
    spots: list[SpotForm]


@require_http_methods(["GET", "POST"])
@takes_from_phones
@based_on(row_of(Enclosure), facts.linens_in_it)
def change_linens(request: HttpRequest, code: str) -> HttpResponse:
    """All spots of an enclosure in one tap, each with the clean linen that is offered."""
    person, today = member_or_403(request, FOSTER), timezone.localdate()
    enclosure = _seen_by(person, code)
    dues = dues_in(enclosure, today)
    pool, sent = pool_of(enclosure, today), sent_with(request)
    offered, seen = offered_for(dues, pool), Linen.objects.visible_to(person, today)
    scanned = _scanned(request)
    visit = _Visit(
        ChangeForm(sent, today=today),
        [
            SpotForm(
                sent,
                due=due,
                offered=offered[due.spot.pk],
                seen=seen,
                today=today,
                scanned=scanned,
            )
            for due in dues
        ],
    )
    is_sound = request.method == "POST" and _is_valid(visit)
    if is_sound and accepted(request, visit.whole) and _changed(request, visit, person):
        return redirect("changes")
    context = {
        "enclosure": enclosure,
        "pool": pool,
        "not_back": not_back([pool] if pool else [], today),
        "today": today,
        "whole": visit.whole,
        "spots": visit.spots,
        "parts": _parts(visit),
        "next_due": dues[0].on if dues else None,
        # How many places a clean linen is there for.
        "all": sum(bool(form.offered) for form in visit.spots),
    }
    return form_page(request, "linens/change.html", **context)


def _parts(visit: _Visit) -> list[tuple[str, list[SpotForm]]]:
    """What is due, and then the rest, each with its heading; none that is empty."""
    due = [form for form in visit.spots if form.is_due]
    later = [form for form in visit.spots if not form.is_due]
    return [
        (title, some) for title, some in ((_("Due now"), due), (_("Not due yet"), later)) if some
    ]


@require_POST
def spot_clean(request: HttpRequest, code: str) -> HttpResponse:
    """A tick: droppings picked up, wiped. The linens stay, and so does their day."""
    person, today = member_or_403(request, FOSTER), timezone.localdate()
    enclosure = _seen_by(person, code)
    form = ChangeForm(request.POST, today=today)
    if form.is_valid():
        given = form.cleaned_data
        get_or_make(
            SpotClean.objects, given["once"], enclosure=enclosure, on=given["on"], made_by=person
        )
        messages.success(
            request, _("Spot clean of %(enclosure)s recorded.") % {"enclosure": enclosure}
        )
    else:
        messages.error(request, " ".join(map(str, form.errors["on"])))
    return redirect("enclosure_linens", code=enclosure.code)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.change_plan)
def enclosure_linens(request: HttpRequest, code: str) -> HttpResponse:
    """What lies where, how often it is changed, and which spots have a linen."""
    person, today = member_or_403(request, FOSTER), timezone.localdate()
    enclosure = _seen_by(person, code)
    spots = enclosure.spots.filter(gone_on__isnull=True).select_related("size").order_by("pk")
    plan = getattr(enclosure, "change_plan", None)
    form = ChangePlanForm(sent_with(request), spots=spots, plan=plan)
    if accepted(request, form):
        form.keep(enclosure)
        messages.success(request, _("Plan saved."))
        return redirect("enclosure_linens", code=enclosure.code)
    found = dues_in(enclosure, today, person.units)
    dues = {due.spot.pk: due for due in found}
    linens = {one.spot_id: one for one in Linen.objects.filter(spot__in=spots).with_kind()}
    context = {
        "enclosure": enclosure,
        "form": form,
        "rows": [(spot, linens.get(spot.pk), dues.get(spot.pk)) for spot in spots],
        "interval": next((due.interval for due in dues.values()), None),
        "whole": ChangeForm(today=today),
        "cleaned": enclosure.spot_cleans.order_by("-on", "-pk").first(),
        "today": today,
    }
    return form_page(request, "linens/enclosure.html", **context)


def _seen_by(person: Person, code: str) -> Enclosure:
    asked = {"code": code.upper()}
    if person.is_coordinator:
        found = _ANY.first(**asked)
    elif person.has_role(FOSTER):
        found = _OWN.first(**asked, person=person, day=timezone.localdate())
    else:
        found = None
    if found is None:
        raise Http404("No enclosure of that code is cared for by this person.")
    return found


def _scanned(request: HttpRequest) -> tuple[str, str] | None:
    """The spot and the label that a scanned linen's page sends one here with."""
    spot, label = request.GET.get("spot", ""), request.GET.get("label", "")
    return (spot, label) if spot and label else None


def _is_valid(visit: _Visit) -> bool:
    """Every form is asked, so that all is told at once; some spot has to be ticked."""
    sound = all([visit.whole.is_valid(), *(one.is_valid() for one in visit.spots)])
    if sound and not any(one.cleaned_data["take"] for one in visit.spots):
        visit.whole.add_error(
            None, _("No place is ticked. Tick the places whose linens you changed.")
        )
        return False
    return sound and _no_linen_twice(visit)


def _no_linen_twice(visit: _Visit) -> bool:
    """Whether every place gets a linen of its own."""
    placed: dict[Linen, Spot] = {}
    for form in visit.spots:
        linen = form.linen()
        if not form.cleaned_data["take"] or linen is None:
            continue
        if linen in placed:
            sentence = _("%(linen)s goes into %(place)s already. Take another linen.")
            form.add_error("typed", sentence % {"linen": linen, "place": placed[linen]})
            return False
        placed[linen] = form.spot
    return True


def _changed(request: HttpRequest, visit: _Visit, person: Person) -> bool:
    """All changes of the visit, or none and what has to be said first."""
    on, idempotency_key = visit.whole.cleaned_data["on"], visit.whole.cleaned_data["once"]
    soiled: list[Linen] = []
    there = _going_out_and_in(visit)
    ahead = [linen for linen in there if linen.since > on]
    with transaction.atomic():
        lock_linens(there)
        for form in visit.spots:
            if form.cleaned_data["take"]:
                lay = {
                    "on": on,
                    "by": person,
                    "idempotency_key": uuid.uuid5(idempotency_key, str(form.spot.pk)),
                }
                soiled += _lay(form, **lay)
        is_recorded = not any(form.errors for form in visit.spots)
        transaction.set_rollback(not is_recorded)
    if not is_recorded:
        _keep_what_was_seen(visit, person)
        return False
    messages.success(
        request, _("Changed: %(enclosure)s.") % {"enclosure": visit.spots[0].spot.enclosure}
    )
    _tell_of_a_wrong_clock(request, ahead)
    for sentence in where_soiled_go(soiled, timezone.localdate()):
        messages.info(request, f"{sentence}")
    return True


def _tell_of_a_wrong_clock(request: HttpRequest, ahead: list[Linen]) -> None:
    """``ahead``: those whose last entry was of a later day than what was recorded all the same."""
    if ahead:
        sentence = _(
            "The last entry for %(linens)s had a future date: a clock was wrong. Your entry counts."
        )
        messages.info(request, sentence % {"linens": listed([str(one) for one in ahead])})


def _going_out_and_in(visit: _Visit) -> list[Linen]:
    ticked = [form for form in visit.spots if form.cleaned_data["take"]]
    there = [linen for form in ticked for linen in (form.due.linen, form.linen())]
    return [linen for linen in there if linen is not None]


def _keep_what_was_seen(visit: _Visit, person: Person) -> None:
    """Nothing was changed, but that a linen was scanned here and lies elsewhere is kept."""
    on, idempotency_key = visit.whole.cleaned_data["on"], visit.whole.cleaned_data["once"]
    for form in visit.spots:
        if form.stays is not None:
            seen = uuid.uuid5(idempotency_key, f"{form.spot.pk} {form.stays.label}")
            stays_elsewhere(form.stays, form.spot, on, by=person, idempotency_key=seen)


def _lay(form: SpotForm, *, on: Any, by: Person, idempotency_key: uuid.UUID) -> list[Linen]:
    """Lay the form's linen into its spot; what came out. What has to be asked is on the form."""
    linen, given = form.linen(), form.cleaned_data
    assert linen is not None, "a valid form has one"
    old = form.due.linen
    if given["truth"] == THERE and linen.spot_id:
        form.leave_where_it_is(linen)
        return []
    try:
        change(
            form.spot,
            linen,
            on,
            by=by,
            idempotency_key=idempotency_key,
            is_here=bool(given["truth"]),
            will_do=given["will_do"],
        )
    except InUseElsewhere as asked:
        form.ask_which_is_true(str(asked))
    except DoesNotFit as asked:
        form.ask_whether_it_will_do(str(asked))
    except InvalidTransition as refused:
        form.add_error("typed", str(refused))
    return [old] if old is not None and not form.errors else []


def _with_plan() -> EnclosureQuerySet:
    return Enclosure.objects.filter(code=given("code", str)).select_related("change_plan")


_ANY = written(_with_plan)
_OWN = written(
    lambda: _with_plan().filter(
        pk__in=Standing.objects.on(given("day", date))
        .filter(home__people=given("person", Person))
        .values("enclosure")
    )
)
