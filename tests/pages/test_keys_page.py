"""The pages *What the file says*: made from the declared keys alone, so what they must hold is read
back from those.
"""

from __future__ import annotations

from collections import Counter

import pytest
from bs4 import BeautifulSoup

from firstway.files.schema import sections_below
from firstway.files.specs import Number, specs_of
from firstway.model.installation import Cable, Way
from firstway.pages.reference.keys_page import key_id, keys_pages, may_stand
from firstway.pages.shared.declared_files import DECLARED_FILES
from firstway.pages.shared.sheet import PageSheet
from firstway.quiz.bank.written import WrittenQuestion

PAGES = dict(zip((each.name for each in DECLARED_FILES), keys_pages(), strict=True))


def parsed(page: PageSheet) -> BeautifulSoup:
    return BeautifulSoup(page.parts["keys"], "html.parser")


@pytest.mark.parametrize("file", DECLARED_FILES, ids=lambda file: str(file.name))
def test_every_key_has_an_anchor_of_its_own_its_help_and_its_example(file: object) -> None:
    soup = parsed(PAGES[file.name])  # type: ignore[attr-defined]  # a DeclaredFile
    assert max(Counter(each["id"] for each in soup.find_all(id=True)).values()) == 1
    for of in sections_below(file.of):  # type: ignore[attr-defined]
        for name, spec in specs_of(of).items():
            shared = issubclass(of, WrittenQuestion) and name in specs_of(WrittenQuestion)
            entry = soup.find(id=key_id(WrittenQuestion if shared else of, name))
            assert entry is not None, name
            text = entry.get_text()
            assert spec.meaning[1:].replace("`", "") in text
            assert not spec.example or f"{name}: {spec.example}" in text
            assert ("required" in text.split("\n")[0]) >= spec.required


@pytest.mark.parametrize("name", PAGES)
def test_every_link_leads_to_a_place_of_the_page(name: str) -> None:
    soup = parsed(PAGES[name])
    ids = {each["id"] for each in soup.find_all(id=True)}
    assert {link["href"].removeprefix("#") for link in soup.find_all("a")} <= ids


def test_figures_and_words_are_those_of_the_declaration() -> None:
    kind = specs_of(Cable)["csa_mm2"].kind
    assert isinstance(kind, Number)
    assert may_stand("csa_mm2", specs_of(Cable)["csa_mm2"]) == (
        f"a number, more than 0, up to {kind.at_most:g} mm²; or <code>choose</code>"
    )
    assert "usually 5 to 3000 mA" in may_stand(
        "rated_residual_current_ma", specs_of(Way)["rated_residual_current_ma"]
    )
