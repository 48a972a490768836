// The job through the book: its lines at a chapter's end are marked and go onto its sheet, which
// stands on a page of its own. What was typed is part of the one record (progress.js).

var record = window.firstwayProgress, box = one(document, ".job-box");

function lineOf(name) { return (record.record().sheet[name] || [0, ""])[1]; }

function blank(part, data) {
  var name = part.dataset.question, key = data.keys[name], input = one(part, "input"), said = one(part, ".job-said");
  function check() {
    var mark = marked(key, input.value, data.words), trouble;
    said.textContent = "";
    mark.feedback.split("\n").forEach(function (sentence) { said.appendChild(element("p", sentence)); });
    if (ASKS_AGAIN.test(mark.state)) return;
    trouble = record.setLine(name, plain(input.value));
    if (trouble) said.appendChild(element("p", trouble));
  }
  one(part, ".job-field").hidden = false;
  input.value = lineOf(name);
  one(part, "button").addEventListener("click", check);
  input.addEventListener("keydown", function (event) { if (event.key === "Enter") { event.preventDefault(); check(); } });
}

function sheet() {
  var lines = all(document, ".job-yours"), filled = 0;
  lines.forEach(function (cell) {
    cell.textContent = lineOf(cell.dataset.line);
    if (cell.textContent) filled += 1;
  });
  if (lines.length) one(document, ".job-count").textContent = filled + " of " + lines.length + " lines filled.";
}

if (record) {
  if (box) all(box, ".job-blank").forEach(function (part) { blank(part, JSON.parse(one(box, ".job-data").textContent)); });
  sheet();
  window.addEventListener("pageshow", function (event) { if (event.persisted) sheet(); });
}
