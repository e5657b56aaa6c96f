"""Search from everywhere: what is found by name, code, own number or scanned label."""

from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve
from django.utils import timezone
from django.views.decorators.http import require_GET

from builds.search.pages import found, the_one
from habitats.people.access import signed_in

LONGEST = 200


@require_GET
def search(request: HttpRequest) -> HttpResponse:
    """A hand-held scanner types what its label holds: an address of ours is opened as it is."""
    person, day = signed_in(request), timezone.localdate()
    words = " ".join(request.GET.get("q", "").replace("\0", "").split())[:LONGEST]
    if address := _own_address(words):
        return redirect(address)
    hits = found(person, day, words) if words else []
    if one := the_one(hits):
        return redirect(one.address)
    return render(request, "search/search.html", {"words": words, "kinds": hits})


def _own_address(words: str) -> str:
    """The path of a label's address, empty if this is none: whatever host it was printed with."""
    parts = urlsplit(words) if words.startswith(("http://", "https://")) else None
    if parts is None:
        return ""
    try:
        resolve(parts.path)
    except Resolver404:
        return ""
    return parts.path
