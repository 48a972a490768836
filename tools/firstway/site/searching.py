"""Site: the search's index: where the guide explains and decides stands before where it lists, and
what words mean the same is told to the script between.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

SEARCH_INDEX = "search/search_index.js"
WEIGHTS = {
    # These tell of one kind of job each, and name much that other pages explain.
    "refresh/another-": 1.6,
    "refresh/class-two-": 1.6,
    "refresh/more-": 1.6,
    "refresh/older-": 1.6,
    "refresh/surge-in-more-": 2.5,
    "chapters/": 4.0,
    "refresh/": 4.0,
    "cards/": 3.0,
    "glossary.html": 1.5,
}
"""What a page counts, by the beginning of its address: the first that fits; any other counts 1."""
EVERYDAY = (
    ("car", "vehicle", "ev"),
    ("charger", "charging point"),
    ("trip", "trips", "opens", "residual current device"),
    ("hot", "heat", "warm"),
    ("metal", "steel"),
    ("electricity company", "network operator"),
    ("lightning", "surge"),
    ("tight", "torque"),
    ("power the house", "vehicle gives back", "feeds back"),
    ("swapped", "crossed", "exchanged", "reversed", "reading is wrong"),
    ("switched neutral", "poles open"),
    ("tt system", "tt", "electrode"),
    ("big enough", "room", "spare capacity", "demand"),
    ("circuit breaker", "breaker", "device"),
    ("fuse box", "consumer unit", "board"),
    ("earth rod", "electrode"),
    ("zs", "loop impedance", "reading"),
    ("red", "black", "colours"),
    ("wires", "leads", "conductors"),
    ("surge protector", "SPD"),
    ("allowed", "may", "authorised"),
    ("solar", "panels", "photovoltaic", "roof", "inverter", "another source"),
    ("generator", "generating set", "another source"),
    ("garage", "shed", "barn", "outbuilding", "another building"),
    ("old house", "older premises", "old board"),
    ("two cars", "second vehicle", "second charger", "more points"),
    ("arrester", "surge protective device"),
)
"""Words that people ask with beside those of the guide; the glossary holds the others."""
LEAST = {"jobs/": 0.3, "tables/": 0.3, "rules/": 0.3, "quizzes/": 0.3, "teach.html": 0.3}


def weigh_search(site: Path, groups: Iterable[Sequence[str]]) -> None:
    """Put weights and words into the index of a built guide."""
    path = site / SEARCH_INDEX
    text = weighed(path.read_text(encoding="utf-8"), [*groups, *EVERYDAY])
    path.write_text(text, encoding="utf-8")


def weighed(script: str, groups: Iterable[Sequence[str]]) -> str:
    """The index as a script, with weights by kind of page; `groups` are names for one thing."""
    head, _, text = script.partition("=")
    index = json.loads(text.strip().rstrip(";"))
    for entry in index["docs"]:
        entry.pop("boost", None)
        weight = weight_of(entry["location"])
        if weight != 1:
            entry["boost"] = weight
    named = [[" ".join(name.lower().split()) for name in group] for group in groups]
    index["config"]["groups"] = sorted(group for group in named if len(group) > 1)
    return f"{head}={json.dumps(index, ensure_ascii=False, separators=(',', ':'))}"


def weight_of(location: str) -> float:
    """What a page counts.

    >>> weight_of("chapters/the-cable.html#a"), weight_of("about.html"), weight_of("jobs/a.html")
    (4.0, 1.0, 0.3)
    """
    every = {**WEIGHTS, **LEAST}
    return next((weight for head, weight in every.items() if location.startswith(head)), 1.0)
