"""The fuel: density at 15 °C, viscosity over temperature, what is seen and smelt, and what that does to other tests."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import fields
from baybook.api import (
    CLEAR,
    COVERAGE,
    FLAMMABLE,
    HIGH_PRESSURE,
    LOCK_OUT,
    MAKERS_DATA,
    Action,
    AnyOf,
    Caution,
    Condition,
    Estimate,
    Example,
    HoldPoint,
    InputError,
    Meaning,
    Message,
    Output,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    Statement,
    calculator,
    guarded,
    judge_all,
    propagate,
)
from baybook_physics import viscosity as walther

from .grades import GRADES, Grade
from .model import ESTER_SLOPE, ESTER_U95, density_15, density_of_glass, elsewhere, viscosity_at
from .sense import SENSE, answers

LOOKS = {
    "clear": "clear and bright",
    "hazy": "hazy or milky",
    "water": "drops or a layer at the bottom",
    "dark": "dark, with dirt",
}
SMELLS = {"usual": "as diesel fuel does", "petrol": "of petrol", "other": "of something else"}
DO_NOT_RUN = Message(
    "key off and out, no flame, do not switch on, start or crank; drain, flush and fill with known fuel; then look for swarf "
    "in filter and inlet"
)
SEEN = {
    "hazy": Statement("Hazy fuel: water in it, or wax in the cold", "indicated",
                      "warm the sample: haze that stays is water; drain the filter, look again"),
    "water": Statement("Free water at the bottom of the sample", "proven",
                       "do not start the engine; low side relieved, drain tank and filter; then look for rust at pump and "
                       "injectors before they are blamed"),
    "dark": Statement("Dark fuel with dirt: growth, rust or swarf", "indicated",
                      "low side relieved, open the filter: swarf accuses the high-pressure pump, slime the tank"),
    "petrol": Statement("It smells of petrol; density cannot show a small share, its flash point can", "indicated", DO_NOT_RUN),
    "other": Statement("It smells of something that is not diesel fuel", "indicated", DO_NOT_RUN),
}  # fmt: skip
"""Strength and next test by what is seen and smelt. common practice, no source."""
ELSEWHERE = (
    "At {there} it is {thick} times as thick as at 40 °C: at the same flow the drop of a filter is so many times as great, and "
    "what leaks through gaps, returns among it, is {thin} times as much."
)
WRONG = Message("With another fuel than the limits are for, returns, holds and filter drops say little: change it first.")
COLD = Message("Below the cloud point, which this test does not measure, wax decides and no such rule holds.")
GOOD = Statement(
    "Density is that of the grade, the sample clear and of the usual smell", "cleared", "pressure and flow (calculator supply)"
)
UNTOLD = Message("Density and looks do not show a small share of petrol, dissolved water, or poor ignition: a laboratory does.")
OUTPUTS = {
    "state": Output("word", "what was found of the fuel"),
    "density_15": Output("density", "density at 15 °C", "rho_15", always=False),
    "viscosity_40": Output("kinematic viscosity", "viscosity at 40 °C", "nu_40", always=False),
    "viscosity_there": Output("kinematic viscosity", "viscosity at the temperature wanted", "nu", always=False),
    "drop_factor": Output("ratio", "drop of a filter there, over that at 40 °C", "k", unit="1", always=False, at_least=0.0),
    "leak_factor": Output("ratio", "leak through a gap there, over that at 40 °C", "l", unit="1", always=False, at_least=0.0),
}
MEANINGS = (
    Meaning("denser than the range", "ester, heating oil or another heavy part", "delivery note; sample to a laboratory",
            "above", "density_15"),
    Meaning("lighter than the range", "winter grade, kerosine, petrol or paraffinic fuel",
            "smell and flash point; delivery note; key stays off while petrol is possible", "below", "density_15"),
    Meaning("within the range", "this is not against the fuel; petrol, water and dirt do not show so",
            "look and smell; then pressure and flow (calculator supply)", "within", "density_15", strength="undecided"),
    Meaning("thicker than the range", "ester, heavy oil or another fuel", "delivery note; sample to a laboratory", "above",
            "viscosity_40"),
    Meaning("thinner than the range", "petrol or kerosine in it: pump and injectors lose their film",
            "do not run it; flash point", "below", "viscosity_40"),
    Meaning("within the range", "this is not against the fuel", "look and smell", "within", "viscosity_40",
            strength="undecided"),
    Meaning("water, haze or petrol", "what is seen or smelt proves more than any number", "drain, flush, new filter"),
)  # fmt: skip
PROCEDURE = guarded(
    caution=Caution("danger", "Jets pierce skin: never feel for leaks; no flame.", ("W-JET", "W021", "P003")),
    entry=(
        Condition("Fuel's grade, season.", ("grade", "ester")),
        Condition("No hot parts; extraction.", otherwise="wait: petrol in it makes vapour that burns"),
    ),
    steps=(
        HoldPoint("Petrol suspected: key stays off; skip step 1; tank sample only.", danger=True),
        Action("Relieve low side.", hands="low side"),
        Action(
            "Draw sample at tank or filter drain.",
            tool="a clean clear jar with a lid, of a kind that does not break",
            hands="low side",
        ),
        Action("Close drain; see dry.", hands="low side"),
        Action("Let settle; look through.", ("look",)),
        Action("Open jar at arm's length; smell.", ("smell",)),
        Action("Read density, temperature.", ("density", "temperature", "hydrometer"), "a hydrometer; a thermometer"),
        Action("Copy laboratory's viscosities.", ("viscosity", "viscosity_temperature")),
    ),
    end=(
        Action("Label, close jar."),
        CLEAR,
        HoldPoint("Petrol: never switch on; drain by data.", danger=True),
        Action("Switch on; look from afar; wet: off.", state="key on"),
    ),
    lock=LOCK_OUT,
)


def far_apart(viscosity_temperature: Reading | None, second_temperature: Reading | None) -> Iterator[Problem]:
    """Two viscosities give a slope only at two temperatures."""
    if viscosity_temperature is None or second_temperature is None:
        return
    if abs(viscosity_temperature.number("°C") - second_temperature.number("°C")) < 10:
        would_do = "give one that is at least 10 K away"
        yield Problem("second_temperature", second_temperature.text, "is too near to the other temperature", would_do)


def of_oil(name: str, symbol: str) -> Any:
    """A temperature field of the sample."""
    return fields.temperature(name, symbol=symbol, at_least="-25 °C", at_most="90 °C", usual="20 ± 0.5 °C")


def thickness(help: str, symbol: str) -> Any:
    """A viscosity field."""
    return fields.kinematic_viscosity(help, symbol=symbol, at_least="0.8 mm2/s", at_most="100 mm2/s", usual="3.0 ± 0.05 mm2/s")


@calculator(
    title="Fuel",
    stage="supply",
    side="hydraulic",
    proves="Whether density and viscosity are those of the grade, and what is seen and smelt. Not how it ignites, not small "
    "shares of petrol or dissolved water.",
    outputs=OUTPUTS,
    cautions=(FLAMMABLE, HIGH_PRESSURE, MAKERS_DATA),
    sources=(
        "Density to 15 °C: ASTM D1250-80 Table 54B (API MPMS 11.1, ISO 91-1); of ester EN 14214, annex B, from memory.",
        "Viscosity over temperature: Walther's line as in ASTM D341, the low term from memory.",
        "Ranges of EN 590 and EN 14214: from texts that quote them.",
    ),
    examples=(
        Example({"density": "815 ± 0 kg/m3", "temperature": "40 ± 0 °C"},
                {"density_15": (832.954, "kg/m3", 1e-6), "state": "open"},
                "ASTM D1250-80 Table 54B, its formula's root by scipy.optimize.brentq"),
        Example({"viscosity": "2.0 ± 0 mm2/s", "viscosity_temperature": "40 °C", "second_viscosity": "3.0 ± 0 mm2/s",
                 "second_temperature": "20 °C", "there": "-10 °C", "viscosity_limit": "1.5 to 4 mm2/s",
                 "density": "832 ± 0 kg/m3", "temperature": "15 ± 0 °C", "density_limit": "820 to 845 kg/m3"},
                {"viscosity_there": (7.09, "mm2/s", 1e-3), "viscosity_40": (2.0, "mm2/s", 1e-9)},
                "Walther's line through 3.0 at 20 and 2.0 at 40 °C, computed elsewhere: 7.09 at -10 °C", card=False),
    ),
    procedure=PROCEDURE,
    formulas=("lg lg(nu + 0.7) = A − B · lg(T / K)", "rho = rho_15 · exp(−α · dt · (1 + 0.8 · α · dt))"),
    meanings=MEANINGS,
    rules=(AnyOf(("density", "viscosity", "look", "smell"), "give one of them, such as look clear",
                 "is missing, and so are viscosity, look and smell"),
           far_apart, Rule("density", ("temperature",)), Rule("viscosity", ("viscosity_temperature",)),
           Rule("second_viscosity", ("second_temperature", "viscosity")), Rule("there", ("viscosity",)),
           Rule("density_limit", ("density",)), Rule("viscosity_limit", ("viscosity",))),
    sense=SENSE,
)  # fmt: skip
def fuel(
    density: Annotated[Reading | None, fields.density("density as read", symbol="rho", at_least="650 kg/m3",
                       at_most="1000 kg/m3", usual="830 ± 1 kg/m3", usual_range=("780 kg/m3", "900 kg/m3"))],
    temperature: Annotated[Reading | None, of_oil("temperature of the sample then", "t")],
    hydrometer: Annotated[bool, fields.Flag("read on a glass hydrometer with a scale for 15 °C")],
    ester: Annotated[Reading, fields.ratio("share of ester by volume", exact=True, at_least="0 %", at_most="100 %", usual="7 %",
                     default="0 %")],
    grade: Annotated[str | None, fields.Choice("grade whose range is taken where none is typed in",
                     words={name: grade.title for name, grade in GRADES.items()})],
    density_limit: Annotated[SpecRange | None, fields.spec_range("density", "range of the density at 15 °C",
                             judges="density_15", at_least="650 kg/m3", usual="820 to 845 kg/m3")],
    viscosity: Annotated[Reading | None, thickness("viscosity, from a laboratory", "nu_1")],
    viscosity_temperature: Annotated[Reading | None, of_oil("temperature of that viscosity", "t_1")],
    second_viscosity: Annotated[Reading | None, thickness("viscosity at another temperature", "nu_2")],
    second_temperature: Annotated[Reading | None, of_oil("temperature of the second viscosity", "t_2")],
    viscosity_limit: Annotated[SpecRange | None, fields.spec_range("kinematic viscosity", "range of the viscosity at 40 °C",
                               judges="viscosity_40", at_least="0.5 mm2/s", usual="2 to 4.5 mm2/s")],
    there: Annotated[Reading | None, of_oil("temperature at which it is wanted, such as that of another test", "t_w")],
    look: Annotated[str | None, fields.Choice("what is seen in a glass jar", words=LOOKS)],
    smell: Annotated[str | None, fields.Choice("what it smells of", words=SMELLS)],
) -> Result:  # fmt: skip
    """Work out whether a fuel is what it should be, and what it does to other tests."""
    found: dict[str, Estimate] = {}
    notes = [UNTOLD]
    if density is not None and temperature is not None:
        found["density_15"] = _at_15(density, temperature, ester, hydrometer=hydrometer)
    if viscosity is not None and viscosity_temperature is not None:
        slope = _slope(viscosity, viscosity_temperature, second_viscosity, second_temperature)
        found |= _viscosities(viscosity, viscosity_temperature, slope, there, found.get("density_15"))
    if there is not None and "drop_factor" in found:
        notes.append(Message(ELSEWHERE, there=there, thick=found["drop_factor"], thin=found["leak_factor"]))
        notes += [COLD] if there.number("°C") < 5 else []
    of_grade = ranges(GRADES[grade]) if grade else (None, None)
    verdicts = judge_all(found, {"density_15": density_limit or of_grade[0], "viscosity_40": viscosity_limit or of_grade[1]})
    words = {verdict.verdict for verdict in verdicts}
    odd = [SEEN[word] for word in (look, smell) if word in SEEN]
    if "outside" in words or smell in ("petrol", "other"):
        notes.append(WRONG)
    good = words == {"within"} and look == "clear" and smell == "usual"
    state = "contaminated" if odd else "wrong" if "outside" in words else "as it should be" if good else "open"
    return Result(
        {"state": state, **found}, verdicts, (GOOD.finding(),) if good else (), tuple(notes),
        further=tuple(seen.finding() for seen in odd), answers=tuple(answers(look, smell, odd, verdicts)),
    )  # fmt: skip


def ranges(grade: Grade) -> tuple[SpecRange, SpecRange]:
    """A grade's ranges of density and of viscosity."""
    source = f"{grade.title}, from texts that quote it"
    return SpecRange(*grade.density, "kg/m3", source), SpecRange(*grade.viscosity, "mm2/s", source)


