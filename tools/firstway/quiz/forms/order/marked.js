// order: marks as answers.py beside it does.
forms["order"] = {
  marked: function (key, typed, words) {
    var ids = pieces(typed), right = key.steps.map(function (step) { return step.id; }), place = 0, step;
    if (ids.slice().sort().join(" ") !== right.slice().sort().join(" ")) return sentenceMark(key, words, "empty");
    while (place < ids.length && ids[place] === right[place]) place += 1;
    if (place === ids.length) return wholeMark(key, words);
    step = key.steps[place];
    return partMark(key, words, 0, [filledIn(words[step.because ? "said-step-because" : "said-step"],
      { place: place + 1, step: step.text, because: step.because })], []);
  }
};
