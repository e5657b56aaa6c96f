"""The packet of a build, from its latest plan."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.batches.models.shares import cut_by
from builds.making.pace import WorkPace
from builds.packet.pages import PacketSubject, answer, as_page, as_pdf
from builds.plans.models.builds import Build
from habitats.people.access import member_or_403
from habitats.people.models.people import Person


@require_http_methods(["GET", "POST"])
def build_packet(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return answer(request, person, _subject(person, code), as_page)


@require_http_methods(["GET", "POST"])
def build_packet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return answer(request, person, _subject(person, code), as_pdf)


def _subject(person: Person, code: str) -> PacketSubject:
    """The design as it was when the build was planned last."""
    build = get_object_or_404(Build.objects.visible_to(person), code=code.upper())
    plan = build.plans.newest_first().select_related("revision__design", "standing")[0]
    if plan.is_repair:
        raise Http404(_("A repair has no packet: its steps are on its page."))
    return PacketSubject(
        kind="build",
        stands=plan.stands(),
        in_plan=cut_by(plan),
        name=str(build),
        code=build.code,
        shape=plan.revision.shape(),
        pace=WorkPace(plan.pace),
        sheet=plan.sheet,
        link=reverse("builds:build_link", args=[build.code]),
        page=reverse("builds:build_packet", args=[build.code]),
        pdf=reverse("builds:build_packet_pdf", args=[build.code]),
        back=reverse("builds:build", args=[build.code]),
    )
