"""Pages: the whole working of a job: a page for supply and feed, for the board, for each circuit
and for its points.

One page could not hold it: a page of this guide stays small enough for a phone.
"""

from firstway.choosing.completing import Completed
from firstway.model.installation import Circuit, Installation
from firstway.model.values import is_known
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.citing import ReaderNotes, notes_of, sources_html
from firstway.rendering.figures import figure_html
from firstway.rendering.formulas import working_in
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    counted,
    escape,
    html_identity,
    joined,
    sentence,
    table_html,
    tag,
)
from firstway.rendering.spoken_keys import with_spoken_terminals
from firstway.rendering.working import (
    AroundWorking,
    assumed_mark,
    cited_step,
    part_html,
    part_title,
    parts_of_working,
    step_identity,
    symbol_markup,
)
from firstway.workings.shared.step import Step

KEY_RESULTS = (
    "maximum-demand",
    "design-current",
    "device-rating",
    "conductor-size",
    "protective-conductor-size",
    "corrected-capacity",
    "voltage-drop",
    "voltage-drop-percent",
    "loop-impedance",
    "loop-impedance-limit",
    "earth-fault-current",
    "minimum-protective-conductor",
    "fault-current-at-board",
    "electrode-resistance",
    "electrode-resistance-limit",
    "touch-voltage",
    "open-pen-voltage",
    "spd-lead-length",
    "effective-protection-level",
    "pilot-duty",
    "charge-energy",
)
KEY_OF_THE_FEED = ("conductor-size", "corrected-capacity")
# The code names no limit of a loop (250.4(A)(5)): what decides is the size of the grounding
# conductor. The steps stand on the page of the circuit.
NOT_ASKED_BY_NEC = ("loop-impedance", "loop-impedance-limit", "earth-fault-current")
SUPPLY_PAGE, BOARD_PAGE = "supply-and-feed", "board"


def working_pages(completed: Completed) -> list[PageSheet]:
    """Every step of the job, each on one page."""
    return [
        _page(completed, slug)
        for slug in page_titles(completed.installation)
        if any(
            page_of(of, completed.installation) == slug
            for of, _ in parts_of_working(completed.case.workings)
        )
    ]


def page_titles(installation: Installation) -> dict[str, str]:
    """Name of each page in the job's folder, and its title, in reading order."""
    titles = {SUPPLY_PAGE: "Supply and feed", BOARD_PAGE: "Board"}
    for circuit in installation.circuits:
        titles[_circuit_page(circuit)] = f"Circuit {circuit.name}"
        titles[_points_page(circuit)] = f"Charging at {', '.join(_points(installation, circuit))}"
    return titles


def page_of(of: str, installation: Installation) -> str:
    """The page that holds the steps about `of`."""
    for circuit in installation.circuits:
        points = _points(installation, circuit)
        if of == circuit.name:
            return _circuit_page(circuit)
        if of in points or any(
            vehicle.name == of and vehicle.at in points for vehicle in installation.vehicles
        ):
            return _points_page(circuit)
    ways = {way.name for way in installation.board.ways}
    switch = installation.board.main_switch
    conductor, _, device = of.rpartition(".")  # a lead or a tooth by its id
    on_board = of == "board" or of in ways or is_known(switch) and switch.name == of
    on_board = on_board or bool(conductor) and device in ways
    return BOARD_PAGE if on_board else SUPPLY_PAGE


def working_around(completed: Completed, here: str) -> AroundWorking:
    """Links to steps as they are written on the page `here` of the job's folder."""
    workings, installation = completed.case.workings, completed.installation

    def link(name: str) -> Markup | None:
        step_id, _, of = name.partition(" ")
        step = workings.find(step_id, of)
        if step is None:
            return None
        page = page_of(of, installation)
        file = "" if page == here else page + ".html"
        return tag("a", with_spoken_terminals(step.title), href=f"{file}#{step_identity(step)}")

    return AroundWorking(installation.name, link, notes_of(completed))


