/*
 * Reads a typed number with its unit, for <seatwork-quiz> (quiz.js). Needs seatworkUnits, the table
 * the build writes from generator/units (unit-table.js). Defines seatworkNumbers.
 *
 * A TYPED NUMBER  (whoever marks again must read it the same way)
 *   sign? figure unit?  |  whole big-unit figure small-unit?   for ft+in, h+min, min+s
 *   figure: 5  5.5  5,5  .5  1/2  5 1/2  5-1/2  5½  1,234.5  1.234,5  1 234.5  1,234,567
 *   One point alone is always the decimal point. One comma alone is a decimal comma, but a
 *   comma after 1 to 3 digits (the first not 0) and before exactly 3 is read as the page prints it,
 *   for thousands, where the variant has answer.comma and the unit is none or answer.unit; anywhere
 *   else it is asked about, never guessed. Where answer.decimal is a comma, comma and point change
 *   places in all of this, and answer.point stands for answer.comma. What a slip keeps has a point.
 *   No unit means the variant's answer.unit. "3:1" and "3 to 1" have the unit ":1". Units: seatworkUnits;
 *   capitals, dots and spaces do not matter ("cu. yd." = yd3), but a lone capital T is asked
 *   about where both ton and t are accepted. A figure counts where low <= figure <= high of
 *   accept[unit], widened by 1e-8 of the larger end for the last bit of floating point.
 */
