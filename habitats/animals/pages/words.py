"""What pages say of an animal in a few words: its age, its sex."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

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
    age = _age(days)
    return _("about %(age)s") % {"age": age} if animal.born_margin_days else age


def _age(days: int) -> str:
    if days < IN_DAYS:
        return ngettext("%(count)d day", "%(count)d days", days) % {"count": days}
    if days < IN_WEEKS:
        weeks = days // WEEK
        return ngettext("%(count)d week", "%(count)d weeks", weeks) % {"count": weeks}
    if days < IN_MONTHS:
        months = int(days / MONTH)
        return ngettext("%(count)d month", "%(count)d months", months) % {"count": months}
    years = int(days / YEAR)
    return ngettext("%(count)d year", "%(count)d years", years) % {"count": years}


def species_words(animal: Animal) -> str:
    return species_name(Species(animal.species))


def sex_words(animal: Animal) -> str:
    """Female, Male or not known yet; with what was done about it."""
    if not animal.sex:
        return _sex_guessed(animal)
    if not animal.is_castrated:
        return animal.get_sex_display()
    return _("Male, castrated") if animal.sex == Animal.Sex.MALE else _("Female, spayed")


def against_company(animals: int) -> str:
    """Of so many that live together although a rule forbids it."""
    return _("Not allowed: kept alone") if animals == 1 else _("Not allowed: kept together")


def about(animal: Animal) -> str:
    """Sex and month of birth as far as they are known; not the age, since the card hangs long."""
    sex = sex_in_a_line(animal) if animal.sex or animal.sex_guess else ""
    return ", ".join(part for part in (sex, _born(animal)) if part)


def sex_in_a_line(animal: Animal) -> str:
    """After another word on the line, such as the species."""
    if not animal.sex:
        return _sex_guessed(animal)
    if animal.sex == Animal.Sex.FEMALE:
        return _("spayed female") if animal.is_castrated else pgettext("in a sentence", "female")
    return _("castrated male") if animal.is_castrated else pgettext("in a sentence", "male")


def _sex_guessed(animal: Animal) -> str:
    if animal.sex_guess == Animal.Sex.FEMALE:
        return _("probably female, not sure")
    if animal.sex_guess == Animal.Sex.MALE:
        return _("probably male, not sure")
    return _("sex not known yet")


def looks(animal: Animal) -> str:
    """By what it is told from others: colour and marks; empty if nothing is written down."""
    return ", ".join(part for part in (animal.colour, animal.marks) if part)


def _born(animal: Animal) -> str:
    if animal.born is None:
        return ""
    born = _("born about %(month)s") if animal.born_margin_days else _("born %(month)s")
    return born % {"month": date_format(animal.born, _("M Y"))}
