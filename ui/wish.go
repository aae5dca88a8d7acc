package ui

import (
	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

// A besideRow is a row of the watch list that is no pattern: what else stops the sorter.
type besideRow struct {
	name, stops string
	wish        func(*triage.Wishes) *triage.Wish
}

var besides = []besideRow{
	{"star note", "every star stops you; near misses are of digits only", func(w *triage.Wishes) *triage.Wish { return &w.Star }},
	{"old series", "a series older than your limit stops you; the limit stands among the definitions", func(w *triage.Wishes) *triage.Wish { return &w.Old }},
}

// rule is the rule under the cursor; pattern is false on a row that is none.
func (w *watch) rule() (id patterns.ID, pattern bool) {
	if w.row >= len(w.table.Rows) {
		return 0, false
	}
	return w.table.Rows[w.row].ID, true
}

// wish is the personal rule of the row under the cursor.
func (w *watch) wish() triage.Wish {
	if id, pattern := w.rule(); pattern {
		return w.choices.Wishes.Of(id)
	}
	return *besides[w.row-len(w.table.Rows)].wish(&w.choices.Wishes)
}

// wishOn sets the personal rule of the row under the cursor.
func (w *watch) wishOn(wish triage.Wish) {
	if id, pattern := w.rule(); pattern {
		w.choices.Wishes = w.choices.Wishes.With(id, wish)
	} else {
		*besides[w.row-len(w.table.Rows)].wish(&w.choices.Wishes) = wish
	}
	w.put()
}

// nextWord goes from keep to keep unless worn to only mention, and around. The first grade offered is
// Fine.
func nextWord(w triage.Wish) triage.Wish {
	switch w.Word {
	case triage.KeepAlways:
		return triage.Wish{Word: triage.KeepUnlessWorn, Below: flaws.Fine}
	case triage.KeepUnlessWorn:
		return triage.Wish{Word: triage.OnlyMention}
	}
	return triage.Wish{}
}

// nextGrade makes the rule keep unless worn, by one grade better than before, around.
func nextGrade(w triage.Wish) triage.Wish {
	if w.Word != triage.KeepUnlessWorn {
		return triage.Wish{Word: triage.KeepUnlessWorn, Below: flaws.Fine}
	}
	for i, f := range flaws.Grades {
		if f.Grade == w.Below {
			w.Below = flaws.Grades[(i+1)%len(flaws.Grades)].Grade
			return w
		}
	}
	w.Below = flaws.Fine
	return w
}

// wishWord is the personal rule in one word, for a column.
func wishWord(w triage.Wish) string {
	switch w.Word {
	case triage.KeepUnlessWorn:
		return "from " + w.Below.Fact().Short
	case triage.OnlyMention:
		return "mention"
	}
	return "keep"
}

func wishSentence(w triage.Wish) string {
	switch w.Word {
	case triage.KeepUnlessWorn:
		return "Your rule: keep it, unless it is worn below " + w.Below.String() + "."
	case triage.OnlyMention:
		return "Your rule: only mention it."
	}
	return "Your rule: keep it always."
}
