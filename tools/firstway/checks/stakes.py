"""Checks: what is at stake where a rule is not met, so that what decides is said first.

Within one verdict findings stand in this order, because in this order waiting costs most: a shock
comes without warning, a fire within hours, an overloaded supply stops others, a surge spoils
equipment, and the rest is a matter of use, order and paper.
"""

from typing import Literal

Stake = Literal["shock", "fire", "supply", "equipment", "use"]
STAKE_WORDS: dict[Stake, str] = {
    "shock": "what can shock someone",
    "fire": "what can burn or burst",
    "supply": "what the supply and its owner bear",
    "equipment": "what harms equipment",
    "use": "what is a matter of use, order and paper",
}
REASON = "a shock comes without warning, a fire within hours; the rest can be put right in time"
# Within each, the gravest first; each rule stands once.
RULES_AT_STAKE: dict[Stake, str] = {
    "shock": (
        """
        line-on-earth line-and-neutral-crossed means-of-earthing earth-bar-joined
        detached-board-earth detached-bonding detached-feed-bonding nec-detached-electrode
        protective-path circuit-without-protective-conductor fault-opens-in-time
        enclosure-earthed class-two-kept voltage-operated-breaker nec-grounding-conductor
        nec-neutral-not-bonded nec-rod disconnection-time loop-impedance reading-against-limit
        residual-current-at-the-point additional-protection-delay residual-type
        type-ac-ahead type-b-not-blinded nec-personnel-protection nec-gfci open-pen-outdoors
        open-pen-senses open-pen-standard open-pen-not-bypassed line-neutral-watch
        measuring-electrode separated-supply sockets-additional-protection rods-depth
        rods-spacing nec-wet-place separate-earths two-earths-joined two-earths-in-contact
        electrode-resistance protective-conductor protective-conductor-least
        source-leaves-network source-earthing-alone source-isolation source-label
        source-residual-type other-sources live-with-switch-open main-switch-poles
        line-and-neutral-open nec-opens-ungrounded supply-at-load-end
        neutral-and-earth-apart neutral-through-device borrowed-neutral live-conductors-complete
        lines-crossed built-in-residual devices-to-be-had direct-current-adds-up neutral-needed
        fuse-in-neutral colours-of-the-rules feed-from-agrees supply-loop-declared
        supply-voltages-agree supply-voltage supply-figures-agree spare-ways-blanked pillar-guarded
        nec-openings-closed outdoor-enclosure cable-in-wall armour-earthed
        enclosure-ip nec-enclosure-type cable-for-the-route cable-depth nec-cover-depth
        colour-tells-function network-earth-as-pme earthing-conductor-size
        electrode-lead-size nec-electrode-conductor main-bonding-size rods-below-ground
        surge-connection supply-loops-agree reading-differs data-pair-insulation
        figure-plausible"""
    ),
    "fire": (
        """
        device-standard circuit-without-device line-without-device breaking-capacity
        nec-interrupting-rating fault-survived short-circuit-opens tails-capacity
        assembly-fault-rating
        capacity nec-service-conductor nec-corrected-ampacity
        nec-device-protects-conductor nec-continuous-load-conductor
        nec-continuous-load-device design-current size-as-stated conductor-seated
        conductors-per-terminal spare-way-for-feed terminal-range main-switch-rating
        bar-style bar-pitch bar-screws terminal-temperature standard-rating standard-size
        flat-twin-pair
        pole-loss device-modules line-bar-teeth opening-clearance opening-fill
        wire-bending-space
        bar-rating assembly-rating board-with-sources nec-panel-rating rated-diversity
        plug-connected
        plain-socket lead-size lead-length nec-lead-length surge-varistor-voltage
        surge-continuous-voltage nec-surge-continuous-voltage nec-surge-backup surge-backup
        surge-short-circuit-rating surge-impulse-current nec-surge-fault-rating surge-state
        enclosure-material cupboard-fire later-point-room
        assembly-standard assembly-scope devices-declared nec-panel-listed
        nec-main-agrees nec-listed device-direction
        rewirable-fuses tails-metal supply-end device-when-warm board-in-sun place-temperature
        place-altitude nec-nm-cable surge-earth-lead-size
        nec-surge-lead-size surge-live-lead-size one-opening next-rating-up torque-stated
        nec-terminal-torque ferrules enclosure-heat"""
    ),
    "supply": (
        """
        service-capacity nec-service-load demand-basis point-lines-agree nec-feeds-back
        nec-other-source
        limiter-leaves-nothing limiter-below-service limiter-sensor limiter-fails-safe
        shared-limit-fails-safe shared-limit-counts shared-limit-leaves-each line-order-turns
        limiter-documented nec-load-management setting-locked looped-supply shared-mains meter-box
        tails-length isolator-ahead nec-emergency-disconnect demand-near-rating
        network-notice"""
    ),
    "equipment": (
        """
        surge-leads-swapped surge-joined surge-ahead-of-residual surge-path-through-residual
        nec-surge-path surge-nominal-current nec-surge-protection-level
        surge-protection-level surge-type surge-leads nec-surge-leads surge-lead-laid
        surge-fitted surge-device-place surge-devices-agree source-surge nec-surge-protection surge-distance detached-surge
        voltage-drop nec-voltage-drop"""
    ),
    "use": (
        """
        own-circuit nec-own-circuit nec-disconnect residual-selective selective-with-ahead
        modules-fit parts-fit labels-there reading-day board-outdoors old-colours-meet-new
        surge-first-way"""
    ),
}
STAKES: dict[str, Stake] = {
    rule: stake for stake, named in RULES_AT_STAKE.items() for rule in named.split()
}
_RANKS = {rule: place for place, rule in enumerate(STAKES, 1)}


def stake_of(rule_id: str) -> Stake:
    """What is at stake; a rule not listed counts among the gravest, so that nothing is buried."""
    return STAKES.get(rule_id, "shock")


def rank(rule_id: str) -> int:
    """Smaller comes first."""
    return _RANKS.get(rule_id, 0)
