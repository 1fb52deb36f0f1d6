"""How units are printed, which unit the other half of the readers wants, and their codes in trade data. Pure tables.

Keys are pint's spellings in American form (`spelt`), so that "metre" and "meter" need one row.
"""

from __future__ import annotations

import re
from functools import cache

SIGNS = {
    "foot": "ft", "inch": "in", "yard": "yd", "mile": "mi", "thou": "thou", "nautical_mile": "nmi", "acre": "acre",
    "hectare": "ha", "gallon": "gal", "imperial_gallon": "imp gal", "quart": "qt", "pint": "pt", "fluid_ounce": "fl oz",
    "oil_barrel": "bbl", "bushel": "bu", "acre_foot": "acre-ft", "board_foot": "board ft", "pound": "lb", "ounce": "oz",
    "ton": "short ton", "long_ton": "long ton", "metric_ton": "t", "hundredweight": "cwt", "degF": "°F", "degC": "°C",
    "kelvin": "K", "degree": "°", "percent": "%", "minute": "min", "hour": "h", "rpm": "rpm", "psi": "psi",
    "bar": "bar", "millibar": "mbar", "atmosphere": "atm", "torr": "Torr", "millitorr": "mTorr", "horsepower": "hp",
    "boiler_horsepower": "boiler hp", "metric_horsepower": "metric hp", "Btu": "Btu", "kBtu": "kBtu",
    "megaBtu": "MMBtu", "ton_of_refrigeration": "tons of refrigeration", "inch_H2O": "inH₂O",
    "inch_Hg": "inHg", "millimeter_Hg": "mmHg", "foot_H2O": "ftH₂O",
    "kilogram_force": "kgf", "pound_force": "lbf", "decibel": "dB", "calorie": "cal", "kilocalorie": "kcal",
    "knot": "kn", "lumen": "lm", "lux": "lx", "candela": "cd", "henry": "H", "tesla": "T", "coulomb": "C",
    "carat": "ct", "radian": "rad", "kilovolt_ampere": "kVA", "electron_volt": "eV",
    "circular_mil": "cmil", "denier": "den", "revolution": "rev", "kilowatt_hour": "kWh", "watt_hour": "Wh",
    "kilovolt*ampere": "kVA", "volt*ampere": "VA", "megavolt*ampere": "MVA", "kilowatt*hour": "kWh",
    "watt*hour": "Wh", "megawatt*hour": "MWh", "gigawatt*hour": "GWh", "ampere*hour": "Ah",
}  # fmt: skip
"""Signs that people print (NIST SP 811 for those of the SI, common practice for others); what is not here is printed
as it is spelt."""
_BASES = {
    "meter": "m", "liter": "L", "gram": "g", "volt": "V", "watt": "W", "ampere": "A", "pascal": "Pa", "newton": "N",
    "hertz": "Hz", "ohm": "Ω", "siemens": "S", "joule": "J", "second": "s", "farad": "F", "metric_ton": "t",
    "poise": "P", "stokes": "St", "becquerel": "Bq", "curie": "Ci", "sievert": "Sv", "gray": "Gy", "weber": "Wb",
    "mole": "mol", "tex": "tex", "gallon": "gal", "oersted": "Oe", "gauss": "G",
}  # fmt: skip
_PREFIXES = {"": "", "kilo": "k", "mega": "M", "giga": "G", "hecto": "h", "deci": "d", "centi": "c", "milli": "m",
             "micro": "µ", "nano": "n", "pico": "p"}  # fmt: skip
SIGNS |= {f"{p}{b}": f"{ps}{bs}" for b, bs in _BASES.items() for p, ps in _PREFIXES.items()}

