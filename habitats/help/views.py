"""The help page: the glossary, for all who are logged in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from habitats.drawing.samples import sample
from habitats.glossary import TERMS, by_topic
from habitats.people.access import signed_in


@require_GET
def help_page(request: HttpRequest) -> HttpResponse:
    signed_in(request)
    topics = [
        (topic, [(term, sample(term.picture, term.term)) for term in terms])
        for topic, terms in by_topic(TERMS)
    ]
    return render(request, "help/help.html", {"topics": topics})
