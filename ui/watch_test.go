package ui

import (
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
	b.play("desk w o x") // the first pattern goes; the second takes its rule
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
