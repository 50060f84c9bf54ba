/*
 * The way to a learning system by SCORM 1.2 or SCORM 2004 (third edition and later): for unit.js, which says what each
 * of these must do. The runtime is an object of that name in a window around this one, or in the one that opened it.
 *
 * Lengths and vocabulary are those of each standard's data model: a response of 255 characters in 1.2 and 250 in 2004,
 * 4,096 characters to resume from in 1.2; 2004 has more, and 4,000 were its least.
 */
(function () {
  'use strict';

  const given = window.seatworkUnit;
  if (!given) return;
  const old = given.standard === 'scorm-1.2';
  const NAME = old ? 'API' : 'API_1484_11';
  const CALLS = old
    ? { start: 'LMSInitialize', get: 'LMSGetValue', set: 'LMSSetValue', commit: 'LMSCommit', end: 'LMSFinish', error: 'LMSGetLastError' }
    : { start: 'Initialize', get: 'GetValue', set: 'SetValue', commit: 'Commit', end: 'Terminate', error: 'GetLastError' };
  const room = old ? 4096 : 4000;
  const longest = old ? 255 : 250;

  let api = null, counts = true, passed = false, interactions = -1, began = 0, open = false;

  function inWindows(from) {
    let at = from;
    for (let i = 0; at && i < 500; i++) {
      try { if (at[NAME]) return at[NAME]; } catch (e) { return null; } // a window of another origin
      if (at.parent === at) return null;
      at = at.parent;
    }
    return null;
  }

  function found() {
    const here = inWindows(window);
    if (here) return here;
    try { return window.top.opener ? inWindows(window.top.opener) : null; } catch (e) { return null; }
  }

  const call = (name, ...args) => {
    try { return String(api[CALLS[name]](...args)); } catch (e) { return ''; }
  };
  const ok = (answer) => answer === 'true' || answer === '1';
  const get = (element) => { const value = call('get', element); return value === 'undefined' || value === 'null' ? '' : value; };
  const set = (element, value) => ok(call('set', element, String(value)));
  const two = (n) => String(n).padStart(2, '0');

  function span(seconds) {
    const s = Math.max(0, seconds), whole = Math.floor(s), cents = Math.floor((s - whole) * 100);
    const rest = two(whole % 60) + (cents ? '.' + two(cents) : '');
    if (old) return String(Math.min(9999, Math.floor(whole / 3600))).padStart(4, '0') + ':' + two(Math.floor(whole / 60) % 60) + ':' + rest;
    return 'PT' + Math.floor(whole / 3600) + 'H' + (Math.floor(whole / 60) % 60) + 'M' + (whole % 60) + (cents ? '.' + two(cents) : '') + 'S';
  }

  /** A moment: in 1.2 the time of day here, in 2004 the moment in UTC, which needs a part of a second before its Z. */
  function moment(iso) {
    const day = new Date(iso);
    return old ? [day.getHours(), day.getMinutes(), day.getSeconds()].map(two).join(':') : iso.replace('Z', '.00Z');
  }

  function interaction(id, type, response, result, at, seconds, pattern, asks) {
    if (interactions < 0) return false;
    const head = 'cmi.interactions.' + interactions + '.';
    if (!set(head + 'id', id)) return false;
    interactions += 1;
    set(head + 'type', type);
    set(head + (old ? 'time' : 'timestamp'), moment(at));
    if (pattern !== null) set(head + 'correct_responses.0.pattern', pattern);
    set(head + 'weighting', '1');
    const kept = set(head + (old ? 'student_response' : 'learner_response'), response);
    set(head + 'result', result);
    if (seconds !== null) set(head + 'latency', span(seconds));
    if (!old && asks) set(head + 'description', asks.slice(0, 250));
    return kept;
  }

  function start() {
    api = found();
    if (!api) return Promise.resolve(null);
    const one = (a, b) => get(old ? a : b);
    if (!ok(call('start', '')) && (old ? get('cmi.core.student_id') === '' : call('error') !== '103')) return Promise.resolve(null);
    open = true;
    began = Date.now();
    const mode = one('cmi.core.lesson_mode', 'cmi.mode');
    counts = mode !== 'browse' && mode !== 'review';
    const status = one('cmi.core.lesson_status', 'cmi.success_status');
    passed = status === 'passed';
    if (counts) {
      if (old && ['', 'not attempted', 'browsed'].includes(status)) set('cmi.core.lesson_status', 'incomplete');
      if (!old && ['', 'unknown', 'not attempted'].includes(get('cmi.completion_status'))) set('cmi.completion_status', 'incomplete');
      const some = get('cmi.interactions._children');
      interactions = some ? Number(get('cmi.interactions._count')) || 0 : -1;
    }
    set(old ? 'cmi.core.exit' : 'cmi.exit', 'suspend');
    call('commit', '');
    return Promise.resolve({ learner: { id: one('cmi.core.student_id', 'cmi.learner_id'), name: one('cmi.core.student_name', 'cmi.learner_name') },
      saved: get('cmi.suspend_data'), counts, passed });
  }

  function answered(a) {
    const join = old ? ',' : '[,]';
    const pattern = a.kind === 'fill-in' ? a.right[0].slice(0, longest) : a.right.join(join);
    interaction([a.lesson, a.tries, a.q].join('.'), a.kind, a.given.join(join).slice(0, longest), a.correct ? 'correct' : old ? 'wrong' : 'incorrect',
      a.at, a.seconds, old && a.several ? '{' + pattern + '}' : pattern, a.asks);
  }

  /**
   * The score, left out where a pass mark that the learning system has set itself would make another verdict of it: with
   * none, a system of 2004 that has a mark says "unknown", which is no pass either.
   */
  function score(result) {
    const percent = Math.round((10000 * result.right) / result.of) / 100;
    const scaled = Math.round((10000 * result.right) / result.of) / 10000;
    const head = old ? 'cmi.core.score.' : 'cmi.score.';
    const mark = get(old ? 'cmi.student_data.mastery_score' : 'cmi.scaled_passing_score');
    const overruled = mark !== '' && (old ? percent : scaled) >= Number(mark) !== result.passed;
    set(head + 'min', '0');
    set(head + 'max', '100');
    if (!old || !overruled) set(head + 'raw', percent);
    else if (get(head + 'raw') !== '') set(head + 'raw', '');
    if (!old && !overruled) set(head + 'scaled', scaled);
  }

  function finished(result) {
    const id = [result.lesson, result.tries, 'result-code'].join('.');
    // what 1.2 has no room for is not cut off by anybody: then it goes into the comments
    const kept = result.code && (!old || result.code.length <= longest) && interaction(id, !old && result.code.length > longest ? 'long-fill-in' : 'fill-in',
      result.code, 'neutral', result.finished, null, null, 'Result code, for the table of codes');
    if (result.code && !kept) comment('Result code ' + result.code);
    if (passed && !result.passed) return; // a pass stays one; that a later try failed is told by its code
    passed = result.passed;
    score(result);
    if (old) set('cmi.core.lesson_status', passed ? 'passed' : 'failed');
    else {
      set('cmi.success_status', passed ? 'passed' : 'failed');
      set('cmi.completion_status', passed ? 'completed' : 'incomplete');
    }
  }

  function comment(words) {
    if (old) { set('cmi.comments', words); return; }
    const head = 'cmi.comments_from_learner.' + (Number(get('cmi.comments_from_learner._count')) || 0) + '.';
    set(head + 'comment', words);
  }

  function commit() {
    if (!open) return Promise.resolve(false);
    set(old ? 'cmi.core.session_time' : 'cmi.session_time', span((Date.now() - began) / 1000));
    return Promise.resolve(ok(call('commit', '')));
  }

  function end() {
    if (!open) return Promise.resolve({ to: '', arrived: true });
    const sent = commit();
    call('end', '');
    open = false;
    return sent.then((arrived) => ({ to: '', arrived }));
  }

  window.seatworkSystem = { room, start, answered, finished, save: (text) => { if (open) set('cmi.suspend_data', text); }, commit, end };
})();
