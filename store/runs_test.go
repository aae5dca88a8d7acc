package store

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"
	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/stars"
)

// drawRun gives a valid run, of few groups and places so that they meet.
func drawRun() *rapid.Generator[stars.Run] {
	return rapid.Custom(func(t *rapid.T) stars.Run {
		from := rapid.IntRange(0, 9).Draw(t, "from")*640_000 + 1
		to := from + rapid.SampledFrom([]int{0, 319_999, 639_999}).Draw(t, "long")
		r := stars.Run{
			Denomination: rapid.SampledFrom([]triage.Denomination{1, 100}).Draw(t, "denomination"),
			Series:       rapid.SampledFrom([]string{"2013", "2017A"}).Draw(t, "series"),
			Bank:         rapid.SampledFrom([]byte("BL")).Draw(t, "bank"),
			From:         patterns.Digits(from), To: patterns.Digits(to),
			Facility: stars.Facility(rapid.IntRange(0, 2).Draw(t, "facility")),
			Month:    stars.Month(rapid.SampledFrom([]int{0, 201410}).Draw(t, "month")),
			Listed:   rapid.SampledFrom([]time.Time{{}, start}).Draw(t, "listed"),
		}
		if rapid.Bool().Draw(t, "quantity said") {
			r.Quantity = r.Numbers()
		}
		return r
	})
}

// newYork2009 are runs of Series 2009 $1 New York stars (expert post, CoinTalk thread 326210).
func newYork2009() []stars.Run {
	r := stars.Run{Denomination: 1, Series: "2009", Bank: 'B', From: 1, To: 1_280_000, Listed: start}
	s, u := r, r
	s.From, s.To = 3_200_001, 3_840_000
	u.From, u.To, u.Quantity, u.Facility, u.Month = 6_400_001, 6_432_000, 32_000, stars.FortWorth, 201106
	return []stars.Run{r, s, u}
}

func wantRuns(t *testing.T, s *Store, want []stars.Run) {
	t.Helper()
	if got, err := s.Runs(); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("the file has the runs\n%v (%v), want\n%v", got, err, want)
	}
}

func TestRunsComeInOnceAndInOrder(t *testing.T) {
	s := tempStore(t)
	wantRuns(t, s, nil)
	want := newYork2009()
	shuffled := slices.Clone(want)
	slices.Reverse(shuffled)
	must(t, s, PutRuns{shuffled})
	wantRuns(t, s, want)
	must(t, s, PutRuns{want}) // again
	must(t, s, PutRuns{})
	newer := want[0]
	newer.Listed = start.AddDate(1, 0, 0)
	must(t, s, PutRuns{[]stars.Run{newer}})
	want[0] = newer // the same run on a newer list
	wantRuns(t, s, want)
	richer := want[1]
	richer.Facility, richer.Month, richer.Quantity, richer.Listed = stars.Washington, 201105, 640_000, start.AddDate(0, -1, 0)
	must(t, s, PutRuns{[]stars.Run{richer}}) // an older list that says more
	richer.Listed = want[1].Listed
	want[1] = richer
	wantRuns(t, s, want)
	part, rest := want[0], want[0]
	part.Facility, rest.Quantity = stars.FortWorth, 1_280_000
	must(t, s, PutRuns{[]stars.Run{part, rest}}) // two lines, each saying something more
	want[0].Facility, want[0].Quantity = stars.FortWorth, 1_280_000
	wantRuns(t, s, want)
	must(t, s, DropRuns{want[1:2]})
	must(t, s, DropRuns{want[1:2]})
	wantRuns(t, s, []stars.Run{want[0], want[2]})
	wantSound(t, s)
}

func TestAClashingRunKeepsTheOthersOut(t *testing.T) {
	s := tempStore(t)
	must(t, s, PutRuns{newYork2009()[:1]})
	bad := newYork2009()[2]
	bad.From, bad.To, bad.Quantity = 640_001, 1_920_000, 0
	var e *RunError
	r := s.Do(PutRuns{[]stars.Run{newYork2009()[1], bad, newYork2009()[2]}})
	if !errors.As(r.Err, &e) || e.Run != bad || !strings.Contains(e.Error(), "overlaps the run 00000001 to 01280000") {
		t.Errorf("a run that overlaps was answered %v", r.Err)
	}
	wantRuns(t, s, newYork2009()[:1])
	bad.From = 0
	if r := s.Do(PutRuns{[]stars.Run{bad}}); !errors.As(r.Err, &e) {
		t.Errorf("an impossible run was answered %v", r.Err)
	}
	what, safe, _ := Explain(e)
	if !strings.Contains(what, "numbers begin with 00000001") || !strings.Contains(safe, "nothing was changed") {
		t.Errorf("it is explained %q %q", what, safe)
	}
}

