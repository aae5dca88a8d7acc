package triage

import (
	"testing"
	"time"
)

// A held key repeats after 250 ms to 1 s and then about 30 times a second (common keyboard
// settings, measured; no published source). Whenever it went down, it must not decide by itself.
func TestHeldKeyNeverDecides(t *testing.T) {
	start := time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)
	for first := 250 * time.Millisecond; first <= time.Second; first += 10 * time.Millisecond {
		for _, wait := range []time.Duration{MinPause, 400 * time.Millisecond, 1500 * time.Millisecond, MaxPause} {
			var g Gate
			g.Open(start, wait)
			if g.Press(KeySpend, start) == Quiet {
				t.Fatalf("a key at the moment the pause of %v began counted", wait)
			}
			for at := first; at < 20*time.Second; at += 33 * time.Millisecond {
				if g.Press(KeySpend, start.Add(at)) == Quiet {
					t.Fatalf("held key, first repeat after %v, pause %v: counted after %v", first, wait, at)
				}
			}
		}
	}
}

// The same for a key that has just decided: its repeats must not decide the next note.
func TestRepeatsOfADecisionDecideNothing(t *testing.T) {
	start := time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)
	for first := 250 * time.Millisecond; first <= time.Second; first += 10 * time.Millisecond {
		var g Gate
		g.Open(start, MinPause)
		if n := g.Press(KeySpend, start.Add(time.Second)); n != Quiet {
			t.Fatalf("a key after the pause did not count: notice %d", n)
		}
		decided := start.Add(time.Second)
		g.Open(decided, MinPause) // the next note
		for at := first; at < 20*time.Second; at += 33 * time.Millisecond {
			if g.Press(KeySpend, decided.Add(at)) == Quiet {
				t.Fatalf("first repeat after %v: the next note was decided after %v", first, at)
			}
		}
	}
}

func TestGate(t *testing.T) {
	start := time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)
	ms := func(n int) time.Time { return start.Add(time.Duration(n) * time.Millisecond) }
	type press struct {
		key  KeyKind // 0: a key that decides nothing
		at   int
		want NoticeKind
	}
	for _, c := range []struct {
		why     string
		presses []press
	}{
		{"after the pause a key counts", []press{{KeySpend, 400, Quiet}}},
		{"one millisecond before it does not", []press{{KeySpend, 399, TooEarly}}},
		{"an early key is locked even after the pause", []press{{KeySpend, 100, TooEarly}, {KeySpend, 600, HeldKey}}},
		{"and each press of it begins the rest anew", []press{{KeySpend, 100, TooEarly}, {KeySpend, 1100, HeldKey}, {KeySpend, 2100, HeldKey}}},
		{"1.1 s of rest free it", []press{{KeySpend, 100, TooEarly}, {KeySpend, 1200, Quiet}}},
		{"another key frees it", []press{{KeySpend, 100, TooEarly}, {0, 300, Quiet}, {KeySpend, 500, Quiet}}},
		{"the other decision key is another key", []press{{KeySpend, 100, TooEarly}, {KeyKeep, 500, Quiet}}},
		{"a clock set back is no way round the pause", []press{{KeySpend, -5000, TooEarly}}},
	} {
		var g Gate
		g.Open(start, 400*time.Millisecond)
		for _, p := range c.presses {
			if p.key == 0 {
				g.Other()
				continue
			}
			if got := g.Press(p.key, ms(p.at)); got != p.want {
				t.Errorf("%s: key %d at %d ms gave notice %d, want %d", c.why, p.key, p.at, got, p.want)
			}
		}
	}
}

func TestPausesAreNeverOff(t *testing.T) {
	p := Pauses{Plain: 0, Stop: time.Hour, Pace: -time.Second}.Bounded()
	if p.Plain != MinPause || p.Stop != MaxPause || p.Pace != 0 {
		t.Errorf("Bounded gave %+v", p)
	}
}
