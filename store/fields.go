package store

import (
	"time"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/errands"
	"app/unband/triage/flaws"
	"app/unband/triage/stars"
	"app/unband/triage/tally"
)

// The field numbers of every record. A number is never used again for something else, not even
// after its field is gone; a new field takes the next free one. Numbers up to 15 cost one byte less.

var sessionFields = []field[triage.Session]{
	text(1, "name", func(s *triage.Session) *string { return &s.Name }),
	text(2, "source", func(s *triage.Session) *string { return &s.Source }),
	signed(3, "denomination", func(s *triage.Session) *triage.Denomination { return &s.Denomination }),
	boolean(4, "new notes", func(s *triage.Session) *bool { return &s.NewNotes }),
	signed(5, "straps", func(s *triage.Session) *int { return &s.Straps }),
	signed(6, "notes in a strap", func(s *triage.Session) *int { return &s.StrapNotes }),
	instant(7, "opened", func(s *triage.Session) *time.Time { return &s.Opened }),
	instant(8, "touched", func(s *triage.Session) *time.Time { return &s.Touched }),
	instant(9, "closed", func(s *triage.Session) *time.Time { return &s.Closed }),
	unsigned(10, "watched hits", func(s *triage.Session) *patterns.Set { return &s.Watch.Hit }),
	unsigned(11, "watched near misses", func(s *triage.Session) *patterns.Set { return &s.Watch.Near }),
	asJSON(12, "settings", func(s *triage.Session) *patterns.Settings { return &s.Settings }),
	nested(13, "totals", totalsFields, func(s *triage.Session) *triage.Totals { return &s.Totals }),
	boolean(14, "every serial whole", func(s *triage.Session) *bool { return &s.Whole }),
	text(15, "old before", func(s *triage.Session) *string { return &s.OldBefore }),
	asJSON(16, "wishes", func(s *triage.Session) *triage.Wishes { return &s.Wishes }),
	nested(17, "counted back", backFields, func(s *triage.Session) *triage.Back { return &s.Back }),
	asJSON(18, "log", func(s *triage.Session) *[]triage.Event { return &s.Log }),
}

var backFields = []field[triage.Back]{
	signed(1, "put in place", func(b *triage.Back) *int { return &b.InPlace }),
	boolean(2, "put in place said", func(b *triage.Back) *bool { return &b.Replaced }),
	signed(3, "counted", func(b *triage.Back) *int { return &b.Counted }),
	boolean(4, "counted said", func(b *triage.Back) *bool { return &b.Said }),
}

var strapFields = []field[triage.Strap]{
	signed(1, "band", func(s *triage.Strap) *int { return &s.Band }),
	instant(2, "opened", func(s *triage.Strap) *time.Time { return &s.Opened }),
	instant(3, "closed", func(s *triage.Strap) *time.Time { return &s.Closed }),
	boolean(4, "done", func(s *triage.Strap) *bool { return &s.Done }),
	nested(5, "totals", totalsFields, func(s *triage.Strap) *triage.Totals { return &s.Totals }),
	nested(6, "counted back", backFields, func(s *triage.Strap) *triage.Back { return &s.Back }),
	nested(7, "first serial", serialFields, func(s *triage.Strap) *triage.Serial { return &s.First }),
	nested(8, "last serial", serialFields, func(s *triage.Strap) *triage.Serial { return &s.Last }),
	boolean(9, "in sequence", func(s *triage.Strap) *bool { return &s.InSequence }),
	boolean(10, "numbers fall", func(s *triage.Strap) *bool { return &s.Down }),
	text(11, "list", func(s *triage.Strap) *string { return &s.List }),
	signed(12, "listed", func(s *triage.Strap) *int { return &s.Listed }),
}

