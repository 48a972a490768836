/* Your own job: the form and the text of one installation file, and what the program says of it.
 * The program is the Python of the command line, in a worker; nothing here works out a figure, reads
 * YAML or knows a key. It runs from the file system and asks nobody for anything. */
(function () {
  "use strict";
  var KEPT = "firstway.own-job", STEPS_BACK = 50, PAUSE_MS = 400, LARGEST = 1e6;
  var about = window.OWN_JOB, base = "assets/engine/";
  var state = { file: "", text: "", data: null, told: null, compared: null, before: [], turn: 0, trial: 0, ready: false, open: {} };
  function one(id) { return document.getElementById("own-" + id); }
  function make(name, given, inside) {
    var made = document.createElement(name);
    Object.keys(given || {}).forEach(function (key) {
      if (key in made && key !== "list") made[key] = given[key]; else made.setAttribute(key, given[key]);
    });
    [].concat(inside === undefined ? [] : inside).forEach(function (each) { made.append(each); });
    return made;
  }
  function say(words) { one("status").textContent = words; }
  function load(path) {
    return new Promise(function (done, failed) {
      var script = make("script", { src: base + path });
      script.onload = function () { script.remove(); done(); };  // it may be megabytes
      script.onerror = function () { failed(new Error(path + " is not beside this page; unpack the guide whole")); };
      document.head.append(script);
    });
  }
  if (!about) { say("A file of the guide is missing (" + base + "about.js): unpack the guide whole, then open this page again."); return; }

  // ---- the program: one question at a time, in their order

  var worker = null, waiting = [], running = null;
  function ask(question) {
    return new Promise(function (done) {
      waiting.push({ question: question, done: done });
      if (state.dead) giveUp(); else next();
    });
  }
  function next() {
    if (!state.ready || running || !waiting.length) return;
    running = waiting.shift();
    // the text as it is now: an answer before this one may have changed it
    worker.postMessage({ question: JSON.stringify(Object.assign({ text: state.text, file: state.file }, running.question)) });
  }
  window.ownJobAsk = ask;  // what the buttons ask, for whoever reads the same figures from outside
  function answered(answer) {
    var done = running.done;
    running = null;
    done(answer);
    setTimeout(next, 0);  // when what waited for this answer has gone on
  }
  /* What was being asked is not answered; all else waits for the program, which is started again. */
  function failed(words) {
    var left = running, begun = state.ready;
    if (worker) worker.terminate();
    worker = running = null;
    state.ready = false;
    state.stopped = words;
    state.dead = !begun;
    if (state.dead) {
      say("The program could not be started: " + words + " Save the file, then open this page again. Until then the text can be read and changed.");
      giveUp();
      return;
    }
    start();
    if (left) left.done(unanswered());
    say("The program stopped: " + words + " It is being started again. Nothing of the file is lost; take one step back, or change what you changed last.");
  }
  function unanswered() {
    return { problems: [{ line: 0, stopped: true, message: "the program stopped: " + state.stopped, hint: "the file stands as it was; save it, take one step back, or change what you changed last" }] };
  }
  function giveUp() {
    waiting.splice(0).forEach(function (each) { each.done(unanswered()); });
  }

  /* What the worker is: it has the loader's text, and no way to any file. */
  function workerText(loader) {
    return "self.importScripts = function () { throw new TypeError('no scripts from elsewhere'); };\n" +  // else the loader tries them
      loader + "\n(" + String(function () {
        var answers;
        self.onmessage = async function (message) {
          var given = message.data;
          try {
            if (given.question) { self.postMessage({ answer: answers(given.question) }); return; }
            // an address made by the page cannot be imported here
            var module = await import(URL.createObjectURL(new Blob([given.asm], { type: "text/javascript" })));
            self.fetch = async function (asked) {
              var name = String(asked && asked.url || asked);
              if (name.endsWith("pyodide.asm.wasm")) return new Response(given.wasm, { headers: { "Content-Type": "application/wasm" } });
              if (name.endsWith("python_stdlib.zip")) return new Response(given.std, { headers: { "Content-Type": "application/zip" } });
              throw new TypeError("nothing is fetched");
            };
            var py = await self.loadPyodide({
              indexURL: "file:///none/", stdLibURL: "file:///none/python_stdlib.zip",
              lockFileContents: given.lock, createPyodideModule: module.default, env: { FIRSTWAY_CACHE: "", HOME: "/" }
            });
            py.FS.writeFile("/program.zip", given.program);
            py.runPython("import os, sys, zipfile\nzipfile.ZipFile('/program.zip').extractall('/program')\nos.remove('/program.zip')\nsys.path.insert(0, '/program')\nfrom firstway.engine.asking import answered");
            answers = py.globals.get("answered");
            self.fetch = message = given = null;  // what it was made of is not needed twice
            self.postMessage({ ready: true });
          } catch (error) { self.postMessage({ failed: String(error && error.message || error) }); }
        };
      }) + ")();";
  }
  function bytes(text) {
    if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
    var signs = atob(text), made = new Uint8Array(signs.length), place;
    for (place = 0; place < signs.length; place++) made[place] = signs.charCodeAt(place);
    return made;
  }
  function unpacked(text) {
    return new Response(new Blob([bytes(text)]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
  }
  function start() {
    var python, program;
    if (!about.engine) {
      say("The program is not in this guide: it was built without it. The form and the text work; for verdicts and drawings save the file and run: python3 tools/start.py check FILE.");
      return;
    }
    if (!window.WebAssembly || !window.DecompressionStream || !window.Worker) {
      say("This browser cannot run the program (no WebAssembly). Save the file and run: python3 tools/start.py check FILE.");
      return;
    }
    window.ownJobPython = function (held) { python = held; };
    window.ownJobProgram = function (held) { program = held; };
    say("The program is starting. The form can be filled in meanwhile; what follows from it comes when it is ready.");
    Promise.all([load("python.js"), load("program.js")]).then(function () {
      return Promise.all([unpacked(python.wasm), unpacked(python.asm), unpacked(python.std), unpacked(program)]);
    }).then(function (parts) {
      worker = new Worker(URL.createObjectURL(new Blob([workerText(python.loader)], { type: "text/javascript" })));
      worker.onerror = function (event) { failed(event.message || "it could not be started."); };
      worker.onmessage = function (message) {
        if (message.data.failed) failed(message.data.failed.trim().split("\n").pop() + ".");  // a traceback ends with what it was
        else if (message.data.ready) {
          say(state.stopped ? "The program is ready again. It stopped: " + state.stopped : "The program is ready.");
          state.ready = true;
          next();
        }
        else answered(JSON.parse(message.data.answer));
      };
      // handed over, not copied
      worker.postMessage({ wasm: parts[0], asm: parts[1], std: parts[2], program: new Uint8Array(parts[3]), lock: python.lock }, parts);
      python = program = null;
    }).catch(function (error) { failed(error.message + "."); });
  }

  // ---- the text, which is the job; every change of it goes this way

  function changed(text, data, by) {
    if (by !== "back" && state.text && text !== state.text) {
      state.before.push(state.text);
      state.before = state.before.slice(-STEPS_BACK);
    }
    state.text = text;
    if (by !== "text") one("text").value = text;
    keep();
    if (data !== undefined) { state.data = data; showForm(); }
    follow(data === undefined);
  }
  /* What follows from the text; a newer change leaves what is still to be asked undone. */
  async function follow(read) {
    var turn = ++state.turn, told, drawings, place;
    function old() { return turn !== state.turn; }
    if (!state.file) return;
    waiting = waiting.filter(function (each) { return /put|entry/.test(each.question.ask); });
    tells("busy", true);
    one("tried").hidden = true;
    if (state.ready) say("Being worked: what stands below is of the job before this change.");
    if (read) {
      told = await ask({ ask: "read" });
      if (old()) return;
      if (told.problems.length) { showProblems(told.problems); return; }
      state.data = told.data;
      showForm();
    }
    told = await ask({ ask: "judge" });
    if (old()) return;
    showProblems(told.problems);
    if (told.problems.length) return;
    one("verdict").replaceChildren(make("p", { className: "may-not" }, make("strong", {}, told.title + ": " + told.verdict)));
    fill(one("findings"), [told.findings]);
    state.told = told;
    showBeside();
    showAsked(told);
    one("changed").classList.add("own-stale");
    var worked = await ask({ ask: "figures" });  // the verdict waits for no surge
    if (old()) return;
    if (worked.problems.length) { showProblems(worked.problems); return; }
    told.figures = worked.figures;
    showChanged(told, state.compared);
    state.compared = told;
    say("Now: " + first(told.verdict) + "; " + (tally(told) || "no check applies") + ".");
    await showOpened(old);
  }
  /* What may be asked about the state that is shown. */
  function showAsked(told) {
    one("finding").replaceChildren(...told.said.filter(function (each) { return each[0] !== "pass"; }).map(function (each) {
      var name = each[1] + ":" + each[2] + (each[3] && each[3] !== each[2] ? "@" + each[3] : "");
      return make("option", { value: name }, told.words[each[0]] + ": " + (each[3] || each[2]) + ": " + plain(each[4]));
    }));
    one("circuit").replaceChildren(...((state.data || {}).circuits || []).map(function (each) { return make("option", { value: each.name }, each.name); }));
  }
  async function showTried(question) {
    if (!state.told) { say("There is no verdict yet to ask about."); return; }
    var turn = state.turn, trial = ++state.trial, told;
    one("tried").classList.remove("own-columns");
    say("Values are being tried: this may take a minute. A change of the job ends it.");
    for (told = await ask(question); told.goes_on; told = await ask({ ask: "go-on" })) {  // what waits comes between
      if (turn !== state.turn || trial !== state.trial) return;
      one("tried").hidden = false;
      one("tried").textContent = "Being tried: " + told.goes_on + ".";
    }
    if (turn !== state.turn || trial !== state.trial) return;
    one("tried").hidden = false;
    one("tried").classList.toggle("own-columns", Boolean(told.shown));
    if (told.shown) one("tried").innerHTML = told.shown;
    else one("tried").textContent = told.told || told.problems.map(function (each) { return each.message + "; " + each.hint; }).join("\n");
    one("tried").focus();
    say("Tried: see what it would take.");
  }
  one("needs").onclick = function () { showTried({ ask: "needs", finding: one("finding").value }); };
  one("alternatives").onclick = function () { showTried({ ask: "alternatives", circuit: one("circuit").value }); };
  async function showOpened(old) {
    var drawings = Array.from(document.querySelectorAll("[data-drawing]")), sheets = Array.from(document.querySelectorAll("[data-sheet]")), place, told;
    for (place = 0; place < drawings.length; place++) {
      if (!drawings[place].closest("details").open || drawings[place].dataset.of === state.text) continue;
      told = await ask({ ask: "draw", view: drawings[place].dataset.drawing });
      if (old()) return;
      showDrawing(drawings[place], told);
    }
    for (place = 0; place < sheets.length; place++) {
      if (!sheets[place].closest("details").open || sheets[place].dataset.of === state.text) continue;
      told = await ask({ ask: "site-sheet", sheet: sheets[place].dataset.sheet });
      if (old()) return;
      fill(sheets[place], [told.sheet || ""]);
      sheets[place].dataset.of = state.text;
    }
    if (!["working", "readings", "surge"].some(function (each) { return one(each).closest("details").open; }) || one("working").dataset.of === state.text) return;
    told = await ask({ ask: "working" });
    if (old() || told.problems.length) return;
    fill(one("working"), told.working);
    fill(one("readings"), [told.readings]);
    fill(one("surge"), [told.surge]);
    one("working").dataset.of = state.text;
  }
  /* Pieces of HTML, each in its place: one that says what it said stays, and folds stay open. */
  function fill(place, pieces) {
    var had = place.pieces || [];
    while (place.children.length > pieces.length) place.lastChild.remove();
    pieces.forEach(function (html, at) {
      var was = place.children[at], made, folds;
      if (was && had[at] === html) return;
      made = make("div", { innerHTML: html });
      folds = was ? was.querySelectorAll("details") : [];
      made.querySelectorAll("details").forEach(function (each, number) { if (folds[number]) each.open = folds[number].open; });
      if (was) was.replaceWith(made); else place.append(made);
    });
    place.pieces = pieces;
  }
  /* What is told stands in two places, with the form between them. */
  function tells(what, so) {
    ["first", "told"].forEach(function (each) {
      if (what === "busy") one(each).setAttribute("aria-busy", String(so)); else one(each).classList.toggle("own-stale", so);
    });
  }
  function showProblems(problems) {
    var stopped = problems.some(function (each) { return each.stopped; });
    var lines = problems.map(function (each) {
      var place = each.line ? make("button", { type: "button", className: "own-line" }, "line " + each.line) : make("span", {}, "the file");
      if (each.line) place.onclick = function () { toLine(each.line); };
      return make("li", {}, [place, ": " + each.message + "; " + each.hint]);
    });
    one("problems").replaceChildren(...(lines.length ? [make("div", { className: "missing", role: "alert" }, [
      make("p", {}, make("strong", {}, (stopped ? "The program stopped." : "To be put right first.") + " What stands below was said of the job as it was before.")), make("ul", {}, lines)])] : []));
    tells("stale", lines.length > 0);
    tells("busy", false);
    if (!lines.length || stopped) return;
    say((lines.length > 1 ? lines.length + " things are" : "One thing is") + " to be put right first: ");
    one("status").append(make("a", { href: "#what-follows" }, "see what"), ".");
  }
  function toLine(line) {
    var lines = one("text").value.split("\n"), at = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0), field = one("text");
    one("as-text").open = true;
    field.focus();
    field.setSelectionRange(at, at + (lines[line - 1] || "").length);
    field.scrollTop = field.scrollHeight * (line - 3) / lines.length;
  }
  /* Findings and figures of two states beside each other. */
  function showChanged(told, was) {
    var lines = [];
    function named(each) { return each.slice(1, 4).filter(Boolean).join(", "); }
    function byPlace(said) {  // a rule may say more than one thing of one place
      return said.reduce(function (all, each) {
        var key = each.slice(1, 4).join("|"), place = 1;
        while (all[key + "|" + place]) place++;
        all[key + "|" + place] = each;
        return all;
      }, {});
    }
    if (was) {
      var now = byPlace(told.said), before = byPlace(was.said);
      Object.keys(now).forEach(function (key) {
        if (!before[key]) lines.push(told.words[now[key][0]] + ", new: " + now[key][4] + " (" + named(now[key]) + ")");
        else if (before[key][0] !== now[key][0]) lines.push(told.words[now[key][0]] + ", was " + told.words[before[key][0]].toLowerCase() + ": " + now[key][4] + " (" + named(now[key]) + ")");
      });
      Object.keys(before).forEach(function (key) { if (!now[key]) lines.push("Not judged any more: " + named(before[key])); });
      Object.keys(told.figures).forEach(function (key) {
        var old = was.figures[key];
        if (!old) lines.push("New: " + told.figures[key].join(": "));
        else if (old[1] !== told.figures[key][1]) lines.push(told.figures[key][0] + ": " + told.figures[key][1] + ", was " + old[1]);
      });
      Object.keys(was.figures).forEach(function (key) { if (!told.figures[key]) lines.push("No longer worked: " + was.figures[key][0]); });
    }
    one("changed").classList.remove("own-stale");
    one("changed").replaceChildren(...(was ? [make("details", { className: "more", open: lines.length < 13 }, [
      make("summary", {}, "What the last change did: " + (lines.length ? lines.length + (lines.length > 1 ? " things differ" : " thing differs") : "no figure and no finding differs")),
      make("ul", {}, lines.map(function (line) { return make("li", {}, line); }))])] : []));
  }
  /* The verdict before its reasons. */
  function first(verdict) {
    var words = verdict.split(/[:;]/)[0];
    return words.charAt(0).toLowerCase() + words.slice(1);
  }
  function tally(told) {
    var all = 0, each = Object.keys(told.counts).filter(function (level) { all += told.counts[level]; return told.counts[level]; }).map(function (level) {
      return told.words[level].toLowerCase() + " " + told.counts[level];
    });
    return each.length ? "of " + all + " checks: " + each.join(", ") : "";
  }
  /* Under each part of the form what does not pass there, or is not known. */
  function showBeside() {
    if (!state.told) return;
    one("form").querySelectorAll(".own-part").forEach(function (each) {
      var of = each.dataset.path.split("/").pop(), was = each.querySelector(":scope > .own-follows");
      var once = {}, found = state.told.said.filter(function (line) {
        var again = once[line[0] + line[4]];  // the same is said of many places
        if (line[2] !== of || line[0] === "pass" || again) return false;
        return once[line[0] + line[4]] = true;
      });
      var told = found.length ? make("ul", { className: "own-follows" }, found.map(function (line) {
        return make("li", {}, [make("span", { className: "verdict verdict-" + line[0] }, state.told.words[line[0]]), " " + title(plain(line[4]))]);
      })) : null;
      if (was && told && was.isEqualNode(told)) return;
      if (was) was.remove();
      if (told) each.append(told);
    });
  }
  function showDrawing(place, told) {
    var save = make("button", { type: "button", className: "own-button" }, "Save this drawing");
    place.dataset.of = state.text;
    if (place.drawn === told.printed && place.firstChild) return;
    place.drawn = told.printed;
    if (told.problems.length) { place.textContent = told.problems.map(function (each) { return each.message + "; " + each.hint; }).join(" "); return; }
    var sheet = make("div", { className: "sheet", tabIndex: 0, role: "group", "aria-label": told.title + ", drawing" });
    sheet.innerHTML = told.svg;
    save.onclick = function () { give(stem() + "-" + told.view + ".svg", told.printed, "image/svg+xml"); };
    place.replaceChildren(make("figure", { className: "drawing" }, [sheet].concat(
      told.key.length ? make("ol", { className: "zkey" }, told.key.map(function (words) { return make("li", {}, words); })) : [],
      make("figcaption", {}, [told.title + " ", save]))));
  }

  // ---- the form, from the declarations of the keys

  function ownName(item, place) { return String(item && (item.name || item.id) || place + 1); }
  /* What is told beside its verdict's word. */
  function plain(message) { return message.replace(/^not known: /, ""); }
  function words(key) { return key.replace(/_/g, " "); }
  function title(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
  /* Only the parts of which the file says something else than is shown; all of them anew after a refusal. */
  function showForm(anew) {
    var form = one("form"), left = form.contains(document.activeElement) ? document.activeElement : null, here, whole = about.form.sections[about.form.whole];
    var data = state.data || {}, general = whole.filter(function (field) { return !isPart(field); });
    form.querySelectorAll("details").forEach(function (each) { state.open[each.dataset.path] = each.open; });
    var summary = left && left.tagName === "SUMMARY" ? left.parentNode.dataset.path : null;
    state.redrawn = true;  // what is taken away says that it was left
    [null].concat(whole.filter(isPart)).forEach(function (field, at) {
      var said = JSON.stringify(field ? [data[field.key], knownNow()] : general.map(function (each) { return data[each.key]; })) || "", was = form.children[at], made;
      if (was && was.said === said && !anew) return;
      made = field ? shownPart(field, data[field.key], [field.key]) : part("general", "What the job is", general.map(function (each) { return asked(each, state.data, []); }));
      made.said = said;
      if (was) was.replaceWith(made); else form.append(made);
    });
    state.redrawn = false;
    showBeside();
    if (left && left.isConnected) return;
    form.querySelectorAll("details").forEach(function (each) { if (summary !== null && each.dataset.path === summary) each.firstChild.focus(); });
    here = left && left.id && document.getElementById(left.id);
    if (!here) return;
    here.value = left.value;  // somebody is writing there
    here.focus();
  }
  function isPart(field) { return field.kind === "section" || field.kind === "sections"; }
  function part(path, name, inside) {
    var made = make("details", { className: "more own-part" }, [make("summary", {}, name)].concat(inside));
    made.dataset.path = path;
    made.open = path in state.open ? state.open[path] : path === "general";
    return made;
  }
  function shownPart(field, data, path) {
    var name = title(field.called || words(field.key)) + (field.unit ? " (" + field.unit + ")" : ""), said = [make("p", { className: "explained" }, title(field.help || "") + "." + (field.when ? " Where: " + field.when + "." : ""))];
    if (field.kind === "section") {
      if (typeof data === "string") return part(path.join("/"), name + ": " + data, said.concat(asked(Object.assign({}, field, { kind: "word", choices: [] }), null, path.slice(0, -1), data)));
      return part(path.join("/"), name + (data ? "" : ": not stated"), said.concat(questions(field.of, data, path, field.unit)));
    }
    var items = Array.isArray(data) ? data : [], named = (about.form.sections[field.of] || []).some(function (each) { return each.key === "name"; });
    var word = typeof data === "string" ? data : "", mayBeNone = !items.length && (field.words || []).indexOf("none") >= 0;
    if (mayBeNone) said = [asked(Object.assign({}, field, { kind: "word", choices: [] }), null, path.slice(0, -1), word)];
    return part(path.join("/"), name + (items.length ? " (" + items.length + ")" : word ? ": " + word : mayBeNone ? ": not stated" : ": none stated"), said.concat(items.map(function (item, place) {
      var own = ownName(item, place), way = path.concat(own);
      if (typeof item !== "object") return make("p", {}, String(item));
      return part(way.join("/"), name + ": " + own, questions(field.of, item, way).concat(
        make("p", { className: "own-entry" }, entryTools("copy", way, named).concat(entryTools("take-out", way, false)))));
    }), make("p", { className: "own-entry" }, entryTools("add", path, named))));
  }
  /* A button that adds to a list, copies an entry or takes it out; a new one has a name where the others have. */
  function entryTools(what, path, named) {
    var id = "own-" + what + "-" + path.join("-").replace(/[^\w-]/g, "_"), last = path[path.length - 1], input = named && make("input", { id: id, type: "text", autocomplete: "off", spellcheck: false });
    var button = make("button", { type: "button", className: "own-button" }, { add: "Add one", copy: "Copy it", "take-out": "Take it out" }[what]);
    button.setAttribute("aria-label", button.textContent + ": " + (what === "add" ? words(last) : last));
    button.onclick = async function () {
      var name = input ? input.value.trim() : "", way = path.slice(0, what === "add" ? path.length : -1).concat(name);
      if (input && !name) { say("Give it a name first."); input.focus(); return; }
      if (name) way.forEach(function (_, at) { state.open[way.slice(0, at + 1).join("/")] = true; });
      if (await put({ ask: "entry", do: what, path: path, name: name })) say({ add: "Added", copy: "Copied", "take-out": "Taken out" }[what] + ": " + (name || (what === "add" ? words(last) : last)) + ".");
    };
    return input ? [make("label", { htmlFor: id }, what === "add" ? "Name of a new one " : "Name of the copy "), input, " ", button, " "] : [button, " "];
  }
  /* What is stated or must be, then what may be. */
  function questions(of, data, path, unit) {
    var fields = about.form.sections[of] || [], stated = [], others = [];
    fields.forEach(function (field) {
      var here = data && field.key in data, way = path.concat(field.key);
      var shown = isPart(field) ? shownPart(field, here ? data[field.key] : null, way) : asked(field.kind === "number" && unit && !field.unit ? Object.assign({}, field, { unit: unit }) : field, data, path);
      (here || field.required ? stated : others).push(shown);
    });
    return others.length ? stated.concat(part(path.join("/") + "/*", "Not stated yet: " + others.length + " more", others)) : stated;
  }
  function asked(field, data, path, given) {
    var way = path.concat(field.key), id = "own-q-" + way.join("-").replace(/[^\w-]/g, "_"), value = given !== undefined ? given : data && data[field.key], input;
    var choices = (field.choices || []).concat(field.words || []), text = Array.isArray(value) ? value.join(", ") : value === null || value === undefined ? "" : String(value);
    if (typeof value === "object" && value && !Array.isArray(value) || field.kind === "by-path") {
      return make("p", { className: "own-question" }, title((field.help || words(field.key)).split(/[;,]/)[0]) + (field.kind === "by-path" ? ": that is asked beside each figure that is stated." : ": that is written in the file as text."));
    }
    if (field.kind === "word") {
      if (text && choices.indexOf(text) < 0) choices = choices.concat(text);
      input = make("select", { id: id }, [make("option", { value: "" }, "not stated")].concat(choices.map(function (each) { return make("option", { value: each, selected: each === text }, (field.said || {})[each] || each); })));
    } else if (field.kind === "prose" && text.length > 60) {
      input = make("textarea", { id: id, rows: Math.min(6, Math.ceil(text.length / 60) + 1), value: text.trim() });
    } else {
      input = make("input", { id: id, type: "text", value: text.trim(), autocomplete: "off", spellcheck: false });
    }
    var beside = [field.unit, field.required ? "must be stated" : "", field.when ? "where: " + field.when : "",
      field.kind !== "word" && field.words ? "or " + field.words.join(", ") : "", field.kind === "words" && field.choices ? "some of " + field.choices.join(", ") : "",
      field.example && field.kind !== "word" ? "such as " + field.example : ""];
    input.setAttribute("aria-describedby", id + "-about");
    ["change", "blur"].forEach(function (kind) {
      input.addEventListener(kind, function () {
        if (state.redrawn || input.dataset.was === input.value) return;
        input.dataset.was = input.value;
        put({ ask: "put", path: way, value: input.value, kind: field.kind });
      });
    });
    input.dataset.was = input.value;
    return make("div", { className: "own-question" }, [
      make("label", { htmlFor: id }, title(field.help || words(field.key)) + (field.unit ? " (" + field.unit + ")" : "")), input,
      make("span", { id: id + "-about", className: "own-about" }, beside.filter(Boolean).join(" · "))].concat(
      field.kind === "number" && text && !isNaN(text) ? howKnown(way, id + "-known") : []));
  }
  function byPath() { return about.form.sections[about.form.whole].filter(function (each) { return each.kind === "by-path"; })[0]; }
  function knownNow() { return (state.data || {})[byPath().key] || {}; }
  /* How a figure is known: said of itself, or of a section above it. */
  function howKnown(way, id) {
    var field = byPath(), known = knownNow(), path = way.join("."), above = way.slice(0, -1), select;
    while (above.length && !known[above.join(".")]) above.pop();
    above = known[above.join(".")];
    select = make("select", { id: id, className: "own-known" }, [make("option", { value: "" }, above ? "as its section: " + above.replace("-", " ") : "not said")].concat(
      field.choices.map(function (each) { return make("option", { value: each, selected: known[path] === each }, each.replace("-", " ")); })));
    select.onchange = function () { put({ ask: "put", path: [field.key, path], value: select.value, kind: "word" }); };
    return make("label", { className: "own-about" }, ["how it is known ", select]);
  }
  /* What a question changes in the text; whether it could. */
  async function put(question) {
    if (!state.ready && !state.dead) say(about.engine ? "Your change is held until the program is ready." : "This guide has no program that could put it into the text: change the text itself.");
    if (!about.engine) return false;
    var told = await ask(question);
    if (told.problems.length) { showProblems(told.problems); showForm(true); return false; }
    changed(told.text);
    return true;
  }

  // ---- beginning, saving, keeping

  function begin(file, text, data) {
    state.told = state.compared = null;
    state.open = {};
    one("form").replaceChildren();
    state.file = file;
    ["problems", "verdict", "changed", "findings", "working", "readings", "surge"].forEach(function (each) { one(each).replaceChildren(); });
    document.querySelectorAll("[data-drawing], [data-sheet]").forEach(function (each) { each.replaceChildren(); delete each.dataset.of; });
    delete one("working").dataset.of;
    one("job-page").hidden = false;
    changed(text, data);
  }
  window.ownJob = function (name, text, data) { one("file").value = ""; begin((name || "own") + ".yaml", text, data); };
  function take(name) { load("jobs/" + (name || "_blank") + ".js").catch(function (error) { say(error.message + "."); }); }
  function stem() { return state.file.replace(/\.ya?ml$/, "") || "own"; }
  function give(name, text, type) {
    var link = make("a", { href: URL.createObjectURL(new Blob([text], { type: type })), download: name });
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
  }
  function stored(what) {
    try { return what(window.localStorage); } catch (error) {
      one("keep").checked = false;
      say("This browser keeps nothing for pages of this kind; save the file instead.");
      return null;
    }
  }
  function keep() {
    if (one("keep").checked) stored(function (storage) { storage.setItem(KEPT, JSON.stringify({ file: state.file, text: state.text })); });
  }
  function found() {
    var kept = null;
    try { kept = JSON.parse(window.localStorage.getItem(KEPT)); } catch (error) { return null; }
    return kept && typeof kept.text === "string" && typeof kept.file === "string" && kept.text.length <= LARGEST ? kept : null;
  }
  one("take").onclick = function () { take(one("jobs").value); };
  one("blank").onclick = function () { take(""); };
  one("file").onchange = async function () {
    var file = one("file").files[0];
    if (!file) return;
    if (file.size > LARGEST) { say("The file is larger than " + LARGEST + " bytes; check that it is the right file. Nothing was changed."); return; }
    var text;
    try { text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer()); } catch (error) {
      say("The file is not UTF-8 text; save it as UTF-8. Nothing was changed.");
      return;
    }
    state.data = null;
    begin(file.name, text);
    say("Read: " + file.name + ".");
  };
  one("save").onclick = function () { give(stem() + ".yaml", state.text, "text/yaml"); };
  one("papers").onclick = async function () {
    if (!state.ready) { say("The papers are made by the program, which is not ready. On a command line: python3 tools/start.py record FILE -o DIR."); return; }
    say("The papers are being made.");
    var told = await ask({ ask: "papers" });
    if (told.problems.length) { showProblems(told.problems); return; }
    give(stem() + "-papers.html", told.papers, "text/html");
    say("Saved: " + stem() + "-papers.html. Open it and print it.");
  };
  document.querySelectorAll("[data-save]").forEach(function (button) {
    button.onclick = async function () {
      if (!state.ready) { say("The sheet is made by the program, which is not ready. On a command line: python3 tools/start.py record FILE -o DIR."); return; }
      var told = await ask({ ask: "site-sheet", sheet: button.dataset.save });
      if (told.problems.length) { showProblems(told.problems); return; }
      give(stem() + "-" + told.name + ".html", told.page, "text/html");
      say("Saved: " + stem() + "-" + told.name + ".html. Open it and print it.");
    };
  });
  one("back").onclick = function () {
    if (!state.before.length) { say("There is no step back."); return; }
    changed(state.before.pop(), undefined, "back");
  };
  one("keep").onchange = function () { if (one("keep").checked) keep(); else stored(function (storage) { storage.removeItem(KEPT); }); };
  one("clear").onclick = function () {
    one("keep").checked = false;
    if (stored(function (storage) { storage.removeItem(KEPT); return true; })) say("This device keeps nothing of this page now.");
  };
  var pause;
  one("text").addEventListener("input", function () {
    clearTimeout(pause);
    pause = setTimeout(function () {
      var text = one("text").value;  // a field holds plain line ends
      changed(/\r\n/.test(state.text) ? text.replace(/\n/g, "\r\n") : text, undefined, "text");
    }, PAUSE_MS);
  });
  document.querySelectorAll("#own-told details").forEach(function (each) {
    each.addEventListener("toggle", function () {
      var turn = state.turn;
      if (each.open && state.told) showOpened(function () { return turn !== state.turn; });
    });
  });
  about.jobs.forEach(function (each) { one("jobs").append(make("option", { value: each[0] }, each[1])); });
  start();
  var wanted = new URLSearchParams(location.search).get("job"), kept = found();
  one("job-page").hidden = false;
  if (wanted && about.jobs.some(function (each) { return each[0] === wanted; })) { one("jobs").value = wanted; take(wanted); }
  else if (kept) { one("keep").checked = true; state.data = null; begin(kept.file, kept.text); }
  else if (about.first) { one("jobs").value = about.first; take(about.first); }
})();
