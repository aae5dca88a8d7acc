package ui

import (
	"strings"
	"testing"

	"app/unband/patterns"
)

// What is chosen on the watch list is kept, and the next session is sorted under it; a session begun
// before keeps its own list.
func TestStoryOfTheWatchList(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("48160297 wait - desk")
	before := b.app.env
	b.play("w")
	old := b.app.screen.(*watch).table.Total.StopsPerStrap
	for b.app.screen.(*watch).table.Rows[b.app.screen.(*watch).row].ID != patterns.Trinary {
		b.play("down")
	}
	b.play("h")
	w := b.app.screen.(*watch)
	price, want := w.table.Total.StopsPerStrap, w.book.Price(w.choices.Watch, 96_000_000).StopsPerStrap(100)
	// A strap has 0.69 trinaries (facts 12.1), but about half of them stopped before, as near binaries.
	if price != want || price < old+0.1 || price > old+0.69 {
		t.Errorf("watching trinaries moves the price from %.3f to %.3f, want %.3f", old, price, want)
	}
	b.play("d down down down down down right right esc esc")
	if before != b.app.env {
		t.Fatal("another env")
	}
	b.begin("Saturday float")
	sessions, err := b.store.Sessions()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sessions {
		watched, low := s.Watch.Hit.Has(patterns.Trinary), s.Settings.LowLimit
		switch s.Name {
		case "Saturday float":
			if !watched || low != 10_000 {
				t.Errorf("the new session watches trinaries: %v, low numbers to %d; want true and 10000", watched, low)
			}
		case "Friday float":
			if watched || low != 100 {
				t.Errorf("the session begun before changed: trinaries %v, low numbers to %d", watched, low)
			}
		}
	}
	b.play("45545845 wait -") // a trinary
	b.shows("press the same key once more")
}

func TestStoryOfOwnPatterns(t *testing.T) {
	b := newTable(t)
	b.play("w o p ABABCDCD enter enter p ABCABCDE enter enter n 1607 enter enter enter esc esc")
	c, ok, err := b.store.Choices()
	if err != nil || !ok || len(c.Settings.Templates) != 2 || len(c.Settings.Numbers) != 1 {
		t.Fatalf("choices %+v, %v, %v", c.Settings, ok, err)
	}
	for _, id := range []patterns.ID{patterns.FirstTemplate, patterns.FirstTemplate + 1, patterns.OwnNumbers} {
		if !c.Watch.Hit.Has(id) {
			t.Errorf("rule %d is not watched", id)
		}
	}
	b.begin("Friday float")
	b.play("16072358 wait")
	b.shows("own number")
	b.play("clear 38384747 wait")
	b.shows("ABABCDCD")
	b.play("desk w o x wait x") // the first pattern goes; the second takes its rule
	c, _, _ = b.store.Choices()
	if len(c.Settings.Templates) != 1 || c.Settings.Templates[0].Pattern != "ABCABCDE" || !c.Watch.Hit.Has(patterns.FirstTemplate) ||
		c.Watch.Hit.Has(patterns.FirstTemplate+1) {
		t.Errorf("after taking one out: %+v, watched %b", c.Settings.Templates, c.Watch.Hit)
	}
}

func TestBadDefinitionsChangeNothing(t *testing.T) {
	b := newTable(t)
	b.play("w d")
	for range 12 {
		b.play("down")
	}
	b.play("2050 enter") // from the year 2050 to 2025
	b.shows("comes after the last", "stays as it")
	if got := b.app.screen.(*watch).choices.Settings.FromYear; got != 1900 {
		t.Errorf("dates from the year %d", got)
	}
}

func TestWithout(t *testing.T) {
	f := patterns.FirstTemplate
	s := patterns.Set(0).With(patterns.Radar).With(f).With(f + 1).With(f + 3)
	if got, want := without(s, 1), patterns.Set(0).With(patterns.Radar).With(f).With(f+2); got != want {
		t.Errorf("without the second template: %b, want %b", got, want)
	}
	if got, want := without(patterns.Set(0).With(patterns.LastTemplate), 15), patterns.Set(0); got != want {
		t.Errorf("without the last template: %b", got)
	}
}

// An old limit that is no series changes nothing, and a typed number is taken when the line is left.
func TestStoryOfTypedAnswers(t *testing.T) {
	b := newTable(t)
	b.play("w d")
	line := func(words string) {
		b.t.Helper()
		d := b.app.screen.(*watch).sub.(*definitions)
		for d.questions()[d.row].words != words {
			b.play("down")
		}
	}
	line("a $1 stops you when older than series")
	b.play("5 enter")
	c, _, _ := b.store.Choices()
	if got := c.OldLimit(1); got != "2003" {
		t.Errorf("after 5 the limit is %q, want 2003", got)
	}
	b.play("1996 esc d")
	c, _, _ = b.store.Choices()
	if got := c.OldLimit(1); got != "1996" {
		t.Errorf("after 1996 and Esc the limit is %q", got)
	}
}

