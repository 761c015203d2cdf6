package commands

import (
	"strings"

	"countwright/calc/grade"
	"countwright/calc/notation"
	"countwright/calc/pattern"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// written is one text over all sizes, a block a piece. Each size's rows were
// written out and worked by themselves; this sums them up.
func (s *sizeRun) written() []reply.Block {
	p := s.made[0].Pattern
	say := s.one.r.Printer
	blocks := []reply.Block{reply.Text{Text: say.Say("Where figures differ, size %s stands first and the others in brackets. For one size's rows, written out and counted one by one: /resize pattern:%s size:%s %s.",
		s.sizes[0], p.Name, s.table.Name, s.sizes[0])}}
	for i := range p.Pieces {
		b := reply.Rows{Title: named(say, p.Pieces[i].Name)}
		if p.Pieces[i].Make > 1 {
			b.Title = say.Say("%s (make %d)", b.Title, p.Pieces[i].Make)
		}
		if m := p.Pieces[i].Mirror; m != "" {
			b.Lines = []string{say.Say("As %s, but shaped at the other edge.", namedWithin(say, m))}
			blocks = append(blocks, b)
			continue
		}
		for k := range p.Pieces[i].Sections {
			b.Lines = append(b.Lines, s.section(i, &p.Pieces[i].Sections[k])...)
		}
		b.Lines = append(b.Lines, say.Say("Fasten off."))
		blocks = append(blocks, b)
	}
	return blocks
}

// sectionRun is a section in all sizes.
type sectionRun struct {
	*sizeRun
	piece *pattern.Piece
	of    *pattern.Section
	all   []grade.Section
	abbr  string
}

func (s *sizeRun) section(piece int, of *pattern.Section) []string {
	run := &sectionRun{sizeRun: s, piece: &s.made[0].Pattern.Pieces[piece], of: of}
	for _, g := range s.made {
		for _, sec := range g.Pieces[piece].Sections {
			if sec.Name == of.Name {
				run.all = append(run.all, sec)
			}
		}
	}
	run.abbr = run.stitches()
	text := s.one.r.Say("%s: %s", named(s.one.r.Printer, of.Name), strings.Join(append(run.begin(), run.on()...), " "))
	lines := []string{text}
	if of.Note != "" {
		lines = append([]string{s.one.r.Say(words.Key(of.Note))}, lines...)
	}
	return lines
}

// stitches names what the section is worked in.
func (r *sectionRun) stitches() string {
	if len(r.of.Repeat) > 0 {
		var names []string
		for _, id := range r.of.Repeat {
			names = append(names, stitchAbbr(r.one.r, id))
		}
		return r.one.r.Say("%s in turn", strings.Join(names, ", "))
	}
	abbr := stitchAbbr(r.one.r, r.of.Stitch)
	switch r.of.Loop {
	case notation.BackLoop:
		return r.one.r.Say("%s in back loops", abbr)
	case notation.FrontLoop:
		return r.one.r.Say("%s in front loops", abbr)
	}
	return abbr
}

func (r *sectionRun) ints(of func(grade.Section) int) string {
	values := make([]int, len(r.all))
	for i, s := range r.all {
		values[i] = of(s)
	}
	return sizeString(values)
}

func (r *sectionRun) start() string { return r.ints(func(s grade.Section) int { return s.Start }) }
func (r *sectionRun) end() string   { return r.ints(func(s grade.Section) int { return s.End }) }
func (r *sectionRun) rows() string  { return r.ints(func(s grade.Section) int { return s.Rows }) }

// begin is how the section starts.
func (r *sectionRun) begin() []string {
	chains := r.ints(func(s grade.Section) int { return s.Chain })
	plain := stitchAbbr(r.one.r, r.of.Stitch)
	switch {
	case r.of.First == pattern.OnChain && r.of.Worked == pattern.InRounds:
		return []string{r.one.r.Say("ch %s and join to form a ring; one %s in each ch: %s sts.", chains, plain, r.start())}
	case r.of.First == pattern.OnChain:
		return []string{r.one.r.Say("ch %s; one %s in the %s ch from the hook and in each ch after it: %s sts.", chains, plain, words.Ordinal(r.all[0].Chain-r.all[0].Start+1), r.start())}
	case r.of.First == pattern.OnRowEnds:
		return []string{r.one.r.Say("along the long edge of the strip, one %s in each row end: %s sts.", plain, r.start())}
	case r.of.First == pattern.OnRing && r.of.Shape == pattern.Disc:
		return nil
	case r.of.First == pattern.OnEdges:
		return r.pickup(plain)
	}
	return r.share()
}

// share says over which stitches of the row below a section goes on.
func (r *sectionRun) share() []string {
	for _, split := range r.piece.Splits {
		for i, share := range split.Into {
			if share.Name != r.of.Name {
				continue
			}
			where := words.Key("over the %s sts in the middle; the others stay.")
			switch i {
			case 0:
				where = "over the %s sts at the right edge, seen from the right side; the others stay."
			case len(split.Into) - 1:
				where = "over the %s sts at the left edge, seen from the right side; the others stay."
			}
			return []string{r.one.r.Say(where, r.start())}
		}
	}
	return nil
}

func (r *sectionRun) pickup(plain string) []string {
	var along []string
	for i, p := range r.all[0].Picked {
		n := r.ints(func(s grade.Section) int { return s.Picked[i].Stitches })
		switch {
		case p.Along == "":
			along = append(along, r.one.r.Say("%d in the corner", p.Stitches))
		case p.RowEnds > 0:
			along = append(along, r.one.r.Say("%s evenly along the row ends of %s", n, namedWithin(r.one.r.Printer, p.Along)))
		default:
			along = append(along, r.one.r.Say("%s along %s, one in each st", n, namedWithin(r.one.r.Printer, p.Along)))
		}
	}
	return []string{r.one.r.Say("right side facing, work in %s: %s. In all %s sts.", plain, strings.Join(along, "; "), r.start())}
}

// on is what follows the beginning.
func (r *sectionRun) on() []string {
	begun := r.of.First != pattern.OnStitches
	switch {
	case r.of.Shape == pattern.Disc:
		each := r.all[0].Each
		return []string{r.one.r.Say("%d %s in a ring, then %d more in each rnd, in the last only as many as make %s sts: %s rnds.", each, r.abbr, each, r.end(), r.rows())}
	case r.of.Shape == pattern.Close:
		return []string{r.one.r.Say("take away %d sts in each rnd, in the first only as many as leave a multiple of %d, down to %s sts: %s rnds.", r.all[0].Each, r.all[0].Each, r.end(), r.rows())}
	case r.of.Shape == pattern.Corners:
		return []string{r.one.r.Say("in each further rnd 3 sts in the middle st of each corner: %s rnds, %s sts.", r.rows(), r.end())}
	case r.of.Shape == pattern.Raglan:
		return r.raglan()
	case r.of.Shape == pattern.BothEdges || r.of.Shape != pattern.NoShape && r.of.Worked != pattern.InRounds:
		return r.slope(begun)
	}
	even := words.Key("%s %s rows, even.")
	switch rounds := r.of.Worked == pattern.InRounds; {
	case rounds && begun:
		even = "%s %s rnds in all, even."
	case rounds:
		even = "%s %s rnds, even."
	case begun:
		even = "%s %s rows in all, even."
	}
	out := []string{r.one.r.Say(even, r.abbr, r.rows())}
	if r.of.Underarm.Said() {
		out = append(out, r.parted())
	}
	if r.of.Opening.Said() {
		out = append(out, r.one.r.Say("In the first of them, after the first st, ch %s over as many sts for the opening; in the next, as many sts into that space.", r.ints(func(s grade.Section) int { return s.Opening })))
	}
	if r.of.Holes != nil {
		out = append(out, r.holes())
	}
	return out
}

func (r *sectionRun) holes() string {
	number := each(r.sizeRun, func(g *grade.Garment) int { return g.Buttons.Number })
	width := each(r.sizeRun, func(g *grade.Garment) int { return g.Buttons.Hole })
	return r.one.r.Say("In the middle row make %s buttonholes of %s sts (ch %s, skip %s), spread evenly along the first %d edges; in the next row work %s sts into each.", number, width, width, width, r.of.Holes.Along, width)
}

// raglan tells how the panels of a yoke share its first round, and how they
// grow.
func (r *sectionRun) raglan() []string {
	grow := func(of func(*grade.Panels) grade.Panel) (start, by, end string) {
		panel := func(s grade.Section) grade.Panel { return of(s.Panels) }
		return r.ints(func(s grade.Section) int { return panel(s).Start }),
			r.ints(func(s grade.Section) int { return (panel(s).End - panel(s).Start) / 2 }),
			r.ints(func(s grade.Section) int { return panel(s).End })
	}
	bodyStart, bodyBy, bodyEnd := grow(func(p *grade.Panels) grade.Panel { return p.Body })
	sleeveStart, sleeveBy, sleeveEnd := grow(func(p *grade.Panels) grade.Panel { return p.Sleeve })
	return []string{
		r.one.r.Say("%s; of these %s for the back, %s for a sleeve, as many for the front and as many for the other sleeve.", r.abbr, bodyStart, sleeveStart),
		r.one.r.Say("Increase %s sts at each edge of back and front and %s sts at each edge of the sleeves, both spread evenly over the rnds after the first.", bodyBy, sleeveBy),
		r.one.r.Say("%s rnds in all, %s sts at the end: back and front %s, sleeves %s.", r.rows(), r.end(), bodyEnd, sleeveEnd),
	}
}

// parted tells the rounds after which the sleeves stand apart.
func (r *sectionRun) parted() string {
	return r.one.r.Say("In the first of them work over the back, ch %s, leave the sts of a sleeve, and the same with the front; in the next work into each of these ch too: %s sts.",
		r.ints(func(s grade.Section) int { return s.Underarm }), r.start())
}

// slope tells shaping at the edges: every so many rows or rounds, so many
// times.
func (r *sectionRun) slope(begun bool) []string {
	say := r.one.r.Printer
	rounds := r.of.Worked == pattern.InRounds
	total := words.Key("%s rows, %s sts at the end.")
	switch {
	case rounds && begun:
		total = "%s rnds in all, %s sts at the end."
	case rounds:
		total = "%s rnds, %s sts at the end."
	case begun:
		total = "%s rows in all, %s sts at the end."
	}
	ends := say.Say(total, r.rows(), r.end())
	phases := make([]shapingPhases, len(r.all))
	simple := true
	for i, s := range r.all {
		var ok bool
		phases[i], ok = phasesOf(s)
		simple = simple && ok
	}
	if !simple {
		at := r.ints(func(s grade.Section) int {
			n := max(s.End-s.Start, s.Start-s.End)
			if s.Shape == pattern.BothEdges {
				n /= 2
			}
			return n
		})
		format := words.Key("%s; decrease %s sts at %s, spread evenly over the rows.")
		switch {
		case r.grows() && rounds:
			format = "%s; increase %s sts at %s, spread evenly over the rnds."
		case r.grows():
			format = "%s; increase %s sts at %s, spread evenly over the rows."
		case rounds:
			format = "%s; decrease %s sts at %s, spread evenly over the rnds."
		}
		return []string{say.Say(format, r.abbr, at, r.shaped()), ends}
	}
	rest := r.ints(func(s grade.Section) int { return s.Rest })
	format := words.Key("%s; decrease 1 st at %s %s; then %s rows even.")
	switch {
	case r.grows() && rounds:
		format = "%s; increase 1 st at %s %s; then %s rnds even."
	case r.grows():
		format = "%s; increase 1 st at %s %s; then %s rows even."
	case rounds:
		format = "%s; decrease 1 st at %s %s; then %s rnds even."
	}
	return []string{say.Say(format, r.abbr, r.shaped(), strings.Join(r.phased(phases), say.Say(", then ")), rest), ends}
}

func (r *sectionRun) grows() bool { return r.all[0].End > r.all[0].Start }

// shaped is the edge at which a section is shaped.
func (r *sectionRun) shaped() words.Key {
	switch {
	case r.of.Worked == pattern.InRounds:
		return "the beginning and at the end of the rnd"
	case r.of.Shape == pattern.LeftEdge:
		return "the left edge (seen from the right side)"
	case r.of.Shape == pattern.RightEdge:
		return "the right edge (seen from the right side)"
	}
	return "both edges"
}

// phased says in which rows or rounds a section is shaped.
func (r *sectionRun) phased(phases []shapingPhases) []string {
	figure := func(of func(shapingPhases) int) string {
		values := make([]int, len(phases))
		for i, p := range phases {
			values[i] = of(p)
		}
		return sizeString(values)
	}
	first, one, every := words.Key("in row %s"), words.Key("every row %s times"), words.Key("every %s rows %s times")
	if r.of.Worked == pattern.InRounds {
		first, one, every = "in rnd %s", "every rnd %s times", "every %s rnds %s times"
	}
	said := []string{r.one.r.Say(first, figure(func(p shapingPhases) int { return p.first }))}
	for k := range 2 {
		times := figure(func(p shapingPhases) int { return p.times[k] })
		if times == "0" {
			continue
		}
		if apart := figure(func(p shapingPhases) int { return p.every[k] }); apart != "1" {
			said = append(said, r.one.r.Say(every, apart, times))
		} else {
			said = append(said, r.one.r.Say(one, times))
		}
	}
	return said
}

// shapingPhases is shaping as "in row 3, then every 2 rows 6 times, then every 3
// rows 4 times".
type shapingPhases struct {
	first        int
	every, times [2]int
}

// phasesOf sums a section's shaping up; ok is false where it takes more words.
func phasesOf(s grade.Section) (p shapingPhases, ok bool) {
	k := -1
	for i, e := range s.Every {
		times := e.Times
		if e.Each > 1 {
			return p, false
		}
		if i == 0 {
			p.first = e.Rows
			times--
		}
		if times == 0 {
			continue
		}
		if k < 0 || p.every[k] != e.Rows {
			if k++; k > 1 {
				return p, false
			}
			p.every[k] = e.Rows
		}
		p.times[k] += times
	}
	return p, true
}
