package ui

import (
	"encoding/base64"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The text to ask with goes to the terminal's clipboard by the standard sequence, between two frames.
func TestClipboard(t *testing.T) {
	s := sit(t, filepath.Join(t.TempDir(), "float.db"))
	s.begin()
	s.keys("B60896809A/\x14") // Ctrl+T
	s.await("hidden digits")
	s.keys("\x19") // Ctrl+Y
	s.await("handed to the terminal")
	m := regexp.MustCompile("\x1b\\]52;c;([A-Za-z0-9+/=]*)(\x07|\x1b\\\\)").FindStringSubmatch(s.bytes())
	if m == nil {
		t.Fatal("no OSC 52 was written")
	}
	text, err := base64.StdEncoding.DecodeString(m[1])
	if err != nil || !strings.Contains(string(text), "Serial: B60896809A") {
		t.Errorf("the clipboard gets %q (%v)", text, err)
	}
}

// A serial that was complete but undecided at a kill is still in hand.
func TestSerialInHandSurvivesAKill(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the real program for some seconds")
	}
	file := filepath.Join(t.TempDir(), "float.db")
	s := sit(t, file)
	s.begin()
	s.decide(1, "B48160297C")
	before := time.Now()
	s.keys("E35120846D")
	s.written(file, before)
	s.cmd.Process.Signal(syscall.SIGKILL)
	s.wait()
	s = sit(t, file)
	s.await("resumes")
	s.keys("r")
	s.await("still in hand.")
	s.spend(2, "E35120846D")
}

// Leaving by the key, by SIGTERM and by a closed window ends with status 0, the decision on disk.
func TestLeaving(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the real program for some seconds")
	}
	for name, leave := range map[string]func(*sitting){
		"Ctrl+C":  func(s *sitting) { s.keys("\x03") },
		"SIGTERM": func(s *sitting) { s.cmd.Process.Signal(syscall.SIGTERM) },
		"SIGHUP":  func(s *sitting) { s.cmd.Process.Signal(syscall.SIGHUP) },
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "float.db")
			s := sit(t, file)
			s.begin()
			s.decide(1, "B48160297C")
			leave(s)
			if status := s.wait(); status != 0 {
				t.Errorf("exit status %d\n%s", status, s.tail())
			}
			if got := stored1(t, file); len(got) != 1 {
				t.Errorf("the file has %d notes, want 1", len(got))
			}
		})
	}
}

