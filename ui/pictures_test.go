package ui

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
)

// pictures are the screens that the README shows, as the program draws them: -update makes them anew.
var pictures = []struct {
	name, words string // of the file, and what it shows for those who do not see it
	w, h        int
	play        func(*table)
}{
	{"note", "A strap with 43 notes decided. The number in hand is one digit off a radar; both digits in doubt are marked.", 100, 26, func(b *table) {
		sorted(b, 43)
		b.play("B70633507C wait")
	}},
	{"pulls", "A strap of new notes in sequence: which positions are to be pulled, and why.", 100, 16, func(b *table) { b.sequenced("F12344301A", "F12344400A") }},
	{"stars", "The star batch: kept stars by series and bank, and what the published runs say.", 100, 18, starBatch},
	{"tally", "The tally: what was found beside what was to be expected, with exact ranges.", 100, 20, func(b *table) { twoFloats(b); b.play("desk t") }},
}

// sorted is a strap with so many notes decided: most spent, some kept.
func sorted(b *table, notes int) {
	b.begin("Friday float")
	for i, s := range plainSerials(notes, 3) {
		switch {
		case i == 11 || i == 30:
			b.play([]string{"B12344321A", "F80008000B"}[i/30] + " wait +")
		case i%9 == 4:
			b.play("wait -")
		case i == 22:
			b.play("B48160184C wait - 84 enter")
		default:
			b.play(s + " wait -")
		}
		b.play("wait")
	}
}

// The pictures in the README are what the program draws today, and each of them is shown.
func TestPictures(t *testing.T) {
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer lipgloss.SetColorProfile(termenv.Ascii)
	readme, err := os.ReadFile(filepath.Join("..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pictures {
		b := newTable(t)
		p.play(b)
		b.size(p.w, p.h)
		path := filepath.Join("testdata", "pictures", p.name+".svg")
		if !bytes.Contains(readme, []byte("!["+p.words+"]("+path+")")) {
			t.Errorf("the README does not show ![%s](%s)", p.words, path)
		}
		now := picture(t, p.words, p.w, p.h, b.app.View())
		path = filepath.Join("..", path)
		if *update {
			if err := os.WriteFile(path, now, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if then, err := os.ReadFile(path); err != nil || !bytes.Equal(then, now) {
			t.Errorf("%s is not what the program draws (%v): go test ./ui -run TestPictures -update", path, err)
		}
	}
}

// The cell of a picture, in its own units, and the colours of the paper and of plain ink.
const (
	cellWidth, cellHeight = 8.4, 18
	margin                = 12
	paper, ink            = "#101214", "#d0d0d0"
)

// picture draws a view as SVG 1.1 (W3C Recommendation, 16 August 2011). Each run of cells is stretched to its place, so that
// no font can shift it.
func picture(t *testing.T, words string, w, h int, view string) []byte {
	t.Helper()
	var out bytes.Buffer
	wide, high := float64(w)*cellWidth+2*margin, h*cellHeight+2*margin
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %d" width="%.0f" height="%d" role="img" font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="14">`+"\n", wide, high, wide, high)
	fmt.Fprintf(&out, "<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" rx=\"6\" fill=\"%s\"/>\n", escaped(words), paper)
	for row, line := range strings.Split(view, "\n") {
		for _, r := range runs(t, line) {
			x, y := margin+float64(r.column)*cellWidth, margin+row*cellHeight
			fill := r.ink
			if r.reverse {
				fmt.Fprintf(&out, "<rect x=\"%.1f\" y=\"%d\" width=\"%.1f\" height=\"%d\" fill=\"%s\"/>\n", x, y, float64(r.cells)*cellWidth, cellHeight, fill)
				fill = paper
			}
			weight := ""
			if r.bold {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(&out, "<text x=\"%.1f\" y=\"%d\" textLength=\"%.1f\" lengthAdjust=\"spacingAndGlyphs\" xml:space=\"preserve\" fill=\"%s\"%s>%s</text>\n",
				x, y+14, float64(r.cells)*cellWidth, fill, weight, escaped(r.text))
		}
	}
	out.WriteString("</svg>\n")
	return out.Bytes()
}

func escaped(text string) string {
	var out bytes.Buffer
	_ = xml.EscapeText(&out, []byte(text)) // a Buffer takes everything
	return out.String()
}

// A run is text of one style on a line.
type run struct {
	column, cells int
	text          string
	style
}

type style struct {
	bold, reverse bool
	ink           string
}

// runs takes a line apart at its styles (ECMA-48, SGR); cells that are blank and not reversed are left out.
func runs(t *testing.T, line string) (all []run) {
	t.Helper()
	now := style{ink: ink}
	column := 0
	open := false // the last run goes on
	var state byte
	for len(line) > 0 {
		seq, width, n, next := ansi.DecodeSequence(line, state, nil)
		state, line = next, line[n:]
		switch {
		case width == 0:
			now, open = styled(t, now, seq), false
		case seq == " " && !now.reverse:
			column, open = column+width, false
		case open:
			last := &all[len(all)-1]
			last.text, last.cells, column = last.text+seq, last.cells+width, column+width
		default:
			all, open = append(all, run{column, width, seq, now}), true
			column += width
		}
	}
	return all
}

// styled is a style after a control sequence.
func styled(t *testing.T, s style, seq string) style {
	t.Helper()
	var r, g, b int
	body, isSGR := strings.CutSuffix(strings.TrimPrefix(seq, "\x1b["), "m")
	if !isSGR {
		t.Fatalf("a view has the control sequence %q", seq)
	}
	parts := strings.Split(body, ";")
	for i := 0; i < len(parts); i++ {
		switch parts[i] {
		case "", "0":
			s = style{ink: ink}
		case "1":
			s.bold = true
		case "7":
			s.reverse = true
		case "38":
			if _, err := fmt.Sscanf(strings.Join(parts[i:], " "), "38 2 %d %d %d", &r, &g, &b); err != nil {
				t.Fatalf("the colour in %q: %v", seq, err)
			}
			s.ink = fmt.Sprintf("#%02x%02x%02x", r, g, b)
			i += 4
		default:
			t.Fatalf("a view has the style %q", seq)
		}
	}
	return s
}
