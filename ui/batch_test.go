package ui

import (
	"testing"

	"app/unband/triage"
	"app/unband/triage/stars"
)

// starBatch keeps three stars and enters the published runs of 2009 New York and Boston that two of
// them belong to (facts 5, fixtures [CT5b] and [CT5]).
func starBatch(b *table) {
	b.begin("Friday float")
	b.play("A06588812* wait + 2009 enter")
	b.play("B07500018* wait + 2009 enter")
	b.play("F01873355* wait + 2017A enter")
	b.play("desk s r 6400001 enter 6720000 enter enter FW enter enter 2013-10-01 enter esc")
	b.play("down r 6400001 enter 6432000 enter enter enter enter enter")
	b.play("9600001 enter 12800000 enter enter enter enter enter esc up")
}

func TestStoryOfTheStarBatch(t *testing.T) {
	b := newTable(t)
	starBatch(b)
	batch := b.app.screen.(*batch)
	want := map[string]stars.Status{"A06588812*": stars.InRun, "B07500018*": stars.Gap, "F01873355*": stars.NoList}
	for _, l := range batch.list {
		for _, s := range l.Stars {
			if got := batch.findings[s.Place].Status; got != want[s.String()] {
				t.Errorf("%s: status %d, want %d", s, got, want[s.String()])
			}
		}
	}
	b.shows("$1 Series 2009 Boston (A)", "320,000")
	b.play("r 6500000 enter 6600000 enter enter enter enter enter")
	b.shows("overlap")               // refused, with the reason
	b.play("esc r B13000001* enter") // another bank's
	b.play("A13100000* enter enter enter enter enter")
	b.shows("before the digits is the bank B")
	b.play("clear A13000001E enter enter enter enter enter enter")
	b.shows("not a star")
	b.play("esc x")
	b.shows("X again takes the run")
	b.play("x")
	b.shows("rest for a second") // a held key takes nothing out
	b.play("wait x wait x")
	if runs, err := b.store.Runs(); err != nil || len(runs) != 2 {
		t.Errorf("%d runs after one was taken out (%v), want 2", len(runs), err)
	}
	b.play("esc")
	b.shows("3 stars kept, 2 to be looked up")
	b.sound()
}

// A star that is spent after all leaves the batch.
func TestStoryOfAStarSpentAfterAll(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("A06588812* wait + 2009 enter . wait wait - wait -")
	b.play("desk")
	if all, err := b.store.Stars(); err != nil || len(all) != 0 {
		t.Errorf("%d stars in the batch (%v), want none", len(all), err)
	}
	if notes := b.notes(1, 1); notes[0].Decision != triage.Spend {
		t.Errorf("the star is %v", notes[0].Decision)
	}
}

// What a star lacks can be said from the batch, also when its session is closed: no count changes.
func TestStoryOfAStarsFacts(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("06588812* wait + enter enter")                   // both questions passed over
	b.play("enter wait enter wait enter wait c wait c desk") // strap and session closed
	b.play("s")
	b.shows("series unknown")
	b.play("enter 9Z9 enter enter enter")
	b.shows("is not a prefix")
	b.play("esc enter A enter 2009 enter FW enter")
	b.shows("$1 Series 2009 Boston (A)")
	if all, err := b.store.Stars(); err != nil || len(all) != 1 || all[0].Series != "2009" || all[0].Version != 2 {
		t.Errorf("stars %+v (%v)", all, err)
	}
	b.sound()
}

// V18: a star in front is shown as it is printed and waits for no list.
func TestStoryOfAStarInFront(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.play("*00911324A / 57 enter enter down right right esc wait wait + wait +")
	b.play("desk")
	b.shows("1 star kept, 0 to be looked up")
	b.play("s")
	b.shows("*00911324A", "name no bank")
}
