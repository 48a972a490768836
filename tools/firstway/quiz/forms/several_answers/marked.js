// several-answers: marks as answers.py beside it does.
forms["several-answers"] = {
  most: function (key) { return key.options.filter(function (option) { return option.right; }).length; },
  marked: function (key, typed, words) {
    var ids = pieces(typed), chosen = key.options.filter(function (option) { return ids.indexOf(option.id) >= 0; });
    if (!ids.length || chosen.length !== ids.length) return sentenceMark(key, words, "empty");
    var wrong = chosen.filter(function (option) { return !option.right; }), hits = ids.length - wrong.length, missed = mostPoints(key) - hits;
    if (!wrong.length && !missed) return wholeMark(key, words);
    var said = wrong.map(function (option) { return filledIn(words["said-mistake"], option); });
    if (missed) said.push(filledIn(words["said-missed"], { count: missed }));
    return partMark(key, words, Math.max(0, hits - wrong.length), said, wrong.map(function (option) { return option.mistake; }));
  }
};
