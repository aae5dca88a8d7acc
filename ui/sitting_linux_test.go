package ui

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"

	"app/unband/store"
)

// program builds the real program once for all tests of this package.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "unband-test")
	if err != nil {
		return "", err
	}
	if err := os.Chmod(dir, 0o755); err != nil { // some tests start it as another user
		return "", err
	}
	path := filepath.Join(dir, "unband")
	out, err := exec.Command("go", "build", "-o", path, "..").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %v\n%s", err, out)
	}
	return path, nil
})

// patient is only there to end a test that has failed: nothing is expected to take that long.
const patient = 30 * time.Second

// A sitting is the real program in a terminal.
type sitting struct {
	t    testing.TB
	cmd  *exec.Cmd
	tty  *os.File
	mu   sync.Mutex
	raw  []byte // everything the program has written
	seen []byte // the same without control sequences
	strip
	gone chan struct{} // closed when the terminal has given its last byte
}

// sit starts the program on a file, with the shortest pauses.
func sit(t testing.TB, file string) *sitting {
	t.Helper()
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	return sitOn(t, screenOf(path, file))
}

// screenOf is the command that opens the screen on a file.
func screenOf(path, file string) *exec.Cmd {
	return exec.Command(path, "--file", file, "--pause", "0.2", "--pause-stop", "0.2")
}

// sitOn starts a command in a terminal of its own. It is ended with the test.
func sitOn(t testing.TB, cmd *exec.Cmd) *sitting {
	t.Helper()
	s, err := sitDown(t, cmd)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.getUp)
	return s
}

// sitDown starts a command in a terminal of its own.
func sitDown(t testing.TB, cmd *exec.Cmd) (*sitting, error) {
	s := &sitting{t: t, cmd: cmd, gone: make(chan struct{})}
	if cmd.Env == nil {
		cmd.Env = append(os.Environ(), "TERM=xterm-256color")
	}
	cmd.Env = append(cmd.Env, "XDG_CONFIG_HOME=/no/settings") // the keys of whoever runs the tests are not meant
	cmd.Env = append(cmd.Env, "GORACE=atexit_sleep_ms=0")     // under -race a test binary would sleep a second at its end
	var err error
	if s.tty, err = pty.StartWithSize(cmd, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
		return nil, err
	}
	go s.read()
	return s, nil
}

// getUp ends the program, if it has not ended, and closes the terminal.
func (s *sitting) getUp() {
	s.cmd.Process.Kill()
	s.cmd.Wait()
	s.tty.Close()
}

func (s *sitting) read() {
	defer close(s.gone)
	buf := make([]byte, 64<<10)
	for {
		n, err := s.tty.Read(buf)
		s.mu.Lock()
		s.raw = append(s.raw, buf[:n]...)
		s.seen = s.strip.add(s.seen, buf[:n])
		s.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// A strip takes control sequences out of what comes piece by piece (ECMA-48: 5.4 and 8.3.89).
type strip struct{ in stripState }

type stripState uint8

const (
	plainText stripState = iota
	afterEsc
	inControl // ESC [
	inText    // ESC ] and its like, up to BEL or ESC \
	textEsc   // ESC inside of that
)

func (s *strip) add(to, from []byte) []byte {
	for _, b := range from {
		switch {
		case s.in == plainText && b == 0x1b:
			s.in = afterEsc
		case s.in == plainText && b != '\r':
			to = append(to, b)
		case s.in == afterEsc && b == '[':
			s.in = inControl
		case s.in == afterEsc && (b == ']' || b == 'P'):
			s.in = inText
		case s.in == inControl && b >= 0x40, s.in == inText && b == 0x07, s.in == textEsc, s.in == afterEsc:
			s.in = plainText
		case s.in == inText && b == 0x1b:
			s.in = textEsc
		}
	}
	return to
}

// text is everything that was written so far, without control sequences.
func (s *sitting) text() string { return s.since(0) }

// mark is where the text ends now; since gives what was written after a mark.
func (s *sitting) mark() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.seen)
}

func (s *sitting) since(mark int) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return string(s.seen[mark:])
}

// bytes is everything that was written, control sequences too.
func (s *sitting) bytes() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return string(s.raw)
}

