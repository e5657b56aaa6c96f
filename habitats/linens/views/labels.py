"""Labels of linens, to be printed on label sheets."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from habitats.common.kept_prints import kept_pdf_from
from habitats.common.public_address import label_code, label_warning
from habitats.common.sent import form_page, sent_with
from habitats.drawing.label_sheets import GRIDS
from habitats.linens.forms.linen_labels import TYPED, LinenLabelsForm
from habitats.linens.models.linens import Linen
from habitats.linens.paper import linen_labels_page, sticker
from habitats.measures import lengths_in, size
from habitats.people.access import member_or_403
from habitats.people.models.people import Person


@require_http_methods(["GET", "POST"])
def linen_labels(request: HttpRequest) -> HttpResponse:
    """What to print and on which sheet; sent, it answers with the PDF."""
    person = member_or_403(request, Person.Role.LAUNDRY)
    seen = Linen.objects.visible_to(person, timezone.localdate())
    asked = request.GET.get("labels", "")
    form = LinenLabelsForm(
        sent_with(request),
        seen=seen,
        paper=person.paper,
        units=person.units,
        initial={"labels": asked, "which": TYPED} if asked else None,
    )
    if request.method == "POST" and form.is_valid() and (linens := form.linens()):
        return _pdf(form, linens, person.units)
    return form_page(request, "linens/labels.html", form=form, warning=label_warning())


def _pdf(form: LinenLabelsForm, linens: list[Linen], units: str) -> HttpResponse:
    grid = GRIDS[form.cleaned_data["grid"]]
    stickers = [
        sticker(
            str(one),
            (_size_words(one, units), one.kind.name),
            label_code(reverse("linen_link", args=[one.label]), str(one)),
        )
        for one in linens
    ]
    page = linen_labels_page(stickers, grid, first=form.cleaned_data["first"], shift=form.shift())
    disposition = {"Content-Disposition": 'inline; filename="linen-labels.pdf"'}
    return HttpResponse(kept_pdf_from(page), content_type="application/pdf", headers=disposition)


def _size_words(linen: Linen, units: str) -> str:
    return size((linen.size.width_mm, linen.size.length_mm), lengths_in(units))
