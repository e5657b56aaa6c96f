"""Linens for coordinators: the list, new ones in number, one with all that happened to it."""

from datetime import date
from typing import Any, NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.sent import form_page, sent_with
from habitats.linens.forms.linens import (
    CoordinatorStateForm,
    FindLinensForm,
    MoveLinenForm,
    NewLinensForm,
    coordinator_choices,
    sizes_in_use,
)
from habitats.linens.models import facts
from habitats.linens.models.linens import InvalidTransition, Linen, LinenKind
from habitats.linens.models.new_linens import cutting_for
from habitats.linens.models.pools import Pool
from habitats.linens.models.releasing import release_of
from habitats.linens.models.spots import LinenSize
from habitats.linens.models.transfers import MOVABLE, move
from habitats.linens.views.kinds import measured_row
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rotation.buying import Cutting
from habitats.rotation.cloth import oversize_by
from habitats.rotation.infection import WASHING_ADVICE
from habitats.rotation.labels import NotALabel, read_label
from habitats.rotation.states import State

LAUNDRY = Person.Role.LAUNDRY
LINENS_A_PAGE, EVENTS_A_PAGE, SIZES_SHOWN = 30, 50, 40
LABELS_NAMED = 12


@require_GET
def linens(request: HttpRequest) -> HttpResponse:
    person, today = member_or_403(request, LAUNDRY), timezone.localdate()
    seen = Linen.objects.visible_to(person, today)
    form = FindLinensForm(request.GET, person=person)
    found = form.found(seen).with_kind().select_related("spot__enclosure").by_label()
    page = Paginator(found, LINENS_A_PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "any": seen.exists()}
    return render(request, "linens/linens.html", context)


class SizeToCut(NamedTuple):
    """A size that places ask for, and how each kind of goods is cut for it."""

    size: LinenSize
    there: int
    cuts: list[tuple[LinenKind, Cutting]]


@require_http_methods(["GET", "POST"])
def new_linens(request: HttpRequest) -> HttpResponse:
    person, today = coordinator_or_403(request), timezone.localdate()
    form = NewLinensForm(
        sent_with(request), units=person.units, today=today, initial=_asked_for(request)
    )
    if request.method == "POST" and form.is_valid():
        made = form.make(by=person)
        messages.success(request, _added_sentence(made))
        return redirect("linen_page", label=made[0].label) if len(made) == 1 else _list_of(made)
    context = {
        "form": form,
        "sizes": _sizes_to_cut(form.initial.get("pool")),
        "any_kind": LinenKind.objects.filter(put_away_on__isnull=True).exists(),
        "any_pool": Pool.objects.live().exists(),
    }
    return form_page(request, "linens/new_linens.html", **context)


@require_GET
def linen_page(request: HttpRequest, label: str) -> HttpResponse:
    person, today = member_or_403(request, LAUNDRY), timezone.localdate()
    return _linen_page(request, _seen_by(person, label, today), today)


@require_POST
@based_on(row_of(Linen, "label"), facts.state_of_linen)
def set_linen_state(request: HttpRequest, label: str) -> HttpResponse:
    """It is soiled, set aside, mended, lost, found or retired."""
    person, today = coordinator_or_403(request), timezone.localdate()
    linen = _seen_by(person, label, today)
    form = CoordinatorStateForm(request.POST, linen=linen, today=today)
    if accepted(request, form):
        given = form.cleaned_data
        try:
            linen.set_state(given["state"], given["on"], by=person, **form.more())
        except InvalidTransition as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(
                request,
                _("%(linen)s is now marked “%(state)s”.")
                % {"linen": linen, "state": linen.state_words},
            )
            return redirect("linen_page", label=linen.label)
    return _linen_page(request, linen, today, state_form=form)


@require_POST
@based_on(row_of(Linen, "label"), facts.state_of_linen)
def move_linen(request: HttpRequest, label: str) -> HttpResponse:
    person, today = coordinator_or_403(request), timezone.localdate()
    linen = _seen_by(person, label, today)
    form = MoveLinenForm(request.POST, linen=linen, today=today)
    if accepted(request, form):
        given = form.cleaned_data
        try:
            move(linen, given["to"], given["on"], by=person, idempotency_key=given["once"])
        except InvalidTransition as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(
                request,
                _("%(linen)s now belongs to %(pool)s.") % {"linen": linen, "pool": given["to"]},
            )
            return redirect("linen_page", label=linen.label)
    return _linen_page(request, linen, today, moving=form)


