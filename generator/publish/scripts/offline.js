/* Keeps the handbook on the device where that is allowed: over https, or from this machine itself.
 * Elsewhere (from disk, over plain http) nothing happens and nothing is said. */
(function () {
  "use strict";
  var here = /** @type {HTMLScriptElement | null} */ (document.currentScript);
  var allowed = /^https?:$/.test(window.location.protocol) && window.isSecureContext && "serviceWorker" in navigator;
  if (!here || !allowed) { return; }
  var say = window.seatworkSay ? window.seatworkSay.say : String;
  var worker = here.src.replace(/(?:e-[0-9a-f]{12}\/)?assets\/[^/]*$/, "offline-worker.js"); // above its edition's folder

  function keep() {
    navigator.serviceWorker.register(worker, { updateViaCache: "none" }).then(function () {
      return navigator.serviceWorker.ready;
    }).then(function () {
      var foot = document.querySelector(".md-copyright");
      if (!foot) { return; }
      var said = document.createElement("p");
      said.className = "sw-kept";
      said.textContent = say("Kept on this device. It opens without a signal.");
      foot.appendChild(said);
    }).catch(function () { /* not allowed here, or no room: the handbook works as without it */ });
  }
  /* the reader's page first, the rest of the handbook when it stands */
  window.addEventListener("load", function () { window.setTimeout(keep, 2000); });
})();
