"""Where to cut a length into parts that are neither too long nor too short."""

from collections.abc import Iterable, Sequence

from builds.making.piece import Stretch

# Seams lie on whole centimetres where that can be.
HANDY_MM = 10


def place_seams(
    whole: Stretch, most: Sequence[int], least: int, kept_clear: Iterable[Stretch]
) -> tuple[int, ...] | None:
    """Seams between parts of at least ``least`` and at most ``most`` each, in their order.

    None lies inside a ``kept_clear`` stretch; at its end is allowed. The first seam is as near as
    can be to its share in proportion to ``most``, then the second, and so on. None if there is no
    way.

    First come, from the last seam to the first, all places from which the rest can be cut. So no
    choice has to be taken back.
    """
    allowed = _outside(whole, kept_clear)
    places = [[Stretch(whole.end, whole.end)]]
    for longest in reversed(most[1:]):
        before = [Stretch(a - longest, b - least) for a, b in places[0] if longest >= least]
        places.insert(0, _merged(both for one in before for both in _shared(one, allowed)))
    seams = [whole.start]
    for share, longest, good in zip(_shares(whole, most), most, places, strict=True):
        reach = Stretch(seams[-1] + least, seams[-1] + longest)
        near = [min(max(share, a), b) for one in good for a, b in _shared(reach, [one])]
        if not near:
            return None
        seams.append(min(near, key=lambda seam: (abs(seam - share), seam)))
    return tuple(seams[1:-1])


def _shares(whole: Stretch, most: Sequence[int]) -> list[int]:
    """Where each part would end if all were as full."""
    total = max(1, sum(most))
    ends = [whole.length_mm * sum(most[: index + 1]) / total for index in range(len(most))]
    return [whole.start + round(end / HANDY_MM) * HANDY_MM for end in ends]


def _outside(whole: Stretch, kept_clear: Iterable[Stretch]) -> list[Stretch]:
    """What is left of a length, ends included, without the insides of some stretches."""
    left, start = [], whole.start
    for clear in sorted(kept_clear):
        if clear.start >= start:
            left.append(Stretch(start, clear.start))
        start = max(start, clear.end)
    return [*left, Stretch(start, max(start, whole.end))]


def _shared(one: Stretch, others: Iterable[Stretch]) -> list[Stretch]:
    """What one stretch shares with others; a single point counts."""
    both = [Stretch(max(one.start, other.start), min(one.end, other.end)) for other in others]
    return [stretch for stretch in both if stretch.start <= stretch.end]


def _merged(stretches: Iterable[Stretch]) -> list[Stretch]:
    """The same places in as few stretches as possible, so that they do not multiply."""
    merged: list[Stretch] = []
    for stretch in sorted(stretches):
        if merged and stretch.start <= merged[-1].end:
            merged[-1] = Stretch(merged[-1].start, max(merged[-1].end, stretch.end))
        else:
            merged.append(stretch)
    return merged