// The two ways in which a text that is waited for does not come.
var (
	errGone  = errors.New("the program is gone")
	errNever = errors.New("it was never written")
)

// first waits until one of the texts was written after a mark, and says which.
func (s *sitting) first(mark int, texts ...string) (int, error) {
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(4 * time.Millisecond) {
		over := false
		select {
		case <-s.gone:
			over = true
		default:
		}
		written := s.since(mark)
		for i, text := range texts {
			if strings.Contains(written, text) {
				return i, nil
			}
		}
		if over {
			return 0, errGone
		}
	}
	return 0, errNever
}

// await waits until the text was written at any time of the sitting.
func (s *sitting) await(text string) {
	s.t.Helper()
	s.awaitAfter(0, text)
}

// awaitAfter waits until the text was written after a mark.
func (s *sitting) awaitAfter(mark int, text string) {
	s.t.Helper()
	if _, err := s.first(mark, text); err != nil {
		s.t.Fatalf("the program never wrote %q (%v); its end was\n%s", text, err, s.tail())
	}
}

// tail is the end of what was written, without empty lines.
func (s *sitting) tail() string {
	lines := slices.DeleteFunc(strings.Split(s.text(), "\n"), func(l string) bool { return strings.TrimSpace(l) == "" })
	return strings.Join(lines[max(0, len(lines)-40):], "\n")
}

// keys writes characters one by one, as a hand does.
func (s *sitting) keys(keys string) {
	for _, k := range []byte(keys) {
		s.tty.Write([]byte{k})
		time.Sleep(4 * time.Millisecond)
	}
}

// wait ends when the program has ended, and gives its exit status.
func (s *sitting) wait() int {
	s.t.Helper()
	ended := make(chan struct{})
	go func() { s.cmd.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-time.After(patient):
		s.t.Fatalf("the program does not end; its end was\n%s", s.tail())
	}
	return s.cmd.ProcessState.ExitCode()
}

// plainPause is a little more than the pauses of these sittings.
const plainPause = 250 * time.Millisecond

// didNotCount is in what the screen says of a key that did not count.
const didNotCount = "let the key rest"

// decide types a serial and spends the note when the pause is over.
func (s *sitting) decide(place int, serial string) {
	s.t.Helper()
	s.keys(serial)
	s.spend(place, serial)
}

// spend spends the note in hand when the pause is over. On a busy machine the serial may have been drawn and the
// pause begun later than it was typed: a key that came too early is pressed once more when it has rested.
func (s *sitting) spend(place int, serial string) {
	s.t.Helper()
	done := fmt.Sprintf("note %d: %s spent", place, serial)
	for range 5 {
		time.Sleep(plainPause)
		mark := s.mark()
		s.keys("-")
		switch i, err := s.first(mark, done, didNotCount); {
		case err != nil:
			s.t.Fatalf("the program never wrote %q (%v); its end was\n%s", done, err, s.tail())
		case i == 0:
			return
		}
		time.Sleep(1200 * time.Millisecond)
	}
	s.t.Fatalf("%q was refused again and again\n%s", done, s.tail())
}

// written waits until a change, which is under way or done, is on the disk: the file was touched since a time, and
// was then left alone for a while.
func (s *sitting) written(file string, since time.Time) {
	s.t.Helper()
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		info, err := os.Stat(file)
		if err != nil {
			s.t.Fatal(err)
		}
		if at := info.ModTime(); at.After(since) && time.Since(at) > 300*time.Millisecond {
			return
		}
	}
	s.t.Fatal("the file was never written to")
}

func (s *sitting) begin() {
	s.t.Helper()
	s.await("N new session")
	s.keys("nFriday float")
	for range 6 {
		s.keys("\r")
	}
	s.await("note 1 of 100")
}

// stored1 are the serials of strap 1 as the file has them after the program is gone.
func stored1(t *testing.T, file string) []string {
	t.Helper()
	f, err := store.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	notes, err := f.Notes(1, 1)
	if err != nil {
		t.Fatal(err)
	}
	report, err := f.Check()
	if err != nil || !report.Sound() {
		t.Fatalf("the file is not sound: %v %v", err, report.Problems)
	}
	var out []string
	for _, n := range notes {
		out = append(out, n.Serial.String())
	}
	return out
}
