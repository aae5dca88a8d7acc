package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"app/unband/patterns"
)

var (
	ctrlA = tea.KeyMsg{Type: tea.KeyCtrlA}
	ctrlW = tea.KeyMsg{Type: tea.KeyCtrlW}
	ctrlG = tea.KeyMsg{Type: tea.KeyCtrlG}
	ctrlO = tea.KeyMsg{Type: tea.KeyCtrlO}
)

// twoFloats are two sessions from two branches, one of used notes with sixty of them, one of new notes.
func twoFloats(b *table) {
	b.play("n")
	b.typed("Saturday float")
	b.play("down")
	b.typed("Mill Lane")
	b.play("enter enter enter enter enter")
	for i, s := range plainSerials(60, 7) {
		switch {
		case i%20 == 19:
			b.play(fmt.Sprintf("wait 0187335%d* wait + B enter 17A enter", i/20))
		case i%9 == 0:
			b.play("wait B" + s + "C / 2013 enter esc wait wait -")
		default:
			b.play(s + " wait -")
		}
	}
	b.play("desk")
	market(b)
}

// market is a session with something of everything: keepers, an error, stamps, a star, a near miss, and
// the whole of it sorted.
func market(b *table) {
	b.beginNew("Friday float")
	b.play("48160297 wait - wait B70633607C wait / 17A enter goto h")
	b.typed("album 1, page 3")
	b.play("esc wait + wait 70633507 wait - 65 enter wait F01873355* wait + 17A enter wait")
	b.play("B60896809A wait / e enter y y y n y y enter goto g right right right right right enter space esc wait + wait")
	b.play("L35120846D wait / t space esc wait - wait - wait 61225697 wait -")
	b.play("enter wait enter wait enter wait d")
}

