// Package notation is the trade's written rows as a language: it reads crochet
// rows as people write them into a tree, prints a tree as the trade would, and
// translates terms. It knows words and structure, never counts: working a tree
// stitch by stitch is package fabric's subject.
//
// Inside a tree stitches carry the US abbreviation as their name ("sc",
// "dc2tog", "fpdc"), whatever the dialect of the text was.
package notation

import "countwright/calc/stitch"

// Pos is a place in the source text. Line and Column count from 1, columns in
// characters. The zero Pos means that the node was not read from a text.
type Pos struct{ Offset, Line, Column int }

// Span is where a node stands in the source: From is its first character, To
// the place just behind its last. Every node embeds one.
type Span struct{ From, To Pos }

// Pos returns where the node begins.
func (s Span) Pos() Pos { return s.From }

// End returns the place just behind the node.
func (s Span) End() Pos { return s.To }

// Number is a count in a pattern written for several sizes: one value serves
// all sizes, several are one for each size in order. An empty Number means
// "not said".
type Number []int

// N returns a Number of the given values.
func N(values ...int) Number { return values }

// At returns the value for a size (from 0), and 0 if nothing was said.
func (n Number) At(size int) int {
	switch {
	case len(n) == 0:
		return 0
	case size < len(n):
		return n[size]
	default:
		return n[len(n)-1]
	}
}

// Said reports whether the text gave a number.
func (n Number) Said() bool { return len(n) > 0 }

// Document is a text as read: always whole, even where something was not
// understood (see Problems).
type Document struct {
	Terms       Terms        // the dialect the text was read in
	Sizes       []string     // names of the sizes, smallest first, where the text gives them
	SizeCount   int          // how many sizes the size strings hold; 1 when there are none
	Multiples   []Multiple   // "multiple of 6 + 2, plus 1 for turning"
	Definitions []Definition // stitches that the pattern itself defines
	Parts       []Part       // the pieces, in reading order
	Problems    []Problem    // what was not understood, in reading order
	Assumptions []Assumption // every guess made while reading, in reading order
}

// Part is a piece of the pattern: what stands under one heading. A text
// without headings is one part with an empty name.
type Part struct {
	Span
	Name  string
	Make  int // "make 2"; 1 when not said
	Lines []Line
	// Preface is how many of the lines stand above the name: a title, the
	// materials, notes.
	Preface int
}

// Line is one thing that a part holds in order: a *Row, an *Again, a *Heading
// or a *Prose.
type Line interface {
	Pos() Pos
	End() Pos
	line()
}

// Heading names a section within a part ("Body", "Right shoulder").
type Heading struct {
	Span
	Text string
}

// Prose is a sentence of the text that is no instruction to work stitches.
type Prose struct {
	Span
	Text string
}

// Kind tells rows from rounds.
type Kind uint8

// The kinds of a Row. Unlabelled work (a foundation chain on a line of its
// own, "With B, ch 20") is Loose.
const (
	Loose Kind = iota
	FlatRow
	Round
)

// Side is the side of the fabric that faces the maker.
type Side uint8

// The sides.
const (
	SideUnsaid Side = iota
	RightSide
	WrongSide
)

// Label is how a row is numbered: "Row 3", "Rows 3–12 (14, 16)", "Rnds 5-9",
// "36 to 45". From and To are equal for a single row.
type Label struct {
	Kind     Kind
	From, To Number
	List     []int // rows named one by one, "46, 47"; nil for a range
	Side     Side
	// Name is what stands before "row" where there is no number, in lower
	// case: "next", "foundation", "edging". From is empty then.
	Name string
	// Alternate is "Row 2 and all WS rows": the rows are worked like this one
	// wherever the rows between are told and these are not.
	Alternate bool
}

// Row is one labelled line of work, or several rows that are all worked by the
// same steps ("Rows 36 to 45: sc in each st around").
type Row struct {
	Span
	Label Label
	Sizes []int // the sizes (from 0) that work this row; nil: all
	Steps []Step
	Claim *Claim // what the text says the row has at its end; nil: nothing
}

// Again says that rows are worked like earlier ones: "Rows 3–12: rep Row 2",
// "Rep Rows 2 and 3 six times", "Rep Rows 2-5 until piece measures 20 cm",
// "Row 4: same as Row 2".
type Again struct {
	Span
	Label  Label      // the rows made; only its Kind is set when only a number of times is given
	Like   []int      // the numbers of the rows copied, in order; empty: see Back
	Back   int        // "rep last 2 rows": how many rows just before are copied, where Like is empty; 0 is 1
	Times  Number     // how often the whole list is worked; empty when the Label says it
	More   bool       // "2 more times" (or plain "repeat … twice"): in addition to the first working
	Until  Distance   // "until piece measures 20 cm (8 in)"; zero: not said
	Untils []Distance // where it differs by size: one for each size
	Sizes  []int      // as in Row
	Claim  *Claim     // the count at the end of the last row
}

