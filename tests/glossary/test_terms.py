"""The glossary: each term once, in few plain words, and really read somewhere."""

from habitats.drawing.styles import Style
from habitats.glossary import BY_KEY, TERMS, Topic, by_topic, terms_in
from tests.support.words import ROOT, of_markup, of_python, phrases_in

LONGEST_SENTENCE = 20


def test_no_two_terms_share_an_anchor_a_word_or_one_with_a_topic():
    assert len(BY_KEY) == len(TERMS) == len({one.term for one in TERMS})
    assert not BY_KEY.keys() & {topic.name.lower() for topic in Topic}


def test_a_term_is_explained_in_a_few_short_sentences_of_our_own_words():
    for term in TERMS:
        sentences = term.explanation.removesuffix(".").split(". ")
        assert len(sentences) <= 3, term.key
        assert all(len(one.split()) <= LONGEST_SENTENCE for one in sentences), term.key
        assert not list(phrases_in(term.explanation)), term.key


def test_a_picture_is_that_of_a_line_or_area_of_the_drawings():
    assert {one.picture for one in TERMS if one.picture} <= set(Style.__members__)


def test_each_term_is_one_that_people_read_somewhere():
    read = [
        text.words
        for pattern, reader in (("templates/**/*.html", of_markup), ("*/**/*.py", of_python))
        for path in ROOT.glob(pattern)
        if path.parts[len(ROOT.parts)] in ("templates", "habitats", "builds")
        and "glossary" not in path.parts
        for text in reader(path.read_text())
    ]
    used = terms_in("\n".join(read))

    assert [one.key for one in TERMS if one not in used] == []


def test_a_word_is_found_in_its_plural_and_not_inside_another():
    assert BY_KEY["batch"] in terms_in("Two batches are cut.")
    assert BY_KEY["lap"] in terms_in("Tape the laps.")
    assert BY_KEY["lap"] not in terms_in("The parts overlap; it may elapse.")


def test_terms_are_listed_by_topic_in_alphabetical_order():
    lap, tab, par = (BY_KEY[key] for key in ("lap", "tab", "par"))

    assert by_topic([tab, par, lap]) == ((Topic.SHEET, (lap, tab)), (Topic.LINENS, (par,)))
