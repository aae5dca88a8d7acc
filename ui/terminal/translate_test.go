package terminal

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// translate feeds the chunks one after another, then lets the time run out.
func translate(chunks ...string) string {
	var t translator
	var out []byte
	for _, c := range chunks {
		out = append(out, t.feed([]byte(c))...)
	}
	for t.patience() > 0 {
		out = append(out, t.flush()...)
	}
	return string(out)
}

// singly cuts s into its bytes.
func singly(s string) []string {
	cut := make([]string, len(s))
	for i := range cut {
		cut[i] = s[i : i+1]
	}
	return cut
}

// The application keypad's codes are those of the VT220 Programmer Reference
// Manual (EK-VT220-RM), table 3-8; X, j, k and o are in XTerm Control Sequences
// (invisible-island.net), "PC-Style and VT220-Style Function Keys".
var translations = []struct{ name, in, want string }{
	{"plain bytes", "70633607+-*/.\r", "70633607+-*/.\r"},
	{"keypad digits", "\x1bOp\x1bOq\x1bOr\x1bOs\x1bOt\x1bOu\x1bOv\x1bOw\x1bOx\x1bOy", "0123456789"},
	{"keypad operators", "\x1bOk\x1bOm\x1bOj\x1bOo\x1bOn\x1bOl\x1bOX", "+-*/.,="},
	{"keypad enter", "\x1bOM", "\r"},
	{"arrows", "\x1bOA\x1bOB\x1bOC\x1bOD", "\x1bOA\x1bOB\x1bOC\x1bOD"},
	{"function keys", "\x1bOP\x1bOQ\x1bOR\x1bOS\x1b[15~", "\x1bOP\x1bOQ\x1bOR\x1bOS\x1b[15~"},
	{"home, end, begin", "\x1bOH\x1bOF\x1bOE", "\x1b[H\x1b[F\x1b[E"},
	{"CSI keys", "\x1b[A\x1b[1;5C\x1b[3~\x1b[Z", "\x1b[A\x1b[1;5C\x1b[3~\x1b[Z"},
	{"console function keys", "\x1b[[A\x1b[[E7", "\x1b[[A\x1b[[E7"},
	{"rxvt shift+home, then a digit", "\x1b[7$1", "\x1b[7$1"},
	{"lone escape", "\x1b", "\x1b"},
	{"escape twice", "\x1b\x1b", "\x1b"},
	{"escape, then keypad 1", "\x1b\x1bOq", "1"},
	{"escape, then a paste", "\x1b\x1b[200~1\x1b[201~", "\x1b[200~1\x1b[201~"},
	{"alt and a letter", "\x1ba1", "\x1ba1"},
	{"alt+O", "\x1bO", "\x1bO"},
	{"alt+O, then a digit", "\x1bO5", "\x1bO5"},
	{"alt+O, then ctrl+c", "\x1bO\x03", "\x1bO\x03"},
	{"alt+[, then ctrl+c", "\x1b[\x03", "\x1b[\x03"},
	{"key cut off for good", "5\x1b[12", "5"},
	{"overlong sequence", "\x1b[" + strings.Repeat("1;", 200) + "A7", "7"},
	{"overlong sequence, then ctrl+c", "\x1b[" + strings.Repeat("1;", 200) + "\x03", "\x03"},
	{"characters outside ASCII", "é€😀1", "é€😀1"},
	{"alt and such a character", "\x1bé1", "\x1bé1"},
	{"broken characters", "\xc3(1\xff2\xe2\x82", "\xc3(1\xff2\xe2\x82"},
	{"broken character, then a key", "\xe2\x82\x1bOq\xe2\x03", "\xe2\x821\xe2\x03"},
	{"colour report, ESC \\", "1\x1b]11;rgb:ffff/ffff/ffff\x1b\\2", "12"},
	{"colour report, BEL", "1\x1b]11;rgb:0000/0000/0000\a2", "12"},
	{"version report", "\x1bP>|XTerm(388)\x1b\\7", "7"},
	{"mouse, the old form", "1\x1b[M --\x1b[M#+52", "12"},
	{"mouse, far to the right", "1\x1b[M \xf0\xb0-", "1-"},
	{"mouse, in UTF-8", "1\x1b[M \xc2\x85\xc3\xa02", "12"},
	{"mouse, cut off, then a key", "1\x1b[M -\x1b[A", "1\x1b[A"},
	{"mouse, cut off, then ctrl+c", "1\x1b[M\x03", "1\x03"},
	{"mouse, SGR and urxvt", "\x1b[<0;45;43M\x1b[32;45;43M", "\x1b[<0;45;43M\x1b[32;45;43M"},
	{"alt+P and digits in one burst", "\x1bP70633607\r", "\x1bP70633607\r"},
	{"alt+], then keypad 1", "\x1b]\x1bOq", "\x1b]1"},
	{"report begun, then an arrow", "\x1b]1\x1b[A", "\x1b]1\x1b[A"},
	{"report without end, ctrl+c", "\x1b]11;rgb:\x03", "\x1b]11;rgb:\x03"},
	{"report that never ends", "\x1bP" + strings.Repeat("4", 100), "\x1bP" + strings.Repeat("4", 100)},
	{"paste", "1\x1b[200~70633607\r\x1b[201~2", "1\x1b[200~70633607\r\x1b[201~2"},
	{"keypad codes are content there", "\x1b[200~\x1bOq\x1b[201~", "\x1b[200~\x1bOq\x1b[201~"},
	{"paste without end", "\x1b[200~123", "\x1b[200~123\x1b[201~"},
	{"paste with half an end", "\x1b[200~123\x1b[20", "\x1b[200~123\x1b[201~"},
	{"paste with what looks like an end", "\x1b[200~1\x1b\x1b[20\x1b[201~2", "\x1b[200~1\x1b\x1b[20\x1b[201~2"},
	{"end without a paste", "\x1b[201~5", "\x1b[201~5"},
	{"paste of just the cap", "\x1b[200~" + strings.Repeat("4", pasteCap) + "\x1b[201~9",
		"\x1b[200~" + strings.Repeat("4", pasteCap) + "\x1b[201~9"},
	{"paste beyond the cap", "\x1b[200~" + strings.Repeat("4", 3*pasteCap) + "\x1b[201~9",
		"\x1b[200~" + strings.Repeat("4", pasteCap) + "\x1b[201~9"},
	{"the same without end", "\x1b[200~" + strings.Repeat("4", 3*pasteCap),
		"\x1b[200~" + strings.Repeat("4", pasteCap) + "\x1b[201~"},
}

