// The stages of fitting a board: on a screen one at a time, with buttons and the arrow keys.
// In print, and without this file, all of them stand below each other.
(() => {
  const stages = [...document.querySelectorAll(".stage")], heads = stages.map((each) => each.previousElementSibling);
  if (stages.length < 2) return;
  const make = (name, said, within) => within.appendChild(Object.assign(document.createElement(name), said));
  const bar = document.createElement("nav");
  bar.className = "stage-bar";
  bar.setAttribute("aria-label", "Stages");
  const before = make("button", { type: "button", textContent: "Stage before" }, bar);
  const told = make("span", { role: "status" }, bar);
  const next = make("button", { type: "button", textContent: "Next stage" }, bar);
  const whole = make("button", { type: "button", textContent: "All stages" }, bar);
  let at = 0, all = false;
  const show = (place) => {
    at = Math.min(Math.max(place, 0), stages.length - 1);
    [heads, stages].forEach((list) => list.forEach((each, here) => each.classList.toggle("not-this-stage", !all && here !== at)));
    document.querySelectorAll(".md-nav--secondary a").forEach((each) => each.classList.toggle("this-stage", !all && each.hash === "#" + heads[at].id));
    told.textContent = all ? "All " + stages.length + " stages" : "Stage " + (at + 1) + " of " + stages.length;
    before.disabled = all || at === 0;
    next.disabled = all || at === stages.length - 1;
    whole.textContent = all ? "One stage at a time" : "All stages";
  };
  const go = (place) => {
    const focused = document.activeElement;
    show(place);
    history.replaceState(null, "", "#" + heads[at].id);
    heads[at].scrollIntoView();
    if (focused.disabled) (next.disabled ? before : next).focus();
  };
  const asked = () => {
    const place = heads.findIndex((each) => "#" + each.id === location.hash);
    if (place < 0 || all) return;
    show(place);
    heads[place].scrollIntoView();
  };
  before.onclick = () => go(at - 1);
  next.onclick = () => go(at + 1);
  whole.onclick = () => { all = !all; show(at); };
  bar.onkeydown = (e) => {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
    if (!step || all) return;
    e.preventDefault();
    go(at + step);
  };
  addEventListener("hashchange", asked);
  addEventListener("beforetoggle", (e) => {  // opened large one follows the other: the page keeps step
    const place = stages.findIndex((each) => each.contains(e.target));
    if (place < 0 || all || e.newState !== "open") return;
    show(place);
    stages[place].querySelector(".enlarge")?.focus();
  }, true);
  const around = document.createElement("div"); // beyond the stages the bar is not wanted
  heads[0].before(around);
  stages.forEach((each, here) => around.append(heads[here], each));
  around.append(bar);
  show(0);
  asked();
})();
