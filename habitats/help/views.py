"""The help page: two pages to print for each role, and the glossary."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from habitats.drawing.samples import sample
from habitats.glossary import TERMS, by_topic
from habitats.people.access import signed_in
from habitats.people.models.people import Person


@require_GET
def help_page(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    topics = [
        (topic, [(term, sample(term.picture, term.term)) for term in terms])
        for topic, terms in by_topic(TERMS)
    ]
    context = {"topics": topics, "own": person.own_roles, "others": _others(person)}
    return render(request, "help/help.html", context)


def _others(person: Person) -> list[Person.Role]:
    """Whose leaflets are offered beside one's own: coordinators print them for all."""
    return [one for one in Person.Role if not person.has_role(one)] if person.is_coordinator else []
