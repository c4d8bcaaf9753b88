#!/usr/bin/env python3
"""Writes units.csv: every unit of the program with its factor as the units library pint gives it.

    python3 -m venv v && v/bin/pip install pint==0.25.3 && v/bin/python units.py > units.csv

pint reckons with fractions here, so each factor is exact: base units in one of the unit, over and under the line. The base
is metre, kilogram, second, ampere, kelvin, degree of angle, lumen, decibel, as in the program. Then come the kelvins at
nought of a temperature scale, and the powers of length, mass, time, current, temperature and light; pint counts angles as
plain numbers. Left out: dB, of which one is one, and the wire sizes, which are in wires.csv.
"""

from fractions import Fraction

import pint

registry = pint.UnitRegistry(non_int_type=Fraction)
# symbol: (the unit in pint's words, the base unit that its dimension has in the program)
UNITS = {
    "in": ("inch", "meter"),
    "ft": ("foot", "meter"),
    "yd": ("yard", "meter"),
    "mi": ("mile", "meter"),
    "kft": ("kilofoot", "meter"),
    "mm": ("millimeter", "meter"),
    "cm": ("centimeter", "meter"),
    "m": ("meter", "meter"),
    "km": ("kilometer", "meter"),
    "in²": ("inch ** 2", "meter ** 2"),
    "ft²": ("foot ** 2", "meter ** 2"),
    "mm²": ("millimeter ** 2", "meter ** 2"),
    "cm²": ("centimeter ** 2", "meter ** 2"),
    "m²": ("meter ** 2", "meter ** 2"),
    "ft³": ("foot ** 3", "meter ** 3"),
    "m³": ("meter ** 3", "meter ** 3"),
    "lb": ("pound", "kilogram"),
    "oz": ("ounce", "kilogram"),
    "kg": ("kilogram", "kilogram"),
    "g": ("gram", "kilogram"),
    "s": ("second", "second"),
    "ms": ("millisecond", "second"),
    "min": ("minute", "second"),
    "h": ("hour", "second"),
    "ft/s": ("foot / second", "meter / second"),
    "in/s": ("inch / second", "meter / second"),
    "ft/min": ("foot / minute", "meter / second"),
    "m/s": ("meter / second", "meter / second"),
    "mm/s": ("millimeter / second", "meter / second"),
    "cm/s": ("centimeter / second", "meter / second"),
    "m/min": ("meter / minute", "meter / second"),
    "mph": ("mile / hour", "meter / second"),
    "km/h": ("kilometer / hour", "meter / second"),
    "m/s²": ("meter / second ** 2", "meter / second ** 2"),
    "Hz": ("hertz", "1 / second"),
    "kHz": ("kilohertz", "1 / second"),
    "MHz": ("megahertz", "1 / second"),
    "lbf": ("force_pound", "newton"),
    "N": ("newton", "kilogram * meter / second ** 2"),
    "kN": ("kilonewton", "kilogram * meter / second ** 2"),
    "psi": ("pound_force_per_square_inch", "pascal"),
    "psf": ("force_pound / foot ** 2", "pascal"),
    "Pa": ("pascal", "kilogram / meter / second ** 2"),
    "kPa": ("kilopascal", "kilogram / meter / second ** 2"),
    "J": ("joule", "kilogram * meter ** 2 / second ** 2"),
    "N·m": ("newton * meter", "kilogram * meter ** 2 / second ** 2"),
    "ft-lbf": ("foot * force_pound", "joule"),
    "in-lbf": ("inch * force_pound", "joule"),
    "Wh": ("watt_hour", "joule"),
    "W": ("watt", "kilogram * meter ** 2 / second ** 3"),
    "kW": ("kilowatt", "watt"),
    "VA": ("volt * ampere", "watt"),
    "A": ("ampere", "ampere"),
    "mA": ("milliampere", "ampere"),
    "µA": ("microampere", "ampere"),
    "Ah": ("ampere * hour", "coulomb"),
    "mAh": ("milliampere * hour", "coulomb"),
    "V": ("volt", "kilogram * meter ** 2 / second ** 3 / ampere"),
    "mV": ("millivolt", "volt"),
    "kV": ("kilovolt", "volt"),
    "ohm": ("ohm", "kilogram * meter ** 2 / second ** 3 / ampere ** 2"),
    "kohm": ("kiloohm", "ohm"),
    "ohm/kft": ("ohm / kilofoot", "ohm / meter"),
    "ohm/km": ("ohm / kilometer", "ohm / meter"),
    "ohm/m": ("ohm / meter", "ohm / meter"),
    "V/m": ("volt / meter", "volt / meter"),
    "K": ("kelvin", "kelvin"),
    "°C": ("delta_degree_Celsius", "kelvin"),
    "°F": ("delta_degree_Fahrenheit", "kelvin"),
    "deg": ("degree", "degree"),
    "deg/s": ("degree / second", "degree / second"),
    "lx": ("lux", "lumen / meter ** 2"),
    "fc": ("lumen / foot ** 2", "lumen / meter ** 2"),
    "%": ("percent", "dimensionless"),
    "days": ("day", "day"),
    "weeks": ("week", "day"),
    "years": ("12 * month", "month"),
    "months": ("month", "month"),
}
SCALES = {"°C": "degree_Celsius", "°F": "degree_Fahrenheit"}
POWERS = ["[length]", "[mass]", "[time]", "[current]", "[temperature]", "[luminosity]"]
# Calendar units are counted, not measured.
COUNTED = {"days", "weeks", "months", "years"}

print(f"# made by units.py with pint {pint.__version__}; edit nothing by hand")
print("symbol,upper,lower,nought-upper,nought-lower,length,mass,time,current,temperature,light")
for symbol, (unit, base) in UNITS.items():
    one = registry.Quantity(registry.parse_expression(unit))
    factor = Fraction(one.to(base).magnitude)
    nought = Fraction(0)
    if symbol in SCALES:
        nought = Fraction(registry.Quantity(Fraction(0), SCALES[symbol]).to("kelvin").magnitude)
    powers = [0 if symbol in COUNTED else int(one.dimensionality.get(power, 0)) for power in POWERS]
    print(symbol, factor.numerator, factor.denominator, nought.numerator, nought.denominator, *powers, sep=",")
