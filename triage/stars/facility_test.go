package stars

import (
	"strings"
	"testing"
)

// T07 with the FW question: of a number printed twice, the run of the note's own plant counts.
func TestThePlantChoosesTheRun(t *testing.T) {
	runs := []Run{
		{Denomination: 1, Series: "2013", Bank: 'B', From: 1, To: 250_000, Facility: Washington},
		{Denomination: 1, Series: "2013", Bank: 'B', From: 1, To: 3_200_000, Facility: FortWorth},
	}
	for facility, want := range map[Facility]int{AnyFacility: 250_000, Washington: 250_000, FortWorth: 3_200_000} {
		s := Star{Denomination: 1, Series: "2013", Bank: 'B', Prefix: "B", Number: 250_000, Facility: facility}
		f := Resolve(s, runs)
		if f.Status != InRun || f.Size != want || f.Other.From == 0 {
			t.Errorf("from %v: %d, run of %d notes, want %d, and the other printing named", facility, f.Status, f.Size, want)
		}
	}
}

// Where the list has the number of the other plant only, it knows nothing of the note.
func TestTheOtherPlantsRunIsNotTheNotes(t *testing.T) {
	runs := []Run{{Denomination: 1, Series: "2013", Bank: 'B', From: 1, To: 250_000, Facility: Washington}}
	f := Resolve(Star{Denomination: 1, Series: "2013", Bank: 'B', Prefix: "B", Number: 250_000, Facility: FortWorth}, runs)
	if said := f.Sentences(ShortRun)[0]; f.Status != Beyond || !strings.Contains(said, "from Washington only") {
		t.Errorf("status %d: %s", f.Status, said)
	}
}
