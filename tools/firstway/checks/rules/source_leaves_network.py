"""A source never feeds a network that is lost.

Why: people work on a street they believe dead, and a network that comes back out of step breaks the
source. Either an interlocked changeover lets only one of the two feed, or the source is declared to
leave by itself when the network is lost. One of the two is enough.
A pass: an interlocked changeover, or declared protection towards the network. Danger: neither. Not
known: ask the maker, look at the changeover.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.evidence import scope
from firstway.model.values import is_known

RULE = Rule(
    "source-leaves-network",
    "A source leaves the network when that is lost",
    "BS 7671 551.6, 551.7.4; IEC 60364-5-55 551.6, 551.7.4 (from memory)",
    "2018+A3:2024",
    "danger",
    ("bs7671", "iec60364"),
)


def _by_itself(of: str) -> str:
    return f"{of} is declared to leave a lost network by itself, which parts lines, no neutral"


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        with scope() as by_switch:
            apart = source.changeover
        with scope() as by_itself:
            leaves = source.network_protection
        of = source.name
        kept = [
            (seen, words)
            for holds, seen, words in (
                (apart is True, by_switch, f"a changeover lets only the network or {of} feed"),
                (leaves is True, by_itself, _by_itself(of)),
            )
            if holds
        ]
        for seen, words in sorted(kept, key=lambda each: bool(each[0].paths))[:1]:
            seen.counts()  # the other way need not hold
            yield RULE.passes(case, of, of, words, "parted", "parted")
        if apart is True and not is_known(source.changeover_at):
            yield RULE.does_not_know(
                case,
                of,
                of,
                f"where the changeover stands that parts {of} from the network; look, and write"
                " `changeover_at`",
                "parted",
            )
        if kept:
            continue
        if apart is False and leaves is False:
            yield RULE.says(
                case,
                "danger",
                of,
                of,
                f"{of} can feed a network that others believe dead: neither a changeover with an"
                " interlock nor protection of its own parts it",
                "not parted",
                "parted",
            )
        else:
            yield RULE.does_not_know(
                case,
                of,
                of,
                f"whether {of} leaves a network that is lost: an interlocked changeover, or"
                " protection that its maker declares; ask its maker",
                "parted",
            )
