"""The panel's rating covers its load and is not below the device that protects it.

Why: the bars of a panel are tested at its rating. A larger device ahead lets them carry more.
A pass: a 125 A panel behind 70 A. A fail: a 60 A panel behind 100 A.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, NecRule, of_file, of_step
from firstway.model.values import UNKNOWN, is_known

RULE = NecRule(
    "nec-panel-rating",
    "The panel is rated for its load and its device",
    "NFPA 70 408.30, 408.36",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    board = case.installation.board
    panel = of_file(
        board.assembly.rating_a if is_known(board.assembly) else UNKNOWN,
        "the rating of the panel; read its label",
    )
    device = of_step(case, "device-rating", "feed", "the rating of the device ahead of the panel")
    yield RULE.compares(
        case,
        "board",
        "board",
        device,
        panel,
        "A",
        "the device ahead protects the panel at its rating",
        "the device ahead is larger than the panel's rating",
    )
    load = of_step(case, "continuous-load-current", "feed", "the load of the panel")
    yield RULE.compares(
        case,
        "board",
        "board",
        load,
        panel,
        "A",
        "the panel's rating covers its load",
        "the panel's rating is below its load",
    )
    if is_known(board.busbar):
        bar: JudgedFigure = of_file(
            board.busbar.rating_a, "the rating of the bars; read the panel's label"
        )
        yield RULE.compares(
            case,
            "board",
            "bar",
            device,
            bar,
            "A",
            "the device ahead protects the bars at their rating",
            "the device ahead is larger than the bars' rating",
        )
