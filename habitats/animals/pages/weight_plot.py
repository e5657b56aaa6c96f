"""An animal's weighings made ready for the plot."""

from collections.abc import Sequence
from datetime import date, timedelta

from habitats.animals.models.animals import Animal, Weighing
from habitats.drawing.weights import AxisTick, Weighed, Weights, weights_picture
from habitats.measures import grams
from habitats.welfare import companion as pure
from habitats.welfare.growth import guide_g
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.values import Species
from habitats.welfare.weights import falls
from habitats.welfare.words import day_words
from habitats.wording import MONTHS

MOST_TICKS = 4
# The guide of a young animal is drawn on for so many days; from this age on it says little more.
GUIDE_AHEAD_DAYS, GUIDED_UNTIL_DAYS = 56, 365
GUIDE_STEP_DAYS = 7


def weight_plot(animal: Animal, weighings: Sequence[Weighing], limits: WelfareLimits) -> str:
    """SVG of the weighings, in time; empty without any."""
    if not weighings:
        return ""
    first = weighings[0].on
    fallen = {
        fall.after.day: f"\N{MINUS SIGN}{-fall.percent:.1f} %" for fall in _falls(weighings, limits)
    }
    last_of_day = {one.on: one.pk for one in weighings}
    weighed = [
        Weighed(
            (one.on - first).days,
            one.grams,
            fallen.get(one.on, "") if last_of_day[one.on] == one.pk else "",
        )
        for one in weighings
    ]
    guide = _guide(animal, weighings)
    last = max(weighed[-1].day, guide[-1][0] if guide else 0)
    picture = Weights(weighed, guide, _ticks(first, last))
    return weights_picture(
        picture,
        title=f"Weights of {animal}",
        description=_described(animal, weighings, len(fallen)),
    )


def has_guide(animal: Animal) -> bool:
    """Whether the upper guide of its species can be drawn for its age."""
    return animal.born is not None and guide_g(Species(animal.species), 0) is not None


def _falls(weighings: Sequence[Weighing], limits: WelfareLimits) -> Sequence:
    return falls((pure.DatedWeight(one.on, one.grams) for one in weighings), limits)


def _guide(animal: Animal, weighings: Sequence[Weighing]) -> list[tuple[int, float]]:
    """The upper guide for its age, while that tells anything; the older it may be, the heavier."""
    if animal.born is None:
        return []
    first, last = weighings[0].on, weighings[-1].on
    born = pure.BirthSpan.about(animal.born, animal.born_margin_days)
    if born.oldest(last) < GUIDED_UNTIL_DAYS:
        last += timedelta(days=GUIDE_AHEAD_DAYS)
    species = Species(animal.species)
    days = range(0, (last - first).days + GUIDE_STEP_DAYS, GUIDE_STEP_DAYS)
    ages = [(day, guide_g(species, max(born.oldest(first) + day, 0))) for day in days]
    return [(day, amount) for day, amount in ages if amount is not None]


def _ticks(first: date, last: int) -> list[AxisTick]:
    """A few days evenly apart, in words; the year with the first."""
    step = max(last // (MOST_TICKS - 1), 1)
    days = range(0, last + 1, step)
    return [
        AxisTick(day, _short(first + timedelta(days=day), with_year=last > 300)) for day in days
    ]


def _short(day: date, *, with_year: bool) -> str:
    month = MONTHS[day.month - 1][:3]
    return f"{month} {day.year}" if with_year else f"{day.day} {month}"


def _described(animal: Animal, weighings: Sequence[Weighing], fallen: int) -> str:
    first, last = weighings[0], weighings[-1]
    words = (
        f"{len(weighings)} weighings, from {grams(first.grams)} on {day_words(first.on)} to "
        f"{grams(last.grams)} on {day_words(last.on)}."
    )
    if fallen:
        words += (
            f" {fallen} falls that call for a vet."
            if fallen > 1
            else " One fall that calls for a vet."
        )
    return words
