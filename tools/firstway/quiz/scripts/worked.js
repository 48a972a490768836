// Worked examples that fade: shows a set of figures at a stage, marks what is blank, moves on after
// a right one and back after a miss. Where each stands is part of the one record (progress.js).

var GIVEN = [3, 2, 1, 0]; // steps that a stage gives; the others are blank
var record = window.firstwayProgress;
var data = JSON.parse(one(document, ".worked-data").textContent), words = data.words;
var section = one(document, ".worked"), stage = 0, turn = 0, done = false;

function known(name) { return record.record().worked[name]; }

function readers(changed) {
  var who = record.record().reader[0];
  all(document, ".worked-reader").forEach(function (box) {
    box.hidden = false;
    all(box, "input").forEach(function (input) {
      input.checked = input.value === who;
      input.addEventListener("change", function () { record.setReader(input.value); changed(); });
    });
  });
}

function list() {
  all(document, "[data-worked]").forEach(function (place) {
    var row = known(place.dataset.worked);
    place.textContent = !row ? "" : row[1] > 3 ? words["state-held"] : filledIn(words.state, { name: data.stages[row[1]].toLowerCase() });
  });
}

function begin() {
  var row = known(data.id);
  stage = row ? Math.min(row[1], 3) : record.record().reader[0] === "installer" ? 3 : 0;
  turn = row ? row[2] : 0;
  show("");
}

function parts() { return all(sets()[turn % data.sets.length], "li"); }
function sets() { return all(section, ".worked-set"); }

function show(said) {
  var own = sets(), at = turn % data.sets.length, button = one(section, ".worked-check");
  done = false;
  own.forEach(function (set, place) {
    set.hidden = place !== at;
    one(set, ".worked-head").textContent = filledIn(words.stage, { stage: stage + 1, name: data.stages[stage].toLowerCase() });
  });
  all(section, ".worked-blank").forEach(function (blank) { blank.remove(); });
  parts().forEach(function (part, place) {
    var blank = place >= GIVEN[stage], fold = one(part, "details");
    fold.hidden = blank;
    fold.open = !blank;
    if (blank) part.appendChild(field(part, place));
  });
  all(section, ".worked-stages button").forEach(function (each, place) { each.setAttribute("aria-pressed", String(place === stage)); });
  button.textContent = stage ? words.check : words.read;
  tellAll(said);
}

function field(part, place) {
  var box = element("p", "", "worked-blank quiz-number"), label = element("label", "Your figure "), input = element("input", "");
  var unit = part.dataset.unit, said = element("span", "", "worked-mark");
  input.type = "text";
  input.inputMode = "decimal";
  input.maxLength = LONGEST_ANSWER;
  input.autocomplete = "off";
  input.setAttribute("aria-label", one(part, ".worked-ask").textContent + (unit ? ", in " + unit : ""));
  said.setAttribute("role", "status");
  input.addEventListener("keydown", function (event) { if (event.key === "Enter") { event.preventDefault(); act(); } });
  label.appendChild(input);
  box.appendChild(label);
  box.appendChild(document.createTextNode(" " + unit + " "));
  box.appendChild(said);
  return box;
}

function tellAll(text) { one(section, ".worked-said").textContent = text; }

function keepAt(next) {
  one(section, ".worked-kept").textContent = record.setWorked(data.id, next, (turn + 1) % 9999);
}

function act() {
  var own = data.sets[turn % data.sets.length], refused = null, missed = 0, states, next, said;
  if (done) { stage = Math.min(known(data.id) ? known(data.id)[1] : stage, 3); turn += 1; show(""); focusOn(); return; }
  if (!stage) { keepAt(1); stage = 1; turn += 1; show(""); focusOn(); return; }
  states = own.parts.map(function (key, place) {
    var input = one(parts()[place], ".worked-blank input"), found;
    if (!input) return { state: "right", value: own.values[place], given: true };
    found = numberState(key, input.value);
    if (!refused && /^(empty|not-a-number|unit)$/.test(found.state)) refused = input;
    return found;
  });
  states.forEach(function (found, place) {
    var key = own.parts[place], state = found.state, input = one(parts()[place], ".worked-blank input");
    if (found.given) return;
    if (!refused && /^(wrong|mistake)$/.test(state) && follows(key, states, place)) state = "followed";
    if (!/^(right|followed)$/.test(state)) missed += 1;
    if (refused && !/^(empty|not-a-number|unit)$/.test(state)) { said = ""; } // all are told together
    else said = filledIn(words[state === "unit" && !key.unit ? "unit-none" : state], { mistake: found.mistake, feedback: found.feedback, unit: key.unit });
    one(input.closest(".worked-blank"), ".worked-mark").textContent = said;
  });
  if (refused) { refused.focus(); return; }
  done = true;
  if (stage === 3) record.met(data.question, data.outcome, missed ? "slip" : "right", turn % data.sets.length, -1);
  next = missed ? Math.max(0, stage - 1) : stage + 1;
  keepAt(next);
  parts().forEach(function (part) { var fold = one(part, "details"); fold.hidden = false; fold.open = missed > 0 || fold.open; });
  one(section, ".worked-check").textContent = words["go-on"];
  tellAll(filledIn(words[missed ? "down" : next > 3 ? "held" : "up"], { name: (data.stages[Math.min(next, 3)] || "").toLowerCase() }));
}

function focusOn() {
  var first = one(sets()[turn % data.sets.length], ".worked-blank input") || one(sets()[turn % data.sets.length], ".worked-head");
  first.tabIndex = first.tagName === "H2" ? -1 : 0;
  first.focus();
}

function start() {
  var stages = one(section, ".worked-stages");
  data.stages.forEach(function (name, place) {
    var button = element("button", name);
    button.type = "button";
    button.addEventListener("click", function () { stage = place; keepAt(place); turn += 1; show(""); });
    stages.appendChild(button);
  });
  stages.hidden = false;
  one(section, ".worked-check").parentNode.hidden = false;
  one(section, ".worked-check").addEventListener("click", act);
  begin();
}

if (record) {
  readers(function () { if (section && !known(data.id)) begin(); });
  if (section) start();
  else list();
}
