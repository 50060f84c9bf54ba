/* The unit switch, and what a word means. A classic script: it must run from file://.
 *
 * A handbook without the switch (data-units-fixed on its bar) shows its own units, whatever was kept or asked for.
 * The reader's choice is kept as "seatwork-units" and set on <html data-units="us|metric">; style
 * sheets hide the other system. Without a script the site's own default shows.
 */
(function () {
  "use strict";
  var root = document.documentElement;
  var say = window.seatworkSay ? window.seatworkSay.say : String; // sheets do without words.js

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
    if (bar && bar.hasAttribute("data-units-fixed")) { asked = kept = null; } // of another handbook on the same server
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
      if (link) { link.search = "?units=" + units() + (link.dataset.mine ? "&mine=" + encodeURIComponent(link.dataset.mine) : ""); }
    }, true);
    /* on paper every sum is open: older browsers print a folded one folded */
    window.addEventListener("beforeprint", function () {
      document.querySelectorAll("details.sw-how:not([open])").forEach(function (sum) {
        sum.open = true;
        sum.dataset.folded = "";
      });
    });
    window.addEventListener("afterprint", function () {
      document.querySelectorAll("details.sw-how[data-folded]").forEach(function (sum) {
        sum.open = false;
        delete sum.dataset.folded;
      });
    });
    hints();
    var search = document.querySelector('.md-search[role="dialog"]'); // the theme gives its search no name
    if (search && !search.hasAttribute("aria-label")) { search.setAttribute("aria-label", say("Search")); }
  }

  /* A word of the glossary says its meaning to a mouse that rests on it and to the keyboard's focus.
   * Its pop-up, which a tap opens, holds the words. Escape puts the hint away; a mouse may go into it. */
  function hints() {
    var words = document.querySelectorAll(".sw-term[popovertarget]");
    if (!words.length || !HTMLElement.prototype.showPopover) { return; }
    var hint = document.createElement("div"), at = null, timer = 0;
    hint.id = "sw-hint";
    hint.className = "sw-hint";
    hint.setAttribute("role", "tooltip");
    hint.setAttribute("popover", "manual");
    document.body.appendChild(hint);

    function hide() {
      window.clearTimeout(timer);
      if (!at) { return; }
      at.removeAttribute("aria-describedby");
      at = null;
      hint.hidePopover();
    }
    function show(word) {
      var popup = document.getElementById(word.getAttribute("popovertarget"));
      window.clearTimeout(timer);
      if (!popup || at === word || popup.matches(":popover-open")) { return; }
      hide();
      hint.textContent = popup.querySelector("p").textContent;
      hint.showPopover();
      var box = word.getBoundingClientRect(), size = hint.getBoundingClientRect();
      var wide = document.documentElement.clientWidth;
      var below = box.bottom + size.height <= window.innerHeight || box.top < size.height;
      hint.style.left = window.scrollX + Math.max(4, Math.min(box.left, wide - size.width - 4)) + "px";
      hint.style.top = window.scrollY + (below ? box.bottom : box.top - size.height) + "px";
      at = word;
      word.setAttribute("aria-describedby", hint.id);
    }
    function soon(what, wait) {
      window.clearTimeout(timer);
      timer = window.setTimeout(what, wait);
    }
    words.forEach(function (word) {
      word.addEventListener("pointerenter", function (event) {
        if (event.pointerType !== "touch") { soon(function () { show(word); }, 150); }
      });
      word.addEventListener("pointerleave", function () {
        if (!word.matches(":focus-visible")) { soon(hide, 300); }
      });
      word.addEventListener("focus", function () { if (word.matches(":focus-visible")) { show(word); } });
      word.addEventListener("blur", hide);
      word.addEventListener("click", hide);
    });
    hint.addEventListener("pointerenter", function () { window.clearTimeout(timer); });
    hint.addEventListener("pointerleave", function () { soon(hide, 300); });
    document.addEventListener("keydown", function (event) { if (event.key === "Escape") { hide(); } });
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