// scenes are the states of every screen that are drawn and compared.
var scenes = []struct {
	name string
	play func(*table)
}{
	{"desk-empty", func(b *table) {}},
	{"desk", func(b *table) {
		b.begin("Friday float")
		b.play("48160297 wait - 70633607 wait + 70633507 wait - 65 enter desk")
		b.begin("Saturday float")
		b.play("desk")
	}},
	{"form", func(b *table) {
		b.play("n")
		b.typed("Friday float")
		b.play("down down right right right")
	}},
	{"strap-other-denomination", func(b *table) {
		b.begin("Friday float")
		b.play("48160297 wait - / m right right esc MB61225697A wait ! / m left esc wait wait")
	}},
	{"closer-denomination", func(b *table) { b.begin("Friday float"); b.play("48160297 / m right right") }},
	{"session-put-right", func(b *table) { b.begin("Friday float"); b.play("48160297 wait - desk p e down") }},
	{"session-closed-put-right", func(b *table) { market(b); b.play("p wait c wait wait c e down") }},
	{"session-taken-out", func(b *table) { b.begin("Friday float"); b.play("desk p e wait ctrl+x") }},
	{"form-proposed", func(b *table) { b.play("n down down down down") }},
	{"form-wrong-number", func(b *table) {
		b.play("n down down down down clear")
		b.typed("ten")
		b.play("enter enter")
	}},
	{"strap-empty", func(b *table) { b.begin("Friday float") }},
	{"sequence", func(b *table) { b.beginNew("fair"); b.play("sequence F12344300A down right") }},
	{"sequence-turned", func(b *table) { b.sequenced("F12344400A", "F12344301A") }},
	{"sequence-gaps", func(b *table) { b.sequenced("F12344301A", "F48160577A") }},
	{"sequence-proved", func(b *table) { b.sequenced("F12344301A", "F12344400A") }},
	{"sequence-stars", func(b *table) { b.sequenced("A01344301*", "A01344400*") }},
	{"listed-sequence", func(b *table) { b.sequenced("G12345641A", "G12345740A"); b.play("wait enter wait") }},
	{"listed-star-in-place", func(b *table) {
		b.sequenced("F20114401A", "F20114500A")
		b.play("wait enter wait . up up left left F01180455*")
	}},
	{"listed-other-number", func(b *table) { b.sequenced("F12344301A", "F12344400A"); b.play("wait enter F48160297A wait +") }},
	{"listed-rest", func(b *table) {
		b.sequenced("F12344301A", "F12344400A")
		b.play("wait enter wait + wait wait enter")
	}},
	{"listed-stars-whole", func(b *table) { b.sequenced("A01344301*", "A01344400*"); b.play("wait enter wait") }},
	{"listed-one-by-one", func(b *table) {
		b.sequenced("F12344301A", "F12344400A")
		b.play("wait enter wait onebyone")
	}},
	{"session-listed", func(b *table) { b.listOf(250); b.play("wait enter desk p") }},
	{"listed-onward", func(b *table) { b.listOf(250); b.play("wait enter wait +") }},
	{"list", func(b *table) { b.begin("Friday float"); b.play("list") }},
	{"list-asked", func(b *table) { b.begin("Friday float"); b.openList("../testdata/lists/doubts.csv") }},
	{"list-answered", func(b *table) {
		b.begin("Friday float")
		b.openList("../testdata/lists/doubts.csv")
		b.play("right down right down left pgdn")
	}},
	{"list-print-out", func(b *table) { b.begin("Friday float"); b.openList("../testdata/lists/print-out.txt") }},
	{"list-refused", func(b *table) { b.begin("Friday float"); b.openList("/no/such/folder/friday.csv") }},
	{"list-again", func(b *table) {
		b.begin("Friday float")
		b.openList("../testdata/lists/plain.txt")
		b.play("esc list")
	}},
	{"list-another", func(b *table) {
		b.begin("Friday float")
		b.openList("../testdata/lists/doubts.csv")
		b.play("right down right down left down")
	}},
	{"list-another-refused", func(b *table) {
		b.begin("Friday float")
		b.openList("../testdata/lists/doubts.csv")
		b.play("up up up up")
		b.typed("/no/such/folder/friday.csv")
		b.play("enter")
	}},
	{"listed-unread", func(b *table) {
		b.begin("Friday float")
		b.openList("../testdata/lists/doubts.csv")
		b.play("right down right down left wait enter wait")
	}},
	{"strap-typing", func(b *table) { b.begin("Friday float"); b.play("B706") }},
	{"strap-settled", func(b *table) { b.begin("Friday float"); b.play("B481602 wait") }},
	{"strap-plain-pause", func(b *table) { b.begin("Friday float"); b.play("B48160297C") }},
	{"strap-hit", func(b *table) { b.begin("Friday float"); b.play("B27722772C wait") }},
	{"strap-hit-spent-once", func(b *table) { b.begin("Friday float"); b.play("B70633607C wait -") }},
	{"strap-near", func(b *table) { b.begin("Friday float"); b.play("B70633507C wait") }},
	{"strap-reread", func(b *table) { b.begin("Friday float"); b.play("B70633507C wait - 6") }},
	{"strap-doubt", func(b *table) { b.begin("Friday float"); b.play("M98765432A wait") }},
	{"strap-too-many", func(b *table) { b.begin("Friday float"); b.play("481602977") }},
	{"strap-star", func(b *table) { b.begin("Friday float"); b.play("48160297* wait + B enter 20") }},
	{"closer", func(b *table) { b.begin("Friday float"); b.play("B70633607C wait /") }},
	{"closer-go", func(b *table) { b.begin("Friday float"); b.play("B70633607C wait / g v goto") }},
	{"closer-asked", func(b *table) { b.begin("Friday float"); b.play("B48160297C / 17A enter goto p F enter 12") }},
	{"closer-unsaid", func(b *table) { b.begin("Friday float"); b.play("70633607 / g") }},
	{"strap-closer-said", func(b *table) {
		b.begin("Friday float")
		b.play("B70633607C wait / g v v down t goto r")
		b.typed("corner bent, ink at the edge")
		b.play("down")
		b.typed("album 1, page 3")
		b.play("esc wait")
	}},
	{"closer-picker", func(b *table) { b.begin("Friday float"); b.play("B00250000* / 1") }},
	{"closer-web", func(b *table) { b.begin("Friday float"); b.play("A25600001E / 1988A enter") }},
	{"closer-second", func(b *table) { b.begin("Friday float"); b.play("B57104899A / 17A enter goto o B57104900A") }},
	{"closer-condition", func(b *table) {
		b.begin("Friday float")
		b.play("70633607 / g right right right right right right enter space right right space")
	}},
	{"closer-error-question", func(b *table) { b.begin("Friday float"); b.play("70633607 / e enter y") }},
	{"closer-error-end", func(b *table) { b.begin("Friday float"); b.play("70633607 / e enter y y y n y y") }},
	{"closer-ask", func(b *table) {
		b.begin("Friday float")
		b.play("B60896809A / 17A enter goto e enter y y y n y y enter goto f")
		b.typed("a ghost of the back, mirrored, over the portrait")
		b.press(tea.KeyMsg{Type: tea.KeyCtrlT})
		b.play("down right right right")
	}},
	{"strap-beside", func(b *table) {
		b.beginNew("Friday float")
		b.play("48160297 wait - wait 48160298 / e enter y y y n y y enter esc wait + wait 48160299 wait -")
	}},
	{"strap-beside-end", func(b *table) {
		b.beginNew("Friday float")
		b.play("48160297 wait - wait 48160298 / e enter y y y n y y enter esc wait + wait 48160299 wait + wait enter")
	}},
	{"strap-rule-worn", func(b *table) {
		b.play("w")
		b.rule(patterns.Radar)
		b.play("k esc")
		b.begin("Friday float")
		b.play("70633607 wait / g right right right esc wait +")
	}},
	{"strap-rule-unsaid", func(b *table) {
		b.play("w")
		b.rule(patterns.Radar)
		b.play("k g g esc")
		b.begin("Friday float")
		b.play("70633607 wait")
	}},
	{"watch-rule", func(b *table) { b.play("w up k g up k k") }},
	{"second-look-closer", func(b *table) {
		b.begin("Friday float")
		b.play("70633507 wait - 65 enter 48160297 wait - enter wait enter wait enter l wait / 17A enter")
	}},
	{"keepers-empty", func(b *table) { b.play("k") }},
	{"keepers", func(b *table) { market(b); b.play("k tab down") }},
	{"keepers-filter", func(b *table) { market(b); b.play("k radar") }},
	{"keepers-where", func(b *table) { market(b); b.play("k"); b.press(ctrlA); b.press(ctrlW); b.typed("album 2, page 1") }},
	{"keepers-gone", func(b *table) {
		market(b)
		b.play("k tab tab")
		b.press(ctrlG)
		b.play("right down down")
		b.typed("at the fair")
	}},
	{"errands-empty", func(b *table) { b.play("e") }},
	{"desk-errands", func(b *table) { market(b); b.play("down down") }},
	{"errands", func(b *table) {
		market(b)
		b.play("e down x")
		b.now = b.now.Add(time.Hour)
		b.play("x down down down r")
		b.typed("nothing found")
	}},
	{"counting-back", func(b *table) { market(b); b.play("enter wait b") }},
	{"counting-back-differs", func(b *table) { market(b); b.play("enter wait b 6 enter up left 1") }},
	{"session-signed-off", func(b *table) { market(b); b.play("enter wait b 4 enter wait s wait s wait o wait o") }},
	{"finds", func(b *table) { market(b); b.play("enter wait f") }},
	{"finds-markdown-hidden", func(b *table) { market(b); b.play("enter wait f m h h h h") }},
	{"tally-rates", func(b *table) { twoFloats(b); b.play("t g") }},
	{"tally-found", func(b *table) { twoFloats(b); b.play("t right") }},
	{"tally-pace", func(b *table) { twoFloats(b); b.play("t right right") }},
	{"tally-series", func(b *table) { twoFloats(b); b.play("t left") }},
	{"tally-report", func(b *table) { twoFloats(b); b.play("t r right right") }},
	{"tally-days", func(b *table) { twoFloats(b); b.play("t d 2026-03-06") }},
	{"tally-empty", func(b *table) { b.play("t") }},
	{"strap-set-aside", func(b *table) { b.begin("Friday float"); b.play("B48160297C wait !") }},
	{"errand-of-a-note-set-aside", func(b *table) { b.begin("Friday float"); b.play("B48160297C wait ! wait ! desk down enter") }},
	{"strap-old-and-twin", func(b *table) { b.begin("Friday float"); b.play("B00250000* / 13 enter / wait") }},
	{"strap-met", func(b *table) {
		b.begin("Friday float")
		b.play("H48160297K wait - C48160297D wait")
	}},
	{"strap-hint", func(b *table) { b.guided = true; b.start(); b.begin("Friday float"); b.play("48160297 wait") }},
	{"strap-back", func(b *table) {
		b.begin("Friday float")
		b.play("48160297 wait - 70633607 wait + 70633507 wait - 65 enter wait - . . .")
	}},
	{"strap-end", func(b *table) { b.begin("Friday float"); b.play("48160297 wait - enter") }},
	{"strap-resumed", func(b *table) {
		b.begin("Friday float")
		b.play("48160297 wait - 35120846")
		b.now = b.now.Add(20 * time.Hour)
		b.start()
		b.play("r")
	}},
	{"session", func(b *table) {
		b.begin("Friday float")
		b.play("48160297 wait - 70633507 wait - 65 enter wait enter wait enter wait enter")
	}},
	{"second-look", func(b *table) {
		b.begin("Friday float")
		b.play("70633507 wait - 65 enter 48160297 wait - enter wait enter wait enter l wait")
	}},
	{"again", func(b *table) { shortStrap(b, "used"); b.play("a 8 enter / 17A enter goto g right right esc wait") }},
	{"again-turned", func(b *table) { shortStrap(b, "used"); b.play("a t left left left 1") }},
	{"again-closer", func(b *table) { shortStrap(b, "used"); b.play("a t / k 295 pgdn 312 pgdn 29") }},
	{"again-unread", func(b *table) { shortStrap(b, "used"); b.play("a 4 enter wait") }},
	{"again-against-the-rule", func(b *table) { shortStrap(b, "used"); b.play("a 3 enter wait -") }},
	{"again-closed", func(b *table) { shortStrap(b, "used"); b.play("wait c wait c wait a 3 enter") }},
	{"stars-empty", func(b *table) { b.play("s") }},
	{"stars", starBatch},
	{"stars-run-form", func(b *table) { starBatch(b); b.play("r 3200001 enter 64000") }},
	{"stars-facts", func(b *table) { starBatch(b); b.play("enter") }},
	{"watch", func(b *table) { b.play("w down down") }},
	{"watch-session", func(b *table) { b.begin("Friday float"); b.play("48160297 wait - enter wait enter wait enter w") }},
	{"watch-definitions", func(b *table) { b.play("w d down down down down down 500") }},
	{"watch-own-empty", func(b *table) { b.play("w o") }},
	{"watch-own-typing", func(b *table) { b.play("w o p ABBACDDC") }},
	{"watch-own-number", func(b *table) { b.play("w o n 1607 enter") }},
	{"watch-own-bad", func(b *table) { b.play("w o p AB-ACDDC enter") }},
	{"watch-own", func(b *table) {
		b.play("w o p ??1234?? enter")
		b.typed("the stall's number")
		b.play("enter n 1607 enter right enter")
		b.typed("house number")
		b.play("enter")
	}},
	{"comfort", func(b *table) { b.play("c") }},
	{"comfort-calm", func(b *table) { b.play("c right down right down down down right right right") }},
	{"comfort-calm-flash", func(b *table) { b.play("c right down down down right") }},
	{"comfort-flash", func(b *table) { b.play("c down down right down right") }},
	{"strap-calm-pause", func(b *table) { b.play("c right esc"); b.begin("Friday float"); b.play("B48160297C") }},
	{"strap-calm-hit", func(b *table) { b.play("c right down right esc"); b.begin("Friday float"); b.play("B70633607C wait") }},
	{"sequence-calm", func(b *table) { b.play("c right esc"); b.sequenced("F12344301A", "F12344400A") }},
	{"strap-flash", func(b *table) { b.play("c down down down right esc"); b.begin("Friday float"); b.play("B70633607C") }},
	{"strap-break", func(b *table) {
		b.play("c down down down down right esc")
		b.begin("Friday float")
		for _, s := range plainSerials(6, 3) { // a note every four minutes
			b.play(s)
			b.now = b.now.Add(4 * time.Minute)
			b.play("-")
		}
	}},
	{"help-strap", func(b *table) { b.begin("Friday float"); b.play("?") }},
	{"help-desk", func(b *table) { b.play("?") }},
	{"help-strap-end", func(b *table) { b.begin("Friday float"); b.play("? down down down down down down down down down down") }},
	{"help-second-look", func(b *table) {
		b.begin("Friday float")
		b.play("70633507 wait - 65 enter 48160297 wait - enter wait enter wait enter l wait ?")
	}},
	{"help-closer", func(b *table) { b.begin("Friday float"); b.play("70633607 /"); b.play("f1") }},
	{"help-patterns", func(b *table) { b.begin("Friday float"); b.play("? g") }},
	{"help-patterns-own", func(b *table) {
		b.play("w o p ??1234?? enter")
		b.typed("the stall's number")
		b.play("enter esc ? g down down down down")
	}},
	{"strap-left-hand", func(b *table) { leftHanded(b); b.begin("Friday float"); b.play("B70633607C wait") }},
}

