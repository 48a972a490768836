// Marking: values in, values out. Each form marks in the script of its own folder, as its Python does;
// tests/quiz_cases.json holds both.

var ASKS_AGAIN = /^(empty|not-a-number|unit)$/;
var SPACES = /[\t\n\r\f\v\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]/g;
var MINUS_SIGNS = /[\u2010-\u2013\u2212\ufe63\uff0d]/g;
var NO_UNIT = "0123456789+-/.,*^=()<>:;";
var RAISED = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079";
var NUMBER = new RegExp(
  "^([+-]?) ?" +
  "([0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]*)?" +
  "|[0-9]{1,3}(?:,[0-9]{3})+\\.[0-9]*" +
  "|[0-9]{1,3}(?:\\.[0-9]{3})+,[0-9]*" +
  "|[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\\.[0-9]{3}){2,}" +
  "|[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)" +
  "(?: ?[eE] ?([+-]?) ?([0-9]{1,3})(?![0-9])" +
  "| ?[x\u00d7*\u00b7] ?10 ?(?:\\^ ?([+-]?) ?([0-9]{1,3})(?![0-9])|([\u207a\u207b]?[" + RAISED + "]{1,3})))?" +
  "(?![0-9.,])");

function plain(typed) {
  // Cut by characters, not by halves of them.
  return Array.from(String(typed).slice(0, 2 * LONGEST_ANSWER)).slice(0, LONGEST_ANSWER).join("")
    .replace(MINUS_SIGNS, "-").replace(SPACES, " ").replace(/ +/g, " ").replace(/^ | $/g, "");
}

function withPoint(digits) {
  digits = digits.replace(/ /g, "");
  var marks = digits.replace(/[0-9]/g, "");
  if (!marks) return digits;
  if (marks.length > 1 && marks.split("").every(function (mark) { return mark === marks[0]; })) {
    return digits.split(marks[0]).join("");
  }
  var at = digits.lastIndexOf(marks[marks.length - 1]);
  return (digits.slice(0, at).replace(/[.,]/g, "") || "0") + "." + (digits.slice(at + 1) || "0");
}

function lowered(raised) {
  return raised.replace(/./g, function (character) {
    return character === "\u207b" ? "-" : character === "\u207a" ? "+" : String(RAISED.indexOf(character));
  });
}

function numberAndUnit(typed) {
  var text = plain(typed), match = NUMBER.exec(text);
  if (!match) return { value: null, unit: "" };
  var exponent = match[4] ? (match[3] || "") + match[4] : match[6] ? (match[5] || "") + match[6] : "";
  if (match[7]) exponent = lowered(match[7]);
  var value = Number(match[1] + withPoint(match[2]) + (exponent ? "e" + exponent : ""));
  var unit = text.slice(match[0].length).replace(/^ | $/g, "");
  if (!isFinite(value) || (unit && NO_UNIT.indexOf(unit[0]) >= 0)) return { value: null, unit: "" };
  return { value: value, unit: unit };
}

function filledIn(sentence, parts) {
  return sentence.split("{").map(function (piece, index) {
    if (!index) return piece;
    var end = piece.indexOf("}"), part = own(parts, piece.slice(0, end));
    return (part === undefined ? "" : part) + piece.slice(end + 1);
  }).join("").trim();
}

// Name of a form to { marked: mark of a key and an answer, most: points that a key can give }.
var forms = {};

function mostPoints(key) { return forms[key.kind].most ? forms[key.kind].most(key) : 1; }

function marked(key, typed, words) { return forms[key.kind].marked(key, typed, words); }

function made(key, points, state, feedback, mistakes) {
  return { points: points, out_of: mostPoints(key), state: state, mistake: mistakes[0] || "", mistakes: mistakes, feedback: feedback };
}

// A mark that one sentence tells, by default that of its state.
function sentenceMark(key, words, state, mistake, feedback, sentence) {
  return made(key, state === "right" ? mostPoints(key) : 0, state, filledIn(words[sentence || state],
    { answer: key.answer, why: key.why, mistake: mistake, feedback: feedback, unit: key.unit }), mistake ? [mistake] : []);
}

function wholeMark(key, words, said) {
  return made(key, mostPoints(key), "right", filledIn(words[said ? "right-all" : "right-choice"], { said: said, why: key.why }), []);
}

function partMark(key, words, points, said, mistakes) {
  var named = mistakes.filter(function (mistake, place) { return mistake && mistakes.indexOf(mistake) === place; });
  return made(key, points, points ? "part" : named.length ? "mistake" : "wrong", filledIn(words[points ? "part" : "nothing-right"],
    { points: points, out_of: mostPoints(key), said: said.join("\n"), answer: key.answer, why: key.why }), named);
}

// A typed number by its windows alone.
function numberState(key, typed) {
  var read, i, wrong;
  if (!plain(typed)) return { state: "empty" };
  read = numberAndUnit(typed);
  if (read.value === null) return { state: "not-a-number" };
  if (read.unit && key.spellings.indexOf(read.unit) < 0) return { state: "unit" };
  if (key.low <= read.value && read.value <= key.high) return { state: "right", value: read.value };
  for (i = 0; i < key.wrong.length; i += 1) {
    wrong = key.wrong[i];
    if (wrong.low <= read.value && read.value <= wrong.high) {
      return { state: "mistake", mistake: wrong.mistake, feedback: wrong.feedback, value: read.value };
    }
  }
  return { state: "wrong", value: read.value };
}

function pieces(typed) { return typed.split(" ").filter(Boolean); }
