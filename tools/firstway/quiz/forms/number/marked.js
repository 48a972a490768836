// number: marks as answers.py beside it does.
forms["number"] = {
  marked: function (key, typed, words) {
    var found = numberState(key, typed);
    return sentenceMark(key, words, found.state, found.mistake, found.feedback,
      found.state === "unit" && !key.unit ? "unit-none" : "");
  }
};
