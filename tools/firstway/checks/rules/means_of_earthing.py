"""The main earthing terminal is joined to the earth the supply brings, or to an electrode of the
installation.

Why: all protection by opening the supply rests on this one conductor. Lost, no loop is left and
every fault stays.
A pass: joined to the supply's earth, or to the installation's electrode. A danger: joined to
neither.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "means-of-earthing",
    "The main earthing terminal is joined to an earth",
    "BS 7671 542.1; IEC 60364-5-54 542.1",
    "2018+A3:2024; 2011",
    "danger",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    metal = case.joined(conductors_only=True)
    earths = [
        f"{item.name}.PE"
        for item in case.installation.electrodes
        if item.use in ("installation", "holds-down-open-pen")
    ] + ["origin.PE"]
    there = [name for name in earths if case.wiring.terminal(name) is not None]
    if case.installation.supply.system != "TT":
        there = [name for name in there if name == "origin.PE"]
    if not there:
        told = (
            "none of the file's electrodes is one of the installation"
            if case.installation.electrodes
            else "the file has no electrode"
        )
        yield RULE.says(
            case,
            "danger",
            "supply",
            "met",
            f"a TT supply brings no earth, and {told}: the main earthing terminal is joined to"
            " nothing. Name the electrode that is there, or have one made",
            "none",
            "an electrode of the installation",
        )
    elif not any(metal[name] == metal[case.wiring.main_earth] for name in there):
        yield RULE.says(
            case,
            "danger",
            "supply",
            "met",
            "no conductor joins the main earthing terminal to the earth it relies on",
        )
