"""Pages with a form: what was sent with them, and how one that is refused is shown again."""

from collections.abc import Iterable, Iterator
from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.template.loader import render_to_string

OK, UNPROCESSABLE = 200, 422


class RefusedPage(HttpResponse):
    """A form shown again; ``faults`` are its sentences, for who reads no page."""

    def __init__(self, page: str, faults: Iterable[str]) -> None:
        super().__init__(page, status=UNPROCESSABLE)
        self.faults = tuple(dict.fromkeys(faults))


def sent_with(request: HttpRequest) -> QueryDict | None:
    """What was posted, even if it is nothing at all; None for a page that is only opened."""
    return request.POST if request.method == "POST" else None


def status_of(form: BaseForm) -> int:
    """Of a page whose address may ask for what it cannot show."""
    return UNPROCESSABLE if form.errors else OK


def form_page(request: HttpRequest, template: str, **context: Any) -> HttpResponse:
    """A page with a form; one that was posted and comes here was refused."""
    if request.method != "POST":
        return render(request, template, context)
    return RefusedPage(render_to_string(template, context, request), _faults(context.values()))


def _faults(values: Iterable[object]) -> Iterator[str]:
    for value in values:
        if isinstance(value, BaseForm):
            yield from (str(fault) for faults in value.errors.values() for fault in faults)
        elif isinstance(value, list | tuple):
            yield from _faults(value)
