"""What is too wide or too small on a page as a phone shows it: 390 px, every fold open."""

from pathlib import Path

PHONE_PX = 390
_FAULTS = """() => {
  document.querySelectorAll("details").forEach((each) => { each.open = true; });
  const found = [], root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) found.push(`page: ${root.scrollWidth} px`);
  document.querySelectorAll(".md-content .sheet > svg, article .sheet > svg").forEach((svg) => {
    const sheet = svg.parentElement, box = svg.getBoundingClientRect();
    if (!box.width || !sheet.clientWidth) return;
    const name = svg.id || svg.getAttribute("class");
    if (getComputedStyle(sheet).overflowX !== "clip" && sheet.scrollWidth > sheet.clientWidth + 1)
      found.push(`drawing ${name}: ${Math.round(box.width)} px of ${sheet.clientWidth}`);
    const sizes = [...svg.querySelectorAll("text")]
      .filter((text) => text.getClientRects().length)
      .map((text) => {  // as shown: of the drawing's scale, and its letters' own
        const shown = text.getScreenCTM();
        return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(shown.a, shown.b);
      });
    const least = Math.min(...sizes);
    if (sizes.length && least < 8.95) found.push(`words of ${name}: ${least.toFixed(1)} px`);
  });
  document.querySelectorAll("article table").forEach((table) => {
    const box = table.closest(".wide"), first = table.querySelector("tr > :first-child");
    if (!box || box.scrollWidth <= box.clientWidth + 1 || !table.offsetWidth) return;
    if (getComputedStyle(first).position !== "sticky")
      found.push(`table ${table.className}: its first column leaves`);
    else if (first.offsetWidth > box.clientWidth / 2)
      found.push(`table ${table.className}: its first column takes half`);
  });
  return found;
}"""


def faults_on_a_phone(page, path: Path) -> list[str]:
    """What a page, opened at 390 px by playwright's `page`, shows too wide or too small."""
    page.set_viewport_size({"width": PHONE_PX, "height": 844})
    page.goto(path.resolve().as_uri())
    return [f"{path.parent.name}/{path.name}: {each}" for each in page.evaluate(_FAULTS)]
