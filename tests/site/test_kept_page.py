"""What is kept of a finished page: the ids it holds are asked for as of a set."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from firstway.site.kept_page import IdsOfPage

IDS = st.lists(st.from_regex(r"[a-z0-9.:-]{1,6}", fullmatch=True), max_size=8)


@given(IDS, IDS)
def test_ids_of_page__hold_what_a_set_holds(ids: list[str], asked: list[str]) -> None:
    held = IdsOfPage(ids)
    assert [each in held for each in [*ids, *asked]] == [
        each in set(ids) for each in [*ids, *asked]
    ]
    assert "" not in held
