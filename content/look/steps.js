/* Scenes in steps, and the wrong way beside the right one.
 *
 * MARKUP  figure[data-steps]                     a scene of so many steps
 *           .sw-stage svg use.now                shows one step; step k is the element SVG-ID-sK, and its
 *                                                sentence its data-says (data-says-si in metric units)
 *           ol.sw-strip                          six of the steps, for paper and where no script runs
 *         .sw-ways                               a pair: figures with data-way="wrong" and "right"; a narrow
 *                                                screen opens with data-first, or else with the wrong one
 *
 * Each scene gets buttons, a slider, keys and a swipe; a scene or a pair can be shown on the wall. Nothing
 * is kept. Where the reader wants less motion there is no Play. Classic script: it must run from file://.
 */
(function () {
  "use strict";

  var say = window.seatworkSay.say;
  var calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  var narrow = window.matchMedia("(max-width: 44.99rem)");
  var playing = null; // the scene that plays

  function el(tag, cls, text) {
    var made = document.createElement(tag);
    if (cls) { made.className = cls; }
    if (text) { made.textContent = text; }
    return made;
  }
  function button(text, cls, does) {
    var made = el("button", "sw-button " + cls, text);
    made.type = "button";
    made.addEventListener("click", does);
    return made;
  }
  /* a figure and its unit stay on one line */
  function kept(words) {
    return words.replace(/(\d) (?=(?:ft|in|yd|mi|m|cm|mm|km|lb|lbf|kg|kN|t|tons?)[²³]?(?![\p{L}\d]))/gu, "$1\u00a0");
  }
  function put(where, us, si) {
    us = kept(us);
    si = kept(si);
    var parts = us === si ? [el("span", "", us)] : [el("span", "us", us), el("span", "si", si)];
    where.replaceChildren.apply(where, parts);
  }

  /* ---- one scene ---- */

  function Scene(figure) {
    var self = this, svg = figure.querySelector(".sw-stage svg");
    this.figure = figure;
    this.id = svg.id;
    this.count = Number(figure.dataset.steps);
    this.box = svg.getAttribute("viewBox");
    this.now = svg.querySelector("use.now");
    this.at = 1;
    this.timer = 0;
    this.watchers = [];

    var stage = figure.querySelector(".sw-stage");
    stage.tabIndex = 0;
    stage.setAttribute("role", "group");
    stage.setAttribute("aria-label", say("Steps of the picture. The arrow keys go on and back, Home and End to the first and the last."));
    /* the place of the words is as high as the longest of them needs: the buttons below stay under the thumb */
    this.said = el("p", "sw-said");
    var longest = el("p", "sw-longest"), saying = el("div", "sw-saying");
    longest.setAttribute("aria-hidden", "true");
    put(longest, this.longest("says"), this.longest("saysSi"));
    saying.append(this.said, longest);
    this.bar = el("div", "sw-steps-bar");
    this.back = button("◀ " + say("Go back"), "sw-step-back", function () { self.go(self.at - 1); });
    this.play = button("▶ " + say("Play"), "sw-step-play", function () { if (self.timer) { self.stop(); } else { self.start(); } });
    this.next = button(say("Next") + " ▶", "sw-step-next", function () { self.go(self.at + 1); });
    this.slide = el("input");
    this.slide.type = "range";
    this.slide.min = "1";
    this.slide.max = String(this.count);
    this.slide.addEventListener("input", function () { self.go(Number(self.slide.value)); });
    this.which = el("span");
    var label = el("label", "sw-step-slide");
    label.append(this.which, this.slide);
    this.bar.append(this.back, this.play, this.next, label);
    stage.after(saying, this.bar);
    figure.classList.add("sw-on");
    this.show(1);
    this.hush(false);

    figure.addEventListener("keydown", function (event) {
      if (event.altKey || event.ctrlKey || event.metaKey || event.target === self.slide) { return; }
      var to = { ArrowLeft: self.at - 1, ArrowRight: self.at + 1, Home: 1, End: self.count }[event.key];
      if (to !== undefined) { self.go(to); event.preventDefault(); }
    });
    swipe(stage, function (way) { self.go(self.at + way); });
    function fewer() {
      self.play.hidden = calm.matches;
      if (calm.matches) { self.stop(); }
    }
    calm.addEventListener("change", fewer);
    fewer();
    if (window.IntersectionObserver) {
      new IntersectionObserver(function (seen) {
        if (!seen[seen.length - 1].isIntersecting && !wall.open) { self.stop(); }
      }, { threshold: 0.1 }).observe(figure);
    }
  }
  Scene.prototype.longest = function (which) {
    var found = "";
    for (var k = 1; k <= this.count; k += 1) {
      var step = document.getElementById(this.id + "-s" + k).dataset, words = step[which] || step.says;
      if (words.length > found.length) { found = words; }
    }
    return found;
  };
  Scene.prototype.says = function () {
    var step = document.getElementById(this.id + "-s" + this.at);
    return [step.dataset.says, step.dataset.saysSi || step.dataset.says];
  };
  /* while it plays nothing is read out: each sentence would cut off the one before */
  Scene.prototype.hush = function (quiet) {
    this.said.setAttribute("aria-live", quiet ? "off" : "polite");
    this.said.setAttribute("aria-atomic", "true");
  };
  Scene.prototype.show = function (k) {
    this.at = Math.min(Math.max(k, 1), this.count);
    this.now.setAttribute("href", "#" + this.id + "-s" + this.at);
    put.apply(null, [this.said].concat(this.says()));
    this.slide.value = String(this.at);
    this.slide.setAttribute("aria-valuetext", say("{n} of {all}", { n: this.at, all: this.count }));
    this.which.textContent = say("Step {n} of {all}", { n: this.at, all: this.count });
    /* a button that cannot be used keeps the focus it has */
    this.back.setAttribute("aria-disabled", String(this.at === 1));
    this.next.setAttribute("aria-disabled", String(this.at === this.count));
    this.watchers.forEach(function (told) { told(); });
  };
  Scene.prototype.go = function (k) {
    this.stop();
    this.show(k);
  };
  Scene.prototype.start = function () {
    var self = this;
    if (playing) { playing.stop(); }
    playing = this;
    this.hush(true);
    this.play.textContent = "❚❚ " + say("Pause");
    if (this.at === this.count) { this.show(1); }
    function on() {
      self.timer = window.setTimeout(function () {
        self.show(self.at + 1);
        if (self.at < self.count) { on(); } else { self.stop(); }
      }, Math.min(Math.max(1000, 14 * self.says()[0].length), 3000));
    }
    on();
    this.watchers.forEach(function (told) { told(); });
  };
  Scene.prototype.stop = function () {
    if (!this.timer) { return; }
    window.clearTimeout(this.timer);
    this.timer = 0;
    if (playing === this) { playing = null; }
    this.play.textContent = "▶ " + say("Play");
    this.hush(false);
    put.apply(null, [this.said].concat(this.says())); // read out where it stands
    this.watchers.forEach(function (told) { told(); });
  };
  Scene.prototype.picture = function () {
    var made = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    var use = document.createElementNS("http://www.w3.org/2000/svg", "use");
    made.setAttribute("class", "drawing");
    made.setAttribute("viewBox", this.box);
    made.setAttribute("stroke-linejoin", "round");
    made.setAttribute("stroke-linecap", "round");
    use.setAttribute("href", "#" + this.id + "-s" + this.at);
    made.append(use);
    return made;
  };

  function swipe(where, does) {
    var from = null;
    where.addEventListener("touchstart", function (event) {
      from = event.touches.length === 1 ? event.touches[0] : null;
    }, { passive: true });
    where.addEventListener("touchend", function (event) {
      if (!from) { return; }
      var dx = event.changedTouches[0].clientX - from.clientX, dy = event.changedTouches[0].clientY - from.clientY;
      from = null;
      if (Math.abs(dx) > 40 && Math.abs(dx) > 2 * Math.abs(dy)) { does(dx < 0 ? 1 : -1); }
    });
  }

  /* ---- a pair on a narrow screen: one way at a time ---- */

  function pick(ways) {
    var figures = Array.from(ways.querySelectorAll("figure[data-way]"));
    var row = el("div", "sw-pick"), buttons = figures.map(function (figure) {
      var made = button("", "", function () { ways.dataset.show = figure.dataset.way; settle(); });
      var sign = figure.querySelector(".sw-sign").cloneNode(true);
      made.append(sign, el("span", "", figure.dataset.way === "wrong" ? say("The wrong way") : say("The right way")));
      row.append(made);
      return made;
    });
    function settle() {
      figures.forEach(function (figure, i) {
        var on = figure.dataset.way === ways.dataset.show;
        buttons[i].setAttribute("aria-pressed", String(on));
        figure.inert = narrow.matches && !on;
        if (!on && narrow.matches && figure.scene) { figure.scene.stop(); }
      });
    }
    row.setAttribute("role", "group");
    row.setAttribute("aria-label", say("Which way to look at"));
    ways.prepend(row);
    ways.dataset.show = ways.dataset.first || "wrong";
    narrow.addEventListener("change", settle);
    settle();
  }

  /* ---- on the wall ---- */

  var wall = { open: false };

  function enter(figures, first) {
    var at = first, stage = el("div", "sw-wall-stage"), said = el("p", "sw-wall-said"), head = el("p", "sw-way");
    var keys = el("p", "sw-wall-keys"), bar = el("div", "sw-wall-bar"), box = el("dialog", "sw-wall");
    var pair = figures.length > 1;

    function scene() { return figures[at].scene; }
    function draw() {
      var figure = figures[at], way = figure.querySelector(".sw-way"), now = scene();
      head.replaceChildren.apply(head, way ? Array.from(way.cloneNode(true).childNodes) : []);
      head.hidden = !way;
      box.dataset.way = figure.dataset.way || "";
      if (now) {
        stage.replaceChildren(now.picture());
        put.apply(null, [said].concat(now.says()));
        play.textContent = now.timer ? "❚❚ " + say("Pause") : "▶ " + say("Play");
      } else {
        stage.replaceChildren(figure.querySelector("svg.drawing").cloneNode(true));
        said.replaceChildren();
      }
      play.hidden = calm.matches || !now;
    }
    function turn(to, step) {
      if (scene()) { scene().stop(); }
      at = to;
      if (step && scene()) { scene().show(step); }
      draw();
    }
    function on(way) {
      var now = scene(), to = at + way;
      keys.hidden = true;
      if (now && now.at + way >= 1 && now.at + way <= now.count) {
        now.go(now.at + way);
      } else if (to >= 0 && to < figures.length) {
        turn(to, way > 0 ? 1 : Infinity);
      }
    }
    function jump(way) {
      var to = figures.findIndex(function (figure) { return figure.dataset.way === way; });
      keys.hidden = true;
      if (to >= 0) { turn(to, 0); }
    }
    function leave() {
      if (!wall.open) { return; }
      wall.open = false;
      figures.forEach(function (figure) {
        if (figure.scene) {
          figure.scene.stop();
          figure.scene.watchers = [];
        }
      });
      document.removeEventListener("fullscreenchange", left);
      if (document.fullscreenElement) { document.exitFullscreen().catch(function () {}); }
      box.close();
      box.remove();
      if (back) { back.focus(); }
    }
    function left() { if (!document.fullscreenElement) { leave(); } }

    var back = /** @type {HTMLElement | null} */ (document.activeElement);
    var play = button("▶ " + say("Play"), "", function () { var now = scene(); if (now.timer) { now.stop(); } else { now.start(); } });
    bar.append(button("◀ " + say("Go back"), "", function () { on(-1); }), play, button(say("Next") + " ▶", "sw-wall-next", function () { on(1); }));
    if (pair) {
      bar.append(button(say("Wrong (w)"), "", function () { jump("wrong"); }), button(say("Right (r)"), "", function () { jump("right"); }));
    }
    bar.append(button(say("Leave (Esc)"), "", leave));
    keys.textContent = pair ? say("→ or Page Down: next. ← or Page Up: back. Home, End: first, last. w: the wrong way. r: the right way. Escape: leave.")
      : say("→ or Page Down: next. ← or Page Up: back. Home, End: first, last. Escape: leave.");
    said.setAttribute("aria-live", "polite");
    said.hidden = !figures.some(function (figure) { return figure.scene; }); // pictures without steps have the room for themselves
    box.setAttribute("aria-label", say("On the wall"));
    box.append(head, stage, said, keys, bar);
    box.addEventListener("cancel", function (event) { event.preventDefault(); leave(); });
    box.addEventListener("keydown", function (event) {
      if (event.altKey || event.ctrlKey || event.metaKey) { return; }
      var now = scene(), does = {
        ArrowRight: function () { on(1); }, PageDown: function () { on(1); },
        ArrowLeft: function () { on(-1); }, PageUp: function () { on(-1); },
        Home: function () { if (now) { now.go(1); } }, End: function () { if (now) { now.go(now.count); } },
        w: function () { jump("wrong"); }, r: function () { jump("right"); }
      }[event.key.length === 1 ? event.key.toLowerCase() : event.key];
      if (does) { does(); event.preventDefault(); }
    });
    swipe(stage, on);
    figures.forEach(function (figure) { if (figure.scene) { figure.scene.stop(); figure.scene.watchers = [draw]; } });
    document.body.append(box);
    wall.open = true;
    draw();
    box.showModal();
    box.querySelector(".sw-wall-next").focus();
    if (document.documentElement.requestFullscreen) {
      document.documentElement.requestFullscreen().then(function () {
        document.addEventListener("fullscreenchange", left);
      }).catch(function () { /* the page itself is the wall then */ });
    }
  }

  function start() {
    document.querySelectorAll("figure[data-steps]").forEach(function (figure) { figure.scene = new Scene(figure); });
    document.querySelectorAll(".sw-ways").forEach(function (ways) {
      var figures = Array.from(ways.querySelectorAll("figure[data-way]"));
      pick(ways);
      ways.append(button(say("On the wall"), "sw-to-wall", function () {
        enter(figures, narrow.matches && ways.dataset.show === "right" ? 1 : 0);
      }));
    });
    document.querySelectorAll("figure[data-steps]:not([data-way])").forEach(function (figure) {
      figure.scene.bar.append(button(say("On the wall"), "sw-to-wall", function () { enter([figure], 0); }));
    });
    document.addEventListener("visibilitychange", function () { if (document.hidden && playing) { playing.stop(); } });
  }

  if (document.readyState === "loading") { document.addEventListener("DOMContentLoaded", start); } else { start(); }
})();
