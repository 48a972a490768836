"""A type 1 device bears its share of a stroke of lightning.

Why: where a building is struck, half of the current may leave by the services, and each conductor
of the supply takes a share for a third of a millisecond: far more energy than a test with 8/20 µs
holds. A device that is too small bursts. Where nobody worked the share, the standard asks for
12.5 kA each.
A pass: 25 kA, where a stroke of level III leaves 17 kA in each of three conductors. A fail: below
12.5 kA. Not known: below the share that the supply alone would carry; the designer of the lightning
protection system says what other services take.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_step, of_table, within
from firstway.model.values import key_of
from firstway.tables.looking_up import spd_limit

RULE = Rule(
    "surge-impulse-current",
    "A type 1 device bears its share of a stroke",
    "BS 7671 534.4.4 (from memory); IEC 60364-5-53 534 (12.5 kA: found in a guide that quotes it);"
    " IEC 62305-1 Annex E",
    "2018+A3:2024; 2015; 2010",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for device in case.each(case.installation.every_surge_device):
        if device.type != 1:
            continue
        of = device.name
        own = of_file(device.impulse_current_ka, f"the impulse current Iimp of {of}; read it")
        least = of_table(spd_limit("impulse-current-ka"))
        if key_of(case.installation.premises, "lightning_protection") is not True:
            share = least
        else:
            share = of_step(
                case,
                "lightning-share",
                of,
                "what share of a stroke reaches it; ask the designer of the lightning protection"
                " system",
            )
        if own.value is None or least.value is None or not within(least.value, own.value):
            yield RULE.compares(
                case, of, of, own, least, "kA", "", "it is too small for any stroke", at_most=False
            )
        elif share.value is None:
            yield RULE.does_not_know(case, of, of, share.ask, value=own.value, unit="kA")
        elif within(share.value, own.value):
            yield RULE.passes(
                case,
                of,
                of,
                "it bears the share of a stroke that its conductor may carry",
                own.value,
                share.value,
                "kA",
            )
        else:
            yield RULE.does_not_know(
                case,
                of,
                of,
                "what other services take of a stroke: the supply alone would carry more than"
                f" {of} bears in each conductor; ask the designer of the lightning protection"
                " system",
                share.value,
                "kA",
                own.value,
            )
