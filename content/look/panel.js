/* Change a number. <seatwork-panel> holds a form of sliders, the printed example, drawings made
 * beforehand, and a JSON script with units and the working's template. The formula itself is a
 * function of window.seatworkFormulas, made from the same calculation as everything else.
 * Classic script: it must run from file://.
 */
(function () {
  "use strict";

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
  /* half up, as on paper; twelve digits first, so that binary noise does not decide */
  function round(value, places) {
    var steady = Number(value.toPrecision(12));
    var shift = Math.pow(10, places);
    return Math.round(Number((steady * shift).toPrecision(12))) / shift;
  }
  function placesFor(value, significant) {
    return value === 0 ? 0 : Math.max(significant - 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-12), 0);
  }
  function written(value, places) {
    var text = Math.abs(value).toFixed(Math.min(Math.max(places, 0), 12));
    if (text.indexOf(".") >= 0) { text = text.replace(/0+$/, "").replace(/\.$/, ""); }
    var parts = text.split(".");
    parts[0] = parts[0].replace(/\B(?=(\d{3})+$)/g, ",");
    return (value < 0 ? "−" : "") + parts.join(".");
  }
  function unit(label) {
    return label === "" ? "" : (label === "°" || label === "%" || label === ":1" ? "" : " ") + label;
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
        var to = now.inputs[slider.name];
        var si = before ? toSI(Number(slider.value), before.inputs[slider.name].scale) : toSI(to.value, to.scale);
        slider.min = to.low; slider.max = to.high; slider.step = to.step;
        slider.value = String(fromSI(si, to.scale));
        self.values[slider.name] = si;
      });
      this.system = system;
      this.show();
    }

    show() {
      var now = this.data.system[this.system], result = now.result, si = {}, self = this, first = null;
      now.order.forEach(function (name) {
        var slider = self.querySelector('input[name="' + name + '"]');
        var value = slider ? Number(slider.value) : now.inputs[name].value;
        si[name] = toSI(value, now.inputs[name].scale);
        if (slider) {
          if (name === self.data.moved) { first = value; }
          var text = written(value, 6) + unit(now.inputs[name].label);
          slider.parentNode.querySelector("output").textContent = text;
          slider.setAttribute("aria-valuetext", text);
        }
      });
      var exact = this.formula(si);
      var box = this.querySelector(".sw-panel-result");
      if (!isFinite(exact)) { box.textContent = "These figures give no sensible result."; return; }
      var shown = fromSI(exact, result.scale);
      var places = result.count ? 0 : result.places !== null ? result.places : placesFor(shown, result.significant);
      var answer = written(round(shown, places), places) + unit(result.label);
      box.innerHTML = '<p class="sw-panel-answer"></p>' + this.working(now, si, exact);
      var line = box.querySelector("p");
      line.textContent = result.meaning.charAt(0).toUpperCase() + result.meaning.slice(1) + ": ";
      line.appendChild(document.createElement("b")).textContent = answer;
      this.draw(first);
    }

    /* the line of working, with as many digits as it needs to come out as printed */
    working(now, si, exact) {
      var result = now.result, self = this;
      var target = fromSI(exact, result.work);
      var places = result.count ? 0 : placesFor(target, result.significant);
      for (var digits = 4; digits <= 12; digits += 1) {
        var figures = [], rounded = {};
        now.order.forEach(function (name) {
          var scale = now.inputs[name].work;
          var value = fromSI(si[name], scale);
          var keep = placesFor(value, digits);
          figures.push(written(round(value, keep), keep));
          rounded[name] = toSI(round(value, keep), scale);
        });
        if (round(fromSI(self.formula(rounded), result.work), places) === round(target, places) || digits === 12) {
          figures.push(written(round(target, places), places));
          return now.template.replace(/⟦(\d+)⟧/g, function (_, i) { return figures[Number(i)]; });
        }
      }
      return "";
    }

    /* a drawing was made for every place of the slider, in each system */
    draw(value) {
      var best = 0, self = this, seen = 0;
      (this.data.drawings[this.system] || []).forEach(function (at, i, all) {
        if (Math.abs(at - value) < Math.abs(all[best] - value)) { best = i; }
      });
      this.querySelectorAll(".sw-panel-drawing").forEach(function (d) {
        d.hidden = d.dataset.system !== self.system || seen !== best;
        if (d.dataset.system === self.system) { seen += 1; }
      });
    }
  }
  window.customElements.define("seatwork-panel", Panel);
})();