def _seen_by(person: Person, label: str, today: date) -> Linen:
    """A label that is none, or none of ours, leads to no page."""
    seen = Linen.objects.visible_to(person, today).with_kind().select_related("spot__enclosure")
    try:
        return get_object_or_404(seen, label=read_label(label))
    except NotALabel:
        return get_object_or_404(seen.none())


def _linen_page(
    request: HttpRequest,
    linen: Linen,
    today: date,
    *,
    state_form: CoordinatorStateForm | None = None,
    moving: MoveLinenForm | None = None,
) -> HttpResponse:
    events = linen.events.select_related(
        "pool", "spot__enclosure", "load__programme", "made_by"
    ).order_by("-pk")
    context = {
        "linen": linen,
        "oversize": _oversize(linen),
        "release": release_of(linen) if linen.suspicion else None,
        "advice": WASHING_ADVICE,
        "events": Paginator(events, EVENTS_A_PAGE).get_page(request.GET.get("page")),
        "remarks": linen.remarks.select_related("spot__enclosure", "made_by").order_by("-pk"),
        "measured": [measured_row(one) for one in linen.shrink_tests.order_by("pk")],
        "choices": coordinator_choices(linen),
        "state_form": state_form or CoordinatorStateForm(linen=linen, today=today),
        "moving": moving or MoveLinenForm(linen=linen, today=today),
        "may_move": linen.state in MOVABLE,
        "is_over": linen.state == State.RETIRED,
    }
    return form_page(request, "linens/linen.html", **context)


def _oversize(linen: Linen) -> tuple[int, int] | None:
    """How much wider and longer than its finished size it was cut; None if it has shrunk."""
    width, long = linen.cut_width_mm, linen.cut_length_mm
    if not linen.is_oversize or width is None or long is None:
        return None
    return oversize_by(linen.spread_size, (width, long))


def _asked_for(request: HttpRequest) -> dict[str, Any]:
    """What the address asks to be filled in: pool by code, size and kind by key, number."""
    asked: dict[str, Any] = {
        name: value
        for name in ("size", "kind", "number")
        if (value := request.GET.get(name, "")).isdecimal()
    }
    pool = Pool.objects.live().filter(code=request.GET.get("pool", "").upper()).first()
    return {**asked, "pool": pool}


def _sizes_to_cut(pool: Pool | None) -> list[SizeToCut]:
    """Sizes that places ask for, those of the pool first, with two questions for their cuts."""
    kinds = LinenKind.objects.filter(put_away_on__isnull=True).order_by("name")
    known = list(kinds.prefetch_related("shrink_tests"))
    sizes = list(sizes_in_use(pool).filter(asked__gt=0)[:SIZES_SHOWN])
    there = _there(sizes)
    return [
        SizeToCut(
            size,
            there.get(size.pk, 0),
            [(kind, cutting_for(kind, size)) for kind in known if kind.sort == size.sort],
        )
        for size in sizes
    ]


def _there(sizes: list[LinenSize]) -> dict[int, int]:
    counted = Linen.objects.live().filter(size__in=sizes).values_list("size")
    return dict(counted.annotate(number=Count("pk")).order_by())


def _added_sentence(made: list[Linen]) -> str:
    labels = ", ".join(map(str, made[:LABELS_NAMED]))
    if more := max(0, len(made) - LABELS_NAMED):
        labels = _("%(labels)s and %(number)d more") % {"labels": labels, "number": more}
    first = made[0]
    added = ngettext(
        "%(number)d linen (%(kind)s) added to %(pool)s: %(labels)s.",
        "%(number)d linens (%(kind)s) added to %(pool)s: %(labels)s.",
        len(made),
    ) % {"number": len(made), "kind": first.kind, "pool": first.pool, "labels": labels}
    if first.cut_width_mm is not None:
        then = _("They are new and cut oversize: wash them before use.")
    else:
        then = _("They are clean and ready to lay in.")
    words, to_pool = f"{added} {then}", reverse("pool_page", args=[first.pool.code])
    return format_html('{} <a class="target" href="{}">{}</a>', words, to_pool, first.pool)


def _list_of(made: list[Linen]) -> HttpResponse:
    first = made[0]
    found = f"pool={first.pool_id}&state={first.state}&size={first.size_id}&kind={first.kind_id}"
    response = redirect("linens")
    response["Location"] += f"?{found}"
    return response
