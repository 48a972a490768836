"""Tries the rules on demand, board, surge, residual devices, earths, cables and terminals: pass, fail, not known.

Each trial is a sound installation of `diagrams` with a few words changed. The verdict expected is the one
the source named in the rule's own RULE asks for; where a figure decides, its source stands beside the trial.
A rule that must never pass, or never fail, is tried for that as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

import start
from firstway.checks.case import Case, case_of
from firstway.checks.finding import LEVELS, Finding
from firstway.checks.rule import CONFIRM
from firstway.checks.running import findings_of, rules
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.workings.step import Step, Workings

DIAGRAMS = start.ROOT / "diagrams"
# Sizes given, so that a trial need not choose them.
SIZES = {
    "marram": (("csa_mm2: choose", "csa_mm2: 6"), ("cpc_mm2: choose", "cpc_mm2: 6")),
    "sedge": (("rating_a: choose", "rating_a: 40"), ("csa_mm2: choose", "csa_mm2: 10"), ("cpc_mm2: choose", "cpc_mm2: 4")),
    "tern": (("csa_mm2: choose", "csa_mm2: 10"), ("cpc_mm2: choose", "cpc_mm2: 10")),
    "sallow": (("csa_mm2: choose", "csa_mm2: 10"), ("cpc_mm2: choose", "cpc_mm2: 10")),
    "quince": (),
}
IEC = (("rules: bs7671 ", "rules: iec60364 "), ("edition: 2018+A4:2026", "edition: 2018"))
IEC_SALLOW = (("rules: bs7671\n", "rules: iec60364\n"), ("edition: 2018+A4:2026", "edition: 2018"))


@dataclass(frozen=True)
class Trial:
    rule: str
    level: str
    of: str
    changes: tuple[tuple[str, str], ...] = ()
    steps: tuple[tuple[str, str, float | None], ...] = ()
    place: str = ""

    def __str__(self) -> str:
        words = ", ".join(new.strip().splitlines()[0][:30] if new.strip() else f"no {old[:20]}" for old, new in self.changes)
        return f"{self.rule}: {self.level} {self.of} {words}".strip()


def trial(rule: str, level: str, of: str, *changes: tuple[str, str], steps: tuple[tuple[str, str, float | None], ...] = (), place: str = "") -> Trial:
    return Trial(rule, level, of, changes, steps, place)


@cache
def text_of(name: str) -> str:
    return changed((DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8"), SIZES[name])


def changed(text: str, changes: tuple[tuple[str, str], ...]) -> str:
    for old, new in changes:
        assert old in text, f"nothing to change: {old!r}"
        text = text.replace(old, new)
    return text


def installation_of(text: str, name: str) -> Installation:
    installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None and not problems, [str(problem) for problem in problems]
    return installation


@cache
def case_with(of: str, changes: tuple[tuple[str, str], ...] = (), steps: tuple[tuple[str, str, float | None], ...] = ()) -> Case:
    case = case_of(installation_of(changed(text_of(of), changes), of))
    if not steps:
        return case
    given = {(step_id, about): value for step_id, about, value in steps}
    kept = [step for step in case.workings if (step.id, step.of) not in given]
    extra = [Step(step_id, about, "", "", value, "", "fact", (), "given in the trial", "", ask="" if value is not None else "ask")
             for (step_id, about), value in given.items()]
    return Case(case.installation, workings=Workings.of_steps([*kept, *extra]), wiring=case.wiring)


def found_by(rule: str, case: Case) -> list[Finding]:
    return [finding for finding in findings_of(case) if finding.id == rule]


U = "unknown"
DEMAND = "maximum_demand_a: 41"
WAY = "name: F2, device: rcbo"
TRIALS = [
    # Demand and limiter. BS 7671 132.16; four fifths, signal and sensor: common practice.
    trial("service-capacity", "pass", "marram"),
    trial("service-capacity", "fail", "marram", ("documented: true", "documented: false"), (DEMAND, "maximum_demand_a: 60"), place="supply"),
    trial("service-capacity", U, "marram", (DEMAND, "maximum_demand_a: unknown")),
    trial("service-capacity", U, "marram", ("rating_a: 80}  ", "rating_a: unknown}  ")),
    trial("service-capacity", U, "marram", ("known_by: {", "known_by: {existing_load: assumed, "), ("limit_a: 70", "limit_a: 79")),
    trial("demand-near-rating", "advice", "marram"),
    trial("demand-near-rating", "pass", "marram", ("maximum_demand_a: 41, at_once_a: 30", "maximum_demand_a: 20, at_once_a: 9")),
    trial("demand-near-rating", U, "marram", (DEMAND, "maximum_demand_a: unknown")),
    trial("limiter-documented", "pass", "marram"),
    trial("limiter-documented", "advice", "marram", ("documented: true", "documented: false")),
    trial("limiter-documented", U, "marram", ("documented: true", "documented: unknown")),
    trial("limiter-documented", U, "marram", ("known_by: {", "known_by: {load_limiter: assumed, ")),
    trial("limiter-fails-safe", "pass", "marram"),
    trial("limiter-fails-safe", "pass", "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: 16")),
    trial("limiter-fails-safe", "advice", "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: 32"), (DEMAND, "maximum_demand_a: 60")),
    trial("limiter-fails-safe", U, "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: unknown")),
    trial("limiter-fails-safe", U, "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: 16"), (DEMAND, "maximum_demand_a: unknown")),
    trial("limiter-sensor", "pass", "marram"),
    trial("limiter-sensor", "pass", "sallow"),
    trial("limiter-sensor", "advice", "marram", ("place: before-split", "place: after-split")),
    trial("limiter-sensor", "advice", "marram", ("arrow: to-load", "arrow: to-supply")),
    trial("limiter-sensor", "advice", "sallow", ("senses: {lines: [L1, L2, L3]", "senses: {lines: [L1, L2]")),
    trial("limiter-sensor", U, "marram", ("arrow: to-load", "arrow: unknown")),
    trial("limiter-below-service", "pass", "marram"),
    trial("limiter-below-service", "advice", "marram", ("limit_a: 70", "limit_a: 90")),
    trial("limiter-below-service", U, "marram", ("limit_a: 70", "limit_a: unknown")),
    trial("setting-locked", "pass", "marram"),
    trial("setting-locked", "advice", "quince", place="post-1"),
    trial("setting-locked", U, "marram", ("setting_locked: true", "setting_locked: unknown")),
    trial("own-circuit", "pass", "sallow"),
    trial("own-circuit", "fail", "marram", ("supplies: [post-1]", "supplies: [post-1, post-2]"), ("documented: true", "documented: false"),
          ("charging_points:\n", "charging_points:\n  - {name: post-2, current_a: 6, lines: [L1], location: outdoors, earthed_by: supply}\n")),
    trial("own-circuit", U, "marram", ("supplies: [post-1]", "supplies: [post-1, post-2]"),
          ("charging_points:\n", "charging_points:\n  - {name: post-2, current_a: 6, lines: [L1], location: outdoors, earthed_by: supply}\n")),

    # The board. BS 7671 536.4.202: one of the ways suffices, diversity alone does not.
    trial("assembly-rating", "pass", "marram"),
    trial("assembly-rating", "pass", "marram", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 40")),
    trial("assembly-rating", "fail", "sallow", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 63"), place="board"),
    trial("assembly-rating", "advice", "sallow", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 63"), ("limit_a: 80", "limit_a: 60")),
    trial("assembly-rating", U, "marram", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: unknown")),
    trial("assembly-rating", U, "marram", ("known_by: {", "known_by: {board.assembly: assumed, ")),
    trial("main-switch-rating", "pass", "marram", place="Q1"),
    trial("main-switch-rating", "fail", "sallow", ("switched_poles: 4, rating_a: 100", "switched_poles: 4, rating_a: 63"), place="Q1"),
    trial("main-switch-rating", U, "marram", ("switched_poles: 2, rating_a: 80", "switched_poles: 2, rating_a: unknown")),
    trial("bar-rating", "pass", "sedge"),
    trial("bar-rating", "fail", "sallow", ("style: fork, rating_a: 100", "style: fork, rating_a: 63")),
    trial("bar-rating", U, "sedge", ("style: pin, rating_a: 63", "style: pin, rating_a: unknown")),
    trial("main-switch-poles", "pass", "marram", place="Q1"),
    trial("main-switch-poles", "pass", "sallow"),
    trial("main-switch-poles", "fail", "marram", ("standard: IEC 60947-3, switched_poles: 2", "standard: IEC 60947-3, switched_poles: 1"), place="Q1"),
    trial("main-switch-poles", "advice", "marram", ("standard: IEC 60947-3, switched_poles: 2", "standard: IEC 60947-3, switched_poles: 1"), ("ordinary-persons", "skilled-persons")),
    trial("main-switch-poles", "advice", "sallow", ("standard: IEC 60947-3, switched_poles: 4", "standard: IEC 60947-3, switched_poles: 3")),
    trial("main-switch-poles", U, "marram", ("standard: IEC 60947-3, switched_poles: 2", "standard: IEC 60947-3, switched_poles: unknown")),
    # BS 7671 421.1.201: household premises; outdoors the designer justifies.
    trial("enclosure-material", "pass", "sedge"),
    trial("enclosure-material", "fail", "sedge", ("enclosure: {material: steel, width", "enclosure: {material: plastic, width")),
    trial("enclosure-material", U, "sedge", ("enclosure: {material: steel, width", "enclosure: {material: plastic, width"), ("location: indoors", "location: outdoors")),
    trial("enclosure-material", U, "sedge", ("enclosure: {material: steel, width", "enclosure: {material: unknown, width")),
    trial("enclosure-material", U, "sedge", ("enclosure: {material: steel, width", "enclosure: {material: aluminium, width")),
    trial("enclosure-material", "advice", "marram", ("enclosure: {material: steel, width", "enclosure: {material: plastic, width")),
    # National foreword of BS EN 60670-24: one phase, at most 100 A, ordinary persons.
    trial("assembly-standard", "pass", "marram"),
    trial("assembly-standard", "fail", "marram", ("standard: BS EN 61439-3", "standard: BS EN 60670-24")),
    trial("assembly-standard", U, "sallow", ("standard: BS EN 61439-3", "standard: BS EN 60670-24")),
    trial("assembly-standard", U, "quince"),
    # IEC 61439-3, scope: 250 A and 125 A.
    trial("assembly-scope", "pass", "marram"),
    trial("assembly-scope", "fail", "marram", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 400")),
    trial("assembly-scope", "fail", "marram", ("rating_a: 40, curve: B", "rating_a: 160, curve: B"), place="F2"),
    trial("assembly-scope", U, "marram", ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: unknown")),
    trial("devices-declared", "pass", "marram"),
    trial("devices-declared", "fail", "marram", ("devices_declared: true", "devices_declared: false")),
    trial("devices-declared", U, "quince"),
    trial("spare-ways-blanked", "pass", "marram"),
    trial("spare-ways-blanked", "fail", "marram", ("spare_ways_blanked: true", "spare_ways_blanked: false")),
    trial("spare-ways-blanked", U, "marram", ("spare_ways_blanked: true", "spare_ways_blanked: unknown")),
    trial("modules-fit", "pass", "marram"),
    trial("modules-fit", "fail", "marram", ("modules: 10, ip", "modules: 9, ip")),
    trial("modules-fit", U, "marram", ("modules: 10, ip", "modules: unknown, ip")),
    # In x RDF not below Ib; a 40 A device at 0.8 leaves exactly 32 A.
    trial("rated-diversity", "pass", "sallow"),
    trial("rated-diversity", "fail", "sallow", ("rated_diversity_factor: 0.8", "rated_diversity_factor: 0.7"), place="F2"),
    trial("rated-diversity", "advice", "marram", ("rated_diversity_factor: 1.0", "rated_diversity_factor: 0.7")),
    trial("rated-diversity", U, "quince"),
    trial("next-rating-up", "pass", "marram"),
    trial("next-rating-up", "advice", "marram", ("rating_a: 40, curve: B", "rating_a: 32, curve: B")),
    trial("next-rating-up", U, "marram", ("rating_a: 40, curve: B", "rating_a: unknown, curve: B")),
    trial("selective-with-ahead", U, "marram"),
    trial("selective-with-ahead", "advice", "sedge", ("standard: BS 88-3, rating_a: 63", "standard: BS 88-3, rating_a: 40")),

    # The surge protective device. BS 7671 443 and 534; IEC 60364-7-722 722.443.4 for public points.
    trial("surge-fitted", "pass", "marram"),
    trial("surge-fitted", U, "marram", ("{name: F1, device: spd, modules: 2", "{name: F1, device: blank, modules: 2")),
    trial("surge-fitted", "fail", "marram", *IEC, ("public: false", "public: true"), ("{name: F1, device: spd, modules: 2", "{name: F1, device: blank, modules: 2")),
    trial("surge-fitted", U, "marram", *IEC, ("public: false", "public: unknown"), ("{name: F1, device: spd, modules: 2", "{name: F1, device: blank, modules: 2")),
    trial("surge-type", "pass", "marram", place="F1"),
    trial("surge-type", U, "marram", ("lightning_protection: false", "lightning_protection: true")),
    trial("surge-type", "fail", "marram", ("lightning_protection: false", "lightning_protection: true"), ("from: connector-block ", "from: new-service ")),
    trial("surge-type", "pass", "marram", ("lightning_protection: false", "lightning_protection: true"), ("type: 2, connection", "type: 1, connection")),
    trial("surge-type", "advice", "marram", ("type: 2, connection", "type: 3, connection")),
    trial("surge-type", U, "marram", ("lightning_protection: false", "lightning_protection: unknown")),
    trial("surge-backup", "pass", "marram"),
    trial("surge-backup", "pass", "marram", ("own_protection: none", "own_protection: internal"), ("backup_fuse_max_a: 125", "backup_fuse_max_a: undeclared")),
    trial("surge-backup", "fail", "marram", ("backup_fuse_max_a: 125", "backup_fuse_max_a: 63"), place="F1"),
    trial("surge-backup", U, "marram", ("backup_fuse_max_a: 125", "backup_fuse_max_a: undeclared")),
    trial("surge-backup", U, "marram", ("own_protection: none", "own_protection: external")),
    trial("surge-backup", U, "marram", ("service_device: {device: fuse", "service_device: {device: circuit-breaker")),
    trial("surge-short-circuit-rating", "pass", "marram"),
    trial("surge-short-circuit-rating", "fail", "marram", ("short_circuit_rating_ka: 25", "short_circuit_rating_ka: 0.5")),
    trial("surge-short-circuit-rating", U, "marram", ("short_circuit_rating_ka: 25", "short_circuit_rating_ka: undeclared")),
    # 1.1 x 230 V = 253 V; between neutral and earth 230 V (Table 534.2, from memory).
    trial("surge-continuous-voltage", "pass", "marram", ("continuous_voltage_v: 275", "continuous_voltage_v: 253")),
    trial("surge-continuous-voltage", "fail", "marram", ("continuous_voltage_v: 275", "continuous_voltage_v: 240")),
    trial("surge-continuous-voltage", "fail", "tern", ("continuous_voltage_v: 255", "continuous_voltage_v: 220")),
    trial("surge-continuous-voltage", U, "marram", ("continuous_voltage_v: 275", "continuous_voltage_v: unknown")),
    # 2.5 kV: category II of IEC 60664-1 at 230/400 V.
    trial("surge-protection-level", "pass", "marram", ("protection_level_kv: 1.3", "protection_level_kv: 2.5")),
    trial("surge-protection-level", "fail", "marram", ("protection_level_kv: 1.3", "protection_level_kv: 2.6")),
    trial("surge-protection-level", U, "marram", ("protection_level_kv: 1.3", "protection_level_kv: unknown")),
    # 10 m: BS 7671 534.4.9.
    trial("surge-distance", "advice", "marram", place="post-1"),
    trial("surge-distance", "pass", "marram", ("method: D1, length_m: 12", "method: D1, length_m: 4")),
    trial("surge-distance", "pass", "marram", ("spd: none", "spd: a type 2 device")),
    trial("surge-distance", U, "marram", steps=(("length", "slipway", None),)),
    trial("surge-state", "pass", "marram"),
    trial("surge-state", "fail", "marram", ("state: healthy", "state: worn"), place="F1"),
    trial("surge-state", U, "marram", ("state: healthy", "state: unknown")),
    trial("surge-live-lead-size", U, "marram"),
    trial("surge-live-lead-size", "advice", "marram", ("neutral: {length_m: 0.15, csa_mm2: 16}", "neutral: {length_m: 0.15, csa_mm2: 1.5}")),

    # Residual current devices. BS 7671 536.4.1.4: type S and three times.
    trial("residual-selective", "pass", "sallow"),
    trial("residual-selective", "advice", "sallow", ("rated_residual_current_ma: 100, delay: S", "rated_residual_current_ma: 30, delay: S")),
    trial("residual-selective", "advice", "quince"),
    trial("residual-selective", U, "sallow", ("rated_residual_current_ma: 100, delay: S", "rated_residual_current_ma: 100, delay: unknown")),
    trial("type-b-not-blinded", "pass", "marram", ("residual_type: A, delay: none, breaking", "residual_type: B, delay: none, breaking")),
    trial("type-b-not-blinded", "advice", "sallow", ("residual_type: A, delay: none", "residual_type: B, delay: none")),
    trial("type-b-not-blinded", "fail", "quince", ("residual_type: A, delay: none", "residual_type: B, delay: none")),
    trial("type-b-not-blinded", U, "sallow", ("residual_type: A, delay: none", "residual_type: B, delay: none"), ("residual_type: A, rated_residual_current_ma: 100", "residual_type: unknown, rated_residual_current_ma: 100")),
    # IEC 62955 detects at 6 mA, a type A device bears 6 mA (IEC 60755).
    trial("direct-current-adds-up", "advice", "sallow", place="feed"),
    trial("direct-current-adds-up", "pass", "sallow", ("residual_type: A, rated_residual_current_ma: 100", "residual_type: B, rated_residual_current_ma: 100")),
    trial("direct-current-adds-up", U, "sallow", ("residual_type: A, rated_residual_current_ma: 100", "residual_type: unknown, rated_residual_current_ma: 100")),
    trial("built-in-residual", "pass", "marram"),
    trial("built-in-residual", "fail", "marram", (WAY, "name: F2, device: circuit-breaker")),
    trial("built-in-residual", U, "marram", (WAY, "name: F2, device: circuit-breaker"), ("built_in_rcd: none", "built_in_rcd: type-a")),
    # BS 7671 530.3.201, 2018+A3:2024.
    trial("device-direction", "pass", "marram"),
    trial("device-direction", "fail", "marram", ("bidirectional: undeclared", "bidirectional: false"), ("built_in_rcd: none, bidirectional: false", "built_in_rcd: none, bidirectional: true")),
    trial("device-direction", "pass", "marram", ("built_in_rcd: none, bidirectional: false", "built_in_rcd: none, bidirectional: true"), ("bidirectional: undeclared", "bidirectional: true")),
    trial("device-direction", U, "marram", ("built_in_rcd: none, bidirectional: false", "built_in_rcd: none, bidirectional: true")),
    trial("device-direction", U, "marram", ("built_in_rcd: none, bidirectional: false", "built_in_rcd: none, bidirectional: undeclared")),
    trial("supply-end", "pass", "quince", place="F1"),
    trial("supply-end", "pass", "marram"),
    trial("supply-end", "fail", "marram", ("supply_end: either", "supply_end: top"), place="F2"),
    trial("supply-end", U, "marram", ("supply_end: either", "supply_end: undeclared")),
    trial("supply-end", U, "marram", ("supply_end: either", "supply_end: top"), ("joins_at: bottom", "joins_at: back")),

    # Earths. BS 7671 722.411.4.1, 411.3.2, Table 41.1: 0.4 s TN, 0.2 s TT; 3.6 m: some operators.
    trial("network-earth-as-pme", "pass", "sedge"),
    trial("network-earth-as-pme", "advice", "sedge", ("open_pen: {measure: device", "open_pen: {measure: none")),
    trial("network-earth-as-pme", U, "sedge", ("open_pen: {measure: device", "open_pen: {measure: unknown")),
    trial("line-neutral-watch", "pass", "marram"),
    trial("line-neutral-watch", "pass", "marram", ("senses: earth-voltage", "senses: line-neutral-voltage")),
    trial("line-neutral-watch", "advice", "sallow", ("system: TT", "system: TN-C-S"), ("measure: none}, distance_to_other_earth_m: 2.1", "measure: device, senses: line-neutral-voltage}, distance_to_other_earth_m: 2.1"),
          ("earthed_by: rods", "earthed_by: supply")),
    trial("line-neutral-watch", "fail", "sallow", ("system: TT", "system: TN-C-S"), ("measure: none}, distance_to_other_earth_m: 2.1", "measure: device, senses: line-neutral-voltage}, distance_to_other_earth_m: 2.1"),
          ("earthed_by: rods", "earthed_by: supply"), ("edition: 2018+A4:2026", "edition: 2018+A1:2020")),
    trial("line-neutral-watch", U, "marram", ("senses: earth-voltage", "senses: unknown")),
    trial("rods-below-ground", U, "quince", place="rod-1"),
    trial("rods-below-ground", "advice", "quince", ("distance_below_ground_m: unknown", "distance_below_ground_m: 2")),
    trial("rods-below-ground", U, "quince", ("distance_below_ground_m: unknown", "distance_below_ground_m: 9")),
    trial("disconnection-time", "pass", "marram", steps=(("disconnection-time", "slipway", 0.1), ("disconnection-time-limit", "slipway", 5))),
    trial("disconnection-time", "advice", "marram", steps=(("disconnection-time", "slipway", 0.5), ("disconnection-time-limit", "slipway", 5))),
    trial("disconnection-time", "fail", "marram", steps=(("disconnection-time", "slipway", 6), ("disconnection-time-limit", "slipway", 5))),
    trial("disconnection-time", "advice", "tern", steps=(("disconnection-time", "shed", 0.3), ("disconnection-time-limit", "shed", 1))),
    trial("disconnection-time", "pass", "tern", steps=(("disconnection-time", "shed", 0.2), ("disconnection-time-limit", "shed", 1))),
    trial("disconnection-time", U, "marram", steps=(("disconnection-time", "slipway", None), ("disconnection-time-limit", "slipway", 5))),
    trial("supply-loops-agree", "pass", "marram"),
    trial("supply-loops-agree", "advice", "marram", ("line_neutral_loop_ohm: 0.28", "line_neutral_loop_ohm: 0.19")),
    trial("supply-loops-agree", U, "marram", ("line_neutral_loop_ohm: 0.28", "line_neutral_loop_ohm: unknown")),
    trial("main-bonding-size", U, "marram", place="boathouse"),
    trial("main-bonding-size", "advice", "quince", place="hall"),  # BS 7671 Table 54.8: 10 mm2 is its smallest row
    trial("main-bonding-size", "advice", "marram", ("main_bonding_mm2: 10", "main_bonding_mm2: none")),
    trial("two-earths-joined", "fail", "marram", ("use: measuring", "use: charging-point"), ("earthed_by: supply,", "earthed_by: rod-1,"), ("armour_earthed: board-end", "armour_earthed: both-ends")),
    trial("two-earths-joined", "pass", "marram", ("use: measuring", "use: charging-point"), ("earthed_by: supply,", "earthed_by: rod-1,")),
    trial("two-earths-joined", U, "marram", ("use: measuring", "use: charging-point"), ("earthed_by: supply,", "earthed_by: rod-1,"), ("armour_earthed: board-end", "armour_earthed: unknown")),

    # The network and the tails. Operators' process: 60 A, 28 days; 3 m: common practice.
    trial("looped-supply", "pass", "marram"),
    trial("looped-supply", "advice", "marram", ("looped: false", "looped: true")),
    trial("looped-supply", U, "quince"),
    trial("network-notice", "advice", "marram"),
    trial("network-notice", "advice", "sedge"),
    trial("network-notice", U, "marram", ("looped: false", "looped: unknown")),
    trial("tails-length", "pass", "marram", place="feed"),
    trial("tails-length", "advice", "marram", ("method: C, length_m: 0.8", "method: C, length_m: 2.8")),
    trial("tails-length", "pass", "sedge", ("method: C, length_m: 2.6", "method: C, length_m: 9")),
    trial("tails-length", U, "marram", ("  route: [{method: C, length_m: 0.6}]\n", "")),
    trial("meter-box", "pass", "marram"),
    trial("meter-box", "fail", "marram", ("meter_box: false", "meter_box: true")),
    trial("meter-box", U, "marram", ("meter_box: false", "meter_box: unknown")),
    trial("isolator-ahead", "pass", "marram"),
    trial("isolator-ahead", "advice", "quince"),
    trial("isolator-ahead", U, "marram", ("isolator: true", "isolator: unknown")),

    # Cables and enclosures. BS 7671 521.5.1, 528.1, 411.3.1.1, 522.6.202 (50 mm); IP44 from memory.
    trial("one-opening", "pass", "marram"),
    trial("one-opening", "fail", "marram", ("one_opening: true", "one_opening: false"), place="board"),
    trial("one-opening", U, "marram", ("one_opening: true", "one_opening: unknown")),
    trial("data-pair-insulation", "pass", "marram"),
    trial("data-pair-insulation", U, "marram", ("data_pair_v: 450", "data_pair_v: 60")),
    trial("data-pair-insulation", U, "marram", ("data_pair_v: 450", "data_pair_v: unknown")),
    trial("data-pair-insulation", U, "sallow", ("data_pair_v: 450", "data_pair_v: 300")),
    trial("armour-earthed", "pass", "marram"),
    trial("armour-earthed", "fail", "marram", ("armour_earthed: board-end", "armour_earthed: neither-end"), place="slipway"),
    trial("armour-earthed", U, "marram", ("armour_earthed: board-end", "armour_earthed: unknown")),
    trial("cable-in-wall", "advice", "quince"),
    trial("cable-in-wall", "pass", "quince", ("depth_in_wall_mm: 30", "depth_in_wall_mm: 50")),
    trial("cable-in-wall", "pass", "marram", ("depth_in_wall_mm: 0", "depth_in_wall_mm: 20")),
    trial("cable-in-wall", "fail", "quince", ("rated_residual_current_ma: 30, residual_type: A", "rated_residual_current_ma: 100, residual_type: A")),
    trial("cable-in-wall", "fail", "quince", ("name: F1, device: rcbo", "name: F1, device: circuit-breaker")),
    trial("cable-in-wall", U, "quince", ("depth_in_wall_mm: 30", "depth_in_wall_mm: unknown")),
    trial("outdoor-enclosure", "pass", "marram"),
    trial("outdoor-enclosure", "advice", "marram", ("ip: IP54", "ip: IP42"), place="post-1"),
    trial("outdoor-enclosure", U, "marram", ("ip: IP54", "ip: IP5X")),
    trial("outdoor-enclosure", U, "marram", ("ip: IP54", "ip: unknown")),
    trial("outdoor-enclosure", U, "marram", ("location: indoors", "location: outdoors"), place="board"),
    trial("board-outdoors", "pass", "marram"),
    trial("board-outdoors", "advice", "marram", ("location: indoors", "location: outdoors")),
    trial("board-outdoors", U, "marram", ("location: indoors", "location: unknown")),
    trial("old-colours-meet-new", "advice", "marram"),
    trial("old-colours-meet-new", "pass", "sedge"),
    trial("old-colours-meet-new", U, "sedge", ("year: 2016, colours: harmonised", "year: 2016, colours: unknown")),

    # Terminals. BS 7671 526: the maker's data decide.
    trial("terminal-range", "pass", "marram"),
    trial("terminal-range", "fail", "marram", ("min_mm2: 6, max_mm2: 35", "min_mm2: 1, max_mm2: 16"), place="Q1.supply.L1"),
    trial("terminal-range", "fail", "marram", ("min_mm2: 1, max_mm2: 16", "min_mm2: 10, max_mm2: 16"), place="F2.load.L1"),
    trial("terminal-range", U, "quince"),
    trial("terminal-range", U, "marram", ("min_mm2: 6, max_mm2: 35", "min_mm2: 6, max_mm2: undeclared"), place="Q1"),
    trial("terminal-range", U, "marram", ("known_by: {", "known_by: {feed.cable.csa_mm2: assumed, ")),
    trial("conductors-per-terminal", "pass", "marram"),
    trial("conductors-per-terminal", "fail", "marram", ("modules: 2, fed_from: bar,      #", "modules: 2, fed_from: supply-side,      #"), place="Q1.supply.L1"),
    trial("conductors-per-terminal", "pass", "marram", ("modules: 2, fed_from: bar,      #", "modules: 2, fed_from: supply-side,      #"), ("max_mm2: 35, conductors: 1", "max_mm2: 35, conductors: 2")),
    trial("conductors-per-terminal", U, "marram", ("modules: 2, fed_from: bar,      #", "modules: 2, fed_from: supply-side,      #"), ("max_mm2: 35, conductors: 1", "max_mm2: 35, conductors: undeclared")),
    trial("ferrules", "advice", "marram"),
    trial("ferrules", U, "quince"),
    trial("torque-stated", "pass", "marram"),
    trial("torque-stated", U, "marram", ("torque_nm: 2.0", "torque_nm: undeclared"), place="F2"),

    # Warmth. IEC 61439-1: -5 C to 40 C, mean over 24 h at most 35 C. The inside of a small board is only estimated.
    trial("place-temperature", "pass", "marram"),
    trial("place-temperature", U, "marram", ("ambient_c: 25, meter_box", "ambient_c: 38, meter_box")),
    trial("place-temperature", U, "marram", ("ambient_c: 25, meter_box", "ambient_c: 45, meter_box")),
    trial("place-temperature", U, "marram", ("ambient_c: 25, meter_box", "ambient_c: -10, meter_box")),
    trial("place-temperature", "pass", "marram", ("ambient_c: 25, meter_box", "ambient_c: -10, meter_box"), ("location: indoors", "location: outdoors")),
    trial("place-temperature", U, "marram", ("ambient_c: 25, meter_box", "ambient_c: unknown, meter_box")),
    trial("device-when-warm", U, "marram", steps=(("device-current-when-warm", "F2", 38.0),)),
    trial("device-when-warm", "advice", "marram", steps=(("device-current-when-warm", "F2", 30.0),)),
    trial("device-when-warm", U, "marram", steps=(("device-current-when-warm", "F2", None),)),
    trial("enclosure-heat", U, "marram"),

    # The same rules under the international rule set.
    trial("service-capacity", "pass", "marram", *IEC),
    trial("rated-diversity", "fail", "sallow", *IEC_SALLOW, ("rated_diversity_factor: 0.8", "rated_diversity_factor: 0.7")),
    trial("terminal-range", "pass", "marram", *IEC),
    trial("residual-selective", "pass", "sallow", *IEC_SALLOW),
]
TRIED = sorted({each.rule for each in TRIALS})
NEVER_PASS = ("selective-with-ahead", "surge-live-lead-size", "rods-below-ground", "main-bonding-size", "network-notice", "ferrules",
              "device-when-warm", "enclosure-heat")


@pytest.mark.parametrize("each", TRIALS, ids=str)
def test_rule(each: Trial) -> None:
    found = found_by(each.rule, case_with(each.of, each.changes, each.steps))
    assert found, "the rule says nothing"
    worst = min((finding.level for finding in found), key=LEVELS.index)
    assert worst == each.level, [(finding.level, finding.message) for finding in found]
    if each.place:
        assert each.place in [finding.place for finding in found if finding.level == each.level]
    for finding in found:
        assert finding.level != "unknown" or finding.message.startswith(("not known: ", "would pass, but "))
        assert len(finding.message) > len("not known: ")


def test_rules__there_are_as_many_as_were_tried() -> None:
    assert len(TRIED) >= 55, len(TRIED)


@pytest.mark.parametrize("rule", TRIED)
def test_rule__has_been_tried_for_what_it_may_say(rule: str) -> None:
    """A pass and something worse of each rule, or a reason in NEVER_PASS; and every rule that may be ignorant is tried for it."""
    levels = {each.level for each in TRIALS if each.rule == rule}
    assert "unknown" in levels, "never tried with something missing"
    assert ("pass" in levels) != (rule in NEVER_PASS)


@pytest.mark.parametrize("rule", TRIED)
def test_rule__file_id_and_docstring_agree(rule: str) -> None:
    module = next(module for module in rules() if module.RULE.id == rule)
    assert Path(module.__file__ or "").stem == rule.replace("-", "_")
    assert "Why:" in (module.__doc__ or "") and module.RULE.source and module.RULE.title
    worst = module.RULE.level
    tried = {each.level for each in TRIALS if each.rule == rule}
    assert min(tried, key=LEVELS.index) == worst, "the level of the RULE is the worst it says"


@pytest.mark.parametrize("name", ["marram", "sedge", "tern"])
def test_sound_installations__give_no_fail_and_no_danger(name: str) -> None:
    bad = [finding for finding in findings_of(case_with(name)) if finding.level in ("fail", "danger")]
    assert not bad, bad


def test_everything_assumed__gives_no_pass_from_a_figure() -> None:
    """Where every section of the file is assumed, no rule tried here compares its way to a pass."""
    sections = ("premises", "supply", "existing_load", "load_limiter", "feed", "board", "circuits", "charging_points", "electrodes", "existing_boards")
    text = text_of("marram")
    start_of = text.index("known_by:")
    text = text[:start_of] + "known_by: {" + ", ".join(f"{section}: assumed" for section in sections) + "}\n"
    case = case_of(installation_of(text, "marram"))
    assert [finding.id for finding in findings_of(case) if finding.level == "pass" and finding.id in TRIED] == []


def test_confirm__the_message_says_where_the_wording_was_not_seen() -> None:
    for finding in findings_of(case_with("marram")):
        rule = next(module.RULE for module in rules() if module.RULE.id == finding.id)
        if rule.confirm and finding.level in ("pass", "fail", "danger"):
            assert CONFIRM in finding.message
