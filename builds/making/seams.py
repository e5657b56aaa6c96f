"""Where to cut a length into parts that are neither too long nor too short."""

from collections.abc import Sequence
from functools import cache

from builds.making.piece import Stretch

# Seams lie on whole centimetres where that can be.
HANDY_MM = 10


def place_seams(
    whole: Stretch, most: Sequence[int], least: int, kept_clear: Sequence[Stretch]
) -> tuple[int, ...] | None:
    """Seams between parts of at least ``least`` and at most ``most`` each, in their order.

    None lies inside a ``kept_clear`` stretch (at its end is allowed). The first seam is as near as
    can be to its share in proportion to ``most``, then the second, and so on. None if there is no
    way.
    """
    shares = _shares(whole, most)

    @cache
    def following(index: int, position: int) -> tuple[int, ...] | None:
        if index == len(shares):
            return () if least <= whole.end - position <= most[-1] else None
        limits = (position + least, position + most[index], whole.end - sum(most[index + 1 :]))
        for seam in _by_nearness(shares[index], limits, kept_clear):
            if least <= seam - position <= most[index]:
                rest = following(index + 1, seam)
                if rest is not None:
                    return (seam, *rest)
        return None

    return following(0, whole.start)


def _shares(whole: Stretch, most: Sequence[int]) -> list[int]:
    total = max(1, sum(most))
    return [
        whole.start + round(whole.length_mm * sum(most[: index + 1]) / total / HANDY_MM) * HANDY_MM
        for index in range(len(most) - 1)
    ]


def _by_nearness(share: int, limits: Sequence[int], kept_clear: Sequence[Stretch]) -> list[int]:
    """Positions worth trying, the nearest to the share first."""
    candidates = {share, *limits, *(end for clear in kept_clear for end in clear)}
    return sorted(
        (
            seam
            for seam in candidates
            if not any(clear.start < seam < clear.end for clear in kept_clear)
        ),
        key=lambda seam: (abs(seam - share), seam),
    )
