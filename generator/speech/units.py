"""What each unit is called aloud, in one and in many, in English and in Spanish.

Every unit of ``units/table.py`` has its words here, and no two units share theirs: what is heard tells the unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class UnitWords:
    """A unit as it is said: behind exactly one, behind any other figure, and of which gender the word is.

    ``thousand`` says that the figure is told as a thousand times as many: 115 kV are a hundred fifteen thousand volts.
    """

    one: str
    many: str
    feminine: bool = False
    thousand: bool = False


def _en(one: str, many: str = "", per: str = "", **more: bool) -> UnitWords:
    return UnitWords(one + per, (many or f"{one}s") + per, **more)


def _es(one: str, many: str = "", per: str = "", **more: bool) -> UnitWords:
    return UnitWords(one + per, (many or f"{one}s") + per, **more)


def _la(one: str, many: str = "", per: str = "") -> UnitWords:
    return UnitWords(one + per, (many or f"{one}s") + per, feminine=True)


# what is said without a unit of its own, or in a way of its own (say.py)
PLAIN, PERCENT, RATIO = "1", "%", ":1"

ENGLISH: Mapping[str, UnitWords] = {
    "1": UnitWords("", ""),
    "%": UnitWords("percent", "percent"),
    ":1": UnitWords("to one", "to one"),
    "in": _en("inch", "inches"), "ft": _en("foot", "feet"), "yd": _en("yard"), "mi": _en("mile"),
    "mm": _en("millimeter"), "cm": _en("centimeter"), "m": _en("meter"), "km": _en("kilometer"),
    "ft2": _en("square foot", "square feet"), "in2": _en("square inch", "square inches"), "yd2": _en("square yard"), "acre": _en("acre"),
    "m2": _en("square meter"), "cm2": _en("square centimeter"), "ha": _en("hectare"),
    "ft3": _en("cubic foot", "cubic feet"), "yd3": _en("cubic yard"), "m3": _en("cubic meter"), "L": _en("liter"),
    "lb": _en("pound"), "ton": _en("ton"), "kg": _en("kilogram"), "t": _en("metric ton"),
    "lbf": _en("pound", per=" of force"), "kN": _en("kilonewton"), "N": _en("newton"),
    "lb/yd3": _en("pound", per=" per cubic yard"), "lb/ft3": _en("pound", per=" per cubic foot"), "ton/yd3": _en("ton", per=" per cubic yard"),
    "kg/m3": _en("kilogram", per=" per cubic meter"), "t/m3": _en("metric ton", per=" per cubic meter"),
    "lbf/ft3": _en("pound", per=" of force per cubic foot"), "kN/m3": _en("kilonewton", per=" per cubic meter"),
    "lbf/ft2": _en("pound", per=" of force per square foot"), "lb/ft2": _en("pound", per=" per square foot"),
    "kg/m2": _en("kilogram", per=" per square meter"), "psi": _en("pound", per=" per square inch"),
    "kPa": _en("kilopascal"), "Pa": _en("pascal"),
    "mph": _en("mile", per=" per hour"), "ft/min": _en("foot", "feet", " per minute"), "ft/s": _en("foot", "feet", " per second"),
    "km/h": _en("kilometer", per=" per hour"), "m/min": _en("meter", per=" per minute"), "m/s": _en("meter", per=" per second"),
    "s": _en("second"), "min": _en("minute"), "h": _en("hour"), "year": _en("year"), "min/h": _en("minute", per=" per hour"),
    "deg": _en("degree"), "rad": _en("radian"), "rpm": _en("turn", per=" per minute"), "deg/s": _en("degree", per=" per second"),
    "yd3/h": _en("cubic yard", per=" per hour"), "m3/h": _en("cubic meter", per=" per hour"),
    "yd3/min": _en("cubic yard", per=" per minute"), "m3/min": _en("cubic meter", per=" per minute"),
    "ton/h": _en("ton", per=" per hour"), "t/h": _en("metric ton", per=" per hour"),
    "acre/h": _en("acre", per=" per hour"), "ha/h": _en("hectare", per=" per hour"),
    "ft2/h": _en("square foot", "square feet", " per hour"), "m2/h": _en("square meter", per=" per hour"),
    "1/h": UnitWords("per hour", "per hour"), "1/min": UnitWords("per minute", "per minute"),
    "lbf*ft": _en("foot-pound"), "kN*m": _en("kilonewton meter"),
    "V": _en("volt"), "kV": _en("volt", thousand=True),
    "ft/kV": _en("foot", "feet", " for each thousand volts"), "m/kV": _en("meter", per=" for each thousand volts"),
    "lb/ton": _en("pound", per=" per ton"), "kg/t": _en("kilogram", per=" per metric ton"),
    "lbf/lb": _en("pound", per=" of force per pound"), "kN/t": _en("kilonewton", per=" per metric ton"),
    "lcy": _en("loose cubic yard"), "lcm": _en("loose cubic meter"), "bcy": _en("bank cubic yard"), "bcm": _en("bank cubic meter"),
    "ccy": _en("compacted cubic yard"), "ccm": _en("compacted cubic meter"),
    "hp": UnitWords("horsepower", "horsepower"), "kW": _en("kilowatt"),
    "ft*lbf/min": _en("foot-pound", per=" per minute"), "kN*m/min": _en("kilonewton meter", per=" per minute"),
    "gal": _en("gallon"), "fl oz": _en("fluid ounce"), "mL": _en("milliliter"),
    "gal/h": _en("gallon", per=" per hour"), "fl oz/h": _en("fluid ounce", per=" per hour"), "L/h": _en("liter", per=" per hour"),
    "ft/s2": _en("foot", "feet", " per second squared"), "m/s2": _en("meter", per=" per second squared"),
    "ft3/min": _en("cubic foot", "cubic feet", " per minute"),
}  # fmt: skip

_H, _MIN, _S = " por hora", " por minuto", " por segundo"
_YD3, _FT3, _M3 = " por yarda cúbica", " por pie cúbico", " por metro cúbico"
SPANISH: Mapping[str, UnitWords] = {
    "1": UnitWords("", ""),
    "%": UnitWords("por ciento", "por ciento"),
    ":1": UnitWords("a uno", "a uno"),
    "in": _la("pulgada"), "ft": _es("pie"), "yd": _la("yarda"), "mi": _la("milla"),
    "mm": _es("milímetro"), "cm": _es("centímetro"), "m": _es("metro"), "km": _es("kilómetro"),
    "ft2": _es("pie cuadrado", "pies cuadrados"), "in2": _la("pulgada cuadrada", "pulgadas cuadradas"),
    "yd2": _la("yarda cuadrada", "yardas cuadradas"), "acre": _es("acre"),
    "m2": _es("metro cuadrado", "metros cuadrados"), "cm2": _es("centímetro cuadrado", "centímetros cuadrados"), "ha": _la("hectárea"),
    "ft3": _es("pie cúbico", "pies cúbicos"), "yd3": _la("yarda cúbica", "yardas cúbicas"), "m3": _es("metro cúbico", "metros cúbicos"),
    "L": _es("litro"),
    "lb": _la("libra"), "ton": _la("tonelada corta", "toneladas cortas"), "kg": _es("kilogramo"), "t": _la("tonelada"),
    "lbf": _la("libra", per=" de fuerza"), "kN": _es("kilonewton"), "N": _es("newton"),
    "lb/yd3": _la("libra", per=_YD3), "lb/ft3": _la("libra", per=_FT3), "ton/yd3": _la("tonelada corta", "toneladas cortas", _YD3),
    "kg/m3": _es("kilogramo", per=_M3), "t/m3": _la("tonelada", per=_M3),
    "lbf/ft3": _la("libra", per=" de fuerza" + _FT3), "kN/m3": _es("kilonewton", per=_M3),
    "lbf/ft2": _la("libra", per=" de fuerza por pie cuadrado"), "lb/ft2": _la("libra", per=" por pie cuadrado"),
    "kg/m2": _es("kilogramo", per=" por metro cuadrado"), "psi": _la("libra", per=" por pulgada cuadrada"),
    "kPa": _es("kilopascal", "kilopascales"), "Pa": _es("pascal", "pascales"),
    "mph": _la("milla", per=_H), "ft/min": _es("pie", per=_MIN), "ft/s": _es("pie", per=_S),
    "km/h": _es("kilómetro", per=_H), "m/min": _es("metro", per=_MIN), "m/s": _es("metro", per=_S),
    "s": _es("segundo"), "min": _es("minuto"), "h": _la("hora"), "year": _es("año"), "min/h": _es("minuto", per=_H),
    "deg": _es("grado"), "rad": _es("radián", "radianes"), "rpm": _la("vuelta", per=_MIN), "deg/s": _es("grado", per=_S),
    "yd3/h": _la("yarda cúbica", "yardas cúbicas", _H), "m3/h": _es("metro cúbico", "metros cúbicos", _H),
    "yd3/min": _la("yarda cúbica", "yardas cúbicas", _MIN), "m3/min": _es("metro cúbico", "metros cúbicos", _MIN),
    "ton/h": _la("tonelada corta", "toneladas cortas", _H), "t/h": _la("tonelada", per=_H),
    "acre/h": _es("acre", per=_H), "ha/h": _la("hectárea", per=_H),
    "ft2/h": _es("pie cuadrado", "pies cuadrados", _H), "m2/h": _es("metro cuadrado", "metros cuadrados", _H),
    "1/h": UnitWords("por hora", "por hora"), "1/min": UnitWords("por minuto", "por minuto"),
    "lbf*ft": _la("libra pie", "libras pie"), "kN*m": _es("kilonewton metro", "kilonewtons metro"),
    "V": _es("voltio"), "kV": _es("voltio", thousand=True),
    "ft/kV": _es("pie", per=" por cada mil voltios"), "m/kV": _es("metro", per=" por cada mil voltios"),
    "lb/ton": _la("libra", per=" por tonelada corta"), "kg/t": _es("kilogramo", per=" por tonelada"),
    "lbf/lb": _la("libra", per=" de fuerza por libra"), "kN/t": _es("kilonewton", per=" por tonelada"),
    "lcy": _la("yarda cúbica suelta", "yardas cúbicas sueltas"), "lcm": _es("metro cúbico suelto", "metros cúbicos sueltos"),
    "bcy": _la("yarda cúbica en banco", "yardas cúbicas en banco"), "bcm": _es("metro cúbico en banco", "metros cúbicos en banco"),
    "ccy": _la("yarda cúbica compactada", "yardas cúbicas compactadas"), "ccm": _es("metro cúbico compactado", "metros cúbicos compactados"),
    "hp": _es("caballo de fuerza", "caballos de fuerza"), "kW": _es("kilovatio"),
    "ft*lbf/min": _la("libra pie", "libras pie", _MIN), "kN*m/min": _es("kilonewton metro", "kilonewtons metro", _MIN),
    "gal": _es("galón", "galones"), "fl oz": _la("onza líquida", "onzas líquidas"), "mL": _es("mililitro"),
    "gal/h": _es("galón", "galones", _H), "fl oz/h": _la("onza líquida", "onzas líquidas", _H), "L/h": _es("litro", per=_H),
    "ft/s2": _es("pie", per=" por segundo al cuadrado"), "m/s2": _es("metro", per=" por segundo al cuadrado"),
    "ft3/min": _es("pie cúbico", "pies cúbicos", _MIN),
}  # fmt: skip

WORDS: Mapping[str, Mapping[str, UnitWords]] = {"en": ENGLISH, "es": SPANISH}
