/*
 * A lesson as a unit of a learning system. Stands in the pages of a package in the place of quiz.js, which it loads
 * once it knows who the learner is and what was kept of the try.
 *
 * NEEDS  result-code.js, vendor/sha256.js, unit-data.js (what the package is: below) and scorm.js or cmi5.js, which
 *        sets window.seatworkSystem, the way to the learning system:
 *          start() -> Promise of null where there is no learning system, or of
 *            {learner: {id, name}, saved: text or '', counts: whether what is done here counts, passed: whether it was passed before}
 *          answered(answer)   keeps one answer of a full try for the report
 *          finished(result)   the same of a whole try: {lesson, tries, right, of, passed, code, finished, seconds}
 *          save(text)         keeps the try; at most `room` characters
 *          commit() -> Promise of whether all of it arrived
 *          end() -> Promise of {to: where to go then, or '', arrived}; must have done its work when it returns, as the page may be gone
 *
 * window.seatworkUnit = {standard, salt, people: {hash of a learner's id: crew id}} (generator/exchange/package.py).
 *
 * Whether a try passed says the quiz alone, by this site's pass mark and the questions that must be right. No pass mark
 * is written into a package and none of the learning system's is gone by. Before a result is told it is marked again from
 * its answers: what the browser or the learning system kept of its score is not believed.
 *
 * Whose a result is: of those the browser has, only what was done in this session, or came back from the learning system
 * with this learner, is told by itself. Somebody else may have typed the same crew id on this device, so for any other the
 * learner is asked. Where the learning system only shows the lesson, nothing is kept, here or there.
 *
 * WHAT IS KEPT in the learning system, so that a try goes on elsewhere: a text of ASCII,
 *   [1, crew, print, reported, tries, [last variant of each question or -1], run, retry, [finished]]
 *   a question is its place in the page's pool, a moment is in seconds since 2020, a run is
 *   [full 0 | retry 1, us 0 | metric 1, started, finished or 0, at, set or -1, [item]], an item is
 *   [q, variant, units, answer, seconds after started] or [q, variant] or [q, variant, units, 0, 0, draft], and finished is
 *   [finished, right, of, passed, [missed], [must missed], tries, units, started, set, items, or 0 for those of the run].
 *   `print` is the page's: of another page's text only the number of tries is taken.
 */
