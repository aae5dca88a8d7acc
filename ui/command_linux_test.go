package ui

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"app/unband/store"
	"app/unband/triage"
)

// command runs the real program and gives what it writes and its exit status.
func command(t *testing.T, arguments ...string) (out, errs string, status int) {
	t.Helper()
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, arguments...)
	var o, e strings.Builder
	cmd.Stdout, cmd.Stderr = &o, &e
	var ended *exec.ExitError
	if err := cmd.Run(); err != nil && !errors.As(err, &ended) {
		t.Fatal(err)
	}
	return o.String(), e.String(), cmd.ProcessState.ExitCode()
}

// reported makes a file with a kept and a spent note of one session.
func reported(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "float.db")
	s, err := store.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	session := s.Do(store.AddSession{Session: triage.Session{Name: "=float", Denomination: 1, Straps: 1, StrapNotes: 100}}).Session
	changes := []store.Write{store.OpenStrap{Strap: triage.Strap{Session: session.ID, Band: 100}}}
	for i, digits := range []string{"70633607", "00000870"} {
		changes = append(changes, store.Decide{Note: triage.Note{Session: session.ID, Strap: 1, Position: i + 1, Version: 1,
			Serial: triage.Serial{Digits: digits}, Decision: []triage.Decision{triage.Keep, triage.Spend}[i]}})
	}
	for _, c := range changes {
		if r := s.Do(c); r.Err != nil {
			t.Fatal(r.Err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReportCommand(t *testing.T) {
	file := reported(t)
	folder := filepath.Dir(file)
	there := filepath.Join(folder, "there.csv")
	link, outside := filepath.Join(folder, "link.csv"), filepath.Join(t.TempDir(), "outside.csv")
	backup := filepath.Join(folder, "backup of float")
	notes, err := os.ReadFile(file)
	for _, err := range []error{err, os.WriteFile(there, []byte("mine"), 0o600), os.WriteFile(outside, []byte("mine"), 0o600),
		os.Symlink(outside, link), os.WriteFile(backup, notes, 0o600)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		arguments string
		status    int
		out, errs string // what is in there; nothing is written where it is empty
	}{
		{"", 0, "=float (session 1)", ""},
		{"--session 1 --as markdown", 0, `## \=float (session 1)`, ""},
		{"--as csv", 0, "'00000870", ""},
		{"--as json", 0, `"kind":"note"`, ""},
		{"--session 2", 1, "", "no session 2"},
		{"--session 0", 2, "", "from 1"},
		{"--as xml", 2, "", `no format "xml"`},
		{"--replace", 2, "", "--to"},
		{"more", 2, "", "not understood"},
		{"--to " + there, 1, "", "--replace replaces it"},
		{"--to " + link + " --replace", 1, "", "is a link"},
		{"--to " + link, 1, "", "is a link"}, // it must not be said that --replace would help
		{"--to " + folder + " --replace", 1, "", "a folder"},
		{"--to " + filepath.Join(folder, "no", "such.csv"), 1, "", "Make the folder"},
		{"--to " + file + " --replace", 1, "", "holds notes"},
		{"--to " + file, 1, "", "holds notes"},
	} {
		out, errs, status := command(t, append([]string{"report", "--file", file}, strings.Fields(c.arguments)...)...)
		if status != c.status || !strings.Contains(out, c.out) || c.out == "" && out != "" || !strings.Contains(errs, c.errs) || c.errs == "" && errs != "" {
			t.Errorf("report %s: status %d, want %d\n%s\nwant %q\n%s\nwant %q", c.arguments, status, c.status, out, c.out, errs, c.errs)
		}
	}
	if _, errs, status := command(t, "report", "--file", file, "--to", backup, "--replace"); status != 1 || !strings.Contains(errs, "holds notes") {
		t.Errorf("over a copy of the notes: status %d, %s", status, errs)
	}
	for path, want := range map[string]string{there: "mine", outside: "mine", file: string(notes), backup: string(notes)} {
		if got, err := os.ReadFile(path); err != nil || string(got) != want {
			t.Errorf("%s was touched (%v)", path, err)
		}
	}

	if _, errs, status := command(t, "report", "--file", file, "--as", "csv", "--to", there, "--replace"); status != 0 {
		t.Errorf("replacing: status %d, %s", status, errs)
	}
	f, err := os.Open(there)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if rows, err := csv.NewReader(f).ReadAll(); err != nil || len(rows) != 3 {
		t.Errorf("%d rows of the report, %v", len(rows), err)
	}
	left, err := filepath.Glob(filepath.Join(folder, ".unband-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left beside: %v %v", left, err)
	}

	open, err := store.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer open.Close()
	if _, errs, status := command(t, "report", "--file", file); status != 1 || !strings.Contains(errs, "open in another window") {
		t.Errorf("of a file in use: status %d, %s", status, errs)
	}
}

// Whatever is wrong with a file, the program says so in plain words, in little time, and does not touch it: cut short at
// every page, bytes changed at random, headers gone, empty, of another kind.
func TestDamagedFilesAreTold(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the real program many times")
	}
	path := reported(t)
	sound, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	damaged := map[string][]byte{"empty": nil, "text": []byte(strings.Repeat("no file of ours ", 3000)), "zeros": make([]byte, 32<<10),
		"no headers": append(make([]byte, 8192), sound[8192:]...)}
	for at := 4096; at < len(sound); at += 4096 {
		damaged[fmt.Sprintf("cut to %d bytes", at)] = sound[:at]
	}
	rounds, seed := 25, uint64(20261125)
	if *long {
		rounds, seed = 1000, uint64(time.Now().UnixNano())
	}
	for round := range rounds {
		random := rand.New(rand.NewPCG(seed, uint64(round)))
		changed := bytes.Clone(sound)
		for range 1 + random.IntN(40) {
			changed[random.IntN(len(changed))] ^= byte(1 + random.IntN(255))
		}
		damaged[fmt.Sprintf("seed %d, round %d", seed, round)] = changed
	}
	for why, content := range damaged {
		file := filepath.Join(t.TempDir(), "damaged.db")
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
		for _, arguments := range [][]string{{"check", "--file", file}, {"report", "--file", file}, {"backup", "--file", file}, {"rescue", file, filepath.Join(t.TempDir(), "new.db")}} {
			began := time.Now()
			out, errs, status := command(t, arguments...)
			if status != 0 && status != 1 || strings.Contains(out+errs, "goroutine") || strings.Contains(errs, "panic") || time.Since(began) > 20*time.Second {
				t.Fatalf("%s: unband %s ends with %d after %v:\n%s%s", why, arguments[0], status, time.Since(began), out, errs)
			}
			if status == 1 && !strings.Contains(out+errs, "unband:") && !strings.Contains(out, "wrong:") {
				t.Errorf("%s: unband %s says nothing:\n%s%s", why, arguments[0], out, errs)
			}
		}
		if after, err := os.ReadFile(file); err != nil || !bytes.Equal(after, content) {
			t.Errorf("%s: the file was touched (%v)", why, err)
		}
	}
}

// A damaged file is told together with what there is to go on from.
func TestADamagedFileIsToldWithItsBackup(t *testing.T) {
	path := reported(t)
	if _, errs, status := command(t, "backup", "--file", path); status != 0 {
		t.Fatal(errs)
	}
	if err := os.Truncate(path, 12<<10); err != nil {
		t.Fatal(err)
	}
	_, errs, status := command(t, "check", "--file", path)
	for _, words := range []string{"cut short", "The newest sound backup is " + path + ".backups", "2 notes in 1 session", "unband rescue " + path} {
		if status != 1 || !strings.Contains(errs, words) {
			t.Errorf("exit status %d, %q is not said:\n%s", status, words, errs)
		}
	}
}
