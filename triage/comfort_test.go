package triage

import (
	"testing"
	"time"
)

// A break is called to mind once when the time is over, again after as long, and never after a break that was taken.
func TestSitting(t *testing.T) {
	start := time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)
	var s Sitting
	var told []time.Duration
	at := start
	note := func(wait time.Duration) {
		at = at.Add(wait)
		if sorted, due := s.Decided(at, 20*time.Minute); due {
			if sorted < 20*time.Minute {
				t.Errorf("due after %v", sorted)
			}
			told = append(told, at.Sub(start))
		}
	}
	for range 50 * 60 / 4 { // fifty minutes, a note every four seconds
		note(4 * time.Second)
	}
	if len(told) != 2 || told[0].Round(time.Minute) != 20*time.Minute || told[1].Round(time.Minute) != 40*time.Minute {
		t.Fatalf("told after %v, want after 20 and 40 minutes", told)
	}
	note(Rested) // ten minutes of the third round were gone; they are forgotten
	for range 19 * 60 / 4 {
		note(4 * time.Second)
	}
	if len(told) != 2 {
		t.Errorf("told %v after a break of %v and 19 minutes", told[2:], Rested)
	}
	note(time.Minute)
	if len(told) != 3 {
		t.Error("not told 20 minutes after a break")
	}
	note(-time.Hour) // the clock was set back
	note(4 * time.Second)
	if len(told) != 3 {
		t.Error("told because the clock was set back")
	}
}

func TestSittingOfAPersonWhoWantsNone(t *testing.T) {
	var s Sitting
	at := time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)
	for range 10_000 {
		at = at.Add(4 * time.Second)
		if _, due := s.Decided(at, 0); due {
			t.Fatal("a break is due though none was asked for")
		}
	}
}