(function () {
  'use strict';

  if (!window.seatworkUnits || !window.seatworkSay) return;
  const { say, listed } = window.seatworkSay;
  // rows of units: [key, what it measures, label, other spellings]; a row's place is used in slip codes
  const { units: UNITS, smaller: SMALL, asForce: AS_FORCE, fractions: FRACTIONS, mostPower: MOST_POWER, words } = window.seatworkUnits;
  const WORDS = new Map(Object.entries(words || {}));
  const UNIT = new Map(UNITS.map((row, place) => [row[0], { what: row[1], label: row[2], place }]));
  const SPELLED = new Map();
  for (const [key, , , others] of UNITS) {
    if (key !== '1') SPELLED.set(key.toLowerCase(), key);
    for (const other of others.split('|')) if (other) SPELLED.set(other, key);
  }
  const FRACTION = new RegExp('(\\d?) ?([' + Object.keys(FRACTIONS).join('') + '])', 'g');

  /** Key of the unit a person typed, '' for none, null for one not known. */
  function unitKey(text) {
    const t = text.toLowerCase().replace(/²|\^2/g, '2').replace(/³|\^3/g, '3').replace(/[·×]/g, '*')
      .replace(/\./g, '').replace(/\s+/g, ' ').replace(/ ?\/ ?/g, '/').trim();
    if (t === '') return '';
    if (SPELLED.has(t)) return SPELLED.get(t);
    let m = /^(loose|bank|compacted) (.+)$/.exec(t) || /^(.+) (loose|bank|compacted)$/.exec(t);
    if (m) {
      const [state, rest] = /^(loose|bank|compacted)$/.test(m[1]) ? [m[1], m[2]] : [m[2], m[1]];
      const end = { yd3: 'cy', m3: 'cm' }[unitKey(rest)];
      return end ? state[0] + end : null;
    }
    if ((m = /^(cu|cubic|sq|square) ?([a-z]+)$/.exec(t)) || (m = /^()([a-z]+) ?([23])$/.exec(t))) {
      const power = m[3] || (m[1][0] === 'c' ? '3' : '2');
      const key = SPELLED.get(m[2]) + power;
      return UNIT.has(key) ? key : null;
    }
    const parts = t.split(/\/| per | an? /);
    if (parts.length === 2) {
      const key = parts.map((p) => unitKey(p)).join('/');
      return SPELLED.has(key.toLowerCase()) ? SPELLED.get(key.toLowerCase()) : null;
    }
    return null;
  }

  const folded = (text) => text.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '').replace(/²/g, '2').replace(/³/g, '3').replace(/\./g, '').replace(/\s+/g, ' ').trim();

  /**
   * What was typed with words of units in the page's language put into keys ("5 pies y 6 pulgadas" into "5 ft 6 in"), as a result
   * keeps it: whoever marks again reads keys. In English, and where nothing of it is known, as it was typed.
   */
  function inKeys(raw) {
    const text = String(raw);
    if (!WORDS.size) return text;
    const [, figure, unit] = /^([\s\d.,/+\-−–½⅓⅔¼¾⅛⅜⅝⅞]*)([^]*)$/.exec(text);
    if (WORDS.has(folded(unit))) return figure.trim() + ' ' + WORDS.get(folded(unit));
    return text.replace(/(\d) ?a ?(?=(?:1|uno)\b)/i, '$1 to ').replace(/ to uno\b/i, ' to 1').replace(/\p{L}[\p{L}\p{M} .]*/gu, (run) => {
      const word = WORDS.get(folded(run)) || WORDS.get(folded(run).replace(/ y$/, ''));
      return word ? word + ' ' : run;
    }).trim();
  }

  const quoted = (text) => '“' + text + '”';

  const swapped = (text) => text.replace(/[.,]/g, (sign) => (sign === '.' ? ',' : '.'));

  /** The figure at the start of `text`, by the decimal `mark`: {value, plain, rest}, or {problem} or {either: [a, b]}. */
  function leadingFigure(text, mark) {
    let m = /^(\d+)(?: +| ?- ?)(\d+) ?\/ ?(\d+)/.exec(text);
    if (m || (m = /^()(\d+) ?\/ ?(\d+)/.exec(text))) {
      const [whole, top, bottom] = [m[1], m[2], m[3]].map(Number);
      if (bottom === 0 || (m[1] && top >= bottom)) {
        return { problem: say('The fraction in {typed} cannot be read. Write it like 5 1/2.', { typed: quoted(m[0]) }) };
      }
      const plain = (m[1] ? m[1] + ' ' : '') + m[2] + '/' + m[3];
      return { value: whole + top / bottom, plain, rest: text.slice(m[0].length) };
    }
    m = /^\d{1,3}(?: \d{3})+(?![\d])(?:[.,]\d+)?/.exec(text);
    const spaced = m !== null;
    if (!m) m = /^\d[\d.,]*|^[.,]\d+/.exec(text);
    if (!m) return { problem: say('There is no number in {typed}. Write a figure, such as {such}.', { typed: quoted(text), such: '5' + mark + '5' }) };
    const typed = m[0], figure = mark === ',' && !spaced ? swapped(typed) : typed, rest = text.slice(typed.length);
    const done = (plain) => ({ value: Number(plain), plain: plain.replace(/^\./, '0.').replace(/\.$/, ''), rest });
    if (spaced) return done(figure.replace(/ /g, '').replace(',', '.'));
    const commas = figure.split(',').length - 1, points = figure.split('.').length - 1;
    if (commas === 0 && points < 2) return done(figure);
    if (/^\d{1,3}(,\d{3})+\.\d*$/.test(figure) || /^\d{1,3}(,\d{3}){2,}$/.test(figure)) return done(figure.replace(/,/g, ''));
    if (/^\d{1,3}(\.\d{3})+,\d*$/.test(figure) || /^\d{1,3}(\.\d{3}){2,}$/.test(figure)) {
      return done(figure.replace(/\./g, '').replace(',', '.'));
    }
    if (commas === 1 && points === 0) {
      if (/^[1-9]\d{0,2},\d{3}$/.test(figure)) return { either: [figure.replace(',', ''), figure.replace(',', mark)], rest };
      return done(figure.replace(',', '.'));
    }
    return { problem: say('The points and commas in {typed} cannot be read. Write {one} or {other}.',
      { typed: quoted(typed), one: mark === ',' ? '1234,5' : '1234.5', other: mark === ',' ? '1.234,5' : '1,234.5' }) };
  }

  /** What to say of a figure with a power of ten: a slip could not keep it. */
  function poweredOf(typed, sign, plain, power) {
    const figure = Number(plain + 'e' + power[1] + power[2]);
    const size = figure === 0 ? -Infinity : Math.log10(figure);
    if (size > MOST_POWER) return { problem: say('{typed} is too large. Check the figure.', { typed: quoted(typed.slice(0, 40)) }) };
    if (size < -MOST_POWER) return { problem: say('{typed} is too small. Check the figure.', { typed: quoted(typed.slice(0, 40)) }) };
    return { problem: say('Write {typed} in plain digits, without a power of ten.', { typed: quoted(typed.slice(0, 40)) }) };
  }

  /**
   * What was typed, by the decimal `mark` of the site. {parts: [{value, plain, unit}], sign} with unit '' where none was typed;
   * {problem: words} where it cannot be read; {either: [text, text]} where it reads two ways.
   */
  function readNumber(raw, mark = '.') {
    let text = String(raw).replace(/[\u00a0\u2000-\u200a\u202f]/g, ' ').replace(/[−–]/g, '-').replace(/⁄/g, '/')
      .replace(/[′‘’]/g, "'").replace(/[″“”]/g, '"').replace(FRACTION, (_, d, f) => (d ? d + ' ' : '') + FRACTIONS[f])
      .replace(/\s+/g, ' ').trim();
    if (text === '') return { problem: say('Type your answer first.') };
    let sign = '';
    if (/^[-+]/.test(text)) {
      sign = text[0] === '-' ? '-' : '';
      text = text.slice(1).trim();
    }
    const first = leadingFigure(text, mark);
    if (first.problem) return first;
    if (first.either) return { either: first.either.map((figure) => sign + figure + first.rest) };
    const power = /^e([-+]?)(\d+)/i.exec(first.rest);
    if (power) return poweredOf(String(raw).trim(), sign, first.plain, power);
    const rest = first.rest.trim().replace(/^-(?=[a-z])/i, '');
    const parts = [{ value: first.value, plain: first.plain, unit: '' }];
    if (/^(:|to\b)/i.test(rest)) {
      if (/^(:|to) ?1$/i.test(rest)) parts[0].unit = ':1';
      else {
        const turned = first.plain === '1' ? /^(?::|to\b)\s*(\d[\d.,]{0,10})$/i.exec(rest) : null;
        if (turned) return { problem: say('Write the ratio as run to rise, with the 1 last: {run}:1 if it goes {run} along for 1 up.', { run: turned[1] }) };
        return { problem: say('Write the ratio with the 1 last, such as 3:1.') };
      }
      return { parts, sign };
    }
    // "T" alone stands for the short ton to some and for the metric tonne to others
    if (rest === 'T') return { parts, sign, capitalT: true };
    const unit = unitKey(rest);
    if (unit !== null) {
      parts[0].unit = unit;
      return { parts, sign };
    }
    const m = /^([^\d.,]+?)[ -]*([\d.,].*)$/.exec(rest);
    const big = m ? unitKey(m[1]) : null;
    if (big && SMALL[big]) {
      const [small, many] = SMALL[big];
      const second = leadingFigure(m[2], mark);
      if (second.value !== undefined && ['', small].includes(unitKey(second.rest)) && /^\d+$/.test(first.plain)) {
        if (second.value >= many) return { problem: say('{typed} is {limit} or more. Write the rest below {limit}.', { typed: quoted(second.plain.replace('.', mark) + ' ' + small), limit: many + ' ' + small }) };
        parts[0].unit = big;
        parts.push({ value: second.value, plain: second.plain, unit: small });
        return { parts, sign };
      }
    }
    if (/^-|^\d|^[+*x×:]/.test(rest)) return { problem: say('Write one number only, not a range or a sum. I can read {read} but not {rest} after it.', { read: quoted(first.plain.replace('.', mark)), rest: quoted(rest) }) };
    return { problem: say('I do not know the unit {unit}. You can leave the unit out.', { unit: quoted(rest) }), unknownUnit: true };
  }

  /** {figure, unit} in a unit of `answer.accept`, or {problem}, or {either}. */
  function figureFor(raw, answer) {
    const mark = answer.decimal === ',' ? ',' : '.';
    let read = readNumber(raw, mark);
    if (read.either && (mark === ',' ? answer.point : answer.comma)) {
      const printed = readNumber(read.either[0], mark);
      if (printed.parts && !printed.capitalT && ['', answer.unit].includes(printed.parts[0].unit)) read = printed;
      else if (!printed.parts) read = printed;
    }
    const labels = Object.keys(answer.accept).filter((k) => k !== '1').map((k) => (UNIT.has(k) ? UNIT.get(k).label : k));
    const needs = labels.length
      ? say('This answer needs {what}, such as {units}.', { what: UNIT.has(answer.unit) ? UNIT.get(answer.unit).what : say('a unit'), units: listed(labels, true) })
      : say('This answer is a plain number, without a unit.');
    if (read.unknownUnit) return { problem: read.problem + ' ' + needs };
    if (read.problem || read.either) return read;
    const factor = read.sign === '-' ? -1 : 1;
    if (read.capitalT) {
      const both = ['ton', 't'].filter((k) => k in answer.accept);
      if (both.length === 2) return { either: ['ton', 't'].map((k) => read.sign + read.parts[0].plain.replace('.', mark) + ' ' + k) };
      read.parts[0].unit = both[0] || 't';
    }
    const [big, small] = read.parts;
    let unit = big.unit === '' ? answer.unit : big.unit;
    if (!(unit in answer.accept) && AS_FORCE[unit] in answer.accept) unit = AS_FORCE[unit];
    if (!small && unit in answer.accept) return { figure: factor * big.value, unit, read };
    if (small && big.unit in answer.accept) return { figure: factor * (big.value + small.value / SMALL[big.unit][1]), unit: big.unit, read };
    if (small && small.unit in answer.accept) return { figure: factor * (big.value * SMALL[big.unit][1] + small.value), unit: small.unit, read };
    return { problem: needs + ' ' + say('You wrote {answer}.', { answer: quoted(UNIT.get(unit) ? UNIT.get(unit).label || unit : unit) }) };
  }

  function within(ends, figure) {
    if (!ends) return false;
    const slack = 1e-8 * Math.max(Math.abs(ends[0]), Math.abs(ends[1]));
    return figure >= ends[0] - slack && figure <= ends[1] + slack;
  }

  window.seatworkNumbers = Object.freeze({ UNITS, UNIT, unitKey, inKeys, readNumber, figureFor, within, quoted });
})();
