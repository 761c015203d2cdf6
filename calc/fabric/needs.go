package fabric

import "countwright/calc/notation"

// needs returns, for each step of a list and for its end, how many stitches of
// the row below that step and those behind it use for certain. A repeat to the
// end, or "in each stitch", leaves that many free for them.
func (mk *maker) needs(steps []notation.Step) []int {
	sum := make([]int, len(steps)+1)
	for i := len(steps) - 1; i >= 0; i-- {
		switch s := steps[i].(type) {
		case *notation.Turn, *notation.Join, *notation.FastenOff:
			sum[i] = 0 // what stands behind belongs to the next row
		default:
			sum[i] = min(sum[i+1]+mk.uses(s), endless)
		}
	}
	return sum
}

// uses is what one step uses for certain.
func (mk *maker) uses(s notation.Step) int {
	mk.w.fuel--
	switch s := s.(type) {
	case *notation.Stitches:
		if s.Name == slip && mk.kind == notation.Round {
			return 0 // it closes the round
		}
		return mk.usesPlaces(s.Into, mk.resolve(s.Name).consumes)
	case *notation.Skip:
		if spacelike(s.What) {
			return 0
		}
		return mk.count(s.Many)
	case *notation.Leave:
		return s.Many.At(mk.w.size)
	case *notation.Group:
		return mk.usesGroup(s)
	}
	return 0
}

func (mk *maker) usesPlaces(p notation.Place, each int) int {
	switch p.What {
	case notation.ChainSpace, notation.Space, notation.SpaceBetween, notation.ChainFromHook, notation.RingCentre,
		notation.RowEnd, notation.OtherSide:
		return 0
	case notation.TurningChain:
		return 1
	}
	switch p.Choice {
	case notation.Next:
		return mk.count(p.Many) * each
	case notation.Last:
		return max(1, mk.count(p.Many)) * each
	case notation.Nth:
		return mk.count(p.Many)
	case notation.EachTo:
		if p.To == notation.ToLast && !spacelike(p.LeftOf) {
			return p.Left.At(mk.w.size)
		}
	}
	return 0
}

func (mk *maker) usesGroup(g *notation.Group) int {
	if g.Into != nil {
		return mk.usesPlaces(*g.Into, 1)
	}
	n, keep := mk.most(g.Times)
	if n == endless {
		return max(0, keep)
	}
	return min(n*mk.needs(g.Steps)[0], endless)
}

// most returns how often a group is worked, and how many stitches stay free
// behind it (-1: what the following steps need).
func (mk *maker) most(t notation.Times) (n, keep int) {
	switch {
	case t.To == notation.ToEnd:
		return endless, -1
	case t.To == notation.ToLast:
		return endless, t.Left.At(mk.w.size)
	case !t.N.Said():
		return 1, 0
	}
	n = t.N.At(mk.w.size)
	if t.More {
		n++
	}
	return max(0, n), 0
}
