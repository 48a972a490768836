// The reader's colours, before anything is painted: it stands at the top of the head, so nothing of
// the page is there yet. The names and the form kept are the theme's, whose own script may come later.
(function () {
  "use strict";
  var SCHEMES = ["", "default", "slate"];  // in the order of mkdocs.yml: as the device, light, dark
  var light = matchMedia("(prefers-color-scheme: light)"), inputs = [], now = 0;
  window.__md_scope = new URL("..", document.currentScript.src);
  window.__md_hash = function (text) {
    return Array.from(text).reduce(function (sum, each) { return (sum << 5) - sum + each.charCodeAt(0); }, 0);
  };
  window.__md_get = function (name, storage, scope) {
    return JSON.parse((storage || localStorage).getItem((scope || __md_scope).pathname + "." + name));
  };
  window.__md_set = function (name, value, storage, scope) {
    try {
      (storage || localStorage).setItem((scope || __md_scope).pathname + "." + name, JSON.stringify(value));
    } catch (_) { /* for this page only */ }
  };
  function show() {
    var scheme = SCHEMES[now] || (light.matches ? "default" : "slate");
    document.documentElement.style.colorScheme = scheme === "slate" ? "dark" : "light";
    if (document.body) document.body.dataset.mdColorScheme = scheme;
    inputs.forEach(function (input, place) {
      input.checked = place === now;
      input.nextElementSibling.hidden = place !== now;
    });
  }
  function answer(form) {
    form.addEventListener("change", function (event) {
      now = inputs.indexOf(event.target);
      show();
      __md_set("__palette", { index: now });
    });
    form.addEventListener("keydown", function (event) {
      if (event.key !== "Enter" || window.keyboard$) return;
      event.preventDefault();
      var next = inputs[(now + 1) % inputs.length];
      next.click();
      next.focus();
    });
  }
  try { now = Math.max(0, SCHEMES.indexOf(SCHEMES[__md_get("__palette").index])); } catch (_) { /* none kept */ }
  show();
  light.addEventListener("change", show);
  new MutationObserver(function (_, watch) {  // told of what was read before it is painted
    var found = Array.from(document.getElementsByName("__palette"));
    if (found.length === SCHEMES.length && found[found.length - 1].nextElementSibling) {
      watch.disconnect();
      inputs = found;
      answer(inputs[0].form);
    }
    show();
  }).observe(document.documentElement, { childList: true, subtree: true });
}());
