"""Reports of people on a build: notes, photos, missing or damaged parts."""

from collections.abc import Callable

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.building.forms.build_acts import BuildActForm, NoteForm, ShortageForm, StepPhotoForm
from builds.building.models.intake import STRAY, take
from builds.building.views.build_steps import act_message
from builds.building.views.builds import build_seen_by
from builds.plans.models.build_acts import Overtaken
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.builds import Build
from habitats.common.sent import sent_with
from habitats.people.access import member_or_403
from habitats.people.models.people import Person

UNPROCESSABLE = 422
Form = NoteForm | StepPhotoForm | ShortageForm


@require_http_methods(["GET", "POST"])
def note_build(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _reported(request, person, code, _note_form, "building/note_build.html")


@require_http_methods(["GET", "POST"])
def photo_build(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _reported(request, person, code, _photo_form, "building/photo_build.html")


@require_http_methods(["GET", "POST"])
def report_shortage(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _reported(request, person, code, _shortage_form, "building/report_shortage.html")


@require_GET
def build_photo(request: HttpRequest, code: str, pk: int) -> FileResponse:
    """A photo, for those who may see the build."""
    person = member_or_403(request, Person.Role.BUILDER)
    photo = get_object_or_404(build_seen_by(person, code).buildphotos, pk=pk)
    return _shown(photo.image)


@require_GET
def stray_photo(request: HttpRequest, code: str, pk: int) -> FileResponse:
    """The picture of an act that could not be taken, for the same."""
    person = member_or_403(request, Person.Role.BUILDER)
    stray = get_object_or_404(build_seen_by(person, code).strays.exclude(image=""), pk=pk)
    return _shown(stray.image)


@require_POST
def read_overtaken(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Read: somebody's tick reached us late, and the reader's own word on the step stands."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    get_object_or_404(Overtaken, pk=pk, tick__build=found).read(person, timezone.now())
    return redirect("builds:build", code=found.code)


def _shown(image: FieldFile) -> FileResponse:
    try:
        opened = image.open("rb")
    except (ValueError, FileNotFoundError) as none:
        raise Http404(_("This photo is gone.")) from none
    answer = FileResponse(opened, content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=86400"
    return answer


def _reported(
    request: HttpRequest,
    person: Person,
    code: str,
    make: Callable[[HttpRequest, Build], Form],
    template: str,
) -> HttpResponse:
    """The form by itself, or what was sent, kept as an act."""
    found = build_seen_by(person, code)
    form = make(request, found)
    if request.method == "POST" and form.is_valid():
        answer = take(person, found, form.as_act(), timezone.now())
        act_message(request, answer)
        step = "" if answer.outcome == STRAY else form.cleaned_data["step"]
        return _back(found, step)
    context = {"build": found, "form": form, "step": _step(found, form, person)}
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(request, template, context, status=status)


def _note_form(request: HttpRequest, build: Build) -> NoteForm:
    return NoteForm(sent_with(request), initial=_of_step(request))


def _photo_form(request: HttpRequest, build: Build) -> StepPhotoForm:
    return StepPhotoForm(sent_with(request), request.FILES, initial=_of_step(request))


def _shortage_form(request: HttpRequest, build: Build) -> ShortageForm:
    return ShortageForm(sent_with(request), initial=_of_step(request), parts=parts_of(build))


def parts_of(build: Build) -> list[str]:
    """All parts that the newest plan names, in the order of its list."""
    plan = build.plans.newest_first()[0]
    named = [part["what"] for part in plan.parts]
    cards = plan.steps.values_list("card__adds", flat=True)
    added = [one["what"] for adds in cards for one in adds]
    return list(dict.fromkeys([*named, *added]))


def _of_step(request: HttpRequest) -> dict[str, object]:
    return {"step": request.GET.get("step", "")}


def _step(build: Build, form: BuildActForm, person: Person) -> dict[str, object] | None:
    """The step that a report is about, told; None for the build as a whole."""
    key = BuildStep.objects.key_now(build, form["step"].value() or "")
    steps = BuildStep.objects.filter(plan__build=build, key=key).defer("pictures")
    step = steps.order_by("-plan__number").first()
    if step is None:
        return None
    return {"key": step.key, "number": step.number, "title": step.card_in(person.units)["title"]}


def _back(build: Build, key: str) -> HttpResponse:
    """To the step, if it is in the plan still; else to the overview."""
    key = BuildStep.objects.key_now(build, key)
    plan = build.plans.newest_first()[0]
    if key and plan.steps.filter(key=key).exists():
        return redirect("builds:build_step", code=build.code, key=key)
    return redirect("builds:build", code=build.code)