var noteFields = []field[triage.Note]{
	signed(1, "version", func(n *triage.Note) *int { return &n.Version }),
	nested(2, "serial", serialFields, func(n *triage.Note) *triage.Serial { return &n.Serial }),
	unsigned(3, "decision", func(n *triage.Note) *triage.Decision { return &n.Decision }),
	unsigned(4, "hits", func(n *triage.Note) *patterns.Set { return &n.Hits }),
	unsigned(5, "near misses", func(n *triage.Note) *patterns.Set { return &n.Near }),
	unsigned(6, "watched", func(n *triage.Note) *patterns.Set { return &n.Watched }),
	unsigned(7, "re-read", func(n *triage.Note) *triage.Reread { return &n.Reread }),
	text(8, "digits before the re-read", func(n *triage.Note) *string { return &n.Before }),
	unsigned(9, "second look", func(n *triage.Note) *triage.Look { return &n.Look }),
	text(10, "reason", func(n *triage.Note) *string { return &n.Reason }),
	instant(11, "decided", func(n *triage.Note) *time.Time { return &n.Decided }),
	signed(12, "time taken", func(n *triage.Note) *time.Duration { return &n.Took }),
	text(13, "series", func(n *triage.Note) *string { return &n.Series }),
	unsigned(14, "facility", func(n *triage.Note) *currency.Facility { return &n.Facility }),
	text(15, "second serial", func(n *triage.Note) *string { return &n.Second }),
	unsigned(16, "seal", func(n *triage.Note) *currency.Colour { return &n.Seal }),
	text(17, "note position", func(n *triage.Note) *string { return &n.Sheet }),
	text(18, "plate number", func(n *triage.Note) *string { return &n.Plate }),
	unsigned(19, "grade", func(n *triage.Note) *flaws.Grade { return &n.Grade }),
	unsigned(20, "defects", func(n *triage.Note) *flaws.Defect { return &n.Defects }),
	boolean(21, "stamp", func(n *triage.Note) *bool { return &n.Stamp }),
	unsigned(22, "flaw", func(n *triage.Note) *flaws.OutcomeID { return &n.Flaw }),
	text(23, "walk", func(n *triage.Note) *string { return &n.Walk }),
	text(24, "remark", func(n *triage.Note) *string { return &n.Remark }),
	text(25, "where it lies", func(n *triage.Note) *string { return &n.Where }),
	text(26, "letter in the seal", func(n *triage.Note) *string { return &n.SealLetter }),
	text(27, "corner number", func(n *triage.Note) *string { return &n.Corner }),
	boolean(28, "web press", func(n *triage.Note) *bool { return &n.Web }),
	text(29, "what the face shows", func(n *triage.Note) *string { return &n.Face }),
	text(30, "what the back shows", func(n *triage.Note) *string { return &n.Back }),
	text(31, "back plate number", func(n *triage.Note) *string { return &n.BackPlate }),
	boolean(32, "neighbours wanted", func(n *triage.Note) *bool { return &n.Neighbours }),
	unsigned(33, "fate", func(n *triage.Note) *triage.Fate { return &n.Fate }),
	instant(34, "day of the fate", func(n *triage.Note) *time.Time { return &n.FateDay }),
	text(35, "remark on the fate", func(n *triage.Note) *string { return &n.FateRemark }),
	unsigned(36, "ruling", func(n *triage.Note) *triage.Ruling { return &n.Ruled }),
	instant(37, "changed", func(n *triage.Note) *time.Time { return &n.Changed }),
	unsigned(38, "origin", func(n *triage.Note) *triage.Origin { return &n.Origin }),
	text(39, "as listed", func(n *triage.Note) *string { return &n.Listed }),
	signed(40, "another denomination", func(n *triage.Note) *triage.Denomination { return &n.Denomination }),
}

var serialFields = []field[triage.Serial]{
	text(1, "prefix", func(s *triage.Serial) *string { return &s.Prefix }),
	text(2, "digits", func(s *triage.Serial) *string { return &s.Digits }),
	unsigned(3, "suffix", func(s *triage.Serial) *byte { return &s.Suffix }),
	boolean(4, "star", func(s *triage.Serial) *bool { return &s.Star }),
	boolean(5, "star in front", func(s *triage.Serial) *bool { return &s.StarFront }),
}

