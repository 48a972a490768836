"""Site: the licences of the guide and of the parts by others in it, beside the files they
speak of.
"""

from __future__ import annotations

from importlib.metadata import distribution
from pathlib import Path
from shutil import copyfile

_FOLDER = "assets/licences"
THEME = "mkdocs-material"
OWN = Path(__file__).parents[2] / "LICENSE"
ICON_SETS = ("material", "fontawesome", "octicons", "simple")
"""Sets the theme carries: its style sheet holds icons of them, so all their licences go with it."""


def put_licences(site: Path) -> None:
    """Copy the licence of the guide, of the theme and of its icons into a built guide.

    Raises FileNotFoundError where an installed theme lacks one: a guide may not go out without it.
    """
    folder = site / _FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    for name, path in {
        "firstway.txt": OWN,
        "theme.txt": _theme_licence(),
        **_icon_licences(),
    }.items():
        copyfile(path, folder / name)


def _theme_licence() -> Path:
    return _installed("mkdocs_material-*.dist-info/**/LICENSE")


def _icon_licences() -> dict[str, Path]:
    return {
        f"icons-{name}.txt": _installed(f"material/templates/.icons/{name}/LICENSE*")
        for name in ICON_SETS
    }


def _installed(pattern: str) -> Path:
    """The file beside which the theme is installed; its list of files takes a second to read."""
    for path in sorted(Path(str(distribution(THEME).locate_file(""))).glob(pattern)):
        return path
    raise FileNotFoundError(f"a licence of {THEME}")
