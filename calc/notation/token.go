package notation

import "countwright/calc/stitch"

// kind sorts tokens: what the lexer can tell without knowing any word.
type kind uint8

const (
	kindEnd kind = iota
	kindWord
	kindNumber
	kindOrdinal // 1st, 2d, 3rd
	kindStar    // *, or a mark used like it: †, +, #
	kindStars   // ** and longer
	kindOpen
	kindClose
	kindComma
	kindSemi
	kindPeriod
	kindColon
	kindDash
	kindSlash
	kindPlus
	kindEquals
	kindAnd   // &
	kindTimes // ×
	kindMark  // list and heading marks at the start of a line: # > • _ |
	kindOther
)

// token is the smallest piece of the text.
type token struct {
	kind  kind
	low   string  // the text in lower case, with plain quotes
	n     int     // the value of a number or ordinal, bounded by numberCap
	real  float64 // the value with its fraction: 8.5 in "8½"
	space bool    // white space stands before it
	line  bool    // first of its line
	para  bool    // first after a blank line, or of the text
	from  spot
	to    spot
}

// spot is a Pos in half the room, for tokens and items.
type spot struct{ off, line, col int32 }

func (s spot) pos() Pos { return Pos{Offset: int(s.off), Line: int(s.line), Column: int(s.col)} }

func (t *token) span() Span { return Span{t.from.pos(), t.to.pos()} }

// numberCap keeps numbers of any length within an int: every limit that a
// pattern may have is far below.
const numberCap = 1_000_000

// class is the part that a word or phrase plays in a pattern.
type class uint8

const (
	cEnd class = iota
	cWord
	cNumber
	cOrdinal
	cStar
	cStars
	cOpen
	cClose
	cComma
	cSemi
	cPeriod
	cColon
	cDash
	cSlash
	cPlus
	cEquals
	cX // "x", "×"
	cMark
	cOther

	cStitch
	cChain
	cSt
	cSpace
	cTurningChain
	cSkip
	cIn
	cTo
	cAround
	cAcross
	cEach
	cNext
	cSame
	cLast
	cRemaining
	cFinish // "end"
	cRepeat
	cFrom
	cTimes
	cMore
	cTurn
	cJoin
	cMagicRing
	cRing
	cFastenOff
	cYarn
	cAttach
	cLeave
	cUnworked
	cMarker
	cLoop
	cTogether
	cCount
	cAs
	cMake
	cThe
	cA
	cAnd
	cHook
	cPost
	cOtherSide
	cBetween
	cEnding
	cSide
	cTop
	cCorner
	cRow
	cSize
	cNot
	cTotal
	cWith
	cPair // "2 times" in one word: once, twice
	cAlso // words that change nothing: then, evenly, carefully
)

// item is a word, phrase or mark as the parser sees it.
type item struct {
	class   class
	word    string    // the phrase in normal form
	id      stitch.ID // of a stitch, in US terms
	foreign Terms     // the dialect that the stitch's word belongs to, if not the text's own
	n       int
	real    float64
	space   bool
	line    bool
	para    bool
	from    spot
	to      spot
}

func (it *item) span() Span { return Span{it.from.pos(), it.to.pos()} }
