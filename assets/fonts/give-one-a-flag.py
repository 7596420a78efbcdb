"""Derives Loomwright Gothic from Routed Gothic: the same letters, with a 1 that nobody takes for an I.

Not part of any build; the fonts that it writes are kept beside it. To make them again, with Routed Gothic 001.000:

    pip install fonttools
    python give-one-a-flag.py routed-gothic.ttf loomwright-gothic.ttf
    python give-one-a-flag.py routed-gothic-narrow.ttf loomwright-gothic-narrow.ttf

Routed Gothic is a Reserved Font Name under its licence, so what is changed carries another family's name.
"""

import math
import sys

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

STROKE = 96  # The width of Routed Gothic's own strokes, in 1/1024 of the em.
# Stem, tip of the flag, ends of the foot, and advance, by family; places are on the middle of a stroke.
SHAPES = {
    "Routed Gothic": {"stem": 236, "flag": (92, 568), "foot": (96, 376), "advance": 472},
    "Routed Gothic Narrow": {"stem": 186, "flag": (76, 568), "foot": (76, 296), "advance": 372},
}


def stroke(pen, start, end):
    """A line with round ends, drawn clockwise as TrueType wants its outlines."""
    radius = STROKE / 2
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    points = []
    for centre, first in ((end, angle + math.pi / 2), (start, angle - math.pi / 2)):
        for step in range(5):
            turn = first - step * math.pi / 4
            points.append((centre, turn))
    at = lambda centre, turn, out=radius: (
        round(centre[0] + out * math.cos(turn)),
        round(centre[1] + out * math.sin(turn)),
    )
    pen.moveTo(at(*points[0]))
    for (centre, turn), (next_centre, next_turn) in zip(points, points[1:]):
        if centre == next_centre:
            # An eighth of a circle; its control point stands where the tangents meet.
            control = at(centre, (turn + next_turn) / 2, radius / math.cos(math.pi / 8))
            pen.qCurveTo(control, at(next_centre, next_turn))
        else:
            pen.lineTo(at(next_centre, next_turn))
    pen.closePath()


def derive(source, target):
    font = TTFont(source, recalcTimestamp=False)
    family = font["name"].getDebugName(1)
    shape = SHAPES[family]
    top, bottom = font["OS/2"].sCapHeight - STROKE // 2, STROKE // 2
    pen = TTGlyphPen(None)
    stroke(pen, (shape["stem"], bottom), (shape["stem"], top))
    stroke(pen, (shape["stem"], top), shape["flag"])
    stroke(pen, (shape["foot"][0], bottom), (shape["foot"][1], bottom))
    glyph = pen.glyph()
    name = font.getBestCmap()[ord("1")]
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (shape["advance"], glyph.xMin)
    for table in font["kern"].kernTables:
        table.kernTable = {pair: by for pair, by in table.kernTable.items() if name not in pair}
    renamed = family.replace("Routed", "Loomwright")
    for record in font["name"].names:
        # The copyright with its licence stays as it is.
        if record.nameID in (1, 3, 4):
            record.string = str(record).replace(family, renamed)
        elif record.nameID == 6:
            record.string = renamed.replace(" ", "")
    del font["FFTM"]
    font.save(target)


if __name__ == "__main__":
    derive(*sys.argv[1:])
