"""Drawing: boxes on the paper, and whether they meet."""

Bounds = tuple[float, float, float, float]  # left, top, right, bottom


def meets(first: Bounds, second: Bounds) -> bool:
    """Whether two boxes share room; edges that touch do not."""
    return (
        first[0] < second[2]
        and second[0] < first[2]
        and first[1] < second[3]
        and second[1] < first[3]
    )
