"""The picture of the README: the first page of the demo's summary. Run it when the page changes.

Usage: python3 data/pictures/first_page.py   (needs pymupdf and a built program)
"""
import pathlib
import subprocess
import tempfile

import pymupdf

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
with tempfile.TemporaryDirectory() as folder:
    page = pathlib.Path(folder) / "summary.pdf"
    program = ["cargo", "run", "--release", "--quiet", "--", "summary", "data/demo/scheme.toml", "-o", str(page)]
    subprocess.run(program, cwd=ROOT, check=True)
    pymupdf.open(page)[0].get_pixmap(dpi=72).save(HERE / "summary.png")
