package patterns

// Price counts the serials 1 to top that a watch list stops: those with a shape it watches, and
// those with watched digits whose shape it does not. A serial that stops for several reasons counts
// once. A top above 99,999,999 counts as that.
func (b *Book) Price(w Watch, top Digits) Price {
	t := b.count(top)
	p := Price{Top: t.top}
	p.Hits = b.stopped(Watch{Hit: w.Hit}, t)
	if w.Near != 0 {
		p.NearOnly = b.stopped(w, t) - p.Hits
	}
	return p
}

// stopped counts the serials 1 to the tally's top that stop.
func (b *Book) stopped(w Watch, t *tally) int {
	if w == (Watch{}) {
		return 0
	}
	u := b.union(w)
	n := 0
	for s := b.shapes.first[Places]; s < len(t.shapes); s++ {
		if u.equal[s] > 0 {
			n += t.shapes[s]
		}
	}
	n += u.beyond(t.top)
	if b.Stops(0, w) {
		n--
	}
	return n
}