OTHER = {
    "foot": "meter", "inch": "millimeter", "yard": "meter", "mile": "kilometer", "thou": "millimeter",
    "fathom": "meter", "meter": "foot", "centimeter": "inch", "millimeter": "inch", "kilometer": "mile",
    "decimeter": "inch", "micrometer": "thou",
    "foot**2": "meter**2", "inch**2": "centimeter**2", "yard**2": "meter**2", "acre": "hectare", "meter**2": "foot**2",
    "centimeter**2": "inch**2", "millimeter**2": "inch**2", "hectare": "acre",
    "gallon": "liter", "imperial_gallon": "liter", "quart": "liter", "pint": "liter", "fluid_ounce": "milliliter",
    "oil_barrel": "liter", "barrel": "liter", "bushel": "meter**3", "foot**3": "meter**3", "inch**3": "centimeter**3",
    "yard**3": "meter**3", "liter": "gallon", "milliliter": "fluid_ounce", "hectoliter": "gallon",
    "meter**3": "foot**3", "centimeter**3": "inch**3",
    "pound": "kilogram", "ounce": "gram", "ton": "metric_ton", "long_ton": "metric_ton", "hundredweight": "kilogram",
    "kilogram": "pound", "gram": "ounce", "metric_ton": "ton",
    "degF": "degC", "degC": "degF",
    "psi": "bar", "bar": "psi", "millibar": "psi", "kilopascal": "psi", "megapascal": "psi", "pascal": "inch_H2O",
    "inch_H2O": "pascal", "inch_Hg": "kilopascal", "kilogram_force/centimeter**2": "psi",
    "gallon/minute": "liter/minute", "gallon/hour": "liter/hour", "gallon/day": "liter/day",
    "imperial_gallon/minute": "liter/minute", "liter/minute": "gallon/minute", "liter/hour": "gallon/hour",
    "liter/second": "gallon/minute", "hectoliter/hour": "gallon/hour", "foot**3/minute": "meter**3/hour",
    "foot**3/hour": "meter**3/hour", "foot**3/second": "meter**3/second", "meter**3/hour": "foot**3/minute",
    "meter**3/minute": "foot**3/minute", "meter**3/second": "foot**3/second", "bushel/hour": "meter**3/hour",
    "foot/minute": "meter/minute", "foot/second": "meter/second", "inch/minute": "millimeter/minute",
    "inch/second": "millimeter/second", "yard/minute": "meter/minute", "mile/hour": "kilometer/hour",
    "meter/minute": "foot/minute", "meter/second": "foot/second", "millimeter/minute": "inch/minute",
    "millimeter/second": "inch/second", "kilometer/hour": "mile/hour",
    "horsepower": "kilowatt", "boiler_horsepower": "kilowatt", "metric_horsepower": "kilowatt",
    "Btu/hour": "kilowatt", "kBtu/hour": "kilowatt", "megaBtu/hour": "kilowatt", "ton_of_refrigeration": "kilowatt",
    "pound/hour": "kilogram/hour", "pound/minute": "kilogram/minute", "pound/day": "kilogram/day",
    "ton/hour": "metric_ton/hour", "ton/day": "metric_ton/day", "kilogram/hour": "pound/hour",
    "kilogram/minute": "pound/minute", "gram/minute": "ounce/minute", "metric_ton/hour": "ton/hour",
    "metric_ton/day": "ton/day",
    "pound_force": "newton", "kilonewton": "pound_force", "kilogram_force": "newton",
    "newton*meter": "foot*pound_force", "foot*pound_force": "newton*meter", "inch*pound_force": "newton*meter",
    "pound/foot**3": "kilogram/meter**3", "kilogram/meter**3": "pound/foot**3", "pound/gallon": "kilogram/liter",
    "gram/liter": "ounce/gallon", "ounce/gallon": "gram/liter", "gallon/pound": "liter/kilogram",
    "liter/kilogram": "gallon/pound", "pound/foot": "kilogram/meter", "kilogram/meter": "pound/foot",
    "ounce/yard**2": "gram/meter**2", "gram/meter**2": "ounce/yard**2", "pound/foot**2": "kilogram/meter**2",
    "ampere/foot**2": "ampere/decimeter**2", "ampere/decimeter**2": "ampere/foot**2",
    "watt/inch**2": "watt/centimeter**2", "megagallon/day": "meter**3/day", "inch/revolution": "millimeter/revolution",
    "millimeter/revolution": "inch/revolution",
}  # fmt: skip
"""Which unit the other half of the readers wants; factors come from pint alone."""

CODES = {
    "": "C62", "foot": "FOT", "inch": "INH", "yard": "YRD", "mile": "SMI", "thou": "77", "meter": "MTR",
    "millimeter": "MMT", "centimeter": "CMT", "kilometer": "KMT", "micrometer": "4H", "foot**2": "FTK",
    "inch**2": "INK", "meter**2": "MTK", "gallon": "GLL", "imperial_gallon": "GLI", "quart": "QTL", "liter": "LTR",
    "hectoliter": "HLT", "foot**3": "FTQ", "meter**3": "MTQ", "pound": "LBR", "ounce": "ONZ", "kilogram": "KGM",
    "gram": "GRM", "ton": "STN", "long_ton": "LTN", "metric_ton": "TNE", "degF": "FAH", "degC": "CEL", "psi": "PS",
    "bar": "BAR", "kilopascal": "KPA", "megapascal": "MPA", "volt": "VLT", "kilovolt": "KVT", "ampere": "AMP",
    "watt": "WTT", "kilowatt": "KWT", "megawatt": "MAW", "hertz": "HTZ", "horsepower": "BHP", "Btu/hour": "2I",
    "kilovolt_ampere": "KVA", "kilovolt*ampere": "KVA", "kilowatt*hour": "KWH", "second": "SEC", "minute": "MIN",
    "hour": "HUR", "day": "DAY", "week": "WEE", "rpm": "RPM", "percent": "P1", "gallon/minute": "G2",
    "imperial_gallon/minute": "G3", "liter/minute": "L2", "foot**3/minute": "2L", "foot**3/hour": "2K",
    "meter**3/hour": "MQH", "foot/minute": "FR", "foot/second": "FS", "inch/minute": "M63", "meter/minute": "2X",
    "meter/second": "MTS", "pound/hour": "4U", "kilogram/hour": "E93", "ton/hour": "4W", "metric_ton/hour": "E18",
    "newton": "NEW", "kilonewton": "B47", "newton*meter": "NU", "microsiemens/centimeter": "G42",
    "inch_H2O": "F78", "inch_Hg": "F79", "centistokes": "4C",
}  # fmt: skip
"""To common codes of UN/CEFACT Recommendation 20, revision 11e; units without one are given in words."""


@cache
def spelt(unit: str) -> str:
    """The spelling in American form: metre is meter, litre liter, tonne metric_ton."""
    return re.sub(r"\btonne\b", "metric_ton", unit.replace("metre", "meter").replace("litre", "liter"))


@cache
def sign(unit: str) -> str:
    """A unit's printed form; "" for none."""
    above, *below = spelt(unit).split("/")
    if above == "1" and below:
        return "per " + " per ".join(below)  # "per hour" and not "per h": it stands behind a number of things
    return "/".join(map(_product, [above, *below]))


def _product(text: str) -> str:
    if text in SIGNS:
        return SIGNS[text]
    parts = []
    for factor in text.replace("**3", "³").replace("**2", "²").split("*"):
        name = factor.rstrip("²³")
        parts.append(SIGNS.get(name, name.replace("_", " ")) + factor[len(name) :])
    return "·".join(parts)
