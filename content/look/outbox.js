/*
 * What waits on this phone to be handed in, and the sending of it. Runs in the handbook's pages and in the service
 * worker that keeps the handbook (the build puts this text into it), as either may be there when the signal is back.
 *
 * A file is put to the site's own server: PUT to the path that settings.yml names under hand_in, with the very bytes
 * that the button to save it saves. It has arrived when the server answered 201 or 204, and by nothing else: the
 * sign-in page of a wifi answers 200 to all, or leads elsewhere. Until then it is kept. Sent twice it does no harm.
 *
 * STORE   IndexedDB "seatwork-hand-in|SITE" (a worker cannot read the store that the quizzes use)
 *   "files", by id: {id, name, text, whose, kind: "result" or "sign-off", put, answer, next, handed}
 *      put, next, handed are milliseconds since 1970. answer is the last answer's status, NO_ANSWER, ELSEWHERE, or
 *      undefined before the first try. Before next it is not sent unless somebody asks. handed is 0 while it waits;
 *      afterwards the text is empty, and the row says when it arrived.
 *   "turn"  whose turn it is to send, where the browser has no locks (they need https): {id, by, until}
 * Where that store is blocked, what waits lives as long as the page.
 *
 * Defines seatworkOutbox(SITE, PATH): {put, all, waiting, send, keeps, listen}.
 */
