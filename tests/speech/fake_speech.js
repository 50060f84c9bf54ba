/* A stand-in for a browser's voices, which a headless one has none of: what is said is kept in window.said, and
 * window.finish() ends the text under way as a browser does. window.arrive(voices) brings voices late. */
(() => {
  const said = (window.said = []);
  const listeners = [];
  let voices = [];
  const synth = {
    speaking: false, paused: false, now: null, cancelled: 0,
    getVoices: () => voices.slice(),
    speak(u) { synth.now = u; synth.speaking = true; said.push(u); },
    // a browser tells later that a text was cancelled, when the next one is under way
    cancel() { const u = synth.now; synth.now = null; synth.speaking = false; synth.cancelled++; if (u) setTimeout(() => u.onerror({ error: 'canceled' }), 0); },
    pause() {}, resume() {},
    addEventListener(name, does) { listeners.push(does); },
  };
  window.finish = (fails) => {
    const u = synth.now;
    synth.now = null;
    synth.speaking = false;
    if (u) { if (fails) u.onerror({ error: 'synthesis-failed' }); else u.onend({}); }
  };
  window.arrive = (found) => { voices = found; listeners.forEach((does) => does()); };
  Object.defineProperty(window, 'speechSynthesis', { value: synth, configurable: true });
  window.SpeechSynthesisUtterance = function (text) { this.text = text; };
})();
