"""The way through the guide, followed from foot to foot in the pages as they were built; outcomes
and recipes are read by a YAML parser of their own.

The order itself is our own design: nothing outside the project proves it.
"""

from __future__ import annotations

import posixpath
from pathlib import Path

import yaml
from bs4 import BeautifulSoup


def foot(site: Path, page: str, which: str) -> str | None:
    """Where the foot of a page leads."""
    found = BeautifulSoup((site / page).read_text(encoding="utf-8"), "html.parser")
    link = found.select_one(f".md-footer__link--{which}")
    return link and posixpath.normpath(posixpath.join(posixpath.dirname(page), link["href"]))


def followed(site: Path, start: str) -> list[str]:
    way = [start]
    while (then := foot(site, way[-1], "next")) is not None:
        assert then not in way, f"a circle at {then}"
        assert foot(site, then, "prev") == way[-1], then
        way.append(then)
    return way


def test_the_way__goes_by_chapter_quiz_and_review_to_the_mock(built_site: Path, root: Path) -> None:
    outcomes = yaml.safe_load((root / "quiz/outcomes.yaml").read_text(encoding="utf-8"))
    recipes = [
        yaml.safe_load(path.read_text(encoding="utf-8"))
        for path in sorted((root / "quiz/papers").glob("*.yaml"))
    ]
    practice = [recipe for recipe in recipes if recipe["use"] == "practice"]
    wanted = []
    for chapter in outcomes["chapters"]:
        name = chapter["id"]
        wanted.append(name)
        wanted += [f"quizzes/{each['id']}" for each in practice if each.get("chapter") == name]
        wanted += [f"quizzes/{each['id']}" for each in practice if each.get("review") == name]
    wanted += [f"quizzes/{each['id']}" for each in practice if each.get("mock")]
    way = followed(built_site, "chapters/index.html")[1:]
    assert len(way) == len(wanted)
    for page, name in zip(way, wanted):
        if name.startswith("quizzes/"):
            assert page == f"{name}.html"
        else:
            assert page.startswith("chapters/")
            html = (built_site / page).read_text(encoding="utf-8")
            assert f"quizzes/{name}.html" in html, (page, name)


def test_decisions__lead_to_their_jobs_and_the_jobs_back(built_site: Path, root: Path) -> None:
    heads = {
        path.stem: yaml.safe_load(path.read_text(encoding="utf-8").split("---")[1])
        for path in sorted((root / "content/refresh").glob("*.md"))
    }
    listed = (built_site / "refresh/index.html").read_text(encoding="utf-8")
    assert all(f'href="{name}.html"' in listed for name in heads if name != "index")
    led = [(name, job) for name, head in heads.items() for job in head.get("jobs", ())]
    assert len({name for name, _ in led}) >= 6
    for name, job in led:
        page = (built_site / f"jobs/{job}/index.html").read_text(encoding="utf-8")
        assert f'href="../../refresh/{name}.html"' in page, (name, job)
        text = (built_site / f"refresh/{name}.html").read_text(encoding="utf-8")
        assert f'href="../jobs/{job}/index.html"' in text, (name, job)


def test_a_job__is_led_through_and_the_foot_leaves_no_other_way(built_site: Path) -> None:
    pages = followed(built_site, "jobs/marram/index.html")
    own = {f"jobs/marram/{path.name}" for path in (built_site / "jobs/marram").glob("*.html")}
    assert set(pages) == own
    for start in ("refresh/index.html", "cards/index.html", "mistakes/index.html"):
        folder = posixpath.dirname(start)
        assert all(posixpath.dirname(page) == folder for page in followed(built_site, start))
