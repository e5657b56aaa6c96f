"""Pages of a kit for somebody without an account, who has its link."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_POST

from builds.building.forms.build_acts import BuildActForm
from builds.building.models.intake import STRAY, take
from builds.kits.forms.kit_print import set_options
from builds.kits.forms.kits import ReadingForm
from builds.kits.pages.adopter_page import (
    AdopterPage,
    ReaderSettings,
    adopters_page,
    keep_reading,
    link_or_closed,
    opened,
    shown_page,
)
from builds.kits.pages.kit_pdf import PrintRequest
from builds.kits.pages.kit_seen import link_address
from builds.kits.paper import Leaf
from builds.kits.views.kit_print import pdf_answer
from builds.plans.models.progress import StepNow, neighbours
from habitats.common.public_address import public_address

UNPROCESSABLE, CONFLICT, TOO_MANY = 422, 409, 429


@adopters_page
@require_GET
def adopter(request: HttpRequest, token: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    form = ReadingForm(initial=page.reading._asdict())
    return shown_page(request, page, "kits/adopter.html", form=form)


@adopters_page
@gzip_page
@require_GET
def adopter_step(request: HttpRequest, token: str, key: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    step = page.step(key)
    if step is None:
        return redirect("builds:adopter", token=token)
    return _step_page(request, page, step)


@adopters_page
@require_POST
def adopter_tick(request: HttpRequest, token: str, key: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    return _ticked(request, page, key, "tick")


@adopters_page
@require_POST
def adopter_untick(request: HttpRequest, token: str, key: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    return _ticked(request, page, key, "untick")


@adopters_page
@require_GET
def adopter_care(request: HttpRequest, token: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    return shown_page(request, page, "kits/adopter_care.html")


@adopters_page
@require_GET
def adopter_receipt(request: HttpRequest, token: str) -> HttpResponse:
    page = opened(request, link_or_closed(token))
    return shown_page(request, page, "kits/adopter_receipt.html")


@adopters_page
@require_GET
def adopter_pdf(request: HttpRequest, token: str) -> HttpResponse:
    """The printed set, one at a time."""
    link = link_or_closed(token)
    page = opened(request, link)
    if page.structure is None:
        why = _("You cannot print these papers: a fault was found in the design. Ask the rescue.")
        return _overview(request, page, CONFLICT, why)
    if not link.may_print(timezone.now()):
        return _overview(
            request,
            page,
            TOO_MANY,
            _("The papers were made a moment ago. Wait ten seconds, then try again."),
        )
    leaves = frozenset(Leaf)
    units, paper, _language = page.reading
    options = set_options(leaves, paper=paper, units=units, who_for=link.build.adopter)
    address = public_address(request, link_address(link))
    return pdf_answer(link.build, address, PrintRequest(options, leaves, names_ours=False))


@adopters_page
@require_POST
def adopter_reading(request: HttpRequest, token: str) -> HttpResponse:
    """How lengths are read and on which paper is printed, kept for this browser alone."""
    link = link_or_closed(token)
    form = ReadingForm(request.POST)
    if form.is_valid():
        answer = redirect("builds:adopter", token=token)
        keep_reading(answer, ReaderSettings(**form.cleaned_data))
        return answer
    page = opened(request, link)
    return shown_page(request, page, "kits/adopter.html", status=UNPROCESSABLE, form=form)


def _ticked(request: HttpRequest, page: AdopterPage, key: str, kind: str) -> HttpResponse:
    """Ticked, and on to what can be done next; or why not, beside the step."""
    step = page.step(key)
    if step is None:
        why = _("This step is no longer in the plan. Continue with the next one.")
        return _overview(request, page, CONFLICT, why)
    if why := why_not(page, step, kind):
        return _step_page(request, page, step, status=CONFLICT, fault=why)
    if page.link.is_busy(timezone.now()):
        why = _("Too many ticks in one hour. Rest, and continue in an hour.")
        return _step_page(request, page, step, status=TOO_MANY, fault=why)
    return _kept(request, page, step, kind)


def _kept(request: HttpRequest, page: AdopterPage, step: StepNow, kind: str) -> HttpResponse:
    form = BuildActForm(request.POST)
    form.is_valid()  # what is wrong with it is only its once, which is made anew then
    act = {"once": str(form.cleaned_data["once"]), "kind": kind, "step": step.step.key}
    link = page.link
    answer = take(link.made_by, link.build, act, timezone.now(), link=link)
    now = AdopterPage(link, page.reading)
    if answer.outcome == STRAY:
        why = _("This could not be saved: the kit has just changed. Check it again.")
        return _overview(request, now, CONFLICT, why)
    following = now.now.next_after(step.step.number) if kind == "tick" else step
    if following is None:
        return redirect("builds:adopter", token=link.token)
    return redirect("builds:adopter_step", token=link.token, key=following.step.key)


def why_not(page: AdopterPage, step: StepNow, kind: str) -> str:
    """Why nothing is ticked here, and what to do; empty if it can be."""
    if page.is_stopped:
        return _("The rescue has stopped this build. Ask the rescue before you continue.")
    if not page.link.may_tick:
        return _("This link is for reading. To tick steps, ask the rescue for another link.")
    if step.is_inspection and not page.has_gone:
        return _("The rescue signs the inspection. Tell them that the other steps are done.")
    if kind == "untick" and not all(tick.link_id for tick in step.ticks):
        return _("The rescue ticked this step. Ask them to mark it as not done.")
    return ""


def _step_page(
    request: HttpRequest, page: AdopterPage, step: StepNow, *, status: int = 200, fault: str = ""
) -> HttpResponse:
    before, after = neighbours(page.now, step)
    more = {
        "step": step,
        "before": before,
        "after": after,
        "seen": step.step.seen(page.reading.units),
        "why_not": why_not(page, step, "untick" if step.is_done else "tick"),
        # As it will be once it is ticked on a phone without signal.
        "may_untick": page.can_tick and not why_not(page, step, "untick"),
        "fault": fault,
        "once": uuid4(),
    }
    return shown_page(request, page, "kits/adopter_step.html", status=status, **more)


def _overview(request: HttpRequest, page: AdopterPage, status: int, fault: str) -> HttpResponse:
    form = ReadingForm(initial=page.reading._asdict())
    return shown_page(request, page, "kits/adopter.html", status=status, form=form, fault=fault)
