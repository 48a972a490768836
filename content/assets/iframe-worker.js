// From the file system browsers refuse the worker that the theme searches in. Here its script runs
// in a hidden frame, which answers as a worker does. Nothing is written into the page as a script,
// so the page's policy need not allow any.
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

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

  window.Worker = FrameWorker;
})();
