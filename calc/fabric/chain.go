package fabric

import (
	"fmt"
	"strings"

	"countwright/calc/notation"
	"countwright/calc/stitch"
)

// chain makes chains: a foundation, a turning chain or a space.
func (mk *maker) chain(s *notation.Chain, after []notation.Step) {
	n := mk.count(s.Many)
	if n == 0 {
		return
	}
	if !s.Many.Said() && mk.st.base == nil && mk.w.length > 0 {
		n = mk.w.length
	}
	switch {
	case mk.depth == 0 && !mk.begun && mk.fixed == nil && mk.lays(s, after):
		mk.foundation(n)
	case mk.depth == 0 && !mk.begun && mk.fixed == nil && !mk.turning:
		mk.turning = true
		mk.turn(s, n)
	case mk.depth == 0 && !mk.begun && mk.fixed == nil && mk.turning && mk.again2(n):
		// "ch 1, turn" and the next row says "ch 1" once more
	case mk.depth == 0 && mk.kind != notation.Round && trails(after):
		mk.next = append(mk.next, s)
	default:
		mk.pend.open = true
		mk.pend.n += n
	}
}

// again2 says whether a chain only repeats the turning chain that the row
// before ended with.
func (mk *maker) again2(n int) bool { return mk.turnSize == n && mk.carried }

// lays says whether chains at the start of a row are a foundation to work
// into: there is nothing else, or the hook comes back along them.
func (mk *maker) lays(s *notation.Chain, after []notation.Step) bool {
	if mk.st.base == nil && !mk.ring && mk.found.chains == 0 {
		return s.Counts == notation.CountUnsaid && s.As == ""
	}
	for _, s := range after {
		switch s := s.(type) {
		case *notation.Stitches:
			return s.Into.What == notation.ChainFromHook
		case *notation.Group:
			return s.Into != nil && s.Into.What == notation.ChainFromHook
		case *notation.Turn, *notation.Remark, *notation.Mark:
		default:
			return false
		}
	}
	return false
}

// foundation lays n chains before the row below, to be worked into first.
func (mk *maker) foundation(n int) {
	mk.found.chains += n
	mk.base = append(seq{leaf(cell{kind: chainCell}, n)}, mk.base[:len(mk.base):len(mk.base)]...)
	mk.raw, mk.live = mk.base.weight()
	mk.cur = cursor{}
}

// trails says that no more stitches follow in a row.
func trails(after []notation.Step) bool {
	for _, s := range after {
		switch s.(type) {
		case *notation.Turn, *notation.Remark, *notation.Mark, *notation.Unread, *notation.FastenOff, *notation.Leave:
		default:
			return false
		}
	}
	return true
}

// turn works the chain that begins a row.
func (mk *maker) turn(s *notation.Chain, n int) {
	mk.turnSize = n
	id := mk.opens
	if s.As != "" {
		id = s.As
	}
	e := mk.w.entry(id)
	plain := mk.w.entry(e.base)
	counts := mk.counts(s, n, plain, mk.same != nil)
	extra := s.Plus
	switch {
	case counts && s.Plus == 0 && s.As == "" && plain.chain > 0 && n > plain.chain:
		extra = n - plain.chain // "ch 4" before dc: a dc and one chain
	case !counts && mk.meshy && n == plain.chain+1 && s.Plus == 0:
		extra = 1 // "ch 2" before sc and a space
	case !counts && n >= plain.chain+2 && s.Counts == notation.CountUnsaid:
		mk.record(Made{ID: chainID, N: 1, Each: n}, cell{kind: spaceCell, size: n, dead: true})
		return
	}
	m := Made{ID: chainID, N: 1, Each: max(1, n-extra), Turning: true}
	if counts {
		m.As = plain.id
		m.Skip, m.Takes = mk.stand()
	}
	mk.record(m, cell{kind: turnCell, id: plain.id, size: max(1, n-extra), dead: !counts})
	if extra > 0 {
		mk.pend = pending{n: extra, open: true}
	}
}

// record adds one thing made and its cell.
func (mk *maker) record(m Made, c cell) {
	mk.out.record(m)
	mk.out.top = mk.out.top.add(leaf(c, 1))
}

