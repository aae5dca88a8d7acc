package triage

import (
	"testing"

	"app/unband/patterns"
	"app/unband/triage/flaws"
)

// D05, T09 and T10 are collectors' questions; the answers are common practice, no source.
func TestAdvice(t *testing.T) {
	ladder := Note{Serial: Serial{Digits: "12345678"}, Hits: patterns.Set(0).With(patterns.LadderUp), Decision: Keep}
	spent := ladder
	spent.Decision = Spend
	star := Note{Serial: Serial{Digits: "12345678", Star: true}, Hits: ladder.Hits, Decision: Keep}
	plain := Note{Serial: Serial{Digits: "48160297"}, Decision: Spend}
	radar := Note{Serial: Serial{Digits: "70633607"}, Hits: patterns.Set(0).With(patterns.Radar), Decision: Keep}
	wrong := Note{Serial: Serial{Digits: "48160297"}, Flaw: flaws.GutterFold, Decision: Keep}
	marked, markedStar := radar, star
	marked.Neighbours, markedStar.Neighbours = true, true
	low := Note{Serial: Serial{Digits: "00000087"}, Hits: patterns.Set(0).With(patterns.LowNumber), Decision: Keep}
	three := []Note{star, star, star}
	for _, c := range []struct {
		why   string
		fresh bool
		notes []Note
		want  Advice
	}{
		{"D05: the notes beside a ladder", true, []Note{plain, ladder}, KeepNeighbours},
		{"D05: not those beside a star", true, []Note{plain, star}, NoAdvice},
		{"a ladder that is spent", true, []Note{plain, spent}, NoAdvice},
		{"a radar stands alone", true, []Note{plain, radar}, NoAdvice},
		{"the notes beside a printing error", true, []Note{plain, wrong}, KeepNeighbours},
		{"among used notes they may be anything", false, []Note{plain, wrong}, KeepIfNeighbours},
		{"a note the person marked", true, []Note{plain, marked}, KeepNeighbours},
		{"a star the person marked", true, []Note{plain, markedStar}, NoAdvice},
		{"P25: a low number", true, []Note{plain, low}, KeepNeighbours},
		{"T09: a new strap of stars only", true, three, WholeStarStrap},
		{"T10: one star in a new strap", true, []Note{plain, plain, plain, plain, star}, NoAdvice},
		{"stars among used notes are chance", false, three, NoAdvice},
		{"said once", true, append(three, star), NoAdvice},
		{"nothing decided", true, nil, NoAdvice},
	} {
		if got := AdviceOn(Session{NewNotes: c.fresh}, c.notes, len(c.notes)); got != c.want {
			t.Errorf("%s: advice %d, want %d", c.why, got, c.want)
		}
	}
}
