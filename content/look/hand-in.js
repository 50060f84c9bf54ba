/*
 * Hands results and sign-offs in to the site's own server, says whether they arrived, and shows what still waits.
 * Stands in the pages only where settings.yml has hand_in; assets/roles.js, written by the build, then has the path as
 * hand_in beside the site. From disk there is no server: nothing is defined, and the file and the slip stay the ways.
 *
 * outbox.js keeps and sends. What waits is sent when a page opens, when the browser says that there is a signal again,
 * from time to time while a page is open, and by the service worker where the browser has background sync.
 *
 * MARKUP  .sw-waits  whose results wait, and a button to try now: before the quiz, before the sign-off, on the first
 *                    page and on the page for new operators. Hidden where nothing waits that is not told beside it.
 *         .hi-box[data-state="" | "sending" | "arrived" | "waits" | "refused"]  one file's button, and what came of it
 *
 * Defines seatworkHandIn {result(file), signed(file)}: a row of outbox.js for what the quiz or a mentor made;
 * box(row, cls), boxOfAll(rows, whose): elements; share(row, cls): a button, or '' where the browser shares no files.
 */
(function () {
  'use strict';

  const given = window.seatworkRoles, tools = window.seatworkResults;
  if (!given || !given.hand_in || !tools || !window.seatworkSay || !self.seatworkOutbox || !/^https?:$/.test(window.location.protocol)) return;
  const { say, sayMany, listed } = window.seatworkSay;
  const { ELSEWHERE } = self.seatworkOutbox;
  const NOT_SET_UP = [401, 403, 404, 405, 501], BUSY = [429, 503];
  const TAG = 'seatwork-hand-in';
  const outbox = self.seatworkOutbox(given.site, given.hand_in);
  const views = new Set();  // what is shown of the rows: {element, draw(rows)}
  let sending = new Set(), rows = [], timer = 0, wakes = false;

  /** An element; text goes in as text, never as markup. */
  function el(tag, attributes, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name === 'on') made.addEventListener('click', value);
      else made.setAttribute(name, value);
    }
    made.append(...inside);
    return made;
  }
  const two = (n) => String(n).padStart(2, '0');
  // no more than the server's word: nobody has read it yet
  const there = (n) => (n > 1 ? say('The server has them for your coordinator.') : say('The server has it for your coordinator.'));

  /** "at 14:05" in the page's language, with the day where it is not today. */
  function clock(ms) {
    const at = new Date(ms), day = [at.getFullYear(), two(at.getMonth() + 1), two(at.getDate())].join('-');
    const time = two(at.getHours()) + ':' + two(at.getMinutes());
    return at.toDateString() === new Date().toDateString() ? say('at {time}', { time }) : say('on {day} at {time}', { day, time });
  }

  const result = (file) => ({ id: 'result ' + tools.resultName(file) + ' ' + file.check, name: tools.resultName(file), text: tools.fileText(file), whose: file.crew, kind: 'result' });
  const signed = (file) => ({ id: 'sign-off ' + tools.signedName(file) + ' ' + file.mac, name: tools.signedName(file), text: tools.fileText(file), whose: file.mentor, kind: 'sign-off' });

  // ---- in words ----

  const state = (row) => (!row ? '' : row.handed ? 'arrived' : sending.has(row.id) ? 'sending'
    : row.answer === 413 || NOT_SET_UP.includes(row.answer) ? 'refused' : 'waits');

  /** What became of a row, and what to do about it: in short, then the rest. */
  function words(row) {
    const { answer } = row;
    const result = row.kind === 'result';
    if (row.handed) return [say('Handed in {when}.', { when: clock(row.handed) }), there(1)];
    if (sending.has(row.id)) return [say('Handing it in.'), say('Wait.')];
    const kept = outbox.keeps(row);
    const lost = result ? say('This browser cannot keep it. Save the result and send it, or show the slip, or press Try now before you close the page.')
      : say('This browser cannot keep it. Save the file and send it, or press Try now before you close the page.');
    const later = kept ? say('It is kept on this phone and is tried again later.') : lost;
    const ask = result ? say('Save the result and send it, or show the slip. Tell your coordinator.') : say('Save the file and send it. Tell your coordinator.');
    if (answer === 413) return [say('Not handed in: the server says the file is too large.'), ask];
    if (NOT_SET_UP.includes(answer)) return [say('Not handed in: the server is not set up to take it.'), ask + ' ' + later];
    if (answer === ELSEWHERE) return [say('Not handed in yet: something else answered, such as the sign-in page of a wifi.'), say('Sign in there, then press Try now.') + ' ' + later];
    if (BUSY.includes(answer)) return [say('Not handed in yet: the server is busy.'), later];
    if (answer >= 500) return [say('Not handed in yet: the server could not take it ({answer}).', { answer }), say('It may be full. Tell your coordinator.') + ' ' + later];
    if (answer > 0) return [say('Not handed in yet: the server could not take it ({answer}).', { answer }), say('Tell your coordinator.') + ' ' + later];
    if (answer === undefined) return [say('Not handed in yet.'), later];
    if (navigator.onLine) {
      return [say('Not handed in yet: the server does not answer.'), !kept ? lost
        : wakes ? say('It is kept on this phone and goes out when the server answers again.')
          : say('It is kept on this phone and goes out when the server answers again and this handbook is open.')];
    }
    return [say('Not handed in yet: no signal.'), !kept ? lost
      : wakes ? say('It is kept on this phone and goes out when the signal is back.')
        : say('It is kept on this phone and goes out when the signal is back and this handbook is open.')];
  }

  /** "2 results of C17 and 1 sign-off of M-2". */
  function whose(some) {
    const groups = new Map();
    for (const row of some) {
      const key = row.kind + ' ' + row.whose, group = groups.get(key) || { of: row, n: 0 };
      group.n += 1;
      groups.set(key, group);
    }
    return listed(Array.from(groups.values(), ({ of, n }) => (of.kind === 'result'
      ? sayMany('{n} result of {who}', '{n} results of {who}', n, { who: of.whose }) : sayMany('{n} sign-off of {who}', '{n} sign-offs of {who}', n, { who: of.whose }))));
  }

  // ---- sending ----

  /** Asks the browser to wake the worker when there is a signal. */
  async function ask() {
    try {
      const found = await navigator.serviceWorker.getRegistration();
      if (!found || !found.active || !('sync' in found)) return;
      await /** @type {any} */ (found).sync.register(TAG);
      wakes = true;
    } catch (e) { /* no worker here, or not allowed: it is sent when a page is open */ }
  }

  async function refresh() {
    rows = await outbox.all();
    for (const view of views) {
      if (view.element.isConnected) view.draw();
      else if (view.was) views.delete(view);
      view.was = view.element.isConnected;
    }
  }

  /** Puts files into the outbox and sends what waits; `pressed` are the ids that somebody asked for. */
  async function send(files, pressed) {
    sending = new Set([...sending, ...pressed]);
    try {
      await outbox.put(files);
      if (pressed.length) await refresh();
      if (rows.some((row) => !row.handed)) await ask();
      await outbox.send(pressed);
    } finally {
      for (const id of pressed) sending.delete(id);
      await refresh();
      again();
    }
  }

  /** While a page is open, what waits is tried from time to time: a phone often thinks that it has a signal. */
  function again() {
    window.clearTimeout(timer);
    const open = rows.filter((row) => !row.handed);
    if (!open.length) return;
    const soonest = Math.min(...open.map((row) => row.next)) - Date.now();
    timer = window.setTimeout(() => send([], []), Math.min(Math.max(soonest, 60000), 3600000));
  }

  async function wake() {
    await refresh();
    if (rows.some((row) => !row.handed)) await send([], []);
  }

  // ---- what is shown ----

  const rowOf = (id) => rows.find((row) => row.id === id);
  const button = (cls, text, on) => el('button', { type: 'button', class: cls + '-button hi-button', on }, text);
  /** A button that may not be pressed now keeps the reader's place. */
  const press = (made, off) => { made.setAttribute('aria-disabled', String(off)); };
  /** Says something, once: a live region that is written anew is read out anew. */
  function put(place, text, more) {
    if (place.textContent === text + (more ? ' ' + more : '')) return;
    place.replaceChildren(...(more ? [el('b', {}, text), ' ' + more] : [text]));
  }

  function show(element, draw) {
    views.add({ element, draw, was: false });
    refresh();
    return element;
  }

  /** The button that hands one file in, and what came of it. */
  function box(file, cls) {
    const said = el('p', { class: 'hi-said', role: 'status' });
    const made = button(cls, say('Hand in'), () => {
      if (made.getAttribute('aria-disabled') === 'true') return;
      send([file], [file.id]);
    });
    made.classList.add(cls + '-main');
    const whole = el('div', { class: 'hi-box', 'data-state': '', 'data-id': file.id }, made, said);
    return show(whole, () => {
      const row = rowOf(file.id), now = state(row);
      whole.dataset.state = now;
      put(made, { '': say('Hand in'), sending: say('Handing in…'), arrived: say('Handed in') }[now] || say('Try now'));
      press(made, now === 'sending' || now === 'arrived');
      put(said, ...(row ? words(row) : ['']));
    });
  }

  /** The button that hands in all of one person's results. */
  function boxOfAll(files, person) {
    const said = el('p', { class: 'hi-said', role: 'status' });
    const open = () => files.filter((file) => !(rowOf(file.id) || {}).handed);
    let tried = false;  // what waits from before is told in the notice above
    const made = button('sw', say('Hand in all my results'), () => {
      if (made.getAttribute('aria-disabled') === 'true') return;
      tried = true;
      send(files, open().map((file) => file.id));
    });
    made.classList.add('sw-main');
    const whole = el('div', { class: 'hi-box', 'data-state': '' }, made, said);
    return show(whole, () => {
      const left = open(), busy = left.some((file) => sending.has(file.id));
      const held = left.map((file) => rowOf(file.id)).filter((row) => tried && row && row.answer !== undefined);
      whole.dataset.state = busy ? 'sending' : !left.length ? 'arrived' : held.length ? state(held[0]) : '';
      press(made, busy || !left.length);
      const done = files.length - left.length, n = files.length;
      put(said, ...(busy ? [say('Handing them in.'), sayMany('{done} of {n} result of {who} so far. Wait.', '{done} of {n} results of {who} so far. Wait.', n, { done, who: person })]
        : !left.length ? [sayMany('All handed in: {n} result of {who}.', 'All handed in: {n} results of {who}.', n, { who: person }), there(done)]
          : [sayMany('{done} of {n} result of {who} handed in.', '{done} of {n} results of {who} handed in.', n, { done, who: person }), held.length ? words(held[0]).join(' ') : '']));
    });
  }

  function share(file, cls) {
    const name = file.name.replace(/\.json$/, '.txt');  // browsers share plain text, and most of them no other text
    const made = new File([file.text], name, { type: 'text/plain' });
    if (!navigator.canShare || !navigator.canShare({ files: [made] })) return '';
    const said = el('span', { class: 'hi-said', role: 'status' });
    const pressed = button(cls, say('Share'), () => {
      put(said, '');
      navigator.share({ files: [made] }).catch((e) => { if (e.name !== 'AbortError') put(said, say('Sharing does not work here. Save the file instead.')); });
    });
    return el('span', { class: 'hi-share' }, pressed, said);
  }

  /** Whose results wait, where a reader sees it. */
  function notice() {
    const quiz = document.querySelector('seatwork-quiz:not([data-practice]), seatwork-sign-off');
    const place = quiz || document.querySelector('.sw-front, .sw-whose');
    if (!place) return;
    const count = el('p', { class: 'hi-count', role: 'status', tabindex: '-1' }), said = el('p', { class: 'hi-said', role: 'status' });
    let seen = [];
    const open = () => rows.filter((row) => !row.handed);
    const made = button('sw', say('Try now'), () => {
      if (made.getAttribute('aria-disabled') === 'true') return;
      send([], open().map((row) => row.id));
    });
    const whole = el('div', { class: 'sw-waits hi-box', hidden: '' }, count, made, said);
    place.before(whole);
    const draw = () => {
      const left = open(), busy = left.some((row) => sending.has(row.id));
      const beside = new Set(Array.from(document.querySelectorAll('.hi-box[data-id]')).filter((one) => !one.closest('details:not([open]), [hidden]')).map((one) => one.dataset.id));
      if (!left.length) {
        // what went out while the page was open is told, the button keeps its place if somebody stands on it
        const gone = seen.map(rowOf).filter((row) => row && row.handed && !beside.has(row.id));
        if (document.activeElement === made) count.focus();
        made.hidden = true;
        put(count, gone.length ? say('Handed in {when}: {what}.', { when: clock(Math.max(...gone.map((row) => row.handed))), what: whose(gone) }) + ' ' + there(gone.length) : '');
        put(said, '');
        whole.dataset.state = 'arrived';
        whole.hidden = !gone.length;
        return;
      }
      seen = Array.from(new Set(seen.concat(left.map((row) => row.id))));  // those that went out before the last did too
      made.hidden = false;
      press(made, busy);
      put(count, sayMany('{what} waits to be handed in.', '{what} wait to be handed in.', left.length, { what: whose(left) }));
      const tried = left.find((row) => row.answer !== undefined);
      put(made, busy ? say('Handing in…') : say('Try now'));
      put(said, ...(busy ? [say('Handing it in.'), say('Wait.')] : tried ? words(tried) : ['']));
      whole.dataset.state = busy ? 'sending' : tried ? state(tried) : 'waits';
      whole.hidden = left.every((row) => beside.has(row.id));
    };
    show(whole, draw);
    // the quiz shows another of its panels
    if (quiz) new MutationObserver(draw).observe(quiz, { attributes: true, attributeFilter: ['data-view'] });
  }

  outbox.listen(refresh);
  window.addEventListener('online', wake);
  window.addEventListener('offline', refresh);
  window.addEventListener('pageshow', (e) => { if (e.persisted) wake(); });
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') wake(); });
  const start = () => { notice(); wake(); };
  if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', start, { once: true });
  else start();

  window.seatworkHandIn = Object.freeze({ result, signed, box, boxOfAll, share });
})();
