/* The search forgives a slip: a typed word that the handbook does not have is taken for the nearest
 * one that it has, and a line says so, with a button to search for the words as typed.
 *
 * search/words.js, written by the build, sets window.seatworkWords: the words of the search's index,
 * the most common first. It is fetched from the handbook itself when somebody first searches.
 *
 * The search runs in a worker, and the theme sends it what is typed as {type: 2, data: words}. Here
 * those messages pass by on their way. Were they of another shape, the search would do without this.
 *
 * The search's index, the heaviest file of all, is held back until somebody turns to the search: the
 * theme would fetch it with every first page. Were it to ask another way, it would come at once.
 * Runs before the theme's script and after iframe-worker.js, which is the worker on file://.
 */
(function () {
  "use strict";
  var QUERY = 2; // the theme's number for a message that asks
  var here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : "";
  var words = /** @type {string[]} */ ([]), known = new Set(), fetching = false;
  var plains = /** @type {string[]} */ ([]); // the same words without accents, in the same order
  var forms = /** @type {Map<string, string>} */ (new Map()); // by the word without accents, the most common that is written so
  var send = /** @type {any} */ (null), typed = "", asTyped = "";

  function fetchWords() {
    if (fetching) { return; }
    fetching = true;
    var script = document.createElement("script");
    script.src = new URL("../search/words.js", here).href;
    script.onload = function () {
      words = String(window.seatworkWords || "").split(" ").filter(Boolean);
      known = new Set(words);
      plains = words.map(bare);
      plains.forEach(function (plain, i) { if (!forms.has(plain)) { forms.set(plain, words[i]); } });
      if (typed) { ask(typed); } // what was typed meanwhile
    };
    document.head.appendChild(script);
  }

  /* how many letters are wrong, missing, too many or swapped with their neighbour; more than `most` is most + 1 */
  function slips(a, b, most) {
    if (Math.abs(a.length - b.length) > most) { return most + 1; }
    var before = /** @type {number[]} */ ([]), last = /** @type {number[]} */ ([]), row = /** @type {number[]} */ ([]);
    for (var j = 0; j <= b.length; j += 1) { last.push(j); }
    for (var i = 1; i <= a.length; i += 1) {
      row = [i];
      for (j = 1; j <= b.length; j += 1) {
        var least = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) { least = Math.min(least, before[j - 2] + 1); }
        row.push(least);
      }
      if (Math.min.apply(null, row) > most) { return most + 1; }
      before = last;
      last = row;
    }
    return last[b.length];
  }

  /* without accents: nobody types them on a phone, and camion is no slip for camión */
  function bare(word) { return word.normalize("NFD").replace(/[\u0300-\u036f]/g, ""); }
  /* Spanish: of many the one, where the handbook has it; its endings are not those that the search takes off */
  function one(plain) {
    if (!/^es/.test(document.documentElement.lang) || plain.length < 5) { return plain; }
    if (/es$/.test(plain) && forms.has(plain.slice(0, -2))) { return plain.slice(0, -2); }
    return /s$/.test(plain) && forms.has(plain.slice(0, -1)) ? plain.slice(0, -1) : plain;
  }
  /* the beginning of a word as it is written, by one typed with or without accents; '' where none begins so */
  function begun(plain) {
    var at = plains.findIndex(function (w) { return w.indexOf(plain) === 0; });
    return at < 0 ? "" : words[at].slice(0, plain.length);
  }
  /* the word or two that a typed word is taken for; itself where it stands in the handbook or nothing is near */
  function nearest(word) {
    if (word.length < 3 || /[^\p{L}'’]/u.test(word)) { return word; }
    var plain = bare(word);
    var single = one(plain);
    if (single !== plain) { return forms.get(single); }
    if (forms.has(plain)) { return forms.get(plain); } // of two that differ in accents alone the one that most pages have
    if (words.some(function (w) { return w.indexOf(word) === 0; })) { return word; }
    if (word.length < 4 || begun(plain)) { return begun(plain) || word; }
    for (var at = 3; at <= word.length - 3; at += 1) { // two words run together
      if (known.has(word.slice(0, at)) && known.has(word.slice(at))) { return word.slice(0, at) + " " + word.slice(at); }
    }
    var most = word.length < 7 ? 1 : 2, best = word, fewest = most + 1;
    plains.forEach(function (w, i) { // the more common word wins, then the one that begins alike
      if (w.length < 4 || fewest === 0) { return; }
      var n = slips(plain, w, most) + (w[0] === plain[0] ? 0 : 0.5);
      if (n < fewest) { fewest = n; best = words[i]; }
    });
    return best;
  }
  function meant(text) {
    if (!words.length || /["*+~^:]/.test(text)) { return text; } // words in quotes, and signs the search reads itself
    var given = text.toLowerCase().split(/[\s-]+/).filter(Boolean), out = [];
    for (var i = 0; i < given.length; i += 1) {
      var next = given[i + 1], joined = given[i] + next;
      if (next !== undefined && known.has(joined) && !(known.has(given[i]) && known.has(next))) { // one word written as two
        out.push(joined);
        i += 1;
      } else { out.push(nearest(given[i])); }
    }
    var now = out.join(" ");
    return now === given.join(" ") ? text.toLowerCase() : now;
  }

  function tell(now) {
    var place = document.querySelector(".md-search-result");
    if (!place) { return; }
    var line = place.querySelector(".sw-meant");
    if (!line) {
      line = document.createElement("p");
      line.className = "sw-meant";
      line.setAttribute("role", "status");
      place.insertBefore(line, place.firstChild);
    }
    var same = now.split(" ").map(bare).join(" ") === typed.toLowerCase().split(" ").map(bare).map(one).join(" ") || bare(now) === bare(typed.toLowerCase()); // nobody need be told
    line.hidden = same;
    if (line.dataset.said === typed + "|" + now) { return; }
    line.dataset.said = typed + "|" + now;
    line.textContent = "";
    if (same) { return; }
    var words = window.seatworkSay, say = words.say, sayIn = words.sayIn; // it comes after this script
    var shown = document.createElement("b");
    shown.textContent = now;
    line.append.apply(line, sayIn("Showing results for {words}.", { words: shown }));
    line.append(" ");
    var button = line.appendChild(document.createElement("button"));
    button.type = "button";
    button.textContent = say("Search for {words}", { words: typed });
    button.addEventListener("click", function () {
      asTyped = typed;
      ask(typed);
      var box = document.querySelector(".md-search__input");
      if (box) { box.focus(); }
    });
  }
  function ask(text) {
    typed = text;
    if (text !== asTyped) { asTyped = ""; }
    var now = text === asTyped ? text : meant(text);
    if (send) { send({ type: QUERY, data: now }); }
    tell(now);
  }

  var waiting = /** @type {(() => void)[]} */ ([]), wanted = new URLSearchParams(window.location.search).has("q");
  function turnedTo(e) {
    if (wanted || !(e.target instanceof Element) || !e.target.matches(".md-search__input, #__search")) { return; }
    wanted = true;
    waiting.splice(0).forEach(function (go) { go(); });
  }
  document.addEventListener("focusin", turnedTo);
  document.addEventListener("change", turnedTo); // the theme opens the search with a box that is ticked
  var open = /** @type {any} */ (XMLHttpRequest.prototype.open);
  XMLHttpRequest.prototype.open = /** @type {any} */ (function () {
    var request = /** @type {any} */ (this);
    if (/\/search\/search_index\.json$/.test(String(arguments[1]))) {
      request.send = function () {
        var go = function () { XMLHttpRequest.prototype.send.call(request); };
        if (wanted) { go(); } else { waiting.push(go); }
      };
      var from = String(arguments[1]);
      request.addEventListener("load", function () { // told by the page's own script: of this edition it is no longer there
        if (request.status === 404) { window.dispatchEvent(new CustomEvent("sw-gone", { detail: from })); }
      });
    }
    return open.apply(request, arguments);
  });

  var Real = window.Worker;
  if (!Real) { return; }
  window.Worker = /** @type {any} */ (function (address, options) {
    var worker = /** @type {any} */ (new Real(address, options)), post = worker.postMessage;
    worker.postMessage = function (message) {
      if (!message || message.type !== QUERY || typeof message.data !== "string" || !message.data.trim()) { return post.apply(worker, arguments); }
      send = function (made) { post.call(worker, made); };
      fetchWords();
      ask(message.data);
    };
    return worker;
  });
})();
