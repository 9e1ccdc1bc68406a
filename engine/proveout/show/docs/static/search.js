// Searches the book. What is found is written as text, never as markup.
"use strict";
(function () {
  var MOST = 60;
  var field = document.getElementById("q");
  var found = document.getElementById("found");
  var entries = bookEntries.map(function (row) {
    return { kind: row[0], title: row[1], page: row[2], text: (row[1] + " " + row[3]).toLowerCase() };
  });

  // Every word must be there; a title that begins with what was typed comes first, then one that holds it.
  function looked(asked) {
    var words = asked.toLowerCase().split(/\s+/).filter(Boolean);
    if (!words.length) return [];
    return entries
      .filter(function (one) { return words.every(function (word) { return one.text.indexOf(word) >= 0; }); })
      .map(function (one) {
        var at = one.title.toLowerCase().indexOf(words.join(" "));
        return { one: one, rank: at === 0 ? 0 : at > 0 ? 1 : 2 };
      })
      .sort(function (a, b) { return a.rank - b.rank; })
      .map(function (ranked) { return ranked.one; });
  }

  function show() {
    var asked = field.value;
    var hits = looked(asked);
    found.textContent = "";
    if (!asked.trim()) return;
    var head = document.createElement("p");
    head.textContent = hits.length === 0 ? "Nothing has all these words."
      : hits.length > MOST ? "The first " + MOST + " of " + hits.length + ":" : hits.length + " found:";
    var list = document.createElement("ul");
    hits.slice(0, MOST).forEach(function (one) {
      var item = document.createElement("li");
      var link = document.createElement("a");
      link.href = one.page;
      link.textContent = one.title;
      item.append(link, " " + one.kind);
      list.append(item);
    });
    found.append(head, list);
  }

  field.value = new URLSearchParams(location.search).get("q") || "";
  field.addEventListener("input", show);
  document.querySelector("form").addEventListener("submit", function (event) { event.preventDefault(); show(); });
  show();
})();
