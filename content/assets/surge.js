/* Try it: the surge solver of tools/firstway/calculations/surge.py, and the controls that drive it.
 * It runs from the file system, asks nobody for anything and keeps nothing; the page is complete without it. */
(function () {
  "use strict";

  var NEWTON = 1e-4, NO_CURRENT = 0.25, EXACT = 1e-9, SHORTEST_S = 0.25e-9, FINE_ENOUGH_S = 3.3e-9;

  /* The solver: same names, same order of work, same figures as the Python (surge_parts.py, surge_running.py). */

  function refusal(c, m) {
    if (c.supply_m <= 0 || c.cable_m <= 0) return "a cable has no length";
    if (Math.min(c.lead_m, c.second_lead_m, c.loop_ohm, c.board_earth_ohm, c.point_earth_ohm, c.point_farad, c.loss_ohm_per_m) < 0) return "a length, a resistance or a capacitance is below zero";
    if (c.source === "ring-wave" && c.ring_ohm <= 0) return "the generator of the ring wave has no resistance";
    if (isImpulse(c) && !c.spd && !c.spd_gap) return "an ideal current impulse without an SPD has no finite voltage: fit the device, or choose the combination wave";
    if (Math.min(c.supply_m, c.cable_m) / m.line_m_per_s < SHORTEST_S) return "a cable is too short to run as a line";
    return "";
  }

  function isImpulse(c) { return c.source === "current-impulse" || c.source === "long-impulse"; }

  /* Steps in s, and how many of each. */
  function planOf(c, m) {
    var first = c.supply_m / m.line_m_per_s, second = c.cable_m / m.line_m_per_s, window = c.window_s || m.window_s, t = 0, plan = [];
    m.steps.forEach(function (each, at) {
      var short = Math.min(first, second), fine = Math.max(short / 3, Math.min(short, FINE_ENOUGH_S)), step = first / Math.ceil(first / Math.min(each[1], fine) - EXACT);
      var until = at + 1 < m.steps.length ? Math.min(m.steps[at + 1][0], window) : window;
      var count = Math.ceil((until - t) / step - EXACT);
      if (count > 0) { plan.push([step, count]); t += step * count; }
    });
    return plan;
  }

  /* Each part has set(step), called before the first step and where the step changes, and next. */

  /* One way along a line: next is sent what leaves, gives what arrives at the next step. */
  function line(delayS) {
    var sent = [], before = 0, at = 0, w = null;
    return {
      set: function (step) {
        var whole = Math.ceil(delayS / step - EXACT), x = whole - delayS / step, last = sent.length - 1, found = [];
        for (var back = whole + 2; back >= 0; back--) {
          var place = last - back * step / before;
          if (!(place > 0)) { found.push(0); continue; }
          var early = Math.min(Math.floor(place), last - 1);
          found.push(sent[early] + (sent[early + 1] - sent[early]) * (place - early));
        }
        sent = found; before = step;
        w = x < EXACT ? [0, 1, 0, 0] : whole < 3 ? [0, 1 - x, x, 0] : [-x * (x - 1) * (x - 2) / 6, (x + 1) * (x - 1) * (x - 2) / 2, -(x + 1) * x * (x - 2) / 2, (x + 1) * x * (x - 1) / 6];
        at = 2;
      },
      arrives: function () {
        return w[1] * sent[at + 1] + (w[2] ? w[2] * sent[at + 2] : 0) + (w[0] ? w[0] * sent[at] + w[3] * sent[at + 3] : 0);
      },
      leaves: function (value) { sent.push(value); at++; }
    };
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

  /* A varistor on its leads: next is sent the volts of its node without it, gives its current. */
  function varistor(law, leadM, earth, m, behind, mains) {
    var p = 1 / law.alpha, k = law.volts_at_1_a, zl = 0, ohm = 0, i1 = 0, ul = 0, v = 0, last = 0;
    return {
      set: function (step) { zl = 2 * m.lead_henry_per_m * leadM / step; ohm = behind(step) + law.series_ohm + m.lead_ohm_per_m * leadM + earth + zl; last = v; },
      next: function (open) {
        var e = open + zl * i1 + ul + mains, sign = e >= 0 ? 1 : -1, i = 0;
        e *= sign;
        if (e < NO_CURRENT * k) { v = e; } else {
          var held = voltsHeld(2 * v - last, e, k, p, ohm);
          last = v; v = held; i = (e - v) / ohm * sign;
        }
        ul = zl * (i - i1) - ul;
        i1 = i;
        return i;
      }
    };
  }

  /* A spark gap on its leads, alone or before a varistor: no current before it fires, then its arc until the current ends. */
  function sparkGap(gap, law, leadM, earth, m, behind, mains) {
    var p = law ? 1 / law.alpha : 1, k = law ? law.volts_at_1_a : 1, zl = 0, ohm = 0, i = 0, ul = 0, burns = 0;
    return {
      set: function (step) { zl = 2 * m.lead_henry_per_m * leadM / step; ohm = behind(step) + (law ? law.series_ohm : 0) + m.lead_ohm_per_m * leadM + earth + zl; },
      next: function (open) {
        var e = open + zl * i + ul + mains, above = burns * e - gap.arc_v, taken = 0;
        if (!burns || above <= 0) {
          i = ul = burns = 0;
          if (Math.abs(e) >= gap.fires_v) burns = e > 0 ? 1 : -1;
          return 0;
        }
        if (!law) taken = above / ohm;
        else if (above >= NO_CURRENT * k) taken = (above - voltsHeld(0, above, k, p, ohm)) / ohm;
        ul = zl * (burns * taken - i) - ul;
        return i = burns * taken;
      }
    };
  }

  function device(law, gap, leadM, earth, m, behind, mains) {
    return gap ? sparkGap(gap, law, leadM, earth, m, behind, mains) : law && varistor(law, leadM, earth, m, behind, mains);
  }

  /* A bridge of diodes that charges a capacitor: it takes a surge of either sign. */
  function rectifier(m, earth, behind, mains) {
    var bus = m.rectifier_charged_volt, i = 0, half = 0, ohm = 0;
    return {
      set: function (step) { half = step / (2 * m.rectifier_farad); ohm = behind(step) + m.rectifier_ohm + earth + half; },
      next: function (open) {
        var e = open + mains, pushed = bus + half * Math.abs(i), taken = Math.max(0, (Math.abs(e) - m.rectifier_volt - pushed) / ohm);
        bus = pushed + half * taken;
        i = e >= 0 ? taken : -taken;
        return i;
      }
    };
  }

  /* What drives or remembers: next is sent the volts of its node at the last step, gives its ampere at this one. */
  function waveOf(m, step) {
    var halfC = step / (2 * m.generator_farad), drain = halfC / m.generator_discharge_ohm, give = halfC / (1 + drain), halfL = step / (2 * m.generator_henry);
    var damping = 1 / (1 + halfL * (m.generator_series_ohm + give));
    return { give: give, keep: (1 - drain) / (1 + drain), halfL: halfL, damping: damping, siemens: halfL * damping };
  }

  function combinationWave(c, m) {
    var charged = m.generator_volt_per_volt * c.surge_v, uL = charged, i = 0, w = null, before = 0, driven = 0, begun = false;
    function heard(volts) {
      i = driven - w.siemens * volts;
      charged = before - w.give * i;
      uL = charged - m.generator_series_ohm * i - volts;
    }
    return {
      set: function (step, volts) { if (begun) heard(volts); begun = false; w = waveOf(m, step); },
      next: function (volts) {
        if (begun) heard(volts);
        begun = true;
        before = w.keep * charged - w.give * i;
        return driven = (i + w.halfL * (before + uL)) * w.damping;
      }
    };
  }

  function timed(of) {
    var t = 0, step = 0;
    return { set: function (s) { step = s; }, next: function () { t += step; return of(t); } };
  }

  function generator(c, m) {
    if (c.source === "combination-wave") return combinationWave(c, m);
    if (c.source === "ring-wave") return timed(function (t) {
      return m.ring_scale * c.surge_v / c.ring_ohm * (1 - Math.exp(-t / m.ring_rise_s)) * Math.exp(-t / m.ring_fall_s) * Math.cos(2 * Math.PI * m.ring_hertz * t);
    });
    if (c.source === "long-impulse") return timed(function (t) {
      var x = Math.pow(t / m.long_front_s, 10);
      return c.impulse_a / m.long_correction * x / (1 + x) * Math.exp(-t / m.long_tail_s);
    });
    return timed(function (t) { return m.impulse_scale * c.impulse_a * Math.pow(t * 1e6, 3) * Math.exp(-t / m.impulse_tau_s); });
  }

  function capacitor(farad, ohm) {
    var charged = 0, i = 0, half = 0, g = 0, before = 0, begun = false;
    function heard(volts) { i = (volts - before) * g; charged = before + half * i; }
    return {
      set: function (step, volts) { if (begun) heard(volts); begun = false; half = step / (2 * farad); g = 1 / (ohm + half); },
      next: function (volts) { if (begun) heard(volts); begun = true; before = charged + half * i; return before * g; }
    };
  }

  /* A lossless line with half of the cable's resistance at each end, as a node sees it. */
  function cable(c, m, metres) {
    var half = c.loss_ohm_per_m * metres / 2;
    return { ohm: m.line_ohm + half, turned: (m.line_ohm - half) / (m.line_ohm + half) };
  }

  /* A node at the end of a line; `lifted` are the volts by which others lift the earth of what holds it. */
  function endOfLine(line, drive, clamp, behind) {
    var part = { volts: 0, ampere: 0 }, ohm = 0;
    part.set = function (step) { if (drive) drive.set(step, part.volts); if (clamp) clamp.set(step); ohm = behind(step); };
    part.next = function (arrived, lifted) {
      var v = (arrived / line.ohm + (drive ? drive.next(part.volts) : 0)) * ohm;
      if (clamp) { part.ampere = clamp.next(v - lifted); v -= ohm * part.ampere; }
      part.volts = v;
    };
    return part;
  }

  function contactor(c, m, far, step) {
    var stray = c.contactor_closed ? 0 : 2 * m.open_contact_farad / step;
    var through = 1 / (c.contactor_closed ? m.contact_ohm + c.loop_ohm : m.open_contact_ohm) + stray;
    return { siemens: 1 / (1 / through + far.ohm), share: 1 / (1 + through * far.ohm), stray: stray };
  }

  function chargingPoint(c, m, near, far) {
    var farad = c.point_farad, own = m.capacitor_ohm + c.point_earth_ohm;
    function behind(step) { return 1 / (1 / near.ohm + contactor(c, m, far, step).siemens + (farad ? 1 / (own + step / (2 * farad)) : 0)); }
    var clamp = device(c.second_spd, c.second_gap, c.second_lead_m, c.point_earth_ohm, m, behind, c.mains_v), drive = farad ? capacitor(farad, own) : null;
    var part = { volts: 0, beyond: 0, ampere: 0 }, ohm = 0, k = null, strayA = 0, strayV = 0;
    part.set = function (step) { if (drive) drive.set(step, part.volts); if (clamp) clamp.set(step); ohm = behind(step); k = contactor(c, m, far, step); };
    part.next = function (arrived, back, lifted) {
      var past = k.stray ? (k.stray * strayV + strayA) * k.share : 0, v = (arrived / near.ohm + back * k.siemens + past + (drive ? drive.next(part.volts) : 0)) * ohm;
      if (clamp) { part.ampere = clamp.next(v - lifted); v -= ohm * part.ampere; }
      part.volts = v;
      part.beyond = back + far.ohm * ((v - back) * k.siemens - past);
      if (k.stray) { var across = v - part.beyond; strayA = k.stray * (across - strayV) - strayA; strayV = across; }
    };
    return part;
  }

  function theBoard(c, m, near) {
    function behind(step) {
      return 1 / (1 / near.ohm + (c.source === "combination-wave" ? 1 / m.generator_output_ohm + waveOf(m, step).siemens : c.source === "ring-wave" ? 1 / c.ring_ohm : 0));
    }
    return endOfLine(near, generator(c, m), device(c.spd, c.spd_gap, c.lead_m, c.board_earth_ohm, m, behind, c.mains_v), behind);
  }

  function theVehicle(c, m, far) {
    var charges = c.vehicle === "capacitor" || c.vehicle === "varistor-and-capacitor", own = m.capacitor_ohm + c.point_earth_ohm, clamp = null;
    function behind(step) { return 1 / (1 / far.ohm + 1 / m.open_end_ohm + (charges ? 1 / (own + step / (2 * c.vehicle_farad)) : 0)); }
    if (c.vehicle === "rectifier") clamp = rectifier(m, c.point_earth_ohm, behind, c.mains_v);
    else if (c.vehicle === "varistor" || c.vehicle === "varistor-and-capacitor") clamp = varistor(m.vehicle_varistor, 0, c.point_earth_ohm, m, behind, c.mains_v);
    return endOfLine(far, charges ? capacitor(c.vehicle_farad, own) : null, clamp, behind);
  }

  /* W that stay in a device, its leads and its earth left out. */
  function absorbed(law, gap, ampere) {
    var i = Math.abs(ampere);
    return i && i * ((gap ? gap.arc_v : 0) + (law ? law.volts_at_1_a * Math.pow(i, law.alpha) + law.series_ohm * i : 0));
  }

  function run(c, m) {
    var refused = refusal(c, m);
    if (refused) return { refused: refused };
    var first = c.supply_m / m.line_m_per_s, second = c.cable_m / m.line_m_per_s, mains = c.mains_v, earth = c.point_earth_ohm, t = 0;
    var near = cable(c, m, c.supply_m), far = cable(c, m, c.cable_m);
    var on = line(first), home = line(first), out = line(second), back = line(second);
    var board = theBoard(c, m, near), point = chargingPoint(c, m, near, far), vehicle = theVehicle(c, m, far);
    var r = { times_s: [0], board: [mains], point: [mains], vehicle: [mains],
      spd_peak_a: 0, second_spd_peak_a: 0, vehicle_peak_a: 0 };
    var intoVehicle = 0, inFirst = 0, inSecond = 0, lastInto = 0, lastFirst = 0, lastSecond = 0;
    planOf(c, m).forEach(function (phase) {
      [on, home, out, back, board, point, vehicle].forEach(function (part) { part.set(phase[0]); });
      var half = phase[0] / 2;
      for (var n = 1; n <= phase[1]; n++) {
        var toPoint = on.arrives(), toBoard = home.arrives(), toVehicle = out.arrives(), fromVehicle = back.arrives();
        board.next(toBoard, 0); point.next(toPoint, fromVehicle, earth * vehicle.ampere); vehicle.next(toVehicle, earth * point.ampere);
        on.leaves(board.volts + near.turned * (board.volts - toBoard)); home.leaves(point.volts + near.turned * (point.volts - toPoint));
        out.leaves(point.beyond + far.turned * (point.beyond - fromVehicle)); back.leaves(vehicle.volts + far.turned * (vehicle.volts - toVehicle));
        var rise = mains - earth * (vehicle.ampere + point.ampere), atVehicle = vehicle.volts + rise;
        r.times_s.push(t + n * phase[0]);
        r.board.push(board.volts + mains); r.point.push(point.volts + rise); r.vehicle.push(atVehicle);
        r.spd_peak_a = Math.max(r.spd_peak_a, board.ampere); r.second_spd_peak_a = Math.max(r.second_spd_peak_a, point.ampere);
        r.vehicle_peak_a = Math.max(r.vehicle_peak_a, vehicle.ampere);
        var into = atVehicle * vehicle.ampere, one = absorbed(c.spd, c.spd_gap, board.ampere), two = absorbed(c.second_spd, c.second_gap, point.ampere);
        intoVehicle += half * (lastInto + into); inFirst += half * (lastFirst + one); inSecond += half * (lastSecond + two);
        lastInto = into; lastFirst = one; lastSecond = two;
      }
      t += phase[0] * phase[1];
    });
    r.vehicle_energy_j = intoVehicle; r.spd_energy_j = inFirst; r.second_spd_energy_j = inSecond;
    r.board_peak_v = peak(r.board); r.point_peak_v = peak(r.point); r.vehicle_peak_v = peak(r.vehicle);
    return r;
  }

  function peak(values) {
    var top = values[0];
    for (var n = 1; n < values.length; n++) if (values[n] > top) top = values[n];
    return top;
  }

  if (typeof module !== "undefined" && module.exports) { module.exports = { run: run }; return; }

  /* The page. */

  var SVG = "http://www.w3.org/2000/svg", WIDTH = 440, LEFT = 58, RIGHT = 14, TOP = 30, HIGH = 230;
  var MARK = "var(--fw-mark,#86185a)", DASHES = ["", "7 4", "2 3"], NAMES = ["at the vehicle", "at the charging point", "at the board"];

  function element(name, attributes, words) {
    var made = name.charAt(0) === ":" ? document.createElementNS(SVG, name.slice(1)) : document.createElement(name);
    Object.keys(attributes || {}).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (words !== undefined) made.textContent = words;
    return made;
  }

  var SOURCES = { w: "combination-wave", i: "current-impulse", l: "long-impulse", r: "ring-wave" };

  /* The law of several elements in series, or of a disc of another voltage. */
  function times(law, share) { return { volts_at_1_a: share * law.volts_at_1_a, alpha: law.alpha, series_ohm: share * law.series_ohm }; }

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
    var within = levels.filter(function (level) { return level[0] < top; });
    within.forEach(function (level) {
      put("line", { x1: LEFT, x2: WIDTH - RIGHT, y1: y(level[0]), y2: y(level[0]), stroke: MARK, "stroke-dasharray": "4 3" });
    });
    waves.forEach(function (wave, index) {
      var points = [];
      for (var n = 0; n < wave.length && result.times_s[n] * 1e6 <= untilUs; n++) points.push(x(result.times_s[n] * 1e6).toFixed(1) + " " + y(wave[n]).toFixed(1));
      put("polyline", { points: points.join(" "), fill: "none", stroke: index ? "currentColor" : MARK, "stroke-width": "1.8", "stroke-dasharray": DASHES[index] });
    });
    within.forEach(function (level) {
      put("text", { x: WIDTH - RIGHT - 2, y: y(level[0]) - 4, "text-anchor": "end", fill: MARK, stroke: "var(--fw-paper,#fff)", "stroke-width": 5, "paint-order": "stroke" }, level[1]);
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
    range("cable", "Charging cable:", 2, 15, 0.5, data.start.cable_m, "m");
    range("place", "Modules between the main switch and the device:", 0, 12, 1, 0, "");
    data.choices.forEach(function (each) { choice(each[0], each[1], each[2]); });
    var out = element("div", { "class": "surge-shown" }), told = element("div", { "class": "surge-told", role: "status" });
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    box.appendChild(told); box.appendChild(form); box.appendChild(out);

    function shown() {
      Object.keys(inputs).forEach(function (name) { if (inputs[name].shown) inputs[name].shown(); });
      var value = function (name) { return inputs[name].value; }, kind = value("spd"), wave = value("surge").charAt(0), base = data.laws[kind === "power" ? "power" : "two-term"];
      var path = value("path"), n = +path[0], anyGap = path[1] === "g" ? data.gap : null, second = value("second");
      var gap = kind === "none" ? null : anyGap, law = kind === "none" || !n ? null : times(base, n), volt = wave === "w" || wave === "r", earth = value("earth"), own = earth ? data.earths : [0, 0];
      var toEarth = path === "1" || !!anyGap, why = earth && !volt ? "an ideal current lifts any earth without limit" : earth && !toEarth ? "line to neutral crosses no earth"
        : wave === "l" && law ? "12.5 kA of 10/350 µs is beyond what a type 2 varistor is made for" : "";
      var c = Object.assign({}, data.start, { lead_m: +value("lead") + value("place") * data.module_m, supply_m: +value("supply"), cable_m: +value("cable"), spd: law, spd_gap: gap, vehicle: value("vehicle"),
        window_s: wave === "l" ? 4e-4 : null, second_spd: second && n ? times(base, second * n) : null, second_gap: second ? anyGap : null,
        board_earth_ohm: own[0], point_earth_ohm: own[1], point_farad: +value("farad"), source: SOURCES[wave], loss_ohm_per_m: wave === "r" ? data.loss : 0 });
      c[volt ? "surge_v" : "impulse_a"] = +value("surge").slice(1);
      inputs.lead.disabled = inputs.place.disabled = !law && !gap;
      var result = why ? { refused: why } : run(c, data.model);
      out.textContent = ""; told.textContent = "";
      if (result.refused) { told.appendChild(element("p", { "class": "missing" }, "Not run: " + result.refused + ".")); return; }
      var list = element("ul", {});
      /* The run ends before the long current. */
      function joules(ampere, joule) { return second && anyGap ? "not told, a real gap stays ionised where this one goes out" : grouped(ampere) + " A" + (wave === "l" ? "" : ", " + joule.toFixed(1) + " J"); }
      [result.vehicle_peak_v, result.point_peak_v, result.board_peak_v].forEach(function (value, index) {
        var line = element("li", {}), sample = element(":svg", { viewBox: "0 0 34 8", width: 34, height: 8, "aria-hidden": "true" });
        sample.appendChild(element(":line", { x1: 0, x2: 34, y1: 4, y2: 4, stroke: index ? "currentColor" : MARK, "stroke-width": 1.8, "stroke-dasharray": DASHES[index] }));
        line.appendChild(sample);
        line.appendChild(document.createTextNode(" " + NAMES[index] + (earth ? index > 1 ? ", to far earth" : ", to the point's earth" : "") + ": highest "));
        line.appendChild(element("strong", {}, volts(value)));
        list.appendChild(line);
      });
      [["board", law || gap, result.spd_peak_a, result.spd_energy_j], ["charging point", c.second_spd || c.second_gap, result.second_spd_peak_a, result.second_spd_energy_j]].forEach(function (each) {
        if (each[1]) list.appendChild(element("li", {}, "through the device at the " + each[0] + ": " + joules(each[2], each[3])));
      });
      if (result.vehicle_peak_a) list.appendChild(element("li", {}, "into the vehicle: " + joules(result.vehicle_peak_a, result.vehicle_energy_j)));
      told.appendChild(list);
      out.appendChild(chart(result, toEarth ? data.levels : data.between, wave === "l" ? 40 : wave === "w" && c.vehicle === "open" ? 5 : 20));
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