// The file of keys in the folder of settings is read without being named; where it is refused nothing is started.
func TestFileOfKeysIsFound(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	settings := t.TempDir()
	run := func(arguments ...string) (string, int) {
		cmd := exec.Command(path, arguments...)
		cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+settings)
		out, _ := cmd.CombinedOutput()
		return string(out), cmd.ProcessState.ExitCode()
	}
	if out, status := run("help", "keys"); status != 0 || !strings.Contains(out, "\nstrap keep: + = ") {
		t.Errorf("without a file: status %d and\n%s", status, out)
	}
	for _, err := range []error{os.Mkdir(filepath.Join(settings, "unband"), 0o700),
		os.WriteFile(filepath.Join(settings, "unband", "keys"), []byte("strap keep: F2\n"), 0o600)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if out, status := run("help", "keys"); status != 0 || !strings.Contains(out, "\nstrap keep: F2 ") {
		t.Errorf("with a file: status %d and\n%s", status, out)
	}
	if err := os.WriteFile(filepath.Join(settings, "unband", "keys"), []byte("strap keep: K\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	notes := filepath.Join(t.TempDir(), "float.db")
	if out, status := run("--file", notes); status != 2 || !strings.Contains(out, "line 1 of "+settings) || !strings.Contains(out, "Nothing was started") {
		t.Errorf("with a file that is refused: status %d and\n%s", status, out)
	}
	if _, err := os.Stat(notes); err == nil {
		t.Error("the file of notes was made")
	}
	if out, status := run("--file", notes, "--keys", "standard"); status != 2 || !strings.Contains(out, "terminal") { // only that is missing
		t.Errorf("with the standard keys: status %d and\n%s", status, out)
	}
}

// A note is typed, decided and gone back to on a keypad, in the mode in which it sends characters and in the one of
// applications, with a point and with a comma.
func TestKeypadInBothModes(t *testing.T) {
	for name, pad := range map[string]func(string) string{
		"characters":   func(keys string) string { return keys },
		"with a comma": func(keys string) string { return strings.ReplaceAll(keys, ".", ",") },
		"applications": func(keys string) string {
			var b strings.Builder
			for _, k := range keys {
				b.WriteString("\x1bO" + string("pqrstuvwxymkonM"[strings.IndexRune("0123456789-+/.\r", k)]))
			}
			return b.String()
		},
	} {
		t.Run(name, func(t *testing.T) {
			file := float(t)
			s := sit(t, file)
			s.begin()
			s.tty.WriteString(pad("35120846"))
			time.Sleep(plainPause)
			s.tty.WriteString(pad("-"))
			s.await("note 1: 35120846 spent")
			s.tty.WriteString(pad("70633607"))
			s.await("radar")
			time.Sleep(plainPause)
			s.tty.WriteString(pad("+"))
			s.await("note 2: 70633607 kept")
			s.tty.WriteString(pad("."))
			s.await("gone back: kept")
			mark := s.mark()
			s.tty.WriteString(pad("\r"))
			s.awaitAfter(mark, "note 3")
			s.leave()
			wants(t, file, "35120846", "70633607")
		})
	}
}

// The keys for the left hand in a terminal: Tab keeps, ` spends, Space answers.
func TestLeftHandInATerminal(t *testing.T) {
	file := float(t)
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := screenOf(path, file)
	cmd.Args = append(cmd.Args, "--keys", "left")
	s := sitOn(t, cmd)
	s.begin()
	s.keys("35120846")
	time.Sleep(plainPause)
	s.keys("`")
	s.await("note 1: 35120846 spent")
	s.keys("70633607")
	s.await("radar")
	time.Sleep(plainPause)
	s.keys("\t")
	s.await("note 2: 70633607 kept")
	s.keys("\x1b[Z") // Shift+Tab
	s.await("gone back: kept")
	mark := s.mark()
	s.keys(" ")
	s.awaitAfter(mark, "note 3")
	s.leave()
	wants(t, file, "35120846", "70633607")
}

// What the program says without a screen, and its exit status.
func TestCommandLine(t *testing.T) {
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	file, sound := filepath.Join(t.TempDir(), "float.db"), newTable(t)
	sound.store.Close()
	utf16, hostile := filepath.Join(t.TempDir(), "utf16.csv"), filepath.Join(t.TempDir(), "hostile.csv")
	clash := filepath.Join(t.TempDir(), "clash")
	empty, blank, cells := filepath.Join(t.TempDir(), "empty.txt"), filepath.Join(t.TempDir(), "blank.txt"), filepath.Join(t.TempDir(), "cells.csv")
	for name, text := range map[string]string{
		empty:   "",
		blank:   "\n  \n",
		cells:   "No,\"Serial\nnumber\",Remark\n1,\"B70633607C\",\"torn\nat the edge\"\n2,B48160297C,\n",
		clash:   "# mine\nstrap keep: -\n",
		utf16:   "\xff\xfeB\x007\x000\x00",
		hostile: "\x1b[31mNo,\x1b]0;owned\aSerial\x9b2J\n1,B70633607C\n2,B7\x1b[2J0633607C\n3,\u009b31mB7063360C\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"--file", file}, 2, "terminal"}, // no terminal at all
		{[]string{"--pause", "0"}, 2, "outside 0.2 to 10"},
		{[]string{"--pause", "NaN"}, 2, "outside 0.2 to 10"},
		{[]string{"--keys", clash, "--file", file}, 2, "line 2 of " + clash + ": - is the key of strap keep"},
		{[]string{"--keys", clash, "--file", file}, 2, "Nothing was started."},
		{[]string{"--keys", "/no/keys", "--file", file}, 2, "cannot be read: no such file"},
		{[]string{"help", "keys", "--keys", clash}, 2, "as it comes"},
		{[]string{"help", "keys", "--keys", "left"}, 0, "strap keep: Tab + ="},
		{[]string{"help"}, 0, "unband help near"},
		{[]string{"help", "near"}, 0, "A near miss may be the pattern itself"},
		{[]string{"help", "patterns", "--file", sound.path}, 0, "definitions of a new user"},
		{[]string{"help", "patterns", "--file", "/dev/null"}, 0, "not a file"},
		{[]string{"help", "check"}, 0, "unband check"},
		{[]string{"help", "\x1b[31mprices"}, 2, "there is nothing to tell about"},
		{[]string{"help", "near", "stars"}, 2, "one topic at a time"},
		{[]string{"--help"}, 0, "unband help cautions"},
		{[]string{"frobnicate"}, 2, "there is no command"},
		{[]string{"--version"}, 0, "unband"},
		{[]string{"--help"}, 0, "-pause-stop"},
		{[]string{"check", "--file", file}, 1, "nothing to check"},
		{[]string{"check", "--file", sound.path}, 0, "sound"},
		{[]string{"check", "--file", "/dev/null"}, 1, "not a file"},
		{[]string{"--file", file, "check"}, 2, "the command stands first"},
		{[]string{"read", "B70633607C"}, 0, "radar (1 in 10,001"},
		{[]string{"read", "70633507", "--as", "json"}, 0, `"near":[{"name":"radar"`},
		{[]string{"read", "4447102"}, 1, "argument 1, line 1"},
		{[]string{"read", "--count", "--stops", "70633607", "48160297"}, 0, "1\n"},
		{[]string{"read", "--as", "xml", "70633607"}, 2, "there is no format"},
		{[]string{"read", "--top", "0", "70633607"}, 2, "no highest serial"},
		{[]string{"read", "/no/such/list.txt"}, 1, "neither a serial nor a file"},
		{[]string{"read", "/no/\x1b[31mred.txt"}, 1, "neither a serial nor a file"},
		{[]string{"read", "../testdata/lists/bars.txt"}, 0, "the serials are in column 3, serial, between bars"},
		{[]string{"read", "../testdata/lists/print-out.txt"}, 1, "line 17: left out, a totals line"},
		{[]string{"read", "--zeros", "../testdata/lists/zeros.csv"}, 1, "B05500550F  stop  radar-repeater"}, // I01; I04 has unread digits
		{[]string{"read", "../testdata/lists/zeros.csv"}, 1, "--zeros puts it back"},
		{[]string{"read", "--column", "9", "../testdata/lists/commas.csv"}, 2, "there is no column 9"},
		{[]string{"read", "--column", "0", "../testdata/lists/commas.csv"}, 2, "numbered from 1"},
		{[]string{"read", "B1234567O"}, 1, "O may be the letter behind"}, // I06
		{[]string{"read", hostile}, 1, "has no place in a serial"},
		{[]string{"read"}, 1, "nothing to read in standard input: it is empty"}, // the test gives it none
		{[]string{"read", "--count", "-"}, 1, "nothing to read in standard input"},
		{[]string{"read", ""}, 1, "nothing to read in argument 1"},
		{[]string{"read", "B70633607C", empty}, 1, "nothing to read in " + empty},
		{[]string{"read", blank}, 1, "2 blank lines were passed over.\nunband: there was no serial to read: no line can be a note.\n        Give serials"},
		{[]string{"read", "--count", "B70633607C", blank}, 0, "2 blank lines were passed over."},
		{[]string{"read", cells}, 0, "line 2: left out, the rest of a quoted cell; give each note one line"},
		{[]string{"read", "--count", cells}, 0, "2\n"},
		{[]string{"read", utf16}, 1, "it is UTF-16; save it as CSV in UTF-8"},
		{[]string{"odds", "radar"}, 0, "9,599"},
		{[]string{"odds", "ABBACDDC", "--as", "json"}, 0, `"total":{`},
		{[]string{"odds", "--settled", "--as", "csv"}, 0, "stutter"},
		{[]string{"odds", "AB-"}, 2, "character 3"},
		{[]string{"odds", "radar", "--misread", "0.01", "--notes", "1000", "--seed", "4"}, 0, "Seed 4, 1,000 readings"},
		{[]string{"odds", "--misread", "0.21"}, 2, "outside 0 to 0.2"},
		{[]string{"odds", "--misread", "0.01", "--swap", "NaN"}, 2, "outside 0 to 0.2"},
		{[]string{"odds", "--swap", "0.01"}, 2, "--swap goes with --misread"},
		{[]string{"odds", "--misread", "0.01", "--notes", "999"}, 2, "1,000 to 10,000,000"},
		{[]string{"odds", "--misread", "0.01", "--settled"}, 2, "two tables"},
		{[]string{"odds", "--misread", "0.01", "1???????"}, 2, "more than 5,000,000 serials"},
		{[]string{"runs", "list", "--file", file}, 0, ""},
		{[]string{"runs", "import", "../testdata/runs/published-2009-ones.csv", "--file", sound.path, "--date", "2026-11-01"}, 0, "10 new runs came in"},
		{[]string{"runs", "import", "../testdata/runs/published-2009-ones.csv", "--file", sound.path}, 0, "0 new runs came in, 10 known already"},
		{[]string{"runs", "list", "--file", sound.path}, 0, "list of 1 November 2026"},
		{[]string{"runs", "import", "../testdata/runs/refused.csv", "--file", sound.path}, 1, "Refused, line"},
		{[]string{"runs", "import", "--file", sound.path}, 2, "runs import FILE"},
	} {
		out, err := exec.Command(path, c.args...).CombinedOutput()
		status := 0
		if exit, ok := err.(*exec.ExitError); ok {
			status = exit.ExitCode()
		} else if err != nil {
			t.Fatal(err)
		}
		if status != c.status || !strings.Contains(string(out), c.says) {
			t.Errorf("unband %s: exit status %d and\n%s\nwant %d and %q", strings.Join(c.args, " "), status, out, c.status, c.says)
		}
		if strings.ContainsRune(string(out), '\x1b') {
			t.Errorf("unband %q writes a control sequence: %q", c.args, out)
		}
	}
}
