"""Every tank with every array, in parallel, as CSV on standard output: the same bytes as the Rust example of this name.

    python map_tanks_and_arrays.py data/demo > map.csv
"""

import pathlib
import sys

import dryspell

scheme = dryspell.read(pathlib.Path(sys.argv[1]) / "scheme.toml")
found = dryspell.sweep(
    scheme,
    ["array.shed.series = 1 to 5 by 1", "tank.main.capacity = 6 to 24 by 2 m3"],
    columns=["shortfall_days", "longest_spell_days", "volume_served_percent", "full_tank_autonomy_days.worst"],
)
numbers = [found[name] for name in list(found)[4:]]
print("modules_in_series,tank,shortfall_days,longest_spell_days,volume_served_percent,full_tank_days,fault")
for modules, tank, fault, short, spell, served, full in zip(
    found["array.shed.series"], found["tank.main.capacity_m3"], found["fault"], *numbers
):
    if fault is None:
        figures = f"{int(short)},{int(spell)},{served:.3f},{full:.3f},"
    else:
        figures = ',,,,"' + fault.replace('"', "'") + '"'
    print(f"{modules},{tank:g} m3,{figures}")
