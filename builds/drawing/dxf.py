"""A blank at 1:1 as DXF, for anyone with a cutter: one layer a kind of line, millimetres."""

from builds.making.blank import Blank, Line

# Colours are DXF index numbers: 7 black or white, 1 red, 5 blue, 3 green, 8 grey.
LAYERS = {"CUT": 7, "SLIT": 1, "SCORE": 5, "HOLES": 3, "TEXT": 8}
TEXT_HEIGHT_MM = 12


def blank_dxf(blank: Blank) -> bytes:
    """The file's bytes. DXF counts y upward, so the blank's top edge lies at its height."""
    import io

    import ezdxf
    from ezdxf import units

    # No time of writing and no chance ids in the file: the same blank gives the same bytes.
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    document = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
    for name, colour in LAYERS.items():
        document.layers.add(name, color=colour)
    space = document.modelspace()
    height = blank.height_mm

    def up(x: int, y: int) -> tuple[int, int]:
        return x, height - y

    space.add_lwpolyline(
        [up(x, y) for x, y in blank.outline], close=True, dxfattribs={"layer": "CUT"}
    )
    layered: list[tuple[str, tuple[Line, ...]]] = [("SLIT", blank.slits), ("SCORE", blank.scores)]
    for layer, lines in layered:
        for line in lines:
            space.add_line(up(line.x1, line.y1), up(line.x2, line.y2), dxfattribs={"layer": layer})
    for hole in blank.holes:
        space.add_circle(up(hole.x, hole.y), hole.diameter / 2, dxfattribs={"layer": "HOLES"})
    space.add_text(blank.name, height=TEXT_HEIGHT_MM, dxfattribs={"layer": "TEXT"}).set_placement(
        (0, -2 * TEXT_HEIGHT_MM)
    )
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)
