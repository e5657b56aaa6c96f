"""A step's picture as its reader has it: words, colours and sizes of the SVG, nothing else."""

import re
import xml.etree.ElementTree as ET
from collections import Counter

from PIL import Image, ImageDraw

SVG = "{http://www.w3.org/2000/svg}"
NOTHING_NEW = "Nothing new in this picture"
DASHED = "5 3.5"  # what is taken off
OPAQUE = 0.9
STRONG = 255
LEAST_SEEN = 6  # pixels
CORNER = re.compile(r"raised corner in the ([a-z]+-[a-z]+)")
PHONE_WIDTH = 326  # px that a phone of 360 px has for a picture
# How new panels are filled, and how ties are drawn.
NEW_WIRE = {"class": "f-new-wash", "fill-opacity": "0.6"}
TIE = {"class": "s-new f-paper-raised", "stroke-width": "1.6"}


class StepPicture:
    """One picture of a step as read."""

    def __init__(self, markup):
        self._root = ET.fromstring(markup)
        self._description = self._root.findtext(f"{SVG}desc")
        self.words = [one.text for one in self._root.iter(f"{SVG}text")]
        self.says_nothing_new = NOTHING_NEW in self.words

    @property
    def corner(self):
        (corner,) = CORNER.findall(self._description)
        return corner

    @property
    def is_turned(self):
        return f"Turned: view from the {self.corner}" in self.words

    @property
    def shows_new(self):
        return strong_pixels(self._root) >= LEAST_SEEN

    @property
    def px_on_phone(self):
        """The smallest letters, where the picture has the height that it needs."""
        width = float(self._root.get("viewBox").split()[2])
        sizes = [float(one.get("font-size")) for one in self._root.iter(f"{SVG}text")]
        return min(sizes, default=1000.0) * min(1.0, PHONE_WIDTH / width)

    @property
    def new_panels(self):
        return sum(data.count("z") for data in self._paths(NEW_WIRE))

    @property
    def ties(self):
        """Discs in the picture, without the one in its legend."""
        discs = sum(data.count("a") // 2 for data in self._paths(TIE))
        return max(0, discs - 1)

    @property
    def seats(self):
        """Letters of connectors; each is once more written at its detail."""
        written = Counter(one for one in self.words if one in "ABCDEF")
        return Counter({letter: count - 1 for letter, count in written.items()})

    def _paths(self, look):
        for one in self._root.iter(f"{SVG}path"):
            if all(one.get(name) == value for name, value in look.items()):
                yield one.get("d")


def strong_pixels(root):
    """How much strong colour is left when all is painted, without what is written below."""
    left, top, width, height = map(float, root.get("viewBox").split())
    image = Image.new("L", (int(width) + 1, int(height) + 1))
    pen = ImageDraw.Draw(image)
    for mark in root:
        if mark.tag == f"{SVG}text":  # the N, then what is written below
            break
        if mark.tag == f"{SVG}path":
            paint(pen, mark, (left, top))
    return image.histogram()[STRONG]


def paint(pen, mark, origin):
    classes = mark.get("class").split()
    covers = float(mark.get("fill-opacity", 1)) >= OPAQUE
    is_strong_line = "s-new" in classes or mark.get("stroke-dasharray") == DASHED
    for run in runs(mark.get("d")):
        points = [(x - origin[0], y - origin[1]) for x, y in run]
        if any(one.startswith("f-") for one in classes) and covers and len(points) > 2:
            pen.polygon(points, fill=STRONG if {"f-new", "f-new-wash"} & set(classes) else 0)
        if is_strong_line and len(points) > 1:
            pen.line(points, fill=STRONG, width=2)


def runs(data):
    """Lines of a path in absolute points; discs are left out."""
    for run in data.split("M")[1:]:
        if "a" in run:
            continue
        pairs = re.findall(r"(-?[\d.]+) ?(-?[\d.]+)", run)
        x, y = 0.0, 0.0
        points = []
        for number, (dx, dy) in enumerate(pairs):
            x, y = (x + float(dx), y + float(dy)) if number else (float(dx), float(dy))
            points.append((x, y))
        yield points
