"""Numbers are typed with a comma or a point, and come back as typed beside what is wrong."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from django import forms
from django.urls import get_resolver, reverse

from builds.store.models.sheets import SheetKind
from habitats.common.fields import NumberField

TEMPLATES = Path(__file__).parents[2] / "templates"
SHEET = {"name": "White", "width_mm": "1220", "height_mm": "2440", "cost": "18,50"}


def forms_of_ours() -> Iterator[type[forms.BaseForm]]:
    assert get_resolver().url_patterns, "all views are loaded, and with them their forms"
    waiting = [forms.BaseForm]
    while waiting:
        form = waiting.pop()
        waiting += form.__subclasses__()
        if form.__module__.startswith(("habitats.", "builds.")):
            yield form


def test_every_number_with_decimals_is_read_with_a_comma_too():
    fields = [
        (form.__name__, name)
        for form in forms_of_ours()
        for name, field in getattr(form, "base_fields", {}).items()
        if isinstance(field, forms.DecimalField | forms.FloatField)
        and not isinstance(field, NumberField)
    ]

    assert fields == []


def test_no_template_has_a_field_from_which_a_browser_drops_what_is_no_number():
    found = [one for one in TEMPLATES.rglob("*.html") if 'type="number"' in one.read_text()]

    assert found == []


@pytest.mark.parametrize("language", ["en-gb", "de"])
@pytest.mark.parametrize("typed", ["2,5", "2,5 mm", "four"])
def test_what_was_typed_comes_back(coordinating, language, typed):
    answer = coordinating.post(
        reverse("builds:new_sheet_kind"),
        SHEET | {"thickness_mm": typed, "cost": "much"},
        headers={"accept-language": language},
    )

    assert answer.status_code == 422
    page = answer.content.decode()
    assert f'value="{typed}"' in page
    assert 'value="much"' in page


@pytest.mark.parametrize("typed", ["2,5", "2.5", " 2,5 "])
def test_a_comma_and_a_point_are_the_same_number(coordinating, typed):
    coordinating.post(reverse("builds:new_sheet_kind"), SHEET | {"thickness_mm": typed})

    kind = SheetKind.objects.get()
    assert (kind.thickness_mm, kind.cost) == (Decimal("2.5"), Decimal("18.5"))
