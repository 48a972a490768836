// Ticks beside the chapters: kept on this device, saved to and loaded from a file. Without it the list of chapters stands as it is.
(function () {
  "use strict";
  var KEY = "firstway.guide.progress.1", KIND = "firstway-progress", LARGEST = 100000;
  var list = document.querySelector("[data-progress]");
  var panel = document.querySelector(".progress");
  if (!list || !panel) { return; }
  var boxes = {}, names = [];
  Array.prototype.forEach.call(list.querySelectorAll("[data-chapter]"), function (item) {
    var name = item.getAttribute("data-chapter"), label = item.querySelector("label");
    boxes[name] = label.querySelector("input");
    names.push(name);
    label.hidden = false;
    boxes[name].addEventListener("change", function () { keep(); tell(""); });
  });
  var count = panel.querySelector(".progress-count");

  function done() { return names.filter(function (name) { return boxes[name].checked; }); }
  function record() { return { kind: KIND, version: 1, done: done() }; }

  // Storage may be missing, full or forbidden, and any other local page may have written to it.
  function keep() { try { window.localStorage.setItem(KEY, JSON.stringify(record())); } catch (_) { /* the file is the record */ } }
  function kept() { try { return window.localStorage.getItem(KEY); } catch (_) { return null; } }

  function read(text) {
    var data;
    try { data = JSON.parse(text); } catch (_) { return null; }
    if (!data || data.kind !== KIND || data.version !== 1 || !Array.isArray(data.done)) { return null; }
    return data.done.filter(function (name) { return typeof name === "string"; });
  }

  function show(found) { names.forEach(function (name) { boxes[name].checked = found.indexOf(name) >= 0; }); }

  function tell(words) {
    count.textContent = (words ? words + " " : "") + done().length + " of " + names.length + " chapters done.";
  }

  function save() {
    var link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(record(), null, 1) + "\n"], { type: "application/json" }));
    link.download = "firstway-progress.json";
    document.body.appendChild(link);
    link.click();
    document.body.removeChild(link);
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
    tell("Saved.");
  }

  function load(input) {
    var file = input.files && input.files[0];
    if (!file) { return; }
    if (file.size > LARGEST) { input.value = ""; tell("That file is no saved progress; nothing was changed."); return; }
    var reader = new FileReader();
    reader.onload = function () {
      var found = read(String(reader.result));
      input.value = "";
      if (!found) { tell("That file is no saved progress; nothing was changed."); return; }
      show(found);
      keep();
      var unknown = found.filter(function (name) { return names.indexOf(name) < 0; }).length;
      tell("Loaded." + (unknown ? " " + unknown + " of its chapters are not in this guide." : ""));
    };
    reader.onerror = function () { input.value = ""; tell("The file could not be read; nothing was changed."); };
    reader.readAsText(file);
  }

  panel.querySelector(".progress-save").addEventListener("click", save);
  panel.querySelector("input[type=file]").addEventListener("change", function (event) { load(event.target); });
  show(read(kept() || "") || []);
  panel.hidden = false;
  tell("");
})();
