"""Workings: the connecting leads of a surge protective device."""

from __future__ import annotations

from firstway.calculations import surge_leads
from firstway.model.installation import Way
from firstway.model.values import is_known
from firstway.tables.looking_up import spd_limit
from firstway.workings.book import Book


def lead_length(book: Book, way: Way) -> None:
    """Line side and earth side together; CT2: the longer path to earth."""
    of, path = way.name, f"board.ways.{way.name}.leads"
    leads = way.leads
    title = "Connecting leads of the surge protective device, both sides together"
    if not is_known(leads):
        book.not_known("spd-lead-length", of, title, "l", "m", "formula", (path,), f"measure the leads of {of}, line side and earth side")
        return
    live, name = _live_lead(way)
    line = book.fact("spd-live-lead", of, f"Lead on the {name} side", "l_L", live.length_m if is_known(live) else live, "m",
                     f"{path}.{name}.length_m", ask=f"measure the {name} lead of {of}")
    earth = book.fact("spd-earth-lead", of, "Lead on the earth side", "l_PE", leads.earth.length_m if is_known(leads.earth) else leads.earth,
                      "m", f"{path}.earth.length_m", ask=f"measure the earth lead of {of}")
    own = book.fact("spd-own-device-link", of, "Link through an own device", "l_d", leads.through_own_device_m, "m",
                    f"{path}.through_own_device_m", ask=f"measure the link through the device ahead of {of}; 0 if there is none")
    book.formula("spd-lead-length", of, title, surge_leads.LEAD_LENGTH, {"l_L": line, "l_PE": earth, "l_d": own})


def effective_protection_level(book: Book, way: Way) -> None:
    """Protection level with the drop along the leads, by the rule of thumb."""
    of = way.name
    level = book.fact("protection-level", of, f"Voltage protection level of {of}, without leads", "U_p", way.protection_level_kv, "kV",
                      f"board.ways.{of}.protection_level_kv", ask=f"read the protection level on {of}")
    drop = book.look_up("lead-drop", of, "Voltage along each metre of lead, rule of thumb", "d", spd_limit("lead-drop-kv-per-m"), "kV/m", ())
    book.formula("effective-protection-level", of, "Protection level at the terminals of the board, leads included", surge_leads.EFFECTIVE_PROTECTION_LEVEL,
                 {"U_p": level, "d": drop, "l": book.read("spd-lead-length", of)})


def _live_lead(way: Way):  # type: ignore[no-untyped-def]
    leads = way.leads
    line, neutral = leads.line, leads.neutral
    if way.connection == "CT2" and is_known(neutral) and is_known(line) and is_known(neutral.length_m) \
            and is_known(line.length_m) and neutral.length_m > line.length_m:
        return neutral, "neutral"
    return line, "line"
