"""What is kept of a finished page: the ids it holds are asked for as of a set."""

from __future__ import annotations

import pytest

from firstway.site.kept_page import IdsOfPage


@pytest.mark.parametrize("ids", [[], ["a"], ["step-length", "step", "b.1:x"], ["ab", "bc"]])
def test_ids_of_page__hold_what_a_set_holds(ids: list[str]) -> None:
    held = IdsOfPage(ids)
    for asked in ("", "a", "b", "step", "step-", "length", "step-length", "b.1:x", "ab", "abbc"):
        assert (asked in held) == (asked in set(ids)), asked
