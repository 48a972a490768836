// Marks a quiz in its page. A classic script: no network, no library.

var OLDER_FORMAT = "firstway answers 1";

// Wilson 1927: 95 % interval of a share; a blank is no sample.
function interval(points, of, questions) {
  var z = 1.959964, n = questions, p = of ? points / of : 0, widened = 1 + z * z / n;
  var middle = (p + z * z / (2 * n)) / widened, half = z * Math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / widened;
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

// ---- the page ----

function Quiz(section) {
  (this.section = section).quiz = this;
  this.data = JSON.parse(one(section, ".quiz-data").textContent);
  this.store = PREFIX + "quiz:" + this.data.quiz + ":" + this.data.version;
  this.atEnd = this.data.marking === "at-the-end";
  this.handedIn = this.asked = this.whole = false;
  this.items = [];
  this.before = kept(this.store);
  this.isNew = !Object.keys(this.before).length;
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
  this.items.forEach(function (item, place) {
    item.fold = folds[place];
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
  if (!this.isNew) this.take(this.before); // else the page stands as made, or as answered since
  else if (this.atEnd) this.foot(false);
  else this.tally();
};

act.add = function (root) {
  var quiz = this, item = fieldsOf(root, function () { quiz.changed(item); });
  Object.assign(item, this.data.questions[this.items.length], { variant: 0, mark: null, other: one(root, ".quiz-other") });
  item.key = item.variants[0].key;
  all(root, ".quiz-mark-one").forEach(function (button) {
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
  item.number = this.items.push(item);
};

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
  if (!this.whole) return;
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
  if (this.whole) this.find(".quiz-total").textContent = sentence && filledIn(this.data.words[sentence], parts);
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
  all(document, ".quiz:not(.paper)").forEach(function (section) {
    var quiz = section.quiz || new Quiz(section);
    if (!quiz.whole) quiz.setUp();
  });
}

(typeof document === "undefined" ? globalThis : window).firstwayQuiz = { marked: marked, numberAndUnit: numberAndUnit, interval: interval };
if (typeof document !== "undefined") {
  begin(); // what stands above is ready at once
  document.addEventListener("DOMContentLoaded", begin);
}
