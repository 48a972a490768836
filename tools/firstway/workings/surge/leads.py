"""Workings: the connecting leads of a surge protective device: what the file states, what has to be
laid in the board, and the longer of the two.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from firstway.calculations import surge_leads
from firstway.calculations.formula import Formula
from firstway.model.evidence import each
from firstway.model.installation import Amount, Way
from firstway.model.values import CHOOSE, NONE, UNKNOWN, Absent, is_known, key_of, place_of
from firstway.tables.looking_up import spd_limit
from firstway.wiring.graph import Conductor
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.laid import assumed_places, length_step
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import Step

LEAD_SIDES: Mapping[str, str] = MappingProxyType({"line": "l_1", "neutral": "l_N", "earth": "l_PE"})
"""The sides a device has leads on, each with its symbol."""


@topic
def devices(book: Book, formula: Formula = surge_leads.LEAD_LENGTH, earth: str = "earth") -> None:
    """Leads and effective level of every surge protective device of the board; `earth` is the word
    for that side.
    """
    for way in each(book.installation.board.ways):
        if way.device == "spd":
            lead_length(book, way, formula, earth)
            effective_protection_level(book, way)


@topic
def lead_length(book: Book, way: Way, formula: Formula, earth: str) -> None:
    """Line side and earth side together; CT2: the longer path to earth."""
    of, leads = way.name, way.leads
    title = "Connecting leads of the surge protective device, both sides together"
    if not is_known(leads) and leads != CHOOSE:
        book.not_known(
            "spd-lead-length",
            of,
            title,
            "l",
            "m",
            "formula",
            (leads,),
            f"measure the leads of {of}, line side and {earth} side",
        )
        return
    sides = {side: _lead(book, way, side, earth) for side in LEAD_SIDES}
    own = _own_device_link(book, way)
    book.later(
        "spd-lead-length",
        of,
        title,
        formula,
        {"l_L": _live_lead(book, way, sides), "l_PE": sides["earth"], "l_d": own},
    )


@topic
def _live_lead(book: Book, way: Way, sides: Mapping[str, Step]) -> Step:
    """The lead on the live side: in CT2 the longer one."""
    step_id, title = "spd-live-lead", "Lead on the live side"
    if way.connection != "CT2":
        return book.repeat(sides["line"], step_id, way.name, title, "l_L")
    given = {"l_1": sides["line"], "l_N": sides["neutral"]}
    return book.later(step_id, way.name, title, surge_leads.LONGER_SIDE, given)


@topic
def _lead(book: Book, way: Way, side: str, earth: str) -> Step:
    """One lead as it counts: the longer of what is stated and what has to be laid."""
    of, word = way.name, earth if side == "earth" else side
    value = key_of(key_of(way.leads, side), "length_m")
    given: dict[str, Step] = {}
    if not _is_chosen(book, value):
        given["l_s"] = book.fact(
            f"spd-{side}-lead-stated",
            of,
            f"Lead on the {word} side, as stated",
            "l_s",
            value,
            "m",
            ask=f"measure the {word} lead of {of}",
        )
    conductors = conductors_of(book.plan, way, side)
    step_id, title = f"spd-{side}-lead", f"Lead on the {word} side, as it counts"
    if "l_s" in given and counts_as_measured(book.plan, value, conductors):
        note = (
            "measured on the board as it is fitted; what the plan makes of places that nobody"
            " stated does not overrule it"
        )
        return book.repeat(given["l_s"], step_id, of, title, LEAD_SIDES[side], note)
    laid = [_laid(book, each) for each in conductors]
    given |= {f"l_{number}": step for number, step in enumerate(laid, 1)}
    formula = surge_leads.LEAD_AS_COUNTED.get((len(laid), "l_s" in given))
    if formula is None:
        return book.not_known(
            step_id,
            of,
            title,
            LEAD_SIDES[side],
            "m",
            "formula",
            (value,),
            f"no {word} lead of {of} lies in the board: state its length, or join it",
        )
    return book.later(step_id, of, title, formula, given, symbol=LEAD_SIDES[side])


def counts_as_measured(plan: PlanOfBoard, stated: Amount, conductors: Sequence[Conductor]) -> bool:
    """Whether a lead counts as it was measured: a fitted board is a fact, and a plan that assumes
    where things lie in it is none. Where the file states all places, the longer figure counts.
    """
    if not is_known(stated) or plan.installation.how_known(place_of(stated)) != "measured":
        return False
    return bool(plan.refused) or any(assumed_places(plan, each) for each in conductors)


def _is_chosen(book: Book, value: Amount) -> bool:
    """Whether a length is left to the plan; when the rest is chosen it stands in the file too."""
    return value == CHOOSE or place_of(value) in book.choices


def _laid(book: Book, conductor: Conductor) -> Step:
    made = length_step(book.plan, conductor)
    return book.find(made.id, made.of) or book.put(made)


def conductors_of(plan: PlanOfBoard, way: Way, side: str) -> tuple[Conductor, ...]:
    """The conductors that are a lead of a device on one side: one for each of its lines."""
    functions = {"line": ("L1", "L2", "L3"), "neutral": ("N",), "earth": ("PE",)}[side]
    kinds = ("lead", "tooth") if side == "line" else ("lead",)
    names = [f"{kind}.{function}.{way.name}" for function in functions for kind in kinds]
    found = [plan.conductor(name) for name in names]
    return tuple(each for each in found if each is not None)


@topic
def _own_device_link(book: Book, way: Way) -> Step:
    of, value = way.name, key_of(way.leads, "through_own_device_m")
    step_id, title = "spd-own-device-link", "Link through an own device"
    if value == CHOOSE and way.own_protection in (NONE, "internal"):
        words = f"own_protection: {'none' if way.own_protection == NONE else 'internal'}"
        return book.constant(
            step_id,
            of,
            title,
            "l_d",
            0.0,
            "m",
            f"{words}: no device of its own stands ahead",
            (way.own_protection,),
        )
    return book.fact(
        step_id,
        of,
        title,
        "l_d",
        Absent(UNKNOWN.value, place_of(value)) if value == CHOOSE else value,
        "m",
        ask=f"measure the link through the device ahead of {of}; 0 if there is none",
    )


@topic
def effective_protection_level(book: Book, way: Way) -> None:
    """Protection level with the drop along the leads, by the rule of thumb."""
    of = way.name
    level = book.fact(
        "protection-level",
        of,
        f"Voltage protection level of {of}, without leads",
        "U_p",
        way.protection_level_kv,
        "kV",
        ask=f"read the protection level on {of}",
    )
    drop = book.look_up(
        "lead-drop",
        of,
        "Voltage along each metre of lead, rule of thumb",
        "d",
        spd_limit("lead-drop-kv-per-m"),
        "kV/m",
    )
    book.later(
        "effective-protection-level",
        of,
        "Protection level at the terminals of the board, leads included",
        surge_leads.EFFECTIVE_PROTECTION_LEVEL,
        {"U_p": level, "d": drop, "l": book.read("spd-lead-length", of)},
    )
