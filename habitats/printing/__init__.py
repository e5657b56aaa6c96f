"""Paper: a page and its pictures turned into a tagged PDF, and QR codes of short links.

page = PrintedPage(html, pictures)   # pictures by the addresses that the page names
pdf = pdf_from(page)                 # the same bytes each time
"""

from habitats.printing.page import PrintedPage, lift_pictures
from habitats.printing.pdf import pdf_from

__all__ = ["PrintedPage", "lift_pictures", "pdf_from"]
