package triage

import (
	"app/unband/patterns"
	"app/unband/triage/flaws"
)

// A Word is what a person wants done with the notes that one rule of the watch list stops.
type Word uint8

// The words. Their numbers are stored: never renumber, only add.
const (
	KeepAlways     Word = 0
	KeepUnlessWorn Word = 1 // keep, unless the condition is said to be below a grade
	OnlyMention    Word = 2 // the note is told of, and either decision is as good
)

// A Wish is the personal rule for the notes of one rule of the watch list. The zero Wish keeps them
// always.
type Wish struct {
	Word  Word        `json:"word"`
	Below flaws.Grade `json:"below,omitempty"` // of KeepUnlessWorn: notes in a worse grade may go
}

// Wishes are the personal rules of a session: the same on its first note and its last.
type Wishes struct {
	Rules map[patterns.ID]Wish `json:"rules,omitempty"` // a rule that is missing has the zero Wish
	Star  Wish                 `json:"star"`
	Old   Wish                 `json:"old"` // of an old series
}

// Of gives the wish for a rule.
func (w Wishes) Of(id patterns.ID) Wish { return w.Rules[id] }

// With gives the wishes with another one for a rule.
func (w Wishes) With(id patterns.ID, wish Wish) Wishes {
	rules := make(map[patterns.ID]Wish, len(w.Rules)+1)
	for other, kept := range w.Rules {
		rules[other] = kept
	}
	rules[id] = wish
	if wish == (Wish{}) {
		delete(rules, id)
	}
	return w.having(rules)
}

// WithoutTemplate gives the wishes after own pattern i was taken out: the rules of those behind it
// move up by one, and so do the wishes for them.
func (w Wishes) WithoutTemplate(i int) Wishes {
	gone := patterns.FirstTemplate + patterns.ID(i)
	rules := map[patterns.ID]Wish{}
	for id, wish := range w.Rules {
		switch {
		case id < gone:
			rules[id] = wish
		case id > gone:
			rules[id-1] = wish
		}
	}
	return w.having(rules)
}

// having gives the wishes with these rules; none at all are nil, as they are read back from a file.
func (w Wishes) having(rules map[patterns.ID]Wish) Wishes {
	if len(rules) == 0 {
		rules = nil
	}
	w.Rules = rules
	return w
}

// A Ruling is what the personal rules say about one note.
type Ruling uint8

// The rulings. Their numbers are stored: never renumber, only add.
const (
	NoRuling   Ruling = 0 // no rule speaks of the note
	RuledTell  Ruling = 1 // only mention it: the person decides
	RuledSpend Ruling = 2 // it may go: its condition is below the grade it would be kept in
	RuledKeep  Ruling = 3
)

// Ruling is what the wish says about a note in a condition. While nobody has said the condition it is
// kept: what is not known does not let a note go.
func (w Wish) Ruling(g flaws.Grade) Ruling {
	switch {
	case w.Word == OnlyMention:
		return RuledTell
	case w.Word == KeepUnlessWorn && g.Worse(w.Below):
		return RuledSpend
	}
	return RuledKeep
}

// Denies reports whether a decision is against the ruling.
func (r Ruling) Denies(d Decision) bool {
	switch d {
	case Spend, Glance:
		return r == RuledKeep
	case Keep:
		return r == RuledSpend
	}
	return false
}

// Against reports whether the note was decided against the personal rules as they stood.
func (n Note) Against() bool { return n.Ruled.Denies(n.Decision) }

// A Said is what the personal rules say about the note in hand, and why.
type Said struct {
	Ruling Ruling
	Whose  []string    // the rules that say so: "radar", "star note", "beside note 12"
	Below  flaws.Grade // the grade that lets the note go, or would; NoGrade where none does
}

// say takes in one rule's word. The stronger word leads: keep before spend before mention.
func (s *Said) say(r Ruling, whose string, w Wish) {
	if r > s.Ruling {
		*s = Said{Ruling: r}
	}
	if r == s.Ruling {
		s.Whose = append(s.Whose, whose)
		if w.Word == KeepUnlessWorn {
			s.Below = w.Below
		}
	}
}

// Said is what the personal rules say about the note as it stands. It rests on the serial, what was
// said of the note and the notes beside it, never on the person's own decision.
func (h InHand) Said() Said {
	var s Said
	if k, ok := h.Beside(); ok {
		s.say(RuledKeep, besideWords(h.place, k), Wish{})
	}
	if h.facts.Flaw.Keep() {
		s.say(RuledKeep, h.facts.Flaw.String(), Wish{})
	}
	if !h.Entry.Complete() {
		return s
	}
	w, g := h.rules.Wishes, h.facts.Grade
	for _, f := range h.judged.Findings {
		if h.rules.Watch.Hit.Has(f.Rule) {
			rule, _ := h.rules.Book.Rule(f.Rule)
			s.say(w.Of(f.Rule).Ruling(g), rule.Name, w.Of(f.Rule))
		}
	}
	if h.Entry.Star {
		s.say(w.Star.Ruling(g), "star note", w.Star)
	}
	if h.Old() {
		s.say(w.Old.Ruling(g), "old series", w.Old)
	}
	return s
}
