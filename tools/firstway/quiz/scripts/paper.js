// Collects the answers of an assigned paper and saves them to a file. Holds no key and marks nothing; no network, no library.

var SEALED_FORMAT = "firstway sealed answers 1";

function Paper(section) {
  var paper = this;
  this.section = section;
  this.data = JSON.parse(section.querySelector(".paper-data").textContent);
  this.mine = PREFIX + "paper:" + this.data.paper + ":";
  this.store = this.mine + this.data.paper_version + ":" + this.data.learner;
  this.begun = new Date().toISOString();
  this.saved = "";
  this.items = all(section, ".quiz-question").map(function (root) {
    return fieldsOf(root, function (item) {
      item.said.textContent = "";
      pointedAt(item);
      paper.saved = "";
      paper.sure = false;
      paper.remember();
      paper.count();
    });
  });
  this.find("form").addEventListener("submit", function (event) { event.preventDefault(); });
  this.find(".paper-save").addEventListener("click", function () { paper.save(); });
  this.find(".paper-clear").addEventListener("click", function () { paper.clear(); });
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
  // The same paper in two windows: both show what was answered last, so that neither undoes the other.
  window.addEventListener("storage", function (event) {
    if (event.key !== paper.store && event.key !== null) return;
    paper.put(kept(paper.store));
    paper.say("elsewhere");
  });
  // A browser may show the page again as it was left: not what was saved and cleared.
  window.addEventListener("pageshow", function (event) {
    if (event.persisted && paper.saved) paper.put(kept(paper.store));
  });
}

Paper.prototype.put = function (state) {
  putAll(this.items, table(state.answers));
  if (typeof state.begun === "string") this.begun = state.begun.slice(0, 40);
  this.saved = "";
  this.sure = false;
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

Paper.prototype.remember = function () {
  if (!keep(this.store, this.state())) this.say("not-kept");
};

// Every edition of this learner's paper: on a shared computer nothing of it stays.
Paper.prototype.forget = function () {
  var mine = this.mine, end = ":" + this.data.learner;
  try {
    Object.keys(window.localStorage).forEach(function (name) {
      if (name.slice(0, mine.length) === mine && name.slice(-end.length) === end) window.localStorage.removeItem(name);
    });
  } catch (refused) { /* nothing is kept there */ }
};

Paper.prototype.clear = function () {
  if (this.answered() && !this.saved && !this.sure) {
    this.sure = true;
    this.say("clear-sure");
    return;
  }
  this.forget();
  this.put({});
  this.say("cleared");
};

Paper.prototype.answered = function () { return this.items.filter(answerOf).length; };

Paper.prototype.count = function () {
  this.find(".quiz-total").textContent = this.data.words[this.saved || !this.answered() ? "count" : "count-unsaved"]
    .replace("{count}", this.answered()).replace("{questions}", this.items.length);
};

Paper.prototype.save = function () {
  var paper = this;
  function done(file) {
    var stay = paper.find(".paper-stay input").checked;
    paper.saved = saveFile(paper.name("answers"), file);
    if (!stay) paper.forget();
    paper.count();
    paper.say(stay ? "saved-kept" : "saved", paper.saved);
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
      format: SEALED_FORMAT, paper: state.paper, learner: state.learner, key: b64(parts[0]), iv: b64(iv),
      sealed: b64(parts[1])
    };
  });
}

function b64(bytes) {
  var text = "";
  new Uint8Array(bytes.buffer || bytes).forEach(function (byte) { text += String.fromCharCode(byte); });
  return window.btoa(text);
}

function begin() { all(document, ".paper").forEach(function (section) { new Paper(section); }); }

if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin); else begin();
