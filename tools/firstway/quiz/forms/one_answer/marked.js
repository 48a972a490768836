// one-answer: marks as answers.py beside it does.
forms["one-answer"] = {
  marked: function (key, typed, words) {
    var option = key.options.filter(function (each) { return each.id === typed; })[0];
    if (!option) return sentenceMark(key, words, "empty");
    return option.right ? wholeMark(key, words) : sentenceMark(key, words, "mistake", option.mistake, option.feedback);
  }
};
