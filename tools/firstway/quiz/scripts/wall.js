// One question on the wall for a class in a room. The questions are loaded from the files that
// practice uses; no answer is asked for, nothing is marked or kept. No network, no library.
(function () {
"use strict";

var data = JSON.parse(document.querySelector(".wall-data").textContent), words = data.words;
var root = document.querySelector("script[src$='assets/wall.js']").getAttribute("src").replace("assets/wall.js", "");
var outcomeOf = Object.create(null), wall = null, ids = [], at = 0, part = 0, title = "";
var ON = ["PageDown", "ArrowRight", " ", "Spacebar", "Enter"], BACK = ["PageUp", "ArrowLeft", "Backspace"];
var LARGEST = 46, SMALLEST = 28; // px of the question at a wall 1280 wide

data.outcomes.forEach(function (row) { row[2].forEach(function (name) { outcomeOf[name] = row[0]; }); });

function one(selector, within) { return (within || document).querySelector(selector); }
function all(selector, within) { return Array.prototype.slice.call((within || document).querySelectorAll(selector)); }
function say(text) { one(".wall-said").textContent = text; }
function filledIn(sentence, parts) {
  return sentence.replace(/\{([a-z]+)\}/g, function (_, name) { return parts[name]; });
}
function element(name, className, text) {
  var made = document.createElement(name);
  if (className) made.className = className;
  if (text) made.textContent = text;
  return made;
}

function chosen(name) {
  var kind = name.split("=")[0], id = name.slice(kind.length + 1);
  var found = (kind === "quiz" ? data.quizzes : kind === "outcome" ? data.outcomes : []).filter(function (row) { return row[0] === id; })[0];
  return found ? { title: found[1], ids: found[2].filter(function (each) { return outcomeOf[each]; }) } : null;
}

function load(outcomes, done) {
  var waiting = outcomes.length, failed = false;
  if (!waiting) done(true);
  outcomes.forEach(function (outcome) {
    var script = document.createElement("script");
    function ended() { waiting -= 1; if (!waiting) done(!failed); }
    if ((window.firstwayQuestions || {})[outcome]) { ended(); return; }
    script.onload = ended;
    script.onerror = function () { failed = true; ended(); };
    script.src = root + "assets/questions/" + outcome + ".js";
    document.head.appendChild(script);
  });
}

function begin(name) {
  var what = chosen(name);
  if (!what || !what.ids.length) return;
  load(what.ids.map(function (each) { return outcomeOf[each]; }).filter(function (each, place, list) { return list.indexOf(each) === place; }), function (whole) {
    if (!whole) { say(words.missing); return; }
    say("");
    ids = what.ids;
    title = what.title;
    at = part = 0;
    try { history.replaceState(null, "", "#" + name); } catch (_) { /* the address stays as it was */ }
    open();
  });
}

function piece(html) {
  return document.importNode(new DOMParser().parseFromString("<ol>" + html + "</ol>", "text/html").querySelector("li"), true);
}

function question(name) {
  return window.firstwayQuestions[outcomeOf[name]].filter(function (each) { return each.id === name; })[0];
}

// ---- what stands on the wall ----

// The question as it is asked, without anything to answer it by.
function shown(each) {
  var item = piece(each.html), made = element("div", "wall-question"), body = one(".quiz-beside", item) || one("fieldset > div", item);
  made.appendChild(element("h2", "wall-stem"));
  made.firstChild.append.apply(made.firstChild, Array.prototype.slice.call(one(".quiz-stem", item).childNodes));
  all("[data-variant]", body).slice(1).forEach(function (drawing) { drawing.remove(); }); // the first figures alone
  all("select", body).forEach(function (select) { select.remove(); });
  all("input, textarea, button, .quiz-hint, [role=status]", body).forEach(function (field) { field.remove(); });
  all("[hidden]", body).forEach(function (hidden) { hidden.hidden = false; });
  made.appendChild(body);
  return made;
}

// The wrong answers that the bank names, as a class says them.
function some(fold) {
  return all("ul > li", fold).map(function (row) {
    var made = element("li"), first = row.firstChild, letter = first && first.nodeName === "B" ? first.textContent : "";
    var text = letter || (first && first.nodeType === 3 ? first.textContent.trim() : "");
    var matched = /^(\S+), another than/.exec(text);
    if (matched) text = filledIn(words.row, { row: matched[1] });
    made.appendChild(element("b", "", text.replace(/:$/, "")));
    made.appendChild(document.createTextNode(" "));
    made.appendChild(element("span", "", one("i", row) ? one("i", row).textContent : ""));
    return made;
  });
}

function show() {
  var each = question(ids[at]), fold = piece(each.fold), body = one(".wall-body", wall), said = element("div", "wall-told"), rows, list;
  body.textContent = "";
  body.appendChild(shown(each));
  fold = one(".quiz-first", fold) || fold;
  if (part === 1) said.appendChild(element("p", "wall-think", words.think));
  if (part === 2) {
    rows = some(fold);
    said.appendChild(element("h3", "", rows.length ? words.some : words.none));
    list = element("ul");
    rows.forEach(function (row) { list.appendChild(row); });
    said.appendChild(list);
  }
  if (part === 3) {
    said.className = "wall-told wall-answer";
    all("ul", fold).forEach(function (list) { if (list.previousElementSibling) list.previousElementSibling.remove(); list.remove(); });
    said.append.apply(said, Array.prototype.slice.call(fold.childNodes));
  }
  if (part === 4) {
    said.appendChild(element("h3", "", words.parts[4]));
    said.append.apply(said, all("ul", fold));
  }
  if (part) body.appendChild(said);
  one(".wall-where", wall).textContent = title + ", " + filledIn(words.place, { number: at + 1, of: ids.length });
  one(".wall-part", wall).textContent = words.parts[part];
  one(".wall-back", wall).disabled = !at && !part;
  one(".wall-on", wall).disabled = at === ids.length - 1 && part === last();
  fit();
}

// The largest letters with which all of it stands on the wall. Where even the smallest are too many,
// what is told after the question takes the place of its options; what is longer still scrolls.
function fit() {
  var body = one(".wall-body", wall), wide = Math.max(0.5, Math.min(window.innerWidth / 1280, window.innerHeight / 720)), size = LARGEST;
  body.classList.remove("wall-short");
  function fits() { return body.scrollHeight <= body.clientHeight && body.scrollWidth <= body.clientWidth; }
  function letters() {
    size = LARGEST;
    do { body.style.setProperty("font-size", size * wide + "px"); size -= 2; } while (size >= SMALLEST && !fits());
  }
  draw(body);
  letters();
  if (part > 1 && !fits()) { body.classList.add("wall-short"); letters(); } // the options were seen
  body.scrollTop = 0;
}

// A drawing taller than wide fills most of the wall: as wide as its letters need, or as all that is
// asked of it can be seen at once.
function draw(body) {
  var svg = one(".quiz-beside > :first-child svg", body), view = svg && svg.viewBox.baseVal, figure, sheet, asked, frame, wide;
  if (!view || view.height < view.width) return;
  figure = svg.closest(".quiz-beside > *");
  sheet = one(".sheet", figure) || figure;
  figure.classList.add("wall-tall");
  body.style.setProperty("--wall-room", Math.round(0.74 * body.clientHeight) + "px");
  body.style.setProperty("--wall-wide", "100%");
  frame = sheet.getBoundingClientRect();
  asked = around(svg);
  wide = frame.width * Math.min(view.width * SMALLEST / least(svg) / frame.width, asked ? 0.8 * Math.min(frame.width / asked.width, frame.height / asked.height) : 1);
  body.style.setProperty("--wall-wide", Math.round(Math.max(wide, 0.6 * frame.width)) + "px");
  asked = around(svg);
  if (!asked) return;
  sheet.scrollLeft += asked.x + asked.width / 2 - frame.left - frame.width / 2;
  sheet.scrollTop += asked.y + asked.height / 2 - frame.top - frame.height / 2;
}

// The room on the wall that all letters of an answer take; nothing where there are none.
function around(svg) {
  var spots = all(".spot", svg).map(function (each) { return each.getBoundingClientRect(); });
  function most(which, of) { return which.apply(null, spots.map(of)); }
  if (!spots.length) return null;
  var x = most(Math.min, function (each) { return each.left; }), y = most(Math.min, function (each) { return each.top; });
  return { x: x, y: y, width: most(Math.max, function (each) { return each.right; }) - x, height: most(Math.max, function (each) { return each.bottom; }) - y };
}

// The least letters of a drawing, in its own units.
function least(svg) {
  return Math.min.apply(null, [16].concat(all("text", svg).map(function (each) { return parseFloat(getComputedStyle(each).fontSize) || 16; })));
}

// Where no wrong answer has a name, nothing is said of the others.
function last() { return some(piece(question(ids[at]).fold)).length ? 4 : 3; }

function move(by) {
  var next = part + by;
  if (next > last()) { if (at === ids.length - 1) return; at += 1; next = 0; }
  if (next < 0) { if (!at) return; at -= 1; next = last(); }
  part = next;
  show();
}

function open() {
  var head = element("div", "wall-head"), foot = element("div", "wall-foot");
  close();
  wall = element("section", "wall md-typeset");
  wall.setAttribute("role", "dialog");
  wall.setAttribute("aria-modal", "true");
  wall.setAttribute("aria-label", title);
  wall.tabIndex = -1;
  head.appendChild(element("p", "wall-where"));
  head.appendChild(element("p", "wall-part"));
  [["wall-back", "Back", function () { move(-1); }], ["wall-on", "On", function () { move(1); }], ["wall-close", "Close", close]].forEach(function (row) {
    var button = element("button", row[0], row[1]);
    button.type = "button";
    button.addEventListener("click", row[2]);
    foot.appendChild(button);
  });
  wall.appendChild(head);
  wall.appendChild(element("div", "wall-body"));
  wall.appendChild(foot);
  one(".wall-body", wall).tabIndex = 0;
  one(".wall-part", wall).setAttribute("role", "status");
  document.body.appendChild(wall);
  document.documentElement.classList.add("wall-open");
  show();
  wall.focus();
}

function close() {
  if (!wall) return;
  wall.remove();
  wall = null;
  document.documentElement.classList.remove("wall-open");
  one(".wall-begin").focus();
}

function onKey(event) {
  var button = event.target && event.target.nodeName === "BUTTON", body;
  if (!wall || event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.key === "Tab") { hold(event); return; }
  if (button && (event.key === " " || event.key === "Enter")) return; // the button does it
  if (ON.indexOf(event.key) >= 0) move(1);
  else if (BACK.indexOf(event.key) >= 0) move(-1);
  else if (event.key === "Escape") close();
  else if (event.key === "b" || event.key === "B" || event.key === ".") wall.classList.toggle("wall-blank");
  else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    body = one(".wall-body", wall);
    body.scrollTop += (event.key === "ArrowDown" ? 1 : -1) * body.clientHeight / 3;
  } else return;
  event.preventDefault();
  event.stopPropagation(); // keys of the guide rest meanwhile
}

// Tab stays on the wall.
function hold(event) {
  var stops = all("button:not([disabled]), .wall-body", wall), place = stops.indexOf(document.activeElement);
  var next = stops[(place + (event.shiftKey ? stops.length - 1 : 1)) % stops.length] || stops[0];
  event.preventDefault();
  event.stopPropagation();
  next.focus();
}

document.addEventListener("keydown", onKey, true);
window.addEventListener("resize", function () { if (wall) fit(); });
one(".wall-begin").addEventListener("click", function () { begin(one(".wall-what").value); });
if (/^#(quiz|outcome)=/.test(location.hash) && chosen(decodeURIComponent(location.hash.slice(1)))) {
  one(".wall-what").value = decodeURIComponent(location.hash.slice(1));
  begin(decodeURIComponent(location.hash.slice(1)));
}
}());
