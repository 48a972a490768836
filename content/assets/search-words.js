// What the theme's script asks a page for when the search is opened: once, not in every page.
(function () {
  "use strict";
  var own = document.currentScript, config = document.createElement("script");
  config.id = "__config";
  config.type = "application/json";
  config.textContent = JSON.stringify({
    base: new URL("..", own.src).href,
    features: ["navigation.top", "search.highlight"],
    search: new URL(own.dataset.worker, location).href,
    translations: {
      "clipboard.copied": "Copied to clipboard",
      "clipboard.copy": "Copy to clipboard",
      "search.result.more.one": "1 more on this page",
      "search.result.more.other": "# more on this page",
      "search.result.none": "No page found",
      "search.result.one": "1 page",
      "search.result.other": "# pages",
      "search.result.placeholder": "Type to start searching",
      "search.result.term.missing": "Missing",
      "select.version": "Select version"
    }
  });
  document.body.append(config);
}());