// stand finds the place that a counting turning chain stands on: where a slip
// stitch or new yarn brought the hook, else the first stitch.
func (mk *maker) stand() (skip, takes int) {
	w := want{target: notation.AnyStitch}
	switch {
	case mk.ring || len(mk.base) == 0:
		return 0, 0
	case mk.at != nil:
		w, mk.at = *mk.at, nil
	case mk.used:
		return 0, 0
	}
	at, passed, ok := mk.find(w)
	if !ok {
		return 0, 0
	}
	mk.skipTo(at, passed)
	skip = mk.gone.raw
	_, m := mk.take(w, 1)
	mk.done.add(m)
	mk.used, mk.first, mk.gone = true, w.target == notation.AnyStitch, moved{}
	return skip, m.raw
}

// fromHook works into a chain counted from the hook.
func (mk *maker) fromHook(e *entry, each int, s *notation.Stitches) {
	n := max(1, s.Into.Many.At(mk.w.size))
	if mk.found.chains == 0 && mk.pend.open || mk.found.chains > 0 && mk.begun {
		mk.spur(e, each, n, s)
		return
	}
	if mk.begun || mk.done.raw > 0 {
		mk.put(e, 1, each, 0, s)
		return
	}
	if mk.found.chains > 0 && n > mk.found.chains {
		mk.fail(KindShort, fmt.Sprintf("%s: the foundation has only %s", mk.w.quote(s, e), plural(mk.found.chains, "chain")), s)
		n = mk.found.chains
	}
	if s.Into.Choice == notation.EachTo || n == 1 {
		mk.along(e, each, mk.into(s, notation.ChainStitch), want{target: notation.AnyStitch}, 1)
		return
	}
	mk.edge(n - 1)
	mk.along(e, each, mk.into(s, notation.ChainFromHook), want{target: notation.AnyStitch}, 1)
}

// spur works back along chains in the middle of a row: a picot or a fringe. It
// adds nothing to the row.
func (mk *maker) spur(e *entry, each, n int, s *notation.Stitches) {
	if mk.pend.open {
		mk.out.record(Made{ID: chainID, N: 1, Each: mk.pend.n})
		mk.out.top = mk.out.top.add(leaf(cell{kind: spaceCell, size: max(1, mk.pend.n), dead: true}, 1))
		mk.spurs = mk.pend.n - n
		mk.pend = pending{}
	}
	mk.out.record(Made{ID: e.id, N: 1, Each: each, Into: notation.ChainFromHook, Loop: s.Loop})
	for range each {
		mk.out.top = mk.out.top.add(leaf(cell{kind: stitchCell, id: e.id, dead: true}, 1))
	}
}

// alongSpur goes on along the chains of a picot or fringe.
func (mk *maker) alongSpur(e *entry, each int, s *notation.Stitches) {
	n := mk.count(s.Into.Many)
	if s.Into.Choice == notation.EachTo || n > mk.spurs {
		n = mk.spurs
	}
	mk.spurs -= n
	mk.out.record(Made{ID: e.id, N: n, Each: each, Into: notation.ChainFromHook, Loop: s.Loop})
	mk.out.top = mk.out.top.add(leaf(cell{kind: stitchCell, id: e.id, dead: true}, n*each))
}

// edge passes over the chains at the start of a foundation, which stand for
// the first stitch where they count, and for a space where there are more.
func (mk *maker) edge(n int) {
	if missing := mk.pass(want{target: notation.AnyStitch}, n); missing > 0 {
		mk.fail(KindShort, fmt.Sprintf("%s to skip, but the foundation has only %d", plural(n, "chain"), n-missing), nil)
	}
	m := mk.done
	e := mk.w.entry(mk.opens)
	plain := mk.w.entry(e.base)
	mk.found.skipped += n
	counts := mk.counts(&notation.Chain{Counts: mk.foundSaid}, n, plain, false)
	extra := (n - plain.chain) / 2 // as many chains over as many skipped
	if extra < 1 || plain.chain == 0 || !mk.spans[min(extra, maxSpan)] {
		extra = 0 // no space like the others of the row
	}
	made := Made{ID: chainID, N: 1, Each: n - extra, Turning: true, Takes: m.raw}
	if counts {
		made.As = plain.id
	}
	mk.record(made, cell{kind: turnCell, id: plain.id, size: n - extra, dead: !counts})
	mk.gone = moved{}
	if extra > 0 {
		mk.space(extra, counts || mk.w.reads.chains)
	}
	mk.used, mk.first = true, counts
}

