package ui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// What the closer look was told stands on the strap screen for the note in hand, in every window, in one line.
func TestStoryOfWhatWasSaid(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {60, 16}, {120, 40}} {
		b := newTable(t)
		b.begin("Friday float")
		b.size(size[0], size[1])
		b.play("70633607 wait")
		without := strings.Count(b.app.View(), "closer look: ")
		b.play("/ r torn esc")
		b.shows(`closer look: "torn"`, "your rule: keep", "radar")
		b.play("/ h")
		b.typed("album 1, page 3, in the upper left pocket of the sheet")
		b.play("goto g v v goto y 17A enter esc")
		b.shows(`closer look: Very Fine, "torn", lies: album`, "…", "your rule: keep", "radar", "1 in 10,001")
		if got := strings.Count(b.app.View(), "closer look: "); without != 0 || got != 1 {
			t.Errorf("%v: it is said %d times, before %d times", size, got, without)
		}
		b.play("wait wait +")
		if strings.Contains(b.app.View(), "closer look: ") {
			t.Errorf("%v: it stands with the next note", size)
		}
		b.play(". wait")
		b.shows("gone back: kept", "closer look: ")
	}
}

// The facts in a line are never wider than they may be, control characters in them harm nothing, and each fact of
// a note is among them.
func TestSeenWords(t *testing.T) {
	f := triage.Facts{Series: "2017A", Facility: currency.FortWorth, Seal: currency.Green, Second: "B57104900A", SealLetter: "B", Corner: "2", Web: true,
		Sheet: "F4", Plate: "F 12", BackPlate: "295", Grade: flaws.VeryFine, Defects: flaws.Fold | flaws.Tear, Stamp: true, Flaw: 1,
		Remark: "re\x1b[2Jmark\x07 \u009b 世界", Where: "album", Face: "a spot", Back: "a line", Neighbours: true, Reason: "gift"}
	for w := range 300 {
		text := seenWords(f, w)
		if ansi.StringWidth(text) > w || strings.ContainsAny(text, "\x07\u009b") || strings.Contains(text, "[2J") && strings.Contains(text, "\x1b") {
			t.Fatalf("in %d cells: %q", w, text)
		}
	}
	all := seenWords(f, 1000)
	for _, want := range []string{"2017A", "FW", "green", "B57104900A", "seal letter B", "corner 2", "web press", "F4", "F 12", "295", "Very Fine", "fold, tear",
		"stamp", flaws.OutcomeID(1).String(), "mark", "album", "a spot", "a line", "neighbours", "gift"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not in %q", want, all)
		}
	}
	if got := seenWords(triage.Facts{}, 80); got != "" {
		t.Errorf("of a note nothing was said of: %q", got)
	}
	long := seenWords(triage.Facts{Grade: flaws.VeryFine, Remark: strings.Repeat("remark ", 20), Where: "album 1"}, 60)
	if !strings.Contains(long, "Very Fine") || !strings.Contains(long, "album 1") || !strings.Contains(long, "…") {
		t.Errorf("a long remark leaves out the rest: %q", long)
	}
}
