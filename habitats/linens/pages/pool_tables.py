"""What a pool's page tells: sizes and what of them is lacking, what to buy, who waits when."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from django.utils.dates import WEEKDAYS
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.forms.linens import size_words
from habitats.linens.models.forecasts import PoolForecast
from habitats.linens.models.line import PoolLine
from habitats.linens.models.linens import LinenKind
from habitats.linens.models.new_linens import cutting_for
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize, Spot
from habitats.linens.pages.pool_pictures import stock_plot
from habitats.rotation.buying import ClothNeed, Cutting, cloth_for
from habitats.rotation.more_washing import MoreWashing
from habitats.rotation.values import LinenShortage
from habitats.wording import listed

DAYS_SHOWN, NAMES_SHOWN = 14, 6
PLOTS_FIRST, MOST_PLOTS = 4, 40


class SizeRow(NamedTuple):
    """One size: where its linens are, how many there must be, and the day it runs dry."""

    size: LinenSize
    places: int
    stock: PoolLine
    par: int
    dry: date | None

    @property
    def lacking(self) -> int:
        """How many to buy or sew; those being mended come back, so they count."""
        return max(0, self.par - self.stock.total)

    @property
    def spare(self) -> int:
        return max(0, self.stock.total - self.par)


def size_rows(forecast: PoolForecast, stocks: Mapping[int, PoolLine]) -> list[SizeRow]:
    """Those that run dry first come first, then those that most places ask for."""
    sizes = LinenSize.objects.in_bulk([int(key) for key in forecast.inputs.sizes])
    places: dict[int, int] = dict.fromkeys(sizes, 0)
    for need in forecast.inputs.needs:
        places[int(need.size)] += 1
    rows = [
        SizeRow(
            size=size,
            places=places[key],
            stock=stocks.get(key, PoolLine()),
            par=forecast.par.get(str(key), 0),
            dry=forecast.ahead.runs_dry.get(str(key)),
        )
        for key, size in sizes.items()
    ]
    return sorted(rows, key=lambda row: (row.dry or date.max, -row.places, row.size.pk))


class BuyRow(NamedTuple):
    """What is lacking of a size, made of one kind of goods; ``query`` asks the form for them."""

    row: SizeRow
    kind: LinenKind
    cutting: Cutting
    cloth: ClothNeed
    query: str


def buy_rows(pool: Pool, rows: Iterable[SizeRow], cloth_width_mm: int) -> list[BuyRow]:
    """For each size that is lacking, every kind of goods that it may be made of."""
    lacking = [row for row in rows if row.lacking]
    if not lacking:
        return []
    kinds = LinenKind.objects.filter(put_away_on__isnull=True).order_by("name")
    known = list(kinds.prefetch_related("shrink_tests"))
    return [
        _buy_row(pool, row, kind, cloth_width_mm)
        for row in lacking
        for kind in known
        if kind.sort == row.size.sort
    ]


def _buy_row(pool: Pool, row: SizeRow, kind: LinenKind, cloth_width_mm: int) -> BuyRow:
    cutting = cutting_for(kind, row.size)
    cloth = cloth_for(row.lacking, cutting, kind.grams_per_m2, cloth_width_mm)
    asked: dict[str, str | int] = {
        "pool": pool.code,
        "size": row.size.pk,
        "kind": kind.pk,
        "number": row.lacking,
    }
    return BuyRow(row, kind, cutting, cloth, urlencode(asked))


class Waiting(NamedTuple):
    """A place in an enclosure that finds no clean linen on a day."""

    spot: Spot
    home: Home | None


class ShortDay(NamedTuple):
    """``more``: how many wait beside those that are named."""

    on: date
    waiting: tuple[Waiting, ...]
    more: int


def short_days(forecast: PoolForecast, today: date) -> list[ShortDay]:
    """The first days on which an enclosure finds no clean linen, with two questions for all."""
    by_day = dict(list(forecast.shortages_by_day().items())[:DAYS_SHOWN])
    named = {int(one.enclosure) for some in by_day.values() for one in some[:NAMES_SHOWN]}
    spots = Spot.objects.select_related("enclosure", "size").in_bulk(named)
    standings = Standing.objects.on(today).filter(
        enclosure__in={spot.enclosure_id for spot in spots.values()}
    )
    homes = {one.enclosure_id: one.home for one in standings.select_related("home")}
    return [_short_day(on, some, spots, homes) for on, some in by_day.items()]


def _short_day(
    on: date, some: Sequence[LinenShortage], spots: Mapping[int, Spot], homes: Mapping[int, Home]
) -> ShortDay:
    there = [spots[int(one.enclosure)] for one in some[:NAMES_SHOWN]]
    waiting = tuple(Waiting(spot, homes.get(spot.enclosure_id)) for spot in there)
    return ShortDay(on, waiting, len(some) - len(waiting))


def more_words(forecast: PoolForecast, more: MoreWashing | None) -> list[str]:
    """One more wash day: how many linens fewer are enough, and the waits that stay."""
    if more is None or not forecast.inputs.needs:
        return []
    fewer = sum(forecast.par.values()) - sum(more.par.values())
    sentences = [_fewer_words(str(WEEKDAYS[more.weekday]), fewer)]
    # Where it would help nobody, such as with no linens at all, there is nothing to say.
    if (were := len(forecast.ahead.shortages)) > more.shortages:
        sentences.append(
            ngettext(
                "It would leave %(left)d of %(were)d change without a clean linen in the next "
                "%(days)d days.",
                "It would leave %(left)d of %(were)d changes without a clean linen in the next "
                "%(days)d days.",
                were,
            )
            % {"were": were, "days": forecast.inputs.days, "left": more.shortages}
        )
    return sentences


def _fewer_words(weekday: str, fewer: int) -> str:
    if fewer <= 0:
        return _("One more wash day, on %(weekday)s, would save no linens.") % {"weekday": weekday}
    return ngettext(
        "One more wash day, on %(weekday)s, would save %(fewer)d linen.",
        "One more wash day, on %(weekday)s, would save %(fewer)d linens.",
        fewer,
    ) % {"weekday": weekday, "fewer": fewer}


class Plot(NamedTuple):
    row: SizeRow
    picture: str


class Plots(NamedTuple):
    """Those that are seen at once, and those that are opened by who wants them."""

    first: list[Plot]
    others: list[Plot]


def plots(forecast: PoolForecast, rows: Sequence[SizeRow], units: str) -> Plots:
    """The days ahead of sizes that some place asks for, those that run dry first."""
    asked = [row for row in rows if row.places][:MOST_PLOTS]
    drawn = [
        Plot(row, stock_plot(forecast, str(row.size.pk), size_words(row.size, units)))
        for row in asked
    ]
    first = max(PLOTS_FIRST, sum(row.dry is not None for row in asked))
    return Plots(drawn[:first], drawn[first:])


class PoolStep(NamedTuple):
    """Something a pool needs before it works, with the address where it is done."""

    words: str
    button: str
    address: str


def wash_words(pool: Pool) -> str:
    """The wash days in a sentence's words."""
    days = [str(WEEKDAYS[day]) for day in sorted(pool.wash_weekdays)]
    if len(days) == len(WEEKDAYS):
        return _("every day")
    return str(listed(days))
