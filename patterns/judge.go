package patterns

// A Change is one edit of a serial: the digit at Pos becomes To, or, when Swap is set, the digits
// at Pos and Pos+1 change places.
type Change struct {
	Pos  int  // 0 to 7 from the left
	To   byte // 0 to 9; meaningless for a swap
	Swap bool
}

// A Finding is one rule a serial matches.
type Finding struct {
	Rule   ID
	Places uint8  // bit i: the digit at place i from the left is one the finding rests on
	Detail string // what the name alone does not say: which date, the user's remark; often empty
}

// A NearMiss is one rule a serial does not match, with every single change that would make it.
type NearMiss struct {
	Rule    ID
	Changes []Change
}

// A Judgement is everything a book knows about one serial. A solid has one finding, though it
// matches other rules too: Match has them all.
type Judgement struct {
	Digits   Digits
	Findings []Finding  // rarest first
	Near     []NearMiss // rarest first

	match, near Set
}

// Match gives the rules the serial matches.
func (j Judgement) Match() Set { return j.match }

// NearSet gives the rules the serial is a near miss of.
func (j Judgement) NearSet() Set { return j.near }

// Doubtful gives the places that decide between the serial as it is and the watched rules it is a
// near miss of: bit i is place i from the left. A swap doubts both its places.
func (j Judgement) Doubtful(watched Set) uint8 {
	var mask uint8
	for _, n := range j.Near {
		if !watched.Has(n.Rule) {
			continue
		}
		for _, c := range n.Changes {
			mask |= c.places()
		}
	}
	return mask
}

func (c Change) places() uint8 {
	if c.Swap {
		return 3 << c.Pos
	}
	return 1 << c.Pos
}
