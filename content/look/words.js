/* What the scripts say, in the language of the page.
 *
 * A sentence that people read is written in English, whole, with named blanks, and goes through here:
 *   say("You marked {n} of {all}", {n: 3, all: 5})       the sentence as text
 *   sayMany("{n} lesson", "{n} lessons", 3)              one or many, as the number asks
 *   sayIn("Next: {lesson}", {lesson: link})              texts and elements, in their order, to append
 *   sayHtml("You left out “{choice}”.", {choice: html})  the same for markup: the figures are markup already
 *   listed(["1", "2", "5"]), listed([…], true)           1, 2 and 5; 1, 2 or 5
 *   spoken()                                             the code of the language that the lesson is in, such as "es"
 * window.seatworkStrings, of a script that the build writes for a page in another language than English
 * (assets/strings.js), has the translations: {language, texts: {English: text}, plurals: {English of one: [of one, of
 * many]}}, and where a language has other forms than these two, forms: which one 0 to 199 take. Without it, and for what is not in it, the English stands. The build finds the calls of these names
 * (generator/language/scripts.py), so their sentences are written out in the call. Runs before all scripts that say
 * something. Classic script: it must run from file://.
 */
(function () {
  "use strict";

  var given = window.seatworkStrings || {}, texts = given.texts || {}, plurals = given.plurals || {}, forms = given.forms;
  function has(table, key) { return Object.prototype.hasOwnProperty.call(table, key); }
  function found(text) { return has(texts, text) ? texts[text] : text; }
  function filled(text, figures) {
    return text.replace(/\{(\w+)\}/g, function (blank, name) { return figures && has(figures, name) ? String(figures[name]) : blank; });
  }
  function escaped(text) { return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;"); }

  function say(text, figures) { return filled(found(text), figures); }
  function sayHtml(text, figures) { return filled(escaped(found(text)), figures); }
  function which(n, there) {
    var form = n === 1 ? 0 : 1;
    if (forms) { form = Number.isInteger(n) && n >= 0 ? forms[n < 200 ? n : 100 + n % 100] : there - 1; }
    return Math.min(form, there - 1);
  }
  function sayMany(one, many, n, figures) {
    var form = has(plurals, one) ? plurals[one][which(n, plurals[one].length)] : n === 1 ? one : many;
    return filled(form, Object.assign({ n: n }, figures));
  }
  function sayIn(text, figures) {
    return found(text).split(/(\{\w+\})/).filter(Boolean).map(function (part) {
      var name = part.slice(1, -1);
      return part[0] === "{" && has(figures, name) ? figures[name] : part;
    });
  }
  function listed(words, or) {
    if (words.length < 2) { return words.join(""); }
    var parts = { some: words.slice(0, -1).join(", "), last: words[words.length - 1] };
    return or ? say("{some} or {last}", parts) : say("{some} and {last}", parts);
  }

  // the language of what is said here; of a lesson without words in the page's language it is that of the lesson
  function spoken() { return (document.querySelector(".sw-spoken") || document.documentElement).lang; }

  window.seatworkSay = Object.freeze({ say: say, sayHtml: sayHtml, sayMany: sayMany, sayIn: sayIn, listed: listed, spoken: spoken });
})();
