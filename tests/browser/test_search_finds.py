"""Questions as people ask them, and the page that must be among the first three that the search
shows: `questions.csv`.

Half of the questions are doubts collected from the trade, in our own words; half were written from
the trade before the guide's pages were read. Which page answers best is our own judgement. The
search is asked as a page asks it: its own worker, its own index, from the file system.
"""

from __future__ import annotations

import csv
from pathlib import Path

FIRST = 3
QUESTIONS = Path(__file__).with_name("questions.csv")
ASK = """async ([worker, questions]) => {
  const put = address => new Promise((done, failed) => {
    const script = document.createElement('script');
    Object.assign(script, { src: address, onload: done, onerror: failed });
    document.head.append(script);
  });
  await put('assets/iframe-worker.js');
  await put('search/search_index.js');
  const search = new Worker(worker);
  const tell = data => new Promise(done => {
    search.addEventListener('message', event => done(event.data), { once: true });
    search.postMessage(data);
  });
  await tell({ type: 0, data: { config: __index.config, docs: __index.docs, options: {} } });
  const found = [];
  for (const question of questions) {
    const { data } = await tell({ type: 2, data: question });
    found.push(data.items.map(page => page[0].location.split('#')[0]));
  }
  return found;
}"""


def pages_found(offline_page, site: Path, questions: list[str]) -> list[list[str]]:
    page = offline_page.show(site / "index.html")
    worker = next((site / "assets/javascripts/workers").glob("search*.js"))
    return page.evaluate(ASK, [worker.relative_to(site).as_posix(), questions])


def test_search__sixty_questions_find_their_page_among_the_first_three(
    offline_page, built_site: Path
) -> None:
    rows = list(csv.DictReader(QUESTIONS.read_text(encoding="utf-8").splitlines()))
    assert len(rows) >= 60
    found = pages_found(offline_page, built_site, [row["question"] for row in rows])
    missed = [
        (row["question"], row["page"], pages[:FIRST])
        for row, pages in zip(rows, found)
        if row["page"] not in pages[:FIRST]
    ]
    assert missed == [], missed


def test_search__chapters_and_decisions_stand_before_jobs_and_tables(
    offline_page, built_site: Path
) -> None:
    asked = ["voltage drop", "neutral", "surge", "supply", "tests", "charging point"]
    for words, pages in zip(asked, pages_found(offline_page, built_site, asked)):
        assert all(page.startswith(("chapters/", "refresh/", "cards/")) for page in pages[:3]), (
            words
        )
        assert len(set(pages)) == len(pages) > 3, words


def test_search__the_beginning_of_a_word_and_signs_are_understood(
    offline_page, built_site: Path
) -> None:
    begun, nothing, signs = pages_found(offline_page, built_site, ["surg", "", "+neutral -earth"])
    assert begun and signs and nothing == []
