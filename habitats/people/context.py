"""What every page knows: the nonce for its scripts, and how its reader likes lengths and paper."""

from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import get_language

from habitats.common.script_words import address_of_words
from habitats.people.models.people import Person


def csp_nonce(request: HttpRequest) -> dict[str, object]:
    """Under the name that django-htmx looks for; django-csp's own processor uses another."""
    return {"csp_nonce": getattr(request, "csp_nonce", "")}


def script_words(request: HttpRequest) -> dict[str, str]:
    """`script_words`: where scripts find their words, in the language of the page."""
    return {"script_words": address_of_words(get_language() or settings.LANGUAGE_CODE)}


def reader(request: HttpRequest) -> dict[str, str]:
    """`units` and `paper` of who is logged in, else the defaults."""
    person = getattr(request, "user", None)
    if not isinstance(person, Person):
        return {"units": Person.Units.METRIC.value, "paper": Person.Paper.A4.value}
    return {"units": person.units, "paper": person.paper}
