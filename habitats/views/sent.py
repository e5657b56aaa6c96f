"""Pages with a form: what was sent with them, and how one that is refused is shown again."""

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

UNPROCESSABLE = 422


def sent_with(request: HttpRequest) -> QueryDict | None:
    """What was posted, even if it is nothing at all; None for a page that is only opened."""
    return request.POST if request.method == "POST" else None


def form_page(request: HttpRequest, template: str, **context: object) -> HttpResponse:
    """A page with a form; one that was posted and comes here was refused."""
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(request, template, context, status=status)