// TestTranslate takes every case whole, byte by byte, and split into two reads at
// every place (of the long ones, at the first 64).
func TestTranslate(t *testing.T) {
	for _, c := range translations {
		if got := translate(c.in); got != c.want {
			t.Errorf("%s: %q becomes %q, want %q", c.name, c.in, got, c.want)
		}
		if got := translate(singly(c.in)...); got != c.want {
			t.Errorf("%s, byte by byte: %q becomes %q, want %q", c.name, c.in, got, c.want)
		}
		for i := 1; i < min(len(c.in), 64); i++ {
			if got := translate(c.in[:i], c.in[i:]); got != c.want {
				t.Errorf("%s, split at %d: %q becomes %q, want %q", c.name, i, c.in, got, c.want)
			}
		}
	}
}

// TestPatience holds what is waited for, and that time running out in between
// makes two keys of what might have been one sequence.
func TestPatience(t *testing.T) {
	cases := []struct {
		in, flushed string
		wait        time.Duration
	}{
		{"1", "", 0},
		{"\x1bOq", "", 0},
		{"\x1b", "\x1b", tornWait},
		{"\x1bO", "\x1bO", tornWait},
		{"\x1b[", "\x1b[", tornWait},
		{"\x1b[2", "", quietWait},
		{"\xe2\x82", "\xe2\x82", tornWait},
		{"\x1b]11", "\x1b]11", quietWait},
		{"\x1b[M -", "", quietWait},
		{"\x1b[200~1", pasteEnd, quietWait},
	}
	for _, c := range cases {
		var tr translator
		tr.feed([]byte(c.in))
		if got := tr.patience(); got != c.wait {
			t.Errorf("after %q it waits %v, want %v", c.in, got, c.wait)
		}
		if got := string(tr.flush()); got != c.flushed {
			t.Errorf("after %q and no more it gives %q, want %q", c.in, got, c.flushed)
		}
		if got := string(tr.feed([]byte("q"))); got != "q" {
			t.Errorf("after %q and the wait, q becomes %q", c.in, got)
		}
	}
}

