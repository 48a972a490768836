// How far a reader is, in words, from what the device holds (progress.js): at home, in the lists, and
// what counts as read or tried. Without a record every page stands as it was written.
(function () {
  "use strict";
  var asked = window.firstwayProgress;
  if (!asked) { return; }
  var STEMS = /^(job|board)\./;
  function all(found, within) { return Array.prototype.slice.call((within || document).querySelectorAll(found)); }
  function one(found, within) { return (within || document).querySelector(found); }

  // ---- what counts as read or tried ----

  function tick(name) {
    var ticks = asked.record().ticks;
    if (!(ticks[name] && ticks[name][1])) { asked.tick(name, true); }
  }
  all("[data-read]").forEach(function (end) {
    if (!window.IntersectionObserver) { return; }
    var watch = new IntersectionObserver(function (seen) {
      if (!seen.some(function (each) { return each.isIntersecting; })) { return; }
      watch.disconnect();
      tick(end.getAttribute("data-read"));
    });
    watch.observe(end);
  });
  all("details[data-tried]").forEach(function (answer) {
    answer.addEventListener("toggle", function () { if (answer.open) { tick(answer.getAttribute("data-tried")); } });
  });

  // ---- words beside what the lists name ----

  function lastOf(quiz, results) { return results.filter(function (row) { return row[1] === quiz; }).pop(); }
  function isHeld(outcomes, standings, today) {
    return outcomes.length > 0 && outcomes.every(function (name) {
      return standings[name] && !standings[name].slipped && standings[name].comesBack > today;
    });
  }
  function points(row) { return row[2] + " of " + row[3] + " points"; }
  function words() {
    var record = asked.record(), standings = asked.standings(), today = asked.today();
    all("[data-state]").forEach(function (place) {
      var own = record.ticks[place.getAttribute("data-state")];
      place.textContent = own && own[1] ? place.getAttribute("data-word") : "";
    });
    all(".state[data-quiz]").forEach(function (place) {
      var row = lastOf(place.getAttribute("data-quiz"), record.results);
      var outcomes = (place.getAttribute("data-outcomes") || "").split(" ").filter(Boolean);
      var state = isHeld(outcomes, standings, today) ? "held" : row ? "tried" : "";
      place.textContent = state && row ? state + ", " + points(row) : state;
    });
  }

  // ---- home ----

  function choice(kind, name) {
    return all(".here-choices [data-" + kind + "]").filter(function (each) {
      return each.getAttribute("data-" + kind) === name;
    }).map(function (each) { return each.firstElementChild.cloneNode(true); })[0];
  }
  function put(line, parts) {
    parts.forEach(function (each) { line.append(each); });
  }
  function home(here) {
    var chapters = all(".here-choices [data-chapter]").map(function (each) { return each.getAttribute("data-chapter"); });
    var now = asked.summary(chapters), next = now.next && choice("chapter", now.next), quiz = now.last && choice("quiz", now.last.quiz);
    var back = now.comesBack.map(function (name) { return choice("outcome", name); }).filter(Boolean);
    var practice = back.length && choice("practice", "today"), go = one(".here-go", here), way;
    if (!now.last && !now.comesBack.length && !now.slipped.length &&
        !now.done.some(function (name) { return !STEMS.test(name); })) { return; }
    put(one(".here-done", here), [now.done.filter(function (name) { return chapters.indexOf(name) >= 0; }).length + " of " + chapters.length + "."]);
    put(one(".here-next", here), [next || "every chapter is read."]);
    put(one(".here-back", here), back.length ? [] : ["nothing."]);
    back.slice(0, 3).forEach(function (each) {
      var item = document.createElement("li");
      item.append(each);
      one(".here-outcomes", here).append(item);
    });
    put(one(".here-last", here), quiz
      ? [quiz, ", " + now.last.points + " of " + now.last.out_of + " points, " + new Date(now.last.at).toLocaleDateString("en-GB", { day: "numeric", month: "long" })]
      : ["no quiz handed in yet."]);
    way = practice || next || choice("quiz", "mock");
    if (way) {
      go.href = way.getAttribute("href");
      go.textContent = practice ? "Go through what comes back" : next ? "Read on" : "Take the mock";
    } else { go.parentNode.hidden = true; }
    here.hidden = false;
  }

  words();
  addEventListener("pageshow", function (event) { if (event.persisted) { words(); } });
  if (one(".been-here")) { home(one(".been-here")); }
})();
