// What a reader explains in words of their own, and which points they had: kept on this device alone,
// apart from the record and from every mark. Without a store it lasts as long as the page is open.
(function () {
  "use strict";
  var STORE = "firstway:say-why", LONGEST = 4000, kept = read();
  var parts = Array.prototype.slice.call(document.querySelectorAll(".say-why"));
  var clear = document.querySelector(".say-clear"), said = document.querySelector(".say-kept");

  function read() {
    var found = null;
    try { found = JSON.parse(window.localStorage.getItem(STORE)); } catch (_) { /* as if there were nothing */ }
    return found && typeof found === "object" && !Array.isArray(found) ? found : {};
  }
  function row(name) {
    var own = Object.prototype.hasOwnProperty.call(kept, name) ? kept[name] : null;
    return own && typeof own.text === "string" && Array.isArray(own.had) ? own : { text: "", had: [] };
  }
  function keep() {
    try { window.localStorage.setItem(STORE, JSON.stringify(kept)); said.textContent = ""; }
    catch (_) { said.textContent = "This browser keeps nothing for this page: print it before you close it."; }
  }
  function show(part) {
    var own = row(part.dataset.prompt), boxes = part.querySelectorAll(".say-had");
    part.querySelector("textarea").value = own.text.slice(0, LONGEST);
    boxes.forEach(function (box, place) { box.checked = own.had.indexOf(place) >= 0; });
    count(part);
  }
  function count(part) {
    var boxes = part.querySelectorAll(".say-had"), had = part.querySelectorAll(".say-had:checked").length;
    part.querySelector(".say-count").textContent = had ? "You had " + had + " of " + boxes.length + " points." : "";
  }
  parts.forEach(function (part) {
    function changed() {
      var had = [];
      part.querySelectorAll(".say-had").forEach(function (box, place) { if (box.checked) { had.push(place); } });
      kept[part.dataset.prompt] = { text: part.querySelector("textarea").value.slice(0, LONGEST), had: had };
      count(part);
      keep();
    }
    part.querySelector("textarea").addEventListener("input", changed);
    part.querySelectorAll(".say-had").forEach(function (box) { box.addEventListener("change", changed); });
    show(part);
  });
  clear.parentNode.hidden = false;
  clear.addEventListener("click", function () {
    kept = {};
    try { window.localStorage.removeItem(STORE); } catch (_) { /* there is nothing */ }
    parts.forEach(show);
    said.textContent = "Cleared.";
  });
})();
