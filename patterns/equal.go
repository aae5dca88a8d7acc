package patterns

// The rules that speak only of which digits are equal.

// equalRules gives them under the settings.
func equalRules(s Settings) []spec {
	rules := []spec{
		radar(),
		equal(SuperRadar, "super radar", "the two outer digits are equal, the six between are all another", "[GL][SP3]", "P", 29999992, isSuperRadar),
		equal(RadarRepeater, "radar-repeater", "both a radar and a repeater, ABBAABBA, two different digits", "[PF][AZ]", "P", 96699669, isRadarRepeater),
		equal(Repeater, "repeater", "the first four digits come again as the last four", "[PF][GL]", "P", 50715071, isRepeater),
		equal(SuperRepeater, "super repeater", "two different digits, four times over", "[NJ]", "P", 38383838, isSuperRepeater),
		equal(Trinary, "trinary", "exactly three different digits", "common practice", "C", 40400949, kindsAre(3)),
		equal(DoubleQuad, "double quad", "four of one digit, then four of another", "[SP3]", "P", 55558888, isDoubleQuad),
		equal(AllDifferent, "all different", "eight different digits", "[CT14]", "P", 70351948, kindsAre(8)),
		inRow(FourInRow, "four in a row", 4, 12277773),
		inRow(FiveInRow, "five in a row", 5, 12377777),
		inRow(SixInRow, "six in a row", 6, 12777777),
		inRow(SevenInRow, "seven in a row", 7, 66666661),
		alike(FiveAlike, "five alike", 5, 36363313),
		alike(SixAlike, "six alike", 6, 66166266),
		alike(SevenAlike, "seven alike", 7, 66616666),
		bookends(Bookends2, "two-digit bookends", 2, 41730841),
		bookends(Bookends3, "three-digit bookends", 3, 20593205),
		alternator(),
		fourPairs(s.FourDifferent),
	}
	if s.Binary != ZeroAndOne {
		rules = append(rules, equal(Binary, "binary", "exactly two different digits, whichever they are", "[FO]; the grading body wants 0 and 1 [PF]", "P", 77277722, kindsAre(2)))
	}
	if !s.SolidAlso {
		for i, r := range rules {
			if r.shape(&form{}) {
				rules[i].shape = notSolid(r.shape)
				rules[i].Definition += "; a solid does not count"
			}
		}
	}
	return append(rules, equal(Solid, "solid", "all eight digits alike", "[PF][AZ]", "P", 44444444, isSolid))
}

func equal(id ID, name, definition, source, sure string, example Digits, shape func(*form) bool) spec {
	return spec{
		Rule:  Rule{ID: id, Name: name, Definition: definition, Source: source, Sure: sure, Example: example},
		shape: shape,
	}
}

func isSolid(f *form) bool { return f.kinds() == 1 }

func notSolid(shape func(*form) bool) func(*form) bool {
	return func(f *form) bool { return !isSolid(f) && shape(f) }
}

func kindsAre(k int) func(*form) bool {
	return func(f *form) bool { return f.kinds() == k }
}

// radar tells how many different digits there are: people speak of two-, three- and four-digit
// radars [ED].
func radar() spec {
	r := equal(Radar, "radar", "reads the same from both ends", "[PF][AZ][ED]", "P", 70633607, isRadar)
	r.detail = func(d Digits) string {
		f := form(d.all())
		canonical(&f)
		return count(f.kinds()) + " different digits"
	}
	return r
}

func isRadar(f *form) bool {
	return f[0] == f[7] && f[1] == f[6] && f[2] == f[5] && f[3] == f[4]
}

func isRepeater(f *form) bool {
	return f[0] == f[4] && f[1] == f[5] && f[2] == f[6] && f[3] == f[7]
}

