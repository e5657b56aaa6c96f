"""Do so many linens fit the loads of one day, and how: bin packing of a few masses.

Ordinary linens and those set aside are packed apart, into as many loads together as a day has.
A load of one mass is counted; several masses are tried by the largest first, and searched where
that does not settle it. The search has an end: what it could not settle is taken not to fit, and
``unsettled`` says that it happened.
"""

from collections.abc import Iterator, Mapping, Sequence

from habitats.rotation.lane import ORDINARY, Key

Load = Mapping[Key, int]

MOST_STEPS = 5000  # of one search; what is packed in earnest has a few masses and a few loads


class Packer:
    """The loads of one day of one laundry; remembers what it was asked."""

    def __init__(self, grams: Mapping[Key, int], loads: int, load_g: int) -> None:
        self.grams = grams
        self._loads = loads
        self._load_g = load_g
        self._known: dict[tuple[int, ...], tuple[Load, ...] | None] = {}
        self.keys = tuple(grams)
        self.unsettled = False

    def pack(self, counts: Sequence[int]) -> tuple[Load, ...] | None:
        """Loads that hold so many of each key, in the order of ``keys``; None: they do not fit."""
        asked = tuple(counts)
        if asked not in self._known:
            self._known[asked] = self._packed(asked)
        return self._known[asked]

    def fits(self, counts: Sequence[int]) -> bool:
        return self.pack(counts) is not None

    def remember(self, counts: Sequence[int], loads: tuple[Load, ...]) -> None:
        """Loads that were found elsewhere to hold these counts."""
        if self._known.get(tuple(counts)) is None:
            self._known[tuple(counts)] = loads

    def _packed(self, counts: tuple[int, ...]) -> tuple[Load, ...] | None:
        wanted = {key: n for key, n in zip(self.keys, counts, strict=True) if n}
        apart = {key: n for key, n in wanted.items() if key.kind != ORDINARY}
        usual = {key: n for key, n in wanted.items() if key.kind == ORDINARY}
        first = self._within(apart, self._loads, as_few=bool(usual))
        if first is None:
            return None
        rest = self._within(usual, self._loads - len(first))
        return None if rest is None else rest + first

    def _within(
        self, wanted: Mapping[Key, int], most: int, *, as_few: bool = False
    ) -> tuple[Load, ...] | None:
        """At most so many loads that hold them, or as few as can be; None if they do not fit."""
        mass = sum(self.grams[key] * number for key, number in wanted.items())
        least = -(-mass // self._load_g)
        if least > most:
            return None
        simple = self._largest_first(wanted, most)
        enough = least if as_few else most
        if len({self.grams[key] for key in wanted}) <= 1 or (
            simple is not None and len(simple) <= enough
        ):
            return simple  # of one mass no other way needs fewer loads
        below = most + 1 if simple is None else len(simple)
        for loads in range(least if as_few else most, below):
            if (found := self._searched(wanted, loads)) is not None:
                return found
        return simple

    def _largest_first(self, wanted: Mapping[Key, int], most: int) -> tuple[Load, ...] | None:
        loads: list[dict[Key, int]] = []
        free: list[int] = []
        for key in sorted(wanted, key=lambda one: (-self.grams[one], one)):
            left, grams = wanted[key], self.grams[key]
            for number, room in enumerate(free):
                count = min(left, room // grams)
                if count:
                    loads[number][key] = count
                    free[number] -= count * grams
                    left -= count
            while left:
                count = min(left, self._load_g // grams)
                if not count or len(loads) == most:
                    return None
                loads.append({key: count})
                free.append(self._load_g - count * grams)
                left -= count
        return tuple(loads)

    def _searched(self, wanted: Mapping[Key, int], loads: int) -> tuple[Load, ...] | None:
        keys = sorted(wanted, key=lambda one: (-self.grams[one], one))
        search = _Search([self.grams[key] for key in keys], self._load_g)
        filled = search.run(tuple(wanted[key] for key in keys), loads)
        self.unsettled |= search.steps > MOST_STEPS
        if filled is None:
            return None
        return tuple(
            {key: count for key, count in zip(keys, one, strict=True) if count} for one in filled
        )


class _Search:
    """Fill load after load; each holds one of the heaviest left, and nothing more would fit it."""

    def __init__(self, grams: Sequence[int], load_g: int) -> None:
        self._grams = grams
        self._load_g = load_g
        self._hopeless: set[tuple[tuple[int, ...], int]] = set()
        self.steps = 0

    def run(self, left: tuple[int, ...], loads: int) -> list[tuple[int, ...]] | None:
        if not any(left):
            return []
        mass = sum(map(int.__mul__, self._grams, left))
        if mass > loads * self._load_g or (left, loads) in self._hopeless:
            return None
        for filling in self._fillings(left):
            rest = self.run(tuple(map(int.__sub__, left, filling)), loads - 1)
            if rest is not None:
                return [filling, *rest]
        if self.steps <= MOST_STEPS:
            self._hopeless.add((left, loads))
        return None

    def _fillings(self, left: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        heaviest = next(index for index, count in enumerate(left) if count)
        for filling, room in self._ways(left, 0, self._load_g):
            self.steps += 1
            if self.steps > MOST_STEPS:
                return
            spare = map(int.__sub__, left, filling)
            full = all(n == 0 or g > room for n, g in zip(spare, self._grams, strict=True))
            if full and filling[heaviest]:
                yield filling

    def _ways(
        self, left: tuple[int, ...], at: int, room: int
    ) -> Iterator[tuple[tuple[int, ...], int]]:
        """Ways to put kinds from ``at`` on into the room, and what room each leaves."""
        if at == len(left):
            yield (), room
            return
        grams = self._grams[at]
        for count in range(min(left[at], room // grams), -1, -1):
            for rest, spare in self._ways(left, at + 1, room - count * grams):
                yield (count, *rest), spare
