package ui

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"
	"time"
	"unsafe"

	tea "github.com/charmbracelet/bubbletea"
	"golang.org/x/sys/unix"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
)

// The file of many notes: sessions of ten straps of a hundred, and a last one whose second strap
// is being sorted.
const (
	manySession = 1000 // notes
	manyOpen    = 57   // notes of the strap that is being sorted
)

var manyAt = time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)

// manyNotes makes a file of so many notes, and 157 more.
func manyNotes(b *testing.B, total int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "float.db")
	// A copy of the file after each session would take most of the time: something else lies where they would.
	if err := os.WriteFile(store.BackupFolder(path), nil, 0o600); err != nil {
		b.Fatal(err)
	}
	s, err := store.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	do := func(w store.Write) store.Result {
		r := s.Do(w)
		if r.Err != nil {
			b.Fatal(r.Err)
		}
		return r
	}
	settings := patterns.DefaultSettings()
	book, err := patterns.NewBook(settings)
	if err != nil {
		b.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	at := manyAt.Add(-time.Duration(total/manySession+1) * 24 * time.Hour)
	begin := func(name string) triage.Session {
		return do(store.AddSession{Session: triage.Session{Name: name, Source: "market square branch", Denomination: 1, Straps: manySession / 100, StrapNotes: 100,
			Opened: at, Touched: at, Watch: book.DefaultWatch(), Settings: settings, OldBefore: "2003"}}).Session
	}
	judged := func(session uint64, strap, position int) triage.Note {
		d := patterns.Digits(random.IntN(96_000_000) + 1)
		hits, near := book.Sets(d)
		n := triage.Note{Session: session, Strap: strap, Position: position, Version: 1, Decision: triage.Spend, Hits: hits, Near: near,
			Serial: triage.Serial{Prefix: "B", Digits: d.String(), Suffix: 'C'}, Decided: at.Add(time.Duration(strap*100+position) * 4 * time.Second), Took: 3 * time.Second}
		if position%50 == 0 {
			n.Decision, n.Look, n.Series = triage.Keep, triage.KeptAfter, "2017A"
		}
		return n
	}
	for range total / manySession {
		session := begin("float of " + at.Format(time.DateOnly))
		var list store.List
		var rest []triage.Note
		for strap := 1; strap <= manySession/100; strap++ {
			list.Straps = append(list.Straps, triage.Strap{Session: session.ID, Number: strap, Band: 100, Opened: at})
			for position := 1; position <= 100; position++ {
				n := judged(session.ID, strap, position)
				list.Notes = append(list.Notes, triage.Listed{Session: session.ID, Strap: strap, Position: position, Serial: n.Serial, Origin: triage.FromList})
				rest = append(rest, n)
			}
		}
		do(list)
		do(store.DecideRest{Notes: rest})
		session.Closed = at.Add(time.Hour)
		do(store.PutSession{Session: session})
		at = at.Add(24 * time.Hour)
	}
	session := begin("Friday float")
	for strap, size := range []int{100, manyOpen} {
		do(store.OpenStrap{Strap: triage.Strap{Session: session.ID, Number: strap + 1, Band: 100, Opened: at}})
		for position := 1; position <= size; position++ {
			do(store.Decide{Note: judged(session.ID, strap+1, position)})
		}
		if size == 100 {
			do(store.CloseStrap{Session: session.ID, Number: strap + 1, At: at})
		}
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkManyNotes is the program with many notes in its file: -notes 1000000 for a million, which takes some minutes to
// make.
func BenchmarkManyNotes(b *testing.B) {
	path := manyNotes(b, *many)
	for name, cold := range map[string]bool{"start": false, "cold-start": true} {
		b.Run(name, func(b *testing.B) { startsWith(b, path, cold) })
	}
	b.Run("desk", func(b *testing.B) {
		t := openTable(b, path, manyAt)
		for b.Loop() {
			t.start()
			_ = t.app.View()
		}
		b.StopTimer()
		t.store.Close()
	})
	b.Run("key", func(b *testing.B) { keysWith(b, path) })
}

// startsWith starts the real program in a terminal, goes on with the strap, and sorts a few notes.
func startsWith(b *testing.B, path string, cold bool) {
	command, err := program()
	if err != nil {
		b.Fatal(err)
	}
	place := fmt.Sprintf("note %d of 100", manyOpen+1)
	var desk, strap []time.Duration
	var memory []int
	for range 20 {
		if cold {
			forget(b, path)
		}
		began := time.Now()
		s := sitOn(b, screenOf(command, path))
		s.await("R resumes Friday float")
		desk = append(desk, time.Since(began))
		s.tty.Write([]byte("r"))
		s.await(place)
		strap = append(strap, time.Since(began))
		s.keys("B7063360\x15" + "B48160297C") // clear, and a whole one
		s.await("look at the note")
		memory = append(memory, anonymous(b, s.cmd.Process.Pid))
		s.getUp()
	}
	if info, err := os.Stat(path); err == nil {
		b.ReportMetric(float64(info.Size())/float64(*many+100+manyOpen), "file-B/note")
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(quantile(desk, 50).Microseconds())/1e3, "desk-p50-ms")
	b.ReportMetric(float64(quantile(strap, 50).Microseconds())/1e3, "strap-p50-ms")
	b.ReportMetric(float64(slices.Max(strap).Microseconds())/1e3, "strap-max-ms")
	b.ReportMetric(float64(slices.Max(memory))/1e3, "anonymous-MB")
}

func quantile(all []time.Duration, percent int) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)*percent/100]
}