def key_results_html(completed: Completed) -> Markup:
    """What a reader of the trade looks for first: value, working in one line, source; each linked
    to its page.
    """
    around = working_around(completed, "index")
    tables = []
    circuits = [circuit.name for circuit in completed.installation.circuits]
    groups = parts_of_working(completed.case.workings)
    for of, steps in sorted(
        groups, key=lambda group: group[0] not in circuits
    ):  # the circuits first, else in order
        wanted: tuple[str, ...] = KEY_OF_THE_FEED if of == "feed" else KEY_RESULTS
        if completed.installation.rules == "nec":
            wanted = tuple(each for each in wanted if each not in NOT_ASKED_BY_NEC)
        rows = [
            (
                around.link(step.identity) or "",
                figure_html(step, around.name) + assumed_mark(step),
                _in_one_line(step, around.notes),
            )
            for step in steps
            if step.id in wanted
        ]
        if rows:
            tables.append(
                table_html(
                    ("result", "value", "how"),
                    rows,
                    part_title(of, completed.installation),
                    "plain key",
                )
            )
    return joined(tables)


def pages_list_html(completed: Completed) -> Markup:
    """Cards to the pages of the whole working."""
    groups = parts_of_working(completed.case.workings)
    cards = Markup()
    for slug, title in page_titles(completed.installation).items():
        number = sum(
            len(steps) for of, steps in groups if page_of(of, completed.installation) == slug
        )
        if number:
            cards += tag(
                "a",
                tag("span", title, class_="card-title"),
                tag(
                    "span",
                    f"{counted(number, 'step')}, each with its formula, its figures and its source",
                    class_="card-line",
                ),
                class_="card",
                href=f"{slug}.html",
            )
    return tag("div", cards, class_="cards")


def _page(completed: Completed, slug: str) -> PageSheet:
    installation = completed.installation
    groups = [
        (of, steps)
        for of, steps in parts_of_working(completed.case.workings)
        if page_of(of, installation) == slug
    ]
    around = working_around(completed, slug)
    title = page_titles(installation)[slug]
    parts = {
        "caution": caution_fold_html(),
        "sources": sources_html(
            words for _, steps in groups for step in steps for words in _sources_of(step)
        ),
    }
    text = [
        f"# {inert(title)}: the working",
        (
            f"Part of the job [{inert(installation.title)}](index.md). "
            "For the installer who checks it by hand, and for the trainee who wants to see why. "
            "[How to read the working](../../reading-the-working.md) explains the marks."
        ),
        part_mark("caution"),
    ]
    for of, steps in groups:
        key = html_identity("part", of).lower()
        parts[key] = part_html(steps, around)
        text += [
            f"## {inert(part_title(of, installation))} {{#{html_identity('working', of)}}}",
            part_mark(key),
        ]
    text += ["## Sources {#sources}", part_mark("sources")]
    return PageSheet(
        f"jobs/{installation.name}/{slug}.md",
        f"Working: {title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"{installation.title}: {title}, every step of the working.",
    )


def _in_one_line(step: Step, notes: ReaderNotes) -> Markup:
    if step.value is None:
        return escape(sentence(step.ask) if step.ask else "A figure is missing.")
    cite = tag("span", cited_step(step, notes), class_="cite")
    return (
        Markup('<span class="line">{}</span> {}').format(working_in(step, symbol_markup), cite)
        if step.figures
        else cite
    )


def _sources_of(step: Step) -> tuple[str, ...]:
    return (step.source, *(row.source for row in step.rows))


def _points(installation: Installation, circuit: Circuit) -> list[str]:
    return [point.name for point in installation.points_of(circuit)]


def _circuit_page(circuit: Circuit) -> str:
    return html_identity("circuit", circuit.name)


def _points_page(circuit: Circuit) -> str:
    return html_identity("charging", circuit.name)
