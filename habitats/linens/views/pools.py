"""Pools of linens: where each linen is, the day it runs dry, what to buy, and how it is washed."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common import facts
from habitats.common.sent import form_page, sent_with
from habitats.homes.models.homes import Home
from habitats.linens.forms.pools import (
    ClosePoolForm,
    ClothForm,
    DrawingHomeForm,
    PoolForm,
    ProgrammeForm,
    TransferForm,
)
from habitats.linens.models import facts as linen_facts
from habitats.linens.models.forecasts import (
    PoolForecast,
    more_washing,
    pool_forecast,
)
from habitats.linens.models.line import PoolLine, lines_of, stocks_of, wearing_out
from habitats.linens.models.linens import InvalidTransition, LinenKind
from habitats.linens.models.not_back import not_back
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize
from habitats.linens.models.transfers import move_clean
from habitats.linens.pages.pool_pictures import dry_words, line_pictures
from habitats.linens.pages.pool_tables import (
    DAYS_SHOWN,
    PoolStep,
    SizeRow,
    buy_rows,
    more_words,
    plots,
    short_days,
    size_rows,
    wash_words,
)
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of

LAUNDRY = Person.Role.LAUNDRY
POOLS_A_PAGE = 12
HOMES_NAMED, WEARING_SHOWN, WASHES_LEFT = 12, 20, 5
UNPROCESSABLE = 422


class PoolCard(NamedTuple):
    """A pool in the list: its line for a desk and for a phone, and how long it lasts."""

    pool: Pool
    line: PoolLine
    dry: str
    is_dry: bool
    wide: str
    narrow: str


@require_GET
def pools(request: HttpRequest) -> HttpResponse:
    person, today = member_or_403(request, LAUNDRY), timezone.localdate()
    seen = Pool.objects.visible_to(person)
    closed = request.GET.get("shown") == "closed"
    found = (seen.exclude(closed_on=None) if closed else seen.live()).by_name()
    page = Paginator(found.select_related("home"), POOLS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "cards": _cards(list(page.object_list), today),
        "not_back": not_back(page.object_list, today),
        "steps": list(_first_steps()) if person.is_coordinator else [],
        "any_closed": seen.exclude(closed_on=None).exists(),
        "closed": closed,
    }
    return render(request, "linens/pools.html", context)


@require_http_methods(["GET", "POST"])
def new_pool(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = PoolForm(sent_with(request), units=person.units)
    if request.method == "POST" and form.is_valid():
        made = form.save()
        messages.success(
            request,
            _("%(pool)s added. Add its programmes, and the homes that take their linens from it.")
            % {"pool": made},
        )
        return redirect("pool_page", code=made.code)
    return form_page(request, "linens/new_pool.html", form=form, any_home=Home.objects.exists())


@require_GET
def pool_page(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, LAUNDRY)
    return _pool_page(request, person, _seen_by(person, code))


@require_http_methods(["GET", "POST"])
@based_on(row_of(Pool), of_form(PoolForm))
def edit_pool(request: HttpRequest, code: str) -> HttpResponse:
    """How it is washed: days, loads, the machine, and its programmes."""
    person = coordinator_or_403(request)
    pool = _seen_by(person, code)
    name = str(pool)  # the form writes into the pool, also what it then refuses
    form = PoolForm(sent_with(request), instance=pool, units=person.units)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Laundry of %(pool)s saved.") % {"pool": pool})
        return redirect("pool_page", code=pool.code)
    return _edit_page(request, pool, name, form, ProgrammeForm(pool=pool))


@require_POST
def new_programme(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    pool = _seen_by(person, code)
    form = ProgrammeForm(request.POST, pool=pool)
    if form.is_valid():
        made = form.save()
        messages.success(request, _("%(programme)s added.") % {"programme": made})
        return redirect("edit_pool", code=pool.code)
    return _edit_page(request, pool, str(pool), PoolForm(instance=pool, units=person.units), form)


@require_POST
def put_programme_away(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """It is offered no more; loads that were washed with it keep it."""
    person = coordinator_or_403(request)
    programme = get_object_or_404(_seen_by(person, code).programmes, pk=pk)
    if programme.put_away_on is None:
        programme.put_away_on = timezone.localdate()
        programme.save(update_fields=["put_away_on"])
    messages.success(
        request,
        _("%(programme)s is archived: no new load offers it.") % {"programme": programme.name},
    )
    return redirect("edit_pool", code=programme.pool.code)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Pool), linen_facts.drawing_homes)
def pool_homes(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    pool = _seen_by(person, code)
    form = DrawingHomeForm(sent_with(request), pool=pool)
    if accepted(request, form):
        home = form.cleaned_data["home"]
        _draw_from(home, pool)
        messages.success(
            request,
            _("%(home)s now takes its linens from %(pool)s.") % {"home": home, "pool": pool},
        )
        return redirect("pool_homes", code=pool.code)
    homes = pool.homes.order_by("name", "pk")
    return form_page(request, "linens/pool_homes.html", form=form, pool=pool, homes=homes)


@require_POST
@based_on(row_of(Pool), linen_facts.drawing_homes)
def stop_drawing(request: HttpRequest, code: str, home: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    pool = _seen_by(person, code)
    leaving = get_object_or_404(pool.homes, code=home.upper())
    _draw_from(leaving, None)
    messages.success(
        request,
        _("%(home)s no longer takes its linens from %(pool)s. Add it to another pool.")
        % {"home": leaving, "pool": pool},
    )
    return redirect("pool_homes", code=pool.code)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Pool), linen_facts.clean_ones)
def transfer(request: HttpRequest, code: str) -> HttpResponse:
    """Clean linens in number to another pool."""
    person, today = coordinator_or_403(request), timezone.localdate()
    pool = _seen_by(person, code)
    clean = _clean_by_size(pool)
    form = TransferForm(sent_with(request), pool=pool, clean=clean, today=today)
    if accepted(request, form) and _moved(request, form, pool, person):
        return redirect("pool_page", code=pool.code)
    rows = [(size, number, form[f"size-{size.pk}"]) for size, number in clean]
    others = Pool.objects.live().exclude(pk=pool.pk).exists()
    return form_page(
        request, "linens/transfer.html", form=form, pool=pool, rows=rows, others=others
    )


@require_POST
@based_on(row_of(Pool), facts.closed)
def close_pool(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    pool = _seen_by(person, code)
    form = ClosePoolForm(request.POST, pool=pool, today=timezone.localdate())
    if not accepted(request, form):
        return _pool_page(request, person, pool, closing=form)
    pool.closed_on = form.cleaned_data["day"]
    pool.save(update_fields=["closed_on"])
    messages.success(request, _("%(pool)s is closed. You can reopen it.") % {"pool": pool})
    return redirect("pool_page", code=pool.code)


@require_POST
@based_on(row_of(Pool), facts.closed)
def reopen_pool(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    pool = _seen_by(person, code)
    pool.closed_on = None
    pool.save(update_fields=["closed_on"])
    messages.success(request, _("%(pool)s is open again.") % {"pool": pool})
    return redirect("pool_page", code=pool.code)


def _seen_by(person: Person, code: str) -> Pool:
    seen = Pool.objects.visible_to(person).select_related("home")
    return get_object_or_404(seen, code=code.upper())


def _cards(found: Sequence[Pool], today: date) -> list[PoolCard]:
    """Those of a page that run dry first come first."""
    lines, foreseen = lines_of(found), PoolDates.objects.foreseen(found, today)
    soonest = sorted(found, key=lambda pool: foreseen[pool.pk].runs_out_on or date.max)
    return [_card(pool, lines[pool.pk], foreseen[pool.pk], today) for pool in soonest]


def _card(pool: Pool, line: PoolLine, foreseen: PoolDates, today: date) -> PoolCard:
    dry, is_dry = dry_words(foreseen, today), foreseen.runs_out_on is not None
    wide, narrow = line_pictures(pool, line, dry, is_dry=is_dry)
    return PoolCard(pool, line, dry, is_dry, wide, narrow)


def _pool_page(
    request: HttpRequest, person: Person, pool: Pool, *, closing: ClosePoolForm | None = None
) -> HttpResponse:
    today = timezone.localdate()
    forecast, stocks = pool_forecast(pool, today), stocks_of(pool)
    foreseen = PoolDates.told_by(pool, forecast, today)
    rows = size_rows(forecast, stocks)
    cloth = ClothForm(request.GET if "cloth" in request.GET else None, units=person.units)
    wearing = wearing_out(pool, WASHES_LEFT)
    homes = pool.homes.order_by("name", "pk")
    context = {
        "pool": pool,
        "card": _card(pool, lines_of([pool])[pool.pk], foreseen, today),
        "not_back": not_back([pool], today),
        "rows": rows,
        "buys": buy_rows(pool, rows, cloth.width_mm()),
        "cloth": cloth,
        "without_kind": _sorts_without_goods(rows),
        "forecast": forecast,
        "overloaded": forecast.ahead.overloaded,
        "days": short_days(forecast, today),
        "more_days": max(0, len(forecast.shortages_by_day()) - DAYS_SHOWN),
        "more": more_words(forecast, more_washing(forecast)),
        "plots": plots(forecast, rows, person.units),
        "wearing": wearing[:WEARING_SHOWN],
        "wearing_count": wearing.count(),
        "washed": wash_words(pool),
        "programmes": pool.programmes.filter(put_away_on__isnull=True).order_by("pk"),
        "homes": homes[:HOMES_NAMED],
        "home_count": homes.count(),
        "steps": list(_steps_of(pool, forecast, stocks)) if person.is_coordinator else [],
        "closing": closing or ClosePoolForm(pool=pool, today=today),
        "today": today,
    }
    status = UNPROCESSABLE if closing else 200
    return render(request, "linens/pool.html", context, status=status)


def _edit_page(
    request: HttpRequest, pool: Pool, name: str, form: PoolForm, programme: ProgrammeForm
) -> HttpResponse:
    programmes = pool.programmes.order_by("put_away_on", "pk")
    kept = [one for one in programmes if one.put_away_on is None]
    return form_page(
        request,
        "linens/edit_pool.html",
        form=form,
        programme=programme,
        programmes=kept,
        name=name,
        code=pool.code,
        # Asked anew: a form that was refused has written into the pool it was given.
        pool=Pool.objects.get(pk=pool.pk),
    )


def _draw_from(home: Home, pool: Pool | None) -> None:
    home.pool = pool
    home.save(update_fields=["pool"])


def _clean_by_size(pool: Pool) -> list[tuple[LinenSize, int]]:
    clean = {key: one.clean for key, one in stocks_of(pool).items() if one.clean}
    sizes = LinenSize.objects.filter(pk__in=clean).order_by("sort", "length_mm", "width_mm")
    return [(size, clean[size.pk]) for size in sizes]


def _moved(request: HttpRequest, form: TransferForm, pool: Pool, person: Person) -> bool:
    given = form.cleaned_data
    try:
        moved = move_clean(
            pool, given["to"], form.numbers(), given["on"], by=person, idempotency_key=given["once"]
        )
    except InvalidTransition as refused:
        form.add_error(None, str(refused))
        return False
    sentence = ngettext(
        "%(number)d linen now belongs to %(pool)s.",
        "%(number)d linens now belong to %(pool)s.",
        moved,
    )
    messages.success(request, sentence % {"number": moved, "pool": given["to"]})
    return True


def _sorts_without_goods(rows: Sequence[SizeRow]) -> list[str]:
    """Sorts that are lacking while no kind of goods is known to make them of."""
    lacking = {row.size.sort: row.size.get_sort_display() for row in rows if row.lacking}
    known = LinenKind.objects.filter(put_away_on__isnull=True, sort__in=lacking)
    return sorted(set(lacking.values()) - {one.get_sort_display() for one in known})


def _first_steps() -> Iterator[PoolStep]:
    """What to do first where linens begin, in order; nothing once it is done."""
    if not Home.objects.exists():
        yield PoolStep(
            _("Add a home: the cupboard of a pool stands in one."),
            _("New home"),
            reverse("new_home"),
        )
    if not LinenKind.objects.exists():
        yield PoolStep(
            _(
                "Describe what your linens are made of: fleece or terry, how many layers, and "
                "their mass."
            ),
            _("New kind"),
            reverse("new_linen_kind"),
        )
    if not Pool.objects.exists():
        yield PoolStep(
            _("Add a pool: its cupboard, its wash days and its machine."),
            _("New pool"),
            reverse("new_pool"),
        )


def _steps_of(
    pool: Pool, forecast: PoolForecast, stocks: dict[int, PoolLine]
) -> Iterator[PoolStep]:
    """What the pool still lacks before it works."""
    if not LinenKind.objects.exists():
        yield PoolStep(
            _("Describe what your linens are made of."),
            _("New kind"),
            f"{reverse('new_linen_kind')}?pool={pool.code}",
        )
    if not pool.programmes.filter(put_away_on__isnull=True).exists():
        yield PoolStep(
            _("Add the machine’s programmes, with their temperature and minutes."),
            _("Programmes"),
            reverse("edit_pool", args=[pool.code]),
        )
    if not forecast.inputs.needs:
        lack = (
            _("The homes of this pool have no enclosure with animals and places for linens yet.")
            if pool.homes.filter(closed_on__isnull=True).exists()
            else _("No home takes its linens from this pool yet. Add homes.")
        )
        yield PoolStep(lack, _("Homes"), reverse("pool_homes", args=[pool.code]))
    if not stocks:
        yield PoolStep(
            _("Add the linens that you have: each is given a label."),
            _("New linens"),
            f"{reverse('new_linens')}?pool={pool.code}",
        )