// Distance is a length named in a pattern, in millimetres; zero: not said.
type Distance float64

// Claim is a count that the text states at the end of a row.
type Claim struct {
	Span
	Entries []ClaimEntry // "(24 sc, 6 ch-1 sps)" has two
}

// ClaimEntry is one stated count. What is a stitch name, "st" for stitches of
// any kind, or another word that can be counted: "ch-2 sp", "shell", "loop".
type ClaimEntry struct {
	Count Number
	What  string
}

func (*Row) line()     {}
func (*Again) line()   {}
func (*Heading) line() {}
func (*Prose) line()   {}

// Step is one instruction within a row. It is a sealed set: *Stitches, *Chain,
// *Skip, *Group, *Ring, *Join, *Turn, *FastenOff, *Attach, *Leave, *Mark,
// *Remark or *Unread.
type Step interface {
	Pos() Pos
	End() Pos
	step()
}

// Loop is which part of a stitch the hook enters.
type Loop uint8

// The loops. Posts belong to the stitch ("fpdc"), not to the loop.
const (
	BothLoops Loop = iota
	BackLoop       // BLO
	FrontLoop      // FLO
	ThirdLoop      // the bar behind a half double crochet
)

// Stitches works one kind of stitch: "sc in next 3 sts" is Name sc, Each 1,
// Into {Next, 3}; "2 dc in next st" is Name dc, Each 2, Into {Next, 1};
// "sc2tog" is Name sc2tog, Each 1, Into {Next, 1}: the place of a decrease is
// counted in decreases made, the stitches it consumes come from its stitch.
type Stitches struct {
	Span
	Name stitch.ID // in US terms, or a Definition's name
	Of   stitch.ID // for a bare "inc" or "dec": the stitch that the row is of; empty: single crochet
	Each Number    // how many are made in each place; 1 when not said
	Into Place
	Loop Loop
}

// Chain makes chains: "ch 3 (counts as dc)". Several chains in the middle of
// a row make a space that a later row may use.
type Chain struct {
	Span
	Many   Number
	Counts Counting  // whether it counts as a stitch, where the text says so
	As     stitch.ID // "counts as dc": dc; empty when not said
	Plus   int       // "counts as dc + ch 1": 1 chain beyond the stitch
}

// Counting says whether a turning chain counts as a stitch.
type Counting uint8

// What a text says of its turning chain.
const (
	CountUnsaid Counting = iota
	CountsAsStitch
	CountsAsNone
)

// Skip passes over places without working them: "sk 2 sts", "miss next ch".
type Skip struct {
	Span
	Many Number
	What Target
	Name stitch.ID // "sk next dc": dc; empty for any
	Size int       // with ChainSpace: chains in it; 0 for any
	// First is "sk first 3 sts": counted from the beginning of the row, so that
	// the stitch that a counted turning chain stands on is one of them.
	First bool
}

// Group is several steps taken together: repeated, or all worked into one
// place, as the brackets say.
type Group struct {
	Span
	Steps []Step
	Mark  Bracket
	Times Times
	Into  *Place // "(2 dc, ch 1, 2 dc) in next ch-sp"; nil: worked along the row
	// Partial is for "ending last rep at **": the number of steps worked in
	// the last repeat; 0 when every repeat is whole.
	Partial int
}

// Bracket is how a Group is written.
type Bracket uint8

// The brackets.
const (
	Star   Bracket = iota // *…; rep from *
	Square                // […]
	Paren                 // (…)
)

// Times is how often a Group is worked. The zero Times means once.
type Times struct {
	N    Number // in all, unless More
	More bool   // "rep from * 5 more times", and a plain "rep from * 5 times": after the first working
	To   Limit  // a repeat to the end of the row or round
	Left Number // with ToLast: the stitches left at the end; also the stitches left for the steps that follow
}

// Limit says how far along the row something goes.
type Limit uint8

// The limits.
const (
	NoLimit Limit = iota
	ToEnd         // across, around, to end
	ToLast        // to the last N stitches
	ToSpace       // to the next chain space or corner, which is not worked: Place.LeftOf, LeftSize and LeftName say what stands there
	ToMark        // to the next marker, or to Left stitches before it
)

// Choice is how a place is chosen.
type Choice uint8

