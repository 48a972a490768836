// The record of progress: chapters ticked, questions met, results. Kept on this device, saved to and
// loaded from one file. Its page shows ticks; whoever asks gets plain data (`window.firstwayProgress`).
(function () {
  "use strict";
  var STORE = "firstway.guide.record.1", ASIDE = STORE + ".unread", OLDER_TICKS = "firstway.guide.progress.1";
  var KIND = "firstway-progress", LARGEST = 5000000, DAY = 86400000;
  var SUPPOSED = 30; // days left where nobody has set a date
  var READERS = ["", "trainee", "installer"];
  var RIGHT = "right", HINT = "hint", SLIP = "slip";
  var NAME = /^[a-z0-9][a-z0-9.-]{0,79}$/, DATE = /^20[0-9][0-9]-[01][0-9]-[0-3][0-9]$/, LAST = 8e15;
  var NO_FILE = "That file is no saved progress; nothing was changed.";
  var TROUBLES = {
    refused: "This browser keeps nothing for this page. Save your progress to a file before you close it.",
    full: "This browser has no room left: what you do now is not kept. Save your progress to a file before you close it.",
    unread: "What this browser had kept could not be read whole. It was put aside, and what could be read stands here. Load your last saved file."
  };

  // ---- values: no page, no store, no clock ----

  // met: [time, outcome, question, mark, set of figures, sure (1), not sure (0) or not asked (-1)];
  // results: [time, quiz, points, of, answered]; ticks: chapter to [time, 1 or 0]; worked: example to
  // [time, stage, set of figures]; sheet: line of the one job to [time, what was typed];
  // reader: [who the reader said to be, time].
  function empty() {
    return { kind: KIND, version: 3, ticks: table(), until: ["", 0], met: [], results: [],
      worked: table(), sheet: table(), reader: ["", 0] };
  }
  function table() { return Object.create(null); } // names come from files

  function isTime(at) { return typeof at === "number" && at >= 0 && at <= LAST && Math.floor(at) === at; }
  function isName(name) { return typeof name === "string" && NAME.test(name); }
  function isCount(value) { return typeof value === "number" && value >= 0 && value <= 9999; }

  function isMet(row) {
    return Array.isArray(row) && row.length === 6 && isTime(row[0]) && isName(row[1]) && isName(row[2]) &&
      [RIGHT, HINT, SLIP].indexOf(row[3]) >= 0 && isCount(row[4]) && [-1, 0, 1].indexOf(row[5]) >= 0;
  }

  function isResult(row) {
    return Array.isArray(row) && row.length === 5 && isTime(row[0]) && isName(row[1]) && row.slice(2).every(isCount);
  }

  function isUntil(row) {
    return Array.isArray(row) && row.length === 2 && (row[0] === "" || DATE.test(row[0])) && isTime(row[1]) &&
      (!row[0] || !isNaN(new Date(row[0] + "T12:00:00").getTime()));
  }

  function isWorked(row) {
    return Array.isArray(row) && row.length === 3 && isTime(row[0]) && isCount(row[1]) && isCount(row[2]);
  }

  function isLine(row) {
    return Array.isArray(row) && row.length === 2 && isTime(row[0]) && typeof row[1] === "string" && row[1].length <= 40;
  }

  function isReader(row) {
    return Array.isArray(row) && row.length === 2 && READERS.indexOf(row[0]) >= 0 && isTime(row[1]);
  }

  // Named rows that are whole, into a table; whether all were.
  function taken(from, into, isWhole) {
    if (from === undefined) { return true; }
    if (!from || typeof from !== "object" || Array.isArray(from)) { return false; }
    return Object.keys(from).filter(function (name) {
      var whole = isName(name) && isWhole(from[name]);
      if (whole) { into[name] = from[name]; }
      return !whole;
    }).length === 0;
  }

  // A text to a record and whether all of it could be read; null where it is none.
  function read(text) {
    var data, found = empty(), whole = true, names;
    try { data = JSON.parse(text); } catch (_) { return null; }
    if (!data || data.kind !== KIND) { return null; }
    if (data.version === 1 && Array.isArray(data.done)) {
      data.done.forEach(function (name) { if (isName(name)) { found.ticks[name] = [0, 1]; } else { whole = false; } });
      return { record: found, whole: whole };
    }
    if ((data.version !== 2 && data.version !== 3) || !Array.isArray(data.met) || !Array.isArray(data.results)) { return null; }
    found.met = data.met.filter(isMet);
    found.results = data.results.filter(isResult);
    if (isUntil(data.until)) { found.until = data.until; } else { whole = false; }
    names = data.ticks && typeof data.ticks === "object" ? Object.keys(data.ticks) : [];
    names.forEach(function (name) {
      var tick = data.ticks[name];
      if (isName(name) && Array.isArray(tick) && isTime(tick[0]) && (tick[1] === 0 || tick[1] === 1)) {
        found.ticks[name] = [tick[0], tick[1]];
      } else { whole = false; }
    });
    whole = taken(data.worked, found.worked, isWorked) && whole;
    whole = taken(data.sheet, found.sheet, isLine) && whole;
    if (isReader(data.reader)) { found.reader = data.reader; } else if (data.reader !== undefined) { whole = false; }
    whole = whole && found.met.length === data.met.length && found.results.length === data.results.length;
    return { record: found, whole: whole };
  }

  function union(one, two) {
    var seen = table();
    return one.concat(two).filter(function (row) {
      var name = JSON.stringify(row), known = seen[name];
      seen[name] = true;
      return !known;
    }).sort(function (a, b) { return a[0] - b[0] || (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1); });
  }

  // Of two rows that begin with their time the later one; of the same time always the same one.
  function later(one, two) {
    if (!one || !two) { return one || two; }
    if (one[0] !== two[0]) { return one[0] > two[0] ? one : two; }
    return JSON.stringify(one) > JSON.stringify(two) ? one : two;
  }

  function laterReader(one, two) {
    return one[1] > two[1] || (one[1] === two[1] && one[0] > two[0]) ? one : two;
  }

  // Two records to one that holds all of both; in whichever order.
  function merged(one, two) {
    var found = empty();
    [one, two].forEach(function (each) {
      Object.keys(each.ticks).forEach(function (name) {
        var tick = each.ticks[name], now = found.ticks[name];
        if (!now || tick[0] > now[0] || (tick[0] === now[0] && tick[1] > now[1])) { found.ticks[name] = tick; }
      });
      if (each.until[1] > found.until[1] || (each.until[1] === found.until[1] && each.until[0] > found.until[0])) {
        found.until = each.until;
      }
    });
    ["worked", "sheet"].forEach(function (what) {
      [one, two].forEach(function (each) {
        Object.keys(each[what] || {}).forEach(function (name) { // a record of an older guide has none
          found[what][name] = later(found[what][name], each[what][name]);
        });
      });
    });
    found.reader = laterReader(one.reader || ["", 0], two.reader || ["", 0]);
    found.met = union(one.met, two.met);
    found.results = union(one.results, two.results);
    return found;
  }

  // The number of a day as the clock of this place counts it.
  function dayOf(at) { return Math.floor((at - new Date(at).getTimezoneOffset() * 60000) / DAY); }
  function dayOfDate(date) { return Math.round(Date.parse(date + "T00:00:00Z") / DAY); }
  function dateOf(day) { return new Date(day * DAY).toISOString().slice(0, 10); }

  // Days until an outcome that was recalled comes back: a fifth of the days left up to four weeks
  // before the date, a tenth from half a year on, a straight line between.
  function gapFor(left) {
    var share = left <= 28 ? 0.2 : left >= 182 ? 0.1 : 0.2 - 0.1 * (left - 28) / (182 - 28);
    return Math.max(1, Math.round(share * left));
  }

  // What a record says of one outcome on a day. A day with a miss or a hint counts as a miss.
  function standing(met, until, today) {
    var days = [], ahead = false, last, previous, left, gap;
    met.forEach(function (row) {
      var day = Math.min(dayOf(row[0]), today), now = days[days.length - 1];
      ahead = dayOf(row[0]) > today; // the clock was put right since
      if (!now || now.day !== day) { days.push(now = { day: day, mark: RIGHT, hinted: false, sure: false }); }
      if (row[3] !== RIGHT) { now.mark = SLIP; }
      if (row[3] === HINT) { now.hinted = true; }
      if (row[3] === SLIP && row[5] === 1) { now.sure = true; }
    });
    if (!days.length) { return null; }
    last = days[days.length - 1];
    previous = days[days.length - 2];
    left = until ? dayOfDate(until) - last.day : 0;
    gap = last.mark === RIGHT ? gapFor(left > 0 ? left : SUPPOSED) : 1;
    return {
      last: last.day, slipped: last.mark === SLIP, hinted: last.hinted, sure: last.sure,
      keepsSlipping: days.slice(-3).filter(function (each) { return each.mark === SLIP; }).length > 1,
      held: last.mark === RIGHT && previous ? last.day - previous.day : 0, // days of the gap it was held after
      gap: gap, comesBack: ahead ? today : last.day + gap
    };
  }

  // Outcome to its standing.
  function standings(record, today) {
    var of = table(), found = table();
    record.met.forEach(function (row) { (of[row[1]] = of[row[1]] || []).push(row); });
    Object.keys(of).forEach(function (name) { found[name] = standing(of[name], record.until[0], today); });
    return found;
  }

  // Outcomes that come back on a day, the most urgent first: those missed though sure, those missed,
  // then by how far they are beyond their gap. What was missed days ago waits; nothing piles up.
  function comesBack(found, today) {
    function urgency(name) {
      var each = found[name];
      return (each.sure ? 2000 : each.slipped ? 1000 : 0) + Math.min(999, (today - each.comesBack) / each.gap);
    }
    return Object.keys(found).filter(function (name) { return found[name].comesBack <= today; })
      .sort(function (one, two) { return urgency(two) - urgency(one) || (one < two ? -1 : 1); });
  }

  // ---- the store: missing, full, forbidden, or written to by any other local page ----

  var memory = null, trouble = "";

  function stored() {
    var text, older, found;
    try {
      text = window.localStorage.getItem(STORE);
      older = window.localStorage.getItem(OLDER_TICKS);
    } catch (_) { trouble = trouble || "refused"; return empty(); }
    found = text === null ? null : read(text);
    if (text !== null && !(found && found.whole)) {
      trouble = "unread";
      try { if (window.localStorage.getItem(ASIDE) === null) { window.localStorage.setItem(ASIDE, text); } } catch (_) { trouble = "full"; }
    }
    older = older === null ? null : read(older);
    found = found ? found.record : empty();
    return older ? merged(found, older.record) : found;
  }

  // What is kept and what this page knows, as one: another page may have written meanwhile.
  function current() { return (memory = memory ? merged(memory, stored()) : stored()); }

  function changed(change) {
    var record = current();
    change(record);
    try {
      window.localStorage.setItem(STORE, JSON.stringify(record));
      if (trouble !== "unread") { trouble = ""; }
    } catch (_) { trouble = trouble === "refused" ? trouble : "full"; }
    return record;
  }

  function now() { return Date.now(); }
  function today() { return dayOf(now()); }

  function saveFile() {
    var link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(current()) + "\n"], { type: "application/json" }));
    link.download = "firstway-progress.json";
    document.body.appendChild(link);
    link.click();
    document.body.removeChild(link);
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
    return link.download;
  }

  // `said` gets a sentence, or "" and the record that was read, which then is part of this one.
  function loadFile(input, said) {
    var file = input.files && input.files[0], reader = new FileReader();
    if (!file) { return; }
    if (file.size > LARGEST) { input.value = ""; said(NO_FILE, null); return; }
    reader.onload = function () {
      var found = read(String(reader.result));
      input.value = "";
      if (!found) { said(NO_FILE, null); return; }
      changed(function (record) {
        copy(merged(record, found.record), record);
        Object.keys(found.record.ticks).forEach(function (name) { // who loads a tick wants it
          if (found.record.ticks[name][1]) { record.ticks[name] = [now(), 1]; }
        });
      });
      said(found.whole ? "" : "Some of that file could not be read; the rest is here.", found.record);
    };
    reader.onerror = function () { input.value = ""; said("The file could not be read; nothing was changed.", null); };
    reader.readAsText(file);
  }

  function copy(from, into) { Object.keys(from).forEach(function (name) { into[name] = from[name]; }); }

  // ---- what other scripts ask ----
  //
  // summary(chapters) -> plain data, for a home page or an index. `chapters`: ids in reading order.
  //   next        id of the first chapter not done, or ""
  //   done        ids of chapters that are done: ticked, by hand or read to their end, or their quiz
  //               handed in since the tick was taken away (a quiz of a chapter has its name)
  //   comesBack   ids of outcomes that come back today, the most urgent first (quiz/outcomes.yaml)
  //   slipped, keepsSlipping   ids of outcomes missed when last met; missed twice in the last three
  //   last        {quiz, at, points, out_of, answered} of the quiz handed in last, or null;
  //               `quiz` is its id, its page quizzes/ID.html; `at` milliseconds
  //   until       the date to which all is kept, "2027-03-01", or ""
  //   trouble     a sentence where the browser keeps nothing, or could not read all; else ""
  function summary(chapters) {
    var record = current(), found = standings(record, today()), last = record.results[record.results.length - 1];
    function isChapter(name) { return name.indexOf(".") < 0; } // jobs and boards have one
    function isDone(name) {
      var tick = record.ticks[name] || [0, 0];
      return Boolean(tick[1]) || record.results.some(function (row) { return row[1] === name && row[0] > tick[0]; });
    }
    function those(what) { return Object.keys(found).filter(function (name) { return found[name][what]; }).sort(); }
    return {
      next: (chapters || []).filter(function (name) { return !isDone(name); })[0] || "",
      done: Object.keys(record.ticks).filter(isChapter).concat(chapters || []).filter(function (name, place, all) {
        return all.indexOf(name) === place && isDone(name);
      }).sort(),
      comesBack: comesBack(found, today()),
      slipped: those("slipped"),
      keepsSlipping: those("keepsSlipping"),
      last: last ? { at: last[0], quiz: last[1], points: last[2], out_of: last[3], answered: last[4] } : null,
      until: record.until[0],
      trouble: trouble ? TROUBLES[trouble] : ""
    };
  }

  var asked = {
    summary: summary,
    // a question was met: question id, outcome id, "right", "hint" or "slip", set of figures, sure
    met: function (question, outcome, mark, set, sure) {
      var row = [now(), outcome, question, mark, set, sure];
      if (isMet(row)) { changed(function (record) { record.met = union(record.met, [row]); }); }
      return trouble ? TROUBLES[trouble] : "";
    },
    // how often a question was met on this device and those whose files were loaded
    times: function (question) {
      return current().met.filter(function (row) { return row[2] === question && row[3] !== HINT; }).length;
    },
    result: function (quiz, points, outOf, answered) {
      var row = [now(), quiz, points, outOf, answered];
      if (isResult(row)) { changed(function (record) { record.results = union(record.results, [row]); }); }
    },
    tick: function (chapter, done) { changed(function (record) { record.ticks[chapter] = [now(), done ? 1 : 0]; }); },
    setUntil: function (date) {
      var row = [date, now()];
      if (!isUntil(row)) { return false; }
      changed(function (record) { record.until = row; });
      return true;
    },
    // a worked example stands at a stage, and takes that set of figures next
    setWorked: function (name, stage, turn) {
      var row = [now(), stage, turn];
      if (isName(name) && isWorked(row)) { changed(function (record) { record.worked[name] = row; }); }
      return trouble ? TROUBLES[trouble] : "";
    },
    // a line of the one job's sheet
    setLine: function (name, typed) {
      var row = [now(), typed.slice(0, 40)];
      if (isName(name)) { changed(function (record) { record.sheet[name] = row; }); }
      return trouble ? TROUBLES[trouble] : "";
    },
    setReader: function (who) {
      var row = [who, now()];
      if (isReader(row)) { changed(function (record) { record.reader = row; }); }
    },
    record: current, saveFile: saveFile, loadFile: loadFile,
    today: today, dayOf: dayOf, dateOf: dateOf,
    standings: function () { return standings(current(), today()); },
    pure: { read: read, merged: merged, gapFor: gapFor, standings: standings, comesBack: comesBack, empty: empty }
  };
  if (typeof document === "undefined") { globalThis.firstwayProgress = asked; return; }
  window.firstwayProgress = asked;

  // ---- ticks beside the chapters; without this the list of chapters stands as it is ----

  var list = document.querySelector("[data-progress]"), panel = document.querySelector(".progress");
  if (!list || !panel) { return; }
  var boxes = {}, names = [], count = panel.querySelector(".progress-count");
  Array.prototype.forEach.call(list.querySelectorAll("[data-chapter]"), function (item) {
    var name = item.getAttribute("data-chapter"), label = item.querySelector("label");
    boxes[name] = label.querySelector("input");
    names.push(name);
    label.hidden = false;
    boxes[name].addEventListener("change", function () { asked.tick(name, boxes[name].checked); tell(""); });
  });

  function show() {
    var done = summary(names).done;
    names.forEach(function (name) { boxes[name].checked = done.indexOf(name) >= 0; });
  }

  function tell(words) {
    var done = names.filter(function (name) { return boxes[name].checked; });
    count.textContent = [words, done.length + " of " + names.length + " chapters done.", trouble && TROUBLES[trouble]]
      .filter(Boolean).join(" ");
  }

  panel.querySelector(".progress-save").addEventListener("click", function () { saveFile(); tell("Saved."); });
  panel.querySelector("input[type=file]").addEventListener("change", function (event) {
    loadFile(event.target, function (sentence, record) {
      var unknown = record && Object.keys(record.ticks).filter(function (name) {
        return names.indexOf(name) < 0 && name.indexOf(".") < 0; // no chapter has one
      }).length;
      if (record) { show(); }
      tell((record ? "Loaded." : "") + (sentence ? " " + sentence : "") +
        (unknown ? " " + unknown + " of its chapters are not in this guide." : ""));
    });
  });
  show();
  panel.hidden = false;
  tell("");
})();
