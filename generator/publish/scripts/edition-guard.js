/* Tells of a file of the edition's folder that did not come. The one script of ours that stands in a page itself, let in
 * by its hash: it has to run where no file does. It is short, as every page carries it. While a page loads, the page is
 * loaded once more; that it was is kept until it has come whole. Later a line at its foot says what happened. Where the
 * file cannot be asked for, as without a signal, nothing is said: it is no other edition's doing. "sw-gone" is an event
 * of the search, which fetches its index in its own way. The build writes what it says in the language of the page. */
(function () {
  var again = "seatwork-again", store, missed, told;
  try { store = sessionStorage; } catch (e) { /* nothing is kept here */ }

  function tell() {
    if (told) { return; }
    told = 1;
    var line = document.createElement("p"), button = document.createElement("button");
    line.className = "sw-newer";
    line.role = "alert";
    line.style = "position:fixed;z-index:99;inset:auto 0 0;margin:0;padding:1rem;background:#7a1f00;color:#fff";
    line.textContent = say("A newer edition of this handbook has been published. Finish what you have begun, then load this page again.") + " ";
    button.textContent = say("Load again");
    button.style = "font:inherit;color:#000;background:#fff;padding:.6rem 1rem";
    button.onclick = function () { location.reload(); };
    line.append(button);
    (document.body || document.documentElement).append(line);
  }
  function gone(from) {
    missed = 1;
    if (document.readyState !== "complete" && store && !store[again]) {
      store[again] = 1;
      location.reload();
    } else if (/^http/.test(from)) {
      fetch(from, { method: "HEAD", cache: "no-store" }).then(function (answer) { if (answer.status === 404) { tell(); } }, function () { /* no signal */ });
    } else { tell(); }
  }
  addEventListener("error", function (event) {
    var asked = event.target.src || event.target.href;
    if (/\/e-[0-9a-f]{12}\//.test(asked)) { gone(asked); }
  }, true);
  addEventListener("sw-gone", function (event) { gone(event.detail); });
  addEventListener("load", function () { if (store && !missed) { store.removeItem(again); } });
})();
