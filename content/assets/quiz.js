// Marks a quiz in its page. A classic script: no network, no library.
// Marks as quiz/marking/typed.py and marking.py do; tests/quiz_cases.json holds both.
(function () {
  "use strict";

  var FORMAT = "firstway answers 2", OLDER_FORMAT = "firstway answers 1", PREFIX = "firstway:";
  var ASKS_AGAIN = /^(empty|not-a-number|unit)$/;
  var SPACES = /[\t\n\r\f\v\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]/g;
  var MINUS_SIGNS = /[\u2010-\u2013\u2212\ufe63\uff0d]/g;
  var NO_UNIT = "0123456789+-/.,*^=()<>:;";
  var RAISED = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079";
  var NUMBER = new RegExp(
    "^([+-]?) ?" +
    "([0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]*)?" +
    "|[0-9]{1,3}(?:,[0-9]{3})+\\.[0-9]*" +
    "|[0-9]{1,3}(?:\\.[0-9]{3})+,[0-9]*" +
    "|[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\\.[0-9]{3}){2,}" +
    "|[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)" +
    "(?: ?[eE] ?([+-]?) ?([0-9]{1,3})(?![0-9])" +
    "| ?[x\u00d7*\u00b7] ?10 ?(?:\\^ ?([+-]?) ?([0-9]{1,3})(?![0-9])|([\u207a\u207b]?[" + RAISED + "]{1,3})))?" +
    "(?![0-9.,])");

  // ---- fields: a question to an answer in one string, and back (papers hold this text too) ----

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

  function answerOf(item) {
    function values(inputs) { return inputs.map(function (input) { return input.value.replace(/;/g, " "); }); }
    if (item.form === "order") {
      return item.moved ? all(item.list, "li").map(function (step) { return step.dataset.value; }).join(" ") : "";
    }
    if (item.form === "match") {
      return item.selects.map(function (select, row) { return select.value ? row + 1 + "=" + select.value : ""; })
        .filter(Boolean).join(" ");
    }
    if (item.form === "working") return values(item.inputs).join("").trim() ? values(item.inputs).join(" ; ") : "";
    if (item.form === "number") return item.inputs[0].value;
    return item.inputs.filter(function (input) { return input.checked; }).map(function (input) { return input.value; }).sort().join(" ");
  }

  function putIn(item, answer) {
    var words = answer.split(" "), steps;
    if (item.form === "order") {
      steps = words.map(function (letter) {
        return item.first.filter(function (step) { return step.dataset.value === letter; })[0];
      });
      item.moved = steps.length === item.first.length &&
        item.first.every(function (step) { return steps.indexOf(step) >= 0; });
      (item.moved ? steps : item.first).forEach(function (step) { item.list.appendChild(step); });
      ends(item);
    } else if (item.form === "match") {
      item.selects.forEach(function (select, row) {
        var chosen = words.filter(function (pair) { return pair.split("=")[0] === String(row + 1); })[0];
        select.value = chosen ? chosen.split("=")[1] : "";
        if (select.selectedIndex < 0) select.value = "";
      });
    } else if (item.form === "working") {
      item.inputs.forEach(function (input, part) { input.value = (answer.split(";")[part] || "").trim(); });
    } else {
      item.inputs.forEach(function (input) {
        if (input.type === "text") input.value = answer; else input.checked = words.indexOf(input.value) >= 0;
      });
    }
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

  // ---- end of fields ----

  // ---- marking: values in, values out ----

  function plain(typed) {
    // Cut by characters, not by halves of them.
    return Array.from(String(typed).slice(0, 2 * LONGEST_ANSWER)).slice(0, LONGEST_ANSWER).join("")
      .replace(MINUS_SIGNS, "-").replace(SPACES, " ").replace(/ +/g, " ").replace(/^ | $/g, "");
  }

  function withPoint(digits) {
    digits = digits.replace(/ /g, "");
    var marks = digits.replace(/[0-9]/g, "");
    if (!marks) return digits;
    if (marks.length > 1 && marks.split("").every(function (mark) { return mark === marks[0]; })) {
      return digits.split(marks[0]).join("");
    }
    var at = digits.lastIndexOf(marks[marks.length - 1]);
    return (digits.slice(0, at).replace(/[.,]/g, "") || "0") + "." + (digits.slice(at + 1) || "0");
  }

  function lowered(raised) {
    return raised.replace(/./g, function (character) {
      return character === "\u207b" ? "-" : character === "\u207a" ? "+" : String(RAISED.indexOf(character));
    });
  }

  function numberAndUnit(typed) {
    var text = plain(typed), match = NUMBER.exec(text);
    if (!match) return { value: null, unit: "" };
    var exponent = match[4] ? (match[3] || "") + match[4] : match[6] ? (match[5] || "") + match[6] : "";
    if (match[7]) exponent = lowered(match[7]);
    var value = Number(match[1] + withPoint(match[2]) + (exponent ? "e" + exponent : ""));
    var unit = text.slice(match[0].length).replace(/^ | $/g, "");
    if (!isFinite(value) || (unit && NO_UNIT.indexOf(unit[0]) >= 0)) return { value: null, unit: "" };
    return { value: value, unit: unit };
  }

  function filledIn(sentence, parts) {
    return sentence.split("{").map(function (piece, index) {
      if (!index) return piece;
      var end = piece.indexOf("}"), part = own(parts, piece.slice(0, end));
      return (part === undefined ? "" : part) + piece.slice(end + 1);
    }).join("").trim();
  }

  function mostPoints(key) {
    if (key.kind === "several-answers") return key.options.filter(function (option) { return option.right; }).length;
    return key.kind === "match" ? key.rows.length : key.kind === "working" ? key.parts.length : 1;
  }

  function marked(key, typed, words) {
    return { number: markedNumber, "several-answers": markedSeveral, order: markedOrder, match: markedMatch,
      working: markedWorking, "one-answer": markedOption }[key.kind](key, typed, words);
  }

  function made(key, points, state, feedback, mistakes) {
    return { points: points, out_of: mostPoints(key), state: state, mistake: mistakes[0] || "", mistakes: mistakes, feedback: feedback };
  }

  function mark(key, words, state, mistake, feedback) {
    var sentence = state === "unit" && !key.unit ? "unit-none" : state === "right" && key.kind !== "number" ? "right-choice" : state;
    return made(key, state === "right" ? 1 : 0, state, filledIn(words[sentence],
      { answer: key.answer, why: key.why, mistake: mistake, feedback: feedback, unit: key.unit }), mistake ? [mistake] : []);
  }

  function markAll(key, words, said) {
    return made(key, mostPoints(key), "right", filledIn(words[said ? "right-all" : "right-choice"], { said: said, why: key.why }), []);
  }

  function sumUp(key, words, points, said, mistakes) {
    var named = mistakes.filter(function (mistake, place) { return mistake && mistakes.indexOf(mistake) === place; });
    return made(key, points, points ? "part" : named.length ? "mistake" : "wrong", filledIn(words[points ? "part" : "nothing-right"],
      { points: points, out_of: mostPoints(key), said: said.join("\n"), answer: key.answer, why: key.why }), named);
  }

  function numberState(key, typed) {
    var read, i, wrong;
    if (!plain(typed)) return { state: "empty" };
    read = numberAndUnit(typed);
    if (read.value === null) return { state: "not-a-number" };
    if (read.unit && key.spellings.indexOf(read.unit) < 0) return { state: "unit" };
    if (key.low <= read.value && read.value <= key.high) return { state: "right", value: read.value };
    for (i = 0; i < key.wrong.length; i += 1) {
      wrong = key.wrong[i];
      if (wrong.low <= read.value && read.value <= wrong.high) {
        return { state: "mistake", mistake: wrong.mistake, feedback: wrong.feedback, value: read.value };
      }
    }
    return { state: "wrong", value: read.value };
  }

  function markedNumber(key, typed, words) {
    var found = numberState(key, typed);
    return mark(key, words, found.state, found.mistake, found.feedback);
  }

  function markedOption(key, typed, words) {
    var option = key.options.filter(function (each) { return each.id === typed; })[0];
    if (!option) return mark(key, words, "empty");
    return option.right ? mark(key, words, "right") : mark(key, words, "mistake", option.mistake, option.feedback);
  }

  function pieces(typed) { return typed.split(" ").filter(Boolean); }

  function markedSeveral(key, typed, words) {
    var ids = pieces(typed), chosen = key.options.filter(function (option) { return ids.indexOf(option.id) >= 0; });
    if (!ids.length || chosen.length !== ids.length) return mark(key, words, "empty");
    var wrong = chosen.filter(function (option) { return !option.right; }), hits = ids.length - wrong.length, missed = mostPoints(key) - hits;
    if (!wrong.length && !missed) return markAll(key, words, "");
    var said = wrong.map(function (option) { return filledIn(words["said-mistake"], option); });
    if (missed) said.push(filledIn(words["said-missed"], { count: missed }));
    return sumUp(key, words, Math.max(0, hits - wrong.length), said, wrong.map(function (option) { return option.mistake; }));
  }

  function markedOrder(key, typed, words) {
    var ids = pieces(typed), right = key.steps.map(function (step) { return step.id; }), place = 0, step;
    if (ids.slice().sort().join(" ") !== right.slice().sort().join(" ")) return mark(key, words, "empty");
    while (place < ids.length && ids[place] === right[place]) place += 1;
    if (place === ids.length) return mark(key, words, "right");
    step = key.steps[place];
    return sumUp(key, words, 0, [filledIn(words[step.because ? "said-step-because" : "said-step"],
      { place: place + 1, step: step.text, because: step.because })], []);
  }

  function markedMatch(key, typed, words) {
    var rows = key.rows.map(function (row) { return row.id; }), chosen = {}, said = [], mistakes = [], points = 0;
    var fits = pieces(typed).every(function (pair) {
      var at = pair.indexOf("="), row = pair.slice(0, at), item = pair.slice(at + 1);
      if (at < 0 || rows.indexOf(row) < 0 || key.items.indexOf(item) < 0 || own(chosen, row) !== undefined) return false;
      chosen[row] = item;
      return true;
    });
    if (!fits || !Object.keys(chosen).length) return mark(key, words, "empty");
    key.rows.forEach(function (row) {
      var item = own(chosen, row.id);
      if (item === row.item) {
        points += 1;
      } else if (item === undefined) {
        said.push(filledIn(words["said-row-empty"], { row: row.id }));
      } else {
        said.push(filledIn(words["said-row"], { row: row.id, mistake: row.mistake, feedback: row.feedback }));
        mistakes.push(row.mistake);
      }
    });
    return points === rows.length ? markAll(key, words, "") : sumUp(key, words, points, said, mistakes);
  }

  function markedWorking(key, typed, words) {
    var boxes = typed.split(";"), said = [], mistakes = [], points = 0, allRight = true, refused = null;
    boxes = key.parts.map(function (part, place) { return boxes[place] || ""; });
    if (!boxes.some(plain)) return made(key, 0, "empty", words.empty, []);
    var found = key.parts.map(function (part, place) { return numberState(part, boxes[place]); });
    found.forEach(function (one, place) {
      var unit = key.parts[place].unit;
      if (refused || !/^(not-a-number|unit)$/.test(one.state)) return;
      refused = made(key, 0, one.state, filledIn(words[one.state === "unit" && !unit ? "part-unit-none" : "part-" + one.state],
        { part: place + 1, unit: unit }), []);
    });
    if (refused) return refused;
    found.forEach(function (one, place) {
      var state = /^(wrong|mistake)$/.test(one.state) && follows(key.parts[place], found, place) ? "followed" : one.state;
      if (state === "right" || state === "followed") points += 1;
      if (state === "mistake") mistakes.push(one.mistake);
      if (one.state !== "right") allRight = false;
      said.push(filledIn(words["said-part-" + state],
        { part: place + 1, mistake: one.mistake, feedback: one.feedback }));
    });
    if (points === key.parts.length) return markAll(key, words, allRight ? "" : said.join("\n"));
    return sumUp(key, words, points, said, mistakes);
  }

  function follows(part, found, place) {
    var led = postfixValue(part.formula, found.slice(0, place).map(function (one) { return one.value; })), about;
    if (led === null) return false;
    about = part.half + Math.abs(led) * part.slack_percent / 100;
    return led - about <= found[place].value && found[place].value <= led + about;
  }

  var ONE = { neg: function (a) { return -a; }, sqrt: Math.sqrt, ln: Math.log, exp: Math.exp };
  var TWO = {
    "+": function (a, b) { return a + b; }, "-": function (a, b) { return a - b; }, "*": function (a, b) { return a * b; },
    "/": function (a, b) { return a / b; }, "**": Math.pow, min: Math.min, max: Math.max
  };

  function postfixValue(formula, typed) {
    var stack = [], fits = formula.every(function (item) {
      var second, first, value;
      if (typeof item === "number") { value = item; }
      else if (item[0] === "p") { value = typed[Number(item.slice(1)) - 1]; }
      else if (own(ONE, item)) { first = stack.pop(); value = ONE[item](first); }
      else { second = stack.pop(); first = stack.pop(); value = own(TWO, item) ? TWO[item](first, second) : NaN; }
      stack.push(value);
      return typeof value === "number" && isFinite(value);
    });
    return fits && stack.length === 1 ? stack[0] : null;
  }

  // Wilson 1927: 95 % interval of a share; a blank is no sample.
  function interval(points, of, questions) {
    var z = 1.959964, n = questions, p = of ? points / of : 0, widened = 1 + z * z / n;
    var middle = (p + z * z / (2 * n)) / widened, half = z * Math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / widened;
    return [Math.max(0, middle - half), Math.min(1, middle + half)];
  }

  // ---- the page ----

  function Quiz(section) {
    var quiz = this;
    (this.section = section).quiz = this;
    this.data = JSON.parse(one(section, ".quiz-data").textContent);
    this.store = PREFIX + "quiz:" + this.data.quiz + ":" + this.data.version;
    this.atEnd = this.data.marking === "at-the-end";
    this.handedIn = this.asked = false;
    this.items = this.data.questions.map(function (question, place) {
      var root = all(section, ".quiz-question")[place];
      var item = fieldsOf(root, function (changed) { quiz.changed(changed); });
      item.fold = all(section, ".quiz-answers > ol > li")[place];
      item.outcome = question.outcome;
      item.safety = question.safety;
      item.variants = question.variants;
      item.variant = 0;
      item.key = question.variants[0].key;
      fromFold(item);
      item.mark = null;
      item.number = place + 1;
      return item;
    });
    this.items.forEach(function (item) {
      item.other = one(item.element, ".quiz-other");
      all(item.element, ".quiz-mark-one").forEach(function (button) {
        button.addEventListener("click", function () { quiz.markNow(item); });
      });
      if (item.other) item.other.addEventListener("click", function () { quiz.otherFigures(item); });
      item.inputs.forEach(function (input) {
        input.addEventListener("keydown", function (event) {
          if (event.key !== "Enter") return;
          event.preventDefault();
          if (!quiz.atEnd) quiz.markNow(item);
        });
      });
    });
    this.on("form", "submit", function (event) { event.preventDefault(); });
    all(section, "[data-act]").forEach(function (button) {
      button.addEventListener("click", function () { quiz[button.dataset.act](); });
    });
    this.on(".quiz-load input", "change", function (event) {
      readFile(event.target, function (sentence) { quiz.say(sentence); }, function (state) { quiz.loaded(state); });
    });
    all(section, ".quiz-buttons, .quiz-foot, .quiz-moves").forEach(function (part) { part.hidden = false; });
    this.find(".quiz-again").textContent = this.data.words[this.items.some(function (item) { return item.variants[1]; }) ? "again-other" : "again"];
    section.classList.add("quiz-live");
    this.take(kept(this.store));
  }

  // What the fold says is not said again in the data.
  function fromFold(item) {
    var wrong = (item.key.options || []).filter(function (option) { return !option.right; });
    item.key.why = one(item.fold, ".quiz-why").textContent;
    wrong.forEach(function (option, place) {
      option.mistake = all(item.fold, "li > i")[place].textContent;
      option.feedback = all(item.fold, "li > span")[place].textContent;
    });
  }

  var act = Quiz.prototype;

  act.find = function (selector) { return one(this.section, selector); };

  act.on = function (selector, event, act) { this.find(selector).addEventListener(event, act); };

  act.changed = function (item) {
    this.clear(item);
    pointedAt(item);
    this.asked = false;
    this.remember();
    if (this.items.some(function (other) { return other.mark; })) this.total();
    else this.tellTotal("");
  };

  act.clear = function (item) {
    item.mark = null;
    item.said.textContent = "";
    item.element.removeAttribute("data-state");
    if (item.other) item.other.hidden = true;
  };

  act.markNow = function (item) {
    this.markOne(item);
    this.total();
    this.remember();
  };

  act.markOne = function (item) {
    item.mark = marked(item.key, answerOf(item), this.data.words);
    item.element.dataset.state = item.mark.state;
    item.said.textContent = "";
    tell(item, item.mark.feedback);
    // The verdict stands out; the number is for those who hear it.
    var first = item.said.firstChild, words = first.textContent, end = words.search(/[.:]/) + 1;
    first.textContent = "";
    first.appendChild(element("span", "Question " + item.number + ": ", "quiz-aside"));
    first.appendChild(element("strong", words.slice(0, end)));
    first.appendChild(document.createTextNode(words.slice(end)));
    if (item.other) item.other.hidden = ASKS_AGAIN.test(item.mark.state);
  };

  function focus(heading) {
    heading.tabIndex = -1;
    heading.focus();
  }

  function tell(item, sentences) {
    sentences.split("\n").forEach(function (sentence) { item.said.appendChild(element("p", sentence)); });
  }

  // Another variant: words change, fields stay.
  act.show = function (item, place) {
    var variant = item.variants[place] || item.variants[0];
    item.variant = item.variants.indexOf(variant);
    item.key = variant.key;
    if (!variant.texts) return;
    all(item.element, "[data-slot]").forEach(function (slot) { slot.textContent = variant.texts[slot.dataset.slot]; });
    all(item.element, "[data-variant]").forEach(function (drawing) {
      drawing.hidden = drawing.dataset.variant !== String(item.variant);
    });
    one(item.fold, ".quiz-first").hidden = item.variant > 0;
    one(item.fold, ".quiz-these").textContent = item.variant > 0 ? filledIn(this.data.words.told, item.key) : "";
  };

  act.otherFigures = function (item) {
    this.show(item, (item.variant + 1) % item.variants.length);
    putIn(item, "");
    this.changed(item);
    focus(one(item.element, ".quiz-stem"));
  };

  act.sum = function (items) {
    var sum = { points: 0, out_of: 0, counted: 0, asked: 0, of: items.length };
    items.forEach(function (item) {
      sum.out_of += mostPoints(item.key);
      if (item.mark) sum.points += item.mark.points;
      if (item.mark && !ASKS_AGAIN.test(item.mark.state)) { sum.counted += 1; sum.asked += mostPoints(item.key); }
    });
    return sum;
  };

  act.total = function () {
    var sum = this.sum(this.items);
    this.tellTotal("total", { counted: sum.counted, questions: sum.of, points: sum.points, out_of: sum.out_of });
  };

  act.tellTotal = function (sentence, parts) {
    this.find(".quiz-total").textContent = sentence && filledIn(this.data.words[sentence], parts);
  };

  act.markAll = function () {
    this.items.forEach(this.markOne, this);
    this.total();
    this.remember();
  };

  act.handIn = function () {
    var quiz = this, open = this.items.filter(function (item) {
      return ASKS_AGAIN.test(marked(item.key, answerOf(item), quiz.data.words).state);
    });
    if (open.length && !this.asked) {
      this.asked = true;
      if (!this.atEnd) this.markAll();
      this.tellTotal(open.length === 1 ? "open-one" : "open-many", {
        count: open.length, questions: open.map(function (item) { return item.number; }).join(", ")
      });
      return;
    }
    this.handedIn = true;
    this.remember();
    this.result();
    focus(this.find(".quiz-result h2"));
  };

  act.result = function () {
    var quiz = this, sum, list = this.find(".quiz-unsure ul"), bounds, lost = [];
    this.items.forEach(function (item) {
      quiz.markOne(item);
      if (ASKS_AGAIN.test(item.mark.state)) tell(item, filledIn(quiz.data.words.told, item.key));
    });
    sum = this.sum(this.items);
    bounds = interval(sum.points, sum.asked, sum.counted);
    this.find(".quiz-score").textContent = filledIn(this.data.words.score, { points: sum.points, out_of: sum.out_of });
    this.find(".quiz-sure").textContent = sum.counted < this.data.fewest ? "" : filledIn(this.data.words.sure, {
      questions: sum.counted, low: Math.round(100 * bounds[0]), high: Math.round(100 * bounds[1])
    });
    list.textContent = "";
    this.items.forEach(function (item) {
      if (!item.safety || item.mark.points === item.mark.out_of) return;
      var entry = element("li", ""), link = element("a", "Question " + item.number + ": " + one(item.element, ".quiz-stem").textContent);
      link.href = "#" + one(item.element, "fieldset").id;
      entry.appendChild(link);
      list.appendChild(entry);
    });
    all(this.section, ".quiz-points tbody tr").forEach(function (row) {
      var id = row.dataset.outcome, own = quiz.sum(quiz.items.filter(function (item) { return item.outcome === id; }));
      one(row, "td").textContent = own.points + " of " + own.out_of;
      if (own.points < own.out_of) lost.push(id);
    });
    all(this.section, ".quiz-reread li").forEach(function (page) {
      page.hidden = !page.dataset.outcomes.split(" ").some(function (id) { return lost.indexOf(id) >= 0; });
    });
    this.tellTotal("");
    this.foot(true);
  };

  act.foot = function (over) {
    this.items.forEach(function (item) {
      item.controls.forEach(function (control) { control.disabled = over; });
      all(item.element, ".quiz-buttons").forEach(function (part) { part.hidden = over; });
    });
    this.find(".quiz-mark-all").hidden = over || this.atEnd;
    this.find(".quiz-hand-in").hidden = over;
    this.find(".quiz-result").hidden = !over;
    this.find(".quiz-answers").hidden = this.atEnd && !over;
  };

  act.open = function () {
    this.handedIn = this.asked = false;
    this.items.forEach(this.clear);
    this.foot(false);
    this.tellTotal("");
  };

  act.again = function () {
    var quiz = this;
    this.open();
    this.items.forEach(function (item) { quiz.show(item, (item.variant + 1) % item.variants.length); });
    putAll(this.items, {});
    this.remember();
    focus(one(this.section, ".quiz-stem"));
  };

  // ---- keeping: on the device, and in a file as the record ----

  act.state = function () {
    var variants = {}, shown = [];
    this.items.forEach(function (item) {
      if (item.variant) variants[item.id] = item.variant;
      if (item.mark) shown.push(item.id);
    });
    return {
      format: FORMAT, quiz: this.data.quiz, version: this.data.version, answers: answersOf(this.items), variants: variants,
      marked: shown, handed_in: this.handedIn
    };
  };

  act.remember = function () { keep(this.store, this.state()); };

  act.take = function (state) {
    var quiz = this, variants = table(state.variants), shown = Array.isArray(state.marked) ? state.marked : [];
    this.open();
    this.items.forEach(function (item) { quiz.show(item, Number(own(variants, item.id)) || 0); });
    putAll(this.items, table(state.answers));
    if (state.handed_in === true) {
      this.handedIn = true;
      this.result();
    } else if (!this.atEnd && shown.length) {
      this.items.forEach(function (item) { if (shown.indexOf(item.id) >= 0) quiz.markOne(item); });
      this.total();
    }
  };

  act.save = function () {
    this.say("saved", saveFile(this.data.quiz + "-answers.json", this.state()));
  };

  act.say = function (sentence, name) {
    this.find(".quiz-kept").textContent = filledIn(this.data.words[sentence], { name: name });
  };

  act.loaded = function (state) {
    var older = state.format === OLDER_FORMAT;
    if ((state.format !== FORMAT && !older) || state.answers !== table(state.answers)) {
      this.say("load-none");
    } else if (state.quiz !== this.data.quiz) {
      this.say("load-other");
    } else {
      if (older || state.version !== this.data.version) state.handed_in = state.marked = null;
      this.take(state);
      this.remember();
      this.say(older ? "load-older" : state.version === this.data.version ? "loaded" : "load-version");
    }
  };

  function begin() {
    all(document, ".quiz:not(.paper):not(.quiz-live)").forEach(function (section) { new Quiz(section); });
  }

  (typeof document === "undefined" ? globalThis : window).firstwayQuiz = { marked: marked, numberAndUnit: numberAndUnit, interval: interval };
  if (typeof document !== "undefined") {
    begin(); // a quiz above is ready at once
    document.addEventListener("DOMContentLoaded", begin);
  }
}());
