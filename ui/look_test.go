package ui

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
)

// rgb is a colour of sRGB.
type rgb [3]uint8

var black, white = rgb{}, rgb{255, 255, 255}

// luminance is the relative luminance of a colour: W3C, WCAG 2.1, definition of "relative luminance"
// (https://www.w3.org/TR/WCAG21/#dfn-relative-luminance).
func (c rgb) luminance() float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}

// contrast is the contrast ratio of two colours: W3C, WCAG 2.1, definition of "contrast ratio"
// (https://www.w3.org/TR/WCAG21/#dfn-contrast-ratio).
func contrast(a, b rgb) float64 {
	la, lb := a.luminance(), b.luminance()
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// enough is the least contrast of text: W3C, WCAG 2.1, success criterion 1.4.3, level AA.
const enough = 4.5

// readable fails where a colour cannot be read on black or on white.
func readable(t *testing.T, what string, c rgb) {
	t.Helper()
	for _, ground := range []rgb{black, white} {
		if got := contrast(c, ground); got < enough {
			t.Errorf("%s, #%02x%02x%02x, has a contrast of %.2f on #%02x%02x%02x, want %.1f", what, c[0], c[1], c[2], got, ground[0], ground[1], ground[2], enough)
		}
	}
}

// ofPalette is a colour of xterm's palette of 256 by its number: the cube of six levels and the greys, as
// 256colres.pl of the xterm sources computes them. The first sixteen are the owner's.
func ofPalette(n int) (rgb, error) {
	switch {
	case n >= 16 && n < 232:
		level := func(i int) uint8 {
			if i == 0 {
				return 0
			}
			return uint8(40*i + 55)
		}
		return rgb{level((n - 16) / 36), level((n - 16) / 6 % 6), level((n - 16) % 6)}, nil
	case n >= 232 && n < 256:
		grey := uint8(10*(n-232) + 8)
		return rgb{grey, grey, grey}, nil
	}
	return rgb{}, fmt.Errorf("colour %d of 256 is the owner's, or none", n)
}

// ofHex is a colour written as #rrggbb.
func ofHex(s string) (c rgb, err error) {
	_, err = fmt.Sscanf(s, "#%02x%02x%02x", &c[0], &c[1], &c[2])
	if len(s) != len("#rrggbb") {
		err = fmt.Errorf("%q is no #rrggbb", s)
	}
	return c, err
}

// The formulas give what their definitions say: contrast ratios range from 1 to 21 (WCAG 2.1, definition of "contrast
// ratio"), the cube's corners and the greys' ends are those of 256colres.pl.
func TestContrastFormula(t *testing.T) {
	if got := contrast(black, white); math.Abs(got-21) > 1e-9 {
		t.Errorf("white on black has a contrast of %v, want 21", got)
	}
	if got := contrast(white, white); got != 1 {
		t.Errorf("white on white has a contrast of %v, want 1", got)
	}
	for n, want := range map[int]rgb{16: {}, 21: {0, 0, 255}, 196: {255, 0, 0}, 231: {255, 255, 255}, 67: {95, 135, 175}, 232: {8, 8, 8}, 255: {238, 238, 238}} {
		if got, err := ofPalette(n); err != nil || got != want {
			t.Errorf("colour %d is %v (%v), want %v", n, got, err, want)
		}
	}
	for _, n := range []int{-1, 0, 15, 256} {
		if _, err := ofPalette(n); err == nil {
			t.Errorf("colour %d is known", n)
		}
	}
}

// Every colour of look.go can be read on black and on white, in 256 colours and in true colour, and none is given for
// 16 colours, where it would be the owner's.
func TestContrastOfEveryColour(t *testing.T) {
	positions := token.NewFileSet()
	file, err := parser.ParseFile(positions, "look.go", nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	ast.Inspect(file, func(n ast.Node) bool {
		lit, ok := n.(*ast.CompositeLit)
		if !ok || !named(lit.Type, "CompleteColor") {
			return true
		}
		found++
		where := positions.Position(lit.Pos()).String()
		fields := map[string]string{}
		for _, e := range lit.Elts {
			pair := e.(*ast.KeyValueExpr)
			fields[pair.Key.(*ast.Ident).Name], _ = strconv.Unquote(pair.Value.(*ast.BasicLit).Value)
		}
		if len(fields) != 2 {
			t.Errorf("%s: a colour has fields %v, want TrueColor and ANSI256 alone", where, fields)
		}
		c, err := ofHex(fields["TrueColor"])
		if err != nil {
			t.Errorf("%s: %v", where, err)
		}
		readable(t, where, c)
		number, _ := strconv.Atoi(fields["ANSI256"])
		if c, err = ofPalette(number); err != nil {
			t.Errorf("%s: %v", where, err)
		}
		readable(t, where, c)
		return true
	})
	if found != 3 {
		t.Errorf("look.go has %d colours, want an accent, a doubt and a grey", found)
	}
}

// named reports whether an expression is a selector with this name, as in package.Name.
func named(e ast.Expr, name string) bool {
	s, ok := e.(*ast.SelectorExpr)
	return ok && s.Sel.Name == name
}

// everyProfile draws a scene in each kind of terminal: without its control sequences it is the same text in all; in
// 16 colours, which is also what NO_COLOR leaves, there are only bold and reversed text; every other colour that is
// really sent can be read; and no line depends on a style of the line before.
func everyProfile(t *testing.T, b *table) {
	t.Helper()
	defer lipgloss.SetColorProfile(termenv.Ascii)
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}, {120, 40}} {
		b.size(size[0], size[1])
		sameInEveryProfile(t, b)
	}
}

