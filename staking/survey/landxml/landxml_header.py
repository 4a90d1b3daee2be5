"""What a LandXML file says of itself: unit, coordinate system, elevation datum."""

from __future__ import annotations

import re

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.points import SurveySettings
from staking.survey.stated_system import overruled_system
from staking.survey.xml_faults import shown
from staking.survey.xml_stream import Element
from staking.units import FOOT, US_SURVEY_FOOT, Unit

_UNITS = {
    "meter": (Unit.M, 1.0),
    "metre": (Unit.M, 1.0),
    "millimeter": (Unit.MM, 0.001),
    "centimeter": (Unit.M, 0.01),
    "kilometer": (Unit.M, 1000.0),
    "foot": (Unit.FT, FOOT),
    "feet": (Unit.FT, FOOT),
    "internationalfoot": (Unit.FT, FOOT),
    "ussurveyfoot": (Unit.US_FT, US_SURVEY_FOOT),
    "ussurveyfeet": (Unit.US_FT, US_SURVEY_FOOT),
    "inch": (Unit.IN, 0.0254),
    "mile": (Unit.FT, 5280 * FOOT),
}
"""The schema's words for a unit of length, to the unit shown and the metres of one."""


class Header:
    """Gathers the header while the file is read.

    Parameters
    ----------
    name
        The file as the user named it.
    settings
        What the user says, which counts before what the file says.
    """

    def __init__(self, name: str, settings: SurveySettings) -> None:
        self._name, self._settings = name, settings
        self._word = self._elevation_word = ""
        self._line = 0
        self._system: dict[str, str] = {}

    def check_root(self, element: Element) -> None:
        """Refuse XML whose outermost element is of another format.

        Parameters
        ----------
        element
            The outermost.

        Raises
        ------
        InputError
            Where it is not a LandXML element.
        """
        if element.name.lower() != "landxml":
            raise InputError(
                Problem(
                    path=self._name,
                    line=element.line,
                    message=f"this XML is not LandXML: its outermost element is "
                    f"“{shown(element.name)}”",
                    remedy="export the points as LandXML, GPX or KML",
                )
            )

    def open(self, element: Element) -> None:
        """Take in the attributes of a header element."""
        if element.name in {"Metric", "Imperial"} and element.parent_name == "Units":
            self._word = element.attributes.get("linearUnit", "").strip()
            self._elevation_word = element.attributes.get("elevationUnit", "").strip()
            self._line = element.line
        elif element.name == "CoordinateSystem" and not self._system:
            self._system = dict(element.attributes)

    def close(self, element: Element) -> None:
        """Do nothing: all is in the attributes."""

    def scale(self) -> float:
        """Return the metres of one of the file's units.

        Returns
        -------
        float
            As the user says, else as the file says.

        Raises
        ------
        InputError
            Where neither says, or the file's word is unknown.
        """
        if self._settings.unit is not None:
            return Unit(self._settings.unit).metres
        return self._stated()[1]

    def unit(self) -> str:
        """Return the unit by its name in the job file."""
        return self._settings.unit or self._stated()[0].value

    def crs(self) -> str | None:
        """Return the coordinate system as ``EPSG:…``, or None where nothing says."""
        if self._settings.crs is not None:
            return reference.resolve(self._settings.crs).code
        code = re.fullmatch(
            r"(?:urn:ogc:def:crs:)?(?:EPSG:+)?([1-9][0-9]{3,5})",
            self._system.get("epsgCode", "").strip(),
            re.IGNORECASE,
        )
        if code is None:
            return None
        try:
            return reference.resolve(f"EPSG:{code.group(1)}").code
        except InputError:
            return None

    def notices(self) -> list[Notice]:
        """Say what the header leaves open, and where it contradicts itself or the user."""
        return [*self._unit_notices(), *self._system_notices()]

    def _stated(self) -> tuple[Unit, float]:
        found = _UNITS.get(self._word.lower())
        if found is None:
            word = shown(self._word)
            raise InputError(
                Problem(
                    path=self._name,
                    line=self._line or None,
                    message=f"the unit “{word}” is none of LandXML's"
                    if word
                    else "the file does not say its unit",
                    remedy="give --unit ft, us-ft, in, m or mm",
                )
            )
        return found

    def _unit_notices(self) -> list[Notice]:
        said = []
        found, own = _UNITS.get(self._word.lower()), self.scale()
        if found and self._settings.unit is not None and found[1] != own:
            said.append(
                notice(
                    "unit-overruled",
                    "the file says {word}, and it is read in {unit} as asked",
                    word=shown(self._word),
                    unit=self._settings.unit,
                )
            )
        if found and self._settings.unit is None and found[1] != found[0].metres:
            said.append(
                notice(
                    "unit-converted",
                    "the file is in {word}, shown here in {unit}",
                    severity=Severity.NOTE,
                    word=shown(self._word),
                    unit=found[0].value,
                )
            )
        level = _UNITS.get(self._elevation_word.lower())
        # "feet" for elevations beside either foot means that foot: the schema has one word only.
        both_feet = level is not None and level[0] is Unit.FT and self.unit() in {"ft", "us-ft"}
        if level and level[1] != own and not both_feet:
            said.append(
                notice(
                    "elevation-unit",
                    "the file gives {word} for elevations and another unit for lengths; the "
                    "elevations are read in {unit} like the rest",
                    word=shown(self._elevation_word),
                    unit=self.unit(),
                )
            )
        return said

    def _system_notices(self) -> list[Notice]:
        said = list(overruled_system(self._system.get("epsgCode"), self._settings.crs))
        code = self._system.get("epsgCode", "").strip()
        names = [f"EPSG {code}"] if code.strip("0") else []
        names += [
            self._system[key].strip()
            for key in ("name", "horizontalCoordinateSystemName", "horizontalDatum", "desc")
            if self._system.get(key, "").strip()
        ]
        if self.crs() is None and names:
            said.append(
                notice(
                    "crs-unnamed",
                    "the file names its coordinate system “{name}”, which is not an EPSG code of a "
                    "known one: nothing is assumed of it",
                    name=shown(names[0]),
                )
            )
        for key in ("verticalDatum", "verticalCoordinateSystemName"):
            datum = self._system.get(key, "").strip()
            if datum:
                said.append(
                    notice(
                        "elevation-datum",
                        "elevations are in “{datum}”: mix none of another datum with them",
                        severity=Severity.NOTE,
                        datum=shown(datum),
                    )
                )
                break
        return said
