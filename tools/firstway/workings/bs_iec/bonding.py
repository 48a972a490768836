"""Workings: bonding at a board in another building: its least size, and what the feed's protective
conductor is worth as a bonding conductor.
"""

from firstway.calculations import earthing
from firstway.model.values import is_known, key_of
from firstway.tables import looking_up as tables
from firstway.tables.reading import rule_limit
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


@topic
def bonding_at_the_board(book: Book) -> None:
    """Nothing where the board hangs in the building of the supply, or no metal asks for it."""
    installation = book.installation
    if not installation.board_is_detached or installation.board.extraneous_parts is False:
        return
    supply = installation.supply
    joined = installation.board.joined_to_house is True
    if installation.electrode_of_board is not None and not joined:
        _half_of_earthing_conductor(book)
        return
    if not is_known(installation.board.earthed_by):
        return
    if supply.system == "TN-C-S" and installation.rules == "bs7671":
        _by_the_neutral(book)
    else:
        _half_of_earthing_conductor(book)
    if installation.electrode_of_board is None:
        _feed_as_bonding(book)


_LEAST = "Smallest bonding conductor at the detached board"


@topic
def _by_the_neutral(book: Book) -> None:
    """Table 54.8: a broken PEN drives the neutral current of the supply through bonded metal."""
    neutral = book.installation.supply.neutral_csa_mm2
    if not is_known(neutral):
        book.not_known(
            "bonding-least",
            "board",
            _LEAST,
            "S_b",
            "mm2",
            "look-up",
            (neutral,),
            "ask the distributor for the size of the supply's neutral",
        )
        return
    book.look_up(
        "bonding-least",
        "board",
        _LEAST,
        "S_b",
        tables.main_bonding_mm2(float(neutral)),
        "mm2",
        (neutral,),
        places=0,
        note="as if the metal entered the building of the supply: a broken PEN asks the same of it",
    )


@topic
def _half_of_earthing_conductor(book: Book) -> None:
    own = book.installation.electrode_of_board
    lead = own.lead if own is not None else book.installation.supply.earthing_conductor
    least, most = (
        book.look_up(
            f"bonding-{which}-of-all",
            "board",
            f"{title} size of main bonding, in copper",
            symbol,
            rule_limit("bs7671", f"main-bonding-{which}-mm2"),
            "mm2",
            places=0,
        )
        for which, title, symbol in (
            ("least", "Least", "S_min"),
            ("most", "Largest asked", "S_max"),
        )
    )
    book.formula(
        "bonding-least",
        "board",
        _LEAST,
        earthing.BONDING_FROM_EARTHING,
        {
            "S_e": book.fact(
                "earthing-conductor-size",
                "board",
                "Earthing conductor of the board"
                if own is not None
                else "Earthing conductor of the supply",
                "S_e",
                key_of(lead, "csa_mm2"),
                "mm2",
                ask="look at the earthing conductor, and write its size",
                places=1,
            ),
            "S_min": least,
            "S_max": most,
        },
        places=1,
    )


@topic
def _feed_as_bonding(book: Book) -> None:
    """The feed's protective conductor joins what is bonded there to the main earthing terminal."""
    cable = key_of(book.installation.feed, "cable")
    title = "The feed's protective conductor as a bonding conductor, in copper"
    if key_of(cable, "protective") == "armour":
        rho = book.look_up(
            "copper-resistivity",
            "feed",
            "Resistivity of copper at 20 °C",
            "rho",
            tables.copper_resistivity_20c(),
            "ohm.mm2/m",
            places=6,
        )
        book.formula(
            "copper-equivalent",
            "feed",
            title,
            earthing.COPPER_EQUIVALENT,
            {"rho": rho, "r": book.read("protective-resistance", "feed")},
            places=1,
        )
        return
    size: Step = book.read("protective-conductor-size", "feed")
    book.repeat(size, "copper-equivalent", "feed", title, symbol="S_Cu")
