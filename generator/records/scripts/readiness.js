/* Looking for people on the page of who is ready: by role, by state, by id, name or machine.
 *
 * MARKUP  #look (a form, hidden without this script)  select[name=role|state], input[name=find]
 *         #shown[data-all]                            says how many people are shown
 *         tbody[data-who data-role data-state data-find]   a person, state being several words
 *         [data-who]                                  more rows of the same person, in other tables
 *         section[data-role]                          people of a role, hidden with the last of them
 *         a[data-look]                                a link that looks for something
 * What is looked for stands in the address behind #, so that a link to it can be sent.
 */
(function () {
  "use strict";

  var say = window.seatworkSay.say;
  var form = /** @type {HTMLFormElement} */ (document.getElementById("look"));
  var shown = document.getElementById("shown");
  var NAMES = ["role", "state", "find"];

  function field(name) { return /** @type {HTMLInputElement} */ (form.elements.namedItem(name)); }
  function all(selector) { return Array.from(/** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(selector))); }

  /* words as they are compared: small letters without accents */
  function plain(text) { return text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase(); }

  /* an id however it is written: P-04, p4 and P 04 are one */
  function sameId(text) {
    return (text.match(/\d+|\p{L}+/gu) || []).map(function (part) { return part.replace(/^0+(?=\d)/, ""); }).join("|");
  }

  var people = all("tbody[data-who]").map(function (body) {
    var find = plain(body.dataset.find);
    return {
      who: body.dataset.who, role: body.dataset.role, states: body.dataset.state.split(" "), find: find,
      ids: find.split(" ").filter(function (word) { return /\d/.test(word); }).map(sameId),
    };
  });

  /* the people one word fits: those whose own id or machine it is, else those whose row holds it */
  function fitting(word) {
    var id = sameId(word);
    var found = /\d/.test(word) ? people.filter(function (p) { return p.ids.indexOf(id) >= 0; }) : [];
    return found.length ? found : people.filter(function (p) { return p.find.indexOf(word) >= 0; });
  }

  function apply() {
    var role = field("role").value, state = field("state").value;
    var found = people.filter(function (p) { return (!role || p.role === role) && (!state || p.states.indexOf(state) >= 0); });
    plain(field("find").value).split(/\s+/).filter(Boolean).forEach(function (word) {
      var fits = fitting(word);
      found = found.filter(function (p) { return fits.indexOf(p) >= 0; });
    });
    var here = new Set(found.map(function (p) { return p.who; }));
    all("[data-who]").forEach(function (row) { row.hidden = !here.has(row.dataset.who); });
    all("section[data-role]").forEach(function (part) { part.hidden = !part.querySelector("[data-who]:not([hidden])"); });
    var part = found.length < people.length;
    shown.textContent = part ? say("Shown: {n} of {all}.", { n: found.length, all: shown.dataset.all }) + asked() : say("All {all} are shown.", { all: shown.dataset.all });
    shown.classList.toggle("part", part);
  }

  /* what is looked for, in words, for the paper that is printed of it */
  function asked() {
    var words = NAMES.filter(function (name) { return field(name).value; }).map(function (name) {
      var pick = /** @type {HTMLSelectElement} */ (/** @type {unknown} */ (field(name)));
      return name === "find" ? "\u201c" + field(name).value + "\u201d" : pick.options[pick.selectedIndex].text.replace(/ \(\d+\)$/, "");
    });
    return words.length ? " " + say("Looked for: {words}.", { words: words.join(", ") }) : "";
  }

  /* the fields as the address says; whether it says anything */
  function take() {
    var given = new URLSearchParams(window.location.hash.slice(1));
    if (!NAMES.some(function (name) { return given.has(name); })) { return false; }
    NAMES.forEach(function (name) {
      field(name).value = given.get(name) || "";
      if (field(name).value !== (given.get(name) || "")) { field(name).value = ""; }
    });
    return true;
  }

  function keep() {
    var said = new URLSearchParams();
    NAMES.forEach(function (name) { if (field(name).value.trim()) { said.set(name, field(name).value.trim()); } });
    try { window.history.replaceState(null, "", "#" + (said.toString() || "people")); } catch (e) { /* the list is as asked all the same */ }
  }

  form.hidden = false;
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", function () { keep(); apply(); });
  form.addEventListener("reset", function () { window.setTimeout(function () { keep(); apply(); }, 0); });
  all("a[data-look]").forEach(function (link) { link.setAttribute("href", "#" + link.dataset.look); });
  function arrive() {
    if (take()) { apply(); document.getElementById("people").scrollIntoView(); }
  }
  window.addEventListener("hashchange", arrive);
  apply();
  arrive();
})();
