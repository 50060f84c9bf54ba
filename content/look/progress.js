/* On the page for new operators: which quizzes were passed on this device, and what comes next.
 *
 * The quiz keeps its tries in the browser's store as "seatwork-quiz|SITE|EDITION|LESSON|CREW", each
 * part percent-encoded; who works in this tab is in its session store. Where several people use the
 * device and none of them is at work in this tab, nobody's marks are shown.
 *
 * MARKUP  .sw-whose[data-site data-edition]  says whose marks these are
 *         .sw-role > .sw-next               says how many are passed, and the next lesson
 *                    ol > li[data-lesson] > .sw-passed
 */
(function () {
  "use strict";

  function stored(store, key) {
    try { return window[store].getItem(key); } catch (e) { return null; }
  }
  function keys() {
    try { return Object.keys(window.localStorage); } catch (e) { return []; }
  }

  function start() {
    var whose = document.querySelector(".sw-whose");
    if (!whose) { return; }
    var site = whose.dataset.site, head = ["seatwork-quiz", site, whose.dataset.edition].map(encodeURIComponent).join("|") + "|";
    var tries = keys().filter(function (key) { return key.indexOf(head) === 0; }).map(function (key) {
      var parts = key.slice(head.length).split("|").map(decodeURIComponent);
      return { lesson: parts[0], crew: parts[1] || "", key: key };
    }).filter(function (one) { return one.crew !== ""; });
    var people = tries.map(function (one) { return one.crew; }).filter(function (crew, i, all) { return all.indexOf(crew) === i; });
    var crew = stored("sessionStorage", "seatwork-quiz-crew|" + site) || (people.length === 1 ? people[0] : "");
    if (!crew) {
      whose.textContent = people.length ? "Several people use this device. Open a quiz and pick your crew id to see your marks here." : "";
      return;
    }
    var passed = {};
    tries.forEach(function (one) {
      if (one.crew !== crew) { return; }
      try {
        passed[one.lesson] = JSON.parse(stored("localStorage", one.key)).finished.some(function (f) { return f.passed === true; });
      } catch (e) { /* nothing that could be read */ }
    });
    whose.textContent = "Marks of " + crew + " on this device. Your coordinator's list is what counts.";
    document.querySelectorAll(".sw-role").forEach(function (role) {
      var lessons = Array.from(role.querySelectorAll("li[data-lesson]")), done = 0;
      var next = /** @type {any} */ (null);
      lessons.forEach(function (item) {
        var ok = passed[item.dataset.lesson] === true;
        item.querySelector(".sw-passed").textContent = ok ? "✓ passed" : "";
        done += ok ? 1 : 0;
        if (!ok && !next) { next = item.querySelector("a"); }
      });
      var line = role.querySelector(".sw-next");
      line.textContent = done + " of " + lessons.length + " passed. ";
      if (!next) { line.append("Now show your mentor on the machine."); return; }
      var link = document.createElement("a");
      link.href = next.href;
      link.textContent = next.textContent;
      line.append("Next: ", link);
    });
  }

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", start);
  } else {
    start();
  }
})();