var handFields = []field[hand]{
	nested(1, "serial", serialFields, func(h *hand) *triage.Serial { return &h.Held.Serial }),
	nested(2, "facts", factsFields, func(h *hand) *triage.Facts { return &h.Held.Facts }),
	signed(3, "position", func(h *hand) *int { return &h.Held.Position }),
}

var ledgerFields = []field[ledger]{
	nested(1, "totals", totalsFields, func(l *ledger) *triage.Totals { return &l.Totals }),
	signed(2, "listed", func(l *ledger) *int { return &l.Listed }),
	instant(3, "touched", func(l *ledger) *time.Time { return &l.Touched }),
	// 4 was tallies by day, in layout 3.
}

var listedFields = []field[triage.Listed]{
	nested(1, "serial", serialFields, func(l *triage.Listed) *triage.Serial { return &l.Serial }),
	unsigned(2, "origin", func(l *triage.Listed) *triage.Origin { return &l.Origin }),
	text(3, "text", func(l *triage.Listed) *string { return &l.Text }),
	text(4, "unread", func(l *triage.Listed) *string { return &l.Unread }),
	text(5, "doubt", func(l *triage.Listed) *string { return &l.Doubt }),
	nested(6, "facts", factsFields, func(l *triage.Listed) *triage.Facts { return &l.Facts }),
}

var factsFields = []field[triage.Facts]{
	text(1, "series", func(f *triage.Facts) *string { return &f.Series }),
	unsigned(2, "facility", func(f *triage.Facts) *currency.Facility { return &f.Facility }),
	unsigned(3, "seal", func(f *triage.Facts) *currency.Colour { return &f.Seal }),
	text(4, "second serial", func(f *triage.Facts) *string { return &f.Second }),
	text(5, "note position", func(f *triage.Facts) *string { return &f.Sheet }),
	text(6, "plate number", func(f *triage.Facts) *string { return &f.Plate }),
	unsigned(7, "grade", func(f *triage.Facts) *flaws.Grade { return &f.Grade }),
	unsigned(8, "defects", func(f *triage.Facts) *flaws.Defect { return &f.Defects }),
	boolean(9, "stamp", func(f *triage.Facts) *bool { return &f.Stamp }),
	unsigned(10, "flaw", func(f *triage.Facts) *flaws.OutcomeID { return &f.Flaw }),
	text(11, "walk", func(f *triage.Facts) *string { return &f.Walk }),
	text(12, "remark", func(f *triage.Facts) *string { return &f.Remark }),
	text(13, "where it lies", func(f *triage.Facts) *string { return &f.Where }),
	text(14, "letter in the seal", func(f *triage.Facts) *string { return &f.SealLetter }),
	text(15, "corner number", func(f *triage.Facts) *string { return &f.Corner }),
	boolean(16, "web press", func(f *triage.Facts) *bool { return &f.Web }),
	text(17, "what the face shows", func(f *triage.Facts) *string { return &f.Face }),
	text(18, "what the back shows", func(f *triage.Facts) *string { return &f.Back }),
	text(19, "back plate number", func(f *triage.Facts) *string { return &f.BackPlate }),
	boolean(20, "neighbours wanted", func(f *triage.Facts) *bool { return &f.Neighbours }),
	text(21, "reason", func(f *triage.Facts) *string { return &f.Reason }),
	signed(22, "another denomination", func(f *triage.Facts) *triage.Denomination { return &f.Denomination }),
}

var runFields = []field[stars.Run]{
	unsigned(1, "last number", func(r *stars.Run) *patterns.Digits { return &r.To }),
	signed(2, "month", func(r *stars.Run) *stars.Month { return &r.Month }),
	signed(3, "quantity", func(r *stars.Run) *int { return &r.Quantity }),
	instant(4, "date of the list", func(r *stars.Run) *time.Time { return &r.Listed }),
}

