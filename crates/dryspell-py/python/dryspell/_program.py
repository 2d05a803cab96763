"""The program `dryspell`, as `pip install` gives it."""

import signal
import sys

from ._core import program


def main():
    # The program acts on Ctrl-C itself.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    sys.exit(program(["dryspell", *sys.argv[1:]]))
