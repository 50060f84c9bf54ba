/* Tells of a file of the edition's folder that did not come. The one script of ours that stands in a page itself, let in
 * by its hash: it has to run where no file does. While a page loads, the page is loaded once more; later a line at its
 * foot says what happened. Where the file cannot be asked for, as without a signal, nothing is said: it is no other
 * edition's doing. "sw-gone" is an event of the search, which fetches its index in its own way. */
(function () {
  "use strict";
  var AGAIN = "seatwork-again", told = false, missed = false;

  function say() {
    if (told) { return; }
    told = true;
    var line = document.createElement("p"), button = document.createElement("button");
    line.className = "sw-newer";
    line.setAttribute("role", "alert");
    line.style.cssText = "position:fixed;z-index:99;inset:auto 0 0;margin:0;padding:.75rem 1rem;background:#7a1f00;color:#fff;font:1rem/1.4 system-ui,sans-serif";
    line.textContent = "A newer edition of this handbook has been published. Finish what you have begun, then load this page again. ";
    button.type = "button";
    button.textContent = "Load again";
    button.style.cssText = "font:inherit;color:#000;background:#fff;border:0;border-radius:4px;padding:.4rem 1rem;min-height:44px";
    button.addEventListener("click", function () { window.location.reload(); });
    line.appendChild(button);
    document.body.appendChild(line);
  }
  /* Whether the page was loaded again by itself already, and has not come whole since. */
  function again() {
    try {
      if (window.sessionStorage.getItem(AGAIN)) { return true; }
      window.sessionStorage.setItem(AGAIN, "1");
      return false;
    } catch (e) { return true; }
  }
  window.addEventListener("load", function () {
    if (missed) { return; }
    try { window.sessionStorage.removeItem(AGAIN); } catch (e) { /* nothing was kept */ }
  });
  function shown() {
    if (document.body && document.readyState !== "loading") { say(); } else { document.addEventListener("DOMContentLoaded", say); }
  }
  function gone(from) {
    missed = true;
    if (document.readyState !== "complete" && !again()) { window.location.reload(); return; }
    if (!/^http/.test(from)) { shown(); return; }
    fetch(from, { method: "HEAD", cache: "no-store" }).then(function (answer) {
      if (answer.status === 404 || answer.status === 410) { shown(); }
    }, function () { /* no signal: told elsewhere */ });
  }
  window.addEventListener("error", function (event) {
    var asked = /** @type {any} */ (event.target), from = asked && (asked.src || asked.href);
    if (typeof from === "string" && /\/e-[0-9a-f]{12}\//.test(from)) { gone(from); }
  }, true);
  window.addEventListener("sw-gone", function (event) { gone(/** @type {CustomEvent} */ (event).detail); });
})();