// After a commit that failed the file says whether the runs are in it, whatever was known before.
func TestRunsAfterAFailedCommit(t *testing.T) {
	known, fresh := newYork2009()[:1], newYork2009()
	for _, after := range []bool{false, true} {
		for _, w := range []struct {
			why     string
			write   Write
			written bool // always; else only when the failure came after
		}{
			{"new runs before a known one", PutRuns{[]stars.Run{fresh[2], fresh[0]}}, false},
			{"nothing new", PutRuns{known}, true},
			{"nothing at all", PutRuns{}, true},
			{"out", DropRuns{known}, false},
		} {
			s := tempStore(t)
			must(t, s, PutRuns{known})
			fail(s, after)
			r := s.Do(w.write)
			if r.Err == nil || r.Written != (after || w.written) {
				t.Errorf("%s, failed after the commit %v: %v, written %v", w.why, after, r.Err, r.Written)
			}
		}
	}
}

func TestRunKeysSortAsRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) stars.Run {
			return stars.Run{
				Denomination: rapid.SampledFrom(triage.Denominations).Draw(t, name),
				Series:       rapid.SampledFrom([]string{"1963", "1963A", "1963B", "1969", "2003", "2003A", "2017A"}).Draw(t, name),
				Bank:         rapid.SampledFrom([]byte("ABL")).Draw(t, name),
				From:         patterns.Digits(rapid.IntRange(1, patterns.Total-1).Draw(t, name)),
				Facility:     stars.Facility(rapid.IntRange(0, 2).Draw(t, name)),
			}
		}
		a, b := draw("a"), draw("b")
		if got, want := bytes.Compare(runKey(a), runKey(b)), a.Compare(b); got != want {
			t.Fatalf("keys of %v and %v compare %d, the runs %d", a, b, got, want)
		}
	})
}

// keptStarAt decides a note as a kept star, as its next version.
func keptStarAt(strap triage.Strap, position, version int) triage.Note {
	n := note(strap, position)
	n.Decision, n.Serial.Star, n.Serial.Suffix, n.Version = triage.Keep, true, 0, version
	return n
}

func TestStarsFollowTheNewestVersion(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	batch := func() string {
		t.Helper()
		all, err := s.Stars()
		check(t, err)
		var places []string
		for _, n := range all {
			places = append(places, fmt.Sprintf("%d.%d v%d", n.Session, n.Position, n.Version))
		}
		return strings.Join(places, " ")
	}
	steps := []struct {
		why   string
		write Write
		want  string
	}{
		{"a kept star", Decide{keptStarAt(strap, 1, 1)}, "1.1 v1"},
		{"a kept note without a star", Decide{func() triage.Note { n := keptStarAt(strap, 2, 1); n.Serial.Star = false; return n }()}, "1.1 v1"},
		{"a spent star", Decide{func() triage.Note { n := keptStarAt(strap, 3, 1); n.Decision = triage.Spend; return n }()}, "1.1 v1"},
		{"it is kept after all", Decide{keptStarAt(strap, 3, 2)}, "1.1 v1 1.3 v2"},
		{"its series is said", Decide{func() triage.Note { n := keptStarAt(strap, 3, 3); n.Series = "2017A"; return n }()}, "1.1 v1 1.3 v3"},
		{"the first had no star", Decide{func() triage.Note { n := keptStarAt(strap, 1, 2); n.Serial.Star = false; return n }()}, "1.3 v3"},
		{"the last is taken out", TakeOut{triage.Place{Session: 1, Strap: 1, Position: 3}, 3, start}, ""},
		{"another session", AddSession{triage.Session{Denomination: 20}}, ""},
		{"its strap", OpenStrap{triage.Strap{Session: 2, Band: 100}}, ""},
		{"a star there", Decide{keptStarAt(triage.Strap{Session: 2, Number: 1}, 1, 1)}, "2.1 v1"},
		{"and in the first", Decide{keptStarAt(strap, 3, 1)}, "1.3 v1 2.1 v1"},
	}
	for _, step := range steps {
		must(t, s, step.write)
		if got := batch(); got != step.want {
			t.Fatalf("%s: the batch is %q, want %q", step.why, got, step.want)
		}
	}
	wantSound(t, s)
}

