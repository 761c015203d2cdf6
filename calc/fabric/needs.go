package fabric

import "countwright/calc/notation"

// need is what steps use of the row below for certain.
type need struct {
	stitches int
	spaces   int
}

func (n need) plus(o need) need {
	return need{min(n.stitches+o.stitches, endless), min(n.spaces+o.spaces, endless)}
}

func (n need) times(k int) need {
	if n == (need{}) {
		return n
	}
	k = min(k, endless)
	return need{min(n.stitches*k, endless), min(n.spaces*k, endless)}
}

// needs returns, for each step of a list and for its end, what that step and
// those behind it use for certain. A repeat to the end, or "in each stitch",
// leaves that much free for them.
func (mk *maker) needs(steps []notation.Step) []need {
	sum := make([]need, len(steps)+1)
	for i := len(steps) - 1; i >= 0; i-- {
		switch s := steps[i].(type) {
		case *notation.Turn, *notation.Join, *notation.FastenOff:
			sum[i] = need{} // what stands behind belongs to the next row
		default:
			sum[i] = sum[i+1].plus(mk.uses(s))
		}
	}
	return sum
}

// uses is what one step uses for certain.
func (mk *maker) uses(s notation.Step) need {
	mk.w.fuel--
	switch s := s.(type) {
	case *notation.Stitches:
		if s.Name == slip && mk.kind == notation.Round {
			return need{} // it closes the round
		}
		return mk.usesPlaces(s.Into, mk.resolve(s).consumes)
	case *notation.Skip:
		if spacelike(s.What) {
			return need{}
		}
		return need{stitches: mk.count(s.Many)}
	case *notation.Leave:
		return need{stitches: s.Many.At(mk.w.size)}
	case *notation.Group:
		return mk.usesGroup(s)
	}
	return need{}
}

func (mk *maker) usesPlaces(p notation.Place, each int) need {
	n := 0
	switch p.Choice {
	case notation.Next:
		n = mk.count(p.Many)
	case notation.Last:
		n = max(1, mk.count(p.Many))
	case notation.Nth:
		n = mk.count(p.Many)
		if p.What == notation.ChainStitch {
			n = 1 // "in 3rd ch of turning ch"
		}
	case notation.EachTo:
		if p.To == notation.ToLast && !spacelike(p.LeftOf) {
			return need{stitches: p.Left.At(mk.w.size)}
		}
	}
	switch p.What {
	case notation.ChainSpace, notation.Space, notation.SpaceBetween:
		return need{spaces: n}
	case notation.ChainFromHook, notation.RingCentre, notation.RowEnd, notation.OtherSide:
		return need{}
	case notation.TurningChain:
		return need{stitches: 1}
	}
	if p.Over {
		each = 1
	}
	return need{stitches: min(n*each, endless)}
}

func (mk *maker) usesGroup(g *notation.Group) need {
	if g.Into != nil {
		return mk.usesPlaces(*g.Into, 1)
	}
	n, keep := mk.most(g.Times)
	if n == endless {
		return need{stitches: max(0, keep)}
	}
	return mk.needs(g.Steps)[0].times(n)
}

// most returns how often a group is worked, and how many stitches stay free
// behind it (-1: what the following steps need).
func (mk *maker) most(t notation.Times) (n, keep int) {
	switch {
	case t.To == notation.ToLast:
		return endless, t.Left.At(mk.w.size)
	case t.To != notation.NoLimit:
		return endless, -1
	case !t.N.Said():
		return 1, 0
	}
	n = t.N.At(mk.w.size)
	if t.More {
		n++
	}
	return max(0, n), 0
}
