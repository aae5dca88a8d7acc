package ui

import (
	"strings"
	"testing"
)

// longErrands has errands with names as long as the form takes them, and one that is done with a long remark.
func longErrands(b *table) (texts []string) {
	name := strings.TrimSpace(strings.Repeat("a long name ", longestText/12))
	b.play("n")
	b.typed(name)
	b.play("down")
	b.typed(strings.TrimSpace(strings.Repeat("a long branch ", longestText/14)))
	b.play("down down n down 1 down enter")
	b.play("L35120846D wait / t space esc wait - B60896809A wait / e enter y y y n y y enter esc wait + wait")
	b.play("L35120847D wait / t space esc wait - wait - wait enter wait enter wait enter wait d")
	b.play("e")
	v := b.app.screen.(*errandPage)
	for v.open[v.row].text == "" || !strings.Contains(v.open[v.row].text, "35120846") {
		b.play("down")
	}
	b.play("x")
	for range len(v.open) + len(v.done) {
		b.play("down")
	}
	b.play("r")
	remark := strings.TrimSpace(strings.Repeat("what came of it ", longestRemark/16))
	b.typed(remark)
	b.shows("what came of it what came")
	b.play("enter")
	b.play("wait wait wait")
	for _, r := range v.open {
		texts = append(texts, r.text)
	}
	for _, r := range v.done {
		texts = append(texts, r.text+" ("+remark+")")
	}
	return texts
}

// inOneLine is the text of the view without its lines: blanks in one, dates and marks left out.
func inOneLine(view string, dates ...string) string {
	for _, d := range append(dates, signChoice) {
		view = strings.ReplaceAll(view, d, "")
	}
	return strings.Join(strings.Fields(view), " ")
}

// No errand is cut: under the cursor each is there to its last word, in the smallest window and on the desk, too.
func TestErrandsAreReadInFull(t *testing.T) {
	b := newTable(t)
	texts := longErrands(b)
	if len(texts) < 4 {
		t.Fatalf("the errands are %q", texts)
	}
	v := b.app.screen.(*errandPage)
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}, {120, 40}} {
		b.size(size[0], size[1])
		for range texts {
			b.play("pgup")
		}
		for i, text := range texts {
			if v.row != i {
				t.Fatalf("the cursor is on errand %d, want %d", v.row, i)
			}
			view := b.app.View()
			if got := inOneLine(view, "done today 19:00", "done 1 min ago", "done 2 min ago", "done just now", "just now", "1 min ago"); !strings.Contains(got, text) || strings.Contains(view, "…  ") {
				t.Errorf("at %v errand %d is not %q in\n%s", size, i, text, view)
			}
			b.play("down")
		}
	}
	b.play("esc")
	d := b.app.screen.(*desk)
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}} {
		b.size(size[0], size[1])
		for range texts {
			b.play("up")
		}
		for i := range d.errands {
			b.play("down")
			text := d.errands[i].text
			if got := inOneLine(b.app.View(), "just now", "1 min ago"); !strings.Contains(got, text) {
				t.Errorf("at %v the desk does not say %q in\n%s", size, text, b.app.View())
			}
		}
	}
}

// What to do with a suspected counterfeit can be read to its end before the closer look, in the smallest window, too.
func TestTheCautionOfANoteSetAsideIsReadToItsEnd(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("B48160297C wait ! wait ! desk down enter")
	b.size(MinWidth, MinHeight)
	first := b.app.View()
	b.shows("Never spend it", "↓ for more")
	b.play("pgdn pgdn pgdn pgdn pgdn pgdn")
	b.shows("crime (18 U.S.C. 472 and", "Esc back")
	b.play("up")
	if strings.Contains(b.app.View(), "472") {
		t.Errorf("after PgDn too often ↑ does nothing:\n%s", b.app.View())
	}
	b.play("pgup pgup pgup pgup")
	if b.app.View() != first {
		t.Errorf("PgUp ends at\n%s\nwant\n%s", b.app.View(), first)
	}
	b.play("enter")
	b.shows("remark")
}
