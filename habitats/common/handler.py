"""How a request is made of what the server was sent."""

from collections.abc import Mapping

from django.core.handlers.wsgi import WSGIHandler, WSGIRequest
from django.utils.http import parse_header_parameters


class Request(WSGIRequest):
    """Text is UTF-8.

    Django would read the query in whatever charset the body is said to be in, while it makes the
    request, where nobody answers for what goes wrong. `habitats.middleware` refuses other charsets.
    """

    def _set_content_type_params(self, meta: Mapping[str, str]) -> None:
        kind = parse_header_parameters(meta.get("CONTENT_TYPE", ""))
        self.content_type, self.content_params = kind


class Handler(WSGIHandler):
    request_class = Request
