"""What pages say of an animal in a few words: its age, its sex."""

from datetime import date

from django.utils.formats import date_format

from habitats.animals.models.animals import Animal
from habitats.welfare.values import Species
from habitats.welfare.words import species_name

WEEK, MONTH, YEAR = 7, 30.4375, 365.25
# Younger than so many days an age is told in days, then in weeks, then in months.
IN_DAYS, IN_WEEKS, IN_MONTHS = 28, 112, 730


def age_words(animal: Animal, day: date) -> str:
    """Its age on that day; empty if its birth is not known."""
    if animal.born is None:
        return ""
    days = max((day - animal.born).days, 0)
    about = "about " if animal.born_margin_days else ""
    if days < IN_DAYS:
        return about + _counted(days, "day")
    if days < IN_WEEKS:
        return about + _counted(days // WEEK, "week")
    if days < IN_MONTHS:
        return about + _counted(int(days / MONTH), "month")
    return about + _counted(int(days / YEAR), "year")


def species_words(animal: Animal) -> str:
    return species_name(Species(animal.species))


def sex_words(animal: Animal) -> str:
    """Female, Male or not known yet; with what was done about it."""
    if not animal.sex:
        return "sex not known yet"
    words = animal.get_sex_display()
    if not animal.is_castrated:
        return words
    return f"{words}, {'castrated' if animal.sex == Animal.Sex.MALE else 'spayed'}"


def _counted(number: int, unit: str) -> str:
    return f"{number} {unit}" if number == 1 else f"{number} {unit}s"


def about(animal: Animal) -> str:
    """Sex and month of birth as far as they are known; not the age, since the card hangs long."""
    sex = animal.get_sex_display().lower() if animal.sex else ""
    if animal.is_castrated and animal.sex:
        sex = "spayed female" if animal.sex == Animal.Sex.FEMALE else "castrated male"
    around = "about " if animal.born_margin_days else ""
    born = f"born {around}{date_format(animal.born, 'M Y')}" if animal.born else ""
    return ", ".join(part for part in (sex, born) if part)
