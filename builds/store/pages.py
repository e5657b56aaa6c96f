"""A page of the store with one form on it."""

from typing import NamedTuple

from django.db.models import Model
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

UNPROCESSABLE = 422


class Turn(NamedTuple):
    """The button that puts something away or brings it back, and what it says.

    It is sent to the address called ``form`` and is about ``subject``.
    """

    form: str
    subject: Model
    address: str
    is_put_away: bool
    told: str

    @property
    def button(self) -> str:
        return "Bring it back" if self.is_put_away else "Put it away"


def form_page(
    request: HttpRequest,
    form: BaseForm,
    heading: str,
    back: str,
    *,
    button: str = "Keep it",
    intro: str = "",
    turn: Turn | None = None,
) -> HttpResponse:
    """The form under its heading, with the way back; status 422 where it is refused."""
    context = {
        "form": form,
        "heading": heading,
        "back": back,
        "button": button,
        "intro": intro,
        "turn": turn,
    }
    return render(request, "store/form.html", context, status=status_of(form))


def status_of(form: BaseForm) -> int:
    return UNPROCESSABLE if form.errors else 200


def sent(request: HttpRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None
