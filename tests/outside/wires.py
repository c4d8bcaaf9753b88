#!/usr/bin/env python3
"""Writes wires.csv: each gauge of ASTM B258 by its formula, diameter = 0.005 in × 92^((36 − n) / 39), to fifty digits.

    python3 wires.py > wires.csv

The formula is from memory; the diameters that it gives are checked against published ones in mod.rs. Gauges 1/0 to 4/0 are
0 to -3. The last line is one thousand circular mils. Decimal arithmetic of the standard library; pi to sixty digits.
"""

from decimal import Decimal, getcontext

getcontext().prec = 60
PI = Decimal("3.14159265358979323846264338327950288419716939937510582097494")
INCH = Decimal("25.4")


def area(diameter_inch):
    return PI / 4 * (diameter_inch * INCH) ** 2


print("# made by wires.py; edit nothing by hand")
print("gauge,diameter in inches,area in mm²")
for gauge in range(-3, 41):
    diameter = Decimal("0.005") * Decimal(92) ** (Decimal(36 - gauge) / Decimal(39))
    print(gauge, f"{diameter:.25f}", f"{area(diameter):.25f}", sep=",")
# A circular mil is the area of a circle of a thousandth of an inch.
print("kcmil", "", f"{area(Decimal('0.001')) * 1000:.25f}", sep=",")
