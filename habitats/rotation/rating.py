"""What a washing machine takes: rated in kilograms of dry cotton, and less of synthetics.

Masses are whole grams of dry linens. A synthetic linen counts for more than it weighs, as if it
were the cotton whose room it takes, so that a mixed load is held against one figure.
"""

from collections.abc import Iterable
from typing import NamedTuple

from habitats.measures import kilograms
from habitats.source import Known, Source
from habitats.wording import message

RATING_SOURCE = Source(
    message("Regulation (EU) 1061/2010, Article 2(8): the rated capacity is of dry cotton"),
    Known.PRIMARY,
)

# How much of its rating a machine takes of synthetics. Machines differ: the manual says it.
SYNTHETIC_SHARE_PERCENT = 50
SYNTHETIC_SOURCE = Source(
    message("about half of the kilograms of cotton: see your machine's manual"), Known.MEMORY
)
LEAST_SHARE_PERCENT, WHOLE_PERCENT = 10, 100


class DrumLinen(NamedTuple):
    """A linen as the drum has it: its dry mass, and whether it is synthetic or mixed."""

    grams: int
    is_synthetic: bool = False


def cotton_g(linen: DrumLinen, synthetic_percent: int = SYNTHETIC_SHARE_PERCENT) -> int:
    """The grams of cotton that take as much room in the drum, rounded up.

    Raises ``ValueError`` for a share that is none: 10 to 100 % are allowed.
    """
    if not LEAST_SHARE_PERCENT <= synthetic_percent <= WHOLE_PERCENT:
        raise ValueError(
            f"{synthetic_percent} % is no share of synthetics: {LEAST_SHARE_PERCENT} to "
            f"{WHOLE_PERCENT} % of the rated cotton are allowed. Look it up in the manual."
        )
    if not linen.is_synthetic:
        return linen.grams
    return -(-linen.grams * WHOLE_PERCENT // synthetic_percent)


def load_g(linens: Iterable[DrumLinen], synthetic_percent: int = SYNTHETIC_SHARE_PERCENT) -> int:
    """What a load counts for, in grams of cotton."""
    return sum(cotton_g(linen, synthetic_percent) for linen in linens)


def overload(
    linens: Iterable[DrumLinen], rated_g: int, synthetic_percent: int = SYNTHETIC_SHARE_PERCENT
) -> str | None:
    """One sentence if the load is more than the machine is rated for; None if it goes in."""
    counted_g = load_g(linens, synthetic_percent)
    if counted_g <= rated_g:
        return None
    return message(
        "This load counts as %(counted)s of dry cotton; the machine is rated for %(rated)s. Take "
        "out %(over)s: nothing gets clean in a drum that is too full.",
        counted=kilograms(counted_g),
        rated=kilograms(rated_g),
        over=kilograms(counted_g - rated_g),
    )
