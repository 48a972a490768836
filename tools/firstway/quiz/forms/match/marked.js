// match: marks as answers.py beside it does.
forms["match"] = {
  most: function (key) { return key.rows.length; },
  marked: function (key, typed, words) {
    var rows = key.rows.map(function (row) { return row.id; }), chosen = {}, said = [], mistakes = [], points = 0;
    var fits = pieces(typed).every(function (pair) {
      var at = pair.indexOf("="), row = pair.slice(0, at), item = pair.slice(at + 1);
      if (at < 0 || rows.indexOf(row) < 0 || key.items.indexOf(item) < 0 || own(chosen, row) !== undefined) return false;
      chosen[row] = item;
      return true;
    });
    if (!fits || !Object.keys(chosen).length) return sentenceMark(key, words, "empty");
    key.rows.forEach(function (row) {
      var item = own(chosen, row.id);
      if (item === row.item) {
        points += 1;
      } else if (item === undefined) {
        said.push(filledIn(words["said-row-empty"], { row: row.id }));
      } else {
        said.push(filledIn(words["said-row"], { row: row.id, mistake: row.mistake, feedback: row.feedback }));
        mistakes.push(row.mistake);
      }
    });
    return points === rows.length ? wholeMark(key, words) : partMark(key, words, points, said, mistakes);
  }
};
