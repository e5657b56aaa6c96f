"""An animal's weighings made ready for the plot."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.animals.models.animals import Animal, Weighing
from habitats.common.days import in_full
from habitats.decimals import fixed
from habitats.drawing.weights import AxisTick, Weighed, Weights, weights_picture
from habitats.measures import grams
from habitats.welfare import companion as pure
from habitats.welfare.growth import guide_g
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.values import Species
from habitats.welfare.weights import falls

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
        fall.after.day: f"{fixed(round(10 * fall.percent), 1)} %"
        for fall in _falls(weighings, limits)
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
        title=_("Weights of %(animal)s") % {"animal": animal},
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
    return date_format(day, _("M Y") if with_year else _("j M"))


def _described(animal: Animal, weighings: Sequence[Weighing], fallen: int) -> str:
    first, last = weighings[0], weighings[-1]
    count = len(weighings)
    words = ngettext(
        "%(count)d weighing, from %(first)s on %(first_day)s to %(last)s on %(last_day)s.",
        "%(count)d weighings, from %(first)s on %(first_day)s to %(last)s on %(last_day)s.",
        count,
    ) % {
        "count": count,
        "first": grams(first.grams),
        "first_day": in_full(first.on),
        "last": grams(last.grams),
        "last_day": in_full(last.on),
    }
    if not fallen:
        return words
    falls_words = ngettext(
        "%(count)d fall that calls for a vet.", "%(count)d falls that call for a vet.", fallen
    ) % {"count": fallen}
    return f"{words} {falls_words}"
