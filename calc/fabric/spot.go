package fabric

import "countwright/calc/notation"

// inPlace works a group into one place, or into each of several.
func (mk *maker) inPlace(g *notation.Group, after []notation.Step) {
	p := *g.Into
	n := 1
	switch {
	case p.Choice == notation.EachTo:
		inner := *g
		p.Choice, p.Many = notation.Next, nil
		inner.Into, inner.Times = &p, notation.Times{}
		outer := &notation.Group{Span: g.Span, Steps: []notation.Step{&inner}, Mark: g.Mark,
			Times: notation.Times{To: p.To, Left: p.Left}}
		if p.To == notation.NoLimit {
			outer.Times.To = notation.ToEnd
		}
		mk.group(outer, after)
		return
	case p.Choice == notation.Next:
		n = mk.count(p.Many)
	}
	for range min(n, maxStitches) {
		if !mk.oneSpot(g, p) {
			return
		}
	}
}

// oneSpot works a group into one place.
func (mk *maker) oneSpot(g *notation.Group, p notation.Place) bool {
	f := &spot{into: p.What}
	if !mk.reach(g, p, f) {
		return false
	}
	mk.fill(g, f)
	return true
}

// fill works the steps of a group into a place.
func (mk *maker) fill(g *notation.Group, f *spot) {
	outer := mk.fixed
	mk.fixed = f
	mk.depth++
	times, _ := mk.times(g)
	if times == endless {
		times = 1
	}
	for range min(times, maxTimes) {
		if mk.w.fuel < 0 {
			break
		}
		mk.runInner(g.Steps)
	}
	mk.depth--
	mk.fixed = outer
}

// reach moves to the place of a group.
func (mk *maker) reach(g *notation.Group, p notation.Place, f *spot) bool {
	w := mk.want(p)
	switch {
	case p.What == notation.RingCentre || mk.ring && len(mk.base) == 0:
		mk.ring = true
		f.into = notation.RingCentre
		mk.used = true
		return true
	case p.Choice == notation.Same || p.Choice == notation.First:
		if mk.at != nil {
			w, mk.at = *mk.at, nil
		} else if mk.used || len(mk.base) == 0 {
			f.put = true
			return true
		} else if p.Choice == notation.Same {
			w = want{target: notation.AnyStitch}
		}
	case p.What == notation.RowEnd:
		mk.beyond, f.put = true, true
		return true
	case p.What == notation.ChainFromHook:
		if mk.found.chains == 0 || mk.begun || mk.done.raw > 0 {
			f.put = true
			return true
		}
		if n := p.Many.At(mk.w.size); n > 1 {
			mk.edge(n - 1)
		}
		w = want{target: notation.AnyStitch}
	case p.What == notation.SpaceBetween || p.Choice == notation.Between || p.What == notation.Space && !mk.open():
		return mk.gap(f)
	case p.Choice == notation.Last:
		mk.pass(w, mk.ahead(w)-1)
	case p.Choice == notation.Nth:
		mk.pass(w, mk.count(p.Many)-1)
	case p.What == notation.OtherSide:
		mk.otherSide()
		w = want{target: notation.AnyStitch}
	}
	return mk.takeSpot(g, w, f)
}

func (mk *maker) takeSpot(g *notation.Group, w want, f *spot) bool {
	at, passed, ok := mk.find(w)
	if !ok && w.target == notation.Space {
		return mk.gap(f)
	}
	if !ok {
		mk.shortOf(w, g)
		return false
	}
	mk.loop = w
	mk.skipTo(at, passed)
	_, m := mk.take(w, 1)
	mk.done.add(m)
	f.takes = m.raw
	mk.used = true
	return true
}

func (mk *maker) shortOf(w want, s notation.Step) {
	if mk.beyond {
		return
	}
	if w.target == notation.AnyStitch {
		mk.fail(KindShort, "the row below has no stitch left for the group", s)
		return
	}
	mk.fail(KindPlace, "there is no "+w.text(mk.w)+" left to work into"+mk.instead(w), s)
}

// open says whether the row below has chain spaces.
func (mk *maker) open() bool {
	for i := range mk.base {
		if mk.base[i].kind == spaceCell && mk.base[i].sub == nil || mk.base[i].holds(want{target: notation.Space}, mk.w.baseOf) {
			return true
		}
	}
	return false
}

// gap moves past one group of stitches, to the gap behind it.
func (mk *maker) gap(f *spot) bool {
	if !mk.passGroup() {
		mk.shortOf(want{target: notation.AnyStitch}, nil)
		return false
	}
	f.takes, f.into = 0, notation.SpaceBetween
	mk.loop, mk.used = want{target: notation.SpaceBetween}, true
	return true
}
