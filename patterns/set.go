package patterns

import "math/bits"

// A Set is a set of rules, bit i standing for ID i.
type Set uint64

// Has reports whether the set holds the rule.
func (s Set) Has(id ID) bool { return s>>id&1 == 1 }

// With gives the set and the rule.
func (s Set) With(id ID) Set { return s | 1<<id }

// Without gives the set less the rule.
func (s Set) Without(id ID) Set { return s &^ (1 << id) }

// Len is how many rules the set holds.
func (s Set) Len() int { return bits.OnesCount64(uint64(s)) }

// IDs gives the rules of the set by rising number.
func (s Set) IDs() []ID {
	ids := make([]ID, 0, s.Len())
	for ; s != 0; s &= s - 1 {
		ids = append(ids, ID(bits.TrailingZeros64(uint64(s))))
	}
	return ids
}

// ownRules are the rules that users make themselves.
const ownRules Set = 0xffff<<FirstTemplate | 1<<OwnNumbers | 1<<Date
