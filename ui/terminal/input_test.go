//go:build unix

package terminal

import (
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// piped returns an Input that reads what is written to w.
func piped(t *testing.T, quit func()) (in *Input, w *os.File) {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close(); w.Close() })
	return NewInput(r, quit), w
}

// TestInputSizes reads the same bytes through buffers of several sizes. One of
// 256 bytes, bubbletea's, must never come back full.
func TestInputSizes(t *testing.T) {
	sent := strings.Repeat("\x1bOq70633607\x1b[200~12\x1b[201~\x1b[A", 100) +
		"\x1b[200~" + strings.Repeat("4", 2*pasteCap) + "\x1b[201~\x1b]11;rgb:1/2/3\x1b\\" + strings.Repeat("5", 1000)
	want := translate(sent)
	for _, size := range []int{1, 7, 64, 255, 256, 1000} {
		quits := 0
		in, w := piped(t, func() { quits++ })
		go func() {
			_, _ = io.WriteString(w, sent)
			w.Close()
		}()
		var got []byte
		for {
			p := make([]byte, size)
			n, err := in.Read(p)
			got = append(got, p[:n]...)
			if size == 256 && n == size {
				t.Fatal("a buffer of 256 bytes came back full")
			}
			if size == 256 && len(in.ready) > 0 {
				t.Fatalf("%d translated bytes kept back", len(in.ready))
			}
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if string(got) != want {
			t.Errorf("size %d: got %d bytes, want %d", size, len(got), len(want))
		}
		if _, err := in.Read(make([]byte, 9)); err != io.EOF || quits != 1 {
			t.Errorf("size %d: after the end: %v, quit called %d times", size, err, quits)
		}
	}
}

// TestInputGivesUp leaves sequences without their end: the reader must not wait
// for ever.
func TestInputGivesUp(t *testing.T) {
	for _, c := range [][2]string{{"\x1b", "\x1b"}, {"\x1bO", "\x1bO"}, {"7\x1b[1;", "7"},
		{pasteStart + "70", pasteStart + "70" + pasteEnd}} {
		in, w := piped(t, func() {})
		if _, err := io.WriteString(w, c[0]); err != nil {
			t.Fatal(err)
		}
		p := make([]byte, 256)
		n, err := in.Read(p)
		if string(p[:n]) != c[1] || err != nil {
			t.Errorf("%q: got %q, %v, want %q", c[0], p[:n], err, c[1])
		}
	}
}

// TestInputFails closes the file under the reader: it reports the end, not an
// error, and quits.
func TestInputFails(t *testing.T) {
	quits := 0
	in, _ := piped(t, func() { quits++ })
	in.File.Close()
	for range 2 {
		if n, err := in.Read(make([]byte, 256)); n != 0 || err != io.EOF {
			t.Errorf("read %d bytes, %v", n, err)
		}
	}
	if quits != 1 {
		t.Errorf("quit called %d times", quits)
	}
}

// keyLog collects the names bubbletea gives to what it reads.
type keyLog struct{ names *[]string }

func (keyLog) Init() tea.Cmd { return nil }
func (keyLog) View() string  { return "" }
func (k keyLog) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		*k.names = append(*k.names, msg.String())
	case BeginMsg:
		*k.names = append(*k.names, "begin")
	}
	return k, nil
}

// TestNames has bubbletea itself read what Input makes of the keys, each torn
// into single bytes that are all there at once.
func TestNames(t *testing.T) {
	const sent = "\x1bOv\x1bOM\x1bOk\x1bOH\x1bOF\x1bOE\x1b[E\x1bOA\x1bOP\x1b[[A\x1b[3~\x1b\x1b[200~12\r\x1b[201~\x1bO\x03"
	want := []string{"6", "enter", "+", "home", "end", "begin", "begin", "up", "f1", "f1", "delete",
		"[12\r]", "alt+O", "ctrl+c"}
	var names []string
	r := &runner{}
	var p *tea.Program
	in, w := piped(t, func() { go p.Quit() })
	p = tea.NewProgram(keyLog{&names}, tea.WithInput(in), tea.WithOutput(io.Discard),
		tea.WithoutRenderer(), tea.WithoutSignalHandler(), tea.WithFilter(r.filter))
	for i := range sent {
		if _, err := w.Write([]byte{sent[i]}); err != nil {
			t.Fatal(err)
		}
	}
	w.Close()
	if _, err := p.Run(); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(names, want) {
		t.Errorf("got  %q\nwant %q", names, want)
	}
}
