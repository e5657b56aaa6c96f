"""``{% basis %}``: what a form is based on, sent back with it."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from types import SimpleNamespace
from typing import Any

from django import template
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils.html import format_html
from django.utils.safestring import SafeString

from habitats.basis import Fact, token_of

register = template.Library()
HIDDEN = '<input type="hidden" name="basis" value="{}">'
LIMITS_READ = '<input type="hidden" name="limits_read" value="{}">'


@register.simple_tag(takes_context=True)
def basis(context: template.Context, address: str = "", subject: Any = None) -> SafeString | str:
    """Of the page itself; or of a form that is sent to another address, about ``subject``.

    Nothing for a page whose form changes nothing that stands. What limits of homes the page tells
    of goes with it (``animals/views/at_the_door.py``).
    """
    request = vars(context.get("request") or SimpleNamespace())
    if not address:
        told = format_html(HIDDEN, request["basis"].token) if "basis" in request else ""
        read = request.get("limits_read", "")
        return told + format_html(LIMITS_READ, read) if read else told
    # The same subject stands in many rows of a page: worked out once.
    known: dict[tuple[object, ...], str] = request.setdefault("tokens", {})
    key = address, type(subject), getattr(subject, "pk", subject)
    if key not in known:
        known[key] = token_of(_facts_of(address)(subject))
    return format_html(HIDDEN, known[key])


@cache
def _facts_of(address: str) -> Callable[[Any], Sequence[Fact]]:
    """What a form for that address is based on, as its view says (``people/views/based_on.py``).

    Raises ``KeyError`` for an address whose view says nothing.
    """
    views = dict(_named(get_resolver()))
    facts_of: Callable[[Any], Sequence[Fact]] = vars(views[address])["facts_of"]
    return facts_of


def _named(resolver: URLResolver, prefix: str = "") -> Iterator[tuple[str, Any]]:
    for one in resolver.url_patterns:
        if isinstance(one, URLPattern):
            yield f"{prefix}{one.name}", one.callback
        elif isinstance(one, URLResolver):
            yield from _named(one, f"{one.namespace}:" if one.namespace else prefix)
