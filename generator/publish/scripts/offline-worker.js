/* Keeps the whole handbook on the device and gives it out when the server cannot be reached.
 *
 * The build writes two lines above this text: VERSION, a hash over all that follows from it, and
 * FILES, each file's path below this script with its SHA-256. A new edition has other hashes, so
 * the browser finds a changed script and starts it beside the old one. The new one fetches what
 * has changed, checks every hash, and takes over only when it has all. If one file fails, what it
 * has fetched is thrown away and the old edition stays whole.
 *
 * With a signal the server's answer is the one shown, so nobody reads an old number from here.
 */
(function () {
  "use strict";
  var root = new URL("./", self.location.href).href;
  var mine = "seatwork " + root + " "; // other handbooks may live on the same server
  var current = mine + VERSION;
  var files = new Map(Object.entries(FILES));
  var PATIENCE = 4000; // milliseconds until a server that does not answer counts as out of reach
  var LANES = 4;
  var readingKept = new Set(); // pages given out from here: what belongs to them comes from here too

  function address(name) {
    return root + name.split("/").map(encodeURIComponent).join("/");
  }

  /* The file's name for an address below the root; a folder means its index page. */
  function named(url) {
    var path = url.slice(root.length).replace(/[?#].*$/, "");
    if (path === "" || path.endsWith("/")) { path += "index.html"; }
    try { return decodeURIComponent(path); } catch (e) { return path; }
  }

  async function fingerprint(bytes) {
    var digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return Array.from(digest, function (b) { return b.toString(16).padStart(2, "0"); }).join("");
  }

  function kept(name) {
    return caches.open(current).then(function (cache) { return cache.match(address(name)); });
  }

  /* --- a new edition --- */

  /* A file's name without its edition's folder: the same file may lie in another one. */
  function plain(name) { return name.replace(/^e-[0-9a-f]{12}\//, ""); }

  /* What older editions hold: for each plain name the caches and the addresses there. */
  async function heldBefore() {
    var all = new Map();
    for (var name of (await caches.keys()).filter(function (n) { return n.startsWith(mine); })) {
      var cache = await caches.open(name);
      for (var request of await cache.keys()) {
        var called = plain(named(request.url));
        all.set(called, (all.get(called) || []).concat([[cache, request]]));
      }
    }
    return all;
  }

  async function take(name, cache, older) {
    var url = address(name);
    for (var [other, request] of older.get(plain(name)) || []) {
      var held = await other.match(request);
      if (held && (await fingerprint(await held.clone().arrayBuffer())) === files.get(name)) {
        await cache.put(url, held);
        return;
      }
    }
    var answer = await fetch(url, { cache: "no-cache", credentials: "same-origin" });
    if (!answer.ok) { throw new Error(name + ": the server answered " + answer.status); }
    var bytes = await answer.arrayBuffer();
    if ((await fingerprint(bytes)) !== files.get(name)) { throw new Error(name + " is of another edition"); }
    /* made anew: a browser refuses a kept page that once came by a redirection */
    await cache.put(url, new Response(bytes, { status: 200, headers: answer.headers }));
  }

  async function takeAll() {
    await caches.delete(current); // of an attempt that was cut off
    var older = await heldBefore();
    var cache = await caches.open(current);
    var waiting = Array.from(files.keys());
    async function lane() {
      while (waiting.length) { await take(waiting.shift(), cache, older); }
    }
    try {
      await Promise.all(Array.from({ length: LANES }, lane));
    } catch (e) {
      waiting.length = 0;
      await caches.delete(current);
      throw e;
    }
  }

  async function dropOthers() {
    for (var name of await caches.keys()) {
      if (name.startsWith(mine) && name !== current) { await caches.delete(name); }
    }
  }

  self.addEventListener("install", function (event) {
    event.waitUntil(takeAll().then(function () { return self.skipWaiting(); }));
  });
  self.addEventListener("activate", function (event) {
    event.waitUntil(dropOthers().then(function () { return self.clients.claim(); }));
  });

  /* --- reading --- */

  async function answer(event, name) {
    if (readingKept.has(event.clientId)) {
      var held = await kept(name);
      if (held) { return held; }
    }
    var live = fetch(event.request).then(function (found) {
      if (found.status >= 500) { throw new Error("the server answered " + found.status); }
      return { found: found, old: false };
    });
    var late = new Promise(function (done) { setTimeout(done, PATIENCE); }).then(function () {
      return kept(name);
    }).then(function (found) { return found ? { found: found, old: true } : live; });
    late.catch(function () { /* told by the race or too late to matter */ });
    var first;
    try {
      first = await Promise.race([live, late]);
    } catch (e) {
      var copy = await kept(name);
      if (!copy) { throw e; }
      first = { found: copy, old: true };
    }
    if (first.old && event.request.mode === "navigate") { readingKept.add(event.resultingClientId); }
    return first.found;
  }

  self.addEventListener("fetch", function (event) {
    var request = event.request;
    if (request.method !== "GET" || !request.url.startsWith(root)) { return; }
    var name = named(request.url);
    if (files.has(name)) { event.respondWith(answer(event, name)); }
  });
})();