// TestDigitsSurvive mixes the ways in which keys arrive, in any order and cut
// anywhere, and expects each key's own bytes.
func TestDigitsSurvive(t *testing.T) {
	type key struct{ in, want string }
	var keys []key
	for d := range 10 {
		plain := fmt.Sprint(d)
		keys = append(keys, key{plain, plain}, key{"\x1bO" + string(rune('p'+d)), plain},
			key{"\x1b[200~" + plain + "\x1b[201~", "\x1b[200~" + plain + "\x1b[201~"})
	}
	for _, same := range []string{"+", "\r", "\x7f", "\x1b[A", "\x1bOB", "\x1b[3~", "é", "\x1bx", "\x03"} {
		keys = append(keys, key{same, same})
	}
	keys = append(keys, key{"\x1bOM", "\r"}, key{"\x1bOk", "+"}, key{"\x1b]11;rgb:1/2/3\x1b\\", ""})
	rapid.Check(t, func(t *rapid.T) {
		var in, want string
		for _, k := range rapid.SliceOf(rapid.SampledFrom(keys)).Draw(t, "keys") {
			in, want = in+k.in, want+k.want
		}
		var chunks []string
		for in != "" {
			n := rapid.IntRange(1, len(in)).Draw(t, "cut")
			chunks, in = append(chunks, in[:n]), in[n:]
		}
		if got := translate(chunks...); got != want {
			t.Fatalf("%q becomes %q, want %q", chunks, got, want)
		}
	})
}

// FuzzTranslate holds for any bytes at all: the output does not depend on how
// the input was cut, it is bounded, no paste stays open or outgrows its cap,
// input without ESC is passed on unchanged, and ctrl+c gets through afterwards.
func FuzzTranslate(f *testing.F) {
	for _, c := range translations {
		f.Add([]byte(c.in))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		out := translate(string(in))
		if single := translate(singly(string(in))...); single != out {
			t.Errorf("whole %q, byte by byte %q", out, single)
		}
		if len(out) > 2*len(in) {
			t.Errorf("%d bytes became %d", len(in), len(out))
		}
		if !bytes.ContainsRune(in, 0x1b) && out != string(in) {
			t.Errorf("%q became %q", in, out)
		}
		checkPastes(t, out)
		var tr translator
		tr.feed(in)
		tr.flush()
		if got := string(tr.feed([]byte{3})); got != "\x03" {
			t.Errorf("ctrl+c becomes %q", got)
		}
	})
}

// checkPastes follows the markers as bubbletea does: a start, then anything up to
// the first end.
func checkPastes(t *testing.T, out string) {
	for {
		_, rest, found := strings.Cut(out, pasteStart)
		if !found {
			return
		}
		content, after, ended := strings.Cut(rest, pasteEnd)
		if !ended {
			t.Fatalf("paste left open: %q", rest)
		}
		if len(content) > pasteCap {
			t.Errorf("paste of %d bytes", len(content))
		}
		out = after
	}
}
