package patterns

import "fmt"

// Rules about the serial as a number, and about the digits 0 and 1.

func valueRules(s Settings) []spec {
	rules := []spec{trueBinary(s), roundMillion(), tenMillion()}
	if s.LowLimit > 0 {
		rules = append(rules, lowNumber(s.LowLimit))
	}
	if s.HighTo > 0 {
		rules = append(rules, highNumber(s.HighFrom, s.HighTo))
	}
	return rules
}

func trueBinary(s Settings) spec {
	name, definition := "true binary", "only the digits 0 and 1, and both of them"
	if s.Binary == ZeroAndOne {
		name = "binary"
	}
	if !s.BinaryPowers {
		definition += ", but not 1, 10, 100 and so on"
	}
	return spec{
		Rule: Rule{ID: TrueBinary, Name: name, Definition: definition, Source: "[PF][PF2][TY]", Sure: "P", Example: 1101110},
		tree: func(f *forest) tree {
			t := every
			for i := 0; i < Places; i++ {
				t = f.then(func(c int) bool { return c <= 1 }, t)
			}
			t = f.without(t, f.number(0, Places, every))
			t = f.without(t, f.number(11111111, Places, every))
			for _, power := range powers {
				if !s.BinaryPowers {
					t = f.without(t, f.number(int(power), Places, every))
				}
			}
			return t
		},
	}
}

func lowNumber(limit Digits) spec {
	return spec{
		Rule: Rule{ID: LowNumber, Name: "low number", Definition: fmt.Sprintf("serial 1 to %d; 00000000 is not the lowest", limit),
			Source: "[PF] to 10, [GL] to 100, [AZ] one and two digits, [LT] below 10,000", Sure: "P", Example: min(83, limit)},
		tree: func(f *forest) tree { return f.between(1, int(limit), Places) },
	}
}

func highNumber(from, to Digits) spec {
	return spec{
		Rule: Rule{ID: HighNumber, Name: "high number", Definition: fmt.Sprintf("serial %v to %v, near the highest of a block", from, to),
			Source: "[NJ]", Sure: "P", Example: min(from+412, to)},
		tree: func(f *forest) tree { return f.between(int(from), int(to), Places) },
	}
}

func roundMillion() spec {
	return spec{
		Rule: Rule{ID: RoundMillion, Name: "million number", Definition: "1 to 99 followed by six zeros",
			Source: "[PF]", Sure: "P", Example: 7_000_000},
		tree: func(f *forest) tree {
			return f.without(f.numbers(2, func(int) tree { return f.number(0, 6, every) }), f.number(0, Places, every))
		},
	}
}

func tenMillion() spec {
	return spec{
		Rule: Rule{ID: TenMillion, Name: "ten-million number", Definition: "one digit followed by seven zeros",
			Source: "[AZ]", Sure: "P", Example: 40_000_000},
		tree: func(f *forest) tree {
			return f.then(func(c int) bool { return c > 0 }, f.number(0, 7, every))
		},
	}
}
