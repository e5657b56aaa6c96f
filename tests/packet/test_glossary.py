"""The packet's glossary has the words that its other sections use, and no other."""

from builds.packet.paper import Section, printed
from habitats.glossary import BY_KEY, TERMS


def terms_of(packet) -> set[str]:
    return {entry.term for entry in packet.glossary}


def test_it_explains_what_the_packet_uses(balcony_packet):
    assert {"Ramp", "Guard", "Slit", "Score", "Flap", "Liner", "Connector"} <= terms_of(
        balcony_packet
    )
    assert not {"Par", "Pool", "Adopter", "Follow-up"} & terms_of(balcony_packet)


def test_it_takes_no_word_for_a_term_that_is_meant_otherwise(balcony_packet):
    """Ties are pulled tight, and animals live in groups."""
    assert not {"Pull", "Group", "Build"} & terms_of(balcony_packet)


def test_it_explains_no_ramp_where_there_is_none(packet_for, long_barn):
    care = packet_for(long_barn, sections=frozenset({Section.PLANS, Section.GLOSSARY}))

    assert not {"Ramp", "Slit"} & terms_of(care)


def test_its_words_are_those_of_the_help_page(balcony_packet):
    known = {term.term: term.explanation for term in TERMS}

    assert all(known[entry.term] == entry.explanation for entry in balcony_packet.glossary)
    terms = [entry.term for entry in balcony_packet.glossary]
    assert terms == sorted(terms, key=str.lower)


def test_lines_are_printed_as_drawings_have_them(balcony_packet):
    drawn = {entry.term for entry in balcony_packet.glossary if entry.picture}

    assert drawn == {one.term for one in BY_KEY.values() if one.picture} & terms_of(balcony_packet)


def test_a_packet_without_other_sections_has_none(packet_for, balcony):
    packet = packet_for(balcony, sections=frozenset({Section.GLOSSARY}))

    assert packet.sections == ()


def test_it_is_printed_before_the_care_sheet_which_is_taken_off(balcony_packet):
    assert balcony_packet.sections[-2:] == (Section.GLOSSARY, Section.CARE)
    assert "what the animals live in" in printed(balcony_packet).html.lower()
