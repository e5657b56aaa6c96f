"""Words, addresses and days that templates work out once say what Django's own tags say."""

from datetime import date, datetime

import pytest
from django.template import Context, Engine
from django.urls import set_script_prefix
from django.utils import translation

I18N = "django.templatetags.i18n"
OURS = Engine(builtins=[I18N, "habitats.templatetags.constants"])
DJANGO = Engine(builtins=[I18N])
VALUES = {
    "day": date(2026, 3, 1),
    "at": datetime(2026, 3, 1, 8, 5),
    "number": 3,
    "who": "<b>",
    "code": "ABC",
}
TEMPLATES = (
    '{% translate "Laundry" %}',
    '{% translate "Label" context "of a linen" %}',
    '{% translate "100%% sure" %}',
    '{% translate "Laundry" as word %}{{ word }}',
    "{% translate who %}",
    "{% blocktranslate with name=who trimmed %}Load of\n {{ name }}{% endblocktranslate %}",
    "{% blocktranslate count number=number %}{{ number }} linen{% plural %}"
    "{{ number }} linens{% endblocktranslate %}",
    "{% url 'home' %} {% url 'home_page' 'ABCDEF' %} {% url 'home' as there %}{{ there }}",
    "{% url 'home_page' code %} {% url 'home_page' code=code %}",
    '{{ day|date:"l, j F Y" }} {{ day|date }} {{ at|date:"j M, H:i" }} {{ none|date:"j M" }}',
)


@pytest.fixture
def _prefix():
    yield
    set_script_prefix("/")


@pytest.mark.parametrize("text", TEMPLATES)
def test_each_language_is_told_as_by_django_however_often_they_take_turns(text):
    ours, django = OURS.from_string(text), DJANGO.from_string(text)
    for language in ("en-gb", "de", "en-gb", "de"):
        with translation.override(language):
            assert ours.render(Context(VALUES)) == django.render(Context(VALUES))


def test_a_german_page_is_told_other_words_than_an_english_one():
    told = []
    for language in ("en-gb", "de"):
        with translation.override(language):
            told.append(OURS.from_string(TEMPLATES[0]).render(Context()))
    english, german = told
    assert english == "Laundry" != german


def test_a_sentence_with_values_counts_each_time():
    ours = OURS.from_string(TEMPLATES[6])
    assert [ours.render(Context({"number": number})) for number in (1, 2, 1)] == [
        "1 linen",
        "2 linens",
        "1 linen",
    ]


@pytest.mark.usefixtures("_prefix")
def test_an_address_follows_the_prefix_under_which_the_server_runs():
    for text in ("{% url 'home' %}", "{% url 'home_page' 'ABCDEF' %}"):
        template = OURS.from_string(text)
        set_script_prefix("/")
        before = template.render(Context())
        set_script_prefix("/rescue/")
        assert template.render(Context()) == f"/rescue{before}"