def _at_15(reading: Reading, temperature: Reading, ester: Reading, *, hydrometer: bool) -> Estimate:
    """Density at 15 °C. Raises InputError for what no fuel's table holds."""
    inputs = {"reading": reading.to("kg/m3"), "temperature": temperature.to("°C"), "ester": ester.to("1")}
    slope = Estimate.of(ESTER_SLOPE, "", ESTER_U95 / COVERAGE)
    try:
        return propagate(density_of_glass if hydrometer else density_15, "kg/m3", slope=slope, **inputs)
    except ValueError as error:
        raise InputError.one(
            "density", reading.text, "is that of no fuel at this temperature", "check number and unit"
        ) from error


def _slope(nu: Reading, t: Reading, other: Reading | None, other_t: Reading | None) -> Estimate:
    """The slope through two viscosities, or the usual one."""
    if other is None or other_t is None:
        return Estimate.of(walther.SLOPE, "", walther.SLOPE_U95 / COVERAGE)
    inputs = {"nu": nu.to("mm2/s"), "t": t.to("°C"), "other": other.to("mm2/s"), "other_t": other_t.to("°C")}
    return propagate(lambda nu, t, other, other_t: walther.slope(nu, t, other, other_t), "", **inputs)


def _viscosities(nu: Reading, t: Reading, slope: Estimate, there: Reading | None, rho: Estimate | None) -> dict[str, Estimate]:
    """At 40 °C, and where it is wanted with what that does to drops and leaks."""
    inputs: dict[str, Any] = {"nu": nu.to("mm2/s"), "nu_t": t.to("°C"), "slope": slope}
    found = {"viscosity_40": propagate(viscosity_at, "mm2/s", there=40.0, **inputs)}
    if there is not None:
        inputs["there"] = there.to("°C")
        found["viscosity_there"] = propagate(viscosity_at, "mm2/s", **inputs)
        known = rho or Estimate.of(832.5, "kg/m3", 12.5 / COVERAGE)
        found |= propagate(elsewhere, {"drop_factor": "1", "leak_factor": "1"}, **inputs, rho15=known)
    return found
