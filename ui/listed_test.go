package ui

import "testing"

// A list that was taken in a moment ago is told when it is taken in once more, into the next strap.
func TestTheSameListTwiceIsTold(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	path := listFile(t, plainSerials(100, 5)...)
	b.openList(path)
	b.play("wait enter wait desk p i clear")
	b.typed(path)
	b.play("enter")
	b.shows("strap 2", "100 of these numbers are listed in this session already")
}

// Note 1 of strap 2 is a keeper that wants its neighbours: the last note of strap 1, which is listed, is pulled.
func TestTheLastOfTheStrapBeforeIsPulled(t *testing.T) {
	b := newTable(t)
	b.play("n")
	b.typed("float")
	b.play("down down down n down 2 down enter")
	serials := plainSerials(200, 5)
	serials[100] = "B27722772C"
	b.openList(listFile(t, serials...))
	b.play("wait enter wait wait enter wait") // on to strap 2
	b.shows("strap 2 of 2", "note 1 of 100")
	b.play("/ s space esc wait + wait")
	b.shows("note 2 of 100")
	b.play("+ wait wait enter wait wait enter wait wait enter wait enter")
	if n := b.notes(1, 1); len(n) == 100 {
		t.Errorf("the last note of strap 1 lies beside a keeper that wants its neighbours and was %v unseen", n[99].Decision)
	}
}

// The page of the list counts a pull that the note before the list makes.
func TestPullsBehindATypedKeeper(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("B27722772C / s space esc wait + wait")
	b.openList(listFile(t, plainSerials(10, 5)...))
	b.shows("10 notes, 1 to be pulled")
	b.play("wait enter wait")
	b.shows("1 note to be pulled")
}

// What was said of a listed note in the closer look stays when the strap is sorted one by one.
func TestOneByOneKeepsFacts(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait left / s space esc wait enter wait onebyone wait onebyone")
	list, _ := b.store.Listed(1, 1)
	if len(list) != 11 || !list[10].Facts.Neighbours || !list[10].Serial.Empty() {
		t.Errorf("note 11 was marked; listed are %+v", list)
	}
}

// A place of the list without a note is no note of the strap, and is not called unread.
func TestAPlaceWithoutANoteIsNotCounted(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()[:40]...))
	b.play("wait enter wait ctrl+x wait ctrl+x wait")
	b.shows("38 of 100 notes", "listed as note 12, and not found: B70633607C")
	b.play("desk p a 1 2 enter")
	b.shows("note 12 of 12  not there", "not there; N types its serial, if it is")
	b.sound()
}
