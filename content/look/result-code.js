/*
 * What an operator hands in: the result file's check and the slip's code, for <seatwork-quiz>
 * (quiz.js). Needs seatworkNumbers (typed-number.js). Defines seatworkResults.
 *
 * THE RESULT FILE  {"seatwork_result":1, crew, lesson, edition, site, units, pass_mark, started,
 *   finished, tries, answers: [{q, variant, units, answer, at}], score_shown, figures, set, language, check}.
 *   figures (8 hex digits, where the page has them) names the figures of the lesson. set (where a
 *   try asks only some of the lesson's questions) says which: its place in the page's sets. language is that of
 *   the page, as two letters; where it is not told, the site's main one. check is
 *   FNV-1a (32 bit, 8 small hex digits) over the file's JSON without check: keys sorted, no
 *   spaces, every character outside space..tilde as \uXXXX. It finds damage, not cheating.
 *
 * THE SLIP CODE  all answers, to be marked again; a slip shows it as a QR code. Crockford base 32 (0-9 A-Z without I L O U), groups of 4 joined by "-".
 *   The last group is the checksum: FNV-1a over the other characters (no dashes), folded to 20 bits:
 *   (h >> 20) ^ (h & 0xFFFFF). The others are 5 bits each, highest bit first:
 *      4  layout: 3 where the result has a set and figures, 2 where it has figures, else 1
 *      text crew, text lesson, text edition; a text is 1 bit form, then
 *         form 0: 6 bits length, then 6 bits a character of 0-9 A-Z a-z - .   (in this order)
 *         form 1: 8 bits length, then that many bytes of UTF-8
 *     20  only in layouts 2 and 3: the first 5 hex digits of figures
 *     10  only in layout 5: language, two letters of 5 bits, a = 0
 *      1  only in layout 5: whether a set follows
 *      8  in layout 3, and in 5 where it follows: set
 *     25  finish, in minutes since 2020-01-01 00:00 UTC
 *      6  number of questions asked; then for each, in the page's order:
 *      1  units: 0 us, 1 metric
 *      3  kind: 0 number, 1 one, 2 several, 3 order, 4 point
 *      8  variant
 *         number:     nibbles of 4 bits: 0-9 digits, 10 ".", 11 "/", 12 space, 13 "-", 14 unit (then
 *                     8 bits: place in UNITS), 15 end. "5 ft 6 in" is 5 [14] ft 6 [14] in [15].
 *         one, point: 5 bits, index of the choice or spot
 *         several:    5 bits number of choices, then 1 bit a choice (1 = picked), choice 0 first
 *         order:      5 bits number of items, then 5 bits an item, in the order given
 *   Zero bits fill up to a multiple of 20.
 *
 * THE SHORT CODE  the same letters and the same last group, 24 letters in all, to be copied by hand. It has no answers,
 *   so it cannot be marked again: whoever reads it keeps it as what the phone showed, until the file or the slip code
 *   of the try comes. A hash is FNV-1a folded to so many bits: ((h >> bits) ^ h) without what stands higher.
 *      4  layout: 4
 *     21  hash of the crew id with a-z as A-Z, as JSON like that of check
 *     20  the first 5 hex digits of figures; without figures the hash of [lesson, edition] as JSON
 *      9  hash of [lesson, edition] as JSON
 *     24  finish, in minutes since 2020-01-01 00:00 UTC
 *      5  how many were right
 *      5  of how many
 *      1  whether a question that must be right was missed
 *     11  hash of the answers: set (or nothing) "|" and, with ";" between them, for each u or m, the variant, ":"
 *         and for a number its sign, then each of its parts as plain figure, space, unit, with a space between them;
 *         otherwise the picked indexes with "," between them, in the order given
 */
