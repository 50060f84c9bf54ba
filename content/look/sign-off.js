/*
 * <seatwork-sign-off>: a mentor signs off on the phone what the paper sheet asks, and hands it in as a file.
 *
 * The element wraps a real <form> in light DOM. Without scripts, and on paper, it is a list of what a mentor must see.
 * Nothing is sent but the signed file, to the site's own server where that takes files in (hand-in.js), and only when asked.
 * The mentor's code is typed at the end, marks the file, and is kept nowhere.
 *
 * MARKUP  <seatwork-sign-off data-site data-edition>
 *   <form> one <details class="so-lesson" data-lesson data-about data-roles> per list of lines, in it
 *     summary, ol > li (a line each)
 *   <script type="application/json"> {crew: [[id, role]], roles: [[id, title, [kinds], on foot, [lessons]]],
 *     machines: [[id, name, kind]], mentors: [[id, [kinds], from, until]], works: {kind: [what lessons are about]},
 *     on_foot, conditions: [words]}  (generator/book/signing.py)
 *
 * STORE   "seatwork-sign|SITE|EDITION" holds what is ticked and not signed yet, by person and machine;
 *   "seatwork-signed|SITE" the last files, so that one that got lost can be saved again.
 *
 * THE FILE  {"seatwork_signoffs": 1, mentor, site, edition, signed, entries: [{crew, lesson, machine, date,
 *   seen: [numbers of lines, from 1], not_yet: [numbers], conditions, hours}], mac}. mac is HMAC-SHA-256 over the
 *   file's JSON without it (canonical in result-code.js), keyed by the code's 12 letters: its first 32 hex digits.
 *
 * Needs result-code.js, and vendor/sha256.js: crypto.subtle is there neither on plain http nor from disk.
 */
