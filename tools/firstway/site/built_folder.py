"""Site: what tells a built guide from any other folder."""

MARKER = ".firstway"
MARKER_TEXT = "A built guide. The next build replaces this folder and everything in it.\n"
