package ui

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/ui/terminal"
)

// This file is what a terminal can do to the real program: be resized, stopped, closed, flooded, or lie.

// float gives a new file's name, and skips the test where it would take too long. The test runs beside others: it
// mostly waits for the pauses of the program.
func float(t *testing.T) string {
	t.Helper()
	if testing.Short() {
		t.Skip("runs the real program for some seconds")
	}
	t.Parallel()
	return filepath.Join(t.TempDir(), "float.db")
}

// wants holds that strap 1 has these serials and no others.
func wants(t *testing.T, file string, serials ...string) {
	t.Helper()
	if got := stored1(t, file); strings.Join(got, " ") != strings.Join(serials, " ") {
		t.Errorf("the file has %q, want %q", got, serials)
	}
}

func (s *sitting) size(w, h int) {
	s.t.Helper()
	if err := pty.Setsize(s.tty, &pty.Winsize{Rows: uint16(h), Cols: uint16(w)}); err != nil {
		s.t.Fatal(err)
	}
}

// leave ends the program by its key.
func (s *sitting) leave() {
	s.t.Helper()
	s.keys("\x03")
	if status := s.wait(); status != 0 {
		s.t.Errorf("exit status %d\n%s", status, s.tail())
	}
}

// The window is resized at random from 1×1 to 250×60 while notes are typed. Where it is too small to see anything
// nothing is taken; where it is large enough every key is.
func TestResizedWhileTyping(t *testing.T) {
	file := float(t)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 3))
	s := sit(t, file)
	s.begin()
	serials := plainSerials(8, seed)
	for i, serial := range serials {
		for range 40 { // any size, and keys that decide only what can be seen
			s.size(1+random.IntN(250), 1+random.IntN(60))
			s.keys(string("0123456789BC"[random.IntN(12)]))
		}
		s.size(1+random.IntN(59), 1+random.IntN(15))
		s.keys("----++++")
		mark := s.mark()
		s.size(80, 24)
		s.awaitAfter(mark, fmt.Sprintf("note %d of 100", i+1)) // a key that comes before is not taken
		mark = s.mark()
		s.keys("\x15x\x15") // with something typed, so that what is awaited is drawn anew
		s.awaitAfter(mark, "type the serial")
		for _, key := range serial { // sizes in which everything is shown
			s.size(60+random.IntN(191), 16+random.IntN(45))
			s.keys(string(key))
		}
		s.spend(i+1, serial)
	}
	s.leave()
	wants(t, file, serials...)
}

// termios is the state of the terminal's line.
func (s *sitting) termios() *unix.Termios {
	s.t.Helper()
	state, err := unix.IoctlGetTermios(int(s.tty.Fd()), unix.TCGETS)
	if err != nil {
		s.t.Fatal(err)
	}
	return state
}

// restored holds that the terminal is as a shell needs it: lines are edited and echoed, the screen of the shell is
// back, the cursor is shown, and pastes are not bracketed.
func (s *sitting) restored() {
	s.t.Helper()
	if state := s.termios(); state.Lflag&(unix.ICANON|unix.ECHO|unix.ISIG) != unix.ICANON|unix.ECHO|unix.ISIG {
		s.t.Errorf("the line is left raw: %+v", state)
	}
	raw := s.bytes()
	for _, pair := range [][2]string{{"\x1b[?1049h", "\x1b[?1049l"}, {"\x1b[?25l", "\x1b[?25h"}, {"\x1b[?2004h", "\x1b[?2004l"}} {
		if on, off := strings.LastIndex(raw, pair[0]), strings.LastIndex(raw, pair[1]); on < 0 || off < on {
			s.t.Errorf("%q at %d is not undone by %q at %d", pair[0], on, pair[1], off)
		}
	}
}

// Ctrl+Z leads back to the shell, with the terminal as it was; fg brings the strap back with what was typed.
func TestSuspendedAndBack(t *testing.T) {
	file := float(t)
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("needs bash for its job control")
	}
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	s := sitOn(t, exec.Command(bash, "--norc", "--noprofile", "--noediting", "-i"))
	s.keys("PS1='rea''dy'\n")
	s.await("ready")
	s.keys(strings.Join(screenOf(path, file).Args, " ") + "\n")
	s.begin()
	s.decide(1, "B48160297C")
	s.keys("E35120")
	for range 2 {
		mark := s.mark()
		s.keys("\x1a")
		s.awaitAfter(mark, "Stopped")
		s.awaitAfter(mark, "ready")
		s.restored()
		mark = s.mark()
		s.keys("echo between $((6*7))\n")
		s.awaitAfter(mark, "between 42")
		mark = s.mark()
		s.keys("fg\n")
		s.awaitAfter(mark, "note 2 of 100")
	}
	s.keys("846D")
	s.spend(2, "E35120846D")
	s.keys("\x03")
	s.await("Everything is in")
	mark := s.mark()
	s.keys("exit\n")
	if status := s.wait(); status != 0 {
		t.Errorf("exit status %d\n%s", status, s.since(mark))
	}
	wants(t, file, "B48160297C", "E35120846D")
}

