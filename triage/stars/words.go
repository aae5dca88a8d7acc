package stars

import (
	"fmt"
	"strings"

	"app/unband/triage"
)

// Sentences says the finding in plain words, the most important first. A run of limit notes or fewer
// is called short; see ShortRun.
func (f Finding) Sentences(limit int) []string {
	var said []string
	switch f.Status {
	case NotReady:
		return []string{f.notReady()}
	case NoList:
		return []string{fmt.Sprintf("No run of %v is known yet: look it up once, for every star of the group.", f.Star.Group()), f.slot()}
	case InRun:
		said = append(said, f.inRun(limit))
		if f.Other.From > 0 {
			said = append(said, f.twice())
		}
	case Gap:
		said = append(said, f.gap())
	case Beyond:
		said = append(said, f.beyond())
	}
	return append(said, f.total(), f.slot())
}

func (f Finding) notReady() string {
	if f.Star.Front {
		return "Its star stands in front: a silver certificate or United States note, whose letters name no bank. No list of runs is kept for them here."
	}
	var missing []string
	if f.Star.Bank == 0 {
		missing = append(missing, "its bank")
	}
	if f.Star.Series == "" {
		missing = append(missing, "its series")
	}
	if len(missing) == 0 {
		return "It cannot be looked up: a denomination and a number from 00000001 on are needed."
	}
	return "It cannot be looked up yet: " + strings.Join(missing, " and ") + " must be known."
}

func (f Finding) inRun(limit int) string {
	said := fmt.Sprintf("Run: %s notes, %v to %v", triage.Thousands(f.Size), f.Run.From, f.Run.To)
	if f.Parts > 1 {
		said = fmt.Sprintf("Run: %s notes, listed in %d parts; the number is in the part %v to %v",
			triage.Thousands(f.Size), f.Parts, f.Run.From, f.Run.To)
	}
	if f.Short(limit) {
		said += fmt.Sprintf("; a short run (%s or fewer: common practice)", triage.Thousands(limit))
	}
	return said + "; " + f.Run.printed() + "."
}

// printed says where and when.
func (r Run) printed() string {
	switch {
	case r.Facility == AnyFacility && r.Month == 0:
		return "where and when it was printed is not listed"
	case r.Month == 0:
		return "printed in " + r.Facility.String() + ", month not listed"
	case r.Facility == AnyFacility:
		return fmt.Sprintf("printed in %v, facility not listed", r.Month)
	}
	return fmt.Sprintf("printed in %v in %v", r.Facility, r.Month)
}

func (f Finding) twice() string {
	return fmt.Sprintf("The number was printed twice, also from %v to %v (%s): FW before the plate number on the face is Fort Worth's.",
		f.Other.From, f.Other.To, f.Other.printed())
}

func (f Finding) gap() string {
	return fmt.Sprintf("Read the number and the series once more: %v lies in a gap. The run before it stopped at %v and the next begins with %v, so as far as the list goes it was never printed.",
		f.Star.Number, f.Below.To, f.Above.From)
}

func (f Finding) beyond() string {
	if f.Other.From > 0 {
		return fmt.Sprintf("The list has this number from %v only, and the note is from %v: the run of its own plant is missing from the list.", f.Other.Facility, f.Star.Facility)
	}
	if f.Above.From > 0 {
		return fmt.Sprintf("The list knows no run at the beginning of this slot, though it knows later ones: it lacks a run, or the number is misread. Look at it once more (%v).", f.Star.Number)
	}
	return fmt.Sprintf("Unknown: %v is above the last number that the list knows, %v. The list may be older than the note; no more can be said.",
		f.Star.Number, f.Below.To)
}

func (f Finding) total() string {
	runs := fmt.Sprintf("%d known runs", f.Runs)
	if f.Runs == 1 {
		runs = "1 known run"
	}
	return fmt.Sprintf("District total: %s notes of %v in %s; list of %s.",
		triage.Thousands(f.Total), f.Star.Group(), runs, date(f.Listed))
}

func (f Finding) slot() string {
	said := fmt.Sprintf("Slot %d: %v to %v", f.Slot.Number, f.Slot.From, f.Slot.To)
	if !f.Slot.Published {
		said += fmt.Sprintf(" (slots of %s for this series are common practice)", triage.Thousands(slotSize(f.Star.Series)))
	}
	return said + "."
}
