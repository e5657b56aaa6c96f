"""Days, names and species as people read them in a sentence."""

from datetime import date

from habitats.decimals import NO_BREAK
from habitats.welfare.values import Species
from habitats.wording import MONTHS, message

ONE = {Species.GUINEA_PIG: message("a guinea pig"), Species.RABBIT: message("a rabbit")}
_NAMES = {Species.GUINEA_PIG: message("Guinea pig"), Species.RABBIT: message("Rabbit")}
MANY = {Species.GUINEA_PIG: message("guinea pigs"), Species.RABBIT: message("rabbits")}


def day_words(day: date) -> str:
    """A day as people read it.

    >>> day_words(date(2026, 3, 14)).split()
    ['14', 'March', '2026']
    """
    return message(
        "%(day)d%(no_break)s%(month)s %(year)d",
        day=day.day,
        no_break=NO_BREAK,
        month=MONTHS[day.month - 1],
        year=day.year,
    )


def species_name(species: Species) -> str:
    """What one animal is, as on a label: Guinea pig."""
    return _NAMES[species]
