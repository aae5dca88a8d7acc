package odds

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
)

const top = 96_000_000

func book(t *testing.T) *patterns.Book {
	t.Helper()
	b, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// few watches so few rules that the slow truth below is quick: radars stop by a hit only.
func few() patterns.Watch {
	var near patterns.Set
	near = near.With(patterns.Solid).With(patterns.LadderUp).With(patterns.SuperRadar).With(patterns.DoubleQuad)
	return patterns.Watch{Hit: near.With(patterns.Radar), Near: near}
}

func misread(t *testing.T, b *patterns.Book, w patterns.Watch, m Misreading) Losses {
	t.Helper()
	l, err := Misread(b, w, top, m)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func lineOf(t *testing.T, l Losses, id patterns.ID) Loss {
	t.Helper()
	for _, r := range l.Rules {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no line for rule %d", id)
	return Loss{}
}

func TestEqualSeedsGiveEqualFigures(t *testing.T) {
	b, m := book(t), Misreading{Digit: 0.01, Swap: 0.01, Seed: 7, Notes: 2_000}
	first := misread(t, b, few(), m)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	if again := misread(t, b, few(), m); !reflect.DeepEqual(again, first) {
		t.Errorf("the same seed gives\n%+v\nand\n%+v", first, again)
	}
	m.Seed = 8
	if other := misread(t, b, few(), m); other.All.Per.Found == first.All.Per.Found {
		t.Error("another seed draws the same")
	} else if other.All.Per.One != first.All.Per.One {
		t.Errorf("single misreadings are walked, not drawn: %v and %v must be equal", first.All.Per.One, other.All.Per.One)
	}
	// Figures of this seed, to be met on every machine.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"guarded, found", first.Guarded.Per.Found, 390.968801800608},
		{"guarded, again", first.Guarded.Per.Again, 397.965884068543},
		{"all, no near misses", first.All.Straps.HitsOnly, 1.265712621597},
		{"false stops", first.FalsePerStrap, 0.003498541134},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: %.12f, want %.12f", c.what, c.got, c.want)
		}
	}
}

func TestNothingIsLostWithoutMisreading(t *testing.T) {
	b := book(t)
	l := misread(t, b, b.DefaultWatch(), Misreading{Notes: 1_000})
	for _, r := range append(l.sums(), l.Rules...) {
		if r.Keepers == 0 || r.Per != (Lost{}) || r.Straps != (Lost{}) || r.Noise != 0 {
			t.Errorf("%+v: something is lost", r)
		}
	}
	if l.Once != 0 || l.FalsePerStrap != 0 || l.FalseHitsOnly != 0 {
		t.Errorf("%v of the notes misread, %v false stops", l.Once, l.FalsePerStrap)
	}
}

// Every keeper is counted where it belongs, and the sums have each once.
func TestKeepersAreAllHits(t *testing.T) {
	b := book(t)
	w := b.DefaultWatch()
	l := misread(t, b, w, Misreading{Notes: 1_000})
	for _, r := range l.Rules {
		if want := b.Count(r.ID, top); r.Keepers != want {
			t.Errorf("%s: %d keepers, counted are %d", r.Name, r.Keepers, want)
		}
	}
	guarded := b.Price(patterns.Watch{Hit: w.Near}, top).Hits
	if all := b.Price(w, top).Hits; l.All.Keepers != all || l.Guarded.Keepers != guarded || l.Bare.Keepers != all-guarded {
		t.Errorf("%d, %d and %d keepers, counted are %d in all, %d with near misses watched",
			l.All.Keepers, l.Guarded.Keepers, l.Bare.Keepers, all, guarded)
	}
}

// The guarantee, as the simulation sees it: exactly one misreading loses no keeper whose near misses are
// watched, not even if the re-read asks for the doubtful digits only. The re-reads are played in full
// here, without the shortcut the simulation takes.
func TestOneMisreadingLosesNoGuardedKeeper(t *testing.T) {
	b := book(t)
	s := &simulation{Misreading: Misreading{Notes: 1_000}, book: b, watch: b.DefaultWatch(), top: top}
	s.walk(nil, 0)
	dice := newDice(1, 1)
	near := 0
	for range 60_000 {
		note := s.keepers[guarded][dice.below(len(s.keepers[guarded]))]
		digits := dice.below(2)
		typed := dice.misread(note, digits, 1-digits)
		if stops, _ := s.look(typed); stops {
			near++
		}
		if !s.restores(note, 1) {
			t.Errorf("%v: the simulation does not know that one misreading is made good", note)
		}
		if s.spent(note, typed, func([]uint8) {}) {
			t.Errorf("%v read as %v is lost", note, typed)
		}
	}
	if near < 30_000 {
		t.Errorf("only %d of the readings are near misses: what is tested?", near)
	}
	l := misread(t, b, b.DefaultWatch(), Misreading{Digit: 0.1, Swap: 0.1, Notes: 1_000})
	for _, r := range append(l.Rules, l.Guarded) {
		if r.NearStops && r.Per.One != 0 {
			t.Errorf("%s: %v of 100,000 are lost by one misreading", r.Name, r.Per.One)
		}
		if r.NearStops && r.Per.Found == 0 && r.ID != patterns.Solid {
			t.Errorf("%s: nothing is lost by two misreadings, which nobody guarantees", r.Name)
		}
	}
}

// The slow truth: every reading of a keeper with up to three misreadings, each with its chance, and for
// each near miss every re-read with up to two, level by level. Four misreadings come
// about once in a million notes with the rates used.
type truth struct {
	book  *patterns.Book
	watch patterns.Watch
	p, s  float64
	known map[question]float64 // answers of spent
	doubt map[string][]int     // answers of doubtful
}

type question struct {
	note, typed  string
	most, rounds int
}

func (x *truth) sets(typed string) (match, near patterns.Set) {
	d, err := patterns.ParseDigits(typed)
	if err != nil {
		panic(err)
	}
	match, near = x.book.Sets(d)
	return match & x.watch.Hit, near & x.watch.Near
}

// readings gives everything that can be typed of right with at most so many misreadings.
func (x *truth) readings(right string, most int, each func(typed string, chance float64)) {
	var digits func(read []byte, at, left int, chance float64)
	digits = func(read []byte, at, left int, chance float64) {
		if chance == 0 {
			return
		}
		if at == len(read) {
			each(string(read), chance)
			return
		}
		digits(read, at+1, left, chance*(1-x.p))
		if left == 0 {
			return
		}
		here := read[at]
		for c := byte('0'); c <= '9'; c++ {
			if c != here {
				read[at] = c
				digits(read, at+1, left-1, chance*x.p/9)
			}
		}
		read[at] = here
	}
	var swaps func(read []byte, at, left int, chance float64)
	swaps = func(read []byte, at, left int, chance float64) {
		if at+1 >= len(read) {
			digits(bytes.Clone(read), 0, left, chance)
			return
		}
		swaps(bytes.Clone(read), at+1, left, chance*(1-x.s))
		if left > 0 {
			other := bytes.Clone(read)
			other[at], other[at+1] = other[at+1], other[at]
			swaps(other, at+1, left-1, chance*x.s)
		}
	}
	swaps([]byte(right), 0, most, 1)
}

// doubtful finds the places of all changes that make a watched rule, by trying them.
func (x *truth) doubtful(typed string) (places []int) {
	var doubt [patterns.Places]bool
	for i := range typed {
		for c := byte('0'); c <= '9'; c++ {
			if m, _ := x.sets(typed[:i] + string(c) + typed[i+1:]); m&x.watch.Near != 0 {
				doubt[i] = true
			}
		}
		if i > 0 {
			if m, _ := x.sets(typed[:i-1] + typed[i:i+1] + typed[i-1:i] + typed[i+1:]); m&x.watch.Near != 0 {
				doubt[i-1], doubt[i] = true, true
			}
		}
	}
	for i, yes := range doubt {
		if yes {
			places = append(places, i)
		}
	}
	return places
}

// spent is how likely a note is spent that was typed so, with at most so many misreadings in a re-read.
func (x *truth) spent(note, typed string, most, rounds int) (chance float64) {
	match, near := x.sets(typed)
	switch {
	case match != 0:
		return 0
	case near == 0:
		return 1
	case rounds == 0:
		return 0 // as rare as so many failed re-reads in a row
	}
	key := question{note, typed, most, rounds}
	if known, ok := x.known[key]; ok {
		return known
	}
	if _, ok := x.doubt[typed]; !ok {
		x.doubt[typed] = x.doubtful(typed)
	}
	places, right := x.doubt[typed], ""
	for _, i := range places {
		right += note[i : i+1]
	}
	x.readings(right, most, func(answer string, p float64) {
		next := []byte(typed)
		for i, place := range places {
			next[place] = answer[i]
		}
		if most == 0 {
			p = 1 // read right for sure
		}
		if string(next) == typed {
			chance += p
			return
		}
		chance += p * x.spent(note, string(next), most, rounds-1)
	})
	x.known[key] = chance
	return chance
}

// lost is the truth about some keepers.
func (x *truth) lost(keepers []patterns.Digits) (l Lost) {
	for _, k := range keepers {
		note := k.String()
		x.readings(note, 3, func(typed string, p float64) {
			match, near := x.sets(typed)
			if match != 0 {
				return
			}
			l.HitsOnly += p
			if near == 0 {
				l.Found += p
				l.Typed += p
				l.Again += p
				return
			}
			l.Typed += p * x.spent(note, typed, 0, patterns.Places)
			l.Again += p * x.spent(note, typed, 2, 2)
		})
	}
	return l.times(100_000 / float64(len(keepers)))
}

func TestSimulationAgreesWithEveryReading(t *testing.T) {
	b := book(t)
	for _, m := range []Misreading{
		{Digit: 0.004, Swap: 0.006, Seed: 4, Notes: 100_000},
		{Swap: 0.006, Seed: 5, Notes: 100_000},
	} {
		l := misread(t, b, few(), m)
		s := &simulation{Misreading: m, book: b, watch: few(), top: top}
		s.walk(nil, 0)
		for _, id := range []patterns.ID{patterns.Solid, patterns.LadderUp} {
			x := &truth{b, few(), m.Digit, m.Swap, map[question]float64{}, map[string][]int{}}
			line, want := lineOf(t, l, id), x.lost(s.keepers[id])
			// 0.1 is for what the truth leaves out.
			near := func(got, want float64) bool { return math.Abs(got-want) <= 4*line.Noise+0.1 }
			if got := line.Per; !near(got.Found, want.Found) || !near(got.Typed, want.Typed) ||
				!near(got.Again, want.Again) || !near(got.HitsOnly, want.HitsOnly) {
				t.Errorf("%+v, %s: %+v ± %v, but every reading together gives %+v", m, line.Name, got, line.Noise, want)
			} else {
				t.Logf("%s: %+v ± %.2f, truth %+v", line.Name, got, line.Noise, want)
			}
			if want.HitsOnly == 0 && m.Digit > 0 {
				t.Errorf("%s: nothing is lost at all: what is tested?", line.Name)
			}
		}
	}
}

// What the odds of a radar are can be written down: of its eight digits one is misread, and then it is no
// radar (a super radar is none either), or one of the pairs of unequal digits is swapped.
func TestSingleMisreadingsInClosedForm(t *testing.T) {
	b, m := book(t), Misreading{Digit: 0.004, Swap: 0.003, Notes: 1_000}
	var radars patterns.Set
	radars = radars.With(patterns.Radar)
	l := misread(t, b, patterns.Watch{Hit: radars}, m)
	p, s := m.Digit, m.Swap
	rest := math.Pow(1-p, 7) * math.Pow(1-s, 6)
	unequal := 0
	for half := 1; half < 9600; half++ { // ABCD of ABCDDCBA
		d := patterns.Digits(half).String()[4:]
		for i := range 3 {
			if d[i] != d[i+1] {
				unequal += 2
			}
		}
	}
	want := 100_000 * rest * (8*p*(1-s) + s*(1-p)*float64(unequal)/9599)
	if got := lineOf(t, l, patterns.Radar).Per.One; math.Abs(got-want) > 1e-6 {
		t.Errorf("%v of 100,000 radars are lost by one misreading, want %v", got, want)
	}
}

// The sorter itself, fed with the readings of keepers, spends those that the simulation says it spends;
// and the same ones if every serial is typed to the end.
func TestSorterSpendsTheSame(t *testing.T) {
	b := book(t)
	s := &simulation{Misreading: Misreading{Notes: 1}, book: b, watch: b.DefaultWatch(), top: top}
	s.walk(nil, 0)
	dice, random := newDice(5, 5), rand.New(rand.NewPCG(5, 5))
	early, spentOnes, keptOnes, rereads := 0, 0, 0, 0
	for i := range 3_000 {
		list := s.keepers[[]int{guarded, bare, int(patterns.Radar), int(patterns.SixAlike)}[i%4]]
		note := list[dice.below(len(list))]
		typed := dice.misread(note, 1+random.IntN(3), random.IntN(2))
		want := s.spent(note, typed, func([]uint8) {})
		for _, whole := range []bool{false, true} {
			got, keys, asked := playSpend(t, s, note, typed, whole)
			if got != want {
				t.Errorf("%v typed as %v (to the end %v): the sorter spends it %v, the simulation %v", note, typed, whole, got, want)
			}
			if keys < patterns.Places {
				early++
			}
			rereads += asked
		}
		if want {
			spentOnes++
		} else {
			keptOnes++
		}
	}
	if early < 200 || spentOnes < 200 || keptOnes < 200 || rereads < 200 {
		t.Errorf("settled early %d, spent %d, not spent %d, re-reads %d: too few to tell", early, spentOnes, keptOnes, rereads)
	}
}

// playSpend types a serial and tries to spend the note, answering re-reads from the note. It gives
// whether the note was spent, after how many digits, and how many re-reads were asked for.
func playSpend(t *testing.T, s *simulation, note, typed patterns.Digits, whole bool) (spent bool, keys, rereads int) {
	t.Helper()
	at := time.Unix(0, 0)
	later := func() time.Time { at = at.Add(time.Minute); return at }
	rules := triage.Rules{Book: s.book, Watch: s.watch, Whole: whole}
	h := triage.TakeUp(rules, triage.Session{Denomination: 1, Watch: s.watch, Settings: s.book.Settings()}, triage.Note{}, later())
	for _, r := range typed.String() {
		if h.Settled() {
			break
		}
		h.Type(r, later())
		keys++
	}
	for {
		if h.Hit() {
			return false, keys, rereads
		}
		decision, _ := h.Press(triage.KeySpend, later())
		for h.Mode() == triage.Rereading {
			rereads++
			places, _ := h.Blanks()
			for _, p := range places {
				h.Type(rune(note.String()[p]), later())
			}
			decision, _ = h.Answer(later())
		}
		if decision == triage.Spend {
			return true, keys, rereads
		}
	}
}

func TestTooManyKeepers(t *testing.T) {
	settings := patterns.DefaultSettings()
	settings.Templates = []patterns.Template{{Pattern: "1???????"}}
	wide, err := patterns.NewBook(settings)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Misread(wide, wide.DefaultWatch(), top, Misreading{Notes: 1_000}); err != ErrTooManyKeepers {
		t.Errorf("ten million keepers: %v", err)
	}
}

func TestFormatsOfLosses(t *testing.T) {
	b := book(t)
	l := misread(t, b, few(), Misreading{Digit: 0.005, Swap: 0.002, Seed: 1, Notes: 1_000})
	var text, rows, lines bytes.Buffer
	for _, err := range []error{l.Text(&text), l.CSV(&rows), l.JSON(&lines)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"0.5 % of digits", "0.2 % of neighbouring", "Seed 1, 1,000 readings", "near misses not watched"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("%q is not in\n%s", want, text.String())
		}
	}
	records, err := csv.NewReader(&rows).ReadAll()
	if err != nil || len(records) != 1+len(l.Rules)+3 {
		t.Errorf("%d CSV records (%v), want a header, %d rules and three sums", len(records), err, len(l.Rules))
	}
	decoder, n := json.NewDecoder(&lines), 0
	for decoder.More() {
		var line Loss
		if err := decoder.Decode(&line); err != nil {
			t.Fatal(err)
		}
		if n < len(l.Rules) && (line.Name != l.Rules[n].Name || line.Per != l.Rules[n].Per) {
			t.Errorf("line %d of JSON: %+v, want %+v", n, line, l.Rules[n])
		}
		n++
	}
	if n != len(l.Rules)+4 {
		t.Errorf("%d JSON lines for %d rules", n, len(l.Rules))
	}
}

// The README tells what the command prints.
func TestReadmeMisreading(t *testing.T) {
	data, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := strings.Join(strings.Fields(string(data)), " ")
	b := book(t)
	l := misread(t, b, b.DefaultWatch(), Misreading{Digit: 0.005, Swap: 0.002, Seed: 1, Notes: 50_000})
	for _, want := range []string{
		figures(l.Guarded.Per.Found) + " of 100,000 keepers",
		figures(l.Guarded.Per.HitsOnly) + " without near-miss stops",
		figures(l.Guarded.Per.Again) + " if",
		figures(l.Bare.Per.Again) + " of 100,000",
		"in 1,000 straps " + figures(l.All.Straps.Again) + " keepers",
		figures(l.All.Straps.HitsOnly) + " if only hits stop",
	} {
		if !strings.Contains(readme, want) {
			t.Errorf("README.md does not say %q", want)
		}
	}
}
