// Chooses the questions of a page while it is open, loads them, and hands them to the quiz.
// Needs progress.js and quiz.js before it. A classic script: no network, no library.
(function () {
"use strict";

var MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September",
  "October", "November", "December"];
var tools = window.firstwayQuiz, record = window.firstwayProgress, filledIn = tools.filledIn, ranked = tools.ranked;
var section = document.querySelector(".quiz-session");
var data = JSON.parse(section.querySelector(".session-data").textContent);
var words = data.said, index = table(), order = [], byQuestion = table();
var KEPT = "firstway:session:" + data.session, HASH = new URLSearchParams(location.hash.slice(1));

function table() { return Object.create(null); }
function one(selector) { return section.querySelector(selector); }
function say(selector, text) { one(selector).textContent = text; }

data.index.outcomes.forEach(function (row) {
  index[row[0]] = { id: row[0], text: row[1], chapter: row[2], questions: row[3] };
  order.push(row[0]);
  row[3].forEach(function (question) { byQuestion[question[0]] = { outcome: row[0], minutes: question[1] }; });
});

function dateWords(day) {
  var parts = record.dateOf(day).split("-");
  return Number(parts[2]) + " " + MONTHS[Number(parts[1]) - 1] + " " + parts[0];
}

function counted(number, word) { return number + " " + word + (number === 1 ? "" : "s"); }

// ---- choosing: values in, values out ----

// The question of an outcome that was met least; which of those hangs on the day alone.
function questionOf(outcome, met, day) {
  var times = table();
  met.forEach(function (row) { times[row[2]] = (times[row[2]] || 0) + 1; });
  return index[outcome].questions.slice().sort(function (a, b) {
    return (times[a[0]] || 0) - (times[b[0]] || 0) || ranked(day + a[0]) - ranked(day + b[0]);
  })[0][0];
}

// One question of each outcome, as many as the minutes hold; of a pair that is confused the other,
// where it was tried, comes right after.
function spread(outcomes, minutes, standings, met, day) {
  var chosen = [], left = minutes, taken = table();
  function take(outcome) {
    var question = questionOf(outcome, met, day), cost = byQuestion[question].minutes;
    if (taken[outcome] || cost > left) return false;
    taken[outcome] = true;
    left -= cost;
    chosen.push(question);
    return true;
  }
  outcomes.forEach(function (outcome) {
    if (!take(outcome)) return;
    data.index.confused.forEach(function (pair) {
      var other = pair[0] === outcome ? pair[1] : pair[1] === outcome ? pair[0] : "";
      if (other && index[other] && standings[other]) take(other);
    });
  });
  return chosen;
}

// Minutes of today's questions on outcomes that had been met on an earlier day.
function spentOn(met, day) {
  var before = table(), spent = table();
  met.forEach(function (row) {
    if (record.dayOf(row[0]) < day) before[row[1]] = true;
    else if (before[row[1]] && byQuestion[row[2]]) spent[row[2]] = byQuestion[row[2]].minutes;
  });
  return Object.keys(spent).reduce(function (sum, name) { return sum + spent[name]; }, 0);
}

function known(outcomes) { return outcomes.filter(function (name) { return index[name]; }); }

var CHOICES = {
  today: function (now) {
    return spread(known(record.summary([]).comesBack), data.most_minutes - spentOn(now.met, now.day), now.standings, now.met, now.day);
  },
  slipped: function (now) {
    var slipped = known(record.summary([]).slipped), back = record.summary([]).comesBack;
    slipped.sort(function (a, b) { return (back.indexOf(a) + 1 || 999) - (back.indexOf(b) + 1 || 999); });
    return spread(slipped, data.most_minutes, table(), now.met, now.day);
  },
  "ten-minutes": function (now) {
    var summary = record.summary([]), back = known(summary.comesBack), done = summary.done;
    var tried = order.filter(function (name) { return now.standings[name] && now.standings[name].last < now.day && back.indexOf(name) < 0; });
    var others = order.filter(function (name) { return !now.standings[name]; });
    tried.sort(function (a, b) { return now.standings[a].last - now.standings[b].last; });
    others.sort(function (a, b) { // first of chapters that were ticked
      return (done.indexOf(index[a].chapter) < 0) - (done.indexOf(index[b].chapter) < 0) || order.indexOf(a) - order.indexOf(b);
    });
    return spread(back.concat(tried, others), data.most_minutes, now.standings, now.met, now.day);
  },
  mock: function (now) { return mockOf(now.seed); }
};

// Over the outcomes in turn, safety first, no more drawings than the recipe has; then mixed.
function mockOf(seed) {
  var chosen = [], drawings = 0, left = table(), turn;
  function rank(name) { return ranked(seed + "|" + name); }
  function byRank(a, b) { return rank(a) - rank(b); }
  order.forEach(function (name) {
    left[name] = index[name].questions.slice().sort(function (a, b) { return b[2] - a[2] || rank(a[0]) - rank(b[0]); });
  });
  do {
    turn = chosen.length;
    order.slice().sort(byRank).forEach(function (name) {
      var place = left[name].findIndex(function (question) { return !question[3] || drawings < data.mock[1]; });
      if (chosen.length >= data.mock[0] || place < 0) return;
      drawings += left[name][place][3];
      chosen.push(left[name].splice(place, 1)[0][0]);
    });
  } while (chosen.length > turn && chosen.length < data.mock[0]);
  return chosen.sort(byRank);
}

// ---- the page ----

function kept() {
  try { return JSON.parse(window.localStorage.getItem(KEPT)) || {}; } catch (_) { return {}; }
}

function keep(value) {
  try {
    window.localStorage.setItem(KEPT, JSON.stringify(value));
    Object.keys(window.localStorage).forEach(function (name) { // answers of earlier days
      var own = "firstway:quiz:" + data.quiz + ":";
      if (name.indexOf(own) === 0 && name !== own + value.version) window.localStorage.removeItem(name);
    });
  } catch (_) { /* without it a reload chooses anew */ }
}

// The same questions until the day is over, or the mock's seed is another.
function chosen(now) {
  var was = kept(), mock = data.session === "mock", list;
  var fits = Array.isArray(was.questions) && was.questions.length && was.questions.every(function (name) { return byQuestion[name]; });
  if (fits && (mock ? was.seed === now.seed : was.day === now.day)) return was;
  list = CHOICES[data.session](now);
  was = { day: now.day, seed: now.seed || "", questions: list, version: (mock ? "s" : now.day + "-") + ranked(now.seed + list.join(" ")).toString(36) };
  if (list.length) keep(was);
  return was;
}

// Reads what questions stand in, once each, and goes on when all are there.
function load(names, done) {
  var outcomes = names.map(function (name) { return byQuestion[name].outcome; }).filter(function (name, place, all) {
    return all.indexOf(name) === place && !(window.firstwayQuestions || table())[name];
  });
  var waiting = outcomes.length, failed = false;
  function ended() {
    waiting -= 1;
    if (waiting > 0) return;
    if (failed) say(".session-said", words.missing);
    else done();
  }
  outcomes.forEach(function (outcome) {
    var script = document.createElement("script");
    script.onload = ended;
    script.onerror = function () { failed = true; ended(); };
    script.src = data.root + "assets/questions/" + outcome + ".js";
    document.head.appendChild(script);
  });
  if (!outcomes.length) ended();
}

function piece(html) {
  return document.importNode(new DOMParser().parseFromString("<ol>" + html + "</ol>", "text/html").querySelector("ol").firstElementChild, true);
}

function found(name) {
  return window.firstwayQuestions[byQuestion[name].outcome].filter(function (each) { return each.id === name; })[0];
}

// Some questions of a session, in their order; the answers come with the last.
function build(session, names) {
  var list = one(".quiz-questions"), script, made, mock = data.session === "mock";
  made = names.map(function (name) {
    var question = found(name), item = piece(question.html), other = item.querySelector(".quiz-other");
    item.querySelector(".quiz-place").textContent = filledIn(data.words.place, { number: list.children.length + 1, of: session.questions.length });
    if (mock) item.querySelector(".quiz-buttons").remove();
    else if (other) other.remove();
    list.appendChild(item);
    return { id: question.id, outcome: question.outcome, safety: question.safety, variants: question.variants };
  });
  if (section.quiz) {
    section.quiz.data.questions = section.quiz.data.questions.concat(made);
  } else {
    data.questions = made;
    data.version = session.version;
    script = document.createElement("script");
    script.type = "application/json";
    script.className = "quiz-data";
    script.textContent = JSON.stringify(data);
    section.appendChild(script);
  }
  if (list.children.length === session.questions.length) {
    session.questions.forEach(function (name) { one(".quiz-answers > ol").appendChild(piece(found(name).fold)); });
    one(".quiz-answers").hidden = false;
  }
  section.classList.remove("quiz-session");
  tools.begin();
  one(".quiz-again").hidden = true;
}

function nothing(now) {
  var standings = now.standings, names = Object.keys(standings), due = known(record.summary([]).comesBack);
  var next = names.map(function (name) { return standings[name].comesBack; }).filter(function (day) { return day > now.day; }).sort(function (a, b) { return a - b; })[0];
  if (!names.length) return words["nothing-tried"];
  if (data.session === "slipped") return words["nothing-slipped"];
  if (due.length) return words.enough;
  return words["nothing-today"] + (next ? " " + filledIn(words.next, { date: dateWords(next) }) : "");
}

// Where none was met before, the first is answered while the others are read.
function start(now) {
  var session = chosen(now), names = session.questions, minutes, first;
  if (!names.length) { say(".session-said", nothing(now)); return; }
  minutes = names.reduce(function (sum, name) { return sum + byQuestion[name].minutes; }, 0);
  first = names.some(function (name) { return record.times(name); }) ? names.length : 1;
  load(names.slice(0, first), function () {
    say(".session-said", filledIn(words.today, { count: counted(names.length, "question"), minutes: Math.ceil(minutes) }));
    build(session, names.slice(0, first));
    if (data.session === "mock") time(Math.ceil(minutes), session.version);
    if (first < names.length) load(names.slice(first), function () { build(session, names.slice(first)); });
  });
}

// ---- what the record says ----

function sentence(each, day) {
  var parts = { last: dateWords(each.last), days: counted(each.held, "day"), date: dateWords(each.comesBack) };
  var name = each.keepsSlipping && each.slipped ? "keeps-slipping" : each.slipped
    ? each.sure ? "slipped-sure" : each.hinted ? "slipped-hint" : "slipped" : each.held ? "held" : "recalled";
  return filledIn(words[name], parts) + "; " + filledIn(words[each.comesBack <= day ? "comes-back-today" : "comes-back"], parts);
}

function tellRecord() {
  var standings = record.standings(), list = one(".session-outcomes"), until = record.summary([]).until, trouble = record.summary([]).trouble;
  list.textContent = "";
  order.slice().sort(function (a, b) { return !standings[a] - !standings[b]; }).forEach(function (name) { // what was tried first
    var item = document.createElement("li"), strong = document.createElement("strong");
    strong.textContent = index[name].text + ": ";
    item.appendChild(strong);
    item.appendChild(document.createTextNode((standings[name] ? sentence(standings[name], record.today()) : words["not-tried"]) + "."));
    list.appendChild(item);
  });
  one(".session-date").value = until;
  say(".session-until", until ? filledIn(words.until, { date: dateWords(Date.parse(until) / 86400000) }) : words["until-none"]);
  if (trouble) say(".session-kept", trouble);
}

function recordPanel() {
  var wanted = HASH.get("until");
  one(".session-date").addEventListener("change", function () {
    if (record.setUntil(one(".session-date").value)) tellRecord();
    else say(".session-until", words["until-wrong"]);
  });
  one(".session-save").addEventListener("click", function () {
    say(".session-kept", filledIn(words.saved, { name: record.saveFile() }));
  });
  one(".session-load").addEventListener("change", function (event) {
    record.loadFile(event.target, function (sentence, found) {
      if (found) tellRecord();
      say(".session-kept", [found && words.loaded, sentence].filter(Boolean).join(" "));
      if (found && !section.classList.contains("quiz-live")) start(moment());
    });
  });
  if (wanted && wanted !== record.summary([]).until) {
    if (record.setUntil(wanted)) {
      tellRecord();
      say(".session-until", filledIn(words["until-link"], { date: dateWords(Date.parse(wanted) / 86400000) }));
    }
  } else { tellRecord(); }
  one(".session-record").addEventListener("toggle", tellRecord);
}

// ---- a mock: its seed and its time ----

function newSeed() { return ranked(String(Date.now()) + Math.random()).toString(36).slice(0, 6); }

function draw(seed) {
  location.hash = "seed=" + encodeURIComponent(seed);
  location.reload();
}

function mockPanel(seed) {
  say(".session-seed", filledIn(words.seed, { seed: seed }) + ".");
  one(".session-typed").value = seed;
  one(".session-draw").addEventListener("click", function () { draw(one(".session-typed").value.trim().slice(0, 40) || newSeed()); });
  one(".session-another").addEventListener("click", function () { draw(newSeed()); });
}

function time(minutes, version) {
  var was = kept().time || {}, seconds = was.version === version ? Number(was.seconds) || 0 : 0, paused = false;
  var allowed = was.version === version && Number(was.allowed) || minutes, shown = one(".session-timed"), pause = one(".session-pause");
  function tell() {
    var spent = Math.floor(seconds / 60);
    say(".session-time", !shown.checked ? "" : paused ? filledIn(words.paused, { spent: spent })
      : filledIn(words[spent >= allowed ? "time-up" : "time"], { spent: spent, minutes: allowed }));
    pause.textContent = words[paused ? "go-on" : "pause"];
  }
  function remember() {
    var session = kept();
    session.time = { version: version, seconds: seconds, allowed: allowed };
    keep(session);
  }
  shown.addEventListener("change", tell);
  pause.addEventListener("click", function () { paused = !paused; tell(); });
  one(".session-longer").addEventListener("click", function () { allowed += 10; remember(); tell(); });
  setInterval(function () {
    if (paused || section.classList.contains("quiz-over")) return;
    seconds += 1;
    if (seconds % 10 === 0) remember();
    if (seconds % 60 === 0) tell();
  }, 1000);
  tell();
}

function moment() {
  return { day: record.today(), met: record.record().met, standings: record.standings(), seed: "" };
}

function go() {
  var now = moment();
  data.root = document.querySelector("script[src$='assets/session.js']").getAttribute("src").replace("assets/session.js", "");
  one(".session-panel").hidden = false;
  if (data.session === "mock") {
    now.seed = (HASH.get("seed") || kept().seed || newSeed()).slice(0, 40);
    mockPanel(now.seed);
  } else { recordPanel(); }
  start(now);
}

go();
}());
