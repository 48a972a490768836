"""An earth fault must make enough current to open the device in time.

Why: until the device opens, everything joined to the protective conductor stands at a dangerous
voltage. In a TN loop the overcurrent device should open by itself; where only the residual current
device is quick enough that must be known and written down. Through an electrode the residual
current device always does the work. A supply whose own loop is above all that a network declares is
no way to rely on: its joint is failing, and the residual current device is all that is left.
A pass: 0.42 Ω where 1.09 Ω is allowed. Advice: 0.42 Ω where 0.27 Ω is allowed. A fail: an electrode
of 2000 Ω with a 30 mA device; 1.5 Ω of the supply alone.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_step, within
from firstway.model.installation import Circuit
from firstway.model.values import is_known
from firstway.tables.reading import Gap, Read, declared_ze_ohm, thermal_trip
from firstway.workings.bs_iec.opening import opens_on_residual_current

RULE = Rule(
    "loop-impedance",
    "The earth fault loop lets the device open in time",
    "BS 7671 411.4.4, 411.4.204, 411.5.3; IEC 60364-4-41 411.4, 411.5",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        yield _of(case, circuit)


def _of(case: Case, circuit: Circuit) -> Finding:
    of, way = circuit.name, case.installation.way_feeding(circuit.name)
    loop, limit = of_step(case, "loop-impedance", of), of_step(case, "loop-impedance-limit", of)
    through_electrode = case.step("source-electrode", of) is not None
    too_high = (
        loop.value is not None and limit.value is not None and not within(loop.value, limit.value)
    )
    if too_high and not through_electrode and opens_on_residual_current(way):
        broken = _supply_not_to_rely_on(case, circuit)
        if broken:
            return RULE.says(
                case,
                "fail",
                of,
                way.name,
                f"the residual current device alone would open: {broken}",
                loop.value,
                limit.value,
                "ohm",
            )
        return RULE.says(
            case,
            "advice",
            of,
            way.name,
            "the overcurrent device alone would not open in time; the residual current device does:"
            " say so on the certificate",
            loop.value,
            limit.value,
            "ohm",
        )
    fails = (
        "the loop is above what the residual current device allows: a fault that just fails to open"
        " it leaves more than 50 V on metal"
        if through_electrode
        else "an earth fault would not open the device in time"
    )
    return RULE.compares(
        case, of, way.name, loop, limit, "ohm", "an earth fault opens the device in time", fails
    )


def _supply_not_to_rely_on(case: Case, circuit: Circuit) -> str:
    """What is wrong with the supply's own loop, whatever the residual current device does; "" where
    nothing is known to be.

    bs7671: more than networks declare. Elsewhere nothing is declared: a loop so high that the
    device of the circuit would not open by overcurrent within its conventional time, even at the
    origin, is no metallic way back.
    """
    own = of_step(case, "external-loop-impedance", circuit.name)
    if own.value is None:
        return ""
    if case.installation.rules == "bs7671":
        declared = declared_ze_ohm(str(case.installation.supply.system))
        if isinstance(declared, Read) and not within(own.value, declared.value):
            return (
                f"{own.value:.3g} Ω of the supply alone are above the {declared.value:g} Ω networks"
                " declare; have the network mend it first"
            )
        return ""
    rating, volts = (
        of_step(case, "device-rating", circuit.name),
        case.installation.supply.line_to_earth_v,
    )
    multiple = thermal_trip("trip_x_in", "IEC 60898-1")
    if rating.value is None or isinstance(multiple, Gap) or not is_known(volts):
        return ""
    if within(multiple.value * rating.value, float(volts) / own.value):
        return ""
    return (
        f"{own.value:.3g} Ω of the supply alone let no overcurrent device open at all; its"
        " protective conductor is broken or loose"
    )
