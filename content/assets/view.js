// Drawings: opened large, one is moved and made larger; what is tapped or chosen is named and marked
// in all of the page. Without this file each is whole.
(() => {
  const all = (found, within = document) => [...within.querySelectorAll(found)];
  const one = (found, within) => within.querySelector(found);
  const named = (id) => document.getElementById(id);
  const put = (before, name, said) => before.parentNode.insertBefore(Object.assign(document.createElement(name), said), before);
  const title = (thing) => one("title", thing).textContent;
  const stem = (svg) => svg.id.replace(/drawing$/, "");
  // What a drawing repeats.
  const source = (svg) => {
    while (svg && !one("g[id] > title", svg)) {
      const use = one("use[href]", svg);
      svg = use && named(use.getAttribute("href").slice(1));
    }
    return svg;
  };
  const things = (svg) => all("g[id]:has(> title):not(.enclosure, .rail, .title-block)", source(svg));
  const place = (svg, { clientX: x, clientY: y }) => new DOMPoint(x, y).matrixTransform(svg.getScreenCTM().inverse());

  // What lies less than 16 px away.
  const under = (svg, e) => {
    const found = things(svg).reverse();
    for (let turn = 0; turn < 25; turn++) {
      const far = turn && 4 + 4 * (turn >> 3), way = turn * Math.PI / 4;
      const at = place(svg, { clientX: e.clientX + far * Math.cos(way), clientY: e.clientY + far * Math.sin(way) });
      const hit = found.find((each) => all("path, rect, circle", each).some((shape) => {
        const look = getComputedStyle(shape);
        return (look.fill !== "none" && shape.isPointInFill(at)) || (look.stroke !== "none" && shape.isPointInStroke(at));
      }));
      if (hit) return hit;
    }
  };
  const choose = (thing, figure) => {
    const name = thing && thing.id.slice(stem(thing.ownerSVGElement).length), of = name?.replace(/^(wire|cable|opening|label)\./, "");
    const told = all("data.figure[data-step]").filter((each) => each.dataset.of === of?.replace(/\.L\d$/, ""));
    const words = told.map((each) => each.dataset.step.replace(/-/g, " ") + " " + each.textContent);
    const said = thing ? [title(thing), ...new Set(words)].slice(0, 6).join("; ") : "";
    all("svg g[id]").forEach((each) => each.classList.toggle("fw-chosen", each.id === stem(each.ownerSVGElement) + name));
    all(".named").forEach((each) => { each.textContent = figure.contains(each) ? said : ""; });
  };
  const NAMED = { className: "named", role: "status" };
  const sheet = (figure) => one(".sheet > svg", figure);
  const shown = all("figure.drawing:not(.quiz-drawing):has(.enlarge)").filter((each) => source(sheet(each)));
  shown.forEach((figure) => {
    put(one("figcaption", figure), "p", NAMED);
    sheet(figure).onclick = (e) => choose(under(sheet(figure), e), figure);
  });

  const prepared = (large) => {
    const svg = one("svg", large), figure = large.closest("figure"), held = new Map();
    const { width, height } = svg.viewBox.baseVal, share = height / width;
    let x, y, wide, moved, apart;
    const within = (value, part, whole) => Math.min(Math.max(value, 0), whole - part);
    const show = (a, b, c) => {
      wide = Math.min(Math.max(c, width / 16), width);
      x = within(a, wide, width);
      y = within(b, wide * share, height);
      svg.setAttribute("viewBox", [x, y, wide, wide * share].join(" "));
    };
    const pan = (a, b) => show(x + a * wide, y + b * wide, wide);
    const zoom = (by, at = { x: x + wide / 2, y: y + wide * share / 2 }) => show(at.x - (at.x - x) / by, at.y - (at.y - y) / by, wide / by);
    const button = (textContent, ariaLabel, onclick) => put(svg, "button", { textContent, ariaLabel, onclick });
    button("−", "Smaller", () => zoom(0.7));
    button("+", "Larger", () => zoom(1.4));
    button("Fit", "Fit", () => show(0, 0, width));
    if (shown.includes(figure)) {
      const list = put(svg, "select", { ariaLabel: "Name and mark a part" });
      list.append(new Option("Find a part", ""), ...things(svg).map((each) => new Option(title(each), each.id)));
      list.onchange = () => choose(named(list.value), figure);
      svg.onclick = (e) => moved < 6 && choose(under(svg, e), figure);
      const row = shown.filter((each) => sheet(each).matches(".fw-again") && source(sheet(each)) === source(svg));
      const at = row.indexOf(figure);
      [["Previous", row[at - 1]], ["Next", row[at + 1]]].forEach(([words, to]) => at >= 0 && to && button(words, words + ": " + title(sheet(to)), () => {
        large.hidePopover();
        one(".enlarge", to).focus();
        one(".large", to).showPopover();
      }));
      put(svg, "p", NAMED);
    }
    svg.tabIndex = 0;
    svg.onwheel = (e) => zoom(Math.exp(-e.deltaY / 400), place(svg, e));
    svg.onpointerdown = (e) => {
      moved = apart = 0;
      svg.setPointerCapture(e.pointerId);
      held.set(e.pointerId, e);
    };
    svg.onpointermove = (e) => {
      const last = held.get(e.pointerId);
      if (!last) return;
      const gap = (a, b) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
      moved += gap(last, e);
      held.set(e.pointerId, e);
      const [first, two] = held.values(), unit = svg.getScreenCTM().a * held.size * wide;
      pan((last.clientX - e.clientX) / unit, (last.clientY - e.clientY) / unit);
      if (!two) return;
      const now = gap(first, two);
      if (apart) zoom(now / apart, place(svg, first));
      apart = now;
    };
    svg.onpointerup = svg.onpointercancel = (e) => { held.delete(e.pointerId); apart = 0; };
    large.onkeydown = (e) => {
      const [act, ...by] = { "+": [zoom, 1.4], "-": [zoom, 0.7], 0: [show, 0, 0, width], ArrowLeft: [pan, -0.1, 0], ArrowRight: [pan, 0.1, 0], ArrowUp: [pan, 0, -0.1], ArrowDown: [pan, 0, 0.1] }[e.key] || [];
      if (!act || e.ctrlKey || e.target.matches("select")) return;
      e.preventDefault();
      act(...by);
    };
    return () => { show(0, 0, width); svg.focus(); };
  };
  all(".large[popover]").forEach((large) => {
    let open;
    large.ontoggle = (e) => e.newState === "open" && (open ||= prepared(large))();
  });
})();
