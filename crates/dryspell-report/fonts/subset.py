"""Cuts the two faces of the PDF out of DejaVu Sans Condensed.

    python3 subset.py [FOLDER]

FOLDER holds the faces of DejaVu 2.37 (Debian: package fonts-dejavu-extra, the default folder). Needs fonttools; made with 4.68.0.
The same faces and the same fonttools give the same bytes.
"""

import os
import sys

# The date in a face's head: without it fonttools writes the present time.
os.environ["SOURCE_DATE_EPOCH"] = "0"

from fontTools import subset
from fontTools.ttLib import TTFont

SOURCE = sys.argv[1] if len(sys.argv) > 1 else "/usr/share/fonts/truetype/dejavu"
HERE = os.path.dirname(os.path.abspath(__file__))

# Unicode blocks, first and last.
BLOCKS = [
    (0x0020, 0x007E),  # Basic Latin
    (0x00A0, 0x024F),  # Latin-1 supplement, Latin Extended-A and -B
    (0x02B0, 0x02FF),  # spacing modifier letters
    (0x0300, 0x036F),  # combining marks
    (0x0370, 0x03FF),  # Greek and Coptic
    (0x0400, 0x052F),  # Cyrillic and its supplement
    (0x1E00, 0x1EFF),  # Latin Extended Additional (Vietnamese, Welsh)
    (0x1F00, 0x1FFF),  # Greek Extended
    (0x2000, 0x206F),  # general punctuation
    (0x2070, 0x209F),  # superscripts and subscripts
    (0x20A0, 0x20CF),  # currency
    (0x2100, 0x214F),  # letterlike symbols
    (0x2150, 0x218F),  # number forms
    (0x2190, 0x21FF),  # arrows
    (0x2200, 0x22FF),  # mathematical operators
    (0x25A0, 0x25FF),  # geometric shapes
    (0x2713, 0x2718),  # ticks and crosses
    (0x2C60, 0x2C7F),  # Latin Extended-C
    (0xFB00, 0xFB06),  # Latin ligatures
    (0xFFFD, 0xFFFD),  # the replacement letter
]

FACES = [("DejaVuSansCondensed.ttf", "regular.ttf"), ("DejaVuSansCondensed-Bold.ttf", "bold.ttf")]


def main():
    options = subset.Options()
    # Marks must sit on their letters and pairs must be kerned; ligatures would only get in the way of a search.
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    # What tells whose work it is stays in the file: copyright, family, face, full and PostScript name, version, licence.
    options.name_IDs = [0, 1, 2, 4, 5, 6, 13, 14]
    options.name_languages = [0x409]
    # Curves without hinting: a PDF is printed or drawn large.
    options.hinting = False
    options.recalc_timestamp = False
    letters = [code for first, last in BLOCKS for code in range(first, last + 1)]
    for source, target in FACES:
        face = subset.load_font(os.path.join(SOURCE, source), options)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=letters)
        cutter.subset(face)
        path = os.path.join(HERE, target)
        subset.save_font(face, path, options)
        licence = "\n".join(line.rstrip() for line in TTFont(path)["name"].getDebugName(13).splitlines())
        with open(os.path.join(HERE, "LICENCE.txt"), "w", encoding="utf-8", newline="\n") as file:
            file.write(licence + "\n")
        print(target, len(TTFont(path).getBestCmap()), "letters,", os.path.getsize(path), "bytes")


main()
