"""With the main switch open, nothing in the ways of the board is joined to a source any more.

Why: whoever opens the main switch trusts that the devices behind it are cut off. A device tapped
from its supply side, a borrowed neutral or a second supply leaves a live place where none is
expected. The incoming terminals stay live all the same, and every place must be proved dead.
A source beside the network that feeds in behind the switch keeps the ways live while it runs.
A pass: every way cut off. A fail: a way still joined to the supply, the neutral or another source,
where the file does not say so.
Advice: it does say so: mark it; or a source that has an isolator of its own: open that too. Not
known: a source, and nobody says whether it has one.
"""

from collections.abc import Collection

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known
from firstway.wiring.circuit import SOURCES, States
from firstway.wiring.other_sources import fed_by

RULE = Rule(
    "live-with-switch-open",
    "The main switch cuts every way off",
    "BS 7671 462.2, 537.2; IEC 60364-4-46 462.2; NFPA 70 110.25",
    "2018+A3:2024; 2016; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    switch = case.installation.board.main_switch
    if not is_known(switch):
        return
    opens = {terminal.function for terminal in case.wiring.terminals_of(switch.name)}
    found = case.joined(States(open=frozenset((switch.name,))))
    sources = {
        found[terminal.id]
        for terminal in case.wiring.terminals
        if terminal.device in SOURCES and terminal.function in opens
    }
    for way in case.each(case.installation.board.ways):
        live = [
            terminal.id
            for terminal in case.wiring.terminals_of(way.name)
            if terminal.function in opens and found[terminal.id] in sources
        ]
        for terminal in live:
            if way.fed_from == "supply-side":
                yield RULE.says(
                    case,
                    "advice",
                    way.name,
                    terminal,
                    f"{terminal} stays live when {switch.name} is open: mark it",
                )
            else:
                yield RULE.says(
                    case,
                    "fail",
                    way.name,
                    terminal,
                    f"{terminal} stays joined to a source when {switch.name} is open",
                )
    yield from _kept_live(case, found, opens)


def _kept_live(case: Case, found: dict[str, str], opens: Collection[str]) -> Findings:
    """By the sources beside the network: one finding for each and each way it keeps live."""
    job = case.installation
    for source in case.each(job.sources):
        at = {found[terminal] for terminal in fed_by(job, case.wiring, source)}
        for way in case.each(job.board.ways):
            live = [
                terminal.id
                for terminal in case.wiring.terminals_of(way.name)
                if terminal.function in opens and found[terminal.id] in at
            ]
            if not live:
                continue
            words = f"{way.name} stays live from {source.name} when the main switch is open"
            if source.isolator is True:
                message = (
                    f"{words}: open its isolators on the d.c. and the a.c. side too, and prove the"
                    " a.c. side dead; the modules stay live in daylight and cannot be proved dead"
                    if source.kind == "photovoltaic"
                    else f"{words}: open its isolator too, and prove every place dead"
                )
                yield RULE.says(case, "advice", way.name, live[0], message)
            elif source.isolator is False:
                message = f"{words}, and nothing parts {source.name}"
                yield RULE.says(case, "fail", way.name, live[0], message)
            else:
                message = f"whether an isolator parts {source.name}: {words}; look"
                yield RULE.does_not_know(case, way.name, live[0], message)
