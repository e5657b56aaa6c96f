"""Pure: pens, line styles and hatching that every picture is drawn with, and the SVG they give."""
