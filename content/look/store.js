/*
 * Where the browser's store is blocked, even looking at it stops a script. The search and the
 * theme look at it, so here they get one that lasts as long as the page does. Runs before all
 * other scripts; window.seatworkForgets tells them that nothing is kept.
 */
(function () {
  'use strict';

  ['localStorage', 'sessionStorage'].forEach(function (name) {
    try {
      if (window[name]) return;
    } catch (e) { /* blocked */ }
    var held = new Map();
    var standIn = {
      getItem: function (key) { return held.has(String(key)) ? held.get(String(key)) : null; },
      setItem: function (key, text) { held.set(String(key), String(text)); },
      removeItem: function (key) { held.delete(String(key)); },
      clear: function () { held.clear(); },
      key: function (at) { return Array.from(held.keys())[at] || null; },
      get length() { return held.size; },
    };
    window.seatworkForgets = true;
    try {
      Object.defineProperty(window, name, { configurable: true, value: standIn });
    } catch (e) { /* then each script copes by itself */ }
  });
})();
