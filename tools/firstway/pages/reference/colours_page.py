"""Pages: old meets new: what the colours of conductors mean, by age and rule set, and what they
never prove.
"""

from collections.abc import Sequence

from firstway.choosing.completing import Completed
from firstway.drawing.colour_legend import AGE_WORDS, colour_legend, colour_rows
from firstway.drawing.old_meets_new import existing_in_earlier_colours, old_meets_new
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.project import told_of
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.html import Markup, caution_fold_html, table_html

_PATH = "colours.md"
_TEXT = """\
# Colours: old meets new

For whoever joins a new board to an installation that is older than the cable in the new roll.
{{ .for }}

{caution}

{legend}

## What changed its meaning {{#changed}}

- **Black** was the neutral in the earlier colours. In the harmonised ones it is line L2; in NEC
  work it is commonly a line.
- **Blue** was line L3 in an earlier three-phase installation. In the harmonised colours it is the
  neutral.
- **Red** was a line in the earlier colours. In NEC work it is commonly the second line; the
  harmonised colours have no red.
- **Green-and-yellow** is the protective conductor in the earlier colours and the harmonised ones,
  and is used for nothing else (BS 7671 514, from memory). In a still older installation it may be
  plain green (from memory).
- **White** or grey is the grounded conductor of NEC work (200.6, from memory); in the harmonised
  colours grey is line L3.
- **Green**, with or without yellow, or bare: the equipment grounding conductor of NEC work
  (250.119, from memory).

## Where old meets new {{#interface}}

{joints}

1. A colour tells what somebody meant, and when. It proves nothing: a blue core may be a line or a
   neutral, a black one too.
2. Isolate, lock off and prove dead before a core is touched. Then identify each conductor by test,
   at both ends, and not by its colour.
3. Mark every conductor where old and new colours meet, on both sides of the joint: L1, L2, L3, N.
   Letters outlast a guess.
4. Sleeve a bare protective conductor green-and-yellow, and never oversleeve a green-and-yellow core
   to make a line of it.
5. With three phases, test the phase sequence as well: a line that carries the other colour is
   easily taken for its neighbour.
6. Tell the next person: write on the chart of the board that the installation holds two sets of
   colours.

A warning notice for mixed colours (514.14.1) was required in editions of BS 7671 before 2022.
Whether the current book still asks for one was not confirmed: look it up before you leave it out.
Marking the conductors at the interface always helps.

## Where the colours come from {{#sources}}

{rows}
"""


def has_earlier_colours(job: Completed) -> bool:
    """Whether its drawing of old meets new can be made."""
    return existing_in_earlier_colours(job) is not None


def colours_page(jobs: Sequence[Completed] = ()) -> PageSheet:
    """The legend, an old installation beside the new work where a job has one, what it warns of,
    and the rows it was drawn from.
    """
    earlier = told_of(jobs, "earlier", has_earlier_colours)
    job = jobs[earlier.index(True)] if True in earlier else None
    drawn = job and old_meets_new(job, f"{job.installation.name}-old-meets-new")
    rows = [
        (
            AGE_WORDS[row.text("age")],
            {"1": "one phase", "3": "three phases"}[row.text("lines")],
            row.text("function"),
            row.text("colour"),
            row.edition,
            row.standing,
        )
        for row in colour_rows()
    ]
    parts = {
        "caution": caution_fold_html(),
        "legend": picture_html(colour_legend()),
        "joints": picture_html(drawn) if drawn else Markup(),
        "rows": table_html(
            ("set", "lines", "function", "colour", "edition", "standing"),
            rows,
            "Conductor colours, as the drawings read them",
        ),
    }
    text = _TEXT.format(
        caution=part_mark("caution"),
        legend=part_mark("legend"),
        joints=part_mark("joints"),
        rows=part_mark("rows"),
    )
    return PageSheet(
        _PATH,
        "Colours: old meets new",
        text,
        parts,
        "Harmonised, earlier UK and NEC colours of conductors side by side, and what a colour never"
        " proves.",
    )