// startRing begins a round in a ring.
func (mk *maker) startRing(s *notation.Ring) {
	mk.ring = true
	if n := s.Chains.At(mk.w.size); n > 0 && mk.found.chains == 0 {
		mk.foundation(n)
	}
}

// attach joins yarn somewhere.
func (mk *maker) attach(s *notation.Attach) {
	if n := s.Skip.At(mk.w.size); n > 0 {
		mk.pass(want{target: notation.AnyStitch}, n)
	}
	p := s.Into
	if p.Choice == notation.Nth {
		mk.pass(want{target: notation.AnyStitch}, max(0, p.Many.At(mk.w.size)-1))
	}
	if p.What == notation.RowEnd || p.What == notation.OtherSide {
		return
	}
	w := mk.want(p)
	at, passed, ok := mk.find(w)
	if !ok {
		return
	}
	mk.skipTo(at, passed)
	mk.gone = moved{}
	mk.at = &w
}

// leaves notes that stitches stay unworked.
func (mk *maker) leaves(s *notation.Leave) {
	mk.leave = true
	if n := s.Many.At(mk.w.size); s.Many.Said() && n != mk.left() {
		mk.fail(KindLeft, fmt.Sprintf("the text leaves %s unworked, but %s left", plural(n, "stitch"), are(mk.left())), s)
	}
}

// remark heeds the few remarks that bear on counts.
func (mk *maker) remark(text string) {
	t := strings.ToLower(text)
	switch {
	case strings.Contains(t, "other side") || strings.Contains(t, "opposite side"):
		if mk.found.chains > 0 || mk.st.chains > 0 {
			mk.otherSide()
		}
	case strings.Contains(t, "evenly") || alongEdge(t):
		mk.beyond = true
	case strings.Contains(t, "unworked"):
		mk.leave = true
	case strings.Contains(t, "count"):
		mk.foundSaid = saysCounts(t)
	}
}

// alongEdge says whether words tell of work along the side of rows.
func alongEdge(text string) bool {
	t := strings.ToLower(text)
	return strings.Contains(t, "row end") || strings.Contains(t, "row-end") || strings.Contains(t, "ends of rows") || strings.Contains(t, "ends of the rows") ||
		strings.Contains(t, "edge of rows") || strings.Contains(t, "side of rows")
}

// saysCounts reads "counts as a stitch" and "does not count" in a remark.
func saysCounts(t string) notation.Counting {
	if !strings.Contains(t, "count") {
		return notation.CountUnsaid
	}
	for _, no := range []string{"not count", "n't count", "n’t count", "never count", "not be count", "not included"} {
		if strings.Contains(t, no) {
			return notation.CountsAsNone
		}
	}
	return notation.CountsAsStitch
}

// counts decides whether a chain counts as a stitch: as the text says, else as
// it says of other such chains, else by the habit of the trade.
func (mk *maker) counts(s *notation.Chain, n int, e *entry, skips bool) bool {
	switch {
	case s.Counts == notation.CountsAsStitch || s.As != "":
		return true
	case s.Counts == notation.CountsAsNone:
		return false
	}
	if said, ok := mk.w.said[turning{n, family(e)}]; ok {
		return said
	}
	yes := e.habit >= stitch.Usually && n >= e.chain
	if e.habit == stitch.Varies && n >= e.chain {
		yes = false
	}
	if n >= e.chain && (skips || mk.w.tops && e.habit == stitch.Varies) {
		yes = true
	}
	if n >= max(1, e.chain-1) && (e.base != "hdc" || n >= e.chain) {
		yes = yes != mk.w.reads.flips[family(e)]
	}
	mk.guess = guess{family(e), n, yes}
	return yes
}
