"""Two answers from one address: the whole page, or the part that htmx asked for."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect

ENDED = "ended"  # in the address of a part that told how far some work is


def is_part(request: HttpRequest) -> bool:
    """Whether htmx asked, and not to restore a whole page from its history."""
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and not htmx.history_restore_request


def varied(response: HttpResponse) -> HttpResponse:
    """The response, with the header that keeps a cache from mixing up page and part."""
    patch_vary_headers(response, ["HX-Request", "HX-History-Restore-Request"])
    return response


def led_on(request: HttpRequest, part: str, page: str) -> HttpResponse:
    """Once the work has ended of which a part asks again and again: the way to the page.

    First comes a part that asks a single time: one that asks each second would have the browser
    begin again to load the page before it has come. ``part``: the id of its section.
    """
    if ENDED in request.GET:
        return varied(HttpResponseClientRedirect(page))
    asked = request.GET.copy()
    asked[ENDED] = "yes"
    address = f"{request.path}?{asked.urlencode()}"
    context = {"part": part, "address": address, "page": page}
    return varied(render(request, "_led_on.html", context))
