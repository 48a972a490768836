"""Pages: the charts of a job on a page of their own: for the trainee who asks how near a limit the
job lies.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.job_charts import charts_of, heat_chart
from firstway.pages.shared.markup import inert
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.html import caution_fold_html, html_identity, joined

CHARTS_PAGE = "curves"


def charts_page(completed: Completed) -> PageSheet | None:
    """The page of a job's charts; None where nothing that is known can be drawn."""
    installation = completed.installation
    parts = {"caution": caution_fold_html()}
    text = [
        f"# Curves: {inert(installation.title)}",
        (
            "For the trainee who asks how near to a limit the job lies, what a longer cable would"
            " do, and how fast the board warms. Each line is worked by the formulas of [the"
            " working](index.md#the-working)."
        ),
        part_mark("caution"),
    ]
    for circuit in installation.circuits:
        drawn = charts_of(completed, circuit, f"{installation.name}-{circuit.name}")
        if not drawn:
            continue
        name = html_identity("curves", circuit.name)
        parts[name] = joined(picture_html(each) for each in drawn)
        text += [f"## Circuit {inert(circuit.name)} {{#{name}}}", part_mark(name)]
    heat = heat_chart(completed, f"{installation.name}-heat")
    if heat:
        parts["curves-heat"] = picture_html(heat)
        text += [
            "## The board {#curves-heat}",
            (
                "Illustrative: a band, and no verdict. How warm a small enclosure gets depends on"
                " losses and masses that no file holds; the maker's declaration decides."
            ),
            part_mark("curves-heat"),
        ]
    if len(parts) == 1:
        return None
    return PageSheet(
        f"jobs/{installation.name}/{CHARTS_PAGE}.md",
        f"Curves: {installation.title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"When the devices of {installation.title} open, drop and loop against the length of its"
        " cables, and how fast its board warms.",
    )
