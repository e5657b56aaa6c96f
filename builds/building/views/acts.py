"""Acts that phones send, and the state of the build that they get back, as JSON."""

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache
from hashlib import sha256
from secrets import token_hex
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_http_methods

from builds.batches.models.shares import sheet_plans_of
from builds.building.models.inspections import may_inspect
from builds.building.models.intake import ENDED, may_send, moment, take
from builds.building.models.panel_reports import may_be_reported
from builds.building.views.builds import build_seen_by
from builds.building.views.off_line import version
from builds.building.views.sent_acts import RefusedActs, acts_sent, answered, refused
from builds.plans.models.build_acts import BuildAct
from builds.plans.models.build_questions import build_of_code, standing_of, words_on
from builds.plans.models.builds import Build
from builds.plans.models.progress import Progress, StepNow
from habitats.common.photo_queue import PhotosWaiting
from habitats.people.access import member_or_403, signed_in
from habitats.people.models.people import Person
from habitats.people.views.from_phones import who_and_when

NOBODY, LATER = 401, 503
# Of steps: those of some dozen builds.
ADDRESSES_AT_HAND = 2048
# Another one with each start: what a newer version tells may be told otherwise.
CODE = token_hex(6)


# Public, so that a phone whose log-in has ended is told so in its own words, and not by a page.
@login_not_required
@require_http_methods(["GET", "POST"])
def acts(request: HttpRequest, code: str) -> JsonResponse:
    """Asked: a fresh token, whose acts are taken, our time. Sent: ``{"person", "ahead", "acts"}``.

    ``ahead`` is how many milliseconds the phone's clock was ahead of our time; phones that do not
    measure it say what it shows on sending, as ``sent``. Every act has its answer, in the same
    order; ``build`` is how the build stands with them, None for whoever may not see it: who lost
    the role may still send what they did, if they were on the build; it is kept, and they are
    shown nothing of it.
    """
    if not request.user.is_authenticated:
        return refused(NOBODY, _("Log in again; your work is saved on this phone."))
    person = signed_in(request)
    found = _sent_to(person, code)
    if request.method == "GET":
        return JsonResponse(who_and_when(request, person))
    return _taken(request, person, found)


@gzip_page
@require_GET
def ticks(request: HttpRequest, code: str) -> HttpResponse:
    """How the build stands; a phone asks again and again, and is told what changed."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    etag = _etag(found, person)
    answer = HttpResponse(content_type="application/json", headers={"ETag": etag})
    answer["Cache-Control"] = "private, no-cache"
    told = get_conditional_response(request, etag=etag, response=answer)
    if told is answer:
        answer.content = json.dumps(_build_json(found, person), ensure_ascii=False)
    assert told is not None
    return told


# --- Taking acts ---


def _sent_to(person: Person, code: str) -> Build:
    """The build. For whoever neither builds nor was on it, all are refused alike."""
    found = build_of_code(code)
    if found is None or not may_send(person, found):
        raise PermissionDenied(_("You are not on this build."))
    return found


def _taken(request: HttpRequest, person: Person, build: Build) -> JsonResponse:
    not_theirs = _("These acts are not from %(person)s, who is logged in.") % {"person": person}
    try:
        sent = acts_sent(request, person.pk, not_theirs)
    except RefusedActs as why:
        return why.answer
    now = timezone.now()
    try:
        answers = [take(person, build, one, now) for one in sent]
    except PhotosWaiting as waiting:
        # What was taken before it is known when the phone sends all again.
        return refused(LATER, str(waiting))
    may_see = person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER)
    stands = _build_json(build, person) if may_see and answers else None
    return JsonResponse({"answers": [answered(one) for one in answers], "build": stands})


# --- How it stands ---


def _etag(build: Build, person: Person) -> str:
    """Of all that the answer is made of, in a few questions: mostly nothing has changed."""
    reader = (person.pk, person.roles, person.units, get_language())
    clock = timezone.get_current_timezone_name()
    told = (str(build), standing_of(build), sheet_plans_of(build), reader, clock, version(), CODE)
    return f'"{sha256(repr(told).encode()).hexdigest()[:24]}"'


def _build_json(build: Build, person: Person) -> dict[str, Any]:
    """``stored_as`` changes when the pages do; ``pages`` are those to store for off line.

    ``was``: what a page or an act that this phone still holds may call a step; ``sign``: the page
    on which you may sign it, empty for what is no inspection.
    ``words`` counts what was ever said of it: of two answers the one with more of them is newer.
    """
    progress, state = Progress(build, person.units), build.state_now()
    keys = {step.card["id"]: step.step.key for step in progress.steps}
    former = progress.former_keys
    sign = _sign(build, person)
    return {
        "name": str(build),
        "words": words_on(build),
        "is_open": state not in ENDED,
        "stored_as": _stored_as(build, progress, state, person),
        "pages": _pages(build, progress, state, sign),
        "steps": [
            {
                **_step(build, step, keys, person),
                "was": former.get(step.step.key, ""),
                "sign": sign if step.is_inspection else "",
            }
            for step in progress.steps
        ],
    }


def _stored_as(build: Build, progress: Progress, state: str, person: Person) -> str:
    """Changes whenever a page of it would say another thing than what ticks alone tell."""
    told = (progress.plan.pk, state, person.pk, person.units, version(), sheet_plans_of(build))
    return "-".join(str(one) for one in told if one)


def _sign(build: Build, person: Person) -> str:
    """The page of the inspection; empty for one who may not sign it."""
    may = may_inspect(person, list(build.people.all()))
    return reverse("builds:inspect_build", args=[build.code]) if may else ""


def _pages(build: Build, progress: Progress, state: str, sign: str) -> list[str]:
    """The overview first, the packet, which is the largest, last."""
    names = ["build", "note_build", "photo_build", "report_shortage", "pull_build"]
    if may_be_reported(progress.plan, state):
        names.append("report_panel_size")
    whole = [reverse(f"builds:{name}", args=[build.code]) for name in names]
    if sign:
        whole.append(sign)
    packet = [] if progress.plan.is_repair else [reverse("builds:build_packet", args=[build.code])]
    return [*whole, *(_address(build, step) for step in progress.steps), *packet]


def _step(build: Build, step: StepNow, keys: Mapping[str, str], you: Person) -> dict[str, Any]:
    """``done``: who ticked it; ``on``: who else is on it; ``own``: since when you are."""
    others = [one for one in step.on_it if one.made_by_id != you.pk]
    own = [one for one in step.on_it if one.made_by_id == you.pk]
    return {
        "key": step.step.key,
        "number": step.step.number,
        "title": str(step.card["title"]),
        "address": _address(build, step),
        "needs": [keys[need] for need in step.card["needs"]],
        "is_inspection": step.is_inspection,
        "is_done": step.is_done,
        "done": _by_whom(step.ticks, "%(by)s, %(at)s", you),
        "on": _by_whom(others, _("%(by)s has been on it since %(at)s"), you),
        "own": _by_whom(own, _("you started at %(at)s"), you),
    }


def _address(build: Build, step: StepNow) -> str:
    return _address_of(build.code, step.step.key)


@lru_cache(maxsize=ADDRESSES_AT_HAND)
def _address_of(code: str, key: str) -> str:
    """Twice for each step in every answer to a tick, and always the same."""
    return reverse("builds:build_step", args=[code, key])


def _by_whom(acts: Sequence[BuildAct], words: str, reader: Person) -> str:
    return "; ".join(words % {"by": act.who_for(reader), "at": moment(act.at)} for act in acts)
