"""The fewest shortages of small rounds, by living through every way to fill every load."""

from datetime import timedelta
from functools import cache
from itertools import product

from habitats.rotation.values import WashStage


def fewest_by_trial(inputs):
    """For rounds in which one that is set aside goes through one load."""
    laundry, needs = inputs.laundry, inputs.needs
    kinds = [(size, apart) for size in inputs.sizes for apart in (False, True)]

    @cache
    def fits(masses, loads):
        """Whether some way to put these masses, heaviest first, into loads holds them all."""

        def put(rest, free):
            if not rest:
                return True
            tried = {room: at for at, room in enumerate(free) if room >= rest[0]}
            return any(
                put(rest[1:], (*free[:at], room - rest[0], *free[at + 1 :]))
                for room, at in tried.items()
            )

        return put(masses, (laundry.load_g,) * loads)

    def can_wash(numbers):
        masses = {False: [], True: []}
        for (size, apart), number in zip(kinds, numbers, strict=True):
            masses[apart] += [inputs.sizes[size]] * number
        usual, apart = (tuple(sorted(masses[one], reverse=True)) for one in (False, True))
        loads = laundry.loads_per_day
        return any(fits(usual, n) and fits(apart, loads - n) for n in range(loads + 1))

    @cache
    def fewest(day, due, lies, clean, soiled, washing):
        if day == inputs.days:
            return 0
        due, lies = list(due), list(lies)
        clean, soiled = dict(zip(kinds, clean, strict=True)), dict(zip(kinds, soiled, strict=True))
        for back, kind in washing:
            clean[kind] += back <= day
        washing = [one for one in washing if one[0] > day]
        short = 0
        for _, at in sorted((due[at], at) for at in range(len(needs)) if due[at] <= day):
            usable = [kind for kind in kinds if kind[0] == needs[at].size and clean[kind]]
            if not usable:
                short += 1
                continue
            clean[usable[0]] -= 1
            if lies[at]:
                soiled[lies[at]] += 1
            lies[at], due[at] = usable[0], day + needs[at].interval_days
        if (inputs.start + timedelta(days=day)).weekday() not in laundry.wash_weekdays:
            ways = [(0,) * len(kinds)]
        else:
            ways = filter(can_wash, product(*(range(soiled[kind] + 1) for kind in kinds)))
        back = day + max(1, laundry.days_to_clean)
        return short + min(
            fewest(
                day + 1,
                tuple(due),
                tuple(lies),
                tuple(clean.values()),
                tuple(soiled[kind] - number for kind, number in zip(kinds, way, strict=True)),
                tuple(sorted(washing + _gone(kinds, way, back))),
            )
            for way in ways
        )

    return fewest(0, *_start(inputs, kinds))


def _gone(kinds, way, back):
    return [(back, kind) for kind, number in zip(kinds, way, strict=True) for _ in range(number)]


def _start(inputs, kinds):
    def number_of(at):
        pieces = [(piece.size, piece.set_aside) for piece in inputs.pieces if piece.at is at]
        return tuple(pieces.count(kind) for kind in kinds)

    lying = {piece.enclosure: (piece.size, piece.set_aside) for piece in inputs.pieces}
    lined = {piece.enclosure for piece in inputs.pieces}

    def due(need):
        usual = (need.last_changed - inputs.start).days + need.interval_days
        return (
            usual if need.lined_otherwise or need.id in lined else min(usual, 0)
        )  # a bare one is due on the first day

    return (
        tuple(map(due, inputs.needs)),
        tuple(lying.get(need.id) for need in inputs.needs),
        number_of(WashStage.CLEAN),
        number_of(WashStage.SOILED),
        tuple(
            sorted(
                ((piece.ready - inputs.start).days, (piece.size, piece.set_aside))
                for piece in inputs.pieces
                if piece.ready
            )
        ),
    )
