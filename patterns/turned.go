package patterns

// Serials turned upside down.

func turnedRules(s Settings) []spec { return []spec{rotator(s), flipper(s)} }

// upsideDown gives what a digit reads as when the note is turned, or -1.
func upsideDown(digit int, oneTurns bool) int {
	switch {
	case digit == 0 || digit == 8 || digit == 1 && oneTurns:
		return digit
	case digit == 6 || digit == 9:
		return 15 - digit
	}
	return -1
}

func rotator(s Settings) spec {
	r := Rule{ID: Rotator, Name: "rotator", Sure: "P", Source: "[PF]", Example: 16800891,
		Definition: "reads the same upside down; 0, 1 and 8 stay, 6 and 9 change into each other"}
	if !s.OneTurns {
		r.Source, r.Example = "[CP1]", 90688906
		r.Definition = "reads the same upside down; 0 and 8 stay, 6 and 9 change into each other, 1 does not turn"
	}
	return spec{
		Rule: r,
		tree: func(f *forest) tree {
			t := rotators(f, s.OneTurns)
			if !s.SolidAlso {
				for c := 0; c < 10; c++ {
					t = f.without(t, f.number(c*11111111, Places, every))
				}
			}
			return t
		},
	}
}

func rotators(f *forest, oneTurns bool) tree {
	return f.numbers(4, func(head int) tree {
		tail := every
		for _, c := range []int{head / 1000, head / 100 % 10, head / 10 % 10, head % 10} {
			turned := upsideDown(c, oneTurns)
			if turned < 0 {
				return none
			}
			tail = f.digit(turned, tail)
		}
		return tail
	})
}

func flipper(s Settings) spec {
	return spec{
		Rule: Rule{ID: Flipper, Name: "flipper", Definition: "reads as another number upside down",
			Source: "common practice", Sure: "C", Example: 68009906},
		tree: func(f *forest) tree {
			t := every
			for i := 0; i < Places; i++ {
				t = f.then(func(c int) bool { return upsideDown(c, s.OneTurns) >= 0 }, t)
			}
			return f.without(t, rotators(f, s.OneTurns))
		},
		detail: func(d Digits) string { return "upside down " + turned(d, s.OneTurns).String() },
	}
}

// turned gives the serial read upside down; every digit must turn.
func turned(d Digits, oneTurns bool) Digits {
	var t Digits
	for i := Places - 1; i >= 0; i-- {
		t = t*10 + Digits(upsideDown(int(d.at(i)), oneTurns))
	}
	return t
}
