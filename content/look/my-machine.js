/* My machine: the reader picks what they run, once; tables then show those rows, and a lesson's
 * worked example, drawings and sheet become those of the machine.
 *
 * assets/machines.js, written by the build, sets window.seatworkMachines = {site, machines:
 * [[id, name, has a cab card, kind]], leads: {role: [ids]}}. A lesson's pieces for another machine
 * than its own stand in mine/MACHINE/LESSON.js, a script that is fetched when they are wanted; its
 * sheet in mine/MACHINE/LESSON-sheet.js. What is picked is kept on this device alone, as
 * "seatwork-my-machines|SITE", a list of ids. Nothing is sent. Without scripts every row shows.
 *
 * MARKUP  .sw-bar                          gets the list to pick from
 *         .sw-scroll[data-over] tr[data-row] a table: its rows, found by the row's heading
 *         ul.sw-find[data-over] li          a long list of links, found by its text
 *         .sw-bar[data-mine]                a lesson: {lesson, about, lead, rows}, which machines it can be shown for
 *         [data-piece]                      what changes with the machine, by its name
 *         body[data-sheet-of]               a sheet, for the machine that ?mine= names
 * "sw-pieces" is sent to the document after pieces were changed.
 * Classic script: it must run from file://.
 */
(function () {
  "use strict";

  var say = window.seatworkSay.say, sayMany = window.seatworkSay.sayMany;
  var LONG = 12; // rows a reader can look through without help
  var WHOLE = LONG + 4; // a list hardly longer than that is shown whole: a button to show one more helps nobody
  var given = window.seatworkMachines || { site: "", machines: [] };
  var key = "seatwork-my-machines|" + given.site;
  var here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : "";
  var pages = here.replace(/(?:e-[0-9a-f]{12}\/)?assets\/[^/]*$/, ""); // scripts and data may lie in their edition's folder
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
    box.append(title, found(search, say("Type part of its name"), said.id), said, list,
      el("p", "sw-note", say("Tap a machine to pick it, tap it again to drop it. Lessons and tables then show your machine. This is kept on this device only.")));
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
      set(said, left ? sayMany("{n} machine to pick from", "{n} machines to pick from", left) : say("No machine has that in its name"));
    }
    function show() {
      buttons.forEach(function (button) {
        button.setAttribute("aria-pressed", String(mine.indexOf(button.dataset.machine) >= 0));
      });
      var names = mine.map(function (id) { return known[id][1]; });
      title.textContent = names.length ? sayMany("My machine: {names}", "My machines: {names}", names.length, { names: names.join(", ") }) : say("My machine: pick it");
      cards.replaceChildren();
      mine.forEach(function (id) {
        if (!known[id][2]) { return; }
        var card = el("a", "", mine.length > 1 ? say("Cab card: {machine}", { machine: known[id][1] }) : say("Its cab card"));
        card.href = pages + "sheets/cab-" + id.toLowerCase() + ".html";
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

  function finds(what) {
    return { dozer: say("Find a dozer"), excavator: say("Find an excavator"), "compact excavator": say("Find a compact excavator"), truck: say("Find a truck"),
      material: say("Find a material"), row: say("Find a row") }[what] || say("Find a machine");
  }

  /* what the reader is looking at: found by typing, else their own, else all or the first of many */
  function narrowed(region, items, about, before) {
    var what = region.dataset.over || "row", search = el("input"), said = status(), button = el("button", "sw-button");
    var box = el("div", "sw-narrow"), all = false;
    var asPrinted = items.slice();
    var texts = new Map(items.map(function (item) { return [item, plain(about(item))]; }));
    button.type = "button";
    if (items.length > WHOLE) { box.appendChild(found(search, finds(what), said.id)); }
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
      set(button, !all ? say("Show all {n}", { n: items.length }) : own.length ? say("Show my machine only") : say("Show the first {n}", { n: LONG }));
      button.setAttribute("aria-controls", region.id);
      set(said, typed !== "" && !left ? say("None of the {n} has that in its name", { n: items.length }) :
        typed === "" && own.length && !all ? say("{n} of {all} shown: my machine", { n: left, all: items.length }) : say("{n} of {all} shown", { n: left, all: items.length }));
    }
    region.id = region.id || "sw-region-" + (serial += 1);
    button.addEventListener("click", function () { all = !all; show(); });
    search.addEventListener("input", show);
    return show;
  }

  /* --- a lesson, shown for a machine --- */

  var pieces = new Map(); // what was fetched: "MACHINE LESSON" -> its data, or null where it could not be had
  var asked = {}, asPrinted = new Map(), nowShown = new Map();
  var popups = /** @type {any} */ (null);

  window.seatworkMine = function (data) {
    pieces.set(data.machine + " " + data.lesson, data);
    shown.forEach(function (show) { show(); });
  };
  function fetched(id, lesson, file) {
    var key = id + " " + lesson;
    if (!asked[key]) {
      asked[key] = true;
      var script = document.createElement("script");
      script.src = new URL("../mine/" + encodeURIComponent(id.toLowerCase()) + "/" + file + ".js", here).href;
      script.onerror = function () { pieces.set(key, null); shown.forEach(function (show) { show(); }); };
      document.head.appendChild(script);
    }
    return pieces.get(key);
  }
  function put(data) {
    var changed = false;
    document.querySelectorAll("[data-piece]").forEach(function (place) {
      var html = data && Object.prototype.hasOwnProperty.call(data.pieces, place.dataset.piece) ? data.pieces[place.dataset.piece] : null;
      if (!asPrinted.has(place)) { asPrinted.set(place, Array.from(place.childNodes)); nowShown.set(place, null); }
      if (nowShown.get(place) === html) { return; }
      changed = true;
      nowShown.set(place, html);
      if (html === null) { place.replaceChildren.apply(place, asPrinted.get(place)); } else { place.innerHTML = html; }
    });
    if (!changed) { return; }
    if (!popups) {
      popups = el("div");
      popups.hidden = false;
      (document.querySelector("article") || document.body).appendChild(popups);
    }
    popups.innerHTML = data ? (data.popups || []).join("") : "";
    document.dispatchEvent(new CustomEvent("sw-pieces"));
  }
  function named(id) { return known[id] ? known[id][1] : id; }
  function kinds(about) {
    return { dozer: say("dozers"), excavator: say("excavators"), "compact excavator": say("compact excavators"), truck: say("trucks") }[about] || say("machines");
  }

  /* those of the role where nothing is picked: the site may name a machine for a role */
  function wanted() {
    if (mine.length) { return mine; }
    var role = null;
    try { role = window.localStorage.getItem("seatwork-role|" + given.site); } catch (e) { /* none is kept */ }
    return (given.leads && role && Object.prototype.hasOwnProperty.call(given.leads, role) && given.leads[role]) || [];
  }

  function worked(bar) {
    var about = JSON.parse(bar.dataset.mine), box = el("div", "sw-shows"), said = el("p"), back = el("button", "sw-button");
    var lead = false; // the reader asked for the lesson as printed
    var own = about.lead.map(named).reduce(function (a, b) { return a ? say("{some} and {last}", { some: a, last: b }) : b; }, "");
    said.setAttribute("role", "status");
    back.type = "button";
    back.addEventListener("click", function () { lead = !lead; show(); });
    box.append(said, back);
    bar.parentNode.insertBefore(box, bar.nextSibling);

    function tell(words, html) {
      if (said.dataset.said === words + html) { return; }
      said.dataset.said = words + html;
      said.textContent = words;
      if (html) { said.appendChild(el("span")).innerHTML = html; }
    }
    function show() {
      var picked = wanted(), ownMachine = mine.length > 0;
      var fit = picked.filter(function (id) { return about.rows.indexOf(id) >= 0 || about.lead.indexOf(id) >= 0; });
      var first = fit.filter(function (id) { return known[id] && known[id][3] !== "truck"; })[0] || fit[0];
      var data = first && about.lead.indexOf(first) < 0 ? fetched(first, about.lesson, about.lesson) : undefined;
      var shows = Boolean(data && data.pieces) && !lead;
      put(shows ? data : null);
      document.querySelectorAll('a[data-sheet][href$="/' + about.lesson + '.html"]').forEach(function (link) {
        if (shows) { link.dataset.mine = first; } else { delete link.dataset.mine; }
      });
      box.hidden = !picked.length || (Boolean(first) && data === undefined && about.lead.indexOf(first) < 0);
      back.hidden = !(data && data.pieces);
      set(back, lead ? say("Show {machine}", { machine: named(first) }) : say("Show {machine} again", { machine: own }));
      if (!picked.length) { return; }
      if (!first) {
        var kind = known[picked[0]] ? known[picked[0]][3] : "";
        tell(about.about !== "any" && kind !== about.about ?
          say("This lesson is about {kinds}. It is worked for {machine}.", { kinds: kinds(about.about), machine: own }) :
          say("This lesson has no figures for {picked}. It is worked for {machine}.", { picked: named(picked[0]), machine: own }), "");
      } else if (about.lead.indexOf(first) >= 0) {
        tell(ownMachine ? say("This lesson is worked for your machine, {machine}.", { machine: named(first) })
          : say("This lesson is worked for your role's machine, {machine}.", { machine: named(first) }), "");
      } else if (data === null) {
        tell(say("The figures of {picked} could not be loaded. This lesson is worked for {machine}.", { picked: named(first), machine: own }), "");
      } else if (data && data.why) {
        tell((ownMachine ? say("This lesson is still worked for {machine}, not for your machine.", { machine: own })
          : say("This lesson is still worked for {machine}, not for your role's machine.", { machine: own })) + " ", data.why + ".");
      } else if (lead) {
        tell(say("Shown as printed, worked for {machine}.", { machine: own }), "");
      } else if (data) {
        var others = about.lead.filter(function (id) { return known[id] && (known[id][3] === "truck") !== (known[first][3] === "truck"); });
        var beside = others.length && about.rows.some(function (id) { return known[id] && known[id][3] === "truck"; });
        var figures = { machine: named(first), others: others.map(named).join(", ") };
        tell((ownMachine ? beside ? say("Worked for your machine, {machine}, with {others}.", figures) : say("Worked for your machine, {machine}.", figures)
          : beside ? say("Worked for your role's machine, {machine}, with {others}.", figures) : say("Worked for your role's machine, {machine}.", figures))
          + (document.querySelector(".sw-worked-for") ? " " + say("Pictures with “Drawn for the …” under them stay as they are.") : "")
          + (document.querySelector("seatwork-panel") ? " " + say("“Change a number” starts with the figures of {machine}.", { machine: own }) : ""), "");
      }
    }
    return show;
  }

  /* a sheet that was opened from a lesson shown for a machine */
  function sheet(lesson) {
    var id = new URLSearchParams(window.location.search).get("mine") || "";
    var tools = document.querySelector(".tools"), said = el("p", "small");
    if (!Object.prototype.hasOwnProperty.call(known, id) || !tools) { return null; }
    said.setAttribute("role", "status");
    tools.appendChild(said);
    return function () {
      var data = fetched(id, lesson, lesson + "-sheet");
      if (data === undefined) { return; }
      if (data && data.pieces) {
        put(data);
        document.body.classList.toggle("tight", data.tight);
        set(said, say("Worked for {machine}. The mentor's answer key is worked for the machine of the printed lesson.", { machine: named(id) }));
      } else {
        said.textContent = say("Not worked for {machine}.", { machine: named(id) }) + " ";
        if (data) { said.appendChild(el("span")).innerHTML = data.why + "."; }
      }
    };
  }

  var shown = [];
  function start() {
    document.querySelectorAll(".sw-bar[data-mine]").forEach(function (bar) { shown.push(worked(bar)); });
    var printed = document.body.dataset.sheetOf ? sheet(document.body.dataset.sheetOf) : null;
    if (printed) { shown.push(printed); }
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
