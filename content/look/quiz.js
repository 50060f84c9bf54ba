/*
 * <seatwork-quiz>: plays a lesson's quiz in the page.
 *
 * The element wraps a real <form> in light DOM, so that without scripts, and on paper, the
 * questions can be read. All figures, right answers and tolerances were reckoned and written
 * when the page was built; this file fills blanks and compares.
 *
 * MARKUP  <seatwork-quiz data-lesson data-edition data-site>
 *   <form> one <fieldset class="sq" data-q="ID" data-kind="KIND" [data-must]> per question, in it
 *     .sq-ask and, by kind: number  .sq-answer > label > input, .sq-unit, .sq-tolerance
 *     one, several  ul.sq-choices > li > label > input[value=index], .sq-text
 *     order         ol.sq-order > li[data-item=index in the right order]
 *     point         figure.sq-drawing > svg with g.spot[data-spot], ul.sq-choices of radios
 *   Any kind may have a figure.sq-drawing above its answers. A choice or item may be a picture:
 *   .sq-picture > svg before its .sq-text, which then says "Picture A".
 *   <script type="application/json"> the questions with their variants (generator/quiz/markup.py)
 * The unit system is <html data-units="us|metric">; an answered question keeps its own in
 * fieldset[data-units]. While playing, the element has the class "sq-on" and data-view="start",
 * "again" (what to read before another try), "question" or "result".
 *
 * EVENTS  (both bubble)
 *   sw-answer  detail {lesson, crew, q, variant, units, answer, right, practice}
 *   sw-result  detail {lesson, crew, right, of, passed, missed: [ids], mustMissed: [ids], file}
 *              when the last answer of a full try is in; file is null without a crew id.
 *   sw-state   detail {lesson, crew, state} whenever what is kept was written: a unit of a learning system keeps it too
 *   sw-more    asks for another round of practice
 *   sw-view    detail {view, feedback} when another view, another question or an answer's feedback is shown (aloud.js reads it)
 * With data-practice the element plays its questions at once, keeps nothing and hands in nothing
 * (practice.js).
 * STATIC     customElements.get('seatwork-quiz') has readNumber, unitKey, canonical, fnv1a, slipCode,
 *            shortCode, UNITS; tests and other tools use them.
 *
 * Five scripts stand before this one: words.js has what scripts say in the page's language, unit-table.js is the table of units (the build writes it),
 * typed-number.js says what a typed number may look like, result-code.js what the result file and
 * the slip's codes hold, and slip.js shows the slip. Without them the questions stay as they are in the page, to be read and
 * printed. Where the site's server takes results in, hand-in.js stands before it too.
 */