// withStars is a closed file with a star and some runs.
func withStars(t *testing.T) []byte {
	t.Helper()
	s := tempStore(t)
	s.commit = commitWithoutSync
	strap := withStrap(t, s)
	must(t, s, Decide{keptStarAt(strap, 1, 1)})
	must(t, s, Decide{note(strap, 2)})
	must(t, s, PutRuns{newYork2009()})
	check(t, s.Close())
	b, err := os.ReadFile(s.Path())
	check(t, err)
	return b
}

func TestFlippedBitsOfStarsAndRunsAreFound(t *testing.T) {
	sound := withStars(t)
	for _, p := range onePairEach(t, sound) {
		if p.bucket != bucketStars && p.bucket != bucketRuns {
			continue
		}
		whole := append(bytes.Clone(p.key), p.value...)
		if !bytes.Contains(sound, whole) || len(whole) == 0 {
			t.Fatalf("the pair of %s is not in the file", p.bucket)
		}
		for bit := range len(whole) * 8 {
			broken := bytes.Clone(whole)
			broken[bit/8] ^= 1 << (bit % 8)
			wantFound(t, p, bit, bytes.ReplaceAll(sound, whole, broken))
		}
	}
}

func TestCheckFindsWrongStarsAndRuns(t *testing.T) {
	sound := withStars(t)
	place := triage.Place{Session: 1, Strap: 1, Position: 1}
	beside := place
	beside.Position = 2
	put := func(change func(*stars.Run)) func(*bolt.Tx) error {
		return func(tx *bolt.Tx) error {
			r := newYork2009()[0]
			change(&r)
			_, _, err := runs.put(tx, r)
			return err
		}
	}
	for _, c := range []struct {
		why    string
		change func(*bolt.Tx) error
		want   string
	}{
		{"not in the batch", func(tx *bolt.Tx) error { return byStars.set(tx, noteKey(place), false) },
			"note 1 in strap 1 of session 1 is missing in the batch of stars"},
		{"no star", func(tx *bolt.Tx) error { return byStars.set(tx, noteKey(beside), true) },
			"entry stars 00000000000000010000000100000002 names a note that it does not fit"},
		{"overlaps", put(func(r *stars.Run) { r.From = 1_000_000 }), "run $1 Series 2009 New York (B) 01000000 to 01280000: it overlaps the run 00000001 to 01280000"},
		{"impossible", put(func(r *stars.Run) { r.From, r.Bank = 0, 'C' }), "run $1 Series 2009 Philadelphia (C) 00000000 to 01280000: the first number is 0: numbers begin with 00000001"},
		{"twice", put(func(r *stars.Run) { r.Facility = stars.FortWorth }), "run $1 Series 2009 New York (B) 00000001 to 01280000 is there twice"},
	} {
		path := filepath.Join(t.TempDir(), "changed.db")
		changed(sound, c.change)(t, path)
		report, err := openStore(t, path).Check()
		check(t, err)
		if all := strings.Join(report.Problems, "\n"); all != c.want {
			t.Errorf("%s: check says\n%s\nwant\n%s", c.why, all, c.want)
		}
	}
	path := filepath.Join(t.TempDir(), "sound.db")
	write(sound)(t, path)
	if report, err := openStore(t, path).Check(); err != nil || !report.Sound() || report.Runs != 3 {
		t.Errorf("a sound file: %d runs, %q, %v", report.Runs, report.Problems, err)
	}
}

// BenchmarkPutRuns enters 2,000 runs at once into an empty file, without waiting for the disk.
func BenchmarkPutRuns(b *testing.B) {
	var all []stars.Run
	for i := range 2000 {
		from := patterns.Digits(i/12%30)*3_200_000 + 1
		all = append(all, stars.Run{Denomination: 1, Series: cmp.Or(map[int]string{0: "2009", 1: "2013", 2: "2017", 3: "2017A", 4: "2021"}[i/360], "2006"),
			Bank: 'A' + byte(i%12), From: from, To: from + 639_999, Quantity: 640_000, Month: 201001, Listed: start})
	}
	for b.Loop() {
		s := tempStore(b)
		s.commit = commitWithoutSync
		must(b, s, PutRuns{all})
		if got, err := s.Runs(); err != nil || len(got) != len(all) {
			b.Fatalf("%d runs, %v", len(got), err)
		}
		check(b, s.Close())
	}
}
