"""A thinned, anonymised extract of the public module list inside pvlib 0.16.1, to try the datasheet fit on.

Every tenth row of pvlib/data/sam-library-cec-modules-2019-03-05.csv (21 535 rows): what a datasheet states, no names.
Row n of the list is called M and n with five digits. `all` writes the whole list to the given file instead.

Usage: python3 modules.py [all FILE]
"""
import pathlib
import sys

import pandas as pd
import pvlib

assert pvlib.__version__ == "0.16.1"
HERE = pathlib.Path(__file__).resolve().parent
LIST = pathlib.Path(pvlib.__file__).parent / "data" / "sam-library-cec-modules-2019-03-05.csv"
COLUMNS = {
    "I_sc_ref": "isc_a",
    "V_oc_ref": "voc_v",
    "I_mp_ref": "imp_a",
    "V_mp_ref": "vmp_v",
    "alpha_sc": "alpha_sc_a_per_k",
    "beta_oc": "beta_oc_v_per_k",
    "N_s": "cells",
}
EVERY = 10

rows = pd.read_csv(LIST, skiprows=[1, 2])[list(COLUMNS)].rename(columns=COLUMNS)
rows.insert(0, "module", [f"M{n:05d}" for n in range(1, len(rows) + 1)])
whole = sys.argv[1:2] == ["all"]
target = pathlib.Path(sys.argv[2]) if whole else HERE / "modules.csv"
kept = rows if whole else rows.iloc[::EVERY]
with open(target, "w", newline="\n") as f:
    f.write(f"# source: every {1 if whole else EVERY}th of {len(rows)} rows of the module list in pvlib 0.16.1, without names\n")
    f.write("# generator: modules.py\n")
    f.write("# tolerance: power and open-circuit voltage 0.1 %, short-circuit current 1 %, slope of power zero at the maximum\n")
    kept.to_csv(f, index=False, lineterminator="\n")
print(target, len(kept), "rows")
