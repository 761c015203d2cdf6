package grade

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"countwright/calc/pattern"
)

// measure reads joins, meetings and finished measurements off the counts.
func (g *Garment) measure() {
	pl := g.plan
	for _, j := range pl.pattern.Joins {
		a, b := pl.sides(j.A), pl.sides(j.B)
		if j.How == pattern.Equal {
			g.Joins = append(g.Joins, Join{Name: j.Name, A: pl.edges(j.A), B: pl.edges(j.B),
				ACount: pl.sum(a), BCount: pl.sum(b), ARows: !a[0].stitches, BRows: !b[0].stitches})
			continue
		}
		g.Meets = append(g.Meets, Meeting{Name: j.Name, A: pl.edges(j.A), B: pl.edges(j.B),
			ACount: pl.sum(a), BCount: pl.sum(b), AMM: pl.mm(a), BMM: pl.mm(b), Unit: 2 * halfUnit(append(a, b...))})
	}
	for _, s := range pl.slots {
		pl.standing(s, g)
	}
	for i, f := range pl.pattern.Finished {
		sides := pl.sides(f.Of)
		goal := pl.Goals[len(pl.Goals)-len(pl.pattern.Finished)+i]
		m := Finished{Name: f.Name, MM: pl.mm(sides), Across: pl.across(sides), Target: goal.Target, Unit: 2 * halfUnit(sides)}
		if m.Off() {
			m.Forced = pl.reasons(goal)
		}
		g.Finished = append(g.Finished, m)
	}
	for _, text := range pl.pattern.Finishing {
		g.Finishing = append(g.Finishing, pl.fill(text))
	}
}

// Off reports whether the measurement is more than half a stitch or row from
// its target.
func (f Finished) Off() bool { return math.Abs(f.MM-f.Target) > f.Unit/2+slack }

// standing adds what a section stands on: row ends one to one, and edges
// picked up.
func (pl *plan) standing(s *slot, g *Garment) {
	if s.First == pattern.OnRowEnds {
		below := pl.slot(s.piece.Name, s.Of)
		g.Joins = append(g.Joins, Join{Name: "one stitch in each row end", A: pl.called(s.piece.Name, below.Name), B: pl.called(s.piece.Name, s.Name),
			ACount: pl.value[below.rows], BCount: pl.value[s.start], ARows: true})
	}
	if s.First != pattern.OnEdges {
		return
	}
	for _, p := range s.Pick {
		if p.Corner > 0 {
			continue
		}
		along, n := pl.side(p.Edge), pl.value[pl.picked(s.base, p.Edge)]
		to := pl.called(s.piece.Name, s.Name)
		if along.stitches {
			g.Joins = append(g.Joins, Join{Name: "picked up", A: pl.called(p.Edge.Piece, p.Edge.Section), B: to, ACount: pl.value[along.count], BCount: n})
			continue
		}
		g.Meets = append(g.Meets, Meeting{Name: "picked up", A: to, B: pl.called(p.Edge.Piece, p.Edge.Section), ACount: n, BCount: pl.value[along.count],
			AMM: float64(n) * s.w, BMM: pl.edgeLength(along.slot, p.Edge.Side), Unit: max(s.w, along.mm)})
	}
}

// called names a section, or the stitches that a split leaves, with its piece.
func (pl *plan) called(piece, section string) string {
	if left, ok := pl.leftByYoke(piece, section); ok {
		return left
	}
	if p, ok := pl.pattern.Piece(piece); ok && len(p.Sections) == 1 || piece == section {
		return piece
	}
	return piece + " " + lowerFirst(section)
}

func (pl *plan) edges(edges []pattern.Edge) string {
	names := make([]string, len(edges))
	for i, e := range edges {
		names[i] = pl.called(e.Piece, e.Section)
	}
	return strings.Join(names, " + ")
}

func (pl *plan) sum(sides []side) int {
	n := 0
	for _, s := range sides {
		n += pl.value[s.count]
	}
	return n
}

func (pl *plan) mm(sides []side) float64 {
	mm := 0.
	for _, s := range sides {
		mm += float64(pl.value[s.count]) * s.mm
	}
	return mm
}

// across is the part of a sum of edges that is stitches wide, in mm.
func (pl *plan) across(sides []side) float64 {
	return pl.mm(slices.DeleteFunc(slices.Clone(sides), func(s side) bool { return !s.stitches }))
}

var placeholder = regexp.MustCompile(`\{([^{}]+)\}`)

// fill puts counts in the place of {Piece.Section.edge} and of sums of edges.
func (pl *plan) fill(text string) string {
	return placeholder.ReplaceAllStringFunc(text, func(m string) string {
		sum := 0
		for _, part := range strings.Split(strings.Trim(m, "{}"), " + ") {
			e, err := pattern.ParseEdge(part)
			if err != nil || pl.pattern.Has(e) != nil {
				return m
			}
			sum += pl.value[pl.side(e).count]
		}
		return strconv.Itoa(sum)
	})
}

// ProofError says that the rows as written do not come to what they claim: a
// fault of the pattern or of this package, never of the order.
type ProofError struct {
	Piece, Row, Wrong string
}

func (e *ProofError) Error() string {
	return fmt.Sprintf("%s, %s: %s", e.Piece, e.Row, e.Wrong)
}
