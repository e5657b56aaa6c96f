"""The list of figures: every one once, with its source, and the links that lead to it."""

import re
from pathlib import Path

import pytest

from builds.cited import COMMON_PRACTICE, GRADES, chapters, every_figure, link_for
from builds.making.care import care_sheet
from habitats.rotation.goods import GOODS
from habitats.rotation.infection import Suspicion, rules_for
from habitats.source import PRACTICE, Known, Source
from habitats.structure import warnings
from habitats.structure.caution import Caution
from habitats.structure.design import Species
from habitats.welfare import company, litters, maturity, quarantine
from habitats.welfare.objection import Objection, warning
from habitats.welfare.own import OwnFigures, own_rule_set
from habitats.welfare.rule_sets import rule_set, rule_sets

FIGURES = {one.code: one for one in every_figure()}


def test_every_code_is_there_once_and_can_be_an_anchor():
    codes = [one.code for one in every_figure()]
    codes += [f"chapter-{chapter.code}" for chapter in chapters()]
    codes += [grade.code for grade in GRADES]

    assert len(codes) == len(set(codes))
    assert all(re.fullmatch(r"[A-Za-z][\w.-]*", code) for code in codes)


def test_every_figure_has_words_and_a_source_or_the_word_that_it_has_none():
    for one in every_figure():
        assert one.what
        assert all(one.values)
        assert one.source.text or one.source.known in (Known.PRACTICE, Known.MEMORY)


def test_every_grade_is_told():
    assert len(GRADES) == len(Known)
    assert COMMON_PRACTICE in {grade.code for grade in GRADES}


def test_every_space_standard_is_listed_under_its_own_id():
    for one in rule_sets():
        found = FIGURES[one.id]
        assert (found.source.text, found.source.known) == (one.source, one.known)


def test_a_laboratory_minimum_is_listed_with_its_caution():
    assert any("never enough for a home" in line for line in FIGURES["eu-2010-63"].values)


def test_a_standard_is_told_piece_by_piece():
    # Directive 2010/63/EU, Annex III, Table 1.5.
    told = [line.replace("\N{NO-BREAK SPACE}", " ") for line in FIGURES["eu-2010-63"].values]

    assert "700 cm² up to 700 g, 900 cm² above" in told[0]
    assert "Height: 230 mm, over more than 1/2 of the required floor" in told


def test_values_are_in_the_readers_units():
    (walls,) = [chapter for chapter in chapters("inches") if chapter.code == "walls"]

    (low,) = [one for one in walls.figures if one.code == "low_walls"]
    assert "in" in low.values[0]
    assert "mm" not in low.values[0]


def test_figures_are_those_that_are_reckoned_with():
    # Studies: J Exp Anal Behav 118:292 (2022); the rest from the modules themselves.
    assert FIGURES["slope_above_study"].values[0].startswith(f"{warnings.STUDY_SLOPE_DEG}°")
    assert f"{maturity.WAIT_DAYS} days" in FIGURES["castration_wait"].values


@pytest.mark.parametrize(
    "code",
    re.findall(r'Caution\(\s*"(\w+)"', Path(warnings.__file__).read_text(encoding="utf-8")),
)
def test_every_warning_of_a_design_leads_to_its_figure(code):
    caution = Caution(code, "A sentence.", warnings.PRACTICE)

    found = link_for(caution)

    assert found
    assert found.code == code


@pytest.mark.parametrize(
    "source",
    [
        company.APART,
        maturity.WAITING,
        *maturity.PARTING.values(),
        *litters.GESTATION.values(),
        litters.WEANING[Species.GUINEA_PIG],
        litters.AFTER_BIRTH,
        quarantine.AT_INTAKE[Species.GUINEA_PIG],
        quarantine.RHD,
        *(rule.source for suspicion in Suspicion for rule in rules_for(suspicion)),
        *(source for one in GOODS for source in (one.mass_source, one.shrinkage_source)),
    ],
)
def test_every_source_that_a_screen_shows_has_its_place(source):
    found = link_for(source)

    assert found
    assert FIGURES[found.code].source == source


def objection(code: str, source: Source) -> Objection:
    return warning(code, ("a",), "A sentence.", source)


def test_an_objection_leads_to_its_source_else_to_its_code():
    parting = maturity.PARTING[Species.RABBIT]

    assert link_for(objection("young_male", parting)).code == "young_male_rabbit"
    assert link_for(objection("two_males", PRACTICE)) == ("two_males", True)


def test_common_practice_is_never_told_as_better_known():
    # The code's own figure is second-hand: of a rabbit it is common practice.
    assert link_for(objection("quarantine", PRACTICE)) == (COMMON_PRACTICE, True)


def test_an_own_rule_set_leads_to_the_standard_under_it():
    base = rule_set("ch-tschv")
    figures = OwnFigures(animals=2, floor_mm2=900_000, further_mm2=300_000)
    own = own_rule_set(base, figures, id="own", name="Own figures")

    assert link_for(own).code == "ch-tschv"


def test_what_has_no_figure_has_no_link():
    assert link_for(Source("", Known.OWN)) is None
    assert link_for("nothing of ours") is None


def test_every_piece_of_advice_is_listed():
    listed = {one.what for one in every_figure()}

    assert {one.sentence for one in care_sheet()} <= listed
