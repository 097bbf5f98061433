"""Reads lines `value <tab> from <tab> into` and prints each value converted by pint."""

import sys

import pint

units = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
SHIFTED = {"kelvin", "degC", "degF"}
for line in sys.stdin:
    value, start, into = line.rstrip("\n").split("\t")
    if start in SHIFTED:
        print(repr(float(units.Quantity(float(value), start).to(into).magnitude)))
    else:
        ratio = units.parse_expression(start) / units.parse_expression(into)
        print(repr(float((float(value) * ratio).to("dimensionless").magnitude)))
