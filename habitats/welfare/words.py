"""Days, names and species as people read them in a sentence."""

from datetime import date

from habitats.decimals import NO_BREAK
from habitats.welfare.values import Species

# Not the calendar module's: its names follow the machine's language, and ours are English.
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

ONE = {Species.GUINEA_PIG: "a guinea pig", Species.RABBIT: "a rabbit"}
_NAMES = {Species.GUINEA_PIG: "Guinea pig", Species.RABBIT: "Rabbit"}
MANY = {Species.GUINEA_PIG: "guinea pigs", Species.RABBIT: "rabbits"}


def day_words(day: date) -> str:
    """A day as people read it.

    >>> day_words(date(2026, 3, 14)).split()
    ['14', 'March', '2026']
    """
    return f"{day.day}{NO_BREAK}{MONTHS[day.month - 1]} {day.year}"


def species_name(species: Species) -> str:
    """What one animal is, as on a label: Guinea pig."""
    return _NAMES[species]
