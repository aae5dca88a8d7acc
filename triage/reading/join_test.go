package reading

import (
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

func TestJoin(t *testing.T) {
	j := Join(Source{Name: "first", In: strings.NewReader("a\nb")}, Source{Name: "empty", In: strings.NewReader("")},
		Source{Name: "third", In: iotest.OneByteReader(strings.NewReader("c\nd\n"))}, Source{Name: "fourth", In: strings.NewReader("e")})
	text, err := io.ReadAll(j)
	if err != nil || string(text) != "a\nb\nc\nd\ne\n" {
		t.Fatalf("%v, %q", err, text)
	}
	if empty := j.Empty(); len(empty) != 1 || empty[0] != "empty" {
		t.Errorf("empty are %q, want the second", empty)
	}
	for line, want := range []string{"", "first 1", "first 2", "third 1", "third 2", "fourth 1"} {
		if line == 0 {
			continue
		}
		name, number := j.At(line)
		if got := name + " " + string(rune('0'+number)); got != want {
			t.Errorf("line %d is %s, want %s", line, got, want)
		}
	}
}
