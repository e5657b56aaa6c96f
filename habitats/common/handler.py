"""How a request is made of what the server was sent, and how its view is found."""

from collections.abc import Mapping
from functools import lru_cache

from django.core.handlers.wsgi import WSGIHandler, WSGIRequest
from django.http import HttpRequest
from django.urls import ResolverMatch, get_resolver
from django.utils.http import parse_header_parameters

# A rescue of some hundred homes works at fewer in a day; what is asked for once only drops out.
ADDRESSES_AT_HAND = 4096


class Request(WSGIRequest):
    """Text is UTF-8.

    Django would read the query in whatever charset the body is said to be in, while it makes the
    request, where nobody answers for what goes wrong. `habitats.middleware` refuses other charsets.
    """

    def _set_content_type_params(self, meta: Mapping[str, str]) -> None:
        kind = parse_header_parameters(meta.get("CONTENT_TYPE", ""))
        self.content_type, self.content_params = kind


class Handler(WSGIHandler):
    """Remembers which view an address has.

    Django tries all patterns, some hundred of them, in turn for every request, and the same
    addresses are asked for all day. What is found hangs on the address alone.
    """

    request_class = Request

    def resolve_request(self, request: HttpRequest) -> ResolverMatch:
        """Raises ``Resolver404`` where no page has the address."""
        found = request.resolver_match = _match(request.path_info)
        return found


@lru_cache(maxsize=ADDRESSES_AT_HAND)
def _match(path: str) -> ResolverMatch:
    return get_resolver().resolve(path)
