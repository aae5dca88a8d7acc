package finds

import (
	"regexp"
	"strings"
	"testing"

	"app/unband/triage"
)

// Nothing from outside becomes markup: every special character has its backslash, no line begins anew, no address
// is a link. What a reader of Markdown sees is the text.
func FuzzEscape(f *testing.F) {
	for _, s := range []string{"plain", "*bold* [a](b) `c` <b> # 1. - + | ~ & \\", "two\nlines\r\x1b[31m", "ünï", "    code", "\tcode",
		"http://example.org www.example.org", "=", "12) x", "a@b.c", "{x} x^2 $y$", "\xff", "\u202e"} {
		f.Add(s)
	}
	list := regexp.MustCompile(`^(?:[-+=]|[0-9]+[.)]|[ \t])`)
	link := regexp.MustCompile(`(?i)(?:^|[^\\])://|www\.`)
	unescape := regexp.MustCompile(`\\([!-/:-@\[-` + "`" + `{-~])`)
	f.Fuzz(func(t *testing.T, s string) {
		e := Escape(s)
		if list.MatchString(e) || link.MatchString(e) {
			t.Fatalf("%q begins a list or code, or has a link", e)
		}
		escaped := false
		for _, r := range e {
			switch {
			case r < ' ' || r == 0x7f:
				t.Fatalf("%q has a control character", e)
			case escaped:
				escaped = false
			case r == '\\':
				escaped = true
			case strings.ContainsRune("`*_[]<>{}#|~^&!$@", r):
				t.Fatalf("%q has %q without a backslash", e, r)
			}
		}
		if escaped {
			t.Fatalf("%q ends in a backslash that escapes nothing", e)
		}
		if got, want := unescape.ReplaceAllString(e, "$1"), triage.Printable(strings.TrimSpace(s)); got != want {
			t.Fatalf("%q is read as %q, want %q", e, got, want)
		}
	})
}

// A page with hostile words in every place keeps its shape: as many lines, each beginning as it should.
func TestHostileWords(t *testing.T) {
	const bad = "\n# x\r\n- y <script>alert(1)</script> | `z` \x1b[2J"
	s := session()
	s.Name = bad
	n := note("B70633607C", triage.Keep, func(n *triage.Note) { n.Remark, n.Reason = bad, bad })
	m := note("K52120846C", triage.Keep, func(n *triage.Note) { n.Position, n.Reason = 2, bad })
	p := Make(s, []triage.Note{n, m}, book(), Options{})
	line := regexp.MustCompile(`^(|# [^\n]*|## [^\n]*|- \*\*[^\n]*|  - [^\n]*|6 March 2026[^\n]*)$`)
	for _, l := range strings.Split(Markdown(p), "\n") {
		if !line.MatchString(l) || strings.Contains(l, "<script") && !strings.Contains(l, "\\<script") {
			t.Errorf("a line of the page is %q", l)
		}
	}
	for name, text := range map[string]string{"text": Text(p), "Markdown": Markdown(p)} {
		if i := strings.IndexFunc(text, func(r rune) bool { return r < ' ' && r != '\n' }); i >= 0 {
			t.Errorf("the %s has the control character %q", name, text[i])
		}
	}
	if got, want := strings.Count(Text(p), "\n"), strings.Count(Text(Make(session(), []triage.Note{note("B70633607C", triage.Keep, func(n *triage.Note) { n.Remark = "x" }), note("K52120846C", triage.Keep, func(n *triage.Note) { n.Position, n.Reason = 2, "x" })}, book(), Options{})), "\n"); got != want {
		t.Errorf("the text has %d lines, want %d as with plain words", got, want)
	}
}
