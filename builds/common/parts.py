"""Two answers from one address: the whole page, or the part that htmx asked for."""

from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers


def is_part(request: HttpRequest) -> bool:
    """Whether htmx asked, and not to restore a whole page from its history."""
    htmx = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and not htmx.history_restore_request


def varied(response: HttpResponse) -> HttpResponse:
    """The response, with the header that keeps a cache from mixing up page and part."""
    patch_vary_headers(response, ["HX-Request", "HX-History-Restore-Request"])
    return response
