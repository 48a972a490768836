// Reports a quiz to a SCORM 1.2 run-time where there is one (from memory of the standard); elsewhere the quiz stays practice.
// All values are strings; every answer of the run-time is looked at. No network of its own, no library.
(function () {
  "use strict";

  var MOST_PARENTS = 7, LONGEST = 255, begun = new Date(), api = null, finished = false;

  function found(from) {
    // A parent of another origin may not be looked into: then there is no run-time for us.
    try {
      for (var i = 0; i <= MOST_PARENTS && from; i += 1) {
        if (from.API) return from.API;
        if (from.parent === from) break;
        from = from.parent;
      }
    } catch (refused) { /* another origin */ }
    return null;
  }

  function call(name, first, second) {
    try { return String(second === undefined ? api[name](first) : api[name](first, second)); } catch (broken) { return "false"; }
  }

  function set(element, value) { return call("LMSSetValue", element, String(value)) === "true"; }

  function two(number) { return (number < 10 ? "0" : "") + number; }

  function span(seconds) {
    var whole = Math.max(0, Math.min(seconds, 9999 * 3600));
    return two(Math.floor(whole / 3600)).padStart(4, "0") + ":" + two(Math.floor(whole / 60) % 60) + ":" + two(Math.floor(whole) % 60) + "." + two(Math.floor(whole * 100) % 100);
  }

  // The page says what kind of interaction each form is, in words that SCORM 1.2 shares; it has no word for another.
  function type(form) { return firstwayInteractions[form].replace("other", "fill-in"); }

  function response(type, answer) {
    if (type === "choice" || type === "sequencing") return answer.split(" ").filter(Boolean).join(",");
    if (type === "matching") return answer.split(" ").filter(Boolean).join(",").replace(/=/g, ".");
    if (type === "numeric") return answer.replace(",", ".").replace(/[^0-9.+-].*$/, "");
    return answer;
  }

  function report(section) {
    var quiz = section.quiz, answers = quiz.state().answers, points = 0, most = 0, pass = Number(section.getAttribute("data-pass") || 0), share, now = new Date();
    quiz.items.forEach(function (item, place) {
      var mark = item.mark || { points: 0, out_of: 1, state: "empty" }, base = "cmi.interactions." + place + ".", given = response(type(item.form), answers[item.id] || "");
      points += mark.points;
      most += mark.out_of;
      set(base + "id", item.id.slice(0, LONGEST));
      set(base + "type", type(item.form));
      if (given) set(base + "student_response", given.slice(0, LONGEST));
      set(base + "result", mark.state === "right" ? "correct" : mark.state === "empty" ? "neutral" : "wrong");
    });
    share = most ? Math.round(100 * points / most) : 0;
    set("cmi.core.score.min", "0");
    set("cmi.core.score.max", "100");
    set("cmi.core.score.raw", String(share));
    set("cmi.core.lesson_status", pass ? (share >= pass ? "passed" : "failed") : "completed");
    set("cmi.core.session_time", span((now - begun) / 1000));
    return call("LMSCommit", "") === "true";
  }

  function finish() {
    if (!api || finished) return;
    finished = true;
    set("cmi.core.session_time", span((new Date() - begun) / 1000));
    call("LMSCommit", "");
    call("LMSFinish", "");
  }

  function begin() {
    var section = document.querySelector(".quiz"), said = document.querySelector(".scorm-said"), result = section && section.querySelector(".quiz-result");
    api = found(window) || (window.opener ? found(window.opener) : null);
    if (!section || !section.quiz || !api || call("LMSInitialize", "") !== "true") {
      api = null;
      if (said) said.textContent = "No platform answers here: this is practice, and nothing is reported.";
      return;
    }
    if (/^(not attempted|)$/.test(call("LMSGetValue", "cmi.core.lesson_status"))) set("cmi.core.lesson_status", "incomplete");
    said.textContent = "Your score goes to the platform that opened this page when you hand in.";
    new MutationObserver(function () {
      if (result.hidden) return;
      said.textContent = report(section) ? "Your score was handed to the platform." : "The platform did not take the score. Save your answers and tell your tutor.";
    }).observe(result, { attributes: true, attributeFilter: ["hidden"] });
    window.addEventListener("pagehide", finish);
    window.addEventListener("beforeunload", finish);
  }

  if (document.readyState === "complete") begin(); else window.addEventListener("load", begin);
}());
