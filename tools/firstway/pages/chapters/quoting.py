"""Pages: words of a data file with their directives answered, as in a chapter, and all that is
wrong with them.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.files.plain_values import suggestion
from firstway.pages.chapters.answer import Answer, Complaint
from firstway.pages.chapters.answering import BLOCKS, SENTENCES
from firstway.pages.chapters.directives import directives_in
from firstway.pages.shared.front_matter import FrontMatter
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.notes_on_tap import Note, notes_html
from firstway.pages.shared.project import Chapter
from firstway.problems import Problem
from firstway.rendering.citing import sources_html
from firstway.rendering.html import Markup, escape, joined


class Quoting:
    """Answers the directives of one page's words; remembers problems, sources and notes."""

    def __init__(self, guide: Guide, path: str, file: str) -> None:
        self._guide, self._file = guide, file
        self._page = Chapter(path, file, "", FrontMatter())
        self.problems: list[Problem] = []
        self._sources: list[str] = []
        self._notes: list[Note] = []

    def words(self, text: str, line: int) -> Markup:
        """A sentence, escaped, with what it quotes."""
        parts, at = [], 0
        for each in directives_in(text):
            if each.word not in SENTENCES:
                known = sorted(SENTENCES)
                hint = suggestion(each.word, known) or f"known are: {', '.join(known)}"
                self._say(line, f"no directive '{each.word}' stands in a sentence", hint)
                continue
            answer = SENTENCES[each.word](self._page, self._guide, each.arguments)
            parts += [escape(text[at : each.start]), self._taken(answer, line)]
            at = each.end
        return joined([*parts, escape(text[at:])])

    def block(self, word: str, arguments: Sequence[str], line: int) -> Markup:
        """What stands alone on its line in a chapter, such as a picture."""
        return self._taken(BLOCKS[word](self._page, self._guide, tuple(arguments)), line)

    def linked(self, chapter: str, line: int) -> Markup:
        """A link to a chapter."""
        return self._taken(SENTENCES["chapter"](self._page, self._guide, (chapter,)), line)

    def foot(self) -> Markup:
        """The sources of what was quoted, and the notes that open on tap."""
        own = sources_html(self._sources) if self._sources else Markup()
        return own + notes_html(self._notes)

    def _taken(self, answer: Answer | Complaint, line: int) -> Markup:
        if isinstance(answer, Complaint):
            self._say(line, answer.message, answer.hint)
            return Markup()
        self._sources += answer.sources
        self._notes += answer.notes
        return answer.html

    def _say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(Problem(self._file, line, message, hint))