// The choices.
const (
	Next    Choice = iota // the next N places, one after another
	EachTo                // each place up to the limit: "in each st across", "to last 2 sts"
	Same                  // the place just worked into
	First                 // the first Many places of the row or round (joining, beginning)
	Last                  // the last Many places of the row or round
	Nth                   // "in 4th ch from hook", "in 3rd st": N says which
	Around                // all into the ring or one named place, wherever it is
	Between               // between two stitches
	Spread                // Many places spread evenly over the row, which is worked plainly otherwise: "inc 6 sts evenly around"
)

// Target is what a place is.
type Target uint8

// The targets.
const (
	AnyStitch     Target = iota // "st": whatever counts as a stitch below
	NamedStitch                 // "dc in next dc": Place.Name says which
	ChainStitch                 // a chain of the foundation, or of the row below
	ChainSpace                  // "ch-2 sp"; Place.Size says 2, 0 for any
	Space                       // "sp", "loop": any space, also between stitches
	RowEnd                      // the side of a row
	OtherSide                   // the other side of the foundation chain
	RingCentre                  // the magic ring or a ring of chains
	TurningChain                // the top of the turning chain
	ChainFromHook               // a chain counted from the hook
	SpaceBetween                // between posts of two stitches
	MarkedStitch                // the stitch that carries a marker
	SkippedStitch               // a stitch that an earlier row passed over or left
)

// Place is where stitches go.
type Place struct {
	Span
	Choice   Choice
	Many     Number // Next: how many places; Nth: which; empty: 1
	What     Target
	Name     stitch.ID // with NamedStitch
	Size     int       // with ChainSpace: chains in it
	To       Limit     // with EachTo
	Left     Number    // with EachTo and ToLast: how many are left
	LeftOf   Target    // what Left counts; with ToSpace, what stands there
	LeftSize int       // with ToSpace: the chains of the space; 0 for any
	LeftName stitch.ID // with ToSpace and LeftOf NamedStitch: its stitch
	Spaces   bool      // "in each st and ch-1 sp": chain spaces too, as places of their own
	Corner   bool      // only at a corner of the round
	Over     bool      // "cluster over next 3 sts": one stitch worked over all of them
	// Passed says, with ChainFromHook, whether the chains passed over count as a
	// stitch, where the text says so, and PassedAs as which.
	Passed   Counting
	PassedAs stitch.ID
	Unsaid   bool // the text gave no place ("5 sc, 2 inc"): one in each of the next
	Every    int  // "in every 2nd st", "in each st": 0 or 1 is every one
}

// Ring starts a round: a magic ring (Chains empty), or chains joined.
type Ring struct {
	Span
	Chains Number
}

// Join closes a round with a slip stitch into its beginning.
type Join struct {
	Span
	Into   Place // First by default; "in top of ch-3"
	Unsaid bool  // "join" without a word how
}

// Turn turns the work.
type Turn struct{ Span }

// FastenOff ends the yarn.
type FastenOff struct{ Span }

// Attach joins yarn anew somewhere: "Rejoin yarn to 5th st", "Join B with sl st in any st".
type Attach struct {
	Span
	Into   Place
	Skip   Number // stitches skipped before the place: "sk next 20 sts, rejoin yarn"
	Colour string
}

// Leave says that stitches stay unworked: "leave rem 20 sts unworked".
type Leave struct {
	Span
	Many Number // empty: all that remain
}

// Mark places, moves or removes a marker; it has no effect on counts.
type Mark struct {
	Span
	Text string
}

// Remark is understood text without effect on counts: "do not join", "RS
// facing", "change to B".
type Remark struct {
	Span
	Text string
}

// Unread is text that was not understood; a Problem says more. Working goes on
// around it.
type Unread struct {
	Span
	Text string
}

func (*Stitches) step()  {}
func (*Chain) step()     {}
func (*Skip) step()      {}
func (*Group) step()     {}
func (*Ring) step()      {}
func (*Join) step()      {}
func (*Turn) step()      {}
func (*FastenOff) step() {}
func (*Attach) step()    {}
func (*Leave) step()     {}
func (*Mark) step()      {}
func (*Remark) step()    {}
func (*Unread) step()    {}

// Multiple is what a foundation must divide by: Of·n + Plus, with Turning
// further chains for the turn.
type Multiple struct {
	Span
	Of, Plus, Turning int
}

// Definition is a stitch or group that the pattern itself explains: "Shell:
// (2 dc, ch 1, 2 dc) in same st".
type Definition struct {
	Span
	Name  string // as the text uses it, folded to lower case
	Steps []Step // empty when the explanation could not be read as steps
	Text  string
}

// Problem is a place that was not understood.
type Problem struct {
	Span
	Text    string // the words as they stand
	Message string // what is wrong, in a sentence without an address
	Near    string // the nearest thing it could be; empty: none
}

// Assumption is a guess that reading made, so that it can be shown.
type Assumption struct {
	Span
	Message string
}
