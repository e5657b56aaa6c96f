"""The words of the trade, once: the help page and the packet's glossary come from this list.

A term is explained as the code uses it. Whoever changes what a word stands for changes it here.
"""

from collections.abc import Iterable

from habitats.glossary.keeping import ANIMALS, BUILDS, KITS, LINENS, RECORDS, STORE
from habitats.glossary.making import ENCLOSURES, SHEET
from habitats.glossary.term import Term, Topic

__all__ = ["BY_KEY", "TERMS", "Term", "Topic", "by_topic", "terms_in"]

TERMS = (*ENCLOSURES, *SHEET, *ANIMALS, *LINENS, *BUILDS, *STORE, *KITS, *RECORDS)
BY_KEY = {term.key: term for term in TERMS}


def terms_in(text: str) -> tuple[Term, ...]:
    """The terms that a text uses, in the order of the list."""
    return tuple(term for term in TERMS if term.is_in(text))


def by_topic(terms: Iterable[Term]) -> tuple[tuple[Topic, tuple[Term, ...]], ...]:
    """Topics that have terms, each with its own in the reader's alphabetical order."""
    ordered = sorted(terms, key=lambda one: str(one.term).lower())
    listed = ((topic, tuple(one for one in ordered if one.topic is topic)) for topic in Topic)
    return tuple((topic, found) for topic, found in listed if found)
