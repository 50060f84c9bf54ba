/*
 * The slip of a result, for whoever cannot send a file: shown on the phone, to be copied by hand or
 * photographed, and printed. It shows the short code in large letters and the long one as a QR code
 * (result-code.js says what each holds). Dark on white always, so that a photograph can be read.
 *
 * Defines seatworkSlip {showSlip(quiz, sum, title), qrSvg(text)}; sum is what the quiz keeps of a finished
 * try: {file, code, short, right, of, passed}. vendor/qrcode.js is fetched when the first slip is shown.
 */
(function () {
  'use strict';

  const here = document.currentScript ? /** @type {HTMLScriptElement} */ (document.currentScript).src : '';
  const { say, sayHtml, sayIn, sayMany } = window.seatworkSay;
  const QUIET = 4; // modules of white around a QR code, as its standard asks

  function el(tag, cls, ...inside) {
    const made = document.createElement(tag);
    if (cls) made.className = cls;
    made.append(...inside.filter((x) => x !== null));
    return made;
  }

  function button(text, cls, on) {
    const made = el('button', 'sq-button ' + cls, text);
    made.type = 'button';
    made.addEventListener('click', on);
    return made;
  }

  /** Fetches the library once. Resolves to whether it is there. */
  function library() {
    return new Promise((done) => {
      if (window.qrcode) { done(true); return; }
      const script = el('script', '');
      script.src = new URL('vendor/qrcode.js', here || document.baseURI).href;
      script.addEventListener('load', () => done(Boolean(window.qrcode)));
      script.addEventListener('error', () => { script.remove(); done(false); });
      document.head.append(script);
    });
  }

  /** A text of 0-9 A-Z and dashes as a QR code: error correction M, the smallest that holds it. */
  function qrSvg(text) {
    const qr = window.qrcode(0, 'M');
    qr.addData(text, 'Alphanumeric');
    qr.make();
    const count = qr.getModuleCount(), wide = count + 2 * QUIET;
    let path = '';
    for (let row = 0; row < count; row++) {
      for (let from = 0, to; from < count; from = to + 1) {
        for (to = from; to < count && qr.isDark(row, to); to++) { /* a run of dark modules */ }
        if (to > from) path += 'M' + (from + QUIET) + ' ' + (row + QUIET) + 'h' + (to - from) + 'v1h-' + (to - from) + 'z';
      }
    }
    const box = el('div', 'sq-slip-square');
    box.innerHTML = '<svg viewBox="0 0 ' + wide + ' ' + wide + '" role="img" aria-label="' + sayHtml('QR code with all letters of the long code') + '" shape-rendering="crispEdges">'
      + '<rect width="' + wide + '" height="' + wide + '" fill="#fff"></rect><path d="' + path + '" fill="#000"></path></svg>';
    return box;
  }

  const groups = (code) => code.split('-').map((group) => el('span', '', group));

  /** What a slip says, on the screen and on paper. */
  function content(sum, title, drawn) {
    const file = sum.file, list = el('dl', '');
    for (const [name, value] of [
      [say('Crew id'), file.crew], [say('Lesson'), title + ' (' + file.lesson + ')'], [say('Edition'), file.edition],
      [say('Finished'), file.finished.slice(0, 16).replace('T', ' ') + ' UTC'],
      [say('Result'), sum.passed ? say('{right} of {of} right, passed', { right: sum.right, of: sum.of }) : say('{right} of {of} right, not passed', { right: sum.right, of: sum.of })],
    ]) list.append(el('dt', '', name), el('dd', '', value));
    // the codes together, so that one photograph takes all; what they are worth stands below
    const out = [list], says = [];
    if (sum.short) {
      out.push(el('p', 'sq-slip-name', ...sayIn('{name}, to copy by hand:', { name: el('b', '', say('Short code')) })), el('p', 'sq-slip-short', ...groups(sum.short)));
      says.push(el('p', '', say('The short code says what this phone showed: who, which lesson, when, how many right. It is no proof. Your coordinator keeps it as told until the answers come in.')));
    }
    if (sum.code && drawn) {
      out.push(el('p', 'sq-slip-name', ...sayIn('{name}, to photograph or scan:', { name: el('b', '', say('Long code')) })), qrSvg(sum.code.replace(/-/g, '')));
      says.push(el('p', '', say('The square holds all answers, so they can be marked again.')));
    } else if (sum.code) says.push(el('p', '', say('The square could not be drawn here. The letters of the long code hold all answers, so they can be marked again.')));
    return out.concat(says);
  }

  const letters = (sum) => el('p', 'sq-slip-code', ...groups(sum.code));

  function title() { return el('p', 'sq-slip-title', say('Quiz result slip')); }

  /** Shows the slip over the page, within the quiz. */
  function showSlip(quiz, sum, name) {
    library().then((drawn) => {
      for (const old of quiz.querySelectorAll('dialog.sq-slip-shown')) old.remove();
      const dialog = el('dialog', 'sq-slip-shown'), head = title();
      // the paper slip hangs from <body>, so that a print rule can leave out everything beside it
      const clear = () => {
        document.documentElement.classList.remove('sq-printing');
        for (const old of document.querySelectorAll('body > .sq-slip')) old.remove();
      };
      const lay = () => {
        clear();
        document.body.append(el('div', 'sq-slip', title(), ...content(sum, name, drawn),
          sum.code ? el('p', '', sayMany('The long code in letters, {n} group of four. The last group guards against typing slips.', 'The long code in letters, {n} groups of four. The last group guards against typing slips.', sum.code.split('-').length)) : null,
          sum.code ? letters(sum) : null));
        document.documentElement.classList.add('sq-printing');
      };
      head.id = 'sq-slip-title';
      head.tabIndex = -1;
      head.setAttribute('autofocus', '');
      dialog.setAttribute('aria-labelledby', head.id);
      dialog.append(head, ...content(sum, name, drawn));
      if (sum.code) {
        const fold = el('details', '', el('summary', '', say('The long code in letters')), letters(sum));
        fold.open = !drawn;
        dialog.append(fold);
      }
      dialog.append(el('div', 'sq-row', button(say('Print the slip'), 'sq-print', () => { lay(); window.print(); }), button(say('Close'), 'sq-main sq-close', () => dialog.close())));
      dialog.addEventListener('close', () => {
        window.removeEventListener('beforeprint', lay);
        window.removeEventListener('afterprint', clear);
        dialog.remove();
      });
      // whichever way a print is asked for while the slip is shown, the slip is what is printed
      window.addEventListener('beforeprint', lay);
      window.addEventListener('afterprint', clear);
      quiz.append(dialog);
      dialog.showModal();
    });
  }

  window.seatworkSlip = Object.freeze({ showSlip, qrSvg });
})();
