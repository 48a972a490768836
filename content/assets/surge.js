/* Try it: the surge solver of tools/firstway/calculations/surge.py, and the controls that drive it.
 * A classic script: it runs from the file system, asks nobody for anything and keeps nothing.
 * The page is complete without it; with it, waves and peaks follow the controls. */
(function () {
  "use strict";

  var NEWTON = 1e-5, NO_CURRENT = 0.25;

  /* The solver: same names, same order of work, same figures as the Python. */

  function refusal(c, m) {
    if (c.supply_m <= 0 || c.cable_m <= 0) return "a cable has no length";
    if (c.lead_m < 0 || c.second_lead_m < 0 || c.loop_ohm < 0) return "a length or a resistance is below zero";
    if (c.source === "current-impulse" && !c.spd) return "an ideal current impulse without an SPD has no finite voltage: fit the device, or choose the combination wave";
    var shortest = Math.min(c.supply_m, c.cable_m) / m.line_m_per_s;
    if (c.step_s !== null && c.step_s > shortest * (1 + 1e-9)) return "the step is longer than the shortest line";
    if (shortest < m.step_s / 20) return "a cable is too short to run as a line";
    return "";
  }

  function stepsOf(c, m) {
    var first = c.supply_m / m.line_m_per_s, second = c.cable_m / m.line_m_per_s;
    if (c.step_s !== null) return [c.step_s, Math.max(1, Math.round(first / c.step_s)), Math.max(1, Math.round(second / c.step_s))];
    var largest = Math.min(m.step_s, first, second), least = Math.ceil((first + second) / largest - 1e-9);
    var best = [Infinity, 0, 0];
    for (var total = least; total <= least + Math.max(2, Math.floor(least / 4)); total++) {
      var step = (first + second) / total, ahead = Math.min(Math.max(1, Math.round(first / step)), total - 1);
      var wrong = Math.abs(ahead * step - first);
      if (wrong < best[0] - 1e-15) best = [wrong, total, ahead];
    }
    return [(first + second) / best[1], best[2], best[1] - best[2]];
  }

  function voltsHeld(guess, e, k, p, ohm) {
    var v = (0.5 * e < guess && guess < e) || (0.5 * k < guess && guess < e) ? guess : Math.min(e, k * Math.pow(e / ohm, 1 / p));
    for (;;) {
      var i = Math.pow(v / k, p), less = (v + ohm * i - e) / (1 + ohm * p * i / v);
      v -= less;
      if (less < 0 && v > e) v = Math.min(e, k * Math.pow(e / ohm, 1 / p));
      else if (-NEWTON * v < less && less < NEWTON * v) return v;
    }
  }

  /* A varistor on its leads behind a voltage and a resistance, stepped in time. */
  function branch(varistor, leadM, m, dt, behindOhm, mains) {
    var p = 1 / varistor.alpha, k = varistor.volts_at_1_a, zl = 2 * m.lead_henry_per_m * leadM / dt;
    var ohm = behindOhm + varistor.series_ohm + (leadM === null ? 0 : m.lead_ohm_per_m * leadM) + zl;
    var i1 = 0, ul = 0, v = 0, last = 0;
    return function (open) {
      var e = open + zl * i1 + ul + mains, sign = e >= 0 ? 1 : -1, i = 0;
      e *= sign;
      if (e < NO_CURRENT * k) { v = e; } else {
        var held = voltsHeld(2 * v - last, e, k, p, ohm);
        last = v; v = held; i = (e - v) / ohm * sign;
      }
      ul = zl * (i - i1) - ul;
      i1 = i;
      return i;
    };
  }

  function run(c, m) {
    var refused = refusal(c, m);
    if (refused) return { refused: refused };
    var s = stepsOf(c, m), dt = s[0], n1 = s[1], n2 = s[2], steps = Math.round((c.window_s || m.window_s) / dt);
    var z0 = m.line_ohm, mains = c.mains_v, wave = c.source === "combination-wave";
    var halfC = dt / (2 * m.generator_farad), drain = halfC / m.generator_discharge_ohm, halfL = dt / (2 * m.generator_henry);
    var bC = halfC / (1 + drain), damp = 1 / (1 + halfL * (m.generator_series_ohm + bC)), gL = wave ? halfL * damp : 0;
    var keepC = (1 - drain) / (1 + drain), charged = m.generator_volt_per_volt * c.surge_v, uL = charged, iL = 0;
    var rBoard = 1 / (1 / z0 + (wave ? 1 / m.generator_output_ohm : 0) + gL);
    var first = c.spd && branch(c.spd, c.lead_m, m, dt, rBoard, mains);
    var closed = c.contactor_closed, cOpen = closed ? 0 : 2 * m.open_contact_farad / dt;
    var gThrough = 1 / (closed ? m.contact_ohm + c.loop_ohm : m.open_contact_ohm) + cOpen;
    var gRight = 1 / (1 / gThrough + z0), share = 1 / (1 + gThrough * z0), rPoint = 1 / (1 / z0 + gRight), pastA = 0, pastU = 0;
    var second = c.second_spd && branch(c.second_spd, c.second_lead_m, m, dt, rPoint, mains);
    var hasC = c.vehicle === "capacitor" || c.vehicle === "varistor-and-capacitor";
    var hasV = c.vehicle === "varistor" || c.vehicle === "varistor-and-capacitor", rectifier = c.vehicle === "rectifier";
    var halfV = dt / (2 * c.vehicle_farad), gC = hasC ? 1 / (m.capacitor_ohm + halfV) : 0;
    var rEnd = 1 / (1 / z0 + 1 / m.open_end_ohm + gC);
    var own = hasV && branch(m.vehicle_varistor, null, m, dt, rEnd, mains);
    var halfB = dt / (2 * m.rectifier_farad), totalR = rEnd + m.rectifier_ohm + halfB, bus = m.rectifier_charged_volt;
    var cV = 0, iC = 0, iV = 0, pastC = 0;
    var toPoint = new Float64Array(n1 + steps + 1), toBoard = new Float64Array(n1 + steps + 1);
    var toVehicle = new Float64Array(n2 + steps + 1), back = new Float64Array(n2 + steps + 1);
    var board = new Float64Array(steps + 1), point = new Float64Array(steps + 1), vehicle = new Float64Array(steps + 1);
    var spdA = 0, secondA = 0, vehicleA = 0, energy = 0;
    board[0] = point[0] = vehicle[0] = mains;
    for (var n = 1; n <= steps; n++) {
      /* board */
      var arrived = toBoard[n], into, aC, jL, i;
      if (wave) {
        aC = keepC * charged - bC * iL;
        jL = (iL + halfL * (aC + uL)) * damp;
        into = jL + arrived / z0;
      } else {
        var t = n * dt;
        into = m.impulse_scale * c.impulse_a * Math.pow(t * 1e6, 3) * Math.exp(-t / m.impulse_tau_s) + arrived / z0;
      }
      var vb = into * rBoard;
      if (first) { i = first(vb); vb -= rBoard * i; if (i > spdA) spdA = i; }
      if (wave) { iL = jL - gL * vb; charged = aC - bC * iL; uL = charged - m.generator_series_ohm * iL - vb; }
      board[n] = vb + mains;
      toPoint[n + n1] = 2 * vb - arrived;
      /* charging point */
      arrived = toPoint[n];
      var after = back[n], past = cOpen * pastU + pastA;
      var vp = (arrived / z0 + after * gRight + (closed ? 0 : past * share)) * rPoint;
      if (second) { i = second(vp); vp -= rPoint * i; if (i > secondA) secondA = i; }
      var current = (vp - after) * gRight - (closed ? 0 : past * share);
      if (!closed) { var across = vp - after - z0 * current; pastA = cOpen * (across - pastU) - pastA; pastU = across; }
      point[n] = vp + mains;
      toBoard[n + n1] = 2 * vp - arrived;
      toVehicle[n + n2] = 2 * (after + z0 * current) - after;
      /* vehicle */
      arrived = toVehicle[n];
      var v = arrived / z0;
      if (hasC) { pastC = cV + halfV * iC; v += pastC * gC; }
      v *= rEnd;
      if (own) { iV = own(v); v -= rEnd * iV; } else if (rectifier) {
        var pushed = bus + halfB * iV;
        iV = Math.max(0, (v + mains - m.rectifier_volt - pushed) / totalR);
        bus = pushed + halfB * iV;
        v -= rEnd * iV;
      }
      if (hasC) { i = (v - pastC) * gC; cV = pastC + halfV * i; iC = i; }
      if (iV > vehicleA) vehicleA = iV;
      energy += (v + mains) * iV * (n === steps ? 0.5 : 1);
      vehicle[n] = v + mains;
      back[n + n2] = 2 * v - arrived;
    }
    return { step_s: dt, board: board, point: point, vehicle: vehicle, board_peak_v: peak(board), point_peak_v: peak(point), vehicle_peak_v: peak(vehicle),
      spd_peak_a: spdA, second_spd_peak_a: secondA, vehicle_peak_a: vehicleA, vehicle_energy_j: energy * dt };
  }

  function peak(values) {
    var top = values[0];
    for (var n = 1; n < values.length; n++) if (values[n] > top) top = values[n];
    return top;
  }

  if (typeof module !== "undefined" && module.exports) { module.exports = { run: run }; return; }

  /* The page. */

  var SVG = "http://www.w3.org/2000/svg", WIDTH = 440, LEFT = 58, RIGHT = 14, TOP = 30, HIGH = 230;
  var DASHES = ["", "7 4", "2 3"], NAMES = ["at the vehicle", "at the charging point", "at the board"];

  function element(name, attributes, words) {
    var made = name.charAt(0) === ":" ? document.createElementNS(SVG, name.slice(1)) : document.createElement(name);
    Object.keys(attributes || {}).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (words !== undefined) made.textContent = words;
    return made;
  }

  function grouped(value) { return String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ","); }
  function volts(value) { return grouped(Math.round(value / 10) * 10) + " V"; }

  function niceTop(value) {
    var power = Math.pow(10, Math.floor(Math.log10(value)));
    return [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10].filter(function (f) { return f * power >= value; })[0] * power;
  }

  function chart(result, levels, untilUs) {
    var waves = [result.vehicle, result.point, result.board], top = niceTop(1.05 * Math.max(result.vehicle_peak_v, result.point_peak_v, result.board_peak_v, 1));
    var svg = element(":svg", { viewBox: "0 0 440 304", "class": "fw-drawing fw-chart", role: "img", "font-size": "12", "aria-label":
      "Waves over " + untilUs + " microseconds. Highest: at the board " + volts(result.board_peak_v) + ", at the charging point " + volts(result.point_peak_v) + ", at the vehicle " + volts(result.vehicle_peak_v) });
    function x(us) { return LEFT + (WIDTH - LEFT - RIGHT) * us / untilUs; }
    function y(v) { return TOP + HIGH * (1 - Math.min(Math.max(v, 0), top) / top); }
    function put(name, attributes, words) { svg.appendChild(element(":" + name, attributes, words)); }
    for (var tick = 0; tick <= 5; tick++) {
      put("line", { x1: LEFT, x2: WIDTH - RIGHT, y1: y(top * tick / 5), y2: y(top * tick / 5), stroke: "var(--fw-faint,#c3c8cd)" });
      put("text", { x: LEFT - 6, y: y(top * tick / 5) + 4, "text-anchor": "end", fill: "currentColor" }, grouped(top * tick / 5));
      put("text", { x: x(untilUs * tick / 5), y: TOP + HIGH + 18, "text-anchor": "middle", fill: "currentColor" }, String(untilUs * tick / 5));
    }
    put("text", { x: 8, y: TOP - 15, fill: "currentColor" }, "voltage in V");
    put("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: TOP + HIGH + 35, "text-anchor": "middle", fill: "currentColor" }, "time in µs");
    var within = levels.filter(function (level) { return level[0] < top; }), mark = "var(--fw-mark,#86185a)";
    within.forEach(function (level) {
      put("line", { x1: LEFT, x2: WIDTH - RIGHT, y1: y(level[0]), y2: y(level[0]), stroke: mark, "stroke-dasharray": "4 3" });
    });
    waves.forEach(function (wave, index) {
      var last = Math.min(wave.length - 1, Math.round(untilUs * 1e-6 / result.step_s)), points = [];
      for (var n = 0; n <= last; n++) points.push(x(n * result.step_s * 1e6).toFixed(1) + " " + y(wave[n]).toFixed(1));
      put("polyline", { points: points.join(" "), fill: "none", stroke: index ? "currentColor" : "var(--fw-mark,#86185a)", "stroke-width": "1.8", "stroke-dasharray": DASHES[index] });
    });
    within.forEach(function (level) {
      put("text", { x: WIDTH - RIGHT - 2, y: y(level[0]) - 4, "text-anchor": "end", fill: mark, stroke: "var(--fw-paper,#fff)", "stroke-width": 5, "paint-order": "stroke" }, level[1]);
    });
    return svg;
  }

  function start(box) {
    var data = JSON.parse(box.querySelector("script").textContent), form = element("form", { "class": "surge-controls" });
    var inputs = {};
    function labelled(name, words, input, shown) {
      var label = element("label", {}, words + " "), out = shown && element("output", {});
      if (out) { label.appendChild(out); input.shown = function () { out.textContent = shown(input.value); }; }
      label.appendChild(input);
      inputs[name] = input;
      form.appendChild(label);
    }
    function range(name, words, low, high, step, value, unit) {
      labelled(name, words, element("input", { type: "range", min: low, max: high, step: step, value: value }), function (v) { return (+v).toFixed(step < 1 ? 2 : 0) + " " + unit; });
    }
    function choice(name, words, options) {
      var select = element("select", {});
      options.forEach(function (option) { select.appendChild(element("option", { value: option[0] }, option[1])); });
      labelled(name, words, select);
    }
    range("lead", "Both leads of the device together:", 0, 2, 0.05, data.start.lead_m, "m");
    range("supply", "Cable from the board to the charging point:", 2, 60, 1, data.start.supply_m, "m");
    choice("surge", "Surge", [["w6000", "combination wave 6 kV, 3 kA"], ["w4000", "combination wave 4 kV, 2 kA"], ["w2000", "combination wave 2 kV, 1 kA"], ["i5000", "current impulse 5 kA, 8/20"], ["i20000", "current impulse 20 kA, 8/20"]]);
    choice("spd", "Device in the board", [["two-term", "fitted"], ["power", "fitted, pessimistic law"], ["none", "none"]]);
    choice("second", "Second device at the charging point", [["", "none"], ["yes", "fitted, leads of 0.3 m"]]);
    choice("vehicle", "At the vehicle's end", [["open", "nothing"], ["varistor", "a small varistor"], ["capacitor", "a capacitor of 1 µF"], ["varistor-and-capacitor", "varistor and capacitor"], ["rectifier", "a rectifier, charged"]]);
    var out = element("div", { "class": "surge-shown" }), told = element("div", { "class": "surge-told", role: "status" });
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    box.appendChild(form); box.appendChild(told); box.appendChild(out);

    function shown() {
      Object.keys(inputs).forEach(function (name) { if (inputs[name].shown) inputs[name].shown(); });
      var value = function (name) { return inputs[name].value; }, law = data.laws[value("spd")] || null;
      var c = Object.assign({}, data.start, { lead_m: +value("lead"), supply_m: +value("supply"), spd: law, vehicle: value("vehicle"), window_s: value("vehicle") === "open" ? data.start.window_s : null,
        second_spd: value("second") ? law || data.laws["two-term"] : null, source: value("surge").charAt(0) === "w" ? "combination-wave" : "current-impulse" });
      c[c.source === "combination-wave" ? "surge_v" : "impulse_a"] = +value("surge").slice(1);
      inputs.lead.disabled = !law;
      var result = run(c, data.model);
      out.textContent = ""; told.textContent = "";
      if (result.refused) { told.appendChild(element("p", { "class": "missing" }, "Not run: " + result.refused + ".")); return; }
      var list = element("ul", {});
      [result.vehicle_peak_v, result.point_peak_v, result.board_peak_v].forEach(function (value, index) {
        var line = element("li", {}), sample = element(":svg", { viewBox: "0 0 34 8", width: 34, height: 8, "aria-hidden": "true" });
        sample.appendChild(element(":line", { x1: 0, x2: 34, y1: 4, y2: 4, stroke: index ? "currentColor" : "var(--fw-mark,#86185a)", "stroke-width": 1.8, "stroke-dasharray": DASHES[index] }));
        line.appendChild(sample);
        line.appendChild(document.createTextNode(" " + NAMES[index] + ": highest "));
        line.appendChild(element("strong", {}, volts(value)));
        list.appendChild(line);
      });
      if (law) list.appendChild(element("li", {}, "through the device in the board: " + grouped(result.spd_peak_a) + " A"));
      if (result.vehicle_peak_a) list.appendChild(element("li", {}, "into the vehicle: " + grouped(result.vehicle_peak_a) + " A, " + result.vehicle_energy_j.toFixed(1) + " J"));
      told.appendChild(list);
      out.appendChild(chart(result, data.levels, c.source === "combination-wave" && c.vehicle === "open" ? 5 : 20));
    }
    var waiting = 0;
    form.addEventListener("input", function () {
      if (!waiting) waiting = requestAnimationFrame(function () { waiting = 0; shown(); });
    });
    shown();
    box.hidden = false;
  }

  function startAll() { Array.prototype.forEach.call(document.querySelectorAll(".surge-try"), start); }
  window.firstwaySurge = { run: run };
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", startAll); else startAll();
})();
