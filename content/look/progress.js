/* What comes next: the reader's role, the quizzes passed on this device, and the next lesson.
 *
 * assets/roles.js, written by the build, sets window.seatworkRoles = {site, edition, roles: [[id,
 * title, [lesson ids in order]]], order: [all lesson ids], lessons: {id: [title, minutes, has a
 * picture]}}, and hand_in, a path on the server, where results are taken in. The role is picked on the page for new operators and kept as "seatwork-role|SITE".
 * The quiz keeps its tries in the browser's store as "seatwork-quiz|SITE|EDITION|LESSON|CREW", each
 * part percent-encoded; who works in this tab is in its session store. Where several people use the
 * device and none of them is at work in this tab, nobody's marks are shown.
 *
 * MARKUP  .sw-whose[data-site data-edition]  says whose marks these are; .sw-kept is put after it: one
 *                                           button that saves all of the person's results in one file, where
 *                                           the site's server takes results in one that sends them (hand-in.js),
 *                                           and the short code of each lesson passed, to copy by hand
 *         a.sw-card[data-role]              picks a role
 *         .sw-role[data-role] > .sw-next    says how many are passed, and the next lesson
 *                    ol > li[data-lesson] > .sw-passed
 *         .sw-front                         the first page: the next step, once there is a role
 *         .md-footer__link--next, --prev    at the foot of a lesson: on in the role's order
 * window.seatworkNext(lesson) is an element that leads on, for a quiz that was passed.
 */
