"""Sheet plans and labels for paper, through the packet's printer.

cards = cards_of(plan, lengths)             # finished pictures and cuts; for the screen as well
pdf_from(sheets_page(plan, label, paper))   # the whole plan
pdf_from(labels_page(labels, paper))        # for pieces, or for offcuts
"""

from builds.packet import pdf_from
from builds.printing.cards import SheetCard, cards_of
from builds.printing.labels import Sticker, labels_page, offcut_sticker, piece_stickers
from builds.printing.pages import Print, sheets_page

__all__ = [
    "Print",
    "SheetCard",
    "Sticker",
    "cards_of",
    "labels_page",
    "offcut_sticker",
    "pdf_from",
    "piece_stickers",
    "sheets_page",
]
