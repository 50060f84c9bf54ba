/* Hands in what waits on the phone when the browser says that the signal is back, with no page open. Stands in
 * the worker only where settings.yml has hand_in; the build writes HAND_IN, the site and the path, and
 * content/look/outbox.js above it. Nothing here answers a request: what is put to the server goes to the server. */
(function () {
  "use strict";
  var outbox = self.seatworkOutbox(HAND_IN.site, HAND_IN.path);

  self.addEventListener("sync", function (event) {
    if (event.tag !== "seatwork-hand-in") { return; }
    event.waitUntil(outbox.send().then(function (left) {
      // the browser tries again later when this fails
      if (left) { throw new Error(left + " still to be handed in"); }
    }));
  });
})();
