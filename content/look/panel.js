/* Change a number. <seatwork-panel> holds a form of sliders, the printed example, drawings made
 * beforehand, and a JSON script with units and the working's template. The formula itself is a
 * function of window.seatworkFormulas, made from the same calculation as everything else.
 * Classic script: it must run from file://.
 */
(function () {
  "use strict";

  var say = window.seatworkSay.say;

  function toSI(value, scale) {
    if (scale === "tan") { return Math.tan(value * Math.PI / 180); }
    if (scale === "inverse") { return 1 / value; }
    return value * scale;
  }
  function fromSI(value, scale) {
    if (scale === "tan") { return Math.atan(value) * 180 / Math.PI; }
    if (scale === "inverse") { return 1 / value; }
    return value / scale;
  }
  /* half up, as on paper, or to the safe side of a limit (a most down, a least up); twelve digits
   * first, so that binary noise does not decide */
  function round(value, places, limit) {
    var steady = Number(value.toPrecision(12));
    var shift = Math.pow(10, Math.abs(places));
    var whole = Number((places < 0 ? steady / shift : steady * shift).toPrecision(12));
    whole = limit === "most" ? Math.floor(whole) : limit === "least" ? Math.ceil(whole)
      : whole < 0 ? -Math.round(-whole) : Math.round(whole);
    return places < 0 ? whole * shift : whole / shift;
  }
  function digitsOf(value, significant) {
    return value === 0 ? 0 : significant - 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-12);
  }
  function placesFor(value, significant) { return Math.max(digitsOf(value, significant), 0); }
  /* the figure that is printed for one worked out: no digit finer than its use */
  function printed(value, result) {
    if (result.count) { return value; }
    var places = result.places;
    if (places === null) {
      places = digitsOf(value, result.significant);
      if (-places <= result.longest - result.significant) { places = Math.max(places, 0); }
    }
    return round(value, places, result.limit);
  }
  /* as printed on the page: `how` has the decimal mark and the sign between thousands of these units */
  function written(value, places, how) {
    var text = Math.abs(value).toFixed(Math.min(Math.max(places, 0), 12));
    if (text.indexOf(".") >= 0) { text = text.replace(/0+$/, "").replace(/\.$/, ""); }
    var parts = text.split(".");
    parts[0] = parts[0].replace(/\B(?=(\d{3})+$)/g, how.group);
    return (value < 0 ? "−" : "") + parts.join(how.decimal);
  }
  function nearest(all, value) {
    var best = 0;
    all.forEach(function (at, i) { if (Math.abs(at - value) < Math.abs(all[best] - value)) { best = i; } });
    return best;
  }
  function unit(label) {
    return label === "" ? "" : (label === "°" || label === "%" || label === ":1" ? "" : " ") + label;
  }

  /* a figure with its unit, from a thousand on in the larger one that people say: 4.73 t for 4,730 kg */
  function told(value, places, item, how) {
    return item.larger && Math.abs(value) >= 1000
      ? written(Number((value / 1000).toPrecision(12)), places + 3, how) + unit(item.larger)
      : written(value, places, how) + unit(item.label);
  }

  class Panel extends HTMLElement {
    connectedCallback() {
      this.data = JSON.parse(this.querySelector('script[type="application/json"]').textContent);
      this.formula = (window.seatworkFormulas || {})[this.data.formula];
      if (!this.formula) { return; }
      this.values = {};
      this.addEventListener("input", this.move.bind(this));
      this.querySelector("form").addEventListener("submit", function (e) { e.preventDefault(); });
      this.onUnits = this.useUnits.bind(this);
      document.addEventListener("sw-units", this.onUnits);
      this.useUnits();
    }
    disconnectedCallback() { document.removeEventListener("sw-units", this.onUnits); }

    move() { this.moved = true; this.show(); }

    /* the reader's units: ranges and values over there, as near as a step allows; a panel that
     * nobody moved yet takes the round figures it opens with in those units */
    useUnits() {
      var system = document.documentElement.dataset.units === "metric" ? "metric" : "us";
      var before = this.system && this.moved ? this.data.system[this.system] : null;
      var now = this.data.system[system];
      var self = this;
      this.querySelectorAll('input[type="range"]').forEach(function (slider) {
        var to = now.inputs[slider.name], at = to.start;
        if (before) {
          var from = before.inputs[slider.name];
          at = nearest(to.places, fromSI(toSI(from.places[Number(slider.value)], from.scale), to.scale));
        }
        slider.min = "0"; slider.max = String(to.places.length - 1); slider.step = "1";
        slider.value = String(at);
        self.tick(slider, to, now.limit);
      });
      this.system = system;
      this.show();
    }

    /* the tick of the site's limit under its slider: under the middle of the thumb when it stands there */
    tick(slider, input, limit) {
      var tick = slider.parentNode.querySelector(".sw-tick");
      if (!tick || !limit) { return; }
      var at = input.places.indexOf(limit.figure), half = 8;
      tick.hidden = at < 0;
      if (at < 0) { return; }
      var share = at / (input.places.length - 1);
      tick.style.setProperty("--sw-at", "calc(" + half + "px + (100% - " + 2 * half + "px) * " + share + ")");
      tick.dataset.side = share > 0.5 ? "left" : "right";
    }

    past(limit, si) {
      var hair = Math.abs(limit.si) * 1e-9;
      return limit.way === "most" ? si > limit.si + hair : si < limit.si - hair;
    }

    show() {
      var now = this.data.system[this.system], result = now.result, si = {}, self = this, first = null;
      now.order.forEach(function (name) {
        var slider = self.querySelector('input[name="' + name + '"]');
        var value = slider ? now.inputs[name].places[Number(slider.value)] : now.inputs[name].value;
        si[name] = toSI(value, now.inputs[name].scale);
        if (slider) {
          if (name === self.data.moved) { first = value; }
          var text = told(value, 6, now.inputs[name], now);
          var over = now.limit && now.limit.on === name && self.past(now.limit, si[name]);
          var out = slider.parentNode.querySelector("output");
          out.textContent = "";
          out.appendChild(document.createElement(over ? "s" : "span")).textContent = text;
          slider.setAttribute("aria-valuetext", over ? text + ", " + now.limit.past : text);
        }
      });
      var exact = this.formula(si);
      var box = this.querySelector(".sw-panel-result");
      if (!isFinite(exact)) { box.textContent = say("These figures give no sensible result."); return; }
      var shown = fromSI(exact, result.scale);
      var places = this.places(shown, result), fine = round(shown, places), figure = printed(fine, result);
      var answer = told(figure, places, result, now);
      box.innerHTML = '<p class="sw-panel-answer"></p>' + this.working(now, si, exact)
        + (now.rounded && figure !== fine
          ? now.rounded.replace("⟦0⟧", written(fine, places, now)).replace("⟦1⟧", written(figure, places, now)) : "");
      var line = box.querySelector("p");
      line.textContent = result.meaning.charAt(0).toUpperCase() + result.meaning.slice(1) + ": ";
      var bold = line.appendChild(document.createElement("b"));
      if (now.limit && this.past(now.limit, now.limit.on ? si[now.limit.on] : exact)) {
        bold.appendChild(document.createElement("s")).textContent = answer;
        line.appendChild(document.createTextNode(" "));
        var words = line.appendChild(document.createElement("span"));
        words.className = "sw-past";
        words.textContent = now.limit.past;
      } else { bold.textContent = answer; }
      this.draw(first);
    }

    /* decimals of the figure worked out: a limit gets some more, and is rounded to the safe side after */
    places(value, result) {
      if (result.count) { return 0; }
      return (result.places !== null ? result.places : placesFor(value, result.significant)) + result.finer;
    }

    /* the line of working, with as many digits as it needs to come out as printed */
    working(now, si, exact) {
      var result = now.result, self = this;
      var target = fromSI(exact, result.work);
      var places = result.same ? this.places(target, result) : result.count ? 0 : placesFor(target, result.significant);
      for (var digits = 4; digits <= 12; digits += 1) {
        var figures = [], rounded = {};
        now.order.forEach(function (name) {
          var scale = now.inputs[name].work;
          var value = fromSI(si[name], scale);
          var keep = placesFor(value, digits);
          figures.push(written(round(value, keep), keep, now));
          rounded[name] = toSI(round(value, keep), scale);
        });
        if (round(fromSI(self.formula(rounded), result.work), places) === round(target, places) || digits === 12) {
          figures.push(written(round(target, places), places, now));
          return now.template.replace(/⟦(\d+)⟧/g, function (_, i) { return figures[Number(i)]; });
        }
      }
      return "";
    }

    /* a drawing was made for every place of the slider, in each system */
    draw(value) {
      var best = nearest(this.data.drawings[this.system] || [], value), self = this, seen = 0;
      this.querySelectorAll(".sw-panel-drawing").forEach(function (d) {
        d.hidden = d.dataset.system !== self.system || seen !== best;
        if (d.dataset.system === self.system) { seen += 1; }
      });
    }
  }
  window.customElements.define("seatwork-panel", Panel);
})();
