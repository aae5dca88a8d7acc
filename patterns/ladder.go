package patterns

// Ladders, and what people call ladders.

func ladderRules(s Settings) []spec {
	return []spec{
		ladder(LadderUp, "ladder up", "each digit is one more than the digit before", 1, s.LadderZero, 12345678),
		ladder(LadderDown, "ladder down", "each digit is one less than the digit before", -1, s.LadderZero, 76543210),
		ladderRadar(),
		steps(SevenSteps, "seven-digit straight", 7, 12345679),
		steps(SixSteps, "six-digit straight", 6, 83456781),
		brokenLadder(s.LadderZero),
		stutteringLadder(),
		skippingLadder(s.LadderZero),
		partialLadder(),
	}
}

// ladderStarts gives the first digits from which eight steps up stay within what the setting
// allows. A ladder down is one of these, read from the other end.
func ladderStarts(zero LadderZero) int {
	switch zero {
	case ZeroAsTen:
		return 4 // 3 4 5 6 7 8 9 0 is the last
	case AnyWrap:
		return 10
	}
	return 3
}

func ladder(id ID, name, definition string, step int, zero LadderZero, example Digits) spec {
	source := "[AZ][VC]"
	switch zero {
	case ZeroAsTen:
		definition += "; zero may be the low end or, as ten, the high end"
		source = "[PF]"
	case AnyWrap:
		definition += "; zero and nine are neighbours"
		source = "[GL]"
	}
	return spec{
		Rule: Rule{ID: id, Name: name, Definition: definition, Source: source, Sure: "P", Example: example},
		tree: func(f *forest) tree {
			all := none
			for start := 0; start < ladderStarts(zero); start++ {
				word := every
				for i := 0; i < Places; i++ {
					digit := (start + i) % 10
					if step > 0 {
						digit = (start + Places - 1 - i) % 10
					}
					word = f.digit(digit, word)
				}
				all = f.union(all, word)
			}
			return all
		},
	}
}

func ladderRadar() spec {
	return spec{
		Rule: Rule{ID: LadderRadar, Name: "ladder radar", Definition: "a radar whose halves are ladders of four digits",
			Source: "common practice", Sure: "C", Example: 12344321},
		tree: func(f *forest) tree {
			all := none
			for low := 0; low+3 <= 9; low++ {
				up := low*1000 + (low+1)*100 + (low+2)*10 + low + 3
				down := (low+3)*1000 + (low+2)*100 + (low+1)*10 + low
				all = f.union(all, f.number(up*10_000+down, Places, every))
				all = f.union(all, f.number(down*10_000+up, Places, every))
			}
			return all
		},
	}
}

// A straight is what the longest run of steps in one direction looks like so far.
type straight struct {
	last, way, run, longest int8 // way: 1 up, -1 down, 0 none
}

func (s straight) read(digit int) straight {
	way := int8(0)
	switch d := int8(digit); {
	case s.run > 0 && d == s.last+1:
		way = 1
	case s.run > 0 && d == s.last-1:
		way = -1
	}
	switch {
	case way != 0 && way == s.way:
		s.run++
	case way != 0:
		s.run = 2
	default:
		s.run = 1
	}
	s.way, s.last, s.longest = way, int8(digit), max(s.longest, s.run)
	return s
}

func steps(id ID, name string, n int, example Digits) spec {
	return spec{
		Rule: Rule{ID: id, Name: name, Definition: "the longest run of digits stepping up or down by one is exactly " + count(n) + " digits; zero does not follow nine",
			Source: "common practice", Sure: "C", Example: example},
		tree: func(f *forest) tree {
			return scan(f, Places, straight{}, straight.read, func(s straight) bool { return int(s.longest) == n })
		},
		places: func(d [Places]uint8) uint8 { return straightPlaces(d, n) },
	}
}

// straightPlaces gives the places of every straight of that length.
func straightPlaces(d [Places]uint8, n int) (mask uint8) {
	var s straight
	for i, c := range d {
		if s = s.read(int(c)); int(s.run) == n {
			mask |= (1<<n - 1) << (i + 1 - n)
		}
	}
	return mask
}

