"""The exact shares of one day, summed again from the definition alone.

    python3 one_day.py FILE

FILE holds rows of a preset, true pain during, usual morning, true rise and standard deviation, with the
shares that the app found. The tables are typed out here from docs/clinical-rule.md, section 2; nothing is
taken from the app's code. The program fails at the first row that differs, and says which.
"""

import json
import sys
from itertools import product
from math import erf, inf, sqrt

# For each preset: where low and middle pain end, and the orders of low, middle and high pain for a morning
# that is settled, up a little, up clearly.
MONITORING = ["counts stay ease", "stay ease hold", "ease hold hold"]
NEARLY_FREE = ["counts stay ease", "ease ease hold", "hold hold hold"]
TABLES = {
    "Pain-monitoring": (2, 5, MONITORING),
    "Wider green": (3, 5, MONITORING),
    "Nearly pain-free": (1, 3, NEARLY_FREE),
}
ORDERS = ["counts", "stay", "ease", "hold"]


def below(cut, truth, sd):
    return (1 + erf((cut - truth) / (sd * sqrt(2)))) / 2


def chance_of(rating, truth, sd):
    """A normal number about the truth, rounded half up and cut to 0 to 10, is this rating."""
    high = inf if rating == 10 else rating + 0.5
    low = -inf if rating == 0 else rating - 0.5
    return below(high, truth, sd) - below(low, truth, sd)


def order(preset, during, rise):
    low_max, middle_max, rows = TABLES[preset]
    row = 0 if during <= low_max else 1 if during <= middle_max else 2
    column = 0 if rise <= 0 else 1 if rise < 2 else 2
    return rows[row].split()[column]


def shares(preset, during, usual, rise, sd):
    found = dict.fromkeys(ORDERS, 0.0)
    for worst, morning in product(range(11), repeat=2):
        share = chance_of(worst, during, sd) * chance_of(morning, usual + rise, sd)
        found[order(preset, worst, morning - usual)] += share
    return found


def main(path):
    with open(path, encoding="utf-8") as file:
        rows = json.load(file)
    wanted = product(TABLES, range(6), [2], [0, 1], [0.48, 0.70, 0.94])
    keys = ["preset", "during", "usual", "rise", "sd"]
    for row, inputs in zip(rows, wanted, strict=True):
        if [row[key] for key in keys] != list(inputs) or set(row) != {*keys, *ORDERS}:
            sys.exit(f"{inputs}: the row is {row}")
        found = shares(*inputs)
        if abs(sum(found.values()) - 1) > 1e-12:
            sys.exit(f"{inputs}: the shares come to {sum(found.values())}")
        for name in ORDERS:
            if not abs(found[name] - row[name]) <= 1e-12:
                sys.exit(f"{inputs}: {name} is {row[name]}, counted again {found[name]}")
    print(f"{len(rows)} rows")


if __name__ == "__main__":
    main(sys.argv[1])