(function () {
  'use strict';

  const script = document.currentScript;
  const given = window.seatworkUnit, system = window.seatworkSystem, tools = window.seatworkResults;
  const quiz = document.querySelector('seatwork-quiz');
  if (!script || !quiz || !given || !tools || !window.seatworkSay) return;
  const { say, sayIn, spoken } = window.seatworkSay;

  const EPOCH = Date.UTC(2020, 0, 1) / 1000;
  const text = quiz.querySelector('script[type="application/json"]').textContent;
  const data = JSON.parse(text);
  const print = tools.fnv1a(tools.escaped(text));
  const place = new Map(data.questions.map((q, i) => [q.id, i]));

  const secs = (iso) => Math.floor(Date.parse(iso) / 1000) - EPOCH;
  const iso = (s) => new Date((s + EPOCH) * 1000).toISOString().replace(/\.\d+Z$/, 'Z');
  const same = (a, b) => tools.canonical(a) === tools.canonical(b);

  // ---- the try as one short text ----

  function packItem(item, started) {
    const head = [place.get(item.q), item.variant];
    const units = item.units === 'metric' ? 1 : 0;
    if (item.answer !== undefined) return head.concat([units, item.answer, secs(item.at) - started]);
    return item.draft === undefined ? head : head.concat([units, 0, 0, item.draft]);
  }

  function unpackItem(row, started) {
    const item = { q: data.questions[row[0]].id, variant: row[1] };
    if (row.length === 5) Object.assign(item, { units: row[2] ? 'metric' : 'us', answer: row[3], at: iso(started + row[4]) });
    else if (row.length === 6) Object.assign(item, { draft: row[5], units: row[2] ? 'metric' : 'us' });
    return item;
  }

  function packRun(run) {
    if (!run) return 0;
    const started = secs(run.started);
    return [run.kind === 'full' ? 0 : 1, run.units === 'metric' ? 1 : 0, started, run.finished ? secs(run.finished) : 0, run.at,
      run.set === undefined ? -1 : run.set, run.items.map((item) => packItem(item, started))];
  }

  function unpackRun(row) {
    if (!row) return null;
    const run = { kind: row[0] ? 'retry' : 'full', units: row[1] ? 'metric' : 'us', started: iso(row[2]), finished: row[3] ? iso(row[3]) : null,
      at: row[4], items: row[6].map((item) => unpackItem(item, row[2])) };
    if (row[5] >= 0) run.set = row[5];
    if (!row[0] && spoken()) run.language = spoken(); // a unit is in one language
    return run;
  }

  function packFinished(f, run) {
    const file = f.file, started = secs(file.started);
    const items = file.answers.map((a) => packItem(a, started));
    const here = run && run.kind === 'full' && run.finished === f.finished && same(items, run.items.map((item) => packItem(item, started)));
    return [secs(f.finished), f.right, f.of, f.passed ? 1 : 0, f.missed.map((q) => place.get(q)), f.must.map((q) => place.get(q)), file.tries,
      file.units === 'metric' ? 1 : 0, started, file.set === undefined ? -1 : file.set, here ? 0 : items];
  }

  function unpackFinished(row, crew, run) {
    const [finished, right, of, passed, missed, must, tries, units, started, set, items] = row;
    const answers = items ? items.map((item) => unpackItem(item, started)) : run.items;
    const { lesson, edition, site, pass_mark, figures } = data;
    const file = tools.withCheck({
      seatwork_result: 1, crew, lesson, edition, site, units: units ? 'metric' : 'us', pass_mark, started: iso(started), finished: iso(finished), tries,
      answers: answers.map((a) => ({ q: a.q, variant: a.variant, units: a.units, answer: a.answer, at: a.at })),
      score_shown: Math.round((100 * right) / of) / 100, ...(figures ? { figures } : {}), ...(set >= 0 ? { set } : {}), ...(spoken() ? { language: spoken() } : {}),
    });
    const asked = answers.map((a) => data.questions[place.get(a.q)]);
    const sum = { finished: file.finished, right, of, passed: Boolean(passed), missed: missed.map((i) => data.questions[i].id),
      must: must.map((i) => data.questions[i].id), file };
    return Object.assign(sum, { code: tools.slipCode(file, asked), short: tools.shortCode(file, asked, sum) });
  }

  /** The text to keep, in no more than `room` characters; '' where even the try under way does not fit. */
  function packed(crew, state, reported, room) {
    const write = (run, retry, finished) => tools.escaped(JSON.stringify([1, crew, state.print, reported ? secs(reported) : 0, state.tries,
      data.questions.map((q) => (q.id in state.last ? state.last[q.id] : -1)), packRun(run), packRun(retry),
      finished.map((f) => packFinished(f, run))]));
    const bare = (run) => run && Object.assign({}, run, { items: run.items.map((item) => Object.assign({}, item, { draft: undefined })) });
    // of a run that is finished its result must stay; what is older goes first
    const files = state.finished.filter((f) => f.file);
    const least = state.run && state.run.finished ? files.slice(-1) : [];
    for (let from = 0; from <= files.length - least.length; from++) {
      const made = write(state.run, state.retry, files.slice(from));
      if (made.length <= room) return made;
    }
    const tight = [write(bare(state.run), bare(state.retry), least), write(bare(state.run), null, least)];
    return tight.find((made) => made.length <= room) || '';
  }

  /** {crew, reported, state} of a kept text; null where it is none. */
  function unpacked(kept) {
    try {
      const [v, crew, of, reported, tries, last, run, retry, finished] = JSON.parse(kept);
      if (v !== 1) return null;
      const state = { v: 1, print: of, tries, last: {}, run: null, retry: null, finished: [] };
      const made = { crew, reported: reported ? iso(reported) : '', state };
      if (of !== print) { // another edition of the page: the quiz says that the open try could not be kept
        if (run && !run[3]) state.run = { finished: null };
        return made;
      }
      last.forEach((variant, i) => { if (variant >= 0) state.last[data.questions[i].id] = variant; });
      state.run = unpackRun(run);
      state.retry = unpackRun(retry);
      state.finished = finished.map((row) => unpackFinished(row, crew, state.run));
      return made;
    } catch (e) {
      return null;
    }
  }

  /** The last moment at which anything was answered. */
  function newest(state) {
    const moments = [state.run, state.retry].filter(Boolean).flatMap((run) => [run.started, run.finished, ...(run.items || []).map((item) => item.at)]);
    return moments.concat(state.finished.map((f) => f.finished)).filter(Boolean).reduce((a, b) => (a > b ? a : b), '');
  }

  /** One state of what the learning system kept and what this device did; the newer try goes on, no result is lost. */
  function merged(theirs, ours) {
    if (!ours || ours.print !== theirs.print) return theirs;
    const [newer, older] = newest(ours) > newest(theirs) ? [ours, theirs] : [theirs, ours];
    const finished = older.finished.filter((f) => !newer.finished.some((g) => g.finished === f.finished)).concat(newer.finished);
    finished.sort((a, b) => (a.finished < b.finished ? -1 : a.finished > b.finished ? 1 : 0));
    return Object.assign({}, newer, { tries: Math.max(ours.tries, theirs.tries), finished: finished.slice(-12) });
  }

  const unit = { packed, unpacked, merged };
  window.seatworkUnit = Object.freeze(Object.assign({}, given, unit));

  // ---- the browser's own store, as the quiz uses it ----

  const keyOf = (crew) => ['seatwork-quiz', data.site, data.edition, data.lesson, crew].map(encodeURIComponent).join('|');
  const TAB = 'seatwork-quiz-crew|' + data.site;

  function stored(crew) {
    try {
      const found = JSON.parse(window.localStorage.getItem(keyOf(crew)));
      return found && found.v === 1 && Array.isArray(found.finished) ? Object.assign({ last: {}, run: null, retry: null, tries: 0 }, found) : null;
    } catch (e) { return null; }
  }

  function store(crew, state) {
    try { window.localStorage.setItem(keyOf(crew), JSON.stringify(state)); } catch (e) { /* the learning system keeps it */ }
  }

  function tab(crew) {
    try {
      if (crew === null) window.sessionStorage.removeItem(TAB);
      else window.sessionStorage.setItem(TAB, crew);
    } catch (e) { /* then the quiz asks for the id */ }
  }

  // ---- what the page says of it ----

  function el(tag, cls, ...inside) {
    const made = document.createElement(tag);
    made.className = cls;
    made.append(...inside);
    return made;
  }

  const strip = el('p', 'su-strip');
  const told = el('p', 'su-told');
  told.setAttribute('role', 'status');
  const heading = document.querySelector('article h1');
  if (heading) heading.after(strip);
  else quiz.before(strip);
  quiz.after(told);

  function tell(words, bad = false) {
    told.textContent = words;
    told.classList.toggle('is-bad', bad);
  }

  function play(then = () => {}) {
    const made = document.createElement('script');
    made.addEventListener('load', then);
    made.src = script.dataset.quiz;
    document.body.append(made);
  }

  function alone(words) {
    strip.textContent = words;
    strip.classList.add('is-bad');
    play();
  }

  // ---- playing ----

  let crew = null, state = null, reported = '', counts = false, passed = false, ended = false, timer = 0, shownAt = { q: '', at: 0 };
  const own = new Set(); // the results that are this learner's, as CREW|FINISHED

  const isOwn = (f) => own.has(crew + '|' + f.finished);

  function keep() {
    if (!counts || state === null || !crew) return;
    if (quiz.state && quiz.crew === crew) state = quiz.state; // another window of the lesson may have gone on
    const made = packed(crew, Object.assign({}, state, { finished: state.finished.filter(isOwn) }), reported, system.room);
    if (made) system.save(made);
  }

  const where = () => (quiz.stored === false ? say('This browser keeps nothing: stay on this page.') : say('Your answers are kept on this device.'));

  function commit(words) {
    return system.commit().then((ok) => {
      if (!ended) tell(ok ? words : say('The learning system did not answer.') + ' ' + where() + ' ' + say('They are sent again with the next step.'), !ok);
      return ok;
    });
  }

  /** A result of this person marked from its answers alone, with its codes; null where they are no whole try of this page. */
  function marked(sum) {
    try {
      const file = sum.file, asked = quiz.askedIn(file.set);
      const fits = ['lesson', 'edition', 'site', 'figures'].every((name) => file[name] === data[name]);
      if (!fits || file.crew !== crew || !same(asked.map((q) => q.id), file.answers.map((a) => a.q))) return null;
      const missed = asked.filter((q, i) => !quiz.grade(file.answers[i]).right), must = missed.filter((q) => q.must).map((q) => q.id);
      const of = asked.length, right = of - missed.length, score = { right, of, must, passed: right >= quiz.needed(of) && !must.length };
      return Object.assign(score, { file, finished: file.finished, code: tools.slipCode(file, asked) || tools.shortCode(file, asked, score) || '' });
    } catch (e) {
      return null;
    }
  }

  function report(kept) {
    const before = reported, sum = marked(kept);
    if (sum === null) {
      tell(say('This result does not fit this lesson, so it was not sent. Take the quiz again.'), true);
      return;
    }
    const file = sum.file;
    if (sum.finished > reported) reported = sum.finished;
    system.finished({ lesson: data.lesson, tries: file.tries, right: sum.right, of: sum.of, passed: sum.passed, code: sum.code,
      finished: sum.finished, seconds: Math.max(0, secs(sum.finished) - secs(file.started)) });
    keep();
    const stays = passed && !sum.passed ? ' ' + say('It keeps that you passed before.') : '';
    passed = passed || sum.passed;
    commit((sum.passed ? say('Sent to the learning system: {right} of {of}, passed.', sum) : say('Sent to the learning system: {right} of {of}, not passed.', sum)) + stays).then((ok) => {
      if (!ok && before < reported) reported = before;
      // the style sheet shows this sentence, and has no words of its own
      document.body.style.setProperty('--su-has', JSON.stringify(say('The learning system has this result. You need not send it by another way; you can still keep a copy.')));
      document.body.classList.toggle('su-has', ok); // there is no need to hand it in by other ways then
    });
  }

  function answered(detail) {
    const q = data.questions[place.get(detail.q)];
    const item = quiz.itemOf(quiz.byId.get(detail.q)), v = quiz.variantOf(item), letters = (list) => list.map((i) => String.fromCharCode(97 + Number(i)));
    const number = q.kind === 'number';
    const asks = quiz.byId.get(detail.q).askBox;
    system.answered({
      lesson: data.lesson, tries: state.tries, q: detail.q, kind: { number: 'fill-in', order: 'sequencing' }[q.kind] || 'choice',
      several: q.kind === 'several', given: number ? [String(detail.answer)] : letters(detail.answer),
      right: number ? [v.answer.shown] : letters(quiz.rightOf(quiz.byId.get(detail.q), v)), correct: detail.right, at: item.at,
      seconds: shownAt.q === detail.q ? Math.round((Date.now() - shownAt.at) / 10) / 100 : null, asks: asks ? asks.innerText.replace(/\s+/g, ' ').trim() : '',
    });
  }

  /** Results that this device has of the person and the learning system did not bring: whoever has the person's id may have made them. */
  function ask(found) {
    const says = (f) => f.finished.slice(0, 16).replace('T', ' ') + ' UTC, ' + (f.passed ? say('{right} of {of}, passed', { right: f.right, of: f.of })
      : say('{right} of {of}, not passed', { right: f.right, of: f.of }));
    const yes = el('button', 'su-leave su-mine', say('I took it: send it'));
    yes.type = 'button';
    const box = el('div', 'su-ask', el('p', '', say('This device has a result of {who} that the learning system has not: {results}. If somebody else took it, leave it.', { who: crew, results: found.map(says).join('; ') })), yes);
    yes.addEventListener('click', () => {
      box.remove();
      found.forEach((f) => own.add(crew + '|' + f.finished));
      found.forEach(report);
    });
    told.after(box);
  }

  function watch(mapped) {
    // of practice, and of another id than the learner's, nothing is told
    const concerns = (e) => !ended && counts && e.detail.crew && (mapped === null || e.detail.crew === mapped);
    function take(e) {
      crew = e.detail.crew;
      state = quiz.state;
    }
    quiz.addEventListener('sw-state', (e) => {
      if (!concerns(e)) return;
      take(e);
      const run = state && (state.retry || state.run), here = run && run.items[run.at];
      if (here && here.answer === undefined && shownAt.q !== here.q) shownAt = { q: here.q, at: Date.now() };
      window.clearTimeout(timer);
      timer = window.setTimeout(() => { keep(); system.commit(); }, 1500);
    });
    quiz.addEventListener('sw-answer', (e) => {
      if (!concerns(e)) return;
      take(e);
      if (!e.detail.practice) answered(e.detail);
      keep();
      commit(say('This answer is kept by the learning system.'));
    });
    quiz.addEventListener('sw-result', (e) => {
      if (!concerns(e) || !e.detail.file) return;
      own.add(crew + '|' + e.detail.file.finished);
      report(quiz.state.finished[quiz.state.finished.length - 1]);
    });
  }

  function end() {
    if (ended) return Promise.resolve({ to: '', arrived: true });
    keep();
    ended = true;
    window.clearTimeout(timer);
    return system.end();
  }

  function begin(found) {
    const mapped = given.people[window.sha256(given.salt + '\n' + found.learner.id.trim().toLowerCase()).slice(0, 24)] || null;
    const kept = unpacked(found.saved);
    counts = found.counts;
    passed = found.passed;
    crew = mapped || (kept && kept.crew) || null;
    // whoever worked in this tab before is no concern of this learner
    tab(crew);
    if (kept && kept.crew !== crew) kept.state.finished = []; // the table was mended: a result stays the id's it was made under
    if (crew) {
      reported = kept ? kept.reported : '';
      if (kept) kept.state.finished.forEach((f) => own.add(crew + '|' + f.finished));
      state = kept ? merged(kept.state, stored(crew)) : stored(crew);
      if (state) store(crew, state);
    }
    delete window.seatworkForgets; // the learning system keeps it, whatever the browser does
    if (!counts) {
      window.seatworkForgets = true;
      document.body.classList.add('su-looks');
    }
    const name = found.learner.name && found.learner.name !== found.learner.id ? found.learner.name + ' (' + found.learner.id + ')' : found.learner.id;
    strip.append(...sayIn('Learner: {learner}.', { learner: el('b', '', name || say('not named')) }), ' ',
      ...(mapped ? sayIn('Crew id {id}. Not your name or not your crew id? Stop, and tell your training coordinator.', { id: el('b', '', mapped) })
        : [say('The table of learners does not know this id: pick or type your crew id at the quiz.')]));
    if (mapped) document.body.classList.add('su-known');
    if (!counts) strip.append(' ' + say('The learning system only shows this lesson now: nothing done here counts, and nothing is kept.'));
    const leave = el('button', 'su-leave', say('Done for now'));
    leave.type = 'button';
    leave.addEventListener('click', () => {
      leave.disabled = true;
      end().then(({ to, arrived }) => {
        if (!arrived) tell(say('The learning system did not take all of it.') + ' ' + where() + ' ' + say('Open the lesson there again, on this device, and send it.'), true);
        else if (to) window.location.assign(to);
        else tell((counts ? say('All is sent.') + ' ' : '') + say('You can close this lesson. To go on, open it again in the learning system.'));
      });
    });
    told.after(el('p', 'su-done', leave));
    watch(mapped);
    play(() => {
      if (!counts || !state || state.print !== print) return;
      // results made while the learning system was out of reach
      const late = state.finished.filter((f) => f.file && f.finished > reported), others = late.filter((f) => !isOwn(f));
      late.filter(isOwn).forEach(report);
      if (others.length) ask(others);
    });
  }

  window.addEventListener('pagehide', () => { end(); });
  window.addEventListener('pageshow', (e) => {
    if (e.persisted && ended) tell(say('You left this lesson, so the learning system has closed it. Open it there again to have your answers counted.'), true);
  });

  if (new URLSearchParams(window.location.search).has('read')) {
    ended = true;
    alone(say('You opened this page from a link. To have its quiz counted, open the lesson in your learning system.'));
    return;
  }
  system.start().then((found) => {
    if (found) { begin(found); return; }
    ended = true;
    alone(say('The learning system was not found. The page works as on the web: your answers stay on this device. Save your result and hand it in.'));
  }, () => {
    ended = true;
    alone(say('The learning system did not answer. The page works as on the web: your answers stay on this device. Save your result and hand it in, or open the lesson again later.'));
  });
})();
