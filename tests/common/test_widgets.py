"""Fields of forms are drawn by plain code, as Django's own templates draw them."""

import re
from datetime import date, time

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates, get_default_renderer
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy, override

from habitats.common.widgets import PLAIN, PlainRenderer

CHOICES = [
    ("", "None"),
    ("Away", [("a&b", 'Tom & "Jerry"'), (7, 1234.5)]),
    (None, gettext_lazy("Search")),
    ("safe", mark_safe("<b>Bold</b>")),
    (True, "<i>"),
]
WIDGETS = [
    (forms.Select(choices=CHOICES), "a&b"),
    (forms.Select(choices=CHOICES, attrs={"class": "x", "required": True}), None),
    (forms.Select(choices=[]), ""),
    (forms.SelectMultiple(choices=CHOICES), ["a&b", 7]),
    (forms.NullBooleanSelect(), "true"),
    (forms.RadioSelect(choices=CHOICES), "safe"),
    (forms.RadioSelect(choices=CHOICES, attrs={"id": "id_kind", "class": "row"}), 7),
    (forms.CheckboxSelectMultiple(choices=CHOICES, attrs={"id": "id_all"}), ["", "safe"]),
    (forms.TextInput(attrs={"disabled": False, "list": "offers", "data-of": "“x” <y>"}), "a<b"),
    (forms.TextInput(), None),
    (forms.TextInput(), mark_safe("&amp;")),
    (forms.EmailInput(), "odile@example.org"),
    (forms.URLInput(), "https://example.org/?a=1&b=2"),
    (forms.PasswordInput(), "not told again"),
    (forms.HiddenInput(), 12345),
    (forms.DateInput(attrs={"type": "date"}), date(2027, 3, 10)),
    (forms.TimeInput(), time(9, 30)),
    (forms.FileInput(attrs={"accept": "image/*"}), None),
    (forms.CheckboxInput(), True),
    (forms.CheckboxInput(), "yes"),
    (forms.Textarea(attrs={"rows": 3}), 'two\n<lines> & "more"'),
    (forms.Textarea(), ""),
    (forms.ClearableFileInput(), None),
    (forms.SplitDateTimeWidget(), None),
]


@pytest.mark.parametrize("language", ["en-gb", "de"])
@pytest.mark.parametrize(("widget", "value"), WIDGETS, ids=lambda one: type(one).__name__)
def test_a_field_is_drawn_as_its_template_draws_it(widget, value, language):
    attributes = {"id": "id_field"} if "id" not in widget.attrs else {}

    with override(language):
        drawn, wanted = (
            widget.render("field", value, attributes, renderer)
            for renderer in (PlainRenderer(), DjangoTemplates())
        )

    assert _without_gaps(drawn) == _without_gaps(wanted)


def _without_gaps(drawn):
    """White space between two tags says nothing, and how much of it follows a tag neither."""
    return re.sub(r">\s+", "> ", re.sub(r">\s+<", "><", drawn))


@pytest.mark.parametrize(
    ("attributes", "value", "language", "drawn"),
    [
        ({"step": "0.1"}, "2,5", "en-gb", 'value="2,5" inputmode="decimal"'),
        ({"step": "0.1"}, 2.5, "de", 'value="2,5" inputmode="decimal"'),
        ({"step": "0.1"}, "2.5 kg", "de", 'value="2.5 kg" inputmode="decimal"'),
        ({"min": 0, "max": 1500}, "two", "en-gb", 'value="two" inputmode="numeric"'),
        ({"min": -2, "step": "0.1"}, 0, "en-gb", 'value="0"'),
    ],
)
def test_a_number_is_a_line_of_text_so_that_a_browser_drops_nothing_of_it(
    attributes, value, language, drawn
):
    with override(language):
        line = forms.NumberInput(attrs=attributes).render("field", value, {}, PlainRenderer())

    assert line == f'<input type="text" name="field" {drawn}>'


def test_forms_are_drawn_so():
    assert isinstance(get_default_renderer(), PlainRenderer)


def test_each_of_them_has_a_template_in_django():
    for name in PLAIN:
        assert DjangoTemplates().get_template(name)


def test_a_widget_with_an_option_of_its_own_is_drawn_by_its_templates(settings):
    class Shown(forms.Select):
        option_template_name = "django/forms/widgets/text.html"

    assert "<option" not in Shown(choices=[("a", "A")]).render("field", "a")
