"""A pool's linen line and the stock of its sizes, made ready to be drawn."""

from collections.abc import Sequence
from datetime import date, timedelta

from habitats.drawing.linen_line import NARROW, LinenLine, linen_line_picture
from habitats.drawing.linen_stock import StockDay, StockPlot, stock_picture
from habitats.drawing.weights import AxisTick
from habitats.linens.models.forecasts import PoolForecast
from habitats.linens.models.line import PoolLine
from habitats.linens.models.pools import Pool
from habitats.rotation.states import State
from habitats.rotation.values import Counts

TICK_DAYS = 14


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
    title = f"The linens of {pool}"
    return (
        linen_line_picture(drawn, title=title),
        linen_line_picture(drawn, title=title, width=NARROW),
    )


def dry_words(outlook: PoolForecast, today: date) -> str:
    """The day on which it would run dry, in words."""
    if not outlook.question.needs:
        return "Nobody lives in an enclosure that draws from it."
    if outlook.first_dry is None:
        return f"Lasts the {outlook.question.days} days ahead."
    if outlook.first_dry <= today:
        return "Has run dry: a change finds no clean linen today."
    return f"Runs dry on {outlook.first_dry:%A, %-d %B}."


def stock_plot(outlook: PoolForecast, size: str, words: str) -> str:
    """SVG of the days ahead of one size; ``words`` name it."""
    short = _short(outlook, size)
    counts = outlook.ahead.days[size]
    days = [_day(outlook, number, one, short[number]) for number, one in enumerate(counts)]
    return stock_picture(
        StockPlot(days, _ticks(outlook)),
        title=words,
        description=_described(outlook, counts, short),
    )


def _short(outlook: PoolForecast, size: str) -> list[int]:
    short = [0] * outlook.question.days
    for one in outlook.ahead.shortages:
        if one.size == size:
            short[(one.date - outlook.question.start).days] += 1
    return short


def _day(outlook: PoolForecast, number: int, counts: Counts, short: int) -> StockDay:
    on = outlook.question.start + timedelta(days=number)
    is_wash_day = on.weekday() in outlook.question.laundry.wash_weekdays
    return StockDay(counts.clean, short, is_wash_day, on in outlook.ahead.overloaded)


def _ticks(outlook: PoolForecast) -> list[AxisTick]:
    days = range(0, outlook.question.days, TICK_DAYS)
    start = outlook.question.start
    return [AxisTick(day, f"{start + timedelta(days=day):%-d %b}") for day in days]


def _described(outlook: PoolForecast, counts: Sequence[Counts], short: Sequence[int]) -> str:
    clean = [one.clean for one in counts]
    words = f"Clean at the end of a day: {min(clean)} at least, {max(clean)} at most."
    days = [number for number, some in enumerate(short) if some]
    if not days:
        return f"{words} No change finds none."
    first = outlook.question.start + timedelta(days=days[0])
    return f"{words} Some change finds none on {len(days)} days, first on {first:%-d %B}."