(function () {
  'use strict';

  const tools = window.seatworkResults, sha256 = window.sha256;
  if (!tools || !sha256 || !window.seatworkSay) return;
  const { say, sayMany } = window.seatworkSay;
  const LETTERS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ', KEPT = 20, MOST_WORDS = 160;
  const MARKS = { seen: say('Seen'), not_yet: say('Not yet') };
  // what the file holds is the same in every language
  const CONDITIONS = { dry: say('dry'), wet: say('wet'), slope: say('slope'), dust: say('dust'), dark: say('dark'), 'others close by': say('others close by') };
  const machineIn = (id) => (id === 'on foot' ? say('on foot') : id);

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
  const button = (text, cls, on) => el('button', { type: 'button', class: 'so-button ' + cls, on }, text);
  const field = (words, input, more) => el('label', { class: 'so-field' }, el('span', {}, words), input, more);
  const now = () => new Date().toISOString().replace(/\.\d+Z$/, 'Z');
  const today = () => { const d = new Date(); return [d.getFullYear(), d.getMonth() + 1, d.getDate()].map((n) => String(n).padStart(2, '0')).join('-'); };
  /** A machine in words: its id stands in many names already. */
  const called = (machine) => (machine[1].includes(machine[0]) ? machine[1] : [machineIn(machine[0]), machine[1]].filter(Boolean).join(' '));

  const kept = {
    read(key) {
      try { return JSON.parse(window.localStorage.getItem(key)); } catch (e) { return null; }
    },
    /** Whether the browser has really kept it. */
    write(key, value) {
      try {
        window.localStorage.setItem(key, JSON.stringify(value));
        return !window.seatworkForgets;
      } catch (e) { return false; }
    },
  };

  /** A code as typed, in its letters: O is read as 0, I and L as 1. */
  const letters = (typed) => typed.toUpperCase().replace(/[\s\-–—_.]/g, '').replace(/O/g, '0').replace(/[IL]/g, '1');

  /** Whether the last of 12 letters fits the others (mentor_codes.py): finds slips of the pen, and says nothing of whose code it is. */
  function addsUp(code) {
    let total = 0;
    for (const letter of code) {
      const value = LETTERS.indexOf(letter);
      if (value < 0) return false;
      total <<= 1;
      total = (total & 32 ? total ^ 0x25 : total) ^ value;
    }
    return code.length === 12 && total === 0;
  }

  const macOf = (file, code) => {
    const rest = Object.assign({}, file);
    delete rest.mac;
    return sha256.hmac(code, tools.canonical(rest)).slice(0, 32);
  };

  /** Hours as typed, in hundredths at most; null where they are none. */
  function hoursOf(typed) {
    const found = /^(\d{1,2})(?:[.,](\d{1,2}))?$/.exec(typed.trim());
    const hours = found ? Number(found[1] + '.' + (found[2] || '0')) : 0;
    return hours > 0 && hours <= 24 ? hours : null;
  }

  /** Words on one line without what a table cannot hold. */
  const plain = (text) => text.normalize('NFC').replace(/[^\p{L}\p{M}\p{N}\p{P}\p{S}]+/gu, ' ').trim().replace(/^[=+\-@＝＋＠－\s]+/, '').slice(0, MOST_WORDS).trim();

  class SeatworkSignOff extends HTMLElement {
    connectedCallback() {
      if (this.form) return;
      this.form = this.querySelector('form');
      const raw = this.querySelector('script[type="application/json"]');
      if (!this.form || !raw) return;
      this.given = JSON.parse(raw.textContent);
      this.key = ['seatwork-sign', this.dataset.site, this.dataset.edition].map(encodeURIComponent).join('|');
      this.signedKey = 'seatwork-signed|' + encodeURIComponent(this.dataset.site);
      this.lists = Array.from(this.querySelectorAll('details.so-lesson'));
      this.read();
      this.build();
      this.classList.add('so-on');
      this.show();
      window.addEventListener('storage', (e) => { if (e.key === this.key) { this.read(); this.show(); } });
      window.addEventListener('beforeprint', () => this.lists.forEach((list) => { list.dataset.was = String(list.open); list.open = true; }));
      window.addEventListener('afterprint', () => this.lists.forEach((list) => { list.open = list.dataset.was === 'true'; }));
    }

    // ---- what is kept ----

    read() {
      const found = kept.read(this.key);
      this.state = Object.assign({ crew: '', machine: '', mentor: '', drafts: {} }, found && typeof found === 'object' ? found : {});
    }
    save() {
      if (!kept.write(this.key, this.state)) this.forgets.hidden = false;
    }
    signedFiles() {
      const found = kept.read(this.signedKey);
      return Array.isArray(found) ? found : [];
    }

    // ---- who and what is picked ----

    workRole() {
      const person = this.given.crew.find((row) => row[0] === this.state.crew);
      const row = person && this.given.roles.find((r) => r[0] === person[1]);
      return row ? { id: row[0], title: row[1], kinds: row[2], onFoot: row[3], lessons: row[4] } : null;
    }
    /** What a person of the role may be seen on: [id, name, kind]. */
    machinesOf(role) {
      const runs = this.given.machines.filter((m) => role.kinds.includes(m[2]));
      return role.onFoot ? [[this.given.on_foot, '', this.given.on_foot], ...runs] : runs;
    }
    machine() {
      const role = this.workRole();
      return (role && this.machinesOf(role).find((m) => m[0] === this.state.machine)) || null;
    }
    /** The lists of the role for the machine, in the role's order. A lesson about another machine that the role runs is signed on that one. */
    shown() {
      const role = this.workRole(), machine = this.machine();
      if (!role || !machine) return [];
      const works = (kind, about) => (this.given.works[kind] || []).includes(about);
      const fits = (about) => machine[2] === this.given.on_foot || about === 'any' || works(machine[2], about) || !role.kinds.some((kind) => works(kind, about));
      const found = this.lists.filter((list) => list.dataset.roles.split(' ').includes(role.id) && fits(list.dataset.about));
      return found.sort((a, b) => role.lessons.indexOf(a.dataset.lesson) - role.lessons.indexOf(b.dataset.lesson));
    }
    /** What is ticked for the person on the machine; a new one is kept once something stands in it. */
    draft() {
      const blank = { date: '', conditions: [], other: '', hours: '', marks: {} };
      return Object.assign(blank, this.state.drafts[this.state.crew + '|' + this.state.machine]);
    }
    change(what) {
      const draft = this.draft();
      what(draft);
      this.state.drafts[this.state.crew + '|' + this.state.machine] = draft;
      this.save();
    }
    marksOf(list) { return this.draft().marks[list.dataset.lesson] || {}; }
    count(list) {
      const marks = Object.values(this.marksOf(list)), of = list.querySelectorAll('.so-line').length;
      const seen = marks.filter((m) => m === 'seen').length, notYet = marks.filter((m) => m === 'not_yet').length;
      return { of, seen, notYet, blank: of - seen - notYet, begun: seen + notYet > 0 };
    }

    // ---- the form ----

    build() {
      const option = (value, words) => el('option', { value }, words);
      this.crew = el('select', { class: 'so-crew' }, option('', say('Pick')), ...this.given.crew.map((row) => option(row[0], row[0])));
      this.machines = el('select', { class: 'so-machine' });
      this.date = el('input', { type: 'date', class: 'so-date' });
      this.hours = el('input', { type: 'text', inputmode: 'decimal', class: 'so-hours', autocomplete: 'off', maxlength: '5' });
      this.other = el('input', { type: 'text', class: 'so-other', maxlength: '100', autocomplete: 'off' });
      this.roleIs = el('p', { class: 'so-role', role: 'status' });
      this.chips = this.given.conditions.map((word) => el('input', { type: 'checkbox', value: word }));
      this.seenIn = el('fieldset', { class: 'so-conditions' }, el('legend', {}, say('Conditions')),
        el('div', { class: 'so-chips' }, ...this.chips.map((chip) => el('label', {}, chip, el('span', {}, CONDITIONS[chip.value] || chip.value)))),
        field(say('Anything else? No names'), this.other));
      this.rest = el('div', { class: 'so-rest' }, field(say('Day'), this.date), field(say('Hours you watched, such as 1.5'), this.hours), this.seenIn);
      this.forgets = el('p', { class: 'so-note', hidden: true, role: 'status' }, say('This browser keeps nothing. Sign, and save the file, before you close the page.'));
      this.others = el('p', { class: 'so-others' });
      const who = el('div', { class: 'so-who' }, this.forgets, field(say('Crew id'), this.crew), this.roleIs, field(say('Machine'), this.machines), this.rest, this.others,
        el('h2', { class: 'so-ticks-head' }, say('What you have seen')));
      this.lists.forEach((list, at) => this.buildList(list, at));

      this.mentor = el('select', { class: 'so-mentor' }, option('', say('Pick')), ...this.given.mentors.map((row) => option(row[0], row[0])));
      this.code = el('input', { type: 'text', class: 'so-code', autocomplete: 'off', autocapitalize: 'characters', autocorrect: 'off', spellcheck: 'false', maxlength: '24' });
      this.sum = el('p', { class: 'so-sum', role: 'status' });
      this.told = el('p', { class: 'so-told', id: 'so-told', role: 'alert' });
      this.hand = el('div', { class: 'so-hand' }, el('h2', {}, say('Sign')), this.sum, field(say('Your mentor id'), this.mentor),
        field(say('Your own code'), this.code, el('small', {}, say('Three groups of four, from your slip. It is not kept on this phone.'))),
        this.told, el('button', { type: 'submit', class: 'so-button so-main' }, say('Sign these lines')));
      this.done = el('div', { class: 'so-done', hidden: true });
      this.earlier = el('details', { class: 'so-earlier', hidden: true }, el('summary', {}, say('Signed on this phone')), el('div', {}));
      this.form.prepend(who);
      this.form.append(this.hand);
      this.form.after(this.done, this.earlier);
      this.listen();
    }

    buildList(list, at) {
      const summary = list.querySelector('summary'), title = summary.textContent;
      list.dataset.title = title;
      summary.append(el('span', { class: 'so-far' }));
      list.querySelectorAll('ol > li').forEach((item, n) => {
        const id = 'so-' + at + '-' + (n + 1), line = el('div', { class: 'so-line', id });
        line.append(...item.childNodes);
        const choice = ([value, words]) => el('label', {}, el('input', { type: 'radio', name: id, value, 'data-line': String(n + 1) }), el('span', {}, words));
        item.append(line, el('div', { class: 'so-ticks', role: 'radiogroup', 'aria-labelledby': id }, ...Object.entries(MARKS).map(choice)));
      });
      list.querySelector('ol').after(button(say('Clear this lesson'), 'so-clear', () => {
        this.change((draft) => { delete draft.marks[list.dataset.lesson]; });
        this.show();
      }));
      list.addEventListener('change', (e) => {
        const input = /** @type {HTMLInputElement} */ (e.target);
        if (!input.dataset.line) return;
        this.change((draft) => {
          const marks = draft.marks[list.dataset.lesson] || {};
          marks[input.dataset.line] = input.value;
          draft.marks[list.dataset.lesson] = marks;
        });
        this.quiet();
        this.showCounts();
      });
    }

    listen() {
      this.crew.addEventListener('change', () => {
        this.state.crew = this.crew.value;
        const role = this.workRole(), runs = role ? this.machinesOf(role).map((m) => m[0]) : [];
        if (!runs.includes(this.state.machine)) this.state.machine = runs.length === 1 ? runs[0] : '';
        this.save();
        this.show();
      });
      this.machines.addEventListener('change', () => { this.state.machine = this.machines.value; this.save(); this.show(); });
      this.mentor.addEventListener('change', () => { this.state.mentor = this.mentor.value; this.save(); this.quiet(); });
      const keep = (input, name) => input.addEventListener('input', () => { this.change((draft) => { draft[name] = input.value; }); this.quiet(); });
      keep(this.date, 'date');
      keep(this.hours, 'hours');
      keep(this.other, 'other');
      this.seenIn.addEventListener('change', () => {
        this.change((draft) => { draft.conditions = this.chips.filter((c) => c.checked).map((c) => c.value); });
        this.quiet();
      });
      this.code.addEventListener('input', () => this.quiet());
      this.form.addEventListener('submit', (e) => { e.preventDefault(); this.sign(); });
    }

    // ---- what is shown ----

    show() {
      const role = this.workRole(), machine = this.machine(), draft = this.draft(), shown = this.shown();
      this.crew.value = this.state.crew;
      if (this.crew.value !== this.state.crew) this.crew.value = '';
      this.roleIs.textContent = role ? role.title : '';
      const runs = role ? this.machinesOf(role) : [];
      this.machines.replaceChildren(el('option', { value: '' }, role ? say('Pick') : say('Pick the person first')),
        ...runs.map((m) => el('option', { value: m[0] }, called(m))));
      this.machines.value = machine ? machine[0] : '';
      this.machines.disabled = !role;
      this.mentor.value = this.state.mentor;
      if (this.mentor.value !== this.state.mentor) this.mentor.value = '';
      this.date.value = draft.date || today();
      this.date.max = today();
      this.hours.value = draft.hours;
      this.other.value = draft.other;
      this.chips.forEach((chip) => { chip.checked = draft.conditions.includes(chip.value); });
      this.toggleAttribute('data-picked', shown.length > 0);
      this.lists.forEach((list) => {
        const marks = this.marksOf(list);
        list.toggleAttribute('data-off', !shown.includes(list));
        list.open = false;
        list.querySelectorAll('input[data-line]').forEach((input) => {
          input.disabled = !shown.includes(list);
          input.checked = shown.includes(list) && marks[input.dataset.line] === input.value;
        });
      });
      shown.forEach((list) => this.form.insertBefore(list, this.hand));
      this.quiet();
      this.showCounts();
      this.showOthers();
      this.showEarlier();
    }

    showCounts() {
      const shown = this.shown();
      for (const list of shown) {
        const c = this.count(list), far = list.querySelector('.so-far');
        far.textContent = !c.begun ? '' : c.seen === c.of ? '✓ ' + say('all {all} seen', { all: c.of }) : say('{n} of {all} seen', { n: c.seen, all: c.of });
        list.toggleAttribute('data-whole', c.seen === c.of);
        list.querySelector('.so-clear').hidden = !c.begun;
      }
      const begun = shown.filter((list) => this.count(list).begun), whole = begun.filter((list) => { const c = this.count(list); return c.seen === c.of; });
      const machine = this.machine();
      const titles = whole.length ? ' (' + whole.map((l) => l.dataset.title).join('; ') + ')' : '', rest = begun.length - whole.length;
      const seen = sayMany('{n} lesson seen in full', '{n} lessons seen in full', whole.length) + titles;
      this.sum.textContent = !begun.length ? say('Nothing is ticked yet.')
        : rest ? sayMany('For {who}, {machine}: {seen}, {n} lesson not yet.', 'For {who}, {machine}: {seen}, {n} lessons not yet.', rest, { who: this.state.crew, machine: called(machine), seen })
          : say('For {who}, {machine}: {seen}.', { who: this.state.crew, machine: called(machine), seen });
    }

    /** Who else has ticks that nobody has signed: they would be forgotten. */
    showOthers() {
      const here = this.state.crew + '|' + this.state.machine;
      const open = Object.keys(this.state.drafts).filter((at) => at !== here && Object.keys(this.state.drafts[at].marks || {}).length);
      this.others.textContent = open.length ? say('Ticked and not signed yet: {which}.', { which: open.map((at) => {
        const [who, machine] = at.split('|');
        return machine === 'on foot' ? say('{who} on foot', { who }) : say('{who} on {machine}', { who, machine });
      }).join(', ') }) : '';
    }

    quiet() {
      this.told.textContent = '';
      this.hand.lastChild.before(this.told);
      this.warned = '';
      this.querySelectorAll('[aria-invalid]').forEach((input) => { input.removeAttribute('aria-invalid'); input.removeAttribute('aria-describedby'); });
    }

    /** Say what is missing, and where: beside its place, as a phone shows no more than that. */
    tell(words, place) {
      if (place) {
        place.closest('.so-conditions, .so-field, .so-lesson').after(this.told);
        place.setAttribute('aria-invalid', 'true');
        place.setAttribute('aria-describedby', this.told.id);
      }
      this.told.textContent = words;
      if (!place) return;
      place.focus();
      this.told.scrollIntoView({ block: 'nearest' });
    }

    // ---- signing ----

    sign() {
      const draft = this.draft(), machine = this.machine(), begun = this.shown().filter((list) => this.count(list).begun);
      const day = draft.date || this.date.value, hours = hoursOf(draft.hours), other = plain(draft.other), code = letters(this.code.value);
      const before = this.warned;
      this.quiet();
      if (!this.workRole()) return this.tell(say('Pick the crew id of the person you watched.'), this.crew);
      if (!machine) return this.tell(say('Pick the machine.'), this.machines);
      if (!/^\d{4}-\d\d-\d\d$/.test(day)) return this.tell(say('Fill in the day on which you watched.'), this.date);
      if (day > today()) return this.tell(say('That day is still to come. Check the day, and this phone’s clock.'), this.date);
      if (hours === null) return this.tell(say('Say for how many hours you watched, such as 1.5.'), this.hours);
      if (!draft.conditions.length && !other) return this.tell(say('Tap the conditions you watched in.'), this.chips[0]);
      if (!begun.length) return this.tell(say('Open a lesson and tick what you have seen.'), this.shown()[0].querySelector('summary'));
      if (!this.mentor.value) return this.tell(say('Pick your mentor id.'), this.mentor);
      if (this.mentor.value.toLowerCase() === this.state.crew.toLowerCase()) return this.tell(say('Nobody signs for himself or herself. Another mentor has to.'), this.mentor);
      if (!code) return this.tell(say('Type your own code, from your slip.'), this.code);
      if (!addsUp(code)) return this.tell(say('There is a slip in that code. Compare it with your slip, letter by letter.'), this.code);
      const warning = this.warnings(begun, machine, day);
      if (warning && warning !== before) {
        this.warned = warning;
        return this.tell(warning + ' ' + say('If that is right, press the button again.'));
      }
      const conditions = [draft.conditions.join(', '), other].filter(Boolean).join('; ');
      const entries = begun.map((list) => {
        const marks = this.marksOf(list), numbers = Array.from(list.querySelectorAll('.so-line'), (line, n) => n + 1);
        const seen = numbers.filter((n) => marks[n] === 'seen');
        return { crew: this.state.crew, lesson: list.dataset.lesson, machine: machine[0], date: day, seen, not_yet: numbers.filter((n) => !seen.includes(n)), conditions, hours };
      });
      const file = { seatwork_signoffs: 1, mentor: this.mentor.value, site: this.dataset.site, edition: this.dataset.edition, signed: now(), entries };
      file.mac = macOf(file, code);
      this.code.value = '';
      this.keepSigned(file);
    }

    /** What does not stop a signature and wants a second look, in one text. */
    warnings(begun, machine, day) {
      const row = this.given.mentors.find((m) => m[0] === this.mentor.value), said = [];
      if (!row[1].includes(machine[2]) || (row[2] && day < row[2]) || (row[3] && day > row[3])) {
        said.push(machine[2] === this.given.on_foot ? say('By this handbook {mentor} may not sign for work on foot on that day, so it may not count.', { mentor: row[0] })
          : say('By this handbook {mentor} may not sign for this kind of machine on that day, so it may not count.', { mentor: row[0] }));
      }
      const blank = begun.filter((list) => this.count(list).blank);
      if (blank.length) said.push(say('Some lines of “{lessons}” are ticked neither way. They are handed in as not yet seen.', { lessons: blank.map((l) => l.dataset.title).join('”, “') }));
      return said.join(' ');
    }

    keepSigned(file) {
      const isKept = kept.write(this.signedKey, [file, ...this.signedFiles()].slice(0, KEPT));
      delete this.state.drafts[this.state.crew + '|' + this.state.machine];
      this.save();
      this.show();
      const whole = file.entries.filter((e) => !e.not_yet.length).length, rest = file.entries.length - whole;
      const head = el('h2', { tabindex: '-1' }, say('Signed'));
      const parts = { seen: sayMany('{n} lesson seen in full', '{n} lessons seen in full', whole), who: file.entries[0].crew, mentor: file.mentor };
      this.done.replaceChildren(head,
        el('p', {}, (rest ? sayMany('{seen} for {who}, {n} lesson not yet, signed by {mentor}.', '{seen} for {who}, {n} lessons not yet, signed by {mentor}.', rest, parts)
          : say('{seen} for {who}, signed by {mentor}.', parts)) + ' ' + say('It counts once your coordinator has the file and your code fits.')),
        isKept ? '' : el('p', { class: 'so-note' }, say('This browser could not keep it. Save the file now.')),
        this.handIn(file));
      this.done.hidden = false;
      head.focus({ preventScroll: true });
      head.scrollIntoView();
    }

    handIn(file) {
      const box = this.sends(file);
      return el('div', {}, el('p', { class: 'hi-ask' }, el('b', {}, say('Hand it in.') + ' '), box ? say('One tap sends it to your training coordinator.') : say('Save the file and send it to your training coordinator.')),
        box, box ? el('p', { class: 'hi-ask' }, say('Other ways: save the file and send it yourself.')) : '', this.ways(file),
        el('details', { class: 'so-copy' }, el('summary', {}, say('No file saved? Copy this text instead')), el('pre', { tabindex: '0' }, JSON.stringify(file))));
    }
    /** The button that sends the file to the site's server, where it takes files in. */
    sends(file) { return window.seatworkHandIn ? window.seatworkHandIn.box(window.seatworkHandIn.signed(file), 'so') : ''; }
    ways(file) {
      return el('div', { class: 'so-row' }, window.seatworkHandIn ? window.seatworkHandIn.share(window.seatworkHandIn.signed(file), 'so') : '',
        button(say('Save the file'), 'so-save', () => tools.saveFile(tools.signedName(file), tools.fileText(file))));
    }

    showEarlier() {
      const files = this.signedFiles();
      this.earlier.hidden = !files.length;
      this.earlier.lastChild.replaceChildren(...files.map((file) => el('section', {},
        el('p', {}, sayMany('{time}: {who}, {machine}, {n} lesson, by {mentor}', '{time}: {who}, {machine}, {n} lessons, by {mentor}', file.entries.length, {
          time: file.signed.slice(0, 16).replace('T', ' ') + ' UTC', who: file.entries[0].crew, machine: machineIn(file.entries[0].machine), mentor: file.mentor })),
        this.sends(file), window.seatworkHandIn ? this.ways(file) : button(say('Save the file'), 'so-save', () => tools.saveFile(tools.signedName(file), tools.fileText(file))),
        el('details', { class: 'so-copy' }, el('summary', {}, say('Its text')), el('pre', { tabindex: '0' }, JSON.stringify(file))))));
    }
  }

  Object.assign(SeatworkSignOff, { letters, addsUp, macOf, hoursOf, plain });
  if (!customElements.get('seatwork-sign-off')) customElements.define('seatwork-sign-off', SeatworkSignOff);
})();
