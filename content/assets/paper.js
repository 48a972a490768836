// Collects the answers of an assigned paper and saves them to a file. Holds no key and marks nothing; no network, no library.
(function () {
  "use strict";

  var FORMAT = "firstway answers 2", SEALED_FORMAT = "firstway sealed answers 1", PREFIX = "firstway:";

  // ---- fields: a question to an answer in one string, and back (the same text in quiz.js and paper.js) ----

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
    // The neighbour is moved: the button that was pressed keeps the focus.
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

  function keep(name, value) {
    try { window.localStorage.setItem(name, JSON.stringify(value)); } catch (refused) { /* a private window */ }
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
    input.value = ""; // the same file may be chosen again
  }

  // ---- end of fields ----

  // ---- the paper ----

  function Paper(section) {
    var paper = this;
    this.section = section;
    this.data = JSON.parse(section.querySelector(".paper-data").textContent);
    this.store = PREFIX + "paper:" + this.data.paper + ":" + this.data.paper_version + ":" + this.data.learner;
    this.begun = new Date().toISOString();
    this.saved = "";
    this.items = all(section, ".quiz-question").map(function (root) {
      return fieldsOf(root, function (item) {
        item.said.textContent = "";
        pointedAt(item);
        paper.saved = "";
        paper.remember();
        paper.count();
      });
    });
    this.find("form").addEventListener("submit", function (event) { event.preventDefault(); });
    this.find(".paper-save").addEventListener("click", function () { paper.save(); });
    this.find(".quiz-load input").addEventListener("change", function (event) {
      readFile(event.target, function (sentence) { paper.say(sentence); }, function (state) { paper.loaded(state); });
    });
    this.copy = this.find(".paper-copy");
    this.copy.hidden = !this.data.public_key;
    this.copy.addEventListener("click", function () {
      paper.say("copied", saveFile(paper.name("copy"), paper.state()));
    });
    all(section, ".quiz-buttons, .quiz-foot, .quiz-moves").forEach(function (part) { part.hidden = false; });
    section.classList.add("quiz-live");
    this.put(kept(this.store));
    window.addEventListener("beforeunload", function (event) {
      if (!paper.saved && paper.answered()) event.preventDefault();
    });
  }

  Paper.prototype.put = function (state) {
    putAll(this.items, table(state.answers));
    if (typeof state.begun === "string") this.begun = state.begun.slice(0, 40);
    this.saved = "";
    this.count();
  };

  Paper.prototype.find = function (selector) { return this.section.querySelector(selector); };

  Paper.prototype.say = function (sentence, name) {
    this.find(".quiz-kept").textContent = this.data.words[sentence].replace("{name}", name);
  };

  Paper.prototype.name = function (what) { return this.data.paper + "-" + this.data.learner + "-" + what + ".json"; };

  Paper.prototype.state = function () {
    return {
      format: FORMAT, paper: this.data.paper, paper_version: this.data.paper_version, learner: this.data.learner,
      issue: this.data.issue, answers: answersOf(this.items), begun: this.begun, saved: new Date().toISOString()
    };
  };

  Paper.prototype.remember = function () { keep(this.store, this.state()); };

  Paper.prototype.answered = function () { return this.items.filter(answerOf).length; };

  Paper.prototype.count = function () {
    this.find(".quiz-total").textContent = this.data.words[this.saved || !this.answered() ? "count" : "count-unsaved"]
      .replace("{count}", this.answered()).replace("{questions}", this.items.length);
  };

  Paper.prototype.save = function () {
    var paper = this;
    function done(file) {
      paper.saved = saveFile(paper.name("answers"), file);
      paper.count();
      paper.say("saved", paper.saved);
    }
    if (!this.data.public_key) { done(this.state()); return; }
    sealed(this.state(), this.data.public_key).then(done, function () {
      paper.say("not-sealed");
    });
  };

  Paper.prototype.loaded = function (state) {
    if (state.format === SEALED_FORMAT) {
      this.say("load-sealed");
    } else if (state.format !== FORMAT || state.answers !== table(state.answers)) {
      this.say("load-none");
    } else if (state.paper !== this.data.paper || state.learner !== this.data.learner) {
      this.say("load-other");
    } else {
      this.put(state);
      this.remember();
      this.say(state.paper_version === this.data.paper_version ? "loaded" : "load-version");
    }
  };

  // Sealed to the tutor's key: a new AES key for the answers, and that key under the tutor's.
  function sealed(state, publicKey) {
    var subtle = window.crypto.subtle, iv = window.crypto.getRandomValues(new Uint8Array(12)), key, under;
    return subtle.importKey("jwk", publicKey, { name: "RSA-OAEP", hash: "SHA-256" }, false, ["encrypt"]).then(function (imported) {
      under = imported;
      return subtle.generateKey({ name: "AES-GCM", length: 256 }, true, ["encrypt"]);
    }).then(function (made) {
      key = made;
      return Promise.all([
        subtle.exportKey("raw", key).then(function (raw) { return subtle.encrypt({ name: "RSA-OAEP" }, under, raw); }),
        subtle.encrypt({ name: "AES-GCM", iv: iv }, key, new TextEncoder().encode(JSON.stringify(state)))
      ]);
    }).then(function (parts) {
      return {
        format: SEALED_FORMAT, paper: state.paper, learner: state.learner, key: base64(parts[0]), iv: base64(iv),
        sealed: base64(parts[1])
      };
    });
  }

  function base64(bytes) {
    var text = "";
    new Uint8Array(bytes.buffer || bytes).forEach(function (byte) { text += String.fromCharCode(byte); });
    return window.btoa(text);
  }

  function begin() { all(document, ".paper").forEach(function (section) { new Paper(section); }); }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin); else begin();
}());
