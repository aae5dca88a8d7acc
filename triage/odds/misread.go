package odds

import (
	"errors"
	"math"
	"slices"
	"sync"

	"app/unband/patterns"
	"app/unband/triage"
)

// MaxMisread is the highest chance of a misreading that is simulated, for a digit and for a pair.
const MaxMisread = 0.2

// walked is how many keepers of a line have all their single misreadings walked; of more, so many are
// drawn.
const walked = 250_000

// MaxKeepers is how many keepers a watch list may have to be simulated: each is walked and held in memory.
const MaxKeepers = 5_000_000

// Misreading says how a sorter misreads and how much is simulated. Every digit of every note is read
// as one of the nine others with the chance Digit, and every two neighbours are typed in each other's
// place with the chance Swap, all independently; swaps go from left to right, so that two that overlap
// carry a digit along. A swap of two equal digits changes nothing, and counts as a misreading all the
// same.
type Misreading struct {
	Digit float64 `json:"misread"` // 0 to MaxMisread
	Swap  float64 `json:"swap"`    // 0 to MaxMisread
	Seed  uint64  `json:"seed"`    // equal seeds give equal figures, on every machine
	Notes int     `json:"notes"`   // readings drawn for a line of the table, 1 or more
}

// Lost is how many keepers are lost: spent because of what was typed. A typed serial that is a hit is
// taken to be looked at and kept. Typing only until a note is settled loses none beyond these:
// digits settle when no serial that begins with them stops.
type Lost struct {
	// Found: a near miss that stops always leads to the true serial.
	Found float64 `json:"found"`
	// One is the part of Found that goes to notes with exactly one misreading.
	One float64 `json:"found_one"`
	// Typed: a near miss that stops is read again as the program asks it, the doubtful digits only, and
	// these are read right. A second misreading elsewhere stays.
	Typed float64 `json:"typed"`
	// Again: as Typed, and the re-read is misread as often as the first reading was.
	Again float64 `json:"again"`
	// HitsOnly: near misses are not watched at all.
	HitsOnly float64 `json:"hits_only"`
}

// A Loss is the keepers of one rule, or of several rules together, and how many of them are lost.
type Loss struct {
	Name      string      `json:"name"`
	Keepers   int         `json:"keepers"`    // serials 1 to top that meet it
	NearStops bool        `json:"near_stops"` // a near miss of the rule stops the sorter
	Per       Lost        `json:"per_100000_keepers"`
	Noise     float64     `json:"noise"` // standard error of the least certain figure of Per
	Straps    Lost        `json:"per_1000_straps"`
	ID        patterns.ID `json:"-"` // 0 for several rules together
}

// Losses is what misreading costs under a watch list.
type Losses struct {
	Misreading
	Top   int    // the highest serial
	Rules []Loss // the watched rules that some serial up to the top meets, rarest first

	// The keepers of all rules, each once: Guarded are those that meet a rule whose near misses stop,
	// too, Bare the others.
	Guarded, Bare, All Loss

	Once, Twice float64 // share of all notes with one misreading or more, with two or more; 0 to 1

	// Stops in a strap of a hundred random notes.
	NearPerStrap  float64 // by a near miss alone, everything read right: the price of watching
	FalsePerStrap float64 // notes that would not stop, but do as they are typed
	FalseHitsOnly float64 // the same when near misses are not watched
	FalseNoise    float64 // standard error of the less certain of the two
}

// ErrTooManyKeepers says that more serials meet the watched rules than MaxKeepers.
var ErrTooManyKeepers = errors.New("more than " + triage.Thousands(MaxKeepers) + " serials are hits, too many to simulate")

// Misread works out what misreading costs under a watch list and a highest serial, 1 to 99,999,999.
//
// It does not wait for keepers among random notes, which are few, but takes the keepers themselves. All
// single misreadings of every keeper are walked, so that this part is exact (of a line with more than
// 250,000 keepers, so many are drawn). Readings with two misreadings or more are drawn, m.Notes a line,
// and weighted with their exact chance; so are the re-reads. The error is ErrTooManyKeepers.
func Misread(b *patterns.Book, w patterns.Watch, top patterns.Digits, m Misreading) (Losses, error) {
	price := b.Price(w, top)
	if price.Hits > MaxKeepers {
		return Losses{}, ErrTooManyKeepers
	}
	s := &simulation{Misreading: m, book: b, watch: w, top: top, chances: chancesOf(m)}
	s.walk(nil, 0)

	l := Losses{Misreading: m, Top: int(top), NearPerStrap: price.NearPerStrap(strap)}
	l.Once, l.Twice = s.chances.sum(1), s.chances.sum(2)
	for _, r := range b.Rules() {
		if keepers := len(s.keepers[r.ID]); w.Hit.Has(r.ID) && keepers > 0 {
			l.Rules = append(l.Rules, Loss{Name: r.Name, Keepers: keepers, NearStops: w.Near.Has(r.ID), ID: r.ID})
		}
	}
	l.Guarded = Loss{Name: "near misses watched", Keepers: len(s.keepers[guarded]), NearStops: true}
	l.Bare = Loss{Name: "near misses not watched", Keepers: len(s.keepers[bare])}

	// Every line has dice of its own, so that neither the other lines nor the number of processors can
	// change it.
	var lines sync.WaitGroup
	for i := range l.Rules {
		lines.Go(func() { s.simulate(&l.Rules[i], int(l.Rules[i].ID)) })
	}
	lines.Go(func() { s.simulate(&l.Guarded, guarded) })
	lines.Go(func() { s.simulate(&l.Bare, bare) })
	lines.Go(func() { s.falseStops(&l) })
	lines.Wait()
	l.All = together(l.Guarded, l.Bare, int(top))
	return l, nil
}

