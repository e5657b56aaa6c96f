"""How many linens of a pool are where: counted in one question for any number of pools."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Case, Count, F, Value, When

from habitats.linens.models.linens import Linen, LinenQuerySet
from habitats.linens.models.pools import Pool
from habitats.rotation.states import State
from habitats.rotation.states import line_of as place_of


@dataclass(slots=True)
class PoolLine:
    """The linens of a pool, or of one size of it, by state; retired and lost ones left out.

    ``apart``: those that are set aside, or were and are in the wash, by state. They are among
    ``states`` too.
    """

    states: dict[State, int] = field(default_factory=lambda: defaultdict(int))
    apart: dict[State, int] = field(default_factory=lambda: defaultdict(int))

    def add(self, state: State, number: int, *, is_apart: bool) -> None:
        self.states[state] += number
        if is_apart:
            self.apart[state] += number

    def on_line(self, place: State) -> int:
        """How many hang in one of the five places of the line."""
        return sum(number for state, number in self.states.items() if place_of(state) is place)

    def apart_on_line(self, place: State) -> int:
        return sum(number for state, number in self.apart.items() if place_of(state) is place)

    @property
    def clean(self) -> int:
        return self.on_line(State.CLEAN)

    @property
    def in_use(self) -> int:
        return self.on_line(State.IN_USE)

    @property
    def soiled(self) -> int:
        return self.on_line(State.SOILED)

    @property
    def washing(self) -> int:
        return self.on_line(State.WASHING)

    @property
    def drying(self) -> int:
        return self.on_line(State.DRYING)

    @property
    def set_aside(self) -> int:
        return sum(self.apart.values())

    @property
    def new(self) -> int:
        """Not on the line yet: never washed, or to be measured after the first wash."""
        return self.states.get(State.NEW, 0) + self.states.get(State.FIRST_WASHED, 0)

    @property
    def mending(self) -> int:
        return self.states.get(State.MENDING, 0)

    @property
    def total(self) -> int:
        return sum(self.states.values())


def line_of(pool: Pool) -> PoolLine:
    return lines_of([pool])[pool.pk]


def lines_of(pools: Iterable[Pool]) -> dict[int, PoolLine]:
    """The lines of these pools by their keys, with one question."""
    pools = list(pools)
    found = {pool.pk: PoolLine() for pool in pools}
    for key, _size, state, is_apart, number in _counted(pools):
        found[key].add(state, number, is_apart=is_apart)
    return found


def stocks_of(pool: Pool) -> dict[int, PoolLine]:
    """The pool's lines by size, with one question; only sizes that there are linens of."""
    found: dict[int, PoolLine] = defaultdict(PoolLine)
    for _pool, size, state, is_apart, number in _counted([pool]):
        found[size].add(state, number, is_apart=is_apart)
    return dict(found)


def _counted(pools: list[Pool]) -> Iterable[tuple[int, int, State, bool, int]]:
    rows = (
        Linen.objects.live()
        .filter(pool__in=pools)
        .annotate(is_apart=Case(When(suspicion="", then=Value(0)), default=Value(1)))
        .values_list("pool", "size", "state", "is_apart")
        .annotate(number=Count("pk"))
        .order_by()
    )
    for pool, size, state, is_apart, number in rows:
        yield pool, size, State(state), bool(is_apart), number


def wearing_out(pool: Pool, washes_left: int) -> LinenQuerySet:
    """Linens that may be retired within so many washes, those with the fewest left first.

    Each has ``left``: how many washes are expected of it still, below 0 where it had more.
    """
    return (
        Linen.objects.live()
        .filter(pool=pool)
        .annotate(left=F("kind__most_washes") - F("washes"))
        .filter(left__lte=washes_left)
        .with_kind()
        .order_by("left", "label")
    )
