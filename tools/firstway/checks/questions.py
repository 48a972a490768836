"""Checks: what is not known, as questions: whom to ask or what to measure, one for each device.

A presentation: every finding stays as it is, and each is part of at least one question.
"""

import re
from collections.abc import Container, Iterable

from firstway.checks.rule import Finding
from firstway.checks.stakes import rank
from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.values import is_known

# Who answers, by the words of a finding; the earliest of them in the sentence decides.
_MAKER = re.compile(r"\bmakers?\b|\bdata sheet\b|\bread (?:it on|its plate|its list)\b")
_NETWORK = re.compile(r"\b(?:distributor|network operator|operator)\b")
_AUTHORITY = re.compile(r"\bauthority having jurisdiction\b")
_MEASURE = re.compile(r"(?<!which )\bmeasure\b(?! against)|\btester\b")
_BOARD = re.compile(r"\bthe (?:assembly|board|whole board|panel)\b")
_SERVICE = "service device"
# what opens the feed is no part of the board, wherever its curve or rating is needed
_OF_FEED = re.compile(r"\b((?:fuse|circuit-breaker|rcbo|residual current device) of the feed)\b")
_MAKER_OF = re.compile(r"\bmaker of (?:the )?([\w-]+)")
# What the head of a question says already.
_HEAD = re.compile(r"^(?:not known: |would pass, but )?(?:ask (?:the|its) maker (?:for |about )?)?")
_TAIL = re.compile(
    r"[;,:] (?:ask (?:the|its) makers?|ask the (?:distributor|network operator|operator)"
    r"|measure (?:it|the electrode)(?: or ask)?|read the data sheet"
    r"|local code and the authority having jurisdiction decide)$"
)

_ASSUMED = re.compile(r"\b(?:is|are) assumed\b")
_PATH = re.compile(r"[a-z_]+(?:\.[\w-]+)+")
_HEADS = {
    "network": "ask the network's operator",
    "authority": "ask the authority having jurisdiction",
    "measure": "measure",
    "look": "find out",
}
OUTSIDE = (_HEADS["network"], _HEADS["authority"])
"""Whom neither a designer nor a maker answers for."""


@dataclass(frozen=True)
class MakerQuestion:
    """One line: who is asked (or what is done), about which parts, and what."""

    whom: str
    parts: tuple[str, ...]
    asks: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def text(self) -> str:
        """The question on one line; several asks are numbered."""
        numbered = (f"({number}) {ask}" for number, ask in enumerate(self.asks, 1))
        return self._with_head("; ".join(numbered) if len(self.asks) > 1 else self.asks[0])

    @property
    def first(self) -> str:
        """Its gravest part alone; what is read on a device is asked of nobody."""
        asked = self.asks[0]
        return asked if asked.endswith("; read it on the device") else self._with_head(asked)

    def _with_head(self, asked: str) -> str:
        return asked if asked.startswith(self.whom) else f"{self.whom}: {asked}"

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules that ask."""
        return tuple(dict.fromkeys(finding.id for finding in self.findings))

    @property
    def rank(self) -> int:
        """As grave as the gravest finding in it."""
        return min(rank(finding.id) for finding in self.findings)


def question_of(message: str) -> str:
    """What is asked, without the words that any question has.

    >>> question_of("not known: the torque of the terminals of F2; ask its maker")
    'the torque of the terminals of F2'
    """
    assumed = _assumed(message)
    return f"{assumed}, which is assumed" if assumed else _TAIL.sub("", _HEAD.sub("", message))


def questions(findings: Iterable[Finding], installation: Installation) -> tuple[MakerQuestion, ...]:
    """The unknown findings: a maker's by device, the others by what is asked; the gravest first."""
    named = _names(installation)
    grouped: dict[tuple[str, str], list[tuple[str, Finding]]] = {}
    for finding in findings:
        whom = _whom(finding.message)
        if whom == "maker":
            for part in _asked_about(finding, named):
                grouped.setdefault((whom, part), []).append((part, finding))
        else:
            ask = question_of(finding.message)
            grouped.setdefault((whom, ask), []).append((_device(finding.place, named), finding))
    found = [_question(*key, entries, installation) for key, entries in grouped.items()]
    return tuple(sorted(found, key=lambda question: question.rank))


def _question(
    whom: str, key: str, entries: list[tuple[str, Finding]], installation: Installation
) -> MakerQuestion:
    parts = tuple(dict.fromkeys(part for part, _ in entries))
    asks = tuple(dict.fromkeys(question_of(finding.message) for _, finding in entries))
    head = f"ask the maker of {_thing(key, installation)}" if whom == "maker" else _HEADS[whom]
    return MakerQuestion(head, parts, asks, tuple(finding for _, finding in entries))


def _assumed(message: str) -> str:
    """The sections whose assumed figures keep a finding from passing: measure once, settle all."""
    if not _ASSUMED.search(message):
        return ""
    paths = (path.split(".")[:2] for path in _PATH.findall(message))
    return ", ".join(dict.fromkeys(".".join(path) for path in paths))


def _whom(message: str) -> str:
    found = {
        "maker": _MAKER.search(message),
        "network": _NETWORK.search(message),
        "authority": _AUTHORITY.search(message),
        "measure": _MEASURE.search(message),
    }
    places = {whom: match.start() for whom, match in found.items() if match is not None}
    return min(places, key=lambda whom: places[whom]) if places else "look"


def _names(installation: Installation) -> dict[str, None]:
    switch = installation.board.main_switch
    return dict.fromkeys(
        (
            *([str(switch.name)] if is_known(switch) else []),
            *(str(way.name) for way in installation.board.ways),
            *(str(point.name) for point in installation.charging_points),
            *(str(circuit.name) for circuit in installation.circuits),
            *(str(source.name) for source in installation.sources),
        )
    )


def _asked_about(finding: Finding, named: dict[str, None]) -> tuple[str, ...]:
    """Whose maker: the one the message names, else every part it names, else that of the place."""
    maker = _MAKER_OF.search(finding.message)
    if maker is not None and maker[1] in named:
        return (maker[1],)
    if _SERVICE in finding.message:
        return (_SERVICE,)  # wherever its curve or rating is needed
    of_feed = _OF_FEED.search(finding.message)
    if of_feed is not None:
        return (of_feed[1],)
    if _BOARD.search(finding.message):
        return ("board",)
    words = re.findall(r"[\w-]+", finding.message)
    return tuple(name for name in named if name in words) or (_device(finding.place, named),)


def _device(place: str, named: Container[str] = ()) -> str:
    """The part a finding is told under: the first word of its place that names one, else the first.

    >>> _device("F1.load.L1", ("F1",)), _device("lead.PE.F1", ("F1",)), _device("earth-bar.2")
    ('F1', 'F1', 'earth-bar')
    """
    words = place.partition(":")[0].split(".")
    return next((word for word in words if word in named), words[0])


def _thing(part: str, installation: Installation) -> str:
    if part in {str(circuit.name) for circuit in installation.circuits} | {"feed"}:
        return f"the cable of {part}"
    return f"the {part}" if part in ("board", _SERVICE) or _OF_FEED.match(part) else part
