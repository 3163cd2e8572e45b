"""Lays down what the recomputations of this folder say, for the program's own tests to be held to.

    python tests/outside/rules/lay.py            writes the sheets (*.csv) anew
    python tests/outside/rules/lay.py --held     says whether they are what the scripts give, without writing

Nothing but the standard library; the same rows on every machine (the seed is below).
"""

import csv
import io
import math
import pathlib
import sys

import bearing
import distances
import feet
import fixings
import members_eurocode
import members_nds
import seams

HERE = pathlib.Path(__file__).parent
SEED = 20261125
SHEETS = {
    "members_eurocode": (members_eurocode, 300),
    "members_nds": (members_nds, 300),
    "fixings": (fixings, 992),
    "seams": (seams, 240),
    "feet": (feet, 240),
    "distances": (distances, 240),
    "bearing": (bearing, 240),
}


def text(value):
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(float(f"{value:.13g}"))
    return str(value)


def sheet(module, count):
    rows = list(module.rows(count, SEED))
    inputs = [name for name in rows[0] if not name.startswith("u_")]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(inputs + module.COLUMNS)
    for row in rows:
        writer.writerow([text(row.get(name)) for name in inputs + module.COLUMNS])
    return out.getvalue()


def same(one, other):
    """The same but for the last digits, which a platform's own functions may round in another way."""
    if one == other:
        return True
    try:
        return math.isclose(float(one), float(other), rel_tol=1e-11)
    except ValueError:
        return False


def main():
    held = "--held" in sys.argv[1:]
    differ = 0
    for name, (module, count) in SHEETS.items():
        path = HERE / f"{name}.csv"
        new = sheet(module, count)
        if held:
            lines = zip(csv.reader(path.open()), csv.reader(io.StringIO(new)), strict=True)
            wrong = sum(not all(map(same, was, now)) or len(was) != len(now) for was, now in lines)
            print(f"{name}: {count} rows, {wrong} differ")
            differ += wrong
        else:
            path.write_text(new)
            print(f"{name}: {count} rows")
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