func isRadarRepeater(f *form) bool { return isRadar(f) && isRepeater(f) && !isSolid(f) }
func isSuperRadar(f *form) bool    { return *f == form{0, 1, 1, 1, 1, 1, 1, 0} }
func isSuperRepeater(f *form) bool { return *f == form{0, 1, 0, 1, 0, 1, 0, 1} }
func isDoubleQuad(f *form) bool    { return *f == form{0, 0, 0, 0, 1, 1, 1, 1} }

func inRow(id ID, name string, n int, example Digits) spec {
	r := equal(id, name, "the longest run of one digit is exactly "+count(n)+" long", "common practice", "C", example,
		func(f *form) bool { return longestRun(f) == n })
	r.places = func(d [Places]uint8) uint8 { return runPlaces(d, n) }
	if n == 7 {
		r.Source, r.Sure = "[VC] has 1 in 138,889, which is seven alike; the count of runs is computed", "P"
	}
	return r
}

func longestRun(f *form) int {
	longest, run := 1, 1
	for i := 1; i < Places; i++ {
		if f[i] != f[i-1] {
			run = 0
		}
		run++
		longest = max(longest, run)
	}
	return longest
}

// runPlaces gives the places of every run of that length.
func runPlaces(d [Places]uint8, n int) (mask uint8) {
	for i := 0; i+n <= Places; i++ {
		run := 1
		for run < n && d[i+run] == d[i] {
			run++
		}
		if run == n {
			mask |= (1<<n - 1) << i
		}
	}
	return mask
}

func alike(id ID, name string, n int, example Digits) spec {
	r := equal(id, name, "one digit occurs exactly "+count(n)+" times, anywhere", "common practice", "C", example,
		func(f *form) bool { return mostAlike(f) == n })
	r.places = mostPlaces
	if n == 7 {
		r.Source, r.Sure = "[VC], odds of 1 in 138,889", "P"
	}
	return r
}

func mostAlike(f *form) int {
	var times [Places]int
	most := 0
	for _, c := range f {
		times[c]++
		most = max(most, times[c])
	}
	return most
}

// mostPlaces gives the places of the digit that occurs most often.
func mostPlaces(d [Places]uint8) (mask uint8) {
	var at [10]uint8
	var times [10]int
	best := d[0]
	for i, c := range d {
		at[c] |= 1 << i
		times[c]++
		if times[c] > times[best] {
			best = c
		}
	}
	return at[best]
}

func bookends(id ID, name string, n int, example Digits) spec {
	words := count(n) + " digits"
	r := equal(id, name, "the first "+words+" come again, in the same order, as the last "+words, "[FO]", "P", example,
		func(f *form) bool {
			for i := 0; i < n; i++ {
				if f[i] != f[Places-n+i] {
					return false
				}
			}
			return true
		})
	ends := uint8(1)<<n - 1
	r.places = func([Places]uint8) uint8 { return ends | ends<<(Places-n) }
	return r
}

func alternator() spec {
	r := equal(Alternator, "alternator", "every other digit is the same", "common practice", "C", 50607080,
		func(f *form) bool { return steady(*f, 0) || steady(*f, 1) })
	r.places = func(d [Places]uint8) (mask uint8) {
		if steady(d, 0) {
			mask |= 0b01010101
		}
		if steady(d, 1) {
			mask |= 0b10101010
		}
		return mask
	}
	return r
}

// steady reports whether every other digit from the first on is the same.
func steady(d [Places]uint8, first int) bool {
	for i := first + 2; i < Places; i += 2 {
		if d[i] != d[first] {
			return false
		}
	}
	return true
}

func fourPairs(different bool) spec {
	definition := "four pairs, AABBCCDD; two pairs may be the same digit"
	if different {
		definition = "four pairs of four different digits, AABBCCDD"
	}
	return equal(FourPairs, "four pairs", definition, "[FO]", "P", 11440088, func(f *form) bool {
		pairs := f[0] == f[1] && f[2] == f[3] && f[4] == f[5] && f[6] == f[7]
		return pairs && (!different || f.kinds() == 4)
	})
}

// count writes a small number as a word.
func count(n int) string {
	return [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight"}[n]
}
