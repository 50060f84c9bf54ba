/*
 * The way to a learning system by cmi5, which speaks xAPI: for unit.js, which says what each of these must do.
 *
 * Of a session cmi5 takes one "initialized" first, one "terminated" last, and one of "passed" and "failed"; of a
 * registration one "passed" and one "completed", and no "failed" after it. A learner may fail and pass in one session,
 * so "passed" and "completed" go at once, and "failed" goes when the session ends and no try has passed. Each answer
 * and each whole try goes at once as a statement that cmi5 allows besides its own, so nothing waits for the end.
 */
(function () {
  'use strict';

  const given = window.seatworkUnit;
  if (!given) return;
  const VERB = 'http://adlnet.gov/expapi/verbs/', CMI5 = 'https://w3id.org/xapi/cmi5/context/';
  const STATE = 'seatwork.run';
  const room = 20000; // a page that is left may still send some 60,000 bytes

  let to = null, launch = null, began = 0, sure = false, passed = false, failed = null, ending = false, last = '', saved = '', open = false;
  let waiting = /** @type {any[]} */ ([]);
  let sending = /** @type {Promise<boolean>} */ (Promise.resolve(true));

  function uuid() {
    const bytes = window.crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
  }

  const span = (seconds) => 'PT' + Math.max(0, Math.round(seconds * 100) / 100) + 'S';

  /** A moment that is no earlier than the statement before it. */
  function moment(from) {
    const now = new Date(Math.max(from || Date.now(), Date.parse(last) || 0)).toISOString();
    last = now;
    return now;
  }

  function address(resource, query) {
    const url = new URL(resource, to.endpoint.replace(/\/?$/, '/'));
    for (const [name, value] of Object.entries(query)) url.searchParams.set(name, value);
    return url.href;
  }

  /** A request. One that outlives its page is small: browsers let all of them together hold 64 KB, and refuse what is more. */
  function ask(method, url, body, last = false) {
    const headers = { Authorization: 'Basic ' + to.token, 'X-Experience-API-Version': '1.0.3' };
    if (body !== undefined) headers['Content-Type'] = 'application/json';
    return fetch(url, { method, headers, body, keepalive: last || (body !== undefined && body.length < 24000), credentials: 'omit' });
  }

  const whose = (stateId) => ({ stateId, activityId: to.activityId, agent: to.actor, registration: to.registration });

  function statement(verb, object, result, categories, extensions) {
    const context = JSON.parse(JSON.stringify(launch.contextTemplate));
    context.registration = to.registration;
    if (categories.length) {
      context.contextActivities = context.contextActivities || {};
      context.contextActivities.category = (context.contextActivities.category || []).concat(categories.map((id) => ({ objectType: 'Activity', id: CMI5 + 'categories/' + id })));
    }
    if (!context.language && document.documentElement.lang) context.language = document.documentElement.lang;
    if (extensions) context.extensions = Object.assign({}, extensions, context.extensions);
    return { id: uuid(), actor: JSON.parse(to.actor), verb: { id: VERB + verb, display: { 'en-US': verb } }, object: Object.assign({ objectType: 'Activity' }, object),
      ...(result ? { result } : {}), context, timestamp: moment() };
  }

  const own = () => ({ id: to.activityId });
  const elapsed = () => span((Date.now() - began) / 1000);

  /**
   * Hands statements in. 409: there is one it has already, from a time when its answer was lost. As it then takes none of
   * them, they go one by one.
   */
  function post(now) {
    return ask('POST', address('statements', {}), JSON.stringify(now)).then((r) => {
      if (r.ok || (r.status === 409 && now.length === 1)) return null;
      if (r.status !== 409) throw new Error('not taken');
      return now.reduce((before, s) => before.then(() => post([s])), Promise.resolve(null));
    });
  }

  /** Sends what waits, in its order; whether all of it arrived. What did not waits for the next time. */
  function send() {
    sending = sending.then(() => {
      const now = waiting.slice();
      const texts = [];
      if (now.length) {
        texts.push(post(now).then(() => { waiting = waiting.filter((s) => !now.includes(s)); }));
      }
      const text = saved;
      if (text) {
        texts.push(ask('PUT', address('activities/state', whose(STATE)), JSON.stringify({ kept: text, passed, failed })).then((r) => {
          if (!r.ok) throw new Error('not kept');
          if (saved === text) saved = '';
        }));
      }
      return Promise.all(texts).then(() => true, () => false);
    });
    return sending;
  }

  function start() {
    const query = new URLSearchParams(window.location.search);
    const names = ['endpoint', 'fetch', 'actor', 'registration', 'activityId'];
    if (names.some((name) => !query.get(name))) return Promise.resolve(null);
    to = Object.fromEntries(names.map((name) => [name, query.get(name)]));
    return fetch(to.fetch, { method: 'POST', credentials: 'omit' }).then((r) => r.json()).then((answer) => {
      if (!answer['auth-token']) throw new Error('no token');
      to.token = answer['auth-token'];
      return ask('GET', address('activities/state', whose('LMS.LaunchData')));
    }).then((r) => { if (!r.ok) throw new Error('no launch data'); return r.json(); }).then((found) => {
      launch = found;
      // the standard has it read; nothing here has a sound or another language
      return ask('GET', address('agents/profile', { profileId: 'cmi5LearnerPreferences', agent: to.actor })).catch(() => null);
    }).then(() => ask('GET', address('activities/state', whose(STATE)))).then((r) => (r.ok ? r.json() : null)).then((kept) => {
      began = Date.now();
      open = true;
      sure = launch.launchMode === undefined || launch.launchMode === 'Normal';
      passed = Boolean(kept && kept.passed);
      failed = (kept && kept.failed) || null; // of a session that broke off before it could be told
      waiting.push(statement('initialized', own(), null, ['cmi5']));
      const actor = JSON.parse(to.actor), account = actor.account || {};
      const id = account.name || '';
      return send().then((ok) => {
        if (!ok) throw new Error('not taken');
        return { learner: { id, name: actor.name || id }, saved: (kept && kept.kept) || '', counts: sure, passed };
      });
    });
  }

  function about(q, definition) {
    return { id: given.ids[q.lesson] + '#' + q.id, definition };
  }

  function answered(a) {
    const pattern = a.right.join('[,]');
    const letters = (list) => Array.from(new Set(list)).sort().map((id) => ({ id, description: { 'en-US': id.toUpperCase() } }));
    const parts = letters(a.right.concat(a.given));
    const definition = { type: 'http://adlnet.gov/expapi/activities/cmi.interaction', interactionType: a.kind, correctResponsesPattern: [pattern],
      ...(a.asks ? { description: { 'en-US': a.asks } } : {}), ...(a.kind === 'fill-in' ? {} : { choices: parts }) };
    waiting.push(statement('answered', about({ lesson: a.lesson, id: a.q }, definition),
      { response: a.given.join('[,]'), success: a.correct, ...(a.seconds === null ? {} : { duration: span(a.seconds) }) }, []));
  }

  /** The score of a try, left out where a mastery score that the learning system has set itself says otherwise than the quiz. */
  function score(result) {
    const scaled = Math.round((10000 * result.right) / result.of) / 10000;
    if (launch.masteryScore !== undefined && scaled >= Number(launch.masteryScore) !== result.passed) return {};
    return { score: { scaled, raw: result.right, min: 0, max: result.of } };
  }

  function judged(verb, result) {
    const mark = launch.masteryScore === undefined ? null : { [CMI5 + 'extensions/masteryscore']: Number(launch.masteryScore) };
    return statement(verb, own(), { ...score(result), success: result.passed, duration: span(result.seconds), ...(result.code ? { response: result.code } : {}) },
      ['cmi5', 'moveon'], mark);
  }

  function finished(result) {
    const scaled = Math.round((10000 * result.right) / result.of) / 10000;
    waiting.push(statement('scored', about({ lesson: result.lesson, id: 'try-' + result.tries }, { type: 'http://adlnet.gov/expapi/activities/assessment' }),
      { score: { scaled, raw: result.right, min: 0, max: result.of }, success: result.passed, duration: span(result.seconds),
        ...(result.code ? { response: result.code } : {}) }, []));
    if (passed) return;
    if (!result.passed) { failed = result; return; }
    passed = true;
    failed = null;
    waiting.push(judged('passed', result), statement('completed', own(), { completion: true, duration: elapsed() }, ['cmi5', 'moveon']));
  }

  function end() {
    if (!open || ending) return Promise.resolve({ to: '', arrived: true });
    ending = true;
    if (failed && sure) waiting.push(judged('failed', failed));
    waiting.push(statement('terminated', own(), { duration: elapsed() }, ['cmi5']));
    // not behind what is on its way, whose page may be gone before the answer: a statement sent twice is one
    const went = (asked) => asked.then((r) => r.ok, () => false);
    const texts = [went(ask('POST', address('statements', {}), JSON.stringify(waiting), true))];
    if (saved) texts.push(went(ask('PUT', address('activities/state', whose(STATE)), JSON.stringify({ kept: saved, passed, failed: null }), true)));
    return Promise.all(texts).then((all) => ({ to: launch.returnURL || '', arrived: all.every(Boolean) }));
  }

  window.seatworkSystem = { room, start, answered, finished, save: (text) => { saved = text; }, commit: send, end };
})();
