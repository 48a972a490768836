"""The plan of a board in another building: bonding and electrode of it are laid too."""

from pathlib import Path

import pytest
from lying import faults_of, overlaps_of

from firstway.choosing.completing import completed
from firstway.model.reading import installation_from_yaml

FOLDER = Path(__file__).parents[1] / "checks" / "detached"


@pytest.mark.parametrize("name", sorted(path.stem for path in FOLDER.glob("*.yaml")))
def test_plan_of_a_detached_board__lies_as_it_may(name: str) -> None:
    text = (FOLDER / f"{name}.yaml").read_text("utf-8")
    installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None and not problems, problems
    done, problems = completed(installation)
    assert done is not None and not problems, problems
    plan, wiring = done.case.layout, done.case.wiring
    assert "bonding.board" in plan.by_id
    assert faults_of(plan, wiring) == [] and overlaps_of(plan, wiring) == []
