// What readers use of the frame around a page: keys, the contents beside it, the way back to the
// top. The theme's own script, its search and the index are loaded when the search is opened; from
// then on it answers the keys (it names itself keyboard$).
(function () {
  "use strict";
  var root = document.documentElement, one = document.querySelector.bind(document);
  function all(found, within) { return Array.from((within || document).querySelectorAll(found)); }
  function at(address) {
    try { return document.getElementById(decodeURIComponent(address.slice(1))); } catch (e) { return null; }
  }
  var KEY = ".quiz-answers, .answer";  // what a reader opens, and nothing else
  root.classList.replace("no-js", "js");
  var asked = at(location.hash);
  if (asked && /^__tabbed_/.test(asked.name)) asked.checked = true;

  // ---- the search

  var query = one(".md-search__input"), open = one("#__search"), drawer = one("#__drawer"), menu = one("header [for=__drawer]");
  function search() {
    var scripts = all("script", one("#search-scripts").content), hash = location.hash, script;
    if (!scripts.length) return;
    try { __md_get("__palette"); } catch (_) {  // no storage: the theme asks it all the same
      var chosen = all("[name=__palette]").findIndex(function (each) { return each.checked; });
      window.__md_get = function () { return { index: chosen }; };
      window.__md_set = function () { /* for this page only */ };
    }
    scripts.forEach(function (each) {
      script = document.importNode(each);
      script.async = false;  // in their order
      document.head.append(script);
      each.remove();
    });
    if (!hash) return;
    history.replaceState(history.state, "", "#");  // at a place on the page the theme shuts its search
    script.onload = script.onerror = function () { history.replaceState(history.state, "", hash); };
  }
  query.addEventListener("focus", function () {
    if (query.hidePopover) all(":popover-open").forEach(function (each) { each.hidePopover(); });
    if (!open.checked) open.click();
    search();
  });
  // The theme takes the focus away first, and Firefox then begins again where it was: a trap.
  query.addEventListener("keydown", function (event) {
    if (event.key !== "Tab") return;
    event.stopPropagation();
    if (open.checked) open.click();
  });
  one("header .md-header__button[for=__search]").addEventListener("click", function (event) {
    event.preventDefault();
    if (!open.checked) open.click();
    query.focus();
  });
  query.form.addEventListener("submit", function (event) { event.preventDefault(); });

  // What was searched for, marked on the page that was found.
  var words = (new URLSearchParams(location.search).get("h") || "").split(/[\s*+\-:~^]+/).filter(Boolean);
  var telling = words.filter(function (each) { return each.length > 3; });  // not "is" in every "isolation"
  if (telling.length) words = telling;
  function marked(article) {
    var told = words.map(function (each) { return each.replace(/[|\\{}()[\]^$?.]/g, "\\$&"); });
    var found = new RegExp("(?<![\\p{L}\\p{N}])(" + told.join("|") + ")", "giu"), nodes = [];
    var walk = document.createTreeWalker(article, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) if (!walk.currentNode.parentNode.closest("svg, script, math")) nodes.push(walk.currentNode);
    nodes.forEach(function (node) {
      var parts = node.data.split(found);  // text, found, text, ...
      if (parts.length > 1) node.replaceWith.apply(node, parts.map(function (part, place) {
        if (place % 2 === 0) return part;
        var mark = document.createElement("mark");
        mark.textContent = part;
        return mark;
      }));
    });
  }
  if (words.length) {
    marked(one("article"));
    unfold(all("article mark").find(function (each) { return !each.closest(KEY); }));
  }

  // ---- keys

  function typing(active) {
    return active && (active.matches("input:not([name=__palette]), select, textarea") || active.isContentEditable);
  }
  addEventListener("keydown", function (event) {
    if (event.key === "Escape" && drawer.checked) {
      drawer.click();
      menu.focus();
    }
    if (event.key === " " && event.target.matches("label")) {
      event.preventDefault();
      event.target.click();
    }
    // The theme takes a radio button for no field.
    if (event.target.matches("article [type=radio]") && event.key.length === 1) event.stopImmediatePropagation();
    if (window.keyboard$ || event.metaKey || event.ctrlKey) return;
    var key = event.key, active = document.activeElement;
    if (key === "Escape" && open.checked) { open.click(); query.blur(); }
    if (open.checked || typing(active)) return;
    var page = one({ "p": "link[rel=prev]", ",": "link[rel=prev]", "n": "link[rel=next]", ".": "link[rel=next]" }[key] || "none");
    if (page) location.href = page.href;
    if (key === "Enter" && active && active.matches("label")) active.click();
    if (key === "f" || key === "s" || key === "/") {
      event.preventDefault();
      query.focus();
      query.select();
    }
  });

  // ---- the contents

  all(".md-nav--primary .md-nav__item :is([for=__toc], .md-nav__title)").concat(menu).forEach(function (label) {
    label.tabIndex = 0;
    label.setAttribute("role", "button");
  });
  menu.setAttribute("aria-label", "Contents");
  menu.setAttribute("aria-expanded", drawer.checked);
  drawer.addEventListener("change", function () {
    menu.setAttribute("aria-expanded", drawer.checked);
    var links = all(".md-nav--primary :is(a, label)[class*=md-nav__link]").filter(function (each) { return each.offsetParent; });
    var here = links.filter(function (each) { return each.matches(".md-nav__link--active"); }).pop() || links[0];
    if (drawer.checked && here) here.focus({ preventScroll: true });
  });
  one(".md-nav--primary").addEventListener("click", function (event) {
    if (event.target.closest("a") && drawer.checked) drawer.click();
  });
  all(".md-nav__toggle").forEach(function (toggle) {
    toggle.addEventListener("change", function () {
      one("[for='" + toggle.id + "'] ~ nav, div:has([for='" + toggle.id + "']) ~ nav").setAttribute("aria-expanded", toggle.checked);
    });
  });
  all(".md-sidebar--primary .md-nav__link--active[href]").forEach(function (link) {
    var frame = link.closest(".md-sidebar__scrollwrap");
    if (link.clientHeight) frame.scrollTop = link.offsetTop - frame.offsetTop - frame.clientHeight / 2;
  });

  var heading = one(".md-content h1"), title = one(".md-header__title"), top = one(".md-top"), before = 0;
  var lists = all(".md-nav--secondary").map(function (list) {
    return all("a", list).map(function (link) { return { link: link, place: at(link.hash) }; });
  });
  function follow() {
    var end = one(".md-header").offsetHeight, y = scrollY;
    title.classList.toggle("md-header__title--active", Boolean(heading) && heading.getBoundingClientRect().bottom <= end);
    top.hidden = y >= before || y < end;
    before = y;
    var last = y + innerHeight >= root.scrollHeight - 1;
    lists.forEach(function (places) {
      var passed = places.filter(function (each) {
        return last || (each.place && each.place.getClientRects().length && each.place.getBoundingClientRect().top < end + 40);
      });
      places.forEach(function (each) {
        each.link.classList.toggle("md-nav__link--passed", passed.includes(each));
        each.link.classList.toggle("md-nav__link--active", each === passed[passed.length - 1]);
      });
    });
  }
  var waiting = false;
  function soon() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(function () { waiting = false; follow(); });
  }
  addEventListener("scroll", soon, { passive: true });
  addEventListener("resize", soon);
  soon();
  top.addEventListener("click", function () { scrollTo({ top: 0 }); });

  all("pre > code").forEach(function (code) { if (code.scrollWidth > code.clientWidth) code.tabIndex = 0; });

  // ---- what is folded

  function unfold(place) {
    for (var fold; place && (fold = place.closest("details:not([open])"));) {
      fold.open = true;
      place.scrollIntoView();
    }
  }
  function arrive() {
    if (drawer.checked) drawer.click();
    unfold(at(location.hash));
  }
  addEventListener("hashchange", arrive);
  if (location.hash) arrive();
  var folded = [];
  addEventListener("beforeprint", function () {
    folded = all(".md-content details:not([open])").filter(function (each) { return !each.closest(KEY); });
    folded.forEach(function (each) { each.open = true; });
  });
  addEventListener("afterprint", function () { folded.forEach(function (each) { each.open = false; }); });
})();