// The window is gone while a note is being decided: with the signal that goes with it, and without, when only the
// end of the input can tell. The program ends by itself, and what was decided is in the file.
func TestWindowGone(t *testing.T) {
	for name, own := range map[string]bool{"with SIGHUP": true, "without a signal": false} {
		t.Run(name, func(t *testing.T) {
			file := float(t)
			path, err := program()
			if err != nil {
				t.Fatal(err)
			}
			master, slave, err := pty.Open()
			if err != nil {
				t.Fatal(err)
			}
			if err := pty.Setsize(master, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
				t.Fatal(err)
			}
			if err := unix.SetNonblock(int(master.Fd()), true); err != nil { // so that closing ends the reading, too
				t.Fatal(err)
			}
			cmd := screenOf(path, file)
			cmd.Env = append(os.Environ(), "TERM=xterm-256color")
			cmd.Stdin, cmd.Stdout, cmd.Stderr = slave, slave, slave
			cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: own}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			slave.Close()
			s := &sitting{t: t, cmd: cmd, gone: make(chan struct{}), tty: os.NewFile(uintptr(dup(t, master)), "terminal")}
			master.Close()
			t.Cleanup(s.getUp)
			go s.read()
			s.begin()
			s.decide(1, "B48160297C")
			s.decide(2, "E35120846D")
			s.keys("G71625384H")
			time.Sleep(plainPause)
			s.tty.Write([]byte("-")) // heard, or not: the window is gone before it can answer
			s.tty.Close()
			s.wait()
			got := stored1(t, file)
			if len(got) < 2 || len(got) > 3 || got[0] != "B48160297C" || got[1] != "E35120846D" || len(got) == 3 && got[2] != "G71625384H" {
				t.Errorf("the file has %q", got)
			}
		})
	}
}

// dup gives another descriptor of a file that is read without blocking.
func dup(t *testing.T, f *os.File) int {
	t.Helper()
	fd, err := unix.FcntlInt(f.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	return fd
}

// Where there is no terminal, or one that cannot move its cursor, the program says so and makes no file.
func TestNoTerminal(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "float.db")
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer master.Close()
	defer slave.Close()
	null, err := os.Open(os.DevNull)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	for _, c := range []struct {
		name    string
		in, out *os.File // nil: what exec gives, which is no terminal
		term    string
		says    string
	}{
		{"dumb", slave, slave, "dumb", "TERM=dumb names a terminal that cannot move its cursor"},
		{"no input", null, slave, "xterm", "standard input is not a terminal"},
		{"no output", slave, null, "xterm", "standard output is not one"},
		{"none at all", null, null, "xterm", "standard input is not a terminal"},
		{"closed", nil, nil, "", "standard input is not a terminal"},
	} {
		cmd := exec.Command(path, "--file", file)
		cmd.Env = append(os.Environ(), "TERM="+c.term)
		if c.in != nil {
			cmd.Stdin, cmd.Stdout = c.in, c.out
		}
		var says strings.Builder
		cmd.Stderr = &says
		err := cmd.Run()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != 2 {
			t.Errorf("%s: %v, want exit status 2", c.name, err)
		}
		if !strings.Contains(says.String(), c.says) || !strings.Contains(says.String(), "Nothing was changed") || strings.Contains(says.String(), "\x1b") {
			t.Errorf("%s: it says %q, want %q", c.name, says.String(), c.says)
		}
	}
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file was made: %v", err)
	}
}

// faultKey is set in the environment of this test binary when it shall be the program with a fault in it: the value
// says where. So the program itself needs no way to be made to fail.
const faultKey = "UNBAND_UI_FAULT"

func init() {
	if where := os.Getenv(faultKey); where != "" {
		os.Exit(runWithFault(where, os.Args[len(os.Args)-1]))
	}
}

// A faulty program has a fault in its code, which the character § meets.
type faulty struct {
	*App
	where string
	met   bool
}

func (f *faulty) Update(m tea.Msg) (tea.Model, tea.Cmd) {
	if k, ok := m.(tea.KeyMsg); ok && k.String() == "§" {
		switch f.where {
		case "Update":
			var none *App
			none.screen.view(80, 24, time.Time{})
		case "a command":
			return f, func() tea.Msg { panic("a fault in a command") }
		}
		f.met = true
	}
	_, cmd := f.App.Update(m)
	return f, cmd
}

