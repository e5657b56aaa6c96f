"""Catalogues are whole: every sentence of the product is in them, translated, and nothing guessed.

Outside opinion: plural rules as Django's own catalogues carry them from Unicode CLDR; `msgfmt`.
"""

import re
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import django
import pytest
from django.conf import settings

from habitats.management.commands.untranslated import UNSAID, catalogues, sentences
from tests.support.server import ROOT, bare_environment

LANGUAGES = [code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE]
SAID_IN = ["habitats", "builds", "templates", "static"]
# What a program puts in: by %, by name, or by a script's `interpolate`.
PLACE = re.compile(r"%\(\w+\)[a-z]|%%")


def msgids(folder: Path) -> set[str]:
    """The sentences of all catalogues below a folder, as they stand in the files."""
    found: set[str] = set()
    for path in folder.glob("*/locale/*/LC_MESSAGES/*.po"):
        done = subprocess.run(
            ["msgcat", "--no-wrap", "--no-location", str(path)],
            capture_output=True,
            text=True,
            check=True,
        )
        found |= set(re.findall(r'^msgid (.+(?:\n".*)*)', done.stdout, re.MULTILINE))
    return found


@pytest.fixture(scope="module")
def collected(tmp_path_factory) -> set[str]:
    """The sentences that `make words` would collect now."""
    copy = tmp_path_factory.mktemp("house")
    for name in SAID_IN:
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "manage.py", copy)
    for language in LANGUAGES:
        for domain in ("django", "djangojs"):
            subprocess.run(
                [sys.executable, "manage.py", "makemessages", "-l", language, "-d", domain],
                cwd=copy,
                capture_output=True,
                check=True,
                env=bare_environment() | {"DEBUG": "on"},
            )
    return msgids(copy)


def test_every_sentence_of_the_product_is_in_the_catalogues(collected):
    assert collected - msgids(ROOT) == set(), "Type: make words"


def test_no_sentence_stays_in_the_catalogues_that_the_product_no_longer_says(collected):
    assert msgids(ROOT) - collected == set(), "Type: make words"


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("how", [how for how, _said in UNSAID])
def test_no_sentence_is_untranslated_or_guessed(language, how):
    assert [one for path in catalogues(language) for one in sentences(path, how)] == []


@pytest.mark.parametrize("path", catalogues(), ids=lambda path: "/".join(path.parts[-5:]))
def test_a_catalogue_has_the_formats_that_msgfmt_asks_for(path):
    done = subprocess.run(
        ["msgfmt", "--check", "--output-file=/dev/null", str(path)], capture_output=True, text=True
    )

    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("path", catalogues(), ids=lambda path: "/".join(path.parts[-5:]))
def test_plural_forms_are_those_of_the_language(path):
    language = path.parts[-3]
    of_django = Path(django.__file__).parent / f"conf/locale/{language}/LC_MESSAGES/django.po"
    rule = re.compile(r'"Plural-Forms: (.*?)\\n"')

    ours, theirs = rule.search(path.read_text()), rule.search(of_django.read_text())

    assert ours
    assert theirs
    assert ours[1] == theirs[1]


@pytest.mark.parametrize("path", catalogues(), ids=lambda path: "/".join(path.parts[-5:]))
def test_a_translation_has_the_same_places_to_fill_in(path):
    done = subprocess.run(["msgcat", "--no-wrap", path], capture_output=True, text=True, check=True)
    plain = re.compile(r'^msgid (".*"(?:\n".*")*)\nmsgstr (".*"(?:\n".*")*)$', re.MULTILINE)

    pairs = plain.findall(done.stdout)

    assert pairs
    differing = [
        english
        for english, other in pairs
        if english != '""' and Counter(PLACE.findall(english)) != Counter(PLACE.findall(other))
    ]
    assert differing == []