(function () {
  'use strict';

  const NO_ANSWER = 0, ELSEWHERE = -1;
  const PATIENCE = 30000;  // milliseconds until a server that does not answer counts as out of reach
  const KEPT = 400;  // rows of what arrived, the newest; what waits is never let go
  const MINUTE = 60000;

  const arrived = (answer) => answer === 201 || answer === 204;

  /** How long to leave the server alone after an answer, unless somebody asks. */
  function rest(answer, said) {
    if (answer === NO_ANSWER) return 0;
    // not all phones of a crew at the same moment
    if (answer === 429 || answer === 503) return Math.min(Math.max(Number(said) || 60, 5), 900) * 1000 + Math.random() * 20000;
    if (answer === 413) return 60 * MINUTE;
    return answer >= 400 && answer < 500 || answer === 501 ? 10 * MINUTE : MINUTE;
  }

  const whole = (asked) => new Promise((done, fail) => {
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

  function seatworkOutbox(site, path) {
    const name = 'seatwork-hand-in|' + site, me = String(Math.random());
    const unkept = new Map();  // what the browser would not keep
    const told = typeof BroadcastChannel === 'function' ? new BroadcastChannel(name) : null;
    let opening = null, heard = () => {}, before = Promise.resolve();

    function opened() {
      opening = opening || new Promise((done, fail) => {
        const asked = indexedDB.open(name, 1);
        asked.onupgradeneeded = () => {
          asked.result.createObjectStore('files', { keyPath: 'id' });
          asked.result.createObjectStore('turn', { keyPath: 'id' });
        };
        asked.onsuccess = () => {
          asked.result.onclose = asked.result.onversionchange = () => { asked.result.close(); opening = null; };
          done(asked.result);
        };
        asked.onerror = asked.onblocked = () => fail(asked.error);
      });
      opening.catch(() => { opening = null; });
      return opening;
    }

    /** One step on a store that no other tab can come between. `work` is given the store. */
    async function step(store, mode, work) {
      const db = await opened(), all = db.transaction(store, mode);
      const done = new Promise((ok, fail) => { all.oncomplete = ok; all.onabort = all.onerror = () => fail(all.error); });
      const [found] = await Promise.all([work(all.objectStore(store)), done]);
      return found;
    }

    const tell = () => { heard(); if (told) told.postMessage('changed'); };
    const byAge = (a, b) => a.put - b.put || (a.id < b.id ? -1 : 1);

    /** Everything there is a row of, the oldest first. */
    async function all() {
      let rows = [];
      try { rows = await step('files', 'readonly', (files) => whole(files.getAll())); } catch (e) { /* blocked */ }
      return rows.filter((row) => !unkept.has(row.id)).concat(Array.from(unkept.values())).sort(byAge);
    }
    const waiting = async () => (await all()).filter((row) => !row.handed);

    /** Writes a row; with `anew` only where there is none of its id. */
    async function write(row, anew) {
      try {
        await step('files', 'readwrite', async (files) => {
          if (!anew || !(await whole(files.get(row.id)))) await whole(files.put(row));
        });
        unkept.delete(row.id);
      } catch (e) { if (!anew || !unkept.has(row.id)) unkept.set(row.id, row); }
      tell();
    }

    /** Takes files to be handed in: [{id, name, text, whose, kind}]. What arrived before is not sent again. */
    async function put(given) {
      for (const one of given) await write(Object.assign({ put: Date.now(), next: 0, handed: 0 }, one), true);
    }

    /** Lets go of old rows of what arrived. */
    async function tidy() {
      const old = (await all()).filter((row) => row.handed).slice(0, -KEPT);
      if (old.length) await step('files', 'readwrite', async (files) => { for (const row of old) await whole(files.delete(row.id)); });
    }

    /** Whether it is this tab's turn to send, where there are no locks. A tab that was closed meanwhile loses it in time. */
    function turn(until) {
      return step('turn', 'readwrite', async (turns) => {
        const now = await whole(turns.get('sending'));
        if (now && now.by !== me && now.until > Date.now()) return false;
        await whole(turns.put({ id: 'sending', by: me, until }));
        return true;
      });
    }

    /** Runs `work` when no other tab, nor the worker, is sending. */
    function alone(work) {
      if (self.navigator.locks) return self.navigator.locks.request(name, work);
      const mine = before.then(() => inTurn(work));
      before = mine.catch(() => {});
      return mine;
    }

    async function inTurn(work) {
      try {
        while (!(await turn(Date.now() + PATIENCE + MINUTE / 4))) await pause(300);
      } catch (e) { return work(); }  // a store that is blocked is shared with nobody
      try { return await work(); } finally { await turn(0).catch(() => {}); }
    }

    async function ask(row) {
      const stop = new AbortController(), timer = setTimeout(() => stop.abort(), PATIENCE);
      try {
        const got = await fetch(new URL(path + encodeURIComponent(row.name), self.location.origin).href, {
          method: 'PUT', body: row.text, headers: { 'Content-Type': 'application/json' },
          credentials: 'same-origin', redirect: 'manual', cache: 'no-store', signal: stop.signal,
        });
        if (got.type === 'opaqueredirect') return { answer: ELSEWHERE };
        const lost = got.status >= 200 && got.status < 400 && !arrived(got.status);
        return { answer: lost ? ELSEWHERE : got.status, said: got.headers.get('Retry-After') };
      } catch (e) {
        return { answer: NO_ANSWER };
      } finally { clearTimeout(timer); }
    }

    /**
     * Sends what waits, one after another. `first` are ids that somebody asked for: they go first and do not wait for
     * their time; true is all of them. Resolves to how many still wait.
     */
    async function send(first) {
      const asked = (row) => first === true || (first || []).includes(row.id);
      if (!(await waiting()).length) return 0;
      await alone(async () => {
        const rows = await waiting();
        rows.sort((a, b) => Number(asked(b)) - Number(asked(a)) || byAge(a, b));
        for (const row of rows) {
          if (row.next > Date.now() && !asked(row)) continue;
          if (!self.navigator.locks) await turn(Date.now() + PATIENCE + MINUTE / 4).catch(() => {});
          const { answer, said } = await ask(row);
          const next = Date.now() + rest(answer, said);
          await write(Object.assign({}, row, arrived(answer) ? { answer, next: 0, handed: Date.now(), text: '' } : { answer, next }));
          if (answer === NO_ANSWER) break;
          if (answer !== 429 && answer !== 503) continue;
          for (const later of (await waiting()).filter((x) => x.next < next)) await write(Object.assign(later, { next }));
          break;
        }
        await tidy().catch(() => {});
      });
      return (await waiting()).length;
    }

    /** Whether what waits outlasts the page. */
    const keeps = (row) => !unkept.has(row.id);

    /** Calls `how` when something changed, here, in another tab or in the worker. */
    function listen(how) {
      heard = how;
      if (told) told.onmessage = () => how();
    }

    return { put, all, waiting, send, keeps, listen };
  }

  self.seatworkOutbox = Object.assign(seatworkOutbox, { NO_ANSWER, ELSEWHERE });
})();