// wide are the scenes that are compared in a very large window, too: a page is never wider than can be read.
var wide = []string{"desk-errands", "strap-hit", "strap-reread", "closer-condition", "second-look", "keepers", "tally-rates", "watch", "help-strap"}

// TestViews compares every scene with its golden text at two sizes, and at the smallest.
func TestViews(t *testing.T) {
	for i, s := range scenes {
		t.Run(s.name, func(t *testing.T) {
			b := newTable(t)
			s.play(b) // once for all that is asked of a scene: playing takes longer than looking
			sizes := [][2]int{{80, 24}, {120, 40}, {MinWidth, MinHeight}}
			if slices.Contains(wide, s.name) {
				sizes = append(sizes, [2]int{250, 60})
			}
			for _, size := range sizes {
				b.size(size[0], size[1])
				golden(t, fmt.Sprintf("%s-%dx%d", s.name, size[0], size[1]), b.app.View())
			}
			everyKeyHasOneMeaning(t, b)
			footerIsInHelp(t, b)
			viewIsPure(t, b)
			everyProfile(t, b)
			everySize(t, i, b)
		})
	}
}

// golden compares a view with the text in testdata/views. Trailing blanks of a line do not count.
func golden(t *testing.T, name, view string) {
	t.Helper()
	lines := strings.Split(view, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	got := strings.Join(lines, "\n") + "\n"
	path := filepath.Join("..", "testdata", "views", name+".txt")
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v\n(go test ./ui -run TestViews -update writes it)", err)
	}
	if got != string(want) {
		t.Errorf("%s is\n%s\nwant\n%s", name, got, want)
	}
}

