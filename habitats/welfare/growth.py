"""What an animal will weigh: an upper guide, drawn through its own weights.

Guinea pigs: the logistic curve of meat-breed males by Tapie et al. (Tropical and Subtropical
Agroecosystems, article 5179). They are heavier than pets, so it is an upper guide for "when will
this group outgrow its enclosure", never a target. Rabbits: no sourced curve is known to us.
"""

from datetime import date
from enum import StrEnum
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.values import Species


class Method(StrEnum):
    """How a weight ahead was found; the value is what people read."""

    WEIGHED = "its last weight"
    GUIDE = "upper guide for its age"
    SCALED = "upper guide for its age, scaled through its last weight"
    ADULT = "its expected adult weight, counted from the day after its last weight"
    KEPT = "its last weight kept, as no growth curve is known to us"


class WeightAhead(NamedTuple):
    """``grams`` by ``method``. ``upper_guide``: growth was put in, and rather more than less."""

    grams: int
    method: Method

    @property
    def upper_guide(self) -> bool:
        return self.method in (Method.GUIDE, Method.SCALED, Method.ADULT)


def guide_g(species: Species, age_days: int) -> float | None:
    """The upper guide at this age, in grams; None for a species without a sourced curve."""
    raise NotImplementedError


def weight_ahead(animal: Companion, day: date) -> WeightAhead | None:
    """What to reckon with on that day; None if neither weight nor age tells anything.

    Never less than the last weighing up to that day, and never falling from day to day ahead.
    """
    raise NotImplementedError
