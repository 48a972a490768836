// A board with a mistake: say where it is and why it is wrong, then see; whether it was held is kept.
// Without this file question and answer stand as they are.
(function () {
  "use strict";
  function all(found, within) { return Array.from((within || document).querySelectorAll(found)); }

  var form = document.querySelector(".find-mistake");
  if (!form) return;
  var right = JSON.parse(form.dataset.places), list = form.querySelector("select"), said = form.querySelector(".find-told");
  var drawing = document.querySelector("svg.fw-wiring"), stem = drawing.id.replace(/drawing$/, "");
  function bare(name) { return name.replace(/^lifelike-/, "").replace(/^(wire|label|cable|terminal)\./, ""); }
  all("g[id]", drawing).forEach(function (each) {
    var title = each.querySelector(":scope > title");
    if (title && !/title-block|rail/.test(each.getAttribute("class"))) list.append(new Option(title.textContent, bare(each.id.slice(stem.length))));
  });
  document.addEventListener("click", function (event) {
    var chosen = event.target.closest("svg") && document.querySelector(".fw-chosen");
    if (chosen) list.value = bare(chosen.id.slice(stem.length));
  });
  form.querySelector(".find-place").hidden = !right.length;
  form.querySelector("button").parentNode.hidden = false;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    var why = form.querySelector("[type=radio]:checked"), words = [];
    if ((right.length && !list.value) || !why) {
      said.textContent = !why ? "Choose a reason first." : "Choose a place first: tap it in a drawing, or take it from the list.";
      return;
    }
    var there = !right.length || right.indexOf(list.value) >= 0, reason = why.value === form.dataset.why;
    if (right.length) words.push(there ? "The place is right." : "It is not there.");
    words.push(reason ? "The reason is right." : "That is not the reason.");
    said.textContent = words.join(" ") + " The answer stands open below.";
    document.querySelector("details.answer").open = true;
    if (window.firstwayProgress) window.firstwayProgress.tick(form.dataset.held, there && reason);
  });
})();
