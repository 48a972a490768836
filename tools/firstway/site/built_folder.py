"""Site: what tells a project, and a guide built of it, from any other folder."""

CONFIGURATION = "mkdocs.yml"
MARKER = ".firstway"
MARKER_TEXT = "A built guide. The next build replaces this folder and everything in it.\n"