(function () {
  "use strict";

  var say = window.seatworkSay.say, sayIn = window.seatworkSay.sayIn;
  var given = window.seatworkRoles || { site: "", edition: "", roles: [], order: [], lessons: {} };
  var here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : "";
  var ROLE = "seatwork-role|" + given.site;

  function stored(store, key) {
    try { return window[store].getItem(key); } catch (e) { return null; }
  }
  function keys() {
    try { return Object.keys(window.localStorage); } catch (e) { return []; }
  }
  function el(tag, cls, text) {
    var made = document.createElement(tag);
    if (cls) { made.className = cls; }
    if (text) { made.textContent = text; }
    return made;
  }
  function page(name) { return here.replace(/(?:e-[0-9a-f]{12}\/)?assets\/[^/]*$/, "") + name; } // it may lie in its edition's folder
  function link(id) {
    var made = el("a", "", given.lessons[id][0]);
    made.href = page("lessons/" + id + ".html");
    return made;
  }

  /* the role that was picked: {id, title, lessons}, or null */
  function role() {
    var id = stored("localStorage", ROLE);
    var found = given.roles.filter(function (r) { return r[0] === id; })[0];
    return found ? { id: found[0], title: found[1], lessons: found[2] } : null;
  }

  /* whose marks there are on this device, and what they passed */
  function marks() {
    var head = ["seatwork-quiz", given.site, given.edition].map(encodeURIComponent).join("|") + "|";
    var tries = keys().filter(function (key) { return key.indexOf(head) === 0; }).map(function (key) {
      var parts = key.slice(head.length).split("|").map(decodeURIComponent);
      return { lesson: parts[0], crew: parts[1] || "", key: key };
    }).filter(function (one) { return one.crew !== ""; });
    var once = function (crew, i, all) { return crew !== "" && all.indexOf(crew) === i; };
    var people = tries.map(function (one) { return one.crew; }).filter(once);
    if (!people.length) { // a result of an older edition may still have to be handed in
      var site = ["seatwork-quiz", given.site].map(encodeURIComponent).join("|") + "|";
      people = keys().filter(function (key) { return key.indexOf(site) === 0; })
        .map(function (key) { return decodeURIComponent(key.split("|")[4] || ""); }).filter(once);
    }
    var crew = stored("sessionStorage", "seatwork-quiz-crew|" + given.site) || (people.length === 1 ? people[0] : "");
    var passed = {};
    tries.forEach(function (one) {
      if (one.crew !== crew) { return; }
      try {
        passed[one.lesson] = JSON.parse(stored("localStorage", one.key)).finished.some(function (f) { return f.passed === true; });
      } catch (e) { /* nothing that could be read */ }
    });
    return { crew: crew, several: !crew && people.length > 0, passed: passed };
  }

  /* every result of one person that is kept here, of whatever edition, the oldest first: [{finished, short, file, …}] */
  function results(crew) {
    var head = ["seatwork-quiz", given.site].map(encodeURIComponent).join("|") + "|", tail = "|" + encodeURIComponent(crew);
    var all = [];
    keys().forEach(function (key) {
      if (key.indexOf(head) !== 0 || !key.endsWith(tail)) { return; }
      try {
        all.push.apply(all, JSON.parse(stored("localStorage", key)).finished.filter(function (f) { return f.file && f.file.crew === crew; }));
      } catch (e) { /* nothing that could be read */ }
    });
    return all.sort(function (a, b) { return a.finished < b.finished ? -1 : a.finished > b.finished ? 1 : 0; });
  }

  /* the first lesson not passed: after this one in the list, else from its start */
  function open(lessons, passed, after) {
    var at = lessons.indexOf(after) + 1;
    return lessons.slice(at).concat(lessons.slice(0, at)).filter(function (id) { return id !== after && passed[id] !== true; })[0] || null;
  }

  window.seatworkNext = function (lesson) {
    var line = el("p", "sw-go-on"), mine = role(), order = mine && mine.lessons.indexOf(lesson) >= 0 ? mine.lessons : mine ? mine.lessons : given.order;
    var passed = marks().passed;
    passed[lesson] = true;
    var next = open(order, passed, lesson);
    if (next) {
      line.append(el("b", "", say("Next:") + " "), link(next));
    } else {
      line.append(mine ? say("You have passed every lesson of your role. Now show your mentor on the machine.") : say("You have passed every lesson."));
    }
    return line;
  };

  /* --- the page for new operators --- */

  function operator() {
    var whose = document.querySelector(".sw-whose"), found = marks();
    if (!whose) { return; }
    var cards = Array.from(document.querySelectorAll("a.sw-card[data-role]"));
    function show() {
      var mine = role();
      cards.forEach(function (card) {
        if (mine && mine.id === card.dataset.role) { card.setAttribute("aria-current", "true"); card.querySelector("b").dataset.word = say("your role"); } else { card.removeAttribute("aria-current"); }
      });
      if (found.crew || found.several) { return; }
      document.querySelectorAll(".sw-role").forEach(function (box) { // nothing is passed yet: where to begin
        var line = box.querySelector(".sw-next"), first = box.querySelector("li[data-lesson] a"), begin = el("a", "", first.textContent);
        line.replaceChildren();
        if (!mine || mine.id !== box.dataset.role) { return; }
        begin.href = first.href;
        line.append.apply(line, sayIn("Start with: {lesson}", { lesson: begin }));
      });
    }
    cards.forEach(function (card) {
      card.addEventListener("click", function () {
        try { window.localStorage.setItem(ROLE, card.dataset.role); } catch (e) { /* private mode: this page only */ }
        show();
      });
    });
    show();
    if (!found.crew) {
      whose.textContent = found.several ? say("Several people use this device. Open a quiz and pick your crew id to see your marks here.") : "";
      return;
    }
    whose.textContent = say("Marks of {who} on this device. Your coordinator's list is what counts.", { who: found.crew });
    var mine = kept(found.crew);
    if (mine) { whose.after(mine); }
    document.querySelectorAll(".sw-role").forEach(function (box) {
      var lessons = Array.from(box.querySelectorAll("li[data-lesson]")), done = 0;
      var next = /** @type {any} */ (null);
      lessons.forEach(function (item) {
        var ok = found.passed[item.dataset.lesson] === true;
        item.querySelector(".sw-passed").textContent = ok ? "✓ " + say("passed") : "";
        done += ok ? 1 : 0;
        if (!ok && !next) { next = item.querySelector("a"); }
      });
      var line = box.querySelector(".sw-next");
      line.textContent = say("{n} of {all} passed.", { n: done, all: lessons.length }) + " ";
      if (!next) { line.append(say("Now show your mentor on the machine.")); return; }
      var on = el("a", "", next.textContent);
      on.href = next.href;
      line.append.apply(line, sayIn("Next: {lesson}", { lesson: on }));
    });
  }

  /* all results in one file, and the codes to copy by hand */
  function kept(crew) {
    var all = results(crew), box = el("div", "sw-kept"), button = el("button", "sw-button sw-save-all", say("Save all my results"));
    if (!all.length) { return null; }
    button.type = "button";
    button.addEventListener("click", function () {
      var link = el("a");
      // with the time of the last try, as results of a person may come from two phones and are put into one folder
      var last = all[all.length - 1].file.finished.replace(/[^\dTZ]/g, "");
      link.download = crew.replace(/[^\w.-]+/g, "-") + "_all_" + last + ".json";
      link.href = URL.createObjectURL(new Blob([JSON.stringify(all.map(function (f) { return f.file; }), null, 1) + "\n"], { type: "application/json" }));
      document.body.appendChild(link);
      link.click();
      link.remove();
      setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
    });
    var hand = window.seatworkHandIn;
    if (hand) { // the site's server takes results in
      box.append(hand.boxOfAll(all.map(function (f) { return hand.result(f.file); }), crew));
    }
    box.append(button, el("p", "", say("One file with every result of {who} on this device: {n}. Send it to your coordinator.", { who: crew, n: all.length })));
    var passed = {};
    all.forEach(function (f) { if (f.passed === true && f.file.edition === given.edition) { passed[f.file.lesson] = f; } });
    var lessons = given.order.filter(function (id) { return passed[id]; });
    if (lessons.length) {
      var fold = el("details", "sw-fold"), list = el("ul", "sw-codes");
      fold.append(el("summary", "", say("No way to send a file? Codes to copy by hand")),
        el("p", "", say("One code for each lesson you passed, for {who}. It says who, which lesson, when, how many right. It is no proof. Your coordinator keeps it as told until the file comes.", { who: crew })), list);
      lessons.forEach(function (id) {
        var f = passed[id], item = el("li");
        item.append(el("b", "", given.lessons[id][0]), ", " + say("{right} of {of}", { right: f.right, of: f.of }) + ", " + f.finished.slice(0, 16).replace("T", " ") + " UTC",
          f.short ? el("code", "", f.short) : el("span", "", " " + say("Open its quiz to see the code.")));
        list.appendChild(item);
      });
      box.appendChild(fold);
    }
    return box;
  }

  /* --- the first page, once there is a role --- */

  function front() {
    var place = document.querySelector(".sw-front"), mine = role();
    if (!place || !mine) { return; }
    var found = marks(), next = open(mine.lessons, found.passed, null);
    var done = mine.lessons.filter(function (id) { return found.passed[id] === true; }).length;
    var far = found.several ? say("Several people use this device. Open a quiz and pick your crew id to see your marks.")
      : found.crew ? say("{n} of {all} passed by {who} on this device.", { n: done, all: mine.lessons.length, who: found.crew })
        : say("{n} of {all} passed on this device.", { n: done, all: mine.lessons.length });
    var rest = el("details", "sw-fold"), list = el("ol");
    rest.append(el("summary", "", say("All lessons of your role")), list);
    mine.lessons.forEach(function (id) {
      var item = el("li");
      item.append(link(id), ", " + say("{n} minutes", { n: given.lessons[id][1] }) + " ", el("b", "", found.passed[id] === true ? "✓ " + say("passed") : ""));
      list.appendChild(item);
    });
    var other = el("p"), change = el("a", "", say("Pick another role"));
    change.href = page("operator.html");
    other.append(say("Your role: {role}.", { role: mine.title }) + " ", change);
    if (next) {
      var go = el("a", "sw-card sw-go");
      go.href = page("lessons/" + next + ".html");
      go.append(el("b", "", say("Next: {lesson}", { lesson: given.lessons[next][0] })), el("span", "", say("{n} minutes to read", { n: given.lessons[next][1] })));
      place.appendChild(go);
      picture(next, go);
    } else {
      place.append(el("p", "sw-next", say("You have passed every lesson of your role. Now show your mentor on the machine.")));
    }
    place.append(el("p", "sw-far", far), other, rest);
    place.hidden = false;
    document.body.classList.add("sw-has-role"); // the choices of a first visit make room
  }
  function picture(id, go) {
    if (!given.lessons[id][2]) { return; }
    window.seatworkPicture = function (data) {
      if (data.lesson !== id) { return; }
      var figure = el("figure", "sw-drawing");
      figure.innerHTML = data.html;
      go.parentNode.insertBefore(figure, go.nextSibling);
    };
    var script = document.createElement("script");
    script.src = new URL("../pictures/" + id + ".js", here).href;
    document.head.appendChild(script);
  }

  /* --- the foot of a lesson --- */

  function foot() {
    var at = /\/lessons\/([^/]+)\.html$/.exec(window.location.pathname), mine = role();
    if (!at || !mine || mine.lessons.indexOf(at[1]) < 0) { return; }
    var i = mine.lessons.indexOf(at[1]);
    lead(document.querySelector(".md-footer__link--prev"), mine.lessons[i - 1], false);
    lead(document.querySelector(".md-footer__link--next"), mine.lessons[i + 1], true);
  }
  function lead(foot, id, on) {
    if (!foot) { return; }
    var title = id ? given.lessons[id][0] : say("The lessons of your role");
    foot.href = page(id ? "lessons/" + id + ".html" : "operator.html");
    foot.setAttribute("aria-label", on ? say("Next: {lesson}", { lesson: title }) : say("Previous: {lesson}", { lesson: title }));
    var shown = foot.querySelector(".md-ellipsis");
    if (shown) { shown.textContent = title; }
  }

  function start() {
    operator();
    front();
    foot();
  }
  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
