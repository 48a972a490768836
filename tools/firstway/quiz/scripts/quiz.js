// Marks a quiz in its page. A classic script: no network, no library.

var OLDER_FORMAT = "firstway answers 1";

// Wilson 1927: 95 % interval of a share; a blank is no sample.
function interval(points, of, questions) {
  var z = 1.959964, n = questions, p = of ? points / of : 0, widened = 1 + z * z / n;
  var middle = (p + z * z / (2 * n)) / widened, half = z * Math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / widened;
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

// A number of a text, the same everywhere: it ranks what is drawn or put in another order (FNV-1a, 32 bit).
function ranked(text) {
  var hash = 2166136261, place;
  for (place = 0; place < text.length; place += 1) hash = Math.imul(hash ^ text.charCodeAt(place), 16777619);
  return (Math.imul(hash ^ (hash >>> 15), 2246822507) ^ (hash >>> 13)) >>> 0;
}

function inOrder(things, rank) {
  return things.slice().sort(function (one, two) { return rank(one) - rank(two); });
}

// ---- the page ----

// Without its script a quiz marks all the same and keeps no record.
var NO_RECORD = { met: function () { return ""; }, result: function () {}, times: function () { return 0; } };

function progress() { return window.firstwayProgress || NO_RECORD; }

function Quiz(section) {
  (this.section = section).quiz = this;
  this.data = JSON.parse(one(section, ".quiz-data").textContent);
  this.store = PREFIX + "quiz:" + this.data.quiz + ":" + this.data.version;
  this.atEnd = this.data.marking === "at-the-end";
  this.nudge = Object.assign({}, this.data.words, this.data.nudge);
  this.handedIn = this.asked = this.whole = false;
  this.items = [];
  this.turn = 0;
  this.before = kept(this.store);
  this.isKept = Object.keys(this.before).length > 0;
  this.isNew = !this.isKept && !this.data.questions.some(function (question) { return progress().times(question.id); });
}

var act = Quiz.prototype;

// The script stands below the first question: it is answered while the rest is read.
act.setUp = function () {
  var quiz = this, section = this.section, folds = all(section, ".quiz-answers > ol > li");
  if (!this.isNew && !folds.length) return;
  all(section, ".quiz-question").slice(this.items.length).forEach(this.add, this);
  all(section, ".quiz-buttons, .quiz-foot, .quiz-moves").forEach(function (part) { part.hidden = false; });
  section.classList.add("quiz-live");
  if (!folds.length) return;
  this.whole = true;
  this.made = this.items.slice();
  this.items.forEach(function (item, place) {
    item.fold = folds[place];
    item.sheet = all(section, ".quiz-sheet > ol > li")[place];
    fromFold(item);
    if (item.variant) quiz.show(item, item.variant);
  });
  this.on("form", "submit", function (event) { event.preventDefault(); });
  all(section, "[data-act]").forEach(function (button) {
    button.addEventListener("click", function () { quiz[button.dataset.act](); });
  });
  this.on(".quiz-load input", "change", function (event) {
    readFile(event.target, function (sentence) { quiz.say(sentence); }, function (state) { quiz.loaded(state); });
  });
  var varied = this.items.some(function (item) { return item.variants[1]; });
  this.find(".quiz-again").textContent = this.data.words[varied ? "again-other" : "again"];
  if (this.isKept) this.take(this.before); // else the page stands as made, or as answered since
  else if (!this.isNew) this.meet();
  else if (!this.atEnd) this.tally();
  if (!this.isKept && this.atEnd) this.foot(false);
};

act.add = function (root) {
  var quiz = this, item = fieldsOf(root, function () { quiz.changed(item); });
  Object.assign(item, this.data.questions[this.items.length], { variant: 0, other: one(root, ".quiz-other") });
  item.key = item.variants[0].key;
  begun(item);
  item.show = element("button", this.data.words.show, "quiz-show");
  item.show.type = "button";
  item.show.hidden = true;
  item.show.addEventListener("click", function () { quiz.giveUp(item); });
  all(root, ".quiz-mark-one").forEach(function (button) {
    button.parentNode.insertBefore(item.show, button.nextSibling);
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
  item.options = lettered(root, item.form);
  item.letters = item.options.map(function (label) { return one(label, "input").value; });
  if (item.safety) confidence(item, quiz);
  item.number = this.items.push(item);
};

// Options whose order says nothing: no spots of a drawing, no numbers in order of size.
function lettered(root, form) {
  var labels = /^(one|several)-/.test(form) && !one(root, ".quiz-drawing") ? all(root, ".quiz-options label") : [];
  return labels.every(function (label) { return /^. ?[-0-9\u2212]/.test(label.textContent); }) ? [] : labels;
}

function begun(item) {
  item.mark = item.tried = item.missed = null;
  item.settled = false;
}

function confidence(item, quiz) {
  var box = element("fieldset", "", "quiz-confidence");
  box.appendChild(element("legend", quiz.data.words["sure-asked"]));
  item.sure = ["sure-yes", "sure-no"].map(function (word, place) {
    var label = element("label", ""), input = element("input", "");
    input.type = "radio";
    input.name = one(item.element, "fieldset").id + "-sure";
    input.value = String(1 - place);
    input.addEventListener("change", function () { quiz.remember(); });
    label.appendChild(input);
    label.appendChild(document.createTextNode(" " + quiz.data.words[word]));
    box.appendChild(label);
    return input;
  });
  item.said.parentNode.insertBefore(box, one(item.element, ".quiz-buttons") || item.said);
}

function sureOf(item) {
  var chosen = (item.sure || []).filter(function (input) { return input.checked; })[0];
  return chosen ? Number(chosen.value) : -1;
}
// What the fold says the data says again of the first question alone.
function fromFold(item) {
  if (item.key.why) return;
  var wrong = (item.key.options || []).filter(function (option) { return !option.right; });
  item.key.why = one(item.fold, ".quiz-why").textContent;
  wrong.forEach(function (option, place) {
    option.mistake = all(item.fold, "li > i")[place].textContent;
    option.feedback = all(item.fold, "li > span")[place].textContent;
  });
}

act.find = function (selector) { return one(this.section, selector); };

act.on = function (selector, event, act) { this.find(selector).addEventListener(event, act); };

// Met before: the questions in another order, other figures, other letters.
act.meet = function () {
  var quiz = this, times = this.items.map(function (item) { return progress().times(item.id); });
  this.made.forEach(function (item, place) { if (times[place]) quiz.show(item, times[place] % item.variants.length); });
  this.arrange(Math.max.apply(null, times));
};

// The same questions in another order (one that was chosen stays), and options where theirs says nothing; 0: as they were made.
act.arrange = function (turn) {
  var quiz = this, list = this.find(".quiz-questions"), folds = this.find(".quiz-answers > ol"), sheet = one(this.section, ".quiz-sheet > ol");
  this.turn = turn;
  this.items = inOrder(this.items, function (item) { return turn && !quiz.data.session ? ranked(turn + " " + item.id) : quiz.made.indexOf(item); });
  this.items.forEach(function (item, place) {
    item.number = place + 1;
    one(item.element, ".quiz-place").textContent = filledIn(quiz.data.words.place, { number: place + 1, of: quiz.items.length });
    list.appendChild(item.element);
    folds.appendChild(item.fold);
    if (item.sheet) sheet.appendChild(item.sheet);
    letter(item, turn);
  });
};

function letter(item, turn) {
  var shown = {};
  inOrder(item.options, function (label) {
    var own = one(label, "input").value;
    return turn ? ranked(turn + item.id + own) : item.letters.indexOf(own);
  }).forEach(function (label, place) {
    label.parentNode.appendChild(label);
    one(label, "b").textContent = shown[one(label, "input").value] = item.letters[place];
  });
  if (!item.options.length) return;
  all(item.fold, "li > b").forEach(function (name) { // their first letters are those of the data
    name.dataset.letter = name.dataset.letter || name.textContent;
    name.textContent = shown[name.dataset.letter] || name.textContent;
  });
}

act.changed = function (item) {
  this.clear(item);
  pointedAt(item);
  this.asked = false;
  this.remember();
  this.tally();
};

act.tally = function () {
  if (this.items.some(function (item) { return item.mark; })) this.total();
  else this.tellTotal("");
};

act.clear = function (item) {
  if (!item.tried) item.mark = null; // what was marked first counts
  item.said.textContent = "";
  item.element.removeAttribute("data-state");
  if (item.other) item.other.hidden = true;
  if (item.show) item.show.hidden = true;
};

act.markNow = function (item) {
  this.markOne(item, false);
  this.total();
  this.remember();
};

act.giveUp = function (item) {
  this.markOne(item, true);
  this.remember();
  focus(one(item.element, ".quiz-stem"));
};

// A first miss gets a nudge and a second try; then the answer is told with its working. What the
// first try was counts; the record is told each once.
act.markOne = function (item, final) {
  var mark = marked(item.key, answerOf(item), this.data.words), right = mark.state === "right", hinted = false;
  if (!ASKS_AGAIN.test(mark.state) && !item.settled) {
    hinted = right && Boolean(item.tried);
    item.settled = right || final || Boolean(item.tried) && answerOf(item) !== item.missed;
    if (!item.tried || hinted) this.note(item, hinted ? "hint" : right ? "right" : "slip");
    if (!item.tried) item.tried = { points: mark.points };
    if (!right) item.missed = answerOf(item);
  }
  this.tellMark(item, mark, hinted);
};

act.note = function (item, mark) {
  var trouble = progress().met(item.id, item.outcome, mark, item.variant, sureOf(item));
  if (trouble && this.whole) this.find(".quiz-kept").textContent = trouble;
};

act.tellMark = function (item, mark, hinted) {
  var nudged = !ASKS_AGAIN.test(mark.state) && !item.settled;
  if (nudged) mark = marked(item.key, answerOf(item), this.nudge);
  item.mark = mark;
  item.element.dataset.state = item.mark.state;
  item.said.textContent = "";
  tell(item, item.mark.feedback);
  // The verdict stands out; the number is for those who hear it.
  var first = item.said.firstChild, words = first.textContent, end = words.search(/[.:]/) + 1;
  first.textContent = "";
  first.appendChild(element("span", "Question " + item.number + ": ", "quiz-aside"));
  first.appendChild(element("strong", words.slice(0, end)));
  first.appendChild(document.createTextNode(words.slice(end)));
  if (hinted) tell(item, this.data.words.hinted);
  if (item.settled && mark.state !== "right" && !ASKS_AGAIN.test(mark.state) && item.fold) working(item);
  if (item.other) item.other.hidden = !item.settled;
  item.show.hidden = !nudged;
};

// Beside the answer what its fold holds: the step it comes from, and its source.
function working(item) {
  var from = one(item.fold, ".quiz-source"), step = one(item.fold, "strong > data");
  if (step && !item.variant) item.said.appendChild(element("p", "")).appendChild(step.cloneNode(true));
  if (from) item.said.appendChild(from.cloneNode(true));
}

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
  if (!this.whole) return;
  one(item.fold, ".quiz-first").hidden = item.variant > 0;
  one(item.fold, ".quiz-these").textContent = item.variant > 0 ? filledIn(this.data.words.told, item.key) : "";
};

act.otherFigures = function (item) {
  this.show(item, (item.variant + 1) % item.variants.length);
  putIn(item, "");
  begun(item);
  this.changed(item);
  focus(one(item.element, ".quiz-stem"));
};

function pointsOf(item) {
  return item.tried ? Math.max(0, Math.min(mostPoints(item.key), Number(item.tried.points) || 0)) : 0;
}

act.sum = function (items) {
  var sum = { points: 0, out_of: 0, counted: 0, asked: 0, of: items.length };
  items.forEach(function (item) {
    sum.out_of += mostPoints(item.key);
    sum.points += pointsOf(item);
    if (item.mark && !ASKS_AGAIN.test(item.mark.state)) { sum.counted += 1; sum.asked += mostPoints(item.key); }
  });
  return sum;
};

act.total = function () {
  var sum = this.sum(this.items);
  this.tellTotal("total", { counted: sum.counted, questions: sum.of, points: sum.points, out_of: sum.out_of });
};

act.tellTotal = function (sentence, parts) {
  if (this.whole) this.find(".quiz-total").textContent = sentence && filledIn(this.data.words[sentence], parts);
};

act.markAll = function () {
  this.items.forEach(function (item) { if (!item.settled) this.markOne(item, false); }, this);
  this.total();
  this.remember();
};

act.handIn = function () {
  var quiz = this, sum, open = this.items.filter(function (item) {
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
  this.result();
  this.remember();
  sum = this.sum(this.items);
  progress().result(this.data.quiz, sum.points, sum.out_of, sum.counted);
  focus(this.find(".quiz-result h2"));
};

act.result = function () {
  var quiz = this, sum, list = this.find(".quiz-unsure ul"), bounds, lost = [], urgent = {}, rows, pages;
  this.items.forEach(function (item) {
    quiz.markOne(item, true);
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
    if (!item.safety || pointsOf(item) === mostPoints(item.key)) return;
    var entry = element("li", ""), link = element("a", "Question " + item.number + ": " + one(item.element, ".quiz-stem").textContent);
    link.href = "#" + one(item.element, "fieldset").id;
    entry.appendChild(link);
    list.appendChild(entry);
  });
  rows = all(this.section, ".quiz-points tbody tr");
  rows.forEach(function (row, place) {
    var id = row.dataset.outcome, items = quiz.items.filter(function (item) { return item.outcome === id; }), own = quiz.sum(items);
    one(row, "td").textContent = own.points + " of " + own.out_of;
    row.hidden = !items.length;
    urgent[id] = urgencyOf(items, own) * 1000 - place;
    if (own.points < own.out_of) lost.push(id);
  });
  inOrder(rows, function (row) { return -urgent[row.dataset.outcome]; }).forEach(function (row) { row.parentNode.appendChild(row); });
  pages = all(this.section, ".quiz-reread li");
  pages.forEach(function (page) {
    page.hidden = !page.dataset.outcomes.split(" ").some(function (id) { return lost.indexOf(id) >= 0; });
  });
  inOrder(pages, function (page) {
    return -Math.max.apply(null, page.dataset.outcomes.split(" ").map(function (id) { return urgent[id]; }));
  }).forEach(function (page) { page.parentNode.appendChild(page); });
  this.tellTotal("");
  this.foot(true);
};

// The most urgent outcome first: safety missed though sure, safety missed, then by the share lost.
function urgencyOf(items, own) {
  var missed = items.filter(function (item) { return item.safety && pointsOf(item) < mostPoints(item.key); });
  return (missed.some(function (item) { return sureOf(item) === 1; }) ? 4 : missed.length ? 2 : 0) + (own.out_of ? 1 - own.points / own.out_of : 0);
}

act.foot = function (over) {
  this.items.forEach(function (item) {
    item.controls.forEach(function (control) { control.disabled = over; });
    all(item.element, ".quiz-buttons").forEach(function (part) { part.hidden = over; });
  });
  this.section.classList.toggle("quiz-over", over);
  this.find(".quiz-mark-all").hidden = over || this.atEnd;
  this.find(".quiz-hand-in").hidden = over;
  this.find(".quiz-result").hidden = !over;
  this.find(".quiz-answers").hidden = this.atEnd && !over;
};

act.open = function () {
  this.handedIn = this.asked = false;
  this.items.forEach(begun);
  this.items.forEach(this.clear);
  this.foot(false);
  this.tellTotal("");
};

act.again = function () {
  var quiz = this;
  this.open();
  this.items.forEach(function (item) {
    quiz.show(item, (item.variant + 1) % item.variants.length);
    (item.sure || []).forEach(function (input) { input.checked = false; });
  });
  putAll(this.items, {});
  this.arrange(this.turn + 1);
  this.remember();
  focus(one(this.section, ".quiz-stem"));
};

// ---- keeping: on the device, and in a file as the record ----

function list(value) { return Array.isArray(value) ? value : []; }

act.state = function () {
  var variants = {}, shown = [], first = {}, missed = {}, sure = {}, settled = [];
  this.items.forEach(function (item) {
    if (item.variant) variants[item.id] = item.variant;
    if (item.tried) first[item.id] = item.tried.points;
    if (item.missed) missed[item.id] = item.missed;
    if (item.settled) settled.push(item.id);
    if (sureOf(item) >= 0) sure[item.id] = sureOf(item);
    if (item.mark) shown.push(item.id);
  });
  return {
    format: FORMAT, quiz: this.data.quiz, version: this.data.version, answers: answersOf(this.items), variants: variants,
    marked: shown, first: first, missed: missed, settled: settled, sure: sure, turn: this.turn, handed_in: this.handedIn
  };
};

act.remember = function () { keep(this.store, this.state()); };

act.take = function (state) {
  var quiz = this, variants = table(state.variants), shown = list(state.marked), settled = list(state.settled);
  this.open();
  this.arrange(Math.floor(Number(state.turn)) || 0);
  putAll(this.items, table(state.answers));
  this.items.forEach(function (item) {
    var first = own(table(state.first), item.id), missed = own(table(state.missed), item.id), sure = own(table(state.sure), item.id);
    quiz.show(item, Number(own(variants, item.id)) || 0);
    (item.sure || []).forEach(function (input) { input.checked = String(sure) === input.value; });
    if (typeof first === "number") item.tried = { points: first };
    if (typeof missed === "string") item.missed = missed;
    item.settled = settled.indexOf(item.id) >= 0;
  });
  this.items.forEach(function (item) { // an older edition told the answer at once
    if (state.handed_in !== true && (table(state.first) === state.first || shown.indexOf(item.id) < 0)) return;
    item.settled = true;
    item.tried = item.tried || { points: marked(item.key, answerOf(item), quiz.data.words).points };
  });
  if (state.handed_in === true) {
    this.handedIn = true;
    this.result();
  } else if (!this.atEnd && shown.length) {
    this.items.forEach(function (item) {
      var mark = marked(item.key, answerOf(item), quiz.data.words);
      if (shown.indexOf(item.id) < 0) return;
      if (item.settled || answerOf(item) === item.missed || ASKS_AGAIN.test(mark.state)) quiz.tellMark(item, mark, false);
      else item.mark = mark; // a second try that was not marked yet
    });
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
    if (older || state.version !== this.data.version) state.handed_in = state.marked = state.first = state.missed = state.settled = null;
    this.take(state);
    this.remember();
    this.say(older ? "load-older" : state.version === this.data.version ? "loaded" : "load-version");
  }
};

function begin() {
  all(document, ".quiz:not(.paper, .quiz-session)").forEach(function (section) {
    var quiz = section.quiz || new Quiz(section);
    if (!quiz.whole) quiz.setUp();
  });
}

(typeof document === "undefined" ? globalThis : window).firstwayQuiz = {
  marked: marked, numberAndUnit: numberAndUnit, interval: interval, ranked: ranked, filledIn: filledIn, begin: begin
};
if (typeof document !== "undefined") {
  begin(); // what stands above is ready at once
  document.addEventListener("DOMContentLoaded", begin);
}