// Odds are told while a pattern is typed, and it must be whole when it is taken.
func TestStoryOfOddsWhileTyping(t *testing.T) {
	b := newTable(t)
	b.play("w o p AA")
	b.shows("8,999,999 serials, 1 in 11") // 00 to 88 in front, of 1 to 96,000,000
	b.play("enter")
	b.shows("fill up with ?")
}

// High numbers follow the denomination where the person has set none.
func TestHighNumbersFollowTheDenomination(t *testing.T) {
	s := patterns.DefaultSettings()
	if got := highFor(s, 1, 100); got.HighTo != 99_200_000 || got.HighFrom != 99_190_000 {
		t.Errorf("on a $100 from %v to %v", got.HighFrom, got.HighTo)
	}
	s.HighFrom = 90_000_000
	if got := highFor(s, 1, 100); got.HighFrom != 90_000_000 || got.HighTo != s.HighTo {
		t.Errorf("a range of the person's own was moved to %v to %v", got.HighFrom, got.HighTo)
	}
}

// Where a definition is from is said in plain words, whatever is chosen among the definitions: no code of a list of
// sources is left, and every code has a word.
func TestSourcesInPlainWords(t *testing.T) {
	all := []patterns.Settings{patterns.DefaultSettings()}
	vary := func(change func(*patterns.Settings)) {
		s := patterns.DefaultSettings()
		change(&s)
		all = append(all, s)
	}
	vary(func(s *patterns.Settings) { s.LadderZero = patterns.ZeroAsTen })
	vary(func(s *patterns.Settings) { s.LadderZero = patterns.AnyWrap })
	vary(func(s *patterns.Settings) { s.OneTurns = false })
	vary(func(s *patterns.Settings) { s.Binary = patterns.ZeroAndOne })
	vary(func(s *patterns.Settings) {
		s.Templates, s.Numbers = []patterns.Template{{Pattern: "ABBACDDC"}}, []patterns.OwnNumber{{Number: "1607", Place: patterns.Anywhere}}
	})
	for _, s := range all {
		b, err := patterns.NewBook(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range b.Rules() {
			text := sourceWords(r.Source)
			if strings.ContainsAny(text, "[]") || strings.Contains(text, "  ") || strings.Contains(text, "by .") || len(text) < 12 {
				t.Errorf("the source of %s, %q, is told as %q", r.Name, r.Source, text)
			}
			for _, found := range codes.FindAllString(r.Source, -1) {
				for _, code := range strings.Split(strings.Trim(found, "[]"), "][") {
					if _, ok := definers[code]; !ok {
						t.Errorf("%s: nobody is named by %q", r.Name, code)
					}
				}
			}
		}
	}
	for source, want := range map[string]string{
		"[AZ][VC]":              "Defined so by a guide book and a newspaper.",
		"[PF][PF2][TY]":         "Defined so by a grading company and a weblog.",
		"[PF] to 10, [GL] here": "Defined so by a grading company to 10, a newspaper here.",
		"common practice":       "Defined so by common practice.",
		"own":                   "It is your own.",
	} {
		if got := sourceWords(source); got != want {
			t.Errorf("%q is told as %q, want %q", source, got, want)
		}
	}
}

// The examples told while an own pattern or number is entered are examples of it.
func TestExamplesOfOwnPatterns(t *testing.T) {
	for _, text := range []string{"27726116 is ABBACDDC", "90123457 is ??1234??"} {
		if got := (&draft{}).wants(); !strings.Contains(got, text) {
			t.Errorf("%q is not told: %q", text, got)
		}
		digits, pattern, _ := strings.Cut(text, " is ")
		judged(t, digits, patterns.Settings{Templates: []patterns.Template{{Pattern: pattern}}}, patterns.FirstTemplate)
	}
	for place, digits := range map[patterns.Place]string{patterns.Front: "16072358", patterns.End: "23581607"} {
		if got := (&draft{number: true, field: 1}).wants(); !strings.Contains(got, digits) {
			t.Errorf("%s is not told: %q", digits, got)
		}
		judged(t, digits, patterns.Settings{Numbers: []patterns.OwnNumber{{Number: "1607", Place: place}}}, patterns.OwnNumbers)
	}
	b := newTable(t)
	b.size(MinWidth, MinHeight)
	b.play("w o p")
	b.shows("equal letters are equal digits", "??1234??")
	b.play("esc n")
	b.shows("as 1607")
	b.play("1607 enter")
	b.shows("where in the serial")
}

// judged wants a serial to meet a rule.
func judged(t *testing.T, digits string, s patterns.Settings, id patterns.ID) {
	t.Helper()
	b, err := patterns.NewBook(s)
	if err != nil {
		t.Fatal(err)
	}
	d, err := patterns.ParseDigits(digits)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range b.Judge(d).Findings {
		if f.Rule == id {
			return
		}
	}
	t.Errorf("%s does not meet rule %d", digits, id)
}
