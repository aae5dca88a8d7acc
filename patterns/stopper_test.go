package patterns

import (
	"math/rand/v2"
	"testing"
)

// A Stopper says what the Book says: of every serial with -long, else of two million and of the ends.
func TestStopperAgreesWithTheBook(t *testing.T) {
	b, err := NewBook(DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	for name, w := range map[string]Watch{
		"default": b.DefaultWatch(), "nothing": {}, "hits of radars": {Hit: Set(0).With(Radar)},
		"near ladders": {Near: Set(0).With(LadderUp).With(LadderDown)}, "all different": {Hit: Set(0).With(AllDifferent)},
	} {
		s := b.Stopper(w)
		check := func(d Digits) {
			if got, want := s.Stops(d), b.Stops(d, w); got != want {
				t.Fatalf("%s: Stopper says %v of %v, the book %v", name, got, d, want)
			}
		}
		if *long {
			for d := range Digits(Total) {
				check(d)
			}
		} else {
			random := rand.New(rand.NewPCG(3, 3))
			for d := range Digits(1000) {
				check(d)
				check(Total - 1 - d)
			}
			for range 2_000_000 {
				check(Digits(random.IntN(Total)))
			}
		}
		zero := 0
		if b.Stops(0, w) {
			zero = 1
		}
		if got, want := s.Count(), b.Price(w, Total-1).Stops()+zero; got != want {
			t.Errorf("%s: %d serials stop by the Stopper, %d by the price", name, got, want)
		}
	}
}

func BenchmarkStopper(b *testing.B) {
	book, _ := NewBook(DefaultSettings())
	w := book.DefaultWatch()
	b.Run("make", func(b *testing.B) {
		for b.Loop() {
			book.Stopper(w)
		}
	})
	random := rand.New(rand.NewPCG(1, 1))
	list := make([]Digits, 1<<20)
	for i := range list {
		list[i] = Digits(random.IntN(Total))
	}
	run := func(name string, stops func(Digits) bool) {
		b.Run(name, func(b *testing.B) {
			n := 0
			for i := 0; b.Loop(); i++ {
				if stops(list[i&(1<<20-1)]) {
					n++
				}
			}
		})
	}
	run("ask", book.Stopper(w).Stops)
	run("ask the book", func(d Digits) bool { return book.Stops(d, w) })
}
