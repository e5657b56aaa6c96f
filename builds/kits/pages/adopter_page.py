"""One kit as somebody sees it who came through its link: this kit and nothing else.

No names of ours, no homes, no other builds; what is not here cannot be shown by a template.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, wraps
from typing import Any, NamedTuple

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.cache import patch_cache_control

from builds.kits.models.at_home import AtHome
from builds.kits.models.follow_ups import FollowUpNow, follow_ups_of
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Packing
from builds.kits.models.receipts import KitReceipt
from builds.kits.pages.kit_seen import receipt_of
from builds.making.advice import PRACTICE, Advice
from builds.making.cautions import general_cautions
from builds.packing import days_at_home, enclosure_care, linen_care
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.builds import BuildState
from builds.plans.models.progress import StepNow
from habitats.common.languages import is_spoken
from habitats.designs.models.structures import structure_of
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.structure import Structure

READING = "kit_reading"  # a cookie, so that who has no account leaves no row either
READING_AT = "/k/"
READING_SECONDS = 365 * 24 * 3600
NOT_FOUND = 404


class LinkClosed(Exception):
    """The address opens nothing: altered, expired, revoked, or never made. Nobody is told which."""


class ReaderSettings(NamedTuple):
    """How somebody without an account reads and prints."""

    units: str = Person.Units.METRIC.value
    paper: str = Person.Paper.A4.value
    language: str = ""  # as the browser asks


@dataclass(frozen=True, slots=True)
class KitAdvice:
    """What to mind, for a kit's ``structure``; None where a fault has been found in its design."""

    structure: Structure | None
    packing: Packing

    @property
    def cautions(self) -> tuple[Advice, ...]:
        return general_cautions(self.structure) if self.structure else ()

    @property
    def first_days(self) -> tuple[Advice, ...]:
        has_linens = bool(self.packing.linens)
        return days_at_home(self.structure, has_linens=has_linens) if self.structure else ()

    @property
    def linen_care(self) -> tuple[Advice, ...]:
        cloths = tuple(self.packing.cloths.values())
        return linen_care(cloths, has_linens=bool(self.packing.linens))

    @property
    def care(self) -> tuple[Advice, ...]:
        """The rest of the care sheet."""
        return enclosure_care(has_linens=bool(self.packing.linens))

    @property
    def no_source(self) -> str:
        return PRACTICE


class AdopterPage:
    """What the pages of a link show."""

    def __init__(self, link: KitLink, reading: ReaderSettings) -> None:
        self.link, self.build, self.reading = link, link.build, reading
        self.now = AtHome(link.build, reading.units)

    @property
    def name(self) -> str:
        return str(self.build)

    @property
    def code(self) -> str:
        return self.build.code

    @property
    def expires_on(self) -> Any:
        return self.link.expires_on

    @cached_property
    def state(self) -> BuildState:
        return BuildState(self.build.state_now())

    @property
    def is_stopped(self) -> bool:
        return self.state == BuildState.STOPPED

    @property
    def has_gone(self) -> bool:
        """The box is with the adopter."""
        return self.state == BuildState.HANDED_OVER

    @cached_property
    def questions(self) -> list[dict[str, str]]:
        """The inspection list."""
        return self.now.plan.questions

    @property
    def can_tick(self) -> bool:
        return self.link.may_tick and self.state != BuildState.STOPPED

    @cached_property
    def rescue(self) -> Rescue:
        return Rescue.ours()

    @cached_property
    def packing(self) -> Packing:
        return Packing(self.build)

    @cached_property
    def receipt(self) -> KitReceipt | None:
        return receipt_of(self.build)

    @cached_property
    def follow_ups(self) -> list[FollowUpNow]:
        return [one for one in follow_ups_of(self.build) if one.on]

    @cached_property
    def structure(self) -> Structure | None:
        """None where a fault has been found in the design since the kit was planned."""
        return structure_of(self.now.plan.revision.shape())

    @cached_property
    def advice(self) -> KitAdvice:
        return KitAdvice(self.structure, self.packing)

    def step(self, key: str) -> StepNow | None:
        """None for a step that is not in the plan of this kit."""
        now = BuildStep.objects.key_now(self.build, key)
        return next((one for one in self.now.steps if one.step.key == now), None)


View = Callable[..., HttpResponse]


def adopters_page(view: View) -> View:
    """A page for whoever has the address: asks for no log-in, and stays with its reader.

    ``same-origin``: no other site learns the address from a click; a stricter policy would let
    browsers send forms as from nowhere, which the check against forged forms refuses.
    """

    @login_not_required
    @wraps(view)
    def shown(request: HttpRequest, token: str, **rest: Any) -> HttpResponse:
        with translation.override(reading_of(request).language or translation.get_language()):
            try:
                answer = view(request, token, **rest)
            except LinkClosed:
                context = {"ours": Rescue.ours()}
                answer = render(request, "kits/no_link.html", context, status=NOT_FOUND)
            answer.headers["Content-Language"] = translation.get_language() or ""
        answer.headers["Referrer-Policy"] = "same-origin"
        answer.headers["X-Robots-Tag"] = "noindex, nofollow"
        patch_cache_control(answer, private=True, no_cache=True)
        return answer

    return shown


def link_or_closed(token: str) -> KitLink:
    """The link of this address, if it still answers. Raises ``LinkClosed``."""
    found = KitLink.objects.by_token(token, timezone.localdate())
    if found is None:
        raise LinkClosed
    return found


def reading_of(request: HttpRequest) -> ReaderSettings:
    """As it was chosen on the page; metric and A4 for who chose nothing, or nonsense."""
    units, paper, language, *_ = [*request.COOKIES.get(READING, "").split("."), "", "", ""]
    is_known = units in Person.Units.values and paper in Person.Paper.values
    spoken = language if is_spoken(language) else ""
    return ReaderSettings(units, paper, spoken) if is_known else ReaderSettings()


def keep_reading(answer: HttpResponse, reading: ReaderSettings) -> None:
    """For this browser, and for the pages of links alone."""
    answer.set_cookie(
        READING,
        f"{reading.units}.{reading.paper}.{reading.language}",
        max_age=READING_SECONDS,
        path=READING_AT,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def opened(request: HttpRequest, link: KitLink) -> AdopterPage:
    return AdopterPage(link, reading_of(request))


def shown_page(
    request: HttpRequest, page: AdopterPage, template: str, *, status: int = 200, **more: object
) -> HttpResponse:
    """``token`` is of the address that the page was opened by."""
    reading = page.reading._asdict()
    shown = {"page": page, "token": page.link.token, "ours": page.rescue}
    context = {**shown, **reading, **more}
    return render(request, template, context, status=status)
