/* Mixed practice: ten questions over all lessons passed on this device, those missed sooner again.
 *
 * <seatwork-practice data-site data-edition> holds a <script type="application/json">: {lessons: [{id,
 * title, questions: [ids]}]}. The questions themselves stand in practice/LESSON.js beside the page;
 * each is loaded when it is needed and calls seatworkPractice(LESSON, PACKED): {questions, read_again, form}
 * as JSON, deflated and in base64.
 * A round is played by <seatwork-quiz data-practice> (quiz.js).
 *
 * Which lessons are passed the quizzes have kept, of any edition: "seatwork-quiz|SITE|EDITION|LESSON|CREW".
 * What is practised is kept as "seatwork-practice|SITE|CREW": {v: 1, cards: {"LESSON/QUESTION": [box,
 * due]}}, due in days since 1970. A question starts in box 1. A right answer moves it up one box, a wrong
 * one back to box 1, and it comes again after so many days as DAYS has for its box. Nothing is sent.
 * Classic script: it must run from file://.
 */
(function () {
  'use strict';

  const { say, sayIn, sayMany } = window.seatworkSay;
  const DAYS = [1, 3, 7, 21];  // by box
  const ROUND = 10;
  const here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : '';
  const root = here.replace(/assets\/[^/]*$/, '');
  const loaded = new Map();
  const arrived = new Map();

  window.seatworkPractice = (lesson, packed) => { arrived.set(lesson, packed); };

  async function unpacked(text) {
    const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
    return JSON.parse(await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'))).text());
  }

  /** Loads a lesson's questions; the promise is kept, and fails, once for each try. */
  function load(lesson) {
    if (loaded.has(lesson)) return Promise.resolve();
    return new Promise((resolve, reject) => {
      const script = document.createElement('script');
      script.src = root + 'practice/' + encodeURIComponent(lesson) + '.js';
      script.addEventListener('error', () => { script.remove(); reject(new Error(lesson)); });
      script.addEventListener('load', () => {
        if (!arrived.has(lesson)) { reject(new Error(lesson)); return; }
        unpacked(arrived.get(lesson)).then((data) => { loaded.set(lesson, data); resolve(); }, reject);
      });
      document.head.append(script);
    });
  }

  const today = () => Math.floor((Date.now() - new Date().getTimezoneOffset() * 60000) / 86400000);

  function stored(store, key) {
    try { return window[store].getItem(key); } catch (e) { return null; }
  }

  function keys() {
    try { return Object.keys(window.localStorage); } catch (e) { return []; }
  }

  /** {crew, passed}: who practises, and which lessons they have passed; '' where that cannot be told. */
  function progress(site) {
    const head = ['seatwork-quiz', site].map(encodeURIComponent).join('|') + '|';
    const tries = keys().filter((key) => key.startsWith(head)).map((key) => {
      const [, lesson, crew] = key.slice(head.length).split('|').map(decodeURIComponent);
      return { key, lesson, crew };
    }).filter((one) => one.crew);
    const people = Array.from(new Set(tries.map((one) => one.crew)));
    const crew = stored('sessionStorage', 'seatwork-quiz-crew|' + site) || (people.length === 1 ? people[0] : '');
    const passed = new Set();
    for (const one of tries) {
      if (crew && one.crew !== crew) continue;
      try {
        if (JSON.parse(stored('localStorage', one.key)).finished.some((f) => f.passed === true)) passed.add(one.lesson);
      } catch (e) { /* nothing that could be read */ }
    }
    return { crew, passed };
  }

  const keyOf = (site, crew) => ['seatwork-practice', site, crew].map(encodeURIComponent).join('|');

  /** The cards that can be read: a map from "LESSON/QUESTION" to {box, due}. */
  function cardsOf(site, crew) {
    const cards = new Map();
    try {
      const found = JSON.parse(stored('localStorage', keyOf(site, crew)));
      if (found.v !== 1) return cards;
      for (const [id, card] of Object.entries(found.cards)) {
        const [box, due] = Array.isArray(card) ? card : [];
        if (Number.isInteger(box) && box >= 1 && box <= DAYS.length && Number.isInteger(due)) cards.set(id, { box, due });
      }
    } catch (e) { /* none yet */ }
    return cards;
  }

  function keep(site, crew, cards) {
    const text = JSON.stringify({ v: 1, cards: Object.fromEntries(Array.from(cards, ([id, c]) => [id, [c.box, c.due]])) });
    try {
      window.localStorage.setItem(keyOf(site, crew), text);
      return !window.seatworkForgets;
    } catch (e) { return false; }
  }

  /** The card after an answer on a day. */
  function moved(card, right, day) {
    const box = right ? Math.min((card ? card.box : 1) + 1, DAYS.length) : 1;
    return { box, due: day + DAYS[box - 1] };
  }

  function shuffled(list, chance) {
    const out = list.slice();
    for (let i = out.length - 1; i > 0; i--) {
      const j = Math.floor(chance() * (i + 1));
      [out[i], out[j]] = [out[j], out[i]];
    }
    return out;
  }

  /**
   * The ids of a round: what is due, the lowest box first, then what was never asked, lesson by lesson
   * in turn, then what is due soonest.
   */
  function pick(lessons, cards, day, chance = Math.random) {
    const all = lessons.flatMap((lesson) => shuffled(lesson.questions, chance).map((q, turn) => {
      const id = lesson.id + '/' + q, card = cards.get(id);
      const rank = !card ? 1 : card.due <= day ? 0 : 2;
      return { id, rank, then: rank === 0 ? card.box : rank === 1 ? turn : card.due };
    }));
    const sorted = shuffled(all, chance).sort((a, b) => a.rank - b.rank || a.then - b.then);
    return shuffled(sorted.slice(0, ROUND).map((one) => one.id), chance);
  }

  function el(tag, given, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(given || {})) made.setAttribute(name, value);
    made.append(...inside);
    return made;
  }

  class SeatworkPractice extends HTMLElement {
    connectedCallback() {
      if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', () => this.begin(), { once: true });
      else this.begin();
    }

    begin() {
      if (this.lessons || !this.isConnected) return;
      try {
        this.lessons = JSON.parse(this.querySelector('script[type="application/json"]').textContent).lessons;
      } catch (e) { return; }
      this.panel = el('div', { class: 'sw-practice' });
      this.append(this.panel);
      this.addEventListener('sw-answer', (e) => this.answered(/** @type {CustomEvent} */ (e).detail));
      this.addEventListener('sw-more', () => this.look());
      this.look();
    }

    /** What there is to practise, and the button that starts. */
    look() {
      const site = this.dataset.site;
      const { crew, passed } = progress(site);
      this.crew = crew;
      this.cards = cardsOf(site, crew);
      const mine = this.lessons.filter((lesson) => passed.has(lesson.id));
      if (!mine.length) {
        const link = el('a', { href: 'operator.html' }, say('New operator'));
        this.panel.replaceChildren(el('p', {}, ...sayIn('No lesson has been passed on this device yet. Pass the quiz of a lesson first; its questions then come up here. Your lessons are on the page {page}.', { page: link })));
        return;
      }
      const day = today();
      const ids = mine.flatMap((lesson) => lesson.questions.map((q) => lesson.id + '/' + q));
      const due = ids.filter((id) => this.cards.has(id) && this.cards.get(id).due <= day).length;
      const fresh = ids.filter((id) => !this.cards.has(id)).length;
      const go = el('button', { type: 'button', class: 'sq-button sq-main' }, say('Start'));
      go.addEventListener('click', () => this.round(mine));
      this.panel.replaceChildren(
        el('p', {}, (crew ? sayMany('{who}, you have passed {n} lesson on this device.', '{who}, you have passed {n} lessons on this device.', mine.length, { who: crew })
          : sayMany('You have passed {n} lesson on this device.', 'You have passed {n} lessons on this device.', mine.length)) + ' ' +
          say('{due} of their questions are due again today, {fresh} have not come up here yet.', { due, fresh })),
        el('p', {}, go));
    }

    round(mine) {
      const ids = pick(mine, this.cards, today());
      const wanted = Array.from(new Set(ids.map((id) => id.split('/')[0])));
      this.panel.replaceChildren(el('p', { role: 'status' }, say('The questions are being fetched.')));
      Promise.all(wanted.map(load)).then(() => this.play(ids), () => {
        this.panel.replaceChildren(el('p', { role: 'alert' }, say('Some questions could not be fetched. Try again where there is a signal.')));
        const again = el('button', { type: 'button', class: 'sq-button sq-main' }, say('Try again'));
        again.addEventListener('click', () => this.round(mine));
        this.panel.append(el('p', {}, again));
      });
    }

    play(ids) {
      const questions = [], form = el('form', {}), read_again = {};
      for (const id of ids) {
        const data = loaded.get(id.split('/')[0]);
        const q = data.questions.find((one) => one.id === id);
        if (!q) continue;  // the page is older than the questions
        const holder = document.createElement('template');
        holder.innerHTML = data.form[id];
        form.append(holder.content);
        questions.push(q);
        if (data.read_again[id]) read_again[id] = data.read_again[id];
      }
      if (!questions.length) return;
      const { site, edition } = this.dataset;
      const quiz = el('seatwork-quiz', { 'data-practice': '', 'data-lesson': 'practice', 'data-edition': edition, 'data-site': site }, form,
        el('script', { type: 'application/json' }, JSON.stringify({
          lesson: 'practice', title: say('Mixed practice'), edition, site, pass_mark: 1, crew: [], read_again, questions,
        })));
      this.panel.replaceChildren(quiz);
    }

    answered(detail) {
      // another page may have practised since
      const site = this.dataset.site, cards = cardsOf(site, this.crew);
      const before = cards.get(detail.q) || this.cards.get(detail.q);
      const after = moved(before, detail.right, today());
      for (const all of [cards, this.cards]) all.set(detail.q, after);
      this.unkept = !keep(site, this.crew, cards);
    }
  }

  Object.assign(SeatworkPractice, { DAYS, ROUND, pick, moved });
  if (!customElements.get('seatwork-practice')) customElements.define('seatwork-practice', SeatworkPractice);
})();
