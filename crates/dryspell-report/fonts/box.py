"""Makes `box.ttf`, a face for tests: an empty box for two letters that the built-in faces lack, U+8A9E and U+0634.

    python3 box.py

Needs fonttools; made with 4.68.0.
"""

import os

os.environ["SOURCE_DATE_EPOCH"] = "0"

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

HERE = os.path.dirname(os.path.abspath(__file__))


def frame():
    pen = TTGlyphPen(None)
    for points in ([(100, 0), (100, 800), (900, 800), (900, 0)], [(200, 100), (800, 100), (800, 700), (200, 700)]):
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


names = [".notdef", "one", "two"]
builder = FontBuilder(1000, isTTF=True)
builder.setupGlyphOrder(names)
builder.setupCharacterMap({0x8A9E: "one", 0x0634: "two"})
builder.setupGlyf({name: frame() for name in names})
builder.setupHorizontalMetrics({name: (1000, 100) for name in names})
builder.setupHorizontalHeader(ascent=900, descent=-300)
builder.setupNameTable({"familyName": "Box", "styleName": "Regular", "psName": "Box-Regular", "fullName": "Box"})
builder.setupOS2(sTypoAscender=900, sTypoDescender=-300, usWinAscent=900, usWinDescent=300)
builder.setupPost()
builder.updateHead(created=0, modified=0)
builder.font.recalcTimestamp = False
builder.save(os.path.join(HERE, "box.ttf"))
