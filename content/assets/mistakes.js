// A board with a mistake: say where it is, why it is wrong, how urgent and which test shows it, then see; whether it was held is kept.
// Without this file question and answer stand as they are.
(function () {
  "use strict";
  function all(found, within) { return Array.from((within || document).querySelectorAll(found)); }

  var form = document.querySelector(".find-mistake");
  if (!form) return;
  var right = JSON.parse(form.dataset.places), list = form.querySelector("select"), said = form.querySelector(".find-told");
  var drawing = document.querySelector("svg.fw-wiring"), stem = drawing.id.replace(/drawing$/, "");
  var ASKED = [ // what is asked, and what is said: before it is chosen, right, wrong
    ["why", "Choose a reason first.", "Reason: right.", "Reason: not this one."],
    ["urgent", "Choose how urgent it is first.", "Urgency: right.", "Urgency: another, see below."],
    ["test", "Choose a test first.", "Test: right.", "Test: another, see below."]
  ];
  function chosenOf(name) { return form.querySelector("[name=" + name + "]:checked"); }
  function bare(name) { return name.replace(/^lifelike-/, "").replace(/^(wire|label|cable|terminal)\./, ""); }
  function placeOf(name) { // a terminal, or a piece of a bar, stands for the part it is of
    var found = all("option", list).find(function (each) { return each.value === name || JSON.parse(each.dataset.also || "[]").indexOf(name) >= 0; });
    return found ? found.value : "";
  }
  document.addEventListener("click", function (event) {
    var chosen = event.target.closest("svg") && document.querySelector(".fw-chosen");
    if (chosen) list.value = placeOf(bare(chosen.id.slice(stem.length)));
  });
  form.querySelector(".find-place").hidden = !right.length;
  form.querySelector("button").parentNode.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    var words = [], there = !right.length || right.indexOf(list.value) >= 0, held = there;
    var open = ASKED.filter(function (each) { return !chosenOf(each[0]); })[0];
    if (open || (right.length && !list.value)) {
      said.textContent = open ? open[1] : "Choose a place first: tap it in a drawing, or take it from the list.";
      return;
    }
    if (right.length) words.push(there ? "Place: right." : "Place: not there.");
    ASKED.forEach(function (each) {
      var same = chosenOf(each[0]).value === form.dataset[each[0]];
      held = held && same;
      words.push(same ? each[2] : each[3]);
    });
    said.textContent = words.join(" ") + " The answer stands open below.";
    document.querySelector("details.answer").open = true;
    if (window.firstwayProgress) window.firstwayProgress.tick(form.dataset.held, held);
  });
})();
