/*
 * Reads a lesson and its quiz aloud with the browser's own voices, sentence by sentence.
 *
 * MARKUP  [data-say]          is read as these words, which the build made from the figure's value and unit
 *         b.sq-figure[data-f] a figure of the quiz: its words are in practice/LESSON-say.js, loaded when somebody listens;
 *                             that script calls seatworkSaid(LESSON, [words, {question: [variant: [us, metric: [place]]]}])
 * A table, a drawing and a working are told by a few words and not read: a voice makes noise of symbols.
 * Nothing here turns a printed figure into words: where the build has none for it, it is not read. generator/publish/reading.py reads a page in the same way for recordings.
 *
 * A browser cuts long texts off, so each sentence is spoken by itself; pausing ends the sentence and going on begins it
 * again. Voices may come late (voiceschanged); without one for the page's language there is no button, and a recording
 * takes its place where the build made one (assets/recorded.js). Classic script: it must run from file://.
 */
(function () {
  'use strict';

  if (!window.seatworkSay) return;
  const { say } = window.seatworkSay;

  // a lesson without words in the page's language is read in its own
  const spoken = /** @type {HTMLElement | null} */ (document.querySelector('.sw-spoken')) || document.documentElement;
  const language = (spoken.lang || 'en').slice(0, 2).toLowerCase();
  // The languages in which the build makes words of figures, and which of their voices come first. In any other one its voices are
  // taken as they come, and a figure is not read: a voice would make noise of it.
  const VOICES = { en: ['en-us', 'en'], es: ['es-mx', 'es-us', 'es-419', 'es'] };
  const counted = language in VOICES;
  const first = counted ? VOICES[language] : [language];

  const words = {
    // as in generator/publish/reading.py
    table: say('There is a table here.'), drawing: say('There is a picture here.'), working: say('The working stands on the page.'), figure: say('the figure on the page'),
    listen: say('Listen'), region: say('Read aloud'), pause: say('Pause'), goOn: say('Go on'), back: say('Go back'), next: say('Forward'), stop: say('Stop now'),
    speed: say('Speed'), slow: say('Slow'), usual: say('Usual'), fast: say('Fast'), silent: say('The voice of this device does not answer.'),
    recordedIn: {
      us: say('The recording tells the numbers in feet and pounds, for the machine this page was made for.'),
      metric: say('The recording tells the numbers in meters and kilograms, for the machine this page was made for.'),
    },
    recording: say('Listen to a recording'), size: (megabytes) => say('{size} MB', { size: megabytes }),
    quiz: say('Read the questions to me'), again: say('Say it again'), hush: say('Stop reading'),
    unreached: say('The spoken figures could not be fetched. Try again where there is a signal.'),
    answers: [
      say('First answer.'), say('Second answer.'), say('Third answer.'), say('Fourth answer.'),
      say('Fifth answer.'), say('Sixth answer.'), say('Seventh answer.'), say('Eighth answer.'),
    ],
    items: [
      say('First in the list.'), say('Second in the list.'), say('Third in the list.'), say('Fourth in the list.'),
      say('Fifth in the list.'), say('Sixth in the list.'), say('Seventh in the list.'), say('Eighth in the list.'),
    ],
    check: say('Then press: Check my answer.'), onward: say('To go on, press Next.'), picked: say('You picked:'), number: say('Type a number.'),
    inUnit: (unit) => say('Write it in {unit}.', { unit }),
  };

  const here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : '';
  const root = here.replace(/assets\/[^/]*$/, '');
  const synth = window.speechSynthesis;
  const calm = window.matchMedia('(prefers-reduced-motion: reduce)');

  function el(tag, given, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(given || {})) {
      if (name === 'on') made.addEventListener('click', value);
      else if (value !== false && value !== null) made.setAttribute(name, value === true ? '' : value);
    }
    made.append(...inside);
    return made;
  }
  const button = (text, cls, on) => el('button', { type: 'button', class: cls, on }, text);

  // ---- what is read ----

  const SKIPPED = 'script, style, template, select, input, textarea, noscript, math, svg, seatwork-quiz, seatwork-practice, [data-search-exclude]:not(.sw-scroll):not(table), .headerlink, .sw-note, .sw-strip, .sw-saying, .sw-steps-bar, .sw-pick, .sw-to-wall, .sw-panel, .sw-panel-box, .sw-aloud, .sw-next, [aria-hidden="true"]';
  const BLOCKS = /^(P|LI|UL|OL|DL|DT|DD|H[1-6]|DIV|SECTION|FIGURE|FIGCAPTION|BLOCKQUOTE|FIELDSET|LEGEND|LABEL|DETAILS|ARTICLE)$/;
  const LONGEST = 220;  // characters that a browser says without cutting off

  /** Words and figures as a voice can say them: citations by letters and digits, and no symbols. */
  function speakable(text) {
    return text
      .replace(/\b(\d+) (CFR|CCR) (\d+)(?:\.(\d+))?((?:\([A-Za-z0-9]+\))*)/g, (all, title, code, part, section, more) => [title, code, part, section || '', ...(more.match(/[A-Za-z0-9]+/g) || [])]
        .filter(Boolean).map((x) => x.split('').join(' ')).join(', '))
      .replace(/\b911\b/g, '9 1 1')
      .replace(/[×÷=→←°²³√±·•§|*_~^<>#+/]+/g, ' ')
      .replace(/\s+([.,;:!?])/g, '$1').replace(/,(?=[.,;:!?])/g, '')  // a caution behind a figure ends with a comma, which the sentence may not need
      .replace(/\s+/g, ' ').trim();
  }

  /** A title that a voice can say; '' of one with figures or symbols in it. */
  const plain = (text) => (/[\d%°×÷=]/.test(text) ? '' : text.trim());

  /**
   * The sentences of a part of the page, in order: {text, ranges, block}. What is hidden, as the other unit system is, is left out.
   */
  function sentences(from) {
    const out = [];
    let run = [];  // {text, node, start, end, whole}: of one block

    const flush = (block) => {
      out.push(...cut(run, block));
      run = [];
    };
    const single = (node, text) => {
      const range = document.createRange();
      range.selectNodeContents(node);
      out.push({ text, ranges: [range], block: node });
    };

    const walk = (node, block) => {
      if (node.nodeType === Node.TEXT_NODE) {
        if (node.data) run.push({ text: node.data, node });
        return;
      }
      if (node.nodeType !== Node.ELEMENT_NODE) return;
      if (window.getComputedStyle(node).display === 'none') return;
      if (node.matches('svg[role="img"]')) {
        flush(block);
        const title = plain((node.querySelector('title') || node).textContent);
        single(node, words.drawing + (title ? ' ' + ended(title) : ''));
        return;
      }
      if (node.matches(SKIPPED)) return;
      if (node.dataset.say) {
        run.push({ text: node.dataset.say, node, whole: true });
        return;
      }
      if (!counted && node.matches('.sw-num, .sq-figure') && /\d/.test(node.textContent)) {
        run.push({ text: words.figure, node, whole: true });
        return;
      }
      if (node.matches('table, .sw-scroll')) {
        flush(block);
        const caption = node.querySelector('caption');
        single(node, words.table + (caption && plain(caption.textContent) ? ' ' + ended(plain(caption.textContent)) : ''));
        return;
      }
      if (node.matches('details')) {
        flush(block);
        single(node.querySelector('summary') || node, words.working);
        return;
      }
      const its = BLOCKS.test(node.tagName);
      if (its) flush(block);
      if (node.tagName === 'BR') run.push({ text: ' ', node, whole: true });
      for (const child of node.childNodes) walk(child, its ? node : block);
      if (its) flush(node);
    };
    walk(from, from);
    flush(from);
    return out;
  }

  const ended = (text) => (/[.!?:]$/.test(text) ? text : text + '.');

  /** A block's text cut into sentences, and a long one at its commas. */
  function cut(run, block) {
    const text = run.map((part) => (part.whole ? part.text : part.text.replace(/\s/g, ' '))).join('');
    if (!/[\p{L}\d]/u.test(text)) return [];
    const held = [];  // where words of a figure stand: nothing is cut within
    let at = 0;
    for (const part of run) {
      part.from = at;
      at += part.text.length;
      part.to = at;
      if (part.whole) held.push([part.from, part.to]);
    }
    const inside = (i) => held.some(([a, b]) => i > a && i < b);
    const ends = [];
    for (const m of text.matchAll(/[.!?…]+["”’')\]]*(?=\s|$)/g)) if (!inside(m.index) && !/(^|\s)\p{Lu}\.$/u.test(text.slice(0, m.index + 1))) ends.push(m.index + m[0].length);
    if (ends[ends.length - 1] !== text.length) ends.push(text.length);
    const pieces = [];
    let start = 0;
    for (const end of ends) {
      while (end - start > LONGEST) {
        let to = -1;
        for (const m of text.slice(start, start + LONGEST).matchAll(/[,;:](?=\s)/g)) if (m.index > 40 && !inside(start + m.index)) to = start + m.index + 1;
        if (to < 0) break;
        pieces.push([start, to]);
        start = to;
      }
      pieces.push([start, end]);
      start = end;
    }
    return pieces.map(([first, b]) => {
      const a = first + (/^\s*/.exec(text.slice(first, b)) || [''])[0].length;
      const ranges = [];
      for (const part of run) {
        if (part.to <= a || part.from >= b) continue;
        const range = document.createRange();
        if (part.whole) range.selectNode(part.node);
        else {
          range.setStart(part.node, Math.max(0, a - part.from));
          range.setEnd(part.node, Math.min(part.text.length, b - part.from));
        }
        ranges.push(range);
      }
      return { text: speakable(text.slice(a, b)), ranges, block };
    }).filter((s) => /[\p{L}\d]/u.test(s.text));
  }

  // ---- the voice ----

  function voice() {
    if (!synth || !window.SpeechSynthesisUtterance) return null;
    const all = synth.getVoices().map((v) => ({ v, lang: v.lang.replace('_', '-').toLowerCase() })).filter((x) => x.lang === language || x.lang.startsWith(language + '-'));
    const rank = (x) => {
      const at = first.indexOf(x.lang);
      return (at < 0 ? first.length : at) + (x.v.localService === false ? 100 : 0);
    };
    all.sort((a, b) => rank(a) - rank(b));
    return all.length ? all[0].v : null;
  }

  const RATES = { slow: 0.75, usual: 1, fast: 1.3 };
  const speed = {
    get() {
      try { const kept = window.localStorage.getItem('seatwork-aloud-speed'); return kept in RATES ? kept : 'usual'; } catch (e) { return this.now || 'usual'; }
    },
    set(value) {
      this.now = value;
      try { window.localStorage.setItem('seatwork-aloud-speed', value); } catch (e) { /* this page only */ }
    },
  };

  let token = 0;      // of the sentence under way: what comes late of an earlier one is not heard
  const alive = [];   // the utterance, or a browser may drop it with its events
  let watch = 0;

  function hush() {
    token++;
    window.clearTimeout(watch);
    alive.length = 0;
    if (synth) synth.cancel();
  }

  /** Speaks one text; `done(ok)` once it has ended, or was not to be heard. */
  function speak(text, done) {
    hush();
    const mine = token, rate = RATES[speed.get()];
    const u = new SpeechSynthesisUtterance(text);
    alive.push(u);
    const chosen = voice();
    if (!chosen) { done(false); return; }
    u.voice = chosen;
    u.lang = chosen.lang;
    u.rate = rate;
    const over = (ok) => {
      if (mine !== token) return;
      window.clearTimeout(watch);
      token++;
      done(ok);
    };
    u.onend = () => over(true);
    u.onerror = () => over(false);
    // a browser may forget to say that it has ended
    let waitedOnce = false;
    const late = () => {
      if (mine !== token) return;
      if (synth.speaking && !waitedOnce) { waitedOnce = true; watch = window.setTimeout(late, 15000); return; }
      over(true);
    };
    watch = window.setTimeout(late, 4000 + 130 * text.length / rate);
    synth.speak(u);
    if (synth.paused) synth.resume();
  }

  // ---- the mark ----

  let marked = null;
  const highlights = window.CSS && CSS.highlights && window.Highlight ? CSS.highlights : null;

  function unmark() {
    if (marked) marked.classList.remove('sw-heard');
    marked = null;
    if (highlights) highlights.delete('sw-aloud');
  }

  function mark(sentence) {
    unmark();
    marked = sentence.block;
    // a phone shows the wrong way or the right one: the one that is heard is the one that is seen
    const side = marked.closest('.sw-ways figure[data-way]');
    const ways = side && /** @type {HTMLElement} */ (side.closest('.sw-ways'));
    if (ways && ways.dataset.show && ways.dataset.show !== side.getAttribute('data-way')) {
      const at = Array.from(ways.querySelectorAll('figure[data-way]')).indexOf(side);
      const picks = ways.querySelectorAll('.sw-pick button');
      if (picks[at]) /** @type {HTMLElement} */ (picks[at]).click();
    }
    marked.classList.add('sw-heard');
    if (highlights) highlights.set('sw-aloud', new Highlight(...sentence.ranges));
    const box = (sentence.ranges[0] || marked).getBoundingClientRect();
    const high = window.innerHeight;
    if (box.top < high * 0.12 || box.bottom > high * 0.68) {
      window.scrollBy({ top: box.top - high * 0.3, behavior: calm.matches ? 'instant' : 'smooth' });
    }
  }

  // ---- a lesson ----

  class Reader {
    constructor(article, listen) {
      this.article = article;
      this.listen = listen;
      this.at = -1;
      this.playing = false;
      this.pause = button(words.pause, 'sw-button', () => (this.playing ? this.rest() : this.go(this.at)));
      this.note = el('span', { class: 'sw-aloud-note', role: 'status' });
      const select = el('select', {}, ...['slow', 'usual', 'fast'].map((name) => el('option', { value: name }, words[name])));
      select.value = speed.get();
      select.addEventListener('change', () => {
        speed.set(select.value);
        if (this.playing) this.go(this.at);
      });
      this.bar = el('section', { class: 'sw-aloud', 'aria-label': words.region, hidden: true },
        button(words.back, 'sw-button', () => this.go(Math.max(0, this.at - 1))), this.pause,
        button(words.next, 'sw-button', () => this.go(this.at + 1)), button(words.stop, 'sw-button', () => this.stop()),
        el('label', {}, words.speed + ' ', select), this.note);
      this.bar.addEventListener('keydown', (e) => { if (e.key === 'Escape') this.stop(); });
      document.body.append(this.bar);
      document.addEventListener('sw-units', () => this.anew());
    }

    begin() {
      current = this;
      this.list = sentences(this.article);
      this.bar.hidden = false;
      document.documentElement.classList.add('sw-listening');
      this.note.textContent = '';
      this.go(0);
      this.pause.focus({ preventScroll: true });
    }

    /** What stands on the page was changed, as by another unit system: the same place, said anew. */
    anew() {
      if (this.at < 0) return;
      this.list = sentences(this.article);
      if (this.playing) this.go(Math.min(this.at, this.list.length - 1));
    }

    go(to) {
      if (to >= this.list.length) { this.stop(); return; }
      if (!this.list[to].block.isConnected || this.list[to].ranges.some((r) => !r.startContainer.isConnected)) this.list = sentences(this.article);
      if (to >= this.list.length) { this.stop(); return; }
      this.at = to;
      this.playing = true;
      this.pause.textContent = words.pause;
      mark(this.list[to]);
      speak(this.list[to].text, (ok) => {
        if (ok) this.go(to + 1);
        else {
          this.rest();
          this.note.textContent = words.silent;
        }
      });
    }

    rest() {
      hush();
      this.playing = false;
      this.pause.textContent = words.goOn;
    }

    stop() {
      const inside = this.bar.contains(document.activeElement);
      hush();
      unmark();
      this.playing = false;
      this.at = -1;
      this.bar.hidden = true;
      document.documentElement.classList.remove('sw-listening');
      if (current === this) current = null;
      if (inside) this.listen.focus({ preventScroll: true });
    }
  }

  // ---- a quiz ----

  const figures = new Map();  // lesson -> [words, {question: variants}]
  window.seatworkSaid = (lesson, data) => { figures.set(lesson, data); };

  function load(lesson) {
    if (figures.has(lesson)) return Promise.resolve();
    return new Promise((resolve, reject) => {
      const script = document.createElement('script');
      script.src = root + 'practice/' + encodeURIComponent(lesson) + '-say.js';
      script.addEventListener('error', () => { script.remove(); reject(new Error(lesson)); });
      script.addEventListener('load', () => (figures.has(lesson) ? resolve() : reject(new Error(lesson))));
      document.head.append(script);
    });
  }

  class QuizReader {
    constructor(quiz) {
      this.quiz = quiz;
      this.on = false;
      this.start = button(words.quiz, 'sq-button sq-ear-on', () => (this.on ? this.stop() : this.begin()));
      this.again = button(words.again, 'sq-button sq-ear-again', () => this.sayIt());
      this.again.hidden = true;
      this.note = el('p', { class: 'sq-small', role: 'status' });
      quiz.prepend(el('div', { class: 'sq-row sq-hear' }, this.start, this.again), this.note);
      quiz.addEventListener('sw-view', (e) => { if (this.on) this.sayIt(e.detail.feedback); });
      quiz.addEventListener('change', (e) => this.picked(e));
    }

    begin() {
      if (current) current.stop();
      current = this;
      this.on = true;
      this.quiz.classList.add('sq-ear');
      this.start.textContent = words.hush;
      this.again.hidden = false;
      this.note.textContent = '';
      this.sayIt();
    }

    stop() {
      hush();
      unmark();
      this.on = false;
      this.quiz.classList.remove('sq-ear');
      this.start.textContent = words.quiz;
      this.again.hidden = true;
      if (current === this) current = null;
    }

    shown() { return Array.from(this.quiz.querySelectorAll('fieldset.sq')).find((f) => !f.hidden); }

    /** Gives each figure of a question the words made for it. Rejects where they cannot be had. */
    async named(set) {
      const [first, second] = set.dataset.q.split('/');
      const lesson = second ? first : this.quiz.dataset.lesson, question = second || first;
      await load(lesson);
      const [list, by] = figures.get(lesson);
      const places = ((by[question] || [])[Number(set.dataset.variant)] || [])[set.dataset.units === 'metric' ? 1 : 0];
      if (!places) throw new Error(question);
      const give = (node, place) => {
        if (list[place]) node.dataset.say = list[place];
        else delete node.dataset.say;
      };
      for (const node of set.querySelectorAll('.sq-figure[data-f]')) give(node, places[Number(node.dataset.f)]);
      const worked = set.dataset.kind === 'number' && set.querySelector('.sq-feedback .sq-right b');
      if (worked) give(worked, places[places.length - 1]);
    }

    async sayIt(feedback = false) {
      hush();
      const view = this.quiz.dataset.view;
      const set = view === 'question' ? this.shown() : null;
      if (set) {
        try { await this.named(set); } catch (e) {
          this.stop();
          this.note.textContent = words.unreached;
          return;
        }
        if (!this.on || this.shown() !== set) return;
      }
      const list = set ? (feedback || set.classList.contains('is-answered') && !feedback && this.told === set ? this.verdict(set) : this.question(set))
        : sentences(this.quiz.querySelector(view === 'result' ? '.sq-result' : '.sq-start'));
      this.told = set;
      this.run(list);
    }

    run(list) {
      const next = (i) => {
        if (!this.on) return;
        if (i >= list.length) { unmark(); return; }
        mark(list[i]);
        speak(list[i].text, (ok) => { if (ok) next(i + 1); else this.note.textContent = words.silent; });
      };
      next(0);
    }

    question(set) {
      const out = [];
      const part = (selector) => { for (const node of set.querySelectorAll(selector)) out.push(...sentences(node)); };
      const line = (text, node) => out.push({ text, ranges: [], block: node });
      part(':scope > legend');
      part('.sq-ask');
      const above = set.querySelector(':scope > .sq-drawing svg title');
      if (above) line(words.drawing + (plain(above.textContent) ? ' ' + ended(plain(above.textContent)) : ''), above.closest('figure'));
      const hint = set.querySelector(':scope > .sq-hint');
      if (set.dataset.kind === 'number') line(words.number, hint || set);  // its hint shows how figures may be written, in figures
      else part(':scope > .sq-hint');
      const unit = set.querySelector('.sq-unit');
      if (unit) {
        const said = sentences(unit).map((s) => s.text).join(' ');
        if (said) line(words.inUnit(said), unit);
      }
      part('.sq-tolerance');
      const rows = Array.from(set.querySelectorAll('.sq-choices > li, .sq-order > li')).filter((li) => !li.hidden);
      rows.forEach((li, i) => {
        const nth = (set.dataset.kind === 'order' ? words.items : words.answers)[i];
        const told = this.choice(li).map((s) => s.text).join(' ');
        line((nth ? nth + ' ' : '') + ended(told), li);
      });
      if (!set.classList.contains('is-answered')) line(words.check, set.closest('form').querySelector('.sq-check') || set);
      return out;
    }

    choice(li) { return Array.from(li.querySelectorAll('.sq-text, .sq-described')).flatMap((node) => sentences(node)); }

    verdict(set) {
      const feedback = set.querySelector('.sq-feedback');
      const out = sentences(feedback.querySelector('.sq-verdict b') || feedback);
      for (const node of feedback.children) {
        if (node.matches('.sq-verdict')) continue;
        if (node.matches('.sq-working') && node.querySelector('math, table')) out.push({ text: words.working, ranges: [], block: node });
        else out.push(...sentences(node));
      }
      out.push({ text: words.onward, ranges: [], block: set.closest('form').querySelector('.sq-next') || feedback });
      return out;
    }

    /** What was picked by thumb is said, so that a slip of it is heard. */
    picked(e) {
      const li = this.on && e.target.closest('.sq-choices > li');
      if (!li || !e.target.checked) return;
      this.run([{ text: words.picked + ' ' + ended(this.choice(li).map((s) => s.text).join(' ')), ranges: [], block: li }]);
    }
  }

  // ---- where it begins ----

  let current = null;
  let listen = null;

  function recording(bar, lesson) {
    const made = window.seatworkRecorded;
    const file = made && made.files[language + '/' + lesson];
    if (!file || bar.querySelector('.sw-recorded')) return;
    const show = button(words.recording + ' (' + words.size((file.bytes / 1e6).toFixed(1)) + ')', 'sw-recorded', () => {
      const audio = el('audio', { controls: true, preload: 'none', src: root + file.path, 'aria-label': words.recording });
      show.replaceWith(audio, el('p', { class: 'sw-note' }, words.recordedIn[made.units] || ''));
      audio.play().catch(() => {});
      audio.focus();
    });
    bar.append(show);
  }

  function offer() {
    const bar = document.querySelector('.sw-bar'), quiz = document.querySelector('seatwork-quiz[data-lesson]');
    const there = voice() !== null;
    if (bar && quiz && /** @type {HTMLElement} */ (quiz).dataset.lesson !== 'practice') {
      if (there && !listen) {
        listen = button(words.listen, 'sw-listen', () => {
          if (current) current.stop();
          listen.reader = listen.reader || new Reader(bar.closest('article') || document.body, listen);
          listen.reader.begin();
        });
        bar.prepend(listen);  // first, for whoever does not read
      }
      if (listen) listen.hidden = !there;
      const recorded = /** @type {HTMLElement} */ (bar.querySelector('.sw-recorded'));
      if (there && recorded) recorded.remove();
      if (!there && waited) recording(bar, /** @type {HTMLElement} */ (quiz).dataset.lesson);
    }
    for (const one of document.querySelectorAll('seatwork-quiz')) ear(one, there);
  }

  function ear(quiz, there) {
    // by ear its answers could not be told apart without their figures
    if (!there || !counted || quiz.ear || !quiz.classList.contains('sq-on')) return;
    quiz.ear = new QuizReader(quiz);
  }

  let waited = false;  // for voices that come late

  function start() {
    if (synth) {
      synth.cancel();  // of the page before, which a browser may go on reading
      if (synth.addEventListener) synth.addEventListener('voiceschanged', offer);
      else synth.onvoiceschanged = offer;
    }
    offer();
    window.setTimeout(() => { waited = true; offer(); }, 2000);
    document.addEventListener('sw-view', () => offer());  // of a quiz that came later, as in mixed practice
    window.addEventListener('pagehide', () => { if (current) current.stop(); else hush(); });
  }

  window.seatworkAloud = { sentences, speakable, words, VOICES };
  if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', start);
  else start();
})();
