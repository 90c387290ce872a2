/* What a page opened from a folder must do without. From a web server nothing here is replaced.
   It may not start a Worker, and the search needs one: FrameWorker looks like a Worker and runs the script in a
   hidden frame of the page instead. And it may not fetch a neighbouring file: such a request fails here at once,
   as it would anyway, but without an error in the console (the theme's script asks for a site map it can spare).
   The name of this file keeps the theme's offline plugin from loading such a thing from elsewhere. */
(function () {
  "use strict";

  if (location.protocol !== "file:") return;

  class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      this.onmessage = null;
      this.onerror = null;
      const frame = document.createElement("iframe");
      frame.hidden = true;
      frame.tabIndex = -1;
      frame.title = "Search, at work";
      frame.setAttribute("aria-hidden", "true");
      this.frame = frame;
      this.ready = new Promise((resolve, reject) => {
        const begin = () => {
          document.body.append(frame);
          this.prepare(frame.contentWindow);
          this.load(new URL(address, document.baseURI)).then(resolve, reject);
        };
        if (document.body) begin();
        else document.addEventListener("DOMContentLoaded", begin, { once: true });
      });
      this.ready.catch((reason) => this.tell("error", new ErrorEvent("error", { message: String(reason) })));
    }

    /* What a worker's script finds in its global scope. */
    prepare(inside) {
      inside.postMessage = (data) => {
        this.tell("message", new MessageEvent("message", { data: structuredClone(data) }));
      };
      inside.importScripts = (...addresses) =>
        addresses.reduce((before, address) => before.then(() => this.load(new URL(address, this.base))), Promise.resolve());
      inside.close = () => this.terminate();
      inside.addEventListener("error", (event) => {
        this.tell("error", new ErrorEvent("error", { message: event.message, error: event.error }));
      });
    }

    load(address) {
      this.base = this.base || address;
      return new Promise((resolve, reject) => {
        const inside = this.frame.contentDocument;
        const script = inside.createElement("script");
        script.src = address.href;
        script.onload = () => resolve();
        script.onerror = () => reject(new Error(`cannot load ${address.href}`));
        inside.head.append(script);
      });
    }

    tell(kind, event) {
      const handler = this[`on${kind}`];
      if (typeof handler === "function") handler.call(this, event);
      this.dispatchEvent(event);
    }

    postMessage(data) {
      const copy = structuredClone(data);
      this.ready.then(
        () => {
          const inside = this.frame.contentWindow;
          if (inside) inside.dispatchEvent(new inside.MessageEvent("message", { data: copy }));
        },
        () => undefined
      );
    }

    terminate() {
      this.frame.remove();
    }
  }

  window.Worker = FrameWorker;

  const { open, send } = XMLHttpRequest.prototype;
  const refused = new WeakSet();
  XMLHttpRequest.prototype.open = function (method, address, ...rest) {
    if (new URL(address, document.baseURI).protocol === "file:") refused.add(this);
    else refused.delete(this);
    return open.call(this, method, address, ...rest);
  };
  XMLHttpRequest.prototype.send = function (...body) {
    if (!refused.has(this)) return send.apply(this, body);
    queueMicrotask(() => this.dispatchEvent(new ProgressEvent("error")));
    return undefined;
  };
})();
