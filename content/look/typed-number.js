/*
 * Reads a typed number with its unit, for <seatwork-quiz> (quiz.js). Defines seatworkNumbers.
 *
 * A TYPED NUMBER  (whoever marks again must read it the same way)
 *   sign? figure unit?  |  whole big-unit figure small-unit?   for ft+in, h+min, min+s
 *   figure: 5  5.5  5,5  .5  1/2  5 1/2  5-1/2  5½  1,234.5  1.234,5  1 234.5  1,234,567
 *   One point alone is always the decimal point. One comma alone is a decimal comma, but a
 *   comma after 1 to 3 digits (the first not 0) and before exactly 3 is read as the page prints it,
 *   for thousands, where the variant has answer.comma and the unit is none or answer.unit; anywhere
 *   else it is asked about, never guessed.
 *   No unit means the variant's answer.unit. "3:1" and "3 to 1" have the unit ":1". Units: table UNITS;
 *   capitals, dots and spaces do not matter ("cu. yd." = yd3), but a lone capital T is asked
 *   about where both ton and t are accepted. A figure counts where low <= figure <= high of
 *   accept[unit], widened by 1e-8 of the larger end for the last bit of floating point.
 */
(function () {
  'use strict';

  // ---- units: [key, what it measures, label, other spellings]; a row's place is used in slip
  // codes, so new rows go at the end and none is ever taken out ----
  const UNITS = [
    ['1', 'a plain number', '', 'pass|passes|truck|trucks|load|loads|bucket|buckets|trip|trips|times'],
    ['in', 'a length', 'in', 'inch|inches|"|\'\''], ['ft', 'a length', 'ft', 'foot|feet|\''],
    ['yd', 'a length', 'yd', 'yds|yard|yards'], ['mi', 'a length', 'mi', 'mile|miles'],
    ['mm', 'a length', 'mm', 'millimeter|millimeters|millimetre|millimetres'],
    ['cm', 'a length', 'cm', 'centimeter|centimeters|centimetre|centimetres'],
    ['m', 'a length', 'm', 'meter|meters|metre|metres'],
    ['km', 'a length', 'km', 'kilometer|kilometers|kilometre|kilometres'],
    ['ft2', 'an area', 'ft²', ''], ['in2', 'an area', 'in²', ''], ['yd2', 'an area', 'yd²', ''],
    ['acre', 'an area', 'acres', 'acres|ac'], ['m2', 'an area', 'm²', ''], ['cm2', 'an area', 'cm²', ''],
    ['ha', 'an area', 'ha', 'hectare|hectares'],
    ['ft3', 'a volume', 'ft³', 'cf'], ['yd3', 'a volume', 'yd³', 'cy|cyd'], ['m3', 'a volume', 'm³', ''],
    ['L', 'a volume', 'L', 'liter|liters|litre|litres'],
    ['lb', 'a weight', 'lb', 'lbs|pound|pounds'], ['ton', 'a weight', 'tons', 'tons|st|short ton|short tons'],
    ['kg', 'a weight', 'kg', 'kgs|kilo|kilos|kilogram|kilograms'],
    ['t', 'a weight', 't', 'tonne|tonnes|metric ton|metric tons'],
    ['lbf', 'a force', 'lbf', 'pound force|pounds force'], ['kN', 'a force', 'kN', ''], ['N', 'a force', 'N', ''],
    ['lb/yd3', 'a density', 'lb/yd³', ''], ['lb/ft3', 'a density', 'lb/ft³', 'pcf'],
    ['ton/yd3', 'a density', 'tons/yd³', ''], ['kg/m3', 'a density', 'kg/m³', ''], ['t/m3', 'a density', 't/m³', ''],
    ['lbf/ft3', 'a unit weight', 'lbf/ft³', ''], ['kN/m3', 'a unit weight', 'kN/m³', ''],
    ['lbf/ft2', 'a pressure', 'lbf/ft²', 'psf'], ['lb/ft2', 'a pressure', 'lb/ft²', ''],
    ['kg/m2', 'a pressure', 'kg/m²', ''], ['psi', 'a pressure', 'psi', ''], ['kPa', 'a pressure', 'kPa', ''],
    ['Pa', 'a pressure', 'Pa', ''],
    ['mph', 'a speed', 'mph', 'mi/h'], ['ft/min', 'a speed', 'ft/min', 'fpm'], ['ft/s', 'a speed', 'ft/s', ''],
    ['km/h', 'a speed', 'km/h', 'kph|kmh'], ['m/min', 'a speed', 'm/min', ''], ['m/s', 'a speed', 'm/s', ''],
    ['s', 'a time', 's', 'sec|secs|second|seconds'], ['min', 'a time', 'min', 'mins|minute|minutes'],
    ['h', 'a time', 'h', 'hr|hrs|hour|hours'], ['year', 'a time', 'years', 'years|yr|yrs'],
    ['min/h', 'minutes an hour', 'min/h', ''],
    ['deg', 'an angle', '°', '°|º|degree|degrees|degs'], ['rad', 'an angle', 'rad', 'radian|radians'],
    ['rpm', 'a turning speed', 'rpm', ''], ['deg/s', 'a turning speed', '°/s', '°/s'],
    ['yd3/h', 'a volume an hour', 'yd³/h', ''], ['m3/h', 'a volume an hour', 'm³/h', ''],
    ['yd3/min', 'a volume a minute', 'yd³/min', ''], ['m3/min', 'a volume a minute', 'm³/min', ''],
    ['ton/h', 'a weight an hour', 'tons/h', 'tph'], ['t/h', 'a weight an hour', 't/h', ''],
    ['acre/h', 'an area an hour', 'acres/h', ''], ['ha/h', 'an area an hour', 'ha/h', ''],
    ['ft2/h', 'an area an hour', 'ft²/h', ''], ['m2/h', 'an area an hour', 'm²/h', ''],
    ['1/h', 'a number an hour', 'per hour', 'per hour|an hour|/h|/hr'],
    ['1/min', 'a number a minute', 'per min', 'per minute|per min|a minute|/min'],
    ['lbf*ft', 'a turning force', 'lbf·ft', 'ft-lb|ft lb|ft*lb|lb-ft|lb ft|lbf ft'],
    ['kN*m', 'a turning force', 'kN·m', 'knm|kn m'],
    ['V', 'a voltage', 'V', 'volt|volts'], ['kV', 'a voltage', 'kV', 'kilovolt|kilovolts'],
    ['ft/kV', 'a distance for each kV', 'ft/kV', ''], ['m/kV', 'a distance for each kV', 'm/kV', ''],
    ['%', 'a percentage', '%', 'percent|per cent|pct'], [':1', 'a ratio', ':1', ''],
    ['lb/ton', 'a resistance', 'lb/ton', ''], ['kg/t', 'a resistance', 'kg/t', ''],
    ['lbf/lb', 'a pull on each pound', 'lbf/lb', ''], ['kN/t', 'a pull on each tonne', 'kN/t', ''],
    ['lcy', 'a loose volume', 'loose yd³', ''], ['lcm', 'a loose volume', 'loose m³', ''],
    ['bcy', 'a bank volume', 'bank yd³', ''], ['bcm', 'a bank volume', 'bank m³', ''],
    ['ccy', 'a compacted volume', 'compacted yd³', ''], ['ccm', 'a compacted volume', 'compacted m³', ''],
    ['hp', 'a power', 'hp', 'horsepower'], ['kW', 'a power', 'kW', 'kilowatt|kilowatts'],
    ['ft*lbf/min', 'a power', 'ft·lbf/min', ''], ['kN*m/min', 'a power', 'kN·m/min', ''],
  ];
  const UNIT = new Map(UNITS.map((row, place) => [row[0], { what: row[1], label: row[2], place }]));
  const SPELLED = new Map();
  for (const [key, , , others] of UNITS) {
    if (key !== '1') SPELLED.set(key.toLowerCase(), key);
    for (const other of others.split('|')) if (other) SPELLED.set(other, key);
  }
  const SMALL = { ft: ['in', 12], h: ['min', 60], min: ['s', 60] };
  const FRACTIONS = {
    '½': '1/2', '⅓': '1/3', '⅔': '2/3', '¼': '1/4', '¾': '3/4', '⅕': '1/5', '⅖': '2/5', '⅗': '3/5', '⅘': '4/5',
    '⅙': '1/6', '⅚': '5/6', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8',
  };

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

  const quoted = (text) => '“' + text + '”';
  const listed = (words, last = ' or ') => (words.length < 2 ? words.join('') : words.slice(0, -1).join(', ') + last + words[words.length - 1]);

  /** The figure at the start of `text`: {value, plain, rest}, or {problem} or {either: [a, b]}. */
  function leadingFigure(text) {
    let m = /^(\d+)(?: +| ?- ?)(\d+) ?\/ ?(\d+)/.exec(text);
    if (m || (m = /^()(\d+) ?\/ ?(\d+)/.exec(text))) {
      const [whole, top, bottom] = [m[1], m[2], m[3]].map(Number);
      if (bottom === 0 || (m[1] && top >= bottom)) {
        return { problem: 'The fraction in ' + quoted(m[0]) + ' cannot be read. Write it like 5 1/2.' };
      }
      const plain = (m[1] ? m[1] + ' ' : '') + m[2] + '/' + m[3];
      return { value: whole + top / bottom, plain, rest: text.slice(m[0].length) };
    }
    m = /^\d{1,3}(?: \d{3})+(?![\d])(?:[.,]\d+)?/.exec(text);
    const spaced = m !== null;
    if (!m) m = /^\d[\d.,]*|^[.,]\d+/.exec(text);
    if (!m) return { problem: 'There is no number in ' + quoted(text) + '. Write a figure, such as 5.5.' };
    const figure = m[0], rest = text.slice(figure.length);
    const done = (plain) => ({ value: Number(plain), plain: plain.replace(/^\./, '0.').replace(/\.$/, ''), rest });
    if (spaced) return done(figure.replace(/ /g, '').replace(',', '.'));
    const commas = figure.split(',').length - 1, points = figure.split('.').length - 1;
    if (commas === 0 && points < 2) return done(figure);
    if (/^\d{1,3}(,\d{3})+\.\d*$/.test(figure) || /^\d{1,3}(,\d{3}){2,}$/.test(figure)) return done(figure.replace(/,/g, ''));
    if (/^\d{1,3}(\.\d{3})+,\d*$/.test(figure) || /^\d{1,3}(\.\d{3}){2,}$/.test(figure)) {
      return done(figure.replace(/\./g, '').replace(',', '.'));
    }
    if (commas === 1 && points === 0) {
      if (/^[1-9]\d{0,2},\d{3}$/.test(figure)) return { either: [figure.replace(',', ''), figure.replace(',', '.')], rest };
      return done(figure.replace(',', '.'));
    }
    return { problem: 'The points and commas in ' + quoted(figure) + ' cannot be read. Write 1234.5 or 1,234.5.' };
  }

  /**
   * What was typed. {parts: [{value, plain, unit}], sign} with unit '' where none was typed;
   * {problem: words} where it cannot be read; {either: [text, text]} where it reads two ways.
   */
  function readNumber(raw) {
    let text = String(raw).replace(/[\u00a0\u2000-\u200a\u202f]/g, ' ').replace(/[−–]/g, '-').replace(/⁄/g, '/')
      .replace(/[′‘’]/g, "'").replace(/[″“”]/g, '"').replace(/(\d?) ?([½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])/g, (_, d, f) => (d ? d + ' ' : '') + FRACTIONS[f])
      .replace(/\s+/g, ' ').trim();
    if (text === '') return { problem: 'Type your answer first.' };
    let sign = '';
    if (/^[-+]/.test(text)) {
      sign = text[0] === '-' ? '-' : '';
      text = text.slice(1).trim();
    }
    const first = leadingFigure(text);
    if (first.problem) return first;
    if (first.either) return { either: first.either.map((figure) => sign + figure + first.rest) };
    const rest = first.rest.trim().replace(/^-(?=[a-z])/i, '');
    const parts = [{ value: first.value, plain: first.plain, unit: '' }];
    if (/^(:|to\b)/i.test(rest)) {
      if (/^(:|to) ?1$/i.test(rest)) parts[0].unit = ':1';
      else return { problem: 'Write the ratio with the 1 last, such as 3:1.' };
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
      const second = leadingFigure(m[2]);
      if (second.value !== undefined && ['', small].includes(unitKey(second.rest)) && /^\d+$/.test(first.plain)) {
        if (second.value >= many) return { problem: quoted(second.plain + ' ' + small) + ' is ' + many + ' ' + small + ' or more. Write the rest below ' + many + ' ' + small + '.' };
        parts[0].unit = big;
        parts.push({ value: second.value, plain: second.plain, unit: small });
        return { parts, sign };
      }
    }
    if (/^-|^\d|^[+*x×:]/.test(rest)) return { problem: 'Write one number only, not a range or a sum. I can read ' + quoted(first.plain) + ' but not ' + quoted(rest) + ' after it.' };
    return { problem: 'I do not know the unit ' + quoted(rest) + '. You can leave the unit out.', unknownUnit: true };
  }

  /** {figure, unit} in a unit of `answer.accept`, or {problem}, or {either}. */
  function figureFor(raw, answer) {
    let read = readNumber(raw);
    if (read.either && answer.comma) {
      const printed = readNumber(read.either[0]);
      if (printed.parts && !printed.capitalT && ['', answer.unit].includes(printed.parts[0].unit)) read = printed;
      else if (!printed.parts) read = printed;
    }
    const labels = Object.keys(answer.accept).filter((k) => k !== '1').map((k) => (UNIT.has(k) ? UNIT.get(k).label : k));
    const needs = labels.length
      ? 'This answer needs ' + (UNIT.has(answer.unit) ? UNIT.get(answer.unit).what : 'a unit') + ', such as ' + listed(labels) + '.'
      : 'This answer is a plain number, without a unit.';
    if (read.unknownUnit) return { problem: read.problem + ' ' + needs };
    if (read.problem || read.either) return read;
    const factor = read.sign === '-' ? -1 : 1;
    if (read.capitalT) {
      const both = ['ton', 't'].filter((k) => k in answer.accept);
      if (both.length === 2) return { either: [read.sign + read.parts[0].plain + ' ton', read.sign + read.parts[0].plain + ' t'] };
      read.parts[0].unit = both[0] || 't';
    }
    const [big, small] = read.parts;
    const unit = big.unit === '' ? answer.unit : big.unit;
    if (!small && unit in answer.accept) return { figure: factor * big.value, unit, read };
    if (small && big.unit in answer.accept) return { figure: factor * (big.value + small.value / SMALL[big.unit][1]), unit: big.unit, read };
    if (small && small.unit in answer.accept) return { figure: factor * (big.value * SMALL[big.unit][1] + small.value), unit: small.unit, read };
    return { problem: needs + ' You wrote ' + quoted(UNIT.get(unit) ? UNIT.get(unit).label || unit : unit) + '.' };
  }

  function within(ends, figure) {
    if (!ends) return false;
    const slack = 1e-8 * Math.max(Math.abs(ends[0]), Math.abs(ends[1]));
    return figure >= ends[0] - slack && figure <= ends[1] + slack;
  }

  window.seatworkNumbers = Object.freeze({ UNITS, UNIT, unitKey, readNumber, figureFor, within, quoted, listed });
})();
