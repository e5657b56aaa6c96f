"""What every page knows: the nonce for its scripts, and how its reader likes lengths and paper."""

from django.http import HttpRequest

from habitats.people.models.people import Person


def csp_nonce(request: HttpRequest) -> dict[str, object]:
    """Under the name that django-htmx looks for; django-csp's own processor uses another."""
    return {"csp_nonce": getattr(request, "csp_nonce", "")}


def reader(request: HttpRequest) -> dict[str, str]:
    """`units` and `paper` of who is logged in, else the defaults."""
    person = getattr(request, "user", None)
    if not isinstance(person, Person):
        return {"units": Person.Units.METRIC.value, "paper": Person.Paper.A4.value}
    return {"units": person.units, "paper": person.paper}