var choicesFields = []field[triage.Choices]{
	signed(1, "plain pause", func(c *triage.Choices) *time.Duration { return &c.Pauses.Plain }),
	signed(2, "stop pause", func(c *triage.Choices) *time.Duration { return &c.Pauses.Stop }),
	signed(3, "pace", func(c *triage.Choices) *time.Duration { return &c.Pauses.Pace }),
	boolean(4, "every serial whole", func(c *triage.Choices) *bool { return &c.Whole }),
	unsigned(5, "watched hits", func(c *triage.Choices) *patterns.Set { return &c.Watch.Hit }),
	unsigned(6, "watched near misses", func(c *triage.Choices) *patterns.Set { return &c.Watch.Near }),
	asJSON(7, "settings", func(c *triage.Choices) *patterns.Settings { return &c.Settings }),
	asJSON(8, "old before", func(c *triage.Choices) *map[triage.Denomination]string { return &c.OldBefore }),
	signed(9, "ripe batch", func(c *triage.Choices) *int { return &c.Ripe }),
	signed(10, "short run", func(c *triage.Choices) *int { return &c.ShortRun }),
	asJSON(11, "wishes", func(c *triage.Choices) *triage.Wishes { return &c.Wishes }),
	unsigned(13, "hints told", func(c *triage.Choices) *triage.Hints { return &c.Hints }),
	boolean(20, "calm", func(c *triage.Choices) *bool { return &c.Comfort.Calm }),
	boolean(21, "serial in one line", func(c *triage.Choices) *bool { return &c.Comfort.OneLine }),
	boolean(22, "bell", func(c *triage.Choices) *bool { return &c.Comfort.Bell }),
	boolean(23, "flash", func(c *triage.Choices) *bool { return &c.Comfort.Flash }),
	signed(24, "break", func(c *triage.Choices) *time.Duration { return &c.Comfort.Break }),
}

var tallyFields = []field[tally.SessionDay]{
	asJSON(1, "tally", func(d *tally.SessionDay) *tally.Tally { return &d.Tally }),
}

var errandFields = []field[errands.Errand]{
	instant(1, "done", func(e *errands.Errand) *time.Time { return &e.Done }),
	instant(2, "since", func(e *errands.Errand) *time.Time { return &e.Since }),
	text(3, "remark", func(e *errands.Errand) *string { return &e.Remark }),
	text(4, "what", func(e *errands.Errand) *string { return &e.What }),
}

var totalsFields = []field[triage.Totals]{
	signed(1, "notes", func(t *triage.Totals) *int { return &t.Notes }),
	signed(2, "kept", func(t *triage.Totals) *int { return &t.Kept }),
	signed(3, "spent", func(t *triage.Totals) *int { return &t.Spent }),
	signed(4, "glances", func(t *triage.Totals) *int { return &t.Glances }),
	signed(5, "near misses", func(t *triage.Totals) *int { return &t.Near }),
	signed(6, "waiting", func(t *triage.Totals) *int { return &t.Waiting }),
	signed(7, "hits", func(t *triage.Totals) *int { return &t.Hits }),
	signed(8, "stars", func(t *triage.Totals) *int { return &t.Stars }),
	signed(9, "re-reads", func(t *triage.Totals) *int { return &t.Reread }),
	signed(10, "changed by a re-read", func(t *triage.Totals) *int { return &t.Changed }),
	signed(11, "time taken", func(t *triage.Totals) *time.Duration { return &t.Took }),
	signed(12, "set aside", func(t *triage.Totals) *int { return &t.Aside }),
	signed(13, "against the rules", func(t *triage.Totals) *int { return &t.Against }),
	signed(14, "spent after all", func(t *triage.Totals) *int { return &t.Respent }),
	signed(15, "sold", func(t *triage.Totals) *int { return &t.Sold }),
	signed(16, "traded", func(t *triage.Totals) *int { return &t.Traded }),
	signed(19, "not there", func(t *triage.Totals) *int { return &t.NotThere }),
	signed(18, "laid apart", func(t *triage.Totals) *int { return &t.Apart }),
	signed(17, "sent to be graded", func(t *triage.Totals) *int { return &t.Grading }),
}
