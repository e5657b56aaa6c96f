"""Packets of designs made by hand, printed once a session: printing takes seconds."""

import time
from collections.abc import Callable

import pytest
from django.utils import translation

from builds.making.reckoning import Reckoning, plan_of
from builds.packet.paper import (
    Label,
    Options,
    Packet,
    Paper,
    packet_of,
    pdf_from,
    printed,
    source_of,
)
from builds.sheets import as_cut
from habitats.structure.design import Design, Species
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from
from tests.support.reading import printed_without_warnings

LINK = "https://enclosures.example.org/d/K7MXQ2/"


@pytest.fixture(scope="session")
def balcony() -> Design:
    """Two levels and a ramp, for guinea pigs."""
    return make_design(
        ["####", "####"],
        upper=["#...", "#..."],
        name="Bramble and Nettle",
        ramps=(ramp_from(0, 0, Side.E, panels=3),),
    )


@pytest.fixture(scope="session")
def long_barn() -> Design:
    """One level, with a tray larger than a stock sheet."""
    return make_design(["######"] * 3, name="The long barn")


@pytest.fixture(scope="session")
def rabbit_house() -> Design:
    """Two tiers under a lid."""
    return make_design(
        ["####"] * 3, name="Juniper's house", wall_panels=2, lid=True, species=Species.RABBIT
    )


@pytest.fixture(scope="session")
def label_for() -> Callable[[Design], Label]:
    def make(design: Design) -> Label:
        return Label(design.name, "K7MXQ2", LINK, "25 November 2026")

    return make


@pytest.fixture(scope="session")
def packet_for(label_for) -> Callable[..., Packet]:
    """`packet_for(design, paper=..., units=...)`: its packet with these options."""

    def make(design: Design, **options: object) -> Packet:
        chosen = Options(**options)
        return packet_of(source_of(reckoned(design, chosen)), label_for(design), chosen)

    return make


def reckoned(design: Design, options: Options) -> Reckoning:
    return plan_of(design, lengths=options.lengths, lay=as_cut)


@pytest.fixture(scope="session")
def print_pdf() -> Callable[[Packet], bytes]:
    """`print_pdf(packet)`: its PDF, and a failure for anything WeasyPrint warns of."""

    def make(packet: Packet) -> bytes:
        with printed_without_warnings():
            return pdf_from(printed(packet))

    return make


@pytest.fixture(scope="session")
def balcony_packet(balcony, packet_for) -> Packet:
    return packet_for(balcony, who_for="the Larkrise home")


@pytest.fixture(scope="session")
def balcony_print(balcony_packet, print_pdf) -> tuple[bytes, float]:
    """Its PDF in colour, metric, on A4, two steps a page; and the processor's seconds for it."""
    began = time.process_time()
    return print_pdf(balcony_packet), time.process_time() - began


@pytest.fixture(scope="session")
def balcony_pdf(balcony_print) -> bytes:
    return balcony_print[0]


@pytest.fixture(scope="session")
def letter_pdf(balcony, packet_for, print_pdf) -> bytes:
    """In black, in inches, on Letter, one step a page."""
    packet = packet_for(balcony, paper=Paper.LETTER, units="inches", steps_a_page=1, colour=False)
    return print_pdf(packet)


@pytest.fixture(scope="session")
def large_letter_pdf(balcony, packet_for, print_pdf) -> bytes:
    """In colour and metric on Letter, as it is on A4."""
    return print_pdf(packet_for(balcony, paper=Paper.LETTER))


@pytest.fixture(scope="session")
def german_pdf(balcony, packet_for, print_pdf) -> bytes:
    with translation.override("de"):
        return print_pdf(packet_for(balcony))


@pytest.fixture(scope="session")
def german_letter_pdf(balcony, packet_for, print_pdf) -> bytes:
    """In inches, whose fractions take more room than millimetres: the longest there is."""
    with translation.override("de"):
        return print_pdf(packet_for(balcony, paper=Paper.LETTER, units="inches"))


@pytest.fixture(scope="session")
def you() -> Design:
    """A U whose tray is joined from pieces."""
    return make_design(["##.##", "#####", "#####"], name="A corner of the hall")


@pytest.fixture(scope="session")
def you_pdf(you, packet_for, print_pdf) -> bytes:
    return print_pdf(packet_for(you))


@pytest.fixture(scope="session")
def german_letter_you_pdf(you, packet_for, print_pdf) -> bytes:
    with translation.override("de"):
        return print_pdf(packet_for(you, paper=Paper.LETTER))
