"""Rendering: what it would take that a finding passes, and one circuit's alternatives, for a
terminal and as plain data.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

from firstway.checks.rule import Finding, JudgedFigure
from firstway.choosing.alternatives import Alternative, Alternatives
from firstway.choosing.designers_keys import ON_THE_BAR
from firstway.choosing.needs import MOST_PAIRS, MOST_WHOLE, ChangedKey, Needs, Proposal
from firstway.model.installation import Installation
from firstway.rendering.figures import amount_text, figure_put_in, unit_text
from firstway.rendering.findings import LEVEL_WORDS
from firstway.rendering.html import Markup, caution_line, counted, list_html, table_html, tag
from firstway.rendering.report import finding_words
from firstway.rendering.spoken_keys import in_trade_words

ANSWERS = {
    "choose": "choose: each of these makes it pass, and no other finding worse",
    "measure": "measure",
    "ask": "ask",
    "stop": "stop: nothing a designer may choose here makes it pass",
}
"""The answers as they are told."""


def _head(installation: Installation) -> list[str]:
    return [f"{installation.file}: {installation.title}", caution_line(installation.edition)]


def _head_data(installation: Installation) -> dict[str, Any]:
    return {
        "installation": installation.name,
        "rules": installation.rules,
        "edition": installation.edition,
        "caution": caution_line(installation.edition),
    }


# ---- what it would take


def needs_data(needs: Needs) -> dict[str, Any]:
    """What `needs --json` prints."""
    return {
        **_head_data(needs.installation),
        "findings": [vars(each) for each in needs.findings],
        "answer": needs.answer,
        "reason": needs.reason,
        "proposals": [_proposal_data(each) for each in needs.proposals],
        "less_grave": [_proposal_data(each) for each in needs.eased],
        "refused": [_proposal_data(each) for each in needs.refused],
        "tried": {
            "keys": needs.keys,
            "values": needs.values,
            "pairs": needs.pairs,
            "pairs_left": needs.pairs_left,
            "not_checked_whole": needs.unjudged,
            "readings_left_out": needs.readings,
        },
    }


def _proposal_data(proposal: Proposal) -> dict[str, Any]:
    return {
        "changes": [vars(each) for each in proposal.changes],
        "said": [vars(each) for each in proposal.said],
        "worsens": [vars(each) for each in proposal.worsens],
        "no_longer_judged": [vars(each) for each in proposal.not_judged],
        "read_anew": list(proposal.read_anew),
    }


def needs_text(needs: Needs) -> str:
    """What it would take, in words: the answer first, then what was refused and how much was
    tried.
    """
    lines = _head(needs.installation)
    lines += [f"{each.level:8}{finding_words(each)} ({each.id})" for each in needs.findings]
    if needs.proposals:
        lines += [f"{ANSWERS['choose']}:", *_proposal_lines(needs.proposals)]
    else:
        without = " without making another finding worse" if needs.refused else ""
        stop = without if needs.answer == "stop" else ""
        lines.append(f"{ANSWERS[needs.answer]}{stop}: {needs.reason}")
    if needs.proposals and needs.reason:
        lines.append(f"Or find out: {needs.reason}")
    if needs.eased:
        lines += ["Less grave, but no pass:", *_proposal_lines(needs.eased)]
    if needs.refused:
        lines += ["Refused, for something else gets worse:", *_proposal_lines(needs.refused)]
    return "\n".join([*lines, *_tried_lines(needs)]) + "\n"


def _tried_lines(needs: Needs) -> list[str]:
    values, keys = counted(needs.values, "value"), counted(needs.keys, "key")
    told = f"Tried: {values} of {keys} that a designer may choose, one at a time"
    if needs.pairs:
        told += f", then {counted(needs.pairs, 'pair')}"
    lines = [f"{told}; whatever serves was checked on the whole job."]
    if needs.pairs_left:
        lines.append(f"There are more pairs than {MOST_PAIRS}; the others were not tried.")
    if needs.unjudged:
        lines.append(
            f"{needs.unjudged} more make it pass, and were not checked whole: no more than"
            f" {MOST_WHOLE} are."
        )
    if needs.readings:
        lines.append(
            f"The file's readings ({needs.readings}) were left out: whatever is changed is measured"
            " again."
        )
    return lines


def _proposal_lines(proposals: Iterable[Proposal]) -> list[str]:
    """Values of one key with the same outcome on one line; several keys on a line of their own."""
    lines = []
    for _, same in groupby(proposals, key=_outcome):
        several = list(same)
        lines.append(f"  {_changes_words(several)}{_but(several[0])}")
        if several[0].read_anew:
            keys = ", ".join(each.rpartition(".")[2] for each in several[0].read_anew)
            lines.append(f"      another device: its maker's figures are to be read anew ({keys})")
        if several[0].not_judged:
            ids = ", ".join(dict.fromkeys(each.id for each in several[0].not_judged))
            lines.append(f"      no longer judged: {ids}")
    return lines


def _outcome(proposal: Proposal) -> tuple[Any, ...]:
    """What proposals on one line have in common."""
    changes = proposal.changes
    keys = tuple(each.key for each in changes)
    one = len(changes) == 1 and not keys[0].startswith(ON_THE_BAR)
    return (
        keys,
        () if one else tuple(each.then for each in changes),
        tuple((each.id, each.of, each.level) for each in proposal.worsens),
        proposal.read_anew,
        tuple(each.id for each in proposal.not_judged),
    )


def _changes_words(several: Sequence[Proposal]) -> str:
    first = several[0].changes
    if len(several) > 1:
        values = ", ".join(each.changes[0].then for each in several)
        return f"{first[0].key}: {values} (now {first[0].now})"
    return "; with it ".join(map(_change_words, first))


def _change_words(change: ChangedKey) -> str:
    if not change.key.startswith(ON_THE_BAR):
        return f"{change.key}: {change.then} (now {change.now})"
    device = change.key.removeprefix(ON_THE_BAR)
    if change.now == change.then:
        return f"{device} where it stands, on leads as long as they are laid there"
    return f"{device} at place {change.then} of the bar from the main switch (now {change.now})"


def _but(proposal: Proposal) -> str:
    if not proposal.worsens:
        return ""
    told = [f"{each.level} {each.id} of {each.of}" for each in proposal.worsens]
    more = f" and {len(told) - 3} more" if len(told) > 3 else ""
    return f": {', '.join(told[:3])}{more}"


# ---- alternatives of a circuit


def alternatives_data(found: Alternatives) -> dict[str, Any]:
    """What `alternatives --json` prints."""
    return {
        **_head_data(found.installation),
        "circuit": found.circuit,
        "left_to_choose": found.left_to_choose,
        "not_printed": list(found.not_printed),
        "alternatives": [_line_data(each) for each in found.lines],
    }


_COLUMNS = {
    "carries A": "capacity_a",
    "drop %": "voltage_drop_percent",
    f"loop {unit_text('ohm')}": "loop_impedance_ohm",
    "opens s": "disconnection_time_s",
    f"protective at least {unit_text('mm2')}": "least_protective_mm2",
}
"""Heads of the figures, each with its name in JSON."""


def _figures(line: Alternative) -> tuple[JudgedFigure, ...]:
    """The figures of a line, in the order of their columns."""
    return line.capacity, line.drop, line.loop, line.time, line.least_protective


def _line_data(line: Alternative) -> dict[str, Any]:
    figures = dict(zip(_COLUMNS.values(), _figures(line), strict=True))
    return {
        "size": line.size,
        "protective": line.protective,
        "methods": list(line.methods),
        "rating_a": line.rating,
        **{name: figure.value for name, figure in figures.items()},
        "missing": {name: each.ask for name, each in figures.items() if each.value is None},
        "limits": {each.id: each.limit for each in line.judged},
        "verdict": line.level,
        "finding": vars(line.finding) if line.finding else None,
        "chosen": line.chosen,
    }


def alternatives_text(found: Alternatives) -> str:
    """The table: `*` is what the job has, `?` is not known; what is missing stands below."""
    head = _columns(found)
    rows = [head, *(_cells(line) for line in found.lines)]
    widths = [max(len(row[place]) for row in rows) for place in range(len(head) - 1)]
    table = [
        "  ".join([*(cell.rjust(width) for cell, width in zip(row, widths)), row[-1]])
        for row in rows
    ]
    return "\n".join([*_head(found.installation), found.circuit, *table, *_notes(found)]) + "\n"


def alternatives_html(found: Alternatives) -> Markup:
    """The same table for a page: what becomes of a size stands beside it, in words of the trade."""
    _, size, protective, *others, verdict = _columns(found)
    rows = []
    for line in found.lines:
        mark, own, earth, *cells, _ = _cells(line)
        told = in_trade_words(_short(line.finding)) if line.finding else "serves"
        level = f"{LEVEL_WORDS[line.level].lower()}: " if line.finding else ""
        rows.append((f"{mark} {own}".strip(), f"{level}{told}", earth, *cells))
    return Markup().join(
        [
            tag("p", caution_line(found.installation.edition)),
            table_html(
                (size, verdict, protective, *others),
                rows,
                f"{found.circuit}: sizes and methods side by side",
                numbers=(0, 2, *range(4, len(others) + 3)),
            ),
            list_html(map(in_trade_words, _notes(found))),
        ]
    )


def _columns(found: Alternatives) -> tuple[str, ...]:
    size = "AWG" if found.installation.rules == "nec" else unit_text("mm2")
    first = ("", f"size {size}", f"protective {size}", "method", "device A")
    return (*first, *_COLUMNS, "verdict")


def _notes(found: Alternatives) -> list[str]:
    chosen = "chosen: the smallest that serves" if found.left_to_choose else "as the file says"
    notes = [f"* {chosen}, run as the file says.", *_limit_lines(found), *_missing_lines(found)]
    if found.not_printed:
        notes.append(f"No table prints for this cable: {', '.join(found.not_printed)}.")
    if found.installation.readings:
        notes.append("The file's readings were left out: another cable is measured again.")
    return notes


def _cells(line: Alternative) -> tuple[str, ...]:
    return (
        "*" if line.chosen else "",
        line.size,
        line.protective,
        ", ".join(line.methods),
        figure_put_in(line.rating) if line.rating is not None else "?",
        *map(_figure, _figures(line)),
        _verdict(line),
    )


def _figure(figure: JudgedFigure) -> str:
    return "?" if figure.value is None else figure_put_in(figure.value)


def _verdict(line: Alternative) -> str:
    if line.finding is None:
        return "serves"
    return f"{line.level}: {line.finding.id}: {_short(line.finding)}"


def _short(finding: Finding) -> str:
    """The message up to where it begins to explain."""
    words = finding.message.removeprefix("not known: ")
    return words.partition(":")[0].partition(" (")[0].partition(";")[0]


def _limit_lines(found: Alternatives) -> list[str]:
    """Limits that are the same in every line; capacity stands beside its device."""
    limits: dict[str, dict[str, None]] = {}
    for line in found.lines:
        for each in line.judged:
            if each.unit in ("percent", "ohm", "s") and each.limit is not None:
                limits.setdefault(each.id, {})[amount_text(each.limit, each.unit)] = None
    told = [f"{' or '.join(values)} ({id_})" for id_, values in limits.items()]
    return [f"At most: {', '.join(told)}."] if told else []


def _missing_lines(found: Alternatives) -> list[str]:
    asked = dict.fromkeys(
        (name, figure.ask)
        for line in found.lines
        for name, figure in zip(_COLUMNS, _figures(line), strict=True)
        if figure.value is None
    )
    return [f"? {name}: {ask}" for name, ask in asked]
