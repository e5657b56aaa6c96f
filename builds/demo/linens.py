"""The demo's linens: pools at the depots and in two homes, with what happened in the days before.

All invented, drawn from one generator with a set seed. One home has two of each and washes once a
week, so that it runs out tomorrow; at the depot two are still on the line, one linen is set aside,
and some new ones wait for their first wash.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

from django.db import transaction

from builds.demo import story
from builds.demo.homes import SEED
from builds.demo.network import BLOCK
from builds.demo.rounds import DemoPool, Lined, live_through
from builds.demo.rows import Network
from habitats.animals.models.groups import Membership
from habitats.animals.models.stays import Stay
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.linens import Linen, LinenEvent, LinenKind
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import LinenSize, Sort, Spot
from habitats.people.models.people import Person
from habitats.rotation.cloth import cut_size
from habitats.rotation.infection import Suspicion
from habitats.rotation.intervals import suggested_days
from habitats.rotation.labels import BODY_LENGTH, LABEL_MARKS, made_label
from habitats.rotation.par import par_levels
from habitats.rotation.rating import DrumLinen, cotton_g
from habitats.rotation.states import State
from habitats.rotation.values import ForecastInputs, Laundry, LinenNeed
from habitats.structure.design import Species
from habitats.welfare.rooms import room_of

OF_THEIR_OWN = [home.name for home in story.HOMES if home.has_pool]
RUNS_OUT = "Noor"  # of them the one that has too few
LONG_DAYS, SHORT_DAYS = 30, 8  # of history: for the first block, and for the others
WASH_DAYS_FROM_TODAY = (-1, 0, 3)  # so that yesterday's wash is drying, and today is one too
ONCE_A_WEEK = (2,)
SPARE, FORGOTTEN = 2, 2
PROGRAMMES = (("Everyday", 40, 30), ("Hot", 60, 20), ("Hottest", 75, 12))


class _Kinds(NamedTuple):
    fleece: LinenKind
    quilt: LinenKind
    towel: LinenKind

    def for_sort(self, sort: str, random: Random) -> LinenKind:
        return self.towel if sort == Sort.TOWEL else random.choice((self.fleece, self.quilt))


@transaction.atomic
def fill_linens(by: Person, today: date) -> None:
    """Bring in pools and their linens; nothing where there is a pool already, or no home."""
    homes = list(Home.objects.order_by("pk"))
    if Pool.objects.exists() or not homes:
        return
    net = Network(by, today, Random(SEED + 1))
    kinds, lined = _kinds(net), _lined_by_home(today)
    labels = _labels(net.random)
    pools = [_pool(net, number, drawn) for number, drawn in enumerate(_drawn(homes))]
    net.write()
    net.in_order(Linen, LinenChange, Load, LinenEvent)
    Home.objects.bulk_update(homes, ["pool"], batch_size=500)
    for number, (pool, drawn) in enumerate(pools):
        there = tuple(one for home in drawn for one in lined[home.pk])
        runs_out = drawn[0].name == RUNS_OUT
        is_long = drawn[0] in homes[:BLOCK] and not runs_out
        demo = DemoPool(
            pool,
            there,
            LONG_DAYS if is_long else SHORT_DAYS,
            is_in_step=runs_out,
            forgotten=FORGOTTEN if number == 0 else 0,
        )
        _size_laundry(demo, kinds)
        linens = _stock(net, demo, kinds, labels)
        live_through(net, demo, linens)
        if is_long:
            _what_is_odd(net, demo, kinds, labels)
    net.write()


def _drawn(homes: Sequence[Home]) -> Iterator[list[Home]]:
    """The homes that draw from each pool, the one with its cupboard first."""
    for first in range(0, len(homes), BLOCK):
        block = homes[first : first + BLOCK]
        own = [home for home in block if not first and home.name in OF_THEIR_OWN]
        # Today tells first of those that were made first.
        own.sort(key=lambda home: home.name != RUNS_OUT)
        shared = [home for home in block if home not in own]
        if shared:
            yield sorted(shared, key=lambda home: home.kind != Home.Kind.DEPOT)
        yield from ([home] for home in own)


def _kinds(net: Network) -> _Kinds:
    fleece = LinenKind.objects.create(
        name="Fleece, two layers",
        sort=Sort.LINER,
        layers=2,
        grams_per_m2=260,
        shrink_length=20,
        shrink_width=10,
        most_washes=120,
    )
    quilt = LinenKind.objects.create(
        name="Fleece over terry",
        sort=Sort.LINER,
        layers=2,
        grams_per_m2=330,
        shrink_length=50,
        shrink_width=40,
        most_washes=90,
    )
    towel = LinenKind.objects.create(
        name="Terry towel, folded",
        sort=Sort.TOWEL,
        fibre=LinenKind.Fibre.COTTON,
        layers=4,
        grams_per_m2=420,
        shrink_length=60,
        shrink_width=50,
        most_washes=100,
    )
    for after in (935, 942, 938):
        net.happened(
            ShrinkTest,
            kind=quilt,
            before_width_mm=1000,
            before_length_mm=1000,
            after_width_mm=after + 24,
            after_length_mm=after,
            on=net.day(40),
        )
    return _Kinds(fleece, quilt, towel)


def _lined_by_home(today: date) -> dict[int, list[Lined]]:
    """By home, the places that a linen lies in, with the days between its changes."""
    home_of = dict(Standing.objects.on(today).values_list("enclosure", "home"))
    group_of = dict(Stay.objects.on(today).values_list("enclosure", "group"))
    animals = Counter(Membership.objects.on(today).values_list("group", flat=True))
    found: dict[int, list[Lined]] = defaultdict(list)
    floors: dict[int, int] = {}
    spots = Spot.objects.lined().filter(enclosure__in=group_of)
    for spot in spots.select_related("size", "enclosure__revision__design").order_by("pk"):
        enclosure = spot.enclosure
        if enclosure.pk not in home_of:
            continue
        if enclosure.revision_id not in floors:
            structure = enclosure.structure()
            room = room_of(structure) if structure else None
            floors[enclosure.revision_id] = room.ground_mm2 + room.upper_mm2 if room else 1
        days = suggested_days(
            Species(enclosure.revision.design.species),
            max(1, animals[group_of[enclosure.pk]]),
            floors[enclosure.revision_id],
        )
        found[home_of[enclosure.pk]].append(Lined(spot, days))
    return found


def _pool(net: Network, number: int, drawn: list[Home]) -> tuple[Pool, list[Home]]:
    home = drawn[0]
    name = f"{home.name}'s cupboard" if number < 3 else f"Cupboard {number}, {home.name}"
    offsets = ONCE_A_WEEK if home.name == RUNS_OUT else WASH_DAYS_FROM_TODAY
    weekdays = Pool.bits_of((net.today + timedelta(days=days)).weekday() for days in offsets)
    pool = net.add(
        Pool,
        code=net.code(),
        name=name,
        home=home,
        weekdays=weekdays,
        loads_a_day=1,
        cotton_g=7000 if number in (1, 2) else 9000,
    )
    for title, temperature, minutes in PROGRAMMES:
        net.add(Programme, pool=pool, name=title, temperature_c=temperature, minutes=minutes)
    for one in drawn:
        one.pool = pool
    return pool, drawn


def _size_laundry(demo: DemoPool, kinds: _Kinds) -> None:
    """As many loads as what gets soiled asks for, and a little room."""
    a_week = sum(_counted_g(demo, one.spot.size, kinds) * 7 // one.days for one in demo.lined)
    a_day = a_week // len(demo.pool.wash_weekdays)
    demo.pool.loads_a_day = max(2, -(-a_day * 8 // (5 * demo.pool.cotton_g)))
    demo.pool.save(update_fields=["loads_a_day"])


def _counted_g(demo: DemoPool, size: LinenSize, kinds: _Kinds) -> int:
    kind = kinds.towel if size.sort == Sort.TOWEL else kinds.quilt
    is_synthetic = kind.fibre == LinenKind.Fibre.SYNTHETIC
    return cotton_g(DrumLinen(kind.mass_g(size), is_synthetic), demo.pool.synthetic_percent)


def _par(net: Network, demo: DemoPool, kinds: _Kinds) -> dict[LinenSize, int]:
    """By size, the fewest linens that are enough; those that most places ask for come first."""
    sizes = {one.spot.size for one in demo.lined}
    needs = tuple(
        LinenNeed(
            str(number), str(one.spot.size_id), one.days, net.today - timedelta(number % one.days)
        )
        for number, one in enumerate(demo.lined)
    )
    masses = {str(size.pk): _counted_g(demo, size, kinds) for size in sizes}
    pool = demo.pool
    laundry = Laundry(pool.wash_weekdays, pool.loads_a_day, pool.cotton_g, pool.days_to_clean)
    par = par_levels(ForecastInputs(net.today, 42, masses, needs, (), laundry))
    asked = Counter(one.spot.size for one in demo.lined)
    return {size: par[str(size.pk)] for size, _number in asked.most_common()}


def _labels(random: Random) -> Iterator[str]:
    """Labels, none of them twice."""
    given: set[str] = set()
    while True:
        label = made_label("".join(random.choices(LABEL_MARKS, k=BODY_LENGTH)))
        if label not in given:
            given.add(label)
            yield label


def _stock(net: Network, demo: DemoPool, kinds: _Kinds, labels: Iterator[str]) -> list[Linen]:
    """Clean linens on the first day of the history: enough of each size, and some to spare."""
    there = {size: par + SPARE for size, par in _par(net, demo, kinds).items()}
    if demo.is_in_step:
        # One lies there, and one is in the wash: never enough, however they are washed.
        places = Counter(one.spot.size for one in demo.lined)
        there = {size: 2 * places[size] for size in there}
    linens = []
    for size, count in there.items():
        for _ in range(count):
            kind = kinds.for_sort(size.sort, net.random)
            facts = {"washes": net.random.randint(0, kind.most_washes - 8)}
            linens.append(_linen(net, demo, kind, size, next(labels), demo.days, facts))
    return linens


def _linen(
    net: Network,
    demo: DemoPool,
    kind: LinenKind,
    size: LinenSize,
    label: str,
    ago: int,
    facts: Mapping[str, object],
) -> Linen:
    """A linen with its first event, so many days ago."""
    linen: Linen = net.happened(
        Linen,
        label=label,
        kind=kind,
        size=size,
        pool=demo.pool,
        since=net.day(ago),
        **{"state": State.CLEAN, **facts},
    )
    net.happened(
        LinenEvent,
        linen=linen,
        state=linen.state,
        on=linen.since,
        pool=demo.pool,
        washes=linen.washes,
    )
    return linen


def _what_is_odd(net: Network, demo: DemoPool, kinds: _Kinds, labels: Iterator[str]) -> None:
    """New ones that wait for their first wash, one set aside, one being mended."""
    if not demo.lined:
        return
    size = next((one.spot.size for one in demo.lined if one.spot.size.sort == Sort.LINER), None)
    if size is None:
        return
    width, length = cut_size(kinds.fleece.spread(size))
    for _ in range(3):
        facts = {"state": State.NEW, "cut_width_mm": width, "cut_length_mm": length}
        _linen(net, demo, kinds.fleece, size, next(labels), 2, facts)
    for state, more in _ODD:
        linen = _linen(net, demo, kinds.quilt, size, next(labels), 12, {"washes": 86})
        linen.state, linen.since = state, net.day(1)
        linen.suspicion = more.get("suspicion", "")
        net.happened(
            LinenEvent,
            linen=linen,
            state=state,
            on=linen.since,
            pool=demo.pool,
            washes=linen.washes,
            **more,
        )


_ODD: Iterable[tuple[State, dict[str, str]]] = (
    (State.SET_ASIDE, {"suspicion": Suspicion.RINGWORM, "note": "A bald patch was seen."}),
    (State.MENDING, {"note": "A seam has come open."}),
)