func (f *faulty) View() string {
	if f.met && f.where == "View" {
		return strings.Repeat("x", 3-len(f.where))
	}
	return f.App.View()
}

// runWithFault does what main does with the screen.
func runWithFault(where, file string) int {
	s, err := store.Open(file)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	var send func(tea.Msg)
	app := New(Options{Store: s, Now: time.Now, Pauses: triage.Pauses{Plain: triage.MinPause, Stop: triage.MinPause}, Post: func(m tea.Msg) { send(m) }})
	_, err = terminal.Run(&faulty{App: app, where: where}, terminal.WithSender(func(post func(tea.Msg)) { send = post }))
	app.Leave()
	if close := s.Close(); close != nil {
		err = errors.Join(err, close)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "unband:", err)
		return 1
	}
	return 0
}

// A fault of our own code ends the program with a message and the terminal as it was, and nothing is lost: neither
// what was shown nor the serial in hand.
func TestAFaultOfOurOwn(t *testing.T) {
	for _, where := range []string{"Update", "View", "a command"} {
		t.Run(where, func(t *testing.T) {
			file := float(t)
			cmd := exec.Command(os.Args[0], file)
			cmd.Env = append(os.Environ(), "TERM=xterm-256color", faultKey+"="+where)
			s := sitOn(t, cmd)
			s.begin()
			s.decide(1, "B48160297C")
			mark := s.mark()
			s.keys("E35120846D")
			s.awaitAfter(mark, "+ keep   - spend                  ") // the pause of this note is over
			s.tty.WriteString("§")
			if status := s.wait(); status != 1 {
				t.Errorf("exit status %d, want 1", status)
			}
			<-s.gone
			if text := s.tail(); !strings.Contains(text, "unband: the screen stopped on a fault of the program itself") {
				t.Errorf("it says\n%s", text)
			}
			wants(t, file, "B48160297C")
			again := sit(t, file)
			again.await("resumes")
			again.keys("r")
			again.await("last decided: note 1,")
			again.await("still in hand")
			again.spend(2, "E35120846D")
		})
	}
}

// Megabytes are pasted into the strap and into the lines of the form: nothing is decided, the lines are bounded, and
// the program answers afterwards.
func TestPastedMegabytes(t *testing.T) {
	file := float(t)
	s := sit(t, file)
	s.await("N new session")
	s.keys("n")
	s.await("a new session")
	flood := "\x1b[200~" + strings.Repeat("70633607-+\r\n", 5<<20/12) + "\x1b[201~"
	s.flood(flood) // name
	s.keys("\t")
	s.flood(flood) // where from
	s.keys("\t\t\t\x15" + "10\r\r")
	s.await("note 1 of 100")
	mark := s.mark()
	s.flood(flood)
	s.awaitAfter(mark, "only exactly eight digits can be pasted")
	s.decide(1, "B48160297C")
	s.flood(strings.Repeat("70633607-+", 20_000)) // without the marks of a paste, faster than any hand
	s.keys("\x15")
	time.Sleep(resting)
	s.keys("\x15")
	mark = s.mark()
	s.keys("E35120846D")
	s.awaitAfter(mark, "look at the note")
	s.leave()
	got := stored1(t, file)
	if len(got) != 1 || got[0] != "B48160297C" {
		t.Errorf("the file has %q", got)
	}
	f, err := store.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	session, err := f.Session(1)
	if err != nil || len(session.Name) > longestText || len(session.Source) > longestText {
		t.Errorf("the session is %d and %d characters long, %v", len(session.Name), len(session.Source), err)
	}
}

// flood writes much at once, as fast as the program reads it.
func (s *sitting) flood(text string) {
	s.t.Helper()
	done := make(chan error, 1)
	go func() { _, err := s.tty.WriteString(text); done <- err }()
	select {
	case err := <-done:
		if err != nil {
			s.t.Fatal(err)
		}
	case <-time.After(patient):
		s.t.Fatal("the program does not read what is written to it")
	}
}

