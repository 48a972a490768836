"""Workings: the connecting leads of a surge protective device."""

from __future__ import annotations

from firstway.calculations import surge_leads
from firstway.model.evidence import each
from firstway.model.installation import Lead, Leads, Way
from firstway.model.values import Absent, is_known, key_of
from firstway.tables.looking_up import spd_limit
from firstway.workings.shared.book import Book, topic


@topic
def devices(book: Book) -> None:
    """Leads and effective level of every surge protective device of the board."""
    for way in each(book.installation.board.ways):
        if way.device == "spd":
            lead_length(book, way)
            effective_protection_level(book, way)


@topic
def lead_length(book: Book, way: Way) -> None:
    """Line side and earth side together; CT2: the longer path to earth."""
    of, leads = way.name, way.leads
    title = "Connecting leads of the surge protective device, both sides together"
    if not is_known(leads):
        book.not_known(
            "spd-lead-length",
            of,
            title,
            "l",
            "m",
            "formula",
            (leads,),
            f"measure the leads of {of}, line side and earth side",
        )
        return
    live, name = _live_lead(way, leads)
    line = book.fact(
        "spd-live-lead",
        of,
        f"Lead on the {name} side",
        "l_L",
        key_of(live, "length_m"),
        "m",
        ask=f"measure the {name} lead of {of}",
    )
    earth = book.fact(
        "spd-earth-lead",
        of,
        "Lead on the earth side",
        "l_PE",
        key_of(leads.earth, "length_m"),
        "m",
        ask=f"measure the earth lead of {of}",
    )
    own = book.fact(
        "spd-own-device-link",
        of,
        "Link through an own device",
        "l_d",
        leads.through_own_device_m,
        "m",
        ask=f"measure the link through the device ahead of {of}; 0 if there is none",
    )
    book.formula(
        "spd-lead-length",
        of,
        title,
        surge_leads.LEAD_LENGTH,
        {"l_L": line, "l_PE": earth, "l_d": own},
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
    book.formula(
        "effective-protection-level",
        of,
        "Protection level at the terminals of the board, leads included",
        surge_leads.EFFECTIVE_PROTECTION_LEVEL,
        {"U_p": level, "d": drop, "l": book.read("spd-lead-length", of)},
    )


def _live_lead(way: Way, leads: Leads) -> tuple[Lead | Absent, str]:
    """The lead on the live side: in CT2 the longer one, and the one not known where
    either is not.
    """
    line, neutral = leads.line, leads.neutral
    if way.connection != "CT2":
        return line, "line"
    lengths = {
        name: key_of(lead, "length_m") for name, lead in (("line", line), ("neutral", neutral))
    }
    if is_known(lengths["line"]) and (
        not is_known(lengths["neutral"]) or lengths["neutral"] > lengths["line"]
    ):
        return neutral, "neutral"
    return line, "line"