// forget has the system forget what it holds of a file in memory, where nobody has it open.
func forget(b *testing.B, path string) {
	b.Helper()
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	if err := f.Sync(); err != nil { // what is to be written cannot be forgotten
		b.Fatal(err)
	}
	if err := unix.Fadvise(int(f.Fd()), 0, 0, unix.FADV_DONTNEED); err != nil {
		b.Fatal(err)
	}
	if n := inMemory(b, f); n > 100 {
		b.Fatalf("%d pages of the file are still in memory", n)
	}
}

// inMemory counts the pages of a file that the system holds in memory.
func inMemory(b *testing.B, f *os.File) int {
	b.Helper()
	info, err := f.Stat()
	if err != nil {
		b.Fatal(err)
	}
	mapped, err := unix.Mmap(int(f.Fd()), 0, int(info.Size()), unix.PROT_READ, unix.MAP_SHARED)
	if err != nil {
		b.Fatal(err)
	}
	defer unix.Munmap(mapped)
	pages := make([]byte, (len(mapped)+os.Getpagesize()-1)/os.Getpagesize())
	if _, _, errno := unix.Syscall(unix.SYS_MINCORE, uintptr(unsafe.Pointer(&mapped[0])), uintptr(len(mapped)), uintptr(unsafe.Pointer(&pages[0]))); errno != 0 {
		b.Fatal(errno)
	}
	held := 0
	for _, p := range pages {
		held += int(p & 1)
	}
	return held
}

var rssAnon = regexp.MustCompile(`RssAnon:\s+(\d+) kB`)

// anonymous is the memory of a process that is not of a file, in kB.
func anonymous(b *testing.B, pid int) int {
	b.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Fatal(err)
	}
	m := rssAnon.FindSubmatch(status)
	if m == nil {
		b.Fatalf("no memory in\n%s", status)
	}
	kB, _ := strconv.Atoi(string(m[1]))
	return kB
}

// keysWith types serials on the strap, each key from Update to the finished View.
func keysWith(b *testing.B, path string) {
	t := openTable(b, path, manyAt)
	t.play("r wait")
	if _, ok := t.app.screen.(*strap); !ok {
		b.Fatalf("%T\n%s", t.app.screen, t.app.View())
	}
	random := rand.New(rand.NewPCG(5, 6))
	var took []time.Duration
	for b.Loop() {
		keys := []tea.KeyMsg{}
		for _, r := range "B" + patterns.Digits(random.IntN(96_000_000)+1).String() + "C" {
			keys = append(keys, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
		for _, k := range append(keys, words["clear"]) {
			t.now = t.now.Add(100 * time.Millisecond)
			began := time.Now()
			t.app.Update(k)
			_ = t.app.View()
			took = append(took, time.Since(began))
			for t.app.env.open > 0 { // what it wrote of the note in hand
				t.app.Update(<-t.posts)
			}
		}
	}
	b.ReportMetric(float64(quantile(took, 50).Nanoseconds())/1e3, "p50-µs")
	b.ReportMetric(float64(quantile(took, 99).Nanoseconds())/1e3, "p99-µs")
}
