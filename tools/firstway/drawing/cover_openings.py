"""Drawing: through what openings of the cover devices are reached, for every view that shows it."""

from firstway.layout.plan import Parts, Solid


def openings_of_cover(parts: Parts) -> tuple[Solid, ...]:
    """The openings in mm, as bodies of the plan. Over a rail it is one window for the whole row,
    whose free rest blanks close. Over a bus with tabs each device stands in an opening of its own,
    twisted out where it is and nowhere else: what lies between, the live bus too, stays covered
    (common practice).
    """
    if parts.rail is not None:
        return (parts.cover.window,)
    return tuple(each.nose for each in parts.devices if each.kind != "blank")
