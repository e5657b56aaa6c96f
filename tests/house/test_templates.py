"""Every template compiles, and none carries what the content security policy would refuse."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import get_template

ROOT = Path(settings.BASE_DIR) / "templates"
TEMPLATES = sorted(str(path.relative_to(ROOT)) for path in ROOT.rglob("*") if path.is_file())
# Laid out by WeasyPrint, never by a browser, so that the policy does not reach it.
PRINT_ONLY = {
    "_report_page_number.html",
    "kits/print.html",
    "packet/_page_number.html",
    "packet/print.html",
}
LONGEST_LINE = 160
# One form in a narrow column: `_form_page.html` lays it out for every page that is no more.
ONE_FORM = re.compile(
    r'<div class="narrow">(?:(?!<form).)*<form method="post"[^>]*class="card"[^>]*>(?!.*<form)',
    re.S,
)
LAID_OUT_ON_THEIR_OWN = {
    "faults/report_fault.html": "its fields stand around a floor that is tapped",
    "linens/linen_link.html": "the page of a linen: its form is one thing among several",
    "linens/measure.html": "the way back stands below what is told of shrinking",
    "pulls/more.html": "a question asked once more, with what was sent instead of fields",
}
REFUSED = re.compile(r"<style|\sstyle=|\son(?!e=)[a-z]+=|\shx-on|javascript:")


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_compiles(name):
    assert get_template(name)


@pytest.mark.parametrize("name", sorted(set(TEMPLATES) - PRINT_ONLY))
def test_a_template_has_no_inline_style_or_script(name):
    assert not REFUSED.search((ROOT / name).read_text())


@pytest.mark.parametrize("name", [name for name in TEMPLATES if name.endswith(".html")])
def test_a_template_is_read_without_scrolling_sideways(name):
    lines = (ROOT / name).read_text().splitlines()

    assert [number for number, line in enumerate(lines, 1) if len(line) > LONGEST_LINE] == []


def test_a_page_that_is_one_form_extends_the_form_page():
    alone = {name for name in TEMPLATES if ONE_FORM.search((ROOT / name).read_text())}

    assert alone == {"_form_page.html", *LAID_OUT_ON_THEIR_OWN}
