"""A pool's linen line and the stock of its sizes, made ready to be drawn."""

from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache

from django.utils.formats import date_format
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from habitats.common.days import of_week, of_year
from habitats.drawing.linen_line import NARROW, WIDE, LinenLine, linen_line_picture
from habitats.drawing.linen_stock import StockDay, StockPlot, stock_picture
from habitats.drawing.weights import AxisTick
from habitats.linens.models.forecasts import PoolForecast
from habitats.linens.models.line import PoolLine
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool
from habitats.linens.models.rotations import DAYS_AHEAD
from habitats.rotation.states import State
from habitats.rotation.values import Counts

TICK_DAYS = 14
KEPT = 256  # pictures of some kilobytes, each found by all that it hangs on


def line_pictures(pool: Pool, line: PoolLine, dry: str, *, is_dry: bool) -> tuple[str, str]:
    """The line as SVG, for a desk and for a phone; both empty without a linen."""
    if not line.total:
        return "", ""
    drawn = LinenLine(
        clean=line.clean,
        in_use=line.in_use,
        soiled=line.soiled,
        washing=line.washing,
        drying=line.drying,
        apart_soiled=line.apart_on_line(State.SOILED),
        apart_washing=line.apart_on_line(State.WASHING),
        apart_drying=line.apart_on_line(State.DRYING),
        new=line.new,
        dry=dry,
        is_dry=is_dry,
    )
    title, language = _("The linens of %(pool)s") % {"pool": pool}, get_language() or ""
    return _line(drawn, title, WIDE, language), _line(drawn, title, NARROW, language)


@lru_cache(KEPT)
def _line(line: LinenLine, title: str, width: float, _language: str) -> str:
    return linen_line_picture(line, title=title, width=width)


def dry_words(foreseen: PoolDates, today: date) -> str:
    """The day on which it would run dry, in words."""
    if not foreseen.is_drawn_from:
        return _("No animals live in an enclosure that takes its linens from this pool.")
    if foreseen.runs_out_on is None:
        return _("Lasts the next %(days)d days.") % {"days": DAYS_AHEAD}
    if foreseen.runs_out_on <= today:
        return _("Run out: a change finds no clean linen today.")
    return _("Runs out on %(day)s.") % {"day": of_week(foreseen.runs_out_on)}


def stock_plot(forecast: PoolForecast, size: str, words: str) -> str:
    """SVG of the days ahead of one size; ``words`` name it."""
    short = _short(forecast, size)
    counts = forecast.ahead.days[size]
    days = (_day(forecast, number, one, short[number]) for number, one in enumerate(counts))
    plot = StockPlot(tuple(days), tuple(_ticks(forecast)))
    return _stock(plot, words, _described(forecast, counts, short), get_language() or "")


@lru_cache(KEPT)
def _stock(plot: StockPlot, title: str, description: str, _language: str) -> str:
    return stock_picture(plot, title=title, description=description)


def _short(forecast: PoolForecast, size: str) -> list[int]:
    short = [0] * forecast.inputs.days
    for one in forecast.ahead.shortages:
        if one.size == size:
            short[(one.date - forecast.inputs.start).days] += 1
    return short


def _day(forecast: PoolForecast, number: int, counts: Counts, short: int) -> StockDay:
    on = forecast.inputs.start + timedelta(days=number)
    is_wash_day = on.weekday() in forecast.inputs.laundry.wash_weekdays
    return StockDay(counts.clean, short, is_wash_day, on in forecast.ahead.overloaded)


def _ticks(forecast: PoolForecast) -> list[AxisTick]:
    days = range(0, forecast.inputs.days, TICK_DAYS)
    start = forecast.inputs.start
    return [AxisTick(day, date_format(start + timedelta(days=day), _("j M"))) for day in days]


def _described(forecast: PoolForecast, counts: Sequence[Counts], short: Sequence[int]) -> str:
    clean = [one.clean for one in counts]
    words = _("Clean at the end of a day: %(least)d at least, %(most)d at most.") % {
        "least": min(clean),
        "most": max(clean),
    }
    days = [number for number, some in enumerate(short) if some]
    if not days:
        enough = _("Every change finds a clean linen.")
        return f"{words} {enough}"
    first = forecast.inputs.start + timedelta(days=days[0])
    short_days = ngettext(
        "On %(count)d day a change finds no clean linen: %(day)s.",
        "On %(count)d days a change finds no clean linen, first on %(day)s.",
        len(days),
    ) % {"count": len(days), "day": of_year(first)}
    return f"{words} {short_days}"
