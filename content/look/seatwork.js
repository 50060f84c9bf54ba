/* The unit switch, and finding a machine in a long table. A classic script: it must run from file://.
 *
 * The reader's choice is kept as "seatwork-units" and set on <html data-units="us|metric">; style
 * sheets hide the other system. Without a script the site's own default shows.
 */
(function () {
  "use strict";
  var root = document.documentElement;

  function stored(key) {
    try { return window.localStorage.getItem(key); } catch (e) { return null; }
  }
  function store(key, value) {
    try { window.localStorage.setItem(key, value); } catch (e) { /* private mode: this page only */ }
  }
  function units() {
    return root.dataset.units || "";
  }
  function setUnits(value) {
    root.dataset.units = value;
    document.querySelectorAll("[data-set-units]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.dataset.setUnits === value));
    });
    document.dispatchEvent(new CustomEvent("sw-units", { detail: value }));
  }

  function start() {
    var asked = /[?&]units=(us|metric)/.exec(window.location.search);
    var bar = document.querySelector("[data-default-units]");
    var fallback = bar ? bar.dataset.defaultUnits : "us";
    var kept = stored("seatwork-units");
    setUnits(asked ? asked[1] : kept === "us" || kept === "metric" ? kept : fallback);

    document.addEventListener("click", function (event) {
      var target = event.target.closest("[data-set-units], [data-print]");
      if (!target) { return; }
      if (target.dataset.setUnits) {
        store("seatwork-units", target.dataset.setUnits);
        setUnits(target.dataset.setUnits);
      } else {
        window.print();
      }
    });
    /* sheets are plain files: hand the reader's choice on, as storage may not reach them */
    document.addEventListener("click", function (event) {
      var link = event.target.closest("a[data-sheet]");
      if (link) { link.search = "?units=" + units(); }
    }, true);
    document.querySelectorAll(".sw-scroll").forEach(addFilter);
  }

  /* A box to find one's machine, where a table is long. The last choice is remembered. */
  function addFilter(region) {
    var rows = region.querySelectorAll("tr[data-row]");
    if (rows.length < 12) { return; }
    var label = document.createElement("label");
    label.className = "sw-filter";
    label.textContent = "Find your machine ";
    var box = document.createElement("input");
    box.type = "search";
    label.appendChild(box);
    region.parentNode.insertBefore(label, region);
    function apply() {
      var wanted = box.value.trim().toLowerCase();
      rows.forEach(function (row) {
        row.hidden = wanted !== "" && row.textContent.toLowerCase().indexOf(wanted) < 0 &&
          row.dataset.row.toLowerCase() !== wanted;
      });
    }
    box.value = stored("seatwork-my-machine") || "";
    box.addEventListener("input", function () { store("seatwork-my-machine", box.value); apply(); });
    apply();
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