// A terminal that another program left with its mouse on sends what is no key. Of that no key is taken, and nothing
// is decided: not by the presses and wheel of xterm's SGR mode, not by those of the older ones, whose last bytes
// can be any character, whole or torn.
func TestMouseNoise(t *testing.T) {
	file := float(t)
	s := sit(t, file)
	s.begin()
	s.keys("B48160297C")
	s.await("+ keep   - spend                  ") // a decision key would count now
	sgr := "\x1b[<0;45;43M\x1b[<0;45;43m\x1b[<64;5;5M\x1b[<35;120;40M"
	urxvt := "\x1b[32;45;43M\x1b[35;45;43M"
	x10 := "\x1b[M --\x1b[M#++\x1b[M 77\x1b[M\x60-+\x1b[M BC"
	for _, noise := range []string{sgr, urxvt, x10} {
		s.flood(noise)
		time.Sleep(20 * time.Millisecond)
		for _, b := range []byte(noise) { // torn
			s.tty.Write([]byte{b})
			time.Sleep(2 * time.Millisecond)
		}
	}
	time.Sleep(plainPause)
	if text := s.text(); strings.Contains(text, "note 1: ") || strings.Contains(text, "note 2 of 100") {
		t.Errorf("noise has decided a note\n%s", s.tail())
	}
	s.spend(1, "B48160297C")
	s.flood(strings.Repeat(sgr+x10+urxvt, 200))
	time.Sleep(resting)
	s.decide(2, "E35120846D")
	s.leave()
	wants(t, file, "B48160297C", "E35120846D")
}

// injected are control sequences that nothing of unband writes: a window title, colours, a question to the terminal,
// the same with eight-bit controls.
var injected = []string{"\x1b]0;pwned", "\x1b[31;45;7;9m", "\x1b[>0q", "\u009b31;45m", "\u009d0;pwned", "\x1bP+q"}

// harmless holds that none of them reached the terminal.
func (s *sitting) harmless() {
	s.t.Helper()
	raw := s.bytes()
	for _, bad := range injected {
		if i := strings.Index(raw, bad); i >= 0 {
			s.t.Errorf("%q reached the terminal: %q", bad, raw[max(i-80, 0):min(i+80, len(raw))])
		}
	}
}

// Control sequences that are typed, pasted, imported or stored are shown harmlessly, on every screen that shows them
// and in the line that is left on the terminal.
func TestInjectedControlSequences(t *testing.T) {
	file := float(t)
	all := strings.Join(injected, "\x07")
	list := filepath.Join(filepath.Dir(file), "list.csv")
	tainted := "serial;remark\nB48160297C;" + all + "\nK3?4554?3D;x\x1b]0;pwned\x07\n" + all + "\n"
	if err := os.WriteFile(list, []byte(tainted), 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := store.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	r := s.Do(store.AddSession{Session: triage.Session{Name: "stored " + all, Source: all, Denomination: 1, Straps: 2, StrapNotes: 100,
		Settings: patterns.DefaultSettings(), Watch: book.DefaultWatch()}})
	if err := errors.Join(r.Err, s.Close()); err != nil {
		t.Fatal(err)
	}

	w := sit(t, file)
	w.await("goes on with stored")
	mark := w.mark()
	w.keys("p")
	w.awaitAfter(mark, "wait  band")
	w.keys("d")
	mark = w.mark()
	w.keys("n")
	w.awaitAfter(mark, "a new session")
	w.flood("Friday " + all + "\x1b[200~" + all + "\x1b[201~\x1b\x1b") // typed and pasted; Esc in it may leave the form
	time.Sleep(500 * time.Millisecond)
	w.harmless()
	w.leave()
	w.harmless()

	w = sit(t, file)
	w.await("N new session")
	w.keys("n\x1b[200~pasted " + all + "\x1b[201~")
	w.keys("\t\t\t\t\x15" + "10\r\r")
	w.await("note 1 of 100")
	mark = w.mark()
	w.keys("\x0c\x15" + list + "\r") // Ctrl+L
	w.awaitAfter(mark, "was not taken in")
	w.harmless()
	mark = w.mark() // the strap before the list says it, too, and may have come late
	w.keys("\x1b")
	w.awaitAfter(mark, "pace")
	w.keys("B48160297C/")
	w.await("FW mark")
	w.keys("r\x1b[200~remark " + all + "\x1b[201~")
	w.await("remark ")
	mark = w.mark()
	w.keys("\x1b")
	w.awaitAfter(mark, "pace")
	w.spend(1, "B48160297C")
	w.keys("\x04")
	w.await("the desk")
	w.leave()
	<-w.gone
	w.harmless()
	wants2 := notesOf(t, file, 2)
	if len(wants2) != 1 || !strings.HasPrefix(wants2[0].Remark, "remark") || strings.ContainsAny(wants2[0].Remark, "\x1b\x07\u009b") {
		t.Errorf("stored is %+v", wants2)
	}
}

// notesOf are the notes of strap 1 of a session.
func notesOf(t *testing.T, file string, session uint64) []triage.Note {
	t.Helper()
	s, err := store.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	notes, err := s.Notes(session, 1)
	if err != nil {
		t.Fatal(err)
	}
	return notes
}
