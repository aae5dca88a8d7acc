package currency

import (
	"fmt"

	"app/unband/patterns"
)

// PositionLimits says where Position holds and where it does not.
const PositionLimits = "Holds for sheets of 32 in runs of 200,000 sheets ($1 of about Series 1988A to 2013); not for stars, sheets of 50 (Series 2013 on, some banks) or web-press notes."

const (
	sheets  = 200_000 // in a run of ordinary $1 to $20 notes [CT6]
	onSheet = 32
	perQuad = 8 // A to H within each quadrant
)

// Position gives the place on the sheet that belongs to a serial, A1 to H4, and the quadrant: 1 upper
// left, 2 lower left, 3 upper right, 4 lower right [B4]. Serials run down the stack of sheets, so the
// place changes every 200,000 numbers (computed from [CT10]). It is empty and 0 for 00000000, which
// belongs to no run. PositionLimits must be told with it.
func Position(d patterns.Digits) (position string, quadrant int) {
	if d == 0 {
		return "", 0
	}
	p := int(d-1) % (sheets * onSheet) / sheets
	quadrant = p/perQuad + 1
	return fmt.Sprintf("%c%d", 'A'+p%perQuad, quadrant), quadrant
}

// PositionHolds reports whether nothing that is known of the note speaks against Position: a $1
// Federal Reserve note of Series 1988A to 2013, no star, not from the web press. Series 2013 was
// printed on sheets of 32 and of 50: only the note itself tells [CW4][B4].
func PositionHolds(n Note) bool {
	r := read(n)
	return n.Whole && n.Digits != 0 && n.Denomination == 1 && r.class == FederalReserveNote && !n.Star && !n.Web &&
		r.series.Compare(Series{1988, 'A'}) >= 0 && r.series.Compare(Series{2013, 0}) <= 0
}