// Only leaves the lines of some rules; the sums stay those of the whole list.
func (l Losses) Only(rules patterns.Set) Losses {
	l.Rules = slices.DeleteFunc(slices.Clone(l.Rules), func(r Loss) bool { return !rules.Has(r.ID) })
	return l
}

// Beside the rules, the lists of keepers and the dice have these numbers.
const (
	guarded = 64 + iota
	bare
	randomNotes
	numbers
)

// A simulation is what all lines share.
type simulation struct {
	Misreading
	book    *patterns.Book
	watch   patterns.Watch
	top     patterns.Digits
	chances chances
	keepers [numbers][]patterns.Digits
}

// walk collects the serials 1 to top that begin with the prefix and meet a watched rule.
func (s *simulation) walk(prefix []byte, value patterns.Digits) {
	match, _ := s.book.Possible(string(prefix))
	if match &= s.watch.Hit; match == 0 {
		return
	}
	if len(prefix) == patterns.Places {
		if value >= 1 && value <= s.top {
			s.take(value, match)
		}
		return
	}
	for c := byte(0); c < 10; c++ {
		next := value + patterns.Digits(c)*worth[len(prefix)]
		if next <= s.top {
			s.walk(append(prefix, '0'+c), next)
		}
	}
}

func (s *simulation) take(keeper patterns.Digits, match patterns.Set) {
	for _, id := range match.IDs() {
		s.keepers[id] = append(s.keepers[id], keeper)
	}
	group := bare
	if match&s.watch.Near != 0 {
		group = guarded
	}
	s.keepers[group] = append(s.keepers[group], keeper)
}

// simulate fills in what is lost of the keepers with that number.
func (s *simulation) simulate(l *Loss, number int) {
	keepers := s.keepers[number]
	if len(keepers) == 0 {
		return
	}
	dice := newDice(s.Seed, number)
	digits, swaps := s.singles(keepers, dice)
	once := s.draw(keepers, dice, s.chances.exactlyOne())
	more := s.draw(keepers, dice, s.chances.atLeast(2))

	digit, swap, twice := s.chances[1][0], s.chances[0][1], s.chances.sum(2)
	var one, hitsOnly figure
	one.add(digit, digits.found)
	one.add(swap, swaps.found)
	hitsOnly.add(digit, digits.hitsOnly)
	hitsOnly.add(swap, swaps.hitsOnly)
	hitsOnly.add(twice, more.hitsOnly)
	found, typed, again := one, one, one
	found.add(twice, more.found)
	// The walk knows exactly which single misreadings are passed without a stop; what the re-reads lose
	// besides is drawn.
	typed.add(digit+swap, once.typed.beyond(once.found))
	typed.add(twice, more.typed)
	again.add(digit+swap, once.again.beyond(once.found))
	again.add(twice, more.again)

	l.Per = Lost{found.value, one.value, typed.value, again.value, hitsOnly.value}.times(100_000)
	l.Noise = 100_000 * max(found.noise(), typed.noise(), again.noise(), hitsOnly.noise())
	l.Straps = l.Per.times(float64(l.Keepers) / float64(s.top)) // a thousand straps are 100,000 notes
}

// together adds up two lines that share no keeper.
func together(a, b Loss, top int) Loss {
	sum := Loss{Name: "all keepers", Keepers: a.Keepers + b.Keepers}
	if sum.Keepers == 0 {
		return sum
	}
	part := func(l Loss) float64 { return float64(l.Keepers) / float64(sum.Keepers) }
	x, y := a.Per.times(part(a)), b.Per.times(part(b))
	sum.Per = Lost{x.Found + y.Found, x.One + y.One, x.Typed + y.Typed, x.Again + y.Again, x.HitsOnly + y.HitsOnly}
	na, nb := float64(a.Noise*part(a)), float64(b.Noise*part(b))
	sum.Noise = math.Sqrt(float64(na*na) + float64(nb*nb))
	sum.Straps = sum.Per.times(float64(sum.Keepers) / float64(top))
	return sum
}

func (l Lost) times(x float64) Lost {
	return Lost{float64(l.Found * x), float64(l.One * x), float64(l.Typed * x), float64(l.Again * x), float64(l.HitsOnly * x)}
}

// Passed has the shares of readings by which a keeper is lost, named as in Lost.
type passed struct{ found, typed, again, hitsOnly share }