(function () {
  'use strict';

  if (!window.seatworkNumbers) return;
  const { UNIT, figureFor } = window.seatworkNumbers;

  function fnv1a(ascii) {
    let h = 0x811c9dc5;
    for (let i = 0; i < ascii.length; i++) h = Math.imul(h ^ ascii.charCodeAt(i), 0x01000193) >>> 0;
    return h >>> 0;
  }

  const escaped = (json) => json.replace(/[^ -~]/g, (c) => '\\u' + c.charCodeAt(0).toString(16).padStart(4, '0'));

  /** JSON with sorted keys, no spaces, ASCII only: the same text whoever writes it. */
  function canonical(value) {
    if (Array.isArray(value)) return '[' + value.map(canonical).join(',') + ']';
    if (value && typeof value === 'object') {
      return '{' + Object.keys(value).sort().map((k) => canonical(k) + ':' + canonical(value[k])).join(',') + '}';
    }
    return escaped(JSON.stringify(value));
  }

  const hash = (value, bits) => {
    const h = fnv1a(typeof value === 'string' ? value : canonical(value));
    return ((h >>> bits) ^ h) & (2 ** bits - 1);
  };

  const withCheck = (file) => Object.assign({}, file, { check: fnv1a(canonical(file)).toString(16).padStart(8, '0') });

  const BASE32 = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
  const PLAIN = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-.';
  const KINDS = ['number', 'one', 'several', 'order', 'point'];

  /** The slip's code (layout at the top of this file) of a result and the questions it was asked; null where it does not fit. */
  function slipCode(result, questions) {
    let bits = '';
    let fits = true;
    const put = (value, width) => {
      if (!(value >= 0 && value < 2 ** width)) fits = false;
      bits += value.toString(2).padStart(width, '0');
    };
    const putText = (text) => {
      const places = Array.from(text, (c) => PLAIN.indexOf(c));
      const plain = places.every((p) => p >= 0) && places.length < 64;
      const rows = plain ? places : Array.from(new TextEncoder().encode(text));
      put(plain ? 0 : 1, 1);
      put(rows.length, plain ? 6 : 8);
      for (const row of rows) put(row, plain ? 6 : 8);
    };
    const drawn = result.set !== undefined;
    if (drawn && !result.figures) fits = false;
    const spoken = result.figures && /^[a-z]{2}$/.test(result.language || '');  // elsewhere there is no room for it
    put(spoken ? 5 : drawn ? 3 : result.figures ? 2 : 1, 4);
    [result.crew, result.lesson, result.edition].forEach(putText);
    if (result.figures) put(parseInt(result.figures.slice(0, 5), 16), 20);
    if (spoken) {
      for (const c of result.language) put(c.charCodeAt(0) - 97, 5);
      put(drawn ? 1 : 0, 1);
    }
    if (drawn) put(result.set, 8);
    put(Math.floor((Date.parse(result.finished) - Date.UTC(2020, 0, 1)) / 60000), 25);
    put(result.answers.length, 6);
    result.answers.forEach((a, i) => {
      const q = questions[i];
      const count = q.kind === 'order' || q.kind === 'several' ? q.texts.us.length : 0;
      put(a.units === 'metric' ? 1 : 0, 1);
      put(KINDS.indexOf(q.kind), 3);
      put(a.variant, 8);
      if (q.kind === 'number') {
        const read = figureFor(a.answer, q.variants[a.variant][a.units].answer).read;
        if (read.sign) put(13, 4);
        for (const part of read.parts) {
          for (const c of part.plain) put('0123456789./ -'.indexOf(c), 4);
          if (part.unit) {
            put(14, 4);
            put(UNIT.has(part.unit) ? UNIT.get(part.unit).place : -1, 8);
          }
        }
        put(15, 4);
      } else if (q.kind === 'several') {
        put(count, 5);
        for (let c = 0; c < count; c++) put(a.answer.includes(c) ? 1 : 0, 1);
      } else if (q.kind === 'order') {
        put(count, 5);
        for (const item of a.answer) put(item, 5);
      } else put(a.answer[0], 5);
    });
    if (!fits) return null;
    return lettersOf(bits);
  }

  /** Bits as letters with the last group, in groups of four. */
  function lettersOf(bits) {
    const all = bits.padEnd(Math.ceil(bits.length / 20) * 20, '0');
    let code = '';
    for (let i = 0; i < all.length; i += 5) code += BASE32[parseInt(all.slice(i, i + 5), 2)];
    const sum = hash(code, 20);
    for (const shift of [15, 10, 5, 0]) code += BASE32[(sum >>> shift) & 31];
    return code.match(/.{4}/g).join('-');
  }

  /** The short code (layout at the top of this file) of a result, its questions and {right, of, must: [missed]}; null where it does not fit. */
  function shortCode(result, questions, score) {
    const answers = result.answers.map((a, i) => {
      const q = questions[i];
      const head = a.units[0] + a.variant + ':';
      if (q.kind !== 'number') return head + a.answer.join(',');
      const read = figureFor(a.answer, q.variants[a.variant][a.units].answer).read;
      return head + (read.sign || '') + read.parts.map((part) => part.plain + ' ' + (part.unit || '')).join(' ');
    });
    const which = [result.lesson, result.edition];
    const rows = [
      [4, 4],
      [hash(canonical(result.crew.replace(/[a-z]/g, (c) => c.toUpperCase())), 21), 21],
      [result.figures ? parseInt(result.figures.slice(0, 5), 16) : hash(which, 20), 20],
      [hash(which, 9), 9],
      [Math.floor((Date.parse(result.finished) - Date.UTC(2020, 0, 1)) / 60000), 24],
      [score.right, 5],
      [score.of, 5],
      [score.must.length ? 1 : 0, 1],
      [hash((result.set === undefined ? '' : result.set) + '|' + answers.join(';'), 11), 11],
    ];
    if (!rows.every(([value, width]) => value >= 0 && value < 2 ** width)) return null;
    return lettersOf(rows.map(([value, width]) => value.toString(2).padStart(width, '0')).join(''));
  }

  // ---- the file that is saved or handed in ----

  const fileText = (file) => JSON.stringify(file, null, 1) + '\n';
  const fileName = (...parts) => ['seatwork', ...parts].join('_').replace(/[^\w.-]+/g, '-') + '.json';
  const stamp = (iso) => iso.replace(/[-:]/g, '');
  const resultName = (file) => fileName(file.crew, file.lesson, file.edition, stamp(file.finished));
  const signedName = (file) => fileName('sign-off', file.entries[0].crew, file.mentor, stamp(file.signed));

  function saveFile(name, text) {
    const link = document.createElement('a');
    link.download = name;
    link.href = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  window.seatworkResults = Object.freeze({ KINDS, fnv1a, escaped, canonical, withCheck, slipCode, shortCode, fileText, resultName, signedName, saveFile });
})();
