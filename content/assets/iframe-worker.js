// Between the search and the worker that it searches in: what is asked is put into the worker's
// words, and what is found is put in order. From the file system browsers refuse the worker; there
// its script runs in a hidden frame, which answers as a worker does. Nothing is written into the
// page as a script, so the page's policy need not allow any.
(function () {
  "use strict";

  // ---- a question in words, to what the worker looks for ----

  // Words that say nothing of what is asked; looked for by their beginning they would find half of all.
  var EMPTY = new Set(("a about after all also am an and any anything are as at be been before but by can could did do " +
    "does down for from get gets give go goes good had has have here how i if in into is it its just know like long " +
    "make many may me mean might more most much must my need needs new no not of off ok okay on one only or other our " +
    "out over put really say says should small so some still take tell than that the their them then there these they thing " +
    "things this though through to too under up us use used using very want was way we well were what when where which while " +
    "who whose why will with without would yes you your").split(" "));
  var SAID = 8, MEANT = 2;  // what was said counts for more than what means the same
  var groups = [];

  function plain(text) { return text.toLowerCase().split(/[^\p{L}\p{N}.+/]+/u).map(function (word) {
    return word.replace(/^[.+/]+|[.+/]+$/g, "");
  }).filter(Boolean); }
  function telling(text) { return plain(text).filter(function (word) { return !EMPTY.has(word) && !EMPTY.has(word.replace(/s$/, "")); }); }

  // A word in the forms it may stand in: a long one by its beginning, a short one form by form.
  function forms(word) {
    var stem = word.replace(/(?:ies|ied)$/, "y").replace(/(?:([a-z])\1)?(?:ing|ed)$/, "$1").replace(/([^s])s$/, "$1");
    if (stem.length < 3 || /\d/.test(word)) return [word];
    if (stem.length > 5) return [stem.replace(/[ye]$/, "") + "*"];
    return Array.from(new Set([word, stem, stem + "s", stem + "es", stem + "ed", stem + "ing",
      stem + stem.slice(-1) + "ed", stem + stem.slice(-1) + "ing", stem.replace(/e$/, "") + "ing", stem + "e"]));
  }

  // What is looked for: one list of forms for each telling word, and others that mean the same.
  function asked(text) {
    var around = " " + plain(text).join(" ") + " ", said = telling(text);
    var meant = groups.filter(function (group) {
      return group.some(function (name) {
        return around.includes(" " + name + " ") || around.includes(" " + name + "s ");
      });
    }).flatMap(function (group) { return group.flatMap(telling); });
    return {
      said: said.map(forms),
      last: said.length && /[\p{L}\p{N}]$/u.test(text) ? said[said.length - 1] : "",
      meant: Array.from(new Set(meant)).filter(function (word) { return !said.includes(word); }).map(forms)
    };
  }
  function query(wanted) {
    function isNumber(forms) { return /^\d+$/.test(forms[0]); }
    function isWord(forms) { return !isNumber(forms); }
    function told(list, weight) { return list.flat().map(function (form) { return form + "^" + weight; }); }
    var typed = wanted.last.length > 1 ? [wanted.last + "*^1"] : [];  // perhaps no more than the beginning of a word
    return told(wanted.said.filter(isWord), SAID)
      .concat(told(wanted.said.filter(isNumber), MEANT), told(wanted.meant, MEANT), typed).join(" ");
  }

  // The more of the words a place holds, the further up it stands; a page by its best place and a little by others.
  function share(lists, terms) {
    return lists.filter(function (list) {
      return list.some(function (form) { return terms[form.replace("*", "")]; });
    }).length / (lists.length || 1);
  }
  // Whoever asks for a job by its name is led to it.
  function named(place, wanted) {
    var words = plain(place.title.replace(/<[^>]*>/g, ""));
    return place.location.endsWith("/index.html") && wanted.said.concat(wanted.last ? [[wanted.last + "*"]] : []).every(function (list, at) {
      return (at === wanted.said.length - 1 && wanted.last) || list.some(function (form) {
        return words.some(function (word) { return form.endsWith("*") ? word.startsWith(form.slice(0, -1)) : word === form; });
      });
    });
  }
  var NAMED = 4;
  function worth(place, wanted) {
    var of = Object.values(place.terms), own = place.location.includes("#") ? 0 : 1;
    var before = own + (of.filter(Boolean).length / (of.length || 1) || 0);
    var now = share(wanted.said, place.terms) + share(wanted.meant, place.terms) / 2;
    return place.score / (1 + before * before) * (1 + 6 * now * now) * (named(place, wanted) ? NAMED : 1);
  }
  // What the page then marks: the forms of what was said that stand there.
  function found(place, wanted) {
    var stands = {};
    wanted.said.flat().concat(wanted.last).forEach(function (form) {
      form = form.replace("*", "");
      if (place.terms[form]) stands[form] = true;
    });
    return stands;
  }
  var FURTHER = 0.25;  // what a page's other places add
  function sum(page) {
    return page.slice(0, 4).reduce(function (all, place, at) { return all + place.score * (at ? FURTHER : 1); }, 0);
  }
  function ordered(items, wanted) {
    return items.map(function (page) {
      return page.map(function (place) {
        return Object.assign({}, place, { score: worth(place, wanted), terms: found(place, wanted) });
      }).sort(function (one, two) { return two.score - one.score; });
    }).sort(function (one, two) { return sum(two) - sum(one); });
  }

  // A worker that is asked so. Signs that the search itself reads are the reader's own business.
  function between(Base) {
    return class extends Base {
      constructor(address) {
        super(address);
        this.wanted = null;
        this.addEventListener("message", function (event) {
          if (event.data.type === 3 && this.wanted) event.data.data.items = ordered(event.data.data.items, this.wanted);
        });
      }

      postMessage(data) {
        if (data.type === 0) groups = data.data.config.groups || [];
        if (data.type === 2) {
          this.wanted = /["+~^*:]|(?:^|\s)-/.test(data.data) ? null : asked(data.data);
          if (this.wanted && !this.wanted.said.length) this.wanted = null;
          if (this.wanted) data = { type: 2, data: query(this.wanted) };
        }
        super.postMessage(data);
      }
    };
  }
  if (location.protocol !== "file:") {
    window.Worker = between(window.Worker);
    return;
  }

  // ---- a worker from the file system ----

  function loaded(frame, address) {
    return new Promise(function (done, failed) {
      var script = frame.document.createElement("script");
      script.src = new URL(address, location.href).href;
      script.onload = done;
      script.onerror = failed;
      frame.document.body.appendChild(script);
    });
  }

  class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      var worker = this, frame = this.frame = document.createElement("iframe");
      frame.hidden = true;
      this.ready = new Promise(function (done) { frame.onload = done; }).then(function () {
        var inside = frame.contentWindow;
        frame.onload = null;
        inside.postMessage = function (data) {
          worker.dispatchEvent(new MessageEvent("message", { data: data }));
        };
        inside.importScripts = function () {
          return Array.prototype.reduce.call(arguments, function (before, each) {
            return before.then(function () { return loaded(inside, each); });
          }, Promise.resolve());
        };
        return loaded(inside, address);
      });
      document.body.appendChild(frame);
    }

    postMessage(data) {
      var frame = this.frame;
      this.ready.then(function () {
        var inside = frame.contentWindow;
        inside.dispatchEvent(new inside.MessageEvent("message", { data: structuredClone(data) }));
      });
    }

    terminate() { this.frame.remove(); }
  }

  window.Worker = between(FrameWorker);
})();
