package stitch

// Symbol describes a stitch of a symbol chart. Bars stand for yarn-overs in
// every country, so that a symbol needs no terms.
//
// Source: chart symbols of the Craft Yarn Council and JIS L 0201, from memory.
type Symbol struct {
	Shape  Shape
	Bars   int    // slanted bars across each stem
	Legs   int    // stems or crosses drawn; 0 and 1 both mean one
	Join   Join   // where several legs meet
	Post   Side   // the hook at the foot of a post stitch
	Arc    Side   // the arc at the foot for one loop only
	Chains int    // ovals: of a picot's ring, or between the two legs of a V
	Mark   string // one letter beside the symbol where the lists have no drawing
}

// Shape is the body of a symbol.
type Shape uint8

// The shapes.
const (
	NoShape Shape = iota
	Oval          // chain
	Dot           // slip stitch
	Plus          // single crochet
	Stem          // a post with a bar on top (T): half double and taller
	Puff          // a closed oval on a foot
	Ring          // the beginning of a round
	Tilde         // over a Plus: worked backwards
	Wave          // a line on the surface
)

// Join is where the legs of a symbol meet.
type Join uint8

// The joins.
const (
	Apart  Join = iota
	AtTop       // a decrease
	AtFoot      // an increase or a shell
	AtBoth      // a cluster
	Cross       // crossed legs
)

// Side is the front or the back of the fabric.
type Side uint8

// The sides.
const (
	NoSide Side = iota
	Front
	Back
)
