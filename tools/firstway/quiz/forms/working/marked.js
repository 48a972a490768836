// working: marks as answers.py beside it does.
forms["working"] = {
  most: function (key) { return key.parts.length; },
  marked: function (key, typed, words) {
    var boxes = typed.split(";"), said = [], mistakes = [], points = 0, allRight = true, refused = null;
    boxes = key.parts.map(function (part, place) { return boxes[place] || ""; });
    if (!boxes.some(plain)) return made(key, 0, "empty", words.empty, []);
    var found = key.parts.map(function (part, place) { return numberState(part, boxes[place]); });
    found.forEach(function (one, place) {
      var unit = key.parts[place].unit;
      if (refused || !/^(not-a-number|unit)$/.test(one.state)) return;
      refused = made(key, 0, one.state, filledIn(words[one.state === "unit" && !unit ? "part-unit-none" : "part-" + one.state],
        { part: place + 1, unit: unit }), []);
    });
    if (refused) return refused;
    found.forEach(function (one, place) {
      var state = /^(wrong|mistake)$/.test(one.state) && follows(key.parts[place], found, place) ? "followed" : one.state;
      if (state === "right" || state === "followed") points += 1;
      if (state === "mistake") mistakes.push(one.mistake);
      if (one.state !== "right") allRight = false;
      said.push(filledIn(words["said-part-" + state],
        { part: place + 1, mistake: one.mistake, feedback: one.feedback }));
    });
    if (points === key.parts.length) return wholeMark(key, words, allRight ? "" : said.join("\n"));
    return partMark(key, words, points, said, mistakes);
  }
};

function follows(part, found, place) {
  var led = postfixValue(part.formula, found.slice(0, place).map(function (one) { return one.value; })), about;
  if (led === null) return false;
  about = part.half + Math.abs(led) * part.slack_percent / 100;
  return led - about <= found[place].value && found[place].value <= led + about;
}

var ONE = { neg: function (a) { return -a; }, sqrt: Math.sqrt, ln: Math.log, exp: Math.exp };
var TWO = {
  "+": function (a, b) { return a + b; }, "-": function (a, b) { return a - b; }, "*": function (a, b) { return a * b; },
  "/": function (a, b) { return a / b; }, "**": Math.pow, min: Math.min, max: Math.max
};

function postfixValue(formula, typed) {
  var stack = [], fits = formula.every(function (item) {
    var second, first, value;
    if (typeof item === "number") { value = item; }
    else if (item[0] === "p") { value = typed[Number(item.slice(1)) - 1]; }
    else if (own(ONE, item)) { first = stack.pop(); value = ONE[item](first); }
    else { second = stack.pop(); first = stack.pop(); value = own(TWO, item) ? TWO[item](first, second) : NaN; }
    stack.push(value);
    return typeof value === "number" && isFinite(value);
  });
  return fits && stack.length === 1 ? stack[0] : null;
}