func sameInEveryProfile(t *testing.T, b *table) {
	t.Helper()
	lipgloss.SetColorProfile(termenv.Ascii)
	plain := b.app.View()
	if strings.Contains(plain, "\x1b") {
		t.Error("without any styles there is a control sequence")
	}
	for _, p := range []termenv.Profile{termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		lipgloss.SetColorProfile(p)
		view := b.app.View()
		if got := ansi.Strip(view); got != plain {
			t.Errorf("in profile %s it says something else:\n%s\nwithout styles\n%s", p.Name(), got, plain)
		}
		for _, s := range rendition.FindAllStringSubmatch(view, -1) {
			sent(t, p, s[1])
		}
		for _, line := range strings.Split(view, "\n") {
			if all := rendition.FindAllStringSubmatch(line, -1); len(all) > 0 && all[len(all)-1][1] != "0" && all[len(all)-1][1] != "" {
				t.Errorf("in profile %s a line ends within a style, which the next line or column takes on: %q", p.Name(), line)
			}
		}
		if left := rendition.ReplaceAllString(view, ""); strings.Contains(left, "\x1b") {
			t.Errorf("in profile %s there are control sequences that are no rendition: %q", p.Name(), left)
		}
	}
}

// rendition is a control sequence that sets colour or weight: SGR of ECMA-48, 8.3.117.
var rendition = regexp.MustCompile("\x1b\\[([0-9;]*)m")

// sent checks the parameters of one rendition as a terminal reads them.
func sent(t *testing.T, p termenv.Profile, parameters string) {
	t.Helper()
	var n []int
	for _, s := range strings.Split(parameters, ";") {
		v, _ := strconv.Atoi(s)
		n = append(n, v)
	}
	for len(n) > 0 {
		switch {
		case n[0] == 0 || n[0] == 1 || n[0] == 7: // off, bold, reversed
			n = n[1:]
		case p == termenv.ANSI256 && len(n) >= 3 && n[0] == 38 && n[1] == 5:
			c, err := ofPalette(n[2])
			if err != nil {
				t.Error(err)
			}
			readable(t, fmt.Sprintf("colour %d", n[2]), c)
			n = n[3:]
		case p == termenv.TrueColor && len(n) >= 5 && n[0] == 38 && n[1] == 2:
			readable(t, "what is sent", rgb{uint8(n[2]), uint8(n[3]), uint8(n[4])})
			n = n[5:]
		default:
			t.Errorf("in profile %s a rendition of %q is sent", p.Name(), parameters)
			return
		}
	}
}

// In colour a screen really has colours, in 16 colours bold and reversed text: the checks of everyProfile are not of
// nothing.
func TestProfilesDiffer(t *testing.T) {
	defer lipgloss.SetColorProfile(termenv.Ascii)
	b := newTable(t)
	b.begin("Friday float")
	b.play("B70633507")
	for p, want := range map[termenv.Profile]string{termenv.ANSI: "\x1b[1m", termenv.ANSI256: "38;5;131", termenv.TrueColor: "38;2;"} {
		lipgloss.SetColorProfile(p)
		if !strings.Contains(b.app.View(), want) {
			t.Errorf("in profile %s nothing is sent as %q", p.Name(), want)
		}
	}
}
