"""Kinds of linens: what they are made of, what is expected of them, what was measured."""

from typing import NamedTuple

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.sent import form_page, sent_with
from habitats.linens.forms.kinds import KindForm, ShrinkTestForm
from habitats.linens.models import facts
from habitats.linens.models.linens import LinenKind
from habitats.linens.models.pools import Pool
from habitats.linens.models.shrinkage import ShrinkTest, shrinkage_of
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of
from habitats.rotation.cloth import Shrinkage, change_words, dimensional_change
from habitats.rotation.goods import GOODS
from habitats.rotation.states import State

TESTS_SHOWN = 50


class KindRow(NamedTuple):
    """``length`` and ``width``: the dimensional change reckoned with, as ISO 5077 writes it."""

    kind: LinenKind
    length: str
    width: str
    basis: str


class MeasuredRow(NamedTuple):
    """A piece that was measured, with its dimensional changes in words."""

    test: ShrinkTest
    length: str
    width: str


@require_GET
def linen_kinds(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    gone = (State.RETIRED, State.LOST)
    counted = LinenKind.objects.annotate(
        there=Count("linens", filter=~Q(linens__state__in=gone))
    ).order_by("put_away_on", "name")
    rows = [_row(kind) for kind in counted.prefetch_related("shrink_tests")]
    context = {
        "rows": [row for row in rows if row.kind.put_away_on is None],
        "put_away": [row for row in rows if row.kind.put_away_on],
    }
    return render(request, "linens/kinds.html", context)


@require_http_methods(["GET", "POST"])
def new_linen_kind(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    form = KindForm(sent_with(request))
    if request.method == "POST" and form.is_valid():
        made = form.save()
        messages.success(
            request,
            _("%(kind)s added. Measure a piece of it before and after a wash.") % {"kind": made},
        )
        # Who came from a pool goes on there with what it still lacks.
        pool = Pool.objects.live().filter(code=request.GET.get("pool", "").upper()).first()
        return redirect("pool_page", code=pool.code) if pool else redirect("linen_kind", pk=made.pk)
    return form_page(request, "linens/new_kind.html", form=form, goods=GOODS)


@require_http_methods(["GET", "POST"])
@based_on(row_of(LinenKind, "pk"), of_form(KindForm))
def linen_kind(request: HttpRequest, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    kind = get_object_or_404(LinenKind, pk=pk)
    form = KindForm(sent_with(request), instance=kind)
    if accepted(request, form):
        form.save()
        messages.success(request, _("%(kind)s saved.") % {"kind": kind})
        return redirect("linen_kind", pk=kind.pk)
    return _kind_page(request, person, pk, form=form)


@require_POST
def new_shrink_test(request: HttpRequest, pk: int) -> HttpResponse:
    """A piece of the cloth, measured before its first wash and after."""
    person = coordinator_or_403(request)
    kind = get_object_or_404(LinenKind, pk=pk)
    form = ShrinkTestForm(request.POST, units=person.units, today=timezone.localdate())
    if not form.is_valid():
        return _kind_page(request, person, pk, testing=form)
    form.keep(kind, by=person)
    messages.success(
        request,
        _("Measurement saved. From now on, %(kind)s is cut by what was measured.") % {"kind": kind},
    )
    return redirect("linen_kind", pk=kind.pk)


@require_POST
@based_on(row_of(LinenKind, "pk"), facts.put_away)
def put_kind_away(request: HttpRequest, pk: int) -> HttpResponse:
    """No new linens are made of it; or they are again."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    kind = get_object_or_404(LinenKind, pk=pk)
    kind.put_away_on = None if kind.put_away_on else timezone.localdate()
    kind.save(update_fields=["put_away_on"])
    if kind.put_away_on:
        done = _("%(kind)s is archived: no new linens are made of it.")
    else:
        done = _("%(kind)s is in use again.")
    messages.success(request, done % {"kind": kind})
    return redirect("linen_kind", pk=kind.pk)


def _kind_page(
    request: HttpRequest,
    person: Person,
    pk: int,
    *,
    form: KindForm | None = None,
    testing: ShrinkTestForm | None = None,
) -> HttpResponse:
    # Asked anew: a form that was refused has written into the kind it was given.
    kind = get_object_or_404(LinenKind.objects.prefetch_related("shrink_tests"), pk=pk)
    tests = kind.shrink_tests.select_related("linen", "made_by").order_by("-on", "-pk")
    context = {
        "row": _row(kind),
        "kind": kind,
        "form": form or KindForm(instance=kind),
        "testing": testing or ShrinkTestForm(units=person.units, today=timezone.localdate()),
        "tests": [measured_row(one) for one in tests[:TESTS_SHOWN]],
    }
    return form_page(request, "linens/kind.html", **context)


def _row(kind: LinenKind) -> KindRow:
    found: Shrinkage = shrinkage_of(kind)
    return KindRow(kind, change_words(-found.length), change_words(-found.width), found.basis)


def measured_row(test: ShrinkTest) -> MeasuredRow:
    return MeasuredRow(
        test,
        change_words(dimensional_change(test.before_length_mm, test.after_length_mm)),
        change_words(dimensional_change(test.before_width_mm, test.after_width_mm)),
    )
