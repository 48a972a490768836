// Fields: a question to an answer in one string, and back. Practice and assigned papers share them.

var FORMAT = "firstway answers 2", PREFIX = "firstway:";
var LONGEST_ANSWER = 200, LONGEST_WORKING = 610, LARGEST_FILE = 500000;

function all(root, selector) { return Array.prototype.slice.call(root.querySelectorAll(selector)); }

function one(root, selector) { return root.querySelector(selector); }

function own(table, name) { return Object.prototype.hasOwnProperty.call(table, name) ? table[name] : undefined; }

function element(name, text, className) {
  var made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

function fieldsOf(root, changed) {
  var item = {
    id: root.dataset.question, form: root.dataset.form, element: root, said: one(root, "[role=status]"),
    inputs: all(root, "input"), selects: all(root, "select"), list: one(root, ".quiz-steps"), moved: false
  };
  item.texts = item.inputs.filter(function (input) { return input.type === "text"; });
  item.first = item.list ? all(item.list, "li") : [];
  item.controls = item.inputs.concat(item.selects, item.list ? all(item.list, "button") : []);
  item.inputs.forEach(function (input) {
    input.addEventListener(input.type === "text" ? "input" : "change", function () { changed(item); });
  });
  item.selects.forEach(function (select) { select.addEventListener("change", function () { changed(item); }); });
  item.first.forEach(function (step) {
    all(step, "button").forEach(function (button, down) {
      button.addEventListener("click", function () { move(item, step, down, changed); });
    });
  });
  all(root, ".quiz-drawing svg").forEach(function (svg) { pointing(item, svg, changed); });
  ends(item);
  return item;
}

function move(item, step, down, changed) {
  // The neighbour moves: the button pressed keeps the focus.
  var list = item.list, other = down ? step.nextElementSibling : step.previousElementSibling, steps;
  if (!other) return;
  list.insertBefore(other, down ? step : step.nextSibling);
  item.moved = true;
  ends(item);
  changed(item);
  steps = all(list, "li");
  item.said.appendChild(element("p", "Place " + (steps.indexOf(step) + 1) + " of " + steps.length + ": " +
    step.querySelector(".quiz-step").textContent));
}

function ends(item) {
  if (!item.list) return;
  all(item.list, "li").forEach(function (step, place, steps) {
    var buttons = all(step, "button");
    buttons[0].setAttribute("aria-disabled", String(place === 0));
    buttons[1].setAttribute("aria-disabled", String(place === steps.length - 1));
  });
}

function pointing(item, svg, changed) {
  // A spot is a second way to its radio button.
  all(svg, ".spot").forEach(function (spot) {
    spot.addEventListener("click", function () {
      item.inputs.forEach(function (input) {
        if (input.value === spot.dataset.spot && !input.disabled) { input.checked = true; changed(item); }
      });
    });
  });
}

function pointedAt(item) {
  all(item.element, ".quiz-drawing .spot").forEach(function (spot) {
    spot.dataset.chosen = String(spot.dataset.spot === answerOf(item));
  });
}

// What is read hangs on the fields alone: a list to order, rows to choose in, boxes to type in, options.
function answerOf(item) {
  if (item.list) {
    return item.moved ? all(item.list, "li").map(function (step) { return step.dataset.value; }).join(" ") : "";
  }
  if (item.selects.length) {
    return item.selects.map(function (select, row) { return select.value ? row + 1 + "=" + select.value : ""; })
      .filter(Boolean).join(" ");
  }
  if (item.texts.length === 1) return item.texts[0].value;
  if (item.texts.length) {
    var boxes = item.texts.map(function (input) { return input.value.replace(/;/g, " "); });
    return boxes.join("").trim() ? boxes.join(" ; ") : "";
  }
  return item.inputs.filter(function (input) { return input.checked; }).map(function (input) { return input.value; }).sort().join(" ");
}

function putIn(item, answer) {
  var words = answer.split(" "), steps;
  if (item.list) {
    steps = words.map(function (letter) {
      return item.first.filter(function (step) { return step.dataset.value === letter; })[0];
    });
    item.moved = steps.length === item.first.length &&
      item.first.every(function (step) { return steps.indexOf(step) >= 0; });
    (item.moved ? steps : item.first).forEach(function (step) { item.list.appendChild(step); });
    ends(item);
  }
  item.selects.forEach(function (select, row) {
    var chosen = words.filter(function (pair) { return pair.split("=")[0] === String(row + 1); })[0];
    select.value = chosen ? chosen.split("=")[1] : "";
    if (select.selectedIndex < 0) select.value = "";
  });
  item.inputs.forEach(function (input) {
    if (input.type !== "text") input.checked = words.indexOf(input.value) >= 0;
  });
  item.texts.forEach(function (input, part, texts) {
    input.value = texts.length > 1 ? (answer.split(";")[part] || "").trim() : answer;
  });
  pointedAt(item);
}

function answersOf(items) {
  var answers = {};
  items.forEach(function (item) {
    var answer = answerOf(item);
    if (answer) answers[item.id] = answer.slice(0, LONGEST_WORKING);
  });
  return answers;
}

function putAll(items, answers) {
  items.forEach(function (item) {
    var answer = own(answers, item.id);
    putIn(item, typeof answer === "string" ? answer.slice(0, LONGEST_WORKING) : "");
  });
}

function table(value) { return value && typeof value === "object" ? value : {}; }

function keep(name, value) { // whether it was kept
  try { window.localStorage.setItem(name, JSON.stringify(value)); return true; } catch (full) { return false; }
}

function kept(name) {
  try { return table(JSON.parse(window.localStorage.getItem(name))); } catch (refused) { return {}; }
}

function saveFile(name, value) {
  var link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(value, null, 1) + "\n"], { type: "application/json" }));
  link.download = name;
  document.body.appendChild(link);
  link.click();
  document.body.removeChild(link);
  setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
  return name;
}

function readFile(input, say, use) {
  var file = input.files[0], reader = new FileReader();
  if (!file) return;
  reader.onload = function () {
    try { file = JSON.parse(reader.result); } catch (broken) { file = null; }
    use(table(file));
  };
  reader.onerror = function () { say("load-broken"); };
  if (file.size > LARGEST_FILE) say("load-large");
  else reader.readAsText(file);
  input.value = ""; // the same file again
}
