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

// A Judgement is everything a book knows about one serial. A solid is told as a solid, not as a
// radar and all the other names that fit it, too; likewise a ladder is not told as a broken one. Match
// has all of them.
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

// Judge gives everything the book knows about one serial.
func (b *Book) Judge(d Digits) Judgement {
	j := Judgement{Digits: d}
	j.match, j.near = b.Sets(d)
	j.Findings = b.findings(d, j.match)
	j.Near = b.nearMisses(d, j.near)
	return j
}

func (b *Book) findings(d Digits, match Set) []Finding {
	match = told(match)
	var list []Finding
	for _, r := range b.specs {
		if !match.Has(r.ID) {
			continue
		}
		f := Finding{Rule: r.ID, Places: 0xff}
		if r.places != nil {
			f.Places = r.places(d.all())
		}
		if r.detail != nil {
			f.Detail = r.detail(d)
		}
		list = append(list, f)
	}
	return list
}

// told leaves out the rules that another name says better.
func told(match Set) Set {
	if match.Has(Solid) {
		match &= 1<<Solid | ownRules
	}
	if match.Has(LadderUp) || match.Has(LadderDown) {
		match = match.Without(BrokenLadder)
	}
	return match
}

// nearMisses tries every edit and keeps those that make one of the rules.
func (b *Book) nearMisses(d Digits, near Set) []NearMiss {
	if near == 0 {
		return nil
	}
	var changes [64][]Change
	eachChange(d, func(c Change) {
		for _, id := range (b.matches(d.apply(c)) & near).IDs() {
			changes[id] = append(changes[id], c)
		}
	})
	var list []NearMiss
	for _, r := range b.specs {
		if near.Has(r.ID) {
			list = append(list, NearMiss{Rule: r.ID, Changes: changes[r.ID]})
		}
	}
	return list
}

// eachChange gives every digit that could be another, from the left, and then every swap of two
// neighbours that differ: at most 72 and 7.
func eachChange(d Digits, try func(Change)) {
	digits := d.all()
	for i, here := range digits {
		for to := byte(0); to < 10; to++ {
			if to != here {
				try(Change{Pos: i, To: to})
			}
		}
	}
	for i := 0; i+1 < Places; i++ {
		if digits[i] != digits[i+1] {
			try(Change{Pos: i, Swap: true})
		}
	}
}