// brokenLadder is the digits of a ladder in any order. A ladder is one by that count (120,960), but
// Judge calls it a ladder only.
func brokenLadder(zero LadderZero) spec {
	starts := ladderStarts(zero)
	return spec{
		Rule: Rule{ID: BrokenLadder, Name: "broken ladder", Definition: "eight consecutive digits in any order",
			Source: "common practice; purists say no such thing", Sure: "C", Example: 57683421},
		tree: func(f *forest) tree {
			all := none
			for start := 0; start < starts; start++ {
				set := 0
				for i := 0; i < Places; i++ {
					set |= 1 << ((start + i) % 10)
				}
				all = f.union(all, scan(f, Places, set, strike, func(left int) bool { return left == 0 }))
			}
			return all
		},
	}
}

// strike takes a digit off the set of those still to come; -1 is a set that cannot be met any more.
func strike(left, digit int) int {
	if left < 0 || left>>digit&1 == 0 {
		return -1
	}
	return left &^ (1 << digit)
}

// stutteringLadder is a ladder of seven digits with one of them twice.
func stutteringLadder() spec {
	return spec{
		Rule: Rule{ID: StutteringLadder, Name: "stuttering ladder", Definition: "a ladder of seven digits, one of them twice; not accepted by all",
			Source: "[AZ][NJ]", Sure: "P", Example: 22345678},
		tree: func(f *forest) tree {
			all := none
			for low := 0; low+6 <= 9; low++ {
				for twice := 0; twice < 7; twice++ {
					up, down := every, every
					for i := 0; i < Places; i++ {
						step := i
						if i > twice {
							step--
						}
						up = f.digit(low+6-step, up)
						down = f.digit(low+step, down)
					}
					all = f.union(all, f.union(up, down))
				}
			}
			return all
		},
	}
}

// skippingLadder rises or falls all the way, but with gaps.
func skippingLadder(zero LadderZero) spec {
	type state struct{ last, way int8 } // way: 2 nothing yet, 0 broken
	read := func(s state, digit int) state {
		d := int8(digit)
		switch {
		case s.last < 0:
			return state{d, 2}
		case s.way != 0 && d > s.last && s.way != -1:
			return state{d, 1}
		case s.way != 0 && d < s.last && s.way != 1:
			return state{d, -1}
		}
		return state{0, 0}
	}
	return spec{
		Rule: Rule{ID: SkippingLadder, Name: "skipping ladder", Definition: "every digit is higher than the one before, or every digit lower, with at least one gap; not accepted by all",
			Source: "[AZ][NJ]", Sure: "P", Example: 12345689},
		tree: func(f *forest) tree {
			t := scan(f, Places, state{-1, 0}, read, func(s state) bool { return s.way != 0 })
			for _, way := range []int{1, -1} {
				t = f.without(t, ladder(0, "", "", way, zero, 0).tree(f))
			}
			return t
		},
	}
}

// partialLadder is a ladder of four to six digits with nothing but zeros before or after it. With
// seven digits and one zero it is a seven-digit straight, or a ladder where zero counts as ten.
func partialLadder() spec {
	return spec{
		Rule: Rule{ID: PartialLadder, Name: "partial ladder", Definition: "four to six digits of a ladder, filled up with zeros before or after; not accepted by all",
			Source: "[AZ][NJ]", Sure: "P", Example: 34567},
		tree: func(f *forest) tree {
			all := none
			for n := 4; n <= 6; n++ {
				for low := 1; low+n-1 <= 9; low++ {
					for _, way := range []int{1, -1} {
						all = f.union(all, f.union(padded(f, low, n, way, 0), padded(f, low, n, way, Places-n)))
					}
				}
			}
			return all
		},
	}
}

// padded gives a ladder of n digits with so many zeros before it and the rest after it.
func padded(f *forest, low, n, way, zeros int) tree {
	word := f.number(0, Places-n-zeros, every)
	for i := 0; i < n; i++ {
		if way > 0 {
			word = f.digit(low+n-1-i, word)
		} else {
			word = f.digit(low+i, word)
		}
	}
	return f.number(0, zeros, word)
}
