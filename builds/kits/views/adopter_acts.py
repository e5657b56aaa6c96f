"""Ticks that an adopter's phone sends, and how the kit stands for it, as JSON.

As the acts of builders (``builds/building/views/acts.py``), without a log-in: the link is who
sends.
"""

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_http_methods

from builds.building.models.intake import (
    STRAY,
    ActAnswer,
    idempotency_key_or_name,
    moment,
    take,
)
from builds.building.views.off_line import version
from builds.building.views.sent_acts import RefusedActs, acts_sent, answered, refused
from builds.kits.models.kit_links import KitLink
from builds.kits.pages.adopter_page import (
    AdopterPage,
    LinkClosed,
    adopters_page,
    link_or_closed,
    opened,
)
from builds.kits.views.adopter import why_not
from builds.plans.models.progress import StepNow

FORBIDDEN, GONE, TOO_MANY = 403, 410, 429
# What a phone stores beside the steps.
PAGES = ("adopter", "adopter_care", "adopter_receipt")


@adopters_page
@require_http_methods(["GET", "POST"])
def adopter_acts(request: HttpRequest, token: str) -> HttpResponse:
    """Asked: a fresh token, whose acts are taken, our time. Sent: the acts."""
    try:
        link = link_or_closed(token)
    except LinkClosed:
        return refused(GONE, _("This link is no longer open. Ask the rescue for a new one."))
    if request.method == "GET":
        now = timezone.now().isoformat(timespec="milliseconds")
        return JsonResponse({"token": get_token(request), "person": sender(link), "now": now})
    if not link.may_tick:
        why = _("This link is for reading. To tick steps, ask the rescue for another link.")
        return refused(FORBIDDEN, why)
    if link.is_busy(timezone.now()):
        return refused(TOO_MANY, _("Too many ticks in one hour. Rest, and continue in an hour."))
    try:
        sent = acts_sent(request, sender(link), _("These acts came through another link."))
    except RefusedActs as none_taken:
        return none_taken.answer
    answers = [_taken(request, link, act) for act in sent]
    stands = _kit_json(AdopterPage(link, opened(request, link).reading))
    return JsonResponse({"answers": [answered(one) for one in answers], "build": stands})


@adopters_page
@gzip_page
@require_GET
def adopter_ticks(request: HttpRequest, token: str) -> HttpResponse:
    """How the kit stands; a phone asks again and again."""
    return JsonResponse(_kit_json(opened(request, link_or_closed(token))))


def sender(link: KitLink) -> int:
    """In the place of a person's key, and never one."""
    return -link.pk


def _taken(request: HttpRequest, link: KitLink, act: Mapping[str, Any]) -> ActAnswer:
    """What a form of the page would not do is refused here too, and kept nowhere: anybody with the
    address could fill the store with it.
    """
    if why := _why_refused(opened(request, link), act):
        return ActAnswer(idempotency_key_or_name(act), STRAY, why, is_odd=True)
    return take(link.made_by, link.build, act, timezone.now(), link=link)


def _why_refused(page: AdopterPage, act: Mapping[str, Any]) -> str:
    """In a sentence; empty for what a page of the link would do. Steps that are done at the rescue
    are on none.
    """
    kind, step = str(act.get("kind")), page.step(str(act.get("step")))
    if kind not in ("tick", "untick"):
        return _("Through the link of a kit you can only tick steps.")
    if step is None:
        return _("This step is no longer in the plan. Continue with the next one.")
    return why_not(page, step, kind)


def _kit_json(page: AdopterPage) -> dict[str, Any]:
    """As of a build, with no name of ours; ``words`` never becomes fewer."""
    link, now = page.link, page.now
    keys = {step.card["id"]: step.step.key for step in now.steps}
    former = now.former_keys
    reading = "-".join(page.reading)
    return {
        "name": page.name,
        "words": now.words,
        "is_open": not page.is_stopped,
        "stored_as": f"{now.plan.pk}-{page.state}-k{link.pk}-{reading}-{version()}",
        "pages": _pages(page),
        "steps": [
            {**_step(page, step, keys), "was": former.get(step.step.key, "")} for step in now.steps
        ],
    }


def _pages(page: AdopterPage) -> list[str]:
    token = page.link.token
    whole = [reverse(f"builds:{name}", args=[token]) for name in PAGES]
    return [*whole, *(_address(page, step) for step in page.now.steps)]


def _step(page: AdopterPage, step: StepNow, keys: Mapping[str, str]) -> dict[str, Any]:
    return {
        "key": step.step.key,
        "number": step.step.number,
        "title": str(step.card["title"]),
        "address": _address(page, step),
        "needs": [keys[need] for need in step.needs],
        "is_inspection": step.is_inspection,
        "is_done": step.is_done,
        "done": "; ".join(moment(tick.at) for tick in step.ticks),
        "on": "",
        "own": "",
    }


def _address(page: AdopterPage, step: StepNow) -> str:
    return reverse("builds:adopter_step", args=[page.link.token, step.step.key])
