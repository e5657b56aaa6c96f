"""Nobody reads a word that the product does not use, and what is still there only gets less.

What is refused, and what to write instead: `tests/support/words_not_said.py`. All places, by room:
`python -m tests.support.words`.
"""

import pytest
from django.urls import reverse

from habitats.people.models.people import Person
from tests.house.test_names_by_role import addresses_from
from tests.support.doors import COORDINATOR, EVERYBODY
from tests.support.words import (
    counted,
    found_in,
    instead_of,
    of_markup,
    of_python,
    of_script,
    places,
)
from tests.support.words_not_said import IN_CODE, LABELS, PHRASES
from tests.support.words_still import STILL

COUNT_AGAIN = "python -m tests.support.words --count"


# --- What stands in the source ---


def test_no_word_that_we_do_not_use_has_come_in_and_what_went_is_taken_off_the_list():
    found = places()
    now = counted(found)

    for phrase in sorted(now.keys() | STILL.keys(), key=str.lower):
        more, listed = now.get(phrase, 0), STILL.get(phrase, 0)
        where = "\n".join(str(one) for one in found if one.phrase == phrase)
        assert more <= listed, f"“{phrase}”: write “{instead_of(phrase)}” instead.\n{where}"
        assert more == listed, f"“{phrase}” became less: {COUNT_AGAIN}\n{where}"


def test_each_phrase_is_refused_in_one_way():
    assert len(LABELS | PHRASES | IN_CODE) == len(LABELS) + len(PHRASES) + len(IN_CODE)


# --- What people see: put together from several places, too ---


# By day each page is read with few rows, in test_languages.py.
@pytest.mark.nightly
@pytest.mark.parametrize("role", [COORDINATOR, *EVERYBODY])
def test_no_page_of_the_demo_says_what_is_not_in_the_list(role, demo, client_of):
    said = []
    client = client_of(Person.objects.filter(roles=role).first())
    for address, response in addresses_from(client, reverse("home")):
        if "html" in response.headers.get("Content-Type", ""):
            said += [
                f"{address}: “{phrase}”: write “{instead_of(phrase)}”"
                for _line, phrase in found_in(of_markup(response.content.decode()))
                if phrase not in STILL
            ]

    assert said == []


# --- The reader of sources itself ---


def test_a_template_is_read_with_its_lines_without_what_is_for_machines():
    page = (
        '{# Keep it #}\n<p class="lacks">It\n{{ name }} <b>lacks</b> one.</p>\n'
        "<button>{% if new %}Keep it{% else %}Save{% endif %}</button>\n"
        '{% include "_field.html" with words="Runs dry on Monday" %}\n'
        '<a href="/whoever/" title="Whoever has it">Next</a>'
    )

    assert sorted(found_in(of_markup(page))) == [
        (2, "lacks"),
        (4, "Keep it"),
        (5, "runs dry"),
        (6, "whoever"),
    ]


def test_a_phrase_with_something_between_is_found_however_many_words_that_has():
    assert found_in(of_markup("<p>Part {{ one }} from {{ other }}</p>")) == [(1, "Part … from")]
    assert found_in(of_markup("<p>Part Ida and her young from Nut</p>")) == [(1, "Part … from")]
    assert found_in(of_markup("<p>The part comes from the store.</p>")) == []


def test_a_label_is_refused_by_itself_and_not_inside_a_sentence():
    assert found_in(of_markup("<button>Find</button>")) == [(1, "Find")]
    assert found_in(of_markup("<p>Find the code on the card.</p>")) == []


def test_a_program_is_read_by_its_literals_without_docstrings_and_annotations():
    source = (
        'def one(it: "Board") -> "Board":\n    """Whoever reads this."""\n'
        '    return f"{it} lacks " "one", "Board", "is said to"\n'
    )

    assert sorted(found_in(of_python(source))) == [
        (3, "Board"),
        (3, "is said to"),
        (3, "lacks"),
    ]


def test_a_script_is_read_by_its_strings_without_comments():
    script = "// whoever\nsay('no signal'); /* anew */\nfetch(`${at} anew`)"

    assert found_in(of_script(script)) == [(2, "no signal"), (3, "anew")]
