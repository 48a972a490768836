// Marks a quiz in its page. One classic script: no network, no library, works from the file system.
// Marking is that of tools/firstway/quiz/typed.py and marking.py; tests/quiz_cases.json holds both to it.
(function () {
  "use strict";

  var LONGEST_ANSWER = 200, LARGEST_FILE = 200000, FORMAT = "firstway answers 1", PREFIX = "firstway:";
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

  // ---- marking: values in, values out ----

  function plain(typed) {
    // Cut by characters, not by halves of them, so that both markers read the same.
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
      var end = piece.indexOf("}"), name = piece.slice(0, end);
      return (Object.prototype.hasOwnProperty.call(parts, name) ? parts[name] : "") + piece.slice(end + 1);
    }).join("").trim();
  }

  function mark(key, words, state, mistake, feedback) {
    var unit = key.unit || "";
    var sentence = state === "unit" && !unit ? "unit-none"
      : state === "right" && key.kind !== "number" ? "right-choice" : state;
    return {
      points: state === "right" ? 1 : 0, out_of: 1, state: state, mistake: mistake || "",
      feedback: filledIn(words[sentence],
        { answer: key.answer, why: key.why, mistake: mistake || "", feedback: feedback || "", unit: unit })
    };
  }

  function marked(key, typed, words) {
    return key.kind === "number" ? markedNumber(key, typed, words) : markedOption(key, typed, words);
  }

  function markedNumber(key, typed, words) {
    if (!plain(typed)) return mark(key, words, "empty");
    var read = numberAndUnit(typed);
    if (read.value === null) return mark(key, words, "not-a-number");
    if (read.unit && key.spellings.indexOf(read.unit) < 0) return mark(key, words, "unit");
    if (key.low <= read.value && read.value <= key.high) return mark(key, words, "right");
    for (var i = 0; i < key.wrong.length; i += 1) {
      var wrong = key.wrong[i];
      if (wrong.low <= read.value && read.value <= wrong.high) {
        return mark(key, words, "mistake", wrong.mistake, wrong.feedback);
      }
    }
    return mark(key, words, "wrong");
  }

  function markedOption(key, typed, words) {
    for (var i = 0; i < key.options.length; i += 1) {
      var option = key.options[i];
      if (option.id === typed) {
        return option.right ? mark(key, words, "right") : mark(key, words, "mistake", option.mistake, option.feedback);
      }
    }
    return mark(key, words, "empty");
  }

  // ---- the page ----

  function element(name, text, className) {
    var made = document.createElement(name);
    made.textContent = text;
    if (className) made.className = className;
    return made;
  }

  function Quiz(section) {
    this.section = section;
    this.data = JSON.parse(section.querySelector(".quiz-data").textContent);
    this.store = PREFIX + "quiz:" + this.data.quiz + ":" + this.data.version;
    this.handedIn = false;
    this.asked = false;
    var quiz = this;
    this.items = this.data.questions.map(function (question) {
      var item = section.querySelector('[data-question="' + question.id + '"]');
      return {
        id: question.id, outcome: question.outcome, mustPass: question.must_pass, key: question.key, mark: null, element: item,
        inputs: Array.prototype.slice.call(item.querySelectorAll("input")), said: item.querySelector(".quiz-said")
      };
    });
    this.items.forEach(function (item) {
      item.element.querySelector(".quiz-mark-one").addEventListener("click", function () { quiz.markOne(item); quiz.total(); });
      item.inputs.forEach(function (input) {
        input.addEventListener(input.type === "radio" ? "change" : "input", function () { quiz.changed(item); });
        input.addEventListener("keydown", function (event) {
          if (event.key === "Enter") { event.preventDefault(); quiz.markOne(item); quiz.total(); }
        });
      });
    });
    this.on("form", "submit", function (event) { event.preventDefault(); });
    this.on(".quiz-mark-all", "click", function () { quiz.markAll(); });
    this.on(".quiz-hand-in", "click", function () { quiz.handIn(); });
    this.on(".quiz-again", "click", function () { quiz.again(); });
    this.on(".quiz-save", "click", function () { quiz.save(); });
    this.on(".quiz-load input", "change", function (event) { quiz.load(event.target); });
    Array.prototype.forEach.call(section.querySelectorAll(".quiz-buttons, .quiz-foot"), function (part) { part.hidden = false; });
    section.classList.add("quiz-live");
    this.remembered();
  }

  Quiz.prototype.find = function (selector) { return this.section.querySelector(selector); };

  Quiz.prototype.on = function (selector, event, act) { this.find(selector).addEventListener(event, act); };

  Quiz.prototype.answer = function (item) {
    if (item.key.kind === "number") return item.inputs[0].value;
    var chosen = item.inputs.filter(function (input) { return input.checked; })[0];
    return chosen ? chosen.value : "";
  };

  Quiz.prototype.answers = function () {
    var quiz = this, answers = {};
    this.items.forEach(function (item) {
      var typed = quiz.answer(item);
      if (typed) answers[item.id] = typed.slice(0, LONGEST_ANSWER);
    });
    return answers;
  };

  Quiz.prototype.put = function (answers) {
    this.items.forEach(function (item) {
      var typed = Object.prototype.hasOwnProperty.call(answers, item.id) ? answers[item.id] : "";
      typed = typeof typed === "string" ? typed.slice(0, LONGEST_ANSWER) : "";
      item.inputs.forEach(function (input) {
        if (input.type === "radio") input.checked = input.value === typed; else input.value = typed;
      });
    });
  };

  Quiz.prototype.changed = function (item) {
    this.clear(item);
    this.asked = false;
    this.remember();
    if (this.items.some(function (other) { return other.mark; })) this.total(); else this.find(".quiz-total").textContent = "";
  };

  Quiz.prototype.clear = function (item) {
    item.mark = null;
    item.said.textContent = "";
    item.element.removeAttribute("data-state");
  };

  Quiz.prototype.markOne = function (item) {
    item.mark = marked(item.key, this.answer(item), this.data.words);
    item.element.setAttribute("data-state", item.mark.state);
    var place = item.element.querySelector(".quiz-place").textContent.replace(/ of .*/, ": ");
    item.said.textContent = "";
    this.tell(item, item.mark.feedback);
    // The verdict itself stands out; the number of the question is for those who hear it.
    var first = item.said.firstChild, words = first.textContent, end = words.search(/[.:]/) + 1;
    first.textContent = "";
    first.appendChild(element("span", place, "quiz-aside"));
    first.appendChild(element("strong", words.slice(0, end)));
    first.appendChild(document.createTextNode(words.slice(end)));
  };

  Quiz.prototype.tell = function (item, sentences) {
    sentences.split("\n").forEach(function (sentence) { item.said.appendChild(element("p", sentence)); });
  };

  Quiz.prototype.sum = function (items) {
    var points = 0, counted = 0;
    items.forEach(function (item) {
      if (item.mark) points += item.mark.points;
      if (item.mark && /^(right|wrong|mistake)$/.test(item.mark.state)) counted += 1;
    });
    return { points: points, counted: counted, of: items.length };
  };

  Quiz.prototype.total = function () {
    var sum = this.sum(this.items);
    this.find(".quiz-total").textContent =
      "Marked " + sum.counted + " of " + sum.of + ". Points so far: " + sum.points + ".";
  };

  Quiz.prototype.markAll = function () {
    var quiz = this;
    this.items.forEach(function (item) { quiz.markOne(item); });
    this.total();
  };

  Quiz.prototype.handIn = function () {
    var quiz = this, open = this.items.filter(function (item) {
      return /^(empty|not-a-number|unit)$/.test(marked(item.key, quiz.answer(item), quiz.data.words).state);
    });
    if (open.length && !this.asked) {
      this.asked = true;
      this.markAll();
      this.find(".quiz-total").textContent = open.length + (open.length === 1 ? " question has" : " questions have") +
        " no answer that can be marked. Answer, or press Hand in again to hand in as it is.";
      return;
    }
    this.handedIn = true;
    this.remember();
    this.result();
    this.find(".quiz-result h2").focus();
  };

  Quiz.prototype.result = function () {
    var quiz = this, sum, body = this.find(".quiz-result tbody"), unsure;
    this.items.forEach(function (item) {
      quiz.markOne(item);
      if (/^(empty|not-a-number|unit)$/.test(item.mark.state)) {
        quiz.tell(item, filledIn(quiz.data.words.told, item.key));
      }
      item.inputs.forEach(function (input) { input.disabled = true; });
      item.element.querySelector(".quiz-buttons").hidden = true;
    });
    sum = this.sum(this.items);
    unsure = this.items.filter(function (item) { return item.mustPass && !item.mark.points; }).length;
    this.find(".quiz-score").textContent = "Points: " + sum.points + " of " + sum.of + "." +
      (unsure ? " Safety questions to go back to: " + unsure + "." : "");
    body.textContent = "";
    this.data.outcomes.forEach(function (outcome) {
      var own = quiz.sum(quiz.items.filter(function (item) { return item.outcome === outcome.id; }));
      var row = body.insertRow(), head = element("th", outcome.text);
      head.scope = "row";
      row.appendChild(head);
      row.insertCell().textContent = own.points + " of " + own.of;
    });
    this.find(".quiz-total").textContent = "";
    this.find(".quiz-mark-all").hidden = this.find(".quiz-hand-in").hidden = true;
    this.find(".quiz-result").hidden = false;
  };

  Quiz.prototype.open = function () {
    var quiz = this;
    this.handedIn = this.asked = false;
    this.items.forEach(function (item) {
      quiz.clear(item);
      item.inputs.forEach(function (input) { input.disabled = false; });
      item.element.querySelector(".quiz-buttons").hidden = false;
    });
    this.find(".quiz-mark-all").hidden = this.find(".quiz-hand-in").hidden = false;
    this.find(".quiz-result").hidden = true;
    this.find(".quiz-total").textContent = "";
  };

  Quiz.prototype.again = function () {
    this.open();
    this.put({});
    this.remember();
    this.items[0].inputs[0].focus();
  };

  // ---- keeping: on the device as a convenience, in a file as the record ----

  Quiz.prototype.state = function () {
    return { format: FORMAT, quiz: this.data.quiz, version: this.data.version, answers: this.answers(), handed_in: this.handedIn };
  };

  Quiz.prototype.remember = function () {
    try { window.localStorage.setItem(this.store, JSON.stringify(this.state())); } catch (refused) { /* a private window */ }
  };

  Quiz.prototype.remembered = function () {
    try {
      var state = JSON.parse(window.localStorage.getItem(this.store) || "null");
      if (state && typeof state === "object") this.take(state);
    } catch (refused) { /* nothing kept, or not ours */ }
  };

  Quiz.prototype.take = function (state) {
    this.open();
    this.put(state.answers && typeof state.answers === "object" ? state.answers : {});
    if (state.handed_in === true) { this.handedIn = true; this.result(); }
  };

  Quiz.prototype.save = function () {
    var link = document.createElement("a"), name = this.data.quiz + "-answers.json";
    link.href = URL.createObjectURL(new Blob([JSON.stringify(this.state(), null, 1) + "\n"], { type: "application/json" }));
    link.download = name;
    document.body.appendChild(link);
    link.click();
    document.body.removeChild(link);
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
    this.say("Saved as " + name + ", where your browser keeps downloads.");
  };

  Quiz.prototype.say = function (text) { this.find(".quiz-kept").textContent = text; };

  Quiz.prototype.load = function (input) {
    var quiz = this, file = input.files[0], reader = new FileReader();
    if (!file) return;
    reader.onload = function () { quiz.loaded(String(reader.result)); };
    reader.onerror = function () { quiz.say("The file cannot be read. Nothing was changed."); };
    if (file.size > LARGEST_FILE) this.say("This file is too large for saved answers. Nothing was changed.");
    else reader.readAsText(file);
    input.value = ""; // so that choosing the same file again is noticed
  };

  Quiz.prototype.loaded = function (text) {
    var state;
    try { state = JSON.parse(text); } catch (broken) { state = null; }
    if (!state || state.format !== FORMAT || !state.answers || typeof state.answers !== "object") {
      this.say("This file holds no saved answers. Nothing was changed.");
    } else if (state.quiz !== this.data.quiz) {
      this.say("These answers belong to another quiz. Nothing was changed.");
    } else {
      this.take(state);
      this.remember();
      this.say(state.version === this.data.version ? "Your answers are back."
        : "These answers were saved from another version of this quiz. Those that still fit are back; check each.");
    }
  };

  function begin() {
    Array.prototype.forEach.call(document.querySelectorAll(".quiz"), function (section) {
      if (!section.classList.contains("quiz-live")) new Quiz(section);
    });
  }

  if (typeof document === "undefined") {
    globalThis.firstwayQuiz = { marked: marked, numberAndUnit: numberAndUnit };
  } else {
    window.firstwayQuiz = { marked: marked, numberAndUnit: numberAndUnit };
    if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin); else begin();
  }
}());
