"""The printed set of a design, as a page and as a PDF: all that a volunteer needs to build it.

source = source_of(reckoning)                    # or source_of_alteration(alteration, order)
packet = packet_of(source, label, options)       # values and finished pictures, no clock
page = printed(packet)                           # HTML for paper, and its pictures
pdf = pdf_from(page)                             # tagged PDF, the same bytes each time
"""

from builds.common.paper import Label, Paper
from builds.packet.paper.altering import source_of_alteration
from builds.packet.paper.assemble import packet_of
from builds.packet.paper.options import Options, Section
from builds.packet.paper.printed import printed
from builds.packet.paper.source import source_of
from builds.packet.paper.values import Packet
from habitats.common.pdf import pdf_from

__all__ = [
    "Label",
    "Options",
    "Packet",
    "Paper",
    "Section",
    "packet_of",
    "pdf_from",
    "printed",
    "source_of",
    "source_of_alteration",
]
