package patterns

import "testing"

// The bars: judging 20 million serials a second on one core without allocation, and any price and
// all counts of a highest serial in less than 50 ms.

func benchBooks(b *testing.B, run func(*testing.B, *Book)) {
	b.Run("default", func(b *testing.B) { run(b, defaultBook(b)) })
	b.Run("own", func(b *testing.B) {
		run(b, bookOf(b, func(s *Settings) {
			s.Templates = []Template{{Pattern: "ABBACDDC"}, {Pattern: "??1234??"}, {Pattern: "ABC1ABCD"}}
			s.Numbers = []OwnNumber{{Number: "1607"}, {Number: "19770707"}, {Number: "88", Place: End}}
			s.FromYear, s.ToYear = 1, 9999
		}))
	})
}

func BenchmarkSets(b *testing.B) {
	benchBooks(b, func(b *testing.B, book *Book) {
		b.ReportAllocs()
		d := Digits(1)
		var match, near Set
		for b.Loop() {
			d = (d*1103515245 + 12345) % Total
			m, n := book.Sets(d)
			match, near = match|m, near|n
		}
		b.ReportMetric(1e3/(float64(b.Elapsed().Nanoseconds())/float64(b.N)), "M/s")
		if match == 0 || near == 0 {
			b.Error("nothing was judged")
		}
	})
}

func BenchmarkJudge(b *testing.B) {
	book := defaultBook(b)
	d := Digits(1)
	for b.Loop() {
		d = (d*1103515245 + 12345) % Total
		book.Judge(d)
	}
}

func BenchmarkPossible(b *testing.B) {
	book := defaultBook(b)
	for b.Loop() {
		book.Possible("7063360")
	}
}

func BenchmarkPrice(b *testing.B) {
	benchBooks(b, func(b *testing.B, book *Book) {
		all := Watch{Hit: ^Set(0), Near: ^Set(0)}
		for _, w := range []struct {
			name  string
			watch Watch
		}{
			{"default", book.DefaultWatch()}, {"everything", all}, {"hits", Watch{Hit: ^Set(0)}},
			{"dates", Watch{Near: 1<<Date | 1<<Trinary}}, {"common", Watch{Near: 1<<Date | 1<<Bookends2 | 1<<Flipper}},
		} {
			b.Run(w.name, func(b *testing.B) {
				for top := Digits(96_000_000); b.Loop(); top-- { // never the top the book remembers
					book.Price(w.watch, top)
				}
			})
		}
	})
}

func BenchmarkCounts(b *testing.B) {
	benchBooks(b, func(b *testing.B, book *Book) {
		for top := Digits(96_000_000); b.Loop(); top-- {
			for _, r := range book.specs {
				book.Count(r.ID, top)
				book.NearCount(r.ID, top)
			}
		}
	})
}

func BenchmarkSettling(b *testing.B) {
	benchBooks(b, func(b *testing.B, book *Book) {
		w := book.DefaultWatch()
		for b.Loop() {
			book.Settling(w, 96_000_000)
		}
	})
}

func BenchmarkNewBook(b *testing.B) {
	b.Run("default", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			defaultBook(b)
		}
	})
	b.Run("narrow", func(b *testing.B) {
		for b.Loop() {
			bookOf(b, func(s *Settings) { *s = Settings{} })
		}
	})
	b.Run("own", func(b *testing.B) {
		for b.Loop() {
			bookOf(b, func(s *Settings) {
				s.Templates = []Template{{Pattern: "ABBACDDC"}, {Pattern: "??1234??"}}
				s.Numbers = []OwnNumber{{Number: "1607"}, {Number: "88", Place: End}}
			})
		}
	})
	b.Run("hard", func(b *testing.B) {
		for b.Loop() {
			bookOf(b, func(s *Settings) { s.Templates = []Template{{Pattern: "ABC1ABCD"}, {Pattern: "ABCDABC1"}} })
		}
	})
}
