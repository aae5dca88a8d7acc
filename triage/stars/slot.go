package stars

import "app/unband/patterns"

// A Slot is the block of numbers that a star run is given. The run may stop before the end of it; the
// next run begins with the next slot, and the numbers between do not exist.
type Slot struct {
	Number   int // from 1
	From, To patterns.Digits

	// Published says that the size of the slot and its rule come from a published source: expert posts
	// on run sizes [CT6], for Series 1996 and later. Otherwise it is common practice.
	Published bool
}

// Numbers is how many numbers the slot has; the last one is cut off at 99,999,999.
func (s Slot) Numbers() int { return int(s.To) - int(s.From) + 1 }

// Sizes of a slot. 100,000 sheets of 32 notes make 3,200,000 (expert posts on run sizes, [CT6]);
// until about 1983 it was 20,000 sheets, 640,000 notes: common practice, no source to cite.
const (
	slotNumbers    = 3_200_000
	oldSlotNumbers = 640_000
)

// SlotOf gives the slot of a number from 1 on. Series up to 1981 were printed until about 1983 and
// have the small slots; which series those are is common practice too. Of Series 1981A to 1995 partial
// runs with gaps inside are told, so their slots do not count as published either.
func SlotOf(series string, n patterns.Digits) Slot {
	size := patterns.Digits(slotSize(series))
	i := (max(n, 1) - 1) / size
	return Slot{
		Number: int(i) + 1,
		From:   i*size + 1, To: min((i+1)*size, patterns.Total-1),
		Published: year(series) >= 1996,
	}
}

// slotSize is how many numbers a slot of the series has.
func slotSize(series string) int {
	if CompareSeries(series, "1981") <= 0 {
		return oldSlotNumbers
	}
	return slotNumbers
}
