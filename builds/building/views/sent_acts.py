"""A batch of acts that a phone sends, read and answered as JSON."""

import json
from collections.abc import Mapping
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _

from builds.building.models.intake import ActAnswer

ACTS_AT_ONCE = 100
BAD, SOMEBODY_ELSE, TOO_MUCH = 400, 409, 413


class RefusedActs(Exception):
    """None of them is taken; ``why`` is a sentence for who sent them."""

    def __init__(self, status: int, why: str) -> None:
        super().__init__(why)
        self.status, self.why = status, why

    @property
    def answer(self) -> JsonResponse:
        return refused(self.status, self.why)


def refused(status: int, why: str) -> JsonResponse:
    return JsonResponse({"why": why}, status=status)


def acts_sent(request: HttpRequest, person: int, somebody_else: str) -> list[dict[str, Any]]:
    """The acts of ``{"person", "ahead", "acts"}``, each with what the phone's clock said.

    Raises ``RefusedActs``, with ``somebody_else`` where they are not from this ``person``.
    """
    try:
        sent = json.loads(request.body, parse_constant=_no_constant)
    except RequestDataTooBig:
        raise RefusedActs(TOO_MUCH, _("This is too much at once. Send fewer acts.")) from None
    except (ValueError, RecursionError):
        raise RefusedActs(BAD, _("This is not valid JSON.")) from None
    if not isinstance(sent, dict) or not isinstance(sent.get("acts"), list):
        raise RefusedActs(BAD, _("Send an object with person, sent, and a list of acts."))
    if sent.get("person") != person:
        raise RefusedActs(SOMEBODY_ELSE, somebody_else)
    if len(sent["acts"]) > ACTS_AT_ONCE:
        most = {"most": ACTS_AT_ONCE}
        raise RefusedActs(TOO_MUCH, _("Send at most %(most)d acts at once.") % most)
    return [_with_clock(one, sent) for one in sent["acts"]]


def answered(answer: ActAnswer) -> dict[str, Any]:
    """Its sentence is for who sent it, in their language."""
    return {**answer._asdict(), "once": str(answer.once), "sentence": str(answer.sentence)}


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number that JSON knows.")


def _with_clock(act: object, sent: Mapping[str, Any]) -> dict[str, Any]:
    """The act, and what the phone's clock said; what is no act at all as something that says so."""
    said = act if isinstance(act, dict) else {"given": act}
    return {**said, "sent": sent.get("sent"), "ahead": sent.get("ahead")}
