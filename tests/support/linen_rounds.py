"""Rounds of linens for tests: one that states only what it cares about, and small random ones."""

from datetime import date, timedelta

from hypothesis import strategies as st

from habitats.rotation.values import ForecastInputs, Laundry, LinenNeed, LinenToday, WashStage

MONDAY = date(2027, 1, 4)


def make_laundry(*weekdays, loads=2, load_g=5000, days_to_clean=1, set_aside_washes=1):
    return Laundry(frozenset(weekdays), loads, load_g, days_to_clean, set_aside_washes)


def make_round(needs, pieces, laundry, days=14, **sizes):
    """Needs as (id, interval, days since it was changed), pieces as (id, at, where or ready or
    None, set aside); all of the first size unless one more value names another."""
    sizes = sizes or {"A": 600}
    first = next(iter(sizes))
    made = []
    for id, at, *more in pieces:
        where, apart, size = (*more, *(None, False, first)[len(more) :])
        lies = where if at == "in_use" else None
        ready = MONDAY + timedelta(days=where) if at == "washing" else None
        made.append(LinenToday(id, size, WashStage(at), lies, ready, apart))
    return ForecastInputs(
        MONDAY,
        days,
        sizes,
        tuple(
            LinenNeed(id, size[0] if size else first, interval, MONDAY - timedelta(days=ago))
            for id, interval, ago, *size in needs
        ),
        tuple(made),
        laundry,
    )


@st.composite
def small_rounds(draw, most_days=11, set_aside=False, alike=False):
    """Rounds with few enclosures and too few linens, which an exact model can live through."""
    start = MONDAY + timedelta(days=draw(st.integers(0, 6)))
    names = "ABC"[: draw(st.integers(1, 3))]
    sizes = {name: draw(st.sampled_from([300, 500, 600, 700, 1000])) for name in names}
    usual = {name: draw(st.integers(1, 4)) for name in names}
    needs = []
    for number in range(draw(st.integers(1, 4))):
        size = draw(st.sampled_from(names))
        interval = usual[size] if alike else draw(st.integers(1, 5))
        ago = timedelta(days=draw(st.integers(0, interval + 1)))
        needs.append(
            LinenNeed(f"E{number}", size, interval, start - ago, not draw(st.integers(0, 9)))
        )
    pieces = [
        LinenToday(
            f"U{n}", need.size, WashStage.IN_USE, need.id, None, set_aside and draw(st.booleans())
        )
        for n, need in enumerate(needs)
        if not need.lined_otherwise and draw(st.integers(0, 5))
    ]
    for number in range(draw(st.integers(0, 4))):
        at = draw(
            st.sampled_from(
                [WashStage.CLEAN, WashStage.SOILED, WashStage.SOILED, WashStage.WASHING]
            )
        )
        ready = (
            start + timedelta(days=draw(st.integers(-1, 3))) if at is WashStage.WASHING else None
        )
        if not draw(st.integers(0, 5)):
            ready = None  # expected back before, and not brought
        apart = set_aside and draw(st.booleans())
        pieces.append(
            LinenToday(f"P{number}", draw(st.sampled_from(names)), at, None, ready, apart)
        )
    laundry = Laundry(
        frozenset(draw(st.sets(st.integers(0, 6), min_size=1, max_size=3))),
        draw(st.integers(1, 2)),
        draw(st.sampled_from([1000, 1200, 1500, 2000])),
        draw(st.integers(0, 3)),
    )
    days = draw(st.integers(4, most_days))
    return ForecastInputs(start, days, sizes, tuple(needs), tuple(pieces), laundry)