// leftHanded has a table played with the keys for the left hand.
func leftHanded(b *table) {
	k, err := KeysNamed(LeftHand)
	if err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(k.Use())
}

// footerIsInHelp wants every key that the line at the foot of a screen names in its help.
func footerIsInHelp(t *testing.T, b *table) {
	t.Helper()
	told := map[string]bool{}
	for _, g := range append(b.app.screen.groups(), keyGroup{keys: b.app.everywhere()}) {
		for _, k := range g.keys {
			told[name(k)] = true
		}
	}
	for _, k := range b.app.screen.short() {
		if !told[name(k)] {
			t.Errorf("the help does not tell of %s (%s)", name(k), k.Help().Desc)
		}
	}
}

// everySize draws a scene at sizes from 1×1 to 250×60: no panic, no line too wide, never too many lines. Normally
// every seventeenth size is drawn, with -long every one.
func everySize(t *testing.T, i int, b *table) {
	t.Helper()
	step := 17
	switch {
	case *long:
		step = 1
	case testing.Short():
		step = 151
	}
	for n := i % step; n < 250*60; n += step {
		w, h := n%250+1, n/250+1
		b.size(w, h)
		lines := strings.Split(b.app.View(), "\n")
		if len(lines) > h {
			t.Fatalf("at %d×%d there are %d lines", w, h, len(lines))
		}
		for _, line := range lines {
			if got := ansi.StringWidth(line); got > w {
				t.Fatalf("at %d×%d there is a line of %d cells: %q", w, h, got, line)
			}
		}
	}
}

// viewIsPure draws twice and compares.
func viewIsPure(t *testing.T, b *table) {
	t.Helper()
	first := b.app.View()
	b.now = b.now.Add(time.Hour)
	if second := b.app.View(); first != second {
		t.Errorf("drawn twice it differs:\n%s\nand\n%s", first, second)
	}
}