(function () {
  'use strict';

  if (!window.seatworkSay || !window.seatworkNumbers || !window.seatworkResults || !window.seatworkSlip) return;
  const { say, sayHtml, sayMany, sayIn, listed, spoken } = window.seatworkSay;
  const { UNITS, inKeys, readNumber, figureFor, unitKey, within, quoted } = window.seatworkNumbers;
  const { KINDS, fnv1a, escaped, canonical, withCheck, slipCode, shortCode, fileText, resultName, saveFile } = window.seatworkResults;
  const { showSlip } = window.seatworkSlip;

  // ---- small helpers ----

  const now = () => new Date().toISOString().replace(/\.\d+Z$/, 'Z');
  const units = () => (document.documentElement.dataset.units === 'metric' ? 'metric' : 'us');
  // a figure in a template, its place kept for aloud.js, which has words for it
  const FIGURE = /(<b class="sq-figure")>⟦(\d+)⟧|⟦(\d+)⟧/g;
  const fill = (tpl, figures) => String(tpl || '').replace(FIGURE, (all, opening, i, j) => {
    const figure = (i || j) in figures ? figures[i || j] : '⟦' + (i || j) + '⟧';
    return opening ? opening + ' data-f="' + i + '">' + figure : figure;
  });
  const same = (a, b) => a.length === b.length && a.every((x, i) => x === b[i]);
  const sorted = (list) => list.slice().sort((a, b) => a - b);
  const letter = (place) => String.fromCharCode(65 + place);
  const bare = (text) => text.replace(/[.!]$/, '');  // without the end of a sentence, inside another one
  const minutes = (iso) => iso.slice(0, 16).replace('T', ' ') + ' UTC';

  /** An element; text goes in as text, never as markup. */
  function el(tag, given, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(given || {})) {
      if (name === 'on') made.addEventListener('click', value);
      else if (value === true) made.setAttribute(name, '');
      else if (value !== false && value !== null) made.setAttribute(name, value);
    }
    made.append(...inside.filter((x) => x !== null && x !== undefined && x !== ''));
    return made;
  }

  /** An element around HTML that came with the page (trusted: Python escaped every figure). */
  function built(tag, cls, html) {
    const made = el(tag, { class: cls });
    made.innerHTML = html;
    return made;
  }

  const button = (text, cls, on, more) => el('button', Object.assign({ type: 'button', class: 'sq-button ' + cls, on }, more), text);

  // shape tells right from wrong without colour: a tick in a circle, a cross in a square
  function mark(right) {
    return built('span', 'sq-mark', '<svg viewBox="0 0 24 24" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2.5">' + (right
      ? '<circle cx="12" cy="12" r="10"></circle><path d="M7 12.5l3.5 3.5L17 9"></path>'
      : '<rect x="2" y="2" width="20" height="20"></rect><path d="M7.5 7.5l9 9M16.5 7.5l-9 9"></path>') + '</svg>');
  }

  // What could not be written to the browser's store lives here as long as the page does.
  const unkept = new Map();

  const kept = {
    read(key) {
      if (unkept.has(key)) return unkept.get(key);
      try { return window.localStorage.getItem(key); } catch (e) { return null; }
    },
    /** Whether the browser has really kept it. */
    write(key, text) {
      try {
        if (window.seatworkForgets) throw new Error('the store is blocked');
        window.localStorage.setItem(key, text);
        unkept.delete(key);
        return true;
      } catch (e) {
        unkept.set(key, text);
        return false;
      }
    },
    works() {
      try {
        if (window.seatworkForgets) return false;
        window.localStorage.setItem('seatwork-quiz-probe', '1');
        window.localStorage.removeItem('seatwork-quiz-probe');
        return true;
      } catch (e) { return false; }
    },
  };

  // The tab remembers who is working in it, so a reload goes on; a new tab asks again, as the
  // next person at a shared machine must not land in someone else's try.
  const tab = {
    key: (site) => 'seatwork-quiz-crew|' + site,
    get(site) { try { return window.sessionStorage.getItem(this.key(site)); } catch (e) { return null; } },
    set(site, crew) {
      try {
        if (crew === null) window.sessionStorage.removeItem(this.key(site));
        else window.sessionStorage.setItem(this.key(site), crew);
      } catch (e) { /* then a reload asks for the id again */ }
    },
  };

  const hintFor = ({ decimal, comma, point }) => (decimal === ','
    ? point ? say('You can write 5,5, 5.5 or 5 1/2, and 1.234 for 1234. You can add a unit.') : say('You can write 5,5, 5.5 or 5 1/2. You can add a unit.')
    : comma ? say('You can write 5.5, 5,5 or 5 1/2, and 1,234 for 1234. You can add a unit.') : say('You can write 5.5, 5,5 or 5 1/2. You can add a unit.'));

  let serial = 0;

  class SeatworkQuiz extends HTMLElement {
    connectedCallback() {
      if (this.questions) { this.listen(); return; }
      // a script in <head> meets the element before its content is there
      if (document.readyState === 'loading') {
        document.addEventListener('DOMContentLoaded', () => this.begin(), { once: true });
      } else this.begin();
    }

    disconnectedCallback() {
      if (this.watch) this.watch.disconnect();
      if (this.onStorage) window.removeEventListener('storage', this.onStorage);
    }

    begin() {
      if (this.questions || !this.isConnected) return;
      try {
        this.read();
      } catch (e) {
        this.questions = null;
        this.append(el('p', { class: 'sq-note' }, say('This quiz could not be started. You can still read the questions and print them.')));
        return;
      }
      this.furnish();
      this.listen();
      if (this.drill) {
        this.crew = '';
        this.key = this.keyOf('');
        this.state = { v: 1, print: this.print, tries: 0, last: {}, run: null, retry: null, finished: [] };
        this.start('drill', this.questions);
        this.lead(this.questionAt().legend);
        return;
      }
      const crew = tab.get(this.data.site);
      this.open(crew);
      if (crew !== null && this.run() && !this.run().finished) this.show('question');
      else if (crew !== null && this.run()) this.show('result');
      else { this.state = null; this.show('start'); }
    }

    /** A round of mixed practice: it starts at once, is kept nowhere and has no result. */
    get drill() { return this.hasAttribute('data-practice'); }

    read() {
      const text = this.querySelector('script[type="application/json"]').textContent;
      this.data = JSON.parse(text);
      this.print = fnv1a(escaped(text));
      this.form = this.querySelector('form');
      const sets = new Map(Array.from(this.form.querySelectorAll('fieldset.sq'), (f) => [f.dataset.q, f]));
      this.questions = this.data.questions.map((q, i) => {
        const set = sets.get(q.id);
        if (!set || !KINDS.includes(q.kind) || !q.variants.length) throw new Error('no fieldset or variants for ' + q.id);
        return Object.assign({}, q, { set, number: i + 1, variants: q.variants.slice(0, 256) });
      });
      if (!this.questions.length) throw new Error('no questions');
      for (const q of this.questions) {
        // where all variants have the same figures, as a limit of the site, the order is what differs
        q.figured = ['us', 'metric'].some((s) => q.variants.some((v) => JSON.stringify(v[s].f) !== JSON.stringify(q.variants[0][s].f)));
      }
      this.byId = new Map(this.questions.map((q) => [q.id, q]));
      // which questions a try asks, by their places in the pool; without sets it asks all
      this.sets = Array.isArray(this.data.sets) && this.data.sets.length ? this.data.sets : null;
      if (this.sets && this.sets.some((set) => !set.length || set.some((i) => !this.questions[i]))) throw new Error('a set asks what is not there');
    }

    /** How many of a full try's questions must be right. */
    needed(of) { return Math.ceil(this.data.pass_mark * of - 1e-9); }

    /** The questions of a full try: a set of the pool, or all of it. */
    askedIn(set) { return this.sets ? (this.sets[set] || []).map((i) => this.questions[i]) : this.questions; }

    /** A question's number in the full try under way. */
    numberOf(q) {
      const run = this.state && this.state.run;
      const at = run ? run.items.findIndex((item) => item.q === q.id) : -1;
      return at < 0 ? q.number : at + 1;
    }

    listen() {
      this.watch = new MutationObserver(() => this.refresh());
      this.watch.observe(document.documentElement, { attributes: true, attributeFilter: ['data-units'] });
      // the same try open in a second window: the newer answers count
      this.onStorage = (e) => {
        if (!this.state || e.key !== this.key || e.newValue === null) return;
        this.open(this.crew);
        this.show(!this.run() ? 'start' : this.run().finished ? this.dataset.view : 'question', false);
      };
      window.addEventListener('storage', this.onStorage);
    }

    // ---- what is kept: {v, print, tries, last: {id: variant}, run, retry, finished: [{file, code, short, …}]}
    // a run is {kind, units, started, finished, at, set, items: [{q, variant, draft, units, answer, at}]}

    keyOf(crew) {
      const { site, edition, lesson } = this.data;
      return ['seatwork-quiz', site, edition, lesson, crew].map(encodeURIComponent).join('|');
    }

    /** Takes up what is kept for one person ('' practises); whatever is unreadable starts empty. */
    open(crew) {
      this.changed = false;
      if (crew === null) { this.state = null; return; }
      this.crew = crew;
      this.key = this.keyOf(crew);
      this.state = this.peek(crew, (run) => { this.changed = true; this.elsewhere = Boolean(run.language) && run.language !== spoken(); });
      for (const q of this.questions) q.look = null;
    }

    peek(crew, /** @type {(run?: any) => void} */ whenChanged = () => {}) {
      const empty = { v: 1, print: this.print, tries: 0, last: {}, run: null, retry: null, finished: [] };
      try {
        const found = JSON.parse(kept.read(this.keyOf(crew)));
        if (!found || found.v !== 1) return empty;
        const state = Object.assign(empty, {
          tries: Number.isInteger(found.tries) ? found.tries : 0,
          finished: (Array.isArray(found.finished) ? found.finished : []).filter((f) => f && typeof f.finished === 'string'),
        });
        if (found.print !== this.print) {
          // the page was built anew: old variants are no longer what was answered
          if (found.run && !found.run.finished) whenChanged(found.run);
          return state;
        }
        // results of a time before there were short codes
        for (const f of state.finished) if (f.file && f.short === undefined) f.short = this.shortLater(f);
        state.last = Object.assign({}, found.last);
        state.run = this.sound(found.run);
        if (state.run && state.run.finished && !this.resultOf(state)) state.run = null;
        state.retry = state.run && this.sound(found.retry);
        return state;
      } catch (e) {
        return empty;
      }
    }

    shortLater(f) {
      try {
        return shortCode(f.file, f.file.answers.map((a) => this.byId.get(a.q)), f);
      } catch (e) { return null; }
    }

    /** The run if every part of it fits this quiz, else null. */
    sound(run) {
      if (!run) return null;
      const fits = run.items.length > 0 && run.items.every((item) => {
        const q = this.byId.get(item.q);
        if (!q || !q.variants[item.variant]) return false;
        return item.answer === undefined || typeof this.grade(item).right === 'boolean';
      });
      const asked = this.askedIn(run.set).map((q) => q.id);
      if (!fits || (run.kind === 'full' && !same(run.items.map((item) => item.q), asked))) return null;
      run.at = Math.min(Math.max(0, run.at | 0), run.items.length - 1);
      return run;
    }

    save() {
      if (this.drill) return;
      this.stored = kept.write(this.key, JSON.stringify(this.state));
      this.send('sw-state', { lesson: this.data.lesson, crew: this.crew, state: this.state });
      this.notice();
    }

    /** The result that belongs to the full try of `state`. */
    resultOf(state) { return state.finished.filter((f) => f.finished === state.run.finished).pop(); }

    run() { return this.state && (this.state.retry || this.state.run); }

    /** A variant whose figures differ from the last ones this person saw. */
    draw(q) {
      const look = (v, s) => JSON.stringify([v[s].k, q.figured ? v[s].f : v[s].order || null]);
      const last = this.state.last[q.id];
      const seen = q.variants[last];
      const all = q.variants.map((_, i) => i).filter((i) => i !== last);
      const fresh = all.filter((i) => !seen || ['us', 'metric'].every((s) => look(q.variants[i], s) !== look(seen, s)));
      const from = fresh.length ? fresh : all.length ? all : [0];
      const variant = from[Math.floor(Math.random() * from.length)];
      this.state.last[q.id] = variant;
      return variant;
    }

    /** Another set than that of the last full try. */
    drawSet() {
      const last = this.state.run && this.state.run.kind === 'full' ? this.state.run.set : undefined;
      const all = this.sets.map((_, i) => i), others = all.filter((i) => i !== last);
      const from = others.length ? others : all;
      return from[Math.floor(Math.random() * from.length)];
    }

    /** Starts a full try, or one on the `missed` questions. */
    start(kind, missed) {
      const set = kind === 'full' && this.sets ? this.drawSet() : undefined;
      const questions = kind === 'full' ? this.askedIn(set) : missed;
      /** @type {any} */
      const run = { kind, units: units(), started: now(), finished: null, at: 0, set, items: questions.map((q) => ({ q: q.id, variant: this.draw(q) })) };
      if (kind === 'drill') this.state.run = run;
      else if (kind === 'full') {
        this.state.tries += 1;
        if (spoken()) run.language = spoken(); // its questions are told in no other
        this.state.run = run;
        this.state.retry = null;
      } else this.state.retry = run;
      this.save();
      this.show('question');
    }

    // ---- marking ----

    systemOf(item) { return item.answer === undefined ? units() : item.units; }

    variantOf(item) { return this.byId.get(item.q).variants[item.variant][this.systemOf(item)]; }

    /** Whether a choice is not shown in a variant: most questions have more choices than they show. */
    spare(q, v, index) { return ['one', 'several'].includes(q.kind) && Boolean(v.order && v.order.length) && !v.order.includes(index); }

    /** The right choices, spots or items of those a variant shows. */
    rightOf(q, v) { return q.kind === 'order' ? q.texts.us.map((_, i) => i) : this.faceOf(q, v).right.filter((i) => !this.spare(q, v, i)); }

    /** {ask, right, says} of a variant: some questions ask one thing or another about their drawing. */
    faceOf(q, v) { return q.asks && q.asks[v.k] ? q.asks[v.k] : q; }

    /** {right, mistake: template or ''} of an answered item. Throws where the answer is no answer. */
    grade(item) {
      const q = this.byId.get(item.q);
      if (q.kind === 'number') {
        const answer = this.variantOf(item).answer;
        const got = figureFor(item.answer, answer);
        if (got.figure === undefined) throw new Error('not a figure');
        if (within(answer.accept[got.unit], got.figure)) return { right: true, mistake: '' };
        const named = (answer.mistakes || []).find((m) => within(m.accept[got.unit], got.figure));
        return { right: false, mistake: named ? named.says : '' };
      }
      const v = this.variantOf(item), face = this.faceOf(q, v);
      const right = this.rightOf(q, v);
      const given = item.answer.map(Number);
      if (given.some((i) => this.spare(q, v, i))) throw new Error('no such choice');
      if (q.kind === 'order') return { right: given.length === right.length && given.every((i, place) => this.fits(q, i, place)), mistake: '' };
      const says = (face.says && face.says[item.units]) || [];
      return { right: same(sorted(given), sorted(right)), mistake: q.kind === 'several' ? '' : says[given[0]] || '' };
    }

    /** Whether an item may stand in a place: its own, or one of those it may change with. */
    fits(q, item, place) { return item === place || (q.free || []).some((group) => group.includes(item) && group.includes(place)); }

    /** The places an item may take, in words. */
    placesOf(q, item) { return listed(((q.free || []).find((group) => group.includes(item)) || [item]).map((i) => i + 1), true); }

    missedIn(run) { return run.items.filter((item) => !this.grade(item).right).map((item) => this.byId.get(item.q)); }

    /** Closes a run whose every question is answered; a full try becomes a result to hand in. */
    finish(run) {
      if (run.finished || run.items.some((item) => item.answer === undefined)) return null;
      run.finished = now();
      if (run.kind !== 'full') return null;
      const missed = this.missedIn(run);
      const must = missed.filter((q) => q.must);
      const of = run.items.length, right = of - missed.length;
      const { lesson, edition, site, pass_mark, figures } = this.data;
      const sum = {
        finished: run.finished, right, of, passed: right >= this.needed(of) && !must.length,
        missed: missed.map((q) => q.id), must: must.map((q) => q.id), file: null, code: null, short: null,
      };
      if (this.crew !== '') {
        sum.file = withCheck({
          seatwork_result: 1, crew: this.crew, lesson, edition, site, units: run.units, pass_mark,
          started: run.started, finished: run.finished, tries: this.state.tries,
          answers: run.items.map((i) => ({ q: i.q, variant: i.variant, units: i.units, answer: i.answer, at: i.at })),
          score_shown: Math.round((100 * right) / of) / 100,
          ...(figures ? { figures } : {}), ...(this.sets ? { set: run.set } : {}), ...(spoken() ? { language: spoken() } : {}),
        });
        const asked = run.items.map((i) => this.byId.get(i.q));
        sum.code = slipCode(sum.file, asked);
        sum.short = shortCode(sum.file, asked, sum);
      }
      this.state.finished = this.state.finished.concat(sum).slice(-12);
      return sum;
    }

    // ---- furniture ----

    furnish() {
      this.classList.add('sq-on');
      this.who = el('p', { class: 'sq-who' });
      this.bar = el('div', { class: 'sq-bar' }, this.who, button(say('Change person'), 'sq-quiet', () => {
        tab.set(this.data.site, null);
        this.state = null;
        this.show('start');
      }));
      this.note = el('p', { class: 'sq-note', role: 'status', hidden: true });
      this.startPanel = el('section', { class: 'sq-start', 'aria-label': say('Start the quiz'), hidden: true });
      this.resultPanel = el('section', { class: 'sq-result', 'aria-label': say('Your result'), hidden: true });
      this.progress = el('p', { class: 'sq-progress' });
      this.back = button(say('Go back'), 'sq-back', () => this.go(-1));
      this.check = el('button', { type: 'submit', class: 'sq-button sq-main sq-check' }, say('Check my answer'));
      this.next = button(say('Next'), 'sq-next', () => this.go(1));
      this.final = el('p', { class: 'sq-final' }, say('Once checked, an answer cannot be changed in this try.'));
      this.tell = el('p', { class: 'sq-tell', role: 'status' });
      this.form.prepend(this.progress);
      this.form.append(el('div', { class: 'sq-nav' }, this.final, this.tell, this.back, this.check, this.next));
      this.form.setAttribute('novalidate', '');
      this.form.addEventListener('submit', (e) => { e.preventDefault(); this.answer(); });
      this.form.addEventListener('input', (e) => this.drafted(e));
      this.form.before(this.bar, this.note, this.startPanel);
      this.form.after(this.resultPanel);
      for (const q of this.questions) this.furnishQuestion(q);
    }

    furnishQuestion(q) {
      const id = 'sq-' + ++serial;
      q.legend = q.set.querySelector('legend');
      q.legend.tabIndex = -1;
      q.askBox = q.set.querySelector('.sq-ask');
      q.format = el('div', { class: 'sq-format', id: id + '-format', role: 'alert' });
      q.feedback = el('div', { class: 'sq-feedback', role: 'status', tabindex: '-1', hidden: true });
      const hint = { several: say('Pick all that are right.'), order: say('Put them in order with Up and Down, or drag the handle.'),
        number: q.kind === 'number' ? hintFor(q.variants[0].us.answer) : '', point: say('Tap the drawing or pick a letter.') }[q.kind];
      if (q.kind === 'number') {
        q.input = q.set.querySelector('input');
        q.input.maxLength = 40;
        const tolerance = q.set.querySelector('.sq-tolerance');
        if (tolerance) tolerance.id = id + '-tolerance';
        q.input.setAttribute('aria-describedby', [tolerance ? id + '-tolerance' : '', id + '-hint', id + '-format'].join(' ').trim());
      } else if (q.kind === 'order') {
        q.list = q.set.querySelector('.sq-order');
        q.rows = new Map(Array.from(q.list.children, (li) => [Number(li.dataset.item), this.orderRow(q, li)]));
      } else {
        q.list = q.set.querySelector('.sq-choices');
        q.rows = new Map(Array.from(q.list.children, (li) => {
          const input = li.querySelector('input');
          const index = q.kind === 'point' ? q.spots.indexOf(input.value) : Number(input.value);
          return [index, { li, input, text: li.querySelector('.sq-text') }];
        }));
        const drawing = q.kind === 'point' && q.set.querySelector('.sq-drawing');
        if (drawing) drawing.addEventListener('click', (e) => {
          const row = q.rows.get(q.spots.indexOf(this.spotAt(q, e)));
          if (!row || row.input.disabled) return;
          row.input.checked = true;
          row.input.dispatchEvent(new Event('input', { bubbles: true }));
        });
      }
      q.hint = el('p', { class: 'sq-hint', id: id + '-hint' }, hint || '');
      if (hint) (q.set.querySelector('.sq-drawing') || q.askBox).after(q.hint);
      q.set.append(q.format, q.feedback);
    }

    /** The spot that was tapped, or the nearest one within a gloved finger's width. */
    spotAt(q, e) {
      const on = e.target.closest('[data-spot]');
      if (on) return on.dataset.spot;
      const near = Array.from(q.set.querySelectorAll('[data-spot]'), (spot) => {
        const r = spot.getBoundingClientRect();
        return [Math.hypot(e.clientX - r.left - r.width / 2, e.clientY - r.top - r.height / 2), spot.dataset.spot];
      }).sort((a, b) => a[0] - b[0]);
      return near.length && near[0][0] <= 30 ? near[0][1] : '';
    }

    orderRow(q, li) {
      const text = li.querySelector('.sq-text') || el('span', { class: 'sq-text' });
      if (!text.parentNode) { text.append(...li.childNodes); li.append(text); }
      const move = (step) => (e) => {
        const items = Array.from(q.list.children);
        const to = items.indexOf(li) + step;
        if (to < 0 || to >= items.length || q.list.classList.contains('is-answered')) return;
        const pressed = e.currentTarget, before = pressed.getBoundingClientRect().top;
        q.list.insertBefore(li, step < 0 ? items[to] : items[to].nextSibling);
        pressed.focus({ preventScroll: true });
        // the list goes by under the thumb: pressed again, the same button moves the same item on
        window.scrollBy({ top: pressed.getBoundingClientRect().top - before, behavior: 'instant' });
        this.ordered(q, say('{item}: now place {place} of {all}.', { item: text.textContent.trim().replace(/[.!]$/, ''), place: to + 1, all: items.length }));
      };
      const up = button(say('Up'), 'sq-up', move(-1)), down = button(say('Down'), 'sq-down', move(1));
      const grip = el('span', { class: 'sq-grip', 'aria-hidden': 'true' });
      grip.addEventListener('pointerdown', (e) => {
        if (q.list.classList.contains('is-answered')) return;
        e.preventDefault();
        grip.setPointerCapture(e.pointerId);
        li.classList.add('is-dragged');
      });
      grip.addEventListener('pointermove', (e) => {
        if (!li.classList.contains('is-dragged')) return;
        const others = Array.from(q.list.children).filter((x) => x !== li);
        const after = others.find((x) => { const r = x.getBoundingClientRect(); return e.clientY < r.top + r.height / 2; }) || null;
        // moving a node in the tree lets go of the pointer, so only move it when its place changes
        if (after !== li.nextElementSibling) { q.list.insertBefore(li, after); grip.setPointerCapture(e.pointerId); }
      });
      const drop = () => {
        if (!li.classList.contains('is-dragged')) return;
        li.classList.remove('is-dragged');
        this.ordered(q, '');
      };
      grip.addEventListener('pointerup', drop);
      grip.addEventListener('pointercancel', drop);
      li.prepend(grip);
      li.append(el('span', { class: 'sq-moves' }, up, down));
      return { li, text, up, down };
    }

    ordered(q, words) {
      const item = this.itemOf(q);
      item.draft = Array.from(q.list.children, (li) => Number(li.dataset.item));
      this.orderEnds(q);
      this.tell.textContent = words;
      this.save();
    }

    /** Names the buttons; those at the ends stay focusable, so the keyboard does not lose its place. */
    orderEnds(q) {
      const items = Array.from(q.list.children);
      for (const { li, text, up, down } of q.rows.values()) {
        const at = items.indexOf(li), words = text.textContent.trim();
        up.setAttribute('aria-label', say('Up: {item}', { item: words }));
        down.setAttribute('aria-label', say('Down: {item}', { item: words }));
        up.setAttribute('aria-disabled', String(at === 0));
        down.setAttribute('aria-disabled', String(at === items.length - 1));
      }
    }

    itemOf(q) { return this.run().items.find((item) => item.q === q.id); }

    drafted(e) {
      const set = e.target.closest('fieldset.sq');
      const q = set && this.byId.get(set.dataset.q);
      const run = this.run();
      const item = q && run && this.itemOf(q);
      if (!item || item.answer !== undefined) return;
      item.draft = q.kind === 'number' ? q.input.value : this.picked(q);
      item.units = units();
      this.complain(q, null);
      if (q.kind === 'point') this.markSpots(q, item);
      this.save();
    }

    picked(q) { return sorted(Array.from(q.rows).filter(([, row]) => row.input.checked).map(([index]) => index)); }

    // ---- showing ----

    /** 'start', 'again', 'question' or 'result'. */
    show(view, focus = true) {
      this.dataset.view = view;
      this.startPanel.hidden = view !== 'start' && view !== 'again';
      this.resultPanel.hidden = view !== 'result';
      this.form.hidden = view !== 'question';
      this.bar.hidden = view === 'start' || this.drill;
      this.who.replaceChildren(...(this.crew ? sayIn('Crew id {id}', { id: el('b', {}, this.crew) }) : [say('Practising without an id')]));
      if (view === 'start') this.showStart();
      if (view === 'again') this.showAgain();
      if (view === 'question') this.showQuestion();
      if (view === 'result') this.showResult();
      this.notice();
      // the first showing leaves the reader where the page opened
      if (focus && this.shown) {
        const to = view === 'question' ? this.questionAt().legend : this.querySelector('.sq-' + (view === 'again' ? 'start' : view) + ' .sq-head');
        if (to) this.lead(to);
      }
      this.shown = true;
      this.send('sw-view', { view, feedback: false });
    }

    /** Puts the reader at `to`. A browser left alone brings it to the middle of the screen, under half a screen of the lesson. */
    lead(to) {
      const at = to.getBoundingClientRect().top;
      to.focus({ preventScroll: true });
      if (at < 0 || at > window.innerHeight / 3) to.scrollIntoView({ block: 'start' });
    }

    notice() {
      const lines = [];
      if (this.drill) { this.note.hidden = true; return; }
      if (this.stored === undefined ? !kept.works() : !this.stored) {
        lines.push(say('Your progress is not kept: this browser’s store is blocked or full. Finish in one go and do not close or reload the page.'));
      }
      if (this.changed && this.elsewhere) lines.push(say('You have an open try on this page in another language. Go back to that page to finish it: a try you begin here takes its place.'));
      else if (this.changed) lines.push(say('The questions have changed since you were here, so your open try could not be kept.'));
      this.note.hidden = lines.length === 0;
      if (this.note.textContent !== lines.join(' ')) this.note.textContent = lines.join(' ');
    }

    showStart() {
      const n = this.askedIn(0).length, pool = this.questions.length, crew = this.data.crew || [];
      const percent = Math.round(this.data.pass_mark * 100);
      const select = el('select', { class: 'sq-pick' }, el('option', { value: '' }, say('Pick…')), ...crew.map((id) => el('option', { value: id }, id)));
      const typed = el('input', { class: 'sq-type', type: 'text', maxlength: '40', autocomplete: 'off', autocapitalize: 'characters', spellcheck: 'false' });
      const told = el('p', { class: 'sq-told', role: 'status' });
      const go = el('button', { type: 'submit', class: 'sq-button sq-main' }, say('Start'));
      let warned = null;
      const chosen = () => {
        const text = typed.value.trim().replace(/\s+/g, ' ');
        return text === '' ? select.value : crew.find((id) => id.toLowerCase() === text.toLowerCase()) || text;
      };
      const look = () => {
        const id = chosen();
        const { run, finished } = id ? this.peek(id) : { run: null, finished: [] };
        const old = finished[finished.length - 1];
        go.textContent = run && run.finished ? say('Show my result') : run ? say('Go on') : say('Start');
        const answered = run ? run.items.filter((i) => i.answer !== undefined).length : 0;
        told.textContent = run && !run.finished ? say('{id} has a try under way: {answered} of {all} answered.', { id, answered, all: n })
          : old ? say('{id} finished on {time}: {right} of {of} right.', { id, time: minutes(old.finished), right: old.right, of: old.of }) : '';
        warned = null;
      };
      select.addEventListener('change', () => { typed.value = ''; look(); });
      typed.addEventListener('input', look);
      const ask = el('form', { class: 'sq-enter', novalidate: true },
        crew.length ? el('label', {}, el('span', {}, say('Pick your crew id')), select) : null,
        el('label', {}, el('span', {}, crew.length ? say('or type it') : say('Type your crew id')), typed), told,
        el('div', { class: 'sq-row' }, go, button(say('Practise without an id'), '', () => this.enter(''))));
      ask.addEventListener('submit', (e) => {
        e.preventDefault();
        const id = chosen();
        if (id === '') {
          told.textContent = say('Pick or type your crew id first, or practise without one.');
          (crew.length ? select : typed).focus();
        } else if (crew.length && !crew.includes(id) && warned !== id) {
          warned = id;
          told.textContent = say('{id} is not on this site’s crew list, so this result may not be counted. Check the id. If it is right, press the button again.', { id: quoted(id) });
        } else this.enter(id);
      });
      this.startPanel.replaceChildren(
        el('p', { class: 'sq-head', tabindex: '-1' }, (n < pool ? sayMany('{n} question, drawn from {pool}.', '{n} questions, drawn from {pool}.', n, { pool }) : sayMany('{n} question.', '{n} questions.', n)) + ' ' + say('To pass you need {needed} of {all} right ({percent} percent).', { needed: this.needed(n), all: n, percent })),
        this.questions.some((q) => q.must) ? el('p', {}, say('A question marked “Must be right” fails the quiz alone if you miss it.')) : '',
        el('p', {}, say('You get new figures on every try. Once you check an answer, it is final for that try.')), ask,
        el('p', { class: 'sq-small' }, say('Without an id you can practise, but there is no result to hand in.')));
      if (this.crew && tab.get(this.data.site) === this.crew) {
        if (crew.includes(this.crew)) select.value = this.crew;
        else typed.value = this.crew;
        look();
      }
    }

    /** What the last full try missed and the page can send back to, each place once; after a pass nothing. */
    toRead() {
      const last = this.state.finished[this.state.finished.length - 1];
      const places = last && !last.passed ? (last.missed || []).map((id) => (this.data.read_again || {})[id]).filter(Boolean) : [];
      return places.filter((to, i) => places.findIndex((x) => x.href === to.href) === i);
    }

    /** A new try. After a failed one it shows first what to read again. */
    startOrRead() {
      if (this.toRead().length) this.show('again');
      else this.start('full');
    }

    showAgain() {
      const link = (to) => el('a', { href: to.href }, to.text);
      this.startPanel.replaceChildren(
        el('p', { class: 'sq-head', tabindex: '-1' }, say('Read this again first')),
        el('p', {}, say('Your last try did not pass. These parts of the lesson have the answers you missed:')),
        el('ul', { class: 'sq-again' }, ...this.toRead().map((to) => el('li', {}, link(to)))),
        el('div', { class: 'sq-row' }, button(say('I have read it. Start'), 'sq-main sq-begin', () => this.start('full'))));
    }

    enter(crew) {
      tab.set(this.data.site, crew);
      this.open(crew);
      // practice has no owner: the next person starts afresh
      if (crew === '') this.start('full');
      else if (!this.run()) this.startOrRead();
      else this.show(this.run().finished ? 'result' : 'question');
    }

    questionAt() { const run = this.run(); return this.byId.get(run.items[run.at].q); }

    go(step) {
      const run = this.run(), to = run.at + step;
      if (to < 0) return;
      if (to < run.items.length) {
        run.at = to;
        this.save();
        this.show('question');
      } else if (run.finished) this.show('result');
      else {
        const open = run.items.filter((i) => i.answer === undefined).map((i) => this.numberOf(this.byId.get(i.q)));
        run.at = run.items.findIndex((i) => i.answer === undefined);
        this.save();
        this.show('question');
        this.tell.textContent = sayMany('Question {which} is still open. Your result comes when all are answered.', 'Questions {which} are still open. Your result comes when all are answered.', open.length, { which: listed(open) });
      }
    }

    showQuestion() {
      const run = this.run(), here = run.items[run.at], n = run.items.length;
      for (const q of this.questions) {
        const item = this.itemOf(q);
        q.set.hidden = item !== here;
        if (!item) continue;
        q.legend.firstChild.textContent = say('Question {n}', { n: this.numberOf(q) });
        this.paint(q, item);
      }
      const done = run.items.filter((i) => i.answer !== undefined).length;
      this.progress.replaceChildren(...sayIn('{place}, {done} answered', { place: el('b', {}, say('{n} of {all}', { n: run.at + 1, all: n })), done }),
        run.kind === 'retry' ? '. ' + say('Practice on the missed questions: it does not change your result.') : '');
      const answered = here.answer !== undefined;
      this.back.disabled = run.at === 0;
      this.check.hidden = this.final.hidden = answered;
      this.next.textContent = run.at < n - 1 ? say('Next') : run.finished && !this.drill ? say('See my result') : say('Finish');
      this.next.classList.toggle('sq-main', answered);
      this.tell.textContent = '';
    }

    /** Puts an item's figures, draft or answer, and feedback into its fieldset. */
    paint(q, item) {
      const s = this.systemOf(item), v = this.variantOf(item), answered = item.answer !== undefined;
      const look = [item.variant, s, answered, this.run().kind, this.run().started, this.crew].join('|');
      if (q.look === look) return;
      q.look = look;
      q.set.dataset.units = s;
      q.set.dataset.variant = String(item.variant);
      q.set.classList.toggle('is-answered', answered);
      q.askBox.innerHTML = fill(this.faceOf(q, v).ask[s], v.f || []);
      this.complain(q, null);
      // a figure typed for the other system's figures would be wrong for these
      const given = answered ? item.answer : q.kind === 'number' && item.units !== s ? '' : item.draft;
      if (q.kind === 'number') {
        q.input.value = given || '';
        q.input.readOnly = answered;
        q.hint.textContent = hintFor(v.answer);
      } else {
        const order = q.kind === 'order' && Array.isArray(given) ? given : q.kind === 'point' ? [] : v.order || [];
        for (const index of order) if (q.rows.has(index)) q.list.append(q.rows.get(index).li);
        for (const [index, row] of q.rows) {
          row.li.hidden = this.spare(q, v, index);
          if (q.kind !== 'point') row.text.innerHTML = this.nameOf(q, index, s, v);
          if (row.input) { row.input.checked = Array.isArray(given) && given.includes(index) && !row.li.hidden; row.input.disabled = answered; }
          const tag = row.li.querySelector('.sq-tag');
          if (tag) tag.remove();
        }
        q.list.classList.toggle('is-answered', answered);
        if (q.kind === 'order') this.orderEnds(q);
        if (q.kind === 'point') this.markSpots(q, item);
      }
      q.feedback.hidden = !answered;
      q.feedback.replaceChildren(...(answered ? this.feedback(q, item, s, v) : []));
    }

    /** A choice or item as it stands there; a picture goes by the letter of the place it was first shown in. */
    nameOf(q, index, s, v) {
      const text = fill(q.texts[s][index], v.f || []);
      if (!q.pictures || !q.pictures[index]) return text;
      return '<b>' + sayHtml('Picture {letter}', { letter: letter((v.order || []).indexOf(index)) }) + '</b>' + (text ? ' ' + text : '');
    }

    markSpots(q, item) {
      const answered = item.answer !== undefined, given = (answered ? item.answer : item.draft) || [];
      const right = this.rightOf(q, this.variantOf(item));
      for (const spot of q.set.querySelectorAll('[data-spot]')) {
        const index = q.spots.indexOf(spot.dataset.spot);
        spot.classList.toggle('is-picked', given.includes(index));
        spot.classList.toggle('is-right', answered && right.includes(index));
      }
    }

    feedback(q, item, s, v) {
      const { right, mistake } = this.grade(item);
      const f = v.f || [], out = [], texts = (q.texts && q.texts[s]) || [], face = this.faceOf(q, v), rights = this.rightOf(q, v);
      const text = (i) => (q.kind === 'point' ? q.rows.get(i).text.textContent : this.nameOf(q, i, s, v));
      q.feedback.dataset.result = right ? 'right' : 'wrong';
      out.push(el('p', { class: 'sq-verdict' }, mark(right), el('b', {}, right ? say('Right.') : say('Not right.')), q.kind === 'number' ? ' ' + say('You wrote {answer}.', { answer: quoted(item.answer) }) : ''));
      if (!right && q.must) out.push(el('p', { class: 'sq-must-missed' }, this.run().kind === 'full' ? say('This question must be right, so this try does not pass.') : say('This question must be right.')));
      if (mistake) out.push(built('p', 'sq-says', fill(mistake, f)));
      if (q.kind === 'several' && !right) {
        const lines = [];
        for (const [i] of Array.from(q.rows)) {
          const picked = item.answer.includes(i), good = rights.includes(i);
          if (picked && !good) lines.push('<li>' + sayHtml('You picked “{choice}”.', { choice: bare(text(i)) }) + ' ' + fill(((face.says || {})[s] || [])[i], f) + '</li>');
          if (!picked && good) lines.push('<li>' + sayHtml('You left out “{choice}”.', { choice: bare(text(i)) }) + '</li>');
        }
        out.push(built('ul', 'sq-says', lines.join('')));
      }
      if (q.kind === 'number') out.push(el('p', { class: 'sq-right' }, ...sayIn('The worked answer: {answer}.', { answer: built('b', '', v.answer.shown) })));
      else if (q.kind === 'order') {
        if (!right) {
          out.push(el('p', { class: 'sq-right' }, say('The right order:')), built('ol', 'sq-right', texts.map((_, i) => '<li>' + text(i) + '</li>').join('')));
          for (const group of q.free || []) out.push(el('p', {}, group.length > 2 ? say('Places {places} may stand in any order.', { places: listed(group.map((i) => i + 1)) })
            : say('Places {places} may also be the other way round.', { places: listed(group.map((i) => i + 1)) })));
        }
        item.answer.forEach((i, place) => this.tag(q, i, this.fits(q, i, place) ? say('right place') : say('belongs in place {places}', { places: this.placesOf(q, i) })));
      } else {
        if (!right && q.kind !== 'several') out.push(built('p', 'sq-right', sayHtml('The right answer: {answer}', { answer: '<b>' + text(rights[0]) + '</b>' })));
        for (const i of q.rows.keys()) {
          const words = [item.answer.includes(i) ? say('your answer') : '', rights.includes(i) ? say('right') : ''].filter(Boolean);
          if (words.length) this.tag(q, i, words.join(', '));
        }
      }
      const working = q.workings && q.workings[s] && q.workings[s][v.w];
      if (working) out.push(el('div', { class: 'sq-working' }, el('p', {}, el('b', {}, q.kind === 'number' || /<math/.test(working) ? say('The working') : say('Why'))), built('div', '', fill(working, v.wf || f))));
      return out;
    }

    tag(q, index, words) { q.rows.get(index).li.append(el('span', { class: 'sq-tag' }, words)); }

    /** After a switch of units: open questions follow it, answered ones keep theirs. */
    refresh() {
      if (this.dataset.view === 'question') this.showQuestion();
    }

    // ---- answering ----

    /** Says what is wrong with the form of an answer; null takes it back. */
    complain(q, said) {
      q.format.replaceChildren();
      if (q.input) q.input.setAttribute('aria-invalid', String(Boolean(said)));
      if (!said) return;
      if (said.problem) q.format.append(el('p', {}, said.problem));
      if (said.either) {
        q.format.append(el('p', {}, say('That can be read two ways. Which do you mean?')), el('div', { class: 'sq-row' }, ...said.either.map((text) => button(text, '', () => {
          q.input.value = text;
          q.input.dispatchEvent(new Event('input', { bubbles: true }));
          q.input.focus();
        }))));
      }
    }

    /** Whether a figure is one hardly anybody means: below zero, or far off all that the question can have as its answer. */
    odd(q, answer, got) {
      const [low, high] = answer.accept[got.unit];
      if (within([low, high], got.figure)) return false;
      if (got.figure < 0 && low >= 0) return true;
      const greatest = Math.max(...q.variants.flatMap((v) => ['us', 'metric'].map((s) => (v[s].answer.accept[got.unit] || [0, 0])[1])));
      const size = Math.abs((low + high) / 2), figure = Math.abs(got.figure);
      return figure > 10 * Math.abs(greatest) || figure > 1000 * size || figure * 1000 < size;
    }

    answer() {
      const run = this.run();
      if (!run || this.dataset.view !== 'question') return;
      const item = run.items[run.at], q = this.byId.get(item.q);
      if (item.answer !== undefined) return;
      let given;
      if (q.kind === 'number') {
        given = inKeys(q.input.value);
        const { answer } = this.variantOf(item);
        let got = figureFor(given, answer);
        // what is counted is asked for as a whole number, and 5.4 says neither 5 nor 6
        const [low, high] = answer.accept[answer.unit];
        if (got.figure !== undefined && low === high && !Number.isInteger(got.figure)) got = { problem: say('This answer is a whole number. Write {answer} as one.', { answer: quoted(given.trim()) }) };
        if (got.figure === undefined) { this.complain(q, got); q.input.focus(); return; }
        if (this.odd(q, answer, got) && item.sure !== given) {
          item.sure = given;
          this.save();
          this.complain(q, { problem: say('Are you sure? You wrote {answer}. Mend it, or press the button again to let it count.', { answer: quoted(given.trim()) }) });
          q.input.focus();
          return;
        }
      } else if (q.kind === 'order') given = Array.from(q.list.children, (li) => Number(li.dataset.item));
      else {
        given = this.picked(q);
        if (!given.length) { this.complain(q, { problem: say('Pick an answer first.') }); return; }
      }
      item.units = units();
      item.answer = given;
      item.at = now();
      delete item.draft;
      delete item.sure;
      const sum = this.finish(run);
      this.save();
      this.showQuestion();
      q.feedback.focus();
      this.send('sw-view', { view: 'question', feedback: true });
      const { lesson } = this.data;
      this.send('sw-answer', { lesson, crew: this.crew, q: q.id, variant: item.variant, units: item.units, answer: given, right: this.grade(item).right, practice: run.kind !== 'full' });
      if (sum) this.send('sw-result', { lesson, crew: this.crew, right: sum.right, of: sum.of, passed: sum.passed, missed: sum.missed, mustMissed: sum.must, file: sum.file });
    }

    send(name, detail) { this.dispatchEvent(new CustomEvent(name, { bubbles: true, detail })); }

    // ---- result ----

    showResult() {
      const run = this.run();
      const sum = this.resultOf(this.state);
      const out = [];
      const missed = this.missedIn(run);
      const title = (q) => say('Question {n}', { n: this.numberOf(q) });
      if (run.kind === 'drill') {
        const of = run.items.length;
        out.push(el('p', { class: 'sq-head', tabindex: '-1' }, say('{right} of {of} right.', { right: of - missed.length, of })),
          el('p', {}, missed.length ? say('What you missed comes again tomorrow. The rest comes later.') : say('They come again later.')));
      } else if (run.kind === 'retry') {
        const of = run.items.length;
        out.push(el('p', { class: 'sq-head', tabindex: '-1' }, say('Practice: {right} of {of} right now.', { right: of - missed.length, of })),
          el('p', {}, sum.passed ? say('The result to hand in stays that of the full try: {right} of {of}, passed.', { right: sum.right, of: sum.of })
            : say('The result to hand in stays that of the full try: {right} of {of}, not passed.', { right: sum.right, of: sum.of })));
      } else {
        out.push(el('p', { class: 'sq-head', tabindex: '-1', 'data-passed': String(sum.passed) }, mark(sum.passed), el('b', {}, sum.passed ? say('Passed.') : say('Not passed.')),
          ' ' + say('{right} of {of} right ({percent} percent). You need {needed} of {of}.', { right: sum.right, of: sum.of, percent: Math.round((100 * sum.right) / sum.of), needed: this.needed(sum.of) })));
        const must = missed.filter((q) => q.must).map((q) => this.numberOf(q));
        if (must.length) {
          out.push(el('p', { class: 'sq-must-missed' }, sayMany('Question {which} must be right and was missed. That alone fails the quiz.', 'Questions {which} must be right and were missed. That alone fails the quiz.', must.length, { which: listed(must) })));
        }
      }
      if (missed.length) {
        out.push(el('p', {}, el('b', {}, say('Read again'))), el('ul', { class: 'sq-again' }, ...missed.map((q) => {
          const to = (this.data.read_again || {})[q.id];
          return el('li', {}, title(q) + (to ? ': ' : ''), to ? el('a', { href: to.href }, to.text) : '');
        })));
      }
      const row = el('div', { class: 'sq-row' });
      if (run.kind === 'drill') {
        row.append(button(say('Look at my answers'), 'sq-look', () => { run.at = 0; this.show('question'); }), button(say('More practice'), 'sq-main sq-more', () => this.send('sw-more', {})));
        this.resultPanel.replaceChildren(...out, row);
        return;
      }
      if (missed.length) row.append(button(say('Practise the missed ones'), 'sq-main sq-retry', () => this.start('retry', missed)));
      row.append(button(say('Look at my answers'), 'sq-look', () => { run.at = 0; this.save(); this.show('question'); }));
      if (run.kind === 'retry') row.append(button(say('Back to my result'), 'sq-full', () => { this.state.retry = null; this.save(); this.show('result'); }));
      row.append(button(say('Start again with new figures'), 'sq-restart', () => this.startOrRead()));
      if (run.kind === 'full') {
        if (sum.file) out.push(this.handIn(sum));
        else out.push(el('p', { class: 'sq-hand' }, say('You practised without a crew id, so there is no result to hand in.')));
      }
      // what comes next in the reader's role: progress.js knows
      if (run.kind === 'full' && sum.passed && window.seatworkNext) out.push(window.seatworkNext(this.data.lesson));
      out.push(row);
      const older = this.state.finished.filter((f) => f !== sum && f.file);
      if (older.length) {
        out.push(el('details', { class: 'sq-older' }, el('summary', {}, say('Earlier results')), ...older.reverse().map((f) => el('div', {},
          el('p', {}, f.passed ? say('{time}: {right} of {of}, passed', { time: minutes(f.finished), right: f.right, of: f.of })
            : say('{time}: {right} of {of}, not passed', { time: minutes(f.finished), right: f.right, of: f.of })),
          window.seatworkHandIn ? window.seatworkHandIn.box(window.seatworkHandIn.result(f.file), 'sq') : '', this.handButtons(f)))));
      }
      this.resultPanel.replaceChildren(...out);
    }

    handIn(sum) {
      const box = window.seatworkHandIn ? window.seatworkHandIn.box(window.seatworkHandIn.result(sum.file), 'sq') : '';
      return el('div', { class: 'sq-hand' },
        el('p', { class: 'hi-ask' }, el('b', {}, say('Hand it in.') + ' '), box ? say('One tap sends it to your training coordinator.')
          : say('Save the file and send it to your training coordinator. No way to send a file? Show the slip. Copy its short code, or let someone photograph it.')),
        box, box ? el('p', { class: 'sq-small hi-ask' }, say('Other ways: send the file yourself, or show the slip.')) : '', this.handButtons(sum),
        sum.short ? el('p', { class: 'sq-small' }, ...sayIn('Short code: {code}', { code: el('code', { class: 'sq-code' }, sum.short) })) : '',
        el('details', {}, el('summary', {}, say('No file saved? Copy this text instead')), el('pre', { tabindex: '0' }, JSON.stringify(sum.file))));
    }

    handButtons(sum) {
      return el('div', { class: 'sq-row' }, window.seatworkHandIn ? window.seatworkHandIn.share(window.seatworkHandIn.result(sum.file), 'sq') : '',
        button(say('Save my result'), 'sq-save', () => saveFile(resultName(sum.file), fileText(sum.file))),
        sum.code || sum.short ? button(say('Show the slip'), 'sq-show', () => showSlip(this, sum, this.data.title || sum.file.lesson)) : null);
    }
  }

  Object.assign(SeatworkQuiz, { readNumber, figureFor, unitKey, canonical, fnv1a, slipCode, shortCode, UNITS: UNITS.map((row) => row[0]) });
  if (!customElements.get('seatwork-quiz')) customElements.define('seatwork-quiz', SeatworkQuiz);
})();
