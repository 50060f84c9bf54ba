/* My machine: the reader picks what they run, once; tables then show those rows.
 *
 * assets/machines.js, written by the build, sets window.seatworkMachines = {site, machines:
 * [[id, name, has a cab card]]}. What is picked is kept on this device alone, as
 * "seatwork-my-machines|SITE", a list of ids. Nothing is sent. Without scripts every row shows.
 *
 * MARKUP  .sw-bar                          gets the list to pick from
 *         .sw-scroll[data-over] tr[data-row] a table: its rows, found by the row's heading
 *         ul.sw-find[data-over] li          a long list of links, found by its text
 * Classic script: it must run from file://.
 */
(function () {
  "use strict";

  var LONG = 12; // rows a reader can look through without help
  var WHOLE = LONG + 4; // a list hardly longer than that is shown whole: a button to show one more helps nobody
  var given = window.seatworkMachines || { site: "", machines: [] };
  var key = "seatwork-my-machines|" + given.site;
  var here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : "";
  var known = {};
  given.machines.forEach(function (m) { known[m[0]] = m; });
  var mine = read();
  var serial = 0;

  function read() {
    try {
      var found = JSON.parse(window.localStorage.getItem(key));
      return (Array.isArray(found) ? found : []).filter(function (id, i, all) {
        return Object.prototype.hasOwnProperty.call(known, id) && all.indexOf(id) === i;
      });
    } catch (e) { return []; }
  }
  function keep() {
    try { window.localStorage.setItem(key, JSON.stringify(mine)); } catch (e) { /* private mode: this page only */ }
  }
  function el(tag, cls, text) {
    var made = document.createElement(tag);
    if (cls) { made.className = cls; }
    if (text) { made.textContent = text; }
    return made;
  }
  /* capitals and accents make no difference */
  function plain(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }
  /* every typed word must stand somewhere in the text */
  function fits(text, typed) {
    return plain(typed).split(/\s+/).every(function (word) { return text.indexOf(word) >= 0; });
  }
  function set(node, text) {
    if (node.textContent !== text) { node.textContent = text; } // a reader of screens hears real changes only
  }
  function machines(n) { return n === 1 ? "1 machine" : n + " machines"; }
  function found(box, words, said) {
    var label = el("label", "sw-filter", words + " ");
    box.type = "search";
    box.autocomplete = "off";
    box.setAttribute("aria-controls", said);
    label.appendChild(box);
    return label;
  }
  function status() {
    var said = el("p", "sw-found");
    said.id = "sw-found-" + (serial += 1);
    said.setAttribute("role", "status");
    return said;
  }

  /* --- the list to pick from, in the bar on top of the page --- */

  function picker(bar) {
    var box = el("details", "sw-mine"), title = el("summary"), search = el("input"), said = status();
    var list = el("ul"), cards = el("span", "sw-cab");
    box.append(title, found(search, "Type part of its name", said.id), said, list,
      el("p", "sw-note", "Tap a machine to pick it, tap it again to drop it. Tables then show your machine. This is kept on this device only."));
    var buttons = given.machines.map(function (m) {
      var item = el("li"), button = el("button", "", m[1]);
      button.type = "button";
      button.dataset.machine = m[0];
      item.appendChild(button);
      list.appendChild(item);
      return button;
    });
    function look() {
      var typed = search.value.trim(), left = 0;
      buttons.forEach(function (button) {
        var hidden = typed !== "" && !fits(plain(button.textContent + " " + button.dataset.machine), typed);
        button.parentNode.hidden = hidden;
        left += hidden ? 0 : 1;
      });
      set(said, left ? machines(left) + " to pick from" : "No machine has that in its name");
    }
    function show() {
      buttons.forEach(function (button) {
        button.setAttribute("aria-pressed", String(mine.indexOf(button.dataset.machine) >= 0));
      });
      var names = mine.map(function (id) { return known[id][1]; });
      title.textContent = names.length ? (names.length > 1 ? "My machines: " : "My machine: ") + names.join(", ") : "My machine: pick it";
      cards.replaceChildren();
      mine.forEach(function (id) {
        if (!known[id][2]) { return; }
        var card = el("a", "", mine.length > 1 ? "Cab card: " + known[id][1] : "Its cab card");
        card.href = new URL("../sheets/cab-" + id.toLowerCase() + ".html", here).href;
        card.setAttribute("data-sheet", "");
        cards.appendChild(card);
      });
    }
    list.addEventListener("click", function (event) {
      var button = event.target.closest("button");
      if (button) { toggle(button.dataset.machine); }
    });
    search.addEventListener("input", look);
    search.addEventListener("keydown", function (event) {
      if (event.key !== "Enter") { return; }
      event.preventDefault();
      var left = buttons.filter(function (button) { return !button.parentNode.hidden; });
      if (left.length === 1) { toggle(left[0].dataset.machine); } // the only one left is the one meant
    });
    box.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && box.open) { box.open = false; title.focus(); }
    });
    bar.append(box, cards);
    look();
    return show;
  }

  function toggle(id) {
    mine = mine.indexOf(id) < 0 ? mine.concat(id) : mine.filter(function (m) { return m !== id; });
    keep();
    shown.forEach(function (show) { show(); });
  }

  /* --- a table, or a long list --- */

  /* what the reader is looking at: found by typing, else their own, else all or the first of many */
  function narrowed(region, items, about, before) {
    var what = region.dataset.over || "row", search = el("input"), said = status(), button = el("button", "sw-button");
    var box = el("div", "sw-narrow"), all = false;
    var asPrinted = items.slice();
    var texts = new Map(items.map(function (item) { return [item, plain(about(item))]; }));
    button.type = "button";
    if (items.length > WHOLE) { box.appendChild(found(search, "Find a " + (what === "any" ? "machine" : what), said.id)); }
    box.append(said, button);
    before.parentNode.insertBefore(box, before);

    function show() {
      var own = asPrinted.filter(function (item) { return mine.indexOf(item.dataset.row) >= 0; });
      var typed = search.value.trim(), left = 0;
      own.concat(asPrinted.filter(function (item) { return own.indexOf(item) < 0; })).forEach(function (item, i) {
        if (item.parentNode.children[i] !== item) { item.parentNode.insertBefore(item, item.parentNode.children[i]); }
        item.classList.toggle("sw-own", own.indexOf(item) >= 0);
        var shows = typed !== "" ? fits(texts.get(item), typed) :
          all || (own.length ? own.indexOf(item) >= 0 : items.length <= WHOLE || i < LONG);
        item.hidden = !shows;
        left += shows ? 1 : 0;
      });
      var few = own.length ? own.length : items.length > WHOLE ? LONG : items.length, whole = few === items.length;
      box.hidden = items.length <= WHOLE && !own.length;
      button.hidden = typed !== "" || whole;
      set(button, !all ? "Show all " + items.length : own.length ? "Show my machine only" : "Show the first " + LONG);
      button.setAttribute("aria-controls", region.id);
      set(said, typed !== "" && !left ? "None of the " + items.length + " has that in its name" :
        left + " of " + items.length + " shown" + (typed === "" && own.length && !all ? ": my machine" : ""));
    }
    region.id = region.id || "sw-region-" + (serial += 1);
    button.addEventListener("click", function () { all = !all; show(); });
    search.addEventListener("input", show);
    return show;
  }

  var shown = [];
  function start() {
    document.querySelectorAll(".sw-bar").forEach(function (bar) {
      if (given.machines.length) { shown.push(picker(bar)); }
    });
    document.querySelectorAll(".sw-scroll[data-over]").forEach(function (region) {
      var rows = Array.from(region.querySelectorAll("tr[data-row]"));
      shown.push(narrowed(region, rows, function (row) {
        return row.dataset.row + " " + row.querySelector("th").textContent;
      }, region));
    });
    document.querySelectorAll("ul.sw-find").forEach(function (list) {
      shown.push(narrowed(list, Array.from(list.children), function (item) { return item.textContent; }, list));
    });
    shown.forEach(function (show) { show(); });
    window.addEventListener("storage", function (event) {
      if (event.key !== key) { return; }
      mine = read();
      shown.forEach(function (show) { show(); });
    });
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