// singles walks all single misreadings, digits and swaps apart, of all keepers of a line, or of some.
func (s *simulation) singles(keepers []patterns.Digits, dice *dice) (digits, swaps passed) {
	count, drawn := len(keepers), 0
	if count > walked {
		count, drawn = walked, walked
	}
	for i := range count {
		d := keepers[i]
		if drawn > 0 {
			d = keepers[dice.below(len(keepers))]
		}
		right := apart(d)
		for place, here := range right {
			for to := range uint8(10) {
				if to != here {
					digits.add(s.look(d - patterns.Digits(here)*worth[place] + patterns.Digits(to)*worth[place]))
				}
			}
		}
		for place := range patterns.Places - 1 {
			swaps.add(s.look(whole(swapped(right, place))))
		}
	}
	// The many readings of one keeper are not independent: a draw is a keeper.
	for _, p := range []*passed{&digits, &swaps} {
		p.found.draws, p.hitsOnly.draws = drawn, drawn
	}
	return digits, swaps
}

// add counts a typed serial that stops by a near miss, or is a hit, or neither.
func (p *passed) add(near, hit bool) {
	p.found.add(!near && !hit)
	p.hitsOnly.add(!hit)
}

// look reports whether a typed serial stops the sorter by a near miss, and whether it is a hit.
func (s *simulation) look(typed patterns.Digits) (near, hit bool) {
	m, n := s.book.Sets(typed)
	return n&s.watch.Near != 0, m&s.watch.Hit != 0
}

// draw takes as many readings of random keepers as a line has notes, each with numbers of misreadings
// drawn from the list, and has each near miss that stops read again.
func (s *simulation) draw(keepers []patterns.Digits, dice *dice, list mixture) (p passed) {
	if list.total == 0 {
		return p // such readings do not occur
	}
	for range s.Notes {
		note := keepers[dice.below(len(keepers))]
		digits, swaps := list.pick(dice)
		typed := dice.misread(note, digits, swaps)
		near, hit := s.look(typed)
		p.add(near, hit)
		if hit || !near {
			p.typed.add(!hit)
			p.again.add(!hit)
			continue
		}
		again, restored := dice.slips(s.Misreading), s.restores(note, digits+swaps)
		p.typed.add(!restored && s.spent(note, typed, func([]uint8) {}))
		p.again.add(!(restored && !again.any()) && s.spent(note, typed, func(right []uint8) {
			again.apply(right, dice)
			again = dice.slips(s.Misreading) // a re-read can lead to another
		}))
	}
	for _, x := range []*share{&p.found, &p.typed, &p.again, &p.hitsOnly} {
		x.draws = x.of
	}
	return p
}

// restores reports whether the re-read, read right, must give the note's serial: the one change that
// was made is among those that make a watched rule, so its places are asked for. This is the guarantee,
// and saves looking for the places.
func (s *simulation) restores(note patterns.Digits, misreadings int) bool {
	match, _ := s.book.Sets(note)
	return misreadings == 1 && match&s.watch.Hit&s.watch.Near != 0
}

// spent goes through the re-read of a near miss as triage.InHand has it, until the note is spent
// (true) or a hit. misread is given the doubtful digits as they are on the note, and may change them
// into what is typed.
func (s *simulation) spent(note, typed patterns.Digits, misread func(right []uint8)) bool {
	right := apart(note)
	for {
		near, hit := s.look(typed)
		if hit || !near {
			return !hit
		}
		doubtful := s.book.Judge(typed).Doubtful(s.watch.Near)
		var answer []uint8
		for i, c := range right {
			if doubtful>>i&1 == 1 {
				answer = append(answer, c)
			}
		}
		misread(answer)
		digits := apart(typed)
		for i := range digits {
			if doubtful>>i&1 == 1 {
				digits[i], answer = answer[0], answer[1:]
			}
		}
		if whole(digits) == typed {
			return true // the same digits again: the near miss is spent
		}
		typed = whole(digits)
	}
}

// falseStops draws random notes that are misread somewhere, and counts those that stop only therefore. A
// note that stops is rare, so it takes ten times as many notes as a line.
func (s *simulation) falseStops(l *Losses) {
	list := s.chances.atLeast(1)
	if list.total == 0 {
		return
	}
	dice := newDice(s.Seed, randomNotes)
	var either, hits share
	for range 10 * s.Notes {
		note := patterns.Digits(1 + dice.below(int(s.top)))
		digits, swaps := list.pick(dice)
		near, hit := s.look(note)
		nearTyped, hitTyped := s.look(dice.misread(note, digits, swaps))
		either.add(!near && !hit && (nearTyped || hitTyped))
		hits.add(!hit && hitTyped)
	}
	either.draws, hits.draws = either.of, hits.of
	var e, h figure
	e.add(l.Once, either)
	h.add(l.Once, hits)
	l.FalsePerStrap, l.FalseHitsOnly = strap*e.value, strap*h.value
	l.FalseNoise = strap * max(e.noise(), h.noise())
}
